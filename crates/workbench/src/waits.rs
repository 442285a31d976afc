//! The waits that run now: derived from the orders' records at each look, never counted.

use std::collections::BTreeMap;

use craft::cure::Button;
use craft::fact::{Fact, PourFact};
use craft::ledger::{Layer, Lit};
use craft::moment::Moment;
use craft::order::Sheet;
use craft::planner::PlannedLayer;
use craft::studio::{Held, Studio};
use craft::tag::Tag;
use craft::units::Span;
use craft::wait::{Doubts, Exposure, elapsed};

/// What is waited for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Kind {
    /// The resin levels and lets go of its air.
    Settle,
    /// The lamp is on.
    Light,
    /// Stone and mould cool down.
    Cool,
}

/// How a wait stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Standing {
    /// Time counts, and it is not over.
    Running,
    /// The computer was restarted, or slept beside a lit lamp: only the maker can tell how long it was.
    Unsure,
    /// It is surely over.
    Over,
}

/// How much of the light that is planned for a layer has surely fallen, all presses together: "64 of 99 s".
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Dose {
    /// The stone.
    pub stone: u8,
    /// Its newest layer, from 1.
    pub layer: u8,
    /// How long the planned presses are lit, all together.
    pub planned: Span,
    /// How long the lamp was surely on.
    pub lit: Span,
    /// What the layer still needs, in seconds of full power: a lamp that grows slowly gives less at each new press.
    pub missing: Span,
}

impl Dose {
    /// True once all the planned light has surely fallen.
    pub fn is_full(&self) -> bool {
        self.missing == Span::ZERO
    }
}

/// One wait that runs.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Wait {
    /// The order.
    pub tag: Tag,
    /// The stones.
    pub stones: Vec<u8>,
    /// What for.
    pub kind: Kind,
    /// The entry that began it; for settling and cooling the stone's newest press or 0.
    pub entry: u32,
    /// When it began.
    pub since: Moment,
    /// How long it should be.
    pub planned: Span,
    /// How long has surely passed.
    pub passed: Span,
    /// How long can have passed at most; `None` where that cannot be known.
    pub most: Option<Span>,
    /// How it stands.
    pub standing: Standing,
    /// What is odd about the time since.
    pub doubts: Doubts,
    /// Under the lamp and after it: the light of each stone that was planned.
    pub doses: Vec<Dose>,
}

impl Wait {
    /// What is left until it is surely over.
    pub fn remaining(&self) -> Span {
        let left = self.planned - self.passed;
        if left < Span::ZERO { Span::ZERO } else { left }
    }

    /// True once it is surely over.
    pub fn is_over(&self) -> bool {
        self.standing == Standing::Over
    }

    /// The light of the stone that lacks most, where these stones do not really cool: their lamp went off before all of
    /// it had fallen.
    pub fn pause(&self) -> Option<&Dose> {
        let short = self.doses.iter().filter(|dose| self.kind == Kind::Cool && !dose.is_full());
        short.max_by_key(|dose| dose.missing)
    }

    /// True where the lamp is only paused.
    pub fn is_paused(&self) -> bool {
        self.pause().is_some()
    }

    /// True where it is to be heard of: it is surely over, or settling or cooling may be over and only the maker can
    /// tell. Light is never rung on a guess.
    pub fn rings(&self) -> bool {
        let may_be_over = self.most.is_none_or(|most| most >= self.planned);
        self.is_over() || (self.standing == Standing::Unsure && self.kind != Kind::Light && may_be_over)
    }

    fn new(
        tag: Tag,
        stones: Vec<u8>,
        kind: Kind,
        (entry, since): (u32, Moment),
        planned: Span,
        now: Moment,
    ) -> Self {
        let gone = elapsed(&since, &now);
        let passed = if kind == Kind::Light { lit_since(&since, &now) } else { gone.least };
        let mut wait = Self {
            tag,
            stones,
            kind,
            entry,
            since,
            planned,
            passed,
            most: gone.most,
            standing: Standing::Running,
            doubts: gone.doubts,
            doses: Vec::new(),
        };
        wait.stand(now);
        wait
    }

