//! Bezels, gauges and metal masses against published rules and values worked out with independent libraries.
//!
//! "mpmath" below means computed independently with mpmath 1.4.1.

use std::f64::consts::PI;

use craft::fit::{bezel_wall_height, gather_at, strip_length, wall_over_edge};
use craft::geometry::{Cavity, Dome, FINEST, Outline};
use craft::metal::{Gauge, Hallmark, HallmarkRules, Metal, usual_metals};
use craft::units::{Length, Mass, Volume};

fn mm(value: f64) -> Length {
    Length::from_mm(value)
}

fn oval(length_mm: f64, width_mm: f64) -> Outline {
    Outline::Oval { length: mm(length_mm), width: mm(width_mm) }
}

fn stone(outline: Outline, dome: Dome, dome_mm: f64) -> Cavity {
    Cavity::new(outline, dome, mm(dome_mm), mm(1.5)).unwrap()
}

/// Outline, wall, clearance, strip: P + πt + 2πc (Steiner 1840, parallel curves), with P by mpmath `ellipe`.
const STRIPS: [(f64, f64, f64, f64, f64); 5] = [
    (10.0, 10.0, 0.4, 0.0, 32.6726),
    (18.0, 13.0, 0.4, 0.0, 50.2685),
    (18.0, 13.0, 0.3211, 0.05, 50.3348),
    (14.0, 10.0, 0.3, 0.05, 39.2180),
    (25.0, 18.0, 0.5, 0.0, 69.5633),
];

fn strips_hold(strip_mm: impl Fn(f64, f64, f64, f64) -> f64) -> bool {
    STRIPS.iter().all(|&(l, w, t, c, want)| (strip_mm(l, w, t, c) - want).abs() < 5.1e-5)
}

fn strip(l: f64, w: f64, t: f64, c: f64) -> f64 {
    strip_length(&oval(l, w), mm(t), mm(c), Length::ZERO, FINEST).unwrap().raw.mm()
}

#[test]
fn the_strip_runs_along_the_middle_of_its_wall() {
    assert!(strips_hold(strip));
}

#[test]
fn broken_strips_are_caught() {
    assert!(!strips_hold(|l, w, t, c| PI * (f64::midpoint(l, w) + t + 2.0 * c)), "the trade's mean diameter");
    assert!(!strips_hold(|l, w, t, c| strip(l, w, 2.0 * t, c)), "the outside of the wall");
    assert!(!strips_hold(|l, w, t, _| strip(l, w, t, 0.0)), "the clearance forgotten");
    assert!(!strips_hold(|l, w, t, c| strip(2.0 * l, 2.0 * w, t, c)), "diameters as radii");
    // The trade's form is 0.317 mm short on 18 × 13 at 0.4 mm (mpmath).
    assert!((strip(18.0, 13.0, 0.4, 0.0) - PI * (15.5 + 0.4) - 0.317).abs() < 6e-4);
}

/// Profile, semi-axis, dome, wall above the edge for grips of 0.1, 0.2, 0.3 and 0.5 mm: z from s(z) = s with
/// s = a(1 − √(1 − z²/h²)) or a − √(R² − (z + R − h)²), w = √(z² + s²); solved for z and evaluated with mpmath.
const WALLS: [(Dome, f64, f64, [f64; 4]); 7] = [
    (Dome::HalfEllipse, 6.5, 4.0, [0.706, 1.005, 1.238, 1.618]),
    (Dome::HalfEllipse, 5.0, 3.5, [0.704, 1.000, 1.231, 1.605]),
    (Dome::HalfEllipse, 3.0, 2.5, [0.648, 0.920, 1.130, 1.470]),
    (Dome::CircularArc, 6.5, 4.0, [0.216, 0.420, 0.615, 0.981]),
    (Dome::CircularArc, 5.0, 3.5, [0.273, 0.516, 0.738, 1.135]),
    (Dome::CircularArc, 5.0, 5.0, [1.000, 1.414, 1.732, 2.236]),
    (Dome::HalfEllipse, 5.0, 5.0, [1.000, 1.414, 1.732, 2.236]),
];
const GRIPS: [f64; 4] = [0.1, 0.2, 0.3, 0.5];

