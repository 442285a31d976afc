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
/// One at rest is unpacked where its order or ledger is looked into, and stays so until [`Held::fold`]; a change
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
            && order.sheet.stones.iter().all(|stone| {
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

    fn photos(&self) -> Vec<(Digest, Option<PhotoKind>)> {
        let record = self.order.log.entries();
        let record = record.filter_map(|(_, entry)| Some((entry.fact.photo()?, None)));
        let sheet = self.order.sheet.photos.iter().map(|photo| (photo.original, Some(photo.kind)));
        // The sheet's word comes last, and so stands.
        record.chain(sheet).collect::<BTreeMap<_, _>>().into_iter().collect()
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
            photos: self.photos().into(),
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
    pub fn summary(&self) -> Cow<'_, Summary> {
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
            None => Cow::Owned(self.deref().photos()),
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
            _ => Some(self.order.log.entry(entries)?.seal),
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
mod tests {
    use super::*;
    use crate::fact::{ClientFact, CustodyFact, HomeFact, PourFact};
    use crate::studio::{Edit, OrderEdit};
    use crate::testing::*;

    /// An order kept as it is: what is packed is not pressed.
    #[derive(Debug)]
    struct AsItIs(Order);

    impl Packed for AsItIs {
        fn unpack(&self) -> Option<Order> {
            Some(self.0.clone())
        }
    }

    fn as_it_is(held: &Held) -> Arc<dyn Packed> {
        Arc::new(AsItIs(held.order.clone()))
    }

    fn over() -> Bench {
        let mut bench = Bench::new();
        walk(&mut bench.studio, tag(0));
        bench.minute = 1_000;
        bench
    }

    /// True where the order of the bench can be put to rest.
    fn rests(bench: &Bench) -> bool {
        let packed = as_it_is(bench.held());
        bench.studio.clone().lay_to_rest(tag(0), || packed).is_some()
    }

    #[test]
    fn an_order_rests_once_it_is_thanked_for_and_not_before() {
        let mut bench = Bench::new();
        let life = whole_life(tag(0), &["A1", "B2"]);
        let last = life.len();
        for (place, fact) in (1..).zip(life) {
            assert!(!rests(&bench));
            bench.record(fact);
            assert_eq!(rests(&bench), place == last);
        }
    }

    #[test]
    fn what_the_studio_still_asks_of_keeps_an_order_awake() {
        let stays_awake = |change: &dyn Fn(&mut Bench)| {
            let mut bench = over();
            change(&mut bench);
            assert_eq!(bench.held().stage(), Stage::GoneHome);
            !rests(&bench)
        };
        let sheet = |bench: &mut Bench, change: &dyn Fn(&mut crate::order::Sheet)| {
            let mut sheet = bench.held().order.sheet.clone();
            change(&mut sheet);
            bench.edit(Edit::Order(tag(0), OrderEdit::Sheet(Box::new(sheet)))).unwrap();
        };
        assert!(!stays_awake(
            &|bench| sheet(bench, &|sheet| sheet.remembered.name = line("Bramble the second"))
        ));
        assert!(stays_awake(&|bench| sheet(bench, &|sheet| sheet.stones.push(stone_sheet(3, "A1")))));
        assert!(!stays_awake(&|bench| _ = bench.record(ClientFact::Thanked)));
        // A lot that came afterwards has to be packed.
        assert!(stays_awake(&|bench| _ = bench.record(received(2))));
    }

    #[test]
    fn one_at_rest_answers_as_it_did_and_wakes_with_a_change() {
        let mut bench = over();
        let whole = bench.held().clone();
        let packed = as_it_is(&whole);
        let summary = bench.studio.lay_to_rest(tag(0), || packed).cloned().unwrap();
        let rest = bench.studio.order(tag(0)).unwrap();
        assert_eq!(*whole.summary(), summary);
        let answers = |held: &Held| {
            (
                (held.tag(), held.client().clone(), held.name().clone(), held.due(), held.is_called_off()),
                (held.sent(), held.arrived(), held.quoted(), held.is_gone(), held.is_here()),
                (held.stones().into_owned(), held.kept().into_owned(), held.lit().into_owned()),
                (held.bench(), held.entries(), held.seal_after(held.entries()), held.record_seal()),
                (held.stage(), held.next(day(1), 0), held.summary().into_owned()),
            )
        };
        assert_eq!(answers(rest), answers(&whole));
        assert!(!rest.is_unfolded(), "none of that looks into it");
        assert_eq!((rest.seal_after(3), rest.seal_after(9_999)), (whole.seal_after(3), None));
        assert!(rest.is_unfolded(), "an older seal does");
        assert_eq!(*rest, whole);
        assert_eq!((summary.places.len(), summary.buttons.len(), summary.felt.len()), (3, 1, 1));
        bench.record(HomeFact::CameBack { thing: Thing::stone(2), place: Place::Kept(1) });
        assert!(bench.held().at_rest().is_none() && !bench.held().is_unfolded());
        assert_eq!(bench.held().entries(), whole.entries() + 1);
        assert!(bench.held().is_here());
    }

    #[test]
    fn light_is_summed_up_by_lamp_and_day_and_what_was_struck_still_names_its_button() {
        let bench = over();
        let lit = bench.held().lit().into_owned();
        let layers = stone_plan().layers.len();
        let wanted: Span = (0..2 * layers).map(|_| Span::from_s(60.0)).sum();
        assert_eq!(lit.into_iter().map(|(.., span)| span).sum::<Span>(), wanted);
        let mut bench = Bench::hard();
        let on = bench.record(lamp_on(&[1]));
        let press = match bench.held().order.log.entry(on).unwrap().fact.clone() {
            Fact::Pour(PourFact::LampOn { press, .. }) => press,
            other => panic!("{other:?}"),
        };
        bench.record(Fact::Struck { entry: on, why: crate::fact::Mistake::DidNotHappen });
        assert_eq!(bench.held().summary().buttons[..], [(press.lamp, press.button)]);
    }

    #[test]
    fn every_single_thing_that_is_still_asked_of_keeps_an_order_awake() {
        let whole = (**over().held()).clone();
        assert!(whole.is_over());
        let (sent, stone) = (Thing::keepsake(1), Thing::stone(2));
        let thing = |whole: &mut Whole, of: Thing, change: &dyn Fn(&mut ledger::Held)| {
            change(whole.ledger.custody.things.get_mut(&of).unwrap());
        };
        // An envelope of the studio's that has been emptied is not packed.
        let emptied = |whole: &mut Whole, place: Place, open: bool| {
            let things = &mut whole.ledger.custody.things;
            let envelope = things[&Thing::envelope(1)].clone();
            let emptied = ledger::Held { place, open, role: ledger::Role::Plain, ..envelope };
            things.insert(Thing::envelope(2), emptied);
        };
        let mut with_an_envelope = whole.clone();
        emptied(&mut with_an_envelope, Place::Kept(1), false);
        assert!(with_an_envelope.is_over());
        let changes: [(&str, &dyn Fn(&mut Whole)); 14] = [
            ("came back", &|whole| whole.ledger.home.came_back = true),
            ("on its way", &|whole| thing(whole, sent, &|held| held.place = Place::Post)),
            ("passed on", &|whole| thing(whole, sent, &|held| held.passed_to = Some(tag(1)))),
            ("held for the client", &|whole| {
                thing(whole, sent, &|held| {
                    (held.place, held.left_out) = (Place::Kept(1), Some(LeftOut::HeldForClient));
                });
            }),
            ("lost in its cavity", &|whole| {
                let place = Place::Cavity { mould: item("oval"), cell: cell("A1") };
                thing(whole, stone, &|held| (held.place, held.lost) = (place.clone(), true));
            }),
            ("on the bench", &|whole| emptied(whole, Place::Bench, false)),
            ("away", &|whole| emptied(whole, Place::Away, false)),
            ("open", &|whole| emptied(whole, Place::Kept(1), true)),
            ("destroyed and never asked for", &|whole| {
                thing(whole, sent, &|held| held.left_out = Some(LeftOut::DestroyedOnRequest));
            }),
            ("taken over", &|whole| {
                whole.ledger.custody.lots.get_mut(&1).unwrap().before = Some((tag(1), sent));
            }),
            ("under a lamp", &|whole| {
                let layers = &mut whole.ledger.pours.stones.get_mut(&2).unwrap().layers;
                layers.last_mut().unwrap().lit.last_mut().unwrap().off = None;
            }),
            ("of a lot that is not there", &|whole| {
                let share = crate::order::LotShare { lot: 9, part: crate::units::Share::of(1, 10) };
                whole.order.sheet.stones[0].shares.push(share);
            }),
            ("not begun", &|whole| whole.order.sheet.stones.push(stone_sheet(3, "A1"))),
            ("not thanked", &|whole| whole.ledger.client.thanked = false),
        ];
        for (what, change) in changes {
            let mut changed = whole.clone();
            change(&mut changed);
            assert!(!changed.is_over(), "{what}");
        }
    }

    /// An order that is over, at rest, whose stones were lit with this button and whose keepsake lay in this place.
    fn resting_with(button: u8, place: u16) -> Bench {
        let mut bench = Bench::new();
        let mut policies = bench.studio.policies().clone();
        policies.places.push(line("Tin on the sill"));
        bench.edit(Edit::Policies(Box::new(policies))).unwrap();
        let lights = buttons();
        for mut fact in whole_life(tag(0), &["A1", "B2"]) {
            match &mut fact {
                Fact::Pour(PourFact::LampOn { press, .. }) => {
                    let light = &lights[usize::from(button) - 1];
                    (press.button, press.seconds, press.ramp) = (button, light.total(), light.ramp());
                }
                Fact::Custody(CustodyFact::CameAlong { place: at, .. }) => *at = Place::Kept(place),
                _ => {}
            }
            bench.record(fact);
        }
        let packed = as_it_is(bench.held());
        bench.studio.lay_to_rest(tag(0), || packed).unwrap();
        bench
    }

    #[test]
    fn buttons_and_places_that_only_an_order_at_rest_names_stay() {
        let long = u16::try_from(policies().places.len() + 1).unwrap();
        for (button, place) in [(1, 1), (2, long)] {
            let mut bench = resting_with(button, place);
            let crate::shelf::What::Resin(mut bottle) =
                bench.studio.item(&item("clear")).unwrap().what.clone()
            else {
                panic!("a bottle")
            };
            bottle.first_sets.retain(|tried| tried.button == 1);
            let clear = bench.studio.item(&item("clear")).unwrap().clone();
            let clear = crate::shelf::Item { what: crate::shelf::What::Resin(bottle), ..clear };
            let put = crate::studio::ShelfEdit::Put(Box::new(clear));
            bench.edit(Edit::Shelf(item("clear"), put)).unwrap();
            let mut lamp = bench.studio.item(&item("box-lamp")).unwrap().clone();
            let crate::shelf::What::Lamp(fewer) = &mut lamp.what else { panic!("a lamp") };
            fewer.buttons.truncate(1);
            let undone = bench.studio.put_back(crate::studio::Doc::Shelf(item("box-lamp"), Box::new(lamp)));
            assert_eq!(undone.is_ok(), button == 1, "{undone:?}");
            let mut short = bench.studio.policies().clone();
            short.places.pop();
            let undone = bench.studio.put_back(crate::studio::Doc::Policies(Box::new(short)));
            assert_eq!(undone.is_ok(), place == 1, "{undone:?}");
            assert!(!bench.held().is_unfolded() && bench.held().at_rest().is_some());
        }
    }

    #[test]
    fn what_is_refused_wakes_nothing() {
        let mut bench = resting_with(1, 1);
        bench.refuse(received(0));
        bench.refuse(Fact::Struck { entry: 9_999, why: crate::fact::Mistake::DidNotHappen });
        let words =
            crate::order::Words { about: crate::order::About::Entry(9_999), text: "gone".parse().unwrap() };
        bench.refuse_edit(Edit::Order(tag(0), OrderEdit::Story(words)));
        assert!(bench.held().at_rest().is_some());
    }

    #[test]
    fn a_packet_in_two_orders_is_refused_whether_others_rest_or_not() {
        let mut bench = over();
        let packed = as_it_is(bench.held());
        bench.open(1);
        let (one, mut two) = (bench.studio.clone(), bench.studio.clone());
        two.lay_to_rest(tag(0), || packed).unwrap();
        let facts: [Fact; 3] =
            [received(1).into(), CustodyFact::BenchCleared.into(), opened(tag(1), Thing::wrapping(1)).into()];
        let mut both = (one, two);
        for (minute, fact) in (2_000..).zip(facts) {
            let edit = Edit::Order(tag(1), OrderEdit::Fact(fact));
            assert_eq!(both.0.apply(edit.clone(), at(minute)), both.1.apply(edit, at(minute)));
        }
        assert_eq!(both.0.bench(), both.1.bench());
        assert_eq!(both.0.findings(), both.1.findings());
        assert_eq!(both.0, both.1);
    }
}
