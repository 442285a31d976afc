//! Quantities with their units in the type.
//!
//! What is stored is a whole number of millionths of the unit, so equality, order, hashing and a trip through
//! a file are exact, and "not a number" cannot be written down at all. In files and in the log a quantity is a
//! short text with its unit, such as `"0.4 mm"`. What is only computed (areas, volumes) is a plain float newtype.

use std::fmt;
use std::str::FromStr;

use crate::written::written_as_text;

use serde::{Deserialize, Serialize};

/// Why a text is not a quantity; says what would be right.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum UnitError {
    /// The text is not a decimal number followed by the unit.
    #[error(
        "\"{text}\" is not an amount in {unit}; write a number and the unit, such as \"{example} {unit}\""
    )]
    Unreadable {
        /// What was read.
        text: String,
        /// The unit that was wanted.
        unit: &'static str,
        /// A number that would be right.
        example: &'static str,
    },
    /// The number has more than six decimals or is too large to hold.
    #[error("\"{text}\" is out of range; at most six decimals and {MAX_WHOLE} {unit} can be held")]
    OutOfRange {
        /// What was read.
        text: String,
        /// The unit that was wanted.
        unit: &'static str,
    },
    /// A computed value is not finite.
    #[error("the amount in {unit} is not a number; check what it was worked out from")]
    NotFinite {
        /// The unit that was wanted.
        unit: &'static str,
    },
}

/// The largest whole part a stored quantity may have, far above anything on a bench.
pub const MAX_WHOLE: i64 = 1_000_000_000;
const MICRO: i64 = 1_000_000;

/// Writes `micro` millionths as the shortest exact decimal.
fn write_micro(f: &mut fmt::Formatter<'_>, micro: i64) -> fmt::Result {
    let sign = if micro < 0 { "-" } else { "" };
    let (whole, rest) =
        (micro.unsigned_abs() / MICRO.unsigned_abs(), micro.unsigned_abs() % MICRO.unsigned_abs());
    if rest == 0 {
        return write!(f, "{sign}{whole}");
    }
    let decimals = format!("{rest:06}");
    write!(f, "{sign}{whole}.{}", decimals.trim_end_matches('0'))
}

/// Reads a decimal with at most six decimals into millionths.
fn read_micro(text: &str) -> Option<Result<i64, ()>> {
    let (negative, digits) = match text.strip_prefix('-') {
        Some(rest) => (true, rest),
        None => (false, text),
    };
    let (whole, rest) = digits.split_once('.').unwrap_or((digits, "0"));
    let plain = |part: &str| !part.is_empty() && part.bytes().all(|b| b.is_ascii_digit());
    if !plain(whole) || !plain(rest) {
        return None;
    }
    if rest.len() > 6 || whole.len() > 10 {
        return Some(Err(()));
    }
    let whole: i64 = whole.parse().ok()?;
    if whole > MAX_WHOLE {
        return Some(Err(()));
    }
    let rest: i64 = format!("{rest:0<6}").parse().ok()?;
    let micro = whole * MICRO + rest;
    Some(Ok(if negative { -micro } else { micro }))
}

macro_rules! stored_quantity {
    ($(#[$doc:meta])* $name:ident, $unit:literal, $from:ident, $get:ident, $example:literal) => {
        $(#[$doc])*
        #[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
        pub struct $name(i64);

        impl $name {
            /// Nothing of it.
            pub const ZERO: $name = $name(0);
            /// The unit as it is written.
            pub const UNIT: &'static str = $unit;

            /// From whole millionths of the unit.
            pub const fn from_micro(micro: i64) -> Self {
                Self(micro)
            }

            /// Whole millionths of the unit.
            pub const fn micro(self) -> i64 {
                self.0
            }

            #[doc = concat!("From a finite number of ", $unit, ", rounded to a millionth. For numbers that may not be finite use `try_from`.")]
            #[expect(clippy::cast_possible_truncation, reason = "the cast saturates, and the range is far above any bench value")]
            pub fn $from(value: f64) -> Self {
                debug_assert!(value.is_finite(), concat!("a ", $unit, " value must be finite"));
                Self((value * 1e6).round() as i64)
            }

            #[doc = concat!("The amount as a number of ", $unit, ".")]
            pub fn $get(self) -> f64 {
                self.0 as f64 / 1e6
            }

            /// Without its sign.
            #[must_use]
            pub const fn abs(self) -> Self {
                Self(self.0.abs())
            }

            /// True above zero.
            pub const fn is_positive(self) -> bool {
                self.0 > 0
            }
        }

        impl TryFrom<f64> for $name {
            type Error = UnitError;

            fn try_from(value: f64) -> Result<Self, UnitError> {
                if !value.is_finite() {
                    return Err(UnitError::NotFinite { unit: $unit });
                }
                if value.abs() > MAX_WHOLE as f64 {
                    return Err(UnitError::OutOfRange { text: value.to_string(), unit: $unit });
                }
                Ok(Self::$from(value))
            }
        }

        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                write_micro(f, self.0)?;
                write!(f, " {}", $unit)
            }
        }

        impl fmt::Debug for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                fmt::Display::fmt(self, f)
            }
        }

        impl FromStr for $name {
            type Err = UnitError;

            fn from_str(text: &str) -> Result<Self, UnitError> {
                let number = text.strip_suffix($unit).map(str::trim_end);
                match number.and_then(read_micro) {
                    Some(Ok(micro)) => Ok(Self(micro)),
                    Some(Err(())) => Err(UnitError::OutOfRange { text: text.to_owned(), unit: $unit }),
                    None => Err(UnitError::Unreadable { text: text.to_owned(), unit: $unit, example: $example }),
                }
            }
        }

        impl std::ops::Add for $name {
            type Output = Self;
            fn add(self, other: Self) -> Self {
                Self(self.0.saturating_add(other.0))
            }
        }

        impl std::ops::Sub for $name {
            type Output = Self;
            fn sub(self, other: Self) -> Self {
                Self(self.0.saturating_sub(other.0))
            }
        }

        impl std::iter::Sum for $name {
            fn sum<I: Iterator<Item = Self>>(parts: I) -> Self {
                parts.fold(Self::ZERO, |total, part| total + part)
            }
        }

        written_as_text!($name);
    };
}

