//! How long something has settled, cooled or been lit, worked out from [`Moment`]s each time it is asked.
//!
//! Nothing counts down here. What is kept is when a wait began and when the computer last looked; the rest follows.
//! Within one run of the computer the time since it was switched on is exact, through sleep, through a closed
//! program and through any change of the clock. Across a restart only the wall clock is left, so the answer is an
//! interval, and one that can be unknown.
//!
//! One thing cannot be seen: a clock set back while the computer was off. That is why a wait across a restart always
//! says so, and why only the lower end of the interval ever ends a wait.

use serde::{Deserialize, Serialize};

use crate::moment::Moment;
use crate::units::Span;

mod exposure;

pub use exposure::{Answer, Exposure, Gap, Lit};

/// Sleep or a change of clock below this many milliseconds is not worth a word.
pub const WORTH_TELLING_MS: i64 = 2_000;
/// A restart that seems to have taken longer than this, in milliseconds, says more about the clock than about the
/// restart.
pub const LONGEST_RESTART_MS: i64 = 24 * 60 * 60 * 1000;

/// Why a wait cannot be changed like that.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum WaitError {
    /// It was begun before.
    #[error("it is running already; pause it first")]
    AlreadyRunning,
    /// It is not running.
    #[error("it is not running; start it first")]
    NotRunning,
    /// It is over.
    #[error("it was ended; begin a new one")]
    Ended,
    /// The computer's own count went backwards.
    #[error("the computer's time runs backwards here; look at the lamp and start again")]
    Backwards,
    /// There is nothing to answer.
    #[error("there is nothing to tell; all of the time is accounted for")]
    NoQuestion,
    /// "The whole time" is not a number when nobody knows how long it was.
    #[error(
        "the computer was restarted, so how long that was is not known; say how many seconds the lamp was on"
    )]
    HowLong,
    /// More than there was.
    #[error("that is not between nothing and the {} that passed", minutes(*.0))]
    TooLong(Span),
}

/// A span in words: `3 min 12 s`.
fn minutes(span: Span) -> String {
    let seconds = span.micro() / 1_000_000;
    if seconds < 60 { format!("{seconds} s") } else { format!("{} min {} s", seconds / 60, seconds % 60) }
}

/// Whole milliseconds as a span.
fn span(ms: i64) -> Span {
    Span::from_micro(ms.saturating_mul(1000))
}

/// What is odd about an elapsed time.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub struct Doubts {
    /// The computer was switched off and on in between, or it is another computer.
    pub restarted: bool,
    /// The computer slept for so long of it, where that is more than two seconds.
    pub slept: Option<Span>,
    /// The largest change of the wall clock in it, forwards above zero, where that is more than two seconds.
    pub clock_changed_by: Option<Span>,
    /// The moments are not in order: the record was altered, or the computer's count is broken.
    pub out_of_order: bool,
}

/// How long something took.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Elapsed {
    /// At least so long.
    pub least: Span,
    /// At most so long; `None` where that cannot be known.
    pub most: Option<Span>,
    /// What is odd about it.
    pub doubts: Doubts,
}

impl Elapsed {
    const NONE: Elapsed = Elapsed {
        least: Span::ZERO,
        most: Some(Span::ZERO),
        doubts: Doubts { restarted: false, slept: None, clock_changed_by: None, out_of_order: false },
    };

    /// True where least and most are the same.
    pub fn is_exact(&self) -> bool {
        self.most == Some(self.least)
    }

    /// One after the other.
    fn then(self, next: Elapsed) -> Elapsed {
        let largest = |a: Span, b: Span| if a.abs() >= b.abs() { a } else { b };
        let both = |a: Option<Span>, b: Option<Span>, join: fn(Span, Span) -> Span| match (a, b) {
            (Some(a), Some(b)) => Some(join(a, b)),
            (one, other) => one.or(other),
        };
        Elapsed {
            least: self.least + next.least,
            most: self.most.zip(next.most).map(|(a, b)| a + b),
            doubts: Doubts {
                restarted: self.doubts.restarted || next.doubts.restarted,
                slept: both(self.doubts.slept, next.doubts.slept, |a, b| a + b),
                clock_changed_by: both(self.doubts.clock_changed_by, next.doubts.clock_changed_by, largest),
                out_of_order: self.doubts.out_of_order || next.doubts.out_of_order,
            },
        }
    }
}

