//! Words on the controls: begin.

use chrono::NaiveDate;
use craft::stage::Stage;

use craft::studio::Studio;
use craft::text::Line;

use crate::present::words::folded;
use crate::quick::{Field, KeptBack};
use crate::typed;

/// Heading of a new order.
pub const NEW: &str = "A new order";
/// Under it.
pub const NEW_HINT: &str = "A name is enough. Everything else can be written in when it is known.";
/// The one remembered.
pub const REMEMBERED: &str = "Who is remembered";
/// Whose order.
pub const CLIENT: &str = "Client";
/// The main button of a new order.
pub const OPEN: &str = "Open the order";
/// Closes a form; what was typed stays.
pub const CLOSE: &str = "close";
/// Where a form still holds what was typed when it was closed.
pub const KEPT: &str = "What was typed here last time is still here.";
/// Lets it go.
pub const AFRESH: &str = "start afresh";
/// Heading of running orders.
pub const RUNNING: &str = "Orders that are running already";
/// Under it.
pub const RUNNING_HINT: &str =
    "One row for each packet. Enter goes from field to field, and the last one records the row.";
/// The main button of running orders.
pub const RECORD: &str = "Record this one";
/// What was entered so far.
pub const ENTERED: &str = "Entered so far";
/// Rarer fields.
pub const MORE: &str = "more about this one";
/// A known client is meant.
pub const KNOWN: &str = "known already:";
/// The client was picked from those.
pub const PICKED: &str = "This client is known already.";

/// The label of a field of a row.
pub const fn field(field: Field) -> &'static str {
    match field {
        Field::Client => CLIENT,
        Field::Name => REMEMBERED,
        Field::Material => "What was entrusted",
        Field::Stage => "How far it is",
        Field::Due => "Promised for",
        Field::Since => "As it is since",
        Field::Tag => "Tag that is on it already",
        Field::KeepBack => "Keep-back",
        Field::Place => "Where it lies",
        Field::Stones => "Stones made",
        Field::Chosen => "Which was chosen",
        Field::Mould => "Their mould",
        Field::Pigment => "The colour behind",
        Field::InEach => "How much went into each",
    }
}

/// What stands in an empty field of a row.
pub const fn hint(field: Field) -> &'static str {
    match field {
        Field::Due => "12 December",
        Field::Since => "today",
        Field::Tag => "a fresh one",
        Field::KeepBack => "as agreed",
        Field::Place => "bench, or a drawer",
        Field::Stones => "2",
        Field::Chosen => "1",
        Field::InEach => "a hundredth",
        Field::Mould | Field::Pigment => "the first on the shelf",
        _ => "",
    }
}

/// Whether the keep-back is put away.
pub const KEPT_BACK: &str = "The keep-back is";
/// The words for it.
pub const fn kept_back(kept: KeptBack) -> &'static str {
    match kept {
        KeptBack::PutAway => "in its own envelope",
        KeptBack::NotYet => "still to be taken",
    }
}

/// The stage that a row begins with: what has a packet is here.
pub const FIRST_STAGE: Stage = Stage::Here;

/// A known client as a button: "Ida Lund, ida@mail.example".
pub fn known(name: &str, apart: &str) -> String {
    if apart.is_empty() { name.to_owned() } else { format!("{name}, {apart}") }
}

/// The name of the button that opens one of those entered.
pub fn open_one(name: &str) -> String {
    format!("open {name}")
}

/// How what was typed into a field of a row is understood, where that is not plain.
pub fn echo(field: Field, text: &str, today: NaiveDate) -> Option<String> {
    if text.trim().is_empty() {
        return None;
    }
    match field {
        Field::Due => typed::day(text, today).ok().map(|typed| typed.echo),
        Field::Since => typed::past_day(text, today).ok().map(|typed| typed.echo),
        Field::KeepBack | Field::InEach => typed::share(text).ok().map(|typed| typed.echo),
        _ => None,
    }
}

/// The places of the studio's list that hold what was typed, while it is not yet one of them; four at most.
pub fn places<'a>(studio: &'a Studio, text: &str) -> Vec<&'a str> {
    let wanted = folded(text.trim());
    let named = || studio.policies().places.iter().map(Line::as_str).filter(|name| !name.is_empty());
    if wanted.is_empty() || named().any(|name| folded(name) == wanted) {
        return Vec::new();
    }
    named().filter(|name| folded(name).contains(&wanted)).take(4).collect()
}

/// What to do with the tag that stands before it: "Write this on the packet of Bramble."
pub fn write(name: &str) -> String {
    format!("Write this on the packet of {name}.")
}

/// How many were entered: "3 orders".
pub fn count(count: usize) -> String {
    crate::present::words::count(count, "order", "orders")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::present::sample::{day, studio};

    #[test]
    fn a_place_is_offered_until_it_is_written_out() {
        let studio = studio();
        let whole = studio.policies().places[0].as_str();
        assert_eq!(places(&studio, "DRAW").first().copied(), Some(whole));
        assert_eq!(places(&studio, whole), Vec::<&str>::new());
        assert_eq!(places(&studio, "nowhere"), Vec::<&str>::new());
        assert_eq!(places(&studio, ""), Vec::<&str>::new());
    }

    #[test]
    fn a_typed_day_or_share_says_how_it_is_understood() {
        let today = day(2026, 11, 25);
        assert_eq!(
            echo(Field::Due, "12.12.", today),
            typed::day("12.12.", today).ok().map(|typed| typed.echo)
        );
        assert!(echo(Field::KeepBack, "a quarter", today).unwrap().contains("quarter"));
        assert_eq!(echo(Field::Due, "soon-ish", today), None, "what cannot be read has its own sentence");
        assert_eq!(echo(Field::Due, "", today), None);
        assert_eq!(echo(Field::Client, "Ida", today), None);
    }
}
