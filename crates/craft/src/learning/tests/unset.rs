//! What did not set: tests of nothing, layers that stayed soft, and mixes in which nothing set.

use super::*;
use crate::cure::Provenance;

fn fixture_of(name: &str) -> Belief {
    let fixture: serde_json::Value =
        serde_json::from_str(include_str!("../../../../../tests/fixtures/wedge.json")).unwrap();
    let case = fixture["posteriors"].as_array().unwrap().iter().find(|case| case["name"] == name).unwrap();
    let part = |of: &str, i: usize| case[of][i].as_f64().unwrap();
    Belief { mean: [0, 1].map(|i| part("mean", i)), covariance: [0, 1, 2].map(|i| part("covariance", i)) }
}

/// A test in which none of these seconds set anything.
fn nothing(seconds: &[f64]) -> Observation {
    wedge(&seconds.iter().map(|s| (*s, 0.0)).collect::<Vec<_>>(), 0.05)
}

/// The times that are suggested for a test of five patches.
const SUGGESTED: [f64; 5] = [3.0, 6.0, 12.0, 24.0, 48.0];

fn known() -> Belief {
    let together = crate::cure::Correlation::new(0.8).unwrap();
    Belief::new((Length::from_mm(1.0), Span::from_s(1.0)), (0.05, 0.10), together).unwrap()
}

fn learned_of(class: PigmentClass, seen: &[Observation]) -> LearnedPigment {
    learn_pigment(&Mix::typical(class), &known(), (&"paint".parse().unwrap(), seen), &bench()).unwrap()
}

#[test]
fn the_steps_of_one_test_that_left_nothing_have_one_lapse_together() {
    let expected = fixture_of("little light that set nothing");
    let found = learned(&[nothing(&[1.0, 2.0, 3.0])]).belief;
    assert!(apart(&found, &expected) < 5e-3, "{found:?} {expected:?}");
    // Broken variant: a lapse for each of them, as if each were a test by itself.
    let each = [1.0, 2.0, 3.0].map(|s| nothing(&[s]));
    assert!(apart(&learned(&each).belief, &expected) > 0.1);
    // One slip explains the whole test, so one in which something sets afterwards is believed as it is.
    let after = learned(&[nothing(&SUGGESTED), wedge(&FOUR, 0.05)]);
    let alone = learned(&[wedge(&FOUR, 0.05)]);
    assert!(apart(&after.planned, &alone.planned) < 0.05, "{after:?} {alone:?}");
    assert_eq!(after.dead, None);
}

#[test]
fn bounds_against_all_expectation_are_looked_for_where_they_lie() {
    let soft = vec![felt(0.5, 120.0, Hardness::Soft); 20];
    let evidence = Evidence::of(&soft, &bench(), Settings::USUAL).unwrap();
    let found = grid(&Ask { prior: Some(Belief::TYPICAL), evidence: &evidence }).unwrap();
    assert!(found.rim < 2e-4, "{}", found.rim);
    let expected = fixture_of("soft against all expectation");
    assert!(apart(&found.belief(), &expected) < 5e-3, "{:?} {expected:?}", found.belief());
    // Broken variant: five deviations of what was believed to each side, wherever the weight lies.
    let [_, cross, second] = Belief::TYPICAL.root().unwrap();
    assert!(expected.mean[1] > 5.0 * (cross + second), "no such grid reaches there");
    assert!(apart(&Belief::TYPICAL, &expected) > 5.0);
}

#[test]
fn a_test_far_below_all_belief_is_not_planned_against_though_slips_would_explain_it() {
    // What a lamp that gives a twentieth of its light leaves of a resin that takes three times as much of it as is usual.
    let steps = [(30.0, 0.1), (60.0, 0.3), (120.0, 0.5), (240.0, 0.7)];
    let dim = learned(&[wedge(&steps, 0.05)]);
    let is_dim = |note: &Note| matches!(note, Note::Dim { .. });
    assert!(dim.notes.iter().any(is_dim), "{:?}", dim.notes);
    for (s, mm) in steps {
        let (planned_mm, _) = dim.planned.depth(Span::from_s(s), (0.0, 0.0), None);
        assert!(planned_mm <= mm + 1e-9, "{s} s set {mm} mm, and {planned_mm} mm are planned");
    }
    // Broken variant: the belief itself takes all four steps for slips.
    let (believed_mm, _) = dim.belief.depth(Span::from_s(60.0), (0.0, 0.0), None);
    assert!(believed_mm > 1.0, "{believed_mm}");
    // One step that is far out is a slip, a usual test is planned as it is believed, and a newer one takes its place.
    let slip = learned(&[wedge(&[(5.0, 1.15), (12.0, 0.3), (30.0, 2.6), (75.0, 3.3)], 0.05)]);
    assert!(!slip.notes.iter().any(is_dim), "{:?}", slip.notes);
    let usual = learned(&[wedge(&FOUR, 0.05)]);
    assert_eq!((usual.planned, usual.notes.iter().any(is_dim)), (usual.belief, false));
    let mended = learned(&[wedge(&steps, 0.05), wedge(&FOUR, 0.05)]);
    assert!(!mended.notes.iter().any(is_dim), "{:?}", mended.notes);
}

