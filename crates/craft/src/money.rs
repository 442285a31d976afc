//! Money in whole minor units of a currency, rates in whole millionths, and the rules for rounding them.
//!
//! Nothing here is a float: what is printed, stored and added up is the same number. Amounts of two currencies
//! never meet, and what does not fit is an error, not a wrong sum. [`bill`] adds up quotes and invoices,
//! [`series`] numbers what was issued.

use std::fmt;
use std::str::FromStr;

use crate::written::written_as_text;

use serde::{Deserialize, Serialize};

pub mod bill;
mod read;
pub mod series;

/// Why something is not money, or cannot be added up.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum MoneyError {
    /// Not a currency of the table.
    #[error(
        "\"{0}\" is not a currency known here; use its three capital letters from ISO 4217, such as EUR, GBP or USD"
    )]
    UnknownCurrency(String),
    /// Not an amount at all.
    #[error("\"{text}\" is not an amount; write it like {example}")]
    Unreadable {
        /// What was read.
        text: String,
        /// What would be right.
        example: &'static str,
    },
    /// Smaller than the smallest coin of account.
    #[error("\"{text}\" has more than the {places} decimals that {currency} has; round it first")]
    TooFine {
        /// What was read.
        text: String,
        /// The currency it was read for.
        currency: Currency,
        /// The decimals it has.
        places: u8,
    },
    /// A mark that may stand for thousands or for decimals.
    #[error("\"{0}\" can be read two ways; write it without the mark, or with its decimals")]
    Ambiguous(String),
    /// Two currencies in one sum.
    #[error("{0} and {1} cannot be added up; keep one currency in one document")]
    Mixed(Currency, Currency),
    /// Beyond what can be held.
    #[error("the amount is too large to hold; look for a slip in a price or a quantity")]
    TooLarge,
    /// Not a rate.
    #[error(
        "\"{0}\" is not a rate; write per cent with at most four decimals, from 0 to 100, such as \"20 %\""
    )]
    Rate(String),
    /// Not a quantity.
    #[error(
        "\"{0}\" is not a quantity; write a number with at most three decimals, such as \"1\" or \"2.5\""
    )]
    Quantity(String),
}

/// A currency by its ISO 4217 code.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Currency([u8; 3]);

/// The codes known here, by how many decimals their minor unit has.
///
/// Source: ISO 4217, list one, minor units, as packaged in the Python library iso4217 1.16.20260101. (Locale data
/// differ for some, such as HUF, COP and ALL, which tills round; accounts follow ISO.)
const MINOR_UNITS: [(u8, &str); 3] = [
    (0, "BIF CLP DJF GNF ISK JPY KMF KRW PYG RWF UGX VND VUV XAF XOF XPF"),
    (
        2,
        "AED ALL ARS AUD BAM BDT BRL CAD CHF CNY COP CRC CZK DKK DZD EGP EUR GBP GEL GHS HKD HUF IDR ILS INR JMD \
         KES KZT LKR MAD MDL MKD MUR MXN MYR NAD NGN NOK NPR NZD PAB PEN PHP PKR PLN QAR RON RSD SAR SEK SGD THB \
         TRY TTD TWD TZS UAH USD UYU XCD ZAR ZMW",
    ),
    (3, "BHD IQD JOD KWD LYD OMR TND"),
];

impl Currency {
    /// The euro.
    pub const EUR: Currency = Currency(*b"EUR");
    /// The pound sterling.
    pub const GBP: Currency = Currency(*b"GBP");
    /// The United States dollar.
    pub const USD: Currency = Currency(*b"USD");

    /// Its three letters.
    pub fn code(&self) -> &str {
        std::str::from_utf8(&self.0).unwrap_or("???")
    }

    /// How many decimals its minor unit has: 0, 2 or 3.
    pub fn places(&self) -> u8 {
        let known = |codes: &str| codes.split_ascii_whitespace().any(|code| code == self.code());
        MINOR_UNITS.iter().find(|(_, codes)| known(codes)).map_or(2, |&(places, _)| places)
    }

    /// Every currency known here, by decimals and then by code.
    pub fn all() -> impl Iterator<Item = Currency> {
        MINOR_UNITS
            .iter()
            .flat_map(|(_, codes)| codes.split_ascii_whitespace())
            .filter_map(|code| code.parse().ok())
    }
}

