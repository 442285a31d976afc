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
        let lines: String = lines.iter().map(|(path, digest)| format!("{digest}  {path}\n")).collect();
        differing(&lines, &files)
    };
    let (head, a, b) = ((HEAD, of(b"head")), ("a.ron", of(b"a")), ("b.ron", of(b"b")));
    assert_eq!(said(&[head, a]), "b.ron is in it and not on its list");
    assert_eq!(said(&[head, a, ("b.ron", of(b"another"))]), "b.ron is not what was put into it");
    assert_eq!(said(&[head, a, b, ("c.ron", of(b"c"))]), "c.ron is missing from it");
    assert_eq!(said(&[head, a, b]), "its list of digests is damaged");
}
