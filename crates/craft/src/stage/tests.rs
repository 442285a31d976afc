//! An order from the enquiry to the thanks, and the ways that leave the road.

use super::*;
use crate::fact::{ClientFact, CustodyFact, Fact, HomeFact, LayerKind, LeftOut, MessageKind, PourFact};
use crate::order::{Errand, StoneSheet};
use crate::studio::{Edit, OrderEdit};
use crate::testing::*;
use crate::text::Line;

const W1: Thing = Thing::wrapping(1);

fn stage_of(bench: &Bench) -> Stage {
    bench.held().stage()
}

fn next_of(bench: &Bench) -> Next {
    bench.held().next(day(2), 7)
}

fn change_sheet(bench: &mut Bench, change: impl Fn(&mut Sheet)) {
    let mut sheet = bench.held().order.sheet.clone();
    change(&mut sheet);
    bench.edit(Edit::Order(bench.tag, OrderEdit::Sheet(Box::new(sheet)))).unwrap();
}

/// Stage and next before the first fact and after each.
fn walked(bench: &mut Bench, facts: Vec<Fact>) -> Vec<(Stage, Next)> {
    let mut seen = vec![(stage_of(bench), next_of(bench))];
    for fact in facts {
        bench.record(fact);
        seen.push((stage_of(bench), next_of(bench)));
    }
    seen
}

#[test]
fn an_order_goes_from_the_enquiry_to_the_thanks() {
    let mut bench = Bench::new();
    change_sheet(&mut bench, |sheet| sheet.stones.truncate(1));
    let layers = u8::try_from(stone_plan().layers.len()).unwrap();
    let stone = 1;
    let facts = whole_life(tag(0), &["A1"]);
    let names: Vec<String> = facts.iter().map(ToString::to_string).collect();
    let mut wanted = vec![
        (Stage::Asked, Next::Answer),
        (Stage::Asked, Next::PostKit),
        (Stage::KitSent, Next::AwaitMaterial),
        (Stage::Here, Next::KeepBack { lot: 1 }),      // received
        (Stage::Here, Next::KeepBack { lot: 1 }),      // the collar came along
        (Stage::Here, Next::KeepBack { lot: 1 }),      // opened
        (Stage::Here, Next::CloseUp { thing: W1 }),    // the keep-back is put away
        (Stage::Here, Next::Pour { stone, layer: 1 }), // begun: it waits for its share, so the packet stays open
        (Stage::Here, Next::CloseUp { thing: W1 }),    // it has its share
        (Stage::Here, Next::Pour { stone, layer: 1 }), // closed
    ];
    for layer in 1..=layers {
        let hard = if layer == layers {
            (Stage::Made, Next::TakeOut { stone })
        } else {
            (Stage::Here, Next::Pour { stone, layer: layer + 1 })
        };
        wanted.extend([
            (Stage::Here, Next::Light { stone, layer }),
            (Stage::Here, Next::UnderLamp { stone }),
            (Stage::Here, Next::Cooling { stone }),
            (Stage::Here, Next::Feel { stone, layer }),
            hard,
        ]);
    }
    wanted.extend([
        (Stage::Made, Next::SendProof),
        (Stage::Shown, Next::AwaitChoice),
        (Stage::Chosen, Next::SetStone { stone }),
        (Stage::Set, Next::Pack { left: 4 }),
        (Stage::Set, Next::Pack { left: 3 }),
        (Stage::Set, Next::Pack { left: 2 }),
        (Stage::Set, Next::Pack { left: 1 }),
        (Stage::Packed, Next::Post),
        (Stage::Packed, Next::Post), // the box is photographed
        (Stage::GoneHome, Next::AwaitArrival),
        (Stage::GoneHome, Next::Thank),
        (Stage::GoneHome, Next::Done),
    ]);
    let seen = walked(&mut bench, facts);
    assert_eq!(seen.len(), wanted.len());
    for ((place, seen), wanted) in seen.iter().enumerate().zip(&wanted) {
        let after = place.checked_sub(1).and_then(|fact| names.get(fact));
        assert_eq!(seen, wanted, "after {after:?}");
    }
}

