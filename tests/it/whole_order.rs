//! One order from the enquiry to the thank-you, through the same workbench that a window drives, on the real disk,
//! closing and opening the program after every single step.

use std::sync::Arc;

use chrono::NaiveDate;
use craft::fact::{
    Amount, Choice, ClientFact, CustodyFact, Dimension, Feel, FitFact, FitWork, Hardness, Holder, HomeFact,
    LayerKind, LeftOut, Material, MessageKind, PaperKind, PourFact, Press, Seal,
};
use craft::id::Thing;
use craft::money::{Currency, Money};
use craft::order::{About, Errand, ErrandKind, Page, Parcel, ParcelKind, PhotoKind, Quote, ThingNote, Words};
use craft::place::Place;
use craft::planner::Region;
use craft::reading::{Means, Reading};
use craft::stage::Stage;
use craft::studio::OrderEdit;
use craft::tag::Tag;
use craft::units::{Length, Mass, Share, Span};
use papers::photo::sample::{SampleContents, SamplePacket, SampleStone, packet_picture, stone_picture};
use workbench::action::{Action, Job, Source};
use workbench::clock::Clock as _;

use crate::support::{Bench, files, id, stone_sheet, typed};

fn packet(width_px: u32) -> Vec<u8> {
    let look = SamplePacket {
        seed: 3,
        contents: SampleContents::Lock,
        colour: [96, 70, 52],
        cloth: [120, 126, 122],
    };
    packet_picture(&look, width_px, width_px * 3 / 4).unwrap()
}

fn third() -> Share {
    Share::of(1, 3)
}

/// Takes a generated JPEG in as a picked file, through the job that a picked file starts.
fn take_photo(bench: &Bench, tag: Tag, of: Option<Thing>, jpeg: &[u8]) -> craft::digest::Digest {
    let file = bench.dir.path().join("picked.jpg");
    std::fs::write(&file, jpeg).unwrap();
    let job = Job::TakePhoto { tag, of, caption: "as taken".parse().unwrap(), source: Source::File(file) };
    bench.step(Action::Start(job)).unwrap();
    let photo = bench.order(tag).sheet.photos.pop().unwrap();
    assert_eq!((photo.of, photo.kind), (of, PhotoKind::Jpeg));
    assert_eq!(photo.original, craft::digest::Digest::of(jpeg), "the original is untouched");
    photo.original
}

fn stage(bench: &Bench, tag: Tag) -> Stage {
    let session = bench.open();
    let view = session.bench.view(bench.clock.now());
    view.studio.order(tag).unwrap().stage()
}

/// The keep-back first, then a working envelope, both from the open wrapping.
fn arrive(bench: &Bench, tag: Tag, weighed: bool) {
    let drawer = Place::Kept(1);
    let photo = take_photo(bench, tag, Some(Thing::wrapping(1)), &packet(400));
    let received = CustodyFact::Received {
        lot: 1,
        material: Material::Hair,
        seal: Some(Seal(41)),
        place: drawer.clone(),
        photo: Some(photo),
        keep_back: third(),
    };
    bench.fact(tag, received);
    bench.fact(tag, CustodyFact::CameAlong { thing: Thing::keepsake(1), place: drawer.clone(), photo: None });
    bench.fact(tag, CustodyFact::Opened { thing: Thing::wrapping(1), check: typed(tag) });
    if weighed {
        let reading = Reading { value: Mass::from_mg(482.0), doubt: Mass::from_mg(1.1), by: Means::Scale };
        bench.fact(tag, CustodyFact::Weighed { thing: Thing::wrapping(1), reading });
    } else {
        let reading = Reading { value: Mass::from_mg(500.0), doubt: Mass::from_mg(200.0), by: Means::ByEye };
        bench.fact(tag, CustodyFact::Weighed { thing: Thing::wrapping(1), reading });
    }
    // Nothing can be taken before the keep-back is away, and the refusal brings its own mending.
    let early = CustodyFact::SplitOff {
        from: Thing::wrapping(1),
        lot: 1,
        into: Thing::envelope(1),
        part: Share::of(1, 4),
        keep_back: false,
        seal: None,
        place: drawer.clone(),
    };
    assert!(bench.refused(tag, early).contains("has no keep-back yet"));
    let split = |into, part, keep_back, seal| CustodyFact::SplitOff {
        from: Thing::wrapping(1),
        lot: 1,
        into,
        part,
        keep_back,
        seal,
        place: Place::Kept(1),
    };
    bench.fact(tag, split(Thing::envelope(1), third(), true, Some(Seal(42))));
    bench.fact(tag, split(Thing::envelope(2), Share::of(1, 4), false, None));
    bench.fact(tag, CustodyFact::Closed { thing: Thing::wrapping(1), seal: Some(Seal(43)) });
    bench.change_sheet(tag, |sheet| {
        sheet.things.push(ThingNote {
            thing: Thing::wrapping(1),
            description: "blue tissue, tied with wool".parse().unwrap(),
        });
        sheet
            .things
            .push(ThingNote { thing: Thing::keepsake(1), description: "a letter from her".parse().unwrap() });
    });
}

