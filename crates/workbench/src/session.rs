//! A workbench with its runner and its clock: what the doors without a window use, and what the window will use.

use std::path::Path;
use std::sync::Arc;

use store::vfs::{DiskVfs, Vfs};

use crate::action::{Action, Effect};
use crate::clock::Clock;
use crate::open::{OpenError, Trouble, open, witness_after};
use crate::runner::Runner;
use crate::state::{Notice, Workbench};

/// Why a session cannot begin.
#[derive(Debug, thiserror::Error)]
pub enum SessionError {
    /// The studio cannot be opened.
    #[error(transparent)]
    Open(#[from] OpenError),
    /// The system gives no thread.
    #[error("the computer has no room for another task; close something and try again")]
    Thread(#[source] std::io::Error),
}

/// A workbench at work.
#[derive(Debug)]
pub struct Session {
    /// The workbench.
    pub bench: Workbench,
    /// What could not be read when the studio was opened.
    pub troubles: Vec<Trouble>,
    runner: Runner,
    clock: Arc<dyn Clock>,
}

impl Session {
    /// Opens the studio in `root` on the real disk.
    ///
    /// # Errors
    /// There is no studio that can be used, or no thread.
    pub fn open(root: &Path, clock: Arc<dyn Clock>) -> Result<Self, SessionError> {
        Self::open_on(root, Arc::new(DiskVfs), clock)
    }

    /// Opens the studio in `root` on a given disk.
    ///
    /// # Errors
    /// As [`Session::open`].
    pub fn open_on(root: &Path, vfs: Arc<dyn Vfs>, clock: Arc<dyn Clock>) -> Result<Self, SessionError> {
        let opened = open(root, vfs)?;
        let runner = Runner::start(opened.folder, Arc::new(|| {})).map_err(SessionError::Thread)?;
        let bench = Workbench::new(opened.studio, opened.read_only);
        Ok(Self { bench, troubles: opened.troubles, runner, clock })
    }

    /// Does one thing, and hands back what needs a window.
    pub fn act(&mut self, action: Action) -> Vec<Effect> {
        let effects = self.bench.handle(action, self.clock.now());
        self.runner.perform(effects)
    }

    /// Does one thing and waits until everything it set off is done.
    ///
    /// # Errors
    /// What the person would be told: a refusal, a failure, or that something is not on the disk.
    pub fn act_and_settle(&mut self, action: Action) -> Result<(), String> {
        self.act(Action::Dismiss);
        self.act(action);
        self.settle()
    }

    /// Waits until nothing is under way.
    ///
    /// # Errors
    /// As [`Session::act_and_settle`].
    pub fn settle(&mut self) -> Result<(), String> {
        while let Some(answer) = self.runner.wait_for_answer() {
            self.act(answer);
        }
        let view = self.bench.view(self.clock.now());
        match view.notice {
            Some(Notice::Refused { why, .. } | Notice::Failed(why)) => return Err(why.clone()),
            Some(Notice::Said(_)) | None => {}
        }
        match view.saves.unsaved().next() {
            Some((_, standing)) => Err(crate::present::saving_words::standing(standing)),
            // The runner has ended without an answer, so nobody knows.
            None if view.saves.is_saving() => Err(crate::present::saving_words::all(view.saves)),
            None => Ok(()),
        }
    }
}

impl Drop for Session {
    /// The witness of all records is written last.
    fn drop(&mut self) {
        let view = self.bench.view(self.clock.now());
        if view.read_only.is_none() {
            let seen = self.runner.folder().load_heads();
            self.runner.note_heads(witness_after(seen, view.studio, view.saves));
        }
    }
}
