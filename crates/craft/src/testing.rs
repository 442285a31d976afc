//! A small studio to test with: one shelf, one client, one order, and every step from the enquiry to the thanks.
//!
//! Only for tests: it panics where a step that must succeed is refused.
#![expect(clippy::unwrap_used, clippy::panic, reason = "a test that cannot be set up must fail at once")]

use chrono::NaiveDate;

use crate::client::Client;
use crate::compare::Scale;
use crate::cure::{Button, Doubts, Light, Mix, PigmentClass, Resin};
use crate::digest::Digest;
use crate::fact::{
    Amount, Check, Choice, ClientFact, CustodyFact, Fact, FitFact, Hardness, Holder, HomeFact, How,
    LayerKind, Material, PourFact, Press, Wish,
};
use crate::geometry::{Cavity, Dome, Outline};
use crate::id::{ClientId, ShelfId, Thing};
use crate::moment::{BootId, Moment};
use crate::money::bill::{self, Bill, Discount, Quantity, Vat};
use crate::money::series::{InvoiceDraft, Kind, Party};
use crate::money::{Currency, Money, Rounding};
use crate::order::{LotShare, Remembered, Sheet, StoneSheet};
use crate::place::{Cell, Place};
use crate::planner::{Plan, Problem, Region, Style, plan};
use crate::policies::Policies;
use crate::refusal::Refusal;
use crate::scale::{Coin, Known, ScaleProfile, Tare, Tried};
use crate::shelf::{Body, Bottle, Item, Lamp, Mould, Pigment, Setting, What};
use crate::studio::{ClientEdit, Done, Edit, Held, OrderEdit, ShelfEdit, Studio};
use crate::tag::Tag;
use crate::text::{Line, Text};
use crate::units::{Length, Load, Mass, Share, Span};

/// Monday 2026-03-02T09:00:00Z.
const START_MS: i64 = 1_772_442_000_000;
/// The marks of the tray, in its order.
pub const CELLS: [&str; 6] = ["A1", "A2", "A3", "B1", "B2", "B3"];

/// So many minutes after nine o'clock on 2026-03-02, all in one run of the computer.
pub fn at(minutes: i64) -> Moment {
    let passed_ms = minutes * 60_000;
    Moment {
        utc_ms: START_MS + passed_ms,
        offset_min: 60,
        boot: BootId(7),
        since_boot_ms: 600_000 + passed_ms,
        awake_ms: 500_000 + passed_ms,
    }
}

/// A day of March 2026.
pub fn day(of_march: u32) -> NaiveDate {
    NaiveDate::from_ymd_opt(2026, 3, of_march).unwrap()
}

/// One of the tags; 0, 1 and 2 are used for the orders of three clients.
pub fn tag(number: u32) -> Tag {
    (number * 7..).find_map(Tag::from_number).unwrap()
}

/// An id on the shelf.
pub fn item(id: &str) -> ShelfId {
    id.parse().unwrap()
}

/// A cavity's mark.
pub fn cell(mark: &str) -> Cell {
    mark.parse().unwrap()
}

/// Some words.
pub fn line(words: &str) -> Line {
    words.parse().unwrap()
}

fn on_shelf(id: &str, name: &str, what: What) -> (ShelfId, Item) {
    (item(id), Item { name: line(name), retired: false, note: Text::default(), what })
}

/// The lamp's two buttons: a minute at full power, and low heat over 99 s that takes 60 s to come up.
pub fn buttons() -> Vec<Button> {
    let button =
        |name, total_s, ramp_s| Button::new(name, Span::from_s(total_s), Span::from_s(ramp_s)).unwrap();
    vec![button("60 s", 60.0, 0.0), button("99 s low heat", 99.0, 60.0)]
}

/// An oval of 10 by 8 mm.
pub fn oval() -> Outline {
    Outline::Oval { length: Length::from_mm(10.0), width: Length::from_mm(8.0) }
}

/// The mould's cavity.
pub fn cavity() -> Cavity {
    Cavity::new(oval(), Dome::HalfEllipse, Length::from_mm(2.0), Length::from_mm(1.5)).unwrap()
}

