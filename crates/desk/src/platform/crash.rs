//! The note that a crash leaves, and the next start that shows it once.
//!
//! A note is meant to be passed on, so no client is named in it: words that the program put together while it ran are
//! cut off where they begin to quote something or to name a file.

use std::backtrace::Backtrace;
use std::fs::{self, OpenOptions};
use std::io::{self, Read as _, Write as _};
use std::panic::PanicHookInfo;
use std::path::{Path, PathBuf};

use chrono::{Local, SecondsFormat};
use workbench::present::labels::computer as labels;

const NOTE: &str = "crash-note.txt";
const SHOWN: &str = "crash-note.shown.txt";
/// A program that crashes over and over shall not fill the disk.
const LARGEST: u64 = 256 * 1024;

/// The note of the last crash.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Note {
    /// All of it.
    pub text: String,
    /// Where it is kept now.
    pub kept: PathBuf,
}

impl Note {
    /// What to say at the start.
    pub fn sentence(&self) -> String {
        labels::crashed(self.kept.display())
    }
}

/// From now on each panic leaves a note in the folder `state`, before whatever was done about panics so far.
pub fn install(state: PathBuf) {
    let before = std::panic::take_hook();
    std::panic::set_hook(Box::new(move |panic| {
        // There is nobody to tell where not even the note can be left, and a panic here would end all.
        drop(leave(&state, &worded(panic)));
        before(panic);
    }));
}

/// The note that a crash left in `state`, if it was not shown yet. It is moved aside, so it is given once.
///
/// # Errors
/// Where there is a note but it cannot be read.
pub fn last_note(state: &Path) -> io::Result<Option<Note>> {
    let path = state.join(NOTE);
    let mut bytes = Vec::new();
    match fs::File::open(&path) {
        Ok(file) => file.take(2 * LARGEST).read_to_end(&mut bytes)?,
        Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(None),
        Err(error) => return Err(error),
    };
    let aside = state.join(SHOWN);
    // A note that cannot be moved is shown again next time, which is better than never.
    let kept = if fs::rename(&path, &aside).is_ok() { aside } else { path };
    Ok(Some(Note { text: String::from_utf8_lossy(&bytes).into_owned(), kept }))
}

fn worded(panic: &PanicHookInfo<'_>) -> String {
    let payload = panic.payload();
    let message = match (payload.downcast_ref::<&'static str>(), payload.downcast_ref::<String>()) {
        // These words stand in the source, so they cannot name anybody.
        (Some(words), _) => (*words).to_owned(),
        (None, Some(words)) => unquoted(words),
        (None, None) => "(no words)".to_owned(),
    };
    let place = panic.location().map_or_else(|| "(unknown)".to_owned(), ToString::to_string);
    format!(
        "Heldfast {} met a fault\ntime: {}\nplace: {place}\nthread: {}\nmessage: {message}\n\n{}\n",
        env!("CARGO_PKG_VERSION"),
        Local::now().to_rfc3339_opts(SecondsFormat::Secs, false),
        std::thread::current().name().unwrap_or("(unnamed)"),
        Backtrace::force_capture(),
    )
}

/// Names of Rust that its own messages quote.
const HARMLESS: [&str; 6] =
    ["`Result::unwrap()`", "`Result::unwrap_err()`", "`Option::unwrap()`", "`Err`", "`Ok`", "`None`"];

/// The words up to the first thing they quote, or the first path: a text within a message may be a client's.
fn unquoted(words: &str) -> String {
    let mut kept = String::new();
    let mut rest = words;
    while let Some(next) = rest.chars().next() {
        if let Some(name) = HARMLESS.iter().find(|name| rest.starts_with(**name)) {
            kept.push_str(name);
            rest = &rest[name.len()..];
            continue;
        }
        let in_a_word = kept.chars().next_back().is_some_and(char::is_alphanumeric);
        // An apostrophe within a word quotes nothing, and a slash within one begins no path.
        let opens = matches!(next, '"' | '`' | '“' | '‘' | '«') || (matches!(next, '\'' | '/') && !in_a_word);
        if opens {
            kept.push('…');
            break;
        }
        kept.push(next);
        rest = &rest[next.len_utf8()..];
    }
    kept
}

