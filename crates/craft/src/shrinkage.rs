//! Resin shrinks as it sets: how much to pour, how far a layer sinks, what the last one lacks.

use crate::density::Density;
use crate::geometry::{Cavity, GeometryError};
use crate::units::{Length, Share, Volume};

/// Why a shrinkage cannot be; says what would be right.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum ShrinkageError {
    /// Out of range.
    #[error(
        "resin that shrinks by {percent:.1} % cannot be right; craft resins lie between 4 and 8 %, so give 0 to 25"
    )]
    OutOfRange {
        /// What it came to.
        percent: f64,
    },
    /// A layer or the mould.
    #[error(transparent)]
    Geometry(#[from] GeometryError),
}

/// Sv: the share of its volume that resin loses as it sets, 0–25 %.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Shrinkage(Share);

impl Shrinkage {
    /// A craft resin as a guess: 6 %, the middle of 4–8 (from memory).
    pub const TYPICAL: Shrinkage = Shrinkage(Share::from_millionths(60_000));

    /// From the share of the volume.
    ///
    /// # Errors
    /// More than a quarter.
    pub fn new(share: Share) -> Result<Self, ShrinkageError> {
        if share <= Share::from_millionths(250_000) {
            Ok(Self(share))
        } else {
            Err(ShrinkageError::OutOfRange { percent: 100.0 * share.fraction() })
        }
    }

    /// From the densities of the liquid and of the set resin, as data sheets give them: Sv = 1 − liquid/set.
    ///
    /// # Errors
    /// A set resin lighter than the liquid, or more than a quarter lost.
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "the value is 0–0.25 when it is cast"
    )]
    pub fn from_densities(liquid: Density, set: Density) -> Result<Self, ShrinkageError> {
        let lost = 1.0 - liquid.g_per_cm3() / set.g_per_cm3();
        if !(0.0..=0.25).contains(&lost) {
            return Err(ShrinkageError::OutOfRange { percent: 100.0 * lost });
        }
        Self::new(Share::from_millionths((lost * 1e6).round() as u32))
    }

    /// The share of its volume that is lost.
    pub fn share(self) -> Share {
        self.0
    }

    /// The share that is lost in each direction where it may shrink freely: 1 − ∛(1 − Sv).
    pub fn linear(self) -> f64 {
        1.0 - (1.0 - self.0.fraction()).cbrt()
    }

    /// What to pour for a set volume: V/(1 − Sv).
    pub fn poured(self, set: Volume) -> Volume {
        Volume::from_mm3(set.mm3() / (1.0 - self.0.fraction()))
    }

    /// How far the surface of a layer of this thickness as poured sinks, where the walls hold it: Sv times it.
    pub fn sinks(self, poured: Length) -> Length {
        Length::from_mm(poured.mm() * self.0.fraction())
    }
}

/// One pour of resin that is to leave a layer of a wanted thickness.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PourMark {
    /// What to pour, as a liquid.
    pub poured: Volume,
    /// How high the liquid stands above the apex: "fill to here".
    pub liquid: Length,
    /// Where the set layer will stand.
    pub set: Length,
    /// What does not go in below the rim, and has to be added after the layer has set: the top-up.
    pub top_up: Volume,
}

