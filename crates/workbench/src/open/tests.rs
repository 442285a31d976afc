use std::path::PathBuf;

use craft::fact::{ClientFact, MessageKind};
use craft::id::ClientId;
use craft::refusal::Refusal;
use craft::stage::Stage;
use craft::studio::{Doc, Edit, OrderEdit, ShelfEdit};
use craft::tag::Tag;
use store::sim::{Fault, Op, SimVfs, Trouble as DiskTrouble};

use super::*;
use crate::present::sample::{self, at, id};
use crate::runner::save_doc;
use crate::session::Session;

const ROOT: &str = "/studio";

fn every_doc(studio: &Studio) -> Vec<Doc> {
    let shelf = studio.shelf().keys().cloned().map(DocId::Shelf);
    let clients = studio.clients().keys().cloned().map(DocId::Client);
    let orders = studio.orders().keys().copied().map(DocId::Order);
    shelf.chain(clients).chain(orders).map(|doc| studio.doc(&doc).unwrap()).collect()
}

/// The sample order on a disk in memory, with the witness of its record.
fn disk() -> (SimVfs, Studio, Tag) {
    let sample = sample::bench(Stage::Here);
    let disk = SimVfs::new();
    let folder =
        StudioFolder::create(Path::new(ROOT), Arc::new(disk.clone()), sample.studio.policies()).unwrap();
    for doc in every_doc(&sample.studio) {
        let saved = save_doc(&folder, &doc);
        assert!(matches!(saved, store::save::SaveOutcome::Saved(_)), "{saved:?}");
    }
    assert!(folder.save_heads(&witness(&sample.studio)));
    (disk, sample.studio, sample.tag)
}

fn opened(disk: &SimVfs) -> Opened {
    open(Path::new(ROOT), Arc::new(disk.clone())).unwrap()
}

fn file_of(doc: &DocId) -> PathBuf {
    Path::new(ROOT).join(path_of(doc).unwrap().to_string())
}

fn text(disk: &SimVfs, path: &Path) -> String {
    String::from_utf8(disk.get(path).unwrap()).unwrap()
}

#[test]
fn a_studio_that_was_saved_is_opened_as_it_was_without_a_trouble() {
    let (disk, studio, _) = disk();
    let opened = opened(&disk);
    assert_eq!(opened.troubles, []);
    assert_eq!(opened.read_only, None);
    assert_eq!(opened.studio, studio);
}

#[test]
fn a_broken_a_newer_and_a_foreign_file_are_listed_locked_and_left_alone() {
    let (disk, studio, tag) = disk();
    let order = file_of(&DocId::Order(tag));
    let newer = file_of(&DocId::Shelf(id("deep-green")));
    let client: ClientId = "ida-lund".parse().unwrap();
    let broken = file_of(&DocId::Client(client.clone()));
    disk.put(&newer, text(&disk, &newer).replacen("version: 1", "version: 99", 1).as_bytes());
    disk.put(&broken, text(&disk, &broken).replacen("name", "nombre", 1).as_bytes());
    let studio_id = studio.policies().studio.to_string();
    let foreign = text(&disk, &order).replace(&studio_id, "another-studio");
    disk.put(&order, foreign.as_bytes());
    let before: Vec<_> = disk.paths().into_iter().map(|path| (disk.get(&path), path)).collect();
    let mut opened = opened(&disk);
    let said = |file: &Path| {
        let name = file.strip_prefix(ROOT).unwrap().to_string_lossy().into_owned();
        let all: Vec<_> = opened.troubles.iter().filter(|trouble| trouble.file == name).collect();
        assert_eq!(all.len(), 1, "{name} in {:?}", opened.troubles);
        all[0].what.clone()
    };
    assert!(said(&newer).contains("newer version of this program (format 99)"), "{}", said(&newer));
    assert!(said(&broken).contains("the file is left alone"), "{}", said(&broken));
    assert!(said(&order).contains("it comes from elsewhere and is left alone"), "{}", said(&order));
    assert_eq!(opened.troubles.len(), 3);
    // None of the three can be written over, whatever is tried.
    let words = ClientFact::MessageSent { about: MessageKind::Nudge };
    let sheet = Box::new(sample::sheet());
    for (doc, edit) in [
        (DocId::Shelf(id("deep-green")), Edit::Shelf(id("deep-green"), ShelfEdit::Retire(true))),
        (DocId::Order(tag), Edit::Order(tag, OrderEdit::Fact(words.into()))),
        (DocId::Order(tag), Edit::Order(tag, OrderEdit::Open { client: client.clone(), sheet })),
        (
            DocId::Client(client.clone()),
            Edit::Client(
                client.clone(),
                craft::studio::ClientEdit::Put(Box::new(studio.clients()[&client].clone())),
            ),
        ),
    ] {
        let refused = opened.studio.apply(edit, at(900)).unwrap_err();
        assert!(
            matches!(&refused, Refusal::Locked { doc: locked, why } if *locked == doc && why.contains("could not be used")),
            "{refused:?}"
        );
    }
    drop(opened);
    let after: Vec<_> = disk.paths().into_iter().map(|path| (disk.get(&path), path)).collect();
    assert_eq!(after, before);
}

