//! What a bottle's tests say, in bench words: what is believed now, what was seen, and what a test would win.

mod explained;
mod seen;
#[cfg(test)]
mod tests;
mod trial;
mod warmth;

use std::collections::{BTreeMap, BTreeSet};

use chrono::NaiveDate;
use craft::cure::{Light, Provenance};
use craft::id::ShelfId;
use craft::learning::{Day, Known, Newness, Note, Worth, worth};
use craft::shelf::{Body, Bottle, Item, Lamp, Mould, What};
use craft::studio::{Asked, PlanningError, Recorded, Studio, Taught};
use craft::units::{Length, Span};

use super::plan_words::{self, Explained};
use super::words;

pub(in crate::present) use explained::full_light;
pub use seen::{SeenLine, seen_of};
pub use trial::{Plot, PlotLine, PlotPoint, Trial, trial};
pub use warmth::{Warmth, warmth_trial};

/// What is believed of a bottle under one lamp.
#[derive(Clone, Debug, PartialEq)]
pub struct OfLamp {
    /// The lamp's name.
    pub lamp: String,
    /// How sure that is, and what it comes from.
    pub sure: String,
    /// How deep a clear layer may be under each button that was tried, a sentence each.
    pub layers: Vec<String>,
    /// What is new since it was seen, and what that does; empty where nothing is.
    pub new: String,
    /// What to know about it, a sentence each.
    pub notes: Vec<String>,
}

/// All that a bottle's page says of what was learned.
#[derive(Clone, Debug, PartialEq)]
pub struct Told {
    /// What is believed under each lamp that something is known of.
    pub lamps: Vec<OfLamp>,
    /// What that wins on a standard stone; empty where nothing is known.
    pub won: String,
    /// What was written down, the newest first.
    pub seen: Vec<SeenLine>,
    /// How the layers of all orders came out; empty where none was felt.
    pub recorded: String,
    /// The newest of them, a line each.
    pub layers: Vec<String>,
    /// How warm a layer gets by what was seen of that; empty where nothing was.
    pub warmth: String,
    /// How all of that is worked out; empty where nothing was.
    pub explained: Vec<Explained>,
}

/// The most layers of the records that are listed.
const MOST_LISTED: usize = 12;

/// What the page of a bottle says of what was learned.
///
/// # Errors
/// It is not on the shelf, or what was seen cannot have been.
pub fn told(studio: &Studio, bottle: &ShelfId, today: NaiveDate) -> Result<Told, String> {
    let Some(Item { what: What::Resin(of), .. }) = studio.shelf().get(bottle) else {
        return Err("that is not a bottle of resin".to_owned());
    };
    let recorded = studio.recorded(bottle);
    let lamps = studio.shelf().iter().filter(|(_, item)| !item.retired);
    let lamps = lamps.filter_map(|(id, item)| match &item.what {
        What::Lamp(lamp) => Some((id, item, lamp)),
        _ => None,
    });
    let (mut all, mut explained) = (Vec::new(), Vec::new());
    let mut won = Won::default();
    for (id, item, lamp) in lamps {
        let tried = tried(of, &recorded, id);
        let Some((of_lamp, how)) = of_lamp(studio, (bottle, id), (item.name.as_str(), lamp, &tried), today)
            .map_err(|why| why.to_string())?
        else {
            continue;
        };
        if won.words.is_empty() {
            won = won_of(studio, (bottle, id), today).unwrap_or_default();
        }
        all.push(of_lamp);
        explained.push(how);
    }
    let warmth = warmth::believed(studio, (bottle, of), today);
    explained.extend(won.explained);
    explained.extend(warmth.as_ref().map(|warmth| warmth.explained.clone()));
    if !of.observations.is_empty() || !recorded.is_empty() {
        explained.push(explained::full_light_here(studio));
    }
    let layers = recorded.iter().take(MOST_LISTED).map(|recorded| seen::layer_line(studio, recorded, today));
    Ok(Told {
        lamps: all,
        won: won.words,
        seen: seen_of(studio, of, today),
        recorded: seen::counted(&recorded),
        layers: layers.collect(),
        warmth: warmth.map(|warmth| warmth.words).unwrap_or_default(),
        explained,
    })
}

