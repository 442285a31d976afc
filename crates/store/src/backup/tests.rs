mod elsewhere;

use std::io::Cursor;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use super::*;
use crate::folder::Loaded;
use crate::forgotten::Forgotten;
use crate::meanwhile::Meanwhile;
use crate::save::SaveOutcome;
use crate::sim::{Fault, Op, SimVfs, Trouble};
use crate::vfs::DiskVfs;

fn about_it() -> About {
    About { studio: "studio-under-test".to_owned(), made: "2026-11-26T00:00:00.000Z".to_owned() }
}

/// A studio with one of everything.
fn studio(disk: &SimVfs) -> StudioFolder {
    disk.put("/home/x", b"");
    let folder = StudioFolder::create(Path::new("/home/s"), Arc::new(disk.clone()), &1_u8).unwrap();
    let long = "a".repeat(40);
    for path in [
        DocPath::client(&long).unwrap(),
        DocPath::order("A2B-C3H").unwrap(),
        DocPath::shelf("lamp").unwrap(),
        DocPath::money(2026).unwrap(),
    ] {
        for text in ["old", "new"] {
            assert!(matches!(folder.save(&path, &text.to_owned()), SaveOutcome::Saved(_)));
        }
    }
    folder.keep_photo(&[7; 1_000], "jpg").unwrap();
    folder.issue_paper("A2B-C3H", "receipt-0123.pdf", b"%PDF").unwrap();
    disk.put("/home/s/.heads", b"a2b-c3h 1 x\n");
    disk.put("/home/s/orders/a2b-c3h.conflict-1.ron", b"theirs");
    disk.put("/home/s/Notes.txt", b"mine");
    disk.put("/home/s/orders/.a2b-c3h.ron.abcdefghij12.tmp", b"half");
    folder
}

fn made(folder: &StudioFolder) -> (Vec<u8>, Contents) {
    let mut bytes = Vec::new();
    let contents = write(folder, &about_it(), &mut bytes, &mut |_| true).unwrap();
    (bytes, contents)
}

fn read_all(bytes: &[u8]) -> Result<Contents, BackupError> {
    read(&mut Cursor::new(bytes), Path::new("b.tar"), &mut |_, _| true)
}

fn only_notes() -> LeftOut {
    LeftOut { strangers: vec!["Notes.txt".to_owned()], unread: Vec::new() }
}

fn put_back(bytes: &[u8], disk: &SimVfs, forgotten: &Forgotten) -> Result<Restored, BackupError> {
    put_back_while(bytes, disk, forgotten, &mut |_| true)
}

fn put_back_while(
    bytes: &[u8],
    disk: &SimVfs,
    forgotten: &Forgotten,
    going: Going<'_>,
) -> Result<Restored, BackupError> {
    disk.put("/new/x", b"");
    let mut open = || Ok((Box::new(Cursor::new(bytes.to_vec())) as Box<dyn Read>, bytes.len() as u64));
    let to = (Path::new("/new/s"), Arc::new(disk.clone()) as Arc<dyn crate::vfs::Vfs>);
    restore_from(&mut open, Path::new("b.tar"), to, &mut |_| Ok(forgotten.clone()), going)
}

#[test]
fn what_is_put_back_is_byte_for_byte_what_was_backed_up() {
    let disk = SimVfs::new();
    let folder = studio(&disk);
    let (bytes, contents) = made(&folder);
    assert_eq!(contents.left_out, only_notes(), "what is not the studio's is named");
    assert_eq!(read_all(&bytes).unwrap().files, contents.files);
    let target = SimVfs::new();
    let back = put_back(&bytes, &target, &Forgotten::default()).unwrap();
    assert_eq!(back.contents.files, contents.files);
    let mut compared = 0;
    for path in disk.paths() {
        let Ok(below) = path.strip_prefix("/home/s") else { continue };
        let name = below.display().to_string();
        if contents.files.contains_key(&name) {
            assert_eq!(target.get(Path::new("/new/s").join(below)), disk.get(&path), "{name}");
            compared += 1;
        }
    }
    assert_eq!(compared, contents.count());
    assert!(compared >= 12, "{:?}", contents.files);
    // Whatever the power does afterwards, all of it is there.
    for disk in target.crash_states() {
        assert!(contents.files.keys().all(|name| disk.get(Path::new("/new/s").join(name)).is_some()));
    }
    // The new studio can be backed up to the same files, and a second time nothing is written over.
    let again = made(&back.folder).1;
    assert_eq!(again.files, contents.files);
    drop(back);
    let refused = put_back(&bytes, &target, &Forgotten::default()).unwrap_err();
    assert!(matches!(refused, BackupError::Store(StoreError::AlreadyAStudio { .. })), "{refused}");
}

