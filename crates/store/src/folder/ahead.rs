//! What can be told of documents before they are loaded, and of files that are no documents.

use std::path::Path;

use serde::de::DeserializeOwned;

use super::{Base, Loaded, Memory, StoreError, StudioFolder, disk};
use crate::format::{self, Decoded};
use crate::name::{DocKind, DocPath};
use crate::vfs::Stat;

impl Memory {
    /// The file is there and not read: it must not be replaced, and it is no news until its stamp is another one.
    pub(super) fn await_reading(&mut self, path: &DocPath, stat: Option<Stat>) {
        self.changed.remove(path);
        self.docs.insert(path.clone(), Base::Unread);
        match stat {
            Some(stat) => self.seen.insert(path.clone(), stat),
            None => self.seen.remove(path),
        };
    }
}

impl StudioFolder {
    /// Notes documents that will be loaded later, and gives when each was written last, in nanoseconds of the disk's
    /// clock; least for one that cannot be asked. Until they are loaded nothing replaces them.
    pub fn await_documents(&self, paths: &[DocPath]) -> Vec<i128> {
        let note = |path: &DocPath| {
            let stat = self.vfs.stat(&self.whole(path)).ok().flatten();
            self.memory().await_reading(path, stat);
            stat.map_or(i128::MIN, |stat| stat.written_ns)
        };
        paths.iter().map(note).collect()
    }

    /// At most so many bytes from the end of a document's file, to guess from; nothing is remembered of them. None where
    /// they cannot be had.
    pub fn peek(&self, path: &DocPath, most: usize) -> Option<Vec<u8>> {
        self.vfs.read_end(&self.whole(path), most).ok().flatten()
    }

    /// Reads a file beside the documents of a kind as if it were one of them, such as a version that was kept or a copy
    /// that another program made. Nothing is remembered of it, and it stays where it is.
    ///
    /// # Errors
    /// The name leads elsewhere, or the disk fails.
    pub fn read_beside<T: DeserializeOwned>(
        &self,
        kind: DocKind,
        name: &str,
    ) -> Result<Loaded<T>, StoreError> {
        let dir = kind.folder().map_or_else(|| self.root.clone(), |folder| self.root.join(folder));
        let file = dir.join(name);
        if Path::new(name).file_name() != Some(name.as_ref()) {
            return Err(StoreError::StrangeFolder { path: file });
        }
        let bytes = self.vfs.read(&file, format::CAP).map_err(disk(&file, "read"))?;
        Ok(match bytes.map(|bytes| format::decode(kind, &bytes)) {
            None => Loaded::Absent,
            Some(Decoded::Whole(doc)) => Loaded::Whole(doc),
            Some(Decoded::Newer(version)) => Loaded::Newer { version },
            Some(Decoded::Broken(broken)) => Loaded::Broken(broken),
        })
    }
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use super::*;
    use crate::save::SaveOutcome;
    use crate::sim::SimVfs;
    use crate::watch::Watch;

    fn studio() -> (SimVfs, StudioFolder, DocPath) {
        let disk = SimVfs::new();
        let root = Path::new("/studio");
        let made = StudioFolder::create(root, Arc::new(disk.clone()), &"settings".to_owned()).unwrap();
        let path = DocPath::order("aaa").unwrap();
        assert!(matches!(made.save(&path, &"one".to_owned()), SaveOutcome::Saved(_)));
        drop(made);
        (disk.clone(), StudioFolder::open(root, Arc::new(disk)).unwrap(), path)
    }

    #[test]
    fn an_awaited_document_is_no_news_and_is_not_replaced_until_it_is_loaded() {
        let (_, folder, path) = studio();
        assert!(matches!(folder.load::<String>(&DocPath::studio()).unwrap(), Loaded::Whole(_)));
        assert!(folder.await_documents(std::slice::from_ref(&path))[0] > i128::MIN);
        let mut watch = Watch::new();
        assert_eq!(watch.look(&folder), []);
        assert!(matches!(folder.save(&path, &"two".to_owned()), SaveOutcome::NotSaved(_)));
        let peeked = String::from_utf8(folder.peek(&path, 1_000).unwrap()).unwrap();
        assert!(peeked.contains("body: \"one\",\n)\n// sum "), "{peeked}");
        assert_eq!(folder.load::<String>(&path).unwrap(), Loaded::Whole("one".to_owned()));
        assert!(matches!(folder.save(&path, &"two".to_owned()), SaveOutcome::Saved(_)));
        assert_eq!(watch.look(&folder), []);
    }

    #[test]
    fn a_file_beside_is_read_and_nothing_outside_its_folder_is() {
        let (disk, folder, path) = studio();
        disk.put("/studio/orders/aaa (copy).ron", &folder.peek(&path, 1_000).unwrap());
        let read = |name: &str| folder.read_beside::<String>(DocKind::Order, name);
        assert_eq!(read("aaa (copy).ron").unwrap(), Loaded::Whole("one".to_owned()));
        assert_eq!(read("nothing.ron").unwrap(), Loaded::Absent);
        for wrong in ["../studio.ron", "a/b.ron", "", "..", "/studio/studio.ron"] {
            assert!(read(wrong).is_err(), "{wrong}");
        }
    }
}
