//! What each paper says, as plain values.
//!
//! Everything a person reads is a finished phrase: this crate formats no money, no date and no
//! weight. Numbers appear only where something is drawn to scale. The field names are the ones a
//! user's own template reads from `/data.json`, so renaming one is a breaking change; they are
//! listed in `templates/README.md`.

mod care;
mod custody;
mod kit;
mod packing;
mod proof;
mod receipt;

pub use care::CareFacts;
pub use custody::{CustodyEntry, CustodyFacts, CustodyLot, CustodyPile, Hatch};
pub use kit::{KitFacts, KitGuide};
pub use packing::{NotInBox, PackedThing, PackingFacts};
pub(crate) use proof::LARGEST_OUTLINE_MM;
pub use proof::{Outline, ProofFacts, ProofStone};
pub use receipt::{ReceiptFacts, ReceivedThing};

use serde::Serialize;

/// One paper, ready to be set.
///
/// Serialised with a `kind` field beside the paper's own fields.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(tag = "kind", rename_all = "snake_case")]
pub enum Paper {
    /// The proof sheet: which stone shall it be?
    Proof(ProofFacts),
    /// The intake receipt: what arrived and where it is kept.
    Receipt(ReceiptFacts),
    /// The sending sheet that goes out with a kit.
    Kit(KitFacts),
    /// The packing and return list that goes home in the box.
    Packing(PackingFacts),
    /// The care card.
    Care(CareFacts),
    /// The custody sheet.
    Custody(CustodyFacts),
}

impl Paper {
    /// Which paper this is.
    pub fn kind(&self) -> Kind {
        match self {
            Self::Proof(_) => Kind::Proof,
            Self::Receipt(_) => Kind::Receipt,
            Self::Kit(_) => Kind::Kit,
            Self::Packing(_) => Kind::Packing,
            Self::Care(_) => Kind::Care,
            Self::Custody(_) => Kind::Custody,
        }
    }

    /// What every paper bears at its head.
    pub fn header(&self) -> &Header {
        match self {
            Self::Proof(facts) => &facts.header,
            Self::Receipt(facts) => &facts.header,
            Self::Kit(facts) => &facts.header,
            Self::Packing(facts) => &facts.header,
            Self::Care(facts) => &facts.header,
            Self::Custody(facts) => &facts.header,
        }
    }

    /// Every photo this paper asks for, in reading order.
    pub fn photos(&self) -> Vec<&Photo> {
        match self {
            Self::Proof(facts) => facts.stones.iter().filter_map(|stone| stone.photo.as_ref()).collect(),
            Self::Receipt(facts) => facts.photo.iter().collect(),
            Self::Packing(facts) => facts.photo.iter().collect(),
            Self::Kit(_) | Self::Care(_) | Self::Custody(_) => Vec::new(),
        }
    }
}

/// The kinds of paper, one template each.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Kind {
    /// The proof sheet.
    Proof,
    /// The intake receipt.
    Receipt,
    /// The sending sheet for a kit.
    Kit,
    /// The packing and return list.
    Packing,
    /// The care card.
    Care,
    /// The custody sheet.
    Custody,
}

impl Kind {
    /// Every kind, in the order of an order's life.
    pub const ALL: [Self; 6] =
        [Self::Kit, Self::Receipt, Self::Proof, Self::Packing, Self::Care, Self::Custody];

    /// The kind as a file stem and as the `kind` field of the data: `proof`, `receipt`, `kit`,
    /// `packing`, `care` or `custody`.
    pub fn name(self) -> &'static str {
        match self {
            Self::Proof => "proof",
            Self::Receipt => "receipt",
            Self::Kit => "kit",
            Self::Packing => "packing",
            Self::Care => "care",
            Self::Custody => "custody",
        }
    }
}

/// What stands at the head and the foot of a paper.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize)]
pub struct Header {
    /// Who the paper comes from.
    pub studio: Studio,
    /// The order's tag as it is spoken and written, for example `7K2-M4P`. It is also what the QR
    /// holds, and all it holds. Up to 20 characters; empty leaves the QR out.
    pub tag: String,
    /// The one remembered, spelled as the client spells it. Empty lets the paper's own title stand
    /// in its place.
    pub remembered: String,
    /// What was sent and whose it is, for example `chestnut mare, tail hair`. May be empty.
    pub about: String,
    /// Who the work is for, for example `for Ida Lund`. May be empty.
    pub client: String,
    /// The date on the paper, written out, for example `12 December 2026`. May be empty.
    pub date: String,
}

/// The maker as the client knows them.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize)]
pub struct Studio {
    /// The name the studio trades under.
    pub name: String,
    /// How to reach the studio, one line each: a mail address, a number, a page. May be empty.
    pub contact: Vec<String>,
}

/// A photo on a paper.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize)]
pub struct Photo {
    /// The name the JPEG bytes are filed under in [`Assets`](crate::document::Assets).
    pub name: String,
    /// What the photo shows, for someone who cannot see it. Must not be empty.
    pub alt: String,
}
