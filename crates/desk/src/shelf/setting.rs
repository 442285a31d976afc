//! A setting: what it is, its opening, its wall and its metal.

use craft::shelf::Setting;
use egui::Ui;
use workbench::present::labels::shelf as labels;
use workbench::shelving::Field as Of;

use super::form::{Form, flow};
use crate::look::space;
use crate::widgets::gap;

pub(super) fn ui(ui: &mut Ui, form: &mut Form<'_>, setting: &Setting) {
    flow(ui, |ui| {
        form.field(ui, &Of::SettingKind, (labels::SETTING_KIND, ""), labels::SETTING_HINT);
        form.field(ui, &Of::Metal, (labels::METAL, ""), labels::METAL_HINT);
    });
    gap(ui, 3.0 * space::STEP);
    super::outline::kind_ui(ui, form, &setting.opening);
    form.trouble_ui(ui);
    gap(ui, 3.0 * space::STEP);
    flow(ui, |ui| {
        form.field(ui, &Of::Opening, (labels::OPENING, labels::OPENING_WORDS), "10.2 × 8.2 mm");
        super::outline::more_ui(ui, form, &setting.opening);
        form.field(ui, &Of::Wall, (labels::WALL, ""), "2 mm");
    });
}
