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

/// What a step back or forth may touch: on the page of an order only the order itself and its client, so that nothing of
/// another is changed out of sight.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Scope {
    /// Whatever was changed last.
    Everything,
    /// These documents.
    Only(Vec<DocId>),
}

impl Scope {
    fn holds(&self, doc: &DocId) -> bool {
        match self {
            Self::Everything => true,
            Self::Only(docs) => docs.contains(doc),
        }
    }
}

/// The points of undo and redo.
#[derive(Clone, Debug, Default)]
pub struct UndoStack {
    back: Vec<Point>,
    forth: Vec<Point>,
    last_fact: Option<(DocId, Fact)>,
    last_made: Option<(DocId, String)>,
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
    pub(crate) fn made(&mut self, doc: &DocId, label: String) {
        self.forth.clear();
        self.last_made = Some((doc.clone(), label));
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

    /// What undo would take back: the newest change within a scope.
    pub fn next_undo(&self, scope: &Scope) -> Option<&Point> {
        newest(&self.back, scope).and_then(|at| self.back.get(at)).filter(|_| self.last_made(scope).is_none())
    }

    /// What redo would make again.
    pub fn next_redo(&self, scope: &Scope) -> Option<&Point> {
        newest(&self.forth, scope).and_then(|at| self.forth.get(at))
    }

    /// The last thing that really happened, which explains an empty undo.
    pub fn last_fact(&self, scope: &Scope) -> Option<&Fact> {
        self.last_fact.as_ref().filter(|(doc, _)| scope.holds(doc)).map(|(_, fact)| fact)
    }

    /// What was made last and cannot be taken back, where nothing was changed since; it explains an undo at rest.
    pub fn last_made(&self, scope: &Scope) -> Option<&str> {
        self.last_made.as_ref().filter(|(doc, _)| scope.holds(doc)).map(|(_, label)| label.as_str())
    }

    pub(crate) fn take_undo(&mut self, scope: &Scope) -> Option<Point> {
        if self.last_made(scope).is_some() {
            return None;
        }
        newest(&self.back, scope).map(|at| self.back.remove(at))
    }

    pub(crate) fn take_redo(&mut self, scope: &Scope) -> Option<Point> {
        newest(&self.forth, scope).map(|at| self.forth.remove(at))
    }

    pub(crate) fn undone(&mut self, after: Doc, label: String) {
        self.forth.push(Point { before: after, label });
    }

    pub(crate) fn redone(&mut self, before: Doc, label: String) {
        self.back.push(Point { before, label });
    }
}

/// The newest point within a scope. Points of other documents are not touched by it: each holds one document whole.
fn newest(points: &[Point], scope: &Scope) -> Option<usize> {
    points.iter().rposition(|point| scope.holds(&point.before.id()))
}
