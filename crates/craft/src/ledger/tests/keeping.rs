//! Parts that go home while the work goes on, what is cut off a stone, drying, looking and weighing.

use super::refused;
use crate::fact::{CustodyFact, Drying, Hardness, Holder, HomeFact, LayerKind, LeftOut, PourFact, Press};
use crate::id::Thing;
use crate::ledger::Judged;
use crate::place::Place;
use crate::reading::{Means, Reading};
use crate::stage::Stage;
use crate::testing::*;
use crate::units::{Mass, Share, Span};

const W1: Thing = Thing::wrapping(1);
const E1: Thing = Thing::envelope(1);
const B1: Thing = Thing::offcuts(1);
const S1: Thing = Thing::stone(1);

fn press(seconds: f64) -> Press {
    Press { lamp: item("box-lamp"), button: 1, seconds: Span::from_s(seconds), ramp: Span::ZERO }
}

fn offcuts_kept() -> PourFact {
    PourFact::OffcutsKept { bag: B1, place: Place::Kept(3) }
}

#[test]
fn a_part_goes_home_while_the_work_goes_on() {
    let mut bench = Bench::unpacked();
    bench.record(split(2, Share::of(1, 10), false));
    let e2 = Thing::envelope(2);
    refused(
        &mut bench,
        HomeFact::SentPart,
        "nothing is in the box; tick what goes home in this parcel first",
    );
    bench.record(ticked(tag(0), e2));
    assert!(bench.refuse(HomeFact::SentPart).remedy().is_some(), "the box is looked at first");
    bench.record(box_photo());
    let left = bench.record(HomeFact::SentPart);
    let ledger = &bench.held().ledger;
    assert_eq!(
        (ledger.custody.things[&e2].place.clone(), ledger.custody.things[&e2].sent_with),
        (Place::Post, Some(left))
    );
    assert!(ledger.home.sent.is_none() && !ledger.home.is_gone(), "the order goes on");
    assert_eq!(bench.held().stage(), Stage::Here);
    bench.record(begun(1, "A1"));
    bench.record(moved(1, Share::of(1, 10)));
    bench.record(HomeFact::Arrived);
    let ledger = &bench.held().ledger;
    assert_eq!(ledger.custody.things[&e2].place, Place::Home);
    assert!(ledger.home.arrived.is_none(), "a part that arrived is not the order that arrived");
    refused(&mut bench, HomeFact::Arrived, "nothing has been sent yet");
    assert_eq!(
        bench.held().ledger.custody.share(Holder::Thing(e2), 1),
        Share::of(1, 10),
        "the book keeps what went"
    );
    bench.record(HomeFact::Fault { thing: e2 });
}

#[test]
fn what_is_all_there_is_is_not_a_part() {
    let mut bench = Bench::packed();
    let sentence = "everything there is lies in the box, so it is not a part; send it as the whole";
    refused(&mut bench, HomeFact::SentPart, sentence);
    bench.record(HomeFact::Sent);
}

#[test]
fn what_is_cut_off_a_stone_goes_into_an_open_bag_or_stays_on_the_tools() {
    let mut bench = Bench::hard();
    let cut = |to, part| CustodyFact::Moved { from: S1, lot: 1, to, part };
    let crumb = Share::of(1, 1000);
    bench.record(offcuts_kept());
    refused(&mut bench, cut(Holder::Thing(B1), crumb), "B1 is closed; open it first, reading its tag");
    bench.record(opened(tag(0), B1));
    refused(&mut bench, cut(Holder::Thing(W1), crumb), "W1 is not a bag of offcuts");
    bench.record(cut(Holder::Thing(B1), crumb));
    bench.record(cut(Holder::Tools, crumb));
    let custody = &bench.held().ledger.custody;
    assert_eq!(custody.share(Holder::Thing(B1), 1), crumb);
    assert_eq!(custody.holders(1).map(|(_, share)| share.millionths()).sum::<u32>(), 1_000_000);
    let why = bench.refuse(cut(Holder::Tools, Share::of(1, 2)));
    assert!(why.to_string().starts_with("S1 holds 9.8 % of lot 1"), "{why}");
    bench.record(laid(1, 2, LayerKind::Clear));
    let on = bench.record(lamp_on(&[1]));
    let sentence = format!("stone 1 is under the lamp since entry {on}; put the lamp off first");
    refused(&mut bench, cut(Holder::Tools, crumb), &sentence);
}

#[test]
fn offcuts_that_did_not_come_out_hard_do_not_go_into_the_box() {
    let mut bench = Bench::hard();
    bench.record(offcuts_kept());
    let cured = |bag, seconds, hardness| PourFact::OffcutsCured { bag, press: press(seconds), hardness };
    refused(&mut bench, cured(E1, 60.0, Hardness::Hard), "E1 is not an offcut bag");
    refused(
        &mut bench,
        cured(B1, 0.0, Hardness::Hard),
        "this button gives no light; look at the lamp's buttons on the shelf",
    );
    bench.record(cured(B1, 60.0, Hardness::Tacky));
    let sentence = "the offcuts in B1 did not come out hard; light them again before they go into the box";
    refused(&mut bench, ticked(tag(0), B1), sentence);
    let lamp = bench.held().ledger.pours.lamp_use[&item("box-lamp")];
    bench.record(cured(B1, 60.0, Hardness::Hard));
    assert_eq!(bench.held().ledger.pours.lamp_use[&item("box-lamp")] - lamp, Span::from_s(60.0));
    bench.record(ticked(tag(0), B1));
}

