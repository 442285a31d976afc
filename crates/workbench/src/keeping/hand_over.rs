//! Handing one order over: its file, its photos without location data, its papers, and all of it in words, in a folder
//! that needs no program of ours.

use std::path::{Path, PathBuf};

use craft::digest::Digest;
use craft::id::DocId;
use craft::moment::Moment;
use craft::order::PhotoKind;
use craft::studio::{Held, Studio};
use craft::tag::Tag;
use papers::photo;
use store::folder::StudioFolder;
use store::photos::PhotoName;
use store::told;

use crate::open::path_of;
use crate::present::{hand_over_words, job_words};
use crate::runner::{paper_file_name, write_whole};

/// An order that is handed over.
#[derive(Clone, Debug, PartialEq)]
pub struct HandOver {
    /// The order.
    pub tag: Tag,
    /// The new or empty folder.
    pub to: PathBuf,
    /// Its photos, with their kind where its sheet says that.
    pub photos: Vec<(Digest, Option<PhotoKind>)>,
    /// Its papers: their names and digests.
    pub papers: Vec<(String, Digest)>,
    /// The order in words.
    pub summary: String,
}

/// What came of handing an order over.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Handed {
    /// The folder.
    pub to: PathBuf,
    /// The photos and papers that are not in it, each with the reason.
    pub missing: Vec<String>,
}

/// The largest side of a photo that is handed over, in pixels: that of the largest photo that is taken in.
const LARGEST_SIDE_PX: u32 = 20_000;

/// Everything of an order.
///
/// # Errors
/// There is no such order.
pub fn hand_over(studio: &Studio, tag: Tag, to: PathBuf, now: Moment) -> Result<HandOver, String> {
    let held = studio.order(tag).map_err(|refusal| refusal.to_string())?;
    let papers = held.ledger.home.papers.iter().map(|(_, kind, file)| (paper_file_name(*kind, file), *file));
    let summary = hand_over_words::summary(studio, held, now);
    Ok(HandOver { tag, to, photos: photos(held), papers: papers.collect(), summary })
}

/// Every photo that an order names, each once: those of its sheet in their order, then those of its record only.
pub fn photos(held: &Held) -> Vec<(Digest, Option<PhotoKind>)> {
    let sheet = held.order.sheet.photos.iter().map(|photo| (photo.original, Some(photo.kind)));
    let mut photos: Vec<(Digest, Option<PhotoKind>)> = Vec::new();
    for photo in sheet.chain(held.photos().iter().copied()) {
        if !photos.iter().any(|(known, _)| *known == photo.0) {
            photos.push(photo);
        }
    }
    photos
}

/// Writes it. A photo or a paper that is missing stops nothing: the summary names it. The list of digests comes last:
/// without it the folder is not whole.
///
/// # Errors
/// The folder holds something, the order's file is not there, or the disk would not take it.
pub fn write(folder: &StudioFolder, work: &HandOver) -> Result<Handed, String> {
    let to = &work.to;
    let failed = |path: &Path| {
        let path = path.to_owned();
        move |why: std::io::Error| job_words::not_written(&path, &why)
    };
    let whole = std::path::absolute(to).map_err(failed(to))?;
    if super::lies_in(folder, &whole) {
        return Err(job_words::within_the_studio(&whole));
    }
    std::fs::create_dir_all(to).map_err(failed(to))?;
    if std::fs::read_dir(to).map_err(failed(to))?.next().is_some() {
        return Err(hand_over_words::not_empty(to));
    }
    let mut sums = Vec::new();
    let mut put = |name: String, bytes: &[u8]| -> Result<(), String> {
        let path = to.join(&name);
        if let Some(dir) = path.parent() {
            std::fs::create_dir_all(dir).map_err(failed(dir))?;
        }
        write_whole(&path, bytes).map_err(failed(&path))?;
        sums.push(format!("{}  {name}\n", Digest::of(bytes)));
        Ok(())
    };
    let path = path_of(&DocId::Order(work.tag)).map_err(|why| why.to_string())?;
    let order = folder.file_bytes(&path).map_err(|why| told(&why))?;
    let order = order.ok_or_else(|| hand_over_words::no_file(work.tag))?;
    put(path.file_name(), &order)?;
    let mut missing = Vec::new();
    for (place, (digest, kind)) in work.photos.iter().enumerate() {
        let name = hand_over_words::photo_name(place + 1);
        match bare(folder, *digest, *kind) {
            Ok(bytes) => put(format!("photos/{name}"), &bytes)?,
            Err(why) => missing.push(format!("{name}: {why}")),
        }
    }
    for (name, digest) in &work.papers {
        match folder.paper(&work.tag.to_string(), name, *digest) {
            Ok(Some(paper)) => put(format!("papers/{name}"), &paper)?,
            Ok(None) => missing.push(hand_over_words::paper_gone(name)),
            Err(why) => missing.push(format!("{name}: {}", told(&why))),
        }
    }
    put("summary.txt".to_owned(), hand_over_words::with_missing(&work.summary, &missing).as_bytes())?;
    let list = to.join("SHA256SUMS");
    write_whole(&list, sums.concat().as_bytes()).map_err(failed(&list))?;
    Ok(Handed { to: to.clone(), missing })
}

/// A photo without what says where it was taken, which is nobody's business: the picture itself is written anew.
fn bare(folder: &StudioFolder, digest: Digest, kind: Option<PhotoKind>) -> Result<Vec<u8>, String> {
    let name = if let Some(kind) = kind {
        Some(PhotoName::new(digest, kind.extension()).map_err(|why| why.to_string())?)
    } else {
        // Only an entry names it, which says its digest alone.
        let kept = folder.photos().map_err(|why| told(&why))?;
        kept.into_iter().find(|name| name.hash() == digest)
    };
    let original = name.map(|name| folder.photo(&name)).transpose().map_err(|why| told(&why))?.flatten();
    let original = original.ok_or_else(|| job_words::photo_gone(&digest))?;
    photo::for_paper(&original, LARGEST_SIDE_PX).map_err(|why| why.to_string())
}
