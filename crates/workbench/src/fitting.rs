//! Making a stone sit: what is known of stone and setting, put together, and what is to be done now.

use craft::fact::{Dimension, Fact, Feel, FitFact};
use craft::fit::{
    Clearance, FitError, FitReport, Misfit, SettingMeasures, StoneMeasures, Tightness, fit_by_caliper,
    fit_by_feel, misfit, wall_over_edge,
};
use craft::fit::{Feel as SeatFeel, Stand};
use craft::geometry::Outline;
use craft::id::{ShelfId, Thing, ThingKind};
use craft::ledger::StoneFit;
use craft::log::Entry;
use craft::order::{Errand, ErrandKind};
use craft::place::Place;
use craft::reading::{Means, Reading};
use craft::ring::{RingSize, RingSystem, inner_circumference};
use craft::shelf::{Setting, What};
use craft::studio::{Held, Studio};
use craft::units::Length;

use crate::present::record::standing;
use crate::typed;

/// What is to be done now at the setting.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FitStep {
    /// No stone is chosen.
    NotChosen,
    /// It still lies in its mould.
    InMould,
    /// It is lost, in the box, or gone.
    NotHere,
    /// Try it in its setting, or measure it.
    Try,
    /// It does not sit yet, and this is how it sat.
    Work(Feel),
    /// Something was done since it was tried: try it again.
    TryAgain(Feel),
    /// It sits flush.
    Sits,
    /// It is set into this piece.
    Set(Thing),
}

/// The stones that are to be set, or are: those the client chose.
pub fn stones(held: &Held) -> Vec<u8> {
    let mut all: Vec<u8> = held.ledger.client.chosen().chain(held.ledger.fit.set.keys().copied()).collect();
    all.sort_unstable();
    all.dedup();
    all
}

/// What is to be done now with stone `no`. `worked` counts the work since it was last tried.
pub fn step(held: &Held, no: u8) -> FitStep {
    if let Some(piece) = held.ledger.fit.set.get(&no) {
        return FitStep::Set(*piece);
    }
    let here = held.ledger.custody.things.get(&Thing::stone(no));
    if !here.is_some_and(|held| held.is_here() && held.place != Place::Box) {
        return FitStep::NotHere;
    }
    if held.ledger.pours.stones.get(&no).is_some_and(|stone| !stone.taken_out) {
        return FitStep::InMould;
    }
    let fit = held.ledger.fit.stones.get(&no);
    match fit.and_then(|fit| fit.tried.last()) {
        None => FitStep::Try,
        Some(Feel::Flush) if !worked_since(held, no) => FitStep::Sits,
        Some(feel) if worked_since(held, no) => FitStep::TryAgain(*feel),
        Some(feel) => FitStep::Work(*feel),
    }
}

/// What was recorded about the fit of a stone, other than measures, and still counts: each entry with its number, the
/// oldest first.
pub fn steps(held: &Held, no: u8) -> Vec<(u32, &FitFact)> {
    standing(held)
        .into_iter()
        .filter_map(|(number, entry)| match &entry.fact {
            Fact::Fit(
                fact @ (FitFact::Tried { stone, .. }
                | FitFact::Worked { stone, .. }
                | FitFact::Set { stone, .. }),
            ) if *stone == no => Some((number, fact)),
            _ => None,
        })
        .collect()
}

/// The last step of [`steps`], where it can be struck as a mistake: nothing may rest on it. Nothing rests on how a stone
/// sat; on its being set rests whatever happened to the piece.
pub fn last_to_strike(held: &Held, no: u8) -> Option<u32> {
    let (number, fact) = steps(held, no).pop()?;
    let rests = |entry: &Entry| matches!(entry.fact, Fact::Custody(_) | Fact::Fit(_) | Fact::Home(_));
    let later = || standing(held).into_iter().any(|(other, entry)| other > number && rests(entry));
    (!matches!(fact, FitFact::Set { .. }) || !later()).then_some(number)
}

