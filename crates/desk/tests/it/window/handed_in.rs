//! What is typed stays until the door took it, and is taken for nothing else: at the arrival, the answer and the box.

use craft::fact::{Fact, HomeFact, How};
use craft::id::Thing;
use craft::order::About;
use craft::studio::Whole;
use craft::tag::Tag;
use egui::Key;
use egui_kittest::kittest::{By, NodeT as _, Queryable as _};
use workbench::action::{Action, Nav, Purpose};
use workbench::present::labels::shell::not_yet;
use workbench::present::labels::{arrival, choose, pack};

use super::hand::Hand;

fn held(hand: &mut Hand) -> Whole {
    let tag = tag(hand);
    (**hand.window().session().unwrap().view().studio.order(tag).unwrap()).clone()
}

fn tag(hand: &mut Hand) -> Tag {
    match hand.window().session().unwrap().view().nav {
        Nav::Bench(tag, _) => tag,
        other => panic!("{other:?}"),
    }
}

/// Opens another order, as [`opened`] does.
fn open(hand: &mut Hand, name: &str, page: Key) {
    hand.ctrl(Key::F);
    hand.write(name);
    hand.key(Key::Enter);
    hand.ctrl(page);
}

/// What stands in a field.
fn stands(hand: &mut Hand, field: &str) -> String {
    hand.tab_to(field);
    let all = hand.harness().query_all(By::new());
    let mut values =
        all.filter(egui_kittest::Node::is_focused).filter_map(|node| node.accesskit_node().value());
    values.next_back().unwrap_or_default()
}

/// Presses a control, and leaves for the board before another frame is shown.
fn press_and_leave(hand: &mut Hand, name: &str) {
    hand.tab_to(name);
    hand.harness().key_press(Key::Enter);
    hand.harness().step();
    hand.go(Nav::Board);
}

#[test]
fn a_keep_back_the_door_would_refuse_is_said_in_the_form_and_nothing_is_dropped() {
    let mut hand = Hand::on("Farfar", Key::Num2);
    let entries = held(&mut hand).order.log.len();
    hand.press(arrival::RECORD);
    hand.choose(arrival::MATERIAL, "hair");
    hand.fill(arrival::DESCRIPTION, "a curl in tissue");
    hand.fill(arrival::HOW_MUCH, "310 mg");
    for text in ["0 %", "all", "95 %"] {
        hand.fill(arrival::KEEP_BACK, text);
        assert!(hand.sees("hundredth"), "{text}");
        assert!(hand.sees(&not_yet(arrival::look_again(arrival::KEEP_BACK))), "{text}");
    }
    assert_eq!(held(&mut hand).order.log.len(), entries);
    assert_eq!(stands(&mut hand, arrival::DESCRIPTION), "a curl in tissue");
    hand.fill(arrival::KEEP_BACK, "90 %");
    hand.press(arrival::RECORD_IT);
    let now = held(&mut hand);
    assert_eq!(now.ledger.custody.lots[&1].keep_back, craft::units::Share::of(9, 10));
    assert_eq!(now.order.sheet.description(Thing::wrapping(1)).unwrap().as_str(), "a curl in tissue");
    assert!(now.ledger.custody.weighed.last().is_some());
}

#[test]
fn what_came_is_all_written_down_even_where_the_page_is_left_at_once() {
    let mut hand = Hand::on("Farfar", Key::Num2);
    let tag = tag(&mut hand);
    hand.press(arrival::RECORD);
    hand.choose(arrival::MATERIAL, "hair");
    hand.press(arrival::RECORD_IT);
    hand.fill(arrival::TAG, &tag.to_string());
    press_and_leave(&mut hand, arrival::PUT_KEEP_BACK);
    let now = hand.window().session().unwrap().view().studio.order(tag).unwrap().clone();
    assert!(now.ledger.custody.has_keep_back(1), "opened and split go together");
    // And nothing more happens by itself on coming back.
    let entries = now.order.log.len();
    open(&mut hand, "Farfar", Key::Num2);
    assert_eq!(held(&mut hand).order.log.len(), entries);
    assert!(hand.sees(&arrival::stands_open(Thing::wrapping(1))));
}

