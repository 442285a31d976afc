//! What the maker's own work says of what stands on the shelf: tests, habits, and the records of all orders.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use super::planning::{PlanningError, tested_on};
use super::{Held, Studio};
use crate::cure::{Cure, Light, Mix, Provenance, Resin};
use crate::fact::Hardness;
use crate::id::ShelfId;
use crate::learning::{
    self, Belief, Known, LearnedPigment, LearningError, Note, Now, Observation, Seen, Unset, know,
    learn_pigment, outcomes,
};
use crate::order::StoneSheet;
use crate::planner::Plan;
use crate::refusal::Refusal;
use crate::shelf::{Body, Bottle, What};
use crate::tag::Tag;
use crate::units::{Length, Load, Span};

/// What is asked about: a bottle, a lamp and a pigment, in a kind of mould, today.
#[derive(Clone, Copy, Debug)]
pub struct Asked<'a> {
    /// The bottle.
    pub resin: &'a ShelfId,
    /// The lamp.
    pub lamp: &'a ShelfId,
    /// The pigment.
    pub pigment: &'a ShelfId,
    /// What the mould does with light.
    pub body: Body,
    /// Today.
    pub today: NaiveDate,
    /// What is to be counted as seen besides, such as a test that is not kept yet.
    pub also: Option<&'a Observation>,
}

/// How one layer came out, as the record of its order has it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Recorded {
    /// The order.
    pub tag: Tag,
    /// The stone.
    pub stone: u8,
    /// What that says.
    pub seen: Observation,
}

/// What is planned with.
#[derive(Clone, Debug, PartialEq)]
pub struct Taught {
    /// Resin, mix and doubts.
    pub cure: Cure,
    /// The buttons of the lamp.
    pub lights: Vec<Light>,
    /// What is known of the bottle under the lamp; `None` where nothing was seen.
    pub known: Option<Known>,
    /// What is believed of the clear resin.
    pub clear: Belief,
    /// What is known of the pigment.
    pub pigment: LearnedPigment,
}

impl Taught {
    /// Whether anything was seen that it was learned from.
    pub fn is_from_work(&self) -> bool {
        let known = self.known.as_ref().is_some_and(|known| known.learned.newest.is_some());
        known || self.pigment.newest.is_some()
    }

    /// Refuses what is learned from a lamp under which nothing set when it was tested last, or under which all layers stayed
    /// soft since, where none of its buttons gives clearly more light than that had: enough for the thinnest layer to be sure
    /// by what is planned with ([`learning::Learned::planned`]).
    ///
    /// # Errors
    /// How much light set nothing, and what to do.
    pub fn something_sets(&self) -> Result<(), LearningError> {
        let Some(learned) = self.known.as_ref().map(|known| &known.learned) else { return Ok(()) };
        let of_test = learned.dead.map(|light| (light, Unset::Test));
        let of_layers = learned.soft.map(|soft| (soft.light, Unset::Layers(soft.layers)));
        self.refused(Load::ZERO, of_test.or(of_layers))
    }

    /// The same of the pigment, where nothing set in the newest test of a mix of it.
    ///
    /// # Errors
    /// How much light set nothing, and what to do.
    pub fn colour_sets(&self) -> Result<(), LearningError> {
        let dead = self.pigment.dead.map(|(light, load)| (light, Unset::Mix(load)));
        self.refused(self.cure.mix.least, dead)
    }

    /// Refuses what did not set where not even the thinnest layer of this load is sure under any button.
    fn refused(&self, load: Load, unset: Option<(Span, Unset)>) -> Result<(), LearningError> {
        let Some((light, of)) = unset else { return Ok(()) };
        let is_sure = |light: &Light| {
            self.cure.thickest_sure(load, light).is_some_and(|thickest| thickest >= learning::SKIN)
        };
        if self.lights.iter().any(is_sure) {
            return Ok(());
        }
        let longest = self.lights.iter().map(|light| light.button.equivalent()).max();
        Err(LearningError::NothingSets { light, longest: longest.unwrap_or(Span::ZERO), of })
    }

    /// Whether a clear layer is no thicker than the tests cover.
    pub fn covers(&self, thickness: Length) -> bool {
        self.known.as_ref().is_none_or(|known| known.learned.beyond_tested(thickness).is_none())
    }

