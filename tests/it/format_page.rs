//! `docs/format.md` tells people how to read a studio without this program, so its lines are held to the code.

use craft::digest::Digest;
use craft::fact::{
    Amount, Check, Choice, ClientFact, CustodyFact, Dimension, Drying, Fact, Feel, FitFact, FitWork,
    Hardness, Holder, HomeFact, How, LayerKind, LeftOut, Material, MessageKind, Mistake, PaperKind, PourFact,
    Press, Seal, Wish,
};
use craft::id::{StudioId, Thing};
use craft::log::{Entry, Log};
use craft::moment::{BootId, Moment};
use craft::place::Place;
use craft::reading::{Means, Reading};
use craft::tag::Tag;
use craft::units::{Length, Load, Mass, Share, Span};

const PAGE: &str = include_str!("../../docs/format.md");

fn tag() -> Tag {
    "A2B-C3H".parse().unwrap()
}

fn digest() -> Digest {
    Digest::of(b"")
}

/// The word each fact's text begins with. A new fact does not compile until it is named here, and then fails below
/// until the page explains it.
fn word(fact: &Fact) -> &'static str {
    match fact {
        Fact::Client(fact) => client_word(fact),
        Fact::Custody(fact) => custody_word(fact),
        Fact::Pour(fact) => pour_word(fact),
        Fact::Fit(fact) => match fact {
            FitFact::Measured { .. } => "measured",
            FitFact::Tried { .. } => "tried",
            FitFact::Worked { .. } => "worked",
            FitFact::Set { .. } => "set",
        },
        Fact::Home(fact) => match fact {
            HomeFact::Ticked { .. } => "ticked",
            HomeFact::Unticked { .. } => "unticked",
            HomeFact::LeftOut { .. } => "left-out",
            HomeFact::BoxPhotographed { .. } => "box-photographed",
            HomeFact::PaperIssued { .. } => "paper-issued",
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

fn client_word(fact: &ClientFact) -> &'static str {
    match fact {
        ClientFact::Answered => "answered",
        ClientFact::KitPosted => "kit-posted",
        ClientFact::MessageSent { .. } => "message-sent",
        ClientFact::ProofSent { .. } => "proof-sent",
        ClientFact::Chosen(_) => "chosen",
        ClientFact::CalledOff => "called-off",
        ClientFact::Thanked => "thanked",
        ClientFact::Instructed { .. } => "instructed",
    }
}

fn custody_word(fact: &CustodyFact) -> &'static str {
    match fact {
        CustodyFact::Received { .. } => "received",
        CustodyFact::CameAlong { .. } => "came-along",
        CustodyFact::SplitOff { .. } => "split-off",
        CustodyFact::Released { .. } => "released",
        CustodyFact::Opened { .. } => "opened",
        CustodyFact::Closed { .. } => "closed",
        CustodyFact::Placed { .. } => "placed",
        CustodyFact::Moved { .. } => "moved",
        CustodyFact::Weighed { .. } => "weighed",
        CustodyFact::WeighedOn { .. } => "weighed-on",
        CustodyFact::Judged { .. } => "judged",
        CustodyFact::Dried { .. } => "dried",
        CustodyFact::PassedOn { .. } => "passed-on",
        CustodyFact::TakenOver { .. } => "taken-over",
        CustodyFact::BenchCleared => "bench-cleared",
        CustodyFact::Lost { .. } => "lost",
        CustodyFact::Found { .. } => "found",
    }
}

fn pour_word(fact: &PourFact) -> &'static str {
    match fact {
        PourFact::Begun { .. } => "begun",
        PourFact::Laid { .. } => "laid",
        PourFact::LampOn { .. } => "lamp-on",
        PourFact::LampOff { .. } => "lamp-off",
        PourFact::Cooled { .. } => "cooled",
        PourFact::Felt { .. } => "felt",
        PourFact::TakenOut { .. } => "taken-out",
        PourFact::OffcutsKept { .. } => "offcuts-kept",
        PourFact::OffcutsCured { .. } => "offcuts-cured",
        PourFact::SetAside { .. } => "set-aside",
    }
}

/// How many words the four functions above know.
const WORDS: usize = 8 + 17 + 10 + 4 + 11 + 1;

fn client_facts() -> Vec<Fact> {
    let facts = [
        ClientFact::Answered,
        ClientFact::KitPosted,
        ClientFact::MessageSent { about: MessageKind::ArrivedSafely },
        ClientFact::ProofSent { stones: vec![1, 2], sheet: digest() },
        ClientFact::Chosen(Choice::Stone(2)),
        ClientFact::Chosen(Choice::NoneOfThese),
        ClientFact::CalledOff,
        ClientFact::Thanked,
        ClientFact::Instructed { thing: Thing::envelope(1), wish: Wish::Destroy },
    ];
    facts.map(Fact::from).into()
}

