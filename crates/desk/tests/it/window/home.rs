//! From the packet that comes to the box that leaves: arrival, the answer to the proof, and packing.

use craft::fact::{Choice, CustodyFact, Fact, HomeFact, How};
use craft::id::Thing;
use craft::order::{About, Page};
use craft::place::Place;
use craft::studio::Held;
use craft::units::Share;
use egui::{Key, vec2};
use workbench::action::Nav;
use workbench::present::labels::shell::not_yet;
use workbench::present::labels::{arrival, choose, common, pack, papers};
use workbench::present::words;

use super::hand::{Hand, SIZES};

fn held(hand: &mut Hand) -> Held {
    let view = hand.window().session().unwrap().view();
    let Nav::Bench(tag, _) = view.nav else { panic!("{:?}", view.nav) };
    view.studio.order(tag).unwrap().clone()
}

fn newest(hand: &mut Hand) -> Fact {
    let held = held(hand);
    held.order.log.entry(held.order.log.len()).unwrap().fact.clone()
}

fn page(hand: &mut Hand) -> Page {
    match hand.window().session().unwrap().view().nav {
        Nav::Bench(_, page) => page,
        other => panic!("{other:?}"),
    }
}

#[test]
fn what_came_is_written_down_and_the_keep_back_goes_first() {
    let mut hand = Hand::on("Farfar", Key::Num2);
    hand.press(arrival::RECORD);
    assert!(hand.sees(&format!("Not yet: {}.", arrival::CHOOSE_MATERIAL)));
    hand.choose(arrival::MATERIAL, "hair");
    hand.fill(arrival::DESCRIPTION, "a curl in tissue");
    hand.tab_to(arrival::HOW_MUCH);
    hand.write("about a quarter");
    assert!(hand.sees("A share needs a whole"), "a quarter of what?");
    hand.write("0,31 g");
    assert!(hand.sees("310 mg"), "a decimal comma is read");
    hand.fill(arrival::SEAL, "17");
    hand.press(arrival::RECORD_IT);
    let now = held(&mut hand);
    let wrapping = Thing::wrapping(1);
    let kept = &now.ledger.custody.things[&wrapping];
    assert_eq!((kept.seal.map(|seal| seal.0), kept.open), (Some(17), false));
    assert_eq!(now.ledger.custody.weighed.last().unwrap().2.value.to_string(), "310 mg");
    assert_eq!(now.order.sheet.description(wrapping).unwrap().as_str(), "a curl in tissue");
    // The keyboard is at the tag already; another order's tag does not open the packet.
    assert_eq!(hand.focused().as_deref(), Some(arrival::TAG));
    hand.write("S35-D9P");
    assert!(hand.sees("Fenn"), "whose it is");
    assert!(hand.sees(&format!("Not yet: {}.", arrival::READ_TAG)));
    let tag = now.order.tag;
    hand.write(&tag.plain().to_lowercase());
    hand.press(arrival::PUT_KEEP_BACK);
    assert!(matches!(
        newest(&mut hand),
        Fact::Custody(CustodyFact::SplitOff { keep_back: true, part, .. }) if part == Share::of(1, 3)
    ));
    // What stands open is closed, and put back.
    hand.press(&arrival::close(wrapping));
    let kept = held(&mut hand).ledger.custody.things[&wrapping].clone();
    assert!(!kept.open && matches!(kept.place, Place::Kept(_)), "{kept:?}");
}

#[test]
fn a_keep_back_is_opened_only_after_the_clients_recorded_yes() {
    let mut hand = Hand::on("Gethin", Key::Num2);
    let envelope = Thing::envelope(1);
    hand.press(&arrival::more(envelope));
    assert!(!hand.names().contains(&arrival::open(envelope)), "it cannot even be tried");
    hand.press(arrival::RELEASED);
    assert!(hand.sees(arrival::RELEASED_NOW));
    let tag = held(&mut hand).order.tag;
    hand.fill(arrival::TAG, &tag.to_string());
    hand.press(&arrival::open(envelope));
    assert!(
        matches!(newest(&mut hand), Fact::Custody(CustodyFact::Opened { thing, .. }) if thing == envelope)
    );
    // Some is taken out by eye, into an envelope of its own.
    hand.fill(arrival::TAKE_HOW_MUCH, "about a tenth");
    let next = Thing::envelope(2);
    hand.press(&arrival::into(next));
    let now = held(&mut hand);
    let share = now.ledger.custody.share(craft::fact::Holder::Thing(next), 1);
    assert_eq!(share, Share::of(1, 10));
}

