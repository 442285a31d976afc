//! A wall that cools, with one face closed and the other in a stream: the textbooks' one-term solution.

use super::*;

/// A wall of one material in so many cells, closed at its base, with what the stream takes from its top, W/m²K.
struct Wall {
    material: Material,
    taken_w: f64,
    thick_m: f64,
    cells: u32,
}

impl Wall {
    /// From all of it being `start` K above the stream: the rise of its closed face and of its wetted one after each of
    /// `at_s`, which are whole steps.
    fn cooled(&self, start: f64, step_s: f64, at_s: &[f64]) -> Vec<(f64, f64)> {
        let Self { material, taken_w, thick_m, cells } = *self;
        let mut slab = Slab::new(taken_w, 0.0);
        slab.even(material, thick_m, cells);
        let (mut rise, none) = (vec![start; slab.many()], vec![0.0; slab.many()]);
        let (mut stepper, mut gone_s) = (slab.steps_of(step_s), 0.0);
        // What the stream takes comes through half a cell.
        let half_cell = 0.5 * thick_m / f64::from(cells) * taken_w / material.conductivity;
        let mut seen = Vec::new();
        for &until_s in at_s {
            while gone_s < until_s - 0.5 * step_s {
                stepper.step(&mut rise, &none);
                gone_s += step_s;
            }
            // No heat crosses the closed face: a parabola that is level there, through the two cells next to it.
            let last = rise.len() - 1;
            let closed = (9.0 * rise[last] - rise[last - 1]) / 8.0;
            seen.push((closed, rise[0] / (1.0 + half_cell)));
        }
        seen
    }
}

/// The root of `left(ζ) = biot` between 0 and π/2, by halving.
fn root(biot: f64, left: impl Fn(f64) -> f64) -> f64 {
    let (mut low, mut high) = (1e-9, std::f64::consts::FRAC_PI_2 - 1e-12);
    for _ in 0..100 {
        let middle = 0.5 * (low + high);
        if left(middle) < biot { low = middle } else { high = middle }
    }
    0.5 * (low + high)
}

fn first_root(biot: f64) -> f64 {
    root(biot, |zeta| zeta * zeta.tan())
}

fn coefficient(zeta: f64) -> f64 {
    4.0 * zeta.sin() / (2.0 * zeta + (2.0 * zeta).sin())
}

/// Bi, ζ₁ and C₁ of a plane wall as printed in table 4-2 of a heat-transfer textbook (Çengel, *Heat Transfer*: whose
/// it is from memory); its rows of 0.1, 1 and 10 are those of Incropera, *Fundamentals of Heat and Mass Transfer*,
/// table 5.1.
const TABLE: [[f64; 3]; 24] = [
    [0.01, 0.0998, 1.0017],
    [0.02, 0.1410, 1.0033],
    [0.04, 0.1987, 1.0066],
    [0.06, 0.2425, 1.0098],
    [0.08, 0.2791, 1.0130],
    [0.1, 0.3111, 1.0161],
    [0.2, 0.4328, 1.0311],
    [0.3, 0.5218, 1.0450],
    [0.4, 0.5932, 1.0580],
    [0.5, 0.6533, 1.0701],
    [0.6, 0.7051, 1.0814],
    [0.7, 0.7506, 1.0918],
    [0.8, 0.7910, 1.1016],
    [0.9, 0.8274, 1.1107],
    [1.0, 0.8603, 1.1191],
    [2.0, 1.0769, 1.1785],
    [3.0, 1.1925, 1.2102],
    [4.0, 1.2646, 1.2287],
    [5.0, 1.3138, 1.2403],
    [6.0, 1.3496, 1.2479],
    [7.0, 1.3766, 1.2532],
    [8.0, 1.3978, 1.2570],
    [9.0, 1.4149, 1.2598],
    [10.0, 1.4289, 1.2620],
];

/// The rows that `wall` does not meet to their rounding: half of the last digit, 5·10⁻⁵, and 10⁻⁵ for the steps.
fn missed(wall: impl Fn(f64) -> (f64, f64)) -> Vec<f64> {
    let off = |&&[biot, zeta, c1]: &&[f64; 3]| {
        let (got_zeta, got_c1) = wall(biot);
        (got_zeta - zeta).abs() > 6e-5 || (got_c1 - c1).abs() > 6e-5
    };
    TABLE.iter().filter(off).map(|row| row[0]).collect()
}

#[test]
fn the_roots_of_a_wall_are_those_of_the_table() {
    let of = |zeta: f64| (zeta, coefficient(zeta));
    assert_eq!(missed(|biot| of(first_root(biot))), Vec::<f64>::new());
    let by_cot = missed(|biot| of(root(biot, |zeta| zeta / zeta.tan())));
    assert_eq!(by_cot.len(), TABLE.len(), "broken: cot for tan");
    let of_both_halves = missed(|biot| of(first_root(2.0 * biot)));
    assert_eq!(of_both_halves.len(), TABLE.len(), "broken: the whole thickness for half of it");
    // Without end: cooled as hard as can be, the root is π/2 and C₁ is 4/π; hardly at all, ζ² is the Biot number.
    assert!((first_root(1e12) - std::f64::consts::FRAC_PI_2).abs() < 1e-9);
    assert!((coefficient(first_root(1e12)) - 4.0 / std::f64::consts::PI).abs() < 1e-9);
    assert!((first_root(1e-9).powi(2) / 1e-9 - 1.0).abs() < 1e-6);
}

