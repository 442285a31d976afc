//! Looking things up in an order's record.

use chrono::{Months, NaiveDate};
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

/// How long before an order began a told day is taken for a slip of the year.
const FAR: Months = Months::new(24);

/// The first entry told for a day far before the order began, with that day. The order began when its first entry was
/// written down, or when the client was promised something, whichever is earlier.
pub(crate) fn told_far_before(held: &Held) -> Option<(u32, NaiveDate)> {
    let began =
        held.order.log.entries().map(|(_, entry)| entry.at.day()).chain(held.order.sheet.due).min()?;
    let far = began.checked_sub_months(FAR)?;
    let told = |(number, entry): (u32, &Entry)| entry.told.filter(|day| *day < far).map(|day| (number, day));
    standing(held).into_iter().find_map(told)
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
    reading_entry(held, thing).map(|(_, reading)| reading)
}

/// The same, with the entry that says so.
pub(crate) fn reading_entry(held: &Held, thing: Thing) -> Option<(u32, Reading<Mass>)> {
    let touched =
        newest_custody(held, |fact| touches(fact, thing).then_some(())).map(|((), number, _)| number);
    let weighed = held.ledger.custody.weighed.iter().rev().find(|(_, of, _)| *of == thing);
    weighed.filter(|(number, ..)| Some(*number) > touched).map(|(number, _, reading)| (*number, *reading))
}

/// True where nothing was put into a thing or taken out of it since an entry.
pub(crate) fn still_holds(held: &Held, thing: Thing, entry: u32) -> bool {
    let touched =
        newest_custody(held, |fact| touches(fact, thing).then_some(())).map(|((), number, _)| number);
    touched.is_none_or(|touched| touched < entry)
}

/// The newest reading of a lot while its wrapping still held all of it.
pub(crate) fn reading_of_whole(held: &Held, lot: u8) -> Option<Reading<Mass>> {
    craft::foreseen::reading_of_whole(held, lot)
}

#[cfg(test)]
mod tests {
    use craft::fact::{ClientFact, Fact, Mistake};
    use craft::order::Page;
    use craft::stage::Stage;
    use craft::studio::{Edit, OrderEdit};

    use crate::present::pages;
    use crate::present::sample::{bench, day};

    #[test]
    fn a_day_told_far_before_the_order_began_is_remarked_until_it_is_struck() {
        let mut bench = bench(Stage::Asked);
        let remark = |bench: &crate::present::sample::Bench| {
            let brief = pages::page(&bench.studio, bench.tag, Page::Brief, bench.now()).unwrap();
            brief.missing.into_iter().map(|missing| missing.words).find(|words| words.contains("far before"))
        };
        let now = bench.now();
        let tell = |bench: &mut crate::present::sample::Bench, year| {
            let told = OrderEdit::Told(day(year, 11, 2), ClientFact::Answered.into());
            bench.studio.apply(Edit::Order(bench.tag, told), now).unwrap().entry.unwrap()
        };
        tell(&mut bench, 2025);
        assert_eq!(remark(&bench), None, "a year before is told of now and then");
        let slip = tell(&mut bench, 1926);
        let said = format!(
            "entry {slip} is told for 2 November 1926, far before this order began: strike it if the year is a slip"
        );
        assert_eq!(remark(&bench), Some(said));
        bench.record(Fact::Struck { entry: slip, why: Mistake::WrongNumber });
        assert_eq!(remark(&bench), None);
    }
}
