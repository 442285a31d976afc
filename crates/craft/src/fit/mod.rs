//! Making a stone sit in its setting: clearance, what to take off or build up, and the bezel round it.
//!
//! Answers are data without words; the sentences for them are made where they are shown.

mod bezel;
mod opening;
mod press;
mod seat;

pub use bezel::{
    Gather, StripLength, WallOverEdge, bezel_wall_height, gather_at, strip_length, wall_over_edge,
};
pub use opening::{Misfit, misfit};
pub use press::{PressPlace, PressPlaces, press_order};
pub use seat::{
    Amount, Clearance, Feel, FitReport, Remedy, Seating, SettingMeasures, Sit, Stand, StoneMeasures,
    Tightness, fit_by_caliper, fit_by_feel,
};

use crate::geometry::GeometryError;
use crate::units::Length;

/// Why a fit cannot be worked out; says what would be right.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum FitError {
    /// The shape itself is impossible.
    #[error(transparent)]
    Shape(#[from] GeometryError),
    /// A measure that must not be below nothing, or must be above it.
    #[error("a {what} of {given} cannot be right; it must be {wanted}")]
    OutOfRange {
        /// What was measured or asked for.
        what: &'static str,
        /// Its value.
        given: Length,
        /// What would be right.
        wanted: &'static str,
    },
    /// The wall cannot grip further in than the middle of the stone.
    #[error("a grip of {grip} is more than half the width of the stone, {most}; a usual grip is 0.2–0.5 mm")]
    GripTooWide {
        /// The grip asked for.
        grip: Length,
        /// Half the width.
        most: Length,
    },
    /// The wall would touch above the apex.
    #[error("a wall that touches {rise} above the edge stands over a dome of {dome}; make it lower")]
    AboveTheDome {
        /// The height asked for.
        rise: Length,
        /// The dome height.
        dome: Length,
    },
    /// The clearance band is upside down.
    #[error("a clearance from {least} to {most} cannot be right; give the smaller first, both from 0 mm up")]
    ClearanceUpsideDown {
        /// The lower end given.
        least: Length,
        /// The upper end given.
        most: Length,
    },
}

/// Refuses a negative measure.
fn at_least_nothing(what: &'static str, given: Length) -> Result<(), FitError> {
    if given < Length::ZERO {
        return Err(FitError::OutOfRange { what, given, wanted: "0 mm or more" });
    }
    Ok(())
}

/// Refuses a measure that is not above nothing.
fn above_nothing(what: &'static str, given: Length) -> Result<(), FitError> {
    if given.is_positive() {
        return Ok(());
    }
    Err(FitError::OutOfRange { what, given, wanted: "more than 0 mm" })
}
