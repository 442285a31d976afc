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
mod tests;
