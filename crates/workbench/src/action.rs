//! What can be asked of the workbench, and what it asks of the world: all of it data.

use std::path::PathBuf;
use std::sync::Arc;

use craft::digest::Digest;
use craft::fact::PaperKind;
use craft::id::{DocId, Thing};
use craft::moment::Moment;
use craft::order::{Page, PhotoKind, Sheet};
use craft::studio::{Doc, Edit};
use craft::tag::Tag;
use craft::text::Line;
use papers::document::{PaperSize, Pixels, Stamp};
use papers::facts::Paper;
use store::save::SaveOutcome;
pub use store::watch::Outside;

use crate::finding::Finding;
use crate::keeping::files::Named;
use crate::keeping::since::Since;
use crate::keeping::{Keep, KeepWork, Kept};
use crate::open::Part;

/// Counts the changes of one document; a later save has a higher one.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Rev(pub u64);

/// Names one job.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct JobId(pub u64);

/// Where the person is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum Nav {
    /// The board of orders.
    #[default]
    Board,
    /// A page of an order.
    Bench(Tag, Page),
    /// The shelf.
    Shelf,
    /// A layer is tried out, without an order.
    TryOut,
    /// Safe keeping: what was found, backups, earlier versions, the list of orders, forgetting a client.
    Keeping,
}

/// What files are picked for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Purpose {
    /// Photos for an order.
    Photos {
        /// The order.
        tag: Tag,
        /// What is on them.
        of: Option<Thing>,
    },
    /// Photos of the box as it is packed now.
    BoxPhoto {
        /// The order.
        tag: Tag,
    },
}

/// Anything that happens to the workbench.
#[derive(Clone, Debug)]
pub enum Action {
    /// A change to one document; passed straight to the studio's door.
    ///
    /// An [`OrderEdit::Sheet`](craft::studio::OrderEdit::Sheet) given here must be drafted from the sheet as it is
    /// now; one that a person worked on for a while goes through [`Action::EditSheet`].
    Edit(Edit),
    /// Changes that belong together, in their order. Where one is refused, those after it are not made.
    Together(Vec<Edit>),
    /// A change to the sheet of an order, with the sheet it was drafted from: photos that jobs noted in the meantime
    /// stay.
    EditSheet {
        /// The order.
        tag: Tag,
        /// The sheet when the work on it began.
        base: Box<Sheet>,
        /// The sheet as it shall be.
        sheet: Box<Sheet>,
    },
    /// Takes the last change back.
    Undo,
    /// Makes it again.
    Redo,
    /// Goes somewhere.
    Go(Nav),
    /// Starts something that takes a while.
    Start(Job),
    /// Stops it.
    Cancel(JobId),
    /// Asks for files.
    Pick(Purpose),
    /// Files were picked.
    Picked(Purpose, Vec<PathBuf>),
    /// A job tells how far it is.
    Progress(JobId, u8),
    /// A job ended.
    JobDone(JobId, JobEnd),
    /// A save ended.
    SaveDone(DocId, Rev, SaveOutcome),
    /// A look at the studio's folder found something odd.
    FolderTold(FolderNews),
    /// A part of the studio that was read.
    Read(Box<Part>),
    /// Photos or papers that are not what they were.
    Looked(Vec<Finding>),
    /// What was written since the last backup, as the disk has it.
    Written(Box<Since>),
    /// Takes the longer of two editions of an order, which lies in this file beside it.
    TakeEdition(String),
    /// Goes on with an order's record as it is, though more or other was seen of it before.
    GoOnWith(Tag),
    /// Takes an earlier version of a document back, as far as nothing real has happened since.
    TakeBack(Box<Doc>),
    /// An earlier version could not be kept, though everything is saved.
    HistoryTold(String),
    /// Tries again to save what could not be saved.
    SaveAgain,
    /// The notice that is shown has been read.
    Dismiss,
    /// Time has passed.
    Tick,
}

/// What a look at the studio's folder found.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum FolderNews {
    /// It is not in its place any more.
    Gone,
    /// It is there again.
    Back,
    /// Another program did the same to one or more documents.
    Changed {
        /// The files, as paths below the folder; at least one.
        files: Vec<String>,
        /// What was done to them.
        how: Outside,
    },
}

/// Where a photo comes from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Source {
    /// A file the maker picked or dropped.
    File(PathBuf),
    /// Bytes already in hand.
    Bytes(Arc<[u8]>),
}

/// Something that takes a while, as it is asked for.
#[derive(Clone, Debug, PartialEq)]
pub enum Job {
    /// Takes a photo in: keeps the original and notes it on the order's sheet.
    TakePhoto {
        /// The order.
        tag: Tag,
        /// What is on it.
        of: Option<Thing>,
        /// A word about it.
        caption: Line,
        /// The picture.
        source: Source,
    },
    /// Takes a photo of the packed box in: as [`Job::TakePhoto`], and then records that this is the box as it is packed.
    TakeBoxPhoto {
        /// The order.
        tag: Tag,
        /// The picture.
        source: Source,
    },
    /// Writes a paper of an order, keeps it as issued and records that.
    IssuePaper {
        /// The order.
        tag: Tag,
        /// Which paper.
        kind: PaperKind,
    },
    /// Writes a picture for a message: smaller, and without any data about place or camera.
    MessageImage {
        /// The original.
        photo: Digest,
        /// What kind of file it is.
        kind: PhotoKind,
        /// Where to write it.
        to: PathBuf,
    },
    /// Writes a copy of a paper as it was issued to a place outside the studio.
    CopyPaper {
        /// The order.
        tag: Tag,
        /// Which paper.
        kind: PaperKind,
        /// The digest of the file as issued.
        file: Digest,
        /// Where to write it.
        to: PathBuf,
    },
    /// Reads a photo to look at: upright, in true colours, small.
    Picture {
        /// The original.
        photo: Digest,
        /// What kind of file it is.
        kind: PhotoKind,
        /// Its long side at most, in pixels.
        side_px: u32,
    },
    /// Sets a paper of an order to look at, and keeps nothing of it.
    PreviewPaper {
        /// The order.
        tag: Tag,
        /// Which paper.
        kind: PaperKind,
        /// Dots an inch.
        dpi: u16,
    },
    /// Reads the orders that are not read yet.
    ReadOrders,
    /// Reads every photo and paper that a record names and compares its digest.
    LookThrough,
    /// Earlier versions, backups, forgetting, handing over, the list of orders.
    Keep(Keep),
}

