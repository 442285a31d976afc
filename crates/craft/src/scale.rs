//! A scale on the shelf: what it can tell, and whether it was ever tried with something of a known weight.
//!
//! A scale that was never tried may be set to another unit, stand crooked or be out by a tenth, and its last digit
//! says nothing about that. A coin from a pocket shows it: its weight is published, and so is what it may be out by.

use chrono::NaiveDate;
use serde::{Deserialize, Serialize};

use crate::compare::{Outcome, Scale, USUAL_LIMIT, combined, compare};
use crate::reading::Reading;
use crate::units::Mass;

/// How the packet's own weight is kept out of a reading.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum Tare {
    /// The empty packet is put on and the scale set to nothing.
    Button,
    /// The empty packet was weighed, and its weight is taken off each reading of that same packet.
    Packet {
        /// What the scale showed for the empty packet.
        shown: Mass,
    },
}

/// A coin whose weight is published. Sources stand at [`Coin::mass`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum Coin {
    /// 5 euro cent.
    FiveEuroCent,
    /// 10 euro cent.
    TenEuroCent,
    /// 1 euro.
    OneEuro,
    /// 2 euro.
    TwoEuro,
    /// 1 penny of the United Kingdom.
    OnePenny,
    /// 2 pence.
    TwoPence,
    /// 1 pound, the twelve-sided one.
    OnePound,
    /// A dime of the United States.
    Dime,
    /// A nickel.
    Nickel,
    /// A quarter dollar.
    Quarter,
}

/// How far a coin in circulation may be from its published weight, to either side, in thousandths of it.
///
/// Source: the manufacturing tolerances of United States coins are 0.091 g for the dime, 0.194 g for the nickel and
/// 0.227 g for the quarter dollar, 3.9 to 4.0 % of each (tables of the United States Mint, as numismatic references
/// give them); the Royal Mint allowed 0.26 g on a pound coin of 9.5 g, 2.7 %. The euro regulation gives none, so the
/// widest of these is used for all.
pub const COIN_TOLERANCE_THOUSANDTHS: i64 = 40;

impl Coin {
    /// All of them.
    pub const ALL: [Coin; 10] = [
        Coin::FiveEuroCent,
        Coin::TenEuroCent,
        Coin::OneEuro,
        Coin::TwoEuro,
        Coin::OnePenny,
        Coin::TwoPence,
        Coin::OnePound,
        Coin::Dime,
        Coin::Nickel,
        Coin::Quarter,
    ];

    /// The published weight.
    ///
    /// Sources: Council Regulation (EU) No 729/2014, Annex I, for euro coins; the Royal Mint's coin designs and
    /// specifications for those of the United Kingdom; the United States Mint's coin specifications for its own.
    pub const fn mass(self) -> Mass {
        let mg = match self {
            Coin::FiveEuroCent => 3_920,
            Coin::TenEuroCent => 4_100,
            Coin::OneEuro => 7_500,
            Coin::TwoEuro => 8_500,
            Coin::OnePenny => 3_560,
            Coin::TwoPence => 7_120,
            Coin::OnePound => 8_750,
            Coin::Dime => 2_268,
            Coin::Nickel => 5_000,
            Coin::Quarter => 5_670,
        };
        Mass::from_micro(mg * 1_000_000)
    }

    /// Half the width of what it may weigh.
    pub const fn within(self) -> Mass {
        Mass::from_micro(self.mass().micro() / 1_000 * COIN_TOLERANCE_THOUSANDTHS)
    }
}

/// Something of a known weight.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum Known {
    /// A coin.
    Coin(Coin),
    /// A weight that came with the scale, or was bought.
    Weight {
        /// What is stamped on it.
        mass: Mass,
        /// What it may be out by to either side; zero where that is not known.
        within: Mass,
    },
}

impl Known {
    /// What it weighs.
    pub const fn mass(self) -> Mass {
        match self {
            Known::Coin(coin) => coin.mass(),
            Known::Weight { mass, .. } => mass,
        }
    }

    /// The standard uncertainty of that: a rectangle of this half-width (JCGM 100:2008, 4.3.7).
    pub fn doubt(self) -> Mass {
        let within = match self {
            Known::Coin(coin) => coin.within(),
            Known::Weight { within, .. } => within,
        };
        Mass::from_mg(within.mg() / 3.0_f64.sqrt())
    }
}

/// One try of a scale with something of a known weight.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Tried {
    /// The day.
    pub on: NaiveDate,
    /// What was put on it.
    pub with: Known,
    /// What it showed.
    pub shown: Mass,
}

/// A scale on the shelf.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ScaleProfile {
    /// Its last digit, and how far it repeats itself.
    pub scale: Scale,
    /// The most it can carry, packet and all; none where that is not known.
    pub most: Option<Mass>,
    /// How the packet is kept out of a reading.
    pub tare: Tare,
    /// When it was tried, the newest last.
    pub tried: Vec<Tried>,
}

/// How far a scale is to be believed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Trust {
    /// It was never tried.
    Untried,
    /// It did not show what it was tried with last.
    Out,
    /// It was tried, and nothing speaks against it.
    Believed,
}

