//! The pouring card in words, why nothing fits, and how each figure was worked out.

mod again;
mod ahead;
mod explained;
mod explained_ahead;
mod explained_more;
mod one_more;
mod pots;
mod sharing;
mod tested;
mod topcoat;

use craft::cure::{PigmentClass, Provenance, Surety};
use craft::fact::LayerKind;
use craft::planner::{Caution, Change, Even, Plan, PlanError, PlannedLayer, Problem, Region, Style};
use craft::shrinkage::PourMark;
use craft::units::{Length, Span};

use super::words;

pub use again::{again, against};
pub(in crate::present) use ahead::layer_heat;
pub use ahead::{AheadWords, Told, ahead, simulated, touch};
pub(in crate::present) use explained::{DEPTH, HIDING, cure_values, hiding_from, in_a_hundred, percent_mm};
pub use explained::{Explained, explained, provenance};
pub(in crate::present) use explained_ahead::{band, filling_explained, warmth_explained};
pub use explained_ahead::{explained_ahead, explained_pots, explained_spread};
pub use explained_more::explained_even;
pub use one_more::{explained_one_more, one_more};
pub use pots::{PotsWords, candidates, on_scale, pot, pots};
pub use sharing::{HowManyWords, explained_how_many, how_many};
pub use tested::{LearnedWords, learned};
pub use topcoat::{explained_top_coat, top_coat, top_coats};

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
    /// Where its surface stands above the face once it has set.
    pub filled_to: Length,
    /// Its pigment: "0.3 % pigment"; empty for a clear layer.
    pub pigment: String,
    /// "lay 3:00".
    pub lay: String,
    /// "wait 42 s".
    pub wait: String,
    /// The button as it is labelled.
    pub light: String,
    /// How long that is lit: "1:39".
    pub light_clock: String,
    /// "cool 1:24".
    pub cool: String,
    /// What is done with it: lay, wait, light, cool, each with how much, to the second.
    pub rows: [(&'static str, String); 4],
    /// "fill to 2.25 mm above the face": as it is poured, before it shrinks.
    pub fill: String,
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
    /// What light cannot do for this stone, and what to do about it; empty where it can do all.
    pub caution: String,
}

/// How sure a layer is to harden, in words.
pub const fn surety(surety: Surety) -> &'static str {
    match surety {
        Surety::Sure => "sure to harden",
        Surety::Likely => "likely",
        Surety::NotSure => "not sure",
    }
}

/// The same of a layer of a plan: under petals no light falls, and nothing is promised there.
pub fn surety_at(plan: &Plan, place: usize) -> &'static str {
    let now = plan.surety(place);
    match (plan.caution, place, now) {
        (Some(Caution::FaceUp), 0, Surety::Sure) => "sure where light falls",
        (Some(Caution::FaceUp), 0, Surety::Likely) => "likely where light falls",
        _ => surety(now),
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
        PigmentClass::Pearl => "pearl, mica or glitter",
        PigmentClass::White => "opaque white",
        PigmentClass::Colour => "opaque colour",
        PigmentClass::Dark => "opaque dark colour",
        PigmentClass::Black => "black",
    }
}

/// A plan as the pouring card shows it, with the mark each layer is poured to; a layer without a mark is said where it
/// stands once set.
pub fn card(plan: &Plan, marks: &[PourMark]) -> PlanCard {
    let mut filled_to = Length::ZERO;
    let layers = (1_u8..).zip(&plan.layers).enumerate().map(|(place, (no, layer))| {
        filled_to = filled_to + layer.thickness;
        let poured_to = marks.get(place).map_or(filled_to, |mark| mark.liquid);
        layer_card(plan, (no, layer), filled_to, poured_to)
    });
    let layers = layers.collect();
    let hidden = hidden(plan);
    PlanCard {
        layers,
        hidden,
        hidden_words: hidden_words(plan, hidden),
        time: time(plan),
        guess: guess(plan),
        caution: plan
            .caution
            .map(|caution| format!("{}.", words::sentence_start(&caution.to_string())))
            .unwrap_or_default(),
    }
}

