//! The working curve in seconds.

use std::f64::consts::LN_10;

use serde::{Deserialize, Serialize};

use super::{CureError, Factor, Provenance};
use crate::units::{Length, Load, Span};

/// A resin as far as light is concerned: how deep it hardens for each e-fold of light.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(try_from = "PlainResin", into = "PlainResin")]
pub struct Resin {
    penetration: Length,
    /// Where the value came from.
    pub provenance: Provenance,
}

/// A resin as it is written down, before it is checked.
#[derive(Clone, Copy, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct PlainResin {
    penetration: Length,
    provenance: Provenance,
}

impl From<Resin> for PlainResin {
    fn from(resin: Resin) -> Self {
        Self { penetration: resin.penetration, provenance: resin.provenance }
    }
}

impl TryFrom<PlainResin> for Resin {
    type Error = CureError;

    fn try_from(plain: PlainResin) -> Result<Self, CureError> {
        Self::new(plain.penetration, plain.provenance)
    }
}

impl Resin {
    /// Typical clear craft resin, a cautious guess: 1.0 mm (common practice, no source).
    pub const TYPICAL: Resin =
        Resin { penetration: Length::from_micro(1_000_000), provenance: Provenance::Typical };

    /// A resin whose clear penetration depth is `penetration`.
    ///
    /// # Errors
    /// Refused where it is not above 0 mm and at most 100 mm.
    pub fn new(penetration: Length, provenance: Provenance) -> Result<Self, CureError> {
        check_penetration(penetration)?;
        Ok(Self { penetration, provenance })
    }

    /// The clear penetration depth Dp: each e-fold of light hardens this much deeper.
    pub fn penetration(&self) -> Length {
        self.penetration
    }
}

fn check_penetration(depth: Length) -> Result<(), CureError> {
    if depth.is_positive() && depth <= Length::from_micro(100_000_000) {
        Ok(())
    } else {
        Err(CureError::Penetration { depth })
    }
}

/// Depth against full-power seconds for one mix under one lamp: `Dp · ln(t / tc)`, nothing until `tc`.
///
/// Source: Jacobs, *Rapid Prototyping & Manufacturing* (1992); Gibson, Rosen, Stucker, *Additive
/// Manufacturing Technologies*, equation 4.16, there in exposure; one lamp's power cancels in the ratio.
/// Assumes that light and time make up for each other, and is to be trusted only within the seconds tested.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WorkingCurve {
    penetration_mm: f64,
    first_set_s: f64,
}

impl WorkingCurve {
    /// The curve of clear resin: `penetration` from 0 (not included) to 100 mm, `first_set` above 0 s.
    ///
    /// # Errors
    /// Refused where either is out of range.
    pub fn new(penetration: Length, first_set: Span) -> Result<Self, CureError> {
        check_penetration(penetration)?;
        if !first_set.is_positive() {
            return Err(CureError::FirstSet { seconds: first_set });
        }
        Ok(Self { penetration_mm: penetration.mm(), first_set_s: first_set.s() })
    }

    /// The same resin with `load` of a pigment that absorbs `absorption` per mm per per cent:
    /// `1/Dp = 1/Dp0 + α·c`. A surface sees the same light, so `tc` stays.
    #[must_use]
    pub fn with_pigment(self, absorption: Factor, load: Load) -> Self {
        let per_mm = 1.0 / self.penetration_mm + absorption.get() * load.percent().max(0.0);
        Self { penetration_mm: 1.0 / per_mm, ..self }
    }

    /// The penetration depth Dp, in mm.
    pub fn penetration_mm(&self) -> f64 {
        self.penetration_mm
    }

    /// How deep it sets in `lit` full-power seconds; nothing up to `tc`.
    pub fn depth(&self, lit: Span) -> Length {
        let ratio = lit.s() / self.first_set_s;
        if ratio <= 1.0 { Length::ZERO } else { Length::from_mm(self.penetration_mm * ratio.ln()) }
    }

    /// Full-power seconds until it sets just to `depth`: `tc · exp(depth / Dp)`; `None` where that is more
    /// seconds than can be held.
    pub fn seconds_for(&self, depth: Length) -> Option<Span> {
        Span::try_from(self.first_set_s * (depth.mm().max(0.0) / self.penetration_mm).exp()).ok()
    }

