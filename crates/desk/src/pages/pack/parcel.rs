//! The parcel home: who carries it, and that it is posted.

use craft::fact::HomeFact;
use craft::order::Parcel;
use egui::Ui;
use workbench::present::labels::pack as labels;
use workbench::present::parcels::{HomeBox, blank_parcel, put_parcel};
use workbench::typed::{self, Typed};

use crate::cx::Cx;
use crate::look::{Face, Tokens, space};
use crate::widgets::{Field, gap, heading, link, main_button, read, say, second, words};

/// The parcel's own state.
#[derive(Debug, Default)]
pub(super) struct ParcelSide {
    /// The box is closed, and its parcel is written.
    pub(super) closed: bool,
}

fn home(cx: &Cx<'_>) -> Option<Parcel> {
    HomeBox::now(cx.held).parcel(cx.held).cloned()
}

fn put(cx: &mut Cx<'_>, parcel: Parcel) {
    let left = cx.held.ledger.home.left.len();
    cx.sheet(|sheet| put_parcel(sheet, left, parcel));
}

impl ParcelSide {
    pub(super) fn ui(&mut self, ui: &mut Ui, cx: &mut Cx<'_>) {
        heading(ui, labels::PARCEL);
        second(ui, labels::PARCEL_SAYS);
        gap(ui, 2.0 * space::STEP);
        let carrier = fields_ui(ui, cx).carrier;
        let tokens = Tokens::of(ui);
        gap(ui, 4.0 * space::STEP);
        if main_button(ui, labels::POSTED).clicked() {
            cx.fact(HomeFact::Sent);
        }
        if carrier.is_empty() {
            gap(ui, space::STEP);
            say(ui, Face::Body, tokens.ink_2, labels::still_missing(labels::NO_CARRIER));
        }
        if link(ui, labels::REOPEN).clicked() {
            self.closed = false;
        }
    }
}

/// How the box that is packed now travels, as it is written down.
pub(super) fn fields_ui(ui: &mut Ui, cx: &mut Cx<'_>) -> Parcel {
    let before = home(cx).unwrap_or_else(blank_parcel);
    let mut now = before.clone();
    let field = Field::new("order/pack/carrier", labels::CARRIER);
    if let Some(carrier) = words(ui, cx.drafts, field, &before.carrier) {
        now.carrier = carrier;
    }
    let field = Field::new("order/pack/tracking", labels::TRACKING);
    if let Some(tracking) = words(ui, cx.drafts, field, &before.tracking) {
        now.tracking = tracking;
    }
    let shown = before.insured.map(|sum| sum.to_string()).unwrap_or_default();
    let currency = cx.view.studio.policies().currency;
    let reader = |text: &str| {
        if text.trim().is_empty() {
            return Ok(Typed { value: None, echo: labels::NOT_INSURED.to_owned() });
        }
        typed::money(text, currency).map(|typed| Typed { value: Some(typed.value), echo: typed.echo })
    };
    let field = Field::new("order/pack/insured", labels::INSURED).wide(140.0).hint(labels::INSURED_HINT);
    if let Some(insured) = read(ui, cx.drafts, field, &shown, reader) {
        now.insured = insured;
    }
    second(ui, labels::INSURED_SAYS);
    if now != before {
        put(cx, now.clone());
    }
    now
}

/// The parcel as it left.
pub(super) fn known_ui(ui: &mut Ui, cx: &Cx<'_>) {
    let Some(parcel) = home(cx) else { return };
    heading(ui, labels::PARCEL);
    let tokens = Tokens::of(ui);
    let insured = parcel.insured.map(|sum| sum.to_string()).unwrap_or_default();
    let lines = [
        (labels::CARRIER, parcel.carrier.to_string()),
        (labels::TRACKING, parcel.tracking.to_string()),
        (labels::INSURED, insured),
    ];
    for (label, known) in lines.into_iter().filter(|(_, known)| !known.is_empty()) {
        say(ui, Face::Second, tokens.ink_3, label);
        say(ui, Face::Body, tokens.ink, known);
    }
}
