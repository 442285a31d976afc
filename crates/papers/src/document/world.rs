//! The whole world a template can see: a handful of files held in memory, and a date.

use std::collections::BTreeMap;

use typst::diag::{FileError, FileResult, PackageError};
use typst::foundations::{Bytes, Datetime, Duration};
use typst::syntax::{FileId, RootedPath, Source, VirtualPath, VirtualRoot};
use typst::text::{Font, FontBook};
use typst::utils::LazyHash;
use typst::{Library, LibraryExt as _, World};

use super::DocumentError;

/// Everything a template can reach. There is no disk and no network behind it.
pub(super) struct PaperWorld {
    library: LazyHash<Library>,
    book: LazyHash<FontBook>,
    fonts: Vec<Font>,
    main: FileId,
    sources: BTreeMap<String, Source>,
    files: BTreeMap<String, Bytes>,
    today: Datetime,
}

impl PaperWorld {
    /// A world with the fonts given and nothing else in it but an empty main template at `main`.
    pub(super) fn new(main: &str, fonts: Vec<Font>, today: Datetime) -> Result<Self, DocumentError> {
        Ok(Self {
            library: LazyHash::new(Library::default()),
            book: LazyHash::new(FontBook::from_fonts(&fonts)),
            fonts,
            main: file_id(main)?,
            sources: BTreeMap::new(),
            files: BTreeMap::new(),
            today,
        })
    }

    /// Puts a template in at `path`.
    pub(super) fn add_source(&mut self, path: &str, text: &str) -> Result<(), DocumentError> {
        let source = Source::new(file_id(path)?, text.to_owned());
        self.sources.insert(path.to_owned(), source);
        Ok(())
    }

    /// Puts a file in at `path`.
    pub(super) fn add_file(&mut self, path: String, bytes: Bytes) {
        self.files.insert(path, bytes);
    }
}

/// The engine's id of a path. Ids are never given back and number at most 65 535, which is why
/// photos are filed under their place in the paper and not under their own names.
fn file_id(path: &str) -> Result<FileId, DocumentError> {
    let path = VirtualPath::new(path).map_err(|error| DocumentError::Engine(error.to_string()))?;
    Ok(RootedPath::new(VirtualRoot::Project, path).intern())
}

/// The path of an id, unless it points into a package: those are never fetched.
fn path_of(id: FileId) -> FileResult<&'static str> {
    match id.get().root() {
        VirtualRoot::Project => Ok(id.get().vpath().get_with_slash()),
        VirtualRoot::Package(_) => Err(FileError::Package(PackageError::Other(None))),
    }
}

impl World for PaperWorld {
    fn library(&self) -> &LazyHash<Library> {
        &self.library
    }

    fn book(&self) -> &LazyHash<FontBook> {
        &self.book
    }

    fn main(&self) -> FileId {
        self.main
    }

    fn source(&self, id: FileId) -> FileResult<Source> {
        let path = path_of(id)?;
        self.sources.get(path).cloned().ok_or_else(|| FileError::NotFound(path.into()))
    }

    fn file(&self, id: FileId) -> FileResult<Bytes> {
        let path = path_of(id)?;
        let source = || self.sources.get(path).map(|source| Bytes::from_string(source.clone()));
        self.files.get(path).cloned().or_else(source).ok_or_else(|| FileError::NotFound(path.into()))
    }

    fn font(&self, index: usize) -> Option<Font> {
        self.fonts.get(index).cloned()
    }

    fn today(&self, _offset: Option<Duration>) -> Option<Datetime> {
        Datetime::from_ymd(self.today.year()?, self.today.month()?, self.today.day()?)
    }
}
