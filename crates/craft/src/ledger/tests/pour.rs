//! Rules at the mould, the lamp and the setting.

use super::refused;
use crate::fact::{
    Amount, ClientFact, CustodyFact, Dimension, Fact, Feel, FitFact, FitWork, Hardness, Holder, HomeFact,
    LayerKind, Mistake, PourFact, Press,
};
use crate::id::Thing;
use crate::ledger::Unfit;
use crate::moment::{BootId, Moment};
use crate::place::Place;
use crate::reading::{Means, Reading};
use crate::refusal::Refusal;
use crate::studio::{Edit, OrderEdit};
use crate::testing::*;
use crate::units::{Length, Load, Mass, Share, Span};

fn layer(thickness_mm: f64, load: f64, amount: Amount) -> PourFact {
    PourFact::Laid {
        stone: 1,
        layer: 1,
        kind: LayerKind::Clear,
        thickness: Length::from_mm(thickness_mm),
        load: Load::from_percent(load),
        amount,
        bottle: item("clear"),
        pigment: None,
    }
}

#[test]
fn layers_are_laid_one_by_one() {
    let mut bench = Bench::begun();
    refused(&mut bench, laid(1, 2, LayerKind::Clear), "the next layer of stone 1 is number 1");
    bench.harden(1, 1, LayerKind::Material);
    refused(&mut bench, laid(1, 1, LayerKind::Clear), "the next layer of stone 1 is number 2");
}

#[test]
fn a_layer_is_neither_a_film_nor_a_brick() {
    let mut bench = Bench::begun();
    let say = |text: &str| format!("a layer of {text} cannot be; a layer is between 0.05 mm and 10 mm thick");
    refused(&mut bench, layer(0.049_999, 0.0, Amount::ToTheMark), &say("0.049999 mm"));
    refused(&mut bench, layer(10.000_001, 0.0, Amount::ToTheMark), &say("10.000001 mm"));
    for edge in [0.05, 10.0] {
        bench.clone().record(layer(edge, 0.0, Amount::ToTheMark));
    }
}

#[test]
fn a_load_or_an_amount_below_nothing_cannot_be() {
    let mut bench = Bench::begun();
    let sentence = "a weight below nothing cannot be; read it again";
    refused(&mut bench, layer(1.0, -0.1, Amount::ToTheMark), sentence);
    refused(&mut bench, layer(1.0, 0.0, Amount::Weighed(Mass::from_mg(-1.0))), sentence);
    bench.record(layer(1.0, 0.0, Amount::Weighed(Mass::from_mg(31.0))));
    assert_eq!(bench.held().ledger.pours.bottle_use.get(&item("clear")), Some(&Mass::from_mg(31.0)));
}

#[test]
fn the_layer_before_is_felt_first() {
    let mut bench = Bench::begun();
    bench.record(laid(1, 1, LayerKind::Material));
    let sentence = "layer 1 of stone 1 has not been felt yet; say whether it is hard, tacky or soft";
    refused(&mut bench, laid(1, 2, LayerKind::Clear), sentence);
}

#[test]
fn nothing_is_laid_on_a_soft_layer() {
    let mut bench = Bench::begun();
    bench.record(laid(1, 1, LayerKind::Material));
    let on = bench.record(lamp_on(&[1]));
    bench.record(lamp_off(on, 60.0));
    bench.record(felt(1, 1, Hardness::Soft));
    let sentence = "layer 1 of stone 1 is still soft; light it again before the next one";
    refused(&mut bench, laid(1, 2, LayerKind::Clear), sentence);
    let on = bench.record(lamp_on(&[1]));
    bench.record(lamp_off(on, 60.0));
    bench.record(felt(1, 1, Hardness::Tacky));
    bench.record(laid(1, 2, LayerKind::Clear));
}

#[test]
fn a_material_layer_needs_material() {
    let mut bench = Bench::unpacked();
    bench.record(begun(1, "A1"));
    let sentence = "nothing was put into stone 1 yet; take its share out of the envelope first";
    refused(&mut bench, laid(1, 1, LayerKind::Material), sentence);
    bench.record(laid(1, 1, LayerKind::Clear));
}

#[test]
fn a_stone_under_the_lamp_is_left_alone() {
    let mut bench = Bench::begun();
    bench.record(laid(1, 1, LayerKind::Material));
    let on = bench.record(lamp_on(&[1]));
    let sentence = format!("stone 1 is under the lamp since entry {on}; put the lamp off first");
    refused(&mut bench, lamp_on(&[1]), &sentence);
    refused(&mut bench, laid(1, 2, LayerKind::Clear), &sentence);
    refused(&mut bench, felt(1, 1, Hardness::Hard), &sentence);
    refused(&mut bench, taken_out(1), &sentence);
    refused(&mut bench, PourFact::Cooled { stones: vec![1] }, &sentence);
    refused(&mut bench, ticked(tag(0), Thing::stone(1)), &sentence);
}

