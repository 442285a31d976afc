//! What is learned of a pigment in a bottle that is known.

use super::evidence::{Evidence, LEAST_SKIN, Settings};
use super::note::{dead_tests, longest_dead};
use super::observation::Seen;
use super::posterior::{Density, grid};
use super::{Belief, Bench, LearningError, Observation};
use crate::cure::{CureError, Doubts, Factor, Mix, Provenance};
use crate::id::ShelfId;
use crate::units::{Load, Span};

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
    /// The day of the newest wedge among it in which something set: of measured depths, and not only of outcomes.
    pub tested: Option<chrono::NaiveDate>,
    /// Whether a habit is among it, and not only how single layers came out.
    pub practised: bool,
    /// The most light of a test of a mix in which nothing set, and its load, where no mix as strong was seen to set since.
    pub dead: Option<(Span, Load)>,
}

impl LearnedPigment {
    /// The loads that are both planned and tested, from the lowest to the highest; the lowest may lie above the highest. The
    /// ends of what was tested are taken outward to the steps that loads are planned in.
    fn range(&self, mix: &Mix) -> (Load, Load) {
        let step_micro = mix.step.micro().max(1);
        let down = |load: Load| Load::from_micro(load.micro().div_euclid(step_micro) * step_micro);
        let up = |load: Load| down(Load::from_micro(load.micro().saturating_add(step_micro - 1)));
        let least = self.least.map_or(mix.least, |least| down(least).max(mix.least));
        (least, self.most.map_or(mix.most, |most| up(most).min(mix.most)))
    }

    /// The lowest and the highest load that tests cover, to the steps of this mix around them; `None` where a plan may take
    /// any on that side.
    pub fn tested(&self, mix: &Mix) -> (Option<Load>, Option<Load>) {
        let step_micro = mix.step.micro().max(1);
        let down = |load: Load| Load::from_micro(load.micro().div_euclid(step_micro) * step_micro);
        let up = |load: Load| down(Load::from_micro(load.micro().saturating_add(step_micro - 1)));
        (self.least.map(down), self.most.map(up))
    }

    /// Why this mix cannot be planned with what was tested of it; `None` where it can.
    pub fn apart(&self, mix: &Mix) -> Option<LearningError> {
        let (least, most) = self.range(mix);
        let tested = (self.least.or(self.most)?, self.most.or(self.least)?);
        (least > most).then_some(LearningError::LoadsApart { tested, planned: (mix.least, mix.most) })
    }

    /// The mix for a plan: its loads stay within what was tested. Where none of those is planned it stays as it is.
    pub fn mix(&self, mix: &Mix) -> Mix {
        if self.newest.is_none() || self.apart(mix).is_some() {
            return *mix;
        }
        let (least, most) = self.range(mix);
        Mix {
            absorption: self.absorption,
            least,
            most,
            provenance: match self.tested {
                Some(day) => Provenance::Tested(day),
                None if self.practised => Provenance::Practised,
                None => mix.provenance,
            },
            ..*mix
        }
    }

    /// The same with its doubt, and with the loads that may be planned after what was seen at these loads and tested at those.
    fn within(
        self,
        mix: &Mix,
        (found, is_series): (Found, bool),
        (loads, tested): (&[Load], &[Load]),
    ) -> Result<Self, LearningError> {
        if let (true, [least, .., most]) = (is_series, tested) {
            return Ok(Self {
                doubt: Factor::new(found.doubt_at(*least).max(found.doubt_at(*most)))?,
                own: Some(Factor::new(found.own_per_mm())?),
                least: Some(*least),
                most: Some(*most),
                ..self
            });
        }
        let found = Factor::new(found.belief.covariance[0].sqrt())?;
        if !mix.class.hides() {
            return Ok(Self { doubt: found, ..self });
        }
        if self.absorption < mix.absorption {
            // Depths that were measured say more of where the chord lies than outcomes do.
            let least = tested.first().or(loads.first()).copied();
            return Ok(Self { doubt: found, least, ..self });
        }
        let before = before(mix);
        Ok(Self { doubt: if found < before { before } else { found }, ..self })
    }

