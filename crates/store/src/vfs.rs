//! The only door to the disk: a small set of file operations, so that every one of them can be failed and
//! counted in a test.

use std::ffi::{OsStr, OsString};
use std::fmt;
use std::fs::{DirBuilder, File, OpenOptions, TryLockError};
use std::io::{self, ErrorKind, Read as _, Seek as _, SeekFrom, Write as _};
use std::os::unix::ffi::OsStrExt as _;
use std::os::unix::fs::{DirBuilderExt as _, MetadataExt as _, OpenOptionsExt as _};
use std::path::{Path, PathBuf};

use rustix::fs::{AtFlags, FileType, OFlags};

/// The file operations the studio folder is built on.
///
/// Paths are whole paths. No operation follows a link in the last component of a path.
pub trait Vfs: fmt::Debug + Send + Sync {
    /// The bytes of a plain file; `None` only if there is no such file.
    ///
    /// # Errors
    /// Any other trouble, a link or folder in its place, or more than `cap` bytes
    /// ([`ErrorKind::FileTooLarge`]).
    fn read(&self, path: &Path, cap: u64) -> io::Result<Option<Vec<u8>>>;

    /// At most `most` bytes from the end of a plain file; `None` only if there is no such file.
    ///
    /// # Errors
    /// As [`Self::read`], where no more than that is read.
    fn read_end(&self, path: &Path, most: usize) -> io::Result<Option<Vec<u8>>> {
        let whole = self.read(path, u64::MAX)?;
        Ok(whole.map(|mut bytes| bytes.split_off(bytes.len().saturating_sub(most))))
    }

    /// What is told of a name without reading what is behind it; `None` only if there is no such name.
    ///
    /// # Errors
    /// Any other trouble.
    fn stat(&self, path: &Path) -> io::Result<Option<Stat>>;

    /// Where a folder is, every link on the way and at the end of `path` followed; as it is where none stands at its
    /// end. For the studio's own folder and what is above it: below it no link is followed.
    ///
    /// # Errors
    /// A link that leads nowhere, or any other trouble.
    fn behind_links(&self, path: &Path) -> io::Result<PathBuf> {
        Ok(path.to_owned())
    }

    /// What lies in a folder, in order of name; `None` only if there is no such folder.
    ///
    /// # Errors
    /// [`ErrorKind::NotADirectory`] for a file or link in its place; any other trouble.
    fn list(&self, dir: &Path) -> io::Result<Option<Vec<Entry>>>;

    /// Makes a file, for its owner only (0600), that must not exist yet.
    ///
    /// # Errors
    /// [`ErrorKind::AlreadyExists`] if the name is taken; any other trouble.
    fn create_new(&self, path: &Path) -> io::Result<Box<dyn NewFile>>;

    /// Puts `from` in the place of `to` in one step.
    ///
    /// # Errors
    /// Any trouble; the step may or may not have been done.
    fn rename(&self, from: &Path, to: &Path) -> io::Result<()>;

    /// Gives a plain file a second name, which must not exist yet; both then stand for the same bytes.
    ///
    /// # Errors
    /// [`ErrorKind::AlreadyExists`] if the name is taken; any other trouble, also a disk that knows no second names.
    fn link(&self, from: &Path, to: &Path) -> io::Result<()>;

    /// Waits until the names in a folder are on the disk.
    ///
    /// # Errors
    /// Any trouble, also a link in its place; the names may or may not be on the disk.
    fn sync_dir(&self, dir: &Path) -> io::Result<()>;

    /// Removes a file.
    ///
    /// # Errors
    /// Any trouble, also that there is no such file.
    fn remove(&self, path: &Path) -> io::Result<()>;

    /// Makes a folder for its owner only (0700); `false` if that folder was there already.
    ///
    /// # Errors
    /// Any trouble, also a file or link of that name.
    fn make_dir(&self, path: &Path) -> io::Result<bool>;

