//! After the parcel has left, by the keyboard.

use craft::place::Place;
use craft::stage::{Next, Stage};
use craft::studio::Held;
use egui::{Key, vec2};
use workbench::action::{Action, Nav};
use workbench::clock::Clock;
use workbench::present::labels::{after as labels, papers, place};
use workbench::session::Session;

use super::hand::Hand;

fn after(name: &str) -> Hand {
    let mut hand = Hand::demo(vec2(1280.0, 800.0));
    hand.ctrl(Key::F);
    hand.write(name);
    hand.key(Key::Enter);
    hand.ctrl(Key::Num9);
    hand
}

/// A window on the demo studio, which another window has open: whatever is handed in is refused.
pub(super) fn read_only() -> (Hand, Session) {
    let hand = Hand::new(vec2(1280.0, 800.0));
    workbench::founding::demo(&hand.root(), Clock::now(&*hand.clock)).unwrap();
    let other = Session::open(&hand.root(), hand.clock.clone()).unwrap();
    (hand.opened(), other)
}

fn held(hand: &mut Hand) -> Held {
    let view = hand.window().session().unwrap().view();
    let Nav::Bench(tag, _) = view.nav else { panic!("{:?}", view.nav) };
    view.studio.order(tag).unwrap().clone()
}

fn next(hand: &mut Hand) -> Next {
    let now = hand.window().session().unwrap().view().now;
    held(hand).next(now.day(), 7)
}

/// Chooses the piece among the things that went home.
fn choose_piece(hand: &mut Hand) {
    let held = held(hand);
    let rows = labels::things(hand.window().session().unwrap().view().studio, &held);
    let piece = rows.into_iter().find(|row| row.thing == craft::id::Thing::piece(1)).unwrap();
    hand.choose(labels::WHICH, &piece.name);
}

#[test]
fn a_parcel_arrives_is_thanked_for_and_the_order_ends_quietly() {
    let mut hand = after("Fenn");
    assert_eq!(next(&mut hand), Next::AwaitArrival);
    hand.fill(labels::DAY, "whenever");
    hand.press(labels::ARRIVED);
    assert_eq!(next(&mut hand), Next::AwaitArrival, "a day that cannot be read is not taken for today");
    hand.fill(labels::DAY, "today");
    hand.press(labels::ARRIVED);
    assert_eq!(next(&mut hand), Next::Thank);
    hand.press(labels::COPY_THANKS);
    let copied = hand.outward.iter().any(|outward| {
        matches!(outward, desk::window::Outward::Copy(words) if words.contains("Thank you for trusting me"))
    });
    assert!(copied);
    hand.press(labels::THANKS_SENT);
    assert_eq!(next(&mut hand), Next::Done);
    assert!(hand.sees("Fenn is home."));
}

#[test]
fn what_is_told_of_late_bears_its_day() {
    let mut hand = after("Fenn");
    hand.fill(labels::DAY, "yesterday");
    hand.press(labels::ARRIVED);
    let today = hand.window().session().unwrap().view().now.day();
    let arrived = held(&mut hand).ledger.home.arrived.unwrap();
    assert_eq!(Some(arrived.day()), today.pred_opt());
}

#[test]
fn a_piece_comes_back_to_a_named_place_and_a_fault_keeps_its_words() {
    let mut hand = after("Fenn");
    hand.press(labels::ARRIVED);
    hand.press(labels::TELL);
    hand.press(labels::RECORD_BACK);
    assert!(hand.sees(labels::THING_WANTED));
    let piece = {
        let view = hand.window().session().unwrap().view();
        let Nav::Bench(tag, _) = view.nav else { panic!("{:?}", view.nav) };
        let rows = labels::things(view.studio, view.studio.order(tag).unwrap());
        rows.into_iter().find(|row| row.thing == craft::id::Thing::piece(1)).unwrap()
    };
    hand.choose(labels::WHICH, &piece.name);
    hand.press(labels::RECORD_BACK);
    assert!(hand.sees(labels::PLACE_WANTED));
    hand.choose(labels::PLACE, "Packing table");
    hand.press(labels::RECORD_BACK);
    let back = held(&mut hand);
    assert_eq!(back.ledger.custody.things[&craft::id::Thing::piece(1)].place, Place::Kept(5));
    assert_ne!(back.stage(), Stage::GoneHome, "the work goes on");
    hand.press(labels::TELL);
    hand.tab_to(labels::WHAT);
    hand.key(Key::ArrowRight);
    hand.choose(labels::WHICH, &piece.name);
    hand.press(labels::RECORD_FAULT);
    let held = held(&mut hand);
    let (entry, thing) = held.ledger.home.faults[0];
    assert_eq!(thing, piece.thing);
    let label = hand.names().into_iter().find(|name| name.starts_with(labels::FAULT_WORDS)).unwrap();
    hand.fill(&label, "a bubble by the edge");
    let tag = held.order.tag;
    let view = hand.window().session().unwrap().view();
    let said = view.studio.order(tag).unwrap().order.story.about(craft::order::About::Entry(entry)).cloned();
    assert_eq!(said.unwrap().as_str(), "a bubble by the edge");
    hand.act(Action::Dismiss);
    assert_eq!(hand.faults(), Vec::<String>::new());
}

