//! A disk in memory for tests: any operation can be made to fail, and a power cut can be played through.
//!
//! Every file and every name has two states: what a reader sees now, and what is certain to survive a power
//! cut. [`SimVfs::crash_states`] gives every disk that may be found afterwards.

use std::collections::{BTreeMap, BTreeSet};
use std::io::{self, ErrorKind};
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use crate::vfs::{Entry, EntryKind, Held, NewFile, Stat, Vfs, not_a_plain_file, too_large};

/// The operations of a [`Vfs`].
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[expect(missing_docs, reason = "each is the operation of that name")]
pub enum Op {
    Read,
    Stat,
    List,
    Create,
    Write,
    Sync,
    Rename,
    Link,
    SyncDir,
    Remove,
    MakeDir,
    Lock,
}

/// What goes wrong.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Trouble {
    /// The device reports an error (EIO).
    Device,
    /// The disk is full (ENOSPC).
    Full,
    /// The operation is not allowed (EACCES).
    Denied,
    /// A write takes only half of the bytes, without an error. Other operations are not touched by this.
    Short,
}

impl Trouble {
    fn error(self) -> io::Error {
        let errno = match self {
            Self::Device | Self::Short => rustix::io::Errno::IO,
            Self::Full => rustix::io::Errno::NOSPC,
            Self::Denied => rustix::io::Errno::ACCESS,
        };
        io::Error::from_raw_os_error(errno.raw_os_error())
    }
}

/// A fault to come.
#[derive(Debug, Clone, Copy)]
pub struct Fault {
    /// How many operations still go well, counted from the arming and only those that match `only`.
    pub after: usize,
    /// The one kind of operation that is counted and fails; every kind if `None`.
    pub only: Option<Op>,
    /// What goes wrong.
    pub trouble: Trouble,
    /// Whether it stays so (as if the program or disk had gone) or happens once.
    pub lasting: bool,
    /// Whether the operation takes effect although it reports an error.
    pub done_anyway: bool,
}

impl Fault {
    /// A fault that happens once, to the operation after the next `after`.
    pub fn once(after: usize, trouble: Trouble) -> Self {
        Self { after, only: None, trouble, lasting: false, done_anyway: false }
    }

    /// A fault of one kind of operation, from now on.
    pub fn always(only: Op, trouble: Trouble) -> Self {
        Self { after: 0, only: Some(only), trouble, lasting: true, done_anyway: false }
    }
}

/// A disk that claims to have done what it has not, to prove that a check catches it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Lie {
    /// Syncing a file does nothing.
    Sync,
    /// Syncing a folder does nothing.
    SyncDir,
}

/// What a name stands for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Node {
    File(usize),
    Folder,
    Link,
}

/// How many writes since the last sync arrive, or not, each on its own; what is written after that arrives with the
/// last of them, since the ways are the third power of their number.
const WRITES_APART: usize = 3;

/// The bytes of one file.
#[derive(Debug, Clone, Default)]
struct Bytes {
    now: Vec<u8>,
    safe: Vec<u8>,
    /// Where each write since the last sync begins in `now`.
    unsynced: Vec<usize>,
    /// The file was emptied in place since the last sync.
    emptied: bool,
    /// A sync failed: the system dropped what it could not write, and later syncs claim success in vain.
    dropped: bool,
}

impl Bytes {
    fn settled(bytes: &[u8]) -> Self {
        Self { now: bytes.to_owned(), safe: bytes.to_owned(), ..Self::default() }
    }

    /// Every content that may be found after a power cut: what was settled; and, of each write since, nothing, the
    /// first half or all, with zeros where a later one arrived without an earlier one, or where the file's length
    /// arrived without its bytes. No order among the writes is taken for granted.
    fn after_a_cut(&self) -> BTreeSet<Vec<u8>> {
        let start = if self.emptied { Vec::new() } else { self.safe.clone() };
        let mut ways = BTreeSet::from([start]);
        for (i, &from) in self.unsynced.iter().enumerate() {
            let to = self.unsynced.get(i + 1).copied().unwrap_or(self.now.len());
            let half = from + (to - from) / 2;
            let arrived = |way: &Vec<u8>, end: usize| {
                let mut way = way.clone();
                way.resize(from, 0);
                way.extend(self.now.get(from..end).unwrap_or_default());
                way
            };
            let more: Vec<_> = ways.iter().flat_map(|way| [arrived(way, half), arrived(way, to)]).collect();
            ways.extend(more);
        }
        let lengthened: Vec<_> = ways.iter().filter(|way| way.len() < self.now.len()).cloned().collect();
        ways.extend(lengthened.into_iter().map(|mut way| {
            way.resize(self.now.len(), 0);
            way
        }));
        ways.insert(self.safe.clone());
        ways
    }
}

