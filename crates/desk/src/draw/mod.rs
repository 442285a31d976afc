//! Pictures that are the data: drawn from what is known, in true shape and colour, and the same everywhere.
//!
//! Each picture is a function over a [`Painter`](egui::Painter) and a place. It draws and answers where things
//! stand; it senses nothing and decides nothing. Sizes are in points, and a picture stays within the rectangle it
//! was given.

pub mod card;
pub mod depth;
pub mod lot;
mod material;
mod paths;
pub mod pour;
pub mod qr;
pub mod ring;
mod section;
pub mod stone;
pub mod things;
pub mod tick;
pub mod tray;
pub mod wedge;

#[cfg(test)]
mod testing;

pub use paths::shade;