/// The buttons of a lamp that something was seen under.
fn tried(bottle: &Bottle, recorded: &[Recorded], lamp: &ShelfId) -> BTreeSet<u8> {
    let seen = bottle.observations.iter().chain(recorded.iter().map(|recorded| &recorded.seen));
    seen.filter(|seen| seen.lamp == *lamp && seen.is_of_depth()).map(|seen| seen.button).collect()
}

/// The kinds of moulds that stand on the shelf; both where there is none yet.
fn bodies(studio: &Studio) -> Vec<Body> {
    let used = |wanted: Body| {
        studio.shelf().values().any(|item| {
            !item.retired && matches!(&item.what, What::Mould(Mould { body, .. }) if *body == wanted)
        })
    };
    let bodies: Vec<Body> =
        [Body::LetsLightIn, Body::Opaque].into_iter().filter(|body| used(*body)).collect();
    if bodies.is_empty() { vec![Body::LetsLightIn] } else { bodies }
}

/// The pigment that stones are planned in most, of those that hide; else the first of them.
fn usual_pigment(studio: &Studio) -> Option<&ShelfId> {
    let hides = |item: &Item| matches!(&item.what, What::Pigment(of) if of.mix.class.hides());
    let mut used: BTreeMap<ShelfId, usize> = BTreeMap::new();
    for held in studio.orders().values() {
        for stone in held.stones().iter() {
            *used.entry(stone.pigment.clone()).or_default() += 1;
        }
    }
    let all = studio.shelf().iter().filter(|(_, item)| !item.retired && hides(item));
    // Of those used equally often the first.
    all.map(|(id, _)| id).rev().max_by_key(|id| used.get(id).copied().unwrap_or(0))
}

fn asked<'a>(
    (resin, lamp, pigment): (&'a ShelfId, &'a ShelfId, &'a ShelfId),
    body: Body,
    today: NaiveDate,
) -> Asked<'a> {
    Asked { resin, lamp, pigment, body, today, also: None }
}

fn of_lamp(
    studio: &Studio,
    (bottle, id): (&ShelfId, &ShelfId),
    (name, lamp, tried): (&str, &Lamp, &BTreeSet<u8>),
    today: NaiveDate,
) -> Result<Option<(OfLamp, Explained)>, PlanningError> {
    let Some(pigment) = any_pigment(studio) else { return Ok(None) };
    let mut taught: Vec<(Body, Taught)> = Vec::new();
    for body in bodies(studio) {
        taught.push((body, studio.taught(&asked((bottle, id, pigment), body, today))?));
    }
    let known = |taught: &'_ (Body, Taught)| taught.1.known.is_some();
    // What is really learned from speaks before what only has a word of warning.
    let speaks =
        taught.iter().find(|of| of.1.is_from_work() && known(of)).or(taught.iter().find(|of| known(of)));
    let Some((first, known)) = speaks.and_then(|(_, taught)| Some((taught, taught.known.as_ref()?))) else {
        return Ok(None);
    };
    let is_tried = |no: &u8| tried.is_empty() || tried.contains(no);
    let buttons = (1_u8..).zip(&lamp.buttons).filter(|(no, _)| is_tried(no));
    let layers = buttons.map(|(no, button)| layer_words(&taught, no, button.name())).collect();
    let lights: Vec<&Light> =
        (1_u8..).zip(&first.lights).filter(|(no, _)| is_tried(no)).map(|(_, light)| light).collect();
    let how = explained::depth(first, name, &lights);
    let of_lamp = OfLamp {
        lamp: name.to_owned(),
        sure: sure_words(known, first.cure.resin.provenance),
        layers,
        new: new_words(known),
        notes: notes_words(&taught),
    };
    Ok(Some((of_lamp, how)))
}

