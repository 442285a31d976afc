//! Every kind of edit the store makes, with what may be found of it afterwards.

use std::path::Path;
use std::sync::{Arc, LazyLock};

use serde::{Deserialize, Serialize};

use crate::folder::{Access, Loaded, StoreError, StudioFolder};
use crate::format::{self, Decoded};
use crate::heads::Heads;
use crate::history::Earlier;
use crate::name::{DocKind, DocPath};
use crate::photos::PhotoName;
use crate::save::{SaveError, SaveOutcome, WhyNotKept, is_temp};
use crate::sim::SimVfs;
use craft::digest::Digest;

pub(super) const ROOT: &str = "/home/s";

/// What stands for any document: the store keeps whatever it is given.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Note {
    pub(super) title: String,
    pub(super) grams: f64,
}

pub(super) fn note(title: &str) -> Note {
    Note { title: title.to_owned(), grams: 1.5 }
}

/// How an edit ended, as far as the person was told.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Said {
    Saved,
    NotSaved,
    InDoubt,
    /// It did not come so far: the studio did not open, or the document did not load.
    NotTried,
}

/// What was said, and the same edit once more in the same session.
pub(super) struct Done {
    pub(super) said: Said,
    pub(super) again: Option<Box<dyn FnOnce() -> Said>>,
}

impl Done {
    pub(super) fn not_tried() -> Self {
        Self { said: Said::NotTried, again: None }
    }

    /// Where the studio opened for reading only, trying again is of no use and is said not to be.
    pub(super) fn after(writable: bool, mut act: impl FnMut() -> Said + 'static) -> Self {
        let said = act();
        Self { said, again: if writable { Some(Box::new(act)) } else { None } }
    }
}

/// What a program finds that opens the studio.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Look {
    Old,
    New,
    Wrong(String),
}

/// One edit.
pub(super) struct Edit {
    pub(super) name: String,
    pub(super) before: Box<dyn Fn() -> SimVfs>,
    pub(super) act: Box<dyn Fn(&SimVfs) -> Done>,
    pub(super) look: Box<dyn Fn(&SimVfs) -> Look>,
    /// Whether what was replaced is still there as an earlier version. Asked after a power cut only: a fault that passes
    /// may cost the earlier version, which is told, and does not stop the save.
    pub(super) is_kept: Box<dyn Fn(&SimVfs) -> bool>,
}

impl Edit {
    pub(super) fn new(
        name: impl Into<String>,
        before: impl Fn() -> SimVfs + 'static,
        act: impl Fn(&SimVfs) -> Done + 'static,
        look: impl Fn(&SimVfs) -> Look + 'static,
    ) -> Self {
        let (before, act, look) = (Box::new(before), Box::new(act), Box::new(look));
        Self { name: name.into(), before, act, look, is_kept: Box::new(|_| true) }
    }

    fn keeping(mut self, path: &DocPath) -> Self {
        let path = path.clone();
        self.is_kept = Box::new(move |disk| {
            let folder = open(disk).unwrap();
            let versions = folder.history(&path).unwrap();
            let is_old = |version: &Earlier| matches!(folder.earlier::<Note>(&path, version), Ok(Some(Decoded::Whole(read))) if read == note("old"));
            versions.iter().any(is_old)
        });
        self
    }

    pub(super) fn on(mut self, what: &str, before: impl Fn() -> SimVfs + 'static) -> Self {
        self.name = format!("{} {what}", self.name);
        self.before = Box::new(before);
        self
    }
}

/// One document of each kind.
pub(super) fn one_of_each() -> [DocPath; 5] {
    [
        DocPath::studio(),
        DocPath::shelf("slate").unwrap(),
        DocPath::client("ingrid").unwrap(),
        DocPath::order("A2B-C3X").unwrap(),
        DocPath::money(2026).unwrap(),
    ]
}

/// Another document of the kind, which is not there yet; there is only one `studio.ron`.
fn another(kind: DocKind) -> Option<DocPath> {
    match kind {
        DocKind::Studio => None,
        DocKind::Shelf => DocPath::shelf("ochre").ok(),
        DocKind::Client => DocPath::client("marit").ok(),
        DocKind::Order => DocPath::order("B2B-C3X").ok(),
        DocKind::Money => DocPath::money(2027).ok(),
    }
}

