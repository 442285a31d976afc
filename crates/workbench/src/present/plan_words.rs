//! The pouring card in words, why nothing fits, and how each figure was worked out.

use craft::cure::{PigmentClass, Provenance, Surety};
use craft::fact::LayerKind;
use craft::planner::{Plan, PlanError, PlannedLayer, Region, Style};
use craft::units::{Length, Span};

use super::words;

/// One mould of the pouring card: a layer to be laid.
#[derive(Clone, Debug, PartialEq)]
pub struct LayerCard {
    /// Which layer, from 1 at the face.
    pub no: u8,
    /// What it is, as it is written down when it is laid.
    pub kind: LayerKind,
    /// What it is called on the card: "tinted, deeper".
    pub name: &'static str,
    /// How thick: "0.4 mm".
    pub thickness: String,
    /// Where its surface stands above the face, for the fill-to-here mark.
    pub filled_to: Length,
    /// Its pigment: "0.3 % pigment"; empty for a clear layer.
    pub pigment: String,
    /// "lay 3 min".
    pub lay: String,
    /// "wait 1 min".
    pub wait: String,
    /// The button as it is labelled.
    pub light: String,
    /// How long that is lit: "1:39".
    pub light_clock: String,
    /// "cool 3 min".
    pub cool: String,
    /// How sure it is to harden right through.
    pub surety: Surety,
    /// The same in words.
    pub sure: &'static str,
}

/// How far the metal behind the stone is hidden.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Hidden {
    /// No difference can be seen.
    Hidden,
    /// Metal glimmers faintly.
    Faint,
    /// It shows.
    Shows,
}

/// A plan as the pouring card shows it.
#[derive(Clone, Debug, PartialEq)]
pub struct PlanCard {
    /// The layers from the face.
    pub layers: Vec<LayerCard>,
    /// How far the metal is hidden.
    pub hidden: Hidden,
    /// The same in words: "metal hidden".
    pub hidden_words: &'static str,
    /// "30 minutes, 12 of them your hands".
    pub time: String,
    /// What rests on cautious guesses; empty where everything was tested.
    pub guess: String,
}

/// How sure a layer is to harden, in words.
pub const fn surety(surety: Surety) -> &'static str {
    match surety {
        Surety::Sure => "sure to harden",
        Surety::Likely => "likely",
        Surety::NotSure => "not sure",
    }
}

/// How the colour follows, in words.
pub const fn style(style: Style) -> &'static str {
    match style {
        Style::Even => "the same colour in each layer",
        Style::Deepening => "a tiny bit of colour first, deeper in each layer",
        Style::Quick => "whatever takes the least time",
    }
}

/// A class of pigment in words.
pub const fn pigment(class: PigmentClass) -> &'static str {
    match class {
        PigmentClass::Clear => "no pigment",
        PigmentClass::Dye => "transparent dye",
        PigmentClass::Pearl => "pearl or mica",
        PigmentClass::White => "opaque white",
        PigmentClass::Colour => "opaque colour",
        PigmentClass::Dark => "opaque dark colour",
        PigmentClass::Black => "black",
    }
}

/// A plan as the pouring card shows it.
pub fn card(plan: &Plan) -> PlanCard {
    let mut filled_to = Length::ZERO;
    let layers = (1_u8..).zip(&plan.layers).map(|(no, layer)| {
        filled_to = filled_to + layer.thickness;
        layer_card(plan, no, layer, filled_to)
    });
    let layers = layers.collect();
    let hidden = hidden(plan);
    PlanCard { layers, hidden, hidden_words: hidden_words(plan, hidden), time: time(plan), guess: guess(plan) }
}

fn layer_card(plan: &Plan, no: u8, layer: &PlannedLayer, filled_to: Length) -> LayerCard {
    let surety_now = surety_of(plan, layer);
    LayerCard {
        no,
        kind: kind_of(no, layer),
        name: name_of(plan, no, layer),
        thickness: words::length(layer.thickness),
        filled_to,
        pigment: if layer.load.is_positive() { format!("{} pigment", layer.load) } else { String::new() },
        lay: format!("lay {}", words::span_up(layer.lay)),
        wait: format!("wait {}", words::span_up(layer.settle)),
        light: layer.button.clone(),
        light_clock: words::clock(layer.seconds),
        cool: format!("cool {}", words::span_up(layer.cool)),
        surety: surety_now,
        sure: surety(surety_now),
    }
}

