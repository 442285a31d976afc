//! One durable save: a file is replaced whole or not at all, and "saved" is said only when it is on the disk.

use std::io::{self, ErrorKind};
use std::path::{Path, PathBuf};
use std::sync::Arc;

use crate::format::EncodeError;
use crate::name::{NameError, beside_name, check_name};
use crate::vfs::{NewFile, Vfs};
use craft::digest::Digest;

/// How a save ended.
#[derive(Debug, Clone)]
#[must_use]
pub enum SaveOutcome {
    /// It is on the disk, was read back, and has this fingerprint.
    Saved(Digest),
    /// It is not on the disk; what was there before is untouched.
    NotSaved(SaveError),
    /// The disk would not confirm it. Either version is whole; saving again settles it.
    InDoubt(SaveError),
    /// Another program changed the file since it was loaded. That file is untouched and ours lies beside it.
    Conflict {
        /// The file name of ours, in the same folder.
        kept_beside: String,
    },
}

/// Which version a reader finds after a save that was not confirmed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum OnDisk {
    /// The new version.
    New,
    /// What it is could not be told.
    Unknown,
}

/// Why something was not saved, or not surely. Cheap to clone, so that an outcome can be kept and shown.
#[derive(Debug, Clone, thiserror::Error)]
pub enum SaveError {
    /// No room is left on the disk.
    #[error(
        "the disk is full, so {path} was not saved; what was saved before is still safe and your changes are \
         still open here; free some space and it will be saved again"
    )]
    Full {
        /// The file.
        path: PathBuf,
        /// What the system said.
        #[source]
        source: Arc<io::Error>,
    },
    /// The system does not let us write here.
    #[error(
        "this folder cannot be written to, so {path} was not saved; what was saved before is still safe and your \
         changes are still open here; allow writing to the folder, then save again"
    )]
    Denied {
        /// The file.
        path: PathBuf,
        /// What the system said.
        #[source]
        source: Arc<io::Error>,
    },
    /// The disk failed.
    #[error(
        "{path} was not saved because the disk would not {step}; what was saved before is untouched and your \
         changes are still open here; check the disk, then save again"
    )]
    Failed {
        /// The file.
        path: PathBuf,
        /// What was being done, as in "the disk would not …".
        step: &'static str,
        /// What the system said.
        #[source]
        source: Arc<io::Error>,
    },
    /// The file was put in place but the disk did not confirm it.
    #[error(
        "the disk did not confirm that {path} was saved; a whole version is there, either the one before or this \
         one, and your changes are still open here; save again before closing"
    )]
    Unconfirmed {
        /// The file.
        path: PathBuf,
        /// Which version a reader finds now.
        on_disk: OnDisk,
        /// What the system said.
        #[source]
        source: Arc<io::Error>,
    },
    /// Another program changed the file and ours could not be put beside it.
    #[error(
        "another program changed {path} since it was opened; that file was left as it is; your version is still \
         open here but could not be put beside it; check the disk, then save again"
    )]
    NotBeside {
        /// The file.
        path: PathBuf,
        /// What the system said.
        #[source]
        source: Arc<io::Error>,
    },
    /// There is a file that was not read successfully, so it must not be replaced.
    #[error(
        "{path} was not saved because the file there has not been read; it was left as it is and your changes are \
         still open here; open it again first"
    )]
    NotRead {
        /// The file.
        path: PathBuf,
    },
    /// The studio is open for reading only.
    #[error("{path} was not saved: {reason}; what was saved before is untouched")]
    ReadOnly {
        /// The file.
        path: PathBuf,
        /// Why it is open for reading only.
        reason: String,
    },
    /// The document cannot be kept as text.
    #[error(
        "{path} was not saved because it would not read back as it is; what was saved before is untouched and your \
         changes are still open here; correct what was entered last, then save again"
    )]
    Text {
        /// The file.
        path: PathBuf,
        /// What is wrong with it.
        source: EncodeError,
    },
    /// A photo, a paper or the first file of a new studio was not kept, or not surely.
    #[error("{}", not_kept(.why, .path))]
    NotKept {
        /// The file.
        path: PathBuf,
        /// What went wrong.
        why: WhyNotKept,
        /// What the system said.
        #[source]
        source: Arc<io::Error>,
    },
    /// The name cannot be used.
    #[error(transparent)]
    Name(#[from] NameError),
    /// Something else was issued under this name.
    #[error(
        "{path} holds another paper that was issued earlier, and issued papers are never changed; \
         issue this one under a new name"
    )]
    Issued {
        /// The file.
        path: PathBuf,
    },
}

