//! What a wedge test alone says: the straight line of depth against the logarithm of the seconds.

use crate::chance::student_quantile;
use crate::cure::{Cure, CureError, Factor};
use crate::units::{Length, Load, Span};

use super::LearningError;

/// The line `depth = Dp · ln(seconds) + b` through the points of one wedge, by ordinary least squares.
///
/// Everything here is worked out as in the textbooks (Draper & Smith, *Applied Regression Analysis*, chapters 1
/// and 3): the scatter of the points about the line says how far each of them may be out.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WedgeFit {
    /// How many points.
    pub points: usize,
    /// The slope: how deep it hardens for each e-fold of light, in mm.
    pub penetration_mm: f64,
    /// Where the line meets one second, in mm.
    pub intercept_mm: f64,
    /// How far the points lie about the line, in mm; `None` of two points.
    pub scatter_mm: Option<f64>,
    /// The share of the spread in depth that the line explains (R²).
    pub explained: f64,
    mean_log_s: f64,
    spread_sq: f64,
}

/// An interval with a stated chance.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Interval<Q> {
    /// The lower end.
    pub low: Q,
    /// The upper end.
    pub high: Q,
}

impl WedgeFit {
    /// The line through points of (full-power seconds, depth set).
    ///
    /// # Errors
    /// Fewer than two different times, a time of nothing, or a line that does not rise: then more light would set
    /// less, and something was mixed up.
    pub fn through(points: &[(Span, Length)]) -> Result<Self, LearningError> {
        if points.iter().any(|(light, _)| !light.is_positive()) {
            return Err(LearningError::NoLight);
        }
        let n = points.len() as f64;
        let logs: Vec<f64> = points.iter().map(|(light, _)| light.s().ln()).collect();
        let depths: Vec<f64> = points.iter().map(|(_, depth)| depth.mm()).collect();
        let (mean_log_s, mean_mm) = (logs.iter().sum::<f64>() / n, depths.iter().sum::<f64>() / n);
        let spread_sq: f64 = logs.iter().map(|x| (x - mean_log_s).powi(2)).sum();
        if points.len() < 2 || spread_sq < 1e-12 {
            return Err(LearningError::TooFewTimes { given: points.len() });
        }
        let together: f64 = logs.iter().zip(&depths).map(|(x, d)| (x - mean_log_s) * (d - mean_mm)).sum();
        let penetration_mm = together / spread_sq;
        if penetration_mm <= 0.0 {
            return Err(LearningError::Falling);
        }
        let intercept_mm = mean_mm - penetration_mm * mean_log_s;
        let left: f64 =
            logs.iter().zip(&depths).map(|(x, d)| (d - intercept_mm - penetration_mm * x).powi(2)).sum();
        let whole: f64 = depths.iter().map(|d| (d - mean_mm).powi(2)).sum();
        Ok(Self {
            points: points.len(),
            penetration_mm,
            intercept_mm,
            scatter_mm: (points.len() > 2).then(|| (left / (n - 2.0)).sqrt()),
            explained: 1.0 - left / whole,
            mean_log_s,
            spread_sq,
        })
    }

    /// Full-power seconds until it first sets: where the line meets the surface.
    ///
    /// # Errors
    /// Where that is more, or less, than can be held.
    pub fn first_set(&self) -> Result<Span, CureError> {
        let seconds = Span::try_from(self.log_first_set().exp()).unwrap_or(Span::ZERO);
        if seconds.is_positive() { Ok(seconds) } else { Err(CureError::FirstSet { seconds }) }
    }

    pub(crate) fn log_first_set(&self) -> f64 {
        -self.intercept_mm / self.penetration_mm
    }

    /// Degrees of freedom of the scatter.
    pub fn freedom(&self) -> f64 {
        self.points as f64 - 2.0
    }

    /// Standard error of the slope, in mm; `None` of two points.
    pub fn penetration_error_mm(&self) -> Option<f64> {
        Some(self.scatter_mm? / self.spread_sq.sqrt())
    }

