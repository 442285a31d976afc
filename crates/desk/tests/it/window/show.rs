//! The proof: photos taken in, the sheet written, and the proof recorded as sent.

use craft::fact::Fact;
use craft::id::Thing;
use craft::studio::Held;
use egui::{Key, vec2};

use super::hand::{Hand, SIZES};
use workbench::present::labels::show as labels;

fn held(hand: &mut Hand) -> Held {
    let view = hand.window().session().unwrap().view();
    let workbench::action::Nav::Bench(tag, _) = view.nav else { panic!("{:?}", view.nav) };
    view.studio.order(tag).unwrap().clone()
}

#[test]
fn the_proof_is_written_sent_and_answered_from_the_keyboard() {
    let mut hand = Hand::on("Neeltje", Key::Num5);
    assert!(hand.sees("3 stones, each with a photo."));
    hand.press("Write the proof sheet");
    assert!(hand.sees("As it would be printed now"), "the papers are shown");
    hand.press("Write and keep it");
    assert!(hand.sees("Written on 25 November, and kept as it was.") || hand.sees("Print it"));
    hand.ctrl(Key::Num5);
    assert!(hand.sees("The sheet is written and kept."), "back on the page");
    hand.press("It is sent to the client");
    let held = held(&mut hand);
    let round = held.ledger.client.open_round().expect("it waits for its answer");
    assert_eq!(round.stones, [1, 2, 3]);
    assert_eq!(round.sheet, held.ledger.home.papers.last().unwrap().2, "the sheet that was written");
    assert!(hand.sees("The proof went to the client on"));
    hand.resize(vec2(1280.0, 2400.0));
    assert!(hand.sees("Proofs that were sent"));
    hand.press("Write down the answer");
    let view = hand.window().session().unwrap().view();
    assert!(matches!(view.nav, workbench::action::Nav::Bench(_, craft::order::Page::Choose)));
}

/// Where it is said that the proof is sent.
const WAYS: [Option<&str>; 3] = [None, Some("messages"), Some("papers")];

fn side(hand: &mut Hand, way: Option<&str>) {
    hand.ctrl(Key::Num5);
    if let Some(way) = way {
        hand.press(way);
    }
    if way == Some("papers") {
        let row = hand.names().into_iter().find(|name| name.starts_with("Proof sheet, ")).unwrap();
        hand.press(&row);
    }
}

#[test]
fn that_the_proof_is_sent_is_recorded_alike_from_three_places_and_shown_in_all() {
    for way in WAYS {
        let mut hand = Hand::on("Neeltje", Key::Num5);
        hand.press(labels::WRITE);
        hand.press("Write and keep it");
        hand.resize(vec2(1280.0, 2400.0));
        for way in WAYS {
            side(&mut hand, way);
            assert!(hand.names().iter().any(|name| name == labels::SEND), "{way:?}");
            assert!(!hand.sees("The proof went to the client on"), "{way:?}");
            assert_eq!(hand.faults(), Vec::<String>::new(), "{way:?}");
        }
        side(&mut hand, way);
        hand.press(labels::SEND);
        let now = held(&mut hand);
        let client = &now.ledger.client;
        assert_eq!(client.open_round().expect("it waits for its answer").stones, [1, 2, 3], "{way:?}");
        let about = craft::fact::MessageKind::Proof;
        assert_eq!(client.messages.iter().filter(|(kind, _)| *kind == about).count(), 1, "{way:?}");
        // The words go with the message where they were known.
        let entry = workbench::present::messages::sent(&now)[0].entry;
        let words = now.order.story.about(craft::order::About::Entry(entry));
        assert_eq!(words.is_some(), way == Some("messages"), "{way:?}");
        let today = hand.window().session().unwrap().view().now;
        let went = workbench::present::showing::went(today.day(), today);
        for way in WAYS {
            side(&mut hand, way);
            assert!(hand.sees(&went), "{way:?}");
            assert!(hand.names().iter().all(|name| name != labels::SEND), "{way:?}");
        }
    }
}

#[test]
fn photos_come_in_by_dialog_by_path_and_by_drop_and_the_shown_one_can_be_another() {
    let mut hand = Hand::on("Neeltje", Key::Num5);
    let (first, second, third) = (hand.photo("a.jpg", 1), hand.photo("b.jpg", 2), hand.photo("c.jpg", 3));
    hand.press("take in photos of stone 2");
    hand.give_photos(&[first]);
    assert!(hand.sees("photo 2 of 2 of stone 2"));
    hand.press("or type a path to a photo of stone 2");
    assert!(hand.sees("Photos that you drop on the window are taken in as photos of stone 2."));
    hand.tab_to("Where the photo of stone 2 is");
    hand.write(&second.display().to_string());
    hand.key(Key::Enter);
    hand.settle();
    assert!(hand.sees("photo 3 of 3 of stone 2"));
    hand.press("or type a path to a photo of stone 2");
    hand.window().dropped(vec![third]);
    hand.settle();
    let photos =
        workbench::present::showing::photos(&held(&mut hand).order.sheet, Some(Thing::stone(2))).len();
    assert_eq!(photos, 4);
    // The first one is shown on the proof again.
    hand.press("photo 1 of 4 of stone 2");
    assert!(hand.sees("photo 1 of 4 of stone 2, large"));
    let original = held(&mut hand)
        .order
        .sheet
        .photos
        .iter()
        .find(|photo| photo.of == Some(Thing::stone(2)))
        .unwrap()
        .original;
    hand.press("show this one on the proof");
    let now = held(&mut hand);
    assert_eq!(now.order.sheet.photo_of(Thing::stone(2)).unwrap().original, original);
    assert_eq!(hand.faults(), Vec::<String>::new());
}

