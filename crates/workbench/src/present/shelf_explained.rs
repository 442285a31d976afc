//! How is this worked out? The figures on the shelf's pages: what a pigment does, a line test, what a mould holds, what a
//! lamp's buttons are worth.

use craft::geometry::{Cavity, Dome};
use craft::hiding::Card;
use craft::shelf::{Lamp, Pigment};
use craft::units::Length;

use super::plan_words::{self, Explained, provenance};
use super::{learn_words, shelf_words, words};

/// What a pigment takes of the light and what hides the metal; with a line test that was typed, what that says.
pub fn pigment(pigment: &Pigment, card: Option<&Card>) -> Vec<Explained> {
    let mut all = vec![takes(pigment)];
    if pigment.mix.class.hides() {
        all.push(hides(pigment));
    }
    all.extend(card.and_then(line_test));
    all
}

fn takes(pigment: &Pigment) -> Explained {
    let mix = &pigment.mix;
    Explained {
        title: "how much light a pigment takes",
        plain: "Each millimetre takes the same share of the light that comes to it, and twice as much pigment takes as much as \
                twice the depth. That is beside what the resin itself takes.",
        values: vec![
            (
                "what it takes",
                format!(
                    "{} per mm and per cent ({})",
                    mix.absorption.get(),
                    provenance(mix.absorption_from())
                ),
            ),
            ("said for", format!("{} % of pigment, 1 mm", shelf_words::SAID_AT_PERCENT)),
        ],
        formula: "each time that what the pigment takes, times its per cent, times the thickness in millimetres, \
                  comes to one, the light has fallen to 37 hundredths of what it was; what is gone from it was taken",
        source: "A. Beer, Ann. Phys. 162 (1852) 78; the values of a class are cautious guesses",
    }
}

fn hides(pigment: &Pigment) -> Explained {
    let mix = &pigment.mix;
    let [plain, _, source] = plan_words::HIDING;
    Explained {
        title: "what hides the metal",
        plain,
        values: vec![
            (
                "what hides the metal",
                format!(
                    "{} ({})",
                    plan_words::percent_mm(mix.hiding.get()),
                    plan_words::hiding_from(mix, Some(pigment))
                ),
            ),
            ("said for", format!("{} % of pigment", shelf_words::SAID_AT_PERCENT)),
        ],
        formula: "the thickness that hides, in millimetres, is what hides the metal shared by the per cent of \
                  pigment",
        source,
    }
}

/// What a line test says; nothing where it says nothing.
fn line_test(card: &Card) -> Option<Explained> {
    let found = card.found().ok()?;
    let edge = |line_seen: bool| {
        let steps = card.steps.iter().filter(move |step| step.line_seen == line_seen);
        steps.map(|step| step.thickness).collect::<Vec<Length>>()
    };
    let (seen, hidden) = (edge(true).into_iter().max()?, edge(false).into_iter().min()?);
    let off_mm = found.doubt.get() * hidden.mm();
    Some(Explained {
        title: "what a line test says",
        plain: "The first step that hides the line is what hides the metal. The true place lies somewhere between it and the step \
                before, and no step is laid quite as thick as it was meant to be: the two together are what it is given or taken \
                by.",
        values: vec![
            ("pigment in the film", card.load.to_string()),
            ("last step that shows the line", words::length(seen)),
            ("first step that hides it", words::length(hidden)),
            ("laid by hand within", "0.1 mm (common practice, no source)".to_owned()),
            ("what hides the metal", plan_words::percent_mm(found.need.get())),
            ("give or take, two times in three", format!("{off_mm:.2} mm")),
        ],
        formula: "what hides is the per cent of pigment times the first step that hides, in millimetres. Its give or \
                  take is the root of two squares added: half of the step between, shared by 1.73, and a tenth of a \
                  millimetre",
        source: "JCGM 100:2008, 4.3.7, for a value between two ends, and 5.1.2 for two doubts together",
    })
}

