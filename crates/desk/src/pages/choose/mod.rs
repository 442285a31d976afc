//! The answer to the proof: the stones that were shown, which one was chosen, and in which words.

mod card;

use craft::fact::{Choice, ClientFact, MessageKind};
use craft::order::{About, Page, Words};
use craft::studio::{Edit, OrderEdit};
use craft::text::Text;
use egui::{Ui, vec2};
use workbench::present::board;
use workbench::present::choosing::{self, Answer, Round, Way, rounds};
use workbench::present::labels::choose as labels;
use workbench::present::labels::shell::not_yet;
use workbench::present::words;

use super::common;
use crate::cx::{Cx, Wish};
use crate::look::{Face, Tokens, space};
use crate::shell::Side;
use crate::widgets::{
    self, Field, care, fold, form_line, gap, heading, link, main_button, one_of, plain_button, rule, say,
    second,
};

const SAID_KEY: &str = "order/choose/said";

/// The choose page's own state.
#[derive(Debug, Default)]
pub(super) struct ChoosePage {
    picked: Option<Choice>,
    way: Option<Way>,
    changing: bool,
    earlier: bool,
    mending: bool,
    trouble: Option<String>,
    /// The entry an answer was handed in for: what was picked is let go once it is there.
    handed_in: Option<u32>,
}

impl ChoosePage {
    pub(crate) fn ui(&mut self, ui: &mut Ui, cx: &mut Cx<'_>) {
        self.follow(cx);
        let rounds = rounds(cx.view.studio, cx.held, cx.view.now.day());
        let Some((newest, earlier)) = rounds.split_last() else {
            nothing_ui(ui, cx);
            return;
        };
        match &newest.answer {
            Some(answer) if !self.changing => self.answered_ui(ui, cx, newest, answer),
            _ => self.ask_ui(ui, cx, newest),
        }
        gap(ui, space::BLOCK);
        self.earlier_ui(ui, cx, earlier);
        common::words_ui(ui, cx, Page::Choose);
    }

    /// What was picked is let go once the answer is in the record; where it was refused, it stays.
    fn follow(&mut self, cx: &Cx<'_>) {
        let Some(expected) = self.handed_in.take() else { return };
        let mut answers = cx.held.ledger.client.rounds.iter().filter_map(|round| round.answer);
        if answers.any(|(entry, _)| entry == expected) {
            self.leave();
        }
    }

    fn ask_ui(&mut self, ui: &mut Ui, cx: &mut Cx<'_>, round: &Round) {
        heading(ui, labels::which(&client(cx)));
        let second_line =
            if self.changing { labels::CHANGED_SAYS.to_owned() } else { labels::sent(&round.sent) };
        second(ui, second_line);
        gap(ui, 4.0 * space::STEP);
        let picked = match self.picked {
            Some(Choice::Stone(no)) => Some(no),
            _ => None,
        };
        if let Some(no) = card::row_ui(ui, cx, &round.stones, (picked, true)) {
            self.picked = Some(Choice::Stone(no));
        }
        let none = self.picked == Some(Choice::NoneOfThese);
        let options = [(Choice::NoneOfThese, labels::NONE)];
        if one_of(ui, "", none.then_some(&Choice::NoneOfThese), &options).is_some() {
            self.picked = Some(Choice::NoneOfThese);
        }
        gap(ui, 4.0 * space::STEP);
        form_line(ui, cx.drafts, Field::new(SAID_KEY, labels::SAID).wide(520.0).hint(labels::SAID_HINT));
        gap(ui, 2.0 * space::STEP);
        if let Some(way) = one_of(ui, labels::WAY, self.way.as_ref(), &Way::ALL.map(|way| (way, way.words())))
        {
            self.way = Some(way);
        }
        gap(ui, 5.0 * space::STEP);
        self.record_ui(ui, cx);
        reminder_ui(ui, cx);
    }