impl FromStr for Currency {
    type Err = MoneyError;

    fn from_str(text: &str) -> Result<Self, MoneyError> {
        let known = MINOR_UNITS
            .iter()
            .flat_map(|(_, codes)| codes.split_ascii_whitespace())
            .find(|&code| code == text);
        known
            .and_then(|code| code.as_bytes().try_into().ok())
            .map(Currency)
            .ok_or_else(|| MoneyError::UnknownCurrency(text.to_owned()))
    }
}

impl fmt::Display for Currency {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.code())
    }
}

impl fmt::Debug for Currency {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.code())
    }
}

/// An amount of money in minor units (pence, cents, fils, yen) of its currency.
///
/// In files it is text such as `"12.50 GBP"`.
#[derive(Clone, Copy, PartialEq, Eq, Hash)]
pub struct Money {
    /// Whole minor units, negative where money goes back.
    pub minor: i64,
    /// Of which currency.
    pub currency: Currency,
}

impl Money {
    /// Nothing, in a currency.
    pub const fn zero(currency: Currency) -> Self {
        Self { minor: 0, currency }
    }

    /// Reads what a person typed for a currency that is known: `12.50`, `12,50`, `1 250.00`, `1.250,00`, `-3`.
    ///
    /// # Errors
    /// What is no number, has more decimals than the currency, is too large, or can be read two ways (`1,250` in
    /// a currency of two decimals) is refused.
    pub fn read(text: &str, currency: Currency) -> Result<Self, MoneyError> {
        read::amount(text, currency)
    }

    /// The number alone, with as many decimals as the currency has: `1250.00`.
    pub fn number(&self) -> String {
        decimal(self.minor, self.currency.places())
    }

    /// Both together.
    ///
    /// # Errors
    /// Two currencies, or a sum too large to hold.
    pub fn and(self, other: Money) -> Result<Money, MoneyError> {
        self.same(other)?;
        let minor = self.minor.checked_add(other.minor).ok_or(MoneyError::TooLarge)?;
        Ok(Money { minor, currency: self.currency })
    }

    /// What is left after taking `other` away.
    ///
    /// # Errors
    /// Two currencies, or a difference too large to hold.
    pub fn less(self, other: Money) -> Result<Money, MoneyError> {
        self.same(other)?;
        let minor = self.minor.checked_sub(other.minor).ok_or(MoneyError::TooLarge)?;
        Ok(Money { minor, currency: self.currency })
    }

    /// All `parts` together, which must be of this currency.
    ///
    /// # Errors
    /// Another currency, or a sum too large to hold.
    pub fn sum(currency: Currency, parts: impl IntoIterator<Item = Money>) -> Result<Money, MoneyError> {
        parts.into_iter().try_fold(Money::zero(currency), Money::and)
    }

    fn same(self, other: Money) -> Result<(), MoneyError> {
        if self.currency == other.currency {
            Ok(())
        } else {
            Err(MoneyError::Mixed(self.currency, other.currency))
        }
    }
}

impl fmt::Display for Money {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} {}", self.number(), self.currency)
    }
}

impl fmt::Debug for Money {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(self, f)
    }
}

impl FromStr for Money {
    type Err = MoneyError;

    /// Reads exactly what [`Money`] writes: every decimal, a point, a space and the code.
    fn from_str(text: &str) -> Result<Self, MoneyError> {
        let unreadable = || MoneyError::Unreadable { text: text.to_owned(), example: "\"12.50 GBP\"" };
        let (number, code) = text.rsplit_once(' ').ok_or_else(unreadable)?;
        let currency: Currency = code.parse()?;
        let minor = read::decimal(number, currency.places()).ok_or_else(unreadable)?;
        let money = Money { minor, currency };
        if money.to_string() == text { Ok(money) } else { Err(unreadable()) }
    }
}

/// A rate such as VAT or a discount, in whole millionths of the amount (hundredths of a basis point).
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Rate(u32);

impl Rate {
    /// Nothing of it.
    pub const ZERO: Rate = Rate(0);
    const WHOLE: u32 = 1_000_000;
    const PLACES: u8 = 4;

