//! The tag that is read off the thing in the hand: typed, scanned or picked, and compared with the open order.

use craft::fact::{Check, How};
use craft::id::Thing;
use craft::tag::Tag;
use egui::{Key, Ui};
use workbench::present::labels::pack as labels;
use workbench::present::{tag_words, words};

use crate::cx::Cx;
use crate::look::{Face, Tokens, space};
use crate::widgets::{Field, fold, form_line, plain_button, say};

/// Letters that come faster than this, in seconds for a whole tag, come from a scanner.
const SCANNED_S: f64 = 0.3;

/// What the field remembers between frames. The key of its draft begins with "once/": a tag that was read off a thing is
/// forgotten when the order is left.
#[derive(Debug, Default)]
pub(in crate::pages) struct TagField {
    began_s: f64,
    before: String,
    /// Everything that stands in the field came letter by letter, and was seen coming.
    seen: bool,
    how: Option<How>,
    wants_focus: bool,
    picking: bool,
}

/// What came of one frame.
#[derive(Debug)]
pub(in crate::pages) struct Read {
    /// The comparison, where the tag is this order's and was not read off another thing.
    pub(in crate::pages) check: Option<Check>,
    /// Enter was pressed on a tag that is this order's.
    pub(in crate::pages) entered: bool,
    /// The thing off which it was read, where the whole label says so.
    pub(in crate::pages) thing: Option<Thing>,
}

impl TagField {
    /// Asks for the keyboard.
    pub(in crate::pages) fn ask(&mut self) {
        self.wants_focus = true;
    }

    /// The field; `of` is the thing off which the tag has to be read, where only one can be meant.
    pub(in crate::pages) fn ui(
        &mut self,
        ui: &mut Ui,
        cx: &mut Cx<'_>,
        (key, label): (&str, &str),
        of: Option<Thing>,
    ) -> Read {
        let tokens = Tokens::of(ui);
        let mut picking = self.picking;
        let right = tag_words::read(cx.view.studio, cx.tag, cx.drafts.text(key)).is_ok();
        let response = ui.horizontal_top(|ui| {
            let field = Field::new(key, label).wide(250.0).hint(labels::TAG_HINT);
            let response = form_line(ui, cx.drafts, field);
            if !right {
                ui.vertical(|ui| {
                    ui.add_space(23.0);
                    fold(ui, labels::PICK, &mut picking);
                });
            }
            response
        });
        let response = response.inner;
        self.picking = picking;
        if std::mem::take(&mut self.wants_focus) {
            response.request_focus();
        }
        let text = cx.drafts.text(key).to_owned();
        self.follow(ui, &text, response.has_focus() || response.lost_focus());
        let read = tag_words::read(cx.view.studio, cx.tag, &text);
        let off_another = read.as_ref().ok().and_then(|label| tag_words::off_another(*label, of));
        match (&read, &off_another) {
            (Ok(label), None) => {
                let name = words::remembered(cx.held);
                let said = label.thing.map(|thing| labels::label_is(&name, thing));
                say(ui, Face::Second, tokens.ink_2, said.unwrap_or_else(|| labels::tag_is(&name)));
            }
            (Err(_), _) if text.trim().is_empty() || (response.has_focus() && text.trim().len() < 6) => {}
            (Ok(_), Some(why)) | (Err(why), _) => {
                say(ui, Face::Second, tokens.care, format!("{}.", words::sentence_start(why)));
            }
        }
        if read.is_err() {
            self.pick_ui(ui, cx, key);
        }
        let entered = response.lost_focus() && ui.input(|input| input.key_pressed(Key::Enter));
        let Ok(label) = read else { return Read { check: None, entered: false, thing: None } };
        let check = Check { how: self.how.unwrap_or(How::Typed), tag: label.tag };
        Read { check: off_another.is_none().then_some(check), entered, thing: label.thing }
    }

    /// Notices how the letters come.
    fn follow(&mut self, ui: &Ui, text: &str, has_keyboard: bool) {
        if text == self.before {
            return;
        }
        let (now_s, came) = ui.input(|input| {
            let came = |event: &egui::Event| matches!(event, egui::Event::Text(_));
            let pasted = |event: &egui::Event| matches!(event, egui::Event::Paste(_));
            (input.time, input.events.iter().any(came) && !input.events.iter().any(pasted))
        });
        let came = came && has_keyboard;
        if self.before.trim().is_empty() {
            self.began_s = now_s;
            self.seen = came;
        }
        self.seen &= came;
        if self.how != Some(How::Picked) || text.parse::<Tag>().is_err() {
            let quick = self.seen && now_s - self.began_s < SCANNED_S;
            self.how = Some(if quick { How::Scanned } else { How::Typed });
        }
        text.clone_into(&mut self.before);
    }

    fn pick_ui(&mut self, ui: &mut Ui, cx: &mut Cx<'_>, key: &str) {
        if !self.picking {
            return;
        }
        say(ui, Face::Second, Tokens::of(ui).ink_2, labels::PICK_SAYS);
        let mut picked: Option<Tag> = None;
        ui.horizontal_wrapped(|ui| {
            ui.spacing_mut().item_spacing.x = 2.0 * space::STEP;
            for tag in tag_words::to_pick(cx.view.board, cx.tag) {
                if plain_button(ui, &tag.to_string()).clicked() {
                    picked = Some(tag);
                }
            }
        });
        if let Some(tag) = picked {
            let text = tag.to_string();
            self.how = Some(How::Picked);
            self.before.clone_from(&text);
            cx.drafts.put(key, text);
            self.picking = tag != cx.tag;
        }
    }
}
