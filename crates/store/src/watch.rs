//! A look at the folder while it is open: is it still there, and has anybody else changed a document in it?
//!
//! A look costs a few questions to the disk. A folder whose own stamp has not moved is not read; where it moved, the
//! stamps of its files are compared with those under which this program last knew their content, and only a file whose
//! stamp is another one is read. So this program's own saves are never told of. A file that is written in place leaves
//! its folder's stamp as it was; therefore each look goes through some of the files besides.

use std::collections::{BTreeMap, BTreeSet};

use crate::folder::{Found, StudioFolder};
use crate::name::{DocKind, DocPath};
use crate::vfs::Stat;

/// How many files are looked at in each look beside those in folders that moved.
const IN_TURN: usize = 256;

/// What another program did to a document.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Outside {
    /// It changed the file.
    Altered,
    /// It took the file away.
    Removed,
    /// It put a file there that was not read here.
    Added,
}

/// Something to be told of the folder.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum News {
    /// The folder is not there any more.
    Gone,
    /// It is there again.
    Back,
    /// Another program touched a document.
    Touched(DocPath, Outside),
}

/// One sub-folder as it was seen last.
#[derive(Debug, Default)]
struct Seen {
    stat: Option<Stat>,
    /// Its stamp moved at the last look. A stamp is only as fine as the disk's clock, so once more is looked.
    moved: bool,
}

/// Remembers what the last look saw.
#[derive(Debug, Default)]
pub struct Watch {
    gone: bool,
    folders: BTreeMap<DocKind, Seen>,
    missing: BTreeSet<DocPath>,
    last: Option<DocPath>,
}

impl Watch {
    /// Nothing has been looked at yet.
    pub fn new() -> Self {
        Self::default()
    }

    /// Looks once; tells only what was not told before. What cannot be seen for some other trouble of the disk is left
    /// for the next look.
    pub fn look(&mut self, folder: &StudioFolder) -> Vec<News> {
        let Ok(is_there) = folder.is_there() else { return Vec::new() };
        if !is_there {
            let news = (!self.gone).then_some(News::Gone);
            self.gone = true;
            return news.into_iter().collect();
        }
        let mut news = Vec::new();
        if std::mem::take(&mut self.gone) {
            // Who knows what happened to it meanwhile.
            self.folders.clear();
            news.push(News::Back);
        }
        for kind in DocKind::ALL {
            if self.has_moved(folder, kind) {
                self.look_through(folder, kind, &mut news);
            }
        }
        let turn = folder.known_after(self.last.as_ref(), IN_TURN);
        self.last = if turn.len() < IN_TURN { None } else { turn.last().map(|(path, _)| path.clone()) };
        for (path, stat) in turn {
            if folder.stat_of(&path).is_ok_and(|found| found != stat) {
                self.tell(folder, path, &mut news);
            }
        }
        news
    }

    fn has_moved(&mut self, folder: &StudioFolder, kind: DocKind) -> bool {
        let Ok(stat) = folder.stat_of_folder(kind) else { return false };
        let seen = self.folders.entry(kind).or_default();
        let moved = seen.stat != stat || stat.is_none();
        let look = moved || seen.moved;
        *seen = Seen { stat, moved };
        look
    }

    fn look_through(&mut self, folder: &StudioFolder, kind: DocKind, news: &mut Vec<News>) {
        // What is known is asked first: what is saved for the first time meanwhile is then not missed in the listing.
        let known = folder.known(kind);
        let Ok(listing) = folder.list(kind) else { return };
        let there: BTreeSet<DocPath> = listing.documents.into_iter().collect();
        for path in known.keys().filter(|path| !there.contains(path)) {
            self.tell(folder, path.clone(), news);
        }
        for path in there {
            let same = known.get(&path).is_some_and(|stat| {
                stat.is_some() && folder.stat_of(&path).is_ok_and(|found| found == *stat)
            });
            if !same {
                self.tell(folder, path, news);
            }
        }
    }

