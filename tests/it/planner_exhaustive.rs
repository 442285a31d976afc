//! The planner against every plan there is.
//!
//! `fixtures/planner_small.json` was computed independently by `reference/planner.py`: exhaustive enumeration
//! and integer programming with `HiGHS` through scipy; its header names the versions.

use craft::cure::{Button, Correlation, Doubts, Factor};
use craft::planner::{PlanError, Problem, Style, plan};
use craft::units::Span;
use serde::Deserialize;

use crate::planner_instance::{Instance, key, list};

#[derive(Deserialize)]
struct Fixture {
    with: String,
    milp_agreed: usize,
    small: Vec<Case>,
    full: Vec<Case>,
}

#[derive(Deserialize)]
struct Case {
    #[serde(flatten)]
    instance: Instance,
    expected: Expected,
}

#[derive(Deserialize)]
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

/// What differs from the fixture, in words; empty where all agrees.
fn differences(cases: &[Case], mend: impl Fn(&mut Problem)) -> Vec<String> {
    let mut found = Vec::new();
    for (place, Case { instance, expected }) in cases.iter().enumerate() {
        let mut problem = instance.problem().unwrap();
        mend(&mut problem);
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
    let feasible = fixture.small.iter().filter(|case| case.expected.key.is_some()).count();
    assert!(fixture.with.contains("scipy") && fixture.milp_agreed >= 30, "{}", fixture.with);
    assert!(feasible >= 60 && fixture.small.len() - feasible >= 35, "{feasible} of {}", fixture.small.len());
    let with =
        |is: &dyn Fn(&Instance) -> bool| fixture.small.iter().filter(|case| is(&case.instance)).count();
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
    for (Case { instance, .. }, (layers, bounds)) in fixture().full.iter().zip(expected) {
        let plan = plan(&instance.problem().unwrap()).unwrap();
        assert_eq!(list(&plan), layers, "{} k {}", instance.name, instance.k);
        assert_eq!((plan.fewest.by_light, plan.fewest.by_grid), bounds, "{} k {}", instance.name, instance.k);
    }
}
