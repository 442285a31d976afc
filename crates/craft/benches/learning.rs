//! How long learning takes: a bottle with a wedge and many outcomes, its pigment, and a simulated share of stones.
//!
//! `cargo bench -p craft --bench learning`

use std::time::Instant;

use craft::cure::{Button, Doubts, Light, Mix, PigmentClass};
use craft::fact::Hardness;
use craft::learning::{Belief, Bench, Observation, PigmentLoad, Seen, WedgePoint, learn, learn_pigment};
use craft::planner::{Problem, Style, plan};
use craft::reading::{Means, Reading};
use craft::shelf::Body;
use craft::units::{Length, Load, Span};

type Failure = Box<dyn std::error::Error>;

#[expect(clippy::disallowed_methods, reason = "a bench needs a clock; the crate itself has none")]
fn now() -> Instant {
    Instant::now()
}

#[expect(clippy::print_stdout, reason = "a bench that speaks is its purpose")]
fn timed(name: &str, runs: u32, mut once: impl FnMut() -> Result<(), Failure>) -> Result<(), Failure> {
    let mut times = Vec::new();
    for _ in 0..runs {
        // The quietest of five, so that other work on the machine counts little.
        let mut quietest = f64::INFINITY;
        for _ in 0..5 {
            let start = now();
            once()?;
            quietest = quietest.min(start.elapsed().as_secs_f64() * 1e3);
        }
        times.push(quietest);
    }
    times.sort_by(f64::total_cmp);
    if let (Some(median), Some(worst)) = (times.get(times.len() / 2), times.last()) {
        println!("{name}: {runs} runs, median {median:.3} ms, worst {worst:.3} ms");
    }
    Ok(())
}

/// A wedge of six steps and so many outcomes, all different.
fn seen(outcomes: u32, pigment: Option<f64>) -> Result<Vec<Observation>, Failure> {
    let on = chrono::NaiveDate::from_ymd_opt(2026, 3, 1).ok_or("no such day")?;
    let load = |percent: f64| -> Result<PigmentLoad, Failure> {
        Ok(PigmentLoad { item: "paint".parse()?, load: Load::from_percent(percent) })
    };
    let per_mm = 1.25 + 5.0 * pigment.unwrap_or(0.0);
    let point = |i: u32| {
        let s = 5.0 * 2.0_f64.powi(i32::try_from(i).unwrap_or(0));
        let depth = (s / 1.2).ln() / per_mm;
        let (value, doubt) = (Length::from_mm(depth), Length::from_mm(0.05));
        WedgePoint { light: Span::from_s(s), depth: Reading { value, doubt, by: Means::Caliper } }
    };
    let mut all = vec![Seen::Wedge { points: (0..6).map(point).collect() }];
    for i in 0..outcomes {
        let thickness = Length::from_mm((2.0 + f64::from(i % 11) / 10.0) * 1.25 / per_mm);
        let light = Span::from_s(60.0 + f64::from(i));
        let hardness = if i % 9 == 0 { Hardness::Tacky } else { Hardness::Hard };
        all.push(Seen::Felt { thickness, light, hardness });
    }
    all.into_iter()
        .map(|seen| {
            Ok(Observation {
                on,
                lamp: "lamp".parse()?,
                button: 1,
                lamp_lit: None,
                body: Body::Opaque,
                pigment: pigment.map(load).transpose()?,
                seen,
            })
        })
        .collect()
}

fn main() -> Result<(), Failure> {
    let on = chrono::NaiveDate::from_ymd_opt(2026, 3, 1).ok_or("no such day")?;
    let bench = Bench {
        today: on,
        lamp: "lamp".parse()?,
        button: 1,
        body: Body::Opaque,
        opened: None,
        lamp_lit: None,
    };
    for outcomes in [0, 20, 100, 200] {
        let observations = seen(outcomes, None)?;
        timed(&format!("a wedge and {outcomes} outcomes"), 101, || {
            learn(&Belief::TYPICAL, &observations, &bench)?;
            Ok(())
        })?;
    }
    let clear = learn(&Belief::TYPICAL, &seen(20, None)?, &bench)?;
    let (mix, item) = (Mix::typical(PigmentClass::White), "paint".parse()?);
    let mut observations = seen(20, Some(0.3))?;
    observations.extend(seen(20, Some(1.0))?);
    timed("a pigment's series of two loads and 40 outcomes", 101, || {
        learn_pigment(&mix, &clear.belief, (&item, &observations), &bench)?;
        Ok(())
    })?;
    let lights = [60.0, 120.0].map(|s| Button::new("full", Span::from_s(s), Span::ZERO).map(Light::typical));
    let lights = lights.into_iter().collect::<Result<Vec<_>, _>>()?;
    let (depth, face) = (Length::from_mm(3.5), Length::from_mm(1.5));
    let problem = Problem::for_stone(depth, face, mix, Style::Deepening, lights, Doubts::CALIBRATED)?;
    let plan = plan(&problem)?;
    timed("a share of 10,000 stones", 101, || {
        let _counted = plan.simulated(10_000, 1);
        Ok(())
    })?;
    Ok(())
}
