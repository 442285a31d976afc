//! A layer from the side with light from above: how far the light sets it.

use craft::units::Length;
use egui::{Align2, Color32, Painter, Pos2, Rect, Stroke, StrokeKind, pos2, vec2};

use super::paths::dashes;
use crate::look::{Face, Tokens, space};

/// A layer and what its light reaches.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DepthPicture {
    /// How thick it is.
    pub thickness: Length,
    /// How deep it is sure.
    pub sure: Length,
    /// How deep it sets by the best guess.
    pub guessed: Length,
    /// Its colour.
    pub colour: Color32,
}

/// The room for the words beside the layer.
const BESIDE: f32 = 150.0;
/// How much deeper than the layer the picture shows what the light reaches, at most.
const BELOW: f64 = 1.6;

#[expect(clippy::cast_possible_truncation, reason = "a picture needs no more digits")]
fn part(of: Length, whole_mm: f64) -> f32 {
    (of.mm() / whole_mm).clamp(0.0, 1.0) as f32
}

/// Draws it within `rect`, with what the two depths are called, and the sure one where it lies below the picture.
pub fn depth(
    painter: &Painter,
    tokens: &Tokens,
    rect: Rect,
    picture: &DepthPicture,
    [sure, guessed, deeper]: [&str; 3],
) {
    let whole_mm = picture.thickness.mm().max(1e-3) * BELOW;
    let column = Rect::from_min_max(
        pos2(rect.left(), rect.top() + 4.0 * space::STEP),
        pos2((rect.right() - BESIDE).max(rect.left() + 40.0), rect.bottom()),
    );
    let y = |depth: Length| column.top() + part(depth, whole_mm) * column.height();
    let layer = column.with_max_y(y(picture.thickness));
    painter.rect_filled(column, 0.0, tokens.tint);
    // What is sure is solid, what is only likely is paler, the rest is raw.
    painter.rect_filled(layer, 0.0, picture.colour.gamma_multiply(0.25));
    let within = |depth: Length| layer.with_max_y(y(depth).min(layer.bottom()));
    painter.rect_filled(within(picture.guessed), 0.0, picture.colour.gamma_multiply(0.45));
    painter.rect_filled(within(picture.sure), 0.0, picture.colour);
    painter.rect_stroke(layer, 0.0, Stroke::new(1.0, tokens.ink_2), StrokeKind::Inside);
    light(painter, tokens, rect, column);
    let mut said = column.top() - 12.0;
    if picture.sure.mm() >= whole_mm {
        let to = pos2(column.right() + 3.0 * space::STEP, column.bottom() - 8.0);
        painter.text(to, Align2::LEFT_CENTER, deeper, Face::Second.font(), tokens.ink_2);
    }
    let inside = |depth: &Length| depth.is_positive() && depth.mm() < whole_mm;
    for (depth, words) in [(picture.sure, sure), (picture.guessed, guessed)] {
        if !inside(&depth) {
            continue;
        }
        let at = y(depth);
        let line = [pos2(column.left(), at), pos2(column.right() + 2.0 * space::STEP, at)];
        painter.extend(dashes(line, Stroke::new(1.0, tokens.ink), 4.0, 2.0));
        // Two depths near each other are still read one under the other.
        said = at.max(said + 16.0).min(rect.bottom() - 6.0);
        let to = pos2(column.right() + 3.0 * space::STEP, said);
        painter.text(to, Align2::LEFT_CENTER, words, Face::Second.font(), tokens.ink_2);
    }
}

/// The light, as strokes that come down on the layer.
fn light(painter: &Painter, tokens: &Tokens, rect: Rect, column: Rect) {
    const RAYS: u8 = 7;
    for i in 1..=RAYS {
        let x = column.left() + column.width() * f32::from(i) / f32::from(RAYS + 1);
        // The end of a stroke is drawn half as wide beyond its points.
        let from: Pos2 = pos2(x, rect.top() + 1.0);
        painter.line_segment([from, from + vec2(0.0, 3.0 * space::STEP)], Stroke::new(1.5, tokens.brass));
    }
}

#[cfg(test)]
mod tests {
    use super::super::testing::{assert_within, drawn};
    use super::*;

    #[test]
    fn it_stays_within_its_rectangle_whatever_the_light_reaches() {
        let rect = Rect::from_min_size(pos2(10.0, 10.0), vec2(420.0, 220.0));
        for (thickness, sure, guessed) in
            [(0.5, 0.3, 0.9), (0.1, 3.0, 5.0), (3.0, 0.0, 0.0), (1.0, 1.0, 1.01)]
        {
            let mm = Length::from_mm;
            let colour = Color32::from_rgb(124, 72, 40);
            let picture =
                DepthPicture { thickness: mm(thickness), sure: mm(sure), guessed: mm(guessed), colour };
            let (shapes, ()) = drawn(|painter| {
                depth(
                    painter,
                    &Tokens::LIGHT,
                    rect,
                    &picture,
                    ["sure", "by the best guess", "sure, and deeper"],
                );
            });
            assert_within(&shapes, rect);
        }
    }
}
