//! The arrival: what came, how it was recorded, and what was kept back.

use craft::fact::Holder;
use craft::id::{Thing, ThingKind};
use craft::ledger::Role;
use craft::units::Share;

use super::{Builder, joined};
use crate::present::accounts::accounts;
use crate::present::record::{reading_now, reading_of_whole};
use crate::present::words;

pub(super) fn fill(page: &mut Builder<'_>) {
    let custody = &page.ledger().custody;
    if custody.lots.is_empty() {
        page.miss("no material has come yet");
    }
    let came =
        custody.things.keys().filter(|thing| matches!(thing.kind, ThingKind::Wrapping | ThingKind::Keepsake));
    for thing in came {
        thing_came(page, *thing);
    }
    let studio_envelopes = custody.things.keys().filter(|thing| thing.kind == ThingKind::Envelope);
    for thing in studio_envelopes {
        envelope(page, *thing);
    }
    for lot in custody.lots.keys() {
        keep_back(page, *lot);
    }
    for thing in custody.open() {
        page.know("open on the bench", words::thing(page.held, thing));
    }
    for account in accounts(page.studio, page.held) {
        page.know(account.name, account.words);
        page.know("weighing", account.worth.trim_end_matches('.'));
        page.know("what to do", account.advice);
    }
}

fn where_it_is(page: &Builder<'_>, thing: Thing) -> String {
    let Some(kept) = page.ledger().custody.things.get(&thing) else { return String::new() };
    if kept.lost { "cannot be found".to_owned() } else { words::place(page.studio, &kept.place) }
}

fn sealed(page: &Builder<'_>, thing: Thing) -> String {
    let seal = page.ledger().custody.things.get(&thing).and_then(|kept| kept.seal);
    seal.map(|seal| format!("seal {seal}")).unwrap_or_default()
}

fn has_photo(page: &Builder<'_>, thing: Thing) -> bool {
    let kept = page.ledger().custody.things.get(&thing);
    kept.is_some_and(|kept| kept.photo.is_some()) || page.sheet().photo_of(thing).is_some()
}

fn thing_came(page: &mut Builder<'_>, thing: Thing) {
    let described = page.sheet().description(thing).is_some_and(|words| !words.is_empty());
    let photo = has_photo(page, thing);
    let is_material = thing.kind == ThingKind::Wrapping;
    let reading = if is_material { reading_of_whole(page.held, thing.no) } else { None };
    let what = if is_material { words::lot(page.held, thing.no) } else { String::new() };
    let said = joined([
        what,
        reading.map(|reading| words::reading_mass(&reading)).unwrap_or_default(),
        if photo { "photo kept".to_owned() } else { String::new() },
        sealed(page, thing),
        where_it_is(page, thing),
    ]);
    page.know(words::thing(page.held, thing), said);
    if !photo && !described {
        page.miss(format!("{} has neither a photo nor a description", words::thing_plain(thing)));
    }
    if is_material && reading.is_none() {
        page.miss(format!(
            "nobody has said how much there was of {}, by scale or by eye",
            words::lot(page.held, thing.no)
        ));
    }
}

fn envelope(page: &mut Builder<'_>, thing: Thing) {
    let custody = &page.ledger().custody;
    let shares = custody
        .contents(thing)
        .map(|(lot, share)| format!("{} of {}", words::share(share), words::lot(page.held, lot)));
    let shares = joined(shares);
    let inside = if shares.is_empty() { "empty".to_owned() } else { shares };
    let reading =
        reading_now(page.held, thing).map(|reading| words::reading_mass(&reading)).unwrap_or_default();
    let said = joined([inside, reading, sealed(page, thing), where_it_is(page, thing)]);
    page.know(words::thing(page.held, thing), said);
}

fn keep_back(page: &mut Builder<'_>, lot: u8) {
    let custody = &page.ledger().custody;
    let Some(agreed) = custody.lots.get(&lot).map(|lot| lot.keep_back) else { return };
    let name = words::lot(page.held, lot);
    if agreed == Share::NONE {
        page.know("keep-back", format!("none was agreed for {name}"));
        return;
    }
    let kept = custody
        .things
        .iter()
        .find(|(_, kept)| matches!(kept.role, Role::KeepBack { lot: of, .. } if of == lot));
    let Some((thing, kept)) = kept else {
        page.miss(format!(
            "the keep-back of {name} is not in its envelope yet: {} was agreed",
            words::share(agreed)
        ));
        return;
    };
    let share = custody.share(Holder::Thing(*thing), lot);
    let yes = if matches!(kept.role, Role::KeepBack { released: true, .. }) {
        "the client said yes to opening it"
    } else {
        ""
    };
    page.know(
        "keep-back",
        joined([format!("{} of {name}", words::share(share)), words::thing_plain(*thing), yes.to_owned()]),
    );
    if kept.seal.is_none() && !kept.open {
        page.miss(format!("{}, the keep-back, bears no seal", words::thing_plain(*thing)));
    }
}
