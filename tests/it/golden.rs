//! Format version 1 is frozen: one file at least of each kind, with every field and every choice filled, is held to the
//! byte. `UPDATE_GOLDEN=1 cargo test --test it golden` writes them anew, which is right only where a field or a choice
//! was added and a file without it still opens; anything else needs a new version.

use std::fmt::Debug;
use std::path::PathBuf;

use chrono::NaiveDate;
use craft::client::{Client, Permission, WriteWhen};
use craft::compare::Scale;
use craft::cure::{
    Assurance, Button, Correlation, Cure, Doubts, Factor, Light, MaterialShade, Mix, PigmentClass,
    Provenance, Resin, Well,
};
use craft::digest::Digest;
use craft::fact::{
    Amount, Check, ClientFact, CustodyFact, Dimension, Drying, Fact, Feel, FitFact, FitWork, Hardness,
    HomeFact, How, LayerKind, LeftOut, Material, MessageKind, Mistake, PaperKind, PourFact, Wish,
};
use craft::geometry::{Cavity, Dome, Draft, Fullness, Heights, Outline, Sides};
use craft::heat::{Feel as Warmth, HeatSeen};
use craft::hiding::{Card, CardStep};
use craft::id::{Thing, Year};
use craft::learning::{Observation, PigmentLoad, Seen, WedgePoint};
use craft::log::{Entry, Log};
use craft::moment::{BootId, Moment};
use craft::money::bill::{Bill, Deposit, Discount, Line as BillLine, Vat};
use craft::money::series::{InvoiceDraft, InvoiceNo, Kind, Party, Series};
use craft::money::{Currency, Rate, Rounding};
use craft::order::{
    About, Dated, Errand, ErrandKind, LotShare, Occasion, Order, Page, Parcel, ParcelKind, Photo, PhotoKind,
    Quote, Remembered, Sheet, StoneSheet, Story, ThingNote, Words,
};
use craft::place::Place;
use craft::planner::{Caution, Cost, FewestLayers, Handling, Plan, PlannedLayer, Region, Smooth, Style};
use craft::policies::{PaperSize, Policies};
use craft::reading::{Means, Reading};
use craft::scale::{Coin, Known, ScaleProfile, Tare, Tried};
use craft::shelf::{Body, Bottle, FirstSet, Item, Lamp, Mould, Pigment, Setting, Swatch, What};
use craft::tag::Tag;
use craft::units::{Length, Load, Mass, Share, Span, Temperature};
use serde::Serialize;
use serde::de::DeserializeOwned;
use store::format::{Decoded, decode, encode};
use store::name::DocKind;

use crate::format_page::every_fact;

/// All choices of a kind. A choice that is added does not compile until it is named, and then is in a file.
macro_rules! every {
    ($kind:ident: $($choice:ident),+ $(,)?) => {{
        let _named = |choice: $kind| match choice { $($kind::$choice => ()),+ };
        [$($kind::$choice),+]
    }};
}

/// The name of a golden file, the kind of document and the bytes that are written for it today.
struct Golden {
    name: String,
    bytes: Vec<u8>,
}

fn golden<T>(name: impl Into<String>, kind: DocKind, doc: &T) -> Golden
where
    T: Serialize + DeserializeOwned + PartialEq + Debug,
{
    let (name, bytes) = (name.into(), encode(kind, doc).unwrap());
    match decode::<T>(kind, &bytes) {
        Decoded::Whole(back) => assert_eq!(&back, doc, "{name} reads back"),
        other => panic!("{name}: {other:?}"),
    }
    Golden { name, bytes }
}

fn day(month: u32, day: u32) -> NaiveDate {
    NaiveDate::from_ymd_opt(2026, month, day).unwrap()
}

fn to<T: std::str::FromStr<Err: Debug>>(text: &str) -> T {
    text.parse().unwrap()
}

fn digest(of: &str) -> Digest {
    Digest::of(of.as_bytes())
}

fn factor(value: f64) -> Factor {
    Factor::new(value).unwrap()
}

/// The `n`th of all choices, from the first again after the last.
fn nth<T: Copy>(choices: &[T], n: usize) -> T {
    choices[n % choices.len()]
}

