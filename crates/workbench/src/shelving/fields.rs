//! Every field of an item: what stands in it, and the item with what was typed into it.

use chrono::NaiveDate;
use craft::cure::{Button, Factor, Light, Provenance, Resin};
use craft::geometry::{Cavity, Outline};
use craft::id::ShelfId;
use craft::shelf::{Bottle, FirstSet, Item, Lamp, Mould, Pigment, Setting, Swatch, What};
use craft::text::{Line, TextError};
use craft::units::{Length, Load, Span};

use super::cells::cells;
use super::choices::Value;
use super::number::{number_micro, whole_within};
use super::outlines::{put_shape, said_of_shape, said_size};
use super::scales::{put_scale, said_of_scale};
use crate::present::words;
use crate::typed::{self, Typed};

/// A field of an item on the shelf.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Field {
    /// The day of the test behind a value.
    TestedOn(Value),
    /// When a bottle was opened.
    Opened,
    /// How deep it hardens.
    HardensDeep,
    /// When it first sets under a button of a lamp, from 1.
    FirstSets(ShelfId, u8),
    /// What stands on a button, counted from 0.
    ButtonName(usize),
    /// How long a press is lit.
    ButtonLit(usize),
    /// How long the light grows to full.
    ButtonGrows(usize),
    /// The size of a cavity.
    Size,
    /// The height of its dome.
    DomeHeight,
    /// The height of its wall.
    WallHeight,
    /// The radius of round corners.
    Corner,
    /// How full the corners of a cushion are.
    Fullness,
    /// The path of a drawn outline.
    Path,
    /// How far the wall of a cavity leans outward.
    WallLeans,
    /// The measured heights of a dome.
    Heights,
    /// The marks of the tray.
    Cavities,
    /// What a pigment takes of the light.
    Takes,
    /// What of it hides the metal.
    HidesAt,
    /// More than this spoils the resin.
    Ceiling,
    /// The least that is planned with.
    Least,
    /// The most that is planned with.
    Most,
    /// Red of its colour, from 0 to 255.
    Red,
    /// Green of its colour.
    Green,
    /// Blue of its colour.
    Blue,
    /// Scoops of pigment of a swatch, counted from 0.
    Scoops(usize),
    /// Drops of resin of a swatch.
    Drops(usize),
    /// How a swatch came out.
    CameOut(usize),
    /// The load of a swatch, where it was weighed.
    Weighed(usize),
    /// What a setting is.
    SettingKind,
    /// The opening the stone sits in.
    Opening,
    /// From the bearing to the top of the wall.
    Wall,
    /// The metal.
    Metal,
    /// The last digit of a scale.
    LastDigit,
    /// How far one load weighed again and again spreads.
    Spread,
    /// The most it can carry.
    MostLoad,
    /// What it showed for the empty packet.
    EmptyPacket,
}

/// What stands in a field; empty where nothing is known.
pub fn said(item: &Item, field: &Field) -> String {
    if let Field::TestedOn(value) = field {
        return match super::choices::provenance(item, value) {
            Some(Provenance::Tested(day)) => words::date_with_year(day),
            _ => String::new(),
        };
    }
    if let Some(shape) = said_of_shape(item, field) {
        return shape;
    }
    match &item.what {
        What::Resin(bottle) => said_of_bottle(bottle, field),
        What::Pigment(pigment) => said_of_pigment(pigment, field),
        What::Lamp(lamp) => said_of_lamp(lamp, field),
        What::Mould(mould) => said_of_mould(mould, field),
        What::Setting(setting) => said_of_setting(setting, field),
        What::Scale(scale) => said_of_scale(scale, field),
    }
}

fn said_of_bottle(bottle: &Bottle, field: &Field) -> String {
    match field {
        Field::Opened => bottle.opened.map(words::date_with_year).unwrap_or_default(),
        Field::HardensDeep => bottle.resin.penetration().to_string(),
        Field::FirstSets(lamp, button) => first_set(bottle, lamp, *button)
            .map_or_else(|| GUESSED_FIRST_SET.to_string(), |tried| tried.seconds.to_string()),
        _ => String::new(),
    }
}

/// The cautious guess where nothing was tried, as [`Light::typical`] has it; a test holds that they agree.
pub(super) const GUESSED_FIRST_SET: Span = Span::from_micro(1_000_000);

pub(super) fn first_set<'a>(bottle: &'a Bottle, lamp: &ShelfId, button: u8) -> Option<&'a FirstSet> {
    bottle.first_sets.iter().find(|tried| tried.lamp == *lamp && tried.button == button)
}

