//! The door.
fn main() {}
