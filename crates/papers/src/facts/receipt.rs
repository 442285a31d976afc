//! The intake receipt's facts.

use serde::Serialize;

use super::{Header, Photo};

/// The intake receipt: what arrived, how much, where each thing is, what was put away.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize)]
pub struct ReceiptFacts {
    /// What stands at the head and the foot.
    pub header: Header,
    /// When and how it came, for example `It arrived safely on 9 November, by tracked post.` May be
    /// empty.
    pub arrived: String,
    /// Each thing that came or was made from what came.
    pub things: Vec<ReceivedThing>,
    /// What was put away first and when it may be opened. May be empty.
    pub keep_back: String,
    /// Whose property it is, as a whole sentence. [`ReceiptFacts::YOURS`] is the usual one.
    pub property: String,
    /// What happens next. May be empty.
    pub next: String,
    /// The record seal in short form, for example `a41f 09c2 77de`. Empty leaves the block out.
    pub record_seal: String,
    /// A photo of what arrived.
    pub photo: Option<Photo>,
}

impl ReceiptFacts {
    /// The usual sentence on whose property the material is.
    pub const YOURS: &'static str = "What you sent stays yours, all of it: what goes into the stones, what is kept back and \
         what is left over. Nothing is thrown away, and what is not used comes home to you.";
}

/// One thing on the receipt.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize)]
pub struct ReceivedThing {
    /// The label written on it, for example `K1`.
    pub label: String,
    /// What it is, for example `Lock of tail hair, tied with a blue ribbon`.
    pub what: String,
    /// How much, weighed or by eye, for example `482 mg, ± 2 mg` or `a finger's width, by eye`.
    pub amount: String,
    /// Its seal, for example `sealed 9 November`. May be empty.
    pub seal: String,
    /// Where it is kept, for example `drawer 3`.
    pub place: String,
}
