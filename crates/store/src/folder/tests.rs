use serde::Deserialize;

use super::*;
use crate::format::Decoded;
use crate::save::durable_save;
use crate::sim::{Fault, Op, SimVfs, Trouble};
use crate::vfs::DiskVfs;

#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Note {
    title: String,
    grams: f64,
}

fn note(title: &str) -> Note {
    Note { title: title.to_owned(), grams: 1.5 }
}

fn order() -> DocPath {
    DocPath::order("A2B-C3X").unwrap()
}

const ROOT: &str = "/home/s";
const FILE: &str = "/home/s/orders/a2b-c3x.ron";

fn create(disk: &SimVfs) -> Result<StudioFolder, StoreError> {
    StudioFolder::create(Path::new(ROOT), Arc::new(disk.clone()), &note("studio"))
}

fn open(disk: &SimVfs) -> StudioFolder {
    StudioFolder::open(Path::new(ROOT), Arc::new(disk.clone())).unwrap()
}

/// A disk with a studio that holds one order, "old".
fn disk_with_order() -> SimVfs {
    let disk = SimVfs::new();
    disk.put("/home/x", b"");
    let folder = create(&disk).unwrap();
    assert!(matches!(folder.save(&order(), &note("old")), SaveOutcome::Saved(_)));
    disk
}

fn load(folder: &StudioFolder) -> Loaded<Note> {
    folder.load(&order()).unwrap()
}

/// The document in these bytes, if they are a whole one.
fn title(bytes: Option<Vec<u8>>) -> Option<String> {
    match format::decode::<Note>(DocKind::Order, &bytes?) {
        Decoded::Whole(note) => Some(note.title),
        _ => None,
    }
}

#[test]
fn a_document_is_saved_and_loaded_on_the_real_disk() {
    let dir = tempfile::tempdir().unwrap();
    let root = dir.path().join("studio");
    let folder = StudioFolder::create(&root, Arc::new(DiskVfs), &note("studio")).unwrap();
    assert_eq!(load(&folder), Loaded::Absent);
    assert!(matches!(folder.save(&order(), &note("first")), SaveOutcome::Saved(_)));
    assert!(matches!(folder.save(&order(), &note("second")), SaveOutcome::Saved(_)));
    drop(folder);
    let folder = StudioFolder::open(&root, Arc::new(DiskVfs)).unwrap();
    assert!(
        matches!(folder.access(), Access::Writable) && folder.troubles().is_empty() && folder.swept() == 0
    );
    assert_eq!(load(&folder), Loaded::Whole(note("second")));
    assert_eq!(folder.list(DocKind::Order).unwrap().documents, [order()]);
    assert_eq!(folder.list(DocKind::Studio).unwrap().documents, [DocPath::studio()]);
}

#[test]
fn a_second_opener_can_read_only_and_is_told_why() {
    let dir = tempfile::tempdir().unwrap();
    let root = dir.path().join("studio");
    let first = StudioFolder::create(&root, Arc::new(DiskVfs), &note("studio")).unwrap();
    assert!(matches!(first.save(&order(), &note("old")), SaveOutcome::Saved(_)));
    let second = StudioFolder::open(&root, Arc::new(DiskVfs)).unwrap();
    assert!(matches!(second.access(), Access::OpenElsewhere));
    assert_eq!(load(&second), Loaded::Whole(note("old")));
    let SaveOutcome::NotSaved(error) = second.save(&order(), &note("new")) else { panic!("saved") };
    assert!(error.to_string().contains("open in another window"), "{error}");
    assert!(second.keep_photo(b"x", "jpg").is_err() && second.issue_paper("a", "b.pdf", b"x").is_err());
    assert!(!second.save_heads(&crate::heads::Heads::default()));
    assert_eq!(load(&first), Loaded::Whole(note("old")));
    drop((first, second));
    let third = StudioFolder::open(&root, Arc::new(DiskVfs)).unwrap();
    assert!(matches!(third.access(), Access::Writable));
}

