//! Three clients, four orders and a pair of hands: whatever is tried in whatever order, what lies on the bench and in the
//! packets is never mixed, keep-backs are kept, and no part is lost on paper.
//!
//! The hands are a model of their own: they know packets, piles and crumbs on a bench, and nothing of ledgers. They do
//! what the door has let through, and only that. One thing in eight is told of later: it lay on another day's bench and
//! leaves no crumbs on this one, but what it left open stands open now. `PROPTEST_CASES` says how many sequences are tried: 256 unless set.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::LazyLock;

use proptest::prelude::*;
use proptest::strategy::ValueTree as _;

use super::*;
use crate::fact::{
    Check, ClientFact, CustodyFact, Fact, Hardness, Holder, HomeFact, How, LeftOut, Material, Mistake,
    PourFact, Wish,
};
use crate::id::{Thing, ThingKind};
use crate::ledger::Role;
use crate::place::Place;
use crate::testing::*;
use crate::units::Share;

/// Which client each order is of: the first client has two.
const CLIENTS: [u32; 4] = [0, 1, 2, 0];

fn order_no(who: u8) -> u32 {
    u32::from(who) % 4
}

/// A studio of three clients with four orders, nothing received, the bench ticked clear between clients.
static BEGINNING: LazyLock<Studio> = LazyLock::new(|| {
    let mut bench = Bench::new();
    let asks = Policies { bench_clear: true, ..policies() };
    bench.edit(Edit::Policies(Box::new(asks))).unwrap();
    bench.open(1);
    bench.open(2);
    let sheet = Box::new(sheet(&["B1", "A1"]));
    bench.edit(Edit::Order(tag(3), OrderEdit::Open { client: client_id(0), sheet })).unwrap();
    bench.studio
});

// The hands.

/// A client's material: which order's, which lot's.
type Grain = (u32, u8);
/// What lies in one packet, in millionths of each lot.
type Pile = BTreeMap<Grain, u32>;

/// What the hands hold, see and have done.
#[derive(Clone, Debug, Default)]
struct Hands {
    piles: BTreeMap<(u32, Thing), Pile>,
    on_tools: Pile,
    open: BTreeSet<(u32, Thing)>,
    /// Whose crumbs lie on the bench.
    crumbs: BTreeSet<u32>,
    keep_backs: BTreeSet<(u32, Thing)>,
    /// Keep-backs the client has said yes to, until they are closed again.
    yes: BTreeSet<(u32, Thing)>,
    asked_to_destroy: BTreeSet<(u32, Thing)>,
    passed: BTreeMap<(u32, Thing), u32>,
    taken: BTreeSet<(u32, Thing)>,
    /// What was done that must never be.
    harm: Vec<String>,
}

fn number_of(wanted: Tag) -> u32 {
    (0..4).find(|no| tag(*no) == wanted).unwrap_or(u32::MAX)
}

fn client_of(order: u32) -> u32 {
    usize::try_from(order).ok().and_then(|at| CLIENTS.get(at)).copied().unwrap_or(u32::MAX)
}

impl Hands {
    fn harm(&mut self, what: impl Into<String>) {
        self.harm.push(what.into());
    }

    fn pour(&mut self, order: u32, from: Thing, lot: u8, to: Holder, part: u32) {
        let grain = (order, lot);
        let kept = self.keep_backs.contains(&(order, from)) && !self.yes.contains(&(order, from));
        if kept {
            self.harm(format!("{from} of order {order} is a keep-back, and the client has not said yes"));
        }
        if from.kind != ThingKind::Stone && !self.open.contains(&(order, from)) {
            self.harm(format!("{from} of order {order} is closed"));
        }
        if from.kind != ThingKind::Stone && self.crumbs.iter().any(|client| *client != client_of(order)) {
            self.harm(format!("{from} of order {order} was shared out over another client's crumbs"));
        }
        let source = self.piles.entry((order, from)).or_default();
        match source.get_mut(&grain) {
            Some(there) if *there >= part => *there -= part,
            _ => self.harm.push(format!("{part} of lot {lot} are not in {from} of order {order}")),
        }
        let target = match to {
            Holder::Thing(to) => self.piles.entry((order, to)).or_default(),
            Holder::Tools => &mut self.on_tools,
        };
        *target.entry(grain).or_default() += part;
        self.crumbs.insert(client_of(order));
    }

