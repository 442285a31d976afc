//! What a paper of an order names, and whether that is still so.
//!
//! A paper says what the record said when it was written, and is kept as it was. Whether it still holds follows from the
//! record alone: what it named then, with what had been struck by then left out, is compared with what it would name now.
//! Words and prices of the sheet are not compared; the record does not say when they changed.

use std::collections::{BTreeMap, BTreeSet};

use crate::fact::{Choice, ClientFact, CustodyFact, Fact, LeftOut, Material, PaperKind, Seal};
use crate::id::{Thing, ThingKind};
use crate::ledger::{Held as Kept, Ledger, Role, Stone, struck};
use crate::log::Log;
use crate::place::Place;
use crate::studio::Held;
use crate::tag::Tag;
use crate::units::Share;

/// How the newest paper of a kind stands to the record as it is now.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Standing {
    /// None was written; of a packing list, none for the box as it is packed now.
    NotIssued,
    /// It says what it would say now.
    Holds,
    /// It names these otherwise than it would now, or leaves them out.
    OutOfDate(Vec<Subject>),
}

/// Something that a paper names.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Subject {
    /// A thing with a label.
    Thing(Thing),
    /// What was left of a lot on the tools.
    Tools(u8),
    /// A material that stones are made with.
    Material(Material),
}

/// What a paper says of it.
#[derive(Clone, Debug, PartialEq)]
enum Said {
    /// Nothing but its name.
    Named,
    Share(Share),
    Packed(Stand, Contents, Looked),
    Kept {
        place: Place,
        open: bool,
        stand: Stand,
        contents: Contents,
        looked: Looked,
    },
    Shown(Box<Stone>, bool),
}

/// The newest entries that say what a scale, the eye and the drying said of a thing.
type Looked = [Option<u32>; 3];

/// How a thing stands to the box.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Stand {
    InBox,
    Waits,
    WentBefore,
    LeftOut(LeftOut),
    Lost,
    PassedTo(Tag),
    SetInto(Thing),
}

/// What is in a thing, and how it is closed.
#[derive(Clone, Debug, PartialEq)]
struct Contents {
    role: Role,
    seal: Option<Seal>,
    opened: bool,
    shares: Vec<(u8, Share)>,
    /// The stones set into it.
    stones: Vec<u8>,
}

type Named = BTreeMap<Subject, Said>;

/// The entry of the newest paper of a kind; of a packing list, of the box as it is packed now.
pub fn issued(held: &Held, kind: PaperKind) -> Option<u32> {
    let ledger = &held.ledger;
    let after = if kind == PaperKind::Packing { ledger.box_after() } else { 0 };
    let papers = ledger.home.papers.iter().rev();
    papers
        .map(|(entry, of, _)| (*entry, *of))
        .find(|(entry, of)| *of == kind && *entry > after)
        .map(|(entry, _)| entry)
}

/// How the newest paper of a kind stands to the record as it is now.
pub fn standing(held: &Held, kind: PaperKind) -> Standing {
    let (order, now) = (&held.order, &held.ledger);
    let Some(entry) = &issued(held, kind) else { return Standing::NotIssued };
    if *entry == order.log.len() || kind == PaperKind::Proof && is_sent(&order.log, *entry) {
        return Standing::Holds;
    }
    let log = order.log.up_to(*entry);
    // Every record that was let in folds, and so did its beginning when it was written.
    let Ok(then) = Ledger::replay(order.tag, &log) else { return Standing::OutOfDate(Vec::new()) };
    let (said, says) = (named(&then, &log, kind), named(now, &order.log, kind));
    let all: BTreeSet<&Subject> = said.keys().chain(says.keys()).collect();
    let changed: Vec<Subject> =
        all.into_iter().filter(|subject| said.get(subject) != says.get(subject)).copied().collect();
    if changed.is_empty() { Standing::Holds } else { Standing::OutOfDate(changed) }
}

/// A proof that went to the client is what they answered to, whatever comes after.
fn is_sent(log: &Log, entry: u32) -> bool {
    let struck = struck(log);
    log.entries().any(|(number, sent)| {
        number > entry
            && !struck.contains(&number)
            && matches!(sent.fact, Fact::Client(ClientFact::ProofSent { .. }))
    })
}

fn named(ledger: &Ledger, log: &Log, kind: PaperKind) -> Named {
    match kind {
        // It asks for what has not come yet.
        PaperKind::Kit => Named::new(),
        PaperKind::Receipt => came(ledger),
        PaperKind::Proof => shown(ledger),
        PaperKind::Packing => packed(ledger, log),
        PaperKind::Care => made_of(ledger),
        PaperKind::Custody => entrusted(ledger, log),
    }
}

/// A receipt names what came.
fn came(ledger: &Ledger) -> Named {
    let things = ledger.custody.things.keys();
    let came = things.filter(|thing| matches!(thing.kind, ThingKind::Wrapping | ThingKind::Keepsake));
    came.map(|thing| (Subject::Thing(*thing), Said::Named)).collect()
}

