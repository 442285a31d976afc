//! Weighing and looking beside the count: which scale, what it could tell, what the eye said, drying and damp air.

use std::collections::BTreeMap;

use craft::fact::Drying;
use craft::id::{ShelfId, Thing};
use craft::studio::Studio;
use craft::tag::Tag;
use craft::units::Span;
use egui::Ui;
use workbench::present::accounts::Account;
use workbench::present::custody::{self, Worth, judged_now, judged_words, weigh_rows};
use workbench::present::drying::moisture_note;
use workbench::present::labels::weigh as labels;
use workbench::present::words;
use workbench::weighing::{self, Seen};

use super::arrival::describe;
use super::kept::Kept;
use crate::cx::Cx;
use crate::look::{Face, Tokens, space};
use crate::widgets::{Field, cells, choice, fold, form_read, gap, plain_button, read, say, second};

/// What is chosen about weighing so far.
#[derive(Debug, Default)]
pub(super) struct Weighing {
    scale: Option<ShelfId>,
    /// The lot whose weigh-back is looked at.
    open: Option<u8>,
    drying: bool,
    way: Option<Drying>,
    /// What drying and damp air say of each lot, while nothing in the studio changes.
    moist: Kept<(Tag, u64), BTreeMap<u8, String>>,
}

/// The key of a draft of one thing.
fn key(thing: Thing, field: &str) -> String {
    format!("order/weigh/{thing}/{field}")
}

impl Weighing {
    /// The scale that is used: the chosen one, else one that is believed, else the first in use; none where the shelf has
    /// none.
    fn scale(&self, studio: &Studio, all: &[(ShelfId, String)]) -> Option<ShelfId> {
        let chosen = self.scale.clone().filter(|scale| all.iter().any(|(id, _)| id == scale));
        let first = || all.first().map(|(id, _)| id.clone());
        chosen.or_else(|| studio.believed_scale().map(|(id, _)| id.clone())).or_else(first)
    }

    /// Which scale, where there are several.
    fn scale_ui(&mut self, ui: &mut Ui, cx: &Cx<'_>, key: &str) -> Option<ShelfId> {
        let all = weighing::scales(cx.view.studio);
        let now = self.scale(cx.view.studio, &all);
        if all.len() > 1 {
            let field = Field::new(key, labels::SCALE).wide(150.0);
            if let Some(scale) = choice(ui, field, now.as_ref(), &all) {
                self.scale = Some(scale);
            }
        }
        self.scale(cx.view.studio, &all)
    }

    /// What a thing holds, by scale or by eye.
    pub(super) fn thing_ui(&mut self, ui: &mut Ui, cx: &mut Cx<'_>, thing: Thing) {
        let scale = self.scale_ui(ui, cx, &key(thing, "scale"));
        let air = scale.as_ref().map_or(Ok(None), |_| air_ui(ui, cx));
        reading_ui(ui, cx, thing, (scale.as_ref(), air));
    }

    /// That a thing was dried: it weighs less without anything being gone.
    pub(super) fn dried_ui(&mut self, ui: &mut Ui, cx: &mut Cx<'_>, thing: Thing) {
        if !fold(ui, &labels::dried(thing), &mut self.drying) {
            gap(ui, 2.0 * space::STEP);
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

    /// Beside the count of a material: what the eye said, drying and damp air, and what weighing back could tell. `here`
    /// where the things can be weighed at once.
    pub(super) fn account_ui(&mut self, ui: &mut Ui, cx: &mut Cx<'_>, account: &Account, here: bool) {
        let (studio, held, lot) = (cx.view.studio, cx.held, account.lot);
        for judged in judged_now(held).filter(|judged| judged.lot == lot) {
            second(ui, words::sentence(&judged_words(studio, held, judged)));
        }
        let of = (cx.tag, cx.view.revision);
        let all = || held.ledger.custody.lots.keys().map(|lot| (*lot, moisture_note(held, *lot))).collect();
        let moist: Option<&String> = self.moist.get(of, all).get(&lot);
        if let Some(moist) = moist.filter(|words| !words.is_empty()) {
            second(ui, moist.as_str());
        }
        let Some(first) = self.scale(studio, &weighing::scales(studio)) else {
            if !account.worth.is_empty() {
                second(ui, account.worth.as_str());
            }
            return;
        };
        if weigh_rows(studio, held, lot, &first).is_empty() {
            return;
        }
        let mut open = self.open == Some(lot);
        let was = open;
        if fold(ui, &labels::back(&account.name), &mut open) {
            self.back_ui(ui, cx, lot, here);
        }
        if open != was {
            self.open = open.then_some(lot);
        }
    }

    /// What weighing each thing of a material again could tell, and where it could tell something, its field.
    fn back_ui(&mut self, ui: &mut Ui, cx: &mut Cx<'_>, lot: u8, here: bool) {
        let Some(scale) = self.scale_ui(ui, cx, "order/weigh/back") else { return };
        let rows = weigh_rows(cx.view.studio, cx.held, lot, &scale);
        let air =
            if here && rows.iter().any(|row| row.worth == Worth::Yes) { air_ui(ui, cx) } else { Ok(None) };
        for row in rows {
            let tokens = Tokens::of(ui);
            let worth = row.worth == Worth::Yes;
            let ink = if worth { tokens.ink } else { tokens.ink_2 };
            say(ui, Face::Strong, ink, words::sentence_start(&row.who));
            second(ui, labels::tells(row.worth, &row.words));
            if worth && here {
                reading_ui(ui, cx, row.thing, (Some(&scale), air));
            }
            gap(ui, space::STEP);
        }
    }
}

/// How damp the air is, where that is written; what is to be done while it cannot be read.
type Air = Result<Option<u8>, &'static str>;

fn air_ui(ui: &mut Ui, cx: &mut Cx<'_>) -> Air {
    let field = Field::new(AIR, labels::AIR).wide(110.0).hint(labels::AIR_HINT);
    let air = form_read(ui, cx.drafts, field, weighing::air);
    if cx.drafts.text(AIR).trim().is_empty() { Ok(None) } else { air.ok_or(labels::AIR_FIRST) }
}

/// The draft of how damp the air is.
const AIR: &str = "order/weigh/air";

/// The field for what a thing holds.
fn reading_ui(ui: &mut Ui, cx: &mut Cx<'_>, thing: Thing, (scale, air): (Option<&ShelfId>, Air)) {
    let (label, what) = (labels::holds(thing), key(thing, "what"));
    let field = Field::new(&what, &label).wide(242.0).hint(labels::HOLDS_HINT);
    let (studio, held) = (cx.view.studio, cx.held);
    let shown = workbench::present::things::weighed(held, thing).unwrap_or_default();
    let reader = |text: &str| weighing::seen(studio, held, thing, (scale, air?), text);
    match read(ui, cx.drafts, field, &shown, reader) {
        Some(Seen::Fact(fact)) => cx.hand_in(vec![cx.fact_edit(fact)], &[AIR]),
        Some(Seen::Looks(looks)) => cx.sheet(|sheet| describe(sheet, thing, looks)),
        None => {}
    }
}
