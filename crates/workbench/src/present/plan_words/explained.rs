//! How is this worked out? Plain words, values, formula and source behind a plan's figures.

use craft::cure::{Assurance, Cure, Doubts, Light, Mix, PigmentClass, Provenance};
use craft::planner::{Plan, PlannedLayer};
use craft::shelf::Pigment;
use craft::units::Span;

use super::{hiding, pigment as class};
use crate::present::words;

/// How one figure was worked out.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Explained {
    /// What is explained: "how deep it hardens".
    pub title: &'static str,
    /// What it rests on, in plain sentences: this is read first.
    pub plain: &'static str,
    /// The values that went in, by name.
    pub values: Vec<(&'static str, String)>,
    /// The formula in words, for who wants it: this is read last.
    pub formula: &'static str,
    /// Where the formula comes from.
    pub source: &'static str,
}

/// How deep light sets resin: in plain words, as a formula, and where it comes from.
pub(in crate::present) const DEPTH: [&str; 3] = [
    "Light grows weaker on its way down, and pigment and material take more of it. A layer is sure where its underside \
     still gets more light than sets it, even if everything that is in doubt turns out badly.",
    "the depth, in millimetres, is how deep it hardens for each 2.7 times the light, times how often \
                  the light goes up by that from the seconds until it first sets. Pigment and material make it \
                  shallower: what clear resin, or what your own tests say coloured resin, takes for each millimetre, \
                  what the pigment takes times its per cent, and what the material takes are added, and one \
                  millimetre shared by all of it is the new depth. Doubts are joined as the root of their squares \
                  added",
    "P. F. Jacobs, Rapid Prototyping & Manufacturing, 1992; I. Gibson, D. Rosen, B. Stucker, Additive \
     Manufacturing Technologies, equation 4.16; doubts after JCGM 100:2008, section 5",
];

/// What hides the metal: the same.
pub(in crate::present) const HIDING: [&str; 3] = [
    "The more pigment there is behind the stone, the less the metal shows: twice as much in a layer hides like a layer \
     twice as thick, and all colour layers count together.",
    "for each colour layer its per cent of pigment times its thickness in millimetres, all added up, \
                  against what hides the metal",
    "P. Kubelka, J. Opt. Soc. Am. 38 (1948) 448 and 44 (1954) 330: layers of one pigment add; hidden means a \
     colour difference of at most 2 between metal and a dark gap behind the stone",
];

/// How is this worked out? Depth, hiding and time, with the plan's own values; `pigment` as it stands on the shelf.
pub fn explained(plan: &Plan, pigment: Option<&Pigment>) -> [Explained; 3] {
    [depth_explained(plan), hiding_explained(plan, pigment), time_explained(plan)]
}

/// Where a value came from, in words.
pub fn provenance(provenance: Provenance) -> String {
    match provenance {
        Provenance::Typical => "cautious guess".to_owned(),
        Provenance::Practised => "what works for you".to_owned(),
        Provenance::Tested(on) => format!("your test of {}", words::date_with_year(on)),
    }
}

/// Where what hides the metal came from: the card that found it, with its day, else as the mix says.
pub(in crate::present) fn hiding_from(mix: &Mix, pigment: Option<&Pigment>) -> String {
    match pigment.and_then(|pigment| pigment.card_for(mix.hiding)) {
        Some(on) => format!("your card of {}", words::date_with_year(on)),
        None => provenance(mix.hiding_from()),
    }
}

/// Of how many layers in a hundred what is asked of each is kept: "98", "99.5".
pub(in crate::present) fn in_a_hundred(assurance: Assurance) -> String {
    let tenths = (10.0 * assurance.in_a_hundred()).round() / 10.0;
    format!("{tenths}")
}

/// What hides the metal and what a layer holds of it: "0.44 per cent times mm".
pub(in crate::present) fn percent_mm(value: f64) -> String {
    format!("{value:.2} per cent times mm")
}

