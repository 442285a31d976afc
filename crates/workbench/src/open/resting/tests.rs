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
use crate::keeping::{backup, files as named_files, list};
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
        format!("{:?}", moments.map(|ms| backup::entries_since(studio, ms))),
        crate::quick::fresh_client_id(studio).to_string(),
    ];
    all.extend(found);
    assert_eq!(unfolded(bench.studio()), 0, "nothing that is asked of all orders looks into one at rest");
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
        match &wanted {
            Err(_) => refused += 1,
            Ok(_) => {
                done += 1;
                assert_eq!(other.doc(&edit.doc()), one.doc(&edit.doc()));
                if let DocId::Order(tag) = edit.doc() {
                    assert!(other.orders()[&tag].at_rest().is_none(), "{edit:?}");
                }
            }
        }
    }
    assert!(refused > 50 && done > 50, "{refused} {done}");
    // A longer list of places, and its undo.
    let short = whole.policies().clone();
    for studio in [&mut parts, &mut whole.clone()] {
        let mut long = short.clone();
        long.places.push("Tin on the sill".parse().unwrap());
        let place = Place::Kept(u16::try_from(long.places.len()).unwrap());
        studio.apply(Edit::Policies(Box::new(long)), now()).unwrap();
        studio.put_back(Doc::Policies(Box::new(short.clone()))).unwrap();
        assert_eq!(studio.policies().places.len(), short.places.len(), "{place:?} is named nowhere");
    }
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
        assert_eq!(packed(&text).unpack().as_ref(), Some(&held.order));
    }
    // Words that read like a seal stay as they are.
    let mut order = demo.orders().values().next().unwrap().order.clone();
    let like = format!("seal: \"{}\", {}", "a".repeat(64), "b".repeat(64));
    order.sheet.remembered.about = like.parse().unwrap();
    let text = store::format::encode(DocKind::Order, &order).unwrap();
    assert_eq!(packed(&text).unpack(), Some(order));
    assert!(Text(Box::new([1, 2, 3])).unpack().is_none());
}

#[test]
fn a_summary_for_another_place_or_by_another_program_is_not_used() {
    let disk = disk();
    drop(opened(&disk, 20));
    let folder = StudioFolder::look(Path::new(ROOT), Arc::new(disk)).unwrap();
    let studio = demo().policies().studio.clone();
    let known = Resting::begin(&folder, &studio);
    assert!(known.before.len() > 200);
    let other = Resting::begin(&folder, &"another".parse().unwrap());
    assert!(other.before.is_empty());
    let somewhere = DocPath::order("a2b-c3x").unwrap();
    assert!(known.known(&somewhere, &Digest::of(b"")).is_none());
}

#[test]
fn a_lamp_that_was_lit_in_orders_at_rest_keeps_its_buttons() {
    let disk = disk();
    let mut parts = opened(&disk, 20).studio;
    let lamps = of_kind(&parts, |what| matches!(what, What::Lamp(_)));
    let used = |studio: &Studio, lamp: &ShelfId| {
        studio.orders().values().any(|held| held.summary().buttons.iter().any(|(of, _)| of == lamp))
    };
    let lamp = lamps.into_iter().find(|lamp| used(&parts, lamp)).unwrap();
    let item = parts.item(&lamp).unwrap().clone();
    let What::Lamp(mut fewer) = item.what.clone() else { panic!("a lamp") };
    fewer.buttons.clear();
    let before = Doc::Shelf(lamp, Box::new(craft::shelf::Item { what: What::Lamp(fewer), ..item }));
    assert!(parts.put_back(before).is_err());
}
