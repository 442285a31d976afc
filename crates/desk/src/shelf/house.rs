//! What the studio itself goes by.

use std::borrow::Cow;

use craft::money::Currency;
use craft::policies::{PaperSize, Policies};
use craft::studio::Edit;
use egui::Ui;
use workbench::action::Action;
use workbench::present::labels::shelf as labels;
use workbench::present::shelf_words;
use workbench::shelving::{self, HouseField};
use workbench::typed::Typed;
use workbench::view::View;

use super::form::{CELL, cell, flow};
use crate::cx::Wish;
use crate::look::{Face, Tokens, space};
use crate::widgets::{Drafts, Field, choice, form_line, gap, heading, link, one_of, read, say, second, text};

/// The draft of a new place.
const NEW_PLACE: &str = "shelf/studio/new place";

struct House<'a> {
    /// As they stand after what was put in this frame: a second change goes on from the first.
    now: Cow<'a, Policies>,
    drafts: &'a mut Drafts,
    wishes: &'a mut Vec<Wish>,
}

impl House<'_> {
    fn put(&mut self, house: Policies) {
        self.wishes.push(Wish::Act(Action::Edit(Edit::Policies(Box::new(house.clone())))));
        self.now = Cow::Owned(house);
    }

    /// The same for what a form says: its draft is let go only once the settings were taken.
    fn hand_in(&mut self, house: Policies, draft: &str) {
        let edits = vec![Edit::Policies(Box::new(house.clone()))];
        self.wishes.push(Wish::HandIn { edits, clear: vec![draft.to_owned()] });
        self.now = Cow::Owned(house);
    }

    fn field(&mut self, ui: &mut Ui, of: HouseField, (label, under): (&str, &str), width: f32) {
        cell(ui, width, |ui| {
            let key = format!("shelf/studio/{of:?}");
            let shown = shelving::house_said(&self.now, of);
            let house = &*self.now;
            let reader = |text: &str| shelving::house_put(house, of, text);
            let field = Field::new(&key, label).wide(width);
            if let Some(house) = read(ui, self.drafts, field, &shown, reader) {
                self.put(house);
            }
            if !under.is_empty() {
                say(ui, Face::Second, Tokens::of(ui).ink_3, under);
            }
        });
    }

    fn post_ui(&mut self, ui: &mut Ui) {
        cell(ui, 300.0, |ui| {
            let field = Field::new("shelf/studio/post", labels::HOUSE_POST).wide(300.0);
            if let Some(post) = text(ui, self.drafts, field, &self.now.post) {
                self.put(Policies { post, ..Policies::clone(&self.now) });
            }
        });
    }
}

/// The studio's settings.
pub(super) fn ui(ui: &mut Ui, view: &View<'_>, drafts: &mut Drafts, wishes: &mut Vec<Wish>) {
    let mut house = House { now: Cow::Borrowed(view.studio.policies()), drafts, wishes };
    ui.set_max_width(space::READING.min(ui.available_width()));
    papers_ui(ui, &mut house);
    gap(ui, space::BLOCK);
    accounts_ui(ui, &mut house);
    second(ui, labels::SCALES_THERE);
    gap(ui, 3.0 * space::STEP);
    bench_ui(ui, &mut house);
    gap(ui, space::BLOCK);
    places_ui(ui, &mut house);
    gap(ui, space::BLOCK);
    heading(ui, labels::TIMES);
    second(ui, labels::TIMES_WORDS);
    gap(ui, 2.0 * space::STEP);
    flow(ui, |ui| {
        house.field(ui, HouseField::Lay, (labels::LAY, ""), CELL);
        house.field(ui, HouseField::Settle, (labels::SETTLE, ""), CELL);
        house.field(ui, HouseField::Cool, (labels::COOL, ""), CELL);
    });
}

