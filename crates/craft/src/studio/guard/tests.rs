//! The guard against mix-ups, each of its levels by itself. What the types forbid stands in [`crate::hand`]; here the
//! door is tried with edits no hand would write, and the load with records no door would let through.

use super::*;
use crate::fact::{ClientFact, CustodyFact, HomeFact, Mistake};
use crate::order::Order;
use crate::place::Place;
use crate::policies::Policies;
use crate::scale::{Coin, Known, Tried};
use crate::studio::{Doc, Edit, OrderEdit, ShelfEdit};
use crate::testing::*;

const W1: Thing = Thing::wrapping(1);
const E1: Thing = Thing::envelope(1);

/// Two clients, each with a lot and its keep-back, everything closed; the second order is in hand.
fn two_clients() -> Bench {
    let mut bench = Bench::unpacked();
    bench.record(closed(W1));
    bench.open(1);
    bench.record(received(1));
    bench
}

fn second_order_of_the_first_client(bench: &mut Bench) {
    let sheet = Box::new(sheet(&["B1", "B3"]));
    bench.edit(Edit::Order(tag(2), OrderEdit::Open { client: client_id(0), sheet })).unwrap();
}

fn taken_over(of: Tag, thing: Thing) -> CustodyFact {
    let (material, place, keep_back) = (Material::Hair, Place::Kept(1), AGREED);
    CustodyFact::TakenOver { lot: 1, material, of, thing, seal: None, place, keep_back }
}

fn in_order(no: u32, fact: impl Into<Fact>) -> Edit {
    Edit::Order(tag(no), OrderEdit::Fact(fact.into()))
}

// The door, with the types bypassed: every edit here is written by hand.

#[test]
fn the_door_refuses_another_orders_tag_and_a_second_clients_packet() {
    let mut bench = two_clients();
    let why = bench.refuse(opened(tag(0), W1));
    let sentence = format!(
        "the tag in your hand is {}, and this order is {}; put it back and take the right one",
        tag(0),
        tag(1)
    );
    assert_eq!(why.to_string(), sentence);
    bench.edit(in_order(0, opened(tag(0), W1))).unwrap();
    let why = bench.refuse(opened(tag(1), W1));
    assert!(why.to_string().starts_with(&format!("W1 of order {} is open on the bench", tag(0))), "{why}");
}

#[test]
fn the_door_asks_for_a_clear_bench_between_clients_and_its_remedy_is_the_tick() {
    let mut bench = two_clients();
    bench.edit(Edit::Policies(Box::new(Policies { bench_clear: true, ..policies() }))).unwrap();
    assert_eq!(bench.studio.bench().map(|(by, bench)| (by, bench.cleared)), Some((tag(0), false)));
    let why = bench.refuse(opened(tag(1), W1));
    let sentence = format!(
        "the bench was last used for order {}, of another client; clear it of every strand and crumb, and tick it as \
         clear, before opening anything of {}",
        tag(0),
        tag(1)
    );
    assert_eq!(why.to_string(), sentence);
    assert_eq!(why.remedy(), Some(in_order(0, CustodyFact::BenchCleared)));
    // What is told of was on another day's bench, and the same client's other order needs no clearing.
    bench.tell(opened(tag(1), W1));
    bench.record(Fact::Struck { entry: 2, why: Mistake::DidNotHappen });
    bench.edit(in_order(0, opened(tag(0), W1))).unwrap();
    let why = bench.refuse_edit(in_order(0, CustodyFact::BenchCleared));
    assert_eq!(why.to_string(), "W1 is still open; close it first");
    bench.edit(in_order(0, closed(W1))).unwrap();
    let why = bench.refuse(opened(tag(1), W1));
    bench.edit(why.remedy().unwrap()).unwrap();
    bench.record(opened(tag(1), W1));
}

/// Two clients at a studio that asks for a clear bench; it was last used for the first, and the second is in hand.
fn over_the_firsts_crumbs() -> Bench {
    let mut bench = two_clients();
    bench.edit(Edit::Policies(Box::new(Policies { bench_clear: true, ..policies() }))).unwrap();
    bench
}

