//! Saves a second beside SQLite's own default promise (rollback journal, `synchronous=FULL`), in one run, on one disk,
//! with the same bytes: `heldfast-peers [FOLDER] [SAVES]`. Ends with 1 where Heldfast is slower at either task.
//!
//! Two tasks, each done the same by both. *A save*: a document is put in the place of the one before it. *A save that keeps
//! the versions before it*, as a studio does: the same, and the newest twenty of what was replaced stay. Both turn the
//! document into text for each save, wait until it is on the disk, and read back what is there.

use std::error::Error;
use std::path::{Path, PathBuf};
use std::process::ExitCode;
use std::sync::Arc;
use std::time::{Duration, Instant};

use rusqlite::{Connection, params};
use store::folder::StudioFolder;
use store::format::{CAP, encode};
use store::history::NEWEST;
use store::name::{DocKind, DocPath};
use store::save::{Expect, Place, SaveOutcome, durable_save};
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

fn saved(outcome: SaveOutcome) -> Result<(), Box<dyn Error>> {
    match outcome {
        SaveOutcome::Saved(_) => Ok(()),
        other => Err(format!("{other:?}").into()),
    }
}

/// One file replaced, with nothing of a studio around it.
fn our_save(dir: &Path, round: u32, saves: u32) -> Result<Duration, Box<dyn Error>> {
    std::fs::create_dir_all(dir)?;
    let expect = Expect { states: None, cap: CAP, beside: None };
    let start = Instant::now();
    for save in 0..saves {
        let bytes = encode(DocKind::Order, &document(round, save))?;
        saved(durable_save(&DiskVfs, Place { dir, name: "a2b-c3h.ron" }, &bytes, expect))?;
    }
    Ok(start.elapsed())
}

/// A document of a studio, whose earlier versions are kept.
fn our_kept_save(root: &Path, round: u32, saves: u32) -> Result<Duration, Box<dyn Error>> {
    let folder = if round == 0 {
        StudioFolder::create(root, Arc::new(DiskVfs), &"settings".to_owned())?
    } else {
        StudioFolder::open(root, Arc::new(DiskVfs))?
    };
    let path = DocPath::order("a2b-c3h")?;
    drop(folder.load::<Vec<String>>(&path)?);
    let start = Instant::now();
    for save in 0..saves {
        saved(folder.save(&path, &document(round, save)))?;
    }
    Ok(start.elapsed())
}

fn connection(file: &Path) -> Result<Connection, Box<dyn Error>> {
    let db = Connection::open(file)?;
    db.pragma_update(None, "journal_mode", "DELETE")?;
    db.pragma_update(None, "synchronous", "FULL")?;
    db.execute_batch(
        "create table if not exists docs (path text primary key, body blob);
         create table if not exists earlier (number integer primary key, path text, body blob);",
    )?;
    Ok(db)
}

const PATH: &str = "orders/a2b-c3h.ron";

fn their_saves(file: &Path, round: u32, saves: u32, keep: bool) -> Result<Duration, Box<dyn Error>> {
    let mut db = connection(file)?;
    let start = Instant::now();
    for save in 0..saves {
        let bytes = encode(DocKind::Order, &document(round, save))?;
        let all = db.transaction()?;
        if keep {
            all.execute(
                "insert into earlier (path, body) select path, body from docs where path = ?1",
                params![PATH],
            )?;
            all.execute(
                "delete from earlier where path = ?1 and number <= (select max(number) from earlier where path = ?1) - ?2",
                params![PATH, i64::try_from(NEWEST)?],
            )?;
        }
        all.execute("insert or replace into docs values (?1, ?2)", params![PATH, bytes])?;
        all.commit()?;
        let back: Vec<u8> =
            db.query_row("select body from docs where path = ?1", params![PATH], |row| row.get(0))?;
        if back != bytes {
            return Err("what was read back is not what was written".into());
        }
    }
    Ok(start.elapsed())
}

/// Prints what the two took for `saves` saves, and gives how many times as many Heldfast makes in the same time.
fn compare(what: &str, saves: u32, own: Duration, other: Duration) -> f64 {
    let rate = |time: Duration| f64::from(saves) / time.as_secs_f64();
    let ratio = rate(own) / rate(other);
    println!(
        "{what}: heldfast {:.0} a second, SQLite {} (rollback journal, FULL) {:.0} a second, ratio {ratio:.2} (aim 1.5)",
        rate(own),
        rusqlite::version(),
        rate(other),
    );
    ratio
}

fn run() -> Result<bool, Box<dyn Error>> {
    let mut arguments = std::env::args().skip(1);
    let here = arguments.next().map_or_else(std::env::temp_dir, PathBuf::from);
    let saves: u32 = arguments.next().map_or(Ok(200), |text| text.parse())?;
    let dir = tempfile::tempdir_in(here)?;
    let dir = dir.path();
    let bytes = encode(DocKind::Order, &document(0, 0))?.len();
    println!("{} saves of {bytes} bytes each, in turns", saves * ROUNDS);
    let [mut own, mut other, mut own_kept, mut other_kept] = [Duration::ZERO; 4];
    for round in 0..ROUNDS {
        own += our_save(&dir.join("one"), round, saves)?;
        other += their_saves(&dir.join("one.db"), round, saves, false)?;
        own_kept += our_kept_save(&dir.join("studio"), round, saves)?;
        other_kept += their_saves(&dir.join("studio.db"), round, saves, true)?;
    }
    let one = compare("a save", saves * ROUNDS, own, other);
    let kept = compare("a save that keeps twenty before it", saves * ROUNDS, own_kept, other_kept);
    Ok(one >= 1.0 && kept >= 1.0)
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
