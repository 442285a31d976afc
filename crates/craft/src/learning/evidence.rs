//! Observations made ready for many questions: how well does this pair of figures explain what was seen?

use super::observation::{Bench, MOST_TIMES, Observation, Seen, WedgePoint};
use super::{Belief, LearningError, WedgeFit};
use crate::chance::normal_below;
use crate::fact::Hardness;
use crate::shelf::Body;
use crate::units::{Length, Span};

/// One feel in so many says nothing: it was felt in the wrong place, or written down for another stone (common
/// practice, no source).
pub(super) const LAPSE: f64 = 0.05;
/// A tacky layer has set and has had less than this many times the light that first sets it; more than that is hard.
/// Common practice, no source: it is the sum of light from both faces that is asked for at the end.
pub(super) const TACKY_MOST: f64 = 5.0;
/// What one sitting's light may be out by against the usual: place under the lamp, warmth, the eye on the button.
const SESSION: f64 = 0.10;
/// A point's stated doubt counts as much as the scatter of so many points: then a wedge that scatters more than was
/// stated is trusted less.
const STATED: f64 = 4.0;
/// How thick a layer came out against how thick it was meant.
const HAND_MM: f64 = 0.10;

/// How doubts of one wedge are settled.
#[derive(Clone, Copy, Debug)]
pub(super) struct Settings {
    /// See [`SESSION`].
    session: f64,
    /// See [`STATED`].
    stated: f64,
}

/// One sitting's wedge.
#[derive(Clone, Debug)]
struct Wedge {
    /// ln seconds, depth in mm, one over the variance.
    points: Vec<[f64; 3]>,
    load_percent: f64,
    session_var: f64,
    stated: f64,
}

/// Bounds of one kind of layer.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Outcome {
    thickness_mm: f64,
    load_percent: f64,
    log_s: f64,
    light_var: f64,
    hardness: Hardness,
    /// One bound was seen so many times, with one lapse for all of them.
    habit: f64,
    /// The whole outcome was seen so many times.
    count: f64,
}

/// What was seen, ready to be asked.
#[derive(Clone, Debug, Default)]
pub(super) struct Evidence {
    wedges: Vec<Wedge>,
    outcomes: Vec<Outcome>,
}

impl Settings {
    pub(super) const USUAL: Settings = Settings { session: SESSION, stated: STATED };
    /// Only the scatter of the points counts, as in least squares.
    pub(super) const POINTS_ALONE: Settings = Settings { session: 0.0, stated: 0.0 };
}

