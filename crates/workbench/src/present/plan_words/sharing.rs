//! "How many stones?", answered for one, two and more of them before any is begun.

use craft::compare::COVERAGE;
use craft::foreseen::{HowMany, Sharing};
use craft::spread::Portioning;
use craft::studio::Held;
use craft::units::Share;

use super::Explained;
use crate::present::words;

/// How many stones one material is enough for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct HowManyWords {
    /// The material, and the answer in one sentence.
    pub title: String,
    /// One line for each number of stones: "3 stones", "at most 14 % in each, …".
    pub rows: Vec<(String, String)>,
    /// What else is to be known, or done; empty where nothing is.
    pub note: String,
}

/// The answers in words, one block for each material.
pub fn how_many(held: &Held, all: &[HowMany]) -> Vec<HowManyWords> {
    all.iter().map(|told| of_lot(held, told)).collect()
}

fn of_lot(held: &Held, told: &HowMany) -> HowManyWords {
    let lot = words::lot(held, told.lot);
    let title = format!("{}: {}", words::sentence_start(&lot), answer(told));
    let rows = told
        .rows
        .iter()
        .map(|row| (words::count(row.stones.into(), "stone", "stones"), row_words(told, row)));
    let note = match told.room {
        _ if told.rows.is_empty() => "",
        None => {
            "It was not weighed while it was whole, so whether the first layer has room shows only as it goes in. A guess by \
             eye on the arrival page, before anything is taken out, is enough to say it here."
        }
        Some(_) => "",
    };
    HowManyWords { title, rows: rows.collect(), note: note.to_owned() }
}

fn answer(told: &HowMany) -> String {
    if told.rows.is_empty() {
        return "what is left is the keep-back; it is opened only with the client\u{2019}s recorded yes."
            .to_owned();
    }
    let each = words::share(told.wanted);
    match told.most {
        _ if told.wanted == Share::NONE => {
            "say under \u{201c}change\u{201d} how much goes in, and this says how many stones that still goes for.".to_owned()
        }
        None => format!("there is not enough for {each} in even one more stone; put in less."),
        Some(most) => {
            let stones = words::count(most.into(), "more stone", "more stones");
            let more = if most >= craft::foreseen::MOST_STONES { ", or more" } else { "" };
            format!("with {each} in each it is enough for {stones}{more}.")
        }
    }
}

fn row_words(told: &HowMany, row: &Sharing) -> String {
    let weight = row.mass.map(|mass| format!(", at most {}", words::mass(mass))).unwrap_or_default();
    let mut said = format!("no more than {} in each{weight}", words::percent(row.each));
    if told.wanted > Share::NONE && !row.is_enough {
        said = format!("{said}, which is less than is planned");
    }
    match (row.has_room, told.room) {
        (Some(true), _) => format!("{said}; the first layer has room for it"),
        (Some(false), Some((room, part))) => format!(
            "{said}; the first layer has room for about {} of that, {} of all there was",
            words::mass(room),
            words::percent(part)
        ),
        _ => said,
    }
}

/// How that was worked out.
pub fn explained_how_many(all: &[HowMany]) -> Explained {
    let eye = Portioning::BY_EYE;
    let left = all.iter().filter_map(|told| told.rows.last());
    let left = left.map(|row| {
        let stones = words::count(row.stones.into(), "stone", "stones");
        format!("{} with {stones}", words::percent(row.left_at_worst))
    });
    let mut values = vec![
        ("left at worst", words::list(&left.collect::<Vec<_>>())),
        (
            "by eye",
            format!(
                "a portion is in doubt by {}, {COVERAGE} times that is counted, and {} stays on the tools (common practice, no source)",
                words::percent(eye.doubt),
                words::percent(eye.loss)
            ),
        ),
    ];
    let rooms: Vec<String> =
        all.iter().filter_map(|told| told.room).map(|(room, _)| words::mass(room)).collect();
    if !rooms.is_empty() {
        values.push(("room in the first layer", words::list(&rooms)));
    }
    if all.iter().any(|told| !told.by_eye) {
        values.push((
            "on the scale",
            "what the scale leaves in doubt, and the doubt of the first weighing".to_owned(),
        ));
    }
    Explained {
        title: "how many stones",
        plain: "What is there without the keep-back is shared out evenly. Each portion may come out too large, all of them at \
                once, and a little stays on the tools: so much less is given to each that the keep-back is whole even then. \
                Room is asked of the heaviest the material may be, and counts what usually goes into a layer that is to set \
                through.",
        formula: "what is there without the keep-back is shared by the stones, less what stays on the tools; the \
                  most for each stone is that, shared by one and twice the doubt of a portion. The room in the first \
                  layer, in milligrams, is what the layer holds in cubic millimetres, times the share of it that \
                  usually goes in, times how many milligrams a cubic millimetre of the material weighs",
        values,
        source: "doubts that go the same way are added, not squared, JCGM 100:2008, 5.2.2 note 1; what usually goes into a \
                 layer is common practice, no source",
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::present::sample::bench;
    use craft::foreseen::how_many as told;
    use craft::reading::{Means, Reading};
    use craft::spread::AtHand;
    use craft::stage::Stage;
    use craft::units::Mass;

    #[test]
    fn each_number_of_stones_says_what_it_leaves_for_each_and_whether_it_has_room() {
        let bench = bench(Stage::Here);
        let held = bench.studio.order(bench.tag).unwrap();
        let at_hand = AtHand { left: Share::WHOLE, keep_back: Share::of(1, 3) };
        let of = |part, whole| told((1, at_hand), part, Mass::from_mg(9.0), (None, whole));
        let by_eye = Reading { value: Mass::from_mg(60.0), doubt: Mass::ZERO, by: Means::ByEye };
        let said = how_many(held, &[of(Share::of(1, 10), Some(by_eye))]).remove(0);
        assert!(
            said.title.ends_with("with a tenth in each it is enough for 4 more stones."),
            "{}",
            said.title
        );
        assert_eq!(said.rows.len(), 8);
        assert_eq!(said.rows[2].0, "3 stones");
        assert!(said.rows[2].1.ends_with("the first layer has room for it"), "{}", said.rows[2].1);
        assert!(
            said.rows[0].1.contains("the first layer has room for about 9 mg of that"),
            "{}",
            said.rows[0].1
        );
        assert!(said.rows[7].1.contains("less than is planned"), "{}", said.rows[7].1);
        assert_eq!(said.note, "");
        let unknown = how_many(held, &[of(Share::of(1, 10), None)]).remove(0);
        assert!(unknown.note.contains("guess by eye on the arrival page"));
        let nothing = AtHand { left: Share::of(1, 3), keep_back: Share::of(1, 3) };
        let kept = told((1, nothing), Share::of(1, 10), Mass::from_mg(9.0), (None, None));
        assert!(how_many(held, &[kept]).remove(0).title.contains("what is left is the keep-back"));
    }
}
