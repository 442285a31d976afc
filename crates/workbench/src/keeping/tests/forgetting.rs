//! Forgetting while other things go on, and what is left of it where it is cut short.

use std::collections::BTreeSet;

use craft::fact::{Fact, MessageKind};
use craft::order::{Order, Photo, PhotoKind};
use craft::studio::ClientEdit;
use store::format::encode;
use store::name::DocKind;
use store::photos::PhotoName;
use store::save::SaveOutcome;
use store::sim::Op;
use store::vfs::Vfs as _;

use super::*;
use crate::action::Source;
use crate::finding::{Finding, Lacking, Parting};
use crate::keeping::files::Named;
use crate::keeping::forget;
use crate::open::{Opened, path_of};
use crate::present::{finding_words, forget_words};

fn opened(disk: &SimVfs) -> Opened {
    open(Path::new(ROOT), Arc::new(disk.clone())).unwrap()
}

/// A workbench over what lies on the disk, as a session begins with it.
fn begun(disk: &SimVfs) -> (Workbench, Arc<StudioFolder>) {
    let mut opened = opened(disk);
    let keeping = begin(&mut opened, true, sample::at(0));
    let bench = Workbench::new(opened.studio, opened.read_only).with_findings(opened.findings);
    (bench.with_keeping(keeping), opened.folder)
}

fn photo(original: Digest) -> Photo {
    Photo { original, kind: PhotoKind::Jpeg, of: None, caption: sample::line("") }
}

/// An order with one photo more on its sheet.
fn with_photo(order: &Order, original: Digest) -> Doc {
    let mut order = order.clone();
    order.sheet.photos.push(photo(original));
    Doc::Order(Box::new(order))
}

fn order(studio: &Studio, tag: Tag) -> Order {
    studio.order(tag).unwrap().order.clone()
}

/// A second client, of whom nothing is here.
fn with_another(studio: &mut Studio) -> ClientId {
    let other: ClientId = "somebody-else".parse().unwrap();
    let client = craft::client::Client { name: sample::line("Somebody Else"), ..Default::default() };
    studio.apply(Edit::Client(other.clone(), ClientEdit::Put(Box::new(client))), sample::at(0)).unwrap();
    other
}

fn forget(client: &ClientId) -> Action {
    Action::Start(Job::Keep(Keep::Forget(client.clone())))
}

fn story(tag: Tag, words: &str) -> Action {
    let words = Words { about: About::Page(Page::After), text: words.parse().unwrap() };
    Action::Edit(Edit::Order(tag, OrderEdit::Story(words)))
}

fn message(tag: Tag) -> Action {
    let fact: Fact = ClientFact::MessageSent { about: MessageKind::Nudge }.into();
    Action::Edit(Edit::Order(tag, OrderEdit::Fact(fact)))
}

/// Does one thing and writes what it asks to be written.
fn act_and_save(bench: &mut Workbench, folder: &StudioFolder, action: Action) {
    for effect in bench.handle(action, sample::at(60_000)) {
        let Effect::Save(id, rev, doc) = effect else { panic!("a save, not {effect:?}") };
        let outcome = save_doc(folder, &doc);
        assert!(matches!(outcome, SaveOutcome::Saved(_)), "{outcome:?}");
        bench.handle(Action::SaveDone(id, rev, outcome), sample::at(60_000));
    }
}

fn said_last(bench: &Workbench) -> String {
    match bench.notices().last() {
        Some(Notice::Refused { why, .. } | Notice::Failed(why) | Notice::Said(why)) => why.clone(),
        None => String::new(),
    }
}

fn is_there(disk: &SimVfs, photo: &PhotoName) -> bool {
    disk.get(Path::new(ROOT).join(format!("photos/{photo}"))).is_some()
}