/// Plans the stones with the real planner and keeps each plan by value.
fn plan(bench: &Bench, tag: Tag, stones: &[(u8, &str)]) {
    let session = bench.open();
    let view = session.bench.view(bench.clock.now());
    let planned: Vec<_> = stones
        .iter()
        .map(|&(no, cell)| {
            let mut stone = stone_sheet(no, cell);
            stone.plan = Some(view.studio.plan_for(tag, &stone, view.now.day()).unwrap());
            stone
        })
        .collect();
    drop(session);
    bench.change_sheet(tag, |sheet| sheet.stones.extend(planned));
}

/// Pours every layer of a stone as planned: lay, wait, light (paused once), cool, feel.
fn pour(bench: &Bench, tag: Tag, no: u8) {
    let sheet = bench.order(tag).sheet;
    let stone = sheet.stone(no).unwrap();
    let plan = stone.plan.as_ref().unwrap();
    let (mould, cell) = (stone.mould.clone(), stone.cell.clone());
    bench.fact(tag, PourFact::Begun { stone: no, mould, cell });
    bench.fact(tag, CustodyFact::Opened { thing: Thing::envelope(2), check: typed(tag) });
    let to = Holder::Thing(Thing::stone(no));
    bench.fact(tag, CustodyFact::Moved { from: Thing::envelope(2), lot: 1, to, part: Share::of(1, 20) });
    bench.fact(tag, CustodyFact::Closed { thing: Thing::envelope(2), seal: None });
    for (layer, planned) in (1_u8..).zip(&plan.layers) {
        let kind = match (layer, planned.region) {
            (1, _) => LayerKind::Material,
            (_, Region::Face) => LayerKind::Clear,
            (_, Region::Colour) => LayerKind::Opaque,
            (_, Region::Back) => LayerKind::BackCoat,
        };
        bench.fact(
            tag,
            PourFact::Laid {
                stone: no,
                layer,
                kind,
                thickness: planned.thickness,
                load: planned.load,
                amount: if layer == 1 { Amount::Weighed(Mass::from_mg(96.0)) } else { Amount::ToTheMark },
                bottle: id("clear-casting"),
                pigment: planned.load.is_positive().then(|| stone.pigment.clone()),
            },
        );
        bench.clock.pass(240);
        light(bench, tag, no, planned.seconds, layer == 2);
        bench.fact(tag, PourFact::Cooled { stones: vec![no] });
        bench.fact(tag, PourFact::Felt { stone: no, layer, hardness: Hardness::Hard });
    }
    bench.fact(tag, PourFact::TakenOut { stone: no, place: Place::Kept(2) });
}

