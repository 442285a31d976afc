use craft::fact::{Amount, Check, Fact, Hardness, How, LayerKind, PourFact, Press};
use craft::moment::BootId;
use craft::planner::Plan;
use craft::stage::Stage;
use craft::studio::{Edit, OrderEdit};

use super::*;
use crate::action::{Action, Alarm, Effect};
use crate::present::sample::{self, id};
use crate::state::Workbench;

/// The sample order with both stones begun and their first layers wet; the clock moves by hand.
struct Lamp {
    bench: Workbench,
    tag: Tag,
    now: Moment,
}

fn later(now: Moment, ms: i64) -> Moment {
    Moment {
        utc_ms: now.utc_ms + ms,
        since_boot_ms: now.since_boot_ms + ms,
        awake_ms: now.awake_ms + ms,
        ..now
    }
}

fn s(seconds: f64) -> Span {
    Span::from_s(seconds)
}

impl Lamp {
    /// Both stones are begun, five minutes apart by the sample's clock, then everything has long settled.
    fn wet() -> Self {
        let mut sample = sample::bench(Stage::Here);
        sample.begin(1, "A1");
        sample.begin(2, "B2");
        let now = later(sample.now(), 3_600_000);
        Self { bench: Workbench::new(sample.studio, None), tag: sample.tag, now }
    }

    fn pass(&mut self, seconds: i64) {
        self.now = later(self.now, seconds * 1_000);
    }

    fn waits(&self) -> Vec<Wait> {
        self.bench.view(self.now).waits
    }

    /// The one wait that runs.
    fn only(&self) -> Wait {
        let mut all = self.waits();
        assert_eq!(all.len(), 1, "{all:?}");
        all.remove(0)
    }

    fn kinds(&self) -> Vec<(Kind, Vec<u8>)> {
        self.waits().into_iter().map(|wait| (wait.kind, wait.stones)).collect()
    }

    /// Records a fact; gives the number of its entry.
    fn record(&mut self, fact: impl Into<Fact>) -> u32 {
        let edit = Edit::Order(self.tag, OrderEdit::Fact(fact.into()));
        let effects = self.bench.handle(Action::Edit(edit), self.now);
        let view = self.bench.view(self.now);
        assert_eq!((effects.len(), view.notice), (1, None));
        view.studio.order(self.tag).unwrap().order.log.len()
    }

    fn lamp_on(&mut self, stones: &[u8], press: (u8, f64, f64)) -> u32 {
        let (button, seconds, ramp) = press;
        let press = Press { lamp: id("nail-lamp"), button, seconds: s(seconds), ramp: s(ramp) };
        self.record(PourFact::LampOn { stones: stones.to_vec(), press })
    }

    fn feel(&mut self, stone: u8, layer: u8) {
        self.record(PourFact::Felt { stone, layer, hardness: Hardness::Hard });
    }

    fn lay(&mut self, stone: u8, layer: u8) {
        let planned = sample::usual_plan().layers.swap_remove(usize::from(layer) - 1);
        self.record(PourFact::Laid {
            stone,
            layer,
            kind: LayerKind::Clear,
            thickness: planned.thickness,
            load: planned.load,
            amount: Amount::ToTheMark,
            bottle: id("clear-resin"),
            pigment: planned.load.is_positive().then(|| id("deep-green")),
        });
    }

    /// The bells of one tick, and the moment it asks to be woken at.
    fn tick(&mut self) -> (Vec<Alarm>, Option<Moment>) {
        let (mut alarms, mut wake) = (Vec::new(), None);
        for effect in self.bench.handle(Action::Tick, self.now) {
            match effect {
                Effect::Ring(alarm) => alarms.push(alarm),
                Effect::WakeAt(moment) => assert_eq!(wake.replace(moment), None, "it asks once"),
                other => panic!("a tick does not ask for {other:?}"),
            }
        }
        (alarms, wake)
    }
}

fn change_plan(studio: &mut Studio, tag: Tag, no: u8, change: impl FnOnce(&mut Plan)) {
    let mut sheet = studio.order(tag).unwrap().order.sheet.clone();
    let stone = sheet.stones.iter_mut().find(|stone| stone.no == no).unwrap();
    change(stone.plan.as_mut().unwrap());
    studio.apply(Edit::Order(tag, OrderEdit::Sheet(Box::new(sheet))), sample::at(0)).unwrap();
}