#[test]
fn a_stone_taken_off_the_proof_is_a_spare_and_can_be_put_back() {
    let mut hand = Hand::on("Neeltje", Key::Num5);
    hand.resize(vec2(1280.0, 2400.0));
    hand.press("stone 3 on the proof");
    assert_eq!(hand.focused().as_deref(), Some("stone 3 on the proof"), "the keyboard stays on it");
    assert!(held(&mut hand).ledger.pours.stones[&3].set_aside);
    assert!(hand.sees("Kept as a spare, so it goes home unset."));
    hand.press("stone 3 on the proof");
    let now = held(&mut hand);
    assert!(!now.ledger.pours.stones[&3].set_aside);
    assert!(matches!(now.order.log.entries().last().unwrap().1.fact, Fact::Struck { .. }), "as a mistake");
}

#[test]
fn a_photo_is_looked_at_closer_and_a_copy_of_it_is_written_for_a_message() {
    let mut hand = Hand::on("Wieczorek", Key::Num5);
    hand.press("photo 1 of 1 of stone 1");
    hand.press("closer");
    assert!(hand.sees("farther away"));
    hand.press("a picture for a message");
    let to = hand.beside("for-a-message.jpg");
    hand.press("choose the place");
    hand.answer(&to);
    hand.press("write the picture");
    assert!(std::fs::read(&to).unwrap().starts_with(&[0xff, 0xd8]), "a JPEG");
    assert!(hand.sees("The picture is at"));
    hand.press("close the large view");
    assert!(!hand.sees("closer"));
}

#[test]
fn a_photo_that_is_gone_says_so_in_its_place_and_is_read_again_once_it_is_back() {
    let mut hand = Hand::on("Wieczorek", Key::Num1);
    let photo = held(&mut hand).order.sheet.photo_of(Thing::stone(1)).unwrap().clone();
    let file = hand.root().join("photos").join(format!("{}.jpg", photo.original));
    let bytes = std::fs::read(&file).unwrap();
    // The order opens on this page, so the photo has been seen: only a window that never read it misses it.
    let mut hand = hand.reopened_after(|_, _| std::fs::remove_file(&file).unwrap());
    hand.ctrl(Key::F);
    hand.write("Wieczorek");
    hand.key(Key::Enter);
    hand.ctrl(Key::Num5);
    assert!(hand.sees("This photo cannot"));
    std::fs::write(&file, bytes).unwrap();
    hand.press("photo 1 of 1 of stone 1");
    hand.press("read it again");
    assert!(!hand.sees("This photo cannot"));
}

#[test]
fn an_open_photo_is_whole_in_every_size() {
    let mut hand = Hand::on("Wieczorek", Key::Num5);
    hand.press("photo 1 of 1 of stone 1");
    hand.press("a picture for a message");
    hand.press("or type a path to a photo of stone 2");
    for (size, points) in SIZES {
        hand.resize(points);
        assert_eq!(hand.faults(), Vec::<String>::new(), "{size}");
    }
    assert_eq!(SIZES[0].1, vec2(1280.0, 800.0));
}

#[test]
fn a_word_for_the_proof_that_is_too_long_stays_and_says_so() {
    let mut hand = Hand::on("Neeltje", Key::Num5);
    hand.fill(&labels::caption(1), &"x".repeat(201));
    assert!(hand.sees("That is 201 characters"));
    hand.tab_to(&labels::caption(1));
    hand.key(Key::Backspace);
    hand.key(Key::Enter);
    let caption = held(&mut hand).order.sheet.stone(1).unwrap().caption.clone();
    assert_eq!(caption.as_str(), "x".repeat(200), "all of it is there, once it fits");
    // The same with a word about one photo.
    hand.press("photo 1 of 1 of stone 1");
    hand.fill(labels::PHOTO_CAPTION, &"y".repeat(201));
    assert!(hand.sees("That is 201 characters"));
}

#[test]
fn where_a_picture_goes_belongs_to_its_photo() {
    let mut hand = Hand::on("Neeltje", Key::Num5);
    hand.resize(vec2(1280.0, 2400.0));
    hand.press("photo 1 of 1 of stone 1");
    hand.press("a picture for a message");
    hand.press("choose the place");
    let to = hand.beside("the-first.jpg");
    hand.answer(&to);
    assert!(hand.sees("the-first.jpg"));
    hand.press("photo 1 of 1 of stone 2");
    assert!(hand.sees(labels::WRITE_PICTURE));
    assert!(!hand.sees("the-first.jpg"), "stone 2 is not sent under the name of stone 1");
    hand.press("photo 1 of 1 of stone 1");
    assert!(hand.sees("the-first.jpg"));
}
