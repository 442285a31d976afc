//! What a bottle's tests say, by the keyboard: a ten-minute test from nothing to a changed plan, and what works now.

use craft::id::ShelfId;
use craft::learning::{Observation, Seen};
use craft::shelf::What;
use craft::units::{Length, Span};
use egui::{Key, vec2};
use workbench::action::Nav;
use workbench::present::labels::{card, learn as labels, plan, shelf};

use super::hand::{Hand, SIZES};

const BOTTLE: &str = "clear-casting";

fn seen(hand: &mut Hand) -> Vec<Observation> {
    let id: ShelfId = BOTTLE.parse().unwrap();
    let view = hand.window().session().unwrap().view();
    match &view.studio.shelf()[&id].what {
        What::Resin(bottle) => bottle.observations.clone(),
        other => panic!("{other:?}"),
    }
}

/// An order with one stone that has no plan yet, open on its plan page.
fn unplanned() -> Hand {
    let mut hand = Hand::on("Juno", Key::Num3);
    // All of the page is seen at once.
    hand.resize(vec2(1280.0, 2400.0));
    hand.press(plan::FIRST);
    hand
}

/// What stands on the plan page of the open order.
fn plan_page(hand: &mut Hand, order: Nav) -> Vec<String> {
    hand.go(order);
    hand.texts().into_iter().map(|(_, text)| text).collect()
}

fn order(hand: &mut Hand) -> Nav {
    hand.window().session().unwrap().view().nav
}

/// Opens the test and measures patches that lie on the line of a resin which hardens `dp` mm for each e-fold of light.
fn measure(hand: &mut Hand, dp: f64) {
    hand.press(labels::TEST);
    assert_eq!(hand.focused().as_deref(), Some(labels::LEAVE), "the keyboard is in the test");
    for (no, seconds) in (1..).zip([3.0_f64, 6.0, 12.0, 24.0, 48.0]) {
        hand.fill(&labels::thick(no), &format!("{:.2}", dp * seconds.ln()));
    }
}

#[test]
fn a_test_is_walked_by_the_keyboard_and_the_plan_of_an_order_changes_with_it() {
    let mut hand = unplanned();
    let nav = order(&mut hand);
    let before = plan_page(&mut hand, nav);
    assert!(before.iter().any(|text| text.contains("cautious guess")), "{before:?}");
    hand.ctrl(Key::L);
    assert!(seen(&mut hand).is_empty());
    measure(&mut hand, 1.1);
    assert!(hand.sees("1.21 mm"), "it says how it understood: {:?}", hand.texts());
    assert!(hand.sees("A standard stone in"), "what it wins is said before it is kept: {:?}", hand.texts());
    assert!(seen(&mut hand).is_empty(), "nothing is kept yet");
    hand.press(labels::KEEP);
    let [kept] = &seen(&mut hand)[..] else { panic!("one test is kept") };
    let Seen::Wedge { points } = &kept.seen else { panic!("{kept:?}") };
    assert_eq!((points.len(), points[4].light), (5, Span::from_s(48.0)));
    assert!(
        hand.reads("Well known, from your test of 2 March 2026; plans use it now."),
        "{:?}",
        hand.texts()
    );
    assert!(hand.sees("2 March: a test of 5 patches"), "{:?}", hand.texts());
    let after = plan_page(&mut hand, nav);
    assert_ne!(before, after, "the plan takes it in");
    hand.press(plan::EXPLAIN);
    assert!(hand.sees("your test of 2 March 2026"), "{:?}", hand.texts());
}

#[test]
fn the_words_on_a_guess_lead_from_the_plan_to_the_test_of_its_bottle() {
    let mut hand = unplanned();
    hand.press(plan::TEST_YOURS);
    assert_eq!(order(&mut hand), Nav::Shelf);
    assert_eq!(hand.focused().as_deref(), Some(labels::LEAVE), "the keyboard is in the test");
    assert!(hand.sees(labels::WEDGE) && hand.sees(labels::TRAY), "{:?}", hand.texts());
}

