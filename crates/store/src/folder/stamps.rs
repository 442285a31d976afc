//! The stamps of documents' files: under which this program last knew what is in each.

use std::collections::BTreeMap;
use std::io;
use std::ops::Bound;
use std::path::Path;

use super::{Base, Memory, StudioFolder};
use crate::format;
use crate::name::{DocKind, DocPath};
use crate::vfs::Stat;
use crate::watch::Outside;
use craft::digest::Digest;

/// What stands where a document belongs, beside what this program read or wrote there last.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Found {
    /// The same.
    AsKnown,
    /// Something else.
    Odd(Outside),
}

impl Base {
    /// True where a file should be there.
    fn is_there(&self) -> bool {
        match self {
            Self::Known { states, .. } => !states.contains(&None),
            Self::Unread => true,
        }
    }
}

impl Memory {
    fn there(&self) -> impl Iterator<Item = (&DocPath, &Base)> {
        self.docs.iter().filter(|(_, base)| base.is_there())
    }
}

impl StudioFolder {
    /// True where the studio's folder is there: not taken away, and not an empty one in its place. A disk that does not
    /// say tells neither.
    pub(crate) fn is_there(&self) -> io::Result<bool> {
        let stat = |path: &Path| self.vfs.stat(path);
        let is_folder = stat(&self.root)?.is_some_and(|root| root.is_folder);
        Ok(is_folder
            && (stat(&self.root.join("studio.ron"))?.is_some() || stat(&self.root.join("orders"))?.is_some()))
    }

    pub(crate) fn stat_of(&self, path: &DocPath) -> io::Result<Option<Stat>> {
        self.vfs.stat(&self.whole(path))
    }

    pub(crate) fn stat_of_folder(&self, kind: DocKind) -> io::Result<Option<Stat>> {
        self.vfs.stat(&kind.folder().map_or_else(|| self.root.clone(), |folder| self.root.join(folder)))
    }

    /// The documents of a kind that should be there, each with the stamp under which its content is known.
    pub(crate) fn known(&self, kind: DocKind) -> BTreeMap<DocPath, Option<Stat>> {
        let memory = self.memory();
        let of_kind = memory.there().filter(|(path, _)| path.kind() == kind);
        of_kind.map(|(path, _)| (path.clone(), memory.seen.get(path).copied())).collect()
    }

    /// The next documents whose stamp is known, at most `most`, in the order of their paths.
    pub(crate) fn known_after(&self, last: Option<&DocPath>, most: usize) -> Vec<(DocPath, Option<Stat>)> {
        let from = last.map_or(Bound::Unbounded, Bound::Excluded);
        let memory = self.memory();
        let next = memory.seen.range::<DocPath, _>((from, Bound::Unbounded)).take(most);
        next.map(|(path, stat)| (path.clone(), Some(*stat))).collect()
    }

    /// The documents whose files were written after a moment, in nanoseconds of the disk's clock, each with when; and when
    /// each photo was that was. What the disk does not say is left out.
    pub fn written_since(&self, ns: i128) -> (Vec<(DocPath, i128)>, Vec<i128>) {
        let stamps: Vec<(DocPath, Option<Stat>)> = {
            let memory = self.memory();
            memory.there().map(|(path, _)| (path.clone(), memory.seen.get(path).copied())).collect()
        };
        let written = |stat: Option<Stat>| Some(stat?.written_ns).filter(|written| *written > ns);
        let docs = stamps.into_iter().filter_map(|(path, stamp)| {
            let stat = stamp.or_else(|| self.stat_of(&path).ok().flatten());
            Some((path, written(stat)?))
        });
        let docs = docs.collect();
        let dir = self.root.join("photos");
        let photos = self.photos().unwrap_or_default().into_iter();
        let photos = photos.filter_map(|name| written(self.vfs.stat(&dir.join(name.to_string())).ok()?));
        (docs, photos.collect())
    }

    /// Compares a document's file with what this program read or wrote last, and remembers its stamp. It waits for a
    /// save that is under way, so that a save of this program is never taken for another's.
    pub(crate) fn compare(&self, path: &DocPath) -> io::Result<Found> {
        let mut memory = self.memory();
        let Memory { docs, seen, .. } = &mut *memory;
        let (base, file) = (docs.get(path), self.whole(path));
        // Asked before the reading: what is changed in between has another stamp at the next look.
        let Some(stat) = self.vfs.stat(&file)? else {
            seen.remove(path);
            let missed = base.is_some_and(Base::is_there);
            return Ok(if missed { Found::Odd(Outside::Removed) } else { Found::AsKnown });
        };
        if seen.get(path) == Some(&stat) {
            return Ok(Found::AsKnown);
        }
        let found = match base {
            Some(Base::Known { states, .. }) if states.iter().any(Option::is_some) => {
                let bytes = self.vfs.read(&file, format::CAP);
                let same = bytes.is_ok_and(|bytes| states.contains(&bytes.map(|bytes| Digest::of(&bytes))));
                if same { Found::AsKnown } else { Found::Odd(Outside::Altered) }
            }
            Some(Base::Unread) => Found::Odd(Outside::Altered),
            Some(Base::Known { .. }) | None => Found::Odd(Outside::Added),
        };
        seen.insert(path.clone(), stat);
        Ok(found)
    }
}
