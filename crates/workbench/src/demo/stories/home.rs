//! On the way home and after: half packed, packed, posted, thanked for, and one that was called off.

use craft::fact::{
    ClientFact, CustodyFact, Dimension, Feel, FitFact, FitWork, HomeFact, LayerKind, LeftOut, Material,
    MessageKind, PourFact,
};
use craft::id::Thing;
use craft::order::{ErrandKind, Occasion, Page, ParcelKind};
use craft::place::Place;
use craft::planner::Style;
use craft::refusal::Refusal;
use papers::photo::sample::SampleOutline;

use super::super::hands::Came;
use super::super::pen::{Asked, Pen, Wish, Writing, of_lot};
use super::super::pictures::Scene;
use super::choosing::measured;

pub(super) fn write(pen: &mut Pen) -> Result<(), Refusal> {
    thanked(pen)?;
    called_off(pen)?;
    posted(pen)?;
    packed(pen)?;
    half_packed(pen)
}

/// What came of one lot, to be poured as one kind of stone.
struct Made<'a> {
    came: Came<'a>,
    /// When it came, and when it was poured, in working days.
    days: (u32, u32),
    weighed: Option<i64>,
    seal: u32,
    wish: Wish<'a>,
    stones: &'a [(u8, &'a str)],
    hundredths: u32,
}

impl Made<'_> {
    fn write(&self, order: &mut Writing<'_>) -> Result<(), Refusal> {
        order.on(self.days.0, (10, 20)).receive(1, &self.came)?;
        if let Some(milligrams) = self.weighed {
            order.weigh(Thing::wrapping(1), milligrams)?;
        }
        order.keep_back(1, 1, self.seal)?;
        order.message(MessageKind::ArrivedSafely)?;
        let share = of_lot(1, self.hundredths);
        order.on(self.days.1 + 1, (9, 0)).plan(&self.wish, self.stones, &[share])?;
        let numbers: Vec<u8> = self.stones.iter().map(|stone| stone.0).collect();
        order.on(self.days.1, (9, 0)).begin(&numbers)?;
        order.pour(&numbers)
    }
}

/// A child's first cut curl; the pendant arrived and she wrote back.
fn thanked(pen: &mut Pen) -> Result<(), Refusal> {
    let calendar = pen.calendar;
    let asked = Asked {
        number: 17_118_240,
        client: "c11",
        name: "Élodie's first curl",
        about: "Her daughter, who is nine now and chose the colour herself",
        spelling: true,
        dates: &[("Cut", calendar.years_ago(8, 9, 5))],
        wishes: "Élodie wants green like the pond. She would like to see it being made: a photo of each step, please.",
        due: Some(calendar.past(12)),
        quote: Some((22_500, 7_500, "Pendant with one stone; two stones to choose from")),
        paid: Some(calendar.past(60)),
        setting: "pendant-round-10",
        ..Asked::default()
    };
    let mut order = pen.order(&asked, 62, (19, 25))?;
    order.kit(61, 60)?;
    let lock = Scene::Lock([186, 146, 88]);
    let looks = "Birthday card, a curl tied with red thread";
    let came = Came { material: Material::Hair, seal: None, place: 1, looks, scene: Some(lock) };
    let wish = Wish {
        mould: "round-10",
        lamp: "large-lamp",
        pigment: "sage",
        style: Style::Deepening,
        face_mm: 1.8,
        top: LayerKind::TopGloss,
    };
    let stones = &[(1, "A1"), (2, "A2")];
    Made { came, days: (48, 43), weighed: Some(231), seal: 20_352, wish, stones, hundredths: 12 }
        .write(&mut order)?;
    order.on(41, (9, 30)).weigh(Thing::wrapping(1), 98)?;
    order.on(40, (10, 0)).show(&[1, 2])?;
    order.on(38, (20, 5)).chosen(1)?;
    set(&mut order, 1, 27, "Silver pendant with the green stone, 10 mm")?;
    let curl = Scene::Set(SampleOutline::Round, [128, 147, 122], [186, 146, 88], None);
    order.photo(curl, Thing::piece(1), "Finished.")?;
    order.on(26, (11, 0)).message(MessageKind::Finished)?;
    order.on(24, (15, 0)).pack()?;
    order.parcel(ParcelKind::Home, "Tracked parcel", "LM 7710 2295 GB", Some(22_500))?;
    order.send()?;
    order.on(15, (17, 30)).fact(HomeFact::Arrived)?;
    order.on(13, (21, 0)).fact(ClientFact::Thanked)?;
    order.say("\"She wore it to school and told the whole class about resin.\"")?;
    order.wait(600);
    order.message(MessageKind::ThankYou).map(drop)
}

