//! Beginning: a new order, and running orders entered quickly.

mod new_order;
mod running;

use egui::Ui;
use workbench::present::alike::{self, AlikeRow};
use workbench::present::labels::begin as labels;
use workbench::quick::{Known, known_clients};
use workbench::view::View;

use crate::cx::Wish;
use crate::look::{Face, Tokens, space};
use crate::shell::Desk;
use crate::widgets::{care, gap, link, note, say, sentence, sheet};

/// What the two forms remember, so that nothing typed is lost when one is closed.
#[derive(Debug, Default)]
pub(crate) struct Begin {
    fresh: new_order::NewOrder,
    running: running::Running,
}

/// A new order: a name is enough.
pub(crate) fn new_order_ui(ui: &mut Ui, desk: &mut Desk, view: &View<'_>, wishes: &mut Vec<Wish>) {
    let Desk { drafts, begin, over, .. } = desk;
    if sheet(ui, 560.0, |ui| begin.fresh.ui(ui, view, drafts, wishes)) {
        *over = None;
    }
}

/// Running orders, one row each.
pub(crate) fn running_ui(ui: &mut Ui, desk: &mut Desk, view: &View<'_>, wishes: &mut Vec<Wish>) {
    let Desk { drafts, begin, over, .. } = desk;
    if sheet(ui, 720.0, |ui| begin.running.ui(ui, view, drafts, wishes)) {
        *over = None;
    }
}

/// True in the first frame in which a form is shown again.
fn just_opened(ui: &Ui, seen: &mut u64) -> bool {
    let now = ui.ctx().cumulative_frame_nr();
    let fresh = *seen == 0 || now > *seen + 1;
    *seen = now;
    fresh
}

/// What a form says where it still holds what was typed when it was closed; true once that is to be let go.
fn kept_ui(ui: &mut Ui) -> bool {
    let mut afresh = false;
    sentence(ui, |ui| {
        say(ui, Face::Body, Tokens::of(ui).ink_2, labels::KEPT);
        afresh = link(ui, labels::AFRESH).clicked();
    });
    afresh
}

/// The orders whose names are like what is typed: looked up again only where that or the studio has changed.
#[derive(Debug, Default)]
struct Alike {
    typed: [String; 2],
    revision: u64,
    found: Vec<AlikeRow>,
}

impl Alike {
    /// Shows them with their tags and due days.
    fn ui(&mut self, ui: &mut Ui, view: &View<'_>, typed: [&str; 2]) {
        if self.typed != typed || self.revision != view.revision {
            let [remembered, client] = typed;
            self.found = view.alike_new(remembered, client);
            (self.typed, self.revision) = (typed.map(str::to_owned), view.revision);
        }
        if self.found.is_empty() {
            return;
        }
        gap(ui, 4.0 * space::STEP);
        note(ui, |ui| {
            ui.vertical(|ui| {
                care(ui, alike::heading_new(&self.found));
                for row in &self.found {
                    let words = format!("{}  {}", row.tag, alike::in_a_line(row));
                    say(ui, Face::Body, Tokens::of(ui).ink_2, words);
                }
            })
        });
    }
}

/// The known clients of what is typed: looked up again only where that has changed.
#[derive(Debug, Default)]
struct Suggested {
    text: String,
    clients: usize,
    found: Vec<Known>,
    taken: Option<Known>,
}

impl Suggested {
    /// The client that was picked, while the name is still theirs.
    fn picked(&self, text: &str) -> Option<&Known> {
        self.taken.as_ref().filter(|known| known.name == text.trim())
    }

    /// Shows who may be meant; gives the name where one is picked.
    fn ui(&mut self, ui: &mut Ui, view: &View<'_>, text: &str) -> Option<String> {
        if self.picked(text).is_some() {
            say(ui, Face::Second, Tokens::of(ui).ink_2, labels::PICKED);
            return None;
        }
        let clients = view.studio.clients().len();
        if self.text != text || self.clients != clients {
            self.found = known_clients(view.studio, text, 4);
            (self.text, self.clients) = (text.to_owned(), clients);
        }
        if self.found.is_empty() {
            return None;
        }
        let mut name = None;
        say(ui, Face::Second, Tokens::of(ui).ink_3, labels::KNOWN);
        for known in &self.found {
            if link(ui, &labels::known(&known.name, &known.apart)).clicked() {
                name = Some(known.name.clone());
                self.taken = Some(known.clone());
            }
        }
        name
    }
}