pub(super) fn file(path: &DocPath) -> std::path::PathBuf {
    path.folder_in(Path::new(ROOT)).join(path.file_name())
}

const OLD_PHOTO: &[u8] = b"the photo that was taken in first";
const NEW_PHOTO: &[u8] = b"another photo";
const OLD_PAPER: &[u8] = b"the receipt";
const NEW_PAPER: &[u8] = b"the packing list";
pub(super) const TAG: &str = "A2B-C3X";

fn heads(entries: u64) -> Heads {
    let mut heads = Heads::default();
    heads.note(TAG, entries, Digest::of(&entries.to_le_bytes()));
    heads
}

/// A studio with one of everything, all of it acknowledged and on the disk.
pub(super) fn studio() -> SimVfs {
    static MADE: LazyLock<SimVfs> = LazyLock::new(make_studio);
    MADE.as_seen()
}

fn make_studio() -> SimVfs {
    let disk = SimVfs::new();
    disk.put("/home/x", b"");
    let folder = StudioFolder::create(Path::new(ROOT), Arc::new(disk.clone()), &note("old")).unwrap();
    for path in one_of_each() {
        assert!(matches!(folder.save(&path, &note("old")), SaveOutcome::Saved(_)));
    }
    folder.keep_photo(OLD_PHOTO, "jpg").unwrap();
    folder.issue_paper(TAG, "receipt.pdf", OLD_PAPER).unwrap();
    assert!(folder.save_heads(&heads(1)));
    drop(folder);
    assert!(disk.crash_states().iter().all(|found| rest(found, "").is_ok()), "all of it is on the disk");
    disk
}

pub(super) fn open(disk: &SimVfs) -> Result<StudioFolder, StoreError> {
    StudioFolder::open(Path::new(ROOT), Arc::new(disk.clone()))
}

pub(super) fn writable(folder: &StudioFolder) -> bool {
    matches!(folder.access(), Access::Writable)
}

/// Opens what was found and looks whether everything but `edited` is there as it was acknowledged.
fn rest(disk: &SimVfs, edited: &str) -> Result<StudioFolder, String> {
    let folder = open(disk).map_err(|why| why.to_string())?;
    if !writable(&folder) || !folder.troubles().is_empty() {
        return Err(format!("it opened with {} and {:?}", folder.access(), folder.troubles()));
    }
    if let Some(left) = disk.paths().iter().find(|path| is_temp(&path.file_name().unwrap().to_string_lossy()))
    {
        return Err(format!("left behind: {}", left.display()));
    }
    for path in one_of_each().iter().filter(|path| path.to_string() != edited) {
        match folder.load::<Note>(path) {
            Ok(Loaded::Whole(found)) if found == note("old") => {}
            other => return Err(format!("{path}: {other:?}")),
        }
    }
    let photo = folder.photo(&PhotoName::of(OLD_PHOTO, "jpg").unwrap());
    if edited != "photo" && photo.ok().flatten().is_none() {
        return Err("the first photo".to_owned());
    }
    let paper = folder.paper(TAG, "receipt.pdf", Digest::of(OLD_PAPER));
    if !matches!(paper, Ok(Some(_))) {
        return Err(format!("the receipt: {paper:?}"));
    }
    for (file, bytes) in disk.picture().into_iter().filter(|(path, _)| path.starts_with("/home/s/.history")) {
        let (Some(bytes), name) = (bytes, file.file_name().unwrap().to_string_lossy()) else { continue };
        let version = Earlier::from_file_name(&name).ok_or_else(|| format!("in the history: {name}"))?;
        let digest = Digest::of(&bytes).to_string();
        if !version.file_name().contains(&format!(".{}.", &digest[..16])) {
            return Err(format!("a torn version: {name}"));
        }
    }
    if edited != ".heads" && folder.load_heads() != heads(1) {
        return Err("the witness".to_owned());
    }
    Ok(folder)
}

/// Looks at the rest, and then at what was edited.
pub(super) fn look(disk: &SimVfs, edited: &str, at: impl FnOnce(&StudioFolder) -> Look) -> Look {
    rest(disk, edited).map_or_else(Look::Wrong, |folder| at(&folder))
}