    /// The layers of a plan, by their places from the face, that are thicker than the tests of the bottle cover. Pigment only
    /// takes from what light reaches, so what goes for clear resin goes for every layer.
    pub fn beyond(&self, plan: &Plan) -> Vec<(usize, Note)> {
        let Some(learned) = self.known.as_ref().map(|known| &known.learned) else { return Vec::new() };
        let places = plan.layers.iter().enumerate();
        places.filter_map(|(place, layer)| Some((place, learned.beyond_tested(layer.thickness)?))).collect()
    }

    /// The thickest clear layer that is sure to set through under one of its lights and that the tests cover, in whole
    /// tenths of a millimetre; `None` where not even the thinnest is.
    pub fn thickest_clear(&self, light: &Light) -> Option<Length> {
        self.something_sets().ok()?;
        let sure = self.cure.thickest_sure(Load::ZERO, light)?;
        let tenths = sure.micro() / 100_000;
        (1..=tenths)
            .rev()
            .map(|tenths| Length::from_micro(tenths * 100_000))
            .find(|thickness| self.covers(*thickness))
    }
}

/// The newest so many layers are learned from: what many more say is the same, only older (common practice, no
/// source).
const MOST_RECORDED: usize = 200;

impl Studio {
    /// What was learned up to `today` of what a stone is made with.
    ///
    /// # Errors
    /// As [`Studio::taught`].
    pub fn taught_for(&self, stone: &StoneSheet, today: NaiveDate) -> Result<Taught, PlanningError> {
        let body = self.mould(&stone.mould)?.body;
        let (resin, lamp, pigment) = (&stone.resin, &stone.lamp, &stone.pigment);
        self.taught(&Asked { resin, lamp, pigment, body, today, also: None })
    }

    /// From so many layers of a bottle on only the newest are learned from.
    pub const MOST_RECORDED: usize = MOST_RECORDED;

    /// How the layers of a bottle came out, as the records of all orders have it, the newest first and only so many.
    pub fn recorded(&self, bottle: &ShelfId) -> Vec<Recorded> {
        let mould = |mould: &ShelfId| match self.shelf().get(mould).map(|item| &item.what) {
            Some(What::Mould(mould)) => Some(mould),
            _ => None,
        };
        let of_order = |tag: Tag, held: &Held| {
            let stones = held.ledger.pours.stones.iter();
            let seen = stones.flat_map(|(no, stone)| {
                let seen = outcomes(stone, bottle, mould(&stone.mould)).into_iter();
                seen.map(|seen| Recorded { tag, stone: *no, seen })
            });
            seen.collect::<Vec<Recorded>>()
        };
        let mut all: Vec<Recorded> = self.awake().flat_map(|(tag, held)| of_order(tag, held)).collect();
        newest_first(&mut all);
        // An order at rest is looked into only where it may have felt a layer later than the last of so many.
        let felt = |(tag, held): (&Tag, &Held)| {
            let (_, newest) = held.at_rest()?.felt.iter().find(|(of, _)| of == bottle)?;
            Some((*newest, *tag))
        };
        let mut resting: Vec<(NaiveDate, Tag)> = self.orders().iter().filter_map(felt).collect();
        resting.sort();
        for (day, tag) in resting.into_iter().rev() {
            if all.len() == MOST_RECORDED && all.last().is_some_and(|last| last.seen.on > day) {
                break;
            }
            all.extend(self.orders().get(&tag).into_iter().flat_map(|held| of_order(tag, held)));
            newest_first(&mut all);
        }
        all
    }

    /// The lamps that are out of use: what was seen under them says something of the lamp that took their place.
    fn changed_lamps(&self) -> Vec<ShelfId> {
        let gone = self.shelf().iter().filter(|(_, item)| item.retired);
        gone.filter(|(_, item)| matches!(item.what, What::Lamp(_))).map(|(id, _)| id.clone()).collect()
    }