/// True where something was done to a stone after it was last tried, other than polishing.
fn worked_since(held: &Held, no: u8) -> bool {
    let last = standing(held).into_iter().rev().find_map(|(_, entry)| match &entry.fact {
        Fact::Fit(FitFact::Tried { stone, .. }) if *stone == no => Some(false),
        Fact::Fit(FitFact::Worked { stone, work }) if *stone == no => {
            (*work != craft::fact::FitWork::Polished).then_some(true)
        }
        _ => None,
    });
    last.unwrap_or(false)
}

/// The setting from the shelf, where the order has one.
pub fn setting<'a>(studio: &'a Studio, held: &Held) -> Option<&'a Setting> {
    match &studio.shelf().get(held.order.sheet.setting.as_ref()?)?.what {
        What::Setting(setting) => Some(setting),
        _ => None,
    }
}

/// A mould whose stones the order's setting does not take, and what would be right.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Unmatched<'a> {
    /// The stones that are meant for it, or lie in it.
    pub stones: Vec<u8>,
    /// The mould.
    pub mould: &'a ShelfId,
    /// The stone it makes, from the front.
    pub outline: Outline,
    /// What is wrong.
    pub misfit: Misfit,
    /// The moulds in use whose stones the setting takes.
    pub moulds: Vec<&'a ShelfId>,
    /// The settings in use that take this mould's stones.
    pub settings: Vec<&'a ShelfId>,
}

/// The moulds of the order that its setting does not take: those of the stones the client chose, else of all stones on
/// the sheet. A stone that was tried and sits, or is set, is past this question.
pub fn unmatched<'a>(studio: &'a Studio, held: &'a Held) -> Vec<Unmatched<'a>> {
    let Some(setting) = setting(studio, held) else { return Vec::new() };
    let chosen = stones(held);
    let sits = |no: u8| {
        let fit = held.ledger.fit.stones.get(&no);
        held.ledger.fit.set.contains_key(&no) || fit.is_some_and(|fit| fit.tried.last() == Some(&Feel::Flush))
    };
    let mut all: Vec<Unmatched<'a>> = Vec::new();
    for stone in held.order.sheet.client_stones() {
        if (!chosen.is_empty() && !chosen.contains(&stone.no)) || sits(stone.no) {
            continue;
        }
        if let Some(known) = all.iter_mut().find(|known| *known.mould == stone.mould) {
            known.stones.push(stone.no);
            continue;
        }
        let Ok(cavity) = studio.cavity_of(stone) else { continue };
        let outline = cavity.outline();
        let Some(wrong) = misfit(&setting.opening, &outline) else { continue };
        all.push(Unmatched {
            stones: vec![stone.no],
            mould: &stone.mould,
            misfit: wrong,
            moulds: in_use(studio, |what| match what {
                What::Mould(mould) => misfit(&setting.opening, &mould.cavity.outline()).is_none(),
                _ => false,
            }),
            settings: in_use(studio, |what| match what {
                What::Setting(setting) => misfit(&setting.opening, &outline).is_none(),
                _ => false,
            }),
            outline,
        });
    }
    all
}

/// What is in use on the shelf and is so.
fn in_use(studio: &Studio, is: impl Fn(&What) -> bool) -> Vec<&ShelfId> {
    studio.shelf().iter().filter(|(_, item)| !item.retired && is(&item.what)).map(|(id, _)| id).collect()
}

/// How sure the sizes of a setting on the shelf are: one standard deviation. Common practice, no source.
const SETTING_DOUBT: Length = Length::from_micro(30_000);
/// How far the wall is to grip in over the stone. Within the usual 0.2–0.5 mm; from memory, no published figure was
/// found.
const USUAL_GRIP: Length = Length::from_micro(300_000);

/// How the measures compare with the setting; none before the stone is measured, or without a setting.
#[derive(Clone, Debug, PartialEq)]
pub struct Compared {
    /// Along and across; the height only where `has_height`.
    pub report: FitReport,
    /// The edge was measured, so that the height can be told.
    pub has_height: bool,
    /// One measure counts for both ways.
    pub is_round: bool,
}

