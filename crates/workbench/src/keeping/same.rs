//! Whether a list of who is forgotten is of the studio that a backup is of.
//!
//! Two studios may bear one id: every demo studio does, and so do two that were tried out with one name. What tells them
//! apart are their records: the seal of an order's first entry is the same in a studio and in every backup of it, for as
//! long as the order lives, and in no other. So a client of a list is forgotten again in a backup unless it is certain
//! that the orders there are others: each order of theirs that both know begins with another entry. Where nothing can be
//! compared the client is forgotten again, since who asked for it must not come back.

use std::collections::{BTreeMap, BTreeSet};
use std::fs::File;
use std::io::BufReader;
use std::path::Path;

use craft::digest::Digest;
use craft::order::Order;
use craft::tag::Tag;
use store::backup::{self, BackupError, Contents};
use store::folder::StudioFolder;
use store::forgotten::{FORGOTTEN, Forgotten, Records, Tombstone, records_beside};
use store::format::{self, Decoded};
use store::name::{DocKind, DocPath};
use store::vfs::{DiskVfs, Vfs as _};

use crate::open::path_of;

/// The seal of an order's first entry.
fn first_seal(bytes: &[u8]) -> Option<Digest> {
    match format::decode::<Order>(DocKind::Order, bytes) {
        Decoded::Whole(order) => order.log.entry(1).map(|entry| entry.seal),
        Decoded::Newer(_) | Decoded::Broken(_) => None,
    }
}

fn tags_of(forgotten: &Forgotten) -> BTreeSet<String> {
    forgotten.all().flat_map(|(_, tombstone)| tombstone.tags.iter().cloned()).collect()
}

/// How the records of those who are forgotten in a studio begin, as far as their files can be read.
pub(super) fn records_of(folder: &StudioFolder, forgotten: &Forgotten) -> Records {
    records(forgotten, |path| folder.file_bytes(path).ok().flatten())
}

fn records(forgotten: &Forgotten, read: impl Fn(&DocPath) -> Option<Vec<u8>>) -> Records {
    let mut records = Records::default();
    for tag in tags_of(forgotten) {
        let path = tag.parse::<Tag>().ok().and_then(|tag| path_of(&craft::id::DocId::Order(tag)).ok());
        if let Some(seal) = path.and_then(|path| read(&path)).as_deref().and_then(first_seal) {
            records.note(&tag, seal);
        }
    }
    records
}

/// How the records begin that a list knows of: the studio's own, or what was noted beside a list outside.
fn records_for(list: &Path, forgotten: &Forgotten) -> Records {
    let Some(studio) = list.parent().filter(|_| list.file_name().is_some_and(|name| name == FORGOTTEN))
    else {
        // What cannot be read tells nothing apart.
        return Records::read(&records_beside(list), &DiskVfs).unwrap_or_default();
    };
    records(forgotten, |path| DiskVfs.read(&studio.join(path.to_string()), format::CAP).ok().flatten())
}

/// Everyone of these lists who is to be forgotten again in a backup.
///
/// # Errors
/// A list cannot be read, or the backup cannot be any more.
pub(super) fn to_forget_in(
    file: &Path,
    contents: &Contents,
    lists: &[std::path::PathBuf],
) -> Result<Forgotten, BackupError> {
    let mut read = Vec::new();
    for list in lists {
        read.push((list, Forgotten::read(list, &DiskVfs).map_err(BackupError::Store)?));
    }
    let wanted: BTreeSet<String> = read.iter().flat_map(|(_, list)| tags_of(list)).collect();
    let begins = first_seals(file, contents, &wanted)?;
    let mut all = Forgotten::default();
    for (list, forgotten) in &read {
        let records = records_for(list, forgotten);
        for (client, tombstone) in
            forgotten.all().filter(|(_, tombstone)| !is_another(tombstone, &records, &begins))
        {
            all.add(client, &tombstone.day, tombstone.tags.iter().cloned());
        }
    }
    Ok(all)
}

/// True where it is certain that a backup's orders are not those of the one who was forgotten.
fn is_another(tombstone: &Tombstone, known: &Records, begins: &BTreeMap<String, Digest>) -> bool {
    let compared: Vec<bool> =
        tombstone.tags.iter().filter_map(|tag| known.begins(tag, begins.get(tag)?)).collect();
    !compared.is_empty() && compared.into_iter().all(|same| !same)
}

