//! Who is to be forgotten: `.forgotten`, written before anything is removed, so that what was begun is gone through with.
//!
//! It holds no words of a person: the client's id, the day, and the tags of the orders.

mod records;
#[cfg(test)]
mod removing;

use std::collections::{BTreeMap, BTreeSet};
use std::io;
use std::path::{Path, PathBuf};

use crate::folder::{StoreError, StudioFolder, disk, listed};
use crate::name::{DocKind, DocPath, kept_beside};
use crate::photos::PhotoName;
use crate::save::{Expect, Place, SaveError, SaveOutcome, durable_save};
use crate::search::{holds, spellings};
use crate::vfs::{EntryKind, Vfs};

pub use records::{Records, records_beside};

/// The file's name, at the top of a studio.
pub const FORGOTTEN: &str = ".forgotten";
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
        read_list(path, vfs, Self::from_text)
    }
}

/// Reads a list of lines; one with nothing on it only where there is no such file.
fn read_list<T: Default>(
    path: &Path,
    vfs: &dyn Vfs,
    from_text: impl FnOnce(&str) -> Result<T, String>,
) -> Result<T, StoreError> {
    let Some(bytes) = vfs.read(path, CAP).map_err(disk(path, "read"))? else { return Ok(T::default()) };
    let text = String::from_utf8(bytes).map_err(|why| why.to_string());
    text.and_then(|text| from_text(&text)).map_err(|what| StoreError::Unclear { path: path.to_owned(), what })
}

/// Adds who is forgotten to a list outside any studio, with how the records of their orders begin beside it, and makes the
/// folders they lie in. Once it is done it is on the disk, with its name.
///
/// # Errors
/// The list that is there cannot be understood, or the disk fails.
pub fn note_outside(
    list: &Path,
    forgotten: &Forgotten,
    records: &Records,
    vfs: &dyn Vfs,
) -> Result<(), StoreError> {
    let list = &std::path::absolute(list).map_err(disk(list, "find"))?;
    let mut all = Forgotten::read(list, vfs)?;
    all.add_all(forgotten);
    let beside = records_beside(list);
    // What tells two studios apart may be lost: without it whoever is on the list is forgotten wherever it is read.
    let mut begins = Records::read(&beside, vfs).unwrap_or_default();
    begins.note_all(records);
    // The list is written last: where it stands, so does what belongs to it.
    if !begins.is_empty() {
        keep_outside(&beside, &begins.to_text(), vfs)?;
    }
    keep_outside(list, &all.to_text(), vfs)
}

fn keep_outside(path: &Path, text: &str, vfs: &dyn Vfs) -> Result<(), StoreError> {
    let dir = path.parent().unwrap_or(path);
    let dir = folder_outside(dir, vfs).map_err(disk(dir, "make the folder"))?;
    let name = path.file_name().unwrap_or_default().to_string_lossy();
    let place = Place { dir: &dir, name: &name };
    let expect = Expect { states: None, cap: CAP, beside: None };
    let outcome = durable_save(vfs, place, text.as_bytes(), expect);
    must_be_saved(outcome, path)
        .map_err(|why| StoreError::NotNoted { path: path.to_owned(), why: Box::new(why.of_a_new_file()) })
}

/// A folder outside the studio and those above it, with their names on the disk: one that is there may be left of an
/// attempt that failed. Links on the way are the maker's own affair.
fn folder_outside(dir: &Path, vfs: &dyn Vfs) -> io::Result<PathBuf> {
    let dir = vfs.behind_links(dir)?;
    let (Some(above), Some(name)) = (dir.parent(), dir.file_name()) else { return Ok(dir) };
    let above = folder_outside(above, vfs)?;
    let dir = above.join(name);
    let is_new = !vfs.stat(&dir)?.is_some_and(|found| found.is_folder) && vfs.make_dir(&dir)?;
    match vfs.sync_dir(&above) {
        // Folders that this program may not open, or on disks that sync none, were there before it.
        Err(why) if !is_new && may_not_sync(&why) => Ok(dir),
        other => other.map(|()| dir),
    }
}

fn may_not_sync(why: &io::Error) -> bool {
    use io::ErrorKind::{InvalidInput, PermissionDenied, ReadOnlyFilesystem, Unsupported};
    matches!(why.kind(), PermissionDenied | ReadOnlyFilesystem | InvalidInput | Unsupported)
}

/// The file that says who is to be forgotten, of the studio in a folder.
pub fn file_in(studio: &Path) -> PathBuf {
    studio.join(FORGOTTEN)
}

impl StudioFolder {
    /// Who is to be forgotten here; nobody only where no such file is.
    ///
    /// # Errors
    /// The disk fails, or the file cannot be understood.
    pub fn load_forgotten(&self) -> Result<Forgotten, StoreError> {
        Forgotten::read(&file_in(self.root()), self.vfs())
    }

