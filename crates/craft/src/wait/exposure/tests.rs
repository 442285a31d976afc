use std::collections::VecDeque;

use super::super::tests::{Computer, Event, history, runner};
use super::*;
use proptest::prelude::*;
use proptest::test_runner::{TestCaseError, TestError};

const S: fn(f64) -> Span = Span::from_s;

/// What a lamp does when the computer sleeps or restarts.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Temper {
    /// It has its own plug.
    StaysOn,
    /// It goes out and stays out.
    GoesOut,
    /// It goes out and comes back with the computer, from the start of its ramp.
    ComesBack,
}

/// What the maker does besides.
#[derive(Clone, Copy, Debug)]
enum Hand {
    Nothing,
    PauseOrResume,
    Answer,
}

/// The lamp as it truly is, with the light it truly gave.
#[derive(Debug)]
struct Lamp {
    on: bool,
    /// The time of this burning, and all that ended before, in full-power microseconds.
    burning_ms: i64,
    gave_before: Span,
    /// The time of the first burning since the press, which is all that a maker can vouch for.
    first_ms: i64,
    is_first: bool,
    ramp: Span,
    cap: Option<Span>,
}

impl Lamp {
    fn press(&mut self) {
        self.go_out();
        (self.on, self.first_ms, self.is_first) = (true, 0, true);
    }

    fn go_out(&mut self) {
        self.gave_before = self.gave();
        (self.on, self.burning_ms) = (false, 0);
    }

    fn burn(&mut self, ms: i64) {
        let left = self.cap.map_or(i64::MAX, |cap| cap.micro() / 1000 - self.burning_ms);
        let burnt = if self.on { ms.min(left) } else { 0 };
        self.burning_ms += burnt;
        self.first_ms += if self.is_first { burnt } else { 0 };
    }

    fn gave(&self) -> Span {
        self.gave_before + light(span(self.burning_ms), self.ramp)
    }

    fn live(&mut self, event: Event, temper: Temper) {
        match event {
            Event::Advance(ms) => self.burn(ms),
            Event::Sleep(ms) | Event::Restart(ms) if temper == Temper::StaysOn => self.burn(ms),
            Event::Sleep(_) | Event::Restart(_) => {
                let was_on = self.on;
                self.go_out();
                self.is_first = false;
                self.on = was_on && temper == Temper::ComesBack;
            }
            Event::ClockStep(_) | Event::Look => {}
        }
    }
}

type Credit = fn(&Exposure, &Moment) -> Span;
type Story = (Vec<(Event, Temper, Hand)>, i64, Option<i64>);

fn story() -> impl Strategy<Value = Story> {
    let temper = prop_oneof![Just(Temper::StaysOn), Just(Temper::GoesOut), Just(Temper::ComesBack)];
    let hand = prop_oneof![4 => Just(Hand::Nothing), 1 => Just(Hand::PauseOrResume), 2 => Just(Hand::Answer)];
    let acts = prop::collection::vec((temper, hand), 24);
    let events = (history(), acts).prop_map(|(events, acts)| {
        events.into_iter().zip(acts).map(|(event, (temper, hand))| (event, temper, hand)).collect()
    });
    (events, 0_i64..90_000, prop::option::of(1_000_i64..200_000))
}

