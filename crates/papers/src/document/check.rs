//! What must be right before a paper is set: told in the maker's words, not the engine's.

use super::{Assets, DocumentError, Sheet};
use crate::facts::{LARGEST_OUTLINE_MM, Outline, Paper, Photo, ProofFacts};
use crate::photo;

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

fn check_photo(asked: &Photo, assets: &Assets) -> Result<(), DocumentError> {
    let name = asked.name.clone();
    if asked.alt.trim().is_empty() {
        return Err(DocumentError::PhotoWords { name });
    }
    let Some(bytes) = assets.photos.get(&asked.name) else {
        return Err(DocumentError::PhotoMissing { name });
    };
    match photo::recognise(bytes) {
        Ok(photo::Kind::Jpeg) if photo::is_bare_jpeg(bytes) => Ok(()),
        Ok(photo::Kind::Jpeg) => Err(DocumentError::PhotoTells { name }),
        Ok(photo::Kind::Png) | Err(_) => Err(DocumentError::PhotoUnreadable { name }),
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

#[cfg(test)]
mod tests {
    use std::collections::BTreeMap;

    use super::*;
    use crate::photo::sample::{SampleStone, stone_picture};

    fn checked(bytes: &[u8]) -> Result<(), DocumentError> {
        let assets = Assets { photos: BTreeMap::from([("p".to_owned(), bytes.into())]), ..Assets::default() };
        check_photo(&Photo { name: "p".to_owned(), alt: "a stone".to_owned() }, &assets)
    }

    #[test]
    fn a_photo_with_any_notes_at_all_is_refused_and_a_bare_one_is_taken() {
        let picture = stone_picture(&SampleStone::default(), 32, 24).unwrap();
        let bare = photo::for_paper(&picture, 32).unwrap();
        assert_eq!(checked(&bare), Ok(()));
        // Exif or XMP, colour profiles, IPTC and a comment (ITU-T T.81, 1992, table B.1).
        for marker in [0xE1, 0xE2, 0xED, 0xFE] {
            let mut telling = bare[..2].to_vec();
            telling.extend([0xFF, marker, 0, 4, 1, 2]);
            telling.extend(&bare[2..]);
            assert_eq!(
                checked(&telling),
                Err(DocumentError::PhotoTells { name: "p".to_owned() }),
                "{marker:#x}"
            );
        }
        let trailing = [bare.as_slice(), b"51.5 N"].concat();
        assert_eq!(checked(&trailing), Err(DocumentError::PhotoTells { name: "p".to_owned() }));
    }

    #[test]
    fn what_is_no_jpeg_or_breaks_off_is_not_taken() {
        let picture = stone_picture(&SampleStone::default(), 32, 24).unwrap();
        let bare = photo::for_paper(&picture, 32).unwrap();
        for broken in [b"\x89PNG\r\n\x1a\n".as_slice(), &[], &bare[..bare.len() - 2], &bare[..9]] {
            let refused = checked(broken);
            assert_eq!(
                refused,
                Err(DocumentError::PhotoUnreadable { name: "p".to_owned() }),
                "{}",
                broken.len()
            );
        }
    }
}