fn provenances() -> [Provenance; 3] {
    let all = [Provenance::Typical, Provenance::Practised, Provenance::Tested(day(1, 31))];
    for one in all {
        match one {
            Provenance::Typical | Provenance::Practised | Provenance::Tested(_) => {}
        }
    }
    all
}

fn handling() -> Handling {
    Handling { lay: Span::from_s(95.0), settle: Span::from_s(121.0), cool: Span::from_s(242.0) }
}

fn studios() -> Vec<Golden> {
    let studio = |(n, paper): (usize, PaperSize)| {
        let policies = Policies {
            studio: to("bench-by-the-sea"),
            name: to("The Boathouse"),
            post: to("The Boathouse\nHarbour Lane 2"),
            contact: to("boathouse@example.org"),
            keep_back: Share::of(1, 4),
            tell_limit: Share::of(6, 100),
            scale: (n == 0)
                .then_some(Scale { readability: Mass::from_mg(1.0), repeatability: Mass::from_mg(0.7) }),
            places: vec![to("drawer 1"), to("Sørine's \"blue\" box")],
            currency: Currency::GBP,
            nudge_days: 9,
            paper,
            handling: handling(),
            heat_words: to("not above 60 °C"),
            bench_clear: n == 0,
            money_years: (n == 0).then_some(10),
        };
        golden(format!("studio-{n}"), DocKind::Studio, &policies)
    };
    every!(PaperSize: A4, Letter).into_iter().enumerate().map(studio).collect()
}

fn clients() -> Vec<Golden> {
    let permissions = [Permission::Given(day(2, 28)), Permission::Refused, Permission::NotAsked];
    for one in permissions {
        match one {
            Permission::Given(_) | Permission::Refused | Permission::NotAsked => {}
        }
    }
    let client = |(n, write_when): (usize, WriteWhen)| {
        let client = Client {
            name: to("Ingrid Solheim"),
            post: to("Fjordveien 3\n5003 Bergen"),
            country: to("NO"),
            contact: to("ingrid@example.org"),
            may_show: nth(&permissions, n),
            may_teach: nth(&permissions, n + 1),
            write_when,
            note: to("likes \u{2018}slate\u{2019}\nsecond line"),
        };
        golden(format!("client-{n}"), DocKind::Client, &client)
    };
    every!(WriteWhen: EachStep, OnlyQuestions, NotAtHome).into_iter().enumerate().map(client).collect()
}

fn mix(class: PigmentClass) -> Mix {
    Mix {
        class,
        absorption: factor(6.25),
        km_absorption: factor(1.5),
        km_scatter: factor(0.75),
        ceiling: Load::from_percent(5.0),
        hiding: factor(0.95),
        least: Load::from_percent(0.2),
        most: Load::from_percent(2.0),
        step: Load::from_percent(0.1),
        thinnest: Length::from_mm(0.3),
        thickest: Length::from_mm(1.2),
        provenance: Provenance::Tested(day(1, 31)),
    }
}

fn button() -> Button {
    Button::new("60 s", Span::from_s(60.0), Span::from_s(1.5)).unwrap()
}

fn card() -> Card {
    let step = |mm, line_seen| CardStep { thickness: Length::from_mm(mm), line_seen };
    Card { on: day(4, 2), load: Load::from_percent(1.25), steps: vec![step(0.6, true), step(0.8, false)] }
}

