//! Where everything entrusted is, and how each lot is shared out.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use crate::digest::Digest;
use crate::fact::{Check, CustodyFact, Drying, Fact, Holder, LeftOut, Material, PourFact, Seal};
use crate::id::{ShelfId, Thing, ThingKind};
use crate::place::Place;
use crate::policies::keep_back_is_sound;
use crate::reading::Reading;
use crate::tag::Tag;
use crate::units::{Mass, Share, Span};

use super::{Happened, Ledger, Stamp, Unfit};

/// One lot as it came.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Lot {
    /// What it is.
    pub material: Material,
    /// The share agreed to be kept back.
    pub keep_back: Share,
    /// A photo of it as it came.
    pub photo: Option<Digest>,
    /// It came before the record was kept, and was told of.
    pub told: bool,
    /// The order of the same client it was taken over from, and what it was there.
    pub before: Option<(Tag, Thing)>,
}

/// A share of a lot that was judged by eye.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Judged {
    /// The entry that says so.
    pub entry: u32,
    /// The thing that was looked at.
    pub thing: Thing,
    /// The lot.
    pub lot: u8,
    /// How much of it that looks like.
    pub part: Share,
    /// The doubt of that.
    pub doubt: Share,
}

/// The last time the bench was used for this order.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct BenchUse {
    /// When a packet was last opened or closed, or something was taken out of one.
    pub last: Happened,
    /// The bench was cleared since.
    pub cleared: bool,
    /// When this order cleared it last, whether it was used since or not.
    pub cleared_at: Option<Happened>,
}

/// What a thing is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Role {
    /// Holds what is worked with, or is a thing of its own.
    Plain,
    /// Holds a keep-back.
    KeepBack {
        /// Its lot.
        lot: u8,
        /// The client has said yes to opening it.
        released: bool,
    },
}

/// One thing and where it is.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Held {
    /// Where it is.
    pub place: Place,
    /// What it is for.
    pub role: Role,
    /// It stands open.
    pub open: bool,
    /// The seal on it.
    pub seal: Option<Seal>,
    /// It cannot be found.
    pub lost: bool,
    /// It stays out of the box, and why.
    pub left_out: Option<LeftOut>,
    /// The piece it was set into.
    pub part_of: Option<Thing>,
    /// The other order of the same client that it was passed on to.
    pub passed_to: Option<Tag>,
    /// The photo it was recorded with.
    pub photo: Option<Digest>,
    /// The entry that first named it.
    pub since: u32,
    /// The entry that sent the parcel it left with.
    pub sent_with: Option<u32>,
}

impl Held {
    pub(super) fn new(place: Place, since: u32) -> Self {
        Self {
            place,
            role: Role::Plain,
            open: false,
            seal: None,
            lost: false,
            left_out: None,
            part_of: None,
            passed_to: None,
            photo: None,
            since,
            sent_with: None,
        }
    }

    /// True where it is neither lost, nor set into a piece, nor gone.
    pub fn is_here(&self) -> bool {
        self.why_not_here().is_none()
    }

    fn why_not_here(&self) -> Option<&'static str> {
        if self.passed_to.is_some() {
            return Some("went over to another order of the client");
        }
        match (self.lost, self.part_of, self.left_out, &self.place) {
            (true, ..) => Some("is lost"),
            (_, Some(_), ..) => Some("was set into the piece"),
            (_, _, Some(LeftOut::DestroyedOnRequest), _) => Some("was destroyed as the client asked"),
            (_, _, Some(LeftOut::ReturnedBefore), _) => Some("went home before"),
            (.., Place::Post) => Some("is on its way home"),
            (.., Place::Home) => Some("is at home with the client"),
            _ => None,
        }
    }
}

