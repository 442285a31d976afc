//! Every earlier version is looked at, and what is damaged is told of.

use store::name::DocPath;

use super::*;
use crate::finding::Finding;
use crate::keeping::history::look_through;
use crate::open::path_of;
use crate::present::finding_words;

/// A studio on a disk with two earlier versions of its order and one of its client.
fn with_versions() -> (SimVfs, Arc<StudioFolder>, Tag) {
    let (studio, tag, client) = at_home();
    let disk = on_disk(&studio);
    let opened = open(Path::new(ROOT), Arc::new(disk.clone())).unwrap();
    let Some(Doc::Order(mut order)) = studio.doc(&DocId::Order(tag)) else { panic!("an order") };
    for ring in ["UK P", "UK Q"] {
        order.sheet.ring = sample::line(ring);
        drop(save_doc(&opened.folder, &Doc::Order(order.clone())));
    }
    let mut known = studio.clients()[&client].clone();
    known.contact = sample::line("by post");
    drop(save_doc(&opened.folder, &Doc::Client(client, Box::new(known))));
    (disk, opened.folder, tag)
}

fn files(disk: &SimVfs) -> Vec<std::path::PathBuf> {
    let mut all = disk.paths();
    all.retain(|path| path.display().to_string().contains("/.history/"));
    all
}

fn path(tag: Tag) -> DocPath {
    path_of(&DocId::Order(tag)).unwrap()
}

#[test]
fn whole_versions_are_counted_and_one_with_another_letter_is_named_with_its_way_out() {
    let (disk, folder, tag) = with_versions();
    assert_eq!(look_through(&folder).unwrap(), (3, vec![]));
    let file = files(&disk).into_iter().find(|file| file.display().to_string().contains("/orders/")).unwrap();
    let mut bytes = disk.get(&file).unwrap();
    let middle = bytes.len() / 2;
    bytes[middle] ^= 1;
    disk.put(&file, &bytes);
    let (count, found) = look_through(&folder).unwrap();
    let [finding] = found.as_slice() else { panic!("{found:?}") };
    assert_eq!((count, finding.concerns(tag)), (3, true));
    let line = finding_words::line(finding);
    assert!(
        line.starts_with(".history/orders/") && line.contains("an earlier version is damaged: "),
        "{line}"
    );
    assert!(line.ends_with("have the disk looked at"), "{line}");
}

/// The name fits what is in the file, and the record in it does not hold together.
#[test]
fn the_record_of_a_version_is_followed_too_and_one_of_a_newer_program_is_not_called_damaged() {
    let (disk, folder, tag) = with_versions();
    let dir = Path::new(ROOT).join(".history/orders").join(path(tag).stem());
    let put = |number: u32, text: &str| {
        let digits: String = Digest::of(text.as_bytes()).to_string().chars().take(16).collect();
        disk.put(dir.join(format!("{number:06}.2026-11-26t00-19-55-123z.{digits}.ron")), text.as_bytes());
    };
    let own = disk.get(Path::new(ROOT).join(path(tag).to_string())).unwrap();
    let own = String::from_utf8(own).unwrap();
    let own = own.rsplit_once("// sum ").unwrap().0;
    let seal = &own[own.find("seal: \"").unwrap() + 7..][..64];
    put(7, &own.replacen(seal, &"0".repeat(64), 1));
    put(8, &own.replacen("version: 1", "version: 99", 1));
    put(9, "torn");
    let (count, found) = look_through(&folder).unwrap();
    let numbers: Vec<&str> = found
        .iter()
        .map(|finding| match finding {
            Finding::Version { file, .. } => &file.rsplit('/').next().unwrap()[..6],
            other => panic!("{other:?}"),
        })
        .collect();
    assert_eq!((count, numbers), (6, vec!["000009", "000007"]));
}