fn depth_explained(plan: &Plan) -> Explained {
    let weakest = plan.weakest().map(|(place, layer)| {
        format!(
            "layer {}: {:.1} times the light that first sets it, at the cautious end",
            place + 1,
            layer.cautious.get()
        )
    });
    let used = plan.layers.iter().filter_map(|layer| plan.lights.get(usize::from(layer.light)));
    let mut values = cure_values(&plan.cure, used);
    values.push(("least sure layer", weakest.unwrap_or_default()));
    values.extend(taken_besides(plan));
    let [plain, formula, source] = DEPTH;
    Explained { title: "how deep it hardens", plain, values, formula, source }
}

/// What resin, pigment and lamp go in with, what is in doubt of them, and what is asked of each layer.
pub(in crate::present) fn cure_values<'a>(
    cure: &Cure,
    lights: impl Iterator<Item = &'a Light>,
) -> Vec<(&'static str, String)> {
    let from = |value: String, source| format!("{value} ({})", provenance(source));
    let mut values = vec![
        (
            "clear resin hardens deeper with each 2.7 times the light by",
            from(words::length(cure.resin.penetration()), cure.resin.provenance),
        ),
        ("seconds until it first sets", first_sets(lights)),
    ];
    if cure.mix.class != PigmentClass::Clear {
        let takes = format!("{} per mm and per cent", cure.mix.absorption.get());
        values.push(("what the pigment takes of the light", from(takes, cure.mix.absorption_from())));
    }
    if let Some(own) = cure.own {
        let takes = format!("{:.2} per mm (your tests)", own.get());
        values.push(("what coloured resin takes besides its pigment", takes));
    }
    values.push((
        "light wanted on the underside",
        format!(
            "{} times what first sets it, in {} layers of 100",
            cure.assurance.margin.get(),
            in_a_hundred(cure.assurance)
        ),
    ));
    values.push(("in doubt, two times in three by no more than", doubts(&cure.doubts)));
    values
}

/// "1 s under "60 s" (cautious guess)", each once.
fn first_sets<'a>(lights: impl Iterator<Item = &'a Light>) -> String {
    let said = lights.map(|light| {
        let button = if light.button.name().is_empty() {
            String::new()
        } else {
            format!(" under \"{}\"", light.button.name())
        };
        format!("{}{button} ({})", light.first_set(), provenance(light.provenance))
    });
    let mut all: Vec<String> = said.collect();
    all.sort();
    all.dedup();
    words::list(&all)
}

