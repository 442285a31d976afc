//! Taking back and forgetting through the workbench, on a disk in memory.

use std::path::Path;
use std::sync::Arc;

use craft::digest::Digest;
use craft::fact::{ClientFact, CustodyFact, HomeFact, PaperKind};
use craft::id::{ClientId, DocId, Year};
use craft::money::Money;
use craft::money::bill::{Bill, Discount, Line as BillLine, Quantity, Vat};
use craft::money::series::{InvoiceDraft, Kind, Party};
use craft::order::{About, Page, Words};
use craft::stage::Stage;
use craft::studio::{Doc, Edit, InvoiceEdit, OrderEdit, Studio};
use craft::tag::Tag;
use store::folder::StudioFolder;
use store::sim::{Fault, SimVfs, Trouble};

use super::forget::{carry_out, forgetting};
use super::sweep::sweep;
use super::{Keep, begin};
use crate::action::{Action, Effect, Job, JobEnd, JobId, Outcome, Work};
use crate::finding::Owners;
use crate::open::open;
use crate::present::sample;
use crate::runner::save_doc;
use crate::state::{Notice, Workbench};

mod forgetting;
mod handing;
mod proof;
mod versions;

const ROOT: &str = "/home/s";

/// A disk with a studio on it.
fn on_disk(studio: &Studio) -> SimVfs {
    let disk = SimVfs::new();
    disk.put("/home/x", b"");
    let folder = StudioFolder::create(Path::new(ROOT), Arc::new(disk.clone()), studio.policies()).unwrap();
    let docs = studio.shelf().keys().cloned().map(DocId::Shelf);
    let docs = docs.chain(studio.clients().keys().cloned().map(DocId::Client));
    let docs = docs.chain(studio.orders().keys().copied().map(DocId::Order));
    for id in docs.chain(studio.invoices().keys().copied().map(DocId::Invoices)) {
        let outcome = save_doc(&folder, &studio.doc(&id).unwrap());
        assert!(matches!(outcome, store::save::SaveOutcome::Saved(_)), "{outcome:?}");
    }
    disk
}

/// A studio whose only order has come to its end, with one invoice for it.
fn at_home() -> (Studio, Tag, ClientId) {
    let (mut studio, tag) = sample::gone_home();
    let client = studio.order(tag).unwrap().order.client.clone();
    let mut record = |fact: craft::fact::Fact| {
        let edit = Edit::Order(tag, OrderEdit::Fact(fact));
        drop(studio.apply(edit, sample::at(50_000)));
    };
    record(HomeFact::Arrived.into());
    record(ClientFact::Thanked.into());
    let party = |name: &str| Party {
        name: name.to_owned(),
        address: vec!["Somewhere 1".to_owned()],
        country: "GB".to_owned(),
    };
    let currency = studio.policies().currency;
    let line = BillLine {
        words: "a stone for the one remembered".to_owned(),
        quantity: Quantity::ONE,
        unit_price: Money { minor: 12_000, currency },
        discount: Discount::None,
        vat: None,
    };
    let bill = Bill {
        currency,
        vat: Vat::NotRegistered,
        vat_rounding: craft::money::Rounding::default(),
        lines: vec![line],
        discount: Discount::None,
        deposits: Vec::new(),
    };
    let day = sample::day(2026, 3, 1);
    let name = studio.clients()[&client].name.to_string();
    let draft = InvoiceDraft {
        kind: Kind::Invoice,
        order: tag,
        dated: day,
        supplied: None,
        pay_by: Some(day),
        seller: party("The studio"),
        buyer: party(&name),
        bill,
    };
    studio.apply(Edit::Invoices(Year(2026), InvoiceEdit::Issue(Box::new(draft))), sample::at(0)).unwrap();
    (studio, tag, client)
}

