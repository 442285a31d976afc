//! What happened to an order, one fact at a time. No words of a person are in a fact, only things, shares and
//! readings, so that a client can be forgotten without breaking the record.

mod client;
mod custody;
mod fit;
mod home;
mod pour;

use std::fmt;

use serde::{Deserialize, Serialize};

use crate::digest::Digest;

pub use client::{Choice, ClientFact, MessageKind, Wish};
pub use custody::{Check, CustodyFact, Drying, Holder, How, Material, Seal};
pub use fit::{Dimension, Feel, FitFact, FitWork};
pub use home::{HomeFact, LeftOut, PaperKind};
pub use pour::{Amount, Hardness, LayerKind, PourFact, Press};

/// One thing that happened.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum Fact {
    /// Between the maker and the client.
    Client(ClientFact),
    /// To what was entrusted.
    Custody(CustodyFact),
    /// At the mould and the lamp.
    Pour(PourFact),
    /// At the setting.
    Fit(FitFact),
    /// At the packing table and after.
    Home(HomeFact),
    /// An earlier entry was a mistake; it is kept, and no longer counts.
    Struck {
        /// The number of the entry.
        entry: u32,
        /// What kind of mistake.
        why: Mistake,
    },
}

/// Why an entry was struck; the words about it are in the story.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Mistake {
    /// It did not happen.
    DidNotHappen,
    /// The wrong thing, stone or layer was named.
    WrongThing,
    /// A number was wrong.
    WrongNumber,
}

impl fmt::Display for Mistake {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Mistake::DidNotHappen => "did-not-happen",
            Mistake::WrongThing => "wrong-thing",
            Mistake::WrongNumber => "wrong-number",
        })
    }
}

impl Fact {
    /// The photo that it names.
    pub const fn photo(&self) -> Option<Digest> {
        match self {
            Fact::Custody(CustodyFact::Received { photo, .. } | CustodyFact::CameAlong { photo, .. }) => {
                *photo
            }
            Fact::Home(HomeFact::BoxPhotographed { photo }) => Some(*photo),
            _ => None,
        }
    }
}

impl fmt::Display for Fact {
    /// The fixed text that the log's digests cover. Changing a letter of it breaks every record ever made:
    /// the golden lines in `log` hold it.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Fact::Client(fact) => fact.fmt(f),
            Fact::Custody(fact) => fact.fmt(f),
            Fact::Pour(fact) => fact.fmt(f),
            Fact::Fit(fact) => fact.fmt(f),
            Fact::Home(fact) => fact.fmt(f),
            Fact::Struck { entry, why } => write!(f, "struck|{entry}|{why}"),
        }
    }
}

macro_rules! into_fact {
    ($($group:ident($inner:ident)),*) => {
        $(impl From<$inner> for Fact {
            fn from(fact: $inner) -> Fact {
                Fact::$group(fact)
            }
        })*
    };
}
into_fact!(Client(ClientFact), Custody(CustodyFact), Pour(PourFact), Fit(FitFact), Home(HomeFact));

/// `a` or a dash.
struct Or<'a, T>(&'a Option<T>);

impl<T: fmt::Display> fmt::Display for Or<'_, T> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.0 {
            Some(value) => value.fmt(f),
            None => f.write_str("-"),
        }
    }
}

/// Several, separated by commas.
struct Listed<'a, T>(&'a [T]);

impl<T: fmt::Display> fmt::Display for Listed<'_, T> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (place, value) in self.0.iter().enumerate() {
            if place > 0 {
                f.write_str(",")?;
            }
            value.fmt(f)?;
        }
        Ok(())
    }
}
