//! The box that is ticked when a thing goes into the parcel.

use egui::{Painter, Pos2, Rect, Shape, Stroke, StrokeKind, Vec2, pos2};

use super::paths::dashed;
use crate::look::{Tokens, space};

/// The side of the box, in points.
pub const SIDE: f32 = 6.0 * space::STEP;

/// How a box stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Tick {
    /// It is in.
    Ticked,
    /// It can be ticked.
    Empty,
    /// It cannot be ticked now; the words beside it say why.
    NotPossible,
}

/// Draws the box about `centre`, and answers where it stands.
pub fn tick(painter: &Painter, tokens: &Tokens, centre: Pos2, tick: Tick) -> Rect {
    let rect = Rect::from_center_size(centre, Vec2::splat(SIDE));
    match tick {
        Tick::Ticked | Tick::Empty => {
            let edge = Stroke::new(1.0, tokens.ink_2);
            painter.rect(rect, space::RADIUS, tokens.raised, edge, StrokeKind::Inside);
        }
        Tick::NotPossible => {
            painter.extend(dashed(rounded(rect.shrink(0.5)), Stroke::new(1.0, tokens.ink_3), 3.0));
        }
    }
    if tick == Tick::Ticked {
        let at = |x: f32, y: f32| rect.min + Vec2::new(x, y) * (SIDE / 24.0);
        let mark = vec![at(7.0, 12.2), at(10.6, 16.4), at(17.0, 7.6)];
        painter.add(Shape::line(mark, Stroke::new(2.0, tokens.accent)));
    }
    rect
}

/// The corners of a rounded box, clockwise from the top left.
fn rounded(rect: Rect) -> Vec<Pos2> {
    let radius = f32::from(space::RADIUS.nw);
    let inner = rect.shrink(radius);
    let corners = [
        (inner.left_top(), 0.75),
        (inner.right_top(), 0.0),
        (inner.right_bottom(), 0.25),
        (inner.left_bottom(), 0.5),
    ];
    let turn =
        |(centre, from): (Pos2, f32)| super::paths::arc(pos2(centre.x, centre.y), radius, from, from + 0.25);
    corners.into_iter().flat_map(turn).collect()
}

#[cfg(test)]
mod tests {
    use super::super::testing::{assert_within, drawn};
    use super::*;

    #[test]
    fn the_three_boxes_have_one_size_and_differ() {
        let draw = |state| drawn(|painter| tick(painter, &Tokens::LIGHT, pos2(40.0, 40.0), state));
        let [ticked, empty, not] = [Tick::Ticked, Tick::Empty, Tick::NotPossible].map(draw);
        for (shapes, rect) in [&ticked, &empty, &not] {
            assert_eq!(rect.size(), Vec2::splat(24.0));
            assert_within(shapes, *rect);
        }
        assert_ne!(ticked.0, empty.0);
        assert!(empty.0.len() == 1 && not.0.len() > 10, "the last is dashed");
    }
}
