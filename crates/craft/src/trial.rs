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
    /// The lamp's own button over this bottle.
    pub under: Light,
    /// The light that falls over this bottle: a whole press of the button, or as much as [`Trial::lit_for`] has it give.
    pub light: Light,
    /// For how long the lamp is lit.
    pub lit: Span,
    /// How thick the layer is; above 0.
    pub thickness: Length,
    /// Its load; 0 for clear resin.
    pub load: Load,
    /// How much heat the resin gives.
    pub sources: Sources,
    /// The thickest clear layer that the tests of this bottle cover; none where nothing was measured.
    pub tested_to: Option<Length>,
    /// The lowest and the highest load that the tests of this pigment cover; none where any may be planned on that side.
    pub tested_loads: (Option<Load>, Option<Load>),
}

/// The light that a layer wants, as a lamp gives it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Wanted {
    /// So many seconds of one press, its growing counted.
    Seconds(Span),
    /// So many whole presses.
    Presses(u32),
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
    /// What light this layer wants so that it is sure; none where an hour is not enough, or no test covers it.
    pub wanted: Option<Wanted>,
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
    /// The same lit for so many seconds: a longer time than one press is pressed again, and each press grows anew.
    ///
    /// # Errors
    /// No light at all, or more than an hour.
    pub fn lit_for(mut self, seconds: Span) -> Result<Self, crate::cure::CureError> {
        // Its dose is all that setting asks for; how it grew counts for the heat alone.
        let dose =
            Button::new(self.under.button.name(), self.under.button.equivalent_over(seconds), Span::ZERO)?;
        self.light = Light::new(dose, self.light.first_set(), self.light.provenance)?;
        self.lit = seconds;
        Ok(self)
    }

    /// What becomes of the layer.
    pub fn tried(&self) -> Tried {
        let Self { cure, light, thickness, load, sources, .. } = self;
        let share = hidden(&[Laid::even(cure.mix, *load, *thickness)]).share;
        let hides = (cure.mix.class.hides() && load.is_positive()).then_some(share);
        let warmed = heat(&self.as_lit(), sources);
        Tried {
            surety: self.surety(),
            sure: cure
                .thickest_sure(*load, light)
                .map(|sure| self.covered(sure))
                .filter(|_| self.is_load_tested()),
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

    fn as_lit(&self) -> Lit<'_> {
        Lit { lit: self.lit, ..Lit::new(self.thickness, self.cure.takes_per_mm(self.load), &self.under) }
    }

    /// No layer is surer than the tests of its bottle cover, and nothing is promised of a load that no test of its pigment
    /// covers: what scatters takes more of the light for its load the less there is of it.
    fn surety(&self) -> Surety {
        if !self.is_load_tested() {
            return Surety::NotSure;
        }
        let found = self.cure.sets_through(self.thickness, self.load, &self.light);
        if self.is_covered() { found } else { found.min(Surety::Likely) }
    }

    fn covered(&self, sure: Length) -> Length {
        self.tested_to.filter(|_| !self.load.is_positive()).map_or(sure, |most| sure.min(most))
    }

    /// Whether the load is one that a plan would take: clear resin, or within what was tested.
    pub fn is_load_tested(&self) -> bool {
        let (least, most) = self.tested_loads;
        !self.load.is_positive()
            || (least.is_none_or(|least| self.load >= least) && most.is_none_or(|most| self.load <= most))
    }

    fn is_covered(&self) -> bool {
        self.load.is_positive() || self.tested_to.is_none_or(|most| self.thickness <= most)
    }

    /// Seconds on the lamp's clock for the seconds of full power that are sure: half the growing more, once it is over.
    /// What one press does not give, several do.
    fn wanted(&self) -> Option<Wanted> {
        if !self.is_covered() || !self.is_load_tested() {
            return None;
        }
        let full = self.cure.seconds_sure(self.thickness, self.load, self.light.first_set())?;
        let (ramp_s, press) = (self.under.button.ramp().s(), self.under.button.equivalent());
        if full > press {
            let presses = u32::try_from((full.micro() + press.micro() - 1) / press.micro().max(1)).ok()?;
            let whole_micro = self.under.button.total().micro().saturating_mul(i64::from(presses));
            return (whole_micro <= LONGEST.micro()).then_some(Wanted::Presses(presses));
        }
        let lit_s =
            if full.s() >= 0.5 * ramp_s { full.s() + 0.5 * ramp_s } else { (2.0 * ramp_s * full.s()).sqrt() };
        Span::try_from(lit_s).ok().map(Wanted::Seconds)
    }
}

