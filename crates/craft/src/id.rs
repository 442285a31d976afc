//! Names of documents and of things, all our own making: never a client's words.

use std::fmt;
use std::str::FromStr;

use serde::{Deserialize, Serialize};

use crate::tag::Tag;
use crate::written::written_as_text;

/// Why a text is not an id.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum IdError {
    /// Not a plain short name.
    #[error(
        "\"{0}\" is not a name for a file; use 1 to 40 lower-case letters, digits and dashes, starting with a letter"
    )]
    Slug(String),
    /// Not a thing of an order.
    #[error("\"{0}\" is not a thing of an order; write a letter and a number, such as E2 for envelope 2")]
    Thing(String),
}

/// Names that some systems keep for devices, so that no file can have them: CON, PRN, AUX, NUL, COM1-9, LPT1-9.
fn is_reserved(text: &str) -> bool {
    let port = text.strip_prefix("com").or_else(|| text.strip_prefix("lpt"));
    matches!(text, "con" | "prn" | "aux" | "nul")
        || port.is_some_and(|no| matches!(no.as_bytes(), [b'1'..=b'9']))
}

macro_rules! slug {
    ($(#[$doc:meta])* $name:ident) => {
        $(#[$doc])*
        #[derive(Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub struct $name(String);

        impl $name {
            /// The text of the id.
            pub fn as_str(&self) -> &str {
                &self.0
            }
        }

        impl FromStr for $name {
            type Err = IdError;

            fn from_str(text: &str) -> Result<Self, IdError> {
                let plain = !is_reserved(text)
                    && text.len() <= 40
                    && text.starts_with(|c: char| c.is_ascii_lowercase())
                    && text.bytes().all(|b| b.is_ascii_lowercase() || b.is_ascii_digit() || b == b'-');
                if plain { Ok(Self(text.to_owned())) } else { Err(IdError::Slug(text.to_owned())) }
            }
        }

        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str(&self.0)
            }
        }

        impl fmt::Debug for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str(&self.0)
            }
        }

        written_as_text!($name);
    };
}

slug!(
    /// Names an item on the shelf: a bottle, a lamp, a mould, a setting.
    ShelfId
);
slug!(
    /// Names a client without saying who it is.
    ClientId
);
slug!(
    /// Names a studio, so that a file carried into another is noticed.
    StudioId
);

/// A calendar year of the invoice series.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(transparent)]
pub struct Year(pub u16);

/// Names one document, which is one file.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum DocId {
    /// The studio's own settings.
    Policies,
    /// One item on the shelf.
    Shelf(ShelfId),
    /// One client.
    Client(ClientId),
    /// One order.
    Order(Tag),
    /// One year of issued invoices.
    Invoices(Year),
}

/// What kind of thing something entrusted, or made from it, is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum ThingKind {
    /// The client's own wrapping of a lot.
    Wrapping,
    /// An envelope or pot of the studio's, holding part of a lot.
    Envelope,
    /// A stone.
    Stone,
    /// A bag of offcuts.
    Offcuts,
    /// Something that came along: a letter, a collar, a photograph.
    Keepsake,
    /// The finished piece of jewellery.
    Piece,
}

impl ThingKind {
    const LETTERS: [(char, ThingKind); 6] = [
        ('W', ThingKind::Wrapping),
        ('E', ThingKind::Envelope),
        ('S', ThingKind::Stone),
        ('B', ThingKind::Offcuts),
        ('K', ThingKind::Keepsake),
        ('P', ThingKind::Piece),
    ];

    /// The letter it is labelled with.
    pub const fn letter(self) -> char {
        match self {
            ThingKind::Wrapping => 'W',
            ThingKind::Envelope => 'E',
            ThingKind::Stone => 'S',
            ThingKind::Offcuts => 'B',
            ThingKind::Keepsake => 'K',
            ThingKind::Piece => 'P',
        }
    }
}

/// A thing of one order, labelled by a letter and a number: `E2` is its second envelope.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Thing {
    /// What it is.
    pub kind: ThingKind,
    /// Which one, from 1.
    pub no: u8,
}

impl Thing {
    /// The client's wrapping of lot `no`.
    pub const fn wrapping(no: u8) -> Self {
        Self { kind: ThingKind::Wrapping, no }
    }

