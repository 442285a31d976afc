//! A wait as a large ring with its digits, to be read from two metres.

use egui::{Align2, FontId, Sense, Ui, WidgetInfo, vec2};
use workbench::present::labels::pour as label;
use workbench::present::{pour_words, words};
use workbench::waits::{Kind, Standing, Wait};

use crate::draw::ring::{WaitRing, Waiting, ring};
use crate::look::{Face, Tokens};

/// The widest ring on the page, in points.
const WIDEST: f32 = 400.0;
/// The smallest that can still be read.
const SMALLEST: f32 = 80.0;
/// Below this the words stand beside it.
const WORDS_IN: f32 = 150.0;
/// The room for the button under it and the key that does the same.
pub(super) const BELOW: f32 = 96.0;
/// How much of the inner width the digits take.
const DIGITS: f32 = 0.84;

/// The ring, as large as `room` allows; gives the words that did not find room in it.
pub(super) fn ui(ui: &mut Ui, no: u8, wait: &Wait, room: f32) -> Option<String> {
    let tokens = Tokens::of(ui);
    let high = room.clamp(SMALLEST, WIDEST);
    let across = high.min(ui.available_width());
    let (rect, response) = ui.allocate_exact_size(vec2(across, across), Sense::hover());
    let digits = words::clock(wait.remaining());
    let under = under(wait, no);
    response.widget_info(|| WidgetInfo::labeled(egui::Role::Label, true, format!("{digits}, {under}")));
    #[expect(clippy::cast_possible_truncation, reason = "a fraction for a drawing")]
    let fraction = (wait.passed.s() / wait.planned.s().max(1e-6)).clamp(0.0, 1.0) as f32;
    let waiting = if wait.kind == Kind::Light { Waiting::Light } else { Waiting::Other };
    let painter = ui.painter();
    ring(painter, tokens, rect.center(), &WaitRing::large(fraction, waiting, 0.5 * across));
    let inner = across * 0.86;
    let full = Face::Lamp.font();
    let set = |size: f32| {
        painter.layout_no_wrap(digits.clone(), FontId::new(size, full.family.clone()), tokens.ink)
    };
    let galley = set(full.size);
    // Long digits, such as an hour's, are set smaller rather than over the ring.
    let size = full.size * (DIGITS * inner / galley.size().x).min(1.0);
    let galley = if size < full.size { set(size) } else { galley };
    let is_alone = across < WORDS_IN;
    let lift = if is_alone { 0.0 } else { 0.08 * galley.size().y };
    let at = rect.center() - 0.5 * galley.size() - vec2(0.0, lift);
    painter.galley(at, galley, tokens.ink);
    if is_alone {
        return Some(under);
    }
    let words_size = (0.055 * across).clamp(Face::Second.font().size, Face::LampWords.font().size);
    let font = FontId::new(words_size, Face::LampWords.font().family);
    let below = rect.center() + vec2(0.0, 0.5 * size + 0.01 * across);
    painter.text(below, Align2::CENTER_CENTER, under, font, tokens.ink_2);
    None
}

/// What stands under the digits.
fn under(wait: &Wait, no: u8) -> String {
    match (wait.kind, wait.standing) {
        (Kind::Light, _) => pour_words::under(wait, no),
        (_, Standing::Over) => label::RING_OVER.to_owned(),
        (_, Standing::Unsure) => label::RING_AT_MOST.to_owned(),
        (_, Standing::Running) => label::ring_of(wait.planned),
    }
}