/// What a plan promises, each as a title and a few words: hardening, hiding, filling and time.
pub fn facts(plan: &Plan, card: &PlanCard, mould_depth: Length) -> [(String, String); 4] {
    let weakest = (0..plan.layers.len()).map(|place| plan.surety(place)).min();
    let sure = match weakest {
        Some(Surety::Sure) if plan.caution == Some(Caution::FaceUp) => {
            let times = in_a_hundred(plan.cure.assurance);
            format!("{times} in 100 where light falls")
        }
        Some(Surety::Sure) => format!("each layer, {} times in 100", in_a_hundred(plan.cure.assurance)),
        Some(Surety::Likely) => "but not as surely as is usual here".to_owned(),
        Some(Surety::NotSure) | None => "lay thinner or light longer".to_owned(),
    };
    let surety = words::sentence_start(surety(weakest.unwrap_or(Surety::NotSure)));
    let top_up = plan.top_up(mould_depth);
    let filled = if top_up > Length::ZERO {
        format!("to the rim, the last {} topped up", words::length(top_up))
    } else {
        "to the rim".to_owned()
    };
    let (time, hands) = card.time.split_once(", ").unwrap_or((card.time.as_str(), ""));
    [
        (surety, sure),
        (words::sentence_start(card.hidden_words), hidden_more(plan)),
        ("Fills the mould".to_owned(), filled),
        (words::sentence_start(time), hands.to_owned()),
    ]
}

/// How the hiding stands: what the layers hold against what hides the metal, in words.
fn hidden_more(plan: &Plan) -> String {
    let (held, wanted) = hiding(plan);
    if !plan.cure.mix.class.hides() {
        return "light goes right through".to_owned();
    }
    let times = held / wanted.max(1e-9);
    if times >= 1.2 {
        format!("{times:.1} times what it takes")
    } else if times + 1e-9 >= 1.0 {
        "with just what it takes".to_owned()
    } else {
        format!("{:.0} % of what it takes", 100.0 * times)
    }
}

/// How the colour follows, in a word.
pub const fn style_short(style: Style) -> &'static str {
    match style {
        Style::Even => "even",
        Style::Deepening => "deepening",
        Style::Quick => "the quick way",
    }
}

fn layer_card(
    plan: &Plan,
    (no, layer): (u8, &PlannedLayer),
    filled_to: Length,
    poured_to: Length,
) -> LayerCard {
    let surety_now = plan.surety(usize::from(no).saturating_sub(1));
    LayerCard {
        no,
        kind: plan.kind_of(no, layer),
        name: name_of(plan, no, layer),
        thickness: words::length(layer.thickness),
        filled_to,
        pigment: if layer.load.is_positive() { format!("{} pigment", layer.load) } else { String::new() },
        lay: format!("lay {}", words::span(layer.lay)),
        wait: format!("wait {}", words::span(layer.settle)),
        light: layer.button.clone(),
        light_clock: words::span(layer.lit()),
        cool: format!("cool {}", words::span(layer.cool)),
        rows: [
            ("lay", words::length(layer.thickness)),
            ("wait", words::span(layer.settle)),
            ("light", light_words(layer)),
            ("cool", words::span(layer.cool)),
        ],
        fill: format!("fill to {}", words::fill_mark(poured_to)),
        surety: surety_now,
        sure: surety_at(plan, usize::from(no).saturating_sub(1)),
    }
}

/// The button with its time, said once: "99 s low heat", or "1:39 · low" where the button does not name its seconds.
fn light_words(layer: &PlannedLayer) -> String {
    let seconds = layer.seconds.micro() / 1_000_000;
    let once = if layer.button.contains(&seconds.to_string()) {
        layer.button.clone()
    } else {
        format!("{} · {}", words::span(layer.seconds), layer.button)
    };
    match layer.presses {
        0 | 1 => once,
        2 => format!("{once}, twice"),
        more => format!("{once}, {more} times"),
    }
}

