//! One dimension against two: a stone is a disc that lies in silicone, and heat leaves it sideways as well.
//!
//! The discs are worked out on rings and slices by `tests/reference/heat.py`, which also gives what its own grid finds
//! without silicone at the side.

use super::*;

/// From so wide on the estimate holds to [`WARMER_K`]: the radius of a stone 9 mm across.
const USUAL_RADIUS_MM: f64 = 4.5;
/// By so much is the usual resin's estimate above a disc of that radius, at most.
const WARMER_K: f64 = 8.0;

/// Thickness or radius in mm, the disc's peak and that of the same grid in one dimension, K.
fn discs(case: &str) -> Vec<[f64; 3]> {
    rows(&format!("round {case}"))
}

fn typical(thick_mm: f64, light: &Light, cured_mm: f64) -> f64 {
    let layer =
        Lit { cured_below: Length::from_mm(cured_mm), ..Lit::new(Length::from_mm(thick_mm), 1.0, light) };
    heat(&layer, &Sources::TYPICAL).rise_k.typical
}

fn under_another_lamp(first_set_s: f64) -> Light {
    let button = light(true).button;
    Light::new(button, Span::from_s(first_set_s), crate::cure::Provenance::Typical).unwrap()
}

/// Every layer of the table with the usual resin: its thickness, what is under it, the lamp, and the disc's peak.
fn usual_layers() -> Vec<(f64, f64, Light, f64)> {
    let mut all = Vec::new();
    let mut add = |case: &str, cured_mm: f64, light: &Light| {
        all.extend(discs(case).iter().map(|row| (row[0], cured_mm, light.clone(), row[1])));
    };
    add("low typical", 0.0, &light(true));
    add("full typical", 0.0, &light(false));
    // 10 mJ/cm² sets it first: 4 and 18 mW/cm², the ends of what lamps give.
    add("lamp weak", 0.0, &under_another_lamp(2.5));
    add("lamp strong", 0.0, &under_another_lamp(10.0 / 18.0));
    add("on cured", 2.0, &light(true));
    all
}

/// The layers whose estimate by `of` is below the disc's peak or more than [`WARMER_K`] above it. What two grids
/// differ by is a fifth of a kelvin.
fn out_of_bounds(of: impl Fn(f64, f64, &Light) -> f64) -> Vec<String> {
    let said = |(thick_mm, cured_mm, light, disc_k): &(f64, f64, Light, f64)| {
        let over_k = of(*thick_mm, *cured_mm, light) - disc_k;
        let is_within = (-0.2..=WARMER_K).contains(&over_k);
        (!is_within).then(|| format!("{thick_mm} mm on {cured_mm} mm: {over_k:.2} K"))
    };
    usual_layers().iter().filter_map(said).collect()
}

/// A layer of the usual resin that loses nothing downward.
fn on_an_insulated_base(thick_mm: f64, light: &Light) -> f64 {
    let mut slab = Slab::new(AIR_W, 0.0);
    slab.even(RESIN, thick_mm / 1000.0, RESIN_CELLS);
    warm(&slab, &Lit::new(Length::from_mm(thick_mm), 1.0, light), Sources::TYPICAL.typical).peak_k
}

#[test]
fn one_dimension_is_at_most_eight_kelvin_above_a_disc_and_never_below() {
    assert_eq!(usual_layers().len(), 17);
    assert_eq!(out_of_bounds(|thick, cured, light| typical(thick, light, cured)), Vec::<String>::new());
    let insulated = out_of_bounds(|thick, _, light| on_an_insulated_base(thick, light));
    assert_eq!(insulated.len(), usual_layers().len(), "broken: an insulated base: {insulated:?}");
    let cooler = out_of_bounds(|thick, cured, light| 0.8 * typical(thick, light, cured));
    assert!(!cooler.is_empty(), "broken: a fifth too cool");
    let warmer = out_of_bounds(|thick, cured, light| 1.2 * typical(thick, light, cured));
    assert!(!warmer.is_empty(), "broken: a fifth too warm");
}

#[test]
fn a_mild_and_a_hot_resin_are_on_the_warm_side_too() {
    // By more than the usual one: the mild one by up to a fifth, the hot one by up to 9.5 K.
    for (name, low) in [("low", true), ("full", false)] {
        for (band, pick) in [("low", 0), ("high", 2)] {
            for [thick_mm, disc_k, _] in discs(&format!("{name} {band}")) {
                let Band { low, high, .. } = clear(thick_mm, low, 1.0).rise_k;
                let over_k = [low, f64::NAN, high][pick] - disc_k;
                assert!((-0.2..9.5).contains(&over_k), "{name} {band} {thick_mm}: {over_k}");
                assert!(over_k < 0.2 * disc_k, "{name} {band} {thick_mm}: {over_k} of {disc_k}");
            }
        }
    }
}

#[test]
fn the_wider_the_stone_the_nearer_it_comes_and_without_a_side_it_is_the_same() {
    let estimate = typical(2.0, &light(true), 0.0);
    let by_radius = discs("radius");
    let over: Vec<f64> = by_radius.iter().map(|row| estimate - row[1]).collect();
    assert!(over.windows(2).all(|pair| pair[0] > pair[1]), "{over:?}");
    for (row, over_k) in by_radius.iter().zip(&over) {
        assert_eq!(row[0] >= USUAL_RADIUS_MM, *over_k <= WARMER_K, "radius {}: {over_k}", row[0]);
    }
    // The limit: a disc of 30 mm, and any disc without silicone beside it, is a slab.
    let widest = by_radius.last().unwrap();
    assert!((widest[1] / widest[2] - 1.0).abs() < 1e-4, "{widest:?}");
    for (case, low) in [("low typical", true), ("full typical", false)] {
        for [thick_mm, _, alone_k] in discs(case) {
            let got = typical(thick_mm, &light(low), 0.0);
            assert!((got / alone_k - 1.0).abs() < 0.012, "{case} {thick_mm}: {got} for {alone_k}");
        }
    }
}
