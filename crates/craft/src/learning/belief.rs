//! What is believed of one bottle under one lamp, as a log-normal of two figures.

use chrono::NaiveDate;

use super::{LearningError, Now};
use crate::cure::{Correlation, CureError, Doubts, Factor, Provenance, Resin};
use crate::units::{Length, Span};

/// The depth of hardening Dp and the full-power seconds until it first sets tc, together log-normal.
///
/// The seconds hold the lamp: its power cancels against the critical exposure. So a lamp that nobody measured
/// is a doubt of the seconds here, and what a lamp wavers by from place to place and from day to day is left out: it is
/// another draw for each stone, [`Belief::STONE_LIGHT`].
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Belief {
    /// Mean of ln(Dp / mm) and of ln(tc / s).
    pub(super) mean: [f64; 2],
    /// Variance of the first, covariance, variance of the second.
    pub(super) covariance: [f64; 3],
}

/// What is new on the bench, so that what was learned counts for less.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Newness {
    /// Another bottle of the same resin.
    Bottle,
    /// Another lamp.
    Lamp,
    /// Both.
    Both,
}

/// What bottles of one resin differ by, in depth and in seconds, as standard uncertainties of their logarithms (common
/// practice, no source).
const BETWEEN_BOTTLES: [f64; 2] = [0.10, 0.20];

impl Now {
    /// What is in doubt of a depth that was measured `on`.
    fn depth_left(self, on: NaiveDate) -> f64 {
        let bottle = if self.is_of_earlier_bottle(on) { BETWEEN_BOTTLES[0] } else { 0.0 };
        Doubts::CALIBRATED.penetration.get().hypot(bottle)
    }

    /// What is in doubt of the seconds until it first sets, measured `on`.
    fn seconds_left(self, on: NaiveDate) -> f64 {
        let bottle = if self.is_of_earlier_bottle(on) { BETWEEN_BOTTLES[1] } else { 0.0 };
        Doubts::CALIBRATED.first_set.get().hypot(self.drift(on)).hypot(bottle)
    }
}

impl Belief {
    /// What a lamp wavers by at the place of one stone on one day, as a standard uncertainty of its logarithm (common
    /// practice, no source).
    pub const STONE_LIGHT: f64 = 0.14;

    /// Nothing tested: 1.0 mm within 0.25, and 1 s within 0.40 for the resin and what is left of 0.35 for the lamp once
    /// a stone's own part is taken off; with 0.6 between the depth and the resin's part. Then the doubts are those of
    /// [`Doubts::TYPICAL`], only shared out otherwise. Cautious guesses (common practice, no source).
    pub const TYPICAL: Belief = Belief {
        mean: [0.0, 0.0],
        covariance: [
            0.25 * 0.25,
            0.6 * 0.25 * 0.40,
            0.40 * 0.40 + 0.35 * 0.35 - Self::STONE_LIGHT * Self::STONE_LIGHT,
        ],
    };

    /// A belief from its figures: Dp, tc, the standard uncertainties of their logarithms and how these go together.
    ///
    /// # Errors
    /// A figure that is out of range, or a doubt of nothing.
    pub fn new(
        (penetration, first_set): (Length, Span),
        (penetration_doubt, first_set_doubt): (f64, f64),
        together: Correlation,
    ) -> Result<Self, CureError> {
        Resin::new(penetration, Provenance::Typical)?;
        if !first_set.is_positive() {
            return Err(CureError::FirstSet { seconds: first_set });
        }
        for value in [penetration_doubt, first_set_doubt] {
            if !(1e-4..=3.0).contains(&value) {
                return Err(CureError::Factor { value });
            }
        }
        // Two doubts that are one and the same leave no room for a grid.
        let together = together.get().clamp(-0.999, 0.999) * penetration_doubt * first_set_doubt;
        Ok(Self {
            mean: [penetration.mm().ln(), first_set.s().ln()],
            covariance: [penetration_doubt.powi(2), together, first_set_doubt.powi(2)],
        })
    }

