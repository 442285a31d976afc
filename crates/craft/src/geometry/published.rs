//! Shapes against values worked out by other means: `tests/reference/outlines.py` wrote the fixture with mpmath,
//! scipy, shapely and svgpathtools (versions in its head). Every check is a function of what it checks, so that a
//! broken variant can be shown to fail it.

use super::*;
use crate::units::{Area, Volume};

const FIXTURE: &str = include_str!("../../../../tests/fixtures/outlines.csv");
const TIGHT: Area = Area::from_mm2(1e-9);

/// The fixture's value, if it has one.
fn value(shape: &str, quantity: &str) -> Option<f64> {
    FIXTURE.lines().filter(|line| !line.starts_with('#')).find_map(|line| {
        let mut parts = line.split(',');
        (parts.next() == Some(shape) && parts.next() == Some(quantity))
            .then(|| parts.next().unwrap().parse().unwrap())
    })
}

fn want(shape: &str, quantity: &str) -> f64 {
    value(shape, quantity).unwrap_or_else(|| panic!("the fixture has no {quantity} of {shape}"))
}

fn mm(value: f64) -> Length {
    Length::from_mm(value)
}

fn drawn() -> &'static str {
    FIXTURE.lines().find_map(|line| line.strip_prefix("# path: ")).unwrap()
}

/// The outline that a name of the fixture means.
fn outline(name: &str) -> Outline {
    let mut words = name.split(' ');
    let kind = words.next().unwrap();
    let sizes: Vec<f64> = words.map(|word| word.parse().unwrap()).collect();
    let size = |i: usize| mm(sizes[i]);
    match kind {
        "cushion" => {
            Outline::Cushion { length: size(0), width: size(1), fullness: Fullness::new(sizes[2]).unwrap() }
        }
        "rounded" => Outline::RoundedRectangle { length: size(0), width: size(1), corner: size(2) },
        "marquise" => Outline::Marquise { length: size(0), width: size(1) },
        "pear-straight" => Outline::Pear { length: size(0), width: size(1), sides: Sides::Straight },
        "pear-curved" => Outline::Pear { length: size(0), width: size(1), sides: Sides::Curved },
        "heart" => Outline::Heart { across: size(0) },
        "hexagon" => Outline::Hexagon { flats: size(0), longer: size(1) },
        "octagon" => Outline::Octagon { flats: size(0), longer: size(1) },
        "path" => Outline::Traced(drawn().parse().unwrap()),
        other => panic!("no outline is called {other}"),
    }
}

/// Every outline of the fixture.
fn names() -> Vec<&'static str> {
    let rows = FIXTURE.lines().filter(|line| line.contains(",area,"));
    rows.map(|line| line.split(',').next().unwrap()).collect()
}

/// Rounded rectangles come from polygons of 1,600,000 sides, the path from one of a million corners.
fn areas_hold(area_mm2: impl Fn(&Outline) -> f64) -> bool {
    names().iter().all(|name| (area_mm2(&outline(name)) / want(name, "area") - 1.0).abs() < 2e-9)
}

fn perimeters_hold(perimeter_mm: impl Fn(&Outline) -> f64) -> bool {
    names().iter().all(|name| (perimeter_mm(&outline(name)) - want(name, "perimeter")).abs() < 6e-7)
}

#[test]
fn every_outline_is_in_the_fixture_and_can_be() {
    assert_eq!(names().len(), 26);
    assert!(names().iter().all(|name| outline(name).check().is_ok()));
}

#[test]
fn areas_agree_with_gamma_functions_closed_forms_and_polygons() {
    for name in names() {
        let got = outline(name).area().mm2();
        assert!((got / want(name, "area") - 1.0).abs() < 2e-9, "{name}: {got}");
    }
    assert!(areas_hold(|outline| outline.area().mm2()));
    assert!(!areas_hold(|outline| outline.length().mm() * outline.width().mm()), "broken: the box");
    assert!(!areas_hold(|outline| 4.0 * outline.area().mm2()), "broken: diameters as radii");
}

#[test]
fn perimeters_agree_with_quadrature_closed_forms_and_polygons() {
    for name in names() {
        let got = outline(name).perimeter(FINEST).mm();
        assert!((got - want(name, "perimeter")).abs() < 6e-7, "{name}: {got}");
    }
    assert!(perimeters_hold(|outline| outline.perimeter(FINEST).mm()));
    let mean =
        |outline: &Outline| std::f64::consts::PI * f64::midpoint(outline.length().mm(), outline.width().mm());
    assert!(!perimeters_hold(mean), "broken: the mean diameter");
}

