//! The step that is next: the keep-back into its envelope, then everything closed again.

use craft::hand::Split;
use craft::id::{Thing, ThingKind};
use craft::place::Place;
use craft::units::Share;
use egui::Ui;
use workbench::handling;
use workbench::present::labels::arrival as labels;
use workbench::present::labels::shell;
use workbench::present::words;

use super::receive::{seal, wrapped};
use super::{TagField, not_yet, place_ui};
use crate::cx::Cx;
use crate::look::space;
use crate::widgets::{Field, form_line, gap, heading, main_button, second};

const TAG: &str = "once/arrival/step/tag";
const SEAL: &str = "order/arrival/step/seal";

/// What is chosen for the step so far.
#[derive(Debug, Default)]
pub(super) struct Step {
    place: Option<Place>,
    /// The keyboard goes to the next step, once it is there.
    on: bool,
}

impl Step {
    /// Puts the keep-back of a lot away.
    pub(super) fn keep_back_ui(
        &mut self,
        ui: &mut Ui,
        cx: &mut Cx<'_>,
        tag: &mut TagField,
        (lot, share): (u8, Share),
    ) {
        self.on = false;
        let from = Thing::wrapping(lot);
        let into = cx.held.ledger.custody.next_free(ThingKind::Envelope);
        heading(ui, labels::first_keep_back(&words::share(share), &words::lot(cx.held, lot)));
        second(ui, labels::KEEP_BACK_SAYS);
        gap(ui, 3.0 * space::STEP);
        let is_open = cx.held.ledger.custody.things.get(&from).is_some_and(|kept| kept.open);
        let check = if is_open { None } else { tag.ui(ui, cx, (TAG, labels::TAG), Some(from)).check };
        gap(ui, 2.0 * space::STEP);
        let mut place = Place::Bench;
        wrapped(ui, |ui| {
            let label = labels::place_of(into);
            let field = Field::new("order/arrival/step/place", &label).wide(240.0);
            place = place_ui(ui, cx, field, &mut self.place);
            let label = labels::seal_on(into);
            form_line(ui, cx.drafts, Field::new(SEAL, &label).wide(150.0).hint(labels::SEAL_HINT));
        });
        gap(ui, 2.0 * space::STEP);
        let sealed = seal(cx.drafts.text(SEAL));
        let able = (is_open || check.is_some()) && sealed.is_ok();
        let pressed = ui.add_enabled_ui(able, |ui| main_button(ui, labels::PUT_KEEP_BACK)).inner.clicked();
        if !is_open && check.is_none() {
            gap(ui, space::STEP);
            second(ui, shell::not_yet(labels::READ_TAG));
        } else if let Err(why) = &sealed {
            gap(ui, space::STEP);
            not_yet(ui, why);
        }
        let Some(seal) = sealed.ok().filter(|_| pressed) else { return };
        self.on = true;
        let has = cx.held.ledger.custody.share(craft::fact::Holder::Thing(from), lot);
        let part = share.min(has);
        let split = Split { part, keep_back: true, seal, place };
        match handling::open_and_split(cx.held, (from, lot), check, split) {
            Ok(edits) => cx.hand_in(edits, &[SEAL, TAG]),
            Err(why) => not_yet(ui, &why),
        }
    }

    /// Closes what stands open, and puts it away.
    pub(super) fn close_ui(&mut self, ui: &mut Ui, cx: &mut Cx<'_>, thing: Thing) {
        heading(ui, labels::stands_open(thing));
        second(ui, labels::OPEN_SAYS);
        gap(ui, 3.0 * space::STEP);
        let mut place = Place::Bench;
        wrapped(ui, |ui| {
            let field = Field::new("order/arrival/step/goes", labels::GOES_TO).wide(240.0);
            place = place_ui(ui, cx, field, &mut self.place);
            let field = Field::new(SEAL, labels::NEW_SEAL).wide(170.0).hint(labels::SEAL_HINT);
            let response = form_line(ui, cx.drafts, field);
            if std::mem::take(&mut self.on) {
                response.request_focus();
            }
        });
        gap(ui, 2.0 * space::STEP);
        let sealed = seal(cx.drafts.text(SEAL));
        let able = sealed.is_ok();
        let pressed = ui.add_enabled_ui(able, |ui| main_button(ui, &labels::close(thing))).inner.clicked();
        match sealed {
            Ok(seal) if pressed => match handling::put_away(cx.held, thing, seal, place) {
                Ok(edits) => cx.hand_in(edits, &[SEAL]),
                Err(why) => not_yet(ui, &why),
            },
            Ok(_) => {}
            Err(why) => not_yet(ui, &why),
        }
    }
}