/// The state of everything entrusted.
#[derive(Clone, Debug, PartialEq, Eq, Default)]
pub struct Custody {
    /// The lots by number from 1.
    pub lots: BTreeMap<u8, Lot>,
    /// Every thing.
    pub things: BTreeMap<Thing, Held>,
    /// What each holder has of each lot; nothing is not listed.
    holdings: BTreeMap<(Holder, u8), Share>,
    /// Observations of what things hold, in the order they were made.
    pub weighed: Vec<(u32, Thing, Reading<Mass>)>,
    /// The scale of the shelf that an entry of [`Custody::weighed`] was read from, and the humidity of the room in per
    /// cent where it was read.
    pub scales: BTreeMap<u32, (ShelfId, Option<u8>)>,
    /// Shares that were judged by eye, in the order that was done.
    pub judged: Vec<Judged>,
    /// What was dried: the entry, the thing, how, how long.
    pub dried: Vec<(u32, Thing, Drying, Span)>,
    /// The bench as far as this order is concerned; none where no packet was opened on it, or only as told of.
    pub bench: Option<BenchUse>,
    /// The highest number of each kind that an entry gave which was struck since: it stands on a label.
    given: BTreeMap<ThingKind, u8>,
}

impl Custody {
    /// A thing that must be there.
    ///
    /// # Errors
    /// [`Unfit::UnknownThing`].
    pub fn thing(&self, thing: Thing) -> Result<&Held, Unfit> {
        self.things.get(&thing).ok_or(Unfit::UnknownThing(thing))
    }

    /// What `holder` has of `lot`.
    pub fn share(&self, holder: Holder, lot: u8) -> Share {
        self.holdings.get(&(holder, lot)).copied().unwrap_or(Share::NONE)
    }

    /// Who holds how much of `lot`.
    pub fn holders(&self, lot: u8) -> impl Iterator<Item = (Holder, Share)> {
        self.holdings
            .iter()
            .filter(move |((_, of), _)| *of == lot)
            .map(|((holder, _), share)| (*holder, *share))
    }

    /// What `thing` holds, by lot.
    pub fn contents(&self, thing: Thing) -> impl Iterator<Item = (u8, Share)> {
        let wanted = Holder::Thing(thing);
        self.holdings
            .iter()
            .filter(move |((holder, _), _)| *holder == wanted)
            .map(|((_, lot), share)| (*lot, *share))
    }

    /// True where something is in the box.
    pub(super) fn is_boxed(&self) -> bool {
        self.things.values().any(|held| held.place == Place::Box && !held.lost)
    }

    /// The things that stand open.
    pub fn open(&self) -> impl Iterator<Item = Thing> {
        self.things.iter().filter(|(_, held)| held.open).map(|(thing, _)| *thing)
    }

    /// True once `lot` has its keep-back.
    pub fn has_keep_back(&self, lot: u8) -> bool {
        self.things.values().any(|held| matches!(held.role, Role::KeepBack { lot: of, .. } if of == lot))
    }

    /// The next free label of a kind. A number that was ever given is not offered again, since an envelope may bear it,
    /// though its entry was struck; who writes that entry anew names it.
    pub fn next_free(&self, kind: ThingKind) -> Thing {
        let taken = self.things.keys().filter(|thing| thing.kind == kind).map(|thing| thing.no).max();
        let taken = taken.max(self.given.get(&kind).copied());
        Thing { kind, no: taken.unwrap_or(0).saturating_add(1) }
    }

    /// Remembers the number that a struck entry gave.
    pub(super) fn struck(&mut self, fact: &Fact) {
        let thing = match fact {
            Fact::Custody(
                CustodyFact::SplitOff { into: thing, .. } | CustodyFact::CameAlong { thing, .. },
            )
            | Fact::Pour(PourFact::OffcutsKept { bag: thing, .. }) => *thing,
            _ => return,
        };
        let given = self.given.entry(thing.kind).or_default();
        *given = (*given).max(thing.no);
    }

    pub(super) fn thing_here(&mut self, thing: Thing) -> Result<&mut Held, Unfit> {
        let held = self.things.get_mut(&thing).ok_or(Unfit::UnknownThing(thing))?;
        match held.why_not_here() {
            Some(why) => Err(Unfit::NotHere { thing, why }),
            None => Ok(held),
        }
    }

