//! A backup: the whole studio in one file, readable without this program.
//!
//! It is an ordinary tar file: a head in words, every file of the studio under its own path, and at the end a list of
//! SHA-256 digests that `sha256sum -c` reads. It is called made only after it was read back from the disk and compared.

mod outside;
mod restore;
mod tar;
#[cfg(test)]
mod tests;

use std::collections::{BTreeMap, BTreeSet};
use std::io::{self, BufWriter, Read, Write};
use std::path::{Path, PathBuf};
use std::sync::Arc;

use crate::folder::{SUB_FOLDERS, StoreError, StudioFolder, listed};
use crate::forgotten::{FORGOTTEN, is_order_folder};
use crate::format::Decoded;
use crate::heads;
use crate::history::{Earlier, HISTORY};
use crate::name::{DocKind, DocPath, check_name, kept_beside};
use crate::photos::{PAPER_CAP, PHOTO_CAP, PhotoName};
use crate::save::{SaveError, is_temp};
use crate::summaries::SUMMARIES;
use crate::vfs::{Entry, EntryKind};
use craft::digest::Digest;
use craft::id::StudioId;

pub(crate) use outside::Outside;
use outside::{Elsewhere, Out};
pub use restore::{Restored, Source, restore, restore_from};
pub use tar::Odd;
use tar::{Broke, Reader};

/// The name of the head within a backup.
const HEAD: &str = "heldfast-backup.txt";
/// The name of the list of digests within a backup.
const SUMS: &str = "SHA256SUMS";
/// The first words of the head.
const FORMAT: &str = "heldfast backup ";
/// The version of backups that this program writes and reads.
pub const VERSION: u32 = 1;
/// The largest head and list of digests that are read, in bytes.
const HEAD_CAP: u64 = 64 * 1024;
const SUMS_CAP: u64 = 256 * 1024 * 1024;

/// Why a backup was not made, or not put back.
#[derive(Debug, thiserror::Error)]
pub enum BackupError {
    /// There is a file of this name.
    #[error("there is a file {path} already; choose a new name, so that an older backup is never lost")]
    Taken {
        /// The file.
        path: PathBuf,
    },
    /// The backup would lie in what it is a backup of.
    #[error("{path} lies in the studio itself; choose a place on another disk")]
    Inside {
        /// The file.
        path: PathBuf,
    },
    /// The studio could not be read.
    #[error(transparent)]
    Store(#[from] StoreError),
    /// The backup could not be written.
    #[error(
        "no backup was made: {path} could not be written; the studio is untouched; check that disk and its free space"
    )]
    NotWritten {
        /// The file.
        path: PathBuf,
        /// What the system said.
        #[source]
        source: io::Error,
    },
    /// What was read back is not what was written.
    #[error(
        "no backup was made: {path} did not read back as it was written; the studio is untouched; use another disk"
    )]
    Different {
        /// The file.
        path: PathBuf,
    },
    /// It is there, and the disk will not say that it stays.
    #[error(
        "{path} was written and read back, but the disk would not confirm that it stays there, nor take it away again; do \
         not count on it, and make another backup on another disk"
    )]
    InDoubt {
        /// The file.
        path: PathBuf,
        /// What the system said.
        #[source]
        source: io::Error,
    },
    /// It was stopped.
    #[error("it was stopped, and nothing is kept of it")]
    Stopped,
    /// There is no such backup.
    #[error("there is no file {path}; check the name, or that its disk is plugged in")]
    NoFile {
        /// The file.
        path: PathBuf,
    },
    /// The backup cannot be read.
    #[error("the disk would not read {path}; nothing was put back; check the disk and try again")]
    NotRead {
        /// The file.
        path: PathBuf,
        /// What the system said.
        #[source]
        source: io::Error,
    },
    /// It is not a good backup.
    #[error("{path} cannot be used, and nothing was put back: {odd}; take another backup")]
    Odd {
        /// The file.
        path: PathBuf,
        /// What is wrong with it.
        odd: Odd,
    },
    /// What it says of itself is not so.
    #[error("{path} cannot be used, and nothing was put back: {what}; take another backup")]
    Unsound {
        /// The file.
        path: PathBuf,
        /// What is wrong with it.
        what: String,
    },
    /// A newer version made it.
    #[error(
        "{path} was made by a newer version of this program (backup {version}); nothing was put back; use that version"
    )]
    Newer {
        /// The file.
        path: PathBuf,
        /// The version it says.
        version: u32,
    },
    /// A part of it was put back.
    #[error("the studio in {at} is not whole; delete {at} and try again")]
    Begun {
        /// The folder.
        at: PathBuf,
        /// Why.
        #[source]
        source: Arc<dyn std::error::Error + Send + Sync>,
    },
}

