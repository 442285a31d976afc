//! Facts between the maker and the client.

use std::fmt;

use serde::{Deserialize, Serialize};

use super::Listed;
use crate::digest::Digest;
use crate::id::Thing;

/// What passed between the maker and the client.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum ClientFact {
    /// The enquiry was answered.
    Answered,
    /// The sending kit was posted; the parcel's details are on the sheet.
    KitPosted,
    /// A message of the order's moments went out; its words are in the story.
    MessageSent {
        /// Which moment it was for.
        about: MessageKind,
    },
    /// A proof sheet went out.
    ProofSent {
        /// The stones on it.
        stones: Vec<u8>,
        /// The digest of the sheet as issued.
        sheet: Digest,
    },
    /// The client answered the proof.
    Chosen(Choice),
    /// The client called the order off: everything goes home as it is.
    CalledOff,
    /// The client wrote back after it came home.
    Thanked,
    /// The client said what is to become of a thing; the newest word counts.
    Instructed {
        /// Which thing.
        thing: Thing,
        /// What is to become of it.
        wish: Wish,
    },
}

/// What the client wants done with a thing.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum Wish {
    /// It comes home.
    Return,
    /// The studio holds it.
    Hold,
    /// It is destroyed.
    Destroy,
}

impl Wish {
    /// All of them.
    pub const ALL: [Wish; 3] = [Wish::Return, Wish::Hold, Wish::Destroy];
}

impl fmt::Display for Wish {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Wish::Return => "return",
            Wish::Hold => "hold",
            Wish::Destroy => "destroy",
        })
    }
}

/// The client's answer to a proof.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Choice {
    /// This stone.
    Stone(u8),
    /// None of these: a second round is made.
    NoneOfThese,
}

/// The moments at which a client hears from the studio.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub enum MessageKind {
    /// The sending kit is on its way.
    KitPosted,
    /// The material arrived safely.
    ArrivedSafely,
    /// Here is the proof.
    Proof,
    /// A gentle reminder.
    Nudge,
    /// The piece is finished.
    Finished,
    /// It is in the post.
    Posted,
    /// Thank you.
    ThankYou,
}

impl MessageKind {
    /// All of them, in the order they come.
    pub const ALL: [MessageKind; 7] = [
        MessageKind::KitPosted,
        MessageKind::ArrivedSafely,
        MessageKind::Proof,
        MessageKind::Nudge,
        MessageKind::Finished,
        MessageKind::Posted,
        MessageKind::ThankYou,
    ];
}

impl fmt::Display for MessageKind {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            MessageKind::KitPosted => "kit-posted",
            MessageKind::ArrivedSafely => "arrived-safely",
            MessageKind::Proof => "proof",
            MessageKind::Nudge => "nudge",
            MessageKind::Finished => "finished",
            MessageKind::Posted => "posted",
            MessageKind::ThankYou => "thank-you",
        })
    }
}

impl fmt::Display for ClientFact {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            ClientFact::Answered => f.write_str("answered"),
            ClientFact::KitPosted => f.write_str("kit-posted"),
            ClientFact::MessageSent { about } => write!(f, "message-sent|{about}"),
            ClientFact::ProofSent { stones, sheet } => write!(f, "proof-sent|{}|{sheet}", Listed(stones)),
            ClientFact::Chosen(Choice::Stone(no)) => write!(f, "chosen|S{no}"),
            ClientFact::Chosen(Choice::NoneOfThese) => f.write_str("chosen|none"),
            ClientFact::CalledOff => f.write_str("called-off"),
            ClientFact::Thanked => f.write_str("thanked"),
            ClientFact::Instructed { thing, wish } => write!(f, "instructed|{thing}|{wish}"),
        }
    }
}
