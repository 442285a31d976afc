//! Everything counted home: each thing ticked into the box by its tag, the box seen, and the parcel.

mod papers;
mod parcel;
mod photos;
mod piles;
mod row;
mod tag;

use craft::fact::{Check, ClientFact, CustodyFact, Hardness, HomeFact, LeftOut, PaperKind, Wish as Wanting};
use craft::id::{Thing, ThingKind};
use craft::order::{Page, Photo};
use craft::place::Place;
use craft::stage::Turn;
use craft::tag::Tag;
use egui::{Align, Layout, Ui, vec2};
use workbench::action::Job;
use workbench::handling;
use workbench::present::accounts::accounts;
use workbench::present::board;
use workbench::present::custody::offcuts_words;
use workbench::present::labels::common::way_to;
use workbench::present::labels::pack as labels;
use workbench::present::labels::shell::not_yet;
use workbench::present::paper_rows::{is_issued, lacks_care_card, out_of_date};
use workbench::present::tag_words::{self, Label};
use workbench::present::things::{Standing, ThingRow, box_waits_for, rows};
use workbench::present::words;

pub(super) use photos::{Wanted, take_in_ui};
pub(super) use piles::thing_picture;
pub(super) use tag::TagField;

use super::common::{self, lost_ui, sure_ui};
use super::guard::Guard;
use super::kept::Kept;
use super::weigh::Weighing;
use crate::cx::{Cx, Wish};
use crate::look::{Face, Tokens, space};
use crate::widgets::photos::photo;
use crate::widgets::{Field, choice, fold, gap, heading, link, main_button, plain_button, say, second};

pub(super) mod parts {
    //! What the arrival page shows alike.
    pub(in crate::pages) use super::piles::{piles_ui, ui as account_ui};
    pub(in crate::pages) use super::row::{Row, ui as row_ui};
}

/// The key of the tag that is read off the things.
const TAG_KEY: &str = "once/pack/tag";
/// Below this width the two columns stand one below the other.
const NARROW: f32 = 700.0;
/// The column of the piles, papers and the box.
const ASIDE: f32 = 292.0;

/// The pack page's own state.
#[derive(Debug, Default)]
pub(super) struct PackPage {
    tag: TagField,
    tag_first: bool,
    /// The thing whose whole label stands in the field.
    labelled: Option<Thing>,
    stays_out: bool,
    /// What is about to be written down of a thing's end: the client's word for it, or that it was done.
    destroying: Option<(Thing, bool)>,
    which: Option<Thing>,
    /// It was asked whether this cannot be found.
    losing: Option<Thing>,
    parcel: parcel::ParcelSide,
    trouble: Option<String>,
    weighing: Weighing,
    /// Which papers are written, packing list and care card, while nothing in the studio changes.
    issued: Kept<(Tag, u64), papers::Issued>,
    part: bool,
}

impl PackPage {
    pub(crate) fn ui(&mut self, ui: &mut Ui, cx: &mut Cx<'_>, guard: &mut Guard) {
        let rows = rows(cx.view.studio, cx.held, cx.view.now.day());
        if rows.is_empty() {
            nothing_ui(ui, cx);
            return;
        }
        let width = ui.available_width();
        if width < NARROW {
            self.things_ui(ui, cx, &rows, guard);
            gap(ui, space::BLOCK);
            self.aside_ui(ui, cx, &rows);
        } else {
            let between = 10.0 * space::STEP;
            let left = (width - ASIDE - between).min(space::READING - ASIDE);
            ui.horizontal_top(|ui| {
                ui.spacing_mut().item_spacing.x = 0.0;
                column(ui, left, |ui| self.things_ui(ui, cx, &rows, guard));
                ui.add_space(between);
                column(ui, ASIDE, |ui| self.aside_ui(ui, cx, &rows));
            });
        }
        gap(ui, space::BLOCK);
        common::words_ui(ui, cx, Page::Pack);
        common::cautions_ui(ui, cx, Page::Pack);
    }

