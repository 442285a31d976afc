//! What can be done with one thing: opened, shared out, moved, weighed, described, photographed, lost and found.

use craft::fact::{CustodyFact, Holder};
use craft::hand::Split;
use craft::id::{Thing, ThingKind};
use craft::ledger::{Held as Kept, Role};
use craft::place::Place;
use craft::studio::Held;
use craft::units::Share;
use egui::{Ui, vec2};
use workbench::handling;
use workbench::present::labels::arrival as labels;
use workbench::present::{things, words};
use workbench::typed::{self, Amount, Typed};

use super::receive::{describe, seal, wrapped};
use super::{TagField, not_yet, place_ui};
use crate::cx::Cx;
use crate::look::{Face, Tokens, space};
use crate::pages::common::lost_ui;
use crate::pages::pack::{Wanted, take_in_ui};
use crate::pages::weigh::Weighing;
use crate::widgets::photos::photo;
use crate::widgets::{self, Field, choice, fold, form_line, form_read, gap, plain_button, say, second};

/// How the keys of the tags begin that are read before something is opened.
pub(super) const TAG: &str = "once/arrival/act/";

/// The key of a draft of one thing.
fn key(thing: Thing, field: &str) -> String {
    format!("order/arrival/act/{thing}/{field}")
}

/// What is chosen for the open thing so far.
#[derive(Debug, Default)]
pub(super) struct Acting {
    tag: TagField,
    of: Option<u8>,
    place: Option<Place>,
    found: Option<Place>,
    photos: bool,
    why: Option<String>,
    /// It was asked whether this cannot be found.
    losing: Option<Thing>,
}

impl Acting {
    pub(super) fn ui(
        &mut self,
        ui: &mut Ui,
        cx: &mut Cx<'_>,
        (thing, kept): (Thing, &Kept),
        weighing: &mut Weighing,
    ) {
        if kept.lost {
            self.found_ui(ui, cx, thing);
            return;
        }
        describe_ui(ui, cx, thing);
        let in_box = kept.place == Place::Box;
        let in_mould = matches!(kept.place, Place::Cavity { .. });
        if in_box {
            second(ui, labels::IN_BOX);
        } else if in_mould {
            second(ui, labels::IN_MOULD);
        }
        if kept.is_here() && !in_box {
            self.hands_ui(ui, cx, (thing, kept, in_mould), weighing);
        }
        gap(ui, 2.0 * space::STEP);
        self.photos_ui(ui, cx, thing);
        if kept.is_here() && lost_ui(ui, &mut self.losing, thing, &labels::lost(thing)) {
            cx.fact(CustodyFact::Lost { thing });
        }
        if let Some(why) = &self.why {
            not_yet(ui, why);
        }
    }

    fn hands_ui(
        &mut self,
        ui: &mut Ui,
        cx: &mut Cx<'_>,
        (thing, kept, in_mould): (Thing, &Kept, bool),
        weighing: &mut Weighing,
    ) {
        gap(ui, 2.0 * space::STEP);
        if !in_mould && !kept.open {
            wrapped(ui, |ui| move_ui(ui, cx, thing, &kept.place));
        }
        if !matches!(thing.kind, ThingKind::Keepsake | ThingKind::Piece) {
            wrapped(ui, |ui| weighing.thing_ui(ui, cx, thing));
        }
        if !matches!(thing.kind, ThingKind::Wrapping | ThingKind::Envelope | ThingKind::Offcuts) {
            return;
        }
        weighing.dried_ui(ui, cx, thing);
        if kept.open {
            self.take_out_ui(ui, cx, thing);
        } else {
            self.open_ui(ui, cx, thing, kept.role);
        }
    }

    fn open_ui(&mut self, ui: &mut Ui, cx: &mut Cx<'_>, thing: Thing, role: Role) {
        match role {
            Role::KeepBack { released: false, .. } => {
                second(ui, labels::RELEASED_SAYS);
                if plain_button(ui, labels::RELEASED).clicked() {
                    cx.fact(CustodyFact::Released { thing });
                }
                return;
            }
            Role::KeepBack { .. } => {
                second(ui, labels::RELEASED_NOW);
            }
            Role::Plain => {}
        }
        let key = format!("{TAG}{thing}");
        let check = self.tag.ui(ui, cx, (&key, labels::TAG), Some(thing)).check;
        gap(ui, space::STEP);
        let able = check.is_some();
        let pressed = ui.add_enabled_ui(able, |ui| plain_button(ui, &labels::open(thing))).inner.clicked();
        if let Some(check) = check.filter(|_| pressed) {
            match handling::open(cx.held, thing, check) {
                Ok(opened) => cx.hand_in(vec![opened], &[&key]),
                Err(why) => self.why = Some(why),
            }
        }
    }