    /// Dp at its best guess.
    ///
    /// # Errors
    /// Beyond any resin.
    pub fn penetration(&self) -> Result<Length, CureError> {
        let value = self.mean[0].exp();
        Length::try_from(value).map_err(|_too_large| CureError::Factor { value })
    }

    /// tc at its best guess.
    ///
    /// # Errors
    /// Beyond any lamp.
    pub fn first_set(&self) -> Result<Span, CureError> {
        let value = self.mean[1].exp();
        Span::try_from(value).map_err(|_too_large| CureError::Factor { value })
    }

    /// Standard uncertainty of ln Dp.
    pub fn penetration_doubt(&self) -> f64 {
        self.covariance[0].sqrt()
    }

    /// Standard uncertainty of ln tc.
    pub fn first_set_doubt(&self) -> f64 {
        self.covariance[2].sqrt()
    }

    /// How the two go together, from -1 to 1.
    pub fn together(&self) -> f64 {
        (self.covariance[1] / (self.penetration_doubt() * self.first_set_doubt())).clamp(-1.0, 1.0)
    }

    /// The doubts of a plan with this belief; pigment and hand stay as they are in `rest`.
    ///
    /// # Errors
    /// A doubt beyond what can be held.
    pub fn doubts(&self, rest: Doubts) -> Result<Doubts, CureError> {
        Ok(Doubts {
            penetration: Factor::new(self.penetration_doubt())?,
            first_set: Factor::new(self.first_set_doubt())?,
            lamp: Factor::new(Self::STONE_LIGHT)?,
            together: Correlation::new(self.together())?,
            ..rest
        })
    }

    /// What is left of this where something on the bench is new: bottles of one resin differ by some 0.10 in depth and
    /// 0.20 in seconds, lamps by 0.10 (other wavelengths) and 0.35 (common practice, no source). It never comes out
    /// wider than nothing tested at all.
    #[must_use]
    pub fn where_new(&self, newness: Newness) -> Belief {
        let (bottle, lamp) = (BETWEEN_BOTTLES, [0.10, 0.35]);
        let mut covariance = self.covariance;
        let mut widen = |by: [f64; 2]| {
            covariance[0] += by[0] * by[0];
            covariance[2] += by[1] * by[1];
        };
        if newness != Newness::Lamp {
            widen(bottle);
        }
        if newness != Newness::Bottle {
            widen(lamp);
        }
        let typical = Self::TYPICAL.covariance;
        if covariance[0] > typical[0] || covariance[2] > typical[2] {
            // Wider than nothing tested: the cautious guess is as good, about what was learned.
            return Self { mean: self.mean, covariance: typical };
        }
        Self { mean: self.mean, covariance }
    }

    /// Mean and standard uncertainty of `ln(s/tc) − t/Dp` about its best guess, to first order: the cautious end of a
    /// clear layer without hand and stone.
    pub fn log_ratio(&self, thickness: Length, light: Span) -> (f64, f64) {
        let depth = thickness.mm() / self.mean[0].exp();
        let [aa, ab, bb] = self.covariance;
        (light.s().ln() - self.mean[1] - depth, (bb - 2.0 * depth * ab + depth * depth * aa).max(0.0).sqrt())
    }

    /// The same doubts about other best guesses.
    ///
    /// # Errors
    /// A depth or seconds beyond any resin.
    pub fn about(self, penetration: Length, first_set: Span) -> Result<Self, CureError> {
        Resin::new(penetration, Provenance::Typical)?;
        if !first_set.is_positive() {
            return Err(CureError::FirstSet { seconds: first_set });
        }
        Ok(Self { mean: [penetration.mm().ln(), first_set.s().ln()], ..self })
    }

