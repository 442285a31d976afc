//! The studio folder: who may write, what lies in it, loading and saving one document.

mod ahead;
mod loading;
mod stamps;

use std::collections::{BTreeMap, BTreeSet};
use std::fmt;
use std::io::{self, ErrorKind};
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use serde::Serialize;
use serde::de::DeserializeOwned;

use crate::format;
use crate::history::{Earlier, HISTORY};
use crate::name::{DocKind, DocPath, check_name, kept_beside};
use crate::photos::PhotoName;
use crate::save::{Expect, Place, SaveError, SaveOutcome, durable_save_after, is_temp, temp_name, temp_of};
use crate::vfs::{Entry, EntryKind, Held, Stat, Vfs};
use craft::digest::Digest;

pub use loading::{FileBytes, Loaded, LoadedOr};
pub(crate) use stamps::Found;

/// The sub-folders of a studio.
pub const SUB_FOLDERS: [&str; 6] = ["shelf", "clients", "orders", "money", "photos", "papers"];

/// The name of the lock file.
const LOCK: &str = ".lock";

/// What is made at opening to see whether files can be made.
const PROBE: &str = "probe";

/// The files at the top of a studio that are saved: what a save of one of them left half written is ours.
const AT_THE_TOP: [&str; 6] = [
    "studio.ron",
    crate::heads::HEADS,
    crate::forgotten::FORGOTTEN,
    crate::backup::NOTE,
    crate::summaries::SUMMARIES,
    PROBE,
];

/// Why the studio folder could not be opened, made or read.
#[derive(Debug, thiserror::Error)]
pub enum StoreError {
    /// The folder does not exist.
    #[error("there is no folder {path}; check the name, or that its disk is plugged in")]
    NoFolder {
        /// The folder.
        path: PathBuf,
    },
    /// The folder is something else.
    #[error("{path} is not a studio; choose the folder that holds \"studio.ron\", or make a new studio")]
    NotAStudio {
        /// The folder.
        path: PathBuf,
    },
    /// A new studio was to be made where there is one.
    #[error("there is a studio in {path} already; open it instead")]
    AlreadyAStudio {
        /// The folder.
        path: PathBuf,
    },
    /// A new studio was to be made among other files.
    #[error("{path} holds other files; choose an empty folder or a new name for the studio")]
    NotEmpty {
        /// The folder.
        path: PathBuf,
    },
    /// One of the studio's folders is a link or a file.
    #[error("{path} must be a folder of its own, not a file or a link; move it away and put the folder back")]
    StrangeFolder {
        /// The path.
        path: PathBuf,
    },
    /// A new studio could not be locked for writing.
    #[error("no studio was made in {path}: {access}")]
    NotWritable {
        /// The folder.
        path: PathBuf,
        /// Why not.
        access: Access,
    },
    /// A new studio's first file was not saved.
    #[error("no studio was made in {path}")]
    NotMade {
        /// The folder.
        path: PathBuf,
        /// Why not.
        source: SaveError,
    },
    /// The disk failed.
    #[error("the disk would not {step} {path}; nothing was changed; check the disk and try again")]
    Disk {
        /// The file or folder.
        path: PathBuf,
        /// What was being done, as in "the disk would not …".
        step: &'static str,
        /// What the system said.
        #[source]
        source: io::Error,
    },
    /// An earlier version was not put in the place of a file.
    #[error("the earlier version was not put in the place of {path}")]
    NotPutInPlace {
        /// The file.
        path: PathBuf,
        /// Why.
        #[source]
        why: Box<SaveError>,
    },
    /// Something was to be removed where nothing may be changed.
    #[error("nothing was removed from {path}")]
    NotRemoved {
        /// The folder.
        path: PathBuf,
        /// Why not.
        #[source]
        why: Box<SaveError>,
    },
    /// The list outside the studio of who is forgotten was not surely written.
    #[error("who is forgotten was not surely noted in {path}")]
    NotNoted {
        /// The list.
        path: PathBuf,
        /// Why not.
        #[source]
        why: Box<SaveError>,
    },
    /// A file of names that are to be forgotten cannot be understood.
    #[error(
        "{path} cannot be understood: {what}; put a copy of it back, since what it says must not be lost"
    )]
    Unclear {
        /// The file.
        path: PathBuf,
        /// What is wrong.
        what: String,
    },
    /// What was there a moment ago is not there any more.
    #[error(
        "{path} was there a moment ago and is gone; check that its disk is still plugged in, and try again"
    )]
    Vanished {
        /// The file or folder.
        path: PathBuf,
    },
    /// A photo or paper is no longer what it was.
    #[error("{path} is not what was kept: its contents have changed; put a copy of the original back")]
    Damaged {
        /// The file.
        path: PathBuf,
    },
    /// The name cannot be used.
    #[error(transparent)]
    Name(#[from] crate::name::NameError),
}

