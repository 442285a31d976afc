//! How it ends: threads that cannot be had, jobs that are not begun, and a session that is closed.

use super::*;
use crate::clock::SystemClock;

#[test]
fn where_the_second_thread_cannot_be_had_the_first_is_ended_and_the_lock_given_back() {
    let (vfs, _, _) = saved_studio();
    let opened = open(Path::new(ROOT), Arc::new(vfs.clone())).unwrap();
    let mut begun = 0;
    let started = Runner::start_on(opened.folder, None, Arc::new(|| ()), &mut |name, work| {
        begun += 1;
        if name == "worker" {
            return Err(io::Error::other("no more threads"));
        }
        std::thread::Builder::new().spawn(work)
    });
    assert_eq!((started.unwrap_err().to_string().as_str(), begun), ("no more threads", 2));
    assert_eq!(open(Path::new(ROOT), Arc::new(vfs)).unwrap().read_only, None, "the lock was given back");
}

#[test]
fn a_job_that_nobody_is_there_to_do_is_answered_as_failed() {
    let mut desk = desk();
    desk.runner.jobs = None;
    desk.act(take(desk.tag, photo()));
    let answers = desk.answers();
    assert!(matches!(&answers[..], [Action::JobDone(_, JobEnd::Failed(_))]), "{answers:?}");
    assert!(desk.bench.view(at(900)).jobs.is_empty());
}

fn other_photo() -> Source {
    let other = SampleStone { seed: 5.try_into().unwrap(), ..SampleStone::default() };
    Source::Bytes(stone_picture(&other, 64, 48).unwrap().into())
}

fn photos_on(vfs: &WatchedVfs) -> usize {
    vfs.made().iter().filter(|(_, name)| name.starts_with("photos/")).count()
}

#[test]
fn dropping_the_runner_finishes_the_job_in_hand_and_begins_no_other() {
    let mut desk = desk();
    desk.vfs.gate.close();
    desk.act(take(desk.tag, photo()));
    desk.vfs.gate.somebody_waits();
    desk.act(take(desk.tag, other_photo()));
    desk.runner.begin_no_more();
    let Desk { vfs, runner, _let_go, .. } = desk;
    vfs.gate.open();
    drop(runner);
    assert_eq!(photos_on(&vfs), 1);
}

fn session_on(vfs: &WatchedVfs) -> Session {
    Session::open_on(Path::new(ROOT), Arc::new(vfs.clone()), Arc::new(StillClock)).unwrap()
}

#[test]
fn closing_takes_in_what_is_under_way_and_tells_of_what_was_not_begun() {
    let (vfs, _, tag) = saved_studio();
    let _let_go = LetGo(vfs.gate.clone());
    let mut session = session_on(&vfs);
    vfs.gate.close();
    session.act(take(tag, photo()));
    vfs.gate.somebody_waits();
    session.act(take(tag, other_photo()));
    // The gate opens only once the session has begun to close.
    let (gate, halt) = (vfs.gate.clone(), session.halt());
    let opener = std::thread::spawn(move || {
        while !halt.begin_none.load(Ordering::SeqCst) {
            std::thread::yield_now();
        }
        gate.open();
    });
    let whys = session.close().unwrap_err();
    opener.join().unwrap();
    assert_eq!(whys, [format!("a photo for {tag} was not taken in; take it in again")]);
    let opened = open(Path::new(ROOT), Arc::new(vfs.clone())).unwrap();
    let order = &opened.studio.order(tag).unwrap().order;
    let Source::Bytes(bytes) = photo() else { panic!("bytes") };
    assert_eq!(photos_on(&vfs), 1);
    assert!(order.sheet.photos.iter().any(|photo| photo.original == Digest::of(&bytes)));
    assert_eq!(opened.folder.load_heads(), witness(&opened.studio), "the witness holds what was saved last");
}