fn walls_hold(wall_mm: impl Fn(Dome, f64, f64, f64) -> f64) -> bool {
    WALLS.iter().all(|&(dome, a, h, wants)| {
        GRIPS.into_iter().zip(wants).all(|(s, want)| (wall_mm(dome, a, h, s) - want).abs() < 5.1e-4)
    })
}

fn wall(dome: Dome, a: f64, h: f64, s: f64) -> f64 {
    let round = Outline::Round { diameter: mm(2.0 * a) };
    wall_over_edge(&stone(round, dome, h), mm(s)).unwrap().wall.mm()
}

#[test]
fn the_wall_over_the_edge_gives_the_wanted_grip() {
    assert!(walls_hold(wall));
    // On an oval the width decides: 18 × 13 needs the wall of a round of 13.
    let over = wall_over_edge(&stone(oval(18.0, 13.0), Dome::HalfEllipse, 4.0), mm(0.2)).unwrap();
    assert!((over.wall.mm() - 1.005).abs() < 5.1e-4);
    let whole =
        bezel_wall_height(&stone(oval(18.0, 13.0), Dome::HalfEllipse, 4.0), mm(0.2), mm(0.8)).unwrap();
    assert_eq!(whole, mm(0.8) + mm(1.5) + over.wall, "bearing, edge and wall over it");
}

#[test]
fn broken_walls_are_caught() {
    assert!(!walls_hold(|dome, a, h, s| wall(dome, 2.0 * a, h, s)), "diameter for radius");
    assert!(!walls_hold(|_, a, h, s| wall(Dome::HalfEllipse, a, h, s)), "every dome a half-ellipse");
    assert!(
        !walls_hold(|dome, a, h, s| (wall(dome, a, h, s).powi(2) - s * s).sqrt()),
        "the rise without the fold"
    );
}

/// 18 × 13 half-ellipsoid of 4 mm: contact above the edge, P(1 − k) in mm, 1 − k, visible k², k = √(1 − (z/h)²); mpmath.
const GATHERS: [(f64, f64, f64, f64); 5] = [
    (0.5, 0.384, 0.0078, 0.984),
    (0.75, 0.869, 0.018, 0.965),
    (1.0, 1.556, 0.032, 0.9375),
    (1.33, 2.789, 0.057, 0.889),
    (2.0, 6.566, 0.134, 0.75),
];

fn gathers_hold(rise_of: impl Fn(f64) -> f64) -> bool {
    let stone = stone(oval(18.0, 13.0), Dome::HalfEllipse, 4.0);
    GATHERS.iter().all(|&(z, surplus, crimp, visible)| {
        let got = gather_at(&stone, mm(rise_of(z)), FINEST).unwrap();
        (got.surplus.mm() - surplus).abs() < 6e-4
            && (got.crimp.fraction() - crimp).abs() < 6e-4
            && (got.visible_face.fraction() - visible).abs() < 6e-4
    })
}

#[test]
fn the_metal_to_gather_and_the_face_in_view_are_as_published() {
    assert!(gathers_hold(|z| z));
    assert!(!gathers_hold(|z| 4.0 - z), "broken: measured from the apex");
    assert!(!gathers_hold(|z| z / 2.0), "broken: half the height");
}

/// American wire gauge in mm: 0.127·92^((36 − n)/39) (ASTM B258, from memory), by mpmath to four decimals.
const GAUGES: [(&str, f64); 15] = [
    ("0000", 11.684), // 0.460 in by definition.
    ("10", 2.5882),
    ("12", 2.0525),
    ("14", 1.6277),
    ("16", 1.2908),
    ("18", 1.0237),
    ("20", 0.8118),
    ("22", 0.6438),
    ("24", 0.5106),
    ("26", 0.4049),
    ("28", 0.3211),
    ("30", 0.2546),
    ("32", 0.2019),
    ("36", 0.1270), // 0.005 in by definition.
    ("40", 0.0799),
];

fn gauges_hold(thickness_mm: impl Fn(&str) -> f64) -> bool {
    GAUGES.iter().all(|&(text, want)| (thickness_mm(text) - want).abs() < 5.1e-5)
}

#[test]
fn gauges_have_their_standard_thickness() {
    assert!(gauges_hold(|text| Gauge::parse(text).unwrap().thickness().mm()));
    for (text, thickness_mm) in GAUGES {
        assert_eq!(Gauge::nearest(mm(thickness_mm)).unwrap().gauge.to_string(), text);
    }
}

