//! Disks a backup goes to that do not do what they should, and what is in a studio that no backup takes.

use std::io::Read;

use super::*;
use crate::vfs::NewFile;

/// The computer's own disk, but that it knows no second names, or gives something else back than what was written.
#[derive(Default)]
struct Odd {
    no_links: bool,
    gives_back: Option<Vec<u8>>,
}

impl Outside for Odd {
    fn is_there(&self, path: &Path) -> io::Result<bool> {
        Elsewhere.is_there(path)
    }
    fn create_new(&self, path: &Path) -> io::Result<Box<dyn NewFile>> {
        Elsewhere.create_new(path)
    }
    fn open(&self, path: &Path) -> io::Result<Box<dyn Read>> {
        match &self.gives_back {
            Some(bytes) => Ok(Box::new(Cursor::new(bytes.clone()))),
            None => Elsewhere.open(path),
        }
    }
    fn link(&self, from: &Path, to: &Path) -> io::Result<()> {
        if self.no_links { Err(io::ErrorKind::Unsupported.into()) } else { Elsewhere.link(from, to) }
    }
    fn rename(&self, from: &Path, to: &Path) -> io::Result<()> {
        Elsewhere.rename(from, to)
    }
    fn remove(&self, path: &Path) -> io::Result<()> {
        Elsewhere.remove(path)
    }
    fn sync_dir(&self, dir: &Path) -> io::Result<()> {
        Elsewhere.sync_dir(dir)
    }
}

/// What a backup onto that disk came to, and what lies there then.
fn onto(disk: &Odd, folder: &StudioFolder) -> (Result<Contents, BackupError>, Vec<String>) {
    let dir = tempfile::tempdir().unwrap();
    let made = to_file_on(disk, folder, &about_it(), &dir.path().join("b.tar"), &mut |_| true);
    let names = std::fs::read_dir(dir.path()).unwrap();
    (made, names.map(|entry| entry.unwrap().file_name().into_string().unwrap()).collect())
}

#[test]
fn a_disk_without_second_names_takes_a_backup_as_well() {
    let folder = studio(&SimVfs::new());
    let whole = made(&folder).1;
    for no_links in [false, true] {
        let (contents, names) = onto(&Odd { no_links, ..Odd::default() }, &folder);
        assert_eq!((contents.unwrap().files, names), (whole.files.clone(), vec!["b.tar".to_owned()]));
    }
}

#[test]
fn a_disk_that_gives_back_another_backup_has_made_none() {
    let folder = studio(&SimVfs::new());
    let (own, _) = made(&folder);
    let mut of_another_day = Vec::new();
    let about = About { made: "2026-11-27T00:00:00.000Z".to_owned(), ..about_it() };
    write(&folder, &about, &mut of_another_day, &mut |_| true).unwrap();
    let others = studio(&SimVfs::new());
    assert!(matches!(
        others.save(&DocPath::client("ida").unwrap(), &"new".to_owned()),
        SaveOutcome::Saved(_)
    ));
    let (of_other_files, _) = made(&others);
    for (back, is_ours) in
        [(own, true), (of_another_day, false), (of_other_files, false), (Vec::new(), false)]
    {
        let (contents, names) = onto(&Odd { gives_back: Some(back), ..Odd::default() }, &folder);
        match contents {
            Ok(_) => assert!(is_ours && names == ["b.tar"]),
            Err(why) => {
                assert!(!is_ours && matches!(why, BackupError::Different { .. }), "{why}");
                assert_eq!(names, [""; 0]);
            }
        }
    }
}

#[test]
fn a_folder_that_is_none_of_the_studios_is_named_and_not_gone_through() {
    let disk = SimVfs::new();
    let folder = studio(&disk);
    for stranger in ["holiday/sea.jpg", "photos/holiday/sea.jpg", "orders.old/a2b-c3h.ron"] {
        disk.put(Path::new("/home/s").join(stranger), b"theirs");
    }
    let (_, contents) = made(&folder);
    let mut strangers = contents.left_out.strangers.clone();
    strangers.sort();
    assert_eq!(strangers, ["Notes.txt", "holiday", "orders.old", "photos/holiday"]);
    assert!(!contents.left_out.is_empty());
    let unread = LeftOut { strangers: Vec::new(), unread: vec!["orders/a2b-c3h.ron".to_owned()] };
    assert!(!unread.is_empty() && LeftOut::default().is_empty());
}

