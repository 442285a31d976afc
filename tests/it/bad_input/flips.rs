//! Every bit of an order's file flipped, and every entry of its record taken out, doubled or exchanged for another.

use craft::log::{Entry, Log};
use craft::order::Order;
use craft::studio::{Doc, Studio};
use store::format::{Decoded, Since, decode, encode, since_saved};
use store::name::DocKind;
use workbench::clock::Clock as _;

use super::*;

/// What comes of a changed file.
#[derive(Debug, PartialEq, Eq)]
enum Noticed {
    /// It is not read, with line and column.
    NotRead,
    /// It is read, and its record, sheet or tag cannot be.
    NotTaken,
    /// It is read and taken, and told to have been changed.
    Told,
    /// It is the same document.
    Same,
    /// It is another one, and nobody knows.
    Believed,
}

fn noticed(studio: &Studio, order: &Order, bytes: &[u8], since: Since) -> Noticed {
    match decode::<Order>(DocKind::Order, bytes) {
        Decoded::Broken(broken) => {
            assert!(broken.line > 0 && broken.column > 0 && !broken.message.is_empty());
            Noticed::NotRead
        }
        Decoded::Newer(_) => Noticed::NotRead,
        Decoded::Whole(read) if read == *order => Noticed::Same,
        // A file that lies under another tag, or names another studio, is told of by its name.
        Decoded::Whole(read) if read.tag != order.tag => Noticed::NotTaken,
        Decoded::Whole(read) => match (studio.clone().take(Doc::Order(Box::new(read))), since) {
            (Err(_), _) => Noticed::NotTaken,
            (Ok(()), Since::Changed) => Noticed::Told,
            (Ok(()), _) => Noticed::Believed,
        },
    }
}

fn read(bytes: &[u8]) -> Order {
    match decode(DocKind::Order, bytes) {
        Decoded::Whole(order) => order,
        other => panic!("{other:?}"),
    }
}

#[test]
fn every_flipped_bit_of_an_orders_file_is_noticed_or_changes_nothing() {
    let two = Two::new();
    let session = two.session();
    let studio = session.bench.view(two.bench.clock.now()).studio.clone();
    drop(session);
    let whole = two.text().into_bytes();
    let order = read(&whole);
    let (mut not_read, mut not_taken, mut told, mut same, mut believed_without) = (0, 0, 0, 0, 0);
    for at in 0..whole.len() {
        for bit in 0..8 {
            let mut bytes = whole.clone();
            bytes[at] ^= 1 << bit;
            let since = since_saved(&bytes);
            match noticed(&studio, &order, &bytes, since) {
                Noticed::NotRead => not_read += 1,
                Noticed::NotTaken => not_taken += 1,
                Noticed::Told => told += 1,
                Noticed::Same => same += 1,
                Noticed::Believed => panic!("byte {at}, bit {bit} is believed"),
            }
            // The broken variant: without the sum, words and days of the sheet would be believed.
            if noticed(&studio, &order, &bytes, Since::Unknown) == Noticed::Believed {
                believed_without += 1;
            }
        }
    }
    println!(
        "{} bits flipped: {not_read} not read, {not_taken} not taken, {told} told, {same} changed nothing, 0 believed; \
         without the sum {believed_without} would have been",
        whole.len() * 8
    );
    assert_eq!(not_read + not_taken + told + same, whole.len() * 8);
    assert_eq!(told, believed_without);
    assert!(not_read > 10_000 && not_taken > 300 && told > 100, "{not_read} {not_taken} {told}");
}

#[test]
fn a_flipped_bit_in_the_sheet_is_told_at_opening_and_the_rest_goes_on() {
    let two = Two::new();
    let whole = two.text();
    let text = whole.replacen("a grandmother who kept bees", "a grandmother who kept beds", 1);
    assert_ne!(text, whole);
    std::fs::write(two.file(), &text).unwrap();
    let mut session = two.session();
    let what = "it was changed since this program saved it, by hand or by the disk, and is used as it stands; look \
                whether all of it is right, or put an earlier copy back; where it was meant, take the file's last line \
                away";
    assert_eq!(session.troubles(), [trouble(file_of(two.one), what)]);
    session.act_and_settle(fact(two.other, ClientFact::Answered)).unwrap();
    drop(session);
    assert_eq!(two.text(), text, "the file was left alone");
    // Where it was meant, the last line is taken away, and that is that.
    let (meant, _) = text.rsplit_once("// sum ").unwrap();
    std::fs::write(two.file(), meant).unwrap();
    assert_eq!(two.session().troubles(), []);
}

/// Writes the order's file with this record and a right sum, as if a program had saved it so, opens the studio and
/// gives what is said. The other order must be there and go on.
fn said_of(two: &Two, order: &Order, entries: &[Entry]) -> Vec<Trouble> {
    let log: Log = ron::from_str(&ron::to_string(entries).unwrap()).unwrap();
    let bytes = encode(DocKind::Order, &Order { log, ..order.clone() }).unwrap();
    std::fs::write(two.file(), &bytes).unwrap();
    let session = two.session();
    let view = session.bench.view(two.bench.clock.now());
    assert!(view.studio.order(two.other).is_ok(), "the rest opens");
    let said = session.troubles().to_vec();
    drop(session);
    assert_eq!(std::fs::read(two.file()).unwrap(), bytes, "the file was left alone");
    said
}

#[test]
fn every_entry_taken_out_doubled_or_exchanged_is_named() {
    let two = Two::new();
    for _ in 0..2 {
        two.bench.fact(two.one, CustodyFact::Closed { thing: Thing::wrapping(1), seal: None });
        two.bench.fact(two.one, CustodyFact::Opened { thing: Thing::wrapping(1), check: typed(two.one) });
    }
    let whole = two.text();
    let order = read(whole.as_bytes());
    let entries: Vec<Entry> = order.log.entries().map(|(_, entry)| entry.clone()).collect();
    let count = entries.len();
    let (mut out, mut doubled, mut exchanged) = (0, 0, 0);
    let broken = |said: &[Trouble], from: usize, what: &str| {
        let [found] = said else { panic!("{what}: {said:?}") };
        let words = format!("entry {from} of the record does not follow");
        assert!(found.file == file_of(two.one) && found.what.starts_with(&words), "{what}: {found:?}");
    };
    for i in 0..count {
        let mut fewer = entries.clone();
        fewer.remove(i);
        let said = said_of(&two, &order, &fewer);
        if i + 1 < count {
            broken(&said, i + 1, &format!("entry {} taken out", i + 1));
        } else {
            // The chain cannot tell that its end is gone; the witness can.
            let [found] = &*said else { panic!("{said:?}") };
            let words = format!("its record has {} entries and {count} were seen before", count - 1);
            assert!(found.file == file_of(two.one) && found.what.starts_with(&words), "{found:?}");
        }
        out += 1;
        let mut more = entries.clone();
        more.insert(i, entries[i].clone());
        broken(&said_of(&two, &order, &more), i + 2, &format!("entry {} doubled", i + 1));
        doubled += 1;
        for j in i + 1..count {
            let mut other = entries.clone();
            other.swap(i, j);
            broken(&said_of(&two, &order, &other), i + 1, &format!("entries {} and {}", i + 1, j + 1));
            exchanged += 1;
        }
    }
    println!(
        "{count} entries: {out} taken out, {doubled} doubled, {exchanged} pairs exchanged: every one named"
    );
    std::fs::write(two.file(), whole).unwrap();
    assert_eq!(two.session().troubles(), []);
    assert!(out == count && doubled == count && exchanged == count * (count - 1) / 2 && count >= 8);
}
