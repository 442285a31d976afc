//! What is to be done now at a stone, in the words of the bench.

use chrono::NaiveDate;
use craft::fact::LayerKind;
use craft::foreseen::OrderPots;
use craft::heat::Sources;
use craft::id::{Thing, is_practice};
use craft::moment::Moment;
use craft::order::Page;
use craft::studio::{Held, Studio};
use craft::tag::Tag;
use craft::units::{Length, Span};

use crate::pouring::{AskLamp, Closed, Lay, Light, Step, Why};
use crate::waits::{Standing, Wait};

use super::plan_words;
use super::wait_words::State;
use super::words;

/// One step as the page shows it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StepWords {
    /// What is done, large: "Lay the tinted layer".
    pub title: String,
    /// More about it, a line each.
    pub lines: Vec<String>,
}

/// A step in words.
pub fn step(studio: &Studio, held: &Held, no: u8, step: &Step) -> StepWords {
    let say = |title: &str, lines: Vec<String>| StepWords { title: title.to_owned(), lines };
    match step {
        Step::Closed(why) => say(closed_title(*why), vec![closed(*why).to_owned()]),
        Step::Plan => say(
            "Plan it first",
            vec![format!("{name} has no plan to pour by.", name = words::sentence_start(&words::stone(no)))],
        ),
        Step::PlanAgain(against) => say("Plan it again first", vec![plan_words::against(against)]),
        Step::KeepBack(lot) => {
            let lot = words::lot(held, *lot);
            say("Put the keep-back away first", vec![format!("Nothing of {lot} is worked with before that.")])
        }
        Step::NoShare => say(
            "Say what goes in",
            vec![
                "The plan names no share of the material for this stone, or nothing of it is left to take."
                    .to_owned(),
            ],
        ),
        Step::Begin { mould, cell } => say(
            "Begin: take its cavity",
            vec![
                words::sentence_start(&words::cavity(studio, mould, cell)),
                "Clean and dry, marked with the tag".to_owned(),
            ],
        ),
        Step::Open(thing) => open_words(studio, held, *thing),
        Step::PutIn { from, lot, part } => say(
            &format!("Put {} of {} in", share_of(*part), words::lot(held, *lot)),
            vec![format!("From {} into {name}", words::thing_plain(*from), name = words::stone(no))],
        ),
        Step::Close(thing) => say(
            &format!("Close {}", words::thing_plain(*thing)),
            vec!["All that goes in has been taken out of it.".to_owned()],
        ),
        Step::Lay(lay) => lay_words(studio, held, no, lay),
        Step::Settle(wait, _) => say("Let it settle", vec![left(wait, "Bubbles rise while it rests.")]),
        Step::Light(light) => say(&light_title(light.why), light_lines(studio, light)),
        Step::Lit(wait) => say(&words::sentence_start(State::Lit.words()), lamp_lines(studio, held, wait)),
        Step::LightOver(wait) => {
            say(&words::sentence_start(State::LightOver.words()), lamp_lines(studio, held, wait))
        }
        Step::AskLamp(asked) => say("How long was the lamp on?", ask_lines(asked)),
        Step::Cool(wait) => say("Let it cool", vec![left(wait, "Warm resin feels softer than it is.")]),
        Step::Feel { layer, .. } => {
            say(&format!("Feel layer {layer}: hard, tacky or soft?"), FEEL.map(str::to_owned).into())
        }
        Step::TakeOut => {
            let lines = take_out_lines(held, no).into_iter().chain(coat(studio, held, no));
            say("Take it out of its mould", lines.collect())
        }
        Step::Finished => {
            let lines = face_up(held, no).into_iter().chain(coat(studio, held, no));
            say("This stone is made", lines.collect())
        }
    }
}

fn open_words(studio: &Studio, held: &Held, thing: Thing) -> StepWords {
    let place = held.ledger.custody.things.get(&thing).map(|kept| words::place_in(studio, &kept.place));
    let place = place.map(|place| format!(", {place}")).unwrap_or_default();
    StepWords {
        title: format!("Open {}", words::thing_plain(thing)),
        lines: vec![
            words::sentence_start(&format!("{}{place}", words::thing(held, thing))),
            "Read the tag off it: it must be this order's.".to_owned(),
        ],
    }
}

