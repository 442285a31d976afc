//! What a pane is handed for one frame, and what it can wish for.

use std::path::{Path, PathBuf};

use craft::fact::Fact;
use craft::id::DocId;
use craft::order::{About, Page, Sheet, Words};
use craft::studio::{Edit, Held, OrderEdit};
use craft::tag::Tag;
use craft::text::Text;
use workbench::action::{Action, Nav};
use workbench::view::View;

use crate::widgets::Drafts;

/// What a pane asks for: something the workbench does, or something only the computer under the window can do.
#[derive(Clone, Debug)]
pub enum Wish {
    /// For the workbench.
    Act(Action),
    /// Edits that belong together, for the workbench; once all of them are accepted, the drafts under these keys have
    /// been handed in and are let go. Where one is refused, what was typed stays.
    HandIn {
        /// The edits, in their order.
        edits: Vec<Edit>,
        /// How the keys of the drafts begin.
        clear: Vec<String>,
    },
    /// Shows another side of the open order.
    Side(crate::shell::Side),
    /// Shows this stone of an order on its plan page and its pour page, once one of them is open.
    Stone(Tag, u8),
    /// Shows the ten-minute test of this bottle on the shelf.
    Test(craft::id::ShelfId),
    /// Shows the papers of the open order, this one first.
    Paper(craft::fact::PaperKind),
    /// Shows the life of this lot of the open order.
    Life(u8),
    /// Puts words on the clipboard.
    Copy(String),
    /// Opens a file in the system's own viewer.
    Open(PathBuf),
    /// Prints a PDF: the file, what it is called in the queue, and on which paper.
    Print(PathBuf, String, Option<crate::platform::printing::Media>),
    /// Asks for a file or folder by the system's dialog; the path typed so far goes into `Drafts` under the key.
    Ask(Asked),
    /// Shows the earlier versions of a document.
    Earlier(DocId),
    /// Opens another studio.
    OpenStudio(PathBuf),
    /// Reads every file of this studio anew.
    ReadAgain,
    /// Makes a studio and opens it.
    MakeStudio(crate::shell::NewStudio),
    /// Writes the demo studio into a folder and opens it.
    Demo(PathBuf),
    /// Changes what is remembered of the person's own preferences.
    Prefer(crate::platform::prefs::Preferences),
    /// Closes this studio and shows the first page.
    LeaveStudio,
    /// Ends the program.
    Quit,
}

/// What a dialog is asked for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Asked {
    /// A folder; its path goes into the draft of this key.
    Folder(String),
    /// Where to write a file: its suggested name; the path goes into the draft of this key.
    SaveAs(String, String),
    /// A file that is there; its path goes into the draft of this key.
    File(String),
    /// Where a new folder of this name is made; its path goes into the draft of this key.
    NewFolder(String, String),
}

/// What a pane of the open order is handed.
#[derive(Debug)]
pub struct Cx<'a> {
    /// What there is to be seen.
    pub view: &'a View<'a>,
    /// The open order.
    pub tag: Tag,
    /// The same order.
    pub held: &'a Held,
    /// The studio's folder, where it is known.
    pub root: Option<&'a Path>,
    /// What is being typed.
    pub drafts: &'a mut Drafts,
    /// What is asked for.
    pub wishes: &'a mut Vec<Wish>,
}

