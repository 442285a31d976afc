//! The first page.

use super::hand::Hand;
use egui::vec2;

#[test]
fn the_first_page_opens_the_demo_studio() {
    let mut hand = Hand::new(vec2(1280.0, 800.0));
    hand.settle();
    assert!(hand.faults().is_empty(), "{:#?}", hand.faults());
    hand.press("Look around the demo studio");
    assert!(hand.sees("For your hands today"));
    assert_eq!(hand.faults(), Vec::<String>::new());
}

#[test]
fn three_answers_make_a_studio() {
    let mut hand = Hand::new(vec2(1280.0, 800.0));
    hand.settle();
    hand.press("start my studio");
    assert!(hand.sees("Write what the studio is called"));
    hand.fill("What is it called?", "The Boathouse");
    let folder = hand.beside("mine").display().to_string();
    hand.fill("In which folder shall it be kept?", &folder);
    hand.press("What are prices in?: pound");
    hand.press("start my studio");
    assert!(hand.sees("No orders yet."), "{:?}", hand.texts());
    let title = hand.window().title();
    assert_eq!(title, "The Boathouse · Heldfast");
    assert!(hand.beside("mine").join("studio.ron").exists());
}

#[test]
fn a_folder_that_is_no_studio_is_said_to_be_none() {
    let mut hand = Hand::new(vec2(1280.0, 800.0));
    hand.settle();
    let folder = hand.beside("nothing here").display().to_string();
    hand.fill("The folder of a studio", &folder);
    hand.press("open it");
    assert!(hand.sees("There is no folder"), "{:?}", hand.texts());
}