    /// What is here can be lost, and so can what is in the post.
    fn thing_to_lose(&mut self, thing: Thing) -> Result<&mut Held, Unfit> {
        let held = self.things.get_mut(&thing).ok_or(Unfit::UnknownThing(thing))?;
        match held.why_not_here() {
            Some(why) if held.lost || held.place != Place::Post => Err(Unfit::NotHere { thing, why }),
            _ => Ok(held),
        }
    }

    /// A thing that can be worked on: here, and not packed.
    pub(super) fn thing_at_hand(&mut self, thing: Thing) -> Result<&mut Held, Unfit> {
        let held = self.thing_here(thing)?;
        if held.place == Place::Box { Err(Unfit::InBox(thing)) } else { Ok(held) }
    }

    pub(super) fn must_be_free(&self, thing: Thing) -> Result<(), Unfit> {
        if thing.no == 0 {
            return Err(Unfit::UnknownThing(thing));
        }
        if self.things.contains_key(&thing) {
            return Err(Unfit::Taken { taken: thing, next: self.next_free(thing.kind) });
        }
        Ok(())
    }

    fn transfer(&mut self, from: Thing, to: Holder, lot: u8, part: Share) -> Result<(), Unfit> {
        let source = Holder::Thing(from);
        if part == Share::NONE || source == to {
            return Err(Unfit::NothingMoves);
        }
        let has = self.share(source, lot);
        let short = || {
            let there = Box::new(CustodyFact::Moved { from, lot, to, part: has });
            let mend = (has > Share::NONE).then_some(there);
            Unfit::NotEnough { from, lot, has, wanted: part, to, mend }
        };
        let left = has.less(part).ok_or_else(short)?;
        let there = self.share(to, lot).and(part).ok_or_else(short)?;
        if left == Share::NONE {
            self.holdings.remove(&(source, lot));
        } else {
            self.holdings.insert((source, lot), left);
        }
        self.holdings.insert((to, lot), there);
        Ok(())
    }
}

/// The box, the post and home are reached by packing only, so that nothing slips past the count; a cavity is reached
/// only by beginning a stone in it.
pub(super) fn must_be_put_down(thing: Thing, place: &Place) -> Result<(), Unfit> {
    match place {
        Place::Kept(_) | Place::Bench | Place::Away => Ok(()),
        Place::Box | Place::Post | Place::Home => Err(Unfit::ByPackingOnly(thing)),
        Place::Cavity { .. } => Err(Unfit::NotACavityFor(thing)),
    }
}

/// Kinds that can be opened and closed.
fn must_open(thing: Thing) -> Result<(), Unfit> {
    match thing.kind {
        ThingKind::Wrapping | ThingKind::Envelope | ThingKind::Offcuts => Ok(()),
        _ => Err(Unfit::WrongKind { thing, wanted: "a packet, an envelope or a bag" }),
    }
}

fn must_be(thing: Thing, kind: ThingKind, wanted: &'static str) -> Result<(), Unfit> {
    if thing.kind == kind { Ok(()) } else { Err(Unfit::WrongKind { thing, wanted }) }
}