    /// Says who is to be forgotten. From here on it is gone through with.
    pub fn save_forgotten(&self, forgotten: &Forgotten) -> SaveOutcome {
        let path = file_in(self.root());
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
        self.remove_all(&path.folder_in(self.root()), |name| kept_beside(name) == Some(path.stem()))
    }

    /// The names of the versions that were kept beside a document when another program had changed it.
    ///
    /// # Errors
    /// The disk would not list the folder.
    pub fn conflicts_of(&self, path: &DocPath) -> Result<Vec<String>, StoreError> {
        let mut listing = self.list(path.kind())?;
        listing.conflicts.retain(|name| kept_beside(name) == Some(path.stem()));
        Ok(listing.conflicts)
    }

    /// Every file of the folder in which one of these words stands, as paths below the folder; not where it is only a
    /// part of a longer one. A file that cannot be read is given as well: nobody knows what is in it. Nothing is read in
    /// the folders `left_out`, given as paths below the folder.
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
    use crate::sim::{Fault, Op, SimVfs, Trouble};

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
        assert!(!list.is_empty() && Forgotten::default().is_empty());
        assert_eq!(list.get("ingrid").map(|stone| stone.day.as_str()), Some("2026-11-26"));
        assert_eq!(list.get("tomas"), None);
        assert!(list.all().map(|(client, _)| client).eq(["ingrid", "nobody"]));
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
    fn folders_that_were_there_need_not_let_themselves_be_synced_and_new_ones_must() {
        let list = Path::new("/home/me/state/forgotten/quiet-room.txt");
        // What lies above a list, from the top: two folders that were there, and two that are made.
        let noted = |after: usize, trouble: Trouble| {
            let disk = SimVfs::new();
            disk.put("/home/me/x", b"");
            disk.arm(Fault { after, only: Some(Op::SyncDir), trouble, lasting: false, done_anyway: false });
            note_outside(list, &Forgotten::default(), &Records::default(), &disk).is_ok()
        };
        assert_eq!([0, 1, 2, 3].map(|after| noted(after, Trouble::Denied)), [true, true, false, false]);
        assert_eq!([0, 1, 2, 3].map(|after| noted(after, Trouble::Device)), [false; 4]);
    }

    #[test]
    fn a_list_as_long_as_no_studio_has_one_is_read() {
        let mut long = Forgotten::default();
        (0..60_000).for_each(|no| long.add(&format!("client-{no}"), "2026-11-26", ["a2b-c3h".to_owned()]));
        let disk = SimVfs::new();
        disk.put("/home/me/list.txt", long.to_text().as_bytes());
        assert_eq!(Forgotten::read(Path::new("/home/me/list.txt"), &disk).unwrap(), long);
    }

    #[test]
    fn a_list_outside_the_studio_is_there_after_a_power_cut_with_all_who_were_on_it() {
        let list = Path::new("/home/me/state/forgotten/quiet-room.txt");
        let who = |client: &str| {
            let mut who = Forgotten::default();
            who.add(client, "2026-11-26", ["a2b-c3h".to_owned()]);
            who
        };
        let mut both = who("ingrid");
        both.add_all(&who("tomas"));
        let mut begins = Records::default();
        begins.note("a2b-c3h", craft::digest::Digest::of(b"first entry"));
        let mut struck = 0;
        for after in 0..90 {
            let disk = SimVfs::new();
            disk.put("/home/me/x", b"");
            disk.arm(Fault::once(after, Trouble::Device));
            let first = note_outside(list, &who("ingrid"), &begins, &disk);
            struck += disk.disarm();
            if first.is_err() {
                // It is tried again, whatever was done by then.
                note_outside(list, &who("ingrid"), &begins, &disk).unwrap();
            }
            for found in disk.crash_states() {
                assert_eq!(Forgotten::read(list, &found).unwrap(), who("ingrid"), "after {after}");
                assert_eq!(Records::read(&records_beside(list), &found).unwrap(), begins, "after {after}");
            }
            note_outside(list, &who("tomas"), &Records::default(), &disk).unwrap();
            for found in disk.crash_states() {
                assert_eq!(Forgotten::read(list, &found).unwrap(), both, "after {after}");
            }
        }
        assert!(struck > 10, "{struck}");
        // A list that cannot be understood is never written over.
        let disk = SimVfs::new();
        disk.put(list, b"torn");
        assert!(matches!(note_outside(list, &both, &begins, &disk), Err(StoreError::Unclear { .. })));
        assert_eq!(disk.get(list).unwrap(), b"torn");
    }
}