fn said_of_pigment(pigment: &Pigment, field: &Field) -> String {
    let mix = &pigment.mix;
    let (red, green, blue) = pigment.colour;
    let swatch =
        |at: usize, say: fn(&Swatch) -> String| pigment.swatches.get(at).map(say).unwrap_or_default();
    match field {
        Field::Takes => mix.absorption.to_string(),
        Field::HidesAt => mix.hiding.to_string(),
        Field::Ceiling => mix.ceiling.to_string(),
        Field::Least => mix.least.to_string(),
        Field::Most => mix.most.to_string(),
        Field::Red => red.to_string(),
        Field::Green => green.to_string(),
        Field::Blue => blue.to_string(),
        Field::Scoops(at) => swatch(*at, |swatch| swatch.scoops.to_string()),
        Field::Drops(at) => swatch(*at, |swatch| swatch.drops.to_string()),
        Field::CameOut(at) => swatch(*at, |swatch| swatch.came_out.to_string()),
        Field::Weighed(at) => {
            swatch(*at, |swatch| swatch.load.map(|load| load.to_string()).unwrap_or_default())
        }
        _ => String::new(),
    }
}

fn said_of_lamp(lamp: &Lamp, field: &Field) -> String {
    let (Field::ButtonName(at) | Field::ButtonLit(at) | Field::ButtonGrows(at)) = field else {
        return String::new();
    };
    let Some(button) = lamp.buttons.get(*at) else { return String::new() };
    match field {
        Field::ButtonName(_) => button.name().to_owned(),
        Field::ButtonLit(_) => button.total().to_string(),
        _ => button.ramp().to_string(),
    }
}

fn said_of_mould(mould: &Mould, field: &Field) -> String {
    match field {
        Field::Size => said_size(&mould.cavity.outline()),
        Field::DomeHeight => mould.cavity.dome_height().to_string(),
        Field::WallHeight => mould.cavity.wall_height().to_string(),
        Field::Cavities => mould.cells.iter().map(ToString::to_string).collect::<Vec<_>>().join(", "),
        _ => String::new(),
    }
}

fn said_of_setting(setting: &Setting, field: &Field) -> String {
    match field {
        Field::SettingKind => setting.kind.to_string(),
        Field::Opening => said_size(&setting.opening),
        Field::Wall => setting.wall.to_string(),
        Field::Metal => setting.metal.to_string(),
        _ => String::new(),
    }
}

/// The item with what was typed into one of its fields, and how that was understood.
///
/// # Errors
/// What is wrong with the text, or with the item as it would be, and what would be right.
pub fn put(item: &Item, field: &Field, text: &str, today: NaiveDate) -> Result<Typed<Item>, String> {
    let mut item = item.clone();
    let echo = match field {
        Field::TestedOn(value) => {
            let day = typed::past_day(text, today)?;
            item = super::choices::with_provenance(&item, value, Provenance::Tested(day.value));
            day.echo
        }
        _ => match put_shape(&mut item.what, field, text)? {
            Some(echo) => echo,
            None => put_rest(&mut item.what, field, text, today)?,
        },
    };
    item.check().map_err(|why| why.to_string())?;
    Ok(Typed { value: item, echo })
}

fn put_rest(what: &mut What, field: &Field, text: &str, today: NaiveDate) -> Result<String, String> {
    match what {
        What::Resin(bottle) => put_bottle(bottle, field, text, today),
        What::Pigment(pigment) => put_pigment(pigment, field, text),
        What::Lamp(lamp) => put_button(lamp, field, text),
        What::Mould(mould) => put_mould(mould, field, text),
        What::Setting(setting) => put_setting(setting, field, text),
        What::Scale(scale) => put_scale(scale, field, text).ok_or_else(elsewhere)?,
    }
}

/// A field that this kind of item has not.
fn elsewhere() -> String {
    "that belongs to another kind of item".to_owned()
}

/// What is typed over a guess is what works for this maker, until a test of theirs is named.
const TYPED: Provenance = Provenance::Practised;

