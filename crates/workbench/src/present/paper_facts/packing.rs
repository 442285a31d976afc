//! The packing list's facts.

use craft::digest::Digest;
use craft::fact::{CustodyFact, Fact, Holder, HomeFact, PaperKind};
use craft::id::{Thing, ThingKind};
use craft::ledger::{Held as Kept, Role};
use craft::place::Place;
use craft::shelf::What;
use craft::units::Share;
use papers::facts::{NotInBox, PackedThing, PackingFacts};

use super::proof::outline_of;
use super::{Subject, photo};
use crate::present::accounts::weighed_note;
use crate::present::drying::moisture_note;
use crate::present::parcels::{HomeBox, travels};
use crate::present::record::{newest_custody, standing};
use crate::present::words;

pub(super) fn facts(about: &Subject<'_>) -> Result<PackingFacts, String> {
    let ledger = &about.held.ledger;
    if ledger.custody.things.is_empty() {
        return Err("nothing of this order is here to be packed; record what came first".to_owned());
    }
    let packing = Packing::of(about);
    let listed = |piece: bool| {
        let all = packing.listed.iter().filter(move |(thing, _)| (thing.kind == ThingKind::Piece) == piece);
        all.map(|(thing, kept)| packed(about, &packing.home, *thing, kept))
    };
    let cards = ledger.home.papers.iter().filter(|(_, kind, _)| *kind == PaperKind::Care).take(1);
    let cards = cards.filter(|_| packing.takes_the_card(about)).map(|(_, kind, _)| PackedThing {
        what: words::sentence_start(words::paper(*kind)),
        ..PackedThing::default()
    });
    let (outcome, outcome_note) = outcome(about, &packing);
    Ok(PackingFacts {
        header: about.header(),
        intro: intro(about, &packing),
        spares_and_leftovers: listed(false).collect(),
        rest: listed(true).chain(cards).collect(),
        went_before: went_before(about, &packing.home),
        stays: packing.stays.iter().map(|(thing, kept)| stays(about, *thing, kept)).collect(),
        not_in_box: not_in_box(about),
        outcome,
        outcome_note,
        sent: sent(about, &packing.home),
        photo: box_photo(about, &packing.home)
            .map(|original| photo(original, "The open box with everything in it".to_owned())),
    })
}

