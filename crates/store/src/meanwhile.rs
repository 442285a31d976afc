//! A disk on which another program does something just before a chosen operation.

use std::fmt;
use std::io;
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex};

use crate::sim::{Op, SimVfs};
use crate::vfs::{Entry, Held, NewFile, Stat, Vfs};

type Deed = Box<dyn FnOnce(&SimVfs) + Send>;

/// What is to be done before which operation, counted among those of its kind.
struct Plan {
    op: Op,
    after: usize,
    deed: Deed,
}

/// The disk.
#[derive(Clone)]
pub(crate) struct Meanwhile {
    disk: SimVfs,
    plan: Arc<Mutex<Option<Plan>>>,
}

impl fmt::Debug for Meanwhile {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Meanwhile").finish_non_exhaustive()
    }
}

impl Meanwhile {
    /// A disk on which nothing is planned yet.
    pub(crate) fn on(disk: &SimVfs) -> Self {
        Self { disk: disk.clone(), plan: Arc::default() }
    }

    /// Has `deed` done before the operation of this kind that comes after so many others of it.
    pub(crate) fn plan(&self, op: Op, after: usize, deed: impl FnOnce(&SimVfs) + Send + 'static) {
        *self.plan.lock().unwrap() = Some(Plan { op, after, deed: Box::new(deed) });
    }

    /// Whether it was done.
    pub(crate) fn is_done(&self) -> bool {
        self.plan.lock().unwrap().is_none()
    }

    fn before(&self, op: Op) -> &SimVfs {
        let mut plan = self.plan.lock().unwrap();
        let due = plan.take_if(|plan| {
            let is_due = plan.op == op && plan.after == 0;
            plan.after -= usize::from(plan.op == op && plan.after > 0);
            is_due
        });
        drop(plan);
        if let Some(Plan { deed, .. }) = due {
            deed(&self.disk);
        }
        &self.disk
    }
}

impl Vfs for Meanwhile {
    fn read(&self, path: &Path, cap: u64) -> io::Result<Option<Vec<u8>>> {
        self.before(Op::Read).read(path, cap)
    }

    fn stat(&self, path: &Path) -> io::Result<Option<Stat>> {
        self.before(Op::Stat).stat(path)
    }

    fn behind_links(&self, path: &Path) -> io::Result<PathBuf> {
        self.disk.behind_links(path)
    }

    fn list(&self, dir: &Path) -> io::Result<Option<Vec<Entry>>> {
        self.before(Op::List).list(dir)
    }

    fn create_new(&self, path: &Path) -> io::Result<Box<dyn NewFile>> {
        self.before(Op::Create).create_new(path)
    }

    fn rename(&self, from: &Path, to: &Path) -> io::Result<()> {
        self.before(Op::Rename).rename(from, to)
    }

    fn link(&self, from: &Path, to: &Path) -> io::Result<()> {
        self.before(Op::Link).link(from, to)
    }

    fn sync_dir(&self, dir: &Path) -> io::Result<()> {
        self.before(Op::SyncDir).sync_dir(dir)
    }

    fn remove(&self, path: &Path) -> io::Result<()> {
        self.before(Op::Remove).remove(path)
    }

    fn make_dir(&self, path: &Path) -> io::Result<bool> {
        self.before(Op::MakeDir).make_dir(path)
    }

    fn try_lock(&self, path: &Path) -> io::Result<Option<Box<dyn Held>>> {
        self.before(Op::Lock).try_lock(path)
    }
}
