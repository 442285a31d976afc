//! How much of what goes into which pot.
//!
//! A colour layer is 20 to 50 mg of resin and holds a few tenths of a milligram of pigment, which no bench scale can
//! tell. So colour is mixed by the pot for a whole order, and pigment is taken from a masterbatch: a mix of ten per cent
//! that is weighed once. Without a scale it is scoops to drops, with its large doubt said.

use crate::compare::Scale;
use crate::cure::Factor;
use crate::density::Density;
use crate::shelf::Swatch;
use crate::units::{Load, Mass, Share, Volume};

/// Why nothing can be dosed; says what would be right.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum DosingError {
    /// A layer of nothing, or of less.
    #[error("a layer needs some resin; give its mass, or the volume of its place in the mould")]
    NoResin,
    /// A load no pot can have.
    #[error("a mix of {load} cannot be; give 0 % for clear and at most the {strength} of the masterbatch")]
    Load {
        /// What was asked.
        load: Load,
        /// What the masterbatch has.
        strength: Load,
    },
    /// A swatch that says nothing.
    #[error("a swatch needs at least one scoop, one drop and a load; look at the swatch book")]
    Swatch,
}

/// Resin for one layer of one stone.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Pour {
    /// Pigment in it; none for clear.
    pub load: Load,
    /// How much of the mix.
    pub mass: Mass,
}

impl Pour {
    /// A layer of this volume, of a resin of this density.
    ///
    /// # Errors
    /// A volume that is not a number above nothing.
    pub fn of(load: Load, volume: Volume, density: Density) -> Result<Self, DosingError> {
        let mass = Mass::try_from(density.g_per_cm3() * volume.mm3()).unwrap_or(Mass::ZERO);
        if mass.is_positive() { Ok(Self { load, mass }) } else { Err(DosingError::NoResin) }
    }
}

/// How the maker mixes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Mixing {
    /// Less than this is not mixed well.
    pub least_pot: Mass,
    /// What stays in the cup and on the stick, beyond what goes into the moulds.
    pub spare: Share,
    /// The masterbatch.
    pub strength: Load,
}

impl Mixing {
    /// Pots of 2 g or more with a third to spare, and a masterbatch of 10 % (common practice, no source).
    pub const USUAL: Mixing = Mixing {
        least_pot: Mass::from_micro(2_000_000_000),
        spare: Share::from_millionths(333_333),
        strength: Load::from_micro(10_000_000),
    };
}

/// One pot of colour for the whole order.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Pot {
    /// Its load.
    pub load: Load,
    /// What goes into the moulds.
    pub poured: Mass,
    /// What is mixed.
    pub mixed: Mass,
    /// Masterbatch in it.
    pub masterbatch: Mass,
    /// Clear resin to it.
    pub clear: Mass,
    /// The pigment that is in it, were it weighed by itself.
    pub pigment: Mass,
    /// What is left once all is poured.
    pub left_over: Mass,
}

/// What is mixed for an order.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Dosing {
    /// Pigment in the masterbatch; nothing where no colour is wanted.
    pub batch_pigment: Mass,
    /// Resin in the masterbatch.
    pub batch_resin: Mass,
    /// Masterbatch that is left once the pots are mixed.
    pub batch_left: Mass,
    /// The pots, the palest first.
    pub pots: Vec<Pot>,
    /// Clear resin for clear layers.
    pub clear: Mass,
    /// Resin out of the bottle, all together.
    pub resin: Mass,
    strength: Load,
}

fn times(mass: Mass, part: f64) -> Mass {
    Mass::from_mg(mass.mg() * part)
}

