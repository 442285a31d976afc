//! Loading one document: what its file holds, and what is remembered of that for the next save.

use std::convert::Infallible;
use std::io::ErrorKind;

use serde::de::DeserializeOwned;

use super::{Base, StoreError, StudioFolder, disk};
use crate::format::{self, Broken, Decoded, Since};
use crate::name::DocPath;
use craft::digest::Digest;

/// What loading a document gave.
#[derive(Debug, Clone, PartialEq)]
pub enum Loaded<T> {
    /// The document.
    Whole(T),
    /// There is no such file.
    Absent,
    /// The file was made by a newer version of the program; it is left alone.
    Newer {
        /// The version it says it has.
        version: u32,
    },
    /// The file cannot be understood; it is left alone.
    Broken(Broken),
}

/// The bytes of a document's file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FileBytes {
    /// All of them.
    pub bytes: Vec<u8>,
    /// Their digest.
    pub digest: Digest,
    /// Whether they are as this program saved them.
    pub since: Since,
}

/// What loading a document gave, or what was known of the same bytes.
#[derive(Debug, Clone, PartialEq)]
pub enum LoadedOr<T, K> {
    /// The document, with the bytes of its file where there is one.
    Loaded(Loaded<T>, Option<FileBytes>),
    /// What was known, with the bytes.
    Known(K, FileBytes),
}

impl StudioFolder {
    /// Loads one document and remembers its fingerprint, so that a later save can tell whether another
    /// program has changed it.
    ///
    /// # Errors
    /// The disk fails, or a link or folder is in its place. Such a file is never taken for absent.
    pub fn load<T: DeserializeOwned>(&self, path: &DocPath) -> Result<Loaded<T>, StoreError> {
        Ok(match self.load_unless(path, |_| None::<Infallible>)? {
            LoadedOr::Loaded(loaded, _) => loaded,
            LoadedOr::Known(never, _) => match never {},
        })
    }

    /// Loads one document as [`StudioFolder::load`] does, and gives its bytes with it; or only these, where `known` says
    /// what was made of the same bytes before.
    ///
    /// # Errors
    /// As [`StudioFolder::load`].
    pub fn load_unless<T: DeserializeOwned, K>(
        &self,
        path: &DocPath,
        known: impl FnOnce(&FileBytes) -> Option<K>,
    ) -> Result<LoadedOr<T, K>, StoreError> {
        let file = self.whole(path);
        // Asked before the reading, so that a change in between is found at the next look.
        let stat = self.vfs.stat(&file).ok().flatten();
        // Until the file has been understood it must not be replaced; so nothing saves to it meanwhile, and what is
        // read and understood need not keep every other document waiting.
        self.memory().await_reading(path, stat);
        let bytes = match self.vfs.read(&file, format::CAP) {
            Ok(bytes) => bytes,
            Err(error) if error.kind() == ErrorKind::FileTooLarge => {
                return Ok(LoadedOr::Loaded(Loaded::Broken(format::oversized()), None));
            }
            Err(error) => return Err(disk(&file, "read")(error)),
        };
        let Some(bytes) = bytes else {
            self.memory().docs.insert(path.clone(), Base::known(None));
            return Ok(LoadedOr::Loaded(Loaded::Absent, None));
        };
        let (digest, since) = format::fingerprint(&bytes);
        let is_understood = || {
            let mut memory = self.memory();
            if since == Since::Changed {
                memory.changed.insert(path.clone());
            }
            memory.docs.insert(path.clone(), Base::known(Some(digest)));
        };
        let file = FileBytes { bytes, digest, since };
        if let Some(known) = known(&file) {
            is_understood();
            return Ok(LoadedOr::Known(known, file));
        }
        let loaded = match format::decode(path.kind(), &file.bytes) {
            Decoded::Whole(doc) => {
                is_understood();
                Loaded::Whole(doc)
            }
            Decoded::Newer(version) => Loaded::Newer { version },
            Decoded::Broken(broken) => Loaded::Broken(broken),
        };
        Ok(LoadedOr::Loaded(loaded, Some(file)))
    }
}