#[test]
fn every_stage_is_reached_and_none_is_set_by_hand() {
    let mut bench = Bench::new();
    let seen = walked(&mut bench, whole_life(tag(0), &["A1", "B2"]));
    let reached: std::collections::BTreeSet<Stage> = seen.iter().map(|(stage, _)| *stage).collect();
    assert_eq!(reached.into_iter().collect::<Vec<_>>(), Stage::ALL);
    assert!(seen.windows(2).all(|pair| pair[0].0 <= pair[1].0), "without mishap it never goes back");
}

#[test]
fn a_lot_without_any_scale_goes_all_the_way() {
    let facts = whole_life(tag(0), &["A1", "B2"]);
    let weighs = |fact: &Fact| matches!(fact, Fact::Custody(CustodyFact::Weighed { .. }));
    assert!(!facts.iter().any(weighs), "the road itself asks for no scale");
    let mut bench = Bench::new();
    walk(&mut bench.studio, tag(0));
    assert_eq!((stage_of(&bench), next_of(&bench)), (Stage::GoneHome, Next::Done));
}

#[test]
fn after_none_of_these_a_second_round_is_planned_and_made() {
    let mut bench = Bench::new();
    change_sheet(&mut bench, |sheet| sheet.stones.truncate(1));
    let mut facts = whole_life(tag(0), &["A1"]);
    let shown = facts.iter().position(|fact| *fact == proof(&[1]).into()).unwrap();
    facts.truncate(shown + 1);
    walked(&mut bench, facts);
    bench.record(ClientFact::Chosen(Choice::NoneOfThese));
    assert_eq!((stage_of(&bench), next_of(&bench)), (Stage::Here, Next::Plan));
    // The first stone's cavity is free again, since it was taken out.
    change_sheet(&mut bench, |sheet| sheet.stones.push(StoneSheet { plan: None, ..stone_sheet(2, "A1") }));
    assert_eq!(next_of(&bench), Next::Plan);
    change_sheet(&mut bench, |sheet| sheet.stones[1].plan = Some(stone_plan()));
    assert_eq!(next_of(&bench), Next::Begin { stone: 2 });
    bench.record(begun(2, "A1"));
    assert_eq!(next_of(&bench), Next::Pour { stone: 2, layer: 1 });
    bench.record(opened(tag(0), W1));
    bench.record(moved(2, Share::of(1, 10)));
    bench.record(closed(W1));
    let layers = u8::try_from(stone_plan().layers.len()).unwrap();
    for layer in 1..=layers {
        bench.harden(2, layer, LayerKind::Clear);
    }
    assert_eq!((stage_of(&bench), next_of(&bench)), (Stage::Made, Next::TakeOut { stone: 2 }));
    bench.record(taken_out(2));
    bench.record(proof(&[2]));
    bench.record(chosen(2));
    assert_eq!((stage_of(&bench), next_of(&bench)), (Stage::Chosen, Next::SetStone { stone: 2 }));
    bench.record(set(2));
    assert!(bench.held().ledger.to_pack().contains(&Thing::stone(1)), "what was turned down goes home too");
}

#[test]
fn a_called_off_order_is_closed_up_taken_out_packed_and_sent() {
    let mut bench = Bench::begun();
    bench.record(laid(1, 1, LayerKind::Material));
    bench.record(ClientFact::CalledOff);
    assert_eq!(next_of(&bench), Next::Light { stone: 1, layer: 1 }, "no wet resin goes home");
    let on = bench.record(lamp_on(&[1]));
    bench.record(lamp_off(on, 60.0));
    bench.record(felt(1, 1, Hardness::Hard));
    assert_eq!(next_of(&bench), Next::CloseUp { thing: W1 });
    bench.record(closed(W1));
    assert_eq!(next_of(&bench), Next::TakeOut { stone: 1 });
    bench.record(taken_out(1));
    assert_eq!(next_of(&bench), Next::Pack { left: 3 });
    for thing in bench.held().ledger.to_pack() {
        bench.record(ticked(tag(0), thing));
    }
    assert_eq!((stage_of(&bench), next_of(&bench)), (Stage::Packed, Next::Post));
    bench.record(box_photo());
    bench.record(HomeFact::Sent);
    assert_eq!(stage_of(&bench), Stage::GoneHome);
}

