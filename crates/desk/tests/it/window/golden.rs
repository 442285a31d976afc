//! A few pictures of the whole window, kept: what changes in them was meant to. Painted without a graphics card, so they
//! are the same on every machine. `UPDATE_SNAPSHOTS=1 cargo test -p desk golden` keeps new ones.

use egui::{Key, Theme, vec2};

use super::hand::Hand;

fn kept(hand: &mut Hand, name: &str) {
    hand.harness().snapshot(name);
}

#[test]
fn the_plan_looks_as_it_did_by_day_and_by_night() {
    let mut hand = Hand::on("Ifeoma", Key::Num3);
    kept(&mut hand, "plan_light");
    hand.ctx().set_theme(Theme::Dark);
    hand.settle();
    kept(&mut hand, "plan_dark");
}

#[test]
fn the_countdown_looks_as_it_did() {
    let mut hand = Hand::on("Kirima", Key::Num4);
    hand.ctx().set_theme(Theme::Dark);
    hand.settle();
    kept(&mut hand, "lamp_dark");
}

#[test]
fn packing_looks_as_it_did() {
    let mut hand = Hand::on("Gethin", Key::Num8);
    kept(&mut hand, "pack_light");
}

#[test]
fn the_board_looks_as_it_did() {
    let mut hand = Hand::demo(vec2(1280.0, 800.0));
    kept(&mut hand, "board_light");
}

#[test]
fn the_arrival_looks_as_it_did() {
    let mut hand = Hand::on("Ferreira", Key::Num2);
    kept(&mut hand, "arrival_light");
}
