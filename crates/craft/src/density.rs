//! How heavy a material is for its size, and the mass that follows from a volume.

use std::fmt;
use std::str::FromStr;

use crate::units::{Mass, Volume};
use crate::written::written_as_text;

/// Why a text is not a density; says what would be right.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum DensityError {
    /// The text is not a decimal number followed by the unit.
    #[error("\"{text}\" is not a density; write a number and the unit, such as \"1.1 g/cm³\"")]
    Unreadable {
        /// What was read.
        text: String,
    },
    /// The number lies outside what any material at a bench has.
    #[error(
        "a density of {text} cannot be right; resins lie near 1.1 g/cm³, silver near 10.4, gold up to 19.3"
    )]
    OutOfRange {
        /// What was read.
        text: String,
    },
}

/// A density, stored to a millionth and written in g/cm³ (the same number as mg/mm³). Valid from 0.01 to 25.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Density {
    /// Since 1 g/cm³ is 1 mg/mm³, the mass of one cubic millimetre holds the number exactly.
    of_one_mm3: Mass,
}

impl Density {
    /// The unit as it is written.
    pub const UNIT: &'static str = "g/cm³";

    /// From whole thousandths of a g/cm³ (kg/m³), for tables written in the source; taken as it is.
    pub const fn from_kg_per_m3(thousandths: i64) -> Self {
        Self { of_one_mm3: Mass::from_micro(thousandths * 1000) }
    }

    /// From a number of g/cm³.
    ///
    /// # Errors
    /// Refuses what is not a number or lies outside 0.01–25 g/cm³.
    pub fn from_g_per_cm3(value: f64) -> Result<Self, DensityError> {
        if !(0.01..=25.0).contains(&value) {
            return Err(DensityError::OutOfRange { text: format!("{value} {}", Self::UNIT) });
        }
        Ok(Self { of_one_mm3: Mass::from_mg(value) })
    }

    /// The number of g/cm³.
    pub fn g_per_cm3(self) -> f64 {
        self.of_one_mm3.mg()
    }

    /// The mass of `volume` of it. The volume must be finite, as those of a checked cavity are.
    #[must_use]
    pub fn mass_of(self, volume: Volume) -> Mass {
        Mass::from_mg(self.g_per_cm3() * volume.mm3())
    }
}

impl fmt::Display for Density {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let text = self.of_one_mm3.to_string();
        write!(f, "{} {}", text.trim_end_matches(Mass::UNIT).trim_end(), Self::UNIT)
    }
}

impl fmt::Debug for Density {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(self, f)
    }
}

impl FromStr for Density {
    type Err = DensityError;

    fn from_str(text: &str) -> Result<Self, DensityError> {
        let unreadable = || DensityError::Unreadable { text: text.to_owned() };
        let number = text.strip_suffix(Self::UNIT).ok_or_else(unreadable)?.trim_end();
        let Ok(mass) = format!("{number} {}", Mass::UNIT).parse::<Mass>() else {
            return Err(unreadable());
        };
        Self::from_g_per_cm3(mass.mg())
    }
}

written_as_text!(Density);

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_density_survives_its_text_and_gives_mass_in_milligrams() {
        let sterling: Density = "10.36 g/cm³".parse().unwrap();
        assert_eq!(sterling.to_string(), "10.36 g/cm³");
        assert_eq!(sterling, Density::from_kg_per_m3(10_360));
        // One cubic centimetre weighs as many grams as the density says.
        assert_eq!(sterling.mass_of(Volume::from_mm3(1000.0)), Mass::from_mg(10_360.0));
        assert_eq!(sterling.mass_of(Volume::from_mm3(0.0)), Mass::ZERO);
        assert_eq!(ron::from_str::<Density>(&ron::to_string(&sterling).unwrap()).unwrap(), sterling);
    }

    #[test]
    fn a_density_no_material_has_is_refused() {
        assert!(Density::from_g_per_cm3(0.0).is_err());
        assert!(Density::from_g_per_cm3(-1.1).is_err());
        assert!(Density::from_g_per_cm3(f64::NAN).is_err());
        assert!("1100 g/cm³".parse::<Density>().is_err());
        let sentence = "1.1".parse::<Density>().unwrap_err().to_string();
        assert_eq!(sentence, "\"1.1\" is not a density; write a number and the unit, such as \"1.1 g/cm³\"");
    }
}
