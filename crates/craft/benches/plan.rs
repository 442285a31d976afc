//! How long a plan takes: the full deepening grid, and 1,000 varied problems.
//!
//! `cargo bench -p craft --bench plan`

use std::time::Instant;

use craft::cure::{Button, Doubts, Factor, Light, Mix, PigmentClass, Well};
use craft::planner::{Plan, PlanError, Problem, Style, Wishes, plan, promised};
use craft::units::{Length, Load, Span};

fn lights() -> Result<Vec<Light>, craft::cure::CureError> {
    [(60.0, 0.0), (99.0, 60.0), (120.0, 0.0), (180.0, 0.0)]
        .into_iter()
        .map(|(total, ramp)| {
            Ok(Light::typical(Button::new(format!("{total} s"), Span::from_s(total), Span::from_s(ramp))?))
        })
        .collect()
}

/// Problem `i` of a fixed, varied thousand: a small linear congruential walk picks the figures.
fn varied(i: u64) -> Result<Problem, Box<dyn std::error::Error>> {
    let mut walk = i.wrapping_mul(6364136223846793005).wrapping_add(1442695040888963407);
    let mut pick = |n: u64| {
        walk = walk.wrapping_mul(6364136223846793005).wrapping_add(1442695040888963407);
        (walk >> 33) % n
    };
    let classes = [PigmentClass::Pearl, PigmentClass::White, PigmentClass::Colour, PigmentClass::Dark];
    let styles = [Style::Even, Style::Deepening, Style::Quick];
    let class = classes[usize::try_from(pick(4))?];
    let mut problem = Problem::for_stone(
        Length::from_mm(2.5 + pick(30) as f64 / 10.0),
        Length::from_mm(1.0 + pick(8) as f64 / 10.0),
        Mix::typical(class),
        styles[usize::try_from(pick(3))?],
        lights()?,
        if pick(2) == 0 { Doubts::CALIBRATED } else { Doubts::typical_for(class) },
    )?;
    if pick(4) == 0 {
        problem.well = Some(Well { half_width: Length::from_mm(3.0 + pick(3) as f64), diffuse: Factor::ONE });
    }
    Ok(problem)
}

/// White at every load from 0.05 to 3 %, deepening, 3.5 mm deep.
fn full_grid(doubts: Doubts) -> Result<Problem, Box<dyn std::error::Error>> {
    let mut mix = Mix::typical(PigmentClass::White);
    (mix.least, mix.most) = (mix.step, Load::from_percent(3.0));
    Ok(Problem::for_stone(
        Length::from_mm(3.5),
        Length::from_mm(1.5),
        mix,
        Style::Deepening,
        lights()?,
        doubts,
    )?)
}

#[expect(clippy::disallowed_methods, reason = "a bench needs a clock; the crate itself has none")]
fn now() -> Instant {
    Instant::now()
}

/// What makes a plan.
type Planner = fn(&Problem) -> Result<Plan, PlanError>;

/// Milliseconds for each problem, the quietest of five runs so that other work on the machine counts little;
/// sorted.
fn timed(problems: &[Problem], planner: Planner) -> Vec<(f64, bool)> {
    let mut times: Vec<(f64, bool)> = problems
        .iter()
        .map(|problem| {
            let mut found = false;
            let mut quietest = f64::INFINITY;
            for _ in 0..5 {
                let start = now();
                found = planner(problem).is_ok();
                quietest = quietest.min(start.elapsed().as_secs_f64() * 1e3);
            }
            (quietest, found)
        })
        .collect();
    times.sort_by(|a, b| a.0.total_cmp(&b.0));
    times
}

#[expect(clippy::print_stdout, reason = "a bench that speaks is its purpose")]
fn report(name: &str, times: &[(f64, bool)]) {
    if let (Some(median), Some(worst)) = (times.get(times.len() / 2), times.last()) {
        println!("{name}: {} runs, median {:.3} ms, worst {:.3} ms", times.len(), median.0, worst.0);
    }
}

fn main() -> Result<(), Box<dyn std::error::Error>> {
    for (name, doubts) in [("tested", Doubts::CALIBRATED), ("typical", Doubts::TYPICAL)] {
        let grid = vec![full_grid(doubts)?; 101];
        report(&format!("full deepening grid, {name}"), &timed(&grid, plan));
    }
    let problems = (0..1000).map(varied).collect::<Result<Vec<_>, _>>()?;
    let times = timed(&problems, plan);
    for style in [Style::Even, Style::Deepening, Style::Quick] {
        let some: Vec<Problem> = problems.iter().filter(|problem| problem.style == style).cloned().collect();
        report(&format!("varied, {style:?}"), &timed(&some, plan));
    }
    report("varied", &times);
    report("varied, with the promise counted", &timed(&problems, promised));
    let swirled = Problem { thinnest: Wishes::SWIRLED, ..full_grid(Doubts::CALIBRATED)? };
    report("white swirled, bound alone", &timed(&vec![swirled.clone(); 21], plan));
    report("white swirled, with the promise counted", &timed(&vec![swirled; 21], promised));
    let (found, stuck): (Vec<_>, Vec<_>) = times.into_iter().partition(|(_, found)| *found);
    report("varied, with a plan", &found);
    report("varied, stuck (every single change tried as well)", &stuck);
    Ok(())
}
