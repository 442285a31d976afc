//! Founding a studio: a folder that is filled first and said to be a studio last, so that half of one is never taken
//! for a whole.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use craft::id::{DocId, StudioId};
use craft::moment::Moment;
use craft::policies::Policies;
use craft::refusal::Refusal;
use craft::studio::{Doc, Studio};
use store::folder::{StoreError, StudioFolder};
use store::save::{SaveError, SaveOutcome};
use store::vfs::{DiskVfs, Vfs};

use crate::demo::{self, Demo};
use crate::open::witness;
use crate::runner::save_doc;
use crate::starter;

/// Why there is no studio.
#[derive(Debug, thiserror::Error)]
pub enum NotFounded {
    /// What was to stand in it does not hold together.
    #[error("the studio does not hold together")]
    Refused(#[from] Refusal),
    /// The folder could not be taken.
    #[error("no studio was written to {}", at.display())]
    NotTaken {
        /// The folder.
        at: PathBuf,
        /// Why.
        #[source]
        source: StoreError,
    },
    /// A part of it was written. What was begun is in the way of a second attempt, so that is said first.
    #[error("the studio in {at} is not whole; delete {at} and try again", at = at.display())]
    Begun {
        /// The folder.
        at: PathBuf,
        /// Why.
        #[source]
        source: Box<dyn std::error::Error + Send + Sync>,
    },
}

/// Writes the demo studio into an empty or new folder.
///
/// # Errors
/// The folder is not empty, or the disk would not take it.
pub fn demo(dir: &Path, today: Moment) -> Result<Demo, NotFounded> {
    let demo = demo::build(today)?;
    write(dir, Arc::new(DiskVfs), &demo.studio, &demo.photos)?;
    Ok(demo)
}

/// Writes a new studio with the starter shelf into an empty or new folder.
///
/// # Errors
/// As [`demo()`], or the settings are not sound.
pub fn found(dir: &Path, settings: Policies) -> Result<(), NotFounded> {
    found_on(dir, Arc::new(DiskVfs), settings)
}

fn found_on(dir: &Path, vfs: Arc<dyn Vfs>, settings: Policies) -> Result<(), NotFounded> {
    let mut studio = Studio::new(settings);
    for (id, item) in starter::shelf() {
        studio.take(Doc::Shelf(id, Box::new(item)))?;
    }
    write(dir, vfs, &studio, &[])
}

/// A studio id nobody else has.
pub fn new_studio_id() -> StudioId {
    crate::open::new_studio_id()
}

/// A step that failed: before anything was written, or after.
enum Failed {
    Store(StoreError),
    Begun(SaveError),
}

impl From<StoreError> for Failed {
    fn from(why: StoreError) -> Self {
        Self::Store(why)
    }
}

fn write(
    dir: &Path,
    vfs: Arc<dyn Vfs>,
    studio: &Studio,
    photos: &[demo::DemoPhoto],
) -> Result<(), NotFounded> {
    let fill = |folder: &StudioFolder| fill(folder, studio, photos);
    StudioFolder::create_filled(dir, vfs, studio.policies(), fill).map(drop).map_err(|failed| {
        let at = dir.to_owned();
        match failed {
            Failed::Begun(why) => NotFounded::Begun { at, source: Box::new(why) },
            Failed::Store(why @ StoreError::NotMade { .. }) => {
                NotFounded::Begun { at, source: Box::new(why) }
            }
            Failed::Store(source) => NotFounded::NotTaken { at, source },
        }
    })
}

/// Writes everything but the studio's settings, which say that it is whole and therefore come last.
fn fill(folder: &StudioFolder, studio: &Studio, photos: &[demo::DemoPhoto]) -> Result<(), Failed> {
    for photo in photos {
        folder.keep_photo(&photo.bytes, photo.kind.extension()).map_err(Failed::Begun)?;
    }
    let shelf = studio.shelf().keys().cloned().map(DocId::Shelf);
    let clients = studio.clients().keys().cloned().map(DocId::Client);
    let orders = studio.orders().keys().copied().map(DocId::Order);
    let invoices = studio.invoices().keys().copied().map(DocId::Invoices);
    for id in shelf.chain(clients).chain(orders).chain(invoices) {
        let Some(doc) = studio.doc(&id) else { continue };
        match save_doc(folder, &doc) {
            SaveOutcome::Saved(_) => {}
            SaveOutcome::NotSaved(why) | SaveOutcome::InDoubt(why) => {
                return Err(Failed::Begun(why.of_a_new_file()));
            }
            SaveOutcome::Conflict { kept_beside } => {
                let path = folder.root().join(kept_beside);
                return Err(Failed::Begun(SaveError::NotRead { path }));
            }
        }
    }
    folder.save_heads(&witness(studio));
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;
    use craft::money::Currency;

    fn settings() -> Policies {
        Policies::new(new_studio_id(), "The Boathouse".parse().unwrap(), Currency::EUR)
    }

    #[test]
    fn a_new_studio_opens_with_the_starter_shelf_and_nothing_to_complain_of() {
        let dir = tempfile::tempdir().unwrap();
        let root = dir.path().join("studio");
        found(&root, settings()).unwrap();
        let opened = crate::open::open(&root, Arc::new(DiskVfs)).unwrap();
        assert_eq!(opened.studio.shelf().len(), starter::shelf().len());
        assert_eq!(opened.studio.policies().name.as_str(), "The Boathouse");
        assert!(opened.troubles.is_empty() && opened.read_only.is_none());
    }

    #[test]
    fn a_folder_that_holds_something_is_left_as_it_is() {
        let dir = tempfile::tempdir().unwrap();
        std::fs::write(dir.path().join("letter.txt"), "mine").unwrap();
        let why = found(dir.path(), settings()).unwrap_err();
        assert!(matches!(why, NotFounded::NotTaken { .. }), "{why:?}");
        assert_eq!(std::fs::read_to_string(dir.path().join("letter.txt")).unwrap(), "mine");
    }
}
