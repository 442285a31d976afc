//! Sheet and wire by gauge, the mass of the metal in a setting, and when that mass asks for a hallmark.

use std::fmt;

use serde::{Deserialize, Serialize};

use crate::density::Density;
use crate::units::{Length, Mass, Volume};

/// An American wire gauge (AWG, Brown & Sharpe): 0000 is −3, 000 is −2, 00 is −1, then 0 to 40. The British Standard
/// Wire Gauge differs, so a thickness is always stored in mm and the gauge is only a name for it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Gauge(i8);

/// Why a gauge or thickness cannot be; says what would be right.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum MetalError {
    /// The text is not a gauge.
    #[error("\"{text}\" is not a gauge; gauges run from 0000 (thick) to 40 (thin), such as \"24\"")]
    UnknownGauge {
        /// What was read.
        text: String,
    },
    /// A thickness beyond the ends of the scale.
    #[error("a thickness of {thickness} is outside the gauges, which run from {thinnest} to {thickest}")]
    ThicknessOutOfRange {
        /// The thickness.
        thickness: Length,
        /// The thickness of gauge 40.
        thinnest: Length,
        /// The thickness of gauge 0000.
        thickest: Length,
    },
}

/// The nearest gauge to a thickness, and what is left over.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct NearestGauge {
    /// The gauge.
    pub gauge: Gauge,
    /// Its thickness.
    pub thickness: Length,
    /// The thickness asked about less that of the gauge.
    pub residual: Length,
}

impl Gauge {
    /// The thickest: 0000.
    pub const THICKEST: Gauge = Gauge(-3);
    /// The thinnest here: 40.
    pub const THINNEST: Gauge = Gauge(40);

    /// Reads "24", "0" or "000".
    ///
    /// # Errors
    /// Anything but 0000–0 and 1–40.
    pub fn parse(text: &str) -> Result<Self, MetalError> {
        let unknown = || MetalError::UnknownGauge { text: text.to_owned() };
        let number: i8 = match text.trim() {
            "0000" => -3,
            "000" => -2,
            "00" => -1,
            digits if digits.len() <= 2 && digits.bytes().all(|b| b.is_ascii_digit()) => {
                let Ok(number) = digits.parse() else { return Err(unknown()) };
                number
            }
            _ => return Err(unknown()),
        };
        if number > Self::THINNEST.0 { Err(unknown()) } else { Ok(Self(number)) }
    }

    /// The thickness: 0.127 mm · 92^((36 − n)/39), which makes 36 exactly 0.005 in and 0000 exactly 0.460 in
    /// (ASTM B258, cited from memory).
    pub fn thickness(self) -> Length {
        Length::from_mm(0.127 * 92_f64.powf((36.0 - f64::from(self.0)) / 39.0))
    }

    /// The gauge whose thickness is nearest.
    ///
    /// # Errors
    /// A thickness beyond 0000 or 40 by more than half the last step.
    pub fn nearest(thickness: Length) -> Result<NearestGauge, MetalError> {
        let (thinnest, thickest) = (Self::THINNEST.thickness(), Self::THICKEST.thickness());
        let nearest = (Self::THICKEST.0..=Self::THINNEST.0)
            .map(|number| {
                let gauge = Gauge(number);
                let own = gauge.thickness();
                NearestGauge { gauge, thickness: own, residual: thickness - own }
            })
            .min_by_key(|near| near.residual.abs());
        // One step is a factor 92^(1/39), about 12 %, so 6 % is half a step at either end.
        let reach = 1.06;
        match nearest {
            Some(near)
                if thickness.mm() <= thickest.mm() * reach && thickness.mm() * reach >= thinnest.mm() =>
            {
                Ok(near)
            }
            _ => Err(MetalError::ThicknessOutOfRange { thickness, thinnest, thickest }),
        }
    }
}

impl fmt::Display for Gauge {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.0 {
            -3 => f.write_str("0000"),
            -2 => f.write_str("000"),
            -1 => f.write_str("00"),
            number => write!(f, "{number}"),
        }
    }
}

/// What a metal counts as before the law.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum MetalFamily {
    /// Silver.
    Silver,
    /// Gold.
    Gold,
    /// Palladium.
    Palladium,
    /// Platinum.
    Platinum,
    /// Anything that is not a precious metal.
    Base,
}

