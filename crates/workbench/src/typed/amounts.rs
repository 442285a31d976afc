//! Weights and lengths, with the doubt that the house gives each.

use craft::compare::{COVERAGE, Scale};
use craft::reading::{Means, Reading};
use craft::text::{Line, TextError};
use craft::units::{Length, Mass, Share};

use super::Typed;
use super::measure::{Kind, Measure, Unit};
use super::plain::{about, plain, quoted};
use super::shares;
use crate::present::words;

/// How much of something: on a scale, by eye, or as a share of what came.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Amount {
    /// A weight with its doubt.
    Mass(Reading<Mass>),
    /// A share of the lot.
    Share(Share),
}

/// How much of something, as a person says it: an amount, or words that carry no number.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum HowMuch {
    /// An amount.
    Amount(Amount),
    /// Words such as "a handful": they say how it looks, and nothing is taken for weighed.
    Words(Line),
}

const MASS: Kind = Kind {
    noun: "a weight",
    example: "31 mg",
    units: &[
        Unit {
            names: &["mg", "mgs", "milligram", "milligrams", "milligramme", "milligrammes"],
            per: 1,
            three_decimals: false,
        },
        Unit {
            names: &["g", "gr", "gm", "gram", "grams", "gramme", "grammes"],
            per: 1_000,
            three_decimals: true,
        },
        Unit {
            names: &["kg", "kilo", "kilos", "kilogram", "kilograms"],
            per: 1_000_000,
            three_decimals: true,
        },
    ],
};

const LENGTH: Kind = Kind {
    noun: "a length",
    example: "10.2 mm",
    units: &[
        Unit {
            names: &["mm", "millimetre", "millimetres", "millimeter", "millimeters"],
            per: 1,
            three_decimals: false,
        },
        Unit {
            names: &["cm", "centimetre", "centimetres", "centimeter", "centimeters"],
            per: 10,
            three_decimals: false,
        },
    ],
};

/// What a weight judged by eye may be out by, one in so many of it. Common practice, no source.
const BY_EYE_ONE_IN: i64 = 3;
/// The standard doubt of a caliper held to a small stone. Common practice, no source.
const CALIPER: Length = Length::from_micro(30_000);
/// The standard doubt of a length judged by eye. Common practice, no source.
const LENGTH_BY_EYE: Length = Length::from_micro(500_000);

/// Words for an amount that is another one in each hand.
const VAGUE: [&str; 10] =
    ["pinch", "bit", "little", "dash", "few", "smidgen", "handful", "spoonful", "spoon", "some"];

/// A weight as the scale shows it, a weight by eye, or a share: "31 mg", "0,31 g", "31" (milligrams), "about 30 mg",
/// "31 mg ± 2", "a quarter". A plain number has the doubt of `scale`; without a scale it was judged by eye, and may be
/// out by a third. What stands after ± is twice the doubt, as everywhere it is shown.
///
/// # Errors
/// What is wrong with the text, and what would be right.
pub fn amount(text: &str, scale: Option<Scale>) -> Result<Typed<Amount>, String> {
    let whole = plain(text);
    let (by_eye, rest) = about(&whole);
    if rest.split([' ', '-']).any(|word| VAGUE.contains(&word)) {
        return Err(format!(
            "{} is not the same in every hand; write a share of what came, such as \"about a twentieth\", or what the \
             scale shows, such as \"31 mg\"",
            quoted(text)
        ));
    }
    let has_digit = rest.contains(|letter: char| letter.is_ascii_digit());
    match MASS.read(rest, text) {
        Ok(read) => Ok(weight(read, by_eye, scale)),
        Err(_) if !rest.is_empty() && shares::share(text).is_ok() => {
            shares::share(text).map(|typed| typed.map(Amount::Share))
        }
        Err(_) if !rest.is_empty() && (!has_digit || rest.contains(['%', '/'])) => {
            shares::share(text).map(|typed| typed.map(Amount::Share)).map_err(|why| {
                if has_digit {
                    return why;
                }
                format!(
                    "{} is not an amount; write what the scale shows, such as \"31 mg\", or a share of what came, such \
                     as \"about a quarter\"",
                    quoted(text)
                )
            })
        }
        Err(why) => Err(why),
    }
}

