//! Handing an order over of which not every photo and paper is there.

use std::path::PathBuf;

use super::*;
use crate::keeping::hand_over::{Handed, hand_over, write};

/// An order that packs a box whose photo only its record names, and shows one more on its sheet; what is kept of these.
fn handed(kept: impl Fn(&StudioFolder) -> [Digest; 2]) -> (Handed, String, Vec<String>) {
    let dir = tempfile::tempdir().unwrap();
    let (studio, ..) = at_home();
    let disk = on_disk(&studio);
    let mut opened = open(Path::new(ROOT), Arc::new(disk)).unwrap();
    let [on_the_sheet, of_the_box] = kept(&opened.folder);
    let mut bench = sample::bench(Stage::Packed);
    bench.record(HomeFact::BoxPhotographed { photo: of_the_box });
    let tag = bench.tag;
    let mut order = bench.studio.order(tag).unwrap().order.clone();
    order.sheet.photos = vec![craft::order::Photo {
        original: on_the_sheet,
        kind: craft::order::PhotoKind::Jpeg,
        of: None,
        caption: sample::line("as it came"),
    }];
    let doc = Doc::Order(Box::new(order));
    opened.studio.take(doc.clone()).unwrap();
    assert!(matches!(save_doc(&opened.folder, &doc), store::save::SaveOutcome::Saved(_)));
    let to = dir.path().join("over");
    let work = hand_over(&opened.studio, tag, to.clone(), sample::at(0)).unwrap();
    let handed = write(&opened.folder, &work).unwrap();
    let names = |below: PathBuf| -> Vec<String> {
        let names = std::fs::read_dir(below).into_iter().flatten();
        names.map(|entry| entry.unwrap().file_name().display().to_string()).collect()
    };
    let mut all = names(to.join("photos"));
    all.extend(names(to.clone()).into_iter().filter(|name| name.ends_with("SUMS")));
    (handed, std::fs::read_to_string(to.join("summary.txt")).unwrap(), all)
}

fn picture(width: u32) -> Vec<u8> {
    papers::photo::sample::stone_picture(&papers::photo::sample::SampleStone::default(), width, 48).unwrap()
}

fn pictures(files: &[String]) -> usize {
    files.iter().filter(|name| name.starts_with("photo-")).count()
}

/// The sample's record names two more photos and two papers of which nothing was ever kept here.
#[test]
fn a_photo_that_only_the_record_names_is_handed_over_and_one_that_is_missing_stops_nothing() {
    let keep = |folder: &StudioFolder, width| folder.keep_photo(&picture(width), "jpg").unwrap().hash();
    let (with, summary, files) = handed(|folder| [keep(folder, 64), keep(folder, 80)]);
    assert_eq!((with.missing.len(), pictures(&files)), (4, 2), "{with:?}, {files:?}");
    assert!(files.contains(&"photo-1.jpg".to_owned()) && summary.contains("photo-2.jpg: "), "{summary}");
    let (without, summary, files) = handed(|folder| [Digest::of(b"gone"), keep(folder, 80)]);
    assert_eq!((without.missing.len(), pictures(&files)), (5, 1), "{without:?}, {files:?}");
    assert!(without.missing[0].starts_with("photo-1.jpg: the photo "), "{without:?}");
    assert!(files.contains(&"SHA256SUMS".to_owned()), "{files:?}");
    let end = summary.rsplit_once("Not in this folder\n").unwrap().1;
    let told: Vec<String> = without.missing.iter().map(|missing| format!("  {missing}\n")).collect();
    assert_eq!(end, told.concat());
}
