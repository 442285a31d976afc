//! Chosen and set: one that waits for its setting, one told of later, and a ring at the engraver's.

use craft::fact::{
    Amount, Choice, ClientFact, CustodyFact, Dimension, Feel, FitFact, FitWork, Hardness, LayerKind,
    Material, MessageKind, PourFact, Seal,
};
use craft::id::Thing;
use craft::order::{ErrandKind, Occasion, Page, ParcelKind};
use craft::place::Place;
use craft::planner::Style;
use craft::reading::{Means, Reading};
use craft::refusal::Refusal;
use craft::units::{Length, Share};
use papers::photo::sample::SampleOutline;

use super::super::hands::Came;
use super::super::pen::{Asked, Pen, Wish, Writing, of_lot, read};
use super::super::pictures::Scene;

pub(super) fn write(pen: &mut Pen) -> Result<(), Refusal> {
    told_of_later(pen)?;
    waits_for_its_setting(pen)?;
    at_the_engravers(pen)
}

/// A measure by caliper, in hundredths of a millimetre.
pub(super) fn measured(stone: u8, what: Dimension, hundredths: i64) -> FitFact {
    let value = Length::from_micro(hundredths * 10_000);
    FitFact::Measured {
        stone,
        what,
        reading: Reading { value, doubt: Length::from_micro(30_000), by: Means::Caliper },
    }
}

/// An order from before this record was kept: its past is told, its future recorded.
fn told_of_later(pen: &mut Pen) -> Result<(), Refusal> {
    let calendar = pen.calendar;
    let asked = Asked {
        number: 1_046_219,
        client: "c14",
        name: "Gethin Pendry",
        about: "His brother, who knew every path on the Carneddau side",
        spelling: true,
        dates: &[("Died", calendar.years_ago(1, 8, 17))],
        never_say: &["closure"],
        wishes: "Ashes, grey as they are, in a stone the grey of slate. For a ring.",
        due: Some(calendar.ahead(8)),
        quote: Some((24_500, 8_000, "Ring with one stone; two stones to choose from")),
        paid: Some(calendar.past(66)),
        setting: "ring-oval-8x6",
        ring: "UK size S, his finger measured twice",
        ..Asked::default()
    };
    let mut order = pen.order(&asked, 17, (8, 20))?;
    order.page(Page::Brief, "Carried over from the paper notebook, pages 31 to 33.")?;
    let wish = Wish {
        mould: "oval-8x6",
        lamp: "small-lamp",
        pigment: "slate",
        style: Style::Quick,
        face_mm: 1.5,
        top: LayerKind::TopSatin,
    };
    order.plan(&wish, &[(1, "A1"), (2, "A2")], &[of_lot(1, 4)])?;
    told_arrival(&mut order)?;
    told_stones(&mut order)?;
    let sheet = craft::digest::Digest::of(b"the notebook, page 32");
    order.told(40, ClientFact::ProofSent { stones: vec![1, 2], sheet })?;
    order.told(38, ClientFact::Chosen(Choice::Stone(2)))?;
    order.say("He rang. Stone 2, because it is the darker one.")?;
    let days = [Some(calendar.past(30)), Some(calendar.past(6)), Some(calendar.past(3))];
    order.errand(
        ErrandKind::Setting,
        ("Band with a closed bezel for 8 × 6, size S", "Harbour Findings"),
        days,
    )?;
    order.on(2, (15, 30)).fact(measured(2, Dimension::Length, 803))?;
    order.fact(measured(2, Dimension::Width, 602))?;
    order.fact(FitFact::Tried { stone: 2, feel: Feel::Proud })?;
    order.fact(FitFact::Worked { stone: 2, work: FitWork::SandedBack })?;
    order.say("Two strokes on the wet paper, 800 grit, then again until it sat.")?;
    order.fact(FitFact::Tried { stone: 2, feel: Feel::Flush }).map(drop)
}

