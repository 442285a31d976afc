//! What the window remembers between two starts. Nothing in it belongs to a studio.

use std::fs::{self, File};
use std::io::{self, Write as _};
use std::path::{Path, PathBuf};

use serde::{Deserialize, Serialize, Serializer};
use workbench::present::labels::computer as labels;

/// The file's name within the folder of preferences.
pub const FILE: &str = "preferences.ron";
/// What a file that could not be read is kept as.
pub const BROKEN: &str = "preferences.broken.ron";

/// Light or dark.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Appearance {
    /// As the rest of the desktop.
    #[default]
    AsTheSystem,
    /// Light.
    Light,
    /// Dark.
    Dark,
}

/// How large everything is drawn: 0.5 to 3, 1 as designed.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(from = "f32", into = "f32")]
pub struct Zoom(f32);

impl Zoom {
    /// The nearest that is allowed; 1 where `factor` is no number.
    pub fn new(factor: f32) -> Self {
        Self(if factor.is_nan() { 1.0 } else { factor.clamp(0.5, 3.0) })
    }

    /// The factor, 0.5 to 3.
    pub fn factor(self) -> f32 {
        self.0
    }
}

impl Default for Zoom {
    fn default() -> Self {
        Self(1.0)
    }
}

impl From<f32> for Zoom {
    fn from(factor: f32) -> Self {
        Self::new(factor)
    }
}

impl From<Zoom> for f32 {
    fn from(zoom: Zoom) -> Self {
        zoom.0
    }
}

/// Where the window stood, in points.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct WindowPlace {
    /// Width and height.
    pub size: [f32; 2],
    /// Its upper left corner; `None` where the desktop does not tell.
    pub at: Option<[f32; 2]>,
}

impl WindowPlace {
    /// Whether a window can be opened so: between 200 and 20,000 points a side, with its corner no further away than
    /// that. A file written by hand or by a screen that was unplugged may say otherwise.
    pub fn is_sensible(&self) -> bool {
        let side = |length: &f32| (200.0..=20_000.0).contains(length);
        let corner = |away: &f32| (-20_000.0..=20_000.0).contains(away);
        self.size.iter().all(side) && self.at.iter().flatten().all(corner)
    }
}

/// What the window remembers.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Preferences {
    /// The studio folder that was open last. One whose name is not Unicode is not remembered.
    #[serde(serialize_with = "readable_path")]
    pub studio: Option<PathBuf>,
    /// The studios that were opened, the newest in front; the demo studio is none of them.
    #[serde(serialize_with = "readable_paths")]
    pub recent: Vec<PathBuf>,
    /// Light or dark.
    pub appearance: Appearance,
    /// How large everything is drawn.
    pub zoom: Zoom,
    /// Whether alarms sound.
    pub sound: bool,
    /// Whether alarms show a notice outside the window.
    pub notices: bool,
    /// Where the window stood.
    pub window: Option<WindowPlace>,
}

impl Default for Preferences {
    fn default() -> Self {
        Self {
            studio: None,
            recent: Vec::new(),
            appearance: Appearance::default(),
            zoom: Zoom::default(),
            sound: true,
            notices: true,
            window: None,
        }
    }
}

#[expect(clippy::ref_option, reason = "serde hands over a reference to the field")]
fn readable_path<S: Serializer>(path: &Option<PathBuf>, to: S) -> Result<S::Ok, S::Error> {
    path.as_deref().and_then(Path::to_str).serialize(to)
}

#[expect(clippy::ptr_arg, reason = "serde hands over a reference to the field")]
fn readable_paths<S: Serializer>(paths: &Vec<PathBuf>, to: S) -> Result<S::Ok, S::Error> {
    paths.iter().filter_map(|path| path.to_str()).collect::<Vec<_>>().serialize(to)
}