fn outcome(outcome: &SaveOutcome) -> Said {
    match outcome {
        SaveOutcome::Saved(_) => Said::Saved,
        SaveOutcome::NotSaved(_) => Said::NotSaved,
        SaveOutcome::InDoubt(_) => Said::InDoubt,
        SaveOutcome::Conflict { kept_beside } => panic!("a conflict nobody made: {kept_beside}"),
    }
}

fn kept<T>(kept: &Result<T, SaveError>) -> Said {
    match kept {
        Ok(_) => Said::Saved,
        Err(SaveError::NotKept { why: WhyNotKept::Unconfirmed, .. }) => Said::InDoubt,
        Err(_) => Said::NotSaved,
    }
}

fn by_the_store(folder: &StudioFolder, _: &SimVfs, path: &DocPath) -> SaveOutcome {
    folder.save(path, &note("new"))
}

/// A document that is there is changed.
pub(super) fn change(
    path: &DocPath,
    write: impl Fn(&StudioFolder, &SimVfs, &DocPath) -> SaveOutcome + Copy + 'static,
) -> Edit {
    let (loaded, edited) = (path.clone(), path.clone());
    let act = move |disk: &SimVfs| {
        let Ok(folder) = open(disk) else { return Done::not_tried() };
        let Ok(found) = folder.load::<Note>(&loaded) else { return Done::not_tried() };
        assert_eq!(found, Loaded::Whole(note("old")));
        let (disk, path) = (disk.clone(), loaded.clone());
        Done::after(writable(&folder), move || outcome(&write(&folder, &disk, &path)))
    };
    let at = move |disk: &SimVfs| {
        look(disk, &edited.to_string(), |folder| match folder.load::<Note>(&edited) {
            Ok(Loaded::Whole(found)) if found == note("old") => Look::Old,
            Ok(Loaded::Whole(found)) if found == note("new") => Look::New,
            other => Look::Wrong(format!("{edited}: {other:?}")),
        })
    };
    Edit::new(format!("change {path}"), studio, act, at)
}

/// A studio on a disk that knows no second names.
fn plain_disk() -> SimVfs {
    studio().without_second_names()
}

/// A studio whose order has so many earlier versions that the next save drops one.
fn full_history() -> SimVfs {
    static MADE: LazyLock<SimVfs> = LazyLock::new(|| {
        let disk = studio();
        let folder = open(&disk).unwrap();
        let path = DocPath::order(TAG).unwrap();
        let Ok(Loaded::Whole(old)) = folder.load::<Note>(&path) else { panic!("it is there") };
        for number in 0..crate::history::NEWEST + 2 {
            assert!(matches!(folder.save(&path, &note(&format!("text {number}"))), SaveOutcome::Saved(_)));
        }
        assert!(matches!(folder.save(&path, &old), SaveOutcome::Saved(_)));
        assert_eq!(folder.history(&path).unwrap().len(), crate::history::NEWEST + 1);
        drop(folder);
        disk
    });
    MADE.as_seen()
}

/// The changes of a document once more, on disks where its earlier version is kept in another way.
fn with_history() -> Vec<Edit> {
    let path = DocPath::order(TAG).unwrap();
    let settings = DocPath::studio();
    let change = |path: &DocPath| change(path, by_the_store).keeping(path);
    vec![
        change(&path).on("copying", plain_disk),
        change(&settings).on("copying", plain_disk),
        change(&path).on("dropping", full_history),
        change(&path).on("dropping, copying", || full_history().without_second_names()),
    ]
}

/// A document that is not there yet is saved.
fn begin(path: &DocPath) -> Edit {
    let (new, edited) = (path.clone(), path.clone());
    let act = move |disk: &SimVfs| {
        let Ok(folder) = open(disk) else { return Done::not_tried() };
        let path = new.clone();
        Done::after(writable(&folder), move || outcome(&folder.save(&path, &note("new"))))
    };
    let at = move |disk: &SimVfs| {
        look(disk, "", |folder| match folder.load::<Note>(&edited) {
            Ok(Loaded::Absent) => Look::Old,
            Ok(Loaded::Whole(found)) if found == note("new") => Look::New,
            other => Look::Wrong(format!("{edited}: {other:?}")),
        })
    };
    Edit::new(format!("begin {path}"), studio, act, at)
}

