//! The packing and return list's facts.

use serde::Serialize;

use super::{Header, Photo};

/// The packing and return list: every thing of the client's, ticked into the box or named.
///
/// The template always sets spares and leftovers first and never leaves out what is not in the
/// box. Where an order goes home in several boxes, each has a list of its own.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize)]
pub struct PackingFacts {
    /// What stands at the head and the foot.
    pub header: Header,
    /// A sentence before the list, for example `Everything of Bramble's that came to the studio goes
    /// home in this box.` May be empty.
    pub intro: String,
    /// What comes home besides the piece: spare stones, the keep-back, what was left over, offcuts,
    /// the client's own wrapping.
    pub spares_and_leftovers: Vec<PackedThing>,
    /// The finished piece, papers and extras.
    pub rest: Vec<PackedThing>,
    /// What went home in an earlier box, each with its day.
    pub went_before: Vec<NotInBox>,
    /// What stays in the studio for now, where only a part goes home in this box, and where it lies.
    pub stays: Vec<NotInBox>,
    /// What is lost or left out, each with the reason. Empty says nothing is.
    pub not_in_box: Vec<NotInBox>,
    /// How the count and the weighing came out, for example `all accounted for`, or `8 mg short,
    /// within what your scale can tell`, or `can't be told by this scale`.
    pub outcome: String,
    /// How that was worked out, in a sentence. May be empty.
    pub outcome_note: String,
    /// How it is sent, for example `Tracked and signed for, posted 12 December`. May be empty.
    pub sent: String,
    /// A photo of the open box.
    pub photo: Option<Photo>,
}

/// One thing on the packing list.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize)]
pub struct PackedThing {
    /// The label written on it, for example `S2`. May be empty.
    pub label: String,
    /// What it is.
    pub what: String,
    /// More about it, for example `sealed 9 November, never opened`. May be empty.
    pub detail: String,
    /// Where in the box it lies, for example `bag 2`.
    pub place: String,
    /// Whether it was ticked into the box. An unticked box is left open for a pen.
    pub ticked: bool,
}

/// One thing that is not in the box.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize)]
pub struct NotInBox {
    /// What it is.
    pub what: String,
    /// Why not, for example `lost: spilled on 11 November` or `left out: stays in the studio as you asked`.
    pub why: String,
}
