//! The facts that each answer at the mould and the lamp makes.

use craft::compare::Scale;
use craft::dosing::DROP;
use craft::fact::{Amount, CustodyFact, Fact, Hardness, PourFact, Press};
use craft::id::{ShelfId, Thing, ThingKind};
use craft::moment::Moment;
use craft::place::{Cell, Place};
use craft::shelf::What;
use craft::studio::{Held, Studio};
use craft::units::{Mass, Span};
use craft::wait::elapsed;

use crate::present::places;
use crate::present::record::standing;
use crate::present::words;
use crate::typed::{self, Typed};
use crate::waits::{Kind, Wait};

use super::{AskLamp, Lay, Light, Step, Why};

/// Its cavity was taken.
pub fn begin(no: u8, mould: &ShelfId, cell: &Cell) -> Fact {
    PourFact::Begun { stone: no, mould: mould.clone(), cell: cell.clone() }.into()
}

/// Where a thing was kept before it came to the bench; the bench where that is no place of the studio any more.
pub fn came_from(studio: &Studio, held: &Held, thing: Thing) -> Place {
    let entries = standing(held).into_iter().rev();
    let choices = places::choices(studio);
    let is_one = |place: &Place| *place != Place::Bench && choices.iter().any(|(known, _)| known == place);
    entries.filter_map(|(_, entry)| put_down(&entry.fact, thing)).find(is_one).unwrap_or(Place::Bench)
}

/// Where a fact put a thing down.
fn put_down(fact: &Fact, thing: Thing) -> Option<Place> {
    let Fact::Custody(fact) = fact else { return None };
    let (what, place) = match fact {
        CustodyFact::Received { lot, place, .. } => (Thing::wrapping(*lot), place),
        CustodyFact::SplitOff { into, place, .. } => (*into, place),
        CustodyFact::CameAlong { thing, place, .. }
        | CustodyFact::Placed { thing, place }
        | CustodyFact::Found { thing, place } => (*thing, place),
        _ => return None,
    };
    (what == thing).then(|| place.clone())
}

/// A layer was laid.
pub fn laid(no: u8, lay: &Lay, amount: Amount) -> Fact {
    PourFact::Laid {
        stone: no,
        layer: lay.layer,
        kind: lay.kind,
        thickness: lay.thickness,
        load: lay.load,
        amount,
        bottle: lay.bottle.clone(),
        pigment: lay.pigment.clone(),
    }
    .into()
}

/// The lamp went on over stone `no` and those of the others that are under it too: for as long as the one that needs
/// most.
pub fn light(no: u8, light: &Light, together: impl Fn(u8) -> bool) -> Fact {
    let others = || light.others.iter().filter(|(other, _)| together(*other));
    let mut stones: Vec<u8> = others().map(|(other, _)| *other).chain([no]).collect();
    stones.sort_unstable();
    let seconds = others().map(|(_, seconds)| *seconds).fold(light.press.seconds, Span::max);
    PourFact::LampOn { stones, press: Press { seconds, ..light.press.clone() } }.into()
}

/// The lamp went off: what surely fell is what was surely seen, and never more than the press gives.
pub fn lamp_off(wait: &Wait) -> Fact {
    PourFact::LampOff { on: wait.entry, lit: wait.passed.min(wait.planned) }.into()
}

/// The maker says how long the lamp was on.
pub fn lamp_was_on(asked: &AskLamp, lit: Span) -> Fact {
    PourFact::LampOff { on: asked.on, lit }.into()
}

/// All that cooled together has cooled.
pub fn cooled(wait: &Wait) -> Fact {
    PourFact::Cooled { stones: wait.stones.clone() }.into()
}

/// How a layer came out; where it has just cooled, that first.
pub fn felt(no: u8, layer: u8, cooled_now: bool, hardness: Hardness) -> Vec<Fact> {
    let cooled = cooled_now.then(|| PourFact::Cooled { stones: vec![no] }.into());
    let felt = PourFact::Felt { stone: no, layer, hardness }.into();
    cooled.into_iter().chain([felt]).collect()
}

/// The stone left its mould.
pub fn taken_out(no: u8, place: Place) -> Fact {
    PourFact::TakenOut { stone: no, place }.into()
}

/// The trimmings went into a new bag.
pub fn offcuts(held: &Held, place: Place) -> Fact {
    PourFact::OffcutsKept { bag: held.ledger.custody.next_free(ThingKind::Offcuts), place }.into()
}