    /// Does what a fact says was done on another day: the bench of today has nothing of it.
    fn act_told(&mut self, order: u32, fact: &Fact) {
        let crumbs = std::mem::take(&mut self.crumbs);
        self.act(order, fact);
        self.crumbs = crumbs;
    }

    /// Does what a fact says was done.
    fn act(&mut self, order: u32, fact: &Fact) {
        match fact {
            Fact::Custody(fact) => self.handle(order, fact),
            Fact::Client(ClientFact::Instructed { thing, wish }) => {
                let key = (order, *thing);
                if *wish == Wish::Destroy {
                    self.asked_to_destroy.insert(key);
                } else {
                    self.asked_to_destroy.remove(&key);
                }
            }
            Fact::Home(HomeFact::LeftOut { thing, why: LeftOut::DestroyedOnRequest })
                if !self.asked_to_destroy.contains(&(order, *thing)) =>
            {
                self.harm(format!("{thing} of order {order} was destroyed, and nobody asked for it"));
            }
            _ => {}
        }
    }

    fn handle(&mut self, order: u32, fact: &CustodyFact) {
        match fact {
            CustodyFact::Received { lot, .. } => {
                self.piles.insert((order, Thing::wrapping(*lot)), Pile::from([((order, *lot), 1_000_000)]));
            }
            CustodyFact::TakenOver { lot, of, thing, .. } => {
                let from = (number_of(*of), *thing);
                if self.passed.get(&from) != Some(&order) || client_of(from.0) != client_of(order) {
                    self.harm(format!("{thing} of order {} was not given to order {order}", from.0));
                }
                if !self.taken.insert(from) {
                    self.harm(format!("{thing} of order {} was taken over twice", from.0));
                }
                self.piles.insert((order, Thing::wrapping(*lot)), Pile::from([((order, *lot), 1_000_000)]));
            }
            CustodyFact::SplitOff { from, lot, into, part, keep_back, .. } => {
                self.pour(order, *from, *lot, Holder::Thing(*into), part.millionths());
                if *keep_back {
                    self.keep_backs.insert((order, *into));
                }
            }
            CustodyFact::Moved { from, lot, to, part } => {
                self.pour(order, *from, *lot, *to, part.millionths());
            }
            CustodyFact::Released { thing } => {
                self.yes.insert((order, *thing));
            }
            CustodyFact::Opened { thing, check } => self.open(order, *thing, *check),
            CustodyFact::Closed { thing, .. } | CustodyFact::Lost { thing } => self.close(order, *thing),
            CustodyFact::PassedOn { thing, to } => {
                let to = number_of(*to);
                if client_of(to) != client_of(order) {
                    self.harm(format!("{thing} of order {order} was given to another client's order {to}"));
                }
                self.passed.insert((order, *thing), to);
            }
            CustodyFact::BenchCleared => self.crumbs.clear(),
            _ => {}
        }
    }

    fn open(&mut self, order: u32, thing: Thing, check: Check) {
        if number_of(check.tag) != order {
            self.harm(format!("{thing} was opened for order {order} and bears {}", check.tag));
        }
        if self.keep_backs.contains(&(order, thing)) && !self.yes.contains(&(order, thing)) {
            self.harm(format!("the keep-back {thing} of order {order} was opened without a yes"));
        }
        if self.open.iter().any(|(other, _)| client_of(*other) != client_of(order)) {
            self.harm(format!("{thing} of order {order} was opened beside another client's material"));
        }
        if self.crumbs.iter().any(|client| *client != client_of(order)) {
            self.harm(format!("{thing} of order {order} was opened over another client's crumbs"));
        }
        self.open.insert((order, thing));
        self.crumbs.insert(client_of(order));
    }

    fn close(&mut self, order: u32, thing: Thing) {
        self.open.remove(&(order, thing));
        self.yes.remove(&(order, thing));
    }

    /// Everything there is of each lot, wherever it lies.
    fn sums(&self) -> BTreeMap<Grain, u32> {
        let mut sums = BTreeMap::new();
        for (grain, part) in self.piles.values().chain([&self.on_tools]).flatten() {
            *sums.entry(*grain).or_default() += part;
        }
        sums
    }
}

// The laws.

type Law = Result<(), String>;

