//! Days, as people write and say them. The day stands before the month: "3/4" is the third of April.

use chrono::{Datelike as _, Days, Months, NaiveDate, Weekday};

use super::Typed;
use super::number::whole;
use super::plain::{plain, quoted};
use crate::present::words;

/// Which way a day without a year, or a day of the week, is meant.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Way {
    Ahead,
    Back,
}

const EXAMPLES: &str = "\"12 December\", \"12.12.\", \"2026-12-12\" or \"in 3 days\"";
/// The years a typed day may lie in.
const YEARS: std::ops::RangeInclusive<i32> = 1700..=2299;
/// How many years off the next 29 February can be: 1896 to 1904.
const LEAP: i32 = 8;

/// A day ahead, such as a promise: "12 December", "12.12.", "12/12/2026" (the day first), "2026-12-12", "tomorrow",
/// "in 2 weeks", "Friday". Without a year it is the next such day, today included; a day of the week is the coming one.
///
/// # Errors
/// What is wrong with the text, and what would be right.
pub fn day(text: &str, today: NaiveDate) -> Result<Typed<NaiveDate>, String> {
    read(text, today, Way::Ahead)
}

/// A day that has been, as [`day`] reads it: without a year the last such day, today included; a day of the week is the
/// one before today.
///
/// # Errors
/// What is wrong with the text, and what would be right; a day that is still to come.
pub fn past_day(text: &str, today: NaiveDate) -> Result<Typed<NaiveDate>, String> {
    let typed = read(text, today, Way::Back)?;
    if typed.value > today {
        return Err(format!("{} is still to come; write a day that has been", typed.echo));
    }
    Ok(typed)
}

fn read(text: &str, today: NaiveDate, way: Way) -> Result<Typed<NaiveDate>, String> {
    let all = plain(text);
    let mut rest = all.as_str();
    while let Some(left) =
        ["due ", "by ", "on ", "for ", "the ", "until "].iter().find_map(|word| rest.strip_prefix(word))
    {
        rest = left;
    }
    if rest.is_empty() {
        return Err(format!("write a day, such as {EXAMPLES}"));
    }
    let value = match relative(rest, today) {
        Some(day) => day,
        None => match of_week(rest, today, way, text)? {
            Some(day) => day,
            None => dated(rest, today, way, text)?,
        },
    };
    if !YEARS.contains(&value.year()) {
        return Err(format!("{} is too far off to be meant; look at the year", quoted(text)));
    }
    Ok(Typed { value, echo: format!("{} {}", value.format("%A"), words::date_with_year(value)) })
}

/// "tomorrow", "in 3 days", "2 weeks ago", "5 days late".
fn relative(rest: &str, today: NaiveDate) -> Option<NaiveDate> {
    match rest {
        "today" => return Some(today),
        "tomorrow" => return today.succ_opt(),
        "yesterday" => return today.pred_opt(),
        "day after tomorrow" => return today.checked_add_days(Days::new(2)),
        "day before yesterday" => return today.checked_sub_days(Days::new(2)),
        _ => {}
    }
    let ahead = rest.strip_prefix("in ");
    let behind = || rest.strip_suffix(" ago").or_else(|| rest.strip_suffix(" late"));
    let (count, unit) = ahead.or_else(behind)?.split_once(' ')?;
    let count = whole(count).filter(|count| *count <= 10_000)?;
    let move_days = |days: u64| {
        let days = Days::new(days);
        if ahead.is_some() { today.checked_add_days(days) } else { today.checked_sub_days(days) }
    };
    let move_months = |months: u32| {
        let months = Months::new(months);
        if ahead.is_some() { today.checked_add_months(months) } else { today.checked_sub_months(months) }
    };
    match unit.trim() {
        "day" | "days" => move_days(u64::from(count)),
        "week" | "weeks" => move_days(u64::from(count) * 7),
        "fortnight" | "fortnights" => move_days(u64::from(count) * 14),
        "month" | "months" => move_months(count),
        "year" | "years" => move_months(count * 12),
        _ => None,
    }
}

fn weekday(word: &str) -> Option<Weekday> {
    match word.trim_end_matches('.') {
        "tues" => Some(Weekday::Tue),
        "weds" => Some(Weekday::Wed),
        "thur" | "thurs" => Some(Weekday::Thu),
        // Chrono knows the whole names and their first three letters.
        word if word.chars().all(char::is_alphabetic) => word.parse().ok(),
        _ => None,
    }
}

