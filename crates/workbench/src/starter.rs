//! The shelf a new studio begins with: typical things, every value a cautious guess that its note owns up to.
//!
//! The items are the files of `assets/shelf/`, read into the program when it is built. Nothing here is measured,
//! and nothing here names a product.

use craft::id::ShelfId;
use craft::shelf::Item;
use store::format::{Decoded, decode};
use store::name::DocKind;

macro_rules! assets {
    ($($id:literal),* $(,)?) => {
        [$(($id, include_str!(concat!("../../../assets/shelf/", $id, ".ron")))),*]
    };
}

/// Each file's name, which is the item's id, and its text.
const ASSETS: [(&str, &str); 28] = assets![
    "black",
    "chestnut",
    "clear-casting",
    "large-lamp",
    "no-pigment",
    "oval-10x8",
    "oval-14x10",
    "oval-18x13",
    "oval-8x6",
    "pearl",
    "pendant-oval-10x8",
    "pendant-oval-14x10",
    "pendant-oval-18x13",
    "pendant-round-10",
    "ring-oval-8x6",
    "ring-round-6",
    "ring-round-8",
    "rose-dye",
    "round-10",
    "round-6",
    "round-8",
    "sage",
    "sand",
    "sea-blue",
    "slate",
    "small-lamp",
    "thin-clear",
    "white",
];

