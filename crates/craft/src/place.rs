//! Where things are.

use std::fmt;
use std::str::FromStr;

use serde::{Deserialize, Serialize};

use crate::id::ShelfId;
use crate::written::written_as_text;

/// A cavity of a mould as it is marked on the tray: `B2`.
#[derive(Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Cell(String);

impl Cell {
    /// The mark.
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl FromStr for Cell {
    type Err = String;

    /// Reads 1 to 4 capital letters and digits.
    fn from_str(text: &str) -> Result<Self, String> {
        let plain = (1..=4).contains(&text.len())
            && text.bytes().all(|b| b.is_ascii_uppercase() || b.is_ascii_digit());
        if plain {
            Ok(Self(text.to_owned()))
        } else {
            Err(format!(
                "\"{text}\" is not a cavity of a tray; use up to four capital letters and digits, such as B2"
            ))
        }
    }
}

impl fmt::Display for Cell {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

impl fmt::Debug for Cell {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

written_as_text!(Cell);

/// Where a thing is.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum Place {
    /// In a drawer, tin or safe of the studio's list, numbered from 1; its name is in the studio's settings.
    Kept(u16),
    /// On the bench.
    Bench,
    /// In a cavity of a mould.
    Cavity {
        /// The mould.
        mould: ShelfId,
        /// Which cavity of its tray.
        cell: Cell,
    },
    /// In the box that goes home.
    Box,
    /// Out of the house with someone who works on it: setter, engraver, assay office.
    Away,
    /// On its way home.
    Post,
    /// With the client.
    Home,
}

impl fmt::Display for Place {
    /// The fixed text of the log.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Place::Kept(no) => write!(f, "kept {no}"),
            Place::Bench => f.write_str("bench"),
            Place::Cavity { mould, cell } => write!(f, "cavity {mould} {cell}"),
            Place::Box => f.write_str("box"),
            Place::Away => f.write_str("away"),
            Place::Post => f.write_str("post"),
            Place::Home => f.write_str("home"),
        }
    }
}
