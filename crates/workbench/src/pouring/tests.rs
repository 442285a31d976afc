use craft::fact::{Amount, Check, ClientFact, CustodyFact, Fact, Hardness, How, PourFact};
use craft::moment::BootId;
use craft::stage::Stage;
use craft::studio::{Edit, OrderEdit};
use craft::tag::Tag;

use super::*;
use crate::handling;
use crate::present::sample::{self, id};
use crate::present::{plan_words, pour_words};

/// A maker at the sample order; the clock moves by hand.
struct Maker {
    studio: Studio,
    tag: Tag,
    now: Moment,
}

impl Maker {
    fn at(stage: Stage) -> Self {
        let bench = sample::bench(stage);
        let now = bench.now();
        Self { tag: bench.tag, studio: bench.studio, now }
    }

    fn held(&self) -> &Held {
        self.studio.order(self.tag).unwrap()
    }

    fn step(&self, no: u8) -> Step {
        step(&self.studio, self.held(), no, self.now)
    }

    fn pass(&mut self, seconds: f64) {
        let ms = Span::from_s(seconds).micro() / 1_000;
        self.now.utc_ms += ms;
        self.now.since_boot_ms += ms;
        self.now.awake_ms += ms;
    }

    fn sleep(&mut self, seconds: f64) {
        let awake_ms = self.now.awake_ms;
        self.pass(seconds);
        self.now.awake_ms = awake_ms;
    }

    fn restart(&mut self, seconds: f64) {
        self.pass(seconds);
        self.now = Moment { boot: BootId(99), since_boot_ms: 1_000, awake_ms: 1_000, ..self.now };
    }

    fn record(&mut self, fact: impl Into<Fact>) {
        let fact = fact.into();
        let edit = Edit::Order(self.tag, OrderEdit::Fact(fact.clone()));
        if let Err(why) = self.studio.apply(edit, self.now) {
            panic!("{fact:?}: {why}");
        }
    }

    fn check(&self) -> Check {
        Check { how: How::Picked, tag: self.tag }
    }

    fn edit(&mut self, edit: Result<Edit, String>) {
        self.studio.apply(edit.unwrap(), self.now).unwrap();
    }

    /// Does what the step asks for, and lets waits pass; gives what it was, in a few letters.
    fn go_on(&mut self, no: u8) -> &'static str {
        let step = self.step(no);
        let words = pour_words::step(&self.studio, self.held(), no, &step);
        assert!(!words.title.is_empty() && !pour_words::short(&step).is_empty(), "{step:?}");
        match step {
            Step::Begin { mould, cell } => {
                self.record(begin(no, &mould, &cell));
                "begin"
            }
            Step::Open(thing) => {
                self.edit(handling::open(self.held(), thing, self.check()));
                "open"
            }
            Step::PutIn { from, lot, part } => {
                self.edit(handling::put_in(self.held(), (from, lot), no, part));
                "put in"
            }
            Step::Close(thing) => {
                let back = came_from(&self.studio, self.held(), thing);
                for edit in handling::put_away(self.held(), thing, None, back).unwrap() {
                    self.edit(Ok(edit));
                }
                "close"
            }
            Step::Lay(lay) => {
                self.record(laid(no, &lay, Amount::ToTheMark));
                "lay"
            }
            Step::Settle(wait, _) => {
                self.pass(wait.remaining().s());
                "settle"
            }
            Step::Light(now) => {
                self.record(light(no, &now, |_| true));
                "light"
            }
            Step::Lit(wait) => {
                self.pass(wait.remaining().s());
                "lit"
            }
            Step::LightOver(wait) => {
                self.record(lamp_off(&wait));
                "off"
            }
            Step::Cool(wait) => {
                self.pass(wait.remaining().s());
                "cool"
            }
            Step::Feel { layer, cooled_now } => {
                for fact in felt(no, layer, cooled_now, Hardness::Hard) {
                    self.record(fact);
                }
                "feel"
            }
            Step::TakeOut => {
                self.record(taken_out(no, Place::Bench));
                "out"
            }
            Step::Finished => "made",
            other => panic!("{other:?}"),
        }
    }

    fn until(&mut self, no: u8, wanted: &str) {
        for _ in 0..60 {
            if self.go_on(no) == wanted {
                return;
            }
        }
        panic!("{wanted} never came");
    }
}