/// Names set or cleared in one step inside one folder, not yet certain to survive.
#[derive(Debug, Clone)]
struct Change {
    dir: PathBuf,
    names: Vec<(PathBuf, Option<Node>)>,
}

#[derive(Debug, Default)]
struct State {
    files: Vec<Bytes>,
    now: BTreeMap<PathBuf, Node>,
    safe: BTreeMap<PathBuf, Node>,
    pending: Vec<Change>,
    locks: BTreeSet<PathBuf>,
    /// How often the names in a folder changed.
    moves: BTreeMap<PathBuf, u64>,
    fault: Option<Fault>,
    fired: usize,
    ops: Vec<Op>,
    /// The files that were made, or were to be made, since the last arming.
    made: Vec<PathBuf>,
    lie: Option<Lie>,
    /// The disk knows no second names, like one made for cameras.
    no_second_names: bool,
}

/// What an armed fault does to the operation at hand.
enum Verdict {
    Well,
    Short,
    Fails { error: io::Error, done_anyway: bool },
}

impl State {
    fn verdict(&mut self, op: Op) -> Verdict {
        self.ops.push(op);
        let Some(fault) = self.fault.as_mut().filter(|fault| fault.only.is_none_or(|only| only == op)) else {
            return Verdict::Well;
        };
        if fault.after > 0 {
            fault.after -= 1;
            return Verdict::Well;
        }
        let Fault { trouble, lasting, done_anyway, .. } = *fault;
        if !lasting {
            self.fault = None;
        }
        if trouble == Trouble::Short && op != Op::Write {
            return Verdict::Well;
        }
        self.fired += 1;
        match trouble {
            Trouble::Short => Verdict::Short,
            _ => Verdict::Fails { error: trouble.error(), done_anyway },
        }
    }

    /// Runs `step` unless a fault says otherwise.
    fn guarded<T>(&mut self, op: Op, step: impl FnOnce(&mut Self) -> io::Result<T>) -> io::Result<T> {
        match self.verdict(op) {
            Verdict::Well | Verdict::Short => step(self),
            Verdict::Fails { error, done_anyway } => {
                if done_anyway {
                    step(self)?;
                }
                Err(error)
            }
        }
    }

    fn change(&mut self, names: Vec<(PathBuf, Option<Node>)>) {
        let dir = names.first().and_then(|(path, _)| path.parent()).unwrap_or(Path::new("")).to_owned();
        apply(&mut self.now, &names);
        *self.moves.entry(dir.clone()).or_default() += 1;
        self.pending.push(Change { dir, names });
    }

    fn in_a_folder(&self, path: &Path) -> io::Result<()> {
        match path.parent().and_then(|dir| self.now.get(dir)) {
            Some(Node::Folder) => Ok(()),
            Some(_) => Err(ErrorKind::NotADirectory.into()),
            None => Err(ErrorKind::NotFound.into()),
        }
    }
}

fn apply(names: &mut BTreeMap<PathBuf, Node>, changes: &[(PathBuf, Option<Node>)]) {
    for (path, node) in changes {
        match node {
            Some(node) => names.insert(path.clone(), *node),
            None => names.remove(path),
        };
    }
}

/// A disk in memory. Clones are the same disk, as two programs would see it.
#[derive(Debug, Clone)]
pub struct SimVfs(Arc<Mutex<State>>);

impl Default for SimVfs {
    fn default() -> Self {
        Self::new()
    }
}

impl SimVfs {
    /// A disk that holds one empty folder, `/`.
    pub fn new() -> Self {
        let roots = BTreeMap::from([(PathBuf::from("/"), Node::Folder)]);
        Self(Arc::new(Mutex::new(State { now: roots.clone(), safe: roots, ..State::default() })))
    }

    /// A disk that lies.
    pub fn lying(lie: Lie) -> Self {
        let disk = Self::new();
        disk.state().lie = Some(lie);
        disk
    }

