//! The cautious end of the working curve: how much of the light that sets a layer surely reaches its
//! underside.

use serde::{Deserialize, Serialize};

use super::{Doubts, Factor, Light, MaterialShade, Mix, PigmentClass, Resin};
use crate::chance::normal_below;
use crate::units::{Length, Load, Span};

/// How sure a layer must be before it is planned.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Assurance {
    /// One-sided, in standard deviations (k): 2.054 is 98 layers in a hundred.
    pub spread: Factor,
    /// The least multiple of what first sets the resin, at that spread, on the underside of the layer (m).
    pub margin: Factor,
}

impl Assurance {
    /// 98 % for each layer with half as much light again. For six test plans that kept the whole stone
    /// above 95 % that every layer sets (computed independently, Monte Carlo over the doubts); it is no general proof.
    pub const USUAL: Assurance =
        Assurance { spread: Factor::known(2.053748910631823), margin: Factor::known(1.5) };

    /// Of how many layers in a hundred that is kept, by the normal distribution: 98, or 99 and 99.5 where more is asked.
    pub fn in_a_hundred(self) -> f64 {
        100.0 * normal_below(self.spread.get())
    }

    /// How sure a layer is whose underside gets `cautious` times what first sets it at this spread, and `nine_in_ten`
    /// times at that of nine in ten.
    pub(crate) fn surety(self, cautious: f64, nine_in_ten: f64) -> Surety {
        // The factors were rounded where they were worked out; a millionth is far below any doubt.
        if cautious + 1e-6 >= self.margin.get() {
            Surety::Sure
        } else if nine_in_ten + 1e-6 >= 1.0 {
            Surety::Likely
        } else {
            Surety::NotSure
        }
    }
}

/// How sure it is that a layer sets right through.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum Surety {
    /// Less than nine in ten that the underside sets at all.
    NotSure,
    /// Nine in ten or better that the underside sets, but short of what a plan asks for.
    Likely,
    /// What a plan asks for: by default 98 in a hundred, with half as much light again.
    Sure,
}

/// One-sided spread of nine in ten, in standard deviations (standard normal table).
pub(crate) const NINE_IN_TEN: Factor = Factor::known(1.2815515655446004);

/// A mix, its doubts and what is asked of a layer: everything about setting but the lamp.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Cure {
    /// The resin.
    pub resin: Resin,
    /// The pigment mixed into it.
    pub mix: Mix,
    /// What is not known.
    pub doubts: Doubts,
    /// What is asked of a layer.
    pub assurance: Assurance,
    /// What the coloured resin takes per mm besides its pigment's `α·c`, where a series of loads was tested; else that
    /// is the clear resin's `1/Dp`. A pigment that scatters has one of its own.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub own: Option<Factor>,
}

impl Cure {
    /// Typical values for a class of pigment, cautious guesses all of them.
    pub fn typical(class: PigmentClass) -> Self {
        Self {
            resin: Resin::TYPICAL,
            mix: Mix::typical(class),
            doubts: Doubts::typical_for(class),
            assurance: Assurance::USUAL,
            own: None,
        }
    }

    /// The best guess, no doubts counted: light on the underside of a layer `thickness` thick at `load` after
    /// a whole press of `light`, as a multiple of what first sets the resin.
    pub fn nominal_ratio(&self, thickness: Length, load: Load, light: &Light) -> f64 {
        let kernel = Kernel::new(&Cure { doubts: Doubts::NONE, ..*self }, Factor::ZERO);
        (light.dose_ratio().ln() - kernel.needed(thickness.mm(), load.percent(), MaterialShade::NONE)).exp()
    }

    /// The cautious end of [`Cure::nominal_ratio`] at `spread` standard deviations.
    ///
    /// Each doubt is taken to its unfavourable end on its own, uneven as the logarithm makes it, and these
    /// losses are added as squares; the first two doubts go together as stated. Propagation after JCGM
    /// 100:2008 section 5, with finite steps in place of derivatives.
    pub fn ratio_at(&self, spread: Factor, thickness: Length, load: Load, light: &Light) -> f64 {
        let kernel = Kernel::new(self, spread);
        (light.dose_ratio().ln() - kernel.needed(thickness.mm(), load.percent(), MaterialShade::NONE)).exp()
    }