#[test]
fn a_stone_is_not_set_while_a_lamp_is_on_over_it() {
    let mut bench = Bench::chosen();
    let on = bench.record(lamp_on(&[1]));
    let sentence = format!("stone 1 is under the lamp since entry {on}; put the lamp off first");
    refused(&mut bench, set(1), &sentence);
}

#[test]
fn there_must_be_a_layer_to_light_cool_or_feel() {
    let mut bench = Bench::begun();
    refused(&mut bench, lamp_on(&[1]), "stone 1 has no layer yet");
    refused(&mut bench, PourFact::Cooled { stones: vec![1] }, "stone 1 has no layer yet");
    refused(&mut bench, felt(1, 1, Hardness::Hard), "stone 1 has no layer yet");
}

#[test]
fn only_the_newest_layer_is_felt() {
    let mut bench = Bench::hard();
    let sentence = "only the newest layer of stone 1 can be felt, and that is number 1";
    refused(&mut bench, felt(1, 2, Hardness::Hard), sentence);
}

#[test]
fn at_least_one_stone_is_named_and_each_once() {
    let mut bench = Bench::hard();
    let sentence = "no stone was named; pick at least one, each once";
    refused(&mut bench, lamp_on(&[]), sentence);
    refused(&mut bench, lamp_on(&[1, 1]), sentence);
    refused(&mut bench, PourFact::Cooled { stones: Vec::new() }, sentence);
    refused(&mut bench, proof(&[]), sentence);
    refused(&mut bench, proof(&[1, 1]), sentence);
}

#[test]
fn a_press_gives_light() {
    let mut bench = Bench::hard();
    for (seconds, ramp) in [(0.0, 0.0), (60.0, -1.0)] {
        let (lamp, seconds, ramp) = (item("box-lamp"), Span::from_s(seconds), Span::from_s(ramp));
        let on = PourFact::LampOn { stones: vec![1], press: Press { lamp, button: 1, seconds, ramp } };
        refused(&mut bench, on, "this button gives no light; look at the lamp's buttons on the shelf");
    }
}

#[test]
fn a_lamp_goes_off_once() {
    let mut bench = Bench::begun();
    refused(&mut bench, lamp_off(1, 60.0), "entry 1 did not put a lamp on, or it is off already");
    bench.record(laid(1, 1, LayerKind::Material));
    let on = bench.record(lamp_on(&[1]));
    bench.record(lamp_off(on, 60.0));
    let sentence = format!("entry {on} did not put a lamp on, or it is off already");
    refused(&mut bench, lamp_off(on, 60.0), &sentence);
    assert_eq!(bench.held().ledger.pours.lamp_use.get(&item("box-lamp")), Some(&Span::from_s(60.0)));
}

#[test]
fn no_more_light_counts_than_time_has_passed() {
    let mut bench = Bench::begun();
    bench.record(laid(1, 1, LayerKind::Material));
    let on = bench.record(lamp_on(&[1]));
    // A minute passes between two facts, and one second is allowed for rounding.
    let sentence = "that is more light than has passed since the lamp went on";
    refused(&mut bench.clone(), lamp_off(on, 61.000_001), sentence);
    refused(&mut bench.clone(), lamp_off(on, -1.0), "a time below nothing cannot be; read it again");
    bench.record(lamp_off(on, 61.0));
}

#[test]
fn across_a_restart_no_more_light_counts_than_the_button_gives() {
    let mut bench = Bench::begun();
    bench.record(laid(1, 1, LayerKind::Material));
    let on = bench.record(lamp_on(&[1]));
    let restarted = Moment { boot: BootId(8), since_boot_ms: 1, awake_ms: 1, ..at(500) };
    let off = |lit| Edit::Order(tag(0), OrderEdit::Fact(lamp_off(on, lit).into()));
    let why = bench.studio.apply(off(60.1), restarted).unwrap_err();
    assert_eq!(why, Refusal::Fact { tag: tag(0), why: Unfit::TooMuchLight });
    bench.studio.apply(off(60.0), restarted).unwrap();
}

#[test]
fn however_late_the_lamp_is_noted_as_off_no_more_light_counts_than_the_button_gives() {
    let mut bench = Bench::begun();
    bench.record(laid(1, 1, LayerKind::Material));
    let on = bench.record(lamp_on(&[1]));
    let off = |lit| Edit::Order(tag(0), OrderEdit::Fact(lamp_off(on, lit).into()));
    let why = bench.studio.apply(off(61.000_001), at(500)).unwrap_err();
    assert_eq!(why, Refusal::Fact { tag: tag(0), why: Unfit::TooMuchLight });
    bench.studio.apply(off(61.0), at(500)).unwrap();
}

