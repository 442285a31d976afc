//! What stands in the light: the walls of a deep mould, and the material itself.

use std::f64::consts::PI;

use serde::{Deserialize, Serialize};

use super::{CureError, Factor};
use crate::units::{Length, Share};

/// An opaque mould that shades its own bottom.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Well {
    /// Half the width of the opening at its narrowest.
    pub half_width: Length,
    /// The share of the lamp's light that comes from all sides: 1 for a nail lamp over an opaque mould, 0
    /// where the mould is clear or white.
    pub diffuse: Factor,
}

impl Well {
    /// The share of the light that reaches a surface `below` the rim: `d·b²/(b² + z²) + (1 − d)`, the view
    /// factor from a small surface to a disc above it for the diffuse share (Incropera, *Fundamentals of Heat
    /// and Mass Transfer*, coaxial discs with one vanishingly small).
    pub fn light_share(&self, below: Length) -> f64 {
        let diffuse = self.diffuse.get().min(1.0);
        let (b_mm, z_mm) = (self.half_width.mm(), below.mm().max(0.0));
        let seen = if z_mm > 0.0 { b_mm * b_mm / (b_mm * b_mm + z_mm * z_mm) } else { 1.0 };
        diffuse * seen + (1.0 - diffuse)
    }
}

/// Shade thrown by strands or grains inside a layer, as an absorption of its own.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct MaterialShade {
    /// What the material takes of the light, per mm.
    pub per_mm: Factor,
    /// Standard uncertainty of its natural logarithm.
    pub doubt: Factor,
}

impl MaterialShade {
    /// No material in the layer.
    pub const NONE: MaterialShade = MaterialShade { per_mm: Factor::ZERO, doubt: Factor::ZERO };

    /// Hair, fur or thread as a guess before anything was tested: dark strands 0.07 mm thick that fill a twentieth of
    /// the layer (common practice, no source).
    pub const STRANDS: MaterialShade = Self::typical(4.0 / PI * 0.05 / 0.07);

    /// Ashes, milk or earth as such a guess: dark grains 0.3 mm across that fill a twentieth (common practice, no
    /// source).
    pub const GRAINS: MaterialShade = Self::typical(1.5 * 0.05 / 0.3);

    /// Petals as such a guess, counted as dark grains 0.07 mm across. That is above the φ/t = 0.5 per mm of sheets
    /// t = 0.1 mm thick lying flat, and still no credit for what lies right under one: no light gets there.
    pub const SHEETS: MaterialShade = Self::typical(1.5 * 0.05 / 0.07);

    const fn typical(per_mm: f64) -> Self {
        Self { per_mm: Factor::known(per_mm), doubt: Factor::known(0.5) }
    }

    /// Strands `diameter` thick that fill `filled` of the layer, `darkness` from 0.3 (white) to 1 (dark):
    /// random cylinders lying across the light, `s·4φ/(πd)`, within a factor of about 1.6 (typical).
    ///
    /// # Errors
    /// Refused where the diameter is not above 0.
    pub fn strands(filled: Share, diameter: Length, darkness: Factor) -> Result<Self, CureError> {
        Self::new(4.0 / PI * darkness.get() * filled.fraction() / diameter.mm())
    }

    /// Grains `diameter` across that fill `filled` of the layer: random spheres, `s·1.5·φ/d`.
    ///
    /// # Errors
    /// Refused where the diameter is not above 0.
    pub fn grains(filled: Share, diameter: Length, darkness: Factor) -> Result<Self, CureError> {
        Self::new(1.5 * darkness.get() * filled.fraction() / diameter.mm())
    }

    fn new(per_mm: f64) -> Result<Self, CureError> {
        Ok(Self { per_mm: Factor::new(per_mm)?, doubt: Factor::known(0.5) })
    }
}

/// What lies over a point in the light.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Shadow {
    /// Nothing.
    None,
    /// Strands or grains, which take some of the light.
    Scattered(MaterialShade),
    /// A petal, a leaf or cloth: nothing counts below it, and that side needs light from the face.
    Sheet,
}

impl Shadow {
    /// The share of the light that may be counted on below a thickness of it: e to the −(per mm)·mm, nothing under a
    /// sheet, however thin.
    pub fn light_share(self, thickness: Length) -> f64 {
        match self {
            Shadow::None => 1.0,
            Shadow::Scattered(shade) => (-shade.per_mm.get() * thickness.mm().max(0.0)).exp(),
            Shadow::Sheet => 0.0,
        }
    }

