//! A made-up studio with one order brought as far as a test wants it. Every name and number is invented.

use chrono::NaiveDate;
use craft::client::{Client, Permission};
use craft::compare::Scale;
use craft::cure::{Button, Doubts, Light, Mix, PigmentClass, Provenance, Resin};
use craft::digest::Digest;
use craft::fact::{
    Amount, Check, Choice, ClientFact, CustodyFact, Dimension, Fact, Feel, FitFact, FitWork, Hardness,
    Holder, HomeFact, How, LayerKind, Material, MessageKind, PaperKind, PourFact, Press, Seal,
};
use craft::geometry::{Cavity, Dome, Outline};
use craft::id::{ShelfId, Thing};
use craft::moment::{BootId, Moment};
use craft::money::{Currency, Money};
use craft::order::{
    Dated, Errand, ErrandKind, LotShare, Parcel, ParcelKind, Photo, PhotoKind, Quote, Remembered, Sheet,
    StoneSheet, ThingNote,
};
use craft::place::Place;
use craft::planner::{Plan, Problem, Region, Style, plan};
use craft::policies::Policies;
use craft::reading::{Means, Reading};
use craft::shelf::{Body, Bottle, Item, Lamp, Mould, Pigment, Setting, What};
use craft::stage::Stage;
use craft::studio::{ClientEdit, Edit, OrderEdit, ShelfEdit, Studio};
use craft::tag::Tag;
use craft::text::Line;
use craft::units::{Length, Load, Mass, Share, Span};

pub(crate) fn id(text: &str) -> ShelfId {
    text.parse().unwrap()
}

pub(crate) fn line(text: &str) -> Line {
    text.parse().unwrap()
}

pub(crate) fn day(year: i32, month: u32, day: u32) -> NaiveDate {
    NaiveDate::from_ymd_opt(year, month, day).unwrap()
}

/// Wednesday 25 November 2026, nine in the morning, and `minutes` more.
pub(crate) fn at(minutes: i64) -> Moment {
    let since_boot_ms = 10_000 + minutes * 60_000;
    Moment {
        utc_ms: 1_795_597_200_000 + minutes * 60_000,
        offset_min: 0,
        boot: BootId(7),
        since_boot_ms,
        awake_ms: since_boot_ms,
    }
}

fn items() -> Vec<(&'static str, &'static str, What)> {
    let mm = Length::from_mm;
    let cavity =
        Cavity::new(Outline::Oval { length: mm(10.0), width: mm(8.0) }, Dome::HalfEllipse, mm(2.5), mm(1.0))
            .unwrap();
    let cells = ["A1", "A2", "B1", "B2"].map(|cell| cell.parse().unwrap()).to_vec();
    let buttons = vec![
        Button::new("60 s", Span::from_s(60.0), Span::ZERO).unwrap(),
        Button::new("99 s low heat", Span::from_s(99.0), Span::from_s(60.0)).unwrap(),
        Button::new("120 s", Span::from_s(120.0), Span::ZERO).unwrap(),
    ];
    let setting = Setting {
        kind: line("ring"),
        opening: Outline::Oval { length: mm(10.1), width: mm(8.1) },
        wall: mm(3.0),
        metal: line("925 silver"),
    };
    vec![
        (
            "clear-resin",
            "Clear casting resin",
            What::Resin(Bottle {
                resin: Resin::TYPICAL,
                opened: None,
                first_sets: Vec::new(),
                observations: Vec::new(),
            }),
        ),
        ("nail-lamp", "The white lamp", What::Lamp(Lamp { buttons })),
        (
            "deep-green",
            "Deep green",
            What::Pigment(Pigment {
                mix: Mix::typical(PigmentClass::Dark),
                colour: (31, 77, 58),
                swatches: Vec::new(),
                cards: Vec::new(),
            }),
        ),
        ("oval-ten", "Oval 10 × 8", What::Mould(Mould { cavity, cells, body: Body::LetsLightIn })),
        ("plain-ring", "Plain ring", What::Setting(setting)),
    ]
}

