//! What is learned of a pigment in a bottle that is known.

use super::evidence::{Evidence, Settings};
use super::observation::Seen;
use super::{Belief, Bench, LearningError, Observation};
use crate::cure::{CureError, Doubts, Factor, Mix, Provenance};
use crate::id::ShelfId;
use crate::units::Load;

/// What was learned of a pigment.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LearnedPigment {
    /// What it takes of the light, per mm per per cent.
    pub absorption: Factor,
    /// Standard uncertainty of the logarithm of that, at the load where it matters most.
    pub doubt: Factor,
    /// What the coloured resin takes per mm besides, where a series of loads was tested; else it is the clear resin's.
    pub own: Option<Factor>,
    /// No load below this is to be planned; `None` where any may be.
    pub least: Option<Load>,
    /// No load above this is to be planned; `None` where any may be.
    pub most: Option<Load>,
    /// The newest day that says something; `None` where nothing does.
    pub newest: Option<chrono::NaiveDate>,
}

impl LearnedPigment {
    /// The mix for a plan: its loads stay within what was tested.
    pub fn mix(&self, mix: &Mix) -> Mix {
        let Some(newest) = self.newest else { return *mix };
        Mix {
            absorption: self.absorption,
            least: self.least.map_or(mix.least, |least| least.max(mix.least)),
            most: self.most.map_or(mix.most, |most| most.min(mix.most)),
            provenance: Provenance::Tested(newest),
            ..*mix
        }
    }

    /// The doubts for a plan.
    pub fn doubts(&self, doubts: Doubts) -> Doubts {
        Doubts { pigment: self.doubt, ..doubts }
    }
}

/// How far what a coloured resin takes besides its pigment may be from what the clear one takes, as a standard
/// uncertainty of its logarithm: the chord of a scatterer starts above it (Kubelka & Munk, 1931, over the classes'
/// typical figures: up to three times as much).
const OWN_DOUBT: f64 = 0.6;
/// How far the grids reach in standard deviations of what was believed.
const REACH: f64 = 4.5;
const SIDE: i32 = 30;

/// Joins the typical absorption of a pigment's class with what was seen of it in a bottle that is known as `clear`.
///
/// For a pigment that scatters, steps at two loads or more give the coloured resin an intercept of its own, and no load
/// outside the tested ones is planned. Steps at one load, or outcomes, give only a chord from the clear resin: true at
/// that load, safe above and unsafe below, so no paler mix is planned once the pigment is found lighter than guessed.
///
/// # Errors
/// The first observation that cannot be.
pub fn learn_pigment(
    mix: &Mix,
    clear: &Belief,
    (item, seen): (&ShelfId, &[Observation]),
    bench: &Bench,
) -> Result<LearnedPigment, LearningError> {
    let of_it = || {
        seen.iter().filter(|observation| {
            observation.pigment.as_ref().is_some_and(|pigment| pigment.item == *item)
                && bench.doubt_of(observation).is_some()
        })
    };
    let guessed = LearnedPigment {
        absorption: mix.absorption,
        doubt: mix.class.absorption_doubt(),
        own: None,
        least: None,
        most: None,
        newest: None,
    };
    let evidence = Evidence::of(of_it(), bench, Settings::USUAL)?;
    if evidence.is_empty() || mix.absorption <= Factor::ZERO {
        return Ok(guessed);
    }
    let mut loads: Vec<Load> = of_it().map(Observation::load).collect();
    loads.sort();
    loads.dedup();
    let mut wedge_loads: Vec<Load> =
        of_it().filter(|o| matches!(o.seen, Seen::Wedge { .. })).map(Observation::load).collect();
    wedge_loads.sort();
    wedge_loads.dedup();
    let is_series = mix.class.hides() && wedge_loads.len() > 1;
    let found = Found::of(mix, clear, &evidence, is_series)?;
    let newest = of_it().map(|observation| observation.on).max();
    let absorption = Factor::new(found.mean[0].exp())?;
    let learned = LearnedPigment { absorption, newest, ..guessed };
    if let (true, [least, .., most]) = (is_series, wedge_loads.as_slice()) {
        return Ok(LearnedPigment {
            doubt: Factor::new(found.doubt_at(*least).max(found.doubt_at(*most)))?,
            own: Some(Factor::new(found.mean[1].exp())?),
            least: Some(*least),
            most: Some(*most),
            ..learned
        });
    }
    let lighter = mix.class.hides() && absorption < mix.absorption;
    let least = loads.first().copied().filter(|_| lighter);
    Ok(LearnedPigment { doubt: Factor::new(found.spread[0].sqrt())?, least, ..learned })
}

