//! Which papers of a box are ready, and the way to them.

use craft::fact::PaperKind;
use craft::studio::Held;
use craft::tag::Tag;
use egui::Ui;
use workbench::action::{Action, Job};
use workbench::present::labels::pack as labels;
use workbench::present::paper_rows::{is_issued, out_of_date};
use workbench::present::words;

use crate::cx::{Cx, Wish};
use crate::look::{Face, Tokens, space};
use crate::pages::kept::Kept;
use crate::shell::Side;
use crate::widgets::{heading, link, say};

/// How the papers of a box stand.
#[derive(Debug)]
pub(super) struct Issued {
    ready: Vec<PaperKind>,
    /// Those that name what has changed since, and what that is.
    old: Vec<(PaperKind, String)>,
    missing: Vec<PaperKind>,
}

impl Issued {
    fn of(held: &Held) -> Self {
        let poured = held.ledger.client_stones().next().is_some();
        let kinds = [PaperKind::Packing, PaperKind::Care];
        let kinds = kinds.into_iter().filter(|kind| *kind != PaperKind::Care || poured);
        let old: Vec<(PaperKind, String)> =
            kinds.clone().filter_map(|kind| Some((kind, out_of_date(held, kind)?))).collect();
        let is_old = |kind: &PaperKind| old.iter().any(|(old, _)| old == kind);
        let (ready, missing) = kinds.filter(|kind| !is_old(kind)).partition(|kind| is_issued(held, *kind));
        Self { ready, old, missing }
    }
}

/// Which papers are ready, which are missing or out of date, and the way to them.
pub(super) fn ui(ui: &mut Ui, cx: &mut Cx<'_>, issued: &mut Kept<(Tag, u64), Issued>) {
    let tokens = Tokens::of(ui);
    heading(ui, labels::PAPERS);
    let gone = cx.held.ledger.home.is_gone();
    let held = cx.held;
    let Issued { ready, old, missing } = issued.get((cx.tag, cx.view.revision), || Issued::of(held));
    let names =
        |kinds: &[PaperKind]| words::list(&kinds.iter().map(|kind| words::paper(*kind)).collect::<Vec<_>>());
    if !ready.is_empty() {
        say(ui, Face::Body, tokens.ink_2, labels::papers_ready(&names(ready)));
    }
    for (_, why) in old {
        say(ui, Face::Body, tokens.care, words::sentence(why));
    }
    if !missing.is_empty() {
        say(ui, Face::Body, tokens.ink_2, labels::papers_missing(&names(missing)));
    }
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing.x = 5.0 * space::STEP;
        let again = old.iter().map(|(kind, _)| (*kind, labels::issue_again(words::paper(*kind))));
        let first = missing.iter().map(|kind| (*kind, labels::issue(words::paper(*kind))));
        for (kind, way) in again.chain(first) {
            let job = Job::IssuePaper { tag: cx.tag, kind };
            let row = cx.view.jobs.iter().find(|row| *row.job == job);
            if let Some(row) = row {
                say(ui, Face::Body, tokens.ink_2, row.words());
            } else if (kind == PaperKind::Care || !gone) && link(ui, &way).clicked() {
                cx.act(Action::Start(job));
            }
        }
        // A card can be lost, or arrive torn: it is there to be sent again.
        if gone && ready.contains(&PaperKind::Care) && link(ui, labels::CARE_AGAIN).clicked() {
            cx.wish(Wish::Paper(PaperKind::Care));
        }
        if link(ui, labels::LOOK_AND_PRINT).clicked() {
            cx.wish(Wish::Side(Side::Papers));
        }
    });
}