/// The starter shelf, in the order of its ids. A test holds that none of its files is left out.
pub fn shelf() -> Vec<(ShelfId, Item)> {
    let read = |(id, text): &(&str, &str)| match decode::<Item>(DocKind::Shelf, text.as_bytes()) {
        Decoded::Whole(item) => Some((id.parse().ok()?, item)),
        Decoded::Newer(_) | Decoded::Broken(_) => None,
    };
    ASSETS.iter().filter_map(read).collect()
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeMap;

    use craft::cure::{Factor, Mix, PigmentClass, Provenance};
    use craft::fact::{LayerKind, Material};
    use craft::money::Currency;
    use craft::order::StoneSheet;
    use craft::planner::{Plan, Style, plan};
    use craft::policies::Policies;
    use craft::shelf::What;
    use craft::studio::{Doc, PlanningError, Studio};
    use craft::text::Line;
    use craft::units::Length;
    use store::format::encode;

    use super::*;

    #[test]
    fn every_file_of_the_starter_shelf_is_read_and_passes_its_check() {
        let shelf = shelf();
        assert_eq!(shelf.len(), ASSETS.len());
        for ((id, item), (name, _)) in shelf.iter().zip(ASSETS) {
            assert_eq!(id.as_str(), name);
            assert_eq!(item.check(), Ok(()), "{id}");
        }
        let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/../../assets/shelf");
        assert_eq!(std::fs::read_dir(folder).unwrap().count(), ASSETS.len(), "a file is not in the list");
    }

    #[test]
    fn every_file_is_written_as_the_program_would_write_it() {
        for ((id, item), (_, text)) in shelf().iter().zip(ASSETS) {
            assert_eq!(String::from_utf8(encode(DocKind::Shelf, item).unwrap()).unwrap(), text, "{id}");
        }
    }

    #[test]
    fn a_broken_file_is_not_let_in() {
        let (_, text) = ASSETS[0];
        let broken = text.replacen("ceiling", "sparkle", 1);
        assert_ne!(broken, text);
        assert!(matches!(decode::<Item>(DocKind::Shelf, broken.as_bytes()), Decoded::Broken(_)));
    }

    #[test]
    fn every_note_owns_up_to_a_guess_and_every_value_says_it_is_typical() {
        for (id, item) in shelf() {
            let note = item.note.as_str();
            assert!(note.contains("cautious guess") && note.contains("ten-minute test"), "{id}: {note}");
            match &item.what {
                What::Resin(bottle) => assert_eq!(bottle.resin.provenance, Provenance::Typical, "{id}"),
                What::Pigment(pigment) => assert_eq!(pigment.mix.provenance, Provenance::Typical, "{id}"),
                _ => {}
            }
        }
    }

    #[test]
    fn the_pigments_carry_the_typical_values_of_their_classes_and_every_class_is_there() {
        let mut classes = BTreeMap::new();
        for (id, item) in shelf() {
            let What::Pigment(pigment) = item.what else { continue };
            let mut typical = Mix::typical(pigment.mix.class);
            if !typical.class.hides() {
                // What cannot hide is not asked to.
                typical.hiding = Factor::ZERO;
            }
            assert_eq!(pigment.mix, typical, "{id}");
            classes.insert(pigment.mix.class, id);
        }
        assert_eq!(classes.len(), PigmentClass::ALL.len());
    }

    /// A studio with the starter shelf, and a stone of the named things with a thin face.
    fn studio() -> Studio {
        let policies = Policies::new("test".parse().unwrap(), "Test".parse().unwrap(), Currency::EUR);
        let mut studio = Studio::new(policies);
        for (id, item) in shelf() {
            studio.take(Doc::Shelf(id, Box::new(item))).unwrap();
        }
        studio
    }

    fn stone(mould: &str, pigment: &str, lamp: &str) -> StoneSheet {
        StoneSheet {
            no: 1,
            mould: mould.parse().unwrap(),
            cell: "A1".parse().unwrap(),
            resin: "clear-casting".parse().unwrap(),
            lamp: lamp.parse().unwrap(),
            pigment: pigment.parse().unwrap(),
            style: Style::Even,
            face: Length::from_mm(1.0),
            shares: Vec::new(),
            top: LayerKind::TopGloss,
            plan: None,
            caption: Line::default(),
            wishes: craft::planner::Wishes::default(),
        }
    }

    fn planned(studio: &Studio, stone: &StoneSheet, material: Material) -> Result<Plan, PlanningError> {
        Ok(plan(&studio.problem_with(stone, &[material])?)?)
    }

    #[test]
    fn a_thin_face_can_be_planned_in_every_mould_with_every_pigment_and_material_under_every_lamp() {
        let studio = studio();
        let kinds = [Material::Hair, Material::Ashes, Material::Petals];
        let of_kind = |is: fn(&What) -> bool| {
            let all = studio.shelf().iter().filter(move |(_, item)| is(&item.what));
            all.map(|(id, _)| id.as_str()).collect::<Vec<_>>()
        };
        let mut count = 0;
        for mould in of_kind(|what| matches!(what, What::Mould(_))) {
            for pigment in of_kind(|what| matches!(what, What::Pigment(_))) {
                for lamp in of_kind(|what| matches!(what, What::Lamp(_))) {
                    let stone = stone(mould, pigment, lamp);
                    let depth = studio.cavity_of(&stone).unwrap().depth();
                    for kind in kinds {
                        let plan = planned(&studio, &stone, kind)
                            .unwrap_or_else(|why| panic!("{mould} {pigment} {lamp} {kind}: {why}"));
                        assert_eq!(
                            plan.depth() + plan.top_up(depth),
                            depth,
                            "{mould} {pigment} {lamp} {kind}"
                        );
                        assert!(plan.shade.is_some() && plan.top_up(depth) < Length::from_mm(0.1));
                        count += 1;
                    }
                }
            }
        }
        assert_eq!(count, 7 * 10 * 2 * 3);
    }

    #[test]
    fn a_black_that_may_only_be_laid_strong_and_thick_is_refused_by_the_same_call() {
        let mut studio = studio();
        let (id, mut black) =
            ("black".parse().unwrap(), studio.item(&"black".parse().unwrap()).unwrap().clone());
        let What::Pigment(pigment) = &mut black.what else { panic!("black is not a pigment") };
        (pigment.mix.least, pigment.mix.thinnest) = (pigment.mix.most, pigment.mix.thickest);
        studio.take(Doc::Shelf(id, Box::new(black))).unwrap();
        assert!(planned(&studio, &stone("round-8", "black", "small-lamp"), Material::Hair).is_err());
        assert!(planned(&studio, &stone("round-8", "slate", "small-lamp"), Material::Hair).is_ok());
    }

    fn find<'a>(shelf: &'a [(ShelfId, Item)], id: &str) -> &'a What {
        &shelf.iter().find(|(known, _)| known.as_str() == id).unwrap().1.what
    }

    #[test]
    fn every_setting_lets_the_stone_of_its_name_in_and_no_more_than_a_quarter_of_a_millimetre_wider() {
        let shelf = shelf();
        for (id, item) in &shelf {
            let What::Setting(setting) = &item.what else { continue };
            let mould = id.as_str().trim_start_matches("ring-").trim_start_matches("pendant-");
            let What::Mould(mould) = find(&shelf, mould) else { panic!("{id} has no mould") };
            let stone = mould.cavity.outline();
            for (opening, stone) in
                [(setting.opening.length(), stone.length()), (setting.opening.width(), stone.width())]
            {
                assert!(opening > stone && (opening - stone).mm() <= 0.25, "{id}: {opening} for {stone}");
            }
        }
    }
}
