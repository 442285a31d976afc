//! A stone is tried, measured, worked on and set, by the keyboard.

use craft::fact::{Dimension, Fact, Feel, FitFact};
use craft::studio::Held;
use egui::{Key, Rect};
use egui_kittest::kittest::Queryable as _;
use workbench::action::Nav;
use workbench::present::labels::brief;
use workbench::present::labels::fit as labels;

use super::hand::{Hand, SIZES};

fn held(hand: &mut Hand) -> Held {
    let view = hand.window().session().unwrap().view();
    let Nav::Bench(tag, _) = view.nav else { panic!("{:?}", view.nav) };
    view.studio.order(tag).unwrap().clone()
}

#[test]
fn a_stone_that_stands_proud_is_sanded_tried_again_and_set() {
    let mut hand = Hand::on("Gethin", Key::Num7);
    hand.press("proud");
    assert!(hand.sees("It stands proud") && hand.sees("Sand 0.05 mm off the back"));
    assert!(hand.sees("Sand wet, with a mask"));
    hand.press("sanded the back");
    assert!(hand.sees("Try it again"));
    hand.press("flush");
    assert!(hand.sees("It sits: set it") && hand.sees("Press in this order"));
    let no = *held(&mut hand).ledger.fit.stones.keys().next().unwrap();
    assert_eq!(held(&mut hand).ledger.fit.stones[&no].tried.last(), Some(&Feel::Flush));
    hand.press("It is set");
    assert!(hand.sees("Set into piece 1"));
    let fact = held(&mut hand).order.log.entries().last().unwrap().1.fact.clone();
    assert!(matches!(fact, Fact::Fit(FitFact::Set { stone, .. }) if stone == no));
}

#[test]
fn a_measure_is_written_down_as_it_is_left_and_says_what_to_take_off() {
    let mut hand = Hand::on("Gethin", Key::Num7);
    let no = *held(&mut hand).ledger.fit.stones.keys().next().unwrap();
    hand.fill("Length", "8,4");
    hand.fill("Width", "6.05");
    let fit = held(&mut hand).ledger.fit.stones[&no].clone();
    assert!((fit.measured[&Dimension::Length].value.mm() - 8.4).abs() < 1e-9);
    assert!((fit.measured[&Dimension::Width].value.mm() - 6.05).abs() < 1e-9);
    hand.resize(egui::vec2(1280.0, 2400.0));
    assert!(hand.sees("0.1 mm too large on each side: take "), "{:?}", hand.texts());
    assert!(hand.sees("it does not go in yet"));
    let entries = held(&mut hand).order.log.len();
    hand.tab_to("Length");
    hand.key(Key::Tab);
    assert_eq!(held(&mut hand).order.log.len(), entries, "passing through a field writes nothing down");
}

#[test]
fn a_ring_size_stands_on_one_axis_with_the_others_and_the_page_is_whole() {
    let mut hand = Hand::on("Gethin", Key::Num7);
    for (size, points) in SIZES {
        hand.resize(egui::vec2(points.x, 2400.0));
        assert!(hand.sees("UK size S, his finger measured twice: "), "{size}");
        assert!(hand.sees("Italy, Spain, Switzerland"), "{size}");
        assert_eq!(hand.faults(), Vec::<String>::new(), "{size}");
    }
}

/// Where the controls of the fit stand: their left edges and middles.
fn stand(hand: &mut Hand) -> Vec<(f32, f32)> {
    let rect = |hand: &mut Hand, name: &str| -> Rect { hand.harness().get_by_label(name).rect() };
    let names = [labels::feel(Feel::TooTight), "proud", "flush", "polished it", labels::SET, labels::LENGTH];
    names.map(|name| rect(hand, name)).map(|rect| (rect.left(), rect.center().y)).to_vec()
}

#[test]
fn what_can_be_pressed_stays_where_it_is_while_a_stone_is_fitted() {
    for width in [1280.0, 640.0] {
        let mut hand = Hand::on("Gethin", Key::Num7);
        hand.resize(egui::vec2(width, 2400.0));
        let first = stand(&mut hand);
        for press in ["proud", "sanded the back", "too tight", "sanded the edge", "flush"] {
            hand.press(press);
            // The keyboard stays with it, and the next press of the same place is the same one.
            assert_eq!(hand.focused().as_deref(), Some(press));
            assert_eq!(&stand(&mut hand)[..5], &first[..5], "{press} at {width}");
            if width > 1000.0 {
                assert_eq!(stand(&mut hand), first, "{press}: the measures too");
            }
        }
        assert!(hand.sees("It sits: set it"));
        assert_eq!(hand.faults(), Vec::<String>::new(), "{width}");
    }
}

#[test]
fn the_last_step_is_struck_and_the_one_before_it_counts_again() {
    let mut hand = Hand::on("Gethin", Key::Num7);
    hand.press("proud");
    hand.press("flush");
    assert!(hand.sees("It sits: set it"));
    assert!(!hand.sees(&labels::strike("stands proud")), "only the last one is struck");
    hand.press(&labels::strike("sits flush"));
    let newest = held(&mut hand).order.log.entries().last().unwrap().1.fact.clone();
    assert!(matches!(newest, Fact::Struck { .. }), "{newest:?}");
    assert!(hand.sees("It stands proud"));
    hand.press("flush");
    hand.press(labels::SET);
    assert!(hand.sees("Set into piece 1"));
    hand.press(&labels::strike("set into piece 1"));
    assert!(held(&mut hand).ledger.fit.set.is_empty());
    assert!(hand.sees("It sits: set it"));
}

#[test]
fn a_setting_that_does_not_take_the_stone_is_remarked_on_brief_and_fit_and_stops_nothing() {
    let mut hand = Hand::on("Gethin", Key::Num7);
    let note = "Right would be";
    // The stone of the demo sits already; it is tried again and does not.
    hand.press("proud");
    assert!(!hand.sees(note));
    hand.ctrl(Key::Num1);
    assert!(!hand.sees(note));
    hand.choose(brief::SETTING, "Pendant for an 18 × 13 mm oval");
    hand.resize(egui::vec2(1280.0, 2400.0));
    assert!(hand.sees("small to be held"), "{:#?}", hand.texts());
    assert!(hand.sees(note));
    assert_eq!(hand.faults(), Vec::<String>::new());
    hand.ctrl(Key::Num7);
    assert!(hand.sees("small to be held"), "{:#?}", hand.texts());
    assert_eq!(hand.faults(), Vec::<String>::new());
    hand.press("flush");
    assert!(!hand.sees(note), "it was tried and sits");
    hand.press(labels::SET);
    assert!(hand.sees("Set into piece 1"));
}
