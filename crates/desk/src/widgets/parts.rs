//! Words on a page.

use egui::{Color32, Frame, Margin, Response, RichText, Stroke, Ui, vec2};

use workbench::present::words::sentence_start;

use crate::look::{Face, Tokens, space};

/// Words in one face and colour, broken into lines where the page ends.
pub fn say(ui: &mut Ui, face: Face, colour: Color32, words: impl Into<String>) -> Response {
    ui.label(RichText::new(words).font(face.font()).color(colour))
}

/// A heading.
pub fn heading(ui: &mut Ui, words: impl Into<String>) -> Response {
    say(ui, Face::Heading, Tokens::of(ui).ink, words)
}

/// A second line.
pub fn second(ui: &mut Ui, words: impl Into<String>) -> Response {
    say(ui, Face::Second, Tokens::of(ui).ink_2, words)
}

/// Words that ask for care: "Not yet: …".
pub fn care(ui: &mut Ui, words: impl Into<String>) -> Response {
    say(ui, Face::Body, Tokens::of(ui).care, words)
}

/// What is wrong, under a field.
pub fn wrong(ui: &mut Ui, why: &str) -> Response {
    say(ui, Face::Second, Tokens::of(ui).care, format!("{}.", sentence_start(why)))
}

/// Room between blocks.
pub fn gap(ui: &mut Ui, height: f32) {
    ui.add_space(height);
}

/// A hairline across the page.
pub fn rule(ui: &mut Ui) {
    let width = ui.available_width();
    let (rect, _) = ui.allocate_exact_size(vec2(width, 1.0), egui::Sense::hover());
    ui.painter().hline(rect.x_range(), rect.center().y, Tokens::of(ui).hairline());
}

/// A note: a few words on their own ground, nothing around it.
pub fn note<R>(ui: &mut Ui, add: impl FnOnce(&mut Ui) -> R) -> R {
    let tokens = Tokens::of(ui);
    let frame = Frame::new()
        .fill(tokens.tint)
        .stroke(Stroke::NONE)
        .corner_radius(space::RADIUS_WIDE)
        .inner_margin(Margin::symmetric(16, 11));
    frame
        .show(ui, |ui| {
            ui.set_width(ui.available_width());
            ui.horizontal_wrapped(add).inner
        })
        .inner
}

/// A word over a second line, as the facts of a plan are shown.
pub fn pair(ui: &mut Ui, title: &str, words: &str) {
    let tokens = Tokens::of(ui);
    ui.vertical(|ui| {
        say(ui, Face::Strong, tokens.ink, title);
        if !words.is_empty() {
            say(ui, Face::Body, tokens.ink_2, words);
        }
    });
}

/// A label over a control; the control is named by it.
pub fn labelled(ui: &mut Ui, label: &str, add: impl FnOnce(&mut Ui) -> Response) -> Response {
    ui.vertical(|ui| {
        ui.spacing_mut().item_spacing.y = space::STEP;
        let name = say(ui, Face::Second, Tokens::of(ui).ink_3, label);
        add(ui).labelled_by(name.id)
    })
    .inner
}

/// What is known, one line each: the label in its own column.
pub fn known<'a>(ui: &mut Ui, lines: impl IntoIterator<Item = (&'a str, &'a str)>) {
    let tokens = Tokens::of(ui);
    for (label, words) in lines {
        ui.horizontal_top(|ui| {
            ui.spacing_mut().item_spacing.x = space::ROW;
            let column = vec2(LABEL, ui.spacing().interact_size.y * 0.6);
            ui.allocate_ui_with_layout(
                column,
                egui::Layout::left_to_right(egui::Align::TOP).with_main_wrap(true),
                |ui| {
                    ui.set_width(LABEL);
                    say(ui, Face::Body, tokens.ink_3, label);
                },
            );
            ui.vertical(|ui| say(ui, Face::Body, tokens.ink, words));
        });
    }
}

/// The column of labels.
const LABEL: f32 = 150.0;

/// A page that scrolls. Its bar lies in the margin on the right, beside the words and not over them.
pub fn scrolled(ui: &mut Ui, id: impl egui::AsIdSalt, add: impl FnOnce(&mut Ui)) {
    let mut rect = ui.available_rect_before_wrap();
    rect.max.x += BAR;
    ui.scope_builder(egui::UiBuilder::new().max_rect(rect), |ui| {
        let margin = Margin { right: 20, ..Margin::ZERO };
        egui::ScrollArea::vertical().id_salt(id).auto_shrink(false).content_margin(margin).show(ui, |ui| {
            add(ui);
            super::follow_focus(ui);
        });
    });
}

/// The part of a page's right margin that its scroll bar stands in.
const BAR: f32 = 20.0;
