use std::collections::BTreeSet;
use std::path::Path;

use craft::digest::Digest;
use craft::fact::{Check, CustodyFact, Fact, HomeFact, How, Mistake};
use craft::id::{DocId, ShelfId, Thing};
use craft::moment::Moment;
use craft::place::Place;
use craft::shelf::{Body, What};
use craft::studio::{Asked, Doc, Edit, Held, OrderEdit, ShelfEdit};
use store::folder::StudioFolder;
use store::sim::SimVfs;

use super::*;
use crate::demo::many::{Records, files};
use crate::finding::Owners;
use crate::keeping::{backup, files as named_files, forget, list};
use crate::open::{Opened, open, open_first, path_of, witness};
use crate::present::sample::at;
use crate::present::{client_rows, find};
use crate::state::Workbench;

const ROOT: &str = "/studio";
const ORDERS: u32 = 240;

/// A demo studio and many orders beside it, nearly all of them over.
fn disk() -> SimVfs {
    let demo = demo();
    let (disk, root) = (SimVfs::new(), Path::new(ROOT));
    drop(StudioFolder::create(root, Arc::new(disk.clone()), demo.policies()).unwrap());
    let ids = demo.shelf().keys().cloned().map(DocId::Shelf);
    let ids = ids.chain(demo.clients().keys().cloned().map(DocId::Client));
    for id in ids.chain(demo.orders().keys().copied().map(DocId::Order)) {
        put(&disk, &demo.doc(&id).unwrap());
    }
    files(&demo, ORDERS, Records::Longest).for_each(|(path, bytes)| disk.put(root.join(path), &bytes));
    disk
}

fn demo() -> Studio {
    crate::demo::build(Moment { utc_ms: 1_783_512_000_000, ..at(0) }).unwrap().studio
}

fn now() -> Moment {
    Moment { utc_ms: 1_783_512_000_000, ..at(900) }
}

fn put(disk: &SimVfs, doc: &Doc) {
    let path = path_of(&doc.id()).unwrap();
    let bytes = match doc {
        Doc::Policies(policies) => store::format::encode(path.kind(), &**policies),
        Doc::Shelf(_, item) => store::format::encode(path.kind(), &**item),
        Doc::Client(_, client) => store::format::encode(path.kind(), &**client),
        Doc::Order(order) => store::format::encode(path.kind(), &**order),
        Doc::Invoices(series) => store::format::encode(path.kind(), &**series),
    };
    disk.put(Path::new(ROOT).join(path.to_string()), &bytes.unwrap());
}

/// Opens the studio as a window does, to the end.
fn opened(disk: &SimVfs, first: usize) -> Opened {
    let (mut opened, rest) = open_first(Path::new(ROOT), Arc::new(disk.clone()), first).unwrap();
    let mut rest = rest.expect("not everything is read at first");
    while let Some(part) = rest.next_part(now()) {
        assert!(opened.studio.join(part.studio));
        opened.findings.extend(part.findings);
    }
    opened
}

/// A file as the program saved it.
fn saved(bytes: Vec<u8>) -> FileBytes {
    FileBytes { digest: Digest::of(&bytes), since: Since::AsSaved, bytes }
}

fn resting(studio: &Studio) -> usize {
    studio.orders().values().filter(|held| held.at_rest().is_some()).count()
}

fn unfolded(studio: &Studio) -> usize {
    studio.orders().values().filter(|held| held.is_unfolded()).count()
}

