//! Orders that are over. What the rest of the studio still asks of one stands in its [`Summary`], so that the order
//! itself can lie [`Packed`] until somebody looks into it.

use std::borrow::Cow;
use std::collections::{BTreeMap, BTreeSet};
use std::fmt;
use std::ops::Deref;
use std::sync::{Arc, OnceLock};

use chrono::NaiveDate;
use serde::{Deserialize, Serialize};

use crate::digest::Digest;
use crate::fact::{Fact, LeftOut, PaperKind, PourFact, Wish};
use crate::id::{ClientId, ShelfId, Thing};
use crate::learning;
use crate::ledger::{self, BenchUse, Happened, Ledger};
use crate::money::Money;
use crate::order::{Order, PhotoKind};
use crate::place::Place;
use crate::stage::{Next, Stage, next, stage};
use crate::tag::Tag;
use crate::text::Line;
use crate::units::Span;

use super::facts::place_of;

/// The milliseconds of a day.
const DAY_MS: i64 = 86_400_000;

/// An order with what its facts add up to.
#[derive(Clone, Debug, PartialEq)]
pub struct Whole {
    /// The order.
    pub order: Order,
    /// What its facts add up to; never stored.
    pub ledger: Ledger,
}

/// An order that takes little room until somebody looks into it.
pub trait Packed: fmt::Debug + Send + Sync {
    /// The order, as it was let in by the door before it was packed; `None` where it is that no longer, which takes a
    /// fault of the computer's memory.
    fn unpack(&self) -> Option<Order>;
}

/// An order that is held in the studio: whole, or at rest once it is over.
///
/// One at rest is unpacked where its order or ledger is looked into, and stays so until [`super::Studio::fold_beyond`]; a change
/// wakes it for good. So what is asked of all orders at once asks [`Held::at_rest`] first, and the short answers here.
#[derive(Clone, Debug)]
pub struct Held(State);

#[derive(Clone, Debug)]
enum State {
    Whole(Box<Whole>),
    Resting { summary: Arc<Summary>, packed: Arc<dyn Packed>, unfolded: OnceLock<Box<Whole>> },
}

/// What the rest of the studio asks of an order that is over.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Summary {
    /// Its tag.
    pub tag: Tag,
    /// Whose it is.
    pub client: ClientId,
    /// The name of the one remembered.
    pub name: Line,
    /// The day that was promised.
    pub due: Option<NaiveDate>,
    /// The client called it off.
    pub called_off: bool,
    /// What was quoted for it: all together, and beforehand.
    pub quoted: Option<(Money, Money)>,
    /// When its newest parcel left.
    pub sent: Option<Happened>,
    /// When the client had that.
    pub arrived: Option<Happened>,
    /// The stones of its sheet.
    pub stones: Box<[MadeOf]>,
    /// The things that lie, or lay last, in a place of the studio's list.
    pub kept: Box<[Kept]>,
    /// Every place of the studio's list that its record names, in order.
    pub places: Box<[u16]>,
    /// The bench, as far as this order is concerned.
    pub bench: Option<BenchUse>,
    /// How long each lamp was lit on each day.
    pub lit: Box<[(ShelfId, NaiveDate, Span)]>,
    /// The highest button of each lamp that its record names, what was struck with it.
    pub buttons: Box<[(ShelfId, u8)]>,
    /// The newest day on which a layer of each bottle was felt in a way that teaches something of it.
    pub felt: Box<[(ShelfId, NaiveDate)]>,
    /// The photos it names, with their kind where its sheet says that.
    pub photos: Box<[(Digest, Option<PhotoKind>)]>,
    /// The papers that were issued for it.
    pub papers: Box<[(PaperKind, Digest)]>,
    /// How many entries its record has.
    pub entries: u32,
    /// How many of them were written down on each day of UTC, counted from 1970, in order.
    pub written: Box<[(i64, u32)]>,
    /// Its record seal.
    pub seal: Digest,
}

/// What a stone of an order's sheet is made with.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct MadeOf {
    /// Its number.
    pub no: u8,
    /// The mould.
    pub mould: ShelfId,
    /// The bottle of resin.
    pub resin: ShelfId,
    /// The lamp.
    pub lamp: ShelfId,
    /// The pigment.
    pub pigment: ShelfId,
    /// It has been begun.
    pub begun: bool,
    /// The client chose it.
    pub chosen: bool,
}

