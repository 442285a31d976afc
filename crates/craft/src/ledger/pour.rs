//! What was poured: the build record of each stone, lamp hours and resin used.

use std::collections::{BTreeMap, BTreeSet};

use crate::fact::{Amount, Hardness, Holder, LayerKind, PourFact, Press};
use crate::id::{ShelfId, Thing, ThingKind, is_practice};
use crate::moment::Moment;
use crate::place::{Cell, Place};
use crate::units::{Length, Load, Mass, Span};

use super::custody::{Held, must_be_put_down};
use super::{Ledger, Stamp, Unfit};

/// One time under a lamp.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Lit {
    /// The entry that put the lamp on.
    pub on: u32,
    /// When it went on.
    pub at: Moment,
    /// It was told of later, so `at` is when it was written down and no wait follows from it.
    pub told: bool,
    /// The press.
    pub press: Press,
    /// The stone lay in its mould, so the light came from above the newest layer; out of it nobody knows from which side.
    pub in_mould: bool,
    /// When it went off, and how long light surely fell.
    pub off: Option<(Moment, Span)>,
}

impl Lit {
    /// The most light that can have fallen by `now`. The lamp goes off by itself, so it is never more than its button
    /// gives; within one run of the computer it is no more than has passed either, a second allowed for rounding.
    fn most_light(&self, now: &Moment) -> Span {
        if now.boot != self.at.boot {
            return self.press.seconds;
        }
        let passed_ms = now.since_boot_ms.saturating_sub(self.at.since_boot_ms);
        let passed = Span::from_micro(passed_ms.saturating_mul(1_000));
        passed.min(self.press.seconds) + Span::from_micro(CLOCK_SLACK_MS * 1_000)
    }
}

/// How a layer felt after the light it had had until then.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Feel {
    /// How often it had been under a lamp: so many of [`Layer::lit`], from the first.
    pub presses: usize,
    /// How it felt.
    pub hardness: Hardness,
    /// When that was written down.
    pub at: Moment,
}

/// One layer as it was really laid.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Layer {
    /// What it is for.
    pub kind: LayerKind,
    /// How thick.
    pub thickness: Length,
    /// Pigment in it.
    pub load: Load,
    /// How much was used.
    pub amount: Amount,
    /// From which bottle.
    pub bottle: ShelfId,
    /// Which pigment is in it; none where it is clear.
    pub pigment: Option<ShelfId>,
    /// When.
    pub laid: Moment,
    /// It was told of later, so `laid` is when it was written down and no wait follows from it.
    pub told: bool,
    /// Each time under a lamp.
    pub lit: Vec<Lit>,
    /// When it had cooled after the last lamp.
    pub cooled: Option<Moment>,
    /// How it came out: none where it was lit again and not felt since.
    pub felt: Option<Hardness>,
    /// Every way it was felt, one for each amount of light it had; a word that was said again without more light stands
    /// in place of the one before.
    pub felts: Vec<Feel>,
}

impl Layer {
    /// How long light surely fell, all presses together.
    pub fn light(&self) -> Span {
        self.lit.iter().filter_map(|lit| lit.off.map(|(_, span)| span)).sum()
    }
}

/// One stone as it was really made.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Stone {
    /// The mould.
    pub mould: ShelfId,
    /// Its cavity.
    pub cell: Cell,
    /// The layers, from the face.
    pub layers: Vec<Layer>,
    /// It has left the mould.
    pub taken_out: bool,
    /// It is kept as a spare and not shown.
    pub set_aside: bool,
}

impl Stone {
    /// The entry of the lamp it is under now.
    pub fn under_lamp(&self) -> Option<u32> {
        self.layers.last()?.lit.last().filter(|lit| lit.off.is_none()).map(|lit| lit.on)
    }

    /// True where the newest layer is hard and no lamp is on.
    pub fn is_finished(&self) -> bool {
        self.under_lamp().is_none()
            && self.layers.last().is_some_and(|layer| layer.felt == Some(Hardness::Hard))
    }
}

