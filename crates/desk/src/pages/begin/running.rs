//! Running orders: one form, one row at a time, by the keyboard alone.

use chrono::NaiveDate;
use craft::fact::Material;
use craft::shelf::What;
use craft::stage::Stage;
use craft::tag::Tag;
use egui::{Key, Modifiers, Ui};
use workbench::action::{Action, Nav};
use workbench::present::board::page_of;
use workbench::present::labels::begin as labels;
use workbench::present::words;
use workbench::quick::{Field as Of, KeptBack, Row, Wrong, check, edits};
use workbench::view::View;

use super::new_order::opened;
use super::{Alike, Suggested, just_opened, kept_ui};
use crate::cx::Wish;
use crate::look::{Face, Tokens, space};
use crate::widgets::{
    Drafts, Field, cells, choice, entered, focus_pick, fold, form_line, gap, heading, link, main_button,
    note, offer_place, pick, rule, say, second, wrong,
};

/// The form's own state: what is not typed of a row, and what was entered.
#[derive(Debug)]
pub(super) struct Running {
    seen: u64,
    /// What is typed was typed before the form was closed.
    kept: bool,
    today: NaiveDate,
    row: Row,
    suggested: Suggested,
    alike: Alike,
    more: bool,
    /// It was tried to record the row as it is, so that empty fields say what is wanted too.
    tried: bool,
    checked: Option<(Row, Wrong)>,
    /// The row that was handed in, until it is known whether it was taken.
    handed: Option<(Tag, Row)>,
    entered: Vec<Tag>,
    walk: Walk,
}

/// How Enter goes from field to field.
#[derive(Debug, Default)]
struct Walk {
    /// The field that gets the keyboard when it is shown.
    to: Option<Of>,
    /// The frame in which the form was opened.
    since: u64,
    /// Enter has been answered in this frame.
    moved: bool,
    /// Enter was pressed in the last field.
    end: bool,
}

impl Default for Running {
    fn default() -> Self {
        Self {
            seen: 0,
            kept: false,
            today: NaiveDate::MIN,
            row: fresh_row(),
            suggested: Suggested::default(),
            alike: Alike::default(),
            more: false,
            tried: false,
            checked: None,
            handed: None,
            entered: Vec::new(),
            walk: Walk::default(),
        }
    }
}

fn fresh_row() -> Row {
    Row { stage: labels::FIRST_STAGE, ..Row::default() }
}

/// How the keys of the form begin.
const UNDER: &str = "begin/row/";

/// The fields that only a hand fills in: the others are carried over from the row before.
const TYPED: [Of; 7] = [Of::Client, Of::Name, Of::Due, Of::KeepBack, Of::Tag, Of::Stones, Of::Chosen];

fn key(of: Of) -> String {
    format!("{UNDER}{of:?}")
}

impl Running {
    /// Shows the form; true once it is to be closed.
    pub(super) fn ui(
        &mut self,
        ui: &mut Ui,
        view: &View<'_>,
        drafts: &mut Drafts,
        wishes: &mut Vec<Wish>,
    ) -> bool {
        self.today = view.now.day();
        self.walk.moved = false;
        self.walk.end = false;
        self.taken(view, drafts);
        if just_opened(ui, &mut self.seen) {
            self.walk.to = Some(Of::Client);
            self.walk.since = self.seen;
            self.kept = TYPED.iter().any(|of| !drafts.text(&key(*of)).trim().is_empty());
        }
        heading(ui, labels::RUNNING);
        second(ui, labels::RUNNING_HINT);
        if self.kept && kept_ui(ui) {
            drafts.clear_under(UNDER);
            let entered = std::mem::take(&mut self.entered);
            *self = Self { seen: self.seen, today: self.today, entered, ..Self::default() };
            self.walk.to = Some(Of::Client);
        }
        gap(ui, 3.0 * space::STEP);
        self.written_ui(ui, view);
        self.fields_ui(ui, view, drafts, wishes);
        gap(ui, 4.0 * space::STEP);
        let mut close = false;
        ui.horizontal(|ui| {
            ui.spacing_mut().item_spacing.x = 5.0 * space::STEP;
            let can = view.read_only.is_none();
            let button = ui.add_enabled_ui(can, |ui| main_button(ui, labels::RECORD)).inner;
            let keys = ui.input_mut(|input| input.consume_key(Modifiers::COMMAND, Key::Enter));
            if can && (button.clicked() || self.walk.end || keys) {
                self.record(ui, view, drafts, wishes);
            }
            close = link(ui, labels::CLOSE).clicked();
        });
        if let Some(why) = view.read_only {
            wrong(ui, why);
        }
        close | self.entered_ui(ui, view, wishes)
    }