fn law(holds: bool, broken: impl FnOnce() -> String) -> Law {
    if holds { Ok(()) } else { Err(broken()) }
}

/// No packet, and no tool that was used for one client only, holds two clients' material.
fn never_mixed(hands: &Hands) -> Law {
    law(hands.harm.is_empty(), || hands.harm.join("; "))?;
    for ((order, thing), pile) in &hands.piles {
        let strange = pile.iter().find(|((of, _), part)| **part > 0 && client_of(*of) != client_of(*order));
        law(strange.is_none(), || format!("{thing} of order {order} holds {strange:?}"))?;
    }
    Ok(())
}

/// All parts of every lot together are the lot.
fn parts_are_conserved(hands: &Hands) -> Law {
    let sums = hands.sums();
    law(sums.values().all(|sum| *sum == 1_000_000), || format!("{sums:?}"))
}

/// The ledger of an order says of each pile what the hands know of it.
fn the_book_is_right(hands: &Hands, order: u32, ledger: &Ledger) -> Law {
    for lot in ledger.custody.lots.keys() {
        let on_tools = hands.on_tools.get(&(order, *lot)).copied().unwrap_or(0);
        let book = ledger.custody.share(Holder::Tools, *lot).millionths();
        law(on_tools == book, || format!("{on_tools} on the tools, {book} in the book"))?;
        for ((_, thing), pile) in hands.piles.iter().filter(|((of, _), _)| *of == order) {
            let there = pile.get(&(order, *lot)).copied().unwrap_or(0);
            let book = ledger.custody.share(Holder::Thing(*thing), *lot).millionths();
            law(there == book, || {
                format!("{there} of lot {lot} in {thing} of order {order}, {book} in the book")
            })?;
        }
    }
    let open: BTreeSet<Thing> = ledger.custody.open().collect();
    let really = hands.open.iter().filter(|(of, _)| *of == order).map(|(_, thing)| *thing).collect();
    law(open == really, || format!("{open:?} open in the book, {really:?} really"))
}

/// A keep-back that was never released holds all that was put into it.
fn keep_backs_are_held(ledger: &Ledger, log: &Log) -> Law {
    let left_out = ledger::struck(log);
    let live = || log.entries().filter(|(no, _)| !left_out.contains(no)).map(|(_, entry)| &entry.fact);
    for fact in live() {
        let Fact::Custody(CustodyFact::SplitOff { into, lot, part, keep_back: true, .. }) = fact else {
            continue;
        };
        let released = live().any(|fact| *fact == Fact::from(CustodyFact::Released { thing: *into }));
        let holds = ledger.custody.share(Holder::Thing(*into), *lot);
        law(released || holds >= *part, || format!("{into} holds {holds:?} of {part:?}"))?;
    }
    Ok(())
}

// What is tried.

/// One thing that is tried: on which order, what, and numbers to fill it in with.
type Move = (u8, u8, u8, u8, u32);

fn some_thing(ledger: &Ledger, kind: ThingKind, a: u8) -> Thing {
    let there: Vec<Thing> =
        ledger.custody.things.keys().filter(|thing| thing.kind == kind).copied().collect();
    there.get(usize::from(a) % there.len().max(1)).copied().unwrap_or(Thing { kind, no: 1 })
}

fn some_packet(ledger: &Ledger, a: u8, b: u8) -> Thing {
    let kind = [ThingKind::Wrapping, ThingKind::Envelope, ThingKind::Envelope, ThingKind::Offcuts];
    some_thing(ledger, kind[usize::from(b) % 4], a)
}

fn check_of(order: u32, b: u8) -> Check {
    // Now and then another order's packet is in the hand.
    let read = if b.is_multiple_of(9) { order_no(b / 9) } else { order };
    Check { how: How::Scanned, tag: tag(read) }
}

