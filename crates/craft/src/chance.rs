//! The distributions that doubts are reckoned with, and numbers that only look like chance.
//!
//! Nothing here is random: a draw is a fixed function of a seed and two counters, so a simulated share is the
//! same on every computer and every day.

use std::f64::consts::{FRAC_1_SQRT_2, TAU};

/// The chance that a standard normal deviate lies below `z`.
///
/// Source: Abramowitz & Stegun, *Handbook of Mathematical Functions* (1964), 26.2.29, by the complementary error
/// function, which keeps its digits far out in the tail.
pub(crate) fn normal_below(z: f64) -> f64 {
    0.5 * libm::erfc(-z * FRAC_1_SQRT_2)
}

/// The deviate below which a standard normal lies with the chance `p`, for `p` above 0 and below 1.
pub(crate) fn normal_quantile(p: f64) -> f64 {
    // Halving 16 wide 60 times leaves 1e-17; beyond 8 deviations there is nothing a bench could tell.
    halved(-8.0, 8.0, |z| normal_below(z) < p)
}

/// The chance that Student's t with `freedom` degrees of freedom lies below `t`.
///
/// Source: Abramowitz & Stegun (1964), 26.7.1, by the incomplete beta function 26.5.
pub(crate) fn student_below(t: f64, freedom: f64) -> f64 {
    let tail = 0.5 * beta_share(freedom / (freedom + t * t), 0.5 * freedom, 0.5);
    if t > 0.0 { 1.0 - tail } else { tail }
}

/// The value below which Student's t with `freedom` degrees of freedom lies with the chance `p`, from 0.0005 to
/// 0.9995. Above a million degrees it is the normal quantile to six digits, and that is given.
pub(crate) fn student_quantile(p: f64, freedom: f64) -> f64 {
    if freedom > 1e6 {
        return normal_quantile(p);
    }
    halved(-1000.0, 1000.0, |t| student_below(t, freedom) < p)
}

/// Where `below` stops being true, between two ends.
fn halved(mut low: f64, mut high: f64, below: impl Fn(f64) -> bool) -> f64 {
    for _ in 0..64 {
        let middle = 0.5 * (low + high);
        if below(middle) { low = middle } else { high = middle }
    }
    0.5 * (low + high)
}

/// The regularised incomplete beta function `I_x(a, b)`.
///
/// Source: NIST Digital Library of Mathematical Functions, 8.17.22 (continued fraction), evaluated from its end.
/// It converges fast for `x < (a + 1) / (a + b + 2)`, in a number of terms that grows as the root of the larger
/// argument; elsewhere the symmetry 8.17.4 is used.
fn beta_share(x: f64, a: f64, b: f64) -> f64 {
    if x <= 0.0 || x >= 1.0 {
        return x.clamp(0.0, 1.0);
    }
    if x > (a + 1.0) / (a + b + 2.0) {
        return 1.0 - beta_share(1.0 - x, b, a);
    }
    let log_front = libm::lgamma(a + b) - libm::lgamma(a) - libm::lgamma(b) + a * x.ln() + b * (-x).ln_1p();
    // For the arguments of Student's t this leaves less than 1e-14 up to a million degrees of freedom.
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a small whole number above nothing"
    )]
    let terms = (60.0 + 8.0 * a.max(b).sqrt()) as u32;
    let mut fraction = 1.0;
    for i in (1..=terms).rev() {
        let m = f64::from(i / 2);
        let step = if i % 2 == 0 {
            m * (b - m) * x / ((a + 2.0 * m - 1.0) * (a + 2.0 * m))
        } else {
            -(a + m) * (a + b + m) * x / ((a + 2.0 * m) * (a + 2.0 * m + 1.0))
        };
        fraction = 1.0 + step / fraction;
    }
    log_front.exp() / (a * fraction)
}

/// Numbers that only look like chance, for one seed.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Draws {
    seed: u64,
}

impl Draws {
    pub(crate) const fn new(seed: u64) -> Self {
        Self { seed }
    }

