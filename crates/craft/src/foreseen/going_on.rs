//! Planning on from what was really laid of a stone.

use chrono::NaiveDate;

use crate::order::StoneSheet;
use crate::planner::{Plan, PlanError, promised, really_laid};
use crate::studio::{PlanningError, Studio};
use crate::tag::Tag;

impl Studio {
    /// The plan of a begun stone with its rest planned again from what was really laid, and the layers that were laid
    /// in front of it as they are. The rest is planned with the shelf as it is now.
    ///
    /// # Errors
    /// As [`Studio::problem_for`] and [`promised`] for the rest; [`PlanError::Full`] where nothing is left to
    /// lay, or no plan was kept.
    pub fn plan_on(&self, tag: Tag, stone: &StoneSheet, today: NaiveDate) -> Result<Plan, PlanningError> {
        let begun = self.order(tag)?.ledger.pours.stones.get(&stone.no);
        let laid = really_laid(begun.map_or(&[], |begun| begun.layers.as_slice()));
        let kept = stone.plan.as_ref().ok_or(PlanError::Full)?;
        let rest = promised(&self.problem_learned(tag, stone, today)?.0.after(&laid)?)?;
        Ok(kept.going_on(&laid, &rest).ok_or(PlanError::Full)?)
    }

    /// The layers of a begun stone that were laid otherwise than its kept plan says, by their places from the face.
    pub fn laid_otherwise(&self, tag: Tag, stone: &StoneSheet) -> Vec<usize> {
        let begun = self.order(tag).ok().and_then(|held| held.ledger.pours.stones.get(&stone.no));
        let (Some(begun), Some(plan)) = (begun, &stone.plan) else { return Vec::new() };
        let pairs = plan.layers.iter().zip(&begun.layers).enumerate();
        pairs
            .filter(|(_, (planned, laid))| (planned.thickness, planned.load) != (laid.thickness, laid.load))
            .map(|(place, _)| place)
            .collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::fact::{Amount, LayerKind, PourFact};
    use crate::studio::{Edit, OrderEdit};
    use crate::testing::*;
    use crate::units::{Length, Load};

    fn stone_of(bench: &Bench) -> StoneSheet {
        bench.studio.order(tag(0)).unwrap().order.sheet.stones[0].clone()
    }

    #[test]
    fn the_rest_is_planned_from_what_was_laid_and_the_door_takes_that_plan() {
        let mut bench = Bench::new();
        let stone = stone_of(&bench);
        assert_eq!(
            bench.studio.plan_on(tag(0), &stone, day(2)).unwrap_err().to_string(),
            PlanError::Full.to_string()
        );
        let is_laid =
            |fact: &crate::fact::Fact| matches!(fact, crate::fact::Fact::Pour(PourFact::Laid { .. }));
        let facts = whole_life(tag(0), &[CELLS[0]]);
        let first = facts.iter().position(is_laid).unwrap();
        for fact in facts.into_iter().take(first) {
            bench.record(fact);
        }
        // The face came out 0.3 mm thinner than planned.
        let planned = stone.plan.clone().unwrap();
        let thickness = planned.layers[0].thickness - Length::from_mm(0.3);
        let (amount, bottle) = (Amount::ToTheMark, item("clear"));
        let kind = LayerKind::Material;
        let load = Load::ZERO;
        bench.record(PourFact::Laid {
            stone: 1,
            layer: 1,
            kind,
            thickness,
            load,
            amount,
            bottle,
            pigment: None,
        });
        assert_eq!(bench.studio.laid_otherwise(tag(0), &stone), [0]);
        let on = bench.studio.plan_on(tag(0), &stone, day(2)).unwrap();
        assert_eq!((on.depth(), on.layers[0].thickness), (planned.depth(), thickness));
        let mut sheet = bench.studio.order(tag(0)).unwrap().order.sheet.clone();
        sheet.stones[0].plan = Some(on);
        bench.edit(Edit::Order(tag(0), OrderEdit::Sheet(Box::new(sheet)))).unwrap();
        assert_eq!(bench.studio.laid_otherwise(tag(0), &stone_of(&bench)), Vec::<usize>::new());
    }
}
