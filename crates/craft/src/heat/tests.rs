//! Checks of the solver by series and of the layers by another solver: `tests/reference/heat.py` wrote the fixture
//! with mpmath and scipy (versions in its head).

use super::slab::{Material, Slab};
use super::*;
use crate::cure::{Button, Light};

mod learned;
mod round;
mod wall;

const FIXTURE: &str = include_str!("../../../../tests/fixtures/heat.csv");

/// Marches from no rise at all. Each step, `source` writes the heat that each cell gains in it, J/m³, and `watch` sees
/// the rise of each cell, K.
fn march(
    slab: &Slab,
    (step_s, end_s): (f64, f64),
    mut source: impl FnMut(f64, &mut [f64]),
    mut watch: impl FnMut(f64, &[f64]),
) {
    let (mut rise, mut added) = (vec![0.0; slab.many()], vec![0.0; slab.many()]);
    let (mut stepper, mut at_s) = (slab.steps_of(step_s), 0.0);
    while at_s < end_s {
        at_s += step_s;
        source(at_s, &mut added);
        stepper.step(&mut rise, &added);
        watch(at_s, &rise);
    }
}

fn rows(case: &str) -> Vec<[f64; 3]> {
    let rows: Vec<[f64; 3]> = FIXTURE
        .lines()
        .filter_map(|line| line.strip_prefix(case)?.strip_prefix(','))
        .map(|rest| {
            let numbers: Vec<f64> = rest.split(',').map(|number| number.parse().unwrap()).collect();
            [numbers[0], numbers[1], numbers[2]]
        })
        .collect();
    assert!(!rows.is_empty(), "the fixture has no {case}");
    rows
}

/// A slab 2 mm thick with an insulated base, 10 W/m²K on top, and a source of 250 kJ/kg that dies away in 15 s, as
/// strong at a depth as `strength` says. The rise at base and top at the asked times.
fn dying(cells: u32, step_s: f64, strength: impl Fn(f64) -> f64, times: &[f64]) -> Vec<(f64, f64)> {
    let resin = Material { conductivity: 0.2, heat_capacity: 1180.0 * 1500.0 };
    let mut slab = Slab::new(10.0, 0.0);
    slab.even(resin, 0.002, cells);
    let width_mm = 2.0 / f64::from(cells);
    let mut seen = vec![(0.0, 0.0); times.len()];
    march(
        &slab,
        (step_s, times.iter().copied().fold(0.0, f64::max) + 1.0),
        |until_s, added| {
            let gone = (-(until_s - step_s) / 15.0).exp() - (-until_s / 15.0).exp();
            for (i, added) in added.iter_mut().enumerate() {
                *added = 1180.0 * 250e3 * gone * strength((i as f64 + 0.5) * width_mm);
            }
        },
        |at_s, rise| {
            // At the face, half a cell above the middle of the first.
            let inside = 0.2 / (0.5e-3 * width_mm);
            for (time, slot) in times.iter().zip(&mut seen) {
                if (at_s - time).abs() < 0.5 * step_s {
                    *slot = (rise[rise.len() - 1], rise[0] * inside / (inside + 10.0));
                }
            }
        },
    );
    seen
}

/// The largest difference from the series.
fn off(case: &str, cells: u32, step_s: f64, strength: impl Fn(f64) -> f64) -> f64 {
    let rows = rows(case);
    let times: Vec<f64> = rows.iter().map(|row| row[0]).collect();
    let seen = dying(cells, step_s, strength, &times);
    rows.iter()
        .zip(seen)
        .fold(0.0_f64, |most, (row, (base, top))| most.max((row[1] - base).abs()).max((row[2] - top).abs()))
}

#[test]
fn the_solver_agrees_with_the_eigenfunctions() {
    assert!(off("S1", 100, 0.1, |_| 1.0) < 0.01, "{}", off("S1", 100, 0.1, |_| 1.0));
    let from_above = |depth_mm: f64| (-depth_mm).exp();
    assert!(off("S2", 100, 0.1, from_above) < 0.02, "{}", off("S2", 100, 0.1, from_above));
    assert!(off("S2", 100, 0.1, |depth_mm| (depth_mm - 2.0).exp()) > 5.0, "broken: lit from below");
    assert!(off("S1", 100, 0.1, |_| 1.0 / 1.18) > 5.0, "broken: the density left out");
}

#[test]
fn finer_cells_and_steps_come_nearer_to_the_series() {
    let from_above = |depth_mm: f64| (-depth_mm).exp();
    let (coarse, fine) = (off("S2", 10, 1.0, from_above), off("S2", 20, 0.5, from_above));
    assert!(fine < 0.4 * coarse, "{coarse} {fine}");
}

