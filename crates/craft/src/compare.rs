//! Comparing the book with an observation: it agrees, it differs, or it cannot be told.
//!
//! The book always balances, because it is counted in whole shares. A weighing or a look is a second, independent
//! line that carries a doubt. Doubts combine as the root of the sum of their squares and are doubled before they
//! are held against a difference (JCGM 100:2008 ("GUM"), 5.1.2 and 6.3: coverage factor 2, about 95 %).
//!
//! A difference only says that book and observation do not meet. Hair takes up and gives off moisture, dust stays
//! in a packet, static lifts a strand: such one-sided causes are for the maker to weigh up, not for this module.

use serde::{Deserialize, Serialize};

use crate::reading::{Means, Reading};
use crate::units::{Mass, Share};

/// How many standard uncertainties a difference may reach and still agree (JCGM 100:2008, 6.3.3).
pub const COVERAGE: f64 = 2.0;

/// The least repeatability any scale is trusted with, in digits of its display.
///
/// Source: United States Pharmacopeia, general chapter 41, "Balances" (from memory): where the spread of ten
/// weighings is below 0.41 d it is replaced by 0.41 d.
pub const LEAST_REPEATABILITY_DIGITS: f64 = 0.41;

/// Above this share of the whole a doubt is too large to tell anything, unless the studio sets another. Common
/// practice, no source.
pub const USUAL_LIMIT: Share = Share::from_millionths(50_000);

/// Doubts are stored to the nanogram, so twice a combined doubt may be short by a few of them; a difference of
/// exactly one digit must not fall on that. Far below the last digit of any scale.
const TOLERANCE_NG: u64 = 10;

/// A scale as far as doubt is concerned.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Scale {
    /// The last digit of the display; above zero.
    pub readability: Mass,
    /// The standard deviation of one load weighed again and again; zero where it was never tried.
    pub repeatability: Mass,
}

/// What a comparison says. `D` is the difference, observed less book.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum Outcome<D = Mass> {
    /// The difference is within the doubt.
    Agrees,
    /// The difference is larger than the doubt.
    Differs {
        /// Observed less book: negative where something is short.
        by: D,
    },
    /// The difference is within the doubt, but so would a loss that matters.
    CannotTell,
}

/// The difference of two shares in millionths of the lot, negative where something is short.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(transparent)]
pub struct ShareDifference(pub i64);

/// All that went in against all that came out, over several weighings.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Balance {
    /// In less out: positive where something is missing.
    pub missing: Mass,
    /// The combined standard uncertainty of that.
    pub doubt: Mass,
    /// What it says; a difference is out less in, negative where something is short.
    pub outcome: Outcome,
}

/// The standard uncertainty of one rounding to the display: d / √12, a rectangle of half-width d / 2.
///
/// Source: JCGM 100:2008, F.2.2.1 and 4.3.7. `readability` is the digit d, from zero up.
pub fn rounding_doubt(readability: Mass) -> Mass {
    Mass::from_mg(rounding_mg(readability.mg()))
}

fn rounding_mg(digit_mg: f64) -> f64 {
    digit_mg / 12.0_f64.sqrt()
}

impl Scale {
    /// The repeatability to reckon with: never below 0.41 of the last digit.
    pub fn repeatability_used(&self) -> Mass {
        Mass::from_mg(self.repeatability.mg().max(LEAST_REPEATABILITY_DIGITS * self.readability.mg()))
    }

    /// The standard uncertainty of a net or tared weighing: two roundings (together d / √6) and the repeatability.
    ///
    /// Source: JCGM 100:2008, F.2.2.1 for the rounding and 5.1.2 for the sum of squares.
    pub fn net_doubt(&self) -> Mass {
        let rounding_mg = rounding_mg(self.readability.mg());
        let repeat_mg = self.repeatability_used().mg();
        Mass::from_mg((2.0 * rounding_mg.powi(2) + repeat_mg.powi(2)).sqrt())
    }

    /// A net reading of this scale with its doubt.
    pub fn reads(&self, value: Mass) -> Reading<Mass> {
        Reading { value, doubt: self.net_doubt(), by: Means::Scale }
    }

    /// The least mass worth putting on this scale if twice its repeatability may be `wanted` of the mass; `None`
    /// for a `wanted` of nothing.
    ///
    /// Source: United States Pharmacopeia, general chapter 41: 2 s / m ≤ 0.10 %, so m ≥ 2000 s.
    pub fn least_sensible(&self, wanted: Share) -> Option<Mass> {
        let part = wanted.fraction();
        (part > 0.0).then(|| Mass::from_mg(COVERAGE * self.repeatability_used().mg() / part))
    }
}

