//! From the texts of a row to what they say.

use chrono::NaiveDate;
use craft::fact::Material;
use craft::id::{ClientId, DocId, ShelfId};
use craft::moment::Moment;
use craft::place::{Cell, Place};
use craft::policies::keep_back_is_sound;
use craft::shelf::{Item, What};
use craft::stage::Stage;
use craft::studio::Studio;
use craft::tag::Tag;
use craft::text::Line;
use craft::units::{Length, Share};

use super::{Field, KeptBack, Row, Wrong, fresh};
use crate::present::words;
use crate::typed;

/// Whose order it is.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Whose {
    Known(ClientId),
    New(Line),
}

/// The stones that were made.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Made {
    pub(super) count: u8,
    /// The one that was chosen, once one is.
    pub(super) chosen: Option<u8>,
    pub(super) in_each: Share,
    /// Nobody said how much went into each.
    pub(super) in_each_guessed: bool,
    pub(super) mould: ShelfId,
    pub(super) cells: Vec<Cell>,
    pub(super) depth: Length,
    pub(super) resin: ShelfId,
    pub(super) lamp: ShelfId,
    pub(super) pigment: ShelfId,
}

/// What is here, and since.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Arrived {
    pub(super) material: Material,
    pub(super) place: Place,
    pub(super) keep_back: Share,
    pub(super) put_away: bool,
    pub(super) made: Option<Made>,
}

/// A row that was read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Draft {
    pub(super) whose: Whose,
    pub(super) name: Line,
    pub(super) due: Option<NaiveDate>,
    pub(super) since: NaiveDate,
    pub(super) tag: Tag,
    pub(super) stage: Stage,
    pub(super) here: Option<Arrived>,
}

/// Collects what is wrong, so that every field says so at once.
#[derive(Debug, Default)]
struct Slips(Wrong);

impl Slips {
    fn keep<T>(&mut self, field: Field, read: Result<T, String>) -> Option<T> {
        read.map_err(|why| self.0.push((field, why))).ok()
    }
}

pub(super) fn read(studio: &Studio, row: &Row, now: Moment) -> Result<Draft, Wrong> {
    let today = now.day();
    let mut slips = Slips::default();
    let whose = slips.keep(Field::Client, whose(studio, &row.client, row.known.as_ref()));
    let name = slips.keep(Field::Name, name(&row.name));
    let due = slips.keep(Field::Due, optional(&row.due, |text| typed::day(text, today)));
    let since = slips.keep(Field::Since, optional(&row.since, |text| typed::past_day(text, today)));
    let tag = slips.keep(Field::Tag, tag(studio, row, now));
    let here = if row.stage >= Stage::Here { Some(arrived(studio, row, &mut slips)) } else { None };
    let stage = row.stage;
    match (whose, name, due, since, tag, here) {
        (Some(whose), Some(name), Some(due), Some(since), Some(tag), None) => {
            Ok(Draft { whose, name, due, since: since.unwrap_or(today), tag, stage, here: None })
        }
        (Some(whose), Some(name), Some(due), Some(since), Some(tag), Some(Some(here))) => {
            Ok(Draft { whose, name, due, since: since.unwrap_or(today), tag, stage, here: Some(here) })
        }
        _ => Err(slips.0),
    }
}

fn optional<T>(
    text: &str,
    read: impl Fn(&str) -> Result<typed::Typed<T>, String>,
) -> Result<Option<T>, String> {
    if text.trim().is_empty() { Ok(None) } else { read(text).map(|typed| Some(typed.value)) }
}

/// The client of that name, or a new one.
pub(super) fn whose(studio: &Studio, name: &str, known: Option<&ClientId>) -> Result<Whose, String> {
    if let Some(id) = known {
        let there = studio.clients().contains_key(id);
        return there
            .then(|| Whose::Known(id.clone()))
            .ok_or_else(|| format!("there is no client {id}; write the name"));
    }
    let name: Line = name.parse().map_err(|why: craft::text::TextError| why.to_string())?;
    if name.is_empty() {
        return Err("write the client's name".to_owned());
    }
    let wanted = words::folded(name.as_str());
    let wanted: Vec<&str> = wanted.split_whitespace().collect();
    let mut same = studio.clients().iter().filter(|(_, client)| {
        words::folded(client.name.as_str()).split_whitespace().eq(wanted.iter().copied())
    });
    match (same.next(), same.next()) {
        (None, _) => Ok(Whose::New(name)),
        (Some((id, _)), None) => Ok(Whose::Known(id.clone())),
        (Some((one, _)), Some((other, _))) => Err(format!(
            "more than one client is called {name}; choose which of them is meant ({one} or {other})"
        )),
    }
}

