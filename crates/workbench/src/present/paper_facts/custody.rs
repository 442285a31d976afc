//! The custody sheet's facts: each lot's life, its piles as they lie now, and the record seal.

use craft::fact::Holder;
use craft::id::{Thing, ThingKind};
use craft::ledger::Role;
use craft::studio::Held;
use papers::facts::{CustodyEntry, CustodyFacts, CustodyLot, CustodyPile, Hatch};

use super::Subject;
use crate::present::accounts::weighed_note;
use crate::present::custody::{judged_words, offcuts_words};
use crate::present::drying::moisture_note;
use crate::present::lot_story::{Pile, Told, lot_story};
use crate::present::parcels::all_that_left;
use crate::present::words;

/// The custody sheet of an order as its record stands now. The maker's own words about entries stay out of it.
pub(super) fn facts(about: &Subject<'_>) -> Result<CustodyFacts, String> {
    let (studio, held) = (about.studio, about.held);
    let numbers: Vec<u8> = held.ledger.custody.lots.keys().copied().collect();
    if numbers.is_empty() {
        return Err("nothing has been received for this order yet; record what came first".to_owned());
    }
    let lots = numbers.iter().filter_map(|lot| {
        let story = lot_story(studio, held, *lot, u32::MAX, about.today)?;
        Some(CustodyLot {
            name: words::sentence_start(&story.name),
            piles: story.piles.into_iter().map(|one| pile(held, one)).collect(),
            told: told(story.told),
            moisture: moisture_note(held, *lot),
        })
    });
    let bags = held.ledger.custody.things.keys().filter(|thing| thing.kind == ThingKind::Offcuts);
    let offcuts = bags.map(|bag| {
        words::sentence(&format!(
            "the offcuts in {}: {}",
            words::thing_plain(*bag),
            offcuts_words(held, *bag)
        ))
    });
    let entries = held.order.log.len();
    Ok(CustodyFacts {
        header: about.header(),
        intro: format!(
            "What became of everything that came for {}, as the record of this studio has it.",
            words::remembered(held)
        ),
        lots: lots.collect(),
        parcels: all_that_left(held),
        weighed: weighed(about),
        offcuts: offcuts.collect(),
        record_seal: in_fours(&held.record_seal().to_string()),
        seal_words: format!(
            "This seal is drawn from all {entries} entries of the record, up to {}. If one of them is ever altered, the \
             seal worked out from them is another.",
            words::date_with_year(about.today)
        ),
    })
}

/// What scales and eyes said, where anything was looked at again.
fn weighed(about: &Subject<'_>) -> String {
    let by_eye = super::super::custody::judged_now(about.held).map(|judged| {
        words::sentence(&judged_words(about.studio, about.held, judged).replace(": look again", ""))
    });
    weighed_note(about.studio, about.held).into_iter().chain(by_eye).collect::<Vec<_>>().join(" ")
}

fn pile(held: &Held, pile: Pile) -> CustodyPile {
    let hatch = hatch(held, pile.holder);
    let Pile { label, who, share, words: amount, by_book, weighed, place, .. } = pile;
    CustodyPile { label, who, amount, millionths: share.millionths(), hatch, by_book, weighed, place }
}

fn hatch(held: &Held, holder: Holder) -> Hatch {
    let Holder::Thing(thing) = holder else { return Hatch::Tools };
    let kept_back = |thing: Thing| {
        let kept = held.ledger.custody.things.get(&thing);
        kept.is_some_and(|kept| matches!(kept.role, Role::KeepBack { .. }))
    };
    match thing.kind {
        ThingKind::Wrapping => Hatch::Wrapping,
        ThingKind::Envelope if kept_back(thing) => Hatch::KeepBack,
        ThingKind::Envelope | ThingKind::Keepsake => Hatch::Envelope,
        ThingKind::Stone | ThingKind::Piece => Hatch::Stone,
        ThingKind::Offcuts => Hatch::Offcuts,
    }
}

fn told(story: Vec<Told>) -> Vec<CustodyEntry> {
    let entry = |told: Told| {
        let Told { entry, day, time, words, struck, .. } = told;
        let struck = if struck.is_empty() { struck } else { words::sentence(&struck) };
        CustodyEntry { entry: entry.to_string(), day, time, words, struck }
    };
    story.into_iter().map(entry).collect()
}