/// What the coat on the face takes, while it is still to come.
fn coat(studio: &Studio, held: &Held, no: u8) -> Option<String> {
    let sheet = held.order.sheet.stone(no)?;
    Some(plan_words::top_coat(studio, held, sheet)).filter(|words| !words.is_empty())
}

/// How a layer is felt, and what each answer means.
const FEEL: [&str; 2] = [
    "Press it with a clean gloved fingertip or a stick, at the edge.",
    "Hard: firm and dry. Tacky: firm, and only its top sticks; that is the air. Soft: it gives way, or is wet.",
];

fn take_out_lines(held: &Held, no: u8) -> Vec<String> {
    ["Say where it is put down.".to_owned()].into_iter().chain(face_up(held, no)).collect()
}

/// What light the face still wants from its own side, where none fell there since the stone left its mould: "Out of its
/// mould, light it face-up, about 40 s of full light, until the face is hard all over; …".
pub(super) fn face_up(held: &Held, no: u8) -> Option<String> {
    let layers = &held.ledger.pours.stones.get(&no)?.layers;
    if layers.iter().flat_map(|layer| &layer.lit).any(|lit| !lit.in_mould) {
        return None;
    }
    let wanted = held.order.sheet.stone(no)?.plan.as_ref()?.full_hardness(None)?.face_up?;
    Some(format!(
        "Out of its mould, light it face-up, about {} of full light, until the face is hard all over; gloves on until then.",
        words::span(wanted)
    ))
}

/// "all" rather than "all of it", before "of the hair".
fn share_of(part: craft::units::Share) -> String {
    if part == craft::units::Share::WHOLE { "all".to_owned() } else { words::share(part) }
}

const fn closed_title(why: Closed) -> &'static str {
    match why {
        Closed::CalledOff => "Called off",
        Closed::GoneHome => "Gone home",
        Closed::NotHere => "Not on the bench",
        Closed::SetAside => "Kept as a spare",
    }
}

const fn closed(why: Closed) -> &'static str {
    match why {
        Closed::CalledOff => "Nothing more is poured; everything goes home as it is.",
        Closed::GoneHome => "The box has gone home.",
        Closed::NotHere => "It is set, packed, or cannot be found.",
        Closed::SetAside => "It is not shown, and goes home with the rest.",
    }
}

fn light_title(why: Why) -> String {
    match why {
        Why::First => State::Settled.then("put it under the lamp"),
        Why::Hurried => "Put it under the lamp".to_owned(),
        Why::Rest => State::Paused.then("give it the rest"),
        Why::Soft => "Soft: under the lamp again".to_owned(),
        Why::Tacky => "Tacky: under the lamp again".to_owned(),
    }
}

fn light_lines(studio: &Studio, light: &Light) -> Vec<String> {
    let lamp = words::item_name(studio, &light.press.lamp);
    let button = format!("{lamp}, button {}", button(light));
    match light.why {
        Why::First | Why::Hurried | Why::Soft | Why::Tacky => vec![button],
        Why::Rest => {
            let anew = if light.press.ramp.is_positive() { ", since the lamp comes up anew" } else { "" };
            let (fell, rest) = (words::light(light.lit), words::light(light.press.seconds));
            vec![format!("{fell} of light fell; {rest} more{anew}"), button]
        }
    }
}

/// "2, 99 s low heat": which, and what stands on it.
fn button(light: &Light) -> String {
    format!("{}: {}", light.press.button, light.button)
}

fn ask_lines(asked: &AskLamp) -> Vec<String> {
    let is_some = asked.sure >= Span::from_micro(1_000_000);
    let surely = if is_some { format!("{} is sure. ", words::light(asked.sure)) } else { String::new() };
    vec![format!(
        "The computer slept or was off while the lamp was on, so it cannot tell. {surely}Nothing is counted that you \
             do not say."
    )]
}

