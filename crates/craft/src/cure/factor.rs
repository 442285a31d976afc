//! Checked plain numbers: what has no unit of its own, or one that only this trade uses.

use std::fmt;

use serde::de::Error as _;
use serde::{Deserialize, Deserializer, Serialize};

use super::CureError;

/// A finite number from 0 to [`Factor::MOST`]: a doubt, a margin, an absorption, a hiding need.
///
/// "Not a number", infinities, negatives and absurdly large values are refused where it is made and where it
/// is read from a file, so two factors can always be compared.
#[derive(Clone, Copy, PartialEq, PartialOrd, Default, Serialize)]
#[serde(transparent)]
pub struct Factor(f64);

impl Factor {
    /// Nothing.
    pub const ZERO: Factor = Factor(0.0);
    /// One.
    pub const ONE: Factor = Factor(1.0);
    /// The largest value that can be held.
    pub const MOST: f64 = 1e6;

    /// A factor from a number.
    ///
    /// # Errors
    /// Refused where `value` is not finite, is below 0 or above [`Factor::MOST`].
    pub fn new(value: f64) -> Result<Self, CureError> {
        if (0.0..=Self::MOST).contains(&value) {
            // Adding zero turns a negative zero into a plain one, so equal factors are written alike.
            Ok(Self(value + 0.0))
        } else {
            Err(CureError::Factor { value })
        }
    }

    /// For the constants of this crate, which are all in range.
    pub(crate) const fn known(value: f64) -> Self {
        Self(value)
    }

    /// The number.
    pub const fn get(self) -> f64 {
        self.0
    }
}

// A factor is never "not a number", so equality is total.
impl Eq for Factor {}

impl fmt::Debug for Factor {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Debug::fmt(&self.0, f)
    }
}

impl fmt::Display for Factor {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(&self.0, f)
    }
}

impl<'de> Deserialize<'de> for Factor {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        Self::new(f64::deserialize(deserializer)?).map_err(D::Error::custom)
    }
}

/// How strongly two doubts go together, from -1 to 1.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd, Default, Serialize)]
#[serde(transparent)]
pub struct Correlation(f64);

impl Correlation {
    /// The two doubts have nothing to do with each other.
    pub const NONE: Correlation = Correlation(0.0);

    /// A correlation from a number.
    ///
    /// # Errors
    /// Refused where `value` is not from -1 to 1.
    pub fn new(value: f64) -> Result<Self, CureError> {
        if (-1.0..=1.0).contains(&value) {
            Ok(Self(value + 0.0))
        } else {
            Err(CureError::Correlation { value })
        }
    }

    /// For the constants of this crate, which are all in range.
    pub(crate) const fn known(value: f64) -> Self {
        Self(value)
    }

    /// The number.
    pub const fn get(self) -> f64 {
        self.0
    }
}

impl Eq for Correlation {}

impl<'de> Deserialize<'de> for Correlation {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        Self::new(f64::deserialize(deserializer)?).map_err(D::Error::custom)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_factor_that_is_not_finite_or_out_of_range_cannot_be_made_or_read() {
        for bad in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY, -1e-9, 1.000001e6] {
            assert!(Factor::new(bad).is_err(), "{bad}");
        }
        for text in ["NaN", "inf", "-inf", "-0.1", "1e7", "\"0.4\""] {
            assert!(ron::from_str::<Factor>(text).is_err(), "{text}");
        }
        assert_eq!(ron::from_str::<Factor>("0.35").unwrap(), Factor::known(0.35));
    }

    #[test]
    fn a_correlation_stays_between_minus_one_and_one() {
        assert!(Correlation::new(1.0001).is_err());
        assert!(Correlation::new(f64::NAN).is_err());
        assert!(ron::from_str::<Correlation>("-2.0").is_err());
        assert_eq!(Correlation::new(-1.0).unwrap(), Correlation::known(-1.0));
    }

    #[test]
    fn a_factor_comes_back_from_its_text_to_the_last_bit() {
        for value in [0.1 + 0.2, 1e-300, 2.053748910631823, 1e6] {
            let factor = Factor::new(value).unwrap();
            let text = ron::to_string(&factor).unwrap();
            assert_eq!(ron::from_str::<Factor>(&text).unwrap().get().to_bits(), value.to_bits());
        }
    }
}
