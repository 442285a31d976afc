//! What stands on controls: labels of fields and buttons, headings, hints. One file for each page, so that a test
//! finds a control by the very words a person reads.

pub mod after;
pub mod arrival;
pub mod begin;
pub mod between;
pub mod board;
pub mod brief;
pub mod card;
pub mod choose;
pub mod common;
pub mod computer;
pub mod first;
pub mod fit;
pub mod guard;
pub mod keeping;
pub mod keys;
pub mod learn;
pub mod life;
pub mod messages;
pub mod pack;
pub mod papers;
pub mod photos;
pub mod place;
pub mod plan;
pub mod pour;
pub mod preferences;
pub mod shelf;
pub mod shell;
pub mod show;
pub mod trying;
pub mod weigh;
