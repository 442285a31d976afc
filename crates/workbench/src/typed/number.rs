//! Numbers as people write them.

use craft::units::MAX_WHOLE;

/// The most digits before and after the mark; anything longer is no number from a bench.
const MOST_DIGITS: usize = 12;

/// A decimal number, exact.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Decimal {
    /// All its digits as one number.
    digits: i128,
    /// How many of them stand after the mark.
    decimals: u32,
    /// Its only mark may be one of thousands as well: "1,250".
    pub(super) two_ways: bool,
}

/// Why a number cannot be held.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Unheld {
    /// More decimals than are kept.
    TooFine,
    /// More than anything on a bench.
    TooLarge,
}

fn is_digits(text: &str) -> bool {
    !text.is_empty() && text.bytes().all(|byte| byte.is_ascii_digit())
}

/// A number whose mark may be one of thousands, written as either may be: as a part, and as a whole.
pub(super) fn either_way(number: &str) -> (String, String) {
    let whole = number.chars().filter(char::is_ascii_digit).collect();
    let part = number.trim().replace(',', ".");
    let short = part.trim_end_matches('0').trim_end_matches('.');
    // What is suggested must be read: three decimals never are, so one more is.
    (if short == part { format!("{part}0") } else { short.to_owned() }, whole)
}

impl Decimal {
    /// Reads a number with a decimal comma or point; digits before it may stand in groups of three.
    pub(super) fn read(text: &str) -> Option<Self> {
        let text = text.trim();
        let (whole, decimals) = halves(text);
        let plain = ungrouped(whole)?;
        let decimals = decimals.unwrap_or("");
        let none = plain.is_empty() && decimals.is_empty();
        if none || !(decimals.is_empty() || is_digits(decimals)) {
            return None;
        }
        if plain.len() > MOST_DIGITS || decimals.len() > MOST_DIGITS {
            return None;
        }
        let two_ways = is_digits(whole) && whole.len() <= 3 && !whole.starts_with('0') && decimals.len() == 3;
        let digits = format!("{plain}{decimals}").parse().ok()?;
        Some(Self { digits, decimals: u32::try_from(decimals.len()).ok()?, two_ways })
    }

    /// The number as whole millionths of a unit of which it counts `per`.
    pub(super) fn micro(self, per: i64) -> Result<i64, Unheld> {
        let scaled = self.digits * i128::from(per) * 1_000_000;
        let part = 10_i128.pow(self.decimals);
        if scaled % part != 0 {
            return Err(Unheld::TooFine);
        }
        let most = i128::from(MAX_WHOLE) * 1_000_000;
        i64::try_from(scaled / part).ok().filter(|micro| i128::from(*micro) <= most).ok_or(Unheld::TooLarge)
    }

    /// The number rounded to millionths of a unit of which it counts `per`; none beyond anything on a bench.
    pub(super) fn rounded_micro(self, per: i64) -> Option<i64> {
        let scaled = self.digits * i128::from(per) * 1_000_000;
        let part = 10_i128.pow(self.decimals);
        i64::try_from((scaled + part / 2) / part).ok()
    }
}

/// Splits before and after the decimal mark. A mark that stands there more than once is one of thousands.
fn halves(text: &str) -> (&str, Option<&str>) {
    let is_mark = |c: char| c == '.' || c == ',';
    let Some((before, after)) = text.rsplit_once(is_mark) else { return (text, None) };
    let mark = if text.get(before.len()..).is_some_and(|rest| rest.starts_with(',')) { ',' } else { '.' };
    if before.contains(mark) { (text, None) } else { (before, Some(after)) }
}

/// Takes out the marks between groups of three digits; none for any other grouping. Nothing at all is allowed: ".5".
fn ungrouped(whole: &str) -> Option<String> {
    let Some(mark) = whole.chars().find(|c| !c.is_ascii_digit()) else { return Some(whole.to_owned()) };
    let mut groups = whole.split(mark);
    let first = groups.next().filter(|first| is_digits(first) && first.len() <= 3)?;
    let fits = matches!(mark, ' ' | '\'' | '.' | ',')
        && groups.all(|group| group.len() == 3 && is_digits(group))
        && !first.is_empty();
    fits.then(|| whole.chars().filter(char::is_ascii_digit).collect())
}

/// True for what may stand in a number.
pub(super) fn is_of_number(letter: char) -> bool {
    letter.is_ascii_digit() || matches!(letter, '.' | ',' | ' ' | '\'')
}

/// Splits a text after its number: "31 mg" gives "31" and "mg".
pub(super) fn split_unit(text: &str) -> (&str, &str) {
    let end = text.find(|letter: char| !is_of_number(letter)).unwrap_or(text.len());
    let (number, unit) = text.split_at(end);
    (number.trim(), unit.trim().trim_end_matches(['.', ',']).trim_end())
}

/// The numbers that are said as words.
const WORDS: [&str; 21] = [
    "no",
    "one",
    "two",
    "three",
    "four",
    "five",
    "six",
    "seven",
    "eight",
    "nine",
    "ten",
    "eleven",
    "twelve",
    "thirteen",
    "fourteen",
    "fifteen",
    "sixteen",
    "seventeen",
    "eighteen",
    "nineteen",
    "twenty",
];

/// A whole number in figures or as a word, "a" and "an" for one.
pub(crate) fn whole(text: &str) -> Option<u32> {
    if text == "a" || text == "an" {
        return Some(1);
    }
    if is_digits(text) && text.len() <= 9 {
        return text.parse().ok();
    }
    WORDS.iter().position(|word| *word == text).and_then(|at| u32::try_from(at).ok())
}