#[test]
fn a_place_that_is_not_on_the_list_is_added_and_chosen_where_it_is_wanted() {
    let mut hand = after("Fenn");
    hand.press(labels::ARRIVED);
    hand.press(labels::TELL);
    hand.choose(labels::PLACE, place::ANOTHER);
    assert_eq!(hand.focused().as_deref(), Some(&*place::name(labels::PLACE)));
    // On Esc nothing is added.
    hand.write("nowhere");
    hand.key(Key::Escape);
    assert!(!hand.sees(place::HOW));
    let places = |hand: &mut Hand| {
        let view = hand.window().session().unwrap().view();
        view.studio.policies().places.iter().map(ToString::to_string).collect::<Vec<_>>()
    };
    let before = places(&mut hand);
    hand.choose(labels::PLACE, place::ANOTHER);
    hand.write("the blue safe");
    hand.key(Key::Enter);
    assert_eq!(hand.focused().as_deref(), Some(labels::PLACE), "the keyboard is where it was");
    let now = places(&mut hand);
    assert_eq!((now.len(), now.last().map(String::as_str)), (before.len() + 1, Some("the blue safe")));
    assert!(hand.sees("the blue safe"), "it is chosen");
    choose_piece(&mut hand);
    // A name that is on the list already is not added twice, and a click elsewhere is enough.
    hand.choose(labels::PLACE, place::ANOTHER);
    hand.write(" The Blue Safe");
    hand.press(labels::RECORD_BACK);
    assert_eq!(places(&mut hand), now);
    let no = u16::try_from(now.len()).unwrap();
    assert_eq!(held(&mut hand).ledger.custody.things[&craft::id::Thing::piece(1)].place, Place::Kept(no));
}

#[test]
fn the_care_card_is_within_reach_after_the_parcel_has_left() {
    let mut hand = after("Fenn");
    assert!(hand.shows("The parcel left without a care card"));
    hand.press(labels::CARE_WRITE);
    hand.press(papers::ISSUE);
    hand.ctrl(Key::Num9);
    assert!(hand.shows("The care card was written on 2"), "{:?}", hand.texts());
    // It can be written anew from here, and from where the box was packed.
    hand.press(labels::CARE_AGAIN);
    assert!(hand.names().iter().any(|name| name == papers::ISSUE_AGAIN), "{:?}", hand.names());
    hand.ctrl(Key::Num8);
    hand.press(workbench::present::labels::pack::CARE_AGAIN);
    assert!(hand.names().iter().any(|name| name == papers::ISSUE_AGAIN));
}

#[test]
fn a_day_stays_in_its_field_where_what_happened_on_it_is_refused() {
    let (mut hand, other) = read_only();
    hand.ctrl(Key::F);
    hand.write("Fenn");
    hand.key(Key::Enter);
    hand.ctrl(Key::Num9);
    hand.fill(labels::DAY, "yesterday");
    hand.press(labels::ARRIVED);
    assert_eq!(next(&mut hand), Next::AwaitArrival);
    assert!(hand.sees("yesterday"), "what was typed stays");
    drop(other);
}

#[test]
fn what_is_told_of_a_thing_stays_where_it_is_refused() {
    let (mut hand, other) = read_only();
    hand.ctrl(Key::F);
    hand.write("Fenn");
    hand.key(Key::Enter);
    hand.ctrl(Key::Num9);
    hand.press(labels::TELL);
    hand.choose(labels::PLACE, "Packing table");
    choose_piece(&mut hand);
    hand.press(labels::RECORD_BACK);
    assert_eq!(held(&mut hand).stage(), Stage::GoneHome);
    assert!(hand.sees("Packing table"), "the form is as it was");
    drop(other);
}
