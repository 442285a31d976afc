//! What is chosen rather than typed: each gives the item as it would be.

use chrono::NaiveDate;
use craft::cure::{Button, Factor, Mix, PigmentClass, Provenance};
use craft::geometry::{Cavity, Dome};
use craft::id::ShelfId;
use craft::shelf::{Body, Item, Lamp, Mould, Pigment, Swatch, What};
use craft::text::Line;
use craft::units::{Length, Span};

use super::fields::{GUESSED_FIRST_SET, first_set, set_first_set};

/// A value that something of the maker's can stand behind.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Value {
    /// How deep a resin hardens.
    Depth,
    /// When it first sets under a button of a lamp, from 1.
    FirstSets(ShelfId, u8),
    /// What a pigment does to light.
    Mix,
}

/// What stands behind a value.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Backing {
    /// Nothing of the maker's: a cautious guess.
    Guess,
    /// What the maker already does.
    Practice,
    /// A test of the maker's.
    Test,
}

impl Backing {
    /// All of them, from the least to the most.
    pub const ALL: [Backing; 3] = [Backing::Guess, Backing::Practice, Backing::Test];
}

pub(super) fn provenance(item: &Item, value: &Value) -> Option<Provenance> {
    match (&item.what, value) {
        (What::Resin(bottle), Value::Depth) => Some(bottle.resin.provenance),
        (What::Resin(bottle), Value::FirstSets(lamp, button)) => {
            Some(first_set(bottle, lamp, *button).map_or(Provenance::Typical, |tried| tried.provenance))
        }
        (What::Pigment(pigment), Value::Mix) => Some(pigment.mix.provenance),
        _ => None,
    }
}

pub(super) fn with_provenance(item: &Item, value: &Value, provenance: Provenance) -> Item {
    let mut item = item.clone();
    match (&mut item.what, value) {
        (What::Resin(bottle), Value::Depth) => bottle.resin.provenance = provenance,
        (What::Resin(bottle), Value::FirstSets(lamp, button)) => {
            let seconds = first_set(bottle, lamp, *button).map_or(GUESSED_FIRST_SET, |tried| tried.seconds);
            set_first_set(bottle, (lamp, *button), seconds, provenance);
        }
        (What::Pigment(pigment), Value::Mix) => pigment.mix.provenance = provenance,
        _ => {}
    }
    item
}

/// What stands behind a value, and in full where it came from; none where the item has no such value.
pub fn backing(item: &Item, value: &Value) -> Option<(Backing, Provenance)> {
    let full = provenance(item, value)?;
    let short = match full {
        Provenance::Typical => Backing::Guess,
        Provenance::Practised => Backing::Practice,
        Provenance::Tested(_) => Backing::Test,
    };
    Some((short, full))
}

/// The item with something else behind a value; a test is today's until its day is written.
#[must_use]
pub fn with_backing(item: &Item, value: &Value, backing: Backing, today: NaiveDate) -> Item {
    let provenance = match backing {
        Backing::Guess => Provenance::Typical,
        Backing::Practice => Provenance::Practised,
        Backing::Test => Provenance::Tested(today),
    };
    with_provenance(item, value, provenance)
}

pub(super) fn changed<T>(
    item: &Item,
    change: impl FnOnce(&mut What) -> Result<T, String>,
) -> Result<Item, String> {
    let mut item = item.clone();
    change(&mut item.what)?;
    item.check().map_err(|why| why.to_string())?;
    Ok(item)
}

fn mould(what: &mut What) -> Result<&mut Mould, String> {
    match what {
        What::Mould(mould) => Ok(mould),
        _ => Err("that is not a mould".to_owned()),
    }
}

fn pigment(what: &mut What) -> Result<&mut Pigment, String> {
    match what {
        What::Pigment(pigment) => Ok(pigment),
        _ => Err("that is not a pigment".to_owned()),
    }
}

/// The mould with another dome. A flat one has no dome height; a dome over a flat one begins a quarter as high as the
/// cavity is wide (common practice, no source).
///
/// # Errors
/// What would be wrong with it, and what would be right.
pub fn with_dome(item: &Item, dome: Dome) -> Result<Item, String> {
    changed(item, |what| {
        let mould = mould(what)?;
        let now = mould.cavity.clone();
        let width = now.outline().width();
        let height = match (dome, now.dome()) {
            (Dome::Flat, _) => Length::ZERO,
            (_, Dome::Flat) => Length::from_micro((width.micro() / 4 / 100_000 * 100_000).max(100_000)),
            _ => now.dome_height(),
        };
        let made = Cavity::new(now.outline(), dome, height, now.wall_height())
            .and_then(|cavity| cavity.leaning(now.draft()));
        mould.cavity = made.map_err(|why| why.to_string())?;
        Ok(())
    })
}

/// The mould with another body.
///
/// # Errors
/// It is not a mould.
pub fn with_body(item: &Item, body: Body) -> Result<Item, String> {
    changed(item, |what| {
        mould(what)?.body = body;
        Ok(())
    })
}

/// The pigment in another class, with the cautious guess of that class.
///
/// # Errors
/// It is not a pigment.
pub fn with_class(item: &Item, class: PigmentClass) -> Result<Item, String> {
    changed(item, |what| {
        let pigment = pigment(what)?;
        let mut mix =
            Mix { thinnest: pigment.mix.thinnest, thickest: pigment.mix.thickest, ..Mix::typical(class) };
        if !class.hides() {
            // What cannot hide is not asked to.
            mix.hiding = Factor::ZERO;
        }
        pigment.mix = mix;
        Ok(())
    })
}

/// The pigment with one more swatch, so many scoops to so many drops as the maker says.
///
/// # Errors
/// It is not a pigment, or no mix.
pub fn with_another_swatch(item: &Item, (scoops, drops): (u16, u16)) -> Result<Item, String> {
    if scoops == 0 || drops == 0 {
        return Err("a mix has at least one scoop and one drop".to_owned());
    }
    changed(item, |what| {
        let swatch = Swatch { scoops, drops, photo: None, came_out: Line::default(), load: None };
        pigment(what)?.swatches.push(swatch);
        Ok(())
    })
}

/// The pigment without one of its swatches, counted from 0.
///
/// # Errors
/// It is not a pigment, or has no such swatch.
pub fn without_swatch(item: &Item, at: usize) -> Result<Item, String> {
    changed(item, |what| {
        let swatches = &mut pigment(what)?.swatches;
        if at >= swatches.len() {
            return Err("there is no such mix in the swatch book".to_owned());
        }
        swatches.remove(at);
        Ok(())
    })
}

/// The lamp with one more button at the end, like its last, under a name that none of them has.
///
/// # Errors
/// It is not a lamp.
pub fn with_another_button(item: &Item) -> Result<Item, String> {
    changed(item, |what| {
        let What::Lamp(Lamp { buttons }) = what else { return Err("that is not a lamp".to_owned()) };
        let no = buttons.len() + 1;
        let taken = |name: &str| buttons.iter().any(|button| button.name() == name);
        let name = (no..no + 1_000).map(|no| format!("button {no}")).find(|name| !taken(name));
        let total = buttons.last().map_or(Span::from_micro(60_000_000), Button::total);
        let button = Button::new(name.unwrap_or_default(), total, Span::ZERO);
        buttons.push(button.map_err(|why| why.to_string())?);
        Ok(())
    })
}
