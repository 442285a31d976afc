//! Words on the controls: common.

use craft::order::Page;

use crate::present::words;

/// "Your words about this page".
pub const WORDS: &str = "Your words about this page";

/// "Take care".
pub const CARE: &str = "Take care";

/// The way to the page where something is mended.
pub fn way_to(page: Page) -> String {
    format!("to {}", words::page(page))
}
