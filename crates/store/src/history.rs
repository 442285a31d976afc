//! Earlier versions of documents, kept when a save replaces them: `.history/<kind>/<name>/`.
//!
//! Before a save puts a new file in place, the old one gets a second name here, or is copied where the disk knows no
//! second names. A version that cannot be kept never stops a save; it is told by [`StudioFolder::history_trouble`]. The
//! newest twenty stay, and of what is older the last of each day.

mod instead;

use std::collections::BTreeSet;
use std::io::{self, ErrorKind};
use std::path::{Path, PathBuf};
use std::sync::{Mutex, MutexGuard, PoisonError};

use serde::de::DeserializeOwned;

use crate::folder::{StoreError, StudioFolder, disk, listed};
use crate::format::{self, Decoded};
use crate::name::{DocKind, DocPath};
use crate::save::temp_name;
use crate::vfs::{Entry, EntryKind};
use craft::digest::Digest;
use craft::moment::Moment;

/// The folder of earlier versions.
pub(crate) const HISTORY: &str = ".history";

/// How many versions stay whatever day they are of.
pub const NEWEST: usize = 20;

/// How many digits of its digest stand in the name of a version.
const DIGITS: usize = 16;

/// A version of a document that was replaced later.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Earlier {
    /// Counts the versions of one document; a later one has a higher number.
    pub number: u32,
    /// When it was written, by the disk's clock: `2026-11-26t00-19-55-123z`.
    written: String,
    /// The first digits of its digest.
    digits: String,
}

impl Earlier {
    /// When it was written, in UTC by the disk's clock, as RFC 3339 with milliseconds.
    pub fn written(&self) -> String {
        let (day, time) = self.written.split_once('t').unwrap_or((&self.written, ""));
        let mut parts = time.trim_end_matches('z').split('-');
        let mut part = || parts.next().unwrap_or("00");
        format!("{day}T{}:{}:{}.{}Z", part(), part(), part(), part())
    }

    /// Its file's name.
    pub fn file_name(&self) -> String {
        format!("{:06}.{}.{}.ron", self.number, self.written, self.digits)
    }

    fn day(&self) -> &str {
        self.written.get(..10).unwrap_or_default()
    }

    fn holds(&self, bytes: &[u8]) -> bool {
        Digest::of(bytes).to_string().starts_with(&self.digits)
    }

    /// Reads a version's name; `None` for any other name.
    pub fn from_file_name(name: &str) -> Option<Self> {
        let mut parts = name.strip_suffix(".ron")?.split('.');
        let (number, written, digits) = (parts.next()?, parts.next()?, parts.next()?);
        let hex = |b: u8| b.is_ascii_digit() || (b'a'..=b'f').contains(&b);
        let stamp = |b: u8| b.is_ascii_digit() || matches!(b, b'-' | b't' | b'z');
        let sound = parts.next().is_none()
            && number.len() >= 6
            && digits.len() == DIGITS
            && digits.bytes().all(hex)
            && (20..=30).contains(&written.len())
            && written.bytes().all(stamp);
        let number = number.parse().ok().filter(|_| sound)?;
        let read = Self { number, written: written.to_owned(), digits: digits.to_owned() };
        (read.file_name() == name).then_some(read)
    }
}

/// Which of these versions need not stay: all but the newest twenty, and of what is older the last of each day.
pub fn to_drop(versions: &[Earlier]) -> Vec<Earlier> {
    let mut sorted: Vec<&Earlier> = versions.iter().collect();
    sorted.sort();
    let mut days = BTreeSet::new();
    let older = sorted.iter().rev().skip(NEWEST);
    older.filter(|version| !days.insert(version.day())).map(|&version| version.clone()).collect()
}

/// What is remembered of the history while the folder is open.
#[derive(Debug, Default)]
pub(crate) struct History {
    settled: BTreeSet<PathBuf>,
    not_of: BTreeSet<DocPath>,
    trouble: Option<String>,
}

impl StudioFolder {
    /// The earlier versions of a document, the newest in front.
    ///
    /// # Errors
    /// The disk fails.
    pub fn history(&self, path: &DocPath) -> Result<Vec<Earlier>, StoreError> {
        let entries = listed(self.vfs(), &self.history_of(path))?.unwrap_or_default();
        let files = entries.into_iter().filter(|entry| entry.kind == EntryKind::File);
        let mut versions: Vec<Earlier> =
            files.filter_map(|entry| Earlier::from_file_name(&entry.name.to_string_lossy())).collect();
        versions.sort_by(|a, b| b.cmp(a));
        Ok(versions)
    }