/// A thing in a place of the studio's list.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Kept {
    /// The thing.
    pub thing: Thing,
    /// The number of the place.
    pub place: u16,
    /// It is neither lost, nor set into a piece, nor gone.
    pub is_here: bool,
    /// It is lost, or set into a piece.
    pub is_lost_or_set: bool,
}

impl Summary {
    /// The shape of a summary: one more whenever something else stands in one, or is worked out of the same order. A
    /// summary of another shape is not used.
    pub const SHAPE: u32 = 1;
}

impl Whole {
    /// The order with its facts added up.
    pub fn new(order: Order) -> Option<Self> {
        let ledger = Ledger::replay(order.tag, &order.log).ok()?;
        Some(Self { order, ledger })
    }

    /// True where it has gone home and nothing is left to do, and no rule of the studio asks more of it than a summary
    /// tells: what is left of it here lies in places of the list and is not held for the client, nothing of it stands
    /// open, nothing passed between it and another order, every stone of its sheet was begun, and nothing in its record
    /// is to be told of.
    fn is_over(&self) -> bool {
        let Whole { order, ledger } = self;
        let custody = &ledger.custody;
        // Of what has gone home the day and the reminder after a proof ask nothing.
        let is_done = ledger.home.is_gone() && self.next(NaiveDate::MIN, 0) == Next::Done;
        let is_settled = |(thing, held): (&Thing, &ledger::Held)| {
            let destroyed = held.left_out == Some(LeftOut::DestroyedOnRequest);
            // The maker's own may lie anywhere but where it keeps a cavity from others.
            if thing.is_practice() {
                return !matches!(held.place, Place::Cavity { .. });
            }
            held.passed_to.is_none()
                && held.left_out != Some(LeftOut::HeldForClient)
                && (!held.is_here() || matches!(held.place, Place::Kept(_)))
                && !matches!(held.place, Place::Cavity { .. })
                && (!destroyed || ledger.client.wish(*thing) == Some(Wish::Destroy))
        };
        let has_its_lots = |lot: &u8| custody.lots.contains_key(lot);
        is_done
            && custody.open().next().is_none()
            && custody.things.iter().all(is_settled)
            && custody.lots.values().all(|lot| lot.before.is_none())
            && ledger.pours.lamps_on().is_empty()
            && order.sheet.client_stones().all(|stone| {
                ledger.pours.stones.contains_key(&stone.no)
                    && stone.shares.iter().all(|share| has_its_lots(&share.lot))
            })
    }

    fn next(&self, today: NaiveDate, nudge_days: u16) -> Next {
        next(&self.order.sheet, &self.ledger, today, nudge_days)
    }

    fn stones(&self) -> Vec<MadeOf> {
        let chosen: Vec<u8> = self.ledger.client.chosen().collect();
        let stones = self.order.sheet.stones.iter().map(|stone| MadeOf {
            no: stone.no,
            mould: stone.mould.clone(),
            resin: stone.resin.clone(),
            lamp: stone.lamp.clone(),
            pigment: stone.pigment.clone(),
            begun: self.ledger.pours.stones.contains_key(&stone.no),
            chosen: chosen.contains(&stone.no),
        });
        stones.collect()
    }

    fn kept(&self) -> Vec<Kept> {
        let things = self.ledger.custody.things.iter();
        let kept = things.filter_map(|(thing, held)| match held.place {
            Place::Kept(place) => Some(Kept {
                thing: *thing,
                place,
                is_here: held.is_here(),
                is_lost_or_set: held.lost || held.part_of.is_some(),
            }),
            _ => None,
        });
        kept.collect()
    }

    fn lit(&self) -> Vec<(ShelfId, NaiveDate, Span)> {
        let layers = self.ledger.pours.stones.values().flat_map(|stone| &stone.layers);
        // One press once, however many stones lay under it.
        let mut presses = BTreeMap::new();
        for lit in layers.flat_map(|layer| &layer.lit) {
            presses.extend(lit.off.map(|(_, span)| (lit.on, (&lit.press.lamp, lit.at.day(), span))));
        }
        let mut all: BTreeMap<(&ShelfId, NaiveDate), Span> = BTreeMap::new();
        for (lamp, day, span) in presses.into_values() {
            let sum = all.entry((lamp, day)).or_insert(Span::ZERO);
            *sum = *sum + span;
        }
        all.into_iter().map(|((lamp, day), span)| (lamp.clone(), day, span)).collect()
    }

