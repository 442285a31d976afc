//! What does not fit across documents: found at load, reported, never mended by itself.

use std::collections::BTreeMap;

use crate::id::{ClientId, ShelfId, StoneName, Thing};
use crate::place::Place;
use crate::tag::Tag;

use super::{Mixed, Studio};

/// Something across documents that the maker should look at.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum Finding {
    /// Material of several orders stands open.
    #[error("material of {} stands open at once; close all but the one on the bench", list(.0))]
    OpenTogether(Vec<Tag>),
    /// An order's client is not here.
    #[error(
        "order {tag} belongs to client {client}, whose file is not here; look in a backup or write the client down again"
    )]
    UnknownClient {
        /// The order.
        tag: Tag,
        /// The client.
        client: ClientId,
    },
    /// A stone's mould, resin, lamp or pigment is not on the shelf.
    #[error(
        "{} of order {tag} uses {item}, which is not on the shelf; add it again under that name",
        StoneName(*.stone)
    )]
    UnknownItem {
        /// The order.
        tag: Tag,
        /// The stone.
        stone: u8,
        /// The item.
        item: ShelfId,
    },
    /// Two stones in one cavity.
    #[error(
        "{} of {mould} is said to hold {}; look into the tray and place one of them anew",
        cell,
        pairs(stones)
    )]
    CavityShared {
        /// The mould.
        mould: ShelfId,
        /// The cavity's mark.
        cell: String,
        /// Which stones.
        stones: Vec<(Tag, u8)>,
    },
    /// A lot that was worked with before its keep-back.
    #[error(
        "lot {lot} of order {tag} has no keep-back; nothing more can be taken from it until one is put away"
    )]
    NoKeepBack {
        /// The order.
        tag: Tag,
        /// The lot.
        lot: u8,
    },
    /// A lot that is said to come from an order that has not given it.
    #[error("{0}; look for the right file in a backup, and take nothing out of that packet before")]
    Mixed(Mixed),
    /// A thing that was passed on and has not been taken over.
    #[error(
        "{thing} of order {tag} was passed on to order {to}, which has not taken it over; write that down there"
    )]
    NotTakenOver {
        /// The order it comes from.
        tag: Tag,
        /// What it is there.
        thing: Thing,
        /// The order it goes to.
        to: Tag,
    },
    /// A stone is to be made from a lot that the order has not.
    #[error("stone {stone} of order {tag} is planned with lot {lot}, which this order has not; plan it anew")]
    UnknownLot {
        /// The order.
        tag: Tag,
        /// The stone.
        stone: u8,
        /// The lot.
        lot: u8,
    },
    /// Something was destroyed without the client's word in the record.
    #[error(
        "{thing} of order {tag} is said to be destroyed, and the client's word for it is not in the record"
    )]
    NoInstruction {
        /// The order.
        tag: Tag,
        /// The thing.
        thing: Thing,
    },
    /// A thing kept in a place that is not on the list.
    #[error("{thing} of order {tag} is kept in place number {place}, which is not on the studio's list")]
    UnknownPlace {
        /// The order.
        tag: Tag,
        /// The thing.
        thing: Thing,
        /// The place.
        place: u16,
    },
}

fn list(tags: &[Tag]) -> String {
    tags.iter().map(Tag::to_string).collect::<Vec<_>>().join(" and ")
}

fn pairs(stones: &[(Tag, u8)]) -> String {
    stones
        .iter()
        .map(|(tag, stone)| format!("{} of {tag}", StoneName(*stone)))
        .collect::<Vec<_>>()
        .join(" and ")
}

impl Studio {
    /// Every rule across documents that does not hold.
    pub fn findings(&self) -> Vec<Finding> {
        let mut found = Vec::new();
        let open = self.awake().filter(|(_, held)| held.ledger.custody.open().next().is_some());
        let open: Vec<Tag> = open.map(|(tag, _)| tag).collect();
        if open.len() > 1 {
            found.push(Finding::OpenTogether(open));
        }
        let mut cavities: BTreeMap<(&ShelfId, &str), Vec<(Tag, u8)>> = BTreeMap::new();
        for (&tag, held) in &self.orders {
            if !self.clients.contains_key(held.client()) {
                found.push(Finding::UnknownClient { tag, client: held.client().clone() });
            }
            for stone in held.stones().iter() {
                let used = [&stone.mould, &stone.resin, &stone.lamp, &stone.pigment];
                let missing = used.into_iter().filter(|id| !self.shelf.contains_key(id));
                found.extend(missing.map(|item| Finding::UnknownItem {
                    tag,
                    stone: stone.no,
                    item: item.clone(),
                }));
            }
            let kept = held.kept();
            let unknown =
                kept.iter().filter(|kept| kept.is_here && self.policies.place(kept.place).is_none());
            found.extend(unknown.map(|kept| Finding::UnknownPlace {
                tag,
                thing: kept.thing,
                place: kept.place,
            }));
        }
        for (tag, held) in self.awake() {
            for (thing, state) in held.ledger.custody.things.iter().filter(|(_, state)| state.is_here()) {
                if let Place::Cavity { mould, cell } = &state.place {
                    cavities.entry((mould, cell.as_str())).or_default().push((tag, thing.no));
                }
            }
            let custody = &held.ledger.custody;
            let live = !held.ledger.home.is_gone() && !held.ledger.pours.stones.is_empty();
            let bare = custody
                .lots
                .iter()
                .filter(|(no, lot)| live && lot.keep_back.millionths() > 0 && !custody.has_keep_back(**no));
            found.extend(bare.map(|(&lot, _)| Finding::NoKeepBack { tag, lot }));
        }
        found.extend(self.custody_findings());
        let shared = cavities.into_iter().filter(|(_, stones)| stones.len() > 1);
        found.extend(shared.map(|((mould, cell), stones)| Finding::CavityShared {
            mould: mould.clone(),
            cell: cell.to_owned(),
            stones,
        }));
        found
    }
}
