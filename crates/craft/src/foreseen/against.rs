//! What was learned since a plan was kept, where it speaks against pouring by it.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use crate::cure::Surety;
use crate::id::ShelfId;
use crate::learning::LearningError;
use crate::order::StoneSheet;
use crate::studio::{PlanningError, Studio, Taught};
use crate::tag::Tag;
use crate::units::Load;

/// What speaks against pouring by a kept plan.
#[derive(Clone, Debug, PartialEq)]
pub enum Against {
    /// Nothing sets of this bottle under this lamp, or what was seen of it cannot have been.
    Learned(LearningError),
    /// These layers, by their places from the face, are less than nine in ten sure to set, by what is known today.
    NotSure(Vec<usize>),
}

/// What was learned of bottles, lamps and pigments, asked once for all stones that are made with the same. It is good for
/// one look: whatever changes in the studio makes a new one.
#[derive(Debug, Default)]
pub struct Heard(BTreeMap<(NaiveDate, [ShelfId; 4]), Result<Taught, PlanningError>>);

impl Heard {
    fn of(
        &mut self,
        studio: &Studio,
        stone: &StoneSheet,
        today: NaiveDate,
    ) -> &Result<Taught, PlanningError> {
        let with = [&stone.resin, &stone.lamp, &stone.pigment, &stone.mould].map(ShelfId::clone);
        self.0.entry((today, with)).or_insert_with(|| studio.taught_for(stone, today))
    }
}

impl Studio {
    /// What was learned up to `today` that speaks against what is still to be lit of a stone's kept plan. Only what makes a
    /// layer unsure speaks against it: doubts that grow with each day, and a plan that would be quicker now, do not.
    ///
    /// `None` where no plan is kept, all of it was lit, or something it needs is not on the shelf.
    pub fn against(&self, tag: Tag, stone: &StoneSheet, today: NaiveDate) -> Option<Against> {
        self.against_heard(tag, stone, today, &mut Heard::default())
    }