/// Things that are counted and not weighed, so that "12 strands" is no slip in a unit.
const COUNTED: &[&str] = &[
    "strand",
    "strands",
    "hair",
    "hairs",
    "lock",
    "locks",
    "curl",
    "curls",
    "tuft",
    "tufts",
    "petal",
    "petals",
    "flower",
    "flowers",
    "head",
    "heads",
    "bag",
    "bags",
    "jar",
    "jars",
    "tube",
    "tubes",
    "pinches",
    "handfuls",
    "spoonfuls",
    "spoons",
    "teaspoon",
    "teaspoons",
    "pieces",
    "piece",
    "bits",
    "finger",
    "fingers",
    "bundles",
];

/// As [`amount`], but words that carry no number are taken as words: "a handful", "a small bag", "12 strands". They are
/// for how the thing looks; no weight is made of them.
///
/// # Errors
/// What is wrong with an amount that was meant as one, what would be right, and that the field may stay empty.
pub fn how_much(text: &str, scale: Option<Scale>) -> Result<Typed<HowMuch>, String> {
    match amount(text, scale) {
        Ok(typed) => Ok(typed.map(HowMuch::Amount)),
        Err(_) if is_words(text) => {
            let words: Line = text.trim().parse().map_err(|why: TextError| why.to_string())?;
            let echo = format!(
                "no weight, and none is needed: {} is kept with how it looks",
                quoted(words.as_str())
            );
            Ok(Typed { value: HowMuch::Words(words), echo })
        }
        Err(why) => Err(format!("{why}; or leave it empty")),
    }
}

/// True for words about an amount that was not meant as a weight or a share.
fn is_words(text: &str) -> bool {
    let whole = plain(text);
    let words = whole.split(|letter: char| !letter.is_alphabetic()).filter(|word| !word.is_empty());
    let is_unit = |word: &str| MASS.units.iter().any(|unit| unit.names.contains(&word));
    let has_number = whole.contains(|letter: char| letter.is_numeric() || matches!(letter, '%' | '±'));
    let all: Vec<&str> = words.collect();
    let counts = all.iter().any(|word| COUNTED.contains(word) || VAGUE.contains(word));
    !all.is_empty() && !all.iter().any(|word| is_unit(word)) && (counts || !has_number)
}

/// How a thing looks, with the words about how much of it there is; words that stand there already are not said twice.
///
/// # Errors
/// Both together are too long for one line.
pub fn looks_with(looks: &Line, words: &Line) -> Result<Line, String> {
    if looks.is_empty() {
        return Ok(words.clone());
    }
    let is_said = |phrase: &str| phrase.trim().to_lowercase() == words.as_str().to_lowercase();
    if looks.as_str().split(',').any(is_said) {
        return Ok(looks.clone());
    }
    format!("{looks}, {words}").parse().map_err(|why: TextError| why.to_string())
}

fn weight(read: Measure, about: bool, scale: Option<Scale>) -> Typed<Amount> {
    let value = Mass::from_micro(read.micro);
    let by_eye = about || (scale.is_none() && read.give_or_take.is_none());
    let eye = Reading { value, doubt: Mass::from_micro(read.micro / BY_EYE_ONE_IN), by: Means::ByEye };
    let usual = scale.filter(|_| !by_eye).map_or(eye, |scale| scale.reads(value));
    let reading = match read.give_or_take {
        // What is said with ± is twice the doubt.
        Some(twice) => {
            let by = if by_eye { Means::ByEye } else { Means::Scale };
            Reading { value, doubt: Mass::from_micro((twice + 1) / 2), by }
        }
        None => usual,
    };
    let twice = words::mass(Mass::from_mg(reading.doubt.mg() * COVERAGE));
    let unit = no_unit(read);
    let said = exact_mass(value);
    let echo = match (about, by_eye) {
        (true, _) => format!("about {said}{unit} by eye, give or take {twice}"),
        (false, true) => {
            format!("{said}{unit} by eye, since the settings name no scale, give or take {twice}")
        }
        (false, false) => format!("{said}{unit}, give or take {twice}"),
    };
    Typed { value: Amount::Mass(reading), echo }
}