/// Lives through a story and holds the credit against the light that truly fell.
fn check((acts, ramp_ms, cap_ms): &Story, credit: Credit) -> Result<(), TestCaseError> {
    let (ramp, cap) = (span(*ramp_ms), cap_ms.map(span));
    let mut computer = Computer::new();
    let mut exposure = Exposure::new(S(99.0), ramp, cap);
    let mut lamp =
        Lamp { on: false, burning_ms: 0, gave_before: Span::ZERO, first_ms: 0, is_first: true, ramp, cap };
    exposure.start(computer.now()).unwrap();
    lamp.press();
    let (mut vouched_ms, mut owed) = (0, VecDeque::new());
    for &(event, temper, hand) in acts {
        computer.live(event);
        lamp.live(event, temper);
        let now = computer.now();
        let asked = exposure.question(&now).is_some();
        if event == Event::Look {
            exposure.look(now);
        }
        if event == Event::Look && exposure.running().is_some_and(|lit| lit.seen == now) {
            vouched_ms = lamp.first_ms;
        }
        match hand {
            Hand::PauseOrResume if exposure.running().is_some() => {
                if exposure.in_doubt(&now).is_some() {
                    owed.push_back(lamp.first_ms - vouched_ms);
                }
                prop_assert_eq!(exposure.pause(now), Ok(()));
                lamp.go_out();
            }
            Hand::PauseOrResume => {
                prop_assert_eq!(exposure.resume(now), Ok(()));
                lamp.press();
                vouched_ms = 0;
            }
            Hand::Answer if !owed.is_empty() => {
                let lit_ms = owed.pop_front().unwrap_or_default().min(LONGEST_RESTART_MS);
                prop_assert_eq!(exposure.answer(now, Answer::LitFor(span(lit_ms))), Ok(()));
            }
            Hand::Answer if asked => {
                let stayed = lamp.is_first && exposure.answer(now, Answer::StayedOn).is_ok();
                if !stayed {
                    let lit_ms = (lamp.first_ms - vouched_ms).min(LONGEST_RESTART_MS);
                    prop_assert_eq!(exposure.answer(now, Answer::LitFor(span(lit_ms))), Ok(()));
                    lamp.go_out();
                }
                vouched_ms = lamp.first_ms;
            }
            _ => {}
        }
        let given = lamp.gave();
        prop_assert!(credit(&exposure, &now) <= given, "{} credited of {given}", credit(&exposure, &now));
        let early = exposure.standing(&now) == Standing::Done && given < exposure.planned();
        prop_assert!(!early, "done early");
    }
    Ok(())
}

#[test]
fn no_light_is_credited_that_did_not_fall() {
    runner().run(&story(), |story| check(&story, Exposure::credited)).unwrap();
}

#[test]
fn a_credit_that_counts_sleep_or_trusts_the_clock_or_forgets_the_ramp_would_be_noticed() {
    fn with(exposure: &Exposure, running: Span) -> Span {
        let before: Span =
            exposure.presses.iter().map(|lit| light(exposure.capped(lit), exposure.ramp)).sum();
        before + light(exposure.lamp_off_after.map_or(running, |cap| running.min(cap)), exposure.ramp)
    }
    let wall: Credit = |exposure, now| {
        with(
            exposure,
            exposure.running.map_or(Span::ZERO, |lit| span(now.utc_ms - lit.from.utc_ms) + lit.told),
        )
    };
    let sleeps_lit: Credit = |exposure, now| {
        let on = |lit: Lit| elapsed(&lit.from, now).least + lit.told;
        with(exposure, exposure.running.map_or(Span::ZERO, on))
    };
    let awake_is_lit: Credit = |exposure, now| {
        let on = |lit: Lit| {
            span(if lit.from.boot == now.boot { now.awake_ms - lit.from.awake_ms } else { 0 }) + lit.told
        };
        with(exposure, exposure.running.map_or(Span::ZERO, on))
    };
    let no_ramp: Credit = Exposure::lit;
    let no_timer: Credit =
        |exposure, now| Exposure { lamp_off_after: None, ..exposure.clone() }.credited(now);
    for (name, broken) in [
        ("wall", wall),
        ("sleep", sleeps_lit),
        ("awake", awake_is_lit),
        ("ramp", no_ramp),
        ("timer", no_timer),
    ] {
        let found = runner().run(&story(), |story| check(&story, broken));
        assert!(matches!(found, Err(TestError::Fail(..))), "{name}: {found:?}");
    }
}

