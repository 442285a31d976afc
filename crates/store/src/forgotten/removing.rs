//! What a forgetting takes out of a studio, and what it finds there.

use std::sync::Arc;

use super::*;
use crate::sim::{Fault, Op, SimVfs, Trouble};

const ROOT: &str = "/home/s";

/// A studio in which two orders have papers, photos, and a version kept beside each.
fn studio() -> (SimVfs, StudioFolder) {
    let disk = SimVfs::new();
    disk.put("/home/x", b"");
    let folder =
        StudioFolder::create(Path::new(ROOT), Arc::new(disk.clone()), &"settings".to_owned()).unwrap();
    for tag in ["a2b-c3x", "x9y-z8w"] {
        put(&disk, &format!("orders/{tag}.ron"), "for Ida Lund");
        put(&disk, &format!("orders/{tag}.conflict-1.ron"), "for Ida Lund");
        put(&disk, &format!("papers/{tag}/receipt.pdf"), tag);
        put(&disk, &format!("papers/{tag}/proof.pdf"), tag);
    }
    (disk, folder)
}

fn put(disk: &SimVfs, path: &str, text: &str) {
    disk.put(Path::new(ROOT).join(path), text.as_bytes());
}

fn order() -> DocPath {
    DocPath::order("A2B-C3X").unwrap()
}

#[test]
fn who_is_to_be_forgotten_is_kept_in_the_studio() {
    let (disk, folder) = studio();
    assert!(folder.load_forgotten().unwrap().is_empty());
    let mut who = Forgotten::default();
    who.add("ida", "2026-11-26", ["a2b-c3x".to_owned()]);
    assert!(matches!(folder.save_forgotten(&who), SaveOutcome::Saved(_)));
    assert_eq!(folder.load_forgotten().unwrap(), who);
    assert_eq!(disk.get("/home/s/.forgotten").unwrap(), who.to_text().as_bytes());
    assert_eq!(file_in(Path::new(ROOT)), Path::new("/home/s/.forgotten"));
    // Whoever may only read says so, and leaves it.
    let reader = StudioFolder::open(Path::new(ROOT), Arc::new(disk)).unwrap();
    assert!(matches!(reader.save_forgotten(&Forgotten::default()), SaveOutcome::NotSaved(_)));
    assert_eq!(folder.load_forgotten().unwrap(), who);
}

#[test]
fn only_what_is_asked_for_is_removed_and_that_for_good() {
    let (disk, folder) = studio();
    let [one, other] = [&b"one"[..], b"other"].map(|bytes| PhotoName::of(bytes, "jpg").unwrap());
    for name in [&one, &other] {
        put(&disk, &format!("photos/{name}"), "a picture");
    }
    assert_eq!(folder.conflicts_of(&order()).unwrap(), ["a2b-c3x.conflict-1.ron"]);
    assert!(folder.remove_photo(&one).unwrap() && !folder.remove_photo(&one).unwrap());
    assert_eq!((folder.remove_papers("a2b-c3x").unwrap(), folder.remove_papers("a2b-c3x").unwrap()), (2, 0));
    assert_eq!(
        (folder.remove_conflicts(&order()).unwrap(), folder.remove_conflicts(&order()).unwrap()),
        (1, 0)
    );
    assert!(folder.conflicts_of(&order()).unwrap().is_empty());
    for disk in disk.crash_states() {
        let stands = |path: &str| disk.get(Path::new(ROOT).join(path)).is_some();
        let gone = [
            format!("photos/{one}"),
            "papers/a2b-c3x/receipt.pdf".to_owned(),
            "orders/a2b-c3x.conflict-1.ron".to_owned(),
        ];
        assert!(!gone.iter().any(|path| stands(path)), "{:?}", disk.paths());
        let left = [
            format!("photos/{other}"),
            "papers/x9y-z8w/receipt.pdf".to_owned(),
            "orders/x9y-z8w.conflict-1.ron".to_owned(),
            "orders/a2b-c3x.ron".to_owned(),
        ];
        assert!(left.iter().all(|path| stands(path)), "{:?}", disk.paths());
    }
}

#[test]
fn a_word_is_found_wherever_it_stands_but_in_what_is_left_out() {
    let (disk, folder) = studio();
    put(&disk, "photos/Ida Lund.txt", "nothing");
    put(&disk, "papers/a2b-c3x/letter.txt", "Dear Ida Lund,");
    disk.put_link("/home/s/orders/link.ron");
    let both = ["orders/a2b-c3x.conflict-1.ron", "orders/a2b-c3x.ron"];
    let others = ["orders/x9y-z8w.conflict-1.ron", "orders/x9y-z8w.ron"];
    let found = |words: &[&str], left_out: &[&str]| {
        let words: Vec<String> = words.iter().map(|&word| word.to_owned()).collect();
        folder.files_with(&words, left_out).unwrap()
    };
    let orders = [both, others].concat();
    assert_eq!(found(&["Lund"], &[]), [&orders[..], &["papers/a2b-c3x/letter.txt"]].concat());
    assert_eq!(found(&["Lund"], &["papers"]), orders);
    assert_eq!(found(&["Lund"], &["papers/a2b-c3x", "orders"]), [""; 0]);
    assert_eq!(found(&["nobody", "", "Lun"], &[]), [""; 0]);
    assert_eq!(found(&[], &[]), [""; 0]);
    // What cannot be read may hold it.
    disk.arm(Fault::always(Op::Read, Trouble::Denied));
    let unread = found(&["nobody"], &[]);
    disk.disarm();
    assert!(unread.iter().any(|path| path == "photos/Ida Lund.txt"), "{unread:?}");
}

#[test]
fn whatever_lies_in_a_studio_and_is_not_of_it_is_named() {
    let (disk, folder) = studio();
    let photo = PhotoName::of(b"one", "jpg").unwrap();
    for ours in [
        &format!("photos/{photo}"),
        "photos/.a2b-c3x.jpg.abcdefghij12.tmp",
        "papers/a2b-c3x/.receipt.pdf.abcdefghij12.tmp",
        "templates/hello.txt",
    ] {
        put(&disk, ours, "");
    }
    assert_eq!(folder.strangers().unwrap(), [""; 0]);
    let strangers = [
        "holiday.txt",
        "photos/holiday.jpg",
        "photos/folder",
        "papers/A2B-C3X",
        "papers/letter.pdf",
        "papers/a2b-c3x/a letter?.pdf",
        "papers/a2b-c3x/folder",
    ];
    for stranger in strangers {
        let inside = if stranger.ends_with("folder") || stranger.ends_with("C3X") { "/inside" } else { "" };
        put(&disk, &format!("{stranger}{inside}"), "");
    }
    put(&disk, &format!("photos/{}/inside", PhotoName::of(b"two", "jpg").unwrap()), "");
    let mut found = folder.strangers().unwrap();
    found.retain(|path| !path.contains(&PhotoName::of(b"two", "jpg").unwrap().to_string()));
    found.sort();
    let mut wanted = strangers.map(str::to_owned);
    wanted.sort();
    assert_eq!(found, wanted);
    assert_eq!(folder.strangers().unwrap().len(), strangers.len() + 1);
}
