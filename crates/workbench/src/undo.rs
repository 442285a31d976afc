//! Undo: back to the last thing that really happened, and never past it.

use craft::fact::Fact;
use craft::id::DocId;
use craft::studio::Doc;

/// A state to go back to.
#[derive(Clone, Debug)]
pub struct Point {
    /// The document as it was.
    pub before: Doc,
    /// What was done to it, for the button.
    pub label: String,
}

/// The points of undo and redo.
#[derive(Clone, Debug, Default)]
pub struct UndoStack {
    back: Vec<Point>,
    forth: Vec<Point>,
    last_fact: Option<(DocId, Fact)>,
    last_made: Option<String>,
}

/// How many points are kept.
const MOST: usize = 200;

impl UndoStack {
    /// A change was made that can be taken back.
    pub fn changed(&mut self, before: Doc, label: String) {
        self.forth.clear();
        self.last_made = None;
        self.back.push(Point { before, label });
        if self.back.len() > MOST {
            self.back.remove(0);
        }
    }

    /// Something really happened to a document: its points are gone.
    pub fn happened(&mut self, doc: &DocId, fact: Fact) {
        self.forget(doc);
        self.last_made = None;
        self.last_fact = Some((doc.clone(), fact));
    }

    /// A document was made, which cannot be taken back. Undo must not take back something older in its place, so it
    /// rests until the next change.
    pub(crate) fn made(&mut self, label: String) {
        self.forth.clear();
        self.last_made = Some(label);
    }

    /// A document can no longer be put back to where it was: its points are gone.
    pub(crate) fn forget(&mut self, doc: &DocId) {
        self.back.retain(|point| point.before.id() != *doc);
        self.forth.retain(|point| point.before.id() != *doc);
    }

    /// Every state that is kept to go back or forth to.
    pub(crate) fn points(&self) -> impl Iterator<Item = &Point> {
        self.back.iter().chain(&self.forth)
    }

    /// What undo would take back.
    pub fn next_undo(&self) -> Option<&Point> {
        self.back.last().filter(|_| self.last_made.is_none())
    }

    /// What redo would make again.
    pub fn next_redo(&self) -> Option<&Point> {
        self.forth.last()
    }

    /// The last thing that really happened, which explains an empty undo.
    pub fn last_fact(&self) -> Option<&Fact> {
        self.last_fact.as_ref().map(|(_, fact)| fact)
    }

    /// What was made last and cannot be taken back, where nothing was changed since; it explains an undo at rest.
    pub fn last_made(&self) -> Option<&str> {
        self.last_made.as_deref()
    }

    pub(crate) fn take_undo(&mut self) -> Option<Point> {
        if self.last_made.is_some() { None } else { self.back.pop() }
    }

    pub(crate) fn take_redo(&mut self) -> Option<Point> {
        self.forth.pop()
    }

    pub(crate) fn undone(&mut self, after: Doc, label: String) {
        self.forth.push(Point { before: after, label });
    }

    pub(crate) fn redone(&mut self, before: Doc, label: String) {
        self.back.push(Point { before, label });
    }
}