    /// The light that reaches the underside of a layer, as a multiple of what first sets it.
    pub fn ratio_under(&self, thickness: Length, lit: Span) -> f64 {
        lit.s() / self.first_set_s * (-thickness.mm() / self.penetration_mm).exp()
    }
}

/// The penetration depth of a film from a photometer's absorbance, `L / (A · ln 10)`: photometers count in
/// powers of ten, the working curve in powers of e.
///
/// # Errors
/// Refused where the absorbance or the path is not above 0, or the depth out of range.
pub fn penetration_from_absorbance(absorbance: f64, path: Length) -> Result<Length, CureError> {
    if !(absorbance > 0.0 && absorbance.is_finite() && path.is_positive()) {
        return Err(CureError::Absorbance { absorbance, path });
    }
    let depth = Length::try_from(path.mm() / (absorbance * LN_10))
        .map_err(|_too_large| CureError::Absorbance { absorbance, path })?;
    check_penetration(depth)?;
    Ok(depth)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn curve(penetration_mm: f64, first_set_s: f64) -> WorkingCurve {
        WorkingCurve::new(Length::from_mm(penetration_mm), Span::from_s(first_set_s)).unwrap()
    }

    #[test]
    fn nothing_sets_before_its_first_second() {
        assert_eq!(curve(1.0, 2.0).depth(Span::from_s(2.0)), Length::ZERO);
        assert_eq!(curve(1.0, 2.0).depth(Span::from_s(0.5)), Length::ZERO);
        assert!(curve(1.0, 2.0).depth(Span::from_s(2.001)).is_positive());
    }

    #[test]
    fn a_resin_that_hardens_no_depth_cannot_be_read_from_a_file() {
        assert!(ron::from_str::<Resin>("(penetration:\"0 mm\",provenance:Typical)").is_err());
        assert!(ron::from_str::<Resin>("(penetration:\"-1 mm\",provenance:Typical)").is_err());
        assert!(ron::from_str::<Resin>("(penetration:\"101 mm\",provenance:Typical)").is_err());
        let text = ron::to_string(&Resin::TYPICAL).unwrap();
        assert_eq!(text, "(penetration:\"1 mm\",provenance:Typical)");
        assert_eq!(ron::from_str::<Resin>(&text).unwrap(), Resin::TYPICAL);
    }

    #[test]
    fn an_absorbance_of_nothing_gives_no_depth() {
        assert!(penetration_from_absorbance(0.0, Length::from_mm(0.093)).is_err());
        assert!(penetration_from_absorbance(f64::NAN, Length::from_mm(0.093)).is_err());
        assert!(penetration_from_absorbance(0.1, Length::ZERO).is_err());
    }

    proptest! {
        #[test]
        fn seconds_and_depth_undo_each_other(dp_mm in 0.1..3.0_f64, tc_s in 0.2..5.0_f64, depth_mm in 0.0..4.0_f64) {
            let c = curve(dp_mm, tc_s);
            let depth = Length::from_mm(depth_mm);
            if let Some(seconds) = c.seconds_for(depth) {
                // A span is held to the microsecond, which is worth at most Dp·1e-6/tc of depth.
                let back_mm = c.depth(seconds).mm();
                prop_assert!((back_mm - depth.mm()).abs() <= 1e-6 + dp_mm * 1e-6 / tc_s, "{back_mm}");
            }
        }

        #[test]
        fn more_light_never_sets_less(dp_mm in 0.1..3.0_f64, tc_s in 0.2..5.0_f64, one_s in 0.0..400.0_f64, two_s in 0.0..400.0_f64) {
            let c = curve(dp_mm, tc_s);
            let depth = |s: f64| c.depth(Span::from_s(s));
            prop_assert!(depth(one_s.min(two_s)) <= depth(one_s.max(two_s)));
        }

        #[test]
        fn doubling_all_seconds_changes_nothing(dp_mm in 0.1..3.0_f64, tc_s in 0.2..5.0_f64, lit_s in 0.0..400.0_f64, times in 1_u32..20) {
            // Twice the lamp in half the time, or a bottle that needs twice as long: only the ratio counts.
            let factor = f64::from(times);
            let plain = curve(dp_mm, tc_s).depth(Span::from_s(lit_s)).mm();
            let scaled = curve(dp_mm, tc_s * factor).depth(Span::from_s(lit_s * factor)).mm();
            prop_assert!((plain - scaled).abs() < 1e-4);
        }
    }
}
