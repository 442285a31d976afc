//! What a step asks for, to be answered: one main button, and the few things beside it.

use std::fmt::Display;

use craft::fact::{Amount, Fact, Hardness, LayerKind, PourFact};
use craft::id::{Thing, ThingKind};
use craft::order::Page;
use craft::place::Place;
use craft::units::Share;
use egui::Ui;
use workbench::handling;
use workbench::pouring::{self, AskLamp, Lay, Light, Step, Why};
use workbench::present::custody;
use workbench::present::labels::pour as label;
use workbench::present::{places, pour_words, words};
use workbench::typed;

use super::super::pack::TagField;
use super::keys::facts;
use super::{Now, Otherwise, PourPage, Space, plan_it};
use crate::cx::Cx;
use crate::look::{Face, Tokens, space};
use crate::widgets::{
    self, Field, choice, fold, form_read, gap, link, main_button, plain_button, say, second, tick,
};

/// The key of a draft. Every one names its stone and what it is said of, so that what was typed at one stone is never
/// handed in for another.
fn draft(no: u8, of: impl Display, field: &str) -> String {
    format!("order/pour/{no}/{of}/{field}")
}

pub(super) fn ui(page: &mut PourPage, ui: &mut Ui, cx: &mut Cx<'_>, now: &Now<'_>) {
    // What a layer came out as, and what ends a wait, never has the keyboard from the step before.
    let by_itself = matches!(
        now.step,
        Step::Settle(..)
            | Step::AskLamp(_)
            | Step::Cool(_)
            | Step::Feel { .. }
            | Step::TakeOut
            | Step::Finished
    );
    let own = by_itself.then(|| (now.no, std::mem::discriminant(now.step)));
    ui.push_id(own, |ui| step_ui(page, ui, cx, now));
}

fn step_ui(page: &mut PourPage, ui: &mut Ui, cx: &mut Cx<'_>, now: &Now<'_>) {
    let no = now.no;
    match now.step {
        Step::Closed(_) => {}
        Step::Plan | Step::PlanAgain(_) | Step::NoShare => {
            if main_button(ui, label::TO_PLAN).clicked() {
                plan_it(cx, no);
            }
        }
        Step::KeepBack(_) => go_ui(ui, cx, label::TO_ARRIVAL, Page::Arrival),
        Step::Finished => finished_ui(page, ui, cx, now),
        Step::Begin { mould, cell } => {
            if main_button(ui, label::BEGIN).clicked() || now.space == Space::Pressed {
                cx.fact(pouring::begin(no, mould, cell));
                // The next thing is the tag of the packet.
                page.begun = Some(no);
            }
            space_ui(ui, now, label::SPACE_BEGIN);
        }
        Step::Open(thing) => open_ui(page, ui, cx, no, *thing),
        Step::PutIn { from, lot, part } => put_in_ui(page, ui, cx, no, (*from, *lot, *part)),
        Step::Close(thing) => close_ui(page, ui, cx, *thing),
        Step::Lay(lay) => lay_ui(page, ui, cx, now, lay),
        Step::Settle(_, light) => {
            if link(ui, label::LIGHT_NOW).clicked() {
                page.hurried = Some((no, light.layer));
            }
        }
        Step::Light(light) => light_ui(page, ui, cx, no, light),
        Step::Lit(wait) => {
            record_ui(ui, cx, label::PAUSE, || pouring::lamp_off(wait));
            second(ui, label::SPACE_PAUSE);
        }
        Step::LightOver(wait) => {
            record_ui(ui, cx, label::LAMP_OFF, || pouring::lamp_off(wait));
            second(ui, label::SPACE_OFF);
        }
        Step::AskLamp(asked) => ask_ui(ui, cx, no, asked),
        Step::Cool(wait) => {
            if link(ui, label::COOL_NOW).clicked() {
                cx.fact(pouring::cooled(wait));
            }
        }
        Step::Feel { layer, cooled_now } => feel_ui(ui, cx, no, *layer, *cooled_now),
        Step::TakeOut => take_out_ui(page, ui, cx, no),
    }
}

