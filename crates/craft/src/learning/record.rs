//! Outcomes from the record of a stone: what was laid, lit and felt is learned from without a word more.

use super::observation::{Observation, PigmentLoad, Seen};
use crate::cure::Button;
use crate::fact::{Hardness, LayerKind};
use crate::id::ShelfId;
use crate::ledger::{Layer, Stone};
use crate::shelf::Body;
use crate::units::Span;

/// What the layers of one stone say of `bottle`: those that were felt, and lit by one button of one lamp alone.
///
/// `body` is what the stone's mould does with light. A layer that holds material, or was swirled, has had less light below than it says here; so where it came out
/// hard that is a bound all the same, and where it did not nothing is said of the resin.
pub fn outcomes(stone: &Stone, bottle: &ShelfId, body: Body) -> Vec<Observation> {
    let of_bottle = stone.layers.iter().filter(|layer| layer.bottle == *bottle);
    of_bottle.filter_map(|layer| outcome(layer, body)).collect()
}

fn outcome(layer: &Layer, body: Body) -> Option<Observation> {
    let hardness = layer.felt?;
    let is_plain = !matches!(layer.kind, LayerKind::Material | LayerKind::Swirled);
    if !is_plain && hardness != Hardness::Hard {
        return None;
    }
    let press = &layer.lit.first()?.press;
    let is_same = |other: &crate::fact::Press| other.lamp == press.lamp && other.button == press.button;
    if !layer.lit.iter().all(|lit| is_same(&lit.press)) {
        return None;
    }
    let light: Span = layer
        .lit
        .iter()
        .filter_map(|lit| {
            let button = Button::new("", lit.press.seconds, lit.press.ramp).ok()?;
            Some(button.equivalent_after(lit.off?.1))
        })
        .sum();
    let pigment = layer.pigment.clone().map(|item| PigmentLoad { item, load: layer.load });
    let observation = Observation {
        on: layer.laid.day(),
        lamp: press.lamp.clone(),
        button: press.button,
        lamp_lit: None,
        body,
        pigment,
        seen: Seen::Felt { thickness: layer.thickness, light, hardness },
    };
    observation.check().ok().map(|()| observation)
}