    fn things_ui(&mut self, ui: &mut Ui, cx: &mut Cx<'_>, rows: &[ThingRow], guard: &mut Guard) {
        let name = words::remembered(cx.held);
        let arrived = cx.held.ledger.home.arrived.is_some();
        let counted =
            |row: &&ThingRow| matches!(row.standing, Standing::Loose | Standing::Open | Standing::Boxed);
        let all = rows.iter().filter(counted).count();
        let done = rows.iter().filter(|row| row.standing == Standing::Boxed).count();
        if all == 0 {
            heading(ui, labels::gone(&name, arrived));
            gap(ui, 2.0 * space::STEP);
            for row in rows {
                self.row_ui(ui, cx, row, None, false);
            }
            return;
        }
        heading(ui, labels::everything(&name));
        second(ui, labels::ticked(done, all, cx.held.ledger.home.box_seen));
        before_ui(ui, cx);
        gap(ui, 3.0 * space::STEP);
        guard.before_ui(ui, cx, false);
        let read = self.tag.ui(ui, cx, (TAG_KEY, labels::TAG), None);
        self.labelled = read.thing;
        if read.check.is_some() {
            self.tag_first = false;
        }
        if self.tag_first {
            say(ui, Face::Second, Tokens::of(ui).care, labels::TAG_FIRST);
        }
        if let Some(why) = &self.trouble {
            say(ui, Face::Second, Tokens::of(ui).care, not_yet(why));
        }
        gap(ui, 2.0 * space::STEP);
        let mut loose = rows.iter().filter(|row| row.standing == Standing::Loose).map(|row| row.thing);
        // A whole label says which thing is in the hand.
        let first = match read.thing {
            Some(thing) => loose.find(|loose| *loose == thing),
            None => loose.next(),
        };
        for row in rows {
            let focus = read.entered && first == Some(row.thing);
            self.row_ui(ui, cx, row, read.check, focus);
        }
        gap(ui, 3.0 * space::STEP);
        self.stays_out_ui(ui, cx, rows);
    }

    fn row_ui(&mut self, ui: &mut Ui, cx: &mut Cx<'_>, row: &ThingRow, check: Option<Check>, focus: bool) {
        let thing = row.thing;
        let place = cx.held.ledger.custody.things.get(&thing).map(|kept| kept.place.clone());
        let at = place.as_ref().map(|place| words::place_in(cx.view.studio, place)).unwrap_or_default();
        let away = row.standing == Standing::Loose && place == Some(Place::Away);
        let in_mould = row.standing == Standing::Loose && matches!(place, Some(Place::Cavity { .. }));
        let state = state_words(row.standing, at);
        let (cured, unlit) = cured(cx, row);
        let parts = [row.second.as_str(), cured, state.as_str()];
        let line = parts.into_iter().filter(|part| !part.is_empty()).collect::<Vec<_>>().join("  ·  ");
        let name = labels::tick(thing);
        let possible = match row.standing {
            Standing::Loose => !away && !in_mould,
            Standing::Boxed => true,
            Standing::LeftOut(why) => why == LeftOut::HeldForClient,
            Standing::Open | Standing::Lost | Standing::Gone => false,
        };
        let ticked = matches!(row.standing, Standing::Boxed | Standing::Gone);
        let (close, found, back, out) =
            (labels::close_it(thing), labels::found(thing), labels::back(thing), labels::take_out(thing));
        let light = labels::light_it(thing);
        let link = match row.standing {
            Standing::Open => Some((close.as_str(), close.as_str())),
            Standing::Lost => Some((found.as_str(), found.as_str())),
            _ if away => Some((back.as_str(), back.as_str())),
            _ if in_mould => Some((out.as_str(), out.as_str())),
            _ if unlit => Some((labels::LIGHT, light.as_str())),
            _ => None,
        };
        let pressed = row::ui(
            ui,
            row::Row {
                picture: &thing_picture(cx, thing),
                title: &row.title,
                second: &line,
                care: row.standing == Standing::Lost,
                label: &row.label,
                tick: Some(row::Box { name: &name, ticked, possible }),
                link,
            },
        );
        if pressed.link {
            match row.standing {
                Standing::Lost => cx.fact(CustodyFact::Found { thing, place: Place::Bench }),
                _ if away => cx.fact(CustodyFact::Placed { thing, place: Place::Bench }),
                _ if in_mould || unlit => cx.go(Page::Pour),
                _ => cx.go(Page::Arrival),
            }
        }
        let Some(response) = pressed.tick else { return };
        if focus {
            response.request_focus();
        }
        if response.clicked() && possible {
            self.turn(cx, thing, ticked, check);
        }
    }

