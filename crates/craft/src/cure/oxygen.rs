//! Oxygen at the face: silicone lets it through, and it keeps a thin film soft where there is little light.

use super::{Light, Mix, Resin};
use crate::units::{Length, Load};

/// How fast oxygen moves through liquid resin, mm²/s: 1e-10 m²/s (from memory).
const MOVES_MM2_S: f64 = 1e-4;
/// The nominal light at the face, as a multiple of what first sets it, from which the face is hard (common practice,
/// no source).
pub const FACE_HARD: f64 = 5.0;

/// The face under one layer in a silicone mould.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Face {
    /// The light there, nominal, as a multiple of what first sets it.
    pub ratio: f64,
    /// About how thick the film is that oxygen keeps from setting meanwhile: √(2·D·t), with t the seconds until the
    /// resin first sets there.
    pub film: Length,
}

impl Face {
    /// True where the face may come out tacky, and wants light from its own side once it is out of the mould.
    pub fn may_be_tacky(&self) -> bool {
        self.ratio < FACE_HARD
    }
}

/// The face below a first layer of this thickness and load, with `light_share` of the lamp's light on its surface.
///
/// Oxygen has the longer to come in, the longer setting takes, and that grows with the light's loss on its way down.
pub fn face(
    resin: &Resin,
    mix: &Mix,
    (thickness, load): (Length, Load),
    light: &Light,
    light_share: f64,
) -> Face {
    let takes_per_mm = 1.0 / resin.penetration().mm() + mix.absorption.get() * load.percent();
    let left = light_share.clamp(0.0, 1.0) * (-takes_per_mm * thickness.mm()).exp();
    let sets_s = light.first_set().s() / left.max(1e-12);
    let film_mm = (2.0 * MOVES_MM2_S * sets_s).sqrt().min(thickness.mm());
    Face { ratio: light.dose_ratio() * left, film: Length::from_mm(film_mm) }
}

#[cfg(test)]
mod tests {
    use super::super::{Button, PigmentClass, Provenance};
    use super::*;
    use crate::units::Span;

    fn light(first_set_s: f64) -> Light {
        let button = Button::new("low heat", Span::from_s(99.0), Span::from_s(60.0)).unwrap();
        Light::new(button, Span::from_s(first_set_s), Provenance::Typical).unwrap()
    }

    fn clear(thickness_mm: f64, first_set_s: f64) -> Face {
        let mix = Mix::typical(PigmentClass::Clear);
        face(&Resin::TYPICAL, &mix, (Length::from_mm(thickness_mm), Load::ZERO), &light(first_set_s), 1.0)
    }

    /// 10 mJ/cm² at 10, 1.35 and 0.5 mW/cm² take 1, 7.4 and 20 s: 14, 38 and 63 µm. Computed independently with numpy.
    const FILMS: [(f64, f64); 3] = [(1.0, 14.142), (10.0 / 1.35, 38.490), (20.0, 63.246)];

    #[test]
    fn the_film_grows_with_the_root_of_the_seconds() {
        for (seconds, micrometres) in FILMS {
            // A millimetre and a first setting chosen so that the resin at its foot sets after these seconds.
            let face = clear(1.0, seconds / 1.0_f64.exp());
            assert!((1000.0 * face.film.mm() - micrometres).abs() < 2e-3, "{face:?}");
            let without_the_two = 1000.0 * (MOVES_MM2_S * seconds).sqrt();
            assert!((without_the_two - micrometres).abs() > 1.0, "broken: the factor of two");
        }
    }

    #[test]
    fn two_millimetres_under_low_heat_have_enough_light_and_three_may_be_tacky() {
        // 69 s · e^−2 = 9.3 and 69 s · e^−3 = 3.4 times first setting.
        assert!((clear(2.0, 1.0).ratio - 69.0 * (-2.0_f64).exp()).abs() < 1e-9);
        assert!(!clear(2.0, 1.0).may_be_tacky() && clear(3.0, 1.0).may_be_tacky());
    }

    #[test]
    fn no_light_leaves_the_whole_layer_to_the_oxygen() {
        let mix = Mix::typical(PigmentClass::Clear);
        let dark = face(&Resin::TYPICAL, &mix, (Length::from_mm(1.0), Load::ZERO), &light(1.0), 0.0);
        assert_eq!(dark.film, Length::from_mm(1.0));
        assert!(dark.may_be_tacky() && dark.ratio.abs() < 1e-15);
        assert!(clear(1e-6, 1.0).film <= Length::from_mm(1e-6), "no thicker than the layer");
    }
}
