//! The message desk by the keyboard.

use craft::fact::MessageKind;
use craft::order::About;
use desk::window::Outward;
use egui::{Key, vec2};
use workbench::action::Nav;
use workbench::present::labels::{brief, messages as labels};
use workbench::present::messages::sent;

use super::hand::{Hand, SIZES};

fn desk(name: &str) -> Hand {
    let mut hand = Hand::demo(vec2(1280.0, 800.0));
    hand.ctrl(Key::F);
    hand.write(name);
    hand.key(Key::Enter);
    hand.ctrl(Key::M);
    hand
}

fn copied(hand: &Hand) -> Option<String> {
    hand.outward.iter().rev().find_map(|outward| match outward {
        Outward::Copy(words) => Some(words.clone()),
        _ => None,
    })
}

#[test]
fn ready_words_are_changed_copied_noted_as_sent_and_kept() {
    let mut hand = desk("Neeltje");
    hand.tab_to(labels::WORDS);
    hand.write("Dear Saskia, the sheet comes with this.");
    hand.press(labels::COPY);
    assert_eq!(copied(&hand).as_deref(), Some("Dear Saskia, the sheet comes with this."));
    hand.press(labels::SENT);
    let view = hand.window().session().unwrap().view();
    let Nav::Bench(tag, _) = view.nav else { panic!("{:?}", view.nav) };
    let held = view.studio.order(tag).unwrap();
    let newest = sent(held)[0];
    assert_eq!(newest.kind, MessageKind::Proof);
    let words = held.order.story.about(About::Entry(newest.entry)).unwrap();
    assert_eq!(words.as_str(), "Dear Saskia, the sheet comes with this.");
}

#[test]
fn the_ready_words_can_be_had_back() {
    let mut hand = desk("Neeltje");
    hand.press(labels::COPY);
    let ready = copied(&hand).unwrap();
    hand.tab_to(labels::WORDS);
    hand.write("something else");
    hand.press(labels::RESTORE);
    hand.press(labels::COPY);
    assert_eq!(copied(&hand).unwrap(), ready);
}

#[test]
fn words_the_client_never_wants_to_read_are_not_copied() {
    let mut hand = desk("Neeltje");
    hand.ctrl(Key::Num1);
    hand.tab_to(brief::NEVER_WORD);
    hand.write("remains");
    hand.key(Key::Enter);
    hand.ctrl(Key::M);
    hand.tab_to(labels::WORDS);
    hand.write("Here is what remains.");
    assert!(hand.sees("never to read"));
    let before = copied(&hand);
    hand.tab_to(labels::SENT);
    assert_eq!(copied(&hand), before);
    hand.tab_to(labels::WORDS);
    hand.write("Here is what is left.");
    hand.press(labels::COPY);
    assert_eq!(copied(&hand).as_deref(), Some("Here is what is left."));
}

#[test]
fn the_words_are_carried_to_the_phone_in_a_code() {
    let mut hand = desk("Neeltje");
    hand.press(labels::PHONE);
    assert!(hand.sees(labels::PHONE_HINT));
    assert!(!hand.sees(labels::NO_ROOM));
}

#[test]
fn every_moment_is_whole_in_every_size() {
    let mut faults = Vec::new();
    let mut hand = desk("Aurelio");
    for (size, points) in SIZES {
        hand.resize(points);
        let moments = hand.names();
        for kind in MessageKind::ALL {
            let start = format!("{}, ", workbench::present::words::message(kind));
            let name = moments.iter().find(|name| name.starts_with(&start)).unwrap();
            hand.press(name);
            faults.extend(hand.faults().into_iter().map(|fault| format!("{kind:?} at {size}: {fault}")));
        }
    }
    assert!(faults.is_empty(), "{} faults:\n{}", faults.len(), faults.join("\n"));
}
