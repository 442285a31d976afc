//! A bottle of resin: how deep it hardens, and when it first sets under each lamp button.

use craft::id::ShelfId;
use craft::shelf::{Lamp, What};
use egui::{Align, Label, Layout, RichText, Ui, vec2};
use workbench::present::labels::learn as labels_learn;
use workbench::present::labels::shelf as labels;
use workbench::present::shelf_words;
use workbench::shelving::{self, Field as Of, Value};

use super::form::{Form, flow};
use super::learn;
use crate::look::{Face, Tokens, space};
use crate::widgets::{gap, heading, link, say, second};

/// The column of a button's name.
const BUTTON: f32 = 150.0;

pub(super) fn ui(ui: &mut Ui, form: &mut Form<'_>) {
    learn::ui(ui, form);
    if form.memory.learn.is_busy() {
        return;
    }
    gap(ui, 5.0 * space::STEP);
    heading(ui, labels_learn::FIGURES);
    if matches!(&form.item.what, What::Resin(bottle) if !bottle.observations.is_empty()) {
        second(ui, labels_learn::FIGURES_WORDS);
    }
    gap(ui, 2.0 * space::STEP);
    flow(ui, |ui| {
        form.field_in(ui, &Of::HardensDeep, (labels::HARDENS, labels::HARDENS_WORDS), "1 mm", 270.0);
        form.field(ui, &Of::Opened, (labels::OPENED, ""), labels::DAY_HINT);
    });
    gap(ui, 2.0 * space::STEP);
    form.backing_ui(ui, &Value::Depth, labels::BACKING);
    gap(ui, 5.0 * space::STEP);
    heading(ui, labels::FIRST_SETS);
    second(ui, labels::FIRST_SETS_WORDS);
    let studio = form.view.studio;
    let lamps = studio.shelf().iter().filter(|(_, item)| !item.retired);
    let mut any = false;
    for (id, item) in lamps {
        let What::Lamp(lamp) = &item.what else { continue };
        any = true;
        gap(ui, 3.0 * space::STEP);
        say(ui, Face::Strong, Tokens::of(ui).ink, item.name.as_str());
        buttons_ui(ui, form, (id, item.name.as_str()), lamp);
    }
    if !any {
        second(ui, labels::NO_LAMP);
    }
    learn::explain_ui(ui, form);
}

fn buttons_ui(ui: &mut Ui, form: &mut Form<'_>, (id, name): (&ShelfId, &str), lamp: &Lamp) {
    let tokens = Tokens::of(ui);
    for (no, button) in (1_u8..).zip(&lamp.buttons) {
        let open = form.memory.button.as_ref() == Some(&(id.clone(), no));
        let value = Value::FirstSets(id.clone(), no);
        let of = Of::FirstSets(id.clone(), no);
        ui.horizontal(|ui| {
            ui.spacing_mut().item_spacing.x = 3.0 * space::STEP;
            let row = Layout::left_to_right(Align::Center);
            ui.allocate_ui_with_layout(vec2(BUTTON, 26.0), row, |ui| {
                ui.set_min_width(BUTTON);
                let words = RichText::new(button.name()).font(Face::Body.font()).color(tokens.ink_2);
                ui.add(Label::new(words).truncate());
            });
            let seconds = shelving::said(&form.item, &of);
            let source = shelving::backing(&form.item, &value).map(|(_, full)| shelf_words::source(full));
            say(ui, Face::Body, tokens.ink, format!("{seconds}. {}", source.unwrap_or_default()));
            let words = if open { labels::CLOSE } else { labels::CHANGE };
            let name = labels::change_button(button.name(), name, open);
            if link(ui, words).accessible_name(name).clicked() {
                form.memory.button = (!open).then(|| (id.clone(), no));
            }
        });
        if open {
            let label = labels::sets_after(button.name(), name);
            ui.indent(("shelf/first", id.as_str(), no), |ui| {
                form.field_in(ui, &of, (&label, ""), "1 s", 320.0);
                gap(ui, 2.0 * space::STEP);
                form.backing_ui(ui, &value, &labels::sets_backing(button.name()));
                gap(ui, 3.0 * space::STEP);
            });
        }
    }
}
