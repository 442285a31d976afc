//! Looking through the photos and papers that records name.

use std::time::{Duration, Instant};

use store::folder::StudioFolder;

use super::Going;
use crate::action::{Action, Outcome};
use crate::keeping::files::{Looker, Named};
use crate::keeping::since::Since;

/// The longest rest between two files.
const LONGEST_REST: Duration = Duration::from_millis(250);

/// Looks at one file after the other and tells what is wrong a hundred times on the way. It rests as long as it
/// read, so that what the person waits for has at least half the disk.
///
/// # Errors
/// The photos cannot be listed; says why.
pub(super) fn look_through(
    folder: &StudioFolder,
    files: &[Named],
    going: &Going<'_>,
) -> Result<Outcome, String> {
    if (going.is_stopped)() || (going.is_ending)() {
        return Ok(Outcome::LookedThrough(0));
    }
    (going.tell)(Action::Written(Box::new(Since::of(folder))));
    let looker = Looker::new(folder)?;
    let mut percent = 0;
    let mut found = Vec::new();
    for (done, file) in files.iter().enumerate() {
        if (going.is_stopped)() || (going.is_ending)() {
            return Ok(Outcome::LookedThrough(done));
        }
        let begun = Instant::now();
        found.extend(looker.look(file));
        let reached = u8::try_from((done + 1) * 100 / files.len()).unwrap_or(100);
        if reached > percent {
            percent = reached;
            if !found.is_empty() {
                (going.tell)(Action::Looked(std::mem::take(&mut found)));
            }
            (going.progress)(percent);
        }
        std::thread::park_timeout(begun.elapsed().min(LONGEST_REST));
    }
    Ok(Outcome::LookedThrough(files.len()))
}
