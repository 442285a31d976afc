//! The arrival: what came is written down, the keep-back is put away first, and everything has a place.

mod act;
mod receive;
mod steps;

use craft::digest::Digest;
use craft::id::{Thing, ThingKind};
use craft::ledger::Held as Kept;
use craft::order::{Page, Photo};
use craft::place::Place;
use craft::stage::Turn;
use craft::studio::Studio;
use egui::{Ui, vec2};
use workbench::present::accounts::{Account, accounts};
use workbench::present::board;
use workbench::present::labels::shell as shell_labels;
use workbench::present::labels::{arrival as labels, pack};
use workbench::present::places;
use workbench::present::things::{self, ThingRow, rows};
use workbench::present::words;

use super::between::Between;
use super::common;
use super::guard::Guard;
use super::pack::parts::{Row, account_ui, row_ui};
use super::pack::{TagField, column, thing_picture};
use super::weigh::Weighing;
use crate::cx::Cx;
use crate::look::{Face, Tokens, space};
use crate::widgets::photos::photo;
use crate::widgets::{self, Field, choice, gap, heading, link, main_button, note, say, second};

pub(super) use receive::describe;

/// Below this width the piles stand below the things.
const NARROW: f32 = 700.0;
/// The column of the piles.
const ASIDE: f32 = 264.0;

/// The arrival page's own state.
#[derive(Debug, Default)]
pub(super) struct ArrivalPage {
    form: Option<receive::Form>,
    receiving: receive::Receiving,
    tag: TagField,
    step: steps::Step,
    open: Option<Thing>,
    acting: act::Acting,
    weighing: Weighing,
}

impl ArrivalPage {
    pub(crate) fn ui(&mut self, ui: &mut Ui, cx: &mut Cx<'_>, guard: &mut Guard, between: &mut Between) {
        if self.receiving.is_written(cx) {
            self.form = None;
            self.tag.ask();
        }
        let rows = rows(cx.view.studio, cx.held, cx.view.now.day());
        let custody = &cx.held.ledger.custody;
        if custody.things.is_empty() && self.form.is_none() {
            self.nothing_ui(ui, cx, guard, between);
            return;
        }
        let width = ui.available_width();
        let accounts = accounts(cx.view.studio, cx.held);
        if accounts.is_empty() || width < NARROW {
            self.main_ui(ui, cx, &rows, guard);
            for account in &accounts {
                gap(ui, space::BLOCK);
                self.aside_ui(ui, cx, account);
            }
        } else {
            let between = 10.0 * space::STEP;
            let left = (width - ASIDE - between).min(space::READING - ASIDE);
            ui.horizontal_top(|ui| {
                ui.spacing_mut().item_spacing.x = 0.0;
                column(ui, left, |ui| self.main_ui(ui, cx, &rows, guard));
                ui.add_space(between);
                column(ui, ASIDE, |ui| {
                    for account in &accounts {
                        self.aside_ui(ui, cx, account);
                    }
                });
            });
        }
        gap(ui, space::BLOCK);
        between.here_ui(ui, cx);
        common::words_ui(ui, cx, Page::Arrival);
        common::cautions_ui(ui, cx, Page::Arrival);
    }

    /// What photos that are dropped are of: the thing that is being looked at.
    pub(crate) const fn photo_of(&self) -> Option<Thing> {
        self.open
    }

    fn nothing_ui(&mut self, ui: &mut Ui, cx: &mut Cx<'_>, guard: &mut Guard, between: &mut Between) {
        guard.coming_ui(ui, cx);
        heading(ui, labels::NOTHING);
        second(ui, labels::NOTHING_SECOND);
        gap(ui, 4.0 * space::STEP);
        if main_button(ui, labels::RECORD).clicked() {
            self.form = Some(receive::Form::Packet);
        }
        gap(ui, space::BLOCK);
        between.here_ui(ui, cx);
        common::words_ui(ui, cx, Page::Arrival);
        common::cautions_ui(ui, cx, Page::Arrival);
    }