#[test]
fn light_that_is_told_of_is_held_against_the_clock_unless_the_whole_press_is_told_of() {
    let mut bench = Bench::begun();
    bench.record(laid(1, 1, LayerKind::Material));
    let told = |fact: PourFact| OrderEdit::Told(at(0).day(), fact.into());
    let mut live = bench.clone();
    let on = live.record(lamp_on(&[1]));
    let edit = Edit::Order(tag(0), told(lamp_off(on, 90.0)));
    assert_eq!(live.refuse_edit(edit), Refusal::Fact { tag: tag(0), why: Unfit::TooMuchLight });
    let on = bench.tell(lamp_on(&[1]));
    bench.tell(lamp_off(on, 90.0));
}

#[test]
fn a_layer_and_a_press_know_whether_they_were_told_of() {
    let mut bench = Bench::begun();
    bench.record(laid(1, 1, LayerKind::Material));
    bench.tell(lamp_on(&[1]));
    let layer = |bench: &Bench| bench.held().ledger.pours.stone(1).unwrap().layers[0].clone();
    assert_eq!((layer(&bench).told, layer(&bench).lit[0].told), (false, true));
    let mut bench = Bench::begun();
    bench.tell(laid(1, 1, LayerKind::Material));
    bench.record(lamp_on(&[1]));
    assert_eq!((layer(&bench).told, layer(&bench).lit[0].told), (true, false));
}

#[test]
fn a_layer_is_felt_only_after_it_was_lit() {
    let mut bench = Bench::begun();
    bench.record(laid(1, 1, LayerKind::Material));
    let sentence = "layer 1 of stone 1 has not been under the lamp yet";
    refused(&mut bench, felt(1, 1, Hardness::Hard), sentence);
    bench.tell(felt(1, 1, Hardness::Hard));
}

#[test]
fn lighting_a_layer_again_asks_to_feel_it_again() {
    let mut bench = Bench::hard();
    let on = bench.record(lamp_on(&[1]));
    bench.record(lamp_off(on, 30.0));
    let layer = bench.held().ledger.pours.stone(1).unwrap().layers[0].clone();
    assert_eq!((layer.felt, layer.cooled, layer.light()), (None, None, Span::from_s(90.0)));
}

#[test]
fn a_stone_leaves_its_mould_once_and_takes_nothing_up_afterwards() {
    let mut bench = Bench::chosen();
    refused(&mut bench, taken_out(1), "stone 1 has left its mould; choose one that still lies in its mould");
    bench.record(opened(tag(0), Thing::wrapping(1)));
    refused(
        &mut bench,
        moved(1, Share::of(1, 10)),
        "stone 1 has left its mould; choose one that still lies in its mould",
    );
}

#[test]
fn what_is_in_the_mould_is_neither_set_nor_packed() {
    let mut bench = Bench::hard();
    bench.record(proof(&[1]));
    bench.record(chosen(1));
    let sentence = "stone 1 is still in its mould; take it out first";
    refused(&mut bench, set(1), sentence);
    refused(&mut bench, ticked(tag(0), Thing::stone(1)), sentence);
}

#[test]
fn what_is_in_the_box_is_not_worked_on() {
    let mut bench = Bench::chosen();
    bench.record(ticked(tag(0), Thing::stone(1)));
    let sentence = "S1 is already in the box";
    refused(&mut bench, laid(1, 2, LayerKind::TopGloss), sentence);
    refused(&mut bench, lamp_on(&[1]), sentence);
    refused(&mut bench, FitFact::Tried { stone: 1, feel: Feel::Flush }, sentence);
    refused(&mut bench, FitFact::Worked { stone: 1, work: FitWork::Polished }, sentence);
    refused(&mut bench, set(1), sentence);
    bench.record(HomeFact::Unticked { thing: Thing::stone(1) });
    bench.record(set(1));
}

#[test]
fn a_called_off_order_gets_no_new_work_but_a_wet_layer_is_still_cured() {
    let mut bench = Bench::begun();
    bench.record(laid(1, 1, LayerKind::Material));
    bench.record(ClientFact::CalledOff);
    let sentence = "the order was called off; everything goes home as it is";
    refused(&mut bench, begun(2, "B2"), sentence);
    refused(&mut bench, moved(1, Share::of(1, 10)), sentence);
    let on = bench.record(lamp_on(&[1]));
    bench.record(lamp_off(on, 60.0));
    bench.record(felt(1, 1, Hardness::Hard));
    refused(&mut bench, laid(1, 2, LayerKind::Opaque), sentence);
    refused(&mut bench, proof(&[1]), sentence);
    bench.record(taken_out(1));
}

