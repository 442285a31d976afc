//! How much of a layer the client's material takes up.
//!
//! Strands and grains shade what lies below them and keep air; above a usual share the maker is warned, never stopped.

use crate::cure::{CureError, Factor, MaterialShade, Shadow};
use crate::density::Density;
use crate::units::{Length, Mass, Share, Volume};

/// How a material lies in a layer.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Lie {
    /// Hair, fur, thread.
    Strands,
    /// Ashes, milk, earth.
    Grains,
    /// Petals, leaves, cloth.
    Sheets,
}

/// Why the share cannot be worked out; says what would be right.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum PackingError {
    /// A mass below nothing.
    #[error("{0} of material cannot be; give its weight as 0 mg or more")]
    Mass(Mass),
    /// No layer to put it in.
    #[error("the layer holds nothing; give it a thickness above 0 mm")]
    NoLayer,
    /// More than there is room for.
    #[error(
        "{mass} of it takes {takes_mm3} mm³, but the layer holds {holds_mm3} mm³; take less, or a thicker layer"
    )]
    NoRoom {
        /// What is to go in.
        mass: Mass,
        /// What it takes.
        takes_mm3: u64,
        /// What the layer holds.
        holds_mm3: u64,
    },
}

/// How full a layer is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Crowding {
    /// Within what usually works.
    Usual,
    /// More than usual: it shades more than the plan can promise, and air stays in it.
    Crowded,
    /// More than what grains poured loosely leave between them, so it cannot all be wetted.
    Stuffed,
}

/// A material in a layer.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Packing {
    /// What the material itself takes, without the air in it.
    pub solid: Volume,
    /// The share of the layer that is.
    pub filled: Share,
    /// How full that is.
    pub crowding: Crowding,
}

impl Lie {
    /// Density of the material itself: keratin 1.31 (from memory: 1.30–1.32), bone mineral of ashes 3.0 (from memory:
    /// 2.9–3.1), dry plant matter 1.5 g/cm³ (cellulose; from memory).
    pub const fn density(self) -> Density {
        Density::from_kg_per_m3(match self {
            Lie::Strands => 1310,
            Lie::Grains => 3000,
            Lie::Sheets => 1500,
        })
    }

    /// The share up to which it usually works: a twentieth for strands and petals, a tenth for grains (common practice,
    /// no source).
    pub const fn usual(self) -> Share {
        match self {
            Lie::Strands | Lie::Sheets => Share::from_millionths(50_000),
            Lie::Grains => Share::from_millionths(100_000),
        }
    }

    /// The share at which it lies as close as it falls. Balls poured and shaken fill 0.64 (Scott and Kilgour 1969, J.
    /// Phys. D 2:863), and rough grains about 0.27 (ashes of 2.2 kg in 2.85 l at 3 g/cm³); long strands laid at random
    /// fill less, so the lower one counts for all.
    pub const fn stuffed(self) -> Share {
        Share::from_millionths(270_000)
    }

    /// The volume of a mass of it, without the air between.
    pub fn solid(self, mass: Mass) -> Volume {
        Volume::from_mm3(mass.mg() / self.density().g_per_cm3())
    }
}

impl Packing {
    /// What this much of it does to the light, `darkness` from 0.3 (white) to 1 (dark): strands 0.07 mm thick and grains
    /// 0.3 mm across (common practice, no source) take a share for each mm, and nothing is counted below a sheet.
    ///
    /// # Errors
    /// None for a share and a darkness from 0 to 1.
    pub fn shadow(&self, lie: Lie, darkness: Factor) -> Result<Shadow, CureError> {
        let (strand, grain) = (Length::from_micro(70_000), Length::from_micro(300_000));
        Ok(match lie {
            Lie::Strands => Shadow::Scattered(MaterialShade::strands(self.filled, strand, darkness)?),
            Lie::Grains => Shadow::Scattered(MaterialShade::grains(self.filled, grain, darkness)?),
            Lie::Sheets => Shadow::Sheet,
        })
    }
}

/// How full a layer of this volume is with this mass.
///
/// # Errors
/// A mass below nothing, no layer, or more material than layer.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "shares are 0–1 and volumes not below 0"
)]
pub fn packing(lie: Lie, mass: Mass, layer: Volume) -> Result<Packing, PackingError> {
    if mass < Mass::ZERO {
        return Err(PackingError::Mass(mass));
    }
    if layer.mm3().is_nan() || layer.mm3() <= 0.0 {
        return Err(PackingError::NoLayer);
    }
    let solid = lie.solid(mass);
    let share = solid.mm3() / layer.mm3();
    if share > 1.0 {
        let (takes_mm3, holds_mm3) = (solid.mm3().ceil() as u64, layer.mm3().floor() as u64);
        return Err(PackingError::NoRoom { mass, takes_mm3, holds_mm3 });
    }
    let filled = Share::from_millionths((share * 1e6).round() as u32);
    let crowding = if filled > lie.stuffed() {
        Crowding::Stuffed
    } else if filled > lie.usual() {
        Crowding::Crowded
    } else {
        Crowding::Usual
    };
    Ok(Packing { solid, filled, crowding })
}

