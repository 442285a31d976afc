//! What every page has: what is missing with a way there, what is known, the cautions of the work on it, and the words
//! the maker writes about it.

use craft::id::Thing;
use craft::order::{About, Page};
use egui::Ui;
use egui::text::{LayoutJob, TextFormat};
use workbench::present::cautions::{self, Hazard};
use workbench::present::pages::PageView;
use workbench::present::words;

use crate::cx::Cx;
use crate::look::{Face, Tokens, space};
use crate::widgets::{Field, focus, gap, heading, link, plain_button, say, text};
use workbench::present::labels::common as labels;
use workbench::present::labels::shell as labels_shell;

/// What is missing, each with the way to where it is mended.
pub(super) fn missing_ui(ui: &mut Ui, cx: &mut Cx<'_>, told: &PageView) {
    if told.missing.is_empty() {
        return;
    }
    let tokens = Tokens::of(ui);
    for missing in &told.missing {
        ui.horizontal_wrapped(|ui| {
            say(ui, Face::Body, tokens.care, labels_shell::not_yet(&missing.words));
            if missing.go != told.page && link(ui, &labels::way_to(missing.go)).clicked() {
                cx.go(missing.go);
            }
        });
    }
    gap(ui, 4.0 * space::STEP);
}

/// Says that something cannot be found, which is asked twice; true once it is sure. `asked` remembers what was asked of.
pub(super) fn lost_ui(ui: &mut Ui, asked: &mut Option<Thing>, thing: Thing, words: &str) -> bool {
    let yes = labels::lost_yes(thing);
    sure_ui(ui, asked, thing, [words, labels::LOST_ASK, &yes, labels::LOST_NO])
}

/// A button for what cannot be taken back: it is asked twice, the second time in another place, so that no double click
/// answers for the hand. True once it is sure. The words are the button's, the question, the yes and the no.
pub(super) fn sure_ui<T: Copy + PartialEq>(
    ui: &mut Ui,
    asked: &mut Option<T>,
    of: T,
    [words, ask, yes, no]: [&str; 4],
) -> bool {
    if *asked != Some(of) {
        if plain_button(ui, words).clicked() {
            *asked = Some(of);
        }
        return false;
    }
    let mut sure = false;
    ui.vertical(|ui| {
        say(ui, Face::Body, Tokens::of(ui).care, ask);
        gap(ui, space::STEP);
        ui.horizontal_wrapped(|ui| {
            sure = plain_button(ui, yes).clicked();
            if sure || plain_button(ui, no).clicked() {
                *asked = None;
            }
        });
    });
    sure
}

/// The maker's own words about a page.
pub(super) fn words_ui(ui: &mut Ui, cx: &mut Cx<'_>, which: Page) {
    let now = cx.held.order.story.about(About::Page(which)).cloned().unwrap_or_default();
    let key = format!("order/words/{}", words::page(which));
    let field = Field::new(&key, labels::WORDS).wide(620.0);
    if cx.drafts.are_words_wanted() {
        focus(ui, cx.drafts, &key);
    }
    if let Some(said) = text(ui, cx.drafts, field, &now) {
        cx.story(About::Page(which), said);
    }
    gap(ui, 4.0 * space::STEP);
}

/// The cautions that belong to the work on a page, quiet but never hidden.
pub(super) fn cautions_ui(ui: &mut Ui, cx: &Cx<'_>, which: Page) {
    let hazards = cautions::on_page(which, cx.held);
    if hazards.is_empty() {
        return;
    }
    let tokens = Tokens::of(ui);
    heading(ui, labels::CARE);
    for hazard in hazards {
        caution_ui(ui, hazard);
    }
    say(ui, Face::Second, tokens.ink_3, cautions::DEFERS_TO);
}

fn caution_ui(ui: &mut Ui, hazard: Hazard) {
    let tokens = Tokens::of(ui);
    let mut job = LayoutJob::default();
    let set = |face: Face, ink| TextFormat { font_id: face.font(), color: ink, ..TextFormat::default() };
    job.append(&format!("{}: ", words::sentence_start(hazard.title())), 0.0, set(Face::Strong, tokens.care));
    job.append(hazard.words(), 0.0, set(Face::Body, tokens.ink_2));
    ui.label(job);
}

/// How many columns stand side by side, at least one.
pub(super) fn columns_in(width: f32, column: f32) -> usize {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a handful of columns, at least one"
    )]
    let columns = (width / column).floor().max(1.0) as usize;
    columns
}