const fn no_unit(read: Measure) -> &'static str {
    if read.has_unit { "" } else { " (no unit was written)" }
}

/// A weight to its last digit, from a gram up in grams.
fn exact_mass(mass: Mass) -> String {
    const GRAM_MICRO: i64 = 1_000_000_000;
    if mass.micro() < GRAM_MICRO {
        return mass.to_string();
    }
    let (whole, rest) = (mass.micro() / GRAM_MICRO, mass.micro() % GRAM_MICRO);
    let decimals = format!("{rest:09}");
    let decimals = decimals.trim_end_matches('0');
    if decimals.is_empty() { format!("{whole} g") } else { format!("{whole}.{decimals} g") }
}

/// A length: "10,2 mm", "10.2" (millimetres), "1 cm". Nothing is a length too.
///
/// # Errors
/// What is wrong with the text, and what would be right.
pub fn length(text: &str) -> Result<Typed<Length>, String> {
    let whole = plain(text);
    let (about, rest) = about(&whole);
    if rest.contains('±') {
        return Err(format!(
            "{} is a measurement; only a length is wanted here, such as {}",
            quoted(text),
            LENGTH.example
        ));
    }
    let read = LENGTH.read(rest, text)?;
    let value = Length::from_micro(read.micro);
    let about = if about { "about " } else { "" };
    Ok(Typed { value, echo: format!("{about}{value}{}", no_unit(read)) })
}

/// A length as the caliper shows it, above nothing: "10.2", "10,20 mm ± 0,05", "about 10 mm" by eye.
///
/// # Errors
/// What is wrong with the text, and what would be right.
pub fn length_reading(text: &str) -> Result<Typed<Reading<Length>>, String> {
    let whole = plain(text);
    let (by_eye, rest) = about(&whole);
    let read = LENGTH.read(rest, text)?;
    let value = above_nothing(read, text)?;
    let (by, usual) = if by_eye { (Means::ByEye, LENGTH_BY_EYE) } else { (Means::Caliper, CALIPER) };
    let doubt = read.give_or_take.map_or(usual, |twice| Length::from_micro((twice + 1) / 2));
    let twice = Length::from_micro(doubt.micro().saturating_mul(2));
    let (front, back) = if by_eye { ("about ", " by eye") } else { ("", "") };
    let echo = format!("{front}{value}{}{back}, give or take {twice}", no_unit(read));
    Ok(Typed { value: Reading { value, doubt, by }, echo })
}

fn above_nothing(read: Measure, text: &str) -> Result<Length, String> {
    let value = Length::from_micro(read.micro);
    if value.is_positive() {
        Ok(value)
    } else {
        Err(format!(
            "{} is nothing; write {} above nothing, such as {}",
            quoted(text),
            LENGTH.noun,
            LENGTH.example
        ))
    }
}

/// Two lengths, as sizes are written: "10 x 8", "10×8 mm", "10,2 by 8,1".
///
/// # Errors
/// What is wrong with the text, and what would be right.
pub fn two_lengths(text: &str) -> Result<Typed<(Length, Length)>, String> {
    let whole = plain(text).replace(" by ", "×").replace(['x', '*'], "×");
    let wanted = || format!("{} is not a size; write two lengths, such as 10 × 8 mm", quoted(text));
    let (long, wide) = whole.split_once('×').ok_or_else(wanted)?;
    if wide.contains('×') || whole.contains('±') {
        return Err(wanted());
    }
    let (long, wide) = (long.trim(), wide.trim());
    let (first, second) = (LENGTH.read(long, text)?, LENGTH.read(wide, text)?);
    // "10 × 8 cm" says its unit once, for both.
    let unit = super::number::split_unit(wide).1;
    let first = if first.has_unit { first } else { LENGTH.read(&format!("{long} {unit}"), text)? };
    let value = (above_nothing(first, text)?, above_nothing(second, text)?);
    let (long, wide) = (value.0.to_string(), value.1);
    let echo = format!("{} × {wide}{}", long.trim_end_matches(" mm"), no_unit(second));
    Ok(Typed { value, echo })
}