/// Why a new file was not kept.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WhyNotKept {
    /// No room is left on the disk.
    Full,
    /// The system does not let us write here.
    Denied,
    /// The disk failed at this step, as in "the disk would not …".
    Failed(&'static str),
    /// The file was put in place but the disk did not confirm it.
    Unconfirmed,
}

/// A photo or paper is not held open as a document is, so nothing may be promised of it: it has to be tried again.
fn not_kept(why: &WhyNotKept, path: &Path) -> String {
    let path = path.display();
    let (happened, remedy) = match why {
        WhyNotKept::Full => (format!("the disk is full, so {path} was not kept"), "free some space"),
        WhyNotKept::Denied => (
            format!("this folder cannot be written to, so {path} was not kept"),
            "allow writing to the folder",
        ),
        WhyNotKept::Failed(step) => {
            (format!("{path} was not kept because the disk would not {step}"), "check the disk")
        }
        WhyNotKept::Unconfirmed => {
            (format!("the disk did not confirm that {path} was kept"), "check the disk")
        }
    };
    format!("{happened}; what was saved before is untouched; {remedy}, then try again")
}

impl SaveError {
    /// The same trouble of a file that is written once and not held open as a document is.
    #[must_use]
    pub fn of_a_new_file(self) -> Self {
        let (path, why, source) = match self {
            Self::Full { path, source } => (path, WhyNotKept::Full, source),
            Self::Denied { path, source } => (path, WhyNotKept::Denied, source),
            Self::Failed { path, step, source } => (path, WhyNotKept::Failed(step), source),
            Self::Unconfirmed { path, source, .. } => (path, WhyNotKept::Unconfirmed, source),
            other => return other,
        };
        Self::NotKept { path, why, source }
    }

    /// Words the trouble of one step on one file.
    pub(crate) fn from_io(path: &Path, step: &'static str, source: io::Error) -> Self {
        let (path, kind, source) = (path.to_owned(), source.kind(), Arc::new(source));
        match kind {
            ErrorKind::StorageFull | ErrorKind::QuotaExceeded => Self::Full { path, source },
            ErrorKind::PermissionDenied | ErrorKind::ReadOnlyFilesystem => Self::Denied { path, source },
            _ => Self::Failed { path, step, source },
        }
    }
}

/// A file in a folder.
#[derive(Debug, Clone, Copy)]
pub struct Place<'a> {
    /// The folder, which exists.
    pub dir: &'a Path,
    /// The file's name.
    pub name: &'a str,
}

impl Place<'_> {
    /// The whole path.
    pub fn path(&self) -> PathBuf {
        self.dir.join(self.name)
    }
}

/// What may be replaced by a save.
#[derive(Debug, Clone, Copy)]
pub struct Expect<'a> {
    /// The fingerprints that may be found (`None`: no file); anything may be found if not given.
    pub states: Option<&'a [Option<Digest>]>,
    /// The largest file that may be found, in bytes.
    pub cap: u64,
    /// The file that an earlier conflict left beside this one, and its fingerprint: it may be replaced.
    pub beside: Option<(&'a str, Digest)>,
}

/// Replaces the file at `place` by `bytes`, whole or not at all.
///
/// The sequence: a new file in the same folder, written and synced; the target read again and compared with
/// what may be replaced; one rename; the folder synced; the target read back. A failed sync is never repeated
/// on the same file: the file is thrown away, and the next save starts from a new one.
pub fn durable_save(vfs: &dyn Vfs, place: Place<'_>, bytes: &[u8], expect: Expect<'_>) -> SaveOutcome {
    durable_save_after(vfs, place, bytes, expect, || ())
}

