use std::sync::LazyLock;

use chrono::Days;
use craft::fact::Fact;
use craft::log::Entry;
use craft::moment::BootId;
use craft::studio::{ClientEdit, Edit, OrderEdit, ShelfEdit};
use proptest::prelude::*;

use super::*;
use crate::action::Action;
use crate::present::board::Group;
use crate::present::sample::line;
use crate::state::Workbench;

/// Half past two in the afternoon of a Wednesday in July.
fn today() -> Moment {
    let day = NaiveDate::from_ymd_opt(2026, 7, 8).unwrap();
    let utc_ms = day.and_hms_opt(12, 30, 0).unwrap().and_utc().timestamp_millis();
    Moment { utc_ms, offset_min: 120, boot: BootId(0x51), since_boot_ms: 25_200_000, awake_ms: 24_000_000 }
}

fn later(now: Moment, ms: i64) -> Moment {
    let (since_boot_ms, awake_ms) = (now.since_boot_ms + ms, now.awake_ms + ms);
    Moment { utc_ms: now.utc_ms + ms, since_boot_ms, awake_ms, ..now }
}

/// What is kept ready is what would be made from scratch.
fn is_fresh(bench: &Workbench, now: Moment) -> Result<(), TestCaseError> {
    let view = bench.view(now);
    let fresh = Index::new(view.studio, now);
    prop_assert_eq!(view.board, &fresh.board);
    prop_assert_eq!(view.words, &fresh.words);
    prop_assert_eq!(view.taken, &fresh.taken);
    let mould = |item: &craft::shelf::Item| matches!(item.what, craft::shelf::What::Mould(_));
    for (id, _) in view.studio.shelf().iter().filter(|(_, item)| mould(item)) {
        for held in view.studio.orders().values().take(3) {
            prop_assert_eq!(view.free_cells(held, id), crate::stones::free_cells(view.studio, held, id));
        }
    }
    for row in &view.board.rows {
        prop_assert_eq!(view.board.row(row.tag), Some(row));
    }
    prop_assert_eq!(&view.waits, &waits::waits(view.studio, now));
    for text in ["an", "e", "drawer", "ring"] {
        prop_assert_eq!(view.find(text), find::find(view.studio, text));
    }
    Ok(())
}

/// The demo of today, made once for all tests.
fn demo() -> &'static Studio {
    static DEMO: LazyLock<Studio> = LazyLock::new(|| crate::demo::build(today()).unwrap().studio);
    &DEMO
}

#[test]
fn after_every_fact_of_the_demo_the_board_is_what_it_would_be_from_scratch() {
    let demo = demo();
    let mut studio = Studio::new(demo.policies().clone());
    for (id, item) in demo.shelf() {
        studio.take(craft::studio::Doc::Shelf(id.clone(), Box::new(item.clone()))).unwrap();
    }
    for (id, client) in demo.clients() {
        studio.take(craft::studio::Doc::Client(id.clone(), Box::new(client.clone()))).unwrap();
    }
    let mut facts: Vec<(Tag, Entry)> = Vec::new();
    for (&tag, held) in demo.orders() {
        facts.extend(held.order.log.entries().map(|(_, entry)| (tag, entry.clone())));
    }
    facts.sort_by_key(|(_, entry)| entry.at.utc_ms);
    let first = facts[0].1.at;
    let mut bench = Workbench::new(studio, None);
    is_fresh(&bench, first).unwrap();
    let mut moved = 0;
    for (&tag, held) in demo.orders() {
        let (client, sheet) = (held.order.client.clone(), Box::new(held.order.sheet.clone()));
        bench.handle(Action::Edit(Edit::Order(tag, OrderEdit::Open { client, sheet })), first);
    }
    assert_eq!(bench.view(first).board.rows.len(), demo.orders().len());
    for (tag, entry) in &facts {
        let edit = match entry.told {
            Some(day) => OrderEdit::Told(day, entry.fact.clone()),
            None => OrderEdit::Fact(entry.fact.clone()),
        };
        let (taken, revision) = (bench.view(entry.at).taken.clone(), bench.view(entry.at).revision);
        bench.handle(Action::Edit(Edit::Order(*tag, edit)), entry.at);
        moved += usize::from(*bench.view(entry.at).taken != taken);
        assert_eq!(bench.view(entry.at).revision, revision + 1);
        assert_eq!(bench.notices().next(), None, "{tag}: {:?}", entry.fact);
        is_fresh(&bench, entry.at).unwrap();
    }
    assert!(facts.len() > 200, "{}", facts.len());
    assert!(moved > 20, "stones go into their cavities and out of them: {moved}");
    let ledgers =
        |studio: &Studio| studio.orders().values().map(|held| held.ledger.clone()).collect::<Vec<_>>();
    assert!(ledgers(bench.studio()) == ledgers(demo), "all of it happened again");
}

