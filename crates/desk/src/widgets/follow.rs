//! Keeping in sight what has the keyboard.

use egui::{Id, Ui};

use crate::look::space;

/// Scrolls to what has just been given the keyboard, where it lies in this scrolled page; asked at the page's end.
pub fn follow_focus(ui: &Ui) {
    let seen = Id::unique("followed by the page");
    let focused = ui.memory(egui::Memory::focused);
    let before = ui.data(|data| data.get_temp::<Option<Id>>(seen)).flatten();
    if focused == before {
        return;
    }
    let Some(response) = focused.and_then(|id| ui.ctx().read_response(id)) else { return };
    if response.layer_id != ui.layer_id() || !ui.min_rect().contains(response.rect.center()) {
        return;
    }
    ui.data_mut(|data| data.insert_temp(seen, focused));
    ui.scroll_to_rect(response.rect.expand(2.0 * space::BLOCK), None);
}
