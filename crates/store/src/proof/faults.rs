//! Each operation of each edit fails, in every way, once and for ever.

use std::collections::BTreeSet;
use std::panic::{AssertUnwindSafe, catch_unwind};

use super::edits::{Done, Edit, Look, Said, all};
use crate::save::is_temp;
use crate::sim::{Fault, SimVfs, Trouble};

const TROUBLES: [Trouble; 4] = [Trouble::Device, Trouble::Full, Trouble::Denied, Trouble::Short];

/// What was tried, and how often what came of it.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Tally {
    pub(super) runs: usize,
    pub(super) struck: usize,
    saved: usize,
    not_saved: usize,
    in_doubt: usize,
    not_tried: usize,
    disks: usize,
}

/// What is wrong after an edit under a fault; the number of disks looked into where nothing is.
fn complaint(edit: &Edit, disk: &SimVfs, said: Said) -> Result<usize, String> {
    let now = (edit.look)(&disk.as_seen());
    let mut pictures = BTreeSet::new();
    let found = disk.crash_states().into_iter().filter(|found| pictures.insert(found.picture()));
    let looks: Vec<Look> = found.map(|found| (edit.look)(&found)).collect();
    let all = || looks.iter().chain([&now]);
    if let Some(Look::Wrong(what)) = all().find(|look| matches!(look, Look::Wrong(_))) {
        return Err(format!("torn or lost: {what}"));
    }
    match said {
        Said::Saved if all().any(|look| *look != Look::New) => Err("falsely said to be saved".to_owned()),
        // Opening to tidy up finds the same before and after.
        Said::NotSaved if now == Look::New => Err("falsely said not to be saved".to_owned()),
        _ => Ok(looks.len()),
    }
}

/// Does the edit under one fault, then again without it; gives how it ended, how often the fault struck, and whether
/// there would have been a later operation to strike.
fn under(edit: &Edit, fault: Fault, tally: &mut Tally) -> Result<bool, String> {
    let disk = (edit.before)();
    disk.arm(fault);
    let done = catch_unwind(AssertUnwindSafe(|| (edit.act)(&disk)));
    let (made, ops) = (disk.made(), disk.ops().len());
    let struck = disk.disarm();
    let at = |what: String| format!("{}, {fault:?}: {what}", edit.name);
    let Ok(Done { said, again }) = done else { return Err(at("it panicked".to_owned())) };
    tally.runs += 1;
    tally.struck += struck.min(1);
    *match said {
        Said::Saved => &mut tally.saved,
        Said::NotSaved => &mut tally.not_saved,
        Said::InDoubt => &mut tally.in_doubt,
        Said::NotTried => &mut tally.not_tried,
    } += 1;
    tally.disks += complaint(edit, &disk, said).map_err(at)?;
    if struck == 0 && said != Said::Saved {
        return Err(at(format!("{said:?}, although nothing failed")));
    }
    if let Some(again) = again {
        retried(edit, &disk, again, made).map_err(at)?;
    }
    Ok(ops > fault.after)
}

/// Once the fault is gone, the same session saves, and by a new file: none that failed is used again.
fn retried(
    edit: &Edit,
    disk: &SimVfs,
    again: Box<dyn FnOnce() -> Said>,
    mut made: Vec<std::path::PathBuf>,
) -> Result<(), String> {
    disk.arm(Fault::once(usize::MAX, Trouble::Device));
    let said = again();
    made.extend(disk.made());
    // An earlier version has its one name, whichever save it is kept for.
    made.retain(|path| path.file_name().is_some_and(|name| is_temp(&name.to_string_lossy())));
    disk.disarm();
    if said != Said::Saved {
        return Err(format!("the second try was {said:?}"));
    }
    let different: BTreeSet<_> = made.iter().collect();
    if different.len() < made.len() {
        return Err(format!("a temporary file was used again: {made:?}"));
    }
    complaint(edit, disk, said).map(drop).map_err(|why| format!("the second try: {why}"))
}

/// Fails the first operation, then the second, and so on until a run is over before the fault could strike.
pub(super) fn fail_everywhere(edit: &Edit, tally: &mut Tally) -> Result<(), String> {
    for trouble in TROUBLES {
        for (lasting, done_anyway) in [(false, false), (false, true), (true, false), (true, true)] {
            let mut after = 0;
            while under(edit, Fault { after, only: None, trouble, lasting, done_anyway }, tally)? {
                after += 1;
            }
        }
    }
    Ok(())
}

#[test]
fn no_fault_of_any_operation_tears_loses_or_falsely_saves_anything() {
    let mut tally = Tally::default();
    let edits = all();
    for edit in &edits {
        fail_everywhere(edit, &mut tally).unwrap_or_else(|why| panic!("{why}"));
    }
    println!(
        "{} edits, {} runs, {} faults struck: {} saved all the same, {} not saved, {} in doubt, {} did not come so far; \
         {} disks looked into; 0 torn, 0 lost, 0 falsely said to be saved, 0 panics; every second try saved",
        edits.len(),
        tally.runs,
        tally.struck,
        tally.saved,
        tally.not_saved,
        tally.in_doubt,
        tally.not_tried,
        tally.disks
    );
    assert!(tally.struck > 3_000 && tally.not_saved > 0 && tally.in_doubt > 0, "{tally:?}");
}
