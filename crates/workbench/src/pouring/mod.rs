//! What is to be done now at one stone: it follows from the plan, the record and the time, and is never kept.

mod answers;
#[cfg(test)]
mod tests;

use crate::present::words;
use craft::dosing::Pour;
use craft::fact::{Hardness, Holder, LayerKind, Press};
use craft::foreseen::{Against, Heard, RESIN};
use craft::id::is_practice;
use craft::id::{ShelfId, Thing, ThingKind};
use craft::ledger::{Layer, Role, Stone};
use craft::moment::Moment;
use craft::order::StoneSheet;
use craft::place::{Cell, Place};
use craft::planner::PlannedLayer;
use craft::shelf::What;
use craft::studio::{Held, Studio};
use craft::units::{Length, Load, Mass, Share, Span};
use craft::wait::{Elapsed, Exposure, elapsed};

use crate::stones::{free_cells, next_no};
use crate::waits::{Kind, Standing, Wait, dose, waits_of};

pub use answers::{
    amount, amount_of_layer, begin, came_from, cooled, felt, has_bounced, is_for_space, laid, lamp_off,
    lamp_wants_space, lamp_was_on, light, offcuts, presses, set_aside, space, taken_out,
};

/// Why nothing more is poured.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Closed {
    /// The order was called off.
    CalledOff,
    /// The box has gone home.
    GoneHome,
    /// The stone is lost, in the box, or part of a piece.
    NotHere,
    /// It was set aside as a spare.
    SetAside,
}

/// Why a layer goes under the lamp.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Why {
    /// For the first time.
    First,
    /// For the first time, before it has settled: the maker would not wait.
    Hurried,
    /// For the rest of a press that was paused.
    Rest,
    /// Again, since it came out soft.
    Soft,
    /// Again, since the last layer came out tacky.
    Tacky,
}

/// A layer that is to be laid.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Lay {
    /// Which, from 1 at the face.
    pub layer: u8,
    /// What for.
    pub kind: LayerKind,
    /// How thick.
    pub thickness: Length,
    /// Where its surface stands above the face as it is poured, before it shrinks.
    pub filled_to: Length,
    /// Pigment in it.
    pub load: Load,
    /// From which bottle.
    pub bottle: ShelfId,
    /// Which pigment.
    pub pigment: Option<ShelfId>,
    /// What it weighs; none where the mould is not known.
    pub mass: Option<Mass>,
}

/// A press of the lamp that is to be made.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Light {
    /// Which layer, from 1.
    pub layer: u8,
    /// The press.
    pub press: Press,
    /// What stands on the button.
    pub button: String,
    /// Why.
    pub why: Why,
    /// How much light has surely fallen before.
    pub lit: Span,
    /// How long the lamp has been off since; none before the first press, or across a restart.
    pub off_for: Option<Span>,
    /// Other stones of the order that wait for the same press, each with how long it needs.
    pub others: Vec<(u8, Span)>,
}

/// A lamp that went on and nobody knows for how long.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct AskLamp {
    /// The entry that put it on.
    pub on: u32,
    /// The stones under it.
    pub stones: Vec<u8>,
    /// How long it was meant to be on.
    pub planned: Span,
    /// How long it surely was.
    pub sure: Span,
}

/// What is to be done now at one stone.
#[derive(Clone, Debug, PartialEq)]
pub enum Step {
    /// Nothing more.
    Closed(Closed),
    /// It has no plan: make one first.
    Plan,
    /// What was learned since its plan was kept speaks against it: plan it again before anything more is laid.
    PlanAgain(Against),
    /// The keep-back of this lot is to be put away first.
    KeepBack(u8),
    /// The sheet does not say how much of the material goes in, or nothing of it is left to take.
    NoShare,
    /// Take its cavity.
    Begin {
        /// The mould.
        mould: ShelfId,
        /// The cavity.
        cell: Cell,
    },
    /// Open the packet with its material, reading the tag.
    Open(Thing),
    /// Put its share in.
    PutIn {
        /// The open packet.
        from: Thing,
        /// Which lot.
        lot: u8,
        /// How much.
        part: Share,
    },
    /// Close the packet again.
    Close(Thing),
    /// Lay this layer.
    Lay(Lay),
    /// Let it settle; it may go under the lamp before that is over.
    Settle(Box<Wait>, Light),
    /// Put the lamp on.
    Light(Light),
    /// The lamp is on.
    Lit(Box<Wait>),
    /// The light is over.
    LightOver(Box<Wait>),
    /// Say how long the lamp was on.
    AskLamp(AskLamp),
    /// Let it cool.
    Cool(Box<Wait>),
    /// Say how the layer came out.
    Feel {
        /// Which layer.
        layer: u8,
        /// It has cooled, and that is not written down yet.
        cooled_now: bool,
    },
    /// Take it out of its mould.
    TakeOut,
    /// It is made.
    Finished,
}

