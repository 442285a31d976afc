//! Fields. One that shows a value hands it in on Enter and when it is left, one of free words also when the hand rests,
//! and Esc drops what was typed since; one that belongs to a form keeps its draft until the form is handed in.

use std::time::Duration;

use egui::{Button, ComboBox, Key, Margin, Response, RichText, TextEdit, Ui};
use workbench::typed::Typed;

use super::drafts::Drafts;
use super::parts::{labelled, say, wrong};
use super::press::tell_chosen;
use crate::look::{Face, Tokens, space};

/// A field: its key among the drafts, its label, how wide it is, and what stands in it while it is empty.
#[derive(Clone, Copy, Debug)]
pub struct Field<'a> {
    /// Its key, unlike any other on the page.
    pub key: &'a str,
    /// What stands over it.
    pub label: &'a str,
    /// Its width in points; 0 for all there is.
    pub width: f32,
    /// An example, shown while it is empty.
    pub hint: &'a str,
    /// How many lines it shows at least, where it holds several.
    pub rows: usize,
}

impl<'a> Field<'a> {
    /// A field of the usual width.
    pub const fn new(key: &'a str, label: &'a str) -> Self {
        Self { key, label, width: 240.0, hint: "", rows: 3 }
    }

    /// The same in another width.
    #[must_use]
    pub const fn wide(self, width: f32) -> Self {
        Self { width, ..self }
    }

    /// The same with an example.
    #[must_use]
    pub const fn hint(self, hint: &'a str) -> Self {
        Self { hint, ..self }
    }

    /// The same with so many lines at least, where it holds several.
    #[must_use]
    pub const fn rows(self, rows: usize) -> Self {
        Self { rows, ..self }
    }

    fn points(&self, ui: &Ui) -> f32 {
        let most = ui.available_width();
        if self.width > 0.0 { self.width.min(most) } else { most }
    }
}

/// Gives the keyboard to the field of a key.
pub fn focus(ui: &Ui, drafts: &Drafts, key: &str) {
    let id = drafts.id(key);
    ui.memory_mut(|memory| memory.request_focus(id));
}

fn dressed<'t>(ui: &Ui, text: &'t mut String, field: &Field<'_>, many: bool) -> TextEdit<'t> {
    let tokens = Tokens::of(ui);
    let edit =
        if many { TextEdit::multiline(text).desired_rows(field.rows) } else { TextEdit::singleline(text) };
    let hint = RichText::new(field.hint.to_owned()).font(Face::Body.font()).color(tokens.ink_3);
    edit.hint_text(hint)
        .font(Face::Body.font())
        .text_color(tokens.ink)
        .margin(Margin::symmetric(10, 6))
        .desired_width(field.points(ui))
}

/// True in the frame in which Enter was pressed in a field of one line.
pub fn entered(ui: &Ui, response: &Response) -> bool {
    response.lost_focus() && ui.input(|input| input.key_pressed(Key::Enter))
}

/// A line that shows `value`: gives what it shall be, once Enter is pressed, the field is left, or the hand rests.
pub fn line(ui: &mut Ui, drafts: &mut Drafts, field: Field<'_>, value: &str) -> Option<String> {
    bound(ui, drafts, field, value, false)
}

/// Several lines that show `value`; handed in when the field is left, or the hand rests.
pub fn area(ui: &mut Ui, drafts: &mut Drafts, field: Field<'_>, value: &str) -> Option<String> {
    bound(ui, drafts, field, value, true)
}

/// What a field says under itself keeps to the field's own width, so that nothing beside it moves.
fn under(ui: &mut Ui, width: f32, add: impl FnOnce(&mut Ui)) {
    ui.scope(|ui| {
        ui.set_max_width(width);
        add(ui);
    });
}

/// How what is typed is understood, under its field.
fn echo(ui: &mut Ui, width: f32, words: String) {
    under(ui, width, |ui| {
        say(ui, Face::Second, Tokens::of(ui).ink_2, words);
    });
}

