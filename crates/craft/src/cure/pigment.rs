//! Classes of pigment and a mix of one of them.

use serde::{Deserialize, Serialize};

use super::{Factor, Provenance};
use crate::units::{Length, Load};

/// What kind of pigment it is. Each class carries typical values, cautious guesses tuned to common practice
/// (no source) until the maker tests their own.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum PigmentClass {
    /// None at all.
    Clear,
    /// A transparent dye; tints, and is not to be relied on to hide.
    Dye,
    /// Pearl or mica; glitter is counted with them, for its flakes too hide by how they lie.
    Pearl,
    /// Opaque white.
    White,
    /// An opaque colour, often mixed with white.
    Colour,
    /// An opaque dark colour.
    Dark,
    /// Black.
    Black,
}

/// The typical row of a class: numbers per mm are per per cent of load.
struct Row {
    absorption: f64,
    absorption_doubt: f64,
    km_absorption: f64,
    km_scatter: f64,
    ceiling: f64,
    hiding: f64,
    range: (f64, f64),
    step: f64,
}

impl PigmentClass {
    /// Every class, from clear to black.
    pub const ALL: [PigmentClass; 7] =
        [Self::Clear, Self::Dye, Self::Pearl, Self::White, Self::Colour, Self::Dark, Self::Black];

    const fn row(self) -> Row {
        // The hiding needs are for a colour difference of 2 between metal and a dark gap behind the stone.
        let (light, km, ceiling, hiding, range, step) = match self {
            Self::Clear => ((0.0, 0.0), (0.0, 0.0), 0.0, 0.0, (0.0, 0.0), 0.05),
            Self::Dye => ((1.5, 0.6), (1.0, 0.0), 2.0, 1.81, (0.05, 2.0), 0.05),
            Self::Pearl => ((1.0, 0.35), (0.05, 1.5), 5.0, 3.19, (0.2, 5.0), 0.1),
            Self::White => ((5.0, 0.35), (0.05, 5.0), 3.0, 1.36, (0.2, 1.2), 0.05),
            Self::Colour => ((4.0, 0.35), (1.5, 1.5), 2.0, 0.68, (0.1, 2.0), 0.05),
            Self::Dark => ((6.0, 0.35), (4.0, 0.5), 1.5, 0.40, (0.1, 1.5), 0.05),
            Self::Black => ((8.0, 0.35), (8.0, 0.1), 1.0, 0.22, (0.02, 1.0), 0.02),
        };
        Row {
            absorption: light.0,
            absorption_doubt: light.1,
            km_absorption: km.0,
            km_scatter: km.1,
            ceiling,
            hiding,
            range,
            step,
        }
    }

    /// Typical standard uncertainty of the natural logarithm of the absorption within the class.
    pub fn absorption_doubt(self) -> Factor {
        Factor::known(self.row().absorption_doubt)
    }

    /// Whether the class can hide metal on its own; a clear layer and a dye cannot.
    pub fn hides(self) -> bool {
        !matches!(self, Self::Clear | Self::Dye)
    }

    /// Whether how it hides and looks is only an estimate: flakes of pearl and glitter do it by how they lie.
    pub fn is_estimate(self) -> bool {
        matches!(self, Self::Pearl)
    }
}

/// One mix by value: the resin with one pigment, planned at loads between `least` and `most`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Mix {
    /// What kind of pigment.
    pub class: PigmentClass,
    /// α: what it takes of the lamp's light, per mm per per cent, base e.
    pub absorption: Factor,
    /// K of Kubelka and Munk, diffuse, per mm per per cent: about twice a collimated absorption, and never
    /// to be taken for α.
    pub km_absorption: Factor,
    /// S of Kubelka and Munk, per mm per per cent.
    pub km_scatter: Factor,
    /// More than this spoils the resin.
    pub ceiling: Load,
    /// H: what hides the metal, per cent times mm, summed over the colour layers.
    pub hiding: Factor,
    /// The lowest load to plan with.
    pub least: Load,
    /// The highest load to plan with: for scatterers the law only holds near where it was measured.
    pub most: Load,
    /// Loads are planned in steps of this.
    pub step: Load,
    /// The thinnest colour layer to plan.
    pub thinnest: Length,
    /// The thickest colour layer to plan.
    pub thickest: Length,
    /// Where the values came from that were typed. What it takes of the light and what it hides with are found in two
    /// different ways: see [`Mix::absorption_from`], and [`crate::shelf::Pigment::hiding_from`].
    pub provenance: Provenance,
}

impl Mix {
    /// Where α came from: what the maker says of the values, but only where it is not the class's own guess. A hiding need
    /// that was tested, and typed beside it, is no test of light.
    pub fn absorption_from(&self) -> Provenance {
        match self.provenance {
            Provenance::Tested(_) if self.absorption == Self::typical(self.class).absorption => {
                Provenance::Typical
            }
            said => said,
        }
    }

    /// Where H came from, as far as the mix by itself says: the class's own is a guess, and any other is the maker's.
    pub fn hiding_from(&self) -> Provenance {
        match self.provenance {
            _ if self.hiding == Self::typical(self.class).hiding => Provenance::Typical,
            Provenance::Typical => Provenance::Practised,
            said => said,
        }
    }

    /// The typical mix of a class, a cautious guess.
    pub fn typical(class: PigmentClass) -> Self {
        let row = class.row();
        Self {
            class,
            absorption: Factor::known(row.absorption),
            km_absorption: Factor::known(row.km_absorption),
            km_scatter: Factor::known(row.km_scatter),
            ceiling: Load::from_percent(row.ceiling),
            hiding: Factor::known(row.hiding),
            least: Load::from_percent(row.range.0),
            most: Load::from_percent(row.range.1),
            step: Load::from_percent(row.step),
            thinnest: Length::from_micro(300_000),
            thickest: Length::from_micro(1_000_000),
            provenance: Provenance::Typical,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_class_is_planned_within_its_ceiling_and_on_its_own_steps() {
        for class in PigmentClass::ALL {
            let mix = Mix::typical(class);
            assert!(mix.least <= mix.most && mix.most <= mix.ceiling, "{class:?}");
            assert_eq!(mix.least.micro() % mix.step.micro(), 0, "{class:?}");
            assert_eq!(mix.most.micro() % mix.step.micro(), 0, "{class:?}");
            assert_eq!(class.hides(), mix.km_scatter > Factor::ZERO, "{class:?}");
            let text = ron::to_string(&mix).unwrap();
            assert_eq!(ron::from_str::<Mix>(&text).unwrap(), mix);
        }
    }

    #[test]
    fn a_mix_with_a_field_nobody_knows_is_refused() {
        let text = ron::to_string(&Mix::typical(PigmentClass::White)).unwrap();
        let broken = text.replacen("(class", "(sparkle:1,class", 1);
        assert!(ron::from_str::<Mix>(&broken).is_err());
    }
}
