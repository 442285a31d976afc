//! Looking things up in an order's record.

use chrono::NaiveDate;
use craft::fact::{CustodyFact, Fact, Holder};
use craft::id::Thing;
use craft::ledger::struck;
use craft::log::Entry;
use craft::reading::Reading;
use craft::studio::Held;
use craft::units::Mass;

/// The entries that still count, with their numbers, oldest first.
pub(crate) fn standing(held: &Held) -> Vec<(u32, &Entry)> {
    let struck = struck(&held.order.log);
    held.order.log.entries().filter(|(number, _)| !struck.contains(number)).collect()
}

/// The newest entry about what was entrusted that `answer` answers for: the answer, its number and its day.
pub(crate) fn newest_custody<T>(
    held: &Held,
    answer: impl Fn(&CustodyFact) -> Option<T>,
) -> Option<(T, u32, NaiveDate)> {
    standing(held).into_iter().rev().find_map(|(number, entry)| match &entry.fact {
        Fact::Custody(fact) => answer(fact).map(|found| (found, number, entry.day())),
        _ => None,
    })
}

/// The day of the newest entry that `is` holds for.
pub(crate) fn newest_day(held: &Held, is: impl Fn(&Fact) -> bool) -> Option<NaiveDate> {
    standing(held).into_iter().rev().find(|(_, entry)| is(&entry.fact)).map(|(_, entry)| entry.day())
}

/// True where a fact puts something into a thing or takes something out of it.
pub(crate) fn touches(fact: &CustodyFact, thing: Thing) -> bool {
    match fact {
        CustodyFact::Moved { from, to, .. } => *from == thing || *to == Holder::Thing(thing),
        CustodyFact::SplitOff { from, into, .. } => *from == thing || *into == thing,
        _ => false,
    }
}

/// The newest reading of a thing, where nothing was put in or taken out since.
pub(crate) fn reading_now(held: &Held, thing: Thing) -> Option<Reading<Mass>> {
    let touched =
        newest_custody(held, |fact| touches(fact, thing).then_some(())).map(|((), number, _)| number);
    let weighed = held.ledger.custody.weighed.iter().rev().find(|(_, of, _)| *of == thing);
    weighed.filter(|(number, ..)| Some(*number) > touched).map(|(.., reading)| *reading)
}

/// The newest reading of a lot while its wrapping still held all of it.
pub(crate) fn reading_of_whole(held: &Held, lot: u8) -> Option<Reading<Mass>> {
    let wrapping = Thing::wrapping(lot);
    let first_touch = standing(held).into_iter().find_map(|(number, entry)| match &entry.fact {
        Fact::Custody(fact) if touches(fact, wrapping) => Some(number),
        _ => None,
    });
    let before = |number: u32| first_touch.is_none_or(|touch| number < touch);
    let mut readings = held.ledger.custody.weighed.iter().rev();
    readings.find(|(number, of, _)| *of == wrapping && before(*number)).map(|(.., reading)| *reading)
}
