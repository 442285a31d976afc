//! The intake receipt's facts.

use craft::fact::{CustodyFact, Fact};
use craft::id::{Thing, ThingKind};
use craft::ledger::Role;
use craft::order::ParcelKind;
use craft::units::Share;
use papers::facts::{ReceiptFacts, ReceivedThing};

use super::{Subject, photo};
use crate::present::record::{reading_now, standing};
use crate::present::words;

pub(super) fn facts(about: &Subject<'_>) -> Result<ReceiptFacts, String> {
    let custody = &about.held.ledger.custody;
    let came = |thing: &Thing| matches!(thing.kind, ThingKind::Wrapping | ThingKind::Keepsake);
    if !custody.things.keys().any(came) {
        return Err("nothing has been received for this order yet; record what came first".to_owned());
    }
    let kinds = [ThingKind::Wrapping, ThingKind::Envelope, ThingKind::Keepsake];
    let listed = custody.things.keys().filter(|thing| kinds.contains(&thing.kind));
    let first = custody.lots.iter().find_map(|(no, lot)| {
        let of_thing = about.held.order.sheet.photo_of(Thing::wrapping(*no)).map(|photo| photo.original);
        lot.photo.or(of_thing).map(|original| {
            photo(original, format!("{}, as it came", words::sentence_start(&words::lot(about.held, *no))))
        })
    });
    Ok(ReceiptFacts {
        header: about.header(),
        arrived: arrived(about),
        things: listed.map(|thing| received(about, *thing)).collect(),
        keep_back: keep_back(about),
        property: ReceiptFacts::YOURS.to_owned(),
        next: next(about).to_owned(),
        record_seal: about.held.record_seal().short(),
        photo: first,
    })
}

/// When and by whom it came.
fn arrived(about: &Subject<'_>) -> String {
    let came = |fact: &Fact| {
        matches!(fact, Fact::Custody(CustodyFact::Received { .. } | CustodyFact::CameAlong { .. }))
    };
    let mut days: Vec<_> = standing(about.held)
        .into_iter()
        .filter(|(_, entry)| came(&entry.fact))
        .map(|(_, entry)| entry.day())
        .collect();
    days.sort_unstable();
    days.dedup();
    let days: Vec<String> = days.into_iter().map(words::date_with_year).collect();
    let parcels = &about.held.order.sheet.parcels;
    let carrier =
        parcels.iter().rev().find(|parcel| parcel.kind == ParcelKind::Incoming && !parcel.carrier.is_empty());
    let by = carrier.map(|parcel| format!(", by {}", parcel.carrier)).unwrap_or_default();
    format!("It arrived on {}{by}.", words::list(&days))
}

fn received(about: &Subject<'_>, thing: Thing) -> ReceivedThing {
    let custody = &about.held.ledger.custody;
    let kept = custody.things.get(&thing);
    let place = match kept {
        Some(kept) if kept.lost => "cannot be found".to_owned(),
        Some(kept) => words::place(about.studio, &kept.place),
        None => String::new(),
    };
    ReceivedThing {
        label: words::label(thing),
        what: what(about, thing),
        amount: amount(about, thing),
        seal: about.seal(thing),
        place,
    }
}

fn what(about: &Subject<'_>, thing: Thing) -> String {
    let held = about.held;
    let described =
        held.order.sheet.description(thing).filter(|words| !words.is_empty()).map(ToString::to_string);
    let role = held.ledger.custody.things.get(&thing).map(|kept| kept.role);
    let name = match (thing.kind, role) {
        (_, Some(Role::KeepBack { lot, .. })) => format!("keep-back of {}", words::lot(held, lot)),
        (ThingKind::Wrapping, _) => {
            let what = words::lot(held, thing.no);
            described.map_or_else(|| format!("{what}, as it came"), |words| format!("{what}: {words}"))
        }
        _ => described.unwrap_or_else(|| words::thing_plain(thing)),
    };
    words::sentence_start(&name)
}

