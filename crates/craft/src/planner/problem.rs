//! What is to be planned, and the limits it is planned under.

use std::fmt;

use serde::{Deserialize, Serialize};

use super::PlanError;
use crate::cure::{Assurance, Cure, Doubts, Light, MaterialShade, Mix, PigmentClass, Resin, Well};
use crate::units::{Length, Load, Share, Span};

/// How the colour layers follow each other from the face.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum Style {
    /// All at the same load: one pot.
    Even,
    /// Each layer holds more than the one before, from a tiny bit at the face.
    Deepening,
    /// Whatever takes the least time.
    Quick,
}

/// From `least` to `most`, both included, in tenths of a millimetre.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Within {
    /// The least.
    pub least: u16,
    /// The most.
    pub most: u16,
}

impl Within {
    /// From `least` to `most` tenths of a millimetre.
    pub const fn new(least: u16, most: u16) -> Self {
        Self { least, most }
    }

    pub(super) const fn holds(self, tenths: usize) -> bool {
        tenths >= self.least as usize && tenths <= self.most as usize
    }

    pub(super) fn each(self) -> std::ops::RangeInclusive<usize> {
        usize::from(self.least)..=usize::from(self.most)
    }
}

/// The bench time around the lamp: all whole seconds.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Handling {
    /// To mix and lay one layer.
    pub lay: Span,
    /// To let bubbles rise, for each tenth of a millimetre.
    pub settle: Span,
    /// To let it cool, for each tenth of a millimetre.
    pub cool: Span,
}

impl Handling {
    /// 150 s to lay, 6 s to settle and 12 s to cool for each 0.1 mm (common practice, no source).
    pub const TYPICAL: Handling = Handling {
        lay: Span::from_micro(150_000_000),
        settle: Span::from_micro(6_000_000),
        cool: Span::from_micro(12_000_000),
    };
}

/// What light cannot do for a stone.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum Caution {
    /// No light reaches what lies under a sheet, so the face can only be set from its own side.
    FaceUp,
}

impl fmt::Display for Caution {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::FaceUp => {
                "no light gets through petals, cloth or feathers to the resin under them; light the stone face-up after taking it \
                 out"
            }
        })
    }
}

/// A colour layer that is to be in the plan as it is; the others are laid out round it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Pin {
    /// How thick, in tenths of a millimetre.
    pub thickness: u16,
    /// Its load: a whole number of the mix's steps.
    pub load: Load,
}

impl Pin {
    /// A layer of a plan, kept as it is; `None` where it is no whole number of tenths of a millimetre thick.
    pub fn of(thickness: Length, load: Load) -> Option<Self> {
        let tenths = u16::try_from(thickness.micro() / 100_000).ok()?;
        (thickness.micro() % 100_000 == 0).then_some(Self { thickness: tenths, load })
    }

    /// A layer as it was measured or typed, to the nearest tenth of a millimetre; `None` where it is below nothing or
    /// thicker than anything.
    pub fn near(thickness: Length, load: Load) -> Option<Self> {
        let tenths = u16::try_from((thickness.micro() + 50_000).div_euclid(100_000)).ok()?;
        Some(Self { thickness: tenths, load })
    }

    /// How thick it is.
    pub fn length(self) -> Length {
        Length::from_micro(i64::from(self.thickness) * 100_000)
    }
}

/// A wish for even layers: a colour layer that is `d` tenths of a millimetre off the reference counts as `seconds · d²`
/// longer than it is. It is a taste, not a limit, and it is no bench time: a plan's cost leaves it out.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Smooth {
    /// The thickness that is liked, in tenths of a millimetre.
    pub reference: u16,
    /// What a tenth off it counts as, in seconds; at most 60.
    pub seconds: u16,
}

impl Smooth {
    /// What a colour layer counts as longer than it is.
    pub(super) fn penalty(self, thickness: usize) -> u64 {
        let off = thickness.abs_diff(usize::from(self.reference)) as u64;
        u64::from(self.seconds) * off * off
    }
}

