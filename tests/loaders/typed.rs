//! What people type into fields.

use std::fmt::Debug;

use craft::compare::Scale;
use craft::money::Currency;
use craft::text::Line;
use craft::units::{Mass, Share};
use workbench::typed::{self, Typed};

use super::documents::moment;
use super::{Law, holds, says_something};

/// Either a value with the words for how it was understood, or what would be right.
fn understood<T: Debug>(read: Result<Typed<T>, String>) -> Result<Option<T>, String> {
    match read {
        Ok(read) => {
            holds(!read.echo.trim().is_empty(), || format!("{:?} has no words", read.value))?;
            Ok(Some(read.value))
        }
        Err(why) => says_something(&why).map(|()| None),
    }
}

/// What was understood, written plainly, is understood as the same.
fn stays<T: Debug + PartialEq>(
    value: Option<T>,
    plain: impl Fn(&T) -> String,
    read: impl Fn(&str) -> Result<Typed<T>, String>,
) -> Law {
    let Some(value) = value else { return Ok(()) };
    let text = plain(&value);
    let back = match read(&text).map(|read| read.value) {
        // "1.253 mm" may be meant two ways; then what it is told to be written as is read, and as this value.
        Err(why) => match suggested(&why) {
            Some((part, whole)) => {
                let other = read(whole);
                holds(other.is_ok(), || format!("{whole:?} was suggested: {other:?}"))?;
                read(part).map(|read| read.value)
            }
            None => Err(why),
        },
        back => back,
    };
    holds(back.as_ref() == Ok(&value), || format!("{value:?}, written {text:?}, is read as {back:?}"))
}

/// The two ways of writing that a refusal suggests.
fn suggested(why: &str) -> Option<(&str, &str)> {
    why.split_once("can be read two ways; write ")?.1.split_once(" or ")
}

/// All readers of one field.
pub(super) fn typed(bytes: &[u8]) -> Law {
    let text = &*String::from_utf8_lossy(bytes);
    let today = moment(0).day();
    let tenth = Mass::from_micro(100_000);
    for scale in [None, Some(Scale { readability: tenth, repeatability: tenth })] {
        understood(typed::amount(text, scale))?;
        understood(typed::how_much(text, scale))?;
    }
    understood(typed::length_reading(text))?;
    understood(typed::two_lengths(text))?;
    stays(understood(typed::length(text))?, ToString::to_string, typed::length)?;
    let per_cent = |share: &Share| format!("{} %", f64::from(share.millionths()) / 1e4);
    stays(understood(typed::share(text))?, per_cent, typed::share)?;
    stays(understood(typed::seconds(text))?, ToString::to_string, typed::seconds)?;
    stays(understood(typed::drops(text))?, ToString::to_string, typed::drops)?;
    stays(understood(typed::day(text, today))?, ToString::to_string, |text| typed::day(text, today))?;
    stays(understood(typed::past_day(text, today))?, ToString::to_string, |text| {
        typed::past_day(text, today)
    })?;
    for currency in [Currency::EUR, Currency::GBP] {
        understood(typed::money(text, currency))?;
    }
    let (one, other) = text.split_once('\n').unwrap_or((text, text));
    if let (Ok(looks), Ok(words)) = (one.parse::<Line>(), other.parse::<Line>())
        && let Err(why) = typed::looks_with(&looks, &words)
    {
        says_something(&why)?;
    }
    Ok(())
}
