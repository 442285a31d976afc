//! The studio's own settings.

use serde::{Deserialize, Serialize};

use crate::compare::Scale;
use crate::id::StudioId;
use crate::money::Currency;
use crate::planner::Handling;
use crate::text::{Line, Text};
use crate::units::{Mass, Share, Span};

/// The paper in the printer.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default, Serialize, Deserialize)]
pub enum PaperSize {
    /// ISO 216 A4.
    #[default]
    A4,
    /// US Letter.
    Letter,
}

/// True for a share that can be agreed as a keep-back: between a hundredth and nine tenths of a lot (common practice, no
/// source).
pub fn keep_back_is_sound(share: Share) -> bool {
    (Share::of(1, 100)..=Share::of(9, 10)).contains(&share)
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
    /// The drawers, tins and safes where things are kept; number 1 is the first. Names change, numbers stay;
    /// one without a name is not in use.
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
    /// Before another client's packet is opened, the bench is ticked as clear. Files from before this was asked have
    /// no such field, and are not asked until it is switched on.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub bench_clear: bool,
    /// How many years after the year it was issued in an invoice is kept with its names, as the law of the place wants it;
    /// none where nobody has looked that up, and then it is kept.
    #[serde(default)]
    pub money_years: Option<u8>,
}

impl Policies {
    /// A place by its number from 1; one without a name is not in use.
    pub fn place(&self, no: u16) -> Option<&Line> {
        usize::from(no).checked_sub(1).and_then(|at| self.places.get(at))
    }

    /// Checks what a careful maker would check, whatever the settings were before.
    ///
    /// # Errors
    /// What is wrong, in words.
    pub fn check(&self) -> Result<(), &'static str> {
        if self.name.is_empty() {
            return Err("write the studio's name; it stands on every paper");
        }
        if !keep_back_is_sound(self.keep_back) {
            return Err("a keep-back is between a hundredth and nine tenths of a lot");
        }
        if !(Share::of(1, 1000)..=Share::of(1, 2)).contains(&self.tell_limit) {
            return Err("the limit for telling is between a thousandth and a half");
        }
        let spans = [self.handling.lay, self.handling.settle, self.handling.cool];
        if spans.iter().any(|span| *span < Span::ZERO || span.micro() % 1_000_000 != 0) {
            return Err("times on the bench are whole seconds, and not below nothing");
        }
        let unsound = |scale: Scale| !scale.readability.is_positive() || scale.repeatability < Mass::ZERO;
        if self.scale.is_some_and(unsound) {
            return Err("the last digit of a scale is a weight above nothing; read it off the scale");
        }
        Ok(())
    }

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
            bench_clear: true,
            money_years: None,
        }
    }
}
