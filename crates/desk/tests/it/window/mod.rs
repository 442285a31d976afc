//! The window, driven by a hand at the keyboard.

mod first;
mod hand;
mod looks;
mod many;
mod raster;
mod shelf;
mod shell;