fn photos() -> [Edit; 2] {
    let act = |bytes: &'static [u8]| {
        move |disk: &SimVfs| {
            let Ok(folder) = open(disk) else { return Done::not_tried() };
            Done::after(writable(&folder), move || kept(&folder.keep_photo(bytes, "jpg")))
        }
    };
    let at = |bytes: &'static [u8], edited: &'static str| {
        move |disk: &SimVfs| {
            look(disk, edited, |folder| match folder.photo(&PhotoName::of(bytes, "jpg").unwrap()) {
                Ok(None) if edited.is_empty() => Look::Old,
                Err(StoreError::Damaged { .. }) if !edited.is_empty() => Look::Old,
                Ok(Some(found)) if found == bytes => Look::New,
                other => Look::Wrong(format!("the photo: {other:?}")),
            })
        }
    };
    let damaged = || {
        let disk = studio();
        let name = PhotoName::of(OLD_PHOTO, "jpg").unwrap();
        disk.put(Path::new(ROOT).join("photos").join(name.to_string()), b"damaged");
        disk
    };
    [
        Edit::new("take in a photo", studio, act(NEW_PHOTO), at(NEW_PHOTO, "")),
        Edit::new("mend a damaged photo", damaged, act(OLD_PHOTO), at(OLD_PHOTO, "photo")),
    ]
}

/// A paper is issued: the second of its order, or the first, for which a folder is made.
fn paper(tag: &'static str, name: &'static str) -> Edit {
    let act = move |disk: &SimVfs| {
        let Ok(folder) = open(disk) else { return Done::not_tried() };
        Done::after(writable(&folder), move || kept(&folder.issue_paper(tag, name, NEW_PAPER)))
    };
    let at = move |disk: &SimVfs| {
        look(disk, "", |folder| match folder.paper(tag, name, Digest::of(NEW_PAPER)) {
            Ok(None) => Look::Old,
            Ok(Some(_)) => Look::New,
            Err(why) => Look::Wrong(why.to_string()),
        })
    };
    Edit::new(format!("issue {name} of {tag}"), studio, act, at)
}

/// The witness of the records is brought forward. It is best effort and says only whether it was kept.
fn witness() -> Edit {
    let act = |disk: &SimVfs| {
        let Ok(folder) = open(disk) else { return Done::not_tried() };
        if folder.load_heads() != heads(1) {
            // It could not be read. A program goes on with what it knows and would keep that.
            assert!(!folder.save_heads(&Heads::default()), "what was not read is not replaced");
            return Done::not_tried();
        }
        Done::after(
            writable(&folder),
            move || if folder.save_heads(&heads(2)) { Said::Saved } else { Said::InDoubt },
        )
    };
    let at = |disk: &SimVfs| {
        look(disk, ".heads", |folder| match folder.load_heads() {
            found if found == heads(1) => Look::Old,
            found if found == heads(2) => Look::New,
            found => Look::Wrong(format!("the witness: {found:?}")),
        })
    };
    Edit::new("keep the witness", studio, act, at)
}

/// Another program changed an order meanwhile: its version stays, and ours is kept beside it.
fn conflict() -> Edit {
    let path = DocPath::order(TAG).unwrap();
    let beside = file(&path).with_file_name("a2b-c3x.conflict-1.ron");
    let bytes = |title: &str| format::encode(DocKind::Order, &note(title)).unwrap();
    let (theirs, ours) = (bytes("theirs"), bytes("new"));
    let (put, edited) = (theirs.clone(), path.clone());
    let act = move |disk: &SimVfs| {
        let Ok(folder) = open(disk) else { return Done::not_tried() };
        let Ok(_) = folder.load::<Note>(&path) else { return Done::not_tried() };
        disk.put(file(&path), &put);
        let path = path.clone();
        Done::after(writable(&folder), move || match folder.save(&path, &note("new")) {
            SaveOutcome::Conflict { .. } => Said::Saved,
            // Whether ours is beside it or not: it is still open here, and theirs is untouched.
            SaveOutcome::NotSaved(SaveError::NotBeside { .. }) => Said::InDoubt,
            other => outcome(&other),
        })
    };
    let at = move |disk: &SimVfs| {
        look(disk, &edited.to_string(), |_| {
            let untouched = disk.get(file(&edited));
            let before = bytes("old");
            if untouched.as_ref() != Some(&theirs) && untouched.as_ref() != Some(&before) {
                return Look::Wrong("the other program's file".to_owned());
            }
            match disk.get(&beside) {
                None => Look::Old,
                Some(found) if found == ours => Look::New,
                Some(_) => Look::Wrong("what is kept beside".to_owned()),
            }
        })
    };
    Edit::new("keep a version beside", studio, act, at)
}