#[test]
fn no_heat_is_lost_in_a_slab_that_is_closed_all_round() {
    let mut slab = Slab::new(0.0, 0.0);
    slab.even(RESIN, 0.002, 20);
    slab.widening(SILICONE, 0.006, 10);
    let mut last = Vec::new();
    march(
        &slab,
        (1.0, 5000.0),
        |at_s, added| added[3] = if at_s < 1.5 { 1e8 } else { 0.0 },
        |_, rise| {
            last = rise.to_vec();
        },
    );
    let mean_k = 1e8 * 0.0001 / (0.002 * RESIN.heat_capacity + 0.006 * SILICONE.heat_capacity);
    assert!(last.iter().all(|rise| (rise / mean_k - 1.0).abs() < 1e-6), "{last:?} for {mean_k}");
}

fn light(low: bool) -> Light {
    let (total, ramp) = if low { (99.0, 60.0) } else { (120.0, 0.0) };
    Light::typical(Button::new("lamp", Span::from_s(total), Span::from_s(ramp)).unwrap())
}

/// The worst share by which the peaks differ from the other solver's.
fn worst(rise: impl Fn(f64, bool) -> Band<f64>) -> f64 {
    let mut worst = 0.0_f64;
    for (name, low) in [("low", true), ("full", false)] {
        for (band, pick) in [("low", 0), ("typical", 1), ("high", 2)] {
            for [thick_mm, peak_k, _] in rows(&format!("{name} {band}")) {
                let Band { low, typical, high } = rise(thick_mm, low);
                worst = worst.max(([low, typical, high][pick] / peak_k - 1.0).abs());
            }
        }
    }
    worst
}

fn clear(thick_mm: f64, low: bool, takes_per_mm: f64) -> Heat {
    let light = light(low);
    heat(&Lit::new(Length::from_mm(thick_mm), takes_per_mm, &light), &Sources::TYPICAL)
}

#[test]
fn layers_agree_with_another_solver_on_a_twentyfold_grid() {
    let got = worst(|thick_mm, low| clear(thick_mm, low, 1.0).rise_k);
    assert!(got < 0.012, "{got}");
    assert!(worst(|thick_mm, low| clear(thick_mm, low, 2.0).rise_k) > 0.05, "broken: half the depth");
    assert!(worst(|thick_mm, low| clear(thick_mm, !low, 1.0).rise_k) > 0.05, "broken: the other button");
    for [thick_mm, _, cooled_s] in rows("low typical") {
        let got = clear(thick_mm, true, 1.0).cooled_after.s();
        assert!((got - cooled_s).abs() <= 3.0, "{thick_mm}: {got} for {cooled_s}");
    }
}

#[test]
fn a_thin_layer_stays_mild_and_a_thick_one_under_full_power_scorches() {
    assert_eq!(clear(0.3, true, 1.0).warmth(22.0), Warmth::Mild);
    assert_eq!(clear(2.0, true, 1.0).warmth(22.0), Warmth::Hot);
    assert_eq!(clear(3.0, false, 1.0).warmth(25.0), Warmth::Scorching);
    assert!(clear(1e-3, false, 1.0).rise_k.high < 1.0);
    let light = light(true);
    let dark = Lit { light_share: 0.0, ..Lit::new(Length::from_mm(2.0), 1.0, &light) };
    assert!(heat(&dark, &Sources::TYPICAL).rise_k.high.abs() < 1e-12, "no light, no heat");
}

#[test]
fn two_presses_are_never_milder_than_one() {
    let light = light(true);
    let once = Lit::new(Length::from_mm(2.0), 1.0, &light);
    let twice = Lit { lit: once.lit + once.lit, ..once };
    let (one, two) = (heat(&once, &Sources::TYPICAL), heat(&twice, &Sources::TYPICAL));
    assert!(two.rise_k.typical >= one.rise_k.typical - 1e-9, "{two:?} after {one:?}");
    assert!(two.cooled_after >= one.cooled_after);
    // One press as long as both that grows twice as long is milder: nothing to reckon with.
    let button = Button::new("merged", Span::from_s(198.0), Span::from_s(120.0)).unwrap();
    let merged = Light::new(button, light.first_set(), light.provenance).unwrap();
    let broken = heat(&Lit::new(Length::from_mm(2.0), 1.0, &merged), &Sources::TYPICAL);
    assert!(broken.rise_k.typical < one.rise_k.typical - 1.0, "broken: {broken:?}");
}