#[test]
fn a_board_that_missed_a_change_or_a_day_would_be_caught() {
    let demo = demo();
    let mut bench = Workbench::new(demo.clone(), None);
    bench.handle(Action::Tick, today());
    let missed = |studio: &Studio, now| board(studio, now) != board(demo, today());
    let (&tag, held) = demo.orders().iter().next().unwrap();
    let mut sheet = held.order.sheet.clone();
    sheet.remembered.name = line("Somebody else");
    bench.handle(Action::Edit(Edit::Order(tag, OrderEdit::Sheet(Box::new(sheet)))), today());
    assert!(missed(bench.studio(), today()));
    assert!(missed(demo, later(today(), 86_400_000)));
}

/// One thing that a person or the time does.
fn step(bench: &mut Workbench, rng: &mut fastrand::Rng, facts: &[Fact], now: &mut Moment) {
    let studio = bench.studio();
    let tags: Vec<Tag> = studio.orders().keys().copied().collect();
    let tag = tags[rng.usize(..tags.len())];
    let mut sheet = studio.orders()[&tag].order.sheet.clone();
    let put_sheet = |sheet| Action::Edit(Edit::Order(tag, OrderEdit::Sheet(Box::new(sheet))));
    let action = match rng.u8(..10) {
        0 => {
            sheet.due = [None, now.day().checked_add_days(Days::new(rng.u64(..40)))][rng.usize(..2)];
            put_sheet(sheet)
        }
        1 => {
            sheet.remembered.name = line(["", "Ann", "Zoë", "Bo"][rng.usize(..4)]);
            put_sheet(sheet)
        }
        2 => {
            sheet.stones.pop();
            put_sheet(sheet)
        }
        3 => {
            let (id, client) = studio.clients().iter().nth(rng.usize(..studio.clients().len())).unwrap();
            let client =
                craft::client::Client { name: line(["Ann", "Cyd"][rng.usize(..2)]), ..client.clone() };
            Action::Edit(Edit::Client(id.clone(), ClientEdit::Put(Box::new(client))))
        }
        4 => {
            let (id, item) = studio.shelf().iter().nth(rng.usize(..studio.shelf().len())).unwrap();
            let item = craft::shelf::Item { name: line(["Old", "New"][rng.usize(..2)]), ..item.clone() };
            Action::Edit(Edit::Shelf(id.clone(), ShelfEdit::Put(Box::new(item))))
        }
        5 => {
            let mut policies = studio.policies().clone();
            policies.nudge_days = rng.u16(1..20);
            policies.places[0] = line(["the safe", "drawer 9"][rng.usize(..2)]);
            Action::Edit(Edit::Policies(Box::new(policies)))
        }
        6 => Action::Undo,
        7 => Action::Redo,
        8 => {
            *now = later(*now, rng.i64(0..40 * 3_600_000));
            Action::Tick
        }
        _ => Action::Edit(Edit::Order(tag, OrderEdit::Fact(facts[rng.usize(..facts.len())].clone()))),
    };
    bench.handle(action, *now);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    #[test]
    fn whatever_is_changed_undone_or_slept_through_the_board_is_what_it_would_be_from_scratch(seed: u64) {
        let demo = demo();
        let logs = demo.orders().values().flat_map(|held| held.order.log.entries());
        let facts: Vec<Fact> = logs.map(|(_, entry)| entry.fact.clone()).collect();
        let mut bench = Workbench::new(demo.clone(), None);
        let (mut rng, mut now) = (fastrand::Rng::with_seed(seed), today());
        bench.handle(Action::Tick, now);
        for _ in 0..40 {
            step(&mut bench, &mut rng, &facts, &mut now);
            is_fresh(&bench, now)?;
        }
        prop_assert!(bench.studio() != demo, "forty steps change something");
    }
}

#[test]
fn rows_are_reached_by_group_and_number_as_they_stand() {
    let demo = demo();
    let board = board(demo, today());
    let whole: Vec<_> = board.groups().flat_map(|(_, rows)| rows.iter().cloned()).collect();
    assert_eq!(whole, board.rows);
    let mut next = 0;
    for group in Group::ALL {
        let range = board.range(group);
        assert_eq!(range.start, next, "groups follow each other without a gap");
        assert!(board.rows[range.clone()].iter().all(|row| row.group == group));
        assert_eq!(board.group(group), &board.rows[range.clone()]);
        next = range.end;
    }
    assert_eq!(next, board.rows.len());
    assert_eq!(Board::default().groups().count(), 0);
}

#[test]
fn a_revision_counts_what_was_changed_and_nothing_else() {
    let demo = demo();
    let (&tag, held) = demo.orders().iter().next().unwrap();
    let put = |name: &str| {
        let mut sheet = held.order.sheet.clone();
        sheet.remembered.name = line(name);
        Action::Edit(Edit::Order(tag, OrderEdit::Sheet(Box::new(sheet))))
    };
    let mut bench = Workbench::new(demo.clone(), None);
    let mut after = |action: Action| {
        bench.handle(action, today());
        bench.view(today()).revision
    };
    assert_eq!(after(Action::Tick), 0);
    assert_eq!(after(put(held.order.sheet.remembered.name.as_str())), 0, "nothing is another");
    assert_eq!(after(put("")), 0, "it was refused");
    assert_eq!(after(put("Somebody else")), 1);
    assert_eq!(after(Action::Undo), 2);
    assert_eq!(after(Action::Undo), 2, "there was nothing more to take back");
    assert_eq!(after(Action::Redo), 3);
}
