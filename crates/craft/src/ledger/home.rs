//! Packing, posting and after.

use crate::digest::Digest;
use crate::fact::{Check, Hardness, HomeFact, LeftOut, PaperKind};
use crate::id::{Thing, ThingKind};
use crate::place::Place;

use super::custody::{Held, must_be_put_down};
use super::{Happened, Ledger, Stamp, Unfit};

/// Packing and after.
#[derive(Clone, Debug, PartialEq, Eq, Default)]
pub struct HomeSide {
    /// Papers issued, with the entry that says so.
    pub papers: Vec<(u32, PaperKind, Digest)>,
    /// Photos of the packed box.
    pub box_photos: Vec<Digest>,
    /// The box as it is now was photographed, or it was said that there is no camera at hand.
    pub box_seen: bool,
    /// When the newest parcel left.
    pub sent: Option<Happened>,
    /// Every parcel that left, the oldest first.
    pub left: Vec<Happened>,
    /// Parcels that left with a part while the work went on.
    pub parts: Vec<Happened>,
    /// When the client had the newest parcel.
    pub arrived: Option<Happened>,
    /// Something came back since the newest parcel left, so the work goes on.
    pub came_back: bool,
    /// Faults reported afterwards.
    pub faults: Vec<(u32, Thing)>,
}

impl HomeSide {
    /// True once the box has gone and nothing came back since.
    pub const fn is_gone(&self) -> bool {
        self.sent.is_some() && !self.came_back
    }
}

impl Ledger {
    /// The things that still have to be ticked into the box, or named as lost or left out. An envelope of the studio's
    /// that has been emptied is not one of them, nor is a practice stone, or one of which nothing was ever laid.
    pub fn to_pack(&self) -> Vec<Thing> {
        let open = |(thing, held): &(&Thing, &Held)| {
            held.is_here() && held.left_out.is_none() && held.place != Place::Box && !self.is_bare(**thing)
        };
        self.custody.things.iter().filter(open).map(|(thing, _)| *thing).collect()
    }

    /// True of a thing with nothing of the client's in it: an envelope of the studio's that has been emptied, a practice
    /// stone, or a stone of which nothing was ever laid.
    pub fn is_bare(&self, thing: Thing) -> bool {
        if thing.is_practice() {
            return true;
        }
        let own = match thing.kind {
            ThingKind::Envelope => true,
            ThingKind::Stone => self.pours.stone(thing.no).is_ok_and(|stone| stone.layers.is_empty()),
            _ => false,
        };
        own && self.custody.contents(thing).next().is_none()
    }

    /// The entry that sent the box, which is the newest that left; none while one is packed.
    pub fn sent_box(&self) -> Option<u32> {
        let is_packed = self.custody.is_boxed() || !self.to_pack().is_empty();
        self.home.left.last().map(|sent| sent.entry).filter(|_| !is_packed)
    }

    /// The entry that sent the parcel before the box, or 0: nothing up to there belongs to this box.
    pub fn box_after(&self) -> u32 {
        let sent = self.sent_box();
        let before = self.home.left.iter().rev().find(|left| Some(left.entry) != sent);
        before.map_or(0, |left| left.entry)
    }

    /// The things in the box, or that went with it.
    pub fn packed(&self) -> Vec<Thing> {
        let boxed = |held: &Held| matches!(held.place, Place::Box | Place::Post | Place::Home) && !held.lost;
        let loose = self.custody.things.iter().filter(|(_, held)| held.part_of.is_none() && boxed(held));
        loose.map(|(thing, _)| *thing).collect()
    }

    pub(super) fn step_home(&mut self, fact: &HomeFact, stamp: Stamp) -> Result<(), Unfit> {
        match fact {
            HomeFact::Ticked { thing, check } => self.tick(*thing, *check),
            HomeFact::Unticked { thing } => {
                let held = self.custody.thing_here(*thing)?;
                if held.place != Place::Box {
                    return Err(Unfit::NotBoxed(*thing));
                }
                held.place = Place::Bench;
                self.home.box_seen = false;
                Ok(())
            }
            HomeFact::LeftOut { thing, why } => self.leave_out(*thing, *why),
            HomeFact::BoxPhotographed { photo } => {
                self.home.box_photos.push(*photo);
                self.home.box_seen = true;
                Ok(())
            }
            HomeFact::NotPhotographed => {
                self.home.box_seen = true;
                Ok(())
            }
            HomeFact::PaperIssued { paper, file } => {
                self.home.papers.push((stamp.number, *paper, *file));
                Ok(())
            }
            HomeFact::Sent => self.send(stamp),
            HomeFact::SentPart => self.send_part(stamp),
            HomeFact::Arrived => self.arrive(stamp),
            HomeFact::CameBack { thing, place } => self.come_back(*thing, place),
            HomeFact::Fault { thing } => {
                self.custody.thing(*thing)?;
                if self.home.sent.is_none() && self.home.parts.is_empty() {
                    return Err(Unfit::NotSent);
                }
                self.home.faults.push((stamp.number, *thing));
                Ok(())
            }
        }
    }