#[test]
fn a_stone_is_walked_from_its_cavity_to_the_bench_one_step_after_the_other() {
    let mut maker = Maker::at(Stage::Here);
    let mut said = Vec::new();
    while said.last() != Some(&"made") {
        said.push(maker.go_on(1));
        assert!(said.len() < 80, "{said:?}");
    }
    let layer = ["lay", "settle", "light", "lit", "off", "cool", "feel"];
    let mut wanted = vec!["begin", "open", "put in", "close"];
    for _ in 0..sample::usual_plan().layers.len() {
        wanted.extend(layer);
    }
    wanted.extend(["out", "made"]);
    assert_eq!(said, wanted);
    let stone = &maker.held().ledger.pours.stones[&1];
    assert!(stone.layers.iter().all(|layer| layer.cooled.is_some() && layer.amount == Amount::ToTheMark));
}

#[test]
fn a_packet_that_is_closed_goes_back_to_where_it_came_from() {
    let mut maker = Maker::at(Stage::Here);
    maker.until(1, "put in");
    let Step::Close(thing) = maker.step(1) else { panic!("{:?}", maker.step(1)) };
    let place = |maker: &Maker| maker.held().ledger.custody.things[&thing].place.clone();
    assert_eq!(place(&maker), Place::Bench, "what is opened is on the bench");
    maker.until(1, "close");
    assert!(matches!(place(&maker), Place::Kept(_)), "{:?}", place(&maker));
    assert!(!maker.held().ledger.custody.things[&thing].open);
    // Once it stays on the bench, closing it is one fact.
    assert_eq!(handling::put_away(maker.held(), thing, None, place(&maker)).unwrap().len(), 1);
    // A place that is not the studio's any more is not offered.
    let policies = craft::policies::Policies { places: Vec::new(), ..maker.studio.policies().clone() };
    let bare = Studio::new(policies);
    assert_eq!(came_from(&bare, maker.held(), thing), Place::Bench);
}

#[test]
fn the_space_bar_lays_and_begins_while_no_lamp_wants_it_and_judges_nothing() {
    let mut maker = Maker::at(Stage::Here);
    let mut by_space = Vec::new();
    while by_space.len() < 80 {
        let step = maker.step(1);
        let waits = waits_of(&maker.studio, [&maker.tag], maker.now);
        let steps = steps(&maker.studio, maker.held(), maker.now);
        if matches!(step, Step::Lit(_) | Step::LightOver(_)) {
            assert!(lamp_wants_space(&waits, &steps));
        }
        if is_for_space(&step) {
            assert!(!lamp_wants_space(&waits, &steps));
        }
        let takes = is_for_space(&step);
        let done = maker.go_on(1);
        if takes {
            by_space.push(done);
        }
        if done == "made" {
            break;
        }
    }
    by_space.dedup();
    assert_eq!(by_space, ["begin", "lay"]);
    let earlier = Moment {
        since_boot_ms: maker.now.since_boot_ms - 200,
        awake_ms: maker.now.awake_ms - 200,
        utc_ms: maker.now.utc_ms - 200,
        ..maker.now
    };
    assert!(has_bounced(&earlier, &maker.now));
    maker.pass(1.0);
    assert!(!has_bounced(&earlier, &maker.now));
}

