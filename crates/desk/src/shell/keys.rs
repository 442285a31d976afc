//! What the keys do. Every one stands in one table, so that no two can clash.

use craft::id::DocId;
use craft::order::Page;
use egui::{Key, KeyboardShortcut, Modifiers, Ui};
use workbench::action::{Action, Nav};
use workbench::present::words;
use workbench::view::View;

use super::{Desk, Over, Side};
use crate::cx::Wish;
use crate::look::{Face, Tokens, space};
use crate::widgets::{gap, heading, link, say};
use workbench::present::labels::keys as labels;

/// What a key asks for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Asks {
    Find,
    Board,
    NewOrder,
    Running,
    Shelf,
    Keeping,
    TryOut,
    Undo,
    Redo,
    Preferences,
    Keys,
    Messages,
    Papers,
    Earlier,
    Words,
    Open(Page),
}

/// One key and what it does.
#[derive(Clone, Copy, Debug)]
pub struct Shortcut {
    /// The key with its modifiers.
    pub keys: KeyboardShortcut,
    /// What it does, in words.
    pub words: &'static str,
    asks: Asks,
}

const fn key(modifiers: Modifiers, key: Key, words: &'static str, asks: Asks) -> Shortcut {
    Shortcut { keys: KeyboardShortcut::new(modifiers, key), words, asks }
}

const CTRL: Modifiers = Modifiers::COMMAND;
const CTRL_SHIFT: Modifiers = Modifiers { shift: true, ..Modifiers::COMMAND };

/// All of them. The space bar and the letters of the pour page belong to that page, and are not taken while a field is
/// typed into.
pub const SHORTCUTS: [Shortcut; 24] = [
    key(CTRL, Key::F, labels::FIND, Asks::Find),
    key(CTRL, Key::B, labels::BOARD, Asks::Board),
    key(CTRL, Key::N, labels::NEW_ORDER, Asks::NewOrder),
    key(CTRL, Key::R, labels::RUNNING, Asks::Running),
    key(CTRL, Key::L, labels::SHELF, Asks::Shelf),
    key(CTRL, Key::K, labels::KEEPING, Asks::Keeping),
    key(CTRL, Key::D, labels::TRY_OUT, Asks::TryOut),
    key(CTRL, Key::Z, labels::UNDO, Asks::Undo),
    key(CTRL_SHIFT, Key::Z, labels::REDO, Asks::Redo),
    key(CTRL, Key::Comma, labels::PREFERENCES, Asks::Preferences),
    key(CTRL, Key::M, labels::MESSAGES, Asks::Messages),
    key(CTRL, Key::P, labels::PAPERS, Asks::Papers),
    key(CTRL, Key::T, labels::EARLIER, Asks::Earlier),
    key(CTRL, Key::E, labels::WORDS, Asks::Words),
    key(Modifiers::NONE, Key::F1, labels::KEYS, Asks::Keys),
    key(CTRL, Key::Num1, "brief", Asks::Open(Page::Brief)),
    key(CTRL, Key::Num2, "arrival", Asks::Open(Page::Arrival)),
    key(CTRL, Key::Num3, "plan", Asks::Open(Page::Plan)),
    key(CTRL, Key::Num4, "pour", Asks::Open(Page::Pour)),
    key(CTRL, Key::Num5, "show", Asks::Open(Page::Show)),
    key(CTRL, Key::Num6, "choose", Asks::Open(Page::Choose)),
    key(CTRL, Key::Num7, "fit", Asks::Open(Page::Fit)),
    key(CTRL, Key::Num8, "pack", Asks::Open(Page::Pack)),
    key(CTRL, Key::Num9, "after", Asks::Open(Page::After)),
];

/// The keys of the pour page, bare letters and the space bar: what they are called, and what they do. None of them may
/// be one of [`SHORTCUTS`].
const ON_PAGE: [(&[Key], &str, &str); 2] = [
    (&[Key::Space], labels::SPACE, labels::SPACE_DOES),
    (&[Key::H, Key::T, Key::S], labels::FEEL, labels::FEEL_DOES),
];

/// Takes the keys of this frame. What they ask for is done once the frame is drawn, and a field that has the keyboard
/// loses it first: so it hands in what was typed before anything else is shown.
pub(super) fn take(ui: &Ui, desk: &Desk) -> Vec<Asks> {
    if desk.over.is_some() {
        return Vec::new();
    }
    let typing = ui.ctx().text_edit_focused();
    // The longer combination first: what holds Shift too must not be taken for the one without.
    let mut all = SHORTCUTS;
    all.sort_by_key(|shortcut| !shortcut.keys.modifiers.shift);
    // A field takes its own words back.
    let for_field = |asks| typing && matches!(asks, Asks::Undo | Asks::Redo);
    let taken = all.into_iter().filter(|shortcut| {
        !for_field(shortcut.asks) && ui.input_mut(|input| input.consume_shortcut(&shortcut.keys))
    });
    let taken: Vec<Asks> = taken.map(|shortcut| shortcut.asks).collect();
    if typing && !taken.is_empty() {
        ui.memory_mut(|memory| {
            if let Some(id) = memory.focused() {
                memory.surrender_focus(id);
            }
        });
    }
    taken
}