fn observations() -> Vec<Observation> {
    let (thickness, light) = (Length::from_mm(0.4), Span::from_s(60.0));
    let depth = Reading { value: thickness, doubt: Length::from_mm(0.05), by: Means::Caliper };
    let felt = |hardness| Seen::Felt { thickness, light, hardness };
    let mut all = vec![
        Seen::Wedge { points: vec![WedgePoint { light, depth }] },
        Seen::Works { thickness, light, times: 12 },
    ];
    all.extend(every!(Hardness: Hard, Tacky, Soft).map(felt));
    let room = Temperature::from_celsius(21.5);
    let warmths = every!(Warmth: Cool, Warm, TooHotToHold, SmelledOrWarped).map(HeatSeen::Felt);
    let warmths = warmths.into_iter().chain([HeatSeen::Read(Temperature::from_celsius(58.0))]);
    all.extend(warmths.map(|warmth| Seen::Warmed { thickness, room, warmth }));
    for seen in &all {
        match seen {
            Seen::Wedge { .. } | Seen::Works { .. } | Seen::Felt { .. } | Seen::Warmed { .. } => {}
        }
    }
    let observed = |(n, seen): (usize, Seen)| Observation {
        on: day(4, 1),
        lamp: to("lamp-0"),
        button: 2,
        lamp_lit: (n == 0).then(|| Span::from_s(3_600.0)),
        body: nth(&every!(Body: LetsLightIn, Opaque), n),
        pigment: (n == 1).then(|| PigmentLoad { item: to("pigment-0"), load: Load::from_percent(0.5) }),
        seen,
    };
    all.into_iter().enumerate().map(observed).collect()
}

fn outlines() -> Vec<Outline> {
    let (length, width, longer) = (Length::from_mm(10.0), Length::from_mm(8.0), Length::from_mm(1.25));
    let pear = |sides| Outline::Pear { length, width, sides };
    let mut all = vec![
        Outline::Round { diameter: Length::from_mm(9.0) },
        Outline::Oval { length, width },
        Outline::Cushion { length, width, fullness: Fullness::new(2.75).unwrap() },
        Outline::RoundedRectangle { length, width, corner: longer },
        Outline::Marquise { length, width },
        Outline::Heart { across: width },
        Outline::Hexagon { flats: width, longer: Length::ZERO },
        Outline::Hexagon { flats: width, longer },
        Outline::Octagon { flats: width, longer: Length::ZERO },
        Outline::Octagon { flats: width, longer },
        Outline::Traced("M 0 0 L 10 0 C 12 4 8 8 5 8 Q 0 8 0 0 Z".parse().unwrap()),
    ];
    all.extend(every!(Sides: Straight, Curved).map(pear));
    // A kind that is added does not compile until it is named; then it belongs above.
    let named = |outline: &Outline| match outline {
        Outline::Round { .. }
        | Outline::Oval { .. }
        | Outline::Cushion { .. }
        | Outline::RoundedRectangle { .. }
        | Outline::Marquise { .. }
        | Outline::Pear { .. }
        | Outline::Heart { .. }
        | Outline::Hexagon { .. }
        | Outline::Octagon { .. }
        | Outline::Traced(_) => (),
    };
    all.iter().for_each(named);
    all
}

fn domes() -> Vec<Dome> {
    let at = |from: f64, height: f64| (Length::from_mm(from), Length::from_mm(height));
    let measured = Dome::Measured(Heights::new(&[at(1.5, 2.0), at(2.5, 1.0)]).unwrap());
    let named = |dome: Dome| match dome {
        Dome::HalfEllipse | Dome::CircularArc | Dome::Parabola | Dome::Flat | Dome::Measured(_) => (),
    };
    let all = vec![Dome::HalfEllipse, Dome::CircularArc, Dome::Parabola, Dome::Flat, measured];
    all.iter().copied().for_each(named);
    all
}

