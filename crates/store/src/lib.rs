//! The studio folder: readable files that are replaced whole or not at all.
//!
//! One document is one file of readable text, its version first. A save is called saved only when it is on
//! the disk and was read back; otherwise it is not saved, or in doubt, or (where another program changed the
//! file meanwhile) kept beside it, and each of these is said. A file that cannot be read is listed, never
//! hidden and never replaced, and only "not found" means absent.
//!
//! Store **never** knows a window, a page or a rule of the trade: it keeps whatever document it is given. It
//! never follows a link inside the folder, never repeats a failed sync on the same file, and never writes
//! without holding the folder's lock.
//!
//! ```
//! use std::sync::Arc;
//!
//! use serde::{Deserialize, Serialize};
//! use store::folder::{Loaded, StudioFolder};
//! use store::name::{DocKind, DocPath};
//! use store::save::SaveOutcome;
//! use store::vfs::DiskVfs;
//!
//! #[derive(Debug, PartialEq, Serialize, Deserialize)]
//! #[serde(deny_unknown_fields)]
//! struct Policies {
//!     keep_back_percent: u8,
//! }
//!
//! # fn main() -> Result<(), Box<dyn std::error::Error>> {
//! # let home = tempfile::tempdir()?;
//! let path = home.path().join("studio");
//! let folder = StudioFolder::create(&path, Arc::new(DiskVfs), &Policies { keep_back_percent: 33 })?;
//! match folder.save(&DocPath::studio(), &Policies { keep_back_percent: 40 }) {
//!     SaveOutcome::Saved(hash) => assert_eq!(hash.to_string().len(), 64),
//!     other => panic!("{other:?}"),
//! }
//! drop(folder);
//!
//! let folder = StudioFolder::open(&path, Arc::new(DiskVfs))?;
//! let loaded = folder.load::<Policies>(&DocPath::studio())?;
//! assert_eq!(loaded, Loaded::Whole(Policies { keep_back_percent: 40 }));
//! assert!(folder.list(DocKind::Order)?.documents.is_empty());
//!
//! let text = std::fs::read_to_string(path.join("studio.ron"))?;
//! assert!(text.starts_with("(\n    version: 1,\n    kind: \"studio\",\n    body: ("));
//! # Ok(())
//! # }
//! ```
#![warn(clippy::indexing_slicing)]

pub mod backup;
mod finite;
pub mod folder;
pub mod forgotten;
pub mod format;
pub mod heads;
pub mod history;
#[cfg(test)]
mod meanwhile;
pub mod name;
pub mod photos;
#[cfg(test)]
mod proof;
pub mod save;
mod search;
#[cfg(any(test, feature = "sim"))]
pub mod sim;
pub mod summaries;
pub mod vfs;
pub mod watch;

/// What an error says, followed by what each cause below it says: `the disk would not read x: permission denied`.
/// A cause whose words are in what was said already is left out.
pub fn told(error: &(dyn std::error::Error + 'static)) -> String {
    let mut said = error.to_string();
    let mut below = error.source();
    while let Some(cause) = below {
        let words = cause.to_string();
        if !said.contains(&words) {
            said.push_str(": ");
            said.push_str(&words);
        }
        below = cause.source();
    }
    said
}

#[cfg(test)]
mod tests {
    use std::io;
    use std::path::PathBuf;
    use std::sync::Arc;

    use super::told;
    use crate::folder::{Access, StoreError};
    use crate::format::EncodeError;
    use crate::save::SaveError;

    #[test]
    fn every_cause_is_told_once() {
        let path = PathBuf::from("/s/studio.ron");
        let source = Arc::new(io::Error::other("it is on fire"));
        let full = SaveError::Full { path: path.clone(), source };
        let said = told(&full);
        assert!(said.ends_with("and it will be saved again: it is on fire"), "{said}");
        let not_made = told(&StoreError::NotMade { path: "/s".into(), source: full.of_a_new_file() });
        assert_eq!(
            not_made,
            "no studio was made in /s: the disk is full, so /s/studio.ron was not kept; what was saved before is \
             untouched; free some space, then try again: it is on fire"
        );
        let text = told(&SaveError::Text { path, source: EncodeError::TooLarge(9) });
        assert_eq!(text.matches("it is 9 bytes long").count(), 1, "{text}");
        let denied = StoreError::NotWritable { path: "/s".into(), access: Access::Looking };
        assert_eq!(told(&denied), denied.to_string(), "where there is no cause nothing is added");
    }
}
