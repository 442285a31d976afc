//! The message desk by the keyboard.

use craft::fact::MessageKind;
use craft::order::About;
use desk::window::Outward;
use egui::{Key, vec2};
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use workbench::action::Nav;
use workbench::present::labels::{brief, messages as labels};
use workbench::present::messages::sent;

use super::after::read_only;
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
    let button = hand.harness().get_by_label(labels::COPY);
    assert!(button.accesskit_node().is_disabled(), "the words cannot be copied");
    button.click();
    hand.settle();
    assert_eq!(copied(&hand), None);
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

/// How many messages of the open order are noted as sent.
fn noted(hand: &mut Hand) -> usize {
    let view = hand.window().session().unwrap().view();
    let Nav::Bench(tag, _) = view.nav else { panic!("{:?}", view.nav) };
    sent(view.studio.order(tag).unwrap()).len()
}

fn open(hand: &mut Hand, name: &str) {
    hand.ctrl(Key::F);
    hand.write(name);
    hand.key(Key::Enter);
    hand.ctrl(Key::M);
}

#[test]
fn an_edited_letter_is_still_there_after_another_order_was_open() {
    let mut hand = desk("Neeltje");
    hand.tab_to(labels::WORDS);
    hand.write("Dear Saskia, in my own words.");
    open(&mut hand, "Farfar");
    open(&mut hand, "Neeltje");
    hand.press(labels::COPY);
    assert_eq!(copied(&hand).as_deref(), Some("Dear Saskia, in my own words."));
    // One that nobody touched follows the record all the same.
    hand.press(labels::RESTORE);
    hand.press(labels::COPY);
    let ready = copied(&hand).unwrap();
    open(&mut hand, "Farfar");
    open(&mut hand, "Neeltje");
    assert!(!hand.sees(labels::RESTORE));
    hand.press(labels::COPY);
    assert_eq!(copied(&hand).unwrap(), ready);
}

#[test]
fn a_message_that_cannot_be_noted_keeps_its_day_and_leaves_one_notice() {
    let (mut hand, other) = read_only();
    open(&mut hand, "Neeltje");
    hand.fill(labels::SENT_DAY, "yesterday");
    let before = noted(&mut hand);
    hand.press(labels::SENT);
    assert_eq!(noted(&mut hand), before);
    let view = hand.window().session().unwrap().view();
    assert!(view.notice.is_some());
    hand.resize(vec2(1280.0, 2400.0));
    assert!(hand.sees("yesterday"), "what was typed stays");
    hand.act(workbench::action::Action::Dismiss);
    assert!(hand.window().session().unwrap().view().notice.is_none(), "refused once, said once");
    drop(other);
}

#[test]
fn words_too_long_to_be_kept_say_so_and_are_not_noted_without_them() {
    let mut hand = desk("Neeltje");
    hand.tab_to(labels::WORDS);
    hand.write(&"word ".repeat(900));
    assert!(hand.names().iter().all(|name| name != labels::SENT));
    hand.tab_to(labels::WORDS);
    hand.write("Dear Saskia.");
    let before = noted(&mut hand);
    hand.press(labels::SENT);
    assert_eq!(noted(&mut hand), before + 1);
}
