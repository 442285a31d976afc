//! An earlier version of a document in the place of a file that cannot be used, which is kept beside it.

use std::path::Path;

use super::Earlier;
use crate::folder::{StoreError, StudioFolder, disk};
use crate::forgotten::must_be_saved;
use crate::format;
use crate::name::{DocPath, beside_name};
use craft::digest::Digest;

/// So many names beside a document are tried.
const NAMES: u32 = 999;

impl StudioFolder {
    /// Puts an earlier version in the place of a document's file, byte for byte as it was kept. What lies there is kept
    /// beside it first; gives the name of that, or none where nothing lies there. The document has to be loaded again.
    ///
    /// # Errors
    /// The version is not there or not what was kept, the studio is open for reading only, another program changed the
    /// file meanwhile, or the disk fails. The file lies there as it was then, or is the earlier version.
    pub fn put_in_place(&self, path: &DocPath, version: &Earlier) -> Result<Option<String>, StoreError> {
        let file = self.whole(path);
        let refused = |why| StoreError::NotPutInPlace { path: file.clone(), why: Box::new(why) };
        self.may_write(&file).map_err(refused)?;
        let kept = self.history_of(path).join(version.file_name());
        let bytes = self.vfs().read(&kept, format::CAP).map_err(disk(&kept, "read"))?;
        let bytes = bytes.ok_or_else(|| StoreError::Vanished { path: kept.clone() })?;
        if !version.holds(&bytes) {
            return Err(StoreError::Damaged { path: kept });
        }
        let broken = self.vfs().read(&file, format::CAP).map_err(disk(&file, "read"))?;
        let beside = broken.as_deref().map(|broken| self.keep_broken(path, &file, broken)).transpose()?;
        let found = broken.as_deref().map(Digest::of);
        must_be_saved(self.replace(path, found, &bytes), &file).map_err(refused)?;
        Ok(beside)
    }

    /// Gives a file that cannot be used a name beside itself; one that has such a name already keeps it.
    fn keep_broken(&self, path: &DocPath, file: &Path, broken: &[u8]) -> Result<String, StoreError> {
        let dir = path.folder_in(self.root());
        for name in (1..=NAMES).map(|n| beside_name(&path.file_name(), n)) {
            let beside = dir.join(&name);
            match self.vfs().read(&beside, format::CAP).map_err(disk(&beside, "read"))? {
                Some(other) if other != broken => continue,
                Some(_) => {}
                None => self.give_second_name(file, &beside, broken).map_err(disk(&beside, "keep"))?,
            }
            self.vfs().sync_dir(&dir).map_err(disk(&dir, "confirm what was kept in"))?;
            return Ok(name);
        }
        let what = "too many versions of it lie beside it already".to_owned();
        Err(StoreError::Unclear { path: file.to_owned(), what })
    }
}