    /// Standard error of the logarithm of the seconds until it first sets, by the first-order rule
    /// `(s/Dp)·√(1/n + (x̄ − ln tc)²/Sxx)`; `None` of two points.
    pub fn log_first_set_error(&self) -> Option<f64> {
        let away = self.mean_log_s - self.log_first_set();
        let share = 1.0 / self.points as f64 + away * away / self.spread_sq;
        Some(self.scatter_mm? / self.penetration_mm * share.sqrt())
    }

    /// The penetration depth with a two-sided chance such as 0.95, by Student's t; `None` of two points.
    pub fn penetration_within(&self, chance: f64) -> Option<Interval<f64>> {
        let reach = student_quantile(0.5 + 0.5 * chance, self.freedom()) * self.penetration_error_mm()?;
        Some(Interval { low: self.penetration_mm - reach, high: self.penetration_mm + reach })
    }

    /// The seconds until it first sets with a two-sided chance such as 0.95, exactly; `None` of two points, and where
    /// the points are so scattered that no upper or lower end can be given.
    ///
    /// Source: Fieller, "Some problems in interval estimation", *J. R. Stat. Soc. B* 16:175 (1954): the ratio of two
    /// normal deviates. With `g = (t·s/Dp)²/Sxx` it is unbounded from `g = 1` on.
    pub fn first_set_within(&self, chance: f64) -> Option<Interval<f64>> {
        let t = student_quantile(0.5 + 0.5 * chance, self.freedom());
        let reach = t * self.scatter_mm? / self.penetration_mm;
        let g = reach * reach / self.spread_sq;
        if g >= 1.0 {
            return None;
        }
        // The depth at the mean of the points, over the slope, is how far the first set lies below that mean.
        let away = self.log_first_set() - self.mean_log_s;
        let half = reach * ((1.0 - g) / self.points as f64 + away * away / self.spread_sq).sqrt();
        let middle = self.mean_log_s + away / (1.0 - g);
        let end = |sign: f64| (middle + sign * half / (1.0 - g)).exp();
        Some(Interval { low: end(-1.0), high: end(1.0) })
    }

    /// The depth at `light` on the line, in mm.
    pub fn depth_mm(&self, light: Span) -> f64 {
        self.intercept_mm + self.penetration_mm * light.s().ln()
    }

    /// The band about the line at `light`, to either side and with a two-sided chance, in mm: of the line itself, and
    /// of one more point. `None` of two points.
    pub fn band_mm(&self, light: Span, chance: f64) -> Option<(f64, f64)> {
        let share = self.share_at(light.s().ln());
        let t = student_quantile(0.5 + 0.5 * chance, self.freedom());
        let scatter_mm = self.scatter_mm?;
        Some((t * scatter_mm * share.sqrt(), t * scatter_mm * (1.0 + share).sqrt()))
    }

    fn share_at(&self, log_s: f64) -> f64 {
        1.0 / self.points as f64 + (log_s - self.mean_log_s).powi(2) / self.spread_sq
    }

    /// The cautious end, with a one-sided chance such as 0.98, of the light on the underside of a layer as a multiple
    /// of what first sets it, where all that is known of the clear resin is this line. `None` of two points.
    ///
    /// The line's part is its exact gradient: the height of the line at the light of the layer over Dp, which is
    /// `J·C·Jᵀ` with `J = [(t − b)/Dp², 1/Dp]`. It is joined with the lamp's, pigment's and hand's doubts of `cure`,
    /// and the number of standard deviations is Student's at the degrees of freedom after Welch (1947) and
    /// Satterthwaite (1946), JCGM 100:2008, G.4.1: the line has `n − 2`, the rest endlessly many.
    pub fn cautious_ratio(
        &self,
        cure: &Cure,
        (thickness, load): (Length, Load),
        light: Span,
        chance: f64,
    ) -> Option<f64> {
        let doubts = &cure.doubts;
        let pigment_mm = cure.mix.absorption.get() * load.percent();
        let thickness_mm = thickness.mm();
        let per_mm = 1.0 / self.penetration_mm + pigment_mm;
        let line_var = self.line_var(thickness_mm)?;
        let pigment_u = doubts.pigment.get().hypot(doubts.dosing.get());
        let pigment_var = (pigment_mm * thickness_mm * pigment_u).powi(2);
        let rest_var = doubts.lamp.get().powi(2) + (doubts.thickness.mm() * per_mm).powi(2) + pigment_var;
        let freedom = self.freedom() * ((line_var + rest_var) / line_var).powi(2);
        let k = student_quantile(chance, freedom);
        // Pigment is uneven in its logarithm; the rest is close to even.
        let uneven = pigment_mm * thickness_mm * (k * pigment_u).exp_m1();
        let even_var = line_var + rest_var - pigment_var;
        let best = light.s().ln() - self.log_first_set() - per_mm * thickness_mm;
        Some((best - (k * k * even_var + uneven * uneven).sqrt()).exp())
    }

