//! Words on the controls: after.

use craft::id::Thing;
use craft::place::Place;
use craft::stage::Stage;
use craft::studio::{Held, Studio};

use crate::present::words;

/// The main button: it arrived.
pub const ARRIVED: &str = "It has arrived";
/// The day something happened, where it is told of late.
pub const DAY: &str = "On which day";
/// A field for a day left empty.
pub const TODAY: &str = "today";
/// The main button: thanks.
pub const COPY_THANKS: &str = "Copy the thank-you";
/// It is sent.
pub const THANKS_SENT: &str = "note that it is sent";
/// The client wrote.
pub const WROTE_BACK: &str = "they wrote back";
/// Under the thank-you.
pub const THANKS_HINT: &str = "Its words can be changed among the messages.";
/// Heading of the list.
pub const WENT_HOME: &str = "What went home";
/// Heading of what did not.
pub const STAYED: &str = "What is still here";
/// Heading of the parcel.
pub const PARCEL: &str = "The parcel";
/// Opens what can be told of a thing.
pub const TELL: &str = "something came back, or has a fault";
/// What is told.
pub const WHAT: &str = "What happened";
/// Of a thing.
pub const CAME_BACK: &str = "it came back";
/// Of a thing.
pub const FAULT: &str = "it has a fault";
/// Which thing.
pub const WHICH: &str = "Which thing";
/// When it came back or the fault was told.
pub const HAPPENED: &str = "When it was";
/// A thing that is wanted.
pub const THING_WANTED: &str = "Say which thing it is.";
/// Where it was put.
pub const PLACE: &str = "Where it was put";
/// Records it.
pub const RECORD_BACK: &str = "record that it came back";
/// Records it.
pub const RECORD_FAULT: &str = "record the fault";
/// Heading of faults.
pub const FAULTS: &str = "Faults that were reported";
/// What the client said of one.
pub const FAULT_WORDS: &str = "What was said";
/// A place that is wanted.
pub const PLACE_WANTED: &str = "Say where it was put.";
/// Before anything has gone.
pub const NOT_SENT: &str = "The parcel has not left yet. Once it has, this page keeps what happens to it.";

/// Over parcels that left with a part.
pub const PARTS: &str = "Parts that went home before";
/// The newest of them came home.
pub const PART_ARRIVED: &str = "that part has arrived";

/// Each parcel that left with a part: "On 3 May: stone 2 and envelope 2, at home with the client."
pub fn parts(held: &Held, today: chrono::NaiveDate) -> Vec<String> {
    let said = held.ledger.home.parts.iter().map(|part| {
        let with = |kept: &craft::ledger::Held| kept.sent_with == Some(part.entry);
        let things: Vec<_> = held.ledger.custody.things.iter().filter(|(_, kept)| with(kept)).collect();
        let names: Vec<String> = things.iter().map(|(thing, _)| words::thing_plain(**thing)).collect();
        let home = things.iter().all(|(_, kept)| kept.place == Place::Home);
        let stands = if home { "at home with the client" } else { "on its way" };
        let what = if names.is_empty() { "what has come back since".to_owned() } else { words::list(&names) };
        format!("On {}: {what}, {stands}.", words::date(part.day(), today))
    });
    said.collect()
}

/// The care card by the day it was written; none where it never was.
pub fn care_card(written: Option<&str>) -> String {
    match written {
        Some(day) => format!("The care card was written on {day}."),
        None => "The parcel left without a care card; it can be written and sent later.".to_owned(),
    }
}

/// The way to a care card that is written.
pub const CARE_AGAIN: &str = "look at it, or write it anew";
/// The way to one that is not.
pub const CARE_WRITE: &str = "to the care card";

/// A thing after the parcel left.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct After {
    /// The thing.
    pub thing: Thing,
    /// Its name: "piece 1, with stone 2".
    pub name: String,
    /// Where it is: "at home with the client".
    pub stands: String,
    /// It left, and is on its way or there.
    pub gone: bool,
}