#[test]
fn one_client_is_forgotten_at_a_time_so_nothing_recorded_meanwhile_is_written_over() {
    let (mut studio, tag, client) = at_home();
    let other = with_another(&mut studio);
    let disk = on_disk(&studio);
    let (mut bench, folder) = begun(&disk);
    let now = sample::at(60_000);
    let first = bench.handle(forget(&other), now);
    assert!(bench.handle(forget(&client), now).is_empty());
    assert_eq!(said_last(&bench), forget_words::ONE_AT_A_TIME);
    // The one that was turned away has ended nothing of the one that goes on.
    let known = bench.studio().clients()[&other].clone();
    let edit = Edit::Client(other.clone(), ClientEdit::Put(Box::new(known)));
    assert!(bench.handle(Action::Edit(edit), now).is_empty());
    assert_eq!(said_last(&bench), forget_words::UNDER_WAY);
    act_and_save(&mut bench, &folder, message(tag));
    finish(&mut bench, &folder, &first);
    let entries = bench.studio().order(tag).unwrap().order.log.len();
    let second = bench.handle(forget(&client), now);
    finish(&mut bench, &folder, &second);
    drop((bench, folder));
    let (bench, _) = begun(&disk);
    assert_eq!(bench.studio().order(tag).unwrap().order.log.len(), entries, "what was recorded is there");
    assert_eq!(bench.studio().clients()[&client].name.as_str(), "forgotten");
    assert_eq!(bench.studio().clients()[&other].name.as_str(), "forgotten");
}

#[test]
fn a_forgetting_that_fails_lets_the_next_one_begin() {
    let (studio, _, client) = at_home();
    let mut bench = Workbench::new(studio, None);
    for end in [JobEnd::Failed("the disk failed".to_owned()), JobEnd::Cancelled] {
        let effects = bench.handle(forget(&client), sample::at(0));
        let [Effect::Run(id, _)] = effects.as_slice() else { panic!("{effects:?}") };
        bench.handle(Action::JobDone(*id, end), sample::at(0));
    }
    assert_eq!(bench.handle(forget(&client), sample::at(0)).len(), 1);
}

#[test]
fn neither_undo_nor_redo_brings_a_client_back() {
    let (studio, tag, client) = at_home();
    for is_over in [false, true] {
        let disk = on_disk(&studio);
        let (mut bench, folder) = begun(&disk);
        act_and_save(&mut bench, &folder, story(tag, "words of theirs"));
        act_and_save(&mut bench, &folder, story(tag, "other words of theirs"));
        act_and_save(&mut bench, &folder, Action::Undo);
        let effects = bench.handle(forget(&client), sample::at(0));
        if is_over {
            finish(&mut bench, &folder, &effects);
        }
        let before = bench.studio().clone();
        for step in [Action::Undo, Action::Redo, Action::Undo] {
            assert!(bench.handle(step.clone(), sample::at(0)).is_empty(), "{step:?}, over: {is_over}");
            assert_eq!(*bench.studio(), before, "{step:?}, over: {is_over}");
        }
    }
}

#[test]
fn photos_and_papers_of_a_client_and_their_forgetting_wait_for_each_other() {
    let (studio, tag, client) = at_home();
    let disk = on_disk(&studio);
    let (mut bench, folder) = begun(&disk);
    let now = sample::at(0);
    let source = || Source::Bytes(Arc::from(&b"a picture"[..]));
    let take = || Job::TakePhoto { tag, of: None, caption: sample::line(""), source: source() };
    let all = || {
        let paper = Job::IssuePaper { tag, kind: PaperKind::Receipt };
        [take(), Job::TakeBoxPhoto { tag, source: source() }, paper]
    };
    for job in all() {
        let queued = bench.handle(Action::Start(job.clone()), now);
        let [Effect::Run(id, _)] = queued.as_slice() else { panic!("{job:?}: {queued:?}") };
        assert!(bench.handle(forget(&client), now).is_empty(), "{job:?}");
        assert_eq!(said_last(&bench), forget_words::AT_WORK);
        bench.handle(Action::JobDone(*id, JobEnd::Failed("no such file".to_owned())), now);
    }
    let effects = bench.handle(forget(&client), now);
    let hand_over = Job::Keep(Keep::HandOver { tag, to: "/home/elsewhere".into() });
    for job in all().into_iter().chain([hand_over]) {
        assert!(bench.handle(Action::Start(job.clone()), now).is_empty(), "{job:?}");
        assert_eq!(said_last(&bench), forget_words::UNDER_WAY, "{job:?}");
    }
    finish(&mut bench, &folder, &effects);
    for job in all() {
        assert!(bench.handle(Action::Start(job.clone()), now).is_empty(), "{job:?}");
        assert_eq!(said_last(&bench), forget_words::FORGOTTEN_ALREADY, "{job:?}");
    }
    // Forgetting them once more changes nothing.
    let before = bench.studio().clone();
    let again = bench.handle(forget(&client), now);
    finish(&mut bench, &folder, &again);
    assert_eq!(*bench.studio(), before);
}

