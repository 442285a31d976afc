//! Ten thousand orders, written as files that a studio of many years would have.

use std::path::Path;

use craft::studio::Studio;
use workbench::demo::many::Records;

use super::hand::Hand;
use crate::support::HandClock;

/// Adds so many orders to the studio in `root`; one in fifty is open, the others have gone home.
pub(crate) fn add_orders(root: &Path, studio: &Studio, _clock: &HandClock, count: u32) {
    let mut written = 0;
    for (path, bytes) in workbench::demo::many::files(studio, count, Records::Shortest) {
        written += u32::from(path.starts_with("orders/"));
        std::fs::write(root.join(path), bytes).unwrap();
    }
    assert_eq!(written, count);
}

/// Pumps until every order is read.
pub(crate) fn read_on(hand: &mut Hand) {
    while hand.window().session().unwrap().bench.reading().is_some() {
        hand.window().logic();
        std::thread::yield_now();
    }
    hand.settle();
}

#[test]
fn a_studio_of_many_orders_shows_the_first_at_once_and_the_others_as_they_are_read() {
    let hand = Hand::demo(egui::vec2(1280.0, 800.0));
    let root = hand.root();
    let here = 19;
    let mut hand = hand.reopened_after(|studio, clock| add_orders(&root, studio, clock, 1_500));
    let first = hand.window().session().unwrap().view().board.rows.len();
    assert!(first >= workbench::session::FIRST, "{first}");
    assert!(hand.sees("For your hands today"), "what is open comes first");
    read_on(&mut hand);
    let session = hand.window().session().unwrap();
    assert_eq!(session.view().board.rows.len(), 1_500 + here);
    assert!(session.view().reading_words().is_none());
    assert_eq!(session.view().findings(), []);
    assert_eq!(hand.faults(), Vec::<String>::new());
}