/// Everything that is asked of all orders at once, as far as it is shown or kept.
fn answers(studio: &Studio) -> Vec<String> {
    let bench = Workbench::new(studio.clone(), None);
    let view = bench.view(now());
    assert_eq!(unfolded(bench.studio()), 0, "what is kept ready is made of summaries");
    let words = ["bram", "oval", "drawer 2", "many 7", "e", "2"];
    let found = words.map(|text| format!("{:?}", find::find(studio, text)));
    let named: BTreeSet<_> =
        named_files::named(studio, &store::forgotten::Forgotten::default()).into_iter().collect();
    let moments = [0, 1_700_000_000_000, 1_770_000_000_000, 1_783_000_000_000, i64::MAX];
    let mut all = vec![
        format!("{:?}", view.board),
        format!("{:?}", view.words),
        format!("{:?}", view.taken),
        format!("{:?}", view.alike),
        format!("{:?}", view.waits),
        format!("{:?}", bench.findings()),
        format!("{:?}", client_rows::rows(studio, &store::forgotten::Forgotten::default())),
        list::csv(studio, now()),
        format!("{named:?}"),
        witness(studio).to_text(),
        format!("{:?}", studio.bench()),
        crate::quick::fresh_client_id(studio).to_string(),
    ];
    all.extend(found);
    let looked_into = unfolded(studio) + unfolded(bench.studio());
    assert_eq!(looked_into, 0, "nothing that is asked of all orders looks into one at rest");
    // The hour of a moment counts in the orders that were written in on its day, and in no others.
    all.push(format!("{:?}", moments.map(|ms| backup::entries_since(studio, ms))));
    all
}

fn of_kind(studio: &Studio, is: impl Fn(&What) -> bool) -> Vec<ShelfId> {
    studio.shelf().iter().filter(|(_, item)| is(&item.what)).map(|(id, _)| id.clone()).collect()
}

/// What the records teach of every bottle under every lamp.
fn taught(studio: &Studio) -> Vec<String> {
    let [bottles, lamps] = [
        of_kind(studio, |what| matches!(what, What::Resin(_))),
        of_kind(studio, |what| matches!(what, What::Lamp(_))),
    ];
    let pigment = of_kind(studio, |what| matches!(what, What::Pigment(_))).swap_remove(0);
    let mut all = Vec::new();
    for resin in &bottles {
        all.push(format!("{:?}", studio.recorded(resin)));
        for lamp in &lamps {
            let asked = Asked {
                resin,
                lamp,
                pigment: &pigment,
                body: Body::LetsLightIn,
                today: now().day(),
                also: None,
            };
            all.push(format!("{:?}", studio.taught(&asked)));
        }
    }
    all
}

/// Edits that ask every order, and some that change one that is over.
fn edits(studio: &Studio) -> Vec<Edit> {
    let mut all = Vec::new();
    for no in 0..studio.policies().places.len() {
        let mut policies = studio.policies().clone();
        policies.places[no] = craft::text::Line::default();
        all.push(Edit::Policies(Box::new(policies)));
    }
    for (id, item) in studio.shelf() {
        let mut item = item.clone();
        match &mut item.what {
            What::Mould(mould) => drop(mould.cells.pop()),
            What::Lamp(lamp) => drop(lamp.buttons.pop()),
            _ => continue,
        }
        all.push(Edit::Shelf(id.clone(), ShelfEdit::Put(Box::new(item))));
    }
    for (tag, held) in studio.orders().iter().step_by(7) {
        let fact = |fact: Fact| Edit::Order(*tag, OrderEdit::Fact(fact));
        let thing = Thing::stone(1);
        all.push(fact(CustodyFact::Opened { thing, check: Check { how: How::Typed, tag: *tag } }.into()));
        all.push(fact(HomeFact::CameBack { thing, place: Place::Bench }.into()));
        all.push(fact(Fact::Struck { entry: held.entries(), why: Mistake::DidNotHappen }));
        all.push(fact(CustodyFact::BenchCleared.into()));
        let mut sheet = held.order.sheet.clone();
        sheet.remembered.name = "Another".parse().unwrap();
        all.push(Edit::Order(*tag, OrderEdit::Sheet(Box::new(sheet))));
    }
    all
}

#[test]
fn at_rest_changes_no_answer_and_neither_do_summaries_of_an_earlier_opening() {
    let disk = disk();
    let whole = open(Path::new(ROOT), Arc::new(disk.clone())).unwrap();
    assert_eq!(resting(&whole.studio), 0);
    let (wanted, lessons) = (answers(&whole.studio), taught(&whole.studio));
    drop(whole.folder);
    for round in ["nothing is summed up", "everything is"] {
        let parts = opened(&disk, 20);
        assert!(resting(&parts.studio) > 200, "{round}: {}", resting(&parts.studio));
        assert_eq!(unfolded(&parts.studio), 0);
        assert_eq!(parts.findings, whole.findings, "{round}");
        for (one, other) in answers(&parts.studio).iter().zip(&wanted) {
            assert_eq!(one, other, "{round}");
        }
        assert_eq!(taught(&parts.studio), lessons, "{round}");
        assert_eq!(parts.studio, whole.studio, "{round}");
    }
}