#[test]
fn two_stones_that_wait_for_the_same_button_go_under_the_lamp_together() {
    let mut maker = Maker::at(Stage::Here);
    for no in [1, 2] {
        maker.until(no, "lay");
    }
    maker.pass(3_600.0);
    let Step::Light(now) = maker.step(1) else { panic!("{:?}", maker.step(1)) };
    assert_eq!(now.others, [(2, now.press.seconds)]);
    let alone = light(1, &now, |_| false);
    let PourFact::LampOn { stones, .. } = pour(alone) else { panic!("a lamp") };
    assert_eq!(stones, [1]);
    maker.record(light(1, &now, |_| true));
    assert!(matches!(maker.step(1), Step::Lit(_)) && matches!(maker.step(2), Step::Lit(_)));
    maker.pass(now.press.seconds.s());
    let Step::LightOver(wait) = maker.step(2) else { panic!() };
    assert_eq!(wait.stones, [1, 2]);
}

fn pour(fact: Fact) -> PourFact {
    match fact {
        Fact::Pour(fact) => fact,
        other => panic!("{other:?}"),
    }
}

#[test]
fn a_stone_that_still_settles_is_not_put_under_the_lamp_with_another() {
    let mut maker = Maker::at(Stage::Here);
    maker.until(1, "lay");
    maker.pass(3_600.0);
    maker.until(2, "lay");
    let Step::Light(now) = maker.step(1) else { panic!("{:?}", maker.step(1)) };
    assert_eq!(now.others, []);
    assert!(matches!(maker.step(2), Step::Settle(..)));
}

#[test]
fn a_pause_credits_what_surely_fell_and_asks_for_the_rest() {
    let mut maker = Maker::at(Stage::Here);
    maker.until(1, "light");
    maker.pass(40.0);
    let Step::Lit(wait) = maker.step(1) else { panic!() };
    let fact = space(1, &maker.step(1), |_| true).unwrap();
    assert_eq!(pour(fact.clone()), PourFact::LampOff { on: wait.entry, lit: Span::from_s(40.0) });
    maker.record(fact);
    let Step::Light(rest) = maker.step(1) else { panic!("{:?}", maker.step(1)) };
    let whole = sample::usual_plan().layers[0].seconds;
    assert_eq!((rest.why, rest.lit), (Why::Rest, Span::from_s(40.0)));
    // A lamp that grows needs at least what is left, since it grows anew; one at once at full power just that.
    assert!(rest.press.seconds >= whole - rest.lit && rest.press.seconds <= whole, "{:?}", rest.press);
    assert_eq!(space(1, &maker.step(1), |_| true), None, "a pedal bounces");
    maker.pass(1.0);
    maker.record(space(1, &maker.step(1), |_| true).unwrap());
    assert_eq!(space(1, &maker.step(1), |_| true), None, "a pedal bounces");
    assert_eq!(maker.go_on(1), "lit");
    assert_eq!(maker.go_on(1), "off");
    assert_eq!(maker.go_on(1), "cool", "the two presses together are all of the light");
}

#[test]
fn a_lamp_beside_a_sleeping_computer_is_asked_about_and_never_credited() {
    let mut maker = Maker::at(Stage::Here);
    maker.until(1, "light");
    maker.pass(10.0);
    maker.sleep(500.0);
    let Step::AskLamp(asked) = maker.step(1) else { panic!("{:?}", maker.step(1)) };
    assert_eq!(asked.sure, Span::from_s(10.0));
    assert_eq!(space(1, &maker.step(1), |_| true), None, "the pedal answers no question");
    maker.record(lamp_was_on(&asked, asked.sure));
    let Step::Light(rest) = maker.step(1) else { panic!() };
    assert_eq!((rest.why, rest.lit), (Why::Rest, Span::from_s(10.0)));
}

#[test]
fn after_a_restart_nothing_is_sure_but_the_maker_may_say_all_of_it() {
    let mut maker = Maker::at(Stage::Here);
    maker.until(1, "light");
    maker.restart(600.0);
    let Step::AskLamp(asked) = maker.step(1) else { panic!("{:?}", maker.step(1)) };
    assert_eq!(asked.sure, Span::ZERO);
    maker.record(lamp_was_on(&asked, asked.planned));
    assert!(matches!(maker.step(1), Step::Cool(_) | Step::Feel { .. }), "{:?}", maker.step(1));
}

