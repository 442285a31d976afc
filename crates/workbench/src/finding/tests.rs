use std::path::{Path, PathBuf};
use std::sync::Arc;

use craft::fact::{ClientFact, Fact, MessageKind};
use craft::id::ClientId;
use craft::stage::Stage;
use craft::studio::{ClientEdit, Doc, Edit, OrderEdit, Studio};
use store::folder::StudioFolder;
use store::format::encode;
use store::name::DocKind;
use store::save::SaveOutcome;
use store::sim::SimVfs;
use store::vfs::Vfs;

use super::*;
use crate::action::{Action, Effect};
use crate::open::{Opened, open, path_of, witness};
use crate::present::finding_words::{self, both, line, row, whose};
use crate::present::sample::{self, at};
use crate::runner::save_doc;
use crate::session::Session;
use crate::state::Workbench;

const ROOT: &str = "/studio";

/// The sample order on a disk in memory, with the witness of its record.
fn disk() -> (SimVfs, Studio, Tag) {
    let sample = sample::bench(Stage::Here);
    let disk = SimVfs::new();
    let folder =
        StudioFolder::create(Path::new(ROOT), Arc::new(disk.clone()), sample.studio.policies()).unwrap();
    let studio = &sample.studio;
    let shelf = studio.shelf().keys().cloned().map(DocId::Shelf);
    let clients = studio.clients().keys().cloned().map(DocId::Client);
    let orders = studio.orders().keys().copied().map(DocId::Order);
    for id in shelf.chain(clients).chain(orders) {
        assert!(matches!(save_doc(&folder, &studio.doc(&id).unwrap()), SaveOutcome::Saved(_)));
    }
    assert!(folder.save_heads(&witness(studio)));
    (disk, sample.studio, sample.tag)
}

fn opened(disk: &SimVfs) -> Opened {
    open(Path::new(ROOT), Arc::new(disk.clone())).unwrap()
}

fn file_of(doc: &DocId) -> PathBuf {
    Path::new(ROOT).join(path_of(doc).unwrap().to_string())
}

fn order(studio: &Studio, tag: Tag) -> Order {
    studio.order(tag).unwrap().order.clone()
}

fn text(order: &Order) -> Vec<u8> {
    encode(DocKind::Order, order).unwrap()
}

/// The same order after one more message.
fn later(studio: &Studio, tag: Tag, about: MessageKind) -> Order {
    let mut studio = studio.clone();
    let fact: Fact = ClientFact::MessageSent { about }.into();
    studio.apply(Edit::Order(tag, OrderEdit::Fact(fact)), at(900)).unwrap();
    order(&studio, tag)
}

/// The one finding of a folder, by its kind; the folder is as it was before.
fn found(disk: &SimVfs) -> Finding {
    let before: Vec<_> = disk.paths().into_iter().map(|path| (disk.get(&path), path)).collect();
    let mut opened = opened(disk);
    let after: Vec<_> = disk.paths().into_iter().map(|path| (disk.get(&path), path)).collect();
    assert_eq!(before, after, "nothing is mended by itself");
    let row = row(&opened.findings[0]);
    for words in [&row.wrong, &row.safe, &row.way_out.words] {
        assert!(words.len() > 10 && !words.ends_with('.'), "{words}");
    }
    assert_eq!(opened.findings.len(), 1, "{:?}", opened.findings);
    assert_eq!(opened.troubles, [opened.findings[0].trouble()]);
    opened.findings.remove(0)
}

