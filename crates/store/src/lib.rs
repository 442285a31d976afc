//! placeholder
#![warn(clippy::indexing_slicing)]

mod finite;
pub mod format;
pub mod hash;
pub mod name;
pub mod save;
#[cfg(any(test, feature = "sim"))]
pub mod sim;
pub mod vfs;
