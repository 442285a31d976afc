use std::collections::VecDeque;
use std::io;
use std::path::PathBuf;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::thread::current;

use craft::fact::PaperKind;
use craft::moment::Moment;
use craft::order::PhotoKind;
use craft::stage::Stage;
use craft::studio::{Edit, OrderEdit, Studio};
use craft::tag::Tag;
use papers::photo::sample::{SampleStone, stone_picture};
use proptest::prelude::*;
use store::sim::{Fault, Op, SimVfs, Trouble};
use store::vfs::{Entry, Held, NewFile, Stat, Vfs};

use super::*;
use crate::action::Job;
use crate::clock::Clock;
use crate::open::{open, witness};
use crate::present::sample::{self, at};
use crate::session::{Session, Unsettled};
use crate::state::{Workbench, paper_work};

mod ends;
mod looking;
mod sick;
mod watching;

const ROOT: &str = "/studio";

/// A gate that a test opens and closes, and at which it can wait for somebody to stand.
#[derive(Debug, Default)]
struct Gate {
    state: Mutex<(bool, usize)>,
    moved: Condvar,
}

impl Gate {
    fn close(&self) {
        held(&self.state).0 = true;
    }

    fn open(&self) {
        held(&self.state).0 = false;
        self.moved.notify_all();
    }

    /// Passes, or stands before the gate until it is opened.
    fn pass(&self) {
        let mut state = held(&self.state);
        state.1 += 1;
        self.moved.notify_all();
        while state.0 {
            state = self.moved.wait(state).unwrap();
        }
        state.1 -= 1;
    }

    /// Waits until somebody stands before the gate.
    fn somebody_waits(&self) {
        let mut state = held(&self.state);
        while state.1 == 0 {
            state = self.moved.wait(state).unwrap();
        }
    }
}

/// A disk in memory that notes who makes which file, lets nobody past a closed gate, and can be told to panic.
#[derive(Debug, Clone)]
struct WatchedVfs {
    disk: SimVfs,
    gate: Arc<Gate>,
    made: Arc<Mutex<Vec<(String, String)>>>,
    panics_at: Arc<Mutex<VecDeque<&'static str>>>,
    /// It panics each time such a file is read.
    panics_reading: Arc<Mutex<Option<&'static str>>>,
}

impl WatchedVfs {
    fn over(disk: SimVfs) -> Self {
        Self {
            disk,
            gate: Arc::default(),
            made: Arc::default(),
            panics_at: Arc::default(),
            panics_reading: Arc::default(),
        }
    }

    /// Who put which file into place, in order.
    fn made(&self) -> Vec<(String, String)> {
        held(&self.made).clone()
    }
}

impl Vfs for WatchedVfs {
    fn read(&self, path: &Path, cap: u64) -> io::Result<Option<Vec<u8>>> {
        let panics = held(&self.panics_reading).is_some_and(|part| path.to_string_lossy().contains(part));
        assert!(!panics, "told to panic at {}", path.display());
        self.disk.read(path, cap)
    }

    fn stat(&self, path: &Path) -> io::Result<Option<Stat>> {
        self.disk.stat(path)
    }

    fn list(&self, dir: &Path) -> io::Result<Option<Vec<Entry>>> {
        self.disk.list(dir)
    }

    fn create_new(&self, path: &Path) -> io::Result<Box<dyn NewFile>> {
        self.gate.pass();
        self.disk.create_new(path)
    }

    fn rename(&self, from: &Path, to: &Path) -> io::Result<()> {
        let name = to.strip_prefix(ROOT).unwrap().to_string_lossy().into_owned();
        let panics = {
            let mut at = held(&self.panics_at);
            at.front().is_some_and(|part| name.contains(part)).then(|| at.pop_front()).is_some()
        };
        assert!(!panics, "told to panic at {name}");
        held(&self.made).push((current().name().unwrap_or_default().to_owned(), name));
        self.disk.rename(from, to)
    }

    fn link(&self, from: &Path, to: &Path) -> io::Result<()> {
        self.disk.link(from, to)
    }

