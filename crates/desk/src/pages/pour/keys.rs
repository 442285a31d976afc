//! The keys of the pour page: the space bar or a foot pedal for the lamp and for what is begun and laid, one letter for
//! how a layer came out.

use craft::fact::{Fact, Hardness};
use egui::{Event, Key, Popup, Response, Ui};
use workbench::pouring::{self, Step};

use super::PourPage;
use crate::cx::Cx;

/// Takes them before any control of the page can see them; true where the space bar is to do what the main button does.
/// Nothing is taken while words are typed, while something lies over the page, or where the keyboard is outside the
/// page. A button that has the keyboard keeps the space bar.
pub(super) fn take(ui: &Ui, cx: &mut Cx<'_>, page: &mut PourPage, (no, step): (u8, &Step)) -> bool {
    if !is_listening(ui) || !is_in_page(ui) {
        return false;
    }
    take_lamp(ui, cx, page, (no, step));
    let spaced = is_space_down(ui) && take_space(ui, cx, page);
    take_feel(ui, cx, (no, step));
    spaced
}

/// True where something of the page has the keyboard, and with it the space bar.
pub(super) fn is_held(ui: &Ui) -> bool {
    focused(ui).is_some()
}

/// Takes the space bar unless a button has the keyboard; true where that was a press of its own.
fn take_space(ui: &Ui, cx: &Cx<'_>, page: &mut PourPage) -> bool {
    // A key that is held and a pedal that bounces press nothing, a button neither.
    let own = is_struck(ui, Key::Space) && !has_bounced(page, cx);
    if own {
        page.spaced = Some(cx.view.now);
    }
    if own && focused(ui).is_some() {
        return false;
    }
    pressed(ui, Key::Space);
    own
}

/// True where the space bar goes down so soon after the last time that the pedal has only bounced.
fn has_bounced(page: &PourPage, cx: &Cx<'_>) -> bool {
    page.spaced.is_some_and(|before| pouring::has_bounced(&before, &cx.view.now))
}

fn take_feel(ui: &Ui, cx: &mut Cx<'_>, (no, step): (u8, &Step)) {
    let Step::Feel { layer, cooled_now } = *step else { return };
    let answers = [(Key::H, Hardness::Hard), (Key::T, Hardness::Tacky), (Key::S, Hardness::Soft)];
    // All three are taken, and the first is the answer: there is one for each layer.
    let answer = answers.map(|(key, hardness)| pressed(ui, key).then_some(hardness));
    if let Some(hardness) = answer.into_iter().flatten().next() {
        facts(cx, pouring::felt(no, layer, cooled_now, hardness));
    }
}

/// Takes the space bar where the step asks for the lamp, wherever the keyboard stands but in a text.
pub(super) fn take_lamp(ui: &Ui, cx: &mut Cx<'_>, page: &mut PourPage, (no, step): (u8, &Step)) {
    let wants = matches!(step, Step::Light(_) | Step::Lit(_) | Step::LightOver(_));
    if !wants || !is_listening(ui) || !pressed(ui, Key::Space) {
        return;
    }
    // The press that laid the layer does not put the lamp on too.
    let bounced = matches!(step, Step::Light(_)) && has_bounced(page, cx);
    page.spaced = Some(cx.view.now);
    let fact = pouring::space(no, step, |other| !page.left_out.contains(&other));
    if let Some(fact) = fact.filter(|_| !bounced) {
        cx.fact(fact);
    }
}

/// True where the space bar went down in this frame, or is held.
pub(super) fn is_space_down(ui: &Ui) -> bool {
    ui.input(|input| input.events.iter().any(|event| is_press(event, Key::Space)))
}

/// Records several facts, one after the other; where one is refused the rest is not recorded.
pub(super) fn facts(cx: &mut Cx<'_>, facts: Vec<Fact>) {
    let edits = facts.into_iter().map(|fact| cx.fact_edit(fact)).collect();
    cx.hand_in(edits, &[]);
}

/// False while words are typed, and while a list is open or something else lies over the page.
fn is_listening(ui: &Ui) -> bool {
    let ctx = ui.ctx();
    !ctx.text_edit_focused()
        && !Popup::is_any_open(ctx)
        && ctx.memory(|memory| memory.allows_interaction(ui.layer_id()))
        && focused(ui).is_none_or(|response| response.layer_id == ui.layer_id())
}

fn is_in_page(ui: &Ui) -> bool {
    focused(ui).is_none_or(|response| ui.clip_rect().intersects(response.rect))
}

fn focused(ui: &Ui) -> Option<Response> {
    let id = ui.ctx().memory(egui::Memory::focused)?;
    ui.ctx().read_response(id)
}

fn is_press(event: &Event, wanted: Key) -> bool {
    matches!(
        event,
        Event::Key { key, pressed: true, modifiers, .. } if *key == wanted && modifiers.is_none()
    )
}

/// True where a key goes down in this frame that was not held before.
fn is_struck(ui: &Ui, wanted: Key) -> bool {
    let struck = |event: &Event| is_press(event, wanted) && matches!(event, Event::Key { repeat: false, .. });
    ui.input(|input| input.events.iter().any(struck))
}

/// True where a key went down in this frame, without others; one that is held down counts once.
fn pressed(ui: &Ui, wanted: Key) -> bool {
    let mut down = false;
    ui.input_mut(|input| {
        input.events.retain(|event| {
            let is_it = is_press(event, wanted);
            down |= is_it && matches!(event, Event::Key { repeat: false, .. });
            !is_it
        });
    });
    down
}
