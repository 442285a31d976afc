//! The power goes after each operation of each edit: every disk that may then be found is looked into.

use std::collections::BTreeSet;
use std::ops::AddAssign;

use super::edits::{Edit, Look, Said, all};
use crate::sim::{Fault, Trouble};

/// What was tried and what was found.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub(super) struct Tally {
    /// Points at which the power went.
    pub(super) cuts: usize,
    /// Ways in which what was not settled then arrived or did not.
    pub(super) ways: usize,
    /// Different disks among them.
    pub(super) disks: usize,
    pub(super) old: usize,
    pub(super) new: usize,
}

impl AddAssign for Tally {
    fn add_assign(&mut self, more: Self) {
        self.cuts += more.cuts;
        self.ways += more.ways;
        self.disks += more.disks;
        self.old += more.old;
        self.new += more.new;
    }
}

/// Cuts the power after every operation of an edit, and once more when all was done and said.
pub(super) fn cut_everywhere(edit: &Edit) -> Result<Tally, String> {
    let mut tally = Tally::default();
    for done in 0.. {
        let disk = (edit.before)();
        // From here on no operation is done any more; a write under way may have come half through.
        disk.arm(Fault { lasting: true, ..Fault::once(done, Trouble::Device) });
        let said = (edit.act)(&disk).said;
        let ended = disk.disarm() == 0;
        let at = format!("{}, cut after {done} operations, {said:?}", edit.name);
        if !ended && said == Said::Saved {
            return Err(format!("{at}: said before it was done"));
        }
        if disk.unsettled() > 12 {
            return Err(format!("{at}: too much is unsettled to try every way"));
        }
        let states = disk.crash_states();
        tally.cuts += 1;
        tally.ways += states.len();
        let mut seen = BTreeSet::new();
        for found in states {
            if !seen.insert(found.picture()) {
                continue;
            }
            tally.disks += 1;
            match (edit.look)(&found) {
                Look::Wrong(what) => return Err(format!("{at}: {what}")),
                Look::Old if said == Said::Saved => return Err(format!("{at}: said to be saved, and lost")),
                Look::Old => tally.old += 1,
                Look::New if !(edit.is_kept)(&found) => {
                    return Err(format!("{at}: what was replaced is not kept"));
                }
                Look::New => tally.new += 1,
            }
        }
        if ended {
            let well = said == Said::Saved;
            return if well { Ok(tally) } else { Err(format!("{at}: not saved although nothing failed")) };
        }
    }
    Err("an edit without an end".to_owned())
}

#[test]
fn whatever_a_power_cut_leaves_opens_with_the_old_or_the_new_content() {
    let mut total = Tally::default();
    let edits = all();
    for edit in &edits {
        let tally = cut_everywhere(edit).unwrap_or_else(|why| panic!("{why}"));
        assert!(tally.new > 0, "{}: {tally:?}", edit.name);
        println!(
            "{:45} {:3} cuts, {:6} ways, {:5} different disks: {} old, {} new",
            edit.name, tally.cuts, tally.ways, tally.disks, tally.old, tally.new
        );
        total += tally;
    }
    println!(
        "{} edits: {} cuts, {} ways, {} different disks, every one whole: {} old, {} new",
        edits.len(),
        total.cuts,
        total.ways,
        total.disks,
        total.old,
        total.new
    );
    assert_eq!(total.disks, total.old + total.new);
    assert!(edits.len() >= 21 && total.cuts > 500 && total.ways > 2_000, "{total:?}");
}