fn shelf() -> Vec<Golden> {
    let mut all: Vec<(String, What)> = Vec::new();
    for (n, provenance) in provenances().into_iter().enumerate() {
        let first_set =
            FirstSet { lamp: to("small-lamp"), button: 1, seconds: Span::from_s(4.5), provenance };
        let resin = Resin::new(Length::from_mm(0.45), provenance).unwrap();
        let opened = (n > 0).then_some(day(3, 1));
        let observations = if n == 0 { Vec::new() } else { observations() };
        let bottle = Bottle { resin, opened, first_sets: vec![first_set], observations };
        all.push((format!("resin-{n}"), What::Resin(bottle)));
    }
    for (n, class) in PigmentClass::ALL.into_iter().enumerate() {
        let swatch = |photo, load| Swatch { scoops: 2, drops: 30, photo, came_out: to("a warm grey"), load };
        let swatches =
            vec![swatch(Some(digest("swatch")), None), swatch(None, Some(Load::from_percent(0.5)))];
        let cards = vec![card()];
        all.push((
            format!("pigment-{n}"),
            What::Pigment(Pigment { mix: mix(class), colour: (91, 98, 104), swatches, cards }),
        ));
    }
    all.push(("lamp-0".to_owned(), What::Lamp(Lamp { buttons: vec![button(), button()] })));
    let bodies = every!(Body: LetsLightIn, Opaque);
    let outlines = outlines();
    for (n, dome) in domes().into_iter().enumerate() {
        let height = if dome == Dome::Flat { Length::ZERO } else { Length::from_mm(2.5) };
        let cavity = Cavity::new(outlines[n % 2].clone(), dome, height, Length::from_mm(1.5)).unwrap();
        let cavity = if n < 4 { cavity } else { cavity.leaning(Draft::from_degrees(3.5).unwrap()).unwrap() };
        let mould = Mould { cavity, cells: vec![to("A1"), to("B2")], body: nth(&bodies, n) };
        all.push((format!("mould-{n}"), What::Mould(mould)));
    }
    for (n, opening) in outlines.into_iter().enumerate() {
        let setting =
            Setting { kind: to("ring"), opening, wall: Length::from_mm(0.5), metal: to("silver 925") };
        all.push((format!("setting-{n}"), What::Setting(setting)));
    }
    all.extend(scales().into_iter().enumerate().map(|(n, scale)| (format!("scale-{n}"), What::Scale(scale))));
    let item = |(name, what): (String, What)| {
        match &what {
            What::Resin(_)
            | What::Pigment(_)
            | What::Lamp(_)
            | What::Mould(_)
            | What::Setting(_)
            | What::Scale(_) => {}
        }
        let item = Item {
            name: to("the one by the window"),
            retired: name.ends_with('0'),
            note: to("a\nnote"),
            what,
        };
        assert_eq!(item.check(), Ok(()), "{name}");
        golden(name, DocKind::Shelf, &item)
    };
    all.into_iter().map(item).collect()
}

fn scales() -> [ScaleProfile; 2] {
    let coins = every!(Coin:
        FiveEuroCent, TenEuroCent, OneEuro, TwoEuro, OnePenny, TwoPence, OnePound, Dime, Nickel, Quarter);
    let weight = Known::Weight { mass: Mass::from_mg(2_000.0), within: Mass::from_mg(1.2) };
    let known: Vec<Known> = coins.into_iter().map(Known::Coin).chain([weight]).collect();
    for one in &known {
        match one {
            Known::Coin(_) | Known::Weight { .. } => {}
        }
    }
    let tried = |with: Known| Tried { on: day(3, 2), with, shown: with.mass() };
    let tares = [Tare::Button, Tare::Packet { shown: Mass::from_mg(310.0) }];
    for tare in tares {
        match tare {
            Tare::Button | Tare::Packet { .. } => {}
        }
    }
    tares.map(|tare| ScaleProfile {
        scale: Scale { readability: Mass::from_mg(1.0), repeatability: Mass::from_mg(0.7) },
        most: (tare == Tare::Button).then_some(Mass::from_mg(20_000.0)),
        tare,
        tried: known.iter().copied().map(tried).collect(),
    })
}

