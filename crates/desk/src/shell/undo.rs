//! What would be taken back, and what made again.

use egui::Ui;
use workbench::action::Action;
use workbench::present::labels::shell as labels;
use workbench::view::View;

use crate::cx::Wish;
use crate::look::{Face, Tokens};
use crate::widgets::link;

/// What would be taken back, or why nothing can be.
pub(crate) fn undo_ui(ui: &mut Ui, view: &View<'_>, wishes: &mut Vec<Wish>) {
    let tokens = Tokens::of(ui);
    match view.undo_words() {
        Ok(words) => {
            if link(ui, &words).on_hover_text(labels::UNDO_KEY).clicked() {
                wishes.push(Wish::Act(Action::Undo));
            }
        }
        Err(why) => {
            ui.add(
                egui::Label::new(egui::RichText::new(why).font(Face::Second.font()).color(tokens.ink_3))
                    .truncate(),
            );
        }
    }
    if let Ok(words) = view.redo_words()
        && link(ui, &words).on_hover_text(labels::REDO_KEY).clicked()
    {
        wishes.push(Wish::Act(Action::Redo));
    }
}
