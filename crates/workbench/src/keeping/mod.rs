//! What keeps a studio safe and what takes it out of the program's hands: earlier versions, backups, forgetting a
//! client, handing an order over, and the list of orders.

pub mod backup;
pub mod files;
pub mod forget;
pub mod hand_over;
pub mod history;
pub mod list;
pub mod loose;
mod same;
pub mod since;
pub mod sweep;

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

use craft::id::{ClientId, DocId};
use craft::moment::Moment;
use craft::studio::{Doc, Edit, OrderEdit, Studio};
use craft::tag::Tag;
use store::backup::{About, LeftOut};
use store::folder::StudioFolder;
use store::forgotten::{FORGOTTEN, Forgotten, file_in};
use store::name::{DocKind, kept_beside};

use crate::finding::{Finding, Instead, Owners};
use crate::present::{backup_words, forget_words, job_words};
use forget::{Forgetting, Gone};
use hand_over::{HandOver, Handed};
use history::Version;
use sweep::{AllSwept, Sweeping};

/// Something of this kind, as it is asked for.
#[derive(Clone, Debug, PartialEq)]
pub enum Keep {
    /// Reads the earlier versions of a document.
    ReadHistory(DocId),
    /// Puts an earlier version in the place of a file that cannot be used.
    PutInPlace {
        /// The document.
        doc: DocId,
        /// The version's number.
        number: u32,
    },
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
    /// Goes through with everything that is left of those who were forgotten before.
    Sweep,
    /// Writes the receipt of the last forgetting.
    WriteReceipt {
        /// The file.
        to: PathBuf,
    },
    /// Puts a backup back into a new or empty folder.
    PutBack {
        /// The backup.
        file: PathBuf,
        /// The folder.
        to: PathBuf,
    },
}

/// The same, with everything the worker needs to do it alone.
#[derive(Clone, Debug)]
pub enum KeepWork {
    /// As [`Keep::ReadHistory`].
    ReadHistory(DocId),
    /// As [`Keep::PutInPlace`].
    PutInPlace {
        /// The document.
        doc: DocId,
        /// The version's number.
        number: u32,
    },
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
    Forget {
        /// Who, and everything of theirs.
        who: Box<Forgetting>,
        /// The list outside the studio in which it is noted as well.
        note: Option<PathBuf>,
    },
    /// As [`Keep::Sweep`].
    Sweep(Vec<Sweeping>),
    /// As [`Keep::WriteReceipt`].
    WriteReceipt {
        /// The file.
        to: PathBuf,
        /// The receipt.
        text: String,
    },
    /// As [`Keep::PutBack`].
    PutBack(Box<PutBackWork>),
}

/// A backup to be put back.
#[derive(Clone, Debug)]
pub struct PutBackWork {
    /// The backup.
    pub file: PathBuf,
    /// The new or empty folder.
    pub to: PathBuf,
    /// Where this computer keeps who is forgotten, one list for each studio.
    pub lists: Option<PathBuf>,
    /// The studio that is open: what it has forgotten counts for a backup of its own.
    pub studio: String,
    /// The moment.
    pub now: Moment,
}

/// What came of it.
#[derive(Clone, Debug, PartialEq)]
pub enum Kept {
    /// The earlier versions of a document, the newest in front.
    History(DocId, Vec<Version>),
    /// An earlier version lies in the place of a file that could not be used, and was read; with the name under which that
    /// file is kept beside it.
    InPlace(Box<Doc>, Option<String>),
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
        left_out: LeftOut,
    },
    /// The order is handed over, but for what is missing.
    HandedOver(Handed),
    /// The list is written.
    Listed(PathBuf),
    /// The client is forgotten; with why the list outside the studio does not say so, where it does not.
    Forgotten(Box<Gone>, Option<String>),
    /// What was left of those who were forgotten is gone, as far as it could be.
    Swept(AllSwept),
    /// The receipt is written.
    ReceiptWritten(PathBuf),
    /// The backup is put back.
    PutBack(Box<Back>),
}

/// A backup as it was made last.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Made {
    /// The file.
    pub to: PathBuf,
    /// How many files are in it.
    pub files: usize,
    /// How many bytes these are.
    pub bytes: u64,
    /// What is not in it.
    pub left_out: LeftOut,
}

/// A studio that was put back from a backup.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Back {
    /// Its folder.
    pub to: PathBuf,
    /// When the backup was made, in UTC as RFC 3339.
    pub made: String,
    /// How many files were put back.
    pub files: usize,
    /// How many clients were forgotten again.
    pub forgotten: usize,
    /// What could not be done, and what was not well in the backup already.
    pub troubles: Vec<String>,
}

