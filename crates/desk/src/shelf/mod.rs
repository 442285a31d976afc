//! The shelf: resins, pigments, lamps, moulds, settings, scales, and what the studio itself goes by.

mod card;
mod form;
mod house;
mod lamp;
mod learn;
mod list;
mod mould;
mod outline;
mod pigment;
mod resin;
mod scale;
mod setting;

use std::borrow::Cow;

use craft::id::{DocId, ShelfId};
use craft::shelf::{Item, What};
use craft::studio::{Edit, ShelfEdit};
use egui::{Align, Key, Layout, ScrollArea, Ui, vec2};
use workbench::action::Action;
use workbench::present::labels::keeping::EARLIER_WAY;
use workbench::present::labels::shelf as labels;
use workbench::present::shelf_words;
use workbench::shelving::{self, Kind};
use workbench::view::View;

use self::form::{Form, Memory};
use crate::cx::Wish;
use crate::look::{Tokens, space};
use crate::shell::undo::undo_ui;
use crate::widgets::{
    Drafts, Field, care, form_line, gap, heading, link, main_button, rule, scrolled, second, tab,
};

/// A page of the shelf.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Leaf {
    Items(Kind),
    Studio,
}

/// An item that is being added.
#[derive(Debug)]
struct Adding {
    /// The item it shall be like.
    like: Option<ShelfId>,
    /// It has only just been asked for, and its name takes the keyboard.
    begun: bool,
    /// Why it cannot be added under that name.
    trouble: Option<String>,
}

/// What the shelf remembers while it is open.
#[derive(Debug)]
pub(crate) struct ShelfPages {
    leaf: Leaf,
    open: [Option<ShelfId>; Kind::ALL.len()],
    adding: Option<Adding>,
    retired: bool,
    memory: Memory,
}

impl Default for ShelfPages {
    fn default() -> Self {
        Self {
            leaf: Leaf::Items(Kind::Resin),
            open: Default::default(),
            adding: None,
            retired: false,
            memory: Memory::default(),
        }
    }
}

/// How wide the list beside the form is: a quarter of the page within these.
const LIST: std::ops::RangeInclusive<f32> = 244.0..=340.0;
/// Below this width the list is a choice over the form.
const NARROW: f32 = 640.0;
/// The draft of a new item's name.
const NEW: &str = "shelf/new/name";

impl ShelfPages {
    /// Opens what the studio itself goes by.
    pub(crate) fn open_settings(&mut self) {
        self.turn(Leaf::Studio);
    }

    /// Opens the ten-minute test of a bottle.
    pub(crate) fn open_test(&mut self, bottle: ShelfId) {
        self.turn(Leaf::Items(Kind::Resin));
        self.open_item(Kind::Resin, bottle);
        self.memory.learn.open_test();
    }

    fn turn(&mut self, leaf: Leaf) {
        if self.leaf != leaf {
            self.leaf = leaf;
            self.adding = None;
            self.retired = false;
            self.memory.trouble = None;
            self.memory.learn = learn::Learn::default();
        }
    }

    /// Shows the shelf.
    pub(crate) fn ui(&mut self, ui: &mut Ui, view: &View<'_>, drafts: &mut Drafts, wishes: &mut Vec<Wish>) {
        ui.horizontal(|ui| {
            heading(ui, labels::SHELF);
            ui.with_layout(Layout::right_to_left(Align::Center), |ui| undo_ui(ui, view, wishes));
        });
        gap(ui, 2.0 * space::STEP);
        self.tabs_ui(ui);
        match self.leaf {
            Leaf::Studio => {
                scrolled(ui, "shelf/studio", |ui| {
                    gap(ui, 5.0 * space::STEP);
                    house::ui(ui, view, drafts, wishes);
                    gap(ui, space::BLOCK);
                    if link(ui, EARLIER_WAY).clicked() {
                        wishes.push(Wish::Earlier(DocId::Policies));
                    }
                    gap(ui, space::BLOCK);
                });
            }
            Leaf::Items(kind) if ui.available_width() < NARROW => {
                scrolled(ui, ("shelf", labels::tab(kind)), |ui| {
                    gap(ui, 4.0 * space::STEP);
                    self.choice_ui(ui, view, kind);
                    gap(ui, 4.0 * space::STEP);
                    self.right_ui(ui, view, kind, drafts, wishes);
                });
            }
            Leaf::Items(kind) => self.columns_ui(ui, view, kind, drafts, wishes),
        }
    }

