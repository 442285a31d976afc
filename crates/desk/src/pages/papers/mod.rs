//! The papers of an order: what can be written, each as it would be printed, and what was written and kept.

mod kept;
mod preview;

use std::collections::BTreeMap;

use craft::digest::Digest;
use craft::fact::PaperKind;
use egui::{Align, Layout, Painter, Rect, Stroke, StrokeKind, Ui, vec2};
use workbench::action::{Action, Job};
use workbench::present::labels::papers as labels;
use workbench::present::labels::shell::not_yet;
use workbench::present::paper_rows::{PaperRow, Rows, due};

use super::show::{Weight, message_ui, sent_ui};
use crate::cx::Cx;
use crate::keep::hand_over::HandOver;
use crate::look::{Face, Tokens, space};
use crate::widgets::glass::Glass;
use crate::widgets::photos::photo_button;
use crate::widgets::{Running, care, fold, gap, heading, link, main_button, picture_row, rule, say, second};

/// The state of the side with the papers.
#[derive(Debug, Default)]
pub(crate) struct PapersPage {
    /// The paper that is looked at; none for the one that belongs to where the order stands.
    open: Option<PaperKind>,
    /// How close each page is looked at.
    glasses: BTreeMap<usize, Glass>,
    /// Where a copy goes is being said.
    copying: bool,
    /// The papers of before are open.
    before: bool,
    /// The pictures for messages are open, and the one that was taken.
    pictures: bool,
    picture: Option<Digest>,
    running: Running,
    hand_over: HandOver,
    /// What there is of each paper.
    rows: Rows,
}

/// The list beside the paper, in points.
const LIST: f32 = 264.0;
/// Between the two.
const BETWEEN: f32 = 28.0;
/// Narrower than this the list stands over the paper, in points.
const NARROW: f32 = 700.0;

impl PapersPage {
    /// Shows one paper first.
    pub(crate) fn choose(&mut self, kind: PaperKind) {
        if self.open != Some(kind) {
            self.glasses.clear();
            (self.copying, self.before) = (false, false);
        }
        self.open = Some(kind);
    }

    pub(crate) fn ui(&mut self, ui: &mut Ui, cx: &mut Cx<'_>) {
        let rows = self.rows.of(cx.view.studio, cx.held, cx.tag, cx.view.now);
        let kind = self.open.unwrap_or_else(|| due(cx.held));
        let Some(row) = rows.iter().find(|row| row.kind == kind) else { return };
        let room = ui.available_width();
        if room < NARROW {
            self.list_ui(ui, &rows, kind);
            gap(ui, 5.0 * space::STEP);
            self.paper_ui(ui, cx, row);
            gap(ui, space::BLOCK);
            rule(ui);
            gap(ui, 4.0 * space::STEP);
            self.pictures_ui(ui, cx);
            gap(ui, 2.0 * space::STEP);
            self.hand_over.ui(ui, cx);
        } else {
            ui.horizontal_top(|ui| {
                ui.spacing_mut().item_spacing.x = BETWEEN;
                ui.allocate_ui_with_layout(vec2(LIST, 0.0), Layout::top_down(Align::LEFT), |ui| {
                    ui.set_width(LIST);
                    self.list_ui(ui, &rows, kind);
                    gap(ui, 5.0 * space::STEP);
                    self.pictures_ui(ui, cx);
                    gap(ui, 2.0 * space::STEP);
                    self.hand_over.ui(ui, cx);
                });
                let width = room - LIST - BETWEEN;
                ui.allocate_ui_with_layout(vec2(width, 0.0), Layout::top_down(Align::LEFT), |ui| {
                    ui.set_width(width);
                    self.paper_ui(ui, cx, row);
                });
            });
        }
    }

    fn list_ui(&mut self, ui: &mut Ui, rows: &[PaperRow], open: PaperKind) {
        ui.scope(|ui| {
            ui.spacing_mut().item_spacing.y = 0.0;
            for row in rows {
                let sheet =
                    |painter: &Painter, rect: Rect, tokens: &Tokens| sheet(painter, rect, tokens, row);
                let words = row.words();
                if picture_row(ui, row.kind == open, &sheet, [&row.name, &words, ""]).clicked() {
                    self.choose(row.kind);
                }
            }
        });
    }

