use std::path::PathBuf;
use std::sync::Arc;

use craft::digest::Digest;
use craft::fact::{ClientFact, CustodyFact, Fact, MessageKind, PaperKind};
use craft::id::{DocId, Thing};
use craft::order::{About, Page, PhotoKind, Sheet, Words};
use craft::place::Place;
use craft::stage::Stage;
use craft::studio::{ClientEdit, OrderEdit, ShelfEdit};
use store::save::{OnDisk, SaveError, SaveOutcome};

use super::*;
use crate::action::{JobEnd, Outcome, Rev, Source, Work};
use crate::present::sample::{self, at, day, id, line};
use crate::saving::Standing;

mod day;
mod folder;
mod looking;
mod told;
mod undoing;

/// The workbench over the sample order at a stage, and the order's tag.
fn desk(stage: Stage) -> (Workbench, Tag) {
    let bench = sample::bench(stage);
    (Workbench::new(bench.studio, None), bench.tag)
}

fn sheet_of(bench: &Workbench, tag: Tag) -> Sheet {
    bench.studio.order(tag).unwrap().order.sheet.clone()
}

fn sheet_edit(bench: &Workbench, tag: Tag, change: impl FnOnce(&mut Sheet)) -> Action {
    let mut sheet = sheet_of(bench, tag);
    change(&mut sheet);
    Action::Edit(Edit::Order(tag, OrderEdit::Sheet(Box::new(sheet))))
}

fn wish(bench: &Workbench, tag: Tag, words: &str) -> Action {
    sheet_edit(bench, tag, |sheet| sheet.wishes = words.parse().unwrap())
}

fn fact(tag: Tag, fact: impl Into<Fact>) -> Action {
    Action::Edit(Edit::Order(tag, OrderEdit::Fact(fact.into())))
}

fn story(tag: Tag, page: Page, words: &str) -> Action {
    let words = Words { about: About::Page(page), text: words.parse().unwrap() };
    Action::Edit(Edit::Order(tag, OrderEdit::Story(words)))
}

/// The one save that must be all there is to do.
fn saved(effects: Vec<Effect>) -> (DocId, Rev, Doc) {
    match <[Effect; 1]>::try_from(effects) {
        Ok([Effect::Save(id, rev, doc)]) => (id, rev, doc),
        other => panic!("one save and nothing else, not {other:?}"),
    }
}

/// The one job that must be all there is to do.
fn run(effects: Vec<Effect>) -> (JobId, Work) {
    match <[Effect; 1]>::try_from(effects) {
        Ok([Effect::Run(id, work)]) => (id, work),
        other => panic!("one job and nothing else, not {other:?}"),
    }
}

fn refusal(bench: &Workbench) -> (String, Option<Edit>) {
    match bench.notices.front() {
        Some(Notice::Refused { why, remedy }) => (why.clone(), remedy.as_deref().cloned()),
        other => panic!("a refusal, not {other:?}"),
    }
}

fn take_photo(tag: Tag, of: Option<Thing>) -> Action {
    let source = Source::Bytes(Arc::from(&b"a picture"[..]));
    Action::Start(Job::TakePhoto { tag, of, caption: line("as taken"), source })
}

fn kept(original: &[u8]) -> JobEnd {
    JobEnd::Done(Outcome::PhotoKept { original: Digest::of(original), kind: PhotoKind::Jpeg })
}

#[test]
fn each_edit_is_handed_to_the_saver_with_a_higher_revision_of_its_document() {
    let (mut bench, tag) = desk(Stage::Here);
    for (number, words) in [(1, "a ring"), (2, "a pendant"), (3, "a brooch")] {
        let (doc_id, rev, doc) = saved(bench.handle(wish(&bench, tag, words), at(900)));
        assert_eq!((doc_id, rev), (DocId::Order(tag), Rev(number)));
        assert_eq!(Some(doc), bench.studio.doc(&DocId::Order(tag)));
        assert_eq!(sheet_of(&bench, tag).wishes.as_str(), words);
    }
    // Another document counts for itself.
    let retire = Action::Edit(Edit::Shelf(id("deep-green"), ShelfEdit::Retire(true)));
    let (doc_id, rev, _) = saved(bench.handle(retire, at(901)));
    assert_eq!((doc_id, rev), (DocId::Shelf(id("deep-green")), Rev(1)));
    assert!(bench.view(at(901)).saves.is_saving());
}

