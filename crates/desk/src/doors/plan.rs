//! `heldfast plan DIR TAG [--json]`: shows the plan of each stone.

use std::io::Write;
use std::path::Path;

use anyhow::{Result, bail};
use craft::planner::{Plan, Region};
use craft::studio::{Held, Studio};
use craft::tag::Tag;
use serde::Serialize;

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
    let answer = answer(&opened.studio, held, tag);
    let well = answer.stones.iter().all(|stone| stone.refused.is_none());
    if json {
        serde_json::to_writer_pretty(&mut *out, &answer)?;
        writeln!(out)?;
    } else {
        for stone in &answer.stones {
            write_stone(stone, out)?;
        }
    }
    Ok(well)
}

fn answer(studio: &Studio, held: &Held, tag: Tag) -> Answer {
    let stones = held.order.sheet.stones.iter().map(|stone| match &stone.plan {
        Some(plan) => planned(stone.no, true, plan),
        None => match studio.plan_for(tag, stone) {
            Ok(plan) => planned(stone.no, false, &plan),
            Err(why) => StoneAnswer {
                stone: stone.no,
                kept: false,
                refused: Some(why.to_string()),
                lamp_seconds: None,
                bench_minutes: None,
                layers: Vec::new(),
            },
        },
    });
    Answer { format: 1, order: tag.to_string(), stones: stones.collect() }
}

fn planned(stone: u8, kept: bool, plan: &Plan) -> StoneAnswer {
    let layers = plan.layers.iter().map(|layer| LayerAnswer {
        region: match layer.region {
            Region::Face => "face",
            Region::Colour => "colour",
            Region::Back => "back",
        },
        thickness_mm: layer.thickness.mm(),
        load_percent: layer.load.percent(),
        button: layer.button.clone(),
        light_s: layer.seconds.s(),
        settle_s: layer.settle.s(),
        cool_s: layer.cool.s(),
        surely: layer.cautious.get(),
    });
    StoneAnswer {
        stone,
        kept,
        refused: None,
        lamp_seconds: Some(plan.lamp_seconds().s()),
        bench_minutes: Some(plan.bench_minutes()),
        layers: layers.collect(),
    }
}

fn write_stone(stone: &StoneAnswer, out: &mut dyn Write) -> Result<()> {
    if let Some(why) = &stone.refused {
        writeln!(out, "stone {}: no plan: {why}", stone.stone)?;
        return Ok(());
    }
    let kept = if stone.kept { "kept with the order" } else { "made now" };
    let minutes = stone.bench_minutes.unwrap_or_default();
    writeln!(out, "stone {}, plan {kept}, {minutes} minutes", stone.stone)?;
    for (place, layer) in stone.layers.iter().enumerate() {
        writeln!(
            out,
            "  {} {:6} {:3.1} mm  {:4.2} %  wait {:3.0} s  light {:3.0} s ({})  cool {:3.0} s",
            place + 1,
            layer.region,
            layer.thickness_mm,
            layer.load_percent,
            layer.settle_s,
            layer.light_s,
            layer.button,
            layer.cool_s,
        )?;
    }
    Ok(())
}