#[test]
fn two_editions_are_told_apart_by_their_records() {
    let (_, studio, tag) = disk();
    let here = order(&studio, tag);
    let nudged = later(&studio, tag, MessageKind::Nudge);
    let posted = later(&studio, tag, MessageKind::KitPosted);
    assert_eq!(parting(&here, &here), Parting::Same);
    assert_eq!(parting(&here, &nudged), Parting::CopyLonger);
    assert_eq!(parting(&nudged, &here), Parting::OursLonger);
    let at = here.log.len() + 1;
    assert_eq!(parting(&nudged, &posted), Parting::Forked { at });
    let mut other = here.clone();
    other.sheet.wishes = "a ring".parse().unwrap();
    assert_eq!(parting(&here, &other), Parting::OtherWords);
    // The broken variant, which compares lengths alone, would offer a fork as the longer one.
    let longer = {
        let mut then = studio.clone();
        for about in [MessageKind::KitPosted, MessageKind::Nudge] {
            let fact: Fact = ClientFact::MessageSent { about }.into();
            then.apply(Edit::Order(tag, OrderEdit::Fact(fact)), at_moment()).unwrap();
        }
        order(&then, tag)
    };
    assert!(longer.log.len() > nudged.log.len());
    assert_eq!(parting(&nudged, &longer), Parting::Forked { at });
}

fn at_moment() -> craft::moment::Moment {
    at(901)
}

#[test]
fn a_copy_that_goes_on_is_offered_and_taken_only_when_it_is_asked_for() {
    let (disk, studio, tag) = disk();
    let longer = later(&studio, tag, MessageKind::Nudge);
    let name = "orders/the same (another computer's copy).ron";
    disk.put(Path::new(ROOT).join(name), &text(&longer));
    let finding = found(&disk);
    let Finding::Edition(edition) = &finding else { panic!("{finding:?}") };
    assert_eq!((edition.how, edition.file.as_str()), (Parting::CopyLonger, name));
    let action = row(&finding).way_out.action.unwrap();
    assert!(matches!(&action, Action::TakeEdition(file) if file == name));
    let clock = Arc::new(crate::clock::SystemClock::new());
    let mut session = Session::open_on(Path::new(ROOT), Arc::new(disk.clone()), clock).unwrap();
    session.act_and_settle(action).unwrap();
    assert_eq!(session.view().studio.order(tag).unwrap().order, longer);
    let Some(Finding::Edition(edition)) = session.view().findings().first() else { panic!("it is told of") };
    assert_eq!(edition.how, Parting::Same);
    session.close().unwrap();
    assert_eq!(disk.get(file_of(&DocId::Order(tag))).unwrap(), text(&longer));
    assert!(disk.get(Path::new(ROOT).join(name)).is_some(), "the copy is for the maker to move away");
    let earlier = Path::new(ROOT).join(".history/orders");
    let mut kept = disk.paths().into_iter().filter(|path| path.starts_with(&earlier));
    let shorter = text(&order(&studio, tag));
    assert!(kept.any(|path| disk.get(&path).unwrap() == shorter), "what it replaced is an earlier version");
}

#[test]
fn a_longer_copy_is_not_taken_over_what_was_recorded_since() {
    let (disk, studio, tag) = disk();
    disk.put("/studio/orders/copy.of.it.ron", &text(&later(&studio, tag, MessageKind::Nudge)));
    let clock = Arc::new(crate::clock::SystemClock::new());
    let mut session = Session::open_on(Path::new(ROOT), Arc::new(disk.clone()), clock).unwrap();
    let fact: Fact = ClientFact::MessageSent { about: MessageKind::KitPosted }.into();
    session.act_and_settle(Action::Edit(Edit::Order(tag, OrderEdit::Fact(fact)))).unwrap();
    let before = session.view().studio.clone();
    let take = Action::TakeEdition("orders/copy.of.it.ron".to_owned());
    let why = session.act_and_settle(take).unwrap_err().to_string();
    assert!(why.contains("does not go on from it any more"), "{why}");
    assert_eq!(*session.view().studio, before);
}