impl Step {
    /// True where the maker's hands are wanted.
    pub fn is_for_hands(&self) -> bool {
        !matches!(
            self,
            Step::Closed(_)
                | Step::Finished
                | Step::Settle(..)
                | Step::Lit(_)
                | Step::Cool(_)
                | Step::Plan
                | Step::PlanAgain(_)
        )
    }

    /// The same step, unless it would begin a stone, put material in or lay a layer by a plan that something speaks against.
    /// What lies in the mould already is lit, cooled and felt in any case.
    #[must_use]
    pub fn unless(self, against: Option<&Against>) -> Step {
        match against {
            Some(against) if self.goes_by_its_plan() => Step::PlanAgain(against.clone()),
            _ => self,
        }
    }

    /// True where it begins a stone, puts material in or lays a layer: what [`Step::unless`] holds back.
    pub const fn goes_by_its_plan(&self) -> bool {
        matches!(self, Step::Begin { .. } | Step::Open(_) | Step::PutIn { .. } | Step::Lay(_))
    }

    /// The wait that runs or is just over.
    pub fn wait(&self) -> Option<&Wait> {
        match self {
            Step::Settle(wait, _) | Step::Lit(wait) | Step::LightOver(wait) | Step::Cool(wait) => Some(wait),
            _ => None,
        }
    }
}

/// What is looked at, once for all stones.
struct Looked<'a> {
    studio: &'a Studio,
    held: &'a Held,
    now: Moment,
    waits: Vec<Wait>,
}

/// What is to be done now at stone `no`.
pub fn step(studio: &Studio, held: &Held, no: u8, now: Moment) -> Step {
    Looked::new(studio, held, now).step(no)
}

/// The same, unless what was learned since speaks against the plan it would go by: the one answer to what a stone waits
/// for, asked by the board, the tabs and the pour page alike.
pub fn asked(studio: &Studio, held: &Held, (no, now): (u8, Moment), heard: &mut Heard) -> Step {
    let step = step(studio, held, no, now);
    let stone = held.order.sheet.stone(no).filter(|_| step.goes_by_its_plan());
    let against = stone.and_then(|stone| studio.against_heard(held.order.tag, stone, now.day(), heard));
    step.unless(against.as_ref())
}

/// What is to be done now at every stone of the sheet, and every other one that was begun.
pub fn steps(studio: &Studio, held: &Held, now: Moment) -> Vec<(u8, Step)> {
    let looked = Looked::new(studio, held, now);
    let mut all: Vec<u8> = held.order.sheet.stones.iter().map(|stone| stone.no).collect();
    all.extend(held.ledger.pours.stones.keys());
    all.sort_unstable();
    all.dedup();
    all.into_iter().map(|no| (no, looked.step(no))).collect()
}

/// The stone to look at first: one that hands are wanted at, else one that waits, else the first.
pub fn first_stone(steps: &[(u8, Step)]) -> Option<u8> {
    let rank = |step: &Step| match step {
        Step::LightOver(_) | Step::AskLamp(_) => 0,
        Step::Begin { .. } => 3,
        step if step.is_for_hands() => 1,
        step if step.wait().is_some() => 2,
        _ => 4,
    };
    steps.iter().min_by_key(|(no, step)| (rank(step), *no)).map(|(no, _)| *no)
}

impl<'a> Looked<'a> {
    fn new(studio: &'a Studio, held: &'a Held, now: Moment) -> Self {
        // An order that is not the studio's own has no waits there.
        let waits = waits_of(studio, [&held.order.tag], now);
        Self { studio, held, now, waits }
    }