#[test]
fn nothing_is_taken_over_anothers_crumbs_out_of_a_packet_that_was_told_open() {
    let mut bench = over_the_firsts_crumbs();
    bench.tell(opened(tag(1), W1));
    let keep_back = || split(1, AGREED, true);
    let why = bench.refuse(keep_back());
    assert_eq!(why, Refusal::BenchNotClear { by: tag(0), wanted: tag(1) });
    assert_eq!(bench.refuse(part_on_tools()), why, "nor spilt");
    // What is told of was done before, wherever it lay then.
    bench.tell(part_on_tools());
    bench.edit(why.remedy().unwrap()).unwrap();
    bench.record(keep_back());
}

fn part_on_tools() -> CustodyFact {
    let part = crate::units::Share::from_millionths(1_000);
    CustodyFact::Moved { from: W1, lot: 1, to: crate::fact::Holder::Tools, part }
}

#[test]
fn what_was_taken_out_of_a_packet_that_was_told_open_and_told_closed_lies_on_the_bench() {
    let mut bench = over_the_firsts_crumbs();
    bench.tell(opened(tag(1), W1));
    bench.edit(in_order(0, CustodyFact::BenchCleared)).unwrap();
    bench.record(split(1, AGREED, true));
    bench.tell(closed(W1));
    let why = bench.refuse_edit(in_order(0, opened(tag(0), W1)));
    assert_eq!(why, Refusal::BenchNotClear { by: tag(1), wanted: tag(0) });
}

#[test]
fn a_clearing_that_is_told_of_clears_nothing_of_what_was_used_on_a_later_day() {
    let mut bench = over_the_firsts_crumbs();
    let cleared = |on| Edit::Order(tag(0), OrderEdit::Told(day(on), CustodyFact::BenchCleared.into()));
    bench.edit(cleared(1)).unwrap();
    let why = bench.refuse(opened(tag(1), W1));
    assert_eq!(why, Refusal::BenchNotClear { by: tag(0), wanted: tag(1) });
    bench.edit(cleared(2)).unwrap();
    bench.record(opened(tag(1), W1));
}

#[test]
fn a_bench_that_asks_for_nothing_would_open_over_anothers_crumbs() {
    let mut bench = two_clients();
    assert!(!bench.studio.policies().bench_clear, "the broken variant: the rule is switched off");
    bench.record(opened(tag(1), W1));
}

#[test]
fn what_is_held_goes_over_to_another_order_of_the_same_client_and_of_no_other() {
    let mut bench = two_clients();
    second_order_of_the_first_client(&mut bench);
    let why = bench.refuse_edit(in_order(0, CustodyFact::PassedOn { thing: W1, to: tag(1) }));
    let sentence = format!(
        "order {} is another client's; nothing of {} goes over to it or comes from it",
        tag(1),
        tag(0)
    );
    assert_eq!(why.to_string(), sentence);
    let why = bench.refuse_edit(in_order(2, taken_over(tag(0), W1)));
    let sentence = format!("W1 of order {} was not passed on to this order; pass it on there first", tag(0));
    assert_eq!(why.to_string(), sentence);
    let why = bench.refuse_edit(in_order(0, CustodyFact::PassedOn { thing: E1, to: tag(2) }));
    assert_eq!(
        why.remedy(),
        Some(in_order(0, CustodyFact::Released { thing: E1 })),
        "a keep-back needs a yes"
    );
    let passed =
        bench.edit(in_order(0, CustodyFact::PassedOn { thing: W1, to: tag(2) })).unwrap().entry.unwrap();
    let found = bench.studio.findings();
    assert_eq!(found, [Finding::NotTakenOver { tag: tag(0), thing: W1, to: tag(2) }]);
    let ashes = CustodyFact::TakenOver {
        lot: 1,
        material: Material::Ashes,
        of: tag(0),
        thing: W1,
        seal: None,
        place: Place::Kept(1),
        keep_back: AGREED,
    };
    let why = bench.refuse_edit(in_order(2, ashes));
    assert_eq!(why.to_string(), format!("W1 of order {} holds no ashes; look at its label again", tag(0)));
    bench.edit(in_order(2, taken_over(tag(0), W1))).unwrap();
    assert_eq!(bench.studio.findings(), []);
    let held = bench.studio.order(tag(2)).unwrap();
    assert_eq!(held.ledger.custody.lots[&1].before, Some((tag(0), W1)));
    let why = bench.refuse_edit(in_order(0, Fact::Struck { entry: passed, why: Mistake::WrongThing }));
    assert_eq!(why.to_string(), format!("order {} has taken W1 over; strike that there first", tag(2)));
    let why = bench.refuse_edit(in_order(0, opened(tag(0), W1)));
    assert_eq!(why.to_string(), "W1 is not here: it went over to another order of the client");
}

