//! Shapes of stones against published formulas and values worked out with independent libraries.
//!
//! "mpmath" below means computed independently with mpmath 1.4.1 at 25 digits (`ellipe`, `quad`).
//! Every check is a function of what it checks, so that a broken variant can be shown to fail it.

use std::f64::consts::PI;

use craft::density::Density;
use craft::geometry::{Cavity, Dome, FINEST, Outline};
use craft::units::{Area, Length, Volume};

/// Lengths are stored to a nanometre, so they can agree to half of one.
const LENGTH_MM: f64 = 6e-7;

fn mm(value: f64) -> Length {
    Length::from_mm(value)
}

fn oval(length_mm: f64, width_mm: f64) -> Outline {
    Outline::Oval { length: mm(length_mm), width: mm(width_mm) }
}

fn round(diameter_mm: f64) -> Outline {
    Outline::Round { diameter: mm(diameter_mm) }
}

fn cavity(outline: Outline, dome: Dome, dome_mm: f64, wall_mm: f64) -> Cavity {
    Cavity::new(outline, dome, mm(dome_mm), mm(wall_mm)).unwrap()
}

fn near(got: f64, want: f64, tolerance: f64) -> bool {
    (got - want).abs() <= tolerance
}

/// Length × width, exact perimeter 4a·E(1 − b²/a²), area πab: mpmath `ellipe`.
const OVALS: [(f64, f64, f64, f64); 10] = [
    (6.0, 4.0, 15.8654395893, 18.84955592),
    (8.0, 6.0, 22.1034921607, 37.69911184),
    (10.0, 8.0, 28.3616678890, 62.83185307),
    (14.0, 10.0, 37.9613689348, 109.9557429),
    (16.0, 12.0, 44.2069843214, 150.7964474),
    (18.0, 13.0, 49.0118972359, 183.7831702),
    (20.0, 15.0, 55.2587304018, 235.6194490),
    (30.0, 22.0, 82.1654501835, 518.3627878),
    (40.0, 30.0, 110.517460804, 942.4777961),
    (40.0, 10.0, 85.7842177516, 314.1592654),
];

fn perimeters_hold(perimeter_mm: impl Fn(f64, f64) -> f64) -> bool {
    OVALS.iter().all(|&(l, w, want, _)| near(perimeter_mm(l, w), want, LENGTH_MM))
}

#[test]
fn the_perimeter_of_an_oval_is_the_complete_elliptic_integral() {
    assert!(perimeters_hold(|l, w| oval(l, w).perimeter(FINEST).mm()));
    // Abramowitz and Stegun (1964), table 17.1: E(m = 0.75) = 1.2110560276, and P = 4a·E at a = 10, b = 5.
    assert!(near(oval(20.0, 10.0).perimeter(FINEST).mm(), 40.0 * 1.2110560276, LENGTH_MM));
}

#[test]
fn broken_perimeters_are_caught() {
    assert!(!perimeters_hold(|l, w| PI * (l + w) / 2.0), "the trade's mean diameter");
    assert!(
        !perimeters_hold(|l, w| PI * f64::midpoint(l * l, w * w).sqrt()),
        "the root-mean-square diameter"
    );
    assert!(!perimeters_hold(|l, w| oval(2.0 * l, 2.0 * w).perimeter(FINEST).mm()), "diameters as radii");
}

/// The mean-diameter rule's error in mm, exact − rule: differences of the table above, mpmath.
#[test]
fn the_mean_diameter_rule_is_short_by_the_published_amounts() {
    for (l, w, short) in
        [(14.0, 10.0, 0.2623), (18.0, 13.0, 0.3172), (40.0, 30.0, 0.5617), (40.0, 10.0, 7.244)]
    {
        let difference = oval(l, w).perimeter(FINEST).mm() - PI * (l + w) / 2.0;
        assert!(near(difference, short, 6e-4), "{l} × {w}: {difference}");
    }
}

fn areas_hold(area_mm2: impl Fn(f64, f64) -> f64) -> bool {
    OVALS.iter().all(|&(l, w, _, want)| near(area_mm2(l, w), want, 6e-8 * want.max(1.0)))
}

#[test]
fn the_area_of_an_oval_is_pi_a_b() {
    assert!(areas_hold(|l, w| oval(l, w).area().mm2()));
    assert!(!areas_hold(|l, w| PI * l * w), "broken: diameters as radii");
    assert!(!areas_hold(|l, w| PI * (l + w) * (l + w) / 16.0), "broken: the circle of the mean diameter");
}

