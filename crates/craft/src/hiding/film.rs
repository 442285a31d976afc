//! Light in a turbid film: Kubelka and Munk, with Saunderson's face.

/// A film of one mix, from its absorption and scatter times its thickness.
///
/// Kubelka and Munk (1931, Z. tech. Phys. 12:593) in the hyperbolic form of Kubelka (1948, J. Opt. Soc. Am. 38:448).
/// Meant for diffuse light and even films; flakes of pearl that lie flat are beyond it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Film {
    /// What it throws back over a perfectly dark backing, 0–1.
    pub reflectance: f64,
    /// What it lets through, 0–1.
    pub transmittance: f64,
}

impl Film {
    /// A film of K·X = `absorption` and S·X = `scatter`; both plain numbers, 0 or more.
    pub fn new(absorption: f64, scatter: f64) -> Self {
        if scatter <= 0.0 {
            return Self { reflectance: 0.0, transmittance: (-absorption).exp() };
        }
        let ratio = absorption / scatter;
        // b² = a² − 1 written so that nothing cancels where hardly anything is absorbed.
        let (a, b) = (1.0 + ratio, (ratio * (2.0 + ratio)).sqrt());
        let depth = b * scatter;
        // b·coth(bSX) and sinh(bSX)/b, which stay finite as b goes to nothing.
        let (b_coth, sinh_over_b) = if depth < 1e-4 {
            ((1.0 + depth * depth / 3.0) / scatter, scatter * (1.0 + depth * depth / 6.0))
        } else {
            (b / depth.tanh(), depth.sinh() / b)
        };
        Self { reflectance: 1.0 / (a + b_coth), transmittance: 1.0 / (a * sinh_over_b + depth.cosh()) }
    }

    /// What it throws back over a backing of this reflectance: R + T²Rg/(1 − R·Rg).
    pub fn over(self, backing: f64) -> f64 {
        self.reflectance + self.transmittance.powi(2) * backing / (1.0 - self.reflectance * backing)
    }
}

/// What films throw back, the first being the nearest to the eye, over a backing.
pub fn over(films: &[Film], backing: f64) -> f64 {
    films.iter().rev().fold(backing, |below, film| film.over(below))
}

/// What is seen from outside: the face throws back 0.04 of the light that comes in and 0.6 of the diffuse light that
/// would go out. Saunderson (1942, J. Opt. Soc. Am. 32:727); k₁ from Fresnel for n = 1.5, k₂ his usual value.
pub fn through_the_face(reflectance: f64) -> f64 {
    const K1: f64 = 0.04;
    const K2: f64 = 0.6;
    K1 + (1.0 - K1) * (1.0 - K2) * reflectance / (1.0 - K2 * reflectance)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// K, S in 1/mm, X in mm; R over black, over white of 0.8, T: computed independently with numpy from Kubelka's
    /// closed form R = (1 − Rg(a − b·coth bSX))/(a − Rg + b·coth bSX).
    const TABLE: [[f64; 6]; 6] = [
        [0.5, 50.0, 0.05, 0.700962, 0.838301, 0.274599],
        [0.5, 50.0, 0.10, 0.804875, 0.854246, 0.148244],
        [0.5, 50.0, 0.20, 0.855100, 0.864961, 0.062401],
        [2.0, 5.0, 0.5, 0.417621, 0.423710, 0.071187],
        [0.0, 20.0, 0.1, 0.666667, 0.857143, 0.333333],
        [1.0, 0.0, 0.5, 0.0, 0.294304, 0.606531],
    ];

    fn table_holds(film: impl Fn(f64, f64) -> Film) -> bool {
        TABLE.iter().all(|&[k, s, x, black, white, through]| {
            let film = film(k * x, s * x);
            (film.over(0.0) - black).abs() < 6e-7
                && (film.over(0.8) - white).abs() < 6e-7
                && (film.transmittance - through).abs() < 6e-7
        })
    }

    #[test]
    fn films_agree_with_the_closed_form_over_both_backings() {
        assert!(table_holds(Film::new));
        assert!(!table_holds(|k, s| Film::new(s, k)), "broken: K for S");
        assert!(!table_holds(|k, s| Film::new(2.0 * k, s)), "broken: K twice over");
        assert!(
            !table_holds(|k, s| {
                let film = Film::new(k, s);
                Film { transmittance: film.transmittance.powi(2), ..film }
            }),
            "broken: through and back for through"
        );
    }

    #[test]
    fn a_thick_film_no_longer_shows_its_backing() {
        // R∞ = 1 + K/S − √((K/S)² + 2K/S); 0.420204 and 0.868226 (Judd and Wyszecki, Color in Business, Science and
        // Industry, 1975, tabulate K/S = (1 − R∞)²/2R∞).
        for (k, s, infinite) in [(2.0, 5.0, 0.420204), (0.5, 50.0, 0.868226)] {
            for backing in [0.0, 0.9] {
                let seen = Film::new(100.0 * k, 100.0 * s).over(backing);
                assert!((seen - infinite).abs() < 6e-7);
                assert!(((1.0 - seen).powi(2) / (2.0 * seen) - k / s).abs() < 1e-9);
            }
        }
        assert!((Film::new(0.0, 1e-12).over(0.5) - 0.5).abs() < 1e-9, "no film");
        assert!(
            (Film::new(1e-14, 3.0).reflectance - 0.75).abs() < 1e-9,
            "white that absorbs nothing: SX/(1+SX)"
        );
    }

    #[test]
    fn two_films_of_one_mix_are_one_film_and_the_order_of_two_mixes_counts() {
        let half = Film::new(0.5 * 0.05, 50.0 * 0.05);
        let whole = Film::new(0.5 * 0.10, 50.0 * 0.10);
        assert!((over(&[half, half], 0.3) - whole.over(0.3)).abs() < 1e-14);
        let (dark, white) = (Film::new(0.6, 1.5), Film::new(0.04, 4.0));
        // Computed independently with numpy: (2, 5, .3) over (.5, 50, .08) on black, and the other way round.
        assert!((over(&[dark, white], 0.0) - 0.443046).abs() < 6e-7);
        assert!((over(&[white, dark], 0.0) - 0.797306).abs() < 6e-7);
        assert!((over(&[], 0.7) - 0.7).abs() < 1e-15);
    }

    #[test]
    fn the_face_darkens_what_is_light_and_lifts_what_is_dark() {
        assert!((through_the_face(0.8) - 0.630769).abs() < 6e-7);
        assert!((through_the_face(0.0) - 0.04).abs() < 1e-15 && (through_the_face(1.0) - 1.0).abs() < 1e-12);
    }
}
