//! Every word the program says: pure functions from craft values to phrases, row models and paper facts.
//!
//! Nothing here draws, reads a file or asks what time it is: the moment comes in. Refusals and errors of craft
//! keep their own sentences.

pub mod paper_facts;
#[cfg(test)]
pub(crate) mod sample;
pub mod saving_words;
pub mod undo_words;
pub mod words;
