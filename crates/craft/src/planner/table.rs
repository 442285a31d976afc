//! Which layers set, and what each costs: worked out once, so that the search only adds whole numbers.

use super::problem::{Problem, Smooth, whole_seconds};
use crate::cure::{Kernel, MaterialShade};
use crate::units::Length;

/// A cost that no layer or plan can have: forbidden.
pub(super) const NEVER: u64 = 1 << 62;
const SECONDS_AT: u32 = 42;
const LAYERS_AT: u32 = 34;
const PIGMENT_AT: u32 = 16;

/// Seconds, layers, Σg·t and Σt² packed in that order, so that costs add and compare as one number. The
/// widths are 20, 8, 18 and 16 bits. [`Problem::check`] keeps every plan inside them: it bounds the seconds and
/// Σg·t by themselves, and a depth of at most 200 tenths leaves at most 201 layers and a Σt² of at most 40 000.
pub(super) fn pack(seconds: u64, thickness: usize, load: usize) -> u64 {
    let (t, g) = (thickness as u64, load as u64);
    (seconds << SECONDS_AT) | (1 << LAYERS_AT) | ((g * t) << PIGMENT_AT) | (t * t)
}

/// Seconds, layers, Σg·t and Σt² of a packed cost.
pub(super) fn unpack(cost: u64) -> (u32, u32, u32, u32) {
    let part = |at: u32, bits: u32| {
        // The mask leaves at most 20 bits, so the fallback is never taken.
        u32::try_from((cost >> at) & ((1 << bits) - 1)).unwrap_or(u32::MAX)
    };
    (part(SECONDS_AT, 20), part(LAYERS_AT, 8), part(PIGMENT_AT, 18), part(0, 16))
}

/// A lamp button as the table sees it.
#[derive(Clone, Copy, Debug)]
struct Press {
    /// Its place in the problem's list.
    place: usize,
    /// How often it is pressed.
    times: u8,
    /// All presses together.
    seconds: u64,
    /// Natural logarithm of the dose ratio.
    reach: f64,
}

/// The press chosen for a layer.
#[derive(Clone, Copy, Debug)]
pub(super) struct Chosen {
    /// The button's place in the problem's list.
    pub(super) place: usize,
    /// How often it is pressed.
    pub(super) times: u8,
    /// Natural logarithm of the dose ratio at the surface, walls included.
    pub(super) reach: f64,
    /// Natural logarithm of what the layer needs of it at the cautious end.
    pub(super) needed: f64,
}

/// The costs of all layers of one problem.
#[derive(Debug)]
pub(super) struct Table {
    /// By thickness, then by load (0 first): what a colour layer, or a clear one, needs of light.
    needed: Vec<Vec<f64>>,
    /// By thickness: what the face layer with the material in it needs.
    material_needed: Vec<f64>,
    /// By thickness: what a clear face layer on top of it needs.
    face_needed: Vec<f64>,
    /// By depth of the surface below the rim in tenths: what the walls take, as a logarithm.
    shaded: Vec<f64>,
    presses: Vec<Press>,
    margin: f64,
    lay: u64,
    per_tenth: u64,
    smooth: Option<Smooth>,
}

impl Table {
    pub(super) fn new(problem: &Problem) -> Self {
        let cure = &problem.cure;
        let kernel = Kernel::new(cure, cure.assurance.spread);
        let step = cure.mix.step.percent();
        let loads = problem.highest_load();
        let pins = problem.pinned.iter().map(|pin| pin.thickness);
        let thickest = pins.chain([problem.colour_layer().most, problem.back.most]).max().unwrap_or(0);
        let thickest = thickest.min(problem.depth);
        let needed = (0..=thickest)
            .map(|t| {
                let thickness_mm = f64::from(t) / 10.0;
                let each = |g: usize| kernel.needed(thickness_mm, g as f64 * step, MaterialShade::NONE);
                (0..=loads).map(each).collect()
            })
            .collect();
        let first = |t: u16| problem.first_shade(usize::from(t)).unwrap_or(MaterialShade::NONE);
        let clear = |shade: &dyn Fn(u16) -> MaterialShade| {
            (0..=problem.face).map(|t| kernel.needed(f64::from(t) / 10.0, 0.0, shade(t))).collect()
        };
        let (material_needed, face_needed) = (clear(&first), clear(&|_| MaterialShade::NONE));
        let shaded = (0..=problem.depth)
            .map(|z| Length::from_micro(i64::from(z) * 100_000))
            .map(|below| problem.well.map_or(0.0, |well| well.light_share(below).ln()))
            .collect();
        let mut presses: Vec<Press> = problem
            .lights
            .iter()
            .enumerate()
            .flat_map(|(place, light)| {
                (1..=problem.presses.max(1)).map(move |times| Press {
                    place,
                    times,
                    seconds: whole_seconds(light.button.total()) * u64::from(times),
                    reach: (light.dose_ratio() * f64::from(times)).ln(),
                })
            })
            .collect();
        presses.sort_by_key(|press| (press.seconds, press.times, press.place));
        Self {
            needed,
            material_needed,
            face_needed,
            shaded,
            presses,
            margin: cure.assurance.margin.get().ln(),
            lay: whole_seconds(problem.handling.lay),
            per_tenth: whole_seconds(problem.handling.settle) + whole_seconds(problem.handling.cool),
            smooth: problem.smooth,
        }
    }

