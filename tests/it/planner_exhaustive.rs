//! The planner against every plan there is.
//!
//! `fixtures/planner_small.json` was computed independently by `reference/planner.py`: exhaustive enumeration
//! and integer programming with `HiGHS` through scipy; its header names the versions.

use craft::cure::{
    Assurance, Button, Correlation, Cure, Doubts, Factor, Light, MaterialShade, Mix, PigmentClass,
    Provenance, Resin, Well,
};
use craft::planner::{Handling, Pin, Plan, PlanError, Problem, Smooth, Style, Within, plan};
use craft::units::{Length, Load, Span};
use serde::Deserialize;

#[derive(Deserialize)]
struct Fixture {
    with: String,
    milp_agreed: usize,
    small: Vec<Instance>,
    full: Vec<Instance>,
}

#[derive(Clone, Deserialize)]
struct Instance {
    #[serde(default)]
    name: String,
    style: Style,
    depth: u16,
    face: u16,
    face_layer: (u16, u16),
    colour: (u16, u16),
    colour_layer: (u16, u16),
    back: (u16, u16),
    fewest: u16,
    step: f64,
    loads: (u16, u16),
    hiding: f64,
    dp: f64,
    tc: f64,
    alpha: f64,
    programmes: Vec<(f64, f64)>,
    doubts: PlainDoubts,
    k: f64,
    m: f64,
    lay: f64,
    settle: f64,
    cool: f64,
    well: Option<PlainWell>,
    shade: Option<PlainShade>,
    presses: u8,
    pinned: Vec<(u16, u16)>,
    smooth: Option<(u16, u16)>,
    expected: Expected,
}

#[derive(Clone, Deserialize)]
#[expect(non_snake_case, reason = "the symbols of the formula, as the fixture has them")]
struct PlainDoubts {
    uD: f64,
    uE: f64,
    uI: f64,
    rho: f64,
    ua: f64,
    uc: f64,
    dt: f64,
}

#[derive(Clone, Deserialize)]
struct PlainWell {
    half_width: f64,
    diffuse: f64,
}

#[derive(Clone, Deserialize)]
struct PlainShade {
    per_mm: f64,
    doubt: f64,
}

#[derive(Clone, Deserialize)]
struct Expected {
    key: Option<[u32; 4]>,
    layers: Option<Vec<(i64, i64, f64)>>,
    /// Bench time and what was wished for together, where only that was worked out.
    wished: Option<i64>,
    limit: Option<String>,
    #[serde(default)]
    frees: Vec<String>,
}

fn fixture() -> Fixture {
    serde_json::from_str(include_str!("../fixtures/planner_small.json")).unwrap()
}

fn factor(value: f64) -> Factor {
    Factor::new(value).unwrap()
}

impl Instance {
    fn mix(&self) -> Mix {
        let step_micro = Load::from_percent(self.step).micro();
        let load = |steps: u16| Load::from_micro(i64::from(steps) * step_micro);
        Mix {
            absorption: factor(self.alpha),
            hiding: factor(self.hiding),
            ceiling: Load::from_percent(100.0),
            least: load(self.loads.0),
            most: load(self.loads.1),
            step: load(1),
            thinnest: Length::from_mm(f64::from(self.colour_layer.0) / 10.0),
            thickest: Length::from_mm(f64::from(self.colour_layer.1) / 10.0),
            ..Mix::typical(PigmentClass::White)
        }
    }

    fn cure(&self) -> Cure {
        let d = &self.doubts;
        Cure {
            resin: Resin::new(Length::from_mm(self.dp), Provenance::Typical).unwrap(),
            mix: self.mix(),
            doubts: Doubts {
                penetration: factor(d.uD),
                first_set: factor(d.uE),
                lamp: factor(d.uI),
                together: Correlation::new(d.rho).unwrap(),
                pigment: factor(d.ua),
                dosing: factor(d.uc),
                thickness: Length::from_mm(d.dt),
            },
            assurance: Assurance { spread: factor(self.k), margin: factor(self.m) },
            own: None,
        }
    }