    /// The same disk, from now on without second names for files.
    #[must_use]
    pub fn without_second_names(self) -> Self {
        self.state().no_second_names = true;
        self
    }

    fn state(&self) -> MutexGuard<'_, State> {
        self.0.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// Sets a fault to come, in place of any other.
    pub fn arm(&self, fault: Fault) {
        let mut state = self.state();
        state.fault = Some(fault);
        state.fired = 0;
        state.ops.clear();
        state.made.clear();
    }

    /// Takes the fault away; says how often it struck.
    pub fn disarm(&self) -> usize {
        let mut state = self.state();
        state.fault = None;
        state.fired
    }

    /// The operations since the last [`Self::arm`].
    pub fn ops(&self) -> Vec<Op> {
        self.state().ops.clone()
    }

    /// The names under which files were made, or were to be made, since the last [`Self::arm`].
    pub fn made(&self) -> Vec<PathBuf> {
        self.state().made.clone()
    }

    /// How many changes of names may still be lost by a power cut.
    pub fn unsettled(&self) -> usize {
        self.state().pending.len()
    }

    /// Everything that is seen now: the bytes of each file, nothing for a folder or link.
    pub fn picture(&self) -> BTreeMap<PathBuf, Option<Vec<u8>>> {
        let state = self.state();
        let bytes = |node: &Node| match node {
            Node::File(id) => state.files.get(*id).map(|file| file.now.clone()),
            Node::Folder | Node::Link => None,
        };
        state.now.iter().map(|(path, node)| (path.clone(), bytes(node))).collect()
    }

    /// The same disk as it is seen now, with nothing left to lose, no lock and no fault: what the next program finds
    /// when this one just ends.
    #[must_use]
    pub fn as_seen(&self) -> Self {
        let state = self.state();
        let files: Vec<Vec<u8>> = state.files.iter().map(|file| file.now.clone()).collect();
        let seen = Self::found(&files, state.now.clone());
        seen.state().no_second_names = state.no_second_names;
        seen
    }

    /// Opens a file to be written from its start, in place: the careless way, which no operation of [`Vfs`] offers.
    ///
    /// # Errors
    /// There is no such file, or a fault strikes; counted as making one.
    pub fn write_in_place(&self, path: &Path) -> io::Result<Box<dyn NewFile>> {
        let id = self.state().guarded(Op::Create, |state| {
            let Some(&Node::File(id)) = state.now.get(path) else { return Err(ErrorKind::NotFound.into()) };
            if let Some(file) = state.files.get_mut(id) {
                file.now.clear();
                file.unsynced.clear();
                file.emptied = true;
            }
            Ok(id)
        })?;
        Ok(Box::new(SimFile { disk: self.clone(), id }))
    }

    /// Puts a file there, safely, with the folders it needs, without counting as an operation.
    pub fn put(&self, path: impl AsRef<Path>, bytes: &[u8]) {
        let mut state = self.state();
        let id = state.files.len();
        state.files.push(Bytes::settled(bytes));
        Self::place(&mut state, path.as_ref(), Node::File(id));
    }

    /// Takes a name away with everything below it, safely, without counting as an operation: as a disk does that is
    /// pulled out.
    pub fn take_away(&self, path: impl AsRef<Path>) {
        let state = &mut *self.state();
        for names in [&mut state.now, &mut state.safe] {
            names.retain(|name, _| !name.starts_with(path.as_ref()));
        }
        state.pending.retain(|change| !change.dir.starts_with(path.as_ref()));
    }

    /// Puts a link there, safely, with the folders it needs.
    pub fn put_link(&self, path: impl AsRef<Path>) {
        Self::place(&mut self.state(), path.as_ref(), Node::Link);
    }

    fn place(state: &mut State, path: &Path, node: Node) {
        let mut names: Vec<_> =
            path.ancestors().skip(1).map(|dir| (dir.to_owned(), Some(Node::Folder))).collect();
        names.push((path.to_owned(), Some(node)));
        apply(&mut state.now, &names);
        apply(&mut state.safe, &names);
        let dir = path.parent().unwrap_or(Path::new("")).to_owned();
        *state.moves.entry(dir).or_default() += 1;
    }

    /// The bytes of a file as they are seen now, without counting as an operation.
    pub fn get(&self, path: impl AsRef<Path>) -> Option<Vec<u8>> {
        let state = self.state();
        match state.now.get(path.as_ref()) {
            Some(Node::File(id)) => state.files.get(*id).map(|file| file.now.clone()),
            _ => None,
        }
    }

