//! What was seen, as it is kept.

use chrono::NaiveDate;
use serde::{Deserialize, Serialize};

use super::LearningError;
use crate::fact::Hardness;
use crate::heat::HeatSeen;
use crate::id::ShelfId;
use crate::reading::Reading;
use crate::shelf::Body;
use crate::units::{Length, Load, Span, Temperature};

/// Something that was seen of one bottle under one lamp button. Kept for good; what it still says is worked out anew.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Observation {
    /// The day.
    pub on: NaiveDate,
    /// The lamp.
    pub lamp: ShelfId,
    /// Which of its buttons, from 1.
    pub button: u8,
    /// How long the lamp had been lit in all by then, where that is known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub lamp_lit: Option<Span>,
    /// What the mould, or the tray of the test, does with light.
    pub body: Body,
    /// The pigment in it; none where it was clear.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub pigment: Option<PigmentLoad>,
    /// What was seen.
    pub seen: Seen,
}

/// A pigment and how much of it was in the resin.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PigmentLoad {
    /// The pigment.
    pub item: ShelfId,
    /// How much of it.
    pub load: Load,
}

/// What was seen. Light is counted in seconds of full power at the surface of the layer: [`crate::cure::Button`]
/// gives those of a press, and the shade of a deep mould is taken off where the depth is known, as in a stone's record. A
/// habit is of no one depth, so its light is that at the rim: that what it set needed more than it did is the safe side.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum Seen {
    /// Steps of one test, all lit within one sitting.
    Wedge {
        /// The steps.
        points: Vec<WedgePoint>,
    },
    /// What the maker does anyway, and it comes out hard.
    Works {
        /// How thick.
        thickness: Length,
        /// The light.
        light: Span,
        /// How many times, about.
        times: u16,
    },
    /// How one layer came out, felt from above: of a hard or a tacky one that says no more than that its skin set, for tack
    /// is the air's doing; a soft one has not set through.
    Felt {
        /// How thick.
        thickness: Length,
        /// The light.
        light: Span,
        /// How it felt.
        hardness: Hardness,
    },
    /// How warm one layer got under one whole press of the button. It says nothing of how deep light sets.
    Warmed {
        /// How thick.
        thickness: Length,
        /// The room.
        room: Temperature,
        /// How warm.
        warmth: HeatSeen,
    },
}

/// One step of a wedge test.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct WedgePoint {
    /// The light.
    pub light: Span,
    /// How thick it set; 0 mm where nothing set at all.
    pub depth: Reading<Length>,
}

/// The most that a habit may count for. A thousand hard layers under one lamp on one bench say little more about
/// another day than twenty do.
pub(super) const MOST_TIMES: u16 = 20;

impl Observation {
    /// Checks what a careful maker would check.
    ///
    /// # Errors
    /// The first thing that is wrong.
    pub fn check(&self) -> Result<(), LearningError> {
        let layer = |thickness: Length, light: Span| match (thickness.is_positive(), light.is_positive()) {
            (false, _) => Err(LearningError::NoDepth),
            (_, false) => Err(LearningError::NoLight),
            _ => Ok(()),
        };
        match &self.seen {
            Seen::Works { thickness, light, .. } | Seen::Felt { thickness, light, .. } => {
                layer(*thickness, *light)
            }
            Seen::Warmed { thickness, .. } if !thickness.is_positive() => Err(LearningError::NoDepth),
            Seen::Warmed { room, warmth, .. } => Ok(warmth.check(*room)?),
            Seen::Wedge { points } => points.iter().try_for_each(|point| {
                if !point.light.is_positive() {
                    Err(LearningError::NoLight)
                } else if point.depth.value < Length::ZERO {
                    Err(LearningError::NoDepth)
                } else if !point.depth.doubt.is_positive() {
                    Err(LearningError::NoDoubt)
                } else {
                    Ok(())
                }
            }),
        }
    }

    /// Whether depths were measured, and not only an outcome felt.
    pub const fn is_wedge(&self) -> bool {
        matches!(self.seen, Seen::Wedge { .. })
    }

    /// Whether it is a test in which a step set.
    pub fn is_test(&self) -> bool {
        matches!(&self.seen, Seen::Wedge { points } if points.iter().any(|point| point.depth.value.is_positive()))
    }

    /// Whether it is a test in which no step set.
    pub(super) fn is_dead_test(&self) -> bool {
        self.is_wedge() && !self.is_test()
    }

    /// Whether it is of nothing but what did not set: a soft layer, or a test in which no step set.
    pub(super) fn is_unset(&self) -> bool {
        matches!(self.seen, Seen::Felt { hardness: Hardness::Soft, .. }) || self.is_dead_test()
    }

    /// Whether it says anything of how deep light sets; how warm a layer got does not.
    pub const fn is_of_depth(&self) -> bool {
        !matches!(self.seen, Seen::Warmed { .. })
    }

