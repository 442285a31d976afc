//! What the program does, one module for each door. Each door answers `true` where all is well, which is exit status 0.

pub(crate) mod backup;
pub(crate) mod check;
pub(crate) mod demo;
pub(crate) mod forget;
pub(crate) mod hand_over;
pub(crate) mod list;
pub(crate) mod papers;
pub(crate) mod plan;
pub(crate) mod record;
pub(crate) mod restore;
pub(crate) mod window;

use std::path::{Path, PathBuf};
use std::sync::Arc;

use anyhow::{Context as _, Result};
use craft::tag::Tag;
use store::vfs::DiskVfs;
use workbench::open::{Opened, look};

/// Looks into a studio, which a window may have open meanwhile. Nothing in it is changed.
fn look_into(dir: &Path) -> Result<Opened> {
    look(dir, Arc::new(DiskVfs)).with_context(|| format!("the studio in {} cannot be opened", dir.display()))
}

/// Where this computer keeps who is forgotten, apart from any studio: ids and tags only. None where the system names no
/// home.
fn forgotten_list(studio: &str) -> Option<PathBuf> {
    let own = desk::platform::Places::of_this_person()?;
    Some(workbench::keeping::list_of(&own.forgotten_lists(), studio))
}

/// Reads a tag as it was typed.
fn read_tag(text: &str) -> Result<Tag> {
    Ok(text.parse::<Tag>()?)
}
