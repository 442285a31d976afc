//! A lamp's real buttons, and what a press is worth in seconds of full power.

use serde::{Deserialize, Serialize};

use super::{CureError, Provenance};
use crate::units::Span;

/// One button of a lamp: light that grows evenly from nothing to full, then holds until it switches off.
#[derive(Clone, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(try_from = "PlainButton", into = "PlainButton")]
pub struct Button {
    name: String,
    total: Span,
    ramp: Span,
}

/// A button as it is written down, before it is checked.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct PlainButton {
    name: String,
    total: Span,
    ramp: Span,
}

impl From<Button> for PlainButton {
    fn from(button: Button) -> Self {
        Self { name: button.name, total: button.total, ramp: button.ramp }
    }
}

impl TryFrom<PlainButton> for Button {
    type Error = CureError;

    fn try_from(plain: PlainButton) -> Result<Self, CureError> {
        Self::new(plain.name, plain.total, plain.ramp)
    }
}

impl Button {
    /// A button that is lit for `total`, growing evenly over the first `ramp` seconds (0 s for a lamp that is
    /// at full power at once). A ramp longer than the whole press never reaches full power, and is allowed.
    ///
    /// # Errors
    /// Refused where `total` is not above 0 s and at most an hour, or `ramp` is negative or above an hour.
    pub fn new(name: impl Into<String>, total: Span, ramp: Span) -> Result<Self, CureError> {
        let hour = Span::from_micro(3_600_000_000);
        if !total.is_positive() || total > hour || ramp < Span::ZERO || ramp > hour {
            return Err(CureError::Button { total, ramp });
        }
        Ok(Self { name: name.into(), total, ramp })
    }

    /// What stands on the button.
    pub fn name(&self) -> &str {
        &self.name
    }

    /// How long a whole press is lit.
    pub fn total(&self) -> Span {
        self.total
    }

    /// How long the light grows before it is at full power.
    pub fn ramp(&self) -> Span {
        self.ramp
    }

    /// A whole press in seconds of full power: `t − ramp/2` once the ramp is over.
    pub fn equivalent(&self) -> Span {
        self.equivalent_after(self.total)
    }

    /// A press stopped after `lit` in seconds of full power: the area under the lamp's power, which is
    /// `s²/(2·ramp)` while it still grows and `s − ramp/2` after. Time beyond the button's own end counts
    /// for nothing, nor does time before it was pressed. Rounded down to a microsecond: light that may not
    /// have fallen is not credited.
    pub fn equivalent_after(&self, lit: Span) -> Span {
        let lit = lit.clamp(Span::ZERO, self.total);
        if lit >= self.ramp {
            return Span::from_micro(lit.micro() - self.ramp.micro() / 2 - self.ramp.micro() % 2);
        }
        let lit_us = i128::from(lit.micro());
        let area_us = lit_us * lit_us / (2 * i128::from(self.ramp.micro()));
        // While it grows the area is at most half of `lit`, so it fits; zero is the cautious fallback.
        Span::from_micro(i64::try_from(area_us).unwrap_or(0))
    }

    /// What `lit` seconds in all are worth in seconds of full power, where it is pressed again as often as it takes and the
    /// last press is cut short: each press grows anew.
    pub fn equivalent_over(&self, lit: Span) -> Span {
        let (lit, press) = (lit.micro().max(0), self.total.micro());
        let whole = Span::from_micro(self.equivalent().micro().saturating_mul(lit / press));
        whole + self.equivalent_after(Span::from_micro(lit % press))
    }
}

/// A lamp button over one bottle of resin: with it, `first_set` full-power seconds pass until the clear resin
/// begins to set.
#[derive(Clone, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(try_from = "PlainLight", into = "PlainLight")]
pub struct Light {
    /// The button.
    pub button: Button,
    first_set: Span,
    /// Where `first_set` came from.
    pub provenance: Provenance,
}

/// A light as it is written down, before it is checked.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct PlainLight {
    button: Button,
    first_set: Span,
    provenance: Provenance,
}

impl From<Light> for PlainLight {
    fn from(light: Light) -> Self {
        Self { button: light.button, first_set: light.first_set, provenance: light.provenance }
    }
}

impl TryFrom<PlainLight> for Light {
    type Error = CureError;

    fn try_from(plain: PlainLight) -> Result<Self, CureError> {
        Self::new(plain.button, plain.first_set, plain.provenance)
    }
}

impl Light {
    /// A button with the full-power seconds until the clear resin first sets under it.
    ///
    /// # Errors
    /// Refused where `first_set` is not above 0 s and at most 100,000 s.
    pub fn new(button: Button, first_set: Span, provenance: Provenance) -> Result<Self, CureError> {
        if !first_set.is_positive() || first_set > Span::from_micro(100_000_000_000) {
            return Err(CureError::FirstSet { seconds: first_set });
        }
        Ok(Self { button, first_set, provenance })
    }

    /// A cautious guess: 10 mJ/cm² under 10 mW/cm², so 1 s (common practice, no source).
    pub fn typical(button: Button) -> Self {
        Self { button, first_set: Span::from_micro(1_000_000), provenance: Provenance::Typical }
    }

