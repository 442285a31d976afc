//! Candidate stones from one lot, so that the keep-back is safe even where every portion comes out too large.

use std::fmt;

use crate::compare::{COVERAGE, Scale};
use crate::units::{Mass, Share};

/// What is at hand of a lot, as shares of all that was entrusted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct AtHand {
    /// What is left of it, the keep-back included.
    pub left: Share,
    /// What is always kept back.
    pub keep_back: Share,
}

/// How well a portion can be measured out.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Portioning {
    /// Standard uncertainty of a portion, as a share of that portion.
    pub doubt: Share,
    /// What each portion leaves on the tools, as a share of the whole lot.
    pub loss: Share,
}

impl Portioning {
    /// By eye: a quarter, and a hundredth of the lot on the tools (common practice, no source).
    pub const BY_EYE: Portioning =
        Portioning { doubt: Share::from_millionths(250_000), loss: Share::from_millionths(10_000) };

    /// On a scale, for portions of about `portion`.
    pub fn weighed(scale: &Scale, portion: Mass, loss: Share) -> Self {
        let doubt = if portion.is_positive() { scale.net_doubt().mg() / portion.mg() } else { 1.0 };
        Self { doubt: rounded_up(doubt.min(1.0)), loss }
    }
}

/// A share not below `part` of the whole.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a share of at most a few wholes, never below nothing"
)]
fn rounded_up(part: f64) -> Share {
    Share::from_millionths((part * 1e6 - 1e-6).ceil().clamp(0.0, 4e9) as u32)
}

/// How a lot is spread over candidate stones.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Spread {
    /// How many stones hold some of it.
    pub stones: u8,
    /// Practice stones before: of a stand-in, never of what was entrusted.
    pub practice: u8,
    /// What each stone gets.
    pub each: Share,
    /// What is left where all goes as meant, the keep-back included.
    pub left: Share,
    /// What is left where every portion comes out too large by twice its doubt: never less than the keep-back.
    pub left_at_worst: Share,
    /// How often the tray is filled.
    pub rounds: u8,
}

/// Why a lot cannot be spread so; says what would be right.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum SpreadError {
    /// No stone, or a tray without a cavity.
    Nothing,
    /// The keep-back is all there is, or more.
    OnlyKeepBack,
    /// It could take from the keep-back.
    TooMuch {
        /// The most that each of so many stones can get.
        each: Share,
        /// How many stones can have as much as was wanted.
        stones: u8,
    },
}

fn percent(share: Share) -> f64 {
    (share.fraction() * 1000.0).floor() / 10.0
}

impl fmt::Display for SpreadError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Nothing => f.write_str("give at least one stone, and a tray with at least one cavity"),
            Self::OnlyKeepBack => {
                f.write_str("what is left is the keep-back; it is only opened with the client's recorded yes")
            }
            Self::TooMuch { each, stones: 0 } => write!(
                f,
                "that could take from the keep-back; give each stone at most {} % of the lot",
                percent(*each)
            ),
            Self::TooMuch { each, stones } => write!(
                f,
                "that could take from the keep-back; give each stone at most {} % of the lot, or make {stones}",
                percent(*each)
            ),
        }
    }
}

impl std::error::Error for SpreadError {}

/// What is wanted of a lot.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Wish {
    /// Candidate stones.
    pub stones: u8,
    /// What each is to get; none for as much as is safe.
    pub each: Option<Share>,
    /// Practice stones before.
    pub practice: u8,
    /// Cavities of the tray.
    pub cavities: u8,
}

