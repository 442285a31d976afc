//! How is this worked out? Formula, values and source behind a plan's figures.

use craft::cure::{Doubts, Provenance};
use craft::planner::{Plan, PlannedLayer};
use craft::units::Span;

use super::{hiding, pigment};
use crate::present::words;

/// How one figure was worked out.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Explained {
    /// What is explained: "how deep it hardens".
    pub title: &'static str,
    /// The formula in words.
    pub formula: &'static str,
    /// The values that went in, by name.
    pub values: Vec<(&'static str, String)>,
    /// Where the formula comes from.
    pub source: &'static str,
}

/// How deep light sets resin: the formula in words, and where it comes from.
pub(in crate::present) const DEPTH: [&str; 2] = [
    "depth = how deep it hardens × ln(seconds of light ÷ seconds until it first sets). Pigment makes it \
     shallower: 1 ÷ depth for each e-fold = 1 ÷ that of clear resin (or what your own tests say coloured resin takes) + \
     what the pigment takes × its per cent + what the material takes. What is in doubt is joined as a root of squares",
    "P. F. Jacobs, Rapid Prototyping & Manufacturing, 1992; I. Gibson, D. Rosen, B. Stucker, Additive \
     Manufacturing Technologies, equation 4.16; doubts after JCGM 100:2008, section 5",
];

/// What hides the metal: the same.
pub(in crate::present) const HIDING: [&str; 2] = [
    "sum over the colour layers of per cent of pigment × thickness, against what hides the metal",
    "P. Kubelka, J. Opt. Soc. Am. 38 (1948) 448 and 44 (1954) 330: layers of one pigment add; hidden means a \
     colour difference of at most 2 between metal and a dark gap behind the stone",
];

/// How is this worked out? Depth, hiding and time, with the plan's own values.
pub fn explained(plan: &Plan) -> [Explained; 3] {
    [depth_explained(plan), hiding_explained(plan), time_explained(plan)]
}

/// Where a value came from, in words.
pub fn provenance(provenance: Provenance) -> String {
    match provenance {
        Provenance::Typical => "cautious guess".to_owned(),
        Provenance::Practised => "what works for you".to_owned(),
        Provenance::Tested(on) => format!("your test of {}", words::date_with_year(on)),
    }
}

fn depth_explained(plan: &Plan) -> Explained {
    let cure = &plan.cure;
    let weakest = plan.weakest().map(|(place, layer)| {
        format!(
            "layer {}: {:.1} times the light that first sets it, at the cautious end",
            place + 1,
            layer.cautious.get()
        )
    });
    let lamps = plan.layers.iter().filter_map(|layer| plan.lights.get(usize::from(layer.light)));
    let mut first_sets: Vec<String> = lamps
        .map(|light| {
            format!(
                "{} under \"{}\" ({})",
                light.first_set(),
                light.button.name(),
                provenance(light.provenance)
            )
        })
        .collect();
    first_sets.sort();
    first_sets.dedup();
    let mut values = vec![
        (
            "how deep clear resin hardens for each e-fold of light",
            format!("{} ({})", words::length(cure.resin.penetration()), provenance(cure.resin.provenance)),
        ),
        ("seconds until it first sets", words::list(&first_sets)),
        (
            "what the pigment takes of the light",
            format!(
                "{} per mm and per cent ({})",
                cure.mix.absorption.get(),
                provenance(cure.mix.absorption_from())
            ),
        ),
        (
            "light wanted on the underside",
            format!("{} times what first sets it, 98 layers in a hundred", cure.assurance.margin.get()),
        ),
        ("in doubt, two times in three by no more than", doubts(&cure.doubts)),
        ("least sure layer", weakest.unwrap_or_default()),
    ];
    values.extend(taken_besides(plan));
    Explained { title: "how deep it hardens", formula: DEPTH[0], values, source: DEPTH[1] }
}

/// What else takes of the light, where it does: coloured resin by its own tests, a dark wall, the material.
fn taken_besides(plan: &Plan) -> Vec<(&'static str, String)> {
    let mut values = Vec::new();
    if let Some(own) = plan.cure.own {
        values.push((
            "what coloured resin takes besides its pigment",
            format!("{:.2} per mm (your tests)", own.get()),
        ));
    }
    if plan.well.is_some() {
        values.push((
            "light that gets past the dark wall",
            by_layer(plan, |place| percent(plan.light_share(place))),
        ));
    }
    if let Some(shade) = plan.shade {
        values.push((
            "what the material takes of the light",
            format!("{:.2} per mm, in the first layer", shade.per_mm.get()),
        ));
    }
    values
}

/// "the resin's depth 25 %, its first setting 40 %, … and each layer 0.1 mm".
fn doubts(doubts: &Doubts) -> String {
    let parts = [
        ("the resin's depth", doubts.penetration),
        ("its first setting", doubts.first_set),
        ("the lamp", doubts.lamp),
        ("the pigment", doubts.pigment),
        ("how it is dosed", doubts.dosing),
    ];
    let mut all: Vec<String> =
        parts.iter().map(|(what, doubt)| format!("{what} {}", percent(doubt.get()))).collect();
    all.push(format!("each layer {}", words::length(doubts.thickness)));
    words::list(&all)
}

fn percent(part: f64) -> String {
    format!("{:.0} %", 100.0 * part)
}

fn by_layer(plan: &Plan, of: impl Fn(usize) -> String) -> String {
    let all = (0..plan.layers.len()).map(|place| format!("layer {} {}", place + 1, of(place)));
    all.collect::<Vec<_>>().join(" · ")
}

fn hiding_explained(plan: &Plan) -> Explained {
    let (held, wanted) = hiding(plan);
    let patch = plan.thinnest.map_or_else(String::new, |left| {
        format!(
            ", at the thinnest patch of the swirls, where {} of each layer is left",
            percent(left.fraction())
        )
    });
    Explained {
        title: "whether the metal is hidden",
        formula: HIDING[0],
        values: vec![
            ("pigment", pigment(plan.cure.mix.class).to_owned()),
            ("what the layers hold", format!("{held:.2} % × mm{patch}")),
            (
                "what hides the metal",
                format!("{wanted:.2} % × mm ({})", provenance(plan.cure.mix.hiding_from())),
            ),
        ],
        source: HIDING[1],
    }
}

fn time_explained(plan: &Plan) -> Explained {
    // To the second, so that they add up.
    let total = |of: fn(&PlannedLayer) -> Span| words::clock(plan.layers.iter().map(of).sum());
    Explained {
        title: "how long it takes",
        formula: "for each layer: laying + waiting for bubbles to rise + the lamp button + cooling",
        values: vec![
            ("laying", total(|layer| layer.lay)),
            ("waiting", total(|layer| layer.settle)),
            ("under the lamp", total(PlannedLayer::lit)),
            ("cooling", total(|layer| layer.cool)),
            ("all together", total(|layer| layer.lay + layer.settle + layer.lit() + layer.cool)),
        ],
        source: "the times in your settings; the usual ones are common practice, no source",
    }
}