/// ζ₁ and C₁ as the solver has them: how fast the closed face cools between Fo = 1 and 1.5, and what that leaves for
/// the beginning.
fn by_the_solver(biot: f64) -> (f64, f64) {
    let metal = Material { conductivity: 1.0, heat_capacity: 1e6 };
    let wall = Wall { material: metal, taken_w: biot / 0.01, thick_m: 0.01, cells: 200 };
    // A Fourier number of 1 is 100 s; by then the second term is below 1e-7 of the first.
    let seen = wall.cooled(1.0, 0.25, &[100.0, 150.0]);
    let zeta_sq = (seen[0].0 / seen[1].0).ln() / 0.5;
    (zeta_sq.sqrt(), seen[0].0 * zeta_sq.exp())
}

#[test]
fn the_solver_cools_a_wall_by_every_row_of_the_table() {
    assert_eq!(missed(by_the_solver), Vec::<f64>::new());
    assert_eq!(missed(|biot| by_the_solver(2.0 * biot)).len(), TABLE.len(), "broken: the whole thickness");
}

/// Incropera, *Fundamentals of Heat and Mass Transfer*, example 5.4: a wall 40 mm thick at −20 °C, closed outside,
/// meets a stream of 60 °C inside; 63.9 W/mK, 18.8·10⁻⁶ m²/s, 500 W/m²K, after 480 s. The book prints 42.9 °C and
/// −7362 W/m², which come of a root rounded to 0.531; unrounded it is 0.531885, and these are the figures (computed
/// independently with scipy): the closed face, the wetted one, °C, and what flows through it, W/m².
const WALL: [f64; 3] = [43.0175, 45.3635, -7318.2];
const STREAM_C: f64 = 60.0;
const TAKEN_W: f64 = 500.0;

fn one_term(zeta: f64, c1: f64) -> [f64; 3] {
    let fourier = 18.8e-6 * 480.0 / (0.04 * 0.04);
    let closed_k = -80.0 * c1 * (-zeta * zeta * fourier).exp();
    wall_of(closed_k, closed_k * zeta.cos())
}

fn wall_of(closed_k: f64, wetted_k: f64) -> [f64; 3] {
    [STREAM_C + closed_k, STREAM_C + wetted_k, TAKEN_W * wetted_k]
}

fn is_the_wall([closed, wetted, flow]: [f64; 3]) -> bool {
    let off = [(closed - WALL[0]).abs(), (wetted - WALL[1]).abs(), (flow - WALL[2]).abs() / TAKEN_W];
    off.into_iter().all(|kelvin| kelvin < 3e-4)
}

#[test]
fn the_solver_meets_the_textbooks_wall_and_not_the_books_rounded_root() {
    let steel = Material { conductivity: 63.9, heat_capacity: 63.9 / 18.8e-6 };
    let by_steps = |taken_w: f64, thick_m: f64| {
        let wall = Wall { material: steel, taken_w, thick_m, cells: 200 };
        let (closed_k, wetted_k) = wall.cooled(-80.0, 0.25, &[480.0])[0];
        wall_of(closed_k, wetted_k)
    };
    assert!(is_the_wall(by_steps(TAKEN_W, 0.04)), "{:?}", by_steps(TAKEN_W, 0.04));
    assert!(!is_the_wall(by_steps(0.5 * TAKEN_W, 0.04)), "broken: half of what the stream takes");
    assert!(!is_the_wall(by_steps(TAKEN_W, 0.02)), "broken: a wall that is cooled from both sides");
    // Second method: the series, of which one term is left after so long.
    let zeta = first_root(TAKEN_W * 0.04 / 63.9);
    assert!((zeta - 0.531_885).abs() < 6e-7, "{zeta}");
    assert!(is_the_wall(one_term(zeta, coefficient(zeta))));
    // The broken variant is the book's own rounding, and it gives what the book prints.
    let rounded = one_term(0.531, 1.047);
    assert!(!is_the_wall(rounded), "broken: the root rounded to three digits");
    assert!((rounded[0] - 42.9).abs() < 0.05 && (rounded[2] + 7362.0).abs() < 3.0, "{rounded:?}");
}

/// A slab of resin of 6 mm, cooled on both sides at 10 W/m²K from 60 °C in a room of 20 °C: seconds, and the middle
/// and the face, °C (computed independently by the series of many terms; the same of pychemengg 0.1a11 at 60 s).
const RESIN_SLAB: [[f64; 3]; 5] = [
    [30.0, 58.7796, 56.0923],
    [60.0, 56.7724, 54.1792],
    [120.0, 53.0228, 50.6930],
    [300.0, 43.9150, 42.2278],
    [600.0, 33.9668, 32.9815],
];

#[test]
fn a_slab_of_resin_cools_as_the_whole_series_says() {
    let resin = Material { conductivity: 0.2, heat_capacity: 1180.0 * 1500.0 };
    let worst = |taken_w: f64| {
        let wall = Wall { material: resin, taken_w, thick_m: 0.003, cells: 100 };
        let seen = wall.cooled(40.0, 0.1, &RESIN_SLAB.map(|row| row[0]));
        let off = |(row, seen): (&[f64; 3], &(f64, f64))| {
            (20.0 + seen.0 - row[1]).abs().max((20.0 + seen.1 - row[2]).abs())
        };
        RESIN_SLAB.iter().zip(&seen).map(off).fold(0.0, f64::max)
    };
    assert!(worst(10.0) < 1e-3, "{}", worst(10.0));
    assert!(worst(20.0) > 1.0, "broken: both faces' loss on the one");
    // Lumped, the whole slab at one temperature, it would be 57.80 °C after 30 s: a degree and more off at either
    // place.
    let lumped = 20.0 + 40.0 * f64::exp(-10.0 * 30.0 / (1180.0 * 1500.0 * 0.003));
    assert!((lumped - 57.80).abs() < 5e-3 && (lumped - RESIN_SLAB[0][1]).abs() > 0.9, "broken: lumped");
}
