//! A row of a list: what an item is called and what it is, with its colour or outline where it has one.

use craft::geometry::Outline;
use craft::shelf::What;
use craft::units::Length;
use egui::{Response, Sense, Stroke, StrokeKind, Ui, WidgetInfo, pos2, vec2};
use workbench::present::shelf_words::Row;

use crate::draw::stone::{StonePicture, fit, stone};
use crate::look::{Face, Tokens, space};

/// The height of a row.
const HEIGHT: f32 = 46.0;
/// The room of its picture.
const PICTURE: f32 = 38.0;
/// A drop of colour.
const DROP: Outline = Outline::Round { diameter: Length::from_micro(10_000_000) };

/// What is drawn of an item; resins, lamps and scales look alike and are told by their names.
fn picture(what: &What) -> Option<StonePicture> {
    let (outline, colour) = match what {
        What::Pigment(pigment) => (DROP, Some(pigment.colour)),
        What::Mould(mould) => (mould.cavity.outline(), None),
        What::Setting(setting) => (setting.opening.clone(), None),
        What::Resin(_) | What::Lamp(_) | What::Scale(_) => return None,
    };
    Some(StonePicture { outline: Some(outline), colour, begun: colour.is_some(), chosen: false })
}

/// Points per millimetre for all pictures of a list.
pub(super) fn scale<'a>(rows: impl Iterator<Item = &'a Row<'a>>) -> f32 {
    let outlines: Vec<Outline> =
        rows.filter_map(|row| picture(&row.item.what).and_then(|picture| picture.outline)).collect();
    fit(outlines.iter().map(Some), vec2(PICTURE, PICTURE))
}

/// One row, named by its words, its picture in the list's scale; clicked where it is to be opened.
pub(super) fn row(ui: &mut Ui, row: &Row<'_>, per_mm: f32, open: bool) -> Response {
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
        let centre = pos2(left + 0.5 * PICTURE, rect.center().y);
        stone(painter, tokens, centre, per_mm, &picture);
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
    let top = rect.center().y - f32::midpoint(title.size().y, words.size().y);
    let under = top + title.size().y;
    painter.galley(pos2(left, top), title, tokens.ink);
    painter.galley(pos2(left, under), words, tokens.ink_2);
    response.on_hover_text(name)
}
