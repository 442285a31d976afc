//! What a bottle's tests say, on its page; and the three ways in which something is written down of it.

mod habit;
mod made;
mod warmth;
mod wedge;

use std::rc::Rc;

use chrono::NaiveDate;
use craft::id::ShelfId;
use craft::learning::Observation;
use craft::shelf::What;
use egui::Ui;
use workbench::present::labels::learn as labels;
use workbench::present::learn_words::{self, Told, Trial, Warmth};
use workbench::present::plan_words::Explained;
use workbench::shelving::observations::{self, PATCHES, Told as ByWhat, With};

use super::form::{Form, flow};
use crate::look::{Face, Tokens, space};
use crate::widgets::{care, explain, fold, gap, heading, link, note, plain_button, say, second, wrong};

/// What is open beside the bottle.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
enum Open {
    /// The bottle alone.
    #[default]
    Bottle,
    /// The ten-minute test.
    Wedge,
    /// What works anyway.
    Habit,
    /// How warm a layer got.
    Warmth,
}

/// What was worked out for the open bottle, and of which state of the studio.
#[derive(Debug)]
struct Worked<T> {
    of: (ShelfId, u64, NaiveDate),
    /// What was typed for it.
    typed: String,
    answer: Result<Rc<T>, String>,
}

/// What is known already, worked out again only where something in the studio has changed, another day has come, or
/// something else was typed.
fn worked<T>(
    known: &mut Option<Worked<T>>,
    (of, typed): ((ShelfId, u64, NaiveDate), String),
    work: impl FnOnce() -> Result<T, String>,
) -> Result<Rc<T>, String> {
    let same = known.take().filter(|known| known.of == of && known.typed == typed);
    let fresh = || Worked { answer: work().map(Rc::new), of, typed };
    known.insert(same.unwrap_or_else(fresh)).answer.clone()
}

/// What the page remembers of a bottle's tests while the bottle is open.
#[derive(Debug, Default)]
pub(in crate::shelf) struct Learn {
    open: Open,
    /// It has only just been opened, and takes the keyboard.
    begun: bool,
    with: Option<With>,
    patches: usize,
    /// How the warmth of a layer is told.
    warm: Option<ByWhat>,
    layers: bool,
    /// How the figures are worked out is shown.
    explained: bool,
    /// What was written down since the bottle was opened: that can be taken back.
    fresh: Vec<Observation>,
    told: Option<Worked<Told>>,
    trial: Option<Worked<Trial>>,
    warmth: Option<Worked<Warmth>>,
}

impl Learn {
    fn turn(&mut self, open: Open) {
        (self.open, self.begun) = (open, true);
        self.patches = self.patches.clamp(*PATCHES.start() + 1, *PATCHES.end());
    }

    /// Opens the ten-minute test.
    pub(in crate::shelf) fn open_test(&mut self) {
        self.turn(Open::Wedge);
    }

    /// Whether a test or a habit is being written down.
    pub(in crate::shelf) fn is_busy(&self) -> bool {
        self.open != Open::Bottle
    }
}

/// The open bottle, the state of the studio and the day.
fn of_now(form: &Form<'_>) -> (ShelfId, u64, NaiveDate) {
    (form.id.clone(), form.view.revision, form.view.now.day())
}

/// The key of a draft of what is open: what was typed for one stays while another is written down.
fn key(form: &Form<'_>, part: &str) -> String {
    format!("shelf/{}/learn/{:?}/{part}", form.id, form.memory.learn.open)
}

/// Shows what is open: the test, the habit, or what all of it says.
pub(super) fn ui(ui: &mut Ui, form: &mut Form<'_>) {
    match form.memory.learn.open {
        Open::Bottle => told_ui(ui, form),
        Open::Wedge => wedge::ui(ui, form),
        Open::Habit => habit::ui(ui, form),
        Open::Warmth => warmth::ui(ui, form),
    }
}

/// What the page says of the open bottle.
fn told(form: &mut Form<'_>) -> Result<Rc<Told>, String> {
    let (of, studio, id, today) = (of_now(form), form.view.studio, form.id, form.view.now.day());
    worked(&mut form.memory.learn.told, (of, String::new()), || learn_words::told(studio, id, today))
}

/// At the end of the bottle's page: how its figures are worked out.
pub(super) fn explain_ui(ui: &mut Ui, form: &mut Form<'_>) {
    if let Ok(told) = told(form) {
        fold_ui(ui, form, &told.explained);
    }
}

/// The fold over how figures are worked out; nothing where there are none.
fn fold_ui(ui: &mut Ui, form: &mut Form<'_>, all: &[Explained]) {
    let all = (!all.is_empty()).then_some(|| all.to_vec());
    explain(ui, &mut form.memory.learn.explained, all);
}

