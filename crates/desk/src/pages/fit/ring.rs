//! The ring size of the order on one axis with every system's sizes.

use craft::units::Length;
use egui::{Align2, Rect, Sense, Stroke, Ui, pos2, vec2};
use workbench::fitting::{self, RingScale};
use workbench::present::fit_words;
use workbench::present::labels::fit as label;

use crate::cx::Cx;
use crate::look::{Face, Tokens, space};
use crate::widgets::{gap, heading, say, second};

/// How far the axis reaches on each side.
const AROUND: Length = Length::from_micro(4_000_000);
/// The column of the systems.
const NAME: f32 = 170.0;
/// One system.
const ROW: f32 = 30.0;
/// The widest the axis grows.
const WIDEST: f32 = 640.0;

/// The axis as it was last worked out: it is worked out anew only where the sheet says another size.
#[derive(Debug, Default)]
pub(super) struct Ring {
    text: String,
    read: Option<(Length, Vec<RingScale>)>,
}

impl Ring {
    pub(super) fn ui(&mut self, ui: &mut Ui, cx: &Cx<'_>) {
        let text = cx.held.order.sheet.ring.as_str();
        if text.is_empty() {
            return;
        }
        if self.text != text {
            text.clone_into(&mut self.text);
            self.read = fitting::ring(text).map(|size| (size, fitting::ring_scales(size, AROUND)));
        }
        let tokens = Tokens::of(ui);
        heading(ui, label::RING);
        match &self.read {
            None => {
                say(ui, Face::Body, tokens.ink, text);
                second(ui, label::RING_UNREAD);
            }
            Some((size, scales)) => {
                say(ui, Face::Body, tokens.ink_2, format!("{text}: {}", fit_words::ring(*size)));
                gap(ui, 2.0 * space::STEP);
                axis_ui(ui, *size, scales);
            }
        }
        gap(ui, 5.0 * space::STEP);
    }
}

#[expect(clippy::cast_possible_truncation, reason = "a place in a drawing")]
fn axis_ui(ui: &mut Ui, size: Length, scales: &[RingScale]) {
    let tokens = Tokens::of(ui);
    let wide = ui.available_width().min(NAME + WIDEST);
    let high = ROW * scales.len() as f32;
    let (rect, _) = ui.allocate_exact_size(vec2(wide, high), Sense::hover());
    let axis = Rect::from_min_max(pos2(rect.left() + NAME + 12.0, rect.top()), rect.max - vec2(12.0, 0.0));
    let x = |at: Length| {
        let part = (at - size).mm() / AROUND.mm();
        axis.center().x + 0.5 * axis.width() * part as f32
    };
    let painter = ui.painter();
    for (row, scale) in (0_u8..).zip(scales) {
        let y = rect.top() + ROW * (f32::from(row) + 0.5);
        let name = fit_words::system(scale.system);
        painter.text(pos2(rect.left(), y), Align2::LEFT_CENTER, name, Face::Second.font(), tokens.ink_3);
        painter.hline(axis.x_range(), y + 9.0, tokens.hairline());
        // The ring itself, between the names and not through them.
        painter.vline(x(size), (y + 9.0)..=(y + ROW - 9.0), Stroke::new(1.5, tokens.accent));
        let nearest = scale.ticks.iter().min_by_key(|(_, at)| (*at - size).abs()).map(|(_, at)| *at);
        let mut free = f32::NEG_INFINITY;
        for (token, at) in &scale.ticks {
            let is_nearest = Some(*at) == nearest;
            let (face, ink) =
                if is_nearest { (Face::SecondStrong, tokens.ink) } else { (Face::Second, tokens.ink_2) };
            let galley = painter.layout_no_wrap(token.clone(), face.font(), ink);
            let half = 0.5 * galley.size().x;
            painter.vline(x(*at), (y + 9.0)..=(y + 12.0), Stroke::new(1.0, tokens.ink_3));
            // Only names that have room, and always the nearest, which keeps room free on both sides.
            let apart = nearest.map_or(f32::MAX, |nearest| (x(nearest) - x(*at)).abs());
            if is_nearest || (x(*at) - half > free && apart > 2.0 * half + 8.0) {
                painter.galley(pos2(x(*at) - half, y - 0.5 * galley.size().y), galley, ink);
                free = x(*at) + half + 6.0;
            }
        }
    }
}