fn custody(ledger: &Ledger, order: u32, (_, kind, a, b, n): Move) -> CustodyFact {
    let open = ledger.custody.open().next();
    let from = open.filter(|_| !a.is_multiple_of(5)).unwrap_or_else(|| some_packet(ledger, a, b));
    let lot = ledger.custody.contents(from).next().map_or(1, |(lot, _)| lot);
    let part = Share::from_millionths(1 + n % 300_000);
    let stone = Thing::stone(1 + b % 2);
    match kind % 24 {
        0 | 1 => {
            let next = u8::try_from(ledger.custody.lots.len() + 1).unwrap_or(u8::MAX);
            received(if a.is_multiple_of(7) { a } else { next })
        }
        2..=4 => opened_as(some_packet(ledger, a, b), check_of(order, n.to_le_bytes()[0])),
        5 => closed(from),
        6 | 7 => {
            let into = ledger.custody.next_free(ThingKind::Envelope);
            CustodyFact::SplitOff {
                from,
                lot,
                into,
                part: AGREED,
                keep_back: true,
                seal: None,
                place: Place::Kept(2),
            }
        }
        8 => {
            let into = ledger.custody.next_free(ThingKind::Envelope);
            CustodyFact::SplitOff {
                from,
                lot,
                into,
                part,
                keep_back: false,
                seal: None,
                place: Place::Kept(2),
            }
        }
        9 | 10 => CustodyFact::Moved { from, lot, to: Holder::Thing(stone), part },
        11 => {
            CustodyFact::Moved { from, lot, to: Holder::Tools, part: Share::from_millionths(1 + n % 5_000) }
        }
        12 => CustodyFact::Moved { from: stone, lot: 1, to: Holder::Thing(Thing::offcuts(1)), part },
        13 => CustodyFact::Moved { from, lot, to: Holder::Thing(some_packet(ledger, b, a)), part },
        14 => CustodyFact::Released { thing: some_thing(ledger, ThingKind::Envelope, a) },
        15 => CustodyFact::Lost { thing: some_packet(ledger, a, b) },
        16 => CustodyFact::Found { thing: some_packet(ledger, a, b), place: Place::Kept(1) },
        17 => {
            // Mostly to the client's other order.
            let to = if b.is_multiple_of(4) { order_no(b / 4) } else { 3 - order.min(3) };
            CustodyFact::PassedOn { thing: some_packet(ledger, a, b), to: tag(to) }
        }
        18 => CustodyFact::Placed { thing: from, place: Place::Kept(u16::from(b % 4)) },
        _ => CustodyFact::BenchCleared,
    }
}

fn opened_as(thing: Thing, check: Check) -> CustodyFact {
    CustodyFact::Opened { thing, check }
}

/// What waits to be taken over by this order, or something that does not.
fn taking_over(studio: &Studio, order: u32, (_, _, a, b, _): Move) -> CustodyFact {
    let waits = studio.orders.iter().find_map(|(of, held)| {
        let mut things = held.ledger.custody.things.iter();
        things.find(|(_, kept)| kept.passed_to == Some(tag(order))).map(|(thing, _)| (*of, *thing))
    });
    let guess = (tag(order_no(a)), Thing { kind: ThingKind::Envelope, no: 1 + b % 2 });
    let (of, thing) = waits.filter(|_| !b.is_multiple_of(4)).unwrap_or(guess);
    let lots = studio.order(tag(order)).map_or(0, |held| held.ledger.custody.lots.len());
    let lot = u8::try_from(lots + 1).unwrap_or(u8::MAX);
    let (material, place, keep_back) = (Material::Hair, Place::Kept(1), AGREED);
    CustodyFact::TakenOver { lot, material, of, thing, seal: None, place, keep_back }
}

fn some_fact(studio: &Studio, order: u32, chosen: Move) -> Fact {
    let (_, kind, a, b, n) = chosen;
    let held = studio.order(tag(order)).unwrap();
    let (ledger, thing) = (&held.ledger, some_packet(&held.ledger, a, b));
    let stone = 1 + b % 2;
    match kind {
        0..=149 => custody(ledger, order, chosen).into(),
        150..=164 => taking_over(studio, order, chosen).into(),
        165..=179 => {
            let cell = held.order.sheet.stone(stone).map(|stone| stone.cell.to_string()).unwrap();
            begun(stone, &cell).into()
        }
        180..=184 => PourFact::OffcutsKept { bag: Thing::offcuts(1), place: Place::Kept(2) }.into(),
        185..=189 => {
            let PourFact::LampOn { press, .. } = lamp_on(&[1]) else { unreachable!("it is a lamp") };
            let hardness = if n % 2 == 0 { Hardness::Hard } else { Hardness::Tacky };
            PourFact::OffcutsCured { bag: Thing::offcuts(1), press, hardness }.into()
        }
        190..=194 => taken_out(stone).into(),
        195..=209 => ticked(if n % 8 == 0 { tag(order_no(b)) } else { tag(order) }, thing).into(),
        210..=213 => HomeFact::NotPhotographed.into(),
        214..=218 => HomeFact::SentPart.into(),
        219..=222 => HomeFact::Sent.into(),
        223..=226 => HomeFact::Arrived.into(),
        227..=230 => HomeFact::CameBack { thing, place: Place::Kept(1) }.into(),
        231..=236 => instructed(thing, Wish::ALL[usize::from(a) % 3]).into(),
        237..=242 => {
            let whys = [LeftOut::DestroyedOnRequest, LeftOut::HeldForClient, LeftOut::DestroyedOnRequest];
            HomeFact::LeftOut { thing, why: whys[usize::from(n.to_le_bytes()[0]) % 3] }.into()
        }
        _ => Fact::Struck { entry: 1 + n % (held.order.log.len() + 1), why: Mistake::WrongThing },
    }
}

