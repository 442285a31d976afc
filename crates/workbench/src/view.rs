//! What there is to be seen at one moment.

use craft::digest::Digest;
use craft::fact::PaperKind;
use craft::id::{ClientId, DocId, ShelfId};
use craft::moment::Moment;
use craft::place::Cell;
use craft::studio::{Held, Studio};
use craft::tag::Tag;

use crate::action::{FolderNews, Job, JobId, Nav};
use crate::finding::Finding;
use crate::keeping::Keeping;
use crate::keeping::forget::Forgetting;
use crate::open::Trouble;
use crate::pictures::{Picture, Pictures, Preview};
use crate::present::alike::{AlikeIndex, AlikeRow};
use crate::present::board::Board;
use crate::present::find::{Hit, Index};
use crate::present::{backup_words, folder_words, job_words, reading_words, saving_words, undo_words};
use crate::saving::Saves;
use crate::state::{Notice, Reading, Workbench};
use crate::stones::Taken;
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
    /// Every order as a row.
    pub board: &'a Board,
    /// The words to find orders by.
    pub(crate) words: &'a Index,
    /// The cavities in which something lies.
    pub(crate) taken: &'a Taken,
    /// The names of the orders that are not over.
    pub(crate) alike: &'a AlikeIndex,
    /// How many changes were accepted since the studio was opened: what was worked out from the studio alone stays
    /// true while this stays the same.
    pub revision: u64,
    /// What there is to look at.
    pub(crate) pictures: &'a Pictures,
    /// Where the person is.
    pub nav: Nav,
    /// What is to be said: the oldest that nobody has put away.
    pub notice: Option<&'a Notice>,
    /// What can be undone.
    pub undo: &'a UndoStack,
    /// What is on the disk.
    pub saves: &'a Saves,
    /// The jobs that run.
    pub jobs: Vec<JobRow<'a>>,
    /// The waits that run, the next to end in front.
    pub waits: Vec<Wait>,
    /// [`FolderNews::Gone`] while the studio's folder is not in its place.
    pub folder: Option<&'a FolderNews>,
    /// Backups, earlier versions and who is forgotten.
    pub keeping: &'a Keeping,
    /// What could not be read when the studio was opened.
    pub troubles: &'a [Trouble],
    /// What is asked for now and then only.
    pub(crate) bench: &'a Workbench,
    /// How long the disk has not answered what is on its way to it, in milliseconds.
    pub silence_ms: i64,
    /// Why nothing can be changed, where that is so.
    pub read_only: Option<&'a str>,
    /// The moment this was looked at.
    pub now: Moment,
}

impl JobRow<'_> {
    /// One line of progress: "taking in a photo for 7K2-M4P, 40 %".
    pub fn words(&self) -> String {
        job_words::row(self.job, self.percent)
    }
}

impl<'a> View<'a> {
    /// What the button says that would mend what is refused, where something can.
    pub fn remedy_words(&self) -> Option<String> {
        self.notice?.remedy_words(self.studio)
    }

    /// Everything that does not hold together, as [`finding_words::row`](crate::present::finding_words::row) tells it.
    pub fn findings(&self) -> &'a [Finding] {
        self.bench.findings()
    }

    /// How many of these concern an order.
    pub fn found_of(&self, order: Tag) -> usize {
        self.findings().iter().filter(|finding| finding.concerns(order)).count()
    }

    /// Everything of a client that would be forgotten now.
    ///
    /// # Errors
    /// Why it cannot be now, and what to do.
    pub fn may_forget(&self, client: &ClientId) -> Result<Forgetting, String> {
        self.bench.may_forget(client, self.now)
    }

    /// What is wrong with saving, with what is safe and what to do; none where nothing is.
    pub fn saving_trouble(&self) -> Option<String> {
        saving_words::trouble(self.saves, self.silence_ms)
    }

    /// How far the reading of orders is; none once all are read.
    pub fn reading(&self) -> Option<&'a Reading> {
        self.bench.reading()
    }

    /// What stands under a list of orders while it is not whole: "still reading 3,000 orders".
    pub fn reading_words(&self) -> Option<String> {
        self.reading().map(|reading| reading_words::still(reading.left, reading.is_going_on()))
    }

    /// What stands beside so many orders that were found, or in place of "nothing found", while not all are read or
    /// where some cannot be.
    pub fn find_words(&self, found: usize) -> Option<String> {
        if let Some(reading) = self.reading() {
            return Some(reading_words::find(reading.left, found, reading.is_going_on()));
        }
        let unread = self.studio.locked().keys().filter(|doc| matches!(doc, DocId::Order(_))).count();
        (unread > 0).then(|| reading_words::find_without(unread, found))
    }

    /// How everything stands with the disk: saved, saving, not saved, in doubt, or a disk that does not answer.
    pub fn saving_words(&self) -> String {
        saving_words::now(self.saves, self.silence_ms)
    }

    /// What stands on the screen while the studio's folder is not in its place.
    pub fn folder_words(&self) -> Option<String> {
        self.folder.map(|news| folder_words::news(news, false))
    }

    /// A reminder where the last backup is old.
    pub fn backup_reminder(&self) -> Option<String> {
        backup_words::reminder(
            self.keeping.last_backup.as_deref(),
            &self.keeping.since,
            self.studio,
            self.now,
        )
    }

    /// A photo as a [`Job::Picture`] brought it; none where it was not asked for, or not for long.
    pub fn picture(&self, photo: &Digest) -> Option<&Picture> {
        self.pictures.photo(photo)
    }

    /// A paper as a [`Job::PreviewPaper`] set it; none where it was not asked for, or not for long.
    pub fn preview(&self, tag: Tag, kind: PaperKind) -> Option<&Preview> {
        self.pictures.preview(tag, kind)
    }

    /// True while exactly this is being done, or waits for its turn.
    pub fn is_under_way(&self, job: &Job) -> bool {
        self.jobs.iter().any(|row| row.job == job)
    }

    /// The orders that match a text, the closest first, as [`find`](crate::present::find::find).
    pub fn find(&self, text: &str) -> Vec<Hit> {
        self.words.find(text)
    }

    /// The cavities of a mould that are free for an order, as [`free_cells`](crate::stones::free_cells); it costs the
    /// same with ten orders and ten thousand.
    pub fn free_cells(&self, held: &Held, mould: &ShelfId) -> Vec<Cell> {
        self.taken.free_cells(self.studio, held, mould)
    }

    /// An order and those whose names could be taken for its own, as [`alike`](crate::present::alike::alike); it costs the
    /// same with ten orders and ten thousand.
    pub fn alike(&self, tag: Tag) -> Vec<AlikeRow> {
        self.alike.alike(self.studio, tag, self.now.day())
    }

    /// The orders whose names could be taken for those of one that is about to be opened.
    pub fn alike_new(&self, remembered: &str, client: &str) -> Vec<AlikeRow> {
        self.alike.alike_new(self.studio, (remembered, client), self.now.day())
    }

    /// What the undo button says: what it would take back.
    ///
    /// # Errors
    /// Why there is nothing, for the button that cannot be pressed.
    pub fn undo_words(&self) -> Result<String, String> {
        let scope = self.bench.undo_scope();
        match self.undo.last_made(&scope) {
            Some(label) => Err(undo_words::for_good(label)),
            None => undo_words::undo(self.undo, &scope),
        }
    }

    /// What the redo button says: what it would make again.
    ///
    /// # Errors
    /// As [`View::undo_words`].
    pub fn redo_words(&self) -> Result<String, String> {
        undo_words::redo(self.undo, &self.bench.undo_scope())
    }
}
