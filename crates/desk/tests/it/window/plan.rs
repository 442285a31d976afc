//! The plan page: what it keeps, and where it leads.

use craft::order::{Page, StoneSheet};
use craft::planner::Wishes;
use egui::{Key, vec2};
use workbench::action::Nav;
use workbench::present::labels::plan;

use super::hand::{Hand, SIZES};

#[test]
fn the_plans_of_all_stones_are_kept_by_one_press_and_the_one_shown_is_poured() {
    let mut hand = Hand::on("Juno", Key::Num3);
    hand.press(plan::FIRST);
    hand.press(plan::ADD);
    hand.press(plan::ADD);
    let kept = |hand: &mut Hand| -> Vec<bool> {
        let view = hand.window().session().unwrap().view();
        let Nav::Bench(tag, _) = view.nav else { panic!("{:?}", view.nav) };
        view.studio.order(tag).unwrap().order.sheet.stones.iter().map(|stone| stone.plan.is_some()).collect()
    };
    assert_eq!(kept(&mut hand), [false; 3]);
    hand.press(&plan::stone(2));
    hand.press(plan::KEEP_ALL);
    assert_eq!(kept(&mut hand), [true; 3], "{:#?}", hand.texts());
    assert!(!hand.names().iter().any(|name| name == plan::KEEP_ALL), "there is nothing more to keep");
    hand.press(plan::POUR);
    assert!(matches!(hand.window().session().unwrap().view().nav, Nav::Bench(_, Page::Pour)));
    assert!(hand.sees("cavity"), "{:#?}", hand.texts());
}

fn stone_of(hand: &mut Hand, no: u8) -> StoneSheet {
    let view = hand.window().session().unwrap().view();
    let Nav::Bench(tag, _) = view.nav else { panic!("{:?}", view.nav) };
    view.studio.order(tag).unwrap().order.sheet.stone(no).unwrap().clone()
}

/// The plan page of an order that came and is not begun, with one stone on its sheet.
fn with_a_stone() -> Hand {
    let mut hand = Hand::on("Juno", Key::Num3);
    hand.resize(vec2(1280.0, 2400.0));
    hand.press(plan::FIRST);
    hand.press(plan::DONE);
    hand
}

#[test]
fn the_first_look_says_what_binds_and_the_rest_is_folded_away() {
    let mut hand = with_a_stone();
    assert!(hand.sees("The least sure is layer "), "{:#?}", hand.texts());
    assert!(!hand.sees("stones laid so"), "folded away: {:#?}", hand.texts());
    hand.press(plan::EXPECT);
    assert!(hand.sees("of 1,000 stones laid so, "), "{:#?}", hand.texts());
    assert!(hand.sees(" mm above the face, ") && hand.sees(" of the mould"));
    assert!(hand.sees("colour layer · has ") || hand.sees("colour layers · has "), "{:#?}", hand.texts());
    assert!(hand.sees(plan::OVER_METAL) && hand.sees(plan::OVER_DARK), "two drops");
    assert!(hand.faults().is_empty(), "{:?}", hand.faults());
}

#[test]
fn a_layer_is_kept_by_keyboard_and_the_others_are_planned_round_it() {
    let mut hand = with_a_stone();
    hand.press(plan::WISHES);
    let keep = hand.names().into_iter().find(|name| name.starts_with("keep layer ")).unwrap();
    hand.press(&keep);
    let kept = stone_of(&mut hand, 1).wishes.pinned;
    assert_eq!(kept.len(), 1);
    assert!(!hand.names().contains(&keep), "it is kept now: {:?}", hand.names());
    hand.fill(&plan::kept_thickness(1), "0.5 mm");
    let thicker = stone_of(&mut hand, 1).wishes.pinned[0];
    assert_eq!((thicker.thickness, thicker.load), (5, kept[0].load));
    // More pigment than any resin takes is answered in a sentence, with the way out beside it.
    hand.fill(&plan::kept_load(1), "40 %");
    assert!(hand.sees("spoils the resin; keep it at"), "{:#?}", hand.texts());
    hand.press(&plan::let_go(1));
    assert_eq!(stone_of(&mut hand, 1).wishes, Wishes::default());
    assert!(hand.sees("The least sure is layer "), "planned again: {:#?}", hand.texts());
}

