//! A workbench with its runner and its clock: what the doors without a window use, and what the window will use.

use std::path::Path;
use std::sync::Arc;
use std::time::Duration;

use craft::moment::Moment;
use store::vfs::{DiskVfs, Vfs};

use crate::action::{Action, Effect, Job, JobEnd};
use crate::clock::Clock;
use crate::open::{OpenError, Trouble, open_first, witness_after};
use crate::present::{job_words, saving_words};
use crate::runner::Runner;
use crate::state::{Notice, Workbench};
use crate::view::View;

/// Why a session cannot begin.
#[derive(Debug, thiserror::Error)]
pub enum SessionError {
    /// The studio cannot be opened.
    #[error(transparent)]
    Open(#[from] OpenError),
    /// The system gives no thread.
    #[error("{}", job_words::NO_THREAD)]
    Thread(#[source] std::io::Error),
}

/// Why something that was to be done is not done, or not safely.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum Unsettled {
    /// It was turned away, and nothing is changed.
    #[error("{0}")]
    Refused(String),
    /// It is accepted, so it must not be asked for again, and is not safely on the disk.
    #[error("{0}")]
    Unsaved(String),
    /// It could not be done, or something that was under way could not.
    #[error("{0}")]
    Failed(String),
}

/// How often it is looked whether the folder is there and nobody else changed it, for a window.
const LOOK_EVERY: Duration = Duration::from_millis(1_500);

/// How many orders a window waits for before it shows anything; a studio of no more is read whole.
pub const FIRST: usize = 120;

/// A workbench at work.
pub struct Session {
    /// The workbench.
    pub bench: Workbench,
    runner: Runner,
    clock: Arc<dyn Clock>,
    wake: Arc<dyn Fn() + Send + Sync>,
    asked: Vec<Effect>,
    told: bool,
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
        Self::begin(root, vfs, clock, Arc::new(|| {}), usize::MAX)
    }

    /// Opens the studio in `root` for a window, with the orders that are open and the newest in front; where there are
    /// many the rest is read meanwhile ([`View::reading`] tells how far). `wake` is called, from other threads, whenever [`Session::pump`] has
    /// something to bring; a folder that goes away, or that another program changes, is told of too.
    ///
    /// # Errors
    /// As [`Session::open`].
    pub fn open_waking(
        root: &Path,
        clock: Arc<dyn Clock>,
        wake: Arc<dyn Fn() + Send + Sync>,
    ) -> Result<Self, SessionError> {
        Self::open_waking_on(root, Arc::new(DiskVfs), clock, wake)
    }

    pub(crate) fn open_waking_on(
        root: &Path,
        vfs: Arc<dyn Vfs>,
        clock: Arc<dyn Clock>,
        wake: Arc<dyn Fn() + Send + Sync>,
    ) -> Result<Self, SessionError> {
        Self::open_with(root, vfs, clock, wake, FIRST)
    }

    pub(crate) fn open_with(
        root: &Path,
        vfs: Arc<dyn Vfs>,
        clock: Arc<dyn Clock>,
        wake: Arc<dyn Fn() + Send + Sync>,
        first: usize,
    ) -> Result<Self, SessionError> {
        let mut session = Self::begin(root, vfs, clock, wake.clone(), first)?;
        session.runner.watch(LOOK_EVERY, wake).map_err(SessionError::Thread)?;
        // What is kept ready is made now, so that the first frame need not wait for it.
        session.bench.make_ready(session.clock.now());
        // It is the runner's alone, so nothing is left for a window to do.
        let next = if session.bench.reading().is_some() { Job::ReadOrders } else { Job::LookThrough };
        drop(session.act(Action::Start(next)));
        Ok(session)
    }

    fn begin(
        root: &Path,
        vfs: Arc<dyn Vfs>,
        clock: Arc<dyn Clock>,
        wake: Arc<dyn Fn() + Send + Sync>,
        first: usize,
    ) -> Result<Self, SessionError> {
        let (mut opened, rest) = open_first(root, vfs, first)?;
        let keeping = crate::keeping::begin(&mut opened, rest.is_none(), clock.now());
        let mut bench = Workbench::new(opened.studio, opened.read_only)
            .with_findings(opened.findings)
            .with_keeping(keeping);
        if let Some(rest) = &rest {
            bench = bench.still_reading(rest.left(), rest.total());
        }
        let runner = Runner::start_with(opened.folder, rest, wake.clone()).map_err(SessionError::Thread)?;
        Ok(Self { bench, runner, clock, wake, asked: Vec::new(), told: true })
    }

    /// What could not be read when the studio was opened.
    pub fn troubles(&self) -> &[Trouble] {
        self.bench.troubles()
    }

    /// Does one thing, and hands back what needs a window.
    pub fn act(&mut self, action: Action) -> Vec<Effect> {
        self.told = false;
        let effects = self.bench.handle(action, self.clock.now());
        self.runner.perform(effects)
    }