impl<'a> Cx<'a> {
    /// A pane of an open order is handed this.
    pub(crate) fn new(
        view: &'a View<'a>,
        (tag, held): (Tag, &'a Held),
        root: Option<&'a Path>,
        drafts: &'a mut Drafts,
        wishes: &'a mut Vec<Wish>,
    ) -> Self {
        Self { view, tag, held, root, drafts, wishes }
    }

    /// Asks for something.
    pub fn wish(&mut self, wish: Wish) {
        self.wishes.push(wish);
    }

    /// Asks the workbench for something.
    pub fn act(&mut self, action: Action) {
        self.wish(Wish::Act(action));
    }

    /// Records that something really happened, now.
    pub fn fact(&mut self, fact: impl Into<Fact>) {
        self.act(Action::Edit(Edit::Order(self.tag, OrderEdit::Fact(fact.into()))));
    }

    /// A fact of this order, as an edit.
    pub fn fact_edit(&self, fact: impl Into<Fact>) -> Edit {
        Edit::Order(self.tag, OrderEdit::Fact(fact.into()))
    }

    /// A change of the sheet, as an edit to be handed in now. It goes on from what this frame has changed already.
    pub fn sheet_edit(&self, change: impl FnOnce(&mut Sheet)) -> Edit {
        let mut sheet = self.sheet_now().clone();
        change(&mut sheet);
        Edit::Order(self.tag, OrderEdit::Sheet(Box::new(sheet)))
    }

    /// Hands edits in that belong together. Where one is refused those after it are not made; once all are accepted,
    /// the drafts whose keys begin so are let go.
    pub fn hand_in(&mut self, edits: Vec<Edit>, clear: &[&str]) {
        let clear = clear.iter().map(|&start| start.to_owned()).collect();
        self.wish(Wish::HandIn { edits, clear });
    }

    /// Changes the sheet. A field that is left by a click hands in its words in the frame of the click, so a second
    /// change in one frame goes on from the first.
    pub fn sheet(&mut self, change: impl FnOnce(&mut Sheet)) {
        let tag = self.tag;
        let newest = self.wishes.iter_mut().rev().find(|wish| sheet_of(wish, tag).is_some());
        if let Some(Wish::Act(Action::EditSheet { sheet, .. })) = newest {
            change(sheet);
            return;
        }
        let base = self.sheet_now().clone();
        let mut sheet = base.clone();
        change(&mut sheet);
        self.act(Action::EditSheet { tag: self.tag, base: Box::new(base), sheet: Box::new(sheet) });
    }

    /// The sheet as it will be once everything that was asked for so far in this frame is done.
    fn sheet_now(&self) -> &Sheet {
        let newest = self.wishes.iter().rev().find_map(|wish| sheet_of(wish, self.tag));
        newest.unwrap_or(&self.held.order.sheet)
    }

    /// Puts words about something into the story.
    pub fn story(&mut self, about: About, text: Text) {
        self.act(Action::Edit(Edit::Order(self.tag, OrderEdit::Story(Words { about, text }))));
    }

    /// Opens a page of this order.
    pub fn go(&mut self, page: Page) {
        self.act(Action::Go(Nav::Bench(self.tag, page)));
    }
}

/// What a wish makes of the sheet of an order, where it changes that.
fn sheet_of(wish: &Wish, tag: Tag) -> Option<&Sheet> {
    let edited = |edit| match edit {
        &Edit::Order(of, OrderEdit::Sheet(ref sheet)) if of == tag => Some(&**sheet),
        _ => None,
    };
    match wish {
        Wish::Act(Action::EditSheet { tag: of, sheet, .. }) => (*of == tag).then_some(&**sheet),
        Wish::Act(Action::Edit(edit)) => edited(edit),
        Wish::Act(Action::Together(edits)) | Wish::HandIn { edits, .. } => {
            edits.iter().rev().find_map(edited)
        }
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use workbench::clock::{Clock as _, SystemClock};
    use workbench::session::Session;

    use super::*;

    /// Asks for something on the first order of the demo studio, and gives its sheet once that is done.
    fn after(ask: impl FnOnce(&mut Cx<'_>)) -> Sheet {
        let dir = tempfile::tempdir().unwrap();
        let clock = Arc::new(SystemClock::new());
        workbench::founding::demo(dir.path(), clock.now()).unwrap();
        let mut session = Session::open(dir.path(), clock).unwrap();
        let (mut drafts, mut wishes) = (Drafts::default(), Vec::new());
        let view = session.view();
        let (&tag, held) = view.studio.orders().iter().next().unwrap();
        ask(&mut Cx::new(&view, (tag, held), None, &mut drafts, &mut wishes));
        for wish in wishes {
            match wish {
                Wish::Act(action) => session.act(action),
                Wish::HandIn { edits, .. } => session.act(Action::Together(edits)),
                other => panic!("{other:?}"),
            };
        }
        session.view().studio.order(tag).unwrap().order.sheet.clone()
    }

    #[test]
    fn what_is_handed_in_with_the_sheet_takes_nothing_back_that_was_changed_in_the_same_frame() {
        let sheet = after(|cx| {
            cx.sheet(|sheet| sheet.ring = "UK N".parse().unwrap());
            let edit = cx.sheet_edit(|sheet| sheet.remembered.name = "Old Bess".parse().unwrap());
            cx.hand_in(vec![edit], &[]);
        });
        assert_eq!((sheet.ring.as_str(), sheet.remembered.name.as_str()), ("UK N", "Old Bess"));
    }

    #[test]
    fn a_field_that_is_left_after_something_was_handed_in_takes_nothing_of_it_back() {
        let sheet = after(|cx| {
            let edit = cx.sheet_edit(|sheet| sheet.remembered.name = "Old Bess".parse().unwrap());
            cx.hand_in(vec![edit], &[]);
            cx.sheet(|sheet| sheet.ring = "UK N".parse().unwrap());
            cx.sheet(|sheet| sheet.due = None);
        });
        assert_eq!((sheet.ring.as_str(), sheet.remembered.name.as_str()), ("UK N", "Old Bess"));
        assert_eq!(sheet.due, None);
    }
}