#[test]
fn all_light_is_credited_where_nothing_happens() {
    let mut computer = Computer::new();
    let mut exposure = Exposure::new(S(99.0), Span::ZERO, None);
    exposure.start(computer.now()).unwrap();
    for _ in 0..64 {
        computer.live(Event::Advance(1_000));
        computer.live(Event::ClockStep(-7_000));
    }
    let now = computer.now();
    assert_eq!((exposure.credited(&now), exposure.remaining(&now)), (S(64.0), S(35.0)));
    assert_eq!(exposure.due_at(&now), Some(now.utc_ms + 35_000));
    exposure.pause(now).unwrap();
    computer.live(Event::Restart(1_000_000));
    assert_eq!(exposure.credited(&computer.now()), S(64.0), "what was paused is kept through a restart");
    exposure.resume(computer.now()).unwrap();
    computer.live(Event::Advance(36_000));
    assert_eq!(exposure.standing(&computer.now()), Standing::Done);
    assert_eq!(exposure.credited(&computer.now()), S(100.0), "what ran over is kept");
}

#[test]
fn a_low_heat_button_gives_the_light_of_its_area() {
    // A straight rise over 60 s of 99 s: the area under it is 99 - 60 / 2 = 69 full-power seconds (plane geometry).
    let button = Exposure::of_button(S(99.0), S(60.0));
    assert_eq!(button.planned(), S(69.0));
    // A second way: the rise in a thousand thin slices.
    let slices: f64 = (0..990).map(|slice| ((f64::from(slice) + 0.5) / 600.0).min(1.0) * 0.1).sum();
    assert!((slices - 69.0).abs() < 1e-9, "{slices}");
    assert_eq!(
        light(S(30.0), S(60.0)),
        S(7.5),
        "half of the way up, a quarter of the light of the whole way"
    );
    assert_eq!(light(S(30.0), Span::ZERO), S(30.0), "limiting case: no ramp");
}

#[test]
fn every_press_ramps_up_anew() {
    let mut computer = Computer::new();
    let mut exposure = Exposure::of_button(S(99.0), S(60.0));
    exposure.start(computer.now()).unwrap();
    computer.live(Event::Advance(60_000));
    exposure.pause(computer.now()).unwrap();
    assert_eq!(exposure.credited(&computer.now()), S(30.0));
    assert_eq!(
        exposure.remaining(&computer.now()),
        S(69.0),
        "39 full-power seconds after another 60 s of ramp"
    );
    exposure.resume(computer.now()).unwrap();
    computer.live(Event::Advance(68_999));
    assert_eq!(exposure.standing(&computer.now()), Standing::Running);
    computer.live(Event::Advance(1));
    assert_eq!(exposure.standing(&computer.now()), Standing::Done);
}

#[test]
fn a_lamp_that_goes_off_by_itself_gives_no_more() {
    let mut computer = Computer::new();
    let mut exposure = Exposure::new(S(99.0), Span::ZERO, Some(S(60.0)));
    exposure.start(computer.now()).unwrap();
    assert_eq!(exposure.due_at(&computer.now()), None, "it goes off before");
    assert_eq!(exposure.resume(computer.now()), Err(WaitError::AlreadyRunning));
    computer.live(Event::Advance(600_000));
    assert_eq!(exposure.credited(&computer.now()), S(60.0));
    assert_eq!(exposure.standing(&computer.now()), Standing::Paused);
    assert_eq!(exposure.remaining(&computer.now()), S(39.0));
    exposure.resume(computer.now()).unwrap();
    computer.live(Event::Advance(9_000));
    assert_eq!(exposure.credited(&computer.now()), S(69.0));
    assert_eq!(exposure.due_at(&computer.now()), Some(computer.now().utc_ms + 30_000));
}