#[test]
fn a_fork_shows_both_and_offers_nothing_that_merges() {
    let (disk, studio, tag) = disk();
    let (one, other) = (later(&studio, tag, MessageKind::Nudge), later(&studio, tag, MessageKind::KitPosted));
    disk.put(file_of(&DocId::Order(tag)), &text(&one));
    let stem = tag.to_string().to_lowercase();
    disk.put(Path::new(ROOT).join(format!("orders/{stem}.conflict-1.ron")), &text(&other));
    let finding = found(&disk);
    let Finding::Edition(edition) = &finding else { panic!("{finding:?}") };
    assert_eq!(edition.how, Parting::Forked { at: one.log.len() });
    assert_eq!((edition.ours, *edition.order.clone()), (one.log.len(), other));
    assert!(row(&finding).way_out.action.is_none());
    assert!(line(&finding).contains("went on in two places"), "{}", line(&finding));
    // Each shows what the other does not say, and nothing that both say.
    let mut studio = studio;
    studio.take(Doc::Order(Box::new(one.clone()))).unwrap();
    let both = both(edition, &studio, at(1_000)).unwrap();
    let last = format!("entry {}, ", one.log.len());
    for side in [&both.here, &both.copy] {
        assert!(matches!(&side[..], [only] if only.starts_with(&last)), "{both:?}");
    }
    assert!(both.here != both.copy && both.otherwise.is_empty(), "{both:?}");
    assert!(finding.concerns(tag) && !finding.concerns(Tag::from_number(77).unwrap()));
    assert_eq!(whose(&finding, &studio), Some(format!("{tag}, Bramble, for Ida Lund")));
}

#[test]
fn an_order_under_a_copys_name_alone_keeps_its_tag() {
    let (disk, studio, tag) = disk();
    let file = file_of(&DocId::Order(tag));
    let whole = disk.get(&file).unwrap();
    Vfs::remove(&disk, &file).unwrap();
    Vfs::remove(&disk, Path::new("/studio/.heads")).unwrap();
    disk.put("/studio/orders/kept elsewhere.ron", &whole);
    assert_eq!(found(&disk), Finding::Misnamed { file: "orders/kept elsewhere.ron".to_owned(), tag });
    let mut studio_now = opened(&disk).studio;
    let client: ClientId = studio.order(tag).unwrap().order.client.clone();
    let open = OrderEdit::Open { client, sheet: Box::default() };
    assert!(studio_now.apply(Edit::Order(tag, open), at(900)).is_err(), "its tag is not free");
    // Where its own file is there and cannot be read, the copy that can be is told of.
    disk.put(&file, b"torn");
    let opened = opened(&disk);
    let how = opened.findings.iter().find_map(|finding| match finding {
        Finding::Edition(edition) => Some(edition.how),
        _ => None,
    });
    assert_eq!(how, Some(Parting::OursUnreadable), "{:?}", opened.findings);
    let torn = opened.findings.iter().find(|finding| matches!(finding, Finding::Unreadable { .. })).unwrap();
    // Nothing is known of it but its tag, and the copy tells a name.
    assert_eq!(whose(torn, &opened.studio), Some(tag.to_string()));
    let copy = opened.findings.iter().find(|finding| matches!(finding, Finding::Edition(_))).unwrap();
    assert_eq!(whose(copy, &opened.studio), Some(format!("{tag}, Bramble")));
}

#[test]
fn a_damaged_order_is_named_by_the_one_its_earlier_version_remembers() {
    let (disk, studio, tag) = disk();
    let file = file_of(&DocId::Order(tag));
    let clock = Arc::new(crate::clock::SystemClock::new());
    let mut session = Session::open_on(Path::new(ROOT), Arc::new(disk.clone()), clock).unwrap();
    let fact: Fact = ClientFact::MessageSent { about: MessageKind::Nudge }.into();
    session.act(Action::Edit(Edit::Order(tag, OrderEdit::Fact(fact))));
    session.close().unwrap();
    disk.put(&file, b"torn");
    let finding = found(&disk);
    assert!(
        matches!(&finding, Finding::Unreadable { instead: Instead::Version(spare), .. }
            if matches!(&spare.of, SpareOf::Order { name, .. } if name == "Bramble")),
        "{finding:?}"
    );
    assert_eq!(whose(&finding, &studio), Some(format!("{tag}, Bramble, for Ida Lund")));
    assert_eq!(whose(&finding, &opened(&disk).studio), Some(format!("{tag}, Bramble")));
    assert_eq!(whose(&Finding::Folder("full".to_owned()), &studio), None);
}

