//! What is told, and when: notices in their order, saves tried again, papers overtaken, undo at rest.

use papers::document::Stamp;

use super::*;
use crate::state::jobs::stamp;

fn notices(bench: &Workbench) -> Vec<String> {
    let words = |notice: &Notice| match notice {
        Notice::Refused { why, .. } | Notice::Failed(why) | Notice::Said(why) => why.clone(),
    };
    bench.notices().map(words).collect()
}

fn failing_photo(bench: &mut Workbench, tag: Tag, why: &str) {
    let (job, _) = run(bench.handle(take_photo(tag, None), at(900)));
    assert!(bench.handle(Action::JobDone(job, JobEnd::Failed(why.to_owned())), at(900)).is_empty());
}

#[test]
fn a_failure_nobody_has_read_outlives_every_success_and_refusal_after_it() {
    let (mut bench, tag) = desk(Stage::Here);
    failing_photo(&mut bench, tag, "the first is damaged");
    failing_photo(&mut bench, tag, "the second is damaged");
    let to = PathBuf::from("/tmp/bramble.jpg");
    let image = Job::MessageImage { photo: Digest::of(b"s1"), kind: PhotoKind::Jpeg, to: to.clone() };
    let (job, _) = run(bench.handle(Action::Start(image), at(900)));
    bench.handle(Action::JobDone(job, JobEnd::Done(Outcome::ImageWritten(to))), at(900));
    bench.handle(fact(tag, CustodyFact::Released { thing: Thing::envelope(9) }), at(900));
    // What was pressed last is answered first, however much stands before it.
    assert!(matches!(bench.view(at(900)).notice, Some(Notice::Refused { .. })));
    saved(bench.handle(wish(&bench, tag, "a ring"), at(900)));
    saved(bench.handle(Action::Undo, at(900)));
    let all = ["the first is damaged", "the second is damaged", "the picture is at /tmp/bramble.jpg"];
    assert_eq!(notices(&bench), all, "only the refusal is answered by an edit");
    // The newest first: what went well is not hidden behind what failed before.
    for (left, words) in all.iter().enumerate().rev() {
        assert!(
            matches!(bench.view(at(900)).notice, Some(Notice::Failed(why) | Notice::Said(why)) if why == words)
        );
        bench.handle(Action::Dismiss, at(900));
        assert_eq!(notices(&bench), all[..left]);
    }
    bench.handle(Action::Dismiss, at(900));
    assert_eq!(bench.view(at(900)).notice, None);
}

#[test]
fn a_save_that_failed_is_tried_again_every_fifteen_seconds_and_another_programs_file_never() {
    let source = Arc::new(std::io::Error::other("it broke"));
    let full =
        || SaveOutcome::NotSaved(SaveError::Full { path: PathBuf::from("x.ron"), source: source.clone() });
    let after = |seconds: i64| ahead(at(900), seconds * 1_000);
    let saves =
        |effects: &[Effect]| effects.iter().filter(|effect| matches!(effect, Effect::Save(..))).count();
    let wakes = |effects: &[Effect]| {
        effects
            .iter()
            .filter_map(|effect| if let Effect::WakeAt(then) = effect { Some(*then) } else { None })
            .min_by_key(|then| then.since_boot_ms)
    };
    let (mut bench, tag) = desk(Stage::Here);
    let doc = DocId::Order(tag);
    let (_, rev, _) = saved(bench.handle(wish(&bench, tag, "a ring"), at(900)));
    let effects = bench.handle(Action::SaveDone(doc.clone(), rev, full()), after(0));
    assert_eq!((saves(&effects), wakes(&effects)), (0, Some(after(15))), "it asks to be woken");
    let effects = bench.handle(Action::Tick, after(14));
    assert_eq!((saves(&effects), wakes(&effects)), (0, Some(after(15))));
    assert_eq!(saves(&bench.handle(Action::Tick, after(15))), 1);
    assert_eq!(saves(&bench.handle(Action::Tick, after(15))), 0, "it is on its way");
    bench.handle(Action::SaveDone(doc.clone(), Rev(2), full()), after(16));
    assert_eq!(saves(&bench.handle(Action::Tick, after(29))), 0);
    assert_eq!(saves(&bench.handle(Action::Tick, after(30))), 1);
    let done = SaveOutcome::Saved(Digest::of(b"x"));
    assert!(bench.handle(Action::SaveDone(doc.clone(), Rev(3), done), after(31)).is_empty());
    assert_eq!(saves(&bench.handle(Action::Tick, after(300))), 0);
    let (_, rev, _) = saved(bench.handle(wish(&bench, tag, "a pendant"), after(301)));
    let conflict = SaveOutcome::Conflict { kept_beside: "x.conflict-1.ron".to_owned() };
    assert!(bench.handle(Action::SaveDone(doc, rev, conflict), after(302)).is_empty());
    assert_eq!(saves(&bench.handle(Action::Tick, after(400))), 0);
}