    /// What is planned with: the figures on the shelf, joined with everything that was seen of the bottle and the pigment
    /// under this lamp. Without a word seen they are the figures on the shelf and their usual doubts.
    ///
    /// The lamp button that was seen most speaks for all buttons of its lamp, since seconds of full power are alike.
    ///
    /// # Errors
    /// Something is not on the shelf, or cannot have been seen.
    pub fn taught(&self, asked: &Asked<'_>) -> Result<Taught, PlanningError> {
        let shelf = self.on_shelf(asked)?;
        let of_depth = shelf.bottle.observations.iter().filter(|seen| seen.is_of_depth());
        let mut seen: Vec<Observation> = of_depth.cloned().collect();
        seen.extend(self.recorded(asked.resin).into_iter().map(|recorded| recorded.seen));
        seen.extend(asked.also.cloned());
        let lit = self.lit_by(asked.lamp);
        for seen in seen.iter_mut().filter(|seen| seen.lamp == *asked.lamp && seen.lamp_lit.is_none()) {
            seen.lamp_lit = Some(until(&lit, seen.on));
        }
        Ok(self.joined(asked, &shelf, (&seen, Some(until(&lit, asked.today))))?)
    }

    /// What would be planned with had nothing ever been seen: the figures on the shelf and their usual doubts.
    ///
    /// # Errors
    /// Something is not on the shelf.
    pub fn untaught(&self, asked: &Asked<'_>) -> Result<Taught, PlanningError> {
        Ok(self.joined(asked, &self.on_shelf(asked)?, (&[], None))?)
    }

    fn on_shelf(&self, asked: &Asked<'_>) -> Result<OnShelf<'_>, Refusal> {
        let (bottle, lamp) = (self.bottle(asked.resin)?, self.lamp(asked.lamp)?);
        let mix = &self.pigment(asked.pigment)?.mix;
        let now = Now { today: asked.today, opened: bottle.opened };
        Ok(OnShelf { bottle, mix, lights: bottle.lights(asked.lamp, lamp), now })
    }

    /// How long a lamp was lit on each day, as the records of all orders have it: one press once, however many stones lay
    /// under it.
    fn lit_by(&self, lamp: &ShelfId) -> BTreeMap<NaiveDate, Span> {
        let mut days: BTreeMap<NaiveDate, Span> = BTreeMap::new();
        for held in self.orders().values() {
            for (_, day, span) in held.lit().iter().filter(|(of, ..)| of == lamp) {
                let sum = days.entry(*day).or_insert(Span::ZERO);
                *sum = *sum + *span;
            }
        }
        days
    }

    fn joined(
        &self,
        asked: &Asked<'_>,
        shelf: &OnShelf<'_>,
        (seen, lamp_lit): (&[Observation], Option<Span>),
    ) -> Result<Taught, LearningError> {
        let bench = learning::Bench {
            today: asked.today,
            lamp: asked.lamp.clone(),
            button: most_seen(seen, asked.lamp),
            body: asked.body,
            opened: shelf.bottle.opened,
            lamp_lit,
        };
        let prior = shelf.prior(bench.button)?;
        let known = know(&prior, seen, &bench, &self.changed_lamps())?;
        let clear = known.as_ref().map_or(prior, |known| known.learned.planned);
        let written: Vec<Observation> = seen.iter().filter(|seen| !is_felt_set(seen)).cloned().collect();
        let pigment = learn_pigment(shelf.mix, &clear, (asked.pigment, &written), &bench)?;
        let is_pigment_known = pigment.newest.is_some() && pigment.apart(shelf.mix).is_none();
        let (mut cure, mut lights) = (shelf.cure()?, shelf.lights_now()?);
        let figures = (&shelf.bottle.resin, shelf.lights.as_slice(), shelf.mix);
        // One layer that was felt does not tell a scoop from what the pigment takes.
        let by_this_scoop = is_pigment_known && (pigment.tested.is_some() || pigment.practised);
        cure.doubts = self.doubts_here(figures, by_this_scoop, Some(shelf.now));
        if let Some(Known { learned, .. }) = known.as_ref().filter(|known| known.learned.is_heard()) {
            // A guess that is only bounded keeps the word of what was typed.
            let source = |typed| match learned.provenance() {
                Provenance::Typical => typed,
                learned => learned,
            };
            cure.resin = Resin::new(learned.planned.penetration()?, source(cure.resin.provenance))?;
            cure.doubts = learned.doubts(cure.doubts)?;
            for light in &mut lights {
                let first_set = learned.planned.first_set()?;
                *light = Light::new(light.button.clone(), first_set, source(light.provenance))?;
            }
        }
        if is_pigment_known {
            cure.mix = pigment.mix(shelf.mix);
            cure.doubts = pigment.doubts(cure.doubts);
            cure.own = pigment.own;
        }
        Ok(Taught { cure, lights, known, clear, pigment })
    }
}

/// Whether something is but a coloured layer that came out hard, or tacky, which says the same of its skin. That the
/// pigment takes less than was guessed can be true at its load alone, and then no paler mix may be planned: too much to
/// follow from layers that were planned to set.
const fn is_felt_set(seen: &Observation) -> bool {
    seen.pigment.is_some()
        && matches!(seen.seen, Seen::Felt { hardness: Hardness::Hard | Hardness::Tacky, .. })
}

/// The button of a lamp that was seen most; the first where none was.
fn most_seen(seen: &[Observation], lamp: &ShelfId) -> u8 {
    let of_lamp = || seen.iter().filter(|seen| seen.lamp == *lamp).map(|seen| seen.button);
    let count = |button: u8| of_lamp().filter(|other| *other == button).count();
    of_lamp().max_by_key(|button| (count(*button), *button)).unwrap_or(1)
}

/// How long a lamp was lit in all by the end of a day.
fn until(lit: &BTreeMap<NaiveDate, Span>, day: NaiveDate) -> Span {
    lit.range(..=day).map(|(_, span)| *span).sum()
}

/// Puts what was seen last in front, and keeps only so much.
fn newest_first(all: &mut Vec<Recorded>) {
    all.sort_by(|a, b| (b.seen.on, a.tag, a.stone).cmp(&(a.seen.on, b.tag, b.stone)));
    all.truncate(MOST_RECORDED);
}

/// The figures on the shelf.
struct OnShelf<'a> {
    bottle: &'a Bottle,
    mix: &'a Mix,
    lights: Vec<Light>,
    now: Now,
}