/// The disk of a studio with an order, an orphaned temporary file, and a sub-folder missing.
fn disk_with_a_leftover() -> SimVfs {
    let disk = SimVfs::new();
    disk.put("/home/s/studio.ron", &format::encode(DocKind::Studio, &note("studio")).unwrap());
    disk.put(FILE, &format::encode(DocKind::Order, &note("old")).unwrap());
    disk.put("/home/s/orders/.a2b-c3x.ron.abcdefghij12.tmp", b"half");
    disk
}

#[test]
fn looking_takes_no_lock_and_makes_and_sweeps_and_writes_nothing() {
    let disk = disk_with_a_leftover();
    let before = disk.paths();
    let look = |disk: &SimVfs| StudioFolder::look(Path::new(ROOT), Arc::new(disk.clone())).unwrap();
    // The log of operations begins anew here.
    disk.arm(Fault::once(usize::MAX, Trouble::Device));
    let folder = look(&disk);
    assert!(matches!(folder.access(), Access::Looking));
    assert_eq!(load(&folder), Loaded::Whole(note("old")));
    assert_eq!(folder.list(DocKind::Order).unwrap().documents, [order()]);
    let SaveOutcome::NotSaved(error) = folder.save(&order(), &note("new")) else { panic!("saved") };
    assert!(error.to_string().contains("only being looked at"), "{error}");
    assert!(folder.keep_photo(b"x", "jpg").is_err() && folder.issue_paper("a", "b.pdf", b"x").is_err());
    assert!(!folder.save_heads(&crate::heads::Heads::default()));
    let ops = disk.ops();
    let only_asks = |op: &Op| matches!(op, Op::Read | Op::Stat | Op::List);
    assert!(!ops.is_empty() && ops.iter().all(only_asks), "{ops:?}");
    assert_eq!(disk.paths(), before);
    // Opening is what takes the lock and tidies, and looking does not mind either.
    let window = open(&disk);
    assert!(matches!(window.access(), Access::Writable) && window.swept() == 1);
    assert_ne!(disk.paths(), before, "the same check sees what opening changes");
    assert_eq!(load(&look(&disk)), Loaded::Whole(note("old")));
    let nothing = StudioFolder::look(Path::new("/home"), Arc::new(disk.clone()));
    assert!(matches!(nothing, Err(StoreError::NotAStudio { .. })));
}

#[test]
fn a_studio_whose_filling_fails_is_none_yet() {
    let disk = SimVfs::new();
    disk.put("/home/x", b"");
    let make = |fill: fn(&StudioFolder) -> Result<(), StoreError>| {
        StudioFolder::create_filled(Path::new(ROOT), Arc::new(disk.clone()), &note("studio"), fill)
    };
    let failed = make(|folder| {
        folder.keep_photo(b"x", "jpg").unwrap();
        Err(StoreError::NotEmpty { path: folder.root().to_owned() })
    });
    assert!(failed.is_err() && disk.get("/home/s/studio.ron").is_none());
    let opened = StudioFolder::open(Path::new(ROOT), Arc::new(disk.clone()));
    assert!(matches!(opened, Err(StoreError::NotAStudio { .. })), "{opened:?}");
}

#[test]
fn a_folder_that_may_not_be_written_is_read_and_says_so_plainly() {
    for op in [Op::Lock, Op::Create] {
        let disk = disk_with_order();
        let before = disk.paths();
        disk.arm(Fault::always(op, Trouble::Denied));
        let folder = open(&disk);
        assert!(matches!(folder.access(), Access::Denied(_)), "{op:?}");
        assert!(folder.access().to_string().contains("cannot be written to"));
        assert_eq!(load(&folder), Loaded::Whole(note("old")));
        let SaveOutcome::NotSaved(error) = folder.save(&order(), &note("new")) else { panic!("saved") };
        assert!(error.to_string().contains("this folder cannot be written to"), "{error}");
        assert_eq!(disk.paths(), before);
    }
}