#[test]
fn a_soft_layer_goes_under_the_lamp_again_and_a_tacky_one_takes_the_next() {
    let mut maker = Maker::at(Stage::Here);
    maker.until(1, "cool");
    let Step::Feel { layer, cooled_now } = maker.step(1) else { panic!() };
    assert!(cooled_now);
    assert_eq!(felt(1, layer, true, Hardness::Soft).len(), 2, "cooled, and felt");
    for fact in felt(1, layer, cooled_now, Hardness::Soft) {
        maker.record(fact);
    }
    let Step::Light(again) = maker.step(1) else { panic!() };
    assert_eq!(again.why, Why::Soft);
    maker.until(1, "cool");
    for fact in felt(1, layer, true, Hardness::Tacky) {
        maker.record(fact);
    }
    let Step::Lay(next) = maker.step(1) else { panic!() };
    assert_eq!(next.layer, 2);
}

#[test]
fn a_tacky_back_goes_under_the_lamp_again() {
    let mut maker = Maker::at(Stage::Here);
    for _ in 1..sample::usual_plan().layers.len() {
        maker.until(1, "feel");
    }
    maker.until(1, "cool");
    let Step::Feel { layer, cooled_now } = maker.step(1) else { panic!() };
    for fact in felt(1, layer, cooled_now, Hardness::Tacky) {
        maker.record(fact);
    }
    assert!(matches!(maker.step(1), Step::Light(Light { why: Why::Tacky, .. })));
    maker.until(1, "feel");
    assert_eq!(maker.step(1), Step::TakeOut);
}

#[test]
fn a_stone_whose_face_wants_light_says_so_until_it_had_some_out_of_its_mould() {
    let mut maker = Maker::at(Stage::Here);
    while maker.step(1) != Step::Finished {
        maker.go_on(1);
    }
    let says = |maker: &Maker, caution| {
        let mut held = maker.held().clone();
        let stone = held.wake().unwrap().order.sheet.stones.iter_mut().find(|stone| stone.no == 1).unwrap();
        stone.plan.as_mut().unwrap().caution = caution;
        let lines = pour_words::step(&maker.studio, &held, 1, &Step::Finished).lines;
        let out = pour_words::step(&maker.studio, &held, 1, &Step::TakeOut).lines;
        let is_said = |lines: &[String]| lines.iter().any(|line| line.contains("light it face-up, about "));
        (is_said(&lines), is_said(&out))
    };
    assert_eq!(says(&maker, Some(craft::planner::Caution::FaceUp)), (true, true), "a petal lies in it");
    let press = maker.held().ledger.pours.stones[&1].layers.last().unwrap().lit[0].press.clone();
    maker.record(PourFact::LampOn { stones: vec![1], press });
    assert_eq!(says(&maker, Some(craft::planner::Caution::FaceUp)), (false, false));
    assert!(dose(maker.held(), 1, maker.now).is_none(), "it is not light of the back coat");
}

#[test]
fn the_pedal_does_nothing_where_no_step_asks_for_the_lamp() {
    let mut maker = Maker::at(Stage::Here);
    let mut asked = 0;
    while maker.step(1) != Step::Finished {
        maker.pass(1.0);
        let step = maker.step(1);
        let lamp = matches!(step, Step::Light(_) | Step::Lit(_) | Step::LightOver(_));
        assert_eq!(space(1, &step, |_| true).is_some(), lamp, "{step:?}");
        asked += usize::from(lamp);
        maker.go_on(1);
    }
    assert!(asked >= 3 * sample::usual_plan().layers.len());
}

