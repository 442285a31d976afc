//! Opening a file in the viewer that the system has for it.

use std::fmt;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use workbench::present::labels::computer as labels;

use super::errands::{Errands, Wake};

/// A file that could not be handed to a viewer.
#[derive(Debug, thiserror::Error)]
pub enum OpeningError {
    /// There is nothing at this path.
    #[error("{} is not there any more; make it again, or look where it was moved to", path.display())]
    NotThere {
        /// The file.
        path: PathBuf,
    },
    /// Whether it is there could not be told.
    #[error("{} cannot be looked at", path.display())]
    NotSeen {
        /// The file.
        path: PathBuf,
        /// Why.
        #[source]
        source: std::io::Error,
    },
    /// No viewer took it.
    #[error("{} could not be opened: {words}", path.display())]
    NotOpened {
        /// The file.
        path: PathBuf,
        /// What the system said.
        words: String,
    },
}

/// Hands a path to the system; the words where it refuses.
type Open = dyn Fn(&Path) -> Result<(), String> + Send + Sync;

/// The files that are being opened.
pub struct Opening {
    open: Arc<Open>,
    errands: Errands<Result<String, OpeningError>>,
}

impl fmt::Debug for Opening {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Opening").field("errands", &self.errands).finish_non_exhaustive()
    }
}

impl Opening {
    /// Opens with what the system has. `wake` is called when it is known how it went.
    pub fn new(wake: Wake) -> Self {
        Self::opened_by(wake, |path| opener::open(path).map_err(|error| store::told(&error)))
    }

    /// Opens with `open`: for trials without a desktop.
    pub fn opened_by(wake: Wake, open: impl Fn(&Path) -> Result<(), String> + Send + Sync + 'static) -> Self {
        Self { open: Arc::new(open), errands: Errands::new(wake) }
    }

    /// Opens a file or folder and returns at once.
    pub fn ask(&mut self, path: PathBuf) {
        let open = Arc::clone(&self.open);
        let words = "the program that opens files broke off".to_owned();
        let lost = Err(OpeningError::NotOpened { path: path.clone(), words });
        self.errands.run("opening", lost, move || opened(path, open.as_ref()));
    }

    /// How the next one went: what to say, or why not. Never waits. The system does not tell whether a viewer really
    /// came up, so the words name the file, where the person can find it.
    pub fn poll(&mut self) -> Option<Result<String, OpeningError>> {
        self.errands.poll()
    }
}

fn opened(path: PathBuf, open: &Open) -> Result<String, OpeningError> {
    match path.try_exists() {
        Ok(true) => {}
        Ok(false) => return Err(OpeningError::NotThere { path }),
        Err(source) => return Err(OpeningError::NotSeen { path, source }),
    }
    // A path that begins with no slash could be read as an option or an address.
    let full = std::path::absolute(&path).unwrap_or_else(|_| path.clone());
    match open(&full) {
        Ok(()) => Ok(labels::opened(full.display())),
        Err(words) => Err(OpeningError::NotOpened { path, words }),
    }
}

#[cfg(test)]
mod tests {
    use std::path::PathBuf;

    use super::super::errands::testing::bell;
    use super::{Opening, OpeningError};

    fn asked(path: PathBuf, refusal: Option<&'static str>) -> Result<String, OpeningError> {
        let (wake, woken) = bell();
        let mut opening = Opening::opened_by(wake, move |path| {
            assert!(path.is_absolute());
            refusal.map_or(Ok(()), |words| Err(words.to_owned()))
        });
        assert!(opening.poll().is_none());
        opening.ask(path);
        woken.recv().unwrap();
        opening.poll().unwrap()
    }

    #[test]
    fn an_opened_file_is_named() {
        let file = tempfile::NamedTempFile::new().unwrap();
        let said = asked(file.path().to_owned(), None).unwrap();
        assert_eq!(said, format!("Opened in your viewer: {}", file.path().display()));
        assert!(asked("Cargo.toml".into(), None).unwrap().ends_with("Cargo.toml"), "made absolute first");
    }

    #[test]
    fn a_file_that_is_gone_is_told_before_any_viewer_is_asked() {
        let dir = tempfile::tempdir().unwrap();
        let gone = dir.path().join("kit.pdf");
        let error = asked(gone.clone(), Some("never reached")).unwrap_err();
        assert!(matches!(&error, OpeningError::NotThere { path } if *path == gone), "{error}");
        assert!(error.to_string().contains("is not there any more"), "{error}");
    }

    #[test]
    fn a_refusal_is_told_in_its_own_words() {
        let file = tempfile::NamedTempFile::new().unwrap();
        let error = asked(file.path().to_owned(), Some("no viewer for it")).unwrap_err();
        assert!(error.to_string().ends_with("could not be opened: no viewer for it"), "{error}");
        let beyond = file.path().join("below a file");
        assert!(matches!(
            asked(beyond, None),
            Err(OpeningError::NotSeen { .. } | OpeningError::NotThere { .. })
        ));
    }
}
