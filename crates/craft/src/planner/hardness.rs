//! Full hardness: what all the light from both sides adds up to. Advice, never a limit.

use super::outcome::Plan;
use super::problem::Caution;
use crate::cure::{Factor, Light};
use crate::units::{Length, Span};

/// A point of a stone is called fully hard from so many times the light that first sets it, at the best guess: a
/// first-order approach to full set is then at half of it or more (common practice, no source).
pub const FULLY_HARD: Factor = Factor::known(5.0);

/// Where a stone gets least light, all presses from both sides together.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct FullHardness {
    /// The least light anywhere, as a multiple of what first sets the resin, at the best guess.
    pub least: Factor,
    /// How far from the face that is.
    pub from_face: Length,
    /// What the very face has got: it lies against silicone, which lets oxygen through, and there light counts most.
    pub at_face: Factor,
    /// How long the stone is to be lit face-up after taking it out so that every point is fully hard, in seconds of
    /// full power and beyond what was counted; `None` where it is already.
    pub face_up: Option<Span>,
}

impl FullHardness {
    /// Whether every point is fully hard.
    pub fn is_enough(&self) -> bool {
        self.face_up.is_none()
    }
}

/// One point inside a stone.
struct Point {
    from_face_mm: f64,
    /// Light from behind, all presses together.
    behind: f64,
    /// Optical depth up to the face.
    to_face: f64,
}

impl Plan {
    /// What the light adds up to, with `face_up` after taking the stone out where that is planned: layers laid later
    /// are lit through, and light each other less the deeper they lie. `None` for a plan without layers.
    pub fn full_hardness(&self, face_up: Option<&Light>) -> Option<FullHardness> {
        let points = self.points();
        let from_front = face_up.map_or(0.0, Light::dose_ratio);
        let light = |point: &Point| point.behind + from_front * (-point.to_face).exp();
        let least = points.iter().min_by(|a, b| light(a).total_cmp(&light(b)))?;
        let wanted = FULLY_HARD.get();
        // Each point says how much more has to fall on the face for it; the most of these does for all.
        let missing = points.iter().map(|point| (wanted - light(point)) * point.to_face.exp());
        let missing = missing.fold(0.0, f64::max);
        let first_set = face_up.or(self.lights.first()).map_or(1.0, |light| light.first_set().s());
        let hour_s = 3_600.0;
        let factor = |value: f64| Factor::new(value.min(Factor::MOST)).ok();
        Some(FullHardness {
            least: factor(light(least))?,
            from_face: Length::from_mm(least.from_face_mm),
            at_face: factor(points.first().map_or(0.0, light))?,
            face_up: (missing > 1e-9).then(|| Span::from_s((missing * first_set).min(hour_s))),
        })
    }

