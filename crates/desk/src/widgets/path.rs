//! A path: typed, or chosen in the system's dialog, and what is done with it.

use std::path::PathBuf;

use egui::{Response, Ui};

use super::drafts::Drafts;
use super::fields::{Field, entered, form_line};
use super::press::plain_button;
use crate::cx::{Asked, Wish};
use crate::look::space;

/// A field for a path with its dialog.
#[derive(Debug)]
pub struct PathForm<'a> {
    /// The key of its draft.
    pub key: &'a str,
    /// What stands over it.
    pub label: &'a str,
    /// An example, shown while it is empty.
    pub hint: &'a str,
    /// What the dialog is asked for.
    pub ask: Asked,
    /// What the button says that opens it.
    pub choose: &'a str,
    /// How high the buttons are: more where one of them is the main one of the page.
    pub height: f32,
}

/// Shows it; gives the path once Enter is pressed in the field or what `go` shows is pressed. Where nothing is typed yet
/// that opens the dialog first. The path stays in the field, in case it has to be asked for again.
pub fn path_form(
    ui: &mut Ui,
    drafts: &mut Drafts,
    wishes: &mut Vec<Wish>,
    form: PathForm<'_>,
    go: impl FnOnce(&mut Ui) -> Response,
) -> Option<PathBuf> {
    let response = form_line(ui, drafts, Field::new(form.key, form.label).wide(520.0).hint(form.hint));
    let entered = entered(ui, &response);
    let typed = drafts.text(form.key).trim().to_owned();
    ui.add_space(space::STEP);
    let mut ask = false;
    let pressed = ui
        .horizontal_wrapped(|ui| {
            ui.spacing_mut().item_spacing.x = space::ROW;
            // As high as the highest of them, so that all of them stand level.
            ui.spacing_mut().interact_size.y = form.height;
            ask = plain_button(ui, form.choose).clicked();
            go(ui).clicked()
        })
        .inner;
    // Where nothing is typed yet, asking for it asks for the place first.
    if ask || (pressed && typed.is_empty()) {
        wishes.push(Wish::Ask(form.ask));
        return None;
    }
    if typed.is_empty() || !(entered || pressed) {
        return None;
    }
    // It has been handed in: nobody's words wait there any more.
    drafts.put(form.key, typed.clone());
    // A bare name lies in the folder the program was started from; whoever typed it is told where that is.
    let typed = PathBuf::from(typed);
    Some(std::path::absolute(&typed).unwrap_or(typed))
}
