//! What makes a paper out of date, and what does not.

use super::{Standing, Subject, standing};
use crate::digest::Digest;
use crate::fact::{
    ClientFact, CustodyFact, Fact, Holder, HomeFact, LayerKind, Material, Mistake, PaperKind, PourFact,
};
use crate::id::Thing;
use crate::place::Place;
use crate::reading::{Means, Reading};
use crate::testing::*;
use crate::units::{Mass, Share};

const W1: Thing = Thing::wrapping(1);
const E1: Thing = Thing::envelope(1);
const S1: Thing = Thing::stone(1);
const P1: Thing = Thing::piece(1);

fn issue(bench: &mut Bench, paper: PaperKind) -> u32 {
    bench.record(HomeFact::PaperIssued { paper, file: Digest::of(b"paper") })
}

fn changed(bench: &Bench, kind: PaperKind) -> Vec<Subject> {
    match standing(bench.held(), kind) {
        Standing::OutOfDate(changed) => changed,
        Standing::Holds => Vec::new(),
        Standing::NotIssued => panic!("no {kind} was issued"),
    }
}

fn things(of: &[Thing]) -> Vec<Subject> {
    of.iter().copied().map(Subject::Thing).collect()
}

#[test]
fn a_packing_list_from_before_more_went_into_the_box_is_out_of_date() {
    let mut bench = Bench::chosen();
    bench.record(set(1));
    assert_eq!(standing(bench.held(), PaperKind::Packing), Standing::NotIssued);
    bench.record(ticked(tag(0), W1));
    issue(&mut bench, PaperKind::Packing);
    assert_eq!(standing(bench.held(), PaperKind::Packing), Standing::Holds);
    bench.record(ticked(tag(0), E1));
    let piece = bench.record(ticked(tag(0), P1));
    assert_eq!(changed(&bench, PaperKind::Packing), things(&[E1, P1]));
    issue(&mut bench, PaperKind::Packing);
    assert!(changed(&bench, PaperKind::Packing).is_empty(), "the newest one counts");
    // What it named is what the record said then, though it was struck since.
    bench.record(Fact::Struck { entry: piece, why: Mistake::DidNotHappen });
    assert_eq!(changed(&bench, PaperKind::Packing), things(&[P1]));
    bench.record(ticked(tag(0), P1));
    assert!(changed(&bench, PaperKind::Packing).is_empty(), "it is so again");
    // Out, and in again with something else in it.
    bench.record(HomeFact::Unticked { thing: W1 });
    bench.record(opened(tag(0), W1));
    bench.record(split(2, Share::of(1, 10), false));
    bench.record(closed(W1));
    bench.record(ticked(tag(0), W1));
    assert_eq!(changed(&bench, PaperKind::Packing), things(&[W1, Thing::envelope(2)]));
    bench.record(ticked(tag(0), Thing::envelope(2)));
    issue(&mut bench, PaperKind::Packing);
    bench.record(box_photo());
    for fact in [HomeFact::Sent, HomeFact::Arrived] {
        bench.record(fact);
        assert!(changed(&bench, PaperKind::Packing).is_empty(), "the list of this box, wherever it is");
    }
    // Another box has a list of its own.
    bench.record(HomeFact::CameBack { thing: E1, place: Place::Bench });
    assert_eq!(standing(bench.held(), PaperKind::Packing), Standing::NotIssued);
}

#[test]
fn what_is_lost_or_left_out_after_the_list_makes_it_out_of_date_and_a_photo_or_a_word_does_not() {
    let mut bench = Bench::packed();
    issue(&mut bench, PaperKind::Packing);
    bench.record(box_photo());
    issue(&mut bench, PaperKind::Care);
    bench.record(ClientFact::MessageSent { about: crate::fact::MessageKind::Finished });
    assert!(changed(&bench, PaperKind::Packing).is_empty());
    bench.record(CustodyFact::Lost { thing: E1 });
    assert_eq!(changed(&bench, PaperKind::Packing), things(&[E1]));
}

