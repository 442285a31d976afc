//! How far an order has come, and what is next: both follow from what was recorded, and are never set by hand.

use chrono::{Days, NaiveDate};
use serde::{Deserialize, Serialize};

use crate::fact::{Choice, Hardness, Holder, MessageKind};
use crate::id::{Thing, ThingKind, is_practice};
use crate::ledger::{Happened, Held, Ledger, Lot, Stone};
use crate::order::{ErrandKind, Sheet, StoneSheet};
use crate::place::Place;
use crate::units::Share;

/// How far an order has come.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum Stage {
    /// Someone asked.
    Asked,
    /// The sending kit is out.
    KitSent,
    /// The material is here.
    Here,
    /// The stones are made.
    Made,
    /// The client has the proof.
    Shown,
    /// A stone is chosen.
    Chosen,
    /// It is set.
    Set,
    /// Everything is in the box.
    Packed,
    /// It has gone home.
    GoneHome,
}

impl Stage {
    /// All stages in order.
    pub const ALL: [Stage; 9] = [
        Stage::Asked,
        Stage::KitSent,
        Stage::Here,
        Stage::Made,
        Stage::Shown,
        Stage::Chosen,
        Stage::Set,
        Stage::Packed,
        Stage::GoneHome,
    ];
}

/// The stage that follows from the facts.
pub fn stage(sheet: &Sheet, ledger: &Ledger) -> Stage {
    let packing = is_boxed(ledger) && ledger.to_pack().is_empty();
    if ledger.home.is_gone() {
        Stage::GoneHome
    } else if packing {
        Stage::Packed
    } else if !ledger.fit.set.is_empty() {
        Stage::Set
    } else if still_chosen(ledger).next().is_some() {
        Stage::Chosen
    } else if ledger.client.open_round().is_some() {
        Stage::Shown
    } else if all_made(sheet, ledger) {
        Stage::Made
    } else if !ledger.custody.lots.is_empty() {
        Stage::Here
    } else if ledger.client.kit_posted.is_some() {
        Stage::KitSent
    } else {
        Stage::Asked
    }
}

/// True where something lies in the box; what went home in a parcel of its own does not.
fn is_boxed(ledger: &Ledger) -> bool {
    ledger.custody.things.values().any(|held| held.place == Place::Box && !held.lost)
}

/// True where a stone of the sheet has all its layers, the last one hard.
pub fn is_made(sheet: &Sheet, no: u8, stone: &Stone) -> bool {
    let planned = sheet.stone(no).and_then(|wanted| wanted.plan.as_ref()).map_or(0, |plan| plan.layers.len());
    stone.is_finished() && stone.layers.len() >= planned
}

/// True once every stone that is wanted, in this round, is made or set aside.
fn all_made(sheet: &Sheet, ledger: &Ledger) -> bool {
    let wanted = sheet.client_stones().map(|stone| stone.no);
    let mut any = false;
    for no in wanted {
        match ledger.pours.stones.get(&no) {
            Some(_) if !is_usable(ledger, no) => {}
            Some(stone) if is_made(sheet, no, stone) => any = true,
            _ => return false,
        }
    }
    any
}

/// True where the newest proof with this stone was answered by "none of these".
fn turned_down(ledger: &Ledger, no: u8) -> bool {
    let newest = ledger.client.rounds.iter().rev().find(|round| round.stones.contains(&no));
    newest.is_some_and(|round| matches!(round.answer, Some((_, Choice::NoneOfThese))))
}

/// What the client chose and is set, or can still be: what is lost, gone or set aside is not waited for.
fn still_chosen(ledger: &Ledger) -> impl Iterator<Item = u8> {
    ledger.client.chosen().filter(|no| ledger.fit.set.contains_key(no) || is_usable(ledger, *no))
}

/// True where a stone can still be shown: neither turned down, set aside nor lost.
fn is_usable(ledger: &Ledger, no: u8) -> bool {
    let aside = ledger.pours.stones.get(&no).is_some_and(|stone| stone.set_aside);
    let gone = ledger.custody.things.get(&Thing::stone(no)).is_some_and(|held| !held.is_here());
    !aside && !gone && !turned_down(ledger, no)
}

