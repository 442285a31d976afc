//! Placeholder.

pub mod demo;
pub mod starter;