    /// True where light has to come from the face, after the stone is out of its mould.
    pub fn wants_light_from_the_face(self) -> bool {
        self == Shadow::Sheet
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_counts_below_a_sheet_and_strands_let_their_share_through() {
        assert!(Shadow::Sheet.light_share(Length::ZERO).abs() < 1e-15, "however thin");
        assert!(Shadow::Sheet.wants_light_from_the_face() && !Shadow::None.wants_light_from_the_face());
        let strands = Shadow::Scattered(MaterialShade::STRANDS);
        assert!((strands.light_share(Length::ZERO) - 1.0).abs() < 1e-15);
        // A twentieth of dark strands 0.07 mm thick takes 0.909 a mm: 40.3 % are left after one (computed with numpy).
        assert!((strands.light_share(Length::from_mm(1.0)) - 0.402_743).abs() < 1e-6);
        // Second method: ten slices of a tenth.
        let slices = strands.light_share(Length::from_mm(0.1)).powi(10);
        assert!((strands.light_share(Length::from_mm(1.0)) - slices).abs() < 1e-12);
        assert!(Shadow::None.light_share(Length::from_mm(9.0)) > 0.999);
    }

    #[test]
    fn at_the_rim_and_in_a_clear_mould_nothing_is_shaded() {
        let well = Well { half_width: Length::from_mm(4.0), diffuse: Factor::ONE };
        assert!((well.light_share(Length::ZERO) - 1.0).abs() < 1e-15);
        let clear = Well { diffuse: Factor::ZERO, ..well };
        assert!((clear.light_share(Length::from_mm(5.0)) - 1.0).abs() < 1e-15);
    }

    #[test]
    fn the_shade_of_a_well_is_the_light_of_the_open_disc_above_it() {
        // Second method: cosine-weighted sum over rings of the disc, 2·sinθ·cosθ dθ up to its edge.
        let (b_mm, z_mm) = (4.0_f64, 2.0_f64);
        let edge = (b_mm / z_mm).atan();
        let rings = 20_000;
        let step = edge / f64::from(rings);
        let seen: f64 = (0..rings)
            .map(|i| (f64::from(i) + 0.5) * step)
            .map(|angle| 2.0 * angle.sin() * angle.cos() * step)
            .sum();
        let well = Well { half_width: Length::from_mm(b_mm), diffuse: Factor::ONE };
        let share = well.light_share(Length::from_mm(z_mm));
        assert!((share - seen).abs() < 1e-8, "{share} against {seen}");
        let whole_width = Well { half_width: Length::from_mm(2.0 * b_mm), ..well };
        assert!((whole_width.light_share(Length::from_mm(z_mm)) - seen).abs() > 0.1, "width for half width");
    }

    #[test]
    fn strands_and_grains_shade_by_the_area_they_hold_against_the_light() {
        // Second method: count the area. In 1 mm of depth over 100 mm² lie φ·100/(πd²/4·10) strands of 10 mm.
        let (filled, diameter_mm) = (0.05, 0.07);
        let strands = filled * 100.0 / (PI * diameter_mm * diameter_mm / 4.0 * 10.0);
        let covered_per_mm = strands * diameter_mm * 10.0 / 100.0;
        let shade =
            MaterialShade::strands(Share::of(5, 100), Length::from_mm(diameter_mm), Factor::ONE).unwrap();
        assert!((shade.per_mm.get() - covered_per_mm).abs() < 1e-12);
        let grains = 0.10 * 100.0 / (PI * 0.3_f64.powi(3) / 6.0);
        let covered_per_mm = grains * PI * 0.3 * 0.3 / 4.0 / 100.0;
        let shade = MaterialShade::grains(Share::of(1, 10), Length::from_mm(0.3), Factor::ONE).unwrap();
        assert!((shade.per_mm.get() - covered_per_mm).abs() < 1e-12);
        assert!(MaterialShade::grains(Share::of(1, 10), Length::ZERO, Factor::ONE).is_err());
    }

    #[test]
    fn the_guesses_are_dark_strands_and_grains_that_fill_a_twentieth() {
        let filled = Share::of(1, 20);
        let same = |guess: MaterialShade, worked_out: Result<MaterialShade, CureError>| {
            (guess.per_mm.get() - worked_out.unwrap().per_mm.get()).abs() < 1e-12
        };
        let strands = |mm| MaterialShade::strands(filled, Length::from_mm(mm), Factor::ONE);
        let grains = |mm| MaterialShade::grains(filled, Length::from_mm(mm), Factor::ONE);
        assert!(same(MaterialShade::STRANDS, strands(0.07)));
        assert!(!same(MaterialShade::STRANDS, strands(0.035)), "radius for diameter");
        assert!(same(MaterialShade::GRAINS, grains(0.3)) && same(MaterialShade::SHEETS, grains(0.07)));
        let flat_sheets_per_mm = 0.05 / 0.1;
        assert!(MaterialShade::SHEETS.per_mm.get() > flat_sheets_per_mm);
        assert!(
            MaterialShade::GRAINS.per_mm.get() < flat_sheets_per_mm,
            "ordinary grains would be too light"
        );
    }
}
