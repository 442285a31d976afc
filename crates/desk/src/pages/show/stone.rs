//! One stone of the proof: its true outline, whether it is on the proof, its words and its tray of photos.

use std::path::PathBuf;

use craft::fact::{Fact, Mistake, PourFact};
use craft::id::Thing;
use craft::order::Photo;
use egui::{Align, Layout, Sense, Ui, UiBuilder, Vec2, WidgetInfo, vec2};
use workbench::action::{Action, Purpose};
use workbench::present::labels::show as labels;
use workbench::present::showing::{self, Standing};

use super::{Row, ShowPage, aside};
use crate::cx::Cx;
use crate::draw;
use crate::look::{Face, Tokens, space};
use crate::widgets::glass::Glass;
use crate::widgets::photos::{Seen, paint, photo_button};
use crate::widgets::{Field, entered, form_line, gap, heading, link, plain_button, say, tick, words};

/// The room for a stone's outline.
pub(super) const OUTLINE: Vec2 = vec2(84.0, 64.0);
/// A photo in the tray, and one in a wide window.
const TILE: Vec2 = vec2(152.0, 114.0);
const TILE_WIDE: Vec2 = vec2(208.0, 156.0);
/// From this width of the page on a window is wide, in points.
const WIDE: f32 = 1_040.0;
/// The words beside the photos, at least.
const WORDS: f32 = 280.0;
/// Between two of them.
const BETWEEN: f32 = 12.0;

impl ShowPage {
    /// One stone. Its controls keep the keyboard wherever on the page the stone moves.
    pub(super) fn stone_ui(&mut self, ui: &mut Ui, cx: &mut Cx<'_>, row: &Row, per_mm: f32) {
        let id = egui::Id::unique(("show", cx.tag.to_string(), row.no));
        ui.scope_builder(UiBuilder::new().scope_id(id), |ui| self.block_ui(ui, cx, row, per_mm));
    }

    fn block_ui(&mut self, ui: &mut Ui, cx: &mut Cx<'_>, row: &Row, per_mm: f32) {
        let room = ui.available_width();
        ui.horizontal_top(|ui| {
            ui.spacing_mut().item_spacing.x = 4.0 * space::STEP;
            let (rect, response) = ui.allocate_exact_size(OUTLINE, Sense::hover());
            response.on_hover_text(row.phrases.as_str());
            draw::stone::stone(ui.painter(), Tokens::of(ui), rect.center(), per_mm, &row.picture);
            let width = (room - OUTLINE.x - 4.0 * space::STEP).max(120.0);
            ui.allocate_ui_with_layout(vec2(width, 0.0), Layout::top_down(Align::LEFT), |ui| {
                ui.set_width(width);
                head_ui(ui, cx, row);
                self.photos_ui(ui, cx, row);
            });
        });
    }

    /// The photos, and beside them what is said and done about them; under them where there is no room beside.
    fn photos_ui(&mut self, ui: &mut Ui, cx: &mut Cx<'_>, row: &Row) {
        let held = cx.held;
        let of = Thing::stone(row.no);
        let photos = showing::photos(&held.order.sheet, Some(of));
        gap(ui, 2.0 * space::STEP);
        let room = ui.available_width();
        let tile = self.tile;
        let beside = tiles_in(room - WORDS - 5.0 * space::STEP, tile.x);
        if room < WORDS + tile.x + 5.0 * space::STEP {
            self.tray_ui(ui, cx, Some(of), &photos);
            self.words_ui(ui, cx, row);
        } else {
            ui.horizontal_top(|ui| {
                ui.spacing_mut().item_spacing.x = 5.0 * space::STEP;
                let tiles = photos.len().clamp(1, beside) as f32;
                let tray = vec2(tiles * (tile.x + BETWEEN) - BETWEEN, tile.y);
                ui.allocate_ui_with_layout(tray, Layout::top_down(Align::LEFT), |ui| {
                    ui.set_width(tray.x);
                    self.tray_ui(ui, cx, Some(of), &photos);
                });
                let words = vec2(WORDS.max(ui.available_width()).min(420.0), tile.y);
                ui.allocate_ui_with_layout(words, Layout::top_down(Align::LEFT), |ui| {
                    ui.set_width(words.x.min(ui.available_width()));
                    self.words_ui(ui, cx, row);
                });
            });
        }
        self.open_ui(ui, cx, Some(of), &photos);
    }

