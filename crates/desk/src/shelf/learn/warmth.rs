//! How warm a layer got: thickness, button, room, and the finger or a thermometer.

use std::rc::Rc;

use egui::Ui;
use workbench::present::labels::{learn as labels, shell};
use workbench::present::learn_words::Warmth;
use workbench::shelving::observations::{self, Told, WarmthTyped};
use workbench::typed;

use super::{fold_ui, keep, key, leave_ui, made, warmth_trial, with};
use crate::look::{Face, Tokens, space};
use crate::shelf::form::{Form, flow, read_cell};
use crate::widgets::{care, gap, heading, main_button, note, one_of, say, second};

pub(super) fn ui(ui: &mut Ui, form: &mut Form<'_>) {
    heading(ui, labels::WARMTH_HEADING);
    leave_ui(ui, form);
    gap(ui, space::STEP);
    second(ui, labels::WARMTH_WORDS);
    gap(ui, space::STEP);
    for caution in labels::WARM_CAUTIONS {
        second(ui, caution);
    }
    gap(ui, 3.0 * space::STEP);
    let Some(with) = with(form) else {
        care(ui, labels::NO_LAMP);
        return;
    };
    let keys = ["thickness", "room", "read", "load", "day"].map(|part| key(form, part));
    let [thickness_key, room_key, read_key, ..] = &keys;
    flow(ui, |ui| {
        let thickness = (labels::WARM_LAYER, labels::THICKNESS_HINT);
        read_cell(ui, form, thickness_key, thickness, observations::layer);
        read_cell(ui, form, room_key, (labels::ROOM, labels::ROOM_HINT), observations::room);
    });
    gap(ui, 2.0 * space::STEP);
    let with = made::ui(ui, form, with);
    gap(ui, 2.0 * space::STEP);
    if let Some(told) = one_of(ui, labels::WARM, form.memory.learn.warm.as_ref(), &labels::WARMS) {
        form.memory.learn.warm = Some(told);
    }
    gap(ui, 2.0 * space::STEP);
    flow(ui, |ui| {
        if form.memory.learn.warm == Some(Told::Read) {
            read_cell(ui, form, read_key, (labels::READ, labels::READ_HINT), typed::temperature);
        }
        made::day_ui(ui, form);
    });
    gap(ui, 3.0 * space::STEP);
    let [thickness, room, read, load, day] = keys.map(|key| form.drafts.text(&key).to_owned());
    let told = form.memory.learn.warm;
    let typed = WarmthTyped { load: &load, day: &day, thickness: &thickness, room: &room, told, read: &read };
    let seen = observations::warmth(form.view.studio, &with, &typed, form.view.now.day());
    // Before what is needed is there nothing is wrong yet.
    let [thick, how, shown] = labels::WARMTH_NEEDS;
    let has_read = told != Some(Told::Read) || !read.is_empty();
    let missing =
        shell::still_missing(&[(thick, !thickness.is_empty()), (how, told.is_some()), (shown, has_read)]);
    let said = match &seen {
        Ok(seen) => warmth_trial(form, seen).map_err(shell::not_yet),
        Err(why) => Err(missing.unwrap_or_else(|| shell::not_yet(why))),
    };
    said_ui(ui, &said);
    gap(ui, 3.0 * space::STEP);
    let may = seen.is_ok() && said.is_ok();
    let pressed = ui.add_enabled_ui(may, |ui| main_button(ui, labels::KEEP_WARMTH)).inner.clicked();
    if let (true, Ok(seen)) = (pressed, seen) {
        keep(form, seen);
    }
    form.trouble_ui(ui);
    if let Ok(said) = said {
        fold_ui(ui, form, std::slice::from_ref(&said.explained));
    }
}

/// What it would say if it were kept, or what is wrong with it.
fn said_ui(ui: &mut Ui, said: &Result<Rc<Warmth>, String>) {
    match said {
        Ok(said) => drop(note(ui, |ui| say(ui, Face::Body, Tokens::of(ui).ink_2, said.words.as_str()))),
        Err(why) => drop(care(ui, why.as_str())),
    }
}
