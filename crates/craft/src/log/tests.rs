//! The record: golden lines, and that no slip passes.

use std::collections::BTreeSet;

use super::*;
use crate::fact::*;
use crate::id::{DocId, Thing};
use crate::order::Order;
use crate::place::Place;
use crate::reading::{Means, Reading};
use crate::refusal::Refusal;
use crate::studio::{Doc, Studio};
use crate::testing::*;
use crate::units::{Length, Load, Mass, Share, Span};

/// The digests and lines of [`every_fact`], fixed for good. The digests were computed independently from the lines by
/// `tests/reference/chain.py` (Python 3, hashlib), which knows nothing of this crate.
const GOLDEN: &str = include_str!("golden.txt");

fn client_facts() -> Vec<Fact> {
    let mut facts: Vec<Fact> = vec![ClientFact::Answered.into(), ClientFact::KitPosted.into()];
    facts.extend(MessageKind::ALL.map(|about| ClientFact::MessageSent { about }.into()));
    facts.extend([
        proof(&[1, 2, 3]).into(),
        chosen(2).into(),
        ClientFact::Chosen(Choice::NoneOfThese).into(),
        ClientFact::CalledOff.into(),
        ClientFact::Thanked.into(),
    ]);
    facts
}

fn custody_facts() -> Vec<Fact> {
    use CustodyFact::*;
    let (w1, e1, e2) = (Thing::wrapping(1), Thing::envelope(1), Thing::envelope(2));
    let materials = [
        Material::Hair,
        Material::Fur,
        Material::Ashes,
        Material::Petals,
        Material::Milk,
        Material::Cloth,
        Material::Earth,
    ];
    let mut facts: Vec<Fact> = (1..)
        .zip(materials)
        .map(|(lot, material)| {
            let seal = (lot == 1).then_some(Seal(20417));
            let photo = (lot == 1).then(|| Digest::of(b"photo"));
            Received { lot, material, seal, place: Place::Kept(1), photo, keep_back: AGREED }.into()
        })
        .collect();
    let photo = Some(Digest::of(b"collar"));
    facts.push(CameAlong { thing: Thing::keepsake(1), place: Place::Bench, photo }.into());
    for (into, keep_back, seal) in [(e1, true, Some(Seal(8))), (e2, false, None)] {
        let part = Share::of(1, 3);
        facts.push(SplitOff { from: w1, lot: 1, into, part, keep_back, seal, place: Place::Kept(2) }.into());
    }
    facts.push(Released { thing: e1 }.into());
    for how in [How::Typed, How::Scanned, How::Picked] {
        facts.push(Opened { thing: e1, check: Check { how, tag: tag(0) } }.into());
    }
    facts.push(Closed { thing: e1, seal: Some(Seal(9)) }.into());
    facts.push(closed(e2).into());
    let cavity = Place::Cavity { mould: item("oval"), cell: cell("B2") };
    let places =
        [Place::Kept(65535), Place::Bench, cavity, Place::Box, Place::Away, Place::Post, Place::Home];
    facts.extend(places.map(|place| Placed { thing: e1, place }.into()));
    let part = Share::from_millionths(1);
    facts.push(Moved { from: w1, lot: 1, to: Holder::Thing(Thing::stone(1)), part }.into());
    facts.push(Moved { from: w1, lot: 1, to: Holder::Tools, part }.into());
    for by in [Means::Scale, Means::Caliper, Means::ByEye] {
        let reading = Reading { value: Mass::from_mg(482.5), doubt: Mass::from_mg(0.7), by };
        facts.push(Weighed { thing: w1, reading }.into());
    }
    facts.push(Lost { thing: e1 }.into());
    facts.push(Found { thing: e1, place: Place::Kept(3) }.into());
    facts
}