#[test]
fn settling_light_and_cooling_follow_from_the_record_one_after_the_other() {
    let mut lamp = Lamp::wet();
    let planned = sample::usual_plan().layers.swap_remove(0);
    assert!(planned.settle.is_positive() && planned.cool.is_positive());
    // A long time after laying both settle waits are over, and still there until the lamp goes on.
    assert_eq!(lamp.kinds(), [(Kind::Settle, vec![1]), (Kind::Settle, vec![2])]);
    assert!(lamp.waits().iter().all(|wait| wait.is_over() && wait.planned == planned.settle));
    let on = lamp.lamp_on(&[1, 2], (1, 60.0, 0.0));
    lamp.pass(20);
    let light = lamp.only();
    assert_eq!((light.kind, &light.stones[..], light.entry), (Kind::Light, &[1, 2][..], on));
    assert_eq!((light.planned, light.passed, light.remaining()), (s(60.0), s(20.0), s(40.0)));
    lamp.pass(40);
    assert!(lamp.only().is_over());
    lamp.record(PourFact::LampOff { on, lit: s(60.0) });
    lamp.pass(7);
    let cool = lamp.only();
    assert_eq!((cool.kind, &cool.stones[..], cool.entry), (Kind::Cool, &[1, 2][..], on));
    assert_eq!((cool.planned, cool.remaining()), (planned.cool, planned.cool - s(7.0)));
    // Each stone leaves the wait by its own fact.
    lamp.record(PourFact::Cooled { stones: vec![1] });
    assert_eq!(lamp.kinds(), [(Kind::Cool, vec![2])]);
    lamp.feel(2, 1);
    assert_eq!(lamp.waits(), []);
}

#[test]
fn a_fresh_layer_settles_for_as_long_as_it_was_planned_and_rings_once() {
    let mut lamp = Lamp::wet();
    let on = lamp.lamp_on(&[1, 2], (1, 60.0, 0.0));
    lamp.pass(60);
    lamp.record(PourFact::LampOff { on, lit: s(60.0) });
    lamp.feel(1, 1);
    lamp.feel(2, 1);
    lamp.lay(1, 2);
    let settle = sample::usual_plan().layers[1].settle;
    lamp.pass(30);
    let wait = lamp.only();
    assert_eq!((wait.kind, wait.remaining()), (Kind::Settle, settle - s(30.0)));
    let (alarms, wake) = lamp.tick();
    assert_eq!((alarms, wake), (vec![], Some(later(lamp.now, wait.remaining().micro() / 1_000))));
    lamp.now = wake.unwrap();
    let (alarms, wake) = lamp.tick();
    assert_eq!(alarms.len(), 1);
    assert_eq!((alarms[0].tag, &alarms[0].stones[..]), (lamp.tag, &[1][..]));
    assert_eq!(wake, None, "nothing else is due");
    lamp.pass(1);
    assert_eq!(lamp.tick().0, []);
}

#[test]
fn the_next_layer_rings_again_though_nobody_looked_in_between() {
    let mut lamp = Lamp::wet();
    lamp.record(PourFact::SetAside { stone: 2 });
    assert_eq!(lamp.tick().0.len(), 2, "both first layers have long settled");
    let on = lamp.lamp_on(&[1], (1, 60.0, 0.0));
    lamp.pass(60);
    lamp.record(PourFact::LampOff { on, lit: s(60.0) });
    lamp.feel(1, 1);
    lamp.lay(1, 2);
    lamp.pass(3_600);
    let rung: Vec<_> = lamp.tick().0.into_iter().map(|alarm| alarm.stones).collect();
    assert_eq!(rung, [[1]], "the second layer's settling is a wait of its own");
}

#[test]
fn stones_that_cool_together_ring_once_however_they_are_felt() {
    let mut lamp = Lamp::wet();
    let on = lamp.lamp_on(&[1, 2], (1, 60.0, 0.0));
    lamp.pass(60);
    let (alarms, _) = lamp.tick();
    assert_eq!(alarms, [Alarm { tag: lamp.tag, stones: vec![1, 2], entry: on }]);
    lamp.record(PourFact::LampOff { on, lit: s(60.0) });
    lamp.pass(600);
    let (alarms, _) = lamp.tick();
    assert_eq!(alarms, [Alarm { tag: lamp.tag, stones: vec![1, 2], entry: on }]);
    lamp.feel(1, 1);
    lamp.pass(1);
    assert_eq!(lamp.tick(), (vec![], None), "the other stone's bell has rung already");
}

