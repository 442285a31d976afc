//! What the tests of the whole house, which are in `it`, share with the fuzzing in `fuzz`: a check of every reader of
//! bytes and text.

pub mod loaders;