    fn tick(&mut self, thing: Thing, check: Check) -> Result<(), Unfit> {
        if check.tag != self.tag {
            return Err(Unfit::WrongTag { read: check.tag, own: self.tag });
        }
        self.must_be_out_of_mould(thing)?;
        let felt = self.pours.offcuts_felt(thing);
        let held = self.custody.thing_here(thing)?;
        if held.place == Place::Box {
            return Err(Unfit::InBox(thing));
        }
        if felt.is_some_and(|felt| felt != Hardness::Hard) {
            return Err(Unfit::OffcutsNotHard(thing));
        }
        if held.place == Place::Away {
            return Err(Unfit::NotHere {
                thing,
                why: "is away with someone; note where it lies when it is back",
            });
        }
        if held.open {
            return Err(Unfit::StillOpen(thing));
        }
        (held.place, held.left_out) = (Place::Box, None);
        self.home.box_seen = false;
        Ok(())
    }

    /// A stone leaves its mould and the lamp before it is packed or left out, so that its cavity is free.
    fn must_be_out_of_mould(&self, thing: Thing) -> Result<(), Unfit> {
        if thing.kind != ThingKind::Stone {
            return Ok(());
        }
        let stone = self.pours.stone(thing.no)?;
        if let Some(on) = stone.under_lamp() {
            return Err(Unfit::UnderLamp { stone: thing.no, on });
        }
        if stone.taken_out { Ok(()) } else { Err(Unfit::InMould(thing.no)) }
    }

    fn leave_out(&mut self, thing: Thing, why: LeftOut) -> Result<(), Unfit> {
        self.must_be_out_of_mould(thing)?;
        let held = self.custody.thing_here(thing)?;
        if held.place == Place::Box {
            return Err(Unfit::InBox(thing));
        }
        if held.open {
            return Err(Unfit::StillOpen(thing));
        }
        held.left_out = Some(why);
        Ok(())
    }

    fn send(&mut self, stamp: Stamp) -> Result<(), Unfit> {
        // What turned up, arrived or was held after the first box goes home in another one.
        let boxed = self.custody.is_boxed();
        let missing = self.to_pack();
        if !missing.is_empty() {
            return Err(Unfit::NotInBox(missing));
        }
        if !boxed {
            return Err(if self.home.sent.is_some() { Unfit::AlreadySent } else { Unfit::NothingToSend });
        }
        if let Some(thing) = self.custody.open().next() {
            return Err(Unfit::StillOpen(thing));
        }
        if !self.home.box_seen && !stamp.told {
            return Err(Unfit::BoxNotSeen);
        }
        (self.home.sent, self.home.arrived) = (Some(stamp.happened()), None);
        (self.home.box_seen, self.home.came_back) = (false, false);
        self.post_box(stamp);
        Ok(())
    }

    /// What is in the box goes home by itself; the order stays where it is.
    fn send_part(&mut self, stamp: Stamp) -> Result<(), Unfit> {
        if !self.custody.is_boxed() {
            return Err(Unfit::NothingBoxed);
        }
        if self.to_pack().is_empty() {
            return Err(Unfit::NotAPart);
        }
        if !self.home.box_seen && !stamp.told {
            return Err(Unfit::BoxNotSeen);
        }
        self.home.parts.push(stamp.happened());
        self.home.box_seen = false;
        self.post_box(stamp);
        Ok(())
    }

    fn post_box(&mut self, stamp: Stamp) {
        self.home.left.push(stamp.happened());
        for held in self.custody.things.values_mut() {
            if held.place == Place::Box && !held.lost {
                (held.place, held.sent_with) = (Place::Post, Some(stamp.number));
            }
        }
    }

    /// The newest parcel still on its way has come home; an older one is said to have arrived by itself.
    fn arrive(&mut self, stamp: Stamp) -> Result<(), Unfit> {
        let travels = |held: &Held| held.place == Place::Post && !held.lost;
        let things = self.custody.things.values();
        let newest = things.filter(|held| travels(held)).map(|held| held.sent_with).max().flatten();
        // A part that comes home says nothing about the order as a whole.
        let is_part = newest.is_some_and(|sent| self.home.parts.iter().any(|part| part.entry == sent));
        if !is_part && self.home.sent.is_none() {
            return Err(Unfit::NotSent);
        }
        if !is_part {
            self.home.arrived = Some(stamp.happened());
        }
        for held in self.custody.things.values_mut() {
            if travels(held) && held.sent_with == newest {
                held.place = Place::Home;
            }
        }
        Ok(())
    }

    /// What had left is in the studio again, to be mended or because nobody took it in.
    fn come_back(&mut self, thing: Thing, place: &Place) -> Result<(), Unfit> {
        must_be_put_down(thing, place)?;
        let held = self.custody.things.get_mut(&thing).ok_or(Unfit::UnknownThing(thing))?;
        if held.lost || held.part_of.is_some() {
            return self.custody.thing_here(thing).map(|_| ());
        }
        if !matches!(held.place, Place::Post | Place::Home) {
            return Err(Unfit::NotAway(thing));
        }
        (held.place, held.sent_with) = (place.clone(), None);
        self.home.came_back = true;
        Ok(())
    }
}