#[test]
fn stones_under_one_lamp_are_cool_when_the_slowest_is() {
    let mut sample = sample::bench(Stage::Here);
    sample.begin(1, "A1");
    let tag = sample.tag;
    change_plan(&mut sample.studio, tag, 2, |plan| plan.layers[0].cool = Span::from_s(1_000.0));
    sample.begin(2, "B2");
    let now = later(sample.now(), 60_000);
    let mut lamp = Lamp { bench: Workbench::new(sample.studio, None), tag, now };
    let on = lamp.lamp_on(&[1, 2], (1, 60.0, 0.0));
    lamp.pass(60);
    lamp.record(PourFact::LampOff { on, lit: s(60.0) });
    assert!(sample::usual_plan().layers[0].cool < s(1_000.0));
    assert_eq!(lamp.only().remaining(), s(1_000.0));
}

#[test]
fn the_wait_that_ends_first_stands_in_front_and_sets_the_alarm() {
    let mut lamp = Lamp::wet();
    let slow = lamp.lamp_on(&[1], (3, 120.0, 0.0));
    lamp.pass(10);
    let quick = lamp.lamp_on(&[2], (1, 60.0, 0.0));
    lamp.pass(5);
    let order: Vec<_> = lamp.waits().iter().map(|wait| (wait.entry, wait.remaining())).collect();
    assert_eq!(order, [(quick, s(55.0)), (slow, s(105.0))]);
    let (alarms, wake) = lamp.tick();
    assert_eq!((alarms, wake), (vec![], Some(later(lamp.now, 55_000))));
    lamp.now = wake.unwrap();
    let (alarms, wake) = lamp.tick();
    assert_eq!(alarms, [Alarm { tag: lamp.tag, stones: vec![2], entry: quick }]);
    assert_eq!(wake, Some(later(lamp.now, 50_000)));
    // A look a hair before the time neither rings nor forgets.
    lamp.now = later(wake.unwrap(), -1);
    assert_eq!(lamp.tick(), (vec![], Some(later(lamp.now, 1))));
    lamp.now = later(lamp.now, 1);
    assert_eq!(lamp.tick(), (vec![Alarm { tag: lamp.tag, stones: vec![1], entry: slow }], None));
}

#[test]
fn a_paused_light_goes_on_as_a_second_press_and_its_dose_counts_both() {
    let mut lamp = Lamp::wet();
    let planned = sample::usual_plan().layers.swap_remove(0);
    let light = sample::usual_plan().lights.swap_remove(usize::from(planned.light));
    assert_eq!(light.button.ramp(), Span::ZERO, "the sample's first press is at full power at once");
    let whole = planned.seconds.s();
    let first = lamp.lamp_on(&[1], (1, whole, 0.0));
    lamp.pass(20);
    lamp.record(PourFact::LampOff { on: first, lit: s(20.0) });
    // Paused: no light runs, and the wait after it still knows the dose.
    let paused = lamp.waits().into_iter().find(|wait| wait.stones == [1]).unwrap();
    assert_eq!(paused.kind, Kind::Cool);
    assert_eq!((paused.doses[0].lit, paused.doses[0].planned), (s(20.0), planned.seconds));
    lamp.pass(300);
    let second = lamp.lamp_on(&[1], (1, whole - 20.0, 0.0));
    lamp.pass(15);
    let wait = lamp.waits().into_iter().find(|wait| wait.kind == Kind::Light).unwrap();
    assert_eq!((wait.entry, wait.remaining()), (second, s(whole - 35.0)), "what is left of this press");
    let dose = Dose { stone: 1, layer: 1, planned: planned.seconds, lit: s(35.0), missing: s(whole - 35.0) };
    assert_eq!(wait.doses, [dose]);
    assert!(!dose.is_full());
    lamp.pass(600);
    let wait = lamp.waits().into_iter().find(|wait| wait.kind == Kind::Light).unwrap();
    assert_eq!(wait.doses[0].lit, planned.seconds, "the button's own end is the end of the light");
    assert!(wait.is_over() && wait.doses[0].is_full());
    lamp.record(PourFact::LampOff { on: second, lit: s(whole - 20.0) });
    let held = lamp.bench.view(lamp.now).studio.order(lamp.tag).unwrap().clone();
    assert!(dose_now(&held, 1, lamp.now).is_full());
}

