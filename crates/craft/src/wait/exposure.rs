//! Light under the lamp, credited only where it surely fell.
//!
//! While the computer is awake and looking, the lamp is what the maker last said it was. Once the computer has slept
//! or been restarted nobody knows: the lamp may have gone out with it and stayed out. So the credit stands still at
//! the last look before that, until the maker says what the lamp did.

use serde::{Deserialize, Serialize};

use super::{Elapsed, LONGEST_RESTART_MS, Standing, WaitError, elapsed, span, whole_ms};
use crate::moment::Moment;
use crate::units::Span;

/// Two clocks are never read at the very same instant; more sleep than this many milliseconds is sleep.
const READING_SLACK_MS: i64 = 100;

/// What the maker says about a gap.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Answer {
    /// The lamp stayed on through all of it.
    StayedOn,
    /// The lamp went out at its beginning.
    WentOut,
    /// The lamp was on for so long of it, from its beginning.
    LitFor(Span),
}

/// A piece of time in which nobody knows what the lamp did.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Gap {
    /// The last look before it.
    pub from: Moment,
    /// Its end, or now.
    pub to: Moment,
    /// How long it was, and why it is in doubt.
    pub elapsed: Elapsed,
}

/// One press of the lamp button.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Lit {
    /// When the lamp was switched on.
    pub from: Moment,
    /// The last look at which it surely had been on all the time, but for what `told` adds.
    pub seen: Moment,
    /// Time the maker vouched for, beyond what was seen.
    pub told: Span,
    /// Where a gap after `seen` still waits for an answer: its end.
    pub unanswered: Option<Moment>,
}

impl Lit {
    fn begin(now: Moment) -> Self {
        Self { from: now, seen: now, told: Span::ZERO, unanswered: None }
    }

    /// The time the lamp was surely on, before its own timer has a say.
    fn sure(&self) -> Span {
        if self.from.boot != self.seen.boot {
            return self.told;
        }
        let awake_ms = self.seen.awake_ms.saturating_sub(self.from.awake_ms);
        let passed_ms = self.seen.since_boot_ms.saturating_sub(self.from.since_boot_ms);
        span(awake_ms.min(passed_ms).max(0)) + self.told
    }

    /// True where the lamp was surely on from the last look until now.
    fn is_vouched(&self, now: &Moment) -> bool {
        let passed_ms = now.since_boot_ms.saturating_sub(self.seen.since_boot_ms);
        let slept_ms = passed_ms.saturating_sub(now.awake_ms.saturating_sub(self.seen.awake_ms));
        self.seen.boot == now.boot
            && passed_ms >= 0
            && (-READING_SLACK_MS..=READING_SLACK_MS).contains(&slept_ms)
    }

    fn looked(self, now: &Moment) -> Self {
        if self.is_vouched(now) { Self { seen: *now, ..self } } else { self }
    }

    /// Notes what the maker says of the time from the last look to `end`.
    fn tell(&mut self, end: &Moment, answer: Answer) -> Result<(), WaitError> {
        let gap = elapsed(&self.seen, end);
        let lit = match answer {
            Answer::WentOut => Span::ZERO,
            Answer::StayedOn if gap.is_exact() => gap.least,
            Answer::StayedOn => return Err(WaitError::HowLong),
            Answer::LitFor(lit) => lit,
        };
        let most = if gap.is_exact() { gap.least } else { span(LONGEST_RESTART_MS) };
        if lit < Span::ZERO || lit > most {
            return Err(WaitError::TooLong(most));
        }
        self.told = self.told + lit;
        self.unanswered = None;
        Ok(())
    }
}

/// One layer under the lamp.
///
/// Light is counted in seconds at full power. A lamp that grows brighter evenly over its first `ramp` gives
/// t - ramp / 2 of them in t seconds, and t² / (2 ramp) while it still grows: the integral of a straight line. Every
/// press ramps up anew.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Exposure {
    planned: Span,
    ramp: Span,
    lamp_off_after: Option<Span>,
    presses: Vec<Lit>,
    running: Option<Lit>,
    ended: Option<Moment>,
}

impl Exposure {
    /// `planned` full-power seconds, under a lamp that ramps up over `ramp` and goes off by itself after
    /// `lamp_off_after`, if it does. Amounts below zero count as nothing.
    pub fn new(planned: Span, ramp: Span, lamp_off_after: Option<Span>) -> Self {
        let ramp = ramp.max(Span::ZERO);
        Self { planned, ramp, lamp_off_after, presses: Vec::new(), running: None, ended: None }
    }