impl BackupError {
    fn begun(at: &Path, source: impl std::error::Error + Send + Sync + 'static) -> Self {
        Self::Begun { at: at.to_owned(), source: Arc::new(source) }
    }

    fn broke(path: &Path, broke: Broke) -> Self {
        let path = path.to_owned();
        match broke {
            Broke::Disk(source) => Self::NotRead { path, source },
            Broke::Odd(odd) => Self::Odd { path, odd },
        }
    }
}

/// What a backup says of itself.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct About {
    /// The id of the studio.
    pub studio: String,
    /// When it was made, in UTC as RFC 3339.
    pub made: String,
}

/// What a backup holds.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Contents {
    /// What it says of itself.
    pub about: About,
    /// The digest of each file of the studio, by its path.
    pub files: BTreeMap<String, Digest>,
    /// How many bytes these are together.
    pub bytes: u64,
    /// What lies in the studio's folder and is not in the backup.
    pub left_out: LeftOut,
}

/// What lies in a studio's folder and is not in a backup of it.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct LeftOut {
    /// Names that are not ours, as paths below the folder.
    pub strangers: Vec<String>,
    /// What is ours and could not be read: a sentence each, which names it and says why.
    pub unread: Vec<String>,
}

impl LeftOut {
    /// True where nothing is missing.
    pub const fn is_empty(&self) -> bool {
        self.strangers.is_empty() && self.unread.is_empty()
    }
}

impl Contents {
    /// How many files of the studio there are.
    pub fn count(&self) -> usize {
        self.files.len()
    }
}

/// How a long piece of work tells of itself, in hundredths, and hears that it shall stop (`false`).
pub type Going<'a> = &'a mut dyn FnMut(u8) -> bool;

/// What is shown each file of a backup as it is read; `false` stops the reading.
pub type Look<'a> = &'a mut dyn FnMut(&str, &[u8]) -> bool;

/// How far it is where `done` of `all` lie between `from` and `to` hundredths.
fn hundredths(done: u64, all: u64, (from, to): (u8, u8)) -> u8 {
    let wide = u64::from(to.saturating_sub(from));
    from.saturating_add(u8::try_from(done.min(all) * wide / all.max(1)).unwrap_or(0))
}

/// Writes a backup of a studio to a new file and reads it back. The studio may be open in a window meanwhile: each
/// file of it is always whole. A file that cannot be read is left out and named; only what the rest is of, the settings
/// and the list of who is forgotten, has to be there.
///
/// # Errors
/// The file exists or lies in the studio, the disk fails, what was written does not read back, or it was stopped;
/// nothing of the backup is left then, unless it says that it is in doubt.
pub fn to_file(
    folder: &StudioFolder,
    about: &About,
    path: &Path,
    going: Going<'_>,
) -> Result<Contents, BackupError> {
    to_file_on(&Elsewhere, folder, about, path, going)
}

/// The same on any disk.
pub(crate) fn to_file_on(
    on: &dyn Outside,
    folder: &StudioFolder,
    about: &About,
    path: &Path,
    going: Going<'_>,
) -> Result<Contents, BackupError> {
    let failed = |source| BackupError::NotWritten { path: path.to_owned(), source };
    let path = std::path::absolute(path).map_err(failed)?;
    let dir = path.parent().ok_or(io::ErrorKind::InvalidFilename).map_err(|kind| failed(kind.into()))?;
    if on.is_there(&path).unwrap_or(false) {
        return Err(BackupError::Taken { path });
    }
    let real = |path: &Path| path.canonicalize().unwrap_or_else(|_| path.to_owned());
    if real(dir).starts_with(real(folder.root())) {
        return Err(BackupError::Inside { path });
    }
    let beside = part_name(&path);
    let made = write_and_compare(on, folder, about, &beside, going)
        .and_then(|contents| put_in_place(on, &beside, &path, &|| on.sync_dir(dir)).map(|()| contents));
    if made.is_err() {
        // What went wrong is told; a part that cannot be removed either has its name to tell what it is.
        drop(on.remove(&beside));
    }
    made
}