    /// The documents of a kind of which earlier versions are kept, whether they are there themselves or not.
    ///
    /// # Errors
    /// The disk fails.
    pub fn with_history(&self, kind: DocKind) -> Result<Vec<DocPath>, StoreError> {
        let dir = self.root().join(HISTORY).join(kind.folder().unwrap_or("studio"));
        let entries = listed(self.vfs(), &dir)?.unwrap_or_default();
        let folders = entries.into_iter().filter(|entry| entry.kind == EntryKind::Folder);
        let path = |entry: Entry| {
            DocPath::from_file_name(kind, &format!("{}.ron", entry.name.to_string_lossy())).ok()
        };
        Ok(folders.filter_map(path).collect())
    }

    /// One earlier version as it was; `None` only if it is not there any more.
    ///
    /// # Errors
    /// It is not what was kept, or the disk fails.
    pub fn earlier<T: DeserializeOwned>(
        &self,
        path: &DocPath,
        version: &Earlier,
    ) -> Result<Option<Decoded<T>>, StoreError> {
        let file = self.history_of(path).join(version.file_name());
        let bytes = self.vfs().read(&file, format::CAP).map_err(disk(&file, "read"))?;
        match bytes {
            Some(bytes) if !version.holds(&bytes) => Err(StoreError::Damaged { path: file }),
            other => Ok(other.map(|bytes| format::decode(path.kind(), &bytes))),
        }
    }

    /// Where an earlier version lies, as a path below the studio's folder.
    pub fn history_file(&self, path: &DocPath, version: &Earlier) -> String {
        let kind = path.kind().folder().unwrap_or("studio");
        format!("{HISTORY}/{kind}/{}/{}", path.stem(), version.file_name())
    }

    /// The bytes of a document's file as they lie on the disk; `None` only if there is none.
    ///
    /// # Errors
    /// The disk fails.
    pub fn file_bytes(&self, path: &DocPath) -> Result<Option<Vec<u8>>, StoreError> {
        let file = self.whole(path);
        self.vfs().read(&file, format::CAP).map_err(disk(&file, "read"))
    }

    /// Why an earlier version could not be kept since this was asked last.
    pub fn history_trouble(&self) -> Option<String> {
        self.notes().trouble.take()
    }

    /// Keeps no earlier versions of this document from here on, since it holds what shall be forgotten.
    pub fn keep_no_history_of(&self, path: &DocPath) {
        self.notes().not_of.insert(path.clone());
    }

    /// Removes every earlier version of a document; gives how many there were.
    ///
    /// # Errors
    /// The studio is open for reading only, or the disk fails; what was removed until then is gone.
    pub fn remove_history(&self, path: &DocPath) -> Result<usize, StoreError> {
        self.remove_all(&self.history_of(path), |_| true)
    }

    /// Gives the document that is about to be replaced by `bytes` a name of its own, which [`Self::confirm_earlier`]
    /// puts on the disk. Whatever goes wrong is noted.
    pub(crate) fn keep_earlier(&self, path: &DocPath, bytes: &[u8]) -> Vec<Earlier> {
        if self.notes().not_of.contains(path) {
            return Vec::new();
        }
        self.try_to_keep_earlier(path, bytes).unwrap_or_else(|why| {
            self.notes().trouble = Some(not_kept(path, &why));
            Vec::new()
        })
    }

    /// Waits until the version that was kept last is on the disk under its own name, and removes of `all` that are there
    /// what need not stay. Whatever goes wrong is noted.
    ///
    /// It comes after the new file was written: a disk that keeps a journal has then put both there by one wait.
    pub(crate) fn confirm_earlier(&self, path: &DocPath, all: &[Earlier]) {
        if all.is_empty() {
            return;
        }
        let said = match self.vfs().sync_dir(&self.history_of(path)) {
            Err(why) => not_kept(path, &why),
            Ok(()) => match self.prune(path, all) {
                Ok(()) => return,
                Err(why) => format!(
                    "the version of {path} before this one was kept, but versions that are old enough to go could not \
                     be removed: {why}; nothing is lost, and it is tried again at the next save"
                ),
            },
        };
        self.notes().trouble = Some(said);
    }

    /// Keeps it, and gives every version that there is then; none where nothing had to be kept.
    fn try_to_keep_earlier(&self, path: &DocPath, next: &[u8]) -> io::Result<Vec<Earlier>> {
        let file = self.whole(path);
        let Some(now) = self.vfs().read(&file, format::CAP)? else { return Ok(Vec::new()) };
        if now == next || !self.is_known_state(path, Digest::of(&now)) {
            // Nothing is replaced: it is the same, or another program's, which stays where it is.
            return Ok(Vec::new());
        }
        let dir = self.history_of(path);
        self.settle_history(&dir)?;
        let versions = self.history(path).map_err(io::Error::other)?;
        if versions.first().is_some_and(|newest| newest.holds(&now)) {
            // A save that came to nothing may have left its name unconfirmed.
            return Ok(versions);
        }
        let written_ns = self.vfs().stat(&file)?.map_or(0, |stat| stat.written_ns);
        let kept = Earlier {
            number: versions.first().map_or(1, |newest| newest.number.saturating_add(1)),
            written: stamp(written_ns),
            digits: Digest::of(&now).to_string().chars().take(DIGITS).collect(),
        };
        self.give_second_name(&file, &dir.join(kept.file_name()), &now)?;
        Ok(versions.into_iter().chain([kept]).collect())
    }

