//! What is to be said, over the page: why something was refused and what would mend it, what failed, what is done.

use std::collections::VecDeque;

use egui::{Frame, Margin, Ui};
use workbench::action::{Action, Nav};
use workbench::handling::mending;
use workbench::state::Notice;
use workbench::view::View;

use crate::cx::Wish;
use crate::look::{Face, Tokens, space};
use crate::widgets::{gap, link, say};
use workbench::present::labels::{keeping, shell as labels};
use workbench::present::words::sentence;

/// True where something is to be said.
pub(super) fn is_any(view: &View<'_>, said: &VecDeque<String>) -> bool {
    view.notice.is_some() || view.folder.is_some() || trouble(view).is_some() || !said.is_empty()
}

/// What could not be saved; safe keeping says it by itself.
fn trouble(view: &View<'_>) -> Option<String> {
    view.saving_trouble().filter(|_| view.nav != Nav::Keeping)
}

/// The oldest that nobody has put away, and what the computer under the window had to say.
pub(super) fn ui(ui: &mut Ui, view: &View<'_>, said: &mut VecDeque<String>, wishes: &mut Vec<Wish>) {
    let tokens = Tokens::of(ui);
    // While the folder is gone nothing else is wrong with saving.
    if let Some(gone) = view.folder_words() {
        say(ui, Face::Strong, tokens.care, sentence(&gone));
        gap(ui, 2.0 * space::STEP);
    } else if let Some(trouble) = trouble(view) {
        trouble_ui(ui, &trouble, wishes);
    }
    if let Some(words) = said.front().cloned()
        && bar_ui(ui, &words, labels::PUT_AWAY_SAID, tokens.ink, |_| {})
    {
        said.pop_front();
    }
    let Some(notice) = view.notice else { return };
    let (words, ink) = match notice {
        Notice::Refused { why, .. } => (labels::not_yet(why), tokens.care),
        Notice::Failed(why) => (format!("{}.", workbench::present::words::sentence_start(why)), tokens.care),
        Notice::Said(words) => (format!("{}.", workbench::present::words::sentence_start(words)), tokens.ink),
    };
    let away = bar_ui(ui, &words, labels::PUT_AWAY, ink, |ui| {
        if let (Notice::Refused { remedy: Some(edit), .. }, Some(mend)) = (notice, view.remedy_words())
            && link(ui, &mend).clicked()
        {
            wishes.push(Wish::Act(Action::Together(mending(view.studio, edit))));
        }
    });
    if away {
        wishes.push(Wish::Act(Action::Dismiss));
    }
}

/// What could not be saved, and the way to all of it; it stays until it is.
fn trouble_ui(ui: &mut Ui, trouble: &str, wishes: &mut Vec<Wish>) {
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing.x = 4.0 * space::STEP;
        // No higher than words, so that the first line of them stands no further from the next than the others.
        ui.spacing_mut().interact_size.y = 4.0 * space::STEP;
        say(ui, Face::Second, Tokens::of(ui).care, sentence(trouble));
        if link(ui, keeping::WHICH).clicked() {
            wishes.push(Wish::Act(Action::Go(Nav::Keeping)));
        }
    });
    gap(ui, space::STEP);
}

/// A bar of words with what can be done about it; true where it is put away.
fn bar_ui(ui: &mut Ui, words: &str, name: &str, ink: egui::Color32, more: impl FnOnce(&mut Ui)) -> bool {
    let tokens = Tokens::of(ui);
    let frame = Frame::new()
        .fill(tokens.tint)
        .corner_radius(space::RADIUS_WIDE)
        .inner_margin(Margin::symmetric(16, 9));
    let away = frame
        .show(ui, |ui| {
            ui.set_width(ui.available_width());
            ui.horizontal_wrapped(|ui| {
                ui.spacing_mut().item_spacing.x = 4.0 * space::STEP;
                say(ui, Face::Body, ink, words);
                more(ui);
                link(ui, labels::PUT_AWAY).accessible_name(name).clicked()
            })
            .inner
        })
        .inner;
    gap(ui, 2.0 * space::STEP);
    away
}
