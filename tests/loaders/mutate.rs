//! Changes to an input that keep its shape: what a careless hand, a merge of two files or a failing disk makes of it.
//!
//! The same seed gives the same change, so that a failure can be made again from what is printed.

/// Pieces that stand in documents, records and fields, and values at their limits.
const PIECES: [&str; 56] = [
    "(",
    ")",
    "[",
    "]",
    "{",
    "}",
    ",",
    ":",
    "\"",
    "\n",
    " ",
    "-",
    "0",
    "1",
    "255",
    "256",
    "65535",
    "4294967295",
    "4294967296",
    "-1",
    "1e308",
    "1e999",
    "NaN",
    "inf",
    "0.000001",
    "9223372036854775807",
    "None",
    "Some(",
    "()",
    "true",
    "false",
    "// ",
    "/*",
    "*/",
    "r#\"",
    "\\u{202e}",
    "\u{feff}",
    "\u{0}",
    "\u{2028}",
    "é",
    "mm",
    "mg",
    " %",
    " s",
    "2026-02-30",
    "9999-12-31",
    "-0001-01-01",
    "../",
    "version: 2",
    "about ",
    "\u{bd}",
    "±",
    "1,250",
    "W1",
    "E1",
    "S255",
];

/// A small generator of numbers (Marsaglia, "Xorshift RNGs", Journal of Statistical Software 8(14), 2003, the triple
/// 13, 7, 17).
#[derive(Debug, Clone)]
pub struct Dice(u64);

impl Dice {
    /// Begins anew; every seed is good.
    pub fn new(seed: u64) -> Self {
        Self(seed.wrapping_mul(0x9e37_79b9_7f4a_7c15) | 1)
    }

    /// A number below `end`; 0 where that is 0.
    pub fn below(&mut self, end: usize) -> usize {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        let bits = usize::try_from(self.0 >> 16).unwrap_or_default();
        bits.checked_rem(end).unwrap_or_default()
    }
}

/// `input` with one to four changes; `other` is a second input from which pieces are taken over.
pub fn changed(input: &[u8], other: &[u8], dice: &mut Dice) -> Vec<u8> {
    let mut bytes = input.to_vec();
    for _ in 0..=dice.below(4) {
        change(&mut bytes, other, dice);
    }
    bytes
}

fn change(bytes: &mut Vec<u8>, other: &[u8], dice: &mut Dice) {
    let at = dice.below(bytes.len() + 1);
    match dice.below(10) {
        0 => {
            if let Some(byte) = bytes.get_mut(at) {
                *byte ^= 1 << dice.below(8);
            }
        }
        1 => {
            let piece = PIECES.get(dice.below(PIECES.len())).copied().unwrap_or_default();
            let over = dice.below(2) * piece.len();
            replace(bytes, at, over, piece.as_bytes());
        }
        2 => number(bytes, at, dice),
        3 => {
            let (from, to) = line_at(bytes, at);
            replace(bytes, from, to - from, &[]);
        }
        4 => {
            let (from, to) = line_at(bytes, at);
            let line = bytes.get(from..to).unwrap_or_default().to_vec();
            let (before, _) = line_at(bytes, dice.below(bytes.len() + 1));
            replace(bytes, before, 0, &line);
        }
        5 => {
            let (from, to) = line_at(other, dice.below(other.len() + 1));
            let line = other.get(from..to).unwrap_or_default().to_vec();
            let (before, end) = line_at(bytes, at);
            let over = dice.below(2) * (end - before);
            replace(bytes, before, over, &line);
        }
        6 => word(bytes, other, at, dice),
        7 => bytes.truncate(at),
        8 => {
            let byte = u8::try_from(dice.below(256)).unwrap_or_default();
            replace(bytes, at, dice.below(2), &[byte]);
        }
        _ => replace(bytes, at, dice.below(9), &[]),
    }
}

/// Puts bytes in place of the `over` bytes at `at`.
fn replace(bytes: &mut Vec<u8>, at: usize, over: usize, with: &[u8]) {
    let at = at.min(bytes.len());
    let end = at.saturating_add(over).min(bytes.len());
    drop(bytes.splice(at..end, with.iter().copied()));
}

/// The line around a place, with its end.
fn line_at(bytes: &[u8], at: usize) -> (usize, usize) {
    let at = at.min(bytes.len());
    let (before, after) = bytes.split_at(at);
    let from = before.iter().rposition(|&byte| byte == b'\n').map_or(0, |end| end + 1);
    let to = after.iter().position(|&byte| byte == b'\n').map_or(bytes.len(), |end| at + end + 1);
    (from, to)
}

/// The word or number at or behind a place.
fn word_at(bytes: &[u8], at: usize) -> (usize, usize) {
    let of_a_word = |byte: &u8| byte.is_ascii_alphanumeric() || matches!(byte, b'_' | b'.' | b'-');
    let from = bytes.iter().skip(at).position(of_a_word).map_or(bytes.len(), |found| at + found);
    let to = bytes.iter().skip(from).position(|byte| !of_a_word(byte)).map_or(bytes.len(), |len| from + len);
    (from, to)
}

/// A digit becomes another, or the number longer.
fn number(bytes: &mut Vec<u8>, at: usize, dice: &mut Dice) {
    let digit = bytes.iter().skip(at).position(u8::is_ascii_digit).map(|found| at + found);
    let Some(at) = digit else { return };
    let figure = b'0' + u8::try_from(dice.below(10)).unwrap_or_default();
    let over = usize::from(dice.below(4) > 0);
    replace(bytes, at, over, &[figure]);
}

/// A word becomes one that stands elsewhere.
fn word(bytes: &mut Vec<u8>, other: &[u8], at: usize, dice: &mut Dice) {
    let (from, to) = word_at(other, dice.below(other.len() + 1));
    let word = other.get(from..to).unwrap_or_default().to_vec();
    let (place, end) = word_at(bytes, at);
    replace(bytes, place, end - place, &word);
}
