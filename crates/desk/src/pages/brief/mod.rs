//! The first page of an order, brief: who is remembered, what is wanted, whose it is, what it costs, and who does what.

mod cost;
mod enquiry;
mod errands;
mod remembered;
mod wanted;
mod whose;

use craft::order::{Dated, ErrandKind, Page};
use craft::text::Line;
use egui::Ui;
use workbench::present::labels::brief as labels;
use workbench::present::pages::page;

pub(super) use enquiry::onward_ui;

use super::between::Between;
use super::common;
use crate::cx::Cx;
use crate::look::{Face, Tokens, space};
use crate::widgets::{Column, columns, gap, rule, say};

/// How far calling the order off is, which is not done by one slip.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
enum CallingOff {
    #[default]
    No,
    /// It is asked whether it is meant.
    Asked,
    /// It was just handed in: what is said of it is brought into sight.
    HandedIn,
}

/// The own state of the page brief.
#[derive(Debug, Default)]
pub(super) struct BriefPage {
    /// The address and the note of the client are shown.
    address: bool,
    /// The errand that is being changed: its kind and its place among those of the kind.
    errand: Option<(ErrandKind, usize)>,
    /// The kit's parcel is shown though it has gone.
    kit: bool,
    calling_off: CallingOff,
    /// A form was handed in as it is, so that its empty fields say what is wanted.
    tried: Option<&'static str>,
    /// The day and the word that were handed in: their fields are empty again once they stand on the sheet.
    adding: (Option<Dated>, Option<Line>),
}

impl BriefPage {
    pub(crate) fn ui(&mut self, ui: &mut Ui, cx: &mut Cx<'_>, between: &mut Between) {
        self.next_ui(ui, cx);
        if let Some(told) = page(cx.view.studio, cx.tag, Page::Brief, cx.view.now)
            && let Some(words) = labels::still_open(told.missing.iter().map(|missing| missing.words.as_str()))
        {
            gap(ui, 2.0 * space::STEP);
            ui.scope(|ui| {
                // Its lines stand as close as those of any other words.
                ui.spacing_mut().item_spacing.x = space::STEP;
                ui.spacing_mut().interact_size.y = 0.0;
                ui.horizontal_wrapped(|ui| {
                    say(ui, Face::SecondStrong, Tokens::of(ui).ink_2, labels::STILL_OPEN);
                    say(ui, Face::Second, Tokens::of(ui).ink_2, words);
                });
            });
        }
        gap(ui, 3.0 * space::STEP);
        rule(ui);
        gap(ui, 5.0 * space::STEP);
        columns(ui, 0.5, |ui, column| match column {
            Column::First => {
                self.remembered_ui(ui, cx);
                gap(ui, space::BLOCK);
                wanted::ui(ui, cx);
            }
            Column::Second => {
                self.whose_ui(ui, cx);
                gap(ui, space::BLOCK);
                cost::ui(ui, cx);
                gap(ui, space::BLOCK);
                self.errands_ui(ui, cx);
            }
        });
        gap(ui, space::BLOCK);
        between.here_ui(ui, cx);
        common::words_ui(ui, cx, Page::Brief);
        common::cautions_ui(ui, cx, Page::Brief);
        self.calling_off_ui(ui, cx);
    }
}

/// Down to where the fields stand beside which something is put: the height of a label.
fn beside_fields(ui: &mut Ui) {
    gap(ui, 22.0);
}