/// The same, with `before` done once the new file is on the disk. What it takes passes before the target is read again
/// and compared, so that another program has no time between that and the rename.
pub(crate) fn durable_save_after(
    vfs: &dyn Vfs,
    place: Place<'_>,
    bytes: &[u8],
    expect: Expect<'_>,
    before: impl FnOnce(),
) -> SaveOutcome {
    let (path, ours) = (place.path(), Digest::of(bytes));
    let temp = match write_temp(vfs, place, bytes) {
        Ok(temp) => temp,
        Err(error) => return SaveOutcome::NotSaved(error),
    };
    before();
    let found = if expect.states.is_some() { current(vfs, &path, expect.cap) } else { Ok(None) };
    let found = match found {
        Ok(found) => found,
        Err(source) => {
            discard(vfs, &temp);
            return SaveOutcome::NotSaved(SaveError::from_io(&path, "read what is there", source));
        }
    };
    if expect.states.is_some_and(|states| !states.contains(&found)) {
        return keep_beside(vfs, place, &temp, ours, expect);
    }
    if let Err(source) = vfs.rename(&temp, &path) {
        return after_failed_rename(vfs, &path, &temp, (ours, expect), source);
    }
    let confirmed = vfs.sync_dir(place.dir).and_then(|()| read_back(vfs, &path, ours, expect.cap));
    match confirmed {
        Ok(()) => SaveOutcome::Saved(ours),
        Err(source) => in_doubt(vfs, &path, (ours, expect), source),
    }
}

/// The fingerprint of the file that is there; `None` only if there is none.
fn current(vfs: &dyn Vfs, path: &Path, cap: u64) -> io::Result<Option<Digest>> {
    Ok(vfs.read(path, cap)?.map(|bytes| Digest::of(&bytes)))
}

fn read_back(vfs: &dyn Vfs, path: &Path, ours: Digest, cap: u64) -> io::Result<()> {
    if current(vfs, path, cap)? == Some(ours) {
        return Ok(());
    }
    Err(io::Error::new(ErrorKind::InvalidData, "what was read back is not what was written"))
}

/// Writes `bytes` to a new file beside the target and syncs it; leaves nothing behind on failure.
fn write_temp(vfs: &dyn Vfs, place: Place<'_>, bytes: &[u8]) -> Result<PathBuf, SaveError> {
    let failed = |step, source| SaveError::from_io(&place.path(), step, source);
    let (temp, mut file) = new_temp(vfs, place).map_err(|source| failed("make a new file", source))?;
    let written = write_all(file.as_mut(), bytes)
        .map_err(|source| failed("take all of it", source))
        .and_then(|()| file.sync().map_err(|source| failed("confirm it", source)));
    drop(file);
    if let Err(error) = written {
        discard(vfs, &temp);
        return Err(error);
    }
    Ok(temp)
}

/// Makes a file of a new temporary name.
fn new_temp(vfs: &dyn Vfs, place: Place<'_>) -> io::Result<(PathBuf, Box<dyn NewFile>)> {
    of_a_free_name(|| {
        let temp = place.dir.join(temp_name(place.name));
        vfs.create_new(&temp).map(|file| (temp, file))
    })
}

/// How many names are tried before a folder counts as one in which every name is taken.
const NAMES_TRIED: usize = 9;

/// What `make` makes under a name of its own choice; a name that is taken, however unlikely, leads to another.
fn of_a_free_name<T>(mut make: impl FnMut() -> io::Result<T>) -> io::Result<T> {
    for _ in 1..NAMES_TRIED {
        match make() {
            Err(error) if error.kind() == ErrorKind::AlreadyExists => {}
            other => return other,
        }
    }
    make()
}

pub(crate) fn write_all(file: &mut dyn NewFile, mut bytes: &[u8]) -> io::Result<()> {
    while !bytes.is_empty() {
        match file.write(bytes) {
            Ok(0) => return Err(ErrorKind::WriteZero.into()),
            Ok(n) => bytes = bytes.get(n..).unwrap_or_default(),
            Err(error) if error.kind() == ErrorKind::Interrupted => {}
            Err(error) => return Err(error),
        }
    }
    Ok(())
}

/// Removes a temporary file if that can be done; what stays is swept at the next start.
fn discard(vfs: &dyn Vfs, temp: &Path) {
    drop(vfs.remove(temp));
}

/// How many random letters a temporary name has.
const RANDOM_LETTERS: usize = 12;

/// A new temporary name beside the file `name`.
pub(crate) fn temp_name(name: &str) -> String {
    let random: String = std::iter::repeat_with(|| fastrand::alphanumeric().to_ascii_lowercase())
        .take(RANDOM_LETTERS)
        .collect();
    format!(".{name}.{random}.tmp")
}