    /// Nine points of each layer, its two faces among them. Between them the light is a sum of two exponentials that
    /// bends upwards, so its least value lies within a ninth of a layer of one of these.
    fn points(&self) -> Vec<Point> {
        let optics = self.optics();
        let mut points = Vec::new();
        let (mut face_mm, mut face_depth) = (0.0, 0.0);
        for (place, layer) in optics.iter().enumerate() {
            let per_mm = layer.depth() / layer.thickness_mm;
            for ninth in 0..=8 {
                let inside_mm = layer.thickness_mm * f64::from(ninth) / 8.0;
                let mut above = layer.depth() - inside_mm * per_mm;
                let mut behind = layer.dose * (-above).exp();
                for later in optics.iter().skip(place + 1) {
                    above += later.depth();
                    behind += later.dose * (-above).exp();
                }
                // Under a sheet nothing of it counts, wherever in the first layer the sheet came to lie.
                if place == 0 && self.caution == Some(Caution::FaceUp) {
                    behind = 0.0;
                }
                points.push(Point {
                    from_face_mm: face_mm + inside_mm,
                    behind,
                    to_face: face_depth + inside_mm * per_mm,
                });
            }
            face_mm += layer.thickness_mm;
            face_depth += layer.depth();
        }
        points
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::cure::{Button, Doubts, Mix, PigmentClass};
    use crate::planner::{Problem, Style, plan};

    fn lamp(full_s: f64) -> Light {
        Light::typical(Button::new("lamp", Span::from_s(full_s), Span::ZERO).unwrap())
    }

    fn stone(class: PigmentClass) -> Problem {
        let (depth, face) = (Length::from_mm(3.5), Length::from_mm(1.5));
        let mix = Mix::typical(class);
        let lights = [60.0, 120.0, 180.0].map(lamp).to_vec();
        Problem::for_stone(depth, face, mix, Style::Deepening, lights, Doubts::CALIBRATED).unwrap()
    }

    /// Clear resin, 2 mm thick with a penetration depth of 1 mm, lit from behind by 60 times what first sets it.
    fn slab() -> Plan {
        let mut problem = stone(PigmentClass::Clear);
        (problem.depth, problem.face, problem.cure.doubts) = (23, 20, Doubts::NONE);
        problem.lights.truncate(1);
        let mut plan = plan(&problem).unwrap();
        plan.layers.truncate(1);
        assert_eq!(plan.depth(), Length::from_mm(2.0));
        plan
    }

    /// Light from the face, as a multiple of what first sets it; the least light anywhere, and where that is, in mm.
    /// 1/e² is 0.135335 and 1/e 0.367879 (Abramowitz and Stegun, *Handbook of Mathematical Functions*, table 4.4, from
    /// memory): 60/e² at the face alone; with 60 from the face as well twice 60/e in the middle; and with a quarter of
    /// that, twice the root of 60·15 over e (the two parts are alike where their sum is least), ln 2 mm nearer to the
    /// face than the middle.
    const SLABS: [(f64, f64, f64); 3] = [
        (0.0, 60.0 * 0.135_335, 0.0),
        (60.0, 2.0 * 60.0 * 0.367_879, 1.0),
        (15.0, 2.0 * 30.0 * 0.367_879, 1.0 - std::f64::consts::LN_2),
    ];

    /// Nine points of a layer are looked at: an eighth of it, and what the light bends between two of them.
    fn slabs_hold(least: impl Fn(f64) -> (f64, f64)) -> bool {
        SLABS.iter().all(|&(front, light, at_mm)| {
            let (got, got_mm) = least(front);
            (got / light - 1.0).abs() < 4e-3 && (got_mm - at_mm).abs() <= 0.125
        })
    }

    /// The least over 2,000 points of what `sum` makes of the light from behind and from the face.
    fn by_points(front: f64, sum: impl Fn(f64, f64) -> f64) -> (f64, f64) {
        let points = (0..=2_000).map(|i| f64::from(i) / 1_000.0);
        let lit = points.map(|mm: f64| (sum(60.0 * (mm - 2.0).exp(), front * (-mm).exp()), mm));
        lit.min_by(|a, b| a.0.total_cmp(&b.0)).unwrap()
    }

    #[test]
    fn a_slab_lit_from_both_faces_has_the_sum_of_both() {
        let by_plan = |front: f64| {
            let face_up = (front > 0.0).then(|| lamp(front));
            let found = slab().full_hardness(face_up.as_ref()).unwrap();
            (found.least.get(), found.from_face.mm())
        };
        assert!(slabs_hold(by_plan));
        assert!(slabs_hold(|front| by_points(front, |behind, before| behind + before)), "second method");
        assert!(!slabs_hold(|_| by_plan(0.0)), "broken: the light from behind alone");
        assert!(!slabs_hold(|front| by_points(front, f64::max)), "broken: the stronger of the two");
        assert!(
            !slabs_hold(|front| by_points(front, |_, before| before)),
            "broken: the light from the face alone"
        );
        let by_tens = |front: f64| {
            let ten = std::f64::consts::LN_10;
            by_points(front, |behind, before| 60.0 * (behind / 60.0).powf(ten) + before)
        };
        assert!(!slabs_hold(by_tens), "broken: powers of ten");
    }

    /// The light at each of so many points of a whole stone, added up press by press from the bench's figures.
    fn least_by_presses(plan: &Plan, with_later: bool) -> f64 {
        let per_mm = |i: usize| 1.0 + plan.cure.mix.absorption.get() * plan.layers[i].load.percent();
        let mm = |i: usize| plan.layers[i].thickness.mm();
        let many = plan.layers.len();
        let at = |place: usize, part: f64| -> f64 {
            let last = if with_later { many } else { place + 1 };
            (place..last)
                .map(|lit| {
                    let through: f64 = (place + 1..=lit).map(|i| mm(i) * per_mm(i)).sum();
                    let own = mm(place) * (1.0 - part) * per_mm(place);
                    plan.layers[lit].lit().s() * (-through - own).exp()
                })
                .sum()
        };
        let parts = (0..many).flat_map(|place| (0..=400).map(move |i| (place, f64::from(i) / 400.0)));
        parts.map(|(place, part)| at(place, part)).fold(f64::INFINITY, f64::min)
    }

    #[test]
    fn a_stone_of_many_layers_has_what_all_its_presses_add_up_to() {
        let plan = plan(&stone(PigmentClass::White)).unwrap();
        assert!(plan.layers.len() > 2);
        let least = plan.full_hardness(None).unwrap().least.get();
        let holds = |other: f64| (least / other - 1.0).abs() < 1e-3;
        assert!(holds(least_by_presses(&plan, true)), "{least} {}", least_by_presses(&plan, true));
        assert!(!holds(least_by_presses(&plan, false)), "broken: each layer its own press alone");
    }

    #[test]
    fn a_stone_without_layers_has_none() {
        let mut none = slab();
        none.layers.clear();
        assert_eq!(none.full_hardness(None), None);
    }
}