/// What to know of a bottle under a lamp, each once. That layers of a clear mould prove nothing for a dark one is said
/// only where a test was made in the clear one: of layers that were poured anyway nobody expects it.
fn notes_words(taught: &[(Body, Taught)]) -> Vec<String> {
    notes_of(&taught.iter().filter_map(|(_, taught)| taught.known.as_ref()).collect::<Vec<_>>(), None)
}

/// The same for what is known, without what is said of another pigment than `pigment`, where one is named.
fn notes_of(all: &[&Known], pigment: Option<&ShelfId>) -> Vec<String> {
    let known = || all.iter();
    let tested = known().any(|known| known.learned.tested.is_some());
    let is_said = |note: &&Note| match note {
        Note::NothingHere => false,
        Note::OtherMould { .. } => tested,
        Note::InColour { pigment: of, .. } => pigment.is_none_or(|pigment| pigment == of),
        _ => true,
    };
    let mut notes: Vec<String> = Vec::new();
    for note in known().flat_map(|known| &known.learned.notes).filter(is_said) {
        let words = words::sentence(&note.to_string());
        if !notes.contains(&words) {
            notes.push(words);
        }
    }
    notes
}

/// What to know of what a stone is made with, for its plan: what is new and counts for less until it is tested, then what
/// was noted of the bottle under this lamp and of this pigment in it.
pub fn for_plan(taught: &Taught, pigment: &ShelfId) -> Vec<String> {
    let Some(known) = &taught.known else { return Vec::new() };
    let new = Some(new_words(known)).filter(|words| !words.is_empty());
    new.into_iter().chain(notes_of(&[known], Some(pigment))).collect()
}

/// Any pigment: clear layers are the same with each.
fn any_pigment(studio: &Studio) -> Option<&ShelfId> {
    studio.shelf().iter().find(|(_, item)| matches!(item.what, What::Pigment(_))).map(|(id, _)| id)
}

/// "60 s: a clear layer up to 2.3 mm is sure to set right through."
fn layer_words(taught: &[(Body, Taught)], no: u8, button: &str) -> String {
    let thickest: Vec<(Body, Option<Length>)> = taught
        .iter()
        .map(|(body, taught)| {
            let light = taught.lights.get(usize::from(no).saturating_sub(1));
            (*body, light.and_then(|light| taught.thickest_clear(light)))
        })
        .collect();
    let said = |thickest: Option<Length>| match thickest {
        Some(thickest) => format!("up to {}", words::length(thickest)),
        None => "none".to_owned(),
    };
    if thickest.iter().all(|(_, thickest)| thickest.is_none()) {
        return format!("{button}: no clear layer is sure to set right through.");
    }
    let all_one = thickest.windows(2).all(|pair| pair.first().map(|of| of.1) == pair.last().map(|of| of.1));
    let layers = if let (Some((_, first)), true) = (thickest.first(), all_one) {
        said(*first)
    } else {
        let each = thickest.iter().map(|(body, thickest)| format!("{} {}", said(*thickest), mould(*body)));
        words::list(&each.collect::<Vec<_>>())
    };
    format!("{button}: a clear layer {layers} is sure to set right through.")
}

const fn mould(body: Body) -> &'static str {
    match body {
        Body::LetsLightIn => "in a mould that lets light in",
        Body::Opaque => "in a dark one",
    }
}

/// Below this doubt of the light under two millimetres it is well known, below the second fairly (common practice, no
/// source).
const KNOWN: (f64, f64) = (0.20, 0.38);