#[test]
fn a_called_off_order_with_an_open_packet_has_it_closed_not_shared_out() {
    let mut bench = Bench::new();
    bench.record(received(1));
    bench.record(opened(tag(0), W1));
    bench.record(ClientFact::CalledOff);
    assert_eq!(next_of(&bench), Next::CloseUp { thing: W1 });
}

#[test]
fn an_order_called_off_before_anything_came_is_over() {
    let mut bench = Bench::new();
    bench.record(ClientFact::KitPosted);
    bench.record(ClientFact::CalledOff);
    assert_eq!(next_of(&bench), Next::Done);
    bench.record(received(1));
    assert_eq!(next_of(&bench), Next::Pack { left: 1 }, "the parcel was on its way, and goes back");
}

#[test]
fn a_running_order_gets_in_by_what_is_told() {
    let mut bench = Bench::new();
    bench.tell(ClientFact::KitPosted);
    assert_eq!(stage_of(&bench), Stage::KitSent);
    bench.tell(received(1));
    assert_eq!((stage_of(&bench), next_of(&bench)), (Stage::Here, Next::KeepBack { lot: 1 }));
    for stone in [1, 2] {
        bench.tell(begun(stone, ["A1", "B2"][usize::from(stone) - 1]));
        for layer in 1..=4 {
            bench.tell(laid(stone, layer, LayerKind::Material));
        }
        bench.tell(felt(stone, 4, Hardness::Hard));
        bench.tell(taken_out(stone));
    }
    assert_eq!(stage_of(&bench), Stage::Made, "no lamp and no share was told of, and none is asked for");
    bench.tell(proof(&[1, 2]));
    assert_eq!(stage_of(&bench), Stage::Shown);
    bench.tell(chosen(2));
    assert_eq!(stage_of(&bench), Stage::Chosen);
    bench.tell(set(2));
    assert_eq!((stage_of(&bench), next_of(&bench)), (Stage::Set, Next::Pack { left: 3 }));
    let finding = crate::studio::Finding::NoKeepBack { tag: tag(0), lot: 1 };
    assert_eq!(bench.studio.findings(), [finding], "what telling let by is still reported");
}

#[test]
fn a_keep_back_is_not_asked_for_where_nothing_is_left_to_keep() {
    let mut bench = Bench::new();
    bench.tell(received(1));
    bench.tell(begun(1, "A1"));
    bench.tell(opened(tag(0), W1));
    bench.tell(moved(1, Share::of(9, 10)));
    bench.tell(closed(W1));
    assert_eq!(next_of(&bench), Next::Pour { stone: 1, layer: 1 });
}

#[test]
fn a_lot_without_an_agreed_keep_back_lets_its_packet_be_closed() {
    let mut bench = Bench::new();
    let CustodyFact::Received { lot, material, seal, place, photo, .. } = received(1) else {
        unreachable!("received makes a receipt")
    };
    bench.tell(CustodyFact::Received { lot, material, seal, place, photo, keep_back: Share::NONE });
    bench.record(opened(tag(0), W1));
    assert_eq!(next_of(&bench), Next::CloseUp { thing: W1 });
}