#[test]
fn closing_tells_of_what_is_not_on_the_disk_and_of_failures_nobody_asked_for() {
    let (vfs, _, tag) = saved_studio();
    let mut session = session_on(&vfs);
    session.act(take(tag, Source::Bytes(Arc::from(&b"no picture"[..]))));
    vfs.disk.arm(Fault::always(Op::Write, Trouble::Full));
    let told = craft::fact::ClientFact::MessageSent { about: craft::fact::MessageKind::Nudge };
    session.act(Action::Edit(Edit::Order(tag, OrderEdit::Fact(told.into()))));
    let whys = session.close().unwrap_err();
    assert_eq!(whys.len(), 2, "{whys:?}");
    assert!(whys[1].starts_with("the disk is full"), "{whys:?}");
    vfs.disk.disarm();
    let session =
        Session::open_on(Path::new(ROOT), Arc::new(vfs.clone()), Arc::new(SystemClock::new())).unwrap();
    assert_eq!(session.troubles(), [], "the witness did not see what was never saved");
    assert_eq!(session.close(), Ok(()));
}

#[test]
fn a_fact_that_is_accepted_and_not_saved_is_told_from_one_that_is_refused() {
    let (vfs, _, tag) = saved_studio();
    let mut session = session_on(&vfs);
    let told = || craft::fact::ClientFact::MessageSent { about: craft::fact::MessageKind::Nudge };
    let send = || Action::Edit(Edit::Order(tag, OrderEdit::Fact(told().into())));
    let entries = |session: &Session| session.bench.view(at(900)).studio.order(tag).unwrap().order.log.len();
    let before = entries(&session);
    vfs.disk.arm(Fault::always(Op::Write, Trouble::Full));
    assert!(matches!(session.act_and_settle(send()), Err(Unsettled::Unsaved(_))));
    assert_eq!(entries(&session), before + 1);
    let refused = craft::fact::CustodyFact::Released { thing: craft::id::Thing::envelope(9) };
    let refused = Action::Edit(Edit::Order(tag, OrderEdit::Fact(refused.into())));
    assert!(matches!(session.act_and_settle(refused), Err(Unsettled::Refused(_))));
    assert_eq!(entries(&session), before + 1);
    vfs.disk.disarm();
    session.act_and_settle(Action::SaveAgain).unwrap();
    // What failed in between is reported by the next to settle, whatever it did itself.
    session.act(take(tag, Source::Bytes(Arc::from(&b"no picture"[..]))));
    assert!(matches!(session.act_and_settle(send()), Err(Unsettled::Failed(_))));
    session.act_and_settle(Action::Tick).unwrap();
}

#[test]
fn settling_hands_back_what_needs_a_window() {
    let (vfs, _, _) = saved_studio();
    let mut session = session_on(&vfs);
    let asked = session.act_and_settle(Action::Pick(crate::action::Purpose::Photos {
        tag: Tag::from_number(9).unwrap(),
        of: None,
    }));
    assert!(matches!(&asked.unwrap()[..], [Effect::Pick(_)]));
    assert!(session.settle().unwrap().is_empty(), "once");
}

#[cfg(unix)]
#[test]
fn a_pipe_or_a_folder_picked_as_a_photo_is_turned_away_before_it_is_opened() {
    let dir = tempfile::tempdir().unwrap();
    let pipe = dir.path().join("pipe.jpg");
    rustix::fs::mkfifoat(rustix::fs::CWD, &pipe, rustix::fs::Mode::RUSR | rustix::fs::Mode::WUSR).unwrap();
    for path in [pipe.as_path(), dir.path()] {
        assert_eq!(read_photo(path), Err(format!("{} is not a file; pick a photo", path.display())));
    }
    let file = dir.path().join("a.jpg");
    std::fs::write(&file, b"bytes").unwrap();
    assert_eq!(read_photo(&file), Ok(b"bytes".to_vec()));
}

