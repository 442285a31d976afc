//! The fit page: the chosen stone is made to sit in its setting, by feel or by caliper, and is set.

mod picture;
mod ring;

use craft::fact::{Dimension, Fact, Feel, FitFact, FitWork, Mistake};
use craft::order::Page;
use craft::place::Place;
use craft::studio::Studio;
use craft::tag::Tag;
use egui::{Align, Layout, Ui, vec2};
use workbench::fitting::{self, FitStep};
use workbench::present::labels::fit as label;
use workbench::present::{fit_words, places, words};
use workbench::typed;

use super::common;
use super::guard::Guard;
use super::kept::Kept;
use crate::cx::Cx;
use crate::look::{Face, Tokens, space};
use crate::widgets::{
    Field, choice, explain, gap, heading, known, link, main_button, note, plain_button, read, rule, say,
    second, sentence, tab,
};

/// The fit page's own state.
#[derive(Debug, Default)]
pub(super) struct FitPage {
    stone: Option<u8>,
    put: Option<Place>,
    ring: ring::Ring,
    /// Where the middle of the stone's weight lies, while nothing in the studio changes.
    balance: Kept<(Tag, u8, u64), Option<String>>,
    /// How that is worked out is shown.
    explained: bool,
}

/// From this width on words and picture stand side by side.
const BESIDE: f32 = 620.0;
const BETWEEN: f32 = 36.0;
const WIDEST: f32 = 1_100.0;

impl FitPage {
    pub(crate) fn ui(&mut self, ui: &mut Ui, cx: &mut Cx<'_>, guard: &mut Guard) {
        let stones = fitting::stones(cx.held);
        if stones.iter().any(|no| !cx.held.ledger.fit.set.contains_key(no)) {
            guard.alike_ui(ui, cx);
        }
        let chosen = self.stone.filter(|no| stones.contains(no));
        let still = || stones.iter().copied().find(|no| !cx.held.ledger.fit.set.contains_key(no));
        let Some(no) = chosen.or_else(still).or(stones.first().copied()) else {
            none_ui(ui, cx);
            self.rest_ui(ui, cx);
            return;
        };
        if stones.len() > 1 {
            ui.horizontal_wrapped(|ui| {
                ui.spacing_mut().item_spacing.x = 6.0 * space::STEP;
                for other in &stones {
                    if tab(ui, &label::stone(*other), *other == no, true).clicked() {
                        self.stone = Some(*other);
                    }
                }
            });
            gap(ui, 4.0 * space::STEP);
        }
        let step = fitting::step(cx.held, no);
        let room = ui.available_width().min(WIDEST);
        if room < BESIDE {
            self.left_ui(ui, cx, no, step);
            gap(ui, 4.0 * space::STEP);
            right_ui(self, ui, cx, (no, step));
        } else {
            let column = (room - BETWEEN) / 2.0;
            ui.horizontal_top(|ui| {
                ui.spacing_mut().item_spacing.x = BETWEEN;
                ui.allocate_ui_with_layout(vec2(column, 240.0), Layout::top_down(Align::LEFT), |ui| {
                    ui.set_width(column);
                    ui.spacing_mut().item_spacing.x = 2.0 * space::STEP;
                    self.left_ui(ui, cx, no, step);
                });
                ui.allocate_ui_with_layout(vec2(column, 240.0), Layout::top_down(Align::LEFT), |ui| {
                    ui.set_width(column);
                    ui.spacing_mut().item_spacing.x = 2.0 * space::STEP;
                    right_ui(self, ui, cx, (no, step));
                });
            });
        }
        gap(ui, 5.0 * space::STEP);
        if !matches!(step, FitStep::Set(_) | FitStep::NotHere | FitStep::InMould) {
            rule(ui);
            gap(ui, 4.0 * space::STEP);
            caliper_ui(ui, cx, no);
        }
        self.rest_ui(ui, cx);
    }

    fn rest_ui(&mut self, ui: &mut Ui, cx: &mut Cx<'_>) {
        self.ring.ui(ui, cx);
        errands_ui(ui, cx);
        common::words_ui(ui, cx, Page::Fit);
        common::cautions_ui(ui, cx, Page::Fit);
    }

