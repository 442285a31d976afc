//! A whole order, from the enquiry to the thank-you, by the keyboard alone: no pointer event is ever sent. Controls are
//! found by the words that stand on them.

use craft::fact::MessageKind;
use craft::order::Page;
use craft::stage::{Next, Stage};
use craft::studio::Held;
use craft::tag::Tag;
use egui::{Key, vec2};
use workbench::action::Nav;
use workbench::present::labels::{
    after, arrival, begin, brief, choose, fit, messages, pack, papers, plan, pour, show,
};

use super::hand::Hand;

fn tag(hand: &mut Hand) -> Tag {
    match hand.window().session().unwrap().view().nav {
        Nav::Bench(tag, _) => tag,
        other => panic!("{other:?}"),
    }
}

fn held(hand: &mut Hand) -> Held {
    let tag = tag(hand);
    hand.window().session().unwrap().view().studio.order(tag).unwrap().clone()
}

fn go(hand: &mut Hand, page: Page) {
    let keys =
        [Key::Num1, Key::Num2, Key::Num3, Key::Num4, Key::Num5, Key::Num6, Key::Num7, Key::Num8, Key::Num9];
    let place = Page::ALL.iter().position(|other| *other == page).unwrap();
    hand.ctrl(keys[place]);
}

fn next(hand: &mut Hand) -> Next {
    let today = workbench::clock::Clock::now(&*hand.clock).day();
    held(hand).next(today, 7)
}

/// From the enquiry until the keep-back lies sealed in its envelope.
fn receive(hand: &mut Hand) {
    hand.ctrl(Key::N);
    hand.fill(begin::REMEMBERED, "Bramble");
    hand.fill(begin::CLIENT, "Ida Lund");
    hand.press(begin::OPEN);
    hand.press(brief::ANSWERED);
    hand.press(brief::KIT_POSTED);
    assert_eq!(held(hand).stage(), Stage::KitSent);
    hand.pass(3 * 86_400);
    go(hand, Page::Arrival);
    hand.press(arrival::RECORD);
    hand.choose(arrival::MATERIAL, "hair");
    hand.fill(arrival::DESCRIPTION, "a tied lock in tissue");
    hand.fill(arrival::HOW_MUCH, "about 300 mg");
    hand.press(arrival::RECORD_IT);
    assert_eq!(held(hand).stage(), Stage::Here);
    let tag = tag(hand).to_string();
    hand.fill(arrival::TAG, &tag);
    hand.press(arrival::PUT_KEEP_BACK);
    assert!(held(hand).ledger.custody.has_keep_back(1), "{:#?}", hand.texts());
}

fn make(hand: &mut Hand) {
    go(hand, Page::Plan);
    hand.press(plan::FIRST);
    hand.fill(&plan::share_of("the hair"), "a tenth");
    hand.press(plan::ADD);
    for no in [1, 2] {
        go(hand, Page::Plan);
        hand.press(&plan::stone(no));
        hand.press(plan::KEEP);
    }
    go(hand, Page::Pour);
    let tag = tag(hand).to_string();
    for _ in 0..400 {
        if !step(hand, &tag) {
            return;
        }
    }
    panic!("the stones are never done: {:#?}", hand.texts());
}

/// Does what the pour page asks for; false once the stones are made.
fn step(hand: &mut Hand, tag: &str) -> bool {
    let has = |hand: &Hand, name: &str| hand.names().iter().any(|other| other == name);
    if has(hand, pour::OPEN) {
        hand.fill(pour::TAG, tag);
        hand.press(pour::OPEN);
    } else if has(hand, pour::LAMP_ON) || has(hand, pour::PAUSE) || has(hand, pour::LAMP_OFF) {
        // Whatever the lamp is asked for, the space bar does.
        hand.key(Key::Space);
        hand.pass(60);
    } else if has(hand, pour::HARD) {
        hand.key(Key::H);
    } else if let Some(name) = [pour::BEGIN, pour::PUT_IN, pour::CLOSE, pour::LAID, pour::TAKEN_OUT]
        .into_iter()
        .find(|name| has(hand, name))
    {
        hand.press(name);
    } else if has(hand, pour::TO_SHOW) {
        let other = hand.names().into_iter().find(|name| name.starts_with("Meanwhile, "));
        let Some(other) = other else { return false };
        hand.press(&other);
    } else {
        // It settles or cools.
        hand.pass(60);
    }
    true
}

fn show_and_choose(hand: &mut Hand) {
    if hand.names().iter().any(|name| name == pour::KEEP_OFFCUTS) {
        hand.press(pour::KEEP_OFFCUTS);
    }
    go(hand, Page::Show);
    for no in [1, 2] {
        hand.press(&show::take(no));
        let file = hand.photo(&format!("stone {no}.jpg"), u64::from(no));
        hand.give_photos(&[file]);
    }
    hand.press(show::WRITE);
    hand.press(papers::ISSUE);
    go(hand, Page::Show);
    hand.press(show::SEND);
    assert_eq!(held(hand).stage(), Stage::Shown);
    hand.pass(86_400);
    go(hand, Page::Choose);
    hand.press(&choose::stone(2));
    hand.fill(choose::SAID, "the darker one, it is her");
    hand.press(&choose::record(2));
    assert_eq!(held(hand).ledger.client.chosen().collect::<Vec<_>>(), [2]);
}

fn set_and_pack(hand: &mut Hand) {
    go(hand, Page::Fit);
    hand.press(fit::feel(craft::fact::Feel::Flush));
    hand.press(fit::SET);
    assert_eq!(held(hand).stage(), Stage::Set);
    go(hand, Page::Pack);
    let tag = tag(hand).to_string();
    let to_tick: Vec<String> = hand.names().into_iter().filter(|name| name.starts_with("tick ")).collect();
    assert!(to_tick.len() >= 4, "{to_tick:?}");
    for name in &to_tick {
        hand.fill(pack::TAG, &tag);
        hand.press(name);
    }
    hand.press(pack::BY_EYE);
    for kind in ["packing list", "care card"] {
        hand.press(&pack::issue(kind));
    }
    hand.press(pack::CLOSE);
    assert_eq!(held(hand).stage(), Stage::Packed);
    hand.fill(pack::CARRIER, "the post");
    hand.press(pack::POSTED);
}

#[test]
fn a_whole_order_is_done_by_the_keyboard_alone_and_is_all_there_afterwards() {
    let mut hand = Hand::empty(vec2(1280.0, 800.0));
    receive(&mut hand);
    make(&mut hand);
    assert_eq!(held(&mut hand).stage(), Stage::Made);
    show_and_choose(&mut hand);
    set_and_pack(&mut hand);
    assert_eq!(next(&mut hand), Next::AwaitArrival);
    hand.ctrl(Key::M);
    hand.press(&messages::moment(MessageKind::Posted, "ready"));
    hand.press(messages::SENT);
    hand.pass(2 * 86_400);
    go(&mut hand, Page::After);
    hand.press(after::ARRIVED);
    hand.press(after::THANKS_SENT);
    let done = held(&mut hand);
    assert_eq!(done.stage(), Stage::GoneHome);
    assert_eq!(next(&mut hand), Next::Done);
    assert!(done.ledger.home.arrived.is_some());
    let name = done.order.sheet.remembered.name.clone();
    let mut hand = hand.reopened();
    hand.ctrl(Key::F);
    hand.write(name.as_str());
    hand.key(Key::Enter);
    assert_eq!(held(&mut hand).order, done.order);
    assert!(hand.window().session().unwrap().troubles().is_empty());
    assert!(hand.window().session().unwrap().view().studio.findings().is_empty());
}