#[test]
fn a_picture_for_a_message_is_there_whole_or_not_at_all() {
    let dir = tempfile::tempdir().unwrap();
    let to = dir.path().join("out.jpg");
    std::fs::write(&to, b"an older one").unwrap();
    write_whole(&to, b"the new one").unwrap();
    assert_eq!(std::fs::read(&to).unwrap(), b"the new one");
    // A folder stands where it should go: nothing is left beside it.
    let taken = dir.path().join("taken");
    std::fs::create_dir(&taken).unwrap();
    assert!(write_whole(&taken, b"the new one").is_err());
    let mut names: Vec<_> =
        std::fs::read_dir(dir.path()).unwrap().map(|entry| entry.unwrap().file_name()).collect();
    names.sort();
    assert_eq!(names, ["out.jpg", "taken"]);
}

#[test]
fn a_fault_while_the_rest_is_read_is_told_and_closing_does_not_wait_for_it() {
    let (vfs, _, tag) = saved_studio();
    let name = format!("{ROOT}/orders/{}.conflict-1.ron", tag.to_string().to_lowercase());
    vfs.disk.put(&name, b"theirs");
    let wake = Arc::new(|| ());
    // Before anything is opened: the reading of the rest begins at once.
    *held(&vfs.panics_reading) = Some("conflict-1");
    let mut session =
        Session::open_with(Path::new(ROOT), Arc::new(vfs.clone()), Arc::new(StillClock), wake, 0).unwrap();
    let why = session.settle().unwrap_err();
    assert_eq!(why, Unsettled::Failed(job_words::FAULT_INSIDE.to_owned()));
    let reading = session.bench.reading().copied().unwrap();
    assert!(!reading.is_going_on() && reading.left == 0, "{reading:?}");
    // What it could not get past is not taken for read: asked for again, it goes on with the same.
    session.act(Action::Start(Job::ReadOrders));
    assert!(session.settle().is_err() && session.bench.reading().is_some());
    *held(&vfs.panics_reading) = None;
    session.act(Action::Start(Job::ReadOrders));
    drop(session.settle());
    assert!(session.bench.reading().is_none());
    assert!(session.troubles().iter().any(|trouble| trouble.file.contains("conflict-1")));
    assert_eq!(session.close(), Err(vec![job_words::FAULT_INSIDE.to_owned(); 2]), "it is told at the end");
}

#[test]
fn a_fault_while_the_witness_is_written_costs_no_document() {
    let mut desk = desk();
    held(&desk.vfs.panics_at).push_back(".heads");
    desk.runner.note_heads(witness(desk.bench.studio()));
    while !held(&desk.vfs.panics_at).is_empty() {
        std::thread::yield_now();
    }
    desk.wish("after it");
    assert_eq!(revisions(&desk.answers()), [1]);
    assert_eq!(desk.wishes_on_disk(), "after it");
}

#[test]
fn a_picture_and_a_copy_are_never_written_among_the_files_of_the_studio() {
    let dir = tempfile::tempdir().unwrap();
    let root = dir.path().join("studio");
    let policies = sample::studio().policies().clone();
    let folder = StudioFolder::create(&root, Arc::new(store::vfs::DiskVfs), &policies).unwrap();
    let Source::Bytes(bytes) = photo() else { panic!("bytes") };
    let kept = folder.keep_photo(&bytes, "jpg").unwrap();
    let paper = Digest::of(b"%PDF");
    let name = paper_file_name(PaperKind::Kit, &paper);
    let tag = Tag::from_number(9).unwrap();
    folder.issue_paper(&tag.to_string(), &name, b"%PDF").unwrap();
    let link = dir.path().join("link");
    std::os::unix::fs::symlink(root.join("photos"), &link).unwrap();
    let picture = |to: PathBuf| Work::MessageImage { photo: kept.hash(), kind: PhotoKind::Jpeg, to };
    let copy = |to: PathBuf| Work::CopyPaper { tag, kind: PaperKind::Kit, file: paper, to };
    let original = root.join("photos").join(kept.to_string());
    for to in [original.clone(), link.join(kept.to_string()), root.join("studio.ron")] {
        for work in [picture(to.clone()), copy(to.clone())] {
            let why = do_work(&folder, &work, &going(&|| false)).unwrap_err();
            assert_eq!(why, job_words::within_the_studio(&to));
        }
    }
    assert_eq!(std::fs::read(&original).unwrap(), bytes.to_vec(), "the original is what it was");
    let (out, sheet) = (dir.path().join("out.jpg"), dir.path().join("out.pdf"));
    for work in [picture(out.clone()), copy(sheet.clone())] {
        do_work(&folder, &work, &going(&|| false)).unwrap();
    }
    assert!(out.exists() && std::fs::read(&sheet).unwrap() == b"%PDF");
}

