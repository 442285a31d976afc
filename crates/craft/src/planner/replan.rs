//! Planning the rest of a stone from what was really laid.

use super::outcome::{Cost, Plan, PlannedLayer};
use super::problem::{Problem, Style};
use super::{PlanError, Region, Wishes};
use crate::cure::{Cure, Doubts, Factor, Kernel, Light, MaterialShade};
use crate::fact::LayerKind;
use crate::ledger::Layer;
use crate::units::{Length, Load, Share};

/// A layer that is in the mould already.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Laid {
    /// Where it lies.
    pub region: Region,
    /// What it was laid as.
    pub kind: LayerKind,
    /// How thick it came out.
    pub thickness: Length,
    /// Pigment in it.
    pub load: Load,
}

/// The layers of a stone's record, from the face, as the planner sees them. A clear layer behind the first coloured one
/// is a colour layer that hides nothing; the clear layers on the face come after taking out and are left out.
pub fn really_laid(layers: &[Layer]) -> Vec<Laid> {
    let mut region = Region::Face;
    let mut laid = Vec::new();
    for layer in layers {
        match layer.kind {
            LayerKind::TopGloss | LayerKind::TopSatin => continue,
            LayerKind::BackCoat => region = Region::Back,
            LayerKind::Tinted | LayerKind::Swirled | LayerKind::Opaque => region = Region::Colour,
            LayerKind::Material | LayerKind::Clear => (),
        }
        laid.push(Laid { region, kind: layer.kind, thickness: layer.thickness, load: layer.load });
    }
    laid
}

impl Plan {
    /// The plan of the whole stone once the rest of it was planned again: what is in the mould as it was really laid,
    /// with the presses it was planned with, and behind it the `rest`. How sure a layer is that came out otherwise is
    /// reckoned for what it is. `None` where nothing of this plan was laid, or more than it holds.
    pub fn going_on(&self, laid: &[Laid], rest: &Plan) -> Option<Plan> {
        if laid.is_empty() || laid.len() > self.layers.len() {
            return None;
        }
        let moved = u16::try_from(rest.lights.len()).ok()?;
        let mut before = self.clone();
        before.layers.truncate(laid.len());
        for (layer, laid) in before.layers.iter_mut().zip(laid) {
            (layer.region, layer.thickness, layer.load) = (laid.region, laid.thickness, laid.load);
        }
        before.shade = self.shade_as_laid(laid.first());
        let mut layers = before.reckoned(self.depth())?;
        for layer in &mut layers {
            layer.light = layer.light.saturating_add(moved);
        }
        layers.extend(rest.layers.iter().cloned());
        let mut whole = Plan { shade: before.shade, caution: self.caution, layers, ..rest.clone() };
        whole.lights.extend(self.lights.iter().cloned());
        // The rest was planned for what was left to hide, and on from the last load; the stone is the whole again.
        let (mix, kept) = (&mut whole.cure.mix, &self.cure.mix);
        (mix.hiding, mix.step, mix.least, mix.most) = (kept.hiding, kept.step, kept.least, kept.most);
        let coloured = laid.iter().filter(|layer| layer.region == Region::Colour).count();
        let coloured = u16::try_from(coloured).ok()?;
        whole.fewest.by_light = whole.fewest.by_light.saturating_add(coloured);
        whole.fewest.by_grid = whole.fewest.by_grid.saturating_add(coloured);
        whole.cost = whole.summed()?;
        Some(whole)
    }

    /// The same layers, lit in the same way, by what is known of resin, pigment and lamps now: how sure each layer is then.
    /// A button that was changed on the shelf since is the same lamp still. `None` where a layer has no light.
    pub fn known_as(&self, cure: &Cure, lights: &[Light]) -> Option<Plan> {
        let mut known = self.clone();
        known.cure = Cure { assurance: self.cure.assurance, ..*cure };
        for light in &mut known.lights {
            if let Some(now) = lights.iter().find(|now| now.button == light.button).or(lights.first()) {
                *light = Light::new(light.button.clone(), now.first_set(), now.provenance).ok()?;
            }
        }
        known.layers = known.reckoned(self.depth())?;
        Some(known)
    }

    /// The same material in a thinner layer than was planned lies the denser in it, and the looser in a thicker one.
    fn shade_as_laid(&self, laid: Option<&Laid>) -> Option<MaterialShade> {
        let shade = self.shade?;
        let (planned, laid) = (self.layers.first()?, laid?);
        let denser = planned.thickness.mm() / laid.thickness.mm().max(1e-3);
        let per_mm = Factor::new((shade.per_mm.get() * denser).min(Factor::MOST)).unwrap_or(shade.per_mm);
        Some(MaterialShade { per_mm, ..shade })
    }

    /// The layers with the light on their undersides as they are now, in a stone `depth` deep.
    fn reckoned(&self, depth: Length) -> Option<Vec<PlannedLayer>> {
        let kernel = Kernel::new(&self.cure, self.cure.assurance.spread);
        let plain = Kernel::new(&Cure { doubts: Doubts::NONE, ..self.cure }, Factor::ZERO);
        let factor = |log: f64| Factor::new(log.exp().min(Factor::MOST)).ok();
        let (mut layers, mut up_to) = (self.layers.clone(), Length::ZERO);
        for (place, layer) in layers.iter_mut().enumerate() {
            up_to = up_to + layer.thickness;
            let below = (depth - up_to).max(Length::ZERO);
            let share = self.well.map_or(1.0, |well| well.light_share(below));
            let light = self.lights.get(usize::from(layer.light))?;
            let reach = (light.dose_ratio() * f64::from(layer.presses) * share).ln();
            let shade = self.shade.filter(|_| place == 0).unwrap_or(MaterialShade::NONE);
            let (thickness_mm, load) = (layer.thickness.mm(), layer.load.percent());
            layer.cautious = factor(reach - kernel.needed(thickness_mm, load, shade))?;
            layer.nominal = factor(reach - plain.needed(thickness_mm, load, shade))?;
        }
        Some(layers)
    }

