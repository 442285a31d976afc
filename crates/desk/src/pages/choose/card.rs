//! A stone that was shown, large: its photo, its outline in its colour, its number and what the proof said.

use egui::{Rect, Response, Sense, Stroke, StrokeKind, Ui, Vec2, WidgetInfo, pos2, vec2};
use workbench::present::choosing::Shown;
use workbench::present::labels::choose as labels;
use workbench::present::words;

use crate::cx::Cx;
use crate::draw::stone::{StonePicture, fit, stone};
use crate::look::{Face, Tokens, space};
use crate::widgets::photos::{paint, seen};

/// The width of one stone, and where the window is high.
const CARD: (f32, f32) = (196.0, 288.0);
/// From this height of the window on there is room for large pictures.
const HIGH: f32 = 940.0;
/// Between two of them.
const BETWEEN: f32 = 5.0 * space::STEP;
/// The outline beside the number, below a photo.
const SMALL: Vec2 = vec2(56.0, 44.0);
/// Around everything in a card.
const MARGIN: f32 = 2.0 * space::STEP;

/// The stones side by side; `chosen` has a second outline. Gives the one that was pressed, where they can be.
pub(super) fn row_ui(
    ui: &mut Ui,
    cx: &mut Cx<'_>,
    stones: &[Shown],
    (chosen, can_press): (Option<u8>, bool),
) -> Option<u8> {
    let mut pressed = None;
    // One scale for all, so that a larger stone looks larger.
    let photos = stones.iter().any(|shown| shown.photo.is_some());
    let high = ui.ctx().content_rect().height() >= HIGH;
    let wide = ui.available_width() >= 2.0 * CARD.1 + BETWEEN;
    let card = if high && wide { CARD.1 } else { CARD.0 };
    let inner = card - 2.0 * MARGIN;
    // A photo is four by three; without any, the outline has a little less.
    let picture = if photos { 0.75 * inner } else { 0.56 * inner };
    let room = if photos { SMALL } else { vec2(inner, picture) };
    let per_mm = fit(stones.iter().map(|shown| shown.mark.outline.as_ref()), room);
    for row in stones.chunks(cards_in(ui.available_width(), card)) {
        let words = row.iter().map(|shown| words_high(ui, shown, words_wide(inner, photos)));
        let high = words.fold(if photos { SMALL.y } else { 0.0 }, f32::max);
        ui.horizontal_top(|ui| {
            ui.spacing_mut().item_spacing.x = BETWEEN;
            for shown in row {
                let look = Look {
                    per_mm,
                    photos,
                    inner,
                    picture,
                    high,
                    chosen: chosen == Some(shown.mark.no),
                    can_press,
                };
                if card_ui(ui, cx, shown, &look).clicked() {
                    pressed = Some(shown.mark.no);
                }
            }
        });
        ui.add_space(3.0 * space::STEP);
    }
    pressed
}

/// How many cards stand side by side.
fn cards_in(width: f32, card: f32) -> usize {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a handful of cards, at least one"
    )]
    let cards = ((width + BETWEEN) / (card + BETWEEN)).floor().max(1.0) as usize;
    cards
}

struct Look {
    per_mm: f32,
    photos: bool,
    /// How wide what stands in a card is.
    inner: f32,
    /// How high its picture is.
    picture: f32,
    /// How high the words of this row are.
    high: f32,
    chosen: bool,
    can_press: bool,
}

/// How wide the words are: a small outline stands beside them.
const fn words_wide(inner: f32, photos: bool) -> f32 {
    if photos { inner - SMALL.x - 2.0 * space::STEP } else { inner }
}

fn words_high(ui: &Ui, shown: &Shown, wide: f32) -> f32 {
    let tokens = Tokens::of(ui);
    let painter = ui.painter();
    let galley =
        |words: &str, face: Face| painter.layout(words.to_owned(), face.font(), tokens.ink, wide).size().y;
    // The number, what is said of a chosen one, and the caption.
    let caption = if shown.caption.is_empty() { 0.0 } else { galley(&shown.caption, Face::Second) };
    galley("1", Face::Strong) + galley("1", Face::Second) + caption
}

fn card_ui(ui: &mut Ui, cx: &mut Cx<'_>, shown: &Shown, look: &Look) -> Response {
    let size = vec2(look.inner, look.picture + 2.0 * space::STEP + look.high) + Vec2::splat(2.0 * MARGIN);
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
    // Without a frame the pictures stand on the page's own edge.
    let inner = if look.can_press { rect.shrink(MARGIN) } else { rect.translate(vec2(0.0, MARGIN)) };
    let inner = Rect::from_min_size(inner.min, vec2(look.inner, inner.height()));
    let at = Rect::from_min_size(inner.min, vec2(look.inner, look.picture));
    let words = pos2(inner.left(), at.bottom() + 2.0 * space::STEP);
    let outline = if look.photos {
        photo_ui(ui, cx, shown, at);
        pos2(inner.right() - 0.5 * SMALL.x, words.y + 0.5 * SMALL.y)
    } else {
        at.center()
    };
    let picture = StonePicture { chosen: look.chosen, ..StonePicture::from(&shown.mark) };
    stone(ui.painter(), Tokens::of(ui), outline, look.per_mm, &picture);
    words_ui(ui, words, shown, look);
    response
}

fn photo_ui(ui: &Ui, cx: &mut Cx<'_>, shown: &Shown, at: Rect) {
    let tokens = Tokens::of(ui);
    if let Some(photo) = shown.photo {
        let seen = seen(ui, cx, photo, at.size());
        paint(ui, at, &seen);
        return;
    }
    ui.painter().rect_filled(at, space::RADIUS, tokens.tint);
    let centre = egui::Align2::CENTER_CENTER;
    ui.painter().text(at.center(), centre, labels::NO_PHOTO, Face::Second.font(), tokens.ink_3);
}

fn ground(ui: &Ui, rect: Rect, response: &Response, look: &Look) {
    if !look.can_press {
        return;
    }
    let tokens = Tokens::of(ui);
    let fill = if look.chosen { tokens.raised } else { tokens.page };
    let edge = match (response.has_focus(), look.chosen, response.hovered()) {
        (true, ..) => Stroke::new(2.0, tokens.accent),
        (_, true, _) => Stroke::new(1.5, tokens.accent),
        (.., true) => tokens.edge(),
        _ => tokens.hairline(),
    };
    ui.painter().rect(rect, space::RADIUS_WIDE, fill, edge, StrokeKind::Inside);
}

fn words_ui(ui: &Ui, at: egui::Pos2, shown: &Shown, look: &Look) {
    let tokens = Tokens::of(ui);
    let painter = ui.painter();
    let wide = words_wide(look.inner, look.photos);
    let mut top = at;
    let mut say = |words: String, face: Face, ink| {
        let galley = painter.layout(words, face.font(), ink, wide);
        let high = galley.size().y;
        painter.galley(top, galley, ink);
        top.y += high;
    };
    say(words::sentence_start(&labels::stone(shown.mark.no)), Face::Strong, tokens.ink);
    if look.chosen {
        let chosen = if look.can_press { labels::PICKED } else { labels::CHOSEN };
        say(chosen.to_owned(), Face::Second, tokens.ink_2);
    }
    if !shown.caption.is_empty() {
        say(shown.caption.clone(), Face::Second, tokens.ink_2);
    }
}
