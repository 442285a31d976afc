//! A new order by a name, and running orders one row after the other, by the keyboard alone.

use craft::fact::Material;
use craft::stage::Stage;
use egui::{Key, vec2};
use workbench::action::Nav;
use workbench::present::labels::{begin as labels, board, place, shell};

use super::hand::{Hand, SIZES};

#[test]
fn a_name_is_enough_to_open_an_order_of_a_known_client() {
    let mut hand = Hand::demo(vec2(1280.0, 800.0));
    let clients = hand.window().session().unwrap().view().studio.clients().len();
    hand.ctrl(Key::N);
    // The keyboard is in the first field already.
    assert_eq!(hand.focused().as_deref(), Some(labels::REMEMBERED));
    hand.write("Old Bess");
    hand.fill(labels::CLIENT, "lindq");
    hand.press("Maja Lindqvist, maja@lindqvist.example");
    hand.key(Key::Enter);
    let view = hand.window().session().unwrap().view();
    let Nav::Bench(tag, craft::order::Page::Brief) = view.nav else { panic!("{:?}", view.nav) };
    let held = view.studio.order(tag).unwrap();
    assert_eq!(held.order.sheet.remembered.name.as_str(), "Old Bess");
    assert_eq!(held.order.client.to_string(), "c02");
    assert_eq!(view.studio.clients().len(), clients, "nobody is written down twice");
    assert!(!hand.sees(labels::NEW));
}

#[test]
fn the_first_field_has_the_keyboard_however_a_form_is_opened() {
    for (link, field) in [(shell::NEW_ORDER, labels::REMEMBERED), (board::RUNNING, labels::CLIENT)] {
        let mut hand = Hand::demo(SIZES[0].1);
        hand.click(link);
        assert_eq!(hand.focused().as_deref(), Some(field), "{link}, by the pointer");
        let mut hand = Hand::demo(SIZES[0].1);
        hand.press(link);
        assert_eq!(hand.focused().as_deref(), Some(field), "{link}, by the keyboard");
    }
}

#[test]
fn a_form_that_still_holds_what_was_typed_says_so_and_can_be_had_empty() {
    for (key, field) in [(Key::N, labels::REMEMBERED), (Key::R, labels::CLIENT)] {
        let mut hand = Hand::demo(SIZES[0].1);
        hand.ctrl(key);
        assert!(!hand.sees(labels::KEPT), "nothing was typed yet");
        hand.write("Old Bess");
        // The field lets go of the keyboard first, then the form closes.
        hand.key(Key::Escape);
        hand.key(Key::Escape);
        assert!(!hand.sees(field));
        hand.ctrl(key);
        assert!(hand.sees("Old Bess") && hand.shows(labels::KEPT));
        assert_eq!(hand.faults(), Vec::<String>::new());
        hand.press(labels::AFRESH);
        assert!(!hand.sees("Old Bess") && !hand.sees(labels::KEPT));
        assert_eq!(hand.focused().as_deref(), Some(field));
    }
}

#[test]
fn the_board_leads_to_running_orders_whether_it_is_empty_or_not() {
    for size in SIZES.map(|(_, points)| points) {
        let mut hand = Hand::demo(size);
        hand.press(board::RUNNING);
        assert!(hand.sees(labels::RUNNING));
        let mut hand = Hand::empty(size);
        assert!(hand.shows(board::EMPTY_RUNNING));
        hand.press(board::ENTER);
        assert!(hand.sees(labels::RUNNING));
    }
}

#[test]
fn nothing_on_the_board_is_cut_in_a_narrow_window() {
    let mut hand = Hand::demo(SIZES[0].1);
    for width in [1280.0, 1000.0, 900.0, 800.0, 700.0, 640.0] {
        hand.resize(vec2(width, 1600.0));
        let cut = |words: &String| words.ends_with('\u{2026}') && words != shell::FIND_HINT;
        let cut: Vec<String> = hand.texts().into_iter().map(|(_, words)| words).filter(cut).collect();
        assert_eq!(cut, Vec::<String>::new(), "at {width}");
        assert_eq!(hand.faults(), Vec::<String>::new(), "at {width}");
        assert!(hand.shows("Neeltje Admiraal") && hand.shows("send the proof"), "at {width}");
    }
    assert!(!hand.sees("Tomasz Wieczorek"), "the stage falls away first of all that is not the work");
}

