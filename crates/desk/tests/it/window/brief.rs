//! The page brief by the keyboard.

use craft::client::Permission;
use craft::order::{ErrandKind, ParcelKind};
use craft::studio::Whole;
use egui::accesskit::Toggled;
use egui::{Key, vec2};
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use workbench::action::Nav;
use workbench::present::labels::{brief as labels, common};

use super::after::read_only;
use super::hand::Hand;

fn brief(name: &str) -> Hand {
    let mut hand = Hand::demo(vec2(1280.0, 800.0));
    hand.ctrl(Key::F);
    hand.write(name);
    hand.key(Key::Enter);
    hand.ctrl(Key::Num1);
    hand
}

fn held(hand: &mut Hand) -> Whole {
    let view = hand.window().session().unwrap().view();
    let Nav::Bench(tag, _) = view.nav else { panic!("{:?}", view.nav) };
    (**view.studio.order(tag).unwrap()).clone()
}

#[test]
fn the_enquiry_is_answered_and_the_kit_posted_with_its_carrier() {
    let mut hand = brief("Farfar");
    hand.press(labels::ANSWERED);
    assert!(held(&mut hand).ledger.client.answered);
    hand.fill(labels::CARRIER, "the post");
    hand.fill(labels::TRACKING, "HM2");
    hand.press(labels::KIT_POSTED);
    let held = held(&mut hand);
    assert!(held.ledger.client.kit_posted.is_some());
    let kit = held.order.sheet.parcels.iter().find(|parcel| parcel.kind == ParcelKind::Kit).unwrap();
    assert_eq!((kit.carrier.as_str(), kit.tracking.as_str()), ("the post", "HM2"));
    assert!(hand.sees("with the post, HM2."));
}

#[test]
fn words_are_handed_in_once_the_hand_rests_and_the_field_keeps_the_keyboard() {
    let mut hand = brief("Farfar");
    let about = |hand: &mut Hand| held(hand).order.sheet.remembered.about.to_string();
    hand.tab_to(labels::ABOUT);
    hand.write("He sang to the bees.");
    assert_ne!(about(&mut hand), "He sang to the bees.", "a hand that is still typing is not cut short");
    hand.rest(4.0);
    assert_eq!(about(&mut hand), "He sang to the bees.");
    assert_eq!(hand.focused().as_deref(), Some(labels::ABOUT), "and it may go on typing");
    // Once is enough: nothing is handed in again while nobody types.
    let steps = hand.window().session().unwrap().view().revision;
    hand.rest(8.0);
    assert_eq!(hand.window().session().unwrap().view().revision, steps);
}

#[test]
fn a_name_that_is_spelled_otherwise_has_to_be_confirmed_again() {
    let mut hand = brief("Farfar");
    hand.press(labels::SPELLING);
    assert!(held(&mut hand).order.sheet.remembered.spelling_confirmed);
    hand.fill(labels::NAME, "Farfar Eyvind");
    let remembered = held(&mut hand).order.sheet.remembered;
    assert_eq!((remembered.name.as_str(), remembered.spelling_confirmed), ("Farfar Eyvind", false));
}

#[test]
fn days_and_words_never_to_be_said_come_and_go() {
    let mut hand = brief("Farfar");
    hand.fill(labels::DATE_WHAT, "born");
    hand.tab_to(labels::DATE_ON);
    hand.write("3 May 1931");
    hand.key(Key::Enter);
    hand.tab_to(labels::NEVER_WORD);
    hand.write("remains");
    hand.key(Key::Enter);
    let remembered = held(&mut hand).order.sheet.remembered;
    assert_eq!(labels::dated(&remembered.dates[0]), "born, 3 May 1931");
    assert_eq!(remembered.never_say[0].as_str(), "remains");
    hand.press(&labels::take_away("born, 3 May 1931"));
    hand.press(&labels::take_away("\u{201c}remains\u{201d}"));
    let remembered = held(&mut hand).order.sheet.remembered;
    assert!(remembered.dates.is_empty() && remembered.never_say.is_empty());
}

#[test]
fn a_price_a_day_and_a_permission_are_taken_as_they_are_typed() {
    let mut hand = brief("Farfar");
    hand.fill(labels::TOTAL, "245");
    hand.fill(labels::DEPOSIT, "80");
    hand.press(labels::PAID_TODAY);
    hand.fill(labels::DUE, "in 3 weeks");
    hand.tab_to(labels::MAY_SHOW);
    hand.key(Key::ArrowRight);
    let today = hand.window().session().unwrap().view().now.day();
    let sheet = held(&mut hand).order.sheet;
    let quote = sheet.quote.unwrap();
    assert_eq!((quote.total.number().as_str(), quote.deposit.number().as_str()), ("245.00", "80.00"));
    assert_eq!(quote.deposit_paid, Some(today));
    assert_eq!(sheet.due, today.checked_add_days(chrono::Days::new(21)));
    let id = held(&mut hand).order.client;
    let client = hand.window().session().unwrap().view().studio.clients()[&id].clone();
    assert_eq!(client.may_show, Permission::Given(today));
    // Emptied, a promise is none.
    hand.tab_to(labels::DUE);
    hand.ctrl(Key::A);
    hand.key(Key::Delete);
    hand.key(Key::Tab);
    assert_eq!(held(&mut hand).order.sheet.due, None);
    // And what is no day stays in its field, with what would be right.
    hand.fill(labels::DUE, "whenever");
    assert!(hand.sees("whenever"));
    assert_eq!(held(&mut hand).order.sheet.due, None);
}