#[test]
fn a_thing_is_moved_lost_found_and_photographed() {
    let mut hand = Hand::on("Gethin", Key::Num2);
    let stone = Thing::stone(1);
    hand.press(&arrival::more(stone));
    hand.choose(&arrival::moved(stone), "on the bench");
    assert_eq!(held(&mut hand).ledger.custody.things[&stone].place, Place::Bench);
    assert!(!hand.sees(&arrival::photo_no(stone, 1)));
    hand.press(&arrival::add_photo(stone));
    hand.press(&pack::choose_photos("stone 1"));
    let path = hand.photo("stone.jpg", 5);
    hand.give_photos(&[path]);
    assert!(held(&mut hand).order.sheet.photo_of(stone).is_some());
    assert!(hand.sees(&arrival::photo_no(stone, 1)), "the photo is shown");
    hand.press(&arrival::lost(stone));
    hand.press(common::LOST_NO);
    assert!(!held(&mut hand).ledger.custody.things[&stone].lost, "it was asked first");
    hand.press(&arrival::lost(stone));
    hand.press(&common::lost_yes(stone));
    assert!(held(&mut hand).ledger.custody.things[&stone].lost);
    hand.press(&arrival::found(stone));
    assert!(!held(&mut hand).ledger.custody.things[&stone].lost);
}

#[test]
fn everything_is_ticked_by_its_tag_and_the_box_is_posted() {
    let mut hand = Hand::on("Kuro", Key::Num8);
    let (envelope, wrapping) = (Thing::envelope(1), Thing::wrapping(1));
    let entries = held(&mut hand).order.log.len();
    // Without a tag nothing is ticked, and the keyboard goes where it is read.
    hand.press(&pack::tick(envelope));
    assert!(hand.sees(pack::TAG_FIRST));
    assert_eq!(hand.focused().as_deref(), Some(pack::TAG));
    hand.write("S35-D9P");
    assert!(hand.sees("Fenn"));
    hand.press(&pack::tick(envelope));
    assert_eq!(held(&mut hand).order.log.len(), entries, "another order's tag ticks nothing");
    // Picked from a list, which is a comparison too.
    let tag = held(&mut hand).order.tag;
    hand.press(pack::PICK);
    hand.press(&tag.to_string());
    hand.press(&pack::tick(envelope));
    let Fact::Home(HomeFact::Ticked { thing, check }) = newest(&mut hand) else { panic!("ticked") };
    assert_eq!((thing, check.how, check.tag), (envelope, How::Picked, tag));
    assert!(hand.sees("Not yet: wrapping 1 is not in the box."));
    // Out again, and in.
    hand.press(&pack::tick(envelope));
    assert_eq!(newest(&mut hand), HomeFact::Unticked { thing: envelope }.into());
    // The tag that was picked stood for one tick: each thing's own tag is read.
    for thing in [envelope, wrapping] {
        let entries = held(&mut hand).order.log.len();
        hand.press(&pack::tick(thing));
        assert_eq!(held(&mut hand).order.log.len(), entries, "not without its tag");
        assert_eq!(hand.focused().as_deref(), Some(pack::TAG));
        hand.write(&tag.to_string());
        hand.press(&pack::tick(thing));
        assert!(matches!(newest(&mut hand), Fact::Home(HomeFact::Ticked { thing: now, .. }) if now == thing));
        assert_eq!(hand.focused().as_deref(), Some(pack::TAG), "the keyboard is where the next tag is read");
    }
    assert!(hand.sees("Not yet: photograph the open box"));
    hand.press(pack::BY_EYE);
    assert!(!hand.sees(pack::WITHOUT_CARE), "there is no stone to care for");
    hand.press(pack::CLOSE);
    hand.fill(pack::TRACKING, "JP 12 34");
    hand.press(pack::POSTED);
    let now = held(&mut hand);
    assert!(now.ledger.home.is_gone());
    assert_eq!(now.order.sheet.parcels.last().unwrap().tracking.as_str(), "JP 12 34");
    hand.press(pack::TO_AFTER);
    assert_eq!(page(&mut hand), Page::After);
}