    fn lights(&self) -> Vec<Light> {
        let light = |&(seconds, equivalent): &(f64, f64)| {
            let ramp = Span::from_s(2.0 * (seconds - equivalent));
            let button = Button::new(format!("{seconds} s"), Span::from_s(seconds), ramp).unwrap();
            Light::new(button, Span::from_s(self.tc), Provenance::Typical).unwrap()
        };
        self.programmes.iter().map(light).collect()
    }

    fn problem(&self) -> Problem {
        let within = |(least, most): (u16, u16)| Within::new(least, most);
        Problem {
            style: self.style,
            depth: self.depth,
            face: self.face,
            face_layer: within(self.face_layer),
            colour: within(self.colour),
            back: within(self.back),
            fewest: self.fewest,
            cure: self.cure(),
            lights: self.lights(),
            presses: self.presses,
            pinned: self
                .pinned
                .iter()
                .map(|&(thickness, load)| Pin {
                    thickness,
                    load: Load::from_micro(i64::from(load) * self.mix().step.micro()),
                })
                .collect(),
            smooth: self.smooth.map(|(reference, seconds)| Smooth { reference, seconds }),
            handling: Handling {
                lay: Span::from_s(self.lay),
                settle: Span::from_s(self.settle),
                cool: Span::from_s(self.cool),
            },
            well: self.well.as_ref().map(|well| Well {
                half_width: Length::from_mm(well.half_width),
                diffuse: factor(well.diffuse),
            }),
            shade: self
                .shade
                .as_ref()
                .map(|shade| MaterialShade { per_mm: factor(shade.per_mm), doubt: factor(shade.doubt) }),
            packed: Vec::new(),
            thinnest: craft::units::Share::WHOLE,
            caution: None,
        }
    }
}

fn key(plan: &Plan) -> [u32; 4] {
    [plan.cost.seconds, plan.cost.layers, plan.cost.pigment, plan.cost.squares]
}

/// Tenths of a millimetre, steps of load, seconds.
fn list(plan: &Plan) -> Vec<(i64, i64, f64)> {
    let step = plan.cure.mix.step.micro();
    plan.layers
        .iter()
        .map(|layer| (layer.thickness.micro() / 100_000, layer.load.micro() / step, layer.lit().s()))
        .collect()
}

/// What differs from the fixture, in words; empty where all agrees.
fn differences(instances: &[Instance], mend: impl Fn(&mut Problem)) -> Vec<String> {
    let mut found = Vec::new();
    for (place, instance) in instances.iter().enumerate() {
        let mut problem = instance.problem();
        mend(&mut problem);
        let expected = &instance.expected;
        match plan(&problem) {
            Ok(plan) => {
                if let (Some(wished), Some(wish)) = (expected.wished, plan.smooth) {
                    let off = |layer: &(i64, i64, f64)| (layer.0 - i64::from(wish.reference)).pow(2);
                    let coloured = list(&plan).iter().filter(|layer| layer.1 > 0).map(off).sum::<i64>();
                    let together = i64::from(plan.cost.seconds) + i64::from(wish.seconds) * coloured;
                    if together != wished {
                        found.push(format!("{place} {}: {together} not {wished}", instance.name));
                    }
                } else if expected.key != Some(key(&plan)) {
                    found.push(format!("{place} {}: {:?} not {:?}", instance.name, key(&plan), expected.key));
                } else if expected.layers.as_ref().is_some_and(|layers| *layers != list(&plan)) {
                    found.push(format!("{place}: {:?} not {:?}", list(&plan), expected.layers));
                }
                if u32::from(plan.fewest.at_least()) > plan.colour().count().try_into().unwrap() {
                    found.push(format!("{place}: bound {:?} is above the plan", plan.fewest));
                }
            }
            Err(PlanError::Stuck(stuck)) => {
                let frees: Vec<String> = stuck.frees.iter().map(|change| format!("{change:?}")).collect();
                let limit = Some(format!("{:?}", stuck.limit));
                if limit != expected.limit || frees != expected.frees {
                    found.push(format!(
                        "{place}: {limit:?} {frees:?} not {:?} {:?}",
                        expected.limit, expected.frees
                    ));
                }
            }
            Err(refused) => found.push(format!("{place}: {refused}")),
        }
    }
    found
}