fn left(wait: &Wait, words: &str) -> String {
    match wait.standing {
        Standing::Unsure => {
            "The computer was off for a while, so how long it has been is not sure. Look at it.".to_owned()
        }
        Standing::Running | Standing::Over => words.to_owned(),
    }
}

/// Which lamp is on, and over which stones: "The white lamp, button 2", "stones 1 and 2 together".
fn lamp_lines(studio: &Studio, held: &Held, wait: &Wait) -> Vec<String> {
    let lamps = held.ledger.pours.lamps_on();
    let lamp = lamps.get(&wait.entry).map(|(lit, _)| {
        format!("{}, button {}", words::item_name(studio, &lit.press.lamp), lit.press.button)
    });
    let together =
        (wait.stones.len() > 1).then(|| format!("{} together", super::undo_words::stone_list(&wait.stones)));
    lamp.into_iter().chain(together.map(|words| words::sentence_start(&words))).collect()
}

/// "54 of 90 s of light".
pub fn under(wait: &Wait, no: u8) -> String {
    let dose = wait.doses.iter().find(|dose| dose.stone == no);
    // A press for the rest is counted with what fell before it.
    let (lit, planned) =
        dose.map_or((wait.passed.min(wait.planned), wait.planned), |dose| (dose.lit, dose.planned));
    format!("{} of light", words::of_span(lit, planned))
}

fn lay_words(studio: &Studio, held: &Held, no: u8, lay: &Lay) -> StepWords {
    let planned = held.order.sheet.stone(no).and_then(|stone| stone.plan.as_ref());
    let of = planned.map(|plan| format!(" of {}", plan.layers.len())).unwrap_or_default();
    let bottle = words::item_name(studio, &lay.bottle);
    let mut lines = vec![
        format!("Layer {}{of}: {} thick", lay.layer, words::length(lay.thickness)),
        format!("Fill to {}", words::fill_mark(lay.filled_to)),
    ];
    if is_practice(no) && lay.kind == LayerKind::Material {
        lines.push(own_material(held, no));
    }
    let weight = lay.mass.map(|mass| format!(", about {}", words::mass(mass))).unwrap_or_default();
    lines.push(format!("{bottle}{weight}"));
    if let Some(pigment) = &lay.pigment {
        lines.push(format!("{}, {} of the resin", words::item_name(studio, pigment), lay.load));
        lines.extend(pot_words(studio, held.order.tag, lay));
    }
    StepWords { title: format!("Lay the {} layer", layer_name(lay)), lines }
}

/// What goes into a practice stone: as much as the plan has of the client's, of the maker's own.
fn own_material(held: &Held, no: u8) -> String {
    let shares = held.order.sheet.stone(no).map_or(&[][..], |stone| stone.shares.as_slice());
    let like: Vec<String> = shares
        .iter()
        .map(|share| format!("{} of {}", share_of(share.part), words::lot(held, share.lot)))
        .collect();
    if like.is_empty() {
        return "With hair or ash of your own, or clear: nothing of the client\u{2019}s".to_owned();
    }
    format!("With as much of your own as {} would be: nothing of the client\u{2019}s", words::list(&like))
}

fn layer_name(lay: &Lay) -> String {
    match words::layer_kind(lay.kind) {
        "back coat" => "back".to_owned(),
        name => name.to_owned(),
    }
}

/// What the plan warns of in the layer at hand, before its light goes on: "Layer 2 gets hot: …"; none where it stays cool
/// enough, or at another step.
pub fn heat(studio: &Studio, held: &Held, (no, step): (u8, &Step), today: NaiveDate) -> Option<String> {
    let layer = match step {
        Step::Lay(lay) => lay.layer,
        Step::Settle(_, light) | Step::Light(light) => light.layer,
        _ => return None,
    };
    let sheet = held.order.sheet.stone(no)?;
    let plan = sheet.plan.as_ref()?;
    let of_lamp = (&sheet.lamp, plan.lights.as_slice());
    let sources = studio.heat_sources(&sheet.resin, of_lamp, &plan.cure.resin, today);
    plan_words::layer_heat(plan, usize::from(layer).checked_sub(1)?, &sources.unwrap_or(Sources::TYPICAL))
}