    fn tabs_ui(&mut self, ui: &mut Ui) {
        ui.scope(|ui| {
            ui.spacing_mut().item_spacing = vec2(26.0, space::TIGHT);
            ui.horizontal_wrapped(|ui| {
                let kinds = Kind::ALL.map(|kind| (Leaf::Items(kind), labels::tab(kind)));
                for (leaf, words) in kinds.into_iter().chain([(Leaf::Studio, labels::STUDIO)]) {
                    if tab(ui, words, self.leaf == leaf, true).clicked() {
                        self.turn(leaf);
                    }
                }
            });
            ui.spacing_mut().item_spacing.y = 0.0;
            ui.add_space(-space::TIGHT);
            rule(ui);
        });
    }

    fn columns_ui(
        &mut self,
        ui: &mut Ui,
        view: &View<'_>,
        kind: Kind,
        drafts: &mut Drafts,
        wishes: &mut Vec<Wish>,
    ) {
        let height = ui.available_height();
        let list = (0.25 * ui.available_width()).clamp(*LIST.start(), *LIST.end());
        let between = ui.spacing().item_spacing.x;
        ui.horizontal_top(|ui| {
            ui.spacing_mut().item_spacing.x = 0.0;
            ui.allocate_ui_with_layout(vec2(list, height), Layout::top_down(Align::LEFT), |ui| {
                ui.set_width(list);
                ScrollArea::vertical().id_salt(("shelf/list", labels::tab(kind))).auto_shrink(false).show(
                    ui,
                    |ui| {
                        gap(ui, 4.0 * space::STEP);
                        self.list_ui(ui, view, kind);
                        gap(ui, space::BLOCK);
                    },
                );
            });
            let x = ui.cursor().left() + 2.0 * space::STEP;
            let y = ui.max_rect().y_range();
            ui.painter().vline(x, y, Tokens::of(ui).hairline());
            ui.add_space(space::BLOCK);
            let room = ui.available_width();
            ui.allocate_ui_with_layout(vec2(room, height), Layout::top_down(Align::LEFT), |ui| {
                ui.set_width(room);
                ui.spacing_mut().item_spacing.x = between;
                let open = self.open_of(view, kind).map(ShelfId::as_str).unwrap_or_default().to_owned();
                scrolled(ui, ("shelf/form", open), |ui| {
                    gap(ui, 4.0 * space::STEP);
                    self.right_ui(ui, view, kind, drafts, wishes);
                });
            });
        });
    }

    fn slot(kind: Kind) -> usize {
        Kind::ALL.iter().position(|of| *of == kind).unwrap_or_default()
    }

