//! One order in the hand: its things carry their order in their type, so that no edit can be made of two orders'.
//!
//! A label such as `E1` says nothing about whose envelope it is; every order has one. Whoever works on several orders
//! at a time takes each into a hand of its own: [`in_hand`] lends a [`Hand`] and things picked from it are [`Mine`],
//! both branded by a lifetime that no other hand shares. What the hand writes is an [`Edit`] of its own order.
//!
//! ```
//! use craft::hand::in_hand;
//! use craft::id::Thing;
//! use craft::ledger::Ledger;
//! # let tag: craft::tag::Tag = "A2B-C3H".parse().unwrap();
//! # let ledger = Ledger::new(tag);
//! in_hand(&ledger, |hand| {
//!     let envelope = hand.pick(Thing::envelope(1)).ok()?;
//!     Some(hand.close(envelope, None))
//! });
//! ```
//!
//! Taking from one order's envelope into another order's stone is no sentence of this language:
//!
//! ```compile_fail
//! use craft::fact::Holder;
//! use craft::hand::in_hand;
//! use craft::id::Thing;
//! use craft::ledger::Ledger;
//! use craft::units::Share;
//! fn mix(one: &Ledger, other: &Ledger) {
//!     in_hand(one, |hand| {
//!         in_hand(other, |second| {
//!             let from = hand.pick(Thing::envelope(1)).unwrap();
//!             let to = second.pick(Thing::stone(1)).unwrap();
//!             hand.take(from, 1, to, Share::of(1, 10));
//!         });
//!     });
//! }
//! ```

use std::cell::Cell;
use std::fmt;
use std::marker::PhantomData;

use crate::fact::{Check, CustodyFact, Fact, Holder, HomeFact, Seal};
use crate::id::{Thing, ThingKind};
use crate::ledger::{Ledger, Unfit};
use crate::place::Place;
use crate::studio::{Edit, OrderEdit};
use crate::tag::Tag;
use crate::units::Share;

/// A lifetime that fits no other: it may neither grow nor shrink.
type Brand<'o> = PhantomData<Cell<&'o ()>>;

/// One order, lent to a piece of work.
#[derive(Clone, Copy)]
pub struct Hand<'o> {
    ledger: &'o Ledger,
    brand: Brand<'o>,
}

/// A thing of the order in the hand.
#[derive(Clone, Copy, PartialEq, Eq)]
pub struct Mine<'o> {
    tag: Tag,
    thing: Thing,
    brand: Brand<'o>,
}

impl fmt::Debug for Hand<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} in hand", self.ledger.tag)
    }
}

impl fmt::Debug for Mine<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(self, f)
    }
}

impl fmt::Display for Mine<'_> {
    /// As it is written on the thing: the tag, then the label.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} {}", self.tag, self.thing)
    }
}

impl Mine<'_> {
    /// The label within the order.
    pub fn thing(self) -> Thing {
        self.thing
    }

    /// The order it belongs to.
    pub fn tag(self) -> Tag {
        self.tag
    }
}

/// What goes into a new envelope, and where that is put.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Split {
    /// How much of the lot.
    pub part: Share,
    /// It is the keep-back.
    pub keep_back: bool,
    /// The seal put on.
    pub seal: Option<Seal>,
    /// Where the envelope is put.
    pub place: Place,
}

/// Lends one order to a piece of work. What is picked from it cannot leave the work, nor be used with another order.
pub fn in_hand<R>(ledger: &Ledger, work: impl for<'o> FnOnce(Hand<'o>) -> R) -> R {
    work(Hand { ledger, brand: PhantomData })
}

impl<'o> Hand<'o> {
    /// The order's tag.
    pub fn tag(self) -> Tag {
        self.ledger.tag
    }

    /// A thing of this order.
    ///
    /// # Errors
    /// [`Unfit::UnknownThing`] where it has no such thing.
    pub fn pick(self, thing: Thing) -> Result<Mine<'o>, Unfit> {
        self.ledger.custody.thing(thing)?;
        Ok(self.mine(thing))
    }

    /// The next free envelope of this order.
    pub fn new_envelope(self) -> Mine<'o> {
        self.mine(self.ledger.custody.next_free(ThingKind::Envelope))
    }

    fn mine(self, thing: Thing) -> Mine<'o> {
        Mine { tag: self.ledger.tag, thing, brand: PhantomData }
    }

    fn writes(self, fact: impl Into<Fact>) -> Edit {
        Edit::Order(self.ledger.tag, OrderEdit::Fact(fact.into()))
    }

    /// Opens a thing, its tag read off it.
    pub fn open(self, thing: Mine<'o>, check: Check) -> Edit {
        self.writes(CustodyFact::Opened { thing: thing.thing, check })
    }

    /// Closes a thing, with a seal or without.
    pub fn close(self, thing: Mine<'o>, seal: Option<Seal>) -> Edit {
        self.writes(CustodyFact::Closed { thing: thing.thing, seal })
    }

    /// Puts a thing somewhere.
    pub fn put(self, thing: Mine<'o>, place: Place) -> Edit {
        self.writes(CustodyFact::Placed { thing: thing.thing, place })
    }

    /// Takes part of a lot from one thing into another of the same order.
    pub fn take(self, from: Mine<'o>, lot: u8, to: Mine<'o>, part: Share) -> Edit {
        let to = Holder::Thing(to.thing);
        self.writes(CustodyFact::Moved { from: from.thing, lot, to, part })
    }

    /// Takes part of a lot out of a thing into a new envelope of the same order.
    pub fn split_off(self, from: Mine<'o>, lot: u8, into: Mine<'o>, split: Split) -> Edit {
        let Split { part, keep_back, seal, place } = split;
        let (from, into) = (from.thing, into.thing);
        self.writes(CustodyFact::SplitOff { from, lot, into, part, keep_back, seal, place })
    }

    /// Part of a lot was left on the tools.
    pub fn leave_on_tools(self, from: Mine<'o>, lot: u8, part: Share) -> Edit {
        self.writes(CustodyFact::Moved { from: from.thing, lot, to: Holder::Tools, part })
    }

    /// Ticks a thing into the box, its tag read off it.
    pub fn tick(self, thing: Mine<'o>, check: Check) -> Edit {
        self.writes(HomeFact::Ticked { thing: thing.thing, check })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing::*;

    #[test]
    fn what_is_written_with_a_hand_is_an_edit_of_its_own_order() {
        let mut bench = Bench::unpacked();
        let (close, label) = in_hand(&bench.held().ledger, |hand| {
            let wrapping = hand.pick(Thing::wrapping(1)).unwrap();
            assert_eq!((wrapping.thing(), wrapping.tag()), (Thing::wrapping(1), tag(0)));
            assert_eq!(hand.new_envelope().thing(), Thing::envelope(2), "the first is the keep-back");
            (hand.close(wrapping, None), wrapping.to_string())
        });
        assert_eq!(close, Edit::Order(tag(0), OrderEdit::Fact(closed(Thing::wrapping(1)).into())));
        assert_eq!(label, format!("{} W1", tag(0)));
        bench.edit(close).unwrap();
        let unknown = in_hand(&bench.held().ledger, |hand| hand.pick(Thing::envelope(9)).err());
        assert_eq!(unknown, Some(Unfit::UnknownThing(Thing::envelope(9))));
    }
}
