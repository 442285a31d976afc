//! How many stones a material is shared out over: what each can have at most, and whether the first layer takes it.

use super::stones::at_hand;
use super::{lie_of, reading_of_whole};
use crate::compare::{COVERAGE, Scale};
use crate::order::StoneSheet;
use crate::reading::Reading;
use crate::spread::{AtHand, Portioning, Wish, spread};
use crate::studio::{PlanningError, Studio};
use crate::tag::Tag;
use crate::units::{Mass, Share};

/// Up to so many stones are looked at.
pub const MOST_STONES: u8 = 8;

/// A lot shared out over so many stones.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Sharing {
    /// How many stones.
    pub stones: u8,
    /// The most that each can have so that the keep-back is whole even where every portion comes out too large.
    pub each: Share,
    /// What is left of the lot then, at the worst, the keep-back included.
    pub left_at_worst: Share,
    /// What that much weighs where the lot weighs all it may: its reading and twice its doubt more.
    pub mass: Option<Mass>,
    /// True where the first layer has room for all of it; none where the lot was not weighed.
    pub has_room: Option<bool>,
    /// True where it is as much as the stone is planned with.
    pub is_enough: bool,
}

/// What can be said before it is known how many stones there will be.
#[derive(Clone, Debug, PartialEq)]
pub struct HowMany {
    /// The lot.
    pub lot: u8,
    /// What each is planned with.
    pub wanted: Share,
    /// One answer for each number of stones from one on, as far as something is left for each.
    pub rows: Vec<Sharing>,
    /// The most stones that can each have what is planned; none where not even one can.
    pub most: Option<u8>,
    /// The most of it that usually goes into the first layer, and how much of the lot that surely is; none where the lot
    /// was not weighed.
    pub room: Option<(Mass, Share)>,
    /// How well a portion is measured out where it is taken by eye, and none where it is weighed.
    pub by_eye: bool,
}

/// How a portion is measured: by eye as a part of the heap, or on a scale as so much of what the whole was weighed to be.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Measured {
    ByEye,
    /// The doubt of a weighing, and of the reading of the whole, both as a part of the whole.
    Weighed {
        each: f64,
        whole: f64,
    },
}

impl Measured {
    /// On the scale where that is surer for a portion of this size, else by eye.
    fn of(scale: Option<&Scale>, whole: Option<Reading<Mass>>, portion: Share) -> Self {
        let whole = whole.filter(|whole| whole.value.is_positive());
        let Some((scale, whole)) = scale.zip(whole) else { return Self::ByEye };
        let all_mg = whole.value.mg();
        let weighed =
            Self::Weighed { each: scale.net_doubt().mg() / all_mg, whole: whole.doubt.mg() / all_mg };
        if weighed.portioning(portion).doubt < Portioning::BY_EYE.doubt { weighed } else { Self::ByEye }
    }

    /// Of a portion of this size. The doubt of the whole goes with each portion the same way, so it is added.
    fn portioning(self, portion: Share) -> Portioning {
        match self {
            Self::ByEye => Portioning::BY_EYE,
            Self::Weighed { each, whole } => {
                let part = portion.fraction();
                let doubt = if part > 0.0 { (each / part + whole).min(1.0) } else { 1.0 };
                Portioning { doubt: rounded(doubt, f64::ceil), loss: Portioning::BY_EYE.loss }
            }
        }
    }

    /// The most that each of so many stones can have. Weighed, what a scale leaves in doubt is the same for a small portion
    /// as for a large one: twice that and the loss are taken off, and what is left is shared by one and twice the doubt of
    /// the whole.
    fn most(self, lot: AtHand, stones: u8) -> Share {
        let free = lot.left.less(lot.keep_back).unwrap_or(Share::NONE).fraction() / f64::from(stones);
        let room = free - Portioning::BY_EYE.loss.fraction();
        let most = match self {
            Self::ByEye => room / (1.0 + COVERAGE * Portioning::BY_EYE.doubt.fraction()),
            Self::Weighed { each, whole } => (room - COVERAGE * each) / (1.0 + COVERAGE * whole),
        };
        rounded(most, f64::floor)
    }
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a part of a whole, from nothing to one"
)]
fn rounded(part: f64, by: fn(f64) -> f64) -> Share {
    Share::from_millionths(by(part * 1e6).clamp(0.0, 1e6) as u32)
}

