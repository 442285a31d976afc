//! What hides the metal behind a stone, and how a colour looks over metal and over a dark gap.
//!
//! Hidden means that nobody sees where the metal ends: the colour over polished metal and over a dark gap behind
//! the stone differ by no more than a small colour difference (CIEDE2000). How much it takes is a property of the
//! mix, the *hiding need* H: load in per cent times thickness in mm, summed over the colour layers. The maker finds
//! it with a step film on a card; until then the class gives a cautious guess.
//!
//! This module never decides what cures and never knows a mould.
//!
//! ```
//! use craft::cure::{Mix, PigmentClass};
//! use craft::hiding::{CardStep, Laid, card_test, hidden};
//! use craft::units::{Length, Load};
//!
//! // The line on the card is seen through 0.6 mm of a 1 % mix and not through 0.8 mm.
//! let load = Load::from_percent(1.0);
//! let step = |mm, line_seen| CardStep { thickness: Length::from_mm(mm), line_seen };
//! let found = card_test(load, &[step(0.6, true), step(0.8, false)])?;
//! let mix = Mix { hiding: found.need, ..Mix::typical(PigmentClass::Colour) };
//! let layer = Laid::even(mix, load, Length::from_mm(0.4));
//! assert!(!hidden(&[layer]).holds() && hidden(&[layer, layer]).holds());
//! # Ok::<(), craft::hiding::CardError>(())
//! ```

mod card;
mod colour;
mod film;
mod preview;

pub use card::{Card, CardError, CardStep, CardTest, card_test};
pub use colour::{Lab, Rgb, colour_difference};
pub use film::{Film, over, through_the_face};
pub use preview::{Preview, preview};

use crate::cure::{Mix, PigmentClass};
use crate::units::{Length, Load, Share};

/// Reflectance of polished metal behind the stone (common practice, no source).
pub const METAL: f64 = 0.90;
/// Reflectance of a dark gap behind the stone (common practice, no source).
pub const DARK: f64 = 0.04;
/// The colour difference up to which the metal counts as hidden: between what is just perceptible, 0.6, and just
/// acceptable, 2.6, on resin discs 1 mm thick (Salas et al. 2018, Dent. Mater. 34:1168, by its abstract).
pub const HIDDEN: f64 = 2.0;
/// The same for a strict eye.
pub const STRICT: f64 = 1.0;

/// One colour layer as it was or will be laid.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Laid {
    /// The mix.
    pub mix: Mix,
    /// Its load.
    pub load: Load,
    /// The layer's thickness.
    pub thickness: Length,
    /// What is left of it at the thinnest patch: the whole where it is even, less where colours were swirled.
    pub thinnest: Share,
}

impl Laid {
    /// An even layer.
    pub fn even(mix: Mix, load: Load, thickness: Length) -> Self {
        Self { mix, load, thickness, thinnest: Share::WHOLE }
    }

    /// The thickness that counts.
    fn counted_mm(&self) -> f64 {
        self.thickness.mm().max(0.0) * self.thinnest.fraction().min(1.0)
    }
}

/// How far a stack of colour layers hides the metal.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Hidden {
    /// What is there of what is needed: 1 or more hides.
    pub share: f64,
    /// Pearl or glitter is in it: flakes hide by how they lie, so this is only an estimate.
    pub estimate: bool,
}

impl Hidden {
    /// True where the metal is hidden.
    pub fn holds(&self) -> bool {
        self.share >= 1.0
    }
}

/// How far layers hide, each judged at its thinnest patch: Σ load·thickness/H. The order of the layers does not count.
///
/// A clear layer and a dye add nothing, for neither is to be relied on.
pub fn hidden(layers: &[Laid]) -> Hidden {
    let counted = |layer: &&Laid| layer.mix.class.hides() && layer.mix.hiding.get() > 0.0;
    let share = layers
        .iter()
        .filter(counted)
        .map(|layer| layer.load.percent().max(0.0) * layer.counted_mm() / layer.mix.hiding.get())
        .sum();
    let estimate = layers.iter().any(|layer| layer.mix.class.is_estimate() && layer.load > Load::ZERO);
    Hidden { share, estimate }
}

/// The hiding need that follows from K and S of a mix: the load times thickness at which the colour difference
/// between metal and a dark gap has fallen to `limit`. `None` where the mix has neither K nor S.
///
/// Bisection over a difference that falls all the way as the film grows; sixty halvings reach the last digit.
pub fn need_from_film(km_absorption: f64, km_scatter: f64, limit: f64) -> Option<f64> {
    need_between(km_absorption, km_scatter, limit, (METAL, DARK))
}

fn need_between(absorption: f64, scatter: f64, limit: f64, (light, dark): (f64, f64)) -> Option<f64> {
    let sound = |value: f64| value.is_finite() && value >= 0.0;
    if !sound(absorption) || !sound(scatter) || !sound(limit) || absorption + scatter <= 0.0 || limit <= 0.0 {
        return None;
    }
    let seen = |load_mm: f64, backing: f64| {
        through_the_face(over(&[Film::new(absorption * load_mm, scatter * load_mm)], backing))
    };
    let differs = |load_mm: f64| {
        colour_difference(Lab::grey(seen(load_mm, light)), Lab::grey(seen(load_mm, dark))) > limit
    };
    let (mut low, mut high) = (0.0, 1.0);
    while differs(high) {
        high *= 2.0;
        if high > 1e6 {
            return None;
        }
    }
    for _ in 0..60 {
        let middle = 0.5 * (low + high);
        if differs(middle) { low = middle } else { high = middle }
    }
    Some(high)
}

