//! An order: its sheet (what is wanted and noted), its story (the words) and its log (what happened).

use std::collections::BTreeMap;

use chrono::NaiveDate;
use serde::{Deserialize, Serialize};

use crate::digest::Digest;
use crate::fact::LayerKind;
use crate::id::{ClientId, ShelfId, StudioId, Thing, is_practice};
use crate::log::Log;
use crate::money::Money;
use crate::place::Cell;
use crate::planner::{Plan, Style, Wishes};
use crate::tag::Tag;
use crate::text::{Line, Text};
use crate::units::{Length, Share};

/// One order.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Order {
    /// Its tag, which is also its file's name.
    pub tag: Tag,
    /// The studio it belongs to.
    pub studio: StudioId,
    /// Whose it is.
    pub client: ClientId,
    /// What is wanted and noted; changes freely.
    pub sheet: Sheet,
    /// The words; change freely.
    pub story: Story,
    /// What happened; only grows.
    pub log: Log,
}

impl Order {
    /// The photos it names, with their kind where its sheet says that.
    pub fn photos(&self) -> BTreeMap<Digest, Option<PhotoKind>> {
        let record = self.log.entries().filter_map(|(_, entry)| Some((entry.fact.photo()?, None)));
        let sheet = self.sheet.photos.iter().map(|photo| (photo.original, Some(photo.kind)));
        // The sheet's word comes last, and so stands.
        record.chain(sheet).collect()
    }
}

/// The nine pages of the bench.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum Page {
    /// What is wanted.
    Brief,
    /// What came.
    Arrival,
    /// How it will be poured.
    Plan,
    /// Pouring.
    Pour,
    /// The proof.
    Show,
    /// The answer.
    Choose,
    /// Setting it.
    Fit,
    /// Counting it home.
    Pack,
    /// After it has gone.
    After,
}

impl Page {
    /// All pages in the order of the work.
    pub const ALL: [Page; 9] = [
        Page::Brief,
        Page::Arrival,
        Page::Plan,
        Page::Pour,
        Page::Show,
        Page::Choose,
        Page::Fit,
        Page::Pack,
        Page::After,
    ];
}

/// What some words are about.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum About {
    /// An entry of the log.
    Entry(u32),
    /// A page.
    Page(Page),
}

/// Some words.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Words {
    /// What they are about.
    pub about: About,
    /// The words.
    pub text: Text,
}

/// The words of an order, kept apart from the log so that they can be forgotten. Sorted, one for each subject.
#[derive(Clone, Debug, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(transparent)]
pub struct Story(Vec<Words>);

impl Story {
    /// The words about something.
    pub fn about(&self, about: About) -> Option<&Text> {
        self.0.iter().find(|words| words.about == about).map(|words| &words.text)
    }

    /// All of them.
    pub fn all(&self) -> &[Words] {
        &self.0
    }

    /// Puts words in place of any there were; empty words take them away.
    pub(crate) fn put(&mut self, words: Words) {
        self.0.retain(|old| old.about != words.about);
        if !words.text.is_empty() {
            self.0.push(words);
            self.0.sort_by_key(|words| words.about);
        }
    }

    /// True where the subjects are in order and none stands twice.
    pub(crate) fn is_sorted(&self) -> bool {
        self.0.is_sorted_by(|before, after| before.about < after.about)
    }
}

/// Who or what is remembered.
#[derive(Clone, Debug, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Remembered {
    /// The name, spelled as the client spells it.
    pub name: Line,
    /// Who they were, in a few words.
    pub about: Line,
    /// The client has confirmed the spelling.
    pub spelling_confirmed: bool,
    /// Days that matter.
    pub dates: Vec<Dated>,
    /// Words never to be used.
    pub never_say: Vec<Line>,
}

/// A day that matters.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Dated {
    /// What happened on it.
    pub what: Line,
    /// The day.
    pub on: NaiveDate,
}

/// Who it is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default, Serialize, Deserialize)]
pub enum Occasion {
    /// The client.
    #[default]
    ForThemselves,
    /// Someone else, who knows.
    Gift,
    /// Someone else, who must not know: no parcels or messages that give it away.
    Surprise,
}

/// What it will cost.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Quote {
    /// All together.
    pub total: Money,
    /// Asked for beforehand.
    pub deposit: Money,
    /// The day the deposit came.
    pub deposit_paid: Option<NaiveDate>,
    /// What it is for.
    pub note: Line,
}