#[test]
fn a_client_is_not_forgotten_while_any_parcel_of_theirs_is_in_the_post() {
    let mut bench = sample::bench(Stage::Packed);
    let client = bench.studio.order(bench.tag).unwrap().order.client.clone();
    let (late, check) = (craft::id::Thing::envelope(1), bench.check());
    // One thing turns up after the box went, and goes home in a second one, which is there first.
    bench.record(HomeFact::Unticked { thing: late });
    bench.record(CustodyFact::Lost { thing: late });
    bench.record(HomeFact::NotPhotographed);
    bench.record(HomeFact::Sent);
    bench.record(CustodyFact::Found { thing: late, place: craft::place::Place::Bench });
    bench.record(HomeFact::Ticked { thing: late, check });
    bench.record(HomeFact::NotPhotographed);
    bench.record(HomeFact::Sent);
    bench.record(HomeFact::Arrived);
    assert!(bench.studio.order(bench.tag).unwrap().ledger.home.arrived.is_some(), "the second one");
    let why = forgetting(&bench.studio, &client, &Owners::new(), bench.now()).unwrap_err();
    assert!(why.contains("has not arrived yet"), "{why}");
    let mut lost = bench.studio.clone();
    bench.record(HomeFact::Arrived);
    assert!(forgetting(&bench.studio, &client, &Owners::new(), bench.now()).is_ok());
    // What was lost on the way is not waited for.
    let in_the_post: Vec<craft::id::Thing> = {
        let things = &lost.order(bench.tag).unwrap().ledger.custody.things;
        let travels = things.iter().filter(|(_, held)| held.place == craft::place::Place::Post);
        travels.map(|(thing, _)| *thing).collect()
    };
    assert!(!in_the_post.is_empty());
    for thing in in_the_post {
        let fact = CustodyFact::Lost { thing }.into();
        lost.apply(Edit::Order(bench.tag, OrderEdit::Fact(fact)), bench.now()).unwrap();
    }
    assert!(forgetting(&lost, &client, &Owners::new(), bench.now()).is_ok());
}

/// The files in which some words stand.
fn with(disk: &SimVfs, words: &str) -> Vec<String> {
    let holds = |bytes: Vec<u8>| bytes.windows(words.len()).any(|part| part == words.as_bytes());
    let paths = disk.paths().into_iter().filter(|path| disk.get(path).is_some_and(holds));
    paths.map(|path| path.display().to_string()).collect()
}

#[test]
fn what_is_held_is_not_forgotten_and_the_words_say_which_thing() {
    let bench = sample::bench(Stage::Here);
    let client = bench.studio.order(bench.tag).unwrap().order.client.clone();
    let why = forgetting(&bench.studio, &client, &Owners::new(), bench.now()).unwrap_err();
    assert!(why.contains("is still here; send it home"), "{why}");
    let (studio, tag) = sample::gone_home();
    if studio.order(tag).unwrap().ledger.home.arrived.is_none() {
        let why = forgetting(&studio, &client, &Owners::new(), sample::at(0)).unwrap_err();
        assert!(why.contains("has not arrived yet"), "{why}");
    }
    let mut studio = at_home().0;
    studio.lock(DocId::Order(Tag::from_number(77).unwrap()), "torn".to_owned());
    let why = forgetting(&studio, &client, &Owners::new(), sample::at(0)).unwrap_err();
    assert!(why.contains("so it may be this client's"), "{why}");
}

