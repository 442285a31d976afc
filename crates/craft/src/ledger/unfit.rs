//! Why a fact cannot be written down, in words for the person at the bench, and the fact that would mend it.

use crate::fact::{CustodyFact, Fact, Holder, HomeFact};
use crate::id::{StoneName, Thing};
use crate::tag::Tag;
use crate::units::{Length, Share};

/// Why a fact does not fit what was recorded before it.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum Unfit {
    // Custody.
    /// The thing is not in this order.
    #[error("there is no {0} in this order; look at its label again")]
    UnknownThing(Thing),
    /// The number is taken.
    #[error("{taken} is already there; label the new one {next}")]
    Taken {
        /// The thing that is there.
        taken: Thing,
        /// The next free label.
        next: Thing,
    },
    /// A lot was numbered out of turn.
    #[error("the next lot of this order is number {next}, not {lot}")]
    LotOrder {
        /// The number given.
        lot: u8,
        /// The number to give.
        next: u8,
    },
    /// Not a thing for this.
    #[error("{thing} is not {wanted}")]
    WrongKind {
        /// The thing.
        thing: Thing,
        /// What is wanted, such as "an envelope".
        wanted: &'static str,
    },
    /// There is no such lot.
    #[error("there is no lot {0} in this order")]
    UnknownLot(u8),
    /// The lot has no keep-back yet.
    #[error("lot {lot} has no keep-back yet; put {} of it into its own sealed envelope first", percent(*share))]
    KeepBackFirst {
        /// The lot.
        lot: u8,
        /// What was agreed, or all that is left where that is less.
        share: Share,
        /// The split that would mend it, where the packet is already open.
        mend: Option<Box<CustodyFact>>,
    },
    /// No keep-back can be agreed like that.
    #[error("a keep-back of {} cannot be agreed; it is between a hundredth and nine tenths of the lot", percent(*.0))]
    KeepBackAgreed(Share),
    /// The keep-back is smaller than agreed.
    #[error("{} is to be kept back of lot {lot}, and this would be {}; put away at least what is to be kept", percent(*least), percent(*part))]
    KeepBackTooSmall {
        /// The lot.
        lot: u8,
        /// What was agreed, or all that is left where that is less.
        least: Share,
        /// What would be put away.
        part: Share,
        /// The same split with that.
        mend: Option<Box<CustodyFact>>,
    },
    /// The keep-back may not be opened.
    #[error("{0} is the keep-back; it is opened only after the client has said yes")]
    KeepBackHeld(Thing),
    /// The tag that was read is another order's.
    #[error("the tag in your hand is {read}, and this order is {own}; put it back and take the right one")]
    WrongTag {
        /// What was read.
        read: Tag,
        /// The order's own.
        own: Tag,
    },
    /// It is closed.
    #[error("{0} is closed; open it first, reading its tag")]
    NotOpen(Thing),
    /// It is open already.
    #[error("{0} is already open")]
    AlreadyOpen(Thing),
    /// It must be closed first.
    #[error("{0} is still open; close it first")]
    StillOpen(Thing),
    /// There is less than that.
    #[error("{from} holds {} of lot {lot}, and {} was to be taken", percent(*has), percent(*wanted))]
    NotEnough {
        /// Where from.
        from: Thing,
        /// Which lot.
        lot: u8,
        /// What is there.
        has: Share,
        /// What was to be taken.
        wanted: Share,
        /// Where it was to go.
        to: Holder,
        /// The same with all that is there, where that would do.
        mend: Option<Box<CustodyFact>>,
    },
    /// Nothing was to be taken, or it would stay where it is.
    #[error("nothing would move; say how much goes where")]
    NothingMoves,
    /// The thing is not in the studio.
    #[error("{thing} is not here: it {why}")]
    NotHere {
        /// The thing.
        thing: Thing,
        /// Why not, such as "is lost".
        why: &'static str,
    },
    /// A way into the box that would not be counted.
    #[error("{0} gets into the box, the post and home only by being ticked; put it down in the studio first")]
    ByPackingOnly(Thing),
    /// Only a stone that is begun lies in a cavity.
    #[error("{0} cannot be put into a cavity; only a stone that is begun there lies in one")]
    NotACavityFor(Thing),
    /// More humid than air can be.
    #[error("air of {0} % humidity cannot be; it is between 0 and 100 %")]
    Humidity(u8),
    /// More than the whole lot.
    #[error("{} of a lot cannot be in one place; a share is at most all of it", percent(*.0))]
    MoreThanAll(Share),
    /// It is not lost.
    #[error("{0} is not lost")]
    NotLost(Thing),
    /// A reading no instrument gives.
    #[error("a {what} below nothing cannot be; read it again")]
    BelowNothing {
        /// What was read.
        what: &'static str,
    },
    // Pour.
    /// Layers go one by one.
    #[error("the next layer of {} is number {next}", StoneName(*.stone))]
    LayerOrder {
        /// The stone.
        stone: u8,
        /// The next layer.
        next: u8,
    },
    /// A layer that is covered by now.
    #[error("only the newest layer of {} can be felt, and that is number {newest}", StoneName(*.stone))]
    NotNewest {
        /// The stone.
        stone: u8,
        /// Its newest layer.
        newest: u8,
    },
    /// A thickness no layer has.
    #[error("a layer of {0} cannot be; a layer is between 0.05 mm and 10 mm thick")]
    Thickness(Length),
    /// The layer before has not been felt.
    #[error("layer {layer} of {} has not been felt yet; say whether it is hard, tacky or soft", StoneName(*.stone))]
    NotFelt {
        /// The stone.
        stone: u8,
        /// The layer.
        layer: u8,
    },
    /// The layer before is soft.
    #[error("layer {layer} of {} is still soft; light it again before the next one", StoneName(*.stone))]
    StillSoft {
        /// The stone.
        stone: u8,
        /// The layer.
        layer: u8,
    },
    /// A material layer without material.
    #[error("nothing was put into {} yet; take its share out of the envelope first", StoneName(*.0))]
    NoMaterial(u8),
    /// The stone is under a lamp.
    #[error("{} is under the lamp since entry {on}; put the lamp off first", StoneName(*.stone))]
    UnderLamp {
        /// The stone.
        stone: u8,
        /// The entry that put the lamp on.
        on: u32,
    },
    /// There is nothing to light.
    #[error("{} has no layer yet", StoneName(*.0))]
    NothingLaid(u8),
    /// No stone was named.
    #[error("no stone was named; pick at least one, each once")]
    NoStone,
    /// A button with no light.
    #[error("this button gives no light; look at the lamp's buttons on the shelf")]
    NoLight,
    /// The lamp was not on.
    #[error("entry {0} did not put a lamp on, or it is off already")]
    NotOn(u32),
    /// More light than the clock allows.
    #[error("that is more light than has passed since the lamp went on")]
    TooMuchLight,
    /// Felt before lit.
    #[error("layer {layer} of {} has not been under the lamp yet", StoneName(*.stone))]
    NotLit {
        /// The stone.
        stone: u8,
        /// The layer.
        layer: u8,
    },
    /// It has left the mould.
    #[error("{} has left its mould; choose one that still lies in its mould", StoneName(*.0))]
    OutOfMould(u8),
    /// It is still in the mould.
    #[error("{} is still in its mould; take it out first", StoneName(*.0))]
    InMould(u8),
    /// A practice stone is the maker's own.
    #[error(
        "{} is your own and never the client's: nothing entrusted goes into it, and it is not shown, set or packed",
        StoneName(*.0)
    )]
    Practice(u8),
    // Client.
    /// The order was called off.
    #[error("the order was called off; everything goes home as it is")]
    CalledOff,
    /// The stone is not finished.
    #[error("{} is not finished: its last layer must be hard", StoneName(*.0))]
    NotFinished(u8),
    /// It is kept as a spare.
    #[error("{} was set aside as a spare; take one that was not", StoneName(*.0))]
    IsAside(u8),
    /// The stone was not shown.
    #[error("{} was not on the last proof sheet", StoneName(*.0))]
    NotShown(u8),
    /// No proof was sent.
    #[error("no proof sheet was sent yet; send one, then note the answer to it")]
    NothingShown,
    // Fit.
    /// The stone was not chosen.
    #[error("{} was not chosen by the client; set the one that was, or note the new choice first", StoneName(*.0))]
    NotChosen(u8),
    /// The stone is set already.
    #[error("{} is already set", StoneName(*.0))]
    AlreadySet(u8),
    // Home.
    /// Things are not in the box.
    #[error("not in the box yet: {}; tick each, or say that it is lost or left out", names(.0))]
    NotInBox(Vec<Thing>),
    /// The box was not photographed.
    #[error(
        "the box has no photo as it is packed now; take one before it is closed, or say that no camera is at hand"
    )]
    BoxNotSeen,
    /// It cannot come back.
    #[error("{0} has not left, so it cannot have come back; note where it lies instead")]
    NotAway(Thing),
    /// There is nothing to send.
    #[error("nothing of this order is here to be sent")]
    NothingToSend,
    /// It is in the box.
    #[error("{0} is already in the box")]
    InBox(Thing),
    /// It is not in the box.
    #[error("{0} is not in the box")]
    NotBoxed(Thing),
    /// It is gone.
    #[error("the box has already gone; what is still here goes home in a box of its own")]
    AlreadySent,
    /// It has not gone.
    #[error("nothing has been sent yet")]
    NotSent,
    /// The box is empty.
    #[error("nothing is in the box; tick what goes home in this parcel first")]
    NothingBoxed,
    /// Nothing would be left behind.
    #[error("everything there is lies in the box, so it is not a part; send it as the whole")]
    NotAPart,
    /// Offcuts that would stick and hurt.
    #[error("the offcuts in {0} did not come out hard; light them again before they go into the box")]
    OffcutsNotHard(Thing),
    // Between orders.
    /// There is nothing in it.
    #[error("{0} holds nothing that could go over to another order; look at its label again")]
    HoldsNothing(Thing),
    /// An order cannot take over from itself.
    #[error("{0} is this order's own tag; name the order it comes from or goes to")]
    OwnTag(Tag),
    // Corrections.
    /// Told of a day that has not come.
    #[error("{0} has not come yet; what is told of has already happened")]
    Ahead(chrono::NaiveDate),
    /// There is no such entry.
    #[error("there is no entry {0} that could be struck; look at its number in the record again")]
    NoSuchEntry(u32),
    /// It does not count any more.
    #[error("entry {0} was struck before and no longer counts; there is nothing more to strike")]
    StruckBefore(u32),
    /// Later entries rest on it.
    #[error("entry {later} rests on it: {why}; strike that one first")]
    RestsOnIt {
        /// The first later entry that would no longer fit.
        later: u32,
        /// Why it would not.
        why: Box<Unfit>,
    },
}

/// A share in per cent with at most one decimal, for a sentence.
pub(crate) fn percent(share: Share) -> String {
    let tenths = share.millionths().saturating_add(500) / 1_000;
    if tenths.is_multiple_of(10) {
        format!("{} %", tenths / 10)
    } else {
        format!("{}.{} %", tenths / 10, tenths % 10)
    }
}

fn names(things: &[Thing]) -> String {
    things.iter().map(Thing::to_string).collect::<Vec<_>>().join(", ")
}

impl Unfit {
    /// The one fact that would mend it, where one would.
    pub fn mend(&self) -> Option<Fact> {
        match self {
            Unfit::KeepBackFirst { mend, .. }
            | Unfit::KeepBackTooSmall { mend, .. }
            | Unfit::NotEnough { mend, .. } => mend.as_ref().map(|mend| Fact::Custody((**mend).clone())),
            Unfit::KeepBackHeld(thing) => Some(CustodyFact::Released { thing: *thing }.into()),
            Unfit::BoxNotSeen => Some(HomeFact::NotPhotographed.into()),
            Unfit::StillOpen(thing) => Some(CustodyFact::Closed { thing: *thing, seal: None }.into()),
            _ => None,
        }
    }
}