fn custody_facts() -> Vec<Fact> {
    let (wrapping, envelope) = (Thing::wrapping(1), Thing::envelope(1));
    let weight = Reading { value: Mass::from_mg(31.0), doubt: Mass::from_mg(0.5), by: Means::Scale };
    let (material, third) = (Material::Hair, Share::of(1, 3));
    let (seal, place) = (Some(Seal(4471)), Place::Kept(2));
    let check = Check { how: How::Scanned, tag: tag() };
    let facts = [
        CustodyFact::Received { lot: 1, material, seal, place: place.clone(), photo: None, keep_back: third },
        CustodyFact::CameAlong { thing: Thing::keepsake(1), place: place.clone(), photo: Some(digest()) },
        CustodyFact::SplitOff {
            from: wrapping,
            lot: 1,
            into: envelope,
            part: third,
            keep_back: true,
            seal: Some(Seal(4472)),
            place: place.clone(),
        },
        CustodyFact::Released { thing: envelope },
        CustodyFact::Opened { thing: wrapping, check },
        CustodyFact::Closed { thing: wrapping, seal: Some(Seal(4473)) },
        CustodyFact::Closed { thing: wrapping, seal: None },
        CustodyFact::Placed { thing: wrapping, place: Place::Bench },
        CustodyFact::Moved {
            from: wrapping,
            lot: 1,
            to: Holder::Thing(Thing::stone(1)),
            part: Share::of(1, 20),
        },
        CustodyFact::Moved { from: wrapping, lot: 1, to: Holder::Tools, part: Share::of(1, 1000) },
        CustodyFact::Weighed { thing: wrapping, reading: weight },
        CustodyFact::Lost { thing: envelope },
        CustodyFact::Found { thing: envelope, place: place.clone() },
        CustodyFact::WeighedOn {
            thing: wrapping,
            scale: "fine-scale".parse().unwrap(),
            reading: weight,
            air: Some(45),
        },
        CustodyFact::Judged { thing: wrapping, lot: 1, part: Share::of(1, 4), doubt: Share::of(1, 16) },
        CustodyFact::Dried { thing: wrapping, way: Drying::InAir, over: Span::from_s(172_800.0) },
        CustodyFact::PassedOn { thing: envelope, to: tag() },
        CustodyFact::TakenOver {
            lot: 2,
            material,
            of: tag(),
            thing: envelope,
            seal,
            place,
            keep_back: third,
        },
        CustodyFact::BenchCleared,
    ];
    facts.map(Fact::from).into()
}

fn pour_facts() -> Vec<Fact> {
    let (mould, cell) = ("oval-10x8".parse().unwrap(), "B2".parse().unwrap());
    let press = Press {
        lamp: "desk-lamp".parse().unwrap(),
        button: 1,
        seconds: Span::from_s(60.0),
        ramp: Span::from_s(1.5),
    };
    let facts = [
        PourFact::Begun { stone: 1, mould, cell },
        PourFact::Laid {
            stone: 1,
            layer: 1,
            kind: LayerKind::Material,
            thickness: Length::from_mm(0.8),
            load: Load::ZERO,
            amount: Amount::Drops(3),
            bottle: "clear-a".parse().unwrap(),
            pigment: None,
        },
        PourFact::OffcutsCured { bag: Thing::offcuts(1), press: press.clone(), hardness: Hardness::Hard },
        PourFact::LampOn { stones: vec![1, 2], press },
        PourFact::LampOff { on: 12, lit: Span::from_s(60.0) },
        PourFact::Cooled { stones: vec![1, 2] },
        PourFact::Felt { stone: 1, layer: 1, hardness: Hardness::Hard },
        PourFact::TakenOut { stone: 1, place: Place::Kept(2) },
        PourFact::OffcutsKept { bag: Thing::offcuts(1), place: Place::Kept(2) },
        PourFact::SetAside { stone: 2 },
    ];
    facts.map(Fact::from).into()
}