impl Evidence {
    /// Takes in what speaks of `bench`.
    ///
    /// A mould that lets light in gives more than an opaque one, so what set there is no proof for an opaque one, and
    /// only what stayed soft counts; the other way round all of it counts, on the safe side.
    ///
    /// # Errors
    /// The first observation that cannot be.
    pub(super) fn of<'o>(
        seen: impl IntoIterator<Item = &'o Observation>,
        bench: &Bench,
        settings: Settings,
    ) -> Result<Self, LearningError> {
        let mut evidence = Self::default();
        for observation in seen {
            observation.check()?;
            let Some(doubt) = bench.doubt_of(observation) else { continue };
            let only_soft = observation.body == Body::LetsLightIn && bench.body == Body::Opaque;
            evidence.take(observation, (doubt, only_soft), settings);
        }
        Ok(evidence)
    }

    fn take(&mut self, observation: &Observation, (doubt, only_soft): (f64, bool), settings: Settings) {
        let load_percent = observation.load().percent();
        let outcome = |thickness: Length, light: Span, hardness, habit| Outcome {
            thickness_mm: thickness.mm(),
            load_percent,
            log_s: light.s().ln(),
            light_var: doubt * doubt + Belief::STONE_LIGHT * Belief::STONE_LIGHT,
            hardness,
            habit,
            count: 1.0,
        };
        match &observation.seen {
            Seen::Works { thickness, light, times } if !only_soft => {
                let habit = f64::from((*times).clamp(1, MOST_TIMES));
                self.add(outcome(*thickness, *light, Hardness::Hard, habit));
            }
            Seen::Felt { thickness, light, hardness } if !only_soft || *hardness == Hardness::Soft => {
                self.add(outcome(*thickness, *light, *hardness, 1.0));
            }
            Seen::Wedge { points } if !only_soft => {
                let (set, none): (Vec<&WedgePoint>, Vec<&WedgePoint>) =
                    points.iter().partition(|point| point.depth.value.is_positive());
                for point in none {
                    // Nothing set: that light is less than first sets it.
                    let nothing = outcome(Length::ZERO, point.light, Hardness::Soft, 1.0);
                    self.add(nothing);
                }
                if !set.is_empty() {
                    let plain = |point: &&WedgePoint| {
                        let WedgePoint { light, depth } = **point;
                        [light.s().ln(), depth.value.mm(), depth.doubt.mm().powi(-2)]
                    };
                    self.wedges.push(Wedge {
                        points: set.iter().map(plain).collect(),
                        load_percent,
                        session_var: settings.session.powi(2) + doubt * doubt,
                        stated: settings.stated,
                    });
                }
            }
            Seen::Works { .. } | Seen::Felt { .. } | Seen::Wedge { .. } => (),
        }
    }

    /// Adds an outcome, counting equal ones together.
    fn add(&mut self, outcome: Outcome) {
        match self.outcomes.iter_mut().find(|known| Outcome { count: 1.0, ..**known } == outcome) {
            Some(known) => known.count += 1.0,
            None => self.outcomes.push(outcome),
        }
    }

    pub(super) fn is_empty(&self) -> bool {
        self.wedges.is_empty() && self.outcomes.is_empty()
    }

    /// Logarithm of the chance of all this where `at` are ln Dp and ln tc and the pigment takes `absorption` per mm per
    /// per cent.
    pub(super) fn log_likelihood(&self, at: [f64; 2], absorption: f64) -> f64 {
        let wedges: f64 = self.wedges.iter().map(|wedge| wedge.log_likelihood(at, absorption)).sum();
        let outcomes: f64 = self.outcomes.iter().map(|outcome| outcome.log_likelihood(at, absorption)).sum();
        wedges + outcomes
    }

    /// A line through the wedges' points, to begin at where nothing else is believed.
    pub(super) fn line(&self) -> Result<WedgeFit, LearningError> {
        let points = self.wedges.iter().flat_map(|wedge| &wedge.points);
        let plain = |point: &[f64; 3]| (Span::from_s(point[0].exp()), Length::from_mm(point[1]));
        WedgeFit::through(&points.map(plain).collect::<Vec<_>>())
    }
}

impl Wedge {
    /// Student's t for several points with one shared shift of their light: the scatter about the line is weighed
    /// against the stated doubts and integrated out (Gelman et al., *Bayesian Data Analysis*, 3rd ed., 14.2 and the
    /// scaled inverse chi-square of 2.6). With no stated doubt counted it is the likelihood of least squares.
    fn log_likelihood(&self, at: [f64; 2], absorption: f64) -> f64 {
        let penetration_mm = 1.0 / ((-at[0]).exp() + absorption * self.load_percent);
        let (mut squares, mut sum, mut weights) = (0.0, 0.0, 0.0);
        for [log_s, depth_mm, weight] in &self.points {
            let off = depth_mm - penetration_mm * (log_s - at[1]);
            squares += weight * off * off;
            sum += weight * off;
            weights += weight;
        }
        // One shift of all points: the inverse and the determinant of a diagonal plus one square (Sherman & Morrison).
        let shift = penetration_mm * penetration_mm * self.session_var;
        let chi_sq = squares - shift * sum * sum / (1.0 + shift * weights);
        let n = self.points.len() as f64;
        -0.5 * (self.stated + n) * (self.stated + chi_sq).max(1e-300).ln() - 0.5 * (shift * weights).ln_1p()
    }
}

impl Outcome {
    fn log_likelihood(&self, at: [f64; 2], absorption: f64) -> f64 {
        let per_mm = (-at[0]).exp() + absorption * self.load_percent;
        let over = self.log_s - at[1] - self.thickness_mm * per_mm;
        let hand = if self.thickness_mm > 0.0 { HAND_MM * per_mm } else { 0.0 };
        let doubt = (self.light_var + hand * hand).sqrt();
        let chance = match self.hardness {
            Hardness::Hard => normal_below(over / doubt),
            Hardness::Soft => normal_below(-over / doubt),
            Hardness::Tacky => {
                normal_below(over / doubt) - normal_below((over - TACKY_MOST.ln()) / doubt)
            }
        };
        let chance = if self.habit > 1.0 { chance.powf(self.habit) } else { chance };
        self.count * (0.5 * LAPSE + (1.0 - LAPSE) * chance.max(0.0)).ln()
    }
}