/// A studio with a shelf and one client, and no orders.
pub(crate) fn studio() -> Studio {
    let mut policies = Policies::new("fernhill".parse().unwrap(), line("Fernhill Stones"), Currency::GBP);
    policies.places = vec![line("drawer 3"), line("the tin")];
    policies.post = "4 Mill Lane\nAshby AB1 2CD\nUNITED KINGDOM".parse().unwrap();
    policies.contact = line("hello@fernhill.example");
    policies.scale = Some(Scale { readability: Mass::from_mg(1.0), repeatability: Mass::from_mg(1.0) });
    let mut studio = Studio::new(policies);
    for (key, name, what) in items() {
        let item = Item { name: line(name), retired: false, note: craft::text::Text::default(), what };
        studio.apply(Edit::Shelf(id(key), ShelfEdit::Put(Box::new(item))), at(0)).unwrap();
    }
    let client = Client {
        name: line("Ida Lund"),
        contact: line("ida@example.org"),
        may_show: Permission::Given(day(2026, 11, 1)),
        ..Client::default()
    };
    studio
        .apply(Edit::Client("ida-lund".parse().unwrap(), ClientEdit::Put(Box::new(client))), at(0))
        .unwrap();
    studio
}

/// The usual plan for the sample's mould.
pub(crate) fn usual_plan() -> Plan {
    plan(&problem(PigmentClass::Dark)).unwrap()
}

pub(crate) fn problem(class: PigmentClass) -> Problem {
    let lights = match items().swap_remove(1).2 {
        What::Lamp(lamp) => lamp.buttons.into_iter().map(Light::typical).collect(),
        _ => Vec::new(),
    };
    let (depth, face) = (Length::from_mm(3.5), Length::from_mm(1.5));
    Problem::for_stone(depth, face, Mix::typical(class), Style::Deepening, lights, Doubts::typical_for(class))
        .unwrap()
}

pub(crate) fn stone(no: u8, cell: &str) -> StoneSheet {
    StoneSheet {
        no,
        mould: id("oval-ten"),
        cell: cell.parse().unwrap(),
        resin: id("clear-resin"),
        lamp: id("nail-lamp"),
        pigment: id("deep-green"),
        style: Style::Deepening,
        face: Length::from_mm(1.5),
        shares: vec![LotShare { lot: 1, part: Share::of(1, 20) }],
        top: LayerKind::TopGloss,
        plan: Some(usual_plan()),
        caption: line("The strands fanned"),
        wishes: craft::planner::Wishes::default(),
    }
}

pub(crate) fn sheet() -> Sheet {
    let note = |thing, words: &str| ThingNote { thing, description: line(words) };
    let photo = |text: &str, of| Photo {
        original: Digest::of(text.as_bytes()),
        kind: PhotoKind::Jpeg,
        of: Some(of),
        caption: line("on grey cloth"),
    };
    let parcel = |kind, tracking: &str| Parcel {
        kind,
        carrier: line("the post"),
        tracking: line(tracking),
        insured: None,
    };
    let quote = Quote {
        total: Money { minor: 24_000, currency: Currency::GBP },
        deposit: Money { minor: 12_000, currency: Currency::GBP },
        deposit_paid: Some(day(2026, 11, 2)),
        note: line("a ring with one stone"),
    };
    Sheet {
        remembered: Remembered {
            name: line("Bramble"),
            about: line("chestnut mare, tail hair"),
            spelling_confirmed: true,
            dates: vec![Dated { what: line("born"), on: day(2004, 5, 3) }],
            never_say: vec![line("rainbow bridge")],
        },
        wishes: "A plain ring, green behind the hair.".parse().unwrap(),
        due: Some(day(2026, 12, 12)),
        quote: Some(quote),
        setting: Some(id("plain-ring")),
        ring: line("UK N"),
        things: vec![
            note(Thing::wrapping(1), "a tied lock in tissue"),
            note(Thing::keepsake(1), "a blue ribbon"),
        ],
        stones: vec![stone(1, "A1"), stone(2, "B2")],
        errands: vec![Errand {
            kind: ErrandKind::Engraving,
            what: line("Bramble"),
            who: line("the engraver"),
            asked: Some(day(2026, 11, 20)),
            expected: None,
            back: Some(day(2026, 11, 24)),
        }],
        photos: vec![
            photo("s1", Thing::stone(1)),
            photo("s2", Thing::stone(2)),
            photo("w1", Thing::wrapping(1)),
        ],
        parcels: vec![parcel(ParcelKind::Incoming, "IN1"), parcel(ParcelKind::Home, "HM2")],
        ..Sheet::default()
    }
}