/// The next step of someone who knows the work: where a packet is open it is worked with, else one is opened.
fn guided(studio: &Studio, order: u32, chosen: Move) -> Fact {
    let (_, kind, a, b, n) = chosen;
    let held = studio.order(tag(order)).unwrap();
    let ledger = &held.ledger;
    let custody = &ledger.custody;
    let next = u8::try_from(custody.lots.len() + 1).unwrap_or(u8::MAX);
    let Some(from) = custody.open().next() else {
        return guided_closed(studio, order, chosen);
    };
    let Some((lot, has)) = custody.contents(from).next() else { return closed(from).into() };
    let into = custody.next_free(ThingKind::Envelope);
    let split = |part, keep_back| {
        let place = Place::Kept(2);
        CustodyFact::SplitOff { from, lot, into, part, keep_back, seal: None, place }.into()
    };
    let part = Share::from_millionths((1 + n % 200_000).min(has.millionths()));
    let (stone, bag) = (1 + b % 2, Thing::offcuts(1));
    if !custody.has_keep_back(lot) && !kind.is_multiple_of(16) {
        return split(AGREED, true);
    }
    match kind % 12 {
        0 | 1 => split(part, false),
        2..=4 if !ledger.pours.stones.contains_key(&stone) => {
            let cell = held.order.sheet.stone(stone).map(|stone| stone.cell.to_string()).unwrap();
            begun(stone, &cell).into()
        }
        2..=4 => CustodyFact::Moved { from, lot, to: Holder::Thing(Thing::stone(stone)), part }.into(),
        5 => {
            let part = part.min(Share::from_millionths(2_000));
            CustodyFact::Moved { from, lot, to: Holder::Tools, part }.into()
        }
        6 if !custody.things.contains_key(&bag) => {
            PourFact::OffcutsKept { bag, place: Place::Kept(2) }.into()
        }
        6 => opened(tag(order), bag).into(),
        7 => {
            let (from, part) = (Thing::stone(stone), part.min(Share::from_millionths(1_000)));
            CustodyFact::Moved { from, lot, to: Holder::Thing(bag), part }.into()
        }
        8 => received(next).into(),
        9 => opened(tag(order), some_packet(ledger, a, b)).into(),
        _ => closed(from).into(),
    }
}

fn some_lost(ledger: &Ledger) -> Option<Thing> {
    ledger.custody.things.iter().find(|(_, kept)| kept.lost).map(|(thing, _)| *thing)
}

/// How the parcel of an order goes on, where there is one: the look into the box, the post, the client's door.
fn parcel(ledger: &Ledger) -> Option<Fact> {
    let lies_in =
        |place: &Place| ledger.custody.things.values().any(|kept| kept.place == *place && !kept.lost);
    if lies_in(&Place::Post) {
        return Some(HomeFact::Arrived.into());
    }
    if !lies_in(&Place::Box) {
        return None;
    }
    if !ledger.home.box_seen {
        return Some(HomeFact::NotPhotographed.into());
    }
    (!ledger.to_pack().is_empty()).then(|| HomeFact::SentPart.into())
}

