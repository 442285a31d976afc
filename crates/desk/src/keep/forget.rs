//! Forgetting a client: who, what would go and what would stay, to be sure, and the receipt.

use std::rc::Rc;

use craft::id::ClientId;
use craft::order::Page;
use craft::tag::Tag;
use egui::{ScrollArea, Ui};
use workbench::action::{Action, Job, Nav};
use workbench::keeping::Keep;
use workbench::keeping::forget::{Forgetting, in_the_way};
use workbench::present::client_rows::{self, ClientRow};
use workbench::present::forget_words;
use workbench::present::labels::keeping as labels;
use workbench::present::labels::shell::not_yet;
use workbench::present::words::sentence_start;

use super::Kx;
use crate::cx::{Asked, Wish};
use crate::look::{Face, Tokens, space};
use crate::widgets::{
    Column, Field, PathForm, ROW, Running, care, columns, fold, form_line, gap, heading, link, note,
    path_form, plain_button, say, second, words_row,
};

/// The drafts of this part.
const FIND: &str = "keeping/forget/find";
const SURE: &str = "keeping/forget/sure";
const RECEIPT: &str = "keeping/forget/receipt";
/// How high the list of clients is at most.
const LIST: f32 = 4.0 * ROW;

/// The clients, after how many changes.
type Rows = (u64, Rc<[ClientRow]>);

/// The places of those that were found, after how many changes and for which text.
type Found = ((u64, String), Rc<[usize]>);

/// What the part remembers.
#[derive(Debug, Default)]
pub(super) struct ForgetUi {
    open: bool,
    who: Option<ClientId>,
    rows: Option<Rows>,
    found: Option<Found>,
    looked: Option<Looked>,
}

/// What would come of forgetting somebody, and what it depends on: who, the changes so far, whether all is saved and
/// all is read, and how many jobs run.
#[derive(Clone, Debug)]
struct Looked {
    of: (ClientId, u64, bool, Option<usize>, usize),
    would: Rc<Result<Forgetting, String>>,
    /// What has to be typed, to be sure; every client is gone through for it.
    to_type: Rc<str>,
    /// What was typed last, and whether it names the client.
    sure: (String, bool),
    in_the_way: Option<Tag>,
}

impl ForgetUi {
    pub(super) fn ui(&mut self, ui: &mut Ui, kx: &mut Kx<'_>, running: &mut Running) {
        heading(ui, labels::FORGET);
        second(ui, labels::FORGET_WORDS);
        receipt_ui(ui, kx, running);
        if fold(ui, labels::FORGET_OPEN, &mut self.open) {
            match self.who.clone() {
                Some(who) => self.chosen_ui(ui, kx, &who),
                None => self.find_ui(ui, kx),
            }
        }
        running.rows(ui, kx.view, kx.wishes, |job| matches!(job, Job::Keep(Keep::Forget(_))));
    }

    fn rows(&mut self, kx: &Kx<'_>) -> Rc<[ClientRow]> {
        match &self.rows {
            Some((at, rows)) if *at == kx.view.revision => Rc::clone(rows),
            _ => {
                let rows: Rc<[ClientRow]> =
                    client_rows::rows(kx.view.studio, &kx.view.keeping.forgotten).into();
                self.rows = Some((kx.view.revision, Rc::clone(&rows)));
                rows
            }
        }
    }

    fn find_ui(&mut self, ui: &mut Ui, kx: &mut Kx<'_>) {
        gap(ui, 2.0 * space::STEP);
        form_line(ui, kx.drafts, Field::new(FIND, labels::FORGET_FIND).wide(320.0));
        let rows = self.rows(kx);
        let key = (kx.view.revision, kx.drafts.text(FIND).to_owned());
        let found: Rc<[usize]> = match &self.found {
            Some((known, found)) if *known == key => Rc::clone(found),
            _ => client_rows::found(&rows, &key.1).into(),
        };
        self.found = Some((key, Rc::clone(&found)));
        gap(ui, space::STEP);
        if found.is_empty() {
            second(ui, labels::NOBODY);
            return;
        }
        second(ui, labels::clients(found.len()));
        // As high however few are found, so that nothing moves under the hand.
        ui.allocate_ui(egui::vec2(ui.available_width(), LIST), |ui| {
            ui.spacing_mut().item_spacing.y = 0.0;
            let scroll = ScrollArea::vertical()
                .id_salt("keeping/clients")
                .max_height(LIST)
                .min_scrolled_height(LIST)
                .auto_shrink(false);
            scroll.show_rows(ui, ROW, found.len(), |ui, range| {
                let seen = found.get(range).unwrap_or_default();
                for row in seen.iter().filter_map(|place| rows.get(*place)) {
                    let name = format!("{}, {}", row.name, row.second);
                    if words_row(ui, false, &name, [&row.name, &row.second]).clicked() {
                        self.who = Some(row.id.clone());
                        kx.drafts.clear(SURE);
                    }
                }
            });
        });
    }