#[test]
fn there_is_room_for_the_lists_of_the_largest_studio() {
    // A hundred thousand orders with ten files each, of which a line takes up to 150 letters; a head is one short sentence.
    assert!(cap_in_backup(SUMS).is_some_and(|cap| cap >= 1_000_000 * 150), "{:?}", cap_in_backup(SUMS));
    assert!(cap_in_backup(HEAD).is_some_and(|cap| cap >= 10_000), "{:?}", cap_in_backup(HEAD));
}

#[test]
fn a_document_lies_in_a_backup_before_what_it_names_and_all_of_it_is_counted() {
    let folder = studio(&SimVfs::new());
    let (bytes, contents) = made(&folder);
    let (mut folders, mut whole) = (Vec::new(), 0);
    let read = read(&mut Cursor::new(&bytes), Path::new("b.tar"), &mut |name, bytes| {
        folders.push(name.split_once('/').map_or("", |(folder, _)| folder).to_owned());
        whole += bytes.len() as u64;
        true
    });
    folders.dedup();
    assert_eq!(folders, ["", "shelf", "clients", "money", "orders", ".history", "photos", "papers"]);
    assert_eq!((contents.bytes, read.unwrap().bytes), (whole, whole));
}

#[test]
fn what_differs_between_a_list_and_what_was_read_is_named() {
    let of = |bytes: &[u8]| Digest::of(bytes);
    let files: BTreeMap<String, Digest> =
        [("a.ron", of(b"a")), ("b.ron", of(b"b"))].map(|(path, digest)| (path.to_owned(), digest)).into();
    let said = |lines: &[(&str, Digest)]| {
        let lines: Vec<String> = lines.iter().map(|(path, digest)| format!("{digest}  {path}\n")).collect();
        differing(&lines.concat(), &files)
    };
    let (head, a, b) = ((HEAD, of(b"head")), ("a.ron", of(b"a")), ("b.ron", of(b"b")));
    assert_eq!(said(&[head, a]), "b.ron is in it and not on its list");
    assert_eq!(said(&[head, a, ("b.ron", of(b"another"))]), "b.ron is not what was put into it");
    assert_eq!(said(&[head, a, b, ("c.ron", of(b"c"))]), "c.ron is missing from it");
    assert_eq!(said(&[head, a, b]), "its list of digests is damaged");
}

#[test]
fn only_names_that_a_studio_has_are_in_a_backup() {
    let photo = PhotoName::of(b"one", "jpg").unwrap();
    let kept = "000001.2026-03-29t00-30-00-123z.0123456789abcdef.ron";
    let ours = [
        ".heads".to_owned(),
        FORGOTTEN.to_owned(),
        "studio.ron".to_owned(),
        "orders/a2b-c3h.ron".to_owned(),
        "orders/a2b-c3h.conflict-1.ron".to_owned(),
        format!("photos/{photo}"),
        "papers/a2b-c3h/receipt.pdf".to_owned(),
        "templates/hello.txt".to_owned(),
        format!(".history/orders/a2b-c3h/{kept}"),
        format!(".history/studio/studio/{kept}"),
    ];
    assert!(ours.iter().all(|name| cap_of(name).is_some()), "{:?}", ours.each_ref().map(|name| cap_of(name)));
    for other in [
        "orders/letter.txt",
        "holiday/a2b-c3h.ron",
        "holiday/a2b-c3h.conflict-1.ron",
        "photos/sea.jpg",
        "papers/A2B-C3H/receipt.pdf",
        "papers/a2b-c3h/what?.pdf",
        "templates/what?.txt",
        &format!(".history/holiday/a2b-c3h/{kept}"),
        &format!(".history/orders/what?/{kept}"),
        ".history/orders/a2b-c3h/letter.ron",
    ] {
        assert_eq!(cap_of(other), None, "{other}");
    }
}

