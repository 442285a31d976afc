//! `heldfast demo DIR`: writes a demo studio.

use std::io::Write;
use std::path::Path;
use std::sync::Arc;

use anyhow::{Context as _, Result};
use craft::id::DocId;
use store::folder::{StoreError, StudioFolder};
use store::save::{SaveError, SaveOutcome};
use store::vfs::DiskVfs;
use workbench::clock::{Clock as _, SystemClock};
use workbench::demo::{self, Demo};
use workbench::open::witness;
use workbench::runner::save_doc;

pub(crate) fn run(dir: &Path, out: &mut dyn Write) -> Result<bool> {
    let demo = demo::build(SystemClock::new().now()).context("the demo studio does not hold together")?;
    let studio = &demo.studio;
    let made =
        StudioFolder::create_filled(dir, Arc::new(DiskVfs), studio.policies(), |folder| fill(folder, &demo));
    made.map_err(|why| why.told(dir))?;
    writeln!(
        out,
        "a demo studio with {} orders and {} photos is in {}",
        studio.orders().len(),
        demo.photos.len(),
        dir.display()
    )?;
    Ok(true)
}

/// Why there is no demo studio.
#[derive(Debug)]
enum NotMade {
    /// The folder could not be taken, or its last file not be written.
    Store(StoreError),
    /// A part of it was not written.
    Begun(SaveError),
}

impl NotMade {
    /// A folder that was begun is in the way of a second attempt, so that is said first.
    fn told(self, dir: &Path) -> anyhow::Error {
        let dir = dir.display();
        let begun = format!("the demo studio in {dir} is not whole; delete {dir} and try again");
        match self {
            Self::Begun(why) => anyhow::Error::new(why).context(begun),
            Self::Store(why @ StoreError::NotMade { .. }) => anyhow::Error::new(why).context(begun),
            Self::Store(why) => {
                anyhow::Error::new(why).context(format!("no demo studio was written to {dir}"))
            }
        }
    }
}

impl From<StoreError> for NotMade {
    fn from(why: StoreError) -> Self {
        Self::Store(why)
    }
}

/// Writes everything but the studio's settings, which say that it is whole and therefore come last.
fn fill(folder: &StudioFolder, demo: &Demo) -> Result<(), NotMade> {
    for photo in &demo.photos {
        folder.keep_photo(&photo.bytes, photo.kind.extension()).map_err(NotMade::Begun)?;
    }
    let studio = &demo.studio;
    let shelf = studio.shelf().keys().cloned().map(DocId::Shelf);
    let clients = studio.clients().keys().cloned().map(DocId::Client);
    let orders = studio.orders().keys().copied().map(DocId::Order);
    let invoices = studio.invoices().keys().copied().map(DocId::Invoices);
    for id in shelf.chain(clients).chain(orders).chain(invoices) {
        let Some(doc) = studio.doc(&id) else { continue };
        match save_doc(folder, &doc) {
            SaveOutcome::Saved(_) => {}
            SaveOutcome::NotSaved(why) | SaveOutcome::InDoubt(why) => {
                return Err(NotMade::Begun(why.of_a_new_file()));
            }
            SaveOutcome::Conflict { kept_beside } => {
                let path = folder.root().join(kept_beside);
                return Err(NotMade::Begun(SaveError::NotRead { path }));
            }
        }
    }
    folder.save_heads(&witness(studio));
    Ok(())
}
