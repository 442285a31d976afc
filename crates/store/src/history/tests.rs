use std::path::Path;
use std::sync::Arc;

use super::*;
use crate::folder::Loaded;
use crate::save::SaveOutcome;
use crate::sim::{Fault, Op, SimVfs, Trouble};
use crate::vfs::{DiskVfs, Vfs};

fn path() -> DocPath {
    DocPath::client("ingrid").unwrap()
}

fn version(number: u32, day: &str) -> Earlier {
    let name = format!("{number:06}.{day}t10-00-00-000z.0123456789abcdef.ron");
    Earlier::from_file_name(&name).unwrap()
}

fn save(folder: &StudioFolder, text: &str) -> SaveOutcome {
    folder.save(&path(), &text.to_owned())
}

fn kept(folder: &StudioFolder) -> Vec<String> {
    let whole = |version: &Earlier| match folder.earlier::<String>(&path(), version) {
        Ok(Some(Decoded::Whole(text))) => text,
        other => panic!("{other:?}"),
    };
    folder.history(&path()).unwrap().iter().map(whole).collect()
}

#[test]
fn each_save_keeps_what_it_replaces_and_the_newest_stands_in_front() {
    let dir = tempfile::tempdir().unwrap();
    let disk: [(Arc<dyn Vfs>, PathBuf); 2] =
        [(Arc::new(DiskVfs), dir.path().join("s")), (Arc::new(sim()), "/home/s".into())];
    for (vfs, root) in disk {
        let folder = StudioFolder::create(&root, vfs, &1_u8).unwrap();
        for text in ["one", "two", "two", "three"] {
            assert!(matches!(save(&folder, text), SaveOutcome::Saved(_)));
        }
        assert_eq!(kept(&folder), ["two", "one"], "a save of the same replaces nothing");
        assert_eq!(folder.with_history(DocKind::Client).unwrap(), [path()]);
        assert_eq!(folder.with_history(DocKind::Order).unwrap(), []);
        assert_eq!(folder.history_trouble(), None);
        assert_eq!(folder.load::<String>(&path()).unwrap(), Loaded::Whole("three".to_owned()));
        let bytes = format::encode(DocKind::Client, &"three".to_owned()).unwrap();
        assert_eq!(folder.file_bytes(&path()).unwrap(), Some(bytes));
        assert_eq!(folder.file_bytes(&DocPath::client("nobody").unwrap()).unwrap(), None);
        assert_eq!(folder.remove_history(&path()).unwrap(), 2);
        folder.keep_no_history_of(&path());
        assert!(matches!(save(&folder, "four"), SaveOutcome::Saved(_)));
        assert_eq!(kept(&folder), Vec::<String>::new());
    }
}

fn sim() -> SimVfs {
    let disk = SimVfs::new();
    disk.put("/home/x", b"");
    disk
}

#[test]
fn the_newest_twenty_stay_and_of_older_ones_the_last_of_each_day() {
    let mut all: Vec<Earlier> = (1..=5).map(|no| version(no, "2026-03-01")).collect();
    all.extend((6..=8).map(|no| version(no, "2026-03-02")));
    all.extend((9..=28).map(|no| version(no, "2026-03-03")));
    let dropped: Vec<u32> = to_drop(&all).iter().map(|version| version.number).collect();
    assert_eq!(dropped, [7, 6, 4, 3, 2, 1], "8 is the last of its day, and 5 of its");
    assert_eq!(to_drop(&all[..20]), [], "twenty or fewer all stay");
    // Whatever order the disk lists them in, and whatever its clock says, the numbers decide.
    let mut mixed = all.clone();
    mixed.reverse();
    assert_eq!(to_drop(&mixed), to_drop(&all));
    let left: Vec<Earlier> = all.iter().filter(|version| !to_drop(&all).contains(version)).cloned().collect();
    assert_eq!(to_drop(&left), [], "what has been dropped once need not be dropped again");
}

#[test]
fn many_saves_on_one_day_leave_twenty_versions_and_the_day() {
    let disk = sim();
    let folder = StudioFolder::create(Path::new("/home/s"), Arc::new(disk), &1_u8).unwrap();
    for number in 0..40 {
        assert!(matches!(save(&folder, &format!("text {number}")), SaveOutcome::Saved(_)));
    }
    let kept = kept(&folder);
    assert_eq!(kept.len(), NEWEST + 1);
    assert_eq!((kept[0].as_str(), kept[20].as_str()), ("text 38", "text 18"));
}

