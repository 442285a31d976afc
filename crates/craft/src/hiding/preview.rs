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

    /// A class with its load, thickness in mm and swatch.
    type Coat = (PigmentClass, f64, f64, Rgb);

    const SAGE: Coat = (PigmentClass::Colour, 0.4, 0.5, (128, 147, 122));
    const CREAM: Coat = (PigmentClass::White, 0.5, 0.4, (240, 239, 233));
    const AMBER: Coat = (PigmentClass::Dye, 0.5, 1.0, (230, 160, 40));
    const NIGHT: Coat = (PigmentClass::Dark, 0.1, 0.5, (40, 60, 90));

    /// How stacks look over metal and over a dark gap, computed independently (numpy: Kubelka's closed form R = (1 −
    /// Rg(a − b·coth bSX))/(a − Rg + b·coth bSX), layer upon layer, Saunderson's face turned round by `brentq`, and
    /// the screen's curve of IEC 61966-2-1).
    const LOOKS: [(&[Coat], Rgb, Rgb); 5] = [
        (&[CREAM], (231, 231, 231), (154, 154, 154)),
        (&[SAGE], (180, 200, 171), (103, 106, 101)),
        (&[SAGE, CREAM], (180, 201, 172), (141, 151, 136)),
        (&[AMBER], (220, 181, 67), (66, 64, 57)),
        (&[NIGHT], (57, 91, 207), (57, 61, 71)),
    ];

    fn coats(coats: &[Coat]) -> Vec<(Laid, Rgb)> {
        coats.iter().map(|&(class, load, mm, swatch)| (laid(class, load, mm), swatch)).collect()
    }

    fn looks_hold(look: impl Fn(Vec<(Laid, Rgb)>) -> Preview) -> bool {
        LOOKS.iter().all(|&(stack, over_metal, over_dark)| {
            let seen = look(coats(stack));
            near(seen.over_metal, over_metal) && near(seen.over_dark, over_dark)
        })
    }

    #[test]
    fn stacks_look_as_the_closed_form_says_over_metal_and_over_a_gap() {
        assert!(looks_hold(|layers| preview(&layers)));
        assert!(
            !looks_hold(|layers| preview(&layers.into_iter().rev().collect::<Vec<_>>())),
            "broken: upside down"
        );
        let each = |change: fn((Laid, Rgb)) -> (Laid, Rgb)| {
            move |layers: Vec<(Laid, Rgb)>| preview(&layers.into_iter().map(change).collect::<Vec<_>>())
        };
        let turned = each(|(laid, colour)| (laid, (colour.2, colour.1, colour.0)));
        assert!(!looks_hold(turned), "broken: blue for red");
        let as_light = each(|(laid, colour)| {
            let light = |value: u8| screen(f64::from(value) / 255.0);
            (laid, (light(colour.0), light(colour.1), light(colour.2)))
        });
        assert!(!looks_hold(as_light), "broken: a screen's values taken for light");
        let there_and_back = each(|(mut laid, colour)| {
            laid.thickness = laid.thickness + laid.thickness;
            (laid, colour)
        });
        assert!(!looks_hold(there_and_back), "broken: twice the thickness");
    }

    #[test]
    fn a_swatch_says_how_much_is_absorbed_for_what_is_scattered() {
        // K/S = (1 − R∞)²/2R∞ is 0.0055556 for R∞ = 0.90 and 0.0132353 for 0.85 (Judd and Wyszecki, Color in Business,
        // Science and Industry, 1975, tabulate it).
        for (infinite, ratio) in [(0.90, 0.005_555_6), (0.85, 0.013_235_3)] {
            let of = |swatch: f64| absorption(0.05, 5.0, swatch) / 5.0;
            let seen = through_the_face(infinite);
            assert!((of(seen) - ratio).abs() < 6e-8, "{infinite}: {}", of(seen));
            assert!((of(infinite) - ratio).abs() > 1e-3, "broken: the face left out");
            // Second method: a film of that ratio without end throws back just that.
            let thick = Film::new(1e3 * ratio, 1e3).over(0.0);
            assert!((thick - infinite).abs() < 1e-5, "{thick}");
        }
    }

    #[test]
    fn the_face_turned_round_is_the_face() {
        for inside in [0.0, 0.1, 0.5, 0.9, 1.0] {
            assert!((inside_the_face(through_the_face(inside)) - inside).abs() < 1e-12);
        }
    }
}
