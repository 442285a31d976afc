//! Which things go home in which parcel, where an order goes home in several.

use chrono::NaiveDate;
use craft::ledger::Held as Kept;
use craft::order::{Parcel, ParcelKind, Sheet};
use craft::place::Place;
use craft::studio::Held;
use craft::text::Line;

use super::words;

/// One box: the one that is packed now, or where nothing is left to be packed, the one that left last.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct HomeBox {
    /// Every parcel that has left so far: the entry that sent it, and the day.
    left: Vec<(u32, NaiveDate)>,
    /// The entry that sent this one; none while it is packed.
    sent: Option<u32>,
    /// The entry that sent the one before it, or 0.
    after: u32,
}

impl HomeBox {
    /// The box of an order as it stands.
    pub fn now(held: &Held) -> Self {
        let ledger = &held.ledger;
        let left = ledger.home.left.iter().map(|left| (left.entry, left.day)).collect();
        Self { left, sent: ledger.sent_box(), after: ledger.box_after() }
    }

    /// The parcel that left before this box; nothing of it belongs to this one.
    pub const fn after(&self) -> u32 {
        self.after
    }

    /// Which parcel home this is, counted from 0.
    pub fn nth(&self) -> usize {
        self.left.iter().position(|(number, _)| Some(*number) == self.sent).unwrap_or(self.left.len())
    }

    /// What is written of how this box travels; nothing where that was not written down.
    pub fn parcel<'a>(&self, held: &'a Held) -> Option<&'a Parcel> {
        parcel_home(&held.order.sheet, self.left.len(), self.nth())
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

fn is_home(parcel: &Parcel) -> bool {
    parcel.kind == ParcelKind::Home
}

/// What is written of the parcel home `nth`, counted from 0, where `left` have left. Not of each anything has to be
/// written: what is belongs to the newest, and one more than have left belongs to the box that is packed now.
fn parcel_home(sheet: &Sheet, left: usize, nth: usize) -> Option<&Parcel> {
    let all: Vec<&Parcel> = sheet.parcels.iter().filter(|parcel| is_home(parcel)).collect();
    let newest = if all.len() > left { left } else { left.checked_sub(1)? };
    let before = newest.checked_sub(nth)?;
    all.len().checked_sub(before + 1).and_then(|place| all.get(place)).copied()
}

/// Nothing is written of a parcel home yet.
pub fn blank_parcel() -> Parcel {
    Parcel { kind: ParcelKind::Home, carrier: Line::default(), tracking: Line::default(), insured: None }
}

/// Writes down how the box that is packed now travels, where `left` have left before it: what is written of those stays.
pub fn put_parcel(sheet: &mut Sheet, left: usize, parcel: Parcel) {
    let written = sheet.parcels.iter().filter(|parcel| is_home(parcel)).count();
    if written > left {
        if let Some(own) = sheet.parcels.iter_mut().rev().find(|own| own.kind == ParcelKind::Home) {
            *own = parcel;
        }
        return;
    }
    // A part that left without a word keeps its place in the row.
    let missing = std::iter::repeat_with(blank_parcel).take(left - written);
    sheet.parcels.splice(0..0, missing);
    sheet.parcels.push(parcel);
}

/// How a parcel travels: "carried by the post, tracking HM 2"; empty where nothing is written of it.
pub fn travels(parcel: &Parcel) -> String {
    let carrier = (!parcel.carrier.is_empty()).then(|| format!("carried by {}", parcel.carrier));
    let tracking = (!parcel.tracking.is_empty()).then(|| format!("tracking {}", parcel.tracking));
    carrier.into_iter().chain(tracking).collect::<Vec<_>>().join(", ")
}

