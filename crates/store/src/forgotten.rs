//! Who is to be forgotten: `.forgotten`, written before anything is removed, so that what was begun is gone through with.
//!
//! It holds no words of a person: the client's id, the day, and the tags of the orders.

use std::collections::{BTreeMap, BTreeSet};
use std::io;
use std::path::{Path, PathBuf};

use crate::folder::{StoreError, StudioFolder, disk, is_conflict, listed};
use crate::name::{DocKind, DocPath};
use crate::photos::PhotoName;
use crate::save::{Expect, Place, SaveError, SaveOutcome, durable_save};
use crate::vfs::{EntryKind, Vfs};

/// The file's name.
pub(crate) const FORGOTTEN: &str = ".forgotten";
/// The first line of the file.
const HEAD: &str = "heldfast forgotten 1";
/// The largest file that is read, in bytes.
pub(crate) const CAP: u64 = 16 * 1024 * 1024;
/// The largest file that is searched for words, in bytes.
const SEARCH_CAP: u64 = crate::photos::PHOTO_CAP;

/// One client who is to be forgotten.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Tombstone {
    /// The day, as `2026-11-26`.
    pub day: String,
    /// The tags of the orders, in small letters.
    pub tags: BTreeSet<String>,
}

/// All who are to be forgotten, by their id.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Forgotten(BTreeMap<String, Tombstone>);

impl Forgotten {
    /// Adds a client, or more orders of one that is here already. What cannot be a name of ours is left out.
    pub fn add(&mut self, client: &str, day: &str, tags: impl IntoIterator<Item = String>) {
        if DocPath::client(client).is_err() {
            return;
        }
        let tombstone = self.0.entry(client.to_owned()).or_default();
        if tombstone.day.is_empty() {
            day.clone_into(&mut tombstone.day);
        }
        let named = tags.into_iter().filter_map(|tag| DocPath::order(&tag).ok());
        tombstone.tags.extend(named.map(|path| path.stem().to_owned()));
    }

    /// Adds everyone of another list.
    pub fn add_all(&mut self, other: &Forgotten) {
        for (client, tombstone) in &other.0 {
            self.add(client, &tombstone.day, tombstone.tags.iter().cloned());
        }
    }

    /// Everyone.
    pub fn all(&self) -> impl Iterator<Item = (&str, &Tombstone)> {
        self.0.iter().map(|(client, tombstone)| (client.as_str(), tombstone))
    }

    /// One client.
    pub fn get(&self, client: &str) -> Option<&Tombstone> {
        self.0.get(client)
    }

    /// Whether an order is one of a forgotten client.
    pub fn is_order(&self, tag: &str) -> bool {
        let tag = tag.to_ascii_lowercase();
        self.0.values().any(|tombstone| tombstone.tags.contains(&tag))
    }

    /// True where nobody is to be forgotten.
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// The text of the file: one line a client.
    pub fn to_text(&self) -> String {
        let line = |(client, stone): (&String, &Tombstone)| {
            let tags: Vec<&str> = stone.tags.iter().map(String::as_str).collect();
            format!(
                "{client} {} {}\n",
                stone.day,
                if tags.is_empty() { "-".to_owned() } else { tags.join(",") }
            )
        };
        format!("{HEAD}\n{}", self.0.iter().map(line).collect::<String>())
    }

    /// Reads the text of the file.
    ///
    /// # Errors
    /// What is wrong with it. Nothing is passed over: a name that is not read would come back.
    pub fn from_text(text: &str) -> Result<Self, String> {
        let mut lines = text.lines();
        if lines.next() != Some(HEAD) {
            return Err(format!("its first line is not \"{HEAD}\""));
        }
        let mut read = Self::default();
        for (place, line) in lines.enumerate() {
            let words: Vec<&str> = line.split(' ').collect();
            let [client, day, tags] = words.as_slice() else {
                return Err(format!("line {} is not a client, a day and tags", place + 2));
            };
            let tags: Vec<String> = tags.split(',').filter(|tag| *tag != "-").map(str::to_owned).collect();
            let named = DocPath::client(client).is_ok() && tags.iter().all(|tag| DocPath::order(tag).is_ok());
            if !named || day.len() != 10 {
                return Err(format!("line {} is not a client, a day and tags", place + 2));
            }
            read.add(client, day, tags);
        }
        Ok(read)
    }

