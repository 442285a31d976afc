//! What one layer that was measured or felt says of a resin's heat.

use serde::{Deserialize, Serialize};

use super::{Band, Lit, Source, Sources, stack, warm};
use crate::cure::Factor;
use crate::units::Temperature;

/// Below and above this no acrylate resin releases, kJ/kg.
const POSSIBLE: (f64, f64) = (100.0, 300.0);
/// Standard uncertainty of the logarithm of a rise read from a thermometer within five seconds (from memory).
const READ: f64 = 0.15;
/// The band holds about nine in ten.
const NINE_IN_TEN: f64 = 1.645;

/// By how much the model itself may be out before a feel is held to be impossible.
const SLACK: f64 = 2.0;

/// How a layer felt to the finger as the lamp went out.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub enum Feel {
    /// Cool or barely warm: up to 40 °C.
    Cool,
    /// Warm: 40–55 °C.
    Warm,
    /// Too hot to hold: 55–90 °C.
    TooHotToHold,
    /// It smelled, smoked or warped the mould: above 90 °C.
    SmelledOrWarped,
}

impl Feel {
    /// Between which temperatures that is, °C. Skin hurts from about 45 °C on and lets go of plastics within a second
    /// or two at some 60 °C (ISO 13732-1, from memory); the bounds are rounded outward.
    pub fn between_c(self) -> (f64, f64) {
        match self {
            Feel::Cool => (f64::NEG_INFINITY, 40.0),
            Feel::Warm => (40.0, 55.0),
            Feel::TooHotToHold => (55.0, 90.0),
            Feel::SmelledOrWarped => (90.0, f64::INFINITY),
        }
    }
}

/// How warm a layer was as the lamp went out.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum HeatSeen {
    /// By the finger, the eye or the nose.
    Felt(Feel),
    /// A thermometer showed so much at its hottest.
    Read(Temperature),
}

impl HeatSeen {
    /// Checks what can be checked without a layer.
    ///
    /// # Errors
    /// A room or a reading that cannot be.
    pub fn check(self, room: Temperature) -> Result<(), HeatError> {
        check_room(room.celsius())?;
        match self {
            HeatSeen::Felt(_) => Ok(()),
            HeatSeen::Read(read) => rise_of(read.celsius(), room.celsius()).map(|_| ()),
        }
    }
}

/// The sources after one layer was seen to be so warm in a room; see [`measured`] and [`felt`].
///
/// # Errors
/// As they have them.
pub fn narrowed(
    before: &Sources,
    layer: &Lit<'_>,
    seen: HeatSeen,
    room: Temperature,
) -> Result<Sources, HeatError> {
    match seen {
        HeatSeen::Felt(feel) => felt(before, layer, feel, room.celsius()),
        HeatSeen::Read(read) => measured(layer, read.celsius(), room.celsius()),
    }
}

/// Why an observation says nothing of the heat; says what would be right.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum HeatError {
    /// Not warmer than the room, or not a number.
    #[error(
        "the layer was read at {read} °C in a room of {room} °C; read its hottest value within five seconds of lamp-off"
    )]
    NotWarm {
        /// What was read.
        read: f64,
        /// The room.
        room: f64,
    },
    /// The room's temperature cannot be right.
    #[error("a room of {0} °C cannot be right; give 5 to 45 °C")]
    Room(f64),
    /// No resin gives so much or so little.
    #[error(
        "that would need a resin that gives {needed:.0} kJ/kg, which none does (100 to 300); check the layer's thickness, the button and the reading"
    )]
    NoSuchResin {
        /// What it would have to give.
        needed: f64,
    },
}

fn check_room(room_c: f64) -> Result<(), HeatError> {
    if (5.0..=45.0).contains(&room_c) { Ok(()) } else { Err(HeatError::Room(room_c)) }
}

fn rise_of(read_c: f64, room_c: f64) -> Result<f64, HeatError> {
    let rise_k = read_c - room_c;
    let is_rise = (1.0..=400.0).contains(&rise_k);
    if is_rise { Ok(rise_k) } else { Err(HeatError::NotWarm { read: read_c, room: room_c }) }
}

/// The rise for each kJ/kg: the rise grows evenly with the release.
fn rise_for_one_k(layer: &Lit<'_>, source: Source) -> f64 {
    warm(&stack(layer), layer, Source { release: Factor::ONE, ..source }).peak_k
}

fn source(release: f64, like: Source) -> Source {
    let release = release.clamp(POSSIBLE.0, POSSIBLE.1);
    Source { release: Factor::new(release).unwrap_or(like.release), set_ratio: like.set_ratio }
}

/// The sources after a thermometer showed `read_c` at the hottest of a layer, in a room of `room_c`. Each source is
/// made to give that rise, the low and the high one less and more by what a reading may be out.
///
/// # Errors
/// A room or reading that cannot be, or a rise that no resin gives even at the ends of its band.
pub fn measured(layer: &Lit<'_>, read_c: f64, room_c: f64) -> Result<Sources, HeatError> {
    check_room(room_c)?;
    let rise_k = rise_of(read_c, room_c)?;
    let out = (NINE_IN_TEN * READ).exp();
    let before = Sources::TYPICAL;
    let needed = before.each(|like| rise_k / rise_for_one_k(layer, like));
    // The three differ in how late they set, so what each needs lies apart; none may do it, even at its end.
    let (least, most) = (needed.high.min(needed.low), needed.high.max(needed.low));
    if least / out > POSSIBLE.1 || most * out < POSSIBLE.0 || !least.is_finite() {
        return Err(HeatError::NoSuchResin { needed: needed.typical });
    }
    // What was read is foreseen as it was, also where that is a little beyond what any resin is known to give.
    let at = |release: f64, like: Source| {
        let release = Factor::new(release.max(POSSIBLE.0)).unwrap_or(like.release);
        Source { release, set_ratio: like.set_ratio }
    };
    Ok(Sources {
        low: source(needed.low / out, before.low),
        typical: at(needed.typical, before.typical),
        high: at(needed.high * out, before.high),
    })
}

/// The sources after a layer felt so in a room of `room_c`: each source's release is moved no further than into what
/// would feel so, and kept within 100–300 kJ/kg. A feel that each source would give anyway says nothing. Where that is a
/// little too much or too little to feel so, the nearer end is taken.
///
/// # Errors
/// A room that cannot be, or a feel that would take a resin twice beyond those ends.
pub fn felt(before: &Sources, layer: &Lit<'_>, feel: Feel, room_c: f64) -> Result<Sources, HeatError> {
    check_room(room_c)?;
    let (from_c, to_c) = feel.between_c();
    let range = |like: Source| {
        let one_k = rise_for_one_k(layer, like);
        ((from_c - room_c) / one_k, (to_c - room_c) / one_k)
    };
    let ranges: Band<(f64, f64)> = before.each(range);
    let possible = |(least, most): (f64, f64)| least <= SLACK * POSSIBLE.1 && most >= POSSIBLE.0 / SLACK;
    if ![ranges.low, ranges.typical, ranges.high].into_iter().any(possible) {
        let (least, most) = ranges.typical;
        return Err(HeatError::NoSuchResin { needed: if least.is_finite() { least } else { most } });
    }
    let held =
        |(least, most): (f64, f64), like: Source| source(like.release.get().max(least).min(most), like);
    Ok(Sources {
        low: held(ranges.low, before.low),
        typical: held(ranges.typical, before.typical),
        high: held(ranges.high, before.high),
    })
}
