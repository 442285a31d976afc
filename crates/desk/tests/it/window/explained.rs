//! Each page that shows a figure which was worked out says how: one fold, plain words first, the formula last.

use egui::{Key, vec2};
use workbench::present::labels::{card, common, learn, plan, shell, trying};

use super::hand::{Hand, SIZES};

/// Opens the fold of the page, and looks that it says in plain words what it rests on before any formula.
fn explains(hand: &mut Hand, page: &str, title: &str) {
    hand.resize(vec2(1280.0, 7_000.0));
    let open = shell::fold_open(common::EXPLAIN);
    let folds = |hand: &Hand| {
        let is_fold = |name: &String| *name == common::EXPLAIN || *name == open;
        hand.names().into_iter().filter(is_fold).collect::<Vec<_>>()
    };
    let [fold] = &folds(hand)[..] else { panic!("{page} has one fold: {:?}", hand.names()) };
    if fold == common::EXPLAIN {
        assert!(!hand.sees("The formula: "), "{page} keeps it folded: {:?}", hand.texts());
        hand.press(common::EXPLAIN);
    }
    let texts = hand.texts();
    let heading = texts.iter().find(|(_, text)| text == title);
    let heading = heading.unwrap_or_else(|| panic!("{page} explains {title}: {texts:?}")).0;
    // What stands next below the heading, in its column.
    let below = texts
        .iter()
        .filter(|(rect, _)| rect.top() > heading.top() && (rect.left() - heading.left()).abs() < 2.0);
    let first =
        below.min_by(|one, other| one.0.top().total_cmp(&other.0.top())).map(|(_, text)| text.as_str());
    let first = first.unwrap_or_default();
    // The first line of a sentence: no formula, and no value with its name.
    let is_named = first.is_empty() || first.starts_with("The formula: ") || first.ends_with(':');
    let is_plain = !is_named && !first.contains(['=', '÷', '√']);
    assert!(is_plain, "{page} begins with plain words: {first}");
    let said: Vec<&str> = texts.iter().map(|(_, text)| text.as_str()).collect();
    let count = |begins: &str| said.iter().filter(|text| text.starts_with(begins)).count();
    assert!(count("The formula: ") > 0, "{page}: {said:?}");
    assert_eq!(count("The formula: "), count("Source: "), "{page}: each has its source");
    for (size, points) in SIZES {
        hand.resize(points);
        assert!(hand.faults().is_empty(), "{page} at {size}: {:?}", hand.faults());
    }
    hand.resize(vec2(1280.0, 7_000.0));
}

#[test]
fn the_plan_a_layer_tried_out_and_the_pour_page_explain_their_figures() {
    let mut hand = Hand::on("Juno", Key::Num3);
    hand.resize(vec2(1280.0, 2400.0));
    hand.press(plan::FIRST);
    hand.press(plan::DONE);
    explains(&mut hand, "the plan", "Where to fill to");
    for title in
        ["How few colour layers can be", "Whether the face may stay tacky", "Whether it looks the same"]
    {
        assert!(hand.sees(title), "{title}: {:?}", hand.texts());
    }
    hand.ctrl(Key::D);
    assert!(hand.sees(trying::TITLE));
    explains(&mut hand, "a layer tried out", "How deep it hardens");
    let mut hand = Hand::on("Ifeoma", Key::Num4);
    explains(&mut hand, "the pour page", "Where to fill to");
}

#[test]
fn a_bottle_its_test_its_habits_and_its_warmth_explain_their_figures() {
    let mut hand = Hand::demo(vec2(1280.0, 2400.0));
    hand.ctrl(Key::L);
    hand.press(learn::TEST);
    for (no, thick) in (1..).zip(["1.21", "1.97", "2.73", "3.5", "4.26"]) {
        hand.fill(&learn::thick(no), thick);
    }
    explains(&mut hand, "the ten-minute test", "The line and the band");
    hand.press(learn::KEEP);
    explains(&mut hand, "the bottle", "How deep a layer surely sets");
    assert!(hand.sees("How deep a layer surely sets") && hand.sees("What that wins"), "{:?}", hand.texts());
    assert!(hand.sees("Seconds of full light"), "{:?}", hand.texts());
    hand.press(learn::HABIT);
    hand.fill(learn::THICKNESS, "2");
    hand.fill(learn::TIMES, "about 20");
    explains(&mut hand, "a habit", "What that wins");
    hand.press(learn::LEAVE);
    hand.press(learn::WARMTH);
    hand.fill(learn::WARM_LAYER, "2");
    hand.fill(learn::ROOM, "21");
    hand.press(&format!("{}: {}", learn::WARM, learn::WARMS[4].1));
    hand.fill(learn::READ, "52");
    explains(&mut hand, "the warmth of a layer", "How warm it gets");
}

#[test]
fn pigments_with_their_cards_moulds_and_lamps_explain_their_figures() {
    let mut hand = Hand::demo(vec2(1280.0, 2400.0));
    hand.ctrl(Key::L);
    hand.press("pigments");
    explains(&mut hand, "a pigment", "How much light a pigment takes");
    hand.press(card::OPEN);
    hand.fill(card::LOAD, "1 %");
    hand.fill(card::SEEN, "0.6 mm");
    hand.fill(card::HIDDEN, "0.8 mm");
    explains(&mut hand, "a card", "What a line test says");
    hand.press("moulds");
    explains(&mut hand, "a mould", "What the mould holds");
    hand.press("lamps");
    explains(&mut hand, "a lamp", "Seconds of full light");
}