fn plan(style: Style, n: usize) -> Plan {
    let layer = |region| PlannedLayer {
        region,
        thickness: Length::from_mm(0.4),
        load: Load::from_percent(0.5),
        light: 0,
        button: "60 s".to_owned(),
        seconds: Span::from_s(120.0),
        lay: Span::from_s(95.0),
        settle: Span::from_s(121.0),
        cool: Span::from_s(242.0),
        // Once is not written; more often is.
        presses: 1 + u8::from(n > 0),
        cautious: factor(1.625),
        nominal: factor(3.25),
    };
    let cure = Cure {
        resin: Resin::new(Length::from_mm(0.45), Provenance::Practised).unwrap(),
        mix: mix(PigmentClass::Colour),
        doubts: Doubts {
            penetration: factor(1.25),
            first_set: factor(1.3),
            lamp: factor(1.1),
            together: Correlation::new(-0.5).unwrap(),
            pigment: factor(1.4),
            dosing: factor(1.15),
            thickness: Length::from_mm(0.05),
        },
        assurance: Assurance { spread: factor(2.0), margin: factor(1.5) },
        own: (n > 0).then(|| factor(2.5)),
    };
    let light = |provenance| Light::new(button(), Span::from_s(4.5), provenance).unwrap();
    Plan {
        style,
        layers: every!(Region: Face, Colour, Back).map(layer).to_vec(),
        cost: Cost { seconds: 1_234, layers: 3, pigment: 77, squares: 9 },
        fewest: FewestLayers { by_light: 2, by_grid: 1 },
        cure,
        lights: provenances().map(light).to_vec(),
        handling: handling(),
        well: (n == 0).then_some(Well { half_width: Length::from_mm(4.0), diffuse: factor(0.5) }),
        shade: (n == 0).then_some(MaterialShade { per_mm: factor(0.125), doubt: factor(1.2) }),
        caution: if n == 0 { every!(Caution: FaceUp).first().copied() } else { None },
        smooth: (n > 0).then_some(Smooth { reference: 5, seconds: 60 }),
        thinnest: None,
    }
}

fn stones() -> Vec<StoneSheet> {
    let styles = every!(Style: Even, Deepening, Quick);
    let stone = |(no, top): (u8, LayerKind)| StoneSheet {
        no,
        mould: to("oval-10x8"),
        cell: to("B2"),
        resin: to("clear-casting"),
        lamp: to("small-lamp"),
        pigment: to("slate"),
        style: nth(&styles, usize::from(no)),
        face: Length::from_mm(1.5),
        shares: vec![LotShare { lot: 1, part: Share::of(1, 20) }, LotShare { lot: 2, part: Share::of(1, 3) }],
        top,
        plan: (no <= 3).then(|| plan(nth(&styles, usize::from(no)), usize::from(no) - 1)),
        caption: to("warm grey, \"first\""),
        wishes: craft::planner::Wishes::default(),
    };
    (1..).zip(layer_kinds()).map(stone).collect()
}

fn layer_kinds() -> [LayerKind; 8] {
    every!(LayerKind: Material, Clear, Tinted, Swirled, Opaque, BackCoat, TopGloss, TopSatin)
}

fn things() -> [Thing; 6] {
    [
        Thing::wrapping(1),
        Thing::envelope(2),
        Thing::stone(3),
        Thing::offcuts(1),
        Thing::keepsake(1),
        Thing::piece(1),
    ]
}

fn sheet(occasion: Occasion, n: usize) -> Sheet {
    let filled = n == 0;
    let dated = Dated { what: to("born"), on: NaiveDate::from_ymd_opt(1931, 5, 6).unwrap() };
    let quote = |deposit_paid| Quote {
        total: to("240.00 GBP"),
        deposit: to("60.00 GBP"),
        deposit_paid,
        note: to("in two parts"),
    };
    let errand = |kind| Errand {
        kind,
        what: to("silver ring, size N"),
        who: to("the smith"),
        asked: Some(day(3, 2)),
        expected: filled.then(|| day(3, 20)),
        back: None,
    };
    let photo = |kind| Photo {
        original: digest("photo"),
        kind,
        of: filled.then(|| Thing::stone(1)),
        caption: to("as it came"),
    };
    let parcel = |kind| Parcel {
        kind,
        carrier: to("post"),
        tracking: to("AB 12"),
        insured: filled.then(|| to("100.00 GBP")),
    };
    Sheet {
        remembered: Remembered {
            name: to("Sørine"),
            about: to("a grandmother who kept bees"),
            spelling_confirmed: filled,
            dates: vec![dated],
            never_say: vec![to("passed on")],
        },
        wishes: to("warm, like honey\nin the window"),
        due: filled.then(|| day(4, 20)),
        occasion,
        quote: (n < 2).then(|| quote(filled.then(|| day(3, 3)))),
        setting: filled.then(|| to("ring-n")),
        ring: to("N ½"),
        things: things().map(|thing| ThingNote { thing, description: to("blue tissue") }).to_vec(),
        stones: if filled { stones() } else { Vec::new() },
        errands: every!(ErrandKind: Setting, Chain, Engraving, Assay).map(errand).to_vec(),
        photos: every!(PhotoKind: Jpeg, Png).map(photo).to_vec(),
        parcels: every!(ParcelKind: Kit, Incoming, Home).map(parcel).to_vec(),
    }
}