/// What the space bar does, under the button it stands for.
fn space_ui(ui: &mut Ui, now: &Now<'_>, words: &str) {
    match now.space {
        Space::No => {}
        // What has the keyboard has the space bar; the words keep their room, so that nothing moves under the hand.
        Space::Held => {
            ui.scope(|ui| {
                ui.set_invisible();
                second(ui, words);
            });
        }
        Space::Ready | Space::Pressed => {
            second(ui, words);
        }
    }
}

fn go_ui(ui: &mut Ui, cx: &mut Cx<'_>, words: &str, page: Page) {
    if main_button(ui, words).clicked() {
        cx.go(page);
    }
}

/// Another stone that hands are wanted at, else the proof.
fn finished_ui(page: &mut PourPage, ui: &mut Ui, cx: &mut Cx<'_>, now: &Now<'_>) {
    match now.other {
        Some((other, step)) => {
            if main_button(ui, &pour_words::go_on(other, step)).clicked() {
                page.look_at(other);
            }
        }
        None => go_ui(ui, cx, label::TO_SHOW, Page::Show),
    }
}

fn record_ui(ui: &mut Ui, cx: &mut Cx<'_>, words: &str, fact: impl FnOnce() -> Fact) {
    if main_button(ui, words).clicked() {
        cx.fact(fact());
    }
}

/// The tag is typed, scanned or picked; Enter opens the packet once it is this order's.
fn open_ui(page: &mut PourPage, ui: &mut Ui, cx: &mut Cx<'_>, no: u8, thing: Thing) {
    if page.opening != Some(thing) {
        (page.opening, page.tag) = (Some(thing), TagField::default());
    }
    if page.begun.take() == Some(no) {
        page.tag.ask();
    }
    let key = format!("once/{}", draft(no, thing, "tag"));
    let read = page.tag.ui(ui, cx, (&key, label::TAG), Some(thing));
    // The label of a stone is read where that stone is meant.
    let stone = read.thing.filter(|read| read.kind == ThingKind::Stone && read.no != no);
    if let Some(stone) = stone.filter(|stone| read.entered && cx.held.order.sheet.stone(stone.no).is_some()) {
        cx.drafts.put(&key, String::new());
        page.look_at(stone.no);
        return;
    }
    gap(ui, 2.0 * space::STEP);
    let pressed = ui.add_enabled_ui(read.check.is_some(), |ui| main_button(ui, label::OPEN).clicked()).inner;
    if let Some(check) = read.check.filter(|_| pressed || read.entered) {
        match handling::open(cx.held, thing, check) {
            Ok(opened) => cx.hand_in(vec![opened], &[&key]),
            Err(why) => page.trouble = Some(why),
        }
    }
}

fn put_in_ui(
    page: &mut PourPage,
    ui: &mut Ui,
    cx: &mut Cx<'_>,
    no: u8,
    (from, lot, planned): (Thing, u8, Share),
) {
    let key = draft(no, format_args!("{from}/{lot}"), "share");
    let hint = words::share(planned);
    let field = Field::new(&key, label::SHARE).wide(220.0).hint(&hint);
    let other = form_read(ui, cx.drafts, field, typed::share);
    let empty = cx.drafts.text(&key).trim().is_empty();
    gap(ui, 2.0 * space::STEP);
    let part = if empty { Some(planned) } else { other };
    let pressed = ui.add_enabled_ui(part.is_some(), |ui| main_button(ui, label::PUT_IN).clicked()).inner;
    if let Some(part) = part.filter(|_| pressed) {
        match handling::put_in(cx.held, (from, lot), no, part) {
            Ok(put_in) => cx.hand_in(vec![put_in], &[&key]),
            Err(why) => page.trouble = Some(why),
        }
    }
}