    /// The same after a test of a mix in which nothing set. Where a paler mix set in a test of its own, none that is stronger
    /// is planned; else the pigment is reckoned to take as much as would keep the least skin of that mix from setting, by
    /// whatever slip it may be explained.
    fn after_nothing(
        self,
        clear: &Belief,
        tested: &[Load],
        (light, load): (Span, Load),
    ) -> Result<Self, LearningError> {
        if let Some(paler) = tested.iter().rev().find(|tested| **tested < load) {
            let most = self.most.map_or(*paler, |most| most.min(*paler));
            return Ok(Self { most: Some(most), ..self });
        }
        let taken = (light.s().ln() - clear.mean[1]) / LEAST_SKIN.mm() - (-clear.mean[0]).exp();
        let least = Factor::new((taken / load.percent().max(1e-3)).clamp(0.0, Factor::MOST))?;
        Ok(Self { absorption: if self.absorption < least { least } else { self.absorption }, ..self })
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
/// Where no series was tested the coloured resin takes what the clear one does; a grid needs some width.
const NO_OWN: f64 = 1e-3;

/// Joins the typical absorption of a pigment's class with what was seen of it in a bottle that is known as `clear`.
///
/// For a pigment that scatters, steps at two loads or more give the coloured resin an intercept of its own, and no load
/// outside the tested ones is planned. Steps at one load, or outcomes, give only a chord from the clear resin: true at
/// that load, safe above and unsafe below. So no paler mix is planned once the pigment is found lighter than guessed, and
/// where it is not, paler mixes may be planned with the doubt there was before: what is known at one load narrows no other.
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
                && bench.counts(observation)
        })
    };
    let guessed = LearnedPigment {
        absorption: mix.absorption,
        doubt: before(mix),
        own: None,
        least: None,
        most: None,
        newest: None,
        tested: None,
        practised: false,
        dead: None,
    };
    let evidence = Evidence::of(of_it(), bench, Settings::USUAL)?;
    if evidence.is_empty() || mix.absorption <= Factor::ZERO {
        return Ok(guessed);
    }
    let mut loads: Vec<Load> = of_it().map(Observation::load).collect();
    loads.sort();
    loads.dedup();
    let mut wedge_loads: Vec<Load> = of_it().filter(|o| o.is_test()).map(Observation::load).collect();
    wedge_loads.sort();
    wedge_loads.dedup();
    let is_series = mix.class.hides() && wedge_loads.len() > 1;
    let found = Found::of(mix, clear, &evidence, is_series)?;
    let newest = of_it().map(|observation| observation.on).max();
    let absorption = Factor::new(found.belief.mean[0].exp())?;
    let practised = of_it().any(|observation| matches!(observation.seen, Seen::Works { .. }));
    let tested = of_it().filter(|observation| observation.is_test()).map(|observation| observation.on).max();
    let all_dead = dead_tests(&of_it().collect::<Vec<_>>());
    let dead = longest_dead(&all_dead);
    let learned = LearnedPigment { absorption, newest, tested, practised, dead, ..guessed };
    let learned = learned.within(mix, (found, is_series), (&loads, &wedge_loads))?;
    all_dead.into_iter().try_fold(learned, |learned, dead| learned.after_nothing(clear, &wedge_loads, dead))
}

/// What is in doubt of α before anything was seen: the spread of its class, or what a test left that was only typed.
fn before(mix: &Mix) -> Factor {
    match mix.absorption_from() {
        Provenance::Tested(_) => Doubts::typical_for(mix.class).narrowed_to(Doubts::CALIBRATED).pigment,
        Provenance::Typical | Provenance::Practised => mix.class.absorption_doubt(),
    }
}

/// The posterior of ln α, and of the logarithm of what the coloured resin takes besides over what the clear one takes.
struct Found {
    belief: Belief,
    clear_per_mm: f64,
}