    fn sheet(&self, no: u8) -> Option<&'a StoneSheet> {
        self.held.order.sheet.stone(no)
    }

    fn planned(&self, no: u8) -> &'a [PlannedLayer] {
        self.sheet(no).and_then(|stone| stone.plan.as_ref()).map_or(&[], |plan| plan.layers.as_slice())
    }

    fn wait(&self, no: u8, kind: Kind) -> Option<Wait> {
        self.waits.iter().find(|wait| wait.kind == kind && wait.stones.contains(&no)).cloned()
    }

    fn step(&self, no: u8) -> Step {
        let ledger = &self.held.ledger;
        let Some(stone) = ledger.pours.stones.get(&no) else { return self.before(no) };
        if let Some(on) = stone.under_lamp() {
            return self.under_lamp(no, stone, on);
        }
        let held = ledger.custody.things.get(&Thing::stone(no));
        if ledger.home.is_gone() {
            // What is left in a mould is the maker's own, and keeps the cavity from others.
            let lies = held.is_some_and(|held| matches!(held.place, Place::Cavity { .. }));
            return if is_practice(no) && lies { Step::TakeOut } else { Step::Closed(Closed::GoneHome) };
        }
        if !held.is_some_and(|held| held.is_here() && held.place != Place::Box) {
            return Step::Closed(Closed::NotHere);
        }
        if stone.set_aside {
            return if stone.taken_out { Step::Closed(Closed::SetAside) } else { Step::TakeOut };
        }
        match stone.layers.last() {
            Some(layer) if layer.felt.is_none() && !(stone.taken_out && layer.lit.is_empty()) => {
                self.not_felt(no, stone, layer)
            }
            Some(layer) if layer.felt == Some(Hardness::Soft) => self.light_step(no, stone, Why::Soft),
            Some(layer) if layer.felt == Some(Hardness::Tacky) && self.is_last(no, stone) => {
                self.light_step(no, stone, Why::Tacky)
            }
            _ if stone.taken_out => Step::Finished,
            Some(_) if self.is_last(no, stone) => Step::TakeOut,
            _ => self.next_layer(no, stone),
        }
    }

    fn is_last(&self, no: u8, stone: &Stone) -> bool {
        stone.layers.len() >= self.planned(no).len()
    }

    fn before(&self, no: u8) -> Step {
        let ledger = &self.held.ledger;
        if ledger.home.is_gone() {
            return Step::Closed(Closed::GoneHome);
        }
        if ledger.client.called_off {
            return Step::Closed(Closed::CalledOff);
        }
        match self.sheet(no) {
            Some(sheet) if sheet.plan.is_some() => {
                Step::Begin { mould: sheet.mould.clone(), cell: sheet.cell.clone() }
            }
            _ => Step::Plan,
        }
    }

    fn under_lamp(&self, no: u8, stone: &Stone, on: u32) -> Step {
        let lit = stone.layers.last().and_then(|layer| layer.lit.last());
        match self.wait(no, Kind::Light) {
            Some(wait) if wait.standing == Standing::Running => Step::Lit(Box::new(wait)),
            Some(wait) if wait.standing == Standing::Over => Step::LightOver(Box::new(wait)),
            Some(wait) => Step::AskLamp(AskLamp {
                on,
                stones: wait.stones.clone(),
                planned: wait.planned,
                sure: wait.passed,
            }),
            None => Step::AskLamp(AskLamp {
                on,
                stones: vec![no],
                planned: lit.map_or(Span::ZERO, |lit| lit.press.seconds),
                sure: Span::ZERO,
            }),
        }
    }

    fn not_felt(&self, no: u8, stone: &Stone, layer: &Layer) -> Step {
        let layer_no = newest(stone);
        if layer.lit.is_empty() {
            let wait = self.wait(no, Kind::Settle).filter(|wait| !wait.is_over());
            return match (wait, self.press(no, stone, Why::First)) {
                (Some(wait), Some(light)) => Step::Settle(Box::new(wait), light),
                (_, Some(light)) => Step::Light(light),
                (_, None) => Step::Plan,
            };
        }
        if layer.cooled.is_some() {
            return Step::Feel { layer: layer_no, cooled_now: false };
        }
        let is_short = dose(self.held, no, self.now).is_some_and(|dose| !dose.is_full());
        if is_short && let Some(light) = self.press(no, stone, Why::Rest) {
            return Step::Light(light);
        }
        match self.wait(no, Kind::Cool) {
            Some(wait) if !wait.is_over() => Step::Cool(Box::new(wait)),
            Some(_) => Step::Feel { layer: layer_no, cooled_now: true },
            None => Step::Feel { layer: layer_no, cooled_now: false },
        }
    }

    fn light_step(&self, no: u8, stone: &Stone, why: Why) -> Step {
        self.press(no, stone, why).map_or(Step::Plan, Step::Light)
    }

    /// The press that the newest layer waits for, and who else waits for the same.
    fn press(&self, no: u8, stone: &Stone, why: Why) -> Option<Light> {
        let light = self.press_alone(no, stone, why)?;
        let others = self.held.ledger.pours.stones.iter().filter(|(other, _)| **other != no);
        let others = others.filter_map(|(&other, stone)| {
            let same_why = self.why(other, stone)?;
            let theirs = self.press_alone(other, stone, same_why)?;
            let same = (&theirs.press.lamp, theirs.press.button, same_why)
                == (&light.press.lamp, light.press.button, why);
            same.then_some((other, theirs.press.seconds))
        });
        Some(Light { others: others.collect(), ..light })
    }

    /// Why a stone waits for the lamp; none where it does not, or still settles.
    fn why(&self, no: u8, stone: &Stone) -> Option<Why> {
        let here = self.held.ledger.custody.things.get(&Thing::stone(no))?;
        if !here.is_here() || here.place == Place::Box || stone.set_aside || stone.under_lamp().is_some() {
            return None;
        }
        let layer = stone.layers.last()?;
        match layer.felt {
            None if layer.lit.is_empty() => {
                let settles = self.wait(no, Kind::Settle).is_some_and(|wait| !wait.is_over());
                (!settles && !stone.taken_out).then_some(Why::First)
            }
            None if layer.cooled.is_none() => {
                dose(self.held, no, self.now).filter(|dose| !dose.is_full()).map(|_| Why::Rest)
            }
            Some(Hardness::Soft) => Some(Why::Soft),
            Some(Hardness::Tacky) if self.is_last(no, stone) => Some(Why::Tacky),
            _ => None,
        }
    }

    fn press_alone(&self, no: u8, stone: &Stone, why: Why) -> Option<Light> {
        let sheet = self.sheet(no)?;
        let plan = sheet.plan.as_ref()?;
        // A layer beyond the plan is lit as the last one planned.
        let idx = stone.layers.len().checked_sub(1)?;
        let planned = plan.layers.get(idx).or(plan.layers.last())?;
        let button = &plan.lights.get(usize::from(planned.light))?.button;
        let buttons = match self.studio.shelf().get(&sheet.lamp).map(|item| &item.what) {
            Some(What::Lamp(lamp)) => lamp.buttons.as_slice(),
            _ => &[],
        };
        let place = buttons.iter().position(|real| real == button).unwrap_or(usize::from(planned.light));
        let layer = stone.layers.last()?;
        let off = layer.lit.last().and_then(|lit| lit.off).map(|(off, _)| elapsed(&off, &self.now));
        let seconds = match (why, dose(self.held, no, self.now)) {
            // The least time of a new press that gives the light still missing, in whole seconds.
            (Why::Rest, Some(dose)) => {
                let rest = Exposure::new(dose.missing, button.ramp(), None).remaining(&self.now);
                whole_seconds_up(rest).min(button.total())
            }
            _ => button.total(),
        };
        let number = u8::try_from(place + 1).ok()?;
        Some(Light {
            layer: newest(stone),
            press: Press { lamp: sheet.lamp.clone(), button: number, seconds, ramp: button.ramp() },
            button: button.name().to_owned(),
            why,
            lit: layer.light(),
            off_for: off.filter(Elapsed::is_exact).map(|off| off.least),
            others: Vec::new(),
        })
    }

    fn next_layer(&self, no: u8, stone: &Stone) -> Step {
        let ledger = &self.held.ledger;
        if ledger.client.called_off {
            return Step::Closed(Closed::CalledOff);
        }
        let sheet = self.sheet(no);
        let plan = sheet.and_then(|sheet| sheet.plan.as_ref());
        let planned = plan.and_then(|plan| plan.layers.get(stone.layers.len()));
        let (Some(sheet), Some(plan), Some(planned)) = (sheet, plan, planned) else {
            return Step::Plan;
        };
        let layer = newest(stone).saturating_add(1);
        let kind = plan.kind_of(layer, planned);
        if kind == LayerKind::Material
            && !is_practice(no)
            && let Some(step) = self.material(no, sheet)
        {
            return step;
        }
        let wanted = |(other, stone): (&u8, &Stone)| stone.layers.is_empty() && self.wants_more(*other);
        if !ledger.client_stones().any(wanted)
            && let Some(open) = ledger.custody.open().next()
        {
            return Step::Close(open);
        }
        Step::Lay(lay(self.studio, sheet, stone, (layer, kind, planned)))
    }

    /// True where a stone that was begun still waits for some of its material.
    fn wants_more(&self, no: u8) -> bool {
        self.sheet(no).is_some_and(|sheet| self.missing(no, sheet).is_some())
    }

    /// The first lot a stone still wants, and how much of it.
    fn missing(&self, no: u8, sheet: &StoneSheet) -> Option<(u8, Share)> {
        let custody = &self.held.ledger.custody;
        sheet.shares.iter().find_map(|share| {
            // Once something of a lot is in, that is what went in.
            let has = custody.share(Holder::Thing(Thing::stone(no)), share.lot);
            (has == Share::NONE && share.part > Share::NONE).then_some((share.lot, share.part))
        })
    }

    /// What is to be done before the material can be laid; none once it is in.
    fn material(&self, no: u8, sheet: &StoneSheet) -> Option<Step> {
        let custody = &self.held.ledger.custody;
        let Some((lot, part)) = self.missing(no, sheet) else {
            let empty = custody.contents(Thing::stone(no)).next().is_none();
            return empty.then_some(Step::NoShare);
        };
        if custody.lots.get(&lot).is_some_and(|lot| lot.keep_back > Share::NONE)
            && !custody.has_keep_back(lot)
        {
            return Some(Step::KeepBack(lot));
        }
        let packet = |thing: Thing| {
            let kind = matches!(thing.kind, ThingKind::Wrapping | ThingKind::Envelope);
            let held = custody.things.get(&thing).filter(|held| kind && held.is_here());
            held.filter(|held| held.role == Role::Plain && held.place != Place::Box)
        };
        let holders = custody.holders(lot).filter_map(|(holder, has)| match holder {
            Holder::Thing(thing) => packet(thing).map(|held| (thing, held.open, has)),
            Holder::Tools => None,
        });
        // The one that stands open, else one with enough, else the fullest.
        let best =
            holders.max_by_key(|(thing, open, has)| (*open, *has >= part, *has, std::cmp::Reverse(*thing)));
        Some(match best {
            None => Step::NoShare,
            Some((from, true, has)) => Step::PutIn { from, lot, part: part.min(has) },
            Some((thing, false, _)) => Step::Open(thing),
        })
    }
}

