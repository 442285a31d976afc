//! The lamp under the space bar.

use craft::fact::{Fact, PourFact};
use craft::tag::Tag;
use egui::{Key, vec2};
use workbench::action::Nav;

use super::hand::Hand;

fn opened(hand: &mut Hand, name: &str) -> Tag {
    hand.ctrl(Key::F);
    hand.write(name);
    hand.key(Key::Enter);
    hand.ctrl(Key::Num4);
    match hand.window().session().unwrap().view().nav {
        Nav::Bench(tag, _) => tag,
        other => panic!("{other:?}"),
    }
}

/// How often the lamp of an order went on and off.
fn presses(hand: &mut Hand, tag: Tag) -> (usize, usize) {
    let view = hand.window().session().unwrap().view();
    let log = &view.studio.order(tag).unwrap().order.log;
    let count = |is: fn(&PourFact) -> bool| {
        log.entries().filter(|(_, entry)| matches!(&entry.fact, Fact::Pour(fact) if is(fact))).count()
    };
    (
        count(|fact| matches!(fact, PourFact::LampOn { .. })),
        count(|fact| matches!(fact, PourFact::LampOff { .. })),
    )
}

#[test]
fn the_space_bar_pauses_and_resumes_the_lamp_at_each_press() {
    let mut hand = Hand::demo(vec2(1280.0, 800.0));
    let tag = opened(&mut hand, "Kirima");
    let (on, off) = presses(&mut hand, tag);
    for press in 1..=6 {
        hand.key(Key::Space);
        let wanted = (on + press / 2, off + press.div_ceil(2));
        assert_eq!(presses(&mut hand, tag), wanted, "after press {press}: {:?}", hand.texts());
        hand.pass(3);
    }
}

#[test]
fn a_space_that_is_typed_is_a_space() {
    let mut hand = Hand::demo(vec2(1280.0, 800.0));
    let tag = opened(&mut hand, "Kirima");
    let before = presses(&mut hand, tag);
    hand.ctrl(Key::E);
    hand.write("half way");
    hand.key(Key::Space);
    assert_eq!(presses(&mut hand, tag), before);
}

#[test]
fn the_space_bar_is_the_lamps_wherever_the_keyboard_stands() {
    let mut hand = Hand::demo(vec2(1280.0, 800.0));
    let tag = opened(&mut hand, "Kirima");
    let here = |hand: &mut Hand| hand.window().session().unwrap().view().nav;
    let before = here(&mut hand);
    let (on, off) = presses(&mut hand, tag);
    // A row of the board, a step of the route, a wait in the strip: all are drawn before the page or beside it.
    let row = hand.names().into_iter().find(|name| name.starts_with("Juno")).unwrap();
    let wait = hand.names().into_iter().find(|name| name.contains("settling")).unwrap();
    for (press, name) in [(1, row.as_str()), (2, "plan"), (3, "messages"), (4, wait.as_str())] {
        if press == 4 {
            // Its digits count.
            let wait = hand.names().into_iter().find(|name| name.contains("Kestrel, stone 1")).unwrap();
            hand.tab_to(&wait);
        } else {
            hand.tab_to(name);
        }
        hand.key(Key::Space);
        assert_eq!(presses(&mut hand, tag), (on + press / 2, off + press.div_ceil(2)), "at {name}");
        assert_eq!(here(&mut hand), before, "{name} was not pressed");
        assert!(!hand.sees("Copy it"), "{name} was not pressed");
        hand.pass(3);
    }
}

#[test]
fn where_no_step_asks_for_the_lamp_the_space_bar_presses_what_has_the_keyboard() {
    let mut hand = Hand::demo(vec2(1280.0, 800.0));
    let tag = opened(&mut hand, "Ifeoma");
    let row = hand.names().into_iter().find(|name| name.starts_with("Juno")).unwrap();
    hand.tab_to(&row);
    hand.key(Key::Space);
    let nav = hand.window().session().unwrap().view().nav;
    assert!(matches!(nav, Nav::Bench(other, _) if other != tag), "{nav:?}");
}

/// The demo studio with no lamp on, and the order of a name open on its pour page; nothing has the keyboard.
fn without_a_lamp(name: &str) -> (Hand, Tag) {
    let mut hand = Hand::demo(vec2(1280.0, 800.0));
    opened(&mut hand, "Kirima");
    hand.pass(600);
    hand.key(Key::Space);
    let tag = opened(&mut hand, name);
    hand.pass(1);
    assert_eq!(hand.focused(), None);
    (hand, tag)
}

