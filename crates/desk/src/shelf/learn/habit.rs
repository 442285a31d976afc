//! What works for the maker now: thickness, button, how many times.

use std::rc::Rc;

use egui::Ui;
use workbench::present::labels::{learn as labels, shell};
use workbench::present::learn_words::Trial;
use workbench::shelving::observations::{self, HabitTyped};

use super::{Open, fold_ui, keep, key, leave_ui, made, trial, with};
use crate::look::{Face, Tokens, space};
use crate::shelf::form::{Form, flow, read_cell};
use crate::widgets::{care, gap, heading, main_button, note, say, second};

pub(super) fn ui(ui: &mut Ui, form: &mut Form<'_>) {
    heading(ui, labels::HABIT_HEADING);
    leave_ui(ui, form);
    gap(ui, space::STEP);
    second(ui, labels::HABIT_WORDS);
    gap(ui, 3.0 * space::STEP);
    let Some(with) = with(form) else {
        care(ui, labels::NO_LAMP);
        return;
    };
    let (thickness_key, times_key) = (key(form, "thickness"), key(form, "times"));
    flow(ui, |ui| {
        let thickness = (labels::THICKNESS, labels::THICKNESS_HINT);
        read_cell(ui, form, &thickness_key, thickness, observations::layer);
        read_cell(ui, form, &times_key, (labels::TIMES, labels::TIMES_HINT), observations::times);
    });
    gap(ui, 2.0 * space::STEP);
    let with = made::ui(ui, form, with);
    gap(ui, 2.0 * space::STEP);
    flow(ui, |ui| made::day_ui(ui, form));
    gap(ui, 3.0 * space::STEP);
    let (load, day) =
        (form.drafts.text(&key(form, "load")).to_owned(), form.drafts.text(&key(form, "day")).to_owned());
    let (thickness, times) =
        (form.drafts.text(&thickness_key).to_owned(), form.drafts.text(&times_key).to_owned());
    let typed = HabitTyped { load: &load, day: &day, thickness: &thickness, times: &times };
    let seen = observations::habit(form.view.studio, &with, &typed, form.view.now.day());
    let [thick, often] = labels::HABIT_NEEDS;
    let missing = shell::still_missing(&[(thick, !thickness.is_empty()), (often, !times.is_empty())]);
    let said = match &seen {
        Ok(seen) => trial(form, seen, &[]).map_err(shell::not_yet),
        Err(why) => Err(missing.unwrap_or_else(|| shell::not_yet(why))),
    };
    said_ui(ui, &said);
    gap(ui, 3.0 * space::STEP);
    let pressed = ui.add_enabled_ui(seen.is_ok(), |ui| main_button(ui, labels::KEEP_HABIT)).inner.clicked();
    if let (true, Ok(seen)) = (pressed, seen) {
        keep(form, seen);
        form.memory.learn.open = if form.memory.trouble.is_none() { Open::Bottle } else { Open::Habit };
    }
    form.trouble_ui(ui);
    if let Ok(said) = said {
        fold_ui(ui, form, &said.explained);
    }
}

/// What it would say if it were kept, or what is wrong with it.
fn said_ui(ui: &mut Ui, said: &Result<Rc<Trial>, String>) {
    let trial = match said {
        Ok(trial) => trial,
        Err(why) => return drop(care(ui, why.as_str())),
    };
    for words in &trial.notes {
        care(ui, words.as_str());
    }
    note(ui, |ui| {
        ui.vertical(|ui| {
            say(ui, Face::Body, Tokens::of(ui).ink_2, trial.layer.as_str());
            say(ui, Face::Body, Tokens::of(ui).ink_2, trial.won.as_str());
        })
    });
}
