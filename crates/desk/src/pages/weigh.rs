//! Weighing and looking beside the count: which scale, what it could tell, what the eye said, drying and damp air.

use std::collections::BTreeSet;

use craft::fact::Drying;
use craft::id::{ShelfId, Thing};
use craft::units::Span;
use egui::Ui;
use workbench::present::accounts::Account;
use workbench::present::custody::{self, judged_now, judged_words, moisture_note, weigh_rows};
use workbench::present::labels::weigh as labels;
use workbench::present::words;
use workbench::weighing::{self, Seen};

use super::arrival::describe;
use crate::cx::Cx;
use crate::look::{Face, Tokens, space};
use crate::widgets::{Field, cells, choice, fold, form_read, gap, plain_button, read, say, second};

/// What is chosen about weighing so far.
#[derive(Debug, Default)]
pub(super) struct Weighing {
    scale: Option<ShelfId>,
    /// The lots whose weigh-back is looked at.
    open: BTreeSet<u8>,
    drying: bool,
    way: Option<Drying>,
}

/// The key of a draft of one thing.
fn key(thing: Thing, field: &str) -> String {
    format!("order/weigh/{thing}/{field}")
}

impl Weighing {
    /// The scale that is used: the chosen one, else the first of those in use; none where the shelf has none.
    fn scale(&self, all: &[(ShelfId, String)]) -> Option<ShelfId> {
        let chosen = self.scale.as_ref().filter(|scale| all.iter().any(|(id, _)| id == *scale));
        chosen.or(all.first().map(|(id, _)| id)).cloned()
    }

    /// Which scale, where there are several.
    fn scale_ui(&mut self, ui: &mut Ui, key: &str, all: &[(ShelfId, String)]) -> Option<ShelfId> {
        let now = self.scale(all);
        if all.len() > 1 {
            let field = Field::new(key, labels::SCALE).wide(180.0);
            if let Some(scale) = choice(ui, field, now.as_ref(), all) {
                self.scale = Some(scale);
            }
        }
        self.scale(all)
    }

    /// What a thing holds, by scale or by eye.
    pub(super) fn thing_ui(&mut self, ui: &mut Ui, cx: &mut Cx<'_>, thing: Thing) {
        let all = weighing::scales(cx.view.studio);
        let scale = self.scale_ui(ui, &key(thing, "scale"), &all);
        let mut air = Some(None);
        let air_key = key(thing, "air");
        if scale.is_some() {
            let field = Field::new(&air_key, labels::AIR).wide(120.0).hint(labels::AIR_HINT);
            air = form_read(ui, cx.drafts, field, weighing::air);
            if cx.drafts.text(&air_key).trim().is_empty() {
                air = Some(None);
            }
        }
        let label = labels::holds(thing);
        let what = key(thing, "what");
        let field = Field::new(&what, &label).wide(260.0).hint(labels::HOLDS_HINT);
        let (studio, held) = (cx.view.studio, cx.held);
        let shown = workbench::present::things::weighed(held, thing).unwrap_or_default();
        let reader = |text: &str| match air {
            Some(air) => weighing::seen(studio, held, thing, (scale.as_ref(), air), text),
            None => Err(labels::AIR_FIRST.to_owned()),
        };
        match read(ui, cx.drafts, field, &shown, reader) {
            Some(Seen::Fact(fact)) => cx.hand_in(vec![cx.fact_edit(fact)], &[&air_key]),
            Some(Seen::Looks(looks)) => cx.sheet(|sheet| describe(sheet, thing, looks)),
            None => {}
        }
    }

    /// That a thing was dried: it weighs less without anything being gone.
    pub(super) fn dried_ui(&mut self, ui: &mut Ui, cx: &mut Cx<'_>, thing: Thing) {
        if !fold(ui, &labels::dried(thing), &mut self.drying) {
            return;
        }
        second(ui, labels::DRIED_SAYS);
        gap(ui, space::STEP);
        let ways = Drying::ALL.map(|way| (way, custody::drying(way).to_owned()));
        let way = self.way.unwrap_or(Drying::InAir);
        let (way_key, time_key) = (key(thing, "dried/way"), key(thing, "dried/time"));
        let mut over: Option<Span> = None;
        cells(ui, &[210.0, 150.0], |ui, place| {
            if place == 0 {
                let field = Field::new(&way_key, labels::DRIED_HOW).wide(0.0);
                self.way = choice(ui, field, Some(&way), &ways).or(self.way);
            } else {
                let field = Field::new(&time_key, labels::DRIED_LONG).wide(0.0).hint(labels::DRIED_HINT);
                over = form_read(ui, cx.drafts, field, weighing::drying_time);
            }
        });
        let pressed = ui.add_enabled_ui(over.is_some(), |ui| plain_button(ui, labels::DRIED_KEEP)).inner;
        if let Some(over) = over.filter(|_| pressed.clicked()) {
            let fact = weighing::dried(thing, self.way.unwrap_or(way), over);
            cx.hand_in(vec![cx.fact_edit(fact)], &[&time_key]);
            self.drying = false;
        }
        gap(ui, 2.0 * space::STEP);
    }

    /// Beside the count of a material: what the eye said, drying and damp air, and what weighing back could tell.
    pub(super) fn account_ui(&mut self, ui: &mut Ui, cx: &mut Cx<'_>, account: &Account) {
        let (studio, held, lot) = (cx.view.studio, cx.held, account.lot);
        let looks = judged_now(held).filter(|judged| judged.lot == lot);
        for judged in looks {
            second(ui, words::sentence(&judged_words(studio, held, judged)));
        }
        let moist = moisture_note(held, lot);
        if !moist.is_empty() {
            second(ui, moist);
        }
        let all = weighing::scales(studio);
        let Some(first) = self.scale(&all) else {
            if !account.worth.is_empty() {
                second(ui, account.worth.as_str());
            }
            return;
        };
        if weigh_rows(studio, held, lot, &first).is_empty() {
            return;
        }
        let mut open = self.open.contains(&lot);
        if fold(ui, &labels::back(&account.name), &mut open) {
            let scale = self.scale_ui(ui, &format!("order/weigh/back/{lot}"), &all).unwrap_or(first);
            for row in weigh_rows(studio, held, lot, &scale) {
                let tokens = Tokens::of(ui);
                let ink = if row.worth { tokens.ink } else { tokens.ink_2 };
                say(ui, Face::Strong, ink, words::sentence_start(&row.who));
                second(ui, labels::tells(row.worth, &row.words));
                gap(ui, space::STEP);
            }
        }
        if open {
            self.open.insert(lot);
        } else {
            self.open.remove(&lot);
        }
    }
}