    /// The same where the depth was measured by the maker on a day, or the seconds were, or both: then no more doubt is left
    /// of it than [`Doubts::CALIBRATED`] had on that day, with what bottle and lamp have drifted by since, and what bottles
    /// differ by where this one was opened later. It never comes out wider than it was.
    #[must_use]
    pub fn narrowed(self, depth_on: Option<NaiveDate>, seconds_on: Option<NaiveDate>, now: Now) -> Self {
        if depth_on.is_none() && seconds_on.is_none() {
            return self;
        }
        let fresh = Doubts::CALIBRATED;
        let keep = |aged: Option<f64>, now: f64| aged.map_or(now, |aged| now.min(aged));
        let depth = keep(depth_on.map(|on| now.depth_left(on)), self.penetration_doubt());
        let seconds = keep(seconds_on.map(|on| now.seconds_left(on)), self.first_set_doubt());
        // What came later goes together with nothing.
        let apart = match (depth_on, seconds_on) {
            (Some(_), Some(_)) => fresh.penetration.get() * fresh.first_set.get() / (depth * seconds),
            _ => 1.0,
        };
        let together = if depth_on.is_some() { fresh.together.get() * apart } else { self.together() };
        Self { covariance: [depth * depth, together * depth * seconds, seconds * seconds], ..self }
    }

    /// The same where so much light, as the logarithm of its seconds, set nothing: no less is reckoned to set it first, and
    /// what that moves the guess by is in doubt besides, up to what is in doubt where nothing was tested.
    #[must_use]
    pub(super) fn not_below(self, log_s: f64) -> Self {
        let moved = log_s - self.mean[1];
        if moved <= 0.0 {
            return self;
        }
        let [aa, ab, bb] = self.covariance;
        let most = bb.max(Self::TYPICAL.covariance[2]);
        Self { mean: [self.mean[0], log_s], covariance: [aa, ab, (bb + moved * moved).min(most)] }
    }

    /// The same with a depth that is guessed no greater than in `than`.
    #[must_use]
    pub(super) fn no_deeper(self, than: &Belief) -> Self {
        Self { mean: [self.mean[0].min(than.mean[0]), self.mean[1]], ..self }
    }

    /// How deep light sets this resin with a pigment that takes `per_mm` of the light, within `doubt` of its logarithm:
    /// the best guess and its standard uncertainty in mm, to first order (JCGM 100:2008, 5.1.2). Below nothing where
    /// nothing sets yet. `own` is what the coloured resin takes besides, where it is not what the clear one does.
    pub fn depth(&self, light: Span, (per_mm, doubt): (f64, f64), own: Option<f64>) -> (f64, f64) {
        let [aa, ab, bb] = self.covariance;
        let clear = own.unwrap_or_else(|| (-self.mean[0]).exp());
        let reach = 1.0 / (clear + per_mm);
        let depth = reach * (light.s().ln() - self.mean[1]);
        // Slopes of the depth in ln Dp, in ln tc and in the logarithm of what the pigment takes.
        let (of_depth, of_first) = (depth * reach * clear, -reach);
        let of_pigment = depth * reach * per_mm * doubt;
        let var = of_depth * of_depth * aa + 2.0 * of_depth * of_first * ab + reach * reach * bb;
        (depth, (var.max(0.0) + of_pigment * of_pigment).sqrt())
    }

    /// The lower triangle of the root of the covariance (Cholesky).
    pub(super) fn root(&self) -> Result<[f64; 3], LearningError> {
        let [aa, ab, bb] = self.covariance;
        let first = aa.sqrt();
        let cross = ab / first;
        let rest = bb - cross * cross;
        if first > 0.0 && rest > 0.0 && rest.is_finite() {
            Ok([first, cross, rest.sqrt()])
        } else {
            Err(LearningError::Nothing)
        }
    }

    /// Logarithm of the density, but for a constant; the inverse of a two by two matrix.
    pub(super) fn log_density(&self, at: [f64; 2]) -> f64 {
        let [aa, ab, bb] = self.covariance;
        let (x, y) = (at[0] - self.mean[0], at[1] - self.mean[1]);
        -0.5 * (bb * x * x - 2.0 * ab * x * y + aa * y * y) / (aa * bb - ab * ab)
    }
}
