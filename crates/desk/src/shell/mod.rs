//! The window as a whole: the board on the left, the open order on the right, the strip at the foot.

mod bench;
mod board;
mod first;
mod foot;
mod keys;
mod notices;
mod preferences;
pub(crate) mod undo;

use std::collections::{BTreeMap, VecDeque};

use craft::id::DocId;
use craft::tag::Tag;
use egui::{CentralPanel, Frame, Panel, Ui};
use workbench::action::Nav;
use workbench::present::words::sentence;
use workbench::view::View;

use crate::cx::Wish;
use crate::keep::{KeepPages, Kx};
use crate::look::{Tokens, space};
use crate::pages::Pages;
use crate::platform::prefs::Preferences;
use crate::shelf::ShelfPages;
use crate::tryout::TryOutPage;
use crate::widgets::{Drafts, care, gap, sheet};

pub use first::{First, NewStudio};
pub use keys::{SHORTCUTS, Shortcut};

/// Which side of the open order is shown.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum Side {
    /// The page of its route.
    #[default]
    Route,
    /// The message desk.
    Messages,
    /// Its papers.
    Papers,
    /// The life of what came, and its record.
    Life,
}

/// What lies over everything else.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Over {
    /// The person's own preferences, and the studio's settings.
    Preferences,
    /// A new order.
    NewOrder,
    /// Running orders, entered quickly.
    Running,
    /// What the keys do.
    Keys,
}

/// The window's own state: nothing of it is ever saved but the preferences.
#[derive(Debug, Default)]
pub struct Desk {
    pub(crate) drafts: Drafts,
    pub(crate) pages: Pages,
    pub(crate) begin: crate::pages::begin::Begin,
    pub(crate) shelf: ShelfPages,
    tryout: TryOutPage,
    pub(crate) keep: KeepPages,
    pub(crate) find: String,
    /// What the find field found last.
    found: board::Found,
    pub(crate) side: Side,
    pub(crate) over: Option<Over>,
    pub(crate) prefs: Preferences,
    /// The studio's folder.
    pub(crate) root: Option<std::path::PathBuf>,
    /// Asks the find field to take the keyboard.
    pub(crate) to_find: bool,
    /// The board and the bench take turns, for want of room.
    narrow: bool,
    open: Option<Nav>,
    /// What was being typed on orders that are not open now.
    kept: BTreeMap<Tag, Drafts>,
    /// What the computer under the window had to say, until it is put away.
    said: VecDeque<String>,
    /// A stone that is to be looked at once its order is open.
    stone: Option<(Tag, u8)>,
}

/// Below this width the board and the bench take turns, in points.
const NARROW: f32 = 860.0;

impl Desk {
    /// A window with these preferences.
    pub fn new(prefs: Preferences) -> Self {
        Self { prefs, ..Self::default() }
    }

    /// Shows what there is, and gives what was asked for.
    pub fn ui(&mut self, ui: &mut Ui, view: &View<'_>) -> Vec<Wish> {
        let mut wishes = Vec::new();
        self.follow(view.nav);
        let asked = keys::take(ui, self);
        bench::take_keys(ui, self, view, &mut wishes);
        let tokens = Tokens::of(ui);
        let strip = Frame::new().fill(tokens.raised);
        Panel::bottom("strip")
            .exact_size(foot::height(ui))
            .resizable(false)
            .show_separator_line(true)
            .frame(strip)
            .show(ui, |ui| foot::strip_ui(ui, view, &mut wishes));
        // Over the strip, so that nothing on the page moves under a hand that is about to press.
        if notices::is_any(view, &self.said) {
            let frame = Frame::new().fill(tokens.page).inner_margin(space::NOTICE);
            Panel::bottom("notices").resizable(false).show_separator_line(false).frame(frame).show(
                ui,
                |ui| {
                    notices::ui(ui, view, &mut self.said, &mut wishes);
                },
            );
        }
        let narrow = ui.available_width() < NARROW;
        self.narrow = narrow;
        let beside = !matches!(view.nav, Nav::Board);
        if beside && !narrow {
            let ground = Frame::new().fill(tokens.ground).inner_margin(space::BOARD);
            Panel::left("board").exact_size(space::BOARD_WIDTH).resizable(false).frame(ground).show(
                ui,
                |ui| {
                    board::side_ui(ui, self, view, &mut wishes);
                },
            );
        }
        let fill = if beside { tokens.page } else { tokens.ground };
        let margin = if bench::is_lowest(ui) {
            egui::Margin { top: 8, bottom: 0, ..space::PAGE }
        } else {
            space::PAGE
        };
        let page = Frame::new().fill(fill).inner_margin(margin);
        CentralPanel::default().frame(page).show(ui, |ui| {
            if beside && narrow {
                board::narrow_ui(ui, self, &mut wishes);
            }
            if let Some(why) = view.read_only {
                care(ui, sentence(why));
                gap(ui, 2.0 * space::STEP);
            }
            self.page_ui(ui, view, &mut wishes);
        });
        self.over_ui(ui, view, &mut wishes);
        // Only now, so that a field that was being typed into has handed in what it holds.
        for asks in asked {
            keys::done(self, view, asks, &mut wishes);
        }
        wishes
    }

    /// The page the person is on.
    fn page_ui(&mut self, ui: &mut Ui, view: &View<'_>, wishes: &mut Vec<Wish>) {
        match view.nav {
            Nav::Board => board::whole_ui(ui, self, view, wishes),
            Nav::Bench(tag, page) => bench::ui(ui, self, view, (tag, page), wishes),
            Nav::Shelf => self.shelf.ui(ui, view, &mut self.drafts, wishes),
            Nav::TryOut => self.tryout.ui(ui, view, &mut self.drafts),
            Nav::Keeping => {
                let Self { keep, drafts, root, .. } = self;
                keep.ui(ui, &mut Kx { view, root: root.as_deref(), drafts, wishes });
            }
        }
    }

