//! Photos on a page: taken in by their path, by the system's dialog or dropped.

use std::path::PathBuf;

use craft::id::Thing;
use craft::text::Line;
use egui::Ui;
use workbench::action::{Action, Job, Purpose, Source};
use workbench::present::labels::pack as labels;

use crate::cx::Cx;
use crate::look::{Face, Tokens};
use crate::widgets::{Field, form_line, plain_button, say};

/// What a photo will be of.
#[derive(Clone, Copy, Debug)]
pub(in crate::pages) struct Wanted<'a> {
    /// The key of its path among the drafts.
    pub(in crate::pages) key: &'a str,
    /// The thing; none for the box as a whole.
    pub(in crate::pages) of: Option<Thing>,
    /// The same in words: "the packed box".
    pub(in crate::pages) words: &'a str,
}

/// A path field, a button for the system's dialog, and what is being taken in.
pub(in crate::pages) fn take_in_ui(ui: &mut Ui, cx: &mut Cx<'_>, wanted: Wanted<'_>) {
    let tag = cx.tag;
    if plain_button(ui, &labels::choose_photos(wanted.words)).clicked() {
        cx.act(Action::Pick(match wanted.of {
            Some(thing) => Purpose::Photos { tag, of: Some(thing) },
            None => Purpose::BoxPhoto { tag },
        }));
    }
    let label = labels::photo_path(wanted.words);
    let response =
        form_line(ui, cx.drafts, Field::new(wanted.key, &label).wide(260.0).hint(labels::PHOTO_HINT));
    let entered = response.lost_focus() && ui.input(|input| input.key_pressed(egui::Key::Enter));
    let path = cx.drafts.text(wanted.key).trim().to_owned();
    if !path.is_empty() {
        let pressed = plain_button(ui, &labels::take_in(wanted.words)).clicked();
        if pressed || entered {
            let source = Source::File(PathBuf::from(path));
            cx.act(Action::Start(match wanted.of {
                Some(thing) => Job::TakePhoto { tag, of: Some(thing), caption: Line::default(), source },
                None => Job::TakeBoxPhoto { tag, source },
            }));
            cx.drafts.clear(wanted.key);
        }
    }
    let tokens = Tokens::of(ui);
    say(ui, Face::Second, tokens.ink_3, labels::DROP);
    for row in &cx.view.jobs {
        if matches!(row.job, Job::TakePhoto { tag, .. } | Job::TakeBoxPhoto { tag, .. } if *tag == cx.tag) {
            say(ui, Face::Second, tokens.ink_2, row.words());
        }
    }
}
