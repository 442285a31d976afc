//! A way through time: one mark for each thing that happened, as one stop of the Tab key. The arrows go along it.

use egui::{EventFilter, Id, Key, Rect, Sense, Stroke, Ui, WidgetInfo, pos2, vec2};

use crate::look::{Tokens, space};

/// The height of the line with its marks.
const HIGH: f32 = 34.0;
/// The widest it grows.
const WIDEST: f32 = 720.0;

/// What is looked at along a [`moments`] line.
#[derive(Clone, Copy, Debug)]
pub struct Along<'a> {
    /// Where it stands, from 0.
    pub at: usize,
    /// For each mark, whether a new day begins with it.
    pub days: &'a [bool],
    /// What stands there, for whoever does not see it.
    pub words: &'a str,
    /// It takes the keyboard now.
    pub takes_keys: bool,
}

/// The line: gives the place of another mark that was taken.
pub fn moments(ui: &mut Ui, key: &str, label: &str, along: Along<'_>) -> Option<usize> {
    let tokens = Tokens::of(ui);
    let last = along.days.len().checked_sub(1)?;
    let at = along.at.min(last);
    let width = ui.available_width().min(WIDEST);
    let (rect, _) = ui.allocate_exact_size(vec2(width, HIGH), Sense::hover());
    let response = ui.interact(rect, Id::unique(("moments", key)), Sense::click_and_drag());
    let enabled = ui.is_enabled();
    response.widget_info(|| {
        let mut info = WidgetInfo::slider(enabled, at as f64, label);
        info.current_text_value = Some(along.words.to_owned());
        info
    });
    let inner = rect.shrink2(vec2(3.0 * space::STEP, 0.0));
    let x = |place: usize| match last {
        0 => inner.left(),
        _ => inner.left() + inner.width() * place as f32 / last as f32,
    };
    draw(ui, tokens, (rect, inner), (at, along.days), x);
    if along.takes_keys {
        response.request_focus();
    }
    if response.has_focus() {
        let filter = EventFilter { horizontal_arrows: true, ..EventFilter::default() };
        ui.memory_mut(|memory| memory.set_focus_lock_filter(response.id, filter));
        let edge = Stroke::new(1.5, tokens.accent);
        ui.painter().rect_stroke(rect, space::RADIUS, edge, egui::StrokeKind::Inside);
        if let Some(place) = ui.input(|input| typed(input, at, last)) {
            return (place != at).then_some(place);
        }
    }
    if response.clicked() {
        response.request_focus();
    }
    let pointed = response.interact_pointer_pos().filter(|_| response.clicked() || response.dragged())?;
    let nearest = (0..=last).min_by(|a, b| (x(*a) - pointed.x).abs().total_cmp(&(x(*b) - pointed.x).abs()));
    nearest.filter(|place| *place != at)
}

fn draw(
    ui: &Ui,
    tokens: &Tokens,
    (rect, inner): (Rect, Rect),
    (at, days): (usize, &[bool]),
    x: impl Fn(usize) -> f32,
) {
    let painter = ui.painter();
    let middle = rect.center().y;
    painter.hline(inner.x_range(), middle, tokens.edge());
    for (place, day) in days.iter().enumerate() {
        let (reach, ink) = if *day { (7.0, tokens.ink_2) } else { (3.5, tokens.ink_3) };
        painter.vline(x(place), middle - reach..=middle + reach, Stroke::new(1.0, ink));
    }
    let centre = pos2(x(at), middle);
    painter.circle(centre, 6.0, tokens.accent, Stroke::new(2.0, tokens.page));
}

/// Where the keys of this frame lead to.
fn typed(input: &egui::InputState, at: usize, last: usize) -> Option<usize> {
    let keys = [
        (Key::ArrowRight, (at + 1).min(last)),
        (Key::ArrowLeft, at.saturating_sub(1)),
        (Key::Home, 0),
        (Key::End, last),
    ];
    keys.into_iter().find(|(key, _)| input.key_pressed(*key)).map(|(_, place)| place)
}
