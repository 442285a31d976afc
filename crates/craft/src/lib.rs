//! The trade's numbers and rules, true without a computer: geometry, cure, planning, custody, fit, money.
//!
//! Craft **never** touches a file, a clock, a thread, a random number or a window. Time comes in as a value;
//! everything else is a pure function or a fold over facts.

pub mod check;
pub mod client;
pub mod compare;
pub mod cure;
pub mod density;
pub mod digest;
pub mod fact;
pub mod fit;
pub mod geometry;
pub mod id;
pub mod ledger;
pub mod log;
pub mod metal;
pub mod moment;
pub mod money;
pub mod order;
pub mod place;
pub mod planner;
pub mod policies;
pub mod reading;
pub mod refusal;
pub mod ring;
pub mod shelf;
pub mod stage;
pub mod studio;
pub mod tag;
#[cfg(any(test, feature = "testing"))]
#[doc(hidden)]
pub mod testing;
pub mod text;
pub mod units;
pub mod wait;
