//! A disk that fails or hangs for ever hides no running countdown, and is told of in the end.

use std::sync::atomic::AtomicI64;

use craft::fact::{PourFact, Press};
use craft::units::Span;

use super::*;
use crate::saving::Standing;
use crate::waits::{Kind, Standing as Stands};

/// A clock that a test sets, in minutes.
#[derive(Debug)]
struct HandClock(AtomicI64);

impl Clock for HandClock {
    fn now(&self) -> Moment {
        at(self.0.load(Ordering::SeqCst))
    }
}

/// A session over a stone that is laid and ready for the lamp.
fn laid() -> (WatchedVfs, Session, Arc<HandClock>, Tag) {
    let mut sample = sample::bench(Stage::Here);
    sample.begin(1, "A1");
    let vfs = WatchedVfs::over(SimVfs::new());
    let root = Path::new(ROOT);
    let folder = StudioFolder::create(root, Arc::new(vfs.clone()), sample.studio.policies()).unwrap();
    let shelf = sample.studio.shelf().keys().cloned().map(DocId::Shelf);
    let clients = sample.studio.clients().keys().cloned().map(DocId::Client);
    for doc in shelf.chain(clients).chain([DocId::Order(sample.tag)]) {
        assert!(matches!(save_doc(&folder, &sample.studio.doc(&doc).unwrap()), SaveOutcome::Saved(_)));
    }
    drop(folder);
    let clock = Arc::new(HandClock(AtomicI64::new(900)));
    let session = Session::open_on(root, Arc::new(vfs.clone()), clock.clone()).unwrap();
    (vfs, session, clock, sample.tag)
}

fn lamp_on(session: &mut Session, tag: Tag) {
    let lamp = "nail-lamp".parse().unwrap();
    let press = Press { lamp, button: 2, seconds: Span::from_s(99.0), ramp: Span::from_s(60.0) };
    let fact = PourFact::LampOn { stones: vec![1], press };
    session.act(Action::Edit(Edit::Order(tag, OrderEdit::Fact(fact.into()))));
}

/// The lamp's countdown is shown while it runs, and rings once it is over.
fn counts_and_rings(session: &mut Session, clock: &HandClock) {
    drop(session.pump());
    let view = session.view();
    let [wait] = &view.waits[..] else { panic!("{:?}", view.waits) };
    assert_eq!((wait.kind, wait.standing), (Kind::Light, Stands::Running));
    assert_eq!(wait.remaining(), Span::from_s(99.0));
    clock.0.fetch_add(2, Ordering::SeqCst);
    let effects = session.act(Action::Tick);
    let rings = effects.iter().filter(|effect| matches!(effect, Effect::Ring(_))).count();
    assert_eq!(rings, 1, "{effects:?}");
    assert!(session.view().waits[0].is_over());
}

#[test]
fn a_disk_that_hangs_hides_no_countdown_and_is_told_of() {
    let (vfs, mut session, clock, tag) = laid();
    let _let_go = LetGo(vfs.gate.clone());
    vfs.gate.close();
    lamp_on(&mut session, tag);
    vfs.gate.somebody_waits();
    assert_eq!(session.view().saving_words(), "saving");
    counts_and_rings(&mut session, &clock);
    let words = session.view().saving_words();
    assert!(words.starts_with("not saved yet: the disk has not answered for 120 s"), "{words}");
    assert!(matches!(session.bench.saves().standing(&DocId::Order(tag)), Standing::Saving));
    vfs.gate.open();
    session.settle().unwrap();
    assert_eq!(session.view().saving_words(), "saved");
}

#[test]
fn a_disk_that_fails_for_ever_hides_no_countdown_and_nothing_is_called_saved() {
    let (vfs, mut session, clock, tag) = laid();
    for op in [Op::Create, Op::Write, Op::Sync, Op::Rename, Op::SyncDir, Op::Read] {
        vfs.disk.arm(Fault::always(op, Trouble::Device));
        let mut wishes = session.view().studio.order(tag).unwrap().order.sheet.clone();
        wishes.wishes = format!("{op:?}").parse().unwrap();
        session.act(Action::Edit(Edit::Order(tag, OrderEdit::Sheet(Box::new(wishes)))));
        drop(session.settle());
        let how = crate::present::saving_words::word(session.bench.saves().standing(&DocId::Order(tag)));
        assert!(["not saved", "in doubt", "conflict"].contains(&how), "{op:?}: {how}");
        assert_ne!(session.view().saving_words(), "saved");
    }
    lamp_on(&mut session, tag);
    counts_and_rings(&mut session, &clock);
    drop(session.settle());
    vfs.disk.disarm();
    drop(session.act_and_settle(Action::SaveAgain));
    let standing = session.bench.saves().standing(&DocId::Order(tag)).clone();
    assert!(matches!(standing, Standing::Saved | Standing::Conflict(_)), "{standing:?}");
}