#[test]
fn an_order_under_another_orders_name_is_not_taken_for_it() {
    let (disk, _, tag) = disk();
    let other = Tag::from_number(77).or_else(|| Tag::from_number(78)).unwrap();
    disk.put(file_of(&DocId::Order(other)), &disk.get(file_of(&DocId::Order(tag))).unwrap());
    let opened = opened(&disk);
    assert!(opened.studio.order(tag).is_ok());
    assert!(opened.studio.order(other).is_err());
    assert!(opened.studio.locked().contains_key(&DocId::Order(other)));
    let said: Vec<_> = opened.troubles.iter().map(|trouble| trouble.what.as_str()).collect();
    assert_eq!(said.len(), 1);
    assert!(said[0].contains(&format!("it is {tag} and lies where {other} belongs")), "{said:?}");
}

#[test]
fn a_changed_entry_of_a_record_is_found_and_the_order_is_left_alone() {
    let (disk, _, tag) = disk();
    let file = file_of(&DocId::Order(tag));
    let whole = text(&disk, &file);
    // The seal of the parcel as it arrived, made another one.
    let forged = whole.replacen("seal: Some(12)", "seal: Some(13)", 1);
    assert_ne!(forged, whole);
    disk.put(&file, forged.as_bytes());
    let opened = opened(&disk);
    assert!(opened.studio.order(tag).is_err());
    assert_eq!(opened.troubles.len(), 1, "{:?}", opened.troubles);
    assert!(opened.studio.locked().contains_key(&DocId::Order(tag)));
}

#[test]
fn strangers_and_versions_kept_beside_are_listed_where_they_lie() {
    let (disk, studio, tag) = disk();
    let stem = tag.to_string().to_lowercase();
    let kept = ["studio.conflict-1.ron".to_owned(), format!("orders/{stem}.conflict-1.ron")];
    let strangers = ["orders/notes.txt".to_owned(), "shelf/Copy of deep-green.ron".to_owned()];
    for name in kept.iter().chain(&strangers) {
        disk.put(Path::new(ROOT).join(name), b"whatever it is");
    }
    // What is hidden, and what the maker keeps beside the studio's own files, is nobody's business.
    disk.put("/studio/orders/.hidden", b"x");
    disk.put("/studio/price list.txt", b"x");
    let opened = opened(&disk);
    assert_eq!(opened.studio, studio);
    let said = |name: &String| opened.troubles.iter().find(|trouble| trouble.file == *name).unwrap();
    assert!(kept.iter().all(|name| said(name).what.contains("both versions are kept")));
    assert!(strangers.iter().all(|name| said(name).what.contains("not a file of the studio")));
    assert_eq!(opened.troubles.len(), 4, "{:?}", opened.troubles);
}

#[test]
fn settings_that_are_missing_broken_or_newer_open_nothing_and_say_what_to_do() {
    let settings = Path::new(ROOT).join("studio.ron");
    let (good, _, _) = disk();
    let whole = text(&good, &settings);
    for (bytes, word) in [
        (whole.replacen("version: 1", "version: 99", 1), "newer version of this program"),
        (whole.replacen("body", "boddy", 1), "the file is left alone"),
    ] {
        let (disk, _, _) = disk();
        disk.put(&settings, bytes.as_bytes());
        let refused = open(Path::new(ROOT), Arc::new(disk)).unwrap_err().to_string();
        assert!(refused.starts_with("studio.ron: ") && refused.contains(word), "{refused}");
    }
    let (disk, _, _) = disk();
    Vfs::remove(&disk, &settings).unwrap();
    let refused = open(Path::new(ROOT), Arc::new(disk)).unwrap_err().to_string();
    assert_eq!(refused, "studio.ron: the studio's settings are missing; put the file back from a backup");
    let nowhere = open(Path::new("/nowhere"), Arc::new(SimVfs::new())).unwrap_err();
    assert!(matches!(nowhere, OpenError::Store(StoreError::NoFolder { .. })), "{nowhere}");
}

#[test]
fn an_unreadable_file_is_an_error_of_that_file_and_never_taken_for_absent() {
    let (disk, _, _) = disk();
    disk.put_link(file_of(&DocId::Shelf(id("deep-green"))));
    let opened = opened(&disk);
    assert_eq!(opened.troubles.len(), 1, "{:?}", opened.troubles);
    assert_eq!(opened.troubles[0].file, "shelf/deep-green.ron");
    let mut studio = opened.studio;
    assert!(studio.item(&id("deep-green")).is_err());
    // Putting it there anew passes the door, and then the disk will not follow or replace the link.
    let item = sample::studio().item(&id("deep-green")).unwrap().clone();
    studio.apply(Edit::Shelf(id("deep-green"), ShelfEdit::Put(Box::new(item))), at(0)).unwrap();
    let saved = save_doc(&opened.folder, &studio.doc(&DocId::Shelf(id("deep-green"))).unwrap());
    assert!(matches!(saved, store::save::SaveOutcome::NotSaved(_)), "{saved:?}");
}