    /// Takes the lock file for this program, making it if need be; `None` if another program holds it.
    ///
    /// # Errors
    /// Any trouble, also a disk that knows no locks.
    fn try_lock(&self, path: &Path) -> io::Result<Option<Box<dyn Held>>>;
}

/// A file being written.
pub trait NewFile: fmt::Debug + Send {
    /// Writes some of `bytes` and says how many.
    ///
    /// # Errors
    /// Any trouble; some bytes may have been written.
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize>;

    /// Waits until everything written is on the disk. After a failure the same file must not be believed
    /// again, since the system may have dropped what it could not write (Rebello et al., USENIX ATC 2020).
    ///
    /// # Errors
    /// Any trouble.
    fn sync(&mut self) -> io::Result<()>;
}

/// A lock that is held until this is dropped.
pub trait Held: fmt::Debug + Send + Sync {}

/// A file or folder as it stands: another stamp means that it may have changed, the same one that it has not, as far as
/// the disk's clock is fine enough.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Stat {
    /// True for a folder.
    pub is_folder: bool,
    /// Its size in bytes.
    pub len: u64,
    /// Which file of the disk it is.
    pub file: u64,
    /// When its content changed last, in nanoseconds of the disk's clock.
    pub written_ns: i128,
    /// When anything about it changed last; a copy that is given an old date still has this.
    pub changed_ns: i128,
}

/// What a name in a folder stands for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum EntryKind {
    /// A plain file.
    File,
    /// A folder.
    Folder,
    /// A link, pipe, device or anything else.
    Other,
}

/// One name in a folder.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Entry {
    /// The name, which need not be one of ours.
    pub name: OsString,
    /// What it stands for.
    pub kind: EntryKind,
}

/// The error for a link, folder, pipe or device where a plain file should be.
pub(crate) fn not_a_plain_file() -> io::Error {
    io::Error::new(ErrorKind::InvalidInput, "a link, folder or device stands where a plain file should be")
}

/// The error for a file of more than `cap` bytes.
pub(crate) fn too_large(cap: u64) -> io::Error {
    io::Error::new(ErrorKind::FileTooLarge, format!("it is larger than {cap} bytes"))
}

/// The real disk.
#[derive(Debug, Clone, Copy, Default)]
pub struct DiskVfs;

impl DiskVfs {
    /// Opens without following a link and without waiting on a pipe.
    fn open(options: &mut OpenOptions, path: &Path) -> io::Result<File> {
        // The flag bits are C ints; the cast keeps them as they are.
        let flags = (OFlags::NOFOLLOW | OFlags::NONBLOCK | OFlags::CLOEXEC).bits().cast_signed();
        match options.custom_flags(flags).open(path) {
            Err(error) if error.raw_os_error() == Some(rustix::io::Errno::LOOP.raw_os_error()) => {
                Err(not_a_plain_file())
            }
            other => other,
        }
    }

    /// Opens a folder, and no link to one.
    fn folder(path: &Path) -> io::Result<File> {
        let flags = OFlags::NOFOLLOW | OFlags::DIRECTORY | OFlags::CLOEXEC;
        match OpenOptions::new().read(true).custom_flags(flags.bits().cast_signed()).open(path) {
            // Systems differ in what they call a link where a folder is wanted.
            Err(error) if error.raw_os_error() == Some(rustix::io::Errno::LOOP.raw_os_error()) => {
                Err(ErrorKind::NotADirectory.into())
            }
            other => other,
        }
    }

    /// A plain file and how long it is; `None` only if there is none.
    fn plain(path: &Path) -> io::Result<Option<(File, u64)>> {
        let file = match Self::open(OpenOptions::new().read(true), path) {
            Ok(file) => file,
            Err(error) if error.kind() == ErrorKind::NotFound => return Ok(None),
            Err(error) => return Err(error),
        };
        let facts = file.metadata()?;
        if facts.is_file() { Ok(Some((file, facts.len()))) } else { Err(not_a_plain_file()) }
    }
}