    fn left_ui(&mut self, ui: &mut Ui, cx: &mut Cx<'_>, no: u8, step: FitStep) {
        let tokens = Tokens::of(ui);
        let font = egui::FontId::new(Face::LampWords.font().size, Face::Strong.font().family);
        ui.label(egui::RichText::new(fit_words::title(step)).font(font).color(tokens.ink));
        gap(ui, space::STEP);
        say(ui, Face::Body, tokens.ink_2, fit_words::setting_line(cx.view.studio, cx.held));
        match step {
            FitStep::NotChosen | FitStep::NotHere => {}
            FitStep::InMould => {
                gap(ui, 4.0 * space::STEP);
                if main_button(ui, label::TO_POUR).clicked() {
                    cx.go(Page::Pour);
                }
            }
            FitStep::Set(_) => {
                gap(ui, 4.0 * space::STEP);
                if main_button(ui, label::TO_PACK).clicked() {
                    cx.go(Page::Pack);
                }
            }
            FitStep::Try | FitStep::TryAgain(_) | FitStep::Work(_) | FitStep::Sits => {
                // Whatever is said or recorded, what can be pressed stays where it is.
                slot(ui, ADVICE, |ui| {
                    say(ui, Face::Body, tokens.ink, fit_words::advice(step));
                });
                gap(ui, 2.0 * space::STEP);
                feel_ui(ui, cx, no);
                gap(ui, 3.0 * space::STEP);
                work_ui(ui, cx, no);
                gap(ui, 4.0 * space::STEP);
                self.set_ui(ui, cx, no, step == FitStep::Sits);
            }
        }
    }

    fn set_ui(&mut self, ui: &mut Ui, cx: &mut Cx<'_>, no: u8, sits: bool) {
        let put = self.put.clone().unwrap_or(Place::Bench);
        let field = Field::new("order/fit/put", label::PUT_WHERE).wide(220.0);
        if let Some(place) = choice(ui, field, Some(&put), &places(cx.view.studio)) {
            self.put = Some(place);
        }
        gap(ui, 2.0 * space::STEP);
        let button = vec2(ui.available_width(), space::MAIN);
        let row = Layout::left_to_right(Align::Center);
        let pressed = ui.allocate_ui_with_layout(button, row, |ui| {
            ui.set_min_height(space::MAIN);
            if sits { main_button(ui, label::SET) } else { plain_button(ui, label::SET) }.clicked()
        });
        if pressed.inner {
            cx.fact(FitFact::Set { stone: no, piece: fitting::piece(cx.held), place: put });
            // The page stays with this stone: a second press is not for the next one.
            self.stone = Some(no);
        }
        say(ui, Face::Second, Tokens::of(ui).care, label::CARE_TOOLS);
    }
}

/// The room of what is to be done now: two lines.
const ADVICE: f32 = 44.0;
/// The room of how the wall is pressed: two lines.
const PRESS: f32 = 40.0;

/// Words that change, in a room that does not.
fn slot(ui: &mut Ui, height: f32, add: impl FnOnce(&mut Ui)) {
    let room = vec2(ui.available_width(), height);
    ui.allocate_ui_with_layout(room, Layout::top_down(Align::LEFT), |ui| {
        ui.set_min_height(height);
        add(ui);
    });
}

/// The stone in its opening, and under it what was tried and done.
fn right_ui(page: &mut FitPage, ui: &mut Ui, cx: &mut Cx<'_>, (no, step): (u8, FitStep)) {
    picture::ui(ui, cx, no, step);
    let sheet = cx.held.order.sheet.stone(no);
    let outline = sheet.and_then(|sheet| cx.view.studio.cavity_of(sheet).ok()).map(|cavity| cavity.outline());
    let balance =
        page.balance.get((cx.tag, no, cx.view.revision), || outline.as_ref().and_then(fit_words::balance));
    if let (Some(words), Some(outline)) = (balance, &outline) {
        say(ui, Face::Second, Tokens::of(ui).ink_2, words.as_str());
        explain(ui, &mut page.explained, Some(|| vec![fit_words::explained_balance(outline)]));
    }
    slot(ui, PRESS, |ui| {
        if step == FitStep::Sits && fitting::setting(cx.view.studio, cx.held).is_some() {
            say(ui, Face::Second, Tokens::of(ui).ink_2, label::PRESS);
        }
    });
    steps_ui(ui, cx, no);
    unmatched_ui(ui, cx);
}

/// How many steps are shown.
const SHOWN: usize = 4;

/// What was tried and done, the newest first. The newest can be struck where it was a slip.
fn steps_ui(ui: &mut Ui, cx: &mut Cx<'_>, no: u8) {
    let steps = fitting::steps(cx.held, no);
    if steps.is_empty() {
        return;
    }
    let tokens = Tokens::of(ui);
    let strike = fitting::last_to_strike(cx.held, no);
    say(ui, Face::Second, tokens.ink_3, label::SO_FAR);
    for (number, fact) in steps.iter().rev().take(SHOWN) {
        let said = fit_words::step_words(fact);
        sentence(ui, |ui| {
            say(ui, Face::Body, tokens.ink_2, words::sentence_start(&said));
            if strike != Some(*number) {
                return;
            }
            let link = link(ui, label::STRIKE).accessible_name(label::strike(&said));
            if link.on_hover_text(label::STRIKE_SAYS).clicked() {
                cx.fact(Fact::Struck { entry: *number, why: Mistake::DidNotHappen });
            }
        });
    }
    if steps.len() > SHOWN {
        say(ui, Face::Second, tokens.ink_3, label::before(steps.len() - SHOWN));
    }
}

