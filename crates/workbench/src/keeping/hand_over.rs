//! Handing one order over: its file, its photos without location data, its papers, and all of it in words, in a folder
//! that needs no program of ours.

use std::path::{Path, PathBuf};

use craft::digest::Digest;
use craft::id::DocId;
use craft::moment::Moment;
use craft::order::PhotoKind;
use craft::studio::Studio;
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
    /// Its photos.
    pub photos: Vec<(Digest, PhotoKind)>,
    /// Its papers: their names and digests.
    pub papers: Vec<(String, Digest)>,
    /// The order in words.
    pub summary: String,
}

/// The largest side of a photo that is handed over, in pixels: that of the largest photo that is taken in.
const LARGEST_SIDE_PX: u32 = 20_000;

/// Everything of an order.
///
/// # Errors
/// There is no such order.
pub fn hand_over(studio: &Studio, tag: Tag, to: PathBuf, now: Moment) -> Result<HandOver, String> {
    let held = studio.order(tag).map_err(|refusal| refusal.to_string())?;
    let mut photos: Vec<(Digest, PhotoKind)> = Vec::new();
    for photo in &held.order.sheet.photos {
        if !photos.iter().any(|(known, _)| *known == photo.original) {
            photos.push((photo.original, photo.kind));
        }
    }
    let papers = held.ledger.home.papers.iter().map(|(_, kind, file)| (paper_file_name(*kind, file), *file));
    let summary = hand_over_words::summary(studio, held, now);
    Ok(HandOver { tag, to, photos, papers: papers.collect(), summary })
}

/// Writes it; gives the folder. The list of digests comes last: without it the folder is not whole.
///
/// # Errors
/// The folder holds something, a photo or paper is missing, or the disk would not take it.
pub fn write(folder: &StudioFolder, work: &HandOver) -> Result<PathBuf, String> {
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
    for (place, (digest, kind)) in work.photos.iter().enumerate() {
        let name = PhotoName::new(*digest, kind.extension()).map_err(|why| why.to_string())?;
        let original = folder.photo(&name).map_err(|why| told(&why))?;
        let original = original.ok_or_else(|| job_words::photo_gone(digest))?;
        // Where a photo was taken is nobody's business; the picture itself is written anew without it.
        let bare = photo::for_paper(&original, LARGEST_SIDE_PX).map_err(|why| why.to_string())?;
        put(format!("photos/{}", hand_over_words::photo_name(place + 1)), &bare)?;
    }
    for (name, digest) in &work.papers {
        let paper = folder.paper(&work.tag.to_string(), name, *digest).map_err(|why| told(&why))?;
        put(format!("papers/{name}"), &paper.ok_or_else(|| hand_over_words::paper_gone(name))?)?;
    }
    put("summary.txt".to_owned(), work.summary.as_bytes())?;
    let list = to.join("SHA256SUMS");
    write_whole(&list, sums.concat().as_bytes()).map_err(failed(&list))?;
    Ok(to.clone())
}
