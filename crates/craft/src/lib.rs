//! The trade's numbers and rules, true without a computer: geometry, cure, planning, custody, fit, money.
//!
//! Craft **never** touches a file, a clock, a thread, a random number or a window. Time comes in as a value;
//! everything else is a pure function or a fold over facts.

pub mod cure;
pub mod planner;
pub mod reading;
pub mod units;
