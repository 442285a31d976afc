//! SHA-256 digests (FIPS 180-4), written as 64 hexadecimal digits.

use std::fmt;
use std::str::FromStr;

use crate::written::written_as_text;

use sha2::{Digest as _, Sha256};

/// The digest of some bytes.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Digest(pub [u8; 32]);

impl Digest {
    /// The digest of `bytes`.
    pub fn of(bytes: &[u8]) -> Self {
        Self(Sha256::digest(bytes).into())
    }

    /// The digest of `first`, and that of `first` and `rest` as one, in one pass over the bytes.
    pub fn of_both(first: &[u8], rest: &[u8]) -> (Self, Self) {
        let so_far = Sha256::new().chain_update(first);
        let all = so_far.clone().chain_update(rest);
        (Self(so_far.finalize().into()), Self(all.finalize().into()))
    }

    /// The digest of this one followed by `line`: one link of a chain.
    #[must_use]
    pub fn then(&self, line: &str) -> Self {
        Self(Sha256::new().chain_update(self.0).chain_update(line.as_bytes()).finalize().into())
    }

    /// The first eight digits in two groups, for people.
    pub fn short(&self) -> String {
        let [a, b, c, d, ..] = self.0;
        format!("{a:02x}{b:02x} {c:02x}{d:02x}")
    }
}

impl fmt::Display for Digest {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.iter().try_for_each(|byte| write!(f, "{byte:02x}"))
    }
}

impl fmt::Debug for Digest {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(self, f)
    }
}

impl FromStr for Digest {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        let wrong = || format!("\"{text}\" is not a digest of 64 lower-case hexadecimal digits");
        if text.len() != 64 || !text.bytes().all(|b| matches!(b, b'0'..=b'9' | b'a'..=b'f')) {
            return Err(wrong());
        }
        let mut bytes = [0_u8; 32];
        for (byte, pair) in bytes.iter_mut().zip(text.as_bytes().chunks_exact(2)) {
            let pair = std::str::from_utf8(pair).ok().ok_or_else(wrong)?;
            *byte = u8::from_str_radix(pair, 16).ok().ok_or_else(wrong)?;
        }
        Ok(Self(bytes))
    }
}

written_as_text!(Digest);

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_standard_messages_have_the_standard_digests() {
        // NIST FIPS 180-4 example messages: empty, one block, two blocks, a million letters.
        let known = [
            (String::new(), "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855"),
            ("abc".to_owned(), "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"),
            (
                "abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq".to_owned(),
                "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1",
            ),
            ("a".repeat(1_000_000), "cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0"),
        ];
        for (message, digest) in known {
            assert_eq!(Digest::of(message.as_bytes()).to_string(), digest);
            let (first, rest) = message.as_bytes().split_at(message.len() / 3);
            let (of_first, of_all) = Digest::of_both(first, rest);
            assert_eq!((of_first, of_all.to_string().as_str()), (Digest::of(first), digest));
        }
    }

    #[test]
    fn a_chain_of_lines_gives_the_values_an_independent_program_gave() {
        // Computed with Python's hashlib: h(i) = SHA-256(h(i-1) || line), h(0) = 32 zero bytes.
        let lines = [
            (
                "1|2026-01-05T09:00:00Z|received|P-0001|482",
                "0f4e2a545e4c6e424b2db8b7cb5ada6357620705991e1ecea15bd4dbf45e8b7c",
            ),
            (
                "2|2026-01-05T09:10:00Z|opened|P-0001|",
                "dfda5528f3907422062b5ceb53aa120458a34a7391a28ebf6df8913556ed0637",
            ),
            (
                "3|2026-01-05T09:40:00Z|sealed|P-0001|451",
                "dd8667685fc61a89c32c353c81930a7b46dcd25fac1491ae55bd6a2191c6caab",
            ),
        ];
        let mut head = Digest::default();
        for (line, digest) in lines {
            head = head.then(line);
            assert_eq!(head.to_string(), digest);
        }
    }

    #[test]
    fn only_the_one_way_of_writing_a_digest_is_read() {
        let digest = Digest::of(b"abc");
        assert_eq!(digest.to_string().parse(), Ok(digest));
        assert!(digest.to_string().to_uppercase().parse::<Digest>().is_err());
        assert!("ba78".parse::<Digest>().is_err());
    }

    #[test]
    fn people_see_its_first_eight_digits_and_developers_all_of_it() {
        let digest = Digest::of(b"abc");
        assert_eq!(digest.short(), "ba78 16bf");
        assert_eq!(format!("{digest:?}"), digest.to_string());
    }
}
