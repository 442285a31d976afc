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
