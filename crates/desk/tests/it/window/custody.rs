//! Custody in depth, by the keyboard: scales and looks, drying, parts, the client's word, material between orders.

use craft::fact::{CustodyFact, Drying, Fact, Hardness, HomeFact, LeftOut, PourFact, Wish};
use craft::id::{ShelfId, Thing};
use craft::scale::Tare;
use craft::shelf::What;
use craft::studio::{Edit, Held, OrderEdit};
use craft::units::Share;
use egui::Key;
use workbench::action::{Action, Nav};
use workbench::present::labels::{after, arrival, between, pack, pour, shelf, weigh};
use workbench::shelving::Kind;

use super::hand::{Hand, SIZES};

fn held(hand: &mut Hand) -> Held {
    let view = hand.window().session().unwrap().view();
    let Nav::Bench(tag, _) = view.nav else { panic!("{:?}", view.nav) };
    view.studio.order(tag).unwrap().clone()
}

fn newest(hand: &mut Hand) -> Fact {
    held(hand).order.log.entries().last().map(|(_, entry)| entry.fact.clone()).unwrap()
}

fn scale(hand: &mut Hand, id: &str) -> craft::scale::ScaleProfile {
    let id: ShelfId = id.parse().unwrap();
    match hand.window().session().unwrap().view().studio.shelf()[&id].what.clone() {
        What::Scale(scale) => scale,
        other => panic!("{other:?}"),
    }
}

/// Puts a scale on the shelf that reads to a milligram, not tried yet.
fn add_scale(hand: &mut Hand, name: &str) {
    hand.go(Nav::Shelf);
    hand.press(shelf::tab(Kind::Scale));
    hand.press(&shelf::add(Kind::Scale));
    hand.fill(&shelf::new_name(Kind::Scale), name);
    hand.press(shelf::ADD);
    hand.fill(shelf::LAST_DIGIT, "1 mg");
}

#[test]
fn a_scale_is_put_on_the_shelf_tried_with_a_coin_and_says_what_that_shows() {
    let mut hand = Hand::demo(SIZES[0].1);
    add_scale(&mut hand, "Fine scale");
    assert!(hand.sees(shelf::NEVER));
    hand.fill(shelf::SHOWN, "37.5 g");
    hand.press(shelf::KEEP_TRY);
    assert!(hand.sees("so set it right"), "it shows carats");
    hand.press(shelf::TRY_BACK);
    assert!(hand.sees(shelf::NEVER));
    hand.tab_to(shelf::SHOWN);
    hand.write("7,51 g");
    assert!(hand.sees("it is right"), "it is said while it is typed");
    hand.press(shelf::KEEP_TRY);
    assert_eq!(scale(&mut hand, "fine-scale").tried.len(), 1);
    hand.press(&format!("{}: {}", shelf::PACKET, shelf::PACKETS[1].1));
    hand.fill(shelf::EMPTY_PACKET, "1.018 g");
    assert!(matches!(scale(&mut hand, "fine-scale").tare, Tare::Packet { shown } if shown.mg() > 1_017.0));
    assert_eq!(hand.faults(), Vec::<String>::new());
    hand.press(shelf::RETIRE);
    let id: ShelfId = "fine-scale".parse().unwrap();
    let kept = hand.window().session().unwrap().view().studio.shelf()[&id].clone();
    assert!(kept.retired && matches!(kept.what, What::Scale(_)), "it is taken out of use, and stays");
    assert!(hand.sees(shelf::BRING_BACK));
    for (size, points) in SIZES {
        hand.resize(points);
        assert_eq!(hand.faults(), Vec::<String>::new(), "{size}");
    }
}