/// How much a thing holds: as last weighed or judged, else by its share.
fn amount(about: &Subject<'_>, thing: Thing) -> String {
    let custody = &about.held.ledger.custody;
    // A weighing from before something was taken out or put in no longer says what is there.
    if let Some(reading) = reading_now(about.held, thing) {
        return words::reading_mass(&reading);
    }
    let shares: Vec<String> = custody
        .contents(thing)
        .map(|(lot, share)| {
            if share == Share::WHOLE {
                "all that came".to_owned()
            } else {
                format!("{} of {}", words::share(share), words::lot(about.held, lot))
            }
        })
        .collect();
    match (shares.is_empty(), thing.kind) {
        (true, ThingKind::Keepsake) => "one".to_owned(),
        (true, _) => "empty".to_owned(),
        (false, _) => words::list(&shares),
    }
}

/// What was put away, and when it may be opened.
fn keep_back(about: &Subject<'_>) -> String {
    let custody = &about.held.ledger.custody;
    let said = custody.things.iter().filter_map(|(thing, kept)| {
        let Role::KeepBack { lot, released } = kept.role else { return None };
        let share = custody.share(craft::fact::Holder::Thing(*thing), lot);
        let what = if share == Share::NONE {
            "What was".to_owned()
        } else {
            format!("{} of {} is", words::sentence_start(&words::share(share)), words::lot(about.held, lot))
        };
        let sealed = if kept.seal.is_some() { "its own sealed envelope" } else { "its own envelope" };
        let yes = if released {
            "You have said yes to opening it."
        } else {
            "It is opened only after you have said yes."
        };
        Some(format!("{what} kept back in {sealed}, {}. {yes}", words::label(*thing)))
    });
    said.collect::<Vec<_>>().join(" ")
}

fn next(about: &Subject<'_>) -> &'static str {
    let client = &about.held.ledger.client;
    if client.called_off {
        "The order was called off: everything goes home to you as it is."
    } else if about.held.ledger.client_stones().next().is_none() {
        "Next the stones are poured. You will get a proof sheet to choose from."
    } else if client.rounds.is_empty() {
        "Next you will get a proof sheet to choose from."
    } else {
        ""
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::present::paper_facts::paper;
    use crate::present::sample::{Bench, bench, sheet};
    use craft::fact::{Material, PaperKind};
    use craft::stage::Stage;
    use papers::facts::Paper;

    fn receipt(bench: &Bench) -> Result<ReceiptFacts, String> {
        match paper(&bench.studio, bench.tag, PaperKind::Receipt, bench.now())? {
            Paper::Receipt(facts) => Ok(facts),
            other => panic!("{other:?}"),
        }
    }

    #[test]
    fn a_receipt_names_every_thing_with_amount_seal_and_place() {
        let facts = receipt(&bench(Stage::Here)).unwrap();
        assert_eq!(facts.arrived, "It arrived on 25 November 2026, by the post.");
        let rows: Vec<_> = facts
            .things
            .iter()
            .map(|row| (row.label.as_str(), row.what.as_str(), row.amount.as_str()))
            .collect();
        assert_eq!(
            rows,
            [
                ("W1", "The hair: a tied lock in tissue", "two thirds of the hair"),
                ("E1", "Keep-back of the hair", "a third of the hair"),
                ("K1", "A blue ribbon", "one"),
            ],
            "the wrapping was weighed before the keep-back was taken, so its share speaks"
        );
        assert_eq!(facts.things[1].seal, "seal 13, put on 25 November");
        assert_eq!(facts.things[1].place, "drawer 3");
        assert_eq!(
            facts.keep_back,
            "A third of the hair is kept back in its own sealed envelope, E1. It is opened only after you have said yes."
        );
        assert_eq!(facts.record_seal.len(), 9);
    }

    #[test]
    fn a_weighing_speaks_while_nothing_was_taken_since() {
        let mut bench = Bench::open(sheet());
        bench.receive(1, Material::Hair);
        assert_eq!(receipt(&bench).unwrap().things[0].amount, "all that came");
        bench.weigh(Thing::wrapping(1), 482.0);
        assert_eq!(receipt(&bench).unwrap().things[0].amount, "482 mg, ± 2.4 mg");
        assert_eq!(receipt(&bench).unwrap().things[0].seal, "came under seal 12 on 25 November");
    }

    #[test]
    fn nothing_received_is_no_receipt() {
        assert!(receipt(&bench(Stage::KitSent)).unwrap_err().starts_with("nothing has been received"));
    }
}
