//! Rules for what was entrusted.

use super::{mend, refused, refused_until_mended};
use crate::fact::{CustodyFact, Fact, Holder, HomeFact, LeftOut, Mistake, PourFact, Wish};
use crate::id::{Thing, ThingKind};
use crate::ledger::{Ledger, Role, Unfit};
use crate::place::Place;
use crate::reading::{Means, Reading};
use crate::refusal::Refusal;
use crate::testing::*;
use crate::units::{Mass, Share};

const W1: Thing = Thing::wrapping(1);
const E1: Thing = Thing::envelope(1);
const E2: Thing = Thing::envelope(2);

fn part(from: Thing, to: Holder, millionths: u32) -> CustodyFact {
    CustodyFact::Moved { from, lot: 1, to, part: Share::from_millionths(millionths) }
}

#[test]
fn a_thing_that_is_not_in_the_order_is_refused() {
    let sentence = "there is no E5 in this order; look at its label again";
    refused(&mut Bench::new(), closed(Thing::envelope(5)), sentence);
}

#[test]
fn nothing_is_labelled_nought() {
    let mut bench = Bench::unpacked();
    let keepsake = CustodyFact::CameAlong { thing: Thing::keepsake(0), place: Place::Bench, photo: None };
    refused(&mut bench, keepsake, "there is no K0 in this order; look at its label again");
    refused(&mut bench, split(0, AGREED, false), "there is no E0 in this order; look at its label again");
    let bag = PourFact::OffcutsKept { bag: Thing::offcuts(0), place: Place::Bench };
    refused(&mut bench, bag, "there is no B0 in this order; look at its label again");
}

#[test]
fn a_label_is_used_once_and_the_next_free_one_is_named() {
    let sentence = "E1 is already there; label the new one E2";
    refused(&mut Bench::unpacked(), split(1, Share::of(1, 10), false), sentence);
}

#[test]
fn lots_are_numbered_in_the_order_they_come() {
    let mut bench = Bench::new();
    refused(&mut bench, received(2), "the next lot of this order is number 1, not 2");
    bench.record(received(1));
    refused(&mut bench, received(1), "the next lot of this order is number 2, not 1");
}

#[test]
fn a_thing_of_the_wrong_kind_is_refused() {
    let mut bench = Bench::hard();
    refused(&mut bench, opened(tag(0), Thing::stone(1)), "S1 is not a packet, an envelope or a bag");
    let keepsake = CustodyFact::CameAlong { thing: E2, place: Place::Bench, photo: None };
    refused(&mut bench, keepsake, "E2 is not a keepsake");
    refused(&mut bench, CustodyFact::Released { thing: W1 }, "W1 is not a keep-back envelope");
}

#[test]
fn a_lot_that_did_not_come_cannot_be_shared_out() {
    let mut bench = Bench::unpacked();
    let CustodyFact::SplitOff { from, into, part, keep_back, seal, place, .. } = split(2, AGREED, false)
    else {
        unreachable!("split makes a split")
    };
    let other = CustodyFact::SplitOff { from, lot: 2, into, part, keep_back, seal, place };
    refused(&mut bench, other, "there is no lot 2 in this order");
}

#[test]
fn the_keep_back_comes_before_a_stone_gets_its_share() {
    let mut bench = Bench::new();
    bench.record(received(1));
    bench.record(begun(1, "A1"));
    bench.record(opened(tag(0), W1));
    let sentence = "lot 1 has no keep-back yet; put 33.3 % of it into its own sealed envelope first";
    refused_until_mended(&mut bench, moved(1, Share::of(1, 10)), sentence);
    let role = bench.held().ledger.custody.thing(E1).unwrap().role;
    assert_eq!(role, Role::KeepBack { lot: 1, released: false });
}

#[test]
fn the_keep_back_comes_before_another_envelope_or_packet_gets_a_share() {
    let mut bench = Bench::new();
    for lot in [1, 2] {
        bench.record(received(lot));
        bench.record(opened(tag(0), Thing::wrapping(lot)));
    }
    let sentence = "lot 1 has no keep-back yet; put 33.3 % of it into its own sealed envelope first";
    let across = part(W1, Holder::Thing(Thing::wrapping(2)), 1_000_000);
    assert_eq!(bench.refuse(across).to_string(), sentence);
    refused_until_mended(&mut bench, split(2, Share::of(1, 10), false), sentence);
}

