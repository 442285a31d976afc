//! The disk a backup goes to, which is none of the studio's: links on the way are the maker's own affair.

use std::fs::{File, OpenOptions};
use std::io::{self, BufReader, Read, Write};
use std::os::unix::fs::OpenOptionsExt as _;
use std::path::Path;

use crate::vfs::{DiskFile, NewFile};

/// What is done there.
pub(crate) trait Outside {
    /// Whether something has this name, be it a link to nowhere.
    fn is_there(&self, path: &Path) -> io::Result<bool>;
    /// Makes a file of a name that is free, for its owner only.
    fn create_new(&self, path: &Path) -> io::Result<Box<dyn NewFile>>;
    /// Opens a file to be read from its start to its end.
    fn open(&self, path: &Path) -> io::Result<Box<dyn Read>>;
    /// Gives a file a second name, which must be free.
    fn link(&self, from: &Path, to: &Path) -> io::Result<()>;
    /// Gives a file another name.
    fn rename(&self, from: &Path, to: &Path) -> io::Result<()>;
    /// Removes a file.
    fn remove(&self, path: &Path) -> io::Result<()>;
    /// Waits until the names in a folder are on the disk.
    fn sync_dir(&self, dir: &Path) -> io::Result<()>;
}

/// The computer's own disks.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Elsewhere;

impl Outside for Elsewhere {
    fn is_there(&self, path: &Path) -> io::Result<bool> {
        match std::fs::symlink_metadata(path) {
            Ok(_) => Ok(true),
            Err(error) if error.kind() == io::ErrorKind::NotFound => Ok(false),
            Err(error) => Err(error),
        }
    }

    fn create_new(&self, path: &Path) -> io::Result<Box<dyn NewFile>> {
        let file = OpenOptions::new().write(true).create_new(true).mode(0o600).open(path)?;
        Ok(Box::new(DiskFile(file)))
    }

    fn open(&self, path: &Path) -> io::Result<Box<dyn Read>> {
        Ok(Box::new(BufReader::new(File::open(path)?)))
    }

    fn link(&self, from: &Path, to: &Path) -> io::Result<()> {
        std::fs::hard_link(from, to)
    }

    fn rename(&self, from: &Path, to: &Path) -> io::Result<()> {
        std::fs::rename(from, to)
    }

    fn remove(&self, path: &Path) -> io::Result<()> {
        std::fs::remove_file(path)
    }

    fn sync_dir(&self, dir: &Path) -> io::Result<()> {
        File::open(dir)?.sync_all()
    }
}

/// A new file as what a backup is written into.
#[derive(Debug)]
pub(crate) struct Out(pub(crate) Box<dyn NewFile>);

impl Write for Out {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        self.0.write(bytes)
    }

    fn flush(&mut self) -> io::Result<()> {
        Ok(())
    }
}