    /// What would come of it; every order is gone through again only after a change.
    fn look(&mut self, kx: &Kx<'_>, who: &ClientId) -> Option<Looked> {
        let view = kx.view;
        let left = view.reading().map(|reading| reading.left);
        let of = (who.clone(), view.revision, view.saves.all_saved(), left, view.jobs.len());
        if self.looked.as_ref().is_none_or(|known| known.of != of) {
            let would = Rc::new(view.may_forget(who));
            let in_the_way = would.as_ref().as_ref().err().and_then(|_| in_the_way(view.studio, who));
            let to_type = would.as_ref().as_ref().ok();
            let to_type = to_type.map(|would| forget_words::to_type(view.studio, who, &would.tags));
            let to_type = to_type.unwrap_or_default().into();
            self.looked = Some(Looked { of, would, to_type, sure: (String::new(), false), in_the_way });
        }
        self.looked.clone()
    }

    /// Whether what is typed names the client; looked into again only where something else is typed.
    fn is_sure(&mut self, kx: &Kx<'_>, who: &ClientId, tags: &[Tag]) -> bool {
        let typed = kx.drafts.text(SURE);
        let Some(looked) = &mut self.looked else { return false };
        if looked.sure.0 != typed {
            looked.sure = (typed.to_owned(), forget_words::confirms(kx.view.studio, who, tags, typed));
        }
        looked.sure.1
    }

    fn chosen_ui(&mut self, ui: &mut Ui, kx: &mut Kx<'_>, who: &ClientId) {
        let rows = self.rows(kx);
        let Some(row) = rows.iter().find(|row| row.id == *who) else {
            // They have just been forgotten.
            self.who = None;
            self.open = false;
            kx.drafts.clear(FIND);
            kx.drafts.clear(SURE);
            return;
        };
        let tokens = Tokens::of(ui);
        gap(ui, 2.0 * space::STEP);
        say(ui, Face::NameSmall, tokens.ink, row.name.as_str());
        second(ui, sentence_start(&row.second));
        let Some(looked) = self.look(kx, who) else { return };
        gap(ui, 2.0 * space::STEP);
        match looked.would.as_ref() {
            Err(why) => {
                care(ui, not_yet(why));
                if let Some(tag) = looked.in_the_way
                    && link(ui, &labels::open_order(tag)).clicked()
                {
                    let page = kx.view.board.row(tag).map_or(Page::Brief, |row| row.page);
                    kx.act(Action::Go(Nav::Bench(tag, page)));
                }
            }
            Ok(would) => self.would_ui(ui, kx, would, (row, &looked.to_type)),
        }
        gap(ui, 2.0 * space::STEP);
        if link(ui, labels::ANOTHER).clicked() {
            self.who = None;
            kx.drafts.clear(SURE);
        }
    }

    fn would_ui(
        &mut self,
        ui: &mut Ui,
        kx: &mut Kx<'_>,
        would: &Forgetting,
        (row, to_type): (&ClientRow, &str),
    ) {
        columns(ui, 0.5, |ui, column| match column {
            Column::First => lines_ui(ui, labels::GOES, &forget_words::would_go(would)),
            Column::Second => lines_ui(ui, labels::STAYS, &forget_words::would_stay(would)),
        });
        gap(ui, 2.0 * space::STEP);
        care(ui, forget_words::CAUTION);
        gap(ui, 2.0 * space::STEP);
        form_line(ui, kx.drafts, Field::new(SURE, to_type).wide(320.0));
        gap(ui, space::STEP);
        let sure = self.is_sure(kx, &row.id, &would.tags);
        let pressed =
            ui.add_enabled_ui(sure, |ui| plain_button(ui, &labels::forget(&row.name))).inner.clicked();
        if pressed {
            kx.start(Keep::Forget(row.id.clone()));
            kx.drafts.clear(SURE);
        }
    }
}

fn lines_ui(ui: &mut Ui, label: &str, lines: &[String]) {
    say(ui, Face::Strong, Tokens::of(ui).ink, label);
    for line in lines {
        second(ui, format!("{}.", sentence_start(line)));
    }
}

/// The receipt of the last forgetting: to be copied, or written to a file.
fn receipt_ui(ui: &mut Ui, kx: &mut Kx<'_>, running: &mut Running) {
    let view = kx.view;
    let Some(receipt) = &view.keeping.receipt else { return };
    let tokens = Tokens::of(ui);
    gap(ui, 3.0 * space::STEP);
    say(ui, Face::Strong, tokens.ink, labels::RECEIPT);
    second(ui, labels::RECEIPT_WORDS);
    note(ui, |ui| ui.vertical(|ui| say(ui, Face::Second, tokens.ink, receipt.trim_end())));
    gap(ui, 2.0 * space::STEP);
    if link(ui, labels::RECEIPT_COPY).clicked() {
        kx.wishes.push(Wish::Copy(receipt.clone()));
    }
    let name = forget_words::receipt_name(view.now);
    let form = PathForm {
        key: RECEIPT,
        label: labels::RECEIPT_FILE,
        hint: &name,
        ask: Asked::SaveAs(name.clone(), RECEIPT.to_owned()),
        choose: labels::RECEIPT_PLACE,
        height: space::PRESS,
    };
    let asked = path_form(ui, kx.drafts, kx.wishes, form, |ui| plain_button(ui, labels::RECEIPT_WRITE));
    if let Some(to) = asked {
        kx.start(Keep::WriteReceipt { to });
    }
    running.rows(ui, view, kx.wishes, |job| matches!(job, Job::Keep(Keep::WriteReceipt { .. })));
    gap(ui, 3.0 * space::STEP);
}
