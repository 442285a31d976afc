//! The text of a document: readable RON, version and kind first, then the body.
//!
//! ```text
//! (
//!     version: 1,
//!     kind: "order",
//!     body: (…),
//! )
//! // sum 3a7bd3e2…
//! ```
//!
//! The last line, a comment, is the fingerprint of everything above it: so a letter that was changed since is told of,
//! whatever it was. A file without it is read all the same.

use std::fmt;

use ron::Error as RonError;
use ron::error::{Position, SpannedError};
use ron::ser::PrettyConfig;
use serde::de::DeserializeOwned;
use serde::{Deserialize, Serialize};

use crate::finite;
use crate::name::DocKind;
use craft::digest::Digest;

/// The largest document that is read or written, in bytes.
pub const CAP: u64 = 8 * 1024 * 1024;

/// What the last line begins with.
const SUM: &str = "// sum ";

/// How deep in brackets things still get lines of their own: each field of a record's entry, and what it holds stands on
/// that line. Half of a file would be the spaces before its words otherwise.
const LINES_TO: usize = 4;

/// The version of each kind's format that this program writes.
pub const fn version(kind: DocKind) -> u32 {
    match kind {
        DocKind::Studio | DocKind::Shelf | DocKind::Client | DocKind::Order | DocKind::Money => 1,
    }
}

/// Where and why a document's text cannot be read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Broken {
    /// The line, from 1.
    pub line: usize,
    /// The letter in that line, from 1.
    pub column: usize,
    /// What is wrong and what would be right.
    pub message: String,
}

impl fmt::Display for Broken {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "line {}, column {}: {}", self.line, self.column, self.message)
    }
}

impl Broken {
    /// Something is wrong with the file as a whole.
    pub(crate) fn whole(message: impl Into<String>) -> Self {
        Self { line: 1, column: 1, message: message.into() }
    }

    fn from_ron(error: &SpannedError) -> Self {
        let Position { line, col } = error.span.start;
        Self { line, column: col, message: sentence(&error.code) }
    }
}

/// What the bytes of a document turned out to be.
#[derive(Debug, Clone, PartialEq)]
pub enum Decoded<T> {
    /// The document.
    Whole(T),
    /// The file was made by a newer version of the program, which is given; it must not be written over.
    Newer(u32),
    /// The file cannot be understood.
    Broken(Broken),
}

/// Why a document cannot be turned into text that reads back as itself.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum EncodeError {
    /// The writer gave up.
    #[error("it cannot be written as text: {0}")]
    Unwritable(String),
    /// What would be written cannot be read again.
    #[error("what would be written cannot be read again ({0})")]
    Unreadable(Broken),
    /// What would be written reads back as something else.
    #[error("what would be written reads back as something else")]
    Altered,
    /// It is larger than [`CAP`].
    #[error("it is {0} bytes long, and at most {CAP} can be kept in one file")]
    TooLarge(usize),
}

#[derive(Serialize)]
struct Outgoing<'a, T> {
    version: u32,
    kind: &'static str,
    body: &'a T,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Incoming<T> {
    version: u32,
    kind: String,
    body: T,
}

/// What can be told of a file whose body is not understood. Unknown fields are let pass here on purpose.
#[derive(Deserialize)]
struct Head {
    version: u32,
    kind: String,
}

/// The bytes to keep for `doc`, proven to read back as an equal document.
///
/// # Errors
/// The text would be too large, unreadable or unequal, for instance because a number in it is not finite.
pub fn encode<T>(kind: DocKind, doc: &T) -> Result<Vec<u8>, EncodeError>
where
    T: Serialize + DeserializeOwned + PartialEq,
{
    let outgoing = Outgoing { version: version(kind), kind: kind.word(), body: doc };
    let pretty = PrettyConfig::new().new_line("\n").depth_limit(LINES_TO);
    let mut text = ron::ser::to_string_pretty(&outgoing, pretty)
        .map_err(|error| EncodeError::Unwritable(sentence(&error)))?;
    text.push('\n');
    let text = with_sum(text);
    if text.len() as u64 > CAP {
        return Err(EncodeError::TooLarge(text.len()));
    }
    match decode::<T>(kind, text.as_bytes()) {
        Decoded::Whole(back) if back == *doc => Ok(text.into_bytes()),
        Decoded::Whole(_) | Decoded::Newer(_) => Err(EncodeError::Altered),
        Decoded::Broken(broken) => Err(EncodeError::Unreadable(broken)),
    }
}