fn told_arrival(order: &mut Writing<'_>) -> Result<(), Refusal> {
    let (from, keep_back) = (Thing::wrapping(1), Share::of(1, 3));
    order.told(69, ClientFact::Answered)?;
    order.told(66, ClientFact::KitPosted)?;
    order.told(
        58,
        CustodyFact::Received {
            lot: 1,
            material: Material::Ashes,
            seal: Some(Seal(20_310)),
            place: Place::Kept(3),
            photo: None,
            keep_back,
        },
    )?;
    order.thing(from, "Glass vial with a cork, half full")?;
    let check = craft::fact::Check { how: craft::fact::How::Picked, tag: order.tag };
    order.told(58, CustodyFact::Opened { thing: from, check })?;
    let into = Thing::envelope(1);
    let (seal, place) = (Some(Seal(20_311)), Place::Kept(3));
    order.told(
        58,
        CustodyFact::SplitOff { from, lot: 1, into, part: keep_back, keep_back: true, seal, place },
    )?;
    for stone in [1, 2] {
        order.told(47, begun(order.sheet_now()?, stone)?)?;
        let to = craft::fact::Holder::Thing(Thing::stone(stone));
        order.told(47, CustodyFact::Moved { from, lot: 1, to, part: Share::of(4, 100) })?;
    }
    order.told(47, CustodyFact::Closed { thing: from, seal: None })?;
    order.told(47, CustodyFact::Placed { thing: from, place: Place::Kept(3) }).map(drop)
}

fn begun(sheet: &craft::order::Sheet, stone: u8) -> Result<PourFact, Refusal> {
    let wanted = sheet.stone(stone).ok_or(Refusal::NotOnSheet(stone))?;
    Ok(PourFact::Begun { stone, mould: wanted.mould.clone(), cell: wanted.cell.clone() })
}

/// Layers as they stand in the notebook; nobody wrote the lamp's seconds down.
fn told_stones(order: &mut Writing<'_>) -> Result<(), Refusal> {
    for stone in [1, 2] {
        let plan = order.sheet_now()?.stone(stone).and_then(|stone| stone.plan.clone());
        let Some(plan) = plan else { continue };
        for (layer, planned) in (1..).zip(&plan.layers) {
            order.told(
                46,
                PourFact::Laid {
                    stone,
                    layer,
                    kind: plan.kind_of(layer, planned),
                    thickness: planned.thickness,
                    load: planned.load,
                    amount: Amount::ToTheMark,
                    bottle: read("clear-casting")?,
                    pigment: order.pigment_of(stone, planned.load)?,
                },
            )?;
            order.told(46, PourFact::Felt { stone, layer, hardness: Hardness::Hard })?;
        }
        order.told(46, PourFact::TakenOut { stone, place: Place::Kept(4) })?;
    }
    Ok(())
}

/// Four generations of one christening gown. Stone 1 is chosen; its setting is on order.
fn waits_for_its_setting(pen: &mut Pen) -> Result<(), Refusal> {
    let calendar = pen.calendar;
    let asked = Asked {
        number: 3_822_641,
        client: "c05",
        name: "The gown of Saint-Aubray",
        about: "A christening gown worn by four generations, too worn for a fifth",
        spelling: true,
        dates: &[("First worn", calendar.years_ago(118, 6, 12))],
        never_say: &["rag"],
        wishes: "One motif of the lace, laid open, behind it the colour of tea. For my mother, who wore it and whose \
                 children wore it.",
        due: Some(calendar.ahead(12)),
        occasion: Occasion::Gift,
        quote: Some((
            30_500,
            10_000,
            "Pendant with one stone; two stones to choose from; the rest of the lace mounted",
        )),
        paid: Some(calendar.past(33)),
        setting: "pendant-oval-14x10",
        ..Asked::default()
    };
    let mut order = pen.order(&asked, 38, (10, 0))?;
    order.kit(36, 33)?;
    order.on(26, (15, 15));
    order.receive(
        1,
        &Came {
            material: Material::Cloth,
            seal: Some(20_411),
            place: 2,
            looks: "Acid-free tissue in a flat box; a cuff with needle lace, yellowed at the fold",
            scene: None,
        },
    )?;
    order.keep_back(1, 1, 20_412)?;
    order.message(MessageKind::ArrivedSafely)?;
    let wish = Wish {
        mould: "oval-14x10",
        lamp: "large-lamp",
        pigment: "sand",
        style: Style::Even,
        face_mm: 2.2,
        top: LayerKind::TopGloss,
    };
    order.on(17, (9, 40)).plan(&wish, &[(1, "B1"), (2, "B2")], &[of_lot(1, 10)])?;
    order.on(16, (13, 30)).begin(&[1, 2])?;
    order.pour(&[1, 2])?;
    let lace = Scene::Stone(SampleOutline::Oval, [205, 186, 152], [244, 240, 230], Some([240, 234, 220]));
    order.on(15, (11, 30)).photo(lace, Thing::stone(1), "Motif in the middle.")?;
    order.photo(lace, Thing::stone(2), "Motif to one side.")?;
    order.caption(1, "The motif in the middle")?;
    order.caption(2, "The motif to one side, an edge of the cuff above it")?;
    gown_chosen(&mut order)
}

