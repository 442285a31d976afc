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

    /// From a disc of radius `one` to a coaxial one of radius `other` at this distance (Siegel and Howell, *Thermal
    /// Radiation Heat Transfer*, 4th edition, p. 845; the same in Incropera, table 13.2).
    fn between_discs(one: f64, other: f64, apart: f64) -> f64 {
        let (one_sq, other_sq) = ((one / apart).powi(2), (other / apart).powi(2));
        let sum = 1.0 + (1.0 + other_sq) / one_sq;
        0.5 * (sum - (sum * sum - 4.0 * other_sq / one_sq).sqrt())
    }

    #[test]
    fn a_deep_well_sees_what_a_small_disc_sees_of_a_large_one() {
        // 0.1339 for radii of 0.1 and 0.2 m at 0.5 m is the printed example of that formula.
        assert!((between_discs(0.1, 0.2, 0.5) - 0.1339).abs() < 5e-5);
        let well_holds = |share: &dyn Fn(f64, f64) -> f64| {
            [(1.5, 5.0), (4.0, 2.0), (4.0, 4.0), (3.0, 8.0)].into_iter().all(|(b_mm, z_mm)| {
                // A disc so small that it is a point, and no smaller: the formula takes one large number from another.
                (share(b_mm, z_mm) - between_discs(1e-2, b_mm, z_mm)).abs() < 1e-5
            })
        };
        let by_program = |b_mm: f64, z_mm: f64| {
            let well = Well { half_width: Length::from_mm(b_mm), diffuse: Factor::ONE };
            well.light_share(Length::from_mm(z_mm))
        };
        assert!(well_holds(&by_program));
        assert!(!well_holds(&|b, z| by_program(2.0 * b, z)), "broken: width for half width");
        assert!(!well_holds(&|b, z| b / b.hypot(z)), "broken: the root of it");
        assert!(!well_holds(&|b, z| 1.0 - z / b.hypot(z)), "broken: the sky's share without the cosine");
        // 1.5 mm wide to each side and 5 mm deep: 0.08; 4 and 2 mm: 0.80 (computed independently).
        assert!((by_program(1.5, 5.0) - 0.08).abs() < 5e-3 && (by_program(4.0, 2.0) - 0.80).abs() < 1e-12);
    }

    /// Whether strands and grains take of the light what their bodies say: a body of any convex shape throws on
    /// average a shadow of a quarter of its surface (Cauchy 1841; from memory), and so takes φ·(surface over volume)/4
    /// for each mm.
    fn shadows_of_bodies_hold(strands: impl Fn(f64, f64) -> f64, grains: impl Fn(f64, f64) -> f64) -> bool {
        [(0.01, 0.05), (0.05, 0.07), (0.05, 0.3), (0.1, 1.0)].into_iter().all(|(filled, d_mm)| {
            // A ball has 6/d of surface to its volume, a long strand 4/d. Of strands that point anywhere the mean sine
            // to the light is π/4, and those that lie across it have all of it.
            let (balls, strands_anywhere) = (filled * 6.0 / d_mm / 4.0, filled * 4.0 / d_mm / 4.0);
            let across = strands_anywhere / (PI / 4.0);
            (strands(filled, d_mm) / across - 1.0).abs() < 1e-9
                && (grains(filled, d_mm) / balls - 1.0).abs() < 1e-9
        })
    }

    #[test]
    fn grains_and_strands_throw_the_shadows_of_their_bodies() {
        let (share, mm) = (Share::WHOLE, Length::from_mm);
        let per_mm = |shade: Result<MaterialShade, CureError>| shade.unwrap().per_mm.get();
        let strands =
            |filled: f64, d_mm: f64| filled * per_mm(MaterialShade::strands(share, mm(d_mm), Factor::ONE));
        let grains =
            |filled: f64, d_mm: f64| filled * per_mm(MaterialShade::grains(share, mm(d_mm), Factor::ONE));
        assert!(shadows_of_bodies_hold(strands, grains));
        assert!(
            !shadows_of_bodies_hold(strands, |f, d| grains(f, 2.0 * d)),
            "broken: grains by their radius"
        );
        assert!(!shadows_of_bodies_hold(strands, |f, d| f / d), "broken: grains as cubes that lie flat");
        assert!(!shadows_of_bodies_hold(grains, grains), "broken: grains for strands");
        assert!(!shadows_of_bodies_hold(|f, d| strands(f, d) * PI / 4.0, grains), "broken: strands anyhow");
        // Each part of the share shades for itself, and white ones three tenths of dark ones.
        let tenth = per_mm(MaterialShade::grains(Share::of(1, 10), mm(0.3), Factor::ONE));
        assert!((tenth - grains(0.1, 0.3)).abs() < 1e-12);
        let white = per_mm(MaterialShade::grains(Share::of(1, 10), mm(0.3), Factor::known(0.3)));
        assert!((white / tenth - 0.3).abs() < 1e-12);
    }

    #[test]
    fn rays_among_scattered_grains_come_through_as_often_as_the_shadow_says() {
        // Second method: 12 by 12 mm of a layer 1 mm thick, a twentieth of it grains 0.3 mm across, wherever they
        // fall; the share of 3,000 rays that meet none. What is left over at the edges comes in at the other side.
        let (side_mm, d_mm, many) = (12.0_f64, 0.3_f64, 509_u64);
        let filled = many as f64 * PI * d_mm.powi(3) / 6.0 / (side_mm * side_mm);
        assert!((filled - 0.05).abs() < 5e-5, "{filled}");
        let draws = crate::chance::Draws::new(7);
        let at = |kind: u64, which: u64| {
            (side_mm * draws.even(kind, 2 * which), side_mm * draws.even(kind, 2 * which + 1))
        };
        let grains: Vec<(f64, f64)> = (0..many).map(|i| at(1, i)).collect();
        let apart = |a: f64, b: f64| (a - b).abs().min(side_mm - (a - b).abs());
        let through = (0..3_000_u64).map(|i| at(2, i)).filter(|ray| {
            grains.iter().all(|grain| apart(ray.0, grain.0).hypot(apart(ray.1, grain.1)) > 0.5 * d_mm)
        });
        let share = through.count() as f64 / 3_000.0;
        let said = Shadow::Scattered(MaterialShade::GRAINS).light_share(Length::from_mm(1.0));
        // 0.78 of 3,000 rays, and where 500 grains happen to lie: a hundredth and a half.
        assert!((share - said).abs() < 0.03, "{share} for {said}");
        let as_radius = Shadow::Scattered(MaterialShade::typical(0.5 * MaterialShade::GRAINS.per_mm.get()));
        assert!((share - as_radius.light_share(Length::from_mm(1.0))).abs() > 0.05, "broken: by the radius");
    }

    #[test]
    fn a_shadow_is_a_power_of_e_and_a_sheet_none_at_all() {
        // 1/e, 1/e² and 1/e³: Abramowitz and Stegun, *Handbook of Mathematical Functions*, table 4.4 (from memory).
        let strands = Shadow::Scattered(MaterialShade::STRANDS);
        let one_depth_mm = 1.0 / MaterialShade::STRANDS.per_mm.get();
        let holds = |share: &dyn Fn(f64) -> f64| {
            [(1.0, 0.367_879_4), (2.0, 0.135_335_3), (3.0, 0.049_787_1)]
                .into_iter()
                .all(|(depths, left)| (share(depths * one_depth_mm) - left).abs() < 2e-6)
        };
        let of = |shadow: Shadow| move |mm: f64| shadow.light_share(Length::from_mm(mm));
        assert!(holds(&of(strands)));
        assert!(!holds(&|mm| 10.0_f64.powf(-mm / one_depth_mm)), "broken: powers of ten");
        assert!(!holds(&|mm| (1.0 - mm / one_depth_mm).max(0.0)), "broken: a straight line");
        assert!(!holds(&of(Shadow::None)) && !holds(&of(Shadow::Sheet)), "broken: no strands, or a sheet");
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
