//! What went home, thing by thing, and what came back.

use craft::fact::HomeFact;
use craft::id::{Thing, ThingKind};
use craft::place::Place;
use egui::{Rect, Sense, Ui};
use workbench::present::board::stone_marks;
use workbench::present::labels::after::{self as labels, After};
use workbench::present::words;

use super::{AfterPage, Telling, late};
use crate::cx::Cx;
use crate::draw::stone::StonePicture;
use crate::draw::things::{Form, SIZE, ThingPicture, thing as draw_thing};
use crate::look::{Face, Tokens, space};
use crate::widgets::{Field, cells, choice, gap, heading, link, note, plain_button, rule, say};

const DAY: &str = "order/after/telling/day";

impl AfterPage {
    pub(super) fn things_ui(&mut self, ui: &mut Ui, cx: &mut Cx<'_>) {
        let all = labels::things(cx.view.studio, cx.held);
        let (gone, stayed): (Vec<After>, Vec<After>) = all.into_iter().partition(|row| row.gone);
        for (title, rows) in [(labels::WENT_HOME, gone), (labels::STAYED, stayed)] {
            if rows.is_empty() {
                continue;
            }
            heading(ui, title);
            gap(ui, space::STEP);
            for row in &rows {
                self.row_ui(ui, cx, row);
            }
            gap(ui, 4.0 * space::STEP);
        }
    }

    fn row_ui(&mut self, ui: &mut Ui, cx: &mut Cx<'_>, row: &After) {
        let tokens = Tokens::of(ui);
        gap(ui, space::STEP);
        cells(ui, &[SIZE.x + 8.0, 0.0], |ui, place| {
            if place == 0 {
                let (rect, _) = ui.allocate_exact_size(SIZE, Sense::hover());
                picture(ui, rect, cx, row.thing);
                return;
            }
            ui.spacing_mut().item_spacing.y = 0.0;
            say(ui, Face::Strong, tokens.ink, words::sentence_start(&row.name));
            ui.horizontal_wrapped(|ui| {
                ui.spacing_mut().item_spacing.x = 4.0 * space::STEP;
                ui.spacing_mut().interact_size.y = 24.0;
                say(ui, Face::Second, tokens.ink_2, row.stands.as_str());
                self.ways_ui(ui, row);
            });
        });
        if let Some((thing, telling)) = self.telling.filter(|(thing, _)| *thing == row.thing) {
            note(ui, |ui| ui.vertical(|ui| self.telling_ui(ui, cx, (thing, telling), &row.name)));
        }
        gap(ui, space::STEP);
        rule(ui);
    }

    /// What can be told of a thing.
    fn ways_ui(&mut self, ui: &mut Ui, row: &After) {
        let back = row.gone.then_some((Telling::CameBack, labels::CAME_BACK));
        for (telling, said) in back.into_iter().chain([(Telling::Fault, labels::FAULT)]) {
            if link(ui, said).accessible_name(labels::of_thing(said, &row.name)).clicked() {
                let now = Some((row.thing, telling));
                self.telling = if self.telling == now { None } else { now };
                (self.place, self.place_wanted) = (None, false);
            }
        }
    }

    fn telling_ui(&mut self, ui: &mut Ui, cx: &mut Cx<'_>, of: (Thing, Telling), name: &str) {
        let (thing, telling) = of;
        let came_back = telling == Telling::CameBack;
        let widths = if came_back { &[200.0, 150.0][..] } else { &[150.0][..] };
        let mut when = late::When::Now;
        cells(ui, widths, |ui, place| {
            if came_back && place == 0 {
                self.place_ui(ui, cx);
            } else {
                when = late::day_ui(ui, cx, DAY, &labels::of_thing(labels::DAY, name));
            }
        });
        if self.place_wanted && self.place.is_none() {
            say(ui, Face::Second, Tokens::of(ui).care, sentence(labels::PLACE_WANTED));
        }
        gap(ui, space::STEP);
        ui.horizontal_wrapped(|ui| {
            ui.spacing_mut().item_spacing.x = 4.0 * space::STEP;
            let said = if came_back { labels::RECORD_BACK } else { labels::RECORD_FAULT };
            if plain_button(ui, said).clicked() {
                self.told(cx, thing, telling, when);
            }
            if link(ui, labels::LEAVE).clicked() {
                self.telling = None;
            }
        });
    }

    fn told(&mut self, cx: &mut Cx<'_>, thing: Thing, telling: Telling, when: late::When) {
        let fact = match (telling, self.place.clone()) {
            (Telling::Fault, _) => HomeFact::Fault { thing },
            (Telling::CameBack, Some(place)) => HomeFact::CameBack { thing, place },
            (Telling::CameBack, None) => {
                self.place_wanted = true;
                return;
            }
        };
        if late::record(cx, when, fact) {
            cx.drafts.clear(DAY);
            (self.telling, self.place) = (None, None);
        }
    }

    fn place_ui(&mut self, ui: &mut Ui, cx: &Cx<'_>) {
        let named = (1_u16..).zip(&cx.view.studio.policies().places).filter(|(_, name)| !name.is_empty());
        let named = named.map(|(no, name)| (Place::Kept(no), name.to_string()));
        let bench = (Place::Bench, words::place(cx.view.studio, &Place::Bench));
        let places: Vec<(Place, String)> = named.chain([bench]).collect();
        let field = Field::new("order/after/telling/place", labels::PLACE).wide(0.0);
        if let Some(place) = choice(ui, field, self.place.as_ref(), &places) {
            self.place = Some(place);
        }
    }
}

fn sentence(words: &str) -> String {
    format!("{}.", words::sentence_start(words))
}

fn picture(ui: &Ui, rect: Rect, cx: &Cx<'_>, thing: Thing) {
    let kept = cx.held.ledger.custody.things.get(&thing);
    let picture = match thing.kind {
        ThingKind::Wrapping => ThingPicture::Wrapping,
        ThingKind::Envelope => ThingPicture::Envelope {
            holds: cx.held.ledger.custody.contents(thing).next().is_some(),
            sealed: kept.is_some_and(|kept| kept.seal.is_some()),
        },
        ThingKind::Stone => ThingPicture::Stone(stone(cx, thing.no)),
        ThingKind::Offcuts => ThingPicture::Offcuts(stone(cx, thing.no).colour),
        ThingKind::Keepsake => ThingPicture::Keepsake,
        ThingKind::Piece => {
            let things = &cx.held.ledger.custody.things;
            let part = things.iter().find(|(_, kept)| kept.part_of == Some(thing)).map(|(part, _)| part.no);
            let form = if cx.held.order.sheet.ring.is_empty() { Form::Pendant } else { Form::Ring };
            ThingPicture::Piece(form, stone(cx, part.unwrap_or(0)))
        }
    };
    draw_thing(ui.painter(), Tokens::of(ui), rect, &picture);
}

/// A stone as it is drawn; one that is not on the sheet has neither outline nor colour.
fn stone(cx: &Cx<'_>, no: u8) -> StonePicture {
    let marks = stone_marks(cx.view.studio, cx.held);
    let mark = marks.iter().find(|mark| mark.no == no).map(StonePicture::from);
    mark.unwrap_or(StonePicture { outline: None, colour: None, begun: true, chosen: false })
}
