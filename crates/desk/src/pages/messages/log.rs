//! What was sent, with its words.

use craft::order::About;
use egui::Ui;
use workbench::present::labels::messages as labels;
use workbench::present::messages::sent;

use super::MessagesPage;
use crate::cx::Cx;
use crate::look::{Face, Tokens, space};
use crate::widgets::{fold, gap, heading, say, second};

impl MessagesPage {
    pub(super) fn log_ui(&mut self, ui: &mut Ui, cx: &Cx<'_>) {
        let tokens = Tokens::of(ui);
        heading(ui, labels::LOG);
        gap(ui, space::STEP);
        let sent = sent(cx.held);
        if sent.is_empty() {
            second(ui, labels::LOG_EMPTY);
        }
        for one in &sent {
            let title = labels::sent(one.kind, one.day, cx.view.now.day());
            let words = cx.held.order.story.about(About::Entry(one.entry));
            say(ui, Face::Body, tokens.ink, title.as_str());
            let Some(words) = words else {
                say(ui, Face::Second, tokens.ink_3, labels::NO_WORDS);
                continue;
            };
            let mut open = self.shown == Some(one.entry);
            ui.push_id(one.entry, |ui| fold(ui, &labels::show(&title), &mut open));
            if open {
                second(ui, words.as_str());
                self.shown = Some(one.entry);
            } else if self.shown == Some(one.entry) {
                self.shown = None;
            }
            gap(ui, space::STEP);
        }
    }
}
