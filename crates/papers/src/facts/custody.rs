//! The custody sheet's facts.

use serde::Serialize;

use super::Header;

/// The custody sheet: what became of each lot, entry by entry, how it is shared out now, and the record seal.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize)]
pub struct CustodyFacts {
    /// What stands at the head and the foot.
    pub header: Header,
    /// A sentence before the lots. May be empty.
    pub intro: String,
    /// Each lot, in the order they came.
    pub lots: Vec<CustodyLot>,
    /// What went home, a sentence for each parcel that left, the first first.
    pub parcels: Vec<String>,
    /// What the weighings say, where anything was weighed again. May be empty.
    pub weighed: String,
    /// How the offcuts stand, a sentence for each bag.
    pub offcuts: Vec<String>,
    /// The record seal in full, in groups of four digits. Empty leaves the block out.
    pub record_seal: String,
    /// What the seal covers, as a whole sentence.
    pub seal_words: String,
}

/// One lot on the custody sheet.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize)]
pub struct CustodyLot {
    /// What it is called, for example `The hair`.
    pub name: String,
    /// Its piles as they lie now.
    pub piles: Vec<CustodyPile>,
    /// What happened to it, the first first.
    pub told: Vec<CustodyEntry>,
    /// What drying and damp air say about its weighings. May be empty.
    pub moisture: String,
}

/// One pile of a lot: who holds how much of it.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize)]
pub struct CustodyPile {
    /// The label on it, with the order's tag, for example `7K2-M4P E1`. Empty for what was left on the tools.
    pub label: String,
    /// Who holds it, for example `envelope 1, the keep-back`.
    pub who: String,
    /// How much, for example `a third`.
    pub amount: String,
    /// The same for drawing, in millionths of the lot. The piles of a lot are the whole of it.
    pub millionths: u32,
    /// How it is hatched.
    pub hatch: Hatch,
    /// What it weighs by the book. May be empty.
    pub by_book: String,
    /// What a scale or the eye said of it. May be empty.
    pub weighed: String,
    /// Where it lies, for example `drawer 3`. May be empty.
    pub place: String,
}

/// How a pile is drawn, so that it is told from the others without its colour.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Hatch {
    /// The client's own wrapping: crossed lines.
    #[default]
    Wrapping,
    /// A sealed keep-back: close lines that rise.
    KeepBack,
    /// Any other envelope: wide lines that fall.
    Envelope,
    /// Stones and pieces: dots.
    Stone,
    /// A bag of offcuts: short strokes.
    Offcuts,
    /// What was left on the tools: nothing but a broken edge.
    Tools,
}

/// One entry of the record.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize)]
pub struct CustodyEntry {
    /// Its number in the record, for example `7`.
    pub entry: String,
    /// The day, for example `25 November`.
    pub day: String,
    /// The time by the clock, for example `14:05`. Empty where only the day is known.
    pub time: String,
    /// What happened, as a whole sentence.
    pub words: String,
    /// Why it no longer counts, for example `Struck on 25 November at 14:05, because a number was wrong.` Empty where it
    /// does.
    pub struck: String,
}