/// What a planned layer is written down as. The first layer of the face holds the material.
pub fn kind_of(no: u8, layer: &PlannedLayer) -> LayerKind {
    match layer.region {
        Region::Face if no <= 1 => LayerKind::Material,
        Region::Face => LayerKind::Clear,
        Region::Colour => LayerKind::Tinted,
        Region::Back => LayerKind::BackCoat,
    }
}

/// "tinted" first, "tinted, deeper" after it, "tinted, deepest" last of three or more.
fn name_of(plan: &Plan, no: u8, layer: &PlannedLayer) -> &'static str {
    if layer.region != Region::Colour {
        return words::layer_kind(kind_of(no, layer));
    }
    let loads: Vec<_> = plan.colour().map(|layer| layer.load).collect();
    let (first, last) = (loads.first().copied().unwrap_or_default(), loads.last().copied().unwrap_or_default());
    if layer.load <= first {
        "tinted"
    } else if layer.load == last && loads.len() > 2 {
        "tinted, deepest"
    } else {
        "tinted, deeper"
    }
}

/// How sure a layer is, from the light at the cautious end on its underside.
fn surety_of(plan: &Plan, layer: &PlannedLayer) -> Surety {
    // The factors were rounded where they were worked out; a millionth is far below any doubt.
    let cautious = layer.cautious.get() + 1e-6;
    if cautious >= plan.cure.assurance.margin.get() {
        Surety::Sure
    } else if cautious >= 1.0 {
        Surety::Likely
    } else {
        Surety::NotSure
    }
}

/// Below this part of what hides the metal, it shows; above, it glimmers faintly. Common practice, no source.
const FAINT_FROM: f64 = 0.7;

/// What the colour layers hold against what hides the metal, both per cent times millimetres.
fn hiding(plan: &Plan) -> (f64, f64) {
    let held = plan.colour().map(|layer| layer.load.percent() * layer.thickness.mm()).sum();
    (held, plan.cure.mix.hiding.get())
}

fn hidden(plan: &Plan) -> Hidden {
    let (held, wanted) = hiding(plan);
    if !plan.cure.mix.class.hides() {
        Hidden::Shows
    } else if held + 1e-9 >= wanted {
        Hidden::Hidden
    } else if held >= FAINT_FROM * wanted {
        Hidden::Faint
    } else {
        Hidden::Shows
    }
}

const fn hidden_words(plan: &Plan, hidden: Hidden) -> &'static str {
    match (hidden, plan.cure.mix.class) {
        (_, PigmentClass::Clear) => "clear all through: the metal shows",
        (Hidden::Hidden, _) => "metal hidden",
        (Hidden::Faint, _) => "metal faint",
        (Hidden::Shows, _) => "metal shows",
    }
}

/// "30 minutes, 12 of them your hands".
fn time(plan: &Plan) -> String {
    let hands: Span = plan.layers.iter().map(|layer| layer.lay).sum();
    let minutes = |seconds: i64| (seconds + 59) / 60;
    let (whole, hands) = (i64::from(plan.bench_minutes()), minutes(hands.micro() / 1_000_000));
    let noun = if whole == 1 { "minute" } else { "minutes" };
    format!("{whole} {noun}, {hands} of them your hands")
}

/// What of a plan rests on typical values.
fn guess(plan: &Plan) -> String {
    let typical = |provenance| provenance == Provenance::Typical;
    let used = |place: usize| plan.layers.iter().any(|layer| usize::from(layer.light) == place);
    let lamp = plan.lights.iter().enumerate().any(|(place, light)| used(place) && typical(light.provenance));
    let pigment = typical(plan.cure.mix.provenance) && plan.cure.mix.class != PigmentClass::Clear;
    let parts = [(typical(plan.cure.resin.provenance), "the resin"), (pigment, "the pigment"), (lamp, "the lamp")];
    let guessed: Vec<&str> = parts.iter().filter(|(is, _)| *is).map(|(_, name)| *name).collect();
    if guessed.is_empty() {
        return String::new();
    }
    format!("A cautious guess for {} – test yours in ten minutes, and it may take fewer layers.", words::list(&guessed))
}