#[test]
fn a_full_disk_at_opening_leaves_the_studio_usable() {
    let disk = disk_with_order();
    disk.arm(Fault::always(Op::Create, Trouble::Full));
    let folder = open(&disk);
    assert_eq!(load(&folder), Loaded::Whole(note("old")));
    let outcome = folder.save(&order(), &note("new"));
    assert!(matches!(outcome, SaveOutcome::NotSaved(SaveError::Full { .. })), "{outcome:?}");
    disk.disarm();
    assert!(matches!(folder.save(&order(), &note("new")), SaveOutcome::Saved(_)));
    drop(folder);
    disk.arm(Fault::always(Op::Lock, Trouble::Full));
    let unguarded = open(&disk);
    assert!(matches!(unguarded.access(), Access::Unguarded(_)));
    assert!(unguarded.access().to_string().contains("free some space"));
}

#[test]
fn a_file_that_cannot_be_read_is_listed_hides_nothing_and_is_never_replaced() {
    let whole = String::from_utf8(format::encode(DocKind::Order, &note("old")).unwrap()).unwrap();
    let (above, _) = whole.rsplit_once("// sum ").unwrap();
    let bad: Vec<(&str, Vec<u8>)> = vec![
        ("\"torn\" stands where an opening bracket", b"torn".to_vec()),
        ("the file ends too early", above.as_bytes()[..above.len() / 2].to_vec()),
        ("the file is empty", Vec::new()),
        ("\"weight\" is not a field", whole.replace("grams", "weight").into_bytes()),
        ("not finite", whole.replace("1.5", "NaN").into_bytes()),
        ("there never was a version 0", whole.replace("version: 1", "version: 0").into_bytes()),
        ("its kind is \"client\"", whole.replace("\"order\"", "\"client\"").into_bytes()),
        ("not text", vec![0xff, 0xfe]),
        ("larger than", vec![b' '; usize::try_from(format::CAP).unwrap() + 1]),
    ];
    for (words, bytes) in bad {
        let disk = disk_with_order();
        disk.put(FILE, &bytes);
        disk.put("/home/s/orders/good-1.ron", whole.as_bytes());
        let folder = open(&disk);
        let Loaded::Broken(broken) = load(&folder) else { panic!("read: {words}") };
        assert!(broken.message.contains(words) && broken.line >= 1, "{broken}");
        assert!(matches!(
            folder.save(&order(), &note("new")),
            SaveOutcome::NotSaved(SaveError::NotRead { .. })
        ));
        assert_eq!(disk.get(FILE).unwrap(), bytes, "{words}");
        let other = DocPath::order("good-1").unwrap();
        assert_eq!(folder.list(DocKind::Order).unwrap().documents, [order(), other.clone()]);
        assert_eq!(folder.load(&other).unwrap(), Loaded::Whole(note("old")));
        // Mended by hand and loaded again, it can be saved.
        disk.put(FILE, format!("\u{feff}{whole}").as_bytes());
        assert_eq!(load(&folder), Loaded::Whole(note("old")));
        assert!(matches!(folder.save(&order(), &note("new")), SaveOutcome::Saved(_)));
    }
}

#[test]
fn a_file_of_a_newer_version_is_told_and_never_replaced() {
    let disk = disk_with_order();
    let newer = b"(version: 9, kind: \"order\", body: (new: Idea(1)))";
    disk.put(FILE, newer);
    let folder = open(&disk);
    assert_eq!(load(&folder), Loaded::Newer { version: 9 });
    assert!(matches!(folder.save(&order(), &note("new")), SaveOutcome::NotSaved(SaveError::NotRead { .. })));
    assert_eq!(disk.get(FILE).unwrap(), newer);
}

