//! The strip at the foot: waits, when hands are wanted next, and what is saved.

use craft::studio::Studio;
use craft::units::Span;

use super::{saving_words, words};
use crate::action::Alarm;
use crate::view::View;
use crate::waits::{Kind, Standing, Wait};

/// One wait as the strip shows it.
#[derive(Clone, Debug, PartialEq)]
pub struct WaitWords {
    /// "0:36"; what is left.
    pub digits: String,
    /// "lamp on Bramble, stone 1".
    pub what: String,
    /// How much of it is over, from 0 to 1.
    pub fraction: f32,
}

/// What is being waited for, in a word or two.
pub const fn kind(kind: Kind, standing: Standing) -> &'static str {
    match (kind, standing) {
        (Kind::Settle, Standing::Over) => "settled",
        (Kind::Settle, _) => "settling",
        (Kind::Light, Standing::Over) => "light is over",
        (Kind::Light, _) => "under the lamp",
        (Kind::Cool, Standing::Over) => "cool enough",
        (Kind::Cool, _) => "cooling",
    }
}

/// A wait in words.
pub fn wait(studio: &Studio, wait: &Wait) -> WaitWords {
    let name = studio.orders().get(&wait.tag).map(words::remembered).unwrap_or_default();
    let stones = super::undo_words::stone_list(&wait.stones);
    let unsure = if wait.standing == Standing::Unsure { ": how long is not sure" } else { "" };
    let passed = wait.passed.micro() as f64;
    let planned = (wait.planned.micro() as f64).max(1.0);
    #[expect(clippy::cast_possible_truncation, reason = "a fraction for a drawing")]
    let fraction = (passed / planned).clamp(0.0, 1.0) as f32;
    WaitWords {
        digits: words::clock(wait.remaining()),
        what: format!("{} · {name}, {stones}{unsure}", kind(wait.kind, wait.standing)),
        fraction,
    }
}

/// "and 3 more".
pub fn more(count: usize) -> String {
    format!("and {count} more")
}

/// When hands are wanted next: "hands wanted in 0:36", "hands wanted now"; none where nothing runs.
pub fn hands(_studio: &Studio, waits: &[Wait]) -> Option<String> {
    let least = waits.iter().map(Wait::remaining).min()?;
    Some(if least == Span::ZERO {
        "hands wanted now".to_owned()
    } else {
        format!("hands wanted in {}", words::clock(least))
    })
}

/// What is said when a wait is over: "cool enough: Bramble, stone 1".
pub fn rung(studio: &Studio, waits: &[Wait], alarm: &Alarm) -> String {
    let name = studio.orders().get(&alarm.tag).map(words::remembered).unwrap_or_default();
    let of = waits.iter().find(|wait| wait.tag == alarm.tag && wait.stones == alarm.stones);
    let what = of.map_or("a wait is over", |wait| kind(wait.kind, Standing::Over));
    format!("{}: {name}, {}", words::sentence_start(what), super::undo_words::stone_list(&alarm.stones))
}

/// What is on the disk, in words.
pub fn saved(view: &View<'_>) -> String {
    match view.read_only {
        Some(_) => "open for looking only".to_owned(),
        None => saving_words::all(view.saves),
    }
}
