//! The ten-minute test, step by step.

use craft::cure::Button;
use craft::learning::Observation;
use craft::units::Span;
use egui::{Ui, vec2};
use workbench::present::cautions::DEFERS_TO;
use workbench::present::labels::learn as labels;
use workbench::present::labels::shell::not_yet;
use workbench::present::learn_words::{Plot, Trial};
use workbench::shelving::observations::{self, Lit, PATCHES, WedgeTyped, With};
use workbench::typed::Typed;

use super::{fold_ui, keep, key, leave_ui, made, trial, with};
use crate::draw::wedge::{Along, Dot, WedgePlot, lighting, plot, skins};
use crate::look::{Face, Tokens, space};
use crate::shelf::form::{Form, cell, flow};
use crate::widgets::{
    Field, care, form_read, gap, heading, link, main_button, note, one_of, picture, say, second,
};

/// The narrowest and the widest column of one patch.
const PATCH: std::ops::RangeInclusive<f32> = 92.0..=120.0;
/// The widest a picture of the patches is, and how high.
const PICTURE: egui::Vec2 = vec2(620.0, 104.0);
/// The same of the plot.
const PLOT: egui::Vec2 = vec2(560.0, 260.0);

pub(super) fn ui(ui: &mut Ui, form: &mut Form<'_>) {
    heading(ui, labels::WEDGE);
    leave_ui(ui, form);
    let Some(with) = with(form) else {
        care(ui, labels::NO_LAMP);
        return;
    };
    let [need, made, light, measure, says] = labels::STEPS;
    step(ui, need);
    say(ui, Face::Body, Tokens::of(ui).ink, labels::NEED);
    for words in labels::CAUTIONS {
        care(ui, words);
    }
    second(ui, DEFERS_TO);
    step(ui, made);
    let with = made::ui(ui, form, with);
    let Some(button) = observations::button_of(form.view.studio, &with) else {
        care(ui, labels::NO_LAMP);
        return;
    };
    step(ui, light);
    light_ui(ui, form, (&with, button));
    step(ui, measure);
    let with = measure_ui(ui, form, with);
    step(ui, says);
    says_ui(ui, form, &with);
}

/// The column of one patch: all of them in one row, where there is room.
fn column(ui: &Ui, form: &Form<'_>) -> f32 {
    let count = form.memory.learn.patches.max(1) as f32;
    let between = 4.0 * space::STEP;
    (((ui.available_width() + between) / count) - between - 1.0).clamp(*PATCH.start(), *PATCH.end()).floor()
}

/// How a time is understood; nothing where that is what was typed.
fn lit(button: &Button, text: &str) -> Result<Typed<Lit>, String> {
    let typed = observations::lit(button, text)?;
    let echo = if typed.echo == text.trim() { String::new() } else { typed.echo };
    Ok(Typed { echo, ..typed })
}

/// The head of a step.
fn step(ui: &mut Ui, words: &str) {
    gap(ui, 5.0 * space::STEP);
    say(ui, Face::Strong, Tokens::of(ui).ink, words);
}

fn lit_key(form: &Form<'_>, no: usize) -> String {
    key(form, &format!("lit/{no}"))
}

fn thick_key(form: &Form<'_>, no: usize) -> String {
    key(form, &format!("thick/{no}"))
}

/// What stands in the fields of all patches.
fn patches(form: &Form<'_>) -> Vec<(String, String)> {
    let text = |key: String| form.drafts.text(&key).to_owned();
    (1..=form.memory.learn.patches).map(|no| (text(lit_key(form, no)), text(thick_key(form, no)))).collect()
}

/// Fills in for how long each patch is lit, where nobody typed anything else: again where the lamp or the pigment is
/// another.
fn suggest(form: &mut Form<'_>, (with, button): (&With, &Button)) {
    let count = form.memory.learn.patches;
    let for_key = key(form, "suggested");
    let wanted = format!("{} {} {} {count}", with.lamp, with.button, with.pigment.is_some());
    if form.drafts.text(&for_key) == wanted {
        return;
    }
    let before: Vec<String> = form.drafts.text(&key(form, "times")).split(';').map(str::to_owned).collect();
    let times = observations::suggested(button, with.pigment.is_some(), count);
    for (no, time) in (1..).zip(&times) {
        let at = lit_key(form, no);
        let now = form.drafts.text(&at);
        if now.trim().is_empty() || before.get(no - 1).is_some_and(|before| before == now) {
            form.drafts.put(&at, time.clone());
        }
    }
    let times_key = key(form, "times");
    form.drafts.put(&times_key, times.join(";"));
    form.drafts.put(&for_key, wanted);
}