/// How the pot of this colour is mixed, as the plan of the order has it: on the studio's scale, else counted.
fn pot_words(studio: &Studio, tag: Tag, lay: &Lay) -> Vec<String> {
    let scale = studio.bench_scale();
    let is_of_it =
        |pots: &&OrderPots| pots.resin == lay.bottle && Some(&pots.pigment) == lay.pigment.as_ref();
    let pots = studio.kept_pots(tag).unwrap_or_default();
    let told = pots.iter().find(is_of_it).map(|pots| plan_words::pot(studio, pots, lay.load, scale.as_ref()));
    let sentence = |(name, words): (String, String)| format!("{}: {words}", words::sentence_start(&name));
    told.unwrap_or_default().into_iter().map(sentence).collect()
}

/// How a stone stands, short enough for the row of stones: "settling 0:36", "lay layer 2".
pub fn short(step: &Step) -> String {
    let clock = |state: State, wait: &Wait| format!("{} {}", state.words(), words::clock(wait.remaining()));
    match step {
        Step::Closed(Closed::SetAside) => "spare".to_owned(),
        Step::Closed(Closed::NotHere) => "not here".to_owned(),
        Step::Closed(Closed::CalledOff) => "called off".to_owned(),
        Step::Closed(Closed::GoneHome) => "gone home".to_owned(),
        Step::Plan => "no plan".to_owned(),
        Step::PlanAgain(_) => "to be planned again".to_owned(),
        Step::KeepBack(_) => "keep-back first".to_owned(),
        Step::NoShare => "no share yet".to_owned(),
        Step::Begin { .. } => "to begin".to_owned(),
        Step::Open(_) => "to be opened".to_owned(),
        Step::PutIn { .. } => "to be filled".to_owned(),
        Step::Close(_) => "to be closed".to_owned(),
        Step::Lay(lay) => format!("lay layer {}", lay.layer),
        Step::Settle(wait, _) => clock(State::Settling, wait),
        Step::Light(light) => match light.why {
            Why::First => format!("{}: to the lamp", State::Settled.words()),
            Why::Hurried => "to the lamp".to_owned(),
            Why::Rest => State::Paused.words().to_owned(),
            Why::Soft | Why::Tacky => "to the lamp again".to_owned(),
        },
        Step::Lit(wait) => clock(State::Lit, wait),
        Step::LightOver(_) => State::LightOver.words().to_owned(),
        Step::AskLamp(_) => "lamp: how long?".to_owned(),
        Step::Cool(wait) => clock(State::Cooling, wait),
        Step::Feel { cooled_now: true, .. } => format!("{}: feel it", State::Cool.words()),
        Step::Feel { .. } => "feel it".to_owned(),
        Step::TakeOut => "take it out".to_owned(),
        Step::Finished => "made".to_owned(),
    }
}

/// What comes after a wait: "then: cool 1:24".
pub fn then(held: &Held, no: u8, step: &Step) -> String {
    let laid = held.ledger.pours.stones.get(&no).map_or(0, |stone| stone.layers.len());
    let plan = held.order.sheet.stone(no).and_then(|stone| stone.plan.as_ref());
    let layer = plan.and_then(|plan| plan.layers.get(laid.checked_sub(1)?));
    let next = match step {
        Step::Settle(_, light) => format!("light {}", words::span(light.press.seconds)),
        Step::Light(_) | Step::Lit(_) | Step::LightOver(_) => match layer {
            Some(layer) if layer.cool.is_positive() => format!("cool {}", words::span(layer.cool)),
            _ => "cool, and feel it".to_owned(),
        },
        Step::Cool(_) => "feel it: hard, tacky or soft".to_owned(),
        _ => return String::new(),
    };
    format!("then: {next}")
}

/// What the layer after this one is: "next: tinted, fill to 2.2 mm"; none after the last.
pub fn next_layer(studio: &Studio, held: &Held, no: u8) -> Option<String> {
    let laid = held.ledger.pours.stones.get(&no).map_or(0, |stone| stone.layers.len());
    let card = card_now(studio, held, no)?;
    let next = card.layers.get(laid)?;
    let pigment = if next.pigment.is_empty() { String::new() } else { format!(", {}", next.pigment) };
    Some(format!("next: {}{pigment}, {}", next.name, next.fill))
}