#[test]
fn a_photo_that_could_not_be_removed_is_removed_at_the_next_start_whatever_was_recorded_since() {
    let (studio, tag, client) = at_home();
    let disk = on_disk(&studio);
    let kept = opened(&disk).folder.keep_photo(b"a photo", "jpg").unwrap();
    let file = opened(&disk);
    assert!(matches!(
        save_doc(&file.folder, &with_photo(&order(&studio, tag), kept.hash())),
        SaveOutcome::Saved(_)
    ));
    drop(file);
    let (mut bench, folder) = begun(&disk);
    let effects = bench.handle(forget(&client), sample::at(0));
    disk.arm(Fault::always(Op::Remove, Trouble::Device));
    finish(&mut bench, &folder, &effects);
    assert!(disk.disarm() > 0 && is_there(&disk, &kept));
    assert!(said_last(&bench).starts_with(forget_words::NOT_WHOLE), "{}", said_last(&bench));
    act_and_save(&mut bench, &folder, message(tag));
    drop((bench, folder));
    let (bench, _) = begun(&disk);
    assert!(!is_there(&disk, &kept), "the sheet still said that it is theirs");
    assert_eq!(bench.studio().clients()[&client].name.as_str(), "forgotten");
    assert!(bench.studio().order(tag).unwrap().order.sheet.photos.is_empty());
    assert_eq!(bench.troubles(), []);
}

/// The same where it was the start itself that could not go through with it.
#[test]
fn a_start_that_cannot_remove_a_photo_leaves_the_sheet_that_names_it() {
    let (studio, tag, client) = at_home();
    let disk = on_disk(&studio);
    let folder = opened(&disk).folder;
    let kept = folder.keep_photo(b"a photo", "jpg").unwrap();
    drop(save_doc(&folder, &with_photo(&order(&studio, tag), kept.hash())));
    let mut list = store::forgotten::Forgotten::default();
    list.add(client.as_str(), "2026-11-26", [tag.to_string()]);
    assert!(matches!(folder.save_forgotten(&list), SaveOutcome::Saved(_)));
    drop(folder);
    disk.arm(Fault::always(Op::Remove, Trouble::Device));
    let (mut bench, folder) = begun(&disk);
    assert!(disk.disarm() > 0 && !bench.troubles().is_empty());
    act_and_save(&mut bench, &folder, message(tag));
    drop((bench, folder));
    assert_eq!(begun(&disk).0.troubles(), []);
    assert!(!is_there(&disk, &kept));
}

#[test]
fn photos_that_only_an_earlier_version_or_a_copy_names_go_too_and_those_of_others_stay() {
    let (mut studio, tag, client) = at_home();
    let other = with_another(&mut studio);
    let disk = on_disk(&studio);
    let mut work = opened(&disk);
    let [once, beside, shared] =
        [&b"once"[..], b"beside", b"shared"].map(|bytes| work.folder.keep_photo(bytes, "jpg").unwrap());
    let remembered = craft::order::Remembered { name: sample::line("Old Tom"), ..Default::default() };
    let sheet = craft::order::Sheet { remembered, photos: vec![photo(shared.hash())], ..Default::default() };
    let second = Tag::from_number(77).unwrap();
    let open = OrderEdit::Open { client: other, sheet: Box::new(sheet) };
    work.studio.apply(Edit::Order(second, open), sample::at(0)).unwrap();
    let now = order(&studio, tag);
    let docs = [
        with_photo(&now, once.hash()),
        with_photo(&now, shared.hash()),
        Doc::Order(Box::new(now.clone())),
        work.studio.doc(&DocId::Order(second)).unwrap(),
    ];
    for doc in docs {
        assert!(matches!(save_doc(&work.folder, &doc), SaveOutcome::Saved(_)));
    }
    let Doc::Order(copy) = with_photo(&now, beside.hash()) else { panic!("an order") };
    let name = format!("orders/{}.conflict-1.ron", tag.to_string().to_lowercase());
    disk.put(Path::new(ROOT).join(&name), &encode(DocKind::Order, &*copy).unwrap());
    let who = forgetting(&work.studio, &client, &Owners::new(), sample::at(0)).unwrap();
    assert_eq!(who.photos.iter().filter(|photo| **photo == once.hash()).count(), 0, "no sheet names it now");
    // Where a photo cannot be removed, what names it is not removed either.
    disk.arm(Fault { after: 0, lasting: false, ..Fault::always(Op::Remove, Trouble::Device) });
    let first = carry_out(&work.folder, &who).unwrap();
    assert!(disk.disarm() == 1 && !first.troubles.is_empty());
    let gone = carry_out(&work.folder, &who).unwrap();
    assert_eq!((gone.troubles, first.photos + gone.photos), (vec![], 2));
    assert_eq!([&once, &beside, &shared].map(|photo| is_there(&disk, photo)), [false, false, true]);
}