/// Every press of every lamp in use, as offcuts are lit by it: "Small lamp, 60 s".
pub fn presses(studio: &Studio) -> Vec<(String, Press)> {
    let mut all = Vec::new();
    for (id, item) in studio.shelf().iter().filter(|(_, item)| !item.retired) {
        let What::Lamp(lamp) = &item.what else { continue };
        for (number, button) in (1_u8..).zip(&lamp.buttons) {
            let press =
                Press { lamp: id.clone(), button: number, seconds: button.total(), ramp: button.ramp() };
            all.push((format!("{}, {}", item.name, button.name()), press));
        }
    }
    all
}

/// The stone is kept as a spare.
pub fn set_aside(no: u8) -> Fact {
    PourFact::SetAside { stone: no }.into()
}

/// A pedal that is pressed again sooner than this has bounced.
const BOUNCE: Span = Span::from_micro(700_000);

/// What the space bar or the foot pedal means now: it starts, pauses and resumes the lamp, and ends it once the light is
/// over. Nothing where no step asks for the lamp, or where the pedal has only bounced.
pub fn space(no: u8, step: &Step, together: impl Fn(u8) -> bool) -> Option<Fact> {
    match step {
        Step::Light(now) if now.off_for.is_none_or(|off| off >= BOUNCE) => Some(light(no, now, together)),
        Step::Lit(wait) if wait.passed >= BOUNCE => Some(lamp_off(wait)),
        Step::LightOver(wait) => Some(lamp_off(wait)),
        _ => None,
    }
}

/// True where the space bar does what the step's one main button does, while no lamp wants it: taking a cavity and laying
/// a layer. A judgement is never made by it, nor what has to be read off a thing first.
pub fn is_for_space(step: &Step) -> bool {
    matches!(step, Step::Begin { .. } | Step::Lay(_))
}

/// True where a press comes so soon after another that the pedal has only bounced.
pub fn has_bounced(before: &Moment, now: &Moment) -> bool {
    let gone = elapsed(before, now);
    gone.is_exact() && gone.least < BOUNCE
}

/// True while the lamp has a claim on the space bar: one is on anywhere, or over, or at a stone of this order paused, or
/// nobody knows how long it was on.
pub fn lamp_wants_space(waits: &[Wait], steps: &[(u8, Step)]) -> bool {
    let of_lamp = |step: &Step| {
        let paused = matches!(step, Step::Light(light) if light.why == Why::Rest);
        paused || matches!(step, Step::Lit(_) | Step::LightOver(_) | Step::AskLamp(_))
    };
    waits.iter().any(|wait| wait.kind == Kind::Light) || steps.iter().any(|(_, step)| of_lamp(step))
}

/// More than so many times what a layer takes, and so many drops, is a slip: no mould holds it.
const SLIP: i64 = 20;

/// The same for a layer that takes so much: nobody pours many times that.
///
/// # Errors
/// As [`amount`], and what the layer takes.
pub fn amount_of_layer(
    text: &str,
    scale: Option<Scale>,
    planned: Option<Mass>,
) -> Result<Typed<Amount>, String> {
    let typed = amount(text, scale)?;
    let mass = match typed.value {
        Amount::Drops(drops) => Mass::from_micro(DROP.micro() * i64::from(drops)),
        Amount::Weighed(mass) => mass,
        Amount::ToTheMark => return Ok(typed),
    };
    let is_slip =
        |planned: &Mass| planned.is_positive() && mass.micro() / SLIP > planned.micro().max(DROP.micro());
    match planned.filter(is_slip) {
        Some(planned) => Err(format!(
            "{} is {} times what this layer takes, about {}; write what really went in, or leave it empty for up to the mark",
            typed.echo,
            mass.micro() / planned.micro(),
            words::mass(planned)
        )),
        None => Ok(typed),
    }
}

/// How much resin was used: "3 drops", "62 mg"; nothing written means up to the mark.
///
/// # Errors
/// What is wrong with the text, and what would be right.
pub fn amount(text: &str, scale: Option<Scale>) -> Result<Typed<Amount>, String> {
    let plain = text.trim().to_lowercase();
    if plain.is_empty() || plain.ends_with("the mark") || plain == "mark" {
        return Ok(Typed { value: Amount::ToTheMark, echo: "up to the mark".to_owned() });
    }
    if plain.contains("drop") {
        return typed::drops(text).map(|typed| {
            let drops = typed.value;
            typed.map(|_| Amount::Drops(drops))
        });
    }
    if !plain.chars().any(char::is_alphabetic) {
        return Err(format!(
            "{text} of what? Write \"{text} drops\" or \"{text} mg\", or leave it empty for up to the mark"
        ));
    }
    match typed::amount(text, scale)? {
        Typed { value: typed::Amount::Mass(reading), echo } => {
            Ok(Typed { value: Amount::Weighed(reading.value), echo })
        }
        Typed { value: typed::Amount::Share(_), .. } => {
            Err("a share is not an amount of resin; write drops, such as \"3 drops\", or a weight".to_owned())
        }
    }
}