#[test]
fn the_keep_back_goes_first_and_a_share_must_be_named() {
    let mut sheet = sample::sheet();
    sheet.stones[1].shares.clear();
    let mut bench = sample::Bench::open(sheet);
    bench.receive(1, craft::fact::Material::Hair);
    for (no, cell) in [(1, "A1"), (2, "B2")] {
        bench.record(PourFact::Begun { stone: no, mould: id("oval-ten"), cell: cell.parse().unwrap() });
    }
    let held = bench.studio.order(bench.tag).unwrap();
    assert_eq!(step(&bench.studio, held, 1, bench.now()), Step::KeepBack(1));
    assert_eq!(step(&bench.studio, held, 2, bench.now()), Step::NoShare);
}

#[test]
fn the_packet_stays_open_until_every_begun_stone_has_its_share() {
    let mut maker = Maker::at(Stage::Here);
    for no in [1, 2] {
        maker.until(no, "begin");
    }
    maker.until(1, "put in");
    assert!(matches!(maker.step(1), Step::Lay(_)), "stone 2 still wants some: {:?}", maker.step(1));
    assert!(matches!(maker.step(2), Step::PutIn { .. }));
    maker.until(2, "put in");
    assert!(matches!(maker.step(1), Step::Close(_)) && matches!(maker.step(2), Step::Close(_)));
}

#[test]
fn no_plan_a_call_off_and_a_box_that_has_gone_end_the_work() {
    let mut sheet = sample::sheet();
    sheet.stones[0].plan = None;
    let mut bench = sample::Bench::open(sheet);
    let at = |bench: &sample::Bench, no| {
        step(&bench.studio, bench.studio.order(bench.tag).unwrap(), no, bench.now())
    };
    assert_eq!((at(&bench, 1), at(&bench, 9)), (Step::Plan, Step::Plan));
    assert!(matches!(at(&bench, 2), Step::Begin { .. }));
    bench.record(ClientFact::CalledOff);
    assert_eq!(at(&bench, 2), Step::Closed(Closed::CalledOff));
    let gone = Maker::at(Stage::GoneHome);
    assert_eq!(gone.step(1), Step::Closed(Closed::GoneHome));
    assert_eq!(Maker::at(Stage::Set).step(1), Step::Closed(Closed::NotHere));
    assert_eq!(Maker::at(Stage::Made).step(1), Step::Finished);
}

#[test]
fn a_stone_that_is_set_aside_only_leaves_its_mould() {
    let mut maker = Maker::at(Stage::Here);
    maker.until(1, "feel");
    maker.record(set_aside(1));
    assert_eq!(maker.go_on(1), "out");
    assert_eq!(maker.step(1), Step::Closed(Closed::SetAside));
}

#[test]
fn hands_are_wanted_first_where_something_waits_for_them() {
    let mut maker = Maker::at(Stage::Here);
    let first = |maker: &Maker| first_stone(&steps(&maker.studio, maker.held(), maker.now));
    assert_eq!(first(&maker), Some(1));
    maker.until(1, "lay");
    assert_eq!(first(&maker), Some(1), "what settles goes before a cavity that is not taken yet");
    maker.until(2, "begin");
    assert_eq!(first(&maker), Some(2), "stone 1 settles, stone 2 wants hands");
    assert_eq!(first_stone(&[]), None);
}

#[test]
fn an_amount_is_the_mark_drops_or_a_weight_and_says_how_it_was_read() {
    let said = |text: &str| amount(text, None).map(|typed| typed.value);
    assert_eq!(said(""), Ok(Amount::ToTheMark));
    assert_eq!(said("Up to the mark"), Ok(Amount::ToTheMark));
    assert_eq!(said("3 drops"), Ok(Amount::Drops(3)));
    assert_eq!(said("62 mg"), Ok(Amount::Weighed(Mass::from_mg(62.0))));
    assert!(said("3").unwrap_err().contains("3 drops"));
    assert!(said("a quarter").is_err());
}

