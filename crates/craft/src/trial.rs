//! One layer tried out without an order: what a thickness, a load and some light make of it.

use crate::cure::{Button, Cure, Light, Surety};
use crate::heat::{Heat, Lit, Sources, Touch, heat};
use crate::hiding::{Laid, hidden};
use crate::units::{Length, Load, Span};

/// The thickest layer that is looked at, mm: the thickest that the bound is worked out for.
const DEEPEST_MM: f64 = 30.0;

/// A layer and the light over it.
#[derive(Clone, Debug, PartialEq)]
pub struct Trial {
    /// Resin, pigment and their doubts.
    pub cure: Cure,
    /// The lamp button over this bottle.
    pub light: Light,
    /// How thick the layer is; above 0.
    pub thickness: Length,
    /// Its load; 0 for clear resin.
    pub load: Load,
    /// How much heat the resin gives.
    pub sources: Sources,
}

/// What becomes of it.
#[derive(Clone, Debug, PartialEq)]
pub struct Tried {
    /// How sure it is to set right through.
    pub surety: Surety,
    /// The thickest layer that is sure under this light; none where not even a film is.
    pub sure: Option<Length>,
    /// How deep this light sets by the best guess, no doubts counted; 0 where the light is too little for a skin.
    pub guessed: Length,
    /// How long the lamp must be lit, its growing counted, so that this layer is sure; none where no press is long
    /// enough.
    pub wanted: Option<Span>,
    /// What it hides of what hides the metal: 1 or more hides. None where neither pigment nor load is to be relied on.
    pub hides: Option<f64>,
    /// How many such layers hide the metal.
    pub layers: Option<u32>,
    /// How warm it becomes.
    pub heat: Heat,
    /// The same as a hand would say it.
    pub touch: Touch,
    /// More pigment than the resin takes without spoiling.
    pub too_much: bool,
}

impl Trial {
    /// The same under a press of so many seconds, growing as the lamp's own button does.
    ///
    /// # Errors
    /// A press that is no press: nothing, or above an hour.
    pub fn lit_for(mut self, seconds: Span) -> Result<Self, crate::cure::CureError> {
        let button = Button::new(self.light.button.name(), seconds, self.light.button.ramp())?;
        self.light = Light::new(button, self.light.first_set(), self.light.provenance)?;
        Ok(self)
    }

    /// What becomes of the layer.
    pub fn tried(&self) -> Tried {
        let Self { cure, light, thickness, load, sources } = self;
        let share = hidden(&[Laid::even(cure.mix, *load, *thickness)]).share;
        let hides = (cure.mix.class.hides() && load.is_positive()).then_some(share);
        let takes = (cure.resin.penetration(), cure.mix.absorption);
        let warmed = heat(&Lit::of_mix(*thickness, takes, *load, light), sources);
        Tried {
            surety: cure.sets_through(*thickness, *load, light),
            sure: cure.thickest_sure(*load, light),
            guessed: self.guessed(),
            wanted: self.wanted(),
            hides,
            layers: hides.filter(|share| *share > 0.0).map(layers),
            heat: warmed,
            touch: warmed.touch(),
            too_much: *load > cure.mix.ceiling,
        }
    }

    /// Where the best guess of the light has fallen to what just sets: Jacobs' working curve (1992). Forty halvings of
    /// [`DEEPEST_MM`] leave less than a nanometre.
    fn guessed(&self) -> Length {
        let sets = |mm: f64| self.cure.nominal_ratio(Length::from_mm(mm), self.load, &self.light) >= 1.0;
        let (mut set_mm, mut raw_mm) = (0.0, DEEPEST_MM);
        if !sets(set_mm) {
            return Length::ZERO;
        }
        for _ in 0..40 {
            let middle = 0.5 * (set_mm + raw_mm);
            if sets(middle) { set_mm = middle } else { raw_mm = middle }
        }
        Length::from_mm(set_mm)
    }

    /// Seconds on the lamp's clock for the seconds of full power that are sure: half the growing more, once it is over.
    fn wanted(&self) -> Option<Span> {
        let full = self.cure.seconds_sure(self.thickness, self.load, self.light.first_set())?;
        let ramp_s = self.light.button.ramp().s();
        let lit_s =
            if full.s() >= 0.5 * ramp_s { full.s() + 0.5 * ramp_s } else { (2.0 * ramp_s * full.s()).sqrt() };
        let lit = Span::try_from(lit_s).ok()?;
        (lit <= Span::from_micro(3_600_000_000)).then_some(lit)
    }
}