/// What left, and what should have and did not: emptied envelopes and what is part of a piece are not named.
pub fn things(studio: &Studio, held: &Held) -> Vec<After> {
    let waiting = held.ledger.to_pack();
    let all = held.ledger.custody.things.iter().filter(|(_, kept)| kept.part_of.is_none());
    let rows = all.filter_map(|(thing, kept)| {
        let gone = matches!(kept.place, Place::Post | Place::Home) && !kept.lost;
        let counts = gone || kept.lost || kept.left_out.is_some() || kept.place == Place::Box;
        (counts || waiting.contains(thing)).then(|| {
            let stands = match kept.left_out {
                _ if kept.lost => "cannot be found".to_owned(),
                Some(why) => words::left_out(why).to_owned(),
                None => words::place(studio, &kept.place),
            };
            After { thing: *thing, name: name(held, *thing), stands, gone }
        })
    });
    rows.collect()
}

/// "piece 1, with stone 2".
fn name(held: &Held, thing: Thing) -> String {
    let inside = held.ledger.custody.things.iter().filter(|(_, kept)| kept.part_of == Some(thing));
    let inside: Vec<String> = inside.map(|(part, _)| words::thing_plain(*part)).collect();
    let name = words::thing(held, thing);
    if inside.is_empty() { name } else { format!("{name}, with {}", words::list(&inside)) }
}

/// The quiet end of an order, once all that was sent has arrived. It says no more than the record does.
pub fn end(held: &Held) -> Option<(String, String)> {
    let things = || held.ledger.custody.things.values();
    let travels = things().any(|kept| kept.place == Place::Post && !kept.lost);
    if held.stage() != Stage::GoneHome || travels || held.ledger.home.arrived.is_none() {
        return None;
    }
    let held_here = things().filter(|kept| kept.left_out.is_some() && kept.is_here()).count();
    let name = words::remembered(held);
    let rest = match held_here {
        0 => "Nothing of this order is left in the studio.".to_owned(),
        count => format!("{} stayed here, as is written below.", words::count(count, "thing", "things")),
    };
    Some((format!("{name} is home."), rest))
}

/// True for a line of the page that stands elsewhere on it already.
pub fn is_elsewhere(label: &str) -> bool {
    matches!(label, "fault reported" | "your words")
}

/// A thing and what is said of it, as a control: "it came back: piece 1".
pub fn of_thing(words: &str, name: &str) -> String {
    format!("{words}: {name}")
}

/// A fault: "piece 1, on 3 May".
pub fn fault(name: &str, day: &str) -> String {
    format!("{name}, on {day}")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::present::sample::{bench, gone_home};

    #[test]
    fn everything_that_left_is_named_and_emptied_envelopes_are_not() {
        let (studio, tag) = gone_home();
        let held = studio.order(tag).unwrap();
        let rows = things(&studio, held);
        assert!(!rows.is_empty());
        for thing in held.ledger.packed() {
            assert!(rows.iter().any(|row| row.thing == thing && row.gone), "{thing}");
        }
        assert!(rows.iter().all(|row| !row.stands.is_empty() && !row.name.is_empty()));
        let whole = rows.iter().find(|row| row.thing == Thing::piece(1)).unwrap();
        assert!(whole.name.contains("with stone"), "{}", whole.name);
    }

    #[test]
    fn the_end_is_said_only_of_what_has_gone_home() {
        let (mut studio, tag) = gone_home();
        let arrived = craft::studio::OrderEdit::Fact(craft::fact::HomeFact::Arrived.into());
        assert_eq!(end(studio.order(tag).unwrap()), None, "it is still on its way");
        let now = bench(Stage::GoneHome).now();
        studio.apply(craft::studio::Edit::Order(tag, arrived), now).unwrap();
        let (title, rest) = end(studio.order(tag).unwrap()).unwrap();
        assert_eq!(title, "Bramble is home.");
        assert!(rest.starts_with("Nothing of this order"), "{rest}");
        let here = bench(Stage::Here);
        assert_eq!(end(here.studio.order(here.tag).unwrap()), None);
    }
}