// The load, with the door bypassed: the record is sealed anew after it was edited, so its chain holds.

fn edited(order: &Order, fact: impl Into<Fact>) -> Order {
    let mut order = order.clone();
    let head = order.log.head(&order.studio, order.tag);
    order.log.push(head, at(500), None, fact.into());
    order
}

#[test]
fn a_file_edited_to_open_with_anothers_tag_is_refused_and_both_tags_are_named() {
    let bench = two_clients();
    let broken = edited(&bench.held().order, opened(tag(0), W1));
    assert_eq!(broken.log.check(&broken.studio, broken.tag), Ok(()), "the chain alone would let it in");
    let mut studio = bench.studio.clone();
    let why = studio.take(Doc::Order(Box::new(broken))).unwrap_err();
    let sentence = format!(
        "entry 2 of the record does not fit: the tag in your hand is {}, and this order is {}; put it back and take \
         the right one",
        tag(0),
        tag(1)
    );
    assert_eq!(why.to_string(), sentence);
}

#[test]
fn a_file_edited_to_take_anothers_lot_is_named_and_not_written_on_until_that_is_struck() {
    let bench = two_clients();
    let mut claim = taken_over(tag(0), W1);
    if let CustodyFact::TakenOver { lot, .. } = &mut claim {
        *lot = 2;
    }
    let broken = edited(&bench.held().order, claim);
    let mut bench = bench;
    bench.studio.take(Doc::Order(Box::new(broken))).unwrap();
    let said =
        format!("lot 2 of order {} is said to be W1 of order {}, which is another client's", tag(1), tag(0));
    let found: Vec<String> = bench.studio.findings().iter().map(ToString::to_string).collect();
    assert_eq!(
        found,
        [format!("{said}; look for the right file in a backup, and take nothing out of that packet before")]
    );
    let why = bench.refuse(opened(tag(1), Thing::wrapping(2)));
    assert_eq!(
        why.to_string(),
        format!(
            "{said}; until that is cleared up nothing more is written down for this order but that things were closed, \
             put away or cleared off the bench, and the lamp put out"
        )
    );
    bench.record(Fact::Struck { entry: 2, why: Mistake::WrongThing });
    assert_eq!(bench.studio.findings(), []);
    bench.record(opened(tag(1), W1));
}

#[test]
fn every_way_of_claiming_what_was_not_given_is_named() {
    let mut bench = two_clients();
    second_order_of_the_first_client(&mut bench);
    let studio = bench.studio.clone();
    let claim = |studio: &Studio, of: Tag| {
        let mut studio = studio.clone();
        let order = edited(&studio.order(tag(2)).unwrap().order, taken_over(of, W1));
        studio.take(Doc::Order(Box::new(order))).unwrap();
        studio.mixed(tag(2)).into_iter().map(|mixed| mixed.why).collect::<Vec<_>>()
    };
    assert_eq!(claim(&studio, tag(1)), [Mixing::OtherClient]);
    assert_eq!(claim(&studio, tag(0)), [Mixing::NotPassedOn]);
    assert_eq!(claim(&studio, tag(40)), [Mixing::NoOrder]);
    let mut unread = studio.clone();
    unread.lock(DocId::Order(tag(40)), "its file cannot be read".to_owned());
    assert_eq!(claim(&unread, tag(40)), [], "nothing is said of a file that cannot be read");
    let mut given = studio.clone();
    given.apply(in_order(0, CustodyFact::PassedOn { thing: W1, to: tag(2) }), at(400)).unwrap();
    assert_eq!(claim(&given, tag(0)), []);
    let mut twice = taken_over(tag(0), W1);
    if let CustodyFact::TakenOver { lot, .. } = &mut twice {
        *lot = 2;
    }
    let once = edited(&given.order(tag(2)).unwrap().order, taken_over(tag(0), W1));
    given.take(Doc::Order(Box::new(edited(&once, twice)))).unwrap();
    assert_eq!(given.mixed(tag(2)).first().map(|mixed| mixed.why), Some(Mixing::Twice));
}

