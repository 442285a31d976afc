//! Lamps and mixes under which nothing was seen to set.

use super::*;
use crate::cure::{Assurance, Button};
use crate::learning::{SKIN, doubling};
use crate::shelf::Lamp;

/// The lamps that a new studio begins with, as seconds of a press and of how long its light grows.
const LARGE: [(f64, f64); 3] = [(60.0, 0.0), (120.0, 0.0), (180.0, 0.0)];
const SMALL: [(f64, f64); 3] = [(60.0, 0.0), (99.0, 60.0), (120.0, 0.0)];

fn lit_by(bench: &mut Bench, presses: &[(f64, f64)]) {
    let button = |(total_s, ramp_s): &(f64, f64)| {
        Button::new(format!("{total_s} s"), Span::from_s(*total_s), Span::from_s(*ramp_s)).unwrap()
    };
    let buttons = presses.iter().map(button).collect();
    put(bench, "box-lamp", |item| item.what = What::Lamp(Lamp { buttons }));
}

/// A test of the times that are suggested for five patches under the first button, in which nothing set.
fn nothing(on: NaiveDate) -> Observation {
    let button = Button::new("60 s", Span::from_s(60.0), Span::ZERO).unwrap();
    let of = |light| {
        let depth = Reading { value: Length::ZERO, doubt: Length::from_mm(0.05), by: Means::Caliper };
        WedgePoint { light, depth }
    };
    let points: Vec<WedgePoint> = doubling(&button, Span::from_s(3.0), 5).into_iter().map(of).collect();
    assert_eq!(points.last().map(|point| point.light), Some(Span::from_s(48.0)));
    seen(on, Seen::Wedge { points })
}

fn in_white(observation: Observation) -> Observation {
    let pigment = Some(PigmentLoad { item: item("white"), load: Load::from_percent(0.5) });
    Observation { pigment, ..observation }
}

fn why(bench: &Bench, today: NaiveDate) -> String {
    bench.studio.plan_for(tag(0), &stone_sheet(1, CELLS[0]), today).unwrap_err().to_string()
}

#[test]
fn a_test_of_the_suggested_times_in_which_nothing_set_promises_nothing_under_any_lamp_of_a_new_studio() {
    for (presses, longest) in [(LARGE, "180 s"), (SMALL, "120 s")] {
        let mut bench = Bench::new();
        lit_by(&mut bench, &presses);
        put_bottle(&mut bench, |bottle| bottle.observations = vec![nothing(day(3))]);
        let taught = asked_of(&bench, "box-lamp", day(4));
        for light in &taught.lights {
            assert_eq!(taught.thickest_clear(light), None, "{light:?}");
        }
        assert_eq!(taught.cure.resin.provenance, Provenance::Typical, "no test of the bottle");
        let why = why(&bench, day(4));
        assert!(why.starts_with("nothing set in up to 48 s under this lamp, so no layer"), "{why}");
        let asks = format!("light one more patch for as long as the longest button, {longest} of full light");
        assert!(why.contains(&asks), "{why}");
        // Broken variant: refused only where no button gives more than was tried. The belief, which takes the test for a
        // slip, would then have its layers.
        let belief = taught.known.as_ref().unwrap().learned.belief;
        let light = Light::typical(taught.lights[0].button.clone());
        let resin = Resin::new(belief.penetration().unwrap(), Provenance::Typical).unwrap();
        let believed = Cure { resin, doubts: belief.doubts(taught.cure.doubts).unwrap(), ..taught.cure };
        assert!(believed.thickest_sure(Load::ZERO, &light).unwrap() > Length::from_mm(1.5));
        // The longer patch that it asks for, and something sets there: that is a test, and plans go on.
        put_bottle(&mut bench, |bottle| bottle.observations.push(wedge(day(4))));
        bench.studio.plan_for(tag(0), &stone_sheet(1, CELLS[0]), day(4)).unwrap();
    }
}

