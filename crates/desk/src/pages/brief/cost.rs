//! What it costs.

use chrono::NaiveDate;
use craft::money::{Currency, Money};
use craft::order::{Quote, Sheet};
use craft::text::Line;
use egui::Ui;
use workbench::present::labels::brief as labels;
use workbench::present::words;
use workbench::typed;

use crate::cx::Cx;
use crate::look::space;
use crate::widgets::{Field, cells, gap, heading, link, long_words as line, read_or_none};

pub(super) fn ui(ui: &mut Ui, cx: &mut Cx<'_>) {
    heading(ui, labels::COST);
    gap(ui, space::STEP);
    let currency = cx.view.studio.policies().currency;
    let now = cx.held.order.sheet.quote.clone();
    let quote = now.clone().unwrap_or_else(|| nothing(currency));
    let shown = |money: Money| (now.is_some() && money.minor != 0).then(|| money.to_string());
    cells(ui, &[170.0, 170.0], |ui, place| {
        let (key, label, money) = if place == 0 {
            ("order/brief/total", labels::TOTAL, quote.total)
        } else {
            ("order/brief/deposit", labels::DEPOSIT, quote.deposit)
        };
        let field = Field::new(key, label).wide(0.0);
        let read = read_or_none(ui, cx.drafts, field, shown(money), labels::NO_PRICE, |text| {
            typed::money(text, currency)
        });
        if let Some(money) = read.map(|money| money.unwrap_or(Money::zero(currency))) {
            cx.sheet(move |sheet| {
                put(sheet, currency, |quote| {
                    *(if place == 0 { &mut quote.total } else { &mut quote.deposit }) = money;
                });
            });
        }
    });
    if quote.deposit.minor > 0 {
        gap(ui, 2.0 * space::STEP);
        paid_ui(ui, cx, (currency, quote.deposit_paid));
    }
    gap(ui, 2.0 * space::STEP);
    let field = Field::new("order/brief/quote/note", labels::QUOTE_NOTE).wide(0.0).hint(labels::QUOTE_HINT);
    if let Some(note) = line(ui, cx.drafts, field, &quote.note) {
        cx.sheet(move |sheet| put(sheet, currency, |quote| quote.note = note));
    }
}

fn paid_ui(ui: &mut Ui, cx: &mut Cx<'_>, now: (Currency, Option<NaiveDate>)) {
    let (currency, paid) = now;
    let today = cx.view.now.day();
    cells(ui, &[170.0, 120.0], |ui, place| {
        if place == 0 {
            let field = Field::new("order/brief/paid", labels::PAID).wide(0.0);
            let shown = paid.map(words::date_with_year);
            let read = read_or_none(ui, cx.drafts, field, shown, labels::NO_DAY, |text| {
                typed::past_day(text, today)
            });
            if let Some(day) = read {
                cx.sheet(move |sheet| put(sheet, currency, |quote| quote.deposit_paid = day));
            }
        } else if paid.is_none() {
            super::beside_fields(ui);
            if link(ui, labels::PAID_TODAY).clicked() {
                cx.sheet(move |sheet| put(sheet, currency, |quote| quote.deposit_paid = Some(today)));
            }
        }
    });
}

fn nothing(currency: Currency) -> Quote {
    let zero = Money::zero(currency);
    Quote { total: zero, deposit: zero, deposit_paid: None, note: Line::default() }
}

/// Changes the quote; one that says nothing any more is none.
fn put(sheet: &mut Sheet, currency: Currency, change: impl FnOnce(&mut Quote)) {
    let mut quote = sheet.quote.take().unwrap_or_else(|| nothing(currency));
    change(&mut quote);
    sheet.quote = (quote != nothing(quote.total.currency)).then_some(quote);
}
