//! How warm a layer becomes as it sets: an estimate, never a refusal.
//!
//! Resin gives off heat where light sets it. The share that has set is X = 1 − exp(−E/Es), with E the light that has
//! fallen there and Es a few times what first sets it, so the heat comes when and where the light does. It is carried
//! off upward by the air and downward through the mould. One dimension is enough: what flows out sideways is left out,
//! which errs on the warm side: in a stone 9 mm across by up to 8 K for the usual resin, less in a wider one, and in a
//! narrower one by more.
//!
//! How much heat a resin gives, and at how much light, no bottle says. So the answer is a band, from a mild resin to a
//! hot one, and what the maker measured or felt on one layer narrows it.
//!
//! This module never stops a plan, and knows nothing of burns beyond the words at the bench.
//!
//! ```
//! use craft::cure::{Button, Light};
//! use craft::heat::{Lit, Sources, Warmth, heat};
//! use craft::units::{Length, Span};
//!
//! let low = Light::typical(Button::new("low heat", Span::from_s(99.0), Span::from_s(60.0))?);
//! let clear = Lit::new(Length::from_mm(2.0), 1.0, &low);
//! let warm = heat(&clear, &Sources::TYPICAL);
//! assert!(warm.rise_k.low < warm.rise_k.typical && warm.rise_k.typical < warm.rise_k.high);
//! assert_eq!(warm.warmth(25.0), Warmth::Hot);
//! # Ok::<(), craft::cure::CureError>(())
//! ```

mod learn;
mod slab;

pub use learn::{Feel, HeatError, HeatSeen, felt, measured, narrowed};

use serde::{Deserialize, Serialize};

use crate::cure::{Factor, Light};
use crate::units::{Length, Load, Span};
use slab::{Material, Slab};

/// Cells in the resin; the halved grid differs by less than a hundredth.
const RESIN_CELLS: u32 = 20;
/// Cells in the mould, each wider than the one above.
const MOULD_CELLS: u32 = 10;
/// Cells in cured resin below.
const CURED_CELLS: u32 = 8;
/// The longest that is looked ahead, s.
const WATCHED_S: f64 = 600.0;
/// One step of time while the lamp is lit, s.
const STEP_S: f64 = 1.0;
/// One step of time as it cools, s.
const COOLING_STEP_S: f64 = 4.0;
/// The thinnest layer that is reckoned with, mm.
const LEAST_MM: f64 = 1e-3;
/// Silicone below a cavity, m (common practice, no source).
const MOULD_M: f64 = 0.006;
/// What the air takes, W/m²K: between 8 and 15 in a closed lamp (from memory).
const AIR_W: f64 = 12.0;
/// What the bench under the mould takes, W/m²K (from memory).
const BENCH_W: f64 = 20.0;
/// A warm room, °C: heat is reckoned from it (common practice, no source).
pub const WARM_ROOM_C: f64 = 25.0;
/// Up to this the usual resin is cool to the touch, °C: as [`Feel::Cool`].
const COOL_UP_TO_C: f64 = 40.0;
/// The bench word "cooled down": below this above the room, K.
const COOLED_K: f64 = 20.0;
/// Liquid resin: conductivity near poly(methyl methacrylate), density and heat capacity (from memory).
const RESIN: Material = Material { conductivity: 0.18, heat_capacity: 1150.0 * 1600.0 };
/// Silicone rubber: conductivity 0.22–0.27 W/mK (Baudot, Mazuer and Odin 1998, Cryogenics 38:227, by its abstract).
const SILICONE: Material = Material { conductivity: 0.25, heat_capacity: 1100.0 * 1300.0 };
/// kg/m³.
const RESIN_DENSITY: f64 = 1150.0;

/// A resin as far as its heat is concerned.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Source {
    /// Heat it gives off when it has set as far as it will, kJ/kg; 100–300.
    pub release: Factor,
    /// Es: light that sets it to 1 − 1/e, as a multiple of what first sets it; 5–15.
    pub set_ratio: Factor,
}

/// The mildest, the usual and the hottest resin that is to be reckoned with.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Sources {
    /// The mildest.
    pub low: Source,
    /// The usual one.
    pub typical: Source,
    /// The hottest.
    pub high: Source,
}

