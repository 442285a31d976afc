//! Weighing and its doubt against published examples and independent calculations.

#![cfg(test)]

use craft::compare::{
    Outcome, Scale, USUAL_LIMIT, balance, combined, compare, rounding_doubt, weigh_back, worth_weighing,
};
use craft::reading::{Means, Reading};
use craft::scale::{Coin, Known};
use craft::units::{Mass, Share};

fn mg(value: f64) -> Mass {
    Mass::from_mg(value)
}

fn scale(digit_mg: f64, repeat_mg: f64) -> Scale {
    Scale { readability: mg(digit_mg), repeatability: mg(repeat_mg) }
}

fn close(got: f64, wanted: f64, within: f64) -> bool {
    (got - wanted).abs() <= within
}

#[test]
fn the_worked_example_of_a_teaching_laboratory_comes_out() {
    // University of Tartu, GUM examples, "Uncertainty of simple weighing" (weighing.smu): m = 0.3240 g,
    // repeatability 0.17 mg, drift within ±0.2 mg and readability within ±0.05 mg, both rectangular:
    // u = 0.207525098883645 mg. A half-width a is the rounding of a digit 2 a.
    let got = |drift: Mass| combined([mg(0.17), drift, rounding_doubt(mg(0.1))]).mg();
    assert!(close(got(rounding_doubt(mg(0.4))), 0.207_525_098_883_645, 2e-6));
    assert!(
        !close(got(rounding_doubt(mg(0.2))), 0.207_525_098_883_645, 2e-6),
        "half-width taken for the digit"
    );
    assert!(
        !close(got(mg(0.2)), 0.207_525_098_883_645, 2e-6),
        "half-width taken for the standard uncertainty"
    );
}

#[test]
fn one_rounding_is_the_digit_over_the_root_of_twelve() {
    // JCGM 100:2008 (GUM), F.2.2.1 (from memory): u = 0.29 δx for an indication with digit δx.
    assert!(close(rounding_doubt(mg(1.0)).mg(), 0.29, 0.005));
}

#[test]
fn the_doubt_of_one_tared_weighing_is_as_calculated_elsewhere() {
    // Computed independently with mpmath 1.4.1: √(d²/6 + s²).
    for (digit, repeat, wanted) in
        [(1.0, 0.41, 0.5786), (1.0, 1.0, 1.0801), (10.0, 4.1, 5.786), (10.0, 10.0, 10.801)]
    {
        assert!(close(scale(digit, repeat).net_doubt().mg(), wanted, 0.0005), "{digit} {repeat}");
    }
    // A spread that was never tried, or came out as nothing, is taken as 0.41 d.
    assert_eq!(scale(1.0, 0.0).net_doubt(), scale(1.0, 0.41).net_doubt());
}

#[test]
fn the_least_sensible_weight_is_that_of_the_pharmacopeia() {
    // United States Pharmacopeia, chapter 41: 2 s / m ≤ 0.10 % with s of at least 0.41 d, so 820 d.
    // The rows for 1 % and 5 % follow from the same rule.
    for (wanted, digits) in [(1_000, 820.0), (10_000, 82.0), (50_000, 16.4)] {
        for digit in [1.0, 10.0] {
            let least = scale(digit, 0.0).least_sensible(Share::from_millionths(wanted)).unwrap();
            assert!(close(least.mg(), digits * digit, 1e-3 * digit), "{wanted}: {least}");
        }
    }
}

#[test]
fn a_scale_of_class_ii_is_trusted_no_less_than_its_verification_allows() {
    // OIML R 76-1:2006, Table 6: the maximum permissible error of a class II scale with e = 1 mg is 0.5 e up to
    // 5000 e, twice that in service (3.5.2). Twice our doubt of one tared weighing must not promise more than the
    // first, nor be wider than a few times the second.
    let expanded_mg = 2.0 * scale(1.0, 0.0).net_doubt().mg();
    assert!((0.5..=2.0 * 1.0).contains(&expanded_mg), "{expanded_mg}");
}