    fn papers(&self) -> Vec<(PaperKind, Digest)> {
        self.ledger.home.papers.iter().map(|(_, kind, digest)| (*kind, *digest)).collect()
    }

    fn entries_since(&self, utc_ms: i64) -> u32 {
        let newer = self.order.log.entries().filter(|(_, entry)| entry.at.utc_ms > utc_ms);
        newer.map(|_| 1).sum()
    }

    fn summary(&self) -> Summary {
        let Whole { order, ledger } = self;
        let (mut places, mut buttons) = (BTreeSet::new(), BTreeMap::new());
        let mut written: BTreeMap<i64, u32> = BTreeMap::new();
        for (_, entry) in order.log.entries() {
            if let Some(Place::Kept(no)) = place_of(&entry.fact) {
                places.insert(*no);
            }
            if let Fact::Pour(PourFact::LampOn { press, .. }) = &entry.fact {
                let highest = buttons.entry(press.lamp.clone()).or_insert(press.button);
                *highest = press.button.max(*highest);
            }
            *written.entry(entry.at.utc_ms.div_euclid(DAY_MS)).or_default() += 1;
        }
        let mut felt = BTreeMap::new();
        for layer in ledger.pours.stones.values().flat_map(|stone| &stone.layers) {
            let teach = layer.felts.iter().filter(|feel| learning::teaches(layer, feel));
            if let Some(day) = teach.map(|feel| feel.at.day()).max() {
                let newest = felt.entry(layer.bottle.clone()).or_insert(day);
                *newest = day.max(*newest);
            }
        }
        Summary {
            tag: order.tag,
            client: order.client.clone(),
            name: order.sheet.remembered.name.clone(),
            due: order.sheet.due,
            called_off: ledger.client.called_off,
            quoted: order.sheet.quote.as_ref().map(|quote| (quote.total, quote.deposit)),
            sent: ledger.home.sent,
            arrived: ledger.home.arrived,
            stones: self.stones().into(),
            kept: self.kept().into(),
            places: places.into_iter().collect(),
            bench: ledger.custody.bench,
            lit: self.lit().into(),
            buttons: buttons.into_iter().collect(),
            felt: felt.into_iter().collect(),
            photos: order.photos().into_iter().collect(),
            papers: self.papers().into(),
            entries: order.log.len(),
            written: written.into_iter().collect(),
            seal: order.log.head(&order.studio, order.tag),
        }
    }
}

impl Held {
    /// An order that is held whole.
    pub fn whole(order: Order, ledger: Ledger) -> Self {
        Self(State::Whole(Box::new(Whole { order, ledger })))
    }

    /// An order at rest.
    pub(super) fn resting(summary: Summary, packed: Arc<dyn Packed>) -> Self {
        Self(State::Resting { summary: Arc::new(summary), packed, unfolded: OnceLock::new() })
    }

    /// What is known of it without looking into it, where it is at rest.
    pub fn at_rest(&self) -> Option<&Summary> {
        match &self.0 {
            State::Whole(_) => None,
            State::Resting { summary, .. } => Some(summary),
        }
    }

    /// Puts an order that is over to rest, and gives whether it is at rest.
    pub(super) fn lay_to_rest(&mut self, packed: impl FnOnce() -> Arc<dyn Packed>) -> bool {
        if let State::Whole(whole) = &self.0
            && whole.is_over()
        {
            *self = Self::resting(whole.summary(), packed());
        }
        self.at_rest().is_some()
    }

    /// True where an order at rest has been looked into and takes the room of a whole one.
    pub fn is_unfolded(&self) -> bool {
        matches!(&self.0, State::Resting { unfolded, .. } if unfolded.get().is_some())
    }

    /// Lets an order at rest take little room again.
    pub(super) fn fold(&mut self) {
        if let State::Resting { unfolded, .. } = &mut self.0 {
            unfolded.take();
        }
    }

