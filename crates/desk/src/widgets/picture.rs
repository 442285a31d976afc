//! A picture on a page.

use egui::{Painter, Rect, Role, Sense, Ui, Vec2, WidgetInfo, vec2};

use crate::look::Tokens;

/// A picture as wide as the page lets it be, with a name for whoever does not see it.
pub fn picture(ui: &mut Ui, most: Vec2, name: &str, draw: impl FnOnce(&Painter, &Tokens, Rect)) {
    let size = vec2(most.x.min(ui.available_width()), most.y);
    let (rect, response) = ui.allocate_exact_size(size, Sense::hover());
    response.widget_info(|| WidgetInfo::labeled(Role::Image, true, name));
    if ui.is_rect_visible(rect) {
        draw(ui.painter(), Tokens::of(ui), rect);
    }
}