#[test]
fn a_lot_taken_in_and_given_out_balances_as_calculated_elsewhere() {
    // Computed independently with mpmath 1.4.1: four weighings with d = s = 1 mg; 482 in; 31, 100 and 349 out.
    let fine = scale(1.0, 1.0);
    let out = [31.0, 100.0, 349.0].map(|value| fine.reads(mg(value)));
    let found = balance(&[fine.reads(mg(482.0))], &out, USUAL_LIMIT);
    assert_eq!(found.missing, mg(2.0));
    assert!(close(found.doubt.mg(), 2.1602, 0.0001));
    assert!(close(found.en_number().unwrap(), 0.4629, 0.0001));
    assert_eq!(found.outcome, Outcome::Agrees);
    let summed_mg = 4.0 * fine.net_doubt().mg();
    assert!(!close(summed_mg, 2.1602, 0.0001), "adding doubts up instead of their squares would be noticed");
}

#[test]
fn a_pair_of_weighings_passes_where_its_en_number_is_at_most_one() {
    // The En number of ISO 13528 and ISO/IEC 17043 (from memory); values computed independently with mpmath 1.4.1.
    let weighed = |value| Reading { value: mg(value), doubt: mg(1.5), by: Means::Scale };
    for (second, en, agrees) in [(476.0, 1.414, false), (479.0, 0.707, true)] {
        let found = balance(&[weighed(482.0)], &[weighed(second)], USUAL_LIMIT);
        assert!(close(found.en_number().unwrap(), en, 0.001));
        assert_eq!(found.outcome == Outcome::Agrees, agrees, "{second}");
    }
}

/// The density of the sum of `n` rectangular errors (Irwin–Hall) summed up to `x`, counted from the left end:
/// 1/n! Σ (-1)^k C(n, k) (x - k)^n.
fn irwin_hall(n: u32, x: f64) -> f64 {
    let mut choose = 1.0;
    let mut total = 0.0;
    for k in 0..=n {
        if f64::from(k) > x {
            break;
        }
        let sign = if k % 2 == 0 { 1.0 } else { -1.0 };
        total += sign * choose * (x - f64::from(k)).powi(i32::try_from(n).unwrap());
        choose *= f64::from(n - k) / f64::from(k + 1);
    }
    total / (1..=n).map(f64::from).product::<f64>()
}

/// The chance that a whole weighed once and `n` parts weighed once are `k` digits apart, by rounding alone.
fn apart(n: u32, k: i32) -> f64 {
    let middle = f64::from(n) / 2.0 + f64::from(k);
    irwin_hall(n, middle + 0.5) - irwin_hall(n, middle - 0.5)
}

#[test]
fn a_perfect_split_shows_a_digit_too_few_as_often_as_calculated() {
    // Hall, P. (1927), Biometrika 19, 240, for the distribution; values computed independently with mpmath 1.4.1.
    for (n, none, one) in [
        (2, 0.75, 0.125),
        (3, 2.0 / 3.0, 1.0 / 6.0),
        (4, 0.5990, 0.1979),
        (5, 0.55, 0.2167),
        (6, 0.5110, 0.2288),
        (8, 0.4529, 0.2408),
    ] {
        assert!(close(apart(n, 0), none, 6e-5) && close(apart(n, 1), one, 6e-5), "{n}");
    }
    // A second way: every split of 20 to 21 mg into two parts on a grid of hundredths, rounded as a scale does.
    let digit = |hundredths: u32| (hundredths + 50) / 100;
    let splits = (2000..2100).flat_map(|whole| (500..600).map(move |part| (whole, part)));
    let off = splits.filter(|&(whole, part)| digit(part) + digit(whole - part) != digit(whole)).count();
    assert!(close(off as f64 / 1e4, 0.25, 0.005), "{off} of 10000");
}

#[test]
fn a_digit_lost_in_rounding_never_counts_as_a_loss() {
    // Two parts and their whole, rounding only: 2 u = 2 √(3 d²/12) is exactly one digit, and a quarter of all
    // perfect splits are one digit apart. The comparison must let exactly that pass.
    let mut would_fail = 0;
    for digit_micro in [10_000, 100_000, 200_000, 500_000, 1_000_000, 2_000_000, 5_000_000, 10_000_000] {
        let digit = Mass::from_micro(digit_micro);
        let whole = Mass::from_micro(100 * digit_micro);
        let doubt = combined([rounding_doubt(digit); 3]);
        assert_eq!(compare(whole, whole - digit, doubt, whole, USUAL_LIMIT), Outcome::Agrees, "{digit}");
        let further = digit + Mass::from_micro(digit_micro / 100);
        assert!(matches!(
            compare(whole, whole - further, doubt, whole, USUAL_LIMIT),
            Outcome::Differs { .. }
        ));
        let strictly_less = digit.mg() < 2.0 * doubt.mg();
        would_fail += u32::from(!strictly_less);
    }
    assert!(would_fail > 0, "the broken variant, < for ≤, would call a perfect split short");
}

