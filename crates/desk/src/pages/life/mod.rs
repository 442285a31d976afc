//! The life of what came: what happened, in sentences, and the piles as they lay at any moment of it.

mod told;

use std::collections::BTreeMap;

use chrono::NaiveDate;
use craft::fact::PaperKind;
use craft::order::Page;
use craft::studio::Held;
use craft::tag::Tag;
use egui::Ui;
use workbench::action::{Action, Job};
use workbench::present::accounts::{Account, accounts};
use workbench::present::labels::life as labels;
use workbench::present::lot_story::{Pile, Told, held_at, lot_story, record_story};
use workbench::present::words;

use super::pack::parts::piles_ui;
use crate::cx::{Cx, Wish};
use crate::look::{Face, Tokens, space};
use crate::shell::Side;
use crate::widgets::{
    Along, Drafts, cells, gap, heading, link, moments, plain_button, rule, say, second, tab,
};

/// What is told of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum About {
    /// One lot.
    Lot(u8),
    /// Everything that was written down.
    Record,
}

/// The page's own state.
#[derive(Debug, Default)]
pub(crate) struct LifePage {
    about: Option<About>,
    /// The entry that is looked at; none for now.
    at: Option<u32>,
    /// The entry is to be struck.
    striking: bool,
    known: Option<Known>,
    /// It was opened just now, so the arrows are to go along it.
    is_new: bool,
    /// How high each entry was shown, and at which width.
    heights: (f32, BTreeMap<u32, f32>),
}

/// What was worked out, and what it was worked out from.
#[derive(Debug)]
struct Known {
    of: (u64, Tag, NaiveDate, About, Option<u32>),
    told: Vec<Told>,
    /// For each entry, whether its day begins with it.
    days: Vec<bool>,
    /// Some of them say the time.
    is_timed: bool,
    /// The moment that is looked at, among what is told.
    place: usize,
    then: Option<Then>,
}

/// How a lot lay at a moment.
#[derive(Debug)]
struct Then {
    held: Held,
    account: Account,
    piles: Vec<Pile>,
}

/// The way to the story of a lot, on every page that shows where it is.
pub(super) fn way_here_ui(ui: &mut Ui, cx: &mut Cx<'_>, lot: u8) {
    if link(ui, &labels::way_here(&words::lot(cx.held, lot))).clicked() {
        cx.wish(Wish::Life(lot));
    }
}

impl LifePage {
    /// Shows this lot as it is now.
    pub(crate) fn show(&mut self, lot: u8) {
        *self = Self { about: Some(About::Lot(lot)), is_new: true, ..Self::default() };
    }

    pub(crate) fn ui(&mut self, ui: &mut Ui, cx: &mut Cx<'_>, page: Page) {
        if link(ui, &labels::back(words::page(page))).clicked() {
            cx.wish(Wish::Side(Side::Route));
        }
        gap(ui, 2.0 * space::STEP);
        heading(ui, labels::head(&words::remembered(cx.held)));
        let lots: Vec<u8> = cx.held.ledger.custody.lots.keys().copied().collect();
        let about = match self.about {
            Some(About::Lot(lot)) if !lots.contains(&lot) => None,
            about => about,
        };
        let first = || lots.first().map_or(About::Record, |lot| About::Lot(*lot));
        let about = about.unwrap_or_else(first);
        self.tabs_ui(ui, cx, (about, &lots));
        gap(ui, 3.0 * space::STEP);
        if lots.is_empty() && about != About::Record {
            second(ui, labels::NOTHING);
            return;
        }
        self.look(cx, about);
        let Some(known) = self.known.take() else { return };
        self.known_ui(ui, cx, &known);
        self.known = Some(known);
    }

    fn tabs_ui(&mut self, ui: &mut Ui, cx: &Cx<'_>, (about, lots): (About, &[u8])) {
        let all = lots.iter().map(|lot| (About::Lot(*lot), words::lot(cx.held, *lot)));
        ui.horizontal_wrapped(|ui| {
            ui.spacing_mut().item_spacing.x = 26.0;
            for (of, words) in all.chain([(About::Record, labels::RECORD.to_owned())]) {
                if tab(ui, &words, of == about, true).clicked() && of != about {
                    *self = Self { about: Some(of), ..Self::default() };
                }
            }
        });
    }

    /// Works out what is told only where something has changed that it is told from.
    fn look(&mut self, cx: &Cx<'_>, about: About) {
        let today = cx.view.now.day();
        let of = (cx.view.revision, cx.tag, today, about, self.at);
        if self.known.as_ref().is_some_and(|known| known.of == of) {
            return;
        }
        let studio = cx.view.studio;
        let told = match about {
            About::Lot(lot) => lot_story(studio, cx.held, lot, u32::MAX, today).map(|story| story.told),
            About::Record => Some(record_story(studio, cx.held, today)),
        };
        let told = told.unwrap_or_default();
        let last = told.len().saturating_sub(1);
        let place = self.at.and_then(|at| told.iter().position(|told| told.entry == at)).unwrap_or(last);
        let until =
            if place == last { u32::MAX } else { told.get(place).map_or(u32::MAX, |told| told.entry) };
        let then = match about {
            About::Lot(lot) => held_at(cx.held, until).and_then(|held| {
                let account = accounts(studio, &held).into_iter().find(|account| account.lot == lot)?;
                let piles = lot_story(studio, &held, lot, u32::MAX, today)?.piles;
                Some(Then { held, account, piles })
            }),
            About::Record => None,
        };
        let before = |at: usize| at.checked_sub(1).and_then(|at| told.get(at)).map(|told| &told.day);
        let days = (0..told.len()).map(|at| before(at) != told.get(at).map(|told| &told.day)).collect();
        let is_timed = told.iter().any(|told| !told.time.is_empty());
        self.known = Some(Known { of, told, days, is_timed, place, then });
    }