#[test]
fn nothing_is_weighed_on_a_scale_that_was_never_tried_and_a_share_is_a_look() {
    let mut hand = Hand::demo(SIZES[0].1);
    add_scale(&mut hand, "Fine scale");
    hand.ctrl(Key::F);
    hand.write("Gethin");
    hand.key(Key::Enter);
    hand.ctrl(Key::Num2);
    let (wrapping, entries) = (Thing::wrapping(1), held(&mut hand).order.log.len());
    hand.press(&arrival::more(wrapping));
    hand.fill(weigh::AIR, "45");
    hand.fill(&arrival::weigh(wrapping), "310 mg");
    assert_eq!(held(&mut hand).order.log.len(), entries, "the door refuses it");
    hand.act(Action::Dismiss);
    hand.key(Key::Escape);
    // A look needs no scale.
    hand.fill(&arrival::weigh(wrapping), "about a quarter");
    let CustodyFact::Judged { thing, part, .. } = (match newest(&mut hand) {
        Fact::Custody(fact) => fact,
        other => panic!("{other:?}"),
    }) else {
        panic!("a share is judged by eye")
    };
    assert_eq!((thing, part), (wrapping, Share::of(1, 4)));
    assert!(hand.reads("Wrapping 1 looked like a quarter"), "beside the count");
    // Tried, it is believed.
    hand.go(Nav::Shelf);
    hand.press(shelf::tab(Kind::Scale));
    hand.fill(shelf::SHOWN, "7.5 g");
    hand.press(shelf::KEEP_TRY);
    hand.ctrl(Key::F);
    hand.write("Gethin");
    hand.key(Key::Enter);
    hand.ctrl(Key::Num2);
    hand.press(&arrival::more(wrapping));
    hand.fill(weigh::AIR, "45");
    hand.fill(&arrival::weigh(wrapping), "310 mg");
    let Fact::Custody(CustodyFact::WeighedOn { scale, air, .. }) = newest(&mut hand) else {
        panic!("{:?}", newest(&mut hand))
    };
    assert_eq!((scale.as_str(), air), ("fine-scale", Some(45)));
}

#[test]
fn weighing_back_is_offered_only_where_the_scale_can_tell() {
    let mut hand = Hand::demo(SIZES[0].1);
    add_scale(&mut hand, "Coarse scale");
    hand.fill(shelf::LAST_DIGIT, "1 g");
    hand.ctrl(Key::F);
    hand.write("Kestrel");
    hand.key(Key::Enter);
    hand.ctrl(Key::Num2);
    let called = workbench::present::words::lot(&held(&mut hand), 1);
    hand.press(&weigh::back(&called));
    assert!(hand.reads("Not worth weighing:") && hand.reads("so the count stands"));
    assert_eq!(hand.faults(), Vec::<String>::new());
    // A fine one could tell, and is tried first.
    let again = |hand: &mut Hand, field: &str, text: &str, keep: Option<&str>| {
        hand.go(Nav::Shelf);
        hand.press(shelf::tab(Kind::Scale));
        hand.fill(field, text);
        if let Some(keep) = keep {
            hand.press(keep);
        }
        hand.ctrl(Key::F);
        hand.write("Kestrel");
        hand.key(Key::Enter);
        hand.ctrl(Key::Num2);
        if !hand.reads("by the book") {
            hand.press(&weigh::back(&called));
        }
    };
    again(&mut hand, shelf::LAST_DIGIT, "1 mg", None);
    assert!(hand.reads("Not yet:") && hand.reads("try it with a coin or a known weight first"));
    assert!(!hand.reads("Worth weighing:"), "the door would refuse it");
    assert_eq!(hand.faults(), Vec::<String>::new());
    again(&mut hand, shelf::SHOWN, "7.5 g", Some(shelf::KEEP_TRY));
    assert!(hand.reads("Worth weighing:") && !hand.reads("Not yet: 0"));
}

#[test]
fn what_was_dried_says_so_beside_the_weighings() {
    let mut hand = Hand::on("Kestrel", Key::Num2);
    let thing = Thing::envelope(1);
    hand.press(&arrival::more(thing));
    hand.press(&weigh::dried(thing));
    hand.fill(weigh::DRIED_LONG, "2 days");
    hand.press(weigh::DRIED_KEEP);
    assert!(
        matches!(newest(&mut hand), Fact::Custody(CustodyFact::Dried { way: Drying::InAir, over, .. }) if over.s() > 172_000.0)
    );
    assert!(hand.reads("was dried open in the room for 2 days"));
    assert_eq!(hand.faults(), Vec::<String>::new());
}

#[test]
fn nothing_is_destroyed_before_the_clients_word_is_written_down() {
    let mut hand = Hand::on("Kuro", Key::Num8);
    let envelope = Thing::envelope(1);
    hand.press(pack::STAYS_OUT);
    hand.choose(pack::WHICH, "E1, Keep-back envelope");
    assert!(hand.reads(pack::DESTROY_SAYS));
    assert!(!hand.names().iter().any(|name| name == pack::DESTROYED), "it cannot even be tried");
    // A double click answers nothing: the question stands elsewhere.
    let [asks, _, yes, _] = pack::ASK_DESTROY_SURE;
    hand.press(asks);
    assert_eq!(held(&mut hand).ledger.client.wish(envelope), None, "it is asked first");
    hand.press(yes);
    assert_eq!(held(&mut hand).ledger.client.wish(envelope), Some(Wish::Destroy));
    hand.press(pack::DESTROYED);
    assert_eq!(held(&mut hand).ledger.custody.things[&envelope].left_out, None, "it is asked twice");
    hand.press(pack::DESTROYED_NO);
    hand.press(pack::DESTROYED);
    hand.press(&pack::destroyed_yes(envelope));
    let left = held(&mut hand).ledger.custody.things[&envelope].left_out;
    assert_eq!(left, Some(LeftOut::DestroyedOnRequest));
    assert!(hand.reads("destroyed, as the client asked"));
    assert_eq!(hand.faults(), Vec::<String>::new());
}

