use super::*;
use crate::moment::BootId;
use proptest::prelude::*;
use proptest::test_runner::{Config, RngAlgorithm, TestCaseError, TestError, TestRng, TestRunner};

/// A computer whose true time is known.
#[derive(Clone, Copy, Debug)]
pub(super) struct Computer {
    pub(super) true_ms: i64,
    wall_ms: i64,
    boot: u128,
    since_boot_ms: i64,
    awake_ms: i64,
}

/// What can happen to it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Event {
    Advance(i64),
    Sleep(i64),
    ClockStep(i64),
    Restart(i64),
    Look,
}

impl Computer {
    pub(super) fn new() -> Self {
        Computer { true_ms: 0, wall_ms: 1_774_744_200_000, boot: 1, since_boot_ms: 90_000, awake_ms: 80_000 }
    }

    pub(super) fn now(&self) -> Moment {
        Moment {
            utc_ms: self.wall_ms,
            offset_min: 60,
            boot: BootId(self.boot),
            since_boot_ms: self.since_boot_ms,
            awake_ms: self.awake_ms,
        }
    }

    pub(super) fn live(&mut self, event: Event) {
        let (passes, awake) = match event {
            Event::Advance(ms) => (ms, ms),
            Event::Sleep(ms) | Event::Restart(ms) => (ms, 0),
            Event::ClockStep(ms) => {
                self.wall_ms += ms;
                (0, 0)
            }
            Event::Look => (0, 0),
        };
        self.true_ms += passes;
        self.wall_ms += passes;
        self.since_boot_ms += passes;
        self.awake_ms += awake;
        if matches!(event, Event::Restart(_)) {
            (self.boot, self.since_boot_ms, self.awake_ms) = (self.boot + 1, 3_000, 3_000);
        }
    }
}

pub(super) fn history() -> impl Strategy<Value = Vec<Event>> {
    let event = prop_oneof![
        4 => (0_i64..100_000).prop_map(Event::Advance),
        2 => (150_i64..4_000_000).prop_map(Event::Sleep),
        1 => (-5_000_000_i64..5_000_000).prop_map(Event::ClockStep),
        1 => (1_000_i64..100_000_000).prop_map(Event::Restart),
        3 => Just(Event::Look),
    ];
    prop::collection::vec(event, 0..24)
}

type Estimate = fn(&Stretch, &Moment) -> (i64, Option<i64>);

fn ours(stretch: &Stretch, now: &Moment) -> (i64, Option<i64>) {
    let found = stretch.elapsed(now);
    (found.least.micro() / 1000, found.most.map(|most| most.micro() / 1000))
}

/// Lives through a history and holds the estimate against true time at every step.
fn check(events: &[Event], estimate: Estimate) -> Result<(), TestCaseError> {
    let mut computer = Computer::new();
    let mut stretch = Stretch::begin(computer.now());
    let (mut stepped, mut restarted, mut hidden) = (false, false, false);
    for &event in events {
        computer.live(event);
        let now = computer.now();
        match event {
            Event::ClockStep(_) => stepped = true,
            Event::Restart(_) => restarted = true,
            Event::Look => {
                // A step between two looks with a restart between them as well cannot be told from time.
                hidden |= stepped && restarted;
                (stepped, restarted) = (false, false);
                stretch.look(now);
            }
            Event::Advance(_) | Event::Sleep(_) => {}
        }
        let (least, most) = estimate(&stretch, &now);
        prop_assert!(least <= computer.true_ms, "claims {least} of {}", computer.true_ms);
        if !(hidden || stepped && restarted) {
            prop_assert!(
                most.is_none_or(|most| computer.true_ms <= most),
                "at most {most:?} of {}",
                computer.true_ms
            );
        }
        if computer.boot == 1 {
            prop_assert_eq!((least, most), (computer.true_ms, Some(computer.true_ms)), "one run is exact");
        }
    }
    prop_assert!(stretch.seen.len() <= 2 * usize::try_from(computer.boot).unwrap());
    Ok(())
}

/// The same 1,024 histories each time; `PROPTEST_CASES` times four where that is set.
pub(super) fn runner() -> TestRunner {
    let usual = Config::default();
    let config = Config { cases: usual.cases.saturating_mul(4), failure_persistence: None, ..usual };
    TestRunner::new_with_rng(config, TestRng::deterministic_rng(RngAlgorithm::ChaCha))
}

#[test]
fn the_true_time_is_always_inside_the_interval() {
    runner().run(&history(), |events| check(&events, ours)).unwrap();
}

#[test]
fn a_wait_told_by_one_clock_alone_would_be_noticed() {
    let wall: Estimate = |stretch, now| {
        let ms = now.utc_ms - stretch.from.utc_ms;
        (ms, Some(ms))
    };
    let awake: Estimate = |stretch, now| {
        let ms = now.awake_ms - stretch.from.awake_ms;
        (ms, Some(ms))
    };
    let blind_to_restarts: Estimate = |stretch, now| {
        let ms = now.since_boot_ms - stretch.from.since_boot_ms;
        (ms, Some(ms))
    };
    for broken in [wall, awake, blind_to_restarts] {
        let found = runner().run(&history(), |events| check(&events, broken));
        assert!(matches!(found, Err(TestError::Fail(..))), "{found:?}");
    }
}

