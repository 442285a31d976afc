//! What came is written down: a packet with its material, or something that came along.

use craft::fact::{CustodyFact, Material, Seal};
use craft::id::{Thing, ThingKind};
use craft::order::{Sheet, ThingNote};
use craft::place::Place;
use craft::reading::Reading;
use craft::text::Line;
use craft::units::{Mass, Share};
use egui::Ui;
use workbench::present::labels::arrival as labels;
use workbench::present::things::agreed_keep_back;
use workbench::present::words;
use workbench::typed::{self, Amount, HowMuch, Typed};
use workbench::weighing;

use super::{not_yet, place_ui};
use crate::cx::Cx;
use crate::look::space;
use crate::widgets::{Drafts, Field, choice, form_line, form_read, gap, heading, link, main_button, read};

/// Which form is open.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Form {
    /// A packet with material.
    Packet,
    /// Something else.
    Keepsake,
}

/// What is chosen in the form so far.
#[derive(Debug, Default)]
pub(super) struct Receiving {
    /// The form has been shown since it was asked for.
    begun: bool,
    material: Option<Material>,
    place: Option<Place>,
    why: Option<String>,
    /// What is kept back, where another share than the usual one was agreed.
    keep_back: Option<Share>,
    /// The thing the form was handed in for: once it is there the form is done with.
    handed_in: Option<Thing>,
}

/// How much came: read off, or in words that carry no number.
#[derive(Clone, Debug)]
pub(super) enum Much {
    /// A weight, by scale or by eye.
    Read(Reading<Mass>),
    /// Words about how it looks.
    Words(Line),
}

const UNDER: &str = "order/arrival/new/";
const LOOKS: &str = "order/arrival/new/looks";
const MUCH: &str = "order/arrival/new/much";
const KEPT: &str = "order/arrival/new/kept";
const SEAL: &str = "order/arrival/new/seal";

/// The number on a seal; none where nothing is written.
pub(super) fn seal(text: &str) -> Result<Option<Seal>, String> {
    match text.trim() {
        "" => Ok(None),
        digits => match digits.parse() {
            Ok(no) => Ok(Some(Seal(no))),
            Err(_) => Err(labels::SEAL_IS_A_NUMBER.to_owned()),
        },
    }
}

/// Writes down how a thing looks.
pub(in crate::pages) fn describe(sheet: &mut Sheet, thing: Thing, description: Line) {
    sheet.things.retain(|note| note.thing != thing);
    if !description.is_empty() {
        sheet.things.push(ThingNote { thing, description });
    }
}

impl Receiving {
    /// False once the form is to be closed.
    pub(super) fn ui(&mut self, ui: &mut Ui, cx: &mut Cx<'_>, form: Form) -> bool {
        if !std::mem::replace(&mut self.begun, true) {
            // The way here may stand far below.
            ui.scroll_to_cursor(Some(egui::Align::Min));
        }
        let stays = match form {
            Form::Packet => self.packet_ui(ui, cx),
            Form::Keepsake => self.keepsake_ui(ui, cx),
        };
        if !stays {
            *self = Self::default();
            cx.drafts.clear_under(UNDER);
        }
        stays
    }

    /// True once after what was handed in was accepted: the form begins afresh. Where it was refused, everything stays as
    /// it was typed.
    pub(super) fn is_written(&mut self, cx: &Cx<'_>) -> bool {
        let there = |thing: Thing| cx.held.ledger.custody.things.contains_key(&thing);
        let written = self.handed_in.take().is_some_and(there);
        if written {
            *self = Self::default();
        }
        written
    }

    fn packet_ui(&mut self, ui: &mut Ui, cx: &mut Cx<'_>) -> bool {
        let lot = cx.held.ledger.custody.lots.keys().max().copied().unwrap_or(0).saturating_add(1);
        heading(ui, labels::packet(lot));
        gap(ui, 2.0 * space::STEP);
        wrapped(ui, |ui| {
            let materials = Material::ALL.map(|kind| (kind, words::material(kind).to_owned()));
            let field = Field::new("order/arrival/new/kind", labels::MATERIAL)
                .wide(150.0)
                .hint(labels::MATERIAL_HINT);
            if let Some(material) = choice(ui, field, self.material.as_ref(), &materials) {
                self.material = Some(material);
            }
            let field = Field::new(LOOKS, labels::DESCRIPTION).wide(310.0).hint(labels::DESCRIPTION_HINT);
            form_line(ui, cx.drafts, field);
        });
        let scale = cx.view.studio.bench_scale();
        let amount = |text: &str| {
            let typed = typed::how_much(text, scale)?;
            match typed.value {
                HowMuch::Amount(Amount::Share(_)) => Err(labels::NEEDS_WEIGHT.to_owned()),
                HowMuch::Amount(Amount::Mass(reading)) => {
                    Ok(Typed { value: Much::Read(reading), echo: typed.echo })
                }
                HowMuch::Words(words) => Ok(Typed { value: Much::Words(words), echo: typed.echo }),
            }
        };
        let mut much = None;
        let mut keep_back = self.keep_back.unwrap_or(cx.view.studio.policies().keep_back);
        wrapped(ui, |ui| {
            let field = Field::new(MUCH, labels::HOW_MUCH).wide(240.0).hint(labels::HOW_MUCH_HINT);
            much = form_read(ui, cx.drafts, field, amount);
            let field = Field::new(KEPT, labels::KEEP_BACK).wide(220.0);
            if let Some(share) = read(ui, cx.drafts, field, &words::share(keep_back), agreed_keep_back) {
                self.keep_back = Some(share);
                keep_back = share;
            }
        });
        let place = self.where_ui(ui, cx, true);
        gap(ui, 3.0 * space::STEP);
        let why = self.why_not(cx.drafts, much.is_none());
        let mut stays = true;
        ui.horizontal_wrapped(|ui| {
            ui.spacing_mut().item_spacing.x = 5.0 * space::STEP;
            let able = why.is_none();
            if ui.add_enabled_ui(able, |ui| main_button(ui, labels::RECORD_IT)).inner.clicked() {
                self.why = self.packet(cx, (lot, keep_back, place.clone()), much).err();
            }
            stays &= !link(ui, labels::NOT_NOW).clicked();
        });
        if let Some(why) = why.as_deref().or(self.why.as_deref()) {
            gap(ui, space::STEP);
            not_yet(ui, why);
        }
        stays
    }

