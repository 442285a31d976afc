//! What goes into which pot, for all stones of an order together.

use std::collections::BTreeMap;

use super::RESIN;
use crate::dosing::{Counted, DROP, Dosing, DosingError, Mixing, Pot, Pour, Scoop, dose};
use crate::geometry::FINEST;
use crate::id::ShelfId;
use crate::order::StoneSheet;
use crate::planner::Plan;
use crate::refusal::Refusal;
use crate::shelf::What;
use crate::shrinkage::{PourMark, Shrinkage, ShrinkageError, pour_marks};
use crate::studio::Studio;
use crate::tag::Tag;
use crate::units::{Length, Load, Mass};

/// Fewer drops than this are not mixed well (common practice, no source).
const FEWEST_DROPS: u16 = 20;

/// Why no pots can be named; says what would be right.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum PotsError {
    /// Something is not on the shelf.
    #[error(transparent)]
    Shelf(#[from] Refusal),
    /// A layer that its mould does not take.
    #[error(transparent)]
    Marks(#[from] ShrinkageError),
    /// A load no pot can have.
    #[error(transparent)]
    Dosing(#[from] DosingError),
}

/// Scoops to drops for one pot.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Counts {
    /// The load that is wanted.
    pub load: Load,
    /// Scoops to drops; `None` where even one scoop is far too much: thin it first.
    pub counted: Option<Counted>,
    /// The place in the swatch book of the mix that comes nearest to it, where one comes within a third.
    pub swatch: Option<usize>,
    /// The place in it of the mix that was weighed, from which the scoop is known; `None` where it is a guess.
    pub scoop_of: Option<usize>,
    /// Whole drops that are left once the pot is poured.
    pub drops_left: u16,
}

/// The pots of one pigment in one resin.
#[derive(Clone, Debug, PartialEq)]
pub struct OrderPots {
    /// The resin.
    pub resin: ShelfId,
    /// The pigment.
    pub pigment: ShelfId,
    /// Which stones they are for.
    pub stones: Vec<u8>,
    /// What is weighed.
    pub dosing: Dosing,
    /// What is counted instead, one for each pot.
    pub counts: Vec<Counts>,
}

impl Studio {
    /// How much is poured for each layer of a stone, and to which mark, with what craft resin usually shrinks by.
    ///
    /// # Errors
    /// The mould is not on the shelf, or does not take the layers.
    pub fn marks_of(&self, stone: &StoneSheet, layers: &[Length]) -> Result<Vec<PourMark>, PotsError> {
        Ok(pour_marks(&self.cavity_of(stone)?, layers, Shrinkage::TYPICAL, FINEST)?)
    }

    /// The pots of an order for the stones whose plan is kept.
    ///
    /// # Errors
    /// As [`Studio::pots_of`].
    pub fn kept_pots(&self, tag: Tag) -> Result<Vec<OrderPots>, PotsError> {
        let stones = &self.order(tag)?.order.sheet.stones;
        let kept = stones.iter().filter_map(|stone| Some((stone, stone.plan.as_ref()?)));
        self.pots_of(tag, &kept.collect::<Vec<_>>())
    }

    /// The pots for these stones of an order with their plans: what was laid of them already is left out.
    ///
    /// # Errors
    /// Something is not on the shelf, a mould does not take a layer, or a load is beyond the masterbatch.
    pub fn pots_of(&self, tag: Tag, stones: &[(&StoneSheet, &Plan)]) -> Result<Vec<OrderPots>, PotsError> {
        let begun = &self.order(tag)?.ledger.pours.stones;
        let mut groups: BTreeMap<(ShelfId, ShelfId), (Vec<u8>, Vec<Pour>)> = BTreeMap::new();
        for (stone, plan) in stones {
            let thicknesses: Vec<Length> = plan.layers.iter().map(|layer| layer.thickness).collect();
            let marks = self.marks_of(stone, &thicknesses)?;
            let laid = begun.get(&stone.no).map_or(0, |begun| begun.layers.len());
            let left = plan.layers.iter().zip(&marks).skip(laid);
            let key = (stone.resin.clone(), stone.pigment.clone());
            let (numbers, pours) = groups.entry(key).or_default();
            for (layer, mark) in left {
                pours.push(Pour::of(layer.load, mark.poured, RESIN)?);
            }
            if laid < plan.layers.len() {
                numbers.push(stone.no);
            }
        }
        let group = |((resin, pigment), (stones, pours)): (_, (Vec<u8>, Vec<Pour>))| {
            let dosing = dose(&pours, &Mixing::USUAL)?;
            let counts = self.counts(&pigment, &dosing)?;
            Ok(OrderPots { resin, pigment, stones, dosing, counts })
        };
        groups.into_iter().filter(|(_, (stones, _))| !stones.is_empty()).map(group).collect()
    }

    fn counts(&self, pigment: &ShelfId, dosing: &Dosing) -> Result<Vec<Counts>, Refusal> {
        let What::Pigment(pigment) = &self.item(pigment)?.what else { return Ok(Vec::new()) };
        let ratio = |scoops: u16, drops: u16| f64::from(scoops) / f64::from(drops.max(1));
        // What was weighed last tells most of the scoop that is used now.
        let weighed = pigment
            .swatches
            .iter()
            .enumerate()
            .rev()
            .find_map(|(place, swatch)| Some((place, Scoop::from_swatch(swatch, swatch.load?).ok()?)));
        let (scoop_of, scoop) = weighed.map_or((None, Scoop::TYPICAL), |(place, scoop)| (Some(place), scoop));
        let each = |pot: &Pot| {
            let load = pot.load;
            let counted = scoop.count(load, drops_of(pot.mixed).max(FEWEST_DROPS));
            let off = |wanted: Counted, scoops: u16, drops: u16| {
                (ratio(scoops, drops) / ratio(wanted.scoops, wanted.drops)).ln().abs()
            };
            let swatch = counted.and_then(|wanted| {
                let book = pigment.swatches.iter().enumerate();
                let tried = book.filter(|(_, swatch)| swatch.scoops > 0 && swatch.drops > 0);
                let near = tried.map(|(place, swatch)| (place, off(wanted, swatch.scoops, swatch.drops)));
                near.filter(|(_, off)| *off < 0.3).min_by(|a, b| a.1.total_cmp(&b.1)).map(|(place, _)| place)
            });
            let mixed = counted.map_or(0, |counted| counted.drops);
            let drops_left = mixed.saturating_sub(drops_of(pot.poured));
            Counts { load, counted, swatch, scoop_of, drops_left }
        };
        Ok(dosing.pots.iter().map(each).collect())
    }
}

/// Whole drops of a mass: those that hold all of it.
fn drops_of(mass: Mass) -> u16 {
    let one = DROP.micro().max(1);
    u16::try_from((mass.micro().max(0) + one - 1) / one).unwrap_or(u16::MAX)
}