#[test]
fn a_mixed_order_is_made_safe_and_the_studio_goes_on() {
    let mut bench = two_clients();
    bench.record(opened(tag(1), W1));
    let mut claim = taken_over(tag(0), W1);
    if let CustodyFact::TakenOver { lot, .. } = &mut claim {
        *lot = 2;
    }
    let broken = edited(&bench.held().order, claim);
    bench.studio.take(Doc::Order(Box::new(broken))).unwrap();
    // Nothing is taken from it or given into it, and while its packet is open nobody's else is.
    let received = Fact::from(CustodyFact::CameAlong {
        thing: Thing { kind: crate::id::ThingKind::Keepsake, no: 1 },
        place: Place::Kept(1),
        photo: None,
    });
    assert!(matches!(bench.refuse(received), Refusal::Mixed(_)));
    assert!(matches!(bench.refuse_edit(in_order(0, opened(tag(0), W1))), Refusal::OtherOpen { .. }));
    bench.record(closed(W1));
    bench.record(CustodyFact::Placed { thing: W1, place: Place::Kept(1) });
    bench.record(CustodyFact::BenchCleared);
    bench.record(CustodyFact::Lost { thing: Thing::wrapping(2) });
    assert!(matches!(bench.refuse(opened(tag(1), W1)), Refusal::Mixed(_)));
    bench.edit(in_order(0, opened(tag(0), W1))).unwrap();
}

#[test]
fn the_lamp_over_a_mixed_order_is_put_out_and_what_lay_under_it_is_felt() {
    let safe = |fact: PourFact| makes_safe(&fact.into());
    assert!(safe(lamp_off(1, 1.0)));
    assert!(safe(PourFact::Cooled { stones: vec![1] }));
    assert!(!safe(taken_out(1)));
    let passed = CustodyFact::PassedOn { thing: W1, to: tag(2) };
    assert!(!makes_safe(&passed.into()) && !makes_safe(&opened(tag(0), W1).into()));
}

#[test]
fn a_clearing_that_is_still_to_come_clears_nothing() {
    let before = two_clients().held().order.log.entry(1).unwrap().at;
    // Cleared while the clock was years ahead: before the computer was started anew, or in the same run of it.
    let ahead = Moment { utc_ms: before.utc_ms + 2 * 31_556_952_000, ..before };
    for ahead in [Moment { boot: crate::moment::BootId(6), ..ahead }, ahead] {
        let mut bench = two_clients();
        bench.edit(Edit::Policies(Box::new(Policies { bench_clear: true, ..policies() }))).unwrap();
        bench.studio.apply(in_order(0, CustodyFact::BenchCleared), ahead).unwrap();
        // Then the clock is right again, and the first client's packet is opened and closed.
        bench.edit(in_order(0, opened(tag(0), W1))).unwrap();
        bench.edit(in_order(0, closed(W1))).unwrap();
        let why = bench.refuse(opened(tag(1), W1));
        assert!(matches!(why, Refusal::BenchNotClear { .. }), "{why}");
        assert_eq!(bench.studio.bench_to_clear(tag(1), at(600)), Ok(Some(tag(0))));
        bench.edit(why.remedy().unwrap()).unwrap();
        bench.record(opened(tag(1), W1));
    }
}