    /// What a layer of this load takes of the light for each mm besides its pigment, at the best guess.
    pub(crate) fn besides_per_mm(&self, load: Load) -> f64 {
        let clear_per_mm = 1.0 / self.resin.penetration().mm();
        self.own.filter(|_| load.is_positive()).map_or(clear_per_mm, Factor::get)
    }

    /// What a layer of this load takes of the light for each mm, at the best guess.
    pub fn takes_per_mm(&self, load: Load) -> f64 {
        self.besides_per_mm(load) + self.mix.absorption.get() * load.percent()
    }

    /// How sure it is that a layer sets right through under a whole press of `light`.
    pub fn sets_through(&self, thickness: Length, load: Load, light: &Light) -> Surety {
        let at = |spread: Factor| self.ratio_at(spread, thickness, load, light);
        self.assurance.surety(at(self.assurance.spread), at(NINE_IN_TEN))
    }

    /// The thickest layer at `load` that is sure under a whole press of `light`, to the micrometre below;
    /// `None` where even the thinnest film is not sure.
    ///
    /// Halving from 0 to 30 mm: 30 steps leave 30 nm, under the micrometre it is rounded down to.
    pub fn thickest_sure(&self, load: Load, light: &Light) -> Option<Length> {
        let kernel = Kernel::new(self, self.assurance.spread);
        let room = light.dose_ratio().ln() - self.assurance.margin.get().ln();
        let sets =
            |thickness_mm: f64| kernel.needed(thickness_mm, load.percent(), MaterialShade::NONE) <= room;
        let (mut sure_mm, mut unsure_mm) = (0.001, 30.0);
        if !sets(sure_mm) {
            return None;
        }
        for _ in 0..30 {
            let middle_mm = 0.5 * (sure_mm + unsure_mm);
            if sets(middle_mm) { sure_mm = middle_mm } else { unsure_mm = middle_mm }
        }
        Some(Length::from_micro(Length::from_mm(sure_mm).micro() / 1000 * 1000))
    }

    /// The shortest of `lights` under which a layer is sure, with its place in the list; ties go to the first.
    pub fn shortest_sure<'a>(
        &self,
        thickness: Length,
        load: Load,
        lights: &'a [Light],
    ) -> Option<(usize, &'a Light)> {
        lights
            .iter()
            .enumerate()
            .filter(|(_, light)| self.sets_through(thickness, load, light) == Surety::Sure)
            .min_by_key(|(place, light)| (light.button.total(), *place))
    }

    /// Full-power seconds that are sure for a layer under a lamp that first sets the clear resin in
    /// `first_set`; `None` where that is more than can be held.
    pub fn seconds_sure(&self, thickness: Length, load: Load, first_set: Span) -> Option<Span> {
        let kernel = Kernel::new(self, self.assurance.spread);
        let needed = kernel.needed(thickness.mm(), load.percent(), MaterialShade::NONE);
        Span::try_from(first_set.s() * self.assurance.margin.get() * needed.exp()).ok()
    }
}

/// The bound with all that does not depend on the layer worked out beforehand.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Kernel {
    clear_per_mm: f64,
    /// What a coloured layer takes besides its pigment.
    own_per_mm: f64,
    pigment_per_mm: f64,
    spread: f64,
    /// `(k·uI)² + (k·uE)²`.
    light_sq: f64,
    /// `2·ρ·k·uE`.
    shared: f64,
    /// `expm1(k·uD)`: how much thinner the light may reach, unevenly.
    clear_loss: f64,
    /// `expm1(k·hypot(ua, uc))`.
    pigment_loss: f64,
    thickness_mm: f64,
}

impl Kernel {
    pub(crate) fn new(cure: &Cure, spread: Factor) -> Self {
        let (k, Cure { mix, doubts, .. }) = (spread.get(), cure);
        let clear_per_mm = 1.0 / cure.resin.penetration().mm();
        Self {
            clear_per_mm,
            own_per_mm: cure.own.map_or(clear_per_mm, Factor::get),
            pigment_per_mm: mix.absorption.get(),
            spread: k,
            light_sq: (k * doubts.lamp.get()).powi(2) + (k * doubts.first_set.get()).powi(2),
            shared: 2.0 * doubts.together.get() * k * doubts.first_set.get(),
            clear_loss: (k * doubts.penetration.get()).exp_m1(),
            pigment_loss: (k * doubts.pigment.get().hypot(doubts.dosing.get())).exp_m1(),
            thickness_mm: doubts.thickness.mm(),
        }
    }

