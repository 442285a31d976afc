//! One message: its words to be looked over, copied or carried to the phone, and noted as sent.

use craft::fact::{ClientFact, MessageKind};
use craft::order::{About, Page, Words};
use craft::studio::{Edit, OrderEdit};
use craft::text::Text;
use egui::{Sense, Ui, vec2};
use workbench::present::labels::messages as labels;
use workbench::present::labels::shell::not_yet;
use workbench::present::messages::{Message, Modules, message, never_said, qr};

use super::MessagesPage;
use crate::cx::{Cx, Wish};
use crate::draw;
use crate::look::{Face, Tokens, space};
use crate::pages::after::late;
use crate::pages::show;
use crate::widgets::{
    Field, care, cells, fold, form_area, gap, heading, link, main_button, plain_button, say, second,
    sentence, wrong,
};

/// The largest a code is drawn.
const CODE: f32 = 380.0;

fn key(kind: MessageKind) -> String {
    format!("order/message/{kind}")
}

/// The ready words that a draft began from.
fn began(kind: MessageKind) -> String {
    format!("order/letter/{kind}/began")
}

impl MessagesPage {
    pub(super) fn letter_ui(&mut self, ui: &mut Ui, cx: &mut Cx<'_>, kind: MessageKind) {
        heading(ui, labels::title(kind));
        gap(ui, space::STEP);
        match message(cx.view.studio, cx.tag, kind, cx.view.now) {
            Ok(message) => self.ready_ui(ui, cx, kind, &message),
            Err(why) => {
                care(ui, not_yet(why));
                if self.by_hand.contains(&kind) {
                    gap(ui, 2.0 * space::STEP);
                    self.words_ui(ui, cx, kind, "");
                } else if link(ui, labels::BY_HAND).clicked() {
                    self.by_hand.push(kind);
                }
            }
        }
    }

    fn ready_ui(&mut self, ui: &mut Ui, cx: &mut Cx<'_>, kind: MessageKind, message: &Message) {
        let tokens = Tokens::of(ui);
        if let Some(hold) = &message.hold {
            care(ui, hold.as_str());
            gap(ui, space::STEP);
        }
        sentence(ui, |ui| {
            say(ui, Face::Body, tokens.ink_3, labels::TO);
            if message.to.is_empty() {
                say(ui, Face::Body, tokens.ink_2, labels::NOWHERE);
                if link(ui, &workbench::present::labels::brief::to_page(Page::Brief)).clicked() {
                    cx.go(Page::Brief);
                }
            } else {
                say(ui, Face::Body, tokens.ink, message.to.as_str());
                if link(ui, labels::COPY_TO).clicked() {
                    self.copy(cx, &message.to);
                }
            }
        });
        sentence(ui, |ui| {
            say(ui, Face::Body, tokens.ink_3, labels::SUBJECT);
            say(ui, Face::Strong, tokens.ink, message.subject.as_str());
            if link(ui, labels::COPY_SUBJECT).clicked() {
                self.copy(cx, &message.subject);
            }
        });
        gap(ui, 2.0 * space::STEP);
        self.words_ui(ui, cx, kind, &message.body);
    }

