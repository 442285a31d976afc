//! Rules at the packing table and after.

use super::{refused, refused_until_mended};
use crate::fact::{ClientFact, CustodyFact, Fact, HomeFact, LayerKind, LeftOut, Mistake, Wish};
use crate::id::Thing;
use crate::place::Place;
use crate::studio::{Edit, OrderEdit};
use crate::testing::*;
use crate::units::Share;

const W1: Thing = Thing::wrapping(1);
const E1: Thing = Thing::envelope(1);

#[test]
fn the_box_goes_only_when_everything_is_ticked_or_named() {
    let mut bench = Bench::hard();
    bench.record(taken_out(1));
    let sentence = "not in the box yet: W1, E1, S1; tick each, or say that it is lost or left out";
    refused(&mut bench, HomeFact::Sent, sentence);
    bench.record(ticked(tag(0), W1));
    bench.record(CustodyFact::Lost { thing: E1 });
    let sentence = "not in the box yet: S1; tick each, or say that it is lost or left out";
    refused(&mut bench, HomeFact::Sent, sentence);
    bench.record(HomeFact::LeftOut { thing: Thing::stone(1), why: LeftOut::HeldForClient });
    bench.record(box_photo());
    bench.record(HomeFact::Sent);
    assert_eq!(bench.held().ledger.packed(), [W1]);
}

#[test]
fn an_order_without_anything_is_not_sent() {
    let mut bench = Bench::new();
    refused(&mut bench, HomeFact::Sent, "nothing of this order is here to be sent");
    bench.record(received(1));
    bench.record(instructed(W1, Wish::Destroy));
    bench.record(HomeFact::LeftOut { thing: W1, why: LeftOut::DestroyedOnRequest });
    refused(&mut bench, HomeFact::Sent, "nothing of this order is here to be sent");
}

#[test]
fn a_thing_is_ticked_once_and_stays_where_it_is() {
    let mut bench = Bench::packed();
    let sentence = "W1 is already in the box";
    refused(&mut bench, ticked(tag(0), W1), sentence);
    refused(&mut bench, opened(tag(0), W1), sentence);
    refused(&mut bench, CustodyFact::Placed { thing: W1, place: Place::Bench }, sentence);
    refused(&mut bench, HomeFact::LeftOut { thing: W1, why: LeftOut::HeldForClient }, sentence);
}

#[test]
fn only_what_is_in_the_box_comes_out_of_it() {
    let mut bench = Bench::unpacked();
    refused(&mut bench, HomeFact::Unticked { thing: E1 }, "E1 is not in the box");
    bench.record(ticked(tag(0), E1));
    bench.record(HomeFact::Unticked { thing: E1 });
    assert!(bench.held().ledger.to_pack().contains(&E1));
}

#[test]
fn a_wrong_tag_is_not_ticked() {
    let (read, own) = (tag(2), tag(0));
    let sentence = format!(
        "the tag in your hand is {read}, and this order is {own}; put it back and take the right one"
    );
    refused(&mut Bench::hard(), ticked(read, E1), &sentence);
}

#[test]
fn the_box_goes_once() {
    let mut bench = Bench::packed();
    bench.record(HomeFact::Sent);
    let sentence = "the box has already gone; what is still here goes home in a box of its own";
    refused(&mut bench, HomeFact::Sent, sentence);
}

#[test]
fn no_new_work_begins_once_the_box_has_gone() {
    let mut bench = Bench::packed();
    bench.record(HomeFact::Sent);
    let sentence = "the box has already gone; what is still here goes home in a box of its own";
    refused(&mut bench, begun(2, "B2"), sentence);
    refused(&mut bench, proof(&[1]), sentence);
    refused(&mut bench, chosen(1), sentence);
}

#[test]
fn what_turns_up_after_the_box_has_gone_goes_home_in_another() {
    let mut bench = Bench::chosen();
    bench.record(CustodyFact::Lost { thing: E1 });
    bench.record(set(1));
    for thing in [W1, Thing::piece(1)] {
        bench.record(ticked(tag(0), thing));
    }
    bench.record(box_photo());
    bench.record(HomeFact::Sent);
    bench.record(HomeFact::Arrived);
    bench.record(CustodyFact::Found { thing: E1, place: Place::Bench });
    assert_eq!(bench.held().ledger.to_pack(), [E1]);
    let sentence = "not in the box yet: E1; tick each, or say that it is lost or left out";
    refused(&mut bench, HomeFact::Sent, sentence);
    bench.record(ticked(tag(0), E1));
    bench.record(box_photo());
    bench.record(HomeFact::Sent);
    assert_eq!(bench.held().ledger.home.arrived, None, "the new parcel is on its way");
    assert_eq!(bench.held().ledger.custody.thing(W1).unwrap().place, Place::Home);
    bench.record(HomeFact::Arrived);
    assert_eq!(bench.held().ledger.custody.thing(E1).unwrap().place, Place::Home);
}

