//! How a figure was worked out: formula, values, source.

use egui::Ui;
use workbench::present::labels::plan as labels;
use workbench::present::plan_words::Explained;
use workbench::present::words;

use super::{gap, heading, say};
use crate::look::{Face, Tokens, space};

/// One figure: what it is, the formula in words, the values that went in, and where it comes from.
pub fn explained(ui: &mut Ui, explained: &Explained) {
    let tokens = Tokens::of(ui);
    heading(ui, words::sentence_start(explained.title));
    say(ui, Face::Body, tokens.ink_2, explained.formula);
    for (name, value) in &explained.values {
        ui.horizontal_wrapped(|ui| {
            say(ui, Face::Second, tokens.ink_3, format!("{name}:"));
            say(ui, Face::Second, tokens.ink, value.as_str());
        });
    }
    say(ui, Face::Second, tokens.ink_3, labels::source(explained.source));
    gap(ui, 3.0 * space::STEP);
}