/// The next thing to be done for an order.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum Next {
    /// A lamp is on over this stone.
    UnderLamp {
        /// The stone.
        stone: u8,
    },
    /// This stone is cooling.
    Cooling {
        /// The stone.
        stone: u8,
    },
    /// Say how its newest layer came out.
    Feel {
        /// The stone.
        stone: u8,
        /// The layer.
        layer: u8,
    },
    /// Its newest layer is laid and waits for the lamp, or is soft and must be lit again.
    Light {
        /// The stone.
        stone: u8,
        /// The layer.
        layer: u8,
    },
    /// Lay this layer.
    Pour {
        /// The stone.
        stone: u8,
        /// The layer.
        layer: u8,
    },
    /// Take it out of its mould.
    TakeOut {
        /// The stone.
        stone: u8,
    },
    /// Close this packet.
    CloseUp {
        /// Which.
        thing: Thing,
    },
    /// Put the keep-back of this lot away.
    KeepBack {
        /// The lot.
        lot: u8,
    },
    /// Plan the stones.
    Plan,
    /// Take a cavity for this stone.
    Begin {
        /// The stone.
        stone: u8,
    },
    /// Send the proof.
    SendProof,
    /// Set this stone.
    SetStone {
        /// The stone.
        stone: u8,
    },
    /// Tick things into the box.
    Pack {
        /// How many are left.
        left: u16,
    },
    /// Post the box.
    Post,
    /// Answer the enquiry.
    Answer,
    /// Post the sending kit.
    PostKit,
    /// Remind the client gently.
    Nudge,
    /// Wait for the client's answer.
    AwaitChoice,
    /// Ask for an errand.
    AskErrand {
        /// Which.
        kind: ErrandKind,
    },
    /// Wait for an errand.
    AwaitErrand {
        /// Which.
        kind: ErrandKind,
    },
    /// Wait for the material.
    AwaitMaterial,
    /// Wait until it has arrived.
    AwaitArrival,
    /// Say thank you.
    Thank,
    /// Nothing more.
    Done,
}

/// Whose turn it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Turn {
    /// The maker's hands.
    Hands,
    /// The lamp or the clock.
    Lamp,
    /// Someone else.
    Others,
    /// Packing and posting.
    Parcel,
    /// Nobody's: it is over.
    Nobody,
}

impl Next {
    /// Whose turn it is.
    pub const fn turn(self) -> Turn {
        match self {
            Next::UnderLamp { .. } | Next::Cooling { .. } => Turn::Lamp,
            Next::AwaitChoice | Next::AwaitErrand { .. } | Next::AwaitMaterial | Next::AwaitArrival => {
                Turn::Others
            }
            Next::Pack { .. } | Next::Post => Turn::Parcel,
            Next::Done => Turn::Nobody,
            _ => Turn::Hands,
        }
    }
}

/// What is next for an order. `nudge_days` after a proof without an answer a reminder is due.
pub fn next(sheet: &Sheet, ledger: &Ledger, today: NaiveDate, nudge_days: u16) -> Next {
    if ledger.home.is_gone() {
        return after_sending(ledger);
    }
    if let Some(at_lamp) = at_the_lamp(ledger, |no| !is_practice(no)) {
        return at_lamp;
    }
    if let Some(thing) = ledger.custody.open().next() {
        let work = !ledger.client.called_off && needs_material(sheet, ledger);
        let work = work.then(|| bench_work(sheet, ledger)).flatten();
        return work.unwrap_or(Next::CloseUp { thing });
    }
    if ledger.client.called_off {
        return packing(ledger);
    }
    if ledger.custody.lots.is_empty()
        && sheet.client_stones().all(|stone| !ledger.pours.stones.contains_key(&stone.no))
    {
        return practice_work(sheet, ledger, false).unwrap_or_else(|| before_arrival(ledger));
    }
    if let Some(work) = bench_work(sheet, ledger) {
        return work;
    }
    with_client(sheet, ledger, today, nudge_days)
}

fn after_sending(ledger: &Ledger) -> Next {
    if let Some(thing) = ledger.custody.open().next() {
        return Next::CloseUp { thing };
    }
    if is_boxed(ledger) || !ledger.to_pack().is_empty() {
        return packing(ledger);
    }
    let travels = ledger.custody.things.values().any(|held| held.place == Place::Post && !held.lost);
    match ledger.home.arrived {
        _ if travels => Next::AwaitArrival,
        // All of it was lost on its way: nothing is left to arrive.
        None => over(ledger),
        Some(arrived) if is_thanked(ledger, arrived) => over(ledger),
        Some(_) => Next::Thank,
    }
}