#[test]
fn a_part_goes_home_by_itself_and_the_work_on_the_rest_goes_on() {
    let mut hand = Hand::on("Aurelio", Key::Num8);
    let before = held(&mut hand);
    assert!(!before.ledger.to_pack().is_empty() && before.ledger.home.parts.is_empty());
    hand.press(pack::PART);
    assert!(!hand.names().iter().any(|name| name == pack::PART_SENT), "the box is looked through first");
    hand.press(pack::BY_EYE);
    hand.press(pack::PART_SENT);
    let now = held(&mut hand);
    assert_eq!((now.ledger.home.parts.len(), now.ledger.home.is_gone()), (1, false));
    hand.ctrl(Key::Num9);
    assert!(hand.sees(after::PARTS) && hand.sees("on its way."));
    hand.press(after::PART_ARRIVED);
    assert!(hand.sees("at home with the client."));
    assert!(matches!(newest(&mut hand), Fact::Home(HomeFact::Arrived)));
    assert_eq!(hand.faults(), Vec::<String>::new());
}

#[test]
fn offcuts_are_lit_by_themselves_and_felt_before_they_go_home() {
    let mut hand = Hand::on("Neeltje", Key::Num4);
    let bag = held(&mut hand)
        .ledger
        .custody
        .things
        .keys()
        .copied()
        .find(|thing| thing.kind == craft::id::ThingKind::Offcuts);
    let bag = bag.unwrap_or_else(|| {
        hand.press(pour::KEEP_OFFCUTS);
        Thing::offcuts(1)
    });
    hand.press(&pour::light_bag(bag));
    hand.press(pour::CURED[1]);
    assert!(matches!(
        newest(&mut hand),
        Fact::Pour(PourFact::OffcutsCured { hardness: Hardness::Tacky, .. })
    ));
    assert!(hand.reads("tacky: light them again"));
    hand.press(&pour::light_bag(bag));
    hand.press(pour::CURED[0]);
    assert_eq!(held(&mut hand).ledger.pours.offcuts_felt(bag), Some(Hardness::Hard));
    assert_eq!(hand.faults(), Vec::<String>::new());
}

#[test]
fn what_is_held_for_a_client_is_taken_over_by_their_next_order() {
    let mut hand = Hand::on("Kuro", Key::Num8);
    let (first, envelope) = (held(&mut hand), Thing::envelope(1));
    hand.act(Action::Edit(Edit::Order(
        first.order.tag,
        OrderEdit::Fact(CustodyFact::Released { thing: envelope }.into()),
    )));
    hand.press(pack::STAYS_OUT);
    hand.choose(pack::WHICH, "E1, Keep-back envelope");
    hand.press(pack::HELD);
    // Their next order, with nothing yet.
    let client = first.order.client.clone();
    let edits = {
        let view = hand.window().session().unwrap().view();
        workbench::quick::new_order_for(view.studio, "Shiro", &client, view.now).unwrap()
    };
    hand.act(Action::Together(edits));
    hand.ctrl(Key::F);
    hand.write("Shiro");
    hand.key(Key::Enter);
    hand.ctrl(Key::Num2);
    let label = format!("{} E1", first.order.tag);
    assert!(hand.reads(between::HERE_SAYS) && hand.sees(&label));
    hand.press(&between::take_over(&label));
    let own = held(&mut hand);
    assert_eq!(own.ledger.custody.lots[&1].before, Some((first.order.tag, envelope)));
    assert!(!hand.reads(between::HERE_SAYS), "it is here now");
    assert_eq!(hand.faults(), Vec::<String>::new());
    // The first order says where it went.
    let view = hand.window().session().unwrap().view();
    let gone = &view.studio.order(first.order.tag).unwrap().ledger.custody.things[&envelope];
    assert_eq!(gone.passed_to, Some(own.order.tag));
}
