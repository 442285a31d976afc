//! What every form of the shelf is made of: fields in columns that commit one by one, and words beside what is wrong.

use std::borrow::Cow;
use std::rc::Rc;

use craft::id::ShelfId;
use craft::shelf::Item;
use craft::studio::{Edit, ShelfEdit};
use egui::{Align, Layout, Ui, vec2};
use workbench::action::Action;
use workbench::present::labels::shelf as labels;
use workbench::present::shelf_words::{self, TrayLine};
use workbench::shelving::{self, Backing, Field as Of, Value};
use workbench::typed::Typed;
use workbench::view::View;

use crate::cx::Wish;
use crate::look::{Face, Tokens, space};
use crate::widgets::{Drafts, Field, care, form_read, one_of, read, say, second, text};

/// The width of a field in a column.
pub(super) const CELL: f32 = 200.0;

/// What the forms remember.
#[derive(Debug, Default)]
pub(super) struct Memory {
    /// The lamp button whose seconds are being changed.
    pub(super) button: Option<(ShelfId, u8)>,
    /// Why the last thing that was chosen cannot be.
    pub(super) trouble: Option<String>,
    /// A bottle's tests.
    pub(super) learn: super::learn::Learn,
    /// A pigment's line tests.
    pub(super) cards: super::card::Cards,
    /// How the figures of an item are worked out is shown.
    pub(super) explained: bool,
    /// What a scale is tried with.
    pub(super) with: Option<super::scale::With>,
    /// What lies in the open mould, and at which revision of the studio it was looked through.
    pub(super) tray: Option<(ShelfId, u64, Rc<[TrayLine]>)>,
}

/// The form of one item.
pub(super) struct Form<'a> {
    pub(super) view: &'a View<'a>,
    pub(super) id: &'a ShelfId,
    /// As it stands after what was put in this frame: a field that is left by a click hands its words in in the frame
    /// of the click, so a second change goes on from the first.
    pub(super) item: Cow<'a, Item>,
    pub(super) drafts: &'a mut Drafts,
    pub(super) wishes: &'a mut Vec<Wish>,
    pub(super) memory: &'a mut Memory,
}

/// Columns that break into rows where the page ends, all beginning at the top.
pub(super) fn flow<R>(ui: &mut Ui, add: impl FnOnce(&mut Ui) -> R) -> R {
    let room = vec2(ui.available_width(), 0.0);
    let layout = Layout::left_to_right(Align::TOP).with_main_wrap(true);
    ui.allocate_ui_with_layout(room, layout, |ui| {
        ui.spacing_mut().item_spacing = vec2(4.0 * space::STEP, 3.0 * space::STEP);
        add(ui)
    })
    .inner
}

/// One column of a [`flow`].
pub(super) fn cell<R>(ui: &mut Ui, width: f32, add: impl FnOnce(&mut Ui) -> R) -> R {
    let width = width.min(ui.max_rect().width());
    ui.allocate_ui_with_layout(vec2(width, 56.0), Layout::top_down(Align::LEFT), |ui| {
        ui.set_width(width);
        ui.spacing_mut().item_spacing = vec2(2.0 * space::STEP, space::STEP);
        add(ui)
    })
    .inner
}

/// A column with a field that is read as it is typed and kept among the drafts.
pub(super) fn read_cell<T>(
    ui: &mut Ui,
    form: &mut Form<'_>,
    key: &str,
    (label, hint): (&str, &str),
    reader: impl Fn(&str) -> Result<Typed<T>, String>,
) {
    cell(ui, CELL, |ui| {
        form_read(ui, form.drafts, Field::new(key, label).wide(CELL).hint(hint), reader);
    });
}

