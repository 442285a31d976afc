//! A card, half black and half white, under a film in steps.

use egui::{Color32, Painter, Rect, Stroke, StrokeKind, pos2};

use crate::look::{Tokens, space};

/// How many steps are drawn.
const STEPS: u8 = 6;

/// How much of the card each step lets through: less from step to step, and nothing that is seen through the last two.
fn through(step: u8) -> f32 {
    0.42_f32.powi(i32::from(step) + 1)
}

/// Draws it within `rect`, the film in a pigment's colour.
pub fn card(painter: &Painter, tokens: &Tokens, rect: Rect, colour: Color32) {
    let (black, white) = (Color32::from_gray(28), Color32::from_gray(236));
    let middle = rect.center().y;
    painter.rect_filled(rect.with_max_y(middle), 0.0, black);
    painter.rect_filled(rect.with_min_y(middle), 0.0, white);
    // The card is seen bare at both ends.
    let film = rect.shrink2(egui::vec2(0.08 * rect.width(), 2.0 * space::STEP));
    let wide = film.width() / f32::from(STEPS);
    for step in 0..STEPS {
        let left = film.left() + wide * f32::from(step);
        for (backing, top, bottom) in [(black, film.top(), middle), (white, middle, film.bottom())] {
            let part = Rect::from_min_max(pos2(left, top), pos2(left + wide, bottom));
            painter.rect_filled(part, 0.0, colour.lerp_to_gamma(backing, through(step)));
        }
    }
    painter.rect_stroke(rect, 0.0, Stroke::new(1.0, tokens.ink_3), StrokeKind::Inside);
}

#[cfg(test)]
mod tests {
    use super::super::testing::{assert_within, drawn};
    use super::*;
    use egui::{Shape, vec2};

    #[test]
    fn each_step_shows_less_of_the_edge_and_all_stays_in_its_place() {
        let rect = Rect::from_min_size(pos2(10.0, 20.0), vec2(360.0, 90.0));
        let (shapes, ()) =
            drawn(|painter| card(painter, &Tokens::LIGHT, rect, Color32::from_rgb(90, 120, 80)));
        assert_within(&shapes, rect);
        let fills: Vec<Color32> = shapes
            .iter()
            .filter_map(|shape| match shape {
                Shape::Rect(of) => Some(of.fill),
                _ => None,
            })
            .collect();
        let apart = |pair: &[Color32]| (pair[0].intensity() - pair[1].intensity()).abs();
        let steps: Vec<f32> = fills[2..].chunks_exact(2).map(apart).collect();
        assert_eq!(steps.len(), usize::from(STEPS));
        assert!(steps.windows(2).all(|two| two[1] < two[0]), "{steps:?}");
        assert!(steps[0] > 0.2 && steps[5] < 0.01, "{steps:?}");
    }
}