/// Forgets the client of a studio with one photo that nothing names, after something was done to it.
fn with_a_loose_photo(change: impl Fn(&SimVfs, &Opened, &PhotoName)) -> (bool, forget::Gone) {
    let (mut studio, _, client) = at_home();
    let other = with_another(&mut studio);
    let disk = on_disk(&studio);
    let mut work = opened(&disk);
    let remembered = craft::order::Remembered { name: sample::line("Old Tom"), ..Default::default() };
    let sheet = craft::order::Sheet { remembered, ..Default::default() };
    let living = Tag::from_number(77).unwrap();
    let open = OrderEdit::Open { client: other, sheet: Box::new(sheet) };
    work.studio.apply(Edit::Order(living, open), sample::at(0)).unwrap();
    let doc = work.studio.doc(&DocId::Order(living)).unwrap();
    assert!(matches!(save_doc(&work.folder, &doc), SaveOutcome::Saved(_)));
    let kept = work.folder.keep_photo(b"undone long ago", "jpg").unwrap();
    change(&disk, &work, &kept);
    let who = forgetting(&work.studio, &client, &Owners::new(), sample::at(0)).unwrap();
    let gone = carry_out(&work.folder, &who).unwrap();
    assert_eq!(gone.troubles, Vec::<String>::new());
    (is_there(&disk, &kept), gone)
}

#[test]
fn a_photo_that_nothing_names_goes_with_whoever_is_forgotten_and_the_receipt_says_so() {
    let (is_there, gone) = with_a_loose_photo(|_, _, _| ());
    assert!(!is_there && (gone.photos, gone.loose, gone.loose_left) == (1, 1, 0));
    let receipt = forget_words::receipt("The studio", &gone);
    assert!(receipt.contains("1 photo\n  among them 1 photo that nothing named any more\n"), "{receipt}");
}

#[test]
fn a_photo_stays_where_anything_that_stays_names_it_or_may_name_it() {
    let living = || Tag::from_number(77).unwrap();
    let stem = || living().to_string().to_lowercase();
    // An earlier version of a living client's order names it, or a copy beside it does.
    let (is_there, gone) = with_a_loose_photo(|_, work, kept| {
        let now = order(&work.studio, living());
        for doc in [with_photo(&now, kept.hash()), Doc::Order(Box::new(now.clone()))] {
            assert!(matches!(save_doc(&work.folder, &doc), SaveOutcome::Saved(_)));
        }
    });
    assert!(is_there && (gone.loose, gone.loose_left) == (0, 0));
    let (is_there, _) = with_a_loose_photo(|disk, work, kept| {
        let Doc::Order(copy) = with_photo(&order(&work.studio, living()), kept.hash()) else { panic!() };
        let file = Path::new(ROOT).join(format!("orders/{} (copy).ron", stem()));
        disk.put(file, &encode(DocKind::Order, &*copy).unwrap());
    });
    assert!(is_there);
    // What cannot be read may name it: a copy, an earlier version, an order that was seen and is gone.
    let doubts: [fn(&SimVfs, &str); 3] = [
        |disk, stem| disk.put(Path::new(ROOT).join(format!("orders/{stem} (copy).ron")), b"torn"),
        |disk, stem| {
            let name = "000001.2026-11-26t00-19-55-123z.0123456789abcdef.ron";
            disk.put(Path::new(ROOT).join(format!(".history/orders/{stem}/{name}")), b"torn");
        },
        |disk, _| {
            let mut heads = store::heads::Heads::default();
            let gone = Tag::from_number(99).unwrap().to_string().to_lowercase();
            heads.note(&gone, 3, Digest::of(b"seal"));
            disk.put(Path::new(ROOT).join(".heads"), heads.to_text().as_bytes());
        },
    ];
    for doubt in doubts {
        let (is_there, gone) = with_a_loose_photo(|disk, _, _| doubt(disk, &stem()));
        assert!(is_there && (gone.loose, gone.loose_left) == (0, 1));
        let receipt = forget_words::receipt("The studio", &gone);
        assert!(receipt.contains("1 photo that nothing seems to name"), "{receipt}");
    }
}

