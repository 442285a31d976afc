//! The whole job, checked from outside.
