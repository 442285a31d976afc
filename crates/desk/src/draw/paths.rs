//! Lines and fills that several pictures are made of.

use std::f32::consts::TAU;

use earcut::Earcut;
use egui::epaint::{PathShape, PathStroke};
use egui::{Color32, Mesh, Pos2, Shape, Stroke, Vec2, vec2};

use crate::look::Tokens;

/// A colour as it is kept on the shelf: red, green, blue.
pub const fn shade(colour: (u8, u8, u8)) -> Color32 {
    Color32::from_rgb(colour.0, colour.1, colour.2)
}

/// The ink that stands out best from a fill. Each of the three can be read on every ground.
pub(super) fn edge_on(tokens: &Tokens, fill: Color32) -> Color32 {
    let ratio = |ink: Color32| apart(ink, fill);
    [tokens.ink_2, tokens.ink_3].into_iter().fold(tokens.ink, |best, ink| {
        // Only a clear gain is worth a paler edge: a row of stones should look alike.
        if ratio(ink) > 1.25 * ratio(best) { ink } else { best }
    })
}

/// The colour of a line drawn inside a picture, on a fill: ink, or the page where ink would hardly be seen.
pub(super) fn line_on(tokens: &Tokens, fill: Color32) -> Color32 {
    if apart(tokens.page, fill) > 2.0 * apart(tokens.ink, fill) { tokens.page } else { tokens.ink }
}

/// How far two colours stand apart in lightness, 1 for not at all.
fn apart(one: Color32, other: Color32) -> f32 {
    let (one, other) = (one.intensity() + 0.05, other.intensity() + 0.05);
    one.max(other) / one.min(other)
}

/// The corners of an ellipse, fine enough that no side is longer than about a point.
pub(super) fn ellipse(centre: Pos2, radii: Vec2) -> Vec<Pos2> {
    let corners = (TAU * radii.max_elem()).clamp(32.0, 720.0).round();
    sweep(0.0, 1.0, corners).map(|turn| centre + radii * vec2(turn.sin(), -turn.cos())).collect()
}

/// The points of an arc from one part of a turn to another, clockwise from the top, both ends among them.
pub(super) fn arc(centre: Pos2, radius: f32, from: f32, to: f32) -> Vec<Pos2> {
    let sides = (TAU * radius * (to - from)).clamp(2.0, 1_440.0).ceil();
    sweep(from, to, sides)
        .chain([to * TAU])
        .map(|turn| centre + radius * vec2(turn.sin(), -turn.cos()))
        .collect()
}

/// Angles from one part of a turn towards another, the last left out.
fn sweep(from: f32, to: f32, sides: f32) -> impl Iterator<Item = f32> {
    let mut at = 0.0;
    std::iter::from_fn(move || {
        let angle = TAU * (from + (to - from) * at / sides);
        at += 1.0;
        (at <= sides).then_some(angle)
    })
}

/// A smooth line through a cubic's four points.
pub(super) fn curve(points: [Pos2; 4]) -> Vec<Pos2> {
    const SIDES: u8 = 24;
    let [a, b, c, d] = points.map(Pos2::to_vec2);
    (0..=SIDES)
        .map(|i| {
            let t = f32::from(i) / f32::from(SIDES);
            let s = 1.0 - t;
            (a * s * s * s + b * 3.0 * s * s * t + c * 3.0 * s * t * t + d * t * t * t).to_pos2()
        })
        .collect()
}

/// A closed convex shape, filled and edged.
pub(super) fn filled(points: Vec<Pos2>, fill: Color32, edge: Stroke) -> Shape {
    Shape::Path(PathShape { points, closed: true, fill, stroke: PathStroke::from(edge) })
}

/// The inside of a closed line that may turn inward and does not cross itself.
pub(super) fn filled_within(points: &[Pos2], fill: Color32) -> Shape {
    let mut mesh = Mesh::default();
    for &at in points {
        mesh.colored_vertex(at, fill);
    }
    Earcut::new().earcut(points.iter().map(|at| [at.x, at.y]), &[], &mut mesh.indices);
    Shape::mesh(mesh)
}

/// A closed dashed line; the dashes are stretched a little so that they meet.
pub(super) fn dashed(mut points: Vec<Pos2>, edge: Stroke, dash: f32) -> Vec<Shape> {
    points.extend(points.first().copied());
    let way: f32 = points.windows(2).filter_map(|two| Some(two.first()?.distance(*two.last()?))).sum();
    let pairs = (way / (2.0 * dash)).round().max(1.0);
    let each = way / pairs / 2.0;
    Shape::dashed_line(&points, edge, each, each)
}