fn name(text: &str) -> Result<Line, String> {
    let name: Line = text.parse().map_err(|why: craft::text::TextError| why.to_string())?;
    if name.is_empty() { Err(craft::refusal::Refusal::NoName.to_string()) } else { Ok(name) }
}

fn tag(studio: &Studio, row: &Row, now: Moment) -> Result<Tag, String> {
    if row.tag.trim().is_empty() {
        let fresh = fresh::tag_for(studio, &[&row.name, &row.client], now);
        return fresh
            .ok_or_else(|| "every tag there is has been given; nothing more can be opened".to_owned());
    }
    let tag: Tag = row.tag.parse().map_err(|why: craft::tag::TagError| why.to_string())?;
    let taken = studio.orders().contains_key(&tag) || studio.locked().contains_key(&DocId::Order(tag));
    if taken { Err(craft::refusal::Refusal::TagTaken(tag).to_string()) } else { Ok(tag) }
}

fn arrived(studio: &Studio, row: &Row, slips: &mut Slips) -> Option<Arrived> {
    let material = row.material.ok_or_else(|| "say what was entrusted: hair, fur, ashes, …".to_owned());
    let material = slips.keep(Field::Material, material);
    // What has gone home lies nowhere here any more.
    let place = if row.stage == Stage::GoneHome && row.place.trim().is_empty() {
        Some(Place::Bench)
    } else {
        slips.keep(Field::Place, place(studio, &row.place))
    };
    let keep_back = slips.keep(Field::KeepBack, keep_back(studio, &row.keep_back));
    let made = if row.stage >= Stage::Made {
        Some(made(studio, row, keep_back.unwrap_or(Share::NONE), slips))
    } else {
        None
    };
    let put_away = row.kept_back == KeptBack::PutAway;
    match (material, place, keep_back, made) {
        (Some(material), Some(place), Some(keep_back), None) => {
            Some(Arrived { material, place, keep_back, put_away, made: None })
        }
        (Some(material), Some(place), Some(keep_back), Some(Some(made))) => {
            Some(Arrived { material, place, keep_back, put_away, made: Some(made) })
        }
        _ => None,
    }
}

fn place(studio: &Studio, text: &str) -> Result<Place, String> {
    let text = text.trim();
    let places = &studio.policies().places;
    let named = || (1_u16..).zip(places).filter(|(_, name)| !name.is_empty());
    let wanted = words::folded(text);
    if matches!(wanted.as_str(), "bench" | "on the bench" | "the bench") {
        return Ok(Place::Bench);
    }
    let by_name = named().find(|(_, name)| words::folded(name.as_str()) == wanted);
    let by_number = || named().find(|(no, _)| text == no.to_string());
    if let Some((no, _)) = by_name.filter(|_| !text.is_empty()).or_else(by_number) {
        return Ok(Place::Kept(no));
    }
    let known: Vec<&str> = named().map(|(_, name)| name.as_str()).take(6).collect();
    let known = if known.is_empty() { String::new() } else { format!(": {}", known.join(", ")) };
    Err(match text {
        "" => format!("say where it lies: on the bench, or in a place of the studio's list{known}"),
        text => format!(
            "there is no place called {}; write bench, or a place of the studio's list{known}",
            typed::quoted(text)
        ),
    })
}

fn keep_back(studio: &Studio, text: &str) -> Result<Share, String> {
    let usual =
        ["", "agreed", "as agreed", "agreed default", "the agreed default", "default", "usual", "as usual"];
    if usual.contains(&words::folded(text.trim()).as_str()) {
        return Ok(studio.policies().keep_back);
    }
    let share = typed::share(text)?.value;
    if share == Share::NONE || keep_back_is_sound(share) {
        Ok(share)
    } else {
        Err("a keep-back is between a hundredth and nine tenths of what came; write \"nothing\" where none was agreed"
            .to_owned())
    }
}

/// More stones than anyone makes from one lot.
const MOST_STONES: u8 = 24;