fn pour_facts() -> Vec<Fact> {
    let kinds = [
        LayerKind::Material,
        LayerKind::Clear,
        LayerKind::Tinted,
        LayerKind::Swirled,
        LayerKind::Opaque,
        LayerKind::BackCoat,
        LayerKind::TopGloss,
        LayerKind::TopSatin,
    ];
    let amounts = [Amount::ToTheMark, Amount::Drops(4), Amount::Weighed(Mass::from_mg(31.25))];
    let mut facts: Vec<Fact> = vec![begun(1, "A1").into()];
    for ((layer, kind), amount) in (1..).zip(kinds).zip(amounts.into_iter().cycle()) {
        let (thickness, load) = (Length::from_mm(0.4), Load::from_percent(0.15));
        let (bottle, pigment) = (item("clear"), (layer > 2).then(|| item("night")));
        let laid = PourFact::Laid { stone: 1, layer, kind, thickness, load, amount, bottle, pigment };
        facts.push(laid.into());
    }
    let (lamp, seconds, ramp) = (item("box-lamp"), Span::from_s(99.0), Span::from_s(60.0));
    let press = Press { lamp, button: 2, seconds, ramp };
    facts.push(PourFact::LampOn { stones: vec![1, 2], press }.into());
    facts.push(lamp_off(7, 98.5).into());
    facts.push(PourFact::Cooled { stones: vec![1, 2] }.into());
    facts.extend([Hardness::Soft, Hardness::Tacky, Hardness::Hard].map(|hard| felt(1, 1, hard).into()));
    facts.push(taken_out(1).into());
    facts.push(PourFact::OffcutsKept { bag: Thing::offcuts(1), place: Place::Bench }.into());
    facts.push(PourFact::SetAside { stone: 2 }.into());
    facts
}

fn fit_and_home_facts() -> Vec<Fact> {
    let mut facts: Vec<Fact> = Vec::new();
    for what in [Dimension::Length, Dimension::Width, Dimension::Height, Dimension::Edge] {
        let (value, doubt) = (Length::from_mm(9.98), Length::from_mm(0.02));
        let reading = Reading { value, doubt, by: Means::Caliper };
        facts.push(FitFact::Measured { stone: 1, what, reading }.into());
    }
    let feels = [Feel::TooTight, Feel::Proud, Feel::Flush, Feel::Low, Feel::TooLoose];
    facts.extend(feels.map(|feel| FitFact::Tried { stone: 1, feel }.into()));
    let works = [FitWork::SandedEdge, FitWork::SandedBack, FitWork::BuiltUp, FitWork::Polished];
    facts.extend(works.map(|work| FitFact::Worked { stone: 1, work }.into()));
    facts.push(set(1).into());
    let thing = Thing::piece(1);
    facts.push(ticked(tag(0), thing).into());
    facts.push(HomeFact::Unticked { thing }.into());
    let whys = [LeftOut::HeldForClient, LeftOut::DestroyedOnRequest, LeftOut::ReturnedBefore];
    facts.extend(whys.map(|why| HomeFact::LeftOut { thing, why }.into()));
    facts.push(HomeFact::BoxPhotographed { photo: Digest::of(b"box") }.into());
    let file = Digest::of(b"paper");
    let papers = [PaperKind::Kit, PaperKind::Receipt, PaperKind::Proof, PaperKind::Packing, PaperKind::Care];
    facts.extend(papers.map(|paper| HomeFact::PaperIssued { paper, file }.into()));
    facts.extend([HomeFact::Sent.into(), HomeFact::Arrived.into(), HomeFact::Fault { thing }.into()]);
    facts.push(HomeFact::NotPhotographed.into());
    facts.push(HomeFact::CameBack { thing, place: Place::Bench }.into());
    let whys = [Mistake::DidNotHappen, Mistake::WrongThing, Mistake::WrongNumber];
    facts.extend(whys.map(|why| Fact::Struck { entry: 3, why }));
    facts
}

