//! One of a few words in a row, as one stop of the Tab key: the arrows go along it, a letter jumps.

use egui::{Event, EventFilter, Id, Key, Response, Sense, Stroke, Ui, WidgetInfo, vec2};

use super::parts::labelled;
use crate::look::{Face, Tokens, space};

/// The words side by side, the chosen one underlined: gives the place of another one that was taken, and whether the
/// keyboard is here.
pub fn pick(
    ui: &mut Ui,
    key: &str,
    label: &str,
    now: Option<usize>,
    words: &[&str],
) -> (Option<usize>, bool) {
    let id = Id::unique(("pick", key));
    let mut taken = None;
    let focused = labelled(ui, label, |ui| row_ui(ui, id, label, (now, words), &mut taken)).has_focus();
    (taken.filter(|place| Some(*place) != now), focused)
}

/// Gives the keyboard to one of these rows.
pub fn focus_pick(ui: &Ui, key: &str) {
    ui.memory_mut(|memory| memory.request_focus(Id::unique(("pick", key))));
}

fn row_ui(
    ui: &mut Ui,
    id: Id,
    label: &str,
    of: (Option<usize>, &[&str]),
    taken: &mut Option<usize>,
) -> Response {
    let (now, words) = of;
    let tokens = Tokens::of(ui);
    let shown = ui.scope(|ui| {
        ui.spacing_mut().item_spacing = vec2(14.0, 0.0);
        ui.spacing_mut().interact_size.y = 26.0;
        ui.horizontal_wrapped(|ui| {
            for (place, word) in words.iter().enumerate() {
                if word_ui(ui, label, word, Some(place) == now).clicked() {
                    *taken = Some(place);
                }
            }
        });
    });
    let rect = shown.response.rect;
    let response = ui.interact(rect, id, Sense::FOCUSABLE);
    let chosen = now.and_then(|place| words.get(place)).copied().unwrap_or_default();
    let enabled = ui.is_enabled();
    response.widget_info(|| {
        let mut info = WidgetInfo::labeled(egui::Role::ComboBox, enabled, label);
        info.current_text_value = Some(chosen.to_owned());
        info
    });
    if taken.is_some() {
        response.request_focus();
    }
    if response.has_focus() {
        let filter = EventFilter { horizontal_arrows: true, ..EventFilter::default() };
        ui.memory_mut(|memory| memory.set_focus_lock_filter(id, filter));
        let around = rect.expand2(vec2(4.0, 1.0));
        let edge = Stroke::new(1.5, tokens.accent);
        ui.painter().rect_stroke(around, space::RADIUS, edge, egui::StrokeKind::Inside);
        *taken = taken.or_else(|| ui.input(|input| typed(input, now, words)));
    }
    response
}

fn word_ui(ui: &mut Ui, label: &str, word: &str, chosen: bool) -> Response {
    let tokens = Tokens::of(ui);
    let (face, ink) = if chosen { (Face::Strong, tokens.ink) } else { (Face::Body, tokens.ink_2) };
    let galley = ui.painter().layout_no_wrap(word.to_owned(), face.font(), ink);
    let (rect, response) = ui.allocate_exact_size(vec2(galley.size().x, 26.0), Sense::CLICK);
    let name = format!("{label}: {word}");
    response.widget_info(|| WidgetInfo::selected(egui::Role::RadioButton, true, chosen, &name));
    let at = egui::pos2(rect.left(), rect.center().y - galley.size().y / 2.0);
    ui.painter().galley(at, galley, ink);
    let under = rect.bottom() - 2.0;
    if chosen {
        ui.painter().hline(rect.x_range(), under, Stroke::new(2.0, tokens.accent));
    } else if response.hovered() {
        ui.painter().hline(rect.x_range(), under, Stroke::new(1.0, ink));
    }
    response.on_hover_cursor(egui::CursorIcon::PointingHand)
}

/// Where the keys of this frame lead to.
fn typed(input: &egui::InputState, now: Option<usize>, words: &[&str]) -> Option<usize> {
    let last = words.len().checked_sub(1)?;
    if input.key_pressed(Key::ArrowRight) {
        return Some(now.map_or(0, |place| (place + 1).min(last)));
    }
    if input.key_pressed(Key::ArrowLeft) {
        return Some(now.map_or(last, |place| place.saturating_sub(1)));
    }
    input.events.iter().find_map(|event| match event {
        Event::Text(letter) => jump(letter, now, words),
        _ => None,
    })
}

/// The next word that begins so, from the one after the chosen one on and round again.
fn jump(letter: &str, now: Option<usize>, words: &[&str]) -> Option<usize> {
    let letter = letter.to_lowercase();
    let from = now.map_or(0, |place| place + 1);
    let places = (0..words.len()).map(|step| (from + step) % words.len());
    places
        .filter(|_| !letter.trim().is_empty())
        .find(|place| words.get(*place).is_some_and(|word| word.to_lowercase().starts_with(letter.as_str())))
}

#[cfg(test)]
mod tests {
    use super::*;

    const WORDS: [&str; 4] = ["hair", "fur", "ashes", "here"];

    #[test]
    fn a_letter_jumps_to_the_next_word_that_begins_with_it() {
        assert_eq!(jump("a", None, &WORDS), Some(2));
        assert_eq!(jump("H", Some(0), &WORDS), Some(3), "the one after the chosen one");
        assert_eq!(jump("h", Some(3), &WORDS), Some(0), "and round again");
        assert_eq!(jump("x", None, &WORDS), None);
        assert_eq!(jump(" ", None, &WORDS), None);
    }
}
