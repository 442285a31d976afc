//! What keeps a studio safe and brings it back: an earlier version in the place of a file, a backup, and putting one back.

use std::io::{self, Cursor, Read};
use std::path::{Path, PathBuf};
use std::sync::{Arc, LazyLock};

use super::cuts::cut_everywhere;
use super::edits::{Done, Edit, Look, Note, ROOT, Said, TAG, file, look, note, open, studio, writable};
use crate::backup::{self, About, BackupError, Contents, Outside};
use crate::folder::{Loaded, StoreError, StudioFolder};
use crate::forgotten::Forgotten;
use crate::history::Earlier;
use crate::name::{DocPath, kept_beside};
use crate::photos::PhotoName;
use crate::save::{SaveError, SaveOutcome};
use crate::sim::SimVfs;
use crate::vfs::{NewFile, Vfs as _};

/// A file that nobody can use.
const TORN: &[u8] = b"torn";

fn order() -> DocPath {
    DocPath::order(TAG).unwrap()
}

/// A studio whose order cannot be read, with its earlier version.
fn unreadable() -> SimVfs {
    static MADE: LazyLock<SimVfs> = LazyLock::new(|| {
        let disk = studio();
        let folder = open(&disk).unwrap();
        folder.load::<Note>(&order()).unwrap();
        assert!(matches!(folder.save(&order(), &note("later")), SaveOutcome::Saved(_)));
        drop(folder);
        disk
    });
    let disk = MADE.as_seen();
    disk.put(file(&order()), TORN);
    disk
}

/// Puts a version in the place of the order's file.
type Putting = fn(&StudioFolder, &SimVfs, &Earlier) -> Result<(), StoreError>;

fn by_the_store(folder: &StudioFolder, _: &SimVfs, version: &Earlier) -> Result<(), StoreError> {
    folder.put_in_place(&order(), version).map(drop)
}

/// The broken variant: what could not be read is written over, as if nothing could be got out of it any more.
fn by_writing_over(folder: &StudioFolder, disk: &SimVfs, version: &Earlier) -> Result<(), StoreError> {
    let kept = Path::new(ROOT).join(folder.history_file(&order(), version));
    let bytes = disk.get(kept).unwrap_or_default();
    let step = || -> io::Result<()> {
        let temp = file(&order()).with_file_name(crate::save::temp_name("a2b-c3x.ron"));
        let mut new = disk.create_new(&temp)?;
        crate::save::write_all(new.as_mut(), &bytes)?;
        new.sync()?;
        disk.rename(&temp, &file(&order()))?;
        disk.sync_dir(file(&order()).parent().unwrap())
    };
    step().map_err(|source| {
        let why = SaveError::from_io(&file(&order()), "take all of it", source);
        StoreError::NotPutInPlace { path: file(&order()), why: Box::new(why) }
    })
}

fn earlier_in_place(put: Putting) -> Edit {
    let act = move |disk: &SimVfs| {
        let Ok(folder) = open(disk) else { return Done::not_tried() };
        let Ok(Loaded::Broken(_)) = folder.load::<Note>(&order()) else { return Done::not_tried() };
        let Ok(versions) = folder.history(&order()) else { return Done::not_tried() };
        let Some(version) = versions.into_iter().next() else { return Done::not_tried() };
        let disk = disk.clone();
        Done::after(writable(&folder), move || match put(&folder, &disk, &version) {
            Ok(()) => Said::Saved,
            Err(StoreError::NotPutInPlace { why, .. }) if matches!(*why, SaveError::Unconfirmed { .. }) => {
                Said::InDoubt
            }
            Err(_) => Said::NotSaved,
        })
    };
    let at = |disk: &SimVfs| {
        look(disk, &order().to_string(), |folder| {
            let dir = order().folder_in(Path::new(ROOT));
            let beside = disk.paths().into_iter().filter(|path| path.parent() == Some(&dir));
            let is_kept = |path: &PathBuf| {
                let name = path.file_name().unwrap_or_default().to_string_lossy();
                kept_beside(&name) == Some(order().stem()) && disk.get(path).as_deref() == Some(TORN)
            };
            let kept = beside.filter(is_kept).count();
            match folder.load::<Note>(&order()) {
                Ok(Loaded::Broken(_)) if disk.get(file(&order())).as_deref() == Some(TORN) => Look::Old,
                Ok(Loaded::Whole(found)) if found == note("old") && kept > 0 => Look::New,
                Ok(Loaded::Whole(found)) if found == note("old") => {
                    Look::Wrong("what could not be read is not kept".to_owned())
                }
                other => Look::Wrong(format!("{other:?}")),
            }
        })
    };
    Edit::new("put an earlier version in place", unreadable, act, at)
}