#[test]
fn every_small_plan_is_the_best_of_all_to_the_last_layer_and_every_refusal_names_what_binds() {
    let fixture = fixture();
    let feasible = fixture.small.iter().filter(|instance| instance.expected.key.is_some()).count();
    assert!(fixture.with.contains("scipy") && fixture.milp_agreed >= 30, "{}", fixture.with);
    assert!(feasible >= 60 && fixture.small.len() - feasible >= 35, "{feasible} of {}", fixture.small.len());
    let with = |is: &dyn Fn(&Instance) -> bool| fixture.small.iter().filter(|instance| is(instance)).count();
    assert!(
        with(&|instance| !instance.pinned.is_empty()) >= 15 && with(&|instance| instance.presses > 1) >= 15
    );
    assert!(with(&|instance| instance.smooth.is_some()) >= 10);
    assert_eq!(differences(&fixture.small, |_| ()), Vec::<String>::new());
}

#[test]
fn full_size_plans_cost_what_integer_programming_says() {
    assert_eq!(differences(&fixture().full, |_| ()), Vec::<String>::new());
}

#[test]
fn a_planner_with_a_wrong_formula_is_caught_by_the_small_plans() {
    let small = fixture().small;
    let no_pigment = differences(&small, |problem| problem.cure.mix.absorption = Factor::ZERO);
    assert!(!no_pigment.is_empty(), "light that pigment does not take");
    let no_doubt = differences(&small, |problem| problem.cure.doubts = Doubts::NONE);
    assert!(!no_doubt.is_empty(), "nothing in doubt");
    let parted = differences(&small, |problem| problem.cure.doubts.together = Correlation::NONE);
    assert!(!parted.is_empty(), "doubts that do not go together");
    let whole_ramp = differences(&small, |problem| {
        for light in &mut problem.lights {
            let button = &light.button;
            light.button = Button::new(button.name(), button.total(), Span::ZERO).unwrap();
        }
    });
    assert!(!whole_ramp.is_empty(), "a ramp counted as full light");
    let open = differences(&small, |problem| problem.well = None);
    assert!(!open.is_empty(), "a deep mould that does not shade");
    let let_go = differences(&small, |problem| problem.pinned.clear());
    assert!(!let_go.is_empty(), "layers that are not kept");
    let once = differences(&small, |problem| problem.presses = 1);
    assert!(!once.is_empty(), "a button pressed only once");
    let no_wish = differences(&small, |problem| problem.smooth = None);
    assert!(!no_wish.is_empty(), "a wish that does not count");
    let any_order = differences(&small, |problem| problem.style = Style::Quick);
    assert!(!any_order.is_empty(), "a style that is not kept");
}

/// Full-size plans with every layer, computed independently: exhaustive enumeration and MILP (`HiGHS`), see
/// `tests/reference/planner.py`. Tenths of a millimetre, steps of load, seconds; then the two bounds.
#[test]
fn full_size_plans_are_laid_as_computed_independently() {
    let face = (15, 0, 60.0);
    let expected = [
        (vec![face, (3, 19, 60.0), (4, 19, 120.0), (4, 19, 120.0), (4, 19, 120.0), (5, 0, 60.0)], (3, 4)),
        (
            vec![
                face,
                (3, 16, 60.0),
                (3, 16, 60.0),
                (3, 16, 60.0),
                (4, 16, 120.0),
                (4, 16, 120.0),
                (3, 0, 60.0),
            ],
            (3, 4),
        ),
        (vec![face, (5, 16, 60.0), (6, 18, 120.0), (4, 21, 60.0), (5, 0, 60.0)], (2, 3)),
        (vec![face, (5, 16, 60.0), (5, 20, 120.0), (4, 23, 120.0), (6, 0, 60.0)], (2, 3)),
        (vec![face, (5, 15, 60.0), (5, 25, 60.0), (5, 0, 60.0)], (1, 2)),
        (vec![face, (5, 20, 60.0), (4, 25, 60.0), (6, 0, 60.0)], (1, 2)),
    ];
    for (instance, (layers, bounds)) in fixture().full.iter().zip(expected) {
        let plan = plan(&instance.problem()).unwrap();
        assert_eq!(list(&plan), layers, "{} k {}", instance.name, instance.k);
        assert_eq!((plan.fewest.by_light, plan.fewest.by_grid), bounds, "{} k {}", instance.name, instance.k);
    }
}