#[test]
fn a_refused_keep_back_keeps_the_tag_and_the_seal_that_were_typed() {
    // Something of another order stands open.
    let mut hand = Hand::on("Gethin", Key::Num2);
    let other = tag(&mut hand);
    hand.press(&arrival::more(Thing::envelope(1)));
    hand.press(arrival::RELEASED);
    hand.fill(arrival::TAG, &other.to_string());
    hand.press(&arrival::open(Thing::envelope(1)));
    assert!(held(&mut hand).ledger.custody.things[&Thing::envelope(1)].open);
    open(&mut hand, "Farfar", Key::Num2);
    let own = tag(&mut hand);
    hand.press(arrival::RECORD);
    hand.choose(arrival::MATERIAL, "hair");
    hand.press(arrival::RECORD_IT);
    let entries = held(&mut hand).order.log.len();
    hand.fill(arrival::TAG, &own.to_string());
    let seal = arrival::seal_on(Thing::envelope(1));
    hand.fill(&seal, "17");
    hand.press(arrival::PUT_KEEP_BACK);
    assert_eq!(held(&mut hand).order.log.len(), entries, "{:#?}", hand.texts());
    assert_eq!(stands(&mut hand, &seal), "17");
    assert_eq!(stands(&mut hand, arrival::TAG), own.to_string());
}

#[test]
fn the_clients_words_go_in_with_the_answer_even_where_the_page_is_left_at_once() {
    let mut hand = Hand::on("Halina", Key::Num6);
    let tag = tag(&mut hand);
    hand.press(&choose::stone(1));
    hand.fill(choose::SAID, "the one on the left");
    press_and_leave(&mut hand, &choose::record(1));
    let now = hand.window().session().unwrap().view().studio.order(tag).unwrap().clone();
    let (entry, _) = now.ledger.client.rounds.last().unwrap().answer.unwrap();
    assert_eq!(now.order.story.about(About::Entry(entry)).unwrap().as_str(), "the one on the left");
    // What was picked for it is let go.
    open(&mut hand, "Halina", Key::Num6);
    hand.press(choose::CHANGED);
    assert!(hand.sees(&not_yet(choose::PICK_FIRST)));
    assert_eq!(stands(&mut hand, choose::SAID), "");
}

#[test]
fn a_photo_that_comes_after_a_closed_dialog_is_not_taken_for_the_box() {
    let mut hand = Hand::on("Kuro", Key::Num8);
    let tag = tag(&mut hand);
    for thing in [Thing::envelope(1), Thing::wrapping(1)] {
        hand.fill(pack::TAG, &tag.to_string());
        hand.press(&pack::tick(thing));
    }
    hand.press(&pack::choose_photos(pack::BOX_CAPTION));
    let path = hand.photo("loose.jpg", 9);
    // The dialog was closed without a file; later a photo is dropped on the page.
    hand.act(Action::Picked(Purpose::Photos { tag, of: None }, vec![path.clone()]));
    let home = held(&mut hand).ledger.home;
    assert!(!home.box_seen && home.box_photos.is_empty());
    // Given in the dialog, the same photo is the box, though it is known already.
    hand.press(&pack::choose_photos(pack::BOX_CAPTION));
    hand.give_photos(&[path]);
    let now = held(&mut hand);
    assert!(now.ledger.home.box_seen);
    assert_eq!(now.order.sheet.photos.iter().filter(|photo| photo.of.is_none()).count(), 1);
}

#[test]
fn a_tag_that_was_read_is_forgotten_when_the_order_is_left() {
    let mut hand = Hand::on("Kuro", Key::Num8);
    let own = tag(&mut hand);
    hand.fill(pack::TAG, &own.to_string());
    open(&mut hand, "Gethin", Key::Num8);
    open(&mut hand, "Kuro", Key::Num8);
    let entries = held(&mut hand).order.log.len();
    assert_eq!(stands(&mut hand, pack::TAG), "");
    hand.press(&pack::tick(Thing::envelope(1)));
    assert_eq!(held(&mut hand).order.log.len(), entries);
    assert!(hand.sees(pack::TAG_FIRST));
    // Letters that are seen coming at once come from a scanner; what was pasted does not.
    for (pasted, how) in [(true, How::Typed), (false, How::Scanned)] {
        hand.tab_to(pack::TAG);
        let text = own.to_string();
        let event = if pasted { egui::Event::Paste(text) } else { egui::Event::Text(text) };
        hand.harness().event(event);
        hand.settle();
        let thing = if pasted { Thing::envelope(1) } else { Thing::wrapping(1) };
        hand.press(&pack::tick(thing));
        let log = held(&mut hand).order.log;
        let newest = log.entry(log.len()).unwrap().fact.clone();
        assert!(
            matches!(newest, Fact::Home(HomeFact::Ticked { check, thing: now }) if check.how == how && now == thing),
            "{newest:?}"
        );
    }
}

