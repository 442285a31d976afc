//! Writes the demo down: every word of it goes through [`Studio::apply`], as a maker's would.

use std::str::FromStr;

use chrono::NaiveDate;
use craft::client::Client;
use craft::digest::Digest;
use craft::fact::Fact;
use craft::id::{DocId, ShelfId, Thing};
use craft::money::Money;
use craft::order::{
    About, Dated, Errand, ErrandKind, LotShare, Occasion, Page, Parcel, ParcelKind, Photo, Quote, Remembered,
    Sheet, StoneSheet, ThingNote, Words,
};
use craft::planner::Style;
use craft::policies::Policies;
use craft::refusal::Refusal;
use craft::shelf::Item;
use craft::studio::{ClientEdit, Edit, OrderEdit, ShelfEdit, Studio};
use craft::tag::Tag;
use craft::units::{Length, Share};

use super::DemoPhoto;
use super::calendar::Calendar;
use super::pictures::{Scene, draw};

/// Reads a text that the demo itself wrote.
pub(super) fn read<T: FromStr<Err: ToString>>(text: &str) -> Result<T, Refusal> {
    text.parse().map_err(|why: T::Err| spoiled(&why))
}

/// The demo itself does not hold together.
fn spoiled(why: &impl ToString) -> Refusal {
    Refusal::Locked { doc: DocId::Policies, why: format!("the demo cannot be made: {}", why.to_string()) }
}

/// The studio as far as it is written, and its calendar.
#[derive(Debug)]
pub(super) struct Pen {
    pub(super) studio: Studio,
    pub(super) calendar: Calendar,
    pub(super) photos: Vec<DemoPhoto>,
}

/// What a client asked for, in plain words.
#[derive(Clone, Debug, Default)]
pub(super) struct Asked<'a> {
    /// The tag is made from this number.
    pub(super) number: u32,
    pub(super) client: &'a str,
    pub(super) name: &'a str,
    pub(super) about: &'a str,
    pub(super) spelling: bool,
    pub(super) dates: &'a [(&'a str, NaiveDate)],
    pub(super) never_say: &'a [&'a str],
    pub(super) wishes: &'a str,
    pub(super) due: Option<NaiveDate>,
    pub(super) occasion: Occasion,
    /// Total and deposit in pence, and what it is for.
    pub(super) quote: Option<(i64, i64, &'a str)>,
    pub(super) paid: Option<NaiveDate>,
    pub(super) setting: &'a str,
    pub(super) ring: &'a str,
}

/// A stone that is wished for.
#[derive(Clone, Copy, Debug)]
pub(super) struct Wish<'a> {
    pub(super) mould: &'a str,
    pub(super) lamp: &'a str,
    pub(super) pigment: &'a str,
    pub(super) style: Style,
    pub(super) face_mm: f64,
    pub(super) top: craft::fact::LayerKind,
}

impl Pen {
    /// An empty studio with its settings.
    pub(super) fn new(policies: Policies, calendar: Calendar) -> Self {
        Self { studio: Studio::new(policies), calendar, photos: Vec::new() }
    }

    /// The only way anything is written.
    pub(super) fn apply(&mut self, edit: Edit, utc_ms: i64) -> Result<Option<u32>, Refusal> {
        let at = self.calendar.moment(utc_ms);
        self.studio.apply(edit, at).map(|done| done.entry)
    }

    /// Puts an item on the shelf.
    pub(super) fn shelf(&mut self, id: ShelfId, item: Item) -> Result<(), Refusal> {
        let long_ago = self.calendar.at(self.calendar.past(90), (9, 0));
        self.apply(Edit::Shelf(id, ShelfEdit::Put(Box::new(item))), long_ago).map(drop)
    }

    /// Writes a client down.
    pub(super) fn client(&mut self, id: &str, client: Client) -> Result<(), Refusal> {
        let long_ago = self.calendar.at(self.calendar.past(80), (9, 0));
        self.apply(Edit::Client(read(id)?, ClientEdit::Put(Box::new(client))), long_ago).map(drop)
    }