#[test]
fn what_is_spilt_before_the_keep_back_can_still_be_written_down() {
    let mut bench = Bench::new();
    bench.record(received(1));
    bench.record(opened(tag(0), W1));
    bench.record(part(W1, Holder::Tools, 1_000));
    assert_eq!(bench.held().ledger.custody.share(Holder::Tools, 1), Share::from_millionths(1_000));
}

#[test]
fn a_closed_packet_has_no_button_for_its_keep_back() {
    let mut bench = Bench::new();
    bench.record(received(1));
    bench.record(begun(1, "A1"));
    refused(&mut bench, moved(1, AGREED), "W1 is closed; open it first, reading its tag");
}

#[test]
fn a_keep_back_smaller_than_agreed_is_refused_and_mended_by_the_agreed_one() {
    let mut bench = Bench::new();
    bench.record(received(1));
    bench.record(opened(tag(0), W1));
    let why = bench.refuse(split(1, Share::of(1, 5), true));
    let sentence =
        "33.3 % is to be kept back of lot 1, and this would be 20 %; put away at least what is to be kept";
    assert_eq!(why.to_string(), sentence);
    mend(&mut bench, &why);
    assert_eq!(bench.held().ledger.custody.share(Holder::Thing(E1), 1), AGREED);
}

#[test]
fn a_keep_back_is_opened_only_after_the_client_said_yes() {
    let mut bench = Bench::unpacked();
    let sentence = "E1 is the keep-back; it is opened only after the client has said yes";
    refused_until_mended(&mut bench, opened(tag(0), E1), sentence);
}

#[test]
fn telling_of_it_does_not_open_a_keep_back() {
    let mut bench = Bench::unpacked();
    let told = crate::studio::OrderEdit::Told(day(1), opened(tag(0), E1).into());
    let why = bench.refuse_edit(crate::studio::Edit::Order(tag(0), told));
    assert!(matches!(why, Refusal::Fact { why: Unfit::KeepBackHeld(thing), .. } if thing == E1));
}

#[test]
fn the_tag_in_the_hand_must_be_the_orders_own() {
    let mut bench = Bench::new();
    bench.record(received(1));
    let (read, own) = (tag(1), tag(0));
    let sentence = format!(
        "the tag in your hand is {read}, and this order is {own}; put it back and take the right one"
    );
    refused(&mut bench, opened(read, W1), &sentence);
}

#[test]
fn a_closed_packet_gives_nothing() {
    let mut bench = Bench::hard();
    refused(&mut bench, part(W1, Holder::Tools, 1), "W1 is closed; open it first, reading its tag");
    refused(&mut bench, closed(W1), "W1 is closed; open it first, reading its tag");
    bench.record(opened(tag(0), W1));
    let sentence = "E1 is closed; open it first, reading its tag";
    refused(&mut bench, part(W1, Holder::Thing(E1), 1), sentence);
}

#[test]
fn a_packet_is_opened_once() {
    refused(&mut Bench::unpacked(), opened(tag(0), W1), "W1 is already open");
}

#[test]
fn an_open_packet_stays_on_the_bench() {
    let mut bench = Bench::unpacked();
    let away = CustodyFact::Placed { thing: W1, place: Place::Kept(1) };
    refused_until_mended(&mut bench, away, "W1 is still open; close it first");
}

#[test]
fn an_open_packet_is_neither_ticked_nor_left_out() {
    let mut bench = Bench::unpacked();
    let out = HomeFact::LeftOut { thing: W1, why: LeftOut::HeldForClient };
    assert_eq!(bench.refuse(out.clone()).to_string(), "W1 is still open; close it first");
    refused_until_mended(&mut bench, ticked(tag(0), W1), "W1 is still open; close it first");
    let mut bench = Bench::unpacked();
    refused_until_mended(&mut bench, out, "W1 is still open; close it first");
}

#[test]
fn no_more_is_taken_than_there_is_and_all_that_is_there_is_offered() {
    let mut bench = Bench::begun();
    let why = bench.refuse(moved(1, Share::of(8, 10)));
    assert_eq!(why.to_string(), "W1 holds 56.7 % of lot 1, and 80 % was to be taken");
    mend(&mut bench, &why);
    assert_eq!(bench.held().ledger.custody.share(Holder::Thing(W1), 1), Share::NONE);
    refused(&mut bench, moved(1, Share::of(1, 10)), "W1 holds 0 % of lot 1, and 10 % was to be taken");
}

