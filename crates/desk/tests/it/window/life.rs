//! The life of what came, by the keyboard: read, looked back on, struck, and written down as a paper.

use craft::fact::{Fact, HomeFact, Mistake, PaperKind};
use craft::studio::Held;
use egui::Key;
use workbench::action::Nav;
use workbench::present::labels::{after, life, pack, papers};

use super::hand::{Hand, SIZES};

fn held(hand: &mut Hand) -> Held {
    let view = hand.window().session().unwrap().view();
    let Nav::Bench(tag, _) = view.nav else { panic!("{:?}", view.nav) };
    view.studio.order(tag).unwrap().clone()
}

/// The name of the picture of the piles, which says what lies where.
fn piles(hand: &Hand) -> String {
    let is_pile =
        |words: &&String| words.contains(pack::PILE_KEEP_BACK) || words.contains(pack::PILE_WRAPPING);
    hand.images().iter().filter(is_pile).map(String::as_str).collect::<Vec<_>>().join("; ")
}

#[test]
fn the_story_is_reached_from_arrival_pack_and_after_and_leads_back() {
    for (name, key, page) in
        [("Gethin", Key::Num2, "arrival"), ("Gethin", Key::Num8, "pack"), ("Fenn", Key::Num9, "after")]
    {
        let mut hand = Hand::on(name, key);
        let lot = held(&mut hand).ledger.custody.lots.keys().next().copied().unwrap();
        let called = workbench::present::words::lot(&held(&mut hand), lot);
        hand.press(&life::way_here(&called));
        let is_there = |hand: &Hand| hand.names().iter().any(|name| name == life::MOMENT);
        assert!(is_there(&hand), "{name}");
        assert_eq!(hand.faults(), Vec::<String>::new(), "{name}");
        hand.press(&life::back(page));
        assert!(!is_there(&hand));
    }
}

#[test]
fn the_arrow_keys_go_through_time_and_the_piles_lie_as_they_lay() {
    let mut hand = Hand::on("Gethin", Key::Num2);
    let called = workbench::present::words::lot(&held(&mut hand), 1);
    hand.press(&life::way_here(&called));
    assert!(hand.sees("As it lies now, since entry"));
    let now = piles(&hand);
    assert!(now.contains(pack::PILE_KEEP_BACK), "{now}");
    hand.tab_to(life::MOMENT);
    hand.key(Key::Home);
    assert!(hand.sees("As it lay after entry"));
    let first = piles(&hand);
    assert!(!first.contains(pack::PILE_KEEP_BACK) && first.contains("all of it"), "{first}");
    // One entry on and one back is the same moment.
    hand.key(Key::ArrowRight);
    hand.key(Key::ArrowRight);
    hand.key(Key::ArrowLeft);
    hand.key(Key::ArrowLeft);
    assert_eq!(piles(&hand), first);
    hand.press(life::LATER);
    assert!(hand.sees("As it lay after entry"));
    hand.press(life::NOW);
    assert_eq!(piles(&hand), now);
    for (size, points) in SIZES {
        hand.resize(points);
        assert_eq!(hand.faults(), Vec::<String>::new(), "{size}");
    }
}

#[test]
fn what_was_struck_stays_in_the_story_and_what_something_rests_on_cannot_be_struck() {
    let mut hand = Hand::on("Gethin", Key::Num2);
    let called = workbench::present::words::lot(&held(&mut hand), 1);
    hand.press(&life::way_here(&called));
    let entries = held(&mut hand).order.log.len();
    // That it came is what everything else rests on.
    hand.tab_to(life::MOMENT);
    hand.key(Key::Home);
    hand.press(life::MISTAKE);
    assert!(hand.reads("struck through and with the reason"));
    hand.press(life::REASONS[0].1);
    assert_eq!(held(&mut hand).order.log.len(), entries, "the door refuses, and says why");
    // The newest that is written down of the order can be.
    hand.press(life::RECORD);
    hand.press(life::MISTAKE);
    hand.press(life::REASONS[2].1);
    let after = held(&mut hand);
    assert_eq!(after.order.log.len(), entries + 1);
    let (_, last) = after.order.log.entries().last().unwrap();
    assert_eq!(last.fact, Fact::Struck { entry: entries, why: Mistake::WrongNumber });
    assert!(hand.sees(", because a number was wrong."));
    assert!(!hand.names().iter().any(|name| name == life::MISTAKE), "it is struck once");
}

#[test]
fn several_materials_are_told_one_by_one() {
    let mut hand = Hand::on("Halina", Key::Num2);
    let order = held(&mut hand);
    assert_eq!(order.ledger.custody.lots.len(), 2);
    let names: Vec<String> = [1, 2].map(|lot| workbench::present::words::lot(&order, lot)).into();
    hand.press(&life::way_here(&names[1]));
    let second = piles(&hand);
    hand.press(&names[0]);
    assert_ne!(piles(&hand), second);
    assert_eq!(hand.faults(), Vec::<String>::new());
}

#[test]
fn the_custody_sheet_is_written_from_the_story_and_kept_among_the_papers() {
    let mut hand = Hand::on("Fenn", Key::Num9);
    let called = workbench::present::words::lot(&held(&mut hand), 1);
    hand.press(&life::way_here(&called));
    hand.press(life::SHEET);
    let issued = held(&mut hand).ledger.home.papers.last().map(|(_, kind, _)| *kind);
    assert_eq!(issued, Some(PaperKind::Custody));
    let (_, last) =
        held(&mut hand).order.log.entries().last().map(|(no, entry)| (no, entry.fact.clone())).unwrap();
    assert!(matches!(last, Fact::Home(HomeFact::PaperIssued { paper: PaperKind::Custody, .. })));
    assert!(hand.sees("Custody sheet, written on"));
    assert!(hand.names().iter().any(|name| name == papers::PRINT));
    assert!(hand.sees("Custody sheet, page 1 of"), "it is looked at as it is printed");
    assert!(!hand.sees(after::NOT_SENT));
}
