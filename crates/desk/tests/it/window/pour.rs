//! One stone, walked from its cavity to the bench by the keyboard; what keys do where no step asks for them.

use std::sync::Arc;

use craft::fact::{Amount, Fact, Hardness, Mistake, PourFact};
use craft::id::Thing;
use craft::learning::{Observation, Seen, WedgePoint};
use craft::order::Page;
use craft::place::Place;
use craft::reading::{Means, Reading};
use craft::shelf::{Body, What};
use craft::studio::{Edit, Held, OrderEdit, ShelfEdit};
use craft::units::{Length, Span};
use desk::window::Outward;
use egui::{Key, vec2};
use workbench::action::{Action, Nav};
use workbench::clock::SystemClock;
use workbench::pouring::{self, Step};
use workbench::present::labels::{place, plan, pour};
use workbench::present::words;
use workbench::session::Session;

use super::hand::{Hand, SIZES};

fn held(hand: &mut Hand) -> Held {
    let view = hand.window().session().unwrap().view();
    let Nav::Bench(tag, _) = view.nav else { panic!("{:?}", view.nav) };
    view.studio.order(tag).unwrap().clone()
}

fn step(hand: &mut Hand, no: u8) -> Step {
    let held = held(hand);
    let view = hand.window().session().unwrap().view();
    pouring::step(view.studio, &held, no, view.now)
}

fn newest(hand: &mut Hand) -> Fact {
    held(hand).order.log.entries().last().unwrap().1.fact.clone()
}

#[test]
fn a_stone_is_begun_filled_lit_and_felt_from_the_keyboard() {
    let mut hand = Hand::on("Ifeoma", Key::Num4);
    assert!(hand.sees("Begin: take its cavity"));
    hand.press("Begin it");
    let tag = held(&mut hand).order.tag;
    assert_eq!(hand.focused().as_deref(), Some("The tag on the packet"), "the tag is the next thing");
    hand.write("4X9-ZZZ");
    hand.key(Key::Enter);
    assert!(matches!(step(&mut hand, 4), Step::Open(_)), "another tag opens nothing");
    hand.tab_to("The tag on the packet");
    hand.write(&tag.to_string());
    hand.key(Key::Enter);
    hand.press("It is in");
    let packet = held(&mut hand).ledger.custody.open().next().unwrap();
    assert_eq!(held(&mut hand).ledger.custody.things[&packet].place, Place::Bench);
    hand.press("It is closed");
    let put = held(&mut hand).ledger.custody.things[&packet].clone();
    assert!(!put.open && matches!(put.place, Place::Kept(_)), "it goes back to its drawer: {put:?}");
    hand.fill("How much resin", "3");
    assert!(hand.sees("Write \"3 drops\" or \"3 mg\""));
    hand.fill("How much resin", "3 drops");
    hand.press("It is laid");
    let Fact::Pour(PourFact::Laid { amount, layer, .. }) = newest(&mut hand) else { panic!() };
    assert_eq!((amount, layer), (Amount::Drops(3), 1));
    assert!(hand.sees("Let it settle"));
    let Step::Settle(wait, _) = step(&mut hand, 4) else { panic!() };
    hand.pass(wait.remaining().micro() / 1_000_000 + 1);
    assert!(hand.sees("Settled: put it under the lamp") && hand.sees("Lamp light harms eyes"));
    hand.key(Key::Space);
    assert!(matches!(step(&mut hand, 4), Step::Lit(_)));
    hand.pass(20);
    assert!(hand.sees("20 of 60 s of light"), "{:?}", hand.texts());
    hand.key(Key::Space);
    assert!(hand.sees("Lamp paused: give it the rest") && hand.sees("20 s of light fell; 40 s more"));
    // The board says it in the same words.
    let tag = held(&mut hand).order.tag;
    let board = hand.window().session().unwrap().view().board;
    let row = board.rows.iter().find(|row| row.tag == tag).unwrap();
    assert_eq!(row.action, "lamp paused: give stone 4 the rest");
    hand.pass(5);
    hand.press("Lamp on again");
    hand.pass(41);
    assert!(hand.sees("Light is over") && hand.sees("60 of 60 s of light"), "{:?}", hand.texts());
    hand.key(Key::Space);
    assert!(hand.sees("Let it cool"));
    hand.key(Key::H);
    assert!(matches!(step(&mut hand, 4), Step::Cool(_)), "what still cools is not felt by a stray key");
    hand.pass(300);
    hand.key(Key::H);
    let stone = held(&mut hand).ledger.pours.stones[&4].clone();
    assert_eq!(stone.layers[0].felt, Some(Hardness::Hard));
    assert!(stone.layers[0].cooled.is_some());
    assert!(hand.sees("Layer 2 of"));
}