/// A disk in memory as the one a backup goes to.
#[derive(Debug)]
struct Stick(SimVfs);

impl Outside for Stick {
    fn is_there(&self, path: &Path) -> io::Result<bool> {
        Ok(self.0.stat(path)?.is_some())
    }

    fn create_new(&self, path: &Path) -> io::Result<Box<dyn NewFile>> {
        self.0.create_new(path)
    }

    fn open(&self, path: &Path) -> io::Result<Box<dyn Read>> {
        let bytes = self.0.read(path, u64::MAX)?.ok_or(io::ErrorKind::NotFound)?;
        Ok(Box::new(Cursor::new(bytes)))
    }

    fn link(&self, from: &Path, to: &Path) -> io::Result<()> {
        self.0.link(from, to)
    }

    fn rename(&self, from: &Path, to: &Path) -> io::Result<()> {
        self.0.rename(from, to)
    }

    fn remove(&self, path: &Path) -> io::Result<()> {
        self.0.remove(path)
    }

    fn sync_dir(&self, dir: &Path) -> io::Result<()> {
        self.0.sync_dir(dir)
    }
}

fn about() -> About {
    About { studio: "quiet-room".to_owned(), made: "2026-11-26T00:19:55.123Z".to_owned() }
}

/// The studio with a folder for backups beside it.
fn with_a_stick() -> SimVfs {
    let disk = studio();
    disk.put("/media/x", b"");
    disk
}

/// What a whole backup of the studio holds.
fn whole() -> &'static Contents {
    static MADE: LazyLock<Contents> = LazyLock::new(|| {
        let folder = open(&studio()).unwrap();
        backup::write(&folder, &about(), &mut Vec::new(), &mut |_| true).unwrap()
    });
    &MADE
}

/// The names a backup is made under: another one after a try that left something.
const NAMES: [&str; 2] = ["/media/b.tar", "/media/c.tar"];

fn make(folder: &StudioFolder, disk: &SimVfs) -> Said {
    let stick = Stick(disk.clone());
    let Some(name) = NAMES.iter().find(|name| disk.get(name).is_none()) else { return Said::Saved };
    match backup::to_file_on(&stick, folder, &about(), Path::new(name), &mut |_| true) {
        Ok(made) if made.left_out.is_empty() => Said::Saved,
        // What could not be read is named.
        Ok(_) | Err(BackupError::InDoubt { .. }) => Said::InDoubt,
        Err(_) => Said::NotSaved,
    }
}

fn make_backup() -> Edit {
    let act = |disk: &SimVfs| {
        let Ok(folder) = open(disk) else { return Done::not_tried() };
        let disk = disk.clone();
        Done::after(writable(&folder), move || make(&folder, &disk))
    };
    let at = |disk: &SimVfs| {
        look(disk, "", |_| {
            for name in NAMES {
                let Some(bytes) = disk.get(name) else { continue };
                let read = backup::read(&mut bytes.as_slice(), Path::new(name), &mut |_, _| true);
                match read {
                    Err(why) => return Look::Wrong(format!("{name}: {why}")),
                    Ok(read) if read.files == whole().files => return Look::New,
                    // Less is in it only where that was said.
                    Ok(read) => {
                        let known = |(name, digest): (&String, &_)| whole().files.get(name) == Some(digest);
                        if !read.files.iter().all(known) {
                            return Look::Wrong(format!("{name} holds something else"));
                        }
                    }
                }
            }
            Look::Old
        })
    };
    Edit::new("make a backup", with_a_stick, act, at)
}