#[test]
fn what_works_now_takes_two_numbers_and_changes_the_plan() {
    let mut hand = unplanned();
    let nav = order(&mut hand);
    let before = plan_page(&mut hand, nav);
    hand.ctrl(Key::L);
    hand.press(labels::HABIT);
    assert!(hand.sees("Not yet: how thick, and how many times."), "{:?}", hand.texts());
    hand.fill(labels::THICKNESS, "3");
    assert!(hand.sees("Not yet: how many times."), "{:?}", hand.texts());
    hand.fill(labels::TIMES, "about 20");
    hand.press(labels::KEEP_HABIT);
    let [kept] = &seen(&mut hand)[..] else { panic!("one habit is kept") };
    let wanted = Seen::Works { thickness: Length::from_mm(3.0), light: Span::from_s(60.0), times: 20 };
    assert_eq!(kept.seen, wanted);
    let after = plan_page(&mut hand, nav);
    assert_ne!(before, after, "the plan takes it in");
}

#[test]
fn how_warm_a_layer_got_is_felt_or_measured_and_changes_what_is_foreseen() {
    let mut hand = unplanned();
    hand.resize(vec2(1280.0, 5000.0));
    let nav = order(&mut hand);
    let foreseen = |hand: &mut Hand| {
        let page = plan_page(hand, nav);
        if !page.iter().any(|text| text.contains("kJ for each kg")) {
            hand.press(plan::EXPLAIN);
        }
        let texts = hand.texts().into_iter().map(|(_, text)| text);
        texts.filter(|text| text.contains("kJ for each kg")).collect::<Vec<_>>()
    };
    let before = foreseen(&mut hand);
    assert!(!before.is_empty());
    hand.ctrl(Key::L);
    hand.press(labels::TEST);
    hand.fill(&labels::thick(1), "0.77");
    hand.press(labels::LEAVE);
    hand.press(labels::WARMTH);
    assert_eq!(hand.focused().as_deref(), Some(labels::LEAVE));
    assert!(hand.sees("Not yet: how thick the layer was, and how warm it was."), "{:?}", hand.texts());
    hand.fill(labels::WARM_LAYER, "2");
    hand.fill(labels::ROOM, "70 °F");
    assert!(hand.reads("21.1 °C, from 70 °F"), "{:?}", hand.texts());
    hand.press(&format!("{}: {}", labels::WARM, labels::WARMS[4].1));
    hand.fill(labels::READ, "20");
    hand.click(labels::KEEP_WARMTH);
    assert!(seen(&mut hand).is_empty(), "colder than the room");
    assert!(hand.sees("read its hottest value within five"), "{:?}", hand.texts());
    hand.fill(labels::READ, "52");
    assert!(hand.sees("Such a layer is then reckoned to get about"), "{:?}", hand.texts());
    hand.press(labels::KEEP_WARMTH);
    let [kept] = &seen(&mut hand)[..] else { panic!("one is kept") };
    assert!(matches!(kept.seen, Seen::Warmed { .. }), "{kept:?}");
    assert!(hand.sees("By what you saw of its warmth"), "{:?}", hand.texts());
    let after = foreseen(&mut hand);
    assert_ne!(before, after, "the plan foresees it");
    hand.ctrl(Key::L);
    hand.press(labels::TEST);
    assert!(hand.sees("0.77"), "a test that was begun stays: {:?}", hand.texts());
}