/// "tinted" first, "tinted, deeper" after it, "tinted, deepest" last of three or more.
fn name_of(plan: &Plan, no: u8, layer: &PlannedLayer) -> &'static str {
    if layer.region != Region::Colour || plan.thinnest.is_some() {
        return words::layer_kind(plan.kind_of(no, layer));
    }
    let loads: Vec<_> = plan.colour().map(|layer| layer.load).collect();
    let (first, last) =
        (loads.first().copied().unwrap_or_default(), loads.last().copied().unwrap_or_default());
    if layer.load <= first {
        "tinted"
    } else if layer.load == last && loads.len() > 2 {
        "tinted, deepest"
    } else {
        "tinted, deeper"
    }
}

/// Below this part of what hides the metal, it shows; above, it glimmers faintly. Common practice, no source.
const FAINT_FROM: f64 = 0.7;

/// What the colour layers hold against what hides the metal, both per cent times millimetres.
fn hiding(plan: &Plan) -> (f64, f64) {
    let held: f64 = plan.colour().map(|layer| layer.load.percent() * layer.thickness.mm()).sum();
    // Swirled colours are judged at their thinnest patch.
    (held * plan.thinnest.map_or(1.0, craft::units::Share::fraction), plan.cure.mix.hiding.get())
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
    let pigment = typical(plan.cure.mix.absorption_from()) && plan.cure.mix.class != PigmentClass::Clear;
    let parts =
        [(typical(plan.cure.resin.provenance), "the resin"), (pigment, "the pigment"), (lamp, "the lamp")];
    let guessed: Vec<&str> = parts.iter().filter(|(is, _)| *is).map(|(_, name)| *name).collect();
    if guessed.is_empty() {
        return String::new();
    }
    format!(
        "A cautious guess for {} – {}, and it may take fewer layers.",
        words::list(&guessed),
        super::labels::plan::TEST_YOURS
    )
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
        PlanError::Stuck(stuck) => {
            NotYet { words: format!("Not yet: {}.", stuck.limit), change: freed_by(&stuck.frees) }
        }
        other => NotYet { words: format!("Not yet: {other}."), change: String::new() },
    }
}

/// "0.2 mm more room for colour would free it. So would a mould 0.2 mm deeper.".
fn freed_by(frees: &[Change]) -> String {
    let Some((first, others)) = frees.split_first() else {
        return "No single change frees it: begin with another mould or mix.".to_owned();
    };
    let first = format!("{} would free it.", words::sentence_start(&first.to_string()));
    let others: Vec<String> = others.iter().take(2).map(Change::to_string).collect();
    if others.is_empty() { first } else { format!("{first} So would {}.", others.join(", or ")) }
}

/// Why nothing can be planned for this problem, in words: the plain reason where there is one, else the limit that binds.
pub fn not_yet_for(problem: &Problem, why: &PlanError) -> NotYet {
    let said = not_yet(why);
    match problem.plain_reason() {
        Some(plain) => NotYet { words: format!("Not yet: {plain}."), change: said.change },
        None => said,
    }
}