/// Base D, height h, volume, curved area, arc, centroid above the base of a spherical cap: πh(3a² + h²)/6, 2πRh,
/// 2R·asin(a/R), 3(2R − h)²/4(3R − h) − (R − h) with R = (a² + h²)/2h (Bronshtein and Semendyayev, Handbook of
/// Mathematics), evaluated with mpmath.
const CAPS: [[f64; 6]; 4] = [
    [10.0, 3.0, 131.946891451, 106.814150222, 12.2495086728, 1.053571429],
    [10.0, 5.0, 261.799387799, 157.079632679, 15.7079632679, 1.875],
    [18.0, 6.0, 876.504350352, 367.56634047, 22.9321015384, 2.129032258],
    [20.0, 5.0, 850.848010347, 392.699081699, 23.18238045, 1.730769231],
];

fn cap_volumes_hold(volume_mm3: impl Fn(f64, f64) -> f64) -> bool {
    CAPS.iter().all(|&[d, h, want, ..]| near(volume_mm3(d, h), want, 1e-9 * want))
}

#[test]
fn a_circular_arc_over_a_round_is_the_spherical_cap() {
    assert!(cap_volumes_hold(|d, h| cavity(round(d), Dome::CircularArc, h, 0.0).volume().mm3()));
    for [d, h, _, area, arc, centroid] in CAPS {
        let cap = cavity(round(d), Dome::CircularArc, h, 0.0);
        assert!(near(cap.curved_area(Area::from_mm2(1e-10)).mm2(), area, 2e-9 * area), "{d}, {h}");
        assert!(near(cap.arc_along_length(FINEST).mm(), arc, LENGTH_MM), "{d}, {h}");
        assert_eq!(cap.arc_along_length(FINEST), cap.arc_across_width(FINEST));
        assert!(near(cap.centroid_above_back().mm(), centroid, LENGTH_MM), "{d}, {h}");
    }
}

#[test]
fn broken_caps_are_caught() {
    let volume = |d, dome, h| cavity(round(d), dome, h, 0.0).volume().mm3();
    assert!(!cap_volumes_hold(|d, h| volume(d, Dome::HalfEllipse, h)), "a half-ellipsoid instead of a cap");
    assert!(!cap_volumes_hold(|d, h| volume(2.0 * d, Dome::CircularArc, h)), "diameter as radius");
    assert!(!cap_volumes_hold(|d, h| PI * h * (3.0 * d * d / 4.0 - h * h) / 6.0), "a sign turned");
}

/// Whole volumes of domed ovals: L, W, girdle, dome, half-ellipsoid πabg + ⅔πabh, paraboloid πabg + ½πabh, and the
/// stretched cap πabg + (a/b)·πh(3b² + h²)/6; mpmath.
const DOMED: [[f64; 7]; 3] = [
    [8.0, 6.0, 1.0, 2.5, 100.530964915, 84.8230016469, 95.7313094719],
    [14.0, 10.0, 1.0, 3.5, 366.519142919, 302.378292908, 333.807309413],
    [18.0, 13.0, 1.5, 4.0, 765.763209313, 643.241095823, 689.640002706],
];
const NAMED: [Dome; 3] = [Dome::HalfEllipse, Dome::Parabola, Dome::CircularArc];

fn domed_volumes_hold(volume_mm3: impl Fn(Dome, [f64; 4]) -> f64) -> bool {
    DOMED.iter().all(|&[l, w, g, h, half_ellipsoid, paraboloid, stretched]| {
        NAMED
            .into_iter()
            .zip([half_ellipsoid, paraboloid, stretched])
            .all(|(dome, want)| near(volume_mm3(dome, [l, w, g, h]), want, 1e-9 * want))
    })
}

#[test]
fn the_named_domes_hold_their_published_volumes() {
    assert!(domed_volumes_hold(|dome, [l, w, g, h]| cavity(oval(l, w), dome, h, g).volume().mm3()));
}

#[test]
fn broken_domes_are_caught() {
    let volume = |dome, [l, w, g, h]: [f64; 4]| cavity(oval(l, w), dome, h, g).volume().mm3();
    assert!(!domed_volumes_hold(|_, sizes| volume(Dome::HalfEllipse, sizes)), "one dome for all");
    assert!(!domed_volumes_hold(|dome, [l, w, g, h]| volume(dome, [l, w, h, g])), "dome and wall swapped");
    assert!(!domed_volumes_hold(|dome, [l, w, _, h]| volume(dome, [l, w, 0.0, h])), "the wall forgotten");
    // Circular arcs struck in every direction hold less than the stretched cap: 676.75 against 689.64 mm³ (mpmath).
    let [.., stretched] = DOMED[2];
    assert!(!near(stretched, 676.751417461, 1.0));
}