    /// Removes the versions that need not stay.
    fn prune(&self, path: &DocPath, all: &[Earlier]) -> io::Result<()> {
        let dir = self.history_of(path);
        to_drop(all).iter().try_for_each(|old| self.vfs().remove(&dir.join(old.file_name())))
    }

    /// A second name costs no writing; where the disk knows none, the bytes are copied. What has that name already is left
    /// as it is, and that is an error.
    fn give_second_name(&self, file: &Path, kept: &Path, bytes: &[u8]) -> io::Result<()> {
        match self.vfs().link(file, kept) {
            Err(error) if error.kind() != ErrorKind::AlreadyExists => self.copy_whole(kept, bytes),
            linked_or_taken => linked_or_taken,
        }
    }

    /// Half a copy never has a version's name: it is written under a temporary one, at the top of the history, where
    /// what a crash leaves of it is swept at the next opening, and gets its name once all of it is on the disk.
    fn copy_whole(&self, kept: &Path, bytes: &[u8]) -> io::Result<()> {
        let name = kept.file_name().unwrap_or_default().to_string_lossy();
        let temp = self.root().join(HISTORY).join(temp_name(&name));
        let copied = self.write_once(&temp, bytes).and_then(|()| self.vfs().rename(&temp, kept));
        if copied.is_err() {
            // What stays is swept; that the version was not kept is told.
            drop(self.vfs().remove(&temp));
        }
        copied
    }

    /// Writes a file of a name that is free, and waits until its bytes are on the disk.
    pub(crate) fn write_once(&self, path: &Path, bytes: &[u8]) -> io::Result<()> {
        let mut file = self.vfs().create_new(path)?;
        crate::save::write_all(file.as_mut(), bytes)?;
        file.sync()
    }

    /// Sees to it that a folder below the history exists, once a session.
    fn settle_history(&self, dir: &Path) -> io::Result<()> {
        if self.notes().settled.contains(dir) {
            return Ok(());
        }
        self.make_dirs(dir)?;
        self.notes().settled.insert(dir.to_owned());
        Ok(())
    }

    /// Makes a folder below the studio and those above it, and waits until their names are on the disk.
    pub(crate) fn make_dirs(&self, dir: &Path) -> io::Result<()> {
        if dir == self.root() || !dir.starts_with(self.root()) {
            return Ok(());
        }
        let above = dir.parent().unwrap_or(self.root());
        self.make_dirs(above)?;
        if self.vfs().make_dir(dir)? { self.vfs().sync_dir(above) } else { Ok(()) }
    }

    /// Removes the plain files of a folder whose names are `wanted`; gives how many.
    pub(crate) fn remove_all(&self, dir: &Path, wanted: impl Fn(&str) -> bool) -> Result<usize, StoreError> {
        self.may_write(dir)
            .map_err(|why| StoreError::NotRemoved { path: dir.to_owned(), why: Box::new(why) })?;
        let mut removed = 0;
        for entry in listed(self.vfs(), dir)?.unwrap_or_default() {
            if entry.kind != EntryKind::Folder && wanted(&entry.name.to_string_lossy()) {
                let file = dir.join(&entry.name);
                self.vfs().remove(&file).map_err(disk(&file, "remove"))?;
                removed += 1;
            }
        }
        if removed > 0 {
            self.vfs().sync_dir(dir).map_err(disk(dir, "confirm what was removed from"))?;
        }
        Ok(removed)
    }

    fn history_of(&self, path: &DocPath) -> PathBuf {
        self.root().join(HISTORY).join(path.kind().folder().unwrap_or("studio")).join(path.stem())
    }

    fn notes(&self) -> MutexGuard<'_, History> {
        // What is noted is changed in single steps, so a panic elsewhere leaves it whole.
        self.history_notes().lock().unwrap_or_else(PoisonError::into_inner)
    }
}

fn not_kept(path: &DocPath, why: &io::Error) -> String {
    format!("no earlier version of {path} was kept: {why}")
}

/// What the folder holds for this module.
pub(crate) type Notes = Mutex<History>;

/// A moment as it stands in a version's name.
fn stamp(ns: i128) -> String {
    let utc_ms = i64::try_from(ns.div_euclid(1_000_000)).unwrap_or(0);
    let at = Moment { utc_ms, offset_min: 0, boot: craft::moment::BootId(0), since_boot_ms: 0, awake_ms: 0 };
    at.utc_text().to_ascii_lowercase().replace([':', '.'], "-")
}

#[cfg(test)]
mod tests;
