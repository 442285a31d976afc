//! What became of each material: who holds what share, and what the weighings say about it.

use craft::compare::{Outcome, combined, compare, weigh_back, worth_weighing};
use craft::fact::Holder;
use craft::id::{Thing, ThingKind};
use craft::reading::{Means, Reading};
use craft::scale::ScaleProfile;
use craft::studio::{Held, Studio};
use craft::units::{Mass, Share};

use super::drying::dried_by;
use super::record::{reading_entry, reading_now, reading_of_whole};
use super::words;

/// One holder of a material.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct HolderRow {
    /// The thing; none for what was left on the tools.
    pub thing: Option<Thing>,
    /// Its share, for drawing.
    pub share: Share,
    /// Who: "envelope 1, the keep-back", "left on the tools".
    pub who: String,
    /// How much: "a third".
    pub words: String,
    /// Where: "drawer 3"; empty for what was left on the tools.
    pub place: String,
    /// What a scale or the eye said, where that still holds; else empty.
    pub weighed: String,
}

/// How the weighings stand to the count.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Verdict {
    /// Only counted; the shares always add up.
    Counted,
    /// Weighed, and it agrees.
    Agrees,
    /// Weighed, and it differs by more than the doubt.
    Differs,
    /// Weighed, and the doubt is too large to tell.
    CannotTell,
    /// Something that holds a part of it cannot be found.
    Lost,
}

/// What became of one material.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Account {
    /// Its number.
    pub lot: u8,
    /// What it is called: "the hair".
    pub name: String,
    /// What came: "482 mg, ± 4 mg", or "not weighed".
    pub came: String,
    /// Who holds what.
    pub holders: Vec<HolderRow>,
    /// How it came out.
    pub verdict: Verdict,
    /// The same in words: "8 mg short, within what your scale can tell".
    pub words: String,
    /// What could be done about it, where something could; else empty.
    pub advice: String,
    /// What would be worth weighing, or why nothing would; empty without a scale.
    pub worth: String,
}

/// The account of every material of an order.
pub fn accounts(studio: &Studio, held: &Held) -> Vec<Account> {
    held.ledger.custody.lots.keys().map(|lot| account(studio, held, *lot)).collect()
}

/// The weighings of all materials in one sentence each, for a paper; none where nothing was weighed again.
pub fn weighed_note(studio: &Studio, held: &Held) -> Option<String> {
    let weighed = accounts(studio, held).into_iter().filter(|account| {
        matches!(account.verdict, Verdict::Agrees | Verdict::Differs | Verdict::CannotTell)
    });
    let said: Vec<String> = weighed
        .map(|account| format!("{}: {}.", words::sentence_start(&account.name), account.words))
        .collect();
    // On a paper the scale is the studio's, not the reader's.
    (!said.is_empty()).then(|| said.join(" ").replace("your scale", "the studio's scale"))
}

fn account(studio: &Studio, held: &Held, lot: u8) -> Account {
    let custody = &held.ledger.custody;
    let whole = reading_of_whole(held, lot);
    let holders: Vec<HolderRow> =
        custody.holders(lot).map(|(holder, share)| holder_row(studio, held, holder, share)).collect();
    let lost: Vec<&HolderRow> = holders
        .iter()
        .filter(|row| row.thing.and_then(|thing| custody.things.get(&thing)).is_some_and(|kept| kept.lost))
        .collect();
    let (verdict, words, advice) = if lost.is_empty() {
        weighed_verdict(studio, held, lot, whole)
    } else {
        let said: Vec<String> = lost.iter().map(|row| format!("{}, {}", row.who, row.words)).collect();
        let words = format!("cannot be found: {}", said.join("; "));
        (
            Verdict::Lost,
            words,
            "Look through drawers and bins before anything is thrown away, and tell the client.".to_owned(),
        )
    };
    Account {
        lot,
        name: words::lot(held, lot),
        came: whole.map_or_else(|| "not weighed".to_owned(), |reading| words::reading_mass(&reading)),
        worth: worth(studio, held, lot, whole),
        holders,
        verdict,
        words,
        advice,
    }
}

