//! The files of version 1 as they were when it was frozen. They are never written again: what has grown since must still
//! read every one of them as it stands.

use std::path::{Path, PathBuf};

use craft::client::Client;
use craft::money::series::Series;
use craft::order::Order;
use craft::policies::Policies;
use craft::shelf::Item;
use serde::Serialize;
use serde::de::DeserializeOwned;
use store::format::{Decoded, decode, encode};
use store::name::DocKind;

fn files() -> Vec<PathBuf> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("fixtures/first");
    let mut all: Vec<PathBuf> =
        std::fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()).collect();
    all.sort();
    all
}

/// Why a file is not read as it stands, or is not kept as the same; `None` where it is.
fn fault<T: Serialize + DeserializeOwned + PartialEq>(kind: DocKind, bytes: &[u8]) -> Option<String> {
    let doc = match decode::<T>(kind, bytes) {
        Decoded::Whole(doc) => doc,
        Decoded::Broken(broken) => return Some(broken.to_string()),
        Decoded::Newer(version) => return Some(format!("version {version} is newer")),
    };
    let again = encode(kind, &doc).unwrap();
    match decode::<T>(kind, &again) {
        Decoded::Whole(back) if back == doc => None,
        _ => Some("it is written and not read again as the same".to_owned()),
    }
}

fn fault_of(name: &str, bytes: &[u8]) -> Option<String> {
    match name.split('-').next().unwrap_or_default() {
        "studio" => fault::<Policies>(DocKind::Studio, bytes),
        "client" => fault::<Client>(DocKind::Client, bytes),
        "order" => fault::<Order>(DocKind::Order, bytes),
        "money" => fault::<Series>(DocKind::Money, bytes),
        _ => fault::<Item>(DocKind::Shelf, bytes),
    }
}

#[test]
fn every_file_of_the_first_edition_is_read_whole() {
    let files = files();
    assert!(files.len() > 40, "{} files", files.len());
    for file in files {
        let (name, bytes) =
            (file.file_stem().unwrap().to_string_lossy().into_owned(), std::fs::read(&file).unwrap());
        assert_eq!(fault_of(&name, &bytes), None, "{name}");
        // What is cut short is no such file.
        assert!(fault_of(&name, &bytes[..bytes.len() / 2]).is_some(), "{name}");
    }
}
