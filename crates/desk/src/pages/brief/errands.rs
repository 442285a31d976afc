//! Who does what: the setting, the chain, the engraving, the assay office.

use chrono::NaiveDate;
use craft::order::{Errand, ErrandKind, Sheet};
use craft::text::Line;
use egui::Ui;
use workbench::present::labels::brief as labels;
use workbench::present::words;
use workbench::typed;

use super::BriefPage;
use crate::cx::Cx;
use crate::look::{Face, Tokens, space};
use crate::widgets::{
    Field, cells, gap, heading, link, long_words as line, note, read_or_none, say, second, sentence,
};

/// Which errand: its kind and its place among those of the kind.
type Which = (ErrandKind, usize);

impl BriefPage {
    pub(super) fn errands_ui(&mut self, ui: &mut Ui, cx: &mut Cx<'_>) {
        let tokens = Tokens::of(ui);
        heading(ui, labels::ERRANDS);
        let errands = &cx.held.order.sheet.errands;
        if errands.is_empty() {
            second(ui, labels::ERRANDS_HINT);
        }
        for (place, errand) in errands.iter().enumerate() {
            let before = errands.get(..place).unwrap_or_default();
            let nth = before.iter().filter(|other| other.kind == errand.kind).count();
            self.errand_ui(ui, cx, ((errand.kind, nth), errand));
        }
        gap(ui, space::STEP);
        ui.horizontal_wrapped(|ui| {
            ui.spacing_mut().item_spacing.x = 4.0 * space::STEP;
            say(ui, Face::Body, tokens.ink_3, labels::ADD);
            for kind in labels::ERRAND_KINDS {
                let name = words::errand(kind);
                if link(ui, name).accessible_name(labels::add_errand(kind)).clicked() {
                    let nth = errands.iter().filter(|errand| errand.kind == kind).count();
                    self.errand = Some((kind, nth));
                    cx.sheet(move |sheet| sheet.errands.push(fresh(kind)));
                }
            }
        });
    }

    fn errand_ui(&mut self, ui: &mut Ui, cx: &mut Cx<'_>, of: (Which, &Errand)) {
        let tokens = Tokens::of(ui);
        let (which, errand) = of;
        let name = labels::errand_name(which.0, which.1);
        gap(ui, space::STEP);
        let open = self.errand == Some(which);
        sentence(ui, |ui| {
            say(ui, Face::Strong, tokens.ink, words::sentence_start(&name));
            let said = if open { labels::CLOSE } else { labels::CHANGE };
            if link(ui, said).accessible_name(labels::of_errand(said, &name)).clicked() {
                self.errand = (!open).then_some(which);
            }
        });
        say(ui, Face::Body, tokens.ink_2, labels::errand_stands(errand, cx.view.now.day()));
        if open {
            note(ui, |ui| {
                ui.vertical(|ui| fields_ui(ui, cx, (which, errand), &name));
            });
            if link(ui, labels::TAKE_AWAY).accessible_name(labels::take_away(&name)).clicked() {
                self.errand = None;
                cx.drafts.clear_under(&start(which));
                cx.sheet(move |sheet| {
                    if let Some(place) = place(sheet, which) {
                        sheet.errands.remove(place);
                    }
                });
            }
        }
    }
}

fn fresh(kind: ErrandKind) -> Errand {
    let (what, who) = (Line::default(), Line::default());
    Errand { kind, what, who, asked: None, expected: None, back: None }
}

fn start(which: Which) -> String {
    format!("order/brief/errand/{:?}/{}/", which.0, which.1)
}

fn place(sheet: &Sheet, which: Which) -> Option<usize> {
    let all = sheet.errands.iter().enumerate();
    all.filter(|(_, errand)| errand.kind == which.0).map(|(place, _)| place).nth(which.1)
}

fn put(cx: &mut Cx<'_>, which: Which, change: impl FnOnce(&mut Errand)) {
    cx.sheet(move |sheet| {
        if let Some(errand) = place(sheet, which).and_then(|place| sheet.errands.get_mut(place)) {
            change(errand);
        }
    });
}

fn fields_ui(ui: &mut Ui, cx: &mut Cx<'_>, of: (Which, &Errand), name: &str) {
    let (which, errand) = of;
    let start = start(which);
    let label = |label: &str| labels::of_errand(label, name);
    for (key, said, now) in
        [("what", labels::ERRAND_WHAT, &errand.what), ("who", labels::ERRAND_WHO, &errand.who)]
    {
        let (key, said) = (format!("{start}{key}"), label(said));
        let is_what = key.ends_with("what");
        if let Some(words) = line(ui, cx.drafts, Field::new(&key, &said).wide(0.0), now) {
            put(cx, which, move |errand| {
                *(if is_what { &mut errand.what } else { &mut errand.who }) = words;
            });
        }
        gap(ui, space::STEP);
    }
    let today = cx.view.now.day();
    let days: [(&str, &str, Option<NaiveDate>); 3] = [
        ("asked", labels::ASKED, errand.asked),
        ("expected", labels::EXPECTED, errand.expected),
        ("back", labels::BACK, errand.back),
    ];
    cells(ui, &[150.0, 150.0, 150.0], |ui, place| {
        let Some((key, said, now)) = days.get(place).copied() else { return };
        let (key, said) = (format!("{start}{key}"), label(said));
        let field = Field::new(&key, &said).wide(0.0);
        let shown = now.map(words::date_with_year);
        // What is expected lies ahead, what was asked and came back lies behind.
        let read = read_or_none(ui, cx.drafts, field, shown, labels::NO_DAY, |text| {
            if place == 1 { typed::day(text, today) } else { typed::past_day(text, today) }
        });
        if let Some(day) = read {
            put(cx, which, move |errand| match place {
                0 => errand.asked = day,
                1 => errand.expected = day,
                _ => errand.back = day,
            });
        }
    });
}
