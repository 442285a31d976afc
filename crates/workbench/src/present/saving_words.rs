//! What "saved" may be said of, in plain words.

use store::save::SaveOutcome;
use store::told;

use crate::saving::{Saves, Standing};

/// How one document stands.
pub fn standing(standing: &Standing) -> String {
    match standing {
        Standing::Saving => "saving".to_owned(),
        Standing::Saved => "saved".to_owned(),
        Standing::NotSaved(why) | Standing::InDoubt(why) => told(why),
        Standing::Conflict(beside) => format!(
            "another program changed this file; it is untouched, and yours lies beside it as {beside}: compare the two \
             and keep one"
        ),
    }
}

/// How a save ended.
pub fn outcome(outcome: &SaveOutcome) -> String {
    match outcome {
        SaveOutcome::Saved(_) => standing(&Standing::Saved),
        SaveOutcome::NotSaved(why) | SaveOutcome::InDoubt(why) => told(why),
        SaveOutcome::Conflict { kept_beside } => standing(&Standing::Conflict(kept_beside.clone())),
    }
}

/// How everything stands, for the strip: "saved" only where all of it is on the disk.
pub fn all(saves: &Saves) -> String {
    match saves.unsaved().next() {
        Some((_, how)) => standing(how),
        None if saves.is_saving() => standing(&Standing::Saving),
        None => standing(&Standing::Saved),
    }
}