/// Gives a backup that was compared its name. Where the disk will not confirm that, it is taken away again, so that none
/// lies there of which it was said that none was made.
fn put_in_place(
    on: &dyn Outside,
    beside: &Path,
    path: &Path,
    confirm: &dyn Fn() -> io::Result<()>,
) -> Result<(), BackupError> {
    // Nothing that came into being meanwhile is written over.
    match on.link(beside, path) {
        Ok(()) => drop(on.remove(beside)),
        Err(error) if error.kind() == io::ErrorKind::AlreadyExists => {
            return Err(BackupError::Taken { path: path.to_owned() });
        }
        Err(_no_second_names) => {
            if let Err(source) = on.rename(beside, path) {
                return Err(not_renamed(on, beside, path, source));
            }
        }
    }
    confirm().map_err(|source| taken_away(on, path, source))
}

/// It was written and shall not stay.
fn taken_away(on: &dyn Outside, path: &Path, source: io::Error) -> BackupError {
    let path = path.to_owned();
    match on.remove(&path) {
        Ok(()) => BackupError::NotWritten { path, source },
        Err(_) => BackupError::InDoubt { path, source },
    }
}

/// A disk may have done what it reports as failed. What lies there now is taken away only where it is surely ours: where
/// its other name is gone.
fn not_renamed(on: &dyn Outside, beside: &Path, path: &Path, source: io::Error) -> BackupError {
    match (on.is_there(beside), on.is_there(path)) {
        (_, Ok(false)) => BackupError::NotWritten { path: path.to_owned(), source },
        (Ok(false), Ok(true)) => taken_away(on, path, source),
        _ => BackupError::InDoubt { path: path.to_owned(), source },
    }
}

fn part_name(path: &Path) -> PathBuf {
    let mut name = std::ffi::OsString::from(".");
    name.push(path.file_name().unwrap_or_default());
    name.push(format!(".{:08x}.part", fastrand::u32(..)));
    path.with_file_name(name)
}

fn write_and_compare(
    on: &dyn Outside,
    folder: &StudioFolder,
    about: &About,
    beside: &Path,
    going: Going<'_>,
) -> Result<Contents, BackupError> {
    let failed = |source| BackupError::NotWritten { path: beside.to_owned(), source };
    let mut out = BufWriter::new(Out(on.create_new(beside).map_err(failed)?));
    // Reading back takes about as long as writing, and can be stopped as well.
    let mut writing = |percent: u8| going(hundredths(u64::from(percent), 100, (0, 60)));
    let written = write(folder, about, &mut out, &mut writing).map_err(|why| match why {
        WriteError::Out(source) => failed(source),
        WriteError::Studio(why) => why.into(),
        WriteError::Stopped => BackupError::Stopped,
    })?;
    let Out(mut file) = out.into_inner().map_err(|error| failed(error.into_error()))?;
    file.sync().map_err(failed)?;
    drop(file);
    let mut input = on.open(beside).map_err(failed)?;
    let mut done = 0;
    let back = read(input.as_mut(), beside, &mut |_, _| {
        done += 1;
        going(hundredths(done, written.files.len() as u64, (60, 99)))
    });
    match back {
        Err(BackupError::Stopped) => Err(BackupError::Stopped),
        Ok(back) if back.files == written.files && back.about == written.about => Ok(written),
        _ => Err(BackupError::Different { path: beside.to_owned() }),
    }
}