#[test]
fn after_a_sleep_the_credit_waits_for_an_answer() {
    let slept = |answer| {
        let mut computer = Computer::new();
        let mut exposure = Exposure::new(S(99.0), Span::ZERO, None);
        exposure.start(computer.now()).unwrap();
        computer.live(Event::Advance(10_000));
        exposure.look(computer.now());
        computer.live(Event::Sleep(30_000));
        computer.live(Event::Advance(20_000));
        exposure.look(computer.now());
        assert_eq!(
            exposure.credited(&computer.now()),
            S(10.0),
            "the lamp may have gone out with the computer"
        );
        assert_eq!(exposure.standing(&computer.now()), Standing::Unsure);
        assert_eq!(exposure.due_at(&computer.now()), None);
        let gap = exposure.question(&computer.now()).unwrap();
        assert_eq!((gap.elapsed.least, gap.elapsed.doubts.slept), (S(50.0), Some(S(30.0))));
        let told = exposure.answer(computer.now(), answer);
        computer.live(Event::Advance(5_000));
        told.map(|()| (exposure.credited(&computer.now()), exposure.running().is_some()))
    };
    assert_eq!(slept(Answer::StayedOn), Ok((S(65.0), true)));
    assert_eq!(slept(Answer::WentOut), Ok((S(10.0), false)));
    assert_eq!(slept(Answer::LitFor(S(12.0))), Ok((S(22.0), false)));
    assert_eq!(slept(Answer::LitFor(S(50.5))), Err(WaitError::TooLong(S(50.0))));
    assert_eq!(slept(Answer::LitFor(S(-1.0))), Err(WaitError::TooLong(S(50.0))));
    let said = slept(Answer::LitFor(S(50.5))).unwrap_err().to_string();
    assert_eq!(said, "that is not between nothing and the 50 s that passed");
}

#[test]
fn a_lamp_can_be_switched_off_first_and_explained_later() {
    let mut computer = Computer::new();
    let mut exposure = Exposure::new(S(99.0), Span::ZERO, None);
    assert_eq!(exposure.pause(computer.now()), Err(WaitError::NotRunning));
    assert_eq!(exposure.resume(computer.now()), Err(WaitError::NotRunning));
    assert_eq!(exposure.stop(computer.now()), Err(WaitError::NotRunning));
    exposure.start(computer.now()).unwrap();
    assert_eq!(exposure.answer(computer.now(), Answer::StayedOn), Err(WaitError::NoQuestion));
    let earlier = Moment { since_boot_ms: 0, awake_ms: 0, ..computer.now() };
    assert_eq!(exposure.pause(earlier), Err(WaitError::Backwards));
    computer.live(Event::Advance(10_000));
    exposure.look(computer.now());
    computer.live(Event::Restart(20_000));
    exposure.stop(computer.now()).unwrap();
    assert_eq!(exposure.credited(&computer.now()), S(10.0));
    for refused in [
        exposure.clone().start(computer.now()),
        exposure.clone().resume(computer.now()),
        exposure.clone().pause(computer.now()),
        exposure.clone().stop(computer.now()),
    ] {
        assert_eq!(refused, Err(WaitError::Ended));
    }
    let text = ron::to_string(&exposure).unwrap();
    assert_eq!(ron::from_str::<Exposure>(&text).unwrap(), exposure);
    assert_eq!(exposure.answer(computer.now(), Answer::StayedOn), Err(WaitError::HowLong));
    exposure.answer(computer.now(), Answer::LitFor(S(15.0))).unwrap();
    assert_eq!(exposure.credited(&computer.now()), S(25.0));
    assert_eq!(exposure.question(&computer.now()), None);
}

proptest! {
    #[test]
    fn the_time_asked_for_gives_the_light_wanted_and_not_a_millisecond_more(
        wanted in 1_i64..1_000_000_000, ramp in 0_i64..200_000_000,
    ) {
        let (wanted, ramp) = (Span::from_micro(wanted), Span::from_micro(ramp));
        let time = time_for(wanted, ramp);
        prop_assert!(light(time, ramp) >= wanted);
        prop_assert!(light(time - Span::from_micro(1), ramp) < wanted);
    }
}