    /// What keeps a packet from being written down.
    fn why_not(&self, drafts: &Drafts, unread: bool) -> Option<String> {
        if self.material.is_none() {
            return Some(labels::CHOOSE_MATERIAL.to_owned());
        }
        if unread && !drafts.text(MUCH).trim().is_empty() {
            return Some(labels::look_again(labels::HOW_MUCH));
        }
        // What is typed and cannot be read yet stays among the drafts.
        if !drafts.text(KEPT).is_empty() && agreed_keep_back(drafts.text(KEPT)).is_err() {
            return Some(labels::look_again(labels::KEEP_BACK));
        }
        seal(drafts.text(SEAL)).err()
    }

    /// Hands in everything that is known of a packet at once.
    fn packet(
        &mut self,
        cx: &mut Cx<'_>,
        (lot, keep_back, place): (u8, Share, Place),
        much: Option<Much>,
    ) -> Result<(), String> {
        let thing = Thing::wrapping(lot);
        let material = self.material.ok_or_else(|| labels::CHOOSE_MATERIAL.to_owned())?;
        let seal = seal(cx.drafts.text(SEAL))?;
        let looks: Line = cx.drafts.text(LOOKS).parse().map_err(|why| format!("{why}"))?;
        // An amount that carries no number says how it looks.
        let (reading, description) = match much {
            Some(Much::Words(words)) => (None, typed::looks_with(&looks, &words)?),
            Some(Much::Read(reading)) => (Some(reading), looks),
            None => (None, looks),
        };
        let received = CustodyFact::Received { lot, material, seal, place, photo: None, keep_back };
        let mut edits = vec![cx.fact_edit(received)];
        if !description.is_empty() {
            edits.push(cx.sheet_edit(|sheet| describe(sheet, thing, description)));
        }
        let studio = cx.view.studio;
        edits.extend(reading.map(|reading| cx.fact_edit(weighing::came_weighed(studio, thing, reading))));
        self.handed_in = Some(thing);
        cx.hand_in(edits, &[UNDER]);
        Ok(())
    }

    fn keepsake_ui(&mut self, ui: &mut Ui, cx: &mut Cx<'_>) -> bool {
        heading(ui, labels::KEEPSAKE_HEAD);
        gap(ui, 2.0 * space::STEP);
        let field = Field::new(LOOKS, labels::DESCRIPTION).wide(420.0).hint(labels::KEEPSAKE_HINT);
        form_line(ui, cx.drafts, field);
        gap(ui, 2.0 * space::STEP);
        let place = self.where_ui(ui, cx, false);
        gap(ui, 3.0 * space::STEP);
        let empty = cx.drafts.text(LOOKS).trim().is_empty();
        let mut stays = true;
        ui.horizontal_wrapped(|ui| {
            ui.spacing_mut().item_spacing.x = 5.0 * space::STEP;
            if ui.add_enabled_ui(!empty, |ui| main_button(ui, labels::RECORD_IT)).inner.clicked() {
                match cx.drafts.text(LOOKS).parse::<Line>() {
                    Ok(description) => {
                        let thing = cx.held.ledger.custody.next_free(ThingKind::Keepsake);
                        let came = CustodyFact::CameAlong { thing, place: place.clone(), photo: None };
                        let edits = vec![
                            cx.fact_edit(came),
                            cx.sheet_edit(|sheet| describe(sheet, thing, description)),
                        ];
                        self.handed_in = Some(thing);
                        cx.hand_in(edits, &[UNDER]);
                    }
                    Err(why) => self.why = Some(why.to_string()),
                }
            }
            stays &= !link(ui, labels::NOT_NOW).clicked();
        });
        let why = if empty { Some(labels::SAY_WHAT) } else { self.why.as_deref() };
        if let Some(why) = why {
            gap(ui, space::STEP);
            not_yet(ui, why);
        }
        stays
    }

    fn where_ui(&mut self, ui: &mut Ui, cx: &mut Cx<'_>, sealed: bool) -> Place {
        let mut place = Place::Bench;
        wrapped(ui, |ui| {
            let field = Field::new("order/arrival/new/place", labels::PLACE).wide(240.0);
            place = place_ui(ui, cx, field, &mut self.place);
            if sealed {
                let field = Field::new(SEAL, labels::SEAL).wide(150.0).hint(labels::SEAL_HINT);
                form_line(ui, cx.drafts, field);
            }
        });
        place
    }
}

/// Fields side by side, their heads on one line.
pub(super) fn wrapped(ui: &mut Ui, add: impl FnOnce(&mut Ui)) {
    let layout = egui::Layout::left_to_right(egui::Align::TOP).with_main_wrap(true);
    let width = ui.available_width();
    ui.allocate_ui_with_layout(egui::vec2(width, 0.0), layout, |ui| {
        ui.spacing_mut().item_spacing = egui::vec2(4.0 * space::STEP, 2.0 * space::STEP);
        add(ui);
    });
    gap(ui, 2.0 * space::STEP);
}