fn light_ui(ui: &mut Ui, form: &mut Form<'_>, (with, button): (&With, &Button)) {
    suggest(form, (with, button));
    say(ui, Face::Body, Tokens::of(ui).ink, labels::LIGHT);
    gap(ui, 2.0 * space::STEP);
    let seconds: Vec<String> = patches(form).into_iter().map(|(lit, _)| lit).collect();
    picture(ui, PICTURE, labels::LIGHT_PICTURE, |painter, tokens, rect| {
        lighting(painter, tokens, rect, &seconds);
    });
    gap(ui, 2.0 * space::STEP);
    let wide = column(ui, form);
    flow(ui, |ui| {
        for no in 1..=form.memory.learn.patches {
            cell(ui, wide, |ui| {
                let (key, label) = (lit_key(form, no), labels::lit(no));
                let field = Field::new(&key, &label).wide(wide);
                form_read(ui, form.drafts, field, |text| lit(button, text));
            });
        }
    });
    flow(ui, |ui| {
        ui.spacing_mut().item_spacing.x = 5.0 * space::STEP;
        let count = form.memory.learn.patches;
        if count < *PATCHES.end() && link(ui, labels::MORE).clicked() {
            form.memory.learn.patches += 1;
        }
        if count > *PATCHES.start() && link(ui, labels::FEWER).clicked() {
            form.memory.learn.patches -= 1;
        }
    });
}

fn measure_ui(ui: &mut Ui, form: &mut Form<'_>, mut with: With) -> With {
    say(ui, Face::Body, Tokens::of(ui).ink, labels::MEASURE);
    gap(ui, 2.0 * space::STEP);
    let all = patches(form);
    let read =
        |text: &str| observations::skin(with.gauge, text).ok().map(|typed| short(typed.value.value.mm()));
    let left: Vec<Option<f32>> = all.iter().map(|(_, thick)| read(thick)).collect();
    let words: Vec<String> = (1..=all.len()).map(|no| no.to_string()).collect();
    picture(ui, PICTURE, labels::MEASURE_PICTURE, |painter, tokens, rect| {
        skins(painter, tokens, rect, &left, &words);
    });
    gap(ui, 2.0 * space::STEP);
    if let Some(gauge) = one_of(ui, labels::GAUGE, Some(&with.gauge), &labels::GAUGES) {
        with.gauge = gauge;
        form.memory.learn.with = Some(with.clone());
    }
    gap(ui, 2.0 * space::STEP);
    let wide = column(ui, form);
    flow(ui, |ui| {
        for no in 1..=form.memory.learn.patches {
            cell(ui, wide, |ui| {
                let (key, label) = (thick_key(form, no), labels::thick(no));
                let field = Field::new(&key, &label).wide(wide).hint(labels::THICK_HINT);
                form_read(ui, form.drafts, field, |text| observations::skin(with.gauge, text));
            });
        }
        made::day_ui(ui, form);
    });
    with
}

/// The test as it was typed, or what is missing.
fn read(form: &Form<'_>, with: &With) -> Result<(Observation, Vec<Span>), String> {
    let text = |part: &str| form.drafts.text(&key(form, part)).to_owned();
    let (load, day, all) = (text("load"), text("day"), patches(form));
    let typed = WedgeTyped { load: &load, day: &day, patches: &all };
    observations::wedge(form.view.studio, with, &typed, form.view.now.day())
}

fn says_ui(ui: &mut Ui, form: &mut Form<'_>, with: &With) {
    let read = read(form, with);
    let trial = read.as_ref().map_err(Clone::clone).and_then(|(seen, seconds)| trial(form, seen, seconds));
    match &trial {
        Ok(trial) => trial_ui(ui, trial),
        Err(why) => drop(care(ui, not_yet(why))),
    }
    gap(ui, 3.0 * space::STEP);
    let pressed = ui.add_enabled_ui(read.is_ok(), |ui| main_button(ui, labels::KEEP)).inner.clicked();
    if let (true, Ok((seen, _))) = (pressed, read) {
        keep(form, seen);
    }
    form.trouble_ui(ui);
    if let Ok(trial) = trial {
        fold_ui(ui, form, &trial.explained);
    }
}

fn trial_ui(ui: &mut Ui, trial: &Trial) {
    for words in &trial.notes {
        care(ui, words.as_str());
    }
    if let Some(of) = &trial.plot {
        gap(ui, 2.0 * space::STEP);
        plot_ui(ui, of);
        second(ui, labels::PLOT_WORDS);
    }
    gap(ui, 2.0 * space::STEP);
    note(ui, |ui| {
        ui.vertical(|ui| {
            say(ui, Face::Body, Tokens::of(ui).ink, trial.layer.as_str());
            say(ui, Face::Body, Tokens::of(ui).ink, trial.won.as_str());
        })
    });
}

fn plot_ui(ui: &mut Ui, of: &Plot) {
    let dots: Vec<Dot> = of
        .points
        .iter()
        .map(|point| Dot { seconds: short(point.seconds), mm: short(point.mm), off_mm: short(point.off_mm) })
        .collect();
    let line: Vec<Along> = of
        .line
        .iter()
        .map(|along| (short(along.seconds), [along.low_mm, along.mm, along.high_mm].map(short)))
        .collect();
    let drawing = WedgePlot { dots: &dots, line: &line, across: labels::ACROSS, up: labels::UP };
    picture(ui, PLOT, &of.words, |painter, tokens, rect| plot(painter, tokens, rect, &drawing));
}

/// A number with the digits of a picture.
#[expect(clippy::cast_possible_truncation, reason = "a picture needs no more digits")]
const fn short(value: f64) -> f32 {
    value as f32
}
