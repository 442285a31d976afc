//! The packing list's facts.

use craft::fact::{CustodyFact, Holder, PaperKind};
use craft::id::{Thing, ThingKind};
use craft::ledger::{Held as Kept, Role};
use craft::order::ParcelKind;
use craft::place::Place;
use craft::shelf::What;
use craft::units::Share;
use papers::facts::{NotInBox, PackedThing, PackingFacts};

use super::proof::outline_of;
use super::{Subject, photo};
use crate::present::accounts::weighed_note;
use crate::present::record::newest_custody;
use crate::present::words;

pub(super) fn facts(about: &Subject<'_>) -> Result<PackingFacts, String> {
    let ledger = &about.held.ledger;
    if ledger.custody.things.is_empty() {
        return Err("nothing of this order is here to be packed; record what came first".to_owned());
    }
    let listed = |piece: bool| {
        let loose = ledger.custody.things.iter().filter(move |(thing, kept)| {
            (thing.kind == ThingKind::Piece) == piece && goes_home(about, **thing, kept)
        });
        loose.map(|(thing, kept)| packed(about, *thing, kept))
    };
    let papers = ledger.home.papers.iter().filter(|(_, kind, _)| *kind == PaperKind::Care).take(1);
    let cards = papers.map(|(_, kind, _)| PackedThing {
        what: words::sentence_start(words::paper(*kind)),
        ..PackedThing::default()
    });
    let (outcome, outcome_note) = outcome(about);
    Ok(PackingFacts {
        header: about.header(),
        intro: format!(
            "Everything that came to the studio for {} goes home in this box, or is named below.",
            words::remembered(about.held)
        ),
        spares_and_leftovers: listed(false).collect(),
        rest: listed(true).chain(cards).collect(),
        not_in_box: not_in_box(about),
        outcome,
        outcome_note,
        sent: sent(about),
        photo: ledger
            .home
            .box_photos
            .last()
            .map(|original| photo(*original, "The open box with everything in it".to_owned())),
    })
}

const fn in_box(kept: &Kept) -> bool {
    matches!(kept.place, Place::Box | Place::Post | Place::Home)
}

/// What belongs on the list: not what was set into a piece, lost or left out, nor an emptied envelope.
fn goes_home(about: &Subject<'_>, thing: Thing, kept: &Kept) -> bool {
    let empty = thing.kind == ThingKind::Envelope
        && about.held.ledger.custody.contents(thing).next().is_none()
        && !in_box(kept);
    kept.part_of.is_none() && !kept.lost && kept.left_out.is_none() && !empty
}

fn packed(about: &Subject<'_>, thing: Thing, kept: &Kept) -> PackedThing {
    PackedThing {
        label: words::label(thing),
        what: what(about, thing, kept),
        detail: detail(about, thing, kept),
        place: String::new(),
        ticked: in_box(kept),
    }
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

/// What is lost, left out or left on the tools, each with the reason.
fn not_in_box(about: &Subject<'_>) -> Vec<NotInBox> {
    let custody = &about.held.ledger.custody;
    let things = custody.things.iter().filter_map(|(thing, kept)| {
        let why = match (kept.lost, kept.left_out) {
            (true, _) => "lost: it cannot be found".to_owned(),
            (false, Some(why)) => format!("left out: {}", words::left_out(why).replace("the client", "you")),
            (false, None) => return None,
        };
        Some(NotInBox { what: format!("{} ({})", what(about, *thing, kept), words::label(*thing)), why })
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
fn outcome(about: &Subject<'_>) -> (String, String) {
    let ledger = &about.held.ledger;
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
    let weighed = weighed_note(about.studio, about.held).map(|note| format!(" {note}")).unwrap_or_default();
    ("All accounted for".to_owned(), format!("{counted}{weighed}"))
}

fn sent(about: &Subject<'_>) -> String {
    let parcel = about.held.order.sheet.parcels.iter().rev().find(|parcel| parcel.kind == ParcelKind::Home);
    let mut said = Vec::new();
    if let Some(day) = about.held.ledger.home.sent.map(|at| at.day()) {
        said.push(format!("Posted on {}", words::date_with_year(day)));
    }
    if let Some(parcel) = parcel {
        said.extend(Some(format!("carried by {}", parcel.carrier)).filter(|_| !parcel.carrier.is_empty()));
        said.extend(Some(format!("tracking {}", parcel.tracking)).filter(|_| !parcel.tracking.is_empty()));
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
    use craft::fact::{HomeFact, LeftOut};
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

    #[test]
    fn an_order_with_nothing_here_has_no_list() {
        assert!(list(&Bench::open(sheet())).unwrap_err().starts_with("nothing of this order is here"));
    }
}
