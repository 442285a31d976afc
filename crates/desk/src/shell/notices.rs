//! What is to be said, over the page: why something was refused and what would mend it, what failed, what is done.

use egui::{Align, Frame, Layout, Margin, Ui};
use workbench::action::Action;
use workbench::state::Notice;
use workbench::view::View;

use crate::cx::Wish;
use crate::look::{Face, Tokens, space};
use crate::widgets::{gap, link, say};

/// The oldest that nobody has put away.
pub(super) fn ui(ui: &mut Ui, view: &View<'_>, wishes: &mut Vec<Wish>) {
    let Some(notice) = view.notice else { return };
    let tokens = Tokens::of(ui);
    let (words, ink) = match notice {
        Notice::Refused { why, .. } => (format!("Not yet: {why}."), tokens.care),
        Notice::Failed(why) => (format!("{}.", workbench::present::words::sentence_start(why)), tokens.care),
        Notice::Said(words) => (format!("{}.", workbench::present::words::sentence_start(words)), tokens.ink),
    };
    let frame = Frame::new().fill(tokens.tint).corner_radius(space::RADIUS_WIDE).inner_margin(Margin::symmetric(16, 9));
    frame.show(ui, |ui| {
        ui.set_width(ui.available_width());
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            if link(ui, "put away").clicked() {
                wishes.push(Wish::Act(Action::Dismiss));
            }
            if let Notice::Refused { remedy: Some(edit), .. } = notice {
                let mend = workbench::present::undo_words::edit_label(edit, view.studio);
                if link(ui, &mend).clicked() {
                    wishes.push(Wish::Act(Action::Edit((**edit).clone())));
                }
            }
            ui.with_layout(Layout::left_to_right(Align::Center).with_main_wrap(true), |ui| {
                say(ui, Face::Body, ink, words);
            });
        });
    });
    gap(ui, 3.0 * space::STEP);
}