/// Wraps a disk error with its path and step.
pub(crate) fn disk(path: &Path, step: &'static str) -> impl FnOnce(io::Error) -> StoreError {
    let path = path.to_owned();
    move |source| StoreError::Disk { path, step, source }
}

/// Whether this program may write in the folder, and if not, why.
#[derive(Debug, Clone)]
pub enum Access {
    /// The folder is locked for this program.
    Writable,
    /// It was asked to be looked at only, and another window may have it open meanwhile.
    Looking,
    /// Another window or program holds the lock.
    OpenElsewhere,
    /// The system does not let this program write here.
    Denied(Arc<io::Error>),
    /// The disk would not lock the folder.
    Unguarded(Arc<io::Error>),
}

impl fmt::Display for Access {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Writable => f.write_str("the studio can be read and changed here"),
            Self::Looking => f.write_str(
                "the studio is only being looked at, so nothing in it is changed; open it to make changes",
            ),
            Self::OpenElsewhere => f.write_str(
                "the studio is open in another window, so here it can only be read; close the other window and \
                 open it again to make changes",
            ),
            Self::Denied(_) => f.write_str(
                "this folder cannot be written to, so the studio can only be read; allow writing to the folder \
                 and open it again to make changes",
            ),
            Self::Unguarded(error) => write!(
                f,
                "this folder could not be guarded against a second window ({error}), so the studio can only be \
                 read; free some space or move it to another disk, and open it again to make changes"
            ),
        }
    }
}

/// What lies in the folder of one kind of document.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Listing {
    /// The documents by name, readable or not.
    pub documents: Vec<DocPath>,
    /// Versions kept beside a document when another program had changed it.
    pub conflicts: Vec<String>,
    /// Names that are not ours: nothing reads or changes them.
    pub strangers: Vec<String>,
}

/// What is known of a document's file.
#[derive(Debug)]
enum Base {
    /// It was read or written; it may be found in any of these states (more than one after a doubt).
    Known { states: Vec<Option<Digest>>, beside: Option<(String, Digest)> },
    /// It is there but could not be read, so it must not be replaced.
    Unread,
}

/// What this program remembers of the folder while it is open.
#[derive(Debug, Default)]
struct Memory {
    docs: BTreeMap<DocPath, Base>,
    /// The stamp of each document's file under which its content was known last.
    seen: BTreeMap<DocPath, Stat>,
    /// Documents that were not as this program saves them when they were loaded, and were not saved since.
    changed: BTreeSet<DocPath>,
    /// Sub-folders whose own names are certain to be on the disk.
    settled: BTreeSet<PathBuf>,
    /// The witness of the records is there and could not be read, so it must not be replaced.
    heads_unread: bool,
}

/// An open studio folder. Loading and saving take turns, so it can be shared between threads.
#[derive(Debug)]
pub struct StudioFolder {
    root: PathBuf,
    vfs: Arc<dyn Vfs>,
    access: Access,
    _lock: Option<Box<dyn Held>>,
    memory: Mutex<Memory>,
    history: crate::history::Notes,
    swept: usize,
    troubles: Vec<StoreError>,
}