    fn main_ui(&mut self, ui: &mut Ui, cx: &mut Cx<'_>, rows: &[ThingRow], guard: &mut Guard) {
        let gone = cx.held.ledger.home.is_gone();
        if self.form.is_some() {
            guard.coming_ui(ui, cx);
        } else if !gone {
            guard.before_ui(ui, cx, self.opens(cx));
        }
        if let Some(form) = self.form {
            if !self.receiving.ui(ui, cx, form) {
                self.form = None;
            }
            gap(ui, space::BLOCK);
        } else {
            self.step_ui(ui, cx);
        }
        if cx.held.ledger.custody.things.is_empty() {
            return;
        }
        heading(ui, labels::things(&words::remembered(cx.held)));
        gap(ui, space::STEP);
        for row in rows {
            self.thing_ui(ui, cx, row);
        }
        gap(ui, 3.0 * space::STEP);
        if !gone {
            guard.tags_ui(ui, cx);
        }
        Self::loose_photos_ui(ui, cx);
        if self.form.is_none() {
            ui.horizontal_wrapped(|ui| {
                ui.spacing_mut().item_spacing.x = 5.0 * space::STEP;
                if link(ui, labels::KEEPSAKE).clicked() {
                    self.form = Some(receive::Form::Keepsake);
                }
                if link(ui, labels::ANOTHER).clicked() {
                    self.form = Some(receive::Form::Packet);
                }
            });
        }
    }

    /// True where what is next here opens a packet, or one that is closed is looked at.
    fn opens(&self, cx: &Cx<'_>) -> bool {
        let closed = |thing: &Thing| {
            let kept = cx.held.ledger.custody.things.get(thing);
            let opens = matches!(thing.kind, ThingKind::Wrapping | ThingKind::Envelope | ThingKind::Offcuts);
            opens && kept.is_some_and(|kept| !kept.open && kept.is_here())
        };
        let due = things::keep_backs_due(cx.held).iter().any(|(lot, _)| closed(&Thing::wrapping(*lot)));
        due || self.open.as_ref().is_some_and(closed)
    }

    /// The one thing that is next on this page, with its main button.
    fn step_ui(&mut self, ui: &mut Ui, cx: &mut Cx<'_>) {
        let open: Vec<Thing> = cx.held.ledger.custody.open().collect();
        if let Some((lot, share)) = things::keep_backs_due(cx.held).first().copied() {
            self.step.keep_back_ui(ui, cx, &mut self.tag, (lot, share));
        } else if let Some(thing) = open.first().copied() {
            self.step.close_ui(ui, cx, thing);
        } else if cx.held.ledger.custody.lots.is_empty() {
            if main_button(ui, labels::RECORD).clicked() {
                self.form = Some(receive::Form::Packet);
            }
        } else if let Some((page, action)) = way_on(cx) {
            // Everything here is done.
            if main_button(ui, &words::sentence_start(&action)).clicked() {
                cx.go(page);
            }
        } else {
            return;
        }
        gap(ui, space::BLOCK);
    }

    fn thing_ui(&mut self, ui: &mut Ui, cx: &mut Cx<'_>, row: &ThingRow) {
        let thing = row.thing;
        let Some(kept) = cx.held.ledger.custody.things.get(&thing) else { return };
        let photo = cx.held.order.sheet.photo_of(thing);
        let described = cx.held.order.sheet.description(thing).is_some_and(|words| !words.is_empty());
        let came = matches!(thing.kind, ThingKind::Wrapping | ThingKind::Keepsake);
        let bare = came && photo.is_none() && kept.photo.is_none() && !described;
        let parts = [
            row.second.clone(),
            things::weighed(cx.held, thing).unwrap_or_default(),
            where_it_is(cx.view.studio, kept),
            if bare { labels::NEITHER.to_owned() } else { String::new() },
        ];
        let said = parts.into_iter().filter(|part| !part.is_empty()).collect::<Vec<_>>().join("  ·  ");
        let is_open = self.open == Some(thing);
        let name = labels::more(thing);
        let more = if is_open { labels::LESS } else { labels::MORE };
        let pressed = row_ui(
            ui,
            Row {
                picture: &thing_picture(cx, thing),
                title: &row.title,
                second: &said,
                care: row.standing == things::Standing::Lost,
                label: &row.label,
                tick: None,
                link: Some((more, &name)),
            },
        );
        if pressed.link {
            self.open = if is_open { None } else { Some(thing) };
            self.acting = act::Acting::default();
            cx.drafts.clear_under(act::TAG);
        }
        if self.open == Some(thing) {
            gap(ui, 2.0 * space::STEP);
            let kept = kept.clone();
            note(ui, |ui| {
                ui.vertical(|ui| self.acting.ui(ui, cx, (thing, &kept), &mut self.weighing));
            });
            gap(ui, 2.0 * space::STEP);
        }
    }

