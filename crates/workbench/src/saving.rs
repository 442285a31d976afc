//! What is on the disk and what is not yet: the state behind the word "saved".

use std::collections::BTreeMap;

use craft::id::DocId;
use store::save::{SaveError, SaveOutcome};

use crate::action::Rev;

/// How one document stands.
#[derive(Clone, Debug)]
pub enum Standing {
    /// On its way to the disk.
    Saving,
    /// On the disk.
    Saved,
    /// Not on the disk.
    NotSaved(SaveError),
    /// The disk would not confirm it.
    InDoubt(SaveError),
    /// Another program changed the file; ours lies beside it under this name.
    Conflict(String),
}

/// How all documents stand.
#[derive(Clone, Debug, Default)]
pub struct Saves {
    newest: BTreeMap<DocId, Rev>,
    /// Those that are not on the disk as they are here. Kept apart, so that a look at each frame costs nothing for
    /// all that was saved long ago.
    open: BTreeMap<DocId, Standing>,
}

impl Saves {
    /// A document changed and goes to the disk: its new revision.
    pub fn changed(&mut self, doc: DocId) -> Rev {
        let rev = self.newest.entry(doc.clone()).or_default();
        rev.0 += 1;
        self.open.insert(doc, Standing::Saving);
        *rev
    }

    /// A save ended. An answer for an older revision says nothing about the newest.
    pub fn ended(&mut self, doc: &DocId, rev: Rev, outcome: SaveOutcome) {
        if self.newest.get(doc) != Some(&rev) {
            return;
        }
        let standing = match outcome {
            SaveOutcome::Saved(_) => {
                self.open.remove(doc);
                return;
            }
            SaveOutcome::NotSaved(why) => Standing::NotSaved(why),
            SaveOutcome::InDoubt(why) => Standing::InDoubt(why),
            SaveOutcome::Conflict { kept_beside } => Standing::Conflict(kept_beside),
        };
        self.open.insert(doc.clone(), standing);
    }

    /// How one document stands; one that never changed here is as it was read.
    pub fn standing(&self, doc: &DocId) -> &Standing {
        self.open.get(doc).unwrap_or(&Standing::Saved)
    }

    /// True where everything is on the disk.
    pub fn all_saved(&self) -> bool {
        self.open.is_empty()
    }

    /// True while something is on its way.
    pub fn is_saving(&self) -> bool {
        self.open.values().any(|standing| matches!(standing, Standing::Saving))
    }

    /// The documents that are not on the disk as they are here, with those on their way.
    pub fn open(&self) -> impl Iterator<Item = (&DocId, &Standing)> {
        self.open.iter()
    }

    /// The documents that are not safely on the disk, though their save ended.
    pub fn unsaved(&self) -> impl Iterator<Item = (&DocId, &Standing)> {
        self.open.iter().filter(|(_, standing)| !matches!(standing, Standing::Saving))
    }
}