/// Why nothing can be planned, and what would help.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NotYet {
    /// "Not yet: …".
    pub words: String,
    /// The smallest change that frees it, as a sentence; empty where it takes more than one.
    pub change: String,
}

/// Why nothing can be planned, in words.
pub fn not_yet(why: &PlanError) -> NotYet {
    match why {
        PlanError::Stuck(stuck) => NotYet {
            words: format!("Not yet: {}.", stuck.limit),
            change: stuck.frees.first().map_or_else(
                || "No single change frees it: begin with another mould or mix.".to_owned(),
                |change| format!("{} would free it.", words::sentence_start(&change.to_string())),
            ),
        },
        other => NotYet { words: format!("Not yet: {other}."), change: String::new() },
    }
}

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
        format!("layer {}: {:.1} times the light that first sets it, at the cautious end", place + 1, layer.cautious.get())
    });
    let lamps = plan.layers.iter().filter_map(|layer| plan.lights.get(usize::from(layer.light)));
    let mut first_sets: Vec<String> = lamps
        .map(|light| format!("{} under \"{}\" ({})", light.first_set(), light.button.name(), provenance(light.provenance)))
        .collect();
    first_sets.sort();
    first_sets.dedup();
    let values = vec![
        ("how deep clear resin hardens for each e-fold of light", format!("{} ({})", words::length(cure.resin.penetration()), provenance(cure.resin.provenance))),
        ("seconds until it first sets", words::list(&first_sets)),
        ("what the pigment takes of the light", format!("{} per mm and per cent ({})", cure.mix.absorption.get(), provenance(cure.mix.provenance))),
        ("light wanted on the underside", format!("{} times what first sets it, 98 layers in a hundred", cure.assurance.margin.get())),
        ("least sure layer", weakest.unwrap_or_default()),
    ];
    Explained {
        title: "how deep it hardens",
        formula: "depth = how deep it hardens × ln(seconds of light ÷ seconds until it first sets). Pigment makes it \
                  shallower: 1 ÷ depth for each e-fold = 1 ÷ that of clear resin + what the pigment takes × its per cent",
        values,
        source: "P. F. Jacobs, Rapid Prototyping & Manufacturing, 1992; I. Gibson, D. Rosen, B. Stucker, Additive \
                 Manufacturing Technologies, equation 4.16; doubts after JCGM 100:2008, section 5",
    }
}

fn hiding_explained(plan: &Plan) -> Explained {
    let (held, wanted) = hiding(plan);
    Explained {
        title: "whether the metal is hidden",
        formula: "sum over the colour layers of per cent of pigment × thickness, against what hides the metal",
        values: vec![
            ("pigment", pigment(plan.cure.mix.class).to_owned()),
            ("what the layers hold", format!("{held:.2} % × mm")),
            ("what hides the metal", format!("{wanted:.2} % × mm ({})", provenance(plan.cure.mix.provenance))),
        ],
        source: "P. Kubelka, J. Opt. Soc. Am. 38 (1948) 448 and 44 (1954) 330: layers of one pigment add; hidden means a \
                 colour difference of at most 2 between metal and a dark gap behind the stone",
    }
}

