//! Ring sizes against the published rules, written out independently in `fixtures/rings.csv`.
//!
//! The fixture was evaluated outside this program from: BS 6820 as given in R. Rowlett, *How Many? A Dictionary of Units
//! of Measurement* (letters: 36.25 + 1.25 n with A = 1); 0.458 in + 0.032 in·n (US: a table in an
//! encyclopaedia that quotes a US Bureau of Standards circular, itself not seen);
//! JIS S 4700 as given by Rowlett, (n + 38)/3 mm of diameter (Japan); ISO 8653:2016 (circumference in mm); circumference
//! less 40, common practice (Italy, Spain, Switzerland).

use std::f64::consts::PI;

use craft::ring::{RingSize, RingSystem, inner_circumference, inner_diameter};
use craft::units::Length;

const FIXTURE: &str = include_str!("../fixtures/rings.csv");
/// The fixture is rounded to four decimals.
const ROUNDED_MM: f64 = 5.1e-5;

struct Row {
    system: RingSystem,
    token: &'static str,
    circumference_mm: f64,
    diameter_mm: f64,
}

fn rows() -> Vec<Row> {
    FIXTURE
        .lines()
        .skip(1)
        .map(|line| {
            let cells: Vec<&'static str> = line.split(',').collect();
            let system = match cells[0] {
                "UK" => RingSystem::Letters,
                "US" => RingSystem::American,
                "JP" => RingSystem::Japanese,
                "ISO" => RingSystem::Circumference,
                "C-40" => RingSystem::LessForty,
                other => panic!("unknown system {other}"),
            };
            let number = |cell: &str| cell.parse().unwrap();
            Row { system, token: cells[1], circumference_mm: number(cells[2]), diameter_mm: number(cells[3]) }
        })
        .collect()
}

fn circumference(token: &str, system: RingSystem) -> Length {
    RingSize::parse(token, system).unwrap().circumference
}

fn rows_hold(circumference_mm: impl Fn(&Row) -> f64) -> bool {
    let rows = rows();
    rows.len() > 150
        && rows.iter().all(|row| (circumference_mm(row) - row.circumference_mm).abs() <= ROUNDED_MM)
}

#[test]
fn every_row_of_every_system_has_its_published_circumference_and_diameter() {
    assert!(rows_hold(|row| circumference(row.token, row.system).mm()));
    for row in rows() {
        let diameter = inner_diameter(circumference(row.token, row.system));
        assert!((diameter.mm() - row.diameter_mm).abs() <= ROUNDED_MM, "{} {:?}", row.token, row.system);
    }
}

#[test]
fn broken_axes_are_caught() {
    let of = |row: &Row| circumference(row.token, row.system);
    assert!(!rows_hold(|row| inner_diameter(of(row)).mm()), "the diameter as the circumference");
    assert!(
        !rows_hold(|row| 2.0 * inner_circumference(Length::from_mm(row.diameter_mm)).mm()),
        "radius for diameter"
    );
    let one_letter_off =
        |row: &Row| of(row).mm() + if row.system == RingSystem::Letters { 1.25 } else { 0.0 };
    assert!(!rows_hold(one_letter_off), "letters counted from A = 1");
    let rowlett = |row: &Row| match row.system {
        RingSystem::American => 36.3 + 2.6 * row.token.parse::<f64>().unwrap(),
        _ => of(row).mm(),
    };
    assert!(!rows_hold(rowlett), "the rounded US line");
}

#[test]
fn every_row_is_its_own_nearest_size() {
    for row in rows() {
        let near = row.system.nearest(Length::from_mm(row.circumference_mm)).unwrap();
        assert!(near.residual.mm().abs() <= ROUNDED_MM, "{} {:?}", row.token, row.system);
        let own = circumference(row.token, row.system);
        assert_eq!(near.circumference, own, "{} was shown as {}", row.token, near.token);
    }
}

/// The ends and middles of the scales, in mm of circumference and diameter, from the same rules.
#[test]
fn the_anchors_of_each_system_stand_where_published() {
    let anchors = [
        (RingSystem::Letters, "A", 37.5, 11.937),
        (RingSystem::Letters, "C", 40.0, 12.732), // The standard's own anchor: C is 40 mm.
        (RingSystem::Letters, "L", 51.25, 16.313),
        (RingSystem::Letters, "N½", 54.375, 17.308),
        (RingSystem::Letters, "Z+6", 76.25, 24.271),
        (RingSystem::American, "0", 36.547, 11.633),
        (RingSystem::American, "7", 54.421, 17.323),
        (RingSystem::American, "13", 69.742, 22.200),
        (RingSystem::Japanese, "1", 40.841, 13.0),
        (RingSystem::Japanese, "13", 53.407, 17.0),
        (RingSystem::Japanese, "35", 76.445, 24.333),
        (RingSystem::Circumference, "54", 54.0, 17.189),
        (RingSystem::LessForty, "14", 54.0, 17.189),
    ];
    for (system, token, circumference_mm, diameter_mm) in anchors {
        let size = circumference(token, system);
        assert!((size.mm() - circumference_mm).abs() < 6e-4, "{token} {system:?}");
        assert!((inner_diameter(size).mm() - diameter_mm).abs() < 6e-4, "{token} {system:?}");
    }
}

/// ISO 54 on the other scales: US 6.835, letter 13.2 (N to N½), Japan 13.57, less forty 14; from the rules above.
#[test]
fn one_finger_on_all_scales() {
    let iso_54 = circumference("54", RingSystem::Circumference);
    let want = [13.2, 6.835, 13.57, 54.0, 14.0];
    for (system, want) in RingSystem::ALL.into_iter().zip(want) {
        assert!((system.number(iso_54) - want).abs() < 6e-3, "{system:?}: {}", system.number(iso_54));
    }
    let shown: Vec<String> = RingSystem::ALL.iter().map(|s| s.nearest(iso_54).unwrap().token).collect();
    assert_eq!(shown, ["N", "6¾", "14", "54", "14"]);
    let letter = RingSystem::Letters.nearest(iso_54).unwrap();
    assert_eq!(letter.residual, Length::from_mm(0.25), "N is 53.75 mm");
}

/// Rowlett's rounded US line, 36.3 + 2.60 n mm, runs from 0.25 mm below the circular's rule at 0 to 0.36 mm above it at 13.
#[test]
fn the_rounded_us_line_differs_by_the_known_amounts() {
    let difference = |n: f64| 36.3 + 2.6 * n - circumference(&n.to_string(), RingSystem::American).mm();
    assert!((difference(0.0) + 0.25).abs() < 6e-3);
    assert!((difference(13.0) - 0.36).abs() < 6e-3);
    // The circular's own terms, in inches of diameter.
    let inches = PI * 25.4 * (0.458 + 0.032 * 13.0);
    assert!((circumference("13", RingSystem::American).mm() - inches).abs() < 1e-6);
}
