//! What a plan promises: that 95 stones in 100 set right through, counted and not only bounded.

use super::assured::Simulated;
use super::outcome::Plan;
use super::problem::Problem;
use super::table::Table;
use super::{PlanError, best, plan};
use crate::cure::{Assurance, Cure, Factor};
use crate::units::Share;

/// What is asked of a plan's stones: so many in a hundred set right through.
pub const PROMISED: Share = Share::of(95, 100);

/// What is asked of each layer where the usual does not keep the promise, from the one that takes least time: 99 and 99.5
/// layers in a hundred, and twice the light that first sets it (normal quantiles after the standard table).
const SURER: [Assurance; 3] = [
    Assurance { spread: Factor::known(2.326347874040841), ..Assurance::USUAL },
    Assurance { margin: Factor::known(2.0), ..Assurance::USUAL },
    Assurance { spread: Factor::known(2.575829303548901), ..Assurance::USUAL },
];

/// Stones of a first look, and the shares of them that tell enough: of a plan that kept just what is promised fewer or more
/// would set through less than once in five hundred times.
const AT_A_LOOK: (u32, [f64; 2]) = (1_000, [0.928, 0.972]);

/// Stones that are counted where a look does not tell; good to 0.002.
const COUNTED: u32 = 10_000;

/// The numbers that are drawn: written down, so that the count is the same on every computer.
const SEED: u64 = 1;

impl Plan {
    /// How many of its stones set right through, of as many as it takes to tell whether that is as promised.
    pub fn counted(&self) -> Simulated {
        let (few, [least, enough]) = AT_A_LOOK;
        let look = self.simulated(few, SEED);
        let share = look.share().fraction();
        if share < least || share >= enough { look } else { self.simulated(COUNTED, SEED) }
    }
}

/// The best plan whose stones keep the promise. Each layer is asked what is usual; where stones are counted in which that
/// is too little, as in white of many thin layers, more is asked of each until they keep it.
///
/// A stone whose layers cannot be made surer gets the surest plan that was found; its count is told with it.
///
/// # Errors
/// As [`plan`].
pub fn promised(problem: &Problem) -> Result<Plan, PlanError> {
    let usual = plan(problem)?;
    let mut surest = (usual.counted().share(), usual);
    for assurance in SURER {
        if surest.0 >= PROMISED {
            break;
        }
        let is_more = |asked: Factor, before: Factor| asked.get() >= before.get();
        let before = problem.cure.assurance;
        if !is_more(assurance.spread, before.spread) || !is_more(assurance.margin, before.margin) {
            continue;
        }
        let surer = Problem { cure: Cure { assurance, ..problem.cure }, ..problem.clone() };
        let Some(plan) = best(&surer, &Table::new(&surer)) else { continue };
        let counted = plan.counted().share();
        if counted > surest.0 {
            surest = (counted, plan);
        }
    }
    Ok(surest.1)
}
