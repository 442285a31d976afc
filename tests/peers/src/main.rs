//! Saves a second beside SQLite's own default promise (rollback journal, `synchronous=FULL`), in one run, on one disk,
//! with the same bytes: `heldfast-peers [FOLDER] [SAVES]`. Ends with 1 where Heldfast is slower.
//!
//! Both turn the same document into text for each save and wait until it is on the disk; Heldfast reads it back as well.

use std::error::Error;
use std::path::{Path, PathBuf};
use std::process::ExitCode;
use std::sync::Arc;
use std::time::{Duration, Instant};

use rusqlite::{Connection, params};
use store::folder::StudioFolder;
use store::format::encode;
use store::name::{DocKind, DocPath};
use store::save::SaveOutcome;
use store::vfs::DiskVfs;

/// How often the two take turns.
const ROUNDS: u32 = 4;

/// A document of the size of a full order, another one each time.
fn document(round: u32, save: u32) -> Vec<String> {
    let line = |no: u32| {
        format!("entry {no} of round {round}, save {save}: the layer was laid and the lamp went on")
    };
    (0..190).map(line).collect()
}

fn ours(root: &Path, round: u32, saves: u32) -> Result<Duration, Box<dyn Error>> {
    let folder = if round == 0 {
        StudioFolder::create(root, Arc::new(DiskVfs), &"settings".to_owned())?
    } else {
        StudioFolder::open(root, Arc::new(DiskVfs))?
    };
    let path = DocPath::order("a2b-c3h")?;
    drop(folder.load::<Vec<String>>(&path)?);
    let start = Instant::now();
    for save in 0..saves {
        match folder.save(&path, &document(round, save)) {
            SaveOutcome::Saved(_) => {}
            other => return Err(format!("{other:?}").into()),
        }
    }
    Ok(start.elapsed())
}

fn theirs(file: &Path, round: u32, saves: u32) -> Result<Duration, Box<dyn Error>> {
    let db = Connection::open(file)?;
    db.pragma_update(None, "journal_mode", "DELETE")?;
    db.pragma_update(None, "synchronous", "FULL")?;
    db.execute("create table if not exists docs (path text primary key, body blob)", [])?;
    let start = Instant::now();
    for save in 0..saves {
        let bytes = encode(DocKind::Order, &document(round, save))?;
        db.execute("insert or replace into docs values (?1, ?2)", params!["orders/a2b-c3h.ron", bytes])?;
    }
    Ok(start.elapsed())
}

fn run() -> Result<bool, Box<dyn Error>> {
    let mut arguments = std::env::args().skip(1);
    let here = arguments.next().map_or_else(std::env::temp_dir, PathBuf::from);
    let saves: u32 = arguments.next().map_or(Ok(200), |text| text.parse())?;
    let dir = tempfile::tempdir_in(here)?;
    let bytes = encode(DocKind::Order, &document(0, 0))?.len();
    let (mut own, mut other) = (Duration::ZERO, Duration::ZERO);
    for round in 0..ROUNDS {
        own += ours(&dir.path().join("studio"), round, saves)?;
        other += theirs(&dir.path().join("peer.db"), round, saves)?;
    }
    let rate = |time: Duration| f64::from(saves * ROUNDS) / time.as_secs_f64();
    let ratio = rate(own) / rate(other);
    println!(
        "{} saves of {bytes} bytes each: heldfast {:.0} a second, SQLite {} (rollback journal, FULL) {:.0} a second, \
         ratio {ratio:.2} (aim 1.5)",
        saves * ROUNDS,
        rate(own),
        rusqlite::version(),
        rate(other),
    );
    Ok(ratio >= 1.0)
}

fn main() -> ExitCode {
    match run() {
        Ok(true) => ExitCode::SUCCESS,
        Ok(false) => ExitCode::FAILURE,
        Err(why) => {
            eprintln!("{why}");
            ExitCode::from(2)
        }
    }
}
