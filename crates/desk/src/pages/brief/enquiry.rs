//! The enquiry: what is next on this page, the sending kit, and the order called off.

use craft::fact::ClientFact;
use craft::order::{Page, Parcel, ParcelKind, Sheet};
use craft::stage::{Next, Turn};
use craft::text::Line;
use egui::Ui;
use workbench::present::board::{next_words, page_of};
use workbench::present::labels::brief as labels;
use workbench::present::words;

use super::{BriefPage, CallingOff};
use crate::cx::Cx;
use crate::look::{Face, Tokens, space};
use crate::widgets::{
    Field, care, cells, fold, gap, link, main_button, note, plain_button, say, words as line,
};

impl BriefPage {
    /// What is to be done next, with the one main button.
    pub(super) fn next_ui(&mut self, ui: &mut Ui, cx: &mut Cx<'_>) {
        let today = cx.view.now.day();
        let next = cx.held.next(today, cx.view.studio.policies().nudge_days);
        if cx.held.ledger.client.called_off {
            let said = care(ui, labels::CALLED_OFF);
            if self.calling_off == CallingOff::HandedIn {
                self.calling_off = CallingOff::No;
                said.scroll_to_me(Some(egui::Align::Center));
            }
            gap(ui, 2.0 * space::STEP);
        }
        match next {
            Next::Answer => {
                if main_button(ui, labels::ANSWERED).clicked() {
                    cx.fact(ClientFact::Answered);
                }
            }
            Next::PostKit => {
                parcel_ui(ui, cx);
                gap(ui, 2.0 * space::STEP);
                ui.horizontal(|ui| {
                    ui.spacing_mut().item_spacing.x = 5.0 * space::STEP;
                    if main_button(ui, labels::KIT_POSTED).clicked() {
                        cx.fact(ClientFact::KitPosted);
                    }
                    if link(ui, labels::NO_KIT).clicked() {
                        cx.go(Page::Arrival);
                    }
                });
            }
            next => {
                let (said, to) = (next_words(cx.view.studio, cx.held, next, today), page_of(next));
                onward_ui(ui, cx, next.turn(), &words::sentence_start(&said), to);
            }
        }
        self.kit_ui(ui, cx);
    }

    /// The kit, once it has gone.
    fn kit_ui(&mut self, ui: &mut Ui, cx: &mut Cx<'_>) {
        let Some(at) = cx.held.ledger.client.kit_posted else { return };
        gap(ui, 2.0 * space::STEP);
        let day = words::date(at.day(), cx.view.now.day());
        ui.horizontal_wrapped(|ui| {
            ui.spacing_mut().item_spacing.x = 4.0 * space::STEP;
            let left = labels::kit_left(&day, kit(&cx.held.order.sheet));
            say(ui, Face::Body, Tokens::of(ui).ink_2, left);
            fold(ui, labels::KIT_CHANGE, &mut self.kit);
        });
        if self.kit {
            parcel_ui(ui, cx);
        }
    }

    /// Calling an order off: asked twice, for it cannot be undone.
    pub(super) fn calling_off_ui(&mut self, ui: &mut Ui, cx: &mut Cx<'_>) {
        if cx.held.ledger.client.called_off || cx.held.ledger.home.is_gone() {
            return;
        }
        gap(ui, space::BLOCK);
        if self.calling_off != CallingOff::Asked {
            if link(ui, labels::CALL_OFF).clicked() {
                self.calling_off = CallingOff::Asked;
            }
            return;
        }
        note(ui, |ui| {
            ui.spacing_mut().item_spacing.x = 4.0 * space::STEP;
            say(ui, Face::Body, Tokens::of(ui).care, labels::CALL_OFF_SURE);
            if plain_button(ui, labels::CALL_OFF_YES).clicked() {
                cx.fact(ClientFact::CalledOff);
                self.calling_off = CallingOff::HandedIn;
            }
            if link(ui, labels::CALL_OFF_NO).clicked() {
                self.calling_off = CallingOff::No;
            }
        });
    }
}

/// The next thing is on another page: a button where hands are wanted, else the words with the way there.
pub(in crate::pages) fn onward_ui(ui: &mut Ui, cx: &mut Cx<'_>, turn: Turn, said: &str, to: Page) {
    if matches!(turn, Turn::Hands | Turn::Parcel) {
        if main_button(ui, said).clicked() {
            cx.go(to);
        }
        return;
    }
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing.x = 4.0 * space::STEP;
        say(ui, Face::Strong, Tokens::of(ui).ink, format!("{said}."));
        if link(ui, &labels::to_page(to)).clicked() {
            cx.go(to);
        }
    });
}

fn kit(sheet: &Sheet) -> Option<&Parcel> {
    sheet.parcels.iter().rev().find(|parcel| parcel.kind == ParcelKind::Kit)
}

fn parcel_ui(ui: &mut Ui, cx: &mut Cx<'_>) {
    let now = kit(&cx.held.order.sheet).cloned();
    let (carrier, tracking) = now.map(|parcel| (parcel.carrier, parcel.tracking)).unwrap_or_default();
    cells(ui, &[220.0, 220.0], |ui, place| {
        if place == 0 {
            let field = Field::new("order/brief/kit/carrier", labels::CARRIER).wide(0.0);
            if let Some(said) = line(ui, cx.drafts, field.hint(labels::CARRIER_HINT), &carrier) {
                cx.sheet(|sheet| put_kit(sheet, |parcel| parcel.carrier = said));
            }
        } else {
            let field = Field::new("order/brief/kit/tracking", labels::TRACKING).wide(0.0);
            if let Some(said) = line(ui, cx.drafts, field, &tracking) {
                cx.sheet(|sheet| put_kit(sheet, |parcel| parcel.tracking = said));
            }
        }
    });
}

fn put_kit(sheet: &mut Sheet, change: impl FnOnce(&mut Parcel)) {
    if let Some(parcel) = sheet.parcels.iter_mut().rev().find(|parcel| parcel.kind == ParcelKind::Kit) {
        change(parcel);
        return;
    }
    let mut parcel =
        Parcel { kind: ParcelKind::Kit, carrier: Line::default(), tracking: Line::default(), insured: None };
    change(&mut parcel);
    sheet.parcels.push(parcel);
}