/// A bottle, a lamp, a mould, two pigments and a setting.
pub fn shelf() -> Vec<(ShelfId, Item)> {
    let pigment = |class, colour| {
        What::Pigment(Pigment { mix: Mix::typical(class), colour, swatches: Vec::new(), cards: Vec::new() })
    };
    let setting = Setting {
        kind: line("pendant"),
        opening: oval(),
        wall: Length::from_mm(2.5),
        metal: line("925 silver"),
    };
    let mould = Mould { cavity: cavity(), cells: CELLS.map(cell).to_vec(), body: Body::LetsLightIn };
    let bottle =
        Bottle { resin: Resin::TYPICAL, opened: None, first_sets: Vec::new(), observations: Vec::new() };
    vec![
        on_shelf("clear", "Clear resin", What::Resin(bottle)),
        on_shelf("box-lamp", "Box lamp", What::Lamp(Lamp { buttons: buttons() })),
        on_shelf("oval", "Oval tray", What::Mould(mould)),
        on_shelf("night", "Night blue", pigment(PigmentClass::Dark, (20, 24, 60))),
        on_shelf("white", "White", pigment(PigmentClass::White, (250, 250, 250))),
        on_shelf("pendant", "Plain pendant", What::Setting(setting)),
    ]
}

/// The id of client `number`.
pub fn client_id(number: u32) -> ClientId {
    format!("client-{number}").parse().unwrap()
}

/// A client.
pub fn client(name: &str) -> Client {
    Client { name: line(name), ..Client::default() }
}

/// The studio's settings, with three places to keep things.
pub fn policies() -> Policies {
    let mut policies = Policies::new("quiet-room".parse().unwrap(), line("The Quiet Room"), Currency::EUR);
    policies.places = vec![line("safe"), line("drawer"), line("tin")];
    // Whoever tests it switches it on.
    policies.bench_clear = false;
    policies
}

/// A studio with its shelf and client 0, and no order.
pub fn studio() -> Studio {
    let mut studio = Studio::new(policies());
    for (id, item) in shelf() {
        studio.apply(Edit::Shelf(id, ShelfEdit::Put(Box::new(item))), at(0)).unwrap();
    }
    let ada = ClientEdit::Put(Box::new(client("Ada Quist")));
    studio.apply(Edit::Client(client_id(0), ada), at(0)).unwrap();
    studio
}

/// The plan of one stone in the oval tray.
pub fn stone_plan() -> Plan {
    let lights = buttons().into_iter().map(Light::typical).collect();
    let mix = Mix::typical(PigmentClass::Dark);
    let face = Length::from_mm(1.5);
    let problem =
        Problem::for_stone(cavity().depth(), face, mix, Style::Even, lights, Doubts::CALIBRATED).unwrap();
    plan(&problem).unwrap()
}

/// A stone of the sheet, planned in a cavity.
pub fn stone_sheet(no: u8, mark: &str) -> StoneSheet {
    StoneSheet {
        no,
        mould: item("oval"),
        cell: cell(mark),
        resin: item("clear"),
        lamp: item("box-lamp"),
        pigment: item("night"),
        style: Style::Even,
        face: Length::from_mm(1.5),
        shares: vec![LotShare { lot: 1, part: Share::of(1, 10) }],
        top: LayerKind::TopGloss,
        plan: Some(stone_plan()),
        caption: Line::default(),
        wishes: crate::planner::Wishes::default(),
    }
}

/// A sheet with stones 1, 2, … in these cavities.
pub fn sheet(marks: &[&str]) -> Sheet {
    Sheet {
        remembered: Remembered { name: line("Bruno"), ..Remembered::default() },
        setting: Some(item("pendant")),
        stones: (1..).zip(marks).map(|(no, mark)| stone_sheet(no, mark)).collect(),
        ..Sheet::default()
    }
}

/// The keep-back that is agreed in [`received`].
pub const AGREED: Share = Share::of(1, 3);

/// Lot `lot` came, hair, a third of it to be kept back.
pub fn received(lot: u8) -> CustodyFact {
    let (material, seal, photo) = (Material::Hair, None, None);
    CustodyFact::Received { lot, material, seal, place: Place::Kept(1), photo, keep_back: AGREED }
}

/// A tag was typed off a thing.
pub fn check(tag: Tag) -> Check {
    Check { how: How::Typed, tag }
}

/// A thing was opened.
pub fn opened(tag: Tag, thing: Thing) -> CustodyFact {
    CustodyFact::Opened { thing, check: check(tag) }
}

/// A thing was closed.
pub fn closed(thing: Thing) -> CustodyFact {
    CustodyFact::Closed { thing, seal: None }
}