#[test]
fn a_file_changed_since_it_was_saved_is_named_and_used_and_one_without_a_sum_is_not() {
    let (disk, studio, tag) = disk();
    let id = order(&studio, tag).client;
    let file = file_of(&DocId::Client(id.clone()));
    let name = studio.clients()[&id].name.to_string();
    let text = String::from_utf8(disk.get(&file).unwrap()).unwrap();
    let by_hand = text.replacen(&name, "Another", 1);
    disk.put(&file, by_hand.as_bytes());
    let own = path_of(&DocId::Client(id.clone())).unwrap().to_string();
    assert_eq!(found(&disk), Finding::Changed { file: own });
    assert_eq!(opened(&disk).studio.clients()[&id].name.as_str(), "Another");
    let (meant, _) = by_hand.rsplit_once("// sum ").unwrap();
    disk.put(&file, meant.as_bytes());
    assert_eq!(opened(&disk).findings, []);
}

#[test]
fn a_number_that_stands_twice_is_named() {
    let (disk, _, tag) = disk();
    let other = (1..Tag::NUMBERS).filter_map(Tag::from_number).find(|other| *other != tag).unwrap();
    disk.put(file_of(&DocId::Order(other)), &disk.get(file_of(&DocId::Order(tag))).unwrap());
    let finding = found(&disk);
    assert!(
        matches!(&finding, Finding::TagTwice { says, lies, .. } if (*says, *lies) == (tag, other)),
        "{finding:?}"
    );
    let today = craft::moment::Moment { utc_ms: 1_783_512_000_000, ..at(0) };
    let demo = crate::demo::build(today).unwrap().studio;
    let series = demo.invoices().values().next().unwrap();
    let again = |count: usize, change: bool| {
        let mut made = Series::new(series.year());
        for (_, issued) in series.issued().take(count) {
            let mut draft = issued.draft.clone();
            if change {
                draft.buyer.name = "Somebody Else".to_owned();
            }
            made.issue(draft).unwrap();
        }
        made
    };
    let all = series.issued().count();
    let beside = |theirs: &Series| invoices_beside("money/copy.ron".to_owned(), series, theirs);
    let file = || "money/copy.ron".to_owned();
    assert_eq!(beside(&again(all, false)), Finding::Invoices { file: file(), more: 0 });
    assert_eq!(
        beside(&again(1, false)),
        Finding::Invoices { file: file(), more: 1 - i64::try_from(all).unwrap() }
    );
    let numbers = vec![series.issued().next().unwrap().0];
    assert_eq!(beside(&again(1, true)), Finding::NumberTwice { file: file(), numbers });
}

#[test]
fn a_years_money_goes_on_from_its_earlier_version_and_says_what_may_be_given_twice() {
    let (disk, _, _) = disk();
    let today = craft::moment::Moment { utc_ms: 1_783_512_000_000, ..at(0) };
    let demo = crate::demo::build(today).unwrap().studio;
    let series = demo.invoices().values().next().unwrap();
    let first = |count: usize| {
        let mut made = Series::new(series.year());
        for (_, issued) in series.issued().take(count) {
            made.issue(issued.draft.clone()).unwrap();
        }
        Doc::Invoices(Box::new(made))
    };
    let id = DocId::Invoices(series.year());
    let folder = opened(&disk).folder;
    for count in [1, 2] {
        assert!(matches!(save_doc(&folder, &first(count)), SaveOutcome::Saved(_)));
    }
    drop(folder);
    disk.put(file_of(&id), b"torn");
    let finding = found(&disk);
    let row = row(&finding);
    assert!(row.way_out.words.contains("1 number") && row.way_out.words.contains("given again"), "{row:?}");
    let clock = Arc::new(crate::clock::SystemClock::new());
    let mut session = Session::open_on(Path::new(ROOT), Arc::new(disk.clone()), clock).unwrap();
    assert!(session.view().studio.invoices().is_empty());
    session.act_and_settle(row.way_out.action.unwrap()).unwrap();
    assert_eq!(session.view().studio.doc(&id), Some(first(1)));
    let said = format!("{:?}", session.view().notice);
    assert!(said.contains("which numbers were given since"), "{said}");
    session.close().unwrap();
    let beside = disk.paths().into_iter().find(|path| disk.get(path).as_deref() == Some(b"torn".as_slice()));
    assert!(beside.is_some(), "what could not be read is kept beside it");
}