#[test]
fn forgetting_leaves_no_name_but_in_the_money_record_until_its_day() {
    let (studio, tag, client) = at_home();
    let disk = on_disk(&studio);
    let name = studio.clients()[&client].name.to_string();
    let remembered = studio.order(tag).unwrap().order.sheet.remembered.name.to_string();
    let ledger = studio.order(tag).unwrap().ledger.clone();
    let folder = StudioFolder::open(Path::new(ROOT), Arc::new(disk.clone())).unwrap();
    folder.issue_paper(&tag.to_string(), "receipt-0123456789abcdef.pdf", name.as_bytes()).unwrap();
    assert!(with(&disk, &name).len() >= 3 && !with(&disk, &remembered).is_empty());
    let opened = open(Path::new(ROOT), Arc::new(disk.clone())).unwrap();
    drop(folder);
    drop(opened);
    let opened = open(Path::new(ROOT), Arc::new(disk.clone())).unwrap();
    let who = forgetting(&opened.studio, &client, &Owners::new(), sample::at(0)).unwrap();
    let gone = carry_out(&opened.folder, &who).unwrap();
    assert_eq!((gone.troubles.clone(), gone.still.clone()), (vec![], vec![]));
    assert_eq!(with(&disk, &remembered), Vec::<String>::new());
    assert_eq!(with(&disk, &name), ["/home/s/money/2026.ron"]);
    drop(opened);
    let mut opened = open(Path::new(ROOT), Arc::new(disk.clone())).unwrap();
    assert_eq!(opened.troubles, []);
    assert_eq!(opened.studio.order(tag).unwrap().ledger, ledger, "the balance holds");
    // Nothing is left to do, and nothing is written.
    let files = |disk: &SimVfs| disk.paths().into_iter().map(|path| disk.get(path)).collect::<Vec<_>>();
    let before = files(&disk);
    assert_eq!(sweep(&opened.folder, &mut opened.studio, sample::at(0)).unwrap().clients, 0);
    assert_eq!(files(&disk), before);
    // Once the years are over the name goes from the money record too, and the sums stay.
    let years = craft::policies::Policies { money_years: Some(6), ..opened.studio.policies().clone() };
    opened.studio.apply(Edit::Policies(Box::new(years)), sample::at(0)).unwrap();
    let totals = |studio: &Studio| {
        studio.invoices()[&Year(2026)].issued().map(|(_, issued)| issued.totals.clone()).collect::<Vec<_>>()
    };
    let sums = totals(&opened.studio);
    let late = |year: i64| craft::moment::Moment { utc_ms: (year - 1970) * 31_556_952_000, ..sample::at(0) };
    assert_eq!(sweep(&opened.folder, &mut opened.studio, late(2031)).unwrap().clients, 0);
    assert_eq!(sweep(&opened.folder, &mut opened.studio, late(2034)).unwrap().clients, 1);
    assert_eq!(with(&disk, &name), Vec::<String>::new());
    assert_eq!(totals(&opened.studio), sums);
}

/// Wherever the disk gives up, the next start goes through with it; before the file that says so, nothing is removed.
#[test]
fn a_forgetting_that_was_cut_short_is_finished_at_the_next_start() {
    let (studio, tag, client) = at_home();
    let name = studio.clients()[&client].name.to_string();
    let (mut before, mut finished) = (0, 0);
    for after in 0..400 {
        let disk = on_disk(&studio);
        let opened = open(Path::new(ROOT), Arc::new(disk.clone())).unwrap();
        let photo = opened.folder.keep_photo(b"a photo", "jpg").unwrap();
        let mut who = forgetting(&opened.studio, &client, &Owners::new(), sample::at(0)).unwrap();
        who.photos.push(photo.hash());
        disk.arm(Fault { lasting: true, ..Fault::once(after, Trouble::Device) });
        let gone = carry_out(&opened.folder, &who);
        let struck = disk.disarm();
        drop(opened);
        let told = gone.as_ref().map_or(true, |gone| !gone.troubles.is_empty());
        if struck == 0 {
            assert!(!told, "{gone:?}");
            assert!(before > 0 && finished > 10, "{before} before, {finished} finished");
            return;
        }
        let mut opened = open(Path::new(ROOT), Arc::new(disk.clone())).unwrap();
        let list = opened.folder.load_forgotten().unwrap();
        if list.is_empty() {
            assert!(gone.is_err());
            assert!(
                opened.folder.photo(&photo).unwrap().is_some() && with(&disk, &name).len() >= 2,
                "after {after}"
            );
            before += 1;
            continue;
        }
        begin(&mut opened, true, sample::at(0));
        assert_eq!(with(&disk, &name), ["/home/s/money/2026.ron"], "after {after}");
        assert_eq!(opened.studio.order(tag).unwrap().order.log, studio.order(tag).unwrap().order.log);
        finished += 1;
    }
    panic!("it never came to its end");
}

/// Performs a job's work by hand and hands its end back.
fn finish(bench: &mut Workbench, folder: &StudioFolder, effects: &[Effect]) -> (JobId, Vec<Effect>) {
    let [Effect::Run(id, Work::Keep(work))] = effects else { panic!("one piece of work") };
    let kept = super::carry_out(folder, work, &|_| (), &|| false).unwrap();
    let end = JobEnd::Done(Outcome::Kept(Box::new(kept)));
    (*id, bench.handle(Action::JobDone(*id, end), sample::at(0)))
}