#[test]
fn who_is_to_be_forgotten_is_written_before_the_studio_is_whole() {
    let disk = SimVfs::new();
    let (bytes, _) = made(&studio(&disk));
    let mut list = Forgotten::default();
    list.add("ingrid", "2026-11-26", ["a2b-c3h".to_owned()]);
    for after in 0..400 {
        let target = SimVfs::new();
        target.put("/new/x", b"");
        target.arm(Fault { lasting: true, ..Fault::once(after, Trouble::Device) });
        let done = put_back(&bytes, &target, &list);
        target.disarm();
        for disk in target.crash_states() {
            if disk.get("/new/s/studio.ron").is_some_and(|bytes| !bytes.is_empty()) {
                let text = String::from_utf8(disk.get("/new/s/.forgotten").unwrap()).unwrap();
                assert_eq!(Forgotten::from_text(&text).unwrap(), list, "after {after}");
                assert!(disk.get("/new/s/orders/a2b-c3h.ron").is_some());
            }
        }
        if done.is_ok() {
            assert!(after > 40, "{after} operations");
            return;
        }
    }
    panic!("it never came to its end");
}

#[test]
fn every_fault_while_putting_back_is_told_and_leaves_no_studio() {
    let disk = SimVfs::new();
    let (bytes, _) = made(&studio(&disk));
    let mut struck = 0;
    for trouble in [Trouble::Device, Trouble::Full, Trouble::Denied] {
        for after in 0..400 {
            let target = SimVfs::new();
            target.put("/new/x", b"");
            target.arm(Fault::once(after, trouble));
            let done = put_back(&bytes, &target, &Forgotten::default());
            if target.disarm() == 0 {
                break;
            }
            struck += 1;
            if let Err(why) = &done {
                let said = crate::told(why);
                assert!(said.contains("/new/s") || said.contains("disk"), "{said}");
            }
            // One that is called done holds everything; one that is not is no studio, or a whole one in doubt.
            let whole = target.get("/new/s/orders/a2b-c3h.ron").is_some();
            assert!(done.is_err() || whole, "{trouble:?} after {after}");
            if target.get("/new/s/studio.ron").is_some() {
                assert!(whole, "{trouble:?} after {after}: half of a studio");
            }
        }
    }
    println!("{struck} faults struck");
    assert!(struck > 100, "{struck}");
}

/// Backs a studio up over and over, while another program does something before each reading in turn; gives what came
/// of each.
fn meanwhile(
    op: Op,
    disk: &SimVfs,
    deed: impl Fn(&SimVfs) + Clone + Send + 'static,
) -> Vec<Result<(Vec<u8>, Contents), WriteError>> {
    let mut all = Vec::new();
    loop {
        let busy = Meanwhile::on(&disk.as_seen());
        let folder = StudioFolder::look(Path::new("/home/s"), Arc::new(busy.clone())).unwrap();
        busy.plan(op, all.len(), deed.clone());
        let mut bytes = Vec::new();
        let made = write(&folder, &about_it(), &mut bytes, &mut |_| true);
        if !busy.is_done() {
            return all;
        }
        all.push(made.map(|contents| (bytes, contents)));
    }
}

/// The same studio with a client who is forgotten, closed.
fn closed_studio() -> SimVfs {
    let disk = SimVfs::new();
    drop(studio(&disk));
    disk.put("/home/s/.forgotten", b"heldfast forgotten 1\n");
    disk
}