/// The preferences could not be kept. Nothing in a studio is touched by that.
#[derive(Debug, thiserror::Error)]
pub enum PrefsError {
    /// They could not be written.
    #[error("the preferences could not be kept in {}; the studio is untouched", path.display())]
    NotWritten {
        /// The file.
        path: PathBuf,
        /// Why.
        #[source]
        source: io::Error,
    },
    /// They could not be put into words.
    #[error("the preferences could not be put into a file; the studio is untouched")]
    NotWorded(#[from] ron::Error),
}

impl Preferences {
    /// Reads `preferences.ron` in `folder`. Where there is none these are the usual ones. Where it cannot be read they
    /// are too, and a sentence says so; what was in a broken file is kept as `preferences.broken.ron`.
    pub fn load(folder: &Path) -> (Self, Option<String>) {
        let path = folder.join(FILE);
        let bytes = match fs::read(&path) {
            Ok(bytes) => bytes,
            Err(error) if error.kind() == io::ErrorKind::NotFound => return (Self::default(), None),
            Err(error) => {
                let said = labels::unread_preferences(path.display(), error);
                return (Self::default(), Some(said));
            }
        };
        match ron::de::from_bytes::<Self>(&bytes) {
            Ok(mut read) => {
                read.window = read.window.filter(WindowPlace::is_sensible);
                (read, None)
            }
            Err(error) => (Self::default(), Some(put_aside(&path, &folder.join(BROKEN), &error.to_string()))),
        }
    }

    /// Writes `preferences.ron` in `folder`: either all of it is there afterwards, or what was there before.
    ///
    /// # Errors
    /// [`PrefsError`], where the folder cannot be written to.
    pub fn save(&self, folder: &Path) -> Result<(), PrefsError> {
        let text = ron::ser::to_string_pretty(self, ron::ser::PrettyConfig::new())?;
        let path = folder.join(FILE);
        replace(folder, &path, &text).map_err(|source| PrefsError::NotWritten { path, source })
    }
}

fn put_aside(path: &Path, aside: &Path, wrong: &str) -> String {
    let kept = match fs::rename(path, aside) {
        Ok(()) => labels::put_aside(aside.display()),
        Err(error) => labels::not_put_aside(error),
    };
    labels::broken_preferences(path.display(), wrong, &kept)
}

fn replace(folder: &Path, path: &Path, text: &str) -> io::Result<()> {
    fs::create_dir_all(folder)?;
    let mut file = tempfile::NamedTempFile::new_in(folder)?;
    file.write_all(text.as_bytes())?;
    // The bytes have to be on the disk before the name points at them, and the name after that.
    file.as_file().sync_all()?;
    file.persist(path).map_err(|error| error.error)?;
    sync_folder(folder)
}

#[cfg(unix)]
fn sync_folder(folder: &Path) -> io::Result<()> {
    File::open(folder)?.sync_all()
}

#[cfg(not(unix))]
fn sync_folder(_folder: &Path) -> io::Result<()> {
    Ok(())
}

#[cfg(test)]
mod tests {
    use std::fs;
    use std::path::{Path, PathBuf};

    use super::{Appearance, BROKEN, FILE, Preferences, PrefsError, WindowPlace, Zoom};

    fn unusual() -> Preferences {
        Preferences {
            recent: vec![PathBuf::from("/home/anyone/Boathouse")],
            studio: Some(PathBuf::from("/somewhere/my studio, \"2026\"")),
            appearance: Appearance::Dark,
            zoom: Zoom::new(1.25),
            sound: false,
            notices: false,
            window: Some(WindowPlace { size: [1280.0, 800.5], at: Some([-12.0, 40.0]) }),
        }
    }

    fn load_text(text: &str) -> (Preferences, Option<String>, tempfile::TempDir) {
        let dir = tempfile::tempdir().unwrap();
        fs::write(dir.path().join(FILE), text).unwrap();
        let (read, said) = Preferences::load(dir.path());
        (read, said, dir)
    }

