//! How deep light sets resin, and how sure that is.
//!
//! Everything is counted in seconds of full lamp power: a bottle under a lamp first sets after `tc` seconds
//! and then hardens to the depth `Dp · ln(t / tc)` (Jacobs, *Rapid Prototyping & Manufacturing*, 1992, the
//! working curve). The lamp's power stands in both `t` and `tc` and cancels, so it is never asked for.
//! Pigment adds its absorption: `1/Dp = 1/Dp0 + α·c`. What is not known is kept as doubts, and every verdict
//! is given at the cautious end of them.
//!
//! This module never says that anything is certain, and never knows a mould, a client or a clock.
//!
//! ```
//! use craft::cure::{Assurance, Button, Cure, Light, Surety};
//! use craft::units::{Length, Load, Span};
//!
//! let cure = Cure::typical(craft::cure::PigmentClass::Clear);
//! let low = Light::typical(Button::new("low heat", Span::from_s(99.0), Span::from_s(60.0))?);
//! assert_eq!(low.button.equivalent(), Span::from_s(69.0));
//! let two_mm = cure.sets_through(Length::from_mm(2.0), Load::ZERO, &low);
//! assert_eq!(two_mm, Surety::Sure);
//! # Ok::<(), craft::cure::CureError>(())
//! ```

mod bound;
mod button;
mod curve;
mod doubt;
mod factor;
mod oxygen;
mod pigment;
mod shade;

pub use bound::{Assurance, Cure, Surety};
pub(crate) use bound::{Kernel, NINE_IN_TEN};
pub use button::{Button, Light};
pub use curve::{Resin, WorkingCurve, penetration_from_absorbance};
pub use doubt::Doubts;
pub use factor::{Correlation, Factor};
pub use oxygen::{FACE_HARD, Face, face};
pub use pigment::{Mix, PigmentClass};
pub use shade::{MaterialShade, Shadow, Well};

use crate::units::{Length, Span};
use serde::{Deserialize, Serialize};

/// Where a value came from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum Provenance {
    /// A typical value, a cautious guess: nothing of this maker's stands behind it.
    Typical,
    /// What the maker already does and what works.
    Practised,
    /// Tested by the maker on this day.
    Tested(chrono::NaiveDate),
}

/// What cannot be a cure value; says what would be right.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum CureError {
    /// A plain number is out of range.
    #[error("{value} cannot be used here; give a number from 0 to 1000000")]
    Factor {
        /// What was given.
        value: f64,
    },
    /// A correlation is out of range.
    #[error("{value} is not a correlation; give a number from -1 to 1")]
    Correlation {
        /// What was given.
        value: f64,
    },
    /// A depth of hardening is out of range.
    #[error("a resin that hardens {depth} deep is not believable; give more than 0 mm and at most 100 mm")]
    Penetration {
        /// What was given.
        depth: Length,
    },
    /// The seconds until it first sets are out of range.
    #[error("{seconds} until it first sets is not believable; give more than 0 s and at most 100000 s")]
    FirstSet {
        /// What was given.
        seconds: Span,
    },
    /// A lamp button's times are out of range.
    #[error(
        "a lamp button cannot be lit for {total} and take {ramp} to its full light; write more than 0 s and at most an hour, and for the way to full light 0 s to an hour"
    )]
    Button {
        /// The button's whole time.
        total: Span,
        /// The time in which the light grows to full.
        ramp: Span,
    },
    /// An absorbance of nothing, or over no path, gives no depth.
    #[error("an absorbance of {absorbance} over {path} gives no depth; both must be above 0")]
    Absorbance {
        /// The absorbance, base 10.
        absorbance: f64,
        /// The path through the film.
        path: Length,
    },
}
