//! How a figure was worked out: plain words, values, formula, source.

use egui::Ui;
use workbench::present::labels::common as labels;
use workbench::present::plan_words::Explained;
use workbench::present::words;

use super::{fold, gap, heading, say};
use crate::look::{Face, Tokens, space};

/// One figure: what it is, what it rests on in plain words, the values that went in, then the formula and where it comes
/// from.
pub fn explained(ui: &mut Ui, explained: &Explained) {
    let tokens = Tokens::of(ui);
    heading(ui, words::sentence_start(explained.title));
    say(ui, Face::Body, tokens.ink, explained.plain);
    for (name, value) in &explained.values {
        ui.horizontal_wrapped(|ui| {
            say(ui, Face::Second, tokens.ink_3, format!("{name}:"));
            say(ui, Face::Second, tokens.ink, value.as_str());
        });
    }
    say(ui, Face::Second, tokens.ink_3, labels::formula(explained.formula));
    say(ui, Face::Second, tokens.ink_3, labels::source(explained.source));
    gap(ui, 3.0 * space::STEP);
}

/// The fold at the end of a page that shows figures: how each of them was worked out, put together only once it stands
/// open. Nothing is shown where nothing was worked out.
pub fn explain(ui: &mut Ui, open: &mut bool, all: Option<impl FnOnce() -> Vec<Explained>>) {
    let Some(all) = all else { return };
    gap(ui, 4.0 * space::STEP);
    if fold(ui, labels::EXPLAIN, open) {
        gap(ui, 3.0 * space::STEP);
        for one in all() {
            explained(ui, &one);
        }
    }
}
