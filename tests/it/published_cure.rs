//! Setting by light against published figures and common practice.

use craft::cure::{
    Button, Cure, Doubts, Factor, Light, PigmentClass, Surety, WorkingCurve, penetration_from_absorbance,
};
use craft::units::{Length, Load, Span};

const MIL_MM: f64 = 0.0254;

fn full(seconds: f64) -> Light {
    Light::typical(Button::new("full", Span::from_s(seconds), Span::ZERO).unwrap())
}

fn low_heat() -> Light {
    Light::typical(Button::new("low heat", Span::from_s(99.0), Span::from_s(60.0)).unwrap())
}

/// Gibson, Rosen, Stucker, *Additive Manufacturing Technologies*, worked example on p. 93: Dp 5.8 mils, a cure
/// depth of 3 mils where the lines overlap, exposure ratio 1.1123 there: 2.383 mils with the ratio taken out.
/// Returns what `depth` leaves, in mils, for the same overlap.
fn worked_example(depth: impl Fn(f64) -> f64) -> f64 {
    // Any exposure gives the same step: the curve is straight in ln t. 100 s stands for it.
    3.0 - (depth(100.0 * 1.1123) - depth(100.0)) / MIL_MM
}

#[test]
fn the_textbook_line_spacing_gives_its_cure_depth() {
    let curve = WorkingCurve::new(Length::from_mm(5.8 * MIL_MM), Span::from_s(1.0)).unwrap();
    let by_curve = worked_example(|seconds| curve.depth(Span::from_s(seconds)).mm());
    // Stored depths are whole nanometres, 4e-5 mil.
    assert!((by_curve - 2.383).abs() < 5e-4, "{by_curve}");
    let by_tens = worked_example(|seconds: f64| 5.8 * MIL_MM * seconds.log10());
    assert!((by_tens - 2.383).abs() > 5e-4, "the decimal logarithm must fail the same check");
}

/// Film 93 µm thick: absorbance (base 10) and penetration depth in µm. Absorbances at 365 and 405 nm of
/// poly(ethylene glycol) diacrylate with photoinitiator alone and with 0.10 and 0.40 of dye: open data of
/// Gong, Beauchamp, Perry, Woolley, Nordin, *RSC Adv.* 5:106621 (2015). Depths computed independently
/// (Python, L / (2.302585 A)).
const FILMS: [(f64, f64); 6] =
    [(0.1621, 249.2), (0.0982, 411.3), (0.3529, 114.4), (0.4148, 97.4), (0.8297, 48.7), (1.2281, 32.9)];

#[test]
fn a_photometers_absorbance_gives_the_penetration_depth_in_powers_of_e() {
    let film = Length::from_mm(0.093);
    for (absorbance, depth_um) in FILMS {
        let depth = penetration_from_absorbance(absorbance, film).unwrap();
        assert!((depth.mm() * 1000.0 - depth_um).abs() < 0.06, "{absorbance}: {depth}");
        // Broken variant: the absorbance taken as if it were base e, without the factor 2.303.
        let broken_um = 93.0 / absorbance;
        assert!((broken_um - depth_um).abs() > 0.06, "the broken variant must fail the same check");
    }
}

/// Dose that sets to 2 mm where 10 mJ/cm² first sets it, for Dp 0.3, 0.5, 1 and 2 mm: Jacobs, *Rapid
/// Prototyping & Manufacturing* (1992), E = Ec exp(h / Dp); computed independently (Python `math`).
#[test]
fn the_dose_for_two_millimetres_follows_the_exponential() {
    for (dp_mm, dose) in [(0.3, 7857.72), (0.5, 545.98), (1.0, 73.89), (2.0, 27.18)] {
        // Under 10 mW/cm² ten times the seconds is the dose, and 1 s first sets it.
        let curve = WorkingCurve::new(Length::from_mm(dp_mm), Span::from_s(1.0)).unwrap();
        let seconds = curve.seconds_for(Length::from_mm(2.0)).unwrap().s();
        assert!((seconds * 10.0 - dose).abs() < 0.01, "{dp_mm}: {seconds}");
    }
}

