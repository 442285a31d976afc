//! Looking for words in files: as they are, or as a document writes them, and never as a part of longer words.

/// The ways some words may stand in a file: as they are, and as a document writes them between quotation marks.
pub(crate) fn spellings(word: &str) -> Vec<Vec<u8>> {
    let mut all = vec![word.as_bytes().to_vec()];
    if let Ok(written) = ron::to_string(word) {
        let inner = written.strip_prefix('"').and_then(|rest| rest.strip_suffix('"'));
        let inner = inner.unwrap_or(&written).as_bytes().to_vec();
        if !all.contains(&inner) {
            all.push(inner);
        }
    }
    all
}

/// Whether a word stands in a file by itself: "Ann Lee" does in "Ann Lee-Smith" and does not in "Ann Leeson".
pub(crate) fn holds(bytes: &[u8], word: &[u8]) -> bool {
    let Some(&first) = word.first() else { return false };
    let mut from = 0;
    while let Some(found) = bytes.get(from..).and_then(|rest| rest.iter().position(|&byte| byte == first)) {
        let (before, behind) = (from + found, from + found + word.len());
        from = before + 1;
        if bytes.get(before..behind) != Some(word) {
            continue;
        }
        let begins = !is_of_a_word(first_char(word)) || is_edge(bytes.get(..before).unwrap_or_default());
        let ends = !is_of_a_word(last_char(word))
            || !is_of_a_word(first_char(bytes.get(behind..).unwrap_or_default()));
        if begins && ends {
            return true;
        }
    }
    false
}

fn is_of_a_word(char: Option<char>) -> bool {
    char.is_some_and(char::is_alphanumeric)
}

/// Whether a word may begin behind this text. A document writes the end of a line as a stroke and a letter, and that
/// letter is no part of the word behind it.
fn is_edge(text: &[u8]) -> bool {
    let Some(last) = last_char(text).filter(|last| last.is_alphanumeric()) else { return true };
    let strokes = text.iter().rev().skip(last.len_utf8()).take_while(|byte| **byte == b'\\').count();
    matches!(last, 'n' | 'r' | 't' | '0') && strokes % 2 == 1
}

/// The first letter of some bytes; none where they begin with what is no text.
fn first_char(bytes: &[u8]) -> Option<char> {
    (1..=4).find_map(|len| std::str::from_utf8(bytes.get(..len)?).ok()?.chars().next())
}

/// The last letter of some bytes; none where they end with what is no text.
fn last_char(bytes: &[u8]) -> Option<char> {
    let last = |len: usize| std::str::from_utf8(bytes.get(bytes.len().checked_sub(len)?..)?).ok();
    (1..=4).find_map(|len| last(len)?.chars().next())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn stands(word: &str, text: &str) -> bool {
        spellings(word).iter().any(|spelled| holds(text.as_bytes(), spelled))
    }

    #[test]
    fn words_are_found_as_they_are_and_as_a_document_writes_them() {
        let spelled = spellings("the \"small\" one");
        assert_eq!(spelled.len(), 2);
        assert!(holds(b"note: \"the \\\"small\\\" one\"", &spelled[1]));
        assert_eq!(spellings("\"small\"")[1], b"\\\"small\\\"");
        assert!(holds(b"aab ab", b"ab") && !holds(b"aac", b"ab") && !holds(b"", b"a") && !holds(b"a", b""));
    }

    #[test]
    fn a_name_is_not_found_in_a_longer_one() {
        assert!(!stands("Ann Lee", "name: \"Ann Leeson\""));
        assert!(!stands("Ann Lee", "name: \"Joann Lee\"") && !stands("ann Lee", "Joann Lee"));
        for text in ["Ann Lee-Smith", "Ann Lee\"", "\"Ann Lee", "Ann Lee", "Ann Leeson and Ann Lee."] {
            assert!(stands("Ann Lee", text), "{text}");
        }
        assert!(!stands("Bo", "Bob") && !stands("Bo", "Rambo Bob") && stands("Bo", "Bob, and Bo"));
    }

    #[test]
    fn letters_of_every_alphabet_belong_to_a_word_and_what_is_no_text_does_not() {
        assert!(!stands("Ren", "Ren\u{e9}") && !stands("milie", "\u{c9}milie"));
        assert!(!stands("\u{c9}m", "\u{c9}milie") && stands("\u{c9}milie", "(\u{c9}milie)"));
        assert!(holds(b"\xff\xfeAnn Lee\xff", b"Ann Lee"));
    }

    #[test]
    fn the_end_of_a_line_in_a_document_is_an_edge_and_a_stroke_that_is_written_is_none() {
        let written = ron::to_string("3 Quay\nAnn Lee\t\"Ann Lee\"").unwrap();
        assert!(written.contains("\\nAnn"), "{written}");
        assert!(holds(written.as_bytes(), b"Ann Lee"));
        assert!(stands("Ann Lee", "\\nAnn Lee\\n") && stands("Ann Lee", "\\\\\\nAnn Lee"));
        // Two strokes stand for one that was written, so the letter behind them is of the word.
        assert!(!stands("Ann Lee", "\\\\nAnn Lee") && !stands("Ann Lee", "nAnn Lee"));
    }
}
