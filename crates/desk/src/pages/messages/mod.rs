//! The message desk: the moments at which a client hears from the studio, with ready words to carry over.

mod letter;
mod log;

use craft::fact::MessageKind;
use egui::Ui;
use workbench::present::labels::messages as labels;
use workbench::present::messages::{Modules, Stands, moments};

use crate::cx::Cx;
use crate::look::{Face, Tokens, space};
use crate::widgets::{Column, cells, columns, gap, heading, rule, say, tab};

/// The message desk's own state.
#[derive(Debug, Default)]
pub(crate) struct MessagesPage {
    open: Option<MessageKind>,
    /// The moments that are written by hand.
    by_hand: Vec<MessageKind>,
    phone: bool,
    /// The code of the words it was made of.
    code: Option<(String, Result<Modules, String>)>,
    copied: Option<String>,
    /// The sent message whose words are shown.
    shown: Option<u32>,
}

impl MessagesPage {
    pub(crate) fn ui(&mut self, ui: &mut Ui, cx: &mut Cx<'_>) {
        let moments = moments(cx.view.studio, cx.tag, cx.view.now);
        let open = self.open.unwrap_or_else(|| latest(&moments));
        let wide = ui.available_width() >= 700.0;
        columns(ui, 0.29, |ui, column| match column {
            Column::First => {
                self.moments_ui(ui, cx, (&moments, open), wide);
                if wide {
                    gap(ui, space::BLOCK);
                    self.log_ui(ui, cx);
                }
            }
            Column::Second => self.letter_ui(ui, cx, open),
        });
        if !wide {
            gap(ui, space::BLOCK);
            self.log_ui(ui, cx);
        }
    }

    fn moments_ui(
        &mut self,
        ui: &mut Ui,
        cx: &Cx<'_>,
        of: (&[(MessageKind, Stands)], MessageKind),
        wide: bool,
    ) {
        let (moments, open) = of;
        let today = cx.view.now.day();
        heading(ui, labels::MOMENTS);
        gap(ui, space::STEP);
        if !wide {
            ui.horizontal_wrapped(|ui| {
                ui.spacing_mut().item_spacing.x = 5.0 * space::STEP;
                for (kind, stands) in moments {
                    self.moment_ui(ui, (*kind, *stands), open, &labels::stands(*stands, today));
                }
            });
            return;
        }
        for (kind, stands) in moments {
            let said = labels::stands(*stands, today);
            cells(ui, &[118.0, 108.0], |ui, place| {
                if place == 0 {
                    self.moment_ui(ui, (*kind, *stands), open, &said);
                    return;
                }
                let tokens = Tokens::of(ui);
                let (face, ink) = match stands {
                    Stands::Ready => (Face::SecondStrong, tokens.ink),
                    Stands::Sent(_) | Stands::NotNow => (Face::Second, tokens.ink_3),
                };
                gap(ui, space::STEP);
                say(ui, face, ink, &*said);
            });
            rule(ui);
        }
    }

    fn moment_ui(&mut self, ui: &mut Ui, of: (MessageKind, Stands), open: MessageKind, said: &str) {
        let (kind, stands) = of;
        let past = !matches!(stands, Stands::NotNow);
        let name = workbench::present::words::message(kind);
        let response = tab(ui, name, kind == open, past).accessible_name(labels::moment(kind, said));
        if response.clicked() && kind != open {
            self.open = Some(kind);
            (self.phone, self.copied) = (false, None);
        }
    }
}

/// The latest moment that is ready, for what came before it is over; else the last one that was sent, else the first.
fn latest(moments: &[(MessageKind, Stands)]) -> MessageKind {
    let ready = moments.iter().rev().find(|(_, stands)| *stands == Stands::Ready);
    let sent = moments.iter().rev().find(|(_, stands)| matches!(stands, Stands::Sent(_)));
    ready.or(sent).map_or(MessageKind::KitPosted, |(kind, _)| *kind)
}
