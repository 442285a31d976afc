//! Practice stones: on the bench like any other, and never the client's.

use crate::digest::Digest;
use crate::fact::{ClientFact, CustodyFact, Fact, Holder, HomeFact, LayerKind, LeftOut, PaperKind, Wish};
use crate::id::Thing;
use crate::order::LotShare;
use crate::paper::{Standing, standing};
use crate::refusal::Refusal;
use crate::stage::{Next, Stage};
use crate::studio::{Edit, OrderEdit};
use crate::testing::*;
use crate::units::Share;

const PRACTICE: u8 = Thing::practice(1).no;

/// An order with its keep-back put away, and a practice stone beside the two of the client.
fn bench() -> Bench {
    let mut bench = Bench::unpacked();
    let mut sheet = bench.held().order.sheet.clone();
    sheet.stones.push(stone_sheet(PRACTICE, "B1"));
    bench.edit(Edit::Order(bench.tag, OrderEdit::Sheet(Box::new(sheet)))).unwrap();
    bench
}

fn practised(bench: &mut Bench) {
    bench.record(begun(PRACTICE, "B1"));
    for (layer, planned) in (1..).zip(&stone_plan().layers) {
        let kind = stone_plan().kind_of(layer, planned);
        bench.harden(PRACTICE, layer, kind);
    }
}

fn next_of(bench: &Bench) -> Next {
    bench.held().next(day(2), 7)
}

#[test]
fn a_practice_stone_is_poured_without_anything_entrusted() {
    let mut bench = bench();
    assert_eq!(
        next_of(&bench),
        Next::CloseUp { thing: Thing::wrapping(1) },
        "no packet stands open meanwhile"
    );
    bench.record(closed(Thing::wrapping(1)));
    assert_eq!(next_of(&bench), Next::Begin { stone: PRACTICE }, "practice comes first");
    bench.record(begun(PRACTICE, "B1"));
    assert_eq!(next_of(&bench), Next::Pour { stone: PRACTICE, layer: 1 });
    bench.harden(PRACTICE, 1, LayerKind::Material);
    assert_eq!(bench.held().ledger.pours.stones[&PRACTICE].layers.len(), 1, "its own hair lies in no packet");
    assert_eq!(next_of(&bench), Next::Pour { stone: PRACTICE, layer: 2 });
}

#[test]
fn nothing_makes_a_practice_stone_the_clients() {
    let mut bench = bench();
    practised(&mut bench);
    bench.record(taken_out(PRACTICE));
    let thing = Thing::practice(1);
    let facts: Vec<Fact> = vec![
        proof(&[PRACTICE]).into(),
        chosen(PRACTICE).into(),
        set(PRACTICE).into(),
        ticked(tag(0), thing).into(),
        HomeFact::LeftOut { thing, why: LeftOut::ReturnedBefore }.into(),
        instructed(thing, Wish::Return).into(),
        CustodyFact::Lost { thing }.into(),
        CustodyFact::Moved {
            from: Thing::wrapping(1),
            lot: 1,
            to: Holder::Thing(thing),
            part: Share::of(1, 100),
        }
        .into(),
    ];
    for fact in facts {
        let words = fact.to_string();
        let refused = bench.refuse(fact);
        assert!(refused.to_string().starts_with("practice stone 1 is your own"), "{words}: {refused}");
    }
}

#[test]
fn a_practice_stone_is_never_waited_for_nor_packed() {
    let mut bench = bench();
    bench.record(closed(Thing::wrapping(1)));
    practised(&mut bench);
    assert_eq!(bench.held().stage(), Stage::Here, "a practice stone is no stone of the client's");
    assert_eq!(next_of(&bench), Next::TakeOut { stone: PRACTICE });
    bench.record(taken_out(PRACTICE));
    assert!(!bench.held().ledger.to_pack().contains(&Thing::practice(1)));
    assert!(!matches!(next_of(&bench), Next::TakeOut { .. }));

    let mut begun_only = Bench::hard();
    let mut sheet = begun_only.held().order.sheet.clone();
    sheet.stones.push(stone_sheet(PRACTICE, "B1"));
    let before = (begun_only.held().stage(), next_of(&begun_only));
    begun_only.edit(Edit::Order(begun_only.tag, OrderEdit::Sheet(Box::new(sheet)))).unwrap();
    assert_eq!((begun_only.held().stage(), next_of(&begun_only)), before, "it is too late to practise");
}

#[test]
fn a_practice_stone_half_poured_holds_nothing_up_and_leaves_its_cavity_when_all_is_over() {
    // The same order with and without it.
    let (mut with, mut without) = (Bench::hard(), Bench::hard());
    let mut sheet = with.held().order.sheet.clone();
    sheet.stones.push(stone_sheet(PRACTICE, "B1"));
    with.edit(Edit::Order(with.tag, OrderEdit::Sheet(Box::new(sheet)))).unwrap();
    with.record(begun(PRACTICE, "B1"));
    with.record(laid(PRACTICE, 1, LayerKind::Material));
    assert_eq!(next_of(&with), next_of(&without), "its wet layer waits, and nothing of the client's does");
    let tag = with.tag;
    let steps: [fn(&mut Bench) -> u32; 4] = [
        |bench| bench.record(taken_out(1)),
        |bench| bench.record(proof(&[1])),
        |bench| bench.record(chosen(1)),
        |bench| bench.record(set(1)),
    ];
    for step in steps {
        step(&mut with);
        step(&mut without);
        assert_eq!(next_of(&with), next_of(&without));
    }
    for bench in [&mut with, &mut without] {
        for thing in bench.held().ledger.to_pack() {
            bench.record(ticked(tag, thing));
        }
        bench.record(box_photo());
        bench.record(HomeFact::Sent);
        bench.record(HomeFact::Arrived);
        bench.record(ClientFact::Thanked);
    }
    assert_eq!(next_of(&without), Next::Done);
    assert_eq!(next_of(&with), Next::TakeOut { stone: PRACTICE }, "its cavity is wanted for others");
    with.record(taken_out(PRACTICE));
    assert_eq!(next_of(&with), Next::Done);
}

#[test]
fn papers_say_nothing_of_practice_so_it_makes_none_of_them_old() {
    let mut bench = bench();
    bench.record(closed(Thing::wrapping(1)));
    practised(&mut bench);
    let kinds = [PaperKind::Receipt, PaperKind::Proof, PaperKind::Care, PaperKind::Custody];
    for (nth, kind) in (1_u8..).zip(kinds) {
        bench.record(HomeFact::PaperIssued { paper: kind, file: Digest::of(&[nth]) });
    }
    bench.record(taken_out(PRACTICE));
    for kind in kinds {
        assert_eq!(standing(bench.held(), kind), Standing::Holds, "{kind:?}");
    }
}

#[test]
fn what_a_practice_stone_stands_for_takes_nothing_from_a_lot() {
    let mut bench = bench();
    let mut sheet = bench.held().order.sheet.clone();
    for stone in &mut sheet.stones {
        stone.shares = vec![LotShare { lot: 1, part: Share::of(1, 3) }];
    }
    assert!(sheet.stones.len() >= 3, "two of the client's take all that is free");
    bench.edit(Edit::Order(bench.tag, OrderEdit::Sheet(Box::new(sheet.clone())))).unwrap();
    sheet.stones.last_mut().unwrap().no = 3;
    let why = bench.refuse_edit(Edit::Order(bench.tag, OrderEdit::Sheet(Box::new(sheet))));
    assert!(matches!(why, Refusal::SharesTooLarge { .. }), "{why}");
}