#[test]
fn what_is_asked_at_the_door_is_answered_alike_and_a_change_wakes_an_order() {
    let disk = disk();
    let whole = open(Path::new(ROOT), Arc::new(disk.clone())).unwrap().studio;
    let mut parts = opened(&disk, 20).studio;
    let (mut refused, mut done) = (0, 0);
    for edit in edits(&whole) {
        let (mut one, mut other) = (whole.clone(), parts.clone());
        let (wanted, found) = (one.apply(edit.clone(), now()), other.apply(edit.clone(), now()));
        assert_eq!(found, wanted, "{edit:?}");
        if wanted.is_err() {
            refused += 1;
        } else {
            done += 1;
            assert_eq!(other.doc(&edit.doc()), one.doc(&edit.doc()));
            if let DocId::Order(tag) = edit.doc() {
                assert!(other.orders()[&tag].at_rest().is_none(), "{edit:?}");
            }
        }
    }
    assert!(refused > 50 && done > 50, "{refused} {done}");
    // What is refused wakes nothing.
    let before = resting(&parts);
    for edit in edits(&whole) {
        if whole.clone().apply(edit.clone(), now()).is_err() {
            parts.apply(edit, now()).unwrap_err();
        }
    }
    assert_eq!(resting(&parts), before);
}

#[test]
fn an_order_that_was_looked_into_is_folded_again_and_loses_nothing() {
    let mut studio = opened(&disk(), 20).studio;
    let tags: Vec<Tag> = studio.orders().keys().copied().collect();
    let logs: Vec<u32> = tags.iter().map(|tag| studio.order(*tag).unwrap().order.log.len()).collect();
    assert_eq!(unfolded(&studio), resting(&studio));
    studio.fold_beyond(1_000, None);
    assert_eq!(unfolded(&studio), resting(&studio), "there is room for all of them");
    let looked_at = *tags.iter().find(|tag| studio.orders()[*tag].at_rest().is_some()).unwrap();
    studio.fold_beyond(50, Some(looked_at));
    assert_eq!(unfolded(&studio), 1);
    let entries: Vec<u32> = tags.iter().map(|tag| studio.orders()[tag].entries()).collect();
    assert_eq!(entries, logs);
}

#[test]
fn a_file_that_changed_in_one_bit_is_not_taken_for_what_was_summed_up() {
    let disk = disk();
    drop(opened(&disk, 20));
    let over = opened(&disk, 20).studio;
    let tag = over.orders().values().find(|held| held.at_rest().is_some()).map(Held::tag).unwrap();
    drop(over);
    let path = path_of(&DocId::Order(tag)).unwrap();
    let file = Path::new(ROOT).join(path.to_string());
    let bytes = disk.get(&file).unwrap();
    for at in [40, bytes.len() / 2, bytes.len() - 100] {
        let mut changed = bytes.clone();
        changed[at] ^= 1;
        disk.put(&file, &changed);
        let parts = opened(&disk, 20);
        let whole = open(Path::new(ROOT), Arc::new(disk.clone())).unwrap();
        assert_eq!(parts.findings, whole.findings);
        assert_eq!(parts.studio, whole.studio);
        assert!(!parts.findings.is_empty(), "byte {at}");
    }
}