/// The pigment's figures, with what is believed of the clear resin added up.
struct PigmentAsk<'a> {
    prior: Belief,
    evidence: &'a Evidence,
    /// Points that stand for the belief of the clear resin: ln Dp, ln tc, and the logarithm of the weight.
    nodes: Vec<([f64; 2], f64)>,
    is_series: bool,
}

/// Points along each half of a grid over the pigment's figures.
const SIDE: i32 = 10;

impl Density for PigmentAsk<'_> {
    fn log_density(&self, at: [f64; 2]) -> f64 {
        // What the coloured resin takes besides its pigment stands where the clear resin's own part would.
        let absorption = at[0].exp();
        let node = |(clear, log_weight): &([f64; 2], f64)| {
            log_weight + self.evidence.log_likelihood([clear[0] - at[1], clear[1]], absorption)
        };
        let mut logs = [f64::NEG_INFINITY; NODES];
        for (log, known) in logs.iter_mut().zip(&self.nodes) {
            *log = node(known);
        }
        let most = logs.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let sum: f64 = logs.iter().map(|log| (log - most).exp()).sum();
        self.prior.log_density(at) + most + sum.ln()
    }

    fn start(&self) -> Result<Belief, LearningError> {
        Ok(self.prior)
    }

    // Each point is asked of nine nodes. Steps of half a standard deviation are as good as exact here too, and where nothing is
    // asked of the second figure but that it stays there are few along it.
    fn sides(&self) -> (i32, i32) {
        (SIDE, if self.is_series { SIDE } else { 3 })
    }
}

impl Found {
    fn of(mix: &Mix, clear: &Belief, evidence: &Evidence, is_series: bool) -> Result<Self, LearningError> {
        let doubt = before(mix).get();
        if doubt <= 0.0 {
            return Err(CureError::Factor { value: doubt }.into());
        }
        let own = if is_series { OWN_DOUBT } else { NO_OWN };
        let prior =
            Belief { mean: [mix.absorption.get().ln(), 0.0], covariance: [doubt * doubt, 0.0, own * own] };
        let belief = grid(&PigmentAsk { prior, evidence, nodes: nodes_of(clear)?, is_series })?.belief();
        Ok(Self { belief, clear_per_mm: (-clear.mean[0]).exp() })
    }

    /// What the coloured resin takes per mm besides its pigment.
    fn own_per_mm(&self) -> f64 {
        self.belief.mean[1].exp() * self.clear_per_mm
    }

    /// Doubt of `own + α·c` at a load, over `α·c`: all of it laid on the pigment, where the bound takes it in.
    fn doubt_at(&self, load: Load) -> f64 {
        let (pigment, own) = (self.belief.mean[0].exp() * load.percent(), self.own_per_mm());
        let [aa, ab, bb] = self.belief.covariance;
        let var = pigment * pigment * aa + 2.0 * pigment * own * ab + own * own * bb;
        var.max(0.0).sqrt() / pigment
    }
}

const NODES: usize = 9;

/// Nine points that stand for the belief of the clear resin, with the logarithms of their weights: Gauss and Hermite's
/// three each way, at 0 and ±√3 deviations with weights of 2/3 and 1/6, which are exact up to the fifth power
/// (Abramowitz & Stegun, 1964, 25.4.46 and table 25.10).
fn nodes_of(clear: &Belief) -> Result<Vec<([f64; 2], f64)>, LearningError> {
    let [first, cross, second] = clear.root()?;
    let three = [(-3.0_f64.sqrt(), 1.0 / 6.0), (0.0, 2.0 / 3.0), (3.0_f64.sqrt(), 1.0_f64 / 6.0)];
    let place = |u: f64, v: f64| [clear.mean[0] + first * u, clear.mean[1] + cross * u + second * v];
    let node = |(u, wu): (f64, f64), (v, wv): (f64, f64)| (place(u, v), (wu * wv).ln());
    Ok(three.iter().flat_map(|one| three.map(|two| node(*one, two))).collect())
}
