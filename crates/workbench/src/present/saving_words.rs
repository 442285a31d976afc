//! What "saved" may be said of, in plain words.

use craft::id::DocId;
use craft::studio::Studio;
use store::save::SaveOutcome;
use store::told;

use super::version_words;
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

/// How everything stands in a word or two, for the strip: there the waits come first. [`trouble`] says the rest.
pub fn short(saves: &Saves, silence_ms: i64) -> String {
    let mut told = Vec::new();
    for wanted in ["not saved", "in doubt", "conflict"] {
        let count = saves.unsaved().filter(|(_, how)| word(how) == wanted).count();
        if count > 0 {
            told.push(match (wanted, count) {
                ("conflict", 1) => "1 conflict".to_owned(),
                ("conflict", _) => format!("{count} conflicts"),
                _ => format!("{count} {wanted}"),
            });
        }
    }
    if !told.is_empty() {
        told.join(", ")
    } else if saves.is_saving() && silence_ms >= SILENT_MS {
        "not saved yet".to_owned()
    } else {
        all(saves)
    }
}

/// What is wrong with saving, in a sentence with what is safe and what to do; none where nothing is.
pub fn trouble(saves: &Saves, silence_ms: i64) -> Option<String> {
    let is_wrong = saves.unsaved().next().is_some() || (saves.is_saving() && silence_ms >= SILENT_MS);
    is_wrong.then(|| now(saves, silence_ms))
}

/// One document that is not on the disk as it is here.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct UnsavedRow {
    /// "the order for Bramble".
    pub name: String,
    /// "not saved", "in doubt", "conflict", "saving".
    pub word: &'static str,
    /// Why, what is safe and what to do; empty for one that is on its way.
    pub words: String,
}

/// What is not on the disk: first what could not be put there, then what is still on its way.
pub fn unsaved(saves: &Saves, studio: &Studio) -> Vec<UnsavedRow> {
    let row = |(doc, how): (&DocId, &Standing)| UnsavedRow {
        name: version_words::name(doc, studio),
        word: word(how),
        words: if matches!(how, Standing::Saving) { String::new() } else { standing(how) },
    };
    let mut rows: Vec<UnsavedRow> = saves.open().map(row).collect();
    rows.sort_by_key(|row| row.words.is_empty());
    rows
}

/// True where trying once more may help: another program's file would only be quarrelled with again.
pub fn may_help(saves: &Saves) -> bool {
    saves.unsaved().any(|(_, how)| matches!(how, Standing::NotSaved(_) | Standing::InDoubt(_)))
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

#[cfg(test)]
mod tests {
    use std::path::PathBuf;

    use super::*;
    use craft::stage::Stage;
    use craft::tag::Tag;

    use crate::present::sample;

    fn failed() -> store::save::SaveError {
        let source = std::io::Error::other("no room");
        store::save::SaveError::Full { path: PathBuf::from("/s/a.ron"), source: source.into() }
    }

    #[test]
    fn the_strip_counts_and_the_page_tells_each_by_its_name() {
        let bench = sample::bench(Stage::Asked);
        let mut saves = Saves::default();
        assert_eq!((short(&saves, 0).as_str(), trouble(&saves, 0)), ("saved", None));
        let own = DocId::Order(bench.tag);
        let rev = saves.changed(own.clone());
        assert_eq!((short(&saves, 0).as_str(), trouble(&saves, 0)), ("saving", None));
        assert_eq!(short(&saves, SILENT_MS), "not saved yet");
        assert!(trouble(&saves, SILENT_MS).unwrap().contains("everything is still open here"));
        saves.ended(&own, rev, SaveOutcome::NotSaved(failed()));
        let other = DocId::Order(Tag::from_number(77).unwrap());
        for doc in [&other, &DocId::Policies] {
            let rev = saves.changed(doc.clone());
            saves.ended(doc, rev, SaveOutcome::Conflict { kept_beside: "b.ron".to_owned() });
        }
        assert_eq!(short(&saves, 0), "1 not saved, 2 conflicts");
        assert!(may_help(&saves) && trouble(&saves, 0).is_some());
        saves.changed(own);
        assert!(!may_help(&saves), "a conflict is not mended by trying again");
        let rows = unsaved(&saves, &bench.studio);
        assert_eq!(rows.iter().map(|row| row.word).collect::<Vec<_>>(), ["conflict", "conflict", "saving"]);
        assert_eq!(rows[2].name, "the order for Bramble");
    }
}
