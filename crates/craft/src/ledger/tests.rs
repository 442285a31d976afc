//! One test for each rule: the sentence that is said, and that its remedy mends it.

mod custody;
mod home;
mod keeping;
mod pour;
mod practice;

use crate::fact::Fact;
use crate::refusal::Refusal;
use crate::testing::{Bench, at, begun, lamp_on};

/// Applies the remedy, which must exist and be taken.
fn mend(bench: &mut Bench, why: &Refusal) {
    let remedy = why.remedy().unwrap_or_else(|| panic!("nothing mends \"{why}\""));
    let words = format!("{remedy:?}");
    bench.edit(remedy).unwrap_or_else(|again| panic!("{words} was refused in turn: {again}"));
}

/// A fact that is refused with this sentence, and taken once its remedy was applied.
fn refused_until_mended(bench: &mut Bench, fact: impl Into<Fact>, sentence: &str) {
    let fact = fact.into();
    let why = bench.refuse(fact.clone());
    assert_eq!(why.to_string(), sentence);
    mend(bench, &why);
    bench.record(fact);
}

/// A fact that is refused with this sentence, and that no single fact would mend.
fn refused(bench: &mut Bench, fact: impl Into<Fact>, sentence: &str) {
    let why = bench.refuse(fact);
    assert_eq!(why.to_string(), sentence);
    assert_eq!(why.remedy(), None);
}

#[test]
fn a_step_that_works_in_place_would_leave_half_a_refused_fact_behind() {
    let mut bench = Bench::hard();
    bench.record(begun(2, "B2"));
    let fact = lamp_on(&[1, 2]);
    let why = bench.refuse(fact.clone());
    assert_eq!(why.to_string(), "stone 2 has no layer yet");
    let before = &bench.held().ledger;
    let mut broken = before.clone();
    let stamp = super::Stamp { number: 99, at: at(99), day: at(99).day(), told: false };
    assert!(broken.step_pour(&fact, stamp).is_err());
    assert_ne!(broken, *before, "the lamp would be on over stone 1");
}