    /// Natural logarithm of the dose ratio that is needed on top so that the underside surely just sets: the
    /// layer's optical depth plus the doubts at this spread. Does not depend on the lamp.
    pub(crate) fn needed(&self, thickness_mm: f64, load_percent: f64, shade: MaterialShade) -> f64 {
        let clear_per_mm = if load_percent > 0.0 { self.own_per_mm } else { self.clear_per_mm };
        let clear = thickness_mm * clear_per_mm;
        let pigment = self.pigment_per_mm * load_percent * thickness_mm;
        let shaded = shade.per_mm.get() * thickness_mm;
        let laid = self.spread
            * self.thickness_mm
            * (clear_per_mm + self.pigment_per_mm * load_percent + shade.per_mm.get());
        let clear_doubt = clear * self.clear_loss;
        let pigment_doubt = pigment * self.pigment_loss;
        let shade_doubt = shaded * (self.spread * shade.doubt.get()).exp_m1();
        let squares = self.light_sq - self.shared * clear_doubt
            + clear_doubt.powi(2)
            + pigment_doubt.powi(2)
            + laid.powi(2)
            + shade_doubt.powi(2);
        // The squares are those of a vector sum and can only fall below zero by rounding.
        clear + pigment + shaded + squares.max(0.0).sqrt()
    }

    /// What a coloured layer takes per mm besides its pigment.
    pub(crate) fn own_per_mm(&self) -> f64 {
        self.own_per_mm
    }

    /// The optical depth that no layer can exceed where the dose ratio over the margin is `exp(room)`: the
    /// largest sum of clear and pigment depths at the most favourable split between the two, with the
    /// thickness as laid left out. Where even no depth at all would be in doubt it is `room` itself, which is
    /// never too small. Halving 60 times a range of at most a few tens leaves 1e-16 of it.
    pub(crate) fn deepest(&self, room: f64) -> f64 {
        let least_needed = |depth: f64| depth + self.best_split_doubt(depth);
        if room <= 0.0 || least_needed(0.0) > room {
            return room.max(0.0);
        }
        let (mut reached, mut beyond) = (0.0, room);
        for _ in 0..60 {
            let middle = 0.5 * (reached + beyond);
            if least_needed(middle) <= room { reached = middle } else { beyond = middle }
        }
        beyond
    }

    /// The smallest doubt over all splits of `depth` into clear and pigment: a parabola in the clear part.
    fn best_split_doubt(&self, depth: f64) -> f64 {
        let (clear_sq, pigment_sq) = (self.clear_loss.powi(2), self.pigment_loss.powi(2));
        let bend = clear_sq + pigment_sq;
        let clear = if bend > 0.0 {
            ((pigment_sq * depth + 0.5 * self.shared * self.clear_loss) / bend).clamp(0.0, depth)
        } else {
            depth
        };
        let (clear_doubt, pigment_doubt) = (clear * self.clear_loss, (depth - clear) * self.pigment_loss);
        let squares = self.light_sq - self.shared * clear_doubt + clear_doubt.powi(2) + pigment_doubt.powi(2);
        squares.max(0.0).sqrt()
    }
}

#[cfg(test)]
mod tests {
    use super::super::{Button, Provenance};
    use super::*;
    use proptest::prelude::*;

    fn light(full_s: f64) -> Light {
        Light::typical(Button::new("full", Span::from_s(full_s), Span::ZERO).unwrap())
    }

    #[test]
    fn without_doubts_the_cautious_end_is_the_working_curve() {
        let cure = Cure { doubts: Doubts::NONE, ..Cure::typical(PigmentClass::White) };
        let (thickness, load) = (Length::from_mm(0.5), Load::from_percent(1.0));
        let curve = super::super::WorkingCurve::new(Length::from_mm(1.0), Span::from_s(1.0))
            .unwrap()
            .with_pigment(Factor::known(5.0), load);
        let by_curve = curve.ratio_under(thickness, Span::from_s(180.0));
        let by_bound = cure.ratio_at(Factor::known(2.0), thickness, load, &light(180.0));
        assert!((by_bound / by_curve - 1.0).abs() < 1e-12);
        assert!((by_bound - 180.0 * (-3.0_f64).exp()).abs() < 1e-12);
    }