/// Does what a key asked for.
pub(super) fn done(desk: &mut Desk, view: &View<'_>, asks: Asks, wishes: &mut Vec<Wish>) {
    let mut act = |action| wishes.push(Wish::Act(action));
    match asks {
        Asks::Find => {
            desk.to_find = true;
            // The field stands on the board, which may not be in sight.
            if desk.narrow {
                act(Action::Go(Nav::Board));
            }
        }
        Asks::Board => act(Action::Go(Nav::Board)),
        Asks::NewOrder => desk.over = Some(Over::NewOrder),
        Asks::Running => desk.over = Some(Over::Running),
        Asks::Shelf => act(Action::Go(Nav::Shelf)),
        Asks::Keeping => {
            desk.keep.leave_earlier();
            act(Action::Go(Nav::Keeping));
        }
        Asks::TryOut => act(Action::Go(Nav::TryOut)),
        Asks::Undo => act(Action::Undo),
        Asks::Redo => act(Action::Redo),
        Asks::Preferences => desk.over = Some(Over::Preferences),
        Asks::Keys => desk.over = Some(Over::Keys),
        Asks::Words => desk.drafts.ask_for_words(),
        Asks::Earlier => {
            if let Nav::Bench(tag, _) = view.nav {
                wishes.push(Wish::Earlier(DocId::Order(tag)));
            }
        }
        // Only an order has these sides.
        Asks::Messages | Asks::Papers if !matches!(view.nav, Nav::Bench(..)) => {}
        Asks::Messages => desk.side = Side::Messages,
        Asks::Papers => desk.side = Side::Papers,
        Asks::Open(page) => {
            desk.side = Side::Route;
            if let Nav::Bench(tag, _) = view.nav {
                act(Action::Go(Nav::Bench(tag, page)));
            }
        }
    }
}

/// The keys, listed.
pub(super) fn help_ui(ui: &mut Ui, desk: &mut Desk) {
    heading(ui, labels::TITLE);
    gap(ui, 2.0 * space::STEP);
    let tokens = Tokens::of(ui);
    let row = |ui: &mut Ui, keys: &str, words: &str| {
        ui.horizontal(|ui| {
            ui.allocate_ui(egui::vec2(150.0, 20.0), |ui| {
                ui.set_width(150.0);
                say(ui, Face::Strong, tokens.ink, keys);
            });
            say(ui, Face::Body, tokens.ink_2, words);
        });
    };
    for shortcut in SHORTCUTS.iter().filter(|shortcut| !matches!(shortcut.asks, Asks::Open(_))) {
        row(ui, &ui.ctx().format_shortcut(&shortcut.keys), shortcut.words);
    }
    let pages: Vec<&str> = Page::ALL.into_iter().map(words::page).collect();
    row(ui, labels::NUMBERS, &pages.join(", "));
    row(ui, labels::ZOOM, labels::ZOOM_DOES);
    row(ui, labels::QUIT, labels::QUIT_DOES);
    for (_, keys, words) in ON_PAGE {
        row(ui, keys, words);
    }
    gap(ui, 3.0 * space::STEP);
    if link(ui, labels::CLOSE).clicked() {
        desk.over = None;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn clashes(shortcuts: &[Shortcut]) -> Vec<&'static str> {
        let on_page = ON_PAGE.iter().flat_map(|&(keys, _, does)| {
            keys.iter().map(move |&bare| key(Modifiers::NONE, bare, does, Asks::Keys))
        });
        let bare: Vec<Shortcut> = on_page.collect();
        let same_keys = |a: &Shortcut, b: &Shortcut| a.keys == b.keys;
        let twice = bare.iter().enumerate().filter(|(place, a)| {
            shortcuts.iter().chain(bare.iter().skip(place + 1)).any(|b| same_keys(a, b))
        });
        let twice: Vec<&'static str> = twice.map(|(_, a)| a.words).collect();
        let same = |a: &Shortcut, b: &Shortcut| a.keys == b.keys || a.words == b.words;
        let pairs = shortcuts.iter().enumerate();
        pairs
            .filter(|(place, a)| shortcuts.iter().skip(place + 1).any(|b| same(a, b)))
            .map(|(_, a)| a.words)
            .chain(twice)
            .collect()
    }

    #[test]
    fn no_two_keys_clash() {
        assert_eq!(clashes(&SHORTCUTS), Vec::<&str>::new());
    }

    #[test]
    fn a_clash_would_be_noticed() {
        let mut broken = SHORTCUTS;
        broken[1].keys = broken[0].keys;
        assert_eq!(clashes(&broken), vec![SHORTCUTS[0].words]);
        broken = SHORTCUTS;
        broken[1].keys = KeyboardShortcut::new(Modifiers::NONE, Key::Space);
        assert_eq!(clashes(&broken), vec![labels::SPACE_DOES]);
    }

    #[test]
    fn none_takes_a_key_that_fields_need() {
        // Copying, cutting, pasting, selecting all: the keys egui's fields take (and every desktop's).
        for needed in [Key::C, Key::X, Key::V, Key::A] {
            let taken = SHORTCUTS.iter().any(|shortcut| shortcut.keys == KeyboardShortcut::new(CTRL, needed));
            assert!(!taken, "{needed:?}");
        }
    }
}