impl Vfs for DiskVfs {
    fn read(&self, path: &Path, cap: u64) -> io::Result<Option<Vec<u8>>> {
        let Some((file, len)) = Self::plain(path)? else { return Ok(None) };
        if len > cap {
            return Err(too_large(cap));
        }
        let mut bytes = Vec::with_capacity(usize::try_from(len).unwrap_or(0));
        // The file may have grown since it was measured, so the reading itself is capped too.
        file.take(cap + 1).read_to_end(&mut bytes)?;
        if bytes.len() as u64 > cap { Err(too_large(cap)) } else { Ok(Some(bytes)) }
    }

    fn read_end(&self, path: &Path, most: usize) -> io::Result<Option<Vec<u8>>> {
        let Some((mut file, len)) = Self::plain(path)? else { return Ok(None) };
        file.seek(SeekFrom::Start(len.saturating_sub(most as u64)))?;
        let mut bytes = Vec::with_capacity(most);
        file.take(most as u64).read_to_end(&mut bytes)?;
        Ok(Some(bytes))
    }

    fn stat(&self, path: &Path) -> io::Result<Option<Stat>> {
        let facts = match std::fs::symlink_metadata(path) {
            Ok(facts) => facts,
            Err(error) if error.kind() == ErrorKind::NotFound => return Ok(None),
            Err(error) => return Err(error),
        };
        let ns = |seconds: i64, ns: i64| i128::from(seconds) * 1_000_000_000 + i128::from(ns);
        Ok(Some(Stat {
            is_folder: facts.is_dir(),
            len: facts.len(),
            file: facts.ino(),
            written_ns: ns(facts.mtime(), facts.mtime_nsec()),
            changed_ns: ns(facts.ctime(), facts.ctime_nsec()),
        }))
    }

    fn behind_links(&self, path: &Path) -> io::Result<PathBuf> {
        match std::fs::symlink_metadata(path) {
            Ok(facts) if facts.is_symlink() => path.canonicalize(),
            Err(error) if error.kind() != ErrorKind::NotFound => Err(error),
            _ => Ok(path.to_owned()),
        }
    }

    fn list(&self, dir: &Path) -> io::Result<Option<Vec<Entry>>> {
        let folder = match Self::folder(dir) {
            Ok(folder) => folder,
            Err(error) if error.kind() == ErrorKind::NotFound => return Ok(None),
            Err(error) => return Err(error),
        };
        let mut entries = Vec::new();
        for item in rustix::fs::Dir::read_from(&folder)? {
            let item = item?;
            let name = OsStr::from_bytes(item.file_name().to_bytes()).to_owned();
            if name == "." || name == ".." {
                continue;
            }
            let kind = match item.file_type() {
                // Some disks tell no kind with the name.
                FileType::Unknown => {
                    let facts = rustix::fs::statat(&folder, item.file_name(), AtFlags::SYMLINK_NOFOLLOW)?;
                    FileType::from_raw_mode(facts.st_mode)
                }
                told => told,
            };
            let kind = match kind {
                FileType::RegularFile => EntryKind::File,
                FileType::Directory => EntryKind::Folder,
                _ => EntryKind::Other,
            };
            entries.push(Entry { name, kind });
        }
        entries.sort_by(|a, b| a.name.cmp(&b.name));
        Ok(Some(entries))
    }

    fn create_new(&self, path: &Path) -> io::Result<Box<dyn NewFile>> {
        let file = Self::open(OpenOptions::new().write(true).create_new(true).mode(0o600), path)?;
        Ok(Box::new(DiskFile(file)))
    }

    fn rename(&self, from: &Path, to: &Path) -> io::Result<()> {
        std::fs::rename(from, to)
    }

    fn link(&self, from: &Path, to: &Path) -> io::Result<()> {
        std::fs::hard_link(from, to)
    }

    fn sync_dir(&self, dir: &Path) -> io::Result<()> {
        Self::folder(dir)?.sync_all()
    }

