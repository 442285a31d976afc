//! What went home, thing by thing, and what came back.

use craft::fact::HomeFact;
use craft::id::Thing;
use egui::{Sense, Ui};
use workbench::present::labels::after::{self as labels, After};
use workbench::present::words;

use super::{AfterPage, Telling, late};
use crate::cx::Cx;
use crate::draw::things::{SIZE, thing as draw_thing};
use crate::look::{Face, Tokens, space};
use crate::pages::life::way_here_ui;
use crate::pages::pack::thing_picture;
use crate::widgets::{Field, cells, choice, fold, gap, heading, note, pick, place, plain_button, rule, say};

const DAY: &str = "order/after/telling/day";

impl AfterPage {
    pub(super) fn things_ui(&mut self, ui: &mut Ui, cx: &mut Cx<'_>) {
        if self.told_at.take().is_some_and(|at| cx.held.order.log.len() > at) {
            *self = Self::default();
        }
        let all = labels::things(cx.view.studio, cx.held);
        for (title, gone) in [(labels::WENT_HOME, true), (labels::STAYED, false)] {
            if !all.iter().any(|row| row.gone == gone) {
                continue;
            }
            heading(ui, title);
            gap(ui, space::STEP);
            for row in all.iter().filter(|row| row.gone == gone) {
                row_ui(ui, cx, row);
            }
            gap(ui, 4.0 * space::STEP);
        }
        let lots: Vec<u8> = cx.held.ledger.custody.lots.keys().copied().collect();
        ui.horizontal_wrapped(|ui| {
            ui.spacing_mut().item_spacing.x = 5.0 * space::STEP;
            for lot in lots {
                way_here_ui(ui, cx, lot);
            }
        });
        gap(ui, 2.0 * space::STEP);
        if fold(ui, labels::TELL, &mut self.telling) {
            gap(ui, space::STEP);
            note(ui, |ui| ui.vertical(|ui| self.telling_ui(ui, cx, &all)));
        }
    }

    /// What came back, or has a fault.
    fn telling_ui(&mut self, ui: &mut Ui, cx: &mut Cx<'_>, all: &[After]) {
        let (now, words) = (usize::from(self.what == Telling::Fault), [labels::CAME_BACK, labels::FAULT]);
        if let (Some(place), _) = pick(ui, "order/after/what", labels::WHAT, Some(now), &words) {
            self.what = if place == 1 { Telling::Fault } else { Telling::CameBack };
        }
        let back = self.what == Telling::CameBack;
        let things = all.iter().filter(|row| row.gone || !back);
        let things: Vec<(Thing, String)> = things.map(|row| (row.thing, row.name.clone())).collect();
        gap(ui, space::STEP);
        let field = Field::new("order/after/thing", labels::WHICH).wide(0.0);
        if let Some(thing) = choice(ui, field, self.thing.as_ref(), &things) {
            self.thing = Some(thing);
        }
        gap(ui, space::STEP);
        let widths = if back { &[200.0, 150.0][..] } else { &[150.0][..] };
        let mut when = late::When::Now;
        cells(ui, widths, |ui, at| {
            if back && at == 0 {
                let field = Field::new("order/after/telling/place", labels::PLACE).wide(0.0);
                if let Some(place) = place(ui, cx, field, self.place.as_ref()) {
                    self.place = Some(place);
                }
            } else {
                when = late::day_ui(ui, cx, DAY, labels::HAPPENED);
            }
        });
        gap(ui, 2.0 * space::STEP);
        let said = if back { labels::RECORD_BACK } else { labels::RECORD_FAULT };
        ui.horizontal_wrapped(|ui| {
            ui.spacing_mut().item_spacing.x = 4.0 * space::STEP;
            if plain_button(ui, said).clicked() {
                self.told(cx, &things, when);
            }
            if let Some(wanted) = self.wanted {
                say(ui, Face::Body, Tokens::of(ui).care, wanted);
            }
        });
    }

    fn told(&mut self, cx: &mut Cx<'_>, things: &[(Thing, String)], when: late::When) {
        let thing = self.thing.filter(|thing| things.iter().any(|(of, _)| of == thing));
        self.wanted = None;
        let fact = match (thing, self.what, self.place.clone()) {
            (None, ..) => return self.wanted = Some(labels::THING_WANTED),
            (Some(thing), Telling::Fault, _) => HomeFact::Fault { thing },
            (Some(thing), Telling::CameBack, Some(place)) => HomeFact::CameBack { thing, place },
            (Some(_), Telling::CameBack, None) => return self.wanted = Some(labels::PLACE_WANTED),
        };
        if late::record(cx, when, fact, DAY) {
            self.told_at = Some(cx.held.order.log.len());
        }
    }
}

fn row_ui(ui: &mut Ui, cx: &Cx<'_>, row: &After) {
    let tokens = Tokens::of(ui);
    gap(ui, space::STEP);
    cells(ui, &[SIZE.x + 2.0 * space::STEP, 0.0], |ui, place| {
        if place == 0 {
            let (rect, _) = ui.allocate_exact_size(SIZE, Sense::hover());
            draw_thing(ui.painter(), tokens, rect, &thing_picture(cx, row.thing));
            return;
        }
        ui.spacing_mut().item_spacing.y = 0.0;
        say(ui, Face::Strong, tokens.ink, words::sentence_start(&row.name));
        say(ui, Face::Second, tokens.ink_2, row.stands.as_str());
    });
    gap(ui, space::STEP);
    rule(ui);
}
