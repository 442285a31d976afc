//! How long one durable save takes, of a document about as long as a finished order:
//! `cargo bench -p store --bench save -- FOLDER` (the folder must not exist yet).
#![expect(clippy::print_stdout, reason = "a bench tool says what it measured")]

use std::path::PathBuf;
use std::sync::Arc;
use std::time::Instant;

use serde::{Deserialize, Serialize};
use store::folder::StudioFolder;
use store::name::DocPath;
use store::save::SaveOutcome;
use store::vfs::DiskVfs;

/// Sixty entries, 13 kB as text.
#[derive(Serialize, Deserialize, PartialEq)]
struct Long {
    entries: Vec<(u32, String)>,
}

/// What `cargo bench` says before the rest.
const CARGOS: &str = "--bench";

const SAVES: usize = 300;

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let root = PathBuf::from(
        std::env::args()
            .skip(1)
            .find(|word| word != CARGOS)
            .ok_or("name a folder that does not exist yet")?,
    );
    let folder = StudioFolder::create(&root, Arc::new(DiskVfs), &Long { entries: Vec::new() })?;
    let path = DocPath::order("A2B-C3H")?;
    let mut took = Vec::new();
    for save in 0..SAVES {
        let entries = (0..60).map(|no| (no, format!("{save} {}", "x".repeat(200)))).collect();
        let start = Instant::now();
        let SaveOutcome::Saved(_) = folder.save(&path, &Long { entries }) else {
            return Err("a save failed".into());
        };
        took.push(start.elapsed());
    }
    took.sort();
    let ms = |place: usize| took.get(place).map_or(0.0, |time| time.as_secs_f64() * 1e3);
    println!(
        "{SAVES} saves: median {:.1} ms, 99 in 100 within {:.1} ms",
        ms(SAVES / 2),
        ms(SAVES * 99 / 100)
    );
    Ok(())
}
