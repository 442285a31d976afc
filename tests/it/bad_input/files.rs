//! Files that were cut off, meddled with, carried about or put back.

use std::str::FromStr as _;

use craft::fact::{Amount, ClientFact, LayerKind, PourFact};
use craft::log::{Entry, Log};
use craft::order::Order;
use craft::studio::Doc;
use craft::units::{Length, Load};
use store::folder::StudioFolder;
use store::format::{Decoded, decode};
use store::name::DocKind;
use store::vfs::DiskVfs;
use workbench::clock::Clock as _;

use super::*;
use crate::support::{id, policies, stone_sheet, tag};

/// Writes `text` in the place of the first order's file and opens the studio: the file is named with what is wrong,
/// nothing reads or writes it, the other order goes on, and once the file is put back everything is as it was.
fn turned_away(two: &Two, text: &str, what: &str) {
    let whole = two.text();
    assert_ne!(whole, text, "the file must be another one");
    std::fs::write(two.file(), text).unwrap();
    let file = file_of(two.one);
    let mut session = two.session();
    assert_eq!(session.troubles(), [trouble(file.clone(), what)]);
    let refused = session.act_and_settle(fact(two.one, ClientFact::KitPosted)).unwrap_err().to_string();
    assert_eq!(refused, format!("{file} could not be used: {what}"));
    let anew = OrderEdit::Open { client: crate::support::client_id(), sheet: Box::default() };
    let refused = session.act_and_settle(Action::Edit(Edit::Order(two.one, anew))).unwrap_err().to_string();
    assert_eq!(refused, format!("{file} could not be used: {what}"), "no new order takes its tag");
    session.act_and_settle(fact(two.other, ClientFact::Answered)).unwrap();
    drop(session);
    assert_eq!(two.text(), text, "the file was left alone");
    assert!(!two.bench.root().join(file.replace(".ron", ".conflict-1.ron")).exists());
    std::fs::write(two.file(), whole).unwrap();
    assert_eq!(two.bench.order(two.one).log.len(), 4);
    assert!(!two.bench.order(two.other).log.is_empty());
}

fn read(text: &str) -> Order {
    match decode(DocKind::Order, text.as_bytes()) {
        Decoded::Whole(order) => order,
        other => panic!("{other:?}"),
    }
}

/// Gives every entry the seal it should have, and takes the sum of the file away: what someone would do who means it.
fn sealed_anew(text: &str) -> String {
    let order = read(text);
    let mut head = Log::origin(&order.studio, order.tag);
    let mut text = text.to_owned();
    for (number, entry) in order.log.entries() {
        head = head.then(&Entry::line(number, &entry.at, entry.told, &entry.fact));
        text = text.replace(&entry.seal.to_string(), &head.to_string());
    }
    read(&text).log.check(&order.studio, order.tag).unwrap();
    let (text, _) = text.rsplit_once("// sum ").expect("every file that is saved ends with its sum");
    text.to_owned()
}

#[test]
fn a_file_that_is_cut_off_is_named_and_left_alone() {
    let two = Two::new();
    let whole = two.text();
    let (front, _) = whole.split_once("        story:").unwrap();
    let (line, column) = (front.lines().count(), front.lines().last().unwrap().len() + 1);
    turned_away(
        &two,
        front,
        &format!(
            "line {line}, column {column}: the file ends too early; its end has been cut off; the file is left alone: mend it \
             there, or put an earlier copy back"
        ),
    );
    turned_away(
        &two,
        "",
        "line 1, column 1: the file is empty; put a copy of it back; the file is left alone: mend it there, or put an \
         earlier copy back",
    );
}

#[test]
fn a_file_that_is_cut_off_anywhere_is_never_taken_for_whole() {
    let two = Two::new();
    let whole = two.text();
    // The last line is a comment, its sum.
    let (above, _) = whole.rsplit_once("// sum ").unwrap();
    let bytes = above.trim_end().as_bytes();
    for end in 0..bytes.len() {
        let found = decode::<Order>(DocKind::Order, &bytes[..end]);
        assert!(matches!(found, Decoded::Broken(_)), "cut after {end} bytes: {found:?}");
    }
    assert!(
        matches!(decode::<Order>(DocKind::Order, bytes), Decoded::Whole(_)),
        "only the last line end is gone"
    );
}

