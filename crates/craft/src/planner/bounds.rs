//! Fewer colour layers than this no plan can have.

use serde::{Deserialize, Serialize};

use super::problem::Problem;
use super::table::{NEVER, Table};
use crate::cure::Kernel;

/// Two proofs that fewer colour layers cannot hide the metal and set.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FewestLayers {
    /// From light alone: all the colour's optical depth, `α·H + T/Dp0`, over the most that one layer can hold
    /// and still set, at the most favourable split between pigment and resin.
    pub by_light: u16,
    /// From the grid: the hiding wanted over the most that one layer on the grid can give and still set.
    pub by_grid: u16,
}

impl FewestLayers {
    /// The stronger of the two.
    pub fn at_least(self) -> u16 {
        self.by_light.max(self.by_grid)
    }
}

/// Both bounds; `u16::MAX` where not one layer sets though hiding is wanted.
pub(super) fn fewest_layers(problem: &Problem, table: &Table) -> FewestLayers {
    FewestLayers { by_light: by_light(problem, table), by_grid: by_grid(problem, table) }
}

fn by_light(problem: &Problem, table: &Table) -> u16 {
    let cure = &problem.cure;
    let kernel = Kernel::new(cure, cure.assurance.spread);
    let least_mm = f64::from(problem.colour.least) / 10.0;
    let hiding = problem.hiding_units() as f64 * cure.mix.step.percent() / 10.0;
    let depth = cure.mix.absorption.get() * hiding + least_mm * kernel.own_per_mm();
    if depth <= 0.0 {
        return 0;
    }
    // A hair is taken off so that rounding never claims a layer too many.
    let layers = (depth / kernel.deepest(table.room()) - 1e-9).ceil();
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a float that is too large, or endless, becomes u16::MAX, which is what is meant"
    )]
    let count = layers.max(1.0) as u16;
    count
}

fn by_grid(problem: &Problem, table: &Table) -> u16 {
    let hiding = problem.hiding_units();
    if hiding == 0 {
        return 0;
    }
    let room = usize::from(problem.depth - problem.face);
    let surfaces = if table.is_shaded() { 0..room } else { 0..1 };
    let most = problem
        .colour_layer()
        .each()
        .flat_map(|thickness| problem.load_steps().map(move |load| (thickness, load)))
        .filter(|(thickness, load)| {
            surfaces.clone().any(|below| table.colour(*thickness, *load, below) < NEVER)
        })
        .map(|(thickness, load)| thickness * load)
        .chain(problem.pins().iter().map(|(thickness, load)| thickness * load))
        .max()
        .filter(|most| *most > 0);
    most.and_then(|most| u16::try_from(hiding.div_ceil(most)).ok()).unwrap_or(u16::MAX)
}
