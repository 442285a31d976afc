//! After: the parcel's way, what the client said, what came back, and the quiet end.

pub(in crate::pages) mod late;
mod things;

use craft::fact::{ClientFact, HomeFact, MessageKind, PaperKind};
use craft::id::Thing;
use craft::order::{About, Page};
use craft::place::Place;
use craft::stage::Next;
use egui::Ui;
use workbench::present::board::{next_words, page_of};
use workbench::present::labels::after as labels;
use workbench::present::labels::shell::not_yet;
use workbench::present::messages::message;
use workbench::present::pages::page;
use workbench::present::paper_rows::{care_card, lacks_care_card, out_of_date};
use workbench::present::words;

use super::between::{Between, holds_any};
use super::brief::onward_ui;
use super::common;
use crate::cx::{Cx, Wish};
use crate::look::{Face, Tokens, space};
use crate::widgets::{
    Column, Field, care, cells, columns, gap, heading, known, link, main_button, plain_button, rule, say,
    second, text,
};

/// What is being told of a thing.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
enum Telling {
    #[default]
    CameBack,
    Fault,
}

/// The after page's own state.
#[derive(Debug, Default)]
pub(super) struct AfterPage {
    /// Something is being told of a thing.
    telling: bool,
    what: Telling,
    thing: Option<Thing>,
    place: Option<Place>,
    /// What is still to be said before it can be recorded.
    wanted: Option<&'static str>,
    /// How long the log was when it was handed in: the form is empty again once it is taken.
    told_at: Option<u32>,
}

const ARRIVED_ON: &str = "order/after/arrived";
const THANKED_ON: &str = "order/after/thanked";

impl AfterPage {
    pub(crate) fn ui(&mut self, ui: &mut Ui, cx: &mut Cx<'_>, between: &mut Between) {
        next_ui(ui, cx);
        gap(ui, 4.0 * space::STEP);
        rule(ui);
        gap(ui, 5.0 * space::STEP);
        if cx.held.ledger.home.sent.is_none() {
            second(ui, labels::NOT_SENT);
            parts_ui(ui, cx);
            if holds_any(cx) {
                between.onward_ui(ui, cx);
            }
        } else {
            columns(ui, 0.56, |ui, column| match column {
                Column::First => {
                    self.things_ui(ui, cx);
                    between.onward_ui(ui, cx);
                }
                Column::Second => parcel_ui(ui, cx),
            });
        }
        gap(ui, space::BLOCK);
        common::words_ui(ui, cx, Page::After);
        common::cautions_ui(ui, cx, Page::After);
    }
}

/// What is next, or the quiet end.
fn next_ui(ui: &mut Ui, cx: &mut Cx<'_>) {
    let today = cx.view.now.day();
    let next = cx.held.next(today, cx.view.studio.policies().nudge_days);
    match next {
        Next::AwaitArrival => arrived_ui(ui, cx, next),
        Next::Thank => thank_ui(ui, cx),
        next => {
            if let (Next::Done, Some((title, rest))) = (next, labels::end(cx.held)) {
                say(ui, Face::NameSmall, Tokens::of(ui).ink, title);
                second(ui, rest);
                return;
            }
            let (said, to) = (next_words(cx.view.studio, cx.held, next, today), page_of(next));
            let said = words::sentence_start(&said);
            if to == Page::After {
                say(ui, Face::Strong, Tokens::of(ui).ink, format!("{said}."));
            } else {
                onward_ui(ui, cx, next.turn(), &said, to);
            }
        }
    }
}

fn arrived_ui(ui: &mut Ui, cx: &mut Cx<'_>, next: Next) {
    let said = next_words(cx.view.studio, cx.held, next, cx.view.now.day());
    second(ui, format!("{}.", words::sentence_start(&said)));
    gap(ui, 2.0 * space::STEP);
    let mut when = late::When::Now;
    cells(ui, &[170.0, 200.0], |ui, place| {
        if place == 0 {
            when = late::day_ui(ui, cx, ARRIVED_ON, labels::DAY);
        } else {
            gap(ui, 18.0);
            if main_button(ui, labels::ARRIVED).clicked() {
                late::record(cx, when, HomeFact::Arrived, ARRIVED_ON);
            }
        }
    });
}

