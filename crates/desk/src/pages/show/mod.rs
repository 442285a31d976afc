//! The proof: each stone with its photos, what still misses one, and the sheet on its way to the client.

mod large;
mod sent;
mod stone;

use craft::digest::Digest;
use craft::fact::PaperKind;
use craft::id::{Thing, ThingKind};
use craft::order::Page;
use egui::Ui;
use workbench::action::{Action, Job, Purpose};
use workbench::present::labels::shell::not_yet;
use workbench::present::labels::show as labels;
use workbench::present::pages::page;
use workbench::present::showing::{self, Standing, Step};
use workbench::present::stone_words;

use super::common;
use crate::cx::{Cx, Wish};
use crate::draw::stone::{StonePicture, fit};
use crate::look::{Face, Tokens, space};
use crate::shell::Side;
use crate::widgets::glass::Glass;
use crate::widgets::{Running, care, gap, heading, link, main_button, note, rule, say, second};

pub(super) use large::message_ui;
pub(super) use sent::{Weight, sent_ui};

/// The show page's own state.
#[derive(Debug, Default)]
pub(super) struct ShowPage {
    /// The photo that is looked at large, and how close.
    large: Option<(Option<Thing>, Digest, Glass)>,
    /// It was opened in this frame, so it is brought into sight.
    opened: bool,
    /// The stone whose photo is given by a typed path.
    typing: Option<u8>,
    /// A picture for a message is open.
    message: bool,
    /// Whose photos dropped files are.
    dropped: Option<Thing>,
    running: Running,
    /// How large a photo stands in its tray, in this frame.
    tile: egui::Vec2,
}

/// A stone of the order as it is shown here.
struct Row {
    no: u8,
    at: Standing,
    picture: StonePicture,
    phrases: String,
}

impl ShowPage {
    /// What photos that are dropped on the page are of.
    pub(crate) fn photo_of(&self) -> Option<Thing> {
        self.dropped
    }

    pub(crate) fn ui(&mut self, ui: &mut Ui, cx: &mut Cx<'_>) {
        let rows = rows(cx);
        let step = showing::step(cx.view.studio, cx.held, cx.tag, cx.view.now);
        self.dropped = self.whose(&rows, &step).map(Thing::stone);
        self.tile = stone::tile(ui.available_width());
        self.head_ui(ui, cx, &rows, &step);
        self.running.ui(ui, cx, |job| matches!(job, Job::TakePhoto { .. } | Job::MessageImage { .. }));
        let per_mm = fit(rows.iter().map(|row| row.picture.outline.as_ref()), stone::OUTLINE);
        for row in rows.iter().filter(|row| row.at == Standing::On) {
            gap(ui, 4.0 * space::STEP);
            rule(ui);
            gap(ui, 4.0 * space::STEP);
            self.stone_ui(ui, cx, row, per_mm);
        }
        self.others_ui(ui, cx, &rows, per_mm);
        self.loose_ui(ui, cx, &rows);
        self.rounds_ui(ui, cx);
        gap(ui, space::BLOCK);
        self.rest_ui(ui, cx, rows.is_empty());
    }

    /// The stone whose photos dropped files are: the one that is worked on, else the one that misses a photo.
    fn whose(&self, rows: &[Row], step: &Step) -> Option<u8> {
        let large = self.large.as_ref().and_then(|(of, ..)| *of);
        let large = large.filter(|of| of.kind == ThingKind::Stone).map(|of| of.no);
        let bare = match step {
            Step::Photograph(no) => Some(*no),
            _ => None,
        };
        let only = if let [row] = rows { Some(row.no) } else { None };
        large.or(self.typing).or(bare).or(only)
    }

