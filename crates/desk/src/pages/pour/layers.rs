//! The layers of a stone: those that are laid with how they came out, and the rest of the plan.

use egui::{Align, Layout, Ui, vec2};
use workbench::present::labels::pour as label;
use workbench::present::pour_words;

use crate::cx::Cx;
use crate::look::{Face, Tokens, space};
use crate::widgets::{gap, heading, rule, say};

/// The column of what a layer is.
const NAME: f32 = 170.0;

pub(super) fn ui(ui: &mut Ui, cx: &Cx<'_>, no: u8) {
    let rows = pour_words::layers(cx.view.studio, cx.held, no, cx.view.now);
    if rows.is_empty() {
        return;
    }
    let tokens = Tokens::of(ui);
    heading(ui, label::LAYERS);
    gap(ui, space::STEP);
    for row in &rows {
        rule(ui);
        ui.horizontal_top(|ui| {
            ui.spacing_mut().item_spacing.x = space::ROW;
            let ink = if row.laid { tokens.ink } else { tokens.ink_3 };
            ui.allocate_ui_with_layout(vec2(NAME, 20.0), Layout::top_down(Align::LEFT), |ui| {
                ui.set_width(NAME);
                say(ui, if row.laid { Face::Strong } else { Face::Body }, ink, row.name.as_str());
            });
            let room = ui.available_width();
            ui.allocate_ui_with_layout(vec2(room, 20.0), Layout::top_down(Align::LEFT), |ui| {
                ui.set_width(room);
                say(ui, Face::Body, if row.laid { tokens.ink_2 } else { tokens.ink_3 }, row.words.as_str());
            });
        });
        gap(ui, space::STEP);
    }
    gap(ui, 4.0 * space::STEP);
}
