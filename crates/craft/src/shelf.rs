//! What stands on the shelf: resins, pigments, lamps, moulds, settings, scales. Items are retired, never deleted; plans and
//! records keep what they used by value, so a new test never rewrites the past.

use chrono::NaiveDate;
use serde::{Deserialize, Serialize};

use crate::cure::{Button, Factor, Light, Mix, Provenance, Resin, Well};
use crate::digest::Digest;
use crate::geometry::{Cavity, GeometryError, Outline};
use crate::hiding::{Card, CardError};
use crate::id::ShelfId;
use crate::learning::{LearningError, Observation};
use crate::place::Cell;
use crate::scale::{ScaleError, ScaleProfile};
use crate::text::{Line, Text};
use crate::units::{Length, Load, Span};

/// An item on the shelf.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Item {
    /// What the maker calls it.
    pub name: Line,
    /// Out of use; old records still refer to it.
    pub retired: bool,
    /// Anything else.
    pub note: Text,
    /// What it is.
    pub what: What,
}

/// What an item is.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum What {
    /// A bottle of resin.
    Resin(Bottle),
    /// A pigment.
    Pigment(Pigment),
    /// A lamp.
    Lamp(Lamp),
    /// A mould.
    Mould(Mould),
    /// A setting that can be ordered or is in the drawer.
    Setting(Setting),
    /// A scale.
    Scale(ScaleProfile),
}

/// A bottle of resin.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Bottle {
    /// How deep it hardens.
    pub resin: Resin,
    /// When it was opened.
    pub opened: Option<NaiveDate>,
    /// When it first sets under each lamp button that was tried; others are a cautious guess.
    pub first_sets: Vec<FirstSet>,
    /// What was seen of it: tests, habits, outcomes. Kept with their days and only ever added to.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub observations: Vec<Observation>,
}

/// Seconds of full power until a bottle first sets under one lamp button.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FirstSet {
    /// The lamp.
    pub lamp: ShelfId,
    /// Which of its buttons, from 1.
    pub button: u8,
    /// The seconds.
    pub seconds: Span,
    /// Where they came from.
    pub provenance: Provenance,
}

/// A pigment with its swatch book.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Pigment {
    /// What it does to light.
    pub mix: Mix,
    /// Its colour for drawings: red, green, blue.
    pub colour: (u8, u8, u8),
    /// Mixes that were tried.
    pub swatches: Vec<Swatch>,
    /// Line tests on a card, with their days: what the hiding need was found by. Only ever added to.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub cards: Vec<Card>,
}

/// One mix that was tried.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Swatch {
    /// Scoops of pigment.
    pub scoops: u16,
    /// To drops of resin.
    pub drops: u16,
    /// A photo of it.
    pub photo: Option<Digest>,
    /// How it came out.
    pub came_out: Line,
    /// The load of it, where it was weighed once: what a scoop to a drop is then follows.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub load: Option<Load>,
}

/// A lamp with its real buttons.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Lamp {
    /// The buttons, from 1.
    pub buttons: Vec<Button>,
}

/// What the body of a mould does with light.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Body {
    /// Clear or white: light comes in from the side as well.
    LetsLightIn,
    /// Dark: deep narrow cavities shade themselves.
    Opaque,
}

/// A mould: one cavity shape, in one or several places of a tray.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Mould {
    /// The shape.
    pub cavity: Cavity,
    /// The places of the tray.
    pub cells: Vec<Cell>,
    /// What it does with light.
    pub body: Body,
}

/// A setting.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Setting {
    /// What the stone goes into: a ring, a pendant.
    pub kind: Line,
    /// The opening the stone sits in.
    pub opening: Outline,
    /// From the bearing to the top of the wall.
    pub wall: Length,
    /// The metal as supplied, such as "925 silver".
    pub metal: Line,
}