/// Why a scale's values cannot be.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum ScaleError {
    /// No last digit.
    #[error("the last digit of a scale is a weight above nothing; read it off the scale")]
    Digit,
    /// A spread below nothing.
    #[error("how far a scale repeats itself is not below nothing; leave it at 0 mg where it was never tried")]
    Spread,
    /// It can carry nothing.
    #[error("the most a scale can carry is more than its last digit; read it off its plate, or leave it out")]
    Most,
    /// A packet lighter than nothing.
    #[error("an empty packet weighs something; put it on the scale and read it")]
    Packet,
    /// A try with something of no weight.
    #[error(
        "what a scale is tried with weighs more than nothing and is out by less than that; read what is stamped on it"
    )]
    Known,
}

impl ScaleProfile {
    /// Checks what a careful maker would check.
    ///
    /// # Errors
    /// The first thing that is wrong.
    pub fn check(&self) -> Result<(), ScaleError> {
        if !self.scale.readability.is_positive() {
            return Err(ScaleError::Digit);
        }
        if self.scale.repeatability < Mass::ZERO {
            return Err(ScaleError::Spread);
        }
        if self.most.is_some_and(|most| most <= self.scale.readability) {
            return Err(ScaleError::Most);
        }
        if matches!(self.tare, Tare::Packet { shown } if !shown.is_positive()) {
            return Err(ScaleError::Packet);
        }
        let odd = |known: Known| match known {
            Known::Coin(_) => false,
            Known::Weight { mass, within } => !mass.is_positive() || within < Mass::ZERO || within >= mass,
        };
        if self.tried.iter().any(|tried| odd(tried.with)) { Err(ScaleError::Known) } else { Ok(()) }
    }

    /// A net reading of this scale for `shown`, with its doubt: the packet taken off where it was weighed before.
    ///
    /// Either way there are two readings of the display, the packet's and the whole's, so the doubt is that of
    /// [`Scale::net_doubt`]; a packet that was weighed before adds its own repeatability (JCGM 100:2008, 5.1.2).
    pub fn reads(&self, shown: Mass) -> Reading<Mass> {
        match self.tare {
            Tare::Button => self.scale.reads(shown),
            Tare::Packet { shown: packet } => {
                let net = self.scale.reads(shown - packet);
                Reading { doubt: combined([net.doubt, self.scale.repeatability_used()]), ..net }
            }
        }
    }

    /// The least doubt that a reading of this scale has.
    pub fn least_doubt(&self) -> Mass {
        self.reads(Mass::ZERO).doubt
    }

    /// What a try says: the published weight against what was shown, under both doubts.
    pub fn judge(&self, tried: &Tried) -> Outcome {
        let known = tried.with.mass();
        let doubt = combined([tried.with.doubt(), self.scale.net_doubt()]);
        compare(known, tried.shown, doubt, known, USUAL_LIMIT)
    }

    /// The newest try, and what it says; none where the scale was never tried.
    pub fn newest_try(&self) -> Option<(&Tried, Outcome)> {
        self.tried.last().map(|tried| (tried, self.judge(tried)))
    }

    /// How far it is to be believed: a scale is tried before it is, and a try that tells little speaks not against it.
    pub fn trust(&self) -> Trust {
        match self.newest_try() {
            None => Trust::Untried,
            Some((_, Outcome::Differs { .. })) => Trust::Out,
            Some((_, Outcome::Agrees | Outcome::CannotTell)) => Trust::Believed,
        }
    }