#[test]
fn an_edit_that_changes_nothing_is_neither_saved_nor_undone() {
    let (mut bench, tag) = desk(Stage::Here);
    saved(bench.handle(wish(&bench, tag, "a ring"), at(900)));
    saved(bench.handle(Action::Undo, at(900)));
    let same = sheet_edit(&bench, tag, |_| ());
    assert!(bench.handle(same, at(901)).is_empty());
    assert!(bench.undo.next_undo(&Scope::Everything).is_none());
    assert!(
        bench.undo.next_redo(&Scope::Everything).is_some(),
        "leaving a field as it was must not cost the redo"
    );
}

#[test]
fn a_refused_edit_says_why_and_its_remedy_mends_it_through_the_same_door() {
    let (mut bench, tag) = desk(Stage::Here);
    let check = craft::fact::Check { how: craft::fact::How::Typed, tag };
    let open = || fact(tag, CustodyFact::Opened { thing: Thing::envelope(1), check });
    let before = bench.studio.clone();
    assert!(bench.handle(open(), at(900)).is_empty());
    assert_eq!(bench.studio, before, "a refused edit changes nothing");
    let (why, remedy) = refusal(&bench);
    assert_eq!(why, "E1 is the keep-back; it is opened only after the client has said yes");
    let remedy = remedy.unwrap();
    let released = CustodyFact::Released { thing: Thing::envelope(1) };
    assert_eq!(remedy, Edit::Order(tag, OrderEdit::Fact(released.into())));
    saved(bench.handle(Action::Edit(remedy), at(901)));
    assert_eq!(bench.notices.front(), None);
    saved(bench.handle(open(), at(902)));
    assert!(bench.studio.order(tag).unwrap().ledger.custody.open().any(|thing| thing == Thing::envelope(1)));
}

#[test]
fn an_answer_about_an_older_revision_says_nothing_about_the_newest() {
    let (mut bench, tag) = desk(Stage::Here);
    let doc = DocId::Order(tag);
    let (_, first, _) = saved(bench.handle(wish(&bench, tag, "a ring"), at(900)));
    let (_, second, _) = saved(bench.handle(wish(&bench, tag, "a pendant"), at(900)));
    assert!(second > first);
    let done = SaveOutcome::Saved(Digest::of(b"first"));
    assert!(bench.handle(Action::SaveDone(doc.clone(), first, done.clone()), at(900)).is_empty());
    assert!(matches!(bench.saves.standing(&doc), Standing::Saving));
    assert!(!bench.saves.all_saved());
    bench.handle(Action::SaveDone(doc.clone(), second, done), at(900));
    assert!(matches!(bench.saves.standing(&doc), Standing::Saved) && bench.saves.all_saved());
    // A late failure of the older one must not take the word back either.
    let failed = SaveOutcome::NotSaved(SaveError::NotRead { path: PathBuf::from("orders/x.ron") });
    bench.handle(Action::SaveDone(doc.clone(), first, failed), at(900));
    assert!(bench.saves.all_saved());
    // Nor does an answer about something that never changed here make anything of it.
    bench.handle(Action::SaveDone(DocId::Policies, Rev(1), SaveOutcome::Saved(Digest::of(b"p"))), at(900));
    assert!(bench.saves.unsaved().next().is_none() && !bench.saves.is_saving());
}