    #[test]
    fn at_no_spread_the_cautious_end_is_the_best_guess() {
        let cure = Cure::typical(PigmentClass::Pearl);
        let (thickness, load) = (Length::from_mm(0.7), Load::from_percent(1.0));
        let bound = cure.ratio_at(Factor::ZERO, thickness, load, &light(60.0));
        assert!((bound / cure.nominal_ratio(thickness, load, &light(60.0)) - 1.0).abs() < 1e-12);
    }

    #[test]
    fn small_doubts_agree_with_plain_propagation_of_uncertainty() {
        // Second method: first-order propagation with the exact gradient, JCGM 100:2008 equation 16.
        let small = Factor::known(1e-4);
        let doubts = Doubts {
            penetration: small,
            first_set: small,
            lamp: small,
            pigment: small,
            dosing: small,
            thickness: Length::from_micro(100),
            ..Doubts::TYPICAL
        };
        let cure = Cure { doubts, ..Cure::typical(PigmentClass::White) };
        let (thickness_mm, load) = (0.4_f64, 0.8_f64);
        let (clear, pigment) = (thickness_mm, 5.0 * load * thickness_mm);
        let gradient_sq = 1.0 + 1.0 - 2.0 * 0.6 * clear
            + clear * clear
            + 2.0 * pigment * pigment
            + (1.0 + 5.0 * load).powi(2);
        let spread = Factor::known(1.6449);
        let linear = (120.0_f64.ln() - clear - pigment - 1.6449 * 1e-4 * gradient_sq.sqrt()).exp();
        let bound =
            cure.ratio_at(spread, Length::from_mm(thickness_mm), Load::from_percent(load), &light(120.0));
        assert!((bound / linear - 1.0).abs() < 1e-7, "{bound} against {linear}");
    }

    #[test]
    fn a_scatterers_own_part_counts_in_coloured_layers_only() {
        let plain = Cure::typical(PigmentClass::White);
        let own = Cure { own: Some(Factor::known(2.5)), ..plain };
        let (thickness, coloured) = (Length::from_mm(0.4), Load::from_percent(0.5));
        let ratio = |cure: &Cure, load| cure.nominal_ratio(thickness, load, &light(120.0));
        assert!((ratio(&own, coloured) / ratio(&plain, coloured) - (-1.5 * 0.4_f64).exp()).abs() < 1e-12);
        assert!((ratio(&own, Load::ZERO) / ratio(&plain, Load::ZERO) - 1.0).abs() < 1e-12);
        let same = Cure { own: Some(Factor::ONE), ..plain };
        assert!((ratio(&same, coloured) / ratio(&plain, coloured) - 1.0).abs() < 1e-12);
        let text = ron::to_string(&plain).unwrap();
        assert!(!text.contains("own") && ron::from_str::<Cure>(&text).unwrap() == plain);
        assert_eq!(ron::from_str::<Cure>(&ron::to_string(&own).unwrap()).unwrap(), own);
    }

    #[test]
    fn nothing_is_sure_under_a_lamp_that_hardly_shines() {
        let cure = Cure::typical(PigmentClass::White);
        assert_eq!(cure.thickest_sure(Load::from_percent(0.5), &light(2.0)), None);
        assert_eq!(
            cure.sets_through(Length::from_mm(0.3), Load::from_percent(0.5), &light(2.0)),
            Surety::NotSure
        );
    }

    #[test]
    fn the_shortest_sure_button_is_found_with_its_place() {
        let cure = Cure::typical(PigmentClass::Clear);
        let lights = [light(180.0), light(120.0), light(60.0)];
        let (place, _) = cure.shortest_sure(Length::from_mm(2.5), Load::ZERO, &lights).unwrap();
        assert_eq!(place, 1);
    }

    #[test]
    fn seconds_that_are_sure_are_just_enough() {
        let cure = Cure::typical(PigmentClass::Dark);
        let (thickness, load) = (Length::from_mm(0.4), Load::from_percent(0.5));
        let seconds = cure.seconds_sure(thickness, load, Span::from_s(1.0)).unwrap();
        assert_eq!(cure.sets_through(thickness, load, &light(seconds.s() + 0.001)), Surety::Sure);
        assert_ne!(cure.sets_through(thickness, load, &light(seconds.s() - 0.001)), Surety::Sure);
    }

