//! The planner and the learning on the problems of `tests/fixtures`, one line of JSON each with what came out and the
//! milliseconds it took. `.ci/deep science` sets scipy beside it.
//!
//! `cargo bench -p craft --bench beside`

use std::time::Instant;

use craft::fact::Hardness;
use craft::learning::{Belief, Bench, Observation, Seen, WedgeFit, WedgePoint, learn};
use craft::planner::{PlanError, plan};
use craft::reading::{Means, Reading};
use craft::shelf::Body;
use craft::units::{Length, Span};
use planner_instance::{Instance, key, list};
use serde::Deserialize;
use serde_json::{Value, json};

#[path = "../../../tests/it/planner_instance.rs"]
mod planner_instance;

type Failure = Box<dyn std::error::Error>;

#[derive(Deserialize)]
struct Problems {
    small: Vec<Instance>,
    full: Vec<Instance>,
}

#[derive(Deserialize)]
struct Wedges {
    posteriors: Vec<Posterior>,
}

#[derive(Deserialize)]
struct Posterior {
    name: String,
    evidence: Vec<Evidence>,
}

/// What was seen: a wedge's steps (seconds, mm, doubt in mm), or a word for a layer with its mm, seconds and how often.
#[derive(Deserialize)]
#[serde(untagged)]
enum Evidence {
    Wedge(String, Vec<(f64, f64, f64)>),
    Layer(String, f64, f64, u16),
}

fn unknown(word: &str) -> Failure {
    format!("what is \"{word}\"?").into()
}

impl Evidence {
    fn observation(&self, bench: &Bench) -> Result<Observation, Failure> {
        let seen = match self {
            Self::Wedge(word, _) if word != "wedge" => return Err(unknown(word)),
            Self::Wedge(_, points) => {
                let point = |&(s, mm, doubt): &(f64, f64, f64)| WedgePoint {
                    light: Span::from_s(s),
                    depth: Reading {
                        value: Length::from_mm(mm),
                        doubt: Length::from_mm(doubt),
                        by: Means::Caliper,
                    },
                };
                Seen::Wedge { points: points.iter().map(point).collect() }
            }
            Self::Layer(word, mm, s, times) => {
                let (thickness, light) = (Length::from_mm(*mm), Span::from_s(*s));
                match word.as_str() {
                    "hard" => Seen::Works { thickness, light, times: *times },
                    "firm" => Seen::Felt { thickness, light, hardness: Hardness::Tacky },
                    "soft" => Seen::Felt { thickness, light, hardness: Hardness::Soft },
                    other => return Err(unknown(other)),
                }
            }
        };
        let Bench { today: on, lamp, button, body, .. } = bench.clone();
        Ok(Observation { on, lamp, button, lamp_lit: None, body, pigment: None, seen })
    }
}

#[expect(clippy::disallowed_methods, reason = "a bench needs a clock; the crate itself has none")]
fn now() -> Instant {
    Instant::now()
}

/// What comes out, and the milliseconds of the quietest of five runs, so that other work on the machine counts little.
fn timed<T>(once: impl Fn() -> T) -> (T, f64) {
    let run = || {
        let start = now();
        let out = once();
        (out, start.elapsed().as_secs_f64() * 1e3)
    };
    (0..4).map(|_| run()).fold(run(), |best, next| if next.1 < best.1 { next } else { best })
}

fn planned(part: &str, instances: &[Instance]) -> Result<Vec<Value>, Failure> {
    let one = |(place, instance): (usize, &Instance)| {
        let problem = instance.problem()?;
        let (found, ms) = timed(|| plan(&problem));
        let (key, layers) = match &found {
            Ok(plan) => (Some(key(plan)), list(plan)),
            Err(PlanError::Stuck(_)) => (None, Vec::new()),
            Err(refused) => return Err(refused.to_string().into()),
        };
        Ok(
            json!({ "part": part, "place": place, "name": instance.name, "ms": ms, "key": key, "layers": layers }),
        )
    };
    instances.iter().enumerate().map(one).collect()
}

fn believed(case: &Posterior, bench: &Bench) -> Result<Value, Failure> {
    let mut seen: Vec<Observation> = Vec::new();
    for evidence in &case.evidence {
        // So many soft layers are each felt by itself; a habit says how often in one word.
        let layers = match evidence {
            Evidence::Layer(word, .., times) if word == "soft" => usize::from(*times),
            _ => 1,
        };
        let one = evidence.observation(bench)?;
        seen.extend(std::iter::repeat_n(one, layers));
    }
    let (learned, ms) = timed(|| learn(&Belief::TYPICAL, &seen, bench));
    let belief = learned?.belief;
    Ok(json!({
        "part": "posterior",
        "name": case.name,
        "ms": ms,
        "mean": [belief.penetration()?.mm().ln(), belief.first_set()?.s().ln()],
        "deviation": [belief.penetration_doubt(), belief.first_set_doubt()],
        "together": belief.together(),
    }))
}

/// The line through the five points of the reference, with the interval of first setting.
fn fitted() -> Result<Value, Failure> {
    let points = [(20.0, 0.097), (40.0, 0.216), (80.0, 0.359), (160.0, 0.479), (320.0, 0.626)]
        .map(|(s, mm)| (Span::from_s(s), Length::from_mm(mm)));
    let (fit, ms) = timed(|| {
        let fit = WedgeFit::through(&points)?;
        let within = fit.first_set_within(0.95);
        Ok::<_, Failure>((fit, within))
    });
    let (fit, within) = fit?;
    let within = within.ok_or("no interval")?;
    let log_first = -fit.intercept_mm / fit.penetration_mm;
    let found = [fit.penetration_mm, log_first, within.low.ln(), within.high.ln()];
    Ok(json!({ "part": "line", "name": "five points", "ms": ms, "found": found }))
}

#[expect(clippy::print_stdout, reason = "a bench says what it measured")]
fn main() -> Result<(), Failure> {
    let problems: Problems =
        serde_json::from_str(include_str!("../../../tests/fixtures/planner_small.json"))?;
    let wedges: Wedges = serde_json::from_str(include_str!("../../../tests/fixtures/wedge.json"))?;
    let today = chrono::NaiveDate::from_ymd_opt(2026, 3, 1).ok_or("no such day")?;
    let lamp = "lamp".parse()?;
    let bench = Bench { today, lamp, button: 1, body: Body::Opaque, opened: None, lamp_lit: None };
    let mut lines = planned("small", &problems.small)?;
    lines.extend(planned("full", &problems.full)?);
    for case in &wedges.posteriors {
        lines.push(believed(case, &bench)?);
    }
    lines.push(fitted()?);
    for line in lines {
        println!("{line}");
    }
    Ok(())
}