fn later_facts() -> Vec<Fact> {
    let wide = Reading { value: Length::from_mm(7.95), doubt: Length::from_mm(0.02), by: Means::Caliper };
    let fit = [
        FitFact::Measured { stone: 1, what: Dimension::Width, reading: wide },
        FitFact::Tried { stone: 1, feel: Feel::Proud },
        FitFact::Worked { stone: 1, work: FitWork::SandedBack },
        FitFact::Set { stone: 1, piece: Thing::piece(1), place: Place::Kept(2) },
    ];
    let home = [
        HomeFact::Ticked { thing: Thing::piece(1), check: Check { how: How::Typed, tag: tag() } },
        HomeFact::Unticked { thing: Thing::piece(1) },
        HomeFact::LeftOut { thing: Thing::envelope(1), why: LeftOut::HeldForClient },
        HomeFact::BoxPhotographed { photo: digest() },
        HomeFact::PaperIssued { paper: PaperKind::Packing, file: digest() },
        HomeFact::Sent,
        HomeFact::SentPart,
        HomeFact::Arrived,
        HomeFact::Fault { thing: Thing::piece(1) },
        HomeFact::NotPhotographed,
        HomeFact::CameBack { thing: Thing::piece(1), place: Place::Kept(2) },
    ];
    let mut facts: Vec<Fact> = fit.map(Fact::from).into();
    facts.extend(home.map(Fact::from));
    facts.push(Fact::Struck { entry: 7, why: Mistake::WrongNumber });
    facts
}

/// At least one of every kind of fact.
pub(crate) fn every_fact() -> Vec<Fact> {
    [client_facts(), custody_facts(), pour_facts(), later_facts()].concat()
}

#[test]
fn every_fact_stands_on_the_page_as_it_is_sealed() {
    let facts = every_fact();
    // A digest is too long for a table, and inside one a bar has to be escaped.
    let page = PAGE.replace("\\|", "|");
    let shown = |fact: &Fact| fact.to_string().replace(&digest().to_string(), "<digest>");
    let missing: Vec<String> =
        facts.iter().map(shown).filter(|text| !page.contains(&format!("`{text}`"))).collect();
    assert!(missing.is_empty(), "docs/format.md lacks:\n{}", missing.join("\n"));
    let mut words: Vec<_> = facts.iter().map(word).collect();
    for (fact, word) in facts.iter().zip(&words) {
        assert_eq!(fact.to_string().split('|').next(), Some(*word), "{fact}");
    }
    words.sort_unstable();
    words.dedup();
    assert_eq!(words.len(), WORDS, "every kind of fact has a line");
}

/// The record of the page's example: a lot came; the next day it is told that the enquiry was answered earlier.
fn example() -> (StudioId, Vec<Entry>) {
    let came = Moment {
        utc_ms: 1_774_744_200_000,
        offset_min: 60,
        boot: BootId(0x7f3a),
        since_boot_ms: 5_000,
        awake_ms: 4_000,
    };
    let later =
        Moment { utc_ms: came.utc_ms + 86_400_000, since_boot_ms: 86_405_000, awake_ms: 30_004_000, ..came };
    let answered = Some(Moment { utc_ms: came.utc_ms - 8 * 86_400_000, ..came }.day());
    let entry = |at, told, fact| Entry { at, told, fact, seal: Digest::default() };
    let mut entries = vec![
        entry(came, None, custody_facts().remove(0)),
        entry(later, answered, Fact::from(ClientFact::Answered)),
    ];
    let studio: StudioId = "bench-by-the-sea".parse().unwrap();
    let mut head = Log::origin(&studio, tag());
    for (number, entry) in (1_u32..).zip(&mut entries) {
        head = head.then(&Entry::line(number, &entry.at, entry.told, &entry.fact));
        entry.seal = head;
    }
    (studio, entries)
}

#[test]
fn the_worked_example_of_the_page_gives_the_seals_it_says() {
    let (studio, entries) = example();
    let mut wanted = vec![Log::origin(&studio, tag()).to_string()];
    for (number, entry) in (1_u32..).zip(&entries) {
        wanted.push(Entry::line(number, &entry.at, entry.told, &entry.fact));
        wanted.push(entry.seal.to_string());
    }
    let missing: Vec<_> = wanted.iter().filter(|text| !PAGE.contains(text.as_str())).collect();
    assert!(missing.is_empty(), "docs/format.md lacks:\n{missing:#?}");

    // The entries as the page writes them are a record that this program takes.
    let text = ron::to_string(&entries).unwrap();
    let log: Log = ron::from_str(&text).unwrap();
    assert_eq!(log.check(&studio, tag()), Ok(()));
    // In another studio, or under another tag, the same record does not hold.
    let elsewhere: StudioId = "another-bench".parse().unwrap();
    assert!(log.check(&elsewhere, tag()).is_err());
    let changed: Log = ron::from_str(&text.replace("Hair", "Fur")).unwrap();
    assert_eq!(changed.check(&studio, tag()).unwrap_err().entry, 1);
}

#[test]
fn the_entry_on_the_page_reads_as_the_entry_it_stands_for() {
    let (_, shown) = PAGE.split_once("<!-- entry -->\n```ron\n").expect("the page shows an entry");
    let (shown, _) = shown.split_once("```").unwrap();
    let entry: Entry = ron::from_str(shown).unwrap();
    assert_eq!(Some(&entry), example().1.first());
}