fn story() -> Story {
    let pages = every!(Page: Brief, Arrival, Plan, Pour, Show, Choose, Fit, Pack, After);
    let words = |about| {
        match about {
            About::Entry(_) | About::Page(_) => {}
        }
        Words { about, text: to("said on the telephone\nand again") }
    };
    let mut all = vec![words(About::Entry(1))];
    all.extend(pages.map(About::Page).map(words));
    ron::from_str(&ron::to_string(&all).unwrap()).unwrap()
}

/// One fact for each choice that the facts hold, beside one of every kind of fact.
fn facts() -> Vec<Fact> {
    let mut facts = every_fact();
    let (thing, place) = (Thing::wrapping(1), Place::Kept(2));
    let tag: Tag = to("A2B-C3H");
    let mut add = |fact: Fact| facts.push(fact);
    for material in every!(Material: Hair, Fur, Ashes, Petals, Milk, Cloth, Earth, Feather, Other) {
        let photo = Some(digest("arrival"));
        let place = place.clone();
        add(CustodyFact::Received { lot: 3, material, seal: None, place, photo, keep_back: Share::of(1, 3) }
            .into());
    }
    for how in every!(How: Typed, Scanned, Picked) {
        add(CustodyFact::Opened { thing, check: Check { how, tag } }.into());
    }
    for place in places() {
        add(CustodyFact::Placed { thing, place }.into());
    }
    for thing in things() {
        add(CustodyFact::Lost { thing }.into());
    }
    for by in every!(Means: Scale, Caliper, ByEye) {
        let reading = Reading { value: Mass::from_mg(31.25), doubt: Mass::from_mg(0.000_001), by };
        add(CustodyFact::Weighed { thing, reading }.into());
    }
    for about in every!(MessageKind: KitPosted, ArrivedSafely, Proof, Nudge, Finished, Posted, ThankYou) {
        add(ClientFact::MessageSent { about }.into());
    }
    pour_facts(&mut add);
    for what in every!(Dimension: Length, Width, Height, Edge) {
        let reading =
            Reading { value: Length::from_mm(7.95), doubt: Length::from_mm(0.02), by: Means::Caliper };
        add(FitFact::Measured { stone: 1, what, reading }.into());
    }
    for feel in every!(Feel: TooTight, Proud, Flush, Low, TooLoose) {
        add(FitFact::Tried { stone: 1, feel }.into());
    }
    for work in every!(FitWork: SandedEdge, SandedBack, BuiltUp, Polished) {
        add(FitFact::Worked { stone: 1, work }.into());
    }
    for why in every!(LeftOut: HeldForClient, DestroyedOnRequest, ReturnedBefore) {
        add(HomeFact::LeftOut { thing, why }.into());
    }
    for wish in every!(Wish: Return, Hold, Destroy) {
        add(ClientFact::Instructed { thing, wish }.into());
    }
    for way in every!(Drying: InAir, WithDesiccant, Pressed, LowHeat) {
        add(CustodyFact::Dried { thing, way, over: Span::from_s(3_600.0) }.into());
    }
    // What came later stands after all others, so that what was written before keeps its bytes.
    let issued = |paper| HomeFact::PaperIssued { paper, file: digest("paper") }.into();
    let papers = every!(PaperKind: Proof, Receipt, Kit, Packing, Care, Custody);
    let (later, first) = papers.into_iter().partition::<Vec<_>, _>(|paper| *paper == PaperKind::Custody);
    for paper in first {
        add(issued(paper));
    }
    for why in every!(Mistake: DidNotHappen, WrongThing, WrongNumber) {
        add(Fact::Struck { entry: 2, why });
    }
    for paper in later {
        add(issued(paper));
    }
    facts
}