/// The thank-you: the words are ready, and either side's word ends the order.
fn thank_ui(ui: &mut Ui, cx: &mut Cx<'_>) {
    let tokens = Tokens::of(ui);
    let ready = message(cx.view.studio, cx.tag, MessageKind::ThankYou, cx.view.now);
    let mut when = late::When::Now;
    match &ready {
        Ok(message) => {
            say(ui, Face::Body, tokens.ink_2, message.body.as_str());
            if let Some(hold) = &message.hold {
                gap(ui, space::STEP);
                care(ui, hold.as_str());
            }
            gap(ui, 3.0 * space::STEP);
        }
        Err(why) => {
            care(ui, not_yet(why));
            gap(ui, 2.0 * space::STEP);
        }
    }
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing.x = 5.0 * space::STEP;
        if let Ok(message) = ready
            && main_button(ui, labels::COPY_THANKS).clicked()
        {
            cx.wish(Wish::Copy(message.body));
        }
        say(ui, Face::Second, tokens.ink_3, labels::THANKS_HINT);
    });
    gap(ui, 2.0 * space::STEP);
    cells(ui, &[170.0, 170.0, 130.0], |ui, place| {
        if place == 0 {
            when = late::day_ui(ui, cx, THANKED_ON, labels::DAY);
            return;
        }
        gap(ui, 22.0);
        let (said, fact) = if place == 1 {
            (labels::THANKS_SENT, ClientFact::MessageSent { about: MessageKind::ThankYou })
        } else {
            (labels::WROTE_BACK, ClientFact::Thanked)
        };
        if plain_button(ui, said).clicked() {
            late::record(cx, when, fact, THANKED_ON);
        }
    });
}

/// The parcel's way, what the client said, and the faults.
fn parcel_ui(ui: &mut Ui, cx: &mut Cx<'_>) {
    heading(ui, labels::PARCEL);
    gap(ui, space::STEP);
    if let Some(told) = page(cx.view.studio, cx.tag, Page::After, cx.view.now) {
        let parcel = told.known.iter().filter(|line| !labels::is_elsewhere(&line.label));
        known(ui, parcel.map(|line| (line.label.as_str(), line.words.as_str())));
        for missing in &told.missing {
            say(
                ui,
                Face::Second,
                Tokens::of(ui).ink_2,
                format!("{}.", words::sentence_start(&missing.words)),
            );
        }
    }
    let arrived = cx.held.ledger.home.arrived.is_some();
    if arrived && !cx.held.ledger.client.thanked && is_over(cx) {
        gap(ui, space::STEP);
        if link(ui, labels::WROTE_BACK).clicked() {
            cx.fact(ClientFact::Thanked);
        }
    }
    parts_ui(ui, cx);
    care_card_ui(ui, cx);
    faults_ui(ui, cx);
}

/// Parcels that left with a part while the work went on.
fn parts_ui(ui: &mut Ui, cx: &mut Cx<'_>) {
    let parts = labels::parts(cx.held, cx.view.now.day());
    if parts.is_empty() {
        return;
    }
    gap(ui, 3.0 * space::STEP);
    heading(ui, labels::PARTS);
    for words in parts {
        second(ui, words);
    }
    let travels = cx.held.ledger.custody.things.values().any(|kept| kept.place == Place::Post && !kept.lost);
    if travels && cx.held.ledger.home.sent.is_none() && link(ui, labels::PART_ARRIVED).clicked() {
        cx.fact(HomeFact::Arrived);
    }
}

/// The care card, which can be written and sent later too.
fn care_card_ui(ui: &mut Ui, cx: &mut Cx<'_>) {
    let written = care_card(cx.held, cx.view.now);
    if written.is_none() && !lacks_care_card(cx.held) {
        return;
    }
    gap(ui, space::STEP);
    say(ui, Face::Body, Tokens::of(ui).ink_2, labels::care_card(written.as_deref()));
    if let Some(why) = out_of_date(cx.held, PaperKind::Care) {
        say(ui, Face::Body, Tokens::of(ui).care, words::sentence(&why));
    }
    let way = if written.is_some() { labels::CARE_AGAIN } else { labels::CARE_WRITE };
    if link(ui, way).clicked() {
        cx.wish(Wish::Paper(PaperKind::Care));
    }
}

/// True once the thank-you is not the next thing any more: they may still write back.
fn is_over(cx: &Cx<'_>) -> bool {
    cx.held.next(cx.view.now.day(), cx.view.studio.policies().nudge_days) == Next::Done
}

fn faults_ui(ui: &mut Ui, cx: &mut Cx<'_>) {
    let faults = &cx.held.ledger.home.faults;
    if faults.is_empty() {
        return;
    }
    gap(ui, space::BLOCK);
    heading(ui, labels::FAULTS);
    for (entry, thing) in faults {
        gap(ui, space::STEP);
        let day = cx.held.order.log.entry(*entry).map(craft::log::Entry::day);
        let day = day.map(|day| words::date(day, cx.view.now.day())).unwrap_or_default();
        let name = labels::fault(&words::thing(cx.held, *thing), &day);
        say(ui, Face::Strong, Tokens::of(ui).ink, words::sentence_start(&name));
        let about = About::Entry(*entry);
        let now = cx.held.order.story.about(about).cloned().unwrap_or_default();
        let (key, label) =
            (format!("order/after/fault/{entry}"), labels::of_thing(labels::FAULT_WORDS, &name));
        if let Some(said) = text(ui, cx.drafts, Field::new(&key, &label).wide(0.0), &now) {
            cx.story(about, said);
        }
    }
}