/// The facts of an order's record, the newest last.
fn facts(hand: &mut Hand, tag: Tag) -> Vec<Fact> {
    let view = hand.window().session().unwrap().view();
    let log = &view.studio.order(tag).unwrap().order.log;
    log.entries().map(|(_, entry)| entry.fact.clone()).collect()
}

#[test]
fn the_space_bar_begins_lays_and_lights_and_never_judges() {
    let (mut hand, tag) = without_a_lamp("Ifeoma");
    assert!(hand.sees("space: begin it"), "{:?}", hand.texts());
    hand.key(Key::Space);
    let begun = facts(&mut hand, tag);
    assert!(matches!(begun.last(), Some(Fact::Pour(PourFact::Begun { stone: 4, .. }))), "{begun:?}");
    // The tag has to be read off the packet first.
    hand.pass(1);
    hand.key(Key::Space);
    assert_eq!(facts(&mut hand, tag).len(), begun.len());
    hand.tab_to("The tag on the packet");
    hand.write(&tag.to_string());
    hand.key(Key::Enter);
    hand.press("It is in");
    hand.press("It is closed");
    assert!(hand.sees("space: it is laid"), "{:?}", hand.texts());
    // A field that is typed into keeps its spaces, and an open list its keys.
    let before = facts(&mut hand, tag).len();
    hand.tab_to("How much resin");
    hand.key(Key::Space);
    hand.write("");
    hand.press("laid otherwise than planned");
    hand.press("What it is");
    hand.pass(1);
    hand.key(Key::Space);
    assert_eq!(facts(&mut hand, tag).len(), before, "a list lies over the page");
    hand.key(Key::Escape);
    hand.tab_to("What it is");
    assert!(!hand.shows("space: it is laid"), "the list has the keyboard, and the space bar opens it");
    hand.key(Key::Escape);
    assert!(hand.sees("space: it is laid"));
    hand.pass(1);
    hand.key(Key::Space);
    let laid = facts(&mut hand, tag);
    assert!(matches!(laid.last(), Some(Fact::Pour(PourFact::Laid { stone: 4, .. }))), "{laid:?}");
    hand.pass(600);
    hand.key(Key::Space);
    assert!(matches!(facts(&mut hand, tag).last(), Some(Fact::Pour(PourFact::LampOn { .. }))));
    hand.pass(600);
    hand.key(Key::Space);
    assert!(matches!(facts(&mut hand, tag).last(), Some(Fact::Pour(PourFact::LampOff { .. }))));
    hand.pass(600);
    assert!(hand.sees("hard, tacky or soft?"));
    let before = facts(&mut hand, tag);
    for _ in 0..3 {
        hand.key(Key::Space);
        hand.pass(1);
    }
    assert_eq!(facts(&mut hand, tag), before, "a judgement is made by its own key");
}

#[test]
fn a_pedal_that_bounces_does_one_thing_and_a_lamp_that_is_on_elsewhere_has_the_space_bar() {
    let (mut hand, tag) = without_a_lamp("Ifeoma");
    let before = facts(&mut hand, tag).len();
    hand.key(Key::Space);
    hand.key(Key::Space);
    assert_eq!(facts(&mut hand, tag).len(), before + 1);
    // In the studio as it is written Kirima's lamp is on.
    let mut hand = Hand::demo(vec2(1280.0, 800.0));
    let tag = opened(&mut hand, "Ifeoma");
    let before = facts(&mut hand, tag).len();
    assert!(!hand.sees("space: begin it"), "{:?}", hand.texts());
    hand.key(Key::Space);
    assert_eq!(facts(&mut hand, tag).len(), before);
}

#[test]
fn the_space_bar_in_an_open_list_is_not_the_lamps() {
    let mut hand = Hand::demo(vec2(1280.0, 800.0));
    let tag = opened(&mut hand, "Ifeoma");
    hand.press("Begin it");
    hand.tab_to("The tag on the packet");
    hand.write(&tag.to_string());
    hand.key(Key::Enter);
    hand.press("It is in");
    hand.press("It is closed");
    hand.press("It is laid");
    hand.press("it has settled: under the lamp now");
    hand.key(Key::Space);
    let before = presses(&mut hand, tag);
    hand.pass(3);
    hand.press("Where the bag of trimmings is put");
    hand.key(Key::Space);
    assert_eq!(presses(&mut hand, tag), before, "a list lies over the page");
    hand.key(Key::Escape);
    hand.pass(3);
    hand.key(Key::Space);
    assert_eq!(presses(&mut hand, tag), (before.0, before.1 + 1), "now it is the lamp's again");
}
