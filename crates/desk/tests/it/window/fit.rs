//! A stone is tried, measured, worked on and set, by the keyboard.

use craft::fact::{Dimension, Fact, Feel, FitFact};
use craft::studio::Held;
use egui::Key;
use workbench::action::Nav;

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