fn holder_row(studio: &Studio, held: &Held, holder: Holder, share: Share) -> HolderRow {
    let (thing, who, place) = match holder {
        Holder::Tools => (None, "left on the tools".to_owned(), String::new()),
        Holder::Thing(thing) => {
            let kept = held.ledger.custody.things.get(&thing);
            let place = match kept {
                Some(kept) if kept.lost => "cannot be found".to_owned(),
                Some(kept) => kept.part_of.map_or_else(
                    || words::place(studio, &kept.place),
                    |piece| format!("set into {}", words::thing_plain(piece)),
                ),
                None => String::new(),
            };
            (Some(thing), words::thing(held, thing), place)
        }
    };
    let weighed =
        thing.and_then(|thing| reading_now(held, thing)).map(|reading| words::reading_mass(&reading));
    HolderRow { thing, share, who, words: words::share(share), place, weighed: weighed.unwrap_or_default() }
}

/// A thing whose reading can be held against its share: it holds this material alone.
struct WeighedPart {
    share: Share,
    reading: Reading<Mass>,
    /// What is in it was dried after all of the material was weighed, and before this was read.
    dried: bool,
}

fn weighed_parts(held: &Held, lot: u8) -> Vec<WeighedPart> {
    let custody = &held.ledger.custody;
    let alone = |thing: Thing| custody.contents(thing).all(|(of, _)| of == lot);
    custody
        .holders(lot)
        .filter(|(_, share)| *share < Share::WHOLE)
        .filter_map(|(holder, share)| match holder {
            Holder::Thing(thing) if thing.kind != ThingKind::Stone && alone(thing) => {
                let (entry, reading) = reading_entry(held, thing)?;
                Some(WeighedPart { share, reading, dried: dried_by(held, lot, entry).contains(&thing) })
            }
            _ => None,
        })
        .collect()
}

/// Some readings held against what the book says.
struct Against {
    outcome: Outcome,
    /// Observed less book.
    by: Mass,
    by_eye: bool,
    /// They could not be told from nothing.
    empty: bool,
}

impl Against {
    fn the_book(whole: Reading<Mass>, parts: &[WeighedPart], limit: Share) -> Self {
        let share: f64 = parts.iter().map(|part| part.share.fraction()).sum();
        let book = Mass::from_mg(whole.value.mg() * share);
        let observed: Mass = parts.iter().map(|part| part.reading.value).sum();
        let of_book = Mass::from_mg(whole.doubt.mg() * share);
        let read = combined(parts.iter().map(|part| part.reading.doubt));
        let outcome = compare(book, observed, combined([read, of_book]), whole.value, limit);
        let by_eye = whole.by == Means::ByEye || parts.iter().any(|part| part.reading.by == Means::ByEye);
        Self { outcome, by: observed - book, by_eye, empty: observed.mg() <= 2.0 * read.mg() }
    }

    fn differs(&self) -> bool {
        matches!(self.outcome, Outcome::Differs { .. })
    }

    fn words(&self) -> (Verdict, String, String) {
        outcome_words(self.outcome, self.by, self.by_eye)
    }
}

fn weighed_verdict(
    studio: &Studio,
    held: &Held,
    lot: u8,
    whole: Option<Reading<Mass>>,
) -> (Verdict, String, String) {
    let parts = weighed_parts(held, lot);
    let Some(whole) = whole.filter(|_| !parts.is_empty()) else {
        return (Verdict::Counted, "all accounted for, by count".to_owned(), String::new());
    };
    let limit = studio.policies().tell_limit;
    let all = Against::the_book(whole, &parts, limit);
    let (dried, others): (Vec<_>, Vec<_>) = parts.into_iter().partition(|part| part.dried);
    if dried.is_empty() {
        return all.words();
    }
    // What was not dried answers for itself, and so does a packet that is as good as empty.
    let (dried, others) = (Against::the_book(whole, &dried, limit), Against::the_book(whole, &others, limit));
    if others.differs() {
        return others.words();
    }
    if dried.by < Mass::ZERO && !dried.empty && (dried.differs() || all.differs()) {
        return (
            Verdict::CannotTell,
            format!("lighter by {} since it was dried", words::mass(dried.by.abs())),
            "What is dried gets lighter by itself, so its weight says nothing about a loss. Look into the packet \
             instead."
                .to_owned(),
        );
    }
    all.words()
}