fn newest(stone: &Stone) -> u8 {
    u8::try_from(stone.layers.len()).unwrap_or(u8::MAX)
}

fn whole_seconds_up(span: Span) -> Span {
    Span::from_micro(span.micro().saturating_add(999_999) / 1_000_000 * 1_000_000)
}

fn lay(
    studio: &Studio,
    sheet: &StoneSheet,
    stone: &Stone,
    (layer, kind, planned): (u8, LayerKind, &PlannedLayer),
) -> Lay {
    let mut thicknesses: Vec<Length> = stone.layers.iter().map(|layer| layer.thickness).collect();
    thicknesses.push(planned.thickness);
    // As a liquid, so that what is left once it has shrunk is as thick as it was planned.
    let mark = studio.marks_of(sheet, &thicknesses).ok().and_then(|mut marks| marks.pop());
    let mass = mark.and_then(|mark| Pour::of(planned.load, mark.poured, RESIN).ok());
    Lay {
        layer,
        kind,
        thickness: planned.thickness,
        filled_to: mark.map_or_else(|| thicknesses.into_iter().sum(), |mark| mark.liquid),
        load: planned.load,
        bottle: sheet.resin.clone(),
        pigment: planned.load.is_positive().then(|| sheet.pigment.clone()),
        mass: mass.map(|pour| pour.mass),
    }
}

/// Another stone like stone `no`, to be planned anew, in the next free cavity.
///
/// # Errors
/// There are no more numbers, or the stone is not on the sheet.
pub fn another_like(studio: &Studio, held: &Held, no: u8) -> Result<StoneSheet, String> {
    let sheet = &held.order.sheet;
    let like = sheet
        .stone(no)
        .ok_or_else(|| format!("{name} is not on the sheet; plan a new one", name = words::stone(no)))?;
    let next = next_no(held, is_practice(no))?;
    let free = free_cells(studio, held, &like.mould).into_iter().next();
    Ok(StoneSheet {
        no: next,
        cell: free.unwrap_or_else(|| like.cell.clone()),
        plan: None,
        caption: craft::text::Line::default(),
        ..like.clone()
    })
}