#[test]
fn words_that_cannot_be_kept_stay_in_their_field_and_say_why() {
    let long = "tail hair ".repeat(30);
    let mut hand = Hand::on("Gethin", Key::Num2);
    let (wrapping, envelope) = (Thing::wrapping(1), Thing::envelope(1));
    hand.press(&arrival::more(wrapping));
    hand.fill(&arrival::describe(wrapping), &long);
    assert!(hand.sees("200"), "what would be right: {:#?}", hand.texts());
    assert_eq!(stands(&mut hand, &arrival::describe(wrapping)), long);
    // The field of another thing holds nothing of it, and it is there again with its own.
    hand.press(&arrival::more(envelope));
    assert_eq!(stands(&mut hand, &arrival::describe(envelope)), "");
    hand.press(&arrival::more(wrapping));
    assert_eq!(stands(&mut hand, &arrival::describe(wrapping)), long);
}

#[test]
fn a_handful_is_written_down_in_words_and_moves_nothing_aside() {
    let mut hand = Hand::on("Farfar", Key::Num2);
    hand.press(arrival::RECORD);
    hand.choose(arrival::MATERIAL, "hair");
    hand.fill(arrival::DESCRIPTION, "a curl in tissue");
    let beside = at(&mut hand, arrival::KEEP_BACK);
    // What cannot be read says so under its own field, and says that none is needed.
    hand.fill(arrival::HOW_MUCH, "5 oz");
    assert!(hand.sees("or leave it empty"), "{:#?}", hand.texts());
    let field = at(&mut hand, arrival::HOW_MUCH);
    let (said, _) = hand.texts().into_iter().find(|(_, text)| text.contains("\"oz\"")).unwrap();
    assert!(said.right() <= field.right() + 1.0, "{said:?} under {field:?}");
    assert_eq!(at(&mut hand, arrival::KEEP_BACK), beside);
    hand.fill(arrival::HOW_MUCH, "a handful");
    assert_eq!(at(&mut hand, arrival::KEEP_BACK), beside);
    assert_eq!(hand.faults(), Vec::<String>::new());
    hand.press(arrival::RECORD_IT);
    let now = held(&mut hand);
    assert_eq!(
        now.order.sheet.description(Thing::wrapping(1)).unwrap().as_str(),
        "a curl in tissue, a handful"
    );
    assert!(now.ledger.custody.weighed.is_empty(), "nothing was weighed");
}

#[test]
fn words_typed_as_the_weight_of_a_thing_are_kept_with_how_it_looks() {
    let mut hand = Hand::on("Gethin", Key::Num2);
    let wrapping = Thing::wrapping(1);
    let before = held(&mut hand);
    let looks = before.order.sheet.description(wrapping).map(ToString::to_string).unwrap_or_default();
    hand.press(&arrival::more(wrapping));
    hand.fill(&arrival::weigh(wrapping), "a small bag");
    let now = held(&mut hand);
    let said = now.order.sheet.description(wrapping).unwrap().as_str();
    let right = if looks.is_empty() { "a small bag".to_owned() } else { format!("{looks}, a small bag") };
    assert_eq!(said, right);
    assert_eq!(now.order.log.len(), before.order.log.len(), "no weight is made of it");
}

/// Where a field stands.
fn at(hand: &mut Hand, name: &str) -> egui::Rect {
    hand.tab_to(name);
    let all = hand.harness().query_all(By::new());
    let mut rects = all.filter(egui_kittest::Node::is_focused).map(|node| node.rect());
    rects.next_back().unwrap()
}