/// Of which file a name is that of a temporary one, if a save of ours can have given it.
pub(crate) fn temp_of(name: &str) -> Option<&str> {
    let inner = name.strip_prefix('.')?.strip_suffix(".tmp")?;
    let (of, random) = inner.rsplit_once('.')?;
    let plain = |b: u8| b.is_ascii_lowercase() || b.is_ascii_digit();
    let ours = random.len() == RANDOM_LETTERS && random.bytes().all(plain);
    // The witness of the records begins with a dot itself.
    (ours && check_name(of.strip_prefix('.').unwrap_or(of)).is_ok()).then_some(of)
}

/// Whether a file name is one that a save of ours gave to a temporary file.
pub(crate) fn is_temp(name: &str) -> bool {
    temp_of(name).is_some()
}

/// The target is not what we loaded: the new file, which is already on the disk, gets a name beside it.
fn keep_beside(
    vfs: &dyn Vfs,
    place: Place<'_>,
    temp: &Path,
    ours: Digest,
    expect: Expect<'_>,
) -> SaveOutcome {
    let kept = free_name(vfs, place, ours, expect).and_then(|name| {
        let path = place.dir.join(&name);
        vfs.rename(temp, &path)?;
        vfs.sync_dir(place.dir)?;
        read_back(vfs, &path, ours, expect.cap)?;
        Ok(name)
    });
    match kept {
        Ok(kept_beside) => SaveOutcome::Conflict { kept_beside },
        Err(source) => {
            discard(vfs, temp);
            SaveOutcome::NotSaved(SaveError::NotBeside { path: place.path(), source: Arc::new(source) })
        }
    }
}

/// The first name beside it that is free, holds the same bytes, or was left by us in this conflict.
fn free_name(vfs: &dyn Vfs, place: Place<'_>, ours: Digest, expect: Expect<'_>) -> io::Result<String> {
    for n in 1..=999 {
        let name = beside_name(place.name, n);
        let found = current(vfs, &place.dir.join(&name), expect.cap)?;
        let ours_before = expect.beside.filter(|(kept, _)| *kept == name).map(|(_, hash)| hash);
        if found.is_none_or(|hash| hash == ours || Some(hash) == ours_before) {
            return Ok(name);
        }
    }
    Err(io::Error::new(ErrorKind::AlreadyExists, "there are too many conflicts beside it already"))
}

