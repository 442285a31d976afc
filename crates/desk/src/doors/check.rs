//! `heldfast check DIR`: reads everything and says what is wrong.

use std::collections::BTreeSet;
use std::io::Write;
use std::path::Path;

use anyhow::Result;
use craft::digest::Digest;
use craft::fact::{CustodyFact, Fact, HomeFact};
use store::photos::PhotoName;
use store::told;
use workbench::open::Opened;
use workbench::runner::paper_file_name;

use super::look_into;

pub(crate) fn run(dir: &Path, out: &mut dyn Write) -> Result<bool> {
    let opened = look_into(dir)?;
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

/// Reads every photo that a sheet or an entry names and compares its digest.
fn check_photos(opened: &Opened, wrong: &mut Vec<String>) -> usize {
    let kept = opened.folder.photos().unwrap_or_else(|why| {
        wrong.push(told(&why));
        Vec::new()
    });
    let mut seen = BTreeSet::new();
    for (tag, held) in opened.studio.orders() {
        let sheet =
            held.order.sheet.photos.iter().map(|photo| (photo.original, Some(photo.kind.extension())));
        // An entry names a photo by its digest alone, so its file may have any ending.
        let record = held.order.log.entries().filter_map(|(_, entry)| Some((photo_of(&entry.fact)?, None)));
        for (digest, ext) in sheet.chain(record) {
            if !seen.insert(digest) {
                continue;
            }
            let name = match ext {
                Some(ext) => PhotoName::new(digest, ext).ok(),
                None => kept.iter().find(|name| name.hash() == digest).cloned(),
            };
            let found = name.map_or(Ok(None), |name| opened.folder.photo(&name));
            match found {
                Ok(Some(_)) => {}
                Ok(None) => {
                    let ending = ext.map_or_else(String::new, |ext| format!(".{ext}"));
                    wrong.push(format!(
                        "photos/{digest}{ending}: order {tag} refers to it and it is not there; put it back from a backup"
                    ));
                }
                Err(why) => wrong.push(told(&why)),
            }
        }
    }
    seen.len()
}

/// The photo that a fact names.
fn photo_of(fact: &Fact) -> Option<Digest> {
    match fact {
        Fact::Custody(CustodyFact::Received { photo, .. } | CustodyFact::CameAlong { photo, .. }) => *photo,
        Fact::Home(HomeFact::BoxPhotographed { photo }) => Some(*photo),
        _ => None,
    }
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
                Err(why) => wrong.push(told(&why)),
            }
        }
    }
    issued
}
