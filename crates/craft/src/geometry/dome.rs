//! The profile of a dome: how the section shrinks from the edge to the apex.

use std::f64::consts::{FRAC_PI_2, PI};

use serde::{Deserialize, Serialize};

use super::heights::{Heights, Line};
use super::numeric::{ellipse_perimeter_mm, integral};
use super::rim::Step;

/// The named profile of a dome. Stored by name, since at the same height it changes the volume by up to 20 %.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum Dome {
    /// Half an ellipse from edge to edge in every direction, upright at the edge: the dome is a half-ellipsoid.
    HalfEllipse,
    /// A circular arc across the width. On an oval this is the *stretched cap*: the spherical cap over the width,
    /// stretched along the length by length/width, so that each section is the outline made smaller. (Along the
    /// length the line is then an arc of an ellipse, not of a circle.) No higher than half the width.
    CircularArc,
    /// A parabola in every direction: the dome is an elliptic paraboloid.
    Parabola,
    /// No dome.
    Flat,
    /// As measured: the sections between the measured heights follow a smooth line that only falls.
    Measured(Heights),
}

/// A dome with its numbers: of height `height_mm` over an outline of half-width `semi_minor_mm`.
///
/// `depth_mm` is below the apex, from 0 to the height; `scale` is the size of the section there, 0–1.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Profile {
    pub(crate) dome: Dome,
    pub(crate) height_mm: f64,
    pub(crate) semi_minor_mm: f64,
}

impl Profile {
    /// The measured line, where there is one.
    fn line(self) -> Option<Line> {
        match self.dome {
            Dome::Measured(heights) => Some(Line::new(&heights, self.height_mm, self.semi_minor_mm)),
            _ => None,
        }
    }

    /// The radius of the circular arc over the width: (b² + h²)/2h.
    pub(crate) fn arc_radius_mm(self) -> f64 {
        (self.semi_minor_mm.powi(2) + self.height_mm.powi(2)) / (2.0 * self.height_mm)
    }

    /// The angle of the arc from apex to edge; tan(θ/2) = h/b stays exact up to the hemisphere.
    fn arc_angle(self) -> f64 {
        2.0 * (self.height_mm / self.semi_minor_mm).atan()
    }

    /// The scale of the section at a depth.
    pub(crate) fn scale(self, depth_mm: f64) -> f64 {
        let (h_mm, z_mm) = (self.height_mm, depth_mm.max(0.0));
        if z_mm >= h_mm {
            return 1.0;
        }
        match self.dome {
            Dome::HalfEllipse => (z_mm * (2.0 * h_mm - z_mm)).sqrt() / h_mm,
            Dome::CircularArc => (z_mm * (2.0 * self.arc_radius_mm() - z_mm)).sqrt() / self.semi_minor_mm,
            Dome::Parabola => (z_mm / h_mm).sqrt(),
            Dome::Flat => 1.0,
            Dome::Measured(_) => self.line().map_or(1.0, |line| line.scale_at(z_mm)),
        }
    }

    /// The depth at which the section has a scale: the inverse of [`Profile::scale`].
    pub(crate) fn depth_at_scale_mm(self, scale: f64) -> f64 {
        let scale = scale.clamp(0.0, 1.0);
        match self.dome {
            Dome::HalfEllipse => self.height_mm * scale * scale / (1.0 + (1.0 - scale * scale).sqrt()),
            Dome::CircularArc => {
                let (r_mm, radius_mm) = (self.semi_minor_mm * scale, self.arc_radius_mm());
                r_mm * r_mm / (radius_mm + (radius_mm * radius_mm - r_mm * r_mm).max(0.0).sqrt())
            }
            Dome::Parabola => self.height_mm * scale * scale,
            Dome::Flat => 0.0,
            Dome::Measured(_) => self.line().map_or(0.0, |line| line.at(scale).0),
        }
    }

