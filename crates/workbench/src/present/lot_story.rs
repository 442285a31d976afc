//! The life of one lot as a story: what happened, in sentences, and the piles as they lay at any moment of it.
//!
//! A moment is a number of entries: the record as it was then, with what had been struck by then left out. So a look
//! back shows what the maker knew at the time, not what was found out later.

use chrono::NaiveDate;
use craft::fact::{CustodyFact, Fact, Holder, HomeFact, Mistake, PourFact, Wish};
use craft::id::Thing;
use craft::ledger::{Ledger, struck};
use craft::log::Entry;
use craft::moment::Moment;
use craft::order::{About, Order};
use craft::reading::Reading;
use craft::studio::{Held, Studio};
use craft::tag::Tag;
use craft::units::{Mass, Share};

use super::record::{reading_now, reading_of_whole};
use super::undo_words::fact_words;
use super::words;

/// One pile of a lot.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Pile {
    /// Who holds it.
    pub holder: Holder,
    /// The label on it, with the order's tag: "A2B-C3H E1"; empty for what was left on the tools.
    pub label: String,
    /// Who, in words: "envelope 1, the keep-back".
    pub who: String,
    /// Its share, for drawing; the shares of all piles are the whole lot.
    pub share: Share,
    /// How much, in words: "a third".
    pub words: String,
    /// What it weighs by the book, with the doubt of the first weighing; empty where the lot was never weighed.
    pub by_book: String,
    /// What a scale or the eye said of it, where that still holds; else empty.
    pub weighed: String,
    /// Where it lies: "drawer 3".
    pub place: String,
}

/// One thing that happened.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Told {
    /// The entry that says so.
    pub entry: u32,
    /// The day: "25 November".
    pub day: String,
    /// The time by the clock then: "14:05"; empty where it was told of later, since only the day is known.
    pub time: String,
    /// What happened: "A third of the hair went into envelope 1, the keep-back."
    pub words: String,
    /// Why it no longer counts: "struck on 25 November at 14:05, because a number was wrong"; empty where it does.
    pub struck: String,
    /// The maker's own words about it; empty where there are none.
    pub note: String,
}

/// The life of one lot until a moment.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LotStory {
    /// The order.
    pub tag: Tag,
    /// The lot.
    pub lot: u8,
    /// What it is called: "the hair".
    pub name: String,
    /// How many entries the record had at this moment.
    pub until: u32,
    /// How many it has now.
    pub last: u32,
    /// The piles as they lay then.
    pub piles: Vec<Pile>,
    /// What had happened by then, the first first.
    pub told: Vec<Told>,
}

/// How many entries had been written down by a moment.
pub fn entries_by(held: &Held, moment: &Moment) -> u32 {
    let written = held.order.log.entries().take_while(|(_, entry)| entry.at.utc_ms <= moment.utc_ms);
    written.last().map_or(0, |(number, _)| number)
}

/// An order as its record had it after `until` entries. The sheet and the words are those of today.
pub fn held_at(held: &Held, until: u32) -> Option<Held> {
    if until >= held.order.log.len() {
        return Some(held.clone());
    }
    let log = held.order.log.up_to(until);
    let ledger = Ledger::replay(held.order.tag, &log).ok()?;
    Some(Held::whole(Order { log, ..held.order.clone() }, ledger))
}

/// The story of a lot until its record had `until` entries; none where the lot had not come by then.
pub fn lot_story(studio: &Studio, held: &Held, lot: u8, until: u32, today: NaiveDate) -> Option<LotStory> {
    let then = held_at(held, until)?;
    then.ledger.custody.lots.get(&lot)?;
    Some(LotStory {
        tag: held.order.tag,
        lot,
        name: words::lot(&then, lot),
        until: then.order.log.len(),
        last: held.order.log.len(),
        piles: piles(studio, &then, lot),
        told: told(studio, &then, lot, today),
    })
}

/// The piles of a lot as a record has them.
pub fn piles(studio: &Studio, held: &Held, lot: u8) -> Vec<Pile> {
    let whole = reading_of_whole(held, lot);
    held.ledger
        .custody
        .holders(lot)
        .map(|(holder, share)| pile(studio, held, whole, (holder, share)))
        .collect()
}