/// How many layers of this share hide together; what is above a million is of no use to anybody.
#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "between one and a million")]
fn layers(share: f64) -> u32 {
    // A share that is an even part of the whole must not need one more for the last digit's sake.
    (1.0 / share - 1e-9).ceil().clamp(1.0, 1e6) as u32
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::cure::{Doubts, PigmentClass, Provenance, Resin};

    fn trial(thickness_mm: f64, load: f64, seconds: f64) -> Trial {
        let mut cure = Cure::typical(PigmentClass::White);
        cure.resin = Resin::new(Length::from_mm(0.5), Provenance::Practised).unwrap();
        let button = Button::new("on", Span::from_s(seconds), Span::ZERO).unwrap();
        let light = Light::new(button, Span::from_s(2.0), Provenance::Practised).unwrap();
        let (thickness, load) = (Length::from_mm(thickness_mm), Load::from_percent(load));
        Trial { cure, light, thickness, load, sources: Sources::TYPICAL }
    }

    #[test]
    fn the_best_guess_is_the_working_curve() {
        // Jacobs 1992: depth = Dp·ln(E/Ec); 0.5 mm × ln(60 s ÷ 2 s) = 1.700 599 mm (elementary arithmetic).
        let clear = trial(0.4, 0.0, 60.0);
        let depth = |trial: &Trial| trial.tried().guessed.mm();
        assert!((depth(&clear) - 1.700_599).abs() < 2e-6);
        // Twice the light is Dp·ln 2 deeper; a linear law would be twice as deep.
        assert!((depth(&trial(0.4, 0.0, 120.0)) - depth(&clear) - 0.5 * 2.0_f64.ln()).abs() < 2e-6);
        assert!((2.0 * depth(&clear) - depth(&trial(0.4, 0.0, 120.0))).abs() > 1.0);
        // Light that is too little for a skin sets nothing.
        assert_eq!(trial(0.4, 0.0, 1.0).tried().guessed, Length::ZERO);
    }

    #[test]
    fn what_is_wanted_is_just_enough_and_a_second_less_is_not() {
        for (thickness, load, ramp) in [(0.4, 0.0, 0.0), (0.4, 0.2, 10.0), (0.3, 0.3, 40.0)] {
            let mut trial = trial(thickness, load, 30.0);
            let button = Button::new("on", Span::from_s(30.0), Span::from_s(ramp)).unwrap();
            trial.light = Light::new(button, Span::from_s(2.0), Provenance::Practised).unwrap();
            let wanted = trial.tried().wanted.unwrap();
            let surety = |seconds| trial.clone().lit_for(seconds).unwrap().tried().surety;
            assert_eq!(surety(wanted + Span::from_micro(1_000)), Surety::Sure);
            assert_ne!(surety(wanted - Span::from_s(1.0)), Surety::Sure);
        }
    }

    #[test]
    fn sure_is_never_deeper_than_the_best_guess_and_equals_it_without_doubt() {
        let mut trial = trial(0.4, 1.0, 60.0);
        let tried = trial.tried();
        assert!(tried.sure.unwrap() < tried.guessed);
        trial.cure.doubts = Doubts::NONE;
        trial.cure.assurance.margin = crate::cure::Factor::new(1.0).unwrap();
        let tried = trial.tried();
        assert!(
            (tried.sure.unwrap().mm() - tried.guessed.mm()).abs() < 2e-3,
            "rounded down to the micrometre"
        );
    }

    #[test]
    fn layers_add_up_to_what_hides() {
        let need = trial(0.4, 1.0, 60.0).cure.mix.hiding.get();
        // A quarter of the need in each layer: four of them, and five of a fifth.
        for (parts, want) in [(1.0, 1), (4.0, 4), (5.0, 5), (2.5, 3)] {
            let tried = trial(need / parts, 1.0, 60.0).tried();
            assert_eq!(tried.layers, Some(want), "{parts}");
        }
        let clear = trial(0.4, 0.0, 60.0).tried();
        assert_eq!((clear.hides, clear.layers), (None, None));
    }

    #[test]
    fn too_much_pigment_is_told_and_a_press_of_nothing_refused() {
        let ceiling = trial(0.4, 0.0, 60.0).cure.mix.ceiling.percent();
        assert!(!trial(0.4, ceiling, 60.0).tried().too_much);
        assert!(trial(0.4, ceiling + 0.1, 60.0).tried().too_much);
        assert!(trial(0.4, 0.0, 60.0).lit_for(Span::ZERO).is_err());
    }
}