/// The card of a stone's plan, its marks as they follow from what was laid so far.
pub(super) fn card_now(studio: &Studio, held: &Held, no: u8) -> Option<plan_words::PlanCard> {
    let sheet = held.order.sheet.stone(no)?;
    let plan = sheet.plan.as_ref()?;
    let laid = held.ledger.pours.stones.get(&no).map_or(&[][..], |stone| stone.layers.as_slice());
    let planned = plan.layers.iter().skip(laid.len()).map(|layer| layer.thickness);
    let all: Vec<Length> = laid.iter().map(|layer| layer.thickness).chain(planned).collect();
    Some(plan_words::card(plan, &studio.marks_of(sheet, &all).unwrap_or_default()))
}

/// One layer of a stone in the list of them.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LayerRow {
    /// "1 · material".
    pub name: String,
    /// It is laid.
    pub laid: bool,
    /// How it was laid and came out, or what is planned.
    pub words: String,
}

/// The layers of a stone: those that are laid, then the rest of its plan.
pub fn layers(studio: &Studio, held: &Held, no: u8, now: Moment) -> Vec<LayerRow> {
    let stone = held.ledger.pours.stones.get(&no);
    let laid = stone.map_or(0, |stone| stone.layers.len());
    let told = super::pages::page(studio, held.order.tag, Page::Pour, now).map(|page| page.known);
    let told = told.unwrap_or_default();
    let mut rows: Vec<LayerRow> = (1..=laid)
        .map(|layer| {
            let label = format!("{name}, layer {layer}", name = words::stone(no));
            let said = told.iter().find(|line| line.label == label).map(|line| line.words.as_str());
            // What a layer is stands in front of how it was laid.
            let (kind, how) = said.and_then(|said| said.split_once(", ")).unwrap_or_default();
            LayerRow { name: format!("{layer} · {kind}"), laid: true, words: how.to_owned() }
        })
        .collect();
    if let Some(card) = card_now(studio, held, no) {
        rows.extend(card.layers.iter().skip(laid).map(|layer| {
            let pigment =
                if layer.pigment.is_empty() { String::new() } else { format!("{}, ", layer.pigment) };
            let [_, (_, wait), (_, light), (_, cool)] = &layer.rows;
            LayerRow {
                name: format!("{} · {}", layer.no, layer.name),
                laid: false,
                words: format!("{pigment}{}; wait {wait}, light {light}, cool {cool}", layer.fill),
            }
        }));
    }
    rows
}

/// Another stone that hands are wanted at while one waits: "Meanwhile, stone 2: lay layer 1".
pub fn meanwhile(no: u8, step: &Step) -> String {
    format!("Meanwhile, {name}: {}", short(step), name = words::stone(no))
}

