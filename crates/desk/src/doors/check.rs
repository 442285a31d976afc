//! `heldfast check DIR`: reads everything and says what is wrong.

use std::io::Write;
use std::path::Path;

use anyhow::Result;
use craft::id::DocId;
use craft::ledger::Ledger;
use craft::studio::Doc;
use craft::tag::Tag;
use store::forgotten::Forgotten;
use store::told;
use workbench::finding::{Finding, Lacking};
use workbench::keeping::files::{self, Looker, Named};
use workbench::keeping::history::{self, Version};
use workbench::open::Opened;
use workbench::present::finding_words;

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
    let (photos, papers) = check_files(&opened, &forgotten, &mut wrong);
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

/// Reads every photo and paper that a record names; gives how many of each there are.
fn check_files(opened: &Opened, forgotten: &Forgotten, wrong: &mut Vec<String>) -> (usize, usize) {
    let named = files::named(&opened.studio, forgotten);
    match Looker::new(&opened.folder) {
        Ok(looker) => {
            let found = named.iter().filter_map(|file| looker.look(file));
            wrong.extend(found.map(|found| match found {
                // What is unsound names its file itself.
                Finding::File { how: Lacking::Unsound(why), .. } => why,
                found => finding_words::line(&found),
            }));
        }
        Err(why) => wrong.push(why),
    }
    let photos = named.iter().filter(|file| matches!(file, Named::Photo { .. })).count();
    (photos, named.len() - photos)
}