    /// The words in their field, and what can be done with them.
    fn words_ui(&mut self, ui: &mut Ui, cx: &mut Cx<'_>, kind: MessageKind, ready: &str) {
        let key = key(kind);
        // Words that nobody has touched follow the record; words that were changed stay as they are, and so does what
        // they began from, for the page forgets it when another order is opened.
        let began = began(kind);
        let untouched = match cx.drafts.get(&began) {
            None => cx.drafts.text(&key).is_empty(),
            Some(old) => old != ready && cx.drafts.text(&key) == old,
        };
        if untouched {
            cx.drafts.put(&key, ready);
            cx.drafts.put(&began, ready);
        }
        form_area(ui, cx.drafts, Field::new(&key, labels::WORDS).wide(0.0));
        let said = cx.drafts.text(&key).to_owned();
        if said != ready && !ready.is_empty() && link(ui, labels::RESTORE).clicked() {
            cx.drafts.put(&key, ready);
            cx.drafts.put(&began, ready);
        }
        let never = never_said(cx.held, &[&said]);
        if let Some(never) = &never {
            care(ui, labels::never(never));
        }
        let kept = said.parse::<Text>();
        if let Err(why) = &kept {
            wrong(ui, &why.to_string());
        }
        gap(ui, 2.0 * space::STEP);
        let phone = self.phone;
        let can = never.is_none() && kept.as_ref().is_ok_and(|kept| !kept.is_empty());
        ui.horizontal_wrapped(|ui| {
            ui.spacing_mut().item_spacing.x = 5.0 * space::STEP;
            ui.add_enabled_ui(can, |ui| {
                if main_button(ui, labels::COPY).clicked() {
                    self.copy(cx, &said);
                }
            });
            if can {
                fold(ui, labels::PHONE, &mut self.phone);
            }
        });
        if self.copied.as_deref() == Some(said.as_str()) {
            second(ui, labels::COPIED);
        }
        if can && self.phone {
            self.code_ui(ui, &said, !phone);
        }
        gap(ui, 4.0 * space::STEP);
        // Words that cannot be kept would be lost, so nothing is noted of them.
        if let Ok(text) = kept {
            let said = can.then_some(&text);
            // The proof is sent as a whole: its sheet, and the message with it.
            if kind != MessageKind::Proof || !show::sent_ui(ui, cx, said, show::Weight::Plain) {
                sent_ui(ui, cx, kind, said);
            }
        }
    }

    fn copy(&mut self, cx: &mut Cx<'_>, words: &str) {
        self.copied = Some(words.to_owned());
        cx.wish(Wish::Copy(words.to_owned()));
    }

    /// The code, brought into sight where it has just been asked for.
    fn code_ui(&mut self, ui: &mut Ui, said: &str, opened: bool) {
        if self.code.as_ref().is_none_or(|(words, _)| words != said) {
            self.code = Some((said.to_owned(), qr(said).map_err(|why| why.to_string())));
        }
        gap(ui, 2.0 * space::STEP);
        match self.code.as_ref().map(|(_, code)| code) {
            Some(Ok(Modules { side, dark })) => {
                second(ui, labels::PHONE_HINT);
                let room = CODE.min(ui.available_width());
                let (rect, response) = ui.allocate_exact_size(vec2(room, room), Sense::hover());
                response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Image, true, labels::CODE));
                if draw::qr::qr(ui.painter(), rect, dark, *side).is_none() {
                    care(ui, labels::NO_ROOM);
                }
                if opened {
                    response.scroll_to_me(Some(egui::Align::Center));
                }
            }
            Some(Err(why)) => {
                care(ui, format!("{}.", workbench::present::words::sentence_start(why)));
            }
            None => {}
        }
    }
}

/// Notes that it went out, with the words as they stood.
fn sent_ui(ui: &mut Ui, cx: &mut Cx<'_>, kind: MessageKind, said: Option<&Text>) {
    let day = format!("{}/sent", key(kind));
    let mut when = late::When::Now;
    cells(ui, &[170.0, 190.0], |ui, place| {
        if place == 0 {
            when = late::day_ui(ui, cx, &day, labels::SENT_DAY);
            return;
        }
        gap(ui, 22.0);
        if !plain_button(ui, labels::SENT).clicked() {
            return;
        }
        let Some(fact) = late::told(cx, when, ClientFact::MessageSent { about: kind }) else { return };
        let entry = cx.held.order.log.len() + 1;
        let words = said.cloned().map(|text| Words { about: About::Entry(entry), text });
        let words = words.map(|words| Edit::Order(cx.tag, OrderEdit::Story(words)));
        // One after the other: the words are about the entry, so they are not said where it is refused.
        cx.hand_in(std::iter::once(fact).chain(words).collect(), &[&day]);
    });
}
