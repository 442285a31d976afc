//! A scale: what it can tell, how the packet is kept out of it, and its tries with something of a known weight.

use craft::scale::{Coin, Known, ScaleProfile, Tare};
use egui::Ui;
use workbench::present::custody;
use workbench::present::labels::shelf as labels;
use workbench::present::words;
use workbench::shelving::{self, Field as Of};

use super::form::{CELL, Form, cell, flow};
use crate::look::{Face, Tokens, space};
use crate::widgets::{Field, choice, form_read, gap, heading, link, one_of, plain_button, say, second};

/// What a scale is tried with: a coin, or a weight that is written beside it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum With {
    /// A coin.
    Coin(Coin),
    /// A weight of its own.
    Weight,
}

pub(super) fn ui(ui: &mut Ui, form: &mut Form<'_>, scale: &ScaleProfile) {
    flow(ui, |ui| {
        form.field(ui, &Of::LastDigit, (labels::LAST_DIGIT, labels::LAST_DIGIT_WORDS), "1 mg");
        form.field_in(ui, &Of::Spread, (labels::SPREAD, labels::SPREAD_WORDS), labels::NEVER_TRIED, 260.0);
        form.field(ui, &Of::MostLoad, (labels::MOST_LOAD, ""), "50 g");
    });
    gap(ui, 3.0 * space::STEP);
    let weighed = matches!(scale.tare, Tare::Packet { .. });
    if let Some(weighed) = one_of(ui, labels::PACKET, Some(&weighed), &labels::PACKETS) {
        form.choose(shelving::with_packet(&form.item, weighed));
    }
    if weighed {
        gap(ui, 2.0 * space::STEP);
        form.field_in(ui, &Of::EmptyPacket, (labels::EMPTY_PACKET, labels::EMPTY_PACKET_WORDS), "1 g", 300.0);
    }
    gap(ui, 2.0 * space::STEP);
    say(ui, Face::Body, Tokens::of(ui).ink_2, custody::least_words(scale));
    gap(ui, 5.0 * space::STEP);
    tries_ui(ui, form, scale);
    form.trouble_ui(ui);
    gap(ui, 3.0 * space::STEP);
}

fn tries_ui(ui: &mut Ui, form: &mut Form<'_>, scale: &ScaleProfile) {
    heading(ui, labels::TRIES);
    second(ui, labels::TRIES_WORDS);
    gap(ui, 2.0 * space::STEP);
    let newest = scale.tried.len().saturating_sub(1);
    for (at, tried) in scale.tried.iter().enumerate().rev().take(SHOWN) {
        let today = form.view.now.day();
        let said = format!("{}: {}.", words::date(tried.on, today), custody::try_words(scale, tried));
        let ink = if at == newest { Tokens::of(ui).ink } else { Tokens::of(ui).ink_3 };
        say(ui, Face::Body, ink, words::sentence_start(&said));
    }
    if scale.tried.is_empty() {
        say(ui, Face::Body, Tokens::of(ui).care, labels::NEVER);
    } else if link(ui, labels::TRY_BACK).clicked() {
        form.choose(shelving::without_newest_try(&form.item));
    }
    gap(ui, 3.0 * space::STEP);
    let mut known = None;
    let shown_key = format!("shelf/{}/shown", form.id);
    let mut able = false;
    flow(ui, |ui| {
        known = with_ui(ui, form);
        cell(ui, WIDE, |ui| {
            let field = Field::new(&shown_key, labels::SHOWN).wide(WIDE).hint(labels::SHOWN_HINT);
            let (item, today) = (&*form.item, form.view.now.day());
            let with = known.unwrap_or(Known::Coin(Coin::OneEuro));
            able =
                form_read(ui, form.drafts, field, |text| shelving::tried(item, with, text, today)).is_some();
        });
    });
    let with = known.filter(|_| able);
    gap(ui, 2.0 * space::STEP);
    let pressed = ui.add_enabled_ui(with.is_some(), |ui| plain_button(ui, labels::KEEP_TRY)).inner.clicked();
    if let Some(with) = with.filter(|_| pressed) {
        let made = shelving::tried(&form.item, with, form.drafts.text(&shown_key), form.view.now.day());
        form.choose(made.map(|typed| typed.value));
        form.drafts.clear(&shown_key);
    }
}

/// The column in which a try is said, with what it shows under it.
const WIDE: f32 = 300.0;
/// How many tries are shown, the newest first.
const SHOWN: usize = 6;

/// What is put on the scale; none while a weight cannot be read.
fn with_ui(ui: &mut Ui, form: &mut Form<'_>) -> Option<Known> {
    let coins = Coin::ALL.map(|coin| (With::Coin(coin), custody::known(Known::Coin(coin))));
    let all: Vec<(With, String)> =
        coins.into_iter().chain([(With::Weight, labels::A_WEIGHT.to_owned())]).collect();
    let now = form.memory.with.unwrap_or(With::Coin(Coin::OneEuro));
    cell(ui, CELL, |ui| {
        let key = format!("shelf/{}/with", form.id);
        let field = Field::new(&key, labels::TRY_WITH).wide(CELL);
        form.memory.with = choice(ui, field, Some(&now), &all).or(form.memory.with);
    });
    let With::Weight = form.memory.with.unwrap_or(now) else {
        let With::Coin(coin) = form.memory.with.unwrap_or(now) else { return None };
        return Some(Known::Coin(coin));
    };
    cell(ui, CELL, |ui| {
        let key = format!("shelf/{}/stamped", form.id);
        let field = Field::new(&key, labels::STAMPED).wide(CELL).hint(labels::STAMPED_HINT);
        form_read(ui, form.drafts, field, shelving::known_weight)
    })
}