#[test]
fn too_large_a_split_is_mended_by_a_split() {
    let mut bench = Bench::unpacked();
    let why = bench.refuse(split(2, Share::WHOLE, false));
    assert_eq!(why.to_string(), "W1 holds 66.7 % of lot 1, and 100 % was to be taken");
    mend(&mut bench, &why);
    assert_eq!(bench.held().ledger.custody.share(Holder::Thing(E2), 1).millionths(), 666_667);
}

#[test]
fn a_share_beyond_any_lot_is_refused_in_words() {
    let why = Bench::unpacked().refuse(part(W1, Holder::Tools, u32::MAX));
    assert_eq!(why.to_string(), "W1 holds 66.7 % of lot 1, and 429496.7 % was to be taken");
}

#[test]
fn nothing_moves_to_where_it_is() {
    let sentence = "nothing would move; say how much goes where";
    let mut bench = Bench::unpacked();
    refused(&mut bench, part(W1, Holder::Tools, 0), sentence);
    refused(&mut bench, part(W1, Holder::Thing(W1), 1), sentence);
}

#[test]
fn a_thing_that_is_not_here_cannot_be_used_and_the_reason_is_named() {
    let mut bench = Bench::hard();
    let say = |bench: &mut Bench, thing, why: &str| {
        refused(bench, CustodyFact::Lost { thing }, &format!("{thing} is not here: it {why}"));
    };
    bench.record(CustodyFact::Lost { thing: W1 });
    say(&mut bench, W1, "is lost");
    bench.record(instructed(E1, Wish::Destroy));
    bench.record(HomeFact::LeftOut { thing: E1, why: LeftOut::DestroyedOnRequest });
    say(&mut bench, E1, "was destroyed as the client asked");
    let mut bench = Bench::hard();
    bench.record(HomeFact::LeftOut { thing: E1, why: LeftOut::ReturnedBefore });
    say(&mut bench, E1, "went home before");
    let mut bench = Bench::packed();
    say(&mut bench, Thing::stone(1), "was set into the piece");
    bench.record(HomeFact::Sent);
    assert_eq!(bench.refuse(opened(tag(0), W1)).to_string(), "W1 is not here: it is on its way home");
    bench.record(HomeFact::Arrived);
    say(&mut bench, W1, "is at home with the client");
}

#[test]
fn only_what_is_lost_is_found() {
    let found = CustodyFact::Found { thing: E1, place: Place::Bench };
    refused(&mut Bench::unpacked(), found.clone(), "E1 is not lost");
    let mut bench = Bench::unpacked();
    bench.record(CustodyFact::Lost { thing: E1 });
    bench.record(found);
    assert!(bench.held().ledger.custody.thing(E1).unwrap().is_here());
}

#[test]
fn a_stone_lost_in_its_mould_is_found_in_it_or_has_left_it() {
    let mut bench = Bench::hard();
    let found = |place| CustodyFact::Found { thing: Thing::stone(1), place };
    let own = Place::Cavity { mould: item("oval"), cell: cell("A1") };
    let other = Place::Cavity { mould: item("oval"), cell: cell("B1") };
    bench.record(CustodyFact::Lost { thing: Thing::stone(1) });
    let sentence = "S1 cannot be put into a cavity; only a stone that is begun there lies in one";
    refused(&mut bench, found(other), sentence);
    let mut beside = bench.clone();
    bench.record(found(own));
    assert!(!bench.held().ledger.pours.stone(1).unwrap().taken_out);
    beside.record(found(Place::Bench));
    assert!(beside.held().ledger.pours.stone(1).unwrap().taken_out);
}

#[test]
fn a_weight_below_nothing_cannot_be() {
    let mut bench = Bench::unpacked();
    let weighed = |value, doubt| {
        let reading = Reading { value: Mass::from_mg(value), doubt: Mass::from_mg(doubt), by: Means::Scale };
        CustodyFact::Weighed { thing: W1, reading }
    };
    let sentence = "a weight below nothing cannot be; read it again";
    refused(&mut bench, weighed(-1.0, 0.5), sentence);
    refused(&mut bench, weighed(1.0, -0.5), sentence);
    bench.record(weighed(482.0, 0.7));
    assert_eq!(bench.held().ledger.custody.weighed.len(), 1);
}