    /// What all layers cost together.
    fn summed(&self) -> Option<Cost> {
        let step_micro = self.cure.mix.step.micro().max(1);
        let mut cost = Cost { seconds: 0, layers: 0, pigment: 0, squares: 0 };
        for layer in &self.layers {
            let spent = layer.lay + layer.settle + layer.lit() + layer.cool;
            let tenths = u32::try_from((layer.thickness.micro() + TENTH_MICRO / 2) / TENTH_MICRO).ok()?;
            cost.seconds += u32::try_from(spent.micro() / 1_000_000).ok()?;
            cost.layers += 1;
            cost.pigment += u32::try_from(layer.load.micro() / step_micro).ok()? * tenths;
            cost.squares += tenths * tenths;
        }
        Some(cost)
    }
}

const TENTH_MICRO: i64 = 100_000;

impl Problem {
    /// What is still to be planned once `laid` is in the mould, by its real thickness and load: depth, face, hiding and
    /// limits are what is left of them, and a style goes on from the last layer. Depth is rounded down to whole tenths
    /// of a millimetre, so that nothing goes over the rim. A rest of face that is thinner than half a face layer is let
    /// go, and one above that is laid as the thinnest. A pinned layer that was laid is done with.
    ///
    /// # Errors
    /// [`PlanError::Full`] where nothing is left to lay.
    pub fn after(&self, laid: &[Laid]) -> Result<Problem, PlanError> {
        let sum = |region: Region| -> i64 {
            laid.iter().filter(|layer| layer.region == region).map(|layer| layer.thickness.micro()).sum()
        };
        let whole: i64 = laid.iter().map(|layer| layer.thickness.micro()).sum();
        let depth_micro = i64::from(self.depth) * TENTH_MICRO - whole;
        let is_closed = laid.iter().any(|layer| layer.region == Region::Back);
        let depth = u16::try_from(depth_micro.div_euclid(TENTH_MICRO)).unwrap_or(0);
        if is_closed || depth == 0 {
            return Err(PlanError::Full);
        }
        let mut rest = self.clone();
        rest.depth = depth;
        let colour: Vec<&Laid> = laid.iter().filter(|layer| layer.region == Region::Colour).collect();
        rest.face = if colour.is_empty() { self.face_left(sum(Region::Face)) } else { 0 };
        let coloured = sum(Region::Colour);
        let tenths = |micro: i64| u16::try_from(micro).unwrap_or(u16::MAX);
        rest.colour.least = self.colour.least.saturating_sub(tenths(coloured / TENTH_MICRO));
        rest.colour.most =
            self.colour.most.saturating_sub(tenths((coloured + TENTH_MICRO - 1) / TENTH_MICRO));
        rest.fewest = self.fewest.saturating_sub(u16::try_from(colour.len()).unwrap_or(u16::MAX));
        // A layer that was swirled though the plan is even is judged as swirled layers are guessed to be.
        let patch = |layer: &Laid| match layer.kind {
            LayerKind::Swirled if self.thinnest == Share::WHOLE => Wishes::SWIRLED,
            _ => self.thinnest,
        };
        let hides = |layer: &&Laid| layer.load.percent() * layer.thickness.mm() * patch(layer).fraction();
        let hiding = (self.cure.mix.hiding.get() - colour.iter().map(hides).sum::<f64>()).max(0.0);
        // A difference of two checked numbers, at least 0 and at most the first, is one again.
        rest.cure.mix.hiding = Factor::new(hiding).unwrap_or(self.cure.mix.hiding);
        // A clear layer on the face before the material leaves the material still to come.
        if laid.iter().any(|layer| layer.kind == LayerKind::Material) {
            (rest.shade, rest.packed) = (None, Vec::new());
        }
        rest.go_on_from(&colour);
        Ok(rest)
    }

    fn face_left(&self, laid_micro: i64) -> u16 {
        let left_micro = (i64::from(self.face) * TENTH_MICRO - laid_micro).max(0);
        let left = u16::try_from((left_micro + TENTH_MICRO / 2) / TENTH_MICRO).unwrap_or(0);
        if left >= self.face_layer.least || laid_micro == 0 {
            left
        } else if 2 * left < self.face_layer.least {
            0
        } else {
            self.face_layer.least
        }
    }

    /// Goes on from the last colour layer in this style, and drops the pins that were laid.
    fn go_on_from(&mut self, colour: &[&Laid]) {
        for layer in colour {
            let near = |pin: &super::Pin| {
                let off_micro = i64::from(pin.thickness) * TENTH_MICRO - layer.thickness.micro();
                pin.load == layer.load && off_micro.abs() <= TENTH_MICRO
            };
            if let Some(place) = self.pinned.iter().position(near) {
                self.pinned.remove(place);
            }
        }
        let Some(last) = colour.iter().rev().map(|layer| layer.load).find(|load| load.is_positive()) else {
            return;
        };
        let mix = &mut self.cure.mix;
        match self.style {
            Style::Even => (mix.step, mix.least, mix.most) = (last, last, last),
            Style::Deepening => mix.least = mix.least.max(Load::from_micro(last.micro() + 1)),
            Style::Quick => (),
        }
    }
}