fn time_explained(plan: &Plan) -> Explained {
    let total = |of: fn(&PlannedLayer) -> Span| words::span(plan.layers.iter().map(of).sum());
    Explained {
        title: "how long it takes",
        formula: "for each layer: laying + waiting for bubbles to rise + the lamp button + cooling",
        values: vec![
            ("laying", total(|layer| layer.lay)),
            ("waiting", total(|layer| layer.settle)),
            ("under the lamp", total(|layer| layer.seconds)),
            ("cooling", total(|layer| layer.cool)),
        ],
        source: "the times in your settings; the usual ones are common practice, no source",
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::present::sample::{problem, usual_plan};
    use craft::cure::Factor;
    use craft::planner::plan;

    #[test]
    fn a_card_names_each_layer_from_the_face_to_the_back() {
        let card = card(&usual_plan());
        let names: Vec<_> = card.layers.iter().map(|layer| layer.name).collect();
        assert_eq!(names.first(), Some(&"material"));
        assert_eq!(names.last(), Some(&"back coat"));
        assert!(names.contains(&"tinted") && names.contains(&"tinted, deeper"), "{names:?}");
        assert!(card.layers.iter().all(|layer| layer.sure == "sure to harden"));
        assert_eq!(card.layers.last().unwrap().filled_to, Length::from_mm(3.5), "the mould is full");
        assert_eq!(card.hidden_words, "metal hidden");
        assert!(card.guess.starts_with("A cautious guess for the resin, the pigment and the lamp"), "{}", card.guess);
    }

    #[test]
    fn three_layers_of_rising_colour_end_in_the_deepest() {
        let plan = plan(&problem(PigmentClass::White)).unwrap();
        let names: Vec<_> = card(&plan).layers.iter().filter(|layer| layer.kind == LayerKind::Tinted).map(|layer| layer.name).collect();
        assert!(names.len() > 2, "{names:?}");
        assert_eq!((names[0], names[1], *names.last().unwrap()), ("tinted", "tinted, deeper", "tinted, deepest"));
    }

    #[test]
    fn the_time_says_how_much_of_it_is_handwork() {
        let mut plan = usual_plan();
        plan.cost.seconds = 1_790;
        for layer in &mut plan.layers {
            layer.lay = Span::from_s(720.0 / 4.0);
        }
        assert_eq!(plan.layers.len(), 4);
        assert_eq!(card(&plan).time, "30 minutes, 12 of them your hands");
    }

    #[test]
    fn less_light_is_likely_and_much_less_is_not_sure() {
        let mut plan = usual_plan();
        let at = |plan: &mut Plan, cautious: f64| {
            plan.layers[0].cautious = Factor::new(cautious).unwrap();
            card(plan).layers[0].sure
        };
        assert_eq!(at(&mut plan, 1.5), "sure to harden");
        assert_eq!(at(&mut plan, 1.2), "likely");
        assert_eq!(at(&mut plan, 0.8), "not sure");
    }

    #[test]
    fn less_pigment_shows_the_metal_faintly_then_plainly() {
        let mut plan = usual_plan();
        let (held, _) = hiding(&plan);
        let at = |plan: &mut Plan, wanted: f64| {
            plan.cure.mix.hiding = Factor::new(wanted).unwrap();
            card(plan).hidden_words
        };
        assert_eq!(at(&mut plan, held), "metal hidden");
        assert_eq!(at(&mut plan, held / 0.8), "metal faint");
        assert_eq!(at(&mut plan, held / 0.5), "metal shows");
    }

    #[test]
    fn a_tested_plan_is_no_guess() {
        let mut plan = usual_plan();
        plan.cure.resin.provenance = Provenance::Practised;
        plan.cure.mix.provenance = Provenance::Practised;
        for light in &mut plan.lights {
            light.provenance = Provenance::Practised;
        }
        assert_eq!(card(&plan).guess, "");
    }

    #[test]
    fn where_nothing_fits_the_limit_and_the_smallest_change_are_said() {
        let mut stuck = problem(PigmentClass::White);
        stuck.lights.truncate(1);
        let why = plan(&stuck).unwrap_err();
        let said = not_yet(&why);
        assert!(said.words.starts_with("Not yet: ") && said.words.ends_with('.'), "{}", said.words);
        assert!(!said.change.is_empty());
        let none = not_yet(&PlanError::NoLamp);
        assert_eq!(none.words, "Not yet: no lamp button to plan with; add at least one.");
    }

    #[test]
    fn every_figure_opens_into_formula_values_and_source() {
        for explained in explained(&usual_plan()) {
            assert!(!explained.formula.is_empty() && !explained.source.is_empty());
            assert!(explained.values.iter().all(|(name, value)| !name.is_empty() && !value.is_empty()), "{explained:?}");
        }
    }
}
