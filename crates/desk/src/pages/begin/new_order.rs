//! A new order: a name is enough.

use craft::order::Page;
use craft::studio::{Edit, OrderEdit};
use craft::tag::Tag;
use egui::{Response, Ui};
use workbench::action::{Action, Nav};
use workbench::present::labels::begin as labels;
use workbench::quick::{Field as Of, Wrong, new_order, new_order_for};
use workbench::view::View;

use super::{Alike, Suggested, just_opened, kept_ui};
use crate::cx::Wish;
use crate::look::space;
use crate::widgets::{
    Drafts, Field, cells, entered, form_line, gap, heading, link, main_button, second, wrong,
};

/// How the keys of the form begin.
const UNDER: &str = "begin/new/";
const NAME: &str = "begin/new/name";
const CLIENT: &str = "begin/new/client";

/// The form's own state.
#[derive(Debug, Default)]
pub(super) struct NewOrder {
    seen: u64,
    /// Since which frame the first field is to have the keyboard.
    to_first: Option<u64>,
    /// What is typed was typed before the form was closed.
    kept: bool,
    suggested: Suggested,
    alike: Alike,
    wrong: Wrong,
    /// The order that was handed in, until it is known whether it was taken.
    handed: Option<Tag>,
}

impl NewOrder {
    /// Shows the form; true once it is to be closed.
    pub(super) fn ui(
        &mut self,
        ui: &mut Ui,
        view: &View<'_>,
        drafts: &mut Drafts,
        wishes: &mut Vec<Wish>,
    ) -> bool {
        if self.taken(view, drafts, wishes) {
            return true;
        }
        if just_opened(ui, &mut self.seen) {
            self.to_first = Some(self.seen);
            self.kept = [NAME, CLIENT].iter().any(|key| !drafts.text(key).trim().is_empty());
        }
        heading(ui, labels::NEW);
        second(ui, labels::NEW_HINT);
        if self.kept && kept_ui(ui) {
            drafts.clear_under(UNDER);
            *self = Self { seen: self.seen, to_first: Some(self.seen), ..Self::default() };
        }
        gap(ui, 4.0 * space::STEP);
        let mut done = false;
        cells(ui, &[240.0, 0.0], |ui, place| {
            if place == 0 {
                let response = form_line(ui, drafts, Field::new(NAME, labels::REMEMBERED).wide(0.0));
                self.first_ui(ui, &response);
                done |= entered(ui, &response);
                self.wrong_of(ui, &[Of::Name, Of::Tag]);
            } else {
                let response = form_line(ui, drafts, Field::new(CLIENT, labels::CLIENT).wide(0.0));
                done |= entered(ui, &response);
                self.wrong_of(ui, &[Of::Client]);
                if let Some(name) = self.suggested.ui(ui, view, drafts.text(CLIENT)) {
                    drafts.put(CLIENT, name);
                    response.request_focus();
                }
            }
        });
        self.alike.ui(ui, view, [drafts.text(NAME), drafts.text(CLIENT)]);
        gap(ui, space::BLOCK);
        let mut close = false;
        ui.horizontal(|ui| {
            ui.spacing_mut().item_spacing.x = 5.0 * space::STEP;
            let open = ui.add_enabled_ui(view.read_only.is_none(), |ui| main_button(ui, labels::OPEN)).inner;
            if open.clicked() || (done && view.read_only.is_none()) {
                self.open(ui, view, drafts, wishes);
            }
            close |= link(ui, labels::CLOSE).clicked();
        });
        if let Some(why) = view.read_only {
            wrong(ui, why);
        }
        close
    }

    /// Gives the first field the keyboard. A form is not shown yet in the frame in which it is opened, and the link that
    /// was pressed takes the keyboard in the same one, so it is asked for until it has come.
    fn first_ui(&mut self, ui: &Ui, response: &Response) {
        let Some(since) = self.to_first else { return };
        if response.has_focus() && self.seen > since {
            self.to_first = None;
        } else {
            response.request_focus();
            ui.ctx().request_repaint();
        }
    }

    fn wrong_of(&self, ui: &mut Ui, fields: &[Of]) {
        for (_, why) in self.wrong.iter().filter(|(field, _)| fields.contains(field)) {
            wrong(ui, why);
        }
    }

    /// Hands the order in; what is typed stays until it is taken.
    fn open(&mut self, ui: &Ui, view: &View<'_>, drafts: &Drafts, wishes: &mut Vec<Wish>) {
        let (name, client) = (drafts.text(NAME), drafts.text(CLIENT));
        let edits = match self.suggested.picked(client) {
            Some(known) => new_order_for(view.studio, name, &known.id, view.now),
            None => new_order(view.studio, name, client, view.now),
        };
        match edits {
            Ok(edits) => {
                self.wrong = Wrong::default();
                self.handed = opened(&edits);
                wishes.push(Wish::HandIn { edits, clear: vec![UNDER.to_owned()] });
                ui.ctx().request_repaint();
            }
            Err(wrong) => self.wrong = wrong,
        }
    }

    /// The order that was handed in is there: on to its brief.
    fn taken(&mut self, view: &View<'_>, drafts: &mut Drafts, wishes: &mut Vec<Wish>) -> bool {
        let Some(tag) = self.handed.take().filter(|tag| view.studio.orders().contains_key(tag)) else {
            return false;
        };
        // It is there though something of it may have been refused: typed once more, it would be there twice.
        drafts.clear_under(UNDER);
        wishes.push(Wish::Act(Action::Go(Nav::Bench(tag, Page::Brief))));
        *self = Self::default();
        true
    }
}

/// The tag of the order that some edits open.
pub(super) fn opened(edits: &[Edit]) -> Option<Tag> {
    edits.iter().find_map(|edit| match edit {
        Edit::Order(tag, OrderEdit::Open { .. }) => Some(*tag),
        _ => None,
    })
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use workbench::clock::{Clock as _, SystemClock};
    use workbench::session::Session;

    use super::*;

    #[test]
    fn what_is_typed_stays_until_the_order_is_there() {
        let dir = tempfile::tempdir().unwrap();
        let clock = Arc::new(SystemClock::new());
        workbench::founding::demo(dir.path(), clock.now()).unwrap();
        let mut session = Session::open(dir.path(), clock).unwrap();
        let (mut form, mut drafts, mut wishes) = (NewOrder::default(), Drafts::default(), Vec::new());
        drafts.put(NAME, "Old Bess");
        drafts.put(CLIENT, "Ada Bright");
        let ui = &mut |ui: &mut Ui| form.open(ui, &session.view(), &drafts, &mut wishes);
        let mut asked = false;
        egui::__run_test_ui(|shown| {
            if !std::mem::replace(&mut asked, true) {
                ui(shown);
            }
        });
        let Some(Wish::HandIn { edits, clear }) = wishes.pop() else { panic!("it is handed in as one") };
        assert_eq!(clear, [UNDER]);
        let handed = form.handed;
        // Refused: the form is as it was, and open.
        assert!(!form.taken(&session.view(), &mut drafts, &mut wishes));
        assert_eq!((drafts.text(NAME), drafts.text(CLIENT), wishes.len()), ("Old Bess", "Ada Bright", 0));
        // Taken: it closes, and goes to its first page.
        session.act(Action::Together(edits));
        form.handed = handed;
        assert!(form.taken(&session.view(), &mut drafts, &mut wishes));
        assert_eq!(drafts.text(NAME), "");
        let Some(Wish::Act(Action::Go(Nav::Bench(tag, Page::Brief)))) = wishes.pop() else { panic!() };
        assert_eq!(Some(tag), handed);
    }
}