#[test]
fn a_disk_that_goes_while_it_is_backed_up_makes_no_backup() {
    let disk = closed_studio();
    for op in [Op::Read, Op::List] {
        for leaves_a_folder in [false, true] {
            let all = meanwhile(op, &disk, move |disk| {
                disk.take_away("/home/s");
                if leaves_a_folder {
                    // As where a disk was mounted over an empty folder.
                    disk.put("/home/s/other", b"");
                }
            });
            assert!(all.len() > 6, "{op:?}");
            for (at, made) in all.into_iter().enumerate() {
                let vanished = matches!(&made, Err(WriteError::Studio(StoreError::Vanished { .. })));
                assert!(vanished, "{op:?} {at}: {made:?}");
            }
        }
    }
    // One that has no list of who is forgotten is missed all the same.
    disk.take_away("/home/s/.forgotten");
    let all = meanwhile(Op::Read, &disk, |disk| disk.take_away("/home/s"));
    assert!(!all.is_empty() && all.iter().all(Result::is_err));
}

#[test]
fn a_file_that_was_listed_and_is_gone_when_it_is_read_is_named_and_who_is_forgotten_is_never_left_out() {
    let disk = closed_studio();
    let folder = StudioFolder::look(Path::new("/home/s"), Arc::new(disk.clone())).unwrap();
    let whole = made(&folder).1;
    for path in whole.files.keys() {
        let file = Path::new("/home/s").join(path);
        let all = meanwhile(Op::Read, &disk, move |disk| disk.take_away(&file));
        let mut named = 0;
        for made in &all {
            match made {
                Ok((_, contents)) => {
                    let unread = &contents.left_out.unread;
                    named +=
                        unread.iter().filter(|said| said.contains(&format!("/{path} was there"))).count();
                    assert!(unread.len() <= 1, "{path}: {unread:?}");
                    let is_late = path.starts_with("photos") || path.starts_with("papers");
                    let is_told = contents.files.contains_key(path) || !unread.is_empty();
                    assert!(is_told || is_late || path.starts_with(HISTORY), "{path}");
                }
                Err(WriteError::Studio(StoreError::Vanished { path: gone })) => {
                    assert!(gone.ends_with(path), "{gone:?}");
                    named += 1;
                }
                Err(why) => panic!("{path}: {why:?}"),
            }
        }
        assert_eq!(named == 0, path.starts_with(HISTORY), "{path}: earlier versions go while one works");
        let fails = matches!(path.as_str(), "studio.ron" | FORGOTTEN);
        assert_eq!(all.iter().any(Result::is_err), fails, "{path}");
        assert!(path != FORGOTTEN || all.iter().all(Result::is_err));
    }
}

#[test]
fn a_photo_that_came_while_a_backup_is_made_is_in_it_where_an_order_in_it_names_it() {
    let disk = closed_studio();
    let name = PhotoName::of(&[9; 100], "jpg").unwrap().to_string();
    let words = format!("see {name}");
    let all = meanwhile(Op::Read, &disk, move |disk| {
        let folder = StudioFolder::open(Path::new("/home/s"), Arc::new(disk.clone())).unwrap();
        let order = DocPath::order("A2B-C3H").unwrap();
        assert!(matches!(folder.load::<String>(&order).unwrap(), Loaded::Whole(_)));
        folder.keep_photo(&[9; 100], "jpg").unwrap();
        assert!(matches!(folder.save(&order, &words), SaveOutcome::Saved(_)));
    });
    let mut naming = 0;
    for made in all {
        let (bytes, contents) = made.unwrap();
        let mut names_it = false;
        read(&mut Cursor::new(bytes), Path::new("b.tar"), &mut |path, bytes| {
            names_it |= path == "orders/a2b-c3h.ron" && String::from_utf8_lossy(bytes).contains(&name);
            true
        })
        .unwrap();
        naming += usize::from(names_it);
        assert!(!names_it || contents.files.contains_key(&format!("photos/{name}")), "{contents:?}");
    }
    assert!(naming > 3, "{naming}");
}

