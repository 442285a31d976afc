//! Putting a backup back, into a new or empty folder only.

use std::fs::File;
use std::io::{self, BufReader, Read};
use std::os::unix::fs::OpenOptionsExt as _;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use super::{BackupError, Contents, Going, hundredths, not_kept, read};
use crate::folder::StudioFolder;
use crate::forgotten::{FORGOTTEN, Forgotten, must_be_saved};
use crate::save::{Expect, Place, durable_save};
use crate::vfs::Vfs;
use craft::digest::Digest;

/// A studio that was put back.
#[derive(Debug)]
pub struct Restored {
    /// Its folder, open for changes.
    pub folder: StudioFolder,
    /// What the backup holds.
    pub contents: Contents,
}

/// Opens a backup for reading, and says how many bytes it has; it is read twice.
pub type Source<'a> = &'a mut dyn FnMut() -> io::Result<(Box<dyn Read>, u64)>;

/// Puts the backup in the file `path` back into the new or empty folder `dir`. See [`restore_from`].
///
/// # Errors
/// As [`restore_from`].
pub fn restore(
    path: &Path,
    dir: &Path,
    vfs: Arc<dyn Vfs>,
    forgotten: &mut dyn FnMut(&Contents) -> Result<Forgotten, BackupError>,
    going: Going<'_>,
) -> Result<Restored, BackupError> {
    let mut open = || {
        // A pipe would have to be waited for, perhaps for ever, and could not be read twice.
        let flags = (rustix::fs::OFlags::NONBLOCK | rustix::fs::OFlags::CLOEXEC).bits().cast_signed();
        let file = File::options().read(true).custom_flags(flags).open(path)?;
        let known = file.metadata()?;
        if !known.is_file() {
            return Err(crate::vfs::not_a_plain_file());
        }
        Ok((Box::new(BufReader::new(file)) as Box<dyn Read>, known.len()))
    };
    restore_from(&mut open, path, (dir, vfs), forgotten, going)
}

/// Puts a backup back: it is read through and every digest compared before anything is written; then each file is
/// written and read back; `studio.ron` comes last, so half of a studio is never taken for a whole. Who is to be
/// forgotten, as the backup says and as `forgotten` adds, is written before that as well.
///
/// # Errors
/// The backup cannot be used (nothing is written then), the folder holds something, or the disk fails.
pub fn restore_from(
    open: Source<'_>,
    path: &Path,
    (dir, vfs): (&Path, Arc<dyn Vfs>),
    forgotten: &mut dyn FnMut(&Contents) -> Result<Forgotten, BackupError>,
    going: Going<'_>,
) -> Result<Restored, BackupError> {
    let (mut input, all) = opened(open, path)?;
    let mut seen = 0_u64;
    let mut known = Forgotten::default();
    let mut unclear = None;
    let contents = read(input.as_mut(), path, &mut |name, bytes| {
        if name == FORGOTTEN {
            match Forgotten::from_text(&String::from_utf8_lossy(bytes)) {
                Ok(list) => known = list,
                Err(what) => unclear = Some(format!("{FORGOTTEN} in it cannot be understood: {what}")),
            }
        }
        seen = seen.saturating_add(bytes.len() as u64);
        going(hundredths(seen, all, (0, 30)))
    })?;
    if let Some(what) = unclear {
        return Err(BackupError::Unsound { path: path.to_owned(), what });
    }
    known.add_all(&forgotten(&contents)?);
    let folder = StudioFolder::begin(dir, vfs)?;
    let begun = |why| BackupError::begun(folder.root(), why);
    let mut writing = Writing { folder: &folder, contents: &contents, studio: None, failed: None, done: 0 };
    let (mut input, _) = opened(open, path).map_err(begun)?;
    let again = read(input.as_mut(), path, &mut |name, bytes| writing.take(name, bytes, going));
    let Writing { studio, failed, .. } = writing;
    if let Some(why) = failed {
        return Err(if matches!(why, BackupError::Begun { .. }) { why } else { begun(why) });
    }
    let again = again.map_err(begun)?;
    if again.files != contents.files {
        let what = "it changed while it was being read".to_owned();
        return Err(begun(BackupError::Unsound { path: path.to_owned(), what }));
    }
    let with_list = !known.is_empty() || contents.files.contains_key(FORGOTTEN);
    if with_list {
        let outcome = folder.save_forgotten(&known);
        must_be_saved(outcome, &folder.root().join(FORGOTTEN)).map_err(|why| begun_by(folder.root(), why))?;
    }
    read_back(&folder, &contents, with_list, going)?;
    put_studio(&folder, studio.as_deref().unwrap_or_default()).map_err(|why| begun_by(folder.root(), why))?;
    Ok(Restored { folder, contents })
}