fn pour_facts(add: &mut impl FnMut(Fact)) {
    let amounts = [Amount::Weighed(Mass::from_mg(412.0)), Amount::Drops(3), Amount::ToTheMark];
    for amount in amounts {
        match amount {
            Amount::Weighed(_) | Amount::Drops(_) | Amount::ToTheMark => {}
        }
    }
    for (layer, kind) in (1..).zip(layer_kinds()) {
        let laid = PourFact::Laid {
            stone: 1,
            layer,
            kind,
            thickness: Length::from_mm(0.8),
            load: Load::from_percent(0.25),
            amount: nth(&amounts, usize::from(layer)),
            bottle: to("clear-a"),
            pigment: Some(to("slate")),
        };
        add(laid.into());
    }
    for hardness in every!(Hardness: Soft, Tacky, Hard) {
        add(PourFact::Felt { stone: 1, layer: 1, hardness }.into());
    }
}

fn places() -> [Place; 7] {
    let all = [
        Place::Kept(2),
        Place::Bench,
        Place::Cavity { mould: to("oval-10x8"), cell: to("B2") },
        Place::Box,
        Place::Away,
        Place::Post,
        Place::Home,
    ];
    for place in &all {
        match place {
            Place::Kept(_)
            | Place::Bench
            | Place::Cavity { .. }
            | Place::Box
            | Place::Away
            | Place::Post
            | Place::Home => {}
        }
    }
    all
}

/// A record of these facts, each sealed; that some of them could not follow one another is of no matter here.
fn log(facts: Vec<Fact>) -> Log {
    let (studio, tag) = (to("bench-by-the-sea"), to("A2B-C3H"));
    let mut head = Log::origin(&studio, tag);
    let mut entries = Vec::new();
    for (number, fact) in (1_u32..).zip(facts) {
        let ms = i64::from(number) * 61_000;
        let at = Moment {
            utc_ms: 1_774_744_200_000 + ms,
            offset_min: if number.is_multiple_of(2) { 60 } else { -570 },
            boot: BootId(0x7f3a),
            since_boot_ms: 5_000 + ms,
            awake_ms: 4_000 + ms,
        };
        let told = number.is_multiple_of(3).then(|| day(3, 21));
        head = head.then(&Entry::line(number, &at, told, &fact));
        entries.push(Entry { at, told, fact, seal: head });
    }
    let log: Log = ron::from_str(&ron::to_string(&entries).unwrap()).unwrap();
    assert_eq!(log.check(&studio, tag), Ok(()));
    log
}

fn orders() -> Vec<Golden> {
    let order = |(n, occasion): (usize, Occasion)| {
        let order = Order {
            tag: to("A2B-C3H"),
            studio: to("bench-by-the-sea"),
            client: to("ingrid"),
            sheet: sheet(occasion, n),
            story: if n == 0 { story() } else { Story::default() },
            log: log(if n == 0 { facts() } else { Vec::new() }),
        };
        golden(format!("order-{n}"), DocKind::Order, &order)
    };
    every!(Occasion: ForThemselves, Gift, Surprise).into_iter().enumerate().map(order).collect()
}

fn bill(n: usize, vat: Vat, vat_rounding: Rounding) -> Bill {
    let rate = matches!(vat, Vat::Registered { .. }).then(|| Rate::from_millionths(200_000).unwrap());
    let discounts = [
        Discount::Amount(to("5.00 GBP")),
        Discount::Rate(Rate::from_millionths(50_000).unwrap()),
        Discount::None,
    ];
    for discount in &discounts {
        match discount {
            Discount::None | Discount::Rate(_) | Discount::Amount(_) => {}
        }
    }
    let line = |discount| BillLine {
        words: "stone in a ring".to_owned(),
        quantity: to("2.5"),
        unit_price: to("96.40 GBP"),
        discount,
        vat: rate,
    };
    Bill {
        currency: Currency::GBP,
        vat,
        vat_rounding,
        lines: discounts.map(line).to_vec(),
        discount: discounts[n % 3],
        deposits: vec![Deposit { on: day(3, 3), amount: to("60.00 GBP") }],
    }
}

