use std::path::Path;

use craft::fact::{ClientFact, PourFact};
use craft::studio::{ClientEdit, Edit, OrderEdit, ShelfEdit};
use store::format::encode;
use store::sim::SimVfs;

use super::*;
use crate::action::{Action, Effect, Job, JobEnd, Outcome};
use crate::demo::many::{Records, files};
use crate::open::{open, open_first};
use crate::present::sample::at;
use crate::state::{Notice, Workbench};

const ROOT: &str = "/studio";

/// A studio of so many orders on a disk in memory; every fiftieth is open.
fn disk(orders: u32) -> SimVfs {
    let today = Moment { utc_ms: 1_783_512_000_000, ..at(0) };
    let demo = crate::demo::build(today).unwrap().studio;
    let (disk, root) = (SimVfs::new(), Path::new(ROOT));
    drop(StudioFolder::create(root, Arc::new(disk.clone()), demo.policies()).unwrap());
    for id in demo.shelf().keys() {
        let path = path_of(&DocId::Shelf(id.clone())).unwrap().to_string();
        disk.put(root.join(path), &encode(DocKind::Shelf, demo.item(id).unwrap()).unwrap());
    }
    for (&year, series) in demo.invoices() {
        let path = path_of(&DocId::Invoices(year)).unwrap().to_string();
        disk.put(root.join(path), &encode(DocKind::Money, series).unwrap());
    }
    files(&demo, orders, Records::Longest).for_each(|(path, bytes)| disk.put(root.join(path), &bytes));
    disk
}

fn first(disk: &SimVfs, most: usize) -> (Opened, Rest) {
    let (opened, rest) = open_first(Path::new(ROOT), Arc::new(disk.clone()), most).unwrap();
    (opened, rest.expect("not everything is read"))
}

/// A workbench that still reads, and the job that does.
fn reading(opened: Opened, rest: &Rest) -> (Workbench, crate::action::JobId) {
    let mut bench = Workbench::new(opened.studio, opened.read_only)
        .with_findings(opened.findings)
        .still_reading(rest.left(), rest.total());
    bench.make_ready(at(900));
    let effects = bench.handle(Action::Start(Job::ReadOrders), at(900));
    let [Effect::Run(id, crate::action::Work::ReadOrders { .. })] = &effects[..] else {
        panic!("{effects:?}")
    };
    assert!(bench.handle(Action::Start(Job::ReadOrders), at(900)).is_empty(), "once is enough");
    let id = *id;
    (bench, id)
}

#[test]
fn what_is_open_is_read_first_and_part_by_part_it_becomes_the_same_as_at_once() {
    let disk = disk(240);
    let (opened, mut rest) = first(&disk, 20);
    assert_eq!((rest.left(), rest.total()), (220, 240));
    let held: Vec<&craft::studio::Held> = opened.studio.orders().values().collect();
    let at_work = held.iter().filter(|held| !held.ledger.home.is_gone()).count();
    assert_eq!((held.len(), at_work), (20, 5), "every open one is among the first");
    assert!(held.iter().all(|held| opened.studio.clients().contains_key(&held.order.client)));
    let (mut bench, id) = reading(opened, &rest);
    while let Some(part) = rest.next_part(at(900)) {
        bench.handle(Action::Read(Box::new(part)), at(900));
        bench.handle(Action::Progress(id, rest.percent()), at(900));
    }
    bench.handle(Action::JobDone(id, JobEnd::Done(Outcome::OrdersRead)), at(900));
    assert!(bench.reading().is_none());
    let whole = open(Path::new(ROOT), Arc::new(disk)).unwrap();
    assert_eq!(*bench.studio(), whole.studio);
    assert_eq!(bench.findings(), []);
    let at_once = Workbench::new(whole.studio, None);
    let (now, parts) = (at(900), bench.view(at(900)));
    let other = at_once.view(now);
    assert_eq!(parts.board, other.board);
    assert_eq!(parts.words, other.words);
    assert_eq!(parts.taken, other.taken);
    assert_eq!(parts.waits, other.waits);
}

/// The orders that are not read yet.
fn waiting(bench: &Workbench) -> Vec<Tag> {
    let order = |doc: &DocId| match doc {
        DocId::Order(tag) => Some(*tag),
        _ => None,
    };
    bench.studio().locked().keys().filter_map(order).collect()
}

