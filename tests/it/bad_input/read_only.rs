//! Folders that may not be written to, and a second window.

use std::os::unix::fs::{MetadataExt as _, PermissionsExt as _};

use store::sim::{Fault, Op, Trouble as DiskTrouble};

use super::*;

const DENIED: &str = "this folder cannot be written to, so the studio can only be read; allow writing to the folder and \
                      open it again to make changes";

/// Everything can be read, and nothing can be changed, with the reason said each time.
fn only_read(mut session: Session, two: &Two, why: &str) {
    use workbench::clock::Clock as _;
    let now = two.bench.clock.now();
    assert_eq!(session.troubles(), []);
    assert_eq!(session.bench.view(now).read_only, Some(why));
    assert_eq!(session.bench.view(now).studio.order(two.one).unwrap().order.log.len(), 4);
    assert_eq!(session.act_and_settle(fact(two.one, ClientFact::KitPosted)).unwrap_err().to_string(), why);
    assert_eq!(session.bench.view(now).studio.order(two.one).unwrap().order.log.len(), 4);
    assert!(session.bench.view(now).saves.all_saved());
}

#[test]
fn a_folder_that_may_not_be_written_to_can_be_read() {
    let two = Two::new();
    let before = contents(&two.bench.root());
    // Root may write anywhere but on a file system that is mounted for reading only.
    let view = two.bench.dir.path().join("view");
    let mount = Mount::new(&view, &["-o", "bind,ro", &two.bench.root().to_string_lossy()]);
    let (root, modes) = match &mount {
        Some(_) => (view, Vec::new()),
        None => (two.bench.root(), forbid_writing(&two.bench.root())),
    };
    let may_write = std::fs::write(root.join(".probe"), b"").is_ok();
    if may_write {
        // A disk in memory, below, denies it to root as well.
        assert_eq!(
            std::fs::metadata("/proc/self").unwrap().uid(),
            0,
            "only root may write where that is forbidden"
        );
        println!("root may not mount here, so nothing on the real disk can be forbidden");
    } else {
        only_read(Session::open(&root, two.bench.clock.clone()).unwrap(), &two, DENIED);
    }
    for (path, mode) in modes {
        std::fs::set_permissions(path, mode).unwrap();
    }
    drop(mount);
    assert_eq!(contents(&two.bench.root()), before);
}

fn forbid_writing(root: &Path) -> Vec<(PathBuf, std::fs::Permissions)> {
    let mut all = files(root);
    all.extend(["orders", "clients", "shelf", "money", "photos", "papers", ""].map(|name| root.join(name)));
    let modes: Vec<_> =
        all.into_iter().map(|path| (path.clone(), path.metadata().unwrap().permissions())).collect();
    for (path, mode) in &modes {
        std::fs::set_permissions(path, std::fs::Permissions::from_mode(mode.mode() & 0o555)).unwrap();
    }
    modes
}

#[test]
fn a_disk_that_denies_writing_can_be_read() {
    let two = Two::new();
    // The lock is denied, or only the making of files.
    for op in [Op::Lock, Op::Create] {
        let disk = in_memory(&two.bench.root());
        let before: Vec<_> = disk.paths().into_iter().map(|path| (disk.get(&path), path)).collect();
        disk.arm(Fault::always(op, DiskTrouble::Denied));
        only_read(open_in_memory(&two, &disk), &two, DENIED);
        disk.disarm();
        let after: Vec<_> = disk.paths().into_iter().map(|path| (disk.get(&path), path)).collect();
        assert_eq!(after, before, "{op:?}");
    }
}

#[test]
fn a_folder_whose_writing_is_denied_later_says_so_and_keeps_what_was_saved() {
    let two = Two::new();
    let disk = in_memory(&two.bench.root());
    let mut session = open_in_memory(&two, &disk);
    let file = two.file();
    let before = disk.get(&file);
    disk.arm(Fault::always(Op::Create, DiskTrouble::Denied));
    let said = session.act_and_settle(fact(two.one, ClientFact::KitPosted)).unwrap_err().to_string();
    assert_eq!(
        said,
        format!(
            "this folder cannot be written to, so {} was not saved; what was saved before is still safe and your changes \
             are still open here; allow writing to the folder, then save again: Permission denied (os error 13)",
            file.display()
        )
    );
    assert_eq!(disk.get(&file), before);
    assert!(matches!(standing(&two, &session, two.one), Standing::NotSaved(_)));
    disk.disarm();
    session.act_and_settle(Action::SaveAgain).unwrap();
    assert!(matches!(standing(&two, &session, two.one), Standing::Saved));
    drop(session);
    let again = open_in_memory(&two, &disk);
    use workbench::clock::Clock as _;
    assert_eq!(again.bench.view(two.bench.clock.now()).studio.order(two.one).unwrap().order.log.len(), 5);
}

#[test]
fn a_second_window_can_only_read_until_the_first_is_closed() {
    let two = Two::new();
    let before = contents(&two.bench.root());
    let first = two.session();
    only_read(
        two.session(),
        &two,
        "the studio is open in another window, so here it can only be read; close the other window and open it again to \
         make changes",
    );
    assert_eq!(contents(&two.bench.root()), before);
    drop(first);
    two.session().act_and_settle(fact(two.one, ClientFact::KitPosted)).unwrap();
}