/// Adds to the note: the first of several panics is the one that explains, so it stays.
fn leave(state: &Path, text: &str) -> io::Result<()> {
    fs::create_dir_all(state)?;
    let mut file = OpenOptions::new().append(true).create(true).open(state.join(NOTE))?;
    if file.metadata()?.len() < LARGEST {
        file.write_all(text.as_bytes())?;
        file.sync_all()?;
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use std::fs;
    use std::path::PathBuf;
    use std::process::Command;

    use super::{LARGEST, NOTE, Note, install, last_note, leave, unquoted};

    const FOR_THE_CHILD: &str = "HELDFAST_TEST_CRASH_FOLDER";

    #[test]
    fn a_panic_leaves_a_note_that_says_where_and_names_nobody() {
        // The hook belongs to the whole process, so a second process of this same test is the one that panics.
        if let Some(state) = std::env::var_os(FOR_THE_CHILD) {
            install(PathBuf::from(state));
            let name = String::from("Rosalind Ärmel");
            let cut = &name[..10];
            panic!("not reached: {cut}");
        }
        let dir = tempfile::tempdir().unwrap();
        let state = dir.path().join("state");
        let this = "platform::crash::tests::a_panic_leaves_a_note_that_says_where_and_names_nobody";
        let child = Command::new(std::env::current_exe().unwrap())
            .args(["--exact", this, "--nocapture"])
            .env(FOR_THE_CHILD, &state)
            .output()
            .unwrap();
        assert!(!child.status.success(), "it panicked");
        let said = String::from_utf8_lossy(&child.stderr).into_owned();
        assert!(said.contains("Rosalind"), "what was done about panics before is still done: {said}");

        let note = last_note(&state).unwrap().unwrap();
        let place = concat!("place: ", file!());
        for part in ["Heldfast 0", "time: 2", place, "thread: ", "message: ", "panic"] {
            assert!(note.text.contains(part), "{part} in {}", note.text);
        }
        for name in ["Rosalind", "rmel"] {
            assert!(!note.text.contains(name), "{}", note.text);
        }
        assert!(note.text.lines().count() > 10, "a backtrace is in it: {}", note.text);
        assert!(note.sentence().contains(&note.kept.display().to_string()));
    }

    #[test]
    fn a_note_is_given_once_and_kept_aside() {
        let dir = tempfile::tempdir().unwrap();
        assert_eq!(last_note(&dir.path().join("never made")).unwrap(), None);
        leave(dir.path(), "first\n").unwrap();
        leave(dir.path(), "second\n").unwrap();
        let Note { text, kept } = last_note(dir.path()).unwrap().unwrap();
        assert_eq!(text, "first\nsecond\n");
        assert_eq!(fs::read_to_string(kept).unwrap(), text);
        assert_eq!(last_note(dir.path()).unwrap(), None);
    }

    #[test]
    fn notes_do_not_fill_the_disk() {
        let dir = tempfile::tempdir().unwrap();
        let long = "x".repeat(100 * 1024);
        for _ in 0..20 {
            leave(dir.path(), &long).unwrap();
        }
        let length = fs::metadata(dir.path().join(NOTE)).unwrap().len();
        assert!(length < LARGEST + 100 * 1024, "{length}");
        assert!(length >= LARGEST, "{length}");
    }

    #[test]
    fn a_note_that_cannot_be_read_is_an_error_and_not_absent() {
        let dir = tempfile::tempdir().unwrap();
        fs::create_dir(dir.path().join(NOTE)).unwrap();
        assert!(last_note(dir.path()).is_err());
        assert!(leave(dir.path(), "x").is_err());
    }

    #[test]
    fn a_message_is_kept_up_to_what_it_quotes() {
        let unwrapped = "called `Result::unwrap()` on an `Err` value: Broken { name: \"Ada\" }";
        assert_eq!(unquoted(unwrapped), "called `Result::unwrap()` on an `Err` value: Broken { name: …");
        assert_eq!(unquoted("byte index 3 is out of bounds of `Ada`"), "byte index 3 is out of bounds of …");
        assert_eq!(unquoted("it is inside 'é' (bytes 2..4) of `Renée`"), "it is inside …");
        assert_eq!(
            unquoted("index out of bounds: the len is 3 but it can't be 7"),
            "index out of bounds: the len is 3 but it can't be 7"
        );
        assert_eq!(unquoted("the “Ada” of"), "the …");
        assert_eq!(unquoted("cannot read /papers/Ada.pdf"), "cannot read …");
        assert_eq!(unquoted("3 and/or 4"), "3 and/or 4");
        assert_eq!(unquoted(""), "");
    }
}
