//! The shelf as it is written: a new item to begin with, and every field of an item or of the studio's settings, read
//! from what was typed. A reader gives the whole item as it would be, or a sentence that says what would be right, so
//! that nothing reaches the shelf that its door would refuse for the item's own sake.

pub mod card;
mod cells;
mod choices;
mod fields;
mod house;
mod number;
pub mod observations;
mod outlines;
mod scales;
#[cfg(test)]
mod tests;

use chrono::NaiveDate;
use craft::compare::Scale;
use craft::cure::{Button, Mix, PigmentClass, Resin};
use craft::geometry::{Cavity, Dome, Outline};
use craft::id::ShelfId;
use craft::place::Cell;
use craft::refusal::Refusal;
use craft::scale::{ScaleProfile, Tare};
use craft::shelf::{Body, Bottle, Item, Lamp, Mould, Pigment, Setting, ShelfError, What};
use craft::studio::Studio;
use craft::text::{Line, Text};
use craft::units::{Length, Mass, Span};

pub use choices::{
    Backing, Value, backing, with_another_button, with_another_swatch, with_backing, with_body, with_class,
    with_dome, without_swatch,
};
pub use fields::{Field, load, put, said, scoops};
pub use house::{HouseField, house_put, house_said, with_another_place, with_scale};
pub use outlines::{Form, outline_of, with_form};
pub use scales::{known_weight, tried, with_packet, without_newest_try};

use crate::present::shelf_words::TrayLine;
use crate::typed::Typed;

/// What kinds of items the shelf has.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub enum Kind {
    /// Bottles of resin.
    #[default]
    Resin,
    /// Pigments.
    Pigment,
    /// Lamps.
    Lamp,
    /// Moulds.
    Mould,
    /// Settings.
    Setting,
    /// Scales.
    Scale,
}

impl Kind {
    /// All of them, in the order of their pages.
    pub const ALL: [Kind; 6] =
        [Kind::Resin, Kind::Pigment, Kind::Lamp, Kind::Mould, Kind::Setting, Kind::Scale];

    /// What an item is.
    pub const fn of(what: &What) -> Self {
        match what {
            What::Resin(_) => Kind::Resin,
            What::Pigment(_) => Kind::Pigment,
            What::Lamp(_) => Kind::Lamp,
            What::Mould(_) => Kind::Mould,
            What::Setting(_) => Kind::Setting,
            What::Scale(_) => Kind::Scale,
        }
    }
}

/// An item of one kind to begin with: typical values that own up to being a guess.
///
/// # Errors
/// None in practice: what would be wrong with the values, in words.
pub fn fresh(kind: Kind, name: Line) -> Result<Item, String> {
    let what = match kind {
        Kind::Resin => What::Resin(Bottle {
            resin: Resin::TYPICAL,
            opened: None,
            first_sets: Vec::new(),
            observations: Vec::new(),
        }),
        Kind::Pigment => What::Pigment(Pigment {
            mix: Mix::typical(PigmentClass::Colour),
            colour: (128, 128, 128),
            swatches: Vec::new(),
            cards: Vec::new(),
        }),
        Kind::Lamp => {
            let button = Button::new("60 s", Span::from_micro(60_000_000), Span::ZERO);
            What::Lamp(Lamp { buttons: vec![button.map_err(|why| why.to_string())?] })
        }
        Kind::Mould => What::Mould(fresh_mould()?),
        Kind::Setting => What::Setting(Setting {
            kind: "ring".parse().map_err(|why: craft::text::TextError| why.to_string())?,
            opening: Outline::Oval {
                length: Length::from_micro(10_200_000),
                width: Length::from_micro(8_200_000),
            },
            wall: Length::from_micro(2_000_000),
            metal: Line::default(),
        }),
        Kind::Scale => {
            let digit = Mass::from_micro(10_000_000);
            let scale = Scale { readability: digit, repeatability: Mass::ZERO };
            What::Scale(ScaleProfile { scale, most: None, tare: Tare::Button, tried: Vec::new() })
        }
    };
    Ok(Item { name, retired: false, note: Text::default(), what })
}

fn fresh_mould() -> Result<Mould, String> {
    let mm = |whole: i64| Length::from_micro(whole * 1_000_000);
    let outline = Outline::Oval { length: mm(10), width: mm(8) };
    let cavity = Cavity::new(outline, Dome::CircularArc, Length::from_micro(2_500_000), mm(1));
    let cell: Cell = "A1".parse()?;
    Ok(Mould { cavity: cavity.map_err(|why| why.to_string())?, cells: vec![cell], body: Body::LetsLightIn })
}

