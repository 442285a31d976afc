//! A row of words that can be pressed as a whole.

use egui::{Response, Sense, Ui, WidgetInfo, pos2, vec2};

use super::rows::{behind, two_lines};
use crate::look::{Tokens, space};

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
    behind(painter, tokens, &response, chosen);
    let left = rect.left() + space::ROW;
    let room = (rect.right() - space::ROW - left).max(40.0);
    two_lines(painter, tokens, pos2(left, rect.center().y), room, [title, second]);
    response
}

/// How high such a row is, in points.
pub const ROW: f32 = 48.0;
