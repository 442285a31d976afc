//! Names inside the studio folder. They are always ours, never the client's: ids, tags, years, fingerprints.

use std::fmt;
use std::path::{Path, PathBuf};

/// The longest file name in the folder, in bytes.
pub const LONGEST: usize = 80;

/// Why a text cannot be a name in the studio folder.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum NameError {
    /// The name is empty or too long.
    #[error("\"{0}\" cannot be a file name here; use 1 to {LONGEST} letters")]
    Length(String),
    /// A letter is outside the small alphabet, or a dot stands where it may not.
    #[error(
        "\"{0}\" cannot be a file name here; use small letters a-z, digits, dash, underscore and dots inside"
    )]
    Letters(String),
    /// Some systems keep this name for a device.
    #[error("\"{0}\" is kept for a device on some computers; choose another name")]
    Device(String),
    /// The path is not where a document lies.
    #[error("\"{0}\" is not a place for a document; one looks like \"orders/a2b-c3x.ron\"")]
    Place(String),
}

/// Checks that `name` is one plain file name on every system: small letters, digits, `-`, `_`, `.`, at most
/// [`LONGEST`] bytes, no dot at either end, no device name.
///
/// # Errors
/// Which rule is broken.
pub fn check_name(name: &str) -> Result<(), NameError> {
    if name.is_empty() || name.len() > LONGEST {
        return Err(NameError::Length(name.to_owned()));
    }
    let plain = |b: u8| b.is_ascii_lowercase() || b.is_ascii_digit() || matches!(b, b'-' | b'_' | b'.');
    if !name.bytes().all(plain) || name.starts_with('.') || name.ends_with('.') {
        return Err(NameError::Letters(name.to_owned()));
    }
    let stem = name.split('.').next().unwrap_or(name);
    let numbered = |word: &str| {
        stem.strip_prefix(word).is_some_and(|n| n.len() == 1 && n.bytes().all(|b| (b'1'..=b'9').contains(&b)))
    };
    if matches!(stem, "con" | "prn" | "aux" | "nul") || numbered("com") || numbered("lpt") {
        return Err(NameError::Device(name.to_owned()));
    }
    Ok(())
}

/// What stands in the name of a version that is kept beside a file, between its stem and its number.
const BESIDE: &str = ".conflict-";

/// The name of the `n`th version kept beside a file that another program had changed: `a2b-c3x.conflict-1.ron`.
pub(crate) fn beside_name(file_name: &str, n: u32) -> String {
    let (stem, ending) = file_name.rsplit_once('.').unwrap_or((file_name, "ron"));
    format!("{stem}{BESIDE}{n}.{ending}")
}

/// Beside which document of its folder a version is kept, as the stem of that document's name; `None` where the name is
/// that of no such version.
pub fn kept_beside(file_name: &str) -> Option<&str> {
    let (stem, n) = file_name.strip_suffix(".ron")?.rsplit_once(BESIDE)?;
    let is_number = !n.is_empty() && n.bytes().all(|b| b.is_ascii_digit());
    (is_number && check_name(stem).is_ok()).then_some(stem)
}

/// The kinds of document in a studio folder.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum DocKind {
    /// `studio.ron`, one per studio.
    Studio,
    /// `shelf/<id>.ron`.
    Shelf,
    /// `clients/<id>.ron`.
    Client,
    /// `orders/<tag>.ron`.
    Order,
    /// `money/<year>.ron`.
    Money,
}

impl DocKind {
    /// Every kind, in the order of the folder's description.
    pub const ALL: [Self; 5] = [Self::Studio, Self::Shelf, Self::Client, Self::Order, Self::Money];

