//! The witness of the records, who is to be forgotten, what is noted of documents and of the last backup, and backups.

use std::path::Path;
use std::sync::Arc;

use craft::digest::Digest;
use craft::studio::Summary;
use store::backup::{self, Contents};
use store::folder::StudioFolder;
use store::forgotten::{Forgotten, Records};
use store::format::with_sum;
use store::heads::Heads;
use store::sim::SimVfs;
use workbench::keeping::backup::made_ms;

use super::{Law, holds, says_something};

/// The witness reads what it can of any text.
pub(super) fn heads(bytes: &[u8]) -> Law {
    let read = Heads::from_text(&String::from_utf8_lossy(bytes));
    let back = Heads::from_text(&read.to_text());
    holds(back == read, || format!("{read:?} reads back as {back:?}"))
}

/// Who is to be forgotten: nothing is passed over.
pub(super) fn forgotten(bytes: &[u8]) -> Law {
    let Ok(text) = std::str::from_utf8(bytes) else { return Ok(()) };
    match Forgotten::from_text(text) {
        Err(what) => says_something(&what),
        Ok(read) => {
            let named = text.lines().skip(1).all(|line| {
                let client = line.split(' ').next().unwrap_or_default();
                read.get(client).is_some()
            });
            holds(named, || format!("somebody of {text:?} is missing in {read:?}"))?;
            let back = Forgotten::from_text(&read.to_text());
            holds(back.as_ref() == Ok(&read), || format!("{read:?} reads back as {back:?}"))
        }
    }
}

/// How the records of forgotten orders begin: nothing is passed over.
pub(super) fn records(bytes: &[u8]) -> Law {
    let Ok(text) = std::str::from_utf8(bytes) else { return Ok(()) };
    match Records::from_text(text) {
        Err(what) => says_something(&what),
        Ok(read) => {
            let known = text.lines().skip(1).all(|line| {
                let words = line.split_once(' ').and_then(|(tag, seal)| Some((tag, seal.parse().ok()?)));
                words.is_some_and(|(tag, seal)| read.begins(tag, &seal) == Some(true))
            });
            holds(known, || format!("a line of {text:?} is missing in {read:?}"))?;
            let back = Records::from_text(&read.to_text());
            holds(back.as_ref() == Ok(&read), || format!("{read:?} reads back as {back:?}"))
        }
    }
}

/// A studio's folder in which one file holds these bytes.
fn folder_with(name: &str, bytes: &[u8]) -> Result<StudioFolder, String> {
    let disk = SimVfs::new();
    disk.put("/home/x", b"");
    let root = Path::new("/home/s");
    let folder = StudioFolder::create(root, Arc::new(disk.clone()), &1_u8).map_err(|why| why.to_string())?;
    disk.put(root.join(name), bytes);
    Ok(folder)
}

/// What is noted of documents: as it is, and once more with the sum of it made right, so that what stands behind that is
/// tried too.
pub(super) fn summaries(bytes: &[u8]) -> Law {
    noted(bytes)?;
    std::str::from_utf8(bytes).map_or(Ok(()), |text| noted(with_sum(text.to_owned()).as_bytes()))
}

/// What cannot be read is as if it had never been noted; what was read is written and read again as the same.
fn noted(bytes: &[u8]) -> Law {
    let text = String::from_utf8_lossy(bytes).into_owned();
    let made_by = text.split('\n').next().unwrap_or_default();
    let folder = folder_with(".summaries", bytes)?;
    let read = folder.load_summaries(made_by);
    let lines: Vec<(&str, Digest)> = text
        .lines()
        .filter_map(|line| {
            let mut words = line.splitn(3, ' ');
            Some((words.next()?, words.next()?.parse().ok()?))
        })
        .collect();
    let known = lines.iter().filter(|(stem, digest)| read.get::<Summary>(stem, digest).is_some()).count();
    holds(read.len() <= lines.len() && known <= lines.len(), || format!("{} of {lines:?}", read.len()))?;
    let others = folder.load_summaries("another program 1");
    holds(others.is_empty() || made_by == "another program 1", || "it is taken for another's".to_owned())?;
    holds(folder.save_summaries(made_by, &read), || "it cannot be kept".to_owned())?;
    let back = folder.load_summaries(made_by);
    let same = |(stem, digest): &(&str, Digest)| {
        let (one, other) = (read.get::<Summary>(stem, digest), back.get::<Summary>(stem, digest));
        one == other
    };
    holds(back.len() == read.len() && lines.iter().all(same), || {
        format!("{} were read, {} are read back", read.len(), back.len())
    })
}