    /// Now, as this session's clock tells it.
    pub fn now(&self) -> Moment {
        self.clock.now()
    }

    /// What there is to be seen now.
    pub fn view(&self) -> View<'_> {
        self.bench.view(self.clock.now())
    }

    /// Takes in every answer that is ready, without waiting for any; hands back what needs a window. A window calls it
    /// whenever it was woken. After a part of the orders it stops and wakes the window again, so that no frame waits
    /// for more than one.
    pub fn pump(&mut self) -> Vec<Effect> {
        let mut asked = Vec::new();
        while let Some(answer) = self.runner.answer() {
            let is_part = matches!(answer, Action::Read(_));
            asked.extend(self.act(answer));
            if is_part {
                (self.wake)();
                break;
            }
        }
        asked
    }

    /// Does one thing and waits until everything it set off is done; gives what needs a window. What the last
    /// [`Session::settle`] said counts as read.
    ///
    /// # Errors
    /// What the person would be told: a refusal, a failure, or that something is not on the disk.
    pub fn act_and_settle(&mut self, action: Action) -> Result<Vec<Effect>, Unsettled> {
        while self.told && self.bench.notices().next().is_some() {
            self.bench.handle(Action::Dismiss, self.clock.now());
        }
        let asked = self.act(action);
        self.asked.extend(asked);
        self.settle()
    }

    /// Waits until nothing is under way; gives what needs a window, which is kept for the next time where something
    /// went wrong.
    ///
    /// # Errors
    /// As [`Session::act_and_settle`]. A refusal comes before everything; what is not on the disk comes before what
    /// failed, and the words tell of both.
    pub fn settle(&mut self) -> Result<Vec<Effect>, Unsettled> {
        while let Some(answer) = self.runner.wait_for_answer() {
            let asked = self.act(answer);
            self.asked.extend(asked);
        }
        self.told = true;
        let mut refused = Vec::new();
        let mut failed = Vec::new();
        for notice in self.bench.notices() {
            match notice {
                Notice::Refused { why, .. } => refused.push(why.clone()),
                Notice::Failed(why) => failed.push(why.clone()),
                Notice::Said(_) => {}
            }
        }
        if !refused.is_empty() {
            return Err(Unsettled::Refused(refused.join("; ")));
        }
        let unsaved = self.unsaved();
        let all = [failed.as_slice(), unsaved.as_slice()].concat().join("; ");
        match (unsaved.is_empty(), failed.is_empty()) {
            (false, _) => Err(Unsettled::Unsaved(all)),
            (true, false) => Err(Unsettled::Failed(all)),
            (true, true) => Ok(std::mem::take(&mut self.asked)),
        }
    }

    /// What is not safely on the disk, in words.
    fn unsaved(&self) -> Vec<String> {
        let saves = self.bench.saves();
        let mut all: Vec<String> = saves.unsaved().map(|(_, how)| saving_words::standing(how)).collect();
        if all.is_empty() && saves.is_saving() {
            // The runner has ended without an answer, so nobody knows.
            all.push(saving_words::all(saves));
        }
        all
    }

    /// Ends the work: what is under way is finished and taken in, what has not begun is not begun, and everything
    /// that changed is saved.
    ///
    /// # Errors
    /// Everything the person should know before the program is gone: what failed, what was not begun, and what is
    /// not on the disk.
    pub fn close(mut self) -> Result<(), Vec<String>> {
        self.runner.begin_no_more();
        let mut dropped = Vec::new();
        while let Some(answer) = self.runner.wait_for_answer() {
            if let Action::JobDone(id, JobEnd::Cancelled) = answer {
                dropped.extend(self.bench.job(id).and_then(job_words::not_begun));
            }
            self.act(answer);
        }
        let failed = self.bench.notices().filter_map(|notice| match notice {
            Notice::Failed(why) => Some(why.clone()),
            Notice::Refused { .. } | Notice::Said(_) => None,
        });
        let all: Vec<String> = failed.chain(dropped).chain(self.unsaved()).collect();
        if all.is_empty() { Ok(()) } else { Err(all) }
    }
}

impl std::fmt::Debug for Session {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Session")
            .field("bench", &self.bench)
            .field("runner", &self.runner)
            .finish_non_exhaustive()
    }
}

#[cfg(test)]
impl Session {
    /// What tells the worker to begin nothing more, for tests that wait for that.
    pub(crate) fn halt(&self) -> Arc<crate::runner::Halt> {
        self.runner.halt.clone()
    }
}

impl Drop for Session {
    /// The last resort: what is on its way to the disk is still written, but nobody is told how that went, and what
    /// jobs bring is lost; [`Session::close`] is the way out. The witness of all records is written last.
    fn drop(&mut self) {
        if self.bench.read_only().is_none() {
            let mut seen = self.runner.folder().load_heads();
            self.bench.accepted().for_each(|tag| seen.forget(&tag.to_string()));
            self.runner.note_heads(witness_after(seen, self.bench.studio(), self.bench.saves()));
        }
    }
}