    /// The caption, and the ways to take in photos.
    fn words_ui(&mut self, ui: &mut Ui, cx: &mut Cx<'_>, row: &Row) {
        let of = Thing::stone(row.no);
        if row.at == Standing::On {
            caption_ui(ui, cx, row.no);
            gap(ui, space::STEP);
        }
        ui.horizontal_wrapped(|ui| {
            ui.spacing_mut().item_spacing.x = 5.0 * space::STEP;
            if link(ui, labels::TAKE).accessible_name(labels::take(row.no)).clicked() {
                cx.act(Action::Pick(Purpose::Photos { tag: cx.tag, of: Some(of) }));
            }
            let open = self.typing == Some(row.no);
            if link(ui, labels::TAKE_BY_PATH).accessible_name(labels::take_by_path(row.no)).clicked() {
                self.typing = (!open).then_some(row.no);
            }
        });
        if self.typing == Some(row.no) {
            self.path_ui(ui, cx, of);
        }
    }

    /// The tray: every photo of a thing, the one that papers show with a line around it.
    pub(super) fn tray_ui(&mut self, ui: &mut Ui, cx: &mut Cx<'_>, of: Option<Thing>, photos: &[&Photo]) {
        if photos.is_empty() {
            let (rect, response) = ui.allocate_exact_size(self.tile, Sense::hover());
            response.widget_info(|| WidgetInfo::labeled(egui::Role::Label, true, labels::NO_PHOTO));
            paint(ui, rect, &Seen::Words(labels::NO_PHOTO.to_owned()));
        }
        let per_row = tiles_in(ui.available_width(), self.tile.x);
        let shown = of.and_then(|of| cx.held.order.sheet.photo_of(of)).map(|photo| photo.original);
        let mut first = 1;
        for chunk in photos.chunks(per_row) {
            ui.horizontal_top(|ui| {
                ui.spacing_mut().item_spacing.x = BETWEEN;
                for (place, photo) in (first..).zip(chunk) {
                    ui.allocate_ui_with_layout(self.tile, Layout::top_down(Align::LEFT), |ui| {
                        ui.set_width(self.tile.x);
                        ui.spacing_mut().item_spacing.y = space::STEP;
                        let on = shown == Some(photo.original);
                        self.tile_ui(ui, cx, photo, (place, photos.len()), on);
                    });
                }
            });
            first += chunk.len();
        }
    }

    /// The photo of a tray that is looked at large.
    pub(super) fn open_ui(&mut self, ui: &mut Ui, cx: &mut Cx<'_>, of: Option<Thing>, photos: &[&Photo]) {
        let open = self.large.as_ref().filter(|(large, ..)| *large == of).map(|(_, original, _)| *original);
        if let Some(place) = photos.iter().position(|photo| Some(photo.original) == open) {
            gap(ui, 2.0 * space::STEP);
            aside(ui, |ui| self.large_ui(ui, cx, photos, place));
        }
    }

    fn tile_ui(
        &mut self,
        ui: &mut Ui,
        cx: &mut Cx<'_>,
        photo: &Photo,
        (place, of): (usize, usize),
        on: bool,
    ) {
        let name = match photo.of {
            Some(thing) => labels::photo(thing.no, place, of),
            None => labels::loose_photo(place),
        };
        let response = photo_button(ui, cx, (photo.original, photo.kind), self.tile, (&name, on && of > 1));
        if response.clicked() {
            let same = self
                .large
                .as_ref()
                .is_some_and(|(thing, open, _)| (*thing, *open) == (photo.of, photo.original));
            self.large = (!same).then(|| (photo.of, photo.original, Glass::default()));
            self.opened = !same;
        }
        let tokens = Tokens::of(ui);
        if on && of > 1 {
            say(ui, Face::SecondStrong, tokens.ink_2, labels::SHOWN);
        }
        if !photo.caption.is_empty() {
            say(ui, Face::Second, tokens.ink_2, photo.caption.as_str());
        }
    }

