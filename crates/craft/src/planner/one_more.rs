//! One more colour layer, where what is planned hides the metal by the best guess and no more.

use super::problem::{Pin, Problem, Style};
use super::{Plan, Wishes, promised};
use crate::units::{Length, Load, Share, Span};

/// One colour layer more than a plan has, as wished for.
#[derive(Clone, Debug, PartialEq)]
pub struct OneMore {
    /// How thick it is.
    pub thickness: Length,
    /// How much of what hides the metal the plan has as it is; 1 and more hides by the best guess.
    pub has: f64,
    /// What becomes of it.
    pub room: Room,
}

/// Whether there is room for it.
#[derive(Clone, Debug, PartialEq)]
pub enum Room {
    /// It is planned with these layers kept.
    Planned {
        /// The layers to be kept, the new one the last of them.
        pinned: Vec<Pin>,
        /// How much longer the stone is at the bench.
        more: Span,
        /// How much of what hides the metal it then has.
        has: f64,
    },
    /// The mould is so much too shallow for it, or the clear face so much too thick.
    Lacks(Length),
    /// There would be room, but no light sets it, or there are more layers than can be kept.
    Cannot,
}

/// So much more than the best guess is sure to hide: half as much again where it was never tried on a card, a fifth where it
/// was (common practice, no source; on a card a step and a hand are in doubt by as much).
const SURE_UNTRIED: f64 = 1.5;
/// The same where it was tried on a card.
const SURE_TRIED: f64 = 1.2;

impl Plan {
    /// How much of what hides the metal the colour layers have, at the thinnest patch of each.
    pub fn hides(&self) -> f64 {
        let patch = self.thinnest.unwrap_or(Share::WHOLE).fraction();
        let held: f64 = self.colour().map(|layer| layer.load.percent() * layer.thickness.mm()).sum();
        let wanted = self.cure.mix.hiding.get();
        if wanted > 0.0 { held * patch / wanted } else { 0.0 }
    }
}

/// What one more colour layer takes, where the plan is short of surely hiding the metal; `tried` says that it was looked at on a
/// card. `None` where it is sure, or there is no colour.
pub fn one_more(problem: &Problem, plan: &Plan, tried: bool) -> Option<OneMore> {
    let has = plan.hides();
    let sure = if tried { SURE_TRIED } else { SURE_UNTRIED };
    let last = plan.colour().last()?;
    if has >= sure || !problem.cure.mix.class.hides() {
        return None;
    }
    // As thick as there is room for: no thinner than can be laid, and no thicker than the one before it.
    let least = Length::from_micro(i64::from(problem.colour.least) * 100_000);
    let thickness = Length::from_micro(spare(problem, plan) * 100_000).min(last.thickness).max(least);
    let room = room(problem, plan, thickness);
    Some(OneMore { thickness, has, room })
}

/// What the layers behind the colour can give up and still be laid, in tenths of a millimetre.
fn spare(problem: &Problem, plan: &Plan) -> i64 {
    let back = plan.layers.iter().filter(|layer| layer.region == super::Region::Back);
    let spare: i64 =
        back.map(|layer| layer.thickness.micro() / 100_000 - i64::from(problem.back.least)).sum();
    spare.max(0)
}

fn room(problem: &Problem, plan: &Plan, thickness: Length) -> Room {
    let lacks = thickness.micro() / 100_000 - spare(problem, plan);
    if lacks > 0 {
        return Room::Lacks(Length::from_micro(lacks * 100_000));
    }
    let Some(pinned) = pins(problem, plan, thickness) else { return Room::Cannot };
    match promised(&Problem { pinned: pinned.clone(), ..problem.clone() }) {
        Ok(new) if new.colour().count() > plan.colour().count() => Room::Planned {
            pinned,
            more: Span::from_s(f64::from(new.cost.seconds.saturating_sub(plan.cost.seconds))),
            has: new.hides(),
        },
        _ => Room::Cannot,
    }
}