    /// Every path that is not a folder, as seen now.
    pub fn paths(&self) -> Vec<PathBuf> {
        let state = self.state();
        state.now.iter().filter(|(_, node)| **node != Node::Folder).map(|(path, _)| path.clone()).collect()
    }

    /// Every disk that may be found after a power cut now: any choice of the unsettled changes of names, and
    /// of each unsynced write nothing, half or all of it. Of more than twelve unsettled changes ([`Self::unsettled`])
    /// only the last twelve are tried both ways.
    pub fn crash_states(&self) -> Vec<Self> {
        let state = self.state();
        let surely = state.pending.len().saturating_sub(12);
        let (old, young) = state.pending.split_at(surely);
        let mut disks = Vec::new();
        for choice in 0_u32..(1 << young.len()) {
            let mut names = state.safe.clone();
            let chosen = young.iter().enumerate().filter(|(i, _)| choice & (1 << i) != 0).map(|(_, c)| c);
            old.iter().chain(chosen).for_each(|change| apply(&mut names, &change.names));
            let homeless = |names: &BTreeMap<PathBuf, Node>, path: &Path| {
                path.ancestors().skip(1).any(|dir| names.get(dir) != Some(&Node::Folder))
            };
            let whole = names.clone();
            names.retain(|path, _| !homeless(&whole, path));
            let found = contents(&state.files, &names);
            disks.extend(found.into_iter().map(|files| Self::found(&files, names.clone())));
        }
        disks
    }

    fn found(files: &[Vec<u8>], names: BTreeMap<PathBuf, Node>) -> Self {
        let files = files.iter().map(|bytes| Bytes::settled(bytes)).collect();
        Self(Arc::new(Mutex::new(State { files, now: names.clone(), safe: names, ..State::default() })))
    }
}

/// Every way the named files may be found after a power cut.
fn contents(files: &[Bytes], names: &BTreeMap<PathBuf, Node>) -> Vec<Vec<Vec<u8>>> {
    let mut ways: Vec<Vec<Vec<u8>>> = vec![Vec::new()];
    for (id, file) in files.iter().enumerate() {
        let named = names.values().any(|node| *node == Node::File(id));
        let choices = if named { file.after_a_cut() } else { BTreeSet::from([Vec::new()]) };
        ways = ways
            .iter()
            .flat_map(|way| {
                choices.iter().map(move |choice| [way.as_slice(), std::slice::from_ref(choice)].concat())
            })
            .collect();
    }
    ways
}

impl Vfs for SimVfs {
    fn read(&self, path: &Path, cap: u64) -> io::Result<Option<Vec<u8>>> {
        self.state().guarded(Op::Read, |state| match state.now.get(path) {
            Some(Node::File(id)) => {
                let bytes = state.files.get(*id).map(|file| file.now.clone()).unwrap_or_default();
                if bytes.len() as u64 > cap { Err(too_large(cap)) } else { Ok(Some(bytes)) }
            }
            Some(Node::Folder | Node::Link) => Err(not_a_plain_file()),
            None => Ok(None),
        })
    }

    fn stat(&self, path: &Path) -> io::Result<Option<Stat>> {
        let stat = |is_folder, len, file, moves: u64| {
            let moved = i128::from(moves);
            Stat { is_folder, len, file, written_ns: moved, changed_ns: moved }
        };
        self.state().guarded(Op::Stat, |state| {
            Ok(state.now.get(path).map(|node| match node {
                Node::File(id) => {
                    let len = state.files.get(*id).map_or(0, |file| file.now.len());
                    stat(false, len as u64, *id as u64, 0)
                }
                Node::Folder => stat(true, 0, 0, state.moves.get(path).copied().unwrap_or(0)),
                Node::Link => stat(false, 0, 0, 0),
            }))
        })
    }

    fn list(&self, dir: &Path) -> io::Result<Option<Vec<Entry>>> {
        self.state().guarded(Op::List, |state| match state.now.get(dir) {
            Some(Node::Folder) => {
                let inside = state.now.iter().filter(|(path, _)| path.parent() == Some(dir));
                let entry = |(path, node): (&PathBuf, &Node)| {
                    let kind = match node {
                        Node::File(_) => EntryKind::File,
                        Node::Folder => EntryKind::Folder,
                        Node::Link => EntryKind::Other,
                    };
                    Some(Entry { name: path.file_name()?.to_owned(), kind })
                };
                Ok(Some(inside.filter_map(entry).collect()))
            }
            Some(_) => Err(ErrorKind::NotADirectory.into()),
            None => Ok(None),
        })
    }

