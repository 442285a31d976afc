//! Reading amounts as people write them.

use super::{Currency, Money, MoneyError};

/// Reads plain digits with an optional minus and point, in units of 10^-`places`.
pub(super) fn decimal(text: &str, places: u8) -> Option<i64> {
    let (negative, digits) = match text.strip_prefix('-') {
        Some(rest) => (true, rest),
        None => (false, text),
    };
    let (whole, decimals) = digits.split_once('.').unwrap_or((digits, ""));
    if (digits.contains('.') && decimals.is_empty()) || !is_digits(whole) {
        return None;
    }
    let value = joined(whole, decimals, places)?;
    i64::try_from(if negative { -value } else { value }).ok()
}

fn is_digits(text: &str) -> bool {
    !text.is_empty() && text.bytes().all(|byte| byte.is_ascii_digit())
}

/// Whole part and decimals as one number; `None` for what are no digits, too fine or beyond 30 digits.
fn joined(whole: &str, decimals: &str, places: u8) -> Option<i128> {
    let width = usize::from(places);
    let all = format!("{whole}{decimals:0<width$}");
    (decimals.len() <= width && is_digits(&all) && all.len() <= 30).then(|| all.parse().ok()).flatten()
}

/// Reads what a person typed; see [`Money::read`].
pub(super) fn amount(text: &str, currency: Currency) -> Result<Money, MoneyError> {
    let places = currency.places();
    let unreadable = || {
        let example = match places {
            0 => "1250",
            3 => "12.500 or 12,500",
            _ => "12.50 or 12,50",
        };
        MoneyError::Unreadable { text: text.to_owned(), example }
    };
    let trimmed = text.trim();
    let (negative, body) = match trimmed.strip_prefix(['-', '\u{2212}']) {
        Some(rest) => (true, rest.trim_start()),
        None => (false, trimmed),
    };
    let (whole, decimals) = halves(body, places).ok_or_else(|| MoneyError::Ambiguous(text.to_owned()))?;
    let whole = ungrouped(whole).ok_or_else(unreadable)?;
    let decimals = match decimals {
        Some(decimals) if !is_digits(decimals) => return Err(unreadable()),
        Some(decimals) if decimals.len() > usize::from(places) => {
            return Err(MoneyError::TooFine { text: text.to_owned(), currency, places });
        }
        other => other.unwrap_or(""),
    };
    let value = joined(&whole, decimals, places).ok_or(MoneyError::TooLarge)?;
    super::held(if negative { -value } else { value }, currency)
}

/// Splits before and after the decimal mark, or `None` where a lone mark may be one of thousands as well.
fn halves(body: &str, places: u8) -> Option<(&str, Option<&str>)> {
    let is_mark = |c: char| c == '.' || c == ',';
    let Some((before, after)) = body.rsplit_once(is_mark) else {
        return Some((body, None));
    };
    let Some(mark) = body.chars().rev().find(|&c| is_mark(c)) else {
        return Some((body, None));
    };
    if before.contains(mark) {
        return Some((body, None));
    }
    // A group of thousands follows one to three digits, so "1,250" may be one, "0,250" and "1250,250" may not.
    let may_group = !before.contains(|c: char| !c.is_ascii_digit())
        && (1..=3).contains(&before.len())
        && !before.starts_with('0')
        && after.len() == 3;
    match places {
        _ if !may_group => Some((before, Some(after))),
        0 => Some((body, None)),
        3 => Some((before, Some(after))),
        _ => None,
    }
}

/// Takes out the marks between groups of three digits; `None` for any other grouping, as in "12 50".
fn ungrouped(whole: &str) -> Option<String> {
    const MARKS: [char; 8] = [' ', '\u{a0}', '\u{202f}', '\u{2009}', '\'', '\u{2019}', '.', ','];
    let mut marks = whole.chars().filter(|c| !c.is_ascii_digit());
    let Some(mark) = marks.next() else {
        return is_digits(whole).then(|| whole.to_owned());
    };
    let mut groups = whole.split(mark);
    let first = groups.next()?;
    let fits = MARKS.contains(&mark)
        && is_digits(first)
        && first.len() <= 3
        && groups.all(|group| group.len() == 3 && is_digits(group));
    fits.then(|| whole.chars().filter(char::is_ascii_digit).collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str, code: &str) -> Result<i64, MoneyError> {
        Money::read(text, code.parse().unwrap()).map(|money| money.minor)
    }

    #[test]
    fn point_and_comma_and_groups_are_read_as_written() {
        for text in ["12.50", "12,50", "12.5", " 12,5 "] {
            assert_eq!(read(text, "GBP"), Ok(1250), "{text}");
        }
        for text in ["1 250.00", "1 250,00", "1,250.00", "1.250,00", "1'250.00", "1\u{202f}250,00", "1250"] {
            assert_eq!(read(text, "GBP"), Ok(125_000), "{text}");
        }
        assert_eq!(read("1,234,567", "GBP"), Ok(123_456_700));
        assert_eq!(read("\u{2212}3,05", "EUR"), Ok(-305));
        assert_eq!(read("1,250", "JPY"), Ok(1250), "the yen has no decimals, so it can only be thousands");
        assert_eq!(read("1.250", "KWD"), Ok(1250), "a dinar has a thousand fils");
    }

    #[test]
    fn what_can_be_read_two_ways_is_asked_again() {
        for text in ["1,250", "1.250", "125.000"] {
            assert_eq!(read(text, "GBP"), Err(MoneyError::Ambiguous(text.to_owned())));
        }
        assert!(matches!(read("0.625", "GBP"), Err(MoneyError::TooFine { .. })));
        assert!(matches!(read("1250,255", "GBP"), Err(MoneyError::TooFine { .. })));
        assert!(matches!(read("12.5", "JPY"), Err(MoneyError::TooFine { .. })));
    }

    #[test]
    fn what_is_no_amount_is_refused() {
        for text in [
            "",
            "-",
            "12 50",
            "1 2500",
            "12.",
            ".50",
            "1e5",
            "12.50 GBP",
            "--1",
            "1,25,000",
            "1 250,000.00",
            "٣",
            "1.2.3",
        ] {
            assert!(
                matches!(read(text, "GBP"), Err(MoneyError::Unreadable { .. })),
                "{text}: {:?}",
                read(text, "GBP")
            );
        }
        assert_eq!(read("92233720368547758.08", "GBP"), Err(MoneyError::TooLarge));
        assert_eq!(read(&"9".repeat(60), "GBP"), Err(MoneyError::TooLarge));
        let said = read("ten", "GBP").unwrap_err().to_string();
        assert_eq!(said, "\"ten\" is not an amount; write it like 12.50 or 12,50");
    }

    #[test]
    fn only_what_is_written_here_is_read_from_a_file() {
        for text in
            ["12.5 GBP", "12,50 GBP", "012.50 GBP", "12.50 gbp", "12.50GBP", "-0.00 GBP", "12.50  GBP"]
        {
            assert!(text.parse::<Money>().is_err(), "{text}");
        }
    }
}