#[test]
fn what_set_nothing_is_never_planned_to_be_enough_and_is_no_test() {
    let dead = learned(&[nothing(&SUGGESTED)]);
    assert!(dead.planned.first_set().unwrap() >= Span::from_s(47.9), "{dead:?}");
    assert!(dead.planned.first_set_doubt() >= Belief::TYPICAL.first_set_doubt() - 1e-9);
    assert_eq!((dead.provenance(), dead.tested), (Provenance::Typical, None));
    // Broken variant: the belief itself, which takes the whole test for one slip, would promise a layer.
    assert!(dead.belief.first_set().unwrap() < Span::from_s(1.1));
    // A test before it stays a test, and its light is not believed any more.
    let before = learned(&[wedge(&FOUR, 0.05), nothing(&SUGGESTED)]);
    assert_eq!(before.provenance(), Provenance::Tested(day(0)));
    assert!(before.planned.first_set().unwrap() >= Span::from_s(47.9));
    assert!(before.planned.first_set_doubt() > 2.0 * before.belief.first_set_doubt());
    // Layers that stayed soft one after the other are believed from the second on, at what came through them.
    let soft = |layers: usize| learned(&vec![felt(0.5, 120.0, Hardness::Soft); layers]);
    assert_eq!(soft(1).soft, None);
    assert_eq!(soft(2).soft, Some(Soft { layers: 2, light: Span::from_s(120.0) }));
    assert!(soft(2).planned.first_set().unwrap() > Span::from_s(60.0), "{:?}", soft(2).planned);
    assert!(soft(20).planned.mean[0] <= 0.0, "no depth is greater for what did not set");
    // One that sets on the same day or later takes that back.
    let mut mended = vec![felt(0.5, 120.0, Hardness::Soft); 2];
    mended.push(felt(1.0, 60.0, Hardness::Hard));
    assert_eq!(learned(&mended).soft, None);
}

#[test]
fn a_step_of_a_mix_that_left_nothing_speaks_of_its_pigment() {
    let evidence = Evidence::of(&[coloured(nothing(&[3.0]), 1.0)], &bench(), Settings::USUAL).unwrap();
    let at = |absorption: f64| evidence.log_likelihood([0.0, 0.0], absorption);
    // A tenth of a millimetre at 1 % takes (1 + α)/10 of the logarithm, and 3 s over 1 s are 1.1 of it: 10 is the middle.
    assert!((at(10.0) - (0.025_f64 + 0.95 * 0.5).ln()).abs() < 0.02, "{}", at(10.0));
    // Broken variant: a depth of nothing, of which the pigment takes nothing.
    assert!(at(15.0) > at(5.0) + 2.0, "{} {}", at(15.0), at(5.0));
}