    /// The shortest press that surely sets a layer whose surface lies `below` the rim.
    fn shortest(&self, needed: f64, below: usize) -> Option<&Press> {
        let shaded = self.shaded.get(below)?;
        self.presses.iter().find(|press| press.reach + shaded - needed >= self.margin)
    }

    fn cost(&self, needed: Option<f64>, (thickness, load): (usize, usize), below: usize) -> u64 {
        match needed.and_then(|needed| self.shortest(needed, below)) {
            None => NEVER,
            Some(press) => {
                let seconds = self.lay + self.per_tenth * thickness as u64 + press.seconds;
                pack(seconds, thickness, load)
            }
        }
    }

    fn colour_needed(&self, thickness: usize, load: usize) -> Option<f64> {
        self.needed.get(thickness)?.get(load).copied()
    }

    /// The cost of a colour layer, or of a clear back at load 0, with its surface `below` the rim; a wish for even
    /// colour layers counts in it as if it were seconds.
    pub(super) fn colour(&self, thickness: usize, load: usize, below: usize) -> u64 {
        let cost = self.cost(self.colour_needed(thickness, load), (thickness, load), below);
        match self.smooth {
            Some(smooth) if load > 0 && cost < NEVER => cost + (smooth.penalty(thickness) << SECONDS_AT),
            _ => cost,
        }
    }

    /// What a face layer needs: the first one has the material in it.
    fn face_needed(&self, thickness: usize, first: bool) -> Option<f64> {
        let needed = if first { &self.material_needed } else { &self.face_needed };
        needed.get(thickness).copied()
    }

    /// The cost of a face layer, the `first` with the material in it, with its surface `below` the rim.
    pub(super) fn face(&self, thickness: usize, below: usize, first: bool) -> u64 {
        self.cost(self.face_needed(thickness, first), (thickness, 0), below)
    }

    /// The press for a colour layer, or for a clear back at load 0, that sets.
    pub(super) fn colour_press(&self, thickness: usize, load: usize, below: usize) -> Option<Chosen> {
        self.press(self.colour_needed(thickness, load)?, below)
    }

    /// As [`Table::colour_press`], for a face layer.
    pub(super) fn face_press(&self, thickness: usize, below: usize, first: bool) -> Option<Chosen> {
        self.press(self.face_needed(thickness, first)?, below)
    }

    fn press(&self, needed: f64, below: usize) -> Option<Chosen> {
        let press = self.shortest(needed, below)?;
        Some(Chosen {
            place: press.place,
            times: press.times,
            reach: press.reach + self.shaded.get(below)?,
            needed,
        })
    }

    /// Whether the walls make a difference to any layer.
    pub(super) fn is_shaded(&self) -> bool {
        self.shaded.iter().any(|share| *share < 0.0)
    }

    /// Natural logarithm of the most light over the margin.
    pub(super) fn room(&self) -> f64 {
        self.presses.iter().map(|press| press.reach).fold(f64::NEG_INFINITY, f64::max) - self.margin
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_packed_cost_adds_and_comes_apart_again() {
        let sum = pack(228, 4, 19) + pack(300, 15, 0);
        assert_eq!(unpack(sum), (528, 2, 76, 241));
    }

    #[test]
    fn a_second_outweighs_everything_behind_it() {
        let most_behind: u64 = (0xFF << LAYERS_AT) | (0x3_FFFF << PIGMENT_AT) | 0xFFFF;
        assert!(most_behind < 1 << SECONDS_AT);
        assert!(NEVER > pack(MOST_TESTED, 1, 1) && NEVER.checked_mul(2).is_some());
    }

    const MOST_TESTED: u64 = (1 << 20) - 1;
}