    /// Variance of `ln(s/tc) − t/Dp` from the line alone: that of the line's height where it is `t` deep, over Dp.
    fn line_var(&self, thickness_mm: f64) -> Option<f64> {
        let log_s = (thickness_mm - self.intercept_mm) / self.penetration_mm;
        let scatter = self.scatter_mm? / self.penetration_mm;
        Some(scatter * scatter * self.share_at(log_s))
    }

    /// The standardised residual of each point, as scattered as all the others say (externally studentised): beyond
    /// Student's t of `n − 3` it is an outlier. Empty for fewer than four points.
    ///
    /// Source: Cook & Weisberg, *Residuals and Influence in Regression* (1982), 2.2.1.
    pub fn strangeness(&self, points: &[(Span, Length)]) -> Vec<f64> {
        let (Some(scatter_mm), true) = (self.scatter_mm, points.len() > 3) else { return Vec::new() };
        let freedom = self.freedom();
        let left = freedom * scatter_mm * scatter_mm;
        let strange = |&(light, depth): &(Span, Length)| {
            let own = 1.0 - self.share_at(light.s().ln());
            let off = depth.mm() - self.depth_mm(light);
            let others = (left - off * off / own).max(1e-30) / (freedom - 1.0);
            off / (others * own).sqrt()
        };
        points.iter().map(strange).collect()
    }
}

/// The law of a pigment that scatters, from penetration depths at several loads: `1/Dp = own + α·c`, with an
/// intercept of its own that is not the clear resin's.
///
/// A scatterer's depth rises less than straight with its load (Kubelka & Munk, 1931: √(K(K+2S))), so the line is a
/// chord, true near where it was tested and unsafe below: no load outside the tested ones is planned.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SeriesFit {
    /// Where the line meets no load at all, per mm.
    pub own_per_mm: f64,
    /// What each per cent adds, per mm.
    pub absorption: f64,
    /// The share of the spread that the line explains (R²).
    pub explained: f64,
    /// The lowest load that was tested.
    pub least: Load,
    /// The highest load that was tested.
    pub most: Load,
}

impl SeriesFit {
    /// The line through (load, penetration depth).
    ///
    /// # Errors
    /// Fewer than two different loads, a depth of nothing, or a pigment that would let more light through the more
    /// there is of it.
    pub fn through(series: &[(Load, Length)]) -> Result<Self, LearningError> {
        if series.iter().any(|(_, depth)| !depth.is_positive()) {
            return Err(LearningError::NoDepth);
        }
        let n = series.len() as f64;
        let mean = |of: &dyn Fn(&(Load, Length)) -> f64| series.iter().map(of).sum::<f64>() / n;
        let (load, per_mm) = (mean(&|point| point.0.percent()), mean(&|point| 1.0 / point.1.mm()));
        let sum = |of: &dyn Fn(f64, f64) -> f64| -> f64 {
            series.iter().map(|(c, depth)| of(c.percent() - load, 1.0 / depth.mm() - per_mm)).sum()
        };
        let (xx, xy, yy) = (sum(&|x, _| x * x), sum(&|x, y| x * y), sum(&|_, y| y * y));
        let loads = || series.iter().map(|(load, _)| *load);
        let (Some(least), Some(most)) = (loads().min(), loads().max()) else {
            return Err(LearningError::TooFewLoads);
        };
        if least == most {
            return Err(LearningError::TooFewLoads);
        }
        let absorption = xy / xx;
        if absorption < 0.0 {
            return Err(LearningError::LighterWithMore);
        }
        let own_per_mm = (per_mm - absorption * load).max(0.0);
        Ok(Self { own_per_mm, absorption, explained: xy * xy / (xx * yy), least, most })
    }