#[test]
fn the_first_client_who_is_forgotten_while_a_backup_is_made_is_forgotten_in_it() {
    let disk = closed_studio();
    disk.take_away("/home/s/.forgotten");
    let all = meanwhile(Op::Read, &disk, |disk| {
        let folder = StudioFolder::open(Path::new("/home/s"), Arc::new(disk.clone())).unwrap();
        let mut list = Forgotten::default();
        list.add("ingrid", "2026-11-26", []);
        assert!(matches!(folder.save_forgotten(&list), SaveOutcome::Saved(_)));
    });
    assert!(all.len() > 6);
    for (at, made) in all.into_iter().enumerate() {
        assert!(made.unwrap().1.files.contains_key(FORGOTTEN), "{at}");
    }
}

/// A writer that is full after some bytes.
struct Full(usize);

impl Write for Full {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        let taken = bytes.len().min(self.0);
        self.0 -= taken;
        if taken == 0 { Err(io::ErrorKind::StorageFull.into()) } else { Ok(taken) }
    }

    fn flush(&mut self) -> io::Result<()> {
        Ok(())
    }
}

#[test]
fn a_full_disk_at_any_byte_makes_no_backup() {
    let disk = SimVfs::new();
    let folder = studio(&disk);
    let (bytes, _) = made(&folder);
    for room in (0..bytes.len()).step_by(97) {
        let failed = write(&folder, &about_it(), &mut Full(room), &mut |_| true);
        assert!(matches!(failed, Err(WriteError::Out(_))), "{room}");
    }
    assert!(write(&folder, &about_it(), &mut Full(bytes.len()), &mut |_| true).is_ok());
}

#[test]
fn a_backup_is_a_new_file_outside_the_studio_and_nothing_is_left_of_one_that_was_stopped() {
    let dir = tempfile::tempdir().unwrap();
    let root = dir.path().join("studio");
    let folder = StudioFolder::create(&root, Arc::new(DiskVfs), &1_u8).unwrap();
    let file = dir.path().join("b.tar");
    let mut go = |_| true;
    let contents = to_file(&folder, &about_it(), &file, &mut go).unwrap();
    assert_eq!(contents.count(), 1);
    let before = std::fs::read(&file).unwrap();
    let taken = to_file(&folder, &about_it(), &file, &mut go).unwrap_err();
    assert!(matches!(taken, BackupError::Taken { .. }), "{taken}");
    assert_eq!(std::fs::read(&file).unwrap(), before);
    let inside = to_file(&folder, &about_it(), &root.join("papers/b.tar"), &mut go).unwrap_err();
    assert!(matches!(inside, BackupError::Inside { .. }), "{inside}");
    let stopped = to_file(&folder, &about_it(), &dir.path().join("c.tar"), &mut |_| false).unwrap_err();
    assert!(matches!(stopped, BackupError::Stopped), "{stopped}");
    let nowhere = to_file(&folder, &about_it(), &dir.path().join("no/c.tar"), &mut go).unwrap_err();
    assert!(matches!(nowhere, BackupError::NotWritten { .. }), "{nowhere}");
    let left: Vec<_> =
        std::fs::read_dir(dir.path()).unwrap().map(|entry| entry.unwrap().file_name()).collect();
    assert_eq!(left.len(), 2, "{left:?}");
}

#[test]
fn every_cut_of_a_backup_and_every_change_of_a_block_is_told() {
    let disk = SimVfs::new();
    let (bytes, _) = made(&studio(&disk));
    for end in (0..bytes.len()).step_by(61).chain([bytes.len() - 1, bytes.len() - 512]) {
        assert!(read_all(&bytes[..end]).is_err(), "cut at {end}");
    }
    let mut changed = 0;
    for at in (0..bytes.len()).step_by(7) {
        let mut other = bytes.clone();
        other[at] ^= 0x10;
        let target = SimVfs::new();
        assert!(put_back(&other, &target, &Forgotten::default()).is_err(), "changed at {at}");
        assert_eq!(target.paths(), [Path::new("/new/x")], "nothing is written where it is not good");
        changed += 1;
    }
    println!("{} bytes, {changed} changes told", bytes.len());
    let trailing = [bytes, vec![0; 512]].concat();
    assert!(matches!(read_all(&trailing), Err(BackupError::Odd { odd: Odd::Trailing, .. })));
}