/// What to mix for all layers of an order: one pot for each load, and one masterbatch for all pots. Masses add up to the
/// nanogram.
///
/// # Errors
/// A layer of nothing, or a load below nothing or above that of the masterbatch.
pub fn dose(pours: &[Pour], mixing: &Mixing) -> Result<Dosing, DosingError> {
    let mut loads: Vec<Load> = Vec::new();
    for pour in pours {
        if !pour.mass.is_positive() {
            return Err(DosingError::NoResin);
        }
        if pour.load < Load::ZERO || pour.load > mixing.strength {
            return Err(DosingError::Load { load: pour.load, strength: mixing.strength });
        }
        loads.push(pour.load);
    }
    loads.sort();
    loads.dedup();
    let with_spare = 1.0 + mixing.spare.fraction();
    let of_load = |load: Load| -> Mass { pours.iter().filter(|p| p.load == load).map(|p| p.mass).sum() };
    let pot = |load: Load| {
        let poured = of_load(load);
        let mixed = times(poured, with_spare).max(mixing.least_pot);
        let masterbatch = times(mixed, load.percent() / mixing.strength.percent());
        Pot {
            load,
            poured,
            mixed,
            masterbatch,
            clear: mixed - masterbatch,
            pigment: times(mixed, load.percent() / 100.0),
            left_over: mixed - poured,
        }
    };
    let pots: Vec<Pot> = loads.iter().copied().filter(|load| load.is_positive()).map(pot).collect();
    let taken: Mass = pots.iter().map(|pot| pot.masterbatch).sum();
    let batch = if pots.is_empty() { Mass::ZERO } else { times(taken, with_spare).max(mixing.least_pot) };
    let batch_pigment = times(batch, mixing.strength.percent() / 100.0);
    let clear = times(of_load(Load::ZERO), with_spare);
    let in_pots: Mass = pots.iter().map(|pot| pot.clear).sum();
    Ok(Dosing {
        batch_pigment,
        batch_resin: batch - batch_pigment,
        batch_left: batch - taken,
        pots,
        clear,
        resin: batch - batch_pigment + in_pots + clear,
        strength: mixing.strength,
    })
}

impl Dosing {
    /// Standard uncertainty of the logarithm of a pot's load with this scale, by masterbatch: its own weighing, that of
    /// the clear resin and that of the masterbatch, each net (JCGM 100:2008, 5.1.2 on `c = s·m/(m + r)`).
    ///
    /// # Errors
    /// A doubt that is beyond saying: nothing can be weighed so.
    pub fn doubt(&self, pot: &Pot, scale: &Scale) -> Result<Factor, crate::cure::CureError> {
        let net_mg = scale.net_doubt().mg();
        let (batch_mg, clear_mg) = (pot.masterbatch.mg(), pot.clear.mg());
        let whole_mg = batch_mg + clear_mg;
        let own = net_mg * (clear_mg / (batch_mg * whole_mg)).hypot(1.0 / whole_mg);
        let batch = net_mg / self.batch_pigment.mg() * (1.0 - self.strength.percent() / 100.0);
        Factor::new(own.hypot(batch))
    }

    /// The same with the pigment weighed by itself.
    ///
    /// # Errors
    /// A doubt that is beyond saying: nothing can be weighed so.
    pub fn doubt_neat(pot: &Pot, scale: &Scale) -> Result<Factor, crate::cure::CureError> {
        Factor::new(scale.net_doubt().mg() / pot.pigment.mg())
    }
}

/// A scoop of one pigment against a drop of resin.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Scoop {
    /// The load of one scoop to one drop, as if it could be mixed so.
    to_a_drop: Load,
}

/// Scoops to drops.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Counted {
    /// Scoops of pigment.
    pub scoops: u16,
    /// Drops of resin.
    pub drops: u16,
    /// The load that this gives.
    pub load: Load,
}

/// A drop of resin (common practice, no source). It weighs little more than water, so it is about as many mm³.
pub const DROP: Mass = Mass::from_micro(30_000_000);

impl Scoop {
    /// What counting instead of weighing leaves in doubt of a load, as a standard uncertainty of its logarithm (common
    /// practice, no source).
    pub const DOUBT: Factor = Factor::known(0.4);
    /// A micro-scoop of 10 mg to a drop of 30 mg, levelled off (common practice, no source).
    pub const TYPICAL: Scoop = Scoop { to_a_drop: Load::from_micro(33_333_333) };