/// Earlier versions of what others use wait as well; of an order only its own sheet goes back.
fn no_earlier_version_goes_back(bench: &mut Workbench) {
    for id in [DocId::Policies, DocId::Shelf(bench.studio().shelf().keys().next().unwrap().clone())] {
        let earlier = bench.studio().doc(&id).unwrap();
        assert!(bench.handle(Action::TakeBack(Box::new(earlier)), at(900)).is_empty());
        let why = bench.notices().find_map(|notice| match notice {
            Notice::Refused { why, .. } => Some(why.clone()),
            _ => None,
        });
        assert!(why.is_some_and(|why| why.starts_with("still reading 190 orders")), "{id:?}");
        bench.handle(Action::Dismiss, at(900));
    }
}

#[test]
fn until_all_is_read_nothing_is_taken_for_free_or_for_missing() {
    let disk = disk(200);
    let (opened, rest) = first(&disk, 10);
    let (mut bench, id) = reading(opened, &rest);
    let waiting = waiting(&bench);
    assert_eq!(waiting.len(), 190);
    let here = *bench.studio().orders().keys().next().unwrap();
    let client = bench.studio().order(here).unwrap().order.client.clone();
    // Whatever numbers are drawn, a tag that is in a file is never given.
    let mut draws =
        waiting.iter().filter_map(|tag| (0..Tag::NUMBERS).find(|no| Tag::from_number(*no) == Some(*tag)));
    let fresh = crate::quick::fresh_tag(bench.studio(), || draws.next().unwrap_or(7)).unwrap();
    assert!(!waiting.contains(&fresh));
    let year = bench.studio().locked().keys().find_map(|doc| match doc {
        DocId::Invoices(year) => Some(*year),
        _ => None,
    });
    assert!(year.is_some(), "no invoice can be numbered before the year is read");
    let refused = |bench: &mut Workbench, edit: Edit| {
        let before = bench.studio().clone();
        let effects = bench.handle(Action::Edit(edit), at(900));
        assert!(effects.is_empty());
        assert_eq!(*bench.studio(), before);
        let why = bench.notices().find_map(|notice| match notice {
            Notice::Refused { why, .. } => Some(why.clone()),
            _ => None,
        });
        why.expect("it is said")
    };
    let fact = |tag: Tag| Edit::Order(tag, OrderEdit::Fact(ClientFact::Thanked.into()));
    assert!(refused(&mut bench, fact(waiting[0])).ends_with(reading_words::AWAITED));
    let opening = OrderEdit::Open { client, sheet: Box::default() };
    let someone = craft::client::Client { name: "Noor".parse().unwrap(), ..Default::default() };
    let (mould, item) =
        bench.studio().shelf().iter().next().map(|(id, item)| (id.clone(), item.clone())).unwrap();
    let cell = "A1".parse().unwrap();
    for edit in [
        Edit::Order(fresh, opening),
        Edit::Client("c99".parse().unwrap(), ClientEdit::Put(Box::new(someone))),
        Edit::Policies(Box::new(bench.studio().policies().clone())),
        Edit::Shelf(mould.clone(), ShelfEdit::Put(Box::new(item))),
        Edit::Order(here, OrderEdit::Fact(PourFact::Begun { stone: 1, mould, cell }.into())),
    ] {
        let why = refused(&mut bench, edit);
        assert!(why.starts_with("still reading 190 orders"), "{why}");
    }
    no_earlier_version_goes_back(&mut bench);
    // What asks nothing but its own order goes on.
    let sheet = craft::order::Sheet {
        wishes: "a ring".parse().unwrap(),
        ..bench.studio().order(here).unwrap().order.sheet.clone()
    };
    let effects = bench.handle(Action::Edit(Edit::Order(here, OrderEdit::Sheet(Box::new(sheet)))), at(900));
    assert!(effects.iter().any(|effect| matches!(effect, Effect::Save(..))), "{effects:?}");
    let view = bench.view(at(900));
    assert_eq!(view.reading_words().as_deref(), Some("still reading 190 orders"));
    assert!(view.find_words(0).unwrap().starts_with("nothing found yet; still reading 190 orders"));
    // Stopped, the rest stays as it is until it is asked for.
    assert!(matches!(bench.handle(Action::Cancel(id), at(900))[..], [Effect::Stop(_)]));
    assert!(bench.view(at(900)).reading_words().unwrap().starts_with("190 orders are not read yet"));
    assert_eq!(bench.handle(Action::Start(Job::ReadOrders), at(900)).len(), 1);
}

