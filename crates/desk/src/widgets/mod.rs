//! The house widgets: the few parts every page is made of. Each control has a readable name of its own.

mod drafts;
mod fields;
pub mod glass;
mod parts;
pub mod photos;
mod press;
mod rows;
mod running;

pub use drafts::Drafts;
pub use fields::{Field, area, choice, focus, form_area, form_line, form_read, line, one_of, read};
pub use parts::{care, gap, heading, known, labelled, note, pair, rule, say, scrolled, second};
pub use press::{fold, link, main_button, plain_button, tab, tick};
pub use rows::{Picture, picture_row};
pub use running::Running;
