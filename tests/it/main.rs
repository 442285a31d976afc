//! The whole job, checked from outside.

mod planner_exhaustive;
mod published_cure;