/// A container with one more entry, well formed as far as tar goes, and a list that agrees with it.
fn with_entry(name: &str, kind: u8, content: &[u8]) -> Vec<u8> {
    let mut out = Vec::new();
    let head = head_text(&about_it());
    let files =
        BTreeMap::from([(name.to_owned(), Digest::of(content)), ("studio.ron".to_owned(), Digest::of(b"x"))]);
    tar::write_file(&mut out, HEAD, head.as_bytes()).unwrap();
    tar::write_file(&mut out, "studio.ron", b"x").unwrap();
    let at = out.len();
    tar::write_file(&mut out, name, content).unwrap();
    out[at + 156] = kind;
    let sum: u64 = out[at..at + 512]
        .iter()
        .enumerate()
        .map(|(no, byte)| if (148..156).contains(&no) { 32 } else { u64::from(*byte) })
        .sum();
    out[at + 148..at + 156].copy_from_slice(format!("{sum:06o}\0 ").as_bytes());
    tar::write_file(&mut out, SUMS, sums_text(&head, &files).as_bytes()).unwrap();
    tar::write_end(&mut out).unwrap();
    out
}

#[test]
fn a_hostile_backup_is_refused_with_a_sentence_and_writes_nothing() {
    let good = with_entry("shelf/lamp.ron", b'0', b"x");
    assert!(read_all(&good).is_ok(), "{:?}", read_all(&good));
    let names = [
        "../evil.ron",
        "/etc/passwd",
        "shelf/../../evil.ron",
        "shelf/./lamp.ron",
        "shelf//lamp.ron",
        "Shelf/lamp.ron",
        "shelf/lamp.ron/",
        "shelf\\lamp.ron",
        ".bashrc",
        ".lock",
        ".history/../x",
        "photos/x.jpg",
        "papers/a2b-c3h/../x",
        "shelf/con.ron",
        "orders/.hidden.ron",
        "papers/A2B-C3H/x.pdf",
        "other/x.ron",
        "",
        "shelf/lämp.ron",
        "SHA256SUMS.old",
    ];
    for name in names {
        let why = read_all(&with_entry(name, b'0', b"x")).unwrap_err();
        assert!(matches!(why, BackupError::Odd { odd: Odd::Name(_), .. }), "{name}: {why}");
    }
    // The kinds of POSIX.1-1988: hard link, symbolic link, character and block device, folder, pipe; then what pax and GNU
    // tar add (IEEE Std 1003.1 "x" and "g"; "L" from memory).
    for kind in b"1234567xgLK" {
        let why = read_all(&with_entry("shelf/lamp.ron", *kind, b"x")).unwrap_err();
        assert!(matches!(why, BackupError::Odd { odd: Odd::NotAFile(_), .. }), "{kind}: {why}");
        assert!(why.to_string().contains("plain files only"), "{why}");
    }
    for twice in ["studio.ron", HEAD, SUMS] {
        let why = read_all(&with_entry(twice, b'0', b"x")).unwrap_err();
        assert!(matches!(why, BackupError::Odd { odd: Odd::Twice(_), .. }), "{twice}: {why}");
    }
}

#[test]
fn a_size_that_no_such_file_has_is_refused_before_any_room_is_made_for_it() {
    let mut bomb = with_entry("shelf/lamp.ron", b'0', b"x");
    let at = 2 * 1024;
    assert_eq!(&bomb[at..at + 14], b"shelf/lamp.ron");
    for (size, wanted) in [("77777777777", "no such file is larger"), ("00040000000", "ends too early")] {
        bomb[at + 124..at + 135].copy_from_slice(size.as_bytes());
        let sum: u64 = bomb[at..at + 512]
            .iter()
            .enumerate()
            .map(|(no, byte)| if (148..156).contains(&no) { 32 } else { u64::from(*byte) })
            .sum();
        bomb[at + 148..at + 156].copy_from_slice(format!("{sum:06o}\0 ").as_bytes());
        let said = read_all(&bomb).unwrap_err().to_string();
        assert!(said.contains(wanted), "{said}");
    }
}