#[test]
fn lengths_widths_and_centroids_agree() {
    for (name, quantity) in [
        ("hexagon 10 0", "length"),
        ("hexagon 8 3", "length"),
        ("octagon 8 3", "length"),
        ("path", "length"),
        ("heart 10", "width"),
        ("path", "width"),
    ] {
        let outline = outline(name);
        let got = if quantity == "length" { outline.length() } else { outline.width() };
        assert!((got.mm() - want(name, quantity)).abs() < 1e-6, "{name}: {got}");
    }
    for name in ["pear-straight 14 10", "pear-curved 14 10", "heart 10", "path"] {
        let (along, across) = outline(name).centroid(FINEST);
        assert!((along.mm() - want(name, "centroid x")).abs() < 1e-6, "{name}: {along}");
        assert!((across.mm() - want(name, "centroid y")).abs() < 1e-6, "{name}: {across}");
        assert!((along.mm() + want(name, "centroid x")).abs() > 0.1 || name == "heart 10", "sign");
    }
}

#[test]
fn a_limit_of_each_outline_is_a_plainer_one() {
    let same = |one: &Outline, other: &Outline| {
        (one.area().mm2() / other.area().mm2() - 1.0).abs() < 1e-9
            && (one.perimeter(FINEST) - other.perimeter(FINEST)).abs() <= Length::from_micro(2)
            && one.length() == other.length()
            && one.width() == other.width()
    };
    let (length, width) = (mm(14.0), mm(12.0));
    let ellipse = Outline::Cushion { length, width, fullness: Fullness::LEAST };
    assert!(same(&ellipse, &Outline::Oval { length, width }));
    let round = Outline::Round { diameter: mm(9.0) };
    for name in ["marquise 9 9", "pear-straight 9 9", "pear-curved 9 9", "rounded 9 9 4.5", "cushion 9 9 2"] {
        assert!(same(&outline(name), &round), "{name}");
    }
    let square = outline("rounded 10 10 0");
    assert!((square.area().mm2() - 100.0).abs() < 1e-9 && square.perimeter(FINEST) == mm(40.0));
    let full = Outline::Cushion { length, width, fullness: Fullness::MOST };
    assert!(full.area().mm2() > 0.98 * 168.0 && full.area().mm2() < 168.0);
    // Straight sides drawn as a path are the hexagon drawn by its name.
    let half = 10.0 / 3.0_f64.sqrt();
    let by_hand = format!(
        "M {} 0 L {} 5 L {} 5 L {} 0 L {} -5 L {} -5 Z",
        half,
        0.5 * half,
        -0.5 * half,
        -half,
        -0.5 * half,
        0.5 * half
    );
    assert!(same(&Outline::Traced(by_hand.parse().unwrap()), &outline("hexagon 10 0")));
}

#[test]
fn an_outline_that_cannot_be_gets_a_sentence() {
    let sentence = |outline: Outline| outline.check().unwrap_err().to_string();
    assert_eq!(
        sentence(outline("rounded 14 10 5.1")),
        "a corner radius of 5.1 mm cannot be right; it must lie between 0 mm and 5 mm"
    );
    assert_eq!(
        sentence(outline("pear-curved 7 10")),
        "the width, 10 mm, is larger than the length, 7 mm; swap the two"
    );
    assert_eq!(
        sentence(outline("hexagon 95 0")),
        "a length of 109.696551 mm cannot be right; it must lie between 0.5 mm and 100 mm"
    );
    assert_eq!(
        sentence(outline("octagon 10 -1")),
        "a lengthening of -1 mm cannot be right; it must lie between 0 mm and 100 mm"
    );
}

fn half_ellipse(name: &str, high_mm: f64, wall_mm: f64) -> Cavity {
    Cavity::new(outline(name), Dome::HalfEllipse, mm(high_mm), mm(wall_mm)).unwrap()
}

/// A face is checked against triangles, 4,000 round a cushion and 2,000 rings: good to a few millionths.
fn faces_hold(face_mm2: impl Fn(&Cavity) -> f64) -> bool {
    [("cushion 14 12 3", 4.0), ("heart 10", 3.0), ("path", 3.0)].iter().all(|&(name, high_mm)| {
        (face_mm2(&half_ellipse(name, high_mm, 1.0)) / want(name, "face half-ellipse") - 1.0).abs() < 3e-6
    })
}