impl StudioFolder {
    /// Opens the studio at `path`; for reading only if it is open elsewhere or may not be written
    /// ([`Self::access`] says which). Under the lock, what a crash left half written is swept away.
    ///
    /// # Errors
    /// There is no such folder, it is not a studio, one of its folders is a link, or the disk fails.
    pub fn open(path: &Path, vfs: Arc<dyn Vfs>) -> Result<Self, StoreError> {
        Self::enter(studio_at(path, vfs.as_ref())?, vfs)
    }

    /// Looks into the studio at `path`, also while a window has it open: takes no lock, makes no folder, sweeps
    /// nothing away, and refuses every change.
    ///
    /// # Errors
    /// As [`Self::open`].
    pub fn look(path: &Path, vfs: Arc<dyn Vfs>) -> Result<Self, StoreError> {
        let root = studio_at(path, vfs.as_ref())?;
        refuse_strange_folders(vfs.as_ref(), &root)?;
        Ok(Self::at(root, vfs, Access::Looking, None))
    }

    /// Makes a new studio at `path`, whose parent folder exists, with its first document `studio.ron`. That
    /// file is written last: a folder without it is no studio yet, and making it can simply be tried again.
    ///
    /// # Errors
    /// There is a studio already, other files are there, or the disk fails.
    pub fn create<T>(path: &Path, vfs: Arc<dyn Vfs>, studio: &T) -> Result<Self, StoreError>
    where
        T: Serialize + DeserializeOwned + PartialEq,
    {
        Self::create_filled(path, vfs, studio, |_| Ok(()))
    }

    /// Makes a new studio as [`Self::create`] does, and lets `fill` put everything else into it before
    /// `studio.ron` says that it is whole.
    ///
    /// # Errors
    /// As [`Self::create`], and those of `fill`; what was put in until then stays.
    pub fn create_filled<T, E>(
        path: &Path,
        vfs: Arc<dyn Vfs>,
        studio: &T,
        fill: impl FnOnce(&Self) -> Result<(), E>,
    ) -> Result<Self, E>
    where
        T: Serialize + DeserializeOwned + PartialEq,
        E: From<StoreError>,
    {
        let folder = Self::begin(path, vfs)?;
        fill(&folder)?;
        match folder.save(&DocPath::studio(), studio) {
            SaveOutcome::Saved(_) => Ok(folder),
            SaveOutcome::NotSaved(error) | SaveOutcome::InDoubt(error) => {
                Err(StoreError::NotMade { path: folder.root, source: error.of_a_new_file() }.into())
            }
            SaveOutcome::Conflict { .. } => Err(StoreError::AlreadyAStudio { path: folder.root }.into()),
        }
    }

    /// An empty folder for a new studio, locked, and without `studio.ron`.
    pub(crate) fn begin(path: &Path, vfs: Arc<dyn Vfs>) -> Result<Self, StoreError> {
        let root = std::path::absolute(path).map_err(disk(path, "find"))?;
        vfs.make_dir(&root).map_err(disk(&root, "make the folder"))?;
        let entries = listed(vfs.as_ref(), &root)?.unwrap_or_default();
        if is_studio(vfs.as_ref(), &root, &entries)? {
            return Err(StoreError::AlreadyAStudio { path: root });
        }
        // What an earlier attempt left behind is ours and empty; anything else belongs to someone.
        let ours = |e: &Entry| {
            let name = e.name.to_string_lossy();
            name == LOCK || is_temp(&name) || SUB_FOLDERS.contains(&name.as_ref())
        };
        if !entries.iter().all(ours) || holds_files(vfs.as_ref(), &root, &SUB_FOLDERS)? {
            return Err(StoreError::NotEmpty { path: root });
        }
        if let Some(parent) = root.parent() {
            let confirmed = vfs.behind_links(parent).and_then(|parent| vfs.sync_dir(&parent));
            confirmed.map_err(disk(&root, "confirm the new folder"))?;
        }
        let folder = Self::enter(root, vfs)?;
        if !matches!(folder.access, Access::Writable) {
            return Err(StoreError::NotWritable { path: folder.root, access: folder.access });
        }
        Ok(folder)
    }