/// One exposure; paused half-way where asked, as two presses whose light adds up.
fn light(bench: &Bench, tag: Tag, no: u8, seconds: Span, paused: bool) {
    let halves = if paused { 2 } else { 1 };
    let part = Span::from_micro(seconds.micro() / halves);
    for _ in 0..halves {
        let press = Press { lamp: id("small-lamp"), button: 1, seconds: part, ramp: Span::ZERO };
        bench.fact(tag, PourFact::LampOn { stones: vec![no], press });
        let on = bench.order(tag).log.len();
        bench.clock.pass(part.micro() / 1_000_000 + 1);
        bench.fact(tag, PourFact::LampOff { on, lit: part });
    }
}

fn issue(bench: &Bench, tag: Tag, kind: PaperKind) -> craft::digest::Digest {
    bench.step(Action::Start(Job::IssuePaper { tag, kind })).unwrap();
    let log = bench.order(tag).log;
    let (_, last) = log.entries().last().unwrap();
    match &last.fact {
        craft::fact::Fact::Home(HomeFact::PaperIssued { paper, file }) if *paper == kind => *file,
        other => panic!("the paper was not recorded: {other:?}"),
    }
}

fn show(bench: &Bench, tag: Tag, stones: &[u8]) {
    for &no in stones {
        let look = SampleStone { seed: u64::from(no), ..SampleStone::default() };
        take_photo(bench, tag, Some(Thing::stone(no)), &stone_picture(&look, 640, 480).unwrap());
    }
    let sheet = issue(bench, tag, PaperKind::Proof);
    bench.fact(tag, ClientFact::ProofSent { stones: stones.to_vec(), sheet });
    bench.fact(tag, ClientFact::MessageSent { about: MessageKind::Proof });
}

fn set_and_pack(bench: &Bench, tag: Tag, chosen: u8) {
    let reading =
        |mm| Reading { value: Length::from_mm(mm), doubt: Length::from_mm(0.02), by: Means::Caliper };
    let measured = |what, mm| FitFact::Measured { stone: chosen, what, reading: reading(mm) };
    bench.fact(tag, measured(Dimension::Length, 10.02));
    bench.fact(tag, measured(Dimension::Width, 8.05));
    bench.fact(tag, FitFact::Tried { stone: chosen, feel: Feel::TooTight });
    bench.fact(tag, FitFact::Worked { stone: chosen, work: FitWork::SandedEdge });
    bench.fact(tag, FitFact::Tried { stone: chosen, feel: Feel::Flush });
    bench.fact(tag, PourFact::OffcutsKept { bag: Thing::offcuts(1), place: Place::Kept(2) });
    bench.change_sheet(tag, |sheet| {
        let errand = sheet.errands.first_mut().unwrap();
        errand.back = NaiveDate::from_ymd_opt(2026, 3, 20);
    });
    bench.fact(tag, FitFact::Set { stone: chosen, piece: Thing::piece(1), place: Place::Kept(3) });
    assert_eq!(stage(bench, tag), Stage::Set);
    issue(bench, tag, PaperKind::Packing);
    issue(bench, tag, PaperKind::Care);
    // A box with a spare stone missing does not go.
    let spares = [Thing::stone(2), Thing::wrapping(1), Thing::envelope(1), Thing::envelope(2)];
    for thing in spares.iter().skip(1).chain(&[Thing::offcuts(1), Thing::piece(1)]) {
        bench.fact(tag, HomeFact::Ticked { thing: *thing, check: typed(tag) });
    }
    assert_eq!(
        bench.refused(tag, HomeFact::Sent),
        "not in the box yet: S2, K1; tick each, or say that it is lost or left out"
    );
    bench.fact(tag, HomeFact::Ticked { thing: Thing::stone(2), check: typed(tag) });
    bench.fact(tag, HomeFact::LeftOut { thing: Thing::keepsake(1), why: LeftOut::HeldForClient });
    assert_eq!(stage(bench, tag), Stage::Packed);
    let box_photo = take_photo(bench, tag, None, &packet(320));
    bench.fact(tag, HomeFact::BoxPhotographed { photo: box_photo });
}