    /// Opens an order on a day, at a time.
    pub(super) fn order(
        &mut self,
        asked: &Asked<'_>,
        past: u32,
        time: (u32, u32),
    ) -> Result<Writing<'_>, Refusal> {
        let tag = Tag::from_number(asked.number);
        let tag = tag.ok_or_else(|| spoiled(&format!("no tag has the number {}", asked.number)))?;
        let sheet = Box::new(self.sheet(asked)?);
        let now_ms = self.calendar.at(self.calendar.past(past), time);
        self.apply(Edit::Order(tag, OrderEdit::Open { client: read(asked.client)?, sheet }), now_ms)?;
        Ok(Writing { pen: self, tag, now_ms, last: 0 })
    }

    fn sheet(&self, asked: &Asked<'_>) -> Result<Sheet, Refusal> {
        let dated = |(what, on): &(&str, NaiveDate)| Ok(Dated { what: read(what)?, on: *on });
        let remembered = Remembered {
            name: read(asked.name)?,
            about: read(asked.about)?,
            spelling_confirmed: asked.spelling,
            dates: asked.dates.iter().map(dated).collect::<Result<_, Refusal>>()?,
            never_say: asked.never_say.iter().map(|words| read(words)).collect::<Result<_, _>>()?,
        };
        let money = |minor| Money { minor, currency: self.studio.policies().currency };
        let quote = match asked.quote {
            Some((total, deposit, note)) => Some(Quote {
                total: money(total),
                deposit: money(deposit),
                deposit_paid: asked.paid,
                note: read(note)?,
            }),
            None => None,
        };
        Ok(Sheet {
            remembered,
            wishes: read(asked.wishes)?,
            due: asked.due,
            occasion: asked.occasion,
            quote,
            setting: if asked.setting.is_empty() { None } else { Some(read(asked.setting)?) },
            ring: read(asked.ring)?,
            ..Sheet::default()
        })
    }

    /// A stone as it is to be made, planned from what stands on the shelf.
    fn stone(
        &self,
        tag: Tag,
        wish: &Wish<'_>,
        (no, cell): (u8, &str),
        shares: &[LotShare],
    ) -> Result<StoneSheet, Refusal> {
        let mut stone = StoneSheet {
            no,
            mould: read(wish.mould)?,
            cell: read(cell)?,
            resin: read("clear-casting")?,
            lamp: read(wish.lamp)?,
            pigment: read(wish.pigment)?,
            style: wish.style,
            face: Length::from_mm(wish.face_mm),
            shares: shares.to_vec(),
            top: wish.top,
            plan: None,
            caption: read("")?,
            wishes: craft::planner::Wishes::default(),
        };
        stone.plan = Some(self.studio.plan_for(tag, &stone, self.calendar.day).map_err(|why| spoiled(&why))?);
        Ok(stone)
    }
}

/// One order being written down, at a time of the clock.
#[derive(Debug)]
pub(super) struct Writing<'a> {
    pub(super) pen: &'a mut Pen,
    pub(super) tag: Tag,
    now_ms: i64,
    last: u32,
}

