//! The house widgets: the few parts every page is made of. Each control has a readable name of its own.

mod cells;
mod drafts;
mod explained;
mod fields;
mod follow;
pub mod glass;
mod moments;
mod parts;
mod path;
pub mod photos;
mod pick;
mod place;
mod press;
mod rows;
mod running;
mod said;
mod sheet;
mod slide;
mod words_row;

pub use cells::{Column, cells, columns, sentence};
pub use drafts::Drafts;
pub use explained::explained;
pub use fields::{Field, area, choice, entered, focus, form_area, form_line, form_read, line, one_of, read};
pub use follow::follow_focus;
pub use moments::{Along, moments};
pub use parts::{care, gap, heading, known, labelled, note, pair, rule, say, scrolled, second, wrong};
pub use path::{PathForm, path_form};
pub use pick::{focus_pick, pick};
pub use place::{offer_place, place};
pub use press::{fold, link, main_button, plain_button, tab, tick};
pub use rows::{Picture, picture_row};
pub use running::Running;
pub use said::{long_words, read_or_none, text, words};
pub use sheet::sheet;
pub use slide::slide;
pub use words_row::{ROW, words_row};
