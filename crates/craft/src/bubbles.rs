//! How long bubbles take to rise out of a layer before it is lit.
//!
//! Only for bubbles that are free: those caught in hair or under a petal stay until they are teased out.

use std::fmt;

use crate::density::Density;
use crate::units::{Length, Span};

/// Standard gravity, m/s² (CGPM 1901).
const GRAVITY: f64 = 9.806_65;
/// The gas constant, J/mol K (CODATA 2018).
const GAS: f64 = 8.314_462_618;
/// How fast resins thin with warmth: the middle of 30–50 kJ/mol (from memory).
const ACTIVATION: f64 = 40_000.0;
/// Where the viscosity on a bottle holds, K.
const BOTTLE_K: f64 = 298.15;
/// Density of air at 20 °C, kg/m³.
const AIR: f64 = 1.2;

/// Why a rise cannot be worked out; says what would be right.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum BubbleError {
    /// Not a viscosity of resin.
    #[error(
        "a viscosity of {0} Pa·s cannot be right; craft resins lie between 0.2 and 1.5 at 25 °C, so give 0.01 to 100"
    )]
    Viscosity(f64),
    /// Not a temperature of a bench.
    #[error("resin at {0} °C cannot be; give 5 to 80 °C")]
    Temperature(f64),
    /// No bubble.
    #[error("a bubble {0} across cannot be; give more than 0 mm and at most 2 mm")]
    Bubble(Length),
    /// No layer.
    #[error("a layer of {0} cannot be; give more than 0 mm and at most 100 mm")]
    Layer(Length),
    /// It rises too fast for the law of slow flow.
    #[error(
        "a bubble {diameter} across rises so fast in this resin that its time cannot be worked out, and need not be: it is out within {within}"
    )]
    TooFast {
        /// The bubble.
        diameter: Length,
        /// The time in any case.
        within: Span,
    },
}

/// How thick a resin flows, in Pa·s: water 0.001, honey about 10.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct Viscosity(f64);

impl Viscosity {
    /// A craft resin at 25 °C as a guess: 0.8 Pa·s (from memory: 0.2–1.5).
    pub const TYPICAL: Viscosity = Viscosity(0.8);

    /// From Pa·s; 1 Pa·s is 1000 cP.
    ///
    /// # Errors
    /// Anything outside 0.01–100.
    pub fn from_pa_s(value: f64) -> Result<Self, BubbleError> {
        if (0.01..=100.0).contains(&value) { Ok(Self(value)) } else { Err(BubbleError::Viscosity(value)) }
    }

    /// The number of Pa·s.
    pub fn pa_s(self) -> f64 {
        self.0
    }

    /// The same resin at another temperature than the bottle's 25 °C: μ = μ₂₅·exp(Ea/R·(1/T − 1/298.15 K)) with Ea =
    /// 40 kJ/mol (Arrhenius's law for liquids; the figure from memory).
    ///
    /// # Errors
    /// Anything outside 5–80 °C, or a viscosity that leaves its range.
    pub fn at(self, temperature_c: f64) -> Result<Self, BubbleError> {
        if !(5.0..=80.0).contains(&temperature_c) {
            return Err(BubbleError::Temperature(temperature_c));
        }
        let kelvin = temperature_c + 273.15;
        Self::from_pa_s(self.0 * (ACTIVATION / GAS * (1.0 / kelvin - 1.0 / BOTTLE_K)).exp())
    }
}

impl fmt::Display for Viscosity {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} Pa·s", self.0)
    }
}

/// How long a bubble needs through a layer.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Rise {
    /// As a hard ball, which is how a bubble in a resin with additives mostly behaves: wait this long.
    pub at_most: Span,
    /// With a face that slips all round, as in a clean liquid: two thirds of that.
    pub at_least: Span,
}