/// Where a backup is put back.
const NEW: &str = "/home/new";

/// A backup of a small studio: what is written and not settled yet is tried in every way, so there is little of it.
fn small() -> &'static [u8] {
    static MADE: LazyLock<Vec<u8>> = LazyLock::new(|| {
        let disk = empty();
        let folder = StudioFolder::create(Path::new(ROOT), Arc::new(disk.clone()), &note("old")).unwrap();
        assert!(matches!(folder.save(&order(), &note("old")), SaveOutcome::Saved(_)));
        folder.keep_photo(b"a photo", "jpg").unwrap();
        let mut bytes = Vec::new();
        backup::write(&folder, &about(), &mut bytes, &mut |_| true).unwrap();
        bytes
    });
    &MADE
}

fn empty() -> SimVfs {
    let disk = SimVfs::new();
    disk.put("/home/x", b"");
    disk
}

fn somebody() -> Forgotten {
    let mut list = Forgotten::default();
    list.add("ingrid", "2026-11-27", [TAG.to_owned()]);
    list
}

fn put_back(disk: &SimVfs) -> Said {
    let bytes = small();
    let mut open = || Ok((Box::new(bytes) as Box<dyn Read>, bytes.len() as u64));
    let at = (Path::new(NEW), Arc::new(disk.clone()) as Arc<dyn crate::vfs::Vfs>);
    let known = &mut |_: &Contents| Ok(somebody());
    match backup::restore_from(&mut open, Path::new("/media/b.tar"), at, known, &mut |_| true) {
        Ok(_) => Said::Saved,
        // Only half of it may be there, and that is said with what to do.
        Err(BackupError::Begun { .. }) => Said::InDoubt,
        Err(_) => Said::NotSaved,
    }
}

fn restore() -> Edit {
    let act = |disk: &SimVfs| {
        let (said, disk) = (put_back(disk), disk.clone());
        let again = move || {
            // What is not whole is deleted first, as it is said.
            if said != Said::Saved {
                disk.take_away(NEW);
                return put_back(&disk);
            }
            said
        };
        Done { said, again: Some(Box::new(again)) }
    };
    let at = |disk: &SimVfs| {
        let folder = match StudioFolder::open(Path::new(NEW), Arc::new(disk.clone())) {
            Ok(folder) => folder,
            Err(StoreError::NoFolder { .. } | StoreError::NotAStudio { .. }) => return Look::Old,
            Err(why) => return Look::Wrong(why.to_string()),
        };
        // Without its settings no program takes it for a studio.
        match folder.load::<Note>(&DocPath::studio()) {
            Ok(Loaded::Absent) => return Look::Old,
            Ok(Loaded::Whole(_)) => {}
            other => return Look::Wrong(format!("{other:?}")),
        }
        let photo = folder.photo(&PhotoName::of(b"a photo", "jpg").unwrap());
        match (folder.load::<Note>(&order()), photo, folder.load_forgotten()) {
            (Ok(Loaded::Whole(found)), Ok(Some(_)), Ok(list))
                if found == note("old") && list == somebody() =>
            {
                Look::New
            }
            other => Look::Wrong(format!("half of a studio is taken for a whole: {other:?}")),
        }
    };
    Edit::new("put a backup back", empty, act, at)
}

/// Each of these, on a disk with second names for files and on one without.
pub(super) fn all() -> Vec<Edit> {
    let plain = |disk: SimVfs| disk.without_second_names();
    vec![
        earlier_in_place(by_the_store),
        earlier_in_place(by_the_store).on("copying", move || plain(unreadable())),
        make_backup(),
        make_backup().on("renaming", move || plain(with_a_stick())),
        restore(),
    ]
}

#[test]
fn the_power_cuts_catch_an_earlier_version_that_is_written_over_what_could_not_be_read() {
    let why = cut_everywhere(&earlier_in_place(by_writing_over)).unwrap_err();
    assert!(why.ends_with("what could not be read is not kept"), "{why}");
}