/// A studio in which a client shall be forgotten and nothing is done yet; a photo of theirs, and one that a living
/// client's order shows as well, with that order's tag.
fn begun_with_a_shared_photo() -> (SimVfs, Tag, [PhotoName; 2], Tag) {
    let (mut studio, tag, client) = at_home();
    let other = with_another(&mut studio);
    let disk = on_disk(&studio);
    let mut work = opened(&disk);
    let photos = [&b"theirs"[..], b"shared"].map(|bytes| work.folder.keep_photo(bytes, "jpg").unwrap());
    let remembered = craft::order::Remembered { name: sample::line("Old Tom"), ..Default::default() };
    let sheet =
        craft::order::Sheet { remembered, photos: vec![photo(photos[1].hash())], ..Default::default() };
    let living = Tag::from_number(77).unwrap();
    let open = OrderEdit::Open { client: other, sheet: Box::new(sheet) };
    work.studio.apply(Edit::Order(living, open), sample::at(0)).unwrap();
    let Doc::Order(both) = with_photo(&order(&studio, tag), photos[0].hash()) else { panic!("an order") };
    for doc in [with_photo(&both, photos[1].hash()), work.studio.doc(&DocId::Order(living)).unwrap()] {
        assert!(matches!(save_doc(&work.folder, &doc), SaveOutcome::Saved(_)));
    }
    let mut list = store::forgotten::Forgotten::default();
    list.add(client.as_str(), "2026-11-26", [tag.to_string()]);
    assert!(matches!(work.folder.save_forgotten(&list), SaveOutcome::Saved(_)));
    (disk, tag, photos, living)
}

#[test]
fn no_photo_goes_while_the_order_of_a_living_client_that_may_show_it_cannot_be_read() {
    let (disk, tag, photos, living) = begun_with_a_shared_photo();
    let file = Path::new(ROOT).join(path_of(&DocId::Order(living)).unwrap().to_string());
    let whole = disk.get(&file).unwrap();
    disk.put(&file, b"torn");
    let (bench, folder) = begun(&disk);
    assert_eq!(photos.each_ref().map(|photo| is_there(&disk, photo)), [true, true]);
    let said: Vec<&str> = bench.troubles().iter().map(|trouble| trouble.what.as_str()).collect();
    assert!(said.iter().any(|said| said.contains("no photo is removed until it can be")), "{said:?}");
    let sheet = &bench.studio().order(tag).unwrap().order.sheet;
    let names = |photo: &PhotoName| sheet.photos.iter().any(|shown| shown.original == photo.hash());
    assert!(photos.iter().all(names), "the sheet still names them");
    drop((bench, folder));
    disk.put(&file, &whole);
    let (bench, _) = begun(&disk);
    assert_eq!(photos.each_ref().map(|photo| is_there(&disk, photo)), [false, true]);
    assert_eq!(bench.troubles(), []);
}

/// The same studio with nobody forgotten, in which the living client's order has an earlier version and cannot be read;
/// with what its file was.
fn begun_with_anothers_order_torn() -> (SimVfs, Tag, [PhotoName; 2], Tag, Vec<u8>) {
    let (disk, tag, photos, living) = begun_with_a_shared_photo();
    disk.remove(&Path::new(ROOT).join(".forgotten")).unwrap();
    let work = opened(&disk);
    let later = with_photo(&order(&work.studio, living), Digest::of(b"taken in later"));
    assert!(matches!(save_doc(&work.folder, &later), SaveOutcome::Saved(_)));
    let file = file_of(living);
    let whole = disk.get(&file).unwrap();
    disk.put(&file, b"torn");
    (disk, tag, photos, living, whole)
}

fn file_of(tag: Tag) -> std::path::PathBuf {
    Path::new(ROOT).join(path_of(&DocId::Order(tag)).unwrap().to_string())
}