    fn record_ui(&mut self, ui: &mut Ui, cx: &mut Cx<'_>) {
        let words = match self.picked {
            Some(Choice::Stone(no)) => labels::record(no),
            Some(Choice::NoneOfThese) => labels::RECORD_NONE.to_owned(),
            None => labels::RECORD.to_owned(),
        };
        let enabled = self.picked.is_some();
        let pressed = ui.add_enabled_ui(enabled, |ui| main_button(ui, &words)).inner.clicked();
        match self.picked {
            Some(choice) if pressed => self.record(cx, choice),
            Some(_) => {}
            None => {
                gap(ui, space::STEP);
                second(ui, not_yet(labels::PICK_FIRST));
            }
        }
        if let Some(trouble) = &self.trouble {
            care(ui, trouble.as_str());
        }
        if self.changing && link(ui, labels::KEEP).clicked() {
            self.leave();
            cx.drafts.clear(SAID_KEY);
        }
    }

    /// The answer and the words it came in go into the record together.
    fn record(&mut self, cx: &mut Cx<'_>, choice: Choice) {
        let text = choosing::told(cx.drafts.text(SAID_KEY), self.way);
        match text.parse::<Text>() {
            Ok(text) => {
                let entry = cx.held.order.log.len() + 1;
                let mut edits = vec![cx.fact_edit(ClientFact::Chosen(choice))];
                if !text.is_empty() {
                    let about = About::Entry(entry);
                    edits.push(Edit::Order(cx.tag, OrderEdit::Story(Words { about, text })));
                }
                self.handed_in = Some(entry);
                cx.hand_in(edits, &[SAID_KEY]);
            }
            Err(why) => self.trouble = Some(format!("{}.", words::sentence_start(&why.to_string()))),
        }
    }

    fn leave(&mut self) {
        (self.picked, self.way, self.changing, self.trouble) = (None, None, false, None);
    }

    fn answered_ui(&mut self, ui: &mut Ui, cx: &mut Cx<'_>, round: &Round, answer: &Answer) {
        let (title, chosen) = match answer.choice {
            Choice::Stone(no) => (labels::chosen(no, &answer.day), Some(no)),
            Choice::NoneOfThese => (labels::none_chosen(&answer.day), None),
        };
        heading(ui, title);
        match (answer.said.is_empty(), answer.way) {
            (true, None) => second(ui, labels::NO_WORDS),
            (true, Some(way)) => second(ui, words::sentence_start(way.words()) + "."),
            (false, None) => {
                say(ui, Face::Body, Tokens::of(ui).ink, format!("\u{201c}{}\u{201d}", answer.said))
            }
            (false, Some(way)) => say(
                ui,
                Face::Body,
                Tokens::of(ui).ink,
                format!("\u{201c}{}\u{201d}, {}", answer.said, way.words()),
            ),
        };
        gap(ui, 4.0 * space::STEP);
        card::row_ui(ui, cx, &round.stones, (chosen, false));
        if chosen.is_none() {
            say(ui, Face::Body, Tokens::of(ui).ink_2, labels::NONE_SAYS);
            gap(ui, 3.0 * space::STEP);
        }
        let unsaid = answer.said.is_empty() && answer.way.is_none();
        if unsaid || fold(ui, labels::MEND_WORDS, &mut self.mending) {
            self.words_said_ui(ui, cx, answer);
        }
        gap(ui, 4.0 * space::STEP);
        let set = chosen.is_some_and(|no| cx.held.ledger.fit.set.contains_key(&no));
        if set {
            second(ui, labels::SET_ALREADY);
            return;
        }
        let (words, page) =
            if chosen.is_some() { (labels::TO_FIT, Page::Fit) } else { (labels::TO_PLAN, Page::Plan) };
        ui.horizontal_wrapped(|ui| {
            ui.spacing_mut().item_spacing.x = 5.0 * space::STEP;
            if main_button(ui, words).clicked() {
                cx.go(page);
            }
            if link(ui, labels::CHANGED).clicked() {
                self.changing = true;
            }
        });
    }