impl OnShelf<'_> {
    /// The figures before anything was seen; their doubts are the studio's to say.
    fn cure(&self) -> Result<Cure, LearningError> {
        let typed = self.bottle.resin;
        let resin = Resin::new(typed.penetration(), self.of_this_bottle(typed.provenance))?;
        Ok(Cure { resin, mix: *self.mix, ..Cure::typical(self.mix.class) })
    }

    /// The buttons of the lamp, before anything was seen.
    fn lights_now(&self) -> Result<Vec<Light>, LearningError> {
        let now = |light: &Light| {
            let source = self.of_this_bottle(light.provenance);
            Ok(Light::new(light.button.clone(), light.first_set(), source)?)
        };
        self.lights.iter().map(now).collect()
    }

    /// A test of the bottle before is no test of this one, but it is this maker's own work.
    fn of_this_bottle(&self, typed: Provenance) -> Provenance {
        match tested_on(typed) {
            Some(on) if self.now.is_of_earlier_bottle(on) => Provenance::Practised,
            _ => typed,
        }
    }

    /// What is believed before anything was seen: the figures that were typed, within the doubts they are planned with.
    fn prior(&self, button: u8) -> Result<Belief, LearningError> {
        let light = self.lights.get(usize::from(button).saturating_sub(1)).or(self.lights.first());
        let Some(light) = light else { return Ok(Belief::TYPICAL) };
        let typed = Belief::TYPICAL.about(self.bottle.resin.penetration(), light.first_set())?;
        let resin_on = tested_on(self.bottle.resin.provenance);
        Ok(typed.narrowed(resin_on, tested_on(light.provenance), self.now))
    }
}

#[cfg(test)]
mod tests {
    mod unset;

    use super::*;
    use crate::fact::LayerKind;
    use crate::learning::{Newness, PigmentLoad, WedgePoint};
    use crate::reading::{Means, Reading};
    use crate::shelf::FirstSet;
    use crate::studio::{Edit, ShelfEdit};
    use crate::testing::*;

    fn seen(on: NaiveDate, seen: Seen) -> Observation {
        Observation {
            on,
            lamp: item("box-lamp"),
            button: 1,
            lamp_lit: None,
            body: Body::Opaque,
            pigment: None,
            seen,
        }
    }

    fn wedge(on: NaiveDate) -> Observation {
        let point = |(s, mm): (f64, f64)| WedgePoint {
            light: Span::from_s(s),
            depth: Reading { value: Length::from_mm(mm), doubt: Length::from_mm(0.05), by: Means::Caliper },
        };
        let points = [(5.0, 1.15), (12.0, 1.9), (30.0, 2.6), (75.0, 3.3)].map(point).to_vec();
        seen(on, Seen::Wedge { points })
    }