/// What the workbench holds for this: never saved by itself.
#[derive(Clone, Debug, Default)]
pub struct Keeping {
    /// Who is forgotten here.
    pub forgotten: Forgotten,
    /// When the last backup was made, in UTC as RFC 3339, as far as is known.
    pub last_backup: Option<String>,
    /// Where it was put, as far as is known.
    pub last_backup_in: Option<PathBuf>,
    /// The earlier versions that were read last.
    pub history: Option<(DocId, Vec<Version>)>,
    /// The receipt of the last forgetting.
    pub receipt: Option<String>,
    /// The backup that was made here last.
    pub made: Option<Made>,
    /// The folder of the order that was handed over last.
    pub handed: Option<PathBuf>,
    /// The studio that was put back last.
    pub back: Option<Back>,
    /// Where this computer keeps who is forgotten, apart from any studio: `<studio id>.txt` for each. None where it
    /// names no folder for that.
    pub lists: Option<PathBuf>,
    /// What was written since the last backup.
    pub since: since::Since,
    /// What is being forgotten just now.
    pub(crate) under_way: BTreeSet<DocId>,
    /// What of those who were forgotten is blank here and still has its words on the disk.
    pub(crate) blanked: BTreeSet<DocId>,
    /// What is left of them is looked for once everything is read.
    pub(crate) sweep_later: bool,
}

impl Keeping {
    /// True of a document that takes no change until what is being forgotten is gone.
    pub(crate) fn is_held_back(&self, id: &DocId) -> bool {
        let is_left = self.sweep_later && self.is_forgotten(id);
        is_left || self.under_way.contains(id) || self.blanked.contains(id)
    }

    /// True of a client who was forgotten, and of their orders.
    pub(crate) fn is_forgotten(&self, id: &DocId) -> bool {
        match id {
            DocId::Client(client) => self.forgotten.get(client.as_str()).is_some(),
            DocId::Order(tag) => self.forgotten.is_order(&tag.to_string()),
            _ => false,
        }
    }