/// A job that tells nobody how far it is, and is stopped or not.
fn going(is_stopped: &dyn Fn() -> bool) -> Going<'_> {
    Going { progress: &|_| (), tell: &|_| (), is_stopped, is_ending: &|| false }
}

#[test]
fn a_paper_that_is_stopped_while_it_is_set_is_not_kept() {
    let desk = desk();
    let work = paper_work(desk.bench.view(at(900)).studio, desk.tag, PaperKind::Kit, at(900)).unwrap();
    let folder = desk.runner.folder().clone();
    let papers = || desk.vfs.made().iter().filter(|(_, name)| name.contains(".pdf")).count();
    assert!(write_paper(&folder, &work, &going(&|| true)).is_err());
    assert_eq!(papers(), 0);
    assert!(write_paper(&folder, &work, &going(&|| false)).is_ok());
    assert_eq!(papers(), 1);
}

fn backup(desk: &Desk, to: PathBuf) -> Work {
    let about = crate::keeping::backup::about(desk.bench.studio(), at(900));
    Work::Keep(Box::new(KeepWork::Backup { to, about }))
}

#[test]
fn a_backup_gives_way_where_the_program_ends_and_nothing_is_left_of_it() {
    let desk = desk();
    let dir = tempfile::tempdir().unwrap();
    let to = dir.path().join("b.tar");
    let made = |ends: bool, id: JobId| {
        let (jobs, to_do) = channel();
        let (answer, answers) = channel();
        let halt = Halt::default();
        jobs.send((id, backup(&desk, to.clone()))).unwrap();
        drop(jobs);
        // The program ends as soon as it is told how far the backup is.
        let wake = || halt.begin_none.store(ends, Ordering::SeqCst);
        work_off(&to_do, &halt, desk.runner.folder(), &answer, &wake);
        drop(answer);
        answers.into_iter().last()
    };
    let id = JobId(7);
    let end = made(true, id);
    assert!(matches!(end, Some(Action::JobDone(_, JobEnd::Cancelled))), "{end:?}");
    assert_eq!(std::fs::read_dir(dir.path()).unwrap().count(), 0, "nothing is left of it");
    let end = made(false, id);
    assert!(matches!(end, Some(Action::JobDone(_, JobEnd::Done(_)))) && to.exists(), "{end:?}");
}

#[test]
fn a_photo_does_not_wait_for_a_backup_which_has_a_worker_of_its_own() {
    let mut desk = desk();
    let dir = tempfile::tempdir().unwrap();
    let to = dir.path().join("b.tar");
    // Where the worker of photos is not there to do anything, the backup is made all the same.
    desk.runner.jobs = None;
    desk.act(Action::Start(Job::Keep(crate::keeping::Keep::Backup { to: to.clone() })));
    let answers = desk.answers();
    let end = answers.last();
    assert!(matches!(end, Some(Action::JobDone(_, JobEnd::Done(_)))) && to.exists(), "{end:?}");
}

#[test]
fn a_photo_that_is_stopped_while_it_is_read_is_not_kept() {
    let desk = desk();
    let folder = desk.runner.folder().clone();
    assert!(take_photo(&folder, &photo(), &going(&|| true)).is_err());
    assert_eq!(folder.photos().unwrap(), []);
    assert!(take_photo(&folder, &photo(), &going(&|| false)).is_ok());
    assert_eq!(folder.photos().unwrap().len(), 1);
}