/// 18 × 13 half-ellipsoid of 4 mm with an upright wall: depth from the apex, V = πab·z²(3h − z)/3h², then + πab(z − h).
const OVAL_FILL: [(f64, f64); 8] = [
    (0.5, 11.0078461339),
    (1.0, 42.1169765122),
    (1.5, 90.4557791),
    (2.0, 153.152641863),
    (3.0, 310.134099772),
    (4.0, 490.08845396),
    (4.5, 581.980039078),
    (5.5, 765.763209313),
];
/// Spherical mould of 18 mm and 6 mm: V = πz²(3R − z)/3, R = 9.75.
const ROUND_FILL: [(f64, f64); 5] = [
    (1.0, 29.5833308213),
    (2.0, 114.14453308),
    (3.0, 247.40042147),
    (4.0, 423.067810683),
    (6.0, 876.504350352),
];

fn fill_holds(table: &[(f64, f64)], volume_mm3: impl Fn(f64) -> f64) -> bool {
    table.iter().all(|&(z, want)| near(volume_mm3(z), want, 2e-9 * want))
}

#[test]
fn the_filling_of_a_mould_follows_the_published_formulas() {
    let oval_mould = cavity(oval(18.0, 13.0), Dome::HalfEllipse, 4.0, 1.5);
    let round_mould = cavity(round(18.0), Dome::CircularArc, 6.0, 0.0);
    assert!(fill_holds(&OVAL_FILL, |z| oval_mould.volume_to(mm(z)).mm3()));
    assert!(fill_holds(&ROUND_FILL, |z| round_mould.volume_to(mm(z)).mm3()));
    for (mould, table) in [(oval_mould, OVAL_FILL.as_slice()), (round_mould, ROUND_FILL.as_slice())] {
        for &(z, volume) in table {
            let depth = mould.depth_for(Volume::from_mm3(volume), FINEST).unwrap();
            assert!(near(depth.mm(), z, 2e-6), "{volume} mm³ stand at {depth}, not {z} mm");
        }
    }
}

#[test]
fn broken_fillings_are_caught() {
    let oval_mould = cavity(oval(18.0, 13.0), Dome::HalfEllipse, 4.0, 1.5);
    let upside_down = |z: f64| oval_mould.volume().mm3() - oval_mould.volume_to(mm(5.5 - z)).mm3();
    assert!(!fill_holds(&OVAL_FILL, upside_down), "filled from the rim down");
    let straight = |z: f64| oval_mould.volume().mm3() * z / 5.5;
    assert!(!fill_holds(&OVAL_FILL, straight), "the share of the height as the share of the volume");
    let as_ellipsoid = cavity(round(18.0), Dome::HalfEllipse, 6.0, 0.0);
    assert!(!fill_holds(&ROUND_FILL, |z| as_ellipsoid.volume_to(mm(z)).mm3()), "a cap as a half-ellipsoid");
}

#[test]
fn marks_stand_where_the_published_volumes_end() {
    let mould = cavity(oval(18.0, 13.0), Dome::HalfEllipse, 4.0, 1.5);
    let marks = mould.fill_by_thickness(&[1.0, 1.0, 2.0, 1.5].map(mm)).unwrap();
    let filled = [42.1169765122, 153.152641863, 490.08845396, 765.763209313];
    let mut before = 0.0;
    for ((mark, want), below_rim) in marks.iter().zip(filled).zip([4.5, 3.5, 1.5, 0.0]) {
        assert!(near(mark.filled.mm3(), want, 1e-6) && near(mark.volume.mm3(), want - before, 1e-6));
        assert_eq!(mark.below_rim, mm(below_rim));
        before = want;
    }
    // The open surface is πab(1 − (1 − z/h)²): at z = 2 of h = 4 three quarters of the outline's 183.7831702 mm².
    assert!(near(marks[1].surface.mm2(), 0.75 * 183.7831702, 1e-6));
    assert_eq!(mould.section(mm(4.0)), mould.outline());
}

