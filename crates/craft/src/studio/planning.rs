//! From a stone's sheet and the shelf to a plan.

use chrono::NaiveDate;

use crate::cure::{Correlation, Doubts, Factor, Light, MaterialShade, Mix, Provenance, Resin};
use crate::dosing::{Mixing, Pour, Scoop, dose};
use crate::fact::Material;
use crate::foreseen::lie_of;
use crate::geometry::Cavity;
use crate::learning::{Belief, LearningError, Note, Now};
use crate::order::StoneSheet;
use crate::packing::Lie;
use crate::planner::{Caution, Plan, PlanError, Problem, promised};
use crate::refusal::Refusal;
use crate::tag::Tag;
use crate::units::{Length, Mass};

use super::Studio;

/// Why a stone cannot be planned.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum PlanningError {
    /// Something it needs is not on the shelf.
    #[error(transparent)]
    Shelf(#[from] Refusal),
    /// The planner found no way.
    #[error(transparent)]
    Plan(#[from] PlanError),
    /// What was seen cannot have been, or says what no resin or lamp does.
    #[error(transparent)]
    Learning(#[from] LearningError),
}

fn is_tested(provenance: Provenance) -> bool {
    tested_on(provenance).is_some()
}

/// The day of a test; none of what was not tested.
pub(super) fn tested_on(provenance: Provenance) -> Option<NaiveDate> {
    match provenance {
        Provenance::Tested(day) => Some(day),
        Provenance::Typical | Provenance::Practised => None,
    }
}

/// What of the typical doubts is left: a test of the bottle, of a lamp over it and of the pigment narrows its own part.
/// With `now` given, a test of the bottle counts for less the older it is, and less again where the bottle was opened after
/// it. How pigment is measured out is no matter of light: see [`Studio::dosing_doubt`].
pub(super) fn doubts_left(resin: &Resin, lights: &[Light], mix: &Mix, now: Option<Now>) -> Doubts {
    let mut doubts = Doubts::typical_for(mix.class);
    let tested = doubts.narrowed_to(Doubts::CALIBRATED);
    // With no day given each is as on the day of its test.
    let at = |on: NaiveDate| now.unwrap_or(Now { today: on, opened: None });
    let known = |factor: f64, most: Factor| Factor::new(factor).unwrap_or(most);
    let depth_on = tested_on(resin.provenance);
    if let Some(on) = depth_on {
        let left = Belief::TYPICAL.narrowed(Some(on), None, at(on));
        doubts.penetration = known(left.penetration_doubt(), doubts.penetration);
        doubts.together = tested.together;
    }
    // Of several tests the oldest speaks for all buttons.
    let days: Option<Vec<NaiveDate>> = lights.iter().map(|light| tested_on(light.provenance)).collect();
    if let Some(on) = days.and_then(|days| days.into_iter().min()) {
        let left = Belief::TYPICAL.narrowed(depth_on, Some(on), at(on));
        (doubts.first_set, doubts.lamp) = (known(left.first_set_doubt(), doubts.first_set), tested.lamp);
        if depth_on.is_some() {
            doubts.together = Correlation::new(left.together()).unwrap_or(tested.together);
        }
    }
    if tested_on(mix.absorption_from()).is_some() {
        doubts.pigment = tested.pigment;
    }
    doubts
}

/// What stirring leaves of a load that was weighed exactly: not every drop of a pot holds the same (common practice, no
/// source).
const STIRRED: f64 = 0.05;
/// What one scoop and its drops differ by from the next ones of the same hand (common practice, no source).
const SCOOP_TO_SCOOP: Factor = Doubts::TYPICAL.dosing;

/// The shade of one kind of material, as a guess.
fn shade_of(material: Material) -> MaterialShade {
    match lie_of(material) {
        Lie::Strands => MaterialShade::STRANDS,
        Lie::Grains => MaterialShade::GRAINS,
        Lie::Sheets => MaterialShade::SHEETS,
    }
}

/// The shade of the darkest of some materials, which is that of all of them together at the cautious end: what is
/// guessed is how much of the layer they fill all together.
fn darkest(materials: &[Material]) -> Option<MaterialShade> {
    let shades = materials.iter().map(|material| shade_of(*material));
    shades.max_by(|a, b| a.per_mm.get().total_cmp(&b.per_mm.get()))
}

impl Studio {
    /// What measuring out leaves in doubt of a load, as a standard uncertainty of its logarithm: what the palest pot that is
    /// planned has of its masterbatch on the scale of the bench, and of stirring; never more than counting scoops.
    ///
    /// Without such a scale it is [`Scoop::DOUBT`]. The greater part of that is how far this scoop and this drop are from
    /// what they are taken for, and a maker dips the same scoop again and again: it puts every load out alike, and so it is
    /// one with what the pigment takes of the light. `by_this_scoop` says that the plan's figure for that was found with the
    /// loads as they are dipped here, by a test or a habit of this pigment; then it has the offset in it, and what is
    /// left is `SCOOP_TO_SCOOP`. The guess of a class counts as found so: it is tuned to what makers do who dip scoops, and
    /// the spread of a class has their offsets in it; counted once more, a white could hardly be laid at all, which practice
    /// contradicts (common practice, no source). A figure that was only typed as tested has nobody's offset in it.
    fn dosing_doubt(&self, mix: &Mix, by_this_scoop: bool) -> Factor {
        let counted = if by_this_scoop { SCOOP_TO_SCOOP } else { Scoop::DOUBT };
        let weighed = self.bench_scale().and_then(|scale| {
            let one = dose(&[Pour { load: mix.least, mass: Mass::from_mg(1.0) }], &Mixing::USUAL).ok()?;
            let weighed = one.doubt(one.pots.first()?, &scale).ok()?;
            Factor::new(weighed.get().hypot(STIRRED)).ok()
        });
        weighed.filter(|weighed| *weighed < Scoop::DOUBT).unwrap_or(counted)
    }

    /// [`doubts_left`] with how pigment is measured out here: see [`Studio::dosing_doubt`] for `by_this_scoop`, which
    /// holds for the guess of a class in any case.
    pub(super) fn doubts_here(
        &self,
        (resin, lights, mix): (&Resin, &[Light], &Mix),
        by_this_scoop: bool,
        now: Option<Now>,
    ) -> Doubts {
        let is_typed_test = tested_on(mix.absorption_from()).is_some();
        let dosing = self.dosing_doubt(mix, by_this_scoop || !is_typed_test);
        Doubts { dosing, ..doubts_left(resin, lights, mix, now) }
    }

    /// What goes into a stone: the material of the lots its sheet names, or of every lot of the order where it names
    /// none yet. What has not come yet is counted as hair, so that nothing is ever planned as clear resin by mistake.
    ///
    /// # Errors
    /// [`Refusal::NoOrder`].
    pub fn materials_of(&self, tag: Tag, stone: &StoneSheet) -> Result<Vec<Material>, Refusal> {
        let lots = &self.order(tag)?.ledger.custody.lots;
        let come = |lot: &u8| lots.get(lot).map_or(Material::Hair, |lot| lot.material);
        let named: Vec<Material> = stone.shares.iter().map(|share| come(&share.lot)).collect();
        let all: Vec<Material> = lots.values().map(|lot| lot.material).collect();
        let any = [named, all].into_iter().find(|materials| !materials.is_empty());
        Ok(any.unwrap_or_else(|| vec![Material::Hair]))
    }

    /// The shape of a stone's mould.
    ///
    /// # Errors
    /// The mould is not on the shelf, or is something else.
    pub fn cavity_of(&self, stone: &StoneSheet) -> Result<Cavity, Refusal> {
        Ok(self.mould(&stone.mould)?.cavity.clone())
    }

    /// What is to be planned for a stone of an order, from the shelf and the lots as they are now.
    ///
    /// # Errors
    /// There is no such order, something is not on the shelf, or its figures cannot be planned with.
    pub fn problem_for(&self, tag: Tag, stone: &StoneSheet) -> Result<Problem, PlanningError> {
        let mut problem = self.problem_with(stone, &self.materials_of(tag, stone)?)?;
        self.pack(tag, stone, &mut problem)?;
        Ok(problem)
    }

    /// What is to be planned for a stone that holds these materials, from the shelf as it is now. Whoever has a day asks
    /// [`Studio::problem_learned`]: here what was tested counts as on the day of its test.
    ///
    /// # Errors
    /// Something is not on the shelf, or its figures cannot be planned with.
    pub fn problem_with(&self, stone: &StoneSheet, materials: &[Material]) -> Result<Problem, PlanningError> {
        let (mould, bottle) = (self.mould(&stone.mould)?, self.bottle(&stone.resin)?);
        let (lamp, pigment) = (self.lamp(&stone.lamp)?, self.pigment(&stone.pigment)?);
        let lights = bottle.lights(&stone.lamp, lamp);
        let doubts = self.doubts_here((&bottle.resin, &lights, &pigment.mix), false, None);
        let depth = mould.cavity.depth();
        let mut problem = Problem::for_stone(depth, stone.face, pigment.mix, stone.style, lights, doubts)?;
        problem.cure.resin = bottle.resin;
        problem.handling = self.policies.handling;
        problem.shade = darkest(materials);
        let is_sheet = |material: &Material| lie_of(*material) == Lie::Sheets;
        problem.caution = materials.iter().any(is_sheet).then_some(Caution::FaceUp);
        problem.well = mould.well();
        stone.wishes.put_into(&mut problem);
        Ok(problem)
    }

    /// What is to be planned for a stone of an order with what its bottle taught the maker up to `today`, and what to
    /// know about that: tests, habits, and how the layers of all orders came out. Without a word seen of the bottle it is
    /// [`Studio::problem_for`], with what was typed of a test counting for less the older it is.
    ///
    /// No clear layer is planned thicker than the test covers.
    ///
    /// # Errors
    /// As [`Studio::problem_for`], or something on the shelf that cannot have been seen.
    pub fn problem_learned(
        &self,
        tag: Tag,
        stone: &StoneSheet,
        today: NaiveDate,
    ) -> Result<(Problem, Vec<Note>), PlanningError> {
        let mut problem = self.problem_for(tag, stone)?;
        let pigment = &stone.pigment;
        let taught = self.taught_for(stone, today)?;
        taught.something_sets()?;
        taught.colour_sets()?;
        if let Some(apart) = taught.pigment.apart(&self.pigment(pigment)?.mix) {
            return Err(apart.into());
        }
        let mut notes = taught.known.as_ref().map_or_else(Vec::new, |known| known.learned.notes.clone());
        notes.retain(|note| !matches!(note, Note::InColour { pigment: of, .. } if of != pigment));
        for clear in [&mut problem.face_layer, &mut problem.back] {
            let covered = (clear.least..=clear.most)
                .rev()
                .find(|tenths| taught.covers(Length::from_micro(i64::from(*tenths) * 100_000)));
            clear.most = covered.unwrap_or(clear.least);
        }
        (problem.cure, problem.lights) = (taught.cure, taught.lights);
        Ok((problem, notes))
    }

    /// The best plan for a stone of an order, from the shelf, the lots and what was learned up to `today`; the one that
    /// the stone keeps where that is laid in the same way.
    ///
    /// # Errors
    /// As [`Studio::problem_learned`], or what binds and what would free it.
    pub fn plan_for(&self, tag: Tag, stone: &StoneSheet, today: NaiveDate) -> Result<Plan, PlanningError> {
        Ok(kept_or(stone, promised(&self.problem_learned(tag, stone, today)?.0)?))
    }
}

/// A new plan for a stone, or the one that it keeps where the two are laid in the same way: doubts grow a little with each
/// day, and that alone makes no other plan.
pub fn kept_or(stone: &StoneSheet, new: Plan) -> Plan {
    let laid = |plan: &Plan| -> Vec<_> {
        let plain = |layer: &crate::planner::PlannedLayer| {
            let hand = (layer.region, layer.thickness, layer.load, layer.lay, layer.settle, layer.cool);
            (hand, (layer.button.clone(), layer.seconds, layer.presses))
        };
        plan.layers.iter().map(plain).collect()
    };
    match &stone.plan {
        Some(kept) if laid(kept) == laid(&new) && is_of_one_test(kept, &new) && holds_alike(kept, &new) => {
            kept.clone()
        }
        _ => new,
    }
}

/// Whether two plans are for material that lies alike: what came in the end may be petals where hair was counted on.
fn holds_alike(one: &Plan, other: &Plan) -> bool {
    let sheets = |plan: &Plan| (plan.caution, plan.shade == Some(MaterialShade::SHEETS), plan.thinnest);
    sheets(one) == sheets(other)
}

/// Whether two plans rest on the same tests of resin, pigment and lamps.
fn is_of_one_test(one: &Plan, other: &Plan) -> bool {
    let tests = |plan: &Plan| {
        let lights = plan.lights.iter().map(|light| light.provenance);
        let all = [plan.cure.resin.provenance, plan.cure.mix.provenance].into_iter().chain(lights);
        all.map(|provenance| is_tested(provenance).then_some(provenance)).collect::<Vec<_>>()
    };
    tests(one) == tests(other)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::compare::Scale;
    use crate::cure::PigmentClass;
    use crate::fact::CustodyFact;
    use crate::geometry::Dome;
    use crate::id::ShelfId;
    use crate::shelf::{Body, Mould, What};
    use crate::studio::{Edit, ShelfEdit};
    use crate::testing::*;
    use crate::units::{Length, Load};

    fn came(bench: &mut Bench, lot: u8, wanted: Material) {
        let CustodyFact::Received { lot, seal, place, photo, keep_back, .. } = received(lot) else { return };
        bench.record(CustodyFact::Received { lot, material: wanted, seal, place, photo, keep_back });
    }

    #[test]
    fn hair_in_the_face_takes_more_light_than_clear_resin_does() {
        let mut bench = Bench::new();
        let stone = stone_sheet(1, CELLS[0]);
        let clear = promised(&bench.studio.problem_with(&stone, &[]).unwrap()).unwrap();
        assert_eq!((clear.shade, clear.caution), (None, None));
        let not_come = bench.studio.plan_for(tag(0), &stone, day(2)).unwrap();
        assert_eq!(not_come.shade, Some(MaterialShade::STRANDS));
        came(&mut bench, 1, Material::Hair);
        let with_hair = bench.studio.plan_for(tag(0), &stone, day(2)).unwrap();
        assert_eq!(with_hair.shade, Some(MaterialShade::STRANDS));
        assert!(with_hair.cost > clear.cost, "{:?} against {:?}", with_hair.cost, clear.cost);
        assert_eq!(with_hair.caution, None);
    }

    #[test]
    fn a_stone_is_shaded_by_the_darkest_of_the_lots_it_is_to_hold() {
        let mut bench = Bench::new();
        came(&mut bench, 1, Material::Ashes);
        came(&mut bench, 2, Material::Hair);
        let mut stone = stone_sheet(1, CELLS[0]);
        let shade =
            |bench: &Bench, stone: &StoneSheet| bench.studio.problem_for(tag(0), stone).unwrap().shade;
        assert_eq!(shade(&bench, &stone), Some(MaterialShade::GRAINS), "lot 1 alone");
        stone.shares.clear();
        assert_eq!(shade(&bench, &stone), Some(MaterialShade::STRANDS), "nothing named yet, so any of them");
    }

    #[test]
    fn petals_are_planned_with_a_word_that_the_stone_must_be_lit_face_up() {
        let mut bench = Bench::new();
        came(&mut bench, 1, Material::Petals);
        let plan = bench.studio.plan_for(tag(0), &stone_sheet(1, CELLS[0]), day(2)).unwrap();
        assert_eq!((plan.shade, plan.caution), (Some(MaterialShade::SHEETS), Some(Caution::FaceUp)));
        assert!(Caution::FaceUp.to_string().contains("face-up after taking it out"));
    }

    #[test]
    fn what_a_bottle_taught_narrows_the_plan_and_another_lamp_teaches_nothing() {
        use crate::learning::{Observation, Seen, WedgePoint};
        use crate::reading::{Means, Reading};
        use crate::units::Span;
        let mut bench = Bench::new();
        let stone = stone_sheet(1, CELLS[0]);
        let today = NaiveDate::from_ymd_opt(2026, 3, 1).unwrap();
        let before = bench.studio.problem_learned(tag(0), &stone, today).unwrap();
        assert_eq!(before, (bench.studio.problem_for(tag(0), &stone).unwrap(), Vec::new()));
        let point = |(s, mm): (f64, f64)| WedgePoint {
            light: Span::from_s(s),
            depth: Reading { value: Length::from_mm(mm), doubt: Length::from_mm(0.05), by: Means::Caliper },
        };
        let mut teach = |lamp: &ShelfId| {
            let (id, mut item) = shelf().into_iter().find(|(id, _)| *id == stone.resin).unwrap();
            let What::Resin(bottle) = &mut item.what else { panic!("not a bottle") };
            bottle.observations.push(Observation {
                on: today,
                lamp: lamp.clone(),
                button: 1,
                lamp_lit: None,
                body: Body::Opaque,
                pigment: None,
                seen: Seen::Wedge {
                    points: [(5.0, 1.15), (12.0, 1.9), (30.0, 2.6), (75.0, 3.3)].map(point).to_vec(),
                },
            });
            bench.edit(Edit::Shelf(id, ShelfEdit::Put(Box::new(item)))).unwrap();
            bench.studio.problem_learned(tag(0), &stone, today).unwrap()
        };
        let (taught, notes) = teach(&stone.lamp);
        assert!(taught.cure.doubts.penetration < before.0.cure.doubts.penetration);
        assert!((taught.cure.resin.penetration().mm() - 0.8).abs() < 0.05, "{:?}", taught.cure.resin);
        assert!(taught.lights.iter().all(|light| is_tested(light.provenance)));
        assert_eq!((notes, taught.face_layer.most), (Vec::new(), 30));
        assert_eq!(teach(&"another".parse().unwrap()), before);
    }

    #[test]
    fn how_pigment_is_measured_out_is_in_doubt_by_the_scale_and_not_by_a_test_of_light() {
        let bench = Bench::new();
        let white = Mix::typical(PigmentClass::White);
        let doubt = |studio: &Studio, mix: &Mix, seen| {
            let light = Light::typical(buttons()[0].clone());
            studio.doubts_here((&Resin::TYPICAL, &[light], mix), seen, None)
        };
        // Scoops: from one to the next where what the pigment takes was found with them, as for all a class's guess.
        assert_eq!(doubt(&bench.studio, &white, false).dosing, SCOOP_TO_SCOOP);
        // A figure from a test that was only typed is of nobody's scoop; a test of light narrows what it takes and no scoop.
        let tested =
            Mix { absorption: Factor::new(4.4).unwrap(), provenance: Provenance::Tested(day(1)), ..white };
        let typed = doubt(&bench.studio, &tested, false);
        assert_eq!((typed.dosing, typed.pigment), (Scoop::DOUBT, Doubts::CALIBRATED.pigment));
        assert_eq!(doubt(&bench.studio, &tested, true).dosing, SCOOP_TO_SCOOP);
        // A scale that shows 10 mg: the palest pot of 2 g at 0.2 % has 40 mg of masterbatch, the masterbatch 200 mg of
        // pigment. Net of √(10²/6 + 4.1²) = 5.79 mg that leaves √(0.142² + 0.026²), worked by hand, and stirring.
        let with = |readability_mg: f64| {
            let mut bench = Bench::new();
            let mut policies = bench.studio.policies().clone();
            let readability = Mass::from_mg(readability_mg);
            policies.scale = Some(Scale { readability, repeatability: Mass::ZERO });
            bench.edit(Edit::Policies(Box::new(policies))).unwrap();
            doubt(&bench.studio, &tested, false).dosing.get()
        };
        assert!((with(10.0) - 0.1528).abs() < 2e-3, "{}", with(10.0));
        assert!((with(1.0) - 0.0520).abs() < 1e-3, "{}", with(1.0));
        assert!((with(100.0) - 0.40).abs() < 1e-9, "a kitchen scale tells no masterbatch");
    }

    #[test]
    fn a_hiding_need_that_was_tested_is_no_test_of_light() {
        let mut mix = Mix::typical(PigmentClass::White);
        (mix.hiding, mix.provenance) = (Factor::new(1.1).unwrap(), Provenance::Tested(day(1)));
        let light = Light::typical(buttons()[0].clone());
        let doubts = doubts_left(&Resin::TYPICAL, std::slice::from_ref(&light), &mix, None);
        assert_eq!(doubts.pigment, PigmentClass::White.absorption_doubt());
        assert_eq!(mix.absorption_from(), Provenance::Typical);
        // What hides is as its card says, else as it was typed, and a wedge of the mix is no card.
        let mut pigment =
            crate::shelf::Pigment { mix, colour: (0, 0, 0), swatches: Vec::new(), cards: Vec::new() };
        assert_eq!(pigment.hiding_from(), Provenance::Tested(day(1)));
        let step = |mm, line_seen| crate::hiding::CardStep { thickness: Length::from_mm(mm), line_seen };
        let steps = vec![step(0.8, true), step(1.0, false)];
        pigment.cards.push(crate::hiding::Card { on: day(9), load: Load::from_percent(1.1), steps });
        assert_eq!(pigment.hiding_from(), Provenance::Tested(day(9)));
        // A figure that was typed after the card is not the card's.
        pigment.mix.hiding = Factor::new(1.2).unwrap();
        assert_eq!(
            (pigment.card_for(pigment.mix.hiding), pigment.hiding_from()),
            (None, Provenance::Tested(day(1)))
        );
        pigment.cards.clear();
        pigment.mix.hiding = Mix::typical(PigmentClass::White).hiding;
        pigment.mix.absorption = Factor::new(4.0).unwrap();
        assert_eq!(pigment.hiding_from(), Provenance::Typical, "the wedge was of light");
        assert_eq!(pigment.mix.absorption_from(), Provenance::Tested(day(1)));
    }

    #[test]
    fn a_kept_plan_stays_while_it_is_laid_in_the_same_way() {
        let mut bench = Bench::new();
        let stone = stone_sheet(1, CELLS[0]);
        let fresh = bench.studio.plan_for(tag(0), &stone, day(2)).unwrap();
        let mut older = fresh.clone();
        older.layers[0].cautious = Factor::new(older.layers[0].cautious.get() + 0.001).unwrap();
        let kept = StoneSheet { plan: Some(older.clone()), ..stone.clone() };
        assert_eq!(bench.studio.plan_for(tag(0), &kept, day(2)).unwrap(), older, "only doubts differ");
        let mut other = older;
        other.layers[0].thickness = other.layers[0].thickness + Length::from_mm(0.1);
        let kept = StoneSheet { plan: Some(other), ..stone };
        assert_eq!(bench.studio.plan_for(tag(0), &kept, day(2)).unwrap(), fresh, "it is laid otherwise");
        // A test names its day, so a plan that was made without it is not the same.
        let (id, mut item) = shelf().into_iter().find(|(id, _)| *id == kept.resin).unwrap();
        let What::Resin(bottle) = &mut item.what else { panic!("not a bottle") };
        bottle.resin.provenance = Provenance::Tested(day(1));
        bench.edit(Edit::Shelf(id, ShelfEdit::Put(Box::new(item)))).unwrap();
        let kept = StoneSheet { plan: Some(fresh.clone()), ..kept };
        let now = bench.studio.plan_for(tag(0), &kept, day(2)).unwrap();
        assert_eq!(now.cure.resin.provenance, Provenance::Tested(day(1)));
        assert_ne!(now, fresh);
    }

    #[test]
    fn a_plan_never_goes_over_the_rim_of_its_mould() {
        let mut bench = Bench::new();
        for hundredths in [575_i64, 570, 579, 433] {
            let depth = Length::from_micro(hundredths * 10_000);
            let (id, mut tray) = shelf().into_iter().find(|(id, _)| id.as_str() == "oval").unwrap();
            let What::Mould(Mould { cavity, .. }) = &mut tray.what else { panic!("not a mould") };
            let dome = Length::from_mm(2.0);
            *cavity = Cavity::new(oval(), Dome::HalfEllipse, dome, depth - dome).unwrap();
            let cavity = cavity.clone();
            bench.edit(Edit::Shelf(id, ShelfEdit::Put(Box::new(tray)))).unwrap();
            let plan = bench.studio.plan_for(tag(0), &stone_sheet(1, CELLS[0]), day(2)).unwrap();
            let layers: Vec<Length> = plan.layers.iter().map(|layer| layer.thickness).collect();
            let marks = cavity.fill_by_thickness(&layers).unwrap();
            assert_eq!(marks.last().unwrap().below_rim, plan.top_up(depth));
            assert!(plan.top_up(depth) < Length::from_mm(0.1));
        }
    }
}