impl Ledger {
    pub(super) fn step_custody(&mut self, fact: &CustodyFact, stamp: Stamp) -> Result<(), Unfit> {
        match fact {
            CustodyFact::Received { .. } => self.receive(fact, stamp),
            CustodyFact::CameAlong { thing, place, photo } => {
                must_be(*thing, ThingKind::Keepsake, "a keepsake")?;
                self.custody.must_be_free(*thing)?;
                must_be_put_down(*thing, place)?;
                let held = Held { photo: *photo, ..Held::new(place.clone(), stamp.number) };
                self.custody.things.insert(*thing, held);
                Ok(())
            }
            CustodyFact::SplitOff { .. } => self.split_off(fact, stamp),
            CustodyFact::Released { thing } => {
                let held = self.custody.thing_here(*thing)?;
                let Role::KeepBack { released, .. } = &mut held.role else {
                    return Err(Unfit::WrongKind { thing: *thing, wanted: "a keep-back envelope" });
                };
                *released = true;
                Ok(())
            }
            CustodyFact::Opened { thing, check } => {
                self.open(*thing, *check)?;
                self.use_bench(stamp);
                Ok(())
            }
            CustodyFact::Closed { thing, seal } => self.close(*thing, *seal, stamp),
            CustodyFact::Placed { thing, place } => self.place(*thing, place),
            CustodyFact::Moved { from, lot, to, part } => self.move_part(*from, *lot, *to, *part, stamp),
            CustodyFact::Weighed { .. }
            | CustodyFact::WeighedOn { .. }
            | CustodyFact::Judged { .. }
            | CustodyFact::Dried { .. } => self.observe(fact, stamp),
            CustodyFact::PassedOn { thing, to } => self.pass_on(*thing, *to),
            CustodyFact::TakenOver { .. } => self.take_over(fact, stamp),
            CustodyFact::BenchCleared => self.clear_bench(stamp),
            CustodyFact::Lost { thing } => {
                let held = self.custody.thing_to_lose(*thing)?;
                let (was_open, was_boxed) = (held.open, held.place == Place::Box);
                (held.lost, held.open) = (true, false);
                if let Role::KeepBack { released, .. } = &mut held.role {
                    *released = false;
                }
                // The look into the box, or its photo, shows what is not in it any more.
                if was_boxed {
                    self.home.box_seen = false;
                }
                // What fell out of it while it stood open lies on the bench, as after a closing.
                if was_open {
                    self.use_bench(stamp);
                }
                Ok(())
            }
            CustodyFact::Found { thing, place } => {
                let held = self.custody.things.get_mut(thing).ok_or(Unfit::UnknownThing(*thing))?;
                if !held.lost {
                    return Err(Unfit::NotLost(*thing));
                }
                (held.lost, held.place) = (false, place.clone());
                self.found_stone(*thing, place)
            }
        }
    }

    fn close(&mut self, thing: Thing, seal: Option<Seal>, stamp: Stamp) -> Result<(), Unfit> {
        let held = self.custody.thing_here(thing)?;
        if !held.open {
            return Err(Unfit::NotOpen(thing));
        }
        (held.open, held.seal) = (false, seal);
        // A yes is for one opening; the next one is asked for again.
        if let Role::KeepBack { released, .. } = &mut held.role {
            *released = false;
        }
        self.use_bench(stamp);
        Ok(())
    }

    fn clear_bench(&mut self, stamp: Stamp) -> Result<(), Unfit> {
        if let Some(thing) = self.custody.open().next() {
            return Err(Unfit::StillOpen(thing));
        }
        self.use_bench(stamp);
        // A clearing that is told of did not clear what was used on a later day.
        let came_after = |bench: &BenchUse| stamp.told && bench.last.day() > stamp.day;
        if let Some(bench) = self.custody.bench.as_mut().filter(|bench| !came_after(bench)) {
            bench.cleared = true;
            if !stamp.told {
                bench.cleared_at = Some(stamp.happened());
            }
        }
        Ok(())
    }

    /// What is told of was on the bench before; what lies there now is not known from it.
    fn use_bench(&mut self, stamp: Stamp) {
        if !stamp.told {
            let cleared_at = self.custody.bench.and_then(|bench| bench.cleared_at);
            self.custody.bench = Some(BenchUse { last: stamp.happened(), cleared: false, cleared_at });
        }
    }

