//! The window, driven by a hand at the keyboard.

mod first;
mod hand;
mod home;
mod lamp;
mod looks;
mod many;
mod papers;
mod raster;
mod shelf;
mod shell;
mod show;