#[test]
fn an_errand_is_asked_for_and_comes_back() {
    let mut hand = brief("Farfar");
    hand.press(&labels::add_errand(ErrandKind::Engraving));
    let of = |label: &str| labels::of_errand(label, "the engraving");
    hand.fill(&of(labels::ERRAND_WHO), "Orla Finch");
    hand.fill(&of(labels::ASKED), "today");
    let errand = held(&mut hand).order.sheet.errands[0].clone();
    assert_eq!((errand.kind, errand.who.as_str()), (ErrandKind::Engraving, "Orla Finch"));
    assert!(errand.asked.is_some() && errand.back.is_none());
    hand.press(&labels::take_away("the engraving"));
    assert!(held(&mut hand).order.sheet.errands.is_empty());
}

#[test]
fn calling_off_is_asked_twice() {
    let mut hand = brief("Farfar");
    hand.press(labels::CALL_OFF);
    assert!(!held(&mut hand).ledger.client.called_off);
    hand.press(labels::CALL_OFF_NO);
    hand.press(labels::CALL_OFF);
    hand.press(labels::CALL_OFF_YES);
    assert!(held(&mut hand).ledger.client.called_off);
    assert!(hand.sees(labels::CALLED_OFF));
}

#[test]
fn enter_over_a_marked_name_changes_nothing() {
    let mut hand = brief("Farfar");
    let before = held(&mut hand).order.sheet.remembered;
    assert!(!before.name.is_empty());
    hand.tab_to(labels::NAME);
    hand.ctrl(Key::A);
    hand.key(Key::Enter);
    hand.key(Key::Tab);
    assert_eq!(held(&mut hand).order.sheet.remembered, before);
    // A break that is pasted is a space, and nothing is handed in before it is asked for.
    hand.tab_to(labels::NAME);
    hand.ctrl(Key::A);
    hand.harness().event(egui::Event::Paste("Farfar\nEyvind".to_owned()));
    hand.settle();
    assert_eq!(held(&mut hand).order.sheet.remembered, before);
    hand.key(Key::Enter);
    assert_eq!(held(&mut hand).order.sheet.remembered.name.as_str(), "Farfar Eyvind");
}

#[test]
fn two_changes_of_the_client_in_one_frame_are_both_kept() {
    let mut hand = brief("Farfar");
    hand.tab_to(labels::CLIENT);
    hand.write("Ingrid Holm");
    // The click leaves the field and takes the answer at once.
    hand.harness().get_by_label(&format!("{}: {}", labels::MAY_SHOW, labels::ANSWERS[2])).click();
    hand.settle();
    let id = held(&mut hand).order.client;
    let client = hand.window().session().unwrap().view().studio.clients()[&id].clone();
    assert_eq!((client.name.as_str(), client.may_show), ("Ingrid Holm", Permission::Refused));
}

#[test]
fn the_chosen_one_of_a_few_is_told_to_those_who_do_not_see_it() {
    let mut hand = brief("Farfar");
    let occasion = held(&mut hand).order.sheet.occasion;
    for (value, words) in labels::OCCASIONS {
        let name = format!("{}: {words}", labels::OCCASION);
        let told = hand.harness().get_by_label(&name).accesskit_node().toggled();
        let right = if value == occasion { Toggled::True } else { Toggled::False };
        assert_eq!(told, Some(right), "{words}");
    }
    let open = hand.harness().get_by_label("brief").accesskit_node().toggled();
    let other = hand.harness().get_by_label("plan").accesskit_node().toggled();
    assert_eq!((open, other), (Some(Toggled::True), Some(Toggled::False)));
}

#[test]
fn words_about_the_page_that_cannot_be_kept_stay_and_say_why() {
    let mut hand = brief("Farfar");
    hand.fill(common::WORDS, &"x".repeat(4_001));
    hand.resize(vec2(1280.0, 6000.0));
    assert!(hand.sees("at most 4000 fit here"));
    hand.tab_to(common::WORDS);
    hand.key(Key::Backspace);
    hand.key(Key::Tab);
    let about = craft::order::About::Page(craft::order::Page::Brief);
    let said = held(&mut hand).order.story.about(about).map(|text| text.as_str().len());
    assert_eq!(said, Some(4_000), "all of it is there, once it fits");
}

#[test]
fn a_date_and_a_word_that_are_refused_stay_in_their_fields() {
    let (mut hand, other) = read_only();
    hand.ctrl(Key::F);
    hand.write("Farfar");
    hand.key(Key::Enter);
    hand.ctrl(Key::Num1);
    hand.fill(labels::DATE_WHAT, "born far away");
    hand.tab_to(labels::DATE_ON);
    hand.write("3 May 1931");
    hand.key(Key::Enter);
    assert!(hand.sees("born far away"));
    hand.tab_to(labels::NEVER_WORD);
    hand.write("remains");
    hand.key(Key::Enter);
    assert!(hand.sees("remains"));
    drop(other);
}

#[test]
fn what_is_still_open_is_said_calmly_and_not_in_the_red_of_a_refusal() {
    let mut hand = brief("Farfar");
    assert!(hand.sees(labels::ANSWERED) && hand.sees(labels::STILL_OPEN));
    assert!(!hand.sees("Not yet"));
    let mut colours = Vec::new();
    for clipped in &hand.harness().output().shapes {
        if let egui::Shape::Text(text) = &clipped.shape
            && text.galley.text().starts_with(labels::STILL_OPEN)
        {
            colours.extend(text.galley.job.sections.iter().map(|section| section.format.color));
        }
    }
    assert!(!colours.is_empty());
    assert!(!colours.contains(&desk::look::Tokens::LIGHT.care), "{colours:?}");
}