/// What else takes of the light, where it does: a dark wall, the material.
fn taken_besides(plan: &Plan) -> Vec<(&'static str, String)> {
    let mut values = Vec::new();
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

fn hiding_explained(plan: &Plan, pigment: Option<&Pigment>) -> Explained {
    let (held, wanted) = hiding(plan);
    let patch = plan.thinnest.map_or_else(String::new, |left| {
        format!(
            ", at the thinnest patch of the swirls, where {} of each layer is left",
            percent(left.fraction())
        )
    });
    let [plain, formula, source] = HIDING;
    Explained {
        title: "whether the metal is hidden",
        plain,
        values: vec![
            ("pigment", class(plan.cure.mix.class).to_owned()),
            ("what the layers hold", format!("{}{patch}", percent_mm(held))),
            (
                "what hides the metal",
                format!("{} ({})", percent_mm(wanted), hiding_from(&plan.cure.mix, pigment)),
            ),
        ],
        formula,
        source,
    }
}

fn time_explained(plan: &Plan) -> Explained {
    // To the second, so that they add up.
    let total = |of: fn(&PlannedLayer) -> Span| words::clock(plan.layers.iter().map(of).sum());
    Explained {
        title: "how long it takes",
        plain: "Every layer is laid, left until its bubbles have risen, lit, and left to cool; all of that is added up. Of \
                all ways that are sure to harden and hide the metal, this is the one that takes least time.",
        values: vec![
            ("laying", total(|layer| layer.lay)),
            ("waiting", total(|layer| layer.settle)),
            ("under the lamp", total(PlannedLayer::lit)),
            ("cooling", total(|layer| layer.cool)),
            ("all together", total(|layer| layer.lay + layer.settle + layer.lit() + layer.cool)),
        ],
        formula: "for each layer: laying, waiting for bubbles to rise, the lamp button and cooling, all added up",
        source: "the times in your settings; the usual ones are common practice, no source",
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::present::plan_words::{card, facts};
    use crate::present::sample::{day, id, studio, usual_plan};
    use crate::shelving::card::{CardTyped, card as typed, with_card};
    use craft::cure::{Factor, Resin};
    use craft::shelf::What;
    use craft::units::Length;

    fn value<'a>(explained: &'a Explained, name: &str) -> &'a str {
        explained.values.iter().find(|(of, _)| *of == name).map_or("", |(_, value)| value)
    }

    fn pigment(item: &craft::shelf::Item) -> &Pigment {
        match &item.what {
            What::Pigment(pigment) => pigment,
            other => panic!("{other:?}"),
        }
    }

    #[test]
    fn a_plan_says_of_how_many_layers_in_a_hundred_it_was_made_sure() {
        // One-sided quantiles of the standard normal table: 2.0537 is 98 in 100, 2.3263 is 99, 2.5758 is 99.5.
        for (spread, hundred) in [(2.0537, "98"), (2.3263, "99"), (2.5758, "99.5")] {
            let mut plan = usual_plan();
            plan.cure.assurance.spread = Factor::new(spread).unwrap();
            for layer in &mut plan.layers {
                layer.cautious = Factor::new(3.0).unwrap();
            }
            let promise = facts(&plan, &card(&plan, &[]), Length::from_mm(3.5));
            assert_eq!(promise[0].1, format!("each layer, {hundred} times in 100"));
            let [depth, ..] = explained(&plan, None);
            let wanted = value(&depth, "light wanted on the underside");
            assert_eq!(wanted, format!("1.5 times what first sets it, in {hundred} layers of 100"));
        }
    }

    #[test]
    fn a_card_that_found_what_hides_is_named_with_its_day() {
        let item = studio().shelf()[&id("deep-green")].clone();
        let shown = CardTyped { load: "0.5 %", seen: "1.2", hidden: "1.4", day: "1 May" };
        let test = typed(&shown, day(2026, 5, 3)).unwrap();
        let carded = with_card(&item, test).unwrap();
        let mut plan = usual_plan();
        let from = |plan: &Plan, item| {
            value(&explained(plan, Some(pigment(item)))[1], "what hides the metal").to_owned()
        };
        assert!(from(&plan, &item).ends_with("(cautious guess)"), "{}", from(&plan, &item));
        assert!(from(&plan, &carded).ends_with("(cautious guess)"), "a plan from before the card");
        plan.cure.mix = pigment(&carded).mix;
        assert!(from(&plan, &carded).ends_with("(your card of 1 May 2026)"), "{}", from(&plan, &carded));
        plan.cure.mix.hiding = Factor::new(0.9).unwrap();
        assert!(from(&plan, &carded).ends_with("(what works for you)"), "typed since");
    }

    #[test]
    fn every_explanation_of_a_plan_begins_with_plain_sentences() {
        for one in explained(&usual_plan(), None) {
            assert!(one.plain.ends_with('.') && !one.plain.contains(['=', '÷', '×']), "{one:?}");
        }
        let mut plan = usual_plan();
        plan.cure.resin = Resin::new(Length::from_mm(1.2), Provenance::Practised).unwrap();
        let said = explained(&plan, None);
        assert!(said[0].values[0].1.starts_with("1.2 mm (what works for you)"), "{:?}", said[0].values);
    }
}
