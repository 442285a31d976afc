//! Where nothing fits: what binds, and which single change would free it.

use std::fmt;

use super::problem::{Problem, Style};
use super::search::{face, search};
use super::table::{NEVER, Table};
use crate::cure::{Button, Doubts, Factor, Light, Provenance};
use crate::units::Span;

/// What binds: the first of these that cannot be met even with all behind it left out.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Limit {
    /// The face's depth is no sum of face layers.
    FaceThickness,
    /// No press sets the face's layers.
    FaceLight,
    /// Depth, face, colour and back leave no room for each other.
    Room,
    /// No press sets any back that fits.
    BackLight,
    /// No press sets even the thinnest, palest colour layer.
    ColourLight,
    /// Colour layers that set do not add up to any colour depth that fits.
    ColourThickness,
    /// Layers that set cannot hold enough pigment to hide the metal.
    Hiding,
    /// There is no room for so many colour layers.
    FewestLayers,
    /// It can be done, but not in this style.
    Style,
    /// It can be done, but not with the layers that are kept as they are.
    Pinned,
}

impl fmt::Display for Limit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::FaceThickness => "the clear face cannot be divided into layers of the allowed thickness",
            Self::FaceLight => "no lamp button surely sets the clear face",
            Self::Room => "face, colour and back do not add up to the depth of the mould",
            Self::BackLight => "no lamp button surely sets the clear back",
            Self::ColourLight => "no lamp button surely sets even the thinnest and palest colour layer",
            Self::ColourThickness => "colour layers that surely set do not add up to the depth of colour",
            Self::Hiding => "layers that surely set cannot hold enough pigment to hide the metal",
            Self::FewestLayers => "there is no room for so many colour layers",
            Self::Style => "it can be laid, but not in this style",
            Self::Pinned => "it can be laid, but not with the layers that are kept as they are",
        })
    }
}

/// A single change that frees a plan, from the one that gives up least to the one that gives up most: a
/// test costs ten minutes, a layer let go costs a wish, one more or a longer press costs seconds, more depth changes the stone, a backing its metal,
/// and less sureness comes last.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Change {
    /// Test the resin, lamp and pigment, so that less is in doubt.
    Test,
    /// Other layers than those kept.
    LetGo,
    /// Each button pressed once more.
    PressAgain,
    /// A press half as long again as the longest.
    LongerPress,
    /// 0.2 mm more room for colour.
    MoreColour,
    /// 0.2 mm more depth.
    DeeperMould,
    /// A backing nearer to the colour, so that seven tenths of the hiding do.
    KinderBacking,
    /// Nine layers in ten instead of the usual sureness.
    LessSure,
    /// No more light than just sets.
    NoMargin,
}

impl Change {
    /// Every change, from the one that gives up least.
    pub const ALL: [Change; 9] = [
        Self::Test,
        Self::LetGo,
        Self::PressAgain,
        Self::LongerPress,
        Self::MoreColour,
        Self::DeeperMould,
        Self::KinderBacking,
        Self::LessSure,
        Self::NoMargin,
    ];

    /// The problem with this change made; `None` where it is made already.
    pub fn made_to(self, problem: &Problem) -> Option<Problem> {
        let mut changed = problem.clone();
        match self {
            Self::Test => changed.cure.doubts = tested(problem),
            Self::LetGo => changed.pinned.clear(),
            Self::PressAgain => {
                changed.presses = problem.presses.saturating_add(1).min(3).max(problem.presses);
            }
            Self::LongerPress => changed.lights.push(longer(&problem.lights)?),
            Self::MoreColour => changed.colour.most = problem.colour.most.saturating_add(2),
            Self::DeeperMould => changed.depth = problem.depth.saturating_add(2),
            Self::KinderBacking => {
                changed.cure.mix.hiding = Factor::new(problem.cure.mix.hiding.get() * 0.7).ok()?;
            }
            Self::LessSure => {
                changed.cure.assurance.spread = Factor::known(problem.cure.assurance.spread.get().min(1.28));
            }
            Self::NoMargin => {
                changed.cure.assurance.margin = Factor::known(problem.cure.assurance.margin.get().min(1.0));
            }
        }
        (changed != *problem).then_some(changed)
    }
}

impl fmt::Display for Change {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Test => "a test of this resin, lamp and pigment",
            Self::LetGo => "letting go of the layers that are kept as they are",
            Self::PressAgain => "pressing a button once more for a layer",
            Self::LongerPress => "a press half as long again as the longest",
            Self::MoreColour => "0.2 mm more room for colour",
            Self::DeeperMould => "a mould 0.2 mm deeper",
            Self::KinderBacking => "a backing nearer to the colour, which needs less hiding",
            Self::LessSure => "being sure of nine layers in ten",
            Self::NoMargin => "no more light than just sets it",
        })
    }
}

/// What a test would leave of a problem's doubts. What was tested already stays as it is, and so do the measuring out of
/// pigment and the hand that lays, of which no light says anything.
fn tested(problem: &Problem) -> Doubts {
    let is = |provenance| matches!(provenance, Provenance::Tested(_));
    let (cure, left) = (&problem.cure, Doubts::TESTED);
    let mut doubts = cure.doubts;
    let mut of_clear = false;
    let mut narrow = |doubt: &mut Factor, left: Factor| {
        if left < *doubt {
            *doubt = left;
            of_clear = true;
        }
    };
    if !is(cure.resin.provenance) {
        narrow(&mut doubts.penetration, left.penetration);
    }
    if !problem.lights.iter().all(|light| is(light.provenance)) {
        narrow(&mut doubts.first_set, left.first_set);
        narrow(&mut doubts.lamp, left.lamp);
    }
    if of_clear {
        doubts.together = left.together;
    }
    if !is(cure.mix.absorption_from()) && left.pigment < doubts.pigment {
        doubts.pigment = left.pigment;
    }
    doubts
}