/// One stone to plan, free of its shape: only depths count, in tenths of a millimetre from the face.
///
/// The mix carries the loads, the hiding that is wanted and the thickness of a colour layer.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Problem {
    /// How the colour follows.
    pub style: Style,
    /// The whole depth of the stone, filled exactly.
    pub depth: u16,
    /// The clear face, material included; 0 where it is already laid.
    pub face: u16,
    /// One face layer.
    pub face_layer: Within,
    /// All colour layers together.
    pub colour: Within,
    /// The clear back, one layer.
    pub back: Within,
    /// At least this many colour layers.
    pub fewest: u16,
    /// Resin, mix, doubts and what is asked of each layer.
    pub cure: Cure,
    /// The lamp buttons at hand.
    pub lights: Vec<Light>,
    /// How often one button may be pressed for one layer; a layer gets one button, whole presses of it.
    pub presses: u8,
    /// Colour layers that are wanted as they are, at most [`Problem::MOST_PINS`].
    pub pinned: Vec<Pin>,
    /// A wish for even colour layers.
    pub smooth: Option<Smooth>,
    /// The time around the lamp.
    pub handling: Handling,
    /// The shade of an opaque mould's walls, where there is any.
    pub well: Option<Well>,
    /// The shade of the material, where there is any: it lies in the first face layer, and what is laid on that is
    /// clear.
    pub shade: Option<MaterialShade>,
    /// The same where it is known how much material goes in: by the thickness of the first face layer in tenths of a
    /// millimetre, from 0. It counts in place of `shade`; a layer thicker than the list is shaded as `shade` says.
    pub packed: Vec<MaterialShade>,
    /// What is left of a colour layer at its thinnest patch, where colours are swirled: hiding is judged there.
    pub thinnest: Share,
    /// What light cannot do for this stone, to be handed on with the plan.
    pub caution: Option<Caution>,
}

/// The most depth that is planned, in tenths of a millimetre.
const DEEPEST: u16 = 200;
/// The most loads to choose from.
const MOST_LOADS: usize = 400;
/// The most cells the search may fill: 128 MB.
const MOST_CELLS: usize = 16_000_000;
/// Σ load·thickness of a whole plan must fit its place in a packed cost.
const MOST_PIGMENT: usize = 1 << 18;
/// Seconds of a whole plan must fit their place in a packed cost.
const MOST_SECONDS: u64 = 1 << 20;

/// What is left of a swirled layer at its thinnest patch is judged at this or more.
const LEAST_PATCH: Share = Share::from_millionths(100_000);

/// More presses of one button than this nobody counts.
pub const MOST_PRESSES: u8 = 9;
/// A plan that is smoothed by more than this is no longer the least time.
const MOST_SMOOTH: u16 = 60;

impl Problem {
    /// The most layers that can be pinned: each doubles the search.
    pub const MOST_PINS: usize = 3;

    /// A stone from typical values: a mould `depth` deep with a clear `face`, both rounded down to whole
    /// tenths of a millimetre, so that no plan is deeper than its mould. The rest is left free: a colour region of at least 0.4 mm, a clear back of 0.3 to 1.0 mm, face layers of
    /// 0.5 to 3.0 mm, two colour layers or more where they deepen. A clear mix makes a clear stone, all face
    /// but for a back of 0.3 mm. Set `cure.resin`, `well`, `shade` or any limit afterwards.
    ///
    /// # Errors
    /// Refused where the face leaves no room, or a dye alone is to hide the metal.
    pub fn for_stone(
        depth: Length,
        face: Length,
        mix: Mix,
        style: Style,
        lights: Vec<Light>,
        doubts: Doubts,
    ) -> Result<Self, PlanError> {
        let (depth, face) = (tenths(depth)?, tenths(face)?);
        let clear = mix.class == PigmentClass::Clear;
        let back = Within::new(3, 10);
        let face = if clear { depth.saturating_sub(back.least) } else { face };
        let room = depth.saturating_sub(face).saturating_sub(back.least);
        let fewest = if style == Style::Deepening { 2 } else { 1 };
        let problem = Self {
            style,
            depth,
            face,
            face_layer: Within::new(5, 30),
            colour: if clear { Within::new(0, 0) } else { Within::new(4, room) },
            back,
            fewest: if clear { 0 } else { fewest },
            cure: Cure { resin: Resin::TYPICAL, mix, doubts, assurance: Assurance::USUAL, own: None },
            lights,
            presses: 1,
            pinned: Vec::new(),
            smooth: None,
            handling: Handling::TYPICAL,
            well: None,
            shade: None,
            packed: Vec::new(),
            thinnest: Share::WHOLE,
            caution: None,
        };
        problem.check()?;
        Ok(problem)
    }