    fn turn(&mut self, cx: &mut Cx<'_>, thing: Thing, ticked: bool, check: Option<Check>) {
        match (ticked, check) {
            (true, _) => {
                self.parcel.closed = false;
                cx.fact(HomeFact::Unticked { thing });
            }
            (false, Some(check)) => {
                // A tag that was read stands for the one thing it was read off.
                let label = Label { tag: check.tag, thing: self.labelled };
                if let Some(why) = tag_words::off_another(label, Some(thing)) {
                    self.trouble = Some(why);
                    return;
                }
                self.trouble = None;
                match handling::tick(cx.held, thing, check) {
                    Ok(ticked) => cx.hand_in(vec![ticked], &[TAG_KEY]),
                    Err(why) => self.trouble = Some(why),
                }
                self.tag.ask();
            }
            (false, None) => {
                self.tag_first = true;
                self.tag.ask();
            }
        }
    }

    fn stays_out_ui(&mut self, ui: &mut Ui, cx: &mut Cx<'_>, rows: &[ThingRow]) {
        let loose = rows.iter().filter(|row| matches!(row.standing, Standing::Loose | Standing::Open));
        let options: Vec<(Thing, String)> =
            loose.map(|row| (row.thing, format!("{}, {}", row.label, row.title))).collect();
        if options.is_empty() || !fold(ui, labels::STAYS_OUT, &mut self.stays_out) {
            return;
        }
        second(ui, labels::STAYS_OUT_SAYS);
        let field = Field::new("order/pack/which", labels::WHICH).wide(320.0).hint(labels::WHICH_HINT);
        self.which = self.which.filter(|which| options.iter().any(|(thing, _)| thing == which));
        if let Some(which) = choice(ui, field, self.which.as_ref(), &options) {
            self.which = Some(which);
        }
        let Some(thing) = self.which else { return };
        gap(ui, space::STEP);
        ui.horizontal_wrapped(|ui| {
            let reasons = [(labels::HELD, LeftOut::HeldForClient), (labels::BEFORE, LeftOut::ReturnedBefore)];
            for (words, why) in reasons {
                if plain_button(ui, words).clicked() {
                    cx.fact(HomeFact::LeftOut { thing, why });
                }
            }
        });
        gap(ui, space::STEP);
        // On lines of their own: each of the two asks again before it is written down.
        if lost_ui(ui, &mut self.losing, thing, labels::CANNOT_FIND) {
            cx.fact(CustodyFact::Lost { thing });
        }
        destroy_ui(ui, cx, thing, &mut self.destroying);
    }

    /// What is needed now stands first: the piles while things are ticked, then the box and its parcel.
    fn aside_ui(&mut self, ui: &mut Ui, cx: &mut Cx<'_>, rows: &[ThingRow]) {
        let boxed = rows.iter().any(|row| row.standing == Standing::Boxed);
        let counted = cx.held.ledger.to_pack().is_empty();
        if counted && (boxed || cx.held.ledger.home.is_gone()) {
            if boxed {
                self.box_ui(ui, cx, rows);
            } else {
                Self::gone_ui(ui, cx);
            }
            gap(ui, space::BLOCK);
            papers::ui(ui, cx, &mut self.issued);
            gap(ui, space::BLOCK);
            self.piles_ui(ui, cx);
        } else {
            self.piles_ui(ui, cx);
            papers::ui(ui, cx, &mut self.issued);
            gap(ui, space::BLOCK);
            self.box_ui(ui, cx, rows);
            if boxed {
                self.part_ui(ui, cx);
            }
        }
    }

    fn piles_ui(&mut self, ui: &mut Ui, cx: &mut Cx<'_>) {
        for account in accounts(cx.view.studio, cx.held) {
            piles::ui(ui, cx, &account);
            self.weighing.account_ui(ui, cx, &account, !cx.held.ledger.home.is_gone());
            gap(ui, space::BLOCK);
        }
    }

    /// What is in the box goes home by itself, while the rest stays.
    fn part_ui(&mut self, ui: &mut Ui, cx: &mut Cx<'_>) {
        gap(ui, 2.0 * space::STEP);
        if !fold(ui, labels::PART, &mut self.part) {
            return;
        }
        second(ui, labels::PART_SAYS);
        gap(ui, space::STEP);
        if cx.held.ledger.home.box_seen {
            parcel::fields_ui(ui, cx);
            gap(ui, 2.0 * space::STEP);
            if plain_button(ui, labels::PART_SENT).clicked() {
                self.part = false;
                cx.fact(HomeFact::SentPart);
            }
        } else {
            Self::photo_ui(ui, cx, true);
        }
    }

    fn gone_ui(ui: &mut Ui, cx: &mut Cx<'_>) {
        Self::photos_ui(ui, cx);
        parcel::known_ui(ui, cx);
        gap(ui, 4.0 * space::STEP);
        if main_button(ui, labels::TO_AFTER).clicked() {
            cx.go(Page::After);
        }
    }