/// An order on its way.
pub(crate) struct Bench {
    pub(crate) studio: Studio,
    pub(crate) tag: Tag,
    minutes: i64,
}

impl Bench {
    pub(crate) fn open(sheet: Sheet) -> Self {
        let mut studio = studio();
        let tag = Tag::from_number(1_234_567).unwrap();
        let edit = OrderEdit::Open { client: "ida-lund".parse().unwrap(), sheet: Box::new(sheet) };
        studio.apply(Edit::Order(tag, edit), at(0)).unwrap();
        Self { studio, tag, minutes: 0 }
    }

    pub(crate) fn now(&self) -> Moment {
        at(self.minutes)
    }

    pub(crate) fn record(&mut self, fact: impl Into<Fact>) {
        self.minutes += 5;
        let fact = fact.into();
        let edit = Edit::Order(self.tag, OrderEdit::Fact(fact.clone()));
        if let Err(why) = self.studio.apply(edit, at(self.minutes)) {
            panic!("{fact:?}: {why}");
        }
    }

    pub(crate) fn check(&self) -> Check {
        Check { how: How::Typed, tag: self.tag }
    }

    pub(crate) fn weigh(&mut self, thing: Thing, mg: f64) {
        let reading = Reading { value: Mass::from_mg(mg), doubt: Mass::from_mg(1.2), by: Means::Scale };
        self.record(CustodyFact::Weighed { thing, reading });
    }

    pub(crate) fn receive(&mut self, lot: u8, material: Material) {
        let photo = Some(Digest::of(b"w1"));
        self.record(CustodyFact::Received {
            lot,
            material,
            seal: Some(Seal(12)),
            place: Place::Kept(1),
            photo,
            keep_back: Share::of(1, 3),
        });
    }

    fn arrive(&mut self) {
        self.receive(1, Material::Hair);
        self.record(CustodyFact::CameAlong { thing: Thing::keepsake(1), place: Place::Kept(1), photo: None });
        let wrapping = Thing::wrapping(1);
        self.weigh(wrapping, 482.0);
        self.record(CustodyFact::Opened { thing: wrapping, check: self.check() });
        self.record(CustodyFact::SplitOff {
            from: wrapping,
            lot: 1,
            into: Thing::envelope(1),
            part: Share::of(1, 3),
            keep_back: true,
            seal: Some(Seal(13)),
            place: Place::Kept(1),
        });
        self.record(CustodyFact::Closed { thing: wrapping, seal: Some(Seal(14)) });
        self.record(ClientFact::MessageSent { about: MessageKind::ArrivedSafely });
    }

    /// Begins a stone and lays its first layer, wet.
    pub(crate) fn begin(&mut self, no: u8, cell: &str) {
        let wrapping = Thing::wrapping(1);
        self.record(PourFact::Begun { stone: no, mould: id("oval-ten"), cell: cell.parse().unwrap() });
        self.record(CustodyFact::Opened { thing: wrapping, check: self.check() });
        self.record(CustodyFact::Moved {
            from: wrapping,
            lot: 1,
            to: Holder::Thing(Thing::stone(no)),
            part: Share::of(1, 20),
        });
        self.record(CustodyFact::Closed { thing: wrapping, seal: None });
        self.lay(no, 1);
    }

    pub(crate) fn lay(&mut self, no: u8, layer: u8) {
        let planned = usual_plan().layers.swap_remove(usize::from(layer) - 1);
        let kind = match (planned.region, layer) {
            (Region::Face, 1) => LayerKind::Material,
            (Region::Face, _) => LayerKind::Clear,
            (Region::Colour, _) => LayerKind::Tinted,
            (Region::Back, _) => LayerKind::BackCoat,
        };
        let amount = Amount::Drops(3);
        self.record(PourFact::Laid {
            stone: no,
            layer,
            kind,
            thickness: planned.thickness,
            load: planned.load,
            amount,
            bottle: id("clear-resin"),
            pigment: planned.load.is_positive().then(|| id("deep-green")),
        });
    }