/// The things of an order as they stand to one box.
struct Packing<'a> {
    home: HomeBox,
    /// What is in the box, or has still to be ticked into it.
    listed: Vec<(Thing, &'a Kept)>,
    /// What stays, where a part goes home while there is more to pack.
    stays: Vec<(Thing, &'a Kept)>,
}

impl<'a> Packing<'a> {
    fn of(about: &Subject<'a>) -> Self {
        let home = HomeBox::now(about.held);
        let all = about.held.ledger.custody.things.iter().map(|(thing, kept)| (*thing, kept));
        let mine = all.filter(|(thing, kept)| goes_home(about, &home, *thing, kept));
        let (inside, waiting): (Vec<_>, Vec<_>) = mine.partition(|(_, kept)| home.holds(kept));
        if inside.is_empty() || waiting.is_empty() {
            let listed = inside.into_iter().chain(waiting).collect();
            return Self { home, listed, stays: Vec::new() };
        }
        Self { home, listed: inside, stays: waiting }
    }

    fn is_part(&self) -> bool {
        !self.stays.is_empty()
    }

    /// The care card goes with the piece, or with the stones where there is no piece.
    fn takes_the_card(&self, about: &Subject<'_>) -> bool {
        let there = |kind| {
            about.held.ledger.custody.things.keys().any(|thing| thing.kind == kind && !thing.is_practice())
        };
        let listed = |kind| self.listed.iter().any(|(thing, _)| thing.kind == kind);
        if there(ThingKind::Piece) {
            listed(ThingKind::Piece)
        } else {
            listed(ThingKind::Stone) || !there(ThingKind::Stone)
        }
    }
}

/// What belongs on the list: not what was set into a piece, lost, left out or passed on, nor what went home before, nor
/// a thing with nothing in it.
fn goes_home(about: &Subject<'_>, home: &HomeBox, thing: Thing, kept: &Kept) -> bool {
    let named = kept.lost || kept.left_out.is_some() || kept.passed_to.is_some();
    let bare = about.held.ledger.is_bare(thing) && !home.holds(kept);
    kept.part_of.is_none() && !named && !bare && home.went_before(kept).is_none()
}

fn intro(about: &Subject<'_>, packing: &Packing<'_>) -> String {
    let name = words::remembered(about.held);
    if packing.is_part() {
        return format!(
            "A part of what came to the studio for {name} goes home in this box. The rest stays in the studio for now, \
             and is named below."
        );
    }
    if packing.home.is_a_later_one() {
        return format!(
            "What was still in the studio for {name} goes home in this box, or is named below, and so is what went home \
             before."
        );
    }
    format!("Everything that came to the studio for {name} goes home in this box, or is named below.")
}

fn packed(about: &Subject<'_>, home: &HomeBox, thing: Thing, kept: &Kept) -> PackedThing {
    PackedThing {
        label: words::label(thing),
        what: what(about, thing, kept),
        detail: detail(about, thing, kept),
        place: String::new(),
        ticked: home.holds(kept),
    }
}

/// What it is, with its label: "A blue ribbon (K1)".
fn with_label(about: &Subject<'_>, thing: Thing, kept: &Kept) -> String {
    format!("{} ({})", what(about, thing, kept), words::label(thing))
}

/// What went home in a box before this one, with the day.
fn went_before(about: &Subject<'_>, home: &HomeBox) -> Vec<NotInBox> {
    let things = about.held.ledger.custody.things.iter();
    let gone = things.filter(|(_, kept)| !kept.lost && kept.left_out.is_none() && kept.part_of.is_none());
    let row = |(thing, kept): (&Thing, &Kept)| {
        let day = home.went_before(kept)?;
        let why = format!("went home on {}", about.day(day));
        Some(NotInBox { what: with_label(about, *thing, kept), why })
    };
    gone.filter_map(row).collect()
}

/// What stays for now, and how it lies in the studio.
fn stays(about: &Subject<'_>, thing: Thing, kept: &Kept) -> NotInBox {
    let why = if kept.place == Place::Away {
        "away, being worked on; it goes home later".to_owned()
    } else {
        "stays here for now; it goes home later".to_owned()
    };
    NotInBox { what: with_label(about, thing, kept), why }
}

/// The newest photo of this box; one of an earlier box shows other things.
fn box_photo(about: &Subject<'_>, home: &HomeBox) -> Option<Digest> {
    let mut photos = standing(about.held).into_iter().rev().filter_map(|(number, entry)| match entry.fact {
        Fact::Home(HomeFact::BoxPhotographed { photo }) if number > home.after() => Some(photo),
        _ => None,
    });
    photos.next()
}

fn what(about: &Subject<'_>, thing: Thing, kept: &Kept) -> String {
    let held = about.held;
    let described = held.order.sheet.description(thing).filter(|words| !words.is_empty());
    let said = match (thing.kind, kept.role) {
        (_, Role::KeepBack { lot, .. }) => format!("keep-back of {}", words::lot(held, lot)),
        (ThingKind::Stone, _) => format!("{}, unset", words::thing_plain(thing)),
        (ThingKind::Piece, _) => piece(about, thing),
        (ThingKind::Wrapping, _) => match described {
            Some(words) => format!("your wrapping: {words}"),
            None => format!("your wrapping of {}", words::lot(held, thing.no)),
        },
        (ThingKind::Offcuts, _) => words::offcuts(held, thing).to_owned(),
        _ => described.map_or_else(|| words::thing_plain(thing), ToString::to_string),
    };
    words::sentence_start(&said)
}

/// "ring with stone 1".
fn piece(about: &Subject<'_>, thing: Thing) -> String {
    let stones: Vec<u8> =
        about.held.ledger.fit.set.iter().filter(|(_, piece)| **piece == thing).map(|(no, _)| *no).collect();
    let setting = about.held.order.sheet.setting.as_ref().and_then(|id| about.studio.shelf().get(id));
    let kind = match setting.map(|item| &item.what) {
        Some(What::Setting(setting)) if !setting.kind.is_empty() => setting.kind.to_string(),
        _ => "finished piece".to_owned(),
    };
    if stones.is_empty() {
        kind
    } else {
        format!("{kind} with {}", crate::present::undo_words::stone_list(&stones))
    }
}

fn detail(about: &Subject<'_>, thing: Thing, kept: &Kept) -> String {
    let custody = &about.held.ledger.custody;
    let mut said = Vec::new();
    if thing.kind == ThingKind::Stone {
        let mould = about.held.order.sheet.stone(thing.no).map(|stone| &stone.mould);
        said.extend(mould.and_then(|mould| outline_of(about.studio, mould)).as_ref().map(words::outline));
    } else {
        said.extend(custody.contents(thing).map(|(lot, share)| {
            if share == Share::WHOLE {
                "all that came".to_owned()
            } else {
                format!("{} of {}", words::share(share), words::lot(about.held, lot))
            }
        }));
        said.extend(Some(about.seal(thing)).filter(|seal| !seal.is_empty()));
        let opened = newest_custody(about.held, |fact| {
            matches!(fact, CustodyFact::Opened { thing: opened, .. } if *opened == thing).then_some(())
        });
        if matches!(kept.role, Role::KeepBack { .. }) && opened.is_none() {
            said.push("never opened".to_owned());
        }
        if thing.kind == ThingKind::Wrapping && custody.contents(thing).next().is_none() {
            said.push("empty".to_owned());
        }
    }
    said.join(", ")
}

/// What is lost, left out, passed on or left on the tools, each with the reason.
fn not_in_box(about: &Subject<'_>) -> Vec<NotInBox> {
    let custody = &about.held.ledger.custody;
    let things = custody.things.iter().filter_map(|(thing, kept)| {
        let why = match (kept.lost, kept.left_out, kept.passed_to) {
            (true, ..) => "lost: it cannot be found".to_owned(),
            (_, _, Some(to)) => format!("went over to your other order, {to}"),
            (_, Some(why), _) => format!("left out: {}", words::left_out(why).replace("the client", "you")),
            _ => return None,
        };
        Some(NotInBox { what: with_label(about, *thing, kept), why })
    });
    let tools = custody.lots.keys().filter_map(|lot| {
        let share = custody.share(Holder::Tools, *lot);
        (share != Share::NONE).then(|| NotInBox {
            what: words::sentence_start(&format!(
                "{} of {}",
                words::share(share),
                words::lot(about.held, *lot)
            )),
            why: "left on the tools in the making; it cannot be gathered again".to_owned(),
        })
    });
    things.chain(tools).collect()
}

/// How the count came out, and in words how it was come by.
fn outcome(about: &Subject<'_>, packing: &Packing<'_>) -> (String, String) {
    let ledger = &about.held.ledger;
    if packing.is_part() {
        let (inside, stays) = (packing.listed.len(), packing.stays.len());
        return (
            format!(
                "A part: {} in this box, {} for now",
                words::count(inside, "thing is", "things are"),
                words::count(stays, "stays in the studio", "stay in the studio")
            ),
            "What stays goes home later, with a list of its own.".to_owned(),
        );
    }
    let left = ledger.to_pack().len();
    if left > 0 {
        return (
            format!("Not finished: {} still to be ticked", words::count(left, "thing", "things")),
            String::new(),
        );
    }
    let lost = ledger.custody.things.values().filter(|kept| kept.lost).count();
    if lost > 0 {
        let named = words::count(lost, "thing", "things");
        return (format!("All accounted for but {named}, named above as lost"), String::new());
    }
    let counted = "Every thing was ticked into the box by its tag, or is named above.";
    let weighed = weighed_note(about.studio, about.held);
    // Where weights are told of, so is what drying and damp air did to them.
    let lots = ledger.custody.lots.keys().filter(|_| weighed.is_some());
    let moist = lots.map(|lot| moisture_note(about.held, *lot)).filter(|note| !note.is_empty());
    let said = [counted.to_owned()].into_iter().chain(weighed.clone()).chain(moist).collect::<Vec<_>>();
    ("All accounted for".to_owned(), said.join(" "))
}

/// How this box is sent. What is written of a parcel that left before is not said of the next.
fn sent(about: &Subject<'_>, home: &HomeBox) -> String {
    let mut said = Vec::new();
    if let Some(day) = home.sent_on() {
        said.push(format!("Posted on {}", words::date_with_year(day)));
    }
    let parcel = home.parcel(about.held);
    if let Some(parcel) = parcel {
        said.extend(Some(travels(parcel)).filter(|how| !how.is_empty()));
        said.extend(parcel.insured.map(|sum| format!("insured for {sum}")));
    }
    if said.is_empty() {
        return String::new();
    }
    let insured = parcel.is_some_and(|parcel| parcel.insured.is_some());
    let caution = if insured { " Compensation covers a sum of money, never what is inside." } else { "" };
    format!("{}.{caution}", words::sentence_start(&said.join(", ")))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::present::paper_facts::paper;
    use crate::present::sample::{Bench, bench, sheet};
    use craft::fact::LeftOut;
    use craft::stage::Stage;
    use papers::facts::Paper;

    fn list(bench: &Bench) -> Result<PackingFacts, String> {
        match paper(&bench.studio, bench.tag, PaperKind::Packing, bench.now())? {
            Paper::Packing(facts) => Ok(facts),
            other => panic!("{other:?}"),
        }
    }

    #[test]
    fn everything_that_came_or_was_made_is_on_the_list() {
        let facts = list(&bench(Stage::GoneHome)).unwrap();
        let spares: Vec<_> =
            facts.spares_and_leftovers.iter().map(|row| (row.label.as_str(), row.what.as_str())).collect();
        assert_eq!(
            spares,
            [
                ("W1", "Your wrapping: a tied lock in tissue"),
                ("E1", "Keep-back of the hair"),
                ("S2", "Stone 2, unset"),
                ("B1", "Offcuts"),
                ("K1", "A blue ribbon"),
            ]
        );
        assert!(facts.spares_and_leftovers.iter().all(|row| row.ticked));
        assert_eq!(
            facts.spares_and_leftovers[1].detail,
            "a third of the hair, seal 13, put on 25 November, never opened"
        );
        assert_eq!(facts.rest[0].what, "Ring with stone 1");
        assert_eq!(facts.outcome, "All accounted for");
        assert!(facts.not_in_box.is_empty());
        assert!(
            facts.sent.starts_with("Posted on 25 November 2026, carried by the post, tracking HM2"),
            "{}",
            facts.sent
        );
    }

    #[test]
    fn what_is_not_in_the_box_is_named_with_its_reason() {
        let mut bench = bench(Stage::Set);
        bench.record(HomeFact::LeftOut { thing: Thing::keepsake(1), why: LeftOut::HeldForClient });
        bench.record(CustodyFact::Lost { thing: Thing::offcuts(1) });
        let facts = list(&bench).unwrap();
        let named: Vec<_> =
            facts.not_in_box.iter().map(|row| (row.what.as_str(), row.why.as_str())).collect();
        assert_eq!(
            named,
            [
                ("Offcuts (B1)", "lost: it cannot be found"),
                ("A blue ribbon (K1)", "left out: held here, as you asked"),
            ]
        );
        assert_eq!(facts.outcome, "Not finished: 4 things still to be ticked");
        assert!(facts.spares_and_leftovers.iter().all(|row| !row.ticked && row.label != "B1"));
    }

    fn inside(facts: &PackingFacts) -> Vec<String> {
        let ticked = facts.spares_and_leftovers.iter().chain(&facts.rest).filter(|row| row.ticked);
        ticked.map(|row| row.label.clone()).collect()
    }

    fn named(rows: &[NotInBox]) -> Vec<&str> {
        rows.iter().map(|row| row.what.as_str()).collect()
    }

    #[test]
    fn of_two_parcels_each_has_its_own_list_and_nothing_is_in_both_boxes() {
        let mut bench = bench(Stage::Set);
        let check = bench.check();
        for thing in [Thing::stone(2), Thing::keepsake(1)] {
            bench.record(HomeFact::Ticked { thing, check });
        }
        bench.record(HomeFact::BoxPhotographed { photo: Digest::of(b"first box") });
        let first = list(&bench).unwrap();
        assert!(first.intro.starts_with("A part of what came to the studio for Bramble goes home"));
        assert_eq!(inside(&first), ["S2", "K1"]);
        assert_eq!(first.spares_and_leftovers.len() + first.rest.len(), 2, "what stays has no tick box");
        assert_eq!(
            named(&first.stays),
            [
                "Your wrapping: a tied lock in tissue (W1)",
                "Keep-back of the hair (E1)",
                "Offcuts (B1)",
                "Ring with stone 1 (P1)"
            ]
        );
        assert_eq!(first.outcome, "A part: 2 things are in this box, 4 stay in the studio for now");
        bench.record(HomeFact::PaperIssued { paper: PaperKind::Packing, file: Digest::of(b"list") });
        bench.record(HomeFact::SentPart);
        // The second box, before anything is in it: what left before is no part of it, nor its photo, list and post.
        let second = list(&bench).unwrap();
        assert_eq!(inside(&second), [""; 0]);
        assert_eq!(named(&second.went_before), ["Stone 2, unset (S2)", "A blue ribbon (K1)"]);
        assert_eq!(second.went_before[0].why, "went home on 25 November");
        assert_eq!((second.photo, second.sent.as_str()), (None, ""));
        assert_eq!(second.outcome, "Not finished: 4 things still to be ticked");
        let held = bench.studio.order(bench.tag).unwrap();
        assert!(
            !crate::present::paper_rows::is_issued(held, PaperKind::Packing),
            "a list is that of one box"
        );
        for thing in held.ledger.to_pack() {
            bench.record(HomeFact::Ticked { thing, check });
        }
        bench.record(HomeFact::BoxPhotographed { photo: Digest::of(b"second box") });
        for sent in [false, true] {
            if sent {
                bench.record(HomeFact::Sent);
                bench.record(HomeFact::Arrived);
            }
            let second = list(&bench).unwrap();
            assert_eq!(inside(&second), ["W1", "E1", "B1", "P1"], "sent: {sent}");
            assert!(inside(&second).iter().all(|label| !inside(&first).contains(label)));
            assert_eq!(named(&second.went_before), ["Stone 2, unset (S2)", "A blue ribbon (K1)"]);
            assert!(second.stays.is_empty() && second.not_in_box.is_empty());
            assert!(
                second.intro.starts_with("What was still in the studio for Bramble goes home in this box")
            );
            assert_eq!(second.outcome, "All accounted for");
            assert_eq!(second.photo.map(|photo| photo.name), Some(Digest::of(b"second box").to_string()));
            assert_eq!(second.sent.starts_with("Posted on 25 November 2026, carried by the post"), sent);
        }
    }

    #[test]
    fn what_went_over_to_another_order_is_named_and_has_no_tick_box() {
        let mut bench = bench(Stage::Here);
        let other = (1_000..).find_map(craft::tag::Tag::from_number).unwrap();
        let mut wanted = sheet();
        wanted.stones = Vec::new();
        let open =
            craft::studio::OrderEdit::Open { client: "ida-lund".parse().unwrap(), sheet: Box::new(wanted) };
        let now = bench.now();
        bench.studio.apply(craft::studio::Edit::Order(other, open), now).unwrap();
        bench.record(CustodyFact::PassedOn { thing: Thing::wrapping(1), to: other });
        let facts = list(&bench).unwrap();
        assert!(facts.spares_and_leftovers.iter().all(|row| row.label != "W1"));
        assert_eq!(facts.not_in_box[0].why, format!("went over to your other order, {other}"));
    }

    #[test]
    fn an_order_with_nothing_here_has_no_list() {
        assert!(list(&Bench::open(sheet())).unwrap_err().starts_with("nothing of this order is here"));
    }

    #[test]
    fn the_list_says_what_was_dried_beside_what_was_weighed() {
        let mut bench = bench(Stage::Set);
        let (thing, over) = (Thing::envelope(1), craft::units::Span::from_s(172_800.0));
        bench.record(CustodyFact::Dried { thing, way: craft::fact::Drying::InAir, over });
        let dried = "What is in envelope 1 was dried open in the room for 2 days";
        let note = |bench: &mut Bench| {
            let check = bench.check();
            for thing in bench.studio.order(bench.tag).unwrap().ledger.to_pack() {
                bench.record(HomeFact::Ticked { thing, check });
            }
            list(bench).unwrap().outcome_note
        };
        assert!(!note(&mut bench).contains(dried), "nothing was weighed again");
        bench.weigh(thing, 120.7);
        let said = note(&mut bench);
        assert!(
            said.contains("The hair: lighter by 40 mg since it was dried. ") && said.contains(dried),
            "{said}"
        );
        assert!(!said.contains("short"), "{said}");
    }
}
