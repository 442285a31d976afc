//! Outcomes from the record of a stone: what was laid, lit and felt is learned from without a word more.

use super::observation::{Observation, PigmentLoad, Seen};
use crate::cure::Button;
use crate::fact::{Hardness, LayerKind};
use crate::id::ShelfId;
use crate::ledger::{Feel, Layer, Lit, Stone};
use crate::shelf::{Body, Mould};
use crate::units::{Length, Span};

/// What the layers of one stone say of `bottle`: those that were felt, and lit by one button of one lamp alone, once for
/// each amount of light they were felt after. A layer that was soft, lit again and came out hard says both.
///
/// `mould` is the stone's; none where it is not known any more, and then it counts as one that lets light in, which
/// proves less. In a dark one the walls' shade over each layer is taken off the light, as a plan does.
///
/// A layer that holds material, or was swirled, has had less light below than it says here; so where it came out hard
/// that is a bound all the same, and where it did not nothing is said of the resin. Light that fell once the stone was
/// out of its mould came from nobody knows which side, so no feel after it counts.
pub fn outcomes(stone: &Stone, bottle: &ShelfId, mould: Option<&Mould>) -> Vec<Observation> {
    let mut left = mould.map_or(Length::ZERO, |mould| mould.cavity.depth());
    let mut all = Vec::new();
    for layer in &stone.layers {
        left = left - layer.thickness;
        if layer.bottle != *bottle {
            continue;
        }
        let share = mould.and_then(Mould::well).map_or(1.0, |well| well.light_share(left));
        let body = mould.map_or(Body::LetsLightIn, |mould| mould.body);
        all.extend(layer.felts.iter().filter_map(|feel| outcome(layer, feel, (body, share))));
    }
    all
}

/// True of a feel that says something of the layer's bottle, whatever mould it lay in.
pub fn teaches(layer: &Layer, feel: &Feel) -> bool {
    under_one_button(layer, feel).is_some()
}

/// The light that a feel tells of: all of one button, from above, and enough said by how the layer came out.
fn under_one_button<'a>(layer: &'a Layer, feel: &Feel) -> Option<&'a [Lit]> {
    let is_plain = !matches!(layer.kind, LayerKind::Material | LayerKind::Swirled);
    if !is_plain && feel.hardness != Hardness::Hard {
        return None;
    }
    let lit = layer.lit.get(..feel.presses)?;
    let press = &lit.first()?.press;
    let is_same = |other: &Lit| other.press.lamp == press.lamp && other.press.button == press.button;
    lit.iter().all(|lit| is_same(lit) && lit.in_mould).then_some(lit)
}

fn outcome(layer: &Layer, feel: &Feel, (body, share): (Body, f64)) -> Option<Observation> {
    let lit = under_one_button(layer, feel)?;
    let press = &lit.first()?.press;
    let fallen: Span = lit.iter().filter_map(full_seconds).sum();
    let light = Span::try_from(share * fallen.s()).ok()?;
    let pigment = layer.pigment.clone().map(|item| PigmentLoad { item, load: layer.load });
    let observation = Observation {
        on: feel.at.day(),
        lamp: press.lamp.clone(),
        button: press.button,
        lamp_lit: None,
        body,
        pigment,
        seen: Seen::Felt { thickness: layer.thickness, light, hardness: feel.hardness },
    };
    observation.check().ok().map(|()| observation)
}

