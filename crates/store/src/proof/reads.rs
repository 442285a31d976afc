//! Each reading fails: what could not be read is never taken for absent, and never written over.

use super::edits::{Note, file, note, one_of_each, open, studio};
use crate::folder::Loaded;
use crate::heads::Heads;
use crate::name::{DocKind, DocPath};
use crate::photos::PhotoName;
use crate::save::SaveOutcome;
use crate::sim::{Fault, Op, SimVfs, Trouble};
use craft::digest::Digest;

/// A hasty program: it loads a document, and where it gets none it begins a new one. Gives whether the document was
/// loaded.
fn hasty(disk: &SimVfs, path: &DocPath) -> bool {
    let Ok(folder) = open(disk) else { return false };
    let loaded = folder.load::<Note>(path);
    assert!(!matches!(loaded, Ok(Loaded::Absent)), "{path} is there");
    let whole = matches!(loaded, Ok(Loaded::Whole(_)));
    if !whole {
        for _ in 0..2 {
            let outcome = folder.save(path, &note("begun anew"));
            assert!(matches!(outcome, SaveOutcome::NotSaved(_)), "{path}: {outcome:?}");
        }
    }
    whole
}

/// The same for all that is not a document.
fn hasty_with_the_rest(disk: &SimVfs) {
    let Ok(folder) = open(disk) else { return };
    let photo = folder.photo(&PhotoName::of(b"the photo that was taken in first", "jpg").unwrap());
    assert!(!matches!(photo, Ok(None)), "the photo is there");
    let paper = folder.paper("A2B-C3X", "receipt.pdf", Digest::of(b"the receipt"));
    assert!(!matches!(paper, Ok(None)), "the paper is there");
    if let Ok(photos) = folder.photos() {
        assert_eq!(photos.len(), 1);
    }
    if let Ok(papers) = folder.papers("A2B-C3X") {
        assert_eq!(papers, ["receipt.pdf"]);
    }
    for kind in DocKind::ALL {
        if let Ok(listing) = folder.list(kind) {
            assert_eq!(listing.documents.len(), 1, "{kind:?}");
        }
    }
    let seen = folder.load_heads();
    if seen == Heads::default() {
        assert!(!folder.save_heads(&seen), "the witness is there");
    }
}

/// Every fault of a reading: of a file or a folder, once and for ever.
fn reading_faults() -> Vec<Fault> {
    let of = |only, trouble, lasting| Fault { lasting, ..Fault::always(only, trouble) };
    let kinds = [Op::Read, Op::List].into_iter().flat_map(|only| [(only, false), (only, true)]);
    let troubles = [Trouble::Device, Trouble::Full, Trouble::Denied];
    troubles
        .into_iter()
        .flat_map(|trouble| kinds.clone().map(move |(only, lasting)| of(only, trouble, lasting)))
        .collect()
}

/// Runs `session` with the first reading failed, then the second, and so on until one is over before the fault could
/// strike; gives how often a fault struck.
fn fail_each_reading(mut session: impl FnMut(&SimVfs)) -> usize {
    let mut count = 0;
    for fault in reading_faults() {
        for after in 0.. {
            let disk = studio();
            let before = disk.picture();
            disk.arm(Fault { after, ..fault });
            session(&disk);
            let struck = disk.disarm();
            for (path, bytes) in before.iter().filter(|(_, bytes)| bytes.is_some()) {
                assert_eq!(&disk.get(path), bytes, "{} {after} {:?}", path.display(), fault.trouble);
            }
            if struck == 0 {
                break;
            }
            count += 1;
        }
    }
    count
}

#[test]
fn nothing_that_could_not_be_read_is_taken_for_absent_or_written_over() {
    let (mut struck, mut loaded, mut refused) = (0, 0, 0);
    for path in one_of_each() {
        struck += fail_each_reading(|disk| if hasty(disk, &path) { loaded += 1 } else { refused += 1 });
    }
    struck += fail_each_reading(hasty_with_the_rest);
    println!("{struck} reading faults: {loaded} documents loaded, {refused} refused, 0 overwritten");
    assert!(struck > 200 && loaded > 0 && refused > 0, "{struck}");
}

#[test]
fn the_same_check_catches_a_program_that_begins_anew_when_it_cannot_read() {
    // The broken variant: a failed reading counts as "nothing there yet", and the new document is put in place.
    let path = &one_of_each()[3];
    let broken = |disk: &SimVfs| {
        use crate::vfs::Vfs as _;
        if disk.read(&file(path), 1_000).ok().flatten().is_none() {
            disk.put(file(path), b"begun anew");
        }
    };
    let caught = std::panic::catch_unwind(|| fail_each_reading(broken));
    let said = *caught.unwrap_err().downcast::<String>().unwrap();
    assert!(said.contains("orders/a2b-c3x.ron 0 Device"), "{said}");
}