fn pile(
    studio: &Studio,
    held: &Held,
    whole: Option<Reading<Mass>>,
    (holder, share): (Holder, Share),
) -> Pile {
    let by_book = whole.map(|whole| {
        let part = |mass: Mass| Mass::from_mg(mass.mg() * share.fraction());
        words::reading_mass(&Reading { value: part(whole.value), doubt: part(whole.doubt), by: whole.by })
    });
    let thing = match holder {
        Holder::Thing(thing) => Some(thing),
        Holder::Tools => None,
    };
    let weighed =
        thing.and_then(|thing| reading_now(held, thing)).map(|reading| words::reading_mass(&reading));
    Pile {
        holder,
        label: thing.map(|thing| super::custody::label(held.order.tag, thing)).unwrap_or_default(),
        who: thing.map_or_else(|| "left on the tools".to_owned(), |thing| words::thing(held, thing)),
        share,
        words: words::share(share),
        by_book: by_book.unwrap_or_default(),
        weighed: weighed.unwrap_or_default(),
        place: thing.map(|thing| place(studio, held, thing)).unwrap_or_default(),
    }
}

/// Where a thing is, or what became of it.
pub(crate) fn place(studio: &Studio, held: &Held, thing: Thing) -> String {
    let Some(kept) = held.ledger.custody.things.get(&thing) else { return String::new() };
    match (kept.lost, kept.passed_to, kept.part_of, kept.left_out) {
        (true, ..) => "cannot be found".to_owned(),
        (_, Some(to), ..) => format!("went over to order {to}"),
        (_, _, Some(piece), _) => format!("set into {}", words::thing_plain(piece)),
        (.., Some(why)) => words::left_out(why).to_owned(),
        _ => words::place(studio, &kept.place),
    }
}

/// Everything that was written down for an order, the first first; that something was struck is told beside what was.
pub fn record_story(studio: &Studio, held: &Held, today: NaiveDate) -> Vec<Told> {
    let said = held.order.log.entries().filter(|(_, entry)| !matches!(entry.fact, Fact::Struck { .. }));
    said.map(|(number, entry)| sentence(studio, held, number, entry, today)).collect()
}

/// The things that hold the lot.
fn holders(ledger: &Ledger, lot: u8) -> Vec<Thing> {
    let things = ledger.custody.holders(lot).filter_map(|(holder, _)| match holder {
        Holder::Thing(thing) => Some(thing),
        Holder::Tools => None,
    });
    things.collect()
}

fn told(studio: &Studio, held: &Held, lot: u8, today: NaiveDate) -> Vec<Told> {
    let left_out = struck(&held.order.log);
    let mut ledger = Ledger::new(held.order.tag);
    let mut told = Vec::new();
    for (number, entry) in held.order.log.entries() {
        let mut holding = holders(&ledger, lot);
        if !left_out.contains(&number) && !matches!(entry.fact, Fact::Struck { .. }) {
            // What stands in a record that was let in folds, so nothing is passed over here.
            let _folds = ledger.step(number, entry);
            holding.extend(holders(&ledger, lot));
        }
        if concerns(&entry.fact, lot, &holding) {
            told.push(sentence(studio, held, number, entry, today));
        }
    }
    told
}