impl Source {
    const fn known(release: f64, set_ratio: f64) -> Self {
        Self { release: Factor::known(release), set_ratio: Factor::known(set_ratio) }
    }
}

impl Sources {
    /// Before anything was measured: 130, 180, 240 kJ/kg and 15, 8, 5 times first setting. Reckoned from acrylate bonds
    /// (80 kJ/mol, from memory) of two to four mol/kg set to a good half; no figure for a craft resin is published.
    pub const TYPICAL: Sources = Sources {
        low: Source::known(130.0, 15.0),
        typical: Source::known(180.0, 8.0),
        high: Source::known(240.0, 5.0),
    };

    fn each<T>(&self, f: impl Fn(Source) -> T) -> Band<T> {
        Band { low: f(self.low), typical: f(self.typical), high: f(self.high) }
    }
}

/// Something for the mildest, the usual and the hottest resin.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Band<T> {
    /// The mildest.
    pub low: T,
    /// The usual one.
    pub typical: T,
    /// The hottest.
    pub high: T,
}

/// A layer under a lamp button.
#[derive(Clone, Copy, Debug)]
pub struct Lit<'a> {
    /// How thick it is.
    pub thickness: Length,
    /// What resin, pigment and material take of the light, per mm: 1/Dp + αc and shade.
    pub takes_per_mm: f64,
    /// The button over this bottle.
    pub light: &'a Light,
    /// For how long the lamp is lit in all: one press after the other where that is longer than one.
    pub lit: Span,
    /// The share of the lamp's light that reaches its surface: 1 but in a deep opaque mould.
    pub light_share: f64,
    /// Set resin below it, before the mould begins.
    pub cured_below: Length,
}

impl<'a> Lit<'a> {
    /// A layer on the bare mould with all of the lamp's light, under one whole press.
    pub fn new(thickness: Length, takes_per_mm: f64, light: &'a Light) -> Self {
        let lit = light.button.total();
        Self { thickness, takes_per_mm, light, lit, light_share: 1.0, cured_below: Length::ZERO }
    }

    /// The same for a resin of this penetration and a pigment of this absorption.
    pub fn of_mix(
        thickness: Length,
        (penetration, absorption): (Length, Factor),
        load: Load,
        light: &'a Light,
    ) -> Self {
        let takes_per_mm = 1.0 / penetration.mm().max(1e-6) + absorption.get() * load.percent();
        Self::new(thickness, takes_per_mm, light)
    }
}

/// How warm a layer becomes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Heat {
    /// The greatest rise above the room anywhere in it, K.
    pub rise_k: Band<f64>,
    /// From lamp-on until the usual resin is less than 20 K above the room again; looked at for ten minutes at most.
    pub cooled_after: Span,
}

/// How a band is to be taken.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Warmth {
    /// Warm at most.
    Mild,
    /// The usual resin may pass 60 °C or a hot one 80 °C: take the low-heat button or a thinner layer.
    Hot,
    /// A hot resin may pass 110 °C, where moulds and petals suffer.
    Scorching,
}

/// How warm a layer becomes, as a hand would say.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Touch {
    /// The usual resin stays at 40 °C or below.
    Cool,
    /// Warmer, and no resin is hot.
    Warm,
    /// As [`Warmth::Hot`].
    Hot,
    /// As [`Warmth::Scorching`].
    TooHot,
}

impl Heat {
    /// The band as a hand would say it, from a room of [`WARM_ROOM_C`].
    pub fn touch(&self) -> Touch {
        match self.warmth(WARM_ROOM_C) {
            Warmth::Scorching => Touch::TooHot,
            Warmth::Hot => Touch::Hot,
            Warmth::Mild if WARM_ROOM_C + self.rise_k.typical > COOL_UP_TO_C => Touch::Warm,
            Warmth::Mild => Touch::Cool,
        }
    }

    /// How hot that is in a room of so many °C.
    pub fn warmth(&self, room_c: f64) -> Warmth {
        let Band { typical, high, .. } = self.rise_k;
        if room_c + high > 110.0 {
            Warmth::Scorching
        } else if room_c + typical > 60.0 || room_c + high > 80.0 {
            Warmth::Hot
        } else {
            Warmth::Mild
        }
    }
}

