//! Comparing words as a person does: large and small letters and accents do not matter.

use unicode_normalization::UnicodeNormalization as _;
use unicode_normalization::char::is_combining_mark;

/// The words in small letters without accents, for comparing only.
pub fn folded(words: &str) -> String {
    let mut folded = String::with_capacity(words.len());
    for letter in words.nfkd().filter(|letter| !is_combining_mark(*letter)).flat_map(char::to_lowercase) {
        // Letters that do not come apart into a plain one and an accent.
        match letter {
            'ß' => folded.push_str("ss"),
            'æ' => folded.push_str("ae"),
            'œ' => folded.push_str("oe"),
            'ø' => folded.push('o'),
            'ł' => folded.push('l'),
            'đ' | 'ð' => folded.push('d'),
            'þ' => folded.push_str("th"),
            'ı' => folded.push('i'),
            '\u{2019}' => folded.push('\''),
            other => folded.push(other),
        }
    }
    folded
}

/// True where `wanted` stands in `text` as whole words, whatever the letters' size and accents and the space
/// between the words. Nothing wanted is nowhere.
pub fn says(text: &str, wanted: &str) -> bool {
    let pieces = |words: &str| -> Vec<String> {
        folded(words)
            .split(|letter: char| !letter.is_alphanumeric() && letter != '\'')
            .map(|word| word.trim_matches('\'').to_owned())
            .filter(|word| !word.is_empty())
            .collect()
    };
    let (text, wanted) = (pieces(text), pieces(wanted));
    !wanted.is_empty() && text.windows(wanted.len()).any(|run| run == wanted)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn size_and_accents_do_not_matter() {
        assert_eq!(folded("Zoë Łukasz Åse Straße"), "zoe lukasz ase strasse");
        assert_eq!(folded("Zoe\u{308}"), folded("ZOË"));
    }

    #[test]
    fn words_are_found_whole_and_across_line_ends() {
        assert!(says("She crossed the Rainbow\nBridge.", "rainbow bridge"));
        assert!(!says("The deadline is near", "dead"), "part of a word is not the word");
        assert!(
            says("It has passed, away it goes", "passed away"),
            "marks between the words do not hide them"
        );
        assert!(!says("anything", ""));
    }
}