    /// Some of what an open thing holds goes into a new envelope, or was left on the tools.
    fn take_out_ui(&mut self, ui: &mut Ui, cx: &mut Cx<'_>, thing: Thing) {
        let lots: Vec<(u8, String)> = cx
            .held
            .ledger
            .custody
            .contents(thing)
            .map(|(lot, share)| (lot, labels::share_of_lot(&words::share(share), &words::lot(cx.held, lot))))
            .collect();
        let Some((first, _)) = lots.first() else { return };
        let lot = self.of.filter(|of| lots.iter().any(|(lot, _)| lot == of)).unwrap_or(*first);
        say(ui, Face::Strong, Tokens::of(ui).ink, labels::take_out(thing));
        let scale = cx.view.studio.policies().scale;
        let held = cx.held;
        let into = held.ledger.custody.next_free(ThingKind::Envelope);
        let (mut part, mut place) = (None, Place::Bench);
        let (of_key, into_key) = (key(thing, "of"), key(thing, "into"));
        let (take_key, seal_key) = (key(thing, "take/much"), key(thing, "take/seal"));
        wrapped(ui, |ui| {
            if lots.len() > 1 {
                let field = Field::new(&of_key, labels::TAKE_OF).wide(220.0);
                self.of = choice(ui, field, Some(&lot), &lots).or(self.of);
            }
            let field = Field::new(&take_key, labels::TAKE_HOW_MUCH).wide(200.0).hint(labels::TAKE_HINT);
            part = form_read(ui, cx.drafts, field, |text| {
                part_of(held, (thing, lot), typed::amount(text, scale)?)
            });
            let label = labels::place_of(into);
            let field = Field::new(&into_key, &label).wide(220.0);
            place = place_ui(ui, cx, field, &mut self.place);
            let label = labels::seal_on(into);
            form_line(ui, cx.drafts, Field::new(&seal_key, &label).wide(150.0).hint(labels::SEAL_HINT));
        });
        ui.horizontal_wrapped(|ui| {
            let split = plain_button(ui, &labels::into(into)).clicked();
            let tools = plain_button(ui, labels::ON_TOOLS).clicked();
            if !split && !tools {
                return;
            }
            let edits = match (part, seal(cx.drafts.text(&seal_key))) {
                (None, _) => Err(labels::SAY_HOW_MUCH.to_owned()),
                (Some((part, _)), _) if tools => {
                    handling::leave_on_tools(held, (thing, lot), part).map(|edit| vec![edit])
                }
                (Some((part, amount)), Ok(seal)) => {
                    let split = Split { part, keep_back: false, seal, place };
                    handling::split_off_weighed(cx.view.studio, held, (thing, lot), (split, amount))
                }
                (Some(_), Err(why)) => Err(why),
            };
            match edits {
                Ok(edits) => {
                    cx.hand_in(edits, &[&key(thing, "take/")]);
                    self.why = None;
                }
                Err(why) => self.why = Some(why),
            }
        });
    }

    fn photos_ui(&mut self, ui: &mut Ui, cx: &mut Cx<'_>, thing: Thing) {
        let name = words::thing_plain(thing);
        let photos = cx.held.order.sheet.photos.iter().rev().filter(|photo| photo.of == Some(thing));
        let photos: Vec<_> = photos.take(4).map(|photo| (photo.original, photo.kind)).collect();
        if !photos.is_empty() {
            ui.horizontal_wrapped(|ui| {
                for (place, which) in photos.into_iter().enumerate() {
                    let label = labels::photo_no(thing, place + 1);
                    photo(ui, cx, which, vec2(112.0, 84.0), &label);
                }
            });
            gap(ui, space::STEP);
        }
        if fold(ui, &labels::add_photo(thing), &mut self.photos) {
            let key = key(thing, "photo");
            take_in_ui(ui, cx, Wanted { key: &key, of: Some(thing), words: &name });
        }
        gap(ui, 2.0 * space::STEP);
    }

    fn found_ui(&mut self, ui: &mut Ui, cx: &mut Cx<'_>, thing: Thing) {
        let key = key(thing, "found");
        let field = Field::new(&key, labels::FOUND_PLACE).wide(240.0);
        let place = place_ui(ui, cx, field, &mut self.found);
        gap(ui, space::STEP);
        if plain_button(ui, &labels::found(thing)).clicked() {
            cx.fact(CustodyFact::Found { thing, place });
        }
    }
}

/// An amount as the share of a lot that a thing would give, where it has so much.
fn part_of(
    held: &Held,
    (thing, lot): (Thing, u8),
    typed: Typed<Amount>,
) -> Result<Typed<(Share, Amount)>, String> {
    let share = things::share_of(held, lot, &typed.value)?;
    let has = held.ledger.custody.share(Holder::Thing(thing), lot);
    if share > has {
        return Err(labels::holds_less(thing, &words::share(has)));
    }
    Ok(typed.map(|amount| (share, amount)))
}

fn describe_ui(ui: &mut Ui, cx: &mut Cx<'_>, thing: Thing) {
    let label = labels::describe(thing);
    let now = cx.held.order.sheet.description(thing).cloned().unwrap_or_default();
    let key = key(thing, "looks");
    let field = Field::new(&key, &label).wide(460.0).hint(labels::DESCRIPTION_HINT);
    if let Some(description) = widgets::words(ui, cx.drafts, field, &now) {
        cx.sheet(|sheet| describe(sheet, thing, description));
    }
}

fn move_ui(ui: &mut Ui, cx: &mut Cx<'_>, thing: Thing, now: &Place) {
    let label = labels::moved(thing);
    let key = key(thing, "place");
    let field = Field::new(&key, &label).wide(220.0);
    if let Some(place) = widgets::place(ui, cx, field, Some(now)) {
        cx.fact(CustodyFact::Placed { thing, place });
    }
}