    /// Envelope `no`.
    pub const fn envelope(no: u8) -> Self {
        Self { kind: ThingKind::Envelope, no }
    }

    /// Stone `no`.
    pub const fn stone(no: u8) -> Self {
        Self { kind: ThingKind::Stone, no }
    }

    /// The number of practice stone `count`, from 1.
    pub const fn practice(count: u8) -> Self {
        Self { kind: ThingKind::Stone, no: BEFORE_PRACTICE.saturating_add(count) }
    }

    /// True of a practice stone, which is the maker's own and never the client's.
    pub const fn is_practice(self) -> bool {
        matches!(self.kind, ThingKind::Stone) && is_practice(self.no)
    }

    /// Offcut bag `no`.
    pub const fn offcuts(no: u8) -> Self {
        Self { kind: ThingKind::Offcuts, no }
    }

    /// Keepsake `no`.
    pub const fn keepsake(no: u8) -> Self {
        Self { kind: ThingKind::Keepsake, no }
    }

    /// Finished piece `no`.
    pub const fn piece(no: u8) -> Self {
        Self { kind: ThingKind::Piece, no }
    }
}

/// Stones with a higher number than this are practice stones. The number is in every fact that names a stone, and is
/// sealed with it: so no file can say of a practice stone now this and now that, and none can become a client's.
const BEFORE_PRACTICE: u8 = 200;

/// True of the number of a practice stone: poured without anything entrusted, to try a plan first.
pub const fn is_practice(no: u8) -> bool {
    no > BEFORE_PRACTICE
}

/// A stone by its number, as it is spoken of: `stone 2`, `practice stone 1`.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct StoneName(pub u8);

impl fmt::Display for StoneName {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.0.checked_sub(BEFORE_PRACTICE) {
            Some(count) if is_practice(self.0) => write!(f, "practice stone {count}"),
            _ => write!(f, "stone {}", self.0),
        }
    }
}

impl fmt::Display for Thing {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}{}", self.kind.letter(), self.no)
    }
}

impl fmt::Debug for Thing {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(self, f)
    }
}

impl FromStr for Thing {
    type Err = IdError;

    fn from_str(text: &str) -> Result<Self, IdError> {
        let wrong = || IdError::Thing(text.to_owned());
        let mut characters = text.chars();
        let letter = characters.next().ok_or_else(wrong)?;
        let kind = ThingKind::LETTERS.iter().find(|(known, _)| *known == letter).ok_or_else(wrong)?.1;
        let digits = characters.as_str();
        let no: u8 = digits.parse().ok().filter(|&no| no > 0).ok_or_else(wrong)?;
        let thing = Thing { kind, no };
        if thing.to_string() == text { Ok(thing) } else { Err(wrong()) }
    }
}

written_as_text!(Thing);

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_thing_is_read_only_as_it_is_written() {
        assert_eq!("E2".parse(), Ok(Thing::envelope(2)));
        for wrong in ["", "E", "E0", "E02", "e2", "Q1", "E256", "E+2"] {
            assert!(wrong.parse::<Thing>().is_err(), "{wrong}");
        }
        for (letter, kind) in ThingKind::LETTERS {
            assert_eq!(kind.letter(), letter);
        }
    }

    #[test]
    fn the_number_of_a_stone_says_whether_it_is_for_practice() {
        assert_eq!(StoneName(2).to_string(), "stone 2");
        assert_eq!(StoneName(Thing::practice(1).no).to_string(), "practice stone 1");
        assert_eq!(Thing::practice(1).to_string().parse(), Ok(Thing::practice(1)));
        let practice: Vec<u8> = (1..=u8::MAX).filter(|no| Thing::stone(*no).is_practice()).collect();
        assert_eq!(practice, (201..=255).collect::<Vec<u8>>());
        assert!(!Thing::envelope(201).is_practice(), "only stones are poured");
    }

    #[test]
    fn a_file_name_is_never_a_path() {
        for wrong in ["", "../x", "a/b", "Con", "con", "com1", "1a", "a b", ".a", "ä"] {
            assert!(wrong.parse::<ShelfId>().is_err(), "{wrong}");
        }
        assert_eq!("clear-casting".parse::<ShelfId>().unwrap().as_str(), "clear-casting");
    }
}
