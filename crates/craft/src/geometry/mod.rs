//! The shape of a memorial stone: its outline from above, its dome from the side, and what a mould of it holds.
//!
//! Every section of a domed stone parallel to its back is the outline made smaller by one number, the *scale*,
//! which depends on the depth below the apex and on the dome's profile alone. Areas, volumes and marks follow. The same
//! holds in a wall that leans, and for an outline drawn as a path as long as its whole rim is seen from its middle.
//!
//! ```
//! use craft::geometry::{Cavity, Dome, FINEST, Outline};
//! use craft::units::Length;
//!
//! let drawn = Outline::Traced("M 0 5 C 0 -2 12 0 14 5 C 12 10 0 12 0 5 Z".parse()?);
//! let mould = Cavity::new(drawn, Dome::HalfEllipse, Length::from_mm(2.0), Length::from_mm(1.0))?;
//! let half = mould.depth_for(craft::units::Volume::from_mm3(0.5 * mould.volume().mm3()), FINEST)?;
//! assert!(half > Length::from_mm(1.5) && half < Length::from_mm(2.0));
//! # Ok::<(), craft::geometry::GeometryError>(())
//! ```

mod cavity;
mod dome;
mod draft;
mod fill;
mod fullness;
mod heights;
mod numeric;
mod outline;
#[cfg(test)]
mod published;
mod rim;
mod svg;
mod trace;

pub use cavity::Cavity;
pub use dome::Dome;
pub use draft::Draft;
pub use fill::FillMark;
pub use fullness::Fullness;
pub use heights::Heights;
pub use outline::{Outline, Sides};
pub use trace::{PathFault, Trace};

use crate::units::Length;

/// The finest tolerance on a length: the nanometre a [`Length`] is stored to.
pub const FINEST: Length = Length::from_micro(1);
/// The smallest side an outline may have: 0.5 mm.
pub const LEAST_SIDE: Length = Length::from_micro(500_000);
/// The largest side, dome height or wall height: 100 mm.
pub const MOST_SIDE: Length = Length::from_micro(100_000_000);
/// The lowest dome; anything lower is called flat: 0.1 mm.
pub const LEAST_DOME: Length = Length::from_micro(100_000);

/// Which measure of a shape is meant.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Side {
    /// Across a round.
    Diameter,
    /// The longer side of an outline.
    Length,
    /// The shorter side of an outline.
    Width,
    /// The dome, from the edge to the apex.
    DomeHeight,
    /// The straight wall above the dome as it lies in the mould: the edge of the stone.
    WallHeight,
    /// The radius of a corner.
    Corner,
    /// Between opposite sides.
    Flats,
    /// How much longer than regular.
    Longer,
}

impl std::fmt::Display for Side {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(match self {
            Side::Diameter => "diameter",
            Side::Length => "length",
            Side::Width => "width",
            Side::DomeHeight => "dome height",
            Side::WallHeight => "wall height",
            Side::Corner => "corner radius",
            Side::Flats => "width across the flats",
            Side::Longer => "lengthening",
        })
    }
}

/// Why a shape or a filling cannot be; says what would be right.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum GeometryError {
    /// A measure is zero, negative, too small or too large.
    #[error("a {side} of {given} cannot be right; it must lie between {least} and {most}")]
    OutOfRange {
        /// The measure that was given.
        side: Side,
        /// Its value.
        given: Length,
        /// The least that is accepted.
        least: Length,
        /// The most that is accepted.
        most: Length,
    },
    /// The width is larger than the length.
    #[error("the width, {width}, is larger than the length, {length}; swap the two")]
    WiderThanLong {
        /// The length given.
        length: Length,
        /// The width given.
        width: Length,
    },
    /// A circular arc cannot rise higher than half the width without bulging past the edge.
    #[error(
        "a circular arc over {width} can rise {most} at most, not {height}; choose the half-ellipse for a taller dome"
    )]
    ArcTooTall {
        /// The width the arc spans.
        width: Length,
        /// The dome height given.
        height: Length,
        /// Half the width.
        most: Length,
    },
    /// A flat stone was given a dome height.
    #[error("a flat stone has no dome, yet its dome height is {height}; set it to 0 mm or choose a dome")]
    FlatWithDome {
        /// The dome height given.
        height: Length,
    },
    /// Neither dome nor wall.
    #[error("a flat stone needs a wall height above 0 mm, or there is nothing to fill")]
    NoDepth,
    /// The layers together are thicker than the mould is deep, or more than it holds.
    #[error(
        "with layer {layer} the mould would hold {asked}, but it takes {most} at most; pour less or leave the layer out"
    )]
    OverTheRim {
        /// The layer, counted from 1.
        layer: usize,
        /// What the layers up to this one come to, with its unit.
        asked: String,
        /// What the mould takes, with its unit.
        most: String,
    },
    /// A layer of nothing, or of less than nothing.
    #[error("layer {layer} is {asked}; a layer must be more than nothing")]
    EmptyLayer {
        /// The layer, counted from 1.
        layer: usize,
        /// What was asked for, with its unit.
        asked: String,
    },
    /// A cushion's exponent is out of range.
    #[error(
        "a cushion of fullness {given} cannot be; give a number from 2 (an oval) to 10 (nearly a rectangle)"
    )]
    Fullness {
        /// What was given.
        given: f64,
    },
    /// A wall's lean is out of range.
    #[error("a wall that leans {given} cannot be; give 0 ° (upright) to 30 °")]
    Draft {
        /// What was given.
        given: String,
    },
    /// The wall leans so far that hardly anything is left at its foot.
    #[error(
        "a wall {wall} high that leans {draft} leaves less than half the width at its foot; give a lower wall or a smaller angle"
    )]
    LeansTooFar {
        /// The wall's height.
        wall: Length,
        /// The angle.
        draft: Draft,
    },
    /// Too few or too many heights of a measured dome.
    #[error("{given} heights were given; measure the dome at 1 to 8 places between its middle and its edge")]
    HowManyHeights {
        /// How many were given.
        given: usize,
    },
    /// The heights of a measured dome do not fall outward.
    #[error(
        "the measured heights must fall from the middle to the edge, each at a larger distance than the one before"
    )]
    HeightsOutOfOrder,
    /// A height that lies beside or above the dome.
    #[error(
        "a height of {height} at {from_middle} from the middle does not lie on a dome {dome} high and {half_width} from middle to edge"
    )]
    HeightOffTheDome {
        /// How far from the middle.
        from_middle: Length,
        /// The height given.
        height: Length,
        /// From the middle to the edge.
        half_width: Length,
        /// The dome's height.
        dome: Length,
    },
    /// A drawn outline that turns back on itself takes no dome and no leaning wall.
    #[error(
        "part of this outline is hidden from its middle, so no dome and no leaning wall can stand on it; make it flat and upright, or draw it plainer"
    )]
    HiddenFromTheMiddle,
    /// A drawn path is no outline.
    #[error(transparent)]
    Path(#[from] PathFault),
    /// A volume outside what the mould can hold.
    #[error(
        "{asked_mm3:.2} mm³ cannot be in a mould that holds {most_mm3:.2} mm³; give a volume from 0 up to that"
    )]
    VolumeOutOfRange {
        /// The volume asked about.
        asked_mm3: f64,
        /// What the mould holds.
        most_mm3: f64,
    },
}

/// Refuses a measure outside `least..=most`.
fn check_side(side: Side, given: Length, least: Length, most: Length) -> Result<(), GeometryError> {
    if (least..=most).contains(&given) {
        Ok(())
    } else {
        Err(GeometryError::OutOfRange { side, given, least, most })
    }
}
