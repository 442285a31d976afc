//! Makers with true figures that nobody tells them: they plan, pour, feel and learn.

use super::{wedge as wedge_of, *};
use crate::chance::{Draws, trials};
use crate::planner::{PlanError, Problem, Style, promised};

/// What is true of one maker's bench.
struct Truth {
    penetration_mm: f64,
    first_set_s: f64,
    absorption: f64,
}

impl Truth {
    /// Drawn from what is believed of all makers.
    fn drawn(draws: Draws, maker: u64, class: PigmentClass) -> Self {
        let root = Belief::TYPICAL.root().unwrap();
        let (a, b) = (draws.normal(maker, 0), draws.normal(maker, 1));
        let mix = Mix::typical(class);
        let spread = class.absorption_doubt().get();
        Self {
            penetration_mm: (root[0] * a).exp(),
            first_set_s: (root[1] * a + root[2] * b).exp(),
            absorption: mix.absorption.get() * (spread * draws.normal(maker, 2)).exp(),
        }
    }

    /// Light on the underside over what first sets it, as a logarithm.
    fn log_ratio(&self, light_s: f64, mm: f64, load: f64) -> f64 {
        (light_s / self.first_set_s).ln() - mm * (1.0 / self.penetration_mm + self.absorption * load)
    }
}

/// What one order brought.
#[derive(Clone, Copy, Default)]
struct Brought {
    stones: u32,
    set_through: u32,
    /// How many of them the plan itself said would.
    foretold: f64,
    minutes: u32,
    stuck: u32,
}

/// Feels a layer: one word in forty is wrong, and what has had less than twice the light is tacky.
fn feel(log_ratio: f64, slip: f64) -> Hardness {
    if slip < 0.025 {
        return Hardness::Hard;
    }
    match log_ratio {
        r if r < 0.0 => Hardness::Soft,
        r if r < 2.0_f64.ln() => Hardness::Tacky,
        _ => Hardness::Hard,
    }
}

const ORDERS: usize = 8;
/// The order before which a wedge is lit.
const WEDGE_AT: usize = 4;

struct Maker {
    truth: Truth,
    class: PigmentClass,
    draws: Draws,
    number: u64,
    seen: Vec<Observation>,
    /// What part of its doubts the maker admits to: all of them, but in the broken variant.
    admitted: f64,
}

impl Maker {
    fn buttons() -> [Button; 3] {
        [60.0, 120.0, 180.0].map(|s| Button::new(format!("{s} s"), Span::from_s(s), Span::ZERO).unwrap())
    }

    /// A wedge in four steps, measured to a tenth of a millimetre under one sitting's light.
    fn light_wedge(&mut self, order: u64) {
        let sitting = 0.10 * self.draws.normal(self.number, 900);
        let points: Vec<(f64, f64)> = (0_u32..)
            .zip([5.0, 15.0, 45.0, 120.0])
            .map(|(i, s): (u32, f64)| {
                let depth = self.truth.penetration_mm * ((s / self.truth.first_set_s).ln() + sitting);
                let read = depth + 0.1 * self.draws.normal(self.number, 910 + u64::from(i));
                (s, if depth > 0.05 { read.max(0.05) } else { 0.0 })
            })
            .collect();
        let mut wedge = wedge_of(&points, 0.1);
        wedge.on = day(order * 7);
        self.seen.push(wedge);
        let mix = Mix::typical(self.class);
        for (which, load) in (0_u64..).zip([mix.least.percent(), 0.8 * mix.most.percent()]) {
            self.light_coloured(order, which, load);
        }
    }

    /// The same of a mix, in thin steps that are measured with a caliper.
    fn light_coloured(&mut self, order: u64, which: u64, load: f64) {
        let base = 920 + 20 * which;
        let sitting = 0.10 * self.draws.normal(self.number, base);
        let per_mm = 1.0 / self.truth.penetration_mm + self.truth.absorption * load;
        let points: Vec<(f64, f64)> = (0_u32..)
            .zip([15.0, 45.0, 120.0, 180.0])
            .map(|(i, s): (u32, f64)| {
                let depth = ((s / self.truth.first_set_s).ln() + sitting) / per_mm;
                let read = depth + 0.03 * self.draws.normal(self.number, base + 1 + u64::from(i));
                (s, if depth > 0.05 { read.max(0.05) } else { 0.0 })
            })
            .collect();
        let mut mixed = coloured(wedge_of(&points, 0.03), load);
        mixed.on = day(order * 7);
        self.seen.push(mixed);
    }

    /// The doubts of bottle, lamp and pigment, as far as the maker admits to them.
    fn admits(&self, doubts: Doubts) -> Doubts {
        let part = |doubt: Factor| Factor::new(self.admitted * doubt.get()).unwrap();
        let Doubts { penetration, first_set, lamp, pigment, .. } = doubts;
        let [penetration, first_set, lamp, pigment] = [penetration, first_set, lamp, pigment].map(part);
        Doubts { penetration, first_set, lamp, pigment, ..doubts }
    }