/// Compares a stone as measured with the setting on the shelf.
///
/// # Errors
/// What cannot be right about the measures.
pub fn compared(studio: &Studio, held: &Held, no: u8) -> Option<Result<Compared, FitError>> {
    let setting = setting(studio, held)?;
    let fit = held.ledger.fit.stones.get(&no)?;
    let cavity = studio.cavity_of(held.order.sheet.stone(no)?).ok()?;
    let is_round = setting.opening.length() == setting.opening.width();
    let read = |what| fit.measured.get(&what).copied();
    let (length, width) = (read(Dimension::Length), read(Dimension::Width));
    let (length, width) = if is_round {
        let one = length.or(width)?;
        (length.unwrap_or(one), width.unwrap_or(one))
    } else {
        (length?, width?)
    };
    let shelf = |value| Reading { value, doubt: SETTING_DOUBT, by: Means::Caliper };
    let edge = read(Dimension::Edge);
    // Without its edge the height is not told; the mould's own wall only fills the place.
    let edge_or = edge.unwrap_or(shelf(cavity.wall_height().max(Length::from_micro(1))));
    let stone = StoneMeasures { length, width, edge: edge_or };
    Some(wall_over_edge(&cavity, USUAL_GRIP).and_then(|over| {
        let setting = SettingMeasures {
            length: shelf(setting.opening.length()),
            width: shelf(setting.opening.width()),
            wall: shelf(setting.wall),
            over_edge: over.wall,
        };
        let report = fit_by_caliper(&stone, &setting, Clearance::default())?;
        Ok(Compared { report, has_height: edge.is_some(), is_round })
    }))
}

/// What to do after the stone was tried and sat like this: one small step.
pub fn by_feel(feel: Feel) -> FitReport {
    let side = match feel {
        Feel::TooTight => Tightness::Tight,
        Feel::TooLoose => Tightness::Loose,
        Feel::Proud | Feel::Flush | Feel::Low => Tightness::Right,
    };
    let height = match feel {
        Feel::Proud => Stand::Proud,
        Feel::Low => Stand::Low,
        Feel::TooTight | Feel::Flush | Feel::TooLoose => Stand::Flush,
    };
    fit_by_feel(SeatFeel { along: side, across: side, height })
}

/// What was measured of a stone, newest reading of each.
pub fn measured(held: &Held, no: u8, what: Dimension) -> Option<Reading<Length>> {
    held.ledger.fit.stones.get(&no).and_then(|fit| fit.measured.get(&what)).copied()
}

/// What is known of a stone's fit.
pub fn known(held: &Held, no: u8) -> Option<&StoneFit> {
    held.ledger.fit.stones.get(&no)
}

/// The piece a stone goes into next: the one of the order, or a new one.
pub fn piece(held: &Held) -> Thing {
    let custody = &held.ledger.custody;
    let here = custody
        .things
        .iter()
        .find(|(thing, kept)| thing.kind == ThingKind::Piece && kept.is_here() && kept.place != Place::Box);
    here.map_or_else(|| custody.next_free(ThingKind::Piece), |(thing, _)| *thing)
}

/// The errands that hold the setting up, and then the others: what is not back yet.
pub fn errands(held: &Held) -> Vec<&Errand> {
    let mut open: Vec<&Errand> =
        held.order.sheet.errands.iter().filter(|errand| errand.back.is_none()).collect();
    open.sort_by_key(|errand| errand.kind != ErrandKind::Setting);
    open
}

/// Words that name a way of giving ring sizes, in small letters.
const SYSTEMS: [(&str, RingSystem); 20] = [
    ("uk", RingSystem::Letters),
    ("ireland", RingSystem::Letters),
    ("irish", RingSystem::Letters),
    ("australian", RingSystem::Letters),
    ("us", RingSystem::American),
    ("usa", RingSystem::American),
    ("american", RingSystem::American),
    ("canadian", RingSystem::American),
    ("japan", RingSystem::Japanese),
    ("japanese", RingSystem::Japanese),
    ("iso", RingSystem::Circumference),
    ("eu", RingSystem::Circumference),
    ("german", RingSystem::Circumference),
    ("french", RingSystem::Circumference),
    ("austrian", RingSystem::Circumference),
    ("circumference", RingSystem::Circumference),
    ("italian", RingSystem::LessForty),
    ("italy", RingSystem::LessForty),
    ("spanish", RingSystem::LessForty),
    ("swiss", RingSystem::LessForty),
];