    /// The photo of the box, then closing it, then the parcel.
    fn box_ui(&mut self, ui: &mut Ui, cx: &mut Cx<'_>, rows: &[ThingRow]) {
        let waits = box_waits_for(cx.held, rows);
        let counted = cx.held.ledger.to_pack().is_empty();
        if counted || !cx.held.ledger.home.box_photos.is_empty() {
            Self::photo_ui(ui, cx, counted);
        }
        if waits.is_some() {
            self.parcel.closed = false;
            ui.add_enabled_ui(false, |ui| main_button(ui, labels::CLOSE));
            waits_ui(ui, waits.as_deref());
        } else if self.parcel.closed {
            self.parcel.ui(ui, cx);
        } else {
            list_ui(ui, cx);
            without_care_ui(ui, cx);
            if main_button(ui, labels::CLOSE).clicked() {
                self.parcel.closed = true;
            }
        }
    }

    fn photo_ui(ui: &mut Ui, cx: &mut Cx<'_>, counted: bool) {
        let tokens = Tokens::of(ui);
        heading(ui, labels::PHOTO);
        Self::photos_ui(ui, cx);
        if cx.held.ledger.home.box_seen {
            say(ui, Face::Second, tokens.ink_2, labels::SEEN);
        } else {
            say(ui, Face::Second, tokens.ink_2, labels::PHOTO_NONE);
            if counted {
                Self::take_photo_ui(ui, cx);
            }
        }
        gap(ui, space::BLOCK);
    }

    fn take_photo_ui(ui: &mut Ui, cx: &mut Cx<'_>) {
        for loose in loose_photos(cx) {
            let size = vec2(120.0, 84.0);
            photo(ui, cx, (loose.original, loose.kind), size, labels::IS_THE_BOX);
            if link(ui, labels::IS_THE_BOX).clicked() {
                cx.fact(HomeFact::BoxPhotographed { photo: loose.original });
            }
        }
        let wanted = Wanted { key: "order/pack/photo", of: None, words: labels::BOX_CAPTION };
        take_in_ui(ui, cx, wanted);
        gap(ui, space::STEP);
        if plain_button(ui, labels::BY_EYE).clicked() {
            cx.fact(HomeFact::NotPhotographed);
        }
    }

    /// The newest photo of the box.
    fn photos_ui(ui: &mut Ui, cx: &mut Cx<'_>) {
        let sheet = &cx.held.order.sheet;
        let newest = cx.held.ledger.home.box_photos.last();
        let newest = newest.and_then(|newest| sheet.photos.iter().find(|photo| photo.original == *newest));
        if let Some(newest) = newest {
            let size = vec2(ui.available_width().min(240.0), 150.0);
            photo(ui, cx, (newest.original, newest.kind), size, labels::PHOTO);
            gap(ui, space::STEP);
        }
    }
}

/// How loose offcuts stand, and whether they have still to be lit.
fn cured(cx: &Cx<'_>, row: &ThingRow) -> (&'static str, bool) {
    if row.thing.kind != ThingKind::Offcuts || row.standing != Standing::Loose {
        return ("", false);
    }
    let felt = cx.held.ledger.pours.offcuts_felt(row.thing);
    (offcuts_words(cx.held, row.thing), felt != Some(Hardness::Hard))
}

/// A column of its own width.
pub(super) fn column<R>(ui: &mut Ui, width: f32, add: impl FnOnce(&mut Ui) -> R) -> R {
    let answer = ui.allocate_ui_with_layout(vec2(width, 0.0), Layout::top_down(Align::LEFT), |ui| {
        ui.set_width(width);
        ui.spacing_mut().item_spacing.x = 2.0 * space::STEP;
        add(ui)
    });
    answer.inner
}

/// How a thing stands to the box, in words; `at` is where it is.
fn state_words(standing: Standing, at: String) -> String {
    match standing {
        Standing::Loose | Standing::Gone => at,
        Standing::Open => labels::OPEN_FIRST.to_owned(),
        Standing::Boxed => String::new(),
        Standing::LeftOut(why) => words::left_out(why).to_owned(),
        Standing::Lost => labels::LOST.to_owned(),
    }
}

