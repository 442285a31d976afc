//! Pictures and papers to look at.

use papers::document::Pixels;

use super::*;

fn picture(photo: &[u8]) -> Job {
    Job::Picture { photo: Digest::of(photo), kind: PhotoKind::Jpeg, side_px: 320 }
}

fn preview(tag: Tag) -> Job {
    Job::PreviewPaper { tag, kind: PaperKind::Receipt, dpi: 96 }
}

fn page() -> Arc<Pixels> {
    Arc::new(Pixels { width: 1, height: 1, rgba: vec![9, 9, 9, 255] })
}

#[test]
fn a_picture_is_asked_for_once_and_is_there_without_a_trace_anywhere_else() {
    let (mut bench, _) = desk(Stage::Here);
    let before = bench.studio.clone();
    let job = picture(b"a");
    assert!(!bench.view(at(900)).is_under_way(&job));
    let (id, work) = run(bench.handle(Action::Start(job.clone()), at(900)));
    assert!(matches!(work, Work::Picture { side_px: 320, .. }));
    assert!(bench.view(at(900)).is_under_way(&job));
    assert!(!bench.view(at(900)).is_under_way(&picture(b"b")));
    assert!(bench.handle(Action::Start(job.clone()), at(900)).is_empty(), "it is under way already");
    assert_eq!(bench.view(at(900)).picture(&Digest::of(b"a")), None);
    let done = JobEnd::Done(Outcome::PictureRead(page()));
    assert!(bench.handle(Action::JobDone(id, done), at(900)).is_empty());
    let view = bench.view(at(900));
    assert_eq!(view.picture(&Digest::of(b"a")).unwrap().pixels, Ok(page()));
    assert!(
        !view.is_under_way(&job)
            && view.notice.is_none()
            && view.undo.next_undo(&Scope::Everything).is_none()
    );
    assert_eq!(bench.studio, before);
}

#[test]
fn a_picture_that_cannot_be_read_says_so_in_its_place_only() {
    let (mut bench, _) = desk(Stage::Here);
    let (id, _) = run(bench.handle(Action::Start(picture(b"a")), at(900)));
    bench.handle(Action::JobDone(id, JobEnd::Failed("it is gone".to_owned())), at(900));
    let view = bench.view(at(900));
    assert_eq!(view.picture(&Digest::of(b"a")).unwrap().pixels, Err("it is gone".to_owned()));
    assert_eq!(view.notice, None);
}

#[test]
fn a_paper_to_look_at_is_stale_once_anything_it_says_may_have_changed() {
    let (mut bench, tag) = desk(Stage::Here);
    let stale = |bench: &Workbench| bench.view(at(900)).preview(tag, PaperKind::Receipt).unwrap().is_stale;
    let set = |bench: &mut Workbench| {
        let (id, work) = run(bench.handle(Action::Start(preview(tag)), at(900)));
        assert!(matches!(work, Work::PreviewPaper { paper, dpi: 96 } if !paper.keep));
        id
    };
    let done = || JobEnd::Done(Outcome::PaperSet(vec![page()]));
    let id = set(&mut bench);
    assert!(bench.handle(Action::JobDone(id, done()), at(900)).is_empty());
    assert!(!stale(&bench));
    assert_eq!(bench.view(at(900)).preview(tag, PaperKind::Receipt).unwrap().pages, Ok(vec![page()]));

    saved(bench.handle(wish(&bench, tag, "a ring"), at(900)));
    assert!(stale(&bench), "the sheet changed");
    let id = set(&mut bench);
    // While it is being set the record changes, so it comes stale already.
    saved(bench.handle(fact(tag, ClientFact::MessageSent { about: MessageKind::ArrivedSafely }), at(900)));
    bench.handle(Action::JobDone(id, done()), at(900));
    assert!(stale(&bench));
    let id = set(&mut bench);
    bench.handle(Action::JobDone(id, done()), at(900));
    assert!(!stale(&bench));
    bench.handle(Action::Tick, at(900));
    bench.handle(Action::Tick, at(901));
    assert!(!stale(&bench), "the same day");
    bench.handle(Action::Tick, at(900 + 24 * 60));
    // The board is there since the first look, so the new day is noticed.
    assert!(stale(&bench), "papers say what day it is");
}

#[test]
fn a_paper_that_cannot_be_set_yet_says_why_in_its_place_and_changes_of_other_orders_do_not_matter() {
    let (mut bench, tag) = desk(Stage::Here);
    let job = Job::PreviewPaper { tag, kind: PaperKind::Packing, dpi: 96 };
    let asked = bench.handle(Action::Start(job), at(900));
    let view = bench.view(at(900));
    match view.preview(tag, PaperKind::Packing) {
        Some(preview) => {
            assert!(asked.is_empty() && preview.pages.is_err() && !preview.is_stale, "{preview:?}");
        }
        None => assert_eq!(asked.len(), 1, "a paper that can be set is set"),
    }
    assert_eq!(view.notice, None);
    let nowhere = Tag::from_number(77).unwrap();
    assert!(bench.handle(Action::Start(preview(nowhere)), at(900)).is_empty());
    let pages = bench.view(at(900)).preview(nowhere, PaperKind::Receipt).unwrap().pages.clone();
    assert!(pages.is_err_and(|why| why.contains(&nowhere.to_string())));
    saved(bench.handle(wish(&bench, tag, "a ring"), at(900)));
    assert!(!bench.view(at(900)).preview(nowhere, PaperKind::Receipt).unwrap().is_stale);
}

#[test]
fn looking_is_allowed_where_nothing_may_be_changed() {
    let sample = sample::bench(Stage::Here);
    let mut bench = Workbench::new(sample.studio, Some("only to be read".to_owned()));
    run(bench.handle(Action::Start(picture(b"a")), at(900)));
    run(bench.handle(Action::Start(preview(sample.tag)), at(900)));
    assert_eq!(bench.view(at(900)).notice, None);
}