/// Called off before anything was poured: it goes home as it came.
fn called_off(pen: &mut Pen) -> Result<(), Refusal> {
    let calendar = pen.calendar;
    let asked = Asked {
        number: 7_905_114,
        client: "c12",
        name: "Kuro of the print shop",
        about: "The shop's cat for fifteen years",
        spelling: true,
        wishes: "Black fur in a black stone, for the counter.",
        due: Some(calendar.ahead(28)),
        quote: Some((20_000, 6_500, "One loose stone with a stand")),
        paid: Some(calendar.past(29)),
        ..Asked::default()
    };
    let mut order = pen.order(&asked, 33, (6, 45))?;
    order.kit(32, 30)?;
    order.on(17, (14, 30));
    let looks = "Rice paper, folded in three; a soft pinch of black fur";
    let came =
        Came { material: Material::Fur, seal: None, place: 2, looks, scene: Some(Scene::Lock([40, 38, 38])) };
    order.receive(1, &came)?;
    order.keep_back(1, 1, 20_419)?;
    order.message(MessageKind::ArrivedSafely)?;
    order.on(3, (8, 10)).fact(ClientFact::CalledOff)?;
    order.say(
        "His children would rather bury it in the courtyard. Deposit back in full; nothing was poured.",
    )?;
    order.page(Page::Pack, "Send as it came, with the rice paper outermost.")
}

/// A sheepdog, in a ring. On the ferry since yesterday.
fn posted(pen: &mut Pen) -> Result<(), Refusal> {
    let calendar = pen.calendar;
    let asked = Asked {
        number: 18_660_037,
        client: "c08",
        name: "Fenn",
        about: "A working collie who could count to forty ewes",
        spelling: true,
        dates: &[("Died", calendar.years_ago(1, 12, 9))],
        never_say: &["crossed the bridge"],
        wishes: "White from the ruff and black from the back, half and half. A ring that stands up to wet gloves.",
        due: Some(calendar.ahead(4)),
        quote: Some((24_000, 8_000, "Ring with one stone; two stones to choose from")),
        paid: Some(calendar.past(40)),
        setting: "ring-oval-8x6",
        ring: "UK size Q, measured with the sizer from the kit",
        ..Asked::default()
    };
    let mut order = pen.order(&asked, 44, (12, 30))?;
    order.kit(42, 40)?;
    let looks = "Sandwich bag; two tufts of fur, black and white, kept apart by a slip of paper";
    let scene = Some(Scene::Lock([70, 68, 66]));
    let came = Came { material: Material::Fur, seal: None, place: 2, looks, scene };
    let wish = Wish {
        mould: "oval-8x6",
        lamp: "small-lamp",
        pigment: "pearl",
        style: Style::Even,
        face_mm: 1.5,
        top: LayerKind::TopGloss,
    };
    let stones = &[(1, "B1"), (2, "B2")];
    Made { came, days: (32, 24), weighed: None, seal: 20_395, wish, stones, hundredths: 9 }
        .write(&mut order)?;
    order.on(21, (9, 15)).show(&[1, 2])?;
    order.on(20, (13, 5)).chosen(2)?;
    set(&mut order, 2, 9, "Silver ring with the black and white stone")?;
    let ring = Scene::Set(SampleOutline::Oval, [226, 220, 208], [58, 56, 56], None);
    order.photo(ring, Thing::piece(1), "Finished.")?;
    order.on(8, (10, 0)).message(MessageKind::Finished)?;
    order.on(1, (11, 30)).pack()?;
    order.parcel(ParcelKind::Home, "Special delivery", "SD 1180 5093 GB", Some(24_000))?;
    order.send()
}

