//! What follows from a plan for one stone, before anything is poured: to which mark each layer is filled, how warm it
//! becomes, how long its bubbles rise, where the face may stay tacky, how the material lies in it, how many stones laid
//! so set right through, how hard it becomes, and how its colour will look.
//!
//! It only puts together what other modules reckon, and holds no plan back: a plan keeps its limits, and this says what
//! else is to be known.
//!
//! ```
//! use craft::cure::{Button, Doubts, Light, Mix, PigmentClass};
//! use craft::foreseen::{Stone, foresee};
//! use craft::geometry::{Cavity, Dome, Outline};
//! use craft::heat::Sources;
//! use craft::planner::{Problem, Style, plan};
//! use craft::units::{Length, Span};
//!
//! let oval = Outline::Oval { length: Length::from_mm(10.0), width: Length::from_mm(8.0) };
//! let cavity = Cavity::new(oval, Dome::HalfEllipse, Length::from_mm(2.0), Length::from_mm(1.5))?;
//! let low = Light::typical(Button::new("99 s low heat", Span::from_s(99.0), Span::from_s(60.0))?);
//! let mix = Mix::typical(PigmentClass::Dark);
//! let face = Length::from_mm(1.5);
//! let plan = plan(&Problem::for_stone(cavity.depth(), face, mix, Style::Even, vec![low], Doubts::CALIBRATED)?)?;
//! let stone = Stone { cavity: &cavity, parts: &[], colour: (40, 60, 50), sources: Sources::TYPICAL };
//! let ahead = foresee(&plan, &stone)?;
//! assert_eq!(ahead.layers.len(), plan.layers.len());
//! assert!(ahead.layers[0].mark.liquid > plan.layers[0].thickness, "it shrinks as it sets");
//! assert!(ahead.simulated.set_through > 950);
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

mod against;
mod going_on;
mod material;
mod pots;
mod sharing;
mod stones;
mod topcoat;

pub use against::{Against, Heard};
pub use material::{Fits, Packed, Part, Rests, lie_of, packed, reading_of_whole, shades, weighed_whole};
pub use pots::{Counts, OrderPots, PotsError};
pub use sharing::{HowMany, MOST_STONES, Sharing, how_many};
pub use stones::{Candidates, candidates};
pub use topcoat::{FILM, TopCoat, top_coat};

use crate::bubbles::{BubbleError, Rise, Viscosity, rise};
use crate::cure::{Face, face};
use crate::density::Density;
use crate::geometry::{Cavity, FINEST};
use crate::heat::{Heat, Lit, Sources, Touch, heat};
use crate::hiding::{Hidden, Laid, Preview, Rgb, hidden, preview};
use crate::planner::{FullHardness, Plan, PlannedLayer, Region, Simulated};
use crate::shrinkage::{PourMark, Shrinkage, ShrinkageError, pour_marks};
use crate::units::{Length, Share, Span, Volume};

/// A cool room, °C: bubbles are reckoned in it (common practice, no source).
pub const COOL_ROOM_C: f64 = 20.0;
/// The smallest bubble that is seen at arm's length (common practice, no source).
pub const SEEN_BUBBLE: Length = Length::from_micro(200_000);
/// Liquid craft resin (from memory: 1.05–1.15 g/cm³).
pub const RESIN: Density = Density::from_kg_per_m3(1_100);

/// Why nothing can be foreseen; says what would be right.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum ForeseenError {
    /// The mould takes nothing.
    #[error("this mould holds nothing; measure it again and give its length, width and depth above 0 mm")]
    EmptyMould,
    /// A plan without layers.
    #[error("there is no layer in this plan; plan the stone again")]
    NoLayers,
    /// A layer that the mould does not take.
    #[error(transparent)]
    Marks(#[from] ShrinkageError),
    /// A layer whose bubbles cannot be reckoned.
    #[error(transparent)]
    Bubbles(#[from] BubbleError),
}

/// What a stone is made in and of, beside its plan.
#[derive(Clone, Copy, Debug)]
pub struct Stone<'a> {
    /// Its mould.
    pub cavity: &'a Cavity,
    /// What goes into its first face layer.
    pub parts: &'a [Part],
    /// The pigment's colour.
    pub colour: Rgb,
    /// How much heat the resin gives: [`Sources::TYPICAL`], or what was learned of it.
    pub sources: Sources,
}

/// What is foreseen of one layer.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LayerAhead {
    /// How much is poured, and to which mark.
    pub mark: PourMark,
    /// How full the mould is then, as a share of its whole volume.
    pub full: Share,
    /// How warm it becomes.
    pub heat: Heat,
    /// The same as a hand would say, from a warm room.
    pub touch: Touch,
    /// How long the smallest bubbles that are seen rise through it, in a cool room.
    pub bubbles: Rise,
    /// The light on its underside where that lies against the mould: oxygen comes in there. Only for layers of the face.
    pub face: Option<Face>,
}

/// What follows from a plan.
#[derive(Clone, Debug, PartialEq)]
pub struct Foreseen {
    /// Each layer, from the face.
    pub layers: Vec<LayerAhead>,
    /// What goes into the first layer, one of each kind of material.
    pub packed: Vec<Packed>,
    /// How many stones laid so set right through.
    pub simulated: Simulated,
    /// What the light adds up to; `None` for a plan without layers.
    pub hardness: Option<FullHardness>,
    /// What is lacking up to the rim once all has set.
    pub top_up: Volume,
    /// How far the colour hides the metal, at its thinnest patch.
    pub hidden: Hidden,
    /// How the colour will look; `None` for a stone without any.
    pub look: Option<Preview>,
    /// How much heat the resin was taken to give.
    pub sources: Sources,
}