    /// Looks anew how it stands, once what is planned is known.
    fn stand(&mut self, now: Moment) {
        let in_doubt = match self.kind {
            Kind::Settle | Kind::Cool => self.most != Some(self.passed),
            Kind::Light => {
                let mut press = Exposure::of_button(self.planned, Span::ZERO);
                press.start(self.since).is_err() || press.question(&now).is_some()
            }
        };
        self.standing = if self.passed >= self.planned {
            Standing::Over
        } else if in_doubt {
            Standing::Unsure
        } else {
            Standing::Running
        };
    }
}

/// How long a lamp that went on has surely been on: what the computer slept through is not surely light, however
/// short, while settling and cooling go on by themselves. Across a restart nothing is sure.
fn lit_since(since: &Moment, now: &Moment) -> Span {
    let awake_ms = now.awake_ms.saturating_sub(since.awake_ms).max(0);
    elapsed(since, now).least.min(Span::from_micro(awake_ms.saturating_mul(1_000)))
}

/// True where it was told of later that the lamp of an entry went off; the ledger keeps only when it went on.
fn off_is_told(held: &Held, on: u32) -> bool {
    let off = |fact: &Fact| matches!(fact, Fact::Pour(PourFact::LampOff { on: of, .. }) if *of == on);
    held.order
        .log
        .entries()
        .rev()
        .find(|(_, entry)| off(&entry.fact))
        .is_some_and(|(_, entry)| entry.told.is_some())
}

/// Every wait that runs, the one that ends first in front. What was told of later starts none: nobody saw when it
/// was.
pub fn waits(studio: &Studio, now: Moment) -> Vec<Wait> {
    in_order(studio.awake().flat_map(|(_, held)| of_order(studio, held, now)))
}

/// The same of some orders only: those that [`has_any`].
pub(crate) fn waits_of<'a>(
    studio: &Studio,
    tags: impl IntoIterator<Item = &'a Tag>,
    now: Moment,
) -> Vec<Wait> {
    let orders = tags.into_iter().filter_map(|tag| studio.orders().get(tag));
    in_order(orders.flat_map(|held| of_order(studio, held, now)))
}

/// True where something waits in an order. That follows from its record and its sheet alone; the time only tells how
/// each wait stands.
pub(crate) fn has_any(studio: &Studio, held: &Held, now: Moment) -> bool {
    held.at_rest().is_none() && !of_order(studio, held, now).is_empty()
}

fn in_order(waits: impl Iterator<Item = Wait>) -> Vec<Wait> {
    let mut all: Vec<Wait> = waits.collect();
    all.sort_by_key(|wait| (wait.remaining(), wait.tag, wait.kind, wait.stones.clone()));
    all
}

/// The waits of one order.
fn of_order(studio: &Studio, held: &Held, now: Moment) -> Vec<Wait> {
    let mut all = Vec::new();
    if held.ledger.home.is_gone() {
        return all;
    }
    let (tag, usual) = (held.order.tag, studio.policies().handling.cool);
    for (entry, (lit, stones)) in held.ledger.pours.lamps_on() {
        if lit.told {
            continue;
        }
        let doses = stones.iter().filter_map(|&no| dose(held, no, now)).collect();
        let wait = Wait::new(tag, stones, Kind::Light, (entry, lit.at), lit.press.seconds, now);
        all.push(Wait { doses, ..wait });
    }
    // What lacks light is not on its way to be felt, though it was under the same press as what cools.
    let mut cooling: BTreeMap<(u32, bool), Wait> = BTreeMap::new();
    for (&no, stone) in &held.ledger.pours.stones {
        let Some(layer) = stone.layers.last() else { continue };
        let layer_idx = stone.layers.len() - 1;
        match layer.lit.last() {
            None if layer.felt.is_none() && !layer.told => {
                let planned = settle(&held.order.sheet, no, layer_idx);
                if planned.is_positive() {
                    all.push(Wait::new(tag, vec![no], Kind::Settle, (0, layer.laid), planned, now));
                }
            }
            Some(lit) if layer.cooled.is_none() && layer.felt.is_none() => {
                let Some((off, _)) = lit.off else { continue };
                if off_is_told(held, lit.on) {
                    continue;
                }
                let planned = cool(&held.order.sheet, no, layer_idx, layer, usual);
                let wait = Wait::new(tag, Vec::new(), Kind::Cool, (lit.on, off), planned, now);
                let dose = dose(held, no, now);
                let is_short = dose.is_some_and(|dose| !dose.is_full());
                let together = cooling.entry((lit.on, is_short)).or_insert(wait);
                together.stones.push(no);
                together.doses.extend(dose);
                // Stones that cool together are cool when the slowest is.
                together.planned = together.planned.max(planned);
                together.stand(now);
            }
            _ => {}
        }
    }
    all.extend(cooling.into_values());
    all
}