#[test]
fn a_slip_is_taken_back_while_the_bottle_is_open_and_stays_once_it_was_left() {
    let mut hand = Hand::demo(vec2(1280.0, 1600.0));
    hand.ctrl(Key::L);
    let habit = |hand: &mut Hand, mm: &str| {
        hand.press(labels::HABIT);
        hand.fill(labels::THICKNESS, mm);
        hand.fill(labels::TIMES, "9");
        hand.press(labels::KEEP_HABIT);
    };
    habit(&mut hand, "2");
    habit(&mut hand, "1");
    assert_eq!(seen(&mut hand).len(), 2);
    hand.press(&labels::take_back(0));
    let left = seen(&mut hand);
    assert!(
        matches!(left[..], [Observation { seen: Seen::Works { thickness, .. }, .. }] if thickness == Length::from_mm(2.0)),
        "{left:?}"
    );
    hand.press("pigments");
    hand.press("resins");
    assert!(!hand.names().contains(&labels::take_back(0)), "{:?}", hand.names());
    assert_eq!(seen(&mut hand).len(), 1);
}

#[test]
fn what_cannot_be_is_said_beside_its_field_and_nothing_is_kept() {
    let mut hand = Hand::demo(vec2(1280.0, 2400.0));
    hand.ctrl(Key::L);
    measure(&mut hand, 1.1);
    hand.fill(&labels::thick(2), "0.05 in");
    assert!(hand.reads("\"in\" is not a unit used here"), "{:?}", hand.texts());
    hand.fill(&labels::thick(2), "nothing");
    hand.fill(labels::DAY, "2026-03-03");
    assert!(hand.reads("still to come"), "{:?}", hand.texts());
    hand.fill(labels::DAY, "1 March");
    for no in [1, 3, 4, 5] {
        hand.fill(&labels::thick(no), "nothing");
    }
    assert!(hand.reads("Nothing set on any patch"), "{:?}", hand.texts());
    hand.fill(&labels::thick(1), "1.2");
    assert!(hand.reads("more light never sets less"), "{:?}", hand.texts());
    hand.fill(&labels::thick(1), "nothing");
    hand.fill(&labels::thick(5), "1.2");
    assert!(hand.reads("One patch says little; measure four"), "{:?}", hand.texts());
    hand.press(labels::LEAVE);
    assert!(seen(&mut hand).is_empty());
    hand.press(labels::TEST);
    assert!(hand.texts().iter().any(|(_, text)| text == "1.2"), "what was typed stays");
}

#[test]
fn a_slow_button_is_offered_longer_times_and_a_hand_typed_one_stays() {
    let mut hand = Hand::demo(vec2(1280.0, 2400.0));
    hand.ctrl(Key::L);
    hand.press(labels::TEST);
    hand.fill(&labels::lit(5), "90 s");
    hand.choose(labels::LAMP, "Small lamp");
    hand.choose(labels::BUTTON, "99 s low heat");
    let stands = |hand: &Hand, words: &str| hand.texts().iter().any(|(_, text)| text == words);
    assert!(stands(&hand, "19 s") && stands(&hand, "90 s"), "{:?}", hand.texts());
    assert!(hand.reads("its light grows"), "{:?}", hand.texts());
}

#[test]
fn a_new_bottle_says_that_what_was_learned_counts_for_less() {
    let mut hand = Hand::demo(vec2(1280.0, 2400.0));
    hand.ctrl(Key::L);
    measure(&mut hand, 1.1);
    hand.fill(labels::DAY, "20 February");
    hand.press(labels::KEEP);
    assert!(hand.reads("from your test of 20 February 2026"), "{:?}", hand.texts());
    hand.fill(shelf::OPENED, "1 March");
    assert!(hand.reads("This bottle was opened after the last test"), "{:?}", hand.texts());
}