    fn create_new(&self, path: &Path) -> io::Result<Box<dyn NewFile>> {
        self.state().made.push(path.to_owned());
        let id = self.state().guarded(Op::Create, |state| {
            state.in_a_folder(path)?;
            if state.now.contains_key(path) {
                return Err(ErrorKind::AlreadyExists.into());
            }
            let id = state.files.len();
            state.files.push(Bytes::default());
            state.change(vec![(path.to_owned(), Some(Node::File(id)))]);
            Ok(id)
        })?;
        Ok(Box::new(SimFile { disk: self.clone(), id }))
    }

    fn rename(&self, from: &Path, to: &Path) -> io::Result<()> {
        self.state().guarded(Op::Rename, |state| {
            state.in_a_folder(to)?;
            match (state.now.get(from).copied(), state.now.get(to)) {
                (None, _) => Err(ErrorKind::NotFound.into()),
                (_, Some(Node::Folder)) => Err(ErrorKind::IsADirectory.into()),
                (Some(node), _) if from.parent() == to.parent() => {
                    state.change(vec![(from.to_owned(), None), (to.to_owned(), Some(node))]);
                    Ok(())
                }
                // Nothing is promised of the two folders together: the file may be found in both, or in neither.
                (Some(node), _) => {
                    state.change(vec![(to.to_owned(), Some(node))]);
                    state.change(vec![(from.to_owned(), None)]);
                    Ok(())
                }
            }
        })
    }

    fn link(&self, from: &Path, to: &Path) -> io::Result<()> {
        self.state().guarded(Op::Link, |state| {
            if state.no_second_names {
                return Err(ErrorKind::Unsupported.into());
            }
            state.in_a_folder(to)?;
            match (state.now.get(from).copied(), state.now.contains_key(to)) {
                (None, _) => Err(ErrorKind::NotFound.into()),
                (_, true) => Err(ErrorKind::AlreadyExists.into()),
                (Some(node @ Node::File(_)), false) => {
                    state.change(vec![(to.to_owned(), Some(node))]);
                    Ok(())
                }
                (Some(_), false) => Err(not_a_plain_file()),
            }
        })
    }

    fn sync_dir(&self, dir: &Path) -> io::Result<()> {
        self.state().guarded(Op::SyncDir, |state| {
            if state.now.get(dir) != Some(&Node::Folder) {
                return Err(ErrorKind::NotFound.into());
            }
            if state.lie == Some(Lie::SyncDir) {
                return Ok(());
            }
            let State { pending, safe, .. } = state;
            pending.retain(|change| {
                let here = change.dir == dir;
                if here {
                    apply(safe, &change.names);
                }
                !here
            });
            Ok(())
        })
    }

    fn remove(&self, path: &Path) -> io::Result<()> {
        self.state().guarded(Op::Remove, |state| match state.now.get(path) {
            Some(Node::Folder) => Err(ErrorKind::IsADirectory.into()),
            Some(_) => {
                state.change(vec![(path.to_owned(), None)]);
                Ok(())
            }
            None => Err(ErrorKind::NotFound.into()),
        })
    }

    fn make_dir(&self, path: &Path) -> io::Result<bool> {
        self.state().guarded(Op::MakeDir, |state| match state.now.get(path) {
            Some(Node::Folder) => Ok(false),
            Some(_) => Err(ErrorKind::AlreadyExists.into()),
            None => {
                state.in_a_folder(path)?;
                state.change(vec![(path.to_owned(), Some(Node::Folder))]);
                Ok(true)
            }
        })
    }

    fn try_lock(&self, path: &Path) -> io::Result<Option<Box<dyn Held>>> {
        let mut state = self.state();
        state.guarded(Op::Lock, |state| {
            state.in_a_folder(path)?;
            match state.now.get(path) {
                Some(Node::File(_)) => {}
                Some(_) => return Err(not_a_plain_file()),
                None => {
                    let id = state.files.len();
                    state.files.push(Bytes::default());
                    state.change(vec![(path.to_owned(), Some(Node::File(id)))]);
                }
            }
            Ok(())
        })?;
        let taken = state.locks.insert(path.to_owned());
        // The lock is made only if it was won, because dropping it gives it back.
        let held = || Box::new(SimLock { disk: self.clone(), path: path.to_owned() }) as Box<dyn Held>;
        Ok(taken.then(held))
    }
}