    /// Wakes an order that is about to change: what its summary says holds no longer.
    pub fn wake(&mut self) -> Option<&mut Whole> {
        if let State::Resting { packed, unfolded, summary } = &mut self.0 {
            let whole = unfolded.take().unwrap_or_else(|| unpacked(packed.as_ref(), summary));
            self.0 = State::Whole(whole);
        }
        match &mut self.0 {
            State::Whole(whole) => Some(whole),
            State::Resting { .. } => None,
        }
    }

    /// Its tag.
    pub fn tag(&self) -> Tag {
        self.at_rest().map_or_else(|| self.order.tag, |summary| summary.tag)
    }

    /// Whose it is.
    pub fn client(&self) -> &ClientId {
        self.at_rest().map_or_else(|| &self.order.client, |summary| &summary.client)
    }

    /// The name of the one remembered.
    pub fn name(&self) -> &Line {
        self.at_rest().map_or_else(|| &self.order.sheet.remembered.name, |summary| &summary.name)
    }

    /// The day that was promised.
    pub fn due(&self) -> Option<NaiveDate> {
        self.at_rest().map_or_else(|| self.order.sheet.due, |summary| summary.due)
    }

    /// True where the client called it off.
    pub fn is_called_off(&self) -> bool {
        self.at_rest().map_or_else(|| self.ledger.client.called_off, |summary| summary.called_off)
    }

    /// When its newest parcel left.
    pub fn sent(&self) -> Option<Happened> {
        self.at_rest().map_or_else(|| self.ledger.home.sent, |summary| summary.sent)
    }

    /// When the client had that.
    pub fn arrived(&self) -> Option<Happened> {
        self.at_rest().map_or_else(|| self.ledger.home.arrived, |summary| summary.arrived)
    }

    /// What was quoted for it: all together, and beforehand.
    pub fn quoted(&self) -> Option<(Money, Money)> {
        let quoted = || self.order.sheet.quote.as_ref().map(|quote| (quote.total, quote.deposit));
        self.at_rest().map_or_else(quoted, |summary| summary.quoted)
    }

    /// True once the box has gone and nothing came back since.
    pub fn is_gone(&self) -> bool {
        self.at_rest().is_some() || self.ledger.home.is_gone()
    }

    /// True where anything of it is in the studio.
    pub fn is_here(&self) -> bool {
        match self.at_rest() {
            Some(summary) => summary.kept.iter().any(|kept| kept.is_here),
            None => self.ledger.custody.things.values().any(ledger::Held::is_here),
        }
    }