#[test]
fn a_place_that_is_not_on_the_list_is_added_where_it_is_typed() {
    let mut hand = Hand::demo(SIZES[0].1);
    hand.ctrl(Key::R);
    hand.fill("Where it lies", "the blue safe");
    hand.press(&place::add("the blue safe"));
    assert_eq!(hand.focused().as_deref(), Some("Where it lies"));
    let view = hand.window().session().unwrap().view();
    assert_eq!(view.studio.policies().places.last().unwrap().as_str(), "the blue safe");
    hand.press(labels::RECORD);
    assert!(hand.sees("Say what was entrusted") && !hand.sees("There is no place called"));
}

#[test]
fn without_any_name_the_form_says_what_is_wanted_and_opens_nothing() {
    let mut hand = Hand::demo(vec2(1280.0, 800.0));
    let orders = hand.window().session().unwrap().view().studio.orders().len();
    hand.ctrl(Key::N);
    hand.press(labels::OPEN);
    assert!(hand.sees("Write a name"));
    assert_eq!(hand.window().session().unwrap().view().studio.orders().len(), orders);
}

#[test]
fn running_orders_are_entered_by_enter_alone_and_each_shows_its_tag() {
    let mut hand = Hand::demo(vec2(1280.0, 800.0));
    hand.ctrl(Key::R);
    for (client, name) in [("Ada Bright", "Patch"), ("Bo Calder", "Mimi")] {
        hand.write(client);
        hand.key(Key::Enter);
        hand.write(name);
        hand.key(Key::Enter);
        // What was entrusted: the letter takes it, and the second row has it already.
        if client == "Ada Bright" {
            hand.harness().event(egui::Event::Text("f".to_owned()));
            hand.settle();
        }
        for _ in 0..2 {
            hand.key(Key::Enter);
        }
        hand.write("in 3 weeks");
        hand.key(Key::Enter);
        hand.key(Key::Enter);
        if client == "Ada Bright" {
            hand.write("bench");
        }
        hand.key(Key::Enter);
        let view = hand.window().session().unwrap().view();
        let held =
            view.studio.orders().values().find(|held| held.order.sheet.remembered.name.as_str() == name);
        let held = held.unwrap_or_else(|| panic!("{name} was recorded"));
        assert_eq!(held.stage(), Stage::Here);
        assert_eq!(held.ledger.custody.lots[&1].material, Material::Fur);
        let tag = held.order.tag.to_string();
        assert!(hand.sees(&tag), "the tag to write on the packet");
        assert!(hand.sees(&labels::write(name)));
        assert_eq!(hand.focused().as_deref(), Some(labels::CLIENT), "the next row has begun");
    }
}

#[test]
fn a_row_that_cannot_be_read_says_so_by_field_and_records_nothing() {
    let mut hand = Hand::demo(vec2(1280.0, 800.0));
    let orders = hand.window().session().unwrap().view().studio.orders().len();
    hand.ctrl(Key::R);
    hand.write("Ada Bright");
    hand.press(labels::RECORD);
    assert!(hand.sees("Say what was entrusted"));
    assert!(hand.sees("Say where it lies"));
    assert_eq!(hand.window().session().unwrap().view().studio.orders().len(), orders);
}

#[test]
fn both_forms_are_whole_in_every_size() {
    let mut faults = Vec::new();
    for (size, points) in SIZES {
        for key in [Key::N, Key::R] {
            let mut hand = Hand::demo(points);
            hand.ctrl(key);
            faults.extend(hand.faults().into_iter().map(|fault| format!("{key:?} at {size}: {fault}")));
        }
    }
    assert!(faults.is_empty(), "{} faults:\n{}", faults.len(), faults.join("\n"));
}