    /// Compares one document and tells where it is odd.
    fn tell(&mut self, folder: &StudioFolder, path: DocPath, news: &mut Vec<News>) {
        let Ok(found) = folder.compare(&path) else { return };
        if found == Found::Odd(Outside::Removed) {
            if self.missing.insert(path.clone()) {
                news.push(News::Touched(path, Outside::Removed));
            }
            return;
        }
        self.missing.remove(&path);
        if let Found::Odd(how) = found {
            news.push(News::Touched(path, how));
        }
    }
}

#[cfg(test)]
mod tests {
    use std::path::Path;
    use std::sync::Arc;

    use super::*;
    use crate::folder::Loaded;
    use crate::save::SaveOutcome;
    use crate::sim::{Op, SimVfs};
    use crate::vfs::{DiskVfs, Vfs};

    fn order(name: &str) -> DocPath {
        DocPath::order(name).unwrap()
    }

    fn touched(path: &DocPath, how: Outside) -> Vec<News> {
        vec![News::Touched(path.clone(), how)]
    }

    fn save(folder: &StudioFolder, path: &DocPath, body: &str) {
        assert!(matches!(folder.save(path, &body.to_owned()), SaveOutcome::Saved(_)));
    }

    /// A studio of two orders, read as a program that opens it reads it.
    fn opened(root: &Path, vfs: &Arc<dyn Vfs>) -> StudioFolder {
        let made = StudioFolder::create(root, vfs.clone(), &"settings".to_owned()).unwrap();
        save(&made, &order("aaa"), "one");
        save(&made, &order("bbb"), "two");
        drop(made);
        let folder = StudioFolder::open(root, vfs.clone()).unwrap();
        for path in [DocPath::studio(), order("aaa"), order("bbb")] {
            assert!(matches!(folder.load::<String>(&path).unwrap(), Loaded::Whole(_)));
        }
        folder
    }

    /// The same on both disks: the real one in a temporary folder, and the one in memory.
    fn on_both_disks(check: impl Fn(&Path, Arc<dyn Vfs>)) {
        let dir = tempfile::tempdir().unwrap();
        check(&dir.path().join("studio"), Arc::new(DiskVfs));
        check(Path::new("/studio"), Arc::new(SimVfs::new()));
    }

    /// Writes as another program would, whole and by renaming.
    fn put(vfs: &dyn Vfs, path: &Path, bytes: &[u8]) {
        let beside = path.with_extension("other");
        vfs.create_new(&beside).unwrap().write(bytes).unwrap();
        vfs.rename(&beside, path).unwrap();
    }

    #[test]
    fn nothing_is_told_of_what_this_program_read_and_saved_itself() {
        on_both_disks(|root, vfs| {
            let folder = opened(root, &vfs);
            let mut watch = Watch::new();
            assert_eq!(watch.look(&folder), []);
            for round in 0..3 {
                save(&folder, &order("aaa"), &format!("round {round}"));
                save(&folder, &order("ccc"), &format!("new {round}"));
                save(&folder, &DocPath::studio(), &format!("settings {round}"));
                assert_eq!(watch.look(&folder), []);
                assert_eq!(watch.look(&folder), []);
            }
        });
    }

    #[test]
    fn a_file_changed_taken_away_or_put_there_by_another_program_is_told_once() {
        on_both_disks(|root, vfs| {
            let folder = opened(root, &vfs);
            let mut watch = Watch::new();
            watch.look(&folder);
            let file = |name: &str| root.join("orders").join(format!("{name}.ron"));
            put(vfs.as_ref(), &file("aaa"), b"theirs");
            assert_eq!(watch.look(&folder), touched(&order("aaa"), Outside::Altered));
            vfs.remove(&file("bbb")).unwrap();
            assert_eq!(watch.look(&folder), touched(&order("bbb"), Outside::Removed));
            put(vfs.as_ref(), &file("ddd"), b"a new one");
            assert_eq!(watch.look(&folder), touched(&order("ddd"), Outside::Added));
            for _ in 0..3 {
                assert_eq!(watch.look(&folder), [], "it was told");
            }
            put(vfs.as_ref(), &file("aaa"), b"theirs again");
            assert_eq!(watch.look(&folder), touched(&order("aaa"), Outside::Altered));
        });
    }

