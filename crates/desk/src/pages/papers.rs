//! The papers of an order.

use egui::Ui;

use crate::cx::Cx;
use crate::widgets::heading;

/// The state of the side with the papers.
#[derive(Debug, Default)]
pub(crate) struct PapersPage {}

impl PapersPage {
    #[expect(clippy::unused_self, reason = "it will hold drafts")]
    pub(crate) fn ui(&mut self, ui: &mut Ui, _cx: &mut Cx<'_>) {
        heading(ui, "papers");
    }
}