/// Kinds that came later stand after all others, so that no golden line ever changes.
fn later_facts() -> Vec<Fact> {
    use CustodyFact::*;
    let (w1, e1, b1) = (Thing::wrapping(1), Thing::envelope(1), Thing::offcuts(1));
    let mut facts: Vec<Fact> = Wish::ALL.map(|wish| instructed(e1, wish).into()).into();
    let reading = Reading { value: Mass::from_mg(482.5), doubt: Mass::from_mg(1.1), by: Means::Scale };
    for air in [Some(45), None] {
        facts.push(WeighedOn { thing: w1, scale: item("fine-scale"), reading, air }.into());
    }
    facts.push(Judged { thing: w1, lot: 1, part: Share::of(1, 4), doubt: Share::of(1, 16) }.into());
    let over = Span::from_s(172_800.0);
    facts.extend(Drying::ALL.map(|way| Dried { thing: w1, way, over }.into()));
    facts.push(PassedOn { thing: e1, to: tag(1) }.into());
    let (material, place, keep_back) = (Material::Hair, Place::Kept(2), AGREED);
    for seal in [Some(Seal(11)), None] {
        let place = place.clone();
        facts.push(TakenOver { lot: 2, material, of: tag(1), thing: e1, seal, place, keep_back }.into());
    }
    facts.push(BenchCleared.into());
    for hardness in [Hardness::Soft, Hardness::Tacky, Hardness::Hard] {
        let press = Press {
            lamp: item("box-lamp"),
            button: 2,
            seconds: Span::from_s(99.0),
            ramp: Span::from_s(60.0),
        };
        facts.push(PourFact::OffcutsCured { bag: b1, press, hardness }.into());
    }
    facts.push(HomeFact::SentPart.into());
    let (paper, file) = (PaperKind::Custody, Digest::of(b"paper"));
    facts.push(HomeFact::PaperIssued { paper, file }.into());
    facts
}

/// At least one fact of each kind, with every word that a line can hold.
fn every_fact() -> Vec<Fact> {
    [client_facts(), custody_facts(), pour_facts(), fit_and_home_facts(), later_facts(), newest_facts()]
        .concat()
}

/// What was added last stands last, so that no line before it changes.
fn newest_facts() -> Vec<Fact> {
    let came = |(lot, material)| {
        let (place, keep_back) = (Place::Kept(1), AGREED);
        CustodyFact::Received { lot, material, seal: None, place, photo: None, keep_back }.into()
    };
    (8..).zip([Material::Feather, Material::Other]).map(came).collect()
}

fn custody_kind(fact: &CustodyFact) -> &'static str {
    match fact {
        CustodyFact::Received { .. } => "received",
        CustodyFact::CameAlong { .. } => "came along",
        CustodyFact::SplitOff { .. } => "split off",
        CustodyFact::Released { .. } => "released",
        CustodyFact::Opened { .. } => "opened",
        CustodyFact::Closed { .. } => "closed",
        CustodyFact::Placed { .. } => "placed",
        CustodyFact::Moved { .. } => "moved",
        CustodyFact::Weighed { .. } => "weighed",
        CustodyFact::WeighedOn { .. } => "weighed on",
        CustodyFact::Judged { .. } => "judged",
        CustodyFact::Dried { .. } => "dried",
        CustodyFact::PassedOn { .. } => "passed on",
        CustodyFact::TakenOver { .. } => "taken over",
        CustodyFact::BenchCleared => "bench cleared",
        CustodyFact::Lost { .. } => "lost",
        CustodyFact::Found { .. } => "found",
    }
}

/// Names the kind of a fact. A new kind does not compile here until it has a golden line.
fn kind(fact: &Fact) -> &'static str {
    match fact {
        Fact::Client(fact) => match fact {
            ClientFact::Answered => "answered",
            ClientFact::KitPosted => "kit posted",
            ClientFact::MessageSent { .. } => "message sent",
            ClientFact::ProofSent { .. } => "proof sent",
            ClientFact::Chosen(Choice::Stone(_)) => "chosen",
            ClientFact::Chosen(Choice::NoneOfThese) => "none chosen",
            ClientFact::CalledOff => "called off",
            ClientFact::Thanked => "thanked",
            ClientFact::Instructed { .. } => "instructed",
        },
        Fact::Custody(fact) => custody_kind(fact),
        Fact::Pour(fact) => match fact {
            PourFact::Begun { .. } => "begun",
            PourFact::Laid { .. } => "laid",
            PourFact::LampOn { .. } => "lamp on",
            PourFact::LampOff { .. } => "lamp off",
            PourFact::Cooled { .. } => "cooled",
            PourFact::Felt { .. } => "felt",
            PourFact::TakenOut { .. } => "taken out",
            PourFact::OffcutsKept { .. } => "offcuts kept",
            PourFact::OffcutsCured { .. } => "offcuts cured",
            PourFact::SetAside { .. } => "set aside",
        },
        Fact::Fit(fact) => match fact {
            FitFact::Measured { .. } => "measured",
            FitFact::Tried { .. } => "tried",
            FitFact::Worked { .. } => "worked",
            FitFact::Set { .. } => "set",
        },
        Fact::Home(fact) => match fact {
            HomeFact::Ticked { .. } => "ticked",
            HomeFact::Unticked { .. } => "unticked",
            HomeFact::LeftOut { .. } => "left out",
            HomeFact::BoxPhotographed { .. } => "box photographed",
            HomeFact::PaperIssued { .. } => "paper issued",
            HomeFact::Sent => "sent",
            HomeFact::SentPart => "sent-part",
            HomeFact::Arrived => "arrived",
            HomeFact::Fault { .. } => "fault",
            HomeFact::NotPhotographed => "not-photographed",
            HomeFact::CameBack { .. } => "came-back",
        },
        Fact::Struck { .. } => "struck",
    }
}