fn put_bottle(bottle: &mut Bottle, field: &Field, text: &str, today: NaiveDate) -> Result<String, String> {
    match field {
        Field::Opened if text.trim().is_empty() => {
            bottle.opened = None;
            Ok("not known".to_owned())
        }
        Field::Opened => {
            let day = typed::past_day(text, today)?;
            bottle.opened = Some(day.value);
            Ok(day.echo)
        }
        Field::HardensDeep => {
            let depth = typed::length(text)?;
            bottle.resin = Resin::new(depth.value, TYPED).map_err(|why| why.to_string())?;
            Ok(depth.echo)
        }
        Field::FirstSets(lamp, button) => {
            let seconds = typed::seconds(text)?;
            // The same check as when it is planned with.
            let press = Button::new("", Span::from_micro(1_000_000), Span::ZERO);
            let press = press.map_err(|why| why.to_string())?;
            Light::new(press, seconds.value, TYPED).map_err(|why| why.to_string())?;
            set_first_set(bottle, (lamp, *button), seconds.value, TYPED);
            Ok(seconds.echo)
        }
        _ => Err(elsewhere()),
    }
}

pub(super) fn set_first_set(
    bottle: &mut Bottle,
    (lamp, button): (&ShelfId, u8),
    seconds: Span,
    provenance: Provenance,
) {
    bottle.first_sets.retain(|tried| !(tried.lamp == *lamp && tried.button == button));
    bottle.first_sets.push(FirstSet { lamp: lamp.clone(), button, seconds, provenance });
    bottle.first_sets.sort_by(|a, b| (&a.lamp, a.button).cmp(&(&b.lamp, b.button)));
}

fn factor(text: &str, example: &str) -> Result<Factor, String> {
    let micro = number_micro(text, "", example)?;
    Factor::new(micro as f64 / 1e6).map_err(|why| why.to_string())
}

/// Reads how much pigment: "1.5 %".
///
/// # Errors
/// It is no number, and what would be right.
pub fn load(text: &str) -> Result<Typed<Load>, String> {
    let value = number_micro(text, "%", "1.5 %").map(Load::from_micro)?;
    Ok(Typed { value, echo: value.to_string() })
}

fn shade(text: &str) -> Result<u8, String> {
    let value = whole_within(text, "a part of a colour", 0, 255)?;
    u8::try_from(value).map_err(|why| why.to_string())
}

fn put_pigment(pigment: &mut Pigment, field: &Field, text: &str) -> Result<String, String> {
    let mix = &mut pigment.mix;
    match field {
        Field::Takes | Field::HidesAt => {
            let (of, example) = match field {
                Field::Takes => (&mut mix.absorption, "4"),
                _ => (&mut mix.hiding, "0.7"),
            };
            *of = factor(text, example)?;
            let echo = of.to_string();
            mix.provenance = TYPED;
            Ok(echo)
        }
        Field::Ceiling => {
            mix.ceiling = load(text)?.value;
            // No more is planned with than the resin can take.
            mix.most = mix.most.min(mix.ceiling);
            mix.least = mix.least.min(mix.most);
            mix.provenance = TYPED;
            Ok(format!("{}; planned with {} to {}", mix.ceiling, mix.least, mix.most))
        }
        Field::Least | Field::Most => {
            let of = if *field == Field::Least { &mut mix.least } else { &mut mix.most };
            *of = load(text)?.value;
            let echo = of.to_string();
            Ok(echo)
        }
        Field::Red | Field::Green | Field::Blue => {
            let (red, green, blue) = &mut pigment.colour;
            let of = match field {
                Field::Red => red,
                Field::Green => green,
                _ => blue,
            };
            *of = shade(text)?;
            Ok(of.to_string())
        }
        Field::Scoops(at) | Field::Drops(at) | Field::CameOut(at) | Field::Weighed(at) => {
            let swatch = pigment.swatches.get_mut(*at).ok_or_else(elsewhere)?;
            put_swatch(swatch, field, text)
        }
        _ => Err(elsewhere()),
    }
}

/// A number of scoops as it was typed.
///
/// # Errors
/// What would be right.
pub fn scoops(text: &str) -> Result<Typed<u16>, String> {
    let count = whole_within(text, "a number of scoops", 1, 1_000)?;
    let value = u16::try_from(count).map_err(|why| why.to_string())?;
    Ok(Typed { value, echo: words::count(usize::from(value), "scoop", "scoops") })
}

