//! One more colour layer, where the metal is hidden by the best guess and no more.

use craft::planner::{OneMore, Room};

use super::Explained;
use crate::present::words;

/// What one more colour layer would do or take, in a sentence or two.
pub fn one_more(more: &OneMore) -> String {
    let thick = words::length(more.thickness);
    let has = format!(
        "The colour holds {:.1} times what hides the metal by the best guess, which is short of sure.",
        more.has
    );
    match &more.room {
        Room::Planned { more: longer, has: then, .. } => {
            let minutes = usize::try_from((longer.micro() / 1_000_000 + 59) / 60).unwrap_or_default();
            let minutes = words::count(minutes, "minute", "minutes");
            format!(
                "{has} There is room for one more colour layer of {thick}: it would hold {then:.1} times, and take {minutes} longer."
            )
        }
        Room::Lacks(lacks) => format!(
            "{has} One more colour layer of {thick} needs {} more room: make the clear face so much thinner, or take a mould so \
             much deeper.",
            words::length(*lacks)
        ),
        Room::Cannot => format!(
            "{has} One more colour layer of {thick} has room, but would not surely set so: try the colour on a card first, or \
             take one that hides better."
        ),
    }
}

/// How that was worked out.
pub fn explained_one_more(more: &OneMore) -> Explained {
    Explained {
        title: "whether one more colour layer has room",
        plain: "A colour hides the metal by the best guess once its layers hold what hides it. Of a colour that was never tried on a \
                card half as much again is wanted to be sure, of one that was a fifth. What is missing is asked for as one more \
                layer behind the others, and the layer behind it gives up the room.",
        values: vec![
            ("the layers hold, of what hides", format!("{:.2} times", more.has)),
            ("one more layer", words::length(more.thickness)),
        ],
        formula: "the room that is missing, in millimetres, is the thickness of one more layer, less what the back can give up and \
                  still be laid",
        source: "how much more is sure is common practice, no source; the plan with one more layer is the planner\u{2019}s own search",
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use craft::units::{Length, Span};

    #[test]
    fn what_is_missing_is_said_in_millimetres_and_what_is_there_in_minutes() {
        let (thickness, has) = (Length::from_mm(0.4), 1.04);
        let of = |room| one_more(&OneMore { thickness, has, room });
        let planned = of(Room::Planned { pinned: Vec::new(), more: Span::from_s(301.0), has: 1.6 });
        assert!(planned.contains("There is room for one more colour layer of 0.4 mm"), "{planned}");
        assert!(planned.ends_with("it would hold 1.6 times, and take 6 minutes longer."), "{planned}");
        let lacks = of(Room::Lacks(Length::from_mm(0.3)));
        assert!(lacks.contains("needs 0.3 mm more room: make the clear face so much thinner"), "{lacks}");
        assert!(of(Room::Cannot).contains("try the colour on a card first"));
    }
}
