//! Rules for facts that reach beyond one order.

use std::collections::BTreeMap;

use crate::fact::{ClientFact, CustodyFact, Fact, FitFact, HomeFact, LeftOut, PourFact, Press, Wish};
use crate::id::{DocId, ShelfId, Thing};
use crate::ledger::Ledger;
use crate::moment::Moment;
use crate::place::{Cell, Place};
use crate::refusal::Refusal;
use crate::shelf::What;
use crate::tag::Tag;
use crate::text::Line;

use super::Studio;

/// The place a fact puts something.
pub(super) fn place_of(fact: &Fact) -> Option<&Place> {
    match fact {
        Fact::Custody(
            CustodyFact::Received { place, .. }
            | CustodyFact::CameAlong { place, .. }
            | CustodyFact::SplitOff { place, .. }
            | CustodyFact::TakenOver { place, .. }
            | CustodyFact::Placed { place, .. }
            | CustodyFact::Found { place, .. },
        )
        | Fact::Pour(PourFact::TakenOut { place, .. } | PourFact::OffcutsKept { place, .. })
        | Fact::Fit(FitFact::Set { place, .. })
        | Fact::Home(HomeFact::CameBack { place, .. }) => Some(place),
        _ => None,
    }
}

impl Studio {
    /// What the order's own record cannot know: the shelf, the studio's places, other orders.
    pub(super) fn check_fact(&self, tag: Tag, fact: &Fact, told: bool, at: Moment) -> Result<(), Refusal> {
        if let Some(Place::Kept(no)) = place_of(fact)
            && self.policies.place(*no).is_none_or(Line::is_empty)
        {
            return Err(Refusal::NoPlace(*no));
        }
        self.nothing_is_mixed(tag, fact)?;
        match fact {
            Fact::Custody(CustodyFact::Opened { .. }) => {
                self.all_orders_are_read(told)?;
                self.nothing_else_open(tag)?;
                if told { Ok(()) } else { self.bench_is_clear(tag, at) }
            }
            Fact::Custody(CustodyFact::Moved { .. } | CustodyFact::SplitOff { .. }) if !told => {
                self.open_packet_lies_clear(tag, at)
            }
            Fact::Custody(CustodyFact::PassedOn { to, .. }) => self.same_client(tag, *to),
            Fact::Custody(CustodyFact::TakenOver { material, of, thing, .. }) => {
                self.was_passed_on(tag, *of, *thing, *material)
            }
            Fact::Custody(CustodyFact::WeighedOn { scale, reading, .. }) => {
                self.scale_can_tell(scale, *reading, told)
            }
            Fact::Client(ClientFact::Instructed { thing, wish: Wish::Return | Wish::Hold }) => {
                self.is_not_destroyed(tag, *thing)
            }
            Fact::Home(HomeFact::LeftOut { thing, why: LeftOut::DestroyedOnRequest }) => {
                self.is_to_be_destroyed(tag, *thing)
            }
            Fact::Pour(PourFact::OffcutsCured { press, .. } | PourFact::LampOn { press, .. }) => {
                self.button_is_there(press)?;
                self.must_be_in_use(&press.lamp, told)
            }
            Fact::Pour(PourFact::Begun { stone, mould, cell }) => {
                self.all_orders_are_read(told)?;
                self.cavity_is_one(tag, *stone, mould, cell)?;
                // What sat there on the day that is told of may have left since; what sits there twice is found.
                if !told {
                    self.nothing_sits_in(mould, cell)?;
                }
                self.must_be_in_use(mould, told)
            }
            Fact::Custody(CustodyFact::Found { place: Place::Cavity { mould, cell }, .. }) => {
                self.all_orders_are_read(told)?;
                self.nothing_sits_in(mould, cell)
            }
            Fact::Pour(PourFact::Laid { bottle, pigment, .. }) => {
                if let Some(pigment) = pigment {
                    self.must_be(pigment, |what| matches!(what, What::Pigment(_)), "a pigment")?;
                    self.must_be_in_use(pigment, told)?;
                }
                self.must_be(bottle, |what| matches!(what, What::Resin(_)), "a bottle of resin")?;
                self.must_be_in_use(bottle, told)
            }
            _ => Ok(()),
        }
    }

