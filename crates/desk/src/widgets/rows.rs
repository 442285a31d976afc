//! Rows: a picture, a title, a second line, and what stands at the end.

use egui::{Painter, Pos2, Rect, Response, Sense, Ui, WidgetInfo, pos2, vec2};

use crate::look::{Face, Tokens, space};

/// Draws something into a rectangle.
pub type Picture<'a> = &'a dyn Fn(&Painter, Rect, &Tokens);

/// A row that can be pressed as a whole: picture, title, second line, and a word at its end. It is named by all its
/// words.
pub fn picture_row(ui: &mut Ui, chosen: bool, picture: Picture<'_>, words: [&str; 3]) -> Response {
    let tokens = Tokens::of(ui);
    let [title, second, end] = words;
    let (rect, response) =
        ui.allocate_exact_size(vec2(ui.available_width(), space::BOARD_ROW), Sense::click());
    let name =
        [title, second, end].into_iter().filter(|words| !words.is_empty()).collect::<Vec<_>>().join(", ");
    response.widget_info(|| WidgetInfo::selected(egui::Role::Button, true, chosen, name.as_str()));
    if !ui.is_rect_visible(rect) {
        return response;
    }
    let painter = ui.painter();
    behind(painter, tokens, &response, chosen);
    let inner = rect.shrink2(vec2(8.0, 8.0));
    let picture_rect = Rect::from_min_size(inner.min, vec2(44.0, inner.height()));
    picture(painter, picture_rect, tokens);
    let end_galley = painter.layout_no_wrap(end.to_owned(), Face::Second.font(), tokens.ink_3);
    let end_width = end_galley.size().x;
    let left = picture_rect.right() + 12.0;
    let room = (inner.right() - left - end_width - 8.0).max(40.0);
    two_lines(painter, tokens, pos2(left, rect.center().y), room, [title, second]);
    let end_at = pos2(inner.right() - end_width, rect.center().y - end_galley.size().y / 2.0);
    painter.galley(end_at, end_galley, tokens.ink_3);
    response
}

/// What lies behind a row that is chosen, pointed at or has the keyboard.
pub(super) fn behind(painter: &Painter, tokens: &Tokens, row: &Response, chosen: bool) {
    let focused = row.has_focus();
    if chosen || row.hovered() || focused {
        let fill = if chosen { tokens.raised } else { tokens.tint };
        let edge = if focused { egui::Stroke::new(1.5, tokens.accent) } else { tokens.hairline() };
        painter.rect(row.rect, space::RADIUS_WIDE, fill, edge, egui::StrokeKind::Inside);
    }
}

/// A title over a second line, cut to their room, from a point halfway between them.
pub(super) fn two_lines(painter: &Painter, tokens: &Tokens, at: Pos2, room: f32, [title, second]: [&str; 2]) {
    let galley = |words: &str, face: Face, ink| {
        let mut job = egui::text::LayoutJob::simple_singleline(words.to_owned(), face.font(), ink);
        job.wrap = egui::text::TextWrapping::truncate_at_width(room);
        painter.layout_job(job)
    };
    let (title, second) =
        (galley(title, Face::Strong, tokens.ink), galley(second, Face::Second, tokens.ink_2));
    let top = at.y - f32::midpoint(title.size().y, second.size().y);
    let under = top + title.size().y;
    painter.galley(pos2(at.x, top), title, tokens.ink);
    painter.galley(pos2(at.x, under), second, tokens.ink_2);
}