    /// The same for one stone of many, with what was heard for the others.
    pub fn against_heard(
        &self,
        tag: Tag,
        stone: &StoneSheet,
        today: NaiveDate,
        heard: &mut Heard,
    ) -> Option<Against> {
        let plan = stone.plan.as_ref()?;
        let begun = self.order(tag).ok()?.ledger.pours.stones.get(&stone.no);
        let lit = begun.map_or(0, |begun| begun.layers.iter().filter(|layer| !layer.lit.is_empty()).count());
        if lit >= plan.layers.len() {
            return None;
        }
        let taught = match heard.of(self, stone, today) {
            Ok(taught) => taught,
            Err(PlanningError::Learning(why)) => return Some(Against::Learned(why.clone())),
            Err(_) => return None,
        };
        if let Err(why) = taught.something_sets() {
            return Some(Against::Learned(why));
        }
        if plan.layers.iter().skip(lit).any(|layer| layer.load.is_positive()) {
            let apart = taught.pigment.apart(&self.pigment(&stone.pigment).ok()?.mix);
            if let Some(why) = taught.colour_sets().err().or(apart) {
                return Some(Against::Learned(why));
            }
        }
        // Nothing is promised of a load that no test covers.
        let is_beyond = |place: &usize| {
            let load = plan.layers.get(*place).map_or(Load::ZERO, |layer| layer.load);
            let (least, most) = (taught.pigment.least, taught.pigment.most);
            load.is_positive()
                && (least.is_some_and(|least| load < least) || most.is_some_and(|most| load > most))
        };
        let left = lit..plan.layers.len();
        let Some(known) = plan.known_as(&taught.cure, &taught.lights) else {
            return Some(Against::NotSure(left.collect()));
        };
        // What was not sure when it was kept is the maker's own choice, and told there.
        let is_worse =
            |place: &usize| plan.surety(*place) > Surety::NotSure && known.surety(*place) == Surety::NotSure;
        let unsure: Vec<usize> = left.filter(|place| is_worse(place) || is_beyond(place)).collect();
        (!unsure.is_empty()).then_some(Against::NotSure(unsure))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::learning::{Observation, Seen, WedgePoint};
    use crate::reading::{Means, Reading};
    use crate::shelf::{Body, What};
    use crate::studio::{Edit, ShelfEdit};
    use crate::testing::*;
    use crate::units::{Length, Span};

    /// Keeps a test of the stone's bottle in which each time set so much of clear resin.
    fn tested(bench: &mut Bench, on: NaiveDate, points: &[(f64, f64)]) {
        let point = |(s, mm): &(f64, f64)| WedgePoint {
            light: Span::from_s(*s),
            depth: Reading { value: Length::from_mm(*mm), doubt: Length::from_mm(0.05), by: Means::Caliper },
        };
        let stone = kept(bench);
        let mut item = bench.studio.shelf().get(&stone.resin).unwrap().clone();
        let What::Resin(bottle) = &mut item.what else { panic!("not a bottle") };
        bottle.observations.push(Observation {
            on,
            lamp: stone.lamp.clone(),
            button: 1,
            lamp_lit: None,
            body: Body::Opaque,
            pigment: None,
            seen: Seen::Wedge { points: points.iter().map(point).collect() },
        });
        bench.edit(Edit::Shelf(stone.resin, ShelfEdit::Put(Box::new(item)))).unwrap();
    }

    fn kept(bench: &Bench) -> StoneSheet {
        bench.studio.order(tag(0)).unwrap().order.sheet.stones[0].clone()
    }

    fn speaks(bench: &Bench, on: u32) -> Option<Against> {
        bench.studio.against(tag(0), &kept(bench), NaiveDate::from_ymd_opt(2026, 3, on).unwrap())
    }

    #[test]
    fn a_kept_plan_is_spoken_against_by_a_test_in_which_nothing_set_and_by_a_weak_one_and_by_no_good_one() {
        let on = |day| NaiveDate::from_ymd_opt(2026, 3, day).unwrap();
        let mut bench = Bench::new();
        assert!(kept(&bench).plan.is_some(), "the stone of the tests keeps a plan");
        assert_eq!(speaks(&bench, 1), None, "as it was planned");
        assert_eq!(speaks(&bench, 31), None, "a month makes no plan unsure");
        let none = StoneSheet { plan: None, ..kept(&bench) };
        assert_eq!(bench.studio.against(tag(0), &none, on(1)), None);

        let mut good = bench.clone();
        tested(&mut good, on(1), &[(5.0, 1.4), (12.0, 2.2), (30.0, 3.1), (75.0, 4.0)]);
        assert_eq!(speaks(&good, 1), None, "it sets deeper than was thought");

        let mut weak = bench.clone();
        tested(&mut weak, on(1), &[(30.0, 0.8), (60.0, 1.15), (120.0, 1.5), (240.0, 1.84)]);
        let Some(Against::NotSure(layers)) = speaks(&weak, 1) else { panic!("{:?}", speaks(&weak, 1)) };
        assert!(layers.contains(&0), "the face is the thickest: {layers:?}");
        // The broken rule looks at what was kept alone.
        let plan = kept(&weak).plan.unwrap();
        assert!((0..plan.layers.len()).all(|place| plan.surety(place) > Surety::NotSure));

        let mut dim = bench.clone();
        tested(&mut dim, on(1), &[(30.0, 0.1), (60.0, 0.3), (120.0, 0.5), (240.0, 0.7)]);
        assert!(speaks(&dim, 1).is_some(), "a lamp that has grown dim");

        tested(&mut bench, on(1), &[(30.0, 0.0), (120.0, 0.0), (240.0, 0.0), (600.0, 0.0)]);
        assert!(matches!(speaks(&bench, 1), Some(Against::Learned(LearningError::NothingSets { .. }))));
        tested(&mut bench, on(2), &[(5.0, 1.4), (12.0, 2.2), (30.0, 3.1), (75.0, 4.0)]);
        assert_eq!(speaks(&bench, 2), None, "another lamp bulb was put in, and it sets again");
    }

    #[test]
    fn a_mix_in_which_nothing_set_speaks_against_what_is_as_strong() {
        let mut bench = Bench::new();
        let plan = kept(&bench).plan.unwrap();
        let strongest = plan.layers.iter().map(|layer| layer.load).max().unwrap();
        assert!(strongest.is_positive());
        let mut mix = |day: u32, load: Load, points: &[(f64, f64)]| {
            let item = kept(&bench).pigment;
            tested(&mut bench, NaiveDate::from_ymd_opt(2026, 3, day).unwrap(), points);
            let stone = kept(&bench);
            let mut shelf_item = bench.studio.shelf().get(&stone.resin).unwrap().clone();
            let What::Resin(bottle) = &mut shelf_item.what else { panic!("not a bottle") };
            bottle.observations.last_mut().unwrap().pigment =
                Some(crate::learning::PigmentLoad { item, load });
            bench.edit(Edit::Shelf(stone.resin, ShelfEdit::Put(Box::new(shelf_item)))).unwrap();
            speaks(&bench, day)
        };
        let half = Load::from_micro(strongest.micro() / 2);
        assert_eq!(mix(1, half, &[(10.0, 1.2), (30.0, 1.8), (90.0, 2.4)]), None, "a pale mix sets");
        let against = mix(2, strongest, &[(10.0, 0.0), (30.0, 0.0), (90.0, 0.0)]);
        assert!(against.is_some(), "as strong as planned, and nothing set");
    }

    #[test]
    fn what_was_lit_already_is_not_spoken_against() {
        let mut bench = Bench::new();
        for fact in whole_life(tag(0), &[CELLS[0]]) {
            if bench
                .studio
                .order(tag(0))
                .unwrap()
                .ledger
                .pours
                .stones
                .get(&1)
                .is_some_and(|stone| stone.taken_out)
            {
                break;
            }
            bench.record(fact);
        }
        let on = NaiveDate::from_ymd_opt(2026, 3, 1).unwrap();
        tested(&mut bench, on, &[(30.0, 0.0), (120.0, 0.0), (240.0, 0.0), (600.0, 0.0)]);
        assert_eq!(speaks(&bench, 1), None, "all of it was lit");
    }
}
