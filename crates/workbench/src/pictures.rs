//! Pictures and papers to look at, as jobs brought them: kept in memory within bounds, never saved, never undone.

use std::collections::{BTreeMap, VecDeque};
use std::sync::Arc;

use craft::digest::Digest;
use craft::fact::PaperKind;
use craft::tag::Tag;
pub use papers::document::Pixels;

/// The most bytes of pixels that are kept of photos: 64 MB. Above it the oldest goes, but never the newest.
const MOST_BYTES: usize = 64_000_000;

/// What a picture counts for beside its pixels, so that failures do not pile up either.
const ENTRY_BYTES: usize = 1_024;

/// The most papers that are kept to look at.
const MOST_PREVIEWS: usize = 4;

/// The largest long side of a picture to look at, in pixels; a larger wish is held to it.
pub const LARGEST_SIDE_PX: u32 = 2_400;

/// The finest a paper is set to look at, in dots an inch; a finer wish is held to it.
pub const FINEST_DPI: u16 = 220;

/// A photo to look at.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Picture {
    /// The long side that was asked for, in pixels. A photo smaller than that has its own size.
    pub side_px: u32,
    /// Its pixels, upright and in sRGB, or why it cannot be shown.
    pub pixels: Result<Arc<Pixels>, String>,
}

impl Picture {
    fn bytes(&self) -> usize {
        ENTRY_BYTES + self.pixels.as_ref().map_or(0, |pixels| pixels.rgba.len())
    }
}

/// A paper to look at, as it would be issued when it was set.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Preview {
    /// Dots an inch.
    pub dpi: u16,
    /// Its pages, or why it could not be set.
    pub pages: Result<Vec<Arc<Pixels>>, String>,
    /// Something changed since that it may say: the record, the sheet, the settings, or the day.
    pub is_stale: bool,
}

/// All of them.
#[derive(Debug, Default)]
pub(crate) struct Pictures {
    photos: BTreeMap<Digest, (u64, Picture)>,
    bytes: usize,
    next: u64,
    previews: VecDeque<(Tag, PaperKind, Preview)>,
}

impl Pictures {
    pub(crate) fn photo(&self, photo: &Digest) -> Option<&Picture> {
        self.photos.get(photo).map(|(_, picture)| picture)
    }

    pub(crate) fn preview(&self, tag: Tag, kind: PaperKind) -> Option<&Preview> {
        let mut all = self.previews.iter();
        all.find(|(of, which, _)| (*of, *which) == (tag, kind)).map(|(.., preview)| preview)
    }

    /// Takes a picture in. A small one does not take the place of a larger one that came first.
    pub(crate) fn put_photo(&mut self, photo: Digest, picture: Picture) {
        let larger =
            |old: &Picture| old.side_px > picture.side_px && old.pixels.is_ok() && picture.pixels.is_ok();
        if self.photo(&photo).is_some_and(larger) {
            return;
        }
        self.bytes += picture.bytes();
        self.next += 1;
        if let Some((_, old)) = self.photos.insert(photo, (self.next, picture)) {
            self.bytes -= old.bytes();
        }
        while self.bytes > MOST_BYTES && self.photos.len() > 1 {
            let oldest = self.photos.iter().min_by_key(|(_, (since, _))| *since).map(|(&digest, _)| digest);
            let Some((_, old)) = oldest.and_then(|digest| self.photos.remove(&digest)) else { return };
            self.bytes -= old.bytes();
        }
    }

    pub(crate) fn put_preview(&mut self, tag: Tag, kind: PaperKind, preview: Preview) {
        self.previews.retain(|(of, which, _)| (*of, *which) != (tag, kind));
        self.previews.push_back((tag, kind, preview));
        if self.previews.len() > MOST_PREVIEWS {
            self.previews.pop_front();
        }
    }

    /// Marks papers as said by what is no longer so: those of one order, or all of them.
    pub(crate) fn overtake(&mut self, order: Option<Tag>) {
        for (tag, _, preview) in &mut self.previews {
            preview.is_stale |= order.is_none_or(|order| order == *tag);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn picture(side_px: u32) -> Picture {
        let rgba = vec![0; side_px as usize * side_px as usize * 4];
        Picture { side_px, pixels: Ok(Arc::new(Pixels { width: side_px, height: side_px, rgba })) }
    }

    fn name(number: u32) -> Digest {
        Digest::of(&number.to_le_bytes())
    }

    #[test]
    fn pictures_stay_within_their_bound_and_the_oldest_goes_first() {
        let mut kept = Pictures::default();
        for number in 0..30 {
            kept.put_photo(name(number), picture(1_000));
            let bytes: usize = kept.photos.values().map(|(_, picture)| picture.bytes()).sum();
            assert_eq!(bytes, kept.bytes);
            assert!(bytes <= MOST_BYTES);
        }
        // 4 MB and a little each: fifteen of them.
        assert_eq!(kept.photos.len(), 15);
        assert!(kept.photo(&name(14)).is_none() && kept.photo(&name(15)).is_some());
        // One that is seen anew is the newest.
        kept.put_photo(name(15), picture(1_000));
        kept.put_photo(name(99), picture(1_000));
        assert!(kept.photo(&name(15)).is_some() && kept.photo(&name(16)).is_none());
        // One that is larger than the bound by itself is kept alone.
        kept.put_photo(name(100), picture(4_200));
        assert_eq!(kept.photos.len(), 1);
        assert!(kept.photo(&name(100)).is_some());
    }

    #[test]
    fn a_larger_picture_stays_and_a_failure_is_kept_with_its_words() {
        let mut kept = Pictures::default();
        kept.put_photo(name(1), picture(400));
        kept.put_photo(name(1), picture(100));
        assert_eq!(kept.photo(&name(1)).unwrap().side_px, 400);
        kept.put_photo(name(1), picture(800));
        assert_eq!(kept.photo(&name(1)).unwrap().side_px, 800);
        let gone = Picture { side_px: 100, pixels: Err("it is gone".to_owned()) };
        kept.put_photo(name(1), gone.clone());
        assert_eq!(kept.photo(&name(1)), Some(&gone));
        kept.put_photo(name(1), picture(50));
        assert!(kept.photo(&name(1)).unwrap().pixels.is_ok(), "what can be shown again is shown");
    }

    #[test]
    fn four_papers_are_kept_one_of_each_kind() {
        let mut kept = Pictures::default();
        let preview = |dpi| Preview { dpi, pages: Ok(Vec::new()), is_stale: false };
        let tag = |number| Tag::from_number(number).unwrap();
        for number in 1..=5 {
            kept.put_preview(tag(number), PaperKind::Care, preview(96));
        }
        assert!(kept.preview(tag(1), PaperKind::Care).is_none());
        kept.put_preview(tag(2), PaperKind::Care, preview(150));
        assert_eq!(kept.previews.len(), 4);
        assert_eq!(kept.preview(tag(2), PaperKind::Care).unwrap().dpi, 150);
        assert!(kept.preview(tag(2), PaperKind::Proof).is_none());
        kept.overtake(Some(tag(3)));
        let stale: Vec<bool> =
            (2..=5).map(|number| kept.preview(tag(number), PaperKind::Care).unwrap().is_stale).collect();
        assert_eq!(stale, [false, true, false, false]);
        kept.overtake(None);
        assert!(kept.previews.iter().all(|(.., preview)| preview.is_stale));
    }
}