/// Seconds of full power of one press, as far as light surely fell.
fn full_seconds(lit: &Lit) -> Option<Span> {
    let button = Button::new("", lit.press.seconds, lit.press.ramp).ok()?;
    Some(button.equivalent_after(lit.off?.1))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::fact::{Hardness, PourFact, Press};
    use crate::testing::*;
    use crate::units::Load;

    /// The stone's plain layer on a first one that holds the material, ready for the lamp.
    fn second_layer(kind: LayerKind) -> Bench {
        let mut bench = Bench::hard();
        bench.record(laid(1, 2, kind));
        bench
    }

    fn light(bench: &mut Bench, button: u8, lit_s: f64) {
        let (seconds, ramp) = match button {
            1 => (Span::from_s(60.0), Span::ZERO),
            _ => (Span::from_s(99.0), Span::from_s(60.0)),
        };
        let press = Press { lamp: item("box-lamp"), button, seconds, ramp };
        let on = bench.record(PourFact::LampOn { stones: vec![1], press });
        bench.minute += 2;
        bench.record(lamp_off(on, lit_s));
    }

    /// What layer 2 says: light in seconds and how it felt.
    fn said(bench: &Bench, mould: Option<&Mould>) -> Vec<(f64, Hardness)> {
        let all = outcomes(bench.held().ledger.pours.stone(1).unwrap(), &item("clear"), mould);
        // The first layer holds the material and says one thing.
        assert_eq!(
            all[0].seen,
            Seen::Felt {
                thickness: Length::from_mm(1.0),
                light: light_of(&all[0]),
                hardness: Hardness::Hard
            }
        );
        all[1..].iter().map(|seen| (light_of(seen).s(), hardness_of(seen))).collect()
    }

    fn light_of(seen: &Observation) -> Span {
        let Seen::Felt { light, .. } = &seen.seen else { panic!("{seen:?}") };
        *light
    }

    fn hardness_of(seen: &Observation) -> Hardness {
        let Seen::Felt { hardness, .. } = &seen.seen else { panic!("{seen:?}") };
        *hardness
    }

    #[test]
    fn a_soft_layer_that_is_lit_again_says_what_each_light_did() {
        use Hardness::{Hard, Soft, Tacky};
        let mut bench = second_layer(LayerKind::Clear);
        light(&mut bench, 1, 60.0);
        assert_eq!(said(&bench, None), [], "not felt yet");
        bench.record(felt(1, 2, Soft));
        light(&mut bench, 1, 60.0);
        assert_eq!(said(&bench, None), [(60.0, Soft)], "lit again, and what it was is not forgotten");
        bench.record(felt(1, 2, Tacky));
        light(&mut bench, 1, 30.0);
        bench.record(felt(1, 2, Hard));
        assert_eq!(said(&bench, None), [(60.0, Soft), (120.0, Tacky), (150.0, Hard)]);
        // A second word after the same light stands in place of the first.
        bench.record(felt(1, 2, Tacky));
        assert_eq!(said(&bench, None), [(60.0, Soft), (120.0, Tacky), (150.0, Tacky)]);
    }

    #[test]
    fn a_part_of_a_press_counts_as_the_light_that_fell() {
        let mut bench = second_layer(LayerKind::Clear);
        light(&mut bench, 2, 64.0);
        bench.record(felt(1, 2, Hardness::Hard));
        // By hand: half of the 60 s it grows, and 4 s of full power.
        assert_eq!(said(&bench, None), [(34.0, Hardness::Hard)]);
    }

    #[test]
    fn two_buttons_say_nothing_together_but_the_first_alone_does() {
        let mut bench = second_layer(LayerKind::Clear);
        light(&mut bench, 1, 60.0);
        bench.record(felt(1, 2, Hardness::Soft));
        light(&mut bench, 2, 99.0);
        bench.record(felt(1, 2, Hardness::Hard));
        assert_eq!(said(&bench, None), [(60.0, Hardness::Soft)]);
    }

    #[test]
    fn a_swirled_layer_says_only_that_it_came_out_hard() {
        let mut bench = second_layer(LayerKind::Swirled);
        light(&mut bench, 1, 60.0);
        bench.record(felt(1, 2, Hardness::Soft));
        light(&mut bench, 1, 60.0);
        bench.record(felt(1, 2, Hardness::Hard));
        assert_eq!(said(&bench, None), [(120.0, Hardness::Hard)]);
    }

    #[test]
    fn light_out_of_the_mould_is_of_nobody_knows_which_side() {
        let mut bench = second_layer(LayerKind::Clear);
        light(&mut bench, 1, 60.0);
        bench.record(felt(1, 2, Hardness::Tacky));
        bench.record(taken_out(1));
        light(&mut bench, 1, 60.0);
        bench.record(felt(1, 2, Hardness::Hard));
        assert_eq!(said(&bench, None), [(60.0, Hardness::Tacky)]);
    }

    #[test]
    fn the_walls_of_a_dark_mould_are_taken_off_the_light() {
        let mut bench = second_layer(LayerKind::Clear);
        light(&mut bench, 1, 60.0);
        bench.record(felt(1, 2, Hardness::Hard));
        let dark = Mould { cavity: cavity(), cells: vec![cell("A1")], body: Body::Opaque };
        // By hand: 3.5 mm deep with 2 mm in it, so 1.5 mm under the rim of an oval 8 mm wide: 4²/(4² + 1.5²).
        let [(lit_s, Hardness::Hard)] = said(&bench, Some(&dark))[..] else { panic!("one word") };
        assert!((lit_s - 60.0 * 16.0 / 18.25).abs() < 1e-5, "{lit_s}");
        let white = Mould { body: Body::LetsLightIn, ..dark };
        assert_eq!(said(&bench, Some(&white)), [(60.0, Hardness::Hard)]);
        let seen = outcomes(bench.held().ledger.pours.stone(1).unwrap(), &item("clear"), Some(&white));
        assert!(seen.iter().all(|seen| seen.body == Body::LetsLightIn));
    }

    #[test]
    fn another_bottle_and_the_pigment_are_kept_apart() {
        let mut bench = Bench::hard();
        let PourFact::Laid { stone, layer, kind, thickness, amount, .. } = laid(1, 2, LayerKind::Opaque)
        else {
            panic!("laid")
        };
        let (load, pigment) = (Load::from_percent(0.4), Some(item("night")));
        let bottle = item("clear");
        bench.record(PourFact::Laid { stone, layer, kind, thickness, load, amount, bottle, pigment });
        light(&mut bench, 1, 60.0);
        bench.record(felt(1, 2, Hardness::Hard));
        let stone = bench.held().ledger.pours.stone(1).unwrap();
        let all = outcomes(stone, &item("clear"), None);
        assert_eq!(all[1].pigment, Some(PigmentLoad { item: item("night"), load }));
        assert_eq!(outcomes(stone, &item("other"), None), []);
    }
}