/// The client said what is to become of a thing.
pub fn instructed(thing: Thing, wish: Wish) -> ClientFact {
    ClientFact::Instructed { thing, wish }
}

/// A scale of 1 mg that was tried with a coin, as an item of the shelf.
pub fn fine_scale() -> Item {
    let scale = Scale { readability: Mass::from_mg(1.0), repeatability: Mass::from_mg(1.0) };
    let tried = Tried { on: day(1), with: Known::Coin(Coin::OneEuro), shown: Mass::from_mg(7_502.0) };
    let what = What::Scale(ScaleProfile { scale, most: None, tare: Tare::Button, tried: vec![tried] });
    Item { name: line("Fine scale"), retired: false, note: Text::default(), what }
}

/// Part of lot 1 went from its wrapping into envelope `into`.
pub fn split(into: u8, part: Share, keep_back: bool) -> CustodyFact {
    let (from, into) = (Thing::wrapping(1), Thing::envelope(into));
    CustodyFact::SplitOff { from, lot: 1, into, part, keep_back, seal: None, place: Place::Kept(2) }
}

/// Part of lot 1 went from its wrapping into a stone.
pub fn moved(stone: u8, part: Share) -> CustodyFact {
    let (from, to) = (Thing::wrapping(1), Holder::Thing(Thing::stone(stone)));
    CustodyFact::Moved { from, lot: 1, to, part }
}

/// A cavity was taken.
pub fn begun(stone: u8, mark: &str) -> PourFact {
    PourFact::Begun { stone, mould: item("oval"), cell: cell(mark) }
}

/// A layer of 1 mm was laid.
pub fn laid(stone: u8, layer: u8, kind: LayerKind) -> PourFact {
    let (thickness, load, amount) = (Length::from_mm(1.0), Load::ZERO, Amount::Drops(4));
    PourFact::Laid { stone, layer, kind, thickness, load, amount, bottle: item("clear"), pigment: None }
}

/// The full-power button was pressed over these stones.
pub fn lamp_on(stones: &[u8]) -> PourFact {
    let (lamp, seconds) = (item("box-lamp"), Span::from_s(60.0));
    PourFact::LampOn { stones: stones.to_vec(), press: Press { lamp, button: 1, seconds, ramp: Span::ZERO } }
}

/// The lamp of entry `on` went off after so many seconds.
pub fn lamp_off(on: u32, lit_s: f64) -> PourFact {
    PourFact::LampOff { on, lit: Span::from_s(lit_s) }
}

/// The newest layer was felt.
pub fn felt(stone: u8, layer: u8, hardness: Hardness) -> PourFact {
    PourFact::Felt { stone, layer, hardness }
}

/// A stone left its mould.
pub fn taken_out(stone: u8) -> PourFact {
    PourFact::TakenOut { stone, place: Place::Kept(3) }
}

/// A proof of these stones went out.
pub fn proof(stones: &[u8]) -> ClientFact {
    ClientFact::ProofSent { stones: stones.to_vec(), sheet: Digest::of(b"proof sheet") }
}

/// The client chose a stone.
pub fn chosen(stone: u8) -> ClientFact {
    ClientFact::Chosen(Choice::Stone(stone))
}

/// A stone was set into piece 1.
pub fn set(stone: u8) -> FitFact {
    FitFact::Set { stone, piece: Thing::piece(1), place: Place::Kept(3) }
}

/// A thing was ticked into the box.
pub fn ticked(tag: Tag, thing: Thing) -> HomeFact {
    HomeFact::Ticked { thing, check: check(tag) }
}

/// The packed box was photographed.
pub fn box_photo() -> HomeFact {
    HomeFact::BoxPhotographed { photo: Digest::of(b"box") }
}

/// An invoice over 240 euros, from a seller who is not registered for VAT.
pub fn invoice(dated: NaiveDate) -> InvoiceDraft {
    let party = |name: &str| Party {
        name: name.to_owned(),
        address: vec!["1 Mill Lane".to_owned()],
        country: "IE".to_owned(),
    };
    let stone = bill::Line {
        words: "a memorial stone in a pendant".to_owned(),
        quantity: Quantity::ONE,
        unit_price: Money { minor: 24_000, currency: Currency::EUR },
        discount: Discount::None,
        vat: None,
    };
    let bill = Bill {
        currency: Currency::EUR,
        vat: Vat::NotRegistered,
        vat_rounding: Rounding::HalfUp,
        lines: vec![stone],
        discount: Discount::None,
        deposits: Vec::new(),
    };
    let (seller, buyer) = (party("The Quiet Room"), party("Ada Quist"));
    let (kind, order, pay_by) = (Kind::Invoice, tag(0), Some(day(30)));
    InvoiceDraft { kind, order, dated, supplied: None, pay_by, seller, buyer, bill }
}

