//! From a folder to a studio: everything that can be read is, and what cannot is listed and left alone.

mod reading;
mod resting;

use std::collections::BTreeSet;
use std::path::Path;
use std::sync::Arc;

use craft::id::{DocId, StudioId};
use craft::studio::Studio;
use store::folder::{StoreError, StudioFolder};
use store::heads::{Heads, Witness};
use store::name::DocPath;
use store::vfs::Vfs;

use crate::finding::Finding;
use crate::saving::{Saves, Standing};
use reading::Means;

pub use reading::{Part, Rest};
pub(crate) use reading::{doc_of, read_again};

/// Something in the folder that the maker should look at.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Trouble {
    /// The file, as a path below the folder.
    pub file: String,
    /// What is wrong with it, what is safe, and what to do.
    pub what: String,
}

/// An opened studio.
#[derive(Debug)]
pub struct Opened {
    /// The folder.
    pub folder: Arc<StudioFolder>,
    /// The studio.
    pub studio: Studio,
    /// What could not be read or used.
    pub troubles: Vec<Trouble>,
    /// The same and everything else that was found at opening, but for what is found across documents.
    pub findings: Vec<Finding>,
    /// What of those who were forgotten is blank here and still has its words on the disk.
    pub(crate) blanked: BTreeSet<DocId>,
    /// Why nothing can be changed, where that is so.
    pub read_only: Option<String>,
}

/// Why a studio cannot be opened at all.
#[derive(Debug, thiserror::Error)]
pub enum OpenError {
    /// The folder.
    #[error(transparent)]
    Store(#[from] StoreError),
    /// The settings.
    #[error("{file}: {what}")]
    Settings {
        /// The file.
        file: String,
        /// What is wrong with it.
        what: String,
    },
}

/// The file of a document.
///
/// # Errors
/// A year beyond what a name can hold; every other id is a name by its type.
pub fn path_of(doc: &DocId) -> Result<DocPath, store::name::NameError> {
    match doc {
        DocId::Policies => Ok(DocPath::studio()),
        DocId::Shelf(id) => DocPath::shelf(id.as_str()),
        DocId::Client(id) => DocPath::client(id.as_str()),
        DocId::Order(tag) => DocPath::order(&tag.to_string()),
        DocId::Invoices(year) => DocPath::money(year.0),
    }
}

/// Opens the studio in `root`; every order is held whole.
///
/// # Errors
/// There is no studio, or its settings cannot be read; any other file that cannot be read is listed instead.
pub fn open(root: &Path, vfs: Arc<dyn Vfs>) -> Result<Opened, OpenError> {
    Ok(reading::begin(StudioFolder::open(root, vfs)?, Means::whole())?.0)
}

/// Opens the studio in `root` with at most so many of its orders, those that are open and the newest in front; gives
/// the others to be read part by part. Where there are no more than that, everything is read; where there are more, those
/// that are over are put to rest. The orders of clients who were forgotten are among the first besides, and whatever was
/// read of such a client is blank.
///
/// # Errors
/// As [`open`].
pub fn open_first(root: &Path, vfs: Arc<dyn Vfs>, most: usize) -> Result<(Opened, Option<Rest>), OpenError> {
    reading::begin(StudioFolder::open(root, vfs)?, Means { at_first: most, rest_above: Some(most) })
}

/// Looks into the studio in `root`, also while a window has it open; takes no lock and changes nothing.
///
/// # Errors
/// As [`open`].
pub fn look(root: &Path, vfs: Arc<dyn Vfs>) -> Result<Opened, OpenError> {
    Ok(reading::begin(StudioFolder::look(root, vfs)?, Means::whole())?.0)
}

/// The witness of every record's last seal, as the studio stands now.
pub fn witness(studio: &Studio) -> Heads {
    witness_after(Heads::default(), studio, &Saves::default())
}

/// The witness as it was `seen`, brought forward to every record that is on the disk and goes on from there.
///
/// What was seen of a record that is shorter now, another one, or not there at all is kept, so that it is told of
/// at every opening until someone has looked; and what is not on the disk was never seen.
pub fn witness_after(mut seen: Heads, studio: &Studio, saves: &Saves) -> Heads {
    for (&tag, held) in studio.orders() {
        let (text, entries) = (tag.to_string(), held.entries());
        let on_disk = matches!(saves.standing(&DocId::Order(tag)), Standing::Saved);
        let seal = |count| held.seal_after(u32::try_from(count).ok()?);
        let goes_on = seen.compare(&text, u64::from(entries), seal);
        if on_disk && entries > 0 && matches!(goes_on, Witness::Agrees | Witness::New) {
            seen.note(&text, u64::from(entries), held.record_seal());
        }
    }
    seen
}

/// A studio id nobody else has.
pub fn new_studio_id() -> StudioId {
    let mut text = String::from("studio-");
    for _ in 0..10 {
        text.push(fastrand::char('a'..='z'));
    }
    text.parse().unwrap_or_else(|_| new_studio_id())
}

#[cfg(test)]
mod tests;