    fn felt(mm: f64, hardness: Hardness) -> Observation {
        let (thickness, light) = (Length::from_mm(mm), Span::from_s(60.0));
        seen(day(1), Seen::Felt { thickness, light, hardness })
    }

    /// Puts a bottle on the shelf in place of the one that stands there.
    fn put(bench: &mut Bench, id: &str, change: impl FnOnce(&mut crate::shelf::Item)) {
        let id = item(id);
        let mut now = bench.studio.shelf()[&id].clone();
        change(&mut now);
        bench.edit(Edit::Shelf(id, ShelfEdit::Put(Box::new(now)))).unwrap();
    }

    fn put_bottle(bench: &mut Bench, change: impl FnOnce(&mut Bottle)) {
        put(bench, "clear", |item| match &mut item.what {
            What::Resin(bottle) => change(bottle),
            other => panic!("{other:?}"),
        });
    }

    fn asked_of(bench: &Bench, lamp: &str, today: NaiveDate) -> Taught {
        let (resin, lamp, pigment) = (&item("clear"), &item(lamp), &item("night"));
        let asked = Asked { resin, lamp, pigment, body: Body::Opaque, today, also: None };
        bench.studio.taught(&asked).unwrap()
    }

    fn doubt(taught: &Taught) -> f64 {
        taught.cure.doubts.first_set.get()
    }

    #[test]
    fn the_records_of_all_orders_are_learned_from() {
        let mut bench = Bench::begun();
        let resin = item("clear");
        assert_eq!(bench.studio.recorded(&resin), Vec::new());
        assert_eq!(asked_of(&bench, "box-lamp", day(2)).known, None);
        bench.harden(1, 1, LayerKind::Clear);
        let recorded = bench.studio.recorded(&resin);
        assert_eq!(recorded.len(), 1, "{recorded:?}");
        assert_eq!((recorded[0].tag, recorded[0].stone), (tag(0), 1));
        assert!(matches!(recorded[0].seen.seen, Seen::Felt { hardness: Hardness::Hard, .. }));
        // Its mould lets light in, so for such a mould it says something, and the plan of every order hears of it.
        let (lamp, pigment) = (&item("box-lamp"), &item("night"));
        let asked =
            Asked { resin: &resin, lamp, pigment, body: Body::LetsLightIn, today: day(2), also: None };
        let taught = bench.studio.taught(&asked).unwrap();
        assert_eq!(taught.cure.resin.provenance, Provenance::Typical, "bounded, and still a guess");
        assert!(taught.cure.doubts.first_set.get() < Belief::TYPICAL.first_set_doubt());
        let stone = stone_sheet(2, CELLS[1]);
        let (problem, _) = bench.studio.problem_learned(tag(0), &stone, day(2)).unwrap();
        assert_eq!(problem.cure.resin, taught.cure.resin);
        assert_ne!(problem.cure, bench.studio.problem_for(tag(0), &stone).unwrap().cure);
        // Nothing that is still to come.
        assert_eq!(asked_of(&bench, "box-lamp", day(1)).known, None);
    }

    #[test]
    fn a_plan_names_the_day_of_the_test_and_not_that_of_the_last_layer_felt() {
        let mut bench = Bench::new();
        put_bottle(&mut bench, |bottle| {
            bottle.observations = vec![
                wedge(day(3)),
                seen(
                    day(20),
                    Seen::Works { thickness: Length::from_mm(1.0), light: Span::from_s(60.0), times: 5 },
                ),
            ];
        });
        let taught = asked_of(&bench, "box-lamp", day(25));
        assert_eq!(taught.cure.resin.provenance, Provenance::Tested(day(3)));
        assert!(taught.lights.iter().all(|light| light.provenance == Provenance::Tested(day(3))));
        let learned = &taught.known.as_ref().unwrap().learned;
        assert_eq!(learned.newest, Some(day(20)), "what was seen last is known all the same");
    }

