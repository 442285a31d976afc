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
    docs: BTreeMap<DocId, (Rev, Standing)>,
}

impl Saves {
    /// A document changed and goes to the disk: its new revision.
    pub fn changed(&mut self, doc: DocId) -> Rev {
        let entry = self.docs.entry(doc).or_insert((Rev(0), Standing::Saving));
        entry.0.0 += 1;
        entry.1 = Standing::Saving;
        entry.0
    }

    /// A save ended. An answer for an older revision says nothing about the newest.
    pub fn ended(&mut self, doc: &DocId, rev: Rev, outcome: SaveOutcome) {
        let Some((newest, standing)) = self.docs.get_mut(doc) else { return };
        if rev != *newest {
            return;
        }
        *standing = match outcome {
            SaveOutcome::Saved(_) => Standing::Saved,
            SaveOutcome::NotSaved(why) => Standing::NotSaved(why),
            SaveOutcome::InDoubt(why) => Standing::InDoubt(why),
            SaveOutcome::Conflict { kept_beside } => Standing::Conflict(kept_beside),
        };
    }

    /// How one document stands; one that never changed here is as it was read.
    pub fn standing(&self, doc: &DocId) -> &Standing {
        self.docs.get(doc).map_or(&Standing::Saved, |(_, standing)| standing)
    }

    /// True where everything is on the disk.
    pub fn all_saved(&self) -> bool {
        self.docs.values().all(|(_, standing)| matches!(standing, Standing::Saved))
    }

    /// True while something is on its way.
    pub fn is_saving(&self) -> bool {
        self.docs.values().any(|(_, standing)| matches!(standing, Standing::Saving))
    }

    /// The documents that are not safely on the disk, though their save ended.
    pub fn unsaved(&self) -> impl Iterator<Item = (&DocId, &Standing)> {
        let unsafe_yet = |standing: &Standing| !matches!(standing, Standing::Saved | Standing::Saving);
        self.docs
            .iter()
            .filter(move |(_, (_, standing))| unsafe_yet(standing))
            .map(|(doc, (_, how))| (doc, how))
    }
}