/// A dashed line that begins and ends with a whole dash; the gaps are fitted.
pub(super) fn dashes([from, to]: [Pos2; 2], line: Stroke, dash: f32, gap: f32) -> Vec<Shape> {
    let way = from.distance(to);
    let gaps = ((way - dash) / (dash + gap)).round().max(1.0);
    let step = (way - dash) / gaps / way;
    let mut at = 0.0;
    let mut shapes = Vec::new();
    while at <= 1.0 - 0.5 * dash / way {
        shapes.push(Shape::line_segment([from.lerp(to, at), from.lerp(to, at + dash / way)], line));
        at += step;
    }
    shapes
}

/// A ribbon between two lines of the same number of points, coloured along each.
pub(super) fn ribbon(mesh: &mut Mesh, one: &[(Pos2, Color32)], other: &[(Pos2, Color32)]) {
    let Ok(first) = u32::try_from(mesh.vertices.len()) else { return };
    for ((a, a_colour), (b, b_colour)) in one.iter().zip(other) {
        mesh.colored_vertex(*a, *a_colour);
        mesh.colored_vertex(*b, *b_colour);
    }
    let sides = u32::try_from(one.len().min(other.len())).unwrap_or(0).saturating_sub(1);
    for side in 0..sides {
        let corner = first + 2 * side;
        mesh.add_triangle(corner, corner + 1, corner + 2);
        mesh.add_triangle(corner + 1, corner + 3, corner + 2);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use egui::pos2;

    #[test]
    fn an_arc_begins_at_the_top_and_turns_clockwise() {
        let at = |turn: f32| arc(pos2(10.0, 10.0), 5.0, 0.0, turn).last().copied().unwrap();
        let near = |one: Pos2, x: f32, y: f32| one.distance(pos2(x, y)) < 1e-4;
        assert!(near(arc(pos2(10.0, 10.0), 5.0, 0.0, 1.0)[0], 10.0, 5.0));
        assert!(near(at(0.25), 15.0, 10.0));
        assert!(near(at(0.5), 10.0, 15.0));
        assert!(near(at(0.75), 5.0, 10.0));
        assert!(near(at(1.0), 10.0, 5.0));
    }

    #[test]
    fn dashes_reach_from_end_to_end() {
        for way in [30.0, 101.3, 404.0] {
            let ends = [pos2(10.0, 5.0), pos2(10.0 + way, 5.0)];
            let drawn = dashes(ends, Stroke::new(1.5, Tokens::LIGHT.ink), 4.0, 2.0);
            let reach = |shape: &Shape| match shape {
                Shape::LineSegment { points, .. } => *points,
                other => panic!("{other:?}"),
            };
            assert!(reach(&drawn[0])[0].distance(ends[0]) < 1e-3);
            assert!(reach(&drawn[drawn.len() - 1])[1].distance(ends[1]) < 1e-2, "{way}");
            assert!(drawn.iter().all(|shape| (reach(shape)[0].distance(reach(shape)[1]) - 4.0).abs() < 1e-3));
        }
    }

    #[test]
    fn a_line_on_resin_is_dark_by_day_and_by_night() {
        for tokens in [Tokens::LIGHT, Tokens::DARK] {
            assert!(line_on(&tokens, tokens.resin).intensity() < 0.3);
        }
        assert_eq!(line_on(&Tokens::DARK, shade((124, 72, 40))), Tokens::DARK.ink);
        assert_eq!(line_on(&Tokens::LIGHT, shade((124, 72, 40))), Tokens::LIGHT.ink);
    }

    #[test]
    fn a_dark_stone_gets_a_paler_edge_by_day_and_a_pale_stone_by_night() {
        let edge = |tokens, colour| edge_on(tokens, shade(colour));
        assert_eq!(edge(&Tokens::LIGHT, (230, 220, 200)), Tokens::LIGHT.ink);
        assert_ne!(edge(&Tokens::LIGHT, (20, 24, 24)), Tokens::LIGHT.ink);
        assert_eq!(edge(&Tokens::DARK, (30, 40, 38)), Tokens::DARK.ink);
        assert_ne!(edge(&Tokens::DARK, (240, 236, 226)), Tokens::DARK.ink);
    }
}