#[test]
fn the_test_the_habit_the_warmth_and_the_card_are_whole_in_every_size() {
    let mut faults = Vec::new();
    let mut hand = Hand::demo(SIZES[0].1);
    hand.ctrl(Key::L);
    let tall = [("1280×2400", vec2(1280.0, 2400.0)), ("640×3600", vec2(640.0, 3600.0))];
    for (size, points) in SIZES.into_iter().chain(tall) {
        hand.resize(points);
        let mut look = |hand: &Hand, what: &str| {
            faults.extend(hand.faults().into_iter().map(|fault| format!("{what} at {size}: {fault}")));
        };
        hand.press(labels::HABIT);
        look(&hand, "habit");
        hand.press(labels::LEAVE);
        hand.press(labels::WARMTH);
        hand.press(&format!("{}: {}", labels::WARM, labels::WARMS[4].1));
        hand.fill(labels::WARM_LAYER, "2");
        hand.fill(labels::READ, "1");
        look(&hand, "warmth with a slip");
        hand.fill(labels::READ, "58");
        look(&hand, "warmth");
        hand.press(labels::LEAVE);
        measure(&mut hand, 1.1);
        look(&hand, "measured");
        hand.press(labels::MORE);
        hand.fill(&labels::thick(1), "0.05 in");
        look(&hand, "with a slip");
        hand.fill(&labels::thick(1), "1.2");
        hand.press(labels::KEEP);
        look(&hand, "kept");
        hand.press(labels::RECORDS);
        look(&hand, "its layers");
        hand.press(&format!("{} – close", labels::RECORDS));
        hand.press("pigments");
        hand.press(card::OPEN);
        fill_card(&mut hand, "1.2", "0.8");
        look(&hand, "card with a slip");
        hand.fill(card::HIDDEN, "1.4");
        look(&hand, "card");
        hand.press(card::KEEP);
        look(&hand, "card kept");
        hand.press("resins");
    }
    assert!(faults.is_empty(), "{} faults:\n{}", faults.len(), faults.join("\n"));
}

/// Fills in the line test that stands open.
fn fill_card(hand: &mut Hand, line_seen: &str, hidden: &str) {
    hand.fill(card::LOAD, "0.5 %");
    hand.fill(card::SEEN, line_seen);
    hand.fill(card::HIDDEN, hidden);
}

#[test]
fn a_card_says_how_much_hides_and_a_slip_is_taken_back() {
    let mut hand = Hand::demo(vec2(1280.0, 1600.0));
    hand.ctrl(Key::L);
    hand.press("pigments");
    let pigment = |hand: &mut Hand| {
        let view = hand.window().session().unwrap().view();
        let of = view.studio.shelf().values().filter_map(|item| match &item.what {
            What::Pigment(pigment) => Some(pigment.clone()),
            _ => None,
        });
        of.max_by_key(|pigment| pigment.cards.len()).unwrap()
    };
    assert!(pigment(&mut hand).cards.is_empty());
    hand.press(card::OPEN);
    let missing = format!("Not yet: {}, and {}.", card::NEEDS[0], card::NEEDS[1]);
    assert!(hand.reads(&missing), "{:?}", hand.texts());
    fill_card(&mut hand, "1.2", "0.8");
    assert!(hand.sees("look at both again"), "{:?}", hand.texts());
    hand.click(card::KEEP);
    assert!(pigment(&mut hand).cards.is_empty(), "two steps that contradict each other are not kept");
    hand.fill(card::HIDDEN, "1.4");
    assert!(hand.sees("At 0.5 % it takes 1.4 mm of colour to hide the metal"), "{:?}", hand.texts());
    hand.press(card::KEEP);
    let kept = pigment(&mut hand);
    // Per cent times the thinnest step that hides, by hand.
    assert!((kept.mix.hiding.get() - 0.7).abs() < 1e-9, "{:?}", kept.mix);
    assert_eq!(kept.cards.len(), 1);
    assert!(hand.sees("the line was seen through 1.2 mm and hidden by 1.4 mm"), "{:?}", hand.texts());
    hand.press(card::TAKE_BACK);
    assert!(pigment(&mut hand).cards.is_empty());
    let hidings =
        hand.window().session().unwrap().view().studio.shelf().values().filter(
            |item| matches!(&item.what, What::Pigment(of) if (of.mix.hiding.get() - 0.7).abs() < 1e-9),
        );
    assert_eq!(hidings.count(), 0, "it hides as before");
}