    /// What an instrument or an eye said of a thing, and what was done to it before it was weighed.
    fn observe(&mut self, fact: &CustodyFact, stamp: Stamp) -> Result<(), Unfit> {
        let entry = stamp.number;
        match fact {
            CustodyFact::Weighed { thing, reading } => self.weigh(*thing, *reading, stamp),
            CustodyFact::WeighedOn { thing, scale, reading, air } => {
                if let Some(air) = air.filter(|air| *air > 100) {
                    return Err(Unfit::Humidity(air));
                }
                self.weigh(*thing, *reading, stamp)?;
                self.custody.scales.insert(entry, (scale.clone(), *air));
                Ok(())
            }
            CustodyFact::Judged { thing, lot, part, doubt } => {
                self.custody.thing_here(*thing)?;
                if !self.custody.lots.contains_key(lot) {
                    return Err(Unfit::UnknownLot(*lot));
                }
                if let Some(share) = [*part, *doubt].into_iter().find(|share| *share > Share::WHOLE) {
                    return Err(Unfit::MoreThanAll(share));
                }
                let (thing, lot, part, doubt) = (*thing, *lot, *part, *doubt);
                self.custody.judged.push(Judged { entry, thing, lot, part, doubt });
                Ok(())
            }
            CustodyFact::Dried { thing, way, over } => {
                must_open(*thing)?;
                self.custody.thing_at_hand(*thing)?;
                if *over < Span::ZERO {
                    return Err(Unfit::BelowNothing { what: "time" });
                }
                self.custody.dried.push((entry, *thing, *way, *over));
                Ok(())
            }
            _ => Ok(()),
        }
    }

    fn weigh(&mut self, thing: Thing, reading: Reading<Mass>, stamp: Stamp) -> Result<(), Unfit> {
        self.custody.thing_here(thing)?;
        if reading.value < Mass::ZERO || reading.doubt < Mass::ZERO {
            return Err(Unfit::BelowNothing { what: "weight" });
        }
        self.custody.weighed.push((stamp.number, thing, reading));
        Ok(())
    }

    /// What the studio held for the client goes over to another order of theirs, closed as it is.
    fn pass_on(&mut self, thing: Thing, to: Tag) -> Result<(), Unfit> {
        must_open(thing)?;
        if to == self.tag {
            return Err(Unfit::OwnTag(to));
        }
        let empty = self.custody.contents(thing).next().is_none();
        let held = self.custody.thing_at_hand(thing)?;
        if held.open {
            return Err(Unfit::StillOpen(thing));
        }
        if matches!(held.role, Role::KeepBack { released: false, .. }) {
            return Err(Unfit::KeepBackHeld(thing));
        }
        if empty {
            return Err(Unfit::HoldsNothing(thing));
        }
        held.passed_to = Some(to);
        Ok(())
    }

    fn take_over(&mut self, fact: &CustodyFact, stamp: Stamp) -> Result<(), Unfit> {
        let CustodyFact::TakenOver { lot, material, of, thing, seal, place, keep_back } = fact else {
            return Ok(());
        };
        if *of == self.tag {
            return Err(Unfit::OwnTag(*of));
        }
        let (lot, material, seal, keep_back) = (*lot, *material, *seal, *keep_back);
        let came =
            CustodyFact::Received { lot, material, seal, place: place.clone(), photo: None, keep_back };
        self.receive(&came, stamp)?;
        if let Some(lot) = self.custody.lots.get_mut(&lot) {
            lot.before = Some((*of, *thing));
        }
        Ok(())
    }

    /// A stone that was lost in its mould may be found there; found anywhere else, it has left the mould.
    fn found_stone(&mut self, thing: Thing, place: &Place) -> Result<(), Unfit> {
        let stone = self.pours.stones.get_mut(&thing.no).filter(|_| thing.kind == ThingKind::Stone);
        if let (Some(stone), Place::Cavity { mould, cell }) = (&stone, place)
            && !stone.taken_out
            && (&stone.mould, &stone.cell) == (mould, cell)
        {
            return Ok(());
        }
        must_be_put_down(thing, place)?;
        if let Some(stone) = stone {
            stone.taken_out = true;
        }
        Ok(())
    }

