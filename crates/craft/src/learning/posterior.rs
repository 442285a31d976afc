//! From belief and evidence to a narrower belief: a grid laid along the shape that Laplace's method finds.

use super::evidence::{Evidence, Settings};
use super::note::{BEYOND, Note, Soft, dead, dim_test, notes, soft_in_a_row};
use super::{Belief, Bench, LearningError, Observation, Seen};
use crate::cure::{Button, CureError, Doubts, Light, Provenance, Resin};
use crate::units::{Length, Span};

/// What was learned of one bottle under one lamp button.
#[derive(Clone, Debug, PartialEq)]
pub struct Learned {
    /// What is believed now.
    pub belief: Belief,
    /// What is planned with: the same, but for what did not set. A depth is never planned greater for it than before it: that
    /// a resin which needs more light lets it deeper in is true within the usual, and a lamp that hardly shines is not that.
    /// And what set nothing last is never reckoned to be enough, by whatever slip it may be explained: neither the light of a
    /// test ([`Learned::dead`]), nor what came through layers that stayed soft one after the other ([`Learned::soft`]) or
    /// through the steps of a test that set much less than all belief ([`Note::Dim`]).
    pub planned: Belief,
    /// What to know about it.
    pub notes: Vec<Note>,
    /// The newest day that says something; `None` where nothing does.
    pub newest: Option<chrono::NaiveDate>,
    /// The day of the newest wedge among it in which something set: of measured depths, and not only of outcomes.
    pub tested: Option<chrono::NaiveDate>,
    /// Whether a habit is among it, and not only how single layers came out.
    pub practised: bool,
    /// The deepest step that was measured under any of its buttons.
    pub deepest: Option<Length>,
    /// The most light of a test in which nothing set, where nothing was seen to set since.
    pub dead: Option<Span>,
    /// The layers that stayed soft since anything was seen to set; `None` where there are not two of them.
    pub soft: Option<Soft>,
}

impl Learned {
    /// The resin for a plan.
    ///
    /// # Errors
    /// A depth beyond any resin.
    pub fn resin(&self) -> Result<Resin, CureError> {
        Resin::new(self.planned.penetration()?, self.provenance())
    }

    /// A button of this lamp for a plan.
    ///
    /// # Errors
    /// Seconds beyond any lamp.
    pub fn light(&self, button: Button) -> Result<Light, CureError> {
        Light::new(button, self.planned.first_set()?, self.provenance())
    }

    /// The doubts for a plan whose clear layers are none thicker than was tested ([`Learned::beyond_tested`]); pigment and
    /// hand stay as they are in `rest`.
    ///
    /// # Errors
    /// A doubt beyond what can be held.
    pub fn doubts(&self, rest: Doubts) -> Result<Doubts, CureError> {
        self.planned.doubts(rest)
    }

    /// Says so where a clear layer is thicker than a fifth beyond anything that was measured; `None` also where nothing
    /// was measured at all.
    pub fn beyond_tested(&self, thickness: Length) -> Option<Note> {
        let deepest = self.deepest?;
        (thickness.mm() > BEYOND * deepest.mm()).then_some(Note::BeyondTested { deepest, thickness })
    }

    /// Whether anything counts that it was learned from, or a test in which nothing set.
    pub fn is_heard(&self) -> bool {
        self.newest.is_some() || self.dead.is_some()
    }

    /// Tested, on the day of the test, where depths were measured; practised where a habit was named. How layers came out
    /// only bounds the guess: it stays one, and a test is still worth its ten minutes.
    pub fn provenance(&self) -> Provenance {
        match self.tested {
            Some(day) => Provenance::Tested(day),
            None if self.practised => Provenance::Practised,
            None => Provenance::Typical,
        }
    }
}

