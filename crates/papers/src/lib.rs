//! Placeholder.

pub mod photo;
