//! What there is to be seen at one moment.

use craft::moment::Moment;
use craft::studio::Studio;

use crate::action::{Job, JobId, Nav};
use crate::open::Trouble;
use crate::present::undo_words;
use crate::saving::Saves;
use crate::state::Notice;
use crate::undo::UndoStack;
use crate::waits::Wait;

/// One job that runs.
#[derive(Clone, Copy, Debug)]
pub struct JobRow<'a> {
    /// Its name.
    pub id: JobId,
    /// What it is.
    pub job: &'a Job,
    /// How far it is, in per cent.
    pub percent: u8,
}

/// Everything a pane may read.
#[derive(Debug)]
pub struct View<'a> {
    /// The studio.
    pub studio: &'a Studio,
    /// Where the person is.
    pub nav: Nav,
    /// What is to be said: the oldest that nobody has put away.
    pub notice: Option<&'a Notice>,
    /// The board.
    pub board: crate::present::board::Board,
    /// What can be undone.
    pub undo: &'a UndoStack,
    /// What is on the disk.
    pub saves: &'a Saves,
    /// The jobs that run.
    pub jobs: Vec<JobRow<'a>>,
    /// The waits that run, the next to end in front.
    pub waits: Vec<Wait>,
    /// What could not be read when the studio was opened.
    pub troubles: &'a [Trouble],
    /// Why nothing can be changed, where that is so.
    pub read_only: Option<&'a str>,
    /// The moment this was looked at.
    pub now: Moment,
}

impl View<'_> {
    /// Finds orders.
    pub fn find(&self, text: &str) -> Vec<crate::present::find::Hit> {
        crate::present::find::find(self.studio, text)
    }

    /// What the undo button says: what it would take back.
    ///
    /// # Errors
    /// Why there is nothing, for the button that cannot be pressed.
    pub fn undo_words(&self) -> Result<String, String> {
        match self.undo.last_made() {
            Some(label) => Err(format!("{label} cannot be undone")),
            None => undo_words::undo(self.undo),
        }
    }

    /// What the redo button says: what it would make again.
    ///
    /// # Errors
    /// As [`View::undo_words`].
    pub fn redo_words(&self) -> Result<String, String> {
        undo_words::redo(self.undo)
    }
}