/// The same item under another name, in use and without what belongs to the other alone. What was seen of another bottle of
/// the same resin still says something: the new one counts as opened today, so it is known as an earlier bottle's.
#[must_use]
pub fn like(item: &Item, name: Line, today: NaiveDate) -> Item {
    let mut item = Item { name, retired: false, ..item.clone() };
    match &mut item.what {
        What::Resin(bottle) => {
            bottle.observations.retain(|seen| seen.on < today);
            bottle.opened = (!bottle.observations.is_empty()).then_some(today);
        }
        What::Scale(scale) => scale.tried.clear(),
        _ => {}
    }
    item
}

/// A name for an item of a kind: one that no other of them has, whatever the letters' size.
///
/// # Errors
/// What is wrong with it, and what would be right.
pub fn name(studio: &Studio, kind: Kind, own: Option<&ShelfId>, text: &str) -> Result<Typed<Line>, String> {
    let line: Line = text.parse().map_err(|why: craft::text::TextError| why.to_string())?;
    if line.is_empty() {
        return Err(ShelfError::NoName.to_string());
    }
    let same = |item: &Item| {
        Kind::of(&item.what) == kind && item.name.as_str().to_lowercase() == line.as_str().to_lowercase()
    };
    match studio.shelf().iter().find(|(id, item)| own != Some(*id) && same(item)) {
        Some((_, other)) if other.retired => Err(format!(
            "one that is out of use is called {line} already; bring it back, or take another name"
        )),
        Some(_) => Err(format!("there is one called {line} already; give this one a name of its own")),
        None => Ok(Typed { echo: line.to_string(), value: line }),
    }
}

/// The item under another name.
///
/// # Errors
/// As [`name`].
pub fn renamed(studio: &Studio, id: &ShelfId, item: &Item, text: &str) -> Result<Typed<Item>, String> {
    let typed = name(studio, Kind::of(&item.what), Some(id), text)?;
    Ok(typed.map(|name| Item { name, ..item.clone() }))
}

/// As [`put`], for an item that stands on the shelf: a cavity that a stone lies or is planned in cannot go. `tray` is
/// what [`tray`](crate::present::shelf_words::tray) tells of a mould, worked out once for many letters typed.
///
/// # Errors
/// As [`put`]; which stone is in the way.
pub fn put_on(
    tray: &[TrayLine],
    item: &Item,
    field: &Field,
    text: &str,
    today: NaiveDate,
) -> Result<Typed<Item>, String> {
    let typed = put(item, field, text, today)?;
    let What::Mould(mould) = &typed.value.what else { return Ok(typed) };
    if *field == Field::Cavities {
        let gone = tray.iter().filter(|line| !mould.cells.contains(&line.cell));
        if let Some(stone) = gone.flat_map(|line| &line.stones).next() {
            return Err(format!("{}; keep its cavity, or see to that stone first", stone.words));
        }
    }
    Ok(typed)
}

/// The most letters of a name that its file is called by; room is left for a number.
const LONGEST_ID: usize = 34;

/// An id for a new item, from its name: one that no item has, and no file that could not be read.
///
/// # Errors
/// None in practice: a thousand items of one name.
pub fn new_id(studio: &Studio, name: &Line) -> Result<ShelfId, String> {
    let mut plain = String::new();
    for letter in crate::present::words::folded(name.as_str()).chars() {
        match letter {
            'a'..='z' | '0'..='9' => plain.push(letter),
            _ if plain.ends_with('-') || plain.is_empty() => {}
            _ => plain.push('-'),
        }
    }
    let short: String = plain.chars().take(LONGEST_ID).collect();
    let short = short.trim_matches('-');
    let start = if short.starts_with(|letter: char| letter.is_ascii_lowercase()) {
        short.to_owned()
    } else if short.is_empty() {
        "item".to_owned()
    } else {
        format!("no-{short}").chars().take(LONGEST_ID).collect::<String>().trim_end_matches('-').to_owned()
    };
    let numbered = (2..1_000).map(|no| format!("{start}-{no}"));
    let is_free = |id: &ShelfId| matches!(studio.item(id), Err(Refusal::NoItem(_)));
    std::iter::once(start.clone())
        .chain(numbered)
        .filter_map(|text| text.parse::<ShelfId>().ok())
        .find(is_free)
        .ok_or_else(|| format!("there are too many items called {name}; take another name"))
}