    fn sync_dir(&self, dir: &Path) -> io::Result<()> {
        self.disk.sync_dir(dir)
    }

    fn remove(&self, path: &Path) -> io::Result<()> {
        self.disk.remove(path)
    }

    fn make_dir(&self, path: &Path) -> io::Result<bool> {
        self.disk.make_dir(path)
    }

    fn try_lock(&self, path: &Path) -> io::Result<Option<Box<dyn Held>>> {
        self.disk.try_lock(path)
    }
}

#[derive(Debug)]
struct StillClock;

impl Clock for StillClock {
    fn now(&self) -> Moment {
        at(900)
    }
}

/// Opens the gate when a test ends, also by a failed assertion, so that the threads can be joined.
struct LetGo(Arc<Gate>);

impl Drop for LetGo {
    fn drop(&mut self) {
        self.0.open();
    }
}

/// The sample studio in a folder, with a runner over it.
struct Desk {
    // Dropped before the runner, which waits for its threads.
    _let_go: LetGo,
    vfs: WatchedVfs,
    runner: Runner,
    bench: Workbench,
    tag: Tag,
    woken: Arc<AtomicUsize>,
}

fn saved_studio() -> (WatchedVfs, Studio, Tag) {
    let sample = sample::bench(Stage::Here);
    let vfs = WatchedVfs::over(SimVfs::new());
    let folder =
        StudioFolder::create(Path::new(ROOT), Arc::new(vfs.clone()), sample.studio.policies()).unwrap();
    let shelf = sample.studio.shelf().keys().cloned().map(DocId::Shelf);
    let clients = sample.studio.clients().keys().cloned().map(DocId::Client);
    for doc in shelf.chain(clients).chain([DocId::Order(sample.tag)]) {
        let outcome = save_doc(&folder, &sample.studio.doc(&doc).unwrap());
        assert!(matches!(outcome, SaveOutcome::Saved(_)), "{outcome:?}");
    }
    held(&vfs.made).clear();
    (vfs, sample.studio, sample.tag)
}

fn desk() -> Desk {
    let (vfs, _, tag) = saved_studio();
    desk_on(vfs, tag)
}

fn desk_on(vfs: WatchedVfs, tag: Tag) -> Desk {
    let opened = open(Path::new(ROOT), Arc::new(vfs.clone())).unwrap();
    assert_eq!(opened.troubles, []);
    let woken = Arc::new(AtomicUsize::new(0));
    let wake = {
        let woken = woken.clone();
        Arc::new(move || {
            woken.fetch_add(1, Ordering::SeqCst);
        })
    };
    let runner = Runner::start(opened.folder, wake).unwrap();
    let bench = Workbench::new(opened.studio, None);
    Desk { _let_go: LetGo(vfs.gate.clone()), vfs, runner, bench, tag, woken }
}

impl Desk {
    fn act(&mut self, action: Action) {
        let effects = self.bench.handle(action, at(900));
        let rest = self.runner.perform(effects);
        assert!(rest.iter().all(|effect| matches!(effect, Effect::WakeAt(_))), "{rest:?}");
    }

    fn wish(&mut self, words: &str) {
        let mut sheet = self.bench.view(at(900)).studio.order(self.tag).unwrap().order.sheet.clone();
        sheet.wishes = words.parse().unwrap();
        self.act(Action::Edit(Edit::Order(self.tag, OrderEdit::Sheet(Box::new(sheet)))));
    }

    /// Every answer until nothing is under way, each handed to the workbench.
    fn answers(&mut self) -> Vec<Action> {
        let mut all = Vec::new();
        while let Some(answer) = self.runner.wait_for_answer() {
            all.push(answer.clone());
            self.act(answer);
        }
        assert_eq!(self.runner.waiting_for, 0);
        assert!(self.runner.answer().is_none(), "an answer came that nobody waited for");
        all
    }

    /// How often the window was woken; the threads are over then, since an answer is sent before it wakes.
    fn woken_in_all(self) -> usize {
        drop(self.runner);
        self.woken.load(Ordering::SeqCst)
    }