/// Joins what is believed with what was seen of clear resin under this lamp button. With nothing that speaks of it the
/// belief comes back as it was, with a note that says so.
///
/// # Errors
/// The first observation that cannot be.
pub fn learn(prior: &Belief, seen: &[Observation], bench: &Bench) -> Result<Learned, LearningError> {
    let clear = || seen.iter().filter(|observation| observation.pigment.is_none());
    let evidence = Evidence::of(clear(), bench, Settings::USUAL)?;
    let speaking = || clear().filter(|observation| bench.counts(observation));
    let belief = if evidence.is_empty() {
        *prior
    } else {
        grid(&Ask { prior: Some(*prior), evidence: &evidence })?.belief()
    };
    let (dead, soft) = (dead(seen, bench), soft_in_a_row(seen, bench));
    let shallow = if evidence.is_unset_only() { belief.no_deeper(prior) } else { belief };
    let per_mm = (-shallow.mean[0]).exp();
    // What a test says that is too far from all belief is not planned against, whatever slips would explain it.
    let dim = dim_test(seen, bench, &belief).map_or_else(Vec::new, |(_, steps)| steps);
    let below = soft.iter().chain(&dim).map(|(thickness, light)| light.s().ln() - thickness.mm() * per_mm);
    let least_log_s = below.chain(dead.map(|light| light.s().ln())).fold(f64::NEG_INFINITY, f64::max);
    Ok(Learned {
        belief,
        planned: shallow.not_below(least_log_s),
        notes: notes(seen, bench, &belief),
        dead,
        soft: soft.iter().map(|(_, light)| *light).max().map(|light| Soft { layers: soft.len(), light }),
        newest: speaking().map(|observation| observation.on).max(),
        deepest: speaking().filter_map(deepest_step).max(),
        practised: speaking().any(|observation| matches!(observation.seen, Seen::Works { .. })),
        tested: speaking()
            .filter(|observation| observation.is_test())
            .map(|observation| observation.on)
            .max(),
    })
}

fn deepest_step(observation: &Observation) -> Option<Length> {
    match &observation.seen {
        Seen::Wedge { points } => {
            points.iter().map(|point| point.depth.value).filter(|mm| mm.is_positive()).max()
        }
        Seen::Works { .. } | Seen::Felt { .. } | Seen::Warmed { .. } => None,
    }
}

/// A posterior over two figures, to be worked out.
pub(super) trait Density {
    /// Logarithm of the density, but for a constant.
    fn log_density(&self, at: [f64; 2]) -> f64;

    /// Where to begin, and how wide to look.
    ///
    /// # Errors
    /// Nothing to begin with.
    fn start(&self) -> Result<Belief, LearningError>;

    /// Points along each half of the two ways of a grid.
    fn sides(&self) -> (i32, i32) {
        (SIDE, SIDE)
    }

    /// Whether only bounds are known: they may leave two hills, so all that was believed is looked through.
    fn is_bounds_only(&self) -> bool {
        false
    }
}

/// The posterior of ln Dp and ln tc. With no prior all slopes and intercepts of the line are as likely as each other.
pub(super) struct Ask<'a> {
    pub(super) prior: Option<Belief>,
    pub(super) evidence: &'a Evidence,
}

impl Density for Ask<'_> {
    fn log_density(&self, at: [f64; 2]) -> f64 {
        let prior = match &self.prior {
            Some(belief) => belief.log_density(at),
            // Even in Dp and in Dp·ln tc is Dp² in the logarithms.
            None => 2.0 * at[0],
        };
        prior + self.evidence.log_likelihood(at, 0.0)
    }

    fn start(&self) -> Result<Belief, LearningError> {
        match self.prior {
            Some(prior) => Ok(prior),
            None => least_squares(self.evidence),
        }
    }

    fn is_bounds_only(&self) -> bool {
        self.prior.is_some() && self.evidence.is_bounds_only()
    }
}

/// The posterior on a grid, as points with weights that add up to one.
#[derive(Clone, Debug)]
pub(super) struct Grid {
    pub(super) points: Vec<([f64; 2], f64)>,
    /// The share of the weight on the rim: how much may lie beyond.
    pub(super) rim: f64,
    /// The logarithm of the density where it is highest.
    most: f64,
}

/// Points along each of the two ways of the grid.
const SIDE: i32 = 14;
/// The same over all that was believed, where the edges of bounds are narrow against it.
const WIDE_SIDE: i32 = 28;

impl Grid {
    pub(super) fn belief(&self) -> Belief {
        let mean = |of: &dyn Fn([f64; 2]) -> f64| self.points.iter().map(|(at, w)| w * of(*at)).sum::<f64>();
        let (a, b) = (mean(&|at| at[0]), mean(&|at| at[1]));
        let covariance = [
            mean(&|at| (at[0] - a).powi(2)),
            mean(&|at| (at[0] - a) * (at[1] - b)),
            mean(&|at| (at[1] - b).powi(2)),
        ];
        Belief { mean: [a, b], covariance }
    }