/// How long it is from one moment to another.
///
/// In one run of the computer this is exact, to the millisecond, sleep included. Across a restart it lies between
/// nothing and the difference of the wall clocks; where that is negative or more than a day the upper end is unknown.
pub fn elapsed(from: &Moment, now: &Moment) -> Elapsed {
    let wall_ms = now.utc_ms.saturating_sub(from.utc_ms);
    if from.boot != now.boot {
        let most = (0..=LONGEST_RESTART_MS).contains(&wall_ms).then(|| span(wall_ms));
        return Elapsed { least: Span::ZERO, most, doubts: Doubts { restarted: true, ..Doubts::default() } };
    }
    let passed_ms = now.since_boot_ms.saturating_sub(from.since_boot_ms);
    let slept_ms = passed_ms.saturating_sub(now.awake_ms.saturating_sub(from.awake_ms));
    let changed_ms = wall_ms.saturating_sub(passed_ms);
    if passed_ms < 0 {
        return Elapsed {
            least: Span::ZERO,
            most: None,
            doubts: Doubts { out_of_order: true, ..Doubts::default() },
        };
    }
    let doubts = Doubts {
        slept: (slept_ms > WORTH_TELLING_MS).then(|| span(slept_ms)),
        clock_changed_by: (changed_ms.saturating_abs() > WORTH_TELLING_MS).then(|| span(changed_ms)),
        ..Doubts::default()
    };
    Elapsed { least: span(passed_ms), most: Some(span(passed_ms)), doubts }
}

/// A piece of time with a beginning, looks on the way, and perhaps an end.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Stretch {
    /// When it began.
    pub from: Moment,
    /// The first and the last look in each run of the computer; they keep a restart from blurring the rest.
    pub seen: Vec<Moment>,
    /// When it ended.
    pub to: Option<Moment>,
}

impl Stretch {
    /// Begins now.
    pub const fn begin(now: Moment) -> Self {
        Self { from: now, seen: Vec::new(), to: None }
    }

    /// Notes that the computer is still there. Only the first and last look of each run are kept, so this may be
    /// called at every tick.
    pub fn look(&mut self, now: Moment) {
        if self.to.is_some() {
            return;
        }
        let last = self.seen.last().unwrap_or(&self.from).boot;
        let before = match self.seen.as_slice() {
            [.., before, _] => Some(before.boot),
            [_] => Some(self.from.boot),
            [] => None,
        };
        if last == now.boot && before == Some(now.boot) {
            self.seen.pop();
        }
        self.seen.push(now);
    }

    /// How long it has lasted, or did last.
    pub fn elapsed(&self, now: &Moment) -> Elapsed {
        let end = self.to.as_ref().unwrap_or(now);
        let mut total = Elapsed::NONE;
        let mut from = &self.from;
        for to in self.seen.iter().chain([end]) {
            total = total.then(elapsed(from, to));
            from = to;
        }
        total
    }
}

/// How a wait stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Standing {
    /// Time counts.
    Running,
    /// Time does not count: it is not begun, is paused, was ended short, or the lamp went off by its own timer.
    Paused,
    /// It may be over, but only the maker can tell.
    Unsure,
    /// It is surely over.
    Done,
}

/// A wait in which only time has to pass: settling or cooling. It counts whether the computer sleeps or not.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Rest {
    /// How long it should be.
    pub planned: Span,
    /// What the maker said had passed before the stretch began.
    pub told: Span,
    /// The time itself.
    pub stretch: Stretch,
}

impl Rest {
    /// Begins now.
    pub const fn begin(planned: Span, now: Moment) -> Self {
        Self { planned, told: Span::ZERO, stretch: Stretch::begin(now) }
    }

    /// Notes that the computer is still there.
    pub fn look(&mut self, now: Moment) {
        self.stretch.look(now);
    }

