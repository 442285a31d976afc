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