#[test]
fn the_face_to_be_coated_agrees_with_triangles() {
    assert!(faces_hold(|stone| stone.curved_area(TIGHT).mm2()));
    assert!(!faces_hold(|stone| stone.outline().area().mm2()), "broken: seen from above");
    let lower = |stone: &Cavity| {
        let high = Length::from_micro(stone.dome_height().micro() / 2);
        let low = Cavity::new(stone.outline(), stone.dome(), high, stone.wall_height()).unwrap();
        low.curved_area(TIGHT).mm2()
    };
    assert!(!faces_hold(lower), "broken: half the height");
}

#[test]
fn the_face_over_an_ellipse_is_the_same_by_rings_and_by_steps() {
    for dome in [Dome::HalfEllipse, Dome::CircularArc, Dome::Parabola] {
        let oval = Outline::Oval { length: mm(18.0), width: mm(13.0) };
        let cushion = Outline::Cushion { length: mm(18.0), width: mm(13.0), fullness: Fullness::LEAST };
        let by = |outline| Cavity::new(outline, dome, mm(4.0), mm(1.0)).unwrap().curved_area(TIGHT).mm2();
        assert!((by(oval) - by(cushion)).abs() < 1e-6, "{dome:?}");
    }
}

#[test]
fn a_cushion_fills_as_the_integral_says_and_back() {
    let cushion = half_ellipse("cushion 14 12 3", 4.0, 1.5);
    for depth in ["0.5", "1.5", "3", "4", "5.5"] {
        let depth_mm: f64 = depth.parse().unwrap();
        let volume_mm3 = want("cushion 14 12 3", &format!("fill {depth}"));
        let got = cushion.volume_to(mm(depth_mm));
        assert!((got.mm3() / volume_mm3 - 1.0).abs() < 1e-9, "{depth}: {got:?}");
        let back = cushion.depth_for(Volume::from_mm3(volume_mm3 * (1.0 - 1e-13)), FINEST).unwrap();
        assert!((back.mm() - depth_mm).abs() < 2e-6, "{depth}: {back}");
    }
    let marks = cushion.fill_by_thickness(&[1.5, 2.5, 1.5].map(mm)).unwrap();
    let filled: Vec<f64> = marks.iter().map(|mark| mark.filled.mm3()).collect();
    for (got, depth) in filled.iter().zip(["1.5", "4", "5.5"]) {
        assert!((got / want("cushion 14 12 3", &format!("fill {depth}")) - 1.0).abs() < 1e-9);
    }
}

#[test]
fn strands_over_a_heart_and_a_pear_go_through_the_apex() {
    // A flat stone's line is the chord through the middle: a pear is cut where it is narrower than its round end.
    let flat = |name: &str| Cavity::new(outline(name), Dome::Flat, Length::ZERO, mm(1.0)).unwrap();
    let pear = flat("pear-straight 14 10");
    assert_eq!(pear.arc_along_length(FINEST), mm(14.0));
    // The middle lies 2 from the centre of the round end, which is 10 across.
    assert!((pear.arc_across_width(FINEST).mm() - 2.0 * 21.0_f64.sqrt()).abs() < 2e-6);
    // Across a heart at half its height; the lobes' centres lie at (c/2, 1.5c) above the tip, c = s/√2.
    let side_mm: f64 = 10.0 / (1.0 + 0.5_f64.sqrt());
    let c_mm = side_mm * 0.5_f64.sqrt();
    let up_mm = 0.5 * want("heart 10", "width") - 1.5 * c_mm;
    let chord_mm = 2.0 * (0.5 * c_mm + (0.25 * side_mm * side_mm - up_mm * up_mm).sqrt());
    let heart = flat("heart 10");
    assert!((heart.arc_along_length(FINEST).mm() - chord_mm).abs() < 2e-6, "{chord_mm}");
    // From tip to notch.
    assert!((heart.arc_across_width(FINEST).mm() - 2.0 * c_mm).abs() < 2e-6);
}

fn measured(places: &[(f64, f64)]) -> Cavity {
    let places: Vec<(Length, Length)> = places.iter().map(|&(from, high)| (mm(from), mm(high))).collect();
    let oval = Outline::Oval { length: mm(18.0), width: mm(13.0) };
    Cavity::new(oval, Dome::Measured(Heights::new(&places).unwrap()), mm(4.0), Length::ZERO).unwrap()
}

