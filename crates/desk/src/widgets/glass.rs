//! A picture that can be looked at closer, by the pointer or by the keys.

use egui::epaint::RectShape;
use egui::{Color32, CornerRadius, EventFilter, Key, Pos2, Rect, Response, Sense, Stroke, StrokeKind, Ui};
use egui::{Vec2, WidgetInfo, pos2, vec2};

use super::photos::{Seen, fitted, paint};
use crate::look::{Tokens, space};

/// How close, and where.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Glass {
    /// How many times larger than the whole picture; 1 shows all of it.
    pub closer: f32,
    /// What stands in the middle, as a share of the picture's width and height.
    pub centre: Pos2,
}

impl Default for Glass {
    fn default() -> Self {
        Self { closer: 1.0, centre: pos2(0.5, 0.5) }
    }
}

/// As close as it goes.
const CLOSEST: f32 = 8.0;
/// How far an arrow key moves it, as a share of what is seen.
const STRIDE: f32 = 0.2;

impl Glass {
    /// Looks closer, twice as close each time; from the closest back to the whole.
    pub fn come_closer(&mut self, to: Pos2) {
        if self.closer >= CLOSEST {
            *self = Self::default();
        } else {
            self.closer *= 2.0;
            self.centre = to;
            self.hold();
        }
    }

    /// Looks from farther away.
    pub fn go_back(&mut self) {
        self.closer = (self.closer / 2.0).max(1.0);
        self.hold();
    }

    /// Moves by a share of what is seen.
    fn pass(&mut self, by: Vec2) {
        self.centre += by / self.closer;
        self.hold();
    }

    /// Nothing beyond the edges is looked at.
    fn hold(&mut self) {
        let half = 0.5 / self.closer;
        self.centre = self.centre.clamp(pos2(half, half), pos2(1.0 - half, 1.0 - half));
    }

    /// The part of the picture that is seen.
    fn part(&self) -> Rect {
        Rect::from_center_size(self.centre, Vec2::splat(1.0 / self.closer))
    }
}

/// Shows a picture under a glass in `size` points. A press or Enter comes closer; arrow keys and dragging move it.
pub fn glass(ui: &mut Ui, glass: &mut Glass, seen: &Seen, size: Vec2, name: &str) -> Response {
    let (rect, response) = ui.allocate_exact_size(size, Sense::click_and_drag());
    response.widget_info(|| WidgetInfo::labeled(egui::Role::Button, true, name));
    let Seen::Photo(shown) = seen else {
        paint(ui, rect, seen);
        return response;
    };
    let at = fitted(rect, shown.size);
    if response.has_focus() {
        keys(ui, glass, &response);
    }
    if response.dragged() && glass.closer > 1.0 {
        glass.pass(-response.drag_delta() / at.size());
    }
    if response.clicked() {
        let pointed =
            response.interact_pointer_pos().filter(|_| response.clicked_by(egui::PointerButton::Primary));
        let to = pointed.map_or(glass.centre, |pos| {
            let share = (pos - at.min) / at.size();
            glass.part().lerp_inside(share)
        });
        glass.come_closer(to);
    }
    if ui.is_rect_visible(rect) {
        let tokens = Tokens::of(ui);
        let painter = ui.painter();
        painter.rect_filled(rect, space::RADIUS, tokens.tint);
        let shape = RectShape::filled(at, CornerRadius::ZERO, Color32::WHITE);
        painter.add(shape.with_texture(shown.texture, glass.part()));
        let stroke = if response.has_focus() { Stroke::new(2.0, tokens.accent) } else { tokens.hairline() };
        painter.rect_stroke(at, CornerRadius::ZERO, stroke, StrokeKind::Outside);
    }
    response.on_hover_cursor(egui::CursorIcon::ZoomIn)
}

/// Arrow keys belong to the picture only while there is somewhere to move.
fn keys(ui: &Ui, glass: &mut Glass, response: &Response) {
    let moves = glass.closer > 1.0;
    let filter = EventFilter { horizontal_arrows: moves, vertical_arrows: moves, ..EventFilter::default() };
    ui.memory_mut(|memory| memory.set_focus_lock_filter(response.id, filter));
    let ways = [
        (Key::ArrowLeft, vec2(-STRIDE, 0.0)),
        (Key::ArrowRight, vec2(STRIDE, 0.0)),
        (Key::ArrowUp, vec2(0.0, -STRIDE)),
        (Key::ArrowDown, vec2(0.0, STRIDE)),
    ];
    for (key, by) in ways {
        if moves && ui.input(|input| input.key_pressed(key)) {
            glass.pass(by);
        }
    }
    if ui.input(|input| input.key_pressed(Key::Minus)) {
        glass.go_back();
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_glass_comes_closer_moves_within_the_picture_and_goes_back() {
        let mut glass = Glass::default();
        assert_eq!(glass.part(), Rect::from_min_max(Pos2::ZERO, pos2(1.0, 1.0)));
        glass.pass(vec2(3.0, 3.0));
        assert_eq!(glass, Glass::default(), "the whole cannot be moved");
        glass.come_closer(pos2(0.9, 0.1));
        assert_eq!(glass.part(), Rect::from_min_max(pos2(0.5, 0.0), pos2(1.0, 0.5)), "held at the edge");
        glass.pass(vec2(-STRIDE, STRIDE));
        assert!((glass.centre - pos2(0.65, 0.35)).length() < 1e-6, "{glass:?}");
        glass.come_closer(glass.centre);
        glass.come_closer(glass.centre);
        assert!((glass.closer - CLOSEST).abs() < f32::EPSILON);
        glass.come_closer(glass.centre);
        assert_eq!(glass, Glass::default());
        glass.go_back();
        assert_eq!(glass, Glass::default());
    }
}