    /// Puts a path that was chosen in a dialog into its field, on the page of the order where it was asked for.
    pub fn put_draft(&mut self, on: Option<Tag>, key: &str, words: String) {
        match on.filter(|tag| !matches!(self.open, Some(Nav::Bench(open, _)) if open == *tag)) {
            Some(tag) => self.kept.entry(tag).or_default().put(key, words),
            None => self.drafts.put(key, words),
        }
    }

    /// True where something is typed that nobody has handed in.
    pub fn is_typing(&self) -> bool {
        self.drafts.is_typed() || self.kept.values().any(Drafts::is_typed)
    }

    /// True while something lies over the page.
    pub fn is_covered(&self) -> bool {
        self.over.is_some()
    }

    /// Lets go of the drafts whose keys begin so: they have been handed in.
    pub fn let_go(&mut self, starts: &[String]) {
        for start in starts {
            self.drafts.clear_under(start);
        }
    }

    /// Says something that only the computer under the window could know.
    pub fn tell(&mut self, words: &str) {
        // A newer word about the same thing takes the place of none: each is read and put away.
        if self.said.back().is_none_or(|last| last != words) {
            self.said.push_back(words.to_owned());
        }
    }

    /// Takes back what was said, where it is true no more.
    pub(crate) fn unsay(&mut self, words: &str) {
        self.said.retain(|said| said != words);
    }

    /// What photos that are dropped on the open page are of.
    pub fn photo_of(&self) -> Option<craft::id::Thing> {
        match self.open {
            Some(Nav::Bench(_, page)) if self.side == Side::Route => self.pages.photo_of(page),
            _ => None,
        }
    }

    /// The same window over a studio in this folder.
    #[must_use]
    pub fn over(self, root: &std::path::Path) -> Self {
        Self { root: Some(root.to_owned()), ..self }
    }

    /// Shows the earlier versions of a document, once that page is open; the way back leads here.
    pub fn show_earlier(&mut self, doc: DocId) {
        self.keep.show_earlier(doc, self.open.unwrap_or_default());
    }

    /// Shows another side of the open order.
    pub fn show_side(&mut self, side: Side) {
        self.side = side;
    }

    /// Shows this stone of an order on its pour page, once that page is open.
    pub fn show_stone(&mut self, tag: Tag, stone: u8) {
        self.side = Side::Route;
        self.stone = Some((tag, stone));
    }

    /// Shows the ten-minute test of this bottle, once the shelf is open.
    pub fn show_test(&mut self, bottle: craft::id::ShelfId) {
        self.shelf.open_test(bottle);
    }

    /// Shows the papers of the open order, this one first.
    pub fn show_paper(&mut self, kind: craft::fact::PaperKind) {
        self.pages.papers.choose(kind);
        self.side = Side::Papers;
    }

    /// Shows the life of a lot of the open order as it is now.
    pub fn show_life(&mut self, lot: u8) {
        self.pages.life.show(lot);
        self.side = Side::Life;
    }

    /// The page of another order begins afresh, but for what was being typed there before.
    fn follow(&mut self, nav: Nav) {
        if self.open != Some(nav) {
            self.turn_to(nav);
        }
        if let (Some((of, stone)), Nav::Bench(tag, _)) = (self.stone.take(), nav)
            && of == tag
        {
            self.pages.look_at(stone);
        }
    }

    fn turn_to(&mut self, nav: Nav) {
        let order = |nav: Option<Nav>| -> Option<Tag> {
            match nav {
                Some(Nav::Bench(tag, _)) => Some(tag),
                _ => None,
            }
        };
        if order(self.open) != order(Some(nav)) {
            self.pages = Pages::default();
            // What was read off a thing in the hand holds for that moment only.
            self.drafts.clear_under("once/");
            let left = self.drafts.take_under("order/");
            if let Some(tag) = order(self.open).filter(|_| left.any()) {
                self.kept.insert(tag, left);
            }
            if let Some(kept) = order(Some(nav)).and_then(|tag| self.kept.remove(&tag)) {
                self.drafts.join(kept);
            }
        }
        self.drafts.stand_for(match nav {
            Nav::Bench(tag, _) => tag.to_string(),
            Nav::Board | Nav::Shelf | Nav::TryOut | Nav::Keeping => String::new(),
        });
        // From anywhere else the page begins at its top; what is shown of earlier versions was asked for just now.
        if self.open == Some(Nav::Keeping) {
            self.keep.leave_earlier();
        }
        self.side = Side::default();
        self.open = Some(nav);
    }

    fn over_ui(&mut self, ui: &Ui, view: &View<'_>, wishes: &mut Vec<Wish>) {
        let Some(over) = self.over else { return };
        let modal = egui::Modal::new(egui::Id::unique("over")).frame(
            Frame::new()
                .fill(Tokens::of(ui).page)
                .corner_radius(space::RADIUS_WIDE)
                .inner_margin(space::BLOCK),
        );
        let shown = modal.show(ui.ctx(), |ui| match over {
            Over::Preferences => sheet(ui, 492.0, |ui| preferences::ui(ui, self, view, wishes)),
            Over::NewOrder => crate::pages::begin::new_order_ui(ui, self, view, wishes),
            Over::Running => crate::pages::begin::running_ui(ui, self, view, wishes),
            Over::Keys => sheet(ui, 432.0, |ui| keys::help_ui(ui, self)),
        });
        if shown.should_close() {
            self.over = None;
        }
    }
}
