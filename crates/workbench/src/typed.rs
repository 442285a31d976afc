//! What people type, read into values: weights, shares, lengths, days, money, seconds and drops.
//!
//! Every reader takes the text as it stands in the field and gives a [`Typed`] value with an echo that says how it was
//! understood, or a sentence that says what would be right. A decimal comma is as good as a point, any kind of space
//! will do, large and small letters do not matter, and "about", "ca" or "roughly" mean that it was judged by eye.
//!
//! ```
//! use workbench::typed;
//!
//! assert_eq!(typed::length("10,2")?.echo, "10.2 mm (no unit was written)");
//! assert_eq!(typed::share("about a quarter")?.echo, "about a quarter");
//! assert!(typed::length("1,250 mm").unwrap_err().contains("two ways"));
//! # Ok::<(), String>(())
//! ```
//!
//! One mark between digits is a decimal mark, never one of thousands; where it could be either ("1,250 mg") the text
//! is refused and both ways of writing it are shown. Only grams and kilograms, which scales show with three decimals,
//! are read as they stand.

mod amounts;
mod days;
mod measure;
mod number;
mod plain;
mod prices;
mod shares;
mod spans;
#[cfg(test)]
mod tests;
mod warmth;

pub(crate) use number::whole;
pub(crate) use plain::quoted;

pub use amounts::{Amount, HowMuch, amount, how_much, length, length_reading, looks_with, two_lengths};
pub use days::{day, past_day};
pub use prices::money;
pub use shares::share;
pub use spans::{drops, seconds};
pub use warmth::temperature;

/// A value, and how it was understood.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Typed<T> {
    /// The value.
    pub value: T,
    /// How it was understood, in words: "31 mg, give or take 2 mg".
    pub echo: String,
}

impl<T> Typed<T> {
    /// The same words for another value.
    pub fn map<U>(self, change: impl FnOnce(T) -> U) -> Typed<U> {
        Typed { value: change(self.value), echo: self.echo }
    }
}