    /// Any cure whose bound is a law of nature: `ρ·expm1(k·uD) ≤ 1`, beyond which a thicker layer could seem
    /// surer because its doubts begin to cancel.
    fn any_cure() -> impl Strategy<Value = Cure> {
        let numbers = (0.3..2.0_f64, 0.0..10.0_f64, 0.0..0.3_f64, 0.0..0.6_f64, 0.0..0.5_f64);
        let doubts = (-0.9..0.9_f64, 0.0..0.6_f64, 0.0..0.4_f64, 0.0..0.2_f64, 0.0..2.4_f64);
        (numbers, doubts).prop_map(|((dp, alpha, ud, ue, ui), (rho, ua, uc, dt, k))| {
            let f = |value: f64| Factor::new(value).unwrap();
            Cure {
                resin: Resin::new(Length::from_mm(dp), Provenance::Typical).unwrap(),
                mix: Mix { absorption: f(alpha), ..Mix::typical(PigmentClass::Colour) },
                doubts: Doubts {
                    penetration: f(ud),
                    first_set: f(ue),
                    lamp: f(ui),
                    together: super::super::Correlation::new(rho).unwrap(),
                    pigment: f(ua),
                    dosing: f(uc),
                    thickness: Length::from_mm(dt),
                },
                assurance: Assurance { spread: f(k), margin: f(1.5) },
                own: None,
            }
        })
    }

    #[test]
    fn what_is_asked_of_a_layer_is_kept_in_so_many_of_a_hundred() {
        // One-sided quantiles of the standard normal table: 1.645 is 95 in 100, 2.0537 is 98, 2.3263 is 99, 2.5758 is 99.5.
        for (spread, hundred) in [(1.6449, 95.0), (2.0537, 98.0), (2.3263, 99.0), (2.5758, 99.5)] {
            let asked = Assurance { spread: Factor::new(spread).unwrap(), ..Assurance::USUAL };
            assert!((asked.in_a_hundred() - hundred).abs() < 1e-3, "{spread}: {}", asked.in_a_hundred());
        }
    }

    proptest! {
        #[test]
        fn a_thicker_layer_is_never_surer(cure in any_cure(), one in 0.01..4.0_f64, two in 0.01..4.0_f64, load in 0.0..3.0_f64, s in 1.0..300.0_f64) {
            let at = |mm: f64| cure.ratio_at(cure.assurance.spread, Length::from_mm(mm), Load::from_percent(load), &light(s));
            prop_assert!(at(one.max(two)) <= at(one.min(two)) * (1.0 + 1e-12));
        }

        #[test]
        fn more_pigment_is_never_surer(cure in any_cure(), mm in 0.01..4.0_f64, one in 0.0..3.0_f64, two in 0.0..3.0_f64, s in 1.0..300.0_f64) {
            let at = |load: f64| cure.ratio_at(cure.assurance.spread, Length::from_mm(mm), Load::from_percent(load), &light(s));
            prop_assert!(at(one.max(two)) <= at(one.min(two)) * (1.0 + 1e-12));
        }

        #[test]
        fn more_light_is_never_less_sure(cure in any_cure(), mm in 0.01..4.0_f64, load in 0.0..3.0_f64, one in 1.0..300.0_f64, two in 1.0..300.0_f64) {
            let at = |s: f64| cure.ratio_at(cure.assurance.spread, Length::from_mm(mm), Load::from_percent(load), &light(s));
            prop_assert!(at(one.min(two)) <= at(one.max(two)));
        }

        #[test]
        fn the_cautious_end_is_never_above_the_best_guess(cure in any_cure(), mm in 0.01..4.0_f64, load in 0.0..3.0_f64, s in 1.0..300.0_f64) {
            let (thickness, load) = (Length::from_mm(mm), Load::from_percent(load));
            let bound = cure.ratio_at(cure.assurance.spread, thickness, load, &light(s));
            prop_assert!(bound <= cure.nominal_ratio(thickness, load, &light(s)) * (1.0 + 1e-12));
        }

        #[test]
        fn no_layer_that_sets_is_deeper_than_the_deepest(cure in any_cure(), mm in 0.01..4.0_f64, load in 0.0..3.0_f64, room in 0.1..6.0_f64) {
            let kernel = Kernel::new(&cure, cure.assurance.spread);
            let depth = mm / cure.resin.penetration().mm() + cure.mix.absorption.get() * load * mm;
            if kernel.needed(mm, load, MaterialShade::NONE) <= room {
                prop_assert!(depth <= kernel.deepest(room) + 1e-9);
            }
        }
    }
}
