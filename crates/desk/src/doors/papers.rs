//! `heldfast papers DIR TAG --out DIR2 [KIND…]`: writes papers without recording them.

use std::io::Write;
use std::path::Path;

use anyhow::{Context as _, Result};
use craft::fact::PaperKind;
use craft::tag::Tag;
use workbench::clock::{Clock as _, SystemClock};
use workbench::runner::set_paper;
use workbench::state::paper_work;

use super::look_into;

pub(crate) fn run(
    dir: &Path,
    tag: Tag,
    to: &Path,
    wanted: &[PaperKind],
    out: &mut dyn Write,
) -> Result<bool> {
    let opened = look_into(dir)?;
    opened.studio.order(tag)?;
    std::fs::create_dir_all(to).with_context(|| format!("the folder {} cannot be made", to.display()))?;
    let now = SystemClock::new().now();
    let all = if wanted.is_empty() { PaperKind::ALL.to_vec() } else { wanted.to_vec() };
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

/// Reads the name of a paper as it was typed.
pub(crate) fn read_kind(name: &str) -> Result<PaperKind, String> {
    let kind = PaperKind::ALL.into_iter().find(|kind| kind.to_string() == name);
    kind.ok_or_else(|| {
        format!("\"{name}\" is not a paper; the papers are kit, receipt, proof, packing, care and custody")
    })
}