/// "Well known, from your test of 3 May 2026; plans use it now."
fn sure_words(known: &Known, provenance: Provenance) -> String {
    let doubt = known.learned.belief.log_ratio(Length::from_micro(2_000_000), Span::from_micro(60_000_000)).1;
    let how = match doubt {
        doubt if doubt < KNOWN.0 => "Well known",
        doubt if doubt < KNOWN.1 => "Fairly well known",
        _ => "Little is known yet",
    };
    let from = match (provenance, known.carried) {
        (Provenance::Typical, _) if known.learned.dead.is_some() => {
            "from a test in which nothing set".to_owned()
        }
        (Provenance::Typical, _) => "from how your layers came out".to_owned(),
        // After a test in which nothing set plans wait.
        (Provenance::Tested(_), _) if known.learned.dead.is_some() => {
            format!("from {}", plan_words::provenance(provenance))
        }
        (Provenance::Tested(_), _) => {
            format!("from {}; plans use it now", plan_words::provenance(provenance))
        }
        (Provenance::Practised, Some(Newness::Lamp)) => "from the lamp before it".to_owned(),
        (Provenance::Practised, Some(_)) => "from the bottle before it".to_owned(),
        (Provenance::Practised, None) => "from what works for you and how layers came out".to_owned(),
    };
    format!("{how}, {from}.")
}

/// What is new, and that it counts for less until it is tested.
fn new_words(known: &Known) -> String {
    if known.learned.tested.is_some() {
        return String::new();
    }
    let what = match known.carried {
        None => return String::new(),
        Some(Newness::Bottle) => {
            "This bottle was opened after the last test, and no two bottles are quite alike"
        }
        Some(Newness::Lamp) => "This lamp took another's place, and no two lamps are quite alike",
        Some(Newness::Both) => "Bottle and lamp are both newer than what was seen",
    };
    format!(
        "{what}: what was learned before counts for less, and layers are planned thinner, until you test again."
    )
}

/// What was won, and how that is worked out.
#[derive(Default)]
struct Won {
    words: String,
    explained: Option<Explained>,
}

/// What is won on a standard stone by all that was seen of a bottle under a lamp.
fn won_of(studio: &Studio, (bottle, lamp): (&ShelfId, &ShelfId), today: NaiveDate) -> Option<Won> {
    let pigment = usual_pigment(studio)?;
    let body = bodies(studio).first().copied()?;
    let asked = asked((bottle, lamp, pigment), body, today);
    let (before, after) = (studio.untaught(&asked).ok()?, studio.taught(&asked).ok()?);
    if after.something_sets().is_err() {
        let words = "Plans wait for a test in which something sets.".to_owned();
        return Some(Won { words, explained: None });
    }
    let won = worth((&before.cure, &before.lights), (&after.cure, &after.lights)).ok()?;
    let pigment = words::item_name(studio, pigment);
    let words = worth_words(&won, &pigment, "before anything was seen");
    Some(Won { words, explained: Some(explained::won(&won, &pigment)) })
}

/// "A standard stone in Sage now takes 3 layers and 29 minutes; before this test it took 5 and 38."
pub(super) fn worth_words(won: &Worth, pigment: &str, before: &str) -> String {
    let stone = format!("A standard stone in {pigment}");
    let said = |day: Day| {
        let layers = words::count(day.layers, "layer", "layers");
        let minutes = words::count(usize::try_from(day.minutes).unwrap_or_default(), "minute", "minutes");
        format!("{layers} and {minutes}")
    };
    match (won.before, won.after) {
        (None, None) => format!("{stone} cannot be laid with this lamp, as before."),
        (None, Some(after)) => format!("{stone} can be laid now, in {}; {before} it could not.", said(after)),
        (Some(_), None) => {
            format!(
                "{stone} cannot be laid any more with this lamp: what was seen asks for more light than it gives."
            )
        }
        (Some(was), Some(is)) if was == is => format!("{stone} takes {}, as {before}.", said(is)),
        (Some(was), Some(is)) => {
            let care = if is.minutes > was.minutes { " It asks for more care than was thought." } else { "" };
            format!("{stone} now takes {}; {before} it was {}.{care}", said(is), said(was))
        }
    }
}