/// Between two runs of the computer there is only the clock; within one the clock may be put right at any time.
#[test]
fn a_clearing_that_was_written_down_before_the_clock_was_put_back_clears_nothing_that_came_after_it() {
    let mut bench = two_clients();
    bench.edit(Edit::Policies(Box::new(Policies { bench_clear: true, ..policies() }))).unwrap();
    bench.open(2);
    bench.record(received(1));
    let clock = |count: i64, by_the_clock: i64| Moment { utc_ms: at(by_the_clock).utc_ms, ..at(count) };
    let mut at_the_bench =
        |no: u32, fact: CustodyFact, when: Moment| bench.studio.apply(in_order(no, fact), when).map(|_| ());
    // Two in the afternoon by a clock that is five hours ahead; then it is put right.
    at_the_bench(0, CustodyFact::BenchCleared, clock(500, 800)).unwrap();
    at_the_bench(1, opened(tag(1), W1), clock(760, 760)).unwrap();
    at_the_bench(1, closed(W1), clock(770, 770)).unwrap();
    let why = at_the_bench(2, opened(tag(2), W1), clock(805, 805)).unwrap_err();
    assert_eq!(why, Refusal::BenchNotClear { by: tag(1), wanted: tag(2) });
    // The broken variant goes by the clock alone, by which the clearing came after everything.
    let last = bench.studio.order(tag(1)).unwrap().ledger.custody.bench.unwrap().last;
    let cleared = bench.studio.order(tag(0)).unwrap().ledger.custody.bench.unwrap().cleared_at.unwrap();
    assert!(cleared.at.utc_ms > last.at.utc_ms && cleared.order(&last).is_lt());
    assert_eq!(bench.studio.bench().map(|(by, _)| by), Some(tag(1)));
    bench.edit(why.remedy().unwrap()).unwrap();
}

#[test]
fn striking_that_a_packet_was_closed_asks_for_a_clear_bench_as_opening_it_does() {
    let mut bench = two_clients();
    bench.edit(Edit::Policies(Box::new(Policies { bench_clear: true, ..policies() }))).unwrap();
    bench.edit(in_order(0, opened(tag(0), W1))).unwrap();
    let shut = bench.edit(in_order(0, closed(W1))).unwrap().entry.unwrap();
    bench.edit(in_order(1, CustodyFact::BenchCleared)).unwrap();
    bench.edit(in_order(1, opened(tag(1), W1))).unwrap();
    bench.edit(in_order(1, closed(W1))).unwrap();
    let strike = || in_order(0, Fact::Struck { entry: shut, why: Mistake::DidNotHappen });
    let why = bench.refuse_edit(strike());
    assert_eq!(why, Refusal::BenchNotClear { by: tag(1), wanted: tag(0) });
    // What opens nothing is struck whatever lies there.
    let asked = bench.edit(in_order(0, instructed(E1, Wish::Hold))).unwrap().entry.unwrap();
    bench.edit(in_order(0, Fact::Struck { entry: asked, why: Mistake::WrongThing })).unwrap();
    bench.edit(why.remedy().unwrap()).unwrap();
    bench.edit(strike()).unwrap();
}

#[test]
fn a_packet_that_is_lost_while_it_stands_open_leaves_a_bench_that_has_to_be_cleared() {
    let mut bench = two_clients();
    bench.edit(Edit::Policies(Box::new(Policies { bench_clear: true, ..policies() }))).unwrap();
    bench.edit(in_order(0, CustodyFact::BenchCleared)).unwrap();
    bench.edit(in_order(0, opened(tag(0), W1))).unwrap();
    // Ticked in the other order while the packet stands open: what falls out of it later is not clear by that.
    bench.edit(in_order(1, CustodyFact::BenchCleared)).unwrap();
    bench.edit(in_order(0, CustodyFact::Lost { thing: W1 })).unwrap();
    let why = bench.refuse_edit(in_order(1, opened(tag(1), W1)));
    assert!(matches!(why, Refusal::BenchNotClear { .. }), "{why}");
}

// A strike is held to the same rules as what it brings back.

