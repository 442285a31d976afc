//! What is wanted.

use craft::id::ShelfId;
use craft::order::Occasion;
use craft::shelf::What;
use craft::studio::Studio;
use egui::Ui;
use workbench::present::labels::brief as labels;
use workbench::present::words;
use workbench::typed;

use crate::cx::Cx;
use crate::look::space;
use crate::pages::fit::unmatched_ui;
use crate::widgets::{Field, choice, gap, heading, long_words as line, one_of, read_or_none, second, text};

pub(super) fn ui(ui: &mut Ui, cx: &mut Cx<'_>) {
    let sheet = &cx.held.order.sheet;
    heading(ui, labels::WANTED);
    gap(ui, space::STEP);
    if let Some(wishes) =
        text(ui, cx.drafts, Field::new("order/brief/wishes", labels::WISHES).wide(0.0), &sheet.wishes)
    {
        cx.sheet(|sheet| sheet.wishes = wishes);
    }
    gap(ui, 2.0 * space::STEP);
    let (today, due) = (cx.view.now.day(), sheet.due.map(words::date_with_year));
    let field = Field::new("order/brief/due", labels::DUE).wide(180.0).hint(labels::DUE_HINT);
    let read = read_or_none(ui, cx.drafts, field, due, labels::NO_DAY, |text| typed::day(text, today));
    if let Some(due) = read {
        cx.sheet(move |sheet| sheet.due = due);
    }
    gap(ui, 2.0 * space::STEP);
    if let Some(taken) = one_of(ui, labels::OCCASION, Some(&sheet.occasion), &labels::OCCASIONS) {
        cx.sheet(move |sheet| sheet.occasion = taken);
    }
    if sheet.occasion == Occasion::Surprise {
        second(ui, labels::SURPRISE);
    }
    gap(ui, 2.0 * space::STEP);
    setting_ui(ui, cx);
    gap(ui, 2.0 * space::STEP);
    let field = Field::new("order/brief/ring", labels::RING).wide(0.0).hint(labels::RING_HINT);
    if let Some(ring) = line(ui, cx.drafts, field, &sheet.ring) {
        cx.sheet(|sheet| sheet.ring = ring);
    }
}

fn setting_ui(ui: &mut Ui, cx: &mut Cx<'_>) {
    let now = cx.held.order.sheet.setting.clone();
    let settings = settings(cx.view.studio, now.as_ref());
    let field = Field::new("order/brief/setting", labels::SETTING).wide(0.0);
    if let Some(taken) = choice(ui, field, Some(&now), &settings) {
        cx.sheet(|sheet| sheet.setting = taken);
    }
    unmatched_ui(ui, cx);
}

/// None, and every setting that is in use or is the one that is chosen.
fn settings(studio: &Studio, now: Option<&ShelfId>) -> Vec<(Option<ShelfId>, String)> {
    let items = studio
        .shelf()
        .iter()
        .filter(|(id, item)| matches!(item.what, What::Setting(_)) && (!item.retired || Some(*id) == now));
    let items = items.map(|(id, item)| (Some(id.clone()), item.name.to_string()));
    std::iter::once((None, labels::NO_SETTING.to_owned())).chain(items).collect()
}