    /// How long it has lasted.
    pub fn elapsed(&self, now: &Moment) -> Elapsed {
        let told = Elapsed { least: self.told, most: Some(self.told), ..Elapsed::NONE };
        told.then(self.stretch.elapsed(now))
    }

    /// The maker says how long it has been so far, after a restart left that open.
    ///
    /// # Errors
    /// A wait that was ended, one with nothing open, or less than surely passed or more than can have passed.
    pub fn tell(&mut self, now: Moment, passed: Span) -> Result<(), WaitError> {
        if self.stretch.to.is_some() {
            return Err(WaitError::Ended);
        }
        let so_far = self.elapsed(&now);
        if so_far.is_exact() {
            return Err(WaitError::NoQuestion);
        }
        let most = so_far.most.unwrap_or(so_far.least + span(LONGEST_RESTART_MS));
        if passed < so_far.least || passed > most {
            return Err(WaitError::TooLong(most));
        }
        (self.told, self.stretch) = (passed, Stretch::begin(now));
        Ok(())
    }

    /// Ends it, over or not.
    ///
    /// # Errors
    /// A wait that was ended before.
    pub fn stop(&mut self, now: Moment) -> Result<(), WaitError> {
        if self.stretch.to.is_some() {
            return Err(WaitError::Ended);
        }
        self.stretch.to = Some(now);
        Ok(())
    }

    /// What is left until it is surely over; never below zero.
    pub fn remaining(&self, now: &Moment) -> Span {
        (self.planned - self.elapsed(now).least).max(Span::ZERO)
    }

    /// How it stands.
    pub fn standing(&self, now: &Moment) -> Standing {
        let so_far = self.elapsed(now);
        if so_far.least >= self.planned {
            Standing::Done
        } else if so_far.most.is_none_or(|most| most >= self.planned) {
            Standing::Unsure
        } else if self.stretch.to.is_some() {
            Standing::Paused
        } else {
            Standing::Running
        }
    }

    /// The wall clock, in milliseconds UTC, when it will surely be over; `None` where it is, or was ended.
    pub fn due_at(&self, now: &Moment) -> Option<i64> {
        let open = self.stretch.to.is_none() && self.standing(now) != Standing::Done;
        open.then(|| now.utc_ms.saturating_add(whole_ms(self.remaining(now))))
    }
}

/// A span in whole milliseconds, the last one begun counted in full.
fn whole_ms(span: Span) -> i64 {
    span.micro().div_euclid(1000) + i64::from(span.micro().rem_euclid(1000) > 0)
}

/// One of the waits of a layer.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Wait {
    /// Resin levels and lets go of its air.
    Settle(Rest),
    /// The lamp is on.
    Light(Exposure),
    /// The stone and the mould cool down.
    Cool(Rest),
}

impl Wait {
    /// Notes that the computer is still there; to be called often, and written down every few seconds.
    pub fn look(&mut self, now: Moment) {
        match self {
            Wait::Settle(rest) | Wait::Cool(rest) => rest.look(now),
            Wait::Light(exposure) => exposure.look(now),
        }
    }

    /// What is left until it is surely over; never below zero.
    pub fn remaining(&self, now: &Moment) -> Span {
        match self {
            Wait::Settle(rest) | Wait::Cool(rest) => rest.remaining(now),
            Wait::Light(exposure) => exposure.remaining(now),
        }
    }

    /// How it stands.
    pub fn standing(&self, now: &Moment) -> Standing {
        match self {
            Wait::Settle(rest) | Wait::Cool(rest) => rest.standing(now),
            Wait::Light(exposure) => exposure.standing(now),
        }
    }

    /// The wall clock, in milliseconds UTC, when it will surely be over, if it goes on like this.
    pub fn due_at(&self, now: &Moment) -> Option<i64> {
        match self {
            Wait::Settle(rest) | Wait::Cool(rest) => rest.due_at(now),
            Wait::Light(exposure) => exposure.due_at(now),
        }
    }
}

#[cfg(test)]
mod tests;