/// A file being written in memory.
#[derive(Debug)]
struct SimFile {
    disk: SimVfs,
    id: usize,
}

impl NewFile for SimFile {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        let mut state = self.disk.state();
        let verdict = state.verdict(Op::Write);
        let Some(file) = state.files.get_mut(self.id) else { return Err(Trouble::Device.error()) };
        let half = bytes.get(..bytes.len().div_ceil(2)).unwrap_or_default();
        let (taken, answer) = match verdict {
            Verdict::Well => (bytes, Ok(bytes.len())),
            Verdict::Short => (half, Ok(half.len())),
            // A full disk often takes what still fits before it says so.
            Verdict::Fails { error, .. } => (half, Err(error)),
        };
        if !taken.is_empty() && file.unsynced.len() < WRITES_APART {
            file.unsynced.push(file.now.len());
        }
        file.now.extend_from_slice(taken);
        answer
    }

    fn sync(&mut self) -> io::Result<()> {
        let mut state = self.disk.state();
        let lying = state.lie == Some(Lie::Sync);
        let verdict = state.verdict(Op::Sync);
        let Some(file) = state.files.get_mut(self.id) else { return Err(Trouble::Device.error()) };
        let mut settle = |well: bool| {
            file.dropped |= !well;
            if !file.dropped && !lying {
                file.safe.clone_from(&file.now);
                file.unsynced.clear();
                file.emptied = false;
            }
        };
        match verdict {
            Verdict::Well | Verdict::Short => {
                settle(true);
                Ok(())
            }
            Verdict::Fails { error, done_anyway } => {
                settle(done_anyway);
                Err(error)
            }
        }
    }
}

/// A lock in memory.
#[derive(Debug)]
struct SimLock {
    disk: SimVfs,
    path: PathBuf,
}

impl Held for SimLock {}