#[test]
fn a_record_that_is_shorter_is_told_until_the_maker_goes_on_with_it() {
    let (disk, studio, tag) = disk();
    let entries = studio.order(tag).unwrap().order.log.len();
    let longer = later(&studio, tag, MessageKind::Nudge);
    let mut then = studio.clone();
    then.take(Doc::Order(Box::new(longer))).unwrap();
    let first = opened(&disk);
    assert!(first.folder.save_heads(&witness(&then)));
    drop(first);
    let finding = found(&disk);
    assert_eq!(finding, Finding::Shortened { tag, entries, witnessed: u64::from(entries) + 1 });
    let go_on = row(&finding).way_out.action.unwrap();
    let clock = Arc::new(crate::clock::SystemClock::new());
    let mut session = Session::open_on(Path::new(ROOT), Arc::new(disk.clone()), clock).unwrap();
    session.act(go_on);
    assert!(session.view().findings().is_empty() && session.troubles().is_empty());
    session.close().unwrap();
    assert_eq!(opened(&disk).findings, []);
}

#[test]
fn what_does_not_fit_across_documents_is_found_with_a_way_to_go() {
    let (_, studio, tag) = disk();
    let mut alone = studio.for_a_part();
    alone.take(studio.doc(&DocId::Order(tag)).unwrap()).unwrap();
    let bench = Workbench::new(alone, None);
    let findings = bench.view(at(900)).findings().to_vec();
    let [finding @ Finding::Across(studio::Finding::UnknownClient { .. })] = &findings[..] else {
        panic!("{findings:?}")
    };
    assert!(matches!(row(finding).way_out.action, Some(Action::Go(_))));
    let tags = vec![tag, Tag::from_number(77).unwrap()];
    let open = Finding::Across(studio::Finding::OpenTogether(tags));
    let mut bench = bench;
    let effects: Vec<Effect> = bench.handle(row(&open).way_out.action.unwrap(), at(900));
    assert!(effects.is_empty(), "it only goes there");
}

#[test]
fn among_very_many_orders_it_is_looked_again_where_it_is_shown_and_not_after_each_change() {
    let (_, studio, tag) = disk();
    let mut alone = studio.for_a_part();
    let mut few = alone.clone();
    let order = order(&studio, tag);
    let asked = Order { log: craft::log::Log::default(), ..order.clone() };
    few.take(Doc::Order(Box::new(asked.clone()))).unwrap();
    for tag in (1_000..).filter_map(Tag::from_number).take(600) {
        alone.take(Doc::Order(Box::new(Order { tag, ..asked.clone() }))).unwrap();
    }
    let id = order.client.clone();
    let client = Box::new(studio.clients()[&id].clone());
    let put = Action::Edit(Edit::Client(id, ClientEdit::Put(client)));
    for (studio, after_the_change) in [(few, 0), (alone, 600)] {
        let mut bench = Workbench::new(studio, None);
        let found = bench.view(at(0)).findings().len();
        assert_eq!(found, bench.studio().orders().len(), "the client is not there");
        bench.handle(put.clone(), at(0));
        assert_eq!(bench.view(at(0)).findings().len(), after_the_change);
        bench.handle(Action::Go(crate::action::Nav::Keeping), at(0));
        assert_eq!(bench.view(at(0)).findings(), []);
    }
}