/// Why an item cannot be put on the shelf.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum ShelfError {
    /// It has no name.
    #[error("give it the name you call it by")]
    NoName,
    /// A lamp without buttons.
    #[error("a lamp needs at least one button; press each and count its seconds")]
    NoButtons,
    /// A mould without cavities.
    #[error("a mould needs at least one cavity; mark a single one A1")]
    NoCells,
    /// Two cavities with one mark.
    #[error("two cavities are marked {0}; give each its own mark")]
    CellTwice(Cell),
    /// More pigment than resin can take is planned.
    #[error("the highest load to plan with is above what spoils the resin; lower it to {0}")]
    AboveCeiling(Load),
    /// Loads that cannot be planned with.
    #[error("loads are planned from the lowest to the highest in steps above nothing; look at all three")]
    Loads,
    /// An opening no stone fits.
    #[error("the opening of a setting: {0}")]
    Opening(GeometryError),
    /// A wall below nothing.
    #[error("the wall of a setting is a length above nothing")]
    Wall,
    /// A line test that says nothing.
    #[error(transparent)]
    Card(#[from] CardError),
    /// Something that cannot have been seen.
    #[error(transparent)]
    Observation(#[from] LearningError),
    /// A scale that cannot be.
    #[error(transparent)]
    Scale(#[from] ScaleError),
}

impl Item {
    /// Checks what a careful maker would check.
    ///
    /// # Errors
    /// The first thing that is wrong.
    pub fn check(&self) -> Result<(), ShelfError> {
        if self.name.is_empty() {
            return Err(ShelfError::NoName);
        }
        match &self.what {
            What::Resin(bottle) => Ok(bottle.observations.iter().try_for_each(Observation::check)?),
            What::Lamp(lamp) if lamp.buttons.is_empty() => Err(ShelfError::NoButtons),
            What::Mould(mould) => mould.check(),
            What::Pigment(pigment) if pigment.mix.most > pigment.mix.ceiling => {
                Err(ShelfError::AboveCeiling(pigment.mix.ceiling))
            }
            What::Pigment(Pigment { mix, .. })
                if !mix.step.is_positive() || mix.least < Load::ZERO || mix.least > mix.most =>
            {
                Err(ShelfError::Loads)
            }
            What::Pigment(pigment) => {
                pigment.cards.iter().try_for_each(|card| card.found().map(drop)).map_err(ShelfError::Card)
            }
            What::Setting(setting) if !setting.wall.is_positive() => Err(ShelfError::Wall),
            What::Setting(setting) => setting.opening.check().map_err(ShelfError::Opening),
            What::Scale(scale) => Ok(scale.check()?),
            What::Lamp(_) => Ok(()),
        }
    }
}

impl Pigment {
    /// Where the hiding need came from: the day of the line test that found it, else what the mix says. A test of how deep
    /// light sets it says nothing of that.
    pub fn hiding_from(&self) -> Provenance {
        self.card_for(self.mix.hiding).map_or_else(|| self.mix.hiding_from(), Provenance::Tested)
    }

    /// The day of the newest line test that found this hiding need; none where it came from elsewhere, such as from a
    /// figure that was typed since.
    pub fn card_for(&self, need: Factor) -> Option<NaiveDate> {
        let found = |card: &&Card| card.found().is_ok_and(|found| found.need == need);
        self.cards.iter().filter(found).map(|card| card.on).max()
    }
}

impl Mould {
    /// Its walls as they shade what is poured in it; none where it lets light in. All the light of the usual lamps comes
    /// from around, which is the cautious end (common practice, no source).
    pub fn well(&self) -> Option<Well> {
        let half_width = self.cavity.outline().narrowest_half();
        (self.body == Body::Opaque).then_some(Well { half_width, diffuse: Factor::ONE })
    }

    fn check(&self) -> Result<(), ShelfError> {
        let mut marks = self.cells.iter().collect::<Vec<_>>();
        marks.sort();
        if marks.is_empty() {
            return Err(ShelfError::NoCells);
        }
        match marks.windows(2).find(|pair| pair.first() == pair.last()).and_then(<[_]>::first) {
            Some(twice) => Err(ShelfError::CellTwice((*twice).clone())),
            None => Ok(()),
        }
    }
}

impl Bottle {
    /// Every button of `lamp` as a light over this bottle: tested where it was tested, else a cautious guess.
    pub fn lights(&self, lamp_id: &ShelfId, lamp: &Lamp) -> Vec<Light> {
        (1_u8..)
            .zip(&lamp.buttons)
            .map(|(no, button)| {
                let tried = self.first_sets.iter().find(|tried| tried.lamp == *lamp_id && tried.button == no);
                tried
                    .and_then(|tried| Light::new(button.clone(), tried.seconds, tried.provenance).ok())
                    .unwrap_or_else(|| Light::typical(button.clone()))
            })
            .collect()
    }
}