#[test]
fn another_version_another_kind_of_file_and_a_wrong_list_are_told() {
    let swap = |from: &str, to: &str| {
        let head = head_text(&about_it()).replace(from, to);
        let files = BTreeMap::from([("studio.ron".to_owned(), Digest::of(b"x"))]);
        let mut out = Vec::new();
        tar::write_file(&mut out, HEAD, head.as_bytes()).unwrap();
        tar::write_file(&mut out, "studio.ron", b"x").unwrap();
        tar::write_file(&mut out, SUMS, sums_text(&head, &files).as_bytes()).unwrap();
        tar::write_end(&mut out).unwrap();
        out
    };
    assert!(read_all(&swap("", "")).is_ok());
    let newer = read_all(&swap("backup 1", "backup 2")).unwrap_err();
    assert!(matches!(newer, BackupError::Newer { version: 2, .. }), "{newer}");
    for (from, to) in
        [("heldfast", "other"), ("studio ", "shop "), ("backup 1", "backup x"), ("backup 1", "backup 0")]
    {
        assert!(matches!(read_all(&swap(from, to)), Err(BackupError::Unsound { .. })), "{from} {to}");
    }
    for junk in [&b""[..], b"PK\x03\x04 a zip file", &[0; 1024], &[b'x'; 2048]] {
        assert!(read_all(junk).is_err());
    }
    // Without the digest of a file, or with one of a file that is not there.
    let head = head_text(&about_it());
    for files in [vec![], vec!["studio.ron", "shelf/lamp.ron"]] {
        let files = files.into_iter().map(|name| (name.to_owned(), Digest::of(b"x"))).collect();
        let mut out = Vec::new();
        tar::write_file(&mut out, HEAD, head.as_bytes()).unwrap();
        tar::write_file(&mut out, "studio.ron", b"x").unwrap();
        tar::write_file(&mut out, SUMS, sums_text(&head, &files).as_bytes()).unwrap();
        tar::write_end(&mut out).unwrap();
        let said = read_all(&out).unwrap_err().to_string();
        assert!(said.contains("not on its list") || said.contains("is missing from it"), "{said}");
    }
}

/// The header's fields are those of IEEE Std 1003.1, pax, table "ustar Header Block"; the sum is checked here by hand.
#[test]
fn a_header_is_the_one_that_the_standard_describes() {
    let mut out = Vec::new();
    let name = format!("clients/{}/{}.ron", "b".repeat(60), "c".repeat(60));
    tar::write_file(&mut out, &name, b"hello").unwrap();
    assert_eq!(out.len(), 1024);
    let text =
        |at: usize, len: usize| std::str::from_utf8(&out[at..at + len]).unwrap().trim_end_matches('\0');
    assert_eq!(format!("{}/{}", text(345, 155), text(0, 100)), name);
    assert_eq!(
        (text(124, 12), text(257, 6), &out[263..265], out[156]),
        ("00000000005", "ustar", &b"00"[..], b'0')
    );
    let sum: u32 = out[..512]
        .iter()
        .enumerate()
        .map(|(at, byte)| if (148..156).contains(&at) { 32 } else { u32::from(*byte) })
        .sum();
    assert_eq!(text(148, 6), format!("{sum:06o}"));
    assert!(tar::write_file(&mut Vec::new(), &"x".repeat(300), b"").is_err());
}

#[test]
fn when_the_last_backup_was_made_is_noted_and_nothing_depends_on_it() {
    let disk = SimVfs::new();
    let folder = studio(&disk);
    assert_eq!(folder.last_backup(), None);
    let made_at = "2026-11-26T00:00:00.000Z".to_owned();
    for (to, noted) in [("/media/b.tar", Some("/media/b.tar")), ("/media/two\nlines.tar", None)] {
        assert!(folder.note_backup(&made_at, Path::new(to)));
        assert_eq!(folder.last_backup(), Some((made_at.clone(), noted.map(PathBuf::from))));
    }
    let (_, contents) = made(&folder);
    assert_eq!(contents.left_out, only_notes(), "the note itself is not in it");
}

