//! The plan: layers by value, with everything they were worked out from.

use serde::{Deserialize, Serialize};

use super::bounds::{FewestLayers, fewest_layers};
use super::problem::{Caution, Handling, Problem, Smooth, Style};
use super::search::Found;
use super::table::{Chosen, Table, unpack};
use crate::cure::{Cure, Doubts, Factor, Kernel, Light, MaterialShade, Well};
use crate::fact::LayerKind;
use crate::units::{Length, Load, Share, Span};

/// Where in the stone a layer lies.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum Region {
    /// Clear, with the material.
    Face,
    /// The colour behind it.
    Colour,
    /// Clear, closing the stone.
    Back,
}

/// One layer to lay, and its press of the lamp.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PlannedLayer {
    /// Where it lies.
    pub region: Region,
    /// How thick, once set.
    pub thickness: Length,
    /// How much pigment.
    pub load: Load,
    /// The button's place among the plan's lights.
    pub light: u16,
    /// What stands on the button.
    pub button: String,
    /// How long a whole press is lit.
    pub seconds: Span,
    /// How often it is pressed.
    #[serde(default = "once", skip_serializing_if = "is_once")]
    pub presses: u8,
    /// To mix and lay it.
    pub lay: Span,
    /// To let bubbles rise.
    pub settle: Span,
    /// To let it cool.
    pub cool: Span,
    /// Light on its underside at the cautious end, as a multiple of what first sets it: at least the margin.
    pub cautious: Factor,
    /// The same with nothing in doubt.
    pub nominal: Factor,
}

const fn once() -> u8 {
    1
}

#[expect(clippy::trivially_copy_pass_by_ref, reason = "serde hands a field over by reference")]
const fn is_once(presses: &u8) -> bool {
    *presses == 1
}

impl PlannedLayer {
    /// How long it is lit, all presses together.
    pub fn lit(&self) -> Span {
        Span::from_micro(self.seconds.micro().saturating_mul(i64::from(self.presses)))
    }
}

/// What a plan costs, in the order in which plans are compared.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Cost {
    /// All seconds at the bench: laying, settling, lamp and cooling.
    pub seconds: u32,
    /// Layers.
    pub layers: u32,
    /// Σ load·thickness in steps of load times tenths of a millimetre.
    pub pigment: u32,
    /// Σ thickness² in tenths of a millimetre: the smaller, the more even.
    pub squares: u32,
}

/// How a stone is to be laid, from the face, with the values it was worked out from.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Plan {
    /// How the colour follows.
    pub style: Style,
    /// Layers from the face.
    pub layers: Vec<PlannedLayer>,
    /// What it costs.
    pub cost: Cost,
    /// Fewer colour layers than this cannot be.
    pub fewest: FewestLayers,
    /// Resin, mix, doubts and what was asked of each layer.
    pub cure: Cure,
    /// The lamp buttons it was planned with.
    pub lights: Vec<Light>,
    /// The bench times it was planned with.
    pub handling: Handling,
    /// The mould's shade, where it was counted.
    pub well: Option<Well>,
    /// The material's shade in the first face layer, where it was counted.
    pub shade: Option<MaterialShade>,
    /// What light cannot do for this stone, and what to do about it.
    pub caution: Option<Caution>,
    /// The wish for even layers, where there was one; its cost is not in [`Plan::cost`].
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub smooth: Option<Smooth>,
    /// What is left of a colour layer at its thinnest patch, where colours are swirled: hiding was judged there.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub thinnest: Option<Share>,
}

impl Plan {
    /// The whole depth.
    pub fn depth(&self) -> Length {
        self.layers.iter().map(|layer| layer.thickness).sum()
    }

    /// What is left up to the rim of a mould this deep: a plan counts in whole tenths of a millimetre and never goes
    /// over the rim, so the last layer may be topped up by less than 0.1 mm.
    pub fn top_up(&self, mould_depth: Length) -> Length {
        (mould_depth - self.depth()).max(Length::ZERO)
    }

    /// The colour layers, from the face.
    pub fn colour(&self) -> impl Iterator<Item = &PlannedLayer> {
        self.layers.iter().filter(|layer| layer.region == Region::Colour)
    }

    /// What a layer is given, all its presses together, in seconds of full power; `None` where the plan has no such
    /// layer.
    pub fn light_wanted(&self, place: usize) -> Option<Span> {
        let layer = self.layers.get(place)?;
        let light = self.lights.get(usize::from(layer.light));
        Some(light.map_or(layer.lit(), |light| {
            let once = light.button.equivalent();
            Span::from_micro(once.micro().saturating_mul(i64::from(layer.presses)))
        }))
    }