/// When the last backup was made, and where it was put: a note on which nothing depends.
pub(super) fn last_backup(bytes: &[u8]) -> Law {
    let folder = folder_with(".last-backup", bytes)?;
    let Some((made, to)) = folder.last_backup() else { return Ok(()) };
    // What is no moment counts as not known, and is never written.
    if made_ms(&made).is_none() {
        return Ok(());
    }
    let place = to.clone().unwrap_or_else(|| "no line\nof its own".into());
    holds(folder.note_backup(&made, &place), || "it cannot be noted".to_owned())?;
    let back = folder.last_backup();
    // A carriage return is no part of a name that is noted.
    let to = to.filter(|to| !to.to_string_lossy().contains('\r'));
    holds(back == Some((made.clone(), to.clone())), || format!("{made:?}, {to:?} reads back as {back:?}"))
}

/// A backup, as it is, and once more with every sum and digest made right: so what stands behind them is tried too.
pub(super) fn backup(bytes: &[u8]) -> Law {
    archive(bytes)?;
    match mended(bytes) {
        Some(mended) if mended != bytes => archive(&mended),
        _ => Ok(()),
    }
}

fn archive(bytes: &[u8]) -> Law {
    let path = Path::new("/backup.tar");
    let mut seen = 0;
    let contents = match backup::read(&mut &*bytes, path, &mut |_, _| {
        seen += 1;
        true
    }) {
        Ok(contents) => contents,
        Err(why) => return says_something(&why.to_string()),
    };
    holds(seen == contents.count(), || format!("{seen} files were shown of {}", contents.count()))?;
    put_back(bytes, path, &contents)
}

/// What was read whole is put back, and a backup of that holds the same.
fn put_back(bytes: &[u8], path: &Path, contents: &Contents) -> Law {
    let disk = SimVfs::new();
    disk.put("/home/x", b"");
    let mut open = || {
        let input = Box::new(std::io::Cursor::new(bytes.to_vec())) as Box<dyn std::io::Read>;
        Ok((input, bytes.len() as u64))
    };
    let (dir, vfs) = (Path::new("/home/s"), Arc::new(disk));
    let restored =
        backup::restore_from(&mut open, path, (dir, vfs), &mut |_| Ok(Forgotten::default()), &mut |_| true);
    let restored = match restored {
        Ok(restored) => restored,
        Err(why) => return says_something(&store::told(&why)),
    };
    holds(restored.contents == *contents, || "it was read as something else".to_owned())?;
    let mut again = Vec::new();
    let written = backup::write(&restored.folder, &contents.about, &mut again, &mut |_| true)
        .map_err(|why| format!("it was put back and cannot be backed up: {why:?}"))?;
    // The list of those to be forgotten is written anew, and is the only file that may read otherwise.
    let files = |contents: &Contents| {
        let mut files = contents.files.clone();
        files.remove(".forgotten");
        files
    };
    holds(files(&written) == files(contents), || {
        format!("put back were {:?}, and {:?} is there", contents.files, written.files)
    })
}

const BLOCK: usize = 512;

/// The same container with right sums in its headers and right digests on its list; `None` where it is too short to be
/// one. Written from the description of the form (IEEE Std 1003.1, pax utility, "ustar Interchange Format").
fn mended(bytes: &[u8]) -> Option<Vec<u8>> {
    let (mut out, mut sums, mut rest) = (Vec::new(), String::new(), bytes);
    while let Some((header, body)) = rest.split_first_chunk::<BLOCK>() {
        if header.iter().all(|&byte| byte == 0) {
            break;
        }
        let mut header = *header;
        let name = text_at(&header, 0..100);
        let size = usize::from_str_radix(&text_at(&header, 124..136), 8).unwrap_or(0).min(body.len());
        let padded = size.div_ceil(BLOCK).saturating_mul(BLOCK).min(body.len());
        let (content, after) = (body.get(..size)?, body.get(padded..)?);
        let list = sums.clone().into_bytes();
        let content = if name == "SHA256SUMS" { list.as_slice() } else { content };
        header.get_mut(124..136)?.copy_from_slice(format!("{:011o}\0", content.len()).as_bytes());
        header.get_mut(148..156)?.fill(b' ');
        let sum: u32 = header.iter().map(|&byte| u32::from(byte)).sum();
        header.get_mut(148..156)?.copy_from_slice(format!("{sum:06o}\0 ").as_bytes());
        sums.extend([Digest::of(content).to_string().as_str(), "  ", &name, "\n"]);
        out.extend_from_slice(&header);
        out.extend_from_slice(content);
        out.resize(out.len().div_ceil(BLOCK) * BLOCK, 0);
        rest = after;
    }
    if out.is_empty() {
        return None;
    }
    out.resize(out.len() + 2 * BLOCK, 0);
    Some(out)
}

fn text_at(header: &[u8; BLOCK], place: std::ops::Range<usize>) -> String {
    let field = header.get(place).unwrap_or_default();
    let field = field.split(|&byte| byte == 0).next().unwrap_or_default();
    String::from_utf8_lossy(field).trim().to_owned()
}