#[test]
fn a_file_that_cannot_be_read_is_left_out_and_named_and_the_rest_is_backed_up() {
    let disk = SimVfs::new();
    let folder = studio(&disk);
    disk.put("/home/s/.forgotten", b"heldfast forgotten 1\n");
    let whole = made(&folder).1;
    let (mut without, mut none) = (0, 0);
    for after in 0..200 {
        disk.arm(Fault { only: Some(Op::Read), ..Fault::once(after, Trouble::Device) });
        let mut bytes = Vec::new();
        let made = write(&folder, &about_it(), &mut bytes, &mut |_| true);
        if disk.disarm() == 0 {
            assert_eq!((without, none), (whole.count() - 2, 2));
            return;
        }
        match made {
            Ok(contents) => {
                assert_eq!((contents.count(), contents.left_out.unread.len()), (whole.count() - 1, 1));
                let missing = whole.files.keys().find(|path| !contents.files.contains_key(*path)).unwrap();
                let said = &contents.left_out.unread[0];
                assert!(said.contains(missing.as_str()), "{missing}: {said}");
                let back = read_all(&bytes).unwrap();
                assert_eq!(back.files, contents.files, "what is in it is a good backup");
                without += 1;
            }
            // The settings and the list of who is forgotten have to be there.
            Err(WriteError::Studio(why)) => {
                assert!(
                    why.to_string().contains(if none == 0 { "studio.ron" } else { ".forgotten" }),
                    "{why}"
                );
                none += 1;
            }
            Err(why) => panic!("{why:?}"),
        }
    }
    panic!("it never came to its end");
}

#[test]
fn a_folder_that_cannot_be_listed_is_left_out_and_named() {
    let disk = SimVfs::new();
    let folder = studio(&disk);
    let whole = made(&folder).1;
    // The first listing is that of the studio's folder itself, without which there is nothing.
    disk.arm(Fault { only: Some(Op::List), ..Fault::once(1, Trouble::Denied) });
    let contents = made(&folder).1;
    assert_eq!(disk.disarm(), 1);
    assert_eq!(contents.left_out.unread.len(), 1, "{:?}", contents.left_out);
    assert!(contents.count() <= whole.count() && contents.files.contains_key("studio.ron"));
    disk.arm(Fault { only: Some(Op::List), ..Fault::once(0, Trouble::Denied) });
    assert!(write(&folder, &about_it(), &mut Vec::new(), &mut |_| true).is_err());
    disk.disarm();
}

#[test]
fn a_backup_whose_place_the_disk_will_not_confirm_does_not_lie_there() {
    let dir = tempfile::tempdir().unwrap();
    let (beside, path) = (dir.path().join(".b.part"), dir.path().join("b.tar"));
    let sick = || io::Error::other("the folder would not be synced");
    std::fs::write(&beside, b"all of it").unwrap();
    let why = put_in_place(&Elsewhere, &beside, &path, &|| Err(sick())).unwrap_err();
    assert!(matches!(why, BackupError::NotWritten { .. }), "{why}");
    assert!(!path.exists(), "none was made, so none lies there");
    // Where it cannot be taken away either, that is said.
    std::fs::write(&beside, b"all of it").unwrap();
    let stuck = || {
        std::fs::remove_file(&path)?;
        std::fs::create_dir(&path)?;
        Err(sick())
    };
    let why = put_in_place(&Elsewhere, &beside, &path, &stuck).unwrap_err();
    assert!(
        matches!(why, BackupError::InDoubt { .. }) && why.to_string().contains("do not count on it"),
        "{why}"
    );
    std::fs::remove_dir(&path).unwrap();
    // A file that came into being meanwhile stays as it is.
    std::fs::write(&beside, b"all of it").unwrap();
    std::fs::write(&path, b"another's").unwrap();
    let why = put_in_place(&Elsewhere, &beside, &path, &|| Err(sick())).unwrap_err();
    assert!(matches!(why, BackupError::Taken { .. }), "{why}");
    assert_eq!(std::fs::read(&path).unwrap(), b"another's");
}

