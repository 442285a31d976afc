//! What was worked out of documents that do not change any more, kept beside them by the digest of their bytes.
//!
//! A document with exactly the bytes that were read, checked and summed up before need not be read and checked again: its
//! digest says that it is the same. So the file can be thrown away at any time, and what is asked is answered as before,
//! only later. It is never put in a backup.

use std::collections::BTreeMap;
use std::ops::Range;

use serde::Serialize;
use serde::de::DeserializeOwned;

use crate::folder::{Access, StoreError, StudioFolder};
use crate::format::{Since, since_saved, with_sum};
use crate::save::{Expect, Place, SaveOutcome, durable_save};
use craft::digest::Digest;

/// The file's name.
pub(crate) const SUMMARIES: &str = ".summaries";

/// The largest file that is read, in bytes: above 40,000 orders.
const CAP: u64 = 64 * 1024 * 1024;

/// The summaries of documents, by the names of their files.
#[derive(Clone, Debug, Default)]
pub struct Summaries {
    text: String,
    /// Where each summary stands in the text, and of which bytes it is.
    lines: BTreeMap<String, (Digest, Range<usize>)>,
}

impl Summaries {
    /// How many there are.
    pub fn len(&self) -> usize {
        self.lines.len()
    }

    /// True where there are none.
    pub fn is_empty(&self) -> bool {
        self.lines.is_empty()
    }

    /// The summary of a document whose file has this digest now; none where that was never summed up.
    pub fn get<T: DeserializeOwned>(&self, stem: &str, digest: &Digest) -> Option<T> {
        let (of, place) = self.lines.get(stem)?;
        ron::from_str(self.text.get(place.clone()).filter(|_| of == digest)?).ok()
    }

    /// Notes the summary of a document whose file has this digest.
    pub fn put<T: Serialize>(&mut self, stem: &str, digest: Digest, summary: &T) {
        if let Ok(text) = ron::to_string(summary)
            && !text.contains('\n')
        {
            self.line(stem, digest, &text);
        }
    }

    /// Takes over what is noted of a document elsewhere.
    pub fn take_over(&mut self, stem: &str, from: &Self) {
        if let Some((digest, place)) = from.lines.get(stem)
            && let Some(text) = from.text.get(place.clone())
        {
            self.line(stem, *digest, text);
        }
    }

    /// Takes in all of the others.
    pub fn join(&mut self, others: &Self) {
        others.lines.keys().for_each(|stem| self.take_over(stem, others));
    }

    fn line(&mut self, stem: &str, digest: Digest, text: &str) {
        let start = self.text.len();
        self.text.push_str(text);
        self.lines.insert(stem.to_owned(), (digest, start..self.text.len()));
    }

    /// One line for who made it, and one for each document: its name, the digest of its file, the summary.
    fn to_text(&self, made_by: &str) -> String {
        let lines = self.lines.iter().map(|(stem, (digest, place))| {
            let summary = self.text.get(place.clone()).unwrap_or_default();
            format!("{stem} {digest} {summary}\n")
        });
        with_sum([format!("{made_by}\n")].into_iter().chain(lines).collect())
    }

    /// Reads what `made_by` wrote, and nothing of what another program did, or of what was changed since.
    fn from_text(text: String, made_by: &str) -> Self {
        let is_ours = text.split('\n').next() == Some(made_by);
        if !is_ours || since_saved(text.as_bytes()) != Since::AsSaved {
            return Self::default();
        }
        let (mut lines, mut start) = (BTreeMap::new(), 0);
        for line in text.split_inclusive('\n') {
            let end = start + line.len();
            let mut words = line.splitn(3, ' ');
            if let (Some(stem), Some(digest), Some(rest)) = (words.next(), words.next(), words.next())
                && let Ok(digest) = digest.parse::<Digest>()
            {
                lines.insert(stem.to_owned(), (digest, end - rest.len()..end - 1));
            }
            start = end;
        }
        Self { text, lines }
    }
}

impl StudioFolder {
    /// The summaries that the same program made, of which `made_by` must tell more than its version while it is being
    /// changed. What cannot be read counts as never summed up.
    pub fn load_summaries(&self, made_by: &str) -> Summaries {
        let read = self.vfs().read(&self.root().join(SUMMARIES), CAP).ok().flatten();
        let text = read.and_then(|bytes| String::from_utf8(bytes).ok());
        text.map_or_else(Summaries::default, |text| Summaries::from_text(text, made_by))
    }

    /// Keeps the summaries if that can be done; gives whether it was. No work depends on the answer.
    pub fn save_summaries(&self, made_by: &str, summaries: &Summaries) -> bool {
        self.save_summaries_up_to(CAP, made_by, summaries)
    }

    fn save_summaries_up_to(&self, cap: u64, made_by: &str, summaries: &Summaries) -> bool {
        if !matches!(self.access(), Access::Writable) {
            return false;
        }
        let expect = Expect { states: None, cap, beside: None };
        let place = Place { dir: self.root(), name: SUMMARIES };
        let text = summaries.to_text(made_by);
        if summaries.is_empty() || text.len() as u64 > cap {
            // What would not be read need not lie there.
            return self.remove_summaries().is_ok();
        }
        matches!(durable_save(self.vfs(), place, text.as_bytes(), expect), SaveOutcome::Saved(_))
    }

