//! A lamp with its real buttons.

use craft::shelf::Lamp;
use egui::Ui;
use workbench::present::labels::shelf as labels;
use workbench::present::shelf_explained;
use workbench::shelving::{self, Field as Of};

use super::form::{Form, flow};
use crate::look::{Face, Tokens, space};
use crate::widgets::{explain, gap, heading, link, say, second};

pub(super) fn ui(ui: &mut Ui, form: &mut Form<'_>, lamp: &Lamp) {
    heading(ui, labels::BUTTONS);
    second(ui, labels::BUTTONS_WORDS);
    gap(ui, 3.0 * space::STEP);
    for at in 0..lamp.buttons.len() {
        flow(ui, |ui| {
            let no = at + 1;
            form.field_in(ui, &Of::ButtonName(at), (&labels::button_name(no), ""), "60 s", 190.0);
            form.field_in(ui, &Of::ButtonLit(at), (&labels::button_lit(no), ""), "60 s", 130.0);
            form.field_in(ui, &Of::ButtonGrows(at), (&labels::button_grows(no), ""), "0 s", 130.0);
        });
        gap(ui, 2.0 * space::STEP);
    }
    if link(ui, labels::ADD_BUTTON).clicked() {
        form.choose(shelving::with_another_button(&form.item));
    }
    form.trouble_ui(ui);
    gap(ui, space::STEP);
    say(ui, Face::Second, Tokens::of(ui).ink_3, labels::BUTTONS_STAY);
    explain(ui, &mut form.memory.explained, Some(|| shelf_explained::lamp(lamp)));
}