    /// True where it carries something that weighs `net`, together with the packet where that was weighed before.
    pub fn carries(&self, net: Mass) -> bool {
        let packet = match self.tare {
            Tare::Packet { shown } => shown,
            Tare::Button => Mass::ZERO,
        };
        self.most.is_none_or(|most| net + packet <= most)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const MG: fn(f64) -> Mass = Mass::from_mg;

    fn day() -> NaiveDate {
        NaiveDate::from_ymd_opt(2026, 3, 2).unwrap()
    }

    fn profile(tare: Tare) -> ScaleProfile {
        let scale = Scale { readability: MG(1.0), repeatability: MG(1.0) };
        ScaleProfile { scale, most: Some(MG(50_000.0)), tare, tried: Vec::new() }
    }

    #[test]
    fn a_scale_carries_so_much_and_the_packet_is_on_it_too() {
        let button = profile(Tare::Button);
        assert!(button.carries(MG(50_000.0)) && !button.carries(MG(50_001.0)));
        let packet = profile(Tare::Packet { shown: MG(1_018.0) });
        assert!(packet.carries(MG(48_982.0)) && !packet.carries(MG(48_983.0)));
        let unknown = ScaleProfile { most: None, ..button };
        assert!(unknown.carries(MG(1e9)), "nobody said what it carries");
    }

    #[test]
    fn a_scale_is_believed_once_it_was_tried_and_nothing_speaks_against_it() {
        let mut scale = profile(Tare::Button);
        assert_eq!(scale.trust(), Trust::Untried);
        for (shown, trust) in [(37_500.0, Trust::Out), (7_500.0, Trust::Believed)] {
            scale.tried.push(Tried { on: day(), with: Known::Coin(Coin::OneEuro), shown: MG(shown) });
            assert_eq!(scale.trust(), trust, "the newest try counts");
        }
    }

    #[test]
    fn a_coin_tells_a_scale_that_is_right_from_one_in_another_unit() {
        let scale = profile(Tare::Button);
        let judge =
            |coin, shown| scale.judge(&Tried { on: day(), with: Known::Coin(coin), shown: MG(shown) });
        assert_eq!(judge(Coin::OneEuro, 7_512.0), Outcome::Agrees);
        // 7.5 g shown in carats of 200 mg, and a tenth too little.
        assert!(matches!(judge(Coin::OneEuro, 37_500.0), Outcome::Differs { .. }));
        assert!(matches!(judge(Coin::OneEuro, 6_750.0), Outcome::Differs { .. }));
        for coin in Coin::ALL {
            assert_eq!(judge(coin, coin.mass().mg()), Outcome::Agrees, "{coin:?}");
            let lightest = (coin.mass() - coin.within()).mg();
            assert_eq!(judge(coin, lightest), Outcome::Agrees, "{coin:?}: the lightest that is struck");
        }
    }

    #[test]
    fn a_coarse_scale_cannot_tell_by_a_light_weight() {
        let mut scale = profile(Tare::Button);
        (scale.scale.readability, scale.scale.repeatability) = (MG(100.0), MG(100.0));
        let with = Known::Weight { mass: MG(500.0), within: MG(0.5) };
        let tried = Tried { on: day(), with, shown: MG(600.0) };
        assert_eq!(scale.judge(&tried), Outcome::CannotTell);
        scale.tried.push(tried);
        assert_eq!(scale.newest_try(), Some((&tried, Outcome::CannotTell)));
        assert_eq!(profile(Tare::Button).newest_try(), None);
    }

    #[test]
    fn a_tolerance_taken_for_a_standard_uncertainty_is_noticed() {
        // JCGM 100:2008, 4.3.7: a rectangle of half-width a has the standard uncertainty a/√3.
        let half = Coin::OneEuro.within().mg();
        let doubt = Known::Coin(Coin::OneEuro).doubt().mg();
        assert!((doubt - half / 3.0_f64.sqrt()).abs() < 1e-5);
        // A second way: the mean square of many even steps across the width.
        let steps = 10_000;
        let step = |n: i32| ((f64::from(n) + 0.5) / f64::from(steps) - 0.5) * 2.0 * half;
        let square: f64 = (0..steps).map(|n| step(n).powi(2)).sum::<f64>() / f64::from(steps);
        assert!((doubt - square.sqrt()).abs() < 1e-3);
        assert!((half - square.sqrt()).abs() > 100.0, "the broken variant");
        let sure = Known::Weight { mass: MG(1.0), within: Mass::ZERO };
        assert_eq!(sure.doubt(), Mass::ZERO, "limiting case");
    }

    #[test]
    fn a_packet_that_was_weighed_before_is_taken_off_and_adds_its_doubt() {
        let button = profile(Tare::Button).reads(MG(482.0));
        let packet = profile(Tare::Packet { shown: MG(1_018.0) }).reads(MG(1_500.0));
        assert_eq!((button.value, packet.value), (MG(482.0), MG(482.0)));
        assert!(packet.doubt > button.doubt);
        // √(d²/6 + 2 s²) for d = s = 1 mg, by hand: √(1/6 + 2) = 1.471960…
        assert!((packet.doubt.mg() - 1.471_960).abs() < 1e-6, "{}", packet.doubt);
        assert!((packet.doubt.mg() - 2.0 * button.doubt.mg()).abs() > 0.5, "doubts are not added up");
    }

    #[test]
    fn what_no_scale_can_be_is_refused() {
        let wrong = |change: fn(&mut ScaleProfile)| {
            let mut scale = profile(Tare::Button);
            change(&mut scale);
            scale.check()
        };
        assert_eq!(wrong(|_| {}), Ok(()));
        assert_eq!(wrong(|s| s.scale.readability = Mass::ZERO), Err(ScaleError::Digit));
        assert_eq!(wrong(|s| s.scale.repeatability = MG(-1.0)), Err(ScaleError::Spread));
        assert_eq!(wrong(|s| s.most = Some(MG(1.0))), Err(ScaleError::Most));
        assert_eq!(wrong(|s| s.tare = Tare::Packet { shown: Mass::ZERO }), Err(ScaleError::Packet));
        let with = |mass, within| Known::Weight { mass: MG(mass), within: MG(within) };
        for known in [with(0.0, 0.0), with(1.0, -1.0), with(1.0, 1.0)] {
            let mut scale = profile(Tare::Button);
            scale.tried.push(Tried { on: day(), with: known, shown: MG(1.0) });
            assert_eq!(scale.check(), Err(ScaleError::Known));
        }
    }
}
