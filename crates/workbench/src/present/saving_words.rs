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

/// For how long a disk may be silent before that is said, in milliseconds.
const SILENT_MS: i64 = 10_000;

/// How everything stands after the disk has been silent for so long, in milliseconds: a save that does not come to its
/// end is told as such, and nothing else stops for it.
pub fn now(saves: &Saves, silence_ms: i64) -> String {
    let failed = saves.unsaved().next().is_some();
    if silence_ms < SILENT_MS || !saves.is_saving() || failed {
        return all(saves);
    }
    format!(
        "not saved yet: the disk has not answered for {} s; everything is still open here and goes on, and it is saved \
         as soon as the disk answers; do not close this until then",
        silence_ms / 1_000
    )
}

/// The one word for how a document stands, for a list.
pub const fn word(standing: &Standing) -> &'static str {
    match standing {
        Standing::Saving => "saving",
        Standing::Saved => "saved",
        Standing::NotSaved(_) => "not saved",
        Standing::InDoubt(_) => "in doubt",
        Standing::Conflict(_) => "conflict",
    }
}