fn made(studio: &Studio, row: &Row, keep_back: Share, slips: &mut Slips) -> Option<Made> {
    let count = slips.keep(Field::Stones, count(&row.stones));
    let chosen = if row.stage >= Stage::Chosen {
        slips.keep(Field::Chosen, chosen(&row.chosen, count)).map(Some)
    } else {
        Some(None)
    };
    let in_each_guessed = row.in_each.trim().is_empty();
    let in_each = if in_each_guessed {
        Ok(Share::of(1, 100))
    } else {
        typed::share(&row.in_each).map(|typed| typed.value)
    };
    let in_each = in_each.and_then(|share| {
        let all = u64::from(share.millionths()) * u64::from(count.unwrap_or(1));
        let left = Share::WHOLE.less(keep_back).unwrap_or(Share::NONE);
        if all <= u64::from(left.millionths()) {
            return Ok(share);
        }
        Err(format!(
            "the stones would hold more than the {} that was not kept back; write a smaller share",
            words::share(left)
        ))
    });
    let in_each = slips.keep(Field::InEach, in_each);
    let mould = slips
        .keep(Field::Mould, item(studio, row.mould.as_ref(), "mould", |what| matches!(what, What::Mould(_))));
    let pigment = slips.keep(Field::Pigment, pigment(studio, row));
    let resin = slips
        .keep(Field::Stage, item(studio, None, "bottle of resin", |what| matches!(what, What::Resin(_))));
    let lamp = slips.keep(Field::Stage, item(studio, None, "lamp", |what| matches!(what, What::Lamp(_))));
    let (mould, shape) = mould?;
    let What::Mould(shape) = &shape.what else { return None };
    Some(Made {
        count: count?,
        chosen: chosen?,
        in_each: in_each?,
        in_each_guessed,
        mould: mould.clone(),
        cells: shape.cells.clone(),
        depth: shape.cavity.depth(),
        resin: resin?.0.clone(),
        lamp: lamp?.0.clone(),
        pigment: pigment?.clone(),
    })
}

fn count(text: &str) -> Result<u8, String> {
    let wanted = || "say how many stones were made, such as 2".to_owned();
    if text.trim().is_empty() {
        return Err(wanted());
    }
    let folded = words::folded(text.trim());
    let number = folded.trim_end_matches("stones").trim_end_matches("stone").trim();
    let count = typed::whole(number).ok_or_else(wanted)?;
    match u8::try_from(count) {
        Ok(count @ 1..=MOST_STONES) => Ok(count),
        _ => Err(format!("write a number of stones from 1 to {MOST_STONES}")),
    }
}

fn chosen(text: &str, count: Option<u8>) -> Result<u8, String> {
    if text.trim().is_empty() && count == Some(1) {
        return Ok(1);
    }
    let wanted = || "say which stone was chosen, by its number on the proof".to_owned();
    let folded = words::folded(text.trim());
    let number = folded.trim_start_matches("stone").trim_start_matches('s').trim();
    let no =
        typed::whole(number).and_then(|no| u8::try_from(no).ok()).filter(|no| *no > 0).ok_or_else(wanted)?;
    match count.filter(|count| no > *count) {
        Some(count) => Err(format!(
            "only {} made; choose one of them",
            match count {
                1 => "one stone was".to_owned(),
                count => format!("{count} stones were"),
            }
        )),
        None => Ok(no),
    }
}

/// The item that is meant, or the first of its kind that is in use.
fn item<'a>(
    studio: &'a Studio,
    wanted: Option<&ShelfId>,
    kind: &str,
    is: impl Fn(&What) -> bool,
) -> Result<(&'a ShelfId, &'a Item), String> {
    let all = || studio.shelf().iter().filter(|(_, item)| is(&item.what));
    if let Some(id) = wanted {
        return all()
            .find(|(known, _)| *known == id)
            .ok_or_else(|| format!("{id} is not a {kind} on the shelf"));
    }
    let first = all().find(|(_, item)| !item.retired).or_else(|| all().next());
    first.ok_or_else(|| format!("put a {kind} on the shelf first; a made stone names one"))
}

fn pigment<'a>(studio: &'a Studio, row: &Row) -> Result<&'a ShelfId, String> {
    let is = |what: &What| matches!(what, What::Pigment(_));
    let clear = |what: &What| matches!(what, What::Pigment(pigment) if !pigment.mix.class.hides());
    let wanted = row.pigment.as_ref();
    let found = match wanted {
        None => item(studio, None, "pigment", clear).or_else(|_| item(studio, None, "pigment", is)),
        some => item(studio, some, "pigment", is),
    };
    found.map(|(id, _)| id)
}
