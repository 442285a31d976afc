//! Makers with true figures that nobody tells them: they plan, pour, feel and learn.

use super::{wedge as wedge_of, *};
use crate::chance::{Draws, trials};
use crate::planner::{PlanError, Problem, Style, plan};

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
        let doubts = pigment.doubts(learned.doubts(rest).unwrap());
        let lights = Self::buttons().map(|button| learned.light(button).unwrap()).to_vec();
        let (depth, face) = (Length::from_mm(3.5), Length::from_mm(1.5));
        let style = Style::Quick;
        let mut problem =
            Problem::for_stone(depth, face, pigment.mix(&typical), style, lights, doubts).unwrap();
        problem.cure.resin = learned.resin().unwrap();
        problem.cure.own = pigment.own;
        let plan = match plan(&problem) {
            Ok(plan) => plan,
            Err(PlanError::Stuck(_)) => return Brought { stuck: 1, ..Brought::default() },
            Err(other) => panic!("{other}"),
        };
        let mut brought = Brought { minutes: plan.bench_minutes(), ..Brought::default() };
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

#[test]
fn makers_who_learn_stay_safe_and_get_quicker() {
    let makers = u64::from(trials("HELDFAST_MAKERS", 24));
    let draws = Draws::new(20_260_301);
    let mut by_order = [Brought::default(); ORDERS];
    // Minutes of those who always had a plan, so that the same makers are compared.
    let (mut minutes, mut lasting) = ([0_u32; ORDERS], 0_u32);
    for number in 0..makers {
        let class = [PigmentClass::White, PigmentClass::Dark, PigmentClass::White, PigmentClass::Pearl]
            [usize::try_from(number % 4).unwrap()];
        let truth = Truth::drawn(draws, number, class);
        let mut maker = Maker { truth, class, draws, number, seen: Vec::new() };
        let orders: Vec<Brought> = (0..ORDERS).map(|order| maker.order(order as u64)).collect();
        if orders.iter().all(|brought| brought.stuck == 0) {
            lasting += 1;
            minutes.iter_mut().zip(&orders).for_each(|(sum, brought)| *sum += brought.minutes);
        }
        for (sum, brought) in by_order.iter_mut().zip(&orders) {
            sum.stones += brought.stones;
            sum.set_through += brought.set_through;
            sum.stuck += brought.stuck;
        }
    }
    let mean = |order: usize| f64::from(minutes[order]) / f64::from(lasting);
    for (order, sum) in by_order.iter().enumerate() {
        println!(
            "order {}: {} of {} stones set through ({:.4}), {:.2} minutes a plan, {} without a plan {}",
            order + 1,
            sum.set_through,
            sum.stones,
            f64::from(sum.set_through) / f64::from(sum.stones.max(1)),
            mean(order),
            sum.stuck,
            "#".repeat(usize::try_from(minutes[order] / lasting).unwrap()),
        );
    }
    let point = |(order, sum): (usize, &Brought)| plot::Point {
        minutes: mean(order),
        makers: sum.stones / 2,
        share: f64::from(sum.set_through) / f64::from(sum.stones.max(1)),
    };
    plot::keep(&by_order.iter().enumerate().map(point).collect::<Vec<_>>());
    let all: u32 = by_order.iter().map(|sum| sum.stones).sum();
    let set: u32 = by_order.iter().map(|sum| sum.set_through).sum();
    let share = f64::from(set) / f64::from(all);
    println!("all: {set} of {all} stones of {makers} makers set through ({share:.4})");
    // Stones of one maker stand or fall together, so it is makers that are counted in the error and not stones.
    let error = (0.95 * 0.05 / makers as f64).sqrt();
    assert!(share > 0.95 - 3.0 * error, "{share}");
    assert!(mean(ORDERS - 1) < mean(0) - 1.0, "experience is worth something");
    // A lamp that is too weak for a white is found out sooner or later, and then no plan is the honest answer.
    assert!(by_order.iter().all(|sum| u64::from(sum.stuck) * 10 <= makers), "most can always go on");
}