/// The colour layers of a plan as they are, and one more behind them; a step stronger where each is to be stronger than the
/// one before.
fn pins(problem: &Problem, plan: &Plan, thickness: Length) -> Option<Vec<Pin>> {
    let mut pins: Vec<Pin> =
        plan.colour().map(|layer| Pin::of(layer.thickness, layer.load)).collect::<Option<_>>()?;
    let last = pins.last()?.load;
    let stronger = problem.style == Style::Deepening;
    let load = if stronger { Load::from_micro(last.micro() + problem.cure.mix.step.micro()) } else { last };
    pins.push(Pin::of(thickness, load)?);
    (pins.len() <= Problem::MOST_PINS).then_some(pins)
}

impl Wishes {
    /// The same with the layers of one more kept.
    #[must_use]
    pub fn with_one_more(&self, pinned: &[Pin]) -> Self {
        Self { pinned: pinned.to_vec(), ..self.clone() }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::cure::{Button, Doubts, Light, Mix, PigmentClass};

    fn asked(depth_mm: f64, style: Style) -> Problem {
        let light = Light::typical(Button::new("120 s", Span::from_s(120.0), Span::ZERO).unwrap());
        let mix = Mix::typical(PigmentClass::Dark);
        let (depth, face) = (Length::from_mm(depth_mm), Length::from_mm(1.5));
        Problem::for_stone(depth, face, mix, style, vec![light], Doubts::CALIBRATED).unwrap()
    }

    #[test]
    fn a_plan_that_just_hides_is_offered_one_more_layer_and_that_hides_surely_more() {
        for style in [Style::Even, Style::Deepening] {
            let problem = asked(4.5, style);
            let plan = promised(&problem).unwrap();
            // The planner takes least time, so it holds what hides and hardly more.
            assert!(plan.hides() >= 1.0 - 1e-9 && plan.hides() < SURE_UNTRIED, "{}", plan.hides());
            let more = one_more(&problem, &plan, false).unwrap();
            let Room::Planned { pinned, has, .. } = &more.room else { panic!("{more:?}") };
            assert_eq!(pinned.len(), plan.colour().count() + 1);
            assert!(*has > plan.hides(), "{has} against {}", plan.hides());
            let new = promised(&Problem { pinned: pinned.clone(), ..problem.clone() }).unwrap();
            assert_eq!(new.colour().count(), plan.colour().count() + 1);
            // Second method: what each layer holds, added up by hand.
            let held: f64 = new.colour().map(|layer| layer.load.percent() * layer.thickness.mm()).sum();
            assert!((held / problem.cure.mix.hiding.get() - has).abs() < 1e-9);
        }
    }

    #[test]
    fn where_the_mould_is_too_shallow_it_says_by_how_much() {
        let problem = asked(2.5, Style::Even);
        let Ok(plan) = promised(&problem) else { panic!("a dark colour has room in 1 mm") };
        let more = one_more(&problem, &plan, false).unwrap();
        let Room::Lacks(lacks) = more.room else { panic!("{more:?}") };
        assert!(lacks.is_positive() && lacks <= more.thickness, "{more:?}");
        // By hand: the back is clear, at least 0.3 mm, and gives up the rest of what it is.
        let back = plan.layers.last().unwrap();
        assert_eq!(back.region, crate::planner::Region::Back);
        assert!((lacks.mm() - (more.thickness.mm() - (back.thickness.mm() - 0.3))).abs() < 1e-9, "{back:?}");
    }

    #[test]
    fn what_hides_by_far_is_offered_nothing() {
        let problem = asked(4.5, Style::Even);
        let mut plan = promised(&problem).unwrap();
        plan.cure.mix.hiding = crate::cure::Factor::new(plan.cure.mix.hiding.get() / 2.0).unwrap();
        assert_eq!(one_more(&problem, &plan, false), None);
        let clear = Plan { layers: Vec::new(), ..plan };
        assert_eq!(one_more(&problem, &clear, false), None);
    }
}