fn papers_ui(ui: &mut Ui, house: &mut House<'_>) {
    heading(ui, labels::ON_PAPERS);
    gap(ui, 2.0 * space::STEP);
    flow(ui, |ui| {
        house.field(ui, HouseField::Name, (labels::HOUSE_NAME, ""), 240.0);
        house.field(ui, HouseField::Contact, (labels::HOUSE_CONTACT, ""), 300.0);
        house.post_ui(ui);
        house.field(ui, HouseField::HeatWords, (labels::HEAT_WORDS, labels::HEAT_WORDS_WORDS), 420.0);
    });
    gap(ui, 3.0 * space::STEP);
    flow(ui, |ui| {
        cell(ui, CELL, |ui| {
            let papers = [PaperSize::A4, PaperSize::Letter].map(|paper| (paper, labels::paper(paper)));
            if let Some(paper) = one_of(ui, labels::PAPER, Some(&house.now.paper), &papers) {
                house.put(Policies { paper, ..Policies::clone(&house.now) });
            }
        });
        cell(ui, 120.0, |ui| {
            let all: Vec<(Currency, String)> =
                Currency::all().map(|currency| (currency, currency.code().to_owned())).collect();
            let field = Field::new("shelf/studio/currency", labels::CURRENCY).wide(120.0);
            if let Some(currency) = choice(ui, field, Some(&house.now.currency), &all) {
                house.put(Policies { currency, ..Policies::clone(&house.now) });
            }
        });
        house.field(ui, HouseField::NudgeDays, (labels::NUDGE, labels::NUDGE_WORDS), CELL);
    });
}

fn accounts_ui(ui: &mut Ui, house: &mut House<'_>) {
    heading(ui, labels::ACCOUNTS);
    gap(ui, 2.0 * space::STEP);
    flow(ui, |ui| {
        house.field(ui, HouseField::KeepBack, (labels::KEEP_BACK, ""), CELL);
        house.field(ui, HouseField::TellLimit, (labels::TELL_LIMIT, labels::TELL_LIMIT_WORDS), 260.0);
    });
    gap(ui, 3.0 * space::STEP);
    let there = house.now.scale.is_some();
    if let Some(there) = one_of(ui, labels::SCALE, Some(&there), &labels::SCALES) {
        house.put(shelving::with_scale(&house.now, there));
    }
    gap(ui, 2.0 * space::STEP);
    if !there {
        second(ui, labels::NO_SCALE);
        return;
    }
    flow(ui, |ui| {
        house.field(ui, HouseField::LastDigit, (labels::LAST_DIGIT, ""), CELL);
        house.field(ui, HouseField::Spread, (labels::SPREAD, labels::SPREAD_WORDS), 260.0);
    });
    if let Some(words) = shelf_words::scale_tells(&house.now) {
        second(ui, words);
    }
}

/// The bench is cleared between two clients, or nobody asks.
fn bench_ui(ui: &mut Ui, house: &mut House<'_>) {
    let asked = house.now.bench_clear;
    if let Some(bench_clear) = one_of(ui, labels::BENCH, Some(&asked), &labels::BENCHES) {
        house.put(Policies { bench_clear, ..Policies::clone(&house.now) });
    }
}

fn places_ui(ui: &mut Ui, house: &mut House<'_>) {
    heading(ui, labels::PLACES);
    second(ui, labels::PLACES_WORDS);
    gap(ui, 2.0 * space::STEP);
    flow(ui, |ui| {
        for at in 0..house.now.places.len() {
            house.field(ui, HouseField::Place(at), (&labels::place(at + 1), ""), CELL);
        }
    });
    gap(ui, 2.0 * space::STEP);
    let mut entered = false;
    flow(ui, |ui| {
        cell(ui, CELL, |ui| {
            let field = Field::new(NEW_PLACE, labels::NEW_PLACE).wide(CELL).hint(labels::NEW_PLACE_HINT);
            let response = form_line(ui, house.drafts, field);
            entered = response.lost_focus() && ui.input(|input| input.key_pressed(egui::Key::Enter));
        });
        if house.drafts.text(NEW_PLACE).trim().is_empty() {
            return;
        }
        cell(ui, 80.0, |ui| {
            gap(ui, 24.0);
            entered |= link(ui, labels::ADD_PLACE).clicked();
        });
    });
    match shelving::with_another_place(&house.now, house.drafts.text(NEW_PLACE)) {
        Ok(Typed { value, .. }) if entered => {
            house.hand_in(value, NEW_PLACE);
        }
        Err(why) if !house.drafts.text(NEW_PLACE).trim().is_empty() => {
            let words = format!("{}.", workbench::present::words::sentence_start(&why));
            say(ui, Face::Second, Tokens::of(ui).care, words);
        }
        _ => {}
    }
}