#[test]
fn a_layer_that_is_planned_with_two_presses_is_not_full_after_one() {
    let mut lamp = Lamp::wet();
    let once = sample::usual_plan().layers.swap_remove(0).seconds;
    let twice = |lamp: &Lamp| {
        let mut held = lamp.bench.view(lamp.now).studio.order(lamp.tag).unwrap().clone();
        held.wake().unwrap().order.sheet.stones[0].plan.as_mut().unwrap().layers[0].presses = 2;
        dose_now(&held, 1, lamp.now)
    };
    for (presses, missing) in [(1, once), (2, Span::ZERO)] {
        let on = lamp.lamp_on(&[1], (1, once.s(), 0.0));
        lamp.pass(300);
        lamp.record(PourFact::LampOff { on, lit: once });
        let dose = twice(&lamp);
        assert_eq!((dose.planned, dose.missing), (once + once, missing), "after {presses}");
        assert_eq!(dose.is_full(), presses == 2);
    }
}

fn dose_now(held: &Held, no: u8, now: Moment) -> Dose {
    dose(held, no, now).unwrap()
}

#[test]
fn a_lamp_that_grows_slowly_gives_less_at_each_new_press() {
    let mut lamp = Lamp::wet();
    let planned = sample::usual_plan().layers.swap_remove(0);
    for _ in 0..2 {
        let on = lamp.lamp_on(&[1], (2, 40.0, 30.0));
        lamp.pass(40);
        lamp.record(PourFact::LampOff { on, lit: s(40.0) });
    }
    let view = lamp.bench.view(lamp.now);
    let dose = dose_now(view.studio.order(lamp.tag).unwrap(), 1, lamp.now);
    assert_eq!(dose.lit, s(80.0));
    // The area under a power that grows evenly for 30 s and stays for 10 s is 15 + 10 full-power seconds a press.
    let missing = planned.seconds - s(50.0);
    assert_eq!(dose.missing, missing);
    // Counting the clock alone would credit light that never fell.
    assert_ne!((planned.seconds - s(80.0)).max(Span::ZERO), missing);
}

#[test]
fn a_layer_that_was_not_planned_has_no_dose() {
    let mut lamp = Lamp::wet();
    let held = lamp.bench.view(lamp.now).studio.order(lamp.tag).unwrap().clone();
    let mut bare = held.clone();
    bare.wake().unwrap().order.sheet.stones[0].plan = None;
    assert_eq!(dose(&bare, 1, lamp.now), None);
    assert_eq!(dose(&held, 7, lamp.now), None);
    assert_eq!(dose_now(&held, 1, lamp.now).lit, Span::ZERO);
    lamp.lamp_on(&[1], (1, 60.0, 0.0));
    assert_eq!(lamp.waits().into_iter().filter(|wait| wait.kind == Kind::Light).count(), 1);
}

#[test]
fn a_wall_clock_that_is_moved_by_a_day_does_not_move_a_countdown() {
    let day_ms = 24 * 60 * 60 * 1_000;
    for moved_ms in [day_ms, -day_ms] {
        let mut lamp = Lamp::wet();
        lamp.lamp_on(&[1, 2], (1, 60.0, 0.0));
        lamp.pass(20);
        lamp.now.utc_ms += moved_ms;
        let wait = lamp.only();
        assert_eq!(wait.remaining(), s(40.0));
        assert_eq!(wait.doubts.clock_changed_by, Some(Span::from_micro(moved_ms * 1_000)), "and it is told");
        let (alarms, wake) = lamp.tick();
        assert_eq!((alarms, wake), (vec![], Some(later(lamp.now, 40_000))));
        // A countdown by the wall clock would have ended, or run for a day.
        let by_the_wall = wait.planned - Span::from_micro((lamp.now.utc_ms - wait.since.utc_ms) * 1_000);
        assert_ne!(by_the_wall.max(Span::ZERO), wait.remaining());
    }
}

#[test]
fn sleep_is_not_credited_as_light_but_settling_and_cooling_go_on_through_it() {
    let mut lamp = Lamp::wet();
    let on = lamp.lamp_on(&[1, 2], (1, 60.0, 0.0));
    lamp.pass(10);
    let awake_ms = lamp.now.awake_ms;
    lamp.pass(300);
    lamp.now.awake_ms = awake_ms;
    let light = lamp.only();
    assert_eq!((light.passed, light.remaining()), (s(10.0), s(50.0)));
    assert_eq!(light.doubts.slept, Some(s(300.0)));
    assert_eq!(light.doses[0].lit, s(10.0));
    assert_eq!(lamp.tick().0, []);
    lamp.record(PourFact::LampOff { on, lit: s(10.0) });
    let awake_ms = lamp.now.awake_ms;
    lamp.pass(60);
    lamp.now.awake_ms = awake_ms;
    let cool = lamp.only();
    assert_eq!((cool.kind, cool.passed), (Kind::Cool, s(60.0)));
}

