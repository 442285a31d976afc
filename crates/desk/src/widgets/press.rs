//! What can be pressed. One filled button a page at most; all else is quieter.

use egui::{Button, CursorIcon, Response, RichText, Sense, Stroke, Ui, WidgetInfo, vec2};

use crate::draw::{self, tick::Tick};
use crate::look::{Face, Tokens, space};
use workbench::present::labels::shell as labels;

/// The one main button of a page.
pub fn main_button(ui: &mut Ui, words: &str) -> Response {
    let tokens = Tokens::of(ui);
    let text = RichText::new(words).font(Face::Strong.font()).color(tokens.on_accent);
    let enabled = ui.is_enabled();
    let (fill, text) =
        if enabled { (tokens.accent, text) } else { (tokens.raised, text.color(tokens.ink_3)) };
    let response = ui
        .scope(|ui| {
            ui.spacing_mut().button_padding = vec2(18.0, 8.0);
            let button =
                Button::new(text).fill(fill).corner_radius(space::RADIUS).min_size(vec2(0.0, space::MAIN));
            let stroke = if enabled { Stroke::NONE } else { tokens.hairline() };
            ui.add(button.stroke(stroke))
        })
        .inner;
    if response.has_focus() {
        let around = response.rect.expand(3.0);
        let stroke = Stroke::new(1.5, tokens.accent);
        ui.painter().rect_stroke(around, space::RADIUS_WIDE, stroke, egui::StrokeKind::Inside);
    }
    response
}

/// A button with an outline.
pub fn plain_button(ui: &mut Ui, words: &str) -> Response {
    let tokens = Tokens::of(ui);
    let ink = if ui.is_enabled() { tokens.ink } else { tokens.ink_3 };
    let text = RichText::new(words).font(Face::Body.font()).color(ink);
    ui.add(Button::new(text).min_size(vec2(0.0, space::PRESS)))
}

/// Words that can be pressed, in the accent and without a frame.
pub fn link(ui: &mut Ui, words: &str) -> Response {
    let tokens = Tokens::of(ui);
    words_button(ui, words, Face::Strong, if ui.is_enabled() { tokens.accent } else { tokens.ink_3 })
}

/// A step of the order's route, or one of a few views: underlined where it is the open one.
pub fn tab(ui: &mut Ui, words: &str, open: bool, past: bool) -> Response {
    let tokens = Tokens::of(ui);
    let (face, ink) = match (open, past) {
        (true, _) => (Face::Strong, tokens.ink),
        (false, true) => (Face::Body, tokens.ink_2),
        (false, false) => (Face::Body, tokens.ink_3),
    };
    let response = words_button(ui, words, face, ink);
    tell_chosen(ui, &response, open);
    if open {
        let rect = response.rect;
        let line =
            egui::Rect::from_min_max(egui::pos2(rect.left(), rect.bottom() - 2.0), rect.right_bottom());
        ui.painter().rect_filled(line, 0.0, tokens.accent);
    }
    response
}

/// Whoever does not see which one of a few is chosen hears it.
pub(super) fn tell_chosen(ui: &Ui, response: &Response, chosen: bool) {
    ui.ctx().accesskit_node_builder(response.id, |node| node.set_toggled(chosen.into()));
}

/// Bare words that take clicks and the keyboard.
fn words_button(ui: &mut Ui, words: &str, face: Face, ink: egui::Color32) -> Response {
    words_button_with(ui, words, (face, ink), 0.0)
}

/// The same with room for something after the words.
fn words_button_with(ui: &mut Ui, words: &str, (face, ink): (Face, egui::Color32), room: f32) -> Response {
    let tokens = Tokens::of(ui);
    let galley = ui.painter().layout_no_wrap(words.to_owned(), face.font(), ink);
    let size = vec2(galley.size().x + room, galley.size().y.max(20.0) + 6.0);
    let (rect, response) = ui.allocate_exact_size(size, Sense::click());
    let enabled = ui.is_enabled();
    response.widget_info(|| WidgetInfo::labeled(egui::Role::Button, enabled, words));
    if ui.is_rect_visible(rect) {
        let at = egui::pos2(rect.left(), rect.center().y - galley.size().y / 2.0);
        let ends = egui::Rangef::new(rect.left(), rect.right() - room);
        let foot = at.y + galley.size().y;
        ui.painter().galley(at, galley, ink);
        if response.has_focus() {
            let around = rect.expand2(vec2(4.0, 0.0));
            ui.painter().rect_stroke(
                around,
                space::RADIUS,
                Stroke::new(1.5, tokens.accent),
                egui::StrokeKind::Inside,
            );
        } else if response.hovered() && enabled {
            ui.painter().hline(ends, foot, Stroke::new(1.0, ink));
        }
    }
    response.on_hover_cursor(CursorIcon::PointingHand)
}

/// Words that open and close what stands under them; gives whether it is open. They stand as wide open as closed, so
/// that nothing beside them moves: a mark after them says which it is, and their name does.
pub fn fold(ui: &mut Ui, words: &str, open: &mut bool) -> bool {
    let tokens = Tokens::of(ui);
    let ink = if ui.is_enabled() { tokens.accent } else { tokens.ink_3 };
    let response = words_button_with(ui, words, (Face::Strong, ink), MARK);
    let response = if *open { response.accessible_name(labels::fold_open(words)) } else { response };
    let rect = response.rect;
    let centre = egui::pos2(rect.right() - MARK / 2.0 + 1.0, rect.center().y + 1.0);
    let (reach, down) = (vec2(space::STEP, 0.0), vec2(0.0, if *open { -space::TIGHT } else { space::TIGHT }));
    let points = vec![centre - reach - down, centre + down, centre + reach - down];
    ui.painter().add(egui::Shape::line(points, Stroke::new(1.5, ink)));
    if response.clicked() {
        *open = !*open;
    }
    *open
}

/// The room for the mark of a fold, in points.
const MARK: f32 = 18.0;

/// A tick box of a thing; `ticked` as it stands. The response is clicked where it is to be turned.
pub fn tick(ui: &mut Ui, name: &str, ticked: bool) -> Response {
    let (rect, response) = ui.allocate_exact_size(vec2(26.0, 26.0), Sense::click());
    let enabled = ui.is_enabled();
    response.widget_info(|| WidgetInfo::selected(egui::Role::CheckBox, enabled, ticked, name));
    let focus = response.has_focus() || response.hovered();
    let tokens = Tokens::of(ui);
    let state = match (ticked, enabled) {
        (true, _) => Tick::Ticked,
        (false, true) => Tick::Empty,
        (false, false) => Tick::NotPossible,
    };
    draw::tick::tick(ui.painter(), tokens, rect.center(), state);
    if focus {
        ui.painter().rect_stroke(
            rect.expand(2.0),
            space::RADIUS_WIDE,
            Stroke::new(1.5, tokens.accent),
            egui::StrokeKind::Inside,
        );
    }
    response
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_fold_is_as_wide_open_as_closed() {
        let mut widths = Vec::new();
        for open in [false, true] {
            egui::__run_test_ui(|ui| {
                let mut open = open;
                let shown = ui.scope(|ui| fold(ui, "more about this one", &mut open));
                widths.push(shown.response.rect.width());
            });
        }
        let (closed, opened) = (widths[0], widths[widths.len() - 1]);
        assert!(closed > 0.0 && (closed - opened).abs() < 0.01, "{closed} and {opened}");
    }
}