stored_quantity!(
    /// A length; stored to the nanometre, written in mm.
    Length, "mm", from_mm, mm, "0.4"
);
stored_quantity!(
    /// A mass; stored to the nanogram, written in mg.
    Mass, "mg", from_mg, mg, "31"
);
stored_quantity!(
    /// A span of time; stored to the microsecond, written in s.
    Span, "s", from_s, s, "99"
);
stored_quantity!(
    /// A load of pigment in resin, per cent by mass.
    Load, "%", from_percent, percent, "0.5"
);
stored_quantity!(
    /// A temperature; stored to a millionth of a degree, written in °C.
    Temperature, "°C", from_celsius, celsius, "21"
);

macro_rules! computed_quantity {
    ($(#[$doc:meta])* $name:ident, $unit:literal, $from:ident, $get:ident) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, PartialEq, PartialOrd, Default)]
        pub struct $name(f64);

        impl $name {
            #[doc = concat!("From a number of ", $unit, ".")]
            pub const fn $from(value: f64) -> Self {
                Self(value)
            }

            #[doc = concat!("The number of ", $unit, ".")]
            pub const fn $get(self) -> f64 {
                self.0
            }
        }
    };
}

computed_quantity!(
    /// An area, only ever computed.
    Area, "mm²", from_mm2, mm2
);
computed_quantity!(
    /// A volume, only ever computed.
    Volume, "mm³", from_mm3, mm3
);

/// A share of a lot in whole millionths: always balances, needs no scale.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Default, Serialize, Deserialize)]
#[serde(transparent)]
pub struct Share(u32);

impl Share {
    /// The whole lot.
    pub const WHOLE: Share = Share(1_000_000);
    /// Nothing.
    pub const NONE: Share = Share(0);

    /// From whole millionths.
    pub const fn from_millionths(millionths: u32) -> Self {
        Self(millionths)
    }

    /// Whole millionths.
    pub const fn millionths(self) -> u32 {
        self.0
    }

    /// `num / den` of the whole, rounded to a millionth; `den` of 0 gives nothing.
    pub const fn of(num: u32, den: u32) -> Self {
        if den == 0 {
            return Self(0);
        }
        #[expect(
            clippy::cast_possible_truncation,
            reason = "at most the u32 it came from times the whole, over den"
        )]
        Self(((num as u64 * 1_000_000 + den as u64 / 2) / den as u64) as u32)
    }

    /// The rest after taking `part` away, or `None` where there is less than that.
    pub fn less(self, part: Share) -> Option<Share> {
        self.0.checked_sub(part.0).map(Share)
    }

    /// Both together, or `None` where that would be more than can be held.
    pub fn and(self, other: Share) -> Option<Share> {
        self.0.checked_add(other.0).map(Share)
    }

    /// As a fraction of the whole.
    pub fn fraction(self) -> f64 {
        f64::from(self.0) / 1e6
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn a_quantity_is_written_as_the_shortest_exact_text() {
        assert_eq!(Length::from_mm(0.4).to_string(), "0.4 mm");
        assert_eq!(Mass::from_mg(-31.25).to_string(), "-31.25 mg");
        assert_eq!(Span::from_s(99.0).to_string(), "99 s");
        assert_eq!(Load::from_percent(0.000001).to_string(), "0.000001 %");
    }

    #[test]
    fn what_is_not_a_number_is_refused_with_what_would_be_right() {
        let sentence = "NaN mm".parse::<Length>().unwrap_err().to_string();
        assert_eq!(
            sentence,
            "\"NaN mm\" is not an amount in mm; write a number and the unit, such as \"0.4 mm\""
        );
        assert!("1e999 mm".parse::<Length>().is_err());
        assert!("0.4".parse::<Length>().is_err());
        assert!("0.4 cm".parse::<Length>().is_err());
        assert!(Length::try_from(f64::NAN).is_err());
        assert!(Length::try_from(f64::INFINITY).is_err());
        assert!(matches!("0.1234567 mm".parse::<Length>(), Err(UnitError::OutOfRange { .. })));
        assert!(matches!("99999999999 mm".parse::<Length>(), Err(UnitError::OutOfRange { .. })));
    }

    #[test]
    fn thirds_are_rounded_and_the_rest_is_exact() {
        let third = Share::of(1, 3);
        assert_eq!(third.millionths(), 333_333);
        assert_eq!(Share::WHOLE.less(third), Some(Share::from_millionths(666_667)));
        assert_eq!(third.less(Share::WHOLE), None);
    }

    proptest! {
        #[test]
        fn every_stored_quantity_survives_its_text(micro in -1_000_000_000_000_000_i64..=1_000_000_000_000_000) {
            let length = Length::from_micro(micro);
            prop_assert_eq!(length.to_string().parse::<Length>(), Ok(length));
        }
    }
}
