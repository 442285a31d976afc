//! The strip at the foot: waits, when hands are wanted next, and what is saved.

use craft::studio::Studio;
use craft::units::Span;

use super::{saving_words, words};
use crate::action::Alarm;
use crate::view::View;
use crate::waits::{Standing, Wait};

pub use super::wait_words::State;

/// One wait as the strip shows it.
#[derive(Clone, Debug, PartialEq)]
pub struct WaitWords {
    /// "0:36": what is left; while the lamp is paused "20 of 60 s", the light so far.
    pub digits: String,
    /// "under the lamp · Bramble, stone 1".
    pub what: String,
    /// The same where there is little room: "under the lamp".
    pub short: &'static str,
    /// How much of it is over, from 0 to 1.
    pub fraction: f32,
}

/// The digits of a wait: what is left of it, or how much of its light a paused lamp has given.
pub fn digits(wait: &Wait) -> String {
    match wait.pause() {
        Some(dose) => words::of_span(dose.lit, dose.planned),
        None => words::clock(wait.remaining()),
    }
}

/// A wait in words.
pub fn wait(studio: &Studio, wait: &Wait) -> WaitWords {
    let name = studio.orders().get(&wait.tag).map(words::remembered).unwrap_or_default();
    let stones = super::undo_words::stone_list(&wait.stones);
    let unsure = if wait.standing == Standing::Unsure { ": how long is not sure" } else { "" };
    let (passed, planned) = wait.pause().map_or((wait.passed, wait.planned), |dose| (dose.lit, dose.planned));
    let (passed, planned) = (passed.micro() as f64, (planned.micro() as f64).max(1.0));
    #[expect(clippy::cast_possible_truncation, reason = "a fraction for a drawing")]
    let fraction = (passed / planned).clamp(0.0, 1.0) as f32;
    WaitWords {
        digits: digits(wait),
        what: format!("{} · {name}, {stones}{unsure}", State::of(wait).words()),
        short: State::of(wait).words(),
        fraction,
    }
}

/// "and 3 more".
pub fn more(count: usize) -> String {
    format!("and {count} more")
}

/// When hands are wanted next: "hands wanted in 0:36", "hands wanted now"; none where nothing runs.
pub fn hands(_studio: &Studio, waits: &[Wait]) -> Option<String> {
    // A lamp that is paused goes on only by hand.
    let left = |wait: &Wait| if wait.is_paused() { Span::ZERO } else { wait.remaining() };
    let least = waits.iter().map(left).min()?;
    Some(if least == Span::ZERO {
        "hands wanted now".to_owned()
    } else {
        format!("hands wanted in {}", words::clock(least))
    })
}

/// What the window says when a wait is over: "Cool enough: Bramble, stone 1".
pub fn rung(studio: &Studio, waits: &[Wait], alarm: &Alarm) -> String {
    let name = studio.orders().get(&alarm.tag).map(words::remembered).unwrap_or_default();
    over(waits, alarm, &name)
}

/// The same for a notice outside the window, where others may read it: by the tag, and without a name.
/// "Cool enough: 4X9-ZZZ, stone 1".
pub fn rung_outside(waits: &[Wait], alarm: &Alarm) -> String {
    over(waits, alarm, &alarm.tag.to_string())
}

fn over(waits: &[Wait], alarm: &Alarm, whose: &str) -> String {
    let of = waits.iter().find(|wait| wait.tag == alarm.tag && wait.stones == alarm.stones);
    let what = of.map_or("a wait is over", |wait| State::once_over(wait).words());
    format!("{}: {whose}, {}", words::sentence_start(what), super::undo_words::stone_list(&alarm.stones))
}

/// What is on the disk, in words.
pub fn saved(view: &View<'_>) -> String {
    match view.read_only {
        Some(_) => "open for looking only".to_owned(),
        None => saving_words::short(view.saves, view.silence_ms),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::present::sample::{at, bench};
    use crate::waits::Kind;
    use craft::stage::Stage;
    use craft::wait::Doubts;

    #[test]
    fn the_window_names_the_remembered_one_and_a_notice_outside_it_only_the_tag() {
        let bench = bench(Stage::Here);
        let planned = Span::from_s(60.0);
        let one = Wait {
            tag: bench.tag,
            stones: vec![1, 2],
            kind: Kind::Cool,
            entry: 0,
            since: at(0),
            planned,
            passed: planned,
            most: Some(planned),
            standing: Standing::Over,
            doubts: Doubts::default(),
            doses: Vec::new(),
        };
        let alarm = Alarm { tag: bench.tag, stones: vec![1, 2], entry: 0 };
        let held = bench.studio.order(bench.tag).unwrap();
        let inside = rung(&bench.studio, std::slice::from_ref(&one), &alarm);
        assert_eq!(inside, format!("Cool enough: {}, stones 1 and 2", words::remembered(held)));
        let outside = rung_outside(&[one], &alarm);
        assert_eq!(outside, format!("Cool enough: {}, stones 1 and 2", bench.tag));
        for name in words::remembered(held).split_whitespace() {
            assert!(!outside.contains(name), "{name}: {outside}");
        }
        assert_eq!(rung_outside(&[], &alarm), format!("A wait is over: {}, stones 1 and 2", bench.tag));
    }
}
