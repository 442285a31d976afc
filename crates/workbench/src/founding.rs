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
use crate::runner::{Onward, save_doc};
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
    /// It was stopped before it was whole.
    #[error("it was stopped; what was written of it until then is in {at}, delete that to begin again", at = at.display())]
    Stopped {
        /// The folder.
        at: PathBuf,
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
    demo_telling(dir, today, &|_| true)
}

/// The same, told how far it is while it goes on; it ends where it is told to.
///
/// # Errors
/// As [`demo()`], or it was stopped.
pub fn demo_telling(dir: &Path, today: Moment, onward: Onward<'_>) -> Result<Demo, NotFounded> {
    let stopped = || NotFounded::Stopped { at: dir.to_owned() };
    if !onward(1) {
        return Err(stopped());
    }
    let demo = demo::build(today)?;
    // Building it takes about as long as writing it does.
    if !onward(BUILT) {
        return Err(stopped());
    }
    write(dir, Arc::new(DiskVfs), (&demo.studio, &demo.photos), onward)?;
    Ok(demo)
}

/// How far the demo studio is once it is built, in per cent.
const BUILT: u8 = 40;

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
    write(dir, vfs, (&studio, &[]), &|_| true)
}

/// A studio id nobody else has.
pub fn new_studio_id() -> StudioId {
    crate::open::new_studio_id()
}

/// A step that failed: before anything was written, or after.
enum Failed {
    Store(StoreError),
    Begun(SaveError),
    Stopped,
}

impl From<StoreError> for Failed {
    fn from(why: StoreError) -> Self {
        Self::Store(why)
    }
}

fn write(
    dir: &Path,
    vfs: Arc<dyn Vfs>,
    (studio, photos): (&Studio, &[demo::DemoPhoto]),
    onward: Onward<'_>,
) -> Result<(), NotFounded> {
    let fill = |folder: &StudioFolder| fill(folder, studio, photos, onward);
    StudioFolder::create_filled(dir, vfs, studio.policies(), fill).map(drop).map_err(|failed| {
        let at = dir.to_owned();
        match failed {
            Failed::Begun(why) => NotFounded::Begun { at, source: Box::new(why) },
            Failed::Store(why @ StoreError::NotMade { .. }) => {
                NotFounded::Begun { at, source: Box::new(why) }
            }
            Failed::Stopped => NotFounded::Stopped { at },
            Failed::Store(source) => NotFounded::NotTaken { at, source },
        }
    })
}

/// Writes everything but the studio's settings, which say that it is whole and therefore come last.
fn fill(
    folder: &StudioFolder,
    studio: &Studio,
    photos: &[demo::DemoPhoto],
    onward: Onward<'_>,
) -> Result<(), Failed> {
    let all = photos.len() + studio.shelf().len() + studio.clients().len() + studio.orders().len();
    let mut done = 0;
    let mut one_more = || {
        done += 1;
        let left = usize::from(100 - BUILT);
        onward(BUILT + u8::try_from(done * left / all.max(1)).unwrap_or(0).min(100 - BUILT))
    };
    for photo in photos {
        if !one_more() {
            return Err(Failed::Stopped);
        }
        folder.keep_photo(&photo.bytes, photo.kind.extension()).map_err(Failed::Begun)?;
    }
    let shelf = studio.shelf().keys().cloned().map(DocId::Shelf);
    let clients = studio.clients().keys().cloned().map(DocId::Client);
    let orders = studio.orders().keys().copied().map(DocId::Order);
    let invoices = studio.invoices().keys().copied().map(DocId::Invoices);
    for id in shelf.chain(clients).chain(orders).chain(invoices) {
        if !one_more() {
            return Err(Failed::Stopped);
        }
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
    fn a_demo_that_is_stopped_is_no_studio_and_says_where_its_beginning_is() {
        let dir = tempfile::tempdir().unwrap();
        let today = Moment { utc_ms: 1_783_512_000_000, ..crate::present::sample::at(0) };
        let told = std::cell::RefCell::new(Vec::new());
        let onward = |percent| {
            told.borrow_mut().push(percent);
            percent < 60
        };
        let root = dir.path().join("demo");
        let why = demo_telling(&root, today, &onward).unwrap_err();
        assert!(matches!(&why, NotFounded::Stopped { at } if *at == root), "{why:?}");
        assert!(!root.join("studio.ron").exists());
        let told = told.into_inner();
        assert!(told.is_sorted() && told.len() > 5 && *told.last().unwrap() == 60, "{told:?}");
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