/// What steps of the same size cost: "steps of the same size take 3 minutes longer".
pub fn even_cost(even: &Even) -> String {
    let minutes = (even.more.micro() / 1_000_000 + 59) / 60;
    let cost = match minutes {
        0 => "take no longer".to_owned(),
        1 => "take 1 minute longer".to_owned(),
        more => format!("take {more} minutes longer"),
    };
    let steps = if even.is_even { "steps of the same size" } else { "steps as alike as they can be" };
    format!("{steps} {cost}")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::present::sample::{problem, usual_plan};
    use craft::cure::Factor;
    use craft::planner::plan;

    #[test]
    fn a_card_names_each_layer_from_the_face_to_the_back() {
        let card = card(&usual_plan(), &[]);
        let names: Vec<_> = card.layers.iter().map(|layer| layer.name).collect();
        assert_eq!(names.first(), Some(&"material"));
        assert_eq!(names.last(), Some(&"back coat"));
        assert!(names.contains(&"tinted") && names.contains(&"tinted, deeper"), "{names:?}");
        assert!(card.layers.iter().all(|layer| layer.sure == "sure to harden"));
        assert_eq!(card.layers.last().unwrap().filled_to, Length::from_mm(3.5), "the mould is full");
        assert_eq!(card.hidden_words, "metal hidden");
        assert!(
            card.guess.starts_with("A cautious guess for the resin, the pigment and the lamp"),
            "{}",
            card.guess
        );
    }

    #[test]
    fn nothing_is_called_sure_where_no_light_falls() {
        let mut plan = usual_plan();
        assert_eq!(surety_at(&plan, 0), "sure to harden");
        plan.caution = Some(Caution::FaceUp);
        assert_eq!(surety_at(&plan, 0), "sure where light falls");
        assert_eq!(card(&plan, &[]).layers[0].sure, "sure where light falls");
        let [(_, said), ..] = facts(&plan, &card(&plan, &[]), Length::from_mm(3.5));
        assert!(said.ends_with(" in 100 where light falls"), "{said}");
        assert_eq!(surety_at(&plan, 1), "sure to harden", "light falls on the others");
    }

    #[test]
    fn three_layers_of_rising_colour_end_in_the_deepest() {
        let plan = plan(&problem(PigmentClass::White)).unwrap();
        let names: Vec<_> = card(&plan, &[])
            .layers
            .iter()
            .filter(|layer| layer.kind == LayerKind::Tinted)
            .map(|layer| layer.name)
            .collect();
        assert!(names.len() > 2, "{names:?}");
        assert_eq!(
            (names[0], names[1], *names.last().unwrap()),
            ("tinted", "tinted, deeper", "tinted, deepest")
        );
    }

    #[test]
    fn the_time_says_how_much_of_it_is_handwork() {
        let mut plan = usual_plan();
        plan.cost.seconds = 1_790;
        for layer in &mut plan.layers {
            layer.lay = Span::from_s(720.0 / 4.0);
        }
        assert_eq!(plan.layers.len(), 4);
        assert_eq!(card(&plan, &[]).time, "30 minutes, 12 of them your hands");
    }

    #[test]
    fn the_card_says_every_time_as_it_is_and_the_sum_of_them_in_full() {
        let mut plan = usual_plan();
        for layer in &mut plan.layers {
            (layer.settle, layer.cool) = (Span::from_s(42.0), Span::from_s(84.0));
            layer.lay = Span::from_s(150.0);
        }
        let first = card(&plan, &[]).layers.remove(0);
        assert_eq!(
            (first.lay.as_str(), first.wait.as_str(), first.cool.as_str()),
            ("lay 2:30", "wait 42 s", "cool 1:24")
        );
        let [_, (_, wait), _, (_, cool)] = first.rows;
        assert_eq!((wait.as_str(), cool.as_str()), ("42 s", "1:24"), "the same beside the mould");
        let read = |said: &str| crate::typed::seconds(said).unwrap().value;
        let told = explained(&plan, None)[2].values.clone();
        let (all, parts) = told.split_last().unwrap();
        assert_eq!(parts.iter().map(|(_, said)| read(said)).sum::<Span>(), read(&all.1), "{told:?}");
    }

    #[test]
    fn less_light_is_likely_and_much_less_is_not_sure() {
        let mut plan = usual_plan();
        let at = |plan: &mut Plan, cautious: f64| {
            plan.layers[0].cautious = Factor::new(cautious).unwrap();
            card(plan, &[]).layers[0].sure
        };
        assert_eq!(at(&mut plan, 1.5), "sure to harden");
        assert_eq!(at(&mut plan, 1.2), "likely");
        // One less sure than 98 in 100 may still be nine in ten, which is what likely means everywhere.
        assert_eq!(at(&mut plan, 0.8), "likely");
        assert_eq!(at(&mut plan, 0.4), "not sure");
    }

    #[test]
    fn less_pigment_shows_the_metal_faintly_then_plainly() {
        let mut plan = usual_plan();
        let (held, _) = hiding(&plan);
        let at = |plan: &mut Plan, wanted: f64| {
            plan.cure.mix.hiding = Factor::new(wanted).unwrap();
            card(plan, &[]).hidden_words
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
        assert_eq!(card(&plan, &[]).guess, "");
        // A day of a test beside the class's own figure is that of hiding, and no test of light.
        plan.cure.mix.provenance = Provenance::Tested(chrono::NaiveDate::MIN);
        assert!(card(&plan, &[]).guess.starts_with("A cautious guess for the pigment"));
    }

    #[test]
    fn where_nothing_fits_the_limit_and_the_smallest_change_are_said() {
        let mut stuck = problem(PigmentClass::White);
        stuck.lights.truncate(1);
        let why = plan(&stuck).unwrap_err();
        let said = not_yet(&why);
        assert!(said.words.starts_with("Not yet: ") && said.words.ends_with('.'), "{}", said.words);
        assert!(!said.change.is_empty());
        assert_eq!(freed_by(&[]), "No single change frees it: begin with another mould or mix.");
        assert_eq!(
            freed_by(&[Change::Test, Change::PressAgain, Change::DeeperMould, Change::NoMargin]),
            "A test of this resin, lamp and pigment would free it. So would pressing a button once more for a layer, or a mould 0.2 mm deeper."
        );
        let none = not_yet(&PlanError::NoLamp);
        assert_eq!(none.words, "Not yet: no lamp button to plan with; add at least one.");
    }

    #[test]
    fn a_dead_lamp_is_said_before_the_limit_it_breaks() {
        let mut dead = problem(PigmentClass::Dark);
        for light in &mut dead.lights {
            let (button, long) = (light.button.clone(), Span::from_s(900.0));
            *light = craft::cure::Light::new(button, long, Provenance::Practised).unwrap();
        }
        let said = not_yet_for(&dead, &plan(&dead).unwrap_err());
        assert!(said.words.starts_with("Not yet: under this lamp not even the thinnest"), "{}", said.words);
        let mut stuck = problem(PigmentClass::White);
        stuck.lights.truncate(1);
        let why = plan(&stuck).unwrap_err();
        assert_eq!(not_yet_for(&stuck, &why), not_yet(&why), "where there is no plainer reason");
    }

    #[test]
    fn even_steps_say_what_they_cost() {
        let wish = craft::planner::Smooth { reference: 5, seconds: 30 };
        let even = |s: f64, is_even| even_cost(&Even { wish, more: Span::from_s(s), is_even });
        assert_eq!(even(180.0, true), "steps of the same size take 3 minutes longer");
        assert_eq!(
            even(61.0, true),
            "steps of the same size take 2 minutes longer",
            "never said shorter than it is"
        );
        assert_eq!(even(0.0, false), "steps as alike as they can be take no longer");
    }

    #[test]
    fn a_button_that_is_pressed_twice_says_so_and_its_clock_is_the_sum() {
        let mut plan = usual_plan();
        plan.layers[0].presses = 2;
        let (one, two) = (card(&usual_plan(), &[]).layers.remove(0), card(&plan, &[]).layers.remove(0));
        assert_eq!(two.rows[2].1, format!("{}, twice", one.rows[2].1));
        assert_eq!(two.light_clock, words::span(plan.layers[0].lit()));
    }

    #[test]
    fn every_figure_opens_into_formula_values_and_source() {
        for explained in explained(&usual_plan(), None) {
            assert!(!explained.formula.is_empty() && !explained.source.is_empty());
            assert!(
                explained.values.iter().all(|(name, value)| !name.is_empty() && !value.is_empty()),
                "{explained:?}"
            );
        }
    }
}