#[test]
fn only_not_found_means_absent() {
    for trouble in [Trouble::Device, Trouble::Denied, Trouble::Full] {
        // Loading fails: nothing may be saved over what could not be read.
        let disk = disk_with_order();
        let folder = open(&disk);
        // What a stamp would tell is only ever a hint, so the document is read all the same.
        disk.arm(Fault { only: Some(Op::Stat), ..Fault::once(0, trouble) });
        assert_eq!(load(&folder), Loaded::Whole(note("old")));
        assert_eq!(disk.disarm(), 1);
        disk.arm(Fault { only: Some(Op::Read), ..Fault::once(0, trouble) });
        assert!(matches!(folder.load::<Note>(&order()), Err(StoreError::Disk { .. })));
        assert!(matches!(
            folder.save(&order(), &note("new")),
            SaveOutcome::NotSaved(SaveError::NotRead { .. })
        ));
        assert_eq!(title(disk.get(FILE)).unwrap(), "old");
        // Never loaded: a save must not take a failed look for an empty place.
        let disk = disk_with_order();
        let folder = open(&disk);
        disk.arm(Fault::once(0, trouble));
        assert!(matches!(folder.save(&order(), &note("new")), SaveOutcome::NotSaved(_)));
        assert_eq!(disk.disarm(), 1);
        assert!(matches!(
            folder.save(&order(), &note("new")),
            SaveOutcome::NotSaved(SaveError::NotRead { .. })
        ));
        assert_eq!(title(disk.get(FILE)).unwrap(), "old");
    }
    let disk = disk_with_order();
    disk.put_link(FILE);
    let folder = open(&disk);
    assert!(folder.load::<Note>(&order()).is_err());
    assert!(matches!(folder.save(&order(), &note("new")), SaveOutcome::NotSaved(_)));
}

#[test]
fn the_check_for_absence_would_catch_a_program_that_takes_an_error_for_it() {
    // The broken variant: a failed read is taken for "no document yet".
    let disk = disk_with_order();
    disk.arm(Fault::once(0, Trouble::Device));
    let taken_for_absent = disk.read(Path::new(FILE), format::CAP).ok().flatten().is_none();
    assert!(taken_for_absent);
    let bytes = format::encode(DocKind::Order, &note("new")).unwrap();
    let expect = Expect { states: None, cap: format::CAP, beside: None };
    let place = Place { dir: Path::new("/home/s/orders"), name: "a2b-c3x.ron" };
    assert!(matches!(durable_save(&disk, place, &bytes, expect), SaveOutcome::Saved(_)));
    assert_ne!(title(disk.get(FILE)).unwrap(), "old");
}

#[test]
fn no_fault_from_opening_to_saving_tears_a_document_or_leads_to_a_false_saved() {
    let mut struck = 0;
    for trouble in [Trouble::Device, Trouble::Full, Trouble::Denied, Trouble::Short] {
        for (lasting, done_anyway) in [(false, false), (false, true), (true, false), (true, true)] {
            for after in 0.. {
                let disk = disk_with_order();
                disk.arm(Fault { after, only: None, trouble, lasting, done_anyway });
                let said = open_load_save(&disk);
                let fired = disk.disarm();
                for found in disk.crash_states() {
                    let title = title(found.get(FILE));
                    let right = if said == Some("saved") { &["new"][..] } else { &["old", "new"] };
                    assert!(
                        title.as_deref().is_some_and(|t| right.contains(&t)),
                        "{after} {trouble:?} {title:?}"
                    );
                }
                if said == Some("not saved") {
                    assert_eq!(title(disk.get(FILE)).unwrap(), "old", "{after} {trouble:?}");
                }
                if fired == 0 && after > 0 && disk.ops().len() <= after {
                    assert_eq!(said, Some("saved"));
                    break;
                }
                struck += fired.min(1);
                leaves_a_usable_studio(&disk);
            }
        }
    }
    println!("{struck} faults struck");
    assert!(struck > 300);
}

/// One session; what was said about the save, if it came that far.
fn open_load_save(disk: &SimVfs) -> Option<&'static str> {
    let folder = StudioFolder::open(Path::new(ROOT), Arc::new(disk.clone())).ok()?;
    let loaded = folder.load::<Note>(&order()).ok()?;
    assert_eq!(loaded, Loaded::Whole(note("old")));
    Some(match folder.save(&order(), &note("new")) {
        SaveOutcome::Saved(_) => "saved",
        SaveOutcome::NotSaved(_) => "not saved",
        SaveOutcome::InDoubt(_) => "in doubt",
        SaveOutcome::Conflict { kept_beside } => panic!("a conflict nobody made: {kept_beside}"),
    })
}

/// The next session, without a fault, can save and leaves nothing half written.
fn leaves_a_usable_studio(disk: &SimVfs) {
    let folder = open(disk);
    assert!(matches!(load(&folder), Loaded::Whole(_)));
    assert!(matches!(folder.save(&order(), &note("next")), SaveOutcome::Saved(_)));
    let left: Vec<_> = disk.paths().into_iter().filter(|p| p.to_string_lossy().ends_with(".tmp")).collect();
    assert!(left.is_empty(), "{left:?}");
}

