//! How a stack of colour layers will look, for a drawing.

use super::colour::{Lab, Rgb, colour_difference, linear, screen};
use super::film::{Film, over, through_the_face};
use super::{DARK, Laid, METAL};

/// The look of a stack over metal and over a dark gap.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Preview {
    /// Over polished metal.
    pub over_metal: Rgb,
    /// Over a dark gap.
    pub over_dark: Rgb,
    /// The colour difference between the two (CIEDE2000); up to 2 the metal counts as hidden.
    pub difference: f64,
    /// Pearl or glitter is in it, whose look changes with how the flakes lie.
    pub estimate: bool,
}

/// What of the light is seen inside the film where this much is seen from outside: Saunderson turned round.
fn inside_the_face(seen: f64) -> f64 {
    let above = (seen - 0.04).clamp(0.0, 0.96);
    above / (0.96 * 0.4 + 0.6 * above)
}

/// K of one colour of light, per mm per cent. Where the mix scatters, so that a film without end has the colour of its
/// swatch; where it does not, so that one per cent and millimetre over white has.
fn absorption(mix_absorption: f64, scatter: f64, swatch: f64) -> f64 {
    // No pigment is quite black or quite white.
    let inside = inside_the_face(swatch).clamp(0.002, 0.998);
    if scatter > 0.0 {
        scatter * (1.0 - inside).powi(2) / (2.0 * inside)
    } else if mix_absorption > 0.0 {
        -0.5 * inside.ln()
    } else {
        0.0
    }
}

/// The look of layers with their swatch colours, the first being the nearest to the eye, each at its thinnest patch.
///
/// Three kinds of light are reckoned as three greys, which is good enough for a drawing: it is no colour match.
pub fn preview(layers: &[(Laid, Rgb)]) -> Preview {
    let channel = |backing: f64, pick: fn(Rgb) -> u8| {
        let films: Vec<Film> = layers
            .iter()
            .map(|(laid, colour)| {
                let (k, s) = (laid.mix.km_absorption.get(), laid.mix.km_scatter.get());
                let load_mm = laid.load.percent().max(0.0) * laid.counted_mm();
                Film::new(absorption(k, s, linear(pick(*colour))) * load_mm, s * load_mm)
            })
            .collect();
        through_the_face(over(&films, backing))
    };
    let light = |backing| [channel(backing, |c| c.0), channel(backing, |c| c.1), channel(backing, |c| c.2)];
    let (metal, dark) = (light(METAL), light(DARK));
    let shown = |light: [f64; 3]| {
        let [red, green, blue] = light.map(screen);
        (red, green, blue)
    };
    Preview {
        over_metal: shown(metal),
        over_dark: shown(dark),
        difference: colour_difference(Lab::of_linear(metal), Lab::of_linear(dark)),
        estimate: layers.iter().any(|(laid, _)| laid.mix.class.is_estimate()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::cure::{Mix, PigmentClass};
    use crate::units::{Length, Load, Share};

    fn laid(class: PigmentClass, load: f64, thickness_mm: f64) -> Laid {
        Laid::even(Mix::typical(class), Load::from_percent(load), Length::from_mm(thickness_mm))
    }

    fn near(one: Rgb, other: Rgb) -> bool {
        one.0.abs_diff(other.0) <= 1 && one.1.abs_diff(other.1) <= 1 && one.2.abs_diff(other.2) <= 1
    }

    #[test]
    fn a_thick_film_has_its_swatch_colour_whatever_is_behind() {
        let sage = (128, 147, 122);
        let seen = preview(&[(laid(PigmentClass::Colour, 2.0, 20.0), sage)]);
        assert!(near(seen.over_metal, sage) && near(seen.over_dark, sage), "{seen:?}");
        assert!(seen.difference < 0.01 && !seen.estimate);
    }

    #[test]
    fn no_film_shows_what_is_behind() {
        let bare = preview(&[]);
        let metal = screen(through_the_face(METAL));
        assert_eq!(bare.over_metal, (metal, metal, metal));
        assert!(bare.difference > 50.0);
        assert_eq!(preview(&[(laid(PigmentClass::White, 0.0, 1.0), (240, 240, 235))]), bare);
    }

    #[test]
    fn two_layers_of_one_mix_look_as_one_and_a_swirl_shows_more_of_the_metal() {
        let white = (240, 239, 233);
        let one = preview(&[(laid(PigmentClass::White, 0.5, 0.8), white)]);
        let two = laid(PigmentClass::White, 0.5, 0.4);
        let both = preview(&[(two, white), (two, white)]);
        assert!((one.difference - both.difference).abs() < 1e-9);
        let swirled = Laid { thinnest: Share::of(1, 2), ..laid(PigmentClass::White, 0.5, 0.8) };
        assert!(preview(&[(swirled, white)]).difference > 1.5 * one.difference);
    }

    #[test]
    fn a_dye_over_metal_has_its_swatch_colour_at_one_per_cent_and_millimetre() {
        let amber = (230, 160, 40);
        let seen = preview(&[(laid(PigmentClass::Dye, 1.0, 1.0), amber)]);
        // Metal is a little darker than the white the swatch is meant over.
        assert!(seen.over_metal.0 < amber.0 && amber.0 - seen.over_metal.0 < 25, "{seen:?}");
        assert!(seen.over_metal.2 < seen.over_metal.1 && seen.over_metal.1 < seen.over_metal.0);
        assert!(preview(&[(laid(PigmentClass::Pearl, 1.0, 1.0), amber)]).estimate);
    }

    #[test]
    fn the_face_turned_round_is_the_face() {
        for inside in [0.0, 0.1, 0.5, 0.9, 1.0] {
            assert!((inside_the_face(through_the_face(inside)) - inside).abs() < 1e-12);
        }
    }
}
