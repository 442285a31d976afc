//! `heldfast forget DIR CLIENT [--yes]`: forgets a client, and writes the receipt to standard output.

use std::io::Write;
use std::path::Path;
use std::sync::Arc;

use anyhow::{Context as _, Error, Result, bail};
use craft::id::ClientId;
use store::vfs::DiskVfs;
use workbench::clock::{Clock as _, SystemClock};
use workbench::finding::Owners;
use workbench::keeping::{forget, sweep};
use workbench::open::{Opened, open};
use workbench::present::forget_words;

use super::{forgotten_list, look_into};

pub(crate) fn run(dir: &Path, client: &ClientId, yes: bool, out: &mut dyn Write) -> Result<bool> {
    let now = SystemClock::new().now();
    if !yes {
        let opened = look_into(dir)?;
        let who = forget::forgetting(&opened.studio, client, &owners(&opened), now).map_err(Error::msg)?;
        writeln!(out, "{}", forget_words::asked(&who))?;
        return Ok(false);
    }
    let mut opened = open(dir, Arc::new(DiskVfs))
        .with_context(|| format!("the studio in {} cannot be opened", dir.display()))?;
    if let Some(why) = &opened.read_only {
        bail!("{why}");
    }
    let swept = sweep::sweep(&opened.folder, &mut opened.studio, now).map_err(Error::msg)?;
    let who = forget::forgetting(&opened.studio, client, &owners(&opened), now).map_err(Error::msg)?;
    let gone = forget::carry_out(&opened.folder, &who).map_err(Error::msg)?;
    write!(out, "{}", forget_words::receipt(opened.studio.policies().name.as_str(), &gone))?;
    let mut well = gone.troubles.is_empty() && swept.troubles.is_empty();
    // A backup from before must not bring it back, wherever on this computer it is put.
    if let Some(list) = forgotten_list(opened.studio.policies().studio.as_str())
        && let Err(why) = forget::note_outside(&list, &opened.folder)
    {
        writeln!(out, "{}: {why}", forget_words::NOT_NOTED)?;
        well = false;
    }
    Ok(well)
}

/// Whose the orders are that cannot be read.
fn owners(opened: &Opened) -> Owners {
    let forgotten = opened.folder.load_forgotten().unwrap_or_default();
    forget::owners(&opened.findings, &forgotten)
}