    /// The tag of the newest one, large: it is what the maker writes down.
    fn written_ui(&self, ui: &mut Ui, view: &View<'_>) {
        let newest = self.entered.last().and_then(|tag| view.studio.orders().get(tag));
        let Some(held) = newest else { return };
        let tokens = Tokens::of(ui);
        note(ui, |ui| {
            ui.spacing_mut().item_spacing.x = 4.0 * space::STEP;
            say(ui, Face::Name, tokens.ink, held.order.tag.to_string());
            say(ui, Face::Body, tokens.ink_2, labels::write(&words::remembered(held)));
        });
        gap(ui, 3.0 * space::STEP);
    }

    /// The fields of the row as it stands, in the order Enter goes through them.
    fn walked(&self) -> Vec<Of> {
        let stage = self.row.stage;
        let mut all = vec![Of::Client, Of::Name, Of::Material, Of::Stage, Of::Due];
        if stage >= Stage::Here {
            all.extend([Of::KeepBack, Of::Place]);
        }
        if stage >= Stage::Made {
            all.push(Of::Stones);
        }
        if stage >= Stage::Chosen {
            all.push(Of::Chosen);
        }
        if self.more {
            all.extend([Of::Since, Of::Tag]);
            if stage >= Stage::Made {
                all.push(Of::InEach);
            }
        }
        all
    }

    fn fields_ui(&mut self, ui: &mut Ui, view: &View<'_>, drafts: &mut Drafts, wishes: &mut Vec<Wish>) {
        self.check(view, drafts);
        let stage = self.row.stage;
        cells(ui, &[240.0, 0.0], |ui, place| {
            if place == 0 {
                self.client_ui(ui, view, drafts);
            } else {
                self.field_ui(ui, drafts, Of::Name);
            }
        });
        self.alike.ui(ui, view, [drafts.text(&key(Of::Name)), drafts.text(&key(Of::Client))]);
        gap(ui, 2.0 * space::STEP);
        self.material_ui(ui);
        gap(ui, 2.0 * space::STEP);
        self.stage_ui(ui);
        gap(ui, 2.0 * space::STEP);
        let here = if stage >= Stage::Here { &[170.0, 170.0, 0.0][..] } else { &[170.0][..] };
        cells(ui, here, |ui, place| {
            let of = [Of::Due, Of::KeepBack, Of::Place].get(place).copied().unwrap_or(Of::Due);
            if of == Of::Place {
                self.place_ui(ui, view, drafts, wishes);
            } else {
                self.field_ui(ui, drafts, of);
            }
        });
        if stage >= Stage::Made {
            let made = if stage >= Stage::Chosen { &[170.0, 170.0][..] } else { &[170.0][..] };
            cells(ui, made, |ui, place| {
                self.field_ui(ui, drafts, if place == 0 { Of::Stones } else { Of::Chosen });
            });
        }
        gap(ui, 2.0 * space::STEP);
        if fold(ui, labels::MORE, &mut self.more) {
            self.more_ui(ui, view, drafts);
        }
    }

    fn client_ui(&mut self, ui: &mut Ui, view: &View<'_>, drafts: &mut Drafts) {
        self.field_ui(ui, drafts, Of::Client);
        let key = key(Of::Client);
        if let Some(name) = self.suggested.ui(ui, view, drafts.text(&key)) {
            drafts.put(&key, name);
            self.walk.to = Some(Of::Name);
        }
    }

    fn material_ui(&mut self, ui: &mut Ui) {
        let now = Material::ALL.iter().position(|material| Some(*material) == self.row.material);
        let names = Material::ALL.map(words::material);
        let taken = self.pick_ui(ui, Of::Material, now, &names);
        if let Some(material) = taken.and_then(|place| Material::ALL.get(place)) {
            self.row.material = Some(*material);
        }
    }

    fn stage_ui(&mut self, ui: &mut Ui) {
        let now = Stage::ALL.iter().position(|stage| *stage == self.row.stage);
        let names = Stage::ALL.map(words::stage);
        let taken = self.pick_ui(ui, Of::Stage, now, &names);
        if let Some(stage) = taken.and_then(|place| Stage::ALL.get(place)) {
            self.row.stage = *stage;
        }
    }