    /// From whole millionths, 200 000 for 20 %; `None` above the whole.
    pub const fn from_millionths(millionths: u32) -> Option<Self> {
        if millionths <= Self::WHOLE { Some(Self(millionths)) } else { None }
    }

    /// Whole millionths.
    pub const fn millionths(self) -> u32 {
        self.0
    }

    /// This rate of an amount.
    ///
    /// # Errors
    /// Only what cannot be held, which a rate within the whole never gives.
    pub fn of(self, amount: Money, rounding: Rounding) -> Result<Money, MoneyError> {
        let parts = i128::from(amount.minor) * i128::from(self.0);
        held(rounding.divide(parts, i128::from(Self::WHOLE)), amount.currency)
    }

    /// The part of a gross amount that this rate put on top of its net: gross × rate / (1 + rate).
    ///
    /// # Errors
    /// Only what cannot be held, which is never more than the gross.
    pub fn contained_in(self, gross: Money, rounding: Rounding) -> Result<Money, MoneyError> {
        let parts = i128::from(gross.minor) * i128::from(self.0);
        held(rounding.divide(parts, i128::from(Self::WHOLE) + i128::from(self.0)), gross.currency)
    }
}

impl fmt::Display for Rate {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} %", shortest(i64::from(self.0), Self::PLACES))
    }
}

impl fmt::Debug for Rate {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(self, f)
    }
}

impl FromStr for Rate {
    type Err = MoneyError;

    fn from_str(text: &str) -> Result<Self, MoneyError> {
        let number = text.strip_suffix('%').map(str::trim_end);
        number
            .and_then(|number| read::decimal(number, Self::PLACES))
            .and_then(|millionths| u32::try_from(millionths).ok())
            .and_then(Rate::from_millionths)
            .ok_or_else(|| MoneyError::Rate(text.to_owned()))
    }
}

/// How half a minor unit, or any part of one, is rounded. Amounts below zero mirror those above, so that a
/// reversal takes back exactly what was charged.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Default, Serialize, Deserialize)]
pub enum Rounding {
    /// To the nearest; a half goes away from zero.
    #[default]
    HalfUp,
    /// To the nearest; a half goes to the even neighbour.
    HalfEven,
    /// Towards zero.
    Down,
}

impl Rounding {
    /// `parts / whole` as a whole number; `whole` must be above zero, else nothing.
    pub const fn divide(self, parts: i128, whole: i128) -> i128 {
        if whole <= 0 {
            return 0;
        }
        let (quotient, rest) = (parts / whole, (parts % whole).unsigned_abs());
        let to_next = whole.unsigned_abs() - rest;
        let up = match self {
            Rounding::HalfUp => rest >= to_next,
            Rounding::HalfEven => rest > to_next || (rest == to_next && quotient % 2 != 0),
            Rounding::Down => false,
        };
        if up { quotient + parts.signum() } else { quotient }
    }
}

/// A whole number of minor units as money.
fn held(minor: i128, currency: Currency) -> Result<Money, MoneyError> {
    i64::try_from(minor).map(|minor| Money { minor, currency }).ok().ok_or(MoneyError::TooLarge)
}

/// `value` in units of 10^-`places`, with all its decimals.
fn decimal(value: i64, places: u8) -> String {
    let sign = if value < 0 { "-" } else { "" };
    let unit = 10_u64.pow(u32::from(places));
    let (whole, rest) = (value.unsigned_abs() / unit, value.unsigned_abs() % unit);
    if places == 0 {
        return format!("{sign}{whole}");
    }
    format!("{sign}{whole}.{rest:0width$}", width = usize::from(places))
}

/// The same without idle zeros.
fn shortest(value: i64, places: u8) -> String {
    let text = decimal(value, places);
    if places == 0 { text } else { text.trim_end_matches('0').trim_end_matches('.').to_owned() }
}

