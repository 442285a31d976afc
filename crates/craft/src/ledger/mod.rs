//! What the facts add up to: balance, places, build record, waits and stage are folds over the log, never stored.

mod client;
mod custody;
mod fit;
mod home;
mod pour;
mod practice;
#[cfg(test)]
mod tests;
mod unfit;

use std::cmp::Ordering;
use std::collections::BTreeSet;

use chrono::NaiveDate;
use serde::{Deserialize, Serialize};

use crate::fact::Fact;
use crate::log::{Entry, Log};
use crate::moment::Moment;
use crate::tag::Tag;

pub use client::{ClientSide, Round};
pub use custody::{BenchUse, Custody, Held, Judged, Lot, Role};
pub use fit::{FitSide, StoneFit};
pub use home::HomeSide;
pub use pour::{Feel, Layer, Lit, Pours, Stone};
pub use unfit::Unfit;
pub(crate) use unfit::percent;

/// The state of one order after some entries.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Ledger {
    /// The order.
    pub tag: Tag,
    /// What passed with the client.
    pub client: ClientSide,
    /// Where everything entrusted is.
    pub custody: Custody,
    /// What was poured.
    pub pours: Pours,
    /// How the stones sit.
    pub fit: FitSide,
    /// Packing and after.
    pub home: HomeSide,
}

/// Something that happened: which entry says so, when that was written down, and the day it was.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Happened {
    /// The entry.
    pub entry: u32,
    /// When it was written down.
    pub at: Moment,
    /// The day it happened, which is another one where it was told of later.
    pub day: NaiveDate,
}

impl Happened {
    /// Which of two entries was written down first. Within one run of the computer its own count tells, which no change of
    /// the clock bends; between two runs there is only the clock. So of three entries that were written around a change
    /// of the clock and a restart each may come before the next.
    pub fn order(&self, other: &Self) -> Ordering {
        let by_time = if self.at.boot == other.at.boot {
            self.at.since_boot_ms.cmp(&other.at.since_boot_ms)
        } else {
            self.at.utc_ms.cmp(&other.at.utc_ms)
        };
        by_time.then(self.entry.cmp(&other.entry))
    }

    /// The day it happened.
    pub const fn day(&self) -> NaiveDate {
        self.day
    }
}

/// The entry being written down.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Stamp {
    pub(crate) number: u32,
    pub(crate) at: Moment,
    /// The day it happened.
    pub(crate) day: NaiveDate,
    /// Told of later: the order of work cannot be enforced any more, only that the sums are right.
    pub(crate) told: bool,
}

impl Stamp {
    pub(crate) const fn happened(self) -> Happened {
        Happened { entry: self.number, at: self.at, day: self.day }
    }
}

impl Ledger {
    /// Before any fact.
    pub fn new(tag: Tag) -> Self {
        Self {
            tag,
            client: ClientSide::default(),
            custody: Custody::default(),
            pours: Pours::default(),
            fit: FitSide::default(),
            home: HomeSide::default(),
        }
    }

    /// Folds a whole record, leaving out what was struck.
    ///
    /// # Errors
    /// The number of the first entry that does not fit, and why.
    pub fn replay(tag: Tag, log: &Log) -> Result<Self, (u32, Unfit)> {
        let mut ledger = Self::new(tag);
        let struck = struck(log);
        for (number, entry) in log.entries() {
            if let Fact::Struck { entry: target, .. } = entry.fact {
                not_ahead(entry).map_err(|why| (number, why))?;
                may_strike(log, number, target).map_err(|why| (number, why))?;
            } else if struck.contains(&number) {
                ledger.custody.struck(&entry.fact);
            } else {
                ledger.advance(number, entry).map_err(|why| (number, why))?;
            }
        }
        Ok(ledger)
    }

    /// Takes one fact in. Nothing changes where it is refused.
    ///
    /// # Errors
    /// Why the fact does not fit.
    pub fn step(&mut self, number: u32, entry: &Entry) -> Result<(), Unfit> {
        *self = self.after(number, entry)?;
        Ok(())
    }

    /// The state after one fact more.
    ///
    /// # Errors
    /// As [`Ledger::step`].
    pub fn after(&self, number: u32, entry: &Entry) -> Result<Self, Unfit> {
        let mut next = self.clone();
        next.advance(number, entry)?;
        Ok(next)
    }

    /// As [`Ledger::step`], but where the fact is refused the ledger may be half changed: for folds, which end there.
    fn advance(&mut self, number: u32, entry: &Entry) -> Result<(), Unfit> {
        let stamp = Stamp { number, at: entry.at, day: entry.day(), told: entry.told.is_some() };
        not_ahead(entry)?;
        practice::must_stay_the_makers(&entry.fact)?;
        match &entry.fact {
            Fact::Client(fact) => self.step_client(fact, stamp),
            Fact::Custody(fact) => self.step_custody(fact, stamp),
            Fact::Pour(fact) => self.step_pour(fact, stamp),
            Fact::Fit(fact) => self.step_fit(fact, stamp),
            Fact::Home(fact) => self.step_home(fact, stamp),
            Fact::Struck { entry, .. } => Err(Unfit::NoSuchEntry(*entry)),
        }
    }
}

/// What is told of has happened already.
pub(crate) fn not_ahead(entry: &Entry) -> Result<(), Unfit> {
    match entry.told.filter(|day| *day > entry.at.day()) {
        Some(day) => Err(Unfit::Ahead(day)),
        None => Ok(()),
    }
}

/// The numbers of all entries that were struck.
pub fn struck(log: &Log) -> BTreeSet<u32> {
    log.entries()
        .filter_map(|(_, entry)| match entry.fact {
            Fact::Struck { entry, .. } => Some(entry),
            _ => None,
        })
        .collect()
}

/// Whether entry `number` may strike entry `target`: it must stand before it, and be neither a strike nor struck.
fn may_strike(log: &Log, number: u32, target: u32) -> Result<(), Unfit> {
    let strikes = |entry: &Entry| matches!(entry.fact, Fact::Struck { .. });
    let before = target < number && log.entry(target).is_some_and(|entry| !strikes(entry));
    let again = log.entries().any(|(other, entry)| {
        other < number && matches!(entry.fact, Fact::Struck { entry, .. } if entry == target)
    });
    match (before, again) {
        (true, false) => Ok(()),
        (true, true) => Err(Unfit::StruckBefore(target)),
        (false, _) => Err(Unfit::NoSuchEntry(target)),
    }
}

/// The state after striking `target`, as if entry `number` said so.
///
/// # Errors
/// [`Unfit::RestsOnIt`] names the first later entry that would no longer fit.
pub(crate) fn strike(tag: Tag, log: &Log, target: u32) -> Result<Ledger, Unfit> {
    may_strike(log, log.len() + 1, target)?;
    let mut left_out = struck(log);
    left_out.insert(target);
    let mut ledger = Ledger::new(tag);
    for (number, entry) in log.entries() {
        if matches!(entry.fact, Fact::Struck { .. }) {
            continue;
        }
        if left_out.contains(&number) {
            ledger.custody.struck(&entry.fact);
            continue;
        }
        ledger
            .advance(number, entry)
            .map_err(|why| Unfit::RestsOnIt { later: number, why: Box::new(why) })?;
    }
    Ok(ledger)
}