fn guided_closed(studio: &Studio, order: u32, chosen: Move) -> Fact {
    let (_, kind, a, b, n) = chosen;
    let ledger = &studio.order(tag(order)).unwrap().ledger;
    let lots = ledger.custody.lots.len();
    let envelope = some_thing(ledger, ThingKind::Envelope, a);
    let thing = some_packet(ledger, a, b);
    let other = tag(3 - order.min(3));
    if lots == 0 && !kind.is_multiple_of(20) {
        return received(1).into();
    }
    if let Some(fact) = parcel(ledger).filter(|_| kind.is_multiple_of(2)) {
        return fact;
    }
    match kind % 20 {
        1..=6 => {
            opened(tag(order), Thing::wrapping(1 + a % u8::try_from(lots).unwrap_or(u8::MAX).max(1))).into()
        }
        7 | 8 => CustodyFact::Released { thing: envelope }.into(),
        9 | 10 => opened(tag(order), envelope).into(),
        11 => HomeFact::LeftOut { thing, why: LeftOut::HeldForClient }.into(),
        12 | 13 => CustodyFact::PassedOn { thing, to: other }.into(),
        14 => CustodyFact::BenchCleared.into(),
        15 | 16 => ticked(tag(order), thing).into(),
        17 if a % 2 == 0 => HomeFact::NotPhotographed.into(),
        17 => CustodyFact::Found { thing: some_lost(ledger).unwrap_or(thing), place: Place::Kept(1) }.into(),
        18 if n % 2 == 0 => HomeFact::SentPart.into(),
        18 => HomeFact::Arrived.into(),
        _ => taking_over(studio, order, chosen).into(),
    }
}

/// What is tried next, and on which order. Someone who knows the work goes on with the packet that is open, and clears
/// the bench before another client's; a tired hand does anything.
fn tried(studio: &Studio, chosen: Move, heeds_the_bench: bool) -> (u32, Fact) {
    let order = order_no(chosen.0);
    if chosen.0 / 4 % 8 >= 6 {
        return (order, some_fact(studio, order, chosen));
    }
    let open = studio.orders.iter().find(|(_, held)| held.ledger.custody.open().next().is_some());
    match (open, studio.bench()) {
        (Some((of, _)), _) if heeds_the_bench => (number_of(*of), guided(studio, number_of(*of), chosen)),
        (None, Some((by, bench)))
            if heeds_the_bench && !bench.cleared && client_of(number_of(by)) != client_of(order) =>
        {
            (number_of(by), CustodyFact::BenchCleared.into())
        }
        _ => (order, guided(studio, order, chosen)),
    }
}

/// The hands do the record over again: what was struck never was.
fn hands_of(studio: &Studio) -> Hands {
    let mut all: Vec<(Moment, u32, u32, &Entry)> = Vec::new();
    for (of, held) in &studio.orders {
        let struck = ledger::struck(&held.order.log);
        let live = held.order.log.entries().filter(|(no, _)| !struck.contains(no));
        let live = live.filter(|(_, entry)| !matches!(entry.fact, Fact::Struck { .. }));
        all.extend(live.map(|(no, entry)| (entry.at, number_of(*of), no, entry)));
    }
    all.sort_by_key(|(at, ..)| at.utc_ms);
    let mut hands = Hands::default();
    for (_, order, _, entry) in all {
        match entry.told {
            Some(_) => hands.act_told(order, &entry.fact),
            None => hands.act(order, &entry.fact),
        }
    }
    // What was struck may have been between two others; what they did then is not judged over again.
    hands.harm.clear();
    hands
}

impl Hands {
    /// What stands open now and did not before was opened by a strike: it lies beside whatever lies there.
    fn judge_what_a_strike_opened(&mut self, before: &BTreeSet<(u32, Thing)>) {
        let anew: Vec<(u32, Thing)> = self.open.difference(before).copied().collect();
        for (order, thing) in anew {
            if self.open.iter().any(|(other, _)| client_of(*other) != client_of(order)) {
                self.harm(format!("{thing} of order {order} stands open beside another client's material"));
            }
            if self.crumbs.iter().any(|client| *client != client_of(order)) {
                self.harm(format!("{thing} of order {order} stands open over another client's crumbs"));
            }
        }
    }
}

/// One thing in eight is told of on a later day; that something was struck is never told.
fn is_told(fact: &Fact, (.., n): Move) -> bool {
    (n >> 24).is_multiple_of(8) && !matches!(fact, Fact::Struck { .. })
}