    fn receive(&mut self, fact: &CustodyFact, stamp: Stamp) -> Result<(), Unfit> {
        let CustodyFact::Received { lot, material, seal, place, photo, keep_back } = fact else {
            return Ok(());
        };
        let next = self.custody.lots.keys().max().copied().unwrap_or(0).saturating_add(1);
        if *lot != next {
            return Err(Unfit::LotOrder { lot: *lot, next });
        }
        let wrapping = Thing::wrapping(*lot);
        self.custody.must_be_free(wrapping)?;
        must_be_put_down(wrapping, place)?;
        // What came before the record was kept may have no keep-back, or an odd one; nothing has more than itself.
        let agreed = if stamp.told { *keep_back <= Share::WHOLE } else { keep_back_is_sound(*keep_back) };
        if !agreed {
            return Err(Unfit::KeepBackAgreed(*keep_back));
        }
        let (material, keep_back, photo, told) = (*material, *keep_back, *photo, stamp.told);
        self.custody.lots.insert(*lot, Lot { material, keep_back, photo, told, before: None });
        let held = Held { seal: *seal, photo, ..Held::new(place.clone(), stamp.number) };
        self.custody.things.insert(wrapping, held);
        self.custody.holdings.insert((Holder::Thing(wrapping), *lot), Share::WHOLE);
        Ok(())
    }

    fn split_off(&mut self, fact: &CustodyFact, stamp: Stamp) -> Result<(), Unfit> {
        let CustodyFact::SplitOff { from, lot, into, part, keep_back, seal, place } = fact else {
            return Ok(());
        };
        must_be(*into, ThingKind::Envelope, "an envelope")?;
        self.custody.must_be_free(*into)?;
        must_be_put_down(*into, place)?;
        let of = self.custody.lots.get(lot).ok_or(Unfit::UnknownLot(*lot))?;
        let (agreed, told_of) = (of.keep_back, stamp.told && of.told);
        self.must_stand_open(*from)?;
        let has = self.custody.share(Holder::Thing(*from), *lot);
        // Where less than agreed is left, all that is left is kept back.
        let least = agreed.min(has);
        let with = |share: Share| {
            let mut other = fact.clone();
            if let CustodyFact::SplitOff { part, .. } = &mut other {
                *part = share;
            }
            Box::new(other)
        };
        if *keep_back && *part < least && !told_of {
            let mend = Some(with(least));
            return Err(Unfit::KeepBackTooSmall { lot: *lot, least: agreed, part: *part, mend });
        }
        if !keep_back {
            self.must_have_keep_back(*from, *lot, stamp)?;
        }
        self.custody.transfer(*from, Holder::Thing(*into), *lot, *part).map_err(|why| match why {
            Unfit::NotEnough { from, lot, has, wanted, to, .. } => {
                let mend = (has > Share::NONE).then(|| with(has));
                Unfit::NotEnough { from, lot, has, wanted, to, mend }
            }
            other => other,
        })?;
        let role = if *keep_back { Role::KeepBack { lot: *lot, released: false } } else { Role::Plain };
        let held = Held { role, seal: *seal, ..Held::new(place.clone(), stamp.number) };
        self.custody.things.insert(*into, held);
        // It may have been told open, and then its crumbs lie on the bench only now.
        self.use_bench(stamp);
        Ok(())
    }

    fn open(&mut self, thing: Thing, check: Check) -> Result<(), Unfit> {
        must_open(thing)?;
        if check.tag != self.tag {
            return Err(Unfit::WrongTag { read: check.tag, own: self.tag });
        }
        let held = self.custody.thing_here(thing)?;
        if held.open {
            return Err(Unfit::AlreadyOpen(thing));
        }
        if matches!(held.role, Role::KeepBack { released: false, .. }) {
            return Err(Unfit::KeepBackHeld(thing));
        }
        if held.place == Place::Box {
            return Err(Unfit::InBox(thing));
        }
        (held.open, held.seal, held.place, held.left_out) = (true, None, Place::Bench, None);
        Ok(())
    }