    /// Draw `which` of `trial`, evenly between 0 and 1 and never either.
    ///
    /// Source: the mixing function of Steele, Lea & Flood, "Fast splittable pseudorandom number generators" (OOPSLA
    /// 2014), used on a counter, which needs no state.
    pub(crate) fn even(self, trial: u64, which: u64) -> f64 {
        let mixed = mixed(mixed(self.seed.wrapping_add(mixed(trial))).wrapping_add(which));
        // 53 bits fill a double; half a step keeps it off 0 and 1.
        ((mixed >> 11) as f64 + 0.5) / (1_u64 << 53) as f64
    }

    /// Draw `which` of `trial` as a standard normal deviate (Box & Muller, *Ann. Math. Stat.* 29:610, 1958).
    pub(crate) fn normal(self, trial: u64, which: u64) -> f64 {
        let (length, turn) = (self.even(trial, 2 * which), self.even(trial, 2 * which + 1));
        (-2.0 * length.ln()).sqrt() * (TAU * turn).cos()
    }
}

const fn mixed(counter: u64) -> u64 {
    let mut z = counter.wrapping_add(0x9E37_79B9_7F4A_7C15);
    z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
    z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
    z ^ (z >> 31)
}

/// How many trials a test makes: what the environment says for a long run, or the usual few.
#[cfg(test)]
#[expect(
    clippy::disallowed_methods,
    reason = "a long run is asked for from outside; the crate itself reads nothing"
)]
pub(crate) fn trials(name: &str, usual: u32) -> u32 {
    std::env::var(name).ok().and_then(|text| text.parse().ok()).unwrap_or(usual)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_normal_and_students_t_are_those_of_the_tables() {
        // Abramowitz & Stegun (1964), table 26.1 and 26.2.23: 1.959964 at 0.975; table 26.10: t(0.975) = 12.706,
        // 3.182, 2.228 at 1, 3 and 10 degrees. The long values were computed independently with scipy 1.17.1.
        assert!((normal_quantile(0.975) - 1.959963984540054).abs() < 1e-12);
        assert!((normal_below(-5.0) / 2.866515718791939e-7 - 1.0).abs() < 1e-12);
        for (freedom, t) in [(1.0, 12.706204736174694), (3.0, 3.182446305283709), (10.0, 2.2281388519862744)]
        {
            assert!((student_quantile(0.975, freedom) - t).abs() < 1e-9, "{freedom}");
            assert!((student_quantile(0.025, freedom) + t).abs() < 1e-9, "{freedom}");
        }
        // Welch and Satterthwaite give broken degrees: t(0.98, 4.5), computed independently with scipy 1.17.1.
        assert!((student_quantile(0.98, 4.5) - 2.860076882142052).abs() < 1e-8);
    }

    #[test]
    fn students_t_of_many_degrees_is_normal_and_of_one_the_arctangent() {
        assert!((student_quantile(0.98, 1e9) - normal_quantile(0.98)).abs() < 1e-12);
        assert!((student_quantile(0.98, 9e5) - normal_quantile(0.98)).abs() < 1e-5);
        for t in [-3.0, -0.2, 0.4, 8.0] {
            let cauchy = 0.5 + f64::atan(t) / std::f64::consts::PI;
            assert!((student_below(t, 1.0) - cauchy).abs() < 1e-13, "{t}");
        }
    }

    #[test]
    fn draws_are_even_and_normal_and_the_same_each_time() {
        let draws = Draws::new(7);
        let n = 20_000_u64;
        let mean = (0..n).map(|trial| draws.even(trial, 3)).sum::<f64>() / n as f64;
        // Five standard errors of the mean of n even draws.
        assert!((mean - 0.5).abs() < 5.0 * (1.0 / 12.0 / n as f64).sqrt(), "{mean}");
        let below = (0..n).filter(|trial| draws.normal(*trial, 1) < 1.0).count() as f64 / n as f64;
        let expected = normal_below(1.0);
        assert!((below - expected).abs() < 5.0 * (expected * (1.0 - expected) / n as f64).sqrt(), "{below}");
        let together =
            (0..n).map(|trial| draws.normal(trial, 0) * draws.normal(trial, 1)).sum::<f64>() / n as f64;
        assert!(together.abs() < 5.0 / (n as f64).sqrt(), "{together}");
        assert_eq!(draws.normal(12, 4).to_bits(), Draws::new(7).normal(12, 4).to_bits());
        assert_ne!(draws.even(12, 4).to_bits(), Draws::new(8).even(12, 4).to_bits());
    }
}
