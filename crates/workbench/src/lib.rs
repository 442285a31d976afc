//! Placeholder.

pub mod present;
