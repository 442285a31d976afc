//! The least bench time in which a stone can be laid so that every layer sets and the metal is hidden.
//!
//! A stone is laid from the face: clear layers over the material, then colour layers, then a clear back. Each
//! layer gets the shortest press of a real lamp button that surely sets it. Thickness is planned in tenths of
//! a millimetre, which is finer than a hand lays it. The plan is the best of all on that grid, and ties fall
//! the same way each time: seconds, then layers, then Σ load·thickness, then Σ thickness², then the list of
//! (thickness, load) from the face, smallest first.
//!
//! Hiding is one mix's: the Kubelka–Munk layers of one pigment add, so the metal is hidden once
//! Σ load·thickness reaches what hides it (Kubelka, *J. Opt. Soc. Am.* 38:448, 1948, and 44:330, 1954).
//!
//! The planner never knows a mould's shape, never rounds a limit in its own favour, and never guesses: where
//! nothing fits it says what binds and which single change would free it.
//!
//! ```
//! use craft::cure::{Button, Doubts, Light, Mix, PigmentClass};
//! use craft::planner::{Problem, Style, plan};
//! use craft::units::{Length, Span};
//!
//! let full = |seconds| Button::new(format!("{seconds} s"), Span::from_s(seconds), Span::ZERO);
//! let lights = vec![Light::typical(full(60.0)?), Light::typical(full(120.0)?)];
//! let problem = Problem::for_stone(
//!     Length::from_mm(3.5),
//!     Length::from_mm(1.5),
//!     Mix::typical(PigmentClass::Dark),
//!     Style::Deepening,
//!     lights,
//!     Doubts::CALIBRATED,
//! )?;
//! let plan = plan(&problem)?;
//! assert_eq!(plan.depth(), Length::from_mm(3.5));
//! assert_eq!(plan.layers.len(), 4);
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

mod assured;
mod bounds;
#[cfg(test)]
mod extras;
mod hardness;
#[cfg(test)]
mod laws;
mod one_more;
mod outcome;
mod problem;
mod promise;
mod replan;
mod search;
#[cfg(test)]
mod stones;
mod stuck;
mod table;
mod wishes;

pub use assured::Simulated;
pub use bounds::FewestLayers;
pub use hardness::{FULLY_HARD, FullHardness};
pub use one_more::{OneMore, Room, one_more};
pub use outcome::{Cost, Plan, PlannedLayer, Region};
pub use problem::{Caution, Handling, MOST_PRESSES, Pin, Problem, Smooth, Style, Within};
pub use promise::{PROMISED, promised};
pub use replan::{Laid, really_laid};
pub use stuck::{Change, Limit, Stuck};
pub use wishes::{Even, Plain, Wishes, even};

use crate::units::Length;

/// So many tenths of a millimetre.
fn tenths(count: u16) -> Length {
    Length::from_micro(i64::from(count) * 100_000)
}

/// A face that is too thick for its mould, and the thickest that is not.
fn face_too_thick(face: u16, depth: u16, most: u16) -> String {
    if most == 0 {
        return format!(
            "a mould of {} leaves no room for a clear face with colour and back behind it; take a deeper one",
            tenths(depth)
        );
    }
    let [face, depth, most] = [face, depth, most].map(tenths);
    format!(
        "a clear face of {face} is too thick for a mould of {depth}; at most {most} leaves room for colour and back behind it"
    )
}

/// Why there is no plan; says what would be right.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum PlanError {
    /// The whole depth is out of range.
    #[error("a stone {} deep cannot be planned; give 0.1 to 20 mm", tenths(*.depth))]
    Depth {
        /// The depth in tenths of a millimetre.
        depth: u16,
    },
    /// The face leaves no room behind it.
    #[error("{}", face_too_thick(*.face, *.depth, *.most))]
    Face {
        /// The face in tenths of a millimetre.
        face: u16,
        /// The depth in tenths of a millimetre.
        depth: u16,
        /// The thickest face that leaves room, in tenths of a millimetre; 0 where none does.
        most: u16,
    },
    /// A length cannot be counted in tenths.
    #[error("{length} cannot be planned; give 0 to 20 mm")]
    Length {
        /// What was given.
        length: Length,
    },
    /// There is no lamp.
    #[error("no lamp button to plan with; add at least one")]
    NoLamp,
    /// The pigment is to hide and cannot.
    #[error(
        "a clear resin or a dye alone never hides the metal; choose an opaque pigment, or ask for no hiding"
    )]
    CannotHide,
    /// The loads to choose from are too many, or have no step.
    #[error("too many loads to choose from; give a larger step of load, or a smaller range")]
    Loads,
    /// The margin asked for is nothing.
    #[error("a margin of 0 asks for nothing; ask for at least 1")]
    Margin,
    /// The mould's opening has no width.
    #[error("the mould's opening has no width; give half its narrowest width")]
    Well,
    /// The kept layers are too many, or off the grid.
    #[error(
        "at most three colour layers can be kept as they are, each above 0 mm, within what the resin can take and on the steps of its load"
    )]
    Pinned,
    /// A swirl that leaves next to nothing somewhere.
    #[error("at its thinnest patch a swirled layer is judged at a tenth of its thickness or more")]
    Thinnest,
    /// So many presses nobody counts.
    #[error("a layer gets one to nine presses of a button")]
    Presses,
    /// A wish that outweighs the time.
    #[error("a tenth of a millimetre off the liked thickness may count for at most 60 s")]
    Smooth,
    /// Nothing is left to lay.
    #[error("the mould is full or its back is laid; there is nothing left to plan")]
    Full,
    /// The bench times cannot be planned with.
    #[error(
        "times for laying, settling and cooling must be whole seconds, and a plan shorter than twelve days"
    )]
    Handling,
    /// The figures are sound, but nothing keeps every limit.
    #[error(transparent)]
    Stuck(#[from] Stuck),
}

/// The best plan for a stone.
///
/// # Errors
/// Says which figure cannot be planned with, or, where nothing fits, what binds and what would free it.
pub fn plan(problem: &Problem) -> Result<Plan, PlanError> {
    problem.check()?;
    let table = table::Table::new(problem);
    best(problem, &table).ok_or_else(|| stuck::diagnose(problem, &table).into())
}

fn best(problem: &Problem, table: &table::Table) -> Option<Plan> {
    let found = search::search(problem, table)?;
    Plan::from_found(problem, table, &found)
}