    fn pick_ui(&mut self, ui: &mut Ui, of: Of, now: Option<usize>, names: &[&str]) -> Option<usize> {
        let key = key(of);
        if self.walk.to == Some(of) {
            focus_pick(ui, &key);
            self.walk.to = None;
        }
        let (taken, focused) = pick(ui, &key, labels::field(of), now, names);
        if focused && ui.input(|input| input.key_pressed(Key::Enter)) {
            self.on(of);
        }
        self.wrong_ui(ui, of, false);
        taken
    }

    fn field_ui(&mut self, ui: &mut Ui, drafts: &mut Drafts, of: Of) {
        let key = key(of);
        let field = Field::new(&key, labels::field(of)).wide(0.0).hint(labels::hint(of));
        let response = form_line(ui, drafts, field);
        if self.walk.to == Some(of) {
            response.request_focus();
            response.scroll_to_me(None);
            // The form is not shown yet in the frame in which it is opened, and the link that was pressed takes the
            // keyboard in the same one.
            if self.seen > self.walk.since + 1 {
                self.walk.to = None;
            } else {
                ui.ctx().request_repaint();
            }
        }
        if entered(ui, &response) {
            self.on(of);
        }
        // What is half typed is not yet wrong.
        let typed = !drafts.text(&key).trim().is_empty() && !response.has_focus();
        self.wrong_ui(ui, of, typed);
        if let Some(echo) = labels::echo(of, drafts.text(&key), self.today) {
            second(ui, echo);
        }
    }

    /// The place, and those of the studio's list that may be meant.
    fn place_ui(&mut self, ui: &mut Ui, view: &View<'_>, drafts: &mut Drafts, wishes: &mut Vec<Wish>) {
        self.field_ui(ui, drafts, Of::Place);
        let key = key(Of::Place);
        for name in labels::places(view.studio, drafts.text(&key)) {
            if link(ui, name).clicked() {
                drafts.put(&key, name);
                self.walk.to = Some(Of::Place);
            }
        }
        let text = drafts.text(&key);
        let unknown = self.checked.iter().flat_map(|(_, wrong)| wrong).any(|(of, _)| *of == Of::Place);
        if !unknown || view.read_only.is_some() || !labels::places(view.studio, text).is_empty() {
            return;
        }
        if let Some(edit) = offer_place(ui, view.studio, text) {
            wishes.push(Wish::HandIn { edits: vec![edit], clear: Vec::new() });
            self.checked = None;
            self.walk.to = Some(Of::Place);
        }
    }

    /// Enter was pressed in a field: on to the next one, or the row is to be recorded.
    fn on(&mut self, of: Of) {
        if self.walk.moved {
            return;
        }
        self.walk.moved = true;
        let all = self.walked();
        let next = all.iter().position(|field| *field == of).and_then(|place| all.get(place + 1)).copied();
        match next {
            Some(next) => self.walk.to = Some(next),
            None => self.walk.end = true,
        }
    }

    fn wrong_ui(&self, ui: &mut Ui, of: Of, typed: bool) {
        if !(self.tried || typed) {
            return;
        }
        let all = self.checked.iter().flat_map(|(_, wrong)| wrong);
        for (_, why) in all.filter(|(field, _)| *field == of) {
            wrong(ui, why);
        }
    }

    fn more_ui(&mut self, ui: &mut Ui, view: &View<'_>, drafts: &mut Drafts) {
        let made = self.row.stage >= Stage::Made;
        let fields = if made { &[Of::Since, Of::Tag, Of::InEach][..] } else { &[Of::Since, Of::Tag][..] };
        let widths = vec![170.0; fields.len()];
        cells(ui, &widths, |ui, place| {
            if let Some(of) = fields.get(place) {
                self.field_ui(ui, drafts, *of);
            }
        });
        if self.row.stage >= Stage::Here {
            let both = [KeptBack::PutAway, KeptBack::NotYet];
            let now = both.iter().position(|kept| *kept == self.row.kept_back);
            let names = both.map(labels::kept_back);
            if let (Some(place), _) = pick(ui, "begin/row/kept", labels::KEPT_BACK, now, &names) {
                self.row.kept_back = both.get(place).copied().unwrap_or_default();
            }
        }
        if made {
            cells(ui, &[240.0, 240.0], |ui, place| self.shelf_ui(ui, view, place == 0));
        }
    }

    fn shelf_ui(&mut self, ui: &mut Ui, view: &View<'_>, mould: bool) {
        let is = |what: &What| match what {
            What::Mould(_) => mould,
            What::Pigment(_) => !mould,
            _ => false,
        };
        let items = view.studio.shelf().iter().filter(|(_, item)| !item.retired && is(&item.what));
        let items: Vec<_> = items.map(|(id, item)| (id.clone(), item.name.to_string())).collect();
        let of = if mould { Of::Mould } else { Of::Pigment };
        let now = if mould { &mut self.row.mould } else { &mut self.row.pigment };
        let key = key(of);
        let field = Field::new(&key, labels::field(of)).wide(0.0).hint(labels::hint(of));
        if let Some(id) = choice(ui, field, now.as_ref(), &items) {
            *now = Some(id);
        }
        self.wrong_ui(ui, of, true);
    }

