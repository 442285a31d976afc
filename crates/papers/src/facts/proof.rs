//! The proof sheet's facts.

use serde::Serialize;

use super::{Header, Photo};

/// The proof sheet: numbered stones to choose from, each with its outline in true size.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct ProofFacts {
    /// What stands at the head and the foot.
    pub header: Header,
    /// A sentence or two before the stones. May be empty.
    pub intro: String,
    /// The stones, 1 to 12, in the order they shall stand.
    pub stones: Vec<ProofStone>,
    /// How to answer, one step a line. May be empty.
    pub answer: Vec<String>,
    /// By when, as a whole phrase, for example `Please answer by 3 December.` May be empty.
    pub answer_by: String,
    /// How the photos were taken, and that screens and printers differ. May be empty.
    pub photo_note: String,
}

/// One stone on the proof sheet.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ProofStone {
    /// The number the client answers with.
    pub number: u32,
    /// What to say of the stone, one or two short lines. May be empty.
    pub caption: String,
    /// Its size in words, for example `oval, 10 × 8 mm`. May be empty.
    pub size: String,
    /// Its photo; without one the sheet says so.
    pub photo: Option<Photo>,
    /// Its outline, drawn in true size. Without one nothing is drawn.
    pub outline: Option<Outline>,
    /// The colour of the outline's fill as `#rrggbb`. Empty leaves it unfilled.
    pub colour: String,
}

/// An outline to be drawn to scale. All lengths in millimetres, each extent above 0 and at most
/// 60 mm.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(tag = "shape", rename_all = "snake_case")]
pub enum Outline {
    /// An ellipse with its long axis across the page; equal axes make it round.
    Oval {
        /// Extent across the page.
        length_mm: f64,
        /// Extent down the page.
        width_mm: f64,
    },
    /// A closed polygon through at least three points, fine enough to look smooth.
    Path {
        /// Corner points as `[across, down]`, in order, without repeating the first. The origin
        /// does not matter.
        points_mm: Vec<[f64; 2]>,
    },
}

/// The largest extent of an outline that the proof sheet has room for, in millimetres.
pub(crate) const LARGEST_OUTLINE_MM: f64 = 60.0;

impl Outline {
    /// Extents across and down the page in millimetres, or `None` where there is nothing to draw:
    /// fewer than three points, a number that is not finite, an extent of nothing.
    pub fn extents_mm(&self) -> Option<(f64, f64)> {
        let (across_mm, down_mm) = match self {
            Self::Oval { length_mm, width_mm } => (*length_mm, *width_mm),
            Self::Path { points_mm } if points_mm.len() < 3 => return None,
            Self::Path { points_mm } => {
                let span = |axis: fn(&[f64; 2]) -> f64| {
                    let low = points_mm.iter().map(axis).fold(f64::INFINITY, f64::min);
                    let high = points_mm.iter().map(axis).fold(f64::NEG_INFINITY, f64::max);
                    high - low
                };
                // `f64::min` passes over a NaN, so each number is looked at by itself.
                if points_mm.iter().flatten().any(|value| !value.is_finite()) {
                    return None;
                }
                (span(|point| point[0]), span(|point| point[1]))
            }
        };
        (across_mm.is_finite() && down_mm.is_finite() && across_mm > 0.0 && down_mm > 0.0)
            .then_some((across_mm, down_mm))
    }
}