    /// Takes the lock if that can be had, and puts the folder in order under it.
    fn enter(root: PathBuf, vfs: Arc<dyn Vfs>) -> Result<Self, StoreError> {
        refuse_strange_folders(vfs.as_ref(), &root)?;
        let (access, lock) = take_lock(vfs.as_ref(), &root);
        let mut folder = Self::at(root, vfs, access, lock);
        if matches!(folder.access, Access::Writable) {
            folder.put_in_order();
        }
        Ok(folder)
    }

    fn at(root: PathBuf, vfs: Arc<dyn Vfs>, access: Access, lock: Option<Box<dyn Held>>) -> Self {
        let memory = Mutex::new(Memory::default());
        let history = crate::history::Notes::default();
        Self { root, vfs, access, _lock: lock, memory, history, swept: 0, troubles: Vec::new() }
    }

    /// Makes missing sub-folders and sweeps stale temporary files; what fails is noted, since the studio can
    /// still be read.
    fn put_in_order(&mut self) {
        let mut dirs: Vec<PathBuf> = SUB_FOLDERS.iter().map(|name| self.root.join(name)).collect();
        for dir in &dirs {
            if let Err(source) = self.vfs.make_dir(dir) {
                self.troubles.push(disk(dir, "make the folder")(source));
            }
        }
        match self.vfs.sync_dir(&self.root) {
            Ok(()) if self.troubles.is_empty() => self.memory().settled.extend(dirs.iter().cloned()),
            Ok(()) => {}
            Err(source) => self.troubles.push(disk(&self.root, "confirm the folders of")(source)),
        }
        let papers = self.root.join("papers");
        match listed(self.vfs.as_ref(), &papers) {
            Ok(entries) => {
                let inner = entries.unwrap_or_default().into_iter().filter(|e| e.kind == EntryKind::Folder);
                dirs.extend(inner.map(|entry| papers.join(entry.name)));
            }
            Err(error) => self.troubles.push(error),
        }
        dirs.extend([self.root.clone(), self.root.join(HISTORY)]);
        for dir in dirs {
            if let Err(error) = self.sweep(&dir) {
                self.troubles.push(error);
            }
        }
    }

    /// Removes what interrupted saves left in one folder. Only the holder of the lock sweeps, so no living program
    /// of this computer is writing what is swept; and only plain files under a name that a save of ours gives in
    /// this very folder are.
    fn sweep(&mut self, dir: &Path) -> Result<(), StoreError> {
        for entry in listed(self.vfs.as_ref(), dir)?.unwrap_or_default() {
            let name = entry.name.to_string_lossy();
            let ours = temp_of(&name).is_some_and(|of| self.is_saved_in(dir, of));
            if entry.kind == EntryKind::File && ours {
                let path = dir.join(&entry.name);
                self.vfs.remove(&path).map_err(disk(&path, "remove the leftover"))?;
                self.swept += 1;
            }
        }
        Ok(())
    }

    /// Whether this program saves a file of this name in this folder.
    fn is_saved_in(&self, dir: &Path, name: &str) -> bool {
        if dir == self.root {
            return AT_THE_TOP.contains(&name);
        }
        let below = dir.strip_prefix(&self.root).ok().and_then(Path::to_str).unwrap_or_default();
        match DocKind::ALL.into_iter().find(|kind| kind.folder() == Some(below)) {
            Some(kind) => DocPath::from_file_name(kind, name).is_ok(),
            None if below == "photos" => name.parse::<PhotoName>().is_ok(),
            // What gets a second name is copied here first, on a disk that knows none: a version, or what is kept beside.
            None if below == HISTORY => {
                Earlier::from_file_name(name).is_some() || kept_beside(name).is_some()
            }
            // Papers lie in a folder for each order, and none beside these.
            None => below.starts_with("papers/") && check_name(name).is_ok(),
        }
    }