/// The packet goes back to where it came from, or somewhere else.
fn close_ui(page: &mut PourPage, ui: &mut Ui, cx: &mut Cx<'_>, thing: Thing) {
    let chosen = page.back.as_ref().filter(|(of, _)| *of == thing).map(|(_, place)| place.clone());
    let place = chosen.unwrap_or_else(|| pouring::came_from(cx.view.studio, cx.held, thing));
    let key = format!("order/pour/{thing}/back");
    let taken = widgets::place(ui, cx, Field::new(&key, label::CLOSE_WHERE).wide(220.0), Some(&place));
    // A name that is left by the press of the button counts for it.
    let place = taken.inspect(|place| page.back = Some((thing, place.clone()))).unwrap_or(place);
    gap(ui, 2.0 * space::STEP);
    if main_button(ui, label::CLOSE).clicked() {
        match handling::put_away(cx.held, thing, None, place) {
            Ok(put_away) => cx.hand_in(put_away, &[]),
            Err(why) => page.trouble = Some(why),
        }
    }
}

fn lay_ui(page: &mut PourPage, ui: &mut Ui, cx: &mut Cx<'_>, now: &Now<'_>, planned: &Lay) {
    let no = now.no;
    // What differs is said of one layer, and forgotten with it.
    if page.otherwise.of != Some((no, planned.layer)) {
        page.otherwise = Otherwise { of: Some((no, planned.layer)), ..Otherwise::default() };
    }
    let key = draft(no, planned.layer, "amount");
    let scale = cx.view.studio.policies().scale;
    let field = Field::new(&key, label::AMOUNT).wide(220.0).hint(label::AMOUNT_HINT);
    let typed = form_read(ui, cx.drafts, field, |text| pouring::amount_of_layer(text, scale, planned.mass));
    let empty = cx.drafts.text(&key).trim().is_empty();
    let amount = if empty { Some(Amount::ToTheMark) } else { typed };
    let thickness = draft(no, planned.layer, "thickness");
    let readable = otherwise_ui(&mut page.otherwise, ui, cx, planned, &thickness);
    gap(ui, 2.0 * space::STEP);
    let ready = amount.filter(|_| readable);
    let pressed = ui.add_enabled_ui(ready.is_some(), |ui| main_button(ui, label::LAID).clicked()).inner;
    space_ui(ui, now, label::SPACE_LAID);
    if let Some(amount) = ready.filter(|_| pressed || now.space == Space::Pressed) {
        let lay = Lay {
            kind: page.otherwise.kind.unwrap_or(planned.kind),
            thickness: page.otherwise.thickness.unwrap_or(planned.thickness),
            ..planned.clone()
        };
        let laid = cx.fact_edit(pouring::laid(no, &lay, amount));
        cx.hand_in(vec![laid], &[&key, &thickness]);
    }
}

/// What differs from the plan; false where it cannot be read.
fn otherwise_ui(other: &mut Otherwise, ui: &mut Ui, cx: &mut Cx<'_>, planned: &Lay, key: &str) -> bool {
    if !fold(ui, label::OTHERWISE, &mut other.open) {
        (other.kind, other.thickness) = (None, None);
        return true;
    }
    let hint = words::length(planned.thickness);
    let mut readable = true;
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing.x = space::ROW;
        let field = Field::new(key, label::THICKNESS).wide(110.0).hint(&hint);
        other.thickness = form_read(ui, cx.drafts, field, typed::length);
        readable = other.thickness.is_some() || cx.drafts.text(key).trim().is_empty();
        let kinds = [
            LayerKind::Material,
            LayerKind::Clear,
            LayerKind::Tinted,
            LayerKind::Swirled,
            LayerKind::Opaque,
            LayerKind::BackCoat,
        ]
        .map(|kind| (kind, words::layer_kind(kind).to_owned()));
        let field = Field::new("order/pour/kind", label::KIND).wide(190.0);
        let shown = other.kind.unwrap_or(planned.kind);
        if let Some(kind) = choice(ui, field, Some(&shown), &kinds) {
            other.kind = Some(kind);
        }
    });
    readable
}

