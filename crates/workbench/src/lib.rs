//! Placeholder.

pub mod starter;