    #[test]
    fn what_was_never_there_is_not_missed_and_is_new_when_it_comes() {
        on_both_disks(|root, vfs| {
            let folder = opened(root, &vfs);
            let (absent, file) = (order("ccc"), root.join("orders/ccc.ron"));
            assert!(matches!(folder.load::<String>(&absent).unwrap(), Loaded::Absent));
            let mut watch = Watch::new();
            assert_eq!(watch.look(&folder), []);
            put(vfs.as_ref(), &file, b"theirs");
            assert_eq!(watch.look(&folder), touched(&absent, Outside::Added));
        });
    }

    #[test]
    fn a_studio_that_loses_its_first_file_is_still_there() {
        on_both_disks(|root, vfs| {
            let folder = opened(root, &vfs);
            let mut watch = Watch::new();
            assert_eq!(watch.look(&folder), []);
            vfs.remove(&root.join("studio.ron")).unwrap();
            assert_eq!(watch.look(&folder), touched(&DocPath::studio(), Outside::Removed));
        });
    }

    #[test]
    fn what_another_program_changed_before_the_first_look_is_told_as_well() {
        on_both_disks(|root, vfs| {
            let folder = opened(root, &vfs);
            put(vfs.as_ref(), &root.join("studio.ron"), b"theirs");
            assert_eq!(Watch::new().look(&folder), touched(&DocPath::studio(), Outside::Altered));
        });
    }

    #[test]
    fn the_same_bytes_put_back_and_files_of_other_kinds_are_no_news() {
        on_both_disks(|root, vfs| {
            let folder = opened(root, &vfs);
            let mut watch = Watch::new();
            watch.look(&folder);
            let path = root.join("orders").join("aaa.ron");
            let bytes = vfs.read(&path, 10_000).unwrap().unwrap();
            put(vfs.as_ref(), &path, &bytes);
            put(vfs.as_ref(), &root.join("orders").join("letter.txt"), b"hello");
            put(vfs.as_ref(), &root.join("orders").join("aaa.conflict-1.ron"), b"hello");
            assert_eq!(watch.look(&folder), []);
            vfs.remove(&path).unwrap();
            assert_eq!(watch.look(&folder), touched(&order("aaa"), Outside::Removed));
            put(vfs.as_ref(), &path, &bytes);
            assert_eq!(watch.look(&folder), [], "it is back as it was");
            vfs.remove(&path).unwrap();
            assert_eq!(watch.look(&folder), touched(&order("aaa"), Outside::Removed), "a second time");
        });
    }

    #[test]
    fn a_file_written_in_place_is_found_though_its_folder_looks_the_same() {
        let dir = tempfile::tempdir().unwrap();
        let root = dir.path().join("studio");
        let folder = opened(&root, &(Arc::new(DiskVfs) as Arc<dyn Vfs>));
        let mut watch = Watch::new();
        // Twice, so that the folder's moved stamp is no reason any more.
        watch.look(&folder);
        watch.look(&folder);
        let before = DiskVfs.stat(&root.join("orders")).unwrap();
        std::fs::write(root.join("orders").join("aaa.ron"), b"written by an editor").unwrap();
        assert_eq!(DiskVfs.stat(&root.join("orders")).unwrap(), before, "the folder itself tells nothing");
        assert_eq!(watch.look(&folder), touched(&order("aaa"), Outside::Altered));
    }

    /// A studio of more documents than are looked at in one look, with a watch that went through them all, so that it is
    /// the turn of the first again and no folder's moved stamp is a reason any more. The names of the first and the last.
    fn many(root: &Path) -> (StudioFolder, Watch, [DocPath; 2]) {
        let folder = opened(root, &(Arc::new(DiskVfs) as Arc<dyn Vfs>));
        let name = |no: usize| order(&format!("m{no:03}"));
        for no in 0..IN_TURN {
            let bytes = crate::format::encode(DocKind::Order, &"of many".to_owned()).unwrap();
            std::fs::write(root.join(name(no).to_string()), bytes).unwrap();
            assert!(matches!(folder.load::<String>(&name(no)).unwrap(), Loaded::Whole(_)));
        }
        let mut watch = Watch::new();
        assert_eq!([watch.look(&folder), watch.look(&folder)], [vec![], vec![]]);
        (folder, watch, [order("aaa"), name(IN_TURN - 1)])
    }