#[test]
fn what_is_not_surely_on_the_disk_is_listed_and_saved_again_under_a_new_revision() {
    let path = PathBuf::from("orders/x.ron");
    let source = Arc::new(std::io::Error::other("it broke"));
    let not_saved = SaveOutcome::NotSaved(SaveError::Full { path: path.clone(), source: source.clone() });
    let in_doubt = SaveOutcome::InDoubt(SaveError::Unconfirmed { path, on_disk: OnDisk::Unknown, source });
    let conflict = SaveOutcome::Conflict { kept_beside: "x.conflict-1.ron".to_owned() };
    for (outcome, words) in [
        (not_saved, "the disk is full"),
        (in_doubt, "the disk did not confirm"),
        (conflict, "yours lies beside it as x.conflict-1.ron"),
    ] {
        let (mut bench, tag) = desk(Stage::Here);
        let doc = DocId::Order(tag);
        let (_, rev, _) = saved(bench.handle(wish(&bench, tag, "a ring"), at(900)));
        bench.handle(Action::SaveDone(doc.clone(), rev, outcome.clone()), at(900));
        let standing = bench.saves.standing(&doc);
        assert!(match &outcome {
            SaveOutcome::NotSaved(_) => matches!(standing, Standing::NotSaved(_)),
            SaveOutcome::InDoubt(_) => matches!(standing, Standing::InDoubt(_)),
            SaveOutcome::Conflict { .. } => matches!(standing, Standing::Conflict(_)),
            SaveOutcome::Saved(_) => false,
        });
        let unsaved: Vec<&DocId> = bench.saves.unsaved().map(|(doc, _)| doc).collect();
        assert_eq!(unsaved, [&doc]);
        let said = crate::present::saving_words::all(&bench.saves);
        assert!(said.contains(words), "{said}");
        let (again, newer, content) = saved(bench.handle(Action::SaveAgain, at(901)));
        assert_eq!((again, newer), (doc.clone(), Rev(2)));
        assert_eq!(Some(content), bench.studio.doc(&doc), "what is saved again is what is here now");
        assert!(bench.saves.is_saving() && bench.saves.unsaved().next().is_none());
        // While it is on its way there is nothing to save again.
        assert!(bench.handle(Action::SaveAgain, at(902)).is_empty());
        bench.handle(Action::SaveDone(doc, newer, SaveOutcome::Saved(Digest::of(b"x"))), at(903));
        assert!(bench.saves.all_saved());
    }
}

#[test]
fn a_studio_that_can_only_be_read_refuses_edits_and_jobs() {
    let sample = sample::bench(Stage::Here);
    let tag = sample.tag;
    let before = sample.studio.clone();
    let mut bench = Workbench::new(sample.studio, Some("open in another window".to_owned()));
    for action in [
        wish(&bench, tag, "a ring"),
        fact(tag, ClientFact::MessageSent { about: MessageKind::Nudge }),
        story(tag, Page::Brief, "rang at noon"),
        Action::Undo,
        Action::Redo,
        take_photo(tag, None),
        Action::Start(Job::IssuePaper { tag, kind: PaperKind::Receipt }),
        Action::Picked(Purpose::Photos { tag, of: None }, vec![PathBuf::from("a.jpg")]),
        Action::SaveAgain,
    ] {
        let may_be_silent = matches!(action, Action::Undo | Action::Redo | Action::SaveAgain);
        bench.handle(Action::Dismiss, at(900));
        assert!(bench.handle(action.clone(), at(900)).is_empty(), "{action:?}");
        let said = match bench.view(at(900)).notice {
            Some(Notice::Refused { why, remedy: None } | Notice::Failed(why)) => why.clone(),
            None if may_be_silent => continue,
            other => panic!("{action:?}: {other:?}"),
        };
        assert_eq!(said, "open in another window");
    }
    assert_eq!(bench.studio, before);
    assert!(bench.jobs.is_empty());
    // Looking is allowed, and so is a picture for a message, which only reads the studio.
    assert!(bench.handle(Action::Go(Nav::Shelf), at(900)).is_empty());
    let image =
        Job::MessageImage { photo: Digest::of(b"s1"), kind: PhotoKind::Jpeg, to: PathBuf::from("out.jpg") };
    run(bench.handle(Action::Start(image), at(900)));
}

