//! The SHA-256 fingerprint of some bytes.

use std::fmt;
use std::str::FromStr;

use sha2::{Digest as _, Sha256};

/// A SHA-256 fingerprint (FIPS 180-4); shown and read as 64 lower-case hexadecimal digits.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Hash(pub [u8; 32]);

/// The text is not 64 lower-case hexadecimal digits.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("\"{0}\" is not a fingerprint; one is 64 digits from 0-9 and a-f")]
pub struct NotAHash(pub String);

impl Hash {
    /// The fingerprint of `bytes`.
    pub fn of(bytes: &[u8]) -> Self {
        Self(Sha256::digest(bytes).into())
    }
}

impl fmt::Display for Hash {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.iter().try_for_each(|byte| write!(f, "{byte:02x}"))
    }
}

impl fmt::Debug for Hash {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "Hash({self})")
    }
}

impl FromStr for Hash {
    type Err = NotAHash;

    fn from_str(text: &str) -> Result<Self, NotAHash> {
        let wrong = || NotAHash(text.to_owned());
        if text.len() != 64 {
            return Err(wrong());
        }
        let mut bytes = [0; 32];
        for (byte, pair) in bytes.iter_mut().zip(text.as_bytes().chunks_exact(2)) {
            let &[high, low] = pair else { return Err(wrong()) };
            *byte = 16 * digit(high).ok_or_else(wrong)? + digit(low).ok_or_else(wrong)?;
        }
        Ok(Self(bytes))
    }
}

/// The value of one lower-case hexadecimal digit.
fn digit(letter: u8) -> Option<u8> {
    match letter {
        b'0'..=b'9' => Some(letter - b'0'),
        b'a'..=b'f' => Some(letter - b'a' + 10),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The one-block message "abc" of the SHA-256 examples published with NIST FIPS 180 (example values file
    /// "SHA256.pdf", NIST Computer Security Resource Center).
    const ABC: &str = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad";

    #[test]
    fn the_fingerprint_of_abc_is_the_published_one() {
        assert_eq!(Hash::of(b"abc").to_string(), ABC);
        assert_ne!(Hash::of(b"abd").to_string(), ABC);
    }

    #[test]
    fn a_fingerprint_reads_back_from_its_text_and_nothing_else_does() {
        assert_eq!(ABC.parse::<Hash>(), Ok(Hash::of(b"abc")));
        for wrong in
            ["", "ba78", &ABC.to_uppercase(), &ABC.replace('b', "g"), &format!("{ABC}0"), &"é".repeat(32)]
        {
            assert!(wrong.parse::<Hash>().is_err(), "{wrong:?}");
        }
    }
}