#[test]
fn even_steps_say_what_they_cost_before_they_are_asked_for() {
    let mut hand = with_a_stone();
    hand.press(plan::WISHES);
    let says_cost =
        |hand: &Hand| hand.sees("Steps of the same size") || hand.sees("Steps as alike as they can be");
    let even = format!("{}: {}", plan::STEPS, plan::STEPPED[1]);
    assert!(says_cost(&hand), "{:#?}", hand.texts());
    hand.press(&even);
    let wished = stone_of(&mut hand, 1).wishes.smooth;
    assert!(wished.is_some());
    assert!(says_cost(&hand));
    hand.press(&format!("{}: {}", plan::PRESSES, plan::PRESSED[1]));
    assert_eq!(stone_of(&mut hand, 1).wishes.presses, 2);
    hand.press(plan::KEEP);
    let kept = stone_of(&mut hand, 1).plan.unwrap();
    assert_eq!(kept.smooth, wished, "the plan that is kept is the even one");
}

#[test]
fn the_pots_of_the_whole_order_and_how_many_stones_it_makes_are_a_press_away() {
    let mut hand = with_a_stone();
    hand.press(plan::POTS);
    assert!(hand.sees("pot of ") && hand.sees("clear resin"), "{:#?}", hand.texts());
    assert!(hand.sees("for stone 1"));
    hand.press(plan::ADD);
    assert!(hand.sees("for stones 1 and 2"), "one pot for both: {:#?}", hand.texts());
    hand.press(plan::MAKES);
    assert!(
        hand.sees("none of the client's") || hand.sees("how many stones it makes"),
        "{:#?}",
        hand.texts()
    );
    hand.press(plan::EXPLAIN);
    // As tall as the page, so that all of it is in sight.
    hand.resize(vec2(1280.0, 5_000.0));
    for title in
        ["Where to fill to", "How warm it gets", "How long bubbles rise", "How many stones set through"]
    {
        assert!(hand.sees(title), "{title}: {:#?}", hand.texts());
    }
    assert!(
        hand.sees("What goes into which pot") && hand.sees("from the number 1"),
        "the seed is written down"
    );
}

#[test]
fn everything_that_can_be_opened_is_whole_in_every_size() {
    let mut hand = with_a_stone();
    for fold in [plan::EXPECT, plan::WISHES, plan::POTS, plan::MAKES, plan::EXPLAIN] {
        hand.press(fold);
    }
    let mut faults = Vec::new();
    for (size, points) in SIZES {
        hand.resize(points);
        faults.extend(hand.faults().into_iter().map(|fault| format!("at {size}: {fault}")));
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

#[test]
fn a_practice_stone_is_added_by_one_press_and_named_as_one_on_every_page() {
    let mut hand = with_a_stone();
    hand.press(plan::PRACTISE);
    assert!(hand.sees("Practice stone 1"), "{:#?}", hand.texts());
    assert!(hand.sees("Nothing of the client\u{2019}s goes into it"), "{:#?}", hand.texts());
    assert!(hand.names().contains(&plan::stone(201)), "{:?}", hand.names());
    hand.press(plan::KEEP);
    assert!(hand.sees("practice stone 1") || hand.sees("Practice stone 1"), "{:#?}", hand.texts());
    let no = 201;
    assert!(stone_of(&mut hand, no).plan.is_some());
}

#[test]
fn how_many_stones_is_answered_number_by_number_and_says_how() {
    let mut hand = with_a_stone();
    hand.press(plan::MAKES);
    assert!(hand.sees("8 stones") && hand.sees("no more than"), "{:#?}", hand.texts());
    assert!(hand.sees("it is enough for"), "{:#?}", hand.texts());
    assert!(hand.faults().is_empty(), "{:?}", hand.faults());
}

#[test]
fn what_is_opened_is_brought_into_sight() {
    let mut hand = Hand::on("Juno", Key::Num3);
    hand.resize(vec2(1280.0, 620.0));
    hand.press(plan::FIRST);
    hand.press(plan::DONE);
    hand.press(plan::EXPECT);
    let in_sight = |hand: &Hand| {
        let titles: Vec<_> = hand.texts().into_iter().filter(|(_, words)| words == plan::EXPECT).collect();
        titles.iter().any(|(rect, _)| rect.top() > 100.0 && rect.top() < 420.0)
    };
    assert!(in_sight(&hand), "the heading and something under it: {:#?}", hand.texts());
}

#[test]
fn the_coat_on_the_face_is_a_step_after_the_last_layer_and_in_the_pots() {
    let mut hand = with_a_stone();
    assert!(hand.sees("Then, out of its mould: a gloss coat on the face"), "{:#?}", hand.texts());
    hand.press(plan::POTS);
    assert!(hand.sees("Coats on the faces"), "{:#?}", hand.texts());
}
