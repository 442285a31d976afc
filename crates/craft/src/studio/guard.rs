//! The guard against mix-ups that reaches beyond one order: the bench between clients, what goes over from one order of
//! a client to another, the scale that was read, and the client's word for what cannot be undone.

use std::fmt;

use crate::fact::{CustodyFact, Fact, LeftOut, Material, PourFact, Wish};
use crate::id::{DocId, ShelfId, Thing};
use crate::ledger::{BenchUse, Happened, Ledger};
use crate::moment::Moment;
use crate::reading::{Means, Reading};
use crate::refusal::Refusal;
use crate::scale::Trust;
use crate::shelf::What;
use crate::tag::Tag;
use crate::units::Mass;

use super::{Finding, Studio};

/// A lot that refers to another order's thing without that order having given it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Mixed {
    /// The order whose record says so.
    pub tag: Tag,
    /// Its lot.
    pub lot: u8,
    /// The order it is said to come from.
    pub of: Tag,
    /// What it is said to be there.
    pub thing: Thing,
    /// What does not fit.
    pub why: Mixing,
}

/// What does not fit about a lot from another order.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Mixing {
    /// There is no such order.
    NoOrder,
    /// It is another client's.
    OtherClient,
    /// That order has not passed it on to this one.
    NotPassedOn,
    /// It is taken over twice.
    Twice,
}

impl fmt::Display for Mixed {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Mixed { tag, lot, of, thing, why } = self;
        let why = match why {
            Mixing::NoOrder => "which is not in this studio",
            Mixing::OtherClient => "which is another client's",
            Mixing::NotPassedOn => "which has not passed it on",
            Mixing::Twice => "and so is another of its lots",
        };
        write!(f, "lot {lot} of order {tag} is said to be {thing} of order {of}, {why}")
    }
}

impl Studio {
    /// The order the bench was last used for, and whether it was cleared since.
    pub fn bench(&self) -> Option<(Tag, BenchUse)> {
        let used = self.orders.iter().filter_map(|(tag, held)| Some((*tag, held.bench()?)));
        last_of(used)
    }

    /// Between two clients the bench is cleared, and ticked as clear.
    pub(super) fn bench_is_clear(&self, wanted: Tag, at: Moment) -> Result<(), Refusal> {
        match self.bench_to_clear(wanted, at)? {
            Some(by) => Err(Refusal::BenchNotClear { by, wanted }),
            None => Ok(()),
        }
    }

    /// The order of another client whose material may still lie on the bench, before anything of `wanted` is opened;
    /// none where the bench is clear at the moment `at`, or the studio does not ask for it.
    ///
    /// # Errors
    /// [`Refusal::NoOrder`].
    pub fn bench_to_clear(&self, wanted: Tag, at: Moment) -> Result<Option<Tag>, Refusal> {
        if !self.policies.bench_clear {
            return Ok(None);
        }
        let client = self.order(wanted)?.client();
        // Not the newest use alone: where a clearing was struck, what lay there before it lies there still.
        let uses = self.orders.iter().filter_map(|(tag, held)| Some((tag, held, held.bench()?)));
        // A clearing that is still to come, written down while the clock was wrong, clears nothing of what is used now.
        let now = Happened { entry: u32::MAX, at, day: at.day() };
        let cleared = uses.clone().filter_map(|(.., bench)| bench.cleared_at);
        let cleared: Vec<Happened> = cleared.filter(|cleared| cleared.order(&now).is_le()).collect();
        let since = |last: &Happened| cleared.iter().any(|cleared| cleared.order(last).is_ge());
        let left =
            uses.filter(|(_, held, bench)| held.client() != client && !bench.cleared && !since(&bench.last));
        Ok(last_of(left.map(|(&by, _, bench)| (by, bench))).map(|(by, _)| by))
    }

