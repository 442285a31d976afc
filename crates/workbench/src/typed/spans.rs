//! Seconds and drops.

use craft::units::Span;

use super::Typed;
use super::number::{Decimal, either_way, is_of_number, whole};
use super::plain::{about, plain, quoted};

const EXAMPLES: &str = "\"99 s\", \"1:39\" or \"2 min\"";
/// A day: nothing at the lamp takes longer.
const LONGEST_MICRO: i64 = 86_400 * 1_000_000;

/// A span: "99" (seconds), "99 s", "1:39", "2 min", "1 min 39", "1 h 20 min".
///
/// # Errors
/// What is wrong with the text, and what would be right.
pub fn seconds(text: &str) -> Result<Typed<Span>, String> {
    let all = plain(text);
    let (by_eye, rest) = about(&all);
    if rest.is_empty() {
        return Err(format!("write a time, such as {EXAMPLES}"));
    }
    if rest.starts_with('-') {
        return Err(format!("{} is below nothing; write it without the minus", quoted(text)));
    }
    let micro = if rest.contains(':') { clock(rest) } else { in_units(rest, text)? };
    let unreadable = || format!("{} is not a time; write it like {EXAMPLES}", quoted(text));
    let micro = micro.ok_or_else(unreadable)?;
    if micro > LONGEST_MICRO {
        return Err(format!("{} is more than a day; look for a slip in it", quoted(text)));
    }
    let value = Span::from_micro(micro);
    let about = if by_eye { "about " } else { "" };
    Ok(Typed { value, echo: format!("{about}{}", in_full(value)) })
}

/// "1:39" or "1:20:00".
fn clock(rest: &str) -> Option<i64> {
    let mut parts = rest.split(':').map(str::trim);
    let figure = |part: &str| {
        let plain = (1..=4).contains(&part.len()) && part.bytes().all(|byte| byte.is_ascii_digit());
        plain.then(|| part.parse::<i64>().ok()).flatten()
    };
    let mut total = figure(parts.next()?)?;
    let mut count = 1;
    for part in parts {
        let below = figure(part).filter(|below| part.len() == 2 && *below < 60)?;
        (total, count) = (total * 60 + below, count + 1);
        if count > 3 {
            return None;
        }
    }
    Some(total * 1_000_000)
}

fn unit(name: &str) -> Option<i64> {
    match name.trim_end_matches('.') {
        "s" | "sec" | "secs" | "second" | "seconds" => Some(1),
        "m" | "min" | "mins" | "minute" | "minutes" => Some(60),
        "h" | "hr" | "hrs" | "hour" | "hours" => Some(3_600),
        _ => None,
    }
}

/// Numbers with their units, the largest first; none where it is something else.
fn in_units(rest: &str, text: &str) -> Result<Option<i64>, String> {
    let (mut left, mut total, mut last) = (rest, 0_i64, None);
    while !left.is_empty() {
        let (number, after) = left.split_at(left.find(|c: char| !is_of_number(c)).unwrap_or(left.len()));
        let end = after.find(|c: char| c.is_ascii_digit() || c == ' ').unwrap_or(after.len());
        let (name, after) = after.split_at(end);
        // A number without a unit counts the next smaller one: "1 min 39".
        let per = match (name.trim(), last) {
            ("", None | Some(60)) => Some(1),
            ("", Some(3_600)) => Some(60),
            (name, _) => unit(name),
        };
        let Some(per) = per.filter(|per| last.is_none_or(|last| *per < last)) else { return Ok(None) };
        let Some(read) = Decimal::read(number) else { return Ok(None) };
        let (part, whole) = either_way(number);
        let may_be_whole = Decimal::read(&whole)
            .is_some_and(|whole| whole.micro(1).is_ok_and(|micro| micro <= LONGEST_MICRO));
        if read.two_ways && per == 1 && may_be_whole {
            return Err(format!("{} can be read two ways; write {part} s or {whole} s", quoted(text)));
        }
        let Ok(micro) = read.micro(per) else { return Ok(None) };
        total = total.saturating_add(micro);
        (left, last) = (after.trim_start(), Some(per));
    }
    Ok(last.map(|_| total))
}

/// A span to its last digit: "99 s", from two minutes up with the minutes beside it.
fn in_full(span: Span) -> String {
    let seconds = span.micro() / 1_000_000;
    if seconds < 120 || span.micro() % 1_000_000 != 0 {
        return span.to_string();
    }
    format!("{span} ({})", crate::present::words::clock(span))
}

/// A number of drops: "3 drops", "3", "three", "a drop".
///
/// # Errors
/// What is wrong with the text, and what would be right.
pub fn drops(text: &str) -> Result<Typed<u16>, String> {
    let all = plain(text);
    let (by_eye, rest) = about(&all);
    let number = ["drops", "drop"].iter().find_map(|tail| rest.strip_suffix(tail)).unwrap_or(rest).trim();
    if number.contains(['.', ',']) {
        return Err(format!(
            "{} is not a whole number of drops; count them, such as \"3 drops\"",
            quoted(text)
        ));
    }
    let wanted = || format!("{} is not a number of drops; count them, such as \"3 drops\"", quoted(text));
    let count = whole(number).ok_or_else(wanted)?;
    let value = u16::try_from(count)
        .ok()
        .ok_or_else(|| format!("{} is too many to be true; look for a slip", quoted(text)))?;
    if value == 0 {
        return Err("write at least one drop, or leave it empty".to_owned());
    }
    let about = if by_eye { "about " } else { "" };
    Ok(Typed {
        value,
        echo: format!("{about}{}", crate::present::words::count(usize::from(value), "drop", "drops")),
    })
}