/// The volume of so many strands: πd²/4 times their length.
pub fn strands(many: u32, diameter: Length, length: Length) -> Volume {
    let across_mm2 = std::f64::consts::FRAC_PI_4 * diameter.mm() * diameter.mm();
    Volume::from_mm3(f64::from(many) * across_mm2 * length.mm())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_hair_weighs_what_its_volume_and_density_say() {
        // Computed independently with numpy at 1.32 g/cm³: one hair of 70 µm by 30 mm 0.11545 mm³, a hundred of 20 mm
        // 7.697 mm³; 50 mg of it 37.88 mm³.
        let one = strands(1, Length::from_mm(0.07), Length::from_mm(30.0)).mm3();
        assert!((one - 0.11545).abs() < 6e-6, "{one}");
        let hundred = strands(100, Length::from_mm(0.07), Length::from_mm(20.0)).mm3();
        assert!((hundred - 7.697).abs() < 6e-4);
        let as_radius = strands(100, Length::from_mm(0.14), Length::from_mm(20.0)).mm3();
        assert!((as_radius - 7.697).abs() > 1.0, "broken: diameter for radius");
        let lock = Lie::Strands.solid(Mass::from_mg(50.0)).mm3();
        assert!((lock * 1.31 / 1.32 - 37.88).abs() < 6e-3);
        // Second method: the hundred hairs, weighed, take what they take.
        let mass = Lie::Strands.density().mass_of(strands(100, Length::from_mm(0.07), Length::from_mm(20.0)));
        assert!((Lie::Strands.solid(mass).mm3() - hundred).abs() < 1e-5);
    }

    fn full(lie: Lie, mg: f64) -> Crowding {
        packing(lie, Mass::from_mg(mg), Volume::from_mm3(100.0)).unwrap().crowding
    }

    #[test]
    fn more_than_usual_is_crowded_and_more_than_falls_together_stuffed() {
        assert_eq!(full(Lie::Strands, 0.0), Crowding::Usual);
        assert_eq!(full(Lie::Strands, 6.5), Crowding::Usual);
        assert_eq!(full(Lie::Strands, 6.6), Crowding::Crowded);
        assert_eq!(full(Lie::Grains, 30.0), Crowding::Usual);
        assert_eq!(full(Lie::Grains, 31.0), Crowding::Crowded);
        assert_eq!(full(Lie::Grains, 82.0), Crowding::Stuffed);
        assert_eq!(full(Lie::Sheets, 7.6), Crowding::Crowded);
    }

    #[test]
    fn a_twentieth_of_dark_strands_shades_as_the_usual_guess() {
        let twentieth = packing(Lie::Strands, Mass::from_mg(6.55), Volume::from_mm3(100.0)).unwrap();
        let Ok(Shadow::Scattered(shade)) = twentieth.shadow(Lie::Strands, Factor::ONE) else { panic!() };
        assert!((shade.per_mm.get() / MaterialShade::STRANDS.per_mm.get() - 1.0).abs() < 1e-9);
        let Ok(Shadow::Scattered(grains)) = twentieth.shadow(Lie::Grains, Factor::ONE) else { panic!() };
        assert!((grains.per_mm.get() / MaterialShade::GRAINS.per_mm.get() - 1.0).abs() < 1e-9);
        assert_eq!(twentieth.shadow(Lie::Sheets, Factor::ONE), Ok(Shadow::Sheet));
        let none = packing(Lie::Strands, Mass::ZERO, Volume::from_mm3(100.0)).unwrap();
        let clear = none.shadow(Lie::Strands, Factor::ONE).unwrap();
        assert!((clear.light_share(Length::from_mm(3.0)) - 1.0).abs() < 1e-15);
    }

    #[test]
    fn what_cannot_be_gets_a_sentence() {
        let said = packing(Lie::Strands, Mass::from_mg(200.0), Volume::from_mm3(100.0)).unwrap_err();
        assert_eq!(
            said.to_string(),
            "200 mg of it takes 153 mm³, but the layer holds 100 mm³; take less, or a thicker layer"
        );
        let none = packing(Lie::Grains, Mass::from_mg(1.0), Volume::from_mm3(0.0));
        assert_eq!(none, Err(PackingError::NoLayer));
        assert_eq!(
            packing(Lie::Grains, Mass::from_mg(1.0), Volume::from_mm3(f64::NAN)),
            Err(PackingError::NoLayer)
        );
        let below = Mass::from_mg(-1.0);
        assert_eq!(packing(Lie::Grains, below, Volume::from_mm3(1.0)), Err(PackingError::Mass(below)));
    }
}