/// What is said where the setting does not take the stones of the order's moulds; a note, nothing waits for it.
pub(super) fn unmatched_ui(ui: &mut Ui, cx: &Cx<'_>) {
    for said in fit_words::unmatched(cx.view.studio, cx.held) {
        gap(ui, space::STEP);
        note(ui, |ui| {
            say(ui, Face::Second, Tokens::of(ui).ink_2, said);
        });
    }
}

/// Where the piece can be put: at others' too, who work on it.
fn places(studio: &Studio) -> Vec<(Place, String)> {
    let mut all = places::choices(studio);
    all.push((Place::Away, words::place(studio, &Place::Away)));
    all
}

fn none_ui(ui: &mut Ui, cx: &mut Cx<'_>) {
    heading(ui, fit_words::title(FitStep::NotChosen));
    second(ui, label::NONE);
    say(ui, Face::Body, Tokens::of(ui).ink_2, fit_words::setting_line(cx.view.studio, cx.held));
    gap(ui, 4.0 * space::STEP);
    if main_button(ui, label::TO_CHOOSE).clicked() {
        cx.go(Page::Choose);
    }
    gap(ui, 5.0 * space::STEP);
}

/// How it sits, by one press.
fn feel_ui(ui: &mut Ui, cx: &mut Cx<'_>, no: u8) {
    let tokens = Tokens::of(ui);
    say(ui, Face::Second, tokens.ink_3, label::FEEL);
    gap(ui, space::STEP);
    ui.horizontal_wrapped(|ui| {
        for feel in [Feel::TooTight, Feel::Proud, Feel::Flush, Feel::Low, Feel::TooLoose] {
            if plain_button(ui, label::feel(feel)).clicked() {
                cx.fact(FitFact::Tried { stone: no, feel });
            }
        }
    });
}

/// What was done to it, by one press.
fn work_ui(ui: &mut Ui, cx: &mut Cx<'_>, no: u8) {
    let tokens = Tokens::of(ui);
    say(ui, Face::Second, tokens.ink_3, label::WORK);
    gap(ui, space::STEP);
    ui.horizontal_wrapped(|ui| {
        for work in [FitWork::SandedEdge, FitWork::SandedBack, FitWork::BuiltUp, FitWork::Polished] {
            if plain_button(ui, label::work(work)).clicked() {
                cx.fact(FitFact::Worked { stone: no, work });
            }
        }
    });
    say(ui, Face::Second, tokens.care, label::CARE_SAND);
}

/// The measures, each written down as it is typed, and what they say.
fn caliper_ui(ui: &mut Ui, cx: &mut Cx<'_>, no: u8) {
    let tokens = Tokens::of(ui);
    heading(ui, label::CALIPER);
    second(ui, label::CALIPER_MORE);
    gap(ui, 2.0 * space::STEP);
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing.x = 4.0 * space::STEP;
        for (what, name) in [
            (Dimension::Length, label::LENGTH),
            (Dimension::Width, label::WIDTH),
            (Dimension::Edge, label::EDGE),
            (Dimension::Height, label::HEIGHT),
        ] {
            let now = fitting::measured(cx.held, no, what);
            let shown = now.map(label::measure).unwrap_or_default();
            let key = format!("order/fit/{no}/{name}");
            let field = Field::new(&key, name).wide(150.0).hint(label::MEASURE_HINT);
            if let Some(reading) = read(ui, cx.drafts, field, &shown, typed::length_reading) {
                cx.fact(FitFact::Measured { stone: no, what, reading });
            }
        }
    });
    gap(ui, 2.0 * space::STEP);
    match fitting::compared(cx.view.studio, cx.held, no) {
        Some(Ok(compared)) => {
            let lines = fit_words::by_caliper(&compared);
            known(ui, lines.iter().map(|(name, words)| (*name, words.as_str())));
        }
        Some(Err(why)) => {
            say(ui, Face::Body, tokens.care, words::sentence_start(&format!("{why}.")));
        }
        None => {}
    }
    gap(ui, 5.0 * space::STEP);
}

fn errands_ui(ui: &mut Ui, cx: &mut Cx<'_>) {
    let open = fitting::errands(cx.held);
    if open.is_empty() {
        return;
    }
    let tokens = Tokens::of(ui);
    heading(ui, label::ERRANDS);
    let today = cx.view.now.day();
    for errand in open {
        say(ui, Face::Body, tokens.ink_2, fit_words::errand(errand, today));
    }
    if link(ui, label::TO_BRIEF).clicked() {
        cx.go(Page::Brief);
    }
    gap(ui, 5.0 * space::STEP);
}