    fn wishes_on_disk(&self) -> String {
        let vfs = Arc::new(self.vfs.disk.clone());
        // The lock is this runner's, so this second look can only read.
        let studio = open(Path::new(ROOT), vfs).unwrap().studio;
        studio.order(self.tag).unwrap().order.sheet.wishes.to_string()
    }
}

fn revisions(answers: &[Action]) -> Vec<u64> {
    let rev = |answer: &Action| match answer {
        Action::SaveDone(_, rev, SaveOutcome::Saved(_)) => rev.0,
        other => panic!("a save that went well, not {other:?}"),
    };
    answers.iter().map(rev).collect()
}

fn photo() -> Source {
    Source::Bytes(stone_picture(&SampleStone::default(), 64, 48).unwrap().into())
}

fn take(tag: Tag, source: Source) -> Action {
    Action::Start(Job::TakePhoto { tag, of: None, caption: sample::line("as taken"), source })
}

#[test]
fn the_newest_revision_wins_while_the_saver_is_busy_and_every_answer_is_waited_for() {
    let mut desk = desk();
    desk.vfs.gate.close();
    desk.wish("first");
    // The first revision is in flight, held up by the disk.
    desk.vfs.gate.somebody_waits();
    assert_eq!(desk.runner.waiting_for, 1);
    for words in ["second", "third", "fourth"] {
        desk.wish(words);
    }
    // One is in flight and one is pending: the second and third were replaced before they began.
    assert_eq!(desk.runner.waiting_for, 2);
    assert!(desk.runner.answer().is_none());
    assert!(!desk.bench.view(at(900)).saves.all_saved());
    desk.vfs.gate.open();
    let answers = desk.answers();
    assert_eq!(revisions(&answers), [1, 4]);
    assert!(desk.bench.view(at(900)).saves.all_saved());
    assert_eq!(desk.wishes_on_disk(), "fourth");
    assert_eq!(desk.vfs.made().len(), 2, "{:?}", desk.vfs.made());
    assert_eq!(desk.woken_in_all(), 2);
}

/// What can happen around the saver, in any order.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Turn {
    Wish,
    Shelf,
    OpenGate,
    CloseGate,
    Look,
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn however_revisions_meet_the_saver_the_waiting_neither_hangs_nor_ends_early(
        turns in prop::collection::vec(
            prop::sample::select(vec![Turn::Wish, Turn::Wish, Turn::Shelf, Turn::OpenGate, Turn::CloseGate, Turn::Look]),
            1..20,
        ),
    ) {
        let mut desk = desk();
        let (mut wished, mut retired, mut told) = (0, 0, Vec::new());
        for turn in &turns {
            match turn {
                Turn::Wish => {
                    wished += 1;
                    desk.wish(&format!("wish {wished}"));
                }
                Turn::Shelf => {
                    retired += 1;
                    let retire = craft::studio::ShelfEdit::Retire(retired % 2 == 1);
                    desk.act(Action::Edit(Edit::Shelf(sample::id("deep-green"), retire)));
                }
                Turn::OpenGate => desk.vfs.gate.open(),
                Turn::CloseGate => desk.vfs.gate.close(),
                Turn::Look => {
                    if let Some(answer) = desk.runner.answer() {
                        told.push(answer.clone());
                        desk.act(answer);
                    }
                }
            }
        }
        desk.vfs.gate.open();
        // Comes back only when nothing is under way, and then every document's newest revision has been answered.
        told.extend(desk.answers());
        prop_assert!(desk.bench.view(at(900)).saves.all_saved());
        for (doc, newest) in [(DocId::Order(desk.tag), wished), (DocId::Shelf(sample::id("deep-green")), retired)] {
            let of_doc: Vec<_> = told
                .iter()
                .filter(|answer| matches!(answer, Action::SaveDone(id, ..) if *id == doc))
                .cloned()
                .collect();
            let revisions = revisions(&of_doc);
            prop_assert_eq!(revisions.last().copied().unwrap_or(0), newest);
            prop_assert!(revisions.is_sorted_by(|a, b| a < b));
        }
        prop_assert_eq!(desk.vfs.made().len(), told.len(), "one answer for each save that was made");
        if wished > 0 {
            prop_assert_eq!(desk.wishes_on_disk(), format!("wish {wished}"));
        }
    }
}