    /// The row as it is typed.
    fn typed(&self, drafts: &Drafts) -> Row {
        let text = |of| drafts.text(&key(of)).to_owned();
        let client = text(Of::Client);
        let known = self.suggested.picked(&client).map(|known| known.id.clone());
        Row {
            known,
            client,
            name: text(Of::Name),
            due: text(Of::Due),
            since: text(Of::Since),
            tag: text(Of::Tag),
            keep_back: text(Of::KeepBack),
            place: text(Of::Place),
            stones: text(Of::Stones),
            chosen: text(Of::Chosen),
            in_each: text(Of::InEach),
            ..self.row.clone()
        }
    }

    fn check(&mut self, view: &View<'_>, drafts: &Drafts) {
        let row = self.typed(drafts);
        if self.checked.as_ref().is_none_or(|(checked, _)| *checked != row) {
            let wrong = check(view.studio, &row, view.now);
            self.checked = Some((row, wrong));
        }
    }

    /// The row that was handed in is there: the next one begins with what the next packet is likely to share.
    fn taken(&mut self, view: &View<'_>, drafts: &mut Drafts) {
        let handed = self.handed.take();
        let Some((tag, row)) = handed.filter(|(tag, _)| view.studio.orders().contains_key(tag)) else {
            return;
        };
        self.entered.push(tag);
        // What stood here from before went in with it.
        self.kept = false;
        // It is there though something of it may have been refused: typed once more, it would be there twice.
        drafts.clear_under(UNDER);
        for (of, text) in [(Of::Place, row.place), (Of::Since, row.since)] {
            drafts.put(&key(of), text);
        }
        self.row = Row { material: row.material, stage: row.stage, ..fresh_row() };
        (self.tried, self.checked, self.suggested) = (false, None, Suggested::default());
        self.walk.to = Some(Of::Client);
    }

    /// Hands the row in; what is typed stays until it is taken.
    fn record(&mut self, ui: &Ui, view: &View<'_>, drafts: &Drafts, wishes: &mut Vec<Wish>) {
        self.tried = true;
        let row = self.typed(drafts);
        match edits(view.studio, &row, view.now) {
            Ok(edits) => {
                self.handed = opened(&edits).map(|tag| (tag, row));
                wishes.push(Wish::HandIn { edits, clear: vec![UNDER.to_owned()] });
                ui.ctx().request_repaint();
            }
            Err(wrong) => {
                self.walk.to = wrong.iter().map(|(of, _)| *of).min();
                self.checked = Some((row, wrong));
            }
        }
    }

    /// What was entered, the newest first; true where one of them is opened.
    fn entered_ui(&self, ui: &mut Ui, view: &View<'_>, wishes: &mut Vec<Wish>) -> bool {
        let orders = view.studio.orders();
        let taken: Vec<_> = self.entered.iter().rev().filter_map(|tag| orders.get(tag)).collect();
        if taken.is_empty() {
            return false;
        }
        let tokens = Tokens::of(ui);
        let mut opened = false;
        gap(ui, space::BLOCK);
        heading(ui, labels::ENTERED);
        second(ui, labels::count(taken.len()));
        for held in taken {
            gap(ui, space::STEP);
            rule(ui);
            let tag = held.order.tag;
            cells(ui, &[110.0, 200.0, 0.0], |ui, place| match place {
                0 => {
                    gap(ui, 2.0);
                    say(ui, Face::Heading, tokens.ink, tag.to_string());
                }
                1 => {
                    let name = words::remembered(held);
                    let response = link(ui, &name).accessible_name(labels::open_one(&name));
                    if response.clicked() {
                        opened = true;
                        let page = page_of(held.next(self.today, view.studio.policies().nudge_days));
                        wishes.push(Wish::Act(Action::Go(Nav::Bench(tag, page))));
                    }
                }
                _ => {
                    let client = view.studio.clients().get(&held.order.client);
                    let client = client.map(|client| client.name.to_string()).unwrap_or_default();
                    let stage = words::stage(held.stage());
                    gap(ui, 3.0);
                    say(ui, Face::Body, tokens.ink_2, format!("{client}  ·  {stage}"));
                }
            });
        }
        opened
    }
}
