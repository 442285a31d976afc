//! Tests that are none, and lamps that are called dead.

use super::*;

#[test]
fn more_light_that_set_less_on_the_whole_is_no_test_and_one_strange_step_is() {
    let places = |points: &[(f64, f64)]| reversed(&wedge(points, 0.25));
    assert_eq!(places(&[(3.0, 5.0), (6.0, 4.0), (12.0, 3.0), (24.0, 2.0), (48.0, 1.0)]), Some((4, 0)));
    assert_eq!(places(&[(3.0, 0.0), (6.0, 0.4), (12.0, 1.0), (24.0, 0.8), (48.0, 2.0)]), None);
    assert_eq!(places(&FOUR), None);
    assert_eq!(places(&[(6.0, 1.8), (14.0, 2.6), (40.0, 3.6), (90.0, 1.2)]), None);
    assert_eq!(places(&[(10.0, 1.6), (20.0, 2.6), (40.0, 0.5)]), None, "without the last it is in order");
    let one_row_off = [(3.0, 1.2), (6.0, 0.0), (12.0, 0.0), (24.0, 0.0), (48.0, 0.0)];
    assert!(places(&one_row_off).is_some(), "what the shortest light set stands in the wrong row");
    assert_eq!(places(&[(30.0, 2.0), (60.0, 0.0)]), Some((1, 0)), "nothing where half the light set 2 mm");
}

#[test]
fn only_a_test_in_which_nothing_set_calls_a_lamp_dead_and_only_what_came_after_it_takes_that_back() {
    let learned = |seen: &[Observation]| {
        learn(&Belief::TYPICAL, seen, &Bench { today: day(2), ..bench() }).unwrap().dead
    };
    let nothing = || wedge(&[(5.0, 0.0), (30.0, 0.0), (120.0, 0.0)], 0.05);
    let dead = Some(Span::from_s(120.0));
    assert_eq!(learned(&[nothing()]), dead);
    assert_eq!(
        learned(&[nothing(), felt(0.5, 60.0, Hardness::Hard)]),
        dead,
        "felt that day, and nobody knows at what hour"
    );
    assert_eq!(learned(&[wedge(&FOUR, 0.05), nothing()]), dead);
    assert_eq!(learned(&[nothing(), wedge(&FOUR, 0.05)]), None);
    let later = Observation { on: day(1), ..felt(0.5, 60.0, Hardness::Hard) };
    assert_eq!(learned(&[nothing(), later]), None);
    assert_eq!(
        learned(&[felt(1.0, 120.0, Hardness::Soft), felt(0.5, 180.0, Hardness::Soft)]),
        None,
        "soft layers are no test"
    );
}