/// The estimate for a layer.
pub fn heat(layer: &Lit<'_>, sources: &Sources) -> Heat {
    let slab = stack(layer);
    let warmed = sources.each(|source| warm(&slab, layer, source));
    let cooled_after = Span::from_s(cooled_s(&slab, &warmed.typical));
    let rise_k = Band { low: warmed.low.peak_k, typical: warmed.typical.peak_k, high: warmed.high.peak_k };
    Heat { rise_k, cooled_after }
}

/// A layer as the lamp goes out.
struct Warmed {
    rise_k: Vec<f64>,
    at_s: f64,
    peak_k: f64,
    last_above_s: f64,
}

/// The seconds of full power that a layer has had after so many seconds: each press grows anew.
fn given_s(layer: &Lit<'_>, after_s: f64) -> f64 {
    layer.light.button.equivalent_over(Span::from_s(after_s.clamp(0.0, layer.lit.s()))).s()
}

fn hottest_k(rise_k: &[f64]) -> f64 {
    rise_k.iter().take(RESIN_CELLS as usize).fold(0.0_f64, |most, &rise| most.max(rise))
}

/// How one resin warms while the lamp is lit; after that it only cools, so its peak is then known. The heat of each step
/// is the exact difference of what has set, so that none is lost however coarse the steps.
fn warm(slab: &Slab, layer: &Lit<'_>, source: Source) -> Warmed {
    let thick_mm = layer.thickness.mm().max(LEAST_MM);
    let full_j = RESIN_DENSITY * source.release.get() * 1000.0;
    let sets_s = source.set_ratio.get().max(1e-6) * layer.light.first_set().s();
    let share = layer.light_share.clamp(0.0, 1.0);
    let rates: Vec<f64> = (0..RESIN_CELLS)
        .map(|i| (f64::from(i) + 0.5) * thick_mm / f64::from(RESIN_CELLS))
        .map(|depth_mm| share * (-depth_mm * layer.takes_per_mm).exp() / sets_s)
        .collect();
    let mut left = vec![1.0; rates.len()];
    let (mut rise_k, mut added) = (vec![0.0; slab.many()], vec![0.0; slab.many()]);
    let mut stepper = slab.steps_of(STEP_S);
    let lit_s = layer.lit.s().min(WATCHED_S);
    let (mut at_s, mut peak_k, mut last_above_s) = (0.0, 0.0_f64, 0.0);
    while at_s < lit_s {
        at_s += STEP_S;
        let given = given_s(layer, at_s);
        for ((added, rate), left) in added.iter_mut().zip(&rates).zip(&mut left) {
            let still = (-given * rate).exp();
            *added = full_j * (*left - still);
            *left = still;
        }
        stepper.step(&mut rise_k, &added);
        let hottest = hottest_k(&rise_k);
        peak_k = peak_k.max(hottest);
        if hottest > COOLED_K {
            last_above_s = at_s;
        }
    }
    Warmed { rise_k, at_s, peak_k, last_above_s }
}

/// When a warmed layer is below [`COOLED_K`] for good, between two steps by a straight line.
fn cooled_s(slab: &Slab, warmed: &Warmed) -> f64 {
    let (mut rise_k, mut at_s) = (warmed.rise_k.clone(), warmed.at_s);
    let (none, mut stepper) = (vec![0.0; slab.many()], slab.steps_of(COOLING_STEP_S));
    let mut before = hottest_k(&rise_k);
    if before <= COOLED_K {
        return warmed.last_above_s;
    }
    while at_s < WATCHED_S {
        stepper.step(&mut rise_k, &none);
        let after = hottest_k(&rise_k);
        if after <= COOLED_K {
            return at_s + COOLING_STEP_S * (before - COOLED_K) / (before - after);
        }
        (before, at_s) = (after, at_s + COOLING_STEP_S);
    }
    WATCHED_S
}

/// Resin on set resin on silicone, from the surface down.
fn stack(layer: &Lit<'_>) -> Slab {
    let mut slab = Slab::new(AIR_W, BENCH_W);
    slab.even(RESIN, layer.thickness.mm().max(LEAST_MM) / 1000.0, RESIN_CELLS);
    if layer.cured_below.is_positive() {
        slab.even(RESIN, layer.cured_below.mm() / 1000.0, CURED_CELLS);
    }
    slab.widening(SILICONE, MOULD_M, MOULD_CELLS);
    slab
}

#[cfg(test)]
mod tests;