fn gown_chosen(order: &mut Writing<'_>) -> Result<(), Refusal> {
    let calendar = order.pen.calendar;
    order.on(14, (9, 0)).show(&[1, 2])?;
    order.on(11, (12, 40)).chosen(1)?;
    order.say("Stone 2 is to come home as well, loose.")?;
    let ordered = [Some(calendar.past(10)), Some(calendar.ahead(3)), None];
    order.errand(
        ErrandKind::Setting,
        ("Open-backed pendant for 14 × 10, plain edge, 925 silver", "Ateliers Vauquelin-Roux"),
        ordered,
    )
}

/// Milk of the first year, in a ring. Set; the engraver has it.
fn at_the_engravers(pen: &mut Pen) -> Result<(), Refusal> {
    let calendar = pen.calendar;
    let asked = Asked {
        number: 10_701_552,
        client: "c06",
        name: "Anand's first year",
        about: "The last of the milk she fed him with",
        spelling: true,
        dates: &[("Born", calendar.years_ago(1, 4, 11))],
        wishes: "Plain and white, so that nobody asks and I know. Inside the band the minute he was born.",
        due: Some(calendar.ahead(6)),
        quote: Some((26_000, 8_500, "Ring with one stone and engraving; two stones to choose from")),
        paid: Some(calendar.past(43)),
        setting: "ring-round-6",
        ring: "UK size M½",
        ..Asked::default()
    };
    let mut order = pen.order(&asked, 46, (7, 55))?;
    order.kit(45, 43)?;
    order.parcel(ParcelKind::Incoming, "Special delivery", "SD 1180 4427 GB", Some(10_000))?;
    order.on(35, (9, 35));
    order.receive(
        1,
        &Came {
            material: Material::Milk,
            seal: None,
            place: 3,
            looks: "Two freezer bags, one in the other; dried here to a fine pale powder",
            scene: Some(Scene::Heap([238, 228, 206])),
        },
    )?;
    order.weigh(Thing::wrapping(1), 1_904)?;
    order.keep_back(1, 1, 20_390)?;
    order.weigh(Thing::envelope(1), 634)?;
    order.message(MessageKind::ArrivedSafely)?;
    let wish = Wish {
        mould: "round-6",
        lamp: "small-lamp",
        pigment: "white",
        style: Style::Even,
        face_mm: 1.0,
        top: LayerKind::TopGloss,
    };
    order.on(28, (9, 0)).plan(&wish, &[(1, "A1"), (2, "A2")], &[of_lot(1, 2)])?;
    order.on(27, (13, 0)).begin(&[1, 2])?;
    order.pour(&[1, 2])?;
    order.on(26, (10, 0)).left_on_tools(1, Share::of(1, 200))?;
    order.on(25, (11, 45)).show(&[1, 2])?;
    order.on(24, (22, 10)).chosen(2)?;
    set_and_send_away(&mut order)?;
    let days = [Some(calendar.past(5)), Some(calendar.ahead(2)), None];
    order.errand(
        ErrandKind::Engraving,
        ("Inside the band: 04.11, small figures", "D. Hartnell, Merrowby"),
        days,
    )
}

fn set_and_send_away(order: &mut Writing<'_>) -> Result<(), Refusal> {
    order.on(7, (14, 0)).fact(measured(2, Dimension::Length, 601))?;
    order.fact(FitFact::Tried { stone: 2, feel: Feel::Flush })?;
    let (piece, place) = (Thing::piece(1), Place::Kept(4));
    order.wait(1_500);
    order.fact(FitFact::Set { stone: 2, piece, place })?;
    order.say("Pressed in eight steps, opposite sides in turn.")?;
    order.thing(piece, "Silver ring with the white stone, 6 mm")?;
    let ring = Scene::Set(SampleOutline::Round, [232, 230, 222], [233, 230, 220], Some([248, 240, 220]));
    order.photo(ring, piece, "Set, before engraving.")?;
    order.on(5, (10, 20)).fact(CustodyFact::Placed { thing: piece, place: Place::Away }).map(drop)
}
