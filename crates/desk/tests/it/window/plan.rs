//! The plan page: what it keeps, and where it leads.

use craft::order::Page;
use egui::Key;
use workbench::action::Nav;
use workbench::present::labels::plan;

use super::hand::Hand;

#[test]
fn the_plans_of_all_stones_are_kept_by_one_press_and_the_one_shown_is_poured() {
    let mut hand = Hand::on("Juno", Key::Num3);
    hand.press(plan::FIRST);
    hand.press(plan::ADD);
    hand.press(plan::ADD);
    let kept = |hand: &mut Hand| -> Vec<bool> {
        let view = hand.window().session().unwrap().view();
        let Nav::Bench(tag, _) = view.nav else { panic!("{:?}", view.nav) };
        view.studio.order(tag).unwrap().order.sheet.stones.iter().map(|stone| stone.plan.is_some()).collect()
    };
    assert_eq!(kept(&mut hand), [false; 3]);
    hand.press(&plan::stone(2));
    hand.press(plan::KEEP_ALL);
    assert_eq!(kept(&mut hand), [true; 3], "{:#?}", hand.texts());
    assert!(!hand.names().iter().any(|name| name == plan::KEEP_ALL), "there is nothing more to keep");
    hand.press(plan::POUR);
    assert!(matches!(hand.window().session().unwrap().view().nav, Nav::Bench(_, Page::Pour)));
    assert!(hand.sees("cavity"), "{:#?}", hand.texts());
}
