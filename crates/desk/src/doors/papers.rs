//! `heldfast papers DIR TAG --out DIR2 [KIND…]`: writes papers without recording them.

use std::io::Write;
use std::path::Path;

use anyhow::{Context as _, Result, bail};
use craft::fact::PaperKind;
use workbench::clock::{Clock as _, SystemClock};
use workbench::runner::set_paper;
use workbench::state::paper_work;

use super::{open_studio, read_tag};

pub(crate) fn run(dir: &Path, tag: &str, to: &Path, kinds: &[String], out: &mut dyn Write) -> Result<bool> {
    let tag = read_tag(tag)?;
    let wanted = kinds.iter().map(|name| read_kind(name)).collect::<Result<Vec<_>>>()?;
    let opened = open_studio(dir)?;
    opened.studio.order(tag)?;
    std::fs::create_dir_all(to).with_context(|| format!("the folder {} cannot be made", to.display()))?;
    let now = SystemClock::new().now();
    let all = if wanted.is_empty() { PaperKind::ALL.to_vec() } else { wanted.clone() };
    let mut well = true;
    for kind in all {
        let work = match paper_work(&opened.studio, tag, kind, now) {
            Ok(work) => work,
            Err(why) => {
                // Asked for by name it is a fault; among all of them it only is not its time yet.
                well &= wanted.is_empty();
                writeln!(out, "{kind}: not yet: {why}")?;
                continue;
            }
        };
        let issued = set_paper(&opened.folder, &work, &|_| ()).map_err(anyhow::Error::msg)?;
        let file = to.join(format!("{tag}-{kind}.pdf"));
        std::fs::write(&file, &issued.pdf)
            .with_context(|| format!("{} cannot be written", file.display()))?;
        let pages = issued.pages();
        writeln!(out, "{kind}: {} ({pages} {})", file.display(), if pages == 1 { "page" } else { "pages" })?;
    }
    Ok(well)
}

fn read_kind(name: &str) -> Result<PaperKind> {
    match PaperKind::ALL.into_iter().find(|kind| kind.to_string() == name) {
        Some(kind) => Ok(kind),
        None => bail!("\"{name}\" is not a paper; the papers are kit, receipt, proof, packing and care"),
    }
}
