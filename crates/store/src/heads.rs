//! A best-effort witness of how far each order's log had come, and with which last seal.
//!
//! A chain of seals shows a changed entry, but an older copy of a file is a valid chain too. The witness lies
//! in a file of its own, so that a file put back to an older state shows. Nothing depends on it: without it,
//! or with a damaged one, less can be noticed and that is all.

use std::collections::BTreeMap;

use crate::folder::{Access, StudioFolder};
use crate::name::DocPath;
use crate::save::{Expect, Place, SaveOutcome, durable_save};
use craft::digest::Digest;

/// The witness file's name.
pub(crate) const HEADS: &str = ".heads";
/// The largest witness file that is read, in bytes: far above 100,000 orders.
pub(crate) const CAP: u64 = 16 * 1024 * 1024;

/// How a log compares with what was witnessed earlier.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Witness {
    /// The log holds everything that was witnessed, and perhaps more.
    Agrees,
    /// Entries that were witnessed are missing from the end: perhaps an older copy was put back.
    Shortened {
        /// How many entries there were.
        witnessed: u64,
    },
    /// The log is long enough but was different at the witnessed entry.
    Forked {
        /// The entry at which it differs.
        witnessed: u64,
    },
    /// Nothing is known of this log.
    New,
}

/// The last known head of each order's log.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Heads(BTreeMap<String, (u64, Digest)>);

impl Heads {
    /// Notes that the log of `tag` has `entries` entries and that `head` is the seal of the last. A tag that
    /// could not name a file is left out, since no order can have it.
    pub fn note(&mut self, tag: &str, entries: u64, head: Digest) {
        if let Ok(path) = DocPath::order(tag) {
            self.0.insert(path.stem().to_owned(), (entries, head));
        }
    }

    /// Forgets an order that was removed on purpose.
    pub fn forget(&mut self, tag: &str) {
        self.0.remove(&tag.to_ascii_lowercase());
    }

    /// The tags, in small letters, of every log that was witnessed: one that is not loaded has vanished.
    pub fn tags(&self) -> impl Iterator<Item = &str> {
        self.0.keys().map(String::as_str)
    }

    /// Compares a loaded log of `entries` entries; `head_at(n)` gives its seal after `n` entries.
    pub fn compare(&self, tag: &str, entries: u64, head_at: impl FnOnce(u64) -> Option<Digest>) -> Witness {
        match self.0.get(&tag.to_ascii_lowercase()) {
            None => Witness::New,
            Some(&(witnessed, _)) if entries < witnessed => Witness::Shortened { witnessed },
            Some(&(witnessed, head)) if head_at(witnessed) == Some(head) => Witness::Agrees,
            Some(&(witnessed, _)) => Witness::Forked { witnessed },
        }
    }

    /// One line a log: tag, entries, seal.
    pub fn to_text(&self) -> String {
        let lines = self.0.iter().map(|(tag, (entries, head))| format!("{tag} {entries} {head}\n"));
        lines.collect::<Vec<_>>().concat()
    }

    /// Reads the lines that can be read. Of a tag that stands twice the longer log counts, and the first of two as long.
    pub fn from_text(text: &str) -> Self {
        let mut heads = BTreeMap::new();
        for line in text.lines() {
            let mut words = line.split(' ');
            let (Some(tag), Some(entries), Some(head), None) =
                (words.next(), words.next(), words.next(), words.next())
            else {
                continue;
            };
            let (Ok(entries), Ok(head)) = (entries.parse::<u64>(), head.parse::<Digest>()) else { continue };
            let known = heads.entry(tag.to_owned()).or_insert((entries, head));
            if entries > known.0 {
                *known = (entries, head);
            }
        }
        Self(heads)
    }
}

impl StudioFolder {
    /// The witnessed heads; what cannot be read counts as not witnessed. Where the file could not be read at all, it is
    /// not replaced until it could be: what it witnessed is not lost by a passing trouble of the disk.
    pub fn load_heads(&self) -> Heads {
        let read = self.vfs().read(&self.root().join(HEADS), CAP);
        self.heads_unread(Some(read.is_err()));
        Heads::from_text(&String::from_utf8_lossy(&read.ok().flatten().unwrap_or_default()))
    }