#[test]
fn putting_back_says_how_far_it_is_from_one_file_to_the_next() {
    let (bytes, _) = made(&studio(&SimVfs::new()));
    let disk = SimVfs::new();
    disk.put("/home/x", b"");
    let mut said = Vec::new();
    put_back_while(&bytes, &disk, &Forgotten::default(), &mut |percent| {
        said.push(percent);
        true
    })
    .unwrap();
    assert!(said.is_sorted(), "{said:?}");
    let writing: Vec<u8> = said.iter().copied().filter(|percent| (31..80).contains(percent)).collect();
    assert!(writing.len() > 5, "{said:?}");
}

#[test]
fn a_backup_is_a_plain_file_that_is_there() {
    let dir = tempfile::tempdir().unwrap();
    let (bytes, _) = made(&studio(&SimVfs::new()));
    let file = dir.path().join("b.tar");
    std::fs::write(&file, bytes).unwrap();
    let back = |path: &Path| {
        let disk = SimVfs::new();
        disk.put("/home/x", b"");
        let to = (Path::new("/home/back"), Arc::new(disk) as Arc<dyn crate::vfs::Vfs>);
        restore(path, to.0, to.1, &mut |_| Ok(Forgotten::default()), &mut |_| true)
    };
    assert!(back(&file).is_ok());
    assert!(matches!(back(&dir.path().join("none.tar")), Err(BackupError::NoFile { .. })));
    let pipe = dir.path().join("pipe");
    rustix::fs::mkfifoat(rustix::fs::CWD, &pipe, rustix::fs::Mode::RUSR).unwrap();
    for no_file in [dir.path(), &pipe] {
        let why = back(no_file).unwrap_err();
        assert!(matches!(why, BackupError::NotRead { .. }), "{why}");
    }
}

#[test]
fn the_longest_name_is_put_where_the_standard_has_room_for_it() {
    let written = |name: &str| {
        let mut out = Vec::new();
        tar::write_file(&mut out, name, b"x").map(|()| out)
    };
    let (fits, too_long) = (format!("p/{}", "x".repeat(100)), format!("p/{}", "x".repeat(101)));
    let out = written(&fits).unwrap();
    assert_eq!(
        (out.get(..100).unwrap(), out.get(345..347).unwrap()),
        ("x".repeat(100).as_bytes(), &b"p\0"[..])
    );
    assert_eq!(written(&too_long).unwrap_err().kind(), io::ErrorKind::InvalidFilename);
}

#[test]
fn a_backup_that_ends_too_early_says_so_and_blames_no_disk() {
    let (bytes, _) = made(&studio(&SimVfs::new()));
    for cut in [bytes.len() - 700, bytes.len() / 2, 600] {
        let why = read_all(bytes.get(..cut).unwrap()).unwrap_err();
        assert!(!matches!(why, BackupError::NotRead { .. }), "{cut}: {why}");
    }
}

#[test]
fn what_is_another_file_when_it_is_read_again_is_not_put_back() {
    let (bytes, _) = made(&studio(&SimVfs::new()));
    let place = bytes.windows(5).position(|word| word == b"%PDF\0").unwrap();
    let mut changed = bytes.clone();
    changed[place] = b'#';
    let (disk, mut opened) = (SimVfs::new(), 0);
    disk.put("/home/x", b"");
    let mut open = || {
        opened += 1;
        let bytes = if opened == 1 { bytes.clone() } else { changed.clone() };
        let len = bytes.len() as u64;
        Ok((Box::new(Cursor::new(bytes)) as Box<dyn Read>, len))
    };
    let to = (Path::new("/home/back"), Arc::new(disk.clone()) as Arc<dyn crate::vfs::Vfs>);
    let back =
        restore_from(&mut open, Path::new("b.tar"), to, &mut |_| Ok(Forgotten::default()), &mut |_| true);
    assert!(back.is_err());
    assert_eq!(
        disk.get("/home/back/papers/a2b-c3h/receipt-0123.pdf"),
        None,
        "it is not what was looked through"
    );
    assert!(disk.get("/home/back/orders/a2b-c3h.ron").is_some(), "what came before it was put back");
    assert_eq!(disk.get("/home/back/studio.ron"), None, "and it is no studio yet");
}