/// Why a backup was not written.
#[derive(Debug)]
pub enum WriteError {
    /// The writer failed.
    Out(io::Error),
    /// The studio could not be read.
    Studio(StoreError),
    /// It was stopped.
    Stopped,
}

/// Writes a backup of a studio. What cannot be read, or is gone by the time it is to be read, is left out and named.
///
/// Documents are read before the photos and papers are listed, so that none of them names one that came later; and who
/// is forgotten is read last, so that a client whose file was read before it is not brought back by the backup.
///
/// # Errors
/// The studio cannot be read or is there no more, the writer fails, or it was stopped.
pub fn write(
    folder: &StudioFolder,
    about: &About,
    out: &mut dyn Write,
    going: Going<'_>,
) -> Result<Contents, WriteError> {
    let contents =
        Contents { about: about.clone(), files: BTreeMap::new(), bytes: 0, left_out: LeftOut::default() };
    let mut writing = Writing { folder, out, contents };
    let head = head_text(about);
    tar::write_file(writing.out, HEAD, head.as_bytes()).map_err(WriteError::Out)?;
    let top = writing.top()?;
    let had_forgotten = top.iter().any(|entry| entry.name == FORGOTTEN);
    let (mut files, folders) = writing.sort_out("", top);
    let is_late = |folder: &String| NAMED_BY_DOCUMENTS.contains(&folder.as_str());
    let (late, early): (Vec<String>, Vec<String>) = folders.into_iter().partition(is_late);
    files.extend(writing.below(early));
    writing.add_all(files, (0, 40), going)?;
    // A folder that was made meanwhile counts as well as one that was there from the first.
    let now = writing.top()?;
    let made = NAMED_BY_DOCUMENTS.iter().filter(|name| now.iter().any(|entry| entry.name == **name));
    let late: BTreeSet<String> = late.into_iter().chain(made.map(|name| (*name).to_owned())).collect();
    let files = writing.below(late.into_iter().collect());
    writing.add_all(files, (40, 95), going)?;
    // The first client who is ever forgotten may be forgotten while the backup is made.
    if !writing.add(FORGOTTEN)? && had_forgotten {
        return Err(vanished(&folder.root().join(FORGOTTEN)));
    }
    if !folder.is_there().map_err(crate::folder::disk(folder.root(), "read")).map_err(WriteError::Studio)? {
        return Err(vanished(folder.root()));
    }
    writing.end(&head)
}

fn vanished(path: &Path) -> WriteError {
    WriteError::Studio(StoreError::Vanished { path: path.to_owned() })
}

/// The folders of what documents name; a document is kept after what it names.
const NAMED_BY_DOCUMENTS: [&str; 3] = ["photos", "papers", "templates"];

/// A backup that is being written.
struct Writing<'a> {
    folder: &'a StudioFolder,
    out: &'a mut dyn Write,
    contents: Contents,
}