#[test]
fn a_lock_of_fifty_milligrams_needs_the_fine_scale() {
    // At 5 % the least sensible weight is 16.4 d (United States Pharmacopeia, chapter 41, carried on to 5 %): a
    // lock of 50 mg is above it on a 1 mg scale (16.4 mg) and below it on a 10 mg scale (164 mg).
    let lock = mg(50.0);
    for (digit, useful) in [(1.0, true), (10.0, false)] {
        let scale = scale(digit, 0.0);
        assert_eq!(worth_weighing(&scale, scale.reads(lock), USUAL_LIMIT), useful, "{digit}");
        assert_eq!(scale.least_sensible(Share::from_millionths(50_000)).unwrap() <= lock, useful, "{digit}");
    }
}

#[test]
fn coins_weigh_what_their_mints_publish() {
    // Council Regulation (EU) No 729/2014, Annex I: 5 cent 3.92 g, 10 cent 4.10 g, 1 euro 7.50 g, 2 euro 8.50 g.
    // Royal Mint, coin designs and specifications: 1p 3.56 g, 2p 7.12 g, £1 (2017) 8.75 g.
    // United States Mint, coin specifications: dime 2.268 g, nickel 5.000 g, quarter dollar 5.670 g.
    let published = [
        (Coin::FiveEuroCent, 3.92),
        (Coin::TenEuroCent, 4.10),
        (Coin::OneEuro, 7.50),
        (Coin::TwoEuro, 8.50),
        (Coin::OnePenny, 3.56),
        (Coin::TwoPence, 7.12),
        (Coin::OnePound, 8.75),
        (Coin::Dime, 2.268),
        (Coin::Nickel, 5.000),
        (Coin::Quarter, 5.670),
    ];
    assert_eq!(published.len(), Coin::ALL.len(), "each coin has its figure here");
    for (coin, grams) in published {
        assert_eq!(coin.mass(), mg(grams * 1e3), "{coin:?}");
    }
    // Manufacturing tolerances as numismatic tables give them for the United States Mint (from memory): dime ±0.091 g,
    // nickel ±0.194 g, quarter dollar ±0.227 g. What is allowed here is no narrower, and not twice as wide.
    for (coin, grams) in [(Coin::Dime, 0.0907), (Coin::Nickel, 0.194), (Coin::Quarter, 0.2268)] {
        let within = coin.within().mg();
        assert!(within >= grams * 1e3 && within < 2e3 * grams, "{coin:?} {within}");
    }
    // JCGM 100:2008, 4.3.7: a rectangle of half-width a has a/√3. Computed independently: 300 mg / √3 = 173.205 mg.
    assert!(close(Known::Coin(Coin::OneEuro).doubt().mg(), 173.205, 0.001));
}

#[test]
fn weighing_back_promises_no_more_than_the_doubts_allow() {
    // The teaching laboratory's weighing once more (University of Tartu: 0.3240 g with u = 0.2075 mg), half of it
    // weighed back on the same balance. JCGM 100:2008, 5.1.2: u² = (u/2)² + u². Computed independently with Python 3:
    // 0.207525 · √1.25 = 0.232020 mg, twice that 0.464040 mg.
    let whole = Reading { value: mg(324.0), doubt: mg(0.207_525), by: Means::Scale };
    let half = weigh_back(whole, Share::of(1, 2), mg(0.207_525), USUAL_LIMIT);
    assert!(
        close(half.doubt.mg(), 0.232_020, 2e-6) && close(half.least_loss.mg(), 0.464_040, 3e-6),
        "{half:?}"
    );
    assert!(half.can_tell && half.expected == mg(162.0));
    let unscaled = combined([whole.doubt, mg(0.207_525)]);
    assert!(
        !close(unscaled.mg(), half.doubt.mg(), 0.05),
        "the whole's doubt taken for the half's would be noticed"
    );
    // United States Pharmacopeia, chapter 41, carried on to 5 % (16.4 d): a lot of 16 mg on a scale of 1 mg is below it.
    let scale = scale(1.0, 0.0);
    let told =
        |value| weigh_back(scale.reads(mg(value)), Share::WHOLE, scale.net_doubt(), USUAL_LIMIT).can_tell;
    assert!(!told(16.0) && told(17.0));
}
