//! The window, driven by a hand at the keyboard.

mod after;
mod begin;
mod brief;
mod first;
mod hand;
mod looks;
mod many;
mod messages;
mod raster;
mod shell;
