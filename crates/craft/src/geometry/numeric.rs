//! The small numerical tools the shapes need: ellipse perimeters and smooth integrals.

use std::f64::consts::PI;

/// The finest tolerance that means anything in double precision for sizes up to 100 mm.
const FLOOR: f64 = 1e-13;
/// The arithmetic-geometric mean doubles its digits each round, so this is never reached in earnest.
const AGM_ROUNDS: u32 = 40;
/// Halvings of the step in [`integral`]; a bound, not a target.
const HALVINGS: u32 = 16;

/// Gauss's rule of five points on 0–1: places and weights (Abramowitz and Stegun 1964, table 25.4, n = 5).
pub(crate) const GAUSS: [(f64, f64); 5] = [
    (0.046_910_077_030_668_004, 0.118_463_442_528_094_54),
    (0.230_765_344_947_158_45, 0.239_314_335_249_683_23),
    (0.5, 0.284_444_444_444_444_44),
    (0.769_234_655_052_841_5, 0.239_314_335_249_683_23),
    (0.953_089_922_969_332, 0.118_463_442_528_094_54),
];

/// The integral of `f` by Gauss's rule of five points: exact for polynomials up to the ninth power.
pub(crate) fn gauss(from: f64, to: f64, f: impl Fn(f64) -> f64) -> f64 {
    let width = to - from;
    GAUSS.iter().map(|(place, weight)| weight * width * f(from + place * width)).sum()
}

/// The perimeter in mm of an ellipse with semi-axes `a_mm` and `b_mm` (any order), to `tolerance_mm`.
///
/// P = 4a·E(m) with m = 1 − (b/a)², and E by the arithmetic-geometric mean: Abramowitz and Stegun (1964),
/// 17.6.1–17.6.4. A semi-axis of zero gives the segment walked there and back, 4a.
pub(crate) fn ellipse_perimeter_mm(a_mm: f64, b_mm: f64, tolerance_mm: f64) -> f64 {
    let (major_mm, minor_mm) = (a_mm.abs().max(b_mm.abs()), a_mm.abs().min(b_mm.abs()));
    if minor_mm == 0.0 {
        return 4.0 * major_mm;
    }
    let tolerance_mm = tolerance_mm.max(FLOOR * major_mm);
    let (mut mean, mut geometric) = (major_mm, minor_mm);
    let mut weight = 0.5;
    let mut sum = weight * (major_mm * major_mm - minor_mm * minor_mm);
    for _ in 0..AGM_ROUNDS {
        let gap = 0.5 * (mean - geometric);
        (mean, geometric) = (0.5 * (mean + geometric), (mean * geometric).sqrt());
        weight *= 2.0;
        let term = weight * gap * gap;
        sum += term;
        // The next term is quadratically smaller, so this one bounds what is left out, in perimeter.
        if 2.0 * PI * term / mean <= tolerance_mm {
            break;
        }
    }
    2.0 * PI * (major_mm * major_mm - sum) / mean
}

/// The integral of a smooth `f` from `from` to `to`, to about `tolerance`.
///
/// Simpson's rule with the step halved until the estimate of its error (a fifteenth of the last change) is below
/// the tolerance. Meant for functions that are smooth up to both ends.
pub(crate) fn integral(f: impl Fn(f64) -> f64, from: f64, to: f64, tolerance: f64) -> f64 {
    let width = to - from;
    let ends = f(from) + f(to);
    let mut trapezium = 0.5 * width * (ends + 2.0 * f(from + 0.5 * width)) / 2.0;
    let mut simpson = (4.0 * trapezium - 0.5 * width * ends) / 3.0;
    let mut panels: u32 = 2;
    for _ in 0..HALVINGS {
        let step = width / f64::from(panels);
        let middles: f64 = (0..panels).map(|i| f(from + (f64::from(i) + 0.5) * step)).sum();
        let finer = 0.5 * (trapezium + step * middles);
        let next = (4.0 * finer - trapezium) / 3.0;
        let change = (next - simpson).abs();
        (trapezium, simpson) = (finer, next);
        panels *= 2;
        // The first rounds can agree by luck, so at least sixteen panels are always looked at.
        if panels >= 16 && change <= 15.0 * tolerance.max(FLOOR * next.abs()) {
            break;
        }
    }
    simpson
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_circle_and_a_segment_are_the_limits_of_the_ellipse() {
        assert!((ellipse_perimeter_mm(5.0, 5.0, 1e-12) - 10.0 * PI).abs() < 1e-12);
        assert!((ellipse_perimeter_mm(5.0, 0.0, 1e-12) - 20.0).abs() < 1e-12);
        assert!((ellipse_perimeter_mm(5.0, 1e-9, 1e-12) - 20.0).abs() < 1e-9);
        assert_eq!(
            ellipse_perimeter_mm(3.0, 7.0, 1e-9).to_bits(),
            ellipse_perimeter_mm(7.0, 3.0, 1e-9).to_bits()
        );
    }

    #[test]
    fn the_mean_agrees_with_walking_round_the_ellipse_by_quadrature() {
        for (a, b) in [(9.0, 6.5), (20.0, 5.0), (50.0, 0.25), (1.0, 0.9)] {
            let speed = |t: f64| ((a * t.sin()).powi(2) + (b * t.cos()).powi(2)).sqrt();
            let walked = 4.0 * integral(speed, 0.0, PI / 2.0, 1e-11);
            assert!((ellipse_perimeter_mm(a, b, 1e-12) - walked).abs() < 1e-9, "{a} × {b}");
        }
    }

    #[test]
    fn five_points_are_exact_for_the_ninth_power_and_no_further() {
        let off = |power: i32| {
            (gauss(1.0, 3.0, |x| x.powi(power)) * f64::from(power + 1) / (3.0_f64.powi(power + 1) - 1.0)
                - 1.0)
                .abs()
        };
        assert!((0..=9).all(|power| off(power) < 1e-14));
        assert!(off(10) > 1e-9);
    }

    #[test]
    fn a_coarse_tolerance_is_kept() {
        let exact = ellipse_perimeter_mm(20.0, 5.0, 0.0);
        for tolerance in [1.0, 0.1, 1e-3, 1e-6] {
            assert!((ellipse_perimeter_mm(20.0, 5.0, tolerance) - exact).abs() <= tolerance);
        }
    }

    #[test]
    fn an_integral_meets_its_tolerance() {
        assert!((integral(f64::exp, 0.0, 1.0, 1e-12) - (1f64.exp() - 1.0)).abs() < 1e-12);
        assert!((integral(f64::sin, 0.0, PI, 1e-12) - 2.0).abs() < 1e-11);
        assert!(integral(f64::cos, 1.0, 1.0, 1e-12).abs() < 1e-15);
    }
}