    /// Reads a file of this kind outside a studio; an empty list only where there is no such file.
    ///
    /// # Errors
    /// The disk fails, or it cannot be understood.
    pub fn read(path: &Path, vfs: &dyn Vfs) -> Result<Self, StoreError> {
        let Some(bytes) = vfs.read(path, CAP).map_err(disk(path, "read"))? else {
            return Ok(Self::default());
        };
        let text = String::from_utf8(bytes).map_err(|why| why.to_string());
        text.and_then(|text| Self::from_text(&text))
            .map_err(|what| StoreError::Unclear { path: path.to_owned(), what })
    }
}

impl StudioFolder {
    /// Who is to be forgotten here; nobody only where no such file is.
    ///
    /// # Errors
    /// The disk fails, or the file cannot be understood.
    pub fn load_forgotten(&self) -> Result<Forgotten, StoreError> {
        Forgotten::read(&self.root().join(FORGOTTEN), self.vfs())
    }

    /// Says who is to be forgotten. From here on it is gone through with.
    pub fn save_forgotten(&self, forgotten: &Forgotten) -> SaveOutcome {
        let path = self.root().join(FORGOTTEN);
        if let Err(why) = self.may_write(&path) {
            return SaveOutcome::NotSaved(why);
        }
        let place = Place { dir: self.root(), name: FORGOTTEN };
        let expect = Expect { states: None, cap: CAP, beside: None };
        durable_save(self.vfs(), place, forgotten.to_text().as_bytes(), expect)
    }

    /// Removes a photo; `false` where it was not there.
    ///
    /// # Errors
    /// The studio is open for reading only, or the disk fails.
    pub fn remove_photo(&self, name: &PhotoName) -> Result<bool, StoreError> {
        let name = name.to_string();
        Ok(self.remove_all(&self.root().join("photos"), |found| found == name)? > 0)
    }

    /// Removes every paper of an order and whatever else lies in its folder; gives how many.
    ///
    /// # Errors
    /// As [`StudioFolder::remove_photo`].
    pub fn remove_papers(&self, tag: &str) -> Result<usize, StoreError> {
        let path = DocPath::order(tag)?;
        self.remove_all(&self.root().join("papers").join(path.stem()), |_| true)
    }

    /// Removes the versions that were kept beside a document when another program had changed it; gives how many.
    ///
    /// # Errors
    /// As [`StudioFolder::remove_photo`].
    pub fn remove_conflicts(&self, path: &DocPath) -> Result<usize, StoreError> {
        let beside = format!("{}.conflict-", path.stem());
        self.remove_all(&path.folder_in(self.root()), |name| is_conflict(name) && name.starts_with(&beside))
    }

    /// The names of the versions that were kept beside a document when another program had changed it.
    ///
    /// # Errors
    /// The disk would not list the folder.
    pub fn conflicts_of(&self, path: &DocPath) -> Result<Vec<String>, StoreError> {
        let beside = format!("{}.conflict-", path.stem());
        let mut listing = self.list(path.kind())?;
        listing.conflicts.retain(|name| name.starts_with(&beside));
        Ok(listing.conflicts)
    }

    /// Every file of the folder in which one of these words stands, as paths below the folder. A file that cannot be
    /// read is given as well: nobody knows what is in it. Nothing is read in the folders `left_out`, given as paths
    /// below the folder.
    ///
    /// # Errors
    /// The disk would not list a folder.
    pub fn files_with(&self, words: &[String], left_out: &[&str]) -> Result<Vec<String>, StoreError> {
        let wanted: Vec<Vec<u8>> =
            words.iter().filter(|word| !word.is_empty()).flat_map(|word| spellings(word)).collect();
        let mut found = Vec::new();
        let mut folders = vec![PathBuf::new()];
        while let Some(below) = folders.pop() {
            for entry in listed(self.vfs(), &self.root().join(&below))?.unwrap_or_default() {
                let path = below.join(&entry.name);
                match entry.kind {
                    EntryKind::Folder if left_out.iter().any(|folder| path == Path::new(folder)) => {}
                    EntryKind::Folder => folders.push(path),
                    EntryKind::File if !self.holds_any(&path, &wanted).unwrap_or(true) => {}
                    EntryKind::File => found.push(path.display().to_string()),
                    EntryKind::Other => {}
                }
            }
        }
        found.sort();
        Ok(found)
    }

    fn holds_any(&self, path: &Path, wanted: &[Vec<u8>]) -> io::Result<bool> {
        let bytes = self.vfs().read(&self.root().join(path), SEARCH_CAP)?.unwrap_or_default();
        Ok(wanted.iter().any(|word| holds(&bytes, word)))
    }