impl Writing<'_> {
    /// What lies in the studio's folder itself, without which there is no backup.
    fn top(&self) -> Result<Vec<Entry>, WriteError> {
        let root = self.folder.root();
        listed(self.folder.vfs(), root).map_err(WriteError::Studio)?.ok_or_else(|| vanished(root))
    }

    /// Every file that a backup holds below these folders, which were there when they were asked for.
    fn below(&mut self, mut folders: Vec<String>) -> Vec<String> {
        let mut files = Vec::new();
        while let Some(below) = folders.pop() {
            match listed(self.folder.vfs(), &self.folder.root().join(&below)) {
                Ok(Some(entries)) => {
                    let (found, more) = self.sort_out(&below, entries);
                    files.extend(found);
                    folders.extend(more);
                }
                Ok(None) => self.missed(&below),
                Err(why) => self.contents.left_out.unread.push(crate::told(&why)),
            }
        }
        files
    }

    /// The files and the folders of what was listed, as paths below the studio. What is not ours is noted.
    fn sort_out(&mut self, below: &str, entries: Vec<Entry>) -> (Vec<String>, Vec<String>) {
        let (mut files, mut folders) = (Vec::new(), Vec::new());
        for entry in entries {
            let name = entry.name.to_string_lossy();
            let path = if below.is_empty() { name.clone().into_owned() } else { format!("{below}/{name}") };
            let known_folder = !below.is_empty() && !below.starts_with("photos")
                || SUB_FOLDERS.contains(&name.as_ref())
                || matches!(name.as_ref(), HISTORY | "templates");
            match entry.kind {
                EntryKind::File if path == FORGOTTEN => {}
                EntryKind::File if cap_of(&path).is_some() => files.push(path),
                EntryKind::Folder if known_folder => folders.push(path),
                _ if is_temp(&name) || matches!(name.as_ref(), ".lock" | NOTE | SUMMARIES) => {}
                _ => self.contents.left_out.strangers.push(path),
            }
        }
        (files, folders)
    }

    /// Writes these files, in the order in which they are best read.
    fn add_all(
        &mut self,
        mut files: Vec<String>,
        span: (u8, u8),
        going: Going<'_>,
    ) -> Result<(), WriteError> {
        files.sort_by(|a, b| rank(a).cmp(&rank(b)).then_with(|| a.cmp(b)));
        let all = files.len() as u64;
        for (path, done) in files.iter().zip(1..) {
            if !self.add(path)? {
                if path == "studio.ron" {
                    return Err(vanished(&self.folder.root().join(path)));
                }
                self.missed(path);
            }
            if !going(hundredths(done, all, span)) {
                return Err(WriteError::Stopped);
            }
        }
        Ok(())
    }

    /// Writes one file; `false` only where there is none. One that cannot be read is named among what is left out.
    fn add(&mut self, path: &str) -> Result<bool, WriteError> {
        let file = self.folder.root().join(path);
        let cap = cap_of(path).unwrap_or(PHOTO_CAP);
        let bytes = match self.folder.vfs().read(&file, cap).map_err(crate::folder::disk(&file, "read")) {
            Ok(Some(bytes)) => bytes,
            Ok(None) => return Ok(false),
            Err(why) if matches!(path, "studio.ron" | FORGOTTEN) => return Err(WriteError::Studio(why)),
            // A backup of everything else is worth more than none.
            Err(why) => {
                self.contents.left_out.unread.push(crate::told(&why));
                return Ok(true);
            }
        };
        tar::write_file(self.out, path, &bytes).map_err(WriteError::Out)?;
        self.contents.bytes += bytes.len() as u64;
        self.contents.files.insert(path.to_owned(), Digest::of(&bytes));
        Ok(true)
    }

    /// Names what was listed and is not there any more. Earlier versions go while a studio is worked in.
    fn missed(&mut self, path: &str) {
        if Path::new(path).starts_with(HISTORY) {
            return;
        }
        let gone = StoreError::Vanished { path: self.folder.root().join(path) };
        self.contents.left_out.unread.push(crate::told(&gone));
    }

    fn end(self, head: &str) -> Result<Contents, WriteError> {
        let Self { out, mut contents, .. } = self;
        contents.left_out.strangers.sort();
        let sums = sums_text(head, &contents.files);
        tar::write_file(out, SUMS, sums.as_bytes()).map_err(WriteError::Out)?;
        tar::write_end(out).map_err(WriteError::Out)?;
        out.flush().map_err(WriteError::Out)?;
        Ok(contents)
    }
}

/// In which order files are read: a document before what it names, as far as it can be.
fn rank(path: &str) -> usize {
    let folder = path.split_once('/').map_or("", |(folder, _)| folder);
    ["", "shelf", "clients", "money", "orders", HISTORY, "photos", "papers"]
        .iter()
        .position(|known| *known == folder)
        .unwrap_or(usize::MAX)
}

fn head_text(about: &About) -> String {
    format!(
        "{FORMAT}{VERSION}\nstudio {}\nmade {}\n\nThe files of a studio, each under its own path. Unpack it with any tar \
         program; check it with: sha256sum -c {SUMS}\n",
        about.studio, about.made
    )
}

fn sums_text(head: &str, files: &BTreeMap<String, Digest>) -> String {
    let line = |(path, digest): (&String, &Digest)| format!("{digest}  {path}\n");
    let head = format!("{}  {HEAD}\n", Digest::of(head.as_bytes()));
    head + &files.iter().map(line).collect::<String>()
}

