//! Three saves that look durable and are not. A proof that does not catch them proves nothing.

use std::path::Path;

use super::cuts::cut_everywhere;
use super::edits::{Edit, all, change, file, note};
use super::faults::{Tally, fail_everywhere};
use crate::folder::StudioFolder;
use crate::format;
use crate::name::{DocKind, DocPath};
use crate::save::{SaveError, SaveOutcome, temp_name};
use crate::sim::{Fault, SimVfs, Trouble};
use crate::vfs::Vfs as _;
use craft::digest::Digest;

/// What is wrong with a save.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Flaw {
    NoSync,
    NoDirSync,
    InPlace,
    /// It uses one and the same temporary file each time.
    SameTemp,
    /// It knows no doubt: whatever fails, it says "not saved".
    NoDoubt,
}

fn save(disk: &SimVfs, path: &DocPath, flaw: Flaw) -> SaveOutcome {
    let bytes = format::encode(DocKind::Order, &note("new")).unwrap();
    let to = file(path);
    let name = if flaw == Flaw::SameTemp {
        ".a2b-c3x.ron.abcdefghij12.tmp".to_owned()
    } else {
        temp_name("a2b-c3x.ron")
    };
    let temp = to.with_file_name(name);
    let write = || {
        let mut new = if flaw == Flaw::InPlace { disk.write_in_place(&to)? } else { disk.create_new(&temp)? };
        let mut left = bytes.as_slice();
        while !left.is_empty() {
            left = &left[new.write(left)?..];
        }
        if flaw != Flaw::NoSync {
            new.sync()?;
        }
        if flaw != Flaw::InPlace {
            disk.rename(&temp, &to)?;
        }
        if flaw == Flaw::NoDirSync { Ok(()) } else { disk.sync_dir(to.parent().unwrap()) }
    };
    match write() {
        Ok(()) => SaveOutcome::Saved(Digest::of(&bytes)),
        Err(source) => {
            drop(disk.remove(&temp));
            SaveOutcome::NotSaved(SaveError::from_io(&to, "take all of it", source))
        }
    }
}

fn edit(flaw: Flaw) -> Edit {
    let write = move |_: &StudioFolder, disk: &SimVfs, path: &DocPath| save(disk, path, flaw);
    change(&DocPath::order("A2B-C3X").unwrap(), write)
}

#[test]
fn the_power_cuts_catch_a_save_that_does_not_sync_its_file() {
    let why = cut_everywhere(&edit(Flaw::NoSync)).unwrap_err();
    assert!(why.contains("orders/a2b-c3x.ron: Ok(Broken("), "{why}");
}

#[test]
fn the_power_cuts_catch_a_save_that_does_not_sync_its_folder() {
    let why = cut_everywhere(&edit(Flaw::NoDirSync)).unwrap_err();
    assert!(why.ends_with("said to be saved, and lost"), "{why}");
}

#[test]
fn the_power_cuts_catch_a_save_that_writes_in_place() {
    let why = cut_everywhere(&edit(Flaw::InPlace)).unwrap_err();
    assert!(why.contains("orders/a2b-c3x.ron: Ok(Broken("), "{why}");
}

#[test]
fn the_power_cuts_catch_a_save_that_keeps_no_earlier_version() {
    // The careful save of this module is durable, and keeps nothing of what it replaces.
    let mut forgetful = edit(Flaw::NoDoubt);
    forgetful.is_kept = all().swap_remove(3).is_kept;
    let why = cut_everywhere(&forgetful).unwrap_err();
    assert!(why.ends_with("what was replaced is not kept"), "{why}");
}

#[test]
fn the_power_cuts_let_the_same_save_pass_with_every_step_in_it() {
    assert!(cut_everywhere(&edit(Flaw::NoDoubt)).is_ok());
}

#[test]
fn the_faults_catch_all_of_them_and_two_more() {
    for (flaw, words) in [
        (Flaw::NoSync, "torn or lost"),
        (Flaw::NoDirSync, "falsely said to be saved"),
        (Flaw::InPlace, "torn or lost"),
        (Flaw::SameTemp, "a temporary file was used again"),
        (Flaw::NoDoubt, "falsely said not to be saved"),
    ] {
        let why = fail_everywhere(&edit(flaw), &mut Tally::default()).unwrap_err();
        assert!(why.contains(words), "{why}");
    }
}

#[test]
fn a_sync_that_is_repeated_on_the_same_file_is_caught() {
    // The broken variant: after a failed sync the same file is synced again and believed.
    let disk = SimVfs::new();
    disk.put("/s/a.ron", b"old");
    let (temp, to) = (Path::new("/s/.a.ron.abcdefghij12.tmp"), Path::new("/s/a.ron"));
    let mut new = disk.create_new(temp).unwrap();
    new.write(b"new").unwrap();
    disk.arm(Fault::once(0, Trouble::Device));
    assert!(new.sync().is_err() && new.sync().is_ok());
    disk.rename(temp, to).unwrap();
    disk.sync_dir(Path::new("/s")).unwrap();
    let torn = |found: &SimVfs| found.get(to).is_none_or(|bytes| bytes != b"old" && bytes != b"new");
    assert!(disk.crash_states().iter().any(torn));
}