    /// One order of two stones, planned with what is known and felt afterwards.
    fn order(&mut self, order: u64) -> Brought {
        if order == WEDGE_AT as u64 {
            self.light_wedge(order);
        }
        let bench = Bench { today: day(order * 7), ..bench() };
        let item = "paint".parse().unwrap();
        let learned = learn(&Belief::TYPICAL, &self.seen, &bench).unwrap();
        let typical = Mix::typical(self.class);
        let pigment = learn_pigment(&typical, &learned.planned, (&item, &self.seen), &bench).unwrap();
        let rest = Doubts::typical_for(self.class);
        let doubts = self.admits(pigment.doubts(learned.doubts(rest).unwrap()));
        let lights = Self::buttons().map(|button| learned.light(button).unwrap()).to_vec();
        let (depth, face) = (Length::from_mm(3.5), Length::from_mm(1.5));
        let style = Style::Quick;
        let mut problem =
            Problem::for_stone(depth, face, pigment.mix(&typical), style, lights, doubts).unwrap();
        problem.cure.resin = learned.resin().unwrap();
        problem.cure.own = pigment.own;
        let plan = match promised(&problem) {
            Ok(plan) => plan,
            Err(PlanError::Stuck(_)) => return Brought { stuck: 1, ..Brought::default() },
            Err(other) => panic!("{other}"),
        };
        let foretold = 2.0 * plan.counted().share().fraction();
        let mut brought = Brought { minutes: plan.bench_minutes(), foretold, ..Brought::default() };
        for stone in 0..2_u64 {
            let base = 1_000 + order * 200 + stone * 100;
            let lamp = Belief::STONE_LIGHT * self.draws.normal(self.number, base);
            let mut all = true;
            for (which, layer) in (1_u64..).zip(&plan.layers) {
                let mm = layer.thickness.mm() + 0.10 * self.draws.normal(self.number, base + 3 * which);
                let strength = (0.15 * self.draws.normal(self.number, base + 3 * which + 1)).exp();
                let light_s = layer.lit().s() * lamp.exp();
                let ratio = self.truth.log_ratio(light_s, mm.max(0.05), layer.load.percent() * strength);
                all &= ratio >= 0.0;
                let slip = self.draws.even(self.number, base + 3 * which + 2);
                let mut seen = felt(layer.thickness.mm(), layer.lit().s(), feel(ratio, slip));
                seen.on = bench.today;
                if layer.load.is_positive() {
                    seen = coloured(seen, layer.load.percent());
                }
                self.seen.push(seen);
            }
            brought.stones += 1;
            brought.set_through += u32::from(all);
        }
        brought
    }
}

/// What many makers' orders brought, maker by maker.
struct Lives(Vec<Vec<Brought>>);

impl Lives {
    /// So many makers with so many orders each, who admit to this part of what is in doubt.
    fn of(makers: u64, orders: usize, admitted: f64) -> Self {
        let draws = Draws::new(20_260_301);
        let live = |number: u64| {
            let class = [PigmentClass::White, PigmentClass::Dark, PigmentClass::White, PigmentClass::Pearl]
                [usize::try_from(number % 4).unwrap()];
            let truth = Truth::drawn(draws, number, class);
            let mut maker = Maker { truth, class, draws, number, seen: Vec::new(), admitted };
            (0..orders).map(|order| maker.order(order as u64)).collect()
        };
        Self((0..makers).map(live).collect())
    }

    /// Of all makers' orders of this number together.
    fn sum(&self, order: usize, of: impl Fn(&Brought) -> u32) -> u32 {
        self.0.iter().map(|orders| of(&orders[order])).sum()
    }

    fn share(&self, order: usize) -> f64 {
        let stones = self.sum(order, |brought| brought.stones);
        f64::from(self.sum(order, |brought| brought.set_through)) / f64::from(stones.max(1))
    }

    /// Minutes a plan of those who always had one, so that the same makers are compared.
    fn minutes(&self, order: usize) -> f64 {
        let lasting = self.0.iter().filter(|orders| orders.iter().all(|brought| brought.stuck == 0));
        let minutes: Vec<f64> = lasting.map(|orders| f64::from(orders[order].minutes)).collect();
        minutes.iter().sum::<f64>() / minutes.len() as f64
    }

    /// Of each maker the share of all stones that `of` counts; none of who had no plan.
    fn by_maker(&self, of: impl Fn(&Brought) -> f64) -> Vec<Option<f64>> {
        let share = |orders: &Vec<Brought>| {
            let stones: u32 = orders.iter().map(|brought| brought.stones).sum();
            (stones > 0).then(|| orders.iter().map(&of).sum::<f64>() / f64::from(stones))
        };
        self.0.iter().map(share).collect()
    }

    fn set_through(&self) -> Vec<Option<f64>> {
        self.by_maker(|brought| f64::from(brought.set_through))
    }