#[test]
fn the_label_of_another_stone_opens_that_stone_and_the_label_of_the_packet_opens_the_packet() {
    let mut hand = Hand::on("Ifeoma", Key::Num4);
    hand.press("Begin it");
    let tag = held(&mut hand).order.tag;
    let Step::Open(packet) = step(&mut hand, 4) else { panic!("{:?}", step(&mut hand, 4)) };
    hand.write(&format!("{tag} S1"));
    let said = format!("That is stone 1, and {} is meant", words::thing_plain(packet));
    assert!(hand.reads(&said), "{:?}", hand.texts());
    hand.key(Key::Enter);
    hand.settle();
    assert!(matches!(step(&mut hand, 4), Step::Open(_)), "a stone's label opens no packet");
    assert!(!hand.names().iter().any(|name| name == "The tag on the packet"), "stone 1 is looked at");
    // Stone 4 again, with the label of its packet.
    let mut hand = Hand::on("Ifeoma", Key::Num4);
    hand.press("Begin it");
    hand.write(&format!("{} {}", tag.plain().to_lowercase(), words::label(packet).to_lowercase()));
    assert!(hand.reads("is its own number."), "{:?}", hand.texts());
    hand.key(Key::Enter);
    assert!(!matches!(step(&mut hand, 4), Step::Open(_)));
}

/// Both of Kestrel's stones wait for their second layer.
fn two_to_lay() -> Hand {
    let mut hand = Hand::on("Kestrel", Key::Num4);
    let held = held(&mut hand);
    let mut laid =
        held.order.log.entries().filter(|(_, entry)| matches!(entry.fact, Fact::Pour(PourFact::Laid { .. })));
    let (entry, _) = laid.next_back().unwrap();
    let strike = Fact::Struck { entry, why: Mistake::WrongNumber };
    hand.act(Action::Edit(Edit::Order(held.order.tag, OrderEdit::Fact(strike))));
    for no in [1, 2] {
        assert!(matches!(step(&mut hand, no), Step::Lay(lay) if lay.layer == 2), "stone {no}");
    }
    hand
}

/// Which stone the newest layer was laid in, and how much of it.
fn newest_laid(hand: &mut Hand) -> (u8, Amount) {
    match newest(hand) {
        Fact::Pour(PourFact::Laid { stone, amount, .. }) => (stone, amount),
        other => panic!("{other:?}"),
    }
}

#[test]
fn what_is_typed_at_one_stone_is_not_laid_in_another() {
    let mut hand = two_to_lay();
    hand.press("Stone 2");
    hand.fill("How much resin", "4 drops");
    hand.press("Stone 1");
    hand.press("It is laid");
    assert_eq!(newest_laid(&mut hand), (1, Amount::ToTheMark));
    hand.press("Stone 2");
    hand.press("It is laid");
    assert_eq!(newest_laid(&mut hand), (2, Amount::Drops(4)), "what was typed there is still there");
}

#[test]
fn what_was_typed_for_a_layer_that_is_refused_stays() {
    let mut hand = two_to_lay();
    hand.press("Stone 2");
    hand.fill("How much resin", "4 drops");
    hand.press("laid otherwise than planned");
    hand.fill("How thick it is", "40 mm");
    let before = held(&mut hand).order.log.len();
    hand.press("It is laid");
    assert_eq!(held(&mut hand).order.log.len(), before, "no mould is so deep: {:?}", hand.texts());
    hand.fill("How thick it is", "0.3 mm");
    hand.press("It is laid");
    let Fact::Pour(PourFact::Laid { stone, amount, thickness, .. }) = newest(&mut hand) else { panic!() };
    assert_eq!((stone, amount, thickness.to_string().as_str()), (2, Amount::Drops(4), "0.3 mm"));
    assert!(!hand.sees("How thick it is"), "the next layer begins as planned");
}