/// Every fact, one minute apart; each third one is told of.
fn every_entry() -> Log {
    let studio = policies().studio;
    let mut log = Log::default();
    for (minute, fact) in (1..).zip(every_fact()) {
        let told = (minute % 3 == 0).then(|| day(1));
        log.push(log.head(&studio, tag(0)), at(minute), told, fact);
    }
    log
}

fn golden() -> Vec<(String, String)> {
    GOLDEN
        .lines()
        .map(|line| {
            let (seal, line) = line.split_once("  ").unwrap();
            (seal.to_owned(), line.to_owned())
        })
        .collect()
}

#[test]
fn every_kind_of_fact_has_a_golden_line() {
    let kinds: BTreeSet<&str> = every_fact().iter().map(kind).collect();
    assert_eq!(kinds.len(), 9 + 17 + 10 + 4 + 11 + 1, "{kinds:?}");
}

#[test]
fn the_lines_and_digests_of_the_record_are_fixed_for_good() {
    let log = every_entry();
    let studio = policies().studio;
    let lines: Vec<String> = log
        .entries()
        .map(|(number, entry)| Entry::line(number, &entry.at, entry.told, &entry.fact))
        .collect();
    let golden = golden();
    assert_eq!(golden.len(), lines.len() + 1, "the first golden line is the origin");
    assert_eq!(golden[0].1, format!("heldfast record 1|{studio}|{}", tag(0)));
    assert_eq!(golden[0].0, Log::origin(&studio, tag(0)).to_string());
    for ((line, (_, entry)), (seal, wanted)) in lines.iter().zip(log.entries()).zip(&golden[1..]) {
        assert_eq!(line, wanted);
        assert_eq!(entry.seal.to_string(), *seal, "{line}");
    }
    // Computed independently with Python's hashlib by tests/reference/chain.py.
    let head = "907694f57b1d285af592eb1c4ede95132fa3f38dfdf076d052eced8761e7eace";
    assert_eq!(log.head(&studio, tag(0)).to_string(), head);
    assert_eq!(log.check(&studio, tag(0)), Ok(()));
}

#[test]
fn no_two_facts_share_a_line() {
    let lines: BTreeSet<String> = every_fact().iter().map(Fact::to_string).collect();
    assert_eq!(lines.len(), every_fact().len());
}

#[test]
fn no_fact_names_two_orders_and_only_four_kinds_name_any() {
    // A thing has no tag of its own in a fact, so a fact is about things of the order whose record it stands in. The tag
    // read off a packet is held against that order, and what goes over between two orders names one other.
    for fact in every_fact() {
        let text = fact.to_string();
        let tags =
            text.split(['|', ' ']).filter(|word| word.contains('-') && word.parse::<Tag>().is_ok()).count();
        let names =
            ["opened", "ticked", "passed-on", "taken-over"].contains(&text.split('|').next().unwrap());
        assert_eq!(tags, usize::from(names), "{text}");
    }
}

#[test]
fn a_record_cut_short_is_a_record_as_it_was() {
    let log = every_entry();
    let studio = policies().studio;
    for entries in [0, 1, 40, log.len(), log.len() + 9] {
        let short = log.up_to(entries);
        assert_eq!(short.len(), entries.min(log.len()));
        assert_eq!(short.is_empty(), entries == 0);
        assert_eq!(short.check(&studio, tag(0)), Ok(()));
        assert!(log.continues(&short));
    }
}