fn send_home(bench: &Bench, tag: Tag) {
    bench.change_sheet(tag, |sheet| {
        sheet.parcels.push(Parcel {
            kind: ParcelKind::Home,
            carrier: "the post".parse().unwrap(),
            tracking: "RR 123 456 785 NO".parse().unwrap(),
            insured: Some(Money { minor: 45_000, currency: Currency::EUR }),
        });
    });
    bench.fact(tag, HomeFact::Sent);
    assert_eq!(stage(bench, tag), Stage::GoneHome);
    bench.fact(tag, ClientFact::MessageSent { about: MessageKind::Posted });
    bench.fact(tag, HomeFact::Arrived);
    bench.fact(tag, ClientFact::Thanked);
    bench.fact(tag, HomeFact::Fault { thing: Thing::piece(1) });
}

fn enquire(bench: &Bench, number: u32) -> Tag {
    let tag = bench.open_order(number);
    bench.change_sheet(tag, |sheet| {
        let price = |minor| Money { minor, currency: Currency::EUR };
        sheet.quote = Some(Quote {
            total: price(45_000),
            deposit: price(15_000),
            deposit_paid: NaiveDate::from_ymd_opt(2026, 3, 3),
            note: "oval pendant, silver".parse().unwrap(),
        });
        sheet.setting = Some(id("pendant-oval-10x8"));
        sheet.errands.push(Errand {
            kind: ErrandKind::Setting,
            what: "pendant, 10 × 8".parse().unwrap(),
            who: "the setting maker".parse().unwrap(),
            asked: NaiveDate::from_ymd_opt(2026, 3, 4),
            expected: NaiveDate::from_ymd_opt(2026, 3, 18),
            back: None,
        });
    });
    let words =
        Words { about: About::Page(Page::Brief), text: "rang at noon, a warm voice".parse().unwrap() };
    bench.edit(tag, OrderEdit::Story(words)).unwrap();
    assert_eq!(stage(bench, tag), Stage::Asked);
    bench.fact(tag, ClientFact::Answered);
    issue(bench, tag, PaperKind::Kit);
    bench.fact(tag, ClientFact::KitPosted);
    assert_eq!(stage(bench, tag), Stage::KitSent);
    tag
}

fn whole_order(bench: &Bench, number: u32, weighed: bool) -> Tag {
    let tag = enquire(bench, number);
    arrive(bench, tag, weighed);
    assert_eq!(stage(bench, tag), Stage::Here);
    issue(bench, tag, PaperKind::Receipt);
    plan(bench, tag, &[(1, "A1"), (2, "A2")]);
    pour(bench, tag, 1);
    pour(bench, tag, 2);
    assert_eq!(stage(bench, tag), Stage::Made);
    show(bench, tag, &[1, 2]);
    assert_eq!(stage(bench, tag), Stage::Shown);
    bench.fact(tag, ClientFact::Chosen(Choice::Stone(1)));
    let about = About::Entry(bench.order(tag).log.len());
    let words = Words { about, text: "the first one, it has her light".parse().unwrap() };
    bench.edit(tag, OrderEdit::Story(words)).unwrap();
    assert_eq!(stage(bench, tag), Stage::Chosen);
    set_and_pack(bench, tag, 1);
    send_home(bench, tag);
    tag
}

