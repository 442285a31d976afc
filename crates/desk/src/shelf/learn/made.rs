//! What something was seen with: lamp, button, tray, pigment.

use craft::id::ShelfId;
use craft::shelf::{Item, What};
use egui::Ui;
use workbench::present::labels::learn as labels;
use workbench::shelving::observations::{self, With};

use super::key;
use crate::look::space;
use crate::shelf::form::{CELL, Form, cell, flow};
use crate::widgets::{Field, choice, form_read, gap, one_of};

/// The items in use of one kind, by name.
fn items(form: &Form<'_>, is: fn(&What) -> bool) -> Vec<(ShelfId, String)> {
    let used = |item: &&Item| !item.retired && is(&item.what);
    let shelf = form.view.studio.shelf().iter();
    shelf.filter(|(_, item)| used(item)).map(|(id, item)| (id.clone(), item.name.to_string())).collect()
}

/// Asks for all of it, and gives it as it shall be.
pub(super) fn ui(ui: &mut Ui, form: &mut Form<'_>, mut with: With) -> With {
    flow(ui, |ui| {
        lamp_ui(ui, form, &mut with);
        pigment_ui(ui, form, &mut with);
    });
    gap(ui, 2.0 * space::STEP);
    if let Some(body) = one_of(ui, labels::TRAY, Some(&with.body), &labels::TRAYS) {
        with.body = body;
    }
    form.memory.learn.with = Some(with.clone());
    with
}

fn lamp_ui(ui: &mut Ui, form: &Form<'_>, with: &mut With) {
    let lamps = items(form, |what| matches!(what, What::Lamp(_)));
    cell(ui, CELL, |ui| {
        let key = key(form, "lamp");
        if let Some(lamp) = choice(ui, Field::new(&key, labels::LAMP).wide(CELL), Some(&with.lamp), &lamps) {
            (with.lamp, with.button) = (lamp, 1);
        }
    });
    let Some(What::Lamp(lamp)) = form.view.studio.shelf().get(&with.lamp).map(|item| &item.what) else {
        return;
    };
    let buttons: Vec<(u8, String)> =
        (1_u8..).zip(&lamp.buttons).map(|(no, button)| (no, button.name().to_owned())).collect();
    cell(ui, CELL, |ui| {
        let key = key(form, "button");
        let field = Field::new(&key, labels::BUTTON).wide(CELL);
        if let Some(button) = choice(ui, field, Some(&with.button), &buttons) {
            with.button = button;
        }
    });
}

fn pigment_ui(ui: &mut Ui, form: &mut Form<'_>, with: &mut With) {
    let all = items(
        form,
        |what| matches!(what, What::Pigment(of) if of.mix.class != craft::cure::PigmentClass::Clear),
    );
    let none = [(None, labels::CLEAR.to_owned())];
    let all: Vec<(Option<ShelfId>, String)> =
        none.into_iter().chain(all.into_iter().map(|(id, name)| (Some(id), name))).collect();
    cell(ui, CELL, |ui| {
        let key = key(form, "pigment");
        let field = Field::new(&key, labels::PIGMENT).wide(CELL);
        if let Some(pigment) = choice(ui, field, Some(&with.pigment), &all) {
            with.pigment = pigment;
        }
    });
    if with.pigment.is_some() {
        cell(ui, CELL, |ui| {
            let key = key(form, "load");
            let field = Field::new(&key, labels::LOAD).wide(CELL).hint(labels::LOAD_HINT);
            form_read(ui, form.drafts, field, observations::load);
        });
    }
}

/// Asks for the day; today where it stays empty.
pub(super) fn day_ui(ui: &mut Ui, form: &mut Form<'_>) {
    let today = form.view.now.day();
    cell(ui, CELL, |ui| {
        let key = key(form, "day");
        let field = Field::new(&key, labels::DAY).wide(CELL).hint(labels::DAY_HINT);
        form_read(ui, form.drafts, field, |text| observations::seen_on(text, today));
    });
}