/// A rename that reports an error may still have been done; what is there now decides what is said.
fn after_failed_rename(
    vfs: &dyn Vfs,
    path: &Path,
    temp: &Path,
    (ours, expect): (Digest, Expect<'_>),
    source: io::Error,
) -> SaveOutcome {
    match current(vfs, path, expect.cap) {
        Ok(found) if found != Some(ours) && expect.states.is_none_or(|states| states.contains(&found)) => {
            discard(vfs, temp);
            SaveOutcome::NotSaved(SaveError::from_io(path, "put it in place", source))
        }
        _ => in_doubt(vfs, path, (ours, expect), source),
    }
}

fn in_doubt(
    vfs: &dyn Vfs,
    path: &Path,
    (ours, expect): (Digest, Expect<'_>),
    source: io::Error,
) -> SaveOutcome {
    let on_disk = match current(vfs, path, expect.cap) {
        Ok(found) if found == Some(ours) => OnDisk::New,
        _ => OnDisk::Unknown,
    };
    let (path, source) = (path.to_owned(), Arc::new(source));
    SaveOutcome::InDoubt(SaveError::Unconfirmed { path, on_disk, source })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sim::{Fault, Lie, Op, SimVfs, Trouble};

    const OLD: &[u8] = b"the old document";
    const NEW: &[u8] = b"the new document, somewhat longer";
    const PATH: &str = "/s/a.ron";

    fn disk_with_old(disk: SimVfs) -> SimVfs {
        disk.put(PATH, OLD);
        disk
    }

    fn save(disk: &SimVfs) -> SaveOutcome {
        save_expecting(disk, &[Some(Digest::of(OLD))], None)
    }

    fn save_expecting(
        disk: &SimVfs,
        states: &[Option<Digest>],
        beside: Option<(&str, Digest)>,
    ) -> SaveOutcome {
        let place = Place { dir: Path::new("/s"), name: "a.ron" };
        durable_save(disk, place, NEW, Expect { states: Some(states), cap: 1000, beside })
    }

    /// Every fault of one save that the disk model knows.
    fn faults() -> Vec<Fault> {
        let mut faults = Vec::new();
        for after in 0..12 {
            for trouble in [Trouble::Device, Trouble::Full, Trouble::Denied, Trouble::Short] {
                for (lasting, done_anyway) in [(false, false), (false, true), (true, false), (true, true)] {
                    faults.push(Fault { after, only: None, trouble, lasting, done_anyway });
                }
            }
        }
        faults
    }

    /// What is wrong with the disk after a save that ended like this; nothing on a right implementation.
    fn complaint(disk: &SimVfs, outcome: &SaveOutcome) -> Option<String> {
        let seen = disk.get(PATH);
        let after_cut: Vec<_> = disk.crash_states().iter().map(|disk| disk.get(PATH)).collect();
        let whole = |found: &Option<Vec<u8>>| found.as_deref() == Some(OLD) || found.as_deref() == Some(NEW);
        if !whole(&seen) || !after_cut.iter().all(whole) {
            return Some(format!("torn or lost: {seen:?} {after_cut:?}"));
        }
        let all_new = after_cut.iter().chain([&seen]).all(|found| found.as_deref() == Some(NEW));
        match outcome {
            SaveOutcome::Saved(hash) if *hash == Digest::of(NEW) && all_new => None,
            SaveOutcome::Saved(_) => Some(format!("falsely said to be saved: {after_cut:?}")),
            SaveOutcome::NotSaved(_) if seen.as_deref() == Some(OLD) => None,
            SaveOutcome::NotSaved(_) => Some("falsely said not to be saved".to_owned()),
            SaveOutcome::InDoubt(_) => None,
            SaveOutcome::Conflict { .. } => Some("a conflict nobody made".to_owned()),
        }
    }

    #[test]
    fn a_save_is_one_short_sequence() {
        let disk = disk_with_old(SimVfs::new());
        disk.arm(Fault::once(99, Trouble::Device));
        assert!(matches!(save(&disk), SaveOutcome::Saved(hash) if hash == Digest::of(NEW)));
        use Op::{Create, Read, Rename, Sync, SyncDir, Write};
        assert_eq!(disk.ops(), [Create, Write, Sync, Read, Rename, SyncDir, Read]);
        assert_eq!(disk.paths(), [Path::new(PATH)]);
    }

    #[test]
    fn no_single_or_lasting_fault_tears_the_file_or_leads_to_a_false_saved() {
        let (mut struck, mut doubts, mut refused) = (0, 0, 0);
        for fault in faults() {
            let disk = disk_with_old(SimVfs::new());
            disk.arm(fault);
            let outcome = save(&disk);
            let fired = disk.disarm();
            assert_eq!(complaint(&disk, &outcome), None, "{fault:?} {outcome:?}");
            let quiet = fired == 0 || fault.trouble == Trouble::Short;
            assert_eq!(matches!(outcome, SaveOutcome::Saved(_)), quiet, "{fault:?} {outcome:?}");
            struck += fired.min(1);
            doubts += usize::from(matches!(outcome, SaveOutcome::InDoubt(_)));
            refused += usize::from(matches!(outcome, SaveOutcome::NotSaved(_)));
        }
        println!("{struck} faults struck: {refused} not saved, {doubts} in doubt");
        assert!(struck >= 80 && doubts > 0 && refused > 0);
    }

    #[test]
    fn the_same_check_catches_a_disk_or_program_that_does_not_sync() {
        for (lie, said) in [(Lie::Sync, "torn or lost"), (Lie::SyncDir, "falsely said to be saved")] {
            let disk = disk_with_old(SimVfs::lying(lie));
            let outcome = save(&disk);
            assert!(complaint(&disk, &outcome).is_some_and(|c| c.starts_with(said)), "{lie:?}");
        }
        // Writing in place, the careless way, is caught as well.
        let disk = disk_with_old(SimVfs::new());
        disk.remove(Path::new(PATH)).unwrap();
        disk.create_new(Path::new(PATH)).unwrap().write(NEW).unwrap();
        assert!(complaint(&disk, &SaveOutcome::Saved(Digest::of(NEW))).is_some());
    }

    #[test]
    fn a_save_after_any_fault_heals_it() {
        for fault in faults().into_iter().filter(|fault| !fault.lasting) {
            let disk = disk_with_old(SimVfs::new());
            disk.arm(fault);
            let outcome = save(&disk);
            disk.disarm();
            // A full disk needs the room back at once. A file that was made although the making failed cannot
            // be known of, and is swept at the next opening.
            assert!(fault.done_anyway || disk.paths() == [Path::new(PATH)], "{fault:?} {:?}", disk.paths());
            let doubt = [Some(Digest::of(OLD)), Some(Digest::of(NEW))];
            let states = match outcome {
                SaveOutcome::NotSaved(_) => &doubt[..1],
                SaveOutcome::Saved(_) => &doubt[1..],
                _ => &doubt[..],
            };
            let again = save_expecting(&disk, states, None);
            assert!(matches!(again, SaveOutcome::Saved(_)), "{fault:?} {again:?}");
            assert_eq!(complaint(&disk, &again), None, "{fault:?}");
        }
    }

    #[test]
    fn a_rename_that_reports_an_error_but_was_done_is_a_doubt_even_if_ours_may_have_been_there() {
        let disk = disk_with_old(SimVfs::new());
        disk.arm(Fault { done_anyway: true, ..Fault::always(Op::Rename, Trouble::Device) });
        let outcome = save_expecting(&disk, &[Some(Digest::of(OLD)), Some(Digest::of(NEW))], None);
        let SaveOutcome::InDoubt(SaveError::Unconfirmed { on_disk, .. }) = outcome else {
            panic!("{outcome:?}")
        };
        assert_eq!(on_disk, OnDisk::New);
    }

    #[test]
    fn a_doubt_says_that_the_new_version_is_there_only_where_it_was_read() {
        let said = |disk: &SimVfs| {
            let expect = Expect { states: None, cap: 1000, beside: None };
            let outcome = in_doubt(disk, Path::new(PATH), (Digest::of(NEW), expect), ErrorKind::Other.into());
            let SaveOutcome::InDoubt(SaveError::Unconfirmed { on_disk, .. }) = outcome else {
                panic!("{outcome:?}")
            };
            on_disk
        };
        let disk = disk_with_old(SimVfs::new());
        assert_eq!(said(&disk), OnDisk::Unknown);
        disk.put(PATH, NEW);
        assert_eq!(said(&disk), OnDisk::New);
        disk.arm(Fault::always(Op::Read, Trouble::Device));
        assert_eq!(said(&disk), OnDisk::Unknown);
    }

    #[test]
    fn a_file_changed_by_another_program_is_left_and_ours_is_kept_beside() {
        let theirs = b"theirs";
        let disk = SimVfs::new();
        disk.put(PATH, theirs);
        disk.put("/s/a.conflict-1.ron", b"an older quarrel");
        for _ in 0..2 {
            let outcome = save(&disk);
            assert!(
                matches!(&outcome, SaveOutcome::Conflict { kept_beside } if kept_beside == "a.conflict-2.ron"),
                "{outcome:?}"
            );
        }
        for disk in disk.crash_states() {
            assert_eq!(disk.get(PATH).unwrap(), theirs);
            assert_eq!(disk.get("/s/a.conflict-1.ron").unwrap(), b"an older quarrel");
            assert_eq!(disk.get("/s/a.conflict-2.ron").unwrap(), NEW);
        }
        assert_eq!(disk.paths().len(), 3);
        // What an earlier save of the same conflict left may be replaced, so that edits do not pile up files.
        disk.put("/s/a.conflict-2.ron", OLD);
        let again = save_expecting(&disk, &[None], Some(("a.conflict-2.ron", Digest::of(OLD))));
        assert!(matches!(again, SaveOutcome::Conflict { kept_beside } if kept_beside == "a.conflict-2.ron"));
    }

    #[test]
    fn no_fault_during_a_conflict_touches_the_other_programs_file() {
        let mut kept = 0;
        for fault in faults() {
            let disk = SimVfs::new();
            disk.put(PATH, b"theirs");
            disk.arm(fault);
            let outcome = save(&disk);
            disk.disarm();
            for disk in disk.crash_states() {
                assert_eq!(disk.get(PATH).unwrap(), b"theirs", "{fault:?}");
                if let SaveOutcome::Conflict { kept_beside } = &outcome {
                    kept += 1;
                    assert_eq!(disk.get(Path::new("/s").join(kept_beside)).unwrap(), NEW, "{fault:?}");
                }
            }
            assert!(matches!(outcome, SaveOutcome::Conflict { .. } | SaveOutcome::NotSaved(_)), "{fault:?}");
        }
        assert!(kept > 0);
    }

    #[test]
    fn a_file_that_vanished_or_came_into_being_is_a_conflict() {
        let disk = SimVfs::new();
        disk.put("/s/other", b"");
        assert!(matches!(save(&disk), SaveOutcome::Conflict { .. }));
        let disk = disk_with_old(SimVfs::new());
        assert!(matches!(save_expecting(&disk, &[None], None), SaveOutcome::Conflict { .. }));
        assert_eq!(disk.get(PATH).unwrap(), OLD);
    }

    #[test]
    fn the_reason_says_what_is_safe_and_what_to_do() {
        for (op, trouble, words) in [
            (
                Op::Write,
                Trouble::Full,
                "the disk is full, so /s/a.ron was not saved; what was saved before is still safe",
            ),
            (Op::Create, Trouble::Denied, "this folder cannot be written to"),
            (Op::Sync, Trouble::Device, "the disk would not confirm it"),
            (Op::Rename, Trouble::Device, "the disk would not put it in place"),
            (Op::SyncDir, Trouble::Device, "did not confirm that /s/a.ron was saved"),
        ] {
            let disk = disk_with_old(SimVfs::new());
            disk.arm(Fault::always(op, trouble));
            let (SaveOutcome::NotSaved(error) | SaveOutcome::InDoubt(error)) = save(&disk) else {
                panic!("{op:?}")
            };
            let said = error.to_string();
            assert!(said.contains(words) && said.contains("still open here"), "{said}");
            assert!(std::error::Error::source(&error).is_some());
        }
    }

    #[test]
    fn a_taken_name_leads_to_another_but_not_for_ever() {
        let tried = |taken: usize, kind: ErrorKind| {
            let mut calls = 0;
            let made = of_a_free_name(|| {
                calls += 1;
                if calls > taken { Ok(()) } else { Err(kind.into()) }
            });
            (made.is_ok(), calls)
        };
        for taken in 0..NAMES_TRIED {
            assert_eq!(tried(taken, ErrorKind::AlreadyExists), (true, taken + 1));
        }
        assert_eq!(tried(usize::MAX, ErrorKind::AlreadyExists), (false, NAMES_TRIED));
        assert_eq!(tried(1, ErrorKind::PermissionDenied), (false, 1));
    }

    #[test]
    fn a_write_that_was_interrupted_goes_on_and_one_that_takes_nothing_is_an_error() {
        /// Answers as it is told, the last answer first, and then takes two bytes at a time.
        #[derive(Debug)]
        struct Halting(Vec<u8>, Vec<io::Result<usize>>);
        impl NewFile for Halting {
            fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
                let taken = self.1.pop().unwrap_or(Ok(2))?.min(bytes.len());
                self.0.extend(&bytes[..taken]);
                Ok(taken)
            }
            fn sync(&mut self) -> io::Result<()> {
                Ok(())
            }
        }
        let written = |answers: Vec<io::Result<usize>>| {
            let mut file = Halting(Vec::new(), answers);
            let kind = write_all(&mut file, b"seven!!").map_err(|error| error.kind());
            (kind, String::from_utf8(file.0).unwrap())
        };
        let whole = "seven!!".to_owned();
        assert_eq!(written(vec![]), (Ok(()), whole.clone()));
        assert_eq!(written(vec![Err(ErrorKind::Interrupted.into()), Ok(1)]), (Ok(()), whole));
        assert_eq!(written(vec![Ok(0), Ok(3)]), (Err(ErrorKind::WriteZero), "sev".to_owned()));
        assert_eq!(written(vec![Err(ErrorKind::Other.into())]), (Err(ErrorKind::Other), String::new()));
    }

    #[test]
    fn only_names_that_a_save_gives_are_taken_for_temporary() {
        for ours in ["a2b-c3x.ron", "studio.ron", ".heads"] {
            assert_eq!(temp_of(&temp_name(ours)), Some(ours));
            assert!(is_temp(&temp_name(ours)));
        }
        for other in [
            ".a.tmp",
            "a.ron",
            ".a.ron.abc.tmp",
            ".DS_Store",
            ".A.ron.aaaaaaaaaaaa.tmp",
            "..aaaaaaaaaaaa.tmp",
            "...a.aaaaaaaaaaaa.tmp",
            ".syncthing.a2b-c3x.ron.tmp",
            ".a2b-c3x.ron.Ab12Cd",
        ] {
            assert!(!is_temp(other), "{other}");
        }
        assert_ne!(temp_name("a"), temp_name("a"));
    }
}