    /// The sub-folder its documents lie in; the studio's own lies at the top.
    pub fn folder(self) -> Option<&'static str> {
        match self {
            Self::Studio => None,
            Self::Shelf => Some("shelf"),
            Self::Client => Some("clients"),
            Self::Order => Some("orders"),
            Self::Money => Some("money"),
        }
    }

    /// The word that stands as `kind` at the head of its files.
    pub fn word(self) -> &'static str {
        match self {
            Self::Studio => "studio",
            Self::Shelf => "shelf",
            Self::Client => "client",
            Self::Order => "order",
            Self::Money => "money",
        }
    }
}

/// The checked place of one document below the studio folder. One document is one file.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct DocPath {
    kind: DocKind,
    stem: String,
}

impl DocPath {
    /// `studio.ron`.
    pub fn studio() -> Self {
        Self { kind: DocKind::Studio, stem: "studio".to_owned() }
    }

    /// `shelf/<id>.ron`.
    ///
    /// # Errors
    /// The id is not a plain name without dots.
    pub fn shelf(id: &str) -> Result<Self, NameError> {
        Self::new(DocKind::Shelf, id)
    }

    /// `clients/<id>.ron`.
    ///
    /// # Errors
    /// The id is not a plain name without dots.
    pub fn client(id: &str) -> Result<Self, NameError> {
        Self::new(DocKind::Client, id)
    }

    /// `orders/<tag>.ron`; a tag is written in capitals on the bench and in small letters in the file name.
    ///
    /// # Errors
    /// The tag is not a plain name without dots.
    pub fn order(tag: &str) -> Result<Self, NameError> {
        Self::new(DocKind::Order, &tag.to_ascii_lowercase())
    }

    /// `money/<year>.ron`.
    ///
    /// # Errors
    /// Never for a year of four digits; kept so that all makers read alike.
    pub fn money(year: u16) -> Result<Self, NameError> {
        Self::new(DocKind::Money, &format!("{year:04}"))
    }

    fn new(kind: DocKind, stem: &str) -> Result<Self, NameError> {
        // A dot in the stem is kept for the files put beside a document, such as conflicts.
        if stem.contains('.') {
            return Err(NameError::Letters(stem.to_owned()));
        }
        check_name(stem)?;
        let made = Self { kind, stem: stem.to_owned() };
        check_name(&made.file_name())?;
        Ok(made)
    }

    /// Reads a document's place from a file name in the folder of its kind.
    ///
    /// # Errors
    /// The file name is not one this program gives.
    pub fn from_file_name(kind: DocKind, file_name: &str) -> Result<Self, NameError> {
        let wrong = || NameError::Place(file_name.to_owned());
        let stem = file_name.strip_suffix(".ron").ok_or_else(wrong)?;
        match kind {
            DocKind::Studio if stem == "studio" => Ok(Self::studio()),
            DocKind::Studio => Err(wrong()),
            DocKind::Money if stem.len() != 4 || !stem.bytes().all(|b| b.is_ascii_digit()) => Err(wrong()),
            _ => Self::new(kind, stem),
        }
    }

    /// Reads a document's place from its path below the studio folder, such as `orders/a2b-c3x.ron`.
    ///
    /// # Errors
    /// It is not a path this program gives; `..`, absolute paths and links to elsewhere never are.
    pub fn parse(path: &str) -> Result<Self, NameError> {
        let (folder, file_name) = match path.split_once('/') {
            Some((folder, file_name)) => (Some(folder), file_name),
            None => (None, path),
        };
        let kind = DocKind::ALL.into_iter().find(|kind| kind.folder() == folder);
        kind.ok_or_else(|| NameError::Place(path.to_owned()))
            .and_then(|kind| Self::from_file_name(kind, file_name))
    }

    /// What kind of document lies here.
    pub fn kind(&self) -> DocKind {
        self.kind
    }

    /// The id, lower-case tag or year in the file name.
    pub fn stem(&self) -> &str {
        &self.stem
    }

    /// The file name without its folder.
    pub fn file_name(&self) -> String {
        format!("{}.ron", self.stem)
    }

