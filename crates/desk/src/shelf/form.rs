//! What every form of the shelf is made of: fields in columns that commit one by one, and words beside what is wrong.

use craft::id::ShelfId;
use craft::shelf::{Item, Mould};
use craft::studio::{Edit, ShelfEdit};
use egui::{Align, Key, Layout, Margin, RichText, TextEdit, Ui, vec2};
use workbench::action::Action;
use workbench::present::labels::shelf as labels;
use workbench::present::shelf_words::{self, TrayLine};
use workbench::present::words::sentence_start;
use workbench::shelving::{self, Backing, Field as Of, Value};
use workbench::typed::Typed;
use workbench::view::View;

use crate::cx::Wish;
use crate::look::{Face, Tokens, space};
use crate::widgets::{Drafts, Field, care, labelled, one_of, read, say, second};

/// The width of a field in a column.
pub(super) const CELL: f32 = 200.0;

/// What the forms remember.
#[derive(Debug, Default)]
pub(super) struct Memory {
    /// The lamp button whose seconds are being changed.
    pub(super) button: Option<(ShelfId, u8)>,
    /// Why the last thing that was chosen cannot be.
    pub(super) trouble: Option<String>,
    /// What lies in the open mould, and what it was worked out for.
    pub(super) tray: Option<(ShelfId, Mould, i64, Vec<TrayLine>)>,
}

/// The form of one item.
pub(super) struct Form<'a> {
    pub(super) view: &'a View<'a>,
    pub(super) id: &'a ShelfId,
    pub(super) item: &'a Item,
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

/// Several lines that are read when they are left; what cannot be kept stays, with what would be right.
pub(super) fn long<T>(
    ui: &mut Ui,
    drafts: &mut Drafts,
    field: Field<'_>,
    shown: &str,
    reader: impl Fn(&str) -> Result<Typed<T>, String>,
) -> Option<T> {
    let tokens = Tokens::of(ui);
    let mut text = drafts.take(field.key).unwrap_or_else(|| shown.to_owned());
    let response = labelled(ui, field.label, |ui| {
        let hint = RichText::new(field.hint.to_owned()).font(Face::Body.font()).color(tokens.ink_3);
        let edit = TextEdit::multiline(&mut text).desired_rows(2).hint_text(hint).id_salt(field.key);
        let width =
            if field.width > 0.0 { field.width.min(ui.available_width()) } else { ui.available_width() };
        let edit = edit.font(Face::Body.font()).text_color(tokens.ink).margin(Margin::symmetric(10, 6));
        ui.add(edit.desired_width(width - 20.0))
    });
    let dropped = response.lost_focus() && ui.input(|input| input.key_pressed(Key::Escape));
    if dropped {
        return None;
    }
    if text == shown {
        if response.has_focus() {
            drafts.put(field.key, text);
        }
        return None;
    }
    match reader(&text) {
        Ok(typed) if !response.has_focus() => return Some(typed.value),
        Ok(_) => {}
        Err(why) => {
            say(ui, Face::Second, tokens.care, format!("{}.", sentence_start(&why)));
        }
    }
    drafts.put(field.key, text);
    None
}

impl Form<'_> {
    /// Puts the item onto the shelf as it shall be.
    pub(super) fn put(&mut self, item: Item) {
        let edit = Edit::Shelf(self.id.clone(), ShelfEdit::Put(Box::new(item)));
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
            care(ui, format!("Not yet: {why}."));
        }
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
            let shown = shelving::said(self.item, of);
            let today = self.view.now.day();
            let item = self.item;
            let field = Field::new(&key, label).wide(width).hint(hint);
            if let Some(item) =
                read(ui, self.drafts, field, &shown, |text| shelving::put(item, of, text, today))
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
        let (studio, id, item) = (self.view.studio, self.id, self.item);
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
        let today = self.view.now.day();
        let item = self.item;
        let field = Field::new(&key, labels::NOTE).wide(560.0);
        let put = |text: &str| shelving::put(item, &Of::Note, text, today);
        if let Some(item) = long(ui, self.drafts, field, self.item.note.as_str(), put) {
            self.put(item);
        }
    }

    /// Where a value comes from, and the day of the test where it is one.
    pub(super) fn backing_ui(&mut self, ui: &mut Ui, value: &Value, label: &str) {
        let Some((now, _)) = shelving::backing(self.item, value) else { return };
        let options = Backing::ALL.map(|backing| (backing, shelf_words::backing(backing)));
        if let Some(backing) = one_of(ui, label, Some(&now), &options) {
            let today = self.view.now.day();
            self.put(shelving::with_backing(self.item, value, backing, today));
        }
        if now == Backing::Test {
            crate::widgets::gap(ui, 2.0 * space::STEP);
            self.field(ui, &Of::TestedOn(value.clone()), (labels::TESTED_ON, ""), labels::DAY_HINT);
        }
    }
}
