//! The window, driven by a hand at the keyboard.

mod first;
mod hand;
mod lamp;
mod looks;
mod many;
mod papers;
mod raster;
mod shelf;
mod shell;
mod show;
