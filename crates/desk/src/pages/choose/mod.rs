//! The choose page.

use craft::order::Page;
use egui::Ui;

use super::common;
use crate::cx::Cx;

/// The choose page's own state.
#[derive(Debug, Default)]
pub(super) struct ChoosePage {}

impl ChoosePage {
    pub(crate) fn ui(&mut self, ui: &mut Ui, cx: &mut Cx<'_>) {
        common::facts_ui(ui, cx, Page::Choose);
    }
}