fn told_ui(ui: &mut Ui, form: &mut Form<'_>) {
    heading(ui, labels::HEADING);
    let told = match told(form) {
        Ok(told) => told,
        Err(why) => {
            wrong(ui, &why);
            return;
        }
    };
    gap(ui, space::STEP);
    if told.lamps.is_empty() {
        say(ui, Face::Body, Tokens::of(ui).ink_2, labels::NOTHING);
    }
    for of_lamp in &told.lamps {
        lamp_ui(ui, of_lamp);
        gap(ui, 2.0 * space::STEP);
    }
    if !told.won.is_empty() {
        note(ui, |ui| say(ui, Face::Body, Tokens::of(ui).ink_2, told.won.as_str()));
        gap(ui, 2.0 * space::STEP);
    }
    if !told.warmth.is_empty() {
        say(ui, Face::Body, Tokens::of(ui).ink, told.warmth.as_str());
        gap(ui, 2.0 * space::STEP);
    }
    gap(ui, 2.0 * space::STEP);
    flow(ui, |ui| {
        ui.spacing_mut().item_spacing.x = 5.0 * space::STEP;
        if plain_button(ui, labels::TEST).clicked() {
            form.memory.learn.turn(Open::Wedge);
        }
        for (words, open) in [(labels::HABIT, Open::Habit), (labels::WARMTH, Open::Warmth)] {
            if link(ui, words).clicked() {
                form.memory.learn.turn(open);
            }
        }
    });
    seen_ui(ui, form, &told);
}

fn lamp_ui(ui: &mut Ui, of: &learn_words::OfLamp) {
    let tokens = Tokens::of(ui);
    say(ui, Face::Strong, tokens.ink, of.lamp.as_str());
    second(ui, of.sure.as_str());
    for layer in &of.layers {
        say(ui, Face::Body, tokens.ink, layer.as_str());
    }
    if !of.new.is_empty() {
        care(ui, of.new.as_str());
    }
    for words in &of.notes {
        care(ui, words.as_str());
    }
}

fn seen_ui(ui: &mut Ui, form: &mut Form<'_>, told: &Told) {
    let tokens = Tokens::of(ui);
    if told.seen.is_empty() && told.recorded.is_empty() {
        return;
    }
    gap(ui, 4.0 * space::STEP);
    say(ui, Face::Strong, tokens.ink, labels::SEEN);
    let mut back = None;
    let mut no = 0;
    for line in &told.seen {
        say(ui, Face::Body, tokens.ink, line.words.as_str());
        if !line.more.is_empty() {
            second(ui, line.more.as_str());
        }
        if form.memory.learn.fresh.contains(&line.seen) {
            if link(ui, &labels::take_back(no)).clicked() {
                back = Some(line.seen.clone());
            }
            no += 1;
        }
    }
    if !told.seen.is_empty() {
        say(ui, Face::Second, tokens.ink_3, labels::SEEN_KEPT);
    }
    if !told.recorded.is_empty() {
        gap(ui, space::STEP);
        say(ui, Face::Body, tokens.ink, told.recorded.as_str());
        if fold(ui, labels::RECORDS, &mut form.memory.learn.layers) {
            for line in &told.layers {
                second(ui, line.as_str());
            }
        }
    }
    if let Some(seen) = back {
        form.choose(observations::without_seen(&form.item, &seen));
        form.memory.learn.fresh.retain(|other| *other != seen);
    }
    form.trouble_ui(ui);
}

/// The way back, which takes the keyboard once: what was typed stays.
fn leave_ui(ui: &mut Ui, form: &mut Form<'_>) {
    let back = link(ui, labels::LEAVE);
    if std::mem::take(&mut form.memory.learn.begun) {
        back.request_focus();
    }
    if back.clicked() {
        form.memory.learn.open = Open::Bottle;
    }
}

/// What an observation would say of the open bottle.
fn trial(
    form: &mut Form<'_>,
    seen: &Observation,
    seconds: &[craft::units::Span],
) -> Result<Rc<Trial>, String> {
    let (of, studio, id, today) = (of_now(form), form.view.studio, form.id, form.view.now.day());
    let work = || learn_words::trial(studio, id, (seen, seconds), today);
    worked(&mut form.memory.learn.trial, (of, format!("{seen:?} {seconds:?}")), work)
}

/// What the warmth of a layer would say of it.
fn warmth_trial(form: &mut Form<'_>, seen: &Observation) -> Result<Rc<Warmth>, String> {
    let (of, studio, id, today) = (of_now(form), form.view.studio, form.id, form.view.now.day());
    let work = || learn_words::warmth_trial(studio, id, seen, today);
    worked(&mut form.memory.learn.warmth, (of, format!("{seen:?}")), work)
}

/// Keeps an observation and goes back to the bottle; its drafts are let go.
fn keep(form: &mut Form<'_>, seen: Observation) {
    match observations::with_seen(&form.item, seen.clone()) {
        Ok(item) => {
            form.put(item);
            let drafts = key(form, "");
            form.drafts.clear_under(&drafts);
            form.memory.learn.fresh.push(seen);
            match std::mem::take(&mut form.memory.learn.open) {
                Open::Wedge => form.memory.learn.patches = 0,
                Open::Warmth => form.memory.learn.warm = None,
                Open::Bottle | Open::Habit => (),
            }
        }
        Err(why) => form.memory.trouble = Some(why),
    }
}

/// What is begun with, where there is a lamp.
fn with(form: &mut Form<'_>) -> Option<With> {
    let What::Resin(bottle) = &form.item.what else { return None };
    let usual = || observations::usual(form.view.studio, bottle);
    let with = form.memory.learn.with.clone().or_else(usual);
    form.memory.learn.with.clone_from(&with);
    with
}
