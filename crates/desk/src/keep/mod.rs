//! Safe keeping: what was found, what is not on the disk, backups, earlier versions, the list of orders, and forgetting
//! a client. What is urgent stands on top, and what is rare under its fold.

mod backup;
mod earlier;
mod forget;
mod found;
pub(crate) mod hand_over;

use std::path::Path;

use chrono::NaiveDate;
use craft::id::DocId;
use craft::tag::Tag;
use egui::{Align, Layout, Response, Ui};
use workbench::action::{Action, Job, Nav};
use workbench::keeping::Keep;
use workbench::present::labels::keeping as labels;
use workbench::present::labels::shell::not_yet;
use workbench::present::words::sentence;
use workbench::present::{reading_words, saving_words};
use workbench::view::View;

use self::backup::BackupUi;
use self::earlier::Earlier;
use self::forget::ForgetUi;
use self::found::FoundUi;
use crate::cx::{Asked, Wish};
use crate::look::{Face, Tokens, space};
use crate::shell::undo::undo_ui;
use crate::widgets::{
    Drafts, PathForm, Running, care, gap, heading, link, path_form, plain_button, rule, say, scrolled,
    second, sentence as line_of,
};

/// What a part of this page is handed for one frame.
#[derive(Debug)]
pub(crate) struct Kx<'a> {
    /// What there is to be seen.
    pub(crate) view: &'a View<'a>,
    /// The studio's folder.
    pub(crate) root: Option<&'a Path>,
    /// What is being typed.
    pub(crate) drafts: &'a mut Drafts,
    /// What is asked for.
    pub(crate) wishes: &'a mut Vec<Wish>,
}

impl Kx<'_> {
    fn act(&mut self, action: Action) {
        self.wishes.push(Wish::Act(action));
    }

    fn start(&mut self, keep: Keep) {
        self.act(Action::Start(Job::Keep(keep)));
    }
}

/// What the page remembers while the studio is open.
#[derive(Debug, Default)]
pub(crate) struct KeepPages {
    /// The earlier versions of something are looked at.
    earlier: Option<Earlier>,
    found: FoundUi,
    backup: BackupUi,
    forget: ForgetUi,
    running: Running,
    /// How often the page was come to: each time it begins at its top, where the urgent things are.
    visit: u64,
    reminded: Option<(Depends, Option<String>)>,
    of_order: Option<((Tag, u64, usize), usize)>,
}

/// What a reminder depends on: the changes so far, what the disk says of them, the last backup, the day.
type Depends = ((u64, usize, usize), Option<String>, NaiveDate);

impl KeepPages {
    /// Shows the earlier versions of a document; the way back leads to `from`.
    pub(crate) fn show_earlier(&mut self, doc: DocId, from: Nav) {
        self.earlier = Some(Earlier::new(doc, from));
    }

    /// Shows the page itself again, from its top.
    pub(crate) fn leave_earlier(&mut self) {
        self.earlier = None;
        self.visit += 1;
    }

    /// The reminder of a backup; the orders are gone through again only after a change, and on a new day.
    pub(crate) fn reminder(&mut self, view: &View<'_>) -> Option<&str> {
        let day = view.now.day();
        let last = &view.keeping.last_backup;
        let (docs, photos) = view.keeping.since.len();
        let so_far = (view.revision, docs, photos);
        let same = |known: &Depends| known.0 == so_far && known.1 == *last && known.2 == day;
        if !self.reminded.as_ref().is_some_and(|(known, _)| same(known)) {
            self.reminded = Some(((so_far, last.clone(), day), view.backup_reminder()));
        }
        self.reminded.as_ref().and_then(|(_, words)| words.as_deref())
    }

    /// How many things that were found concern an order.
    pub(crate) fn found_of(&mut self, view: &View<'_>, tag: Tag) -> usize {
        let key = (tag, view.revision, view.findings().len());
        match self.of_order {
            Some((known, count)) if known == key => count,
            _ => {
                let count = view.found_of(tag);
                self.of_order = Some((key, count));
                count
            }
        }
    }

    pub(crate) fn ui(&mut self, ui: &mut Ui, kx: &mut Kx<'_>) {
        if let Some(earlier) = &mut self.earlier {
            if earlier.ui(ui, kx) {
                self.earlier = None;
            }
            return;
        }
        head_ui(ui, kx, |ui| heading(ui, labels::TITLE));
        gap(ui, space::STEP);
        rule(ui);
        scrolled(ui, ("keeping", self.visit), |ui| {
            ui.set_max_width(space::READING.min(ui.available_width()));
            gap(ui, 5.0 * space::STEP);
            folder_ui(ui, kx);
            unsaved_ui(ui, kx);
            self.found.ui(ui, kx);
            between(ui);
            let reminder = self.reminder(kx.view).map(str::to_owned);
            self.backup.ui(ui, kx, reminder.as_deref(), &mut self.running);
            between(ui);
            earlier_ui(ui, kx);
            between(ui);
            list_ui(ui, kx, &mut self.running);
            between(ui);
            self.forget.ui(ui, kx, &mut self.running);
            gap(ui, space::BLOCK);
        });
    }
}

