//! Which things go home in which parcel, where an order goes home in several.

use chrono::NaiveDate;
use craft::fact::{Fact, HomeFact, PaperKind};
use craft::ledger::Held as Kept;
use craft::place::Place;
use craft::studio::Held;

use super::record::standing;

/// One box: the one that is packed now, or where nothing is left to be packed, the one that left last.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct HomeBox {
    /// Every parcel that has left so far: the entry that sent it, and the day.
    left: Vec<(u32, NaiveDate)>,
    /// The entry that sent this one; none while it is packed.
    sent: Option<u32>,
}

impl HomeBox {
    /// The box of an order as it stands.
    pub fn now(held: &Held) -> Self {
        let sent = |fact: &Fact| matches!(fact, Fact::Home(HomeFact::Sent | HomeFact::SentPart));
        let left = standing(held).into_iter().filter(|(_, entry)| sent(&entry.fact));
        let left: Vec<(u32, NaiveDate)> = left.map(|(number, entry)| (number, entry.day())).collect();
        let ledger = &held.ledger;
        let boxed = ledger.custody.things.values().any(|kept| kept.place == Place::Box && !kept.lost);
        let packed = boxed || !ledger.to_pack().is_empty();
        let sent = left.last().map(|(number, _)| *number).filter(|_| !packed);
        Self { left, sent }
    }

    /// The parcel that left before this box; nothing of it belongs to this one.
    pub fn after(&self) -> u32 {
        let earlier = self.left.iter().rev().find(|(number, _)| Some(*number) != self.sent);
        earlier.map_or(0, |(number, _)| *number)
    }

    /// The day this box left; none while it is packed.
    pub fn sent_on(&self) -> Option<NaiveDate> {
        self.left.iter().find(|(number, _)| Some(*number) == self.sent).map(|(_, day)| *day)
    }

    /// True where something went home before this box.
    pub fn is_a_later_one(&self) -> bool {
        self.after() > 0
    }

    /// True where a thing is in this box.
    pub fn holds(&self, kept: &Kept) -> bool {
        match self.sent {
            None => kept.place == Place::Box,
            Some(_) => has_left(kept) && kept.sent_with == self.sent,
        }
    }

    /// The day a thing went home in an earlier parcel; none where it did not.
    pub fn went_before(&self, kept: &Kept) -> Option<NaiveDate> {
        if !has_left(kept) || self.holds(kept) {
            return None;
        }
        self.left.iter().find(|(number, _)| Some(*number) == kept.sent_with).map(|(_, day)| *day)
    }
}

const fn has_left(kept: &Kept) -> bool {
    matches!(kept.place, Place::Post | Place::Home)
}

/// True where a paper was written: a packing list is that of one box, and says nothing about the next.
pub fn is_issued(held: &Held, kind: PaperKind) -> bool {
    let after = if kind == PaperKind::Packing { HomeBox::now(held).after() } else { 0 };
    held.ledger.home.papers.iter().any(|(entry, of, _)| *of == kind && *entry > after)
}
