//! `heldfast plan DIR TAG [--json]`: shows the plan of each stone.

use std::io::Write;
use std::path::Path;
use workbench::present::words;

use anyhow::{Result, bail};
use chrono::NaiveDate;
use craft::foreseen::Against;
use craft::order::StoneSheet;
use craft::planner::{Plan, Region};
use craft::studio::{PlanningError, Studio};
use craft::tag::Tag;
use serde::Serialize;
use workbench::clock::{Clock as _, SystemClock};
use workbench::present::plan_words::{self, NotYet};

use super::look_into;

/// The answer as JSON. The format number changes with any change of a field.
#[derive(Debug, Serialize)]
struct Answer {
    format: u32,
    order: String,
    stones: Vec<StoneAnswer>,
}

#[derive(Debug, Serialize)]
struct StoneAnswer {
    stone: u8,
    /// True for the plan that was kept with the order, false for one made now.
    kept: bool,
    /// What was learned since a kept plan was made that speaks against pouring by it.
    #[serde(skip_serializing_if = "Option::is_none")]
    against: Option<String>,
    /// Why there is none.
    #[serde(skip_serializing_if = "Option::is_none")]
    refused: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    lamp_seconds: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    bench_minutes: Option<u32>,
    layers: Vec<LayerAnswer>,
}

#[derive(Debug, Serialize)]
struct LayerAnswer {
    region: &'static str,
    thickness_mm: f64,
    load_percent: f64,
    button: String,
    light_s: f64,
    settle_s: f64,
    cool_s: f64,
    /// How many times what first sets the resin surely reaches the underside.
    surely: f64,
}

pub(crate) fn run(dir: &Path, tag: Tag, json: bool, out: &mut dyn Write) -> Result<bool> {
    let opened = look_into(dir)?;
    let held = opened.studio.order(tag)?;
    if held.order.sheet.stones.is_empty() {
        bail!("order {tag} has no stones on its sheet yet; add one with its mould, lamp, resin and pigment");
    }
    let today = SystemClock::new().now().day();
    let stones: Vec<Planned> =
        held.order.sheet.stones.iter().map(|stone| plan_of(&opened.studio, tag, stone, today)).collect();
    if json {
        let answer =
            Answer { format: 1, order: tag.to_string(), stones: stones.iter().map(answer).collect() };
        serde_json::to_writer_pretty(&mut *out, &answer)?;
        writeln!(out)?;
    } else {
        for stone in &stones {
            write_stone(stone, out)?;
        }
    }
    Ok(stones.iter().all(|stone| stone.plan.is_ok() && stone.against.is_none()))
}

/// A stone and its plan.
struct Planned {
    stone: u8,
    kept: bool,
    against: Option<Against>,
    plan: Result<Plan, PlanningError>,
}

fn plan_of(studio: &Studio, tag: Tag, stone: &StoneSheet, today: NaiveDate) -> Planned {
    let plan = stone.plan.clone().map_or_else(|| studio.plan_for(tag, stone, today), Ok);
    let against = studio.against(tag, stone, today);
    Planned { stone: stone.no, kept: stone.plan.is_some(), against, plan }
}

fn answer(stone: &Planned) -> StoneAnswer {
    match &stone.plan {
        Ok(plan) => planned(stone, plan),
        Err(why) => StoneAnswer {
            stone: stone.stone,
            kept: false,
            against: None,
            refused: Some(why.to_string()),
            lamp_seconds: None,
            bench_minutes: None,
            layers: Vec::new(),
        },
    }
}

fn planned(stone: &Planned, plan: &Plan) -> StoneAnswer {
    let layers = plan.layers.iter().map(|layer| LayerAnswer {
        region: match layer.region {
            Region::Face => "face",
            Region::Colour => "colour",
            Region::Back => "back",
        },
        thickness_mm: layer.thickness.mm(),
        load_percent: layer.load.percent(),
        button: layer.button.clone(),
        light_s: layer.lit().s(),
        settle_s: layer.settle.s(),
        cool_s: layer.cool.s(),
        surely: layer.cautious.get(),
    });
    StoneAnswer {
        stone: stone.stone,
        kept: stone.kept,
        against: stone.against.as_ref().map(plan_words::against),
        refused: None,
        lamp_seconds: Some(plan.lamp_seconds().s()),
        bench_minutes: Some(plan.bench_minutes()),
        layers: layers.collect(),
    }
}

fn write_stone(stone: &Planned, out: &mut dyn Write) -> Result<()> {
    let Planned { stone: no, kept, against, plan } = stone;
    let plan = match plan {
        Ok(plan) => plan,
        Err(why @ (PlanningError::Shelf(_) | PlanningError::Learning(_))) => {
            return Ok(writeln!(out, "{name}: no plan: {why}", name = words::stone(*no))?);
        }
        Err(PlanningError::Plan(why)) => {
            let NotYet { words, change } = plan_words::not_yet(why);
            return Ok(writeln!(
                out,
                "{name}: {}",
                format!("{words} {change}").trim_end(),
                name = words::stone(*no)
            )?);
        }
    };
    let card = plan_words::card(plan, &[]);
    let kept = if *kept { "kept with the order" } else { "made now" };
    writeln!(out, "{name}, plan {kept}: {}; {}", card.time, card.hidden_words, name = words::stone(*no))?;
    for layer in &card.layers {
        writeln!(
            out,
            "  {} {:15} {:>7}  {:13}  {}  {}  light {} ({})  {}  {}",
            layer.no,
            layer.name,
            layer.thickness,
            layer.pigment,
            layer.lay,
            layer.wait,
            layer.light_clock,
            layer.light,
            layer.cool,
            layer.sure,
        )?;
    }
    if let Some(against) = against {
        writeln!(out, "  {}", plan_words::against(against))?;
    }
    if !card.guess.is_empty() {
        writeln!(out, "  {}", card.guess)?;
    }
    Ok(())
}
