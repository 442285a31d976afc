//! Finds numbers without end ("NaN", "inf", `1e999`) in the text of a document.
//!
//! The reader lets them pass in silence, and no quantity on a bench is one.

/// Line and letter, both from 1, of the byte at `at`.
pub(crate) fn line_and_column(text: &str, at: usize) -> (usize, usize) {
    let before = text.get(..at).unwrap_or(text);
    let line_start = before.rfind('\n').map_or(0, |end| end + 1);
    let column = before.get(line_start..).map_or(0, |line| line.chars().count());
    (before.bytes().filter(|&b| b == b'\n').count() + 1, column + 1)
}

/// Where the first number that is not finite stands. The text must be well-formed; words inside texts and
/// comments do not count.
pub(crate) fn first_endless(text: &str) -> Option<(usize, usize)> {
    let mut at = 0;
    loop {
        // Most of a document is spaces and brackets, and nothing begins there.
        at += text.as_bytes().get(at..)?.iter().position(|&byte| !is_between(byte))?;
        let rest = text.get(at..)?;
        let step = skip_quoted(rest).unwrap_or_else(|| word_length(rest));
        if step == 0 {
            at += rest.chars().next().map_or(1, char::len_utf8);
            continue;
        }
        let word = rest.get(..step).unwrap_or_default();
        if is_endless(word) && !names_a_field(text.get(at + step..).unwrap_or_default()) {
            return Some(line_and_column(text, at));
        }
        at += step;
    }
}

/// Spaces and brackets, looked up: this is asked of every byte of every document.
fn is_between(byte: u8) -> bool {
    const BETWEEN: [bool; 256] = looked_up(b" \t\n\r\x0c()[]{},:");
    BETWEEN.get(usize::from(byte)).copied().unwrap_or_default()
}

/// Letters, digits and signs of which words and numbers are made.
fn is_plain(byte: u8) -> bool {
    const PLAIN: [bool; 256] =
        looked_up(b"0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz_.+-");
    PLAIN.get(usize::from(byte)).copied().unwrap_or_default()
}

#[expect(
    clippy::indexing_slicing,
    reason = "it runs while the program is built: an index too far fails the build"
)]
const fn looked_up(bytes: &[u8]) -> [bool; 256] {
    let mut table = [false; 256];
    let mut i = 0;
    while i < bytes.len() {
        table[bytes[i] as usize] = true;
        i += 1;
    }
    table
}

/// The length of the text, letter or comment that starts here, if one does.
fn skip_quoted(rest: &str) -> Option<usize> {
    let ended = |from: usize, end: &str| {
        let found = rest.get(from..).and_then(|tail| tail.find(end));
        found.map_or(rest.len(), |found| from + found + end.len())
    };
    // Raw texts and raw bytes: r"…", r#"…"#, br"…".
    let marked = matches!(rest.as_bytes(), [b'r' | b'b', ..])
        .then(|| ["r", "br"].into_iter().find_map(|mark| Some((mark, rest.strip_prefix(mark)?))))
        .flatten();
    if let Some((mark, tail)) = marked {
        let hashes = tail.bytes().take_while(|&b| b == b'#').count();
        if tail.as_bytes().get(hashes) == Some(&b'"') {
            return Some(ended(mark.len() + hashes + 1, &format!("\"{}", "#".repeat(hashes))));
        }
    }
    match rest.as_bytes() {
        [b'/', b'/', ..] => Some(ended(2, "\n")),
        [b'/', b'*', ..] => Some(block_comment(rest.as_bytes())),
        [quote @ (b'"' | b'\''), ..] => Some(escaped(rest.as_bytes(), *quote)),
        _ => None,
    }
}

/// The length of a quoted text in which a backslash shields the next byte.
fn escaped(bytes: &[u8], quote: u8) -> usize {
    let mut shielded = false;
    for (i, &byte) in bytes.iter().enumerate().skip(1) {
        match byte {
            _ if shielded => shielded = false,
            b'\\' => shielded = true,
            _ if byte == quote => return i + 1,
            _ => {}
        }
    }
    bytes.len()
}