    /// Keeps the heads if that can be done; gives whether it was. No work depends on the answer.
    pub fn save_heads(&self, heads: &Heads) -> bool {
        if !matches!(self.access(), Access::Writable) || self.heads_unread(None) {
            return false;
        }
        let expect = Expect { states: None, cap: CAP, beside: None };
        let place = Place { dir: self.root(), name: HEADS };
        matches!(durable_save(self.vfs(), place, heads.to_text().as_bytes(), expect), SaveOutcome::Saved(_))
    }
}

#[cfg(test)]
mod tests {
    use std::path::Path;
    use std::sync::Arc;

    use super::*;
    use crate::sim::{Fault, SimVfs, Trouble};

    /// A toy log: the seal after each entry.
    fn seals(words: &[&str]) -> Vec<Digest> {
        let mut seals = vec![Digest::of(b"start")];
        for word in words {
            let last = seals.last().unwrap();
            seals.push(Digest::of(format!("{last} {word}").as_bytes()));
        }
        seals
    }

    fn compare(heads: &Heads, words: &[&str]) -> Witness {
        let seals = seals(words);
        heads.compare("A2B", words.len() as u64, |n| seals.get(usize::try_from(n).unwrap()).copied())
    }

    fn witnessed() -> Heads {
        let mut heads = Heads::default();
        heads.note("A2B", 2, *seals(&["a", "b"]).last().unwrap());
        heads
    }

    #[test]
    fn a_log_that_grew_agrees_and_one_put_back_or_changed_does_not() {
        let heads = witnessed();
        assert_eq!(compare(&heads, &["a", "b"]), Witness::Agrees);
        assert_eq!(compare(&heads, &["a", "b", "c"]), Witness::Agrees);
        assert_eq!(compare(&heads, &["a"]), Witness::Shortened { witnessed: 2 });
        assert_eq!(compare(&heads, &[]), Witness::Shortened { witnessed: 2 });
        assert_eq!(compare(&heads, &["a", "x"]), Witness::Forked { witnessed: 2 });
        assert_eq!(compare(&heads, &["x", "b", "c"]), Witness::Forked { witnessed: 2 });
        assert_eq!(compare(&Heads::default(), &["a"]), Witness::New);
        assert_eq!(heads.tags().collect::<Vec<_>>(), ["a2b"]);
    }

    #[test]
    fn damaged_lines_are_passed_over_and_the_longer_log_counts() {
        let heads = witnessed();
        let line = heads.to_text();
        let shorter = line.replace(" 2 ", " 1 ");
        let text = format!("junk\n{line}{shorter}b2c x {}\nc3d 1 abc\n\u{fffd}\n", Digest::of(b""));
        assert_eq!(Heads::from_text(&text), heads);
        assert_eq!(Heads::from_text(&format!("{shorter}{line}")), heads);
        let other = format!("a2b 2 {}\n", Digest::of(b"another"));
        assert_eq!(Heads::from_text(&format!("{line}{other}")), heads, "of two as long the first counts");
        let mut gone = heads;
        gone.forget("A2B");
        assert_eq!(gone, Heads::default());
    }

    #[test]
    fn no_fault_in_the_witness_file_keeps_anyone_from_working() {
        let disk = SimVfs::new();
        disk.put("/home/x", b"");
        let folder = StudioFolder::create(Path::new("/home/s"), Arc::new(disk.clone()), &1_u8).unwrap();
        assert_eq!(folder.load_heads(), Heads::default());
        assert!(folder.save_heads(&witnessed()));
        for after in 0..6 {
            disk.arm(Fault::once(after, Trouble::Device));
            assert!(!folder.save_heads(&witnessed()), "{after}");
            disk.arm(Fault::once(0, Trouble::Device));
            assert_eq!(folder.load_heads(), Heads::default());
            // What was not read is not replaced, as it would be by a program that takes an error for an empty file.
            assert!(!folder.save_heads(&Heads::default()));
            assert_eq!(folder.load_heads(), witnessed());
            assert!(folder.save_heads(&witnessed()));
        }
        disk.put("/home/s/.heads", &[0xff, 0, b'\n']);
        assert_eq!(folder.load_heads(), Heads::default());
        // More logs than a studio writes in its life.
        let mut many = Heads::default();
        (0..20_000_u32).for_each(|no| many.note(&format!("a2b-{no}"), 3, Digest::of(&no.to_le_bytes())));
        assert!(folder.save_heads(&many));
        assert_eq!(folder.load_heads(), many);
    }
}
