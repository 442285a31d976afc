//! The pouring card: a row of small filled moulds, one for each pour.

use craft::planner::Plan;
use egui::{Align, Layout, Rect, Sense, Ui, vec2};
use workbench::present::plan_words::{LayerCard, PlanCard};

use super::super::common::columns_in;
use super::Shown;
use crate::draw::pour::{LayerFill, PourPicture, layer_colour, pour, size};
use crate::look::{Face, Tokens, space};
use crate::widgets::{gap, say};
use workbench::present::labels::plan as labels;

/// The width of one pour with its words.
const COLUMN: f32 = 124.0;
/// Between two of them.
const BETWEEN: f32 = 22.0;
/// The room for one mould.
const MOULD: egui::Vec2 = vec2(COLUMN, 96.0);

/// The colours of a plan's layers, from the face.
pub(in crate::pages) fn fills(
    plan: &Plan,
    card: &PlanCard,
    colour: Option<(u8, u8, u8)>,
    tokens: &Tokens,
) -> Vec<LayerFill> {
    let deepest = plan.layers.iter().map(|layer| layer.load.percent()).fold(0.0, f64::max).max(1e-9);
    let layers = plan.layers.iter().zip(&card.layers);
    layers
        .map(|(layer, words)| {
            #[expect(clippy::cast_possible_truncation, reason = "a fraction for a drawing")]
            let depth = (layer.load.percent() / deepest) as f32;
            LayerFill { top: words.filled_to, colour: layer_colour(tokens, words.kind, colour, depth) }
        })
        .collect()
}

pub(super) fn ui(ui: &mut Ui, shown: &Shown) {
    let tokens = Tokens::of(ui);
    let fills = fills(&shown.plan, &shown.card, shown.colour, tokens);
    let all: Vec<(usize, &LayerCard)> = shown.card.layers.iter().enumerate().collect();
    for row in all.chunks(columns_in(ui.available_width() + BETWEEN, COLUMN + BETWEEN)) {
        ui.horizontal_top(|ui| {
            ui.spacing_mut().item_spacing.x = BETWEEN;
            for (place, words) in row {
                ui.allocate_ui_with_layout(vec2(COLUMN, 190.0), Layout::top_down(Align::LEFT), |ui| {
                    ui.set_width(COLUMN);
                    let layers = fills.get(..=*place).unwrap_or_default();
                    mould_ui(ui, shown, layers, words);
                    gap(ui, space::STEP);
                    layer_ui(ui, words);
                });
            }
        });
        gap(ui, 2.0 * space::STEP);
    }
}

fn mould_ui(ui: &mut Ui, shown: &Shown, layers: &[LayerFill], words: &LayerCard) {
    let tokens = Tokens::of(ui);
    let (rect, response) = ui.allocate_exact_size(MOULD, Sense::hover());
    let fit = size(&shown.cavity, MOULD);
    let at = Rect::from_min_size(egui::pos2(rect.left(), rect.bottom() - fit.y), fit);
    let picture = PourPicture {
        cavity: &shown.cavity,
        layers,
        newest: layers.len().checked_sub(1),
        material: shown.material,
        mark: true,
    };
    pour(ui.painter(), tokens, at, &picture);
    response.on_hover_text(words.fill.as_str());
}

fn layer_ui(ui: &mut Ui, words: &LayerCard) {
    let tokens = Tokens::of(ui);
    ui.spacing_mut().item_spacing.y = 0.0;
    say(ui, Face::Strong, tokens.ink, words.name);
    say(
        ui,
        Face::Second,
        tokens.ink_2,
        if words.pigment.is_empty() { labels::CLEAR } else { &words.pigment },
    );
    gap(ui, 2.0 * space::STEP);
    for (label, value) in &words.rows {
        let face = if *label == "light" { Face::SecondStrong } else { Face::Second };
        let painter = ui.painter();
        let said = painter.layout(value.clone(), face.font(), tokens.ink, COLUMN - LABEL);
        let (rect, response) = ui.allocate_exact_size(vec2(COLUMN, said.size().y.max(17.0)), Sense::hover());
        response
            .widget_info(|| egui::WidgetInfo::labeled(egui::Role::Label, true, format!("{label} {value}")));
        let painter = ui.painter();
        painter.text(rect.left_top(), egui::Align2::LEFT_TOP, label, Face::Second.font(), tokens.ink_3);
        painter.galley(rect.left_top() + vec2(LABEL, 0.0), said, tokens.ink);
    }
}

/// The column of "lay", "wait", "light", "cool".
const LABEL: f32 = 40.0;