#[test]
fn nothing_reaches_the_box_the_post_or_home_without_being_ticked() {
    for place in [Place::Box, Place::Post, Place::Home] {
        let say = |thing| {
            format!(
                "{thing} gets into the box, the post and home only by being ticked; put it down in the studio first"
            )
        };
        let mut bench = Bench::chosen();
        refused(&mut bench, CustodyFact::Placed { thing: W1, place: place.clone() }, &say(W1));
        let keepsake = Thing::keepsake(1);
        let along = CustodyFact::CameAlong { thing: keepsake, place: place.clone(), photo: None };
        refused(&mut bench, along, &say(keepsake));
        let bag = Thing::offcuts(1);
        refused(&mut bench, PourFact::OffcutsKept { bag, place: place.clone() }, &say(bag));
        let piece = Thing::piece(1);
        let set = crate::fact::FitFact::Set { stone: 1, piece, place: place.clone() };
        refused(&mut bench, set, &say(piece));
        bench.record(CustodyFact::Lost { thing: E1 });
        refused(&mut bench, CustodyFact::Found { thing: E1, place: place.clone() }, &say(E1));
        let CustodyFact::Received { material, seal, photo, keep_back, .. } = received(2) else {
            unreachable!("received makes a receipt")
        };
        let lot = CustodyFact::Received { lot: 2, material, seal, place: place.clone(), photo, keep_back };
        refused(&mut bench, lot, &say(Thing::wrapping(2)));
        let mut bench = Bench::hard();
        refused(&mut bench, PourFact::TakenOut { stone: 1, place: place.clone() }, &say(Thing::stone(1)));
        let mut bench = Bench::unpacked();
        let split = CustodyFact::SplitOff {
            from: W1,
            lot: 1,
            into: E2,
            part: AGREED,
            keep_back: false,
            seal: None,
            place,
        };
        refused(&mut bench, split, &say(E2));
    }
}

#[test]
fn only_a_stone_lies_in_a_cavity() {
    let place = Place::Cavity { mould: item("oval"), cell: cell("B1") };
    let sentence = "E1 cannot be put into a cavity; only a stone that is begun there lies in one";
    refused(&mut Bench::unpacked(), CustodyFact::Placed { thing: E1, place }, sentence);
}

#[test]
fn a_stone_in_its_mould_is_moved_only_by_taking_it_out() {
    let mut bench = Bench::hard();
    let placed = CustodyFact::Placed { thing: Thing::stone(1), place: Place::Bench };
    refused(&mut bench, placed.clone(), "stone 1 is still in its mould; take it out first");
    bench.record(taken_out(1));
    bench.record(placed);
}

#[test]
fn an_entry_that_is_not_there_is_a_strike_or_was_struck_cannot_be_struck() {
    let mut bench = Bench::unpacked();
    let strike = |entry| Fact::Struck { entry, why: Mistake::WrongThing };
    refused(
        &mut bench,
        strike(9),
        "there is no entry 9 that could be struck; look at its number in the record again",
    );
    refused(
        &mut bench,
        strike(0),
        "there is no entry 0 that could be struck; look at its number in the record again",
    );
    let struck = bench.record(strike(3));
    refused(
        &mut bench,
        strike(3),
        "entry 3 was struck before and no longer counts; there is nothing more to strike",
    );
    let sentence =
        format!("there is no entry {struck} that could be struck; look at its number in the record again");
    refused(&mut bench, strike(struck), &sentence);
}

#[test]
fn an_entry_that_others_rest_on_is_struck_after_them() {
    let mut bench = Bench::unpacked();
    let sentence = "entry 3 rests on it: W1 is closed; open it first, reading its tag; strike that one first";
    let strike = Fact::Struck { entry: 2, why: Mistake::DidNotHappen };
    // What really happened after it is not struck by a button; the maker strikes it, or looks again.
    refused(&mut bench, strike.clone(), sentence);
    bench.record(Fact::Struck { entry: 3, why: Mistake::WrongThing });
    bench.record(strike);
    let custody = &bench.held().ledger.custody;
    assert!(!custody.things.contains_key(&E1));
    // An envelope may bear that number already: the next one is another.
    assert_eq!(custody.next_free(ThingKind::Envelope), Thing::envelope(2));
    let read = Ledger::replay(tag(0), &bench.held().order.log).unwrap();
    assert_eq!(read.custody.next_free(ThingKind::Envelope), Thing::envelope(2), "read from its file as well");
}

#[test]
fn a_keep_back_below_what_was_agreed_can_be_told_of_and_still_balances() {
    let mut bench = Bench::new();
    bench.tell(received(1));
    bench.tell(opened(tag(0), W1));
    bench.tell(split(1, Share::of(1, 10), true));
    let total: u32 = bench.held().ledger.custody.holders(1).map(|(_, share)| share.millionths()).sum();
    assert_eq!(total, 1_000_000);
}