/// Nothing is left of the client's: what still lies in a mould is practice, and keeps the cavity from others.
fn over(ledger: &Ledger) -> Next {
    let lies = |no: u8| {
        let held = ledger.custody.things.get(&Thing::stone(no));
        held.is_some_and(|held| matches!(held.place, Place::Cavity { .. }))
    };
    let practice =
        ledger.pours.stones.iter().find(|(no, stone)| is_practice(**no) && !stone.taken_out && lies(**no));
    practice.map_or(Next::Done, |(&stone, _)| Next::TakeOut { stone })
}

/// The client wrote back, or was thanked after it came home: either ends an order.
fn is_thanked(ledger: &Ledger, arrived: Happened) -> bool {
    let mut messages = ledger.client.messages.iter();
    ledger.client.thanked
        || messages.any(|(about, sent)| *about == MessageKind::ThankYou && sent.entry > arrived.entry)
}

fn before_arrival(ledger: &Ledger) -> Next {
    match (ledger.client.answered, ledger.client.kit_posted) {
        (_, Some(_)) => Next::AwaitMaterial,
        (true, None) => Next::PostKit,
        (false, None) => Next::Answer,
    }
}

fn packing(ledger: &Ledger) -> Next {
    let here = |no: u8| ledger.custody.things.get(&Thing::stone(no)).is_some_and(Held::is_here);
    let mut stones = ledger.client_stones();
    if let Some((&stone, _)) = stones.find(|(no, stone)| !stone.taken_out && here(**no)) {
        return Next::TakeOut { stone };
    }
    match u16::try_from(ledger.to_pack().len()).unwrap_or(u16::MAX) {
        0 if !is_boxed(ledger) => over(ledger),
        0 => Next::Post,
        left => Next::Pack { left },
    }
}

/// What one of these stones that has begun needs at once: it is under the lamp, wet, warm or not yet felt.
fn at_the_lamp(ledger: &Ledger, of: impl Fn(u8) -> bool) -> Option<Next> {
    // Once it is out of its mould only a lamp that was put on makes a stone wait.
    let at_hand = |no: u8| {
        let held = ledger.custody.things.get(&Thing::stone(no));
        held.is_some_and(|held| held.is_here() && held.place != Place::Box)
    };
    let lit = |stone: &Stone| stone.layers.last().is_some_and(|layer| !layer.lit.is_empty());
    let live = || {
        let stones = ledger.pours.stones.iter();
        stones.filter(|(no, stone)| of(**no) && at_hand(**no) && (!stone.taken_out || lit(stone)))
    };
    let newest = |stone: &Stone| u8::try_from(stone.layers.len()).unwrap_or(u8::MAX);
    let waiting = live().filter_map(|(&no, stone)| {
        let layer = stone.layers.last()?;
        let layer_no = newest(stone);
        if stone.under_lamp().is_some() {
            return Some(Next::UnderLamp { stone: no });
        }
        match layer.felt {
            None if layer.lit.is_empty() => Some(Next::Light { stone: no, layer: layer_no }),
            Some(Hardness::Soft) => Some(Next::Light { stone: no, layer: layer_no }),
            None if layer.cooled.is_none() => Some(Next::Cooling { stone: no }),
            None => Some(Next::Feel { stone: no, layer: layer_no }),
            Some(_) => None,
        }
    });
    // Hands before waiting: a wet layer of another stone goes before a lamp that runs by itself.
    waiting.min_by_key(|next| (next.turn() != Turn::Hands, *next))
}

/// The first lot whose keep-back is agreed, not yet put away, and can still be taken from what is left of it.
fn wants_keep_back(ledger: &Ledger) -> Option<u8> {
    let custody = &ledger.custody;
    let can = |&(no, lot): &(&u8, &Lot)| {
        let packet = |holder| match holder {
            Holder::Thing(Thing { kind: ThingKind::Wrapping | ThingKind::Envelope, .. }) => true,
            Holder::Thing(_) | Holder::Tools => false,
        };
        let mut left = custody.holders(*no).filter(|(holder, _)| packet(*holder));
        lot.keep_back > Share::NONE && left.any(|(_, share)| share >= lot.keep_back)
    };
    let set = !ledger.fit.set.is_empty();
    let mut lots = custody.lots.iter().filter(can).map(|(no, _)| *no);
    lots.find(|lot| !set && !custody.has_keep_back(*lot))
}

