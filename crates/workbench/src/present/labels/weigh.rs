//! Words on the controls: weighing and looking.

use craft::id::Thing;

use crate::present::custody::Worth;
use crate::present::words;

/// Which scale.
pub const SCALE: &str = "On which scale";
/// The humidity of the room.
pub const AIR: &str = "The air, % damp";
/// What stands there while it is empty.
pub const AIR_HINT: &str = "not read";
/// The humidity cannot be read.
pub const AIR_FIRST: &str = "look at how damp the air is again, or leave it empty";
/// What a thing holds.
pub fn holds(thing: Thing) -> String {
    super::arrival::weigh(thing)
}
/// An example.
pub const HOLDS_HINT: &str = super::arrival::WEIGH_HINT;

/// Opens what says that a thing was dried: "what is in wrapping 1 was dried".
pub fn dried(thing: Thing) -> String {
    format!("what is in {} was dried", words::thing_plain(thing))
}
/// What that means for the weighings.
pub const DRIED_SAYS: &str = "What is dried weighs less, and nothing of it is gone: weighings before and after are not held against each other.";
/// How.
pub const DRIED_HOW: &str = "How it was dried";
/// How long.
pub const DRIED_LONG: &str = "How long";
/// An example.
pub const DRIED_HINT: &str = "2 days";
/// Writes it down.
pub const DRIED_KEEP: &str = "write down that it was dried";

/// Opens what weighing back could tell: "weighing the hair again"
pub fn back(name: &str) -> String {
    format!("weighing {name} again")
}
/// What it could tell of one thing.
pub fn tells(worth: Worth, words: &str) -> String {
    match worth {
        Worth::Yes => format!("Worth weighing: {words}."),
        Worth::TryFirst => format!("Not yet: {words}."),
        Worth::No => format!("Not worth weighing: {words}."),
    }
}