fn begun_by(at: &Path, why: impl std::error::Error + Send + Sync + 'static) -> BackupError {
    BackupError::begun(at, why)
}

fn opened(open: Source<'_>, path: &Path) -> Result<(Box<dyn Read>, u64), BackupError> {
    let path = path.to_owned();
    open().map_err(|source| match source.kind() {
        io::ErrorKind::NotFound => BackupError::NoFile { path },
        _ => BackupError::NotRead { path, source },
    })
}

/// What has been put back so far.
struct Writing<'a> {
    folder: &'a StudioFolder,
    contents: &'a Contents,
    studio: Option<Vec<u8>>,
    failed: Option<BackupError>,
    done: u64,
}

impl Writing<'_> {
    /// Writes a file; `false` where it stops here.
    fn take(&mut self, name: &str, bytes: &[u8], going: Going<'_>) -> bool {
        self.done += 1;
        if name == "studio.ron" {
            self.studio = Some(bytes.to_vec());
        } else if self.contents.files.get(name) == Some(&Digest::of(bytes)) && name != FORGOTTEN {
            self.failed = self.write(name, bytes).err();
        }
        if self.failed.is_none() && !going(hundredths(self.done, self.contents.count() as u64, (30, 80))) {
            self.failed = Some(BackupError::Stopped);
        }
        self.failed.is_none()
    }

    fn write(&self, name: &str, bytes: &[u8]) -> Result<(), BackupError> {
        let file: PathBuf = self.folder.root().join(name);
        let dir = file.parent().unwrap_or(self.folder.root());
        let written = self.folder.make_dirs(dir).and_then(|()| self.folder.write_once(&file, bytes));
        written.map_err(|why| begun_by(self.folder.root(), not_kept(&file, "write it")(why)))
    }
}

/// Every file is read again, and every folder's names are on the disk.
fn read_back(
    folder: &StudioFolder,
    contents: &Contents,
    with_list: bool,
    going: Going<'_>,
) -> Result<(), BackupError> {
    let failed = |path: &Path, step, why| begun_by(folder.root(), not_kept(path, step)(why));
    let mut folders = std::collections::BTreeSet::from([folder.root().to_owned()]);
    for ((name, digest), done) in contents.files.iter().zip(1..) {
        if !going(hundredths(done, contents.count() as u64, (80, 99))) {
            return Err(begun_by(folder.root(), BackupError::Stopped));
        }
        if name == "studio.ron" || (name == FORGOTTEN && with_list) {
            continue;
        }
        let file = folder.root().join(name);
        let bytes = folder
            .vfs()
            .read(&file, crate::photos::PHOTO_CAP)
            .map_err(|why| failed(&file, "read it back", why))?;
        if bytes.is_none_or(|bytes| Digest::of(&bytes) != *digest) {
            let why =
                io::Error::new(io::ErrorKind::InvalidData, "what was read back is not what was written");
            return Err(failed(&file, "keep it", why));
        }
        folders.extend(file.parent().map(Path::to_owned));
    }
    for dir in folders {
        folder.vfs().sync_dir(&dir).map_err(|why| failed(&dir, "confirm it", why))?;
    }
    Ok(())
}

/// The last file says that the studio is whole.
fn put_studio(folder: &StudioFolder, bytes: &[u8]) -> Result<(), crate::save::SaveError> {
    let place = Place { dir: folder.root(), name: "studio.ron" };
    let expect = Expect { states: Some(&[None]), cap: crate::format::CAP, beside: None };
    let outcome = durable_save(folder.vfs(), place, bytes, expect);
    must_be_saved(outcome, &place.path()).map_err(crate::save::SaveError::of_a_new_file)
}