#[test]
fn a_doubt_is_healed_by_the_next_save_without_a_conflict() {
    for done_anyway in [false, true] {
        for op in [Op::Rename, Op::SyncDir] {
            let disk = disk_with_order();
            let folder = open(&disk);
            // The faults shall strike the save itself, and not an earlier version that is kept.
            folder.keep_no_history_of(&order());
            assert!(matches!(load(&folder), Loaded::Whole(_)));
            for title in ["new", "newer"] {
                disk.arm(Fault {
                    done_anyway,
                    ..Fault { lasting: false, ..Fault::always(op, Trouble::Device) }
                });
                let outcome = folder.save(&order(), &note(title));
                let doubted = done_anyway || op == Op::SyncDir;
                assert_eq!(matches!(outcome, SaveOutcome::InDoubt(_)), doubted, "{op:?} {outcome:?}");
                assert_eq!(disk.disarm(), 1);
            }
            assert!(matches!(folder.save(&order(), &note("newest")), SaveOutcome::Saved(_)));
            assert!(disk.crash_states().iter().all(|d| title(d.get(FILE)).unwrap() == "newest"));
        }
    }
}

#[test]
fn a_change_by_another_program_is_kept_and_ours_lies_beside_it() {
    let disk = disk_with_order();
    let folder = open(&disk);
    assert!(matches!(load(&folder), Loaded::Whole(_)));
    let theirs = format::encode(DocKind::Order, &note("theirs")).unwrap();
    disk.put(FILE, &theirs);
    for mine in ["mine", "mine, edited"] {
        let outcome = folder.save(&order(), &note(mine));
        assert!(
            matches!(&outcome, SaveOutcome::Conflict { kept_beside } if kept_beside == "a2b-c3x.conflict-1.ron"),
            "{outcome:?}"
        );
        assert_eq!(title(disk.get("/home/s/orders/a2b-c3x.conflict-1.ron")).unwrap(), mine);
    }
    assert_eq!(disk.get(FILE).unwrap(), theirs);
    let listing = folder.list(DocKind::Order).unwrap();
    assert_eq!(
        (listing.documents, listing.conflicts),
        (vec![order()], vec!["a2b-c3x.conflict-1.ron".to_owned()])
    );
    assert_eq!(load(&folder), Loaded::Whole(note("theirs")));
    assert!(matches!(folder.save(&order(), &note("merged")), SaveOutcome::Saved(_)));
    assert_eq!(title(disk.get("/home/s/orders/a2b-c3x.conflict-1.ron")).unwrap(), "mine, edited");
}

#[test]
fn a_document_with_a_number_without_end_is_not_saved_and_the_old_one_stays() {
    let disk = disk_with_order();
    let folder = open(&disk);
    assert!(matches!(load(&folder), Loaded::Whole(_)));
    for grams in [f64::NAN, f64::INFINITY] {
        let outcome = folder.save(&order(), &Note { grams, ..note("new") });
        assert!(matches!(&outcome, SaveOutcome::NotSaved(SaveError::Text { .. })), "{outcome:?}");
    }
    assert_eq!(load(&folder), Loaded::Whole(note("old")));
}

#[test]
fn what_a_crash_left_is_swept_under_the_lock_and_nothing_else_is() {
    let disk = disk_with_order();
    let stale = [
        "/home/s/.studio.ron.abcdefghij12.tmp",
        "/home/s/orders/.a2b-c3x.ron.abcdefghij12.tmp",
        "/home/s/papers/a2b-c3x/.r.pdf.abcdefghij12.tmp",
    ];
    let kept = ["/home/s/orders/notes.txt", "/home/s/orders/.mine.tmp", "/home/s/papers/a2b-c3x/r.pdf"];
    stale.iter().chain(&kept).for_each(|path| disk.put(path, b"half"));
    disk.put_link("/home/s/orders/.link.ron.abcdefghij12.tmp");
    disk.put("/home/s/orders/.dir.ron.abcdefghij12.tmp/inside", b"");
    let first = open(&disk);
    assert_eq!((first.swept(), first.troubles().len()), (3, 0));
    assert!(stale.iter().all(|path| disk.get(path).is_none()));
    assert!(kept.iter().all(|path| disk.get(path).is_some()));
    assert!(disk.paths().iter().any(|path| path.ends_with(".link.ron.abcdefghij12.tmp")));
    // Whoever does not hold the lock leaves the other's work alone.
    disk.put(stale[0], b"half");
    assert_eq!(open(&disk).swept(), 0);
    assert!(disk.get(stale[0]).is_some());
}