fn light_ui(page: &mut PourPage, ui: &mut Ui, cx: &mut Cx<'_>, no: u8, light: &Light) {
    if !light.others.is_empty() {
        say(ui, Face::Second, Tokens::of(ui).ink_3, label::TOGETHER);
        ui.horizontal_wrapped(|ui| {
            ui.spacing_mut().item_spacing.x = 2.0 * space::STEP;
            for (other, _) in &light.others {
                let ticked = !page.left_out.contains(other);
                if tick(ui, &label::with_stone(*other), ticked).clicked() {
                    if ticked {
                        page.left_out.insert(*other);
                    } else {
                        page.left_out.remove(other);
                    }
                }
                say(ui, Face::Body, Tokens::of(ui).ink, label::stone(*other));
                ui.add_space(2.0 * space::STEP);
            }
        });
        gap(ui, 2.0 * space::STEP);
    }
    let again = light.why == Why::Rest;
    let left_out = &page.left_out;
    record_ui(ui, cx, if again { label::LAMP_ON_AGAIN } else { label::LAMP_ON }, || {
        pouring::light(no, light, |other| !left_out.contains(&other))
    });
    second(ui, if again { label::SPACE_AGAIN } else { label::SPACE_ON });
    match light.why {
        Why::First | Why::Hurried => {}
        Why::Rest => {
            if link(ui, label::LEAVE_AT_THAT).clicked() {
                cx.fact(PourFact::Cooled { stones: vec![no] });
            }
        }
        Why::Soft | Why::Tacky => {
            if link(ui, label::HARD_AFTER_ALL).clicked() {
                facts(cx, pouring::felt(no, light.layer, false, Hardness::Hard));
            }
        }
    }
}

fn ask_ui(ui: &mut Ui, cx: &mut Cx<'_>, no: u8, asked: &AskLamp) {
    ui.horizontal_wrapped(|ui| {
        if plain_button(ui, &label::all_of_it(asked.planned)).clicked() {
            cx.fact(pouring::lamp_was_on(asked, asked.planned));
        }
        if plain_button(ui, &label::only_sure(asked.sure)).clicked() {
            cx.fact(pouring::lamp_was_on(asked, asked.sure));
        }
    });
    gap(ui, 2.0 * space::STEP);
    let key = draft(no, asked.on, "lit");
    let field = Field::new(&key, label::HOW_LONG).wide(160.0).hint(label::HOW_LONG_HINT);
    if let Some(lit) = form_read(ui, cx.drafts, field, typed::seconds) {
        gap(ui, 2.0 * space::STEP);
        if main_button(ui, label::HOW_LONG_SAY).clicked() {
            let was_on = cx.fact_edit(pouring::lamp_was_on(asked, lit));
            cx.hand_in(vec![was_on], &[&key]);
        }
    }
}

fn feel_ui(ui: &mut Ui, cx: &mut Cx<'_>, no: u8, layer: u8, cooled_now: bool) {
    let answers =
        [(label::HARD, Hardness::Hard), (label::TACKY, Hardness::Tacky), (label::SOFT, Hardness::Soft)];
    ui.horizontal_wrapped(|ui| {
        for (words, hardness) in answers {
            let button = egui::Button::new(
                egui::RichText::new(words).font(Face::Strong.font()).color(Tokens::of(ui).ink),
            );
            if ui.add(button.min_size(egui::vec2(96.0, 48.0))).clicked() {
                facts(cx, pouring::felt(no, layer, cooled_now, hardness));
            }
        }
    });
    second(ui, label::FEEL_KEYS);
}

fn take_out_ui(page: &mut PourPage, ui: &mut Ui, cx: &mut Cx<'_>, no: u8) {
    let chosen = page.put.as_ref().filter(|(of, _)| *of == no).map(|(_, place)| place.clone());
    let put = chosen.unwrap_or(Place::Bench);
    let key = format!("order/pour/{no}/put");
    let taken = widgets::place(ui, cx, Field::new(&key, label::PUT_WHERE).wide(220.0), Some(&put));
    // The page may be another stone's by now, where a press on that one left the field.
    let put = taken.inspect(|place| page.put = Some((no, place.clone()))).unwrap_or(put);
    gap(ui, 2.0 * space::STEP);
    if main_button(ui, label::TAKEN_OUT).clicked() {
        cx.fact(pouring::taken_out(no, put));
        page.taking_out = Some(no);
    }
}