#[test]
fn the_whole_label_that_was_read_stands_for_its_own_thing() {
    let mut hand = Hand::on("Kuro", Key::Num8);
    let (envelope, wrapping) = (Thing::envelope(1), Thing::wrapping(1));
    let (tag, entries) = (held(&mut hand).order.tag, held(&mut hand).order.log.len());
    hand.fill(pack::TAG, &format!("{tag} w1"));
    assert!(hand.reads("W1 is its own number."), "{:?}", hand.texts());
    hand.press(&pack::tick(envelope));
    assert_eq!(held(&mut hand).order.log.len(), entries, "that label stands on something else");
    assert!(hand.reads("that is wrapping 1, and envelope 1 is meant"), "{:?}", hand.texts());
    hand.press(&pack::tick(wrapping));
    assert!(matches!(newest(&mut hand), Fact::Home(HomeFact::Ticked { thing, .. }) if thing == wrapping));
}

#[test]
fn a_photo_that_was_asked_for_is_the_one_of_the_box() {
    let mut hand = Hand::on("Kuro", Key::Num8);
    let tag = held(&mut hand).order.tag;
    for thing in [Thing::envelope(1), Thing::wrapping(1)] {
        hand.fill(pack::TAG, &tag.to_string());
        hand.press(&pack::tick(thing));
    }
    let path = hand.photo("box.jpg", 9);
    hand.tab_to(&pack::photo_path(pack::BOX_CAPTION));
    hand.write(&path.display().to_string());
    hand.key(Key::Enter);
    hand.settle();
    let now = held(&mut hand);
    assert!(now.ledger.home.box_seen);
    assert_eq!(now.ledger.home.box_photos.len(), 1);
}

#[test]
fn a_piece_that_is_away_is_ticked_only_once_it_is_back() {
    let mut hand = Hand::on("Anand", Key::Num8);
    let piece = Thing::piece(1);
    let tag = held(&mut hand).order.tag;
    hand.fill(pack::TAG, &tag.to_string());
    assert!(hand.sees("away, being worked on"));
    hand.press(&pack::back(piece));
    assert_eq!(held(&mut hand).ledger.custody.things[&piece].place, Place::Bench);
    hand.press(&pack::tick(piece));
    assert_eq!(held(&mut hand).ledger.custody.things[&piece].place, Place::Box);
}

#[test]
fn a_box_without_a_care_card_is_not_closed_by_oversight() {
    let mut hand = Hand::on("Anand", Key::Num8);
    hand.resize(vec2(1280.0, 1600.0));
    hand.press(&pack::back(Thing::piece(1)));
    let tag = held(&mut hand).order.tag.to_string();
    for thing in held(&mut hand).ledger.to_pack() {
        assert!(!hand.sees(pack::WITHOUT_CARE), "not before the box may be closed");
        hand.fill(pack::TAG, &tag);
        hand.press(&pack::tick(thing));
    }
    hand.press(pack::BY_EYE);
    assert!(hand.sees("The care card is not written yet."));
    assert!(hand.names().iter().any(|name| name == pack::CLOSE), "it may be closed all the same");
    assert_eq!(hand.faults(), Vec::<String>::new());
    hand.press(pack::CARE_FIRST);
    hand.press(papers::ISSUE);
    hand.ctrl(Key::Num8);
    assert!(!hand.sees("The care card is not written yet."));
    hand.press(pack::CLOSE);
    hand.press(pack::POSTED);
    hand.press(pack::CARE_AGAIN);
    assert!(hand.names().iter().any(|name| name == papers::ISSUE_AGAIN), "it can be written anew");
}

