//! Material in the hand: what is opened, shared out, put in, put away and packed, of one order at a time.
//!
//! A page knows things by their labels, and a label such as `E1` says nothing about whose envelope it is. Here one order
//! is taken into a [`Hand`], the labels are looked up in it, and what comes of it is an edit of that
//! order alone. Within one of these functions a thing of a second order cannot be named: it would not compile. Nothing
//! in the window writes such a fact in another way.

use craft::fact::{Check, CustodyFact, Fact, Seal};
use craft::hand::{Hand, Split, in_hand};
use craft::id::{Thing, ThingKind};
use craft::ledger::Unfit;
use craft::moment::Moment;
use craft::place::Place;
use craft::studio::{Edit, Held, OrderEdit, Studio};
use craft::tag::Tag;
use craft::units::Share;

use crate::pouring::came_from;
use crate::typed::Amount;
use crate::weighing::came_weighed;

/// Work on one order; a label it does not have is said in words.
fn handled<R>(held: &Held, work: impl for<'o> FnOnce(Hand<'o>) -> Result<R, Unfit>) -> Result<R, String> {
    in_hand(&held.ledger, work).map_err(|why| why.to_string())
}

/// A packet, envelope or bag was opened, after its tag was compared.
///
/// # Errors
/// The order has no such thing.
pub fn open(held: &Held, thing: Thing, check: Check) -> Result<Edit, String> {
    handled(held, |hand| Ok(hand.open(hand.pick(thing)?, check)))
}

/// A share of a lot went from a packet into a stone.
///
/// # Errors
/// The order has no such packet or stone.
pub fn put_in(held: &Held, (from, lot): (Thing, u8), stone: u8, part: Share) -> Result<Edit, String> {
    handled(held, |hand| Ok(hand.take(hand.pick(from)?, lot, hand.pick(Thing::stone(stone))?, part)))
}

/// Part of a lot went into the next free envelope.
///
/// # Errors
/// The order has no such packet.
pub fn split_off(held: &Held, (from, lot): (Thing, u8), split: Split) -> Result<Edit, String> {
    handled(held, |hand| Ok(hand.split_off(hand.pick(from)?, lot, hand.new_envelope(), split)))
}

/// Part of a lot went into the next free envelope; where it was weighed on the way, that is written down too, so that no
/// weighing is lost for a share of it.
///
/// # Errors
/// The order has no such packet.
pub fn split_off_weighed(
    studio: &Studio,
    held: &Held,
    from: (Thing, u8),
    (split, amount): (Split, Amount),
) -> Result<Vec<Edit>, String> {
    let into = held.ledger.custody.next_free(ThingKind::Envelope);
    let weighed = match amount {
        Amount::Mass(reading) => Some(came_weighed(studio, into, reading)),
        Amount::Share(_) => None,
    };
    let weighed = weighed.map(|fact| Edit::Order(held.order.tag, OrderEdit::Fact(fact.into())));
    Ok([split_off(held, from, split)?].into_iter().chain(weighed).collect())
}

/// A packet is opened and part of its lot goes into the next free envelope, as one.
///
/// # Errors
/// The order has no such packet.
pub fn open_and_split(
    held: &Held,
    (from, lot): (Thing, u8),
    check: Option<Check>,
    split: Split,
) -> Result<Vec<Edit>, String> {
    handled(held, |hand| {
        let from = hand.pick(from)?;
        let opened = check.map(|check| hand.open(from, check));
        Ok(opened.into_iter().chain([hand.split_off(from, lot, hand.new_envelope(), split)]).collect())
    })
}

/// Part of a lot was left on the tools.
///
/// # Errors
/// The order has no such packet.
pub fn leave_on_tools(held: &Held, (from, lot): (Thing, u8), part: Share) -> Result<Edit, String> {
    handled(held, |hand| Ok(hand.leave_on_tools(hand.pick(from)?, lot, part)))
}

/// What mends a refusal, done whole: a packet that is closed so that another may be opened goes back to where it came
/// from, and does not stay on the bench beside it.
pub fn mending(studio: &Studio, remedy: &Edit) -> Vec<Edit> {
    closing(studio, remedy)
        .and_then(|(held, thing, place)| put_away(held, thing, None, place).ok())
        .unwrap_or_else(|| vec![remedy.clone()])
}

/// The packet that an edit closes, and where it came from.
pub(crate) fn closing<'a>(studio: &'a Studio, edit: &Edit) -> Option<(&'a Held, Thing, Place)> {
    let Edit::Order(tag, OrderEdit::Fact(Fact::Custody(CustodyFact::Closed { thing, seal: None }))) = edit
    else {
        return None;
    };
    let held = studio.orders().get(tag)?;
    Some((held, *thing, came_from(studio, held, *thing)))
}