/// Reads the bytes of a document of this `kind`. One byte order mark, which some editors add, is let pass.
pub fn decode<T: DeserializeOwned>(kind: DocKind, bytes: &[u8]) -> Decoded<T> {
    if bytes.len() as u64 > CAP {
        return Decoded::Broken(oversized());
    }
    let bytes = bytes.strip_prefix("\u{feff}".as_bytes()).unwrap_or(bytes);
    let text = match std::str::from_utf8(bytes) {
        Ok(text) => text,
        Err(error) => return Decoded::Broken(not_text(bytes, error.valid_up_to())),
    };
    if text.trim().is_empty() {
        return Decoded::Broken(Broken::whole("the file is empty; put a copy of it back"));
    }
    // The head decides; it is asked on its own only where the whole does not read, which spares every good
    // file a second reading.
    let (head, body) = match ron::from_str::<Incoming<T>>(text) {
        Ok(Incoming { version, kind, body }) => (Some(Head { version, kind }), Ok(body)),
        Err(error) => (ron::from_str::<Head>(text).ok(), Err(error)),
    };
    if let Some(head) = head {
        if head.kind != kind.word() {
            return Decoded::Broken(wrong_kind(kind, &head.kind));
        }
        if head.version > version(kind) {
            return Decoded::Newer(head.version);
        }
        if head.version < version(kind) {
            return Decoded::Broken(Broken::whole(format!("there never was a version {}", head.version)));
        }
    }
    match (body, finite::first_endless(text)) {
        (Err(error), _) => Decoded::Broken(Broken::from_ron(&error)),
        (Ok(_), Some((line, column))) => {
            let message = "this number is not finite; write an ordinary number".to_owned();
            Decoded::Broken(Broken { line, column, message })
        }
        (Ok(body), None) => Decoded::Whole(body),
    }
}

/// Whether a file is as it was saved.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Since {
    /// Not a letter was changed.
    AsSaved,
    /// Something in it was changed, by hand or by a failing disk.
    Changed,
    /// It bears no sum: someone took that line away, or wrote the file by hand.
    Unknown,
}

/// A document's text with the sum of it in its last line, in place of any that was there.
pub fn with_sum(mut text: String) -> String {
    let start = text.strip_suffix('\n').unwrap_or(&text).rfind('\n').map_or(0, |end| end + 1);
    if text.get(start..).is_some_and(|last| last.starts_with(SUM)) {
        text.truncate(start);
    }
    let sum = Digest::of(text.as_bytes());
    text.push_str(SUM);
    text.push_str(&sum.to_string());
    text.push('\n');
    text
}

/// Compares a file with the sum in its last line. One byte order mark is let pass, as in reading.
pub fn since_saved(bytes: &[u8]) -> Since {
    fingerprint(bytes).1
}

/// The fingerprint of a whole file, and whether it is as it was saved.
pub(crate) fn fingerprint(bytes: &[u8]) -> (Digest, Since) {
    let lines = bytes.strip_suffix(b"\n").unwrap_or(bytes);
    let start = lines.iter().rposition(|&byte| byte == b'\n').map_or(0, |end| end + 1);
    let last = lines.get(start..).unwrap_or_default().strip_prefix(SUM.as_bytes());
    let Some(sum) = last else { return (Digest::of(bytes), Since::Unknown) };
    let sum = std::str::from_utf8(sum).ok().and_then(|sum| sum.parse::<Digest>().ok());
    let (above, rest) = bytes.split_at(start);
    let (summed, whole) = match above.strip_prefix("\u{feff}".as_bytes()) {
        // The sum was taken without the mark.
        Some(bare) => (Digest::of(bare), Digest::of(bytes)),
        None => Digest::of_both(above, rest),
    };
    (whole, if sum == Some(summed) { Since::AsSaved } else { Since::Changed })
}

