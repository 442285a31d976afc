//! The trade's numbers and rules, true without a computer: geometry, cure, planning, custody, fit, money.
//!
//! Craft **never** touches a file, a clock, a thread, a random number or a window. Time comes in as a value;
//! everything else is a pure function or a fold over facts.

pub mod check;
pub mod compare;
pub mod id;
pub mod moment;
pub mod money;
pub mod reading;
pub mod tag;
pub mod units;
pub mod wait;