    fn path_ui(&mut self, ui: &mut Ui, cx: &mut Cx<'_>, of: Thing) {
        let key = format!("order/show/path/{of}");
        let label = labels::path(of.no);
        let field = Field::new(&key, &label).wide(420.0).hint(labels::PATH_HINT);
        let response = form_line(ui, cx.drafts, field);
        let entered = entered(ui, &response);
        let pressed = plain_button(ui, labels::TAKE_IT).clicked();
        let typed = cx.drafts.text(&key).trim().to_owned();
        if (entered || pressed) && !typed.is_empty() {
            cx.act(Action::Picked(Purpose::Photos { tag: cx.tag, of: Some(of) }, vec![PathBuf::from(typed)]));
            cx.drafts.clear(&key);
            self.typing = None;
        }
    }
}

/// Title, outline in words, the tick, and the caption.
fn head_ui(ui: &mut Ui, cx: &mut Cx<'_>, row: &Row) {
    let tokens = Tokens::of(ui);
    let client = &cx.held.ledger.client;
    let sent = client.open_round().is_some() || client.chosen().next().is_some();
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing.x = space::ROW;
        heading(ui, labels::stone(row.no));
        let can = match row.at {
            Standing::On | Standing::Spare(_) => !sent,
            _ => false,
        };
        if can {
            tick_ui(ui, cx, row);
        }
    });
    say(ui, Face::Body, tokens.ink_2, row.phrases.as_str());
    if !row.at.words().is_empty() {
        say(
            ui,
            Face::Body,
            tokens.ink_2,
            format!("{}.", workbench::present::words::sentence_start(row.at.words())),
        );
    }
}

/// A word on how the stone came out, which the proof shows.
fn caption_ui(ui: &mut Ui, cx: &mut Cx<'_>, no: u8) {
    let Some(stone) = cx.held.order.sheet.stone(no) else { return };
    let key = format!("order/show/caption/{no}");
    let label = labels::caption(no);
    let field = Field::new(&key, &label).wide(0.0).hint(labels::CAPTION_HINT);
    if let Some(caption) = words(ui, cx.drafts, field, &stone.caption) {
        cx.sheet(|sheet| {
            if let Some(stone) = sheet.stones.iter_mut().find(|stone| stone.no == no) {
                stone.caption = caption;
            }
        });
    }
}

fn tick_ui(ui: &mut Ui, cx: &mut Cx<'_>, row: &Row) {
    let on = row.at == Standing::On;
    let name = labels::on_proof(row.no);
    ui.spacing_mut().item_spacing.x = 1.5 * space::STEP;
    if tick(ui, &name, on).on_hover_text(labels::OFF_WORDS).clicked() {
        match row.at {
            Standing::Spare(entry) => cx.fact(Fact::Struck { entry, why: Mistake::DidNotHappen }),
            _ => cx.fact(PourFact::SetAside { stone: row.no }),
        }
    }
    say(ui, Face::Body, Tokens::of(ui).ink_2, labels::ON_PROOF);
}

/// How large a photo stands in the tray of a page of this width.
pub(super) fn tile(width: f32) -> Vec2 {
    if width < WIDE { TILE } else { TILE_WIDE }
}

/// How many photos stand side by side.
fn tiles_in(width: f32, tile: f32) -> usize {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a handful of photos, at least one"
    )]
    let tiles = ((width + BETWEEN) / (tile + BETWEEN)).floor().max(1.0) as usize;
    tiles
}