#[test]
fn the_pressed_text_gives_the_very_same_order_back() {
    let demo = demo();
    for held in demo.orders().values() {
        let text = store::format::encode(DocKind::Order, &held.order).unwrap();
        assert_eq!(packed(&saved(text)).unpack().as_ref(), Some(&held.order));
    }
    // Words that read like a seal stay as they are.
    let mut order = demo.orders().values().next().unwrap().order.clone();
    let like = format!("seal: \"{}\", {}", "a".repeat(64), "b".repeat(64));
    order.sheet.remembered.about = like.parse().unwrap();
    let text = store::format::encode(DocKind::Order, &order).unwrap();
    assert_eq!(packed(&saved(text)).unpack(), Some(order.clone()));
    // Nor is anything taken for a seal in what a hand wrote in its own way.
    let text = String::from_utf8(store::format::encode(DocKind::Order, &order).unwrap()).unwrap();
    let quoted = format!("{:?}", order.sheet.remembered.about.as_str());
    let by_hand = text.replace(&quoted, &format!("r#\"{like}\"#"));
    assert_ne!(by_hand, text);
    let file = FileBytes { since: Since::Changed, ..saved(by_hand.into_bytes()) };
    assert_eq!(packed(&file).unpack(), Some(order));
    assert!(Text(Box::new([1, 2, 3])).unpack().is_none());
}

#[test]
fn a_summary_for_another_place_or_by_another_program_is_not_used() {
    let disk = disk();
    drop(opened(&disk, 20));
    let folder = StudioFolder::look(Path::new(ROOT), Arc::new(disk.clone())).unwrap();
    let studio = demo().policies().studio.clone();
    let known = Resting::begin(&folder, &studio);
    assert!(known.before.len() > 200);
    let other = Resting::begin(&folder, &"another".parse().unwrap());
    assert!(other.before.is_empty());
    let over = opened(&disk, 20).studio;
    let tag = over.orders().values().find(|held| held.at_rest().is_some()).map(Held::tag).unwrap();
    let path = path_of(&DocId::Order(tag)).unwrap();
    let file = saved(disk.get(Path::new(ROOT).join(path.to_string())).unwrap());
    assert_eq!(known.known(&path, &file).map(|summary| summary.tag), Some(tag));
    let other = FileBytes { digest: Digest::of(b"other"), ..file.clone() };
    assert!(known.known(&path, &other).is_none());
    let cut = FileBytes { bytes: file.bytes[..file.bytes.len() / 2].to_vec(), ..file };
    assert!(known.known(&path, &cut).is_none(), "it does not end with the seal that is summed up");
}

#[test]
fn few_orders_and_another_program_leave_no_summaries_behind() {
    let disk = disk();
    let file = Path::new(ROOT).join(".summaries");
    drop(opened(&disk, 20));
    assert!(disk.get(&file).is_some());
    // So many at first are all of them.
    let (whole, rest) = open_first(Path::new(ROOT), Arc::new(disk.clone()), 1_000).unwrap();
    assert!(rest.is_none() && resting(&whole.studio) == 0);
    drop(whole.folder);
    assert_eq!(disk.get(&file), None);
    disk.put(&file, b"another program\nIda Lund\n");
    drop(opened(&disk, 20));
    let text = String::from_utf8(disk.get(&file).unwrap()).unwrap();
    assert!(!text.contains("Ida Lund"), "what another program kept goes");
}

#[test]
fn who_is_forgotten_stands_in_no_summary_and_an_old_one_that_comes_back_goes() {
    let disk = disk();
    let file = Path::new(ROOT).join(".summaries");
    let text = || String::from_utf8(disk.get(&file).unwrap()).unwrap();
    drop(opened(&disk, 20));
    let parts = opened(&disk, 20);
    let held = parts.studio.orders().values().find(|held| held.at_rest().is_some()).unwrap();
    let (name, client) = (held.name().as_str().replace('\'', "\\'"), held.client().clone());
    let name = format!("\"{name}\"");
    let old = text();
    assert!(old.contains(&name), "{name}");
    let who = forget::forgetting(&parts.studio, &client, &Owners::new(), now()).unwrap();
    let gone = forget::carry_out(&parts.folder, &who).unwrap();
    assert_eq!(gone.troubles, Vec::<String>::new());
    assert_eq!(disk.get(&file), None);
    drop((parts.studio, parts.folder));
    // Once somebody is forgotten the others are read in parts and rest all the same.
    let again = |old: Option<&str>| {
        if let Some(old) = old {
            disk.put(&file, old.as_bytes());
        }
        assert!(resting(&opened(&disk, 20).studio) > 200);
        assert!(!text().contains(&name));
    };
    again(None);
    again(Some(&old));
    again(Some("another program\n"));
}
