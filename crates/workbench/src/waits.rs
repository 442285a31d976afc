//! The waits that run now: derived from the orders' records at each look, never counted.

use std::collections::BTreeMap;

use craft::ledger::Layer;
use craft::moment::Moment;
use craft::order::Sheet;
use craft::studio::Studio;
use craft::tag::Tag;
use craft::units::Span;
use craft::wait::{Doubts, elapsed};

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
    /// What is odd about the time since.
    pub doubts: Doubts,
}

impl Wait {
    /// What is left until it is surely over.
    pub fn remaining(&self) -> Span {
        let left = self.planned - self.passed;
        if left < Span::ZERO { Span::ZERO } else { left }
    }

    /// True once it is surely over.
    pub fn is_over(&self) -> bool {
        self.remaining() == Span::ZERO
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
        // What the computer slept through is not surely light; settling and cooling go on by themselves.
        let slept = gone.doubts.slept.filter(|_| kind == Kind::Light).unwrap_or(Span::ZERO);
        let passed = gone.least - slept;
        let passed = if passed < Span::ZERO { Span::ZERO } else { passed };
        Self { tag, stones, kind, entry, since, planned, passed, doubts: gone.doubts }
    }
}

/// Every wait that runs, the one that ends first in front.
pub fn waits(studio: &Studio, now: Moment) -> Vec<Wait> {
    let mut all = Vec::new();
    for (&tag, held) in studio.orders() {
        if held.ledger.home.sent.is_some() {
            continue;
        }
        for (entry, (lit, stones)) in held.ledger.pours.lamps_on() {
            all.push(Wait::new(tag, stones, Kind::Light, (entry, lit.at), lit.press.seconds, now));
        }
        let mut cooling: BTreeMap<u32, Wait> = BTreeMap::new();
        for (&no, stone) in &held.ledger.pours.stones {
            let Some(layer) = stone.layers.last() else { continue };
            let layer_idx = stone.layers.len() - 1;
            match layer.lit.last() {
                None if layer.felt.is_none() => {
                    let planned = settle(&held.order.sheet, no, layer_idx);
                    if planned.is_positive() {
                        all.push(Wait::new(tag, vec![no], Kind::Settle, (0, layer.laid), planned, now));
                    }
                }
                Some(lit) if layer.cooled.is_none() && layer.felt.is_none() => {
                    let Some((off, _)) = lit.off else { continue };
                    let planned = cool(&held.order.sheet, no, layer_idx, layer);
                    let wait = Wait::new(tag, Vec::new(), Kind::Cool, (lit.on, off), planned, now);
                    cooling.entry(lit.on).or_insert(wait).stones.push(no);
                }
                _ => {}
            }
        }
        all.extend(cooling.into_values());
    }
    all.sort_by_key(|wait| (wait.remaining(), wait.tag, wait.kind, wait.stones.clone()));
    all
}

fn settle(sheet: &Sheet, no: u8, layer_idx: usize) -> Span {
    let plan = sheet.stone(no).and_then(|stone| stone.plan.as_ref());
    plan.and_then(|plan| plan.layers.get(layer_idx)).map_or(Span::ZERO, |layer| layer.settle)
}

/// As planned, or 12 s for each tenth of a millimetre where the layer was not planned (common practice, no source).
fn cool(sheet: &Sheet, no: u8, layer_idx: usize, layer: &Layer) -> Span {
    let plan = sheet.stone(no).and_then(|stone| stone.plan.as_ref());
    let usual = Span::from_micro(layer.thickness.micro() / 100_000 * 12_000_000);
    plan.and_then(|plan| plan.layers.get(layer_idx)).map_or(usual, |layer| layer.cool)
}