#[test]
fn a_lost_or_set_aside_stone_is_not_waited_for() {
    let mut bench = Bench::hard();
    change_sheet(&mut bench, |sheet| sheet.stones.truncate(1));
    assert_eq!(next_of(&bench), Next::Pour { stone: 1, layer: 2 });
    let mut lost = bench.clone();
    lost.record(CustodyFact::Lost { thing: Thing::stone(1) });
    assert_eq!(next_of(&lost), Next::Plan, "another stone is to be made");
    bench.record(PourFact::SetAside { stone: 1 });
    assert_eq!((stage_of(&bench), next_of(&bench)), (Stage::Here, Next::Plan));
}

#[test]
fn a_stone_lit_again_outside_its_mould_is_waited_for() {
    let mut bench = Bench::chosen();
    bench.record(laid(1, 2, LayerKind::TopGloss));
    let on = bench.record(lamp_on(&[1]));
    assert_eq!(next_of(&bench), Next::UnderLamp { stone: 1 });
    bench.record(lamp_off(on, 60.0));
    assert_eq!(next_of(&bench), Next::Cooling { stone: 1 });
    bench.record(PourFact::Cooled { stones: vec![1] });
    assert_eq!(next_of(&bench), Next::Feel { stone: 1, layer: 2 });
    bench.record(felt(1, 2, Hardness::Hard));
    assert_eq!(next_of(&bench), Next::SetStone { stone: 1 });
}

#[test]
fn a_soft_layer_is_lit_again() {
    let mut bench = Bench::begun();
    bench.record(laid(1, 1, LayerKind::Material));
    let on = bench.record(lamp_on(&[1]));
    bench.record(lamp_off(on, 60.0));
    bench.record(felt(1, 1, Hardness::Soft));
    assert_eq!(next_of(&bench), Next::Light { stone: 1, layer: 1 });
}

#[test]
fn a_wet_layer_goes_before_a_lamp_that_runs_by_itself() {
    let mut bench = Bench::begun();
    bench.record(begun(2, "B2"));
    bench.record(laid(1, 1, LayerKind::Material));
    bench.record(lamp_on(&[1]));
    assert_eq!(next_of(&bench), Next::UnderLamp { stone: 1 });
    bench.record(laid(2, 1, LayerKind::Clear));
    assert_eq!(next_of(&bench), Next::Light { stone: 2, layer: 1 });
}

#[test]
fn a_nudge_is_due_after_the_days_of_the_settings_and_any_message_puts_it_off() {
    let mut bench = Bench::hard();
    bench.record(taken_out(1));
    bench.record(proof(&[1]));
    let next_on = |bench: &Bench, of_march| bench.held().next(day(of_march), 7);
    assert_eq!((next_on(&bench, 8), next_on(&bench, 9)), (Next::AwaitChoice, Next::Nudge));
    bench.minute = 6 * 24 * 60;
    bench.record(ClientFact::MessageSent { about: MessageKind::Nudge });
    assert_eq!((next_on(&bench, 14), next_on(&bench, 15)), (Next::AwaitChoice, Next::Nudge));
}

#[test]
fn a_setting_that_was_ordered_is_waited_for_before_setting() {
    let mut bench = Bench::chosen();
    let errand = |kind, asked, back| Errand {
        kind,
        what: Line::default(),
        who: Line::default(),
        asked,
        expected: None,
        back,
    };
    change_sheet(&mut bench, |sheet| sheet.errands = vec![errand(ErrandKind::Setting, None, None)]);
    assert_eq!(next_of(&bench), Next::AskErrand { kind: ErrandKind::Setting });
    assert_eq!(next_of(&bench).turn(), Turn::Hands);
    change_sheet(&mut bench, |sheet| sheet.errands[0].asked = Some(day(1)));
    assert_eq!(next_of(&bench), Next::AwaitErrand { kind: ErrandKind::Setting });
    change_sheet(&mut bench, |sheet| sheet.errands[0].back = Some(day(2)));
    assert_eq!(next_of(&bench), Next::SetStone { stone: 1 });
    bench.record(set(1));
    change_sheet(&mut bench, |sheet| sheet.errands.push(errand(ErrandKind::Engraving, Some(day(2)), None)));
    change_sheet(&mut bench, |sheet| sheet.errands.push(errand(ErrandKind::Chain, None, None)));
    assert_eq!(next_of(&bench), Next::AskErrand { kind: ErrandKind::Chain });
    change_sheet(&mut bench, |sheet| sheet.errands[2].back = Some(day(2)));
    assert_eq!(next_of(&bench), Next::AwaitErrand { kind: ErrandKind::Engraving });
}

