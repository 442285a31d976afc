//! Whose it is: the client, how to reach them and what they allow.

use craft::client::{Client, Permission};
use egui::Ui;
use workbench::present::labels::brief as labels;
use workbench::present::words;

use super::{BriefPage, Edits};
use crate::cx::Cx;
use crate::look::space;
use crate::widgets::{
    Field, care, cells, choice, fold, gap, heading, long_words as line, pick, second, text,
};

impl BriefPage {
    pub(super) fn whose_ui(&mut self, ui: &mut Ui, cx: &mut Cx<'_>, edits: &mut Edits) {
        heading(ui, labels::WHOSE);
        gap(ui, space::STEP);
        let Some(client) = cx.view.studio.clients().get(&cx.held.order.client) else {
            care(ui, labels::NO_CLIENT);
            return;
        };
        let field = Field::new("order/brief/client/name", labels::CLIENT).wide(0.0);
        if let Some(name) = line(ui, cx.drafts, field, &client.name) {
            edits.client(|client| client.name = name);
        }
        gap(ui, 2.0 * space::STEP);
        let field = Field::new("order/brief/client/contact", labels::CONTACT).wide(0.0);
        if let Some(contact) = line(ui, cx.drafts, field.hint(labels::CONTACT_HINT), &client.contact) {
            edits.client(|client| client.contact = contact);
        }
        gap(ui, 2.0 * space::STEP);
        let options = labels::WRITING.map(|when| (when, words::writing(when).to_owned()));
        let field = Field::new("order/brief/client/write", labels::WRITE).wide(0.0);
        if let Some(when) = choice(ui, field, Some(&client.write_when), &options) {
            edits.client(move |client| client.write_when = when);
        }
        gap(ui, 2.0 * space::STEP);
        permissions_ui(ui, cx, client, edits);
        gap(ui, 2.0 * space::STEP);
        if fold(ui, labels::ADDRESS, &mut self.address) {
            address_ui(ui, cx, client, edits);
        }
    }
}

fn permissions_ui(ui: &mut Ui, cx: &Cx<'_>, client: &Client, edits: &mut Edits) {
    let today = cx.view.now.day();
    let ask = |ui: &mut Ui, key: &str, label: &str, now: Permission| {
        let (taken, _) = pick(ui, key, label, Some(labels::answer(now)), &labels::ANSWERS);
        if let Some(said) = labels::said(now) {
            second(ui, said);
        }
        taken.map(|answer| labels::permission(answer, today))
    };
    cells(ui, &[180.0, 180.0], |ui, place| {
        if place == 0 {
            if let Some(given) = ask(ui, "order/brief/show", labels::MAY_SHOW, client.may_show) {
                edits.client(move |client| client.may_show = given);
            }
        } else if let Some(given) = ask(ui, "order/brief/teach", labels::MAY_TEACH, client.may_teach) {
            edits.client(move |client| client.may_teach = given);
        }
    });
}

fn address_ui(ui: &mut Ui, cx: &mut Cx<'_>, client: &Client, edits: &mut Edits) {
    let field = Field::new("order/brief/client/post", labels::POST).wide(0.0);
    if let Some(post) = text(ui, cx.drafts, field, &client.post) {
        edits.client(|client| client.post = post);
    }
    gap(ui, 2.0 * space::STEP);
    let field = Field::new("order/brief/client/country", labels::COUNTRY).wide(180.0);
    if let Some(country) = line(ui, cx.drafts, field, &client.country) {
        edits.client(|client| client.country = country);
    }
    gap(ui, 2.0 * space::STEP);
    let field = Field::new("order/brief/client/note", labels::NOTE).wide(0.0);
    if let Some(note) = text(ui, cx.drafts, field, &client.note) {
        edits.client(|client| client.note = note);
    }
}