#[test]
fn documents_of_their_own_are_each_saved_and_answered() {
    let mut desk = desk();
    desk.vfs.gate.close();
    desk.wish("ours");
    desk.vfs.gate.somebody_waits();
    for item in ["clear-resin", "deep-green", "nail-lamp"] {
        let retire = craft::studio::ShelfEdit::Retire(true);
        desk.act(Action::Edit(Edit::Shelf(sample::id(item), retire)));
    }
    assert_eq!(desk.runner.waiting_for, 4);
    desk.vfs.gate.open();
    assert_eq!(revisions(&desk.answers()), [1, 1, 1, 1]);
    assert_eq!(desk.vfs.made().len(), 4);
}

#[test]
fn dropping_the_runner_writes_everything_that_was_handed_over_and_the_heads_last() {
    let mut desk = desk();
    desk.vfs.gate.close();
    desk.wish("first");
    desk.vfs.gate.somebody_waits();
    desk.wish("last");
    let retire = craft::studio::ShelfEdit::Retire(true);
    desk.act(Action::Edit(Edit::Shelf(sample::id("deep-green"), retire)));
    let heads = witness(desk.bench.view(at(900)).studio);
    desk.runner.note_heads(heads.clone());
    let Desk { vfs, runner, tag, .. } = desk;
    vfs.gate.open();
    drop(runner);
    let names: Vec<_> = vfs.made().into_iter().map(|(_, name)| name).collect();
    assert_eq!(names.last().unwrap(), ".heads");
    assert_eq!(names.iter().filter(|name| *name == ".heads").count(), 1);
    let opened = open(Path::new(ROOT), Arc::new(vfs.disk.clone())).unwrap();
    assert_eq!(opened.studio.order(tag).unwrap().order.sheet.wishes.as_str(), "last");
    assert!(opened.studio.item(&sample::id("deep-green")).unwrap().retired);
    assert_eq!(opened.folder.load_heads(), heads);
    assert_eq!(opened.read_only, None, "the lock was given back");
}

#[test]
fn only_the_saver_writes_documents_and_only_the_worker_keeps_photos_and_papers() {
    let mut desk = desk();
    let tag = desk.tag;
    desk.wish("ours");
    desk.act(take(tag, photo()));
    desk.act(Action::Start(Job::IssuePaper { tag, kind: PaperKind::Kit }));
    desk.answers();
    assert_eq!(desk.bench.view(at(900)).notice, None);
    desk.runner.note_heads(witness(desk.bench.view(at(900)).studio));
    let vfs = desk.vfs.clone();
    drop(desk);
    let made = vfs.made();
    for part in ["orders/", "photos/", "papers/", ".heads"] {
        assert!(made.iter().any(|(_, name)| name.starts_with(part)), "{part} in {made:?}");
    }
    for (who, name) in &made {
        let kept = name.starts_with("photos/") || name.starts_with("papers/");
        assert_eq!(who, if kept { "worker" } else { "saver" }, "{name}");
    }
}

#[test]
fn a_panic_in_a_job_fails_that_job_and_later_jobs_still_run() {
    let mut desk = desk();
    held(&desk.vfs.panics_at).push_back("photos/");
    let tag = desk.tag;
    desk.act(take(tag, photo()));
    desk.act(take(tag, photo()));
    let ends: Vec<_> = desk
        .answers()
        .into_iter()
        .filter_map(|answer| match answer {
            Action::JobDone(_, end) => Some(end),
            _ => None,
        })
        .collect();
    assert!(
        matches!(&ends[..], [JobEnd::Failed(why), JobEnd::Done(Outcome::PhotoKept { .. })] if why.contains("please try again")),
        "{ends:?}"
    );
    let photos = &desk.bench.view(at(900)).studio.order(tag).unwrap().order.sheet.photos;
    assert_eq!(photos.last().unwrap().caption, sample::line("as taken"));
}