#[test]
fn in_the_window_a_forgotten_client_stays_forgotten_whatever_is_tried() {
    let (studio, tag, client) = at_home();
    let disk = on_disk(&studio);
    let opened = open(Path::new(ROOT), Arc::new(disk)).unwrap();
    let mut bench = Workbench::new(opened.studio, None);
    let now = sample::at(0);
    let known = studio.doc(&DocId::Client(client.clone())).unwrap();
    let effects = bench.handle(Action::Start(Job::Keep(Keep::Forget(client.clone()))), now);
    let put = |words: &str| {
        let words = Words { about: About::Page(Page::After), text: words.parse().unwrap() };
        Action::Edit(Edit::Order(tag, OrderEdit::Story(words)))
    };
    assert!(bench.handle(put("while it goes on"), now).is_empty());
    assert!(matches!(bench.notices().last(), Some(Notice::Refused { why, .. }) if why.contains("just now")));
    finish(&mut bench, &opened.folder, &effects);
    assert!(bench.keeping().receipt.as_ref().unwrap().contains("was forgotten on"));
    assert_eq!(bench.studio().clients()[&client].name.as_str(), "forgotten");
    assert!(bench.handle(put("afterwards"), now).is_empty());
    let again = bench.handle(Action::TakeBack(Box::new(known)), now);
    assert!(again.is_empty(), "an earlier version brings nothing back");
    assert_eq!(bench.studio().clients()[&client].name.as_str(), "forgotten");
    assert!(bench.studio().order(tag).unwrap().order.story.all().is_empty());
}

#[test]
fn taking_back_an_earlier_sheet_keeps_every_fact_and_can_be_undone() {
    let sample = sample::bench(Stage::Here);
    let (tag, id) = (sample.tag, DocId::Order(sample.tag));
    let mut bench = Workbench::new(sample.studio, None);
    let now = sample::at(90_000);
    let earlier = bench.studio().doc(&id).unwrap();
    let mut sheet = bench.studio().order(tag).unwrap().order.sheet.clone();
    let ring = sheet.ring.clone();
    sheet.ring = sample::line("UK P");
    sheet.photos.push(craft::order::Photo {
        original: Digest::of(b"since"),
        kind: craft::order::PhotoKind::Jpeg,
        of: None,
        caption: sample::line(""),
    });
    bench.handle(Action::Edit(Edit::Order(tag, OrderEdit::Sheet(Box::new(sheet.clone())))), now);
    let fact = HomeFact::PaperIssued { paper: PaperKind::Receipt, file: Digest::of(b"paper") };
    bench.handle(Action::Edit(Edit::Order(tag, OrderEdit::Fact(fact.into()))), now);
    let number = bench.studio().order(tag).unwrap().order.log.len();
    let words = Words { about: About::Entry(number), text: "about that".parse().unwrap() };
    bench.handle(Action::Edit(Edit::Order(tag, OrderEdit::Story(words))), now);
    let log = bench.studio().order(tag).unwrap().order.log.clone();
    let effects = bench.handle(Action::TakeBack(Box::new(earlier.clone())), now);
    assert!(matches!(effects.as_slice(), [Effect::Save(saved, ..)] if *saved == id), "{effects:?}");
    let order = bench.studio().order(tag).unwrap().order.clone();
    assert_eq!(order.log, log, "facts are never removed");
    assert_eq!(order.sheet.ring, ring);
    assert_ne!(ring, sheet.ring);
    assert_eq!(order.sheet.photos, sheet.photos, "a photo taken in since stays");
    assert!(order.story.about(About::Entry(number)).is_some(), "words about what came since stay");
    assert!(!bench.handle(Action::Undo, now).is_empty());
    assert_eq!(bench.studio().order(tag).unwrap().order.sheet.ring, sheet.ring);
    // A version whose record is not the beginning of this one, and one of another client, are turned away.
    let Doc::Order(earlier) = earlier else { panic!("an order") };
    let mut other = sample::bench(Stage::Asked);
    other.record(ClientFact::MessageSent { about: craft::fact::MessageKind::KitPosted });
    let forked = craft::order::Order {
        log: other.studio.order(other.tag).unwrap().order.log.clone(),
        ..*earlier.clone()
    };
    let stranger = craft::order::Order { client: "somebody-else".parse().unwrap(), ..*earlier };
    for (doc, why) in [(forked, "is not the beginning of the record"), (stranger, "another client's")] {
        assert!(bench.handle(Action::TakeBack(Box::new(Doc::Order(Box::new(doc)))), now).is_empty());
        let said = bench.notices().last().cloned();
        assert!(matches!(&said, Some(Notice::Refused { why: said, .. }) if said.contains(why)), "{said:?}");
    }
}

