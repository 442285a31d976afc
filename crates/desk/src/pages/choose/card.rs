//! A stone that was shown, large: its photo, its outline in its colour, its number and what the proof said.

use egui::{Rect, Response, Sense, Stroke, StrokeKind, Ui, Vec2, WidgetInfo, pos2, vec2};
use workbench::present::choosing::Shown;
use workbench::present::labels::choose as labels;
use workbench::present::words;

use super::super::pack::Thumbs;
use crate::cx::Cx;
use crate::draw::stone::{StonePicture, fit, stone};
use crate::look::{Face, Tokens, space};

/// The width of one stone.
const CARD: f32 = 196.0;
/// Between two of them.
const BETWEEN: f32 = 5.0 * space::STEP;
/// The photo.
const PHOTO: f32 = 140.0;
/// The outline below it.
const OUTLINE: f32 = 76.0;
/// Around everything in a card.
const MARGIN: f32 = 2.0 * space::STEP;

/// The stones side by side; `chosen` has a second outline. Gives the one that was pressed, where they can be.
pub(super) fn row_ui(
    ui: &mut Ui,
    cx: &mut Cx<'_>,
    thumbs: &mut Thumbs,
    stones: &[Shown],
    (chosen, can_press): (Option<u8>, bool),
) -> Option<u8> {
    let mut pressed = None;
    // One scale for all, so that a larger stone looks larger.
    let room = vec2(CARD - 2.0 * MARGIN, OUTLINE);
    let per_mm = fit(stones.iter().map(|shown| shown.mark.outline), room);
    let photos = stones.iter().any(|shown| shown.photo.is_some());
    for row in stones.chunks(cards_in(ui.available_width())) {
        let captions = row.iter().map(|shown| caption_high(ui, shown)).fold(0.0, f32::max);
        ui.horizontal_top(|ui| {
            ui.spacing_mut().item_spacing.x = BETWEEN;
            for shown in row {
                let look = Look { per_mm, photos, captions, chosen: chosen == Some(shown.mark.no), can_press };
                if card_ui(ui, cx, thumbs, shown, &look).clicked() {
                    pressed = Some(shown.mark.no);
                }
            }
        });
        ui.add_space(3.0 * space::STEP);
    }
    pressed
}

/// How many cards stand side by side.
fn cards_in(width: f32) -> usize {
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a handful of cards, at least one")]
    let cards = ((width + BETWEEN) / (CARD + BETWEEN)).floor().max(1.0) as usize;
    cards
}

struct Look {
    per_mm: f32,
    photos: bool,
    captions: f32,
    chosen: bool,
    can_press: bool,
}

fn caption_high(ui: &Ui, shown: &Shown) -> f32 {
    if shown.caption.is_empty() {
        return 0.0;
    }
    let width = CARD - 2.0 * MARGIN;
    let painter = ui.painter();
    painter.layout(shown.caption.clone(), Face::Second.font(), Tokens::of(ui).ink_2, width).size().y
}

fn card_ui(ui: &mut Ui, cx: &mut Cx<'_>, thumbs: &mut Thumbs, shown: &Shown, look: &Look) -> Response {
    let tokens = Tokens::of(ui);
    let photo_high = if look.photos { PHOTO + 2.0 * space::STEP } else { 0.0 };
    let lines = 40.0 + look.captions;
    let size = vec2(CARD, 2.0 * MARGIN + photo_high + OUTLINE + 2.0 * space::STEP + lines);
    let sense = if look.can_press { Sense::click() } else { Sense::hover() };
    let (rect, response) = ui.allocate_exact_size(size, sense);
    let no = shown.mark.no;
    response.widget_info(|| {
        let name = labels::stone(no);
        if look.can_press {
            WidgetInfo::selected(egui::Role::RadioButton, true, look.chosen, name)
        } else {
            WidgetInfo::labeled(egui::Role::Image, true, name)
        }
    });
    if !ui.is_rect_visible(rect) {
        return response;
    }
    ground(ui, rect, &response, look);
    let inner = rect.shrink(MARGIN);
    let mut top = inner.top();
    if look.photos {
        let at = Rect::from_min_size(pos2(inner.left(), top), vec2(inner.width(), PHOTO));
        match shown.photo {
            Some(photo) => thumbs.paint(ui, cx, photo, at),
            None => {
                ui.painter().rect_filled(at, space::RADIUS, tokens.tint);
                let font = Face::Second.font();
                let centre = egui::Align2::CENTER_CENTER;
                ui.painter().text(at.center(), centre, labels::NO_PHOTO, font, tokens.ink_3);
            }
        }
        top += photo_high;
    }
    let middle = pos2(inner.center().x, top + 0.5 * OUTLINE);
    let picture = StonePicture { chosen: look.chosen, ..StonePicture::from(&shown.mark) };
    stone(ui.painter(), tokens, middle, look.per_mm, &picture);
    top += OUTLINE + 2.0 * space::STEP;
    words_ui(ui, pos2(inner.left(), top), shown, look);
    response
}

fn ground(ui: &Ui, rect: Rect, response: &Response, look: &Look) {
    let tokens = Tokens::of(ui);
    let chosen = look.chosen && look.can_press;
    let warm = look.can_press && (response.hovered() || response.has_focus());
    if !chosen && !warm {
        if look.can_press {
            ui.painter().rect_stroke(rect, space::RADIUS_WIDE, tokens.hairline(), StrokeKind::Inside);
        }
        return;
    }
    let fill = if chosen { tokens.raised } else { tokens.page };
    let edge = match (response.has_focus(), chosen) {
        (true, _) => Stroke::new(2.0, tokens.accent),
        (false, true) => Stroke::new(1.5, tokens.accent),
        (false, false) => tokens.edge(),
    };
    ui.painter().rect(rect, space::RADIUS_WIDE, fill, edge, StrokeKind::Inside);
}

fn words_ui(ui: &Ui, at: egui::Pos2, shown: &Shown, look: &Look) {
    let tokens = Tokens::of(ui);
    let painter = ui.painter();
    let title = words::sentence_start(&labels::stone(shown.mark.no));
    let title = painter.layout_no_wrap(title, Face::Strong.font(), tokens.ink);
    let under = at + vec2(0.0, title.size().y);
    let beside = at + vec2(title.size().x + 2.0 * space::STEP, 1.0);
    painter.galley(at, title, tokens.ink);
    if look.chosen {
        let words = if look.can_press { labels::PICKED } else { labels::CHOSEN };
        painter.text(beside, egui::Align2::LEFT_TOP, words, Face::Second.font(), tokens.ink_2);
    }
    let room: Vec2 = vec2(CARD - 2.0 * MARGIN, look.captions);
    let caption = painter.layout(shown.caption.clone(), Face::Second.font(), tokens.ink_2, room.x);
    painter.galley(under, caption, tokens.ink_2);
}
