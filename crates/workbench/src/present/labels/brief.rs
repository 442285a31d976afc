//! Words on the controls: brief.

use chrono::NaiveDate;
use craft::client::{Permission, WriteWhen};
use craft::order::{Dated, Errand, ErrandKind, Occasion, Page, Parcel};

use crate::present::words;

/// Heading: who is remembered.
pub const REMEMBERED: &str = "Who is remembered";
/// The name.
pub const NAME: &str = "Name, letter for letter";
/// Who they were.
pub const ABOUT: &str = "Who they were";
/// An example of it.
pub const ABOUT_HINT: &str = "chestnut mare, 24 years";
/// The tick beside the name.
pub const SPELLING: &str = "the client has confirmed this spelling";
/// Days that matter.
pub const DATES: &str = "Days that matter";
/// What happened on one.
pub const DATE_WHAT: &str = "What happened";
/// An example of it.
pub const DATE_WHAT_HINT: &str = "born";
/// The day itself.
pub const DATE_ON: &str = "When it was";
/// An example of it.
pub const DATE_ON_HINT: &str = "3 May 2014";
/// Writes the day down.
pub const DATE_ADD: &str = "add the day";
/// What is wanted of a day without a word.
pub const DATE_WANTED: &str = "write what happened on that day, such as born";
/// Words never to be used.
pub const NEVER: &str = "Words never to be used";
/// One of them.
pub const NEVER_WORD: &str = "A word or phrase";
/// An example of it.
pub const NEVER_HINT: &str = "passed away";
/// Writes it down.
pub const NEVER_ADD: &str = "never say it";

/// Heading: what is wanted.
pub const WANTED: &str = "What is wanted";
/// The wishes.
pub const WISHES: &str = "Wishes, in the client's words";
/// The promise.
pub const DUE: &str = "Promised for";
/// An example of it.
pub const DUE_HINT: &str = "12 December";
/// An emptied day.
pub const NO_DAY: &str = "no day";
/// Who it is for.
pub const OCCASION: &str = "Who it is for";
/// The setting.
pub const SETTING: &str = "Setting from the shelf";
/// No setting.
pub const NO_SETTING: &str = "none chosen";
/// The ring size.
pub const RING: &str = "Ring size, as the client gave it";
/// An example of it.
pub const RING_HINT: &str = "UK M, or nothing for a pendant";

/// Heading: whose it is.
pub const WHOSE: &str = "Whose it is";
/// Their name.
pub const CLIENT: &str = "Client's name";
/// How to reach them.
pub const CONTACT: &str = "How to reach them";
/// An example of it.
pub const CONTACT_HINT: &str = "an address or a number";
/// Where to post.
pub const POST: &str = "Where to post, line by line";
/// The country.
pub const COUNTRY: &str = "Country, two letters";
/// Anything else.
pub const NOTE: &str = "Good to know";
/// Asked of the client.
pub const MAY_SHOW: &str = "May photos be shown?";
/// Asked of the client.
pub const MAY_TEACH: &str = "May it be taught with?";
/// When to write.
pub const WRITE: &str = "Write";
/// Opens the address.
pub const ADDRESS: &str = "address and note";
/// Where the client's file is not here.
pub const NO_CLIENT: &str = "The client of this order is not in this studio.";

/// Heading: what it costs.
pub const COST: &str = "What it costs";
/// All together.
pub const TOTAL: &str = "All together";
/// Beforehand.
pub const DEPOSIT: &str = "Deposit asked for";
/// The day it came.
pub const PAID: &str = "Deposit came on";
/// What it is for.
pub const QUOTE_NOTE: &str = "What it is for";
/// An example of it.
pub const QUOTE_HINT: &str = "ring, stone and postage";
/// An emptied price.
pub const NO_PRICE: &str = "no price";
/// The deposit came.
pub const PAID_TODAY: &str = "it came today";

/// Heading: who does what.
pub const ERRANDS: &str = "Who does what";
/// Under it, while there is nothing.
pub const ERRANDS_HINT: &str = "What someone else does: note who, and when it is to be back.";
/// Before the kinds that can be added.
pub const ADD: &str = "add:";
/// What exactly.
pub const ERRAND_WHAT: &str = "What exactly";
/// Who does it.
pub const ERRAND_WHO: &str = "Who does it";
/// When it was asked.
pub const ASKED: &str = "Asked on";
/// When it is expected.
pub const EXPECTED: &str = "Expected on";
/// When it was back.
pub const BACK: &str = "Back on";
/// Opens an errand.
pub const CHANGE: &str = "change";
/// Closes an errand.
pub const CLOSE: &str = "done";