/// Tries one thing; the hands do it where the door lets it through. Whether it did.
fn attempt(studio: &mut Studio, hands: &mut Hands, minute: i64, chosen: Move) -> Result<bool, String> {
    let (order, fact) = tried(studio, chosen, true);
    let words = format!("{fact} in order {order}");
    let strikes = matches!(fact, Fact::Struck { .. });
    let told = is_told(&fact, chosen);
    let edit = if told { OrderEdit::Told(day(1), fact.clone()) } else { OrderEdit::Fact(fact.clone()) };
    if studio.apply(Edit::Order(tag(order), edit), at(minute)).is_err() {
        return Ok(false);
    }
    if told {
        hands.act_told(order, &fact);
    } else if strikes {
        let before = std::mem::take(&mut hands.open);
        *hands = hands_of(studio);
        hands.judge_what_a_strike_opened(&before);
    } else {
        hands.act(order, &fact);
    }
    let held = studio.order(tag(order)).map_err(|why| why.to_string())?;
    never_mixed(hands)
        .and_then(|()| parts_are_conserved(hands))
        .and_then(|()| the_book_is_right(hands, order, &held.ledger))
        .and_then(|()| keep_backs_are_held(&held.ledger, &held.order.log))
        .map_err(|why| format!("{why} after {words}"))?;
    Ok(true)
}

fn moves() -> impl Strategy<Value = Vec<Move>> {
    prop::collection::vec((any::<u8>(), any::<u8>(), any::<u8>(), any::<u8>(), any::<u32>()), 1..80)
}

proptest! {
    #![proptest_config(ProptestConfig { max_shrink_iters: 2_000, ..ProptestConfig::default() })]

    #[test]
    fn hands_that_do_only_what_the_door_lets_through_never_mix_three_clients(moves in moves()) {
        let mut studio = BEGINNING.clone();
        let mut hands = Hands::default();
        for (minute, chosen) in (100..).zip(moves) {
            attempt(&mut studio, &mut hands, minute, chosen).map_err(TestCaseError::fail)?;
        }
        for held in studio.orders.values() {
            let folded = Ledger::replay(held.order.tag, &held.order.log);
            prop_assert_eq!(folded.as_ref(), Ok(&held.ledger));
        }
        let mixed = studio.findings().into_iter().find(|found| {
            matches!(found, Finding::OpenTogether(_) | Finding::Mixed(_) | Finding::NoInstruction { .. })
        });
        prop_assert_eq!(mixed, None);
    }
}

/// How often each kind of fact was let through in some sequences.
fn taken_in(sequences: usize) -> BTreeMap<String, u32> {
    let mut runner = proptest::test_runner::TestRunner::deterministic();
    let mut taken = BTreeMap::new();
    for _ in 0..sequences {
        let moves = moves().new_tree(&mut runner).unwrap().current();
        let (mut studio, mut hands) = (BEGINNING.clone(), Hands::default());
        for (minute, chosen) in (100..).zip(moves) {
            let fact = tried(&studio, chosen, true).1;
            let told = if is_told(&fact, chosen) { "told " } else { "" };
            if attempt(&mut studio, &mut hands, minute, chosen).unwrap() {
                let kind = fact.to_string().split('|').next().unwrap().to_owned();
                *taken.entry(format!("{told}{kind}")).or_default() += 1;
            }
        }
    }
    taken
}

#[test]
fn the_sequences_reach_everything_that_is_guarded() {
    let taken = taken_in(400);
    for wanted in [
        "received",
        "split-off",
        "released",
        "opened",
        "closed",
        "moved",
        "bench-cleared",
        "passed-on",
        "taken-over",
        "lost",
        "found",
        "begun",
        "ticked",
        "sent-part",
        "arrived",
        "instructed",
        "left-out",
        "offcuts-cured",
        "struck",
        "told received",
        "told opened",
        "told moved",
        "told closed",
        "told bench-cleared",
    ] {
        assert!(taken.get(wanted).copied().unwrap_or(0) > 0, "{wanted} was never let through: {taken:?}");
    }
}

