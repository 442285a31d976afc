//! Facts at the mould and the lamp.

use std::fmt;

use serde::{Deserialize, Serialize};

use super::{Listed, Or};
use crate::id::{ShelfId, Thing};
use crate::place::{Cell, Place};
use crate::units::{Length, Load, Mass, Span};

/// What a layer is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum LayerKind {
    /// Holds the material, in clear resin.
    Material,
    /// Clear resin.
    Clear,
    /// Coloured, and light passes.
    Tinted,
    /// Clear with colour swirled through it.
    Swirled,
    /// Coloured, and hides what is behind.
    Opaque,
    /// The clear layer that closes the back.
    BackCoat,
    /// The clear layer on the face, glossy.
    TopGloss,
    /// The clear layer on the face, satin.
    TopSatin,
}

impl fmt::Display for LayerKind {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            LayerKind::Material => "material",
            LayerKind::Clear => "clear",
            LayerKind::Tinted => "tinted",
            LayerKind::Swirled => "swirled",
            LayerKind::Opaque => "opaque",
            LayerKind::BackCoat => "back-coat",
            LayerKind::TopGloss => "top-gloss",
            LayerKind::TopSatin => "top-satin",
        })
    }
}

/// How much resin was used, as well as the bench can tell.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum Amount {
    /// On a scale.
    Weighed(Mass),
    /// Counted.
    Drops(u16),
    /// Up to the mark.
    ToTheMark,
}

impl fmt::Display for Amount {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Amount::Weighed(mass) => mass.fmt(f),
            Amount::Drops(drops) => write!(f, "{drops} drops"),
            Amount::ToTheMark => f.write_str("to-the-mark"),
        }
    }
}

/// One press of a lamp button, its light by value.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Press {
    /// The lamp.
    pub lamp: ShelfId,
    /// Which of its buttons, from 1.
    pub button: u8,
    /// How long the light is meant to be on.
    pub seconds: Span,
    /// How long it takes to come up to full, evenly.
    pub ramp: Span,
}

/// How a layer came out.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum Hardness {
    /// Soft or wet below.
    Soft,
    /// Set, and tacky on top.
    Tacky,
    /// Hard.
    Hard,
}

impl fmt::Display for Hardness {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Hardness::Soft => "soft",
            Hardness::Tacky => "tacky",
            Hardness::Hard => "hard",
        })
    }
}

/// What happened at the mould and the lamp.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum PourFact {
    /// A cavity was taken for a stone.
    Begun {
        /// The stone, a new number.
        stone: u8,
        /// The mould.
        mould: ShelfId,
        /// Which cavity of its tray.
        cell: Cell,
    },
    /// A layer was laid.
    Laid {
        /// The stone.
        stone: u8,
        /// Which of its layers, from 1.
        layer: u8,
        /// What it is for.
        kind: LayerKind,
        /// How thick.
        thickness: Length,
        /// Pigment in it.
        load: Load,
        /// How much was used.
        amount: Amount,
        /// From which bottle.
        bottle: ShelfId,
        /// Which pigment is in it; none where it is clear.
        pigment: Option<ShelfId>,
    },
    /// The lamp went on over the newest layer of these stones.
    LampOn {
        /// The stones under it.
        stones: Vec<u8>,
        /// The press.
        press: Press,
    },
    /// The lamp went off.
    LampOff {
        /// The entry of the matching `LampOn`.
        on: u32,
        /// How long light surely fell.
        lit: Span,
    },
    /// The stones have cooled after the lamp.
    Cooled {
        /// Which.
        stones: Vec<u8>,
    },
    /// How the newest layer came out.
    Felt {
        /// The stone.
        stone: u8,
        /// Which layer.
        layer: u8,
        /// How it feels.
        hardness: Hardness,
    },
    /// The stone left its mould.
    TakenOut {
        /// The stone.
        stone: u8,
        /// Where it was put.
        place: Place,
    },
    /// Trimmings were kept in a bag.
    OffcutsKept {
        /// The bag.
        bag: Thing,
        /// Where it was put.
        place: Place,
    },
    /// A bag's offcuts, drips and wet bits were lit by themselves, and felt afterwards.
    OffcutsCured {
        /// The bag.
        bag: Thing,
        /// The press.
        press: Press,
        /// How they feel.
        hardness: Hardness,
    },
    /// The stone will not be shown: it is kept as a spare and goes home with the rest.
    SetAside {
        /// The stone.
        stone: u8,
    },
}

impl fmt::Display for PourFact {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Begun { stone, mould, cell } => write!(f, "begun|S{stone}|{mould}|{cell}"),
            Self::Laid { stone, layer, kind, thickness, load, amount, bottle, pigment } => {
                let pigment = Or(pigment);
                write!(f, "laid|S{stone}|{layer}|{kind}|{thickness}|{load}|{amount}|{bottle}|{pigment}")
            }
            Self::LampOn { stones, press } => {
                let Press { lamp, button, seconds, ramp } = press;
                write!(f, "lamp-on|{}|{lamp}|{button}|{seconds}|{ramp}", Listed(stones))
            }
            Self::LampOff { on, lit } => write!(f, "lamp-off|{on}|{lit}"),
            Self::Cooled { stones } => write!(f, "cooled|{}", Listed(stones)),
            Self::Felt { stone, layer, hardness } => write!(f, "felt|S{stone}|{layer}|{hardness}"),
            Self::TakenOut { stone, place } => write!(f, "taken-out|S{stone}|{place}"),
            Self::OffcutsKept { bag, place } => write!(f, "offcuts-kept|{bag}|{place}"),
            Self::OffcutsCured { bag, press, hardness } => {
                let Press { lamp, button, seconds, ramp } = press;
                write!(f, "offcuts-cured|{bag}|{lamp}|{button}|{seconds}|{ramp}|{hardness}")
            }
            Self::SetAside { stone } => write!(f, "set-aside|S{stone}"),
        }
    }
}