    /// Where one material is, and what could be weighed of it.
    fn aside_ui(&mut self, ui: &mut Ui, cx: &mut Cx<'_>, account: &Account) {
        account_ui(ui, cx, account);
        self.weighing.account_ui(ui, cx, account, false);
        if !account.advice.is_empty() {
            gap(ui, space::STEP);
            second(ui, account.advice.as_str());
        }
        gap(ui, space::BLOCK);
    }

    /// Photos that were dropped without saying what is on them.
    fn loose_photos_ui(ui: &mut Ui, cx: &mut Cx<'_>) {
        let boxed = &cx.held.ledger.home.box_photos;
        let photos = cx.held.order.sheet.photos.iter();
        let loose: Vec<&Photo> =
            photos.filter(|photo| photo.of.is_none() && !boxed.contains(&photo.original)).take(4).collect();
        if loose.is_empty() {
            return;
        }
        heading(ui, labels::LOOSE_PHOTOS);
        let custody = &cx.held.ledger.custody;
        let options: Vec<(Thing, String)> = custody
            .things
            .keys()
            .map(|thing| (*thing, format!("{}, {}", words::label(*thing), words::thing(cx.held, *thing))))
            .collect();
        for (place, one) in loose.into_iter().enumerate() {
            let label = labels::shows(place + 1);
            ui.horizontal_top(|ui| {
                let size = vec2(112.0, 78.0);
                photo(ui, cx, (one.original, one.kind), size, &label);
                let key = format!("order/arrival/of/{}", one.original);
                let field = Field::new(&key, &label).wide(240.0).hint(pack::WHICH_HINT);
                if let Some(of) = choice(ui, field, None, &options) {
                    assign(cx, one.original, of);
                }
            });
        }
        gap(ui, 3.0 * space::STEP);
    }
}

/// Says what a photo is of.
fn assign(cx: &mut Cx<'_>, original: Digest, of: Thing) {
    cx.sheet(|sheet| {
        let mut all = sheet.photos.iter_mut();
        if let Some(photo) = all.find(|photo| photo.original == original && photo.of.is_none()) {
            photo.of = Some(of);
        }
    });
}

/// Where the maker's hands are wanted next, and for what; none where that is here, or nobody's turn.
fn way_on(cx: &Cx<'_>) -> Option<(Page, String)> {
    let today = cx.view.now.day();
    let next = cx.held.next(today, cx.view.studio.policies().nudge_days);
    let page = board::page_of(next);
    let wanted = page != Page::Arrival && matches!(next.turn(), Turn::Hands | Turn::Parcel);
    wanted.then(|| (page, board::next_words(cx.view.studio, cx.held, next, today)))
}

/// Where a thing is, as a clause.
fn where_it_is(studio: &Studio, kept: &Kept) -> String {
    if kept.lost {
        return pack::LOST.to_owned();
    }
    match (kept.part_of, kept.open) {
        (Some(piece), _) => labels::set_into(piece),
        (None, true) => labels::open_at(&words::place_in(studio, &kept.place)),
        (None, false) => words::place_in(studio, &kept.place),
    }
}

/// A choice of place, remembered in `place`; the first drawer at first.
fn place_ui(ui: &mut Ui, cx: &mut Cx<'_>, field: Field<'_>, place: &mut Option<Place>) -> Place {
    let first = || places::choices(cx.view.studio).into_iter().nth(1).map(|(place, _)| place);
    let now = place.clone().or_else(first).unwrap_or(Place::Bench);
    if let Some(new) = widgets::place(ui, cx, field, Some(&now)) {
        *place = Some(new.clone());
        return new;
    }
    now
}

/// "Not yet: …".
fn not_yet(ui: &mut Ui, why: &str) {
    say(ui, Face::Body, Tokens::of(ui).care, shell_labels::not_yet(why.trim_end_matches('.')));
}
