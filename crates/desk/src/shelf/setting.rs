//! A setting: what it is, its opening, its wall and its metal.

use craft::geometry::Outline;
use craft::shelf::Setting;
use egui::Ui;
use workbench::present::labels::shelf as labels;
use workbench::shelving::{self, Field as Of};

use super::form::{Form, flow};
use crate::look::space;
use crate::widgets::{gap, one_of};

pub(super) fn ui(ui: &mut Ui, form: &mut Form<'_>, setting: &Setting) {
    flow(ui, |ui| {
        form.field(ui, &Of::SettingKind, (labels::SETTING_KIND, ""), labels::SETTING_HINT);
        form.field(ui, &Of::Metal, (labels::METAL, ""), labels::METAL_HINT);
    });
    gap(ui, 3.0 * space::STEP);
    let oval = matches!(setting.opening, Outline::Oval { .. });
    if let Some(oval) = one_of(ui, labels::OUTLINE, Some(&oval), &labels::OUTLINES) {
        form.choose(shelving::with_oval(&form.item, oval));
    }
    form.trouble_ui(ui);
    gap(ui, 3.0 * space::STEP);
    flow(ui, |ui| {
        form.field(ui, &Of::Opening, (labels::OPENING, labels::OPENING_WORDS), "10.2 × 8.2 mm");
        form.field(ui, &Of::Wall, (labels::WALL, ""), "2 mm");
    });
}