#[test]
fn an_order_goes_from_the_enquiry_to_the_thank_you_and_nothing_is_lost_on_the_way() {
    let bench = Bench::new();
    let tag = whole_order(&bench, 1_000, true);
    let session = bench.open();
    let view = session.bench.view(bench.clock.now());
    let held = view.studio.order(tag).unwrap();
    // The log is closed and whole, and the box was full.
    held.order.log.check(&held.order.studio, tag).unwrap();
    assert_eq!(held.ledger.to_pack(), []);
    assert_eq!(view.studio.findings(), []);
    let total: u32 = held.ledger.custody.holders(1).map(|(_, share)| share.millionths()).sum();
    assert_eq!(total, 1_000_000);
    // The proof sheet is a PDF on the disk, as issued.
    let (_, kind, file) = held.ledger.home.papers.iter().find(|paper| paper.1 == PaperKind::Proof).unwrap();
    let name = workbench::runner::paper_file_name(*kind, file);
    let folder = store::folder::StudioFolder::open(&bench.root(), Arc::new(store::vfs::DiskVfs)).unwrap();
    let pdf = folder.paper(&tag.to_string(), &name, *file).unwrap().unwrap();
    assert!(pdf.starts_with(b"%PDF-"));
    // Words are in the story, never in the log.
    let text =
        std::fs::read_to_string(bench.root().join(format!("orders/{}.ron", tag.to_string().to_lowercase())))
            .unwrap();
    let log = text.split_once("log:").unwrap().1;
    for word in ["Sørine", "light", "Ingrid", "tissue"] {
        assert!(!log.contains(word), "{word} stands in the record");
    }
    assert!(files(&bench.root()).iter().all(|path| !path.to_string_lossy().ends_with(".tmp")));
}

#[test]
fn an_order_without_any_scale_goes_all_the_way() {
    let bench = Bench::new();
    let tag = whole_order(&bench, 2_000, false);
    let session = bench.open();
    let view = session.bench.view(bench.clock.now());
    let held = view.studio.order(tag).unwrap();
    assert!(view.studio.policies().scale.is_none());
    assert!(held.ledger.custody.weighed.iter().all(|(_, _, reading)| reading.by == Means::ByEye));
    assert_eq!(held.stage(), Stage::GoneHome);
}

/// Tells of everything up to the proof as done before today.
fn tell_half_an_order(bench: &Bench, tag: Tag) {
    let day = NaiveDate::from_ymd_opt(2026, 2, 10).unwrap();
    let told = |fact: craft::fact::Fact| bench.edit(tag, OrderEdit::Told(day, fact)).unwrap();
    told(ClientFact::Answered.into());
    told(ClientFact::KitPosted.into());
    let received = CustodyFact::Received {
        lot: 1,
        material: Material::Ashes,
        seal: None,
        place: Place::Kept(3),
        photo: None,
        keep_back: third(),
    };
    told(received.into());
    told(CustodyFact::Opened { thing: Thing::wrapping(1), check: typed(tag) }.into());
    let keep_back = CustodyFact::SplitOff {
        from: Thing::wrapping(1),
        lot: 1,
        into: Thing::envelope(1),
        part: third(),
        keep_back: true,
        seal: None,
        place: Place::Kept(3),
    };
    told(keep_back.into());
    plan(bench, tag, &[(1, "B1"), (2, "B2")]);
    for no in [1, 2] {
        let stone = bench.order(tag).sheet.stone(no).unwrap().clone();
        told(PourFact::Begun { stone: no, mould: stone.mould, cell: stone.cell }.into());
        let to = Holder::Thing(Thing::stone(no));
        told(CustodyFact::Moved { from: Thing::wrapping(1), lot: 1, to, part: Share::of(1, 100) }.into());
        for (layer, planned) in (1_u8..).zip(&stone.plan.unwrap().layers) {
            let laid = PourFact::Laid {
                stone: no,
                layer,
                kind: LayerKind::Clear,
                thickness: planned.thickness,
                load: planned.load,
                amount: Amount::ToTheMark,
                bottle: id("clear-casting"),
                pigment: planned.load.is_positive().then(|| stone.pigment.clone()),
            };
            told(laid.into());
            told(PourFact::Felt { stone: no, layer, hardness: Hardness::Hard }.into());
        }
        told(PourFact::TakenOut { stone: no, place: Place::Kept(2) }.into());
    }
    told(CustodyFact::Closed { thing: Thing::wrapping(1), seal: None }.into());
    told(PourFact::OffcutsKept { bag: Thing::offcuts(1), place: Place::Kept(2) }.into());
}

