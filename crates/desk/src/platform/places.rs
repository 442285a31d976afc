//! Where this program keeps what is its own, outside any studio folder.

use std::path::{Path, PathBuf};

use directories::ProjectDirs;

/// The folders of this person for what the program itself remembers. None is made before it is needed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Places {
    /// For preferences.
    pub config: PathBuf,
    /// For what can be made again, such as the alarm's sound.
    pub cache: PathBuf,
    /// For what happened, such as a crash note.
    pub state: PathBuf,
}

impl Places {
    /// The usual folders of the person who runs the program (on Linux after the XDG Base Directory Specification 0.8);
    /// `None` where the system names no home.
    pub fn of_this_person() -> Option<Self> {
        let dirs = ProjectDirs::from("", "", "heldfast")?;
        Some(Self {
            config: dirs.config_dir().to_owned(),
            cache: dirs.cache_dir().to_owned(),
            state: dirs.state_dir().unwrap_or_else(|| dirs.data_local_dir()).to_owned(),
        })
    }

    /// Where this computer keeps who is forgotten, apart from any studio: ids and tags only.
    pub fn forgotten_lists(&self) -> PathBuf {
        self.state.join("forgotten")
    }

    /// All of them within one folder: for a trial that shall leave no trace elsewhere.
    pub fn under(folder: &Path) -> Self {
        Self { config: folder.join("config"), cache: folder.join("cache"), state: folder.join("state") }
    }
}

#[cfg(test)]
mod tests {
    use std::path::Path;

    use super::Places;

    #[test]
    fn the_three_places_are_apart_and_bear_the_programs_name() {
        let trial = Places::under(Path::new("/t"));
        assert!(trial.config != trial.cache && trial.cache != trial.state && trial.state != trial.config);
        if let Some(places) = Places::of_this_person() {
            for place in [&places.config, &places.cache, &places.state] {
                assert!(place.to_string_lossy().to_lowercase().contains("heldfast"), "{}", place.display());
            }
            assert!(places.config != places.cache && places.cache != places.state);
        }
    }
}
