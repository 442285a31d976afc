//! What is to be said over the shelf: why something was refused, what failed, and what would be taken back.

use egui::Ui;
use workbench::action::Action;
use workbench::present::labels::shell as labels;
use workbench::present::words::sentence_start;
use workbench::state::Notice;
use workbench::view::View;

use crate::cx::Wish;
use crate::look::{Face, Tokens, space};
use crate::widgets::{gap, link, note, say};

/// The oldest that nobody has put away.
pub(super) fn ui(ui: &mut Ui, view: &View<'_>, wishes: &mut Vec<Wish>) {
    let tokens = Tokens::of(ui);
    if let Some(gone) = view.folder_words() {
        say(ui, Face::Strong, tokens.care, gone);
        gap(ui, 2.0 * space::STEP);
    }
    let Some(notice) = view.notice else { return };
    let (words, ink) = match notice {
        Notice::Refused { why, .. } => (labels::not_yet(why), tokens.care),
        Notice::Failed(why) => (format!("{}.", sentence_start(why)), tokens.care),
        Notice::Said(words) => (format!("{}.", sentence_start(words)), tokens.ink),
    };
    note(ui, |ui| {
        ui.spacing_mut().item_spacing.x = 4.0 * space::STEP;
        say(ui, Face::Body, ink, words);
        if let (Notice::Refused { remedy: Some(edit), .. }, Some(mend)) = (notice, view.remedy_words())
            && link(ui, &mend).clicked()
        {
            wishes.push(Wish::Act(Action::Edit((**edit).clone())));
        }
        if link(ui, labels::PUT_AWAY).clicked() {
            wishes.push(Wish::Act(Action::Dismiss));
        }
    });
    gap(ui, 3.0 * space::STEP);
}

/// What would be taken back, where something can.
pub(super) fn undo_ui(ui: &mut Ui, view: &View<'_>, wishes: &mut Vec<Wish>) {
    if let Ok(words) = view.undo_words()
        && link(ui, &words).on_hover_text(labels::UNDO_KEY).clicked()
    {
        wishes.push(Wish::Act(Action::Undo));
    }
    ui.add_space(3.0 * space::STEP);
    if let Ok(words) = view.redo_words()
        && link(ui, &words).on_hover_text(labels::REDO_KEY).clicked()
    {
        wishes.push(Wish::Act(Action::Redo));
    }
}