#[test]
fn a_proof_shows_finished_stones() {
    let mut bench = Bench::begun();
    let sentence = "stone 1 is not finished: its last layer must be hard";
    refused(&mut bench, proof(&[1]), sentence);
    bench.harden(1, 1, LayerKind::Material);
    bench.record(proof(&[1]));
}

#[test]
fn only_a_stone_on_the_last_proof_is_chosen() {
    let mut bench = Bench::hard();
    refused(&mut bench, chosen(1), "no proof sheet was sent yet; send one, then note the answer to it");
    bench.record(proof(&[1]));
    refused(&mut bench, chosen(2), "stone 2 was not on the last proof sheet");
}

#[test]
fn only_the_chosen_stone_is_set_and_once() {
    let mut bench = Bench::hard();
    bench.record(taken_out(1));
    let sentence = "stone 1 was not chosen by the client; set the one that was, or note the new choice first";
    refused(&mut bench, set(1), sentence);
    bench.record(proof(&[1]));
    bench.record(chosen(1));
    bench.record(set(1));
    refused(&mut bench, set(1), "stone 1 is already set");
    refused(&mut bench, FitFact::Tried { stone: 1, feel: Feel::Flush }, "stone 1 is already set");
}

#[test]
fn an_answer_no_longer_changes_once_its_stone_is_set() {
    let mut bench = Bench::packed();
    let none = ClientFact::Chosen(crate::fact::Choice::NoneOfThese);
    refused(&mut bench, none, "stone 1 is already set");
    bench.record(chosen(1));
}

#[test]
fn a_piece_holds_two_stones_and_is_not_set_into_while_it_is_lost() {
    let mut bench = Bench::chosen();
    let part = CustodyFact::Moved {
        from: Thing::wrapping(1),
        lot: 1,
        to: Holder::Thing(Thing::stone(2)),
        part: Share::of(1, 10),
    };
    bench.record(begun(2, "B2"));
    bench.record(opened(tag(0), Thing::wrapping(1)));
    bench.record(part);
    bench.record(closed(Thing::wrapping(1)));
    bench.harden(2, 1, LayerKind::Material);
    bench.record(taken_out(2));
    bench.record(set(1));
    bench.record(proof(&[2]));
    bench.record(chosen(2));
    let piece = Thing::piece(1);
    bench.record(CustodyFact::Lost { thing: piece });
    refused(&mut bench, set(2), "P1 is not here: it is lost");
    bench.record(CustodyFact::Found { thing: piece, place: Place::Bench });
    bench.record(set(2));
    assert!(bench.held().ledger.fit.set.values().all(|into| *into == piece));
    assert!(!bench.held().ledger.to_pack().contains(&Thing::stone(2)), "it is counted as part of the piece");
}

#[test]
fn a_stone_goes_into_a_piece() {
    let set = FitFact::Set { stone: 1, piece: Thing::envelope(4), place: Place::Bench };
    refused(&mut Bench::chosen(), set, "E4 is not a piece");
}

#[test]
fn a_length_is_above_nothing() {
    let mut bench = Bench::chosen();
    let measured = |value: f64, doubt: f64| {
        let (value, doubt) = (Length::from_mm(value), Length::from_mm(doubt));
        let reading = Reading { value, doubt, by: Means::Caliper };
        FitFact::Measured { stone: 1, what: Dimension::Height, reading }
    };
    let sentence = "a length below nothing cannot be; read it again";
    refused(&mut bench, measured(0.0, 0.01), sentence);
    refused(&mut bench, measured(3.4, -0.01), sentence);
    bench.record(measured(3.4, 0.02));
    bench.record(measured(3.3, 0.02));
    let newest = bench.held().ledger.fit.stones[&1].measured[&Dimension::Height];
    assert_eq!(newest.value, Length::from_mm(3.3));
}

#[test]
fn striking_a_lamp_goes_back_from_the_end() {
    let mut bench = Bench::begun();
    bench.record(laid(1, 1, LayerKind::Material));
    let on = bench.record(lamp_on(&[1]));
    let off = bench.record(lamp_off(on, 60.0));
    let strike = Fact::Struck { entry: on, why: Mistake::DidNotHappen };
    let sentence = format!(
        "entry {off} rests on it: entry {on} did not put a lamp on, or it is off already; strike that one first"
    );
    refused(&mut bench, strike.clone(), &sentence);
    bench.record(Fact::Struck { entry: off, why: Mistake::DidNotHappen });
    bench.record(strike);
    assert!(bench.held().ledger.pours.lamp_use.is_empty());
}
