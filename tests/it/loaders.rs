//! Every reader of bytes and text, with the committed seeds and with changed ones. `.ci/deep fuzz` goes on from there.

use std::panic::{AssertUnwindSafe, catch_unwind};

use heldfast_tests::loaders::mutate::{Dice, changed};
use heldfast_tests::loaders::{ALL, Law};

/// How many changed inputs each reader is given here.
const CHANGED: u64 = 250;

/// The law as it is held: a panic breaks it as well.
fn tried(check: fn(&[u8]) -> Law, bytes: &[u8]) -> Law {
    catch_unwind(AssertUnwindSafe(|| check(bytes))).unwrap_or_else(|_| Err("it panicked".to_owned()))
}

/// The first input, of `many` changed ones, that breaks the law.
fn first_broken(check: fn(&[u8]) -> Law, seeds: &[Vec<u8>], many: u64) -> Option<(u64, Vec<u8>, String)> {
    // Long files cost more than they find.
    let short: Vec<&Vec<u8>> = seeds.iter().filter(|seed| seed.len() < 10_000).collect();
    (0..many).find_map(|seed| {
        let mut dice = Dice::new(seed);
        let one = short[dice.below(short.len())];
        let other = short[dice.below(short.len())];
        let input = changed(one, other, &mut dice);
        tried(check, &input).err().map(|law| (seed, input, law))
    })
}

#[test]
fn every_reader_takes_its_seeds_and_is_not_brought_down_by_changed_ones() {
    for loader in ALL {
        let seeds = loader.seeds().unwrap();
        assert!(seeds.len() >= 2, "{}: {} seeds", loader.name, seeds.len());
        for (no, seed) in seeds.iter().enumerate() {
            assert_eq!(tried(loader.check, seed), Ok(()), "{}: seed {no}", loader.name);
        }
        if let Some((seed, input, law)) = first_broken(loader.check, &seeds, CHANGED) {
            panic!("{} {seed}: {law}\n{}", loader.name, String::from_utf8_lossy(&input));
        }
    }
}

#[test]
fn the_seed_of_the_summaries_holds_summaries() {
    // What is behind the digest is read as one, so that changed ones are tried behind it too.
    let seeds = heldfast_tests::loaders::named("summaries").unwrap().seeds().unwrap();
    let texts = seeds.iter().map(|seed| String::from_utf8_lossy(seed).into_owned());
    let lines: Vec<String> =
        texts.flat_map(|text| text.lines().map(str::to_owned).collect::<Vec<_>>()).collect();
    let bodies = lines.iter().filter_map(|line| line.splitn(3, ' ').nth(2));
    let read = bodies.filter(|body| ron::from_str::<craft::studio::Summary>(body).is_ok()).count();
    assert_eq!(read, 2);
}

/// Takes what stands behind `keep_back` for a number without looking.
#[expect(clippy::unnecessary_wraps, reason = "it stands where a law stands")]
fn hasty(bytes: &[u8]) -> Law {
    let text = String::from_utf8_lossy(bytes);
    let number = text.split("keep_back: ").nth(1).and_then(|rest| rest.split(',').next());
    if let Some(number) = number {
        let _share: f64 = number.trim_matches(['"', '%', ' ']).parse().expect("a number");
    }
    Ok(())
}

/// Passes over the lines it does not understand, and so loses them when it writes.
fn forgetful(bytes: &[u8]) -> Law {
    let text = String::from_utf8_lossy(bytes);
    let lines = text.lines().filter(|line| !line.trim().is_empty());
    let lost = lines.clone().filter(|line| !line.contains([':', ')', '(', ',', '/', '"', ']'])).count();
    if lost == 0 { Ok(()) } else { Err(format!("{lost} lines are lost")) }
}

#[test]
fn readers_that_are_wrong_on_purpose_are_caught() {
    let seeds = ALL.iter().find(|loader| loader.name == "studio").unwrap().seeds().unwrap();
    for broken in [hasty as fn(&[u8]) -> Law, forgetful] {
        assert!(seeds.iter().all(|seed| tried(broken, seed).is_ok()), "the seeds alone do not show it");
        let (_, input, _) = first_broken(broken, &seeds, 10 * CHANGED).expect("it is caught");
        assert!(tried(broken, &input).is_err());
    }
}

#[test]
fn the_same_seed_makes_the_same_change() {
    let seed = ALL[0].seeds().unwrap().remove(0);
    let made = |number| changed(&seed, &seed, &mut Dice::new(number));
    assert_eq!(made(5), made(5));
    let different = (0..100).filter(|&number| made(number) != seed).count();
    assert!(different > 90, "{different} of 100 are changes");
}