#[test]
fn a_rest_is_never_over_early() {
    let lived = |events: Vec<Event>, planned_s: i64| {
        let mut computer = Computer::new();
        let mut rest = Rest::begin(span(planned_s * 1000), computer.now());
        for event in events {
            computer.live(event);
            if event == Event::Look {
                rest.look(computer.now());
            }
            let over = rest.standing(&computer.now()) == Standing::Done;
            prop_assert!(!over || computer.true_ms >= planned_s * 1000);
            prop_assert_eq!(over, rest.remaining(&computer.now()) == Span::ZERO);
        }
        Ok(())
    };
    runner().run(&(history(), 1_i64..20_000), |(events, planned_s)| lived(events, planned_s)).unwrap();
}

#[test]
fn sleep_and_clock_changes_are_told_and_change_nothing() {
    let mut computer = Computer::new();
    let from = computer.now();
    computer.live(Event::Advance(10_000));
    computer.live(Event::Sleep(192_000));
    computer.live(Event::ClockStep(-3_600_000));
    let found = elapsed(&from, &computer.now());
    assert_eq!(found.least, Span::from_s(202.0));
    assert!(found.is_exact());
    assert_eq!(found.doubts.slept, Some(Span::from_s(192.0)));
    assert_eq!(found.doubts.clock_changed_by, Some(Span::from_s(-3600.0)));
    assert_eq!(minutes(Span::from_s(192.0)), "3 min 12 s");
    computer = Computer::new();
    computer.live(Event::Sleep(2_000));
    computer.live(Event::ClockStep(2_000));
    assert_eq!(elapsed(&from, &computer.now()).doubts, Doubts::default(), "two seconds are not worth a word");
}

#[test]
fn across_a_restart_the_wall_clock_bounds_it_or_nothing_does() {
    let from = Computer::new().now();
    let after = |events: &[Event]| {
        let mut computer = Computer::new();
        for &event in events {
            computer.live(event);
        }
        elapsed(&from, &computer.now())
    };
    let found = after(&[Event::Advance(5_000), Event::Restart(60_000)]);
    assert_eq!((found.least, found.most), (Span::ZERO, Some(Span::from_s(65.0))));
    assert!(found.doubts.restarted);
    assert_eq!(after(&[Event::Restart(1_000), Event::ClockStep(-2_000)]).most, None, "backwards");
    assert_eq!(after(&[Event::Restart(LONGEST_RESTART_MS + 1)]).most, None, "more than a day");
    let backwards = Moment { since_boot_ms: 0, ..from };
    assert!(elapsed(&from, &backwards).doubts.out_of_order);
    assert_eq!(elapsed(&from, &backwards).most, None);
}

#[test]
fn looks_on_both_sides_of_a_restart_leave_only_the_restart_in_doubt() {
    let mut computer = Computer::new();
    let mut rest = Rest::begin(Span::from_s(600.0), computer.now());
    for event in
        [Event::Advance(100_000), Event::Look, Event::Advance(50_000), Event::Look, Event::Restart(30_000)]
    {
        computer.live(event);
        rest.look(computer.now());
    }
    computer.live(Event::Advance(400_000));
    let found = rest.elapsed(&computer.now());
    assert_eq!((found.least, found.most), (Span::from_s(550.0), Some(Span::from_s(580.0))));
    assert_eq!(rest.standing(&computer.now()), Standing::Running, "not even at most is it over");
    let due = rest.due_at(&computer.now());
    computer.live(Event::Advance(30_000));
    assert_eq!(rest.due_at(&computer.now()), due, "the due time does not drift");
    assert_eq!(rest.standing(&computer.now()), Standing::Unsure);
    assert_eq!(rest.tell(computer.now(), Span::from_s(700.0)), Err(WaitError::TooLong(Span::from_s(610.0))));
    rest.tell(computer.now(), Span::from_s(605.0)).unwrap();
    assert_eq!(rest.standing(&computer.now()), Standing::Done);
    assert_eq!(rest.tell(computer.now(), Span::from_s(605.0)), Err(WaitError::NoQuestion));
    rest.stop(computer.now()).unwrap();
    assert_eq!(rest.stop(computer.now()), Err(WaitError::Ended));
    let text = ron::to_string(&Wait::Cool(rest.clone())).unwrap();
    assert_eq!(ron::from_str::<Wait>(&text).unwrap(), Wait::Cool(rest));
    assert!(ron::from_str::<Wait>(&text.replacen("planned:", "hurry:1,planned:", 1)).is_err());
}

#[test]
fn every_kind_of_wait_answers_alike() {
    let mut computer = Computer::new();
    let rest = Rest::begin(Span::from_s(60.0), computer.now());
    let mut exposure = Exposure::new(Span::from_s(60.0), Span::ZERO, None);
    exposure.start(computer.now()).unwrap();
    let mut waits = [Wait::Settle(rest.clone()), Wait::Light(exposure), Wait::Cool(rest)];
    computer.live(Event::Advance(20_500));
    for wait in &mut waits {
        wait.look(computer.now());
        assert_eq!(wait.remaining(&computer.now()), Span::from_s(39.5));
        assert_eq!(wait.due_at(&computer.now()), Some(computer.now().utc_ms + 39_500));
        assert_eq!(wait.standing(&computer.now()), Standing::Running);
    }
    computer.live(Event::Advance(39_500));
    assert!(waits.iter().all(|wait| wait.standing(&computer.now()) == Standing::Done));
    assert!(waits.iter().all(|wait| wait.due_at(&computer.now()).is_none()));
}