    fn remove(&self, path: &Path) -> io::Result<()> {
        std::fs::remove_file(path)
    }

    fn make_dir(&self, path: &Path) -> io::Result<bool> {
        match DirBuilder::new().mode(0o700).create(path) {
            Ok(()) => Ok(true),
            Err(error) if error.kind() == ErrorKind::AlreadyExists => {
                if std::fs::symlink_metadata(path)?.is_dir() { Ok(false) } else { Err(error) }
            }
            Err(error) => Err(error),
        }
    }

    fn try_lock(&self, path: &Path) -> io::Result<Option<Box<dyn Held>>> {
        let mut options = OpenOptions::new();
        let file = Self::open(options.read(true).write(true).create(true).truncate(false).mode(0o600), path)?;
        match file.try_lock() {
            Ok(()) => Ok(Some(Box::new(DiskLock(file)))),
            Err(TryLockError::WouldBlock) => Ok(None),
            Err(TryLockError::Error(error)) => Err(error),
        }
    }
}

/// A file being written on the real disk.
#[derive(Debug)]
pub(crate) struct DiskFile(pub(crate) File);

impl NewFile for DiskFile {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        self.0.write(bytes)
    }

    fn sync(&mut self) -> io::Result<()> {
        self.0.sync_all()
    }
}

/// The open lock file.
#[derive(Debug)]
struct DiskLock(File);

impl Held for DiskLock {}

impl Drop for DiskLock {
    /// Gives the lock back by name: closing alone would not, while a program that is just being started still holds a copy
    /// of every open file.
    fn drop(&mut self) {
        // Where that fails, closing is all that is left, and follows at once.
        drop(self.0.unlock());
    }
}

#[cfg(test)]
mod tests {
    use std::os::unix::fs::{PermissionsExt as _, symlink};

    use super::*;

    fn mode(path: &Path) -> u32 {
        path.metadata().unwrap().permissions().mode() & 0o777
    }

    #[test]
    fn files_and_folders_are_for_their_owner_only_whatever_the_mask() {
        let dir = tempfile::tempdir().unwrap();
        // The mask belongs to the whole process; no other test looks at modes.
        for mask in [0o000, 0o077] {
            let before = rustix::process::umask(rustix::fs::Mode::from_raw_mode(mask));
            let folder = dir.path().join(format!("folder-{mask:o}"));
            assert!(DiskVfs.make_dir(&folder).unwrap());
            DiskVfs.create_new(&folder.join("a.ron")).unwrap().write(b"x").unwrap();
            let lock = DiskVfs.try_lock(&folder.join(".lock")).unwrap();
            // A control: a file made the careless way does follow the mask.
            std::fs::write(folder.join("careless"), b"x").unwrap();
            rustix::process::umask(before);
            assert!(lock.is_some());
            assert!(!DiskVfs.make_dir(&folder).unwrap(), "it is there");
            assert!(DiskVfs.make_dir(&folder.join("none/below")).is_err());
            assert_eq!(mode(&folder), 0o700);
            assert_eq!(mode(&folder.join("a.ron")), 0o600);
            assert_eq!(mode(&folder.join(".lock")), 0o600);
            assert_eq!(mode(&folder.join("careless")), 0o666 & !mask);
        }
    }

    #[test]
    fn only_a_missing_file_reads_as_none() {
        let dir = tempfile::tempdir().unwrap();
        let at = |name: &str| dir.path().join(name);
        std::fs::write(at("whole"), b"abc").unwrap();
        symlink(at("whole"), at("link")).unwrap();
        symlink(at("nowhere"), at("dangling")).unwrap();
        rustix::fs::mkfifoat(rustix::fs::CWD, at("pipe"), rustix::fs::Mode::RUSR).unwrap();
        assert_eq!(DiskVfs.read(&at("whole"), 3).unwrap().unwrap(), b"abc");
        assert!(DiskVfs.read(&at("missing"), 3).unwrap().is_none());
        for wrong in ["link", "dangling", "pipe", "", "whole/below"] {
            assert!(DiskVfs.read(&at(wrong), 3).is_err(), "{wrong:?}");
        }
        for link in ["link", "dangling"] {
            let said = DiskVfs.read(&at(link), 3).unwrap_err().to_string();
            assert_eq!(said, not_a_plain_file().to_string(), "{link}");
        }
        assert_eq!(DiskVfs.read(&at("whole"), 2).unwrap_err().kind(), ErrorKind::FileTooLarge);
    }