#[test]
fn a_record_kept_without_its_seals_gets_back_those_it_had() {
    let (log, studio) = (every_entry(), policies().studio);
    let mut bare = log.clone();
    for entry in &mut bare.0 {
        entry.seal = Digest::default();
    }
    assert!(bare.check(&studio, tag(0)).is_err());
    assert_eq!(bare.clone().sealed_anew(&studio, tag(0)), log);
    // Of another order it gets others, and of what is no longer what was sealed as well.
    assert_ne!(bare.clone().sealed_anew(&studio, tag(1)), log);
    bare.0.remove(3);
    assert!(!log.continues(&bare.sealed_anew(&studio, tag(0))));
}

#[test]
fn a_line_says_when_in_full() {
    let line = Entry::line(1, &at(1), None, &ClientFact::Answered.into());
    let boot = "00000000000000000000000000000007";
    assert_eq!(line, format!("1|2026-03-02T09:01:00.000Z|60|{boot}|660000|560000|-|answered"));
    let told = Entry::line(1, &at(1), Some(day(1)), &ClientFact::Answered.into());
    assert_eq!(told, format!("1|2026-03-02T09:01:00.000Z|60|{boot}|660000|560000|2026-03-01|answered"));
}

#[test]
fn entries_taken_out_doubled_swapped_or_cut_short_in_front_are_noticed() {
    let studio = policies().studio;
    let whole = every_entry();
    let broken = |change: &dyn Fn(&mut Vec<Entry>)| {
        let mut log = whole.clone();
        change(&mut log.0);
        log.check(&studio, tag(0))
    };
    let last = whole.0.len() - 1;
    for place in 0..last {
        let entry = u32::try_from(place + 1).unwrap();
        assert_eq!(broken(&|all| drop(all.remove(place))), Err(BrokenChain { entry }));
        assert_eq!(broken(&|all| all.swap(place, place + 1)), Err(BrokenChain { entry }));
        let doubled = broken(&|all| all.insert(place, all[place].clone()));
        assert_eq!(doubled, Err(BrokenChain { entry: entry + 1 }));
    }
    assert_eq!(broken(&|all| all.truncate(last)), Ok(()), "an older copy is whole in itself: see the heads");
    let mut shorter = whole.clone();
    shorter.0.truncate(last);
    assert!(whole.continues(&shorter) && !shorter.continues(&whole), "so a longer record is told from it");
    let said = BrokenChain { entry: 4 }.to_string();
    let sentence = "entry 4 of the record does not follow from the one before it; the file was changed by hand or \
                    comes from elsewhere";
    assert_eq!(said, sentence);
}

/// The broken rule: each seal covers its own line only.
fn unchained(lines: &[String]) -> Vec<Digest> {
    lines.iter().map(|line| Digest::of(line.as_bytes())).collect()
}

#[test]
fn a_digest_of_the_line_alone_would_not_notice_an_entry_taken_out() {
    let line = |(number, entry): (u32, &Entry)| Entry::line(number, &entry.at, entry.told, &entry.fact);
    let log = every_entry();
    let lines: Vec<String> = log.entries().map(line).collect();
    let (mut fewer, mut seals) = (lines.clone(), unchained(&lines));
    fewer.remove(3);
    seals.remove(3);
    assert_eq!(unchained(&fewer), seals, "the broken rule finds the shortened record whole");
    let mut shortened = log;
    shortened.0.remove(3);
    assert!(shortened.check(&policies().studio, tag(0)).is_err());
}

#[test]
fn a_chain_that_does_not_begin_with_the_studio_would_take_another_studios_record() {
    let log = every_entry();
    let broken_origin = Digest::default();
    let mut head = broken_origin;
    for (number, entry) in log.entries() {
        head = head.then(&Entry::line(number, &entry.at, entry.told, &entry.fact));
    }
    // The broken chain's head depends on nothing but the lines, so it is the same in every studio and order.
    assert_ne!(head, log.head(&policies().studio, tag(0)));
    assert!(log.check(&"other-room".parse().unwrap(), tag(0)).is_err());
    assert!(log.check(&policies().studio, tag(1)).is_err());
}

fn small_order() -> Order {
    let mut bench = Bench::unpacked();
    bench.record(closed(Thing::wrapping(1)));
    let mut order = bench.held().order.clone();
    order.sheet = sheet(&[]);
    order
}

/// What the record vouches for: whose it is and what happened. The sheet and the story are words and change freely.
fn vouched(order: &Order) -> (&Log, Tag, &StudioId) {
    (&order.log, order.tag, &order.studio)
}