/// Nothing is destroyed before the client's word for it is in the record.
fn destroy_ui(ui: &mut Ui, cx: &mut Cx<'_>, thing: Thing, sure: &mut Option<(Thing, bool)>) {
    gap(ui, space::STEP);
    let asked = cx.held.ledger.client.wish(thing) == Some(Wanting::Destroy);
    second(ui, if asked { labels::DESTROY_ASKED } else { labels::DESTROY_SAYS });
    gap(ui, space::STEP);
    if asked {
        ui.horizontal_wrapped(|ui| {
            ui.spacing_mut().item_spacing.x = 5.0 * space::STEP;
            let yes = labels::destroyed_yes(thing);
            let said = [labels::DESTROYED, labels::DESTROYED_ASK, &yes, labels::DESTROYED_NO];
            if sure_ui(ui, sure, (thing, true), said) {
                cx.fact(HomeFact::LeftOut { thing, why: LeftOut::DestroyedOnRequest });
            }
            if link(ui, labels::DESTROY_NOT).clicked() {
                cx.fact(ClientFact::Instructed { thing, wish: Wanting::Return });
            }
        });
    } else if sure_ui(ui, sure, (thing, false), labels::ASK_DESTROY_SURE) {
        cx.fact(ClientFact::Instructed { thing, wish: Wanting::Destroy });
    }
}

/// "Not yet: …", where something is waited for.
fn waits_ui(ui: &mut Ui, waits: Option<&str>) {
    if let Some(waits) = waits {
        gap(ui, space::STEP);
        second(ui, not_yet(waits));
    }
}

fn nothing_ui(ui: &mut Ui, cx: &mut Cx<'_>) {
    heading(ui, labels::NOTHING);
    second(ui, labels::NOTHING_SECOND);
    gap(ui, 4.0 * space::STEP);
    if main_button(ui, labels::TO_ARRIVAL).clicked() {
        cx.go(Page::Arrival);
    }
    gap(ui, space::BLOCK);
    common::words_ui(ui, cx, Page::Pack);
}

/// Before the box is closed: its list has to say what is in it.
fn list_ui(ui: &mut Ui, cx: &mut Cx<'_>) {
    let kind = PaperKind::Packing;
    let job = Job::IssuePaper { tag: cx.tag, kind };
    let why = match out_of_date(cx.held, kind) {
        _ if cx.view.is_under_way(&job) => return,
        Some(why) => labels::old_list(&why),
        None if is_issued(cx.held, kind) => return,
        None => labels::WITHOUT_LIST.to_owned(),
    };
    say(ui, Face::Body, Tokens::of(ui).care, why);
    if link(ui, labels::LIST_FIRST).clicked() {
        cx.wish(Wish::Paper(kind));
    }
    gap(ui, 2.0 * space::STEP);
}

/// Where the care card was never written, or says what is no longer so: the box may be closed all the same, but not by
/// oversight.
fn without_care_ui(ui: &mut Ui, cx: &mut Cx<'_>) {
    let job = Job::IssuePaper { tag: cx.tag, kind: PaperKind::Care };
    let old = out_of_date(cx.held, PaperKind::Care);
    if (old.is_none() && !lacks_care_card(cx.held)) || cx.view.is_under_way(&job) {
        return;
    }
    let said = old.map_or_else(|| labels::WITHOUT_CARE.to_owned(), |why| labels::old_card(&why));
    say(ui, Face::Body, Tokens::of(ui).ink_2, said);
    if link(ui, labels::CARE_FIRST).clicked() {
        cx.wish(Wish::Paper(PaperKind::Care));
    }
    gap(ui, 2.0 * space::STEP);
}

/// Photos of the order that nobody said anything about, the newest two.
fn loose_photos<'a>(cx: &Cx<'a>) -> Vec<&'a Photo> {
    let seen = &cx.held.ledger.home.box_photos;
    let loose = cx.held.order.sheet.photos.iter().rev();
    loose.filter(|photo| photo.of.is_none() && !seen.contains(&photo.original)).take(2).collect()
}

/// What is to be done before anything is packed, with the way there.
fn before_ui(ui: &mut Ui, cx: &mut Cx<'_>) {
    let today = cx.view.now.day();
    let next = cx.held.next(today, cx.view.studio.policies().nudge_days);
    let page = board::page_of(next);
    if page >= Page::Pack || next.turn() != Turn::Hands {
        return;
    }
    let action = board::next_words(cx.view.studio, cx.held, next, today);
    ui.horizontal_wrapped(|ui| {
        say(ui, Face::Body, Tokens::of(ui).care, labels::first(&action));
        if link(ui, &way_to(page)).clicked() {
            cx.go(page);
        }
    });
}
