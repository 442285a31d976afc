//! The papers: looked at as they would be printed, written and kept, opened, printed and copied.

use craft::digest::Digest;
use craft::fact::PaperKind;
use desk::platform::printing::Media;
use desk::window::Outward;
use egui::Key;

use super::hand::{Hand, SIZES};

#[test]
fn a_paper_is_written_kept_opened_printed_and_copied() {
    let mut hand = Hand::on("Neeltje", Key::Num1);
    hand.press("papers");
    hand.press("Care card, can be written now");
    assert!(hand.sees("Care card, page 1 of"));
    hand.press("Write and keep it");
    assert!(hand.sees("and kept as it was."));
    hand.press("open it");
    let Some(Outward::Open(path)) = hand.outward.last().cloned() else { panic!("{:?}", hand.outward) };
    let kept = std::fs::read(&path).unwrap();
    assert!(kept.starts_with(b"%PDF-"));
    let view = hand.window().session().unwrap().view();
    let held = view
        .studio
        .orders()
        .values()
        .find(|held| held.order.sheet.remembered.name.as_str() == "Neeltje Admiraal");
    let (_, kind, file) = *held.unwrap().ledger.home.papers.last().unwrap();
    assert_eq!((kind, file), (PaperKind::Care, Digest::of(&kept)));
    hand.press("Print it");
    let printed = hand.outward.last().cloned();
    let Some(Outward::Print(what, title, Some(Media::A6))) = printed else { panic!("{printed:?}") };
    assert_eq!(what, path);
    assert!(title.ends_with(" care card") && !title.contains("Neeltje"), "{title}");
    hand.press("save a copy");
    hand.press("choose the place");
    let to = hand.beside("copy.pdf");
    hand.answer(&to);
    hand.press("save the copy");
    assert_eq!(std::fs::read(&to).unwrap(), kept);
    assert!(hand.sees("The copy is at"));
}

#[test]
fn a_paper_that_cannot_be_written_yet_says_why_and_offers_nothing() {
    let mut hand = Hand::on("Farfar", Key::Num1);
    hand.press("papers");
    hand.press("Proof sheet, not yet");
    assert!(hand.sees("Not yet: no stone is finished yet"));
    assert!(!hand.names().iter().any(|name| name == "Write and keep it"));
}

#[test]
fn a_paper_that_is_damaged_is_not_copied() {
    let mut hand = Hand::on("Neeltje", Key::Num1);
    hand.press("papers");
    hand.press("Care card, can be written now");
    hand.press("Write and keep it");
    hand.press("open it");
    let Some(Outward::Open(path)) = hand.outward.last().cloned() else { panic!("{:?}", hand.outward) };
    std::fs::write(&path, b"%PDF-1.7 something else").unwrap();
    hand.press("save a copy");
    let to = hand.beside("copy.pdf");
    hand.tab_to("Where the copy shall be");
    hand.write(&to.display().to_string());
    hand.key(Key::Enter);
    hand.settle();
    assert!(!to.exists());
    assert!(!hand.sees("The copy is at"));
}

#[test]
fn every_paper_is_whole_in_every_size() {
    let mut hand = Hand::on("Wieczorek", Key::Num1);
    hand.press("papers");
    hand.press("A picture for a message");
    let rows: Vec<String> = ["Sending sheet", "Receipt", "Proof sheet", "Packing list", "Care card"]
        .iter()
        .map(|name| hand.names().into_iter().find(|known| known.starts_with(&format!("{name}, "))).unwrap())
        .collect();
    for (size, points) in SIZES {
        hand.resize(points);
        for row in &rows {
            hand.press(row);
            assert_eq!(hand.faults(), Vec::<String>::new(), "{row} at {size}");
        }
    }
}