impl Form<'_> {
    /// Puts the item onto the shelf as it shall be.
    pub(super) fn put(&mut self, item: Item) {
        let edit = Edit::Shelf(self.id.clone(), ShelfEdit::Put(Box::new(item.clone())));
        self.item = Cow::Owned(item);
        self.wishes.push(Wish::Act(Action::Edit(edit)));
        self.memory.trouble = None;
    }

    /// Puts what was chosen, or says why it cannot be.
    pub(super) fn choose(&mut self, made: Result<Item, String>) {
        match made {
            Ok(item) => self.put(item),
            Err(why) => self.memory.trouble = Some(why),
        }
    }

    /// Why the last choice cannot be.
    pub(super) fn trouble_ui(&self, ui: &mut Ui) {
        if let Some(why) = &self.memory.trouble {
            care(ui, workbench::present::labels::shell::not_yet(why));
        }
    }

    /// What lies in the tray of a mould; the orders are looked through again only after a change.
    pub(super) fn tray(&mut self) -> Rc<[TrayLine]> {
        let revision = self.view.revision;
        let known = self.memory.tray.as_ref().filter(|(id, at, _)| id == self.id && *at == revision);
        if let Some((.., lines)) = known {
            return Rc::clone(lines);
        }
        let lines: Rc<[TrayLine]> = shelf_words::tray(self.view.studio, self.id).into();
        self.memory.tray = Some((self.id.clone(), revision, Rc::clone(&lines)));
        lines
    }

    /// A field in a column of its own, with a line under it.
    pub(super) fn field(&mut self, ui: &mut Ui, of: &Of, (label, under): (&str, &str), hint: &str) {
        self.field_in(ui, of, (label, under), hint, CELL);
    }

    /// The same in another width.
    pub(super) fn field_in(
        &mut self,
        ui: &mut Ui,
        of: &Of,
        (label, under): (&str, &str),
        hint: &str,
        width: f32,
    ) {
        cell(ui, width, |ui| {
            let key = format!("shelf/{}/{of:?}", self.id);
            let shown = shelving::said(&self.item, of);
            let today = self.view.now.day();
            let tray = if *of == Of::Cavities { self.tray() } else { Rc::default() };
            let item = &*self.item;
            let field = Field::new(&key, label).wide(width).hint(hint);
            if let Some(item) =
                read(ui, self.drafts, field, &shown, |text| shelving::put_on(&tray, item, of, text, today))
            {
                self.put(item);
            }
            if !under.is_empty() {
                say(ui, Face::Second, Tokens::of(ui).ink_3, under);
            }
        });
    }

    /// The name, and whether it is out of use.
    pub(super) fn head_ui(&mut self, ui: &mut Ui) {
        let key = format!("shelf/{}/name", self.id);
        let (studio, id, item) = (self.view.studio, self.id, &*self.item);
        let field = Field::new(&key, labels::NAME).wide(360.0);
        let renamed = |text: &str| shelving::renamed(studio, id, item, text);
        if let Some(item) = read(ui, self.drafts, field, self.item.name.as_str(), renamed) {
            self.put(item);
        }
        if self.item.retired {
            second(ui, labels::RETIRED);
        }
    }

    /// Anything else about the item.
    pub(super) fn note_ui(&mut self, ui: &mut Ui) {
        let key = format!("shelf/{}/note", self.id);
        let field = Field::new(&key, labels::NOTE).wide(560.0);
        if let Some(note) = text(ui, self.drafts, field, &self.item.note) {
            self.put(Item { note, ..Item::clone(&self.item) });
        }
    }

    /// Where a value comes from, and the day of the test where it is one.
    pub(super) fn backing_ui(&mut self, ui: &mut Ui, value: &Value, label: &str) {
        let Some((now, _)) = shelving::backing(&self.item, value) else { return };
        let options = Backing::ALL.map(|backing| (backing, shelf_words::backing(backing)));
        if let Some(backing) = one_of(ui, label, Some(&now), &options) {
            let today = self.view.now.day();
            self.put(shelving::with_backing(&self.item, value, backing, today));
        }
        if now == Backing::Test {
            crate::widgets::gap(ui, 2.0 * space::STEP);
            self.field(ui, &Of::TestedOn(value.clone()), (labels::TESTED_ON, ""), labels::DAY_HINT);
        }
    }
}