#[test]
fn a_stone_that_did_not_come_out_is_set_aside_and_another_like_it_planned() {
    let mut hand = two_to_lay();
    hand.press("Stone 2");
    hand.press("it did not come out");
    hand.press("keep it as a spare and plan another like it");
    let held = held(&mut hand);
    assert!(held.ledger.pours.stones[&2].set_aside);
    assert!(held.order.sheet.stone(3).is_some());
    assert!(matches!(hand.window().session().unwrap().view().nav, Nav::Bench(_, Page::Plan)));
    assert!(hand.sees("Stone 3"), "the new one is to be planned: {:?}", hand.texts());
    // Whatever the plan page showed before, "Plan it" opens the stone it is pressed at.
    hand.press("stone 1");
    assert!(hand.sees("Stone 1") && !hand.sees("Stone 3"));
    hand.ctrl(Key::Num4);
    hand.press("Stone 3");
    hand.press("Plan it");
    assert!(hand.sees("Stone 3") && !hand.sees("Stone 1"), "{:?}", hand.texts());
}

/// A stone that is begun, with its share in it: the packet stands open.
fn filled() -> (Hand, Thing) {
    let mut hand = Hand::on("Ifeoma", Key::Num4);
    hand.press("Begin it");
    let tag = held(&mut hand).order.tag;
    hand.tab_to("The tag on the packet");
    hand.write(&tag.to_string());
    hand.key(Key::Enter);
    hand.press("It is in");
    let packet = held(&mut hand).ledger.custody.open().next().unwrap();
    (hand, packet)
}

#[test]
fn a_packet_can_be_put_elsewhere_than_it_came_from_when_it_is_closed() {
    let (mut hand, packet) = filled();
    hand.choose("Where it goes back to", "on the bench");
    hand.press("It is closed");
    let put = held(&mut hand).ledger.custody.things[&packet].clone();
    assert!(!put.open && put.place == Place::Bench, "{put:?}");
}

#[test]
fn where_nothing_may_be_written_a_stone_is_neither_set_aside_nor_planned_anew() {
    let mut hand = two_to_lay();
    let root = hand.root();
    let mut other = None;
    // Another window has the folder, so this one is for looking only.
    hand = hand.reopened_after(|_, _| {
        other = Some(Session::open(&root, Arc::new(SystemClock::new())).unwrap());
    });
    hand.ctrl(Key::F);
    hand.write("Kestrel");
    hand.key(Key::Enter);
    hand.ctrl(Key::Num4);
    hand.press("Stone 2");
    hand.press("it did not come out");
    hand.press("keep it as a spare and plan another like it");
    let held = held(&mut hand);
    assert!(!held.ledger.pours.stones[&2].set_aside && held.order.sheet.stone(3).is_none());
    let nav = hand.window().session().unwrap().view().nav;
    assert!(matches!(nav, Nav::Bench(_, Page::Pour)), "{nav:?}");
    drop(other);
}

#[test]
fn a_wait_in_the_strip_opens_the_stone_it_is_of() {
    for from in [Key::Num4, Key::M] {
        let mut hand = Hand::on("Kestrel", Key::Num4);
        assert!(!hand.sees("Bubbles rise"), "stone 2 wants hands");
        hand.ctrl(from);
        let wait =
            hand.names().into_iter().find(|name| name.contains("Kestrel, stone 1") && name.contains("settl"));
        hand.press(&wait.unwrap());
        assert!(hand.sees("Let it settle") && hand.sees("Bubbles rise"), "{:?}", hand.texts());
    }
}

#[test]
fn a_notice_outside_the_window_names_the_tag_and_nobody() {
    let mut hand = Hand::on("Kirima", Key::Num4);
    let tag = held(&mut hand).order.tag.to_string();
    hand.pass(600);
    let rung = hand.outward.iter().rev().find_map(|outward| match outward {
        Outward::Ring { said, notice } => Some((said.clone(), notice.clone())),
        _ => None,
    });
    let (said, notice) = rung.expect("the light is over");
    assert!(said.contains("Kirima") && !said.contains(&tag), "{said}");
    assert!(notice.contains(&tag) && !notice.contains("Kirima"), "{notice}");
}

