//! What is not known, as standard uncertainties.

use serde::{Deserialize, Serialize};

use super::{Correlation, Factor, PigmentClass};
use crate::units::Length;

/// The doubts behind a verdict. All but the last two are standard uncertainties of the natural logarithm:
/// 0.25 means "within a quarter, two times in three".
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Doubts {
    /// Of the clear penetration depth (uD).
    pub penetration: Factor,
    /// Of the light that first sets the resin (uE).
    pub first_set: Factor,
    /// Of the lamp at the mould (uI).
    pub lamp: Factor,
    /// How the first two go together (ρ).
    pub together: Correlation,
    /// Of the pigment's absorption (ua).
    pub pigment: Factor,
    /// Of the pigment's load, as measured out (uc).
    pub dosing: Factor,
    /// Of a layer's thickness, as laid by hand (dt).
    pub thickness: Length,
}

impl Doubts {
    /// Nothing tested: typical spread of bottles, lamps and hands (common practice, no source).
    pub const TYPICAL: Doubts = Doubts {
        penetration: Factor::known(0.25),
        first_set: Factor::known(0.40),
        lamp: Factor::known(0.35),
        together: Correlation::known(0.6),
        pigment: Factor::known(0.35),
        dosing: Factor::known(0.15),
        thickness: Length::from_micro(100_000),
    };

    /// What is left after a step test of this bottle, lamp and pigment, a masterbatch and a practised hand:
    /// position under the lamp and ageing, but no longer the unmeasured lamp.
    pub const CALIBRATED: Doubts = Doubts {
        penetration: Factor::known(0.05),
        first_set: Factor::known(0.10),
        lamp: Factor::known(0.14),
        together: Correlation::known(0.5),
        pigment: Factor::known(0.12),
        dosing: Factor::known(0.10),
        thickness: Length::from_micro(70_000),
    };

    /// What a test of ten minutes really leaves of [`Doubts::TYPICAL`]: four patches of clear resin from 5 to 75 s, measured
    /// with a caliper, and the same of a pale and of a strong mix. Worked out by [`crate::learning`], whose tests hold it
    /// against that. It says nothing of how pigment is measured out nor of the hand that lays.
    pub const TESTED: Doubts = Doubts {
        penetration: Factor::known(0.035),
        first_set: Factor::known(0.14),
        lamp: Factor::known(0.14),
        together: Correlation::known(0.65),
        pigment: Factor::known(0.10),
        ..Self::TYPICAL
    };

    /// Nothing is in doubt; then a verdict is the plain working curve. For limits and explanations.
    pub const NONE: Doubts = Doubts {
        penetration: Factor::ZERO,
        first_set: Factor::ZERO,
        lamp: Factor::ZERO,
        together: Correlation::NONE,
        pigment: Factor::ZERO,
        dosing: Factor::ZERO,
        thickness: Length::ZERO,
    };

    /// The typical doubts with the spread of one class of pigment.
    pub fn typical_for(class: PigmentClass) -> Self {
        Self { pigment: class.absorption_doubt(), ..Self::TYPICAL }
    }

    /// Each doubt the smaller of the two: what a test would leave of these.
    #[must_use]
    pub fn narrowed_to(self, other: Self) -> Self {
        let less = |a: Factor, b: Factor| if b < a { b } else { a };
        Self {
            penetration: less(self.penetration, other.penetration),
            first_set: less(self.first_set, other.first_set),
            lamp: less(self.lamp, other.lamp),
            together: other.together,
            pigment: less(self.pigment, other.pigment),
            dosing: less(self.dosing, other.dosing),
            thickness: self.thickness.min(other.thickness),
        }
    }
}