    #[test]
    fn a_bottle_opened_after_the_test_widens_what_is_believed_until_it_is_tested() {
        let mut bench = Bench::new();
        let untaught = doubt(&asked_of(&bench, "box-lamp", day(25)));
        put_bottle(&mut bench, |bottle| bottle.observations = vec![wedge(day(3))]);
        let tested = asked_of(&bench, "box-lamp", day(25));
        assert_eq!(tested.known.as_ref().unwrap().carried, None);
        put_bottle(&mut bench, |bottle| bottle.opened = Some(day(3)));
        assert_eq!(asked_of(&bench, "box-lamp", day(25)).known.unwrap().carried, None, "tested when opened");
        put_bottle(&mut bench, |bottle| bottle.opened = Some(day(10)));
        let newer = asked_of(&bench, "box-lamp", day(25));
        let known = newer.known.as_ref().unwrap();
        assert_eq!(known.carried, Some(Newness::Bottle));
        assert!(doubt(&newer) > doubt(&tested) + 0.1 && doubt(&newer) < untaught, "{}", doubt(&newer));
        assert_eq!(newer.cure.resin.provenance, Provenance::Practised, "this bottle was never tested");
        assert_eq!(known.learned.deepest, Some(Length::from_mm(3.3)));
        put_bottle(&mut bench, |bottle| bottle.observations.push(wedge(day(11))));
        let again = asked_of(&bench, "box-lamp", day(25));
        assert_eq!(again.cure.resin.provenance, Provenance::Tested(day(11)));
        assert!(doubt(&again) < doubt(&newer) - 0.1, "{}", doubt(&again));
    }

    #[test]
    fn a_lamp_that_took_anothers_place_is_believed_with_the_doubt_between_lamps() {
        let mut bench = Bench::new();
        let lamp = bench.studio.shelf()[&item("box-lamp")].clone();
        put_bottle(&mut bench, |bottle| bottle.observations = vec![wedge(day(3))]);
        bench.edit(Edit::Shelf(item("next-lamp"), ShelfEdit::Put(Box::new(lamp)))).unwrap();
        let beside = asked_of(&bench, "next-lamp", day(4));
        assert_eq!(beside.known, None, "another lamp that is in use says nothing of this one");
        bench.edit(Edit::Shelf(item("box-lamp"), ShelfEdit::Retire(true))).unwrap();
        let changed = asked_of(&bench, "next-lamp", day(4));
        assert_eq!(changed.known.as_ref().unwrap().carried, Some(Newness::Lamp));
        let before = asked_of(&bench, "box-lamp", day(4));
        assert!(doubt(&changed) > doubt(&before) + 0.2, "{} {}", doubt(&changed), doubt(&before));
        assert!(changed.cure.doubts.penetration < beside.cure.doubts.penetration);
        put_bottle(&mut bench, |bottle| bottle.opened = Some(day(4)));
        let both = asked_of(&bench, "next-lamp", day(4));
        assert_eq!(both.known.as_ref().unwrap().carried, Some(Newness::Both));
        assert!(both.cure.doubts.penetration > changed.cure.doubts.penetration);
    }

    #[test]
    fn figures_of_a_test_that_were_typed_are_not_forgotten_for_one_layer() {
        let mut bench = Bench::new();
        put_bottle(&mut bench, |bottle| {
            let tested = Provenance::Tested(day(1));
            bottle.resin = Resin::new(Length::from_mm(1.3), tested).unwrap();
            bottle.observations = vec![felt(0.8, Hardness::Hard)];
        });
        let taught = asked_of(&bench, "box-lamp", day(2));
        let penetration = taught.cure.resin.penetration();
        assert!((penetration.mm() - 1.3).abs() < 0.02, "{penetration}");
        assert!(taught.cure.doubts.penetration.get() < 0.06, "{:?}", taught.cure.doubts);
    }