/// True where a stone that has begun still waits for its share.
fn needs_material(sheet: &Sheet, ledger: &Ledger) -> bool {
    let waits = |no: u8| {
        let begun = ledger.pours.stones.get(&no);
        begun.is_some_and(|stone| stone.layers.is_empty())
            && ledger.custody.contents(Thing::stone(no)).next().is_none()
    };
    wants_keep_back(ledger).is_some() || sheet.client_stones().any(|stone| waits(stone.no))
}

/// What the maker's hands do next on the material and the stones.
fn bench_work(sheet: &Sheet, ledger: &Ledger) -> Option<Next> {
    if let Some(lot) = wants_keep_back(ledger) {
        return Some(Next::KeepBack { lot });
    }
    if still_chosen(ledger).next().is_some() || ledger.client.open_round().is_some() {
        return None;
    }
    // A packet that stands open goes before practice, and practice before the first of the client's stones. Once one of
    // those is begun nothing of theirs waits for practice.
    if ledger.client_stones().next().is_none()
        && ledger.custody.open().next().is_none()
        && let Some(practice) = practice_work(sheet, ledger, true)
    {
        return Some(practice);
    }
    if !sheet.client_stones().any(|stone| is_usable(ledger, stone.no)) {
        return Some(Next::Plan);
    }
    stones_work(sheet, ledger, sheet.client_stones())
}

/// What is next at the practice stones that were begun, and at new ones where those are still to be.
fn practice_work(sheet: &Sheet, ledger: &Ledger, new: bool) -> Option<Next> {
    let begun = |no: u8| ledger.pours.stones.contains_key(&no);
    let practice = sheet.stones.iter().filter(|stone| is_practice(stone.no) && (new || begun(stone.no)));
    at_the_lamp(ledger, is_practice).or_else(|| stones_work(sheet, ledger, practice))
}

fn stones_work<'a>(
    sheet: &Sheet,
    ledger: &Ledger,
    stones: impl Iterator<Item = &'a StoneSheet>,
) -> Option<Next> {
    for wanted in stones.filter(|stone| is_usable(ledger, stone.no)) {
        let no = wanted.no;
        let Some(stone) = ledger.pours.stones.get(&no) else {
            return Some(if wanted.plan.is_none() { Next::Plan } else { Next::Begin { stone: no } });
        };
        if !is_made(sheet, no, stone) {
            let layer = u8::try_from(stone.layers.len() + 1).unwrap_or(u8::MAX);
            return Some(Next::Pour { stone: no, layer });
        }
        if !stone.taken_out {
            return Some(Next::TakeOut { stone: no });
        }
    }
    None
}

fn with_client(sheet: &Sheet, ledger: &Ledger, today: NaiveDate, nudge_days: u16) -> Next {
    if let Some(round) = ledger.client.open_round() {
        let nudged = ledger.client.messages.iter().rev();
        let last =
            nudged.map(|(_, at)| at.day()).find(|day| *day >= round.sent.day()).unwrap_or(round.sent.day());
        let due = last.checked_add_days(Days::new(u64::from(nudge_days))).unwrap_or(NaiveDate::MAX);
        return if today >= due { Next::Nudge } else { Next::AwaitChoice };
    }
    let mut chosen = still_chosen(ledger).peekable();
    if chosen.peek().is_none() {
        return Next::SendProof;
    }
    match chosen.find(|no| !ledger.fit.set.contains_key(no)) {
        Some(stone) => match errand(sheet, |kind| kind == ErrandKind::Setting) {
            Some(errand) => errand,
            None if ledger.pours.stones.get(&stone).is_some_and(|stone| !stone.taken_out) => {
                Next::TakeOut { stone }
            }
            None => Next::SetStone { stone },
        },
        None => errand(sheet, |_| true).unwrap_or_else(|| packing(ledger)),
    }
}

/// The next errand of these kinds that is not back: what was not asked for yet goes first.
fn errand(sheet: &Sheet, wanted: impl Fn(ErrandKind) -> bool) -> Option<Next> {
    let open = || sheet.errands.iter().filter(|errand| errand.back.is_none() && wanted(errand.kind));
    let ask = open().find(|errand| errand.asked.is_none());
    ask.map(|errand| Next::AskErrand { kind: errand.kind })
        .or_else(|| open().next().map(|errand| Next::AwaitErrand { kind: errand.kind }))
}

#[cfg(test)]
mod tests;