/// A session over a studio in which a file of which an earlier version is kept cannot be read.
fn with_a_torn(disk: &SimVfs, id: &DocId, change: Edit) -> Session {
    let clock = || Arc::new(crate::clock::SystemClock::new());
    let mut session = Session::open_on(Path::new(ROOT), Arc::new(disk.clone()), clock()).unwrap();
    session.act_and_settle(Action::Edit(change)).unwrap();
    session.close().unwrap();
    disk.put(file_of(id), b"torn");
    Session::open_on(Path::new(ROOT), Arc::new(disk.clone()), clock()).unwrap()
}

fn unreadable(session: &Session) -> Option<Finding> {
    let mut all = session.bench.findings().iter();
    all.find(|finding| matches!(finding, Finding::Unreadable { .. })).cloned()
}

#[test]
fn the_way_out_of_a_torn_order_puts_its_earlier_version_in_its_place_and_the_work_goes_on() {
    let (disk, studio, tag) = disk();
    let id = DocId::Order(tag);
    let fact =
        || Edit::Order(tag, OrderEdit::Fact(ClientFact::MessageSent { about: MessageKind::Nudge }.into()));
    let mut session = with_a_torn(&disk, &id, fact());
    let found = unreadable(&session).unwrap();
    let way_out = finding_words::way_out(&found);
    assert!(way_out.words.contains("keeps that file beside it") && !way_out.button.is_empty(), "{way_out:?}");
    session.act_and_settle(way_out.action.clone().unwrap()).unwrap();
    assert_eq!(unreadable(&session), None);
    assert_eq!(order(session.bench.studio(), tag), order(&studio, tag));
    let stem = tag.to_string().to_lowercase();
    let beside = format!("orders/{stem}.conflict-1.ron");
    assert_eq!(disk.get(Path::new(ROOT).join(&beside)).unwrap(), b"torn");
    let is_told = |session: &Session| {
        let gone = Finding::Beside { file: beside.clone(), gone: None };
        session.bench.findings().contains(&gone)
    };
    assert!(is_told(&session));
    // A second press comes too late, and what is done next is saved.
    assert!(session.act_and_settle(way_out.action.unwrap()).is_err());
    session.act_and_settle(Action::Edit(fact())).unwrap();
    session.close().unwrap();
    let clock = Arc::new(crate::clock::SystemClock::new());
    let session = Session::open_on(Path::new(ROOT), Arc::new(disk.clone()), clock).unwrap();
    assert_eq!((unreadable(&session), is_told(&session)), (None, true));
    assert_eq!(order(session.bench.studio(), tag).log.len(), order(&studio, tag).log.len() + 1);
}

#[test]
fn a_torn_client_has_the_same_way_out_and_one_without_a_version_is_looked_for_in_a_backup() {
    let (disk, studio, tag) = disk();
    let client = order(&studio, tag).client;
    let id = DocId::Client(client.clone());
    let known = studio.clients()[&client].clone();
    let moved = craft::client::Client { contact: "by post".parse().unwrap(), ..known.clone() };
    let put = Edit::Client(client.clone(), ClientEdit::Put(Box::new(moved)));
    let mut session = with_a_torn(&disk, &id, put);
    let way_out = finding_words::way_out(&unreadable(&session).unwrap());
    assert!(
        way_out.words.starts_with("the newest earlier version that reads is .history/clients/"),
        "{way_out:?}"
    );
    session.act_and_settle(way_out.action.unwrap()).unwrap();
    assert_eq!((unreadable(&session), &session.bench.studio().clients()[&client]), (None, &known));
    session.close().unwrap();
    disk.put(file_of(&DocId::Order(tag)), b"torn");
    let way_out =
        finding_words::way_out(opened(&disk).findings.iter().find(|finding| finding.concerns(tag)).unwrap());
    assert!(way_out.action.is_none() && way_out.words.contains("look for one in a backup"), "{way_out:?}");
}