/// Facts that must all be taken, one minute apart, written down for one order of a studio.
#[derive(Clone, Debug, PartialEq)]
pub struct Bench {
    /// The studio.
    pub studio: Studio,
    /// The order.
    pub tag: Tag,
    /// Minutes since nine o'clock.
    pub minute: i64,
}

impl Default for Bench {
    fn default() -> Self {
        Self::new()
    }
}

impl Bench {
    /// [`studio`] with order 0 of client 0, two stones planned in A1 and B2.
    pub fn new() -> Self {
        let mut bench = Self { studio: studio(), tag: tag(0), minute: 0 };
        bench.open(0);
        bench
    }

    /// Lot 1 is here, its keep-back in envelope 1, its wrapping open on the bench.
    pub fn unpacked() -> Self {
        let mut bench = Self::new();
        bench.record(received(1));
        bench.record(opened(bench.tag, Thing::wrapping(1)));
        bench.record(split(1, AGREED, true));
        bench
    }

    /// As [`Bench::unpacked`], with stone 1 begun in A1 and holding a tenth of the lot.
    pub fn begun() -> Self {
        let mut bench = Self::unpacked();
        bench.record(begun(1, "A1"));
        bench.record(moved(1, Share::of(1, 10)));
        bench
    }

    /// As [`Bench::begun`], the packet closed and one hard layer laid.
    pub fn hard() -> Self {
        let mut bench = Self::begun();
        bench.record(closed(Thing::wrapping(1)));
        bench.harden(1, 1, LayerKind::Material);
        bench
    }

    /// As [`Bench::hard`], out of its mould, shown and chosen.
    pub fn chosen() -> Self {
        let mut bench = Self::hard();
        bench.record(taken_out(1));
        bench.record(proof(&[1]));
        bench.record(chosen(1));
        bench
    }

    /// As [`Bench::chosen`], set, and everything ticked into the box.
    pub fn packed() -> Self {
        let mut bench = Self::chosen();
        bench.record(set(1));
        for thing in bench.held().ledger.to_pack() {
            bench.record(ticked(bench.tag, thing));
        }
        bench.record(box_photo());
        bench
    }

    /// Opens order `number` and works on it from here on; the client is written down where it is new.
    pub fn open(&mut self, number: u32) {
        self.tag = tag(number);
        let client = Edit::Client(client_id(number), ClientEdit::Put(Box::new(client("Ada Quist"))));
        self.edit(client).unwrap();
        let marks = [["A1", "B2"], ["A2", "B2"], ["A3", "B3"]];
        let marks = marks.get(number as usize).unwrap();
        let open = OrderEdit::Open { client: client_id(number), sheet: Box::new(sheet(marks)) };
        self.edit(Edit::Order(self.tag, open)).unwrap();
    }

    /// The order with what its facts add up to.
    pub fn held(&self) -> &Held {
        self.studio.order(self.tag).unwrap()
    }

    /// Applies an edit a minute later.
    ///
    /// # Errors
    /// As [`Studio::apply`].
    pub fn edit(&mut self, edit: Edit) -> Result<Done, Refusal> {
        self.minute += 1;
        self.studio.apply(edit, at(self.minute))
    }

    /// Writes a fact down that must be taken; the number of its entry.
    pub fn record(&mut self, fact: impl Into<Fact>) -> u32 {
        let fact = fact.into();
        let done = self.edit(Edit::Order(self.tag, OrderEdit::Fact(fact.clone())));
        done.unwrap_or_else(|why| panic!("{fact} was refused: {why}")).entry.unwrap()
    }

    /// Tells of a fact that must be taken.
    pub fn tell(&mut self, fact: impl Into<Fact>) -> u32 {
        let fact = fact.into();
        let done = self.edit(Edit::Order(self.tag, OrderEdit::Told(day(1), fact.clone())));
        done.unwrap_or_else(|why| panic!("{fact} was refused: {why}")).entry.unwrap()
    }

