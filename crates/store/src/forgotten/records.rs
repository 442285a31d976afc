//! How the records of forgotten orders begin, noted beside a list outside any studio: two studios may bear one id, and
//! one must not forget for the other.

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};

use super::read_list;
use crate::folder::StoreError;
use crate::name::DocPath;
use crate::vfs::Vfs;
use craft::digest::Digest;

/// The first line of the file.
const HEAD: &str = "heldfast records 1";

/// The seals of the first entries of orders, by tag. A tag that two studios gave has the seal of each.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Records(BTreeMap<String, BTreeSet<Digest>>);

impl Records {
    /// Notes how the record of an order begins. What cannot be a tag is left out.
    pub fn note(&mut self, tag: &str, first: Digest) {
        if let Ok(path) = DocPath::order(tag) {
            self.0.entry(path.stem().to_owned()).or_default().insert(first);
        }
    }

    /// Notes all of the others.
    pub fn note_all(&mut self, others: &Records) {
        for (tag, seals) in &others.0 {
            self.0.entry(tag.clone()).or_default().extend(seals.iter().copied());
        }
    }

    /// Whether the record of an order is known to begin so; none where nothing is known of it.
    pub fn begins(&self, tag: &str, first: &Digest) -> Option<bool> {
        Some(self.0.get(&tag.to_ascii_lowercase())?.contains(first))
    }

    /// True where nothing is known of any.
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// The text of the file: one line for each order and seal.
    pub fn to_text(&self) -> String {
        let lines =
            self.0.iter().flat_map(|(tag, seals)| seals.iter().map(move |seal| format!("{tag} {seal}\n")));
        format!("{HEAD}\n{}", lines.collect::<String>())
    }

    /// Reads the text of the file.
    ///
    /// # Errors
    /// What is wrong with it.
    pub fn from_text(text: &str) -> Result<Self, String> {
        let mut lines = text.lines();
        if lines.next() != Some(HEAD) {
            return Err(format!("its first line is not \"{HEAD}\""));
        }
        let mut read = Self::default();
        for (place, line) in lines.enumerate() {
            let words = line.split_once(' ').and_then(|(tag, seal)| Some((tag, seal.parse().ok()?)));
            let Some((tag, seal)) = words.filter(|(tag, _)| DocPath::order(tag).is_ok()) else {
                return Err(format!("line {} is not a tag and a seal", place + 2));
            };
            read.note(tag, seal);
        }
        Ok(read)
    }

    /// Reads a file of this kind; nothing is known only where there is no such file.
    ///
    /// # Errors
    /// The disk fails, or it cannot be understood.
    pub fn read(path: &Path, vfs: &dyn Vfs) -> Result<Self, StoreError> {
        read_list(path, vfs, Self::from_text)
    }
}

/// The file beside a list outside any studio that says how the records of its orders begin.
pub fn records_beside(list: &Path) -> PathBuf {
    list.with_extension("records")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn how_records_begin_reads_back_and_one_tag_may_be_of_two_studios() {
        let [one, other, third] = [b"one", b"two", b"six"].map(|bytes| Digest::of(bytes.as_slice()));
        let mut known = Records::default();
        known.note("A2B-C3H", one);
        known.note("../x", one);
        let mut more = Records::default();
        more.note("a2b-c3h", other);
        known.note_all(&more);
        assert_eq!(Records::from_text(&known.to_text()), Ok(known.clone()));
        let said = [one, other, third].map(|seal| known.begins("A2B-C3H", &seal));
        assert_eq!(said, [Some(true), Some(true), Some(false)]);
        assert_eq!(known.begins("A2B-C3X", &one), None, "nothing is known of it");
        for slip in
            ["", "heldfast records 2\n", "heldfast records 1\na2b-c3h\n", "heldfast records 1\n../x 00\n"]
        {
            assert!(Records::from_text(slip).is_err(), "{slip}");
        }
        assert_eq!(records_beside(Path::new("/a/quiet-room.txt")), Path::new("/a/quiet-room.records"));
    }
}