/// Spreads a lot over candidate stones. The worst case is taken with all portions too large at once by twice their
/// doubt, because a hand that takes too much takes too much each time.
///
/// # Errors
/// Where the keep-back would not be safe; says how much each stone may get, or how many stones may get what was wanted.
pub fn spread(lot: AtHand, wish: Wish, portioning: Portioning) -> Result<Spread, SpreadError> {
    if wish.stones == 0 || wish.cavities == 0 {
        return Err(SpreadError::Nothing);
    }
    let free = match lot.left.less(lot.keep_back) {
        Some(free) if free > Share::NONE => u64::from(free.millionths()),
        _ => return Err(SpreadError::OnlyKeepBack),
    };
    let safe = safe_each(free, wish.stones, portioning);
    let each = wish.each.unwrap_or(safe);
    if each > safe || each == Share::NONE {
        let many = (1..wish.stones).rev().find(|fewer| each <= safe_each(free, *fewer, portioning));
        return Err(SpreadError::TooMuch {
            each: safe,
            stones: many.filter(|_| each > Share::NONE).unwrap_or(0),
        });
    }
    let stones = u64::from(wish.stones);
    let loss = u64::from(portioning.loss.millionths());
    let taken = stones * (u64::from(each.millionths()) + loss);
    let left = |taken: u64| {
        let rest = u64::from(lot.left.millionths()).saturating_sub(taken);
        Share::from_millionths(u32::try_from(rest).unwrap_or(0))
    };
    let filled = u16::from(wish.stones) + u16::from(wish.practice);
    Ok(Spread {
        stones: wish.stones,
        practice: wish.practice,
        each,
        left: left(taken),
        left_at_worst: left(stones * (at_worst(each, portioning) + loss)),
        rounds: u8::try_from(filled.div_ceil(u16::from(wish.cavities))).unwrap_or(u8::MAX),
    })
}

/// A portion that came out too large by twice its doubt, in millionths, rounded up.
fn at_worst(each: Share, portioning: Portioning) -> u64 {
    let millionths = u64::from(each.millionths());
    // Twice the doubt, in millionths of the portion.
    let over = 2 * u64::from(portioning.doubt.millionths());
    debug_assert!((COVERAGE - 2.0).abs() < 1e-12, "the house's coverage is two");
    millionths + (millionths * over).div_ceil(1_000_000)
}

