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

mod finite;
pub mod folder;
pub mod format;
pub mod heads;
pub mod name;
pub mod photos;
pub mod save;
#[cfg(any(test, feature = "sim"))]
pub mod sim;
pub mod vfs;
