//! The earlier versions of one document: the list, in what the chosen one differs from now, and taking it back.

use std::rc::Rc;

use craft::id::DocId;
use egui::{Align, Layout, ScrollArea, Ui, vec2};
use workbench::action::{Action, Nav};
use workbench::keeping::Keep;
use workbench::keeping::history::Version;
use workbench::present::labels::keeping as labels;
use workbench::present::labels::shell::not_yet;
use workbench::present::version_words::{self, Chosen, VersionRow};
use workbench::present::words::sentence;
use workbench::saving::Standing;

use super::{Kx, head_ui};
use crate::look::{Face, Tokens, space};
use crate::widgets::{
    ROW, care, gap, heading, link, main_button, rule, say, scrolled, second, tab, words_row,
};

/// How wide the list beside the differences is.
const LIST: f32 = 280.0;
/// Below this width the list stands over them.
const NARROW: f32 = 640.0;
/// How high the list is there.
const LOW_LIST: f32 = 190.0;

/// The rows, after how many changes and of how many versions.
type Rows = ((u64, usize), Rc<[VersionRow]>);
/// The chosen version, after how many changes and by its number.
type Looked = ((u64, u32), Rc<Chosen>);

/// What is looked at.
#[derive(Debug)]
pub(super) struct Earlier {
    doc: DocId,
    /// Where the person came from.
    from: Nav,
    /// What was asked for last: the document, and after how many changes.
    asked: Option<(DocId, u64)>,
    /// The number of the chosen version.
    chosen: Option<u32>,
    rows: Option<Rows>,
    looked: Option<Looked>,
}

impl Earlier {
    pub(super) fn new(doc: DocId, from: Nav) -> Self {
        Self { doc, from, asked: None, chosen: None, rows: None, looked: None }
    }

    /// Shows it; true where the page itself is to be shown again.
    pub(super) fn ui(&mut self, ui: &mut Ui, kx: &mut Kx<'_>) -> bool {
        self.ask(kx);
        let tokens = Tokens::of(ui);
        let back = head_ui(ui, kx, |ui| link(ui, labels::BACK)).clicked();
        heading(ui, labels::earlier_of(&version_words::name(&self.doc, kx.view.studio)));
        let under = version_words::second(&self.doc, kx.view.studio);
        if !under.is_empty() {
            say(ui, Face::Body, tokens.ink_2, under);
        }
        gap(ui, space::STEP);
        ui.scope(|ui| {
            self.tabs_ui(ui, kx);
            // The line under the open one lies on the rule.
            ui.spacing_mut().item_spacing.y = 0.0;
            rule(ui);
        });
        if let Some((_, versions)) = kx.view.keeping.history.as_ref().filter(|(of, _)| *of == self.doc) {
            self.versions_ui(ui, kx, versions);
        } else {
            gap(ui, 4.0 * space::STEP);
            second(ui, labels::READING_VERSIONS);
        }
        if back && self.from != Nav::Keeping {
            kx.act(Action::Go(self.from));
        }
        back
    }

    /// Has the versions read, once after each change that is on the disk.
    fn ask(&mut self, kx: &mut Kx<'_>) {
        let wanted = (self.doc.clone(), kx.view.revision);
        let on_its_way = matches!(kx.view.saves.standing(&self.doc), Standing::Saving);
        if self.asked.as_ref() != Some(&wanted) && !on_its_way {
            kx.start(Keep::ReadHistory(self.doc.clone()));
            self.asked = Some(wanted);
        }
    }

    /// An order's own versions, and those of its client.
    fn tabs_ui(&mut self, ui: &mut Ui, kx: &Kx<'_>) {
        let Nav::Bench(tag, _) = self.from else { return };
        let Ok(held) = kx.view.studio.order(tag) else { return };
        let both = [
            (DocId::Order(tag), labels::THIS_ORDER),
            (DocId::Client(held.order.client.clone()), labels::ITS_CLIENT),
        ];
        ui.spacing_mut().item_spacing.y = 0.0;
        ui.scope(|ui| {
            ui.spacing_mut().item_spacing = vec2(26.0, space::TIGHT);
            ui.spacing_mut().interact_size.y = 26.0;
            ui.horizontal(|ui| {
                for (doc, words) in both {
                    if tab(ui, words, self.doc == doc, true).clicked() && self.doc != doc {
                        *self = Self::new(doc, self.from);
                    }
                }
            });
        });
    }