/// How the records of these orders begin in a backup, which is read once more only where it holds any of them.
fn first_seals(
    file: &Path,
    contents: &Contents,
    wanted: &BTreeSet<String>,
) -> Result<BTreeMap<String, Digest>, BackupError> {
    let names: BTreeMap<String, &String> =
        wanted.iter().map(|tag| (format!("orders/{tag}.ron"), tag)).collect();
    let mut begins = BTreeMap::new();
    let mut left = names.keys().filter(|name| contents.files.contains_key(*name)).count();
    if left == 0 {
        return Ok(begins);
    }
    let failed = |source| BackupError::NotRead { path: file.to_owned(), source };
    let mut input = BufReader::new(File::open(file).map_err(failed)?);
    let read = backup::read(&mut input, file, &mut |name, bytes| {
        if let Some(tag) = names.get(name) {
            left -= 1;
            begins.extend(first_seal(bytes).map(|seal| ((*tag).clone(), seal)));
        }
        left > 0
    });
    match read {
        Ok(_) | Err(BackupError::Stopped) => Ok(begins),
        Err(why) => Err(why),
    }
}

#[cfg(test)]
mod tests {
    use std::path::PathBuf;
    use std::sync::Arc;

    use craft::id::ClientId;
    use craft::moment::Moment;

    use super::*;
    use crate::finding::Owners;
    use crate::founding;
    use crate::keeping::{backup as whole, forget, list_of};
    use crate::open::{Opened, open};
    use crate::present::sample;

    /// A demo studio made at a moment, with a backup of it.
    fn made(dir: &Path, name: &str, now: Moment) -> (Opened, PathBuf) {
        let (root, tar) = (dir.join(name), dir.join(format!("{name}.tar")));
        founding::demo(&root, now).unwrap();
        let opened = open(&root, Arc::new(DiskVfs)).unwrap();
        let about = whole::about(&opened.studio, now);
        backup::to_file(&opened.folder, &about, &tar, &mut |_| true).unwrap();
        (opened, tar)
    }

    #[test]
    fn two_studios_of_one_id_do_not_forget_for_each_other_and_a_copy_from_a_backup_still_forgets() {
        let dir = tempfile::tempdir().unwrap();
        let now = sample::at(0);
        // The demo's days are counted from the one on which it is made.
        let next = Moment { utc_ms: now.utc_ms + 86_400_000, ..now };
        let (first, first_tar) = made(dir.path(), "first", now);
        let (second, second_tar) = made(dir.path(), "second", next);
        assert_eq!(first.studio.policies().studio, second.studio.policies().studio);
        let client: ClientId = {
            let mut all = first.studio.clients().keys();
            let may = |id: &&ClientId| {
                forget::forgetting(&first.studio, id, &Owners::default(), next)
                    .is_ok_and(|who| !who.tags.is_empty())
            };
            all.find(may).cloned().expect("somebody all of whose things are home")
        };
        assert!(second.studio.clients().contains_key(&client), "the same made-up person");
        let who = forget::forgetting(&first.studio, &client, &Owners::default(), next).unwrap();
        forget::carry_out(&first.folder, &who).unwrap();
        let list = list_of(&dir.path().join("lists"), first.studio.policies().studio.as_str());
        forget::note_outside(&list, &first.folder).unwrap();
        let own = store::forgotten::file_in(first.folder.root());
        // A list outside any studio, and that of the studio that is open.
        for (nth, list) in [&list, &own].into_iter().enumerate() {
            let back = |tar: &Path, name: &str| {
                let to = dir.path().join(format!("{name}-{nth}"));
                let back = whole::put_back(tar, &to, &|_| vec![list.clone()], next, &mut |_| true).unwrap();
                (back.forgotten, back.opened.studio.clients()[&client].name.to_string())
            };
            assert_eq!(back(&first_tar, "first").0, 1, "{}", list.display());
            let (forgotten, name) = back(&second_tar, "second");
            assert_eq!((forgotten, name), (0, second.studio.clients()[&client].name.to_string()));
        }
        // Where nothing says how their records begin, nobody who was forgotten comes back.
        std::fs::remove_file(records_beside(&list)).unwrap();
        let to = dir.path().join("unknown");
        let back = whole::put_back(&second_tar, &to, &|_| vec![list.clone()], next, &mut |_| true).unwrap();
        assert_eq!(back.forgotten, 1);
    }
}