/// The most that each of so many stones may get.
fn safe_each(free: u64, stones: u8, portioning: Portioning) -> Share {
    let room = (free / u64::from(stones)).saturating_sub(u64::from(portioning.loss.millionths()));
    let over = 1_000_000 + 2 * u64::from(portioning.doubt.millionths());
    Share::from_millionths(u32::try_from(room * 1_000_000 / over).unwrap_or(0))
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn third() -> AtHand {
        AtHand { left: Share::WHOLE, keep_back: Share::of(1, 3) }
    }

    fn wish(stones: u8, each: Option<Share>) -> Wish {
        Wish { stones, each, practice: 1, cavities: 4 }
    }

    #[test]
    fn three_stones_by_eye_leave_the_keep_back_even_at_the_worst() {
        // Worked by hand: (2/3)/3 less 1 % is 21.2 %, and with half as much again that is 14.1 %.
        let spread = spread(third(), wish(3, None), Portioning::BY_EYE).unwrap();
        assert_eq!(spread.each, Share::from_millionths(141_481));
        assert!(spread.left_at_worst >= Share::of(1, 3) && spread.left > spread.left_at_worst);
        assert!(
            spread.left_at_worst < Share::from_millionths(333_340),
            "no more is held back than is needed"
        );
        assert_eq!((spread.practice, spread.rounds), (1, 1));
        let exact = Portioning { doubt: Share::NONE, loss: Share::NONE };
        assert_eq!(
            super::spread(third(), wish(2, None), exact).unwrap().each,
            Share::from_millionths(333_333)
        );
    }

    /// What is left, the keep-back, stones, doubt and loss of a portion, and what each stone may have, all but the
    /// stones in millionths. By hand: (left − kept)/stones less the loss, over one and twice the doubt. That a hand
    /// may be out by twice its doubt is the coverage of JCGM 100:2008, 6.3.3; the doubts themselves are common
    /// practice, no source.
    const SHARES: [(u32, u32, u8, u32, u32, u32); 5] = [
        (1_000_000, 333_333, 3, 250_000, 10_000, 141_481),
        (1_000_000, 333_333, 2, 0, 0, 333_333),
        (800_000, 200_000, 4, 100_000, 10_000, 116_666),
        (1_000_000, 0, 1, 250_000, 0, 666_666),
        (500_000, 100_000, 5, 50_000, 5_000, 68_181),
    ];

    fn shares_hold(each: impl Fn(AtHand, u8, Portioning) -> Share) -> bool {
        let share = Share::from_millionths;
        SHARES.iter().all(|&(left, kept, stones, doubt, loss, wanted)| {
            let lot = AtHand { left: share(left), keep_back: share(kept) };
            let portioning = Portioning { doubt: share(doubt), loss: share(loss) };
            each(lot, stones, portioning).millionths().abs_diff(wanted) <= 1
        })
    }

    fn safe(lot: AtHand, stones: u8, by: Portioning) -> Share {
        spread(lot, wish(stones, None), by).unwrap().each
    }

    /// Stone by stone out of the bag, each portion too large by twice its doubt: the most that leaves the keep-back,
    /// found by halving.
    fn stone_by_stone(lot: AtHand, stones: u8, by: Portioning) -> Share {
        let of = |share: Share| i64::from(share.millionths());
        let leaves = |each: i64| {
            let mut bag = of(lot.left) * 1_000_000;
            for _ in 0..stones {
                bag -= (each + of(by.loss)) * 1_000_000;
                bag -= 2 * of(by.doubt) * each;
            }
            bag >= of(lot.keep_back) * 1_000_000
        };
        let (mut safe, mut too_much) = (0, 1_000_001);
        while too_much - safe > 1 {
            let middle = i64::midpoint(safe, too_much);
            if leaves(middle) { safe = middle } else { too_much = middle }
        }
        Share::from_millionths(u32::try_from(safe).unwrap())
    }

    #[test]
    fn each_stone_gets_what_the_worst_hand_leaves_room_for() {
        assert!(shares_hold(safe));
        assert!(shares_hold(stone_by_stone), "second method");
        let once = |lot, stones, by: Portioning| {
            let half = Share::from_millionths(by.doubt.millionths() / 2);
            safe(lot, stones, Portioning { doubt: half, ..by })
        };
        assert!(!shares_hold(once), "broken: once the doubt for twice");
        let clean = |lot, stones, by: Portioning| safe(lot, stones, Portioning { loss: Share::NONE, ..by });
        assert!(!shares_hold(clean), "broken: nothing on the tools");
        let open = |lot: AtHand, stones, by| safe(AtHand { keep_back: Share::NONE, ..lot }, stones, by);
        assert!(!shares_hold(open), "broken: the keep-back given away");
    }

    #[test]
    fn too_much_says_how_much_or_how_many_would_be_safe() {
        let refused = spread(third(), wish(3, Some(Share::of(20, 100))), Portioning::BY_EYE).unwrap_err();
        assert_eq!(refused, SpreadError::TooMuch { each: Share::from_millionths(141_481), stones: 2 });
        assert_eq!(
            refused.to_string(),
            "that could take from the keep-back; give each stone at most 14.1 % of the lot, or make 2"
        );
        let all_kept = AtHand { left: Share::of(1, 3), keep_back: Share::of(1, 3) };
        assert_eq!(spread(all_kept, wish(1, None), Portioning::BY_EYE), Err(SpreadError::OnlyKeepBack));
        assert_eq!(spread(third(), wish(0, None), Portioning::BY_EYE), Err(SpreadError::Nothing));
        assert!(matches!(
            spread(third(), wish(200, None), Portioning::BY_EYE),
            Err(SpreadError::TooMuch { stones: 0, .. })
        ));
    }

    #[test]
    fn a_scale_lets_each_stone_have_more_than_the_eye_does() {
        let scale = Scale { readability: Mass::from_mg(1.0), repeatability: Mass::ZERO };
        let weighed = Portioning::weighed(&scale, Mass::from_mg(10.0), Share::of(1, 100));
        assert!(weighed.doubt < Share::of(6, 100) && weighed.doubt > Share::of(5, 100), "{weighed:?}");
        let each = |portioning| spread(third(), wish(3, None), portioning).unwrap().each;
        assert!(each(weighed) > each(Portioning::BY_EYE));
    }

    proptest! {
        #[test]
        fn the_keep_back_is_never_touched_and_a_portion_more_would_touch_it(
            left in 1_u32..=1_000_000, keep in 10_000_u32..=900_000, stones in 1_u8..12,
            doubt in 0_u32..500_000, loss in 0_u32..30_000,
        ) {
            let lot = AtHand { left: Share::from_millionths(left), keep_back: Share::from_millionths(keep) };
            let portioning =
                Portioning { doubt: Share::from_millionths(doubt), loss: Share::from_millionths(loss) };
            if let Ok(safe) = spread(lot, wish(stones, None), portioning) {
                prop_assert!(safe.left_at_worst >= lot.keep_back);
                // One percent more for each would take from it, unless that is below a millionth.
                let more = Share::from_millionths(safe.each.millionths() + safe.each.millionths() / 100 + 20);
                prop_assert!(spread(lot, wish(stones, Some(more)), portioning).is_err());
            }
        }
    }
}
