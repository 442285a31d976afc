//! The proof of durable saving: every edit of the store, cut short at every point and failed at every operation.
//!
//! An [`edits::Edit`] is a whole session: open, load, change one thing. [`cuts`] takes the power away after each
//! operation and looks into every disk that may then be found; [`faults`] fails each operation in every way, once and
//! for ever; [`careless`] shows that both catch saves that only look durable.

mod careless;
mod cuts;
mod edits;
mod faults;
mod keeping;
mod reads;
