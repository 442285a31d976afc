//! How is this worked out? The figures of the pour page: fill marks and weights, pots, the light so far, light on the face.

use craft::cure::Button;
use craft::fact::Press;
use craft::foreseen::{OrderPots, RESIN};
use craft::planner::FULLY_HARD;
use craft::studio::{Held, Studio};

use super::plan_words::{self, Explained};
use super::{learn_words, pour_words, words};
use crate::pouring::{Lay, Step};

/// What stands behind the figures that the page shows of a stone at this step; nothing where it shows none.
pub fn explained(studio: &Studio, held: &Held, no: u8, step: &Step) -> Vec<Explained> {
    let mut all: Vec<Explained> = filling(studio, held, no, step).into_iter().collect();
    if let Step::Lay(lay) = step {
        all.extend(pots(studio, held, lay));
    }
    all.extend(light(studio, held, step));
    all.extend(face_up(held, no, step));
    if matches!(step, Step::TakeOut | Step::Finished) {
        let coat = held.order.sheet.stone(no).and_then(|stone| studio.top_coat_of(stone).ok());
        all.extend(coat.as_ref().map(plan_words::explained_top_coat));
    }
    all
}

/// True where the page shows a figure at this step that was worked out. Costs next to nothing.
pub fn has_any(held: &Held, no: u8, step: &Step) -> bool {
    let plan = held.order.sheet.stone(no).and_then(|stone| stone.plan.as_ref());
    let planned = plan.map_or(0, |plan| plan.layers.len());
    let laid = held.ledger.pours.stones.get(&no).map_or(0, |stone| stone.layers.len());
    laid < planned || press(held, step).is_some() || matches!(step, Step::TakeOut | Step::Finished)
}

/// The marks of all layers that are still to be laid, and what the layer at hand weighs.
fn filling(studio: &Studio, held: &Held, no: u8, step: &Step) -> Option<Explained> {
    let laid = held.ledger.pours.stones.get(&no).map_or(0, |stone| stone.layers.len());
    let card = pour_words::card_now(studio, held, no)?;
    let due = card.layers.iter().skip(laid);
    let marks: Vec<String> = due.map(|layer| format!("layer {} {}", layer.no, layer.fill)).collect();
    if marks.is_empty() {
        return None;
    }
    let mut more = Vec::new();
    if let Step::Lay(lay) = step {
        more.push(("this layer once it has set", words::length(lay.thickness)));
        let density = RESIN.g_per_cm3();
        more.extend(lay.mass.map(|mass| {
            let weight = words::mass(mass);
            ("it weighs, poured", format!("{weight}, at {density} g/cm³ (from memory)"))
        }));
    }
    Some(plan_words::filling_explained(marks.join(" · "), more))
}

fn pots(studio: &Studio, held: &Held, lay: &Lay) -> Option<Explained> {
    let pigment = lay.pigment.as_ref()?;
    let is_of_it = |pots: &OrderPots| pots.resin == lay.bottle && pots.pigment == *pigment;
    let all = studio.kept_pots(held.order.tag).ok()?;
    let of_it: Vec<OrderPots> = all.into_iter().filter(is_of_it).collect();
    (!of_it.is_empty()).then(|| plan_words::explained_pots(&of_it))
}

/// The press of the lamp that the step is about.
fn press(held: &Held, step: &Step) -> Option<Press> {
    match step {
        Step::Settle(_, light) | Step::Light(light) => Some(light.press.clone()),
        Step::Lit(wait) | Step::LightOver(wait) => {
            held.ledger.pours.lamps_on().get(&wait.entry).map(|(lit, _)| lit.press.clone())
        }
        _ => None,
    }
}

/// What a press is worth, where the page counts light.
fn light(studio: &Studio, held: &Held, step: &Step) -> Option<Explained> {
    let press = press(held, step)?;
    let known = studio.button(&press.lamp, press.button).cloned();
    let button = known.or_else(|| Button::new("", press.seconds, press.ramp).ok())?;
    Some(learn_words::full_light(std::iter::once(&button)))
}

