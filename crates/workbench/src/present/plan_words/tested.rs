//! What the tests of a bottle cover of a plan, layer by layer, and what else was learned.

use craft::learning::Note;
use craft::order::StoneSheet;
use craft::planner::Plan;
use craft::studio::Studio;
use craft::units::Length;

use super::AheadWords;
use crate::present::labels::plan as labels;
use crate::present::{learn_words, words};

/// What the plan page says of what was learned.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct LearnedWords {
    /// What must be known before pouring, a sentence each: layers that no test covers, what is new, what was noted.
    pub notes: Vec<String>,
    /// Layers by their places from the face, each with what is said at it.
    pub beyond: Vec<(usize, String)>,
}

/// What was learned of what a stone is made with, for its plan; nothing where nothing was seen.
pub fn learned(studio: &Studio, stone: &StoneSheet, plan: &Plan, today: chrono::NaiveDate) -> LearnedWords {
    let Ok(taught) = studio.taught_for(stone, today) else { return LearnedWords::default() };
    let beyond: Vec<(usize, Length, Length)> = taught
        .beyond(plan)
        .into_iter()
        .filter_map(|(place, note)| match note {
            Note::BeyondTested { deepest, thickness } => Some((place, deepest, thickness)),
            _ => None,
        })
        .collect();
    let notes = beyond_words(&beyond).into_iter().chain(learn_words::for_plan(&taught, &stone.pigment));
    LearnedWords {
        notes: notes.collect(),
        beyond: beyond.iter().map(|(place, deepest, _)| (*place, at_layer(*deepest))).collect(),
    }
}

/// "Layer 1 is thicker than your tests of this bottle reach, which is 1.2 mm: lay it in thinner ones, or test yours in ten
/// minutes, with a patch lit until 2 mm set."
fn beyond_words(all: &[(usize, Length, Length)]) -> Option<String> {
    let (_, deepest, _) = all.first()?;
    let thickest = all.iter().map(|(.., thickness)| *thickness).max()?;
    let places: Vec<String> = all.iter().map(|(place, ..)| (place + 1).to_string()).collect();
    let (noun, verb) = if all.len() == 1 { ("Layer", "is") } else { ("Layers", "are") };
    Some(format!(
        "{noun} {} {verb} thicker than your tests of this bottle reach, which is {}: lay thinner, or {}, with one patch lit until \
         {} has set.",
        words::list(&places),
        words::length(*deepest),
        labels::TEST_YOURS,
        words::length(thickest)
    ))
}

fn at_layer(deepest: Length) -> String {
    format!(
        "no: your tests of this bottle reach {}, so nobody has seen this depth set",
        words::length(deepest)
    )
}

impl LearnedWords {
    /// Puts what is said of a layer to it.
    pub fn at_layers(&self, ahead: &mut AheadWords) {
        for (place, words) in &self.beyond {
            if let Some((_, told)) = ahead.layers.get_mut(*place) {
                told.insert(1, ("tested", words.clone()));
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::present::sample::{bench, usual_plan};
    use craft::learning::{Observation, Seen, WedgePoint};
    use craft::reading::{Means, Reading};
    use craft::shelf::{Body, What};
    use craft::stage::Stage;
    use craft::studio::{Edit, ShelfEdit};
    use craft::units::Span;

    /// Keeps a test of the bottle that reaches so deep.
    fn tested(bench: &mut crate::present::sample::Bench, deepest_mm: f64) -> StoneSheet {
        let stone = bench.studio.order(bench.tag).unwrap().order.sheet.stones[0].clone();
        let body = match &bench.studio.shelf()[&stone.mould].what {
            What::Mould(mould) => mould.body,
            _ => Body::Opaque,
        };
        let point = |(s, part): (f64, f64)| WedgePoint {
            light: Span::from_s(s),
            depth: Reading {
                value: Length::from_mm(deepest_mm * part),
                doubt: Length::from_mm(0.05),
                by: Means::Caliper,
            },
        };
        let mut item = bench.studio.shelf()[&stone.resin].clone();
        let What::Resin(bottle) = &mut item.what else { panic!("not a bottle") };
        bottle.observations.push(Observation {
            on: bench.now().day(),
            lamp: stone.lamp.clone(),
            button: 1,
            lamp_lit: None,
            body,
            pigment: None,
            seen: Seen::Wedge {
                points: [(4.0, 0.3), (8.0, 0.55), (16.0, 0.8), (30.0, 1.0)].map(point).to_vec(),
            },
        });
        let put = Edit::Shelf(stone.resin.clone(), ShelfEdit::Put(Box::new(item)));
        bench.studio.apply(put, bench.now()).unwrap();
        stone
    }

    #[test]
    fn a_layer_beyond_the_tests_says_so_with_the_way_to_test_it() {
        let mut bench = bench(Stage::Here);
        let plan = usual_plan();
        let today = bench.now().day();
        let stone = bench.studio.order(bench.tag).unwrap().order.sheet.stones[0].clone();
        assert_eq!(learned(&bench.studio, &stone, &plan, today).beyond, Vec::new(), "nothing was tested");
        let stone_now = tested(&mut bench, 1.0);
        let said = learned(&bench.studio, &stone_now, &plan, today);
        let thick: Vec<usize> = plan
            .layers
            .iter()
            .enumerate()
            .filter(|(_, layer)| layer.thickness > Length::from_mm(1.2))
            .map(|(place, _)| place)
            .collect();
        assert!(!thick.is_empty(), "the sample has a thick face");
        assert_eq!(said.beyond.iter().map(|(place, _)| *place).collect::<Vec<_>>(), thick);
        assert!(
            said.notes[0].contains("thicker than your tests of this bottle reach, which is 1 mm"),
            "{said:?}"
        );
        assert!(said.notes[0].contains(labels::TEST_YOURS), "the way to test it: {said:?}");
    }

    #[test]
    fn what_was_noted_of_the_bottle_reaches_the_plan() {
        let mut bench = bench(Stage::Here);
        let stone = tested(&mut bench, 3.0);
        let today = bench.now().day();
        let taught = bench.studio.taught_for(&stone, today).unwrap();
        let noted = &taught.known.as_ref().unwrap().learned.notes;
        let said = learned(&bench.studio, &stone, &usual_plan(), today).notes;
        for note in noted.iter().filter(|note| !matches!(note, Note::NothingHere | Note::InColour { .. })) {
            let words = words::sentence(&note.to_string());
            assert!(said.contains(&words) || matches!(note, Note::OtherMould { .. }), "{words}: {said:?}");
        }
    }
}
