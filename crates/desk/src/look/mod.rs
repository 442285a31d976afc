//! How the window looks: colours, letters, spacing. Every figure of the look stands in this folder.

mod faces;
mod style;
mod tokens;

pub use faces::{Face, fonts};
pub use style::dress;
pub use tokens::{Tokens, space};
