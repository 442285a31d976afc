//! `heldfast demo DIR`: writes a demo studio.

use std::io::Write;
use std::path::Path;
use std::sync::Arc;

use anyhow::{Context as _, Result, anyhow};
use craft::id::DocId;
use store::folder::StudioFolder;
use store::save::SaveOutcome;
use store::vfs::DiskVfs;
use workbench::clock::{Clock as _, SystemClock};
use workbench::demo;
use workbench::open::witness;
use workbench::present::saving_words;
use workbench::runner::save_doc;

pub(crate) fn run(dir: &Path, out: &mut dyn Write) -> Result<bool> {
    let demo = demo::build(SystemClock::new().now()).context("the demo studio does not hold together")?;
    let studio = &demo.studio;
    let folder = StudioFolder::create(dir, Arc::new(DiskVfs), studio.policies())
        .with_context(|| format!("no demo studio was written to {}", dir.display()))?;
    for photo in &demo.photos {
        folder.keep_photo(&photo.bytes, photo.kind.extension())?;
    }
    let shelf = studio.shelf().keys().cloned().map(DocId::Shelf);
    let clients = studio.clients().keys().cloned().map(DocId::Client);
    let orders = studio.orders().keys().copied().map(DocId::Order);
    let invoices = studio.invoices().keys().copied().map(DocId::Invoices);
    for id in shelf.chain(clients).chain(orders).chain(invoices) {
        let Some(doc) = studio.doc(&id) else { continue };
        match save_doc(&folder, &doc) {
            SaveOutcome::Saved(_) => {}
            other => return Err(anyhow!(saving_words::outcome(&other))),
        }
    }
    folder.save_heads(&witness(studio));
    writeln!(
        out,
        "a demo studio with {} orders and {} photos is in {}",
        studio.orders().len(),
        demo.photos.len(),
        dir.display()
    )?;
    Ok(true)
}