    fn head_ui(&self, ui: &mut Ui, cx: &mut Cx<'_>, rows: &[Row], step: &Step) {
        let tokens = Tokens::of(ui);
        if rows.is_empty() {
            heading(ui, labels::EMPTY);
            second(ui, labels::EMPTY_WORDS);
            gap(ui, 2.0 * space::STEP);
            if link(ui, &labels::on_to(workbench::present::words::page(Page::Pour))).clicked() {
                cx.go(Page::Pour);
            }
            return;
        }
        heading(ui, labels::HEAD);
        say(ui, Face::Body, tokens.ink_2, showing::head(cx.held));
        gap(ui, 3.0 * space::STEP);
        step_ui(ui, cx, step);
        if let Some(of) = self.dropped {
            gap(ui, space::STEP);
            second(ui, labels::dropped(of.no));
        }
    }

    /// Stones that are not on the proof, and why.
    fn others_ui(&mut self, ui: &mut Ui, cx: &mut Cx<'_>, rows: &[Row], per_mm: f32) {
        let mut others = rows.iter().filter(|row| row.at != Standing::On).peekable();
        if others.peek().is_none() {
            return;
        }
        gap(ui, space::BLOCK);
        rule(ui);
        gap(ui, 4.0 * space::STEP);
        heading(ui, labels::OTHERS);
        for row in others {
            gap(ui, 3.0 * space::STEP);
            self.stone_ui(ui, cx, row, per_mm);
        }
    }

    /// Photos that nobody said a thing about: dropped on the window, or taken in before the stone was made.
    fn loose_ui(&mut self, ui: &mut Ui, cx: &mut Cx<'_>, rows: &[Row]) {
        let held = cx.held;
        let loose = showing::photos(&held.order.sheet, None);
        if loose.is_empty() || rows.is_empty() {
            return;
        }
        gap(ui, space::BLOCK);
        heading(ui, labels::LOOSE);
        second(ui, labels::LOOSE_WORDS);
        gap(ui, 2.0 * space::STEP);
        self.tray_ui(ui, cx, None, &loose);
        self.open_ui(ui, cx, None, &loose);
        for (place, photo) in loose.iter().enumerate() {
            ui.horizontal_wrapped(|ui| {
                ui.spacing_mut().item_spacing.x = space::ROW;
                for row in rows {
                    if link(ui, &labels::it_is(place + 1, row.no)).clicked() {
                        let (original, to) = (photo.original, Thing::stone(row.no));
                        cx.sheet(|sheet| showing::assign(sheet, &original, to));
                    }
                }
            });
        }
    }

    #[expect(clippy::unused_self, reason = "it reads as one of the page's parts")]
    fn rounds_ui(&self, ui: &mut Ui, cx: &Cx<'_>) {
        let rounds = showing::rounds(cx.held, cx.view.now);
        if rounds.is_empty() {
            return;
        }
        gap(ui, space::BLOCK);
        heading(ui, labels::ROUNDS);
        let many = rounds.len() > 1;
        for (place, words) in rounds.iter().enumerate() {
            let start = workbench::present::words::sentence_start(words);
            let words =
                if many { format!("{}: {words}.", labels::round(place + 1)) } else { format!("{start}.") };
            say(ui, Face::Body, Tokens::of(ui).ink_2, workbench::present::words::sentence_start(&words));
        }
    }

    #[expect(clippy::unused_self, reason = "it reads as one of the page's parts")]
    fn rest_ui(&self, ui: &mut Ui, cx: &mut Cx<'_>, empty: bool) {
        if let Some(mut told) = page(cx.view.studio, cx.tag, Page::Show, cx.view.now) {
            // What is missing here the page's own picture says already.
            told.missing.retain(|missing| missing.go != Page::Show && !empty);
            common::missing_ui(ui, cx, &told);
        }
        common::words_ui(ui, cx, Page::Show);
        common::cautions_ui(ui, cx, Page::Show);
    }
}

