//! A row of a list: what an item is called and what it is, with its colour or outline where it has one.

use craft::geometry::Outline;
use craft::shelf::What;
use craft::units::Length;
use egui::{Rect, Response, Sense, Stroke, StrokeKind, Ui, WidgetInfo, pos2, vec2};
use workbench::present::shelf_words::Row;

use crate::draw::stone::{StonePicture, stone_in};
use crate::look::{Face, Tokens, space};

/// The height of a row.
const HEIGHT: f32 = 46.0;
/// The room of its picture.
const PICTURE: f32 = 34.0;
/// A drop of colour.
const DROP: Outline = Outline::Round { diameter: Length::from_micro(10_000_000) };

/// What is drawn of an item; resins and lamps look alike and are told by their names.
fn picture(what: &What) -> Option<StonePicture> {
    let (outline, colour) = match what {
        What::Pigment(pigment) => (DROP, Some(pigment.colour)),
        What::Mould(mould) => (mould.cavity.outline(), None),
        What::Setting(setting) => (setting.opening, None),
        What::Resin(_) | What::Lamp(_) => return None,
    };
    Some(StonePicture { outline: Some(outline), colour, begun: colour.is_some(), chosen: false })
}

/// One row, named by its words; clicked where it is to be opened.
pub(super) fn row(ui: &mut Ui, row: &Row<'_>, open: bool) -> Response {
    let tokens = Tokens::of(ui);
    let (rect, response) = ui.allocate_exact_size(vec2(ui.available_width(), HEIGHT), Sense::click());
    let name = format!("{}, {}", row.item.name, row.words);
    response.widget_info(|| WidgetInfo::selected(egui::Role::Button, true, open, name.as_str()));
    if !ui.is_rect_visible(rect) {
        return response;
    }
    let painter = ui.painter();
    if open || response.hovered() || response.has_focus() {
        let fill = if open { tokens.raised } else { tokens.tint };
        let edge = if response.has_focus() { Stroke::new(1.5, tokens.accent) } else { tokens.hairline() };
        painter.rect(rect, space::RADIUS_WIDE, fill, edge, StrokeKind::Inside);
    }
    let mut left = rect.left() + 2.0 * space::STEP;
    if let Some(picture) = picture(&row.item.what) {
        let size = vec2(PICTURE, PICTURE);
        let place = Rect::from_center_size(pos2(left + 0.5 * PICTURE, rect.center().y), size);
        stone_in(painter, tokens, place.shrink(space::STEP), &picture);
        left += PICTURE + 2.0 * space::STEP;
    }
    let room = (rect.right() - left - 2.0 * space::STEP).max(40.0);
    let set = |words: &str, face: Face, ink| {
        let mut job = egui::text::LayoutJob::simple_singleline(words.to_owned(), face.font(), ink);
        job.wrap = egui::text::TextWrapping::truncate_at_width(room);
        painter.layout_job(job)
    };
    let ink = if row.item.retired { tokens.ink_2 } else { tokens.ink };
    let title = set(row.item.name.as_str(), if open { Face::Strong } else { Face::Body }, ink);
    let words = set(&row.words, Face::Second, tokens.ink_2);
    let top = rect.center().y - (title.size().y + words.size().y) / 2.0;
    let under = top + title.size().y;
    painter.galley(pos2(left, top), title, tokens.ink);
    painter.galley(pos2(left, under), words, tokens.ink_2);
    response.on_hover_text(name)
}
