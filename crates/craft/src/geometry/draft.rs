//! The lean of a mould's wall.

use std::fmt;
use std::str::FromStr;

use super::GeometryError;
use crate::units::Length;
use crate::written::written_as_text;

/// How far the wall of a mould leans outward, so that the stone comes out: the angle from upright as it is measured
/// across the width, 0–30°. Stored to a millionth of a degree and written as "3 °".
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Draft {
    micro_degrees: i64,
}

impl Draft {
    /// An upright wall.
    pub const UPRIGHT: Draft = Draft { micro_degrees: 0 };
    /// The unit as it is written.
    pub const UNIT: &'static str = "°";
    const MOST: Draft = Draft { micro_degrees: 30_000_000 };

    /// From degrees, rounded to a millionth.
    ///
    /// # Errors
    /// Anything outside 0–30°.
    pub fn from_degrees(degrees: f64) -> Result<Self, GeometryError> {
        if (0.0..=30.0).contains(&degrees) {
            Ok(Self { micro_degrees: Length::from_mm(degrees).micro() })
        } else {
            Err(GeometryError::Draft { given: format!("{degrees} {}", Self::UNIT) })
        }
    }

    /// The angle in degrees.
    pub fn degrees(self) -> f64 {
        Length::from_micro(self.micro_degrees).mm()
    }

    /// How far the wall leans outward for each mm it rises.
    pub(crate) fn per_mm(self) -> f64 {
        self.degrees().to_radians().tan()
    }

    /// True for an upright wall.
    #[expect(clippy::trivially_copy_pass_by_ref, reason = "serde asks with a reference")]
    pub(crate) fn is_upright(&self) -> bool {
        *self == Self::UPRIGHT
    }
}

impl fmt::Display for Draft {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let text = Length::from_micro(self.micro_degrees).to_string();
        write!(f, "{} {}", text.trim_end_matches(Length::UNIT).trim_end(), Self::UNIT)
    }
}

impl fmt::Debug for Draft {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(self, f)
    }
}

impl FromStr for Draft {
    type Err = GeometryError;

    fn from_str(text: &str) -> Result<Self, GeometryError> {
        let wrong = || GeometryError::Draft { given: format!("\"{text}\"") };
        let number = text.strip_suffix(Self::UNIT).ok_or_else(wrong)?.trim_end();
        // A decimal in degrees is read by the same rules as one in mm.
        let Ok(read) = format!("{number} {}", Length::UNIT).parse::<Length>() else {
            return Err(wrong());
        };
        let draft = Self { micro_degrees: read.micro() };
        if (Self::UPRIGHT..=Self::MOST).contains(&draft) { Ok(draft) } else { Err(wrong()) }
    }
}

written_as_text!(Draft);

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_draft_survives_its_text_and_an_impossible_one_is_refused() {
        for text in ["0 °", "3 °", "2.5 °", "30 °"] {
            let draft: Draft = text.parse().unwrap();
            assert_eq!(draft.to_string(), text);
            assert_eq!(ron::from_str::<Draft>(&ron::to_string(&draft).unwrap()).unwrap(), draft);
        }
        assert_eq!(Draft::from_degrees(2.5).unwrap().to_string(), "2.5 °");
        for bad in ["-1 °", "31 °", "3", "3 mm", "NaN °"] {
            assert!(bad.parse::<Draft>().is_err(), "{bad}");
        }
        assert_eq!(
            Draft::from_degrees(f64::NAN).unwrap_err().to_string(),
            "a wall that leans NaN ° cannot be; give 0 ° (upright) to 30 °"
        );
        assert!((Draft::from_degrees(30.0).unwrap().per_mm() - 3.0_f64.sqrt() / 3.0).abs() < 1e-15);
    }
}