    #[test]
    #[cfg(target_os = "linux")]
    fn a_file_that_is_longer_than_it_says_is_still_read_up_to_its_cap_only() {
        // What the kernel tells of a process says that it is empty.
        let told = Path::new("/proc/self/stat");
        assert_eq!(DiskVfs.stat(told).unwrap().unwrap().len, 0);
        assert!(!DiskVfs.read(told, 10_000).unwrap().unwrap().is_empty());
        assert_eq!(DiskVfs.read(told, 5).unwrap_err().kind(), ErrorKind::FileTooLarge);
    }

    #[test]
    fn when_a_file_was_written_is_told_to_the_nanosecond() {
        let dir = tempfile::tempdir().unwrap();
        let path = dir.path().join("a");
        let when = std::time::UNIX_EPOCH + std::time::Duration::new(1_700_000_000, 123_456_789);
        File::create(&path).unwrap().set_modified(when).unwrap();
        let stat = DiskVfs.stat(&path).unwrap().unwrap();
        assert_eq!(stat.written_ns, 1_700_000_000_123_456_789);
        assert!((stat.is_folder, stat.len) == (false, 0) && stat.changed_ns > stat.written_ns);
        assert!(DiskVfs.stat(dir.path()).unwrap().unwrap().is_folder);
    }

    #[test]
    fn the_end_of_a_file_is_read_without_the_rest() {
        let dir = tempfile::tempdir().unwrap();
        let path = dir.path().join("a");
        std::fs::write(&path, b"0123456789").unwrap();
        let disk = crate::sim::SimVfs::new();
        disk.put(&path, b"0123456789");
        for (most, end) in [(0, ""), (3, "789"), (10, "0123456789"), (11, "0123456789")] {
            for vfs in [&DiskVfs as &dyn Vfs, &disk] {
                let read = vfs.read_end(&path, most).unwrap().unwrap();
                assert_eq!(String::from_utf8(read).unwrap(), end, "{most}");
            }
        }
        assert_eq!(DiskVfs.read_end(&dir.path().join("none"), 3).unwrap(), None);
        assert!(DiskVfs.read_end(dir.path(), 3).is_err());
    }

    #[test]
    fn a_new_file_never_takes_a_name_that_is_in_use() {
        let dir = tempfile::tempdir().unwrap();
        let name = dir.path().join("a");
        symlink(dir.path().join("elsewhere"), &name).unwrap();
        assert_eq!(DiskVfs.create_new(&name).unwrap_err().kind(), ErrorKind::AlreadyExists);
        assert!(!dir.path().join("elsewhere").exists());
        assert!(DiskVfs.make_dir(&name).is_err());
        assert!(DiskVfs.try_lock(&name).is_err());
    }

    #[test]
    fn a_lock_is_held_until_it_is_dropped() {
        let dir = tempfile::tempdir().unwrap();
        let name = dir.path().join(".lock");
        let first = DiskVfs.try_lock(&name).unwrap();
        assert!(first.is_some());
        assert!(DiskVfs.try_lock(&name).unwrap().is_none());
        drop(first);
        assert!(DiskVfs.try_lock(&name).unwrap().is_some());
    }

