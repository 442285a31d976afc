//! The tag of an order: six characters that survive handwriting, a phone call and a tired evening.
//!
//! Five payload characters and one check character from an alphabet of 30 without 0/O, 1/I/L or U. The check is the
//! pure system MOD 31-3 in the manner of ISO/IEC 7064: 31 is prime and 3 generates its units, so **every** wrong
//! character, every swap of neighbours and every swap across one place is noticed, which the hybrid systems do not
//! manage. The one check value in 31 that has no character is never issued.

use std::fmt;
use std::str::FromStr;

use crate::check::pure_check;
use crate::written::written_as_text;

/// The characters of a tag, in order of value.
pub const ALPHABET: &str = "23456789ABCDEFGHJKMNPQRSTVWXYZ";
const PAYLOAD: usize = 5;
const LENGTH: usize = PAYLOAD + 1;
const MODULUS: u32 = 31;
const RADIX: u32 = 3;

/// An order's tag, written `A2B-C3H`.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Tag([u8; LENGTH]);

/// Why a text is not a tag.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum TagError {
    /// A wrong number of characters.
    #[error("\"{0}\" is not a tag; a tag has six characters, such as A2B-C3H")]
    Length(String),
    /// A character that no tag has.
    #[error(
        "\"{character}\" is never used in a tag; look again at \"{text}\" (0, 1, I, L, O and U are left out)"
    )]
    Character {
        /// The text that was read.
        text: String,
        /// What does not belong.
        character: char,
    },
    /// The check character does not fit the others.
    #[error(
        "the tag \"{0}\" has a slip in it: its last character does not fit the others; read it again from the packet"
    )]
    Slip(String),
}

fn value_of(character: u8) -> Option<u32> {
    ALPHABET.bytes().position(|known| known == character).and_then(|at| u32::try_from(at).ok())
}

fn character_of(value: u32) -> Option<u8> {
    usize::try_from(value).ok().and_then(|at| ALPHABET.as_bytes().get(at).copied())
}

impl Tag {
    /// How many tags could be numbered; not every number has a tag.
    pub const NUMBERS: u32 = 30u32.pow(5);

    /// The tag for a number below [`Tag::NUMBERS`]; `None` where the check would need the character that is not there.
    pub fn from_number(number: u32) -> Option<Tag> {
        let mut rest = number % Tag::NUMBERS;
        let mut values = [0_u32; PAYLOAD];
        for value in values.iter_mut().rev() {
            *value = rest % 30;
            rest /= 30;
        }
        let check = character_of(pure_check(values, MODULUS, RADIX))?;
        let mut characters = [check; LENGTH];
        for (place, value) in characters.iter_mut().zip(values) {
            *place = character_of(value)?;
        }
        Some(Tag(characters))
    }

    /// The six characters without the dash.
    pub fn plain(&self) -> String {
        self.0.iter().map(|&c| char::from(c)).collect()
    }
}

impl fmt::Display for Tag {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let plain = self.plain();
        let (front, back) = plain.split_at(LENGTH / 2);
        write!(f, "{front}-{back}")
    }
}

impl fmt::Debug for Tag {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(self, f)
    }
}

impl FromStr for Tag {
    type Err = TagError;

    /// Reads a tag as a hand writes or a scanner sends it: lower case, spaces and dashes do not matter.
    fn from_str(text: &str) -> Result<Self, TagError> {
        let kept: Vec<char> = text
            .chars()
            .filter(|c| !c.is_whitespace() && !matches!(c, '-' | '\u{2010}' | '\u{2011}' | '\u{2013}'))
            .collect();
        if kept.len() != LENGTH {
            return Err(TagError::Length(text.trim().to_owned()));
        }
        let mut characters = [0_u8; LENGTH];
        let mut values = [0_u32; LENGTH];
        for ((&character, place), value) in kept.iter().zip(&mut characters).zip(&mut values) {
            let unknown = || TagError::Character { text: text.trim().to_owned(), character };
            let byte = u8::try_from(character.to_ascii_uppercase()).ok().ok_or_else(unknown)?;
            *value = value_of(byte).ok_or_else(unknown)?;
            *place = byte;
        }
        let [payload @ .., check] = values;
        if pure_check(payload, MODULUS, RADIX) != check {
            return Err(TagError::Slip(text.trim().to_owned()));
        }
        Ok(Tag(characters))
    }
}

written_as_text!(Tag);

#[cfg(test)]
mod tests {
    use super::*;

    fn some_tags() -> impl Iterator<Item = Tag> {
        (0..200_u32).filter_map(|n| Tag::from_number(n.wrapping_mul(104_729) % Tag::NUMBERS))
    }

    #[test]
    fn a_tag_is_read_back_however_it_was_written() {
        for tag in some_tags() {
            assert_eq!(tag.to_string().parse::<Tag>(), Ok(tag));
            assert_eq!(tag.to_string().to_lowercase().replace('-', " ").parse::<Tag>(), Ok(tag));
        }
        assert!(some_tags().count() > 180, "about one number in 31 has no tag");
    }

    #[test]
    fn every_wrong_character_is_noticed() {
        for tag in some_tags().take(40) {
            let plain = tag.plain().into_bytes();
            for place in 0..LENGTH {
                for other in ALPHABET.bytes().filter(|&c| c != plain[place]) {
                    let mut wrong = plain.clone();
                    wrong[place] = other;
                    let wrong = String::from_utf8(wrong).unwrap();
                    assert!(matches!(wrong.parse::<Tag>(), Err(TagError::Slip(_))), "{wrong} for {tag}");
                }
            }
        }
    }

    #[test]
    fn every_swap_of_neighbours_and_across_one_place_is_noticed() {
        for tag in some_tags() {
            for (a, b) in (0..LENGTH - 1).map(|a| (a, a + 1)).chain((0..LENGTH - 2).map(|a| (a, a + 2))) {
                let mut swapped = tag.plain().into_bytes();
                swapped.swap(a, b);
                let swapped = String::from_utf8(swapped).unwrap();
                if swapped != tag.plain() {
                    assert!(swapped.parse::<Tag>().is_err(), "{swapped} for {tag}");
                }
            }
        }
    }

    #[test]
    fn a_plain_sum_would_miss_swaps() {
        let sum = |text: &str| text.bytes().filter_map(value_of).sum::<u32>() % MODULUS;
        assert_eq!(sum("A2BC3"), sum("2ABC3"), "the broken rule cannot tell these apart");
        assert_ne!(
            pure_check("A2BC3".bytes().filter_map(value_of), MODULUS, RADIX),
            pure_check("2ABC3".bytes().filter_map(value_of), MODULUS, RADIX)
        );
    }

    #[test]
    fn the_refusals_say_what_would_be_right() {
        let said = |text: &str| text.parse::<Tag>().unwrap_err().to_string();
        assert_eq!(said("A2B"), "\"A2B\" is not a tag; a tag has six characters, such as A2B-C3H");
        assert!(said("A0B-C3H").starts_with("\"0\" is never used in a tag"));
        assert!(said("A2BC39").contains("has a slip in it"));
        assert!("A2B-C3H".parse::<Tag>().is_ok(), "the example in the sentence is itself a tag");
    }
}