/// Digits in groups of four, as they are compared by eye.
fn in_fours(digits: &str) -> String {
    let mut grouped = String::new();
    for (at, digit) in digits.chars().enumerate() {
        if at > 0 && at.is_multiple_of(4) {
            grouped.push(' ');
        }
        grouped.push(digit);
    }
    grouped
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::present::paper_facts::paper;
    use crate::present::sample::{Bench, bench, line, sheet};
    use craft::compare::by_eye;
    use craft::fact::{CustodyFact, Fact, Material, Mistake, PaperKind};
    use craft::stage::Stage;
    use craft::units::Share;
    use papers::facts::Paper;

    fn sheet_of(bench: &Bench) -> Result<CustodyFacts, String> {
        match paper(&bench.studio, bench.tag, PaperKind::Custody, bench.now())? {
            Paper::Custody(facts) => Ok(facts),
            other => panic!("{other:?}"),
        }
    }

    #[test]
    fn the_sheet_tells_each_lots_life_and_closes_with_the_record_seal() {
        let mut bench = bench(Stage::Made);
        bench.receive(2, Material::Petals);
        let held = bench.studio.order(bench.tag).unwrap();
        let sheet = sheet_of(&bench).unwrap();
        assert_eq!(sheet.lots.len(), 2);
        assert_eq!(sheet.lots[0].name, "Hair 1", "two lots are told apart by their number");
        for lot in &sheet.lots {
            let all: u32 = lot.piles.iter().map(|pile| pile.millionths).sum();
            assert_eq!(all, Share::WHOLE.millionths());
            assert!(lot.told.iter().all(|told| told.day == "25 November"), "each line says its day");
        }
        assert_eq!(sheet.record_seal.replace(' ', ""), held.record_seal().to_string());
        assert_eq!(sheet.record_seal.split(' ').count(), 16);
        assert!(
            sheet.seal_words.contains(&format!("all {} entries", held.order.log.len())),
            "{}",
            sheet.seal_words
        );
        assert_eq!(sheet.offcuts.len(), 1);
        // One entry more is another seal.
        let before = sheet.record_seal;
        bench.receive(3, Material::Ashes);
        assert_ne!(sheet_of(&bench).unwrap().record_seal, before);
    }

    #[test]
    fn each_kind_of_pile_is_hatched_in_its_own_way() {
        let bench = bench(Stage::Made);
        let lot = sheet_of(&bench).unwrap().lots.swap_remove(0);
        let hatch = |label: &str| {
            let mut piles = lot.piles.iter();
            piles.find(|pile| pile.label.ends_with(label)).map(|pile| pile.hatch)
        };
        assert_eq!((hatch(" W1"), hatch(" E1")), (Some(Hatch::Wrapping), Some(Hatch::KeepBack)));
        assert_eq!(hatch(" S1"), Some(Hatch::Stone));
    }

    #[test]
    fn what_was_struck_says_why() {
        let mut bench = bench(Stage::Here);
        let thing = Thing::wrapping(1);
        bench.record(CustodyFact::Opened { thing, check: bench.check() });
        let part = Share::of(1, 20);
        bench.record(CustodyFact::Moved { from: thing, lot: 1, to: Holder::Tools, part });
        let entry = bench.studio.order(bench.tag).unwrap().order.log.len();
        bench.record(Fact::Struck { entry, why: Mistake::WrongNumber });
        let told = sheet_of(&bench).unwrap().lots.swap_remove(0).told;
        let struck: Vec<_> = told.iter().filter(|told| !told.struck.is_empty()).collect();
        assert_eq!(struck.len(), 1);
        let why = format!(
            "Struck on 25 November at {}, because a number was wrong.",
            words::time_of_day(bench.now())
        );
        assert_eq!((&struck[0].entry, &struck[0].struck), (&entry.to_string(), &why));
        assert!(told.iter().all(|told| told.time.contains(':')), "each line says when it was written down");
    }

    #[test]
    fn what_the_eye_said_stands_beside_the_scale() {
        let mut bench = bench(Stage::Here);
        assert_eq!(sheet_of(&bench).unwrap().weighed, "");
        let (thing, part) = (Thing::envelope(1), Share::of(1, 3));
        bench.record(CustodyFact::Judged { thing, lot: 1, part, doubt: by_eye(part) });
        let said = sheet_of(&bench).unwrap().weighed;
        assert_eq!(
            said,
            "Envelope 1 looked like a third, and the book says a third, which the eye can't tell apart."
        );
    }

    #[test]
    fn nothing_received_or_a_word_never_to_be_read_is_no_sheet() {
        let why = |bench: &Bench| sheet_of(bench).unwrap_err();
        assert!(why(&bench(Stage::KitSent)).starts_with("nothing has been received"));
        let mut careful = sheet();
        careful.remembered.never_say = vec![line("tied lock")];
        let mut bench = Bench::open(careful);
        bench.receive(1, Material::Hair);
        assert!(why(&bench).contains("\"tied lock\""));
    }
}