    /// The whole path of the studio folder.
    pub fn root(&self) -> &Path {
        &self.root
    }

    /// Whether changes can be saved here, and if not, why.
    pub fn access(&self) -> &Access {
        &self.access
    }

    /// How many half-written files of an earlier crash were swept away at opening.
    pub fn swept(&self) -> usize {
        self.swept
    }

    /// What went wrong at opening without keeping the studio from being read.
    pub fn troubles(&self) -> &[StoreError] {
        &self.troubles
    }

    /// What lies in the folder of this kind. A file that cannot be read is listed all the same.
    ///
    /// # Errors
    /// The disk fails; a missing folder is simply empty.
    pub fn list(&self, kind: DocKind) -> Result<Listing, StoreError> {
        let dir = kind.folder().map_or_else(|| self.root.clone(), |folder| self.root.join(folder));
        let mut listing = Listing::default();
        for entry in listed(self.vfs.as_ref(), &dir)?.unwrap_or_default() {
            let name = entry.name.to_string_lossy().into_owned();
            let known_elsewhere = kind == DocKind::Studio && SUB_FOLDERS.contains(&name.as_str());
            if name.starts_with('.') || known_elsewhere {
                continue;
            }
            match DocPath::from_file_name(kind, &name) {
                Ok(path) if entry.kind == EntryKind::File => listing.documents.push(path),
                _ if entry.kind == EntryKind::File && kept_beside(&name).is_some() => {
                    listing.conflicts.push(name);
                }
                _ => listing.strangers.push(name),
            }
        }
        Ok(listing)
    }

    /// Saves one document. A file that exists but was not loaded whole is never replaced.
    pub fn save<T>(&self, path: &DocPath, doc: &T) -> SaveOutcome
    where
        T: Serialize + DeserializeOwned + PartialEq,
    {
        match self.ready_to_save(path, doc) {
            Err(error) => SaveOutcome::NotSaved(error),
            Ok((bytes, dir)) => {
                let kept = self.keep_earlier(path, &bytes);
                self.commit(path, &dir, &bytes, || self.confirm_earlier(path, &kept))
            }
        }
    }

    /// The bytes to write and the folder to write them to.
    fn ready_to_save<T>(&self, path: &DocPath, doc: &T) -> Result<(Vec<u8>, PathBuf), SaveError>
    where
        T: Serialize + DeserializeOwned + PartialEq,
    {
        let (dir, file) = (path.folder_in(&self.root), self.whole(path));
        self.may_write(&file)?;
        let bytes = format::encode(path.kind(), doc)
            .map_err(|source| SaveError::Text { path: file.clone(), source })?;
        self.settle(&dir).map_err(|source| SaveError::from_io(&file, "make its folder", source))?;
        Ok((bytes, dir))
    }

    /// The documents that read as what they are and are not as this program saved them: a letter was changed since, by
    /// hand or by a failing disk. The next save of such a document takes it off the list.
    pub fn changed_since_saved(&self) -> Vec<DocPath> {
        self.memory().changed.iter().cloned().collect()
    }

    /// Puts bytes in the place of what was just `found` there. Whatever comes of it, the document has to be loaded again
    /// before it is saved.
    pub(crate) fn replace(&self, path: &DocPath, found: Option<Digest>, bytes: &[u8]) -> SaveOutcome {
        self.memory().docs.insert(path.clone(), Base::known(found));
        let outcome = self.commit(path, &path.folder_in(&self.root), bytes, || ());
        self.memory().docs.insert(path.clone(), Base::Unread);
        outcome
    }

