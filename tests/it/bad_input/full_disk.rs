//! A full disk: what is said, what is safe, and that everything is saved once there is room again.

use store::folder::StudioFolder;
use store::sim::{Fault, Op, Trouble as DiskTrouble};
use store::vfs::DiskVfs;
use workbench::clock::Clock as _;
use workbench::present::saving_words;

use super::*;
use crate::support::{client_id, policies, tag};

fn full(file: &Path) -> String {
    format!(
        "the disk is full, so {} was not saved; what was saved before is still safe and your changes are still open here; \
         free some space and it will be saved again: No space left on device (os error 28)",
        file.display()
    )
}

#[test]
fn a_full_disk_keeps_the_old_file_and_saves_the_new_one_when_there_is_room() {
    let two = Two::new();
    for (op, after) in [(Op::Create, 0), (Op::Write, 0), (Op::Sync, 0), (Op::Rename, 0)] {
        let disk = in_memory(&two.bench.root());
        let mut session = open_in_memory(&two, &disk);
        let before = disk.get(two.file());
        disk.arm(Fault { after, ..Fault::always(op, DiskTrouble::Full) });
        let said = session.act_and_settle(fact(two.one, ClientFact::KitPosted)).unwrap_err().to_string();
        assert_eq!(said, full(&two.file()), "{op:?}");
        assert_eq!(disk.get(two.file()), before, "{op:?}");
        assert!(matches!(standing(&two, &session, two.one), Standing::NotSaved(_)));
        let words = |session: &Session| saving_words::all(session.bench.view(two.bench.clock.now()).saves);
        assert_eq!(words(&session), full(&two.file()));
        // The next fact is not lost either, and saving again while it is still full says so again.
        assert_eq!(session.act_and_settle(Action::SaveAgain).unwrap_err().to_string(), full(&two.file()));
        assert!(session.act_and_settle(fact(two.one, close())).is_err());
        assert!(disk.disarm() > 0);
        session.act_and_settle(Action::SaveAgain).unwrap();
        assert!(matches!(standing(&two, &session, two.one), Standing::Saved));
        assert_eq!(words(&session), "saved");
        drop(session);
        for found in disk.crash_states() {
            let again = open_in_memory(&two, &found);
            assert_eq!(again.troubles(), []);
            let now = two.bench.clock.now();
            assert_eq!(again.bench.view(now).studio.order(two.one).unwrap().order.log.len(), 6, "{op:?}");
        }
    }
}

fn close() -> CustodyFact {
    CustodyFact::Closed { thing: Thing::wrapping(1), seal: None }
}

#[test]
fn what_never_reached_the_disk_is_not_missed_at_the_next_opening() {
    let two = Two::new();
    let disk = in_memory(&two.bench.root());
    let mut session = open_in_memory(&two, &disk);
    // The earlier version needs no writing, the order cannot be saved, and the witness of its record can.
    disk.arm(Fault { lasting: false, ..Fault::always(Op::Write, DiskTrouble::Full) });
    session.act_and_settle(fact(two.one, ClientFact::KitPosted)).unwrap_err();
    drop(session);
    assert_eq!(disk.disarm(), 1);
    let again = open_in_memory(&two, &disk);
    assert_eq!(again.troubles(), [], "no older copy was put back");
}

#[test]
fn a_really_full_disk_keeps_the_old_file_and_saves_the_new_one_when_there_is_room() {
    let two = Two::new();
    let small = two.bench.dir.path().join("small");
    // Only root may put a small disk there; the disk in memory above is filled by everyone.
    let Some(mount) = Mount::new(&small, &["-t", "tmpfs", "-o", "size=256k", "tmpfs"]) else {
        println!("no small disk could be mounted");
        return;
    };
    let root = small.join("studio");
    drop(StudioFolder::create(&root, Arc::new(DiskVfs), &policies()).unwrap());
    let client = format!("clients/{}.ron", client_id());
    for file in [client, file_of(two.one), file_of(two.other)] {
        std::fs::copy(two.bench.root().join(&file), root.join(&file)).unwrap();
    }
    let mut session = Session::open(&root, two.bench.clock.clone()).unwrap();
    assert_eq!(session.troubles(), []);
    let ballast = small.join("ballast");
    let filled = std::fs::write(&ballast, vec![0_u8; 512 * 1024]).unwrap_err();
    assert_eq!(filled.kind(), std::io::ErrorKind::StorageFull);
    let before = contents(&root);
    let said = session.act_and_settle(fact(two.one, ClientFact::KitPosted)).unwrap_err().to_string();
    assert_eq!(said, full(&root.join(file_of(two.one))));
    // What would have been replaced has a second name already, which needs no room for its bytes.
    let (earlier, now): (Vec<_>, Vec<_>) =
        contents(&root).into_iter().partition(|(path, _)| path.starts_with(root.join(".history")));
    assert_eq!(now, before);
    let old = std::fs::read(root.join(file_of(two.one))).unwrap();
    assert!(earlier.iter().all(|(_, bytes)| *bytes == old), "{} earlier versions", earlier.len());
    std::fs::remove_file(&ballast).unwrap();
    session.act_and_settle(Action::SaveAgain).unwrap();
    assert!(matches!(standing(&two, &session, two.one), Standing::Saved));
    drop(session);
    let again = Session::open(&root, two.bench.clock.clone()).unwrap();
    assert_eq!(again.troubles(), []);
    let now = two.bench.clock.now();
    assert_eq!(again.bench.view(now).studio.order(two.one).unwrap().order.log.len(), 5);
    assert_eq!(tag(1_000), two.one);
    drop(again);
    assert!(files(&root).iter().all(|path| path.extension().is_none_or(|ending| ending != "tmp")));
    drop(mount);
}