#[test]
fn reading_back_tells_how_far_it_is_and_can_be_stopped() {
    let dir = tempfile::tempdir().unwrap();
    let folder = StudioFolder::create(&dir.path().join("studio"), Arc::new(DiskVfs), &1_u8).unwrap();
    for number in 0..10_u8 {
        folder.keep_photo(&[number; 100], "jpg").unwrap();
    }
    let file = dir.path().join("b.tar");
    let mut told = Vec::new();
    let stopped = to_file(&folder, &about_it(), &file, &mut |percent| {
        told.push(percent);
        // Writing ends at sixty.
        percent <= 60
    });
    assert!(matches!(stopped, Err(BackupError::Stopped)), "{stopped:?}");
    assert!(told.len() > 10 && told.is_sorted(), "{told:?}");
    assert_eq!(std::fs::read_dir(dir.path()).unwrap().count(), 1, "only the studio is there");
    told.clear();
    to_file(&folder, &about_it(), &file, &mut |percent| {
        told.push(percent);
        true
    })
    .unwrap();
    assert!(told.is_sorted() && told.iter().filter(|percent| **percent > 60).count() >= 10, "{told:?}");
}

#[test]
fn putting_back_can_be_stopped_at_every_step_and_at_first_before_anything_is_written() {
    let disk = SimVfs::new();
    let (bytes, contents) = made(&studio(&disk));
    let mut asked = Vec::new();
    put_back_while(&bytes, &SimVfs::new(), &Forgotten::default(), &mut |percent| {
        asked.push(percent);
        true
    })
    .unwrap();
    assert!(asked.is_sorted() && asked.len() >= 3 * contents.count(), "{asked:?}");
    for stop in 0..asked.len() {
        let target = SimVfs::new();
        let mut at = 0;
        let stopped = put_back_while(&bytes, &target, &Forgotten::default(), &mut |_| {
            at += 1;
            at <= stop
        });
        let why = stopped.unwrap_err();
        if stop < contents.count() {
            assert!(matches!(why, BackupError::Stopped), "{stop}: {why}");
            assert_eq!(
                target.paths(),
                [Path::new("/new/x")],
                "nothing is written while it is looked through"
            );
        } else {
            assert!(matches!(why, BackupError::Begun { .. }), "{stop}: {why}");
            assert_eq!(target.get("/new/s/studio.ron"), None, "{stop}: half of a studio");
        }
    }
}

/// A backup of one file, whose head names a studio.
fn of_studio(head: &str, settings: &[u8]) -> Vec<u8> {
    let head = head_text(&About { studio: head.to_owned(), ..about_it() });
    let files = BTreeMap::from([("studio.ron".to_owned(), Digest::of(settings))]);
    let mut out = Vec::new();
    tar::write_file(&mut out, HEAD, head.as_bytes()).unwrap();
    tar::write_file(&mut out, "studio.ron", settings).unwrap();
    tar::write_file(&mut out, SUMS, sums_text(&head, &files).as_bytes()).unwrap();
    tar::write_end(&mut out).unwrap();
    out
}

#[test]
fn a_head_names_a_studio_and_no_path_and_the_studio_that_is_in_it() {
    for path in ["../../etc/x", "/etc/x", "a/b", "..", "", "Studio", "a b"] {
        let why = read_all(&of_studio(path, b"x")).unwrap_err();
        assert!(matches!(why, BackupError::Unsound { .. }), "{path}: {why}");
        assert!(why.to_string().contains("is no studio"), "{path}: {why}");
    }
    assert!(read_all(&of_studio("bench", b"x")).is_ok(), "settings that cannot be read say nothing");
    let settings =
        b"(version: 1, kind: \"studio\", body: (studio: \"bench\", name: \"B\", places: [\"tin\"]))";
    assert!(read_all(&of_studio("bench", settings)).is_ok());
    let why = read_all(&of_studio("shop", settings)).unwrap_err().to_string();
    assert!(
        why.contains("its head says it is of studio shop, and the studio.ron in it is of bench"),
        "{why}"
    );
}
