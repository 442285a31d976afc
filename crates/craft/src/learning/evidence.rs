//! Observations made ready for many questions: how well does this pair of figures explain what was seen?

use super::observation::{Bench, MOST_TIMES, Observation, Seen, WedgePoint};
use super::{Belief, LearningError, WedgeFit};
use crate::chance::normal_below;
use crate::fact::Hardness;
use crate::units::{Length, Span};

/// One feel in so many says nothing: it was felt in the wrong place, or written down for another stone (common
/// practice, no source).
pub(super) const LAPSE: f64 = 0.05;
/// What a layer that is felt to be hard, or firm under a skin that sticks, has surely set of, from its top: the thinnest
/// layer that is laid by itself (common practice, no source). A skin over resin that is still wet is held by the walls and
/// carried by what cannot get out below it, so no finger tells how much thicker it is.
pub(crate) const SKIN: Length = Length::from_micro(300_000);
/// The thinnest skin that can be lifted and measured: a step that left nothing may have set so much of its top, and no
/// more (common practice, no source).
pub(super) const LEAST_SKIN: Length = Length::from_micro(100_000);
/// What one sitting's light may be out by against the usual: place under the lamp, warmth, the eye on the button.
const SESSION: f64 = 0.10;
/// A point's stated doubt counts as much as the scatter of so many points: then a wedge that scatters more than was
/// stated is trusted less.
const STATED: f64 = 4.0;
/// More than so many equal outcomes say no more.
const MOST_EQUAL: i32 = 100;
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

/// Bounds that are as sharp as each other: of one mix, as far back, and all of layers or all of bare light.
#[derive(Clone, Debug)]
struct Bounds {
    load_percent: f64,
    light_var: f64,
    /// A hand laid them, so how thick they are is in doubt.
    is_laid: bool,
    set: Vec<Outcome>,
    unset: Vec<Outcome>,
    /// Of those that set the least light and the thickest, and the logarithm of their chance where all of them surely do.
    least_log_s: f64,
    most_mm: f64,
    log_sure: f64,
}

/// A bound: whether resin set at a depth or not.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Outcome {
    thickness_mm: f64,
    log_s: f64,
    /// It set down there; else it did not.
    set: bool,
    /// One bound was seen so many times, with one lapse for all of them.
    habit: i32,
    /// The whole outcome was seen so many times.
    count: i32,
}

/// What was seen, ready to be asked.
#[derive(Clone, Debug)]
pub(super) struct Evidence {
    wedges: Vec<Wedge>,
    bounds: Vec<Bounds>,
    below: Below,
}

/// The chance that a standard normal lies below a value, from a table: it is asked some hundred thousand times. A
/// straight line between values a 256th apart is off by at most 5e-7, far below what one feel says.
#[derive(Clone, Debug)]
struct Below {
    values: Vec<f64>,
}

/// Beyond six deviations there is nothing left.
const TABLE_REACH: f64 = 6.0;
const TABLE_STEPS: f64 = 256.0;

impl Below {
    fn new() -> Self {
        let values = (-1536..=1537).map(|step| normal_below(f64::from(step) / TABLE_STEPS)).collect();
        Self { values }
    }

    fn at(&self, z: f64) -> f64 {
        let place = (z.clamp(-TABLE_REACH, TABLE_REACH) + TABLE_REACH) * TABLE_STEPS;
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "from 0 to twice the reach"
        )]
        let before = place as usize;
        let share = place - before as f64;
        match self.values.get(before..before + 2) {
            Some([low, high]) => low + share * (high - low),
            _ => 0.5,
        }
    }
}

impl Settings {
    pub(super) const USUAL: Settings = Settings { session: SESSION, stated: STATED };
    /// Only the scatter of the points counts, as in least squares.
    #[cfg(test)]
    pub(super) const POINTS_ALONE: Settings = Settings { session: 0.0, stated: 0.0 };
}