#[test]
fn another_run_of_the_computer_credits_nothing_that_nobody_saw() {
    let mut lamp = Lamp::wet();
    lamp.lamp_on(&[1], (1, 60.0, 0.0));
    lamp.pass(30);
    lamp.now =
        Moment { boot: BootId(8), since_boot_ms: 5_000, awake_ms: 5_000, ..later(lamp.now, 3_600_000) };
    for wait in lamp.waits() {
        assert_eq!((wait.passed, wait.remaining()), (Span::ZERO, wait.planned), "{:?}", wait.kind);
        assert!(wait.doubts.restarted && !wait.is_over());
        assert_eq!(wait.standing, Standing::Unsure);
    }
    assert_eq!(lamp.waits().iter().map(|wait| wait.kind).collect::<Vec<_>>(), [Kind::Light, Kind::Settle]);
    // Settling may be over, and only the maker can tell: that is said once. Light is never rung on a guess.
    let rung: Vec<_> = lamp.tick().0.into_iter().map(|alarm| alarm.stones).collect();
    assert_eq!(rung, [vec![2]]);
    assert_eq!(lamp.tick(), (vec![], None));
}

#[test]
fn a_wait_across_a_restart_is_unsure_at_once_and_rings_when_it_may_be_over() {
    let mut lamp = Lamp::wet();
    lamp.lamp_on(&[1, 2], (1, 60.0, 0.0));
    lamp.pass(60);
    let on = lamp.only().entry;
    lamp.record(PourFact::LampOff { on, lit: s(60.0) });
    let planned = lamp.only().planned;
    let off = lamp.now;
    let restarted = |seconds: i64| Moment { boot: BootId(8), ..later(off, seconds * 1_000) };
    lamp.now = restarted(1);
    let wait = lamp.only();
    assert_eq!((wait.kind, wait.standing, wait.most), (Kind::Cool, Standing::Unsure, Some(s(1.0))));
    assert_eq!((lamp.tick().0, wait.rings()), (vec![], false));
    lamp.now = restarted(planned.micro() / 1_000_000 + 1);
    assert!(lamp.only().most.unwrap() >= planned && !lamp.only().is_over());
    assert_eq!(lamp.tick().0.len(), 1);
    assert_eq!(lamp.tick().0, []);
    // Where the wall clock went backwards over the restart, nobody knows how long it was at most.
    lamp.now = restarted(-3_600);
    assert_eq!((lamp.only().most, lamp.only().standing, lamp.only().rings()), (None, Standing::Unsure, true));
}

#[test]
fn a_short_sleep_is_not_light_either_and_leaves_the_lamp_unsure() {
    let mut lamp = Lamp::wet();
    lamp.lamp_on(&[1, 2], (1, 60.0, 0.0));
    lamp.pass(10);
    assert_eq!((lamp.only().passed, lamp.only().standing), (s(10.0), Standing::Running));
    let awake_ms = lamp.now.awake_ms;
    lamp.pass(1);
    lamp.now.awake_ms = awake_ms;
    assert_eq!((lamp.only().passed, lamp.only().standing), (s(10.0), Standing::Unsure));
    assert_eq!(lamp.only().doses[0].lit, s(10.0));
    // What two clocks read one after the other differ by is no sleep.
    lamp.now.awake_ms = awake_ms + 950;
    assert_eq!(lamp.only().standing, Standing::Running);
}