    /// One press of a lamp button that shines for `seconds`, ramping up over `ramp`, and then goes off.
    pub fn of_button(seconds: Span, ramp: Span) -> Self {
        let ramp = ramp.max(Span::ZERO);
        Self::new(light(seconds, ramp), ramp, Some(seconds))
    }

    /// The full-power seconds it should get.
    pub const fn planned(&self) -> Span {
        self.planned
    }

    /// The presses that are over.
    pub fn presses(&self) -> &[Lit] {
        &self.presses
    }

    /// The press that is on, as it was at the last look.
    pub const fn running(&self) -> Option<&Lit> {
        self.running.as_ref()
    }

    /// When it was ended.
    pub const fn ended(&self) -> Option<&Moment> {
        self.ended.as_ref()
    }

    /// The lamp goes on for the first time.
    ///
    /// # Errors
    /// An exposure that was begun or ended before.
    pub fn start(&mut self, now: Moment) -> Result<(), WaitError> {
        if self.ended.is_some() {
            return Err(WaitError::Ended);
        }
        if self.running.is_some() || !self.presses.is_empty() {
            return Err(WaitError::AlreadyRunning);
        }
        self.running = Some(Lit::begin(now));
        Ok(())
    }

    /// Notes that the computer is awake and looking. Once it has slept or been restarted this changes nothing
    /// until that is answered.
    pub fn look(&mut self, now: Moment) {
        self.running = self.running.map(|lit| lit.looked(&now));
    }

    /// The lamp goes off for a while. A gap that nobody has answered for stays open.
    ///
    /// # Errors
    /// A lamp that is not on.
    pub fn pause(&mut self, now: Moment) -> Result<(), WaitError> {
        if self.ended.is_some() {
            return Err(WaitError::Ended);
        }
        let lit = self.running.ok_or(WaitError::NotRunning)?;
        if lit.seen.boot == now.boot && now.since_boot_ms < lit.seen.since_boot_ms {
            return Err(WaitError::Backwards);
        }
        let unanswered = self.in_doubt(&now).map(|_| now);
        self.presses.push(Lit { unanswered, ..lit.looked(&now) });
        self.running = None;
        Ok(())
    }

    /// The lamp goes on again, after a pause or after its own timer had put it out.
    ///
    /// # Errors
    /// A lamp that is still on, or an exposure that was never begun or was ended.
    pub fn resume(&mut self, now: Moment) -> Result<(), WaitError> {
        if self.ended.is_none() && self.is_timed_out(&now) {
            self.pause(now)?;
        }
        match (self.ended, self.running) {
            (Some(_), _) => Err(WaitError::Ended),
            (None, Some(_)) => Err(WaitError::AlreadyRunning),
            (None, None) if self.presses.is_empty() => Err(WaitError::NotRunning),
            (None, None) => {
                self.running = Some(Lit::begin(now));
                Ok(())
            }
        }
    }

    /// Ends it, done or not. A gap that nobody has answered for can still be answered.
    ///
    /// # Errors
    /// An exposure that was never begun, or was ended before.
    pub fn stop(&mut self, now: Moment) -> Result<(), WaitError> {
        if self.ended.is_some() {
            return Err(WaitError::Ended);
        }
        if self.running.is_some() {
            self.pause(now)?;
        } else if self.presses.is_empty() {
            return Err(WaitError::NotRunning);
        }
        self.ended = Some(now);
        Ok(())
    }

    /// The oldest gap in which nobody knows what the lamp did.
    pub fn question(&self, now: &Moment) -> Option<Gap> {
        let closed = self.presses.iter().find_map(|lit| lit.unanswered.map(|to| (lit.seen, to)));
        let open = || self.in_doubt(now).map(|lit| (lit.seen, *now));
        closed.or_else(open).map(|(from, to)| Gap { from, to, elapsed: elapsed(&from, &to) })
    }

    /// The maker says what the lamp did in that gap. If it did not stay on to the end it counts as paused since.
    ///
    /// # Errors
    /// Nothing to answer, "stayed on" where the length is not known, or more than there was.
    pub fn answer(&mut self, now: Moment, answer: Answer) -> Result<(), WaitError> {
        if let Some((lit, end)) = self.presses.iter_mut().find_map(|lit| lit.unanswered.map(|end| (lit, end)))
        {
            return lit.tell(&end, answer);
        }
        let mut lit = self.in_doubt(&now).ok_or(WaitError::NoQuestion)?;
        lit.tell(&now, answer)?;
        if answer == Answer::StayedOn {
            // From here on it is seen again; what was seen before moves over to what was told.
            let told = lit.sure();
            self.running = Some(Lit { from: now, seen: now, told, unanswered: None });
        } else {
            self.presses.push(lit);
            self.running = None;
        }
        Ok(())
    }