#[test]
fn a_paper_is_not_recorded_where_something_was_recorded_while_it_was_being_set() {
    let (mut bench, tag) = desk(Stage::Here);
    let start = Action::Start(Job::IssuePaper { tag, kind: PaperKind::Receipt });
    let (job, _) = run(bench.handle(start, at(900)));
    saved(bench.handle(fact(tag, ClientFact::MessageSent { about: MessageKind::Nudge }), at(900)));
    let before = bench.studio.clone();
    let pdf: Arc<[u8]> = Arc::from(&b"%PDF"[..]);
    let written =
        Outcome::PaperWritten { file: Digest::of(b"%PDF"), name: "receipt.pdf".to_owned(), pages: 1, pdf };
    assert!(bench.handle(Action::JobDone(job, JobEnd::Done(written)), at(901)).is_empty());
    assert_eq!(bench.studio, before);
    assert_eq!(notices(&bench), ["something was recorded while the paper was being set; issue it again"]);
}

#[test]
fn a_paper_states_its_moment_in_utc() {
    // Half past midnight on New Year's Day, one hour east of Greenwich, is still the old year in UTC.
    let utc_ms = day(2026, 12, 31).and_hms_opt(23, 30, 5).unwrap().and_utc().timestamp_millis();
    let then = Moment { utc_ms, offset_min: 60, ..at(900) };
    assert_eq!(then.day(), day(2027, 1, 1), "the day a paper says in words is the local one");
    assert_eq!(stamp(then), Stamp { year: 2026, month: 12, day: 31, hour: 23, minute: 30, second: 5 });
}

#[test]
fn after_something_was_made_undo_takes_nothing_older_back_in_its_place() {
    let (mut bench, tag) = desk(Stage::Here);
    saved(bench.handle(wish(&bench, tag, "a ring"), at(900)));
    saved(bench.handle(wish(&bench, tag, "a pendant"), at(900)));
    saved(bench.handle(Action::Undo, at(900)));
    let client = bench.studio.clients().values().next().unwrap().clone();
    let put = Edit::Client("new-client".parse().unwrap(), ClientEdit::Put(Box::new(client)));
    let name = match &put {
        Edit::Client(_, ClientEdit::Put(client)) => client.name.to_string(),
        _ => String::new(),
    };
    saved(bench.handle(Action::Edit(put), at(901)));
    assert_eq!(bench.view(at(901)).undo_words(), Err(format!("the details of {name} cannot be undone")));
    assert!(bench.view(at(901)).redo_words().is_err(), "what was taken back before is from another time");
    let before = bench.studio.clone();
    for button in [Action::Undo, Action::Redo] {
        assert!(bench.handle(button, at(901)).is_empty());
    }
    assert_eq!(bench.studio, before);
    saved(bench.handle(wish(&bench, tag, "a brooch"), at(902)));
    saved(bench.handle(Action::Undo, at(902)));
    assert_eq!(sheet_of(&bench, tag).wishes.as_str(), "a ring");
}

#[test]
fn a_sheet_that_was_worked_on_for_a_while_keeps_the_photos_that_came_in_meanwhile() {
    let (mut bench, tag) = desk(Stage::Here);
    for photo in [&b"one"[..], b"two"] {
        let (job, _) = run(bench.handle(take_photo(tag, None), at(900)));
        saved(bench.handle(Action::JobDone(job, kept(photo)), at(900)));
    }
    let base = sheet_of(&bench, tag);
    let mut sheet = base.clone();
    sheet.wishes = "a ring".parse().unwrap();
    // One is taken off by hand, and a third comes in from a job.
    sheet.photos.retain(|photo| photo.original != Digest::of(b"one"));
    let (job, _) = run(bench.handle(take_photo(tag, None), at(900)));
    saved(bench.handle(Action::JobDone(job, kept(b"three")), at(900)));
    saved(bench.handle(Action::EditSheet { tag, base: Box::new(base), sheet: Box::new(sheet) }, at(901)));
    let now = sheet_of(&bench, tag);
    assert_eq!(now.wishes.as_str(), "a ring");
    let has = |bytes: &[u8]| now.photos.iter().any(|photo| photo.original == Digest::of(bytes));
    assert_eq!([has(b"one"), has(b"two"), has(b"three")], [false, true, true]);
}

#[test]
fn what_could_not_be_read_is_in_view() {
    let (bench, _) = desk(Stage::Here);
    let trouble = Trouble { file: "orders/x.ron".to_owned(), what: "it is torn".to_owned() };
    let bench = bench.with_troubles(vec![trouble.clone()]);
    assert_eq!(bench.view(at(900)).troubles, [trouble]);
}