#[test]
fn a_field_nobody_knows_is_named_with_those_that_are_known() {
    let two = Two::new();
    let text = two.text().replacen("        story:", "        sparkle: 1,\n        story:", 1);
    let line = text.lines().position(|line| line.contains("sparkle")).unwrap() + 1;
    turned_away(
        &two,
        &text,
        &format!(
            "line {line}, column 9: \"sparkle\" is not a field here; the fields are tag, studio, client, sheet, story, \
             log; the file is left alone: mend it there, or put an earlier copy back"
        ),
    );
}

#[test]
fn a_file_of_a_newer_version_is_named_with_its_version_and_left_alone() {
    let two = Two::new();
    let newer = two.text().replacen("version: 1", "version: 7", 1);
    let what = "it was written by a newer version of this program (format 7); it is left alone, open it with that version";
    turned_away(&two, &newer, what);
    // What a newer version has added cannot be known, and is not taken for damage.
    turned_away(&two, &newer.replacen("        story:", "        sparkle: 1,\n        story:", 1), what);
}

#[test]
fn a_studio_of_a_newer_version_is_not_opened_at_all() {
    let two = Two::new();
    let file = two.bench.root().join("studio.ron");
    let newer = std::fs::read_to_string(&file).unwrap().replacen("version: 1", "version: 2", 1);
    std::fs::write(&file, &newer).unwrap();
    let before = contents(&two.bench.root());
    let why = Session::open(&two.bench.root(), two.bench.clock.clone()).unwrap_err().to_string();
    assert_eq!(
        why,
        "studio.ron: it was written by a newer version of this program (format 2); it is left alone, open it with that \
         version"
    );
    assert_eq!(contents(&two.bench.root()), before);
}

#[test]
fn an_amount_that_is_not_a_number_is_refused_where_it_stands() {
    let two = Two::new();
    let laid = lay(&two, Length::from_mm(0.4));
    two.bench.fact(two.one, laid);
    let text = two.text().replacen("thickness: \"0.4 mm\"", "thickness: \"NaN mm\"", 1);
    let mut session = spoiled(&two, &text);
    let [found] = session.troubles() else { panic!("{:?}", session.troubles()) };
    assert_eq!(found.file, file_of(two.one));
    assert!(
        found.what.contains(
            "\"NaN mm\" is not an amount in mm; write a number and the unit, such as \"0.4 mm\"; the file is left alone"
        ),
        "{}",
        found.what
    );
    session.act_and_settle(fact(two.other, ClientFact::Answered)).unwrap();
    drop(session);
    assert_eq!(two.text(), text);
}

#[test]
fn a_bare_number_without_end_is_refused_in_a_file_of_the_shelf() {
    let two = Two::new();
    let file = two.bench.root().join("shelf/slate.ron");
    let whole = std::fs::read_to_string(&file).unwrap();
    for endless in ["NaN", "inf", "1e999"] {
        let text = whole.replacen("absorption: 6.0", &format!("absorption: {endless}"), 1);
        assert_ne!(text, whole);
        std::fs::write(&file, &text).unwrap();
        let mut session = two.session();
        let [found] = session.troubles() else { panic!("{:?}", session.troubles()) };
        assert_eq!(found.file, "shelf/slate.ron");
        let read = if endless == "1e999" { "inf" } else { endless };
        let sentence = format!(
            "line 11, column 29: {read} cannot be used here; give a number from 0 to 1000000; the file is left alone: mend \
             it there, or put an earlier copy back"
        );
        assert_eq!(found.what, sentence);
        session.act_and_settle(fact(two.other, ClientFact::Answered)).unwrap();
        drop(session);
        assert_eq!(std::fs::read_to_string(&file).unwrap(), text);
    }
}

/// A stone that is begun, and the fact of its first layer.
fn lay(two: &Two, thickness: Length) -> PourFact {
    let bench = &two.bench;
    if bench.order(two.one).sheet.stones.is_empty() {
        bench.change_sheet(two.one, |sheet| sheet.stones.push(stone_sheet(1, "A1")));
        let begun = PourFact::Begun { stone: 1, mould: id("oval-10x8"), cell: "A1".parse().unwrap() };
        bench.fact(two.one, begun);
    }
    PourFact::Laid {
        stone: 1,
        layer: 1,
        kind: LayerKind::Clear,
        thickness,
        load: Load::ZERO,
        amount: Amount::ToTheMark,
        bottle: id("clear-casting"),
        pigment: None,
    }
}

