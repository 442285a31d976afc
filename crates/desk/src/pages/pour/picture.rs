//! The mould as it is filled now, with the layer at hand and its fill-to-here mark.

use craft::order::StoneSheet;
use craft::units::Length;
use egui::{Rect, Sense, Ui, vec2};
use workbench::pouring::Step;
use workbench::present::{pour_words, stone_words};

use super::Now;
use crate::cx::Cx;
use crate::draw::pour::{LayerFill, PourPicture, layer_colour, pour, size};
use crate::look::{Face, Tokens, space};
use crate::widgets::{gap, say};

/// The most room it takes.
const ROOM: egui::Vec2 = vec2(420.0, 300.0);

pub(super) fn ui(ui: &mut Ui, cx: &Cx<'_>, now: &Now<'_>) {
    let tokens = Tokens::of(ui);
    let Some(sheet) = cx.held.order.sheet.stone(now.no) else { return };
    if let Ok(cavity) = cx.view.studio.cavity_of(sheet) {
        let fills = fills(cx, now, sheet, tokens);
        let material = cx.view.studio.materials_of(cx.tag, sheet).ok().and_then(|all| all.first().copied());
        let high = (ui.clip_rect().height() - 160.0).clamp(120.0, ROOM.y);
        let fit = size(&cavity, vec2(ui.available_width().min(ROOM.x), high));
        let (rect, response) = ui.allocate_exact_size(fit, Sense::hover());
        let picture = PourPicture {
            cavity: &cavity,
            layers: &fills,
            newest: fills.len().checked_sub(1),
            material: material.filter(|_| !fills.is_empty()),
            mark: true,
        };
        pour(ui.painter(), tokens, Rect::from_min_size(rect.min, fit), &picture);
        response.on_hover_text(stone_words::phrases(cx.view.studio, sheet).join("  ·  "));
        gap(ui, 2.0 * space::STEP);
    }
    let then = pour_words::then(cx.held, now.no, now.step);
    if !then.is_empty() {
        say(ui, Face::Heading, tokens.ink, then);
    }
    if !matches!(now.step, Step::Lay(_))
        && let Some(next) = pour_words::next_layer(cx.view.studio, cx.held, now.no)
    {
        say(ui, Face::Body, tokens.ink_2, next);
    }
    if now.step.wait().is_some() && ui.clip_rect().height() >= super::LOW {
        super::cares_ui(ui, now.step);
    }
}

/// The layers as they were laid, and the one that is to be laid now.
fn fills(cx: &Cx<'_>, now: &Now<'_>, sheet: &StoneSheet, tokens: &Tokens) -> Vec<LayerFill> {
    let colour = stone_words::colour(cx.view.studio, sheet);
    let laid = cx.held.ledger.pours.stones.get(&now.no).map_or(&[][..], |stone| stone.layers.as_slice());
    let mut all: Vec<_> = laid.iter().map(|layer| (layer.kind, layer.thickness, layer.load)).collect();
    if let Step::Lay(lay) = now.step {
        all.push((lay.kind, lay.thickness, lay.load));
    }
    let planned = sheet.plan.iter().flat_map(|plan| &plan.layers).map(|layer| layer.load.percent());
    let deepest = planned.chain(all.iter().map(|(_, _, load)| load.percent())).fold(1e-9, f64::max);
    let mut top = Length::ZERO;
    all.into_iter()
        .map(|(kind, thickness, load)| {
            top = top + thickness;
            #[expect(clippy::cast_possible_truncation, reason = "a fraction for a drawing")]
            let depth = (load.percent() / deepest) as f32;
            LayerFill { top, colour: layer_colour(tokens, kind, colour, depth) }
        })
        .collect()
}
