//! What must be right before a paper is set: told in the maker's words, not the engine's.

use super::{Assets, DocumentError, Sheet};
use crate::facts::{LARGEST_OUTLINE_MM, Outline, Paper, Photo, ProofFacts};

/// The longest tag a small QR holds: 20 alphanumeric characters fit version 1 at level M
/// (ISO/IEC 18004, capacities of version 1-M).
const LONGEST_TAG: usize = 20;

/// The most stones a proof sheet takes.
const MOST_STONES: usize = 12;

/// Refuses what would make a wrong or unreadable paper.
pub(super) fn check(paper: &Paper, sheet: &Sheet<'_>, assets: &Assets) -> Result<(), DocumentError> {
    let kind = paper.kind();
    if !kind.sizes().contains(&sheet.size) {
        return Err(DocumentError::Size { kind, size: sheet.size });
    }
    let tag = &paper.header().tag;
    if tag.chars().count() > LONGEST_TAG || !tag.is_ascii() {
        return Err(DocumentError::Tag { tag: tag.clone() });
    }
    for photo in paper.photos() {
        check_photo(photo, assets)?;
    }
    match paper {
        Paper::Proof(facts) => check_stones(facts),
        _ => Ok(()),
    }
}

fn check_photo(photo: &Photo, assets: &Assets) -> Result<(), DocumentError> {
    let name = photo.name.clone();
    if photo.alt.trim().is_empty() {
        return Err(DocumentError::PhotoWords { name });
    }
    let Some(bytes) = assets.photos.get(&photo.name) else {
        return Err(DocumentError::PhotoMissing { name });
    };
    match carries_metadata(bytes) {
        None => Err(DocumentError::PhotoUnreadable { name }),
        Some(true) => Err(DocumentError::PhotoTells { name }),
        Some(false) => Ok(()),
    }
}

fn check_stones(facts: &ProofFacts) -> Result<(), DocumentError> {
    if facts.stones.is_empty() || facts.stones.len() > MOST_STONES {
        return Err(DocumentError::StoneCount { count: facts.stones.len() });
    }
    for (place, stone) in facts.stones.iter().enumerate() {
        let number = stone.number;
        if facts.stones.iter().take(place).any(|earlier| earlier.number == number) {
            return Err(DocumentError::StoneTwice { number });
        }
        if !stone.outline.as_ref().is_none_or(fits) {
            return Err(DocumentError::Outline { number });
        }
        if !stone.colour.is_empty() && !is_colour(&stone.colour) {
            return Err(DocumentError::Colour { number, colour: stone.colour.clone() });
        }
    }
    Ok(())
}

fn fits(outline: &Outline) -> bool {
    outline.extents_mm().is_some_and(|(across_mm, down_mm)| across_mm.max(down_mm) <= LARGEST_OUTLINE_MM)
}

fn is_colour(text: &str) -> bool {
    text.len() == 7
        && text.strip_prefix('#').is_some_and(|digits| digits.bytes().all(|byte| byte.is_ascii_hexdigit()))
}

/// Whether a JPEG carries an Exif, XMP or IPTC block (APP1 or APP13), or `None` where it is no
/// JPEG. Walks the marker segments up to the first scan (ISO/IEC 10918-1, Annex B).
fn carries_metadata(jpeg: &[u8]) -> Option<bool> {
    let mut rest = jpeg.strip_prefix(&[0xFF, 0xD8])?;
    loop {
        let (&[lead, marker, high, low], after) = rest.split_first_chunk::<4>()?;
        match (lead, marker) {
            (0xFF, 0xE1 | 0xED) => return Some(true),
            (0xFF, 0xDA) => return Some(false),
            (0xFF, 0xC0..=0xFE) => {
                // The length counts its own two bytes, which are already behind us.
                let length = usize::from(u16::from_be_bytes([high, low])).checked_sub(2)?;
                rest = after.get(length..)?;
            }
            _ => return None,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Start of image, one segment of the marker given, start of scan.
    fn jpeg_with(marker: u8) -> Vec<u8> {
        vec![0xFF, 0xD8, 0xFF, marker, 0, 4, 1, 2, 0xFF, 0xDA, 0, 2]
    }

    #[test]
    fn metadata_is_found_by_its_marker_and_not_by_its_letters() {
        assert_eq!(carries_metadata(&jpeg_with(0xE0)), Some(false));
        assert_eq!(carries_metadata(&jpeg_with(0xE1)), Some(true));
        assert_eq!(carries_metadata(&jpeg_with(0xED)), Some(true));
    }

    #[test]
    fn what_is_no_jpeg_or_breaks_off_is_not_taken() {
        assert_eq!(carries_metadata(b"\x89PNG\r\n\x1a\n"), None);
        assert_eq!(carries_metadata(&[]), None);
        let whole = jpeg_with(0xE0);
        for end in 0..whole.len() {
            assert_eq!(carries_metadata(&whole[..end]), None, "cut after {end} bytes");
        }
        assert_eq!(carries_metadata(&[0xFF, 0xD8, 0xFF, 0xE0, 0, 1, 0, 0]), None, "a length below two");
    }
}
