//! The person's own preferences: how it looks and sounds. What the studio itself goes by is on the shelf.

use egui::Ui;
use workbench::action::{Action, Nav};
use workbench::view::View;

use super::Desk;
use crate::cx::Wish;
use crate::look::{Face, Tokens, space};
use crate::platform::prefs::{Appearance, Preferences, Zoom};
use crate::widgets::{gap, heading, link, main_button, one_of, plain_button, say};
use workbench::present::labels::preferences as labels;

/// The sizes that are offered, in per cent.
const ZOOMS: [(u16, &str); 6] =
    [(80, "80 %"), (100, "100 %"), (125, "125 %"), (150, "150 %"), (200, "200 %"), (250, "250 %")];

fn prefs_ui(ui: &mut Ui, prefs: &mut Preferences) {
    let looks = [
        (Appearance::AsTheSystem, labels::AS_SYSTEM),
        (Appearance::Light, labels::LIGHT),
        (Appearance::Dark, labels::DARK),
    ];
    if let Some(taken) = one_of(ui, labels::LOOKS, Some(&prefs.appearance), &looks) {
        prefs.appearance = taken;
    }
    gap(ui, 3.0 * space::STEP);
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a zoom factor between 0.5 and 3"
    )]
    let percent = (prefs.zoom.factor() * 100.0).round() as u16;
    if let Some(taken) = one_of(ui, labels::ZOOM, Some(&percent), &ZOOMS) {
        prefs.zoom = Zoom::new(f32::from(taken) / 100.0);
    }
    gap(ui, 3.0 * space::STEP);
    let yes_no = [(true, labels::YES), (false, labels::NO)];
    if let Some(taken) = one_of(ui, labels::SOUND, Some(&prefs.sound), &yes_no) {
        prefs.sound = taken;
    }
    gap(ui, 3.0 * space::STEP);
    if let Some(taken) = one_of(ui, labels::NOTICES, Some(&prefs.notices), &yes_no) {
        prefs.notices = taken;
    }
}

pub(super) fn ui(ui: &mut Ui, desk: &mut Desk, view: &View<'_>, wishes: &mut Vec<Wish>) {
    let tokens = Tokens::of(ui);
    let mut prefs = desk.prefs.clone();
    heading(ui, labels::TITLE);
    gap(ui, 2.0 * space::STEP);
    prefs_ui(ui, &mut prefs);
    if prefs != desk.prefs {
        desk.prefs = prefs.clone();
        wishes.push(Wish::Prefer(prefs));
    }
    gap(ui, space::BLOCK);
    say(ui, Face::Second, tokens.ink_2, labels::studio(view.studio.policies().name.as_str()));
    ui.horizontal(|ui| {
        if link(ui, labels::SETTINGS).clicked() {
            desk.shelf.open_settings();
            desk.over = None;
            wishes.push(Wish::Act(Action::Go(Nav::Shelf)));
        }
        if link(ui, labels::LEAVE).clicked() {
            desk.over = None;
            wishes.push(Wish::LeaveStudio);
        }
        if link(ui, labels::KEYS).clicked() {
            desk.over = Some(super::Over::Keys);
        }
    });
    gap(ui, 3.0 * space::STEP);
    ui.horizontal(|ui| {
        if main_button(ui, labels::DONE).clicked() {
            desk.over = None;
        }
        if plain_button(ui, labels::QUIT).clicked() {
            wishes.push(Wish::Quit);
        }
    });
}