#[test]
fn going_and_picking_are_passed_on_and_every_picked_file_is_a_job_of_its_own() {
    let (mut bench, tag) = desk(Stage::Here);
    assert_eq!(bench.view(at(900)).nav, Nav::Board);
    assert!(bench.handle(Action::Go(Nav::Bench(tag, Page::Pour)), at(900)).is_empty());
    assert_eq!(bench.view(at(900)).nav, Nav::Bench(tag, Page::Pour));
    let purpose = Purpose::Photos { tag, of: Some(Thing::stone(1)) };
    let effects = bench.handle(Action::Pick(purpose.clone()), at(900));
    assert!(matches!(&effects[..], [Effect::Pick(asked)] if *asked == purpose), "{effects:?}");
    let files = ["a.jpg", "b.jpg"].map(PathBuf::from);
    let effects = bench.handle(Action::Picked(purpose.clone(), files.to_vec()), at(900));
    let jobs: Vec<_> = effects.into_iter().map(|effect| run(vec![effect])).collect();
    assert_eq!(jobs.len(), 2);
    assert!(jobs[1].0 > jobs[0].0);
    for ((_, work), file) in jobs.iter().zip(&files) {
        assert!(matches!(work, Work::TakePhoto { source: Source::File(path) } if path == file), "{work:?}");
    }
    // Picking nothing is no job.
    assert!(bench.handle(Action::Picked(purpose, Vec::new()), at(900)).is_empty());
    assert_eq!(bench.view(at(900)).jobs.len(), 2);
}

#[test]
fn a_job_tells_how_far_it_is_and_a_stopped_one_says_nothing_any_more() {
    let (mut bench, tag) = desk(Stage::Here);
    let before = bench.studio.clone();
    let (job, _) = run(bench.handle(take_photo(tag, None), at(900)));
    assert!(bench.handle(Action::Progress(job, 40), at(900)).is_empty());
    let percents: Vec<_> = bench.view(at(900)).jobs.iter().map(|row| (row.id, row.percent)).collect();
    assert_eq!(percents, [(job, 40)]);
    let effects = bench.handle(Action::Cancel(job), at(900));
    assert!(matches!(&effects[..], [Effect::Stop(stopped)] if *stopped == job), "{effects:?}");
    assert!(bench.view(at(900)).jobs.is_empty());
    // Its answer, its progress and a second stop come too late.
    for late in [Action::JobDone(job, kept(b"late")), Action::Progress(job, 90), Action::Cancel(job)] {
        assert!(bench.handle(late, at(901)).is_empty());
    }
    assert_eq!((&bench.studio, bench.notices.front()), (&before, None));
    // The same answer to a job that still runs is taken.
    let (job, _) = run(bench.handle(take_photo(tag, None), at(902)));
    saved(bench.handle(Action::JobDone(job, kept(b"late")), at(902)));
    assert_ne!(bench.studio, before);
    // And once only.
    assert!(bench.handle(Action::JobDone(job, kept(b"again")), at(903)).is_empty());
}