/// A door with one rule left out: each order asks its own ledger and nothing else.
fn loose_door(moves: Vec<Move>) -> Law {
    let mut studio = BEGINNING.clone();
    let mut hands = Hands::default();
    for (minute, chosen) in (100..).zip(moves) {
        let (order, fact) = tried(&studio, chosen, false);
        if matches!(fact, Fact::Struck { .. }) {
            continue;
        }
        let held = studio.woken(tag(order)).unwrap();
        let entry = Entry { at: at(minute), told: None, fact: fact.clone(), seal: Digest::default() };
        let number = held.order.log.len() + 1;
        if held.ledger.step(number, &entry).is_ok() {
            let head = held.order.log.head(&held.order.studio, tag(order));
            held.order.log.push(head, at(minute), None, fact.clone());
            hands.act(order, &fact);
            never_mixed(&hands)?;
        }
    }
    Ok(())
}

#[test]
fn a_door_that_asks_each_order_by_itself_would_mix_clients() {
    let mut runner = proptest::test_runner::TestRunner::deterministic();
    let sequences = (0..200).map(|_| moves().new_tree(&mut runner).unwrap().current());
    let harms: Vec<String> = sequences.filter_map(|moves| loose_door(moves).err()).collect();
    for harm in
        ["beside another client's", "over another client's crumbs", "another client's order", "nobody asked"]
    {
        assert!(harms.iter().any(|found| found.contains(harm)), "{harm} is never found in {harms:?}");
    }
}

#[test]
fn a_strike_that_opens_a_packet_over_anothers_crumbs_is_caught_where_the_door_does_not_ask() {
    let (first, second, wrapping) = (0, 1, Thing::wrapping(1));
    let strike_at_a_door_that = |asks: bool| {
        let mut studio = BEGINNING.clone();
        let facts = [
            (first, Fact::from(received(1))),
            (second, received(1).into()),
            (first, opened(tag(first), wrapping).into()),
            (first, closed(wrapping).into()),
            (first, CustodyFact::BenchCleared.into()),
            (second, opened(tag(second), wrapping).into()),
            (second, closed(wrapping).into()),
            (first, Fact::Struck { entry: 4, why: Mistake::DidNotHappen }),
            (first, Fact::Struck { entry: 3, why: Mistake::DidNotHappen }),
        ];
        for (minute, (order, fact)) in (100..).zip(facts) {
            let strikes = matches!(fact, Fact::Struck { .. });
            studio.policies.bench_clear = asks || !strikes;
            let done = studio.apply(Edit::Order(tag(order), OrderEdit::Fact(fact)), at(minute));
            if let Err(why) = done {
                assert!(strikes && matches!(why, Refusal::BenchNotClear { .. }), "{why}");
            }
        }
        let mut hands = hands_of(&studio);
        hands.judge_what_a_strike_opened(&BTreeSet::new());
        never_mixed(&hands)
    };
    assert_eq!(strike_at_a_door_that(true), Ok(()));
    let harm = strike_at_a_door_that(false).unwrap_err();
    assert!(harm.contains("stands open over another client's crumbs"), "{harm}");
}

#[test]
fn a_hand_that_loses_a_millionth_or_takes_from_a_keep_back_is_caught() {
    let mut hands = Hands::default();
    let (wrapping, envelope) = (Thing::wrapping(1), Thing::envelope(1));
    for fact in [received(1), opened(tag(0), wrapping), split(1, AGREED, true)] {
        hands.act(0, &fact.into());
    }
    assert_eq!(never_mixed(&hands).and_then(|()| parts_are_conserved(&hands)), Ok(()));
    let mut clumsy = hands.clone();
    *clumsy.piles.get_mut(&(0, wrapping)).unwrap().get_mut(&(0, 1)).unwrap() -= 1;
    assert!(parts_are_conserved(&clumsy).is_err());
    let ledger = &Bench::unpacked().held().ledger.clone();
    assert_eq!(the_book_is_right(&hands, 0, ledger), Ok(()));
    assert!(the_book_is_right(&clumsy, 0, ledger).is_err());
    let mut greedy = hands.clone();
    let (to, part) = (Holder::Thing(Thing::stone(1)), Share::of(1, 10));
    greedy.act(0, &CustodyFact::Moved { from: envelope, lot: 1, to, part }.into());
    assert!(never_mixed(&greedy).unwrap_err().contains("has not said yes"));
    assert!(matches!(ledger.custody.thing(envelope).unwrap().role, Role::KeepBack { released: false, .. }));
}