#[test]
fn anothers_order_that_cannot_be_read_stops_no_forgetting_and_the_photos_wait_for_it() {
    let (disk, tag, photos, living, whole) = begun_with_anothers_order_torn();
    let (studio, _, client) = at_home();
    let (name, remembered) =
        (studio.clients()[&client].name.to_string(), studio.order(tag).unwrap().name().to_string());
    let (mut bench, folder) = begun(&disk);
    let effects = bench.handle(forget(&client), sample::at(0));
    assert_eq!(effects.len(), 1, "{}", said_last(&bench));
    finish(&mut bench, &folder, &effects);
    assert!(said_last(&bench).contains("no photo is removed until it can be"), "{}", said_last(&bench));
    let receipt = bench.keeping().receipt.clone().unwrap();
    assert!(receipt.contains("2 photos of theirs, without a word, until it can be told"), "{receipt}");
    assert_eq!(with(&disk, &remembered), Vec::<String>::new());
    assert_eq!(with(&disk, &name), ["/home/s/money/2026.ron"]);
    assert_eq!(folder.history(&path_of(&DocId::Order(tag)).unwrap()).unwrap(), []);
    drop((bench, folder));
    // Until it can be read nothing more is done, and that is told at each start.
    let before: Vec<_> = disk.paths().into_iter().map(|path| disk.get(path)).collect();
    let (bench, folder) = begun(&disk);
    assert!(bench.troubles().iter().any(|told| told.what.contains("no photo is removed until it can be")));
    let names = |bench: &Workbench| -> BTreeSet<Digest> {
        order(bench.studio(), tag).sheet.photos.iter().map(|photo| photo.original).collect()
    };
    assert_eq!(names(&bench), photos.iter().map(PhotoName::hash).collect());
    drop((bench, folder));
    assert_eq!(disk.paths().into_iter().map(|path| disk.get(path)).collect::<Vec<_>>(), before);
    disk.put(file_of(living), &whole);
    let (bench, _) = begun(&disk);
    assert_eq!(photos.each_ref().map(|photo| is_there(&disk, photo)), [false, true]);
    assert_eq!((bench.troubles(), names(&bench).len()), (&[][..], 0));
}

#[test]
fn an_order_that_cannot_be_read_and_is_theirs_or_nobody_knows_whose_stops_a_forgetting() {
    let client = at_home().2;
    let (disk, tag, _, living, whole) = begun_with_anothers_order_torn();
    let why = |disk: &SimVfs| {
        let (mut bench, _) = begun(disk);
        assert_eq!(bench.handle(forget(&client), sample::at(0)).len(), 0);
        said_last(&bench)
    };
    let path = path_of(&DocId::Order(living)).unwrap();
    opened(&disk).folder.remove_history(&path).unwrap();
    let said = why(&disk);
    assert!(said.contains("no earlier version of it says whose it is"), "{said}");
    disk.put(file_of(living), &whole);
    let work = opened(&disk);
    let later = with_photo(&order(&work.studio, tag), Digest::of(b"taken in later"));
    assert!(matches!(save_doc(&work.folder, &later), SaveOutcome::Saved(_)));
    drop(work);
    disk.put(file_of(tag), b"torn");
    let said = why(&disk);
    assert!(said.contains("is this client's and cannot be read"), "{said}");
}

#[test]
fn forgetting_never_reads_what_others_have_among_photos_and_papers() {
    let (studio, _, client) = at_home();
    let reads = |photos: u8| {
        let disk = on_disk(&studio);
        let mut work = opened(&disk);
        let tag = Tag::from_number(77).unwrap().to_string();
        for no in 0..photos {
            work.folder.keep_photo(&[no], "jpg").unwrap();
            work.folder.issue_paper(&tag, &format!("receipt-{no}.pdf"), &[no]).unwrap();
        }
        let who = forgetting(&work.studio, &client, &Owners::new(), sample::at(0)).unwrap();
        // It never strikes; what is done is counted from here on.
        disk.arm(Fault::once(usize::MAX, Trouble::Device));
        carry_out(&work.folder, &who).unwrap();
        let forgotten = disk.ops().iter().filter(|op| **op == Op::Read).count();
        work.folder.issue_paper(&tag_of(&who), "receipt-left.pdf", b"left").unwrap();
        disk.arm(Fault::once(usize::MAX, Trouble::Device));
        assert_eq!(sweep(&work.folder, &mut work.studio, sample::at(0)).unwrap().clients, 1);
        let swept = disk.ops().iter().filter(|op| **op == Op::Read).count();
        (forgotten, swept)
    };
    let (few, many) = (reads(1), reads(40));
    assert_eq!(few, many);
    assert!(few.1 < few.0, "a start does not look for words: {few:?}");
}