    pub(crate) fn light(&mut self, no: u8) {
        let press =
            Press { lamp: id("nail-lamp"), button: 2, seconds: Span::from_s(99.0), ramp: Span::from_s(60.0) };
        self.record(PourFact::LampOn { stones: vec![no], press });
        let on = self.studio.order(self.tag).unwrap().order.log.len();
        self.record(PourFact::LampOff { on, lit: Span::from_s(99.0) });
    }

    pub(crate) fn harden(&mut self, no: u8, layer: u8) {
        self.light(no);
        self.record(PourFact::Cooled { stones: vec![no] });
        self.record(PourFact::Felt { stone: no, layer, hardness: Hardness::Hard });
    }

    fn make(&mut self) {
        for (no, cell) in [(1, "A1"), (2, "B2")] {
            self.begin(no, cell);
            self.harden(no, 1);
            for layer in 2..=u8::try_from(usual_plan().layers.len()).unwrap() {
                self.lay(no, layer);
                self.harden(no, layer);
            }
            self.record(PourFact::TakenOut { stone: no, place: Place::Bench });
        }
        self.record(PourFact::OffcutsKept { bag: Thing::offcuts(1), place: Place::Kept(2) });
    }

    fn set(&mut self) {
        let reading =
            Reading { value: Length::from_mm(10.02), doubt: Length::from_mm(0.02), by: Means::Caliper };
        self.record(FitFact::Measured { stone: 1, what: Dimension::Length, reading });
        self.record(FitFact::Tried { stone: 1, feel: Feel::Proud });
        self.record(FitFact::Worked { stone: 1, work: FitWork::SandedBack });
        self.record(FitFact::Tried { stone: 1, feel: Feel::Flush });
        self.record(FitFact::Set { stone: 1, piece: Thing::piece(1), place: Place::Bench });
    }

    fn pack(&mut self) {
        let check = self.check();
        for thing in self.studio.order(self.tag).unwrap().ledger.to_pack() {
            self.record(HomeFact::Ticked { thing, check });
        }
        self.record(HomeFact::BoxPhotographed { photo: Digest::of(b"box") });
        for paper in [PaperKind::Packing, PaperKind::Care] {
            self.record(HomeFact::PaperIssued { paper, file: Digest::of(b"paper") });
        }
    }
}

/// The sample order, brought to a stage.
pub(crate) fn bench(stage: Stage) -> Bench {
    let mut bench = Bench::open(sheet());
    bench.record(ClientFact::Answered);
    if stage >= Stage::KitSent {
        bench.record(ClientFact::KitPosted);
    }
    if stage >= Stage::Here {
        bench.arrive();
    }
    if stage >= Stage::Made {
        bench.make();
    }
    if stage >= Stage::Shown {
        bench.record(ClientFact::ProofSent { stones: vec![1, 2], sheet: Digest::of(b"proof") });
    }
    if stage >= Stage::Chosen {
        bench.record(ClientFact::Chosen(Choice::Stone(1)));
    }
    if stage >= Stage::Set {
        bench.set();
    }
    if stage >= Stage::Packed {
        bench.pack();
    }
    if stage >= Stage::GoneHome {
        bench.record(HomeFact::Sent);
    }
    bench
}

pub(crate) fn received() -> (Studio, Tag) {
    let bench = bench(Stage::Here);
    (bench.studio, bench.tag)
}

pub(crate) fn gone_home() -> (Studio, Tag) {
    let bench = bench(Stage::GoneHome);
    (bench.studio, bench.tag)
}

#[test]
fn the_sample_order_reaches_every_stage_by_its_facts() {
    for stage in Stage::ALL {
        let bench = bench(stage);
        assert_eq!(bench.studio.order(bench.tag).unwrap().stage(), stage);
    }
    assert_eq!(Provenance::Typical, usual_plan().cure.resin.provenance);
    assert_eq!(at(0).day(), day(2026, 11, 25));
    assert_eq!(Load::ZERO, usual_plan().layers[0].load);
}
