//! That the proof is sent: recorded alike, in the same words, wherever it is said.

use craft::order::{About, Words};
use craft::studio::{Edit, OrderEdit};
use craft::text::Text;
use egui::Ui;
use workbench::present::labels::show as labels;
use workbench::present::showing::{self, Sending};

use crate::cx::Cx;
use crate::look::{Face, Tokens, space};
use crate::pages::after::late;
use crate::widgets::{cells, gap, main_button, plain_button, say};

/// The day in the field, on whichever page it was typed.
const DAY: &str = "order/proof/sent";

/// How heavy the button is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::pages) enum Weight {
    /// It is the page's next thing to do.
    Main,
    /// It can be done here too.
    Plain,
}

/// The day on which the proof went, or what records that it is sent, with the words it went with where they are known.
/// False where there is no sheet to send.
pub(in crate::pages) fn sent_ui(ui: &mut Ui, cx: &mut Cx<'_>, said: Option<&Text>, weight: Weight) -> bool {
    match showing::sending(cx.held) {
        Sending::Nothing => return false,
        Sending::Sent(day) => {
            say(ui, Face::Body, Tokens::of(ui).ink_2, showing::went(day, cx.view.now));
        }
        Sending::Waits(..) => waits_ui(ui, cx, said, weight),
    }
    true
}

fn waits_ui(ui: &mut Ui, cx: &mut Cx<'_>, said: Option<&Text>, weight: Weight) {
    let mut when = late::When::Now;
    cells(ui, &[170.0, 210.0], |ui, place| {
        if place == 0 {
            when = late::day_ui(ui, cx, DAY, labels::SENT_DAY);
            return;
        }
        let pressed = match weight {
            Weight::Main => {
                gap(ui, 18.0);
                main_button(ui, labels::SEND)
            }
            Weight::Plain => {
                gap(ui, 5.0 * space::STEP + space::TIGHT);
                plain_button(ui, labels::SEND)
            }
        };
        if pressed.clicked() {
            record(cx, when, said);
        }
    });
}

/// One after the other: the words are about the message's entry, so they are not said where that is refused.
fn record(cx: &mut Cx<'_>, when: late::When, said: Option<&Text>) {
    let facts = showing::proof_sent(cx.held, said.is_some());
    let last = (0_u32..).zip(&facts).last().map_or(0, |(place, _)| place);
    let message = cx.held.order.log.len() + 1 + last;
    let facts: Option<Vec<Edit>> = facts.into_iter().map(|fact| late::told(cx, when, fact)).collect();
    let Some(mut edits) = facts else { return };
    let words = said.cloned().map(|text| Words { about: About::Entry(message), text });
    edits.extend(words.map(|words| Edit::Order(cx.tag, OrderEdit::Story(words))));
    cx.hand_in(edits, &[DAY]);
}