/// Several independent doubts taken together: u = √Σu² (JCGM 100:2008, 5.1.2). None at all gives zero.
pub fn combined(doubts: impl IntoIterator<Item = Mass>) -> Mass {
    let squares_mg2: f64 = doubts.into_iter().map(|doubt| doubt.mg().powi(2)).sum();
    Mass::from_mg(squares_mg2.sqrt())
}

/// Compares a book value with an observed one.
///
/// `doubt` is the combined standard uncertainty of the difference, `whole` the mass of the whole lot and `limit`
/// the share of it that a doubt may reach. A difference beyond twice the doubt always counts, however poor the
/// scale: a large loss is never hidden behind "cannot tell". One at exactly twice the doubt agrees.
pub fn compare(book: Mass, observed: Mass, doubt: Mass, whole: Mass, limit: Share) -> Outcome {
    let by = observed - book;
    match told(by.micro(), doubt.micro(), whole.micro(), limit) {
        Outcome::Agrees => Outcome::Agrees,
        Outcome::CannotTell => Outcome::CannotTell,
        Outcome::Differs { .. } => Outcome::Differs { by },
    }
}

/// Compares the share that the book says is there with one judged by eye, under the doubt of [`by_eye`].
pub fn compare_by_eye(book: Share, judged: Share, limit: Share) -> Outcome<ShareDifference> {
    let by = i64::from(judged.millionths()) - i64::from(book.millionths());
    let doubt = i64::from(by_eye(judged).millionths());
    match told(by, doubt, i64::from(Share::WHOLE.millionths()), limit) {
        Outcome::Agrees => Outcome::Agrees,
        Outcome::CannotTell => Outcome::CannotTell,
        Outcome::Differs { .. } => Outcome::Differs { by: ShareDifference(by) },
    }
}

/// The rule behind every comparison, in whole millionths of whatever unit the three share.
fn told(by: i64, doubt: i64, whole: i64, limit: Share) -> Outcome<()> {
    let doubt = doubt.unsigned_abs();
    if by.unsigned_abs() > doubt.saturating_mul(2).saturating_add(TOLERANCE_NG) {
        return Outcome::Differs { by: () };
    }
    if is_small_enough(doubt, whole, limit) { Outcome::Agrees } else { Outcome::CannotTell }
}

fn is_small_enough(doubt: u64, whole: i64, limit: Share) -> bool {
    let allowed = u128::from(whole.unsigned_abs()) * u128::from(limit.millionths());
    whole > 0 && u128::from(doubt) * u128::from(Share::WHOLE.millionths()) <= allowed
}

/// What a share judged by eye may be out by, as a standard uncertainty.
///
/// "About a quarter" is taken to lie within a factor of one and a half: a quarter of what is judged, or of what is
/// gone if that is less, and never below a fortieth of the lot. Common practice, no source.
pub fn by_eye(judged: Share) -> Share {
    const LEAST: u32 = 25_000;
    let gone = Share::WHOLE.less(judged).unwrap_or(Share::NONE);
    let smaller = judged.min(gone).millionths();
    Share::from_millionths((smaller / 4).max(LEAST))
}

/// Weighs all that went in against all that came out.
///
/// A part known only by difference must not be among `given_out`: it would balance by construction.
pub fn balance(taken_in: &[Reading<Mass>], given_out: &[Reading<Mass>], limit: Share) -> Balance {
    let total = |readings: &[Reading<Mass>]| readings.iter().map(|reading| reading.value).sum::<Mass>();
    let (whole, out) = (total(taken_in), total(given_out));
    let doubt = combined(taken_in.iter().chain(given_out).map(|reading| reading.doubt));
    Balance { missing: whole - out, doubt, outcome: compare(whole, out, doubt, whole, limit) }
}

impl Balance {
    /// The difference over its expanded uncertainty: at most 1 where it agrees. `None` without any doubt.
    ///
    /// Source: the En number of ISO 13528 and ISO/IEC 17043 (from memory), |x - X| / √(U² + U²) with U = 2 u.
    pub fn en_number(&self) -> Option<f64> {
        self.doubt.is_positive().then(|| self.missing.mg().abs() / (COVERAGE * self.doubt.mg()))
    }
}

/// Whether weighing a part again on `scale` could tell anything about a lot first weighed as `whole`.
pub fn worth_weighing(scale: &Scale, whole: Reading<Mass>, limit: Share) -> bool {
    let doubt = combined([whole.doubt, scale.net_doubt()]);
    is_small_enough(doubt.micro().unsigned_abs(), whole.value.micro(), limit)
}