#[test]
fn a_file_that_cannot_be_read_in_the_background_is_found_and_stays_locked() {
    let disk = disk(150);
    let folder = Path::new(ROOT).join("orders");
    let file = disk.paths().into_iter().find(|path| path.starts_with(&folder)).unwrap();
    let longer = disk.paths().into_iter().rfind(|path| path.starts_with(&folder)).unwrap();
    disk.put(folder.join("a copy of it.ron"), &disk.get(&longer).unwrap());
    disk.put(&file, b"torn");
    let (opened, mut rest) = first(&disk, 5);
    let (mut bench, id) = reading(opened, &rest);
    while let Some(part) = rest.next_part(at(900)) {
        bench.handle(Action::Read(Box::new(part)), at(900));
    }
    bench.handle(Action::JobDone(id, JobEnd::Done(Outcome::OrdersRead)), at(900));
    assert_eq!(bench.studio().orders().len(), 149);
    assert_eq!(bench.studio().locked().len(), 1);
    let whole = open(Path::new(ROOT), Arc::new(disk)).unwrap();
    let mut parts: Vec<String> = bench.troubles().iter().map(|trouble| trouble.file.clone()).collect();
    let mut at_once: Vec<String> = whole.troubles.iter().map(|trouble| trouble.file.clone()).collect();
    parts.sort();
    at_once.sort();
    assert_eq!((parts.len(), parts), (2, at_once));
    assert!(bench.findings().iter().any(|finding| matches!(finding, Finding::Unreadable { .. })));
}

#[test]
fn open_orders_are_guessed_from_the_end_of_their_text() {
    assert!(looks_open(b"") && looks_open(b"fact: Client(Answered),"));
    assert!(!looks_open(b"fact: Home(Sent),") && !looks_open(b"fact: Client(CalledOff),"));
    assert!(looks_open(b"fact: Home(Sent), fact: Home(CameBack(thing"));
    assert!(!looks_open(b"fact: Home(CameBack(thing: 1)), fact: Home(Sent),"));
}

#[test]
fn who_was_forgotten_is_known_at_first_is_shown_nowhere_and_goes_once_everything_is_read() {
    let disk = disk(2_000);
    let whole = open(Path::new(ROOT), Arc::new(disk.clone())).unwrap();
    // An order of years ago, which is not among the first by itself.
    let held = whole.studio.orders().values().find(|held| held.is_gone()).unwrap();
    let (tag, client, name) = (held.tag(), held.client().clone(), held.name().to_string());
    let mut list = Forgotten::default();
    list.add(client.as_str(), "2026-11-26", [tag.to_string()]);
    drop(whole.folder.save_forgotten(&list));
    drop(whole);
    let file = Path::new(ROOT).join(path_of(&DocId::Order(tag)).unwrap().to_string());
    // As the file spells it.
    let written = name.replace('\'', "\\'");
    let is_there = || String::from_utf8(disk.get(&file).unwrap()).unwrap().contains(&written);
    let (mut opened, mut rest) = first(&disk, 120);
    assert!((120..=121).contains(&opened.studio.orders().len()), "{}", opened.studio.orders().len());
    assert_eq!(opened.blanked, [DocId::Client(client.clone()), DocId::Order(tag)].into_iter().collect());
    let keeping = crate::keeping::begin(&mut opened, false, at(900));
    let folder = opened.folder.clone();
    let (bench, id) = reading(opened, &rest);
    let mut bench = bench.with_keeping(keeping);
    let is_blank = |bench: &Workbench| {
        let studio = bench.studio();
        let names = [studio.order(tag).unwrap().name().as_str(), studio.clients()[&client].name.as_str()];
        names == ["forgotten"; 2] && !format!("{:?}", bench.view(at(900)).board.row(tag)).contains(&name)
    };
    let fact = || {
        let fact = ClientFact::MessageSent { about: craft::fact::MessageKind::Nudge }.into();
        Action::Edit(Edit::Order(tag, OrderEdit::Fact(fact)))
    };
    assert!(is_blank(&bench) && is_there());
    assert!(bench.handle(fact(), at(900)).is_empty(), "nothing of theirs takes a change until it is gone");
    while let Some(part) = rest.next_part(at(900)) {
        bench.handle(Action::Read(Box::new(part)), at(900));
        assert!(is_blank(&bench));
    }
    let effects = bench.handle(Action::JobDone(id, JobEnd::Done(Outcome::OrdersRead)), at(900));
    let sweep = effects.into_iter().find_map(|effect| match effect {
        Effect::Run(id, crate::action::Work::Keep(work)) => Some((id, work)),
        _ => None,
    });
    let (id, work) = sweep.expect("what is left is looked for");
    assert!(is_there() && bench.handle(fact(), at(900)).is_empty());
    let kept = crate::keeping::carry_out(&folder, &work, &|_| (), &|| false).unwrap();
    bench.handle(Action::JobDone(id, JobEnd::Done(Outcome::Kept(Box::new(kept)))), at(900));
    assert!(!is_there() && is_blank(&bench));
    assert_eq!((bench.studio().orders().len(), bench.findings()), (2_000, &[][..]));
    assert_eq!(bench.handle(fact(), at(900)).len(), 1, "its record goes on");
}