/// What each of so many stones can have at most, with how that leaves the lot; none where nothing is left for them. What
/// rounding costs is given back, so that the worst case never takes from the keep-back.
fn shared(
    lot: AtHand,
    stones: u8,
    (scale, whole): (Option<&Scale>, Option<Reading<Mass>>),
) -> Option<(Share, Share)> {
    // A scale helps where the portion is large enough for it: asked of the portion by eye first.
    let eye = Measured::ByEye.most(lot, stones);
    let weighed = Measured::of(scale, whole, eye);
    let most = weighed.most(lot, stones);
    let measured = Measured::of(scale, whole, most);
    let most = if measured == weighed { most } else { eye };
    let tried = (0..8).find_map(|off| {
        let each = Share::from_millionths(most.millionths().checked_sub(off)?);
        let wish = Wish { stones, each: Some(each), practice: 0, cavities: 1 };
        let how = Measured::of(scale, whole, each).portioning(each);
        spread(lot, wish, how).ok().map(|spread| (each, spread.left_at_worst))
    });
    tried.filter(|(each, _)| *each > Share::NONE)
}

/// What a lot gives to one stone, to two, and so on, and the most stones that can have what is planned.
///
/// `room` is the most that usually goes into the first layer.
pub fn how_many(
    (lot, at_hand): (u8, AtHand),
    wanted: Share,
    room: Mass,
    (scale, whole): (Option<&Scale>, Option<Reading<Mass>>),
) -> HowMany {
    let whole = whole.filter(|whole| whole.value.is_positive());
    // All it may weigh: the room is asked of the worst.
    let heaviest_mg = whole.map(|whole| whole.value.mg() + COVERAGE * whole.doubt.mg());
    let row = |stones: u8| {
        let (each, left_at_worst) = shared(at_hand, stones, (scale, whole))?;
        let mass = heaviest_mg.map(|mg| Mass::from_mg(mg * each.fraction()));
        let has_room = mass.map(|mass| mass <= room);
        let is_enough = wanted > Share::NONE && each >= wanted;
        Some(Sharing { stones, each, left_at_worst, mass, has_room, is_enough })
    };
    // More stones leave less for each, so the first that gets nothing is the last.
    let rows: Vec<Sharing> = (1..=MOST_STONES).map_while(row).collect();
    let most = rows.iter().rev().find(|row| row.is_enough).map(|row| row.stones);
    let room = heaviest_mg.map(|mg| (room, rounded(room.mg() / mg, f64::floor)));
    let first = rows.first().map_or(Share::NONE, |row| row.each);
    HowMany { lot, wanted, rows, most, room, by_eye: Measured::of(scale, whole, first) == Measured::ByEye }
}