#[test]
fn a_mix_in_which_nothing_set_is_a_guess_and_reckoned_to_take_what_would_keep_it_from_setting() {
    let white = Mix::typical(PigmentClass::White);
    let dead = learned_of(PigmentClass::White, &[coloured(nothing(&SUGGESTED), 1.0)]);
    assert_eq!((dead.tested, dead.dead), (None, Some((Span::from_s(48.0), Load::from_percent(1.0)))));
    assert_eq!(dead.mix(&white).provenance, Provenance::Typical, "no test of it");
    // By hand: ln 48 over a tenth of a millimetre, less 1 per mm of the clear resin.
    assert!((dead.absorption.get() - (10.0 * 48.0_f64.ln() - 1.0)).abs() < 1e-6, "{dead:?}");
    // A paler mix that set in a test is planned, and nothing stronger.
    let paler = mixed(0.3, 1.0 + 1.5);
    let both = learned_of(PigmentClass::White, &[paler.clone(), coloured(nothing(&SUGGESTED), 1.0)]);
    assert_eq!((both.most, both.own, both.tested), (Some(Load::from_percent(0.3)), None, Some(day(0))));
    assert!(both.absorption.get() < 10.0, "{both:?}");
    // One as strong that set afterwards takes it back, a paler one does not.
    let again = [coloured(nothing(&SUGGESTED), 1.0), mixed(1.0, 1.0 + 5.0)];
    let again = learned_of(PigmentClass::White, &again);
    assert_eq!((again.dead, again.most), (None, None));
    assert!((again.absorption.get() - 5.0).abs() < 0.6, "{again:?}");
    let later = learned_of(PigmentClass::White, &[coloured(nothing(&SUGGESTED), 1.0), paler]);
    assert_eq!(later.most, Some(Load::from_percent(0.3)));
}

#[test]
fn what_is_to_be_known_of_coloured_layers_is_said_for_each_pigment() {
    use Hardness::{Hard, Soft, Tacky};
    let notes = |layers: &[(f64, f64, Hardness)]| {
        let seen: Vec<_> =
            layers.iter().map(|(mm, load, hardness)| coloured(felt(*mm, 60.0, *hardness), *load)).collect();
        learned(&seen).notes
    };
    let named = |note: Note| Note::InColour { pigment: "paint".parse().unwrap(), note: Box::new(note) };
    let tacky = notes(&[(0.5, 0.5, Tacky), (0.5, 0.6, Tacky)]);
    assert_eq!(tacky, [Note::NothingHere, named(Note::AllTacky { layers: 2 })]);
    assert!(tacky[1].to_string().starts_with("among the coloured layers, all 2 layers came out tacky"));
    let against = notes(&[(0.6, 1.0, Hard), (0.5, 0.5, Soft)]);
    assert!(
        matches!(&against[..], [_, Note::InColour { note, .. }] if matches!(**note, Note::Contradicting { .. }))
    );
    assert_eq!(notes(&[(0.6, 0.5, Hard), (0.5, 1.0, Soft)]), [Note::NothingHere], "more colour explains it");
}

#[test]
fn what_set_in_a_tray_that_lets_light_in_takes_nothing_back_of_a_dark_mould() {
    let clear_tray = |seen: Observation| Observation { body: Body::LetsLightIn, ..seen };
    let hard = || clear_tray(felt(0.5, 60.0, Hardness::Hard));
    let late = |seen: Observation| Observation { on: day(0), ..seen };
    let early = |seen: Observation| Observation { on: day(0) - chrono::Days::new(2), ..seen };
    let dark = learned(&[early(nothing(&SUGGESTED)), late(hard())]);
    assert_eq!(dark.dead, Some(Span::from_s(48.0)));
    let soft = || early(felt(0.5, 120.0, Hardness::Soft));
    assert!(learned(&[soft(), soft(), late(hard())]).soft.is_some());
    // The broken rule lets any mould take it back; in a dark one it does.
    let in_dark = || felt(0.5, 60.0, Hardness::Hard);
    assert_eq!(learned(&[early(nothing(&SUGGESTED)), late(in_dark())]).dead, None);
    assert_eq!(learned(&[soft(), soft(), late(in_dark())]).soft, None);
}

#[test]
fn of_several_mixes_in_which_nothing_set_the_palest_says_most() {
    let mix = |percent: f64, s: f64| Observation {
        pigment: Some(PigmentLoad { item: "paint".parse().unwrap(), load: Load::from_percent(percent) }),
        ..nothing(&[s])
    };
    let both = [mix(0.5, 60.0), mix(1.5, 120.0)];
    let taken = |seen: &[Observation]| learned_of(PigmentClass::Dark, seen).absorption.get();
    // The pale one alone needs (ln 60 s − ln 1 s)/0.1 mm − 1 per mm over 0.5 % (worked by hand).
    let pale = (10.0 * 60.0_f64.ln() - 1.0) / 0.5;
    assert!((taken(&both) - pale).abs() < 1e-6, "{} and {pale}", taken(&both));
    assert!(taken(&both[1..]) < 0.7 * pale, "broken: only what was lit longest");
}