/// Keeps the draft of a field that is being typed into; one that stands as it was is nobody's words yet.
fn keep(drafts: &mut Drafts, key: &str, text: String, value: &str) {
    if text == value {
        drafts.put(key, text);
    } else {
        drafts.keep(key, text);
    }
}

/// How long a hand rests, in seconds, until the words so far are handed in: they must not be lost with the power, and a
/// half sentence need not be a version of its own.
const RESTS: f64 = 3.0;

/// True once after the hand that types into a field has come to rest.
fn rests(ui: &Ui, drafts: &mut Drafts, key: &str, changed: bool) -> bool {
    let now = ui.input(|input| input.time);
    if changed {
        drafts.typed_at(key, now);
        ui.ctx().request_repaint_after(Duration::from_secs_f64(RESTS + 0.05));
        return false;
    }
    drafts.has_rested(key, now - RESTS)
}

fn bound(ui: &mut Ui, drafts: &mut Drafts, field: Field<'_>, value: &str, many: bool) -> Option<String> {
    let id = drafts.id(field.key);
    let mut text = drafts.take(field.key).unwrap_or_else(|| value.to_owned());
    let response = labelled(ui, field.label, |ui| ui.add(dressed(ui, &mut text, &field, many).id(id)));
    let dropped = response.lost_focus() && ui.input(|input| input.key_pressed(Key::Escape));
    if response.lost_focus() {
        return (!dropped && text != value).then_some(text);
    }
    // What is typed is kept only while it is being typed, or came in this frame without the focus.
    if response.has_focus() {
        let rests = rests(ui, drafts, field.key, response.changed());
        let said = (rests && text != value).then(|| text.clone());
        keep(drafts, field.key, text, value);
        return said;
    }
    (response.changed() && text != value).then_some(text)
}

/// A line that shows a value in words and reads what is typed: gives the value once Enter is pressed or the field is
/// left. While it is typed the field says how it is understood; what cannot be read stays, with what would be right.
pub fn read<T>(
    ui: &mut Ui,
    drafts: &mut Drafts,
    field: Field<'_>,
    shown: &str,
    reader: impl Fn(&str) -> Result<Typed<T>, String>,
) -> Option<T> {
    let id = drafts.id(field.key);
    let mut text = drafts.take(field.key).unwrap_or_else(|| shown.to_owned());
    let mut answer = None;
    ui.vertical(|ui| {
        let response = labelled(ui, field.label, |ui| ui.add(dressed(ui, &mut text, &field, false).id(id)));
        let dropped = response.lost_focus() && ui.input(|input| input.key_pressed(Key::Escape));
        if dropped || text == shown {
            if response.has_focus() {
                keep(drafts, field.key, text, shown);
            }
            return;
        }
        match reader(&text) {
            Ok(typed) if !response.has_focus() => answer = Some(typed.value),
            Ok(typed) => {
                echo(ui, response.rect.width(), typed.echo);
                keep(drafts, field.key, text, shown);
            }
            Err(why) => {
                under(ui, response.rect.width(), |ui| {
                    wrong(ui, &why);
                });
                keep(drafts, field.key, text, shown);
            }
        }
    });
    answer
}

/// A line of a form that is read: the value where it can be read, and under the field how it is understood.
pub fn form_read<T>(
    ui: &mut Ui,
    drafts: &mut Drafts,
    field: Field<'_>,
    reader: impl Fn(&str) -> Result<Typed<T>, String>,
) -> Option<T> {
    ui.vertical(|ui| {
        let width = form_line(ui, drafts, field).rect.width();
        let text = drafts.text(field.key);
        if text.trim().is_empty() {
            return None;
        }
        match reader(text) {
            Ok(typed) => {
                echo(ui, width, typed.echo);
                Some(typed.value)
            }
            Err(why) => {
                under(ui, width, |ui| {
                    wrong(ui, &why);
                });
                None
            }
        }
    })
    .inner
}