/// The main button: the enquiry.
pub const ANSWERED: &str = "The enquiry is answered";
/// The main button: the kit.
pub const KIT_POSTED: &str = "The sending kit is posted";
/// Who carries the kit.
pub const CARRIER: &str = "Carrier of the kit";
/// An example of it.
pub const CARRIER_HINT: &str = "the post";
/// Its number.
pub const TRACKING: &str = "Tracking number of the kit";
/// No kit is needed: it is brought, or sent without one.
pub const NO_KIT: &str = "no kit is needed: to the arrival";
/// Opens the parcel of the kit.
pub const KIT_CHANGE: &str = "carrier and number of the kit";
/// The client calls it off.
pub const CALL_OFF: &str = "the client calls it off";
/// Asked before it is recorded.
pub const CALL_OFF_SURE: &str =
    "No new work can begin then, and everything goes home as it is. It stays in the record.";
/// Records it.
pub const CALL_OFF_YES: &str = "record that it is called off";
/// Does not.
pub const CALL_OFF_NO: &str = "leave it";
/// It is so.
pub const CALLED_OFF: &str = "The client called this order off. Everything goes home as it is.";

/// The answers a client can give.
pub const ANSWERS: [&str; 3] = ["not asked", "yes", "no"];
/// Every errand in the order it is offered.
pub const ERRAND_KINDS: [ErrandKind; 4] =
    [ErrandKind::Setting, ErrandKind::Chain, ErrandKind::Engraving, ErrandKind::Assay];
/// When to write, in the order it is offered.
pub const WRITING: [WriteWhen; 3] = [WriteWhen::EachStep, WriteWhen::OnlyQuestions, WriteWhen::NotAtHome];
/// Who it is for, in the order it is offered.
pub const OCCASIONS: [(Occasion, &str); 3] = [
    (Occasion::ForThemselves, "the client"),
    (Occasion::Gift, "someone else"),
    (Occasion::Surprise, "a surprise for someone"),
];

/// What a surprise asks for.
pub const SURPRISE: &str = "Nothing may give it away: no name on parcels, no message that says what it is.";

/// Which of [`ANSWERS`] was given.
pub const fn answer(permission: Permission) -> usize {
    match permission {
        Permission::NotAsked => 0,
        Permission::Given(_) => 1,
        Permission::Refused => 2,
    }
}

/// What one of [`ANSWERS`] means, given today.
pub const fn permission(answer: usize, today: NaiveDate) -> Permission {
    match answer {
        1 => Permission::Given(today),
        2 => Permission::Refused,
        _ => Permission::NotAsked,
    }
}

/// A day that matters: "born, 3 May 2014".
pub fn dated(dated: &Dated) -> String {
    format!("{}, {}", dated.what, words::date_with_year(dated.on))
}

/// The name of the button that takes something away: "take away: born, 3 May 2014".
pub fn take_away(what: &str) -> String {
    format!("take away: {what}")
}

/// What stands on that button.
pub const TAKE_AWAY: &str = "take away";

/// The kit, once it is posted: "The sending kit left on 3 May with the post, HM2."
pub fn kit_left(day: &str, parcel: Option<&Parcel>) -> String {
    let with = parcel.map(|parcel| {
        let by = if parcel.carrier.is_empty() { String::new() } else { format!(" with {}", parcel.carrier) };
        let number =
            if parcel.tracking.is_empty() { String::new() } else { format!(", {}", parcel.tracking) };
        format!("{by}{number}")
    });
    format!("The sending kit left on {day}{}.", with.unwrap_or_default())
}

/// An errand with its number where there are several of a kind: "the engraving", "the engraving 2".
pub fn errand_name(kind: ErrandKind, nth: usize) -> String {
    let name = words::errand(kind);
    if nth == 0 { name.to_owned() } else { format!("{name} {}", nth + 1) }
}

