//! The patches of a wedge test: for how long each is lit.

use crate::cure::Button;
use crate::units::Span;

/// No patch is lit for longer than this: nobody sits by it (common practice, no source).
const LONGEST_S: i64 = 3_600;

/// For how long each of `patches` patches is lit: whole seconds under this button, the first worth at least `first` in
/// seconds of full power and each next one about twice as much. Fewer where the last would take longer than an hour.
pub fn doubling(button: &Button, first: Span, patches: u8) -> Vec<Span> {
    let mut times = Vec::new();
    let (mut wanted, mut from) = (first, 1_i64);
    for _ in 0..patches {
        let found = (from..=LONGEST_S)
            .map(|s| Span::from_micro(s * 1_000_000))
            .find(|lit| button.equivalent_over(*lit) >= wanted);
        let Some(lit) = found else { break };
        times.push(lit);
        (wanted, from) = (wanted + wanted, lit.micro() / 1_000_000);
    }
    times
}

#[cfg(test)]
mod tests {
    use super::*;

    fn button(total_s: f64, ramp_s: f64) -> Button {
        Button::new("test", Span::from_s(total_s), Span::from_s(ramp_s)).unwrap()
    }

    fn seconds(times: &[Span]) -> Vec<f64> {
        times.iter().map(|time| time.s()).collect()
    }

    #[test]
    fn each_patch_is_worth_about_twice_the_one_before() {
        assert_eq!(
            seconds(&doubling(&button(60.0, 0.0), Span::from_s(3.0), 5)),
            [3.0, 6.0, 12.0, 24.0, 48.0]
        );
        let low = button(99.0, 60.0);
        let times = doubling(&low, Span::from_s(3.0), 5);
        // By hand: s²/120 is first at least 3, 6, 12 and 24 at 19, 27, 38 and 54 s; then s − 30 is 48 at 78 s.
        assert_eq!(seconds(&times), [19.0, 27.0, 38.0, 54.0, 78.0]);
        let worth: Vec<f64> = times.iter().map(|time| low.equivalent_over(*time).s()).collect();
        assert!(worth.windows(2).all(|pair| (1.8..2.2).contains(&(pair[1] / pair[0]))), "{worth:?}");
    }

    #[test]
    fn no_patch_takes_longer_than_an_hour() {
        assert_eq!(doubling(&button(60.0, 0.0), Span::from_s(1_000.0), 5).len(), 2);
    }
}