    /// The shade of the material in a first face layer so thick; none where there is none.
    pub(super) fn first_shade(&self, tenths: usize) -> Option<MaterialShade> {
        self.packed.get(tenths).copied().or(self.shade)
    }

    /// The hiding wanted in steps of the load times tenths of a millimetre, rounded up; more of it where colours are
    /// swirled, for it is judged at their thinnest patch.
    pub(super) fn hiding_units(&self) -> usize {
        let step_micro = self.cure.mix.step.micro();
        if step_micro <= 0 {
            return 0;
        }
        // In millionths and whole numbers, so that 1.36 / 0.005 is 272 and not a hair above it.
        #[expect(
            clippy::cast_possible_truncation,
            reason = "a factor is at most a million, so its millionths fit"
        )]
        let wanted_micro =
            (self.cure.mix.hiding.get() / self.thinnest.fraction().max(1e-3) * 1e6).round() as i64;
        let units = wanted_micro.saturating_mul(10).saturating_add(step_micro - 1) / step_micro;
        usize::try_from(units).unwrap_or(0)
    }

    /// The loads to choose from, in steps: least to most, within the ceiling.
    pub(super) fn load_steps(&self) -> std::ops::RangeInclusive<usize> {
        let mix = &self.cure.mix;
        let step_micro = mix.step.micro().max(1);
        let most_micro = mix.most.min(mix.ceiling).micro();
        let first = (mix.least.micro().max(0) + step_micro - 1) / step_micro;
        let last = most_micro.max(0) / step_micro;
        usize::try_from(first.max(1)).unwrap_or(1)..=usize::try_from(last).unwrap_or(0)
    }

    /// The thicknesses of a colour layer, in tenths of a millimetre.
    pub(super) fn colour_layer(&self) -> Within {
        let tenth_micro = 100_000;
        let thinnest = (self.cure.mix.thinnest.micro() + tenth_micro - 1) / tenth_micro;
        let thickest = self.cure.mix.thickest.micro() / tenth_micro;
        let clamp = |t: i64| u16::try_from(t.clamp(1, i64::from(DEEPEST))).unwrap_or(DEEPEST);
        Within::new(clamp(thinnest), clamp(thickest))
    }

    /// The pinned layers: tenths of a millimetre and steps of load.
    pub(super) fn pins(&self) -> Vec<(usize, usize)> {
        let step_micro = self.cure.mix.step.micro().max(1);
        let steps = |load: Load| usize::try_from(load.micro() / step_micro).unwrap_or(0);
        self.pinned.iter().map(|pin| (usize::from(pin.thickness), steps(pin.load))).collect()
    }

    /// The highest load that may be laid, in steps: planned or pinned.
    pub(super) fn highest_load(&self) -> usize {
        self.pins().iter().map(|pin| pin.1).chain([*self.load_steps().end()]).max().unwrap_or(0)
    }

    fn check_wishes(&self) -> Result<(), PlanError> {
        let mix = &self.cure.mix;
        let is_sound = |pin: &Pin| {
            pin.thickness > 0
                && pin.load.is_positive()
                && pin.load <= mix.ceiling
                && pin.load.micro() % mix.step.micro() == 0
        };
        if self.pinned.len() > Self::MOST_PINS || !self.pinned.iter().all(is_sound) {
            return Err(PlanError::Pinned);
        }
        if !(LEAST_PATCH..=Share::WHOLE).contains(&self.thinnest) {
            return Err(PlanError::Thinnest);
        }
        if self.presses == 0 || self.presses > MOST_PRESSES {
            return Err(PlanError::Presses);
        }
        match self.smooth {
            Some(smooth) if smooth.seconds > MOST_SMOOTH => Err(PlanError::Smooth),
            _ => Ok(()),
        }
    }

    /// The thickest clear face that leaves room for the fewest colour layers and the thinnest back, in tenths of a
    /// millimetre; 0 where none does.
    pub fn thickest_face(&self) -> u16 {
        let colour = self.fewest.saturating_mul(self.colour_layer().least).max(self.colour.least);
        self.depth.saturating_sub(self.back.least).saturating_sub(colour)
    }

    /// Whether the figures can be planned with at all; whether they can be met is for the search to say.
    ///
    /// # Errors
    /// Names the first figure that is out of range and what would be right.
    pub fn check(&self) -> Result<(), PlanError> {
        if self.depth == 0 || self.depth > DEEPEST {
            return Err(PlanError::Depth { depth: self.depth });
        }
        if self.face >= self.depth {
            return Err(PlanError::Face { face: self.face, depth: self.depth, most: self.thickest_face() });
        }
        if self.lights.is_empty() {
            return Err(PlanError::NoLamp);
        }
        let mix = &self.cure.mix;
        if !mix.class.hides() && mix.hiding.get() > 0.0 {
            return Err(PlanError::CannotHide);
        }
        if !mix.step.is_positive() || self.load_steps().count() > MOST_LOADS {
            return Err(PlanError::Loads);
        }
        if self.cure.assurance.margin.get() <= 0.0 {
            return Err(PlanError::Margin);
        }
        if self.well.is_some_and(|well| !well.half_width.is_positive()) {
            return Err(PlanError::Well);
        }
        let wholes = [self.handling.lay, self.handling.settle, self.handling.cool];
        if wholes.iter().any(|span| *span < Span::ZERO || span.micro() % 1_000_000 != 0) {
            return Err(PlanError::Handling);
        }
        self.check_wishes()?;
        self.check_size()
    }

    /// Refuses what would not fit the search: too many cells, or more seconds or pigment than a cost can hold.
    fn check_size(&self) -> Result<(), PlanError> {
        let levels = usize::from(self.depth - self.face) + 1;
        let due = 1_usize << self.pinned.len();
        let planes = if self.style == Style::Deepening { self.load_steps().count() + 1 } else { 1 };
        let cells = [usize::from(self.fewest) + 1, due, levels, self.hiding_units() + 1, planes]
            .into_iter()
            .try_fold(1_usize, usize::checked_mul);
        if cells.is_none_or(|cells| cells > MOST_CELLS) {
            return Err(PlanError::Loads);
        }
        if self.highest_load().saturating_mul(usize::from(self.depth)) >= MOST_PIGMENT {
            return Err(PlanError::Loads);
        }
        let longest = self.lights.iter().map(|light| whole_seconds(light.button.total())).max();
        let pins = self.pinned.iter().map(|pin| pin.thickness);
        let thinnest =
            pins.chain([self.face_layer.least, self.colour_layer().least]).min().unwrap_or(1).max(1);
        let layers = u64::from(self.depth / thinnest) + 1;
        let most_off = self.smooth.map_or(0, |smooth| {
            let pins = self.pinned.iter().map(|pin| usize::from(pin.thickness));
            let ends = pins.chain(self.colour_layer().each());
            ends.map(|thickness| smooth.penalty(thickness)).max().unwrap_or(0)
        });
        let spare = whole_seconds(self.handling.settle) + whole_seconds(self.handling.cool);
        let worst = layers
            .saturating_mul(
                whole_seconds(self.handling.lay) + longest.unwrap_or(0) * u64::from(self.presses) + most_off,
            )
            .saturating_add(spare.saturating_mul(u64::from(self.depth)));
        if worst >= MOST_SECONDS { Err(PlanError::Handling) } else { Ok(()) }
    }
}

/// A span in whole seconds, rounded up; at most a little over a year, which no plan can hold.
pub(super) fn whole_seconds(span: Span) -> u64 {
    u64::try_from(span.micro().max(0)).unwrap_or(0).div_ceil(1_000_000).min(1 << 25)
}

/// Whole tenths of a millimetre that fit.
fn tenths(length: Length) -> Result<u16, PlanError> {
    u16::try_from(length.micro().div_euclid(100_000)).map_err(|_too_large| PlanError::Length { length })
}