/// Reads a backup through and compares every digest; `look` is given each file of the studio.
///
/// # Errors
/// It cannot be read, is damaged, holds what no backup holds, or was made by a newer version; or `look` stopped it.
pub fn read(input: &mut dyn Read, path: &Path, look: Look<'_>) -> Result<Contents, BackupError> {
    let broke = |why| BackupError::broke(path, why);
    let unsound = |what: String| BackupError::Unsound { path: path.to_owned(), what };
    let mut reader = Reader::new(input);
    let first = reader.next(cap_in_backup).map_err(broke)?;
    let Some((_, head)) = first.filter(|(name, _)| name == HEAD) else {
        return Err(unsound(format!("it does not begin with {HEAD}, so it is not a backup of a studio")));
    };
    let head = String::from_utf8_lossy(&head).into_owned();
    let about = about(&head, path)?;
    let mut contents = Contents { about, files: BTreeMap::new(), bytes: 0, left_out: LeftOut::default() };
    let mut sums = None;
    let mut of = None;
    while let Some((name, bytes)) = reader.next(cap_in_backup).map_err(broke)? {
        if name == SUMS && sums.is_none() {
            sums = Some(bytes);
            continue;
        }
        // The list is the last, so that nothing stands behind what it lists.
        if sums.is_some() || name == HEAD || contents.files.contains_key(&name) {
            return Err(broke(Broke::Odd(Odd::Twice(name))));
        }
        if !look(&name, &bytes) {
            return Err(BackupError::Stopped);
        }
        if name == "studio.ron" {
            of = says_it_is_of(&bytes);
        }
        contents.bytes += bytes.len() as u64;
        contents.files.insert(name, Digest::of(&bytes));
    }
    let Some(sums) = sums else { return Err(unsound("its list of digests is missing".to_owned())) };
    if sums != sums_text(&head, &contents.files).as_bytes() {
        return Err(unsound(differing(&String::from_utf8_lossy(&sums), &contents.files)));
    }
    if !contents.files.contains_key("studio.ron") {
        return Err(unsound("studio.ron is not in it".to_owned()));
    }
    // Who is to be forgotten is looked up by what the head says.
    match of.filter(|of| of.as_str() != contents.about.studio) {
        Some(of) => Err(unsound(format!(
            "its head says it is of studio {}, and the studio.ron in it is of {of}",
            contents.about.studio
        ))),
        None => Ok(contents),
    }
}

/// The studio that a `studio.ron` is of; none where it cannot be read, as it may be in the backup of a damaged studio.
fn says_it_is_of(bytes: &[u8]) -> Option<StudioId> {
    /// Of the settings, only which studio's they are.
    #[derive(serde::Deserialize)]
    struct Named {
        studio: StudioId,
    }
    match crate::format::decode::<Named>(DocKind::Studio, bytes) {
        Decoded::Whole(Named { studio }) => Some(studio),
        _ => None,
    }
}

/// What differs between the list and what was read.
fn differing(sums: &str, files: &BTreeMap<String, Digest>) -> String {
    let listed: BTreeMap<&str, &str> =
        sums.lines().filter_map(|line| line.split_once("  ")).map(|(digest, path)| (path, digest)).collect();
    for (path, digest) in files {
        match listed.get(path.as_str()) {
            None => return format!("{path} is in it and not on its list"),
            Some(listed) if *listed != digest.to_string() => {
                return format!("{path} is not what was put into it");
            }
            Some(_) => {}
        }
    }
    listed.into_keys().find(|path| *path != HEAD && !files.contains_key(*path)).map_or_else(
        || "its list of digests is damaged".to_owned(),
        |path| format!("{path} is missing from it"),
    )
}

