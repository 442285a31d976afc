//! What keeps a studio safe and what takes it out of the program's hands: earlier versions, backups, forgetting a
//! client, handing an order over, and the list of orders.

pub mod backup;
pub mod files;
pub mod forget;
pub mod hand_over;
pub mod history;
pub mod list;

use std::collections::BTreeSet;
use std::path::PathBuf;

use craft::id::{ClientId, DocId};
use craft::moment::Moment;
use craft::studio::{Edit, OrderEdit, Studio};
use craft::tag::Tag;
use store::backup::About;
use store::folder::StudioFolder;
use store::forgotten::Forgotten;

use crate::finding::Finding;
use crate::present::forget_words;
use forget::{Forgetting, Gone};
use hand_over::HandOver;
use history::Version;

/// Something of this kind, as it is asked for.
#[derive(Clone, Debug, PartialEq)]
pub enum Keep {
    /// Reads the earlier versions of a document.
    ReadHistory(DocId),
    /// Makes a backup in a new file.
    Backup {
        /// The file.
        to: PathBuf,
    },
    /// Puts everything of one order into a new or empty folder.
    HandOver {
        /// The order.
        tag: Tag,
        /// The folder.
        to: PathBuf,
    },
    /// Writes the list of orders as CSV.
    WriteList {
        /// The file.
        to: PathBuf,
    },
    /// Forgets a client, for good.
    Forget(ClientId),
}

/// The same, with everything the worker needs to do it alone.
#[derive(Clone, Debug)]
pub enum KeepWork {
    /// As [`Keep::ReadHistory`].
    ReadHistory(DocId),
    /// As [`Keep::Backup`].
    Backup {
        /// The file.
        to: PathBuf,
        /// What it says of itself.
        about: About,
    },
    /// As [`Keep::HandOver`].
    HandOver(Box<HandOver>),
    /// As [`Keep::WriteList`].
    WriteList {
        /// The file.
        to: PathBuf,
        /// What it holds.
        text: String,
    },
    /// As [`Keep::Forget`].
    Forget(Box<Forgetting>),
}

/// What came of it.
#[derive(Clone, Debug, PartialEq)]
pub enum Kept {
    /// The earlier versions of a document, the newest in front.
    History(DocId, Vec<Version>),
    /// The backup is made and was read back.
    BackedUp {
        /// The file.
        to: PathBuf,
        /// When, in UTC as RFC 3339.
        made: String,
        /// How many files are in it.
        files: usize,
        /// How many bytes these are.
        bytes: u64,
        /// What is not in it.
        left_out: Vec<String>,
    },
    /// The order is handed over.
    HandedOver(PathBuf),
    /// The list is written.
    Listed(PathBuf),
    /// The client is forgotten.
    Forgotten(Box<Gone>),
}

/// What the workbench holds for this: never saved by itself.
#[derive(Clone, Debug, Default)]
pub struct Keeping {
    /// Who is forgotten here.
    pub forgotten: Forgotten,
    /// When the last backup was made, in UTC as RFC 3339, as far as is known.
    pub last_backup: Option<String>,
    /// The earlier versions that were read last.
    pub history: Option<(DocId, Vec<Version>)>,
    /// The receipt of the last forgetting.
    pub receipt: Option<String>,
    /// What is being forgotten just now.
    pub(crate) under_way: BTreeSet<DocId>,
}

impl Keeping {
    /// Why an edit may not be made, where it would bring back what was forgotten.
    pub(crate) fn turns_away(&self, edit: &Edit) -> Option<&'static str> {
        if self.under_way.contains(&edit.doc()) {
            return Some(forget_words::UNDER_WAY);
        }
        let client = |id: &ClientId| {
            self.forgotten.get(id.as_str()).is_some() || self.under_way.contains(&DocId::Client(id.clone()))
        };
        let is_back = match edit {
            Edit::Client(id, _) | Edit::Order(_, OrderEdit::Open { client: id, .. }) => client(id),
            Edit::Order(tag, OrderEdit::Sheet(_) | OrderEdit::Story(_)) => {
                self.forgotten.is_order(&tag.to_string())
            }
            _ => false,
        };
        is_back.then_some(forget_words::FORGOTTEN_ALREADY)
    }
}

/// Gathers what is needed for it.
///
/// # Errors
/// Why it cannot be done now.
pub fn work_for(studio: &Studio, keep: &Keep, now: Moment) -> Result<KeepWork, String> {
    Ok(match keep {
        Keep::ReadHistory(doc) => KeepWork::ReadHistory(doc.clone()),
        Keep::Backup { to } => KeepWork::Backup { to: to.clone(), about: backup::about(studio, now) },
        Keep::HandOver { tag, to } => {
            KeepWork::HandOver(Box::new(hand_over::hand_over(studio, *tag, to.clone(), now)?))
        }
        Keep::WriteList { to } => KeepWork::WriteList { to: to.clone(), text: list::csv(studio, now) },
        Keep::Forget(client) => KeepWork::Forget(Box::new(forget::forgetting(studio, client, now)?)),
    })
}

/// Does it, away from the window.
///
/// # Errors
/// Why not, and what to do.
pub fn carry_out(
    folder: &StudioFolder,
    work: &KeepWork,
    progress: &dyn Fn(u8),
    is_stopped: &dyn Fn() -> bool,
) -> Result<Kept, String> {
    match work {
        KeepWork::ReadHistory(doc) => Ok(Kept::History(doc.clone(), history::read(folder, doc)?)),
        KeepWork::Backup { to, about } => backup::make(folder, about, to, progress, is_stopped),
        KeepWork::HandOver(work) => hand_over::write(folder, work).map(Kept::HandedOver),
        KeepWork::WriteList { to, text } => {
            crate::runner::write_whole(to, text.as_bytes())
                .map_err(|why| crate::present::job_words::not_written(to, &why))?;
            Ok(Kept::Listed(to.clone()))
        }
        KeepWork::Forget(work) => forget::carry_out(folder, work).map(|gone| Kept::Forgotten(Box::new(gone))),
    }
}

/// What a session begins with: forgetting that was begun is gone through with, and what is known of backups is read.
pub(crate) fn begin(opened: &mut crate::open::Opened, now: Moment) -> Keeping {
    let mut keeping = Keeping { last_backup: opened.folder.last_backup(), ..Keeping::default() };
    let mut found = Vec::new();
    match opened.folder.load_forgotten() {
        Ok(forgotten) => keeping.forgotten = forgotten,
        Err(why) => {
            found.push(Finding::Unreadable { file: ".forgotten".to_owned(), what: store::told(&why) });
        }
    }
    if opened.read_only.is_none() && !keeping.forgotten.is_empty() {
        match forget::sweep(&opened.folder, &mut opened.studio, now) {
            Ok(swept) => found.extend(swept.troubles.into_iter().map(Finding::NotForgotten)),
            Err(why) => found.push(Finding::NotForgotten(why)),
        }
    }
    opened.troubles.extend(found.iter().map(Finding::trouble));
    opened.findings.extend(found);
    keeping
}

#[cfg(test)]
mod tests;