fn unread_order(bench: &mut Bench, no: u32) {
    bench.studio.lock(DocId::Order(tag(no)), "its file cannot be read".to_owned());
}

#[test]
fn striking_that_a_packet_was_closed_asks_that_every_order_can_be_read() {
    let mut bench = two_clients();
    bench.edit(in_order(0, opened(tag(0), W1))).unwrap();
    let shut = bench.edit(in_order(0, closed(W1))).unwrap().entry.unwrap();
    let strike = || in_order(0, Fact::Struck { entry: shut, why: Mistake::DidNotHappen });
    let mut free = bench.studio.clone();
    assert!(free.apply(strike(), at(700)).is_ok(), "with every order read it may be struck");
    unread_order(&mut bench, 40);
    assert_eq!(bench.refuse_edit(strike()), Refusal::Unread(tag(40)));
    // What opens nothing may be struck all the same.
    let asked = bench.edit(in_order(0, instructed(E1, Wish::Hold))).unwrap().entry.unwrap();
    bench.edit(in_order(0, Fact::Struck { entry: asked, why: Mistake::WrongThing })).unwrap();
}

#[test]
fn striking_that_a_thing_went_over_asks_that_the_order_it_went_to_can_be_read() {
    let mut bench = two_clients();
    second_order_of_the_first_client(&mut bench);
    let passed =
        bench.edit(in_order(0, CustodyFact::PassedOn { thing: W1, to: tag(2) })).unwrap().entry.unwrap();
    let strike = || in_order(0, Fact::Struck { entry: passed, why: Mistake::WrongThing });
    // The same studio as it opens where the file of the second order cannot be read.
    let mut studio = Studio::new(bench.studio.policies().clone());
    for doc in bench.studio.shelf().keys().cloned().map(DocId::Shelf) {
        studio.take(bench.studio.doc(&doc).unwrap()).unwrap();
    }
    for doc in [DocId::Client(client_id(0)), DocId::Order(tag(0))] {
        studio.take(bench.studio.doc(&doc).unwrap()).unwrap();
    }
    studio.lock(DocId::Order(tag(2)), "its file cannot be read".to_owned());
    assert_eq!(studio.apply(strike(), at(700)), Err(Refusal::Unread(tag(2))));
    assert!(bench.edit(strike()).is_ok(), "once it can be read it may be struck");
}

// What cannot be undone, and what a scale can tell.

#[test]
fn nothing_is_destroyed_but_on_the_clients_word_which_then_stays() {
    let mut bench = Bench::hard();
    let destroyed = HomeFact::LeftOut { thing: E1, why: LeftOut::DestroyedOnRequest };
    let why = bench.refuse(destroyed.clone());
    let sentence = "there is no word of the client that E1 is to be destroyed; write down that they asked for it, and \
                    only then do it";
    assert_eq!(why.to_string(), sentence);
    assert_eq!(why.remedy(), Some(in_order(0, ClientFact::Instructed { thing: E1, wish: Wish::Destroy })));
    let asked = bench.record(instructed(E1, Wish::Destroy));
    // The newest word counts.
    bench.record(instructed(E1, Wish::Hold));
    assert!(matches!(bench.refuse(destroyed.clone()), Refusal::NotInstructed { .. }));
    bench.record(instructed(E1, Wish::Destroy));
    let second = bench.held().order.log.len();
    bench.record(destroyed.clone());
    let why = bench.refuse(Fact::Struck { entry: second, why: Mistake::WrongThing });
    assert_eq!(why.to_string(), "E1 was destroyed on that word of the client; it stays in the record");
    assert!(bench.edit(in_order(0, Fact::Struck { entry: asked, why: Mistake::WrongThing })).is_ok());
    // A record that lacks the word is found at load.
    let bare = Bench::hard();
    let mut studio = bare.studio.clone();
    studio.take(Doc::Order(Box::new(edited(&bare.held().order, destroyed)))).unwrap();
    assert_eq!(studio.findings(), [Finding::NoInstruction { tag: tag(0), thing: E1 }]);
}