    /// Both orders are there, and one client's.
    pub(super) fn same_client(&self, own: Tag, other: Tag) -> Result<(), Refusal> {
        let (mine, theirs) = (self.order(own)?, self.order(other)?);
        if mine.client() == theirs.client() { Ok(()) } else { Err(Refusal::OtherClient { own, other }) }
    }

    pub(super) fn was_passed_on(
        &self,
        tag: Tag,
        of: Tag,
        thing: Thing,
        material: Material,
    ) -> Result<(), Refusal> {
        self.same_client(tag, of)?;
        let other = self.order(of)?;
        let custody = &other.ledger.custody;
        let given = custody.things.get(&thing).is_some_and(|held| held.passed_to == Some(tag));
        let taken = self.order(tag)?.ledger.custody.lots.values().any(|lot| lot.before == Some((of, thing)));
        if !given || taken {
            return Err(Refusal::NotPassedOn { of, thing });
        }
        let mut holds = custody.contents(thing).filter_map(|(lot, _)| custody.lots.get(&lot));
        if holds.any(|lot| lot.material == material) {
            Ok(())
        } else {
            Err(Refusal::OtherMaterial { of, thing, material })
        }
    }

    /// A scale is tried before it is believed, reads no more than it carries, and no reading is surer than the scale. What
    /// is told of was read before.
    pub(super) fn scale_can_tell(
        &self,
        id: &ShelfId,
        reading: Reading<Mass>,
        told: bool,
    ) -> Result<(), Refusal> {
        let item = self.must_be(id, |what| matches!(what, What::Scale(_)), "a scale")?;
        self.must_be_in_use(id, told)?;
        let What::Scale(profile) = &item.what else { return Ok(()) };
        let least = profile.least_doubt();
        if reading.by != Means::Scale || reading.doubt < least {
            return Err(Refusal::TooSure { scale: id.clone(), least });
        }
        match profile.trust() {
            _ if told => Ok(()),
            Trust::Untried => Err(Refusal::ScaleUntried(id.clone())),
            Trust::Out => Err(Refusal::ScaleOut(id.clone())),
            Trust::Believed => match profile.most.filter(|_| !profile.carries(reading.value)) {
                Some(most) => Err(Refusal::TooHeavy { scale: id.clone(), most }),
                None => Ok(()),
            },
        }
    }

    /// After a strike, what rests on an entry of this order in another way than by its own record still stands: what
    /// another order took over, and the client's word for what was destroyed.
    pub(super) fn words_stand(&self, tag: Tag, then: &Ledger) -> Result<(), Refusal> {
        let now = self.order(tag)?;
        for (by, other) in self.awake() {
            for (of, thing) in other.ledger.custody.lots.values().filter_map(|lot| lot.before) {
                let given = |ledger: &Ledger| {
                    ledger.custody.things.get(&thing).is_some_and(|held| held.passed_to == Some(by))
                };
                if of == tag && given(&now.ledger) && !given(then) {
                    return Err(Refusal::TakenOver { thing, by });
                }
            }
        }
        let unasked = |ledger: &Ledger, thing: Thing| ledger.client.wish(thing) != Some(Wish::Destroy);
        match destroyed(then).find(|thing| unasked(then, *thing) && !unasked(&now.ledger, *thing)) {
            Some(thing) => Err(Refusal::InstructionStays(thing)),
            None => Ok(()),
        }
    }

    /// A record that refers to another's lot is not written on, except to strike what is wrong in it and to say that
    /// what is at hand was made safe: otherwise a packet would stay open, and the whole studio with it.
    pub(super) fn nothing_is_mixed(&self, tag: Tag, fact: &Fact) -> Result<(), Refusal> {
        if matches!(fact, Fact::Struck { .. }) || makes_safe(fact) {
            return Ok(());
        }
        match self.mixed(tag).into_iter().next() {
            Some(mixed) => Err(Refusal::Mixed(Box::new(mixed))),
            None => Ok(()),
        }
    }

