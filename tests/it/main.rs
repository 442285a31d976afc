//! The whole job, checked from outside.

mod house;
mod published_money;
mod published_weighing;
