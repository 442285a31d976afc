//! A wait as a ring that fills clockwise from the top.

use egui::{Painter, Pos2, Shape, Stroke};

use super::paths::arc;
use crate::look::Tokens;

/// What a wait is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Waiting {
    /// A lamp is lit: brass.
    Light,
    /// Settling, cooling, or a lamp that is not lit now: ink.
    Other,
}

/// A ring, by its outer radius and thickness in points.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WaitRing {
    /// How much of it has passed, 0–1; taken as the nearer end outside.
    pub fraction: f32,
    /// What it is for.
    pub waiting: Waiting,
    /// From the centre to the outer edge.
    pub radius: f32,
    /// From the outer to the inner edge.
    pub thickness: f32,
}

impl WaitRing {
    /// The ring of a row on the strip.
    pub const fn small(fraction: f32, waiting: Waiting) -> Self {
        Self { fraction, waiting, radius: 14.0, thickness: 4.0 }
    }

    /// The ring around the digits of the lamp view, as wide as the room there is.
    pub fn large(fraction: f32, waiting: Waiting, radius: f32) -> Self {
        Self { fraction, waiting, radius, thickness: (0.07 * radius).max(4.0) }
    }
}

/// Draws a ring about `centre`.
pub fn ring(painter: &Painter, tokens: &Tokens, centre: Pos2, ring: &WaitRing) {
    let passed = if ring.fraction.is_nan() { 0.0 } else { ring.fraction.clamp(0.0, 1.0) };
    let colour = match ring.waiting {
        Waiting::Light => tokens.brass,
        Waiting::Other => tokens.ink_2,
    };
    let radius = (ring.radius - 0.5 * ring.thickness).max(0.5);
    let part = |from: f32, to: f32, stroke: Stroke| {
        if from <= 0.0 && to >= 1.0 {
            let mut points = arc(centre, radius, 0.0, 1.0);
            points.pop();
            painter.add(Shape::closed_line(points, stroke));
        } else if to > from {
            painter.add(Shape::line(arc(centre, radius, from, to), stroke));
        }
    };
    // The track is drawn only where nothing has passed: beneath, it would shine through the soft edge.
    part(passed, 1.0, Stroke::new(ring.thickness, tokens.line));
    part(0.0, passed, Stroke::new(ring.thickness, colour));
}

#[cfg(test)]
mod tests {
    use super::super::testing::{assert_within, drawn};
    use super::*;
    use egui::epaint::ColorMode;
    use egui::{Color32, Rect, Vec2, pos2};

    const CENTRE: Pos2 = pos2(300.0, 300.0);

    /// The colour, length and last point of each part.
    fn parts(fraction: f32, waiting: Waiting, radius: f32) -> Vec<(Color32, f32, Pos2)> {
        let (shapes, ()) = drawn(|painter| {
            ring(painter, &Tokens::DARK, CENTRE, &WaitRing::large(fraction, waiting, radius));
        });
        assert_within(&shapes, Rect::from_center_size(CENTRE, Vec2::splat(2.0 * radius)));
        let part = |shape: &Shape| {
            let Shape::Path(path) = shape else { panic!("a path") };
            let ColorMode::Solid(colour) = path.stroke.color else { panic!("one colour") };
            let ends = path.closed.then(|| [path.points[path.points.len() - 1], path.points[0]]);
            let way = path.points.windows(2).map(|two| two[0].distance(two[1])).sum::<f32>()
                + ends.map_or(0.0, |[a, b]| a.distance(b));
            (colour, way, *path.points.last().unwrap())
        };
        shapes.iter().map(part).collect()
    }

    #[test]
    fn a_ring_is_all_track_at_first_and_all_passed_at_last() {
        for (fraction, colour) in [(0.0, Tokens::DARK.line), (1.0, Tokens::DARK.brass)] {
            let parts = parts(fraction, Waiting::Light, 200.0);
            assert_eq!(parts.len(), 1);
            assert_eq!(parts[0].0, colour);
            let whole = std::f32::consts::TAU * 193.0;
            assert!((parts[0].1 / whole - 1.0).abs() < 1e-3);
        }
        assert_eq!(parts(-3.0, Waiting::Light, 200.0), parts(0.0, Waiting::Light, 200.0));
        assert_eq!(parts(f32::NAN, Waiting::Light, 200.0), parts(0.0, Waiting::Light, 200.0));
        assert_eq!(parts(7.0, Waiting::Light, 200.0), parts(1.0, Waiting::Light, 200.0));
    }

    #[test]
    fn a_quarter_ends_at_the_right_and_is_a_quarter_long() {
        for radius in [14.0, 200.0] {
            let parts = parts(0.25, Waiting::Other, radius);
            let (colour, way, end) = parts[1];
            assert_eq!(colour, Tokens::DARK.ink_2);
            assert!(end.x > CENTRE.x && (end.y - CENTRE.y).abs() < 1e-3, "{end:?}");
            assert!((way / parts[0].1 - 1.0 / 3.0).abs() < 2e-3);
        }
    }

    #[test]
    fn brass_is_only_where_light_is() {
        let brass =
            |waiting| parts(0.6, waiting, 60.0).iter().any(|(colour, ..)| *colour == Tokens::DARK.brass);
        assert!(brass(Waiting::Light));
        assert!(!brass(Waiting::Other));
    }
}