#[test]
fn versions_that_could_not_be_removed_are_told_as_that_and_not_as_one_that_was_not_kept() {
    let disk = sim();
    let folder = StudioFolder::create(Path::new("/home/s"), Arc::new(disk.clone()), &1_u8).unwrap();
    for number in 0..=NEWEST + 1 {
        assert!(matches!(save(&folder, &format!("text {number}")), SaveOutcome::Saved(_)));
    }
    assert_eq!(folder.history_trouble(), None);
    let before = kept(&folder);
    disk.arm(Fault::always(Op::Remove, Trouble::Device));
    assert!(matches!(save(&folder, "one more"), SaveOutcome::Saved(_)));
    assert!(disk.disarm() > 0, "an old version was to go");
    let why = folder.history_trouble().unwrap();
    assert!(why.contains("was kept, but versions that are old enough to go could not be removed"), "{why}");
    assert_eq!(kept(&folder).len(), before.len() + 1, "the one before was kept");
    assert!(matches!(save(&folder, "and again"), SaveOutcome::Saved(_)));
    assert_eq!(
        (kept(&folder).len(), folder.history_trouble()),
        (NEWEST + 1, None),
        "the next save removes them"
    );
}

/// Whatever takes long in a save comes before the file is read again and compared, so that another program's is seen.
#[test]
fn a_file_that_another_program_writes_while_an_earlier_version_is_kept_is_not_replaced() {
    let ops = [Op::Stat, Op::Link, Op::Create, Op::SyncDir, Op::Remove];
    let mut seen = 0;
    for op in ops {
        for after in 0..9 {
            let disk = sim();
            let busy = crate::meanwhile::Meanwhile::on(&disk);
            let folder = StudioFolder::create(Path::new("/home/s"), Arc::new(busy.clone()), &1_u8).unwrap();
            // One more than stay, so that the next save also removes one.
            for number in 0..=NEWEST + 1 {
                assert!(matches!(save(&folder, &format!("text {number}")), SaveOutcome::Saved(_)));
            }
            busy.plan(op, after, |disk| disk.put("/home/s/clients/ingrid.ron", b"theirs"));
            let outcome = save(&folder, "ours");
            if !busy.is_done() {
                break;
            }
            seen += 1;
            let there = disk.get("/home/s/clients/ingrid.ron").unwrap();
            assert_eq!(there, b"theirs", "{op:?} after {after}: {outcome:?}");
        }
    }
    assert_eq!(seen, 6, "a look, a second name, a new file, two waits and one old version less");
}

/// Every fault of every operation: the save itself is as good as it was without a history.
#[test]
fn a_failure_to_keep_an_earlier_version_never_stops_a_save_and_is_told() {
    let (mut told, mut silent) = (0, 0);
    for only in [Op::List, Op::MakeDir, Op::Create, Op::Write, Op::Sync, Op::Rename, Op::SyncDir, Op::Remove]
    {
        for trouble in [Trouble::Device, Trouble::Full, Trouble::Denied] {
            let disk = sim().without_second_names();
            let folder = StudioFolder::create(Path::new("/home/s"), Arc::new(disk.clone()), &1_u8).unwrap();
            assert!(matches!(save(&folder, "old"), SaveOutcome::Saved(_)));
            disk.arm(Fault { only: Some(only), ..Fault::once(0, trouble) });
            let outcome = save(&folder, "new");
            let struck = disk.disarm();
            // The first operation of a kind belongs to the history, so the save itself is not touched.
            assert!(matches!(outcome, SaveOutcome::Saved(_)), "{only:?} {trouble:?} {outcome:?}");
            let why = folder.history_trouble();
            assert_eq!(why.is_some(), struck > 0, "{only:?} {trouble:?}: {why:?}");
            told +=
                usize::from(why.is_some_and(|why| why.contains("no earlier version of clients/ingrid.ron")));
            silent += usize::from(struck == 0);
            assert_eq!(folder.load::<String>(&path()).unwrap(), Loaded::Whole("new".to_owned()));
        }
    }
    assert!(told >= 18 && silent <= 3, "{told} told, {silent} never struck");
}

