//! From a stone's sheet and the shelf to a plan.

use crate::cure::{Doubts, Factor, Light, Mix, Provenance, Resin, Well};
use crate::geometry::Cavity;
use crate::order::StoneSheet;
use crate::planner::{Plan, PlanError, Problem, plan};
use crate::refusal::Refusal;
use crate::shelf::{Body, What};
use crate::units::Length;

use super::Studio;

/// Why a stone cannot be planned.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum PlanningError {
    /// Something it needs is not on the shelf.
    #[error(transparent)]
    Shelf(#[from] Refusal),
    /// The planner found no way.
    #[error(transparent)]
    Plan(#[from] PlanError),
}

fn tested_value(provenance: Provenance) -> bool {
    matches!(provenance, Provenance::Tested(_))
}

/// What of the typical doubts is left: a test of the bottle, of a lamp over it and of the pigment narrows its own part.
fn doubts_left(resin: &Resin, lights: &[Light], mix: &Mix) -> Doubts {
    let mut doubts = Doubts::typical_for(mix.class);
    let tested = doubts.narrowed_to(Doubts::CALIBRATED);
    if tested_value(resin.provenance) {
        (doubts.penetration, doubts.together) = (tested.penetration, tested.together);
    }
    if !lights.is_empty() && lights.iter().all(|light| tested_value(light.provenance)) {
        (doubts.first_set, doubts.lamp) = (tested.first_set, tested.lamp);
    }
    if tested_value(mix.provenance) {
        (doubts.pigment, doubts.dosing) = (tested.pigment, tested.dosing);
    }
    doubts
}

impl Studio {
    /// The shape of a stone's mould.
    ///
    /// # Errors
    /// The mould is not on the shelf, or is something else.
    pub fn cavity_of(&self, stone: &StoneSheet) -> Result<Cavity, Refusal> {
        let item = self.item(&stone.mould)?;
        match &item.what {
            What::Mould(mould) => Ok(mould.cavity),
            _ => Err(Refusal::NotA { item: stone.mould.clone(), wanted: "a mould" }),
        }
    }

    /// What is to be planned for a stone, from the shelf as it is now.
    ///
    /// # Errors
    /// Something is not on the shelf, or its figures cannot be planned with.
    pub fn problem_for(&self, stone: &StoneSheet) -> Result<Problem, PlanningError> {
        let not_a = |item: &crate::id::ShelfId, wanted| Refusal::NotA { item: item.clone(), wanted };
        let What::Mould(mould) = &self.item(&stone.mould)?.what else {
            return Err(not_a(&stone.mould, "a mould").into());
        };
        let What::Resin(bottle) = &self.item(&stone.resin)?.what else {
            return Err(not_a(&stone.resin, "a bottle of resin").into());
        };
        let What::Lamp(lamp) = &self.item(&stone.lamp)?.what else {
            return Err(not_a(&stone.lamp, "a lamp").into());
        };
        let What::Pigment(pigment) = &self.item(&stone.pigment)?.what else {
            return Err(not_a(&stone.pigment, "a pigment").into());
        };
        let lights = bottle.lights(&stone.lamp, lamp);
        let doubts = doubts_left(&bottle.resin, &lights, &pigment.mix);
        let depth = mould.cavity.depth();
        let mut problem = Problem::for_stone(depth, stone.face, pigment.mix, stone.style, lights, doubts)?;
        problem.cure.resin = bottle.resin;
        problem.handling = self.policies.handling;
        if mould.body == Body::Opaque {
            let half_width = Length::from_micro(mould.cavity.outline().width().micro() / 2);
            // All the light of the usual lamps comes from around; the cautious end (common practice, no source).
            let diffuse = Factor::new(1.0).unwrap_or(Factor::ZERO);
            problem.well = Some(Well { half_width, diffuse });
        }
        Ok(problem)
    }

    /// The best plan for a stone, from the shelf as it is now.
    ///
    /// # Errors
    /// As [`Studio::problem_for`], or what binds and what would free it.
    pub fn plan_for(&self, stone: &StoneSheet) -> Result<Plan, PlanningError> {
        Ok(plan(&self.problem_for(stone)?)?)
    }
}