#[test]
fn a_layer_is_weighed_marked_and_mixed_as_its_plan_says() {
    let mut maker = Maker::at(Stage::Here);
    let (mut total_mg, mut first_mg, mut pots) = (0.0, None, 0);
    for _ in 0..sample::usual_plan().layers.len() {
        while !matches!(maker.step(1), Step::Lay(_)) {
            maker.go_on(1);
        }
        let Step::Lay(lay) = maker.step(1) else { panic!() };
        total_mg += lay.mass.unwrap().mg();
        first_mg = first_mg.or(lay.mass);
        let said = pour_words::step(&maker.studio, maker.held(), 1, &maker.step(1)).lines;
        let rows = pour_words::layers(&maker.studio, maker.held(), 1, maker.now);
        let mark = said.iter().find_map(|line| line.strip_prefix("Fill to ")).unwrap();
        let row = &rows[usize::from(lay.layer) - 1].words;
        assert!(row.contains(&format!("fill to {mark}")), "one mark on one page: {mark}; {row}");
        if lay.load.is_positive() {
            let pot = format!("Pot of {}: ", lay.load);
            let line = said.iter().find(|line| line.starts_with(&pot)).unwrap_or_else(|| panic!("{said:?}"));
            let plan = maker.studio.kept_pots(maker.tag).unwrap();
            let planned = plan_words::pots(&maker.studio, &plan, maker.studio.bench_scale().as_ref());
            let planned = planned.iter().flat_map(|pots| &pots.rows);
            let wanted = line.strip_prefix(&pot).unwrap();
            assert!(planned.into_iter().any(|(_, words)| words == wanted), "the plan says the same: {line}");
            pots += 1;
        }
        maker.go_on(1);
    }
    assert!(pots > 1, "{pots}");
    let sheet = maker.held().order.sheet.stone(1).unwrap();
    let cavity = maker.studio.cavity_of(sheet).unwrap();
    // Liquid resin of 1.1 g/cm³ that loses 6 % of its room: by hand.
    let first_mm3 = cavity.volume_to(sample::usual_plan().layers[0].thickness).mm3();
    assert!((first_mg.unwrap().mg() / (first_mm3 * 1.1 / 0.94) - 1.0).abs() < 1e-4, "{first_mg:?}");
    assert!((first_mg.unwrap().mg() / (first_mm3 * 1.1) - 1.0).abs() > 0.05, "broken: what is left of it");
    let whole_mg = cavity.volume().mm3() * 1.1;
    assert!(total_mg > whole_mg && total_mg <= whole_mg / 0.94, "{total_mg} mg for {whole_mg} mg");
}

#[test]
fn a_lost_packet_leaves_nothing_to_take() {
    let mut maker = Maker::at(Stage::Here);
    maker.until(1, "begin");
    assert!(matches!(maker.step(1), Step::Open(_)));
    maker.record(CustodyFact::Lost { thing: Thing::wrapping(1) });
    assert_eq!(maker.step(1), Step::NoShare, "the keep-back is never taken by itself");
}

#[test]
fn another_stone_is_like_the_one_before_in_a_cavity_of_its_own_and_without_a_plan() {
    let maker = Maker::at(Stage::Here);
    let first = maker.held().order.sheet.stone(1).unwrap();
    let other = another_like(&maker.studio, maker.held(), 1).unwrap();
    assert_eq!((other.no, other.plan.as_ref()), (3, None));
    assert_eq!((&other.mould, &other.shares), (&first.mould, &first.shares));
    assert!(maker.held().order.sheet.stones.iter().all(|stone| stone.cell != other.cell));
    assert!(another_like(&maker.studio, maker.held(), 9).is_err());
}

#[test]
fn the_rows_of_a_stone_tell_what_was_laid_and_what_is_to_come() {
    let mut maker = Maker::at(Stage::Here);
    maker.until(1, "feel");
    let rows = pour_words::layers(&maker.studio, maker.held(), 1, maker.now);
    assert_eq!(rows.len(), sample::usual_plan().layers.len());
    assert!(rows[0].laid && rows[0].words.ends_with("hard"), "{:?}", rows[0]);
    assert!(rows[1..].iter().all(|row| !row.laid && row.words.contains("fill to")), "{rows:?}");
}