/// What weighing one thing again could show.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct WeighBack {
    /// What the book says it weighs.
    pub expected: Mass,
    /// The combined standard uncertainty of the difference that would be seen.
    pub doubt: Mass,
    /// The least loss that would stand out: twice that doubt.
    pub least_loss: Mass,
    /// Worth doing: a loss that matters would stand out, and so would an empty packet.
    pub can_tell: bool,
}

/// What weighing a thing again on `scale` could show. The whole lot once weighed `whole`, the thing holds `share` of it
/// by the book, and `scale_doubt` is the doubt of one net reading.
///
/// The book's value is `share · whole`, so its doubt is `share · u(whole)`; the difference from a new reading has
/// u = √((share · u(whole))² + u(scale)²) (JCGM 100:2008, 5.1.2, equation 10), and what is below 2 u cannot be told
/// from nothing (6.3.3). It is suggested only where `u` is at most `limit` of the whole lot and 2 u is below what is
/// expected, since a reading that could not even show an empty packet tells nothing.
pub fn weigh_back(whole: Reading<Mass>, share: Share, scale_doubt: Mass, limit: Share) -> WeighBack {
    let part = share.fraction();
    let expected = Mass::from_mg(whole.value.mg() * part);
    let doubt = combined([Mass::from_mg(whole.doubt.mg() * part), scale_doubt]);
    let least_loss = Mass::from_mg(COVERAGE * doubt.mg());
    let can_tell =
        is_small_enough(doubt.micro().unsigned_abs(), whole.value.micro(), limit) && least_loss < expected;
    WeighBack { expected, doubt, least_loss, can_tell }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn weighing_back_is_suggested_only_where_a_loss_would_stand_out() {
        let whole = |mg| fine().reads(MG(mg));
        let told = |mg, share, scale: Scale| weigh_back(whole(mg), share, scale.net_doubt(), USUAL_LIMIT);
        let third = told(482.0, Share::of(1, 3), fine());
        assert!(third.can_tell && (third.expected.mg() - 160.667).abs() < 0.001, "{third:?}");
        // By hand: u = √((1.0801/3)² + 1.0801²) = 1.0801 · √(10/9) = 1.13855 mg.
        assert!((third.doubt.mg() - 1.138_55).abs() < 2e-4, "{third:?}");
        assert!((third.least_loss.mg() - 2.0 * third.doubt.mg()).abs() < 1e-5);
        let summed = MG(1.0801 / 3.0 + 1.0801);
        assert!((summed.mg() - third.doubt.mg()).abs() > 0.2, "doubts added up would be noticed");
        let coarse = Scale { readability: MG(10.0), repeatability: MG(10.0) };
        assert!(!told(50.0, Share::of(1, 3), coarse).can_tell, "the scale is too coarse for the lot");
        // Two hundredths of 100 mg are 2 mg, less than twice the doubt: an empty packet would look the same.
        let crumb = told(100.0, Share::of(1, 50), fine());
        assert!(crumb.doubt < MG(5.0) && !crumb.can_tell, "{crumb:?}");
        let nothing = told(482.0, Share::NONE, fine());
        assert!(!nothing.can_tell && nothing.doubt == fine().net_doubt(), "limiting case: {nothing:?}");
        let perfect =
            weigh_back(Reading { doubt: Mass::ZERO, ..whole(482.0) }, Share::WHOLE, Mass::ZERO, USUAL_LIMIT);
        assert!(perfect.can_tell && perfect.least_loss == Mass::ZERO, "limiting case");
    }

    const MG: fn(f64) -> Mass = Mass::from_mg;

    fn fine() -> Scale {
        Scale { readability: MG(1.0), repeatability: MG(1.0) }
    }

    #[test]
    fn a_scale_of_no_digit_and_no_spread_has_no_doubt() {
        let ideal = Scale { readability: Mass::ZERO, repeatability: Mass::ZERO };
        assert_eq!(ideal.net_doubt(), Mass::ZERO, "limiting case");
        assert_eq!(combined([]), Mass::ZERO);
        assert_eq!(combined([MG(3.0), MG(4.0)]), MG(5.0), "Pythagoras");
    }

    #[test]
    fn two_roundings_spread_as_a_triangle_does() {
        // A second way: the mean square of the sum of two errors, each one of 1000 even steps within half a digit.
        let error = |step: u32| (f64::from(step) + 0.5) / 1000.0 - 0.5;
        let squares: f64 = (0..1000)
            .flat_map(|a| (0..1000).map(move |b| (a, b)))
            .map(|(a, b)| (error(a) + error(b)).powi(2))
            .sum();
        let repeat = LEAST_REPEATABILITY_DIGITS;
        let counted_mg = (squares / 1e6 + repeat * repeat).sqrt();
        let never_tried = Scale { readability: MG(1.0), repeatability: Mass::ZERO };
        assert!(
            (never_tried.net_doubt().mg() - counted_mg).abs() < 2e-6,
            "{} {counted_mg}",
            never_tried.net_doubt()
        );
        let one_rounding_mg = (1.0_f64 / 12.0 + repeat * repeat).sqrt();
        assert!((one_rounding_mg - counted_mg).abs() > 0.05, "forgetting the tare would be noticed");
    }

    #[test]
    fn a_difference_of_exactly_twice_the_doubt_agrees() {
        let outcome = |by| compare(MG(100.0), MG(100.0 + by), MG(1.0), MG(100.0), USUAL_LIMIT);
        assert_eq!(outcome(2.0), Outcome::Agrees);
        assert_eq!(outcome(-2.0), Outcome::Agrees);
        assert_eq!(outcome(-2.001), Outcome::Differs { by: MG(-2.001) });
    }

    #[test]
    fn a_poor_scale_cannot_tell_a_little_and_can_tell_a_lot() {
        let coarse = Scale { readability: MG(10.0), repeatability: MG(10.0) };
        let observed = |value| compare(MG(50.0), MG(value), coarse.net_doubt(), MG(50.0), USUAL_LIMIT);
        assert_eq!(observed(40.0), Outcome::CannotTell);
        assert_eq!(
            observed(0.0),
            Outcome::Differs { by: MG(-50.0) },
            "an empty packet is never shrugged off"
        );
        assert!(!worth_weighing(&coarse, coarse.reads(MG(50.0)), USUAL_LIMIT));
        assert!(worth_weighing(&fine(), fine().reads(MG(50.0)), USUAL_LIMIT));
        assert!(
            !worth_weighing(&fine(), fine().reads(Mass::ZERO), USUAL_LIMIT),
            "nothing can be told of nothing"
        );
    }

    #[test]
    fn a_look_tells_all_there_and_not_much_else() {
        let half = Share::of(1, 2);
        assert_eq!(
            by_eye(Share::of(1, 4)),
            Share::of(1, 16),
            "a factor of one and a half at twice the doubt"
        );
        assert_eq!(
            by_eye(Share::of(3, 4)),
            by_eye(Share::of(1, 4)),
            "what is gone is judged as well as what is left"
        );
        assert_eq!(compare_by_eye(Share::WHOLE, Share::WHOLE, USUAL_LIMIT), Outcome::Agrees);
        assert_eq!(compare_by_eye(half, Share::of(2, 5), USUAL_LIMIT), Outcome::CannotTell);
        let short = Outcome::Differs { by: ShareDifference(-500_000) };
        assert_eq!(compare_by_eye(Share::WHOLE, half, USUAL_LIMIT), short);
    }

    #[test]
    fn the_least_sensible_mass_needs_something_wanted() {
        assert_eq!(fine().least_sensible(Share::NONE), None);
        assert_eq!(fine().least_sensible(Share::of(1, 10)), Some(MG(20.0)));
    }

    #[test]
    fn a_scale_survives_a_file_and_an_unknown_field_is_refused() {
        let text = ron::to_string(&fine()).unwrap();
        assert_eq!(ron::from_str::<Scale>(&text).unwrap(), fine());
        assert!(ron::from_str::<Scale>(&text.replace('(', "(colour:\"red\",")).is_err());
    }

    proptest! {
        #[test]
        fn a_wider_doubt_never_turns_agreement_into_a_difference(
            book in 0_i64..1_000_000_000, by in -1_000_000_i64..1_000_000,
            doubt in 0_i64..1_000_000, more in 0_i64..1_000_000,
        ) {
            let tell = |doubt| {
                let (book, observed) = (Mass::from_micro(book), Mass::from_micro(book + by));
                compare(book, observed, Mass::from_micro(doubt), book, USUAL_LIMIT)
            };
            if !matches!(tell(doubt), Outcome::Differs { .. }) {
                prop_assert!(!matches!(tell(doubt + more), Outcome::Differs { .. }), "doubt widened");
            }
        }

        #[test]
        fn a_balance_does_not_depend_on_the_order_of_weighing(parts in prop::collection::vec(1_i64..500_000_000, 1..8)) {
            let mut out: Vec<_> = parts.iter().map(|&part| fine().reads(Mass::from_micro(part))).collect();
            let whole = [fine().reads(Mass::from_micro(parts.iter().sum()))];
            let before = balance(&whole, &out, USUAL_LIMIT);
            out.reverse();
            let after = balance(&whole, &out, USUAL_LIMIT);
            prop_assert_eq!(before.missing, Mass::ZERO);
            prop_assert_eq!(after.missing, before.missing);
            prop_assert!((after.doubt - before.doubt).abs() <= Mass::from_micro(1));
        }
    }
}