impl Writing<'_> {
    /// Goes on some working days ago, at a time.
    pub(super) fn on(&mut self, past: u32, time: (u32, u32)) -> &mut Self {
        self.now_ms = self.pen.calendar.at(self.pen.calendar.past(past), time);
        self
    }

    /// Goes on some seconds before the demo is made.
    pub(super) fn seconds_ago(&mut self, seconds: i64) -> &mut Self {
        self.now_ms = self.pen.calendar.seconds_ago(seconds);
        self
    }

    /// Lets some seconds go by.
    pub(super) fn wait(&mut self, seconds: i64) {
        self.now_ms += seconds * 1_000;
    }

    /// The sheet as it stands.
    pub(super) fn sheet_now(&self) -> Result<&Sheet, Refusal> {
        self.pen.studio.order(self.tag).map(|held| &held.order.sheet)
    }

    /// Something happens, and a few seconds go by. Gives the number of its entry.
    pub(super) fn fact(&mut self, fact: impl Into<Fact>) -> Result<u32, Refusal> {
        let entry = self.edit(OrderEdit::Fact(fact.into()))?;
        self.wait(5);
        Ok(entry)
    }

    /// Something happened some working days ago, and is told of now.
    pub(super) fn told(&mut self, past: u32, fact: impl Into<Fact>) -> Result<u32, Refusal> {
        let day = self.pen.calendar.past(past);
        self.edit(OrderEdit::Told(day, fact.into()))
    }

    fn edit(&mut self, edit: OrderEdit) -> Result<u32, Refusal> {
        let entry = self.pen.apply(Edit::Order(self.tag, edit), self.now_ms)?;
        self.last = entry.unwrap_or(self.last);
        Ok(self.last)
    }

    /// Words about a page.
    pub(super) fn page(&mut self, page: Page, text: &str) -> Result<(), Refusal> {
        let words = Words { about: About::Page(page), text: read(text)? };
        self.edit(OrderEdit::Story(words)).map(drop)
    }

    /// Words about the newest entry.
    pub(super) fn say(&mut self, text: &str) -> Result<(), Refusal> {
        let words = Words { about: About::Entry(self.last), text: read(text)? };
        self.edit(OrderEdit::Story(words)).map(drop)
    }

    /// Changes the sheet.
    pub(super) fn sheet(&mut self, change: impl FnOnce(&mut Sheet)) -> Result<(), Refusal> {
        let mut sheet = self.sheet_now()?.clone();
        change(&mut sheet);
        self.edit(OrderEdit::Sheet(Box::new(sheet))).map(drop)
    }

    /// Plans stones of one kind: their numbers with their cavities.
    pub(super) fn plan(
        &mut self,
        wish: &Wish<'_>,
        stones: &[(u8, &str)],
        shares: &[LotShare],
    ) -> Result<(), Refusal> {
        let planned = stones.iter().map(|&stone| self.pen.stone(self.tag, wish, stone, shares));
        let planned = planned.collect::<Result<Vec<_>, _>>()?;
        self.sheet(|sheet| sheet.stones.extend(planned))
    }

    /// A word on how a stone came out.
    pub(super) fn caption(&mut self, no: u8, words: &str) -> Result<(), Refusal> {
        let caption = read(words)?;
        self.sheet(|sheet| {
            if let Some(stone) = sheet.stones.iter_mut().find(|stone| stone.no == no) {
                stone.caption = caption;
            }
        })
    }

    /// A photo of a thing, with a word about it.
    pub(super) fn photo(&mut self, scene: Scene, of: Thing, words: &str) -> Result<Digest, Refusal> {
        let seed = u64::try_from(self.pen.photos.len()).unwrap_or(0) + 11;
        let photo = draw(scene, seed).map_err(|why| spoiled(&why))?;
        let (original, kind) = (photo.digest, photo.kind);
        self.pen.photos.push(photo);
        let caption = read(words)?;
        self.sheet(|sheet| sheet.photos.push(Photo { original, kind, of: Some(of), caption }))?;
        Ok(original)
    }

    /// What a thing looks like.
    pub(super) fn thing(&mut self, thing: Thing, words: &str) -> Result<(), Refusal> {
        let description = read(words)?;
        self.sheet(|sheet| sheet.things.push(ThingNote { thing, description }))
    }

    /// A parcel: who carries it, its number, and what it is insured for in pence.
    pub(super) fn parcel(
        &mut self,
        kind: ParcelKind,
        carrier: &str,
        tracking: &str,
        insured: Option<i64>,
    ) -> Result<(), Refusal> {
        let currency = self.pen.studio.policies().currency;
        let insured = insured.map(|minor| Money { minor, currency });
        let parcel = Parcel { kind, carrier: read(carrier)?, tracking: read(tracking)?, insured };
        self.sheet(|sheet| sheet.parcels.push(parcel))
    }

    /// An errand with the days it was asked for, is expected and came back.
    pub(super) fn errand(
        &mut self,
        kind: ErrandKind,
        (what, who): (&str, &str),
        [asked, expected, back]: [Option<NaiveDate>; 3],
    ) -> Result<(), Refusal> {
        let errand = Errand { kind, what: read(what)?, who: read(who)?, asked, expected, back };
        self.sheet(|sheet| sheet.errands.push(errand))
    }
}

/// A share of one lot for a stone, in hundredths.
pub(super) fn of_lot(lot: u8, hundredths: u32) -> LotShare {
    LotShare { lot, part: Share::of(hundredths, 100) }
}
