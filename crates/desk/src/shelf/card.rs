//! How much of a pigment hides the metal, found with a card: two steps of a film.

use craft::cure::Factor;
use craft::hiding::Card;
use craft::shelf::Pigment;
use egui::{Ui, vec2};
use workbench::present::card_words;
use workbench::present::labels::{card as labels, shell};
use workbench::shelving::card::{self, CardTyped};
use workbench::shelving::observations;

use super::form::{Form, flow, read_cell};
use crate::draw::card::card as drawn;
use crate::draw::shade;
use crate::look::{Face, Tokens, space};
use crate::widgets::{care, fold, gap, link, main_button, note, picture, say, second};

/// The picture.
const PICTURE: egui::Vec2 = vec2(420.0, 96.0);

/// What the page remembers of line tests while the pigment is open.
#[derive(Debug, Default)]
pub(super) struct Cards {
    open: bool,
    /// What was written down since, and what was planned with before: it can be taken back.
    fresh: Vec<(Card, Factor)>,
}

/// Shows the tests and asks for another; gives the one that is typed, where it can be read.
pub(super) fn ui(ui: &mut Ui, form: &mut Form<'_>, pigment: &Pigment) -> Option<Card> {
    made_ui(ui, form, pigment);
    if fold(ui, labels::OPEN, &mut form.memory.cards.open) {
        gap(ui, 2.0 * space::STEP);
        return test_ui(ui, form, pigment);
    }
    None
}

/// The tests that were made.
fn made_ui(ui: &mut Ui, form: &mut Form<'_>, pigment: &Pigment) {
    let all = card_words::cards(pigment, form.view.now.day());
    if all.is_empty() {
        return;
    }
    say(ui, Face::Second, Tokens::of(ui).ink_3, labels::MADE);
    // Only the newest, and only while it is planned with: what was planned with before it is known.
    let planned = |card: &Card| card.found().is_ok_and(|found| found.need == pigment.mix.hiding);
    let mut newest = form.memory.cards.fresh.last().filter(|(card, _)| planned(card)).cloned();
    let mut back = None;
    for (card, line) in all {
        say(ui, Face::Body, Tokens::of(ui).ink, line);
        if let Some((_, before)) = newest.take_if(|(fresh, _)| *fresh == card)
            && link(ui, labels::TAKE_BACK).clicked()
        {
            back = Some((card, before));
        }
    }
    if let Some((card, before)) = back {
        form.choose(card::without_card(&form.item, &card, before));
        form.memory.cards.fresh.pop();
    }
    gap(ui, 2.0 * space::STEP);
}

fn test_ui(ui: &mut Ui, form: &mut Form<'_>, pigment: &Pigment) -> Option<Card> {
    second(ui, labels::WORDS);
    second(ui, labels::CAUTION);
    gap(ui, 2.0 * space::STEP);
    picture(ui, PICTURE, labels::PICTURE, |painter, tokens, rect| {
        drawn(painter, tokens, rect, shade(pigment.colour));
    });
    gap(ui, 2.0 * space::STEP);
    let keys = ["load", "seen", "hidden", "day"].map(|part| format!("shelf/{}/card/{part}", form.id));
    let [load_key, seen_key, hidden_key, day_key] = &keys;
    let today = form.view.now.day();
    flow(ui, |ui| {
        read_cell(ui, form, load_key, (labels::LOAD, labels::LOAD_HINT), observations::load);
        read_cell(ui, form, seen_key, (labels::SEEN, labels::SEEN_HINT), card::step);
        read_cell(ui, form, hidden_key, (labels::HIDDEN, labels::HIDDEN_HINT), card::step);
        read_cell(ui, form, day_key, (labels::DAY, labels::DAY_HINT), |text| {
            observations::seen_on(text, today)
        });
    });
    gap(ui, 2.0 * space::STEP);
    let [load, seen, hidden, day] = keys.clone().map(|key| form.drafts.text(&key).to_owned());
    let test = card::card(&CardTyped { load: &load, seen: &seen, hidden: &hidden, day: &day }, today);
    match test.as_ref().map_err(Clone::clone).and_then(|test| card_words::said(pigment, test)) {
        Ok(said) => drop(note(ui, |ui| say(ui, Face::Body, Tokens::of(ui).ink_2, said))),
        // Before what is needed is there nothing is wrong yet.
        Err(why) => {
            let [how_much, steps] = labels::NEEDS;
            let has_step = !seen.is_empty() || !hidden.is_empty();
            let missing = shell::still_missing(&[(how_much, !load.is_empty()), (steps, has_step)]);
            care(ui, missing.unwrap_or_else(|| shell::not_yet(why)));
        }
    }
    gap(ui, 2.0 * space::STEP);
    let pressed = ui.add_enabled_ui(test.is_ok(), |ui| main_button(ui, labels::KEEP)).inner.clicked();
    if let (true, Ok(test)) = (pressed, test.clone()) {
        let before = pigment.mix.hiding;
        form.choose(card::with_card(&form.item, test.clone()));
        if form.memory.trouble.is_none() {
            form.memory.cards.fresh.push((test, before));
            form.memory.cards.open = false;
            form.drafts.clear_under(&format!("shelf/{}/card/", form.id));
        }
    }
    test.ok()
}