    /// Why an edit may not be made, where it would bring back what was forgotten.
    pub(crate) fn turns_away(&self, edit: &Edit) -> Option<&'static str> {
        if self.is_held_back(&edit.doc()) {
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

/// Gathers what is needed for it; `owners` is whose the orders are that cannot be read.
///
/// # Errors
/// Why it cannot be done now.
pub fn work_for(
    studio: &Studio,
    keeping: &Keeping,
    owners: &Owners,
    keep: &Keep,
    now: Moment,
) -> Result<KeepWork, String> {
    let id = studio.policies().studio.as_str();
    Ok(match keep {
        Keep::ReadHistory(doc) => KeepWork::ReadHistory(doc.clone()),
        Keep::PutInPlace { doc, number } => KeepWork::PutInPlace { doc: doc.clone(), number: *number },
        Keep::Backup { to } => KeepWork::Backup { to: to.clone(), about: backup::about(studio, now) },
        Keep::HandOver { tag, to } => {
            KeepWork::HandOver(Box::new(hand_over::hand_over(studio, *tag, to.clone(), now)?))
        }
        Keep::WriteList { to } => KeepWork::WriteList { to: to.clone(), text: list::csv(studio, now) },
        Keep::Forget(client) => KeepWork::Forget {
            who: Box::new(forget::forgetting(studio, client, owners, now)?),
            note: keeping.lists.as_deref().map(|lists| list_of(lists, id)),
        },
        Keep::Sweep => {
            KeepWork::Sweep(sweep::to_sweep(studio, &keeping.forgotten, &keeping.blanked, now.day()))
        }
        Keep::WriteReceipt { to } => {
            let text = keeping.receipt.clone().ok_or(forget_words::NO_RECEIPT)?;
            KeepWork::WriteReceipt { to: to.clone(), text }
        }
        Keep::PutBack { file, to } => KeepWork::PutBack(Box::new(PutBackWork {
            file: file.clone(),
            to: to.clone(),
            lists: keeping.lists.clone(),
            studio: id.to_owned(),
            now,
        })),
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
        KeepWork::PutInPlace { doc, number } => history::put_in_place(folder, doc, *number)
            .map(|(doc, beside)| Kept::InPlace(Box::new(doc), beside)),
        KeepWork::Backup { to, about } => backup::make(folder, about, to, progress, is_stopped),
        KeepWork::HandOver(work) => hand_over::write(folder, work).map(Kept::HandedOver),
        KeepWork::WriteList { to, text } => {
            write_text(folder, to, text)?;
            Ok(Kept::Listed(to.clone()))
        }
        KeepWork::WriteReceipt { to, text } => {
            write_text(folder, to, text)?;
            Ok(Kept::ReceiptWritten(to.clone()))
        }
        KeepWork::Forget { who, note } => forget_and_note(folder, who, note.as_deref()),
        KeepWork::Sweep(all) => sweep::go_through(folder, all).map(Kept::Swept),
        KeepWork::PutBack(work) => put_back(folder, work, progress, is_stopped),
    }
}

/// Writes a new file outside the studio: nothing that is there is written over.
fn write_text(folder: &StudioFolder, to: &Path, text: &str) -> Result<(), String> {
    let to = std::path::absolute(to).map_err(|why| job_words::not_written(to, &why))?;
    if lies_in(folder, to.parent().unwrap_or(&to)) {
        return Err(job_words::within_the_studio(&to));
    }
    crate::runner::write_new(&to, text.as_bytes()).map_err(|why| match why.kind() {
        std::io::ErrorKind::AlreadyExists => job_words::name_taken(&to),
        _ => job_words::not_written(&to, &why),
    })
}

/// True of a place within the studio. One that is not there yet has the place of the nearest above it that is.
pub(crate) fn lies_in(folder: &StudioFolder, place: &Path) -> bool {
    let place = place.ancestors().find_map(|above| above.canonicalize().ok());
    let own = folder.root().canonicalize().unwrap_or_else(|_| folder.root().to_owned());
    place.is_some_and(|place| place.starts_with(&own))
}

/// The list of who is forgotten of one studio.
pub fn list_of(lists: &Path, studio: &str) -> PathBuf {
    lists.join(format!("{studio}.txt"))
}

/// Forgets, and notes it outside the studio too, so that a backup from before brings nothing back.
fn forget_and_note(folder: &StudioFolder, who: &Forgetting, note: Option<&Path>) -> Result<Kept, String> {
    let gone = forget::carry_out(folder, who)?;
    let noted = note.map(|list| forget::note_outside(list, folder));
    Ok(Kept::Forgotten(Box::new(gone), noted.and_then(Result::err)))
}

fn put_back(
    folder: &StudioFolder,
    work: &PutBackWork,
    progress: &dyn Fn(u8),
    is_stopped: &dyn Fn() -> bool,
) -> Result<Kept, String> {
    let PutBackWork { file, to, lists, studio, now } = work;
    if lies_in(folder, to) {
        return Err(backup_words::WITHIN.to_owned());
    }
    let known = |about: &About| {
        let outside = lists.iter().map(|lists| list_of(lists, &about.studio));
        let here = (about.studio == *studio).then(|| file_in(folder.root()));
        outside.chain(here).collect()
    };
    let mut going = |percent: u8| {
        progress(percent);
        !is_stopped()
    };
    let back = backup::put_back(file, to, &known, *now, &mut going).map_err(|why| store::told(&why))?;
    let found = back.opened.troubles.iter().map(backup_words::as_it_was);
    let troubles = back.troubles.iter().cloned().chain(found).collect();
    Ok(Kept::PutBack(Box::new(Back {
        to: to.clone(),
        made: back.contents.about.made.clone(),
        files: back.contents.count(),
        forgotten: back.forgotten,
        troubles,
    })))
}

/// What a session begins with: forgetting that was begun is gone through with, and what is known of backups is read. Where
/// not everything is read yet, `is_whole` is false, and it is gone through with once it is.
pub(crate) fn begin(opened: &mut crate::open::Opened, is_whole: bool, now: Moment) -> Keeping {
    let (last_backup, last_backup_in) = opened.folder.last_backup().unzip();
    let last_backup_in = last_backup_in.flatten();
    let mut keeping = Keeping { last_backup, last_backup_in, ..Keeping::default() };
    let mut found = Vec::new();
    match opened.folder.load_forgotten() {
        Ok(forgotten) => keeping.forgotten = forgotten,
        Err(why) => {
            found.push(Finding::Unreadable {
                file: FORGOTTEN.to_owned(),
                what: store::told(&why),
                instead: Instead::NotSought,
            });
        }
    }
    keeping.blanked = std::mem::take(&mut opened.blanked);
    let sweeps = opened.read_only.is_none() && !keeping.forgotten.is_empty();
    keeping.sweep_later = sweeps && !is_whole;
    if sweeps && is_whole {
        match sweep::sweep(&opened.folder, &mut opened.studio, now) {
            Ok(swept) => found.extend(swept.troubles.into_iter().map(Finding::NotForgotten)),
            Err(why) => found.push(Finding::NotForgotten(why)),
        }
    }
    if keeping.sweep_later {
        forget::settle(&mut opened.findings, &keeping.forgotten, &|_| false);
    } else if !keeping.forgotten.is_empty() {
        // What was found before may be gone by now; a disk that does not say counts as if it lay there still.
        let mut kept = BTreeSet::new();
        let mut is_known = true;
        for kind in [DocKind::Client, DocKind::Order, DocKind::Money] {
            match opened.folder.list(kind) {
                Ok(listing) => kept.extend(listing.conflicts),
                Err(_unlisted) => is_known = false,
            }
        }
        let is_gone = |file: &str| {
            let name = file.rsplit('/').next().unwrap_or(file);
            is_known && kept_beside(name).is_some() && !kept.contains(name)
        };
        forget::settle(&mut opened.findings, &keeping.forgotten, &is_gone);
    }
    opened.findings.extend(found);
    opened.troubles = opened.findings.iter().map(Finding::trouble).collect();
    keeping
}

#[cfg(test)]
mod tests;