/// How an errand stands: "with Orla Finch, asked 3 May, expected 9 May".
pub fn errand_stands(errand: &Errand, today: NaiveDate) -> String {
    let who = if errand.who.is_empty() { String::new() } else { format!("with {}", errand.who) };
    let on = |word: &str, day: Option<NaiveDate>| {
        day.map(|day| format!("{word} {}", words::date(day, today))).unwrap_or_default()
    };
    let days = match errand.back {
        Some(_) => vec![on("back", errand.back)],
        None if errand.asked.is_none() => {
            vec!["not asked for yet".to_owned(), on("expected", errand.expected)]
        }
        None => vec![on("asked", errand.asked), on("expected", errand.expected)],
    };
    let all = [errand.what.to_string(), who].into_iter().chain(days);
    all.filter(|words| !words.is_empty()).collect::<Vec<_>>().join(", ")
}

/// The label of a field of an errand: "Who does it: the engraving".
pub fn of_errand(label: &str, name: &str) -> String {
    format!("{label}: {name}")
}

/// The name of the button that adds an errand: "add the chain".
pub fn add_errand(kind: ErrandKind) -> String {
    format!("add {}", words::errand(kind))
}

/// The way to another page: "to the arrival".
pub fn to_page(page: Page) -> String {
    format!("to {}", words::page(page))
}

/// A permission as it was given, where there is a day to say: "yes, on 3 May 2026".
pub fn said(permission: Permission) -> Option<String> {
    matches!(permission, Permission::Given(_)).then(|| words::permission(permission))
}

/// Before what is still missing, which keeps nobody from going on.
pub const STILL_OPEN: &str = "Still open:";

/// Several things that are missing, after [`STILL_OPEN`]: "no wishes are written down yet; no price is quoted yet." What
/// the page's own button says is not said twice.
pub fn still_open<'a>(missing: impl IntoIterator<Item = &'a str>) -> Option<String> {
    let said = ["the enquiry is not answered yet", "the sending kit is not posted yet"];
    let all: Vec<&str> = missing.into_iter().filter(|words| !said.contains(words)).collect();
    (!all.is_empty()).then(|| format!("{}.", all.join("; ")))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::present::sample::{day, line};

    #[test]
    fn an_errand_says_where_it_stands() {
        let mut errand = Errand {
            kind: ErrandKind::Engraving,
            what: line("B. 2014"),
            who: line("Orla Finch"),
            asked: None,
            expected: Some(day(2026, 5, 9)),
            back: None,
        };
        let today = day(2026, 5, 4);
        assert_eq!(
            errand_stands(&errand, today),
            "B. 2014, with Orla Finch, not asked for yet, expected 9 May"
        );
        errand.asked = Some(day(2026, 5, 3));
        assert_eq!(errand_stands(&errand, today), "B. 2014, with Orla Finch, asked 3 May, expected 9 May");
        errand.back = Some(day(2026, 5, 8));
        assert_eq!(errand_stands(&errand, today), "B. 2014, with Orla Finch, back 8 May");
        assert_eq!(errand_name(ErrandKind::Engraving, 1), "the engraving 2");
    }

    #[test]
    fn an_answer_and_its_permission_mean_the_same() {
        let today = day(2026, 5, 4);
        for place in 0..ANSWERS.len() {
            assert_eq!(answer(permission(place, today)), place);
        }
        assert_eq!(said(Permission::Given(today)).unwrap(), "yes, on 4 May 2026");
        assert_eq!(said(Permission::Refused), None);
    }

    #[test]
    fn what_is_missing_is_one_sentence_or_none() {
        let all = ["no price is quoted yet", "the enquiry is not answered yet", "no date is promised yet"];
        assert_eq!(still_open(all).unwrap(), "no price is quoted yet; no date is promised yet.");
        assert_eq!(still_open(["the enquiry is not answered yet"]), None, "the button says it");
    }

    #[test]
    fn a_kit_that_left_says_with_whom() {
        let parcel = Parcel {
            kind: craft::order::ParcelKind::Kit,
            carrier: line("the post"),
            tracking: line("HM2"),
            insured: None,
        };
        assert_eq!(kit_left("3 May", Some(&parcel)), "The sending kit left on 3 May with the post, HM2.");
        assert_eq!(kit_left("3 May", None), "The sending kit left on 3 May.");
    }
}