/// An outcome as the bench says it; `by` is observed less book. `by_eye` where a reading was judged by eye.
pub fn outcome_words(outcome: Outcome, by: Mass, by_eye: bool) -> (Verdict, String, String) {
    let amount = words::mass(by.abs());
    let side = if by < Mass::ZERO { "short" } else { "over" };
    let teller = if by_eye { "the eye" } else { "your scale" };
    match outcome {
        Outcome::Agrees if amount == "0 mg" => (Verdict::Agrees, "all accounted for".to_owned(), String::new()),
        Outcome::Agrees => (Verdict::Agrees, format!("{amount} {side}, within what {teller} can tell"), String::new()),
        Outcome::Differs { .. } => (
            Verdict::Differs,
            format!("{amount} {side}, more than {teller} is out by"),
            "Weigh again, and look into every packet. Hair and petals take up and give off moisture, and dust stays in \
             a packet: say so where that explains it."
                .to_owned(),
        ),
        Outcome::CannotTell if by_eye => (Verdict::CannotTell, "can't be told by eye".to_owned(), String::new()),
        Outcome::CannotTell => (Verdict::CannotTell, "can't be told by this scale".to_owned(), String::new()),
    }
}

/// What would be worth weighing. The count stands without any of it.
fn worth(studio: &Studio, held: &Held, lot: u8, whole: Option<Reading<Mass>>) -> String {
    let Some(scale) = studio.bench_scale() else { return String::new() };
    let limit = studio.policies().tell_limit;
    let custody = &held.ledger.custody;
    let wrapping = Thing::wrapping(lot);
    let Some(whole) = whole else {
        return if custody.share(Holder::Thing(wrapping), lot) == Share::WHOLE {
            format!(
                "Weighing {} before anything is taken out gives later weighings something to be held against.",
                words::thing_plain(wrapping)
            )
        } else {
            String::new()
        };
    };
    if !worth_weighing(&scale, whole, limit) {
        return "Weighing again would tell nothing: so little is beyond this scale. The count stands."
            .to_owned();
    }
    let believed = studio.believed_scale().map(|(_, profile)| profile);
    let doubt = believed.map_or_else(|| scale.net_doubt(), ScaleProfile::least_doubt);
    let tells = |share: Share| {
        let found = weigh_back(whole, share, doubt, limit);
        found.can_tell && believed.is_none_or(|profile| profile.carries(found.expected))
    };
    let waiting = custody.holders(lot).filter_map(|(holder, share)| match holder {
        Holder::Thing(thing) if thing.kind != ThingKind::Stone && share < Share::WHOLE => {
            let here = custody.things.get(&thing).is_some_and(craft::ledger::Held::is_here);
            (here && tells(share) && reading_now(held, thing).is_none()).then(|| words::thing_plain(thing))
        }
        _ => None,
    });
    let waiting: Vec<String> = waiting.collect();
    match (waiting.as_slice(), believed) {
        ([], _) => String::new(),
        (_, Some(_)) => format!("Worth weighing: {}.", words::list(&waiting)),
        (_, None) => format!(
            "Try your scale with a coin or a known weight first, and write down on the shelf what it shows. Then \
             weighing {} could tell something.",
            words::list(&waiting)
        ),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::present::sample::{Bench, at, bench, day, id, line, sheet};
    use craft::compare::Scale;
    use craft::fact::{CustodyFact, Material};
    use craft::scale::{Coin, Known, Tare, Tried};
    use craft::shelf::{Item, What};
    use craft::stage::Stage;
    use craft::studio::{Edit, ShelfEdit};
    use craft::text::Text;

    fn only(bench: &Bench) -> Account {
        let held = bench.studio.order(bench.tag).unwrap();
        accounts(&bench.studio, held).swap_remove(0)
    }

    #[test]
    fn the_shares_say_who_holds_what_and_where() {
        let account = only(&bench(Stage::Here));
        let rows: Vec<_> = account
            .holders
            .iter()
            .map(|row| (row.who.as_str(), row.words.as_str(), row.place.as_str()))
            .collect();
        assert_eq!(
            rows,
            [
                ("wrapping 1, a tied lock in tissue", "two thirds", "on the bench"),
                ("envelope 1, the keep-back", "a third", "drawer 3"),
            ]
        );
        assert_eq!(account.came, "482 mg, ± 2.4 mg");
        assert_eq!(
            (account.verdict, account.words.as_str()),
            (Verdict::Counted, "all accounted for, by count")
        );
    }

    fn dry(bench: &mut Bench, thing: Thing) {
        let over = craft::units::Span::from_s(172_800.0);
        bench.record(CustodyFact::Dried { thing, way: craft::fact::Drying::InAir, over });
    }

    #[test]
    fn what_was_dried_is_lighter_by_itself_and_says_nothing_about_a_loss() {
        let envelope = Thing::envelope(1);
        let weighed = |dried: &[Thing], mg: f64| {
            let mut bench = bench(Stage::Here);
            for thing in dried {
                dry(&mut bench, *thing);
            }
            bench.weigh(envelope, mg);
            bench
        };
        let lighter = weighed(&[envelope], 120.7);
        let account = only(&lighter);
        assert_eq!(
            (account.verdict, account.words.as_str()),
            (Verdict::CannotTell, "lighter by 40 mg since it was dried")
        );
        assert!(account.advice.starts_with("What is dried gets lighter by itself"));
        let held = lighter.studio.order(lighter.tag).unwrap();
        let note = weighed_note(&lighter.studio, held).unwrap();
        assert_eq!(note, "The hair: lighter by 40 mg since it was dried.");
        // What was not dried itself, is heavier, agrees or is as good as empty says what it always did.
        assert_eq!(only(&weighed(&[Thing::wrapping(1)], 120.7)).verdict, Verdict::Differs);
        assert_eq!(only(&weighed(&[envelope], 200.7)).verdict, Verdict::Differs);
        assert_eq!(only(&weighed(&[envelope], 160.7)).words, "all accounted for");
        assert_eq!(
            only(&weighed(&[envelope], 1.0)).verdict,
            Verdict::Differs,
            "an empty packet is not shrugged off"
        );
        // A loss from another packet is not put down to the drying of this one.
        let mut both = weighed(&[envelope], 120.7);
        both.weigh(Thing::wrapping(1), 280.0);
        assert_eq!(only(&both).words, "41 mg short, more than your scale is out by");
    }

    #[test]
    fn a_lot_that_was_dried_before_it_was_shared_out_is_dry_in_every_packet_until_it_is_weighed_whole_again()
    {
        let (wrapping, envelope) = (Thing::wrapping(1), Thing::envelope(1));
        let shared_out = |again: bool| {
            let mut bench = Bench::open(sheet());
            bench.receive(1, Material::Hair);
            bench.weigh(wrapping, 482.0);
            dry(&mut bench, wrapping);
            if again {
                bench.weigh(wrapping, 402.0);
            }
            bench.record(CustodyFact::Opened { thing: wrapping, check: bench.check() });
            let (part, place) = (Share::of(1, 3), craft::place::Place::Kept(1));
            let into = envelope;
            let from = wrapping;
            bench.record(CustodyFact::SplitOff {
                from,
                lot: 1,
                into,
                part,
                keep_back: true,
                seal: None,
                place,
            });
            bench.weigh(envelope, 134.0);
            bench
        };
        let note =
            |bench: &Bench| super::super::drying::moisture_note(bench.studio.order(bench.tag).unwrap(), 1);
        let dried = shared_out(false);
        assert_eq!(only(&dried).words, "lighter by 27 mg since it was dried");
        assert!(
            note(&dried).starts_with("What is in wrapping 1 was dried open in the room for 2 days after all")
        );
        let again = shared_out(true);
        assert_eq!((only(&again).verdict, note(&again)), (Verdict::Agrees, String::new()));
    }

    #[test]
    fn a_second_weighing_agrees_differs_or_cannot_tell() {
        // The book: a third of 482 mg is 160.7 mg.
        let weighed = |mg: f64| {
            let mut bench = bench(Stage::Here);
            bench.weigh(Thing::envelope(1), mg);
            only(&bench)
        };
        assert_eq!(weighed(160.7).words, "all accounted for");
        assert_eq!(weighed(158.7).words, "2 mg short, within what your scale can tell");
        assert_eq!(weighed(162.7).words, "2 mg over, within what your scale can tell");
        let short = weighed(120.7);
        assert_eq!(
            (short.verdict, short.words.as_str()),
            (Verdict::Differs, "40 mg short, more than your scale is out by")
        );
        assert!(!short.advice.is_empty());
        assert_eq!(outcome_words(Outcome::CannotTell, Mass::ZERO, false).1, "can't be told by this scale");
        assert_eq!(outcome_words(Outcome::CannotTell, Mass::ZERO, true).1, "can't be told by eye");
    }

    #[test]
    fn a_look_is_told_apart_from_a_scale() {
        let mut bench = bench(Stage::Here);
        let reading = Reading { value: Mass::from_mg(165.0), doubt: Mass::from_mg(40.0), by: Means::ByEye };
        bench.record(CustodyFact::Weighed { thing: Thing::envelope(1), reading });
        let account = only(&bench);
        assert_eq!((account.verdict, account.words.as_str()), (Verdict::CannotTell, "can't be told by eye"));
        assert_eq!(account.holders[1].weighed, "about 0.165 g, by eye");
    }

    #[test]
    fn the_book_is_a_share_of_the_whole_and_not_the_whole() {
        let mut bench = bench(Stage::Here);
        bench.weigh(Thing::envelope(1), 482.0);
        assert_eq!(only(&bench).verdict, Verdict::Differs, "held against the whole it would have agreed");
    }

    #[test]
    fn what_cannot_be_found_is_said_before_any_weighing() {
        let mut bench = bench(Stage::Here);
        bench.record(CustodyFact::Lost { thing: Thing::envelope(1) });
        let account = only(&bench);
        assert_eq!(account.verdict, Verdict::Lost);
        assert_eq!(account.words, "cannot be found: envelope 1, the keep-back, a third");
    }

    #[test]
    fn too_little_for_the_scale_is_not_worth_weighing() {
        let mut bench = Bench::open(sheet());
        bench.receive(1, Material::Ashes);
        assert!(only(&bench).worth.starts_with("Weighing wrapping 1 before anything is taken out"));
        bench.weigh(Thing::wrapping(1), 6.0);
        assert!(only(&bench).worth.starts_with("Weighing again would tell nothing"));
    }

    #[test]
    fn a_paper_bears_the_weighings_only_where_there_are_some() {
        let mut bench = bench(Stage::Here);
        let note = |bench: &Bench| weighed_note(&bench.studio, bench.studio.order(bench.tag).unwrap());
        assert_eq!(note(&bench), None);
        bench.weigh(Thing::envelope(1), 158.7);
        assert_eq!(note(&bench).unwrap(), "The hair: 2 mg short, within what the studio's scale can tell.");
    }

    #[test]
    fn weighing_again_is_proposed_once_a_scale_was_tried_and_only_what_it_carries() {
        let mut bench = bench(Stage::Here);
        let first = "Try your scale with a coin or a known weight first";
        assert!(only(&bench).worth.starts_with(first), "the scale of the studio was never tried");
        assert!(only(&bench).worth.ends_with("weighing wrapping 1 and envelope 1 could tell something."));
        let fine = Scale { readability: Mass::from_mg(1.0), repeatability: Mass::from_mg(1.0) };
        let mut put = |shown: f64, most: Option<f64>| {
            let shown = Mass::from_mg(shown);
            let tried = vec![Tried { on: day(2026, 11, 20), with: Known::Coin(Coin::OneEuro), shown }];
            let most = most.map(Mass::from_mg);
            let what = What::Scale(ScaleProfile { scale: fine, most, tare: Tare::Button, tried });
            let item = Item { name: line("Fine"), retired: false, note: Text::default(), what };
            bench.studio.apply(Edit::Shelf(id("fine"), ShelfEdit::Put(Box::new(item))), at(0)).unwrap();
            only(&bench).worth
        };
        assert!(put(6_000.0, None).starts_with(first), "it was out");
        assert_eq!(put(7_500.0, None), "Worth weighing: wrapping 1 and envelope 1.");
        assert_eq!(put(7_500.0, Some(200.0)), "Worth weighing: envelope 1.");
    }
}