    fn versions_ui(&mut self, ui: &mut Ui, kx: &mut Kx<'_>, versions: &[Version]) {
        if versions.is_empty() {
            gap(ui, 4.0 * space::STEP);
            second(ui, labels::NO_VERSIONS);
            return;
        }
        let rows = self.rows(kx, versions);
        let height = ui.available_height();
        let room = ui.available_width();
        if room < NARROW {
            let list = LOW_LIST.min(0.5 * height);
            ui.allocate_ui_with_layout(vec2(room, list), Layout::top_down(Align::LEFT), |ui| {
                self.list_ui(ui, &rows);
            });
            rule(ui);
            scrolled(ui, "keeping/differences", |ui| self.chosen_ui(ui, kx, versions));
            return;
        }
        ui.horizontal_top(|ui| {
            ui.spacing_mut().item_spacing.x = 0.0;
            ui.allocate_ui_with_layout(vec2(LIST, height), Layout::top_down(Align::LEFT), |ui| {
                ui.set_width(LIST);
                gap(ui, 2.0 * space::STEP);
                self.list_ui(ui, &rows);
            });
            let x = ui.cursor().left() + 2.0 * space::STEP;
            ui.painter().vline(x, ui.max_rect().y_range(), Tokens::of(ui).hairline());
            ui.add_space(space::BLOCK);
            let room = ui.available_width();
            ui.allocate_ui_with_layout(vec2(room, height), Layout::top_down(Align::LEFT), |ui| {
                ui.set_width(room);
                ui.spacing_mut().item_spacing.x = 2.0 * space::STEP;
                scrolled(ui, "keeping/differences", |ui| self.chosen_ui(ui, kx, versions));
            });
        });
    }

    /// The rows; they are worked out again only after a change, or where other versions were read.
    fn rows(&mut self, kx: &Kx<'_>, versions: &[Version]) -> Rc<[VersionRow]> {
        let key = (kx.view.revision, versions.len());
        match &self.rows {
            Some((known, rows)) if *known == key => Rc::clone(rows),
            _ => {
                let rows: Rc<[VersionRow]> =
                    version_words::rows(&self.doc, versions, kx.view.studio, kx.view.now).into();
                self.rows = Some((key, Rc::clone(&rows)));
                rows
            }
        }
    }

    fn list_ui(&mut self, ui: &mut Ui, rows: &[VersionRow]) {
        ui.spacing_mut().item_spacing.y = 0.0;
        let scroll = ScrollArea::vertical().id_salt("keeping/versions").auto_shrink(false);
        scroll.show_rows(ui, ROW, rows.len(), |ui, range| {
            for row in rows.get(range).unwrap_or_default() {
                let open = self.chosen == Some(row.number);
                let name = labels::version(&row.when, &row.how, row.number);
                if words_row(ui, open, &name, [&row.when, &row.how]).clicked() {
                    self.chosen = Some(row.number);
                }
            }
        });
    }

    fn chosen_ui(&mut self, ui: &mut Ui, kx: &mut Kx<'_>, versions: &[Version]) {
        gap(ui, 4.0 * space::STEP);
        let chosen = versions.iter().find(|version| Some(version.number) == self.chosen);
        let Some(version) = chosen else {
            second(ui, labels::CHOOSE_VERSION);
            return;
        };
        let looked = self.looked(kx, version);
        let tokens = Tokens::of(ui);
        match &looked.differences {
            Err(why) => {
                care(ui, sentence(why));
                return;
            }
            Ok(differences) if differences.is_empty() => {
                second(ui, labels::THE_SAME);
                return;
            }
            Ok(differences) => {
                for difference in differences {
                    say(ui, Face::Body, tokens.ink, sentence(difference));
                    gap(ui, space::STEP);
                }
            }
        }
        gap(ui, 3.0 * space::STEP);
        match &looked.back {
            Err(why) => {
                care(ui, not_yet(why));
            }
            Ok(false) => {
                second(ui, labels::NOTHING_BACK);
            }
            Ok(true) => {
                let pressed = main_button(ui, labels::TAKE_BACK).clicked();
                gap(ui, space::STEP);
                second(ui, labels::TAKE_BACK_WORDS);
                if let (true, Ok(doc)) = (pressed, &version.doc) {
                    kx.act(Action::TakeBack(Box::new(doc.clone())));
                }
            }
        }
    }

    fn looked(&mut self, kx: &Kx<'_>, version: &Version) -> Rc<Chosen> {
        let key = (kx.view.revision, version.number);
        match &self.looked {
            Some((known, looked)) if *known == key => Rc::clone(looked),
            _ => {
                let looked = Rc::new(version_words::chosen(&self.doc, version, kx.view.studio, kx.view.now));
                self.looked = Some((key, Rc::clone(&looked)));
                looked
            }
        }
    }
}