/// scipy's monotone cubic through the same heights; its quadratures are good to a billionth.
fn measured_holds(stone: &Cavity) -> bool {
    let near = |got: f64, quantity: &str| (got - want("measured", quantity)).abs() < 2e-6 * got;
    ["0.1", "0.7", "2.0", "3.3", "4.0"]
        .iter()
        .all(|depth| near(stone.volume_to(mm(depth.parse().unwrap())).mm3(), &format!("fill {depth}")))
        && near(stone.arc_across_width(FINEST).mm(), "arc across")
        && near(stone.centroid_above_back().mm(), "centroid")
        && near(stone.curved_area(TIGHT).mm2(), "face")
}

#[test]
fn a_measured_dome_agrees_with_a_monotone_cubic_of_another_library() {
    assert!(measured_holds(&measured(&[(2.0, 3.7), (4.0, 2.9), (5.5, 1.6)])));
    assert!(!measured_holds(&measured(&[(2.0, 3.7), (4.0, 2.9)])), "broken: a place left out");
    assert!(!measured_holds(&measured(&[(1.0, 3.7), (2.0, 2.9), (2.75, 1.6)])), "broken: half distances");
}

#[test]
fn a_dome_measured_on_a_parabola_comes_near_the_parabola() {
    let places: Vec<(f64, f64)> = (1..=8)
        .map(|i| 6.5 * f64::from(i) / 9.0)
        .map(|from| (from, 4.0 * (1.0 - (from / 6.5).powi(2))))
        .collect();
    let stone = measured(&places);
    let parabola = Cavity::new(stone.outline(), Dome::Parabola, mm(4.0), Length::ZERO).unwrap();
    assert!((stone.volume().mm3() / parabola.volume().mm3() - 1.0).abs() < 5e-3);
    assert!((stone.curved_area(TIGHT).mm2() / parabola.curved_area(TIGHT).mm2() - 1.0).abs() < 5e-3);
}

fn leaning(degrees: f64) -> Cavity {
    let round = Outline::Round { diameter: mm(12.0) };
    let upright = Cavity::new(round, Dome::HalfEllipse, mm(2.0), mm(3.0)).unwrap();
    upright.leaning(Draft::from_degrees(degrees).unwrap()).unwrap()
}

fn draft_holds(stone: &Cavity) -> bool {
    let near = |got: f64, quantity: &str| (got / want("draft", quantity) - 1.0).abs() < 1e-6;
    near(stone.volume().mm3(), "volume")
        && near(stone.volume_to(mm(3.5)).mm3(), "fill 3.5")
        && near(stone.wall_area(TIGHT).mm2(), "wall area")
        && near(stone.centroid_above_back().mm(), "centroid")
}

#[test]
fn a_leaning_wall_is_a_frustum() {
    let stone = leaning(5.0);
    assert!(draft_holds(&stone));
    let inverse = stone.depth_for(Volume::from_mm3(want("draft", "fill 3.5")), FINEST).unwrap();
    assert!((inverse.mm() - 3.5).abs() < 2e-6);
    assert_eq!(stone.section(mm(5.0)), stone.outline());
    assert!(!draft_holds(&leaning(0.0)), "broken: upright");
    assert!(!draft_holds(&leaning(2.5)), "broken: the angle of both sides together");
    assert!(!draft_holds(&leaning(10.0)), "broken: twice the angle");
}

#[test]
fn a_wall_of_no_draft_is_the_prism_it_was() {
    let upright = half_ellipse("cushion 14 12 3", 4.0, 1.5);
    let leaning = upright.clone().leaning(Draft::UPRIGHT).unwrap();
    assert_eq!(upright, leaning);
    let text = ron::to_string(&upright).unwrap();
    assert!(!text.contains("draft"), "an upright wall is written as before: {text}");
    let nearly = upright.clone().leaning(Draft::from_degrees(1e-6).unwrap()).unwrap();
    assert!((nearly.volume().mm3() - upright.volume().mm3()).abs() < 1e-5);
    assert!((nearly.wall_area(TIGHT).mm2() - upright.wall_area(TIGHT).mm2()).abs() < 1e-5);
    assert_eq!(nearly.centroid_above_back(), upright.centroid_above_back());
    assert_eq!(ron::from_str::<Cavity>(&ron::to_string(&nearly).unwrap()).unwrap(), nearly);
}