/// What was poured.
#[derive(Clone, Debug, PartialEq, Eq, Default)]
pub struct Pours {
    /// The stones by number.
    pub stones: BTreeMap<u8, Stone>,
    /// How long each lamp was on.
    pub lamp_use: BTreeMap<ShelfId, Span>,
    /// How much of each bottle was weighed out.
    pub bottle_use: BTreeMap<ShelfId, Mass>,
    /// How each bag of offcuts that was lit came out, the newest light last.
    pub offcuts: BTreeMap<Thing, Vec<(Press, Hardness)>>,
    /// Bags into which something went since they were lit.
    added_to: BTreeSet<Thing>,
}

impl Pours {
    /// A stone that must be there.
    ///
    /// # Errors
    /// [`Unfit::UnknownThing`].
    pub fn stone(&self, no: u8) -> Result<&Stone, Unfit> {
        self.stones.get(&no).ok_or(Unfit::UnknownThing(Thing::stone(no)))
    }

    fn stone_mut(&mut self, no: u8) -> Result<&mut Stone, Unfit> {
        self.stones.get_mut(&no).ok_or(Unfit::UnknownThing(Thing::stone(no)))
    }

    /// How the offcuts of a bag came out after their newest light; none where they were never lit, or were hard and
    /// something went in since that was not lit with them.
    pub fn offcuts_felt(&self, bag: Thing) -> Option<Hardness> {
        let felt = self.offcuts.get(&bag)?.last().map(|(_, hardness)| *hardness);
        felt.filter(|felt| *felt != Hardness::Hard || !self.added_to.contains(&bag))
    }

    /// True where something went into a bag since it was lit.
    pub fn is_added_to(&self, bag: Thing) -> bool {
        self.added_to.contains(&bag)
    }

    /// Something went into a holder.
    pub(super) fn went_in(&mut self, to: Holder) {
        if let Holder::Thing(bag) = to
            && self.offcuts.contains_key(&bag)
        {
            self.added_to.insert(bag);
        }
    }

    /// The lamps that are on: the entry that put each on, its press and when.
    pub fn lamps_on(&self) -> BTreeMap<u32, (&Lit, Vec<u8>)> {
        let mut on: BTreeMap<u32, (&Lit, Vec<u8>)> = BTreeMap::new();
        for (no, stone) in &self.stones {
            if let Some(lit) = stone.layers.last().and_then(|layer| layer.lit.last())
                && lit.off.is_none()
            {
                on.entry(lit.on).or_insert_with(|| (lit, Vec::new())).1.push(*no);
            }
        }
        on
    }
}

/// The thinnest and thickest layer that is taken for real. Common practice, no source.
const THINNEST: Length = Length::from_micro(50_000);
const THICKEST: Length = Length::from_micro(10_000_000);

/// How much more light than the clock allows is taken for rounding.
const CLOCK_SLACK_MS: i64 = 1_000;

pub(super) fn all_different(stones: &[u8]) -> bool {
    stones.iter().collect::<BTreeSet<_>>().len() == stones.len()
}

