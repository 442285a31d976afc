//! Whose it is: the client, how to reach them and what they allow.

use craft::client::{Client, Permission};
use craft::studio::{ClientEdit, Edit};
use egui::Ui;
use workbench::action::Action;
use workbench::present::labels::brief as labels;
use workbench::present::words;

use super::BriefPage;
use crate::cx::Cx;
use crate::look::space;
use crate::widgets::{
    Field, care, cells, choice, fold, gap, heading, long_words as line, pick, second, text,
};

impl BriefPage {
    pub(super) fn whose_ui(&mut self, ui: &mut Ui, cx: &mut Cx<'_>) {
        heading(ui, labels::WHOSE);
        gap(ui, space::STEP);
        let id = &cx.held.order.client;
        let Some(now) = cx.view.studio.clients().get(id) else {
            care(ui, labels::NO_CLIENT);
            return;
        };
        // All that is changed in one frame is changed together, so that no field takes back what another one said.
        let mut client = now.clone();
        self.client_ui(ui, cx, &mut client);
        if client != *now {
            cx.act(Action::Edit(Edit::Client(id.clone(), ClientEdit::Put(Box::new(client)))));
        }
    }

    fn client_ui(&mut self, ui: &mut Ui, cx: &mut Cx<'_>, client: &mut Client) {
        let field = Field::new("order/brief/client/name", labels::CLIENT).wide(0.0);
        if let Some(name) = line(ui, cx.drafts, field, &client.name) {
            client.name = name;
        }
        gap(ui, 2.0 * space::STEP);
        let field = Field::new("order/brief/client/contact", labels::CONTACT).wide(0.0);
        if let Some(contact) = line(ui, cx.drafts, field.hint(labels::CONTACT_HINT), &client.contact) {
            client.contact = contact;
        }
        gap(ui, 2.0 * space::STEP);
        let options = labels::WRITING.map(|when| (when, words::writing(when).to_owned()));
        let field = Field::new("order/brief/client/write", labels::WRITE).wide(0.0);
        if let Some(when) = choice(ui, field, Some(&client.write_when), &options) {
            client.write_when = when;
        }
        gap(ui, 2.0 * space::STEP);
        permissions_ui(ui, cx, client);
        gap(ui, 2.0 * space::STEP);
        if fold(ui, labels::ADDRESS, &mut self.address) {
            address_ui(ui, cx, client);
        }
    }
}

fn permissions_ui(ui: &mut Ui, cx: &Cx<'_>, client: &mut Client) {
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
                client.may_show = given;
            }
        } else if let Some(given) = ask(ui, "order/brief/teach", labels::MAY_TEACH, client.may_teach) {
            client.may_teach = given;
        }
    });
}

fn address_ui(ui: &mut Ui, cx: &mut Cx<'_>, client: &mut Client) {
    let field = Field::new("order/brief/client/post", labels::POST).wide(0.0);
    if let Some(post) = text(ui, cx.drafts, field, &client.post) {
        client.post = post;
    }
    gap(ui, 2.0 * space::STEP);
    let field = Field::new("order/brief/client/country", labels::COUNTRY).wide(180.0);
    if let Some(country) = line(ui, cx.drafts, field, &client.country) {
        client.country = country;
    }
    gap(ui, 2.0 * space::STEP);
    let field = Field::new("order/brief/client/note", labels::NOTE).wide(0.0);
    if let Some(note) = text(ui, cx.drafts, field, &client.note) {
        client.note = note;
    }
}