/// Words that say an inner diameter in mm is meant.
const DIAMETERS: [&str; 4] = ["inside", "diameter", "across", "dutch"];

/// The inner circumference that a ring size on the sheet means, where it names its system: "UK size S, measured twice",
/// "17.5 mm inside".
pub fn ring(text: &str) -> Option<Length> {
    let words: Vec<String> = text
        .split([' ', ';', ':', '(', ')'])
        .map(|word| word.trim_end_matches([',', '.']).to_owned())
        .filter(|word| !word.is_empty())
        .collect();
    let small: Vec<String> = words.iter().map(|word| word.to_lowercase()).collect();
    if small.iter().any(|word| DIAMETERS.contains(&word.as_str())) {
        let diameter = words.iter().find_map(|word| diameter(word))?;
        return Some(inner_circumference(diameter));
    }
    let named = small.iter().enumerate().find_map(|(place, word)| {
        SYSTEMS.iter().find(|(name, _)| name == word).map(|(_, system)| (place, *system))
    });
    let (place, system) = named?;
    // The size stands after its system, with or without the word "size" between; a half may stand apart.
    let after = words.get(place + 1..)?.iter().skip_while(|word| word.eq_ignore_ascii_case("size"));
    let after: Vec<&str> = after.map(String::as_str).take(2).collect();
    let apart = RingSize::parse(&after.join(" "), system).ok();
    let size = apart.or_else(|| RingSize::parse(after.first()?, system).ok())?;
    Some(size.circumference)
}

/// An inner diameter in mm that a finger can have.
fn diameter(word: &str) -> Option<Length> {
    const PARTS: [(char, &str); 3] = [('¼', ".25"), ('½', ".5"), ('¾', ".75")];
    let mut plain = word.trim_end_matches("mm").to_owned();
    for (sign, decimal) in PARTS {
        plain = plain.replace(sign, decimal);
    }
    let read = typed::length(&plain).ok()?.value;
    (Length::from_mm(12.0)..=Length::from_mm(26.0)).contains(&read).then_some(read)
}

/// The sizes of one system near a circumference, as ticks on the common axis.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RingScale {
    /// The system.
    pub system: RingSystem,
    /// Each size within `around` of the circumference, the smallest first.
    pub ticks: Vec<(String, Length)>,
}

