//! `heldfast check DIR`: reads everything and says what is wrong.

use std::collections::BTreeSet;
use std::io::Write;
use std::path::Path;

use anyhow::Result;
use craft::digest::Digest;
use craft::fact::{CustodyFact, Fact, HomeFact};
use craft::id::DocId;
use craft::ledger::Ledger;
use craft::studio::{Doc, Held};
use craft::tag::Tag;
use store::forgotten::Forgotten;
use store::photos::PhotoName;
use store::told;
use workbench::keeping::history::{self, Version};
use workbench::open::Opened;
use workbench::runner::paper_file_name;

use super::look_into;

pub(crate) fn run(dir: &Path, out: &mut dyn Write) -> Result<bool> {
    let opened = look_into(dir)?;
    let mut wrong: Vec<String> = Vec::new();
    for trouble in &opened.troubles {
        let file = if trouble.file.is_empty() { String::new() } else { format!("{}: ", trouble.file) };
        let next = next_step(&opened, &trouble.file).map(|next| format!("; {next}")).unwrap_or_default();
        wrong.push(format!("{file}{}{next}", trouble.what));
    }
    match opened.folder.strangers() {
        Ok(strangers) => wrong.extend(strangers.iter().map(|name| {
            format!("{name}: this is not a file of the studio; nothing reads, changes or backs it up; move it elsewhere")
        })),
        Err(why) => wrong.push(told(&why)),
    }
    let forgotten = opened.folder.load_forgotten().unwrap_or_else(|why| {
        wrong.push(told(&why));
        Forgotten::default()
    });
    wrong.extend(opened.studio.findings().iter().map(ToString::to_string));
    let photos = check_photos(&opened, &forgotten, &mut wrong);
    let papers = check_papers(&opened, &forgotten, &mut wrong);
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

/// The orders of clients who are not forgotten: of the others photos and papers are gone on purpose.
fn remembered<'a>(opened: &'a Opened, forgotten: &'a Forgotten) -> impl Iterator<Item = (&'a Tag, &'a Held)> {
    opened.studio.orders().iter().filter(|(tag, _)| !forgotten.is_order(&tag.to_string()))
}

/// What to do next about an order's file: the longest record among the earlier versions that holds together.
fn next_step(opened: &Opened, file: &str) -> Option<String> {
    let stem = file.strip_prefix("orders/")?.strip_suffix(".ron")?;
    let tag: Tag = stem.parse().ok()?;
    let versions = history::read(&opened.folder, &DocId::Order(tag)).ok()?;
    let holds = |version: &Version| match &version.doc {
        Ok(Doc::Order(order)) => {
            let sound =
                order.log.check(&order.studio, tag).is_ok() && Ledger::replay(tag, &order.log).is_ok();
            sound.then(|| order.log.len())
        }
        _ => None,
    };
    let longest =
        versions.iter().filter_map(|version| Some((holds(version)?, version.number, &version.file))).max();
    Some(match longest {
        Some((entries, _, kept)) => format!(
            "the longest earlier version that holds has {entries} entries and is {kept}: compare the two, and copy it to {file} \
             if nothing was recorded since"
        ),
        None => "no earlier version that holds is kept here, so look for one in a backup".to_owned(),
    })
}

/// Reads every photo that a sheet or an entry names and compares its digest.
fn check_photos(opened: &Opened, forgotten: &Forgotten, wrong: &mut Vec<String>) -> usize {
    let kept = opened.folder.photos().unwrap_or_else(|why| {
        wrong.push(told(&why));
        Vec::new()
    });
    let mut seen = BTreeSet::new();
    for (tag, held) in remembered(opened, forgotten) {
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
fn check_papers(opened: &Opened, forgotten: &Forgotten, wrong: &mut Vec<String>) -> usize {
    let mut issued = 0;
    for (tag, held) in remembered(opened, forgotten) {
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