#[test]
fn a_photo_asked_for_as_that_of_the_box_is_recorded_as_that_and_no_other_is() {
    let mut packed = sample::bench(Stage::Set);
    let check = packed.check();
    let things = packed.studio.order(packed.tag).unwrap().ledger.to_pack();
    let (last, first) = things.split_last().unwrap();
    for thing in first {
        packed.record(craft::fact::HomeFact::Ticked { thing: *thing, check });
    }
    let tag = packed.tag;
    let mut bench = Workbench::new(packed.studio, None);
    let seen = |bench: &Workbench| bench.studio.order(tag).unwrap().ledger.home.box_photos.clone();
    let ask = |bench: &mut Workbench| {
        let files = vec![PathBuf::from("box.jpg")];
        run(bench.handle(Action::Picked(Purpose::BoxPhoto { tag }, files), at(90_000))).0
    };
    // Something is not in the box: what came is a photo, and no more.
    let job = ask(&mut bench);
    saved(bench.handle(Action::JobDone(job, kept(b"half")), at(90_000)));
    assert!(seen(&bench).is_empty());
    bench.handle(fact(tag, craft::fact::HomeFact::Ticked { thing: *last, check }), at(90_001));
    // One that is stopped or fails leaves nothing behind that the next photo could be taken for.
    for end in [JobEnd::Cancelled, JobEnd::Failed("no such file".to_owned())] {
        let job = ask(&mut bench);
        bench.handle(Action::JobDone(job, end), at(90_001));
    }
    let (job, _) = run(bench.handle(take_photo(tag, None), at(90_002)));
    bench.handle(Action::JobDone(job, kept(b"loose")), at(90_002));
    assert!(seen(&bench).is_empty());
    // The same photo, asked for as the box: it is known already, and is the box all the same.
    let photos = sheet_of(&bench, tag).photos.len();
    let job = ask(&mut bench);
    bench.handle(Action::JobDone(job, kept(b"loose")), at(90_003));
    assert_eq!((seen(&bench), sheet_of(&bench, tag).photos.len()), (vec![Digest::of(b"loose")], photos));
    let job = ask(&mut bench);
    bench.handle(Action::JobDone(job, kept(b"box")), at(90_004));
    assert_eq!(seen(&bench).last(), Some(&Digest::of(b"box")));
    assert_eq!(sheet_of(&bench, tag).photos.last().unwrap().caption, line("the packed box"));
}

#[test]
fn the_same_photo_of_the_same_thing_is_noted_once() {
    let (mut bench, tag) = desk(Stage::Here);
    let noted = |bench: &Workbench| sheet_of(bench, tag).photos.len();
    let start = noted(&bench);
    let mut take = |of, original: &[u8]| {
        let (job, work) = run(bench.handle(take_photo(tag, of), at(900)));
        assert!(matches!(work, Work::TakePhoto { source: Source::Bytes(_) }));
        let effects = bench.handle(Action::JobDone(job, kept(original)), at(900));
        (effects.len(), noted(&bench) - start)
    };
    assert_eq!(take(Some(Thing::wrapping(1)), b"new"), (1, 1));
    assert_eq!(take(Some(Thing::wrapping(1)), b"new"), (0, 1), "taken in again");
    assert_eq!(take(Some(Thing::keepsake(1)), b"new"), (1, 2), "the same picture shows two things");
    assert_eq!(take(Some(Thing::wrapping(1)), b"other"), (1, 3));
    let photo = sheet_of(&bench, tag).photos.pop().unwrap();
    assert_eq!((photo.caption, photo.kind), (line("as taken"), PhotoKind::Jpeg));
    assert_eq!(bench.view(at(900)).undo_words(), Ok("undo the photos for Bramble".to_owned()));
}

#[test]
fn a_photo_for_an_order_that_is_not_there_is_not_even_begun() {
    let (mut bench, _) = desk(Stage::Here);
    let nobody = Tag::from_number(9).unwrap();
    assert!(bench.handle(take_photo(nobody, None), at(900)).is_empty());
    let Some(Notice::Failed(why)) = bench.notices.front() else { panic!("{:?}", bench.notices) };
    assert!(why.starts_with("there is no order"), "{why}");
}

#[test]
fn an_issued_paper_becomes_a_fact_of_the_order() {
    let (mut bench, tag) = desk(Stage::Here);
    saved(bench.handle(wish(&bench, tag, "a ring"), at(899)));
    let entries = bench.studio.order(tag).unwrap().order.log.len();
    let start = Action::Start(Job::IssuePaper { tag, kind: PaperKind::Receipt });
    let (job, work) = run(bench.handle(start, at(900)));
    let Work::IssuePaper(paper) = work else { panic!("{work:?}") };
    assert_eq!((paper.tag, paper.kind, paper.keep), (tag, PaperKind::Receipt, true));
    assert_eq!((paper.issued_at.year, paper.issued_at.month), (2026, 11));
    let file = Digest::of(b"%PDF");
    let pdf: Arc<[u8]> = Arc::from(&b"%PDF"[..]);
    let written = Outcome::PaperWritten { file, name: "receipt.pdf".to_owned(), pages: 1, pdf };
    let (doc, _, _) = saved(bench.handle(Action::JobDone(job, JobEnd::Done(written)), at(901)));
    assert_eq!(doc, DocId::Order(tag));
    let held = bench.studio.order(tag).unwrap();
    assert_eq!(held.ledger.home.papers.last(), Some(&(entries + 1, PaperKind::Receipt, file)));
    assert_eq!(
        bench.view(at(901)).undo_words(),
        Err("nothing to undo since the receipt was issued".to_owned())
    );
}

