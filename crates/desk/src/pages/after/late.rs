//! What happened before today and is told of now.

use chrono::NaiveDate;
use craft::fact::Fact;
use craft::studio::{Edit, OrderEdit};
use egui::Ui;
use workbench::present::labels::after as labels;
use workbench::typed;

use crate::cx::Cx;
use crate::widgets::{Field, form_read};

/// When something happened.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::pages) enum When {
    /// Today: it is recorded as it happens.
    Now,
    /// On a day before.
    Before(NaiveDate),
    /// What is typed is no day yet.
    Unread,
}

/// The field for the day; left empty it is today.
pub(in crate::pages) fn day_ui(ui: &mut Ui, cx: &mut Cx<'_>, key: &str, label: &str) -> When {
    let today = cx.view.now.day();
    let field = Field::new(key, label).wide(0.0).hint(labels::TODAY);
    let read = form_read(ui, cx.drafts, field, |text| typed::past_day(text, today));
    match read {
        Some(day) if day == today => When::Now,
        Some(day) => When::Before(day),
        None if cx.drafts.text(key).trim().is_empty() => When::Now,
        None => When::Unread,
    }
}

/// A fact of that day as an edit; none while the day cannot be read, which the field says.
pub(in crate::pages) fn told(cx: &Cx<'_>, when: When, fact: impl Into<Fact>) -> Option<Edit> {
    match when {
        When::Now => Some(cx.fact_edit(fact)),
        When::Before(day) => Some(Edit::Order(cx.tag, OrderEdit::Told(day, fact.into()))),
        When::Unread => None,
    }
}

/// Records a fact for the day in the field of that key, which is emptied once the fact is taken. False while the day
/// cannot be read.
pub(in crate::pages) fn record(cx: &mut Cx<'_>, when: When, fact: impl Into<Fact>, key: &str) -> bool {
    let told = told(cx, when, fact);
    let can = told.is_some();
    if let Some(edit) = told {
        cx.hand_in(vec![edit], &[key]);
    }
    can
}
