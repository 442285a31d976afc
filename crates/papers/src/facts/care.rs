//! The care card's facts.

use serde::Serialize;

use super::Header;

/// The care card that goes home with the piece.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize)]
pub struct CareFacts {
    /// What stands at the head and the foot.
    pub header: Header,
    /// What the piece is made of, as the record shows it. May be empty.
    pub made_of: String,
    /// How to wear it, one short line each.
    pub wear: Vec<String>,
    /// How to clean it, one short line each.
    pub clean: Vec<String>,
    /// How to store it, one short line each.
    pub store: Vec<String>,
    /// The heat the maker's own resin bears, as a whole phrase, for example `Keep it below 45 °C, the
    /// figure its resin maker gives.` There is no default: published figures disagree widely.
    pub heat: Option<String>,
    /// A last line. May be empty.
    pub closing: String,
}

impl CareFacts {
    /// The usual care lines (common practice, no source), without header, heat figure or closing.
    pub fn usual() -> Self {
        let lines = |lines: &[&str]| lines.iter().map(|&line| line.to_owned()).collect();
        Self {
            wear: lines(&[
                "Put it on last and take it off first.",
                "Keep it from perfume, lotion, sanitiser, solvents and chlorine.",
                "Take it off to bathe, swim, cook or garden.",
                "Do not leave it in long sunlight or in a hot car.",
            ]),
            clean: lines(&[
                "Wipe it with a soft cloth, lukewarm water and a little mild soap. Dry it well.",
                "No ultrasonic bath, steam or silver dip.",
            ]),
            store: lines(&["Store it dark, dry and closed, away from things that scratch."]),
            ..Self::default()
        }
    }
}
