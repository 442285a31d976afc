//! The clear coat on the face of a stone that is out of its mould: how much resin it takes, in the maker's own drops.

use super::RESIN;
use crate::dosing::DROP;
use crate::fact::{Amount, LayerKind};
use crate::geometry::{Cavity, FINEST};
use crate::id::ShelfId;
use crate::order::StoneSheet;
use crate::refusal::Refusal;
use crate::shelf::What;
use crate::shrinkage::{Shrinkage, pour_marks};
use crate::studio::Studio;
use crate::units::{Area, Length, Mass};

/// How thick a coat of clear resin stands that is spread with a brush or a stick (common practice, no source).
pub const FILM: Length = Length::from_micro(150_000);
/// As much again stays on the brush (common practice, no source).
const TAKEN: f64 = 2.0;
/// How exact the face is worked out.
const EXACT_MM2: f64 = 0.01;
/// So many counted drops say what a drop is (common practice, no source).
const FEWEST: u32 = 6;

/// What the coat on one stone takes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TopCoat {
    /// The domed face, which it covers.
    pub face: Area,
    /// What lies on the face.
    pub lies: Mass,
    /// What is taken for it: as much again stays on the brush.
    pub taken: Mass,
    /// The same in whole drops.
    pub drops: u16,
    /// What a drop was reckoned to weigh.
    pub drop: Mass,
    /// How many counted drops of the maker's own say so; none where it is the usual drop.
    pub own: Option<u32>,
}

/// The coat on a stone of this shape.
pub fn top_coat(cavity: &Cavity, own: Option<(Mass, u32)>) -> TopCoat {
    let face = cavity.curved_area(Area::from_mm2(EXACT_MM2));
    let lies_mg = face.mm2() * FILM.mm() * RESIN.g_per_cm3();
    let drop = own.map_or(DROP, |(drop, _)| drop);
    TopCoat {
        face,
        lies: Mass::from_mg(lies_mg),
        taken: Mass::from_mg(TAKEN * lies_mg),
        drops: whole_up(TAKEN * lies_mg / drop.mg().max(1e-9)),
        drop,
        own: own.map(|(_, counted)| counted),
    }
}

#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "between one and a few thousand")]
fn whole_up(drops: f64) -> u16 {
    (drops - 1e-9).ceil().clamp(1.0, 9_999.0) as u16
}

impl Studio {
    /// What a drop of this bottle weighs from the maker's own hand: all that was counted into moulds in drops, by what
    /// those layers hold. With the number of drops that say so; `None` where too few were counted.
    pub fn drop_of(&self, bottle: &ShelfId) -> Option<(Mass, u32)> {
        let (mut counted, mut mg) = (0_u32, 0.0);
        for (_, held) in self.awake() {
            for stone in held.ledger.pours.stones.values() {
                let Some(What::Mould(mould)) = self.shelf().get(&stone.mould).map(|item| &item.what) else {
                    continue;
                };
                // A coat lies on the face, outside the mould.
                let in_mould = |kind: LayerKind| !matches!(kind, LayerKind::TopGloss | LayerKind::TopSatin);
                let layers = || stone.layers.iter().take_while(|layer| in_mould(layer.kind));
                let thicknesses: Vec<Length> = layers().map(|layer| layer.thickness).collect();
                let Ok(marks) = pour_marks(&mould.cavity, &thicknesses, Shrinkage::TYPICAL, FINEST) else {
                    continue;
                };
                for (layer, mark) in layers().zip(marks) {
                    if let Amount::Drops(drops) = layer.amount
                        && drops > 0
                        && layer.bottle == *bottle
                    {
                        counted += u32::from(drops);
                        mg += mark.poured.mm3() * RESIN.g_per_cm3();
                    }
                }
            }
        }
        (counted >= FEWEST).then(|| (Mass::from_mg(mg / f64::from(counted)), counted))
    }

    /// The coat on a stone's face, in drops of its own bottle.
    ///
    /// # Errors
    /// The mould is not on the shelf.
    pub fn top_coat_of(&self, stone: &StoneSheet) -> Result<TopCoat, Refusal> {
        Ok(top_coat(&self.cavity_of(stone)?, self.drop_of(&stone.resin)))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::fact::{LayerKind, PourFact};
    use crate::geometry::{Dome, Outline};
    use crate::testing::*;

    #[test]
    fn the_coat_of_half_a_ball_is_its_face_by_the_film() {
        // Half a ball of 10 mm: 2πr² = 157.080 mm² (elementary geometry); by 0.15 mm and 1.1 g/cm³ that is 25.918 mg.
        let outline = Outline::Round { diameter: Length::from_mm(10.0) };
        let ball = Cavity::new(outline, Dome::HalfEllipse, Length::from_mm(5.0), Length::ZERO).unwrap();
        let coat = top_coat(&ball, None);
        assert!((coat.face.mm2() - 157.080).abs() < 0.05, "{:?}", coat.face);
        assert!(
            (coat.lies.mg() - 25.918).abs() < 0.02 && (coat.taken.mg() - 51.836).abs() < 0.04,
            "{coat:?}"
        );
        assert_eq!((coat.drops, coat.own), (2, None), "of 30 mg each");
        // Limit: a film on a flat disc is the disc's own area, half of that.
        let disc = std::f64::consts::PI * 25.0;
        assert!((coat.face.mm2() / disc - 2.0).abs() < 1e-3);
        let small = top_coat(&ball, Some((Mass::from_mg(10.0), 40)));
        assert_eq!((small.drops, small.own), (6, Some(40)), "of the maker's own small drops");
        assert_eq!((small.lies, small.taken), (coat.lies, coat.taken), "a drop changes no mass");
    }

    #[test]
    fn a_drop_is_what_the_counted_ones_came_to() {
        let mut bench = Bench::begun();
        let bottle = item("clear");
        assert_eq!(bench.studio.drop_of(&bottle), None);
        let lay = |bench: &mut Bench, layer: u8, kind: LayerKind, drops: u16| {
            let PourFact::Laid { stone, thickness, load, bottle, pigment, .. } = laid(1, layer, kind) else {
                panic!("not laid")
            };
            let amount = Amount::Drops(drops);
            bench.record(PourFact::Laid { stone, layer, kind, thickness, load, amount, bottle, pigment });
        };
        lay(&mut bench, 1, LayerKind::Material, 5);
        assert_eq!(bench.studio.drop_of(&bottle), None, "five say too little");
        let on = bench.record(lamp_on(&[1]));
        bench.record(lamp_off(on, 60.0));
        bench.record(PourFact::Cooled { stones: vec![1] });
        bench.record(felt(1, 1, crate::fact::Hardness::Hard));
        lay(&mut bench, 2, LayerKind::Clear, 3);
        let (drop, counted) = bench.studio.drop_of(&bottle).unwrap();
        assert_eq!(counted, 8);
        // Second method: both layers poured one after the other hold so much, shared by eight.
        let stone = &bench.held().ledger.pours.stones[&1];
        let thick: Vec<Length> = stone.layers.iter().map(|layer| layer.thickness).collect();
        let marks = bench.studio.marks_of(&bench.held().order.sheet.stones[0], &thick).unwrap();
        let mm3: f64 = marks.iter().map(|mark| mark.poured.mm3()).sum();
        assert!((drop.mg() - mm3 * 1.1 / 8.0).abs() < 1e-4, "{drop}");
    }
}