    /// Names in the top folder, among photos and among papers that are not ours: nothing reads or changes them.
    ///
    /// # Errors
    /// The disk would not list a folder.
    pub fn strangers(&self) -> Result<Vec<String>, StoreError> {
        let top = self.list(DocKind::Studio)?.strangers;
        let mut found: Vec<String> = top.into_iter().filter(|name| name != "templates").collect();
        let below = |folder: &str, name: &std::ffi::OsStr| format!("{folder}/{}", name.to_string_lossy());
        for entry in listed(self.vfs(), &self.root().join("photos"))?.unwrap_or_default() {
            let name = entry.name.to_string_lossy();
            let ours = entry.kind == EntryKind::File && name.parse::<PhotoName>().is_ok();
            if !ours && !crate::save::is_temp(&name) {
                found.push(below("photos", &entry.name));
            }
        }
        for folder in listed(self.vfs(), &self.root().join("papers"))?.unwrap_or_default() {
            let name = folder.name.to_string_lossy().into_owned();
            if folder.kind != EntryKind::Folder || !is_order_folder(&name) {
                found.push(below("papers", &folder.name));
                continue;
            }
            let inside = format!("papers/{name}");
            for entry in listed(self.vfs(), &self.root().join(&inside))?.unwrap_or_default() {
                let file = entry.name.to_string_lossy();
                let ours = entry.kind == EntryKind::File && crate::name::check_name(&file).is_ok();
                if !ours && !crate::save::is_temp(&file) {
                    found.push(below(&inside, &entry.name));
                }
            }
        }
        Ok(found)
    }
}

/// Whether a folder among the papers is named as an order's is: by its tag in small letters.
pub(crate) fn is_order_folder(name: &str) -> bool {
    DocPath::order(name).is_ok_and(|path| path.stem() == name)
}

/// The ways some words may stand in a file: as they are, and as a document writes them between quotation marks.
fn spellings(word: &str) -> Vec<Vec<u8>> {
    let mut all = vec![word.as_bytes().to_vec()];
    if let Ok(written) = ron::to_string(word) {
        let inner = written.trim_start_matches('"').trim_end_matches('"').as_bytes().to_vec();
        if !all.contains(&inner) {
            all.push(inner);
        }
    }
    all
}

fn holds(bytes: &[u8], word: &[u8]) -> bool {
    let Some(&first) = word.first() else { return false };
    let mut rest = bytes;
    while let Some(at) = rest.iter().position(|&byte| byte == first) {
        rest = rest.get(at..).unwrap_or_default();
        if rest.starts_with(word) {
            return true;
        }
        rest = rest.get(1..).unwrap_or_default();
    }
    false
}

/// What a save that must be certain came to.
///
/// # Errors
/// Why it is not certainly on the disk.
pub fn must_be_saved(outcome: SaveOutcome, path: &Path) -> Result<(), SaveError> {
    match outcome {
        SaveOutcome::Saved(_) => Ok(()),
        SaveOutcome::NotSaved(why) | SaveOutcome::InDoubt(why) => Err(why),
        SaveOutcome::Conflict { .. } => Err(SaveError::NotRead { path: path.to_owned() }),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_list_reads_back_as_it_was_written_and_a_slip_in_it_is_never_passed_over() {
        let mut list = Forgotten::default();
        list.add("ingrid", "2026-11-26", ["A2B-C3H".to_owned(), "a2b-c3h".to_owned()]);
        list.add("nobody", "2026-11-27", []);
        list.add("../x", "2026-11-27", []);
        let text = list.to_text();
        assert_eq!(text, "heldfast forgotten 1\ningrid 2026-11-26 a2b-c3h\nnobody 2026-11-27 -\n");
        assert_eq!(Forgotten::from_text(&text).unwrap(), list);
        assert!(list.is_order("A2B-C3H") && !list.is_order("A2B-C3X"));
        for slip in [
            "",
            "heldfast forgotten 2\n",
            "heldfast forgotten 1\ningrid\n",
            "heldfast forgotten 1\n../x 2026-11-26 -\n",
        ] {
            assert!(Forgotten::from_text(slip).is_err(), "{slip}");
        }
    }

    #[test]
    fn words_are_found_as_they_are_and_as_a_document_writes_them() {
        let spelled = spellings("the \"small\" one");
        assert_eq!(spelled.len(), 2);
        assert!(holds(b"note: \"the \\\"small\\\" one\"", &spelled[1]));
        assert!(holds("aab".as_bytes(), b"ab") && !holds(b"aac", b"ab") && !holds(b"", b"a"));
    }
}