/// Sand of a beach. Everything is in the box; it is to be posted.
fn packed(pen: &mut Pen) -> Result<(), Refusal> {
    let calendar = pen.calendar;
    let asked = Asked {
        number: 15_483_926,
        client: "c10",
        name: "Torsnes strand",
        about: "The beach of every summer, below the house that was sold",
        spelling: true,
        wishes: "A line of the tide across the stone, if sand can do that. My wife's birthday stone is no stone at all, \
                 it is that beach.",
        due: Some(calendar.ahead(10)),
        occasion: Occasion::Surprise,
        quote: Some((22_000, 7_500, "Pendant with one stone; two stones to choose from")),
        paid: Some(calendar.past(44)),
        setting: "pendant-oval-10x8",
        ..Asked::default()
    };
    let mut order = pen.order(&asked, 47, (22, 0))?;
    order.kit(46, 44)?;
    let looks = "Jam jar, a third full; pale sand with black grains and one whole shell";
    let scene = Some(Scene::Heap([206, 190, 160]));
    let came = Came { material: Material::Earth, seal: None, place: 1, looks, scene };
    let wish = Wish {
        mould: "oval-10x8",
        lamp: "large-lamp",
        pigment: "rose-dye",
        style: Style::Even,
        face_mm: 1.8,
        top: LayerKind::TopSatin,
    };
    let stones = &[(1, "C1"), (2, "C2")];
    Made { came, days: (34, 29), weighed: None, seal: 20_393, wish, stones, hundredths: 1 }
        .write(&mut order)?;
    order.page(
        Page::Plan,
        "A dye hides nothing: the sand itself is the ground here, and the bezel floor is bright.",
    )?;
    order.on(24, (14, 40)).show(&[1, 2])?;
    order.on(22, (23, 15)).chosen(1)?;
    set(&mut order, 1, 6, "Silver pendant with the sand stone, 10 × 8 mm")?;
    order.on(5, (9, 30)).message(MessageKind::Finished)?;
    order.on(1, (14, 30)).pack()?;
    let beach = Scene::Set(SampleOutline::Oval, [196, 150, 140], [198, 154, 142], Some([222, 206, 172]));
    let photo = order.photo(beach, Thing::piece(1), "In its box.")?;
    order.fact(HomeFact::BoxPhotographed { photo })?;
    order.page(Page::Pack, "Post on a weekday only: he collects it himself.")
}

const AURELIO: Wish<'_> = Wish {
    mould: "oval-18x13",
    lamp: "large-lamp",
    pigment: "black",
    style: Style::Even,
    face_mm: 2.2,
    top: LayerKind::TopSatin,
};

