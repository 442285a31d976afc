//! Shares of a lot.

use craft::units::Share;

use super::Typed;
use super::number::{Decimal, split_unit, whole};
use super::plain::{about, plain, quoted};
use crate::present::words;

/// The parts that have a name, one and several of them.
const PARTS: [(u32, &str, &str); 20] = [
    (2, "half", "halves"),
    (3, "third", "thirds"),
    (4, "quarter", "quarters"),
    (4, "fourth", "fourths"),
    (5, "fifth", "fifths"),
    (6, "sixth", "sixths"),
    (7, "seventh", "sevenths"),
    (8, "eighth", "eighths"),
    (9, "ninth", "ninths"),
    (10, "tenth", "tenths"),
    (12, "twelfth", "twelfths"),
    (15, "fifteenth", "fifteenths"),
    (16, "sixteenth", "sixteenths"),
    (20, "twentieth", "twentieths"),
    (25, "twenty-fifth", "twenty-fifths"),
    (30, "thirtieth", "thirtieths"),
    (40, "fortieth", "fortieths"),
    (50, "fiftieth", "fiftieths"),
    (100, "hundredth", "hundredths"),
    (1_000, "thousandth", "thousandths"),
];

/// Fractions that are one character.
const SIGNS: [(char, u32, u32); 18] = [
    ('½', 1, 2),
    ('⅓', 1, 3),
    ('⅔', 2, 3),
    ('¼', 1, 4),
    ('¾', 3, 4),
    ('⅕', 1, 5),
    ('⅖', 2, 5),
    ('⅗', 3, 5),
    ('⅘', 4, 5),
    ('⅙', 1, 6),
    ('⅚', 5, 6),
    ('⅐', 1, 7),
    ('⅛', 1, 8),
    ('⅜', 3, 8),
    ('⅝', 5, 8),
    ('⅞', 7, 8),
    ('⅑', 1, 9),
    ('⅒', 1, 10),
];

/// What "nearly all of it" and "a trace" are taken for, in millionths.
const NEARLY_ALL: Share = Share::from_millionths(995_000);
const TRACE: Share = Share::from_millionths(250);

/// A share of a lot: "a third", "about two thirds", "1/3", "⅓", "5 %", "0.05", "half", "all", "nothing".
///
/// It reads whatever [`words::share`] says: named fractions, whole per cents below a fifth, nothing and all come back as
/// they were, and other figures to the last digit that was said.
///
/// # Errors
/// What is wrong with the text, and what would be right.
pub fn share(text: &str) -> Result<Typed<Share>, String> {
    let all = plain(text);
    let (by_eye, rest) = about(&all);
    let rest = [" of it", " of them", " of all", " of the lot", " of what came", " of everything"]
        .iter()
        .find_map(|tail| rest.strip_suffix(tail))
        .unwrap_or(rest);
    let value = in_words(rest)
        .or_else(|| fraction(rest))
        .map_or_else(|| figure(rest, text), |micro| exact(micro, text))?;
    Ok(Typed { value, echo: echo(value, by_eye) })
}

/// Millionths, or none where it is not said in words.
fn in_words(rest: &str) -> Option<u64> {
    let share = match rest {
        "nothing" | "none" | "nil" | "zero" | "no" => Share::NONE,
        "all" | "everything" | "whole" | "the whole" | "the lot" | "whole lot" | "the whole lot" => {
            Share::WHOLE
        }
        "nearly all" | "almost all" | "nearly everything" | "almost everything" => NEARLY_ALL,
        "a trace" | "trace" | "traces" | "almost nothing" | "nearly nothing" => TRACE,
        _ => return None,
    };
    Some(u64::from(share.millionths()))
}

/// Millionths of a fraction in words, with a stroke, or as a sign.
fn fraction(rest: &str) -> Option<u64> {
    let (num, den) = sign(rest).or_else(|| stroke(rest)).or_else(|| named(rest))?;
    let (num, den) = (u64::from(num), u64::from(den));
    (den > 0).then(|| (num * 1_000_000 + den / 2) / den)
}

fn sign(rest: &str) -> Option<(u32, u32)> {
    let mut letters = rest.chars();
    let first = letters.next()?;
    let known = SIGNS.iter().find(|(sign, ..)| *sign == first).filter(|_| letters.next().is_none());
    known.map(|(_, num, den)| (*num, *den))
}

fn stroke(rest: &str) -> Option<(u32, u32)> {
    let (num, den) = rest.split_once('/')?;
    let whole = |text: &str| text.trim().parse::<u32>().ok().filter(|_| !text.trim().starts_with('+'));
    Some((whole(num)?, whole(den)?))
}

fn named(rest: &str) -> Option<(u32, u32)> {
    let part =
        |name: &str| PARTS.iter().find(|(_, one, many)| [*one, *many].contains(&name)).map(|part| part.0);
    if let Some(den) = part(rest) {
        return Some((1, den));
    }
    let (num, name) = rest.split_once([' ', '-'])?;
    Some((whole(num)?, part(name.trim_start_matches("a "))?))
}

/// Per cent, or a part of one as a decimal.
fn figure(rest: &str, text: &str) -> Result<Share, String> {
    if rest.is_empty() {
        return Err(format!("write a share, such as {EXAMPLES}"));
    }
    let unreadable = || format!("{} is not a share; write it like {EXAMPLES}", quoted(text));
    if rest.starts_with('-') {
        return Err(format!("{} is below nothing; write it without the minus", quoted(text)));
    }
    let (number, unit) = split_unit(rest);
    let read = Decimal::read(number).ok_or_else(unreadable)?;
    match unit {
        "%" | "per cent" | "percent" | "pc" => {
            let micro = read.rounded_micro(1).ok_or_else(unreadable)?;
            exact(u64::try_from((micro + 50) / 100).unwrap_or(u64::MAX), text)
        }
        "" => {
            let micro = read.rounded_micro(1).ok_or_else(unreadable)?;
            match u64::try_from(micro).unwrap_or(u64::MAX) {
                micro @ 0..1_000_000 => exact(micro, text),
                1_000_000 => Err(format!(
                    "{} may be all of it or one per cent; write \"all\" or \"1 %\"",
                    quoted(text)
                )),
                _ => {
                    Err(format!("{} is more than all of it; for per cent write \"{number} %\"", quoted(text)))
                }
            }
        }
        _ => Err(unreadable()),
    }
}

const EXAMPLES: &str = "\"a third\", \"5 %\" or \"0.05\"";

/// A share that is no more than there is.
fn exact(micro: u64, text: &str) -> Result<Share, String> {
    u32::try_from(micro).ok().map(Share::from_millionths).filter(|share| *share <= Share::WHOLE).ok_or_else(
        || {
            format!(
                "{} is more than all of it; write a share up to \"all\", such as {EXAMPLES}",
                quoted(text)
            )
        },
    )
}

fn echo(share: Share, by_eye: bool) -> String {
    let said = words::share(share);
    let said = if said.starts_with("about ") { per_cent(share) } else { said };
    if by_eye && share != Share::NONE && share != Share::WHOLE { format!("about {said}") } else { said }
}

/// Per cent to the last digit.
fn per_cent(share: Share) -> String {
    let (whole, rest) = (share.millionths() / 10_000, share.millionths() % 10_000);
    let decimals = format!("{rest:04}");
    let decimals = decimals.trim_end_matches('0');
    if decimals.is_empty() { format!("{whole} %") } else { format!("{whole}.{decimals} %") }
}
