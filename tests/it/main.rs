//! The whole job, checked from outside.

mod published_weighing;