/// Bennett, *Addit. Manuf.* 18:203 (2017): printing resins at 405 nm, Dp in µm and Ec in mJ/cm²; the one that
/// lets most light through needs 233.4 mJ/cm² for 2 mm and 1357 for 3 mm (computed independently, Python
/// `math`). The others are out of reach at such depths.
#[test]
fn a_published_resin_needs_the_dose_computed_from_its_constants() {
    let curve = WorkingCurve::new(Length::from_mm(0.568), Span::from_s(6.9)).unwrap();
    // At 1 mW/cm² a second is a mJ/cm².
    for (depth_mm, dose) in [(2.0, 233.4), (3.0, 1357.0)] {
        let seconds = curve.seconds_for(Length::from_mm(depth_mm)).unwrap().s();
        assert!((seconds / dose - 1.0).abs() < 5e-4, "{depth_mm} mm: {seconds}");
        assert!((curve.depth(Span::from_s(dose)).mm() - depth_mm).abs() < 1e-3);
    }
    let white = WorkingCurve::new(Length::from_mm(0.145), Span::from_s(1.9)).unwrap();
    let an_hour = white.depth(Span::from_s(3600.0));
    assert!(an_hour < Length::from_mm(1.2), "an hour at 1 mW/cm² sets {an_hour}");
}

/// Common practice, no source: 99 s of low heat sets a clear layer of 2 mm.
#[test]
fn the_low_heat_button_surely_sets_a_thin_clear_layer() {
    let cure = Cure::typical(PigmentClass::Clear);
    let (two, half) = (Length::from_mm(2.0), Length::from_mm(0.5));
    assert_eq!(cure.sets_through(half, Load::ZERO, &low_heat()), Surety::Sure);
    assert_eq!(cure.sets_through(two, Load::ZERO, &low_heat()), Surety::Sure);
    // Computed independently (Python `math`): 9.3 nominal, 3.4 at one side of 95 %; 5.7 and 1.73 for 2.5 mm.
    let at_95 = Factor::new(1.6449).unwrap();
    let two_and_half = Length::from_mm(2.5);
    let near = |value: f64, wanted: f64, within: f64| assert!((value - wanted).abs() < within, "{value}");
    near(cure.nominal_ratio(two, Load::ZERO, &low_heat()), 9.3, 0.05);
    near(cure.ratio_at(at_95, two, Load::ZERO, &low_heat()), 3.4, 0.05);
    near(cure.nominal_ratio(two_and_half, Load::ZERO, &low_heat()), 5.7, 0.05);
    near(cure.ratio_at(at_95, two_and_half, Load::ZERO, &low_heat()), 1.73, 0.005);
    assert_eq!(cure.sets_through(two_and_half, Load::ZERO, &low_heat()), Surety::Likely);
}

/// Common practice, no source: with too much white a half-millimetre layer never sets, however long.
#[test]
fn too_much_white_does_not_set_even_in_three_minutes() {
    let cure = Cure::typical(PigmentClass::White);
    let half = Length::from_mm(0.5);
    let ratio = |percent: f64| cure.nominal_ratio(half, Load::from_percent(percent), &full(180.0));
    // Computed independently (Python `math`): 9.0, 0.74 and 0.06 for 1, 2 and 3 %.
    assert!((ratio(1.0) - 9.0).abs() < 0.05, "{}", ratio(1.0));
    assert!((ratio(2.0) - 0.74).abs() < 0.005, "{}", ratio(2.0));
    assert!((ratio(3.0) - 0.06).abs() < 0.005, "{}", ratio(3.0));
    assert_eq!(cure.sets_through(half, Load::from_percent(2.0), &full(180.0)), Surety::NotSure);
    assert_eq!(cure.sets_through(half, Load::from_percent(1.0), &full(180.0)), Surety::Likely);
    assert_eq!(cure.sets_through(half, Load::from_percent(0.2), &full(180.0)), Surety::Sure);
}

/// A pigment that let more light through instead of less would set white at any load.
#[test]
fn a_pigment_term_with_the_wrong_sign_is_caught_by_the_white_that_never_sets() {
    let clear = WorkingCurve::new(Length::from_mm(1.0), Span::from_s(1.0)).unwrap();
    let mixed = clear.with_pigment(Factor::new(5.0).unwrap(), Load::from_percent(2.0));
    let half = Length::from_mm(0.5);
    let sets = |penetration_mm: f64| 180.0 * (-half.mm() / penetration_mm).exp() >= 1.0;
    assert!(!sets(mixed.penetration_mm()));
    let broken_per_mm: f64 = 1.0 / clear.penetration_mm() - 5.0 * 2.0;
    assert!(sets(1.0 / broken_per_mm), "the broken variant must fail the same check");
    assert!(mixed.depth(Span::from_s(180.0)) < half);
}

