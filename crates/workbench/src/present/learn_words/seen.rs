//! What was seen, in words.

use chrono::NaiveDate;
use craft::fact::Hardness;
use craft::heat::HeatSeen;
use craft::id::ShelfId;
use craft::learning::{Observation, Seen, WedgePoint};
use craft::shelf::{Body, Bottle, What};
use craft::studio::{Recorded, Studio};

use crate::present::words;

/// Something that was seen and written down.
#[derive(Clone, Debug, PartialEq)]
pub struct SeenLine {
    /// The observation.
    pub seen: Observation,
    /// "3 May: a test of 5 patches under 60 s of Small lamp, clear, in something dark."
    pub words: String,
    /// What each patch showed; empty where it is no test.
    pub more: String,
}

/// What was written down of a bottle, the newest first.
pub fn seen_of(studio: &Studio, bottle: &Bottle, today: NaiveDate) -> Vec<SeenLine> {
    let mut all: Vec<SeenLine> =
        bottle.observations.iter().rev().map(|seen| line(studio, seen, today)).collect();
    all.sort_by_key(|line| std::cmp::Reverse(line.seen.on));
    all
}

/// "60 s of Small lamp".
pub(super) fn button_words(studio: &Studio, lamp: &ShelfId, no: u8) -> String {
    let button = match studio.shelf().get(lamp).map(|item| &item.what) {
        Some(What::Lamp(lamp)) => lamp.buttons.get(usize::from(no).saturating_sub(1)),
        _ => None,
    };
    let button = button.map_or_else(|| format!("button {no}"), |button| button.name().to_owned());
    format!("{button} of {}", words::item_name(studio, lamp))
}

fn line(studio: &Studio, seen: &Observation, today: NaiveDate) -> SeenLine {
    let under = button_words(studio, &seen.lamp, seen.button);
    let resin = match &seen.pigment {
        None => "clear".to_owned(),
        Some(pigment) => format!("with {} of {}", pigment.load, words::item_name(studio, &pigment.item)),
    };
    let place = match seen.body {
        Body::LetsLightIn => "in something clear or white",
        Body::Opaque => "in something dark",
    };
    let (what, more) = match &seen.seen {
        Seen::Wedge { points } => {
            let patches = words::count(points.len(), "patch", "patches");
            (format!("a test of {patches} under {under}, {resin}, {place}"), patches_words(points))
        }
        Seen::Works { thickness, times, .. } => {
            let times = words::count(usize::from(*times), "time", "times");
            let thick = words::length(*thickness);
            (format!("{thick} under {under}, {resin}, {place}, works; it did about {times}"), String::new())
        }
        Seen::Felt { thickness, hardness, .. } => {
            let thick = words::length(*thickness);
            (
                format!("{thick} under {under}, {resin}, came out {}", words::hardness(*hardness)),
                String::new(),
            )
        }
        Seen::Warmed { thickness, room, warmth } => {
            let thick = words::length(*thickness);
            let warmth = warmth_words(*warmth);
            (format!("{thick} under {under}, {resin}, {warmth} in a room of {room}"), String::new())
        }
    };
    let words = format!("{}: {what}.", words::date(seen.on, today));
    SeenLine { seen: seen.clone(), words, more }
}

fn warmth_words(warmth: HeatSeen) -> String {
    match warmth {
        HeatSeen::Felt(feel) => format!("was {}", words::warmth(feel)),
        HeatSeen::Read(read) => format!("was measured at {read}"),
    }
}

/// "3 s of full light set nothing, 6 s 1.1 mm, 12 s 1.8 mm."
fn patches_words(points: &[WedgePoint]) -> String {
    let set = |point: &WedgePoint| {
        let depth = point.depth.value;
        if depth.is_positive() { words::length(depth) } else { "nothing".to_owned() }
    };
    let all = points.iter().enumerate().map(|(place, point)| {
        let of = if place == 0 { " of full light set" } else { "" };
        format!("{}{of} {}", words::span(point.light), set(point))
    });
    format!("{}.", all.collect::<Vec<_>>().join(", "))
}

/// "In your orders 38 layers came out hard, 2 tacky and 1 soft."
pub(super) fn counted(recorded: &[Recorded]) -> String {
    let count = |wanted: Hardness| {
        let is = |recorded: &&Recorded| matches!(&recorded.seen.seen, Seen::Felt { hardness, .. } if *hardness == wanted);
        recorded.iter().filter(is).count()
    };
    let parts: Vec<String> = [Hardness::Hard, Hardness::Tacky, Hardness::Soft]
        .into_iter()
        .map(|hardness| (count(hardness), words::hardness(hardness)))
        .filter(|(count, _)| *count > 0)
        .enumerate()
        .map(|(place, (count, felt))| match place {
            0 => format!("{} came out {felt}", words::count(count, "layer", "layers")),
            _ => format!("{count} {felt}"),
        })
        .collect();
    if parts.is_empty() {
        return String::new();
    }
    let which = if recorded.len() < Studio::MOST_RECORDED {
        "In your orders"
    } else {
        "Of the newest in your orders"
    };
    format!("{which} {}.", words::list(&parts))
}

/// "12 November, stone 2 of Bramble: 0.8 mm, 60 s of full light, tacky."
pub(super) fn layer_line(studio: &Studio, recorded: &Recorded, today: NaiveDate) -> String {
    let whose =
        studio.orders().get(&recorded.tag).map_or_else(|| recorded.tag.to_string(), words::remembered);
    let Seen::Felt { thickness, light, hardness } = &recorded.seen.seen else { return String::new() };
    format!(
        "{}, {} of {whose}: {}, {} of full light, {}.",
        words::date(recorded.seen.on, today),
        words::stone(recorded.stone),
        words::length(*thickness),
        words::span(*light),
        words::hardness(*hardness)
    )
}