/// Offcuts, drips and wet bits are lit by themselves, and felt before they go home.
pub(super) fn cure_ui(page: &mut PourPage, ui: &mut Ui, cx: &mut Cx<'_>) {
    let things = cx.held.ledger.custody.things.iter();
    let bags = things.filter(|(thing, kept)| thing.kind == ThingKind::Offcuts && kept.is_here());
    let bags: Vec<Thing> = bags.map(|(thing, _)| *thing).collect();
    for bag in bags {
        let felt = cx.held.ledger.pours.offcuts_felt(bag);
        let said = format!("{}: {}.", words::thing_plain(bag), custody::offcuts_words(cx.held, bag));
        let tokens = Tokens::of(ui);
        let ink = if felt == Some(Hardness::Hard) { tokens.ink_2 } else { tokens.care };
        say(ui, Face::Body, ink, words::sentence_start(&said));
        let mut open = page.curing == Some(bag);
        let was = open;
        if fold(ui, &label::light_bag(bag), &mut open) {
            open = !lit_ui(page, ui, cx, bag);
        }
        if open != was {
            page.curing = open.then_some(bag);
        }
        gap(ui, space::STEP);
    }
}

/// Under which lamp a bag's offcuts were, and how they feel; true once that is said.
fn lit_ui(page: &mut PourPage, ui: &mut Ui, cx: &mut Cx<'_>, bag: Thing) -> bool {
    let presses = pouring::presses(cx.view.studio);
    let names: Vec<(usize, String)> =
        presses.iter().enumerate().map(|(at, (words, _))| (at, words.clone())).collect();
    second(ui, label::CURE_SAYS);
    gap(ui, space::STEP);
    let at = page.cure_with.min(presses.len().saturating_sub(1));
    let field = Field::new("order/pour/cure", label::CURE_WITH).wide(260.0);
    page.cure_with = choice(ui, field, Some(&at), &names).unwrap_or(at);
    gap(ui, space::STEP);
    let mut said = false;
    ui.horizontal_wrapped(|ui| {
        let answers = [Hardness::Hard, Hardness::Tacky, Hardness::Soft];
        for (words, hardness) in label::CURED.into_iter().zip(answers) {
            let Some((_, press)) = presses.get(page.cure_with) else { return };
            if plain_button(ui, words).clicked() {
                cx.fact(PourFact::OffcutsCured { bag, press: press.clone(), hardness });
                said = true;
            }
        }
    });
    gap(ui, 2.0 * space::STEP);
    said
}

/// Trimmings go home too: the bags that are kept, and a new one.
pub(super) fn bag_ui(page: &mut PourPage, ui: &mut Ui, cx: &mut Cx<'_>) {
    let tokens = Tokens::of(ui);
    let studio = cx.view.studio;
    let bags = cx.held.ledger.custody.things.iter().filter(|(thing, _)| thing.kind == ThingKind::Offcuts);
    let bags: Vec<String> = bags
        .map(|(thing, kept)| {
            format!("{} {}", words::thing_plain(*thing), words::place_in(studio, &kept.place))
        })
        .collect();
    let said = if bags.is_empty() { label::NO_BAG.to_owned() } else { label::bags(&words::list(&bags)) };
    say(ui, Face::Body, if bags.is_empty() { tokens.care } else { tokens.ink_2 }, said);
    let drawer = || places::choices(studio).into_iter().nth(1).map(|(place, _)| place);
    let put = page.bag.clone().or_else(drawer).unwrap_or(Place::Bench);
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing.x = space::ROW;
        let field = Field::new("order/pour/bag", label::BAG_WHERE).wide(220.0);
        let taken = widgets::place(ui, cx, field, Some(&put));
        let put = taken.inspect(|place| page.bag = Some(place.clone())).unwrap_or(put);
        if link(ui, label::KEEP_OFFCUTS).clicked() {
            cx.fact(pouring::offcuts(cx.held, put));
        }
    });
    gap(ui, 4.0 * space::STEP);
}