    /// All seconds under the lamp.
    pub fn lamp_seconds(&self) -> Span {
        self.layers.iter().map(PlannedLayer::lit).sum()
    }

    /// Minutes at the bench, rounded up.
    pub fn bench_minutes(&self) -> u32 {
        self.cost.seconds.div_ceil(60)
    }

    /// What a planned layer is laid and written down as; `no` is its number from the face, from 1. The first layer of the
    /// face holds the material, and where colours are swirled every colour layer is.
    pub fn kind_of(&self, no: u8, layer: &PlannedLayer) -> LayerKind {
        match layer.region {
            Region::Face if no <= 1 => LayerKind::Material,
            Region::Face => LayerKind::Clear,
            Region::Colour if self.thinnest.is_some() => LayerKind::Swirled,
            Region::Colour => LayerKind::Tinted,
            Region::Back => LayerKind::BackCoat,
        }
    }

    /// The least sure layer: its place from the face, and the layer.
    pub fn weakest(&self) -> Option<(usize, &PlannedLayer)> {
        self.layers.iter().enumerate().min_by(|(_, a), (_, b)| a.cautious.get().total_cmp(&b.cautious.get()))
    }

    /// The plan in the problem's own figures; `None` only where `found` is not of this problem.
    pub(super) fn from_found(problem: &Problem, table: &Table, found: &Found) -> Option<Self> {
        let kernel = Kernel::new(&Cure { doubts: Doubts::NONE, ..problem.cure }, Factor::ZERO);
        let builder = Builder { problem, kernel };
        let mut below = usize::from(problem.depth);
        let mut layers = Vec::new();
        let first = found.face.first().map_or(problem.shade, |thickness| problem.first_shade(*thickness));
        for (place, thickness) in found.face.iter().enumerate() {
            below -= thickness;
            let chosen = table.face_press(*thickness, below, place == 0)?;
            let shade = first.filter(|_| place == 0).unwrap_or(MaterialShade::NONE);
            layers.push(builder.layer(Region::Face, (*thickness, 0), chosen, shade)?);
        }
        for (thickness, load) in &found.colour {
            below -= thickness;
            let chosen = table.colour_press(*thickness, *load, below)?;
            layers.push(builder.layer(Region::Colour, (*thickness, *load), chosen, MaterialShade::NONE)?);
        }
        let chosen = table.colour_press(found.back, 0, 0)?;
        layers.push(builder.layer(Region::Back, (found.back, 0), chosen, MaterialShade::NONE)?);
        let wish = |(t, _): &(usize, usize)| problem.smooth.map_or(0, |smooth| smooth.penalty(*t));
        let wished: u64 = found.colour.iter().map(wish).sum();
        let (seconds, count, pigment, squares) = unpack(found.cost);
        let seconds = seconds.saturating_sub(u32::try_from(wished).ok()?);
        Some(Self {
            style: problem.style,
            layers,
            cost: Cost { seconds, layers: count, pigment, squares },
            fewest: fewest_layers(problem, table),
            cure: problem.cure,
            lights: problem.lights.clone(),
            handling: problem.handling,
            well: problem.well,
            shade: first,
            caution: problem.caution,
            smooth: problem.smooth,
            thinnest: Some(problem.thinnest).filter(|share| *share < Share::WHOLE),
        })
    }
}

struct Builder<'a> {
    problem: &'a Problem,
    /// The working curve with nothing in doubt.
    kernel: Kernel,
}

impl Builder<'_> {
    fn layer(
        &self,
        region: Region,
        (t, g): (usize, usize),
        chosen: Chosen,
        shade: MaterialShade,
    ) -> Option<PlannedLayer> {
        let Problem { cure, lights, handling, .. } = self.problem;
        let (tenths, steps) = (i64::try_from(t).ok()?, i64::try_from(g).ok()?);
        let thickness = Length::from_micro(tenths * 100_000);
        let load = Load::from_micro(steps * cure.mix.step.micro());
        let plain = self.kernel.needed(thickness.mm(), load.percent(), shade);
        let button = &lights.get(chosen.place)?.button;
        let factor = |log: f64| Factor::new(log.exp().min(Factor::MOST)).ok();
        Some(PlannedLayer {
            region,
            thickness,
            load,
            light: u16::try_from(chosen.place).ok()?,
            button: button.name().to_owned(),
            seconds: button.total(),
            presses: chosen.times,
            lay: handling.lay,
            settle: Span::from_micro(handling.settle.micro() * tenths),
            cool: Span::from_micro(handling.cool.micro() * tenths),
            cautious: factor(chosen.reach - chosen.needed)?,
            nominal: factor(chosen.reach - plain)?,
        })
    }
}