/// Every parcel that left, the first first: "On 25 November 2026 S2 and K1 went home, carried by the post, tracking HM 2.".
pub fn all_that_left(held: &Held) -> Vec<String> {
    let left = &held.ledger.home.left;
    let one = |(nth, sent): (usize, &craft::ledger::Happened)| {
        let things = held.ledger.custody.things.iter();
        let inside = things.filter(|(_, kept)| kept.sent_with == Some(sent.entry));
        let labels: Vec<String> = inside.map(|(thing, _)| words::label(*thing)).collect();
        let what = if labels.is_empty() { "a parcel".to_owned() } else { words::list(&labels) };
        let how = parcel_home(&held.order.sheet, left.len(), nth).map(travels).filter(|how| !how.is_empty());
        let how = how.map(|how| format!(", {how}")).unwrap_or_default();
        format!("On {} {what} went home{how}.", words::date_with_year(sent.day()))
    };
    left.iter().enumerate().map(one).collect()
}

#[cfg(test)]
mod tests {
    use craft::fact::HomeFact;
    use craft::id::Thing;
    use craft::stage::Stage;
    use craft::studio::{Edit, OrderEdit};

    use super::*;
    use crate::present::sample::{Bench, bench, line};

    fn parcel(tracking: &str) -> Parcel {
        Parcel { tracking: line(tracking), carrier: line("the post"), ..blank_parcel() }
    }

    #[test]
    fn what_is_written_belongs_to_the_newest_and_a_new_box_writes_over_none() {
        let mut sheet = Sheet::default();
        assert_eq!(parcel_home(&sheet, 0, 0), None);
        put_parcel(&mut sheet, 0, parcel("A"));
        put_parcel(&mut sheet, 0, parcel("B"));
        assert_eq!(parcel_home(&sheet, 0, 0), Some(&parcel("B")), "the same box, written anew");
        assert_eq!(parcel_home(&sheet, 1, 0), Some(&parcel("B")), "it has left");
        assert_eq!(parcel_home(&sheet, 1, 1), None, "of the next box nothing is written yet");
        // Two parts left without a word, then the box that is packed now.
        put_parcel(&mut sheet, 3, parcel("C"));
        let written: Vec<Option<&str>> =
            (0..4).map(|nth| parcel_home(&sheet, 3, nth).map(|parcel| parcel.tracking.as_str())).collect();
        assert_eq!(written, [Some(""), Some(""), Some("B"), Some("C")]);
        assert_eq!(parcel_home(&sheet, 4, 3), Some(&parcel("C")));
    }

    #[test]
    fn of_a_return_in_parts_every_parcel_is_named_with_what_was_in_it() {
        let mut bench = bench(Stage::Set);
        let check = bench.check();
        let put = |bench: &mut Bench, left: usize, tracking: &str| {
            let mut sheet = bench.studio.order(bench.tag).unwrap().order.sheet.clone();
            if left == 0 {
                sheet.parcels.clear();
            }
            put_parcel(&mut sheet, left, parcel(tracking));
            let edit = Edit::Order(bench.tag, OrderEdit::Sheet(Box::new(sheet)));
            let now = bench.now();
            bench.studio.apply(edit, now).unwrap();
        };
        bench.record(HomeFact::Ticked { thing: Thing::keepsake(1), check });
        put(&mut bench, 0, "HM 2");
        bench.record(HomeFact::NotPhotographed);
        bench.record(HomeFact::SentPart);
        for thing in bench.studio.order(bench.tag).unwrap().ledger.to_pack() {
            bench.record(HomeFact::Ticked { thing, check });
        }
        put(&mut bench, 1, "HM 7");
        bench.record(HomeFact::NotPhotographed);
        bench.record(HomeFact::Sent);
        let held = bench.studio.order(bench.tag).unwrap();
        assert_eq!(
            all_that_left(held),
            [
                "On 25 November 2026 K1 went home, carried by the post, tracking HM 2.",
                "On 25 November 2026 W1, E1, S2, B1 and P1 went home, carried by the post, tracking HM 7.",
            ]
        );
        assert_eq!(HomeBox::now(held).parcel(held).unwrap().tracking.as_str(), "HM 7");
    }
}