#[test]
fn names_that_are_not_ours_are_listed_as_strangers() {
    let disk = disk_with_order();
    for name in
        ["notes.txt", "A2B.ron", "a b.ron", ".DS_Store", "a.b.ron", "x.conflict-1.ron", "x.conflict-.ron"]
    {
        disk.put(Path::new("/home/s/orders").join(name), b"");
    }
    disk.put("/home/s/orders/folder.ron/inside", b"");
    disk.put_link("/home/s/orders/link.ron");
    let listing = open(&disk).list(DocKind::Order).unwrap();
    assert_eq!(listing.documents, [order()]);
    assert_eq!(listing.conflicts, ["x.conflict-1.ron"]);
    let strangers =
        ["A2B.ron", "a b.ron", "a.b.ron", "folder.ron", "link.ron", "notes.txt", "x.conflict-.ron"];
    assert_eq!(listing.strangers, strangers);
}

#[test]
fn the_folders_of_a_studio_are_no_strangers_beside_its_first_file() {
    let disk = disk_with_order();
    disk.put("/home/s/orders/photos", b"");
    disk.put("/home/s/holiday.jpg", b"");
    let folder = open(&disk);
    let beside = folder.list(DocKind::Studio).unwrap();
    assert_eq!(
        (beside.documents, beside.strangers),
        (vec![DocPath::studio()], vec!["holiday.jpg".to_owned()])
    );
    // Of the same name anywhere else it is one.
    assert_eq!(folder.list(DocKind::Order).unwrap().strangers, ["photos"]);
}

#[test]
fn a_new_studio_is_made_only_in_an_empty_place() {
    let disk = disk_with_order();
    assert!(matches!(create(&disk), Err(StoreError::AlreadyAStudio { .. })));
    for other in ["/home/s/letter.txt", "/home/s/photos/holiday.jpg", "/home/s/.hidden"] {
        let disk = SimVfs::new();
        disk.put(other, b"");
        assert!(matches!(create(&disk), Err(StoreError::NotEmpty { .. })), "{other}");
        assert_eq!(disk.paths(), [Path::new(other)]);
    }
    assert!(matches!(create(&SimVfs::new()), Err(StoreError::Disk { .. })), "the parent folder is missing");
}

#[test]
fn a_new_studio_is_there_after_a_power_cut_and_a_failed_attempt_can_be_repeated() {
    let mut struck = 0;
    for (trouble, lasting, done_anyway) in [
        (Trouble::Device, false, false),
        (Trouble::Device, false, true),
        (Trouble::Full, true, false),
        (Trouble::Denied, false, false),
    ] {
        for after in 0.. {
            let disk = SimVfs::new();
            disk.put("/home/x", b"");
            disk.arm(Fault { after, only: None, trouble, lasting, done_anyway });
            let mut made = create(&disk).map(drop);
            let fired = disk.disarm();
            if fired == 0 {
                assert!(made.is_ok());
                break;
            }
            struck += 1;
            if made.is_err() {
                made = match create(&disk).map(drop) {
                    // The first file was in doubt and is there after all.
                    Err(StoreError::AlreadyAStudio { .. }) => continue,
                    other => other,
                };
            }
            assert!(made.is_ok(), "{after} {trouble:?} {made:?}");
            for found in disk.crash_states() {
                assert_eq!(open(&found).load(&DocPath::studio()).unwrap(), Loaded::Whole(note("studio")));
            }
        }
    }
    assert!(struck > 60, "{struck}");
}

