//! How many stones one lot makes, whatever goes wrong in measuring it out.

use super::reading_of_whole;
use crate::compare::Scale;
use crate::fact::Holder;
use crate::id::ThingKind;
use crate::order::{LotShare, StoneSheet};
use crate::refusal::Refusal;
use crate::shelf::What;
use crate::spread::{AtHand, Portioning, Spread, Wish, spread};
use crate::studio::{Held, Studio};
use crate::tag::Tag;
use crate::units::{Mass, Share};

/// The most candidates that anybody makes of one lot.
const MOST: u8 = 40;

/// What one lot makes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Candidates {
    /// The most stones of this share that are safe at the worst; 0 where not even one is.
    pub most: u8,
    /// What each gets.
    pub each: Share,
    /// How that leaves the lot; `None` where not even one is safe.
    pub spread: Option<Spread>,
    /// The most that one stone can have.
    pub most_for_one: Share,
}

/// The most stones that can each have `each` of what is at hand, with one practice stone of a stand-in before them, so
/// that the keep-back is whole even where every portion comes out too large.
pub fn candidates(lot: AtHand, each: Share, cavities: u8, portioning: Portioning) -> Candidates {
    let of = |stones: u8, each: Option<Share>| {
        spread(lot, Wish { stones, each, practice: 1, cavities: cavities.max(1) }, portioning).ok()
    };
    // More stones leave less for each, so what fails for some fails for more of them.
    let best = (1..=MOST).map_while(|stones| of(stones, Some(each))).last();
    let most_for_one = of(1, None).map_or(Share::NONE, |alone| alone.each);
    Candidates { most: best.map_or(0, |spread| spread.stones), each, spread: best, most_for_one }
}

/// What is at hand of a lot: all that lies in a packet that is here, the keep-back with it, and nothing that is in a
/// stone already.
pub(super) fn at_hand(held: &Held, lot: u8) -> Option<AtHand> {
    let custody = &held.ledger.custody;
    let here = |holder: &Holder| match holder {
        Holder::Thing(thing) if thing.kind != ThingKind::Stone => {
            custody.things.get(thing).is_some_and(crate::ledger::Held::is_here)
        }
        _ => false,
    };
    let left: u32 = custody
        .holders(lot)
        .filter(|(holder, _)| here(holder))
        .map(|(_, share)| share.millionths())
        .fold(0, u32::saturating_add);
    let keep_back = custody.lots.get(&lot)?.keep_back;
    Some(AtHand { left: Share::from_millionths(left), keep_back })
}

impl Studio {
    /// For each material that a stone names: its lot, and how many stones like this one what is left of it makes. Where
    /// the lot was weighed and there is a scale, portions are taken as weighed; else they are taken by eye.
    ///
    /// # Errors
    /// There is no such order.
    pub fn candidates_of(
        &self,
        tag: Tag,
        stone: &StoneSheet,
        scale: Option<&Scale>,
    ) -> Result<Vec<(u8, Candidates)>, Refusal> {
        let held = self.order(tag)?;
        let cavities = match self.shelf().get(&stone.mould).map(|item| &item.what) {
            Some(What::Mould(mould)) => u8::try_from(mould.cells.len()).unwrap_or(u8::MAX),
            _ => 1,
        };
        let of = |share: &LotShare| {
            let weighed = scale.zip(reading_of_whole(held, share.lot));
            let portioning = weighed.map_or(Portioning::BY_EYE, |(scale, whole)| {
                let portion = Mass::from_mg(whole.value.mg() * share.part.fraction());
                Portioning::weighed(scale, portion, Portioning::BY_EYE.loss)
            });
            Some((share.lot, candidates(at_hand(held, share.lot)?, share.part, cavities, portioning)))
        };
        Ok(stone.shares.iter().filter_map(of).collect())
    }
}
