//! Material that is held for a client between two orders: what there is for this order, and where it can go from here.

use chrono::NaiveDate;
use craft::fact::LeftOut;
use craft::id::Thing;
use craft::place::Place;
use craft::tag::Tag;
use egui::Ui;
use workbench::handling;
use workbench::present::custody::{HeldRow, held_for, held_heading};
use workbench::present::labels::between as labels;
use workbench::present::{places, words};

use crate::cx::Cx;
use crate::look::{Face, Tokens, space};
use crate::widgets::{Field, care, cells, choice, gap, heading, plain_button, say, second};

/// What was worked out from the whole studio, and what is chosen so far.
#[derive(Debug, Default)]
pub(super) struct Between {
    of: Option<(u64, Tag, NaiveDate)>,
    rows: Vec<HeldRow>,
    /// The client's other orders that are not over.
    others: Vec<(Tag, String)>,
    to: Option<Tag>,
    trouble: Option<String>,
}

impl Between {
    fn look(&mut self, cx: &Cx<'_>) {
        let of = (cx.view.revision, cx.tag, cx.view.now.day());
        if self.of == Some(of) {
            return;
        }
        let (studio, client) = (cx.view.studio, &cx.held.order.client);
        self.rows = held_for(studio, client, of.2);
        let mine = studio.awake().filter(|(_, held)| held.client() == client);
        let open = mine.filter(|(tag, held)| *tag != cx.tag && !held.is_gone());
        self.others = open.map(|(tag, held)| (tag, labels::order(tag, &words::remembered(held)))).collect();
        self.of = Some(of);
    }

    /// What is held for this client from other orders, each to be taken over into this one.
    pub(super) fn here_ui(&mut self, ui: &mut Ui, cx: &mut Cx<'_>) {
        self.look(cx);
        let for_this = |row: &&HeldRow| row.tag != cx.tag && row.to.is_none_or(|to| to == cx.tag);
        let rows: Vec<HeldRow> = self.rows.iter().filter(for_this).cloned().collect();
        if rows.is_empty() || cx.held.ledger.home.is_gone() || cx.held.ledger.client.called_off {
            return;
        }
        let client = cx.view.studio.clients().get(&cx.held.order.client);
        heading(ui, client.map(held_heading).unwrap_or_default());
        second(ui, labels::HERE_SAYS);
        gap(ui, space::STEP);
        for row in rows {
            self.row_ui(ui, cx, &row);
        }
        self.trouble_ui(ui);
        gap(ui, space::BLOCK);
    }

    fn row_ui(&mut self, ui: &mut Ui, cx: &mut Cx<'_>, row: &HeldRow) {
        let mut taken = false;
        cells(ui, &[LABEL, 0.0], |ui, place| {
            if place == 0 {
                say(ui, Face::Strong, Tokens::of(ui).ink, row.label.as_str());
                return;
            }
            say(ui, Face::Body, Tokens::of(ui).ink_2, words::sentence(&row.words));
            if row.ready {
                taken = plain_button(ui, &labels::take_over(&row.label)).clicked();
            } else {
                second(ui, labels::NOT_READY);
            }
        });
        gap(ui, space::STEP);
        if taken {
            self.go_over(cx, (row.tag, row.thing), cx.tag);
        }
    }

    /// What this order holds for its client, each to go over to another of theirs.
    pub(super) fn onward_ui(&mut self, ui: &mut Ui, cx: &mut Cx<'_>) {
        self.look(cx);
        let of_this = |row: &&HeldRow| row.tag == cx.tag && row.to.is_none();
        let own: Vec<HeldRow> = self.rows.iter().filter(of_this).cloned().collect();
        if own.is_empty() {
            return;
        }
        gap(ui, 2.0 * space::STEP);
        say(ui, Face::Strong, Tokens::of(ui).ink, labels::ONWARD);
        if self.others.is_empty() {
            second(ui, labels::NO_OTHER);
            return;
        }
        let to = self.to.filter(|to| self.others.iter().any(|(tag, _)| tag == to));
        let to = to.or(self.others.first().map(|(tag, _)| *tag));
        if self.others.len() > 1 {
            let field = Field::new("order/between/to", labels::WHICH_ORDER).wide(280.0);
            self.to = choice(ui, field, to.as_ref(), &self.others).or(self.to);
        } else if let Some((_, words)) = self.others.first() {
            second(ui, labels::only_other(words));
        }
        let Some(to) = to else { return };
        for row in own {
            if row.ready && plain_button(ui, &labels::pass_on(&row.label)).clicked() {
                self.go_over(cx, (row.tag, row.thing), to);
            } else if !row.ready {
                second(ui, format!("{}: {}", row.label, labels::NOT_READY));
            }
        }
        self.trouble_ui(ui);
    }

    fn trouble_ui(&self, ui: &mut Ui) {
        if let Some(why) = &self.trouble {
            care(ui, workbench::present::labels::shell::not_yet(why));
        }
    }

    /// Both records are written together.
    fn go_over(&mut self, cx: &mut Cx<'_>, (of, thing): (Tag, Thing), to: Tag) {
        let drawer = || places::choices(cx.view.studio).into_iter().nth(1).map(|(place, _)| place);
        let kept = cx.view.studio.orders().get(&of).and_then(|held| held.ledger.custody.things.get(&thing));
        let place = kept.map(|kept| kept.place.clone()).filter(|place| matches!(place, Place::Kept(_)));
        let place = place.or_else(drawer).unwrap_or(Place::Bench);
        match handling::take_over(cx.view.studio, (of, thing), to, place, cx.view.now) {
            Ok(edits) => {
                self.trouble = None;
                cx.hand_in(edits, &[]);
            }
            Err(why) => self.trouble = Some(why),
        }
    }
}

/// True where something of this order is held for its client.
pub(super) fn holds_any(cx: &Cx<'_>) -> bool {
    let mut things = cx.held.ledger.custody.things.values();
    things.any(|kept| kept.left_out == Some(LeftOut::HeldForClient) && kept.is_here())
}

/// The column of a label with its tag.
const LABEL: f32 = 112.0;