impl Studio {
    /// For each material that came: how many more stones like this one it is enough for, what each of so many can have at
    /// most, and whether the first layer takes that.
    ///
    /// # Errors
    /// There is no such order, or no such mould.
    pub fn how_many(
        &self,
        tag: Tag,
        stone: &StoneSheet,
        scale: Option<&Scale>,
    ) -> Result<Vec<HowMany>, PlanningError> {
        let held = self.order(tag)?;
        let layer = self.cavity_of(stone)?.volume_to(stone.face);
        let of = |(lot, came): (&u8, &crate::ledger::Lot)| {
            let wanted = stone.shares.iter().find(|share| share.lot == *lot);
            let lie = lie_of(came.material);
            let room = Mass::from_mg(layer.mm3() * lie.usual().fraction() * lie.density().g_per_cm3());
            let wanted = wanted.map_or(Share::NONE, |share| share.part);
            let known = (scale, reading_of_whole(held, *lot));
            Some(how_many((*lot, at_hand(held, *lot)?), wanted, room, known))
        };
        Ok(held.ledger.custody.lots.iter().filter_map(of).collect())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::reading::Means;
    use proptest::prelude::*;

    fn third() -> AtHand {
        AtHand { left: Share::WHOLE, keep_back: Share::of(1, 3) }
    }

    fn reading(mg: f64, doubt: f64) -> Reading<Mass> {
        Reading { value: Mass::from_mg(mg), doubt: Mass::from_mg(doubt), by: Means::Scale }
    }

    fn fine() -> Scale {
        Scale { readability: Mass::from_mg(1.0), repeatability: Mass::ZERO }
    }

    #[test]
    fn by_eye_each_of_so_many_gets_what_the_worst_hand_leaves() {
        let told = how_many((1, third()), Share::of(1, 10), Mass::from_mg(5.0), (None, None));
        // By hand: (2/3)/n less 1 %, shared by one and twice a quarter.
        for row in &told.rows {
            let by_hand = ((2.0 / 3.0) / f64::from(row.stones) - 0.01) / 1.5;
            assert!((row.each.fraction() - by_hand).abs() < 1e-5, "{row:?}");
            assert!(row.left_at_worst >= Share::of(1, 3), "the keep-back stays whole: {row:?}");
        }
        assert_eq!((told.rows.len(), told.most, told.by_eye), (8, Some(4), true));
        assert_eq!((told.room, told.rows[0].has_room), (None, None), "not weighed, so nobody knows");
    }

    #[test]
    fn a_reading_says_whether_the_first_layer_has_room_at_the_worst() {
        let eye = |doubt| {
            let whole = Some(reading(60.0, doubt));
            how_many((1, third()), Share::of(1, 20), Mass::from_mg(9.0), (None, whole))
        };
        let rooms =
            |told: &HowMany| told.rows.iter().map(|row| row.has_room == Some(true)).collect::<Vec<_>>();
        // 60 mg: 43.8 %, 21.6 % and 14.1 % of it are 26, 13 and 8.5 mg; of 72 mg the third would be 10.2 mg.
        assert_eq!(rooms(&eye(0.0))[..3], [false, false, true]);
        assert_eq!(rooms(&eye(6.0))[..3], [false, false, false], "its doubt may be all against the maker");
        assert_eq!(eye(0.0).room.unwrap().1, Share::from_millionths(150_000));
    }

    #[test]
    fn a_scale_gives_more_but_never_more_than_the_reading_of_the_whole_is_sure() {
        let each = |scale: Option<&Scale>, whole: Reading<Mass>| {
            how_many((1, third()), Share::of(1, 20), Mass::from_mg(9.0), (scale, Some(whole))).rows[1].each
        };
        let scale = fine();
        let (eye, sure) = (each(None, reading(300.0, 0.5)), each(Some(&scale), reading(300.0, 0.5)));
        assert!(sure > eye, "{sure:?} by scale, {eye:?} by eye");
        let judged = each(Some(&scale), reading(300.0, 15.0));
        assert!(judged < sure && judged > eye, "the doubt of the whole counts: {judged:?}");
        assert_eq!(each(Some(&scale), reading(300.0, 100.0)), eye, "by eye is then as good");
        assert_eq!(each(Some(&scale), reading(3.0, 0.5)), eye, "too little for this scale");
    }

    #[test]
    fn nothing_beside_the_keep_back_is_for_no_stone() {
        let kept = AtHand { left: Share::of(1, 3), keep_back: Share::of(1, 3) };
        let told = how_many((1, kept), Share::of(1, 10), Mass::from_mg(9.0), (None, None));
        assert_eq!((told.rows.len(), told.most), (0, None));
        let unplanned = how_many((1, third()), Share::NONE, Mass::from_mg(9.0), (None, None));
        assert_eq!(unplanned.most, None, "nobody has said how much a stone is to have");
    }

    proptest! {
        #[test]
        fn the_keep_back_is_whole_whatever_is_known(
            left in 1_u32..=1_000_000, keep in 10_000_u32..=900_000, all in 2.0_f64..500.0,
            doubt in 0.0_f64..0.5, fine in proptest::bool::ANY,
        ) {
            let lot = AtHand { left: Share::from_millionths(left), keep_back: Share::from_millionths(keep) };
            let scale = Scale { readability: Mass::from_mg(if fine { 0.1 } else { 10.0 }), repeatability: Mass::ZERO };
            let whole = Some(reading(all, doubt * all));
            let told = how_many((1, lot), Share::of(1, 20), Mass::from_mg(9.0), (Some(&scale), whole));
            for row in &told.rows {
                prop_assert!(row.left_at_worst >= lot.keep_back);
            }
            for pair in told.rows.windows(2) {
                prop_assert!(pair[0].each >= pair[1].each, "more stones leave less for each");
            }
        }
    }
}