/// What a mould holds, and how long a strand over its dome is.
pub fn mould(cavity: &Cavity) -> Vec<Explained> {
    let mut all = vec![holds(cavity)];
    if cavity.dome() != Dome::Flat {
        all.push(strand(cavity));
    }
    all
}

fn holds(cavity: &Cavity) -> Explained {
    Explained {
        title: "what the mould holds",
        plain: "The room under the dome and the room between the walls are added up, level by level, from the outline and the \
                heights you gave. The stone weighs what that room of set resin weighs.",
        values: vec![
            ("outline", words::outline(&cavity.outline())),
            ("dome", shelf_words::dome_name(cavity.dome()).to_owned()),
            ("whole depth", words::length(cavity.depth())),
            ("room", format!("{:.1} mm³", cavity.volume().mm3())),
            ("set resin", format!("{} g/cm³ (common practice, no source)", shelf_words::RESIN.g_per_cm3())),
        ],
        formula: "the room, in cubic millimetres, is the area of the outline at each level times the height of the \
                  level, all added up; under a half-ellipse that is two thirds of area times dome height, and \
                  between upright walls area times wall height. The weight, in milligrams, is the room times how \
                  many milligrams a cubic millimetre weighs",
        source: "elementary geometry; integrals after M. Abramowitz, I. Stegun, Handbook of Mathematical Functions, 1964",
    }
}

fn strand(cavity: &Cavity) -> Explained {
    Explained {
        title: "how long a strand over the dome is",
        plain: "The line runs over the dome from edge to edge along the length of the stone, through its highest place. A strand \
                that is to lie so needs this, and a little more to hold it by.",
        values: vec![
            ("straight across", words::length(cavity.outline().length())),
            ("dome", shelf_words::dome_name(cavity.dome()).to_owned()),
        ],
        formula: "the length of the curve is the sum of very many short straight steps, each the root of its way \
                  along squared and its way up squared; said to the tenth of a millimetre",
        source: "elementary geometry",
    }
}

/// What a lamp's buttons are worth in seconds of full light.
pub fn lamp(lamp: &Lamp) -> Vec<Explained> {
    vec![learn_words::full_light(lamp.buttons.iter())]
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::present::sample::{day, id, studio};
    use crate::shelving::card::{CardTyped, card as typed};
    use craft::shelf::What;

    fn value<'a>(explained: &'a Explained, name: &str) -> &'a str {
        explained.values.iter().find(|(of, _)| *of == name).map_or("", |(_, value)| value)
    }

    #[test]
    fn a_pigment_and_its_card_put_in_what_was_typed() {
        let studio = studio();
        let What::Pigment(of) = &studio.shelf()[&id("deep-green")].what else { panic!() };
        let shown = CardTyped { load: "0.5 %", seen: "1.2", hidden: "1.4", day: "1 May" };
        let test = typed(&shown, day(2026, 5, 3)).unwrap();
        let all = pigment(of, Some(&test));
        assert_eq!(all.len(), 3);
        let card = &all[2];
        assert_eq!(value(card, "first step that hides it"), "1.4 mm");
        // √((0.1/√3)² + 0.1²) = 0.115 mm, by hand.
        assert_eq!(value(card, "give or take, two times in three"), "0.12 mm");
        assert_eq!(value(card, "what hides the metal"), "0.70 per cent times mm");
        assert_eq!(pigment(of, None).len(), 2);
    }

    #[test]
    fn a_mould_and_a_lamp_put_in_their_measures() {
        let studio = studio();
        let What::Mould(of) = &studio.shelf()[&id("oval-ten")].what else { panic!() };
        let all = mould(&of.cavity);
        // (⅔·2.5 + 1)·20π = 167.6 mm³, elementary geometry.
        assert_eq!(value(&all[0], "room"), "167.6 mm³");
        assert_eq!(value(&all[1], "straight across"), "10 mm");
        let What::Lamp(of) = &studio.shelf()[&id("nail-lamp")].what else { panic!() };
        assert!(
            value(&lamp(of)[0], "a whole press is worth").contains("99 s low heat: 69 s, grows for 1:00")
        );
    }
}
