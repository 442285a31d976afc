//! What goes wrong with files, disks and hands: what is said, and that nothing is lost or written over.

mod at_the_bench;
mod files;
mod flips;
mod full_disk;
mod photos;
mod read_only;
mod two_programs;

use std::path::{Path, PathBuf};
use std::process::Command;
use std::sync::Arc;

use craft::fact::{ClientFact, CustodyFact, Fact, Material};
use craft::id::{DocId, Thing};
use craft::place::Place;
use craft::studio::{Edit, OrderEdit};
use craft::tag::Tag;
use craft::units::Share;
use store::sim::SimVfs;
use workbench::action::Action;
use workbench::open::Trouble;
use workbench::saving::Standing;
use workbench::session::Session;

use crate::support::{Bench, files, typed};

/// A studio with two orders. A packet of the first has come and its keep-back lies apart; it is open on the bench.
struct Two {
    bench: Bench,
    one: Tag,
    other: Tag,
}

impl Two {
    fn new() -> Self {
        let bench = Bench::new();
        let (one, other) = (bench.open_order(1_000), bench.open_order(2_000));
        bench.fact(one, ClientFact::Answered);
        bench.fact(one, received());
        bench.fact(one, CustodyFact::Opened { thing: Thing::wrapping(1), check: typed(one) });
        let keep_back = CustodyFact::SplitOff {
            from: Thing::wrapping(1),
            lot: 1,
            into: Thing::envelope(1),
            part: Share::of(1, 3),
            keep_back: true,
            seal: None,
            place: Place::Kept(1),
        };
        bench.fact(one, keep_back);
        Self { bench, one, other }
    }

    /// The file of the first order.
    fn file(&self) -> PathBuf {
        self.bench.root().join(file_of(self.one))
    }

    fn text(&self) -> String {
        std::fs::read_to_string(self.file()).unwrap()
    }

    fn session(&self) -> Session {
        Session::open(&self.bench.root(), self.bench.clock.clone()).unwrap()
    }
}

fn received() -> CustodyFact {
    CustodyFact::Received {
        lot: 1,
        material: Material::Petals,
        seal: None,
        place: Place::Kept(1),
        photo: None,
        keep_back: Share::of(1, 3),
    }
}

/// The file of an order, as it is named below the folder.
fn file_of(tag: Tag) -> String {
    format!("orders/{}.ron", tag.to_string().to_lowercase())
}

fn fact(tag: Tag, fact: impl Into<Fact>) -> Action {
    Action::Edit(Edit::Order(tag, OrderEdit::Fact(fact.into())))
}

fn trouble(file: String, what: &str) -> Trouble {
    Trouble { file, what: what.to_owned() }
}

fn standing(two: &Two, session: &Session, tag: Tag) -> Standing {
    use workbench::clock::Clock as _;
    session.bench.view(two.bench.clock.now()).saves.standing(&DocId::Order(tag)).clone()
}

/// Everything below a folder, to see that none of it has changed; the lock and the witness come and go.
fn contents(root: &Path) -> Vec<(PathBuf, Vec<u8>)> {
    let kept = |path: &PathBuf| !path.file_name().unwrap().to_string_lossy().starts_with('.');
    files(root).into_iter().filter(kept).map(|path| (path.clone(), std::fs::read(path).unwrap())).collect()
}

/// The same studio on a disk in memory, at the same path.
fn in_memory(root: &Path) -> SimVfs {
    let disk = SimVfs::new();
    for path in files(root) {
        disk.put(&path, &std::fs::read(&path).unwrap());
    }
    disk
}

fn open_in_memory(two: &Two, disk: &SimVfs) -> Session {
    Session::open_on(&two.bench.root(), Arc::new(disk.clone()), two.bench.clock.clone()).unwrap()
}

/// A file system put at a folder for the time of one test; nobody but root may do that.
struct Mount(PathBuf);

impl Mount {
    fn new(at: &Path, arguments: &[&str]) -> Option<Self> {
        std::fs::create_dir_all(at).unwrap();
        let done =
            Command::new("mount").args(arguments).arg(at).output().is_ok_and(|out| out.status.success());
        done.then(|| Self(at.to_owned()))
    }
}

impl Drop for Mount {
    fn drop(&mut self) {
        let done = Command::new("umount").arg(&self.0).output();
        assert!(std::thread::panicking() || done.is_ok_and(|out| out.status.success()), "{:?}", self.0);
    }
}