impl Ledger {
    pub(super) fn step_pour(&mut self, fact: &PourFact, stamp: Stamp) -> Result<(), Unfit> {
        match fact {
            PourFact::Begun { stone, mould, cell } => self.begin(*stone, mould, cell, stamp),
            PourFact::Laid { .. } => self.lay(fact, stamp),
            PourFact::LampOn { stones, press } => self.lamp_on(stones, press, stamp),
            PourFact::LampOff { on, lit } => self.lamp_off(*on, *lit, stamp),
            PourFact::Cooled { stones } => {
                for &no in stones {
                    let stone = self.pours.stone_mut(no)?;
                    if let Some(on) = stone.under_lamp() {
                        return Err(Unfit::UnderLamp { stone: no, on });
                    }
                    let layer = stone.layers.last_mut().ok_or(Unfit::NothingLaid(no))?;
                    layer.cooled = Some(stamp.at);
                }
                if stones.is_empty() { Err(Unfit::NoStone) } else { Ok(()) }
            }
            PourFact::Felt { stone, layer, hardness } => self.feel(*stone, *layer, *hardness, stamp),
            PourFact::TakenOut { stone, place } => {
                self.must_be_in_mould(*stone)?;
                must_be_put_down(Thing::stone(*stone), place)?;
                let held = self.custody.thing_here(Thing::stone(*stone))?;
                held.place = place.clone();
                let stone_now = self.pours.stone_mut(*stone)?;
                if let Some(on) = stone_now.under_lamp() {
                    return Err(Unfit::UnderLamp { stone: *stone, on });
                }
                stone_now.taken_out = true;
                Ok(())
            }
            PourFact::OffcutsKept { bag, place } => {
                if bag.kind != ThingKind::Offcuts {
                    return Err(Unfit::WrongKind { thing: *bag, wanted: "an offcut bag" });
                }
                self.custody.must_be_free(*bag)?;
                must_be_put_down(*bag, place)?;
                self.custody.things.insert(*bag, Held::new(place.clone(), stamp.number));
                Ok(())
            }
            PourFact::OffcutsCured { bag, press, hardness } => {
                if bag.kind != ThingKind::Offcuts {
                    return Err(Unfit::WrongKind { thing: *bag, wanted: "an offcut bag" });
                }
                if !press.seconds.is_positive() || press.ramp < Span::ZERO {
                    return Err(Unfit::NoLight);
                }
                self.custody.thing_at_hand(*bag)?;
                self.pours.offcuts.entry(*bag).or_default().push((press.clone(), *hardness));
                self.pours.added_to.remove(bag);
                let used = self.pours.lamp_use.entry(press.lamp.clone()).or_default();
                *used = *used + press.seconds;
                Ok(())
            }
            PourFact::SetAside { stone } => {
                self.custody.thing_here(Thing::stone(*stone))?;
                self.pours.stone_mut(*stone)?.set_aside = true;
                Ok(())
            }
        }
    }

    fn begin(&mut self, no: u8, mould: &ShelfId, cell: &Cell, stamp: Stamp) -> Result<(), Unfit> {
        self.must_go_on(stamp)?;
        let thing = Thing::stone(no);
        self.custody.must_be_free(thing)?;
        let place = Place::Cavity { mould: mould.clone(), cell: cell.clone() };
        self.custody.things.insert(thing, Held::new(place, stamp.number));
        let stone = Stone {
            mould: mould.clone(),
            cell: cell.clone(),
            layers: Vec::new(),
            taken_out: false,
            set_aside: false,
        };
        self.pours.stones.insert(no, stone);
        Ok(())
    }

    fn lay(&mut self, fact: &PourFact, stamp: Stamp) -> Result<(), Unfit> {
        let PourFact::Laid { stone: no, layer, kind, thickness, load, amount, bottle, pigment } = fact else {
            return Ok(());
        };
        self.must_go_on(stamp)?;
        self.custody.thing_at_hand(Thing::stone(*no))?;
        if !(THINNEST..=THICKEST).contains(thickness) {
            return Err(Unfit::Thickness(*thickness));
        }
        if *load < Load::ZERO || matches!(amount, Amount::Weighed(mass) if *mass < Mass::ZERO) {
            return Err(Unfit::BelowNothing { what: "weight" });
        }
        let empty = self.custody.contents(Thing::stone(*no)).next().is_none();
        // Of a practice stone the maker's own material is laid, which is in no packet.
        let own = is_practice(*no);
        if *kind == LayerKind::Material && empty && !own && !stamp.told {
            return Err(Unfit::NoMaterial(*no));
        }
        let stone = self.pours.stone_mut(*no)?;
        let next = u8::try_from(stone.layers.len() + 1).unwrap_or(u8::MAX);
        if *layer != next {
            return Err(Unfit::LayerOrder { stone: *no, next });
        }
        if let Some(on) = stone.under_lamp() {
            return Err(Unfit::UnderLamp { stone: *no, on });
        }
        match stone.layers.last().map(|before| before.felt) {
            Some(Some(Hardness::Soft)) => return Err(Unfit::StillSoft { stone: *no, layer: next - 1 }),
            Some(None) if !stamp.told => return Err(Unfit::NotFelt { stone: *no, layer: next - 1 }),
            _ => {}
        }
        stone.layers.push(Layer {
            kind: *kind,
            thickness: *thickness,
            load: *load,
            amount: *amount,
            bottle: bottle.clone(),
            pigment: pigment.clone(),
            laid: stamp.at,
            told: stamp.told,
            lit: Vec::new(),
            cooled: None,
            felt: None,
            felts: Vec::new(),
        });
        if let Amount::Weighed(mass) = amount {
            let used = self.pours.bottle_use.entry(bottle.clone()).or_default();
            *used = *used + *mass;
        }
        Ok(())
    }