/// True where the page says how long the face is to be lit from its own side.
fn is_lit_from_the_face(held: &Held, no: u8, step: &Step) -> bool {
    matches!(step, Step::TakeOut | Step::Finished) && pour_words::face_up(held, no).is_some()
}

/// How long the face is to be lit from its own side, where the page says so.
fn face_up(held: &Held, no: u8, step: &Step) -> Option<Explained> {
    if !is_lit_from_the_face(held, no, step) {
        return None;
    }
    let plan = held.order.sheet.stone(no)?.plan.as_ref()?;
    let hardness = plan.full_hardness(None)?;
    let times = |factor: craft::cure::Factor| format!("{:.1} times what first sets it", factor.get());
    let first_set = plan.lights.first().map(|light| light.first_set().to_string());
    Some(Explained {
        title: "how long to light the face",
        plain: "Every point of the stone has got the light of all presses that reached it. Where that is less than what makes it \
                hard all through, the rest has to fall on the face, and what lies deeper asks for more.",
        values: vec![
            (
                "least light",
                format!("{}, {} from the face", times(hardness.least), words::length(hardness.from_face)),
            ),
            ("wanted everywhere", format!("{} (common practice, no source)", times(FULLY_HARD))),
            ("first sets after", first_set.unwrap_or_else(|| "not known".to_owned())),
            ("so much light on the face", hardness.face_up.map_or_else(String::new, words::span)),
        ],
        formula: "the light that is missing at a point, counted in times what first sets it, times what the resin \
                  above keeps back, times the seconds until it first sets; the most of these seconds for any point",
        source: "the working curve of P. F. Jacobs, Rapid Prototyping & Manufacturing, 1992, summed over all presses",
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pouring;
    use crate::present::sample::{Bench, bench, usual_plan};
    use craft::stage::Stage;

    fn titles(bench: &Bench) -> (Step, Vec<&'static str>, Vec<Explained>) {
        let held = bench.studio.order(bench.tag).unwrap();
        let step = pouring::step(&bench.studio, held, 1, bench.now());
        let all = explained(&bench.studio, held, 1, &step);
        assert_eq!(has_any(held, 1, &step), !all.is_empty(), "{step:?}");
        (step, all.iter().map(|one| one.title).collect(), all)
    }

    #[test]
    fn each_figure_of_a_step_is_explained_with_the_very_words_of_the_page() {
        let mut bench = bench(Stage::Here);
        bench.begin(1, "A1");
        let (step, said, _) = titles(&bench);
        assert!(matches!(step, Step::Settle(..) | Step::Light(_)), "{step:?}");
        assert_eq!(said, ["where to fill to", "seconds of full light"]);
        bench.harden(1, 1);
        let (step, said, all) = titles(&bench);
        let Step::Lay(lay) = &step else { panic!("{step:?}") };
        assert_eq!(said, ["where to fill to", "what goes into which pot"]);
        let held = bench.studio.order(bench.tag).unwrap();
        let shown = pour_words::step(&bench.studio, held, 1, &step).lines;
        let values: Vec<&str> = all[0].values.iter().map(|(_, value)| value.as_str()).collect();
        let mark = shown.iter().find_map(|line| line.strip_prefix("Fill to ")).unwrap();
        assert!(values[1].starts_with(&format!("layer 2 fill to {mark}")), "{values:?}");
        let weight = words::mass(lay.mass.unwrap());
        assert!(values.iter().any(|value| value.starts_with(&weight)), "{values:?}");
        for layer in 2..=u8::try_from(usual_plan().layers.len()).unwrap() {
            bench.lay(1, layer);
            bench.harden(1, layer);
        }
        let (step, said, _) = titles(&bench);
        assert_eq!(step, Step::TakeOut);
        let lit = pour_words::face_up(bench.studio.order(bench.tag).unwrap(), 1).is_some();
        let face = lit.then_some("how long to light the face");
        let wanted: Vec<&str> = face.into_iter().chain(["what the coat on the face takes"]).collect();
        assert_eq!(said, wanted);
        let held = bench.studio.order(bench.tag).unwrap();
        let shown = pour_words::step(&bench.studio, held, 1, &step).lines;
        assert!(shown.iter().any(|line| line.contains("coat on the face, about ")), "{shown:?}");
    }
}