/// A line of a form: its draft stays until the form is handed in.
pub fn form_line(ui: &mut Ui, drafts: &mut Drafts, field: Field<'_>) -> Response {
    let id = drafts.id(field.key);
    let text = drafts.of(field.key);
    let response = labelled(ui, field.label, |ui| ui.add(dressed(ui, text, &field, false).id(id)));
    if response.changed() {
        drafts.was_typed(field.key);
    }
    response
}

/// Several lines of a form.
pub fn form_area(ui: &mut Ui, drafts: &mut Drafts, field: Field<'_>) -> Response {
    let id = drafts.id(field.key);
    let text = drafts.of(field.key);
    let response = labelled(ui, field.label, |ui| ui.add(dressed(ui, text, &field, true).id(id)));
    if response.changed() {
        drafts.was_typed(field.key);
    }
    response
}

/// A choice from a list: gives the new one where another was taken.
pub fn choice<T: PartialEq + Clone>(
    ui: &mut Ui,
    field: Field<'_>,
    now: Option<&T>,
    options: &[(T, String)],
) -> Option<T> {
    let shown =
        now.and_then(|now| options.iter().find(|(value, _)| value == now)).map(|(_, words)| words.as_str());
    let mut taken = None;
    labelled(ui, field.label, |ui| {
        let width = field.points(ui);
        let words = RichText::new(shown.unwrap_or(field.hint)).font(Face::Body.font());
        let list = ComboBox::from_id_salt(field.key).width(width).selected_text(words).icon(fold_mark);
        let mut done = false;
        let response = list
            .show_ui(ui, |ui| {
                for (value, words) in options {
                    let chosen = now == Some(value);
                    if ui.add(Button::selectable(chosen, words.as_str())).clicked() {
                        taken = (!chosen).then(|| value.clone());
                        done = true;
                        // A click closes it by itself, a key does not.
                        ui.close();
                    }
                }
            })
            .response;
        if done {
            response.request_focus();
        }
        response
    });
    taken
}

/// The mark of a list that opens: two strokes, no more.
fn fold_mark(ui: &Ui, rect: egui::Rect, _visuals: &egui::style::WidgetVisuals, _is_open: bool) {
    let stroke = egui::Stroke::new(1.5, Tokens::of(ui).ink_3);
    let (centre, reach) = (rect.center(), egui::vec2(space::STEP, space::TIGHT));
    let points = [centre - reach, centre + egui::vec2(0.0, reach.y), centre + egui::vec2(reach.x, -reach.y)];
    ui.painter().add(egui::Shape::line(points.to_vec(), stroke));
}

/// One of a few, side by side; gives the new one where another was taken.
pub fn one_of<T: PartialEq + Clone>(
    ui: &mut Ui,
    label: &str,
    now: Option<&T>,
    options: &[(T, &str)],
) -> Option<T> {
    let tokens = Tokens::of(ui);
    let mut taken = None;
    ui.vertical(|ui| {
        ui.spacing_mut().item_spacing.y = space::STEP;
        if !label.is_empty() {
            say(ui, Face::Second, tokens.ink_3, label);
        }
        ui.horizontal_wrapped(|ui| {
            for (value, words) in options {
                let chosen = now == Some(value);
                let ink = if chosen { tokens.ink } else { tokens.ink_2 };
                let face = if chosen { Face::Strong } else { Face::Body };
                let edge = if chosen { egui::Stroke::new(1.5, tokens.accent) } else { tokens.hairline() };
                let text = RichText::new(*words).font(face.font()).color(ink);
                let response = ui.add(Button::new(text).stroke(edge).min_size(egui::vec2(0.0, space::PRESS)));
                let name = if label.is_empty() { (*words).to_owned() } else { format!("{label}: {words}") };
                let response = response.accessible_name(name);
                tell_chosen(ui, &response, chosen);
                if response.clicked() && !chosen {
                    taken = Some(value.clone());
                }
            }
        });
    });
    taken
}