fn money() -> Vec<Golden> {
    let party = |name: &str| Party {
        name: name.to_owned(),
        address: vec!["Harbour Lane 2".to_owned(), "Whitby".to_owned()],
        country: "GB".to_owned(),
    };
    let year = Year(2026);
    let mut series = Series::new(year);
    let roundings = every!(Rounding: HalfUp, HalfEven, Down);
    let kinds = [Kind::Invoice, Kind::Prepayment, Kind::CreditNote { of: InvoiceNo { year, number: 1 } }];
    for (n, kind) in kinds.into_iter().enumerate() {
        match kind {
            Kind::Invoice | Kind::Prepayment | Kind::CreditNote { .. } => {}
        }
        let vat =
            if n == 1 { Vat::NotRegistered } else { Vat::Registered { number: "GB123456789".to_owned() } };
        match &vat {
            Vat::NotRegistered | Vat::Registered { .. } => {}
        }
        let mut bill = bill(n, vat, roundings[n]);
        if n == 2 {
            // Credit for a part of it.
            bill.lines.truncate(1);
            bill.deposits.clear();
        }
        let draft = InvoiceDraft {
            kind,
            order: to("A2B-C3H"),
            dated: day(4, 1),
            supplied: (n == 0).then(|| day(3, 30)),
            pay_by: (n < 2).then(|| day(4, 15)),
            seller: party("The Boathouse"),
            buyer: party("Ingrid Solheim"),
            bill,
        };
        series.issue(draft).unwrap();
    }
    vec![
        golden("money-0", DocKind::Money, &series),
        golden("money-1", DocKind::Money, &Series::new(Year(2027))),
    ]
}

fn every_file() -> Vec<Golden> {
    [studios(), shelf(), clients(), orders(), money()].into_iter().flatten().collect()
}

fn folder() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("fixtures/golden")
}

/// Where two files differ first, in words.
fn difference(wanted: &str, found: &str) -> Option<String> {
    if wanted == found {
        return None;
    }
    let mut lines = (1..).zip(wanted.lines().zip(found.lines()));
    let at = lines.find(|(_, (wanted, found))| wanted != found);
    Some(at.map_or_else(
        || "one is longer than the other".to_owned(),
        |(line, (wanted, found))| format!("line {line}: {found:?} instead of {wanted:?}"),
    ))
}

#[test]
fn every_kind_of_document_is_written_as_it_was_frozen_to_the_byte() {
    let all = every_file();
    let update = std::env::var_os("UPDATE_GOLDEN").is_some();
    let path = |name: &str| folder().join(format!("{name}.ron"));
    if update {
        std::fs::create_dir_all(folder()).unwrap();
        for golden in &all {
            std::fs::write(path(&golden.name), &golden.bytes).unwrap();
        }
    }
    let wrong: Vec<String> = all
        .iter()
        .filter_map(|golden| {
            let frozen = std::fs::read_to_string(path(&golden.name));
            let frozen = frozen.unwrap_or_else(|why| panic!("{}: {why}", golden.name));
            let how = difference(&frozen, std::str::from_utf8(&golden.bytes).unwrap())?;
            Some(format!("{}: {how}", golden.name))
        })
        .collect();
    assert!(wrong.is_empty(), "format version 1 is frozen:\n{}", wrong.join("\n"));
    let mut names: Vec<_> = all.iter().map(|golden| format!("{}.ron", golden.name)).collect();
    names.sort();
    let mut there: Vec<_> = std::fs::read_dir(folder())
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect();
    there.sort();
    assert_eq!(there, names, "every frozen file is compared");
    let bytes: usize = all.iter().map(|golden| golden.bytes.len()).sum();
    println!("{} frozen files, {bytes} bytes", all.len());
}

#[test]
fn a_field_or_word_that_changes_is_noticed_by_the_same_check() {
    let all = every_file();
    let frozen = std::str::from_utf8(&all[0].bytes).unwrap();
    assert_eq!(difference(frozen, frozen), None);
    let renamed = frozen.replacen("nudge_days", "nudge", 1);
    assert!(difference(frozen, &renamed).unwrap().contains("instead of \"        nudge_days: 9,\""));
    assert_eq!(difference(frozen, &format!("{frozen}\n")).unwrap(), "one is longer than the other");
}