#[test]
fn what_was_told_of_later_starts_no_wait() {
    let mut lamp = Lamp::wet();
    let day = lamp.now.day();
    let tell = |lamp: &mut Lamp, fact: PourFact| {
        let effects = lamp
            .bench
            .handle(Action::Edit(Edit::Order(lamp.tag, OrderEdit::Told(day, fact.into()))), lamp.now);
        assert_eq!(effects.len(), 1, "{:?}", lamp.bench.view(lamp.now).notice);
        lamp.bench.view(lamp.now).studio.order(lamp.tag).unwrap().order.log.len()
    };
    let press = Press { lamp: id("nail-lamp"), button: 1, seconds: s(60.0), ramp: s(0.0) };
    let on = tell(&mut lamp, PourFact::LampOn { stones: vec![1, 2], press });
    lamp.pass(30);
    assert_eq!((lamp.waits(), lamp.tick()), (vec![], (vec![], None)), "nobody saw when the lamp went on");
    let held = lamp.bench.view(lamp.now).studio.order(lamp.tag).unwrap();
    assert_eq!(dose(held, 1, lamp.now).unwrap().lit, Span::ZERO);
    tell(&mut lamp, PourFact::LampOff { on, lit: s(60.0) });
    assert_eq!(lamp.waits(), [], "nor when it began to cool");
    lamp.feel(1, 1);
    lamp.feel(2, 1);
    let planned = sample::usual_plan().layers.swap_remove(1);
    let laid = |stone: u8| PourFact::Laid {
        stone,
        layer: 2,
        kind: LayerKind::Clear,
        thickness: planned.thickness,
        load: planned.load,
        amount: Amount::ToTheMark,
        bottle: id("clear-resin"),
        pigment: None,
    };
    tell(&mut lamp, laid(1));
    assert_eq!(lamp.waits(), [], "nor when it was laid");
    lamp.record(laid(2));
    assert_eq!(lamp.kinds(), [(Kind::Settle, vec![2])], "what is recorded as it happens is waited for");
}

#[test]
fn the_waits_of_an_order_that_has_gone_home_are_gone() {
    let mut sample = sample::bench(Stage::Set);
    // A last clear layer is lit on a spare stone that nobody felt afterwards.
    let layer = u8::try_from(sample::usual_plan().layers.len()).unwrap();
    sample.light(2);
    let check = Check { how: How::Typed, tag: sample.tag };
    let now = later(sample.now(), 1_000);
    let mut lamp = Lamp { bench: Workbench::new(sample.studio, None), tag: sample.tag, now };
    assert_eq!(lamp.kinds(), [(Kind::Cool, vec![2])], "layer {layer} cools");
    let to_pack = lamp.bench.view(now).studio.order(lamp.tag).unwrap().ledger.to_pack();
    for thing in to_pack {
        lamp.record(craft::fact::HomeFact::Ticked { thing, check });
    }
    assert_eq!(lamp.waits().len(), 1);
    lamp.record(craft::fact::HomeFact::NotPhotographed);
    lamp.record(craft::fact::HomeFact::Sent);
    assert_eq!(lamp.waits(), []);
    assert_eq!(lamp.tick(), (vec![], None));
}

#[test]
fn a_wait_that_ended_while_the_program_was_closed_rings_when_it_is_opened_again() {
    let mut lamp = Lamp::wet();
    let on = lamp.lamp_on(&[1, 2], (1, 60.0, 0.0));
    lamp.pass(20);
    assert_eq!(lamp.tick().0, []);
    // Closed and opened: only the studio is left, and the clock went on.
    let studio = lamp.bench.view(lamp.now).studio.clone();
    lamp.bench = Workbench::new(studio, None);
    lamp.pass(100);
    assert_eq!(lamp.tick().0, [Alarm { tag: lamp.tag, stones: vec![1, 2], entry: on }]);
    assert_eq!(lamp.tick().0, []);
}

#[test]
fn a_mistaken_press_that_is_struck_takes_its_wait_with_it() {
    let mut lamp = Lamp::wet();
    let on = lamp.lamp_on(&[1, 2], (1, 60.0, 0.0));
    lamp.pass(5);
    assert_eq!(lamp.only().kind, Kind::Light);
    lamp.record(Fact::Struck { entry: on, why: craft::fact::Mistake::DidNotHappen });
    assert_eq!(lamp.kinds(), [(Kind::Settle, vec![1]), (Kind::Settle, vec![2])]);
}

#[test]
fn a_layer_without_a_plan_cools_for_as_long_as_the_studio_says_for_each_tenth_begun() {
    let sample = sample::bench(Stage::Here);
    let held = sample.studio.order(sample.tag).unwrap();
    let bare = Sheet::default();
    let lamp = Lamp::wet();
    let wet = lamp.bench.view(lamp.now).studio.order(lamp.tag).unwrap();
    let mut layer = wet.ledger.pours.stones[&1].layers[0].clone();
    layer.thickness = craft::units::Length::from_mm(0.5);
    let usual = s(20.0);
    assert_eq!(cool(&bare, 1, 0, &layer, usual), s(100.0));
    assert_eq!(cool(&held.order.sheet, 1, 0, &layer, usual), sample::usual_plan().layers[0].cool);
    layer.thickness = craft::units::Length::from_mm(0.51);
    assert_eq!(cool(&bare, 1, 0, &layer, usual), s(120.0), "a tenth begun counts in full");
    assert_eq!(settle(&bare, 1, 0), Span::ZERO);
}