impl Drop for SimLock {
    fn drop(&mut self) {
        self.disk.state().locks.remove(&self.path);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn write(disk: &SimVfs, path: &str) -> Box<dyn NewFile> {
        let mut file = disk.create_new(Path::new(path)).unwrap();
        file.write(b"abcd").unwrap();
        file
    }

    fn found(disk: &SimVfs, path: &str) -> BTreeSet<Option<Vec<u8>>> {
        disk.crash_states().iter().map(|disk| disk.get(path)).collect()
    }

    #[test]
    fn an_unsynced_file_may_be_found_missing_empty_halved_or_whole() {
        let disk = SimVfs::new();
        let mut file = write(&disk, "/a");
        let some = |bytes: &[u8]| Some(bytes.to_vec());
        let unsure = [None, some(b""), some(b"ab"), some(b"abcd"), some(b"ab\0\0"), some(b"\0\0\0\0")];
        assert_eq!(found(&disk, "/a"), BTreeSet::from(unsure), "its length may arrive before its bytes");
        file.sync().unwrap();
        assert_eq!(found(&disk, "/a"), BTreeSet::from([None, some(b"abcd")]));
        disk.sync_dir(Path::new("/")).unwrap();
        assert_eq!(found(&disk, "/a"), BTreeSet::from([some(b"abcd")]));
    }

    #[test]
    fn of_two_writes_the_second_may_arrive_without_the_first() {
        let disk = SimVfs::new();
        let mut file = write(&disk, "/a");
        file.write(b"xy").unwrap();
        disk.sync_dir(Path::new("/")).unwrap();
        let ways = found(&disk, "/a");
        for way in
            ["", "ab", "abcd", "abcdx", "abcdxy", "ab\0\0xy", "\0\0\0\0xy", "\0\0\0\0\0\0", "ab\0\0\0\0"]
        {
            assert!(ways.contains(&Some(way.as_bytes().to_vec())), "{way:?}");
        }
        assert!(ways.iter().flatten().all(|way| way.len() <= 6), "{ways:?}");
        file.sync().unwrap();
        assert_eq!(found(&disk, "/a"), BTreeSet::from([Some(b"abcdxy".to_vec())]));
    }

    #[test]
    fn what_is_written_in_place_may_be_found_as_it_was_empty_or_torn() {
        let disk = SimVfs::new();
        disk.put("/a", b"old!");
        let mut file = disk.write_in_place(Path::new("/a")).unwrap();
        file.write(b"newer").unwrap();
        let ways = found(&disk, "/a");
        for way in ["old!", "", "ne", "newer", "\0\0\0\0\0"] {
            assert!(ways.contains(&Some(way.as_bytes().to_vec())), "{way:?}");
        }
        assert!(disk.write_in_place(Path::new("/b")).is_err());
    }

    #[test]
    fn a_sync_after_a_failed_sync_claims_success_in_vain() {
        let disk = SimVfs::new();
        let mut file = write(&disk, "/a");
        disk.arm(Fault::once(0, Trouble::Device));
        assert!(file.sync().is_err());
        assert!(file.sync().is_ok());
        disk.sync_dir(Path::new("/")).unwrap();
        assert!(found(&disk, "/a").contains(&Some(Vec::new())));
    }

    #[test]
    fn a_fault_strikes_once_or_for_ever_and_is_counted() {
        let disk = SimVfs::new();
        let read = || disk.read(Path::new("/a"), 9).is_err();
        disk.arm(Fault::once(1, Trouble::Denied));
        assert_eq!([read(), read(), read()], [false, true, false]);
        assert_eq!(disk.disarm(), 1);
        disk.arm(Fault::always(Op::Read, Trouble::Device));
        assert_eq!([read(), disk.list(Path::new("/")).is_err(), read()], [true, false, true]);
        assert_eq!(disk.disarm(), 2);
        assert_eq!(disk.ops(), [Op::Read, Op::List, Op::Read]);
    }

    #[test]
    fn a_second_name_stays_when_the_first_gets_another_file_and_may_be_lost_until_its_folder_is_synced() {
        let disk = SimVfs::new();
        disk.put("/a", b"old");
        let link = |to: &str| disk.link(Path::new("/a"), Path::new(to));
        link("/b").unwrap();
        assert_eq!(link("/b").unwrap_err().kind(), ErrorKind::AlreadyExists);
        assert_eq!(link("/none/b").unwrap_err().kind(), ErrorKind::NotFound);
        assert!(disk.link(Path::new("/"), Path::new("/c")).is_err(), "a folder gets no second name");
        assert_eq!(found(&disk, "/b"), BTreeSet::from([None, Some(b"old".to_vec())]));
        write(&disk, "/new").sync().unwrap();
        disk.rename(Path::new("/new"), Path::new("/a")).unwrap();
        disk.sync_dir(Path::new("/")).unwrap();
        assert_eq!(found(&disk, "/a"), BTreeSet::from([Some(b"abcd".to_vec())]));
        assert_eq!(found(&disk, "/b"), BTreeSet::from([Some(b"old".to_vec())]));
        let without = disk.without_second_names().as_seen();
        let refused = without.link(Path::new("/a"), Path::new("/d")).unwrap_err();
        assert_eq!(refused.kind(), ErrorKind::Unsupported);
    }

    #[test]
    fn of_a_rename_between_folders_each_half_may_be_lost() {
        let disk = SimVfs::new();
        disk.put("/x/a", b"old");
        disk.put("/y/b", b"");
        disk.rename(Path::new("/x/a"), Path::new("/y/a")).unwrap();
        let names = |disk: &SimVfs| (disk.get("/x/a").is_some(), disk.get("/y/a").is_some());
        let ways: BTreeSet<_> = disk.crash_states().iter().map(names).collect();
        assert_eq!(ways.len(), 4, "{ways:?}");
        disk.sync_dir(Path::new("/y")).unwrap();
        let ways: BTreeSet<_> = disk.crash_states().iter().map(names).collect();
        assert_eq!(ways, BTreeSet::from([(true, true), (false, true)]));
    }

    #[test]
    fn a_lock_that_was_not_won_is_not_given_back() {
        let disk = SimVfs::new();
        let path = Path::new("/.lock");
        let first = disk.try_lock(path).unwrap();
        assert!(disk.try_lock(path).unwrap().is_none());
        assert!(disk.try_lock(path).unwrap().is_none());
        drop(first);
        assert!(disk.try_lock(path).unwrap().is_some());
    }
}
