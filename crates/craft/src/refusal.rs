//! Why the door did not open, and the one edit that would mend it.

use crate::fact::{ClientFact, CustodyFact, Fact, Material, Wish};
use crate::id::{ClientId, DocId, ShelfId, StoneName, Thing};
use crate::ledger::Unfit;
use crate::money::series::SeriesError;
use crate::place::Cell;
use crate::shelf::ShelfError;
use crate::studio::{Edit, Mixed, OrderEdit, ShelfEdit};
use crate::tag::Tag;
use crate::units::{Mass, Share, Span};

/// Why an edit was refused. Nothing has changed.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum Refusal {
    /// There is no such order.
    #[error("there is no order {0}; look at the tag again")]
    NoOrder(Tag),
    /// The tag is taken.
    #[error("the tag {0} belongs to another order already; take a new one")]
    TagTaken(Tag),
    /// There is no such client.
    #[error("the client {0} is not in this studio; add the client first")]
    NoClient(ClientId),
    /// There is no such item.
    #[error("{0} is not on the shelf; add it first")]
    NoItem(ShelfId),
    /// The item is something else.
    #[error("{item} on the shelf is not {wanted}")]
    NotA {
        /// The item.
        item: ShelfId,
        /// What is wanted, such as "a mould".
        wanted: &'static str,
    },
    /// An item stays what it is.
    #[error("{item} on the shelf is not {wanted} and stays what it is; add {wanted} under a name of its own")]
    OtherKind {
        /// The item.
        item: ShelfId,
        /// What it was to become, such as "a mould".
        wanted: &'static str,
    },
    /// A button would vanish or change its number.
    #[error(
        "the buttons of {0} keep their places, since every test and every press names them by it; add new ones at the end"
    )]
    ButtonsStay(ShelfId),
    /// A cavity in use would vanish.
    #[error(
        "cavity {cell} of {mould} is {}'s of order {by}; take that one out or plan it elsewhere before the cavity goes",
        StoneName(*.stone)
    )]
    CellInUse {
        /// The mould.
        mould: ShelfId,
        /// The cavity.
        cell: Cell,
        /// The order.
        by: Tag,
        /// Its stone.
        stone: u8,
    },
    /// An order that could not be read may have something open, in a cavity or in a place, or name a button.
    #[error(
        "the file of order {0} could not be read, so something of it may be open on the bench, lie in a cavity or in a \
         place, or have been made with what would go; mend that file or put a backup of it in its place first"
    )]
    Unread(Tag),
    /// The item is out of use.
    #[error("{0} is retired; take another, or bring it back into use")]
    Retired(ShelfId),
    /// A fact does not fit the order.
    #[error("{why}")]
    Fact {
        /// The order.
        tag: Tag,
        /// Why not.
        why: Unfit,
    },
    /// Another client's material is open.
    #[error("{things} of order {open} is open on the bench; close it before opening anything of {wanted}", things = list(things))]
    OtherOpen {
        /// The order whose packet is open.
        open: Tag,
        /// What of it is open.
        things: Vec<Thing>,
        /// The order that was to be opened.
        wanted: Tag,
    },
    /// The bench was last used for another client and not cleared.
    #[error(
        "the bench was last used for order {by}, of another client; clear it of every strand and crumb, and tick it as clear, before opening anything of {wanted}"
    )]
    BenchNotClear {
        /// The order it was used for.
        by: Tag,
        /// The order that was to be opened.
        wanted: Tag,
    },
    /// A lot that is said to come from an order that has not given it.
    #[error(
        "{0}; until that is cleared up nothing more is written down for this order but that things were closed, put away or \
         cleared off the bench, and the lamp put out"
    )]
    Mixed(Box<Mixed>),
    /// The other order is another client's.
    #[error("order {other} is another client's; nothing of {own} goes over to it or comes from it")]
    OtherClient {
        /// The order.
        own: Tag,
        /// The other one.
        other: Tag,
    },
    /// It was not passed on.
    #[error("{thing} of order {of} was not passed on to this order; pass it on there first")]
    NotPassedOn {
        /// The order it should come from.
        of: Tag,
        /// What it is there.
        thing: Thing,
    },
    /// It holds something else.
    #[error("{thing} of order {of} holds no {material}; look at its label again")]
    OtherMaterial {
        /// The order it comes from.
        of: Tag,
        /// What it is there.
        thing: Thing,
        /// What it was said to be.
        material: Material,
    },
    /// It went on to another order, which has taken it over.
    #[error("order {by} has taken {thing} over; strike that there first")]
    TakenOver {
        /// The thing.
        thing: Thing,
        /// The order that has it.
        by: Tag,
    },
    /// Only the client can ask for that.
    #[error(
        "there is no word of the client that {thing} is to be destroyed; write down that they asked for it, and only then do it"
    )]
    NotInstructed {
        /// The thing.
        thing: Thing,
        /// Its order.
        tag: Tag,
    },
    /// What has been destroyed rests on the client's word.
    #[error("{0} was destroyed on that word of the client; it stays in the record")]
    InstructionStays(Thing),
    /// The scale was never tried.
    #[error(
        "{0} was never tried; put a coin or a known weight on it and write down on the shelf what it shows"
    )]
    ScaleUntried(ShelfId),
    /// The scale is out.
    #[error("{0} did not show what it was tried with; set it right, and try it again on the shelf")]
    ScaleOut(ShelfId),
    /// The scale carries less than that.
    #[error(
        "{scale} carries no more than {most}, packet and all; weigh it on another scale, or go by the count"
    )]
    TooHeavy {
        /// The scale.
        scale: ShelfId,
        /// The most it carries.
        most: Mass,
    },
    /// No reading of that scale is so sure.
    #[error("a reading of {scale} is in doubt by at least {least}; write that down with it")]
    TooSure {
        /// The scale.
        scale: ShelfId,
        /// The least doubt it has.
        least: Mass,
    },
    /// Another stone sits in that cavity.
    #[error(
        "cavity {cell} of {mould} holds {} of order {by}; take that one out first, or use another cavity",
        StoneName(*.stone)
    )]
    CellTaken {
        /// The mould.
        mould: ShelfId,
        /// The cavity.
        cell: Cell,
        /// The order whose stone sits there.
        by: Tag,
        /// Its stone.
        stone: u8,
    },
    /// The mould has no such cavity.
    #[error("{mould} has no cavity {cell}; look at its tray")]
    NoCell {
        /// The mould.
        mould: ShelfId,
        /// The cavity.
        cell: Cell,
    },
    /// The lamp has no such button.
    #[error(
        "{lamp} has no button {button}; look at the lamp and choose one it has, or add that one on the shelf"
    )]
    NoButton {
        /// The lamp.
        lamp: ShelfId,
        /// The button.
        button: u8,
    },
    /// The lamp goes off by itself before that.
    #[error("button {button} of {lamp} gives {most} of light and no more; press it again for more")]
    LongPress {
        /// The lamp.
        lamp: ShelfId,
        /// The button.
        button: u8,
        /// How long it is lit.
        most: Span,
    },
    /// The place is not on the studio's list.
    #[error("there is no place number {0}; add it to the studio's list of drawers and tins")]
    NoPlace(u16),
    /// A place on the list is in use and would lose its name.
    #[error(
        "place number {0} holds things of order {1}; rename it, or put them elsewhere before it loses its name"
    )]
    PlaceInUse(u16, Tag),
    /// The remembered one has no name.
    #[error("write the name of the one who is remembered; it stands on every page")]
    NoName,
    /// The client has no name.
    #[error("write the client's name")]
    NoClientName,
    /// Two of the same.
    #[error("{0} is there twice; keep one of them")]
    Twice(String),
    /// A label no thing can have.
    #[error("{0} cannot be a label; things are numbered from 1")]
    NoLabel(Thing),
    /// The layer on the face is another kind.
    #[error("the layer on the face of {} is glossy or satin; choose one of the two", StoneName(*.0))]
    NotATop(u8),
    /// A lot that did not come.
    #[error("there is no lot {0} in this order; take the share from one that came")]
    NoLot(u8),
    /// More is shared out than there is.
    #[error(
        "the stones would take more than the {} of lot {lot} that can be worked with; plan smaller shares",
        crate::ledger::percent(*most)
    )]
    SharesTooLarge {
        /// The lot.
        lot: u8,
        /// The lot without its keep-back.
        most: Share,
    },
    /// The stone is not on the sheet.
    #[error("{} is not on the order's sheet; add it to the plan first", StoneName(*.0))]
    NotOnSheet(u8),
    /// A stone that has begun cannot leave the sheet.
    #[error("{} has been begun and stays on the sheet; set it aside if it is not to be shown", StoneName(*.0))]
    StoneStays(u8),
    /// What has been poured cannot be planned otherwise.
    #[error(
        "layer {layer} of {} is laid, and the new plan differs there; plan again from what was laid",
        StoneName(*.stone)
    )]
    LaidOtherwise {
        /// The stone.
        stone: u8,
        /// The layer.
        layer: u8,
    },
    /// The mould or cavity of a stone that has begun.
    #[error("{} sits in its cavity already; its mould and cavity cannot change", StoneName(*.0))]
    InCavity(u8),
    /// The sheet plans another cavity.
    #[error(
        "{} is planned in cavity {cell} of {mould}; use that one, or change the sheet first",
        StoneName(*.stone)
    )]
    OtherCavity {
        /// The stone.
        stone: u8,
        /// The mould on the sheet.
        mould: ShelfId,
        /// The cavity on the sheet.
        cell: Cell,
    },
    /// Something real happened since.
    #[error(
        "something real has happened since, and that cannot be undone; strike the entry if it was a mistake"
    )]
    PastFact,
    /// Invoices stay.
    #[error("what was issued is never taken back; give credit for it with a credit note")]
    Issued,
    /// Words about an entry that is not there.
    #[error("there is no entry {0} to write about")]
    NoEntry(u32),
    /// The document cannot be changed.
    #[error("{why}")]
    Locked {
        /// Which.
        doc: DocId,
        /// Why.
        why: String,
    },
    /// A shelf item is not right.
    #[error(transparent)]
    Shelf(#[from] ShelfError),
    /// Money does not add up.
    #[error(transparent)]
    Money(#[from] SeriesError),
    /// The settings are not right.
    #[error("{0}")]
    Policies(&'static str),
    /// The document belongs to another studio or another name.
    #[error(
        "this file says it is {says}, and it lies where {lies} belongs; it comes from elsewhere and is left alone"
    )]
    Elsewhere {
        /// What it says it is.
        says: String,
        /// Where it lies.
        lies: String,
    },
}