#[test]
fn a_paper_whose_time_has_not_come_says_why() {
    let (mut bench, tag) = desk(Stage::Asked);
    let start = Action::Start(Job::IssuePaper { tag, kind: PaperKind::Packing });
    assert!(bench.handle(start, at(900)).is_empty());
    assert!(
        matches!(bench.notices.front(), Some(Notice::Failed(why)) if !why.is_empty()),
        "{:?}",
        bench.notices
    );
    assert!(bench.jobs.is_empty());
}

#[test]
fn a_failed_job_and_a_written_picture_are_said_until_they_are_read() {
    let (mut bench, tag) = desk(Stage::Here);
    let (job, _) = run(bench.handle(take_photo(tag, None), at(900)));
    let failed = JobEnd::Failed("the picture is damaged".to_owned());
    assert!(bench.handle(Action::JobDone(job, failed), at(900)).is_empty());
    assert_eq!(bench.notices.front(), Some(&Notice::Failed("the picture is damaged".to_owned())));
    bench.handle(Action::Dismiss, at(900));
    assert_eq!(bench.notices.front(), None);
    let to = PathBuf::from("/tmp/bramble.jpg");
    let image = Job::MessageImage { photo: Digest::of(b"s1"), kind: PhotoKind::Jpeg, to: to.clone() };
    let (job, _) = run(bench.handle(Action::Start(image), at(900)));
    bench.handle(Action::JobDone(job, JobEnd::Done(Outcome::ImageWritten(to))), at(900));
    assert_eq!(bench.notices.front(), Some(&Notice::Said("the picture is at /tmp/bramble.jpg".to_owned())));
    let (job, _) = run(bench.handle(take_photo(tag, None), at(900)));
    bench.handle(Action::Dismiss, at(900));
    assert!(bench.handle(Action::JobDone(job, JobEnd::Cancelled), at(900)).is_empty());
    assert_eq!(bench.notices.front(), None, "what was stopped on purpose is no news");
}

#[test]
fn a_job_that_ends_in_the_background_leaves_an_unread_refusal_standing() {
    let (mut bench, tag) = desk(Stage::Here);
    let (job, _) = run(bench.handle(take_photo(tag, None), at(900)));
    assert!(bench.handle(fact(tag, CustodyFact::Released { thing: Thing::envelope(9) }), at(900)).is_empty());
    let (why, _) = refusal(&bench);
    saved(bench.handle(Action::JobDone(job, kept(b"new")), at(901)));
    assert_eq!(refusal(&bench).0, why);
    // The person's own next change is an answer to it.
    saved(bench.handle(wish(&bench, tag, "a ring"), at(902)));
    assert_eq!(bench.notices.front(), None);
}

#[test]
fn a_locked_document_refuses_while_the_others_go_on() {
    let sample = sample::bench(Stage::Here);
    let (mut studio, tag) = (sample.studio, sample.tag);
    studio.lock(DocId::Shelf(id("deep-green")), "written by a newer version".to_owned());
    let mut bench = Workbench::new(studio, None);
    let retire = |item: &str| Action::Edit(Edit::Shelf(id(item), ShelfEdit::Retire(true)));
    assert!(bench.handle(retire("deep-green"), at(900)).is_empty());
    assert_eq!(refusal(&bench), ("written by a newer version".to_owned(), None));
    saved(bench.handle(retire("clear-resin"), at(900)));
    saved(bench.handle(wish(&bench, tag, "a ring"), at(900)));
}
