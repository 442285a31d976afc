//! A layer tried out without an order: thickness, pigment and seconds are moved, and depth, hiding and warmth follow.

use chrono::NaiveDate;
use craft::studio::{Studio, TrialMeans, TrialWith};
use craft::trial::{Trial, Tried};
use craft::units::{Length, Load, Span};
use egui::{Ui, vec2};
use workbench::present::labels::trying as labels;
use workbench::present::trying_words::{self, Told};
use workbench::present::{stone_words, words};
use workbench::shelving;
use workbench::trying::{SECONDS, THICKNESS, TryOut};
use workbench::typed;
use workbench::view::View;

use crate::draw::depth::{DepthPicture, depth};
use crate::draw::shade;
use crate::look::{Face, Tokens, space};
use crate::widgets::{
    Column, Drafts, Field, care, choice, columns, explain, gap, heading, one_of, picture, say, scrolled,
    second, slide,
};

/// The width of a choice.
const CHOICE: f32 = 300.0;
/// The picture.
const PICTURE: egui::Vec2 = vec2(460.0, 210.0);

/// What the page remembers while the studio is open.
#[derive(Debug, Default)]
pub(crate) struct TryOutPage {
    layer: Option<TryOut>,
    explained: bool,
    /// What was worked out, and of what: each is worked out again only where that has changed.
    means: Option<Means>,
    known: Option<Known>,
}

/// What stands behind the layer: it takes its time, so no slider waits for it.
#[derive(Debug)]
struct Means {
    of: (TrialWith, u64, NaiveDate),
    answer: Result<TrialMeans, String>,
}

#[derive(Debug)]
struct Known {
    of: TryOut,
    answer: Result<Shown, String>,
}

#[derive(Debug)]
struct Shown {
    trial: Trial,
    tried: Tried,
    told: [Told; 3],
}

impl TryOutPage {
    pub(crate) fn ui(&mut self, ui: &mut Ui, view: &View<'_>, drafts: &mut Drafts) {
        let studio = view.studio;
        let mut layer = self.layer.take().unwrap_or_else(|| TryOut::begun(studio));
        layer.keep_to_the_shelf(studio);
        heading(ui, labels::TITLE);
        second(ui, labels::WORDS);
        gap(ui, 4.0 * space::STEP);
        scrolled(ui, "tryout", |ui| {
            columns(ui, 0.5, |ui, column| match column {
                Column::First => {
                    choices_ui(ui, studio, &mut layer);
                    gap(ui, 3.0 * space::STEP);
                    sliders_ui(ui, drafts, studio, &mut layer);
                }
                Column::Second => match &self.known_of(&layer, view).answer {
                    Ok(shown) => shown_ui(ui, studio, &layer, shown),
                    Err(why) => drop(care(ui, words::sentence(why))),
                },
            });
            gap(ui, 3.0 * space::STEP);
            second(ui, labels::CAUTION);
            let mut open = self.explained;
            let shown = self.known_of(&layer, view).answer.as_ref().ok();
            let pigment = layer.with().pigment.as_ref().and_then(|id| stone_words::pigment(studio, id));
            let all = shown
                .map(|shown| move || Vec::from(trying_words::explained(&shown.trial, &shown.tried, pigment)));
            explain(ui, &mut open, all);
            self.explained = open;
        });
        self.layer = Some(layer);
    }

    fn known_of(&mut self, layer: &TryOut, view: &View<'_>) -> &Known {
        let of = (layer.with().clone(), view.revision, view.now.day());
        let same = self.means.take().filter(|means| means.of == of);
        if same.is_none() {
            self.known = None;
        }
        let answer = || layer.means(view.studio, view.now.day());
        let means = self.means.insert(same.unwrap_or_else(|| Means { answer: answer(), of }));
        let known = self.known.take().filter(|known| known.of == *layer);
        self.known.insert(known.unwrap_or_else(|| Known { of: layer.clone(), answer: shown(layer, means) }))
    }
}

fn shown(layer: &TryOut, means: &Means) -> Result<Shown, String> {
    let (trial, tried) = layer.tried(means.answer.as_ref().map_err(Clone::clone)?)?;
    let told = trying_words::told(&trial, &tried);
    Ok(Shown { trial, tried, told })
}

