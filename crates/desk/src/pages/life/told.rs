//! What happened, day by day, and what was struck with its reason.

use std::collections::BTreeMap;

use craft::fact::{Fact, Mistake};
use egui::{RichText, Sense, Ui, UiBuilder, vec2};
use workbench::present::labels::life as labels;
use workbench::present::lot_story::Told;

use super::{Known, LifePage};
use crate::cx::Cx;
use crate::look::{Face, Tokens, space};
use crate::widgets::{fold, gap, plain_button, say, second};

/// The column of an entry's number.
const NUMBER: f32 = 36.0;
/// The column of its time.
const TIME: f32 = 48.0;
/// With more entries than this, those out of sight are not laid out.
const MANY: usize = 60;

impl LifePage {
    pub(super) fn told_ui(&mut self, ui: &mut Ui, cx: &mut Cx<'_>, known: &Known) {
        let width = ui.available_width().min(space::READING);
        if (self.heights.0 - width).abs() > 0.5 {
            self.heights = (width, BTreeMap::default());
        }
        let mut to = None;
        for (place, (told, day)) in known.told.iter().zip(&known.days).enumerate() {
            if *day {
                gap(ui, 3.0 * space::STEP);
                say(ui, Face::Second, Tokens::of(ui).ink_3, told.day.as_str());
                gap(ui, space::TIGHT);
            }
            if self.row_ui(ui, known, (place, told), width) {
                to = Some(place);
            }
            if place == known.place {
                self.mistake_ui(ui, cx, told, time_width(known));
            }
        }
        if let Some(place) = to {
            self.look_at(known, place);
        }
    }

    /// One entry; true where it was pressed. A row takes no stop of the Tab key: the line of moments goes along them.
    fn row_ui(&mut self, ui: &mut Ui, known: &Known, (place, told): (usize, &Told), width: f32) -> bool {
        let tokens = Tokens::of(ui);
        let high = self.heights.1.get(&told.entry).copied();
        if let Some(high) = high.filter(|_| known.told.len() > MANY && place != known.place) {
            let rect = egui::Rect::from_min_size(ui.cursor().min, vec2(width, high));
            if !ui.is_rect_visible(rect) {
                ui.allocate_exact_size(rect.size(), Sense::hover());
                return false;
            }
        }
        let chosen = place == known.place;
        let behind = ui.painter().add(egui::Shape::Noop);
        let left = ui.cursor().min;
        let shown = ui.scope_builder(UiBuilder::new().id_salt(("told", told.entry)), |ui| {
            ui.set_max_width(width);
            ui.horizontal_top(|ui| {
                ui.spacing_mut().item_spacing.x = 0.0;
                ui.spacing_mut().interact_size.y = 0.0;
                column_ui(ui, NUMBER, &told.entry.to_string());
                column_ui(ui, time_width(known), &told.time);
                ui.vertical(|ui| words_ui(ui, tokens, told, place <= known.place));
            });
        });
        let rect = egui::Rect::from_min_max(left, egui::pos2(left.x + width, shown.response.rect.bottom()));
        self.heights.1.insert(told.entry, shown.response.rect.height());
        let response =
            ui.interact(rect, egui::Id::unique(("told", known.of.1.to_string(), told.entry)), Sense::CLICK);
        if chosen || response.hovered() {
            let fill = if chosen { tokens.tint } else { tokens.raised };
            let around = rect.expand2(vec2(6.0, 1.0));
            ui.painter().set(behind, egui::Shape::rect_filled(around, space::RADIUS, fill));
        }
        response.on_hover_cursor(egui::CursorIcon::PointingHand).clicked()
    }

    /// Strikes the entry that is looked at, with its reason.
    fn mistake_ui(&mut self, ui: &mut Ui, cx: &mut Cx<'_>, told: &Told, time: f32) {
        if !told.struck.is_empty() {
            return;
        }
        ui.horizontal_top(|ui| {
            ui.add_space(NUMBER + time);
            ui.vertical(|ui| {
                if !fold(ui, labels::MISTAKE, &mut self.striking) {
                    return;
                }
                second(ui, labels::MISTAKE_SAYS);
                gap(ui, space::STEP);
                if let Some(why) = reason_ui(ui) {
                    cx.fact(Fact::Struck { entry: told.entry, why });
                    (self.at, self.striking) = (None, false);
                }
                gap(ui, 2.0 * space::STEP);
            });
        });
    }
}

/// A column before the words; nothing may stand in it.
fn column_ui(ui: &mut Ui, wide: f32, words: &str) {
    let tokens = Tokens::of(ui);
    ui.allocate_ui_with_layout(vec2(wide, 0.0), egui::Layout::top_down(egui::Align::LEFT), |ui| {
        ui.set_width(wide);
        if !words.is_empty() {
            say(ui, Face::Second, tokens.ink_3, words);
        }
    });
}

/// Of what was told of later only the day is known, so there is nothing to stand in that column.
const fn time_width(known: &Known) -> f32 {
    if known.is_timed { TIME } else { 0.0 }
}

/// What was wrong with an entry, once that is said.
fn reason_ui(ui: &mut Ui) -> Option<Mistake> {
    let mut said = None;
    ui.horizontal_wrapped(|ui| {
        for (why, words) in labels::REASONS {
            if plain_button(ui, words).clicked() {
                said = Some(why);
            }
        }
    });
    said
}

/// What happened; what has not happened yet at the moment that is looked at is paler, what was struck is struck through.
fn words_ui(ui: &mut Ui, tokens: &Tokens, told: &Told, happened: bool) {
    ui.spacing_mut().item_spacing.y = 0.0;
    let ink = if happened { tokens.ink } else { tokens.ink_3 };
    if told.struck.is_empty() {
        say(ui, Face::Body, ink, told.words.as_str());
    } else {
        ui.label(RichText::new(&told.words).font(Face::Body.font()).color(tokens.ink_3).strikethrough());
        say(
            ui,
            Face::Second,
            tokens.care,
            format!("{}.", workbench::present::words::sentence_start(&told.struck)),
        );
    }
    if !told.note.is_empty() {
        say(ui, Face::Second, tokens.ink_2, told.note.as_str());
    }
}