    fn commit(&self, path: &DocPath, dir: &Path, bytes: &[u8], before: impl FnOnce()) -> SaveOutcome {
        let mut memory = self.memory();
        let file = self.whole(path);
        if !memory.docs.contains_key(path) {
            // Never loaded: it may only be new.
            match self.vfs.read(&file, format::CAP) {
                Ok(None) => drop(memory.docs.insert(path.clone(), Base::known(None))),
                Ok(Some(_)) => return SaveOutcome::NotSaved(SaveError::NotRead { path: file }),
                Err(source) => {
                    return SaveOutcome::NotSaved(SaveError::from_io(&file, "read what is there", source));
                }
            }
        }
        let Some(Base::Known { states, beside }) = memory.docs.get_mut(path) else {
            return SaveOutcome::NotSaved(SaveError::NotRead { path: file });
        };
        let expect = Expect {
            states: Some(states),
            cap: format::CAP,
            beside: beside.as_ref().map(|(name, hash)| (name.as_str(), *hash)),
        };
        let place = Place { dir, name: &path.file_name() };
        let outcome = durable_save_after(self.vfs.as_ref(), place, bytes, expect, before);
        match &outcome {
            SaveOutcome::Saved(hash) => {
                (*states, *beside) = (vec![Some(*hash)], None);
                memory.changed.remove(path);
            }
            // Either version may be found next time, and both are ours.
            SaveOutcome::InDoubt(_) => {
                let ours = Some(Digest::of(bytes));
                if !states.contains(&ours) {
                    states.push(ours);
                }
            }
            SaveOutcome::Conflict { kept_beside } => *beside = Some((kept_beside.clone(), Digest::of(bytes))),
            SaveOutcome::NotSaved(_) => {}
        }
        outcome
    }

    /// Refuses if the studio is open for reading only.
    pub(crate) fn may_write(&self, file: &Path) -> Result<(), SaveError> {
        match &self.access {
            Access::Writable => Ok(()),
            access => Err(SaveError::ReadOnly { path: file.to_owned(), reason: access.to_string() }),
        }
    }

    /// Sees to it that a folder below the studio exists and that its own name is on the disk, once a session.
    pub(crate) fn settle(&self, dir: &Path) -> io::Result<()> {
        let mut memory = self.memory();
        if dir == self.root || memory.settled.contains(dir) {
            return Ok(());
        }
        self.vfs.make_dir(dir)?;
        self.vfs.sync_dir(dir.parent().unwrap_or(&self.root))?;
        memory.settled.insert(dir.to_owned());
        Ok(())
    }

    pub(crate) fn vfs(&self) -> &dyn Vfs {
        self.vfs.as_ref()
    }

    pub(crate) fn whole(&self, path: &DocPath) -> PathBuf {
        path.folder_in(&self.root).join(path.file_name())
    }

    /// Notes whether the witness of the records could not be read; gives what was noted before.
    pub(crate) fn heads_unread(&self, now: Option<bool>) -> bool {
        let mut memory = self.memory();
        let before = memory.heads_unread;
        memory.heads_unread = now.unwrap_or(before);
        before
    }

    /// Whether a document's file may be found with this digest, as far as is known here.
    pub(crate) fn is_known_state(&self, path: &DocPath, found: Digest) -> bool {
        match self.memory().docs.get(path) {
            Some(Base::Known { states, .. }) => states.contains(&Some(found)),
            Some(Base::Unread) | None => false,
        }
    }

    pub(crate) fn history_notes(&self) -> &crate::history::Notes {
        &self.history
    }

