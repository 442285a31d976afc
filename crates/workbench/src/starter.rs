//! The shelf a new studio begins with: typical things, every value a cautious guess that its note owns up to.
//!
//! The items are the files of `assets/shelf/`, read into the program when it is built. Nothing here is measured,
//! and nothing here names a product.

use craft::cure::{Doubts, Factor, Well};
use craft::id::ShelfId;
use craft::planner::{PlanError, Problem, Style};
use craft::shelf::{Body, Bottle, Item, Lamp, Mould, Pigment};
use craft::units::Length;
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

/// What is on the bench for one stone.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Bench<'a> {
    /// The mould.
    pub(crate) mould: &'a Mould,
    /// The bottle of resin.
    pub(crate) bottle: &'a Bottle,
    /// The lamp.
    pub(crate) lamp: (&'a ShelfId, &'a Lamp),
    /// The pigment.
    pub(crate) pigment: &'a Pigment,
}

impl Bench<'_> {
    /// The problem to plan, with the typical doubts of the pigment's class: nothing was tested.
    pub(crate) fn problem(&self, face: Length, style: Style) -> Result<Problem, PlanError> {
        let (mix, cavity) = (self.pigment.mix, &self.mould.cavity);
        let (lamp_id, lamp) = self.lamp;
        let doubts = Doubts::typical_for(mix.class);
        let lights = self.bottle.lights(lamp_id, lamp);
        let mut problem = Problem::for_stone(cavity.depth(), face, mix, style, lights, doubts)?;
        problem.cure.resin = self.bottle.resin;
        if self.mould.body == Body::Opaque {
            // A lamp over an opaque mould gives its light from all sides, so the whole of it is shaded by the walls.
            let half_width = Length::from_micro(cavity.outline().width().micro() / 2);
            problem.well = Some(Well { half_width, diffuse: Factor::ONE });
        }
        Ok(problem)
    }
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeMap;

    use craft::cure::{Mix, PigmentClass, Provenance};
    use craft::planner::plan;
    use craft::shelf::What;
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

    #[test]
    fn a_thin_face_can_be_planned_in_every_mould_with_every_pigment_under_every_lamp() {
        let shelf = shelf();
        let mut planned = 0;
        let bottle = shelf.iter().find_map(|(_, item)| match &item.what {
            What::Resin(bottle) => Some(bottle),
            _ => None,
        });
        for (mould_id, mould) in &shelf {
            for (pigment_id, pigment) in &shelf {
                for (lamp_id, lamp) in &shelf {
                    let (What::Mould(mould), What::Pigment(pigment), What::Lamp(lamp)) =
                        (&mould.what, &pigment.what, &lamp.what)
                    else {
                        continue;
                    };
                    let bench = Bench { mould, bottle: bottle.unwrap(), lamp: (lamp_id, lamp), pigment };
                    let problem = bench.problem(Length::from_mm(1.0), Style::Even).unwrap();
                    let plan = plan(&problem)
                        .unwrap_or_else(|why| panic!("{mould_id} {pigment_id} {lamp_id}: {why}"));
                    assert_eq!(plan.depth(), mould.cavity.depth(), "{mould_id} {pigment_id} {lamp_id}");
                    planned += 1;
                }
            }
        }
        assert_eq!(planned, 7 * 10 * 2);
        // A black that may only be laid far too strong and thick must be refused by the same call.
        let (round, black, lamp) =
            (find(&shelf, "round-8"), find(&shelf, "black"), find(&shelf, "small-lamp"));
        let (What::Mould(mould), What::Pigment(black), What::Lamp(lamp)) = (round, black, lamp) else {
            panic!("the shelf has other kinds under these names");
        };
        let mut heavy = black.clone();
        (heavy.mix.least, heavy.mix.thinnest) = (heavy.mix.most, heavy.mix.thickest);
        let id = "small-lamp".parse().unwrap();
        let bench = Bench { mould, bottle: bottle.unwrap(), lamp: (&id, lamp), pigment: &heavy };
        assert!(plan(&bench.problem(Length::from_mm(1.0), Style::Even).unwrap()).is_err());
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
