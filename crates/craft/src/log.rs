//! The append-only record of one order: facts in a chain of digests.
//!
//! Each entry's digest covers the one before it and a fixed line of text; the first covers the studio's id and the
//! order's tag, so a file carried into another studio or renamed to another order is noticed. The chain detects
//! accidents and an older copy put back. It does not stop a person determined to forge it, and does not claim to.

use chrono::NaiveDate;
use serde::{Deserialize, Serialize};

use crate::digest::Digest;
use crate::fact::Fact;
use crate::id::StudioId;
use crate::moment::Moment;
use crate::tag::Tag;

/// One fact, when it was written down, and the digest up to here.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Entry {
    /// When it was written down.
    pub at: Moment,
    /// The day it really happened, where it was told of later ("done before today").
    pub told: Option<NaiveDate>,
    /// What happened.
    pub fact: Fact,
    /// The digest of everything up to here.
    pub seal: Digest,
}

impl Entry {
    /// The fixed line of entry `number` that its digest covers.
    pub fn line(number: u32, at: &Moment, told: Option<NaiveDate>, fact: &Fact) -> String {
        let told = told.map_or_else(|| "-".to_owned(), |day| day.to_string());
        let Moment { offset_min, boot, since_boot_ms, awake_ms, .. } = at;
        format!("{number}|{}|{offset_min}|{boot}|{since_boot_ms}|{awake_ms}|{told}|{fact}", at.utc_text())
    }

    /// The day it happened: as told, or the local day it was written down.
    pub fn day(&self) -> NaiveDate {
        self.told.unwrap_or_else(|| self.at.day())
    }
}

/// The record of one order. Entries are numbered from 1 in the order they stand.
#[derive(Clone, Debug, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(transparent)]
pub struct Log(#[serde(deserialize_with = "no_spare_room")] Vec<Entry>);

/// Most records are read, and never grow again.
fn no_spare_room<'de, D: serde::Deserializer<'de>>(from: D) -> Result<Vec<Entry>, D::Error> {
    let mut entries = Vec::deserialize(from)?;
    entries.shrink_to_fit();
    Ok(entries)
}

/// Where a record does not hold together.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error(
    "entry {entry} of the record does not follow from the one before it; the file was changed by hand or comes from elsewhere"
)]
pub struct BrokenChain {
    /// The first entry whose digest does not fit.
    pub entry: u32,
}

impl Log {
    /// The digest before the first entry.
    pub fn origin(studio: &StudioId, tag: Tag) -> Digest {
        Digest::default().then(&format!("heldfast record 1|{studio}|{tag}"))
    }

    /// The entries with their numbers.
    pub fn entries(&self) -> impl DoubleEndedIterator<Item = (u32, &Entry)> {
        (1_u32..).zip(&self.0).collect::<Vec<_>>().into_iter()
    }

    /// Entry `number`, counted from 1.
    pub fn entry(&self, number: u32) -> Option<&Entry> {
        let place = usize::try_from(number).ok()?.checked_sub(1)?;
        self.0.get(place)
    }

    /// How many entries there are.
    pub fn len(&self) -> u32 {
        u32::try_from(self.0.len()).unwrap_or(u32::MAX)
    }

    /// True before the first fact.
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// The digest of the whole record: the record seal.
    pub fn head(&self, studio: &StudioId, tag: Tag) -> Digest {
        self.0.last().map_or_else(|| Log::origin(studio, tag), |entry| entry.seal)
    }

    /// Writes one more fact down.
    pub(crate) fn push(&mut self, head: Digest, at: Moment, told: Option<NaiveDate>, fact: Fact) {
        let line = Entry::line(self.len() + 1, &at, told, &fact);
        self.0.push(Entry { at, told, fact, seal: head.then(&line) });
    }

    /// Checks every digest.
    ///
    /// # Errors
    /// The number of the first entry that does not follow from the one before it.
    pub fn check(&self, studio: &StudioId, tag: Tag) -> Result<(), BrokenChain> {
        let mut head = Log::origin(studio, tag);
        for (number, entry) in self.entries() {
            head = head.then(&Entry::line(number, &entry.at, entry.told, &entry.fact));
            if head != entry.seal {
                return Err(BrokenChain { entry: number });
            }
        }
        Ok(())
    }

    /// The same entries under seals that are worked out anew: what was kept without its seals gets back those it had,
    /// where it is still what was sealed.
    #[must_use]
    pub fn sealed_anew(mut self, studio: &StudioId, tag: Tag) -> Log {
        let mut head = Log::origin(studio, tag);
        for (number, entry) in (1..).zip(&mut self.0) {
            head = head.then(&Entry::line(number, &entry.at, entry.told, &entry.fact));
            entry.seal = head;
        }
        self
    }

    /// The record as it was after its first `entries`: a shorter record, whole in itself.
    #[must_use]
    pub fn up_to(&self, entries: u32) -> Log {
        let kept = usize::try_from(entries).unwrap_or(usize::MAX);
        Log(self.0.iter().take(kept).cloned().collect())
    }

    /// True for the longer record where it begins with every entry of `other`.
    pub fn continues(&self, other: &Log) -> bool {
        self.0.starts_with(&other.0)
    }
}

#[cfg(test)]
mod tests;
