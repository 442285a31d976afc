//! `heldfast [--studio DIR]`: opens the window.

use std::path::PathBuf;

use anyhow::{Result, anyhow};
use desk::app::{Opening, run as open_window};
use desk::platform::prefs::Prefs;
use desk::window::Places;
use directories::{ProjectDirs, UserDirs};

pub(crate) fn run(studio: Option<PathBuf>) -> Result<bool> {
    let own = ProjectDirs::from("", "", "heldfast");
    let home = UserDirs::new().map(|dirs| dirs.document_dir().unwrap_or(dirs.home_dir()).to_owned());
    let home = home.unwrap_or_else(|| PathBuf::from("."));
    let demo = own.as_ref().map_or_else(|| home.join("heldfast-demo"), |own| own.data_local_dir().join("demo"));
    let prefs = Prefs::default();
    let opening = Opening { studio: studio.or_else(|| prefs.last_studio.clone()), places: Places { home, demo }, prefs };
    open_window(opening).map_err(|why| anyhow!("no window could be opened: {why}"))?;
    Ok(true)
}