/// A metal of the shelf. All fields are the maker's to change.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Metal {
    /// As the maker calls it.
    pub name: String,
    /// What it counts as.
    pub family: MetalFamily,
    /// Parts of the precious metal in a thousand.
    pub fineness: u16,
    /// Its density.
    pub density: Density,
    /// How far published densities of alloys of this name lie from that, in thousandths of it.
    pub density_spread_permille: u16,
}

/// Usual densities to start from.
///
/// Published figures for alloys of one name differ with the recipe: by about 2 % for sterling, 7 % for 14 ct and 8 % for
/// 9 ct. The middle of the maker's tables is taken; for sterling the ideal mixture 1/ρ = Σw/ρ of 925 silver and 75
/// copper gives 10.36. Common practice; put in the supplier's own figure where it is known.
pub fn usual_metals() -> Vec<Metal> {
    use MetalFamily::{Gold, Silver};
    [
        ("fine silver", Silver, 999, 10_530, 10),
        ("sterling silver", Silver, 925, 10_360, 20),
        ("9 ct yellow gold", Gold, 375, 11_200, 80),
        ("14 ct yellow gold", Gold, 585, 13_400, 70),
        ("14 ct white gold", Gold, 585, 12_610, 70),
        ("14 ct red gold", Gold, 585, 13_260, 70),
        ("18 ct yellow gold", Gold, 750, 15_500, 30),
        ("18 ct white gold", Gold, 750, 14_640, 30),
        ("18 ct red gold", Gold, 750, 15_180, 30),
        ("22 ct yellow gold", Gold, 916, 17_750, 10),
    ]
    .into_iter()
    .map(|(name, family, fineness, kg_per_m3, density_spread_permille)| Metal {
        name: name.to_owned(),
        family,
        fineness,
        density: Density::from_kg_per_m3(kg_per_m3),
        density_spread_permille,
    })
    .collect()
}

impl Metal {
    /// The mass of a volume of this metal, and how far it may be off from the density alone.
    pub fn mass(&self, volume: Volume) -> (Mass, Mass) {
        let mass = self.density.mass_of(volume);
        let spread = Mass::from_mg(mass.mg().abs() * f64::from(self.density_spread_permille) / 1000.0);
        (mass, spread)
    }
}

/// One metal's line in a hallmarking law.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct HallmarkRule {
    /// The metal.
    pub family: MetalFamily,
    /// The least fineness that may be called by the metal's name, in parts of a thousand.
    pub least_fineness: u16,
    /// Articles whose metal weighs less than this are exempt.
    pub exempt_below: Mass,
}

/// The weights of a hallmarking law, as the maker keeps them. **Local law decides**; this is a reminder, not advice.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct HallmarkRules {
    /// Whose law, as the maker calls it.
    pub place: String,
    /// What must stand beside every answer drawn from these rules.
    pub caveat: String,
    /// One line for each metal.
    pub rules: Vec<HallmarkRule>,
}

/// What must stand beside every answer about hallmarks.
pub const LOCAL_LAW_DECIDES: &str = "local law decides";

/// The answer of the rules to an article. Words and the caveat are added where it is shown.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Hallmark {
    /// Surely lighter than the weight from which a hallmark is needed.
    Exempt {
        /// That weight.
        below: Mass,
    },
    /// Surely as heavy as that weight or heavier.
    Needed {
        /// That weight.
        from: Mass,
    },
    /// Too near to that weight for the doubt in the mass: weigh the metal.
    CannotTell {
        /// That weight.
        near: Mass,
    },
    /// Not fine enough to be called by the metal's name at all.
    NotFineEnough {
        /// The least fineness, in parts of a thousand.
        least: u16,
    },
    /// The rules say nothing about this metal.
    NotListed,
}

impl HallmarkRules {
    /// The United Kingdom's: gold 1 g, palladium 1 g, silver 7.78 g, platinum 0.5 g (local authority guidance on
    /// the Hallmarking Act 1973 as amended; the Act as first enacted said 5 g for silver). The least finenesses are
    /// from memory of the amended Act, Schedule 2. Local law decides.
    pub fn uk() -> Self {
        let rule = |family, least_fineness, exempt_below_mg: i64| HallmarkRule {
            family,
            least_fineness,
            exempt_below: Mass::from_micro(exempt_below_mg * 1_000_000),
        };
        Self {
            place: "United Kingdom".to_owned(),
            caveat: LOCAL_LAW_DECIDES.to_owned(),
            rules: vec![
                rule(MetalFamily::Gold, 375, 1000),
                rule(MetalFamily::Palladium, 500, 1000),
                rule(MetalFamily::Silver, 800, 7780),
                rule(MetalFamily::Platinum, 850, 500),
            ],
        }
    }