#[test]
fn what_was_lost_from_the_box_does_not_travel_with_it() {
    let mut bench = Bench::packed();
    bench.record(CustodyFact::Lost { thing: E1 });
    bench.record(box_photo());
    bench.record(HomeFact::Sent);
    bench.record(HomeFact::Arrived);
    assert!(!bench.held().ledger.packed().contains(&E1));
    // Found again on the packing table it must be counted; it never went.
    bench.record(CustodyFact::Found { thing: E1, place: Place::Bench });
    assert_eq!(bench.held().ledger.to_pack(), [E1]);
}

#[test]
fn nothing_is_sent_while_an_emptied_envelope_stands_open() {
    let mut bench = Bench::unpacked();
    bench.record(split(2, Share::of(1, 10), false));
    bench.record(opened(tag(0), Thing::envelope(2)));
    let (from, to) = (Thing::envelope(2), crate::fact::Holder::Thing(W1));
    bench.record(CustodyFact::Moved { from, lot: 1, to, part: Share::of(1, 10) });
    bench.record(closed(W1));
    for thing in [W1, E1] {
        bench.record(ticked(tag(0), thing));
    }
    bench.record(box_photo());
    refused_until_mended(&mut bench, HomeFact::Sent, "E2 is still open; close it first");
}

#[test]
fn a_held_packet_that_is_opened_is_counted_again() {
    let mut bench = Bench::hard();
    bench.record(HomeFact::LeftOut { thing: W1, why: LeftOut::HeldForClient });
    assert!(!bench.held().ledger.to_pack().contains(&W1));
    bench.record(opened(tag(0), W1));
    assert!(bench.held().ledger.to_pack().contains(&W1));
}

#[test]
fn an_emptied_envelope_and_a_cavity_without_a_layer_are_not_waited_for() {
    let mut bench = Bench::unpacked();
    bench.record(begun(1, "A1"));
    assert_eq!(bench.held().ledger.to_pack(), [W1, E1]);
    bench.record(moved(1, Share::of(1, 10)));
    assert_eq!(bench.held().ledger.to_pack(), [W1, E1, Thing::stone(1)], "now it holds something entrusted");
}

#[test]
fn nothing_arrives_is_faulty_or_thanked_for_before_it_was_sent() {
    let mut bench = Bench::packed();
    let sentence = "nothing has been sent yet";
    refused(&mut bench, HomeFact::Arrived, sentence);
    refused(&mut bench, ClientFact::Thanked, sentence);
    refused(&mut bench, HomeFact::Fault { thing: Thing::piece(1) }, sentence);
    bench.record(HomeFact::Sent);
    bench.record(HomeFact::Arrived);
    bench.record(HomeFact::Fault { thing: Thing::piece(1) });
    bench.record(ClientFact::Thanked);
}

#[test]
fn what_is_told_of_lies_in_the_past() {
    let mut bench = Bench::new();
    let told = |of_march| Edit::Order(tag(0), OrderEdit::Told(day(of_march), ClientFact::Answered.into()));
    let why = bench.refuse_edit(told(3));
    assert_eq!(why.to_string(), "2026-03-03 has not come yet; what is told of has already happened");
    bench.edit(told(2)).unwrap();
    assert_eq!(bench.held().order.log.entry(1).unwrap().day(), day(2));
}

#[test]
fn striking_the_sending_puts_everything_back_into_the_box() {
    let mut bench = Bench::packed();
    let sent = bench.record(HomeFact::Sent);
    bench.record(Fact::Struck { entry: sent, why: Mistake::DidNotHappen });
    assert_eq!(bench.held().ledger.custody.thing(W1).unwrap().place, Place::Box);
    bench.record(HomeFact::Unticked { thing: W1 });
}