impl Job {
    /// True of what is only looked at: it changes nothing, says nothing where it fails, and is not missed where it was
    /// not begun.
    pub const fn is_quiet(&self) -> bool {
        matches!(
            self,
            Job::Picture { .. }
                | Job::PreviewPaper { .. }
                | Job::LookThrough
                | Job::Keep(Keep::ReadHistory(_) | Keep::Sweep)
        )
    }
}

impl Job {
    /// True of what is never stopped once it has begun.
    pub(crate) const fn is_gone_through_with(&self) -> bool {
        matches!(self, Job::Keep(Keep::Forget(_) | Keep::Sweep))
    }
}

/// The same, with everything the worker needs to do it alone.
#[derive(Clone, Debug)]
pub enum Work {
    /// As [`Job::TakePhoto`] and [`Job::TakeBoxPhoto`].
    TakePhoto {
        /// The picture.
        source: Source,
    },
    /// As [`Job::IssuePaper`].
    IssuePaper(Box<PaperWork>),
    /// As [`Job::MessageImage`].
    MessageImage {
        /// The original.
        photo: Digest,
        /// What kind of file it is.
        kind: PhotoKind,
        /// Where to write it.
        to: PathBuf,
    },
    /// As [`Job::CopyPaper`].
    CopyPaper {
        /// The order.
        tag: Tag,
        /// Which paper.
        kind: PaperKind,
        /// The digest of the file as issued.
        file: Digest,
        /// Where to write it.
        to: PathBuf,
    },
    /// As [`Job::Picture`].
    Picture {
        /// The original.
        photo: Digest,
        /// What kind of file it is.
        kind: PhotoKind,
        /// Its long side at most, in pixels.
        side_px: u32,
    },
    /// As [`Job::PreviewPaper`].
    PreviewPaper {
        /// What is set.
        paper: Box<PaperWork>,
        /// Dots an inch.
        dpi: u16,
    },
    /// As [`Job::ReadOrders`].
    ReadOrders {
        /// The moment for which rows are made.
        now: Moment,
    },
    /// As [`Job::LookThrough`].
    LookThrough(Vec<Named>),
    /// As [`Job::Keep`].
    Keep(Box<KeepWork>),
}

/// A paper to be written.
#[derive(Clone, Debug)]
pub struct PaperWork {
    /// The order.
    pub tag: Tag,
    /// Which paper.
    pub kind: PaperKind,
    /// What it says.
    pub paper: Paper,
    /// On what.
    pub size: PaperSize,
    /// When it is issued.
    pub issued_at: Stamp,
    /// The kinds of the photos it asks for.
    pub photos: Vec<(Digest, PhotoKind)>,
    /// True to keep it in the studio as issued, false to hand the bytes back only.
    pub keep: bool,
}

/// How a job ended.
#[derive(Clone, Debug)]
pub enum JobEnd {
    /// It is done.
    Done(Outcome),
    /// It could not be done; says why and what to do.
    Failed(String),
    /// It was stopped.
    Cancelled,
}

/// What a job brought.
#[derive(Clone, Debug, PartialEq)]
pub enum Outcome {
    /// The original is kept.
    PhotoKept {
        /// Its digest.
        original: Digest,
        /// What kind of file.
        kind: PhotoKind,
    },
    /// The paper is written.
    PaperWritten {
        /// The digest of the file.
        file: Digest,
        /// The file's name.
        name: String,
        /// How many pages.
        pages: usize,
        /// The file itself.
        pdf: Arc<[u8]>,
    },
    /// The picture is written.
    ImageWritten(PathBuf),
    /// The copy of a paper is written.
    CopyWritten(PathBuf),
    /// The photo is read.
    PictureRead(Arc<Pixels>),
    /// The paper is set: its pages.
    PaperSet(Vec<Arc<Pixels>>),
    /// Every order is read.
    OrdersRead,
    /// Every photo and paper was looked at; how many.
    LookedThrough(usize),
    /// What came of [`Job::Keep`].
    Kept(Box<Kept>),
}

/// Something to be heard.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Alarm {
    /// The order.
    pub tag: Tag,
    /// The stones.
    pub stones: Vec<u8>,
    /// The entry that began the wait.
    pub entry: u32,
}

/// What the workbench asks of the world.
#[derive(Clone, Debug)]
pub enum Effect {
    /// Saves a document.
    Save(DocId, Rev, Doc),
    /// Does a job.
    Run(JobId, Work),
    /// Stops it.
    Stop(JobId),
    /// Lets the person pick files.
    Pick(Purpose),
    /// Rings.
    Ring(Alarm),
    /// Shows a notice outside the window.
    Notify(String),
    /// Opens a file in the system's own program.
    Open(PathBuf),
    /// Puts text on the clipboard.
    Copy(String),
    /// Wants a [`Action::Tick`] then.
    WakeAt(Moment),
}
