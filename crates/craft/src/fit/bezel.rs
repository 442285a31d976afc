//! The bezel: how long a strip, how high a wall, and how much metal must gather.

use std::f64::consts::PI;

use super::{FitError, above_nothing, at_least_nothing};
use crate::geometry::{Cavity, Dome, Outline};
use crate::units::{Length, Share};

/// The strip for a bezel. The trim is kept apart, so that the length itself stays true.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct StripLength {
    /// The length of the closed ring along the middle of its thickness.
    pub raw: Length,
    /// What to leave on for filing the joint.
    pub trim: Length,
}

impl StripLength {
    /// Where to cut.
    pub fn cut_at(self) -> Length {
        self.raw + self.trim
    }
}

/// The strip for a wall of thickness t at a clearance c round a smooth convex outline: P + πt + 2πc, exactly.
///
/// A curve parallel to a smooth closed convex curve at distance d is longer by 2πd (Steiner 1840); the middle of the
/// wall runs at d = c + t/2. The trade's ((L + W)/2 + t)·π is too short on every oval.
///
/// # Errors
/// An impossible outline, a wall that is not thicker than nothing, a negative clearance or trim.
pub fn strip_length(
    outline: &Outline,
    wall: Length,
    clearance: Length,
    trim: Length,
    tolerance: Length,
) -> Result<StripLength, FitError> {
    outline.check()?;
    above_nothing("wall thickness", wall)?;
    at_least_nothing("clearance", clearance)?;
    at_least_nothing("trim", trim)?;
    let raw_mm = outline.perimeter(tolerance).mm() + PI * (wall.mm() + 2.0 * clearance.mm());
    Ok(StripLength { raw: Length::from_mm(raw_mm), trim })
}

/// A wall folded over the edge of a stone.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct WallOverEdge {
    /// How high above the edge the folded wall touches the dome.
    pub rise: Length,
    /// How much wall must stand above the edge.
    pub wall: Length,
}

/// The wall above the edge that, folded straight onto the dome, covers a wanted `grip` seen from above.
///
/// With the dome standing back by s(z) at z above the edge, z is where s(z) = grip and the wall is √(z² + grip²): the
/// straight line from the edge to that point. Worked out across the width, where the dome is steepest; along the
/// length the same wall grips more. On a flat stone the wall lies down, so it is the grip itself. A wanted grip of
/// 0.2–0.5 mm is from memory; no published figure was found.
///
/// # Errors
/// A grip of nothing or less, or wider than half the stone.
pub fn wall_over_edge(stone: &Cavity, grip: Length) -> Result<WallOverEdge, FitError> {
    above_nothing("grip", grip)?;
    let semi_minor_mm = stone.profile().semi_minor_mm;
    if grip.mm() > semi_minor_mm {
        return Err(FitError::GripTooWide { grip, most: Length::from_mm(semi_minor_mm) });
    }
    let rise_mm = if stone.dome() == Dome::Flat {
        0.0
    } else {
        let touching_mm = stone.profile().depth_at_scale_mm(1.0 - grip.mm() / semi_minor_mm);
        stone.dome_height().mm() - touching_mm
    };
    Ok(WallOverEdge { rise: Length::from_mm(rise_mm), wall: Length::from_mm(rise_mm.hypot(grip.mm())) })
}

/// The whole height of a bezel wall: bearing under the stone, its straight edge, and the wall over the edge.
///
/// # Errors
/// As [`wall_over_edge`], and a negative bearing.
pub fn bezel_wall_height(stone: &Cavity, grip: Length, bearing: Length) -> Result<Length, FitError> {
    at_least_nothing("bearing height", bearing)?;
    Ok(bearing + stone.wall_height() + wall_over_edge(stone, grip)?.wall)
}

/// What a folded wall has to give up, and what it leaves in view.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Gather {
    /// The metal too many at the rim, P·(1 − k): it must be pushed together or it crimps.
    pub surplus: Length,
    /// The same as a share of the way round, 1 − k: the crimp risk, 0 for a wall that ends at the edge.
    pub crimp: Share,
    /// How much of the face, seen from above, is still in view: k².
    pub visible_face: Share,
}

/// The metal to gather where a wall touches the dome at `rise` above the edge; k is the scale of the section there.
///
/// # Errors
/// A negative rise, or one above the dome.
pub fn gather_at(stone: &Cavity, rise: Length, tolerance: Length) -> Result<Gather, FitError> {
    at_least_nothing("rise", rise)?;
    let dome = stone.dome_height();
    if rise > dome {
        return Err(FitError::AboveTheDome { rise, dome });
    }
    let k = stone.profile().scale((dome - rise).mm());
    let surplus_mm = stone.outline().perimeter(tolerance).mm() * (1.0 - k);
    Ok(Gather { surplus: Length::from_mm(surplus_mm), crimp: share(1.0 - k), visible_face: share(k * k) })
}