fn tag_of(who: &forget::Forgetting) -> String {
    who.tags.first().unwrap().to_string()
}

#[test]
fn what_is_left_of_an_order_without_a_file_is_removed_and_then_nothing_is_left_to_do() {
    let (studio, tag, client) = at_home();
    let disk = on_disk(&studio);
    let work = opened(&disk);
    let who = forgetting(&work.studio, &client, &Owners::new(), sample::at(0)).unwrap();
    carry_out(&work.folder, &who).unwrap();
    work.folder.issue_paper(&tag.to_string(), "receipt-left.pdf", b"left").unwrap();
    drop(work);
    let file = Path::new(ROOT).join(path_of(&DocId::Order(tag)).unwrap().to_string());
    disk.remove(&file).unwrap();
    let mut work = opened(&disk);
    assert_eq!(sweep(&work.folder, &mut work.studio, sample::at(0)).unwrap().clients, 1);
    assert_eq!(work.folder.papers(&tag.to_string()).unwrap(), Vec::<String>::new());
    assert_eq!(sweep(&work.folder, &mut work.studio, sample::at(0)).unwrap().clients, 0);
}

#[test]
fn a_forgotten_order_that_cannot_be_read_is_told_of_and_its_earlier_versions_are_left() {
    let (studio, tag, client) = at_home();
    let disk = on_disk(&studio);
    let work = opened(&disk);
    let path = path_of(&DocId::Order(tag)).unwrap();
    drop(save_doc(&work.folder, &with_photo(&order(&studio, tag), Digest::of(b"x"))));
    let mut list = store::forgotten::Forgotten::default();
    list.add(client.as_str(), "2026-11-26", [tag.to_string()]);
    drop(work.folder.save_forgotten(&list));
    drop(work);
    disk.put(Path::new(ROOT).join(path.to_string()), b"torn");
    for _ in 0..2 {
        let (bench, folder) = begun(&disk);
        let told = |finding: &Finding| *finding == Finding::NotForgotten(forget_words::forgotten_unread(tag));
        assert_eq!(bench.findings().iter().filter(|finding| told(finding)).count(), 1);
        assert_eq!(folder.history(&path).unwrap().len(), 1, "it may be all there is of the record");
    }
}

/// What is refused is not offered: neither on the row of the file, nor as versions to be looked at.
#[test]
fn a_file_of_someone_forgotten_that_cannot_be_read_is_not_offered_its_earlier_version() {
    let (studio, tag, client) = at_home();
    let disk = on_disk(&studio);
    let work = opened(&disk);
    let (order_id, client_id) = (DocId::Order(tag), DocId::Client(client.clone()));
    drop(save_doc(&work.folder, &with_photo(&order(&studio, tag), Digest::of(b"x"))));
    let mut renamed = studio.clients()[&client].clone();
    renamed.contact = sample::line("elsewhere");
    drop(save_doc(&work.folder, &Doc::Client(client.clone(), Box::new(renamed))));
    drop(work);
    for id in [&order_id, &client_id] {
        disk.put(Path::new(ROOT).join(path_of(id).unwrap().to_string()), b"torn");
    }
    let of = |bench: &Workbench, id: &DocId| {
        bench.findings().iter().find(|finding| finding.is_unreadable(id)).cloned().expect("it is told of")
    };
    let (bench, folder) = begun(&disk);
    for id in [&order_id, &client_id] {
        assert!(
            finding_words::row(&of(&bench, id)).way_out.action.is_some(),
            "as long as nobody is forgotten"
        );
    }
    let mut list = store::forgotten::Forgotten::default();
    // Whose the order is only its earlier version says.
    list.add(client.as_str(), "2026-11-26", []);
    drop(folder.save_forgotten(&list));
    drop((bench, folder));
    let (mut bench, _folder) = begun(&disk);
    for id in [&order_id, &client_id] {
        let finding = of(&bench, id);
        let row = finding_words::row(&finding);
        assert!(row.way_out.action.is_none() && row.way_out.words.contains("forgotten"), "{row:?}");
        assert_eq!(finding_words::with_versions(&finding), None);
        let put = Keep::PutInPlace { doc: id.clone(), number: 1 };
        assert!(bench.handle(Action::Start(Job::Keep(put)), sample::at(0)).is_empty());
        assert_eq!(said_last(&bench), forget_words::FORGOTTEN_ALREADY);
    }
    assert_eq!(forget::owners(bench.findings(), &list).get(&tag), Some(&client), "whose it is stays known");
}