    /// Every lot of an order that refers to another order's thing without that order having given it.
    fn mixed(&self, tag: Tag) -> Vec<Mixed> {
        let Some(held) = self.orders.get(&tag) else { return Vec::new() };
        let lots = &held.ledger.custody.lots;
        let claims = lots.iter().filter_map(|(no, lot)| lot.before.map(|(of, thing)| (*no, of, thing)));
        let claim = |(lot, of, thing): (u8, Tag, Thing)| {
            let why = match self.orders.get(&of) {
                // Its file could not be read, so nothing can be said about it.
                None if self.locked.contains_key(&DocId::Order(of)) => return None,
                None => Mixing::NoOrder,
                Some(other) if other.client() != held.client() => Mixing::OtherClient,
                Some(other) => {
                    let given = other.ledger.custody.things.get(&thing);
                    let earlier = lots.range(..lot).any(|(_, lot)| lot.before == Some((of, thing)));
                    if given.is_none_or(|given| given.passed_to != Some(tag)) {
                        Mixing::NotPassedOn
                    } else if earlier {
                        Mixing::Twice
                    } else {
                        return None;
                    }
                }
            };
            Some(Mixed { tag, lot, of, thing, why })
        };
        claims.filter_map(claim).collect()
    }

    /// What does not fit between the orders of a client, and between a record and its sheet.
    pub(super) fn custody_findings(&self) -> Vec<Finding> {
        let mut found = Vec::new();
        for (tag, held) in self.awake() {
            let custody = &held.ledger.custody;
            found.extend(self.mixed(tag).into_iter().map(Finding::Mixed));
            for (&thing, kept) in &custody.things {
                let Some(to) = kept.passed_to else { continue };
                let taken = self.orders.get(&to).is_some_and(|other| {
                    other.ledger.custody.lots.values().any(|lot| lot.before == Some((tag, thing)))
                });
                if !taken && !self.locked.contains_key(&DocId::Order(to)) {
                    found.push(Finding::NotTakenOver { tag, thing, to });
                }
            }
            for stone in held.order.sheet.client_stones() {
                // Before anything has come, what is planned with is not there yet.
                let begun = held.ledger.pours.stones.contains_key(&stone.no) && !custody.lots.is_empty();
                let missing = |lot: &u8| *lot == 0 || (begun && !custody.lots.contains_key(lot));
                let lots = stone.shares.iter().map(|share| share.lot).filter(missing);
                found.extend(lots.map(|lot| Finding::UnknownLot { tag, stone: stone.no, lot }));
            }
            let unasked = destroyed(&held.ledger)
                .filter(|thing| held.ledger.client.wish(*thing) != Some(Wish::Destroy));
            found.extend(unasked.map(|thing| Finding::NoInstruction { tag, thing }));
        }
        found
    }
}

/// The use of the bench that was written down last.
fn last_of(uses: impl Iterator<Item = (Tag, BenchUse)>) -> Option<(Tag, BenchUse)> {
    uses.reduce(|one, other| if other.1.last.order(&one.1.last).is_ge() { other } else { one })
}

/// True of what only says that something was closed, put down, put out or missed; nothing comes into a hand by it.
const fn makes_safe(fact: &Fact) -> bool {
    matches!(
        fact,
        Fact::Custody(
            CustodyFact::Closed { .. }
                | CustodyFact::Placed { .. }
                | CustodyFact::BenchCleared
                | CustodyFact::Lost { .. }
        ) | Fact::Pour(PourFact::LampOff { .. } | PourFact::Cooled { .. } | PourFact::Felt { .. })
    )
}

/// What was destroyed on the client's word.
fn destroyed(ledger: &Ledger) -> impl Iterator<Item = Thing> {
    let gone =
        ledger.custody.things.iter().filter(|(_, held)| held.left_out == Some(LeftOut::DestroyedOnRequest));
    gone.map(|(thing, _)| *thing)
}

#[cfg(test)]
mod tests;