/// A fraction of 0–1 as a share, to the nearest millionth.
fn share(fraction: f64) -> Share {
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped to 0..=1e6")]
    Share::from_millionths((fraction.clamp(0.0, 1.0) * 1e6).round() as u32)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::FINEST;
    use proptest::prelude::*;

    fn mm(value: f64) -> Length {
        Length::from_mm(value)
    }

    fn oval(dome: Dome, dome_mm: f64) -> Cavity {
        let outline = Outline::Oval { length: mm(18.0), width: mm(13.0) };
        Cavity::new(outline, dome, mm(dome_mm), mm(1.5)).unwrap()
    }

    #[test]
    fn the_strip_agrees_with_walking_round_the_parallel_curve() {
        let (a, b, d) = (9.0_f64, 6.5_f64, 0.05 + 0.2);
        let corners = 200_000_u32;
        let at = |i: u32| {
            let t = 2.0 * PI * f64::from(i) / f64::from(corners);
            let (nx, ny) = (b * t.cos(), a * t.sin());
            let n = nx.hypot(ny);
            (a * t.cos() + d * nx / n, b * t.sin() + d * ny / n)
        };
        let walked: f64 = (0..corners)
            .map(|i| {
                let ((x0, y0), (x1, y1)) = (at(i), at(i + 1));
                (x1 - x0).hypot(y1 - y0)
            })
            .sum();
        let outline = Outline::Oval { length: mm(18.0), width: mm(13.0) };
        let strip = strip_length(&outline, mm(0.4), mm(0.05), mm(0.5), FINEST).unwrap();
        assert!((strip.raw.mm() - walked).abs() < 2e-6);
        assert_eq!(strip.cut_at(), strip.raw + mm(0.5));
    }

    #[test]
    fn an_impossible_strip_is_refused_in_a_sentence() {
        let round = Outline::Round { diameter: mm(10.0) };
        let said = |wall, clearance, trim| {
            strip_length(&round, mm(wall), mm(clearance), mm(trim), FINEST).unwrap_err().to_string()
        };
        assert_eq!(
            said(0.0, 0.05, 0.0),
            "a wall thickness of 0 mm cannot be right; it must be more than 0 mm"
        );
        assert_eq!(said(0.4, -0.05, 0.0), "a clearance of -0.05 mm cannot be right; it must be 0 mm or more");
        assert_eq!(said(0.4, 0.05, -1.0), "a trim of -1 mm cannot be right; it must be 0 mm or more");
        let nothing = Outline::Round { diameter: mm(0.0) };
        assert!(strip_length(&nothing, mm(0.4), mm(0.0), mm(0.0), FINEST).is_err());
    }

    #[test]
    fn on_a_hemisphere_the_folded_wall_is_a_chord() {
        let round = Outline::Round { diameter: mm(10.0) };
        for dome in [Dome::HalfEllipse, Dome::CircularArc] {
            let stone = Cavity::new(round.clone(), dome, mm(5.0), mm(1.0)).unwrap();
            let over = wall_over_edge(&stone, mm(0.3)).unwrap();
            // The chord over a sagitta s of a circle of radius r: w² = 2rs.
            assert!((over.wall.mm() - (2.0_f64 * 5.0 * 0.3).sqrt()).abs() < 1e-6, "{dome:?}");
        }
    }

    #[test]
    fn on_a_flat_stone_the_wall_is_the_grip() {
        let outline = Outline::Round { diameter: mm(10.0) };
        let stone = Cavity::new(outline, Dome::Flat, Length::ZERO, mm(3.0)).unwrap();
        let over = wall_over_edge(&stone, mm(0.3)).unwrap();
        assert_eq!(over, WallOverEdge { rise: Length::ZERO, wall: mm(0.3) });
        assert_eq!(bezel_wall_height(&stone, mm(0.3), mm(0.5)), Ok(mm(3.8)));
    }

    #[test]
    fn a_grip_or_rise_beyond_the_stone_is_refused() {
        let stone = oval(Dome::HalfEllipse, 4.0);
        assert_eq!(
            wall_over_edge(&stone, mm(7.0)).unwrap_err().to_string(),
            "a grip of 7 mm is more than half the width of the stone, 6.5 mm; a usual grip is 0.2–0.5 mm"
        );
        assert!(wall_over_edge(&stone, Length::ZERO).is_err());
        assert_eq!(
            gather_at(&stone, mm(4.5), FINEST).unwrap_err().to_string(),
            "a wall that touches 4.5 mm above the edge stands over a dome of 4 mm; make it lower"
        );
        assert!(gather_at(&stone, mm(-0.1), FINEST).is_err());
        assert!(bezel_wall_height(&stone, mm(0.3), mm(-0.1)).is_err());
    }

    #[test]
    fn a_wall_that_ends_at_the_edge_gathers_nothing_and_one_at_the_apex_everything() {
        let stone = oval(Dome::HalfEllipse, 4.0);
        let none = gather_at(&stone, Length::ZERO, FINEST).unwrap();
        assert_eq!(none, Gather { surplus: Length::ZERO, crimp: Share::NONE, visible_face: Share::WHOLE });
        let all = gather_at(&stone, mm(4.0), FINEST).unwrap();
        assert_eq!((all.crimp, all.visible_face), (Share::WHOLE, Share::NONE));
        assert_eq!(all.surplus, stone.outline().perimeter(FINEST));
    }

    proptest! {
        #[test]
        fn a_wider_grip_asks_for_more_wall_and_shows_less_face(
            kind in 0..3_usize, grip in 0.01..3.0_f64, more in 0.01..3.0_f64,
        ) {
            let dome = [Dome::HalfEllipse, Dome::CircularArc, Dome::Parabola][kind];
            let stone = oval(dome, 4.0);
            let low = wall_over_edge(&stone, mm(grip)).unwrap();
            let high = wall_over_edge(&stone, mm(grip + more)).unwrap();
            prop_assert!(high.wall > low.wall && high.rise >= low.rise);
            let (some, lots) = (gather_at(&stone, low.rise, FINEST).unwrap(), gather_at(&stone, high.rise, FINEST).unwrap());
            prop_assert!(lots.crimp > some.crimp && lots.visible_face < some.visible_face);
            // The grip is what the section loses on each side of the width.
            let lost_mm = 6.5 * some.crimp.fraction();
            prop_assert!((lost_mm - grip).abs() < 1e-4);
        }
    }
}
