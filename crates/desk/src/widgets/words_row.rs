//! A row of words that can be pressed as a whole.

use egui::{Response, Sense, Ui, WidgetInfo, pos2, vec2};

use crate::look::{Face, Tokens, space};

/// A title over a second line; named by `name`. Its words are cut where the row ends.
pub fn words_row(ui: &mut Ui, chosen: bool, name: &str, [title, second]: [&str; 2]) -> Response {
    let tokens = Tokens::of(ui);
    let size = vec2(ui.available_width(), ROW);
    let (rect, response) = ui.allocate_exact_size(size, Sense::click());
    response.widget_info(|| WidgetInfo::selected(egui::Role::Button, true, chosen, name));
    if response.gained_focus() {
        response.scroll_to_me(None);
    }
    if !ui.is_rect_visible(rect) {
        return response;
    }
    let painter = ui.painter();
    let focused = response.has_focus();
    if chosen || response.hovered() || focused {
        let fill = if chosen { tokens.raised } else { tokens.tint };
        let edge = if focused { egui::Stroke::new(1.5, tokens.accent) } else { tokens.hairline() };
        painter.rect(rect, space::RADIUS_WIDE, fill, edge, egui::StrokeKind::Inside);
    }
    let left = rect.left() + space::ROW;
    let room = (rect.right() - space::ROW - left).max(40.0);
    let galley = |words: &str, face: Face, ink| {
        let mut job = egui::text::LayoutJob::simple_singleline(words.to_owned(), face.font(), ink);
        job.wrap = egui::text::TextWrapping::truncate_at_width(room);
        painter.layout_job(job)
    };
    let (title, second) =
        (galley(title, Face::Strong, tokens.ink), galley(second, Face::Second, tokens.ink_2));
    let top = rect.center().y - f32::midpoint(title.size().y, second.size().y);
    let under = top + title.size().y;
    painter.galley(pos2(left, top), title, tokens.ink);
    painter.galley(pos2(left, under), second, tokens.ink_2);
    response
}

/// How high such a row is, in points.
pub const ROW: f32 = 48.0;