fn spoiled(two: &Two, text: &str) -> Session {
    assert_ne!(two.text(), text);
    std::fs::write(two.file(), text).unwrap();
    two.session()
}

#[test]
fn a_layer_of_less_than_nothing_is_refused_as_a_fact_and_in_a_file() {
    let two = Two::new();
    let sentence = "a layer of -0.4 mm cannot be; a layer is between 0.05 mm and 10 mm thick";
    let negative = lay(&two, Length::from_mm(-0.4));
    let before = two.text();
    assert_eq!(two.bench.refused(two.one, negative), sentence);
    assert_eq!(two.text(), before);
    two.bench.fact(two.one, lay(&two, Length::from_mm(0.4)));
    let whole = two.text();
    // Written into the file by hand, the seal tells; with every seal made anew, the rule still does.
    let text = whole.replacen("thickness: \"0.4 mm\"", "thickness: \"-0.4 mm\"", 1);
    let said = |text: &str| {
        let session = spoiled(&two, text);
        let said = session.troubles().to_vec();
        drop(session);
        assert_eq!(two.text(), text);
        std::fs::write(two.file(), &whole).unwrap();
        said
    };
    let broken = "entry 6 of the record does not follow from the one before it; the file was changed by hand or comes \
                  from elsewhere";
    assert_eq!(said(&text), [trouble(file_of(two.one), broken)]);
    let unfit = format!("entry 6 of the record does not fit: {sentence}");
    assert_eq!(said(&sealed_anew(&text)), [trouble(file_of(two.one), &unfit)]);
    assert_eq!(two.bench.order(two.one).log.len(), 6);
}

#[test]
fn a_flipped_bit_in_a_seal_is_named_with_its_entry() {
    let two = Two::new();
    let seal = two.bench.order(two.one).log.entry(2).unwrap().seal.to_string();
    let mut flipped = seal.clone().into_bytes();
    flipped[20] ^= 1;
    let flipped = String::from_utf8(flipped).unwrap();
    let text = two.text().replacen(&seal, &flipped, 1);
    turned_away(
        &two,
        &text,
        "entry 2 of the record does not follow from the one before it; the file was changed by hand or comes from \
         elsewhere",
    );
}

#[test]
fn no_flipped_bit_in_a_record_is_ever_believed() {
    let two = Two::new();
    let session = two.session();
    let mut studio = session.bench.view(two.bench.clock.now()).studio.clone();
    drop(session);
    let whole = two.text();
    let order = read(&whole);
    let from = whole.find("        log: [").unwrap();
    // One bit of each byte, another one each time; all eight on demand.
    let all = std::env::var_os("HELDFAST_EVERY_BIT").is_some();
    let (mut told, mut harmless) = (0, 0);
    for at in from..whole.len() {
        for bit in (0..8).filter(|bit| all || at % 8 == *bit) {
            let mut bytes = whole.clone().into_bytes();
            bytes[at] ^= 1 << bit;
            let Decoded::Whole(read) = decode::<Order>(DocKind::Order, &bytes) else {
                told += 1;
                continue;
            };
            let same = read == order;
            let taken = studio.take(Doc::Order(Box::new(read))).is_ok();
            // A space that has become another space is no change; anything else must be noticed.
            assert_eq!(taken, same, "byte {at}, bit {bit}");
            told += usize::from(!taken);
            harmless += usize::from(taken);
        }
    }
    println!("{told} flipped bits were noticed, {harmless} changed nothing");
    assert!(told > 20 * harmless && told > 1_000);
}

#[test]
fn a_record_that_may_be_sealed_anew_is_why_the_witness_is_kept() {
    // The broken variant of the seals: without a witness, a record with other seals throughout would be believed.
    let two = Two::new();
    let text = sealed_anew(&two.text().replacen("material: Petals", "material: Ashes", 1));
    let session = spoiled(&two, &text);
    let what = "entry 4 of its record is another one than was seen before; put the newest copy back, or take the \
                order's line out of \".heads\" to go on without it";
    assert_eq!(session.troubles(), [trouble(file_of(two.one), what)]);
    drop(session);
    std::fs::remove_file(two.bench.root().join(".heads")).unwrap();
    assert_eq!(two.session().troubles(), []);
}

