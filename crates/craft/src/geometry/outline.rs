//! The outline of a stone seen from above.

use std::f64::consts::PI;

use serde::{Deserialize, Serialize};

use super::numeric::ellipse_perimeter_mm;
use super::{GeometryError, LEAST_SIDE, MOST_SIDE, Side, check_side};
use crate::units::{Area, Length};

/// The outline of a stone, as a named construction.
///
/// Trade names alone do not fix a shape, so each outline stored here is one construction with one area. All that
/// depends on the kind of outline is matched in this file.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum Outline {
    /// A circle.
    Round {
        /// Across; 0.5–100 mm.
        diameter: Length,
    },
    /// An ellipse.
    Oval {
        /// The long axis; 0.5–100 mm.
        length: Length,
        /// The short axis; 0.5–100 mm and no larger than the length.
        width: Length,
    },
}

impl Outline {
    /// Checks the sizes.
    ///
    /// # Errors
    /// A side outside 0.5–100 mm, or a width larger than the length.
    pub fn check(self) -> Result<(), GeometryError> {
        match self {
            Outline::Round { diameter } => check_side(Side::Diameter, diameter, LEAST_SIDE, MOST_SIDE),
            Outline::Oval { length, width } => {
                check_side(Side::Length, length, LEAST_SIDE, MOST_SIDE)?;
                check_side(Side::Width, width, LEAST_SIDE, MOST_SIDE)?;
                if width > length {
                    return Err(GeometryError::WiderThanLong { length, width });
                }
                Ok(())
            }
        }
    }

    /// The longest measure.
    pub fn length(self) -> Length {
        match self {
            Outline::Round { diameter } => diameter,
            Outline::Oval { length, .. } => length,
        }
    }

    /// The measure across the length.
    pub fn width(self) -> Length {
        match self {
            Outline::Round { diameter } => diameter,
            Outline::Oval { width, .. } => width,
        }
    }

    /// Half the length and half the width, in mm.
    pub(crate) fn semi_axes_mm(self) -> (f64, f64) {
        (self.length().mm() / 2.0, self.width().mm() / 2.0)
    }

    /// The enclosed area: πab for half-axes a and b.
    pub fn area(self) -> Area {
        let (a_mm, b_mm) = self.semi_axes_mm();
        Area::from_mm2(PI * a_mm * b_mm)
    }

    /// The way round, to `tolerance`: πD for a round, the exact ellipse perimeter 4a·E(1 − b²/a²) for an oval
    /// (Abramowitz and Stegun 1964, ch. 17). The mean-diameter rule π(L+W)/2 is always too short on ovals.
    pub fn perimeter(self, tolerance: Length) -> Length {
        Length::from_mm(self.perimeter_mm(tolerance.mm()))
    }

    pub(crate) fn perimeter_mm(self, tolerance_mm: f64) -> f64 {
        let (a_mm, b_mm) = self.semi_axes_mm();
        ellipse_perimeter_mm(a_mm, b_mm, tolerance_mm)
    }

    /// The same outline with every length times `scale` (finite, usually 0–1).
    #[must_use]
    pub fn scaled(self, scale: f64) -> Self {
        let times = |side: Length| Length::from_mm(side.mm() * scale);
        match self {
            Outline::Round { diameter } => Outline::Round { diameter: times(diameter) },
            Outline::Oval { length, width } => Outline::Oval { length: times(length), width: times(width) },
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::FINEST;
    use super::*;
    use proptest::prelude::*;

    fn oval(length_mm: f64, width_mm: f64) -> Outline {
        Outline::Oval { length: Length::from_mm(length_mm), width: Length::from_mm(width_mm) }
    }

    #[test]
    fn an_oval_as_wide_as_long_is_a_round() {
        let round = Outline::Round { diameter: Length::from_mm(18.0) };
        assert_eq!(oval(18.0, 18.0).perimeter(FINEST), round.perimeter(FINEST));
        assert!((oval(18.0, 18.0).area().mm2() - round.area().mm2()).abs() < 1e-12);
    }

    #[test]
    fn an_outline_with_impossible_sides_is_refused_in_a_sentence() {
        let sentence = |outline: Outline| outline.check().unwrap_err().to_string();
        assert_eq!(
            sentence(Outline::Round { diameter: Length::ZERO }),
            "a diameter of 0 mm cannot be right; it must lie between 0.5 mm and 100 mm"
        );
        assert_eq!(
            sentence(oval(18.0, -13.0)),
            "a width of -13 mm cannot be right; it must lie between 0.5 mm and 100 mm"
        );
        assert_eq!(
            sentence(oval(180.0, 13.0)),
            "a length of 180 mm cannot be right; it must lie between 0.5 mm and 100 mm"
        );
        assert_eq!(
            sentence(oval(13.0, 18.0)),
            "the width, 18 mm, is larger than the length, 13 mm; swap the two"
        );
        assert_eq!(oval(0.5, 0.5).check(), Ok(()));
        assert_eq!(oval(100.0, 0.5).check(), Ok(()));
    }

    #[test]
    fn an_outline_is_stored_by_name_and_unknown_words_are_refused() {
        let text = ron::to_string(&oval(18.0, 13.0)).unwrap();
        assert_eq!(text, "Oval(length:\"18 mm\",width:\"13 mm\")");
        assert_eq!(ron::from_str::<Outline>(&text).unwrap(), oval(18.0, 13.0));
        assert!(ron::from_str::<Outline>("Oval(length:\"18 mm\",width:\"13 mm\",tip:\"1 mm\")").is_err());
    }

    proptest! {
        /// Ramanujan's second formula (1914) stays within 3e-4 of the perimeter for every ratio up to 20:1.
        #[test]
        fn the_perimeter_agrees_with_ramanujan(length in 0.5..100.0_f64, ratio in 0.05..1.0_f64) {
            let outline = oval(length, length * ratio);
            let (a, b) = outline.semi_axes_mm();
            let h = ((a - b) / (a + b)).powi(2);
            let ramanujan = PI * (a + b) * (1.0 + 3.0 * h / (10.0 + (4.0 - 3.0 * h).sqrt()));
            prop_assert!((outline.perimeter_mm(1e-10) / ramanujan - 1.0).abs() < 3e-4);
        }

        #[test]
        fn the_mean_diameter_rule_is_never_too_long(length in 0.5..100.0_f64, ratio in 0.05..1.0_f64) {
            let outline = oval(length, length * ratio);
            let (a, b) = outline.semi_axes_mm();
            prop_assert!(outline.perimeter_mm(1e-10) >= PI * (a + b) - 1e-9);
        }
    }
}