/// Largest layer in mm at 60 s, 99 s of low heat and 120 s, with one side of 95 % and a margin of 1.5:
/// typical doubts, then tested ones with the pigment still weighed plainly. Computed independently (Python
/// `math`, halving on the bound).
type Largest = (PigmentClass, f64, [f64; 3], [f64; 3]);
const LARGEST: [Largest; 7] = [
    (PigmentClass::Clear, 0.0, [2.50, 2.60, 2.99], [3.33, 3.46, 3.99]),
    (PigmentClass::Dye, 0.2, [1.97, 2.05, 2.37], [2.50, 2.60, 3.00]),
    (PigmentClass::Dye, 0.5, [1.38, 1.44, 1.68], [1.76, 1.84, 2.11]),
    (PigmentClass::Pearl, 1.0, [1.17, 1.22, 1.42], [1.51, 1.57, 1.81]),
    (PigmentClass::White, 0.5, [0.59, 0.62, 0.72], [0.80, 0.83, 0.96]),
    (PigmentClass::White, 1.0, [0.31, 0.32, 0.38], [0.43, 0.45, 0.53]),
    (PigmentClass::Dark, 0.5, [0.50, 0.53, 0.62], [0.69, 0.72, 0.83]),
];

fn largest_differ(change: impl Fn(&mut Cure)) -> Vec<String> {
    let mut found = Vec::new();
    let tested = Doubts { dosing: Doubts::TYPICAL.dosing, ..Doubts::CALIBRATED };
    for (class, percent, typical_mm, tested_mm) in LARGEST {
        for (doubts, wanted_mm) in [(Doubts::TYPICAL, typical_mm), (tested, tested_mm)] {
            let mut cure = Cure { doubts, ..Cure::typical(class) };
            cure.assurance.spread = Factor::new(1.6449).unwrap();
            change(&mut cure);
            for (light, wanted_mm) in [full(60.0), low_heat(), full(120.0)].iter().zip(wanted_mm) {
                let largest = cure.thickest_sure(Load::from_percent(percent), light).unwrap();
                // The figures have two decimals, some cut and some rounded.
                if (largest.mm() - wanted_mm).abs() > 0.0101 {
                    found.push(format!("{class:?} {percent} %: {largest} not {wanted_mm}"));
                }
            }
        }
    }
    found
}

#[test]
fn the_largest_layers_are_what_practice_lays() {
    assert_eq!(largest_differ(|_| ()), Vec::<String>::new());
}

#[test]
fn the_largest_layers_at_a_stones_own_sureness_are_smaller() {
    for (class, percent, low_mm, full_mm) in [
        (PigmentClass::Clear, 0.0, 2.35, 2.71),
        (PigmentClass::White, 0.5, 0.52, 0.62),
        (PigmentClass::White, 1.0, 0.26, 0.31),
    ] {
        let cure = Cure::typical(class);
        let largest = |light: &Light| cure.thickest_sure(Load::from_percent(percent), light).unwrap().mm();
        assert!((largest(&low_heat()) - low_mm).abs() < 0.0101, "{class:?} {}", largest(&low_heat()));
        assert!((largest(&full(120.0)) - full_mm).abs() < 0.0101, "{class:?} {}", largest(&full(120.0)));
    }
}

#[test]
fn largest_layers_with_a_wrong_formula_are_caught() {
    let parted = largest_differ(|cure| cure.doubts.together = craft::cure::Correlation::NONE);
    assert!(!parted.is_empty(), "doubts that do not go together");
    let against = largest_differ(|cure| cure.doubts.together = craft::cure::Correlation::new(-0.6).unwrap());
    assert!(!against.is_empty(), "the sign of what goes together");
    let by_tens = largest_differ(|cure| {
        cure.mix.absorption = Factor::new(cure.mix.absorption.get() / std::f64::consts::LN_10).unwrap();
    });
    assert!(!by_tens.is_empty(), "a pigment's absorption counted in powers of ten");
    let laid_exactly = largest_differ(|cure| cure.doubts.thickness = Length::ZERO);
    assert!(!laid_exactly.is_empty(), "a hand that lays exactly");
}

/// A lamp that grows from nothing to full over a minute and holds 39 s: the area under its power by the
/// trapezium rule on 9,900 slices, a second method beside `t − ramp/2`.
#[test]
fn a_growing_lamp_is_worth_the_area_under_its_power() {
    let button = low_heat().button;
    let slices = 9_900_u32;
    let power = |at_s: f64| (at_s / 60.0).min(1.0);
    let step_s = 99.0 / f64::from(slices);
    let area_s: f64 = (0..slices)
        .map(|i| f64::from(i) * step_s)
        .map(|at_s| 0.5 * (power(at_s) + power(at_s + step_s)) * step_s)
        .sum();
    assert!((button.equivalent().s() - area_s).abs() < 1e-6, "{area_s}");
    assert!((button.total().s() - button.ramp().s() - area_s).abs() > 1e-6, "the whole ramp taken off");
}