/// The studio is opened after a crash left files half written.
fn tidy() -> Edit {
    let before = || {
        let disk = studio();
        disk.put("/home/s/..heads.abcdefghij12.tmp", b"half");
        disk.put("/home/s/orders/.a2b-c3x.ron.abcdefghij12.tmp", b"half");
        let version = "000001.2026-11-26t00-19-55-123z.0123456789abcdef.ron";
        disk.put(format!("/home/s/.history/.{version}.abcdefghij12.tmp"), b"half");
        disk
    };
    let act = |disk: &SimVfs| match open(disk) {
        Ok(folder) if folder.troubles().is_empty() && writable(&folder) => {
            Done { said: Said::Saved, again: Some(Box::new(|| Said::Saved)) }
        }
        _ => Done::not_tried(),
    };
    // Whether it was swept then or is swept at the next opening is all the same.
    let at = |disk: &SimVfs| look(disk, "", |_| Look::New);
    Edit::new("tidy up at opening", before, act, at)
}

/// A studio is made.
fn create() -> Edit {
    let before = || {
        let disk = SimVfs::new();
        disk.put("/home/x", b"");
        disk
    };
    let make = |disk: &SimVfs| {
        match StudioFolder::create(Path::new(ROOT), Arc::new(disk.clone()), &note("new")) {
            Ok(_) => Said::Saved,
            Err(StoreError::NotMade { source, .. }) => kept::<()>(&Err(source)),
            // The first attempt was in doubt and is there after all; opening it settles its name.
            Err(StoreError::AlreadyAStudio { .. }) => {
                let Ok(folder) = open(disk) else { return Said::NotSaved };
                let Ok(Loaded::Whole(_)) = folder.load::<Note>(&DocPath::studio()) else {
                    return Said::NotSaved;
                };
                outcome(&folder.save(&DocPath::studio(), &note("new")))
            }
            Err(_) => Said::NotSaved,
        }
    };
    let act = move |disk: &SimVfs| {
        let disk = disk.clone();
        Done::after(true, move || make(&disk))
    };
    let at = move |disk: &SimVfs| match open(disk) {
        Ok(folder) => match folder.load::<Note>(&DocPath::studio()) {
            Ok(Loaded::Whole(found)) if found == note("new") => Look::New,
            other => Look::Wrong(format!("studio.ron: {other:?}")),
        },
        // No studio yet: it must be possible to make it now.
        Err(StoreError::NotAStudio { .. } | StoreError::NoFolder { .. }) => match make(disk) {
            Said::Saved => Look::Old,
            other => Look::Wrong(format!("it cannot be made any more: {other:?}")),
        },
        Err(why) => Look::Wrong(why.to_string()),
    };
    Edit::new("make a studio", before, act, at)
}

/// Every edit.
pub(super) fn all() -> Vec<Edit> {
    let mut edits: Vec<Edit> = one_of_each().map(|path| change(&path, by_the_store).keeping(&path)).into();
    edits.extend(with_history());
    edits.extend(DocKind::ALL.into_iter().filter_map(another).map(|path| begin(&path)));
    edits.extend(photos());
    edits.extend([paper(TAG, "packing.pdf"), paper("B2B-C3X", "receipt.pdf")]);
    edits.extend([witness(), conflict(), tidy(), create()]);
    edits.extend(super::keeping::all());
    edits
}