/// The light of a stone's newest layer against its plan; `None` where nothing is laid or the layer was not planned.
pub fn dose(held: &Held, no: u8, now: Moment) -> Option<Dose> {
    let layers = &held.ledger.pours.stones.get(&no)?.layers;
    let layer = layers.last()?;
    let plan = held.order.sheet.stone(no)?.plan.as_ref()?;
    let wanted = plan.layers.get(layers.len() - 1)?;
    let on_for = |lit: &Lit| match lit.off {
        Some((_, told)) => told,
        None if lit.told => Span::ZERO,
        None => lit_since(&lit.at, &now).min(lit.press.seconds),
    };
    let full_power = |lit: &Lit| {
        let lit_for = on_for(lit);
        // A press that no button can have gives nothing that could be counted on.
        Button::new("", lit.press.seconds.max(lit_for), lit.press.ramp)
            .map_or(Span::ZERO, |button| button.equivalent_after(lit_for))
    };
    let needs = plan.light_wanted(layers.len() - 1)?;
    // Light on the face of a stone that is out of its mould is not what its newest layer was planned with.
    if layer.lit.last().is_some_and(|lit| !lit.in_mould) {
        return None;
    }
    let fell: Span = layer.lit.iter().map(full_power).sum();
    Some(Dose {
        stone: no,
        layer: u8::try_from(layers.len()).unwrap_or(u8::MAX),
        planned: wanted.lit(),
        lit: layer.lit.iter().map(on_for).sum(),
        missing: (needs - fell).max(Span::ZERO),
    })
}

/// True where the lamp of a stone is only paused: it went off before all the light of the newest layer had fallen, and
/// the layer was not left at that.
pub fn is_paused(held: &Held, no: u8) -> bool {
    let layer = held.ledger.pours.stones.get(&no).and_then(|stone| stone.layers.last());
    let open = layer.filter(|layer| layer.cooled.is_none() && layer.felt.is_none());
    // Once every press has ended, time adds no light.
    let Some((off, _)) = open.and_then(|layer| layer.lit.last()?.off) else { return false };
    dose(held, no, off).is_some_and(|dose| !dose.is_full())
}

fn planned(sheet: &Sheet, no: u8, layer_idx: usize) -> Option<&PlannedLayer> {
    sheet.stone(no)?.plan.as_ref()?.layers.get(layer_idx)
}

fn settle(sheet: &Sheet, no: u8, layer_idx: usize) -> Span {
    planned(sheet, no, layer_idx).map_or(Span::ZERO, |layer| layer.settle)
}

/// As planned, or as `usual` for each tenth of a millimetre begun where the layer was not planned.
fn cool(sheet: &Sheet, no: u8, layer_idx: usize, layer: &Layer, usual: Span) -> Span {
    let tenths = (layer.thickness.micro().max(0) + 99_999) / 100_000;
    let unplanned = Span::from_micro(usual.micro().saturating_mul(tenths));
    planned(sheet, no, layer_idx).map_or(unplanned, |layer| layer.cool)
}

#[cfg(test)]
mod tests;