#[test]
fn material_that_arrives_after_the_order_was_called_off_is_written_down() {
    let mut bench = Bench::new();
    bench.record(crate::fact::ClientFact::CalledOff);
    bench.record(received(1));
    assert_eq!(bench.held().ledger.to_pack(), [W1]);
}

#[test]
fn a_yes_is_for_one_opening_of_the_keep_back() {
    let mut bench = Bench::unpacked();
    bench.record(closed(W1));
    let keep_back = Thing::envelope(1);
    bench.record(CustodyFact::Released { thing: keep_back });
    bench.record(opened(tag(0), keep_back));
    bench.record(closed(keep_back));
    let why = bench.refuse(opened(tag(0), keep_back));
    assert_eq!(why.to_string(), "E1 is the keep-back; it is opened only after the client has said yes");
}

fn agreed(keep_back: Share) -> CustodyFact {
    let CustodyFact::Received { lot, material, seal, place, photo, .. } = received(1) else {
        unreachable!("received makes a receipt")
    };
    CustodyFact::Received { lot, material, seal, place, photo, keep_back }
}

fn tell(fact: impl Into<Fact>) -> crate::studio::Edit {
    crate::studio::Edit::Order(tag(0), crate::studio::OrderEdit::Told(day(1), fact.into()))
}

#[test]
fn telling_of_it_does_not_switch_the_keep_back_off_for_a_lot_that_came_under_the_record() {
    let mut bench = Bench::new();
    bench.record(received(1));
    bench.record(begun(1, "A1"));
    bench.record(opened(tag(0), W1));
    let why = bench.refuse_edit(tell(moved(1, Share::WHOLE)));
    assert!(matches!(why, Refusal::Fact { why: Unfit::KeepBackFirst { .. }, .. }), "{why}");
    let why = bench.refuse_edit(tell(split(1, Share::from_millionths(1), true)));
    assert!(matches!(why, Refusal::Fact { why: Unfit::KeepBackTooSmall { .. }, .. }), "{why}");
    let why = bench.refuse_edit(tell(split(1, Share::of(1, 10), false)));
    assert!(matches!(why, Refusal::Fact { why: Unfit::KeepBackFirst { .. }, .. }), "{why}");
}

#[test]
fn a_keep_back_is_agreed_within_what_makes_sense() {
    let mut bench = Bench::new();
    let most = Share::of(9, 10).millionths();
    for millionths in [0, 9_999, most + 1, 1_000_001] {
        let why = bench.refuse(agreed(Share::from_millionths(millionths))).to_string();
        assert!(
            why.ends_with("cannot be agreed; it is between a hundredth and nine tenths of the lot"),
            "{why}"
        );
    }
    let why = bench.refuse_edit(tell(agreed(Share::from_millionths(1_000_001))));
    assert!(matches!(why, Refusal::Fact { why: Unfit::KeepBackAgreed(_), .. }), "{why}");
    bench.clone().record(agreed(Share::of(1, 100)));
    bench.clone().record(agreed(Share::of(9, 10)));
    bench.tell(agreed(Share::NONE));
}

#[test]
fn where_less_than_agreed_is_left_all_that_is_left_is_kept_back() {
    let mut bench = Bench::new();
    bench.tell(received(1));
    bench.record(begun(1, "A1"));
    bench.tell(opened(tag(0), W1));
    bench.tell(moved(1, Share::of(7, 10)));
    let why = bench.refuse(moved(1, Share::of(1, 10)));
    let sentence = "lot 1 has no keep-back yet; put 30 % of it into its own sealed envelope first";
    assert_eq!(why.to_string(), sentence);
    let small = bench.refuse(split(1, Share::of(2, 10), true));
    mend(&mut bench.clone(), &small);
    mend(&mut bench, &why);
    assert_eq!(bench.held().ledger.custody.share(Holder::Thing(E1), 1), Share::of(3, 10));
}

#[test]
fn a_yes_does_not_outlast_a_loss() {
    let mut bench = Bench::unpacked();
    bench.record(closed(W1));
    bench.record(CustodyFact::Released { thing: E1 });
    bench.record(CustodyFact::Lost { thing: E1 });
    bench.record(CustodyFact::Found { thing: E1, place: Place::Bench });
    let why = bench.refuse(opened(tag(0), E1));
    assert!(matches!(why, Refusal::Fact { why: Unfit::KeepBackHeld(_), .. }), "{why}");
}