#[test]
fn half_a_copy_never_has_a_versions_name_and_is_swept_at_the_next_opening() {
    let (mut halves, mut whole) = (0, 0);
    for after in 0..30 {
        let disk = sim().without_second_names();
        let folder = StudioFolder::create(Path::new("/home/s"), Arc::new(disk.clone()), &1_u8).unwrap();
        assert!(matches!(save(&folder, "old"), SaveOutcome::Saved(_)));
        let old = disk.get("/home/s/clients/ingrid.ron").unwrap();
        disk.arm(Fault { lasting: true, ..Fault::once(after, Trouble::Device) });
        drop(save(&folder, "new"));
        disk.disarm();
        for disk in disk.crash_states() {
            let in_history = |disk: &SimVfs| {
                let paths = disk.paths().into_iter();
                paths.filter(|path| path.starts_with("/home/s/.history")).collect::<Vec<_>>()
            };
            halves +=
                in_history(&disk).iter().filter(|path| path.to_string_lossy().ends_with(".tmp")).count();
            let folder = StudioFolder::open(Path::new("/home/s"), Arc::new(disk.clone())).unwrap();
            assert!(folder.troubles().is_empty());
            for path in in_history(&disk) {
                assert_eq!(disk.get(&path).unwrap(), old, "{after}: {}", path.display());
                whole += 1;
            }
        }
    }
    assert!(halves > 0 && whole > 0, "{halves} halves, {whole} versions");
}

#[test]
fn the_old_version_is_on_the_disk_before_it_is_replaced() {
    let disk = sim();
    let folder = StudioFolder::create(Path::new("/home/s"), Arc::new(disk.clone()), &1_u8).unwrap();
    assert!(matches!(save(&folder, "old"), SaveOutcome::Saved(_)));
    let old = disk.get("/home/s/clients/ingrid.ron").unwrap();
    let mut cuts = 0;
    for after in 0..40 {
        let disk = SimVfs::new();
        disk.put("/home/x", b"");
        let folder = StudioFolder::create(Path::new("/home/s"), Arc::new(disk.clone()), &1_u8).unwrap();
        assert!(matches!(save(&folder, "old"), SaveOutcome::Saved(_)));
        // The program ends here: every later operation fails.
        disk.arm(Fault { lasting: true, ..Fault::once(after, Trouble::Device) });
        drop(save(&folder, "new"));
        disk.disarm();
        for disk in disk.crash_states() {
            let now = disk.get("/home/s/clients/ingrid.ron").unwrap();
            let folder = StudioFolder::open(Path::new("/home/s"), Arc::new(disk.clone())).unwrap();
            let kept = folder.history(&path()).unwrap();
            let holds = kept.iter().any(|version| {
                disk.get(Path::new("/home/s/.history/clients/ingrid").join(version.file_name())).as_ref()
                    == Some(&old)
            });
            // A fault of the history itself is told and does not stop the save, so it may be missing only then.
            let told = after < 12;
            assert!(now == old || holds || told, "after {after}: {kept:?}");
            cuts += 1;
        }
    }
    assert!(cuts > 40, "{cuts} states");
}

#[test]
fn a_version_that_is_not_what_was_kept_says_so_and_strange_names_are_left_alone() {
    let disk = sim();
    let folder = StudioFolder::create(Path::new("/home/s"), Arc::new(disk.clone()), &1_u8).unwrap();
    for text in ["one", "two"] {
        assert!(matches!(save(&folder, text), SaveOutcome::Saved(_)));
    }
    let [version] = folder.history(&path()).unwrap().try_into().unwrap();
    let file = Path::new("/home/s/.history/clients/ingrid").join(version.file_name());
    disk.put(&file, b"something else");
    assert!(matches!(folder.earlier::<String>(&path(), &version), Err(StoreError::Damaged { .. })));
    disk.put(file.with_file_name("notes.txt"), b"");
    assert_eq!(folder.history(&path()).unwrap(), [version]);
    for name in ["", "1.2.3.ron", "000001.2026-03-01t10-00-00-000z.0123456789ABCDEF.ron", "../x.ron"] {
        assert_eq!(Earlier::from_file_name(name), None, "{name}");
    }
}

#[test]
fn another_programs_version_is_left_where_it_is_and_not_taken_for_an_earlier_one() {
    let disk = sim();
    let folder = StudioFolder::create(Path::new("/home/s"), Arc::new(disk.clone()), &1_u8).unwrap();
    assert!(matches!(save(&folder, "mine"), SaveOutcome::Saved(_)));
    disk.put("/home/s/clients/ingrid.ron", b"theirs");
    assert!(matches!(save(&folder, "mine again"), SaveOutcome::Conflict { .. }));
    assert_eq!(folder.history(&path()).unwrap(), []);
}

