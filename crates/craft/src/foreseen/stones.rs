//! How many stones one lot makes, whatever goes wrong in measuring it out.

use crate::spread::{AtHand, Portioning, Spread, Wish, spread};
use crate::units::Share;

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