#[test]
fn a_panic_while_saving_is_said_of_that_save_and_the_saver_goes_on() {
    let mut desk = desk();
    held(&desk.vfs.panics_at).push_back("orders/");
    desk.wish("first");
    let answers = desk.answers();
    assert!(
        matches!(&answers[..], [Action::SaveDone(_, _, SaveOutcome::NotSaved(why))] if why.to_string().contains("changes are still open here")),
        "{answers:?}"
    );
    assert_ne!(desk.wishes_on_disk(), "first");
    desk.act(Action::SaveAgain);
    assert_eq!(revisions(&desk.answers()), [2]);
    assert_eq!(desk.wishes_on_disk(), "first");
}

#[test]
fn a_full_disk_is_told_and_saving_again_mends_it() {
    let mut desk = desk();
    desk.vfs.disk.arm(Fault::always(Op::Write, Trouble::Full));
    desk.wish("first");
    let answers = desk.answers();
    assert!(matches!(&answers[..], [Action::SaveDone(_, _, SaveOutcome::NotSaved(_))]), "{answers:?}");
    assert!(!desk.bench.view(at(900)).saves.all_saved());
    assert!(desk.vfs.disk.disarm() > 0);
    desk.act(Action::SaveAgain);
    assert_eq!(revisions(&desk.answers()), [2]);
    assert_eq!(desk.wishes_on_disk(), "first");
}

#[test]
fn a_paper_tells_how_far_it_is_before_it_is_done() {
    let mut desk = desk();
    let tag = desk.tag;
    // Photos of what came stand on the receipt, and must be in the studio.
    let original = stone_picture(&SampleStone::default(), 64, 48).unwrap();
    let kept = desk.runner.folder().keep_photo(&original, "jpg").unwrap().hash();
    let mut work = paper_work(desk.bench.view(at(900)).studio, tag, PaperKind::Kit, at(900)).unwrap();
    work.photos = vec![(kept, PhotoKind::Jpeg); 2];
    desk.runner.perform(vec![Effect::Run(JobId(40), Work::IssuePaper(Box::new(work)))]);
    let mut seen = Vec::new();
    while let Some(answer) = desk.runner.wait_for_answer() {
        match answer {
            Action::Progress(JobId(40), percent) => seen.push(percent),
            Action::JobDone(JobId(40), JobEnd::Done(Outcome::PaperWritten { pages, pdf, .. })) => {
                assert!(pages > 0 && pdf.starts_with(b"%PDF-"));
                seen.push(100);
            }
            other => panic!("{other:?}"),
        }
    }
    assert_eq!(seen, [40, 80, 100]);
    assert_eq!(desk.woken_in_all(), 3, "each answer wakes the window");
}

#[test]
fn a_job_that_is_stopped_before_its_turn_does_nothing() {
    let mut desk = desk();
    let tag = desk.tag;
    desk.vfs.gate.close();
    desk.act(take(tag, photo()));
    desk.vfs.gate.somebody_waits();
    // The second waits behind the first, which is held up by the disk.
    let other = stone_picture(&SampleStone { seed: 5.try_into().unwrap(), ..SampleStone::default() }, 64, 48);
    desk.act(take(tag, Source::Bytes(other.unwrap().into())));
    let second = desk.bench.view(at(900)).jobs.last().unwrap().id;
    desk.act(Action::Cancel(second));
    desk.vfs.gate.open();
    let answers = desk.answers();
    assert!(
        answers
            .iter()
            .any(|answer| matches!(answer, Action::JobDone(id, JobEnd::Cancelled) if *id == second)),
        "{answers:?}"
    );
    let photos = desk.vfs.made().iter().filter(|(_, name)| name.starts_with("photos/")).count();
    assert_eq!(photos, 1);
}

