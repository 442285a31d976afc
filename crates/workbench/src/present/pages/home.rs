//! Packing and after: every thing counted into the box, then the parcel and how it was received.

use craft::fact::{ClientFact, Fact, HomeFact, PaperKind};
use craft::id::{Thing, ThingKind};
use craft::ledger::Held as Kept;
use craft::order::{Page, Parcel};
use craft::place::Place;

use super::{Builder, joined};
use crate::present::accounts::{Verdict, accounts};
use crate::present::paper_rows::{is_issued, out_of_date};
use crate::present::parcels::{HomeBox, all_that_left};
use crate::present::record::newest_day;
use crate::present::words;

pub(super) fn fill_pack(page: &mut Builder<'_>) {
    let custody = &page.ledger().custody;
    if custody.things.is_empty() {
        page.miss_at("nothing of this order is here yet", Page::Arrival);
    }
    let waiting = page.ledger().to_pack();
    // Spares and leftovers first: they are what is forgotten.
    for piece in [false, true] {
        for (thing, kept) in custody
            .things
            .iter()
            .filter(|(thing, _)| !thing.is_practice() && (thing.kind == ThingKind::Piece) == piece)
        {
            thing_line(page, *thing, kept, waiting.contains(thing));
        }
    }
    for account in accounts(page.studio, page.held) {
        page.know(account.name.clone(), account.words.clone());
        if account.verdict == Verdict::Differs {
            page.miss_at(format!("{}: {}", account.name, account.words), Page::Arrival);
        }
    }
    papers(page);
    match page.ledger().home.box_photos.len() {
        0 if !page.ledger().packed().is_empty() => page.miss("the packed box has no photo yet"),
        0 => {}
        photos => page.know("photo of the box", words::count(photos, "photo", "photos")),
    }
    parcel(page);
}

fn thing_line(page: &mut Builder<'_>, thing: Thing, kept: &Kept, waiting: bool) {
    let name = words::thing(page.held, thing);
    let state = match (kept.lost, kept.part_of, kept.left_out) {
        (true, ..) => "cannot be found, and is named on the list".to_owned(),
        (_, Some(piece), _) => format!("set into {}", words::thing_plain(piece)),
        (_, _, Some(why)) => format!("left out: {}", words::left_out(why)),
        _ if matches!(kept.place, Place::Box | Place::Post | Place::Home) => {
            words::place(page.studio, &kept.place)
        }
        _ if waiting => {
            page.miss(format!("not in the box yet: {name} ({})", words::place(page.studio, &kept.place)));
            return;
        }
        _ => "emptied".to_owned(),
    };
    page.know(name, state);
}

fn papers(page: &mut Builder<'_>) {
    let held = page.held;
    let all = [PaperKind::Packing, PaperKind::Care].map(|kind| (kind, out_of_date(held, kind)));
    let issued = all.iter().filter(|(kind, _)| is_issued(held, *kind));
    let there: Vec<String> = issued
        .map(|(kind, old)| {
            format!("{}{}", words::paper(*kind), if old.is_some() { ", out of date" } else { "" })
        })
        .collect();
    page.know("papers issued", words::list(&there));
    // A card for a stone that was never poured is not missed.
    let poured = page.ledger().client_stones().next().is_some();
    for (kind, old) in all {
        match old {
            Some(old) => page.miss(format!("{old}; issue it again")),
            None if !is_issued(held, kind) && (kind != PaperKind::Care || poured) => {
                page.miss(format!("the {} is not issued yet", words::paper(kind)));
            }
            None => {}
        }
    }
}

fn home_parcel<'a>(page: &Builder<'a>) -> Option<&'a Parcel> {
    HomeBox::now(page.held).parcel(page.held)
}

fn parcel(page: &mut Builder<'_>) {
    let Some(parcel) = home_parcel(page) else {
        page.miss("no carrier is named for the parcel home");
        return;
    };
    let tracking = Some(parcel.tracking.to_string()).filter(|line| !line.is_empty());
    let insured = parcel.insured.map(|sum| format!("insured for {sum}, which covers no material"));
    let said = joined([
        parcel.carrier.to_string(),
        tracking.map(|number| format!("tracking number {number}")).unwrap_or_default(),
        insured.unwrap_or_default(),
    ]);
    page.know("parcel", said);
    if parcel.tracking.is_empty() {
        page.miss("the parcel has no tracking number");
    }
}

pub(super) fn fill_after(page: &mut Builder<'_>) {
    let day_of = |is: fn(&HomeFact) -> bool| {
        newest_day(page.held, |fact| matches!(fact, Fact::Home(fact) if is(fact)))
    };
    let sent = day_of(|fact| matches!(fact, HomeFact::Sent));
    let arrived = day_of(|fact| matches!(fact, HomeFact::Arrived));
    let Some(sent) = sent else {
        page.miss_at("the parcel has not been sent yet", Page::Pack);
        return;
    };
    page.know("sent", page.day(sent));
    parcel(page);
    let all = all_that_left(page.held);
    if all.len() > 1 {
        page.know("what went home", all.join(" "));
    }
    match arrived {
        Some(day) => page.know("arrived", page.day(day)),
        None => page.miss("nobody has said yet that it arrived"),
    }
    let thanked = newest_day(page.held, |fact| matches!(fact, Fact::Client(ClientFact::Thanked)));
    match thanked {
        Some(day) => page.know("the client wrote back", page.day(day)),
        None if arrived.is_some() => page.miss("no word of thanks is noted yet"),
        None => {}
    }
    for (entry, thing) in &page.ledger().home.faults {
        let day = page.held.order.log.entry(*entry).map(|entry| page.day(entry.day())).unwrap_or_default();
        page.know("fault reported", format!("{}, on {day}", words::thing(page.held, *thing)));
    }
}