    fn lamp_on(&mut self, stones: &[u8], press: &Press, stamp: Stamp) -> Result<(), Unfit> {
        if stones.is_empty() || !all_different(stones) {
            return Err(Unfit::NoStone);
        }
        if !press.seconds.is_positive() || press.ramp < Span::ZERO {
            return Err(Unfit::NoLight);
        }
        for &no in stones {
            self.custody.thing_at_hand(Thing::stone(no))?;
            let stone = self.pours.stone_mut(no)?;
            if let Some(on) = stone.under_lamp() {
                return Err(Unfit::UnderLamp { stone: no, on });
            }
            let in_mould = !stone.taken_out;
            let layer = stone.layers.last_mut().ok_or(Unfit::NothingLaid(no))?;
            let (on, at, told, press) = (stamp.number, stamp.at, stamp.told, press.clone());
            layer.lit.push(Lit { on, at, told, press, in_mould, off: None });
            (layer.cooled, layer.felt) = (None, None);
        }
        Ok(())
    }

    fn lamp_off(&mut self, on: u32, lit: Span, stamp: Stamp) -> Result<(), Unfit> {
        let mut lamp = None;
        for stone in self.pours.stones.values_mut() {
            let newest = stone.layers.last_mut().and_then(|layer| layer.lit.last_mut());
            let Some(open) = newest.filter(|open| open.on == on && open.off.is_none()) else { continue };
            if lit < Span::ZERO {
                return Err(Unfit::BelowNothing { what: "time" });
            }
            // Only where the whole press is told of is there no clock to hold it against.
            if lit > open.most_light(&stamp.at) && !(stamp.told && open.told) {
                return Err(Unfit::TooMuchLight);
            }
            open.off = Some((stamp.at, lit));
            lamp = Some(open.press.lamp.clone());
        }
        let used = self.pours.lamp_use.entry(lamp.ok_or(Unfit::NotOn(on))?).or_default();
        *used = *used + lit;
        Ok(())
    }

    fn feel(&mut self, no: u8, layer_no: u8, hardness: Hardness, stamp: Stamp) -> Result<(), Unfit> {
        let stone = self.pours.stone_mut(no)?;
        let newest = u8::try_from(stone.layers.len()).unwrap_or(u8::MAX);
        if newest == 0 {
            return Err(Unfit::NothingLaid(no));
        }
        if layer_no != newest {
            return Err(Unfit::NotNewest { stone: no, newest });
        }
        if let Some(on) = stone.under_lamp() {
            return Err(Unfit::UnderLamp { stone: no, on });
        }
        let layer = stone.layers.last_mut().ok_or(Unfit::NothingLaid(no))?;
        if layer.lit.is_empty() && !stamp.told {
            return Err(Unfit::NotLit { stone: no, layer: layer_no });
        }
        layer.felt = Some(hardness);
        let presses = layer.lit.len();
        layer.felts.retain(|feel| feel.presses != presses);
        layer.felts.push(Feel { presses, hardness, at: stamp.at });
        Ok(())
    }

    pub(super) fn must_be_in_mould(&self, no: u8) -> Result<(), Unfit> {
        if self.pours.stone(no)?.taken_out { Err(Unfit::OutOfMould(no)) } else { Ok(()) }
    }
}