#[test]
fn an_order_brought_in_half_done_goes_on_from_there_and_comes_home() {
    let bench = Bench::new();
    let tag = bench.open_order(3_000);
    tell_half_an_order(&bench, tag);
    assert_eq!(stage(&bench, tag), Stage::Made);
    show(&bench, tag, &[1, 2]);
    bench.fact(tag, ClientFact::Chosen(Choice::Stone(2)));
    bench.fact(tag, FitFact::Tried { stone: 2, feel: Feel::Flush });
    bench.fact(tag, FitFact::Set { stone: 2, piece: Thing::piece(1), place: Place::Kept(2) });
    let all = [Thing::wrapping(1), Thing::envelope(1), Thing::stone(1), Thing::offcuts(1), Thing::piece(1)];
    for thing in all {
        bench.fact(tag, HomeFact::Ticked { thing, check: typed(tag) });
    }
    assert!(bench.refused(tag, HomeFact::Sent).starts_with("the box has no photo"));
    bench.fact(tag, HomeFact::NotPhotographed);
    send_home(&bench, tag);
    let log = bench.order(tag).log;
    let told = log.entries().filter(|(_, entry)| entry.told.is_some()).count();
    let entered = log.entries().count() - told;
    assert!(told > 10 && entered > 10, "{told} told of, {entered} as they happened");
}

#[test]
fn none_of_these_begins_a_second_round_and_the_clients_yes_opens_the_keep_back() {
    let bench = Bench::new();
    let tag = bench.open_order(3_500);
    tell_half_an_order(&bench, tag);
    show(&bench, tag, &[1, 2]);
    bench.fact(tag, ClientFact::Chosen(Choice::NoneOfThese));
    assert_eq!(stage(&bench, tag), Stage::Here, "a second round is made");
    let early = CustodyFact::Opened { thing: Thing::envelope(1), check: typed(tag) };
    assert!(bench.refused(tag, early.clone()).contains("only after the client has said yes"));
    bench.fact(tag, CustodyFact::Released { thing: Thing::envelope(1) });
    bench.fact(tag, early);
    bench.fact(tag, CustodyFact::Closed { thing: Thing::envelope(1), seal: Some(Seal(9)) });
    // The cavities are free again for the second round.
    plan(&bench, tag, &[(3, "B1")]);
    let stone = bench.order(tag).sheet.stone(3).unwrap().clone();
    bench.fact(tag, PourFact::Begun { stone: 3, mould: stone.mould, cell: stone.cell });
}

#[test]
fn another_clients_packet_stays_shut_while_one_is_open() {
    let bench = Bench::new();
    let (one, other) = (bench.open_order(4_000), bench.open_order(5_000));
    for tag in [one, other] {
        bench.fact(
            tag,
            CustodyFact::Received {
                lot: 1,
                material: Material::Petals,
                seal: None,
                place: Place::Kept(1),
                photo: None,
                keep_back: third(),
            },
        );
    }
    bench.fact(one, CustodyFact::Opened { thing: Thing::wrapping(1), check: typed(one) });
    let opened = CustodyFact::Opened { thing: Thing::wrapping(1), check: typed(other) };
    let why = bench.refused(other, opened.clone());
    assert_eq!(
        why,
        format!("W1 of order {one} is open on the bench; close it before opening anything of {other}")
    );
    bench.fact(one, CustodyFact::Closed { thing: Thing::wrapping(1), seal: None });
    let wrong = CustodyFact::Opened { thing: Thing::wrapping(1), check: typed(one) };
    assert!(bench.refused(other, wrong).contains("put it back and take the right one"));
    bench.fact(other, opened);
}