    #[test]
    fn a_lock_is_given_back_even_while_a_program_that_is_being_started_holds_a_copy_of_the_file() {
        let dir = tempfile::tempdir().unwrap();
        let name = dir.path().join(".lock");
        let file = File::create(&name).unwrap();
        file.try_lock().unwrap();
        let copy = file.try_clone().unwrap();
        // The broken variant: the file is closed, and the copy keeps the lock.
        drop(file);
        assert!(DiskVfs.try_lock(&name).unwrap().is_none());
        drop(DiskLock(copy.try_clone().unwrap()));
        assert!(DiskVfs.try_lock(&name).unwrap().is_some());
        drop(copy);
    }

    #[test]
    fn a_stamp_moves_with_what_it_stands_for_and_only_a_missing_name_has_none() {
        let dir = tempfile::tempdir().unwrap();
        let file = dir.path().join("a");
        assert_eq!(DiskVfs.stat(&file).unwrap(), None);
        std::fs::write(&file, b"abc").unwrap();
        symlink("nowhere", dir.path().join("link")).unwrap();
        let stat = DiskVfs.stat(&file).unwrap().unwrap();
        assert!(!stat.is_folder && stat.len == 3);
        assert_eq!(DiskVfs.stat(&file).unwrap(), Some(stat));
        std::fs::write(&file, b"abcd").unwrap();
        assert_ne!(DiskVfs.stat(&file).unwrap(), Some(stat));
        assert!(DiskVfs.stat(dir.path()).unwrap().unwrap().is_folder);
        assert!(DiskVfs.stat(&dir.path().join("link")).unwrap().is_some(), "no link is followed");
        assert!(DiskVfs.stat(&file.join("below")).is_err(), "a file has nothing below it");
    }

    #[test]
    fn a_folder_is_listed_in_order_and_a_missing_one_is_none() {
        let dir = tempfile::tempdir().unwrap();
        std::fs::write(dir.path().join("b"), b"").unwrap();
        std::fs::create_dir(dir.path().join("c")).unwrap();
        symlink("b", dir.path().join("a")).unwrap();
        let found = DiskVfs.list(dir.path()).unwrap().unwrap();
        let kinds: Vec<_> = found.iter().map(|e| (e.name.to_str().unwrap(), e.kind)).collect();
        assert_eq!(kinds, [("a", EntryKind::Other), ("b", EntryKind::File), ("c", EntryKind::Folder)]);
        assert!(DiskVfs.list(&dir.path().join("none")).unwrap().is_none());
        assert!(DiskVfs.list(&dir.path().join("b")).is_err());
    }

    #[test]
    fn a_link_to_a_folder_is_neither_listed_nor_synced_as_one() {
        let dir = tempfile::tempdir().unwrap();
        let (folder, link) = (dir.path().join("folder"), dir.path().join("link"));
        std::fs::create_dir(&folder).unwrap();
        std::fs::write(folder.join("theirs"), b"x").unwrap();
        symlink(&folder, &link).unwrap();
        assert_eq!(DiskVfs.list(&link).unwrap_err().kind(), ErrorKind::NotADirectory);
        assert!(DiskVfs.sync_dir(&link).is_err());
        assert!(DiskVfs.sync_dir(&folder).is_ok());
        for no_folder in [&folder.join("theirs"), &link] {
            assert_eq!(DiskVfs.sync_dir(no_folder).unwrap_err().kind(), ErrorKind::NotADirectory);
        }
        assert_eq!(DiskVfs.behind_links(&link).unwrap(), folder.canonicalize().unwrap());
        assert_eq!(DiskVfs.behind_links(&folder).unwrap(), folder);
        assert_eq!(DiskVfs.behind_links(&dir.path().join("none")).unwrap(), dir.path().join("none"));
        std::fs::create_dir(folder.join("inside")).unwrap();
        assert_eq!(DiskVfs.behind_links(&link.join("inside")).unwrap(), link.join("inside"));
        assert!(DiskVfs.behind_links(&folder.join("theirs/below")).is_err(), "nothing lies below a file");
        std::fs::remove_dir_all(&folder).unwrap();
        assert!(DiskVfs.behind_links(&link).is_err(), "it leads nowhere");
    }
}