fn of_week(rest: &str, today: NaiveDate, way: Way, text: &str) -> Result<Option<NaiveDate>, String> {
    let (way, word) = match rest.split_once(' ') {
        Some(("this" | "coming", word)) => (Way::Ahead, word),
        Some(("last", word)) => (Way::Back, word),
        Some(("next", word)) if weekday(word).is_some() => {
            return Err(format!(
                "{} can be meant two ways; write \"{word}\" for the coming one, or the date",
                quoted(text)
            ));
        }
        _ => (way, rest),
    };
    let Some(wanted) = weekday(word) else { return Ok(None) };
    let near = (1..=7).filter_map(|off| match way {
        Way::Ahead => today.checked_add_days(Days::new(off)),
        Way::Back => today.checked_sub_days(Days::new(off)),
    });
    Ok(near.into_iter().find(|day| day.weekday() == wanted))
}

fn month(word: &str) -> Option<u32> {
    const MONTHS: [&str; 12] = [
        "january",
        "february",
        "march",
        "april",
        "may",
        "june",
        "july",
        "august",
        "september",
        "october",
        "november",
        "december",
    ];
    let at = MONTHS.iter().position(|name| *name == word || (word.len() >= 3 && name.starts_with(word)));
    at.and_then(|at| u32::try_from(at + 1).ok())
}

/// A number of the day: "12", "12th".
fn of_month(word: &str) -> Option<u32> {
    let figures = ["st", "nd", "rd", "th"].iter().find_map(|tail| word.strip_suffix(tail)).unwrap_or(word);
    figure(figures).filter(|_| figures.len() <= 2)
}

fn figure(word: &str) -> Option<u32> {
    let plain = (1..=4).contains(&word.len()) && word.bytes().all(|byte| byte.is_ascii_digit());
    plain.then(|| word.parse().ok()).flatten()
}

/// A date in figures or with the month as a word, with its day of the week or without.
fn dated(rest: &str, today: NaiveDate, way: Way, text: &str) -> Result<NaiveDate, String> {
    let unreadable = || format!("{} is not a day; write it like {EXAMPLES}", quoted(text));
    let pieces = rest.split([' ', ',', '.', '/', '-']).filter(|word| !word.is_empty() && *word != "of");
    let mut pieces: Vec<&str> = pieces.collect();
    let named = pieces.first().and_then(|word| weekday(word)).filter(|_| pieces.len() > 1);
    if named.is_some() {
        pieces.remove(0);
    }
    let (number, month, year) = match *pieces.as_slice() {
        [year, month, day] if year.len() == 4 && figure(year).is_some() => {
            (of_month(day), figure(month), Some(year))
        }
        [first, second] => in_order(first, second, None),
        [first, second, year] => in_order(first, second, Some(year)),
        _ => (None, None, None),
    };
    let (Some(number), Some(month)) = (number, month) else { return Err(unreadable()) };
    if month > 12 && (1..=12).contains(&number) {
        return Err(format!(
            "the day stands before the month here; write {month}.{number}., or the month as a word"
        ));
    }
    let year = year.map(|year| in_full(year, today, way).ok_or_else(unreadable)).transpose()?;
    let day = resolve((number, month, year), today, way)
        .ok_or_else(|| format!("there is no such day as {}; look at the day and the month", quoted(text)))?;
    match named.filter(|named| *named != day.weekday()) {
        Some(_) => {
            Err(format!("{} is a {}; look at the day again", words::date_with_year(day), day.format("%A")))
        }
        None => Ok(day),
    }
}

/// The day, the month and the year; the month as a word may stand in front.
fn in_order<'a>(
    first: &str,
    second: &str,
    year: Option<&'a str>,
) -> (Option<u32>, Option<u32>, Option<&'a str>) {
    match (month(first), month(second)) {
        (Some(month), None) => (of_month(second), Some(month), year),
        (None, Some(month)) => (of_month(first), Some(month), year),
        (None, None) => (of_month(first), figure(second).filter(|_| second.len() <= 2), year),
        (Some(_), Some(_)) => (None, None, year),
    }
}

/// A year of four figures, or of two: in this century, or where a day that has been is wanted, the last such year.
fn in_full(year: &str, today: NaiveDate, way: Way) -> Option<i32> {
    let figures = i32::try_from(figure(year)?).ok()?;
    match year.len() {
        4 => Some(figures),
        2 if way == Way::Back && 2_000 + figures > today.year() => Some(1_900 + figures),
        2 => Some(2_000 + figures),
        _ => None,
    }
}

fn resolve((day, month, year): (u32, u32, Option<i32>), today: NaiveDate, way: Way) -> Option<NaiveDate> {
    let in_year = |year| NaiveDate::from_ymd_opt(year, month, day);
    if let Some(year) = year {
        return in_year(year);
    }
    match way {
        Way::Ahead => (0..=LEAP).filter_map(|off| in_year(today.year() + off)).find(|day| *day >= today),
        Way::Back => (0..=LEAP).filter_map(|off| in_year(today.year() - off)).find(|day| *day <= today),
    }
}