#[test]
fn a_button_is_promised_only_where_it_gives_clearly_more_than_set_nothing() {
    let mut bench = Bench::new();
    // Ten minutes at one press are more than twelve times 48 s.
    lit_by(&mut bench, &[(60.0, 0.0), (180.0, 0.0), (600.0, 0.0)]);
    put_bottle(&mut bench, |bottle| bottle.observations = vec![nothing(day(3))]);
    let taught = asked_of(&bench, "box-lamp", day(4));
    assert_eq!((taught.something_sets(), taught.cure.resin.provenance), (Ok(()), Provenance::Typical));
    let thickest: Vec<Option<Length>> =
        taught.lights.iter().map(|light| taught.cure.thickest_sure(Load::ZERO, light)).collect();
    assert_eq!(thickest[..2], [None, None]);
    // No more than what is left of ten minutes once 48 s and the margin are off, by the depth itself.
    let most_mm =
        taught.cure.resin.penetration().mm() * (600.0 / (48.0 * Assurance::USUAL.margin.get())).ln();
    let longest = thickest[2].unwrap();
    assert!(longest >= SKIN && longest.mm() < most_mm, "{longest} {most_mm}");
}

#[test]
fn layers_that_stay_soft_one_after_the_other_promise_nothing_until_something_sets() {
    let mut bench = Bench::new();
    lit_by(&mut bench, &LARGE);
    let soft = |layers: usize| {
        let (thickness, light) = (Length::from_mm(0.5), Span::from_s(120.0));
        vec![seen(day(1), Seen::Felt { thickness, light, hardness: Hardness::Soft }); layers]
    };
    put_bottle(&mut bench, |bottle| bottle.observations = soft(1));
    assert_eq!(asked_of(&bench, "box-lamp", day(2)).something_sets(), Ok(()), "one word rules nothing");
    for layers in [2, 20] {
        put_bottle(&mut bench, |bottle| bottle.observations = soft(layers));
        let taught = asked_of(&bench, "box-lamp", day(2));
        assert_eq!(taught.thickest_clear(&taught.lights[2]), None);
        let why = why(&bench, day(2));
        let said = format!("{layers} layers one after the other stayed soft, with up to 120 s of this lamp");
        assert!(why.starts_with(&said) && why.contains("test it in ten minutes"), "{why}");
    }
    put_bottle(&mut bench, |bottle| {
        bottle.observations = soft(2);
        bottle.observations.push(wedge(day(2)));
    });
    bench.studio.plan_for(tag(0), &stone_sheet(1, CELLS[0]), day(2)).unwrap();
}

#[test]
fn a_mix_in_which_nothing_set_is_not_planned_and_says_nothing_against_clear_layers() {
    let mut bench = Bench::new();
    lit_by(&mut bench, &LARGE);
    put_bottle(&mut bench, |bottle| bottle.observations = vec![wedge(day(3)), in_white(nothing(day(3)))]);
    let of = |bench: &Bench, pigment: &str| {
        let (resin, lamp, pigment) = (&item("clear"), &item("box-lamp"), &item(pigment));
        let asked = Asked { resin, lamp, pigment, body: Body::Opaque, today: day(4), also: None };
        bench.studio.taught(&asked).unwrap()
    };
    let white = of(&bench, "white");
    assert_eq!(white.something_sets(), Ok(()));
    let why = white.colour_sets().unwrap_err().to_string();
    assert!(why.starts_with("nothing set of a mix of 0.5 % in up to 48 s"), "{why}");
    assert!(why.contains("test a paler mix"), "{why}");
    assert_eq!(white.cure.mix.provenance, Provenance::Typical, "no test of the pigment");
    assert!(white.thickest_clear(&white.lights[0]).unwrap() > Length::from_mm(1.0));
    assert_eq!(of(&bench, "night").colour_sets(), Ok(()));
    let mut stone = stone_sheet(1, CELLS[0]);
    bench.studio.plan_for(tag(0), &stone, day(4)).unwrap();
    stone.pigment = item("white");
    let refused = bench.studio.plan_for(tag(0), &stone, day(4)).unwrap_err().to_string();
    assert_eq!(refused, why);
}
