//! Every page, empty, usual and with very many orders, in every size: nothing cut off, nothing over anything else,
//! nothing without a name. Letters that no typeface has end the test by themselves.

use craft::order::Page;
use craft::tag::Tag;
use workbench::action::Nav;

use super::hand::{Hand, SIZES};
use super::many::{add_orders, read_on};

fn navs(hand: &mut Hand) -> Vec<Nav> {
    let view = hand.window().session().unwrap().view();
    // One order of each stage, so that each page is seen empty, in work and over.
    let mut tags: Vec<Tag> = Vec::new();
    let mut stages = std::collections::BTreeSet::new();
    for row in &view.board.rows {
        if stages.insert(row.stage) {
            tags.push(row.tag);
        }
    }
    let pages = tags.into_iter().flat_map(|tag| Page::ALL.map(|page| Nav::Bench(tag, page)));
    [Nav::Board, Nav::Shelf, Nav::TryOut, Nav::Keeping].into_iter().chain(pages).collect()
}

#[test]
fn every_page_of_the_demo_studio_is_whole_in_every_size() {
    let mut faults = Vec::new();
    let mut hand = Hand::demo(SIZES[0].1);
    let navs = navs(&mut hand);
    for (size, points) in SIZES {
        hand.resize(points);
        for nav in &navs {
            hand.go(*nav);
            faults.extend(hand.faults().into_iter().map(|fault| format!("{nav:?} at {size}: {fault}")));
        }
    }
    assert!(faults.is_empty(), "{} faults:\n{}", faults.len(), faults.join("\n"));
}

#[test]
fn an_empty_studio_is_whole_in_every_size() {
    let mut faults = Vec::new();
    let mut hand = Hand::empty(SIZES[0].1);
    for (size, points) in SIZES {
        hand.resize(points);
        for nav in [Nav::Board, Nav::Shelf, Nav::TryOut, Nav::Keeping] {
            hand.go(nav);
            faults.extend(hand.faults().into_iter().map(|fault| format!("{nav:?} at {size}: {fault}")));
        }
    }
    assert!(faults.is_empty(), "{} faults:\n{}", faults.len(), faults.join("\n"));
}

/// As many orders as a studio of some years has; `.ci/deep looks` asks for ten thousand.
fn asked() -> u32 {
    std::env::var("HELDFAST_MANY").map_or(1_500, |many| many.parse().expect("HELDFAST_MANY is a number"))
}

#[test]
fn with_very_many_orders_every_page_is_whole_and_costs_no_more_words() {
    let hand = Hand::demo(SIZES[0].1);
    let words = hand.texts().len();
    let root = hand.root();
    let mut hand = hand.reopened_after(|studio, clock| add_orders(&root, studio, clock, asked()));
    read_on(&mut hand);
    assert!(hand.window().session().unwrap().view().board.rows.len() > asked() as usize);
    // What is drawn is what is in sight: the board of a small studio fills the window as well.
    let many = hand.texts().len();
    assert!(many <= words + 24, "{many} words for {words}");
    let mut faults = Vec::new();
    let tag = hand.window().session().unwrap().view().board.rows[asked() as usize / 2].tag;
    let pages = Page::ALL.map(|page| Nav::Bench(tag, page));
    for (size, points) in SIZES {
        hand.resize(points);
        for nav in [Nav::Board, Nav::Shelf, Nav::TryOut, Nav::Keeping].into_iter().chain(pages) {
            hand.go(nav);
            faults.extend(hand.faults().into_iter().map(|fault| format!("{nav:?} at {size}: {fault}")));
        }
    }
    assert!(faults.is_empty(), "{} faults:\n{}", faults.len(), faults.join("\n"));
    hand.resize(SIZES[0].1);
    hand.ctrl(egui::Key::F);
    let name = {
        let view = hand.window().session().unwrap().view();
        view.studio.order(tag).unwrap().order.sheet.remembered.name.to_string()
    };
    hand.write(&name);
    hand.key(egui::Key::Enter);
    assert!(hand.window().title().contains(&format!("{name} · ")));
}