/// How long a bubble `diameter` across takes from the bottom of a layer to its top.
///
/// Stokes (1851): U = g·d²·Δρ/18μ; Hadamard and Rybczynski (1911) for the slipping face, half as fast again. Right for
/// slow flow, a Reynolds number below 1, which holds for every bubble below 0.5 mm in craft resin, far from walls.
///
/// # Errors
/// A bubble or layer that cannot be, or one that rises too fast for the law.
pub fn rise(
    layer: Length,
    diameter: Length,
    viscosity: Viscosity,
    density: Density,
) -> Result<Rise, BubbleError> {
    if !layer.is_positive() || layer > Length::from_micro(100_000_000) {
        return Err(BubbleError::Layer(layer));
    }
    if !diameter.is_positive() || diameter > Length::from_micro(2_000_000) {
        return Err(BubbleError::Bubble(diameter));
    }
    let (diameter_m, kg_m3) = (diameter.mm() / 1000.0, density.g_per_cm3() * 1000.0);
    let metres_a_second = GRAVITY * diameter_m * diameter_m * (kg_m3 - AIR) / (18.0 * viscosity.pa_s());
    let seconds = layer.mm() / 1000.0 / metres_a_second;
    let reynolds = kg_m3 * metres_a_second * diameter_m / viscosity.pa_s();
    if reynolds > 1.0 {
        // Beyond Reynolds 1 a bubble is slower than the law says, by less than ten times below Reynolds 100.
        return Err(BubbleError::TooFast { diameter, within: Span::from_s(10.0 * seconds) });
    }
    Ok(Rise { at_most: Span::from_s(seconds), at_least: Span::from_s(seconds * 2.0 / 3.0) })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn resin() -> Density {
        Density::from_kg_per_m3(1100)
    }

    /// Seconds for 3 mm, bubbles of 0.1, 0.2 and 0.5 mm: computed independently with fluids 1.3.1 (`v_terminal`, Stokes)
    /// at ρ = 1100 kg/m³, g = 9.80665 m/s².
    const TIMES: [(f64, [f64; 3]); 5] = [
        (0.15, [75.2, 18.8, 3.0]),
        (0.3, [150.3, 37.6, 6.0]),
        (0.5, [250.6, 62.6, 10.0]),
        (1.0, [501.1, 125.3, 20.0]),
        (2.0, [1002.3, 250.6, 40.1]),
    ];

    fn times_hold(seconds: impl Fn(f64, f64) -> f64) -> bool {
        TIMES.iter().all(|&(pa_s, times)| {
            [0.1, 0.2, 0.5].iter().zip(times).all(|(&mm, want)| {
                let got = seconds(pa_s, mm);
                // The table is rounded to a tenth and leaves out the air's own weight, a thousandth.
                (got - want).abs() <= 0.05 + 1.2e-3 * want
            })
        })
    }

    fn seconds(pa_s: f64, diameter_mm: f64) -> f64 {
        let viscosity = Viscosity::from_pa_s(pa_s).unwrap();
        rise(Length::from_mm(3.0), Length::from_mm(diameter_mm), viscosity, resin()).unwrap().at_most.s()
    }

    #[test]
    fn bubbles_rise_as_stokes_says() {
        assert!(times_hold(seconds));
        assert!(!times_hold(|pa_s, mm| seconds(pa_s, mm / 2.0)), "broken: radius for diameter");
        assert!(!times_hold(|pa_s, mm| seconds(pa_s * 2.0, mm)), "broken: twice the viscosity");
        // fluids 1.3.1: v_terminal(D=.2e-3, rhop=1.2, rho=1100, mu=.5) = 4.7891320e-5 m/s.
        assert!((0.003 / seconds(0.5, 0.2) - 4.789_132e-5).abs() < 1e-11);
    }

    #[test]
    fn the_drag_is_that_of_stokes_by_a_balance_of_forces() {
        // Second method: weight of the displaced resin against 3πμdU.
        let (d, mu) = (0.0002_f64, 0.5);
        let lift = std::f64::consts::PI / 6.0 * d.powi(3) * (1100.0 - 1.2) * 9.80665;
        let speed = 0.003 / seconds(mu, 0.2);
        assert!((lift / (3.0 * std::f64::consts::PI * mu * d * speed) - 1.0).abs() < 1e-6);
    }

    #[test]
    fn a_slipping_face_rises_half_as_fast_again() {
        let both = rise(Length::from_mm(3.0), Length::from_mm(0.2), Viscosity::TYPICAL, resin()).unwrap();
        assert!((both.at_most.s() / both.at_least.s() - 1.5).abs() < 1e-6);
    }

    /// °C and Pa·s, computed independently with numpy from 0.8 Pa·s and 40 kJ/mol.
    const THINNER: [(f64, f64); 6] =
        [(15.0, 1.4005), (20.0, 1.0535), (25.0, 0.8), (30.0, 0.6131), (40.0, 0.3693), (50.0, 0.2296)];

    fn thins(pa_s: impl Fn(f64) -> f64) -> bool {
        THINNER.iter().all(|&(c, want)| (pa_s(c) - want).abs() < 1e-4)
    }

    fn warmed(c: f64) -> f64 {
        Viscosity::TYPICAL.at(c).unwrap().pa_s()
    }

    #[test]
    fn warm_resin_flows_thinner_by_arrhenius() {
        assert!(thins(warmed));
        let law = |activation: f64, zero_k: f64, c: f64| {
            0.8 * (activation / GAS * (1.0 / (zero_k + c) - 1.0 / (zero_k + 25.0))).exp()
        };
        assert!(!thins(|c| law(-ACTIVATION, 273.15, c)), "broken: the warmer the thicker");
        assert!(!thins(|c| law(ACTIVATION, 0.0, c)), "broken: °C for K");
        assert!(!thins(|c| law(ACTIVATION * 4.184, 273.15, c)), "broken: calories for joules");
        // The limit: on the bottle's own day nothing changes.
        assert!((warmed(25.0) - 0.8).abs() < 1e-15);
    }

    #[test]
    fn ten_kelvin_more_thin_it_by_as_much_as_the_textbook_says() {
        // Second method: the slope of ln μ over 1/RT between two near temperatures is the activation energy.
        let over = 1.0 / (GAS * 303.1) - 1.0 / (GAS * 303.2);
        let slope = (warmed(303.1 - 273.15) / warmed(303.2 - 273.15)).ln() / over;
        assert!((slope / 40_000.0 - 1.0).abs() < 1e-6, "{slope}");
        // A process of 53 kJ/mol doubles from 25 to 35 °C (Atkins, *Physical Chemistry*, from memory); one of 40
        // kJ/mol then goes 2 to the 40/53 times as fast, 1.69.
        let faster = warmed(25.0) / warmed(35.0);
        assert!((faster - 2.0_f64.powf(40.0 / 53.0)).abs() < 5e-3, "{faster}");
        assert!((faster - 2.0).abs() > 0.1, "broken: 53 kJ/mol for 40");
    }

    #[test]
    fn what_cannot_be_gets_a_sentence() {
        assert_eq!(
            Viscosity::from_pa_s(800.0).unwrap_err().to_string(),
            "a viscosity of 800 Pa·s cannot be right; craft resins lie between 0.2 and 1.5 at 25 °C, so give 0.01 to 100"
        );
        assert!(Viscosity::from_pa_s(f64::NAN).is_err() && Viscosity::TYPICAL.at(f64::NAN).is_err());
        let of =
            |layer, bubble| rise(Length::from_mm(layer), Length::from_mm(bubble), Viscosity(0.01), resin());
        assert_eq!(of(0.0, 0.1), Err(BubbleError::Layer(Length::ZERO)));
        assert_eq!(of(1.0, 0.0), Err(BubbleError::Bubble(Length::ZERO)));
        assert!(of(1.0, 1.9).unwrap_err().to_string().contains("need not be: it is out within"));
    }
}
