//! The keys of the pour page: the space bar or a foot pedal for the lamp, one letter for how a layer came out.

use craft::fact::{Fact, Hardness};
use egui::{Event, Key, Ui};
use workbench::pouring::{self, Step};

use super::PourPage;
use crate::cx::Cx;

/// Takes them before any control of the page can see them; buttons are pressed with Enter here. Nothing is taken while
/// words are typed, while something lies over the page, or where the keyboard is outside the page.
pub(super) fn take(ui: &Ui, cx: &mut Cx<'_>, page: &PourPage, (no, step): (u8, &Step)) {
    if !is_listening(ui) {
        return;
    }
    if pressed(ui, Key::Space)
        && let Some(fact) = pouring::space(no, step, |other| !page.left_out.contains(&other))
    {
        cx.fact(fact);
    }
    let Step::Feel { layer, cooled_now } = *step else { return };
    let answers = [(Key::H, Hardness::Hard), (Key::T, Hardness::Tacky), (Key::S, Hardness::Soft)];
    // All three are taken, and the first is the answer: there is one for each layer.
    let answer = answers.map(|(key, hardness)| pressed(ui, key).then_some(hardness));
    if let Some(hardness) = answer.into_iter().flatten().next() {
        facts(cx, pouring::felt(no, layer, cooled_now, hardness));
    }
}

/// Records several facts, one after the other.
pub(super) fn facts(cx: &mut Cx<'_>, facts: Vec<Fact>) {
    for fact in facts {
        cx.fact(fact);
    }
}

fn is_listening(ui: &Ui) -> bool {
    let ctx = ui.ctx();
    if ctx.text_edit_focused() || !ctx.memory(|memory| memory.allows_interaction(ui.layer_id())) {
        return false;
    }
    let focused = ctx.memory(egui::Memory::focused).and_then(|id| ctx.read_response(id));
    focused.is_none_or(|response| ui.clip_rect().intersects(response.rect))
}

/// True where a key went down in this frame, without others; one that is held down counts once.
fn pressed(ui: &Ui, wanted: Key) -> bool {
    let mut down = false;
    ui.input_mut(|input| {
        input.events.retain(|event| match event {
            Event::Key { key, pressed: true, repeat, modifiers, .. }
                if *key == wanted && modifiers.is_none() =>
            {
                down |= !repeat;
                false
            }
            _ => true,
        });
    });
    down
}