    /// The stones of its sheet.
    pub fn stones(&self) -> Cow<'_, [MadeOf]> {
        match self.at_rest() {
            Some(summary) => Cow::Borrowed(&summary.stones),
            None => Cow::Owned(self.deref().stones()),
        }
    }

    /// The things that lie, or lay last, in a place of the studio's list.
    pub fn kept(&self) -> Cow<'_, [Kept]> {
        match self.at_rest() {
            Some(summary) => Cow::Borrowed(&summary.kept),
            None => Cow::Owned(self.deref().kept()),
        }
    }

    /// How long each lamp was lit on each day. Offcuts are left out, for nobody kept their day.
    pub fn lit(&self) -> Cow<'_, [(ShelfId, NaiveDate, Span)]> {
        match self.at_rest() {
            Some(summary) => Cow::Borrowed(&summary.lit),
            None => Cow::Owned(self.deref().lit()),
        }
    }

    /// Everything the rest of the studio asks of it.
    #[cfg(test)]
    fn summary(&self) -> Cow<'_, Summary> {
        self.at_rest().map_or_else(|| Cow::Owned(self.deref().summary()), Cow::Borrowed)
    }

    /// True where its record names a place of the studio's list beyond the first so many.
    pub(super) fn names_a_place_beyond(&self, places: usize) -> bool {
        let beyond = |no: u16| usize::from(no) > places;
        match self.at_rest() {
            Some(summary) => summary.places.iter().any(|no| beyond(*no)),
            None => self
                .order
                .log
                .entries()
                .any(|(_, entry)| matches!(place_of(&entry.fact), Some(Place::Kept(no)) if beyond(*no))),
        }
    }

    /// True where its record names a button of a lamp beyond the first so many, what was struck with it.
    pub(super) fn names_a_button_beyond(&self, lamp: &ShelfId, buttons: usize) -> bool {
        let beyond = |of: &ShelfId, no: u8| of == lamp && usize::from(no) > buttons;
        match self.at_rest() {
            Some(summary) => summary.buttons.iter().any(|(of, highest)| beyond(of, *highest)),
            None => self.order.log.entries().any(|(_, entry)| {
                matches!(&entry.fact, Fact::Pour(PourFact::LampOn { press, .. }) if beyond(&press.lamp, press.button))
            }),
        }
    }

    /// The photos it names, with their kind where its sheet says that.
    pub fn photos(&self) -> Cow<'_, [(Digest, Option<PhotoKind>)]> {
        match self.at_rest() {
            Some(summary) => Cow::Borrowed(&summary.photos),
            None => Cow::Owned(self.order.photos().into_iter().collect()),
        }
    }

    /// The papers that were issued for it.
    pub fn papers(&self) -> Cow<'_, [(PaperKind, Digest)]> {
        match self.at_rest() {
            Some(summary) => Cow::Borrowed(&summary.papers),
            None => Cow::Owned(self.deref().papers()),
        }
    }

    /// How many entries were written down after that moment, in milliseconds of UTC.
    pub fn entries_since(&self, utc_ms: i64) -> u32 {
        let Some(summary) = self.at_rest() else { return self.deref().entries_since(utc_ms) };
        let day = utc_ms.div_euclid(DAY_MS);
        // Only of that very day the hour counts.
        if summary.written.iter().any(|(written, _)| *written == day) {
            return self.deref().entries_since(utc_ms);
        }
        summary.written.iter().filter(|(written, _)| *written > day).map(|(_, entries)| *entries).sum()
    }

    /// The bench, as far as this order is concerned.
    pub fn bench(&self) -> Option<BenchUse> {
        self.at_rest().map_or_else(|| self.ledger.custody.bench, |summary| summary.bench)
    }

    /// How many entries its record has.
    pub fn entries(&self) -> u32 {
        self.at_rest().map_or_else(|| self.order.log.len(), |summary| summary.entries)
    }

    /// The seal of an entry of its record, where it has that.
    pub fn seal_after(&self, entries: u32) -> Option<Digest> {
        match self.at_rest() {
            Some(summary) if summary.entries == entries && entries > 0 => Some(summary.seal),
            _ => self.order.log.entry(entries).map(|entry| entry.seal),
        }
    }

    /// How far it has come.
    pub fn stage(&self) -> Stage {
        self.at_rest().map_or_else(|| stage(&self.order.sheet, &self.ledger), |_| Stage::GoneHome)
    }

    /// What is next.
    pub fn next(&self, today: NaiveDate, nudge_days: u16) -> Next {
        self.at_rest().map_or_else(|| self.deref().next(today, nudge_days), |_| Next::Done)
    }

    /// The record seal: the digest of the whole log.
    pub fn record_seal(&self) -> Digest {
        let head = || self.order.log.head(&self.order.studio, self.order.tag);
        self.at_rest().map_or_else(head, |summary| summary.seal)
    }
}

impl Deref for Held {
    type Target = Whole;

    fn deref(&self) -> &Whole {
        match &self.0 {
            State::Whole(whole) => whole,
            State::Resting { packed, unfolded, summary } => {
                unfolded.get_or_init(|| unpacked(packed.as_ref(), summary))
            }
        }
    }
}

#[expect(
    clippy::panic,
    reason = "it was let in by this very program; anything but an end would put another order in its place"
)]
fn unpacked(packed: &dyn Packed, summary: &Summary) -> Box<Whole> {
    let is_it =
        |order: &Order| order.tag == summary.tag && order.log.head(&order.studio, order.tag) == summary.seal;
    match packed.unpack().filter(is_it).and_then(Whole::new) {
        Some(whole) => Box::new(whole),
        None => panic!(
            "an order that is over cannot be unpacked; nothing is lost on the disk: remove \".summaries\", start again"
        ),
    }
}

impl PartialEq for Held {
    fn eq(&self, other: &Self) -> bool {
        match (self.at_rest(), other.at_rest()) {
            // The seal is that of the record alone, and the sheet and the story may differ.
            (Some(one), Some(two)) if one != two => false,
            _ => **self == **other,
        }
    }
}

#[cfg(test)]
mod tests;