    /// Weights of the grid laid along `shape`, `reach` standard deviations to each side.
    fn along(
        ask: &impl Density,
        shape: &Belief,
        (reach, sides): (f64, (i32, i32)),
    ) -> Result<Self, LearningError> {
        let [first, cross, second] = shape.root()?;
        let steps = (reach / f64::from(sides.0), reach / f64::from(sides.1));
        let mut points = Vec::new();
        let mut most = f64::NEG_INFINITY;
        for i in -sides.0..=sides.0 {
            for j in -sides.1..=sides.1 {
                let (u, v) = (f64::from(i) * steps.0, f64::from(j) * steps.1);
                let at = [shape.mean[0] + first * u, shape.mean[1] + cross * u + second * v];
                let log = ask.log_density(at);
                most = most.max(log);
                points.push((at, log, i.abs() == sides.0 || j.abs() == sides.1));
            }
        }
        let total: f64 = points.iter().map(|(_, log, _)| (log - most).exp()).sum();
        let weight = |log: f64| (log - most).exp() / total;
        let rim = points.iter().filter(|(.., rim)| *rim).map(|(_, log, _)| weight(*log)).sum();
        Ok(Self { points: points.into_iter().map(|(at, log, _)| (at, weight(log))).collect(), rim, most })
    }
}

/// The posterior of bounds, on a grid over all that was believed; and further out after many layers that set against all
/// expectation, or did not.
///
/// The rim does not tell that: where every word may be a slip, bounds that speak against all that was believed leave it as
/// flat at the rim as in the middle, and the hill that explains them stands beyond. But no bound is likelier than certain, so
/// `r` standard deviations out the logarithm of the density is `−r²/2` at most, and what lies beyond weighs nothing where
/// that is far below what was found. The steps stay what they were, so that no hill falls through the grid.
fn wide(ask: &impl Density) -> Result<Grid, LearningError> {
    let start = ask.start()?;
    let over = |reach: i32| (f64::from(reach), (WIDE_SIDE * reach / NEAR, WIDE_SIDE * reach / NEAR));
    let found = Grid::along(ask, &start, over(NEAR))?;
    let is_all = |reach: &i32| -0.5 * f64::from(*reach).powi(2) <= found.most + RIM.ln();
    let reach = (NEAR..FAR).find(is_all).unwrap_or(FAR);
    if reach == NEAR {
        return Ok(found);
    }
    let found = Grid::along(ask, &start, over(reach))?;
    let now = found.belief();
    let widened = Belief { mean: now.mean, covariance: now.covariance.map(|part| part * 1.3) };
    // One hill out there is narrow against what was believed, and then a grid along it has the finer steps.
    let finer = (6.0 * 6.0 * widened.covariance[2]) < f64::from(NEAR * NEAR) * start.covariance[2];
    if finer { Grid::along(ask, &widened, (6.0, (WIDE_SIDE, WIDE_SIDE))) } else { Ok(found) }
}

/// So many standard deviations of what was believed are looked over in any case.
const NEAR: i32 = 5;
/// Nothing is looked for further out.
const FAR: i32 = 20;

/// So much of the weight may lie on the rim of a grid.
const RIM: f64 = 2e-4;

/// The posterior, on a grid that is laid anew along its own shape until little lies on its rim.
///
/// With steps of four tenths of a standard deviation a sum over a normal density is exact to 1e-50 (the trapezoidal rule
/// on an analytic function, Trefethen & Weideman, *SIAM Rev.* 56:385, 2014), and of one that is bent like these to
/// far less than any doubt here.
pub(super) fn grid(ask: &impl Density) -> Result<Grid, LearningError> {
    if ask.is_bounds_only() {
        return wide(ask);
    }
    let mut shape = laplace(ask)?;
    let mut found = Grid::along(ask, &shape, (5.0, ask.sides()))?;
    for _ in 0..4 {
        let now = found.belief();
        let [aa, _, bb] = shape.covariance;
        let wider = now.covariance[0] > 1.5 * aa || now.covariance[2] > 1.5 * bb;
        if found.rim < RIM && !wider {
            break;
        }
        // A rim with weight on it hides some of the spread, so the next grid is made wider than what was found.
        let widened = now.covariance.map(|part| part * 1.3);
        shape = Belief { mean: now.mean, covariance: widened };
        found = Grid::along(ask, &shape, (5.5, ask.sides()))?;
    }
    Ok(found)
}