    /// The word that a thing was to be destroyed is what its end rests on; no later one takes its place.
    fn is_not_destroyed(&self, tag: Tag, thing: Thing) -> Result<(), Refusal> {
        let kept = self.order(tag)?.ledger.custody.things.get(&thing);
        let destroyed = kept.is_some_and(|kept| kept.left_out == Some(LeftOut::DestroyedOnRequest));
        if destroyed { Err(Refusal::InstructionStays(thing)) } else { Ok(()) }
    }

    /// Only the client can ask for that.
    fn is_to_be_destroyed(&self, tag: Tag, thing: Thing) -> Result<(), Refusal> {
        let held = self.order(tag)?;
        // A thing that is not there at all is the ledger's to refuse.
        let known = held.ledger.custody.things.contains_key(&thing);
        if known && held.ledger.client.wish(thing) != Some(Wish::Destroy) {
            return Err(Refusal::NotInstructed { thing, tag });
        }
        Ok(())
    }

    /// What is retired is not worked with; what is told of may have been used before it was.
    pub(super) fn must_be_in_use(&self, id: &ShelfId, told: bool) -> Result<(), Refusal> {
        if self.item(id)?.retired && !told { Err(Refusal::Retired(id.clone())) } else { Ok(()) }
    }

    /// An order whose file could not be read may have a packet open or a stone in a cavity.
    pub(super) fn all_orders_are_read(&self, told: bool) -> Result<(), Refusal> {
        let unread = self.locked.keys().find_map(|doc| match doc {
            DocId::Order(tag) if !self.orders.contains_key(tag) => Some(*tag),
            _ => None,
        });
        unread.filter(|_| !told).map_or(Ok(()), |tag| Err(Refusal::Unread(tag)))
    }

    /// One client's material open at a time, in the whole studio.
    fn nothing_else_open(&self, wanted: Tag) -> Result<(), Refusal> {
        for (open, held) in self.awake().filter(|(tag, _)| *tag != wanted) {
            let things: Vec<Thing> = held.ledger.custody.open().collect();
            if !things.is_empty() {
                return Err(Refusal::OtherOpen { open, things, wanted });
            }
        }
        Ok(())
    }

    /// What stands open may have been told open, and nobody asked for a clear bench then: it is asked for before
    /// anything is taken out of it now.
    fn open_packet_lies_clear(&self, tag: Tag, at: Moment) -> Result<(), Refusal> {
        if self.order(tag)?.ledger.custody.open().next().is_none() {
            return Ok(());
        }
        self.bench_is_clear(tag, at)
    }

    fn cavity_is_one(&self, tag: Tag, stone: u8, mould: &ShelfId, cell: &Cell) -> Result<(), Refusal> {
        let item = self.must_be(mould, |what| matches!(what, What::Mould(_)), "a mould")?;
        if let What::Mould(shape) = &item.what
            && !shape.cells.contains(cell)
        {
            return Err(Refusal::NoCell { mould: mould.clone(), cell: cell.clone() });
        }
        let wanted = self.order(tag)?.order.sheet.stone(stone).ok_or(Refusal::NotOnSheet(stone))?;
        if (&wanted.mould, &wanted.cell) != (mould, cell) {
            let (mould, cell) = (wanted.mould.clone(), wanted.cell.clone());
            return Err(Refusal::OtherCavity { stone, mould, cell });
        }
        Ok(())
    }

    fn nothing_sits_in(&self, mould: &ShelfId, cell: &Cell) -> Result<(), Refusal> {
        let here = Place::Cavity { mould: mould.clone(), cell: cell.clone() };
        for (by, held) in self.awake() {
            let mut things = held.ledger.custody.things.iter();
            if let Some((sitting, _)) = things.find(|(_, thing)| thing.place == here && thing.is_here()) {
                let (mould, cell) = (mould.clone(), cell.clone());
                return Err(Refusal::CellTaken { mould, cell, by, stone: sitting.no });
            }
        }
        Ok(())
    }

