//! What a maker's own work says about bottle, lamp and pigment.
//!
//! At first nothing is known but what is typical: a [`Belief`] that the depth of hardening and the seconds until it
//! first sets are log-normal about a cautious guess. Three kinds of [`Observation`] narrow it: points of a wedge
//! test, what already works, and how each layer came out. [`learn`] joins them into [`Learned`], from which a plan
//! takes its figures and doubts; the fewer doubts, the thicker the layers that are sure.
//!
//! An observation is kept with its day and never changed. How much it still says is worked out anew each time: a
//! bottle ages once it is opened, a lamp while it burns, and a white mould says little about a black one.
//!
//! This module never guesses in the maker's favour: an outcome is a bound, not a value; a "hard" says only that the
//! light sufficed; one feel in twenty is allowed to be mistaken, so that no single word rules.
//!
//! ```
//! use craft::learning::{Bench, Belief, Observation, Seen, learn};
//! use craft::shelf::Body;
//! use craft::units::{Length, Span};
//!
//! let day = chrono::NaiveDate::from_ymd_opt(2026, 3, 1).ok_or("no such day")?;
//! let works = Observation {
//!     on: day,
//!     lamp: "lamp".parse()?,
//!     button: 1,
//!     lamp_lit: None,
//!     body: Body::LetsLightIn,
//!     pigment: None,
//!     seen: Seen::Works { thickness: Length::from_mm(2.0), light: Span::from_s(69.0), times: 20 },
//! };
//! let bench = Bench { today: day, lamp: "lamp".parse()?, button: 1, body: Body::LetsLightIn, opened: None, lamp_lit: None };
//! let learned = learn(&Belief::TYPICAL, &[works], &bench)?;
//! assert!(learned.belief.penetration_doubt() < Belief::TYPICAL.penetration_doubt());
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

mod belief;
mod evidence;
mod known;
mod note;
mod observation;
mod pigment;
mod posterior;
mod record;
mod steps;
#[cfg(test)]
mod tests;
mod wedge;
mod worth;

pub use belief::{Belief, Newness};
pub(crate) use evidence::SKIN;
pub use known::{Known, know};
pub use note::{Note, Soft, notes_of_test, reversed};
pub use observation::{Bench, Now, Observation, PigmentLoad, Seen, WedgePoint};
pub use pigment::{LearnedPigment, learn_pigment};
pub use posterior::{Learned, learn};
pub use record::{outcomes, teaches};
pub use steps::doubling;
pub use wedge::{Interval, SeriesFit, WedgeFit};
pub use worth::{Day, Worth, worth};

use crate::cure::CureError;
use crate::heat::HeatError;
use crate::units::{Load, Span};

/// "1.5 % to 2 %", or "1.5 %".
fn loads((least, most): &(Load, Load)) -> String {
    if least == most { least.to_string() } else { format!("{least} to {most}") }
}

/// Which mix would lie where it is planned.
fn nearer(tested: &(Load, Load), planned: &(Load, Load)) -> &'static str {
    if tested.0 > planned.1 { "paler" } else { "stronger" }
}

/// What did not set.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Unset {
    /// Any step of a test of clear resin.
    Test,
    /// So many clear layers.
    Layers(usize),
    /// Any step of a test of a mix with so much pigment.
    Mix(Load),
}

/// What did not set, and what to do.
fn nothing_sets(light: Span, longest: Span, of: &Unset) -> String {
    let longer = if light < longest {
        format!("light one more patch for as long as the longest button, {longest} of full light, or ")
    } else {
        String::new()
    };
    let again = "a newer test in which something sets takes its place";
    match of {
        Unset::Test if longer.is_empty() => format!(
            "nothing set in up to {light} under this lamp, so no layer of this bottle is promised there; take another lamp or \
             bottle, or test again: {again}"
        ),
        Unset::Test => format!(
            "nothing set in up to {light} under this lamp, so no layer of this bottle is promised there; {longer}take another \
             lamp or bottle: {again}"
        ),
        Unset::Layers(layers) => format!(
            "{layers} layers one after the other stayed soft, with up to {light} of this lamp, so no layer of this bottle is \
             promised there; test it in ten minutes, or take another lamp or bottle"
        ),
        Unset::Mix(load) => format!(
            "nothing set of a mix of {load} in up to {light} under this lamp, so no layer of this pigment is promised there; \
             {longer}test a paler mix: {again}"
        ),
    }
}

/// Why nothing can be learned; says what would be right.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum LearningError {
    /// Too few different times for a line.
    #[error(
        "a line needs at least two steps lit for different times, and there are {given} points; light four steps, say 5, 15, 40 and 100 s"
    )]
    TooFewTimes {
        /// How many points there are.
        given: usize,
    },
    /// What was seen last of the bottle under the lamp did not set, and no button gives clearly more light than that had.
    #[error("{}", nothing_sets(*light, *longest, of))]
    NothingSets {
        /// The most light that set nothing.
        light: Span,
        /// The most light of one press of the lamp.
        longest: Span,
        /// What did not set.
        of: Unset,
    },
    /// Light that never fell.
    #[error("a step that was not lit says nothing; give the seconds it was under the lamp")]
    NoLight,
    /// A layer of no thickness.
    #[error("a depth of nothing cannot be learned from; give the thickness that was measured")]
    NoDepth,
    /// Doubt of nothing, or less.
    #[error("a measured depth is never exact; with a caliper give about 0.05 mm, with a ruler 0.25 mm")]
    NoDoubt,
    /// Longer lit, less deep.
    #[error("the longer steps are not the thicker ones; look whether the steps were mixed up")]
    Falling,
    /// Too few different loads for a series.
    #[error("a pigment's series needs at least two different loads; test a pale mix and a strong one")]
    TooFewLoads,
    /// More pigment, more depth.
    #[error("the stronger mix hardened deeper than the pale one; look whether the two were mixed up")]
    LighterWithMore,
    /// The loads that were tested and those that are planned have none in common.
    #[error("the pigment was tested at {}, and it is planned at {}; test a {} mix", loads(.tested), loads(.planned), nearer(.tested, .planned))]
    LoadsApart {
        /// The lowest and the highest load that was tested.
        tested: (Load, Load),
        /// The lowest and the highest load that is planned.
        planned: (Load, Load),
    },
    /// Nothing was given that speaks of this bottle under this lamp.
    #[error("nothing is known yet of this bottle under this lamp; a test of ten minutes says most")]
    Nothing,
    /// Warmth that cannot be.
    #[error(transparent)]
    Heat(#[from] HeatError),
    /// The figures that came out are beyond any resin.
    #[error(transparent)]
    Cure(#[from] CureError),
}