/// The posterior of ln α and of the logarithm of what the coloured resin takes besides.
struct Found {
    mean: [f64; 2],
    /// Variance, covariance, variance.
    spread: [f64; 3],
}

impl Found {
    fn of(mix: &Mix, clear: &Belief, evidence: &Evidence, is_series: bool) -> Result<Self, CureError> {
        let (guess, doubt) = (mix.absorption.get().ln(), mix.class.absorption_doubt().get());
        if doubt <= 0.0 {
            return Err(CureError::Factor { value: doubt });
        }
        let owns = if is_series { 12 } else { 0 };
        let nodes = nodes_of(clear);
        let mut cells = Vec::new();
        let mut most = f64::NEG_INFINITY;
        for i in -SIDE..=SIDE {
            let z = f64::from(i) * REACH / f64::from(SIDE);
            for j in -owns..=owns {
                let besides = f64::from(j) * 0.25;
                let prior = -0.5 * (z * z + besides * besides);
                for (at, weight) in &nodes {
                    let (log_alpha, log_own) = (guess + doubt * z, OWN_DOUBT * besides - at[0]);
                    // The clear resin's depth stands for the coloured resin's own part.
                    let log =
                        prior + weight.ln() + evidence.log_likelihood([-log_own, at[1]], log_alpha.exp());
                    most = most.max(log);
                    cells.push((log_alpha, log_own, log));
                }
            }
        }
        let total: f64 = cells.iter().map(|cell| (cell.2 - most).exp()).sum();
        let mean = |of: &dyn Fn(f64, f64) -> f64| {
            cells.iter().map(|cell| (cell.2 - most).exp() / total * of(cell.0, cell.1)).sum::<f64>()
        };
        let (a, b) = (mean(&|a, _| a), mean(&|_, b| b));
        let spread =
            [mean(&|x, _| (x - a).powi(2)), mean(&|x, y| (x - a) * (y - b)), mean(&|_, y| (y - b).powi(2))];
        Ok(Self { mean: [a, b], spread })
    }

    /// Doubt of `own + α·c` at a load, over `α·c`: all of it laid on the pigment, where the bound takes it in.
    fn doubt_at(&self, load: Load) -> f64 {
        let pigment = self.mean[0].exp() * load.percent();
        let own = self.mean[1].exp();
        let [aa, ab, bb] = self.spread;
        let var = pigment * pigment * aa + 2.0 * pigment * own * ab + own * own * bb;
        var.max(0.0).sqrt() / pigment
    }
}

/// A few points that stand for the belief of the clear resin, with their weights: five by five, a standard deviation
/// apart, of which the middle three of each way carry 0.99.
fn nodes_of(clear: &Belief) -> Vec<([f64; 2], f64)> {
    let Ok([first, cross, second]) = clear.root() else { return vec![(clear.mean, 1.0)] };
    let mut nodes = Vec::new();
    for i in -2..=2_i32 {
        for j in -2..=2_i32 {
            let (u, v) = (f64::from(i), f64::from(j));
            let at = [clear.mean[0] + first * u, clear.mean[1] + cross * u + second * v];
            nodes.push((at, (-0.5 * (u * u + v * v)).exp()));
        }
    }
    nodes
}