    /// From a mix of the swatch book whose load is known.
    ///
    /// # Errors
    /// No scoop, no drop, or no load.
    pub fn from_swatch(swatch: &Swatch, load: Load) -> Result<Self, DosingError> {
        if swatch.scoops == 0 || swatch.drops == 0 || !load.is_positive() {
            return Err(DosingError::Swatch);
        }
        let to_a_drop = load.percent() * f64::from(swatch.drops) / f64::from(swatch.scoops);
        Ok(Self { to_a_drop: Load::from_percent(to_a_drop) })
    }

    /// Whole scoops to whole drops that come nearest to `wanted` with at least `drops` and at most three times as many;
    /// of equally near ones that with the fewest drops. `None` where even one scoop to all of these is twice too much:
    /// then thin it with a masterbatch first.
    pub fn count(&self, wanted: Load, drops: u16) -> Option<Counted> {
        let least = drops.max(1);
        let each = |drops: u16| {
            let exact = wanted.percent() * f64::from(drops) / self.to_a_drop.percent();
            #[expect(
                clippy::cast_possible_truncation,
                clippy::cast_sign_loss,
                reason = "a float beyond the range becomes its end, which is what is meant"
            )]
            let scoops = exact.round().max(1.0) as u16;
            let load = Load::from_percent(self.to_a_drop.percent() * f64::from(scoops) / f64::from(drops));
            (Counted { scoops, drops, load }, (load.percent() / wanted.percent()).ln().abs())
        };
        let counted = (least..=least.saturating_mul(3)).map(each);
        let (best, off) = counted.min_by(|a, b| a.1.total_cmp(&b.1))?;
        (off < std::f64::consts::LN_2).then_some(best)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::text::Line;

    fn order() -> Vec<Pour> {
        let pour =
            |percent: f64, mg: f64| Pour { load: Load::from_percent(percent), mass: Mass::from_mg(mg) };
        vec![pour(0.3, 30.0), pour(0.0, 90.0), pour(0.8, 25.0), pour(0.3, 32.0), pour(0.0, 40.0)]
    }

    const CENTIGRAM: Scale = Scale { readability: Mass::from_micro(10_000_000), repeatability: Mass::ZERO };

    #[test]
    fn an_order_is_mixed_in_one_pot_a_load_and_nothing_is_lost() {
        let dosing = dose(&order(), &Mixing::USUAL).unwrap();
        let loads: Vec<f64> = dosing.pots.iter().map(|pot| pot.load.percent()).collect();
        assert_eq!(loads, [0.3, 0.8]);
        for pot in &dosing.pots {
            assert_eq!(pot.mixed, Mass::from_mg(2000.0), "the least that mixes well");
            assert_eq!(pot.masterbatch + pot.clear, pot.mixed);
            assert_eq!(pot.poured + pot.left_over, pot.mixed);
            // The pigment is a tenth of the masterbatch.
            assert!((pot.masterbatch.mg() / 10.0 - pot.pigment.mg()).abs() < 1e-5);
        }
        assert_eq!(dosing.pots[0].masterbatch, Mass::from_mg(60.0));
        assert_eq!(dosing.pots[1].poured, Mass::from_mg(25.0));
        let pots: Mass = dosing.pots.iter().map(|pot| pot.mixed).sum();
        let everything = dosing.batch_left + pots + dosing.clear;
        assert_eq!(dosing.resin + dosing.batch_pigment, everything);
        let clear = dose(&order()[1..2], &Mixing::USUAL).unwrap();
        assert_eq!((clear.pots.len(), clear.batch_pigment), (0, Mass::ZERO));
    }

    #[test]
    fn a_centigram_scale_can_tell_a_masterbatch_and_not_the_pigment() {
        // Two roundings alone are d/√6 = 4.08 mg (JCGM 100:2008, F.2.2.1): 68 % of the 6 mg of pigment in 2 g at 0.3 %,
        // and 6.8 % of the 60 mg of masterbatch. The repeatability of 0.41 d comes on top: 5.79 mg, worked by hand.
        let dosing = dose(&order(), &Mixing::USUAL).unwrap();
        let pot = dosing.pots[0];
        let rounding_mg = 10.0 / 6.0_f64.sqrt();
        assert!((rounding_mg / pot.pigment.mg() - 0.680).abs() < 1e-3);
        let net_mg = (rounding_mg.powi(2) + 4.1_f64.powi(2)).sqrt();
        let neat = Dosing::doubt_neat(&pot, &CENTIGRAM).unwrap().get();
        assert!((neat - net_mg / 6.0).abs() < 1e-6, "{neat}");
        let batch = dosing.doubt(&pot, &CENTIGRAM).unwrap().get();
        // Second method: the load by differences of each weighing.
        let load = |m: f64, r: f64, p: f64, b: f64| (p / b) * m / (m + r);
        let (m, r) = (pot.masterbatch.mg(), pot.clear.mg());
        let (p, b) = (dosing.batch_pigment.mg(), dosing.batch_resin.mg() + dosing.batch_pigment.mg());
        let here = load(m, r, p, b).ln();
        let parts = [
            load(m + 0.01, r, p, b).ln() - here,
            load(m, r + 0.01, p, b).ln() - here,
            load(m, r, p + 0.01, b + 0.01).ln() - here,
        ];
        let by_differences = parts.iter().map(|part| (part / 0.01 * net_mg).powi(2)).sum::<f64>().sqrt();
        assert!((batch / by_differences - 1.0).abs() < 1e-3, "{batch} against {by_differences}");
        assert!(neat > 8.0 * batch, "the broken variant, pigment for masterbatch, is far off");
    }

    #[test]
    fn what_cannot_be_mixed_is_refused_in_words() {
        let none = Pour { load: Load::ZERO, mass: Mass::ZERO };
        assert_eq!(dose(&[none], &Mixing::USUAL), Err(DosingError::NoResin));
        let strong = Pour { load: Load::from_percent(12.0), mass: Mass::from_mg(30.0) };
        assert!(
            dose(&[strong], &Mixing::USUAL).unwrap_err().to_string().starts_with("a mix of 12 % cannot be")
        );
        let resin = Density::from_kg_per_m3(1_100);
        assert_eq!(Pour::of(Load::ZERO, Volume::from_mm3(f64::NAN), resin), Err(DosingError::NoResin));
        assert_eq!(Pour::of(Load::ZERO, Volume::from_mm3(20.0), resin).unwrap().mass, Mass::from_mg(22.0));
    }

    fn swatch(scoops: u16, drops: u16) -> Swatch {
        Swatch { scoops, drops, photo: None, came_out: Line::default(), load: None }
    }

    #[test]
    fn scoops_to_drops_come_near_the_load_and_follow_the_swatch_book() {
        let scoop = Scoop::from_swatch(&swatch(2, 40), Load::from_percent(0.5)).unwrap();
        let same = scoop.count(Load::from_percent(0.5), 20).unwrap();
        assert_eq!((same.scoops, same.drops, same.load), (1, 20, Load::from_percent(0.5)));
        let stronger = scoop.count(Load::from_percent(0.8), 20).unwrap();
        assert!((stronger.load.percent() / 0.8 - 1.0).abs() < 0.02, "{stronger:?}");
        assert!((20..=60).contains(&stronger.drops));
        assert_eq!(
            Scoop::TYPICAL.count(Load::from_percent(0.05), 20),
            None,
            "not even one scoop is so little"
        );
        assert_eq!(Scoop::from_swatch(&swatch(0, 3), Load::from_percent(1.0)), Err(DosingError::Swatch));
        assert_eq!(Scoop::from_swatch(&swatch(1, 3), Load::ZERO), Err(DosingError::Swatch));
    }
}