impl Evidence {
    /// Takes in what speaks of `bench`.
    ///
    /// A feel is taken on the safe side of what a finger can tell. It touches the top, where the light is strongest and
    /// the air keeps a skin wet: tack is the air's doing (oxygen stops what light starts), and no proof of too little light
    /// below. So hard and tacky both say that a skin of [`SKIN`] has set, and soft that the layer has not set through. What
    /// comes out hard stone after stone is a habit, and that speaks of the whole layer.
    ///
    /// A step of a test that left nothing says that not even [`LEAST_SKIN`] of its mix has set. Such steps of one sitting
    /// lie under the same lamp on the same day, and one mistake, such as a lamp that was out or a mould that was covered,
    /// explains all of them: so they have one lapse together, and the one that was lit longest speaks for them all.
    ///
    /// # Errors
    /// The first observation that cannot be.
    pub(super) fn of<'o>(
        seen: impl IntoIterator<Item = &'o Observation>,
        bench: &Bench,
        settings: Settings,
    ) -> Result<Self, LearningError> {
        let mut evidence = Self { wedges: Vec::new(), bounds: Vec::new(), below: Below::new() };
        for observation in seen {
            observation.check()?;
            let Some(doubt) = bench.doubt_of(observation) else { continue };
            if bench.counts(observation) {
                evidence.take(observation, doubt, settings);
            }
        }
        evidence.bounds.iter_mut().for_each(Bounds::settle);
        Ok(evidence)
    }

    fn take(&mut self, observation: &Observation, doubt: f64, settings: Settings) {
        let load_percent = observation.load().percent();
        let light_var = doubt * doubt + Belief::STONE_LIGHT * Belief::STONE_LIGHT;
        let of = (load_percent, light_var);
        let outcome = |thickness: Length, light: Span, set, habit| Outcome {
            thickness_mm: thickness.mm(),
            log_s: light.s().ln(),
            set,
            habit,
            count: 1,
        };
        match &observation.seen {
            Seen::Works { thickness, light, times } => {
                let habit = i32::from((*times).clamp(1, MOST_TIMES));
                self.add((of, true), outcome(*thickness, *light, true, habit));
            }
            Seen::Felt { thickness, light, hardness: Hardness::Soft } => {
                self.add((of, true), outcome(*thickness, *light, false, 1));
            }
            Seen::Felt { thickness, light, hardness: Hardness::Hard | Hardness::Tacky } => {
                self.add((of, true), outcome((*thickness).min(SKIN), *light, true, 1));
            }
            Seen::Wedge { points } => {
                let (set, none): (Vec<&WedgePoint>, Vec<&WedgePoint>) =
                    points.iter().partition(|point| point.depth.value.is_positive());
                if let Some(light) = none.iter().map(|point| point.light).max() {
                    self.add((of, false), outcome(LEAST_SKIN, light, false, 1));
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
            Seen::Warmed { .. } => (),
        }
    }

    /// Adds an outcome of a load whose light is so much in doubt, laid by hand or not, counting equal ones together.
    fn add(&mut self, ((load_percent, light_var), is_laid): ((f64, f64), bool), outcome: Outcome) {
        let same = |bounds: &Bounds| {
            (bounds.load_percent, bounds.light_var, bounds.is_laid) == (load_percent, light_var, is_laid)
        };
        let place = self.bounds.iter().position(same).unwrap_or(self.bounds.len());
        if place == self.bounds.len() {
            self.bounds.push(Bounds::none((load_percent, light_var), is_laid));
        }
        let Some(bounds) = self.bounds.get_mut(place) else { return };
        let outcomes = if outcome.set { &mut bounds.set } else { &mut bounds.unset };
        match outcomes.iter_mut().find(|known| Outcome { count: 1, ..**known } == outcome) {
            Some(known) => known.count = (known.count + 1).min(MOST_EQUAL),
            None => outcomes.push(outcome),
        }
    }

    /// Whether nothing in it has set.
    pub(super) fn is_unset_only(&self) -> bool {
        self.wedges.is_empty() && self.bounds.iter().all(|bounds| bounds.set.is_empty())
    }

    pub(super) fn is_bounds_only(&self) -> bool {
        self.wedges.is_empty()
    }

    pub(super) fn is_empty(&self) -> bool {
        self.wedges.is_empty() && self.bounds.is_empty()
    }

    /// Logarithm of the chance of all this where `at` are ln Dp and ln tc and the pigment takes `absorption` per mm per
    /// per cent.
    pub(super) fn log_likelihood(&self, at: [f64; 2], absorption: f64) -> f64 {
        let clear_per_mm = (-at[0]).exp();
        let log: f64 =
            self.wedges.iter().map(|wedge| wedge.log_likelihood((clear_per_mm, at[1]), absorption)).sum();
        let mut product = Product { log, factor: 1.0 };
        for bounds in &self.bounds {
            let per_mm = clear_per_mm + absorption * bounds.load_percent;
            let hand = if bounds.is_laid { HAND_MM * per_mm } else { 0.0 };
            let sharpness = (bounds.light_var + hand * hand).sqrt().recip();
            let over = |log_s: f64, mm: f64| (log_s - at[1] - mm * per_mm) * sharpness;
            let mut take = |outcome: &Outcome| {
                let over = over(outcome.log_s, outcome.thickness_mm);
                product.take(outcome.likelihood(over, &self.below));
            };
            bounds.unset.iter().for_each(&mut take);
            // Most of what was felt had light enough by far, and then nothing of it has to be looked up.
            if over(bounds.least_log_s, bounds.most_mm) > TABLE_REACH {
                product.log += bounds.log_sure;
            } else {
                bounds.set.iter().for_each(take);
            }
        }
        product.log + product.factor.ln()
    }

    /// A line through the wedges' points, to begin at where nothing else is believed.
    pub(super) fn line(&self) -> Result<WedgeFit, LearningError> {
        let points = self.wedges.iter().flat_map(|wedge| &wedge.points);
        let plain = |point: &[f64; 3]| (Span::from_s(point[0].exp()), Length::from_mm(point[1]));
        WedgeFit::through(&points.map(plain).collect::<Vec<_>>())
    }
}

/// A product of many likelihoods: one logarithm for many of them, before the product is too small to hold.
struct Product {
    log: f64,
    factor: f64,
}

impl Product {
    fn take(&mut self, likelihood: f64) {
        self.factor *= likelihood;
        if self.factor < 1e-100 {
            self.log += self.factor.max(f64::MIN_POSITIVE).ln();
            self.factor = 1.0;
        }
    }
}

impl Bounds {
    fn none((load_percent, light_var): (f64, f64), is_laid: bool) -> Self {
        let (set, unset) = (Vec::new(), Vec::new());
        let (least_log_s, most_mm) = (f64::INFINITY, 0.0);
        Self { load_percent, light_var, is_laid, set, unset, least_log_s, most_mm, log_sure: 0.0 }
    }

    /// Works out what all that set say together, once all of them are in.
    fn settle(&mut self) {
        let set = || self.set.iter();
        self.least_log_s = set().map(|outcome| outcome.log_s).fold(f64::INFINITY, f64::min);
        self.most_mm = set().map(|outcome| outcome.thickness_mm).fold(0.0, f64::max);
        self.log_sure = set().map(|outcome| f64::from(outcome.count)).sum::<f64>() * (-0.5 * LAPSE).ln_1p();
    }
}

impl Wedge {
    /// Student's t for several points with one shared shift of their light: the scatter about the line is weighed
    /// against the stated doubts and integrated out (Gelman et al., *Bayesian Data Analysis*, 3rd ed., 14.2 and the
    /// scaled inverse chi-square of 2.6). With no stated doubt counted it is the likelihood of least squares.
    fn log_likelihood(&self, (clear_per_mm, log_first): (f64, f64), absorption: f64) -> f64 {
        let penetration_mm = 1.0 / (clear_per_mm + absorption * self.load_percent);
        let (mut squares, mut sum, mut weights) = (0.0, 0.0, 0.0);
        for [log_s, depth_mm, weight] in &self.points {
            let off = depth_mm - penetration_mm * (log_s - log_first);
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
    /// How likely it is where the light down there is `over` what first sets it, in standard deviations.
    fn likelihood(&self, over: f64, below: &Below) -> f64 {
        let chance = below.at(if self.set { over } else { -over });
        let chance = if self.habit > 1 { chance.powi(self.habit) } else { chance };
        let likelihood = 0.5 * LAPSE + (1.0 - LAPSE) * chance;
        if self.count > 1 { likelihood.powi(self.count) } else { likelihood }
    }
}
