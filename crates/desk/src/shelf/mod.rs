//! The shelf: resins, pigments, lamps, moulds, settings, and what the studio itself goes by.

use egui::Ui;
use workbench::view::View;

use crate::cx::Wish;
use crate::widgets::{Drafts, heading};

/// What the shelf remembers while it is open.
#[derive(Debug, Default)]
pub(crate) struct ShelfPages {
    settings: bool,
}

impl ShelfPages {
    /// Opens what the studio itself goes by.
    pub(crate) fn open_settings(&mut self) {
        self.settings = true;
    }

    /// Shows the shelf.
    pub(crate) fn ui(
        &mut self,
        ui: &mut Ui,
        _view: &View<'_>,
        _drafts: &mut Drafts,
        _wishes: &mut Vec<Wish>,
    ) {
        heading(ui, if self.settings { "Settings" } else { "The shelf" });
    }
}
