//! One test for each rule: the sentence that is said, and that its remedy mends it.

mod custody;
mod home;
mod pour;

use crate::fact::Fact;
use crate::refusal::Refusal;
use crate::testing::Bench;

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
