//! The outline of a mould or of a setting: its kind, and what else shapes it beside its size.

use craft::geometry::Outline;
use egui::Ui;
use workbench::present::labels::shelf as labels;
use workbench::shelving::{self, Field as Of, Form as Kind};

use super::form::Form;
use crate::widgets::{Field, choice};

/// The width of the choice of kinds.
const KIND: f32 = 220.0;
/// The width of a field for a path.
const PATH: f32 = 300.0;

pub(super) fn kind_ui(ui: &mut Ui, form: &mut Form<'_>, outline: &Outline) {
    let kinds = Kind::ALL.map(|kind| (kind, kind.words().to_owned()));
    let key = format!("shelf/{}/outline", form.id);
    let field = Field::new(&key, labels::OUTLINE).wide(KIND);
    if let Some(kind) = choice(ui, field, Some(&Kind::of(outline)), &kinds) {
        form.choose(shelving::with_form(&form.item, kind));
    }
}

pub(super) fn more_ui(ui: &mut Ui, form: &mut Form<'_>, outline: &Outline) {
    match outline {
        Outline::RoundedRectangle { .. } => {
            form.field_in(ui, &Of::Corner, (labels::CORNER, ""), "1 mm", 130.0);
        }
        Outline::Cushion { .. } => {
            form.field_in(ui, &Of::Fullness, (labels::FULLNESS, ""), "3", 130.0);
        }
        Outline::Traced(_) => {
            form.field_in(ui, &Of::Path, (labels::PATH, labels::PATH_WORDS), "M 0 0 L 10 0 … Z", PATH);
        }
        _ => {}
    }
}