/// The finding for a file of more than [`CAP`] bytes.
pub(crate) fn oversized() -> Broken {
    Broken::whole(format!("the file is larger than {CAP} bytes, so it was not written by this program"))
}

fn wrong_kind(wanted: DocKind, found: &str) -> Broken {
    Broken::whole(format!(
        "this file says its kind is \"{found}\", but \"{}\" belongs here; put it back in its own folder",
        wanted.word()
    ))
}

/// The place of the first byte that is not text.
fn not_text(bytes: &[u8], valid: usize) -> Broken {
    let good = String::from_utf8_lossy(bytes.get(..valid).unwrap_or_default()).into_owned();
    let (line, column) = finite::line_and_column(&good, good.len());
    Broken { line, column, message: "from here on this is not text (UTF-8)".to_owned() }
}

/// A reading or writing error in words for the person who opens the file in an editor.
fn sentence(error: &RonError) -> String {
    match error {
        RonError::NoSuchStructField { found, expected, .. } => {
            format!("\"{found}\" is not a field here; the fields are {}", listed(expected))
        }
        RonError::NoSuchEnumVariant { found, expected, .. } => {
            format!("\"{found}\" is not a choice here; the choices are {}", listed(expected))
        }
        RonError::DuplicateStructField { field, .. } => {
            format!("the field \"{field}\" is written twice; keep one of them")
        }
        RonError::MissingStructField { field, .. } => format!("the field \"{field}\" is missing"),
        RonError::ExpectedDifferentStructName { found, .. } => {
            format!("\"{found}\" stands where an opening bracket \"(\" belongs")
        }
        RonError::ExpectedNamedStructLike(_) | RonError::ExpectedStructLike => {
            "an opening bracket \"(\" is missing here".to_owned()
        }
        RonError::ExpectedStructLikeEnd => "a closing bracket \")\" is missing here".to_owned(),
        RonError::Eof => "the file ends too early; its end has been cut off".to_owned(),
        RonError::TrailingCharacters => "something follows after the end of the document".to_owned(),
        RonError::ExceededRecursionLimit => "brackets are nested too deeply".to_owned(),
        // The words of a document's own rules, which may begin with a name or "NaN".
        RonError::Message(message) => message.clone(),
        other => {
            let text = other.to_string();
            let mut letters = text.chars();
            letters.next().map_or_else(String::new, |first| {
                format!("{}{}", first.to_lowercase(), letters.as_str().trim_end_matches('.'))
            })
        }
    }
}