#[test]
fn a_chosen_stone_leaves_its_mould_before_it_is_set() {
    let mut bench = Bench::hard();
    bench.record(proof(&[1]));
    bench.record(chosen(1));
    assert_eq!(next_of(&bench), Next::TakeOut { stone: 1 });
}

#[test]
fn what_turns_up_after_the_box_has_gone_is_next() {
    let mut bench = Bench::hard();
    bench.record(taken_out(1));
    for thing in [W1, Thing::stone(1)] {
        bench.record(ticked(tag(0), thing));
    }
    bench.record(HomeFact::LeftOut { thing: Thing::envelope(1), why: LeftOut::HeldForClient });
    bench.record(box_photo());
    bench.record(HomeFact::Sent);
    assert_eq!(next_of(&bench), Next::AwaitArrival);
    bench.record(ticked(tag(0), Thing::envelope(1)));
    assert_eq!(next_of(&bench), Next::Post);
    bench.record(HomeFact::NotPhotographed);
    bench.record(HomeFact::Sent);
    assert_eq!(next_of(&bench), Next::AwaitArrival);
    bench.record(received(2));
    assert_eq!((stage_of(&bench), next_of(&bench)), (Stage::GoneHome, Next::Pack { left: 1 }));
}

#[test]
fn each_next_thing_is_somebodys_turn() {
    let turns = [
        (Next::Answer, Turn::Hands),
        (Next::Feel { stone: 1, layer: 1 }, Turn::Hands),
        (Next::UnderLamp { stone: 1 }, Turn::Lamp),
        (Next::Cooling { stone: 1 }, Turn::Lamp),
        (Next::AwaitChoice, Turn::Others),
        (Next::AwaitArrival, Turn::Others),
        (Next::Pack { left: 1 }, Turn::Parcel),
        (Next::Post, Turn::Parcel),
        (Next::Done, Turn::Nobody),
    ];
    for (next, turn) in turns {
        assert_eq!(next.turn(), turn, "{next:?}");
    }
}

#[test]
fn a_chosen_stone_that_is_lost_lets_the_bench_go_on() {
    let mut bench = Bench::chosen();
    change_sheet(&mut bench, |sheet| sheet.stones.truncate(1));
    bench.record(CustodyFact::Lost { thing: Thing::stone(1) });
    assert_eq!((stage_of(&bench), next_of(&bench)), (Stage::Here, Next::Plan));
}

#[test]
fn an_order_ends_on_thanks_of_either_side() {
    let mut bench = Bench::packed();
    bench.record(HomeFact::Sent);
    bench.record(HomeFact::Arrived);
    assert_eq!(next_of(&bench), Next::Thank);
    bench.record(ClientFact::MessageSent { about: MessageKind::ThankYou });
    assert_eq!(next_of(&bench), Next::Done);
}

#[test]
fn a_nudge_counts_from_the_day_that_was_told_of() {
    let mut bench = Bench::hard();
    bench.record(taken_out(1));
    bench.tell(proof(&[1]));
    let next_on = |of_march| bench.held().next(day(of_march), 7);
    assert_eq!((next_on(7), next_on(8)), (Next::AwaitChoice, Next::Nudge));
}

#[test]
fn what_came_back_is_packed_again() {
    let mut bench = Bench::packed();
    bench.record(HomeFact::Sent);
    bench.record(HomeFact::CameBack { thing: Thing::piece(1), place: Place::Bench });
    assert_eq!((stage_of(&bench), next_of(&bench)), (Stage::Set, Next::Pack { left: 1 }));
}