    /// How long the lamp was surely on, in its own seconds.
    pub fn lit(&self, now: &Moment) -> Span {
        let running = self.running.map(|lit| lit.looked(now));
        self.presses.iter().chain(running.as_ref()).map(|lit| self.capped(lit)).sum()
    }

    /// The full-power seconds that surely fell; more than planned where it ran over.
    pub fn credited(&self, now: &Moment) -> Span {
        let running = self.running.map(|lit| lit.looked(now));
        self.presses.iter().chain(running.as_ref()).map(|lit| light(self.capped(lit), self.ramp)).sum()
    }

    /// How much longer the lamp must be on, in its own seconds: of this press, or of a new one if it is off.
    pub fn remaining(&self, now: &Moment) -> Span {
        let before: Span = self.presses.iter().map(|lit| light(self.capped(lit), self.ramp)).sum();
        let so_far = match self.running {
            Some(lit) if !self.is_timed_out(now) => self.capped(&lit.looked(now)),
            Some(_) => return time_for(self.planned - self.credited(now), self.ramp),
            None => Span::ZERO,
        };
        (time_for(self.planned - before, self.ramp) - so_far).max(Span::ZERO)
    }

    /// How it stands. It is done only by light that surely fell.
    pub fn standing(&self, now: &Moment) -> Standing {
        if self.credited(now) >= self.planned {
            Standing::Done
        } else if self.question(now).is_some() {
            Standing::Unsure
        } else if self.running.is_some() && !self.is_timed_out(now) {
            Standing::Running
        } else {
            Standing::Paused
        }
    }

    /// The wall clock, in milliseconds UTC, when it will be done if the lamp stays on; `None` where it is done, the
    /// lamp is off or in doubt, or its own timer will put it out before.
    pub fn due_at(&self, now: &Moment) -> Option<i64> {
        let lit = self.running.filter(|lit| lit.is_vouched(now))?;
        let left = self.remaining(now);
        let lasts = self.lamp_off_after.is_none_or(|cap| lit.looked(now).sure() + left <= cap);
        let open = self.standing(now) == Standing::Running && lasts;
        open.then(|| now.utc_ms.saturating_add(whole_ms(left)))
    }

    /// The press that is on, where nobody knows whether the lamp still is. One that its own timer had put out
    /// before leaves no question.
    fn in_doubt(&self, now: &Moment) -> Option<Lit> {
        self.running.filter(|lit| !lit.is_vouched(now) && !self.is_timed_out(now))
    }

    fn capped(&self, lit: &Lit) -> Span {
        self.lamp_off_after.map_or(lit.sure(), |cap| lit.sure().min(cap)).max(Span::ZERO)
    }

    /// True where the lamp's own timer has surely put it out.
    fn is_timed_out(&self, now: &Moment) -> bool {
        let on = self.running.map(|lit| lit.looked(now).sure());
        on.zip(self.lamp_off_after).is_some_and(|(on, cap)| on >= cap)
    }
}

/// The full-power time that `on` of lamp time gives, rounded down to the microsecond.
fn light(on: Span, ramp: Span) -> Span {
    let (on, ramp) = (i128::from(on.micro().max(0)), i128::from(ramp.micro().max(0)));
    let full = if on < ramp { on * on / (2 * ramp) } else { on - (ramp + 1) / 2 };
    Span::from_micro(i64::try_from(full).unwrap_or(i64::MAX))
}

/// The least lamp time of one press that gives `wanted` full-power time; nothing for nothing.
fn time_for(wanted: Span, ramp: Span) -> Span {
    if !wanted.is_positive() {
        return Span::ZERO;
    }
    let ramp_micro = ramp.micro().max(0);
    let (micro, half) = (wanted.micro(), ramp_micro / 2 + ramp_micro % 2);
    if micro >= ramp_micro - half {
        return wanted + Span::from_micro(half);
    }
    // Where t² / (2 ramp) reaches `wanted`, rounded up, so that rounding light down never leaves it short.
    let square = 2 * i128::from(ramp_micro) * i128::from(micro);
    let root = square.unsigned_abs().isqrt();
    let up = root + u128::from(root * root < square.unsigned_abs());
    Span::from_micro(i64::try_from(up).unwrap_or(i64::MAX))
}

#[cfg(test)]
mod tests;