    /// What the rules say to an article: `metal_mass` is all its metal without stone and resin, give or take `doubt`.
    pub fn judge(&self, metal: &Metal, metal_mass: Mass, doubt: Mass) -> Hallmark {
        let Some(rule) = self.rules.iter().find(|rule| rule.family == metal.family) else {
            return Hallmark::NotListed;
        };
        if metal.fineness < rule.least_fineness {
            return Hallmark::NotFineEnough { least: rule.least_fineness };
        }
        let limit = rule.exempt_below;
        if metal_mass + doubt.abs() < limit {
            Hallmark::Exempt { below: limit }
        } else if metal_mass - doubt.abs() >= limit {
            Hallmark::Needed { from: limit }
        } else {
            Hallmark::CannotTell { near: limit }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn named(name: &str) -> Metal {
        usual_metals().into_iter().find(|metal| metal.name == name).unwrap()
    }

    #[test]
    fn every_gauge_reads_back_and_is_its_own_nearest() {
        let mut last = Length::from_mm(100.0);
        for number in -3..=40 {
            let gauge = Gauge(number);
            assert_eq!(Gauge::parse(&gauge.to_string()), Ok(gauge));
            let near = Gauge::nearest(gauge.thickness()).unwrap();
            assert_eq!((near.gauge, near.residual), (gauge, Length::ZERO));
            assert!(gauge.thickness() < last, "a higher gauge is thinner");
            last = gauge.thickness();
        }
        let near = Gauge::nearest(Length::from_mm(0.4)).unwrap();
        assert_eq!(near.gauge.to_string(), "26");
        assert!((near.residual.mm() + 0.0049).abs() < 1e-4);
    }

    #[test]
    fn what_is_no_gauge_is_refused_in_a_sentence() {
        for text in ["", "41", "00000", "-3", "2.5", "24g", "999"] {
            assert!(Gauge::parse(text).is_err(), "{text}");
        }
        assert_eq!(
            Gauge::parse("41").unwrap_err().to_string(),
            "\"41\" is not a gauge; gauges run from 0000 (thick) to 40 (thin), such as \"24\""
        );
        assert!(Gauge::nearest(Length::ZERO).is_err());
        assert!(Gauge::nearest(Length::from_mm(-0.4)).is_err());
        assert!(Gauge::nearest(Length::from_mm(20.0)).is_err());
    }

    #[test]
    fn a_mass_too_near_the_threshold_cannot_be_told() {
        let (uk, gold) = (HallmarkRules::uk(), named("9 ct yellow gold"));
        let judge = |mg: f64, doubt: f64| uk.judge(&gold, Mass::from_mg(mg), Mass::from_mg(doubt));
        let gram = Mass::from_mg(1000.0);
        assert_eq!(judge(950.0, 40.0), Hallmark::Exempt { below: gram });
        assert_eq!(judge(950.0, 60.0), Hallmark::CannotTell { near: gram });
        assert_eq!(judge(1050.0, 60.0), Hallmark::CannotTell { near: gram });
        assert_eq!(judge(1050.0, 40.0), Hallmark::Needed { from: gram });
        assert_eq!(judge(1000.0, 0.0), Hallmark::Needed { from: gram }, "exempt means less than");
    }

    #[test]
    fn what_the_rules_do_not_know_is_said() {
        let uk = HallmarkRules::uk();
        assert_eq!(uk.caveat, LOCAL_LAW_DECIDES);
        let base = Metal { family: MetalFamily::Base, ..named("fine silver") };
        assert_eq!(uk.judge(&base, Mass::from_mg(9e3), Mass::ZERO), Hallmark::NotListed);
        let poor = Metal { fineness: 333, ..named("9 ct yellow gold") };
        assert_eq!(uk.judge(&poor, Mass::from_mg(9e3), Mass::ZERO), Hallmark::NotFineEnough { least: 375 });
    }

    #[test]
    fn metals_and_rules_survive_a_file() {
        let metals = usual_metals();
        assert_eq!(ron::from_str::<Vec<Metal>>(&ron::to_string(&metals).unwrap()).unwrap(), metals);
        let uk = HallmarkRules::uk();
        assert_eq!(ron::from_str::<HallmarkRules>(&ron::to_string(&uk).unwrap()).unwrap(), uk);
    }

    #[test]
    fn nothing_weighs_nothing() {
        assert_eq!(named("sterling silver").mass(Volume::from_mm3(0.0)), (Mass::ZERO, Mass::ZERO));
    }
}