    fn memory(&self) -> MutexGuard<'_, Memory> {
        // What is remembered is changed in single steps, so a panic elsewhere leaves it whole.
        self.memory.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

impl Base {
    fn known(state: Option<Digest>) -> Self {
        Self::Known { states: vec![state], beside: None }
    }
}

/// What lies in a folder; `None` only if it does not exist.
pub(crate) fn listed(vfs: &dyn Vfs, dir: &Path) -> Result<Option<Vec<Entry>>, StoreError> {
    vfs.list(dir).map_err(|why| match why.kind() {
        ErrorKind::NotADirectory => StoreError::StrangeFolder { path: dir.to_owned() },
        _ => disk(dir, "list")(why),
    })
}

/// The whole path of the studio that is there.
fn studio_at(path: &Path, vfs: &dyn Vfs) -> Result<PathBuf, StoreError> {
    let root = std::path::absolute(path).map_err(disk(path, "find"))?;
    // The studio itself may be reached by a link; nothing in it may.
    let root = vfs.behind_links(&root).map_err(disk(&root, "find"))?;
    let entries = listed(vfs, &root).map_err(|why| match why {
        StoreError::StrangeFolder { path } => StoreError::NotAStudio { path },
        other => other,
    })?;
    let entries = entries.ok_or_else(|| StoreError::NoFolder { path: root.clone() })?;
    if is_studio(vfs, &root, &entries)? { Ok(root) } else { Err(StoreError::NotAStudio { path: root }) }
}

/// No sub-folder of a studio may be a link or a file.
fn refuse_strange_folders(vfs: &dyn Vfs, root: &Path) -> Result<(), StoreError> {
    for entry in listed(vfs, root)?.unwrap_or_default() {
        let name = entry.name.to_string_lossy();
        if SUB_FOLDERS.contains(&name.as_ref()) && entry.kind != EntryKind::Folder {
            return Err(StoreError::StrangeFolder { path: root.join(&entry.name) });
        }
    }
    Ok(())
}

/// Whether a folder is a studio: it holds `studio.ron`, or documents although that file has been lost.
fn is_studio(vfs: &dyn Vfs, root: &Path, entries: &[Entry]) -> Result<bool, StoreError> {
    if entries.iter().any(|entry| entry.name == "studio.ron") {
        return Ok(true);
    }
    let of_documents: Vec<_> = DocKind::ALL.iter().filter_map(|kind| kind.folder()).collect();
    for name in of_documents {
        let inside = entries.iter().any(|e| e.name == name && e.kind == EntryKind::Folder);
        let documents = if inside { listed(vfs, &root.join(name))?.unwrap_or_default() } else { Vec::new() };
        if documents.iter().any(|entry| entry.name.to_string_lossy().ends_with(".ron")) {
            return Ok(true);
        }
    }
    Ok(false)
}

/// Whether any of these folders holds anything but temporary files.
fn holds_files(vfs: &dyn Vfs, root: &Path, names: &[&str]) -> Result<bool, StoreError> {
    for name in names {
        let inside = listed(vfs, &root.join(name))?.unwrap_or_default();
        if inside.iter().any(|entry| !is_temp(&entry.name.to_string_lossy())) {
            return Ok(true);
        }
    }
    Ok(false)
}

/// Tries to take the lock and to make a file.
fn take_lock(vfs: &dyn Vfs, root: &Path) -> (Access, Option<Box<dyn Held>>) {
    let denied = |error: &io::Error| {
        matches!(error.kind(), ErrorKind::PermissionDenied | ErrorKind::ReadOnlyFilesystem)
    };
    let lock = match vfs.try_lock(&root.join(LOCK)) {
        Ok(Some(lock)) => lock,
        Ok(None) => return (Access::OpenElsewhere, None),
        Err(error) if denied(&error) => return (Access::Denied(Arc::new(error)), None),
        Err(error) => return (Access::Unguarded(Arc::new(error)), None),
    };
    // A lock file may be writable in a folder that is not; better said now than at the first save.
    let probe = root.join(temp_name(PROBE));
    match vfs.create_new(&probe).map(drop).and_then(|()| vfs.remove(&probe)) {
        Err(error) if denied(&error) => (Access::Denied(Arc::new(error)), None),
        // A full or failing disk may recover, so each save is left to say so itself.
        _ => (Access::Writable, Some(lock)),
    }
}

#[cfg(test)]
mod tests;