/// True where a fact is about this lot, or about a thing that holds some of it.
fn concerns(fact: &Fact, lot: u8, holding: &[Thing]) -> bool {
    match fact {
        Fact::Custody(fact) => match fact {
            CustodyFact::Received { lot: of, .. }
            | CustodyFact::SplitOff { lot: of, .. }
            | CustodyFact::Moved { lot: of, .. }
            | CustodyFact::Judged { lot: of, .. }
            | CustodyFact::TakenOver { lot: of, .. } => *of == lot,
            CustodyFact::Released { thing }
            | CustodyFact::Opened { thing, .. }
            | CustodyFact::Closed { thing, .. }
            | CustodyFact::Placed { thing, .. }
            | CustodyFact::Weighed { thing, .. }
            | CustodyFact::WeighedOn { thing, .. }
            | CustodyFact::Dried { thing, .. }
            | CustodyFact::PassedOn { thing, .. }
            | CustodyFact::Lost { thing }
            | CustodyFact::Found { thing, .. } => holding.contains(thing),
            CustodyFact::CameAlong { .. } | CustodyFact::BenchCleared => false,
        },
        Fact::Client(craft::fact::ClientFact::Instructed { thing, .. })
        | Fact::Pour(PourFact::OffcutsCured { bag: thing, .. }) => holding.contains(thing),
        Fact::Pour(PourFact::TakenOut { stone, .. } | PourFact::SetAside { stone })
        | Fact::Fit(craft::fact::FitFact::Set { stone, .. }) => holding.contains(&Thing::stone(*stone)),
        Fact::Home(fact) => match fact {
            HomeFact::Ticked { thing, .. }
            | HomeFact::Unticked { thing }
            | HomeFact::LeftOut { thing, .. }
            | HomeFact::CameBack { thing, .. }
            | HomeFact::Fault { thing } => holding.contains(thing),
            HomeFact::Sent | HomeFact::SentPart | HomeFact::Arrived => !holding.is_empty(),
            HomeFact::BoxPhotographed { .. } | HomeFact::NotPhotographed | HomeFact::PaperIssued { .. } => {
                false
            }
        },
        _ => false,
    }
}

fn sentence(studio: &Studio, held: &Held, number: u32, entry: &Entry, today: NaiveDate) -> Told {
    let struck = held.order.log.entries().find_map(|(by, later)| match later.fact {
        Fact::Struck { entry, why } if entry == number => Some((by, struck_words(later, why, today))),
        _ => None,
    });
    // What the maker wrote about the striking belongs to what was struck: a strike is no story of its own.
    let about = [Some(number), struck.as_ref().map(|(by, _)| *by)].into_iter().flatten();
    let notes: Vec<String> = about
        .filter_map(|entry| held.order.story.about(About::Entry(entry)))
        .map(ToString::to_string)
        .collect();
    Told {
        entry: number,
        day: words::date(entry.day(), today),
        time: time_of(entry),
        words: words::sentence(&what_happened(studio, held, &entry.fact)),
        struck: struck.map(|(_, words)| words).unwrap_or_default(),
        note: notes.join("\n"),
    }
}

/// The time by the clock where an entry was written down; empty where it was told of later.
fn time_of(entry: &Entry) -> String {
    if entry.told.is_some() { String::new() } else { words::time_of_day(entry.at) }
}

/// "struck on 25 November at 14:05, because a number was wrong".
fn struck_words(strike: &Entry, why: Mistake, today: NaiveDate) -> String {
    let day = words::date(strike.at.day(), today);
    format!("struck on {day} at {}, because {}", words::time_of_day(strike.at), mistake(why))
}

/// What kind of mistake an entry was: "a number was wrong".
pub const fn mistake(why: Mistake) -> &'static str {
    match why {
        Mistake::DidNotHappen => "it did not happen",
        Mistake::WrongThing => "another thing was meant",
        Mistake::WrongNumber => "a number was wrong",
    }
}

/// What the client said of a thing: "the client asked for envelope 1 to be destroyed".
pub fn wish_words(thing: Thing, wish: Wish) -> String {
    let plain = words::thing_plain(thing);
    match wish {
        Wish::Return => format!("the client asked for {plain} to come home"),
        Wish::Hold => format!("the client asked for {plain} to be held here"),
        Wish::Destroy => format!("the client asked for {plain} to be destroyed"),
    }
}

/// The petals and the ashes are many.
fn were(name: &str) -> &'static str {
    if name.ends_with('s') { "were" } else { "was" }
}

