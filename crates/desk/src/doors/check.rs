//! `heldfast check DIR`: reads everything and says what is wrong.

use std::io::Write;
use std::path::Path;

use anyhow::Result;
use craft::digest::Digest;
use craft::order::PhotoKind;
use store::photos::PhotoName;
use workbench::open::Opened;
use workbench::runner::paper_file_name;

use super::open_studio;

pub(crate) fn run(dir: &Path, out: &mut dyn Write) -> Result<bool> {
    let opened = open_studio(dir)?;
    let mut wrong: Vec<String> = Vec::new();
    for trouble in &opened.troubles {
        let file = if trouble.file.is_empty() { String::new() } else { format!("{}: ", trouble.file) };
        wrong.push(format!("{file}{}", trouble.what));
    }
    wrong.extend(opened.studio.findings().iter().map(ToString::to_string));
    let photos = check_photos(&opened, &mut wrong);
    let papers = check_papers(&opened, &mut wrong);
    for line in &wrong {
        writeln!(out, "{line}")?;
    }
    let studio = &opened.studio;
    let entries: u32 = studio.orders().values().map(|held| held.order.log.len()).sum();
    writeln!(
        out,
        "{} orders with {entries} entries, {} clients, {} items on the shelf, {photos} photos, {papers} issued papers",
        studio.orders().len(),
        studio.clients().len(),
        studio.shelf().len(),
    )?;
    match wrong.len() {
        0 => writeln!(out, "all is well")?,
        1 => writeln!(out, "1 thing to look at; nothing was changed")?,
        many => writeln!(out, "{many} things to look at; nothing was changed")?,
    }
    Ok(wrong.is_empty())
}

/// Reads every photo an order refers to and compares its digest.
fn check_photos(opened: &Opened, wrong: &mut Vec<String>) -> usize {
    let mut seen = std::collections::BTreeSet::<(Digest, &str)>::new();
    for (tag, held) in opened.studio.orders() {
        for photo in &held.order.sheet.photos {
            let ext = PhotoKind::extension(photo.kind);
            if !seen.insert((photo.original, ext)) {
                continue;
            }
            let found = PhotoName::new(photo.original, ext)
                .map_err(|why| why.to_string())
                .and_then(|name| opened.folder.photo(&name).map_err(|why| why.to_string()));
            match found {
                Ok(Some(_)) => {}
                Ok(None) => wrong.push(format!(
                    "photos/{}.{ext}: order {tag} refers to it and it is not there; put it back from a backup",
                    photo.original
                )),
                Err(why) => wrong.push(why),
            }
        }
    }
    seen.len()
}

/// Looks for every paper that was issued.
fn check_papers(opened: &Opened, wrong: &mut Vec<String>) -> usize {
    let mut issued = 0;
    for (tag, held) in opened.studio.orders() {
        for (_, kind, file) in &held.ledger.home.papers {
            issued += 1;
            let name = paper_file_name(*kind, file);
            let folder = tag.to_string().to_ascii_lowercase();
            match opened.folder.paper(&tag.to_string(), &name, *file) {
                Ok(Some(_)) => {}
                Ok(None) => wrong.push(format!(
                    "papers/{folder}/{name}: it was issued and is not there; put it back from a backup"
                )),
                Err(why) => wrong.push(why.to_string()),
            }
        }
    }
    issued
}