/// The peak and the bend of the posterior there, as a normal (Laplace's method; Tierney & Kadane, *J. Am. Stat. Assoc.*
/// 81:82, 1986): the shape for the grid, and a check of it.
pub(super) fn laplace(ask: &impl Density) -> Result<Belief, LearningError> {
    let start = ask.start()?;
    let root = start.root()?;
    let place =
        |z: [f64; 2]| [start.mean[0] + root[0] * z[0], start.mean[1] + root[1] * z[0] + root[2] * z[1]];
    let height = |z: [f64; 2]| ask.log_density(place(z));
    let mut z = [0.0, 0.0];
    let mut best = height(z);
    // A coarse look, so that the climb starts on the highest hill.
    for i in -8..=8 {
        for j in -8..=8 {
            let here = [f64::from(i) * 0.5, f64::from(j) * 0.5];
            let log = height(here);
            if log > best {
                (z, best) = (here, log);
            }
        }
    }
    let mut bend = [1.0, 0.0, 1.0];
    for _ in 0..30 {
        let (slope, found) = derivatives(&height, z, best);
        bend = sound(found);
        let [aa, ab, bb] = bend;
        let whole = aa * bb - ab * ab;
        let step = [(bb * slope[0] - ab * slope[1]) / whole, (aa * slope[1] - ab * slope[0]) / whole];
        let mut share = 1.0;
        let mut moved = false;
        for _ in 0..12 {
            let next = [z[0] + share * step[0], z[1] + share * step[1]];
            let log = height(next);
            if log > best {
                (z, best, moved) = (next, log, true);
                break;
            }
            share *= 0.5;
        }
        if !moved || step[0].hypot(step[1]) * share < 1e-5 {
            break;
        }
    }
    let [aa, ab, bb] = bend;
    let whole = aa * bb - ab * ab;
    let (uu, uv, vv) = (bb / whole, -ab / whole, aa / whole);
    let covariance = [
        root[0] * root[0] * uu,
        root[0] * (root[1] * uu + root[2] * uv),
        root[1] * root[1] * uu + 2.0 * root[1] * root[2] * uv + root[2] * root[2] * vv,
    ];
    Ok(Belief { mean: place(z), covariance })
}

/// Slope, and bend downwards, by differences of a hundredth of a prior's standard deviation.
fn derivatives(height: &dyn Fn([f64; 2]) -> f64, z: [f64; 2], here: f64) -> ([f64; 2], [f64; 3]) {
    let h = 0.01;
    let at = |x: f64, y: f64| height([z[0] + x * h, z[1] + y * h]);
    let (right, left, up, down) = (at(1.0, 0.0), at(-1.0, 0.0), at(0.0, 1.0), at(0.0, -1.0));
    let cross = at(1.0, 1.0) - at(1.0, -1.0) - at(-1.0, 1.0) + at(-1.0, -1.0);
    let slope = [(right - left) / (2.0 * h), (up - down) / (2.0 * h)];
    let bend = |one: f64, two: f64| -(one + two - 2.0 * here) / (h * h);
    (slope, [bend(right, left), -cross / (4.0 * h * h), bend(up, down)])
}

/// A bend that surely bends down: on a slope or a saddle that of the prior is added until it does.
fn sound(mut bend: [f64; 3]) -> [f64; 3] {
    for _ in 0..40 {
        if bend[0] > 0.05 && bend[0] * bend[2] - bend[1] * bend[1] > 0.05 * 0.05 {
            return bend;
        }
        let more = 0.5 + 0.5 * (bend[0].abs() + bend[2].abs() + bend[1].abs());
        bend = [bend[0] + more, bend[1], bend[2] + more];
    }
    [1.0, 0.0, 1.0]
}

/// The line of least squares as a belief.
fn least_squares(evidence: &Evidence) -> Result<Belief, LearningError> {
    let line = evidence.line()?;
    let (Some(slope), Some(first)) = (line.penetration_error_mm(), line.log_first_set_error()) else {
        return Err(LearningError::TooFewTimes { given: line.points });
    };
    let slope = (slope / line.penetration_mm).max(1e-4);
    let first = first.max(1e-4);
    Ok(Belief {
        mean: [line.penetration_mm.ln(), line.log_first_set()],
        covariance: [slope * slope, 0.9 * slope * first, first * first],
    })
}
