//! Every word the program says: pure functions from craft values to phrases, row models and paper facts.
//!
//! Nothing here draws, reads a file or asks what time it is: the moment comes in. Refusals and errors of craft
//! keep their own sentences.

pub mod accounts;
pub mod alike;
pub mod backup_words;
#[cfg(test)]
mod bench_words;
pub mod board;
pub mod card_words;
pub mod cautions;
pub mod choosing;
pub mod client_rows;
pub mod custody;
pub mod difference_words;
pub mod drying;
pub mod find;
pub mod finding_words;
pub mod fit_words;
pub mod folder_words;
pub mod forget_words;
pub mod hand_over_words;
pub mod heading;
pub mod job_words;
pub mod labels;
pub mod learn_words;
pub mod leaving;
pub mod list_words;
pub mod lot_story;
pub mod messages;
pub mod pages;
pub mod paper_facts;
pub mod paper_rows;
pub mod parcels;
pub mod places;
pub mod plan_words;
pub mod pour_explained;
pub mod pour_words;
pub mod reading_words;
pub(crate) mod record;
pub mod remedy_words;
#[cfg(test)]
pub(crate) mod sample;
pub mod saving_words;
pub mod shelf_explained;
pub mod shelf_words;
pub mod showing;
pub mod stone_words;
pub mod strip;
pub mod tag_words;
pub mod things;
pub mod trying_words;
pub mod undo_words;
pub mod version_words;
pub mod wait_words;
pub mod words;