#[test]
fn every_step_says_what_comes_after_its_wait() {
    let mut maker = Maker::at(Stage::Here);
    maker.until(1, "lay");
    let then = |maker: &Maker| pour_words::then(maker.held(), 1, &maker.step(1));
    assert!(then(&maker).starts_with("then: light "), "{}", then(&maker));
    maker.until(1, "light");
    assert!(then(&maker).starts_with("then: cool "), "{}", then(&maker));
    maker.until(1, "off");
    assert_eq!(then(&maker), "then: feel it: hard, tacky or soft");
    assert!(pour_words::next_layer(&maker.studio, maker.held(), 1).unwrap().starts_with("next: "));
}

#[test]
fn so_much_resin_as_no_mould_holds_is_a_slip() {
    let planned = Some(Mass::from_micro(243_000_000));
    let said = |text: &str| amount_of_layer(text, None, planned).map(|typed| typed.value);
    assert_eq!(said("8 drops"), Ok(Amount::Drops(8)));
    assert_eq!(said("40 drops"), Ok(Amount::Drops(40)), "a mould may run over");
    assert_eq!(said(""), Ok(Amount::ToTheMark));
    let why = said("500 drops").unwrap_err();
    assert!(why.starts_with("500 drops is 61 times what this layer takes"), "{why}");
    assert!(said("24.3 g").is_err());
    assert!(amount_of_layer("500 drops", None, None).is_ok(), "without a mould nothing is known");
}

#[test]
fn a_practice_stone_is_poured_from_beginning_to_end_with_no_packet_opened() {
    let mut maker = Maker::at(Stage::Here);
    let like = maker.held().order.sheet.stones[0].clone();
    let practice = crate::stones::practice(&maker.studio, maker.held(), &like).unwrap();
    let no = practice.no;
    let mut sheet = maker.held().order.sheet.clone();
    sheet.stones.push(practice);
    maker.edit(Ok(Edit::Order(maker.tag, OrderEdit::Sheet(Box::new(sheet)))));
    let plan = maker.studio.plan_for(maker.tag, &like, maker.now.day()).unwrap();
    let mut sheet = maker.held().order.sheet.clone();
    sheet.stones.last_mut().unwrap().plan = Some(plan);
    maker.edit(Ok(Edit::Order(maker.tag, OrderEdit::Sheet(Box::new(sheet)))));
    let before: Vec<_> = maker.held().ledger.custody.holders(1).collect();
    let mut did = Vec::new();
    while maker.step(no) != Step::Finished && did.len() < 80 {
        if did.len() == 1 {
            let step = maker.step(no);
            let said = pour_words::step(&maker.studio, maker.held(), no, &step);
            assert!(said.lines.iter().any(|line| line.contains("nothing of the client")), "{said:?}");
        }
        did.push(maker.go_on(no));
    }
    assert_eq!(maker.step(no), Step::Finished, "{did:?}");
    assert!(!did.contains(&"open") && !did.contains(&"put in"), "{did:?}");
    assert_eq!(maker.held().ledger.custody.holders(1).collect::<Vec<_>>(), before, "nothing was taken");
    let shown = crate::present::showing::stones(maker.held());
    assert!(shown.iter().all(|(shown, _)| *shown != no), "it is on no proof: {shown:?}");
    assert!(maker.held().ledger.to_pack().iter().all(|thing| !thing.is_practice()));
    let mould = like.mould.clone();
    assert!(words::label(Thing::stone(no)).starts_with("practice"));
    let taught = maker.studio.recorded(&like.resin).into_iter().any(|seen| seen.stone == no);
    assert!(taught, "what it felt like is learned from, in {mould}");
}
