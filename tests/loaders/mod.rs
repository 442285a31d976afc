//! Every reader of bytes or text that somebody else may have written, as one function each: whatever the bytes are, it
//! does not panic, what is wrong is said in words, and what was read is written and read again as the same.
//!
//! The ordinary tests go through the committed seeds and some thousand changed ones; `.ci/deep fuzz` lets a fuzzer that
//! is led by coverage go on from there.

mod documents;
mod facts;
mod lists;
pub mod mutate;
mod names;
mod outlines;
mod photos;
mod quick;
mod typed;

use std::path::{Path, PathBuf};

/// What a check says where a law is broken.
pub type Law = Result<(), String>;

/// A reader and the law that is held for it.
#[derive(Debug, Clone, Copy)]
pub struct Loader {
    /// Its name, which its folder of seeds bears.
    pub name: &'static str,
    /// The golden files it reads, by what their names begin with.
    golden: &'static [&'static str],
    /// Tries one input.
    pub check: fn(&[u8]) -> Law,
}

/// Every reader.
pub const ALL: [Loader; 17] = [
    Loader { name: "studio", golden: &["studio"], check: documents::studio },
    Loader { name: "client", golden: &["client"], check: documents::client },
    Loader { name: "order", golden: &["order"], check: documents::order },
    Loader {
        name: "shelf",
        golden: &["lamp", "mould", "pigment", "resin", "scale", "setting"],
        check: documents::shelf,
    },
    Loader { name: "money", golden: &["money"], check: documents::money },
    Loader { name: "heads", golden: &[], check: lists::heads },
    Loader { name: "forgotten", golden: &[], check: lists::forgotten },
    Loader { name: "records", golden: &[], check: lists::records },
    Loader { name: "summaries", golden: &[], check: lists::summaries },
    Loader { name: "last-backup", golden: &[], check: lists::last_backup },
    Loader { name: "backup", golden: &[], check: lists::backup },
    Loader { name: "photo", golden: &[], check: photos::photo },
    Loader { name: "outline", golden: &[], check: outlines::outline },
    Loader { name: "names", golden: &[], check: names::names },
    Loader { name: "typed", golden: &[], check: typed::typed },
    Loader { name: "quick", golden: &[], check: quick::quick },
    Loader { name: "facts", golden: &[], check: facts::facts },
];

/// The reader of this name.
pub fn named(name: &str) -> Option<Loader> {
    ALL.into_iter().find(|loader| loader.name == name)
}

impl Loader {
    /// The committed inputs it begins with: its own seeds and the golden files of its kind.
    ///
    /// # Errors
    /// A folder cannot be read.
    pub fn seeds(&self) -> std::io::Result<Vec<Vec<u8>>> {
        let fixtures = Path::new(env!("CARGO_MANIFEST_DIR")).join("fixtures");
        let mut files: Vec<PathBuf> = files_of(&fixtures.join("corpus").join(self.name))?;
        let of_this_kind = |path: &PathBuf| {
            let name = path.file_name().unwrap_or_default().to_string_lossy().into_owned();
            self.golden.iter().any(|kind| name.starts_with(kind))
        };
        files.extend(files_of(&fixtures.join("golden"))?.into_iter().filter(of_this_kind));
        files.sort();
        files.iter().map(std::fs::read).collect()
    }
}

fn files_of(dir: &Path) -> std::io::Result<Vec<PathBuf>> {
    std::fs::read_dir(dir)?.map(|entry| Ok(entry?.path())).collect()
}

/// Says which law is broken unless it holds.
pub(crate) fn holds(law: bool, what: impl FnOnce() -> String) -> Law {
    if law { Ok(()) } else { Err(what()) }
}

/// What is said of a wrong input is a sentence: it has words in it.
pub(crate) fn says_something(said: &str) -> Law {
    holds(said.chars().any(char::is_alphabetic), || format!("it is refused without a word: {said:?}"))
}
