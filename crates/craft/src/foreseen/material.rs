//! The client's material in the first layer: does it fit, how does it lie, and what light does it take.

use crate::cure::{Factor, MaterialShade, Shadow};
use crate::fact::{CustodyFact, Fact, Holder, Material};
use crate::geometry::Cavity;
use crate::id::Thing;
use crate::ledger::struck;
use crate::order::StoneSheet;
use crate::packing::{Crowding, Lie, Packing, PackingError, packing};
use crate::planner::Problem;
use crate::reading::Reading;
use crate::refusal::Refusal;
use crate::studio::{Held, Studio};
use crate::tag::Tag;
use crate::units::{Length, Mass, Volume};

/// How dark the material is: dark, the cautious end, for nobody asks for it.
const DARKNESS: Factor = Factor::ONE;

/// A share of one lot that goes into a stone.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Part {
    /// Which lot.
    pub lot: u8,
    /// What it is.
    pub material: Material,
    /// What that share of it weighs; `None` where the lot was not weighed, or no share is named yet.
    pub mass: Option<Mass>,
}

/// How a material lies in a layer.
pub const fn lie_of(material: Material) -> Lie {
    match material {
        Material::Hair | Material::Fur => Lie::Strands,
        Material::Ashes | Material::Milk | Material::Earth => Lie::Grains,
        // What nobody knows lies as what takes the most light.
        Material::Petals | Material::Cloth | Material::Feather | Material::Other => Lie::Sheets,
    }
}

/// Whether it goes in.
#[derive(Clone, Debug, PartialEq)]
pub enum Fits {
    /// Its weight is not known.
    NotWeighed,
    /// It goes in, so full.
    Fits(Packing),
    /// There is more of it than there is room.
    NoRoom(PackingError),
}

/// Where it comes to rest in the liquid.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Rests {
    /// It is heavier than resin and goes down to the face.
    Sinks,
    /// It is heavier than resin too, but holds air, and floats until that is out (common practice, no source).
    FloatsUntilWetted,
}

/// A part in the first layer.
#[derive(Clone, Debug, PartialEq)]
pub struct Packed {
    /// The part.
    pub part: Part,
    /// How it lies.
    pub lie: Lie,
    /// Whether it goes in.
    pub fits: Fits,
    /// Where it comes to rest.
    pub rests: Rests,
    /// What it does to the light below it, as far as is known.
    pub shadow: Option<Shadow>,
}

impl Packed {
    /// True where there is more of it than the plan's light was reckoned for.
    pub fn is_beyond_plan(&self) -> bool {
        match &self.fits {
            Fits::NotWeighed => false,
            Fits::Fits(packing) => packing.crowding != Crowding::Usual,
            Fits::NoRoom(_) => true,
        }
    }
}

/// How each part lies in a first layer of this volume.
pub fn packed(parts: &[Part], layer: Volume) -> Vec<Packed> {
    let each = |part: &Part| {
        let lie = lie_of(part.material);
        let fits = match part.mass {
            None => Fits::NotWeighed,
            Some(mass) => packing(lie, mass, layer).map_or_else(Fits::NoRoom, Fits::Fits),
        };
        let shadow = match (&fits, lie) {
            (_, Lie::Sheets) => Some(Shadow::Sheet),
            (Fits::Fits(packing), lie) => packing.shadow(lie, DARKNESS).ok(),
            _ => None,
        };
        let rests = if lie == Lie::Grains { Rests::Sinks } else { Rests::FloatsUntilWetted };
        Packed { part: *part, lie, fits, rests, shadow }
    };
    parts.iter().map(each).collect()
}

