//! The whole job, checked from outside.

mod published_money;
mod published_weighing;
