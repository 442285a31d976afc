//! The program as it is run: its doors, and what it leaves behind when it is killed.

mod demo;
mod doors;
mod kills;
mod program;
// One bench for every test of the whole house.
#[path = "../../../../tests/it/support.rs"]
#[expect(dead_code, reason = "the doors need only a part of it")]
mod support;