    fn place(&mut self, thing: Thing, place: &Place) -> Result<(), Unfit> {
        if thing.kind == ThingKind::Stone && !self.pours.stone(thing.no)?.taken_out {
            return Err(Unfit::InMould(thing.no));
        }
        let held = self.custody.thing_here(thing)?;
        if held.place == Place::Box {
            return Err(Unfit::InBox(thing));
        }
        must_be_put_down(thing, place)?;
        if held.open && *place != Place::Bench {
            return Err(Unfit::StillOpen(thing));
        }
        held.place = place.clone();
        Ok(())
    }

    fn move_part(
        &mut self,
        from: Thing,
        lot: u8,
        to: Holder,
        part: Share,
        stamp: Stamp,
    ) -> Result<(), Unfit> {
        if !self.custody.lots.contains_key(&lot) {
            return Err(Unfit::UnknownLot(lot));
        }
        if from.kind == ThingKind::Stone {
            return self.trim(from, lot, to, part, stamp);
        }
        self.must_stand_open(from)?;
        if let Holder::Thing(to) = to {
            self.custody.thing_here(to)?;
            // What is spilt before the keep-back can still be written down; nothing else goes anywhere before it.
            self.must_have_keep_back(from, lot, stamp)?;
            match to.kind {
                ThingKind::Stone => {
                    self.must_go_on(stamp)?;
                    self.must_be_in_mould(to.no)?;
                }
                _ => self.must_stand_open(to)?,
            }
        }
        self.custody.transfer(from, to, lot, part)?;
        self.pours.went_in(to);
        self.use_bench(stamp);
        Ok(())
    }

    /// What is cut or sanded off a stone goes into a bag of offcuts, which stands open, or is left on the tools.
    fn trim(&mut self, from: Thing, lot: u8, to: Holder, part: Share, stamp: Stamp) -> Result<(), Unfit> {
        self.custody.thing_at_hand(from)?;
        if let Some(on) = self.pours.stone(from.no)?.under_lamp() {
            return Err(Unfit::UnderLamp { stone: from.no, on });
        }
        if let Holder::Thing(bag) = to {
            must_be(bag, ThingKind::Offcuts, "a bag of offcuts")?;
            self.must_stand_open(bag)?;
        }
        self.custody.transfer(from, to, lot, part)?;
        self.pours.went_in(to);
        if to != Holder::Tools {
            self.use_bench(stamp);
        }
        Ok(())
    }

    fn must_stand_open(&mut self, thing: Thing) -> Result<(), Unfit> {
        must_open(thing)?;
        if self.custody.thing_here(thing)?.open { Ok(()) } else { Err(Unfit::NotOpen(thing)) }
    }

    /// The first act after arrival: no lot is worked with before its keep-back is put away. Only of a lot that came
    /// before the record was kept may it be told otherwise.
    fn must_have_keep_back(&self, from: Thing, lot: u8, stamp: Stamp) -> Result<(), Unfit> {
        let of = self.custody.lots.get(&lot).ok_or(Unfit::UnknownLot(lot))?;
        let told_of = stamp.told && of.told;
        if told_of || of.keep_back == Share::NONE || self.custody.has_keep_back(lot) {
            return Ok(());
        }
        let left = self.custody.share(Holder::Thing(from), lot);
        let share = if left == Share::NONE { of.keep_back } else { of.keep_back.min(left) };
        let open = self.custody.things.get(&from).filter(|held| held.open && left > Share::NONE);
        let mend = open.map(|held| {
            Box::new(CustodyFact::SplitOff {
                from,
                lot,
                into: self.custody.next_free(ThingKind::Envelope),
                part: share,
                keep_back: true,
                seal: None,
                place: held.place.clone(),
            })
        });
        Err(Unfit::KeepBackFirst { lot, share, mend })
    }
}