#[test]
fn opening_what_is_not_a_studio_says_what_is_wrong() {
    let disk = SimVfs::new();
    disk.put("/home/s/letter.txt", b"");
    let open = |path: &str| StudioFolder::open(Path::new(path), Arc::new(disk.clone())).unwrap_err();
    assert!(matches!(open(ROOT), StoreError::NotAStudio { .. }));
    assert!(matches!(open("/nowhere"), StoreError::NoFolder { .. }));
    assert!(matches!(open("/home/s/letter.txt"), StoreError::NotAStudio { .. }));
    assert_eq!(disk.paths(), [Path::new("/home/s/letter.txt")]);
}

#[test]
fn a_studio_that_lost_its_first_file_still_shows_its_orders() {
    let disk = disk_with_order();
    disk.remove(Path::new("/home/s/studio.ron")).unwrap();
    let folder = open(&disk);
    assert_eq!(folder.load::<Note>(&DocPath::studio()).unwrap(), Loaded::Absent);
    assert_eq!(load(&folder), Loaded::Whole(note("old")));
    assert!(matches!(create(&disk), Err(StoreError::AlreadyAStudio { .. })));
    // One folder of documents is enough, and a file of such a name is none.
    let disk = SimVfs::new();
    disk.put("/home/s/clients/ida.ron", b"");
    assert!(matches!(create(&disk), Err(StoreError::AlreadyAStudio { .. })));
    let disk = SimVfs::new();
    disk.put("/home/s/orders", b"a list of what to buy");
    let refused = create(&disk).unwrap_err();
    assert!(
        matches!(&refused, StoreError::StrangeFolder { path } if path.ends_with("orders")),
        "{refused:?}"
    );
}

#[test]
fn a_link_in_place_of_a_sub_folder_is_refused() {
    let disk = SimVfs::new();
    disk.put("/home/s/studio.ron", b"");
    disk.put_link("/home/s/orders");
    let refused = StudioFolder::open(Path::new(ROOT), Arc::new(disk.clone()));
    assert!(matches!(refused, Err(StoreError::StrangeFolder { path }) if path.ends_with("orders")));
}

#[test]
fn a_studio_may_be_reached_by_a_link_and_nothing_in_it_leads_elsewhere() {
    use std::os::unix::fs::symlink;
    let dir = tempfile::tempdir().unwrap();
    let (root, link) = (dir.path().join("s"), dir.path().join("link"));
    let vfs = || Arc::new(DiskVfs);
    drop(StudioFolder::create(&root, vfs(), &1_u8).unwrap());
    symlink(&root, &link).unwrap();
    let folder = StudioFolder::open(&link, vfs()).unwrap();
    assert!(matches!(folder.save(&order(), &note("old")), SaveOutcome::Saved(_)));
    assert!(root.join("orders/a2b-c3x.ron").exists());
    // A new studio below a linked folder has its name confirmed as well.
    drop(StudioFolder::create(&dir.path().join("link/papers/inner"), vfs(), &1_u8).unwrap());
    std::fs::remove_dir_all(root.join("papers/inner")).unwrap();
    // Another folder is linked where the papers of an order belong.
    let theirs = dir.path().join("theirs");
    std::fs::create_dir(&theirs).unwrap();
    std::fs::write(theirs.join("letter.pdf"), b"theirs").unwrap();
    symlink(&theirs, root.join("papers/a2b-c3x")).unwrap();
    let why = folder.remove_papers("A2B-C3X").unwrap_err();
    assert!(matches!(&why, StoreError::StrangeFolder { path } if path.ends_with("a2b-c3x")), "{why}");
    assert!(folder.papers("A2B-C3X").is_err());
    assert_eq!(std::fs::read(theirs.join("letter.pdf")).unwrap(), b"theirs");
}

