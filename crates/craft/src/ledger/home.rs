//! Packing, posting and after.

use crate::digest::Digest;
use crate::fact::{Check, HomeFact, LeftOut, PaperKind};
use crate::id::{Thing, ThingKind};
use crate::moment::Moment;
use crate::place::Place;

use super::custody::Held;
use super::{Ledger, Stamp, Unfit};

/// Packing and after.
#[derive(Clone, Debug, PartialEq, Eq, Default)]
pub struct HomeSide {
    /// Papers issued, with the entry that says so.
    pub papers: Vec<(u32, PaperKind, Digest)>,
    /// Photos of the packed box.
    pub box_photos: Vec<Digest>,
    /// When the newest parcel left.
    pub sent: Option<Moment>,
    /// When the client had the newest parcel.
    pub arrived: Option<Moment>,
    /// Faults reported afterwards.
    pub faults: Vec<(u32, Thing)>,
}

impl Ledger {
    /// The things that still have to be ticked into the box, or named as lost or left out. An envelope of the studio's
    /// that has been emptied is not one of them, nor is a stone of which nothing was ever laid.
    pub fn to_pack(&self) -> Vec<Thing> {
        let open = |(thing, held): &(&Thing, &Held)| {
            let bare = match thing.kind {
                ThingKind::Envelope => true,
                ThingKind::Stone => self.pours.stone(thing.no).is_ok_and(|stone| stone.layers.is_empty()),
                _ => false,
            };
            let empty = bare && self.custody.contents(**thing).next().is_none();
            held.is_here() && held.left_out.is_none() && held.place != Place::Box && !empty
        };
        self.custody.things.iter().filter(open).map(|(thing, _)| *thing).collect()
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
                Ok(())
            }
            HomeFact::LeftOut { thing, why } => self.leave_out(*thing, *why),
            HomeFact::BoxPhotographed { photo } => {
                self.home.box_photos.push(*photo);
                Ok(())
            }
            HomeFact::PaperIssued { paper, file } => {
                self.home.papers.push((stamp.number, *paper, *file));
                Ok(())
            }
            HomeFact::Sent => self.send(stamp),
            HomeFact::Arrived => self.arrive(stamp),
            HomeFact::Fault { thing } => {
                self.custody.thing(*thing)?;
                if self.home.sent.is_none() {
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
        if thing.kind == ThingKind::Stone {
            let stone = self.pours.stone(thing.no)?;
            if let Some(on) = stone.under_lamp() {
                return Err(Unfit::UnderLamp { stone: thing.no, on });
            }
            if !stone.taken_out {
                return Err(Unfit::InMould(thing.no));
            }
        }
        let held = self.custody.thing_here(thing)?;
        if held.place == Place::Box {
            return Err(Unfit::InBox(thing));
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
        Ok(())
    }

    fn leave_out(&mut self, thing: Thing, why: LeftOut) -> Result<(), Unfit> {
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
        let boxed = self.custody.things.values().any(|held| held.place == Place::Box && !held.lost);
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
        (self.home.sent, self.home.arrived) = (Some(stamp.at), None);
        self.move_box(&Place::Box, &Place::Post);
        Ok(())
    }

    fn arrive(&mut self, stamp: Stamp) -> Result<(), Unfit> {
        if self.home.sent.is_none() {
            return Err(Unfit::NotSent);
        }
        self.home.arrived = Some(stamp.at);
        self.move_box(&Place::Post, &Place::Home);
        Ok(())
    }

    fn move_box(&mut self, from: &Place, to: &Place) {
        let moving = |held: &&mut Held| held.place == *from && !held.lost;
        for held in self.custody.things.values_mut().filter(moving) {
            held.place = to.clone();
        }
    }
}