#[test]
fn a_second_window_may_only_read_and_says_why() {
    let (disk, studio, _) = disk();
    let first = opened(&disk);
    let second = opened(&disk);
    assert_eq!(first.read_only, None);
    assert!(second.read_only.unwrap().contains("open in another window"));
    assert_eq!(second.studio, studio);
}

#[test]
fn a_folder_that_cannot_be_locked_is_opened_for_reading() {
    let (disk, studio, _) = disk();
    disk.arm(Fault::always(Op::Lock, DiskTrouble::Denied));
    let opened = opened(&disk);
    assert!(opened.read_only.unwrap().contains("cannot be written to"));
    assert_eq!(opened.studio, studio);
    assert!(disk.disarm() > 0);
}

#[test]
fn an_older_copy_of_a_record_and_an_order_that_is_gone_are_noticed() {
    let (disk, mut studio, tag) = disk();
    let file = file_of(&DocId::Order(tag));
    let older = disk.get(&file).unwrap();
    let entries = studio.order(tag).unwrap().order.log.len();
    let fact = ClientFact::MessageSent { about: MessageKind::Nudge };
    studio.apply(Edit::Order(tag, OrderEdit::Fact(fact.into())), at(900)).unwrap();
    let first = opened(&disk);
    assert!(matches!(
        save_doc(&first.folder, &studio.doc(&DocId::Order(tag)).unwrap()),
        store::save::SaveOutcome::Saved(_)
    ));
    first.folder.save_heads(&witness(&studio));
    drop(first);
    assert_eq!(opened(&disk).troubles, []);
    disk.put(&file, &older);
    let name = format!("orders/{}.ron", tag.to_string().to_lowercase());
    let troubles = opened(&disk).troubles;
    assert_eq!(troubles.len(), 1, "{troubles:?}");
    assert_eq!(troubles[0].file, name);
    let counts = format!("its record has {entries} entries and {} were seen before", entries + 1);
    assert!(troubles[0].what.starts_with(&counts), "{troubles:?}");
    Vfs::remove(&disk, &file).unwrap();
    let troubles = opened(&disk).troubles;
    assert_eq!(troubles.len(), 1, "{troubles:?}");
    assert_eq!(troubles[0].file, name);
    assert!(troubles[0].what.contains("the file is not there any more"), "{troubles:?}");
}

#[test]
fn an_order_that_could_not_be_read_keeps_its_witness_through_a_session() {
    let (disk, _, tag) = disk();
    let file = file_of(&DocId::Order(tag));
    let whole = disk.get(&file).unwrap();
    let seen = opened(&disk).folder.load_heads();
    assert_eq!(seen.tags().count(), 1);
    disk.put(&file, b"not a document");
    let clock = Arc::new(crate::clock::SystemClock::new());
    let session = Session::open_on(Path::new(ROOT), Arc::new(disk.clone()), clock).unwrap();
    assert_eq!(session.troubles().len(), 1);
    drop(session);
    assert_eq!(opened(&disk).folder.load_heads(), seen);
    // Once the file is back it is compared as before.
    disk.put(&file, &whole);
    assert_eq!(opened(&disk).troubles, []);
    // An order that is there no more is told of at every opening, until someone takes its line out.
    Vfs::remove(&disk, &file).unwrap();
    let clock = Arc::new(crate::clock::SystemClock::new());
    drop(Session::open_on(Path::new(ROOT), Arc::new(disk.clone()), clock).unwrap());
    assert_eq!(opened(&disk).folder.load_heads(), seen);
    assert_eq!(opened(&disk).troubles.len(), 1);
}

#[test]
fn the_name_of_a_document_of_which_only_a_version_beside_it_is_left_is_not_free() {
    let (disk, _, tag) = disk();
    let file = file_of(&DocId::Order(tag));
    let whole = disk.get(&file).unwrap();
    let beside = PathBuf::from(file.to_string_lossy().replace(".ron", ".conflict-1.ron"));
    disk.put(&beside, &whole);
    let both = opened(&disk);
    assert!(both.studio.locked().is_empty() && both.troubles[0].what.contains("both versions are kept"));
    drop(both);
    Vfs::remove(&disk, &file).unwrap();
    let mut alone = opened(&disk);
    assert_eq!(alone.troubles.len(), 1, "{:?}", alone.troubles);
    assert!(alone.troubles[0].what.ends_with("rename it back to that"), "{:?}", alone.troubles);
    assert!(alone.studio.locked()[&DocId::Order(tag)].ends_with("rename it back"));
    let sheet = Box::new(craft::order::Sheet::default());
    let anew = OrderEdit::Open { client: "ida-lund".parse().unwrap(), sheet };
    let refused = alone.studio.apply(Edit::Order(tag, anew), at(900)).unwrap_err().to_string();
    assert!(refused.contains("rename it back"), "{refused}");
}

#[test]
fn every_new_studio_has_an_id_of_its_own() {
    let ids: BTreeSet<String> = (0..50).map(|_| new_studio_id().to_string()).collect();
    assert_eq!(ids.len(), 50);
}