fn what_happened(studio: &Studio, held: &Held, fact: &Fact) -> String {
    let named = |thing: &Thing| words::thing(held, *thing);
    let of = |lot: &u8, part: &Share| match (*part, words::lot(held, *lot)) {
        (Share::WHOLE, name) => format!("all of {name}"),
        (part, name) => format!("{} of {name}", words::share(part)),
    };
    let Fact::Custody(fact) = fact else { return fact_words(fact) };
    match fact {
        CustodyFact::Received { lot, seal, place, .. } => {
            let seal = seal.map(|seal| format!(" under seal {seal}")).unwrap_or_default();
            let name = words::lot(held, *lot);
            format!("{name} came{seal} and {} put {}", were(&name), words::place_in(studio, place))
        }
        CustodyFact::TakenOver { lot, of, thing, .. } => {
            format!(
                "{} came from order {of}, from {} there",
                words::lot(held, *lot),
                words::thing_plain(*thing)
            )
        }
        CustodyFact::SplitOff { from, lot, into: to, part, .. }
        | CustodyFact::Moved { from, lot, to: Holder::Thing(to), part } => {
            format!("{} went from {} into {}", of(lot, part), words::thing_plain(*from), named(to))
        }
        CustodyFact::Moved { from, lot, to: Holder::Tools, part } => {
            format!("{} was left on the tools, from {}", of(lot, part), words::thing_plain(*from))
        }
        CustodyFact::Weighed { thing, reading } => {
            format!("{} held {}", words::thing_plain(*thing), words::reading_mass(reading))
        }
        CustodyFact::WeighedOn { thing, scale, reading, air } => {
            let air = air.map(|air| format!(", the air at {air} %")).unwrap_or_default();
            let (thing, scale) = (words::thing_plain(*thing), words::item_name(studio, scale));
            format!("{thing} held {} on {scale}{air}", words::reading_mass(reading))
        }
        CustodyFact::Judged { thing, lot, part, .. } => {
            format!("{} held about {}, by eye", words::thing_plain(*thing), of(lot, part))
        }
        CustodyFact::Dried { thing, way, over } => {
            let way = super::custody::drying(*way);
            format!(
                "what is in {} was dried {way} for {}",
                words::thing_plain(*thing),
                super::custody::long(*over)
            )
        }
        CustodyFact::Placed { thing, place } => {
            format!("{} was put {}", words::thing_plain(*thing), words::place_in(studio, place))
        }
        _ => fact_words(&Fact::Custody(fact.clone())),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::present::sample::{Bench, bench, day};
    use craft::stage::Stage;

    fn story(bench: &Bench, until: u32) -> Option<LotStory> {
        let held = bench.studio.order(bench.tag).unwrap();
        lot_story(&bench.studio, held, 1, until, day(2026, 11, 26))
    }

    fn len(bench: &Bench) -> u32 {
        bench.studio.order(bench.tag).unwrap().order.log.len()
    }

    fn sums_to_the_whole(piles: &[Pile]) -> bool {
        piles.iter().map(|pile| pile.share.millionths()).sum::<u32>() == Share::WHOLE.millionths()
    }

    #[test]
    fn the_piles_of_the_last_moment_are_the_ledgers_and_those_of_every_moment_are_the_whole() {
        for stage in Stage::ALL {
            let bench = bench(stage);
            let held = bench.studio.order(bench.tag).unwrap();
            let mut came = false;
            for until in 0..=len(&bench) {
                let Some(story) = story(&bench, until) else {
                    assert!(!came, "a lot that came does not go again");
                    continue;
                };
                came = true;
                assert!(sums_to_the_whole(&story.piles), "{stage:?} {until}");
                assert!(story.told.iter().all(|told| told.entry <= until && !told.words.is_empty()));
            }
            if let Some(last) = story(&bench, u32::MAX) {
                let really: Vec<(Holder, Share)> = held.ledger.custody.holders(1).collect();
                let shown: Vec<(Holder, Share)> =
                    last.piles.iter().map(|pile| (pile.holder, pile.share)).collect();
                assert_eq!(shown, really);
            }
        }
    }

    #[test]
    fn a_pile_left_out_would_be_noticed() {
        let bench = bench(Stage::Made);
        let mut broken = story(&bench, u32::MAX).unwrap().piles;
        assert!(sums_to_the_whole(&broken));
        broken.pop();
        assert!(!sums_to_the_whole(&broken), "the broken variant forgets the last holder");
    }

    #[test]
    fn the_story_reads_as_it_happened_and_a_look_back_shows_what_lay_then() {
        let bench = bench(Stage::Here);
        let told: Vec<String> =
            story(&bench, u32::MAX).unwrap().told.into_iter().map(|told| told.words).collect();
        assert_eq!(
            told,
            [
                "The hair came under seal 12 and was put in drawer 3.",
                "Wrapping 1 held 482 mg, ± 2.4 mg.",
                "Wrapping 1 was opened.",
                "A third of the hair went from wrapping 1 into envelope 1, the keep-back.",
                "Wrapping 1 was closed.",
            ]
        );
        let came = 3;
        let first = story(&bench, came).unwrap();
        assert_eq!(first.piles.len(), 1);
        assert_eq!((first.piles[0].words.as_str(), first.piles[0].place.as_str()), ("all of it", "drawer 3"));
        let last = story(&bench, u32::MAX).unwrap();
        let said: Vec<_> = last.piles.iter().map(|pile| (pile.who.as_str(), pile.by_book.as_str())).collect();
        assert_eq!(
            said,
            [
                ("wrapping 1, a tied lock in tissue", "321 mg, ± 1.6 mg"),
                ("envelope 1, the keep-back", "161 mg, ± 0.8 mg"),
            ]
        );
        assert_eq!(last.piles[1].label, format!("{} E1", bench.tag));
        assert_eq!(story(&bench, 1), None, "nothing had come yet");
    }

    #[test]
    fn what_was_struck_stays_in_the_story_with_its_reason_and_moves_no_pile() {
        let mut bench = bench(Stage::Here);
        let thing = Thing::wrapping(1);
        bench.record(CustodyFact::Opened { thing, check: bench.check() });
        let part = Share::of(1, 20);
        bench.record(CustodyFact::Moved { from: thing, lot: 1, to: Holder::Tools, part });
        let spilt = len(&bench);
        bench.record(Fact::Struck { entry: spilt, why: Mistake::WrongNumber });
        let then = story(&bench, spilt).unwrap();
        assert!(then.piles.iter().any(|pile| pile.holder == Holder::Tools), "then it was thought so");
        assert_eq!(then.told.last().map(|told| told.struck.as_str()), Some(""));
        let now = story(&bench, u32::MAX).unwrap();
        assert!(now.piles.iter().all(|pile| pile.holder != Holder::Tools));
        let told = now.told.iter().find(|told| told.entry == spilt).unwrap();
        let at = words::time_of_day(bench.now());
        assert_eq!(told.struck, format!("struck on 25 November at {at}, because a number was wrong"));
        assert_eq!(now.told[0].time, "9:15", "each entry says when it was written down");
        assert!(told.words.ends_with("was left on the tools, from wrapping 1."), "{}", told.words);
    }

    #[test]
    fn the_whole_record_tells_every_entry_but_the_strikes_themselves() {
        let mut bench = bench(Stage::Here);
        let entry = len(&bench);
        bench.record(Fact::Struck { entry, why: Mistake::DidNotHappen });
        let held = bench.studio.order(bench.tag).unwrap();
        let told = record_story(&bench.studio, held, day(2026, 11, 26));
        let numbers: Vec<u32> = told.iter().map(|told| told.entry).collect();
        assert_eq!(numbers, (1..=entry).collect::<Vec<_>>());
        let struck = &told.last().unwrap().struck;
        assert!(struck.ends_with(", because it did not happen"), "{struck}");
        assert!(told.iter().all(|told| told.words.ends_with('.') && !told.day.is_empty()));
    }

    #[test]
    fn a_moment_of_the_clock_is_a_number_of_entries() {
        let bench = bench(Stage::Here);
        let held = bench.studio.order(bench.tag).unwrap();
        for (number, entry) in held.order.log.entries() {
            assert_eq!(entries_by(held, &entry.at), number);
            let before = Moment { utc_ms: entry.at.utc_ms - 1, ..entry.at };
            assert_eq!(entries_by(held, &before), number - 1);
        }
    }
}