/// The length of a comment in which comments may be nested.
fn block_comment(bytes: &[u8]) -> usize {
    let (mut depth, mut i) = (0_usize, 0);
    loop {
        match bytes.get(i..i + 2) {
            Some(b"/*") => (depth, i) = (depth + 1, i + 2),
            Some(b"*/") => (depth, i) = (depth - 1, i + 2),
            Some(_) => i += 1,
            None => return bytes.len(),
        }
        if depth == 0 {
            return i;
        }
    }
}

/// The length of the number or word that starts here.
fn word_length(rest: &str) -> usize {
    // Nearly every word is plain letters; where it may go on in others, letters are looked at one by one.
    let ascii = rest.as_bytes().iter().position(|&byte| !is_plain(byte)).unwrap_or(rest.len());
    if rest.as_bytes().get(ascii).is_none_or(u8::is_ascii) {
        return ascii;
    }
    let in_word = |c: char| c.is_alphanumeric() || matches!(c, '_' | '.' | '+' | '-');
    rest.find(|c| !in_word(c)).unwrap_or(rest.len())
}

/// Whether a word is a number without end.
fn is_endless(word: &str) -> bool {
    let bare = word.trim_start_matches(['+', '-']);
    // A name is no number, and a short number without an exponent is finite: nearly every word ends here.
    let may_be = match bare.as_bytes() {
        [b'i' | b'N', ..] => true,
        [b'0'..=b'9' | b'.', rest @ ..] => {
            rest.len() > 300 || rest.iter().any(|byte| matches!(byte, b'e' | b'E'))
        }
        _ => false,
    };
    if !may_be {
        return false;
    }
    let bare = bare.trim_end_matches("f32").trim_end_matches("f64");
    // The writer can mark a number with its type, such as `inff32`.
    match bare.trim_end_matches('_') {
        "inf" | "NaN" => true,
        number if number.starts_with(|c: char| c.is_ascii_digit() || c == '.') => {
            number.replace('_', "").parse::<f64>().is_ok_and(|value| !value.is_finite())
        }
        _ => false,
    }
}

/// Whether the word before `rest` is the name of a field.
fn names_a_field(rest: &str) -> bool {
    rest.trim_start().starts_with(':')
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_that_only_holds_such_a_word_is_none() {
        for text in ["(a: infinity)", "(a: nan)", "(a: öinf)", "(a: inf_)", "(a: .5)"] {
            let wanted = (text == "(a: inf_)").then_some((1, 5));
            assert_eq!(first_endless(text), wanted, "{text}");
        }
    }

    #[test]
    fn a_number_of_very_many_digits_is_endless_too() {
        let digits = "9".repeat(400);
        assert_eq!(first_endless(&format!("[1, {digits}]")), Some((1, 5)));
        assert_eq!(first_endless(&format!("[1, {}]", "9".repeat(200))), None);
    }

    #[test]
    fn endless_numbers_are_found_where_they_stand() {
        for (text, place) in [
            ("(a: NaN)", (1, 5)),
            ("(a: 1.0,\n b: [1, -inf])", (2, 9)),
            ("(ä: 1e400)", (1, 5)),
            ("(a: inff32)", (1, 5)),
            ("/* /* x */ */ NaN", (1, 15)),
            ("\"\\\"\" NaN", (1, 6)),
            ("r#\"\"# NaN", (1, 7)),
            ("'\"' NaN", (1, 5)),
            ("// x\nNaN", (2, 1)),
            ("(a: 1E999f64)", (1, 5)),
            ("#![enable(implicit_some)]\n[NaN]", (2, 2)),
            ("(r#\"xyz\"#, NaN)", (1, 12)),
            ("(r#\"#x\"#, NaN)", (1, 11)),
            ("(é: ö, a: +inf)", (1, 11)),
        ] {
            assert_eq!(first_endless(text), Some(place), "{text}");
        }
    }

    #[test]
    fn ordinary_numbers_texts_comments_and_field_names_pass() {
        for text in [
            "(a: 1.0, b: -3, c: 1e300, d: 0x1F, e: 1_000, f: .5)",
            "\"NaN\"",
            "\"\\\" NaN\"",
            "r#\"\" NaN\"#",
            "r\"NaN\\\"",
            "br#\"\\\" NaN\"#",
            "// NaN",
            "/* /* NaN */ NaN */",
            "(inf: 1, NaN : 2)",
            "(info: Nano)",
            "'\\'' 'N'",
            "",
            "ä",
        ] {
            assert_eq!(first_endless(text), None, "{text}");
        }
    }
}
