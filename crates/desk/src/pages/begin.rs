//! Beginning: a new order, and running orders entered quickly.

use egui::Ui;
use workbench::view::View;

use crate::cx::Wish;
use crate::shell::Desk;
use crate::widgets::{heading, link};

/// A new order: a name is enough.
pub(crate) fn new_order_ui(ui: &mut Ui, desk: &mut Desk, _view: &View<'_>, _wishes: &mut Vec<Wish>) {
    heading(ui, "A new order");
    if link(ui, "close").clicked() {
        desk.over = None;
    }
}

/// Running orders, one row each.
pub(crate) fn running_ui(ui: &mut Ui, desk: &mut Desk, _view: &View<'_>, _wishes: &mut Vec<Wish>) {
    heading(ui, "Orders that are running already");
    if link(ui, "close").clicked() {
        desk.over = None;
    }
}
