//! The strip at the foot of every screen: all running waits, the next to end in front, and what is saved.

use egui::{Rect, Sense, Ui, WidgetInfo, vec2};
use workbench::action::{Action, Nav};
use workbench::present::saving_words;
use workbench::present::strip::{self, WaitWords};
use workbench::view::View;
use workbench::waits::{Kind, Wait};

use super::bench::is_lowest;
use crate::cx::Wish;
use crate::draw::ring::{WaitRing, Waiting, ring};
use crate::look::{Face, Tokens, space};
use crate::widgets::{link, say};
use workbench::present::labels::shell as labels;

/// The strip of a window that is very low, in points.
const THIN: f32 = 32.0;

/// From this width of the window on there is room for all of it, in points.
const HANDS: f32 = 860.0;

/// How high the strip is.
pub(super) fn height(ui: &Ui) -> f32 {
    if is_lowest(ui) { THIN } else { space::STRIP }
}

pub(super) fn strip_ui(ui: &mut Ui, view: &View<'_>, wishes: &mut Vec<Wish>) {
    let tokens = Tokens::of(ui);
    ui.horizontal_centered(|ui| {
        ui.add_space(20.0);
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            ui.add_space(20.0);
            ui.spacing_mut().item_spacing.x = space::STEP * 2.0;
            saved_ui(ui, view, wishes);
            // What could not be saved needs the room more than what the digits say already.
            let has_room = view.saving_trouble().is_none() || ui.ctx().content_rect().width() >= HANDS;
            if let Some(words) = strip::hands(view.studio, &view.waits).filter(|_| has_room) {
                say(ui, Face::Second, tokens.ink_3, "·");
                say(ui, Face::Second, tokens.ink_2, words);
            }
            ui.add_space(space::BLOCK);
            ui.with_layout(egui::Layout::left_to_right(egui::Align::Center), |ui| waits_ui(ui, view, wishes));
        });
    });
}

fn saved_ui(ui: &mut Ui, view: &View<'_>, wishes: &mut Vec<Wish>) {
    let tokens = Tokens::of(ui);
    let safe = view.saving_trouble().is_none();
    if saving_words::may_help(view.saves) && link(ui, labels::SAVE_AGAIN).clicked() {
        wishes.push(Wish::Act(Action::SaveAgain));
    }
    let ink = if safe { tokens.ink_2 } else { tokens.care };
    say(ui, Face::Second, ink, strip::saved(view)).on_hover_text(view.saving_words());
}

/// The room for how many more there are, in points.
const MORE: f32 = 90.0;
/// The room that the ring, the digits and what stands around them take, in points.
const BESIDE: f32 = 150.0;

fn waits_ui(ui: &mut Ui, view: &View<'_>, wishes: &mut Vec<Wish>) {
    let tokens = Tokens::of(ui);
    let mut left = view.waits.len();
    for (place, wait) in view.waits.iter().enumerate() {
        let words = strip::wait(view.studio, wait);
        let others = if view.waits.len() > place + 1 { MORE } else { 0.0 };
        let room = ui.available_width() - BESIDE - if place == 0 { others } else { 0.0 };
        let wide = |words: &str| {
            ui.painter().layout_no_wrap(words.to_owned(), Face::Second.font(), tokens.ink_2).size().x
        };
        // The next to end is always shown, whatever else has to be said: of its words what there is room for.
        let fits = [words.what.as_str(), words.short].into_iter().find(|words| wide(words) <= room);
        if place > 0 && fits != Some(words.what.as_str()) {
            break;
        }
        if wait_ui(ui, wait, &words, fits.unwrap_or_default()) {
            wishes.push(Wish::Act(Action::Go(Nav::Bench(wait.tag, craft::order::Page::Pour))));
            if let Some(stone) = wait.stones.first() {
                wishes.push(Wish::Stone(wait.tag, *stone));
            }
        }
        left -= 1;
    }
    if left > 0 {
        say(ui, Face::Second, tokens.ink_3, strip::more(left));
    }
}

fn wait_ui(ui: &mut Ui, wait: &Wait, words: &WaitWords, shown: &str) -> bool {
    let tokens = Tokens::of(ui);
    let digits = ui.painter().layout_no_wrap(words.digits.clone(), Face::Digits.font(), tokens.ink);
    let (across, high) = if is_lowest(ui) { (20.0, 28.0) } else { (28.0, 40.0) };
    let second = ui.painter().layout_no_wrap(shown.to_owned(), Face::Second.font(), tokens.ink_2);
    let size = vec2(28.0 + 10.0 + digits.size().x + 6.0 + second.size().x + 24.0, high);
    let (rect, response) = ui.allocate_exact_size(size, Sense::click());
    response.widget_info(|| {
        WidgetInfo::labeled(egui::Role::Button, true, format!("{} {}", words.digits, words.what))
    });
    if response.has_focus() {
        ui.painter().rect_stroke(
            rect,
            space::RADIUS,
            egui::Stroke::new(1.5, tokens.accent),
            egui::StrokeKind::Inside,
        );
    }
    let circle = Rect::from_center_size(rect.left_center() + vec2(15.0, 0.0), vec2(across, across));
    let waiting = if wait.kind == Kind::Light { Waiting::Light } else { Waiting::Other };
    let small = WaitRing { radius: 0.5 * across, ..WaitRing::small(words.fraction, waiting) };
    ring(ui.painter(), tokens, circle.center(), &small);
    let at = egui::pos2(circle.right() + 10.0, rect.center().y - digits.size().y / 2.0);
    let second_at = egui::pos2(at.x + digits.size().x + 6.0, rect.center().y - second.size().y / 2.0 + 1.0);
    ui.painter().galley(at, digits, tokens.ink);
    ui.painter().galley(second_at, second, tokens.ink_2);
    response.clicked()
}