    pub(super) fn load(&self) -> Load {
        self.pigment.as_ref().map_or(Load::ZERO, |pigment| pigment.load)
    }
}

/// The bench that is asked about: which lamp button, in which mould, today.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Bench {
    /// Today.
    pub today: NaiveDate,
    /// The lamp.
    pub lamp: ShelfId,
    /// Which of its buttons, from 1.
    pub button: u8,
    /// What the mould does with light.
    pub body: Body,
    /// When the bottle was opened, where that is known.
    pub opened: Option<NaiveDate>,
    /// How long the lamp has been lit in all, where that is known.
    pub lamp_lit: Option<Span>,
}

/// The day, and the bottle, that something seen on another day is held against.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Now {
    /// Today.
    pub today: NaiveDate,
    /// When the bottle was opened, where that is known.
    pub opened: Option<NaiveDate>,
}

impl Now {
    /// Whether `on` was before this bottle was opened.
    pub fn is_of_earlier_bottle(self, on: NaiveDate) -> bool {
        self.opened.is_some_and(|opened| on < opened)
    }

    fn years_since(self, on: NaiveDate) -> f64 {
        (self.today - on).num_days().max(0) as f64 / 365.25
    }

    /// What bottle and lamp may have drifted by since `on`, as a standard uncertainty of the logarithm of the light, where
    /// nobody counted the lamp's hours.
    pub(super) fn drift(self, on: NaiveDate) -> f64 {
        self.bottle_drift(on).hypot(self.years_since(on) * LAMP_PER_YEAR)
    }

    fn bottle_drift(self, on: NaiveDate) -> f64 {
        let old = self.opened.is_some_and(|opened| (self.today - opened).num_days() > 365);
        self.years_since(on) * if old { OLD_BOTTLE_PER_YEAR } else { BOTTLE_PER_YEAR }
    }
}

/// What the light of one bottle may drift by in a year, as a standard uncertainty of its logarithm: resin thickens,
/// and loses some of what light starts (common practice, no source).
const BOTTLE_PER_YEAR: f64 = 0.15;
/// The same for a bottle opened more than a year ago.
const OLD_BOTTLE_PER_YEAR: f64 = 0.30;
/// What a lamp may lose while lit: to 70 % in 20,000 h is what its makers state for the diodes (L70, vendors' pages);
/// a small lamp gets warm, so a fifth of that is reckoned with (common practice, no source).
const LAMP_PER_HOUR: f64 = 0.356_674_943_938_732_4 / 4_000.0;
/// The least that is reckoned with in a year: records count the hours of orders, and a lamp is lit for tests and other work
/// besides, and gets dusty while it is not.
const LAMP_PER_YEAR: f64 = 0.05;
/// Another bottle of the same resin (common practice, no source).
const EARLIER_BOTTLE: f64 = 0.20;
/// Another button of the same lamp, which may flash or grow otherwise than is written on it.
const OTHER_BUTTON: f64 = 0.10;

impl Bench {
    /// Whether something was seen of a bottle that was in use before this one was opened.
    pub fn is_of_earlier_bottle(&self, seen: &Observation) -> bool {
        self.now().is_of_earlier_bottle(seen.on)
    }

    fn now(&self) -> Now {
        Now { today: self.today, opened: self.opened }
    }

    /// Whether an observation says anything here. A mould that lets light in gives more than an opaque one, so what set
    /// there is no proof for an opaque one, and only what did not set counts; the other way round all of it counts, on the
    /// safe side.
    pub(super) fn counts(&self, seen: &Observation) -> bool {
        let is_proof = seen.body == Body::Opaque || self.body == Body::LetsLightIn;
        self.doubt_of(seen).is_some() && (is_proof || seen.is_unset())
    }

    /// What an observation still says here: the doubt to be added to its light, or `None` where it says nothing.
    pub(super) fn doubt_of(&self, seen: &Observation) -> Option<f64> {
        if seen.lamp != self.lamp || seen.on > self.today || !seen.is_of_depth() {
            return None;
        }
        let drift = self.now().drift(seen.on);
        let burnt = match (self.lamp_lit, seen.lamp_lit) {
            (Some(now), Some(then)) => ((now.s() - then.s()) / 3_600.0).max(0.0) * LAMP_PER_HOUR,
            _ => 0.0,
        };
        // What the hours say beyond what is reckoned with anyway.
        let by_year = self.now().years_since(seen.on) * LAMP_PER_YEAR;
        let lamp = (burnt * burnt - by_year * by_year).max(0.0).sqrt();
        let button = if seen.button == self.button { 0.0 } else { OTHER_BUTTON };
        let earlier = if self.is_of_earlier_bottle(seen) { EARLIER_BOTTLE } else { 0.0 };
        Some(drift.hypot(lamp).hypot(button).hypot(earlier))
    }
}