/// A packet was closed again, with a seal or without, and put where it belongs.
///
/// # Errors
/// The order has no such thing.
pub fn put_away(held: &Held, thing: Thing, seal: Option<Seal>, place: Place) -> Result<Vec<Edit>, String> {
    let here = held.ledger.custody.things.get(&thing).map(|kept| &kept.place);
    let moves = here != Some(&place);
    handled(held, |hand| {
        let thing = hand.pick(thing)?;
        let placed = moves.then(|| hand.put(thing, place));
        Ok([hand.close(thing, seal)].into_iter().chain(placed).collect())
    })
}

/// A thing went into the box, after its tag was compared.
///
/// # Errors
/// The order has no such thing.
pub fn tick(held: &Held, thing: Thing, check: Check) -> Result<Edit, String> {
    handled(held, |hand| Ok(hand.tick(hand.pick(thing)?, check)))
}

/// What is held for a client in one order goes over to another order of theirs: it is passed on there, and is the next lot
/// here. Two records are written, each in its own words; the door holds them against each other. Where the first of them
/// is written already, only the second is. Both are tried before either is handed out, so that none is left halfway.
///
/// # Errors
/// The thing is not there, or holds nothing, or the studio takes one of the two not.
pub fn take_over(
    studio: &Studio,
    (of, thing): (Tag, Thing),
    own: Tag,
    place: Place,
    now: Moment,
) -> Result<Vec<Edit>, String> {
    let say = |why: craft::refusal::Refusal| why.to_string();
    let (from, to) = (studio.order(of).map_err(say)?, studio.order(own).map_err(say)?);
    let kept = from.ledger.custody.thing(thing).map_err(|why| why.to_string())?;
    let lots: Vec<u8> = from.ledger.custody.contents(thing).map(|(lot, _)| lot).collect();
    let [lot] = lots.as_slice() else {
        return Err(format!("{thing} holds not one material but {}; it goes home instead", lots.len()));
    };
    let before =
        from.ledger.custody.lots.get(lot).ok_or_else(|| format!("nothing came that {thing} holds"))?;
    let next = to.ledger.custody.lots.keys().max().copied().unwrap_or(0).saturating_add(1);
    let taken = CustodyFact::TakenOver {
        lot: next,
        material: before.material,
        of,
        thing,
        seal: kept.seal,
        place,
        keep_back: studio.policies().keep_back,
    };
    let edit = |tag, fact: CustodyFact| Edit::Order(tag, OrderEdit::Fact(fact.into()));
    let passed_on = (kept.passed_to != Some(own)).then(|| edit(of, CustodyFact::PassedOn { thing, to: own }));
    let edits: Vec<Edit> = passed_on.into_iter().chain([edit(own, taken)]).collect();
    let mut tried = studio.clone();
    for edit in edits.iter().cloned() {
        tried.apply(edit, now).map_err(say)?;
    }
    Ok(edits)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::present::sample::bench;
    use craft::id::DocId;
    use craft::stage::Stage;

    #[test]
    fn what_is_done_by_hand_is_written_into_the_record_of_its_own_order() {
        let mut bench = bench(Stage::Here);
        let held = bench.studio.order(bench.tag).unwrap().clone();
        let (wrapping, check) = (Thing::wrapping(1), bench.check());
        let place = Place::Kept(1);
        let split = Split { part: Share::of(1, 10), keep_back: false, seal: None, place: place.clone() };
        let mut edits = open_and_split(&held, (wrapping, 1), Some(check), split).unwrap();
        edits.push(leave_on_tools(&held, (wrapping, 1), Share::of(1, 100)).unwrap());
        edits.extend(put_away(&held, wrapping, Some(Seal(7)), place).unwrap());
        let now = bench.now();
        for edit in edits {
            assert_eq!(edit.doc(), DocId::Order(bench.tag));
            bench.studio.apply(edit, now).unwrap();
        }
        let custody = &bench.studio.order(bench.tag).unwrap().ledger.custody;
        let has = |thing| custody.share(craft::fact::Holder::Thing(thing), 1);
        assert_eq!(has(Thing::envelope(2)), Share::of(1, 10), "the first envelope is the keep-back");
        assert_eq!(custody.things[&wrapping].seal, Some(Seal(7)));
        assert!(!custody.things[&wrapping].open);
    }

    #[test]
    fn a_packet_that_is_closed_for_another_goes_back_to_where_it_came_from() {
        let mut bench = bench(Stage::Here);
        let wrapping = Thing::wrapping(1);
        let place = |bench: &crate::present::sample::Bench| {
            bench.studio.order(bench.tag).unwrap().ledger.custody.things[&wrapping].place.clone()
        };
        let before = Place::Kept(2);
        let now = bench.now();
        let placed = CustodyFact::Placed { thing: wrapping, place: before.clone() };
        bench.studio.apply(Edit::Order(bench.tag, OrderEdit::Fact(placed.into())), now).unwrap();
        let (held, check) = (bench.studio.order(bench.tag).unwrap().clone(), bench.check());
        let now = bench.now();
        bench.studio.apply(open(&held, wrapping, check).unwrap(), now).unwrap();
        let closed = CustodyFact::Closed { thing: wrapping, seal: None };
        let remedy = Edit::Order(bench.tag, OrderEdit::Fact(closed.into()));
        let said = crate::present::remedy_words::remedy(&remedy, &bench.studio);
        assert!(said.contains("put it back"), "{said}");
        for edit in mending(&bench.studio, &remedy) {
            let now = bench.now();
            bench.studio.apply(edit, now).unwrap();
        }
        assert_eq!(place(&bench), before);
        assert!(!bench.studio.order(bench.tag).unwrap().ledger.custody.things[&wrapping].open);
        // Any other remedy is what it is.
        let other = Edit::Order(bench.tag, OrderEdit::Fact(CustodyFact::BenchCleared.into()));
        assert_eq!(mending(&bench.studio, &other), [other]);
    }

    #[test]
    fn what_was_weighed_on_the_way_into_an_envelope_is_written_down_with_its_share() {
        use craft::reading::{Means, Reading};
        use craft::units::Mass;
        let mut bench = bench(Stage::Here);
        let held = bench.studio.order(bench.tag).unwrap().clone();
        let (wrapping, check) = (Thing::wrapping(1), bench.check());
        let split = |part| Split { part, keep_back: false, seal: None, place: Place::Kept(1) };
        let reading = Reading { value: Mass::from_mg(70.0), doubt: Mass::from_mg(0.9), by: Means::Scale };
        let mut edits = vec![open(&held, wrapping, check).unwrap()];
        let taken = (split(Share::of(1, 6)), Amount::Mass(reading));
        edits.extend(split_off_weighed(&bench.studio, &held, (wrapping, 1), taken).unwrap());
        for edit in edits {
            let now = bench.now();
            bench.studio.apply(edit, now).unwrap();
        }
        let held = bench.studio.order(bench.tag).unwrap().clone();
        let weighed = held.ledger.custody.weighed.last().unwrap();
        assert_eq!((weighed.1, weighed.2.value), (Thing::envelope(2), Mass::from_mg(70.0)));
        let by_share = (split(Share::of(1, 20)), Amount::Share(Share::of(1, 20)));
        let edits = split_off_weighed(&bench.studio, &held, (wrapping, 1), by_share).unwrap();
        assert_eq!(edits.len(), 1, "a share by eye is no weighing");
    }

    #[test]
    fn what_is_held_between_orders_goes_over_in_both_records_and_only_within_a_client() {
        let mut bench = bench(Stage::Here);
        let thing = Thing::wrapping(1);
        bench.record(craft::fact::HomeFact::LeftOut { thing, why: craft::fact::LeftOut::HeldForClient });
        let mut open = |number: u32, client: &str| {
            let tag = (number..).find_map(Tag::from_number).unwrap();
            let mut wanted = crate::present::sample::sheet();
            wanted.stones = Vec::new();
            let open = OrderEdit::Open { client: client.parse().unwrap(), sheet: Box::new(wanted) };
            let now = bench.now();
            bench.studio.apply(Edit::Order(tag, open), now).map(|_| tag)
        };
        let own = open(1_000, "ida-lund").unwrap();
        let now = bench.now();
        // Nothing is passed on where it would not be taken over: that place has no name.
        let why = take_over(&bench.studio, (bench.tag, thing), own, Place::Kept(99), now).unwrap_err();
        assert!(why.contains("99"), "{why}");
        let edits = take_over(&bench.studio, (bench.tag, thing), own, Place::Kept(1), now).unwrap();
        assert_eq!(edits.len(), 2);
        for edit in edits {
            bench.studio.apply(edit, now).unwrap();
        }
        let taken = &bench.studio.order(own).unwrap().ledger.custody;
        assert_eq!(taken.lots[&1].before, Some((bench.tag, thing)));
        assert!(!bench.studio.order(bench.tag).unwrap().ledger.custody.things[&thing].is_here());
        assert!(bench.studio.findings().is_empty(), "{:?}", bench.studio.findings());
        // A keepsake holds nothing that could go over.
        assert!(
            take_over(
                &bench.studio,
                (bench.tag, Thing { kind: ThingKind::Keepsake, no: 1 }),
                own,
                Place::Bench,
                now
            )
            .is_err()
        );
    }

    #[test]
    fn a_label_that_the_order_does_not_have_is_said_and_nothing_is_written() {
        let bench = bench(Stage::Here);
        let held = bench.studio.order(bench.tag).unwrap();
        let strange = Thing::envelope(9);
        let why = open(held, strange, bench.check()).unwrap_err();
        assert!(why.contains("E9"), "{why}");
        assert!(put_in(held, (Thing::wrapping(1), 1), 9, Share::of(1, 10)).is_err());
        assert!(tick(held, strange, bench.check()).is_err());
        let split = Split { part: Share::of(1, 10), keep_back: false, seal: None, place: Place::Bench };
        assert!(split_off(held, (strange, 1), split).is_err());
    }
}