#[test]
fn a_packing_list_from_before_more_went_in_is_asked_for_again_before_the_box_is_closed() {
    let mut hand = Hand::on("Kuro", Key::Num8);
    hand.resize(vec2(1280.0, 1600.0));
    let tag = held(&mut hand).order.tag.to_string();
    let tick = |hand: &mut Hand, thing: Thing| {
        hand.fill(pack::TAG, &tag);
        hand.press(&pack::tick(thing));
    };
    let (envelope, wrapping) = (Thing::envelope(1), Thing::wrapping(1));
    tick(&mut hand, envelope);
    hand.press(&pack::issue("packing list"));
    assert!(hand.sees(&pack::papers_ready("packing list")));
    tick(&mut hand, wrapping);
    let why = "the packing list is out of date: what it says of wrapping 1 has changed since";
    assert!(hand.reads(&words::sentence(why)) && !hand.sees(&pack::papers_ready("packing list")));
    hand.press(pack::BY_EYE);
    assert!(hand.reads(&pack::old_list(why)), "closing asks for a fresh one");
    assert_eq!(hand.faults(), Vec::<String>::new());
    hand.press(pack::LIST_FIRST);
    assert!(hand.reads(&papers::old(&words::sentence(why))));
    assert_eq!(hand.faults(), Vec::<String>::new());
    hand.ctrl(Key::Num8);
    hand.press(&pack::issue_again("packing list"));
    assert!(hand.sees(&pack::papers_ready("packing list")));
    assert!(!hand.reads(&pack::old_list(why)));
    hand.press(pack::CLOSE);
    assert!(hand.names().iter().any(|name| name == pack::POSTED));
}

#[test]
fn what_stays_out_is_named_with_its_reason() {
    let mut hand = Hand::on("Kuro", Key::Num8);
    let envelope = Thing::envelope(1);
    hand.press(pack::STAYS_OUT);
    hand.choose(pack::WHICH, "E1, Keep-back envelope");
    hand.press(pack::HELD);
    assert!(matches!(newest(&mut hand), Fact::Home(HomeFact::LeftOut { thing, .. }) if thing == envelope));
    assert!(hand.sees("held here"), "the row says why");
}

#[test]
fn a_stone_is_chosen_in_the_clients_words_and_a_mind_can_change() {
    let mut hand = Hand::on("Halina", Key::Num6);
    // Tall enough that all of the page is seen.
    hand.resize(vec2(1280.0, 1600.0));
    assert!(hand.sees(&not_yet(choose::PICK_FIRST)));
    hand.press(&choose::stone(1));
    assert!(!hand.sees(&not_yet(choose::PICK_FIRST)));
    hand.fill(choose::SAID, "the one on the left, please");
    hand.press(&format!("{}: by phone", choose::WAY));
    hand.press(&choose::record(1));
    let now = held(&mut hand);
    assert_eq!(now.ledger.client.chosen().collect::<Vec<_>>(), [1]);
    let (entry, choice) = now.ledger.client.rounds.last().unwrap().answer.unwrap();
    assert_eq!(choice, Choice::Stone(1));
    let said = now.order.story.about(About::Entry(entry)).unwrap().to_string();
    assert_eq!(said, "the one on the left, please (said by phone)");
    assert!(hand.sees("\u{201c}the one on the left, please\u{201d}, by phone"));
    hand.press(choose::CHANGED);
    hand.press(choose::NONE);
    hand.press(choose::RECORD_NONE);
    let now = held(&mut hand);
    assert_eq!(now.ledger.client.rounds.last().unwrap().answer.unwrap().1, Choice::NoneOfThese);
    hand.press(choose::TO_PLAN);
    assert_eq!(page(&mut hand), Page::Plan);
}

#[test]
fn nothing_is_clipped_or_lies_over_another_in_any_window() {
    for (name, key) in [
        ("Gethin", Key::Num2),
        ("Ferreira", Key::Num2),
        ("Gethin", Key::Num8),
        ("Fenn", Key::Num8),
        ("Halina", Key::Num6),
        ("Gethin", Key::Num6),
    ] {
        let mut hand = Hand::on(name, key);
        for (size, points) in SIZES {
            hand.resize(points);
            assert_eq!(hand.faults(), Vec::<String>::new(), "{name}, {key:?}, {size}");
        }
    }
}