    /// The open item of a kind, or the first of them.
    fn open_of<'a>(&self, view: &View<'a>, kind: Kind) -> Option<&'a ShelfId> {
        let of_kind = |item: &Item| Kind::of(&item.what) == kind;
        let shelf = view.studio.shelf();
        let open = self.open.get(Self::slot(kind)).and_then(Option::as_ref);
        let open = open.and_then(|id| shelf.get_key_value(id)).filter(|(_, item)| of_kind(item));
        open.or_else(|| shelf.iter().find(|(_, item)| of_kind(item) && !item.retired)).map(|(id, _)| id)
    }

    fn open_item(&mut self, kind: Kind, id: ShelfId) {
        if let Some(open) = self.open.get_mut(Self::slot(kind)) {
            *open = Some(id);
        }
        self.adding = None;
        self.memory.trouble = None;
        self.memory.button = None;
        self.memory.learn = learn::Learn::default();
    }

    fn list_ui(&mut self, ui: &mut Ui, view: &View<'_>, kind: Kind) {
        let open = self.open_of(view, kind).filter(|_| self.adding.is_none());
        let mut taken = None;
        let rows = shelf_words::rows(view.studio, kind, false);
        let retired = shelf_words::rows(view.studio, kind, true);
        let per_mm = list::scale(rows.iter().chain(&retired));
        for row in &rows {
            if list::row(ui, row, per_mm, open == Some(row.id)).clicked() {
                taken = Some(row.id.clone());
            }
        }
        gap(ui, 2.0 * space::STEP);
        self.add_ui(ui, kind);
        if !retired.is_empty() {
            gap(ui, 2.0 * space::STEP);
            if crate::widgets::fold(ui, &labels::out_of_use(retired.len()), &mut self.retired) {
                for row in &retired {
                    if list::row(ui, row, per_mm, open == Some(row.id)).clicked() {
                        taken = Some(row.id.clone());
                    }
                }
            }
        }
        if let Some(id) = taken {
            self.open_item(kind, id);
        }
    }

    fn add_ui(&mut self, ui: &mut Ui, kind: Kind) {
        if link(ui, &labels::add(kind)).clicked() {
            self.adding = Some(Adding { like: None, begun: true, trouble: None });
        }
    }

    /// The same list where there is no room beside the form.
    fn choice_ui(&mut self, ui: &mut Ui, view: &View<'_>, kind: Kind) {
        let open = self.open_of(view, kind).cloned();
        let all: Vec<(ShelfId, String)> = [false, true]
            .into_iter()
            .flat_map(|retired| shelf_words::rows(view.studio, kind, retired))
            .map(|row| (row.id.clone(), labels::in_choice(row.item.name.as_str(), row.item.retired)))
            .collect();
        if !all.is_empty() {
            let label = labels::open(kind);
            let field = Field::new("shelf/open", &label).wide(320.0);
            if let Some(id) = crate::widgets::choice(ui, field, open.as_ref(), &all) {
                self.open_item(kind, id);
            }
        }
        self.add_ui(ui, kind);
    }

    fn right_ui(
        &mut self,
        ui: &mut Ui,
        view: &View<'_>,
        kind: Kind,
        drafts: &mut Drafts,
        wishes: &mut Vec<Wish>,
    ) {
        if self.adding.is_some() {
            self.adding_ui(ui, view, kind, drafts, wishes);
            return;
        }
        let guess = matches!(kind, Kind::Resin | Kind::Pigment) && self.any_guess(view, kind);
        if guess && !self.memory.learn.is_busy() {
            guesses_ui(ui);
        }
        let open = self.open_of(view, kind);
        let Some((id, item)) = open.and_then(|id| view.studio.shelf().get_key_value(id)) else {
            second(ui, labels::none(kind));
            return;
        };
        // It stays open when it is taken out of use, though the list then begins with another.
        if let Some(slot) = self.open.get_mut(Self::slot(kind)).filter(|open| open.as_ref() != Some(id)) {
            *slot = Some(id.clone());
        }
        let mut form = Form { view, id, item: Cow::Borrowed(item), drafts, wishes, memory: &mut self.memory };
        form.head_ui(ui);
        gap(ui, 4.0 * space::STEP);
        match &item.what {
            What::Resin(_) => resin::ui(ui, &mut form),
            What::Pigment(pigment) => pigment::ui(ui, &mut form, pigment),
            What::Lamp(lamp) => lamp::ui(ui, &mut form, lamp),
            What::Mould(mould) => mould::ui(ui, &mut form, mould),
            What::Setting(setting) => setting::ui(ui, &mut form, setting),
            What::Scale(scale) => scale::ui(ui, &mut form, scale),
        }
        gap(ui, 4.0 * space::STEP);
        form.note_ui(ui);
        gap(ui, 4.0 * space::STEP);
        if self.foot_ui(ui, id, item, wishes) {
            self.adding = Some(Adding { like: Some(id.clone()), begun: true, trouble: None });
        }
        gap(ui, space::BLOCK);
    }

    #[expect(clippy::unused_self, reason = "it reads as one of the shelf's parts")]
    fn any_guess(&self, view: &View<'_>, kind: Kind) -> bool {
        view.studio.shelf().values().any(|item| !item.retired && shelf_words::is_guess(item, kind))
    }

    /// Taking it out of use and bringing it back; true where one like it is wanted.
    #[expect(clippy::unused_self, reason = "it reads as one of the shelf's parts")]
    fn foot_ui(&self, ui: &mut Ui, id: &ShelfId, item: &Item, wishes: &mut Vec<Wish>) -> bool {
        rule(ui);
        gap(ui, 2.0 * space::STEP);
        form::flow(ui, |ui| {
            ui.spacing_mut().item_spacing.x = 5.0 * space::STEP;
            let like = link(ui, labels::LIKE).clicked();
            let words = if item.retired { labels::BRING_BACK } else { labels::RETIRE };
            if link(ui, words).clicked() {
                let edit = Edit::Shelf(id.clone(), ShelfEdit::Retire(!item.retired));
                wishes.push(Wish::Act(Action::Edit(edit)));
            }
            if link(ui, EARLIER_WAY).clicked() {
                wishes.push(Wish::Earlier(DocId::Shelf(id.clone())));
            }
            like
        })
    }

    fn adding_ui(
        &mut self,
        ui: &mut Ui,
        view: &View<'_>,
        kind: Kind,
        drafts: &mut Drafts,
        wishes: &mut Vec<Wish>,
    ) {
        let Some(adding) = &mut self.adding else { return };
        let like = adding.like.as_ref().and_then(|id| view.studio.shelf().get(id));
        heading(ui, labels::new_heading(kind, like.map(|item| item.name.as_str())));
        gap(ui, 2.0 * space::STEP);
        let response = form_line(ui, drafts, Field::new(NEW, &labels::new_name(kind)).wide(320.0));
        if std::mem::take(&mut adding.begun) {
            response.request_focus();
        }
        if response.changed() {
            adding.trouble = None;
        }
        if let Some(why) = &adding.trouble {
            care(ui, format!("{}.", workbench::present::words::sentence_start(why)));
        }
        gap(ui, 3.0 * space::STEP);
        let entered = response.lost_focus() && ui.input(|input| input.key_pressed(Key::Enter));
        let (mut add, mut leave) = (entered, false);
        ui.horizontal(|ui| {
            ui.spacing_mut().item_spacing.x = 5.0 * space::STEP;
            add |= main_button(ui, labels::ADD).clicked();
            leave = link(ui, labels::LEAVE).clicked();
        });
        if leave {
            self.adding = None;
            return;
        }
        if !add {
            return;
        }
        match made(view, kind, like, drafts.text(NEW)) {
            Ok((id, item)) => {
                drafts.clear(NEW);
                let edit = Edit::Shelf(id.clone(), ShelfEdit::Put(Box::new(item)));
                wishes.push(Wish::Act(Action::Edit(edit)));
                self.open_item(kind, id);
            }
            Err(why) => {
                adding.trouble = Some(why);
                // The keyboard goes back to the name.
                adding.begun = true;
            }
        }
    }
}

/// Says that what a new shelf comes with are guesses.
fn guesses_ui(ui: &mut Ui) {
    crate::widgets::note(ui, |ui| {
        ui.vertical(|ui| {
            second(ui, labels::GUESSES);
        })
    });
    gap(ui, 4.0 * space::STEP);
}

fn made(view: &View<'_>, kind: Kind, like: Option<&Item>, text: &str) -> Result<(ShelfId, Item), String> {
    let name = shelving::name(view.studio, kind, None, text)?.value;
    let id = shelving::new_id(view.studio, &name)?;
    let item = match like {
        Some(like) => shelving::like(like, name, view.now.day()),
        None => shelving::fresh(kind, name)?,
    };
    Ok((id, item))
}