/// The way on from a stone that is made: "Go on with stone 2: lay layer 1".
pub fn go_on(no: u8, step: &Step) -> String {
    format!("Go on with {name}: {}", short(step), name = words::stone(no))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pouring;
    use crate::present::sample::{bench, id, stone};
    use craft::fact::{PourFact, Press};
    use craft::heat::Touch;
    use craft::order::StoneSheet;
    use craft::stage::Stage;
    use craft::studio::{Edit, OrderEdit};

    #[test]
    fn what_the_plan_warns_of_a_layer_is_said_at_its_step_before_the_lamp_goes_on() {
        let mut bench = bench(Stage::Here);
        // Three clear millimetres under two minutes of full light get hot.
        let mut hot = stone(1, "A1").plan.unwrap();
        hot.layers[0].thickness = Length::from_mm(3.0);
        let strong = hot.lights.iter().position(|light| light.button.name() == "120 s").unwrap();
        (hot.layers[0].light, hot.layers[0].button) = (u16::try_from(strong).unwrap(), "120 s".to_owned());
        let touch = craft::foreseen::warmth_of(&hot, 0, &Sources::TYPICAL).unwrap().touch();
        assert!(touch >= Touch::Hot, "{touch:?}");
        let mut sheet = bench.studio.order(bench.tag).unwrap().order.sheet.clone();
        let warned = StoneSheet { plan: Some(hot.clone()), ..sheet.stones[0].clone() };
        sheet.stones[0] = warned;
        let edit = Edit::Order(bench.tag, OrderEdit::Sheet(Box::new(sheet)));
        bench.studio.apply(edit, bench.now()).unwrap();
        bench.begin(1, "A1");
        let said = |bench: &crate::present::sample::Bench| {
            let held = bench.studio.order(bench.tag).unwrap();
            let step = pouring::step(&bench.studio, held, 1, bench.now());
            (heat(&bench.studio, held, (1, &step), bench.now().day()), step)
        };
        let (warning, step) = said(&bench);
        assert!(matches!(step, Step::Settle(..) | Step::Light(_)), "{step:?}");
        let warning = warning.unwrap();
        assert!(warning.starts_with("Layer 1 ") && warning.contains("take \"99 s low heat\""), "{warning}");
        let held = bench.studio.order(bench.tag).unwrap();
        let cavity = bench.studio.cavity_of(&held.order.sheet.stones[0]).unwrap();
        let asked = craft::foreseen::Stone {
            cavity: &cavity,
            parts: &[],
            colour: (1, 2, 3),
            sources: Sources::TYPICAL,
        };
        let mut fits = hot.clone();
        fits.layers.truncate(1);
        let foreseen = craft::foreseen::foresee(&fits, &asked).unwrap();
        let plan = plan_words::ahead(held, &fits, &foreseen);
        assert!(plan.care.contains(&warning), "the plan says the same: {:?}", plan.care);
        // Less than it was planned with: the warning stands until the rest has fallen too.
        bench.light(1);
        assert_eq!(said(&bench).0.as_ref(), Some(&warning));
        let press =
            Press { lamp: id("nail-lamp"), button: 3, seconds: Span::from_s(120.0), ramp: Span::ZERO };
        bench.record(PourFact::LampOn { stones: vec![1], press });
        let on = bench.studio.order(bench.tag).unwrap().order.log.len();
        bench.record(PourFact::LampOff { on, lit: Span::from_s(120.0) });
        assert_eq!(said(&bench).0, None, "the light has fallen");
    }

    #[test]
    fn the_plan_and_the_pour_page_say_one_mark_for_each_layer() {
        let mut bench = bench(Stage::Here);
        let held = bench.studio.order(bench.tag).unwrap();
        let (sheet, cavity) =
            (&held.order.sheet.stones[0], bench.studio.cavity_of(&held.order.sheet.stones[0]));
        let (plan, cavity) = (sheet.plan.clone().unwrap(), cavity.unwrap());
        let asked = craft::foreseen::Stone {
            cavity: &cavity,
            parts: &[],
            colour: (1, 2, 3),
            sources: Sources::TYPICAL,
        };
        let foreseen = craft::foreseen::foresee(&plan, &asked).unwrap();
        let marks: Vec<_> = foreseen.layers.iter().map(|layer| layer.mark).collect();
        let card = plan_words::card(&plan, &marks);
        let ahead = plan_words::ahead(held, &plan, &foreseen);
        bench.begin(1, "A1");
        bench.harden(1, 1);
        for no in 2..=u8::try_from(plan.layers.len()).unwrap() {
            let held = bench.studio.order(bench.tag).unwrap();
            let step = pouring::step(&bench.studio, held, 1, bench.now());
            let lines = super::step(&bench.studio, held, 1, &step).lines;
            let mark = lines.iter().find_map(|line| line.strip_prefix("Fill to ")).unwrap();
            let place = usize::from(no) - 1;
            assert_eq!(card.layers[place].fill, format!("fill to {mark}"));
            let told = &ahead.layers[place].1;
            let told = &told.iter().find(|(of, _)| *of == "fill to").unwrap().1;
            assert!(told.starts_with(&format!("{mark}, ")), "{told}: {mark}");
            bench.lay(1, no);
            bench.harden(1, no);
        }
    }
}
