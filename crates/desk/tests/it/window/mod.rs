//! The window, driven by a hand at the keyboard.

mod first;
mod fit;
mod hand;
mod lamp;
mod looks;
mod many;
mod papers;
mod pour;
mod raster;
mod shelf;
mod shell;
mod show;