    #[test]
    fn a_test_that_was_typed_ages_and_does_not_outlive_its_bottle() {
        let mut bench = Bench::new();
        put_bottle(&mut bench, |bottle| {
            let tested = Provenance::Tested(day(1));
            bottle.resin = Resin::new(Length::from_mm(1.3), tested).unwrap();
            let of = |button| FirstSet {
                lamp: item("box-lamp"),
                button,
                seconds: Span::from_s(1.2),
                provenance: tested,
            };
            bottle.first_sets = vec![of(1), of(2)];
        });
        let stone = stone_sheet(1, CELLS[0]);
        let planned =
            |bench: &Bench, today: NaiveDate| bench.studio.problem_learned(tag(0), &stone, today).unwrap().0;
        let fresh = planned(&bench, day(1));
        assert_eq!(fresh, bench.studio.problem_for(tag(0), &stone).unwrap());
        let later = day(1) + chrono::Days::new(700);
        let old = planned(&bench, later);
        assert!(old.cure.doubts.first_set.get() > fresh.cure.doubts.first_set.get() + 0.15, "{old:?}");
        // What was learned beside it starts from the same.
        put_bottle(&mut bench, |bottle| bottle.observations = vec![felt(0.8, Hardness::Hard)]);
        assert!(
            doubt(&asked_of(&bench, "box-lamp", later)) > doubt(&asked_of(&bench, "box-lamp", day(2))) + 0.15
        );
        put_bottle(&mut bench, |bottle| {
            bottle.observations.clear();
            bottle.opened = Some(day(20));
        });
        let next = planned(&bench, day(21));
        assert!(
            next.cure.doubts.penetration.get() > 0.11 && next.cure.doubts.first_set.get() > 0.22,
            "{next:?}"
        );
        assert_eq!(next.cure.resin.provenance, Provenance::Practised, "this bottle was never tested");
    }

    #[test]
    fn loads_that_were_tested_and_are_not_planned_are_told_in_a_sentence() {
        let mut bench = Bench::new();
        let mixed = |load: f64| {
            let per_mm = 1.2 + 5.0 * load;
            let point = |s: f64| WedgePoint {
                light: Span::from_s(s),
                depth: Reading {
                    value: Length::from_mm(s.ln() / per_mm),
                    doubt: Length::from_mm(0.03),
                    by: Means::Caliper,
                },
            };
            let points = [10.0, 25.0, 60.0, 140.0].map(point).to_vec();
            let pigment = Some(PigmentLoad { item: item("night"), load: Load::from_percent(load) });
            Observation { pigment, ..seen(day(3), Seen::Wedge { points }) }
        };
        put_bottle(&mut bench, |bottle| bottle.observations = vec![wedge(day(3)), mixed(1.6), mixed(2.0)]);
        let stone = stone_sheet(1, CELLS[0]);
        let why = bench.studio.problem_learned(tag(0), &stone, day(4)).unwrap_err().to_string();
        assert_eq!(
            why,
            "the pigment was tested at 1.6 % to 2 %, and it is planned at 0.1 % to 1.5 %; test a paler mix"
        );
        // The pages that only show what is known go on with the guess.
        let taught = asked_of(&bench, "box-lamp", day(4));
        assert_eq!(taught.cure.mix, Mix::typical(crate::cure::PigmentClass::Dark));
        put_bottle(&mut bench, |bottle| bottle.observations.push(mixed(0.33)));
        let problem = bench.studio.problem_learned(tag(0), &stone, day(4)).unwrap().0;
        assert_eq!(problem.cure.mix.least, Load::from_percent(0.3));
    }

    #[test]
    fn a_soft_layer_that_was_mended_is_learned_from_and_a_lamp_ages_by_its_hours_too() {
        let mut bench = Bench::hard();
        bench.record(laid(1, 2, LayerKind::Clear));
        for hardness in [Hardness::Soft, Hardness::Hard] {
            let on = bench.record(lamp_on(&[1]));
            bench.record(lamp_off(on, 60.0));
            bench.record(crate::testing::felt(1, 2, hardness));
        }
        let felt = |wanted: Hardness| {
            let is = |recorded: &&Recorded| matches!(recorded.seen.seen, Seen::Felt { hardness, .. } if hardness == wanted);
            bench.studio.recorded(&item("clear")).iter().filter(is).count()
        };
        assert_eq!((felt(Hardness::Soft), felt(Hardness::Hard)), (1, 2));
        // Three presses of a minute, all on that day, and none before.
        let lit = bench.studio.lit_by(&item("box-lamp"));
        assert_eq!(
            (lit.len(), until(&lit, day(2)), until(&lit, day(1))),
            (1, Span::from_s(180.0), Span::ZERO)
        );
        assert!(bench.studio.lit_by(&item("another")).is_empty());
    }