    /// The volume below a depth over the outline's area: ∫ scale² dz. In closed form: half-ellipsoid
    /// z²(3h−z)/3h², cap z²(3R−z)/3b², paraboloid z²/2h (spherical cap and ellipsoid: Bronshtein and Semendyayev,
    /// Handbook of Mathematics, solids).
    pub(crate) fn filled_mm(self, depth_mm: f64) -> f64 {
        let (h_mm, z_mm) = (self.height_mm, depth_mm.clamp(0.0, self.height_mm));
        match self.dome {
            Dome::HalfEllipse => z_mm * z_mm * (3.0 * h_mm - z_mm) / (3.0 * h_mm * h_mm),
            Dome::CircularArc => {
                z_mm * z_mm * (3.0 * self.arc_radius_mm() - z_mm) / (3.0 * self.semi_minor_mm.powi(2))
            }
            Dome::Parabola => z_mm * z_mm / (2.0 * h_mm),
            Dome::Flat => 0.0,
            Dome::Measured(_) => self.line().map_or(0.0, |line| line.sum(self.scale(z_mm), |_| 1.0)),
        }
    }

    /// The height of the dome's centroid above the edge plane: 3h/8, 3(2R−h)²/4(3R−h) − (R−h), h/3.
    pub(crate) fn centroid_mm(self) -> f64 {
        let h_mm = self.height_mm;
        match self.dome {
            Dome::HalfEllipse => 3.0 * h_mm / 8.0,
            Dome::CircularArc => {
                let radius_mm = self.arc_radius_mm();
                // The same as 3(2R−h)²/4(3R−h) − (R−h), without the difference of large numbers on a low dome.
                h_mm * (4.0 * radius_mm - h_mm) / (4.0 * (3.0 * radius_mm - h_mm))
            }
            Dome::Parabola => h_mm / 3.0,
            Dome::Flat => 0.0,
            Dome::Measured(_) => self
                .line()
                .map_or(0.0, |line| line.sum(1.0, |depth_mm| h_mm - depth_mm) / line.sum(1.0, |_| 1.0)),
        }
    }

    /// The line over the dome from edge to edge along a half-axis, to a tolerance.
    pub(crate) fn arc_mm(self, semi_axis_mm: f64, tolerance_mm: f64) -> f64 {
        let (s_mm, h_mm) = (semi_axis_mm, self.height_mm);
        match self.dome {
            Dome::HalfEllipse => 0.5 * ellipse_perimeter_mm(s_mm, h_mm, tolerance_mm),
            Dome::CircularArc => {
                let radius_mm = self.arc_radius_mm();
                let stretch = s_mm / self.semi_minor_mm;
                if (stretch - 1.0).abs() < 1e-12 {
                    return 2.0 * radius_mm * self.arc_angle();
                }
                let speed = |t: f64| radius_mm * (stretch * t.cos()).hypot(t.sin());
                2.0 * integral(speed, 0.0, self.arc_angle(), 0.5 * tolerance_mm)
            }
            Dome::Parabola => {
                s_mm.hypot(2.0 * h_mm) + s_mm * s_mm / (2.0 * h_mm) * (2.0 * h_mm / s_mm).asinh()
            }
            Dome::Flat => 2.0 * s_mm,
            Dome::Measured(_) => self.line().map_or(2.0 * s_mm, |line| {
                let speed = |scale: f64| s_mm.hypot(line.at(scale).1);
                let part_mm = 0.1 * tolerance_mm;
                2.0 * line.pieces().map(|(from, to)| integral(speed, from, to, part_mm)).sum::<f64>()
            }),
        }
    }

    /// The area of the curved face over an ellipse of half-axes `a_mm`, `b_mm`, to a tolerance; the plain face
    /// of a flat stone.
    ///
    /// With the line from apex to edge written as scale s(t) and fall f(t), the band at t is
    /// s·∮√(f′²(b²cos²φ + a²sin²φ) + a²b²s′²)dφ, and the ring integral is itself the perimeter of an ellipse.
    pub(crate) fn curved_area_mm2(self, a_mm: f64, b_mm: f64, tolerance_mm2: f64) -> f64 {
        if self.dome == Dome::Flat {
            return PI * a_mm * b_mm;
        }
        self.bands(tolerance_mm2, |scale, scale_rate, fall_rate_mm| {
            let level_mm2 = a_mm * b_mm * scale_rate;
            let p = (fall_rate_mm * a_mm).hypot(level_mm2);
            let q = (fall_rate_mm * b_mm).hypot(level_mm2);
            scale * ellipse_perimeter_mm(p, q, 0.01 * tolerance_mm2)
        })
    }