/// 18 × 13, dome 4: dome, line over the length, line over the width; mpmath. The ellipse halves are ½·4a·E; the parabola is
/// √(s² + 4h²) + s²/2h·asinh(2h/s); over the width the arc is circular, 2R·asin(b/R), and over the length its stretch by a/b
/// is an arc of an ellipse, by quadrature.
const LINES: [(Dome, f64, f64); 3] = [
    (Dome::HalfEllipse, 21.1827992688, 16.7279510835),
    (Dome::Parabola, 20.1475203921, 15.7766202181),
    (Dome::CircularArc, 20.4316992462, 16.0669513661),
];

#[test]
fn the_lines_over_the_dome_have_their_published_lengths() {
    for (dome, along, across) in LINES {
        let stone = cavity(oval(18.0, 13.0), dome, 4.0, 1.5);
        assert!(near(stone.arc_along_length(FINEST).mm(), along, LENGTH_MM), "{dome:?} along");
        assert!(near(stone.arc_across_width(FINEST).mm(), across, LENGTH_MM), "{dome:?} across");
        assert!(!near(stone.arc_across_width(FINEST).mm(), along, 0.1), "broken: length for width");
        assert!(!near(18.0, along, 0.1), "broken: the plain length instead of the line");
    }
    // A true circle along the length (2R·asin(a/R) over 18 mm, mpmath) is what a round of 18 mm has, and is shorter.
    let true_circle = cavity(round(18.0), Dome::CircularArc, 4.0, 0.0).arc_along_length(FINEST);
    assert!(near(true_circle.mm(), 20.2838799846, LENGTH_MM));
}

/// Curved faces of 18 × 13 with dome 4, mm²: mpmath, the last two also as a double integral over the height field.
const FACES: [(Dome, f64); 3] = [
    (Dome::HalfEllipse, 260.750527832),
    (Dome::CircularArc, 238.98462789971),
    (Dome::Parabola, 229.21244243172),
];

fn faces_hold(area_mm2: impl Fn(Dome) -> f64) -> bool {
    FACES.iter().all(|&(dome, want)| near(area_mm2(dome), want, 1e-8 * want))
}

#[test]
fn the_curved_face_has_its_published_area() {
    let area = |dome, h| cavity(oval(18.0, 13.0), dome, h, 1.5).curved_area(Area::from_mm2(1e-9)).mm2();
    assert!(faces_hold(|dome| area(dome, 4.0)));
    assert!(!faces_hold(|_| area(Dome::HalfEllipse, 4.0)), "broken: one dome for all");
    assert!(!faces_hold(|_| oval(18.0, 13.0).area().mm2()), "broken: the plain outline");
    // Knud Thomsen's approximation for ellipsoids (2004, p = 1.6075) is good to 1.061 %.
    let p = 1.6075_f64;
    let (ab, ah, bh) = ((9.0 * 6.5_f64).powf(p), (9.0 * 4.0_f64).powf(p), (6.5 * 4.0_f64).powf(p));
    let thomsen = 2.0 * PI * ((ab + ah + bh) / 3.0).powf(1.0 / p);
    assert!(near(area(Dome::HalfEllipse, 4.0) / thomsen, 1.0, 0.01061));
}

/// Centroids of half-ellipsoid (3h/8) and paraboloid (h/3) above the edge: Bronshtein and Semendyayev, Handbook of
/// Mathematics.
#[test]
fn the_centroid_of_a_dome_lies_where_the_handbook_puts_it() {
    let centroid = |dome| cavity(oval(18.0, 13.0), dome, 4.0, 0.0).centroid_above_back().mm();
    assert!(near(centroid(Dome::HalfEllipse), 1.5, LENGTH_MM));
    assert!(near(centroid(Dome::Parabola), 4.0 / 3.0, LENGTH_MM));
    assert!(!near(4.0 - centroid(Dome::HalfEllipse), 1.5, 0.1), "broken: measured from the apex");
}

#[test]
fn the_mass_is_volume_times_density() {
    let stone = cavity(oval(18.0, 13.0), Dome::HalfEllipse, 4.0, 1.5);
    // 765.763209313 mm³ from the table above, at an assumed 1.1 g/cm³ = 1.1 mg/mm³.
    let mass = stone.mass(Density::from_g_per_cm3(1.1).unwrap());
    assert!(near(mass.mg(), 842.3395302443, 1e-6));
    assert!(!near(stone.volume().mm3() / 1.1, 842.3395302443, 1.0), "broken: divided by the density");
}