    /// A fact that must be refused, and must change nothing.
    pub fn refuse(&mut self, fact: impl Into<Fact>) -> Refusal {
        self.refuse_edit(Edit::Order(self.tag, OrderEdit::Fact(fact.into())))
    }

    /// An edit that must be refused, and must change nothing.
    pub fn refuse_edit(&mut self, edit: Edit) -> Refusal {
        let before = self.studio.clone();
        let words = format!("{edit:?}");
        match self.edit(edit) {
            Ok(_) => panic!("{words} was taken"),
            Err(why) => {
                assert!(self.studio == before, "{words} was refused and still changed something");
                why
            }
        }
    }

    /// Lays a layer, lights it for a minute and feels that it is hard.
    pub fn harden(&mut self, stone: u8, layer: u8, kind: LayerKind) {
        self.record(laid(stone, layer, kind));
        let on = self.record(lamp_on(&[stone]));
        self.record(lamp_off(on, 60.0));
        self.record(PourFact::Cooled { stones: vec![stone] });
        self.record(felt(stone, layer, Hardness::Hard));
    }
}

/// Every fact of order `tag` from the enquiry to the thanks: two stones are made by the plan, the first is chosen.
/// The number of an entry is its place here, from 1.
pub fn whole_life(tag: Tag, marks: &[&str]) -> Vec<Fact> {
    let wrapping = Thing::wrapping(1);
    let keepsake = Thing::keepsake(1);
    let mut facts: Vec<Fact> = vec![
        ClientFact::Answered.into(),
        ClientFact::KitPosted.into(),
        received(1).into(),
        CustodyFact::CameAlong { thing: keepsake, place: Place::Kept(1), photo: None }.into(),
        opened(tag, wrapping).into(),
        split(1, AGREED, true).into(),
    ];
    for (no, mark) in (1..).zip(marks) {
        facts.push(begun(no, mark).into());
        facts.push(moved(no, Share::of(1, 10)).into());
    }
    facts.push(closed(wrapping).into());
    for (no, _) in (1..).zip(marks) {
        for (layer, planned) in (1..).zip(stone_plan().layers) {
            let kind = match planned.region {
                Region::Face => LayerKind::Material,
                Region::Colour => LayerKind::Opaque,
                Region::Back => LayerKind::BackCoat,
            };
            let (thickness, load) = (planned.thickness, planned.load);
            let (amount, bottle) = (Amount::ToTheMark, item("clear"));
            let pigment = load.is_positive().then(|| item("night"));
            facts.push(
                PourFact::Laid { stone: no, layer, kind, thickness, load, amount, bottle, pigment }.into(),
            );
            facts.push(lamp_on(&[no]).into());
            let on = u32::try_from(facts.len()).unwrap();
            facts.push(lamp_off(on, 60.0).into());
            facts.push(PourFact::Cooled { stones: vec![no] }.into());
            facts.push(felt(no, layer, Hardness::Hard).into());
        }
        facts.push(taken_out(no).into());
    }
    let all: Vec<u8> = (1..).zip(marks).map(|(no, _)| no).collect();
    facts.extend([proof(&all).into(), chosen(1).into(), set(1).into()]);
    let spare = all.iter().skip(1).map(|no| Thing::stone(*no));
    let things = [wrapping, Thing::envelope(1)].into_iter().chain(spare).chain([keepsake, Thing::piece(1)]);
    facts.extend(things.map(|thing| ticked(tag, thing).into()));
    facts.push(box_photo().into());
    facts.extend([HomeFact::Sent.into(), HomeFact::Arrived.into(), ClientFact::Thanked.into()]);
    facts
}

/// Records a whole order to its end; it must be open and without any fact, with stones as in [`Bench::new`].
pub fn walk(studio: &mut Studio, tag: Tag) {
    let marks: Vec<String> = {
        let stones = &studio.order(tag).unwrap().order.sheet.stones;
        stones.iter().map(|stone| stone.cell.to_string()).collect()
    };
    let marks: Vec<&str> = marks.iter().map(String::as_str).collect();
    for (minute, fact) in (1..).zip(whole_life(tag, &marks)) {
        let words = fact.to_string();
        let done = studio.apply(Edit::Order(tag, OrderEdit::Fact(fact)), at(minute));
        assert!(done.is_ok(), "{words} was refused: {done:?}");
    }
}
