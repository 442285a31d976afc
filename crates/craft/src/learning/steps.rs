//! The patches of a wedge test: for how long each is lit, and what that is worth.

use crate::cure::Button;
use crate::units::Span;

/// What `lit` seconds under a button are worth in seconds of full power, where it is pressed again as often as it takes
/// and the last press is cut short: each press grows anew.
pub fn light_of(button: &Button, lit: Span) -> Span {
    let (lit, press) = (lit.micro().max(0), button.total().micro());
    let whole = Span::from_micro(button.equivalent().micro().saturating_mul(lit / press));
    whole + button.equivalent_after(Span::from_micro(lit % press))
}

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
            .find(|lit| light_of(button, *lit) >= wanted);
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
    fn a_second_press_grows_anew() {
        // By hand: a whole press of 99 s that grows over 60 s is 69 full seconds, and 30 s of the next 30²/(2·60).
        let low = button(99.0, 60.0);
        assert_eq!(light_of(&low, Span::from_s(129.0)), Span::from_s(76.5));
        assert!(light_of(&low, Span::from_s(129.0)) < low.equivalent() + Span::from_s(30.0));
        assert_eq!(light_of(&button(60.0, 0.0), Span::from_s(150.0)), Span::from_s(150.0));
        assert_eq!(light_of(&low, Span::from_s(-1.0)), Span::ZERO);
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
        let worth: Vec<f64> = times.iter().map(|time| light_of(&low, *time).s()).collect();
        assert!(worth.windows(2).all(|pair| (1.8..2.2).contains(&(pair[1] / pair[0]))), "{worth:?}");
    }

    #[test]
    fn no_patch_takes_longer_than_an_hour() {
        assert_eq!(doubling(&button(60.0, 0.0), Span::from_s(1_000.0), 5).len(), 2);
    }
}