#[test]
fn a_care_card_is_out_of_date_once_other_material_or_metal_is_in_the_stones() {
    let mut bench = Bench::hard();
    issue(&mut bench, PaperKind::Care);
    bench.record(taken_out(1));
    bench.record(proof(&[1]));
    bench.record(chosen(1));
    assert!(changed(&bench, PaperKind::Care).is_empty(), "it names no stone");
    bench.record(set(1));
    assert_eq!(changed(&bench, PaperKind::Care), things(&[P1]));
    issue(&mut bench, PaperKind::Care);
    assert!(changed(&bench, PaperKind::Care).is_empty());

    let mut ashes = Bench::hard();
    issue(&mut ashes, PaperKind::Care);
    let (material, photo, seal) = (Material::Ashes, None, None);
    let keep_back = Share::of(1, 3);
    ashes.record(CustodyFact::Received { lot: 2, material, seal, place: Place::Kept(1), photo, keep_back });
    assert!(changed(&ashes, PaperKind::Care).is_empty());
    ashes.record(begun(2, "B2"));
    let (from, into) = (Thing::wrapping(2), Thing::envelope(2));
    ashes.record(opened(tag(0), from));
    let (place, part) = (Place::Kept(2), keep_back);
    ashes.record(CustodyFact::SplitOff { from, lot: 2, into, part, keep_back: true, seal: None, place });
    let to = Holder::Thing(Thing::stone(2));
    ashes.record(CustodyFact::Moved { from, lot: 2, to, part: Share::of(1, 10) });
    assert_eq!(changed(&ashes, PaperKind::Care), [Subject::Material(Material::Ashes)]);
}

#[test]
fn a_receipt_is_out_of_date_once_more_came_and_not_before() {
    let mut bench = Bench::unpacked();
    issue(&mut bench, PaperKind::Receipt);
    bench.record(closed(W1));
    bench.record(begun(1, "A1"));
    assert!(changed(&bench, PaperKind::Receipt).is_empty(), "it says what came, not what is made of it");
    let thing = Thing::keepsake(1);
    bench.record(CustodyFact::CameAlong { thing, place: Place::Bench, photo: None });
    assert_eq!(changed(&bench, PaperKind::Receipt), things(&[thing]));
}

#[test]
fn a_custody_sheet_is_out_of_date_once_anything_it_tells_of_moved_or_was_weighed() {
    let mut bench = Bench::hard();
    issue(&mut bench, PaperKind::Custody);
    assert!(changed(&bench, PaperKind::Custody).is_empty());
    bench.record(CustodyFact::Placed { thing: E1, place: Place::Kept(3) });
    assert_eq!(changed(&bench, PaperKind::Custody), things(&[E1]));
    let reading = Reading { value: Mass::from_mg(40.0), doubt: Mass::from_mg(1.0), by: Means::Scale };
    bench.record(CustodyFact::Weighed { thing: W1, reading });
    assert_eq!(changed(&bench, PaperKind::Custody), things(&[W1, E1]));
    issue(&mut bench, PaperKind::Custody);
    bench.harden(1, 2, LayerKind::BackCoat);
    assert!(changed(&bench, PaperKind::Custody).is_empty(), "resin is not the client's");
    bench.record(opened(tag(0), W1));
    let part = Share::of(1, 50);
    bench.record(CustodyFact::Moved { from: W1, lot: 1, to: Holder::Tools, part });
    let [wrapping, tools] = changed(&bench, PaperKind::Custody)[..] else { panic!("two") };
    assert_eq!((wrapping, tools), (Subject::Thing(W1), Subject::Tools(1)));
}

#[test]
fn a_proof_is_out_of_date_once_its_stones_changed_and_never_after_it_was_sent() {
    let mut bench = Bench::hard();
    issue(&mut bench, PaperKind::Proof);
    bench.record(taken_out(1));
    assert!(changed(&bench, PaperKind::Proof).is_empty(), "it looks the same out of its mould");
    let aside = bench.record(PourFact::SetAside { stone: 1 });
    assert_eq!(changed(&bench, PaperKind::Proof), things(&[S1]));
    bench.record(Fact::Struck { entry: aside, why: Mistake::DidNotHappen });
    bench.record(proof(&[1]));
    bench.record(chosen(1));
    bench.record(set(1));
    assert!(changed(&bench, PaperKind::Proof).is_empty());
}