/// Nobody sits by a lamp for longer than an hour.
const LONGEST: Span = Span::from_micro(3_600_000_000);

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
        Trial {
            cure,
            lit: light.button.total(),
            under: light.clone(),
            light,
            thickness,
            load,
            sources: Sources::TYPICAL,
            tested_to: None,
            tested_loads: (None, None),
        }
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
            let mut trial = trial(thickness, load, 3_000.0);
            trial.under = Light::new(
                Button::new("on", Span::from_s(3_000.0), Span::from_s(ramp)).unwrap(),
                Span::from_s(2.0),
                Provenance::Practised,
            )
            .unwrap();
            let Some(Wanted::Seconds(wanted)) = trial.tried().wanted else { panic!("one press does") };
            let surety = |seconds| trial.clone().lit_for(seconds).unwrap().tried().surety;
            assert_eq!(surety(wanted + Span::from_micro(1_000)), Surety::Sure);
            assert_ne!(surety(wanted - Span::from_s(1.0)), Surety::Sure);
        }
    }

    #[test]
    fn what_one_press_does_not_give_several_do_and_each_grows_anew() {
        let mut trial = trial(0.7, 0.2, 99.0);
        trial.under = Light::new(
            Button::new("low heat", Span::from_s(99.0), Span::from_s(60.0)).unwrap(),
            Span::from_s(2.0),
            Provenance::Practised,
        )
        .unwrap();
        // 99 s that grow for 60 are worth 69; 168 s are a press and 69 s of the next, 69 + 39 (by hand).
        let twice = trial.clone().lit_for(Span::from_s(168.0)).unwrap();
        assert!((twice.light.button.equivalent().s() - 108.0).abs() < 1e-5, "{:?}", twice.light);
        let once = Button::new("low heat", Span::from_s(168.0), Span::from_s(60.0)).unwrap();
        assert!((once.equivalent().s() - 138.0).abs() < 1e-5, "broken: one press that grows once");
        let Some(Wanted::Presses(presses)) = trial.tried().wanted else { panic!("{:?}", trial.tried()) };
        let surety = |presses: u32| {
            let seconds = Span::from_s(99.0 * f64::from(presses));
            trial.clone().lit_for(seconds).unwrap().tried().surety
        };
        assert!(presses > 1);
        assert_eq!(surety(presses), Surety::Sure);
        assert_ne!(surety(presses - 1), Surety::Sure);
    }

    #[test]
    fn nothing_is_promised_of_a_load_that_no_test_covers() {
        let mut trial = trial(0.3, 0.3, 600.0);
        assert_eq!(trial.tried().surety, Surety::Sure);
        let within =
            |least: f64, most: f64| (Some(Load::from_percent(least)), Some(Load::from_percent(most)));
        for tested in [within(0.5, 1.0), within(0.1, 0.2), (Some(Load::from_percent(0.5)), None)] {
            trial.tested_loads = tested;
            let tried = trial.tried();
            assert_eq!((tried.surety, tried.sure, tried.wanted), (Surety::NotSure, None, None), "{tested:?}");
        }
        trial.tested_loads = within(0.3, 1.0);
        assert_eq!(trial.tried().surety, Surety::Sure);
        trial.tested_loads = within(0.5, 1.0);
        trial.load = Load::ZERO;
        assert_eq!(trial.tried().surety, Surety::Sure, "clear resin is in no series");
    }

    #[test]
    fn no_clear_layer_is_surer_than_the_tests_cover() {
        let mut trial = trial(0.4, 0.0, 600.0);
        assert_eq!(trial.tried().surety, Surety::Sure);
        trial.tested_to = Some(Length::from_mm(0.3));
        let tried = trial.tried();
        assert_eq!((tried.surety, tried.wanted), (Surety::Likely, None));
        assert_eq!(tried.sure, Some(Length::from_mm(0.3)));
        trial.thickness = Length::from_mm(0.3);
        assert_eq!(trial.tried().surety, Surety::Sure);
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
