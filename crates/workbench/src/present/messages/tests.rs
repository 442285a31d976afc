use super::*;
use crate::present::sample::{Bench, at, bench, line, sheet};
use craft::order::Sheet;
use craft::stage::Stage;
use craft::studio::{ClientEdit, Edit};

fn said(bench: &Bench, kind: MessageKind) -> Result<Message, String> {
    message(&bench.studio, bench.tag, kind, bench.now())
}

#[test]
fn a_message_says_only_what_was_recorded() {
    for (stage, kind) in [
        (Stage::Asked, MessageKind::KitPosted),
        (Stage::KitSent, MessageKind::ArrivedSafely),
        (Stage::Here, MessageKind::Proof),
        (Stage::Made, MessageKind::Nudge),
        (Stage::Chosen, MessageKind::Proof),
        (Stage::Chosen, MessageKind::Finished),
        (Stage::Packed, MessageKind::Posted),
        (Stage::GoneHome, MessageKind::ThankYou),
    ] {
        assert!(said(&bench(stage), kind).is_err(), "{kind:?} at {stage:?}");
    }
    let arrived = said(&bench(Stage::Here), MessageKind::ArrivedSafely).unwrap();
    assert!(
        arrived
            .body
            .starts_with("Dear Ida Lund,\n\nWhat you sent for Bramble is here: the hair came on 25 November"),
        "{}",
        arrived.body
    );
    assert!(arrived.body.contains("kept back"));
    assert!(arrived.body.ends_with("Fernhill Stones"));
    let posted = said(&bench(Stage::GoneHome), MessageKind::Posted).unwrap();
    assert!(posted.body.contains("with the post, tracking number HM2"), "{}", posted.body);
}

fn here(change: impl Fn(&mut Sheet)) -> Bench {
    let mut sheet = sheet();
    change(&mut sheet);
    let mut bench = Bench::open(sheet);
    bench.receive(1, craft::fact::Material::Hair);
    bench
}

#[test]
fn words_the_client_never_wants_to_read_stop_the_message_and_are_named() {
    let bench = here(|sheet| sheet.remembered.never_say = vec![line("stays YOURS")]);
    let why = said(&bench, MessageKind::ArrivedSafely).unwrap_err();
    assert!(why.contains("never to read \"stays YOURS\""), "{why}");
    assert!(said(&here(|_| {}), MessageKind::ArrivedSafely).is_ok(), "without them it goes out");
}

#[test]
fn a_surprise_is_not_given_away_by_its_subject() {
    let bench = here(|sheet| sheet.occasion = Occasion::Surprise);
    let subject = said(&bench, MessageKind::ArrivedSafely).unwrap().subject;
    for telling in ["Bramble", "Fernhill", "stone", "order", &bench.tag.to_string()] {
        assert!(!subject.contains(telling), "{subject}");
    }
    assert!(said(&here(|_| {}), MessageKind::ArrivedSafely).unwrap().subject.contains("Bramble"));
}

#[test]
fn the_client_says_when_to_be_written_to() {
    let mut bench = bench(Stage::Shown);
    let mut client = bench.studio.clients().values().next().unwrap().clone();
    let mut hold = |when, kind| {
        client.write_when = when;
        let edit = ClientEdit::Put(Box::new(client.clone()));
        bench.studio.apply(Edit::Client("ida-lund".parse().unwrap(), edit), at(0)).unwrap();
        message(&bench.studio, bench.tag, kind, at(0)).unwrap().hold
    };
    assert_eq!(hold(WriteWhen::EachStep, MessageKind::ArrivedSafely), None);
    assert!(hold(WriteWhen::OnlyQuestions, MessageKind::ArrivedSafely).is_some());
    assert_eq!(hold(WriteWhen::OnlyQuestions, MessageKind::Proof), None, "an answer is needed");
    assert_eq!(
        hold(WriteWhen::NotAtHome, MessageKind::Proof).unwrap(),
        "It is a surprise in the same house: do not write before 12 December."
    );
}

#[test]
fn an_unconfirmed_name_is_asked_for_and_a_confirmed_one_is_not() {
    let unsure = here(|sheet| sheet.remembered.spelling_confirmed = false);
    assert!(
        said(&unsure, MessageKind::ArrivedSafely).unwrap().body.contains("is the name spelled \"Bramble\"")
    );
    assert!(!said(&here(|_| {}), MessageKind::ArrivedSafely).unwrap().body.contains("spelled"));
}

#[test]
fn what_is_ready_follows_the_record() {
    let ready_at = |bench: &Bench| ready(&bench.studio, bench.tag, bench.now());
    assert_eq!(ready_at(&bench(Stage::Asked)), []);
    assert_eq!(ready_at(&bench(Stage::KitSent)), [MessageKind::KitPosted]);
    assert!(!ready_at(&bench(Stage::Here)).contains(&MessageKind::ArrivedSafely), "it was sent");
    assert!(ready_at(&here(|_| {})).contains(&MessageKind::ArrivedSafely));
    let held = bench(Stage::Here);
    assert_eq!(
        sent_log(held.studio.order(held.tag).unwrap(), at(0).day()),
        [(MessageKind::ArrivedSafely, "25 November".to_owned())]
    );
}

#[test]
fn a_client_without_a_name_or_an_address_is_still_greeted() {
    let mut bench = here(|_| {});
    let client = Client { name: line("A"), ..Client::default() };
    let edit = ClientEdit::Put(Box::new(client));
    bench.studio.apply(Edit::Client("ida-lund".parse().unwrap(), edit), at(0)).unwrap();
    let message = said(&bench, MessageKind::ArrivedSafely).unwrap();
    assert!(message.body.starts_with("Dear A,\n"));
    assert_eq!(message.to, "");
    let nobody = Client::default();
    let held = bench.studio.order(bench.tag).unwrap();
    let letter = Letter { held, client: &nobody, today: at(0).day() };
    assert_eq!(letter.greeting(), "Hello,");
}
