//! A stone to be made, in words.

use craft::fact::Holder;
use craft::id::is_practice;
use craft::ledger::Role;
use craft::order::StoneSheet;
use craft::shelf::{Pigment, What};
use craft::studio::{Held, Studio};
use craft::units::Share;

use super::paper_facts::{colour_of, outline_of};
use super::{plan_words, words};

/// What a stone is: "oval, 10 × 8 mm, 3.5 mm deep", "cavity B2 of Oval 10 × 8", "chestnut, a tiny bit of colour first".
pub fn phrases(studio: &Studio, stone: &StoneSheet) -> Vec<String> {
    let shape = match studio.shelf().get(&stone.mould).map(|item| &item.what) {
        Some(What::Mould(mould)) => {
            let cavity = &mould.cavity;
            format!("{}, {} deep", words::outline(&cavity.outline()), words::length(cavity.depth()))
        }
        _ => format!("{} is not on the shelf", stone.mould),
    };
    let colour = format!(
        "{}, {}",
        words::item_name(studio, &stone.pigment).to_lowercase(),
        plan_words::style_short(stone.style)
    );
    vec![shape, words::cavity(studio, &stone.mould, &stone.cell), colour]
}

/// The colour of a pigment on the shelf, for drawings.
pub fn pigment_colour(studio: &Studio, pigment: &craft::id::ShelfId) -> Option<(u8, u8, u8)> {
    colour_of(studio, pigment)
}

/// A pigment as it stands on the shelf.
pub fn pigment<'a>(studio: &'a Studio, id: &craft::id::ShelfId) -> Option<&'a Pigment> {
    match &studio.shelf().get(id)?.what {
        What::Pigment(pigment) => Some(pigment),
        _ => None,
    }
}

/// The colour behind a stone, for drawings.
pub fn colour(studio: &Studio, stone: &StoneSheet) -> Option<(u8, u8, u8)> {
    colour_of(studio, &stone.pigment)
}

/// The outline of a stone's mould, for drawings; none where the mould is not on the shelf.
pub fn outline(studio: &Studio, stone: &StoneSheet) -> Option<craft::geometry::Outline> {
    outline_of(studio, &stone.mould)
}

/// What a stone takes of the materials: "uses a twentieth of the hair; a third stays in the keep-back".
pub fn uses(_studio: &Studio, held: &Held, stone: &StoneSheet) -> String {
    if is_practice(stone.no) {
        return "uses nothing of the client\u{2019}s".to_owned();
    }
    if stone.shares.is_empty() {
        return "uses none of the material yet".to_owned();
    }
    let parts: Vec<String> = stone
        .shares
        .iter()
        .map(|share| format!("{} of {}", words::share(share.part), words::lot(held, share.lot)))
        .collect();
    let kept = held.ledger.custody.things.iter().find_map(|(thing, kept)| match kept.role {
        Role::KeepBack { lot, .. } => Some(held.ledger.custody.share(Holder::Thing(*thing), lot)),
        Role::Plain => None,
    });
    let kept = kept.filter(|share| *share > Share::NONE);
    let kept =
        kept.map(|share| format!("; {} stays in the keep-back", words::share(share))).unwrap_or_default();
    format!("uses {}{kept}", words::list(&parts))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::present::sample::bench;
    use craft::stage::Stage;

    #[test]
    fn a_practice_stone_uses_nothing_of_the_clients() {
        let bench = bench(Stage::Here);
        let held = bench.studio.order(bench.tag).unwrap();
        let stone = &held.order.sheet.stones[0];
        assert!(uses(&bench.studio, held, stone).starts_with("uses a twentieth of"));
        let practice = StoneSheet { no: craft::id::Thing::practice(1).no, ..stone.clone() };
        assert_eq!(uses(&bench.studio, held, &practice), "uses nothing of the client\u{2019}s");
    }

    #[test]
    fn a_stone_says_its_shape_its_place_and_its_colour() {
        let bench = bench(Stage::Here);
        let held = bench.studio.order(bench.tag).unwrap();
        let stone = &held.order.sheet.stones[0];
        let said = phrases(&bench.studio, stone);
        assert!(said[0].starts_with("oval, 10 × 8 mm, "), "{said:?}");
        assert_eq!(said[1], "cavity A1 of Oval 10 × 8");
        assert!(uses(&bench.studio, held, stone).starts_with("uses "));
    }
}
