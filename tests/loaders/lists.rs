//! The witness of the records, who is to be forgotten, and backups.

use std::path::Path;
use std::sync::Arc;

use craft::digest::Digest;
use store::backup::{self, Contents};
use store::forgotten::Forgotten;
use store::heads::Heads;
use store::sim::SimVfs;

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