impl Foreseen {
    /// True where the first layer has room for all that is to go into it, as far as that was weighed. Where it has none the
    /// light was reckoned for the usual amount, so that nothing is promised of that layer.
    pub fn has_room(&self) -> bool {
        !self.packed.iter().any(|packed| matches!(packed.fits, Fits::NoRoom(_)))
    }
}

/// What follows from a plan for a stone.
///
/// # Errors
/// A mould that holds nothing, or does not take the layers; a plan without layers.
pub fn foresee(plan: &Plan, stone: &Stone<'_>) -> Result<Foreseen, ForeseenError> {
    let whole = stone.cavity.volume();
    if whole.mm3().is_nan() || whole.mm3() <= 0.0 {
        return Err(ForeseenError::EmptyMould);
    }
    let first = plan.layers.first().ok_or(ForeseenError::NoLayers)?;
    let thicknesses: Vec<Length> = plan.layers.iter().map(|layer| layer.thickness).collect();
    let marks = pour_marks(stone.cavity, &thicknesses, Shrinkage::TYPICAL, FINEST)?;
    let mut layers = Vec::with_capacity(marks.len());
    let mut below = Length::ZERO;
    for ((place, layer), mark) in plan.layers.iter().enumerate().zip(marks) {
        layers.push(layer_ahead(plan, (place, layer), mark, (stone, below))?);
        below = below + layer.thickness;
    }
    let last = Volume::from_mm3((whole.mm3() - stone.cavity.volume_to(below).mm3()).max(0.0));
    let top_up = layers.iter().map(|layer| layer.mark.top_up.mm3()).sum::<f64>()
        + Shrinkage::TYPICAL.poured(last).mm3();
    let coloured: Vec<(Laid, Rgb)> = plan.colour().map(|layer| (laid(plan, layer), stone.colour)).collect();
    let films: Vec<Laid> = coloured.iter().map(|(laid, _)| *laid).collect();
    Ok(Foreseen {
        layers,
        packed: packed(stone.parts, stone.cavity.volume_to(first.thickness)),
        simulated: plan.counted(),
        hardness: plan.full_hardness(None),
        top_up: Volume::from_mm3(top_up),
        hidden: hidden(&films),
        look: (!coloured.is_empty()).then(|| preview(&coloured)),
        sources: stone.sources,
    })
}

/// A planned colour layer as far as hiding is concerned.
fn laid(plan: &Plan, layer: &PlannedLayer) -> Laid {
    let thinnest = plan.thinnest.unwrap_or(Share::WHOLE);
    Laid { thinnest, ..Laid::even(plan.cure.mix, layer.load, layer.thickness) }
}

fn layer_ahead(
    plan: &Plan,
    (place, layer): (usize, &PlannedLayer),
    mark: PourMark,
    (stone, below): (&Stone<'_>, Length),
) -> Result<LayerAhead, ForeseenError> {
    let heat = warmed(plan, (place, layer), (below, &stone.sources));
    let shade = plan.shade.filter(|_| place == 0).map_or(0.0, |shade| shade.per_mm.get());
    let light = plan.lights.get(usize::from(layer.light)).filter(|_| layer.region == Region::Face);
    let face = light.map(|light| {
        let left = plan.light_share(place) * (-shade * layer.thickness.mm()).exp();
        face(&plan.cure, (layer.thickness, layer.load), (light, layer.presses), left)
    });
    // What is poured stands a little higher than what is left, and bubbles rise through that.
    let through = Length::from_mm((mark.liquid - below).mm().max(layer.thickness.mm()));
    let full_mm3 = stone.cavity.volume_to(mark.liquid).mm3() / stone.cavity.volume().mm3();
    Ok(LayerAhead {
        full: share_of(full_mm3),
        touch: heat.touch(),
        heat,
        bubbles: rise(through, SEEN_BUBBLE, Viscosity::TYPICAL.at(COOL_ROOM_C)?, RESIN)?,
        face,
        mark,
    })
}

#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a share between 0 and 1")]
fn share_of(part: f64) -> Share {
    Share::from_millionths((part.clamp(0.0, 1.0) * 1e6).round() as u32)
}

/// How warm one layer of a plan becomes; `None` where it has no such layer. A fraction of what [`foresee`] takes.
pub fn warmth_of(plan: &Plan, place: usize, sources: &Sources) -> Option<Heat> {
    let layer = plan.layers.get(place)?;
    let below = plan.layers.iter().take(place).map(|layer| layer.thickness).sum();
    Some(warmed(plan, (place, layer), (below, sources)))
}

/// How warm a layer becomes on what has set below it.
fn warmed(plan: &Plan, (place, layer): (usize, &PlannedLayer), (below, sources): (Length, &Sources)) -> Heat {
    let light = plan.lights.get(usize::from(layer.light)).or(plan.lights.first());
    let Some(light) = light else {
        let none = crate::heat::Band { low: 0.0, typical: 0.0, high: 0.0 };
        return Heat { rise_k: none, cooled_after: Span::ZERO };
    };
    let one = light.button.total().micro();
    let lit = Lit {
        lit: Span::from_micro(one.saturating_mul(i64::from(layer.presses.max(1)))),
        light_share: plan.light_share(place),
        cured_below: below,
        ..Lit::new(layer.thickness, plan.takes_per_mm(place), light)
    };
    heat(&lit, sources)
}

#[cfg(test)]
mod tests;