/// What the head says.
fn about(head: &str, path: &Path) -> Result<About, BackupError> {
    let unsound = |what: &str| BackupError::Unsound { path: path.to_owned(), what: what.to_owned() };
    let mut lines = head.lines();
    let version = lines.next().and_then(|line| line.strip_prefix(FORMAT)?.parse::<u32>().ok());
    match version {
        Some(VERSION) => {}
        Some(version) if version > VERSION => {
            return Err(BackupError::Newer { path: path.to_owned(), version });
        }
        _ => return Err(unsound("its head says no version")),
    }
    let mut word = |name: &str| lines.next().and_then(|line| line.strip_prefix(name)).map(str::to_owned);
    match (word("studio "), word("made ")) {
        // It becomes a file's name, so nothing else than an id is taken for one.
        (Some(studio), Some(_)) if studio.parse::<StudioId>().is_err() => {
            Err(unsound("what its head names is no studio"))
        }
        (Some(studio), Some(made)) => Ok(About { studio, made }),
        _ => Err(unsound("its head does not say which studio it is of")),
    }
}

/// How large a file of this name may be within a backup; `None` for a name that may not be there.
fn cap_in_backup(name: &str) -> Option<u64> {
    match name {
        HEAD => Some(HEAD_CAP),
        SUMS => Some(SUMS_CAP),
        _ => cap_of(name),
    }
}

/// How large a file of a studio may be, by its path; `None` where it is none that a backup holds.
fn cap_of(path: &str) -> Option<u64> {
    let parts: Vec<&str> = path.split('/').collect();
    let plain = |name: &str| check_name(name).is_ok();
    match parts.as_slice() {
        [".heads"] => Some(heads::CAP),
        [FORGOTTEN] => Some(crate::forgotten::CAP),
        [file] if DocPath::parse(file).is_ok() || kept_beside(file).is_some() => Some(crate::format::CAP),
        ["photos", file] if file.parse::<PhotoName>().is_ok() => Some(PHOTO_CAP),
        ["papers", tag, file] if is_order_folder(tag) && plain(file) => Some(PAPER_CAP),
        ["templates", file] if plain(file) => Some(PAPER_CAP),
        [HISTORY, kind, stem, file] => {
            let known = DocKind::ALL.iter().any(|known| known.folder().unwrap_or("studio") == *kind);
            (known && plain(stem) && Earlier::from_file_name(file).is_some()).then_some(crate::format::CAP)
        }
        [folder, file] => {
            let of_documents = DocKind::ALL.iter().any(|kind| kind.folder() == Some(folder));
            (of_documents && (DocPath::parse(path).is_ok() || kept_beside(file).is_some()))
                .then_some(crate::format::CAP)
        }
        _ => None,
    }
}

/// When the last backup was made: a best-effort note in the studio's folder, on which nothing depends.
pub(crate) const NOTE: &str = ".last-backup";

impl StudioFolder {
    /// When the last backup of this studio was made, in UTC as RFC 3339, and where it was put, as far as is known.
    pub fn last_backup(&self) -> Option<(String, Option<PathBuf>)> {
        let bytes = self.vfs().read(&self.root().join(NOTE), HEAD_CAP).ok().flatten()?;
        let text = String::from_utf8(bytes).ok()?;
        let mut lines = text.lines();
        Some((lines.next()?.to_owned(), lines.next().map(PathBuf::from)))
    }

    /// Notes when a backup was made and where it was put, if that can be done; gives whether it was.
    pub fn note_backup(&self, made: &str, to: &Path) -> bool {
        if self.may_write(self.root()).is_err() {
            return false;
        }
        let place = crate::save::Place { dir: self.root(), name: NOTE };
        let expect = crate::save::Expect { states: None, cap: HEAD_CAP, beside: None };
        // A name that is no text, or more than a line, is not noted; when it was made is.
        let to = to.to_str().filter(|to| !to.contains(['\n', '\r']));
        let text = to.map_or_else(|| format!("{made}\n"), |to| format!("{made}\n{to}\n"));
        let outcome = crate::save::durable_save(self.vfs(), place, text.as_bytes(), expect);
        matches!(outcome, crate::save::SaveOutcome::Saved(_))
    }
}

/// What keeps something from being written, as it is told where a whole studio is written.
fn not_kept(path: &Path, step: &'static str) -> impl FnOnce(io::Error) -> SaveError {
    let path = path.to_owned();
    move |source| SaveError::from_io(&path, step, source).of_a_new_file()
}
