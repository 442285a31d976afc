//! `heldfast [--studio DIR]`: opens the window.

use std::path::PathBuf;

use anyhow::{Result, anyhow};
use desk::app::{Opening, run as open_window};
use desk::platform::prefs::Preferences;
use desk::platform::{Places as Own, crash, libraries};
use desk::window::Places;
use directories::UserDirs;

pub(crate) fn run(studio: Option<PathBuf>) -> Result<bool> {
    let screen = libraries::check()?;
    let own = Own::of_this_person();
    let mut said = Vec::new();
    let mut prefs = Preferences::default();
    if let Some(own) = &own {
        let (loaded, odd) = Preferences::load(&own.config);
        prefs = loaded;
        said.extend(odd);
        if let Ok(Some(note)) = crash::last_note(&own.state) {
            said.push(note.sentence());
        }
        crash::install(own.state.clone());
    }
    let home = UserDirs::new().map(|dirs| dirs.document_dir().unwrap_or(dirs.home_dir()).to_owned());
    let home = home.unwrap_or_else(|| PathBuf::from("."));
    let demo = own.as_ref().map_or_else(|| home.join("heldfast-demo"), |own| own.state.join("demo"));
    let lists = own.as_ref().map(Own::forgotten_lists);
    // A studio that is not there any more is offered on the first page instead.
    let studio = studio.or_else(|| prefs.studio.clone());
    let opening = Opening { studio, places: Places { home, demo, lists }, own, prefs, said, screen };
    open_window(opening).map_err(|why| anyhow!("no window could be opened: {why}"))?;
    Ok(true)
}