#[test]
fn a_document_in_a_sub_folder_made_late_survives_a_power_cut() {
    for after in 0..4 {
        let disk = SimVfs::new();
        disk.put("/home/s/studio.ron", b"");
        // Making the sub-folders at opening fails, and then the first attempt to save does.
        disk.arm(Fault::always(Op::MakeDir, Trouble::Full));
        let folder = open(&disk);
        assert_eq!(folder.troubles().len(), SUB_FOLDERS.len());
        folder.keep_no_history_of(&order());
        disk.arm(Fault::once(after, Trouble::Device));
        let first = folder.save(&order(), &note("new"));
        assert!(matches!(first, SaveOutcome::NotSaved(_)), "{after} {first:?}");
        disk.disarm();
        assert!(matches!(folder.save(&order(), &note("new")), SaveOutcome::Saved(_)));
        for found in disk.crash_states() {
            assert_eq!(title(found.get(FILE)).as_deref(), Some("new"), "{after}");
        }
    }
}

#[test]
fn a_document_that_was_changed_since_it_was_saved_is_told_until_it_is_saved_again() {
    let disk = disk_with_order();
    let text = String::from_utf8(disk.get(FILE).unwrap()).unwrap();
    disk.put(FILE, text.replacen("old", "odd", 1).as_bytes());
    let folder = open(&disk);
    assert_eq!(folder.changed_since_saved(), []);
    assert_eq!(load(&folder), Loaded::Whole(note("odd")), "it reads as what it is");
    assert_eq!(folder.changed_since_saved(), [order()]);
    disk.put(FILE, text.as_bytes());
    assert_eq!(load(&folder), Loaded::Whole(note("old")));
    assert_eq!(folder.changed_since_saved(), [], "the right copy was put back");
    disk.put(FILE, text.replacen("old", "odd", 1).as_bytes());
    assert_eq!(load(&folder), Loaded::Whole(note("odd")));
    assert!(matches!(folder.save(&order(), &note("new")), SaveOutcome::Saved(_)));
    assert_eq!(folder.changed_since_saved(), []);
    // Whoever takes the last line away says that it was meant.
    let (meant, _) = text.rsplit_once("// sum ").unwrap();
    disk.put(FILE, meant.replacen("old", "odd", 1).as_bytes());
    assert_eq!(load(&folder), Loaded::Whole(note("odd")));
    assert_eq!(folder.changed_since_saved(), []);
}

#[test]
fn only_what_a_save_of_this_very_folder_leaves_is_swept() {
    let disk = disk_with_order();
    let mark = "abcdefghij12.tmp";
    let photo = PhotoName::of(b"x", "jpg").unwrap();
    let ours = [
        format!("/home/s/.studio.ron.{mark}"),
        format!("/home/s/..heads.{mark}"),
        format!("/home/s/.probe.{mark}"),
        format!("/home/s/..forgotten.{mark}"),
        format!("/home/s/.{}.{mark}", crate::backup::NOTE),
        format!("/home/s/orders/.a2b-c3x.ron.{mark}"),
        format!("/home/s/money/.2026.ron.{mark}"),
        format!("/home/s/photos/.{photo}.{mark}"),
        format!("/home/s/papers/a2b-c3x/.receipt.pdf.{mark}"),
    ];
    let strangers = [
        format!("/home/s/.notes.txt.{mark}"),
        format!("/home/s/.a2b-c3x.ron.{mark}"),
        format!("/home/s/orders/.syncthing.notes.{mark}"),
        format!("/home/s/orders/.letter.odt.{mark}"),
        format!("/home/s/money/.a2b-c3x.ron.{mark}"),
        format!("/home/s/photos/.holiday.jpg.{mark}"),
        format!("/home/s/papers/.receipt.pdf.{mark}"),
        format!("/home/s/mine/.a2b-c3x.ron.{mark}"),
        // Earlier versions have no temporary files.
        format!("/home/s/.history/orders/a2b-c3x/.a2b-c3x.ron.{mark}"),
        "/home/s/orders/.a2b-c3x.ron.Ab12Cd".to_owned(),
        "/home/s/orders/~a2b-c3x.ron.tmp".to_owned(),
    ];
    ours.iter().chain(&strangers).for_each(|path| disk.put(path, b"half"));
    let folder = open(&disk);
    assert_eq!((folder.swept(), folder.troubles().len()), (ours.len(), 0));
    assert!(ours.iter().all(|path| disk.get(path).is_none()));
    assert!(strangers.iter().all(|path| disk.get(path).is_some()));
}
