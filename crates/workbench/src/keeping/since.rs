//! What was written since the last backup, beside the entries of records, which say themselves when they were.

use std::collections::BTreeMap;

use craft::id::DocId;
use craft::studio::Studio;
use store::folder::StudioFolder;

use super::backup::{entries_since, made_ms};
use crate::open::doc_of;

/// The documents that changed and the photos that came, each with when, in milliseconds since 1970.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Since {
    docs: BTreeMap<DocId, i64>,
    photos: Vec<i64>,
}

/// How much would be lost with the disk.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Unkept {
    /// Entries of records.
    pub entries: usize,
    /// Documents that changed otherwise: clients, the shelf, money, settings, sheets and words of orders.
    pub files: usize,
    /// Photos.
    pub photos: usize,
}

impl Unkept {
    /// All of it.
    pub const fn all(self) -> usize {
        self.entries + self.files + self.photos
    }
}

impl Since {
    /// What the disk says was written after the last backup that is known; all of it where none is.
    pub fn of(folder: &StudioFolder) -> Self {
        let last = folder.last_backup().and_then(|(made, _)| made_ms(&made)).unwrap_or(i64::MIN);
        let ms = |ns: i128| i64::try_from(ns.div_euclid(1_000_000)).unwrap_or(i64::MAX);
        let (docs, photos) = folder.written_since(i128::from(last) * 1_000_000);
        let docs = docs.into_iter().filter_map(|(path, ns)| Some((doc_of(&path)?, ms(ns))));
        Self { docs: docs.collect(), photos: photos.into_iter().map(ms).collect() }
    }

    /// A document changed, or was saved.
    pub(crate) fn changed(&mut self, doc: DocId, utc_ms: i64) {
        self.docs.insert(doc, utc_ms);
    }

    /// A photo was taken in.
    pub(crate) fn photo(&mut self, utc_ms: i64) {
        self.photos.push(utc_ms);
    }

    /// Takes in what the disk says. A photo of this session may be among those.
    pub(crate) fn join(&mut self, disk: Self) {
        for (doc, ms) in disk.docs {
            let known = self.docs.entry(doc).or_insert(ms);
            *known = ms.max(*known);
        }
        self.photos = disk.photos;
    }

    /// A backup was made at this moment: what came before it is kept.
    pub(crate) fn kept(&mut self, utc_ms: i64) {
        self.docs.retain(|_, ms| *ms > utc_ms);
        self.photos.retain(|ms| *ms > utc_ms);
    }

    /// What there is of it to look for anew: a reminder that was worked out before says something else after a change.
    pub fn len(&self) -> (usize, usize) {
        (self.docs.len(), self.photos.len())
    }

    /// How much came since a backup. Without any, the shelf and the settings count for nothing: each studio begins with
    /// some.
    pub fn unkept(&self, studio: &Studio, last_ms: Option<i64>) -> Unkept {
        let after = last_ms.unwrap_or(i64::MIN);
        let by_entries = |tag: &craft::tag::Tag| {
            studio.orders().get(tag).is_some_and(|held: &craft::studio::Held| held.entries_since(after) > 0)
        };
        let counts = |doc: &DocId| match doc {
            // What its new entries say is counted by them.
            DocId::Order(tag) => !by_entries(tag),
            DocId::Policies | DocId::Shelf(_) => last_ms.is_some(),
            DocId::Client(_) | DocId::Invoices(_) => true,
        };
        Unkept {
            entries: entries_since(studio, after),
            files: self.docs.iter().filter(|(doc, ms)| **ms > after && counts(doc)).count(),
            photos: self.photos.iter().filter(|ms| **ms > after).count(),
        }
    }
}