    /// Full-power seconds until the clear resin first sets.
    pub fn first_set(&self) -> Span {
        self.first_set
    }

    /// A whole press, as a multiple of what first sets the clear resin.
    pub fn dose_ratio(&self) -> f64 {
        self.button.equivalent().s() / self.first_set.s()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn button(total_s: f64, ramp_s: f64) -> Button {
        Button::new("test", Span::from_s(total_s), Span::from_s(ramp_s)).unwrap()
    }

    #[test]
    fn the_low_heat_button_is_worth_sixty_nine_full_seconds() {
        assert_eq!(button(99.0, 60.0).equivalent(), Span::from_s(69.0));
        assert_eq!(button(120.0, 0.0).equivalent(), Span::from_s(120.0));
    }

    #[test]
    fn a_press_stopped_while_the_light_grows_is_worth_the_triangle() {
        let low = button(99.0, 60.0);
        assert_eq!(low.equivalent_after(Span::from_s(30.0)), Span::from_s(7.5));
        assert_eq!(low.equivalent_after(Span::from_s(60.0)), Span::from_s(30.0));
        assert_eq!(low.equivalent_after(Span::from_s(64.0)), Span::from_s(34.0));
        assert_eq!(low.equivalent_after(Span::from_s(-5.0)), Span::ZERO);
        assert_eq!(low.equivalent_after(Span::from_s(500.0)), low.equivalent());
    }

    #[test]
    fn a_ramp_longer_than_the_press_never_reaches_full_power() {
        assert_eq!(button(30.0, 60.0).equivalent(), Span::from_s(7.5));
    }

    #[test]
    fn an_impossible_button_is_refused_and_also_from_a_file() {
        assert!(Button::new("x", Span::ZERO, Span::ZERO).is_err());
        assert!(Button::new("x", Span::from_s(60.0), Span::from_s(-1.0)).is_err());
        assert!(ron::from_str::<Button>("(name:\"x\",total:\"0 s\",ramp:\"0 s\")").is_err());
        assert!(ron::from_str::<Button>("(name:\"x\",total:\"60 s\",ramp:\"0 s\",power:3)").is_err());
        let low = button(99.0, 60.0);
        assert_eq!(ron::from_str::<Button>(&ron::to_string(&low).unwrap()).unwrap(), low);
    }

    /// Area under the lamp's power by the midpoint rule in `steps` slices: a second method.
    fn area_by_slices(button: &Button, lit_s: f64, steps: u32) -> f64 {
        let ramp_s = button.ramp().s();
        let slice_s = lit_s / f64::from(steps);
        (0..steps)
            .map(|i| (f64::from(i) + 0.5) * slice_s)
            .map(|at_s| if at_s >= ramp_s { 1.0 } else { at_s / ramp_s })
            .sum::<f64>()
            * slice_s
    }

    #[test]
    fn forgetting_to_halve_the_ramp_is_caught_by_the_area_under_the_lamp() {
        let low = button(99.0, 60.0);
        let area_s = area_by_slices(&low, 99.0, 99_000);
        assert!((low.equivalent().s() - area_s).abs() < 1e-3);
        let broken_s = low.total().s() - low.ramp().s();
        assert!((broken_s - area_s).abs() > 1e-3, "the broken variant must fail the same check");
    }

    proptest! {
        #[test]
        fn a_partial_press_is_the_area_under_the_lamps_power(
            total_s in 1_u32..400, ramp_s in 0_u32..400, part in 0.0..1.0_f64,
        ) {
            let press = button(f64::from(total_s), f64::from(ramp_s));
            let lit_s = f64::from(total_s) * part;
            let exact_s = press.equivalent_after(Span::from_s(lit_s)).s();
            prop_assert!((exact_s - area_by_slices(&press, lit_s, 20_000)).abs() < 0.02);
        }

        #[test]
        fn the_longer_it_is_lit_the_more_it_is_worth(
            total_s in 1_u32..400, ramp_s in 0_u32..400, first in 0.0..1.0_f64, second in 0.0..1.0_f64,
        ) {
            let press = button(f64::from(total_s), f64::from(ramp_s));
            let after = |part: f64| press.equivalent_after(Span::from_s(f64::from(total_s) * part));
            prop_assert!(after(first.min(second)) <= after(first.max(second)));
        }
    }

    #[test]
    fn a_second_press_grows_anew() {
        // By hand: a whole press of 99 s that grows over 60 s is 69 full seconds, and 30 s of the next 30²/(2·60).
        let low = button(99.0, 60.0);
        assert_eq!(low.equivalent_over(Span::from_s(129.0)), Span::from_s(76.5));
        assert!(low.equivalent_over(Span::from_s(129.0)) < low.equivalent() + Span::from_s(30.0));
        assert_eq!(button(60.0, 0.0).equivalent_over(Span::from_s(150.0)), Span::from_s(150.0));
        assert_eq!(low.equivalent_over(Span::from_s(-1.0)), Span::ZERO);
    }
}
