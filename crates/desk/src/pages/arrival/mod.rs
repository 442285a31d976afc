//! Stub.
use craft::order::Page;
use egui::Ui;

use super::common;
use crate::cx::Cx;

/// The arrival page's own state.
#[derive(Debug, Default)]
pub(super) struct ArrivalPage {}

impl ArrivalPage {
    pub(crate) fn ui(&mut self, ui: &mut Ui, cx: &mut Cx<'_>) {
        common::facts_ui(ui, cx, Page::Arrival);
    }
}
