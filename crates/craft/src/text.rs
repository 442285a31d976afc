//! The client's and the maker's words, cleaned once where they come in.

use std::fmt;
use std::str::FromStr;

use serde::de::Error as _;
use serde::{Deserialize, Deserializer, Serialize, Serializer};
use unicode_normalization::UnicodeNormalization as _;

/// Why some words cannot be kept.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum TextError {
    /// Too many characters.
    #[error("that is {length} characters long; at most {most} fit here")]
    TooLong {
        /// How many there are.
        length: usize,
        /// How many fit.
        most: usize,
    },
    /// A control or direction-changing character.
    #[error(
        "there is an invisible control character (U+{code:04X}) in \"{text}\"; type it again instead of pasting it"
    )]
    Control {
        /// The words, made visible.
        text: String,
        /// The character's code.
        code: u32,
    },
}

/// Characters that could make words read other than they are stored.
fn is_hidden(character: char) -> bool {
    character.is_control()
        || matches!(character, '\u{200E}' | '\u{200F}' | '\u{202A}'..='\u{202E}' | '\u{2066}'..='\u{2069}')
}

fn clean(text: &str, most: usize, lines: bool) -> Result<String, TextError> {
    let text: String = text.replace("\r\n", "\n").nfc().collect();
    let text = text.trim();
    let length = text.chars().count();
    if length > most {
        return Err(TextError::TooLong { length, most });
    }
    match text.chars().find(|&c| is_hidden(c) && !(lines && c == '\n')) {
        Some(hidden) => {
            Err(TextError::Control { text: text.escape_debug().to_string(), code: u32::from(hidden) })
        }
        None => Ok(text.to_owned()),
    }
}

macro_rules! words {
    ($(#[$doc:meta])* $name:ident, $most:literal, $lines:literal) => {
        $(#[$doc])*
        #[derive(Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
        pub struct $name(String);

        impl $name {
            /// The most characters it can hold.
            pub const MOST: usize = $most;

            /// The words.
            pub fn as_str(&self) -> &str {
                &self.0
            }

            /// True where nothing was written.
            pub fn is_empty(&self) -> bool {
                self.0.is_empty()
            }
        }

        impl FromStr for $name {
            type Err = TextError;

            /// Trims and composes (NFC) the words; refuses invisible control characters.
            fn from_str(text: &str) -> Result<Self, TextError> {
                clean(text, $most, $lines).map(Self)
            }
        }

        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.pad(&self.0)
            }
        }

        impl fmt::Debug for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                fmt::Debug::fmt(&self.0, f)
            }
        }

        impl Serialize for $name {
            fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
                serializer.serialize_str(&self.0)
            }
        }

        impl<'de> Deserialize<'de> for $name {
            fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
                let text = std::borrow::Cow::<'de, str>::deserialize(deserializer)?;
                let words: Self = text.parse().map_err(D::Error::custom)?;
                if words.0 != *text {
                    return Err(D::Error::custom(format!("write \"{}\" without spaces around it", words.0)));
                }
                Ok(words)
            }
        }
    };
}

words!(
    /// One line of words: a name, a carrier, a tracking number.
    Line, 200, false
);
words!(
    /// Words over several lines: a wish, a note, an address.
    Text, 4_000, true
);

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_are_trimmed_and_composed() {
        assert_eq!(" Zoe\u{308} ".parse::<Line>().unwrap().as_str(), "Zo\u{eb}");
        assert_eq!("a\r\nb".parse::<Text>().unwrap().as_str(), "a\nb");
        assert!("a\nb".parse::<Line>().is_err());
    }

    #[test]
    fn a_hidden_direction_change_is_refused() {
        let said = "Ada\u{202e}".parse::<Line>().unwrap_err().to_string();
        assert!(said.contains("U+202E"), "{said}");
    }

    #[test]
    fn too_many_words_say_how_many_fit() {
        let said = "x".repeat(201).parse::<Line>().unwrap_err().to_string();
        assert_eq!(said, "that is 201 characters long; at most 200 fit here");
    }
}