/// The button worth most light, held half as long again; `None` where it would burn over an hour.
fn longer(lights: &[Light]) -> Option<Light> {
    let best = lights.iter().max_by(|a, b| a.dose_ratio().total_cmp(&b.dose_ratio()))?;
    let total = best.button.total();
    let total = Span::from_micro(total.micro() + total.micro() / 2);
    let button = Button::new(best.button.name(), total, best.button.ramp()).ok()?;
    Light::new(button, best.first_set(), best.provenance).ok()
}

/// Nothing keeps every limit.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Stuck {
    /// What binds.
    pub limit: Limit,
    /// Every single change that frees it, the one that gives up least first; none where it takes more.
    pub frees: Vec<Change>,
}

impl fmt::Display for Stuck {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.frees.first() {
            Some(change) => write!(f, "{}; {change} would free it", self.limit),
            None => {
                write!(f, "{}; no single change frees it, so begin with another mould or mix", self.limit)
            }
        }
    }
}

impl std::error::Error for Stuck {}

pub(super) fn diagnose(problem: &Problem, table: &Table) -> Stuck {
    let frees = |change: &Change| {
        change.made_to(problem).is_some_and(|changed| changed.check().is_ok() && fits(&changed))
    };
    Stuck {
        limit: binding(problem, table),
        frees: Change::ALL.into_iter().filter(|change| frees(change)).collect(),
    }
}

fn fits(problem: &Problem) -> bool {
    search(problem, &Table::new(problem)).is_some()
}

fn binding(problem: &Problem, table: &Table) -> Limit {
    let room = usize::from(problem.depth - problem.face);
    if !adds_up(problem) {
        return Limit::FaceThickness;
    }
    if face(problem, table).is_none() {
        return Limit::FaceLight;
    }
    let backs = || problem.back.each().filter(|back| *back <= room && problem.colour.holds(room - back));
    if backs().next().is_none() {
        return Limit::Room;
    }
    if backs().all(|back| table.colour(back, 0, 0) >= NEVER) {
        return Limit::BackLight;
    }
    let cells = || problem.colour_layer().each().flat_map(|t| problem.load_steps().map(move |g| (t, g)));
    let anywhere = |(t, g)| (0..room).any(|below| table.colour(t, g, below) < NEVER);
    if !cells().any(anywhere) {
        return Limit::ColourLight;
    }
    let unpinned = Problem { pinned: Vec::new(), ..problem.clone() };
    if !problem.pinned.is_empty() && fits(&unpinned) {
        return Limit::Pinned;
    }
    let mut free = unpinned;
    free.style = Style::Quick;
    free.fewest = 0;
    free.cure.mix.hiding = Factor::ZERO;
    if !fits(&free) {
        return Limit::ColourThickness;
    }
    free.cure.mix.hiding = problem.cure.mix.hiding;
    if !fits(&free) {
        return Limit::Hiding;
    }
    free.fewest = problem.fewest;
    if fits(&free) { Limit::Style } else { Limit::FewestLayers }
}

/// Whether the face can be divided at all, with light left out of it.
fn adds_up(problem: &Problem) -> bool {
    let total = usize::from(problem.face);
    let mut reached = vec![false; total + 1];
    reached[0] = true;
    for left in 1..=total {
        reached[left] =
            problem.face_layer.each().any(|size| size > 0 && size <= left && reached[left - size]);
    }
    reached[total]
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::cure::{Mix, PigmentClass, Resin};
    use crate::units::Length;

    fn problem() -> Problem {
        let light = Light::typical(Button::new("60 s", Span::from_s(60.0), Span::ZERO).unwrap());
        let (mix, doubts) = (Mix::typical(PigmentClass::White), Doubts::typical_for(PigmentClass::White));
        let (depth, face) = (Length::from_mm(3.5), Length::from_mm(1.5));
        Problem::for_stone(depth, face, mix, Style::Quick, vec![light], doubts).unwrap()
    }

    #[test]
    fn a_test_narrows_what_light_tells_and_neither_the_hand_nor_the_scoop() {
        let mut problem = problem();
        problem.cure.doubts.dosing = crate::dosing::Scoop::DOUBT;
        let after = Change::Test.made_to(&problem).unwrap().cure.doubts;
        let before = problem.cure.doubts;
        assert_eq!((after.thickness, after.dosing), (before.thickness, before.dosing));
        assert_eq!(after, Doubts { dosing: before.dosing, ..Doubts::TESTED });
    }

    #[test]
    fn what_was_tested_is_not_won_by_a_test_once_more() {
        let tested = Provenance::Tested(chrono::NaiveDate::from_ymd_opt(2026, 3, 1).unwrap());
        let mut problem = problem();
        problem.cure.mix.absorption = Factor::new(4.6).unwrap();
        problem.cure.mix.provenance = tested;
        let of_clear = Change::Test.made_to(&problem).unwrap().cure.doubts;
        assert_eq!(
            (of_clear.pigment, of_clear.penetration),
            (problem.cure.doubts.pigment, Doubts::TESTED.penetration)
        );
        problem.cure.resin = Resin::new(Length::from_mm(0.9), tested).unwrap();
        let seconds = Change::Test.made_to(&problem).unwrap().cure.doubts;
        assert_eq!(seconds.penetration, problem.cure.doubts.penetration);
        problem.lights =
            vec![Light::new(problem.lights[0].button.clone(), Span::from_s(1.2), tested).unwrap()];
        assert_eq!(Change::Test.made_to(&problem), None, "all of it is tested already");
    }
}
