//! The proof sheet's facts.

use std::collections::BTreeSet;

use chrono::Days;
use craft::fact::Choice;
use craft::geometry;
use craft::id::Thing;
use craft::shelf::What;
use craft::stage::is_made;
use craft::studio::{Held, Studio};
use craft::units::Length;
use papers::facts::{Outline, ProofFacts, ProofStone};

use super::{Subject, photo};
use crate::present::words;

/// How many stones a proof sheet takes.
const FEWEST: usize = 2;
const MOST: usize = 12;

/// The stones that can stand on the next proof sheet: made, neither set aside nor set into a piece, and not turned
/// down before.
pub fn proof_stones(held: &Held) -> Vec<u8> {
    let ledger = &held.ledger;
    let turned_down: BTreeSet<u8> = ledger
        .client
        .rounds
        .iter()
        .filter(|round| matches!(round.answer, Some((_, Choice::NoneOfThese))))
        .flat_map(|round| round.stones.iter().copied())
        .collect();
    ledger
        .pours
        .stones
        .iter()
        .filter(|(no, stone)| {
            let here =
                ledger.custody.things.get(&Thing::stone(**no)).is_some_and(craft::ledger::Held::is_here);
            is_made(&held.order.sheet, **no, stone) && !stone.set_aside && !turned_down.contains(no) && here
        })
        .map(|(no, _)| *no)
        .collect()
}

pub(super) fn facts(about: &Subject<'_>) -> Result<ProofFacts, String> {
    let stones = proof_stones(about.held);
    match stones.len() {
        0 => return Err("no stone is finished yet; a proof shows stones whose last layer is hard".to_owned()),
        few if few < FEWEST => {
            return Err(
                "only one stone is finished; a proof lets the client choose, so finish one more".to_owned()
            );
        }
        many if many > MOST => {
            return Err(format!(
                "{many} stones are finished and {MOST} fit on a proof; set some aside as spares"
            ));
        }
        _ => {}
    }
    let name = words::remembered(about.held);
    let nudge = Days::new(u64::from(about.studio.policies().nudge_days));
    let answer_by = about.today.checked_add_days(nudge);
    Ok(ProofFacts {
        header: about.header(),
        intro: format!(
            "These are the stones made for {name}. The outlines are drawn in their true size. Take your time."
        ),
        stones: stones.iter().map(|no| stone(about, *no)).collect(),
        answer: vec![
            "Write back with the number of the stone you choose.".to_owned(),
            "If two are close, name both and say what draws you to each.".to_owned(),
            "If it is none of these, say so: more can be made.".to_owned(),
            "The stones you do not choose come home to you as well, unset.".to_owned(),
        ],
        answer_by: answer_by
            .map(|day| format!("By {}, if you can.", words::date_with_year(day)))
            .unwrap_or_default(),
        photo_note:
            "Every screen and every printer shows colours a little differently from the stone in the hand."
                .to_owned(),
    })
}

fn stone(about: &Subject<'_>, no: u8) -> ProofStone {
    let sheet = &about.held.order.sheet;
    let wanted = sheet.stone(no);
    let shape = wanted.and_then(|stone| outline_of(about.studio, &stone.mould));
    let size = shape.as_ref().map(words::outline).unwrap_or_default();
    let caption = wanted.map(|stone| stone.caption.to_string()).unwrap_or_default();
    let colour = wanted.and_then(|stone| colour_of(about.studio, &stone.pigment));
    let seen: Vec<&str> =
        [size.as_str(), caption.as_str()].into_iter().filter(|words| !words.is_empty()).collect();
    let alt = if seen.is_empty() {
        words::sentence_start(&words::stone(no))
    } else {
        format!("{name}: {}", seen.join("; "), name = words::sentence_start(&words::stone(no)))
    };
    ProofStone {
        number: u32::from(no),
        photo: sheet.photo_of(Thing::stone(no)).map(|found| photo(found.original, alt)),
        outline: shape.as_ref().and_then(drawn),
        colour: colour.map(|(r, g, b)| format!("#{r:02x}{g:02x}{b:02x}")).unwrap_or_default(),
        caption,
        size,
    }
}

/// The outline of a mould on the shelf.
pub(crate) fn outline_of(studio: &Studio, mould: &craft::id::ShelfId) -> Option<geometry::Outline> {
    match &studio.shelf().get(mould)?.what {
        What::Mould(mould) => Some(mould.cavity.outline()),
        _ => None,
    }
}

/// The colour of a pigment on the shelf, for drawings.
pub(crate) fn colour_of(studio: &Studio, pigment: &craft::id::ShelfId) -> Option<(u8, u8, u8)> {
    match &studio.shelf().get(pigment)?.what {
        What::Pigment(pigment) => Some(pigment.colour),
        _ => None,
    }
}

/// An outline in true size; one larger than the sheet has room for, 60 mm, is left out.
fn drawn(outline: &geometry::Outline) -> Option<Outline> {
    let (length_mm, width_mm) = (outline.length().mm(), outline.width().mm());
    let shape = match outline {
        geometry::Outline::Round { .. } | geometry::Outline::Oval { .. } => {
            Outline::Oval { length_mm, width_mm }
        }
        // Finer than a printed line. On paper heights run downwards.
        other => Outline::Path {
            points_mm: other.corners_mm(Length::from_mm(0.02)).into_iter().map(|[x, y]| [x, -y]).collect(),
        },
    };
    (length_mm.max(width_mm) <= 60.0).then_some(shape)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::present::paper_facts::paper;
    use crate::present::sample::{Bench, at, bench};
    use craft::digest::Digest;
    use craft::fact::{ClientFact, PaperKind, PourFact};
    use craft::stage::Stage;
    use papers::facts::Paper;

    fn proof(bench: &Bench) -> Result<ProofFacts, String> {
        match paper(&bench.studio, bench.tag, PaperKind::Proof, at(0))? {
            Paper::Proof(facts) => Ok(facts),
            other => panic!("{other:?}"),
        }
    }

    #[test]
    fn a_proof_shows_each_finished_stone_in_its_shape_colour_and_photo() {
        let facts = proof(&bench(Stage::Made)).unwrap();
        let [first, second] = facts.stones.as_slice() else { panic!("{:?}", facts.stones) };
        assert_eq!((first.number, second.number), (1, 2));
        assert_eq!(first.size, "oval, 10 × 8 mm");
        assert_eq!(first.outline, Some(Outline::Oval { length_mm: 10.0, width_mm: 8.0 }));
        assert_eq!(first.colour, "#1f4d3a");
        let photo = first.photo.as_ref().unwrap();
        assert_eq!(photo.name, Digest::of(b"s1").to_string(), "named by the original's 64 digits");
        assert_eq!(photo.alt, "Stone 1: oval, 10 × 8 mm; The strands fanned");
        assert_eq!(facts.answer_by, "By 2 December 2026, if you can.");
    }

    #[test]
    fn one_stone_or_none_is_no_choice() {
        assert!(proof(&bench(Stage::Here)).unwrap_err().starts_with("no stone is finished yet"));
        let mut one = bench(Stage::Made);
        one.record(PourFact::SetAside { stone: 2 });
        assert!(proof(&one).unwrap_err().starts_with("only one stone is finished"));
    }

    #[test]
    fn stones_that_were_turned_down_are_not_shown_again() {
        let mut none = bench(Stage::Shown);
        none.record(ClientFact::Chosen(Choice::NoneOfThese));
        assert!(proof(&none).is_err());
        assert!(proof_stones(none.studio.order(none.tag).unwrap()).is_empty());
    }
}