fn listed(names: &[&str]) -> String {
    if names.is_empty() { "none".to_owned() } else { names.join(", ") }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
    #[serde(deny_unknown_fields)]
    struct Slip {
        title: String,
        grams: f64,
        state: State,
    }

    #[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
    enum State {
        Empty,
        Held(u32),
        Split { parts: Vec<u8> },
    }

    fn slip() -> Slip {
        Slip {
            title: "Ada\u{202e} \"x\"\n".to_owned(),
            grams: 0.1,
            state: State::Split { parts: vec![1, 2] },
        }
    }

    fn text(body: &str) -> String {
        format!("(version: 1, kind: \"order\", body: {body})")
    }

    fn read(text: &str) -> Decoded<Slip> {
        decode(DocKind::Order, text.as_bytes())
    }

    fn message(text: &str) -> String {
        match read(text) {
            Decoded::Broken(broken) => broken.to_string(),
            other => panic!("{other:?}"),
        }
    }

    const GOOD: &str = "(title: \"a\", grams: 1.5, state: Empty)";

    #[test]
    fn a_document_is_readable_text_with_its_version_first() {
        let bytes = encode(DocKind::Order, &slip()).unwrap();
        let text = std::str::from_utf8(&bytes).unwrap();
        assert!(text.starts_with("(\n    version: 1,\n    kind: \"order\",\n    body: (\n"), "{text}");
        let (above, sum) = text.rsplit_once("// sum ").unwrap();
        assert!(above.ends_with(")\n"));
        assert_eq!(sum, format!("{}\n", Digest::of(above.as_bytes())));
        assert_eq!(decode(DocKind::Order, &bytes), Decoded::Whole(slip()));
    }

    #[test]
    fn every_cut_of_a_document_is_broken_and_never_something_else() {
        let bytes = encode(DocKind::Order, &slip()).unwrap();
        let whole = bytes.len() - "\n// sum \n".len() - 64;
        for end in 0..whole {
            let cut = decode::<Slip>(DocKind::Order, &bytes[..end]);
            assert!(matches!(cut, Decoded::Broken(_)), "cut at {end}: {cut:?}");
        }
        // From here on only the last line is cut: the document is whole, or the beginning of a comment is none.
        for end in whole..bytes.len() {
            let cut = decode::<Slip>(DocKind::Order, &bytes[..end]);
            assert!(matches!(cut, Decoded::Broken(_)) || cut == Decoded::Whole(slip()), "cut at {end}");
        }
    }

    #[test]
    fn a_letter_changed_anywhere_since_the_saving_is_noticed() {
        let bytes = encode(DocKind::Order, &slip()).unwrap();
        assert_eq!(since_saved(&bytes), Since::AsSaved);
        let marked = ["\u{feff}".as_bytes(), &bytes].concat();
        assert_eq!(since_saved(&marked), Since::AsSaved);
        let sum_from = bytes.len() - "// sum \n".len() - 64;
        for at in 0..bytes.len() {
            for bit in 0..8 {
                let mut flipped = bytes.clone();
                flipped[at] ^= 1 << bit;
                // A broken mark at the beginning of the last line leaves no sum, and the document as it was.
                let harmless =
                    at >= sum_from - 1 && decode(DocKind::Order, &flipped) == Decoded::Whole(slip());
                assert!(
                    since_saved(&flipped) == Since::Changed || harmless || at >= sum_from - 1,
                    "{at} {bit}"
                );
            }
        }
        // The broken variant: without the sum another word is another document, and nothing tells.
        let text = String::from_utf8(bytes).unwrap();
        let other = text.replacen("Ada", "Ida", 1);
        let (without, _) = other.rsplit_once("// sum ").unwrap();
        assert!(
            matches!(decode::<Slip>(DocKind::Order, without.as_bytes()), Decoded::Whole(read) if read != slip())
        );
        assert_eq!(since_saved(without.as_bytes()), Since::Unknown);
        assert_eq!(with_sum(other.clone()), with_sum(without.to_owned()));
        assert_eq!(since_saved(with_sum(other.clone()).as_bytes()), Since::AsSaved);
        assert_eq!(since_saved(other.as_bytes()), Since::Changed);
        assert_eq!(since_saved(b""), Since::Unknown);
        assert_eq!(since_saved(b"// sum 12"), Since::Changed);
    }

    #[test]
    fn one_byte_order_mark_and_windows_line_ends_are_let_pass() {
        let crlf = text(GOOD).replace(", ", ",\r\n");
        assert!(matches!(read(&format!("\u{feff}{crlf}")), Decoded::Whole(_)));
        assert!(matches!(read(&format!("\u{feff}\u{feff}{crlf}")), Decoded::Broken(_)));
    }

    #[test]
    fn a_newer_version_is_told_whatever_its_body_holds() {
        let newer = "(version: 2, kind: \"order\", mood: Blue(1), body: (a: [Some(3)], b: New(x: 1)))";
        assert_eq!(read(newer), Decoded::Newer(2));
        assert_eq!(read(&text(GOOD).replace("version: 1", "version: 7")), Decoded::Newer(7));
        assert_eq!(
            message(&text(GOOD).replace("version: 1", "version: 0")),
            "line 1, column 1: there never was a version 0"
        );
    }

    #[test]
    fn a_file_in_the_wrong_folder_says_where_it_belongs() {
        for body in [GOOD, "(other: 1)"] {
            let said = message(&text(body).replace("order", "client"));
            assert!(said.contains("its kind is \"client\", but \"order\" belongs here"), "{said}");
        }
    }

    #[test]
    fn unknown_doubled_and_missing_fields_are_named_with_their_place() {
        let unknown = message(&text("(title: \"a\", grams: 1.0,\n weight: 2, state: Empty)"));
        assert!(
            unknown.starts_with("line 2, column ")
                && unknown.contains("\"weight\" is not a field here; the fields are title, grams, state"),
            "{unknown}"
        );
        let outer =
            message("(version: 1, kind: \"order\", note: 3, body: (title: \"a\", grams: 1.0, state: Empty))");
        assert!(outer.contains("\"note\" is not a field here"), "{outer}");
        let doubled = message(&text("(title: \"a\", title: \"b\", grams: 1.0, state: Empty)"));
        assert!(doubled.contains("\"title\" is written twice"), "{doubled}");
        let missing = message(&text("(title: \"a\", state: Empty)"));
        assert!(missing.contains("the field \"grams\" is missing"), "{missing}");
        let choice = message(&text("(title: \"a\", grams: 1.0, state: Lost)"));
        assert!(
            choice.contains("\"Lost\" is not a choice here; the choices are Empty, Held, Split"),
            "{choice}"
        );
    }

    #[test]
    fn a_number_that_is_not_finite_is_neither_read_nor_written() {
        for endless in ["NaN", "inf", "-inf", "1e999", "-1e999"] {
            let said = message(&text(GOOD).replace("1.5", endless));
            assert!(
                said.contains("not finite") && said.starts_with("line 1, column 55"),
                "{endless}: {said}"
            );
        }
        for endless in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
            let doc = Slip { grams: endless, ..slip() };
            assert!(matches!(encode(DocKind::Order, &doc), Err(EncodeError::Unreadable(_))), "{endless}");
        }
        let words = Slip { title: "NaN inf 1e999 \\\" // NaN".to_owned(), ..slip() };
        assert!(encode(DocKind::Order, &words).is_ok());
    }

    #[test]
    fn junk_and_bytes_that_are_not_text_are_broken() {
        for junk in ["", " ", "\0", "()", "hello", &"(".repeat(100_000), &"/*".repeat(100_000)] {
            assert!(matches!(read(junk), Decoded::Broken(_)));
        }
        assert!(message(&format!("{} x", text(GOOD))).contains("follows after the end"));
        let mut bytes = text(GOOD).into_bytes();
        bytes[5] = 0xff;
        let Decoded::Broken(broken) = decode::<Slip>(DocKind::Order, &bytes) else { panic!("read") };
        assert_eq!((broken.line, broken.column), (1, 6));
    }

    #[test]
    fn a_huge_document_is_neither_read_nor_written() {
        let cap = usize::try_from(CAP).unwrap();
        let doc = Slip { title: "a".repeat(cap), ..slip() };
        assert!(matches!(encode(DocKind::Order, &doc), Err(EncodeError::TooLarge(_))));
        let Decoded::Broken(broken) = decode::<Slip>(DocKind::Order, &vec![b' '; cap + 1]) else { panic!() };
        assert_eq!(broken, oversized());
    }

    #[test]
    fn the_largest_document_is_both_written_and_read() {
        let cap = usize::try_from(CAP).unwrap();
        let around = encode(DocKind::Order, &Slip { title: String::new(), ..slip() }).unwrap().len();
        let doc = Slip { title: "a".repeat(cap - around), ..slip() };
        let bytes = encode(DocKind::Order, &doc).unwrap();
        assert_eq!(bytes.len(), cap);
        assert_eq!(decode(DocKind::Order, &bytes), Decoded::Whole(doc));
        let more = Slip { title: "a".repeat(cap - around + 1), ..slip() };
        assert_eq!(encode(DocKind::Order, &more), Err(EncodeError::TooLarge(cap + 1)));
    }

    #[test]
    fn what_reads_back_as_something_else_is_not_written() {
        #[derive(Debug, PartialEq, Serialize, Deserialize)]
        struct Forgetful {
            kept: u8,
            #[serde(skip)]
            dropped: u8,
        }
        assert_eq!(encode(DocKind::Order, &Forgetful { kept: 1, dropped: 2 }), Err(EncodeError::Altered));
        assert!(encode(DocKind::Order, &Forgetful { kept: 1, dropped: 0 }).is_ok());
    }
}