#[test]
fn a_second_layer_can_be_laid_on_a_stone_out_of_its_mould() {
    let mut bench = Bench::chosen();
    bench.harden(1, 2, LayerKind::TopGloss);
    assert!(bench.held().ledger.pours.stone(1).unwrap().is_finished());
}

#[test]
fn what_is_away_is_not_ticked_before_it_is_back() {
    let mut bench = Bench::chosen();
    bench.record(set(1));
    bench.record(CustodyFact::Placed { thing: Thing::piece(1), place: Place::Away });
    let why = bench.refuse(ticked(tag(0), Thing::piece(1)));
    assert!(why.to_string().contains("is away with someone"), "{why}");
    bench.record(CustodyFact::Placed { thing: Thing::piece(1), place: Place::Kept(1) });
    bench.record(ticked(tag(0), Thing::piece(1)));
}

#[test]
fn the_box_as_it_is_now_has_a_photo_or_it_is_said_that_there_is_no_camera() {
    let mut bench = Bench::packed();
    bench.record(HomeFact::Unticked { thing: E1 });
    bench.record(ticked(tag(0), E1));
    let sentence = "the box has no photo as it is packed now; take one before it is closed, or say that no camera is at \
                    hand";
    let mut photographed = bench.clone();
    refused_until_mended(&mut bench, HomeFact::Sent, sentence);
    photographed.record(box_photo());
    photographed.record(HomeFact::Sent);
}

#[test]
fn a_box_from_which_something_was_lost_is_looked_into_again() {
    let mut bench = Bench::packed();
    bench.record(CustodyFact::Lost { thing: W1 });
    let why = bench.refuse(HomeFact::Sent).to_string();
    assert!(why.starts_with("the box has no photo as it is packed now"), "{why}");
    bench.record(box_photo());
    // What was lost elsewhere has changed nothing in the box.
    bench.record(HomeFact::Sent);
    bench.record(CustodyFact::Lost { thing: E1 });
    bench.record(HomeFact::Arrived);
}

#[test]
fn what_is_lost_in_the_post_is_written_down_and_the_other_parcel_still_arrives() {
    let mut bench = Bench::chosen();
    bench.record(CustodyFact::Lost { thing: E1 });
    bench.record(set(1));
    let piece = Thing::piece(1);
    for thing in [W1, piece] {
        bench.record(ticked(tag(0), thing));
    }
    bench.record(box_photo());
    bench.record(HomeFact::Sent);
    bench.record(CustodyFact::Found { thing: E1, place: Place::Bench });
    bench.record(ticked(tag(0), E1));
    bench.record(box_photo());
    bench.record(HomeFact::Sent);
    bench.record(HomeFact::Arrived);
    let place = |bench: &Bench, thing| bench.held().ledger.custody.thing(thing).unwrap().place.clone();
    assert_eq!((place(&bench, E1), place(&bench, W1)), (Place::Home, Place::Post));
    bench.record(CustodyFact::Lost { thing: W1 });
    assert!(bench.held().ledger.custody.thing(W1).unwrap().lost);
    bench.record(HomeFact::Arrived);
    assert_eq!((place(&bench, piece), place(&bench, W1)), (Place::Home, Place::Post));
}

#[test]
fn what_came_back_is_counted_and_worked_on_again() {
    let mut bench = Bench::packed();
    let back = |thing| HomeFact::CameBack { thing, place: Place::Bench };
    let sentence = "P1 has not left, so it cannot have come back; note where it lies instead";
    refused(&mut bench, back(Thing::piece(1)), sentence);
    bench.record(HomeFact::Sent);
    bench.record(HomeFact::Arrived);
    bench.record(back(W1));
    assert_eq!(bench.held().ledger.to_pack(), [W1]);
    bench.record(begun(2, "B2"));
    bench.record(opened(tag(0), W1));
    bench.record(moved(2, Share::of(1, 10)));
    bench.record(closed(W1));
}

#[test]
fn what_is_not_usable_is_neither_shown_nor_chosen() {
    let mut bench = Bench::hard();
    bench.record(taken_out(1));
    bench.record(proof(&[1]));
    bench.record(crate::fact::PourFact::SetAside { stone: 1 });
    let sentence = "stone 1 was set aside as a spare; take one that was not";
    refused(&mut bench, chosen(1), sentence);
    refused(&mut bench, proof(&[1]), sentence);
    bench.record(CustodyFact::Lost { thing: Thing::stone(1) });
    refused(&mut bench, chosen(1), "S1 is not here: it is lost");
}