    #[test]
    fn what_is_saved_is_read_again_and_nothing_else_is_left() {
        let dir = tempfile::tempdir().unwrap();
        let folder = dir.path().join("not").join("there yet");
        assert_eq!(Preferences::load(&folder), (Preferences::default(), None));
        for kept in [unusual(), Preferences::default()] {
            kept.save(&folder).unwrap();
            assert_eq!(Preferences::load(&folder), (kept, None));
        }
        assert_eq!(fs::read_dir(&folder).unwrap().count(), 1);
    }

    #[test]
    fn what_is_not_said_is_as_usual() {
        let (read, said, _dir) = load_text("(appearance: light, sound: false)");
        assert_eq!(said, None);
        let expected = Preferences { appearance: Appearance::Light, sound: false, ..Preferences::default() };
        assert_eq!(read, expected);
    }

    #[test]
    fn a_broken_file_is_kept_aside_and_named() {
        for broken in [
            "(zoom: ",
            "(zom: 1.0)",
            "(appearance: blue)",
            "(window: Some((size: (1, 2), at: None, on: 3)))",
            "",
        ] {
            let (read, said, dir) = load_text(broken);
            assert_eq!(read, Preferences::default(), "{broken}");
            let said = said.unwrap();
            assert!(said.contains(FILE) && said.contains(BROKEN) && said.ends_with('.'), "{said}");
            assert_eq!(fs::read_to_string(dir.path().join(BROKEN)).unwrap(), broken);
            assert!(!dir.path().join(FILE).exists());
            // It is told once; the next start is like the first.
            assert_eq!(Preferences::load(dir.path()), (Preferences::default(), None));
        }
    }

    #[test]
    fn a_file_that_cannot_be_read_is_left_where_it_is() {
        let dir = tempfile::tempdir().unwrap();
        fs::create_dir(dir.path().join(FILE)).unwrap();
        let (read, said) = Preferences::load(dir.path());
        assert_eq!(read, Preferences::default());
        assert!(said.unwrap().contains("cannot be read"));
        assert!(dir.path().join(FILE).exists() && !dir.path().join(BROKEN).exists());
    }

    #[test]
    fn numbers_that_no_window_can_have_are_brought_within_reach() {
        for (said, meant) in [(0.1, 0.5), (9.0, 3.0), (f32::NAN, 1.0), (f32::INFINITY, 3.0), (1.5, 1.5)] {
            assert!((Zoom::new(said).factor() - meant).abs() < f32::EPSILON, "{said}");
        }
        let (read, said, _dir) = load_text("(zoom: 50.0, window: Some((size: (NaN, 800.0), at: None)))");
        assert_eq!((read.zoom, read.window, said), (Zoom::new(3.0), None, None));
        for (size, at) in
            [([10.0, 800.0], None), ([900.0, 30_000.0], None), ([900.0, 700.0], Some([0.0, 9e9]))]
        {
            assert!(!WindowPlace { size, at }.is_sensible(), "{size:?} {at:?}");
        }
    }

    #[test]
    fn a_save_that_fails_keeps_what_was_there() {
        let dir = tempfile::tempdir().unwrap();
        let file = dir.path().join("a file");
        fs::write(&file, "not a folder").unwrap();
        assert!(matches!(unusual().save(&file), Err(PrefsError::NotWritten { .. })));
        assert_eq!(fs::read_to_string(&file).unwrap(), "not a folder");
    }

    #[cfg(unix)]
    #[test]
    fn a_folder_whose_name_is_not_unicode_does_not_cost_the_other_preferences() {
        use std::os::unix::ffi::OsStrExt as _;
        let dir = tempfile::tempdir().unwrap();
        let odd = Path::new(std::ffi::OsStr::from_bytes(b"/caf\xe9")).to_owned();
        Preferences { studio: Some(odd), ..unusual() }.save(dir.path()).unwrap();
        assert_eq!(Preferences::load(dir.path()).0, Preferences { studio: None, ..unusual() });
    }
}
