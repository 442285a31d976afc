//! Pouring: every layer as it was really laid.

use craft::fact::{Amount, Hardness};
use craft::id::{ThingKind, is_practice};
use craft::ledger::{Layer, Stone};
use craft::order::Page;
use craft::stage::is_made;
use craft::units::Span;

use super::{Builder, joined};
use crate::present::words;

pub(super) fn fill(page: &mut Builder<'_>) {
    let pours = &page.ledger().pours;
    for wanted in page.sheet().client_stones() {
        if !pours.stones.contains_key(&wanted.no) {
            if wanted.plan.is_none() {
                page.miss_at(format!("{} has no plan yet", words::stone(wanted.no)), Page::Plan);
            } else {
                page.miss(format!("{} is not begun yet", words::stone(wanted.no)));
            }
        }
    }
    if page.sheet().stones.is_empty() && pours.stones.is_empty() {
        page.miss_at("no stone is planned yet", Page::Plan);
    }
    for (no, stone) in &pours.stones {
        stone_lines(page, *no, stone);
    }
    offcuts(page);
}

fn stone_lines(page: &mut Builder<'_>, no: u8, stone: &Stone) {
    let state = match (stone.taken_out, stone.set_aside) {
        (_, true) => "set aside as a spare".to_owned(),
        (true, false) => "out of its mould".to_owned(),
        (false, false) => words::cavity(page.studio, &stone.mould, &stone.cell),
    };
    page.know(words::stone(no), state);
    let is_asked_for = !is_practice(no);
    for (place, layer) in (1_u8..).zip(&stone.layers) {
        page.know(format!("{name}, layer {place}", name = words::stone(no)), layer_words(page, layer));
    }
    let newest = stone.layers.len();
    match stone.layers.last().filter(|_| is_asked_for) {
        // An order lacks nothing without practice.
        None if !is_asked_for => {}
        None => page.miss(format!("{name} has no layer yet", name = words::stone(no))),
        Some(layer) if layer.lit.is_empty() && layer.felt.is_none() => {
            page.miss(format!(
                "layer {newest} of {name} has not been under the lamp",
                name = words::stone(no)
            ));
        }
        Some(layer) if layer.felt.is_none() => {
            page.miss(format!(
                "nobody has felt layer {newest} of {name}: hard, tacky or soft?",
                name = words::stone(no)
            ));
        }
        Some(layer) if layer.felt == Some(Hardness::Soft) => {
            page.miss(format!(
                "layer {newest} of {name} is soft and needs more light",
                name = words::stone(no)
            ));
        }
        Some(_) if !stone.set_aside && !is_made(page.sheet(), no, stone) => {
            page.miss(format!(
                "{name} is not finished: another layer, or the last one hard",
                name = words::stone(no)
            ));
        }
        Some(_) => {}
    }
}

/// "tinted, 0.4 mm, 3 drops of Clear casting resin, waited 5:00, 99 of 99 s under the lamp, cooled, hard".
fn layer_words(page: &Builder<'_>, layer: &Layer) -> String {
    let bottle = words::item_name(page.studio, &layer.bottle);
    let amount = match layer.amount {
        Amount::Weighed(mass) => format!("{} of {bottle}", words::mass(mass)),
        Amount::Drops(drops) => format!("{} of {bottle}", words::count(usize::from(drops), "drop", "drops")),
        Amount::ToTheMark => format!("{bottle} up to the mark"),
    };
    let pigment = if layer.load.is_positive() { format!("{} pigment", layer.load) } else { String::new() };
    let cooled = if layer.cooled.is_some() { "cooled" } else { "" };
    let felt = layer.felt.map(words::hardness).unwrap_or_default();
    joined([
        words::layer_kind(layer.kind).to_owned(),
        words::length(layer.thickness),
        pigment,
        amount,
        waited(layer),
        lamp(page, layer),
        cooled.to_owned(),
        felt.to_owned(),
    ])
}

/// How long it settled before its first light, where one run of the computer saw both.
fn waited(layer: &Layer) -> String {
    let Some(first) = layer.lit.first().filter(|lit| lit.at.boot == layer.laid.boot) else {
        return String::new();
    };
    let micro = (first.at.since_boot_ms - layer.laid.since_boot_ms).max(0).saturating_mul(1_000);
    format!("waited {}", words::span(Span::from_micro(micro)))
}

fn lamp(page: &Builder<'_>, layer: &Layer) -> String {
    let lit = layer.lit.iter().map(|lit| {
        let lamp = words::item_name(page.studio, &lit.press.lamp);
        match lit.off {
            Some((_, lit_for)) => format!(
                "{} under {lamp}, button {}",
                words::of_span(lit_for, lit.press.seconds),
                lit.press.button
            ),
            None => format!("under {lamp} now, button {}", lit.press.button),
        }
    });
    joined(lit)
}

fn offcuts(page: &mut Builder<'_>) {
    let bags: Vec<String> = page
        .ledger()
        .custody
        .things
        .iter()
        .filter(|(thing, _)| thing.kind == ThingKind::Offcuts)
        .map(|(thing, kept)| {
            format!("{} ({})", words::thing_plain(*thing), words::place(page.studio, &kept.place))
        })
        .collect();
    let out = page.ledger().client_stones().any(|(_, stone)| stone.taken_out);
    if bags.is_empty() && out {
        page.miss("no bag of offcuts is kept yet: trimmings go home too");
    }
    page.know("offcuts", words::list(&bags));
}