/// A grandfather's ashes. On the packing table: some things are in the box, some are not.
fn half_packed(pen: &mut Pen) -> Result<(), Refusal> {
    let calendar = pen.calendar;
    let asked = Asked {
        number: 20_351_774,
        client: "c03",
        name: "Aurelio Vasquez Prado",
        about: "His grandfather, who pruned olives until he was ninety",
        spelling: true,
        dates: &[("Born", calendar.years_ago(94, 2, 3)), ("Died", calendar.years_ago(1, 11, 20))],
        never_say: &["remains"],
        wishes: "A dark stone with the grey in it like light through leaves. He wore a medal on a leather cord: the \
                 pendant should hang on that cord.",
        due: Some(calendar.ahead(9)),
        quote: Some((33_000, 11_000, "Pendant with one large stone, matt edge; two stones to choose from")),
        paid: Some(calendar.past(49)),
        setting: "pendant-oval-18x13",
        ..Asked::default()
    };
    let mut order = pen.order(&asked, 52, (13, 0))?;
    order.kit(51, 49)?;
    let looks = "Small brass tin, screwed shut; fine grey ashes, a level teaspoon";
    let scene = Some(Scene::Heap([150, 148, 144]));
    let came = Came { material: Material::Ashes, seal: Some(20_370), place: 3, looks, scene };
    let stones = &[(1, "A3"), (2, "B3")];
    Made { came, days: (39, 33), weighed: Some(5_320), seal: 20_371, wish: AURELIO, stones, hundredths: 3 }
        .write(&mut order)?;
    order.on(32, (11, 0)).fact(PourFact::OffcutsKept { bag: Thing::offcuts(1), place: Place::Kept(4) })?;
    order.thing(Thing::offcuts(1), "Trimmings of both stones, in a glassine bag")?;
    let stone = Scene::Stone(SampleOutline::Oval, [36, 36, 40], [40, 40, 44], Some([196, 194, 188]));
    order.on(31, (12, 20)).photo(stone, Thing::stone(1), "By the north window.")?;
    order.photo(stone, Thing::stone(2), "By the north window.")?;
    order.on(30, (10, 15)).show(&[1, 2])?;
    order.on(27, (18, 0)).chosen(1)?;
    order.on(25, (11, 0)).fact(CustodyFact::CameAlong {
        thing: Thing::keepsake(1),
        place: Place::Kept(3),
        photo: None,
    })?;
    order.thing(Thing::keepsake(1), "Leather cord with a worn medal")?;
    let days = [Some(calendar.past(26)), Some(calendar.past(12)), Some(calendar.past(13))];
    order.errand(
        ErrandKind::Setting,
        ("Pendant for 18 × 13, matt edge, loop for a 3 mm cord", "Harbour Findings"),
        days,
    )?;
    let hallmark = [Some(calendar.past(9)), Some(calendar.past(4)), Some(calendar.past(4))];
    order.errand(ErrandKind::Assay, ("Hallmark: the silver weighs 9.1 g", "The assay office"), hallmark)?;
    set(&mut order, 1, 3, "Silver pendant with the dark stone, 18 × 13 mm")?;
    let done = Scene::Set(SampleOutline::Oval, [36, 36, 40], [40, 40, 44], Some([196, 194, 188]));
    order.photo(done, Thing::piece(1), "Finished.")?;
    order.on(2, (16, 0)).message(MessageKind::Finished)?;
    order.seconds_ago(9_000).weigh(Thing::wrapping(1), 3_226)?;
    order.tick(&[Thing::wrapping(1), Thing::envelope(1), Thing::piece(1)])?;
    order.fact(ClientFact::Instructed { thing: Thing::offcuts(1), wish: craft::fact::Wish::Destroy })?;
    order.fact(HomeFact::LeftOut { thing: Thing::offcuts(1), why: LeftOut::DestroyedOnRequest })?;
    order.say("He asked for the trimmings to be strewn under a tree. Done, the rowan behind the loft.")?;
    order.page(
        Page::Pack,
        "Still out: the spare stone, and the cord, which is to be tied on at the very last.",
    )
}

/// The chosen stone is measured, tried and set.
fn set(order: &mut Writing<'_>, stone: u8, past: u32, looks: &str) -> Result<(), Refusal> {
    let length = order.sheet_now()?.stone(stone).map(|stone| stone.mould.clone());
    let mould = length.ok_or(Refusal::NotOnSheet(stone))?;
    if let craft::shelf::What::Mould(mould) = &order.pen.studio.item(&mould)?.what {
        let hundredths = mould.cavity.outline().length().micro() / 10_000 + 2;
        order.on(past, (14, 0)).fact(measured(stone, Dimension::Length, hundredths))?;
    }
    order.fact(FitFact::Tried { stone, feel: Feel::Proud })?;
    order.fact(FitFact::Worked { stone, work: FitWork::SandedBack })?;
    order.fact(FitFact::Tried { stone, feel: Feel::Flush })?;
    order.wait(1_800);
    let (piece, place) = (Thing::piece(1), Place::Kept(5));
    order.fact(FitFact::Set { stone, piece, place })?;
    order.thing(piece, looks)
}