    /// Removes the summaries, which hold names, and copies of them that another program made beside; gives how many files
    /// that were.
    ///
    /// # Errors
    /// The studio is open for reading only, or the disk fails.
    pub fn remove_summaries(&self) -> Result<usize, StoreError> {
        self.remove_all(self.root(), |found| found.starts_with(SUMMARIES))
    }
}

#[cfg(test)]
mod tests {
    use std::path::Path;
    use std::sync::Arc;

    use super::*;
    use crate::sim::{Fault, SimVfs, Trouble};

    fn some() -> Summaries {
        let mut all = Summaries::default();
        all.put("a2b-c3h", Digest::of(b"one"), &("Ida \"the\nsecond\"", 7_u8));
        all.put("b2b-c3h", Digest::of(b"two"), &("Noor", 8_u8));
        all
    }

    fn get(all: &Summaries, stem: &str, bytes: &[u8]) -> Option<(String, u8)> {
        all.get(stem, &Digest::of(bytes))
    }

    #[test]
    fn a_summary_is_of_these_bytes_and_of_no_others() {
        let all = some();
        let read = Summaries::from_text(all.to_text("me 1"), "me 1");
        for all in [&all, &read] {
            assert_eq!(all.len(), 2);
            assert_eq!(get(all, "a2b-c3h", b"one"), Some(("Ida \"the\nsecond\"".to_owned(), 7)));
            assert_eq!(get(all, "b2b-c3h", b"two"), Some(("Noor".to_owned(), 8)));
            assert_eq!(get(all, "a2b-c3h", b"two"), None);
            assert_eq!(get(all, "c2b-c3h", b"one"), None);
        }
        let mut again = Summaries::default();
        again.take_over("b2b-c3h", &read);
        again.join(&all);
        assert_eq!(again.to_text("me 1"), all.to_text("me 1"));
        assert_eq!(read.to_text("me 1"), all.to_text("me 1"));
        assert_eq!(all.get::<u8>("a2b-c3h", &Digest::of(b"one")), None, "something else was asked for");
    }

    #[test]
    fn what_another_program_made_or_what_was_changed_counts_for_nothing() {
        let text = some().to_text("me 1");
        assert!(Summaries::from_text(text.clone(), "me 2").is_empty());
        for at in 0..text.len() {
            let mut changed = text.clone().into_bytes();
            if let Some(byte) = changed.get_mut(at) {
                *byte ^= 1;
            }
            let changed = String::from_utf8(changed).unwrap();
            assert!(Summaries::from_text(changed, "me 1").is_empty(), "byte {at}");
            // Without the end of the last line all of it is there.
            let cut = text.get(..at).unwrap().to_owned();
            assert!(at + 1 == text.len() || Summaries::from_text(cut, "me 1").is_empty(), "cut at {at}");
        }
    }

    #[test]
    fn no_fault_in_the_file_keeps_anyone_from_working() {
        let disk = SimVfs::new();
        disk.put("/home/x", b"");
        let folder = StudioFolder::create(Path::new("/home/s"), Arc::new(disk.clone()), &1_u8).unwrap();
        assert!(folder.load_summaries("me").is_empty());
        assert_eq!(folder.remove_summaries().unwrap(), 0);
        assert!(folder.save_summaries("me", &some()));
        for after in 0..6 {
            disk.arm(Fault::once(after, Trouble::Device));
            assert!(!folder.save_summaries("me", &some()), "{after}");
            disk.arm(Fault::once(0, Trouble::Device));
            assert!(folder.load_summaries("me").is_empty());
        }
        assert!(folder.save_summaries("me", &some()));
        assert_eq!(folder.load_summaries("me").len(), 2);
        disk.arm(Fault::once(1, Trouble::Device));
        folder.remove_summaries().unwrap_err();
        assert_eq!(folder.remove_summaries().unwrap(), 1);
        assert!(folder.load_summaries("me").is_empty());
        let mut long = some();
        long.put("c2b-c3h", Digest::of(b"three"), &("a".repeat(1_200_000), 9_u8));
        assert!(folder.save_summaries("me", &long));
        assert_eq!(folder.load_summaries("me").len(), 3);
        // What is too long to be read again is not kept, and what was there before goes.
        let whole = some().to_text("me").len() as u64;
        assert!(folder.save_summaries_up_to(whole, "me", &some()));
        assert_eq!(folder.load_summaries("me").len(), 2);
        assert!(folder.save_summaries_up_to(whole - 1, "me", &some()));
        assert_eq!(disk.get("/home/s/.summaries"), None);
        disk.put("/home/s/.summaries (copy)", b"Ida");
        assert!(folder.save_summaries("me", &some()));
        assert!(folder.save_summaries("me", &Summaries::default()), "none is no file");
        let left = [".summaries", ".summaries (copy)"].map(|name| disk.get(Path::new("/home/s").join(name)));
        assert_eq!(left, [None, None]);
    }
}
