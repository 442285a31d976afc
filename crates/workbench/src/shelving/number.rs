//! Plain numbers and shares of pigment, as they are typed on the shelf.

use crate::typed::quoted;

/// Digits before the mark at most, and after it.
const MOST_DIGITS: usize = 6;

/// A number with a decimal comma or point, in millionths.
pub(super) fn decimal_micro(text: &str) -> Option<i64> {
    let text = text.trim();
    let (whole, part) = text.split_once(['.', ',']).unwrap_or((text, ""));
    let digits = |text: &str| text.len() <= MOST_DIGITS && text.bytes().all(|byte| byte.is_ascii_digit());
    if !digits(whole) || !digits(part) || (whole.is_empty() && part.is_empty()) {
        return None;
    }
    let whole: i64 = if whole.is_empty() { 0 } else { whole.parse().ok()? };
    let part: i64 = if part.is_empty() { 0 } else { format!("{part:0<6}").parse().ok()? };
    Some(whole * 1_000_000 + part)
}

/// A number from nothing up, with its unit or without: `example` is one that would be right.
pub(super) fn number_micro(text: &str, unit: &str, example: &str) -> Result<i64, String> {
    let bare = text.trim();
    if bare.is_empty() {
        return Err(format!("write a number, such as {example}"));
    }
    if bare.starts_with(['-', '\u{2212}', '\u{2013}']) {
        return Err(format!("{} is below nothing; write it without the minus", quoted(text)));
    }
    let bare = bare.strip_suffix(unit).unwrap_or(bare);
    decimal_micro(bare).ok_or_else(|| format!("{} is not a number; write it like {example}", quoted(text)))
}

/// A whole number between two: `what` says what is counted.
pub(super) fn whole_within(text: &str, what: &str, least: u32, most: u32) -> Result<u32, String> {
    let plain = text.trim().to_lowercase();
    let number = plain.trim_end_matches(char::is_alphabetic).trim();
    let number = if number.is_empty() { plain.as_str() } else { number };
    crate::typed::whole(number)
        .filter(|count| (least..=most).contains(count))
        .ok_or_else(|| format!("{} is not {what}; write a whole number from {least} to {most}", quoted(text)))
}
