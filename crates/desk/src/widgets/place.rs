//! Where something is put: a place of the studio's list, or another one that is added in the same breath.

use craft::place::Place;
use craft::studio::{Edit, Studio};
use egui::{Id, Key, Ui};
use workbench::present::labels::place as labels;
use workbench::present::places::{Named, choices, named};

use super::fields::{Field, choice, form_line};
use super::parts::{second, wrong};
use super::press::link;
use crate::cx::Cx;

/// A choice of place: gives the new one where another was taken. The last word of the list asks for the name of a place
/// that is not on it yet; it is added and chosen by Enter, or once the field is left, and dropped on Esc.
pub fn place(ui: &mut Ui, cx: &mut Cx<'_>, field: Field<'_>, now: Option<&Place>) -> Option<Place> {
    let mut all: Vec<(Option<Place>, String)> = Vec::new();
    all.extend(choices(cx.view.studio).into_iter().map(|(place, name)| (Some(place), name)));
    all.push((None, labels::ANOTHER.to_owned()));
    let another = format!("{}/another", field.key);
    let now = now.cloned().map(Some);
    ui.vertical(|ui| {
        let taken = choice(ui, field, now.as_ref(), &all);
        match taken {
            Some(Some(place)) => {
                cx.drafts.clear(&another);
                return Some(place);
            }
            Some(None) => {
                // The list has the keyboard again once a word of it was taken: it gets it back in the end.
                let list = ui.memory(egui::Memory::focused);
                ui.data_mut(|data| data.insert_temp(list_of(&another), (list, true)));
                cx.drafts.put(&another, "");
                // The key that took the word would end the field as well, so it is shown from the next frame on.
                ui.ctx().request_repaint();
                return None;
            }
            None => {}
        }
        cx.drafts.get(&another)?;
        another_ui(ui, cx, field, &another)
    })
    .inner
}

/// Where it is remembered which list a field for another place belongs to.
fn list_of(another: &str) -> Id {
    Id::unique(("the list of", another))
}

/// The field for the name of a place that is not on the list.
fn another_ui(ui: &mut Ui, cx: &mut Cx<'_>, of: Field<'_>, key: &str) -> Option<Place> {
    let label = labels::name(of.label);
    let response = form_line(ui, cx.drafts, Field::new(key, &label).wide(of.width).hint(labels::HINT));
    let (list, fresh) = ui.data(|data| data.get_temp::<(Option<Id>, bool)>(list_of(key))).unwrap_or_default();
    if fresh {
        ui.data_mut(|data| data.insert_temp(list_of(key), (list, false)));
        response.request_focus();
    }
    let text = cx.drafts.text(key).trim().to_owned();
    let read = named(cx.view.studio, &text);
    match &read {
        Err(why) if !text.is_empty() => wrong(ui, why),
        _ => second(ui, labels::HOW),
    };
    if !response.lost_focus() {
        return None;
    }
    let by = |key| ui.input(|input| input.key_pressed(key));
    if text.is_empty() || by(Key::Escape) {
        cx.drafts.clear(key);
    }
    // A name that cannot be used keeps the keyboard: it is still to be written.
    if by(Key::Enter) && read.is_err() && !text.is_empty() {
        response.request_focus();
        return None;
    }
    if (by(Key::Enter) || by(Key::Escape))
        && let Some(list) = list
    {
        ui.memory_mut(|memory| memory.request_focus(list));
    }
    if text.is_empty() || by(Key::Escape) {
        return None;
    }
    match read {
        Ok(Named::Known(place)) => {
            cx.drafts.clear(key);
            Some(place)
        }
        Ok(Named::New(house, place)) => {
            cx.hand_in(vec![Edit::Policies(house)], &[key]);
            Some(place)
        }
        Err(_) => None,
    }
}

/// Offers to add what is typed to the studio's places; gives the change once that is wanted. Nothing is offered for the
/// name of a place that is there.
pub fn offer_place(ui: &mut Ui, studio: &Studio, text: &str) -> Option<Edit> {
    let Ok(Named::New(house, _)) = named(studio, text) else { return None };
    link(ui, &labels::add(text.trim())).clicked().then_some(Edit::Policies(house))
}