fn put_swatch(swatch: &mut Swatch, field: &Field, text: &str) -> Result<String, String> {
    match field {
        Field::Scoops(_) => {
            let scoops = scoops(text)?;
            swatch.scoops = scoops.value;
            Ok(scoops.echo)
        }
        Field::Drops(_) => {
            let drops = typed::drops(text)?;
            swatch.drops = drops.value;
            Ok(drops.echo)
        }
        Field::Weighed(_) if text.trim().is_empty() => {
            swatch.load = None;
            Ok("not weighed".to_owned())
        }
        Field::Weighed(_) => {
            let weighed = load(text)?;
            swatch.load = Some(weighed.value);
            Ok(weighed.echo)
        }
        _ => {
            swatch.came_out = line(text)?;
            Ok(swatch.came_out.to_string())
        }
    }
}

fn put_button(lamp: &mut Lamp, field: &Field, text: &str) -> Result<String, String> {
    let (Field::ButtonName(at) | Field::ButtonLit(at) | Field::ButtonGrows(at)) = field else {
        return Err(elsewhere());
    };
    let other = |name: &str| {
        lamp.buttons.iter().enumerate().any(|(place, button)| place != *at && button.name() == name)
    };
    let Some(button) = lamp.buttons.get(*at) else { return Err(elsewhere()) };
    let (name, total, ramp) = (button.name().to_owned(), button.total(), button.ramp());
    let (button, echo) = match field {
        Field::ButtonName(_) => {
            let name = line(text)?.to_string();
            if name.is_empty() {
                return Err("write what stands on the button, such as 60 s".to_owned());
            }
            if other(&name) {
                return Err(format!("another button of this lamp is called {name}; tell the two apart"));
            }
            (Button::new(name.clone(), total, ramp), name)
        }
        Field::ButtonLit(_) => {
            let lit = typed::seconds(text)?;
            // A name that only says the seconds says the new ones.
            let name = renamed(&name, total, lit.value).filter(|name| !other(name)).unwrap_or(name);
            (Button::new(name, lit.value, ramp), lit.echo)
        }
        _ => {
            let grows = typed::seconds(text)?;
            (Button::new(name, total, grows.value), grows.echo)
        }
    };
    let button = button.map_err(|why| why.to_string())?;
    if let Some(place) = lamp.buttons.get_mut(*at) {
        *place = button;
    }
    Ok(echo)
}

/// What stands beside the seconds in the names the studio itself gives to buttons.
const BESIDE_SECONDS: &str = "low heat";

/// The name of a button once its seconds are other ones; none where it is the maker's own: only what the studio made of
/// the seconds follows them.
fn renamed(name: &str, before: Span, now: Span) -> Option<String> {
    let forms =
        |lit: Span| [lit.to_string(), format!("{lit} {BESIDE_SECONDS}"), format!("{BESIDE_SECONDS} {lit}")];
    forms(before).into_iter().zip(forms(now)).find(|(was, _)| was == name).map(|(_, is)| is)
}

/// A size: one length across a round one, two lengths of an oval one.
fn cavity(mould: &Mould, outline: Outline, dome: Length, wall: Length) -> Result<Cavity, String> {
    Cavity::new(outline, mould.cavity.dome(), dome, wall)
        .and_then(|cavity| cavity.leaning(mould.cavity.draft()))
        .map_err(|why| why.to_string())
}

fn put_mould(mould: &mut Mould, field: &Field, text: &str) -> Result<String, String> {
    let now = mould.cavity.clone();
    match field {
        Field::DomeHeight => {
            let height = typed::length(text)?;
            mould.cavity = cavity(mould, now.outline(), height.value, now.wall_height())?;
            Ok(height.echo)
        }
        Field::WallHeight => {
            let height = typed::length(text)?;
            mould.cavity = cavity(mould, now.outline(), now.dome_height(), height.value)?;
            Ok(height.echo)
        }
        Field::Cavities => {
            mould.cells = cells(text)?;
            Ok(words::count(mould.cells.len(), "cavity", "cavities"))
        }
        _ => Err(elsewhere()),
    }
}

fn line(text: &str) -> Result<Line, String> {
    text.parse().map_err(|why: TextError| why.to_string())
}

fn put_setting(setting: &mut Setting, field: &Field, text: &str) -> Result<String, String> {
    match field {
        Field::SettingKind => {
            setting.kind = line(text)?;
            if setting.kind.is_empty() {
                return Err("say what the stone goes into, such as a ring or a pendant".to_owned());
            }
            Ok(setting.kind.to_string())
        }
        Field::Wall => {
            let wall = typed::length(text)?;
            setting.wall = wall.value;
            Ok(wall.echo)
        }
        Field::Metal => {
            setting.metal = line(text)?;
            Ok(setting.metal.to_string())
        }
        _ => Err(elsewhere()),
    }
}
