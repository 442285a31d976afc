//! Oxygen at the face: silicone lets it through, and it keeps a thin film soft where there is little light.

use super::{Cure, Light};
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

/// The face below a first layer of this thickness and load under so many presses of `light`, with `light_share` of it on
/// the layer's surface.
///
/// Oxygen has the longer to come in, the longer setting takes, and that grows with the light's loss on its way down.
pub fn face(
    cure: &Cure,
    (thickness, load): (Length, Load),
    (light, presses): (&Light, u8),
    light_share: f64,
) -> Face {
    let left = light_share.clamp(0.0, 1.0) * (-cure.takes_per_mm(load) * thickness.mm()).exp();
    let sets_s = light.first_set().s() / left.max(1e-12);
    let film_mm = (2.0 * MOVES_MM2_S * sets_s).sqrt().min(thickness.mm());
    Face { ratio: light.dose_ratio() * f64::from(presses) * left, film: Length::from_mm(film_mm) }
}

#[cfg(test)]
mod tests {
    use super::super::{Button, Factor, PigmentClass, Provenance};
    use super::*;
    use crate::units::Span;

    fn light(first_set_s: f64) -> Light {
        let button = Button::new("low heat", Span::from_s(99.0), Span::from_s(60.0)).unwrap();
        Light::new(button, Span::from_s(first_set_s), Provenance::Typical).unwrap()
    }

    fn clear(thickness_mm: f64, first_set_s: f64) -> Face {
        let layer = (Length::from_mm(thickness_mm), Load::ZERO);
        face(&Cure::typical(PigmentClass::Clear), layer, (&light(first_set_s), 1), 1.0)
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

    /// The film for a resin that sets there after so many seconds, µm.
    fn film_um(seconds: f64) -> f64 {
        1000.0 * clear(1.0, seconds / 1.0_f64.exp()).film.mm()
    }

    /// Oxygen that comes in from a face where there is always as much of it, worked out in small steps (Fick's second
    /// law, explicit): the share of the face's that has come as deep as `depth_um` after `seconds`.
    fn come_in(depth_um: f64, seconds: f64) -> f64 {
        let (cell_um, moves_um2_s) = (1.0_f64, MOVES_MM2_S * 1e6);
        let step_s = 0.25 * cell_um * cell_um / moves_um2_s;
        let mut share = vec![0.0_f64; 160];
        share[0] = 1.0;
        let mut gone_s = 0.0;
        while gone_s < seconds - 0.5 * step_s {
            let inside = share.windows(3).map(|near| near[1] + 0.25 * (near[0] - 2.0 * near[1] + near[2]));
            let inside: Vec<f64> = inside.collect();
            share[1..=inside.len()].copy_from_slice(&inside);
            gone_s += step_s;
        }
        let cell = (0..share.len()).rfind(|i| *i as f64 * cell_um <= depth_um).unwrap();
        let part = depth_um / cell_um - cell as f64;
        share[cell] + part * (share[cell + 1] - share[cell])
    }

    #[test]
    fn to_the_foot_of_the_film_comes_what_lies_outside_one_deviation() {
        // Second method. Outside one standard deviation lie 31.73 % (standard normal table), and √(2·D·t) is that
        // deviation.
        for seconds in [1.0, 3.0, 6.0] {
            let come = come_in(film_um(seconds), seconds);
            assert!((come - 0.3173).abs() < 1e-3, "{seconds}: {come}");
            let broken = come_in(film_um(seconds) * 2.0_f64.sqrt(), seconds);
            assert!((broken - 0.3173).abs() > 0.1, "broken: the factor of two twice: {broken}");
        }
        // The limit: no time, no film.
        assert!(film_um(1e-3) < 0.5);
    }

    #[test]
    fn a_grain_in_water_wanders_as_far_as_einstein_says() {
        // Einstein (1905, Ann. Phys. 17:549, from memory): a grain 0.001 mm across in water of 17 °C wanders 0.8 µm in
        // a second and about 6 µm in a minute, with D = RT/(6πNηr), N = 6·10²³ a mole, η = 0.0135 g/cm s.
        let moves_cm2_s = 8.31e7 * 290.15 / (6e23 * 6.0 * std::f64::consts::PI * 0.0135 * 0.5e-4);
        let of_a_grain = (moves_cm2_s * 100.0 / MOVES_MM2_S).sqrt();
        assert!((film_um(1.0) * of_a_grain - 0.8).abs() < 0.05, "{}", film_um(1.0) * of_a_grain);
        assert!((film_um(60.0) * of_a_grain - 6.0).abs() < 0.5, "{}", film_um(60.0) * of_a_grain);
        let without_the_two = film_um(1.0) * of_a_grain / 2.0_f64.sqrt();
        assert!((without_the_two - 0.8).abs() > 0.05, "broken: the factor of two");
    }

    #[test]
    fn two_millimetres_under_low_heat_have_enough_light_and_three_may_be_tacky() {
        // 69 s · e^−2 = 9.3 and 69 s · e^−3 = 3.4 times first setting.
        assert!((clear(2.0, 1.0).ratio - 69.0 * (-2.0_f64).exp()).abs() < 1e-9);
        assert!(!clear(2.0, 1.0).may_be_tacky() && clear(3.0, 1.0).may_be_tacky());
    }

    #[test]
    fn each_press_grows_anew_and_coloured_resin_takes_what_its_own_tests_say() {
        let mut cure = Cure::typical(PigmentClass::White);
        let layer = (Length::from_mm(2.0), Load::ZERO);
        // Twice 69 s · e^−2: 18.7; one press of 198 s that grows once would give 168 s · e^−2 = 22.7.
        let twice = face(&cure, layer, (&light(1.0), 2), 1.0).ratio;
        assert!((twice - 138.0 * (-2.0_f64).exp()).abs() < 1e-9, "{twice}");
        assert!((twice - 168.0 * (-2.0_f64).exp()).abs() > 3.0, "broken: it grows once for both");
        let coloured = (Length::from_mm(0.5), Load::from_percent(0.4));
        let usual = face(&cure, coloured, (&light(1.0), 1), 1.0).ratio;
        cure.own = Some(Factor::new(2.5).unwrap());
        let own = face(&cure, coloured, (&light(1.0), 1), 1.0).ratio;
        // 2.5 instead of 1 a millimetre besides the pigment: e^(−0.75) of it is left.
        assert!((own / usual - (-0.75_f64).exp()).abs() < 1e-9);
    }

    #[test]
    fn no_light_leaves_the_whole_layer_to_the_oxygen() {
        let layer = (Length::from_mm(1.0), Load::ZERO);
        let dark = face(&Cure::typical(PigmentClass::Clear), layer, (&light(1.0), 1), 0.0);
        assert_eq!(dark.film, Length::from_mm(1.0));
        assert!(dark.may_be_tacky() && dark.ratio.abs() < 1e-15);
        assert!(clear(1e-6, 1.0).film <= Length::from_mm(1e-6), "no thicker than the layer");
    }
}