#[test]
fn invoices_never_go_back() {
    let (studio, ..) = at_home();
    let issued = studio.doc(&DocId::Invoices(Year(2026))).unwrap();
    let mut bench = Workbench::new(studio, None);
    assert!(bench.handle(Action::TakeBack(Box::new(issued)), sample::at(0)).is_empty());
    assert!(
        matches!(bench.notices().last(), Some(Notice::Refused { why, .. }) if why.contains("never taken back"))
    );
}

#[test]
fn a_history_that_cannot_be_kept_is_told_once_until_it_is_read() {
    let mut bench = Workbench::new(at_home().0, None);
    for _ in 0..3 {
        bench.handle(Action::HistoryTold("no earlier version was kept".to_owned()), sample::at(0));
    }
    assert_eq!(bench.notices().count(), 1);
}

#[test]
fn a_list_is_written_over_nothing_and_not_among_the_files_of_the_studio() {
    let dir = tempfile::tempdir().unwrap();
    let root = dir.path().join("studio");
    let (studio, ..) = at_home();
    let vfs = Arc::new(store::vfs::DiskVfs);
    let folder = StudioFolder::create(&root, vfs, studio.policies()).unwrap();
    let keeping = super::Keeping { receipt: Some("a receipt".to_owned()), ..super::Keeping::default() };
    let run = |keep: &Keep| {
        let work = super::work_for(&studio, &keeping, &Owners::new(), keep, sample::at(0)).unwrap();
        super::carry_out(&folder, &work, &|_| (), &|| false)
    };
    for name in ["list.csv", "receipt.txt"] {
        let keep = |to| if name == "list.csv" { Keep::WriteList { to } } else { Keep::WriteReceipt { to } };
        let to = dir.path().join(name);
        run(&keep(to.clone())).unwrap();
        std::fs::write(&to, b"the maker's own").unwrap();
        let why = run(&keep(to.clone())).unwrap_err();
        assert!(why.contains("choose a new name"), "{why}");
        assert_eq!(std::fs::read(&to).unwrap(), b"the maker's own");
        for inside in [root.join(name), root.join("orders").join(name), root.join("studio.ron")] {
            let why = run(&keep(inside)).unwrap_err();
            assert!(why.contains("lies in the studio's own folder"), "{why}");
        }
    }
    let mut names: Vec<_> =
        std::fs::read_dir(dir.path()).unwrap().map(|entry| entry.unwrap().file_name()).collect();
    names.sort();
    assert_eq!(names, ["list.csv", "receipt.txt", "studio"], "nothing is left beside");
}

#[test]
fn what_is_read_on_screen_and_paper_names_no_digest() {
    let (studio, tag, _) = at_home();
    let mut sheet = studio.order(tag).unwrap().order.sheet.clone();
    let (original, kind) = (Digest::of(b"photo"), craft::order::PhotoKind::Jpeg);
    sheet.photos.push(craft::order::Photo { original, kind, of: None, caption: sample::line("as it came") });
    let mut held = studio.order(tag).unwrap().clone();
    held.wake().unwrap().order.sheet = sheet;
    let said = crate::present::hand_over_words::summary(&studio, &held, sample::at(0));
    assert!(said.contains(&original.to_string()) && !said.contains("digest"), "{said}");
    let gone = crate::finding::Finding::File {
        file: super::files::Named::Photo { tag, digest: original, ext: Some("jpg") },
        how: crate::finding::Lacking::Gone,
    };
    let safe = crate::present::finding_words::safe(&gone);
    assert_eq!(safe, "the record is whole, and tells the right copy from any other");
}