#[test]
fn a_paper_that_was_never_recorded_does_not_stand_in_the_way_of_the_next() {
    let mut desk = desk();
    let tag = desk.tag;
    let issue = |desk: &mut Desk, minute, id| {
        let work = paper_work(desk.bench.view(at(900)).studio, tag, PaperKind::Kit, at(minute)).unwrap();
        desk.runner.perform(vec![Effect::Run(JobId(id), Work::IssuePaper(Box::new(work)))]);
        match desk.runner.wait_for_answer() {
            Some(Action::JobDone(_, JobEnd::Done(Outcome::PaperWritten { name, file, .. }))) => (name, file),
            other => panic!("{other:?}"),
        }
    };
    let (first, first_file) = issue(&mut desk, 900, 41);
    let (second, second_file) = issue(&mut desk, 2_000, 42);
    assert_ne!(first_file, second_file, "the day stands on it");
    assert_ne!(first, second);
    assert_eq!(second, paper_file_name(PaperKind::Kit, &second_file));
    let folder = desk.runner.folder();
    for (name, file) in [(&first, first_file), (&second, second_file)] {
        assert!(folder.paper(&tag.to_string(), name, file).unwrap().is_some());
    }
}

#[test]
fn what_needs_a_window_is_handed_back() {
    let mut desk = desk();
    let effects =
        vec![Effect::Notify("ready".to_owned()), Effect::Copy("A2B".to_owned()), Effect::WakeAt(at(901))];
    let rest = desk.runner.perform(effects);
    assert!(matches!(&rest[..], [Effect::Notify(_), Effect::Copy(_), Effect::WakeAt(_)]), "{rest:?}");
    assert!(desk.runner.wait_for_answer().is_none());
}

#[test]
fn a_picture_that_cannot_be_read_fails_with_its_name() {
    let mut desk = desk();
    let tag = desk.tag;
    for (source, word) in [
        (Source::File("/nowhere/lock of hair.jpg".into()), "/nowhere/lock of hair.jpg could not be read"),
        (Source::Bytes(Arc::from(&b"no picture"[..])), ""),
    ] {
        desk.act(take(tag, source));
        let answers = desk.answers();
        assert!(
            matches!(&answers[..], [Action::JobDone(_, JobEnd::Failed(why))] if !why.is_empty() && why.contains(word)),
            "{answers:?}"
        );
    }
}

#[test]
fn a_session_settles_with_what_the_person_would_be_told() {
    let (vfs, _, tag) = saved_studio();
    let mut session = Session::open_on(Path::new(ROOT), Arc::new(vfs.clone()), Arc::new(StillClock)).unwrap();
    let wish = |session: &Session, words: &str| {
        let mut sheet = session.bench.view(at(900)).studio.order(tag).unwrap().order.sheet.clone();
        sheet.wishes = words.parse().unwrap();
        Action::Edit(Edit::Order(tag, OrderEdit::Sheet(Box::new(sheet))))
    };
    session.act_and_settle(wish(&session, "a ring")).unwrap();
    vfs.disk.arm(Fault::always(Op::Write, Trouble::Full));
    let why = session.act_and_settle(wish(&session, "a pendant")).unwrap_err();
    assert!(matches!(&why, Unsettled::Unsaved(why) if why.starts_with("the disk is full")), "{why}");
    vfs.disk.disarm();
    session.act_and_settle(Action::SaveAgain).unwrap();
    let refused = Action::Edit(Edit::Order(
        Tag::from_number(9).unwrap(),
        OrderEdit::Story(craft::order::Words {
            about: craft::order::About::Page(craft::order::Page::Brief),
            text: "x".parse().unwrap(),
        }),
    ));
    let why = session.act_and_settle(refused).unwrap_err();
    assert!(matches!(&why, Unsettled::Refused(why) if why.starts_with("there is no order")), "{why}");
    let heads = witness(session.bench.view(at(900)).studio);
    drop(session);
    assert_eq!(vfs.made().last().unwrap(), &("saver".to_owned(), ".heads".to_owned()));
    let opened = open(Path::new(ROOT), Arc::new(vfs.disk.clone())).unwrap();
    assert_eq!(opened.folder.load_heads(), heads);
    assert_eq!(opened.studio.order(tag).unwrap().order.sheet.wishes.as_str(), "a pendant");
}