#[test]
fn a_bag_is_no_longer_hard_once_something_went_in_after_its_light() {
    let mut bench = Bench::hard();
    let cured = |hardness| PourFact::OffcutsCured { bag: B1, press: press(60.0), hardness };
    let cut =
        |to| CustodyFact::Moved { from: Thing::stone(1), lot: 1, to, part: Share::from_millionths(1_000) };
    let felt = |bench: &Bench| bench.held().ledger.pours.offcuts_felt(B1);
    bench.record(offcuts_kept());
    bench.record(opened(tag(0), B1));
    bench.record(cut(Holder::Thing(B1)));
    bench.record(cured(Hardness::Hard));
    bench.record(cut(Holder::Tools));
    assert_eq!(felt(&bench), Some(Hardness::Hard), "nothing went in");
    bench.record(cut(Holder::Thing(B1)));
    assert_eq!(felt(&bench), None, "what went in was never lit");
    bench.record(cured(Hardness::Tacky));
    bench.record(cut(Holder::Thing(B1)));
    assert_eq!(felt(&bench), Some(Hardness::Tacky), "what was not hard is not by what went in");
    bench.record(closed(B1));
    let sentence = "the offcuts in B1 did not come out hard; light them again before they go into the box";
    refused(&mut bench, ticked(tag(0), B1), sentence);
    bench.record(cured(Hardness::Hard));
    assert_eq!(felt(&bench), Some(Hardness::Hard));
    bench.record(ticked(tag(0), B1));
}

#[test]
fn what_was_seen_weighed_and_dried_is_kept_beside_the_count() {
    let mut bench = Bench::unpacked();
    let judged = |lot, part, doubt| CustodyFact::Judged { thing: W1, lot, part, doubt };
    refused(&mut bench, judged(2, Share::WHOLE, Share::NONE), "there is no lot 2 in this order");
    let more = Share::from_millionths(1_500_000);
    let sentence = "150 % of a lot cannot be in one place; a share is at most all of it";
    refused(&mut bench, judged(1, more, Share::NONE), sentence);
    let (part, doubt) = (Share::of(2, 3), crate::compare::by_eye(Share::of(2, 3)));
    let entry = bench.record(judged(1, part, doubt));
    assert_eq!(bench.held().ledger.custody.judged, [Judged { entry, thing: W1, lot: 1, part, doubt }]);
    let over = Span::from_s(3_600.0);
    let dried = |thing, over| CustodyFact::Dried { thing, way: Drying::InAir, over };
    refused(&mut bench, dried(W1, Span::from_s(-1.0)), "a time below nothing cannot be; read it again");
    bench.record(dried(W1, over));
    assert_eq!(bench.held().ledger.custody.dried.len(), 1);
    let reading = Reading { value: Mass::from_mg(1.0), doubt: Mass::from_mg(2.0), by: Means::Scale };
    bench
        .edit(crate::studio::Edit::Shelf(item("fine"), crate::studio::ShelfEdit::Put(Box::new(fine_scale()))))
        .unwrap();
    let damp = CustodyFact::WeighedOn { thing: W1, scale: item("fine"), reading, air: Some(101) };
    refused(&mut bench, damp, "air of 101 % humidity cannot be; it is between 0 and 100 %");
}

#[test]
fn only_what_holds_something_and_is_closed_goes_over_and_never_to_itself() {
    let mut bench = Bench::unpacked();
    let passed = |thing, to| CustodyFact::PassedOn { thing, to };
    let why = bench.refuse(passed(W1, tag(0)));
    assert_eq!(
        why.to_string(),
        format!("{} is this order's own tag; name the order it comes from or goes to", tag(0))
    );
    let sheet = Box::new(sheet(&["B1"]));
    let open = crate::studio::OrderEdit::Open { client: client_id(0), sheet };
    bench.edit(crate::studio::Edit::Order(tag(3), open)).unwrap();
    let why = bench.refuse(passed(W1, tag(3)));
    assert_eq!(why.to_string(), "W1 is still open; close it first");
    bench.record(offcuts_kept());
    let sentence = "B1 holds nothing that could go over to another order; look at its label again";
    refused(&mut bench, passed(B1, tag(3)), sentence);
    bench.record(closed(W1));
    bench.record(HomeFact::LeftOut { thing: W1, why: LeftOut::HeldForClient });
    bench.record(passed(W1, tag(3)));
    assert!(!bench.held().ledger.to_pack().contains(&W1));
}
