//! The brief: who is remembered, what is wanted, whose it is, what it costs, and who does what.

mod cost;
mod enquiry;
mod errands;
mod remembered;
mod wanted;
mod whose;

use craft::client::Client;
use craft::fact::Fact;
use craft::order::{ErrandKind, Page, Sheet};
use craft::studio::{ClientEdit, Edit};
use egui::{Key, Response, Ui};
use workbench::action::Action;
use workbench::present::labels::brief as labels;
use workbench::present::pages::page;

pub(super) use enquiry::onward_ui;

use super::common;
use crate::cx::Cx;
use crate::look::{Face, Tokens, space};
use crate::widgets::{Column, columns, gap, rule, say};

/// The brief page's own state.
#[derive(Debug, Default)]
pub(super) struct BriefPage {
    /// The address and the note of the client are shown.
    address: bool,
    /// The errand that is being changed: its kind and its place among those of the kind.
    errand: Option<(ErrandKind, usize)>,
    /// The kit's parcel is shown though it has gone.
    kit: bool,
    /// It was asked for to call the order off, which is not done by one slip.
    calling_off: bool,
    /// A form was handed in as it is, so that its empty fields say what is wanted.
    tried: Option<&'static str>,
}

impl BriefPage {
    pub(crate) fn ui(&mut self, ui: &mut Ui, cx: &mut Cx<'_>) {
        let mut edits = Edits::default();
        self.next_ui(ui, cx, &mut edits);
        if let Some(told) = page(cx.view.studio, cx.tag, Page::Brief, cx.view.now)
            && let Some(words) = labels::not_yet(told.missing.iter().map(|missing| missing.words.as_str()))
        {
            gap(ui, 2.0 * space::STEP);
            ui.scope(|ui| {
                // Its lines stand as close as those of any other words.
                ui.spacing_mut().item_spacing.x = space::STEP;
                ui.spacing_mut().interact_size.y = 0.0;
                ui.horizontal_wrapped(|ui| {
                    say(ui, Face::SecondStrong, Tokens::of(ui).care, labels::NOT_YET);
                    say(ui, Face::Second, Tokens::of(ui).ink_2, words);
                });
            });
        }
        gap(ui, 3.0 * space::STEP);
        rule(ui);
        gap(ui, 5.0 * space::STEP);
        columns(ui, 0.5, |ui, column| match column {
            Column::First => {
                self.remembered_ui(ui, cx, &mut edits);
                gap(ui, space::BLOCK);
                wanted::ui(ui, cx, &mut edits);
            }
            Column::Second => {
                self.whose_ui(ui, cx, &mut edits);
                gap(ui, space::BLOCK);
                cost::ui(ui, cx, &mut edits);
                gap(ui, space::BLOCK);
                self.errands_ui(ui, cx, &mut edits);
            }
        });
        gap(ui, space::BLOCK);
        common::words_ui(ui, cx, Page::Brief);
        common::cautions_ui(ui, cx, Page::Brief);
        self.calling_off_ui(ui, cx, &mut edits);
        edits.commit(cx);
    }
}

/// What is to be changed after this frame. A field that is left and a button that is pressed in one frame change the
/// sheet together, so that neither takes the other back.
#[derive(Default)]
struct Edits {
    sheet: Vec<Box<dyn FnOnce(&mut Sheet)>>,
    client: Vec<Box<dyn FnOnce(&mut Client)>>,
    facts: Vec<Fact>,
}

impl Edits {
    fn sheet(&mut self, change: impl FnOnce(&mut Sheet) + 'static) {
        self.sheet.push(Box::new(change));
    }

    fn client(&mut self, change: impl FnOnce(&mut Client) + 'static) {
        self.client.push(Box::new(change));
    }

    fn fact(&mut self, fact: impl Into<Fact>) {
        self.facts.push(fact.into());
    }

    fn commit(self, cx: &mut Cx<'_>) {
        if !self.sheet.is_empty() {
            cx.sheet(|sheet| self.sheet.into_iter().for_each(|change| change(sheet)));
        }
        let id = cx.held.order.client.clone();
        if !self.client.is_empty()
            && let Some(mut client) = cx.view.studio.clients().get(&id).cloned()
        {
            self.client.into_iter().for_each(|change| change(&mut client));
            cx.act(Action::Edit(Edit::Client(id, ClientEdit::Put(Box::new(client)))));
        }
        for fact in self.facts {
            cx.fact(fact);
        }
    }
}

/// True in the frame in which Enter was pressed in a field.
fn is_entered(response: &Response) -> bool {
    response.lost_focus() && response.ctx.input(|input| input.key_pressed(Key::Enter))
}

/// What is wrong, under a field.
fn wrong_ui(ui: &mut Ui, why: &str) {
    let words = format!("{}.", workbench::present::words::sentence_start(why));
    say(ui, Face::Second, Tokens::of(ui).care, words);
}

/// Down to where the fields stand beside which something is put: the height of a label.
fn beside_fields(ui: &mut Ui) {
    gap(ui, 22.0);
}