    #[test]
    fn of_many_files_written_in_place_each_has_its_turn() {
        let dir = tempfile::tempdir().unwrap();
        let root = dir.path().join("studio");
        let (folder, mut watch, [first, last]) = many(&root);
        let alter = |path: &DocPath| std::fs::write(root.join(path.to_string()), b"by an editor").unwrap();
        alter(&last);
        assert_eq!(watch.look(&folder), [], "it is the turn of the others");
        assert_eq!(watch.look(&folder), touched(&last, Outside::Altered));
        alter(&first);
        assert_eq!(watch.look(&folder), touched(&first, Outside::Altered));
    }

    #[test]
    fn of_many_files_one_that_was_replaced_or_taken_away_is_told_at_once() {
        let dir = tempfile::tempdir().unwrap();
        let root = dir.path().join("studio");
        let (folder, mut watch, [_, last]) = many(&root);
        put(&DiskVfs, &root.join(last.to_string()), b"theirs");
        assert_eq!(watch.look(&folder), touched(&last, Outside::Altered));
        assert_eq!(watch.look(&folder), []);
        std::fs::remove_file(root.join(last.to_string())).unwrap();
        assert_eq!(watch.look(&folder), touched(&last, Outside::Removed));
    }

    #[test]
    fn a_folder_that_goes_and_comes_back_is_told_at_once_and_only_once() {
        let dir = tempfile::tempdir().unwrap();
        let (root, away) = (dir.path().join("studio"), dir.path().join("away"));
        let folder = opened(&root, &(Arc::new(DiskVfs) as Arc<dyn Vfs>));
        let mut watch = Watch::new();
        assert_eq!(watch.look(&folder), []);
        std::fs::rename(&root, &away).unwrap();
        assert_eq!(watch.look(&folder), [News::Gone]);
        assert_eq!(watch.look(&folder), []);
        // An empty folder in its place, as where a disk is mounted, is not the studio.
        std::fs::create_dir(&root).unwrap();
        assert_eq!(watch.look(&folder), []);
        std::fs::remove_dir(&root).unwrap();
        std::fs::write(away.join("orders").join("aaa.ron"), b"changed while it was away").unwrap();
        std::fs::rename(&away, &root).unwrap();
        let mut wanted = vec![News::Back];
        wanted.extend(touched(&order("aaa"), Outside::Altered));
        assert_eq!(watch.look(&folder), wanted);
        assert_eq!(watch.look(&folder), []);
    }

    #[test]
    fn a_disk_that_does_not_say_whether_the_studio_is_there_has_not_taken_it_away() {
        let disk = SimVfs::new();
        let folder = opened(Path::new("/studio"), &(Arc::new(disk.clone()) as Arc<dyn Vfs>));
        let mut watch = Watch::new();
        for trouble in [crate::sim::Trouble::Device, crate::sim::Trouble::Denied] {
            for after in 0..4 {
                disk.arm(crate::sim::Fault {
                    only: Some(Op::Stat),
                    ..crate::sim::Fault::once(after, trouble)
                });
                assert_eq!(watch.look(&folder), [], "{trouble:?} after {after}");
                assert_eq!(disk.disarm(), 1);
            }
        }
        put(&disk, Path::new("/studio/orders/aaa.ron"), b"theirs");
        assert_eq!(watch.look(&folder), touched(&order("aaa"), Outside::Altered), "it looks on as before");
    }

    #[test]
    fn a_look_at_a_studio_nobody_touches_reads_no_file_and_no_folder() {
        let disk = SimVfs::new();
        let folder = opened(Path::new("/studio"), &(Arc::new(disk.clone()) as Arc<dyn Vfs>));
        let mut watch = Watch::new();
        watch.look(&folder);
        watch.look(&folder);
        disk.arm(crate::sim::Fault::always(Op::Lock, crate::sim::Trouble::Device));
        assert_eq!(watch.look(&folder), []);
        let ops = disk.ops();
        assert!(!ops.is_empty() && ops.iter().all(|op| *op == Op::Stat), "stamps are enough: {ops:?}");
    }
}
