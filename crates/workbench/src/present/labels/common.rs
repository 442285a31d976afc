//! Words on the controls: common.

use craft::id::Thing;
use craft::order::Page;

use crate::present::words;

/// Opens how the figures of a page were worked out.
pub const EXPLAIN: &str = "How is this worked out?";

/// The formula behind a figure.
pub fn formula(formula: &str) -> String {
    format!("The formula: {formula}.")
}

/// Where a formula comes from.
pub fn source(source: &str) -> String {
    format!("Source: {source}.")
}

/// "Your words about this page".
pub const WORDS: &str = "Your words about this page";

/// "Take care".
pub const CARE: &str = "Take care";

/// The way to the page where something is mended.
pub fn way_to(page: Page) -> String {
    format!("to {}", words::page(page))
}

/// Asked before something is written down as not to be found.
pub const LOST_ASK: &str =
    "Have you looked on the bench, in the moulds and in this order\u{2019}s other packets?";

/// It is sure.
pub fn lost_yes(thing: Thing) -> String {
    format!("yes, {} cannot be found", words::thing_plain(thing))
}

/// It is not.
pub const LOST_NO: &str = "no, look again";
