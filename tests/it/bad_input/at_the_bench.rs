//! Slips of the hand: the sentence, the remedy where there is one, and an order that is as it was.

use craft::fact::{Holder, HomeFact};
use workbench::clock::Clock as _;
use workbench::state::Notice;

use super::*;

/// Does something that is refused; gives the sentence and the edit that would mend it.
fn refused(two: &Two, session: &mut Session, action: Action) -> (String, Option<Edit>) {
    let before = contents(&two.bench.root());
    session.act_and_settle(action).unwrap_err();
    assert_eq!(contents(&two.bench.root()), before, "what is refused is not written");
    match session.bench.view(two.bench.clock.now()).notice {
        Some(Notice::Refused { why, remedy }) => (why.clone(), remedy.as_deref().cloned()),
        other => panic!("{other:?}"),
    }
}

#[test]
fn a_wrong_tag_opens_nothing() {
    let two = Two::new();
    two.bench.fact(two.one, CustodyFact::Closed { thing: Thing::wrapping(1), seal: None });
    let mut session = two.bench.open();
    let opened = CustodyFact::Opened { thing: Thing::wrapping(1), check: typed(two.other) };
    let (why, remedy) = refused(&two, &mut session, fact(two.one, opened));
    assert_eq!(
        why,
        format!(
            "the tag in your hand is {}, and this order is {}; put it back and take the right one",
            two.other, two.one
        )
    );
    assert_eq!(remedy, None, "no button may open what the hand does not hold");
    let right = CustodyFact::Opened { thing: Thing::wrapping(1), check: typed(two.one) };
    session.act_and_settle(fact(two.one, right)).unwrap();
}

#[test]
fn no_more_can_be_taken_out_than_there_is_and_the_remedy_takes_the_rest() {
    let two = Two::new();
    let mut session = two.bench.open();
    let take = |part| CustodyFact::Moved { from: Thing::wrapping(1), lot: 1, to: Holder::Tools, part };
    let (why, remedy) = refused(&two, &mut session, fact(two.one, take(Share::of(3, 4))));
    assert_eq!(why, "W1 holds 66.7 % of lot 1, and 75 % was to be taken");
    let rest = take(Share::from_millionths(666_667));
    assert_eq!(remedy, Some(Edit::Order(two.one, OrderEdit::Fact(rest.into()))));
    session.act_and_settle(Action::Edit(remedy.unwrap())).unwrap();
    let (why, remedy) = refused(&two, &mut session, fact(two.one, take(Share::of(1, 100))));
    assert_eq!(why, "W1 holds 0 % of lot 1, and 1 % was to be taken");
    assert_eq!(remedy, None);
}

#[test]
fn a_box_with_a_thing_missing_does_not_go() {
    let two = Two::new();
    two.bench.fact(two.one, CustodyFact::Closed { thing: Thing::wrapping(1), seal: None });
    let ticked = |thing| HomeFact::Ticked { thing, check: typed(two.one) };
    two.bench.fact(two.one, ticked(Thing::wrapping(1)));
    let mut session = two.bench.open();
    let (why, _) = refused(&two, &mut session, fact(two.one, HomeFact::Sent));
    assert_eq!(why, "not in the box yet: E1; tick each, or say that it is lost or left out");
    session.act_and_settle(fact(two.one, ticked(Thing::envelope(1)))).unwrap();
    session.act_and_settle(fact(two.one, HomeFact::NotPhotographed)).unwrap();
    session.act_and_settle(fact(two.one, HomeFact::Sent)).unwrap();
}

#[test]
fn a_box_with_a_spare_stone_missing_does_not_go() {
    use craft::fact::{Amount, Choice, FitFact, Hardness, LayerKind, MessageKind, PourFact};
    let two = Two::new();
    let (bench, tag) = (&two.bench, two.one);
    bench.change_sheet(tag, |sheet| {
        for (no, cell) in [(1, "A1"), (2, "A2")] {
            sheet.stones.push(crate::support::stone_sheet(no, cell));
        }
    });
    for (no, cell) in [(1, "A1"), (2, "A2")] {
        let mould = crate::support::id("oval-10x8");
        bench.fact(tag, PourFact::Begun { stone: no, mould, cell: cell.parse().unwrap() });
        let to = Holder::Thing(Thing::stone(no));
        bench.fact(tag, CustodyFact::Moved { from: Thing::wrapping(1), lot: 1, to, part: Share::of(1, 20) });
        let told = |fact: Fact| {
            let day = chrono::NaiveDate::from_ymd_opt(2026, 3, 1).unwrap();
            bench.edit(tag, OrderEdit::Told(day, fact)).unwrap();
        };
        let laid = PourFact::Laid {
            stone: no,
            layer: 1,
            kind: LayerKind::Material,
            thickness: craft::units::Length::from_mm(1.0),
            load: craft::units::Load::ZERO,
            amount: Amount::ToTheMark,
            bottle: crate::support::id("clear-casting"),
            pigment: None,
        };
        told(laid.into());
        told(PourFact::Felt { stone: no, layer: 1, hardness: Hardness::Hard }.into());
        told(PourFact::TakenOut { stone: no, place: Place::Kept(2) }.into());
    }
    bench.fact(tag, CustodyFact::Closed { thing: Thing::wrapping(1), seal: None });
    let sheet = craft::digest::Digest::of(b"a proof sheet");
    bench.fact(tag, ClientFact::ProofSent { stones: vec![1, 2], sheet });
    bench.fact(tag, ClientFact::MessageSent { about: MessageKind::Proof });
    bench.fact(tag, ClientFact::Chosen(Choice::Stone(1)));
    bench.fact(tag, FitFact::Set { stone: 1, piece: Thing::piece(1), place: Place::Kept(3) });
    for thing in [Thing::piece(1), Thing::wrapping(1), Thing::envelope(1)] {
        bench.fact(tag, HomeFact::Ticked { thing, check: typed(tag) });
    }
    let mut session = bench.open();
    let (why, _) = refused(&two, &mut session, fact(tag, HomeFact::Sent));
    assert_eq!(why, "not in the box yet: S2; tick each, or say that it is lost or left out");
    session
        .act_and_settle(fact(tag, HomeFact::Ticked { thing: Thing::stone(2), check: typed(tag) }))
        .unwrap();
    session.act_and_settle(fact(tag, HomeFact::NotPhotographed)).unwrap();
    session.act_and_settle(fact(tag, HomeFact::Sent)).unwrap();
}

#[test]
fn a_keep_back_stays_shut_until_the_client_has_said_yes() {
    let two = Two::new();
    two.bench.fact(two.one, CustodyFact::Closed { thing: Thing::wrapping(1), seal: None });
    let mut session = two.bench.open();
    let open = || fact(two.one, CustodyFact::Opened { thing: Thing::envelope(1), check: typed(two.one) });
    let (why, remedy) = refused(&two, &mut session, open());
    assert_eq!(why, "E1 is the keep-back; it is opened only after the client has said yes");
    let yes = CustodyFact::Released { thing: Thing::envelope(1) };
    assert_eq!(remedy, Some(Edit::Order(two.one, OrderEdit::Fact(yes.into()))));
    session.act_and_settle(Action::Edit(remedy.unwrap())).unwrap();
    session.act_and_settle(open()).unwrap();
}