    /// Whether a path below the studio's folder is that of a version kept beside this document.
    pub fn has_beside(&self, path: &str) -> bool {
        let (folder, name) =
            path.rsplit_once('/').map_or((None, path), |(folder, name)| (Some(folder), name));
        folder == self.kind.folder() && kept_beside(name) == Some(self.stem())
    }

    /// The folder of this document in the studio at `root`.
    pub(crate) fn folder_in(&self, root: &Path) -> PathBuf {
        self.kind.folder().map_or_else(|| root.to_owned(), |folder| root.join(folder))
    }
}

impl fmt::Display for DocPath {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.kind.folder() {
            Some(folder) => write!(f, "{folder}/{}.ron", self.stem),
            None => write!(f, "{}.ron", self.stem),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_tag_becomes_a_file_name_in_small_letters() {
        assert_eq!(DocPath::order("A2B-C3X").unwrap().to_string(), "orders/a2b-c3x.ron");
        assert_eq!(DocPath::money(2026).unwrap().to_string(), "money/2026.ron");
        assert_eq!(DocPath::studio().to_string(), "studio.ron");
    }

    #[test]
    fn a_path_reads_back_from_its_text() {
        for path in [
            DocPath::studio(),
            DocPath::shelf("uv-1").unwrap(),
            DocPath::client("c_7").unwrap(),
            DocPath::order("A2B-C3X").unwrap(),
            DocPath::money(2026).unwrap(),
        ] {
            assert_eq!(DocPath::parse(&path.to_string()), Ok(path));
        }
    }

    #[test]
    fn names_that_lead_elsewhere_or_differ_between_systems_are_refused() {
        for wrong in [".a", "a."] {
            assert_eq!(check_name(wrong), Err(NameError::Letters(wrong.to_owned())));
        }
        let long = "a".repeat(LONGEST - 3);
        for wrong in [
            "",
            ".",
            "..",
            "../x",
            "a/b",
            "a\\b",
            "/etc/passwd",
            ".hidden",
            "a.b",
            "a b",
            "a.",
            "ä",
            "a\0",
            "A",
            "con",
            "nul",
            "com1",
            "lpt9",
            "a\n",
            "a:b",
            "a\u{202e}b",
            &long,
        ] {
            assert!(DocPath::client(wrong).is_err(), "{wrong:?}");
        }
        assert!(check_name("con.ron").is_err());
        for right in ["com0", "com10", "console", "0", "-", "_", &"a".repeat(LONGEST - 4)] {
            assert!(DocPath::client(right).is_ok(), "{right:?}");
        }
    }

    #[test]
    fn a_version_kept_beside_a_document_is_known_by_its_name() {
        for n in [1, 12, 999] {
            let name = beside_name("a2b-c3x.ron", n);
            assert_eq!(name, format!("a2b-c3x.conflict-{n}.ron"));
            assert_eq!(kept_beside(&name), Some("a2b-c3x"));
            assert!(DocPath::from_file_name(DocKind::Order, &name).is_err());
            let order = DocPath::order("A2B-C3X").unwrap();
            assert!(order.has_beside(&format!("orders/{name}")));
            assert!(!order.has_beside(&name) && !order.has_beside(&format!("money/{name}")));
        }
        for other in
            ["a2b.ron", "a2b.conflict-.ron", "a2b.conflict-x.ron", ".conflict-1.ron", "a2b.conflict-1.txt"]
        {
            assert_eq!(kept_beside(other), None, "{other}");
        }
    }

    #[test]
    fn paths_that_this_program_never_gives_are_refused() {
        for wrong in [
            "orders/A2B.ron",
            "orders/a/b.ron",
            "orders/a.txt",
            "orders/.ron",
            "orders/a.conflict-1.ron",
            "money/26.ron",
            "money/20261.ron",
            "other.ron",
            "shelf/../studio.ron",
            "/orders/a.ron",
            "orders//a.ron",
            "photos/a.ron",
            "studio.ron/a.ron",
        ] {
            assert!(DocPath::parse(wrong).is_err(), "{wrong:?}");
        }
    }
}
