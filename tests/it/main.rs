//! The whole job, checked from outside.

mod format_page;
mod house;
mod published_money;
mod published_weighing;