    /// Striking an entry can open a packet again or put a thing back where it was; then the rules that reach beyond
    /// the order are asked again of what would be.
    pub(super) fn check_struck(&self, tag: Tag, then: &Ledger, at: Moment) -> Result<(), Refusal> {
        if then.custody.open().next().is_some() {
            self.nothing_else_open(tag)?;
        }
        let now = &self.order(tag)?.ledger.custody.things;
        if then.custody.open().any(|thing| !now.get(&thing).is_some_and(|before| before.open)) {
            self.bench_is_clear(tag, at)?;
        }
        self.unread_would_not_mind(tag, then)?;
        self.words_stand(tag, then)?;
        let others = self.awake().filter(|(by, _)| *by != tag).map(|(by, held)| (by, &held.ledger));
        let mut sitting = BTreeMap::new();
        for (by, ledger) in others.chain([(tag, then)]) {
            for (thing, held) in ledger.custody.things.iter().filter(|(_, held)| held.is_here()) {
                match &held.place {
                    Place::Kept(no) if by == tag && self.policies.place(*no).is_none() => {
                        return Err(Refusal::NoPlace(*no));
                    }
                    Place::Cavity { mould, cell } => {
                        let before = sitting.insert((mould, cell), (by, *thing));
                        // What was told of may share a cavity before and after the strike; that is found, not refused.
                        let anew = |(other, sitter): &(Tag, Thing)| {
                            ledger.tag == tag
                                && !(self.sat_there(tag, *thing, &held.place)
                                    && self.sat_there(*other, *sitter, &held.place))
                        };
                        if let Some((by, Thing { no: stone, .. })) = before.filter(anew) {
                            let (mould, cell) = (mould.clone(), cell.clone());
                            return Err(Refusal::CellTaken { mould, cell, by, stone });
                        }
                    }
                    _ => {}
                }
            }
        }
        Ok(())
    }

    /// What a strike opens, or sits in a cavity by it, is held against every order, so every order has to be read; and
    /// what it takes back from another order, against that one, which may have taken it over.
    fn unread_would_not_mind(&self, tag: Tag, then: &Ledger) -> Result<(), Refusal> {
        let now = &self.order(tag)?.ledger.custody.things;
        for (thing, held) in &then.custody.things {
            let before = now.get(thing);
            let opens = held.open && !before.is_some_and(|before| before.open);
            let sits = held.is_here() && matches!(held.place, Place::Cavity { .. });
            if opens || (sits && !self.sat_there(tag, *thing, &held.place)) {
                self.all_orders_are_read(false)?;
            }
        }
        for (thing, before) in now {
            let Some(to) = before.passed_to else { continue };
            let stays = then.custody.things.get(thing).is_some_and(|held| held.passed_to == Some(to));
            if !stays && !self.orders.contains_key(&to) && self.locked.contains_key(&DocId::Order(to)) {
                return Err(Refusal::Unread(to));
            }
        }
        Ok(())
    }

    fn sat_there(&self, tag: Tag, thing: Thing, place: &Place) -> bool {
        let held = self.orders.get(&tag).and_then(|held| held.ledger.custody.things.get(&thing));
        held.is_some_and(|held| held.is_here() && held.place == *place)
    }

    fn button_is_there(&self, press: &Press) -> Result<(), Refusal> {
        let item = self.must_be(&press.lamp, |what| matches!(what, What::Lamp(_)), "a lamp")?;
        let buttons = if let What::Lamp(lamp) = &item.what { lamp.buttons.as_slice() } else { &[] };
        let place = usize::from(press.button).checked_sub(1);
        let (lamp, button) = (press.lamp.clone(), press.button);
        match place.and_then(|place| buttons.get(place)) {
            None => Err(Refusal::NoButton { lamp, button }),
            // A press that was paused may be shorter; a longer one the lamp cannot give.
            Some(real) if press.seconds > real.total() => {
                Err(Refusal::LongPress { lamp, button, most: real.total() })
            }
            Some(_) => Ok(()),
        }
    }
}
