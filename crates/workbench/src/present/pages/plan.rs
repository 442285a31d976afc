//! The plan: mould, share, mix and layers of each stone.

use craft::fact::Holder;
use craft::id::Thing;
use craft::id::is_practice;
use craft::ledger::Role;
use craft::order::{Page, StoneSheet};
use craft::units::Share;

use super::{Builder, joined};
use crate::present::paper_facts::outline_of;
use crate::present::{plan_words, words};

pub(super) fn fill(page: &mut Builder<'_>) {
    if page.ledger().custody.lots.is_empty() {
        page.miss_at("no material has come yet", Page::Arrival);
    }
    if page.sheet().stones.is_empty() {
        page.miss("no stone is planned yet");
    }
    for stone in &page.sheet().stones {
        stone_line(page, stone);
    }
    for lot in page.ledger().custody.lots.keys() {
        enough(page, *lot);
    }
}

fn stone_line(page: &mut Builder<'_>, stone: &StoneSheet) {
    let name = words::stone(stone.no);
    let shape = outline_of(page.studio, &stone.mould).as_ref().map(words::outline).unwrap_or_default();
    let place = words::cavity(page.studio, &stone.mould, &stone.cell);
    page.know(name.clone(), joined([shape, place]));
    let shares: Vec<String> = stone
        .shares
        .iter()
        .map(|share| format!("{} of {}", words::share(share.part), words::lot(page.held, share.lot)))
        .collect();
    let practice = is_practice(stone.no);
    if shares.is_empty() && !practice {
        page.miss(format!("{name} has no share of the material yet"));
    }
    if practice {
        page.know(format!("{name}, holds"), "nothing of the client\u{2019}s".to_owned());
    } else {
        page.know(format!("{name}, holds"), words::list(&shares));
    }
    let mix = joined([
        format!(
            "{} in {}",
            words::item_name(page.studio, &stone.pigment),
            words::item_name(page.studio, &stone.resin)
        ),
        plan_words::style(stone.style).to_owned(),
        words::layer_kind(stone.top).to_owned(),
    ]);
    page.know(format!("{name}, mix"), mix);
    out_of_use(page, stone);
    match &stone.plan {
        Some(plan) => {
            let card = plan_words::card(plan, &[]);
            let layers = words::count(card.layers.len(), "layer", "layers");
            page.know(format!("{name}, plan"), joined([layers, card.hidden_words.to_owned(), card.time]));
        }
        // An order lacks nothing without practice.
        None if practice => {}
        None => page.miss(format!("the plan of {name} is not kept yet")),
    }
}

/// Says so where a stone that is not begun is to be made with something that is out of use, such as a lamp that died.
fn out_of_use(page: &mut Builder<'_>, stone: &StoneSheet) {
    if page.ledger().pours.stones.contains_key(&stone.no) {
        return;
    }
    for id in [&stone.lamp, &stone.resin, &stone.pigment, &stone.mould] {
        let item = page.studio.shelf().get(id).filter(|item| item.retired);
        if let Some(name) = item.map(|item| item.name.to_string()) {
            page.miss(format!("{name} is out of use; choose another for {}", words::stone(stone.no)));
        }
    }
}

/// Says so where the stones still to be begun want more of a material than there is beside the keep-back.
fn enough(page: &mut Builder<'_>, lot: u8) {
    let custody = &page.ledger().custody;
    let free = |thing: Thing| {
        let kept = custody.things.get(&thing);
        kept.is_some_and(|kept| kept.is_here() && !matches!(kept.role, Role::KeepBack { .. }))
    };
    let there: u64 = custody
        .holders(lot)
        .filter_map(|(holder, share)| match holder {
            Holder::Thing(thing) if thing.kind != craft::id::ThingKind::Stone && free(thing) => Some(share),
            _ => None,
        })
        .map(|share| u64::from(share.millionths()))
        .sum();
    // A keep-back that is not put away yet is not there for the stones.
    let agreed = custody.lots.get(&lot).map_or(Share::NONE, |lot| lot.keep_back);
    let held_back = if custody.has_keep_back(lot) { 0 } else { u64::from(agreed.millionths()) };
    let there = there.saturating_sub(held_back);
    let waits =
        |stone: &&StoneSheet| custody.share(Holder::Thing(Thing::stone(stone.no)), lot) == Share::NONE;
    let shares = page.sheet().client_stones().filter(waits).flat_map(|stone| &stone.shares);
    let wanted: u64 =
        shares.filter(|share| share.lot == lot).map(|share| u64::from(share.part.millionths())).sum();
    if wanted > there {
        let share = |millionths: u64| {
            words::share(Share::from_millionths(u32::try_from(millionths).unwrap_or(u32::MAX)))
        };
        let name = words::lot(page.held, lot);
        page.miss(format!(
            "the stones want {} of {name}, and {} is there beside the keep-back",
            share(wanted),
            share(there)
        ));
    }
}

#[cfg(test)]
mod tests {
    use craft::order::Page;
    use craft::stage::Stage;
    use craft::studio::{Edit, ShelfEdit};

    use crate::present::sample::{at, bench};

    #[test]
    fn a_lamp_that_is_out_of_use_is_named_until_another_is_chosen() {
        let mut bench = bench(Stage::Here);
        let missing = |bench: &crate::present::sample::Bench| -> Vec<String> {
            let page = super::super::page(&bench.studio, bench.tag, Page::Plan, bench.now()).unwrap();
            page.missing.into_iter().map(|missing| missing.words).collect()
        };
        let said =
            |words: &[String]| words.iter().any(|words| words.contains("is out of use; choose another"));
        assert!(!said(&missing(&bench)));
        let lamp = bench.studio.order(bench.tag).unwrap().order.sheet.stones[0].lamp.clone();
        bench.studio.apply(Edit::Shelf(lamp, ShelfEdit::Retire(true)), at(9_000)).unwrap();
        assert!(said(&missing(&bench)), "{:?}", missing(&bench));
    }
}