/// Every system's sizes within `around` of a circumference.
pub fn ring_scales(circumference: Length, around: Length) -> Vec<RingScale> {
    // Finer than the closest two sizes of any system, quarters of a US size: 0.64 mm.
    const STEP: Length = Length::from_micro(200_000);
    let scale = |system: RingSystem| {
        let mut ticks: Vec<(String, Length)> = Vec::new();
        let mut at = circumference - around;
        while at <= circumference + around {
            if let Ok(size) = system.nearest(at)
                && (size.circumference - circumference).abs() <= around
                && ticks.last().is_none_or(|(token, _)| *token != size.token)
            {
                ticks.push((size.token, size.circumference));
            }
            at = at + STEP;
        }
        RingScale { system, ticks }
    };
    RingSystem::ALL.into_iter().map(scale).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::present::sample::{Bench, bench};
    use craft::fact::{CustodyFact, FitWork, Mistake};
    use craft::fit::{Remedy, Seating};
    use craft::stage::Stage;
    use craft::studio::{Edit, OrderEdit, ShelfEdit};

    fn held(bench: &Bench) -> &Held {
        bench.studio.order(bench.tag).unwrap()
    }

    fn measure(bench: &mut Bench, what: Dimension, value_mm: f64) {
        let doubt = Length::from_mm(0.01);
        let reading = Reading { value: Length::from_mm(value_mm), doubt, by: Means::Caliper };
        bench.record(FitFact::Measured { stone: 1, what, reading });
    }

    #[test]
    fn the_step_follows_from_what_was_tried_and_done() {
        let mut bench = bench(Stage::Chosen);
        assert_eq!(stones(held(&bench)), [1]);
        assert_eq!(step(held(&bench), 1), FitStep::Try);
        bench.record(FitFact::Tried { stone: 1, feel: Feel::Proud });
        assert_eq!(step(held(&bench), 1), FitStep::Work(Feel::Proud));
        bench.record(FitFact::Worked { stone: 1, work: FitWork::SandedBack });
        assert_eq!(step(held(&bench), 1), FitStep::TryAgain(Feel::Proud));
        bench.record(FitFact::Tried { stone: 1, feel: Feel::Flush });
        assert_eq!(step(held(&bench), 1), FitStep::Sits);
        bench.record(FitFact::Worked { stone: 1, work: FitWork::Polished });
        assert_eq!(step(held(&bench), 1), FitStep::Sits, "polishing does not change how it sits");
        bench.record(FitFact::Worked { stone: 1, work: FitWork::SandedEdge });
        assert_eq!(step(held(&bench), 1), FitStep::TryAgain(Feel::Flush));
        let piece = piece(held(&bench));
        bench.record(FitFact::Set { stone: 1, piece, place: Place::Bench });
        assert_eq!(step(held(&bench), 1), FitStep::Set(Thing::piece(1)));
        assert_eq!(step(held(&bench), 9), FitStep::NotHere);
    }

    #[test]
    fn the_last_step_can_be_struck_until_something_rests_on_it() {
        let mut bench = bench(Stage::Chosen);
        assert_eq!(last_to_strike(held(&bench), 1), None);
        bench.record(FitFact::Tried { stone: 1, feel: Feel::Proud });
        bench.record(FitFact::Tried { stone: 1, feel: Feel::Flush });
        assert_eq!(steps(held(&bench), 1).len(), 2);
        let flush = last_to_strike(held(&bench), 1).unwrap();
        bench.record(Fact::Struck { entry: flush, why: Mistake::DidNotHappen });
        assert_eq!(step(held(&bench), 1), FitStep::Work(Feel::Proud), "the one before it counts again");
        let proud = last_to_strike(held(&bench), 1).unwrap();
        assert!(proud < flush);
        let piece = piece(held(&bench));
        bench.record(FitFact::Set { stone: 1, piece, place: Place::Bench });
        let set = last_to_strike(held(&bench), 1).unwrap();
        assert!(set > flush);
        bench.record(CustodyFact::Placed { thing: piece, place: Place::Kept(1) });
        assert_eq!(last_to_strike(held(&bench), 1), None, "the piece was put away since");
    }

    #[test]
    fn a_setting_that_does_not_take_the_stones_is_told_with_what_would_be_right() {
        let mut bench = bench(Stage::Here);
        assert!(unmatched(&bench.studio, held(&bench)).is_empty());
        let (plain, wide): (ShelfId, ShelfId) = ("plain-ring".parse().unwrap(), "wide-ring".parse().unwrap());
        let mut item = bench.studio.item(&plain).unwrap().clone();
        if let What::Setting(setting) = &mut item.what {
            setting.opening = Outline::Oval { length: Length::from_mm(14.1), width: Length::from_mm(10.1) };
        }
        let at = crate::present::sample::at(9_000);
        let put = ShelfEdit::Put(Box::new(item));
        bench.studio.apply(Edit::Shelf(wide.clone(), put), at).unwrap();
        let mut sheet = held(&bench).order.sheet.clone();
        sheet.setting = Some(wide);
        bench.studio.apply(Edit::Order(bench.tag, OrderEdit::Sheet(Box::new(sheet))), at).unwrap();
        let held = held(&bench);
        let told = unmatched(&bench.studio, held);
        let [one] = told.as_slice() else { panic!("{told:?}") };
        assert_eq!(one.misfit, Misfit::TooSmall);
        assert_eq!(one.stones, held.order.sheet.stones.iter().map(|stone| stone.no).collect::<Vec<_>>());
        assert_eq!(one.settings, [&plain]);
        assert!(one.moulds.is_empty());
    }

    #[test]
    fn a_stone_of_the_wanted_size_is_left_alone_and_a_wide_one_taken_down() {
        let mut bench = bench(Stage::Chosen);
        assert_eq!(compared(&bench.studio, held(&bench), 1), None, "nothing is measured");
        // The setting's opening is 10.1 × 8.1 mm; half of the difference is on each side.
        measure(&mut bench, Dimension::Length, 9.95);
        assert_eq!(compared(&bench.studio, held(&bench), 1), None, "an oval needs both");
        measure(&mut bench, Dimension::Width, 8.5);
        let both = compared(&bench.studio, held(&bench), 1).unwrap().unwrap();
        assert!(!both.has_height && !both.is_round);
        assert_eq!(both.report.along.remedy, Remedy::Leave);
        assert_eq!(both.report.along.gap, Some(Length::from_mm(0.075)));
        assert!(matches!(both.report.across.remedy, Remedy::TakeOff(_)), "{:?}", both.report.across);
        assert_eq!(both.report.seating, Seating::DoesNotSeat);
        measure(&mut bench, Dimension::Edge, 1.0);
        assert!(compared(&bench.studio, held(&bench), 1).unwrap().unwrap().has_height);
    }

    #[test]
    fn by_feel_only_what_is_wrong_is_touched() {
        let steps = |feel| {
            let report = by_feel(feel);
            [report.along.remedy, report.across.remedy, report.height.remedy]
                .map(|remedy| !matches!(remedy, Remedy::Leave))
        };
        assert_eq!(steps(Feel::Flush), [false, false, false]);
        assert_eq!(steps(Feel::Proud), [false, false, true]);
        assert_eq!(steps(Feel::TooTight), [true, true, false]);
        assert!(matches!(by_feel(Feel::Low).height.remedy, Remedy::BuildUp(_)));
        assert!(matches!(by_feel(Feel::TooLoose).across.remedy, Remedy::BuildUp(_)));
    }

    #[test]
    fn a_ring_size_is_read_where_it_names_its_system() {
        let mm = |text: &str| ring(text).map(Length::mm);
        // BS 6820 as craft::ring states it: N is 13 letters after A at 37.5 mm, 1.25 mm each.
        assert_eq!(mm("UK N"), Some(53.75));
        assert_eq!(mm("UK size M½, her own ring"), Some(37.5 + 12.5 * 1.25));
        assert_eq!(mm("UK size N 1/2"), Some(54.375));
        assert_eq!(mm("ISO 54"), Some(54.0));
        assert_eq!(mm("Italian 14"), Some(54.0));
        let diameter = mm("17.5 mm inside, measured on a ring of hers").unwrap();
        assert!((diameter - std::f64::consts::PI * 17.5).abs() < 1e-5);
        let dutch = mm("Dutch size 17¼, her own ring measured").unwrap();
        assert!((dutch - std::f64::consts::PI * 17.25).abs() < 1e-5);
        assert_eq!(mm("A ring for her"), None, "an article is no size");
        assert_eq!(mm(""), None);
    }

    #[test]
    fn every_system_shows_its_sizes_around_the_ring_in_order() {
        let at = Length::from_mm(54.0);
        let around = Length::from_mm(2.0);
        let scales = ring_scales(at, around);
        assert_eq!(scales.len(), RingSystem::ALL.len());
        for scale in &scales {
            assert!(scale.ticks.is_sorted_by(|a, b| a.1 < b.1), "{scale:?}");
            assert!(scale.ticks.iter().all(|(_, size)| (*size - at).abs() <= around));
            // Four millimetres hold at least three sizes of any system: the Japanese steps are 1.05 mm.
            assert!(scale.ticks.len() >= 3, "{scale:?}");
        }
    }

    #[test]
    fn what_is_not_back_is_told_the_setting_first() {
        let mut bench = bench(Stage::Chosen);
        assert_eq!(errands(held(&bench)).len(), 0);
        let mut sheet = held(&bench).order.sheet.clone();
        for kind in [ErrandKind::Chain, ErrandKind::Setting] {
            let errand = sheet.errands[0].clone();
            sheet.errands.push(Errand { kind, back: None, ..errand });
        }
        let edit = OrderEdit::Sheet(Box::new(sheet));
        let now = bench.now();
        bench.studio.apply(Edit::Order(bench.tag, edit), now).unwrap();
        let kinds: Vec<_> = errands(held(&bench)).iter().map(|errand| errand.kind).collect();
        assert_eq!(kinds, [ErrandKind::Setting, ErrandKind::Chain]);
    }
}
