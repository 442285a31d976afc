//! `heldfast check DIR`: reads everything and says what is wrong.

use std::io::Write;
use std::path::Path;

use anyhow::Result;
use store::forgotten::Forgotten;
use store::told;
use workbench::finding::{Finding, Lacking};
use workbench::keeping::files::{self, Looker, Named};
use workbench::keeping::history;
use workbench::open::Opened;
use workbench::present::finding_words;

use super::look_into;

pub(crate) fn run(dir: &Path, out: &mut dyn Write) -> Result<bool> {
    let opened = look_into(dir)?;
    let mut wrong: Vec<String> = Vec::new();
    for finding in &opened.findings {
        let next = match finding {
            Finding::Unreadable { file, instead, .. } => finding_words::instead_words(file, instead),
            _ => None,
        };
        let next = next.map(|next| format!("; {next}")).unwrap_or_default();
        wrong.push(format!("{}{next}", finding_words::line(finding)));
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
    let versions = check_versions(&opened, &mut wrong);
    for line in &wrong {
        writeln!(out, "{line}")?;
    }
    let studio = &opened.studio;
    let entries: u32 = studio.orders().values().map(|held| held.order.log.len()).sum();
    writeln!(
        out,
        "{} orders with {entries} entries, {} clients, {} items on the shelf, {photos} photos, {papers} issued papers, \
         {versions} earlier versions",
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

/// Reads every earlier version of every document; gives how many there are.
fn check_versions(opened: &Opened, wrong: &mut Vec<String>) -> usize {
    match history::look_through(&opened.folder) {
        Ok((versions, found)) => {
            wrong.extend(found.iter().map(finding_words::line));
            versions
        }
        Err(why) => {
            wrong.push(why);
            0
        }
    }
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
