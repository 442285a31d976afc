//! `heldfast restore FILE DIR [--beside DIR2]…`: puts a backup back into a new or empty folder.

use std::io::Write;
use std::path::{Path, PathBuf};

use anyhow::{Result, bail};
use store::backup::About;
use workbench::clock::{Clock as _, SystemClock};
use workbench::keeping::backup;
use workbench::present::backup_words;

use super::forgotten_list;

pub(crate) fn run(file: &Path, dir: &Path, beside: &[PathBuf], out: &mut dyn Write) -> Result<bool> {
    for studio in beside {
        if !studio.join("studio.ron").is_file() {
            bail!(
                "{} is not a studio; name the folder of one that knows who was forgotten",
                studio.display()
            );
        }
    }
    let lists = |about: &About| {
        let here = forgotten_list(&about.studio).into_iter();
        here.chain(beside.iter().map(|studio| store::forgotten::file_in(studio))).collect()
    };
    let now = SystemClock::new().now();
    let back = backup::put_back(file, dir, &lists, now, &mut |_| true)?;
    let (made, files) = (&back.contents.about.made, back.contents.count());
    writeln!(out, "{}", backup_words::put_back(dir, made, files, now))?;
    if back.forgotten > 0 {
        writeln!(out, "{}", backup_words::forgotten_again(back.forgotten))?;
    }
    for trouble in &back.troubles {
        writeln!(out, "{trouble}")?;
    }
    for trouble in &back.opened.troubles {
        writeln!(out, "as it was in the backup: {}: {}", trouble.file, trouble.what)?;
    }
    Ok(back.troubles.is_empty() && back.opened.troubles.is_empty())
}