    fn paper_ui(&mut self, ui: &mut Ui, cx: &mut Cx<'_>, row: &PaperRow) {
        let tokens = Tokens::of(ui);
        heading(ui, row.name.as_str());
        if !row.kept.is_empty() {
            say(ui, Face::Body, tokens.ink_2, labels::kept(&row.written()));
        }
        if let Some(why) = &row.out_of_date {
            care(ui, labels::old(why));
        }
        gap(ui, 2.0 * space::STEP);
        if let Some(why) = &row.held {
            care(ui, not_yet(why));
            gap(ui, 2.0 * space::STEP);
        }
        self.buttons_ui(ui, cx, row);
        let tag = cx.tag;
        self.running.ui(ui, cx, |job| match job {
            Job::IssuePaper { tag: of, .. } | Job::CopyPaper { tag: of, .. } => *of == tag,
            Job::MessageImage { .. } => true,
            Job::TakePhoto { .. }
            | Job::TakeBoxPhoto { .. }
            | Job::Picture { .. }
            | Job::PreviewPaper { .. }
            | Job::ReadOrders
            | Job::LookThrough
            | Job::Keep(_) => false,
        });
        if row.held.is_none() {
            gap(ui, 4.0 * space::STEP);
            self.preview_ui(ui, cx, row);
        }
    }

    /// The next thing to do with the paper, and the rest of what can be done.
    fn buttons_ui(&mut self, ui: &mut Ui, cx: &mut Cx<'_>, row: &PaperRow) {
        let job = Job::IssuePaper { tag: cx.tag, kind: row.kind };
        let writing = cx.view.is_under_way(&job);
        let Some(newest) = row.kept.first() else {
            if row.held.is_none() {
                let pressed =
                    ui.add_enabled_ui(!writing, |ui| main_button(ui, labels::ISSUE)).inner.clicked();
                if pressed {
                    cx.act(Action::Start(job));
                }
            }
            return;
        };
        ui.horizontal_wrapped(|ui| {
            ui.spacing_mut().item_spacing.x = 5.0 * space::STEP;
            if main_button(ui, labels::PRINT).clicked() {
                kept::print(cx, row.kind, newest);
            }
            if link(ui, labels::OPEN).clicked() {
                kept::open(cx, newest);
            }
            fold(ui, labels::COPY, &mut self.copying);
            if row.held.is_none() && !writing && link(ui, labels::ISSUE_AGAIN).clicked() {
                cx.act(Action::Start(job));
            }
        });
        if self.copying {
            self.copying = !kept::copy_ui(ui, cx, row.kind, newest);
        }
        if row.kind == PaperKind::Proof {
            gap(ui, 2.0 * space::STEP);
            sent_ui(ui, cx, None, Weight::Plain);
        }
        if row.kept.len() > 1 && fold(ui, labels::BEFORE, &mut self.before) {
            kept::before_ui(ui, cx, row);
        }
    }

    /// A smaller copy of one of the order's photos, for a message.
    fn pictures_ui(&mut self, ui: &mut Ui, cx: &mut Cx<'_>) {
        if !fold(ui, labels::PICTURES, &mut self.pictures) {
            return;
        }
        let held = cx.held;
        let photos = &held.order.sheet.photos;
        if photos.is_empty() {
            second(ui, labels::NO_PHOTOS);
            return;
        }
        gap(ui, 2.0 * space::STEP);
        ui.horizontal_wrapped(|ui| {
            ui.spacing_mut().item_spacing = vec2(space::ROW, space::ROW);
            for (place, photo) in photos.iter().enumerate() {
                let chosen = self.picture == Some(photo.original);
                let name = labels::picture(held, photo, place + 1);
                if photo_button(ui, cx, (photo.original, photo.kind), vec2(112.0, 84.0), (&name, chosen))
                    .clicked()
                {
                    self.picture = (!chosen).then_some(photo.original);
                }
            }
        });
        let taken = photos.iter().find(|photo| Some(photo.original) == self.picture);
        if let Some(photo) = taken {
            gap(ui, 2.0 * space::STEP);
            message_ui(ui, cx, photo);
        }
    }
}

/// A small sheet: written on where it was written, empty where it was not, only its edge where it cannot be yet.
fn sheet(painter: &Painter, rect: Rect, tokens: &Tokens, row: &PaperRow) {
    let small = row.kind == PaperKind::Care;
    let size = if small { vec2(20.0, 28.0) } else { vec2(28.0, 40.0) };
    let page = Rect::from_center_size(rect.center(), size);
    let fill = if row.held.is_some() && row.kept.is_empty() { tokens.tint } else { tokens.raised };
    painter.rect(page, 2.0, fill, tokens.edge(), StrokeKind::Inside);
    if row.kept.is_empty() {
        return;
    }
    let lines = if small { 4 } else { 6 };
    for line in 0..lines {
        let y = page.top() + 6.0 + 5.0 * line as f32;
        let end = if line % 3 == 2 { 0.6 } else { 1.0 };
        let inner = page.x_range().shrink(5.0);
        let right = inner.min + (inner.max - inner.min) * end;
        painter.hline(inner.min..=right, y, Stroke::new(1.0, tokens.ink_3));
    }
}