/// A proof shows the stones as they are made, whether they are in their moulds or not.
fn shown(ledger: &Ledger) -> Named {
    let is_here = |no| ledger.custody.things.get(&Thing::stone(no)).is_some_and(Kept::is_here);
    let answered = |no: u8| {
        let mut answers =
            ledger.client.rounds.iter().filter_map(|round| round.answer.map(|(_, choice)| (round, choice)));
        let none = |(round, choice): (&crate::ledger::Round, Choice)| {
            choice == Choice::NoneOfThese && round.stones.contains(&no)
        };
        answers.any(none) || ledger.client.chosen().any(|chosen| chosen == no)
    };
    let stones = ledger.client_stones().map(|(no, stone)| {
        let stone = Stone { taken_out: false, ..stone.clone() };
        (Subject::Thing(Thing::stone(*no)), Said::Shown(Box::new(stone), is_here(*no) && !answered(*no)))
    });
    stones.collect()
}

/// A packing list names what is in the box, or has still to be ticked into it, and everything that is not.
fn packed(ledger: &Ledger, log: &Log) -> Named {
    let opened = opened(log);
    let things = ledger.custody.things.iter().filter_map(|(thing, kept)| {
        let stand = stand(ledger, kept);
        // What is empty and stays is named nowhere.
        let bare = stand == Stand::Waits && ledger.is_bare(*thing);
        let said = || Said::Packed(stand, contents(ledger, *thing, kept, &opened), looked(ledger, *thing));
        (!bare).then(|| (Subject::Thing(*thing), said()))
    });
    things.chain(on_the_tools(ledger)).collect()
}

/// A care card says what the stones are made of, and whether metal is about them.
fn made_of(ledger: &Ledger) -> Named {
    let set = &ledger.fit.set;
    let stones: Vec<u8> = if set.is_empty() {
        ledger.client_stones().map(|(no, _)| *no).collect()
    } else {
        set.keys().copied().collect()
    };
    let lots = stones.iter().flat_map(|no| ledger.custody.contents(Thing::stone(*no)));
    let materials = lots.filter_map(|(lot, _)| ledger.custody.lots.get(&lot)).map(|lot| lot.material);
    let pieces = set.values().map(|piece| Subject::Thing(*piece));
    materials.map(Subject::Material).chain(pieces).map(|subject| (subject, Said::Named)).collect()
}

/// A custody sheet tells of everything that holds some of what was entrusted, where it lies and what was seen of it.
fn entrusted(ledger: &Ledger, log: &Log) -> Named {
    let opened = opened(log);
    let own = ledger.custody.things.iter().filter(|(thing, _)| !thing.is_practice());
    let things = own.map(|(thing, kept)| {
        let said = Said::Kept {
            place: kept.place.clone(),
            open: kept.open,
            stand: stand(ledger, kept),
            contents: contents(ledger, *thing, kept, &opened),
            looked: looked(ledger, *thing),
        };
        (Subject::Thing(*thing), said)
    });
    things.chain(on_the_tools(ledger)).collect()
}

fn looked(ledger: &Ledger, thing: Thing) -> Looked {
    let custody = &ledger.custody;
    let newest = |entries: &mut dyn Iterator<Item = (u32, Thing)>| {
        entries.filter(|(_, of)| *of == thing).map(|(entry, _)| entry).max()
    };
    [
        newest(&mut custody.weighed.iter().map(|(entry, of, _)| (*entry, *of))),
        newest(&mut custody.judged.iter().map(|judged| (judged.entry, judged.thing))),
        newest(&mut custody.dried.iter().map(|(entry, of, ..)| (*entry, *of))),
    ]
}

fn on_the_tools(ledger: &Ledger) -> impl Iterator<Item = (Subject, Said)> {
    let share = |lot: &u8| (*lot, ledger.custody.share(crate::fact::Holder::Tools, *lot));
    let some = ledger.custody.lots.keys().map(share).filter(|(_, share)| *share != Share::NONE);
    some.map(|(lot, share)| (Subject::Tools(lot), Said::Share(share)))
}

fn stand(ledger: &Ledger, kept: &Kept) -> Stand {
    let has_left = matches!(kept.place, Place::Post | Place::Home);
    let in_box = match ledger.sent_box() {
        None => kept.place == Place::Box && !kept.lost,
        // What is lost on its way was in the box all the same.
        sent => has_left && kept.sent_with == sent,
    };
    match (kept.passed_to, kept.part_of, kept.left_out) {
        _ if in_box => Stand::InBox,
        _ if kept.lost => Stand::Lost,
        (Some(to), ..) => Stand::PassedTo(to),
        (_, Some(piece), _) => Stand::SetInto(piece),
        (.., Some(why)) => Stand::LeftOut(why),
        _ if has_left => Stand::WentBefore,
        _ => Stand::Waits,
    }
}

fn contents(ledger: &Ledger, thing: Thing, kept: &Kept, opened: &BTreeSet<Thing>) -> Contents {
    let set = ledger.fit.set.iter().filter(|(_, piece)| **piece == thing);
    Contents {
        role: kept.role,
        seal: kept.seal,
        opened: opened.contains(&thing),
        shares: ledger.custody.contents(thing).collect(),
        stones: set.map(|(no, _)| *no).collect(),
    }
}

/// Everything that was ever opened: a keep-back that was not is said never to have been.
fn opened(log: &Log) -> BTreeSet<Thing> {
    let struck = struck(log);
    let standing = log.entries().filter(|(number, _)| !struck.contains(number));
    let opened = standing.filter_map(|(_, entry)| match &entry.fact {
        Fact::Custody(CustodyFact::Opened { thing, .. }) => Some(*thing),
        _ => None,
    });
    opened.collect()
}

#[cfg(test)]
mod tests;
