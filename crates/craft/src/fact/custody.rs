//! Facts about what was entrusted: where it is, who opened it, how it was shared out.

use std::fmt;

use serde::{Deserialize, Serialize};

use super::Or;
use crate::digest::Digest;
use crate::id::{ShelfId, Thing};
use crate::place::Place;
use crate::reading::{Means, Reading};
use crate::tag::Tag;
use crate::units::{Mass, Share, Span};

/// What a lot is made of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum Material {
    /// A person's hair.
    Hair,
    /// An animal's fur, feather or mane.
    Fur,
    /// Cremated remains.
    Ashes,
    /// Flowers or petals, dried.
    Petals,
    /// Milk, dried to a powder.
    Milk,
    /// Cloth or thread.
    Cloth,
    /// Earth or sand.
    Earth,
    /// A feather, or feathers.
    Feather,
    /// Something else: how it looks says what. It is planned with as the darkest of all.
    Other,
}

impl Material {
    /// All of them, in the order they are asked for.
    pub const ALL: [Material; 9] = [
        Material::Hair,
        Material::Fur,
        Material::Ashes,
        Material::Petals,
        Material::Milk,
        Material::Feather,
        Material::Cloth,
        Material::Earth,
        Material::Other,
    ];
}

impl fmt::Display for Material {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Material::Hair => "hair",
            Material::Fur => "fur",
            Material::Ashes => "ashes",
            Material::Petals => "petals",
            Material::Milk => "milk",
            Material::Cloth => "cloth",
            Material::Earth => "earth",
            Material::Feather => "feather",
            Material::Other => "other",
        })
    }
}

/// The number written or printed across a seal.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(transparent)]
pub struct Seal(pub u32);

impl fmt::Display for Seal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.fmt(f)
    }
}

/// How a tag was compared with the thing in the hand.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum How {
    /// Typed off the packet.
    Typed,
    /// Scanned off the packet.
    Scanned,
    /// Picked from the list while reading it off the packet.
    Picked,
}

/// How material was dried.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum Drying {
    /// Open in the air of the room.
    InAir,
    /// Closed up with a drying agent.
    WithDesiccant,
    /// Under a press, between paper.
    Pressed,
    /// With gentle heat.
    LowHeat,
}

impl Drying {
    /// All of them, from the gentlest.
    pub const ALL: [Drying; 4] = [Drying::InAir, Drying::WithDesiccant, Drying::Pressed, Drying::LowHeat];
}

impl fmt::Display for Drying {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Drying::InAir => "in-air",
            Drying::WithDesiccant => "desiccant",
            Drying::Pressed => "pressed",
            Drying::LowHeat => "low-heat",
        })
    }
}

/// The tag that was read off the thing in the hand; it must be the order's own.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Check {
    /// How it was read.
    pub how: How,
    /// What was read.
    pub tag: Tag,
}

impl fmt::Display for Check {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let how = match self.how {
            How::Typed => "typed",
            How::Scanned => "scanned",
            How::Picked => "picked",
        };
        write!(f, "{how} {}", self.tag)
    }
}

/// What can hold part of a lot.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum Holder {
    /// A thing of the order.
    Thing(Thing),
    /// Left on the tools: it cannot be gathered again.
    Tools,
}

impl fmt::Display for Holder {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Holder::Thing(thing) => thing.fmt(f),
            Holder::Tools => f.write_str("tools"),
        }
    }
}