/// The page's next thing to do.
fn step_ui(ui: &mut Ui, cx: &mut Cx<'_>, step: &Step) {
    match step {
        Step::Pour => {}
        Step::Photograph(no) => {
            if main_button(ui, &labels::take_first(*no)).clicked() {
                cx.act(Action::Pick(Purpose::Photos { tag: cx.tag, of: Some(Thing::stone(*no)) }));
            }
        }
        Step::Held(why) => {
            care(ui, not_yet(why));
        }
        Step::Write => {
            if showing::written(cx.held).is_some() {
                before_ui(ui, labels::AGAIN_WORDS);
            }
            if main_button(ui, labels::WRITE).clicked() {
                cx.wish(Wish::Paper(PaperKind::Proof));
            }
        }
        Step::Send(..) => send_ui(ui, cx),
        Step::Answer => answer_ui(ui, cx),
        Step::Chosen(_) => {
            let told = page(cx.view.studio, cx.tag, Page::Show, cx.view.now);
            if let Some(told) = told.filter(|told| !told.is_here()) {
                let on = labels::on_to(workbench::present::words::page(told.main.go));
                if link(ui, &on).clicked() {
                    cx.go(told.main.go);
                }
            }
        }
    }
}

/// Words over the buttons.
fn before_ui(ui: &mut Ui, words: &str) {
    say(ui, Face::Body, Tokens::of(ui).ink_2, words);
    gap(ui, space::STEP);
}

/// The sheet is written, and is to be sent.
fn send_ui(ui: &mut Ui, cx: &mut Cx<'_>) {
    before_ui(ui, labels::SEND_WORDS);
    sent_ui(ui, cx, None, Weight::Main);
    gap(ui, space::STEP);
    buttons(ui, |ui| {
        if link(ui, labels::MESSAGE).clicked() {
            cx.wish(Wish::Side(Side::Messages));
        }
        if link(ui, labels::LOOK).clicked() {
            cx.wish(Wish::Paper(PaperKind::Proof));
        }
    });
}

/// The client has the proof: the answer, or a reminder once it is due.
fn answer_ui(ui: &mut Ui, cx: &mut Cx<'_>) {
    before_ui(ui, &showing::with_client(cx.view.studio, cx.held, cx.view.now));
    let due = showing::reminder_is_due(cx.view.studio, cx.held, cx.view.now);
    buttons(ui, |ui| {
        let (to_answer, to_message) = if due {
            let message = main_button(ui, labels::REMIND).clicked();
            (link(ui, labels::ANSWER_LINK).clicked(), message)
        } else {
            let answer = main_button(ui, labels::ANSWER).clicked();
            (answer, link(ui, labels::MESSAGE).clicked())
        };
        if to_answer {
            cx.go(Page::Choose);
        }
        if to_message {
            cx.wish(Wish::Side(Side::Messages));
        }
    });
}

/// Buttons side by side.
fn buttons(ui: &mut Ui, add: impl FnOnce(&mut Ui)) {
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing.x = 5.0 * space::STEP;
        add(ui);
    });
}

fn rows(cx: &Cx<'_>) -> Vec<Row> {
    let (studio, held) = (cx.view.studio, cx.held);
    let chosen = held.ledger.client.chosen().next();
    let stones = showing::stones(held).into_iter();
    stones
        .map(|(no, at)| {
            let wanted = held.order.sheet.stone(no);
            let picture = StonePicture {
                outline: wanted.and_then(|stone| stone_words::outline(studio, stone)),
                colour: wanted.and_then(|stone| stone_words::colour(studio, stone)),
                begun: true,
                chosen: chosen == Some(no),
            };
            let phrases = wanted.map(|stone| stone_words::phrases(studio, stone).join("  ·  "));
            Row { no, at, picture, phrases: phrases.unwrap_or_default() }
        })
        .collect()
}

/// A quiet block around what is open in place.
fn aside<R>(ui: &mut Ui, add: impl FnOnce(&mut Ui) -> R) -> R {
    note(ui, |ui| ui.vertical(add).inner)
}