/// The marks for layers of wanted thicknesses once set, poured one after the other from the apex up. Each pour fills
/// what the one before lost; where the liquid would stand above the rim, it is filled to the rim and topped up later.
///
/// # Errors
/// Layers that the mould does not take.
pub fn pour_marks(
    mould: &Cavity,
    layers: &[Length],
    shrinkage: Shrinkage,
    tolerance: Length,
) -> Result<Vec<PourMark>, ShrinkageError> {
    let full_mm3 = mould.volume().mm3();
    let mut marks = Vec::with_capacity(layers.len());
    for layer in mould.fill_by_thickness(layers)? {
        let wanted = shrinkage.poured(layer.volume);
        let below_mm3 = layer.filled.mm3() - layer.volume.mm3();
        let over_mm3 = (below_mm3 + wanted.mm3() - full_mm3).max(0.0);
        let poured = Volume::from_mm3(wanted.mm3() - over_mm3);
        let level_mm3 = (below_mm3 + poured.mm3()).min(full_mm3);
        let liquid = mould.depth_for(Volume::from_mm3(level_mm3), tolerance)?;
        marks.push(PourMark { poured, liquid, set: layer.depth, top_up: Volume::from_mm3(over_mm3) });
    }
    Ok(marks)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::{Dome, FINEST, Outline};

    fn of(liquid: i64, set: i64) -> Result<Shrinkage, ShrinkageError> {
        Shrinkage::from_densities(Density::from_kg_per_m3(liquid), Density::from_kg_per_m3(set))
    }

    /// Liquid and set density, per cent of volume and in each direction: computed independently with mpmath 1.4.1.
    const LOSSES: [(i64, i64, f64, f64); 3] =
        [(1100, 1180, 6.7797, 2.3130), (1100, 1200, 8.3333, 2.8587), (1120, 1180, 5.0847, 1.7245)];

    fn losses_hold(loss: impl Fn(i64, i64) -> Option<(f64, f64)>) -> bool {
        LOSSES.iter().all(|&(liquid, set, volume, line)| {
            loss(liquid, set).is_some_and(|(v, l)| (v - volume).abs() < 6e-5 && (l - line).abs() < 6e-5)
        })
    }

    #[test]
    fn shrinkage_follows_from_the_densities() {
        let right = |liquid, set| {
            of(liquid, set).ok().map(|lost| (100.0 * lost.share().fraction(), 100.0 * lost.linear()))
        };
        assert!(losses_hold(right));
        let over_liquid = |liquid: i64, set: i64| {
            let lost = set as f64 / liquid as f64 - 1.0;
            Some((100.0 * lost, 100.0 * (1.0 - (1.0 - lost).cbrt())))
        };
        assert!(!losses_hold(over_liquid), "broken: of the liquid's density");
        assert!(!losses_hold(|l, s| right(l, s).map(|(v, _)| (v, v / 3.0))), "broken: a third");
        // Methyl methacrylate: 22.0 cm³ lost of 106.5 cm³ a mole, 20.7 % (Patel, Braden and Davy 1987, Biomaterials 8:53).
        let monomer = Shrinkage::new(Share::from_millionths(206_553)).unwrap();
        assert!((1.0 / (1.0 - monomer.share().fraction()) - 106.51 / (106.51 - 22.0)).abs() < 1e-5);
    }

    #[test]
    fn what_is_poured_sets_to_what_is_wanted() {
        let lost = of(1100, 1180).unwrap();
        let poured = lost.poured(Volume::from_mm3(100.0)).mm3();
        assert!((poured * 1.10 / 1.18 - 100.0).abs() < 1e-4, "the mass stays: {poured}");
        assert!((lost.poured(Volume::from_mm3(100.0)).mm3() - 106.7797).abs() > 0.3, "broken: V·(1 + Sv)");
        // 3 mm that shrinks by 8 % sinks by 0.24 mm.
        let eight = Shrinkage::new(Share::of(8, 100)).unwrap();
        assert_eq!(eight.sinks(Length::from_mm(3.0)), Length::from_mm(0.24));
        let none = Shrinkage::new(Share::NONE).unwrap();
        assert!(
            (none.poured(Volume::from_mm3(7.0)).mm3() - 7.0).abs() < 1e-15 && none.linear().abs() < 1e-15
        );
    }

    fn mould() -> Cavity {
        let outline = Outline::Oval { length: Length::from_mm(18.0), width: Length::from_mm(13.0) };
        Cavity::new(outline, Dome::HalfEllipse, Length::from_mm(4.0), Length::from_mm(1.5)).unwrap()
    }

    #[test]
    fn each_pour_stands_above_where_it_sets_and_the_last_is_topped_up() {
        let layers = [2.0, 2.0, 1.5].map(Length::from_mm);
        let marks = pour_marks(&mould(), &layers, Shrinkage::TYPICAL, FINEST).unwrap();
        for mark in &marks {
            assert!(mark.liquid > mark.set || mark.set == mould().depth(), "{mark:?}");
        }
        assert!(marks[0].top_up.mm3() < 1e-12 && marks[1].top_up.mm3() < 1e-12);
        let last = marks[2];
        assert_eq!(last.liquid, mould().depth());
        // The sum of what is poured and topped up sets to the whole mould.
        let all: f64 = marks.iter().map(|mark| mark.poured.mm3() + mark.top_up.mm3()).sum();
        assert!((all * 0.94 / mould().volume().mm3() - 1.0).abs() < 1e-12);
        // The last layer is 1.5 mm of upright wall, so the top-up is 0.06/0.94 of that.
        let lacks = mould().outline().area().mm2() * 1.5 * 0.06 / 0.94;
        assert!((last.top_up.mm3() - lacks).abs() < 1e-9);
    }

    #[test]
    fn without_shrinkage_the_marks_are_those_of_the_fill() {
        let layers = [1.0, 2.5].map(Length::from_mm);
        let none = Shrinkage::new(Share::NONE).unwrap();
        for mark in pour_marks(&mould(), &layers, none, FINEST).unwrap() {
            assert!((mark.liquid - mark.set).abs() <= Length::from_micro(2));
        }
    }

    #[test]
    fn what_cannot_be_gets_a_sentence() {
        assert_eq!(
            of(1180, 1100).unwrap_err().to_string(),
            "resin that shrinks by -7.3 % cannot be right; craft resins lie between 4 and 8 %, so give 0 to 25"
        );
        assert!(Shrinkage::new(Share::of(1, 2)).is_err());
        let over = pour_marks(&mould(), &[Length::from_mm(6.0)], Shrinkage::TYPICAL, FINEST);
        assert!(over.unwrap_err().to_string().starts_with("with layer 1 the mould would hold 6 mm"));
    }
}