    /// The client's words can be written down or mended afterwards.
    fn words_said_ui(&mut self, ui: &mut Ui, cx: &mut Cx<'_>, answer: &Answer) {
        const KEY: &str = "order/choose/words";
        let field = Field::new(KEY, labels::SAID).wide(520.0).hint(labels::SAID_HINT);
        let now: Text = answer.said.parse().unwrap_or_default();
        let said = widgets::words(ui, cx.drafts, field, &now);
        gap(ui, 2.0 * space::STEP);
        let ways = Way::ALL.map(|way| (way, way.words()));
        let way = one_of(ui, labels::WAY, answer.way.as_ref(), &ways);
        if said.is_none() && way.is_none() {
            return;
        }
        let said = said.unwrap_or(now);
        match choosing::told(said.as_str(), way.or(answer.way)).parse::<Text>() {
            Ok(text) => {
                self.trouble = None;
                cx.story(About::Entry(answer.entry), text);
            }
            Err(why) => {
                // With the way it came the words are too long: they stay in the field.
                cx.drafts.put(KEY, said.as_str());
                self.trouble = Some(format!("{}.", words::sentence_start(&why.to_string())));
            }
        }
    }

    fn earlier_ui(&mut self, ui: &mut Ui, cx: &mut Cx<'_>, earlier: &[Round]) {
        if earlier.is_empty() || !fold(ui, labels::EARLIER, &mut self.earlier) {
            return;
        }
        for round in earlier {
            gap(ui, 3.0 * space::STEP);
            rule(ui);
            gap(ui, 3.0 * space::STEP);
            heading(ui, labels::round(round.no));
            let (said, chosen) = match &round.answer {
                Some(answer) => match answer.choice {
                    Choice::Stone(no) => (labels::chosen(no, &answer.day), Some(no)),
                    Choice::NoneOfThese => (labels::none_chosen(&answer.day), None),
                },
                None => (labels::sent(&round.sent), None),
            };
            second(ui, said);
            if let Some(answer) = round.answer.as_ref().filter(|answer| !answer.said.is_empty()) {
                say(ui, Face::Body, Tokens::of(ui).ink, format!("\u{201c}{}\u{201d}", answer.said));
            }
            gap(ui, 2.0 * space::STEP);
            card::row_ui(ui, cx, &round.stones, (chosen, false));
        }
        gap(ui, 4.0 * space::STEP);
    }
}

/// Whose answer it is.
fn client(cx: &Cx<'_>) -> String {
    board::row(cx.view.studio, cx.held, cx.view.now).client
}

/// When a gentle reminder is due, and that it was sent.
fn reminder_ui(ui: &mut Ui, cx: &mut Cx<'_>) {
    let Some((due, day)) = choosing::reminder(cx.view.studio, cx.held, cx.view.now.day()) else { return };
    gap(ui, 5.0 * space::STEP);
    let tokens = Tokens::of(ui);
    ui.horizontal_wrapped(|ui| {
        if due {
            say(ui, Face::Body, tokens.ink, labels::reminder_due(&day));
            if plain_button(ui, labels::REMINDED).clicked() {
                cx.fact(ClientFact::MessageSent { about: MessageKind::Nudge });
            }
            if link(ui, labels::TO_MESSAGES).clicked() {
                cx.wish(Wish::Side(Side::Messages));
            }
        } else {
            say(ui, Face::Body, tokens.ink_2, labels::reminder_later(&day));
        }
    });
}

fn nothing_ui(ui: &mut Ui, cx: &mut Cx<'_>) {
    heading(ui, labels::NOTHING);
    second(ui, labels::NOTHING_SECOND);
    gap(ui, 4.0 * space::STEP);
    if main_button(ui, labels::TO_SHOW).clicked() {
        cx.go(Page::Show);
    }
    ui.allocate_space(vec2(0.0, space::BLOCK));
    common::words_ui(ui, cx, Page::Choose);
}