#[test]
fn an_older_copy_put_back_is_noticed_until_it_is_mended() {
    let two = Two::new();
    let old = two.text();
    two.bench.fact(two.one, ClientFact::MessageSent { about: craft::fact::MessageKind::ArrivedSafely });
    two.bench.fact(two.one, CustodyFact::Closed { thing: Thing::wrapping(1), seal: None });
    let new = two.text();
    std::fs::write(two.file(), &old).unwrap();
    let what = "its record has 4 entries and 6 were seen before, so perhaps an older copy was put back; put the newest \
                copy back, or take the order's line out of \".heads\" to go on without it";
    for _ in 0..2 {
        // Opening, working on and closing does not make it forgotten.
        let mut session = two.session();
        assert_eq!(session.troubles(), [trouble(file_of(two.one), what)]);
        session.act_and_settle(fact(two.other, ClientFact::Answered)).unwrap();
    }
    assert_eq!(two.text(), old);
    std::fs::write(two.file(), new).unwrap();
    assert_eq!(two.bench.order(two.one).log.len(), 6);
}

#[test]
fn a_file_that_has_vanished_is_missed_until_it_is_back() {
    let two = Two::new();
    let whole = two.text();
    std::fs::remove_file(two.file()).unwrap();
    let what = "its record was seen before and the file is not there any more; put the newest copy back, or take the \
                order's line out of \".heads\" to go on without it";
    for _ in 0..2 {
        let mut session = two.session();
        assert_eq!(session.troubles(), [trouble(file_of(two.one), what)]);
        session.act_and_settle(fact(two.other, ClientFact::Answered)).unwrap();
    }
    std::fs::write(two.file(), whole).unwrap();
    assert_eq!(two.bench.order(two.one).log.len(), 4);
}

#[test]
fn a_file_under_another_orders_name_comes_from_elsewhere() {
    let two = Two::new();
    let wrong = tag(3_000);
    assert!(wrong != two.one && wrong != two.other);
    let whole = two.text();
    std::fs::copy(two.file(), two.bench.root().join(file_of(wrong))).unwrap();
    let what = format!(
        "the file says it is {} and lies where {wrong} belongs; it comes from elsewhere and is left alone",
        two.one
    );
    let mut session = two.session();
    assert_eq!(session.troubles(), [trouble(file_of(wrong), &what)]);
    session.act_and_settle(fact(two.one, ClientFact::KitPosted)).unwrap();
    drop(session);
    assert_eq!(std::fs::read_to_string(two.bench.root().join(file_of(wrong))).unwrap(), whole);
    // With the tag inside changed to match, the seals still tell.
    let forged = whole.replacen(&format!("tag: \"{}\"", two.one), &format!("tag: \"{wrong}\""), 1);
    assert_ne!(forged, whole);
    std::fs::write(two.bench.root().join(file_of(wrong)), forged).unwrap();
    let broken = "entry 1 of the record does not follow from the one before it; the file was changed by hand or comes \
                  from elsewhere";
    assert_eq!(two.session().troubles(), [trouble(file_of(wrong), broken)]);
}

#[test]
fn an_order_of_another_studio_is_left_alone() {
    let two = Two::new();
    let root = two.bench.dir.path().join("another");
    let other_studio = craft::id::StudioId::from_str("studio-elsewhere").unwrap();
    let settings = craft::policies::Policies { studio: other_studio, ..policies() };
    drop(StudioFolder::create(&root, Arc::new(DiskVfs), &settings).unwrap());
    let copy = root.join(file_of(two.one));
    std::fs::copy(two.file(), &copy).unwrap();
    let open = || Session::open(&root, two.bench.clock.clone()).unwrap();
    let what = "this file says it is studio studio-under-test, and it lies where studio studio-elsewhere belongs; it \
                comes from elsewhere and is left alone";
    assert_eq!(open().troubles(), [trouble(file_of(two.one), what)]);
    assert_eq!(std::fs::read_to_string(&copy).unwrap(), two.text());
    // With the studio inside changed to match, the seals still tell.
    std::fs::write(&copy, two.text().replacen("studio-under-test", "studio-elsewhere", 1)).unwrap();
    let session = open();
    let [found] = session.troubles() else { panic!("one trouble") };
    assert!(found.what.starts_with("entry 1 of the record does not follow"), "{}", found.what);
}
