//! Facts at the setting.

use std::fmt;

use serde::{Deserialize, Serialize};

use crate::id::Thing;
use crate::place::Place;
use crate::reading::Reading;
use crate::units::Length;

/// What of a stone was measured.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub enum Dimension {
    /// Along.
    Length,
    /// Across.
    Width,
    /// From back to the top of the dome.
    Height,
    /// From back to the edge where the dome begins.
    Edge,
}

impl fmt::Display for Dimension {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Dimension::Length => "length",
            Dimension::Width => "width",
            Dimension::Height => "height",
            Dimension::Edge => "edge",
        })
    }
}

/// How the stone sits in its setting, by feel.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub enum Feel {
    /// Will not go in.
    TooTight,
    /// Goes in and stands above where it should.
    Proud,
    /// Sits right.
    Flush,
    /// Goes in and sits too deep.
    Low,
    /// Rattles.
    TooLoose,
}

impl fmt::Display for Feel {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Feel::TooTight => "too-tight",
            Feel::Proud => "proud",
            Feel::Flush => "flush",
            Feel::Low => "low",
            Feel::TooLoose => "too-loose",
        })
    }
}

/// What was done to make it sit.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub enum FitWork {
    /// Sanded around the edge.
    SandedEdge,
    /// Sanded from the back.
    SandedBack,
    /// Built up with a clear layer.
    BuiltUp,
    /// Polished.
    Polished,
}

impl fmt::Display for FitWork {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            FitWork::SandedEdge => "sanded-edge",
            FitWork::SandedBack => "sanded-back",
            FitWork::BuiltUp => "built-up",
            FitWork::Polished => "polished",
        })
    }
}

/// What happened at the setting.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum FitFact {
    /// A stone was measured.
    Measured {
        /// Which.
        stone: u8,
        /// What of it.
        what: Dimension,
        /// The reading.
        reading: Reading<Length>,
    },
    /// A stone was tried in its setting.
    Tried {
        /// Which.
        stone: u8,
        /// How it sat.
        feel: Feel,
    },
    /// Work was done on it.
    Worked {
        /// Which.
        stone: u8,
        /// What work.
        work: FitWork,
    },
    /// The chosen stone was set; from here on it is part of the piece.
    Set {
        /// Which.
        stone: u8,
        /// The finished piece.
        piece: Thing,
        /// Where it was put.
        place: Place,
    },
}

impl fmt::Display for FitFact {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Measured { stone, what, reading } => write!(f, "measured|S{stone}|{what}|{reading}"),
            Self::Tried { stone, feel } => write!(f, "tried|S{stone}|{feel}"),
            Self::Worked { stone, work } => write!(f, "worked|S{stone}|{work}"),
            Self::Set { stone, piece, place } => write!(f, "set|S{stone}|{piece}|{place}"),
        }
    }
}
