//! The studio's own settings.

use serde::{Deserialize, Serialize};

use crate::compare::Scale;
use crate::id::StudioId;
use crate::money::Currency;
use crate::planner::Handling;
use crate::text::{Line, Text};
use crate::units::Share;

/// The paper in the printer.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default, Serialize, Deserialize)]
pub enum PaperSize {
    /// ISO 216 A4.
    #[default]
    A4,
    /// US Letter.
    Letter,
}

/// The studio's own settings.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Policies {
    /// Names this studio, for good.
    pub studio: StudioId,
    /// What it is called on papers.
    pub name: Line,
    /// Its postal address.
    pub post: Text,
    /// How clients reach it.
    pub contact: Line,
    /// The share of each lot that is kept back unless agreed otherwise.
    pub keep_back: Share,
    /// A comparison whose doubt is above this share of the whole cannot tell anything.
    pub tell_limit: Share,
    /// The scale on the bench, if there is one.
    pub scale: Option<Scale>,
    /// The drawers, tins and safes where things are kept; number 1 is the first. Names change, numbers stay.
    pub places: Vec<Line>,
    /// What prices are in.
    pub currency: Currency,
    /// Days after a proof before a gentle reminder is due.
    pub nudge_days: u16,
    /// The paper in the printer.
    pub paper: PaperSize,
    /// Time on the bench around the lamp.
    pub handling: Handling,
    /// What the maker says on the care card about heat, from the resin's own data; empty prints nothing.
    pub heat_words: Line,
}

impl Policies {
    /// The settings a new studio starts with.
    pub fn new(studio: StudioId, name: Line, currency: Currency) -> Self {
        Self {
            studio,
            name,
            post: Text::default(),
            contact: Line::default(),
            keep_back: Share::of(1, 3),
            tell_limit: Share::of(5, 100),
            scale: None,
            places: Vec::new(),
            currency,
            nudge_days: 7,
            paper: PaperSize::A4,
            handling: Handling::TYPICAL,
            heat_words: Line::default(),
        }
    }
}