#[test]
fn a_window_pumps_pictures_and_papers_to_look_at_without_waiting() {
    let (vfs, _, tag) = saved_studio();
    let (bell, rung) = channel();
    let bell = Mutex::new(bell);
    let wake: Arc<dyn Fn() + Send + Sync> = Arc::new(move || held(&bell).send(()).unwrap_or_default());
    let mut session =
        Session::open_waking_on(Path::new(ROOT), Arc::new(vfs.clone()), Arc::new(StillClock), wake).unwrap();
    assert!(session.pump().is_empty(), "nothing is ready, and it does not wait");
    let bytes = stone_picture(&SampleStone::default(), 320, 240).unwrap();
    let photo = Digest::of(&bytes);
    let pump_until = |session: &mut Session, done: &dyn Fn(&Session) -> bool| {
        while !done(session) {
            rung.recv_timeout(Duration::from_mins(1)).unwrap();
            assert!(session.pump().is_empty());
        }
    };
    assert!(session.act(take(tag, Source::Bytes(bytes.into()))).is_empty());
    pump_until(&mut session, &|session| session.view().jobs.is_empty() && session.view().saves.all_saved());
    let made = vfs.made().len();

    session.act(Action::Start(Job::Picture { photo, kind: PhotoKind::Jpeg, side_px: 32 }));
    session.act(Action::Start(Job::PreviewPaper { tag, kind: PaperKind::Kit, dpi: 48 }));
    let gone = Digest::of(b"never kept");
    session.act(Action::Start(Job::Picture { photo: gone, kind: PhotoKind::Png, side_px: 32 }));
    pump_until(&mut session, &|session| session.view().jobs.is_empty());
    let view = session.view();
    let pixels = view.picture(&photo).unwrap().pixels.clone().unwrap();
    assert_eq!((pixels.width, pixels.height, pixels.rgba.len()), (32, 24, 32 * 24 * 4));
    assert!(pixels.rgba.chunks(4).all(|pixel| pixel[3] == 255));
    assert!(pixels.rgba.chunks(4).any(|pixel| pixel[..3] != pixels.rgba[..3]), "there is a picture on it");
    let pages = view.preview(tag, PaperKind::Kit).unwrap().pages.clone().unwrap();
    // A4 at 48 dots an inch: 210 mm and 297 mm (ISO 216) over 25.4, times 48.
    assert_eq!((pages[0].width, pages[0].height), (397, 561));
    let why = view.picture(&gone).unwrap().pixels.clone().unwrap_err();
    assert!(why.contains("no longer in the studio's folder"), "{why}");
    assert_eq!(view.notice, None);
    assert_eq!(vfs.made().len(), made, "nothing is kept of what was only looked at");
    session.close().unwrap();
}

#[test]
fn closing_does_not_tell_of_pictures_that_were_only_to_be_looked_at() {
    let (vfs, _, tag) = saved_studio();
    let _let_go = LetGo(vfs.gate.clone());
    let mut session = Session::open_on(Path::new(ROOT), Arc::new(vfs.clone()), Arc::new(StillClock)).unwrap();
    vfs.gate.close();
    session.act(take(tag, photo()));
    vfs.gate.somebody_waits();
    session.act(Action::Start(Job::PreviewPaper { tag, kind: PaperKind::Kit, dpi: 48 }));
    session.act(take(tag, photo()));
    // The gate opens only once the session has begun to close.
    let (gate, halt) = (vfs.gate.clone(), session.halt());
    let opener = std::thread::spawn(move || {
        while !halt.begin_none.load(Ordering::SeqCst) {
            std::thread::yield_now();
        }
        gate.open();
    });
    let told = session.close().unwrap_err();
    opener.join().unwrap();
    assert_eq!(told, [format!("a photo for {tag} was not taken in; take it in again")]);
}
