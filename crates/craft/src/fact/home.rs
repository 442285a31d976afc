//! Facts at the packing table and after.

use std::fmt;

use serde::{Deserialize, Serialize};

use super::Check;
use crate::digest::Digest;
use crate::id::Thing;
use crate::place::Place;

/// Papers that go with an order.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum PaperKind {
    /// The proof sheet.
    Proof,
    /// The intake receipt.
    Receipt,
    /// The sheet that goes out with the sending kit.
    Kit,
    /// The packing and return list.
    Packing,
    /// The care card.
    Care,
    /// The custody sheet: what became of each lot, and the record seal.
    Custody,
}

impl PaperKind {
    /// All of them, in the order they come.
    pub const ALL: [PaperKind; 6] = [
        PaperKind::Kit,
        PaperKind::Receipt,
        PaperKind::Proof,
        PaperKind::Packing,
        PaperKind::Care,
        PaperKind::Custody,
    ];
}

impl fmt::Display for PaperKind {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            PaperKind::Proof => "proof",
            PaperKind::Receipt => "receipt",
            PaperKind::Kit => "kit",
            PaperKind::Packing => "packing",
            PaperKind::Care => "care",
            PaperKind::Custody => "custody",
        })
    }
}

/// Why a thing is not in the box; only the client can say so.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub enum LeftOut {
    /// The client asked the studio to hold it.
    HeldForClient,
    /// The client asked for it to be destroyed.
    DestroyedOnRequest,
    /// It went home by another way.
    ReturnedBefore,
}

impl fmt::Display for LeftOut {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            LeftOut::HeldForClient => "held-for-client",
            LeftOut::DestroyedOnRequest => "destroyed-on-request",
            LeftOut::ReturnedBefore => "returned-before",
        })
    }
}

/// What happened at the packing table and after.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum HomeFact {
    /// A thing went into the box, after its tag was compared.
    Ticked {
        /// Which.
        thing: Thing,
        /// The tag that was read off it.
        check: Check,
    },
    /// A thing came out of the box again.
    Unticked {
        /// Which.
        thing: Thing,
    },
    /// A thing stays out of the box, on the client's word.
    LeftOut {
        /// Which.
        thing: Thing,
        /// Why.
        why: LeftOut,
    },
    /// The packed box was photographed.
    BoxPhotographed {
        /// The photo.
        photo: Digest,
    },
    /// The packed box was looked through by eye: there is no camera at hand.
    NotPhotographed,
    /// A paper was issued.
    PaperIssued {
        /// Which.
        paper: PaperKind,
        /// The digest of the file.
        file: Digest,
    },
    /// The parcel left; its details are on the sheet.
    Sent,
    /// What is in the box left in a parcel of its own, and the work on the rest goes on.
    SentPart,
    /// The client has it.
    Arrived,
    /// A thing that had left is back in the studio.
    CameBack {
        /// Which.
        thing: Thing,
        /// Where it was put.
        place: Place,
    },
    /// A fault was reported.
    Fault {
        /// Of this thing.
        thing: Thing,
    },
}

impl fmt::Display for HomeFact {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Ticked { thing, check } => write!(f, "ticked|{thing}|{check}"),
            Self::Unticked { thing } => write!(f, "unticked|{thing}"),
            Self::LeftOut { thing, why } => write!(f, "left-out|{thing}|{why}"),
            Self::BoxPhotographed { photo } => write!(f, "box-photographed|{photo}"),
            Self::NotPhotographed => f.write_str("not-photographed"),
            Self::PaperIssued { paper, file } => write!(f, "paper-issued|{paper}|{file}"),
            Self::Sent => f.write_str("sent"),
            Self::SentPart => f.write_str("sent-part"),
            Self::Arrived => f.write_str("arrived"),
            Self::CameBack { thing, place } => write!(f, "came-back|{thing}|{place}"),
            Self::Fault { thing } => write!(f, "fault|{thing}"),
        }
    }
}