#[test]
fn set_resin_below_hardly_matters_and_never_cools() {
    let light = light(true);
    let bare = Lit::new(Length::from_mm(1.0), 1.0, &light);
    let on_resin = Lit { cured_below: Length::from_mm(2.0), ..bare };
    let (bare, on_resin) = (heat(&bare, &Sources::TYPICAL), heat(&on_resin, &Sources::TYPICAL));
    assert!((on_resin.rise_k.typical / bare.rise_k.typical - 1.0).abs() < 0.15);
}

#[test]
fn a_thermometer_narrows_the_band_round_its_reading() {
    let light = light(true);
    let cast = Lit::new(Length::from_mm(2.0), 1.0, &light);
    let sources = measured(&cast, 72.0, 22.0).unwrap();
    let again = heat(&cast, &sources).rise_k;
    assert!((again.typical - 50.0).abs() < 1e-9, "{again:?}");
    let before = heat(&cast, &Sources::TYPICAL).rise_k;
    assert!(again.high - again.low < before.high - before.low);
    assert!(again.low < 50.0 && again.high > 50.0);
    let hotter = measured(&cast, 82.0, 22.0).unwrap();
    assert!(hotter.typical.release > sources.typical.release);
    assert_eq!(sources.typical.set_ratio, Sources::TYPICAL.typical.set_ratio);
}

#[test]
fn a_feel_holds_the_release_within_its_bounds() {
    let light = light(true);
    let cast = Lit::new(Length::from_mm(2.0), 1.0, &light);
    for feel in [Feel::Cool, Feel::Warm, Feel::TooHotToHold, Feel::SmelledOrWarped] {
        let (from_c, to_c) = feel.between_c();
        let sources = felt(&Sources::TYPICAL, &cast, feel, 22.0).unwrap();
        let rise = heat(&cast, &sources).rise_k;
        assert!(rise.low <= rise.typical + 1e-9 && rise.typical <= rise.high + 1e-9, "{feel:?}: {rise:?}");
        let known = [sources.low, sources.typical, sources.high].map(|source| source.release.get());
        assert!(known.iter().all(|release| (100.0..=300.0).contains(release)), "{feel:?}: {known:?}");
        if matches!(feel, Feel::TooHotToHold) {
            assert!(22.0 + rise.typical >= from_c && 22.0 + rise.typical <= to_c);
        }
    }
    let cool = felt(&Sources::TYPICAL, &cast, Feel::Cool, 22.0).unwrap();
    assert!(heat(&cast, &cool).rise_k.typical < heat(&cast, &Sources::TYPICAL).rise_k.typical);
}

#[test]
fn one_feel_after_another_narrows_and_one_that_says_nothing_changes_nothing() {
    let light = light(true);
    let (thick, film) = [2.0, 0.2].map(|mm| Lit::new(Length::from_mm(mm), 1.0, &light)).into();
    let width = |sources: &Sources| sources.high.release.get() - sources.low.release.get();
    // A film is cool whatever the resin.
    assert_eq!(felt(&Sources::TYPICAL, &film, Feel::Cool, 22.0), Ok(Sources::TYPICAL));
    let warm = felt(&Sources::TYPICAL, &thick, Feel::Warm, 22.0).unwrap();
    assert!(width(&warm) < width(&Sources::TYPICAL), "{warm:?}");
    assert_eq!(felt(&warm, &thick, Feel::Warm, 22.0), Ok(warm), "the same again says no more");
    // Where the band begins is what was known: begun anew, it would forget what a thermometer said.
    let read = measured(&thick, 50.0, 22.0).unwrap();
    let after = felt(&read, &film, Feel::Cool, 22.0).unwrap();
    assert_eq!(after, read);
    assert_ne!(felt(&Sources::TYPICAL, &film, Feel::Cool, 22.0).unwrap(), read, "broken: begun anew");
}

#[test]
fn what_no_resin_gives_gets_a_sentence() {
    let light = light(true);
    let thin = Lit::new(Length::from_mm(0.3), 1.0, &light);
    let said = felt(&Sources::TYPICAL, &thin, Feel::SmelledOrWarped, 22.0).unwrap_err().to_string();
    assert!(
        said.starts_with("that would need a resin that gives ") && said.contains("which none does"),
        "{said}"
    );
    let thick = Lit::new(Length::from_mm(3.0), 1.0, &light);
    assert_eq!(
        measured(&thick, 20.0, 22.0).unwrap_err().to_string(),
        "the layer was read at 20 °C in a room of 22 °C; read its hottest value within five seconds of lamp-off"
    );
    assert_eq!(felt(&Sources::TYPICAL, &thick, Feel::Warm, 80.0), Err(HeatError::Room(80.0)));
    assert!(measured(&thick, f64::NAN, 22.0).is_err());
    assert!(measured(&thick, 30.0, 22.0).is_err(), "8 K from 3 mm would take a resin of 30 kJ/kg");
}