fn list(things: &[Thing]) -> String {
    things.iter().map(Thing::to_string).collect::<Vec<_>>().join(", ")
}

impl Refusal {
    /// The item of the shelf that it names by its id, so that people can be told its name.
    pub const fn item(&self) -> Option<&ShelfId> {
        match self {
            Refusal::NoItem(item)
            | Refusal::NotA { item, .. }
            | Refusal::OtherKind { item, .. }
            | Refusal::ButtonsStay(item)
            | Refusal::CellInUse { mould: item, .. }
            | Refusal::Retired(item)
            | Refusal::ScaleUntried(item)
            | Refusal::ScaleOut(item)
            | Refusal::TooHeavy { scale: item, .. }
            | Refusal::TooSure { scale: item, .. }
            | Refusal::CellTaken { mould: item, .. }
            | Refusal::NoCell { mould: item, .. }
            | Refusal::NoButton { lamp: item, .. }
            | Refusal::LongPress { lamp: item, .. }
            | Refusal::OtherCavity { mould: item, .. } => Some(item),
            _ => None,
        }
    }

    /// The one edit that would mend it, where one would.
    pub fn remedy(&self) -> Option<Edit> {
        match self {
            Refusal::Fact { tag, why } => why.mend().map(|fact| Edit::Order(*tag, OrderEdit::Fact(fact))),
            Refusal::OtherOpen { open, things, .. } => {
                let close = |thing: &Thing| Fact::from(CustodyFact::Closed { thing: *thing, seal: None });
                things.first().map(|thing| Edit::Order(*open, OrderEdit::Fact(close(thing))))
            }
            Refusal::BenchNotClear { by, .. } => {
                Some(Edit::Order(*by, OrderEdit::Fact(CustodyFact::BenchCleared.into())))
            }
            Refusal::NotInstructed { thing, tag } => {
                let asked = ClientFact::Instructed { thing: *thing, wish: Wish::Destroy };
                Some(Edit::Order(*tag, OrderEdit::Fact(asked.into())))
            }
            Refusal::Retired(item) => Some(Edit::Shelf(item.clone(), ShelfEdit::Retire(false))),
            _ => None,
        }
    }
}