fn choices_ui(ui: &mut Ui, studio: &Studio, layer: &mut TryOut) {
    let with = layer.with().clone();
    let field = |key, label| Field::new(key, label).wide(CHOICE);
    let resin = field("tryout/resin", labels::RESIN);
    if let Some(resin) = choice(ui, resin, Some(&with.resin), &TryOut::resins(studio)) {
        layer.choose_resin(resin);
    }
    gap(ui, 2.0 * space::STEP);
    let pigment = field("tryout/pigment", labels::PIGMENT);
    if let Some(pigment) = choice(ui, pigment, Some(&with.pigment), &TryOut::pigments(studio)) {
        layer.choose_pigment(studio, pigment);
    }
    gap(ui, 2.0 * space::STEP);
    let button = field("tryout/button", labels::BUTTON);
    if let Some(button) = choice(ui, button, Some(&with.button), &TryOut::buttons(studio)) {
        layer.choose_button(studio, button);
    }
    gap(ui, 2.0 * space::STEP);
    if let Some(body) = one_of(ui, labels::MOULD, Some(&with.body), &labels::MOULDS) {
        layer.choose_body(body);
    }
}

fn sliders_ui(ui: &mut Ui, drafts: &mut Drafts, studio: &Studio, layer: &mut TryOut) {
    let [thin, thick] = THICKNESS;
    let field = Field::new("tryout/thickness", labels::THICKNESS);
    let along = (layer.thickness.mm(), thin.mm()..=thick.mm(), 0.05);
    let shown = words::length(layer.thickness);
    let reader = |text: &str| trying_words::within(typed::length(text)?, THICKNESS, words::length);
    if let Some(thickness) = slide(ui, drafts, field, along, &shown, (Length::from_mm, reader)) {
        layer.thickness = thickness;
    }
    if layer.with().pigment.is_some() {
        gap(ui, 2.0 * space::STEP);
        let field = Field::new("tryout/load", labels::LOAD);
        let along = (layer.load.percent(), 0.0..=layer.most_load(studio).percent(), 0.05);
        let shown = layer.load.to_string();
        if let Some(load) = slide(ui, drafts, field, along, &shown, (Load::from_percent, shelving::load)) {
            layer.load = load.min(layer.most_load(studio));
        }
    }
    gap(ui, 2.0 * space::STEP);
    let field = Field::new("tryout/seconds", labels::SECONDS);
    let along = (layer.seconds.s(), SECONDS[0].s()..=SECONDS[1].s(), 1.0);
    let shown = words::clock(layer.seconds);
    let reader = |text: &str| trying_words::within(typed::seconds(text)?, SECONDS, words::span);
    if let Some(seconds) = slide(ui, drafts, field, along, &shown, (Span::from_s, reader)) {
        layer.seconds = seconds;
    }
}

fn shown_ui(ui: &mut Ui, studio: &Studio, layer: &TryOut, shown: &Shown) {
    let tokens = Tokens::of(ui);
    let pigment = layer.with().pigment.as_ref();
    let colour = pigment.and_then(|id| stone_words::pigment_colour(studio, id));
    let layers = DepthPicture {
        thickness: layer.thickness,
        sure: shown.tried.sure.unwrap_or(Length::ZERO),
        guessed: shown.tried.guessed,
        colour: colour.map_or(tokens.resin, shade),
    };
    let said = [labels::SURE, labels::GUESSED, labels::SURE_BELOW];
    picture(ui, PICTURE, labels::PICTURE, |painter, tokens, rect| {
        depth(painter, tokens, rect, &layers, said);
    });
    for told in &shown.told {
        gap(ui, 4.0 * space::STEP);
        say(ui, Face::Second, tokens.ink_3, told.title);
        let ink = if told.is_care { tokens.care } else { tokens.ink };
        say(ui, Face::Strong, ink, told.words.as_str());
        if !told.more.is_empty() {
            say(ui, Face::Body, tokens.ink_2, told.more.as_str());
        }
    }
}