    /// The same as a checked number, for [`Cure::own`].
    ///
    /// # Errors
    /// Where it is beyond what any resin has.
    pub fn own(&self) -> Result<Factor, CureError> {
        Factor::new(self.own_per_mm)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chance::{Draws, trials};
    use crate::cure::{Doubts, PigmentClass};

    /// A synthetic set of five exposures with a fixed perturbation; its figures were computed independently with
    /// scipy 1.17.1 (`linregress`, `t.ppf`), see `tests/reference/wedge.py` and its fixture.
    fn five() -> Vec<(Span, Length)> {
        [(20.0, 0.097), (40.0, 0.216), (80.0, 0.359), (160.0, 0.479), (320.0, 0.626)]
            .map(|(s, mm)| (Span::from_s(s), Length::from_mm(mm)))
            .to_vec()
    }

    fn fixture() -> serde_json::Value {
        serde_json::from_str(include_str!("../../../../tests/fixtures/wedge.json")).unwrap()
    }

    fn near(value: f64, expected: &serde_json::Value, digits: f64) {
        let expected = expected.as_f64().unwrap();
        assert!((value / expected - 1.0).abs() < digits, "{value} against {expected}");
    }

    #[test]
    fn the_line_and_its_intervals_are_those_of_least_squares() {
        let (fit, expected) = (WedgeFit::through(&five()).unwrap(), &fixture()["five"]);
        near(fit.penetration_mm, &expected["slope"], 1e-9);
        near(fit.intercept_mm, &expected["intercept"], 1e-9);
        near(fit.scatter_mm.unwrap(), &expected["scatter"], 1e-9);
        near(fit.explained, &expected["explained"], 1e-9);
        near(fit.penetration_error_mm().unwrap(), &expected["slope_error"], 1e-9);
        near(fit.log_first_set().exp(), &expected["first_set"], 1e-9);
        near(fit.log_first_set_error().unwrap(), &expected["log_first_set_error"], 1e-9);
        let slope = fit.penetration_within(0.95).unwrap();
        near(slope.low, &expected["slope_within"][0], 1e-9);
        near(slope.high, &expected["slope_within"][1], 1e-9);
        let first = fit.first_set_within(0.95).unwrap();
        near(first.low, &expected["fieller"][0], 1e-8);
        near(first.high, &expected["fieller"][1], 1e-8);
        let (line, point) = fit.band_mm(Span::from_s(50.0), 0.95).unwrap();
        near(fit.depth_mm(Span::from_s(50.0)), &expected["at_50"][0], 1e-9);
        near(line, &expected["at_50"][1], 1e-9);
        near(point, &expected["at_50"][2], 1e-9);
    }

    #[test]
    fn ends_that_are_not_fiellers_are_caught_by_the_fixture() {
        // The first-order interval is the broken variant: it is even about ln tc, and Fieller's is not.
        let fit = WedgeFit::through(&five()).unwrap();
        let reach = student_quantile(0.975, 3.0) * fit.log_first_set_error().unwrap();
        let low = (fit.log_first_set() - reach).exp();
        let fieller = fixture()["five"]["fieller"][0].as_f64().unwrap();
        assert!((low / fieller - 1.0).abs() > 5e-3, "{low} against {fieller}");
        let logs_of_ten: Vec<_> =
            five().iter().map(|(s, d)| (Span::from_s(s.s().log10().exp()), *d)).collect();
        let wrong = WedgeFit::through(&logs_of_ten).unwrap().penetration_mm;
        assert!((wrong / fit.penetration_mm - 1.0).abs() > 1.0, "base ten for base e");
    }

    #[test]
    fn points_on_a_line_give_that_line_without_scatter() {
        let on: Vec<_> =
            [4.0, 10.0, 30.0].map(|s: f64| (Span::from_s(s), Length::from_mm(0.8 * (s / 2.0).ln()))).to_vec();
        let fit = WedgeFit::through(&on).unwrap();
        assert!((fit.penetration_mm - 0.8).abs() < 1e-6 && (fit.first_set().unwrap().s() - 2.0).abs() < 1e-5);
        assert!(fit.scatter_mm.unwrap() < 1e-6 && fit.explained > 1.0 - 1e-9);
        assert_eq!(WedgeFit::through(&on[..2]).unwrap().penetration_within(0.95), None);
    }

    #[test]
    fn scatter_too_wide_for_fieller_gives_no_ends() {
        let wild =
            [(20.0, 0.3), (40.0, 0.1), (80.0, 0.5)].map(|(s, d)| (Span::from_s(s), Length::from_mm(d)));
        assert_eq!(WedgeFit::through(&wild).unwrap().first_set_within(0.95), None);
    }

    #[test]
    fn what_is_no_wedge_is_refused_in_words() {
        let point = |s: f64, mm: f64| (Span::from_s(s), Length::from_mm(mm));
        assert_eq!(WedgeFit::through(&[]), Err(LearningError::TooFewTimes { given: 0 }));
        assert_eq!(WedgeFit::through(&[point(9.0, 1.0)]), Err(LearningError::TooFewTimes { given: 1 }));
        assert_eq!(
            WedgeFit::through(&[point(9.0, 1.0), point(9.0, 1.1)]),
            Err(LearningError::TooFewTimes { given: 2 })
        );
        assert_eq!(WedgeFit::through(&[point(9.0, 1.0), point(20.0, 0.9)]), Err(LearningError::Falling));
        assert_eq!(WedgeFit::through(&[point(0.0, 1.0), point(20.0, 1.9)]), Err(LearningError::NoLight));
    }

    #[test]
    fn one_point_far_off_the_line_is_strange_and_the_others_are_not() {
        let mut points: Vec<_> = [4.0, 8.0, 15.0, 30.0, 60.0, 120.0]
            .map(|s: f64| (Span::from_s(s), Length::from_mm(s.ln() + 0.01 * (7.0 * s).sin())))
            .to_vec();
        let limit = |points: &[(Span, Length)]| student_quantile(0.995, points.len() as f64 - 3.0);
        let fit = WedgeFit::through(&points).unwrap();
        assert!(fit.strangeness(&points).iter().all(|off| off.abs() < limit(&points)));
        points[3].1 = Length::from_mm(points[3].1.mm() - 0.3);
        let strange = WedgeFit::through(&points).unwrap().strangeness(&points);
        assert!(strange[3] < -limit(&points), "{strange:?}");
        assert!(strange.iter().filter(|off| off.abs() > limit(&points)).count() == 1, "{strange:?}");
    }

    /// A wavelength, loads with their depths, and the line through one over depth: slope, height and R².
    type Series = (u64, Vec<(Load, Length)>, [f64; 3]);

    /// Film of 93 µm, dye at none and at 0.10, 0.15, 0.20 and 0.40 per cent, absorbance at 365, 385 and 405 nm as
    /// measured and published by G. P. Nordin (2016, MIT licence, `3dprinter_resin_spectra`; Gong et al., RSC Adv.
    /// 5:106621, 2015): the wavelength, the loads with their penetration depths as `depth` has them from an absorbance,
    /// and the line through one over depth by scipy 1.17.1: its slope, its height at no load, and R².
    fn optical(depth: impl Fn(f64) -> Length) -> Vec<Series> {
        let series = |series: &serde_json::Value| {
            let point = |point: &serde_json::Value| {
                (Load::from_percent(point[0].as_f64().unwrap()), depth(point[1].as_f64().unwrap()))
            };
            let points: Vec<(Load, Length)> =
                series["points"].as_array().unwrap().iter().map(point).collect();
            let line = ["slope", "intercept", "explained"].map(|name| series[name].as_f64().unwrap());
            (series["nm"].as_u64().unwrap(), points, line)
        };
        fixture()["optical"].as_array().unwrap().iter().map(series).collect()
    }

    const FILM_MM: f64 = 0.093;

    fn by_absorbance(absorbance: f64) -> Length {
        crate::cure::penetration_from_absorbance(absorbance, Length::from_mm(FILM_MM)).unwrap()
    }

    /// Whether `line`, from depths as `depth` has them, has the slope and the height of each series. A depth is held
    /// to the nanometre, one part in 30,000 of the shortest here.
    fn series_hold(depth: impl Fn(f64) -> Length, line: impl Fn(&[(Load, Length)]) -> (f64, f64)) -> bool {
        optical(depth).iter().all(|(_, points, [slope, own, _])| {
            let (got_slope, got_own) = line(points);
            (got_slope / slope - 1.0).abs() < 1e-4 && (got_own / own - 1.0).abs() < 1e-4
        })
    }

    /// The broken variant: the line held to the clear resin's own 1/Dp, by least squares. Slope and height.
    fn forced_through_the_clear(points: &[(Load, Length)]) -> (f64, f64) {
        let own = 1.0 / points[0].1.mm();
        let loads = points.iter().map(|point| point.0.percent());
        let rises = points.iter().map(|point| 1.0 / point.1.mm() - own);
        let (over, under) =
            loads.zip(rises).fold((0.0, 0.0), |(xy, xx), (c, rise)| (xy + c * rise, xx + c * c));
        (over / under, own)
    }

    #[test]
    fn the_optical_series_of_a_dye_is_a_line_of_one_over_depth_against_load() {
        let fitted = |points: &[(Load, Length)]| {
            let fit = SeriesFit::through(points).unwrap();
            (fit.absorption, fit.own_per_mm)
        };
        assert!(series_hold(by_absorbance, fitted));
        assert!(!series_hold(by_absorbance, forced_through_the_clear), "broken: held to the clear resin");
        let in_tens = |absorbance: f64| Length::from_mm(FILM_MM / absorbance);
        assert!(!series_hold(in_tens, fitted), "broken: absorbance in powers of ten");
        let of_clear_too = |points: &[(Load, Length)]| fitted(&points[1..]);
        assert!(!series_hold(by_absorbance, of_clear_too), "broken: without the film that has no dye");
        for (_, points, [_, _, explained]) in optical(by_absorbance) {
            let fit = SeriesFit::through(&points).unwrap();
            assert!((fit.explained / explained - 1.0).abs() < 1e-4, "{fit:?}");
            assert_eq!((fit.least, fit.most), (Load::ZERO, Load::from_percent(0.4)));
        }
    }

    /// The four dyed films alone: nm, slope, height, R²; computed independently (ordinary least squares on absorbances
    /// interpolated to more digits than the fixture has, which is worth a few parts in 10,000).
    const DYED: [(u64, [f64; 3]); 3] =
        [(365, [37.302, 5.859, 0.98015]), (385, [47.925, 5.954, 0.98107]), (405, [63.98, 5.214, 0.98344])];

    #[test]
    fn the_dyed_films_alone_have_a_line_of_their_own_above_the_clear_one() {
        for ((nm, points, _), (of, [slope, own, explained])) in optical(by_absorbance).iter().zip(DYED) {
            let fit = SeriesFit::through(&points[1..]).unwrap();
            assert_eq!(*nm, of);
            let off = [fit.absorption / slope, fit.own_per_mm / own, fit.explained / explained];
            assert!(off.iter().all(|share| (share - 1.0).abs() < 5e-4), "{nm}: {fit:?}");
            // The more dye, the less each per cent adds: a line held to the clear resin is steeper, and runs too low
            // at small loads. At 405 nm its slope is 74.15, and it is off by -4, -15, -8 and +6 % (computed
            // independently).
            let (forced, clear) = forced_through_the_clear(points);
            assert!(forced > fit.absorption && clear < fit.own_per_mm);
            if of == 405 {
                assert!((forced - 74.15).abs() < 0.02, "{forced}");
                for ((load, depth), wanted) in points[1..].iter().zip([-0.04, -0.15, -0.08, 0.06]) {
                    let off = (clear + forced * load.percent()) * depth.mm() - 1.0;
                    assert!((off - wanted).abs() < 6e-3, "{load}: {off}");
                }
            }
        }
    }

    #[test]
    fn two_loads_give_their_line_and_one_gives_none() {
        let film = |percent: f64, per_mm: f64| (Load::from_percent(percent), Length::from_mm(1.0 / per_mm));
        let fit = SeriesFit::through(&[film(0.2, 2.0), film(0.6, 4.0)]).unwrap();
        assert!((fit.absorption - 5.0).abs() < 1e-5 && (fit.own_per_mm - 1.0).abs() < 1e-5, "{fit:?}");
        assert!((fit.explained - 1.0).abs() < 1e-9);
        for one_load in [vec![], vec![film(0.2, 2.0)], vec![film(0.2, 2.0), film(0.2, 2.1), film(0.2, 1.9)]] {
            assert_eq!(SeriesFit::through(&one_load), Err(LearningError::TooFewLoads));
        }
    }

    #[test]
    fn a_chord_of_a_scatterer_has_an_intercept_of_its_own_that_is_safe_between_its_ends() {
        // Kubelka & Munk (1931): √(K(K + 2S)) with K = 2 + 0.05 c, S = 5 c per mm, c in per cent; concave in c.
        let law = |c: f64| ((2.0 + 0.05 * c) * (2.0 + 0.05 * c + 10.0 * c)).sqrt();
        let series = [0.25, 1.0].map(|c| (Load::from_percent(c), Length::from_mm(1.0 / law(c))));
        let fit = SeriesFit::through(&series).unwrap();
        assert!(fit.own_per_mm > law(0.0), "{} against {}", fit.own_per_mm, law(0.0));
        let line = |c: f64| fit.own_per_mm + fit.absorption * c;
        // Between the ends a chord of a concave law lies below it by a little; through the origin it is far worse.
        let through_clear = |c: f64| law(0.0) + (law(1.0) - law(0.0)) * c;
        assert!((line(0.5) / law(0.5) - 1.0).abs() < 0.06, "{} {}", line(0.5), law(0.5));
        assert!(through_clear(0.25) < 0.95 * law(0.25), "a line from the clear resin is unsafe at low loads");
    }

    #[test]
    fn the_cautious_end_of_a_wedge_keeps_its_chance() {
        // Simulated: known truth, a wedge with scatter, a layer under a lamp that wavers. The bound must be below the
        // truth 95 times in 100; the counts can be raised for a long run.
        let wedges = u64::from(trials("HELDFAST_WEDGES", 600));
        let (dp, tc, lamp) = (1.0_f64, 1.0_f64, 0.14_f64);
        for (n, scatter, least) in [(6_u32, 0.06, 0.95), (4, 0.30, 0.945)] {
            let draws = Draws::new(u64::from(n));
            let doubts =
                Doubts { lamp: Factor::new(lamp).unwrap(), thickness: Length::from_mm(0.07), ..Doubts::NONE };
            let cure = Cure { doubts, ..Cure::typical(PigmentClass::Clear) };
            let (mut kept, mut without, mut fits) = (0_u64, 0_u64, 0_u64);
            for trial in 0..wedges {
                let points: Vec<_> = (0..n)
                    .map(|i| {
                        let s = 5.0 * 30.0_f64.powf(f64::from(i) / f64::from(n - 1));
                        let depth = dp * (s / tc).ln() + scatter * draws.normal(trial, u64::from(i));
                        (Span::from_s(s), Length::from_mm(depth))
                    })
                    .collect();
                let Ok(fit) = WedgeFit::through(&points) else { continue };
                let layer = (Length::from_mm(2.0), Load::ZERO);
                let light = Span::from_s(99.0);
                let bound = fit.cautious_ratio(&cure, layer, light, 0.95).unwrap();
                let laid = 2.0 + 0.07 * draws.normal(trial, 50);
                let truth = (99.0 / tc).ln() + lamp * draws.normal(trial, 51) - laid / dp;
                fits += 1;
                kept += u64::from(bound.ln() <= truth);
                let best = 99.0_f64.ln() - fit.log_first_set() - 2.0 / fit.penetration_mm;
                without += u64::from(best - 1.645 * (0.07_f64.hypot(lamp)) <= truth);
            }
            let (share, broken) = (kept as f64 / fits as f64, without as f64 / fits as f64);
            println!("wedge of {n}, scatter {scatter}: cautious end kept in {share:.4} of {fits}");
            let error = (least * (1.0 - least) / fits as f64).sqrt();
            assert!(share > least - 4.0 * error, "{n}: {share}");
            assert!(n == 6 || broken < least - 4.0 * error, "leaving out the line's own doubt: {broken}");
        }
    }
}