    /// By how much more of the stones set through than the plans themselves foretold.
    fn beyond_the_foretold(&self) -> Vec<Option<f64>> {
        self.by_maker(|brought| f64::from(brought.set_through) - brought.foretold)
    }

    fn told(&self) {
        for order in 0..ORDERS {
            let (stones, minutes) = (self.sum(order, |brought| brought.stones), self.minutes(order));
            println!(
                "order {}: {} of {stones} stones set through ({:.4}), {minutes:.2} minutes a plan, {} without a plan {}",
                order + 1,
                self.sum(order, |brought| brought.set_through),
                self.share(order),
                self.sum(order, |brought| brought.stuck),
                "#".repeat((1..60).filter(|minute| f64::from(*minute) <= minutes).count()),
            );
        }
    }
}

/// The mean over makers, with its standard error from how far they lie apart: stones of one maker stand or fall
/// together, so makers are counted and not stones.
fn mean_and_error(makers: &[Option<f64>]) -> (f64, f64) {
    let all: Vec<f64> = makers.iter().copied().flatten().collect();
    let n = all.len() as f64;
    let mean = all.iter().sum::<f64>() / n;
    let apart: f64 = all.iter().map(|one| (one - mean).powi(2)).sum();
    (mean, (apart / (n - 1.0) / n).sqrt())
}

/// Whether a share is no less than `wanted`, as far as so many makers can tell: twice the error.
fn keeps((share, error): (f64, f64), wanted: f64) -> bool {
    share >= wanted - 2.0 * error
}

#[test]
fn the_error_of_a_mean_is_that_of_the_textbook() {
    // By hand: 1, 2, 3, 4 have the mean 2.5, the variance 5/3, and the error √(5/12).
    let (mean, error) = mean_and_error(&[1.0, 2.0, 3.0, 4.0].map(Some));
    assert!((mean - 2.5).abs() < 1e-12 && (error - (5.0_f64 / 12.0).sqrt()).abs() < 1e-12);
    assert!(mean_and_error(&[Some(0.9); 5]).1.abs() < 1e-12, "makers who are all alike");
}

#[test]
fn makers_who_learn_stay_safe_and_get_quicker() {
    let makers = u64::from(trials("HELDFAST_MAKERS", 8));
    let lives = Lives::of(makers, ORDERS, 1.0);
    lives.told();
    let point = |order: usize| plot::Point {
        minutes: lives.minutes(order),
        makers: lives.sum(order, |brought| brought.stones) / 2,
        share: lives.share(order),
    };
    plot::keep(&(0..ORDERS).map(point).collect::<Vec<_>>());
    let (set, beyond) = (mean_and_error(&lives.set_through()), mean_and_error(&lives.beyond_the_foretold()));
    println!("a maker's share set through, of {makers} makers: {:.4}, give or take {:.4}", set.0, set.1);
    println!("beyond what the plans foretold: {:+.4}, give or take {:.4}", beyond.0, beyond.1);
    assert!(keeps(set, 0.95), "{set:?}");
    assert!(keeps(beyond, 0.0), "{beyond:?}");
    assert!(lives.minutes(ORDERS - 1) < lives.minutes(0) - 1.0, "experience is worth something");
    // A lamp that is too weak for a white is found out sooner or later, and then no plan is the honest answer.
    let stuck = |order: usize| u64::from(lives.sum(order, |brought| brought.stuck));
    assert!((0..ORDERS).all(|order| stuck(order) * 10 <= makers), "most can always go on");
}

#[test]
fn makers_who_learn_with_half_of_their_doubts_do_not_keep_what_they_foretell() {
    // What is learned from stones that stayed soft mends it by and by, so the first orders tell.
    let orders = 3;
    let makers = u64::from(trials("HELDFAST_MAKERS", 24));
    let (honest, bold) = (Lives::of(makers, orders, 1.0), Lives::of(makers, orders, 0.5));
    let (honest, bold) = (honest.beyond_the_foretold(), bold.beyond_the_foretold());
    // The same benches and the same luck: each maker is compared with the one who admits to all doubts.
    let pairs = bold.iter().zip(&honest).map(|(bold, honest)| Some((*bold)? - (*honest)?));
    let worse = mean_and_error(&pairs.collect::<Vec<_>>());
    let (honest, bold) = (mean_and_error(&honest), mean_and_error(&bold));
    println!(
        "beyond what the plans foretold, of {makers} makers: {:+.4}, give or take {:.4}",
        honest.0, honest.1
    );
    println!("broken, with half of the doubts: {:+.4}, give or take {:.4}", bold.0, bold.1);
    println!("which is so much worse: {:+.4}, give or take {:.4}", worse.0, worse.1);
    assert!(keeps(honest, 0.0), "{honest:?}");
    assert!(!keeps(worse, 0.0), "broken: half of the doubts: {worse:?}");
    // Many makers tell it without any to compare with.
    assert!(makers < 200 || !keeps(bold, 0.0), "broken: half of the doubts: {bold:?}");
}