/// A copy beside the order of a client who was forgotten: one that this program kept goes, another is to be deleted.
#[test]
fn a_copy_of_a_forgotten_order_shows_no_word_and_is_never_offered() {
    let (studio, tag, client) = at_home();
    let stem = tag.to_string().to_lowercase();
    let longer = {
        let mut then = studio.clone();
        let fact: Fact = ClientFact::MessageSent { about: MessageKind::Nudge }.into();
        then.apply(Edit::Order(tag, OrderEdit::Fact(fact)), sample::at(60_000)).unwrap();
        encode(DocKind::Order, &order(&then, tag)).unwrap()
    };
    let kept = Path::new(ROOT).join(format!("orders/{stem}.conflict-1.ron"));
    let foreign = Path::new(ROOT).join("orders/the same (copy).ron");
    let is_marked = |bench: &Workbench| {
        let copies = bench.findings().iter().filter_map(|finding| match finding {
            Finding::Edition(edition) => Some((finding, edition)),
            _ => None,
        });
        let [(finding, edition)] = copies.collect::<Vec<_>>()[..] else { panic!("{:?}", bench.findings()) };
        let way_out = finding_words::way_out(finding);
        assert_eq!((edition.how, edition.file.as_str()), (Parting::Forgotten, "orders/the same (copy).ron"));
        assert!(way_out.action.is_none() && way_out.words == "delete the copy", "{way_out:?}");
        assert_eq!(finding_words::both(edition, bench.studio(), sample::at(0)), None);
        let trouble = finding.trouble();
        assert!(bench.troubles().contains(&trouble), "{trouble:?}");
    };
    let disk = on_disk(&studio);
    for file in [&kept, &foreign] {
        disk.put(file, &longer);
    }
    let (mut bench, folder) = begun(&disk);
    let offered = |finding: &Finding| {
        matches!(finding, Finding::Edition(_)) && finding_words::way_out(finding).action.is_some()
    };
    assert_eq!(bench.findings().iter().filter(|finding| offered(finding)).count(), 2);
    let effects = bench.handle(forget(&client), sample::at(0));
    finish(&mut bench, &folder, &effects);
    is_marked(&bench);
    assert!(disk.get(&kept).is_none() && disk.get(&foreign).is_some());
    drop((bench, folder));
    // A version that comes back later is looked for by itself.
    disk.put(&kept, &longer);
    let (bench, _) = begun(&disk);
    is_marked(&bench);
    assert!(disk.get(&kept).is_none());
}

#[test]
fn photos_that_are_gone_on_purpose_are_not_asked_for_again() {
    let (studio, tag, client) = at_home();
    let disk = on_disk(&studio);
    let (mut bench, folder) = begun(&disk);
    let lacking = |no: u8| {
        let file = Named::Photo { tag, digest: Digest::of(&[no]), ext: Some("jpg") };
        Finding::File { file, how: Lacking::Gone }
    };
    let now = sample::at(0);
    let missing = |bench: &Workbench| bench.findings().iter().filter(|found| found.is_of_a_file()).count();
    bench.handle(Action::Looked(vec![lacking(0)]), now);
    assert_eq!(missing(&bench), 1);
    let effects = bench.handle(forget(&client), now);
    bench.handle(Action::Looked(vec![lacking(1)]), now);
    assert_eq!(missing(&bench), 1, "it is being removed");
    finish(&mut bench, &folder, &effects);
    assert_eq!(missing(&bench), 0);
    bench.handle(Action::Looked(vec![lacking(2)]), now);
    assert_eq!(missing(&bench), 0);
    assert!(!bench.troubles().iter().any(|trouble| trouble.file.starts_with("photos/")));
}