/// What happened to something entrusted, or made from it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum CustodyFact {
    /// A lot came in the client's wrapping, which becomes thing `W` of the same number.
    Received {
        /// Its number, from 1, in the order they came.
        lot: u8,
        /// What it is.
        material: Material,
        /// The seal it came under, if any.
        seal: Option<Seal>,
        /// Where it was put.
        place: Place,
        /// A photo of it as it came.
        photo: Option<Digest>,
        /// The share that is agreed to be kept back.
        keep_back: Share,
    },
    /// Something that is not material came along.
    CameAlong {
        /// The thing, a keepsake.
        thing: Thing,
        /// Where it was put.
        place: Place,
        /// A photo of it.
        photo: Option<Digest>,
    },
    /// Part of a lot went into a new envelope, which was closed.
    SplitOff {
        /// The open thing it came from.
        from: Thing,
        /// Which lot.
        lot: u8,
        /// The new envelope.
        into: Thing,
        /// How much of the lot.
        part: Share,
        /// True for the keep-back.
        keep_back: bool,
        /// The seal put on.
        seal: Option<Seal>,
        /// Where it was put.
        place: Place,
    },
    /// The client said yes to opening a keep-back.
    Released {
        /// The keep-back envelope.
        thing: Thing,
    },
    /// A wrapping, envelope or bag was opened, after its tag was compared.
    Opened {
        /// Which.
        thing: Thing,
        /// The tag that was read off it.
        check: Check,
    },
    /// It was closed again.
    Closed {
        /// Which.
        thing: Thing,
        /// The new seal, if one was put on.
        seal: Option<Seal>,
    },
    /// It was put somewhere else.
    Placed {
        /// Which.
        thing: Thing,
        /// Where.
        place: Place,
    },
    /// Material went from one holder to another.
    Moved {
        /// The open thing it came from.
        from: Thing,
        /// Which lot.
        lot: u8,
        /// Where it went.
        to: Holder,
        /// How much of the lot.
        part: Share,
    },
    /// What a thing holds was weighed, or judged by eye.
    Weighed {
        /// The thing.
        thing: Thing,
        /// Net of wrapping.
        reading: Reading<Mass>,
    },
    /// What a thing holds was weighed on a scale of the shelf.
    WeighedOn {
        /// The thing.
        thing: Thing,
        /// The scale.
        scale: ShelfId,
        /// Net of wrapping, with the doubt of that scale.
        reading: Reading<Mass>,
        /// The relative humidity of the room in per cent, where it was read: hair and petals take up moisture.
        air: Option<u8>,
    },
    /// How much of a lot a thing holds was judged by eye.
    Judged {
        /// The thing.
        thing: Thing,
        /// The lot.
        lot: u8,
        /// How much of the lot it looks like.
        part: Share,
        /// The doubt of that, one standard deviation.
        doubt: Share,
    },
    /// What a thing holds was dried, so it weighs less without anything being gone.
    Dried {
        /// The thing.
        thing: Thing,
        /// How.
        way: Drying,
        /// How long.
        over: Span,
    },
    /// A thing that was held for the client goes over to another order of the same client.
    PassedOn {
        /// Which.
        thing: Thing,
        /// The order it goes to.
        to: Tag,
    },
    /// A thing that another order of the same client passed on is a lot of this one, in wrapping `W` of its number.
    TakenOver {
        /// Its number, from 1, in the order they came.
        lot: u8,
        /// What it is.
        material: Material,
        /// The order it comes from.
        of: Tag,
        /// What it was there.
        thing: Thing,
        /// The seal on it, if any.
        seal: Option<Seal>,
        /// Where it was put.
        place: Place,
        /// The share that is agreed to be kept back.
        keep_back: Share,
    },
    /// The bench, its tools and the sheet on it are clear of this order's material.
    BenchCleared,
    /// It cannot be found.
    Lost {
        /// Which.
        thing: Thing,
    },
    /// It turned up again.
    Found {
        /// Which.
        thing: Thing,
        /// Where it is now.
        place: Place,
    },
}

impl fmt::Display for CustodyFact {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Received { lot, material, seal, place, photo, keep_back } => {
                let (seal, photo) = (Or(seal), Or(photo));
                write!(f, "received|{lot}|{material}|{seal}|{place}|{photo}|{}", keep_back.millionths())
            }
            Self::CameAlong { thing, place, photo } => write!(f, "came-along|{thing}|{place}|{}", Or(photo)),
            Self::SplitOff { from, lot, into, part, keep_back, seal, place } => {
                let kind = if *keep_back { "keep-back" } else { "part" };
                write!(f, "split-off|{from}|{lot}|{into}|{}|{kind}|{}|{place}", part.millionths(), Or(seal))
            }
            Self::Released { thing } => write!(f, "released|{thing}"),
            Self::Opened { thing, check } => write!(f, "opened|{thing}|{check}"),
            Self::Closed { thing, seal } => write!(f, "closed|{thing}|{}", Or(seal)),
            Self::Placed { thing, place } => write!(f, "placed|{thing}|{place}"),
            Self::Moved { from, lot, to, part } => write!(f, "moved|{from}|{lot}|{to}|{}", part.millionths()),
            Self::Weighed { thing, reading } => write!(f, "weighed|{thing}|{reading}"),
            Self::WeighedOn { thing, scale, reading, air } => {
                write!(f, "weighed-on|{thing}|{scale}|{reading}|{}", Or(air))
            }
            Self::Judged { thing, lot, part, doubt } => {
                write!(f, "judged|{thing}|{lot}|{}|{}", part.millionths(), doubt.millionths())
            }
            Self::Dried { thing, way, over } => write!(f, "dried|{thing}|{way}|{over}"),
            Self::PassedOn { thing, to } => write!(f, "passed-on|{thing}|{to}"),
            Self::TakenOver { lot, material, of, thing, seal, place, keep_back } => {
                let (seal, kept) = (Or(seal), keep_back.millionths());
                write!(f, "taken-over|{lot}|{material}|{of}|{thing}|{seal}|{place}|{kept}")
            }
            Self::BenchCleared => f.write_str("bench-cleared"),
            Self::Lost { thing } => write!(f, "lost|{thing}"),
            Self::Found { thing, place } => write!(f, "found|{thing}|{place}"),
        }
    }
}

impl<Q: fmt::Display> fmt::Display for Reading<Q> {
    /// The fixed text of the log.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let by = match self.by {
            Means::Scale => "scale",
            Means::Caliper => "caliper",
            Means::ByEye => "by-eye",
        };
        write!(f, "{}|{}|{by}", self.value, self.doubt)
    }
}