impl PigmentClass {
    /// The hiding need a class is planned with until the maker's card test; none where it must not be relied on.
    pub fn typical_need(self) -> Option<f64> {
        self.hides().then(|| Mix::typical(self).hiding.get())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Computed independently with scipy 1.17.1 (`brentq` over Kubelka–Munk and Saunderson as in the textbooks): the
    /// hiding need of each class's K and S for a difference of 2 and of 1.
    const NEEDS: [(PigmentClass, f64, f64); 6] = [
        (PigmentClass::Dye, 1.8139967, 2.1709929),
        (PigmentClass::Pearl, 3.1867832, 4.0587964),
        (PigmentClass::White, 1.3551448, 1.8112223),
        (PigmentClass::Colour, 0.6791030, 0.8128801),
        (PigmentClass::Dark, 0.3958103, 0.4746002),
        (PigmentClass::Black, 0.2230981, 0.2670907),
    ];

    /// Computed independently with numpy 2.4.6: the difference that a film which just hides metal leaves on a card, of
    /// reflectance 0.04 and 0.80.
    const CARD: [(PigmentClass, f64); 5] = [
        (PigmentClass::Pearl, 1.44089),
        (PigmentClass::White, 1.32435),
        (PigmentClass::Colour, 1.70897),
        (PigmentClass::Dark, 1.76203),
        (PigmentClass::Black, 1.77337),
    ];

    fn needs_hold(need: impl Fn(f64, f64, f64) -> Option<f64>) -> bool {
        NEEDS.iter().all(|&(class, usual, strict)| {
            let mix = Mix::typical(class);
            let (k, s) = (mix.km_absorption.get(), mix.km_scatter.get());
            let near = |got: Option<f64>, want: f64| got.is_some_and(|got| (got / want - 1.0).abs() < 1e-6);
            near(need(k, s, HIDDEN), usual) && near(need(k, s, STRICT), strict)
        })
    }

    #[test]
    fn the_need_follows_from_the_film_and_the_colour_difference() {
        assert!(needs_hold(need_from_film));
        let on_a_card = |k, s, limit| need_between(k, s, limit, (0.80, DARK));
        assert!(!needs_hold(on_a_card), "broken: a white card for metal");
        assert!(!needs_hold(|k, s, limit| need_from_film(0.5 * k, s, limit)), "broken: α for K");
        assert!(!needs_hold(|k, s, limit| need_from_film(k, s, 2.0 * limit)), "broken: twice the difference");
    }

    #[test]
    fn the_class_tables_are_those_needs_rounded() {
        for (class, usual, _) in NEEDS {
            assert!((Mix::typical(class).hiding.get() - usual).abs() < 0.006, "{class:?}");
        }
        assert_eq!(PigmentClass::Dye.typical_need(), None);
        assert_eq!(PigmentClass::White.typical_need(), Some(1.36));
    }

    #[test]
    fn a_film_that_hides_metal_leaves_less_of_the_line_on_a_card() {
        for (class, want) in CARD {
            let mix = Mix::typical(class);
            let (k, s) = (mix.km_absorption.get(), mix.km_scatter.get());
            let need = need_from_film(k, s, HIDDEN).unwrap();
            let seen = |backing| Lab::grey(through_the_face(over(&[Film::new(k * need, s * need)], backing)));
            let left = colour_difference(seen(0.80), seen(0.04));
            assert!((left - want).abs() < 1e-5, "{class:?}: {left}");
        }
    }

    #[test]
    fn no_film_no_need() {
        assert_eq!(need_from_film(0.0, 0.0, HIDDEN), None);
        assert_eq!(need_from_film(f64::NAN, 1.0, HIDDEN), None);
        assert_eq!(need_from_film(1.0, 1.0, 0.0), None);
    }

    fn white(load: f64, thickness_mm: f64) -> Laid {
        let mix = Mix::typical(PigmentClass::White);
        Laid::even(mix, Load::from_percent(load), Length::from_mm(thickness_mm))
    }

    #[test]
    fn layers_add_up_in_any_order_and_a_swirl_counts_where_it_is_thinnest() {
        let (a, b) = (white(0.8, 0.5), white(1.2, 0.8));
        assert!((hidden(&[a, b]).share - 1.36 / 1.36).abs() < 1e-12);
        assert!((hidden(&[a, b]).share - hidden(&[b, a]).share).abs() < 1e-15);
        assert!(hidden(&[a, white(1.2, 0.81)]).holds() && !hidden(&[a, white(1.2, 0.79)]).holds());
        let swirled = Laid { thinnest: Share::of(1, 3), ..b };
        assert!((hidden(&[a, swirled]).share - (0.4 + 0.32) / 1.36).abs() < 1e-6);
        assert!(!hidden(&[a, swirled]).holds(), "broken: the mean thickness of a swirl would hide");
        assert!(!hidden(&[]).holds());
    }

    #[test]
    fn what_is_not_to_be_relied_on_adds_nothing_and_flakes_are_flagged() {
        let of = |class| Laid::even(Mix::typical(class), Load::from_percent(2.0), Length::from_mm(2.0));
        for class in [PigmentClass::Clear, PigmentClass::Dye] {
            assert!(hidden(&[of(class)]).share.abs() < 1e-15, "{class:?}");
        }
        assert!(hidden(&[of(PigmentClass::White), of(PigmentClass::Pearl)]).estimate);
        assert!(!hidden(&[of(PigmentClass::White), of(PigmentClass::Dye)]).estimate);
    }
}