    fn known_ui(&mut self, ui: &mut Ui, cx: &mut Cx<'_>, known: &Known) {
        if known.told.is_empty() {
            second(ui, labels::NOTHING);
            return;
        }
        self.moment_ui(ui, known);
        if let Some(then) = &known.then {
            gap(ui, 3.0 * space::STEP);
            then_ui(ui, cx, then);
        }
        gap(ui, 4.0 * space::STEP);
        sheet_ui(ui, cx);
        gap(ui, 5.0 * space::STEP);
        rule(ui);
        gap(ui, 4.0 * space::STEP);
        heading(ui, labels::TOLD);
        self.told_ui(ui, cx, known);
    }

    /// The line of moments, and the steps beside it.
    fn moment_ui(&mut self, ui: &mut Ui, known: &Known) {
        let last = known.told.len().saturating_sub(1);
        let here = known.told.get(known.place);
        let words = match (&known.then, here) {
            (None, Some(told)) => labels::entry_of(told),
            (_, told) => labels::moment(told, known.place == last),
        };
        say(ui, Face::Strong, Tokens::of(ui).ink, words.as_str());
        if let Some(told) = here {
            second(ui, told.words.as_str());
        }
        gap(ui, space::STEP);
        let takes_keys = std::mem::take(&mut self.is_new);
        let along = Along { at: known.place, days: &known.days, words: &words, takes_keys };
        let mut to = moments(ui, "life", labels::MOMENT, along);
        ui.horizontal_wrapped(|ui| {
            ui.spacing_mut().item_spacing.x = 5.0 * space::STEP;
            let first = known.place == 0;
            if ui.add_enabled_ui(!first, |ui| link(ui, labels::EARLIER)).inner.clicked() {
                to = Some(known.place.saturating_sub(1));
            }
            let newest = known.place == last;
            if ui.add_enabled_ui(!newest, |ui| link(ui, labels::LATER)).inner.clicked() {
                to = Some(known.place + 1);
            }
            if ui.add_enabled_ui(!newest, |ui| link(ui, labels::NOW)).inner.clicked() {
                to = Some(last);
            }
            say(ui, Face::Second, Tokens::of(ui).ink_3, labels::MOMENT_HINT);
        });
        if let Some(to) = to {
            self.look_at(known, to);
        }
    }

    fn look_at(&mut self, known: &Known, place: usize) {
        let last = known.told.len().saturating_sub(1);
        self.at = known.told.get(place).filter(|_| place != last).map(|told| told.entry);
        self.striking = false;
    }
}

/// The piles as they lay, drawn and in words.
fn then_ui(ui: &mut Ui, cx: &Cx<'_>, then: &Then) {
    let (mut drafts, mut wishes) = (Drafts::default(), Vec::new());
    let past = Cx::new(cx.view, (cx.tag, &then.held), cx.root, &mut drafts, &mut wishes);
    let wide = ui.available_width().min(WIDEST);
    ui.scope(|ui| {
        ui.set_max_width(wide);
        piles_ui(ui, &past, &then.account);
    });
    gap(ui, 2.0 * space::STEP);
    second(ui, format!("{}.", words::sentence_start(&then.account.words)));
    gap(ui, 2.0 * space::STEP);
    let tokens = Tokens::of(ui);
    for pile in &then.piles {
        cells(ui, &[LABEL, 0.0], |ui, place| {
            if place == 0 {
                say(ui, Face::Second, tokens.ink_3, pile.label.as_str());
            } else {
                ui.spacing_mut().item_spacing.y = 0.0;
                say(ui, Face::Body, tokens.ink, words::sentence_start(&pile.who));
                say(ui, Face::Second, tokens.ink_2, labels::pile(pile));
            }
        });
    }
}

/// The widest the piles are drawn.
const WIDEST: f32 = 620.0;
/// The column of a label.
const LABEL: f32 = 108.0;

/// Writes the custody sheet and shows it, or the newest one.
fn sheet_ui(ui: &mut Ui, cx: &mut Cx<'_>) {
    let job = Job::IssuePaper { tag: cx.tag, kind: PaperKind::Custody };
    let written = cx.held.ledger.home.papers.iter().any(|(_, kind, _)| *kind == PaperKind::Custody);
    let writing = cx.view.is_under_way(&job);
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing.x = 5.0 * space::STEP;
        let able = !writing && !cx.held.ledger.custody.lots.is_empty();
        if ui.add_enabled_ui(able, |ui| plain_button(ui, labels::SHEET)).inner.clicked() {
            cx.act(Action::Start(job));
            cx.wish(Wish::Paper(PaperKind::Custody));
        }
        if written && link(ui, labels::SHEET_AGAIN).clicked() {
            cx.wish(Wish::Paper(PaperKind::Custody));
        }
    });
}