#[test]
fn broken_gauges_are_caught() {
    let number = |text: &str| if text == "0000" { -3.0 } else { text.parse::<f64>().unwrap() };
    assert!(gauges_hold(|text| 0.127 * 92_f64.powf((36.0 - number(text)) / 39.0)), "the formula itself");
    assert!(!gauges_hold(|text| 0.127 * 92_f64.powf((number(text) - 36.0) / 39.0)), "a sign turned");
    assert!(
        !gauges_hold(|text| 0.127 * 92_f64.powf((36.0 - number(text)) / 40.0)),
        "forty steps, not thirty-nine"
    );
    assert!(
        !gauges_hold(|text| 0.127 * 92_f64.powf((36.0 - text.parse::<f64>().unwrap()) / 39.0)),
        "0000 read as 0"
    );
}

fn metal(name: &str) -> Metal {
    usual_metals().into_iter().find(|metal| metal.name == name).unwrap()
}

/// A bezel for 18 × 13: strip 50.27 × 4 × 0.4 mm and a plate of 183.78 mm² × 0.5 mm are 172.32 mm³. Masses are that times
/// the density; thresholds of the UK are 7.78 g for silver and 1 g for gold (local authority guidance on the Hallmarking
/// Act 1973 as amended).
#[test]
fn the_worked_bezel_is_exempt_in_silver_and_hallmarked_in_gold() {
    let plate = oval(18.0, 13.0).area().mm2() * 0.5;
    let volume = Volume::from_mm3(strip(18.0, 13.0, 0.4, 0.0) * 4.0 * 0.4 + plate);
    assert!((volume.mm3() - 172.32).abs() < 6e-3, "{volume:?}");
    let uk = HallmarkRules::uk();
    for (name, grams, needed) in [
        ("sterling silver", 1.785, false),
        ("9 ct yellow gold", 1.93, true),
        ("18 ct yellow gold", 2.67, true),
    ] {
        let metal = metal(name);
        let (mass, doubt) = metal.mass(volume);
        assert!((mass.mg() / 1000.0 - grams).abs() < 6e-3, "{name}: {mass}");
        let verdict = uk.judge(&metal, mass, doubt);
        assert_eq!(matches!(verdict, Hallmark::Needed { .. }), needed, "{name}: {verdict:?}");
        assert_eq!(matches!(verdict, Hallmark::Exempt { .. }), !needed, "{name}: {verdict:?}");
    }
}

/// The Act as first enacted exempted silver below 5 g; today it is 7.78 g. An article of 6 g tells the two apart.
#[test]
fn the_old_silver_threshold_is_caught() {
    let silver = metal("sterling silver");
    let six_grams = Mass::from_mg(6000.0);
    let uk = HallmarkRules::uk();
    assert!(matches!(uk.judge(&silver, six_grams, Mass::ZERO), Hallmark::Exempt { .. }));
    let mut old = uk;
    for rule in &mut old.rules {
        if rule.family == silver.family {
            rule.exempt_below = Mass::from_mg(5000.0);
        }
    }
    assert!(matches!(old.judge(&silver, six_grams, Mass::ZERO), Hallmark::Needed { .. }));
}

/// The ideal mixture 1/ρ = Σw/ρ of 925 silver (10.49 g/cm³) and 75 copper (8.96 g/cm³; elements at 20 °C, CRC Handbook of
/// Chemistry and Physics, from memory) is 10.357 g/cm³; 750 gold (19.3), 125 silver, 125 copper give 15.46 g/cm³.
#[test]
fn usual_densities_lie_near_the_ideal_mixture() {
    let sterling: f64 = 1.0 / (0.925 / 10.49 + 0.075 / 8.96);
    let eighteen: f64 = 1.0 / (0.75 / 19.3 + 0.125 / 10.49 + 0.125 / 8.96);
    for (name, ideal) in [("sterling silver", sterling), ("18 ct yellow gold", eighteen)] {
        let own = metal(name).density.g_per_cm3();
        assert!((own / ideal - 1.0).abs() < 0.01, "{name}: {own} for {ideal}");
    }
    assert!((8.96 / sterling - 1.0).abs() > 0.01, "broken: copper alone");
}