    /// The area of the curved face over a rim given in steps: the band at t is s·∮√(f′²dl² + s′²dw²), with dl the
    /// length of a step and dw twice what it sweeps.
    pub(crate) fn curved_area_over_mm2(self, rim: &[Step], tolerance_mm2: f64) -> f64 {
        if self.dome == Dome::Flat {
            return rim.iter().map(|step| 0.5 * step.swept_mm2).sum();
        }
        self.bands(tolerance_mm2, |scale, scale_rate, fall_rate_mm| {
            let around =
                rim.iter().map(|step| (fall_rate_mm * step.along_mm).hypot(scale_rate * step.swept_mm2));
            scale * around.sum::<f64>()
        })
    }

    /// The sum over the face of a band given by scale, how fast it grows and how fast the dome falls there.
    fn bands(self, tolerance_mm2: f64, band: impl Fn(f64, f64, f64) -> f64) -> f64 {
        let h_mm = self.height_mm;
        match self.dome {
            Dome::HalfEllipse => {
                integral(|t| band(t.sin(), t.cos(), h_mm * t.sin()), 0.0, FRAC_PI_2, tolerance_mm2)
            }
            Dome::CircularArc => {
                let radius_mm = self.arc_radius_mm();
                let over = radius_mm / self.semi_minor_mm;
                let at = |t: f64| band(over * t.sin(), over * t.cos(), radius_mm * t.sin());
                integral(at, 0.0, self.arc_angle(), tolerance_mm2)
            }
            Dome::Parabola => integral(|t| band(t, 1.0, 2.0 * h_mm * t), 0.0, 1.0, tolerance_mm2),
            Dome::Flat => 0.0,
            // Piece by piece, for the line bends anew at each measured place.
            Dome::Measured(_) => self.line().map_or(0.0, |line| {
                let at = |scale: f64| band(scale, 1.0, line.at(scale).1);
                line.pieces().map(|(from, to)| integral(at, from, to, 0.1 * tolerance_mm2)).sum()
            }),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const ROUNDED: [Dome; 3] = [Dome::HalfEllipse, Dome::CircularArc, Dome::Parabola];

    fn profile(dome: Dome) -> Profile {
        Profile { dome, height_mm: 4.0, semi_minor_mm: 6.5 }
    }

    #[test]
    fn the_section_is_nothing_at_the_apex_and_whole_at_the_edge() {
        for dome in ROUNDED {
            assert!(profile(dome).scale(0.0).abs() < 1e-12, "{dome:?}");
            assert!((profile(dome).scale(4.0 - 1e-13) - 1.0).abs() < 1e-9, "{dome:?}");
        }
    }

    #[test]
    fn the_filled_depth_agrees_with_adding_up_sections() {
        for dome in ROUNDED {
            for z in [0.01, 0.5, 1.7, 3.999] {
                let added = integral(|t| profile(dome).scale(t).powi(2), 0.0, z, 1e-12);
                assert!((profile(dome).filled_mm(z) - added).abs() < 1e-9, "{dome:?} at {z}");
            }
        }
    }

    #[test]
    fn the_depth_of_a_section_is_the_inverse_of_its_scale() {
        for dome in ROUNDED {
            for step in 0..=40_u32 {
                let z = 4.0 * f64::from(step) / 40.0;
                let back = profile(dome).depth_at_scale_mm(profile(dome).scale(z));
                // Near the edge of a half-ellipse the scale hardly changes with depth, which costs half the digits.
                assert!((back - z).abs() < 1e-6, "{dome:?} at {z}: {back}");
            }
        }
    }

    #[test]
    fn the_centroid_agrees_with_adding_up_moments() {
        for dome in ROUNDED {
            let p = profile(dome);
            let moment = integral(|z| (4.0 - z) * p.scale(z).powi(2), 0.0, 4.0, 1e-12);
            assert!((p.centroid_mm() - moment / p.filled_mm(4.0)).abs() < 1e-9, "{dome:?}");
        }
    }

    #[test]
    fn the_line_over_the_dome_agrees_with_a_fine_polygon() {
        for dome in ROUNDED {
            for semi_axis in [6.5, 9.0] {
                let p = profile(dome);
                let corners = 200_000_u32;
                // Depth grows as the square near the apex so that the polygon's sides stay even there.
                let at = |i: u32| {
                    let u = (FRAC_PI_2 * f64::from(i) / f64::from(corners)).sin().powi(2);
                    (semi_axis * p.scale(4.0 * u), 4.0 * u)
                };
                let walked: f64 = (0..corners)
                    .map(|i| {
                        let ((x0, z0), (x1, z1)) = (at(i), at(i + 1));
                        (x1 - x0).hypot(z1 - z0)
                    })
                    .sum();
                assert!((p.arc_mm(semi_axis, 1e-11) - 2.0 * walked).abs() < 1e-7, "{dome:?} {semi_axis}");
            }
        }
    }

    #[test]
    fn on_a_round_the_curved_area_meets_the_closed_forms_of_revolution() {
        let (a, h) = (6.5_f64, 4.0_f64);
        // Oblate spheroid, half: πa² + π(h²/2e)·ln((1+e)/(1−e)).
        let e = (1.0 - h * h / (a * a)).sqrt();
        let spheroid = PI * a * a + PI * h * h / (2.0 * e) * ((1.0 + e) / (1.0 - e)).ln();
        let cap = PI * (a * a + h * h);
        let paraboloid = PI * a / (6.0 * h * h) * ((a * a + 4.0 * h * h).powf(1.5) - a.powi(3));
        for (dome, exact) in
            [(Dome::HalfEllipse, spheroid), (Dome::CircularArc, cap), (Dome::Parabola, paraboloid)]
        {
            let got = profile(dome).curved_area_mm2(a, a, 1e-10);
            assert!((got - exact).abs() < 1e-8, "{dome:?}: {got} for {exact}");
        }
    }

    #[test]
    fn on_an_oval_the_curved_area_meets_a_sum_over_small_facets() {
        for dome in ROUNDED {
            let p = profile(dome);
            let (a, b) = (9.0, 6.5);
            let point = |i: u32, j: u32| {
                let u = (FRAC_PI_2 * f64::from(i) / 400.0).sin().powi(2);
                let (k, phi) = (p.scale(4.0 * u), FRAC_PI_2 * f64::from(j) / 400.0);
                [a * k * phi.cos(), b * k * phi.sin(), 4.0 * u]
            };
            let facet = |p: [f64; 3], q: [f64; 3], r: [f64; 3]| {
                let (u, v) =
                    ([q[0] - p[0], q[1] - p[1], q[2] - p[2]], [r[0] - p[0], r[1] - p[1], r[2] - p[2]]);
                0.5 * (u[1] * v[2] - u[2] * v[1])
                    .hypot((u[2] * v[0] - u[0] * v[2]).hypot(u[0] * v[1] - u[1] * v[0]))
            };
            let quarter: f64 = (0..400)
                .flat_map(|i| (0..400).map(move |j| (i, j)))
                .map(|(i, j)| {
                    let (p0, p1, p2, p3) =
                        (point(i, j), point(i + 1, j), point(i + 1, j + 1), point(i, j + 1));
                    facet(p0, p1, p2) + facet(p0, p2, p3)
                })
                .sum();
            let got = p.curved_area_mm2(a, b, 1e-9);
            assert!((got / (4.0 * quarter) - 1.0).abs() < 1e-5, "{dome:?}: {got} for {}", 4.0 * quarter);
        }
    }

    #[test]
    fn a_very_low_dome_is_nearly_flat() {
        for dome in ROUNDED {
            let low = Profile { dome, height_mm: 1e-4, semi_minor_mm: 6.5 };
            assert!((low.curved_area_mm2(9.0, 6.5, 1e-9) - PI * 9.0 * 6.5).abs() < 1e-4, "{dome:?}");
            assert!((low.arc_mm(6.5, 1e-9) - 13.0).abs() < 1e-4, "{dome:?}");
        }
    }
}
