//! The program as it is run: its doors, and what it leaves behind when it is killed.

#[cfg(test)]
mod demo;
#[cfg(test)]
mod doors;
#[cfg(test)]
mod doors_keep;
#[cfg(test)]
mod kills;
#[cfg(test)]
mod program;
// One bench for every test of the whole house.
#[cfg(test)]
#[path = "../../../../tests/it/support.rs"]
#[expect(dead_code, reason = "the doors need only a part of it")]
mod support;
#[cfg(test)]
#[expect(dead_code, reason = "the hand knows more ways than each test needs")]
mod window;
