//! Money.

use craft::money::{Currency, Money};

use super::Typed;
use super::plain::{plain, quoted};

/// Signs for money that stand for one currency, or for several with codes that end alike.
const SIGNS: [(&str, &[&str]); 7] = [
    ("€", &["EUR"]),
    ("£", &["GBP"]),
    ("$", &["USD", "AUD", "CAD", "NZD", "SGD", "HKD", "MXN"]),
    ("¥", &["JPY", "CNY"]),
    ("kr", &["NOK", "SEK", "DKK", "ISK"]),
    ("fr", &["CHF"]),
    ("zł", &["PLN"]),
];

/// The most characters a price is written with.
const LONGEST: usize = 40;

/// A price in the studio's currency, not below nothing: "245", "£ 245", "245,00 EUR", "1.234,50".
///
/// # Errors
/// What is wrong with the text, and what would be right; as [`Money::read`] where it is the number.
pub fn money(text: &str, currency: Currency) -> Result<Typed<Money>, String> {
    let all = plain(text);
    if all.chars().count() > LONGEST {
        return Err(format!("{} is not an amount; write it like 245", quoted(text)));
    }
    let other = || format!("{} is in another currency; prices here are in {currency}", quoted(text));
    let mut rest = all.as_str();
    let names = |name: &str| name.trim_end_matches('.').to_uppercase();
    // A code or a sign, in front or behind.
    let front: &str = rest.split(|c: char| c.is_ascii_digit()).next().unwrap_or_default().trim();
    let back: &str = rest.rsplit(|c: char| c.is_ascii_digit()).next().unwrap_or_default();
    let back = back.trim_start_matches(['.', ',', '-', '\'']).trim();
    for word in [front, back] {
        if word.is_empty() || word == "-" || word == all {
            continue;
        }
        let sign = SIGNS.iter().find(|(sign, _)| *sign == word.trim_end_matches('.'));
        let own =
            names(word) == currency.code() || sign.is_some_and(|(_, codes)| codes.contains(&currency.code()));
        if own {
            rest = rest.strip_prefix(word).or_else(|| rest.strip_suffix(word)).unwrap_or(rest).trim();
        } else if sign.is_some() || names(word).parse::<Currency>().is_ok() {
            return Err(other());
        }
    }
    // "12,-" as it is written on price tags.
    let rest = rest.strip_suffix(['-']).map_or(rest, |rest| rest.trim_end_matches(['.', ',']));
    if rest.is_empty() {
        return Err("write an amount, such as 245".to_owned());
    }
    if rest.starts_with('-') {
        return Err(format!("{} is below nothing; write it without the minus", quoted(text)));
    }
    let value = Money::read(rest, currency).map_err(|why| why.to_string())?;
    Ok(Typed { value, echo: value.to_string() })
}
