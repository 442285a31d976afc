//! Photos and papers looked through in the background.

use super::*;
use crate::finding::{Finding, Lacking};
use crate::keeping::files::{Named, named};

/// What is wrong with files that were there when the desk was made.
fn look(desk: &mut Desk, files: &[Named]) -> Vec<Finding> {
    desk.act(Action::Start(Job::LookThrough));
    let answers = desk.answers();
    let looked =
        |answer: &Action| matches!(answer, Action::JobDone(_, JobEnd::Done(Outcome::LookedThrough(5))));
    assert!(answers.iter().any(looked), "{answers:?}");
    let told = answers.iter().filter(|answer| matches!(answer, Action::Looked(_))).count();
    assert!(told > 0 && told <= 100, "{told}");
    let is_ours = |finding: &&Finding| matches!(finding, Finding::File { file, .. } if files.contains(file));
    desk.bench.findings().iter().filter(is_ours).cloned().collect()
}

/// A photo that was taken in and a paper that was issued, besides three photos that are not there.
fn with_two_files() -> (Desk, [Named; 2]) {
    let mut desk = desk();
    desk.act(take(desk.tag, photo()));
    desk.answers();
    desk.act(Action::Start(Job::IssuePaper { tag: desk.tag, kind: PaperKind::Kit }));
    desk.answers();
    let files = all_files(&desk).into_iter().filter(|file| desk.vfs.disk.get(path(file)).is_some());
    let files: Vec<Named> = files.collect();
    (desk, files.try_into().unwrap())
}

fn all_files(desk: &Desk) -> Vec<Named> {
    named(desk.bench.view(at(900)).studio, &store::forgotten::Forgotten::default())
}

fn path(file: &Named) -> PathBuf {
    Path::new(ROOT).join(file.to_string())
}

#[test]
fn a_photo_that_is_gone_and_a_paper_that_was_changed_are_told_until_they_are_put_back() {
    let (mut desk, files) = with_two_files();
    let [photo, paper] = files.each_ref().map(path);
    assert_eq!(look(&mut desk, &files), []);
    let [whole, issued] = [&photo, &paper].map(|path| desk.vfs.disk.get(path).unwrap());
    desk.vfs.disk.remove(&photo).unwrap();
    desk.vfs.disk.put(&paper, &issued[1..]);
    let found = look(&mut desk, &files);
    let [
        Finding::File { file: first, how: Lacking::Gone },
        Finding::File { file: second, how: Lacking::Unsound(why) },
    ] = &found[..]
    else {
        panic!("{found:?}")
    };
    assert!(matches!(first, Named::Photo { tag, .. } if *tag == desk.tag));
    assert!(matches!(second, Named::Paper { kind: PaperKind::Kit, .. }));
    assert!(why.contains("is not what was kept"), "{why}");
    desk.vfs.disk.put(&paper, &issued);
    desk.vfs.disk.put(&photo, &whole);
    assert_eq!(look(&mut desk, &files), [], "what was found before is not told twice, nor for ever");
}

#[test]
fn a_window_looks_by_itself_and_closing_does_not_wait_for_it() {
    let (vfs, _, _) = saved_studio();
    let session =
        Session::open_waking_on(Path::new(ROOT), Arc::new(vfs), Arc::new(StillClock), Arc::new(|| ()))
            .unwrap();
    let jobs: Vec<Job> = session.view().jobs.iter().map(|row| row.job.clone()).collect();
    assert_eq!(jobs, [Job::LookThrough]);
    session.close().unwrap();
}

#[test]
fn what_is_ending_looks_at_no_further_file() {
    let (desk, _) = with_two_files();
    let files = all_files(&desk);
    let [is_stopped, is_ending] = [&|| false, &|| true] as [&dyn Fn() -> bool; 2];
    let going = Going { progress: &|_| (), tell: &|action| panic!("{action:?}"), is_stopped, is_ending };
    let end = super::super::looking::look_through(desk.runner.folder(), &files, &going);
    assert_eq!(end, Ok(Outcome::LookedThrough(0)));
}