#[test]
fn the_moment_of_a_version_reads_as_a_moment() {
    // 2026-03-29T00:30:00.123Z in nanoseconds since 1970.
    let named = stamp(1_774_744_200_123_456_789);
    assert_eq!(named, "2026-03-29t00-30-00-123z");
    let version = Earlier { number: 1, written: named, digits: "0123456789abcdef".to_owned() };
    assert_eq!(version.written(), "2026-03-29T00:30:00.123Z");
    assert_eq!(version.day(), "2026-03-29");
    assert_eq!(Earlier::from_file_name(&version.file_name()), Some(version));
}

#[test]
fn a_version_in_the_place_of_a_torn_file_leaves_that_beside_and_is_saved_to_as_any() {
    let dir = tempfile::tempdir().unwrap();
    let disk: [(Arc<dyn Vfs>, PathBuf); 2] =
        [(Arc::new(DiskVfs), dir.path().join("s")), (Arc::new(sim()), "/home/s".into())];
    for (vfs, root) in disk {
        let folder = StudioFolder::create(&root, vfs.clone(), &1_u8).unwrap();
        for text in ["one", "two"] {
            assert!(matches!(save(&folder, text), SaveOutcome::Saved(_)));
        }
        let file = root.join("clients/ingrid.ron");
        let tear = |folder: &StudioFolder| {
            vfs.remove(&file).unwrap();
            folder.write_once(&file, b"torn").unwrap();
        };
        tear(&folder);
        drop(folder);
        let folder = StudioFolder::open(&root, vfs.clone()).unwrap();
        assert!(matches!(folder.load::<String>(&path()).unwrap(), Loaded::Broken(_)));
        let newest = folder.history(&path()).unwrap().remove(0);
        let beside = folder.put_in_place(&path(), &newest).unwrap();
        assert_eq!(beside.as_deref(), Some("ingrid.conflict-1.ron"));
        assert_eq!(vfs.read(&root.join("clients/ingrid.conflict-1.ron"), 99).unwrap().unwrap(), b"torn");
        // Until it is loaded again nothing is written over it.
        assert!(matches!(save(&folder, "three"), SaveOutcome::NotSaved(_)));
        assert_eq!(folder.load::<String>(&path()).unwrap(), Loaded::Whole("one".to_owned()));
        assert!(matches!(save(&folder, "three"), SaveOutcome::Saved(_)));
        // The same once more is not kept twice.
        tear(&folder);
        assert_eq!(folder.put_in_place(&path(), &newest).unwrap(), beside);
        assert_eq!(folder.conflicts_of(&path()).unwrap().len(), 1);
        // Torn in another way it gets a name of its own, and what has a name keeps it.
        vfs.remove(&file).unwrap();
        folder.write_once(&file, b"torn again").unwrap();
        let second = folder.put_in_place(&path(), &newest).unwrap();
        assert_eq!(second.as_deref(), Some("ingrid.conflict-2.ron"));
        let taken = root.join("clients/ingrid.conflict-1.ron");
        let refused = folder.give_second_name(&file, &taken, b"other").unwrap_err();
        assert_eq!(refused.kind(), ErrorKind::AlreadyExists);
        assert_eq!(vfs.read(&taken, 99).unwrap().unwrap(), b"torn");
        drop(folder);
        let looking = StudioFolder::look(&root, vfs).unwrap();
        assert!(matches!(looking.put_in_place(&path(), &newest), Err(StoreError::NotPutInPlace { .. })));
    }
}

#[test]
fn wherever_the_disk_gives_up_the_torn_file_is_still_there_in_one_place_or_both() {
    let torn: &[u8] = b"torn";
    for after in 0..200 {
        let disk = sim();
        let folder = StudioFolder::create(Path::new("/home/s"), Arc::new(disk.clone()), &1_u8).unwrap();
        for text in ["one", "two"] {
            assert!(matches!(save(&folder, text), SaveOutcome::Saved(_)));
        }
        disk.put("/home/s/clients/ingrid.ron", torn);
        let newest = folder.history(&path()).unwrap().remove(0);
        let version = disk.get(Path::new("/home/s").join(folder.history_file(&path(), &newest))).unwrap();
        disk.arm(Fault::once(after, Trouble::Device));
        let put = folder.put_in_place(&path(), &newest);
        let struck = disk.disarm();
        for found in disk.crash_states() {
            let own = found.get("/home/s/clients/ingrid.ron").unwrap();
            let beside = found.get("/home/s/clients/ingrid.conflict-1.ron");
            assert!(own == torn || beside.as_deref() == Some(torn), "after {after}");
            assert!(own == torn || own == version, "after {after}");
        }
        if struck == 0 {
            assert!(put.is_ok());
            return;
        }
    }
    panic!("it never came to its end");
}