/// Below this width what can be undone stands in a line of its own, in points.
const NARROW: f32 = 640.0;

/// What stands on top, with what can be undone beside it.
fn head_ui(ui: &mut Ui, kx: &mut Kx<'_>, add: impl FnOnce(&mut Ui) -> Response) -> Response {
    if ui.available_width() < NARROW {
        let response = add(ui);
        line_of(ui, |ui| undo_ui(ui, kx.view, kx.wishes));
        return response;
    }
    ui.horizontal(|ui| {
        let response = add(ui);
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| undo_ui(ui, kx.view, kx.wishes));
        response
    })
    .inner
}

/// Between two parts of the page.
fn between(ui: &mut Ui) {
    gap(ui, 5.0 * space::STEP);
    rule(ui);
    gap(ui, 4.0 * space::STEP);
}

/// Which folder all this is about, and the way to have it read anew.
fn folder_ui(ui: &mut Ui, kx: &mut Kx<'_>) {
    let Some(root) = kx.root else { return };
    second(ui, labels::lies_in(root));
    line_of(ui, |ui| {
        if link(ui, labels::OWN_FOLDER).clicked() {
            kx.wishes.push(Wish::Open(root.to_owned()));
        }
        if link(ui, labels::LOOK_AGAIN).clicked() {
            kx.wishes.push(Wish::ReadAgain);
        }
    });
    gap(ui, 5.0 * space::STEP);
}

/// The most documents that are named one by one.
const NAMED: usize = 30;

/// What is not on the disk, each by its name; nothing where all of it is.
fn unsaved_ui(ui: &mut Ui, kx: &mut Kx<'_>) {
    let Some(_trouble) = kx.view.saving_trouble() else { return };
    let tokens = Tokens::of(ui);
    let rows = saving_words::unsaved(kx.view.saves, kx.view.studio);
    heading(ui, labels::NOT_SAVED);
    second(ui, labels::NOT_SAVED_WORDS);
    gap(ui, 2.0 * space::STEP);
    for row in rows.iter().take(NAMED) {
        line_of(ui, |ui| {
            say(ui, Face::Strong, tokens.ink, workbench::present::words::sentence_start(&row.name));
            say(ui, Face::Body, tokens.care, row.word);
        });
        if !row.words.is_empty() {
            second(ui, sentence(&row.words));
        }
        gap(ui, 2.0 * space::STEP);
    }
    if rows.len() > NAMED {
        second(ui, labels::and_more(rows.len() - NAMED));
    }
    if saving_words::may_help(kx.view.saves) && plain_button(ui, labels::TRY_NOW).clicked() {
        kx.act(Action::SaveAgain);
    }
    between(ui);
}

/// Where earlier versions are.
fn earlier_ui(ui: &mut Ui, kx: &mut Kx<'_>) {
    heading(ui, labels::EARLIER);
    second(ui, labels::EARLIER_WORDS);
    gap(ui, space::STEP);
    if link(ui, labels::EARLIER_SETTINGS).clicked() {
        kx.wishes.push(Wish::Earlier(DocId::Policies));
    }
}

/// The list of orders, as a file.
fn list_ui(ui: &mut Ui, kx: &mut Kx<'_>, running: &mut Running) {
    heading(ui, labels::LIST);
    second(ui, labels::LIST_WORDS);
    if let Some(reading) = kx.view.reading() {
        care(ui, not_yet(reading_words::not_yet(reading.left, reading.is_going_on())));
    }
    let key = "keeping/list";
    gap(ui, 2.0 * space::STEP);
    let ask = Asked::SaveAs(labels::LIST_NAME.to_owned(), key.to_owned());
    let form = PathForm {
        key,
        label: labels::LIST_FILE,
        hint: labels::LIST_NAME,
        ask,
        choose: labels::LIST_PLACE,
        height: space::PRESS,
    };
    let asked = path_form(ui, kx.drafts, kx.wishes, form, |ui| plain_button(ui, labels::LIST_WRITE));
    if let Some(to) = asked {
        kx.start(Keep::WriteList { to });
    }
    running.rows(ui, kx.view, kx.wishes, |job| matches!(job, Job::Keep(Keep::WriteList { .. })));
}