#[test]
fn keys_write_nothing_down_where_no_step_asks_for_them() {
    let mut hand = Hand::on("Ifeoma", Key::Num4);
    let before = held(&mut hand).order.log.len();
    for key in [Key::Space, Key::H, Key::T, Key::S] {
        hand.key(key);
    }
    assert_eq!(held(&mut hand).order.log.len(), before);
    // Nothing was begun while a lamp is on; a button that has the keyboard gets the space bar as everywhere.
    hand.tab_to("Begin it");
    hand.pass(1);
    hand.key(Key::Space);
    assert_eq!(held(&mut hand).order.log.len(), before + 1);
}

#[test]
fn a_key_that_is_held_down_counts_once() {
    let mut hand = Hand::on("Kirima", Key::Num4);
    let before = held(&mut hand).order.log.len();
    let press = |pressed| egui::Event::Key {
        key: Key::Space,
        physical_key: None,
        pressed,
        repeat: false,
        modifiers: egui::Modifiers::NONE,
    };
    // A key that goes down again without having come up is one that is held.
    for _ in 0..5 {
        hand.harness().event(press(true));
        hand.pass(5);
    }
    assert_eq!(held(&mut hand).order.log.len(), before + 1);
    hand.harness().event(press(false));
    hand.pass(5);
    hand.harness().event(press(true));
    hand.settle();
    assert_eq!(held(&mut hand).order.log.len(), before + 2);
}

#[test]
fn under_the_lamp_the_page_is_whole_and_the_digits_are_in_sight_in_every_size() {
    for (size, points) in SIZES {
        let mut hand = Hand::demo(points);
        hand.ctrl(Key::F);
        hand.write("Kirima");
        hand.key(Key::Enter);
        hand.ctrl(Key::Num4);
        assert!(matches!(step(&mut hand, 1), Step::Lit(_)));
        assert_eq!(hand.faults(), Vec::<String>::new(), "{size}");
        let under = hand.texts().into_iter().find(|(_, words)| words.contains("s of light"));
        let (rect, _) = under.expect("it says how much light has fallen");
        assert!(rect.bottom() < points.y - 56.0, "{size}: {rect:?}");
        assert!(hand.names().iter().any(|name| name == "Pause the lamp"));
    }
    assert_eq!(SIZES[0].1, vec2(1280.0, 800.0));
}

#[test]
fn a_place_that_is_still_being_typed_when_the_button_is_pressed_is_the_one_that_counts() {
    let (mut hand, packet) = filled();
    hand.choose(pour::CLOSE_WHERE, place::ANOTHER);
    hand.write("the blue safe");
    hand.click(pour::CLOSE);
    let put = held(&mut hand).ledger.custody.things[&packet].clone();
    let view = hand.window().session().unwrap().view();
    assert_eq!(words::place(view.studio, &put.place), "the blue safe");
    assert!(!put.open);
}

#[test]
fn nothing_is_begun_by_a_plan_that_a_test_of_the_bottle_speaks_against() {
    let mut hand = Hand::on("Ifeoma", Key::Num4);
    assert!(hand.sees("Begin: take its cavity"));
    let stone = held(&mut hand).order.sheet.stone(4).unwrap().clone();
    let view = hand.window().session().unwrap().view();
    let mut item = view.studio.shelf()[&stone.resin].clone();
    let on = view.now.day();
    let What::Resin(bottle) = &mut item.what else { panic!("no bottle: {item:?}") };
    let nothing = |s: f64| WedgePoint {
        light: Span::from_s(s),
        depth: Reading { value: Length::ZERO, doubt: Length::from_mm(0.05), by: Means::Caliper },
    };
    let points = [60.0, 120.0, 300.0, 600.0].map(nothing).to_vec();
    bottle.observations.push(Observation {
        on,
        lamp: stone.lamp.clone(),
        button: 1,
        lamp_lit: None,
        body: Body::Opaque,
        pigment: None,
        seen: Seen::Wedge { points },
    });
    hand.act(Action::Edit(Edit::Shelf(stone.resin, ShelfEdit::Put(Box::new(item)))));
    hand.settle();
    assert!(
        hand.sees("Plan it again first") && hand.sees("Nothing set in up to 600 s"),
        "{:#?}",
        hand.texts()
    );
    let before = held(&mut hand).order.log.len();
    hand.key(Key::Space);
    assert_eq!(held(&mut hand).order.log.len(), before, "the space bar begins nothing");
    hand.press(pour::TO_PLAN);
    assert!(hand.sees(plan::TEST_YOURS), "the way out is another test: {:#?}", hand.texts());
}
