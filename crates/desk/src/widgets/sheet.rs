//! What lies over the page.

use egui::{ScrollArea, Ui};

use super::follow_focus;
use crate::look::space;

/// As wide as asked where the window is, and never higher than it: what does not fit scrolls.
pub fn sheet<R>(ui: &mut Ui, width: f32, add: impl FnOnce(&mut Ui) -> R) -> R {
    let window = ui.ctx().content_rect().size();
    // The room a modal needs around itself.
    let around = 2.0 * space::BLOCK + 16.0;
    let width = width.min(window.x - around).max(200.0);
    ui.set_width(width);
    // A modal begins as high as it was before: what lies over the page may ask for more all the same.
    let height = (window.y - around).max(160.0);
    let scroll =
        ScrollArea::vertical().max_height(height).min_scrolled_height(height).auto_shrink([false, true]);
    scroll
        .show(ui, |ui| {
            ui.set_width(width - 3.0 * space::STEP);
            let answer = add(ui);
            follow_focus(ui);
            answer
        })
        .inner
}