#[test]
fn what_was_destroyed_takes_no_other_word_and_a_file_that_has_one_is_read_and_told_of() {
    let mut bench = two_clients();
    bench.record(instructed(W1, Wish::Destroy));
    bench.record(HomeFact::LeftOut { thing: W1, why: LeftOut::DestroyedOnRequest });
    for wish in [Wish::Return, Wish::Hold] {
        let why = bench.refuse(instructed(W1, wish));
        assert_eq!(why, Refusal::InstructionStays(W1), "{wish:?}");
    }
    bench.record(instructed(W1, Wish::Destroy));
    assert_eq!(bench.studio.findings(), []);
    let mut old = bench.held().order.clone();
    let head = old.log.head(&old.studio, old.tag);
    old.log.push(head, at(99), None, instructed(W1, Wish::Return).into());
    let mut studio = bench.studio.clone();
    studio.take(Doc::Order(Box::new(old))).unwrap();
    assert_eq!(studio.findings(), [Finding::NoInstruction { tag: tag(1), thing: W1 }]);
}

#[test]
fn a_scale_is_tried_before_it_is_believed_and_is_no_surer_than_it_is() {
    let mut bench = Bench::unpacked();
    let mut scale = fine_scale();
    let weighed = |doubt: f64| {
        let reading = Reading { value: Mass::from_mg(321.0), doubt: Mass::from_mg(doubt), by: Means::Scale };
        CustodyFact::WeighedOn { thing: W1, scale: item("fine-scale"), reading, air: Some(45) }
    };
    assert_eq!(bench.refuse(weighed(1.2)), Refusal::NoItem(item("fine-scale")));
    let on_lamp = match weighed(1.2) {
        CustodyFact::WeighedOn { thing, reading, air, .. } => {
            CustodyFact::WeighedOn { thing, scale: item("box-lamp"), reading, air }
        }
        other => other,
    };
    assert_eq!(bench.refuse(on_lamp).to_string(), "box-lamp on the shelf is not a scale");
    let put = |bench: &mut Bench, scale: &crate::shelf::Item| {
        bench.edit(Edit::Shelf(item("fine-scale"), ShelfEdit::Put(Box::new(scale.clone())))).unwrap();
    };
    let tries = |scale: &mut crate::shelf::Item, tried: Vec<Tried>| {
        if let What::Scale(profile) = &mut scale.what {
            profile.tried = tried;
        }
    };
    tries(&mut scale, Vec::new());
    put(&mut bench, &scale);
    let sentence = "fine-scale was never tried; put a coin or a known weight on it and write down on the shelf what it shows";
    assert_eq!(bench.refuse(weighed(1.2)).to_string(), sentence);
    let shown = |mg| Tried { on: day(2), with: Known::Coin(Coin::TwoEuro), shown: Mass::from_mg(mg) };
    tries(&mut scale, vec![shown(8_500.0), shown(7_000.0)]);
    put(&mut bench, &scale);
    let sentence =
        "fine-scale did not show what it was tried with; set it right, and try it again on the shelf";
    assert_eq!(bench.refuse(weighed(1.2)).to_string(), sentence);
    tries(&mut scale, vec![shown(7_000.0), shown(8_500.0)]);
    if let What::Scale(profile) = &mut scale.what {
        profile.most = Some(Mass::from_mg(320.0));
    }
    put(&mut bench, &scale);
    let sentence = "fine-scale carries no more than 320 mg, packet and all; weigh it on another scale, or go by the count";
    assert_eq!(bench.refuse(weighed(1.2)).to_string(), sentence);
    if let What::Scale(profile) = &mut scale.what {
        profile.most = Some(Mass::from_mg(321.0));
    }
    put(&mut bench, &scale);
    let said = bench.refuse(weighed(0.5)).to_string();
    assert!(said.starts_with("a reading of fine-scale is in doubt by at least 1.08"), "{said}");
    let entry = bench.record(weighed(1.2));
    let custody = &bench.held().ledger.custody;
    assert_eq!(custody.scales[&entry], (item("fine-scale"), Some(45)));
    assert_eq!(custody.weighed.last().map(|(no, ..)| *no), Some(entry));
}