/// The shade of the parts in a first layer of each thickness from 0 to `thickest` tenths of a millimetre, as
/// [`Problem::packed`] wants it. Nothing where any of the parts was not weighed, for then the guess stands.
///
/// A part that fills more than is usual counts as it is, for the light below it falls with all of it. More than there is
/// room for cannot be laid, and whoever wants to is told so: it counts as the usual. Sheets count as their guess, and what
/// lies right under one is lit face-up.
pub fn shades(cavity: &Cavity, parts: &[Part], thickest: u16) -> Vec<MaterialShade> {
    if parts.is_empty() || parts.iter().any(|part| part.mass.is_none()) {
        return Vec::new();
    }
    let at = |tenths: u16| {
        let layer = cavity.volume_to(Length::from_micro(i64::from(tenths) * 100_000));
        let per_mm: f64 = parts.iter().map(|part| shade_per_mm(part, layer)).sum();
        let per_mm = Factor::new(per_mm.min(Factor::MOST)).unwrap_or(Factor::ZERO);
        MaterialShade { per_mm, doubt: MaterialShade::STRANDS.doubt }
    };
    (0..=thickest).map(at).collect()
}

fn shade_per_mm(part: &Part, layer: Volume) -> f64 {
    let lie = lie_of(part.material);
    let usual = Packing { solid: layer, filled: lie.usual(), crowding: Crowding::Usual };
    let packing = packing(lie, part.mass.unwrap_or(Mass::ZERO), layer).unwrap_or(usual);
    match packing.shadow(lie, DARKNESS) {
        Ok(Shadow::Scattered(shade)) => shade.per_mm.get(),
        _ => MaterialShade::SHEETS.per_mm.get(),
    }
}

/// The newest reading of a lot while its wrapping still held all of it.
pub fn reading_of_whole(held: &Held, lot: u8) -> Option<Reading<Mass>> {
    weighed_whole(held, lot).map(|(_, reading)| reading)
}

/// The same, with the entry that says so.
pub fn weighed_whole(held: &Held, lot: u8) -> Option<(u32, Reading<Mass>)> {
    let wrapping = Thing::wrapping(lot);
    let touches = |fact: &CustodyFact| match fact {
        CustodyFact::Moved { from, to, .. } => *from == wrapping || *to == Holder::Thing(wrapping),
        CustodyFact::SplitOff { from, into, .. } => *from == wrapping || *into == wrapping,
        _ => false,
    };
    let struck = struck(&held.order.log);
    let mut standing = held.order.log.entries().filter(|(number, _)| !struck.contains(number));
    let first_touch = standing.find_map(|(number, entry)| match &entry.fact {
        Fact::Custody(fact) if touches(fact) => Some(number),
        _ => None,
    });
    let before = |number: u32| first_touch.is_none_or(|touch| number < touch);
    let mut readings = held.ledger.custody.weighed.iter().rev();
    let whole = readings.find(|(number, of, _)| *of == wrapping && before(*number));
    whole.map(|(number, _, reading)| (*number, *reading))
}

impl Studio {
    /// What goes into a stone, lot by lot, with its weight where the lot was weighed when it came.
    ///
    /// # Errors
    /// [`Refusal::NoOrder`].
    pub fn parts_of(&self, tag: Tag, stone: &StoneSheet) -> Result<Vec<Part>, Refusal> {
        let held = self.order(tag)?;
        let lots = &held.ledger.custody.lots;
        if stone.shares.is_empty() {
            let all = lots.iter().map(|(lot, came)| Part { lot: *lot, material: came.material, mass: None });
            return Ok(all.collect());
        }
        let part = |share: &crate::order::LotShare| {
            let material = lots.get(&share.lot).map_or(Material::Hair, |lot| lot.material);
            let whole = reading_of_whole(held, share.lot);
            let mass = whole.map(|whole| Mass::from_mg(whole.value.mg() * share.part.fraction()));
            Part { lot: share.lot, material, mass }
        };
        Ok(stone.shares.iter().map(part).collect())
    }

    /// Puts the shade of what is known to go into a stone into its problem.
    ///
    /// # Errors
    /// There is no such order, or no such mould.
    pub(crate) fn pack(&self, tag: Tag, stone: &StoneSheet, problem: &mut Problem) -> Result<(), Refusal> {
        problem.packed = shades(&self.cavity_of(stone)?, &self.parts_of(tag, stone)?, problem.face);
        Ok(())
    }
}