written_as_text!(Currency);
written_as_text!(Money);
written_as_text!(Rate);

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn gbp(minor: i64) -> Money {
        Money { minor, currency: Currency::GBP }
    }

    #[test]
    fn a_currency_that_is_not_known_is_refused_with_a_sentence() {
        let said = "ABC".parse::<Currency>().unwrap_err().to_string();
        assert!(said.contains("three capital letters from ISO 4217"), "{said}");
        for wrong in ["gbp", "", "GB", "GBP EUR", "£"] {
            assert!(wrong.parse::<Currency>().is_err(), "{wrong}");
        }
    }

    #[test]
    fn amounts_of_two_currencies_never_meet() {
        let euro = Money { minor: 1, currency: Currency::EUR };
        assert_eq!(gbp(1).and(euro), Err(MoneyError::Mixed(Currency::GBP, Currency::EUR)));
        assert!(gbp(1).less(euro).is_err());
        assert!(Money::sum(Currency::EUR, [gbp(1)]).is_err());
    }

    #[test]
    fn what_does_not_fit_is_an_error_and_not_a_panic() {
        assert_eq!(gbp(i64::MAX).and(gbp(1)), Err(MoneyError::TooLarge));
        assert_eq!(gbp(i64::MIN).less(gbp(1)), Err(MoneyError::TooLarge));
        let whole = Rate::from_millionths(1_000_000).unwrap();
        assert_eq!(whole.of(gbp(i64::MIN), Rounding::HalfUp), Ok(gbp(i64::MIN)));
        assert_eq!(gbp(i64::MIN).number(), "-92233720368547758.08");
        assert_eq!(Rate::from_millionths(1_000_001), None);
    }

    #[test]
    fn a_half_goes_where_the_rule_says_on_both_sides_of_zero() {
        let round = |rule: Rounding, parts| rule.divide(parts, 10);
        for (rule, up) in [
            (Rounding::HalfUp, [0, 1, 2, 3]),
            (Rounding::HalfEven, [0, 0, 2, 2]),
            (Rounding::Down, [0, 0, 1, 2]),
        ] {
            assert_eq!([4, 5, 15, 25].map(|parts| round(rule, parts)), up, "{rule:?}");
            assert_eq!(
                [-4, -5, -15, -25].map(|parts| round(rule, parts)),
                up.map(|value| -value),
                "{rule:?}"
            );
        }
        assert_eq!(Rounding::HalfUp.divide(1, 0), 0, "nothing to divide by");
        assert_eq!(Rounding::HalfUp.divide(i128::MAX, i128::MAX), 1, "no overflow at the edge");
    }

    #[test]
    fn a_rate_is_written_in_per_cent() {
        let rate = |text: &str| text.parse::<Rate>();
        assert_eq!(rate("20 %").unwrap().millionths(), 200_000);
        assert_eq!(rate("5.5%").unwrap().to_string(), "5.5 %");
        assert_eq!(rate("0.0001 %").unwrap().millionths(), 1);
        for wrong in ["20", "-1 %", "100.1 %", "1.23456 %", " %", "x %"] {
            assert!(rate(wrong).is_err(), "{wrong}");
        }
    }

    proptest! {
        #[test]
        fn money_and_rates_survive_their_text(minor: i64, at in 0_usize..80, millionths in 0_u32..=1_000_000) {
            let currency = Currency::all().nth(at).unwrap();
            let money = Money { minor, currency };
            prop_assert_eq!(money.to_string().parse::<Money>(), Ok(money));
            prop_assert_eq!(Money::read(&money.number(), currency), Ok(money));
            let rate = Rate::from_millionths(millionths).unwrap();
            prop_assert_eq!(rate.to_string().parse::<Rate>(), Ok(rate));
        }

        #[test]
        fn a_rounded_quotient_is_within_one_part(parts in -1_000_000_i128..1_000_000, whole in 1_i128..10_000) {
            for rule in [Rounding::HalfUp, Rounding::HalfEven] {
                prop_assert!((2 * (rule.divide(parts, whole) * whole - parts)).abs() <= whole);
            }
            let down = Rounding::Down.divide(parts, whole) * whole;
            prop_assert!(down.abs() <= parts.abs() && (parts - down).abs() < whole);
        }

        #[test]
        fn net_and_the_tax_within_make_the_gross_again(minor in 0_i64..10_000_000_000, millionths in 0_u32..400_000) {
            let rate = Rate::from_millionths(millionths).unwrap();
            let inside = rate.contained_in(gbp(minor), Rounding::HalfUp).unwrap();
            let on_top = rate.of(gbp(minor).less(inside).unwrap(), Rounding::HalfUp).unwrap();
            prop_assert!((inside.minor - on_top.minor).abs() <= 1);
        }
    }
}