/// A stone that is to be made.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct StoneSheet {
    /// Its number on the proof.
    pub no: u8,
    /// The mould.
    pub mould: ShelfId,
    /// The cavity of its tray.
    pub cell: Cell,
    /// The bottle of resin.
    pub resin: ShelfId,
    /// The lamp.
    pub lamp: ShelfId,
    /// The pigment behind the material.
    pub pigment: ShelfId,
    /// How the colour follows.
    pub style: Style,
    /// The clear face that holds the material.
    pub face: Length,
    /// Which lots go in, and how much of each; of a practice stone, which lots the maker's own material stands for.
    pub shares: Vec<LotShare>,
    /// The clear layer on the face.
    pub top: LayerKind,
    /// The plan that was kept, by value.
    pub plan: Option<Plan>,
    /// A word on how it came out, for the proof.
    pub caption: Line,
    /// What is wanted of its plan beyond the usual.
    #[serde(default, skip_serializing_if = "Wishes::are_usual")]
    pub wishes: Wishes,
}

/// A share of one lot.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LotShare {
    /// The lot.
    pub lot: u8,
    /// How much of it.
    pub part: Share,
}

/// Something someone else does for the order.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum ErrandKind {
    /// The setting is to be bought.
    Setting,
    /// A chain.
    Chain,
    /// Engraving.
    Engraving,
    /// The assay office.
    Assay,
}

/// An errand: who does what, since when, and when it came back.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Errand {
    /// What.
    pub kind: ErrandKind,
    /// The details, such as the ring size or the words to engrave.
    pub what: Line,
    /// Who does it.
    pub who: Line,
    /// When it was asked for.
    pub asked: Option<NaiveDate>,
    /// When it is expected.
    pub expected: Option<NaiveDate>,
    /// When it was here.
    pub back: Option<NaiveDate>,
}

/// The kind of picture file.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum PhotoKind {
    /// JPEG.
    Jpeg,
    /// PNG.
    Png,
}

impl PhotoKind {
    /// The end of its file's name.
    pub const fn extension(self) -> &'static str {
        match self {
            PhotoKind::Jpeg => "jpg",
            PhotoKind::Png => "png",
        }
    }
}

/// A photo of the order; the picture itself lies beside under its digest.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Photo {
    /// The digest of the untouched original.
    pub original: Digest,
    /// What kind of file.
    pub kind: PhotoKind,
    /// What is on it.
    pub of: Option<Thing>,
    /// A word about it.
    pub caption: Line,
}

/// Which way a parcel goes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum ParcelKind {
    /// The sending kit, to the client.
    Kit,
    /// The material, from the client.
    Incoming,
    /// The box, home.
    Home,
}

/// A parcel.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Parcel {
    /// Which way.
    pub kind: ParcelKind,
    /// Who carries it.
    pub carrier: Line,
    /// The tracking number.
    pub tracking: Line,
    /// What it is insured for; the material itself cannot be.
    pub insured: Option<Money>,
}

/// A thing in words.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ThingNote {
    /// The thing.
    pub thing: Thing,
    /// What it looks like.
    pub description: Line,
}

/// What is wanted and noted.
#[derive(Clone, Debug, PartialEq, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Sheet {
    /// Who or what is remembered.
    pub remembered: Remembered,
    /// What the client wishes.
    pub wishes: Text,
    /// When it is promised for.
    pub due: Option<NaiveDate>,
    /// Who it is for.
    pub occasion: Occasion,
    /// What it will cost.
    pub quote: Option<Quote>,
    /// The setting from the shelf, where it is one.
    pub setting: Option<ShelfId>,
    /// The ring size as the client gave it, with its system in words; empty for a pendant.
    pub ring: Line,
    /// The things in words.
    pub things: Vec<ThingNote>,
    /// The stones to be made.
    pub stones: Vec<StoneSheet>,
    /// What others do.
    pub errands: Vec<Errand>,
    /// The photos.
    pub photos: Vec<Photo>,
    /// The parcels.
    pub parcels: Vec<Parcel>,
}

impl Sheet {
    /// Stone `no` as it is to be made.
    pub fn stone(&self, no: u8) -> Option<&StoneSheet> {
        self.stones.iter().find(|stone| stone.no == no)
    }

    /// The stones that are for the client: all but the practice stones.
    pub fn client_stones(&self) -> impl Iterator<Item = &StoneSheet> {
        self.stones.iter().filter(|stone| !is_practice(stone.no))
    }

    /// A thing in words.
    pub fn description(&self, thing: Thing) -> Option<&Line> {
        self.things.iter().find(|note| note.thing == thing).map(|note| &note.description)
    }

    /// The newest photo of a thing.
    pub fn photo_of(&self, thing: Thing) -> Option<&Photo> {
        self.photos.iter().rev().find(|photo| photo.of == Some(thing))
    }
}