    #[test]
    fn the_thickest_clear_layer_is_sure_and_covered_by_the_test() {
        let mut bench = Bench::new();
        put_bottle(&mut bench, |bottle| bottle.observations = vec![wedge(day(3))]);
        let taught = asked_of(&bench, "box-lamp", day(4));
        let light = taught.lights[0].clone();
        let thickest = taught.thickest_clear(&light).unwrap();
        let sure = taught.cure.thickest_sure(Load::ZERO, &light).unwrap();
        assert!(thickest <= sure && thickest > sure - Length::from_mm(0.1), "{thickest} {sure}");
        // A test of thin skins covers no deep layer, whatever its line says.
        put_bottle(&mut bench, |bottle| {
            let Seen::Wedge { points } = &mut bottle.observations[0].seen else { panic!("no wedge") };
            points.truncate(1);
        });
        let taught = asked_of(&bench, "box-lamp", day(4));
        assert_eq!(taught.thickest_clear(&taught.lights[0]), Some(Length::from_mm(1.3)), "1.2 times 1.15 mm");
    }

    #[test]
    fn a_test_in_which_nothing_set_promises_no_layer_and_plans_none_until_something_sets() {
        let mut bench = Bench::new();
        let nothing = |on: NaiveDate| {
            let mut test = wedge(on);
            let Seen::Wedge { points } = &mut test.seen else { panic!("no wedge") };
            for point in points {
                point.depth.value = Length::ZERO;
            }
            test
        };
        put_bottle(&mut bench, |bottle| bottle.observations = vec![wedge(day(2)), nothing(day(3))]);
        let taught = asked_of(&bench, "box-lamp", day(4));
        assert_eq!(taught.thickest_clear(&taught.lights[0]), None);
        let stone = stone_sheet(1, CELLS[0]);
        let why = bench.studio.plan_for(tag(0), &stone, day(4)).unwrap_err().to_string();
        assert!(why.starts_with("nothing set in up to"), "{why}");
        // What was lit for less than the longest button gives only says that it takes longer.
        put_bottle(&mut bench, |bottle| {
            let Seen::Wedge { points } = &mut bottle.observations[1].seen else { panic!("no wedge") };
            for point in points {
                point.light = Span::from_s(3.0);
            }
        });
        bench.studio.plan_for(tag(0), &stone, day(4)).unwrap();
        put_bottle(&mut bench, |bottle| bottle.observations.push(wedge(day(4))));
        bench.studio.plan_for(tag(0), &stone, day(4)).unwrap();
    }

    #[test]
    fn coloured_layers_that_came_out_hard_forbid_no_paler_mix() {
        let mut bench = Bench::new();
        let coloured = |mm: f64, hardness| Observation {
            pigment: Some(PigmentLoad { item: item("night"), load: Load::from_percent(0.5) }),
            ..felt(mm, hardness)
        };
        let untaught = asked_of(&bench, "box-lamp", day(2)).cure;
        put_bottle(&mut bench, |bottle| bottle.observations = vec![coloured(0.6, Hardness::Hard); 40]);
        assert_eq!(asked_of(&bench, "box-lamp", day(2)).cure.mix, untaught.mix);
        // One that stayed soft asks for care.
        put_bottle(&mut bench, |bottle| bottle.observations.push(coloured(0.6, Hardness::Soft)));
        assert!(asked_of(&bench, "box-lamp", day(2)).cure.mix.absorption > untaught.mix.absorption);
    }

    #[test]
    fn a_test_in_a_clear_tray_is_no_test_for_a_dark_mould_and_that_is_told() {
        let mut bench = Bench::new();
        put_bottle(&mut bench, |bottle| {
            bottle.observations = vec![Observation { body: Body::LetsLightIn, ..wedge(day(3)) }];
        });
        let taught = asked_of(&bench, "box-lamp", day(4));
        assert_eq!(taught.cure.resin.provenance, Provenance::Typical);
        assert!(!taught.is_from_work());
        let notes = taught.known.unwrap().learned.notes;
        assert_eq!(notes, [Note::OtherMould { layers: 0, tests: 1, is_tested: false }]);
    }

    #[test]
    fn a_hard_thick_layer_against_a_soft_thin_one_is_told_of() {
        let mut bench = Bench::new();
        put_bottle(&mut bench, |bottle| {
            bottle.observations = vec![felt(3.0, Hardness::Hard), felt(1.0, Hardness::Soft)];
        });
        let notes = asked_of(&bench, "box-lamp", day(2)).known.unwrap().learned.notes;
        assert!(matches!(notes[..], [Note::Contradicting { .. }]), "{notes:?}");
    }
}