#[test]
fn what_cannot_stand_on_an_outline_gets_a_sentence() {
    let upright = half_ellipse("cushion 14 12 3", 4.0, 100.0);
    assert_eq!(
        upright.leaning(Draft::from_degrees(5.0).unwrap()).unwrap_err().to_string(),
        "a wall 100 mm high that leans 5 ° leaves less than half the width at its foot; give a lower wall or a smaller angle"
    );
    let bent = "M 0 0 H 12 V 8 H 10 V 1.5 H 0 Z";
    let outline = Outline::Traced(bent.parse().unwrap());
    let flat = Cavity::new(outline.clone(), Dome::Flat, Length::ZERO, mm(2.0)).unwrap();
    assert!((flat.volume().mm3() - 2.0 * (12.0 * 1.5 + 2.0 * 6.5)).abs() < 1e-9);
    let said = Cavity::new(outline, Dome::Parabola, mm(2.0), mm(2.0)).unwrap_err().to_string();
    assert!(said.starts_with("part of this outline is hidden from its middle"), "{said}");
    assert!(flat.leaning(Draft::from_degrees(3.0).unwrap()).is_err());
}

#[test]
fn every_new_shape_comes_back_from_its_text() {
    for name in names() {
        let stone = half_ellipse(name, 2.0, 1.0);
        let text = ron::to_string(&stone).unwrap();
        assert_eq!(ron::from_str::<Cavity>(&text).unwrap(), stone, "{text}");
    }
    let text = ron::to_string(&outline("hexagon 10 0")).unwrap();
    assert_eq!(text, "Hexagon(flats:\"10 mm\")", "nothing is written of a regular one but its size");
    let text = ron::to_string(&measured(&[(2.0, 3.7)])).unwrap();
    assert!(text.contains("dome:Measured([(\"2 mm\",\"3.7 mm\")])"), "{text}");
    assert_eq!(ron::from_str::<Cavity>(&text).unwrap(), measured(&[(2.0, 3.7)]));
    assert!(ron::from_str::<Cavity>(&text.replace("3.7", "4.7")).is_err());
}

#[test]
fn an_upright_oval_is_written_as_it_always_was() {
    let text = "(outline:Oval(length:\"18 mm\",width:\"13 mm\"),dome:HalfEllipse,dome_height:\"4 mm\",wall_height:\"1.5 mm\")";
    let read: Cavity = ron::from_str(text).unwrap();
    assert_eq!(ron::to_string(&read).unwrap(), text);
    assert_eq!(read.draft(), Draft::UPRIGHT);
}

/// The area of a polygon from its corners (the shoelace formula).
fn shoelace(corners: &[[f64; 2]]) -> f64 {
    let next = corners.iter().cycle().skip(1);
    corners.iter().zip(next).map(|(a, b)| 0.5 * (a[0] * b[1] - a[1] * b[0])).sum()
}

#[test]
fn the_corners_for_a_drawing_enclose_the_area() {
    for name in names() {
        let outline = outline(name);
        let corners = outline.corners_mm(mm(0.005));
        let most_lost = 0.005 * outline.perimeter(FINEST).mm();
        assert!((shoelace(&corners) - outline.area().mm2()).abs() < most_lost, "{name}");
        assert!(corners.len() <= 300, "{name}: {}", corners.len());
    }
}

#[test]
fn the_narrowest_half_is_half_the_width_but_on_lopsided_outlines() {
    for name in ["cushion 14 12 3", "marquise 14 7", "hexagon 8 3", "octagon 10 0", "rounded 14 10 2"] {
        let outline = outline(name);
        assert_eq!(outline.narrowest_half().micro(), outline.width().micro() / 2, "{name}");
        assert!((rim::nearest_mm(&outline.rim()) - 0.5 * outline.width().mm()).abs() < 1e-3, "{name}");
    }
    // A heart is nearest at its straight sides, which lean at 45° through the tip at half the height below the middle.
    let side_mm = 0.5 * want("heart 10", "width") * 0.5_f64.sqrt();
    assert!((outline("heart 10").narrowest_half().mm() - side_mm).abs() < 1e-6);
}

#[test]
fn a_section_is_its_outline_made_smaller() {
    for name in names() {
        let stone = half_ellipse(name, 2.0, 1.0);
        for depth in [0.3, 1.1, 1.9, 2.5] {
            let (section, surface) = (stone.section(mm(depth)), stone.surface(mm(depth)));
            assert!((section.area().mm2() / surface.mm2() - 1.0).abs() < 1e-5, "{name} at {depth}");
        }
    }
}
