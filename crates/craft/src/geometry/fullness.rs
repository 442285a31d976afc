//! How full the corners of a cushion are.

use serde::de::Error as _;
use serde::{Deserialize, Deserializer, Serialize, Serializer};

use super::GeometryError;

/// The exponent n of a cushion |x/a|ⁿ + |y/b|ⁿ = 1, in hundredths: 2 is the ellipse, 10 nearly a rectangle.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Fullness(u16);

impl Fullness {
    /// The ellipse.
    pub const LEAST: Fullness = Fullness(200);
    /// The fullest cushion.
    pub const MOST: Fullness = Fullness(1000);
    /// The usual cushion (common practice, no source).
    pub const USUAL: Fullness = Fullness(300);

    /// From the exponent, rounded to hundredths.
    ///
    /// # Errors
    /// Anything outside 2–10.
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "the value is from 2 to 10 when it is cast"
    )]
    pub fn new(exponent: f64) -> Result<Self, GeometryError> {
        if (2.0..=10.0).contains(&exponent) {
            Ok(Self((exponent * 100.0).round() as u16))
        } else {
            Err(GeometryError::Fullness { given: exponent })
        }
    }

    /// The exponent.
    pub fn exponent(self) -> f64 {
        f64::from(self.0) / 100.0
    }
}

impl Serialize for Fullness {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_f64(self.exponent())
    }
}

impl<'de> Deserialize<'de> for Fullness {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        Self::new(f64::deserialize(deserializer)?).map_err(D::Error::custom)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_fullness_survives_its_text_and_what_is_no_cushion_is_refused() {
        for hundredths in [200, 250, 333, 1000] {
            let fullness = Fullness(hundredths);
            let text = ron::to_string(&fullness).unwrap();
            assert_eq!(ron::from_str::<Fullness>(&text).unwrap(), fullness, "{text}");
        }
        assert_eq!(ron::to_string(&Fullness::new(2.5).unwrap()).unwrap(), "2.5");
        for bad in [1.99, 10.01, f64::NAN, -3.0] {
            assert!(Fullness::new(bad).is_err(), "{bad}");
        }
        assert_eq!(
            Fullness::new(1.0).unwrap_err().to_string(),
            "a cushion of fullness 1 cannot be; give a number from 2 (an oval) to 10 (nearly a rectangle)"
        );
    }
}
