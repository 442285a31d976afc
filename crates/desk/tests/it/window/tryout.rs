//! A layer is tried out without an order.

use egui::Key;
use workbench::present::labels::trying as labels;

use super::hand::{Hand, SIZES};

#[test]
fn what_is_typed_and_chosen_is_followed_by_depth_hiding_and_warmth() {
    let mut hand = Hand::demo(SIZES[0].1);
    hand.ctrl(Key::D);
    assert!(hand.shows(labels::TITLE) && hand.shows("It surely sets right through."));
    // A minute under the large lamp is enough for half a millimetre of clear, a second is not.
    hand.fill(labels::SECONDS, "1 s");
    assert!(!hand.shows("It surely sets right through."), "{:?}", hand.texts());
    hand.fill(labels::SECONDS, "5 minutes");
    assert!(hand.shows("It surely sets right through.") && hand.shows("5:00"));
    assert!(!hand.shows(labels::LOAD), "clear resin has no pigment");
    hand.press(labels::EXPLAIN);
    assert!(hand.shows("How deep it hardens"));
    // What cannot be read says what would be right, and nothing is lost of the rest.
    hand.fill(labels::THICKNESS, "thick");
    assert!(hand.shows("5:00"));
}

#[test]
fn a_thickness_can_be_typed_again_and_again_whatever_was_typed_before() {
    let mut hand = Hand::demo(SIZES[0].1);
    hand.ctrl(Key::D);
    // Some of these lie between two steps of the slider, or are no whole number of steps in a computer's arithmetic.
    for (typed, shown) in
        [("1.2", "1.2 mm"), ("1.5", "1.5 mm"), ("1,23", "1.23 mm"), ("0.9", "0.9 mm"), ("1.1", "1.1 mm")]
    {
        hand.fill(labels::THICKNESS, typed);
        hand.rest(1.0);
        assert!(hand.shows(shown), "{typed}: {:?}", hand.texts());
    }
    for typed in ["0", "500 mm"] {
        hand.fill(labels::THICKNESS, typed);
        assert!(hand.reads("Write 0.1 mm to 3 mm"), "{typed}: {:?}", hand.texts());
    }
    hand.fill(labels::SECONDS, "0");
    assert!(hand.reads("Write 1 s to 5:00"), "{:?}", hand.texts());
}