fn taken(order: Order) -> Result<(), Refusal> {
    Studio::new(policies()).take(Doc::Order(Box::new(order)))
}

#[test]
fn no_single_changed_byte_changes_what_the_record_vouches_for() {
    let order = small_order();
    let text = ron::to_string(&order).unwrap();
    let (mut unread, mut refused, mut words) = (0, 0, 0);
    for place in 0..text.len() {
        for flip in (0..8).map(|bit| 1_u8 << bit).chain([0x11, 0x0f]) {
            let mut bytes = text.clone().into_bytes();
            bytes[place] ^= flip;
            let read = std::str::from_utf8(&bytes).ok().and_then(|text| ron::from_str::<Order>(text).ok());
            let Some(read) = read else {
                unread += 1;
                continue;
            };
            let changed = String::from_utf8_lossy(&bytes).into_owned();
            if taken(read.clone()).is_err() {
                refused += 1;
            } else {
                assert_eq!(vouched(&read), vouched(&order), "{changed}");
                words += 1;
            }
        }
    }
    assert!(unread > 1_000 && refused > 100 && words > 0, "{unread} {refused} {words}");
}

#[test]
fn every_single_byte_of_an_entry_is_covered() {
    let order = small_order();
    let text = ron::to_string(&order).unwrap();
    let from = text.find("log:").unwrap();
    for place in from..text.len() {
        for other in b"0179aAzZ-".iter().filter(|other| text.as_bytes()[place] != **other) {
            let mut bytes = text.clone().into_bytes();
            bytes[place] = *other;
            let Ok(read) = ron::from_str::<Order>(std::str::from_utf8(&bytes).unwrap()) else { continue };
            if taken(read.clone()).is_ok() {
                assert_eq!(read, order, "byte {place} as {}", char::from(*other));
            }
        }
    }
}

#[test]
fn an_order_carried_into_another_studio_is_left_alone() {
    let mut order = small_order();
    order.studio = "other-room".parse().unwrap();
    let said = taken(order).unwrap_err().to_string();
    let sentence = "this file says it is studio other-room, and it lies where studio quiet-room belongs; it comes from \
                    elsewhere and is left alone";
    assert_eq!(said, sentence);
}

#[test]
fn an_order_that_is_made_to_look_like_this_studios_is_refused_by_its_chain() {
    let mut bench = Bench::new();
    bench.record(received(1));
    let mut settings = policies();
    settings.studio = "other-room".parse().unwrap();
    let mut other = Studio::new(settings);
    let mut order = bench.held().order.clone();
    order.studio = "other-room".parse().unwrap();
    let why = other.take(Doc::Order(Box::new(order))).unwrap_err();
    assert!(matches!(&why, Refusal::Locked { doc: DocId::Order(_), .. }));
    assert!(
        why.to_string().starts_with("entry 1 of the record does not follow from the one before it"),
        "{why}"
    );
}

#[test]
fn an_order_renamed_to_another_tag_is_refused() {
    let mut order = small_order();
    order.tag = tag(1);
    let why = taken(order).unwrap_err();
    let sentence = "entry 1 of the record does not follow from the one before it; the file was changed by hand or \
                    comes from elsewhere";
    assert_eq!(why.to_string(), sentence);
    assert_eq!(why.remedy(), None);
}

#[test]
fn a_record_that_is_whole_but_breaks_a_rule_is_refused_with_the_rule() {
    let mut order = small_order();
    let head = order.log.head(&order.studio, order.tag);
    order.log.push(head, at(90), None, moved(1, AGREED).into());
    let why = taken(order).unwrap_err();
    let sentence = "entry 5 of the record does not fit: W1 is closed; open it first, reading its tag";
    assert_eq!(why.to_string(), sentence);
}

#[test]
fn words_out_of_order_are_refused() {
    let order = small_order();
    let words = "[(about:Page(Pack),text:\"b\"),(about:Entry(1),text:\"a\")]";
    let text = ron::to_string(&order).unwrap().replace("story:[]", &format!("story:{words}"));
    let why = taken(ron::from_str(&text).unwrap()).unwrap_err();
    assert_eq!(why.to_string(), "the words of the story are out of order or stand twice");
}
