//! The photos and papers that records name: whether each is there, and is what it was.

use std::collections::BTreeSet;
use std::fmt;

use craft::digest::Digest;
use craft::fact::PaperKind;
use craft::order::PhotoKind;
use craft::studio::{Held, Studio};
use craft::tag::Tag;
use store::folder::StudioFolder;
use store::forgotten::Forgotten;
use store::photos::PhotoName;
use store::told;

use crate::finding::{Finding, Lacking};
use crate::runner::paper_file_name;

/// A file that an order names.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Named {
    /// A photo.
    Photo {
        /// The first order that names it.
        tag: Tag,
        /// Its digest.
        digest: Digest,
        /// The ending of its name; none where only an entry names it, which says its digest alone.
        ext: Option<&'static str>,
    },
    /// A paper as it was issued.
    Paper {
        /// The order.
        tag: Tag,
        /// Which paper.
        kind: PaperKind,
        /// The digest of the file.
        digest: Digest,
    },
}

impl Named {
    /// The order that names it.
    pub const fn tag(&self) -> Tag {
        match self {
            Self::Photo { tag, .. } | Self::Paper { tag, .. } => *tag,
        }
    }
}

impl fmt::Display for Named {
    /// The file, as a path below the studio's folder.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Photo { digest, ext: Some(ext), .. } => write!(f, "photos/{digest}.{ext}"),
            Self::Photo { digest, ext: None, .. } => write!(f, "photos/{digest}"),
            Self::Paper { tag, kind, digest } => {
                let folder = tag.to_string().to_ascii_lowercase();
                write!(f, "papers/{folder}/{}", paper_file_name(*kind, digest))
            }
        }
    }
}

/// Every file that the orders name, each photo once: those of orders at work in front. Of clients who are forgotten photos
/// and papers are gone on purpose.
pub fn named(studio: &Studio, forgotten: &Forgotten) -> Vec<Named> {
    let all = studio.orders().iter().filter(|(tag, _)| !forgotten.is_order(&tag.to_string()));
    let (gone, open): (Vec<_>, Vec<_>) = all.partition(|(_, held)| held.is_gone());
    let mut seen = BTreeSet::new();
    open.into_iter()
        .chain(gone)
        .flat_map(|(tag, held)| of_order(*tag, held))
        .filter(|file| match file {
            Named::Photo { digest, .. } => seen.insert(*digest),
            Named::Paper { .. } => true,
        })
        .collect()
}

fn of_order(tag: Tag, held: &Held) -> impl Iterator<Item = Named> {
    let (photos, papers) = (held.photos().into_owned(), held.papers().into_owned());
    let photos = photos.into_iter().map(move |(digest, kind)| Named::Photo {
        tag,
        digest,
        ext: kind.map(PhotoKind::extension),
    });
    photos.chain(papers.into_iter().map(move |(kind, digest)| Named::Paper { tag, kind, digest }))
}

/// Looks files through one by one.
#[derive(Debug)]
pub struct Looker<'a> {
    folder: &'a StudioFolder,
    /// The photos that are there, for those of which only the digest is known.
    kept: Vec<PhotoName>,
}

impl<'a> Looker<'a> {
    /// Lists the photos of a folder.
    ///
    /// # Errors
    /// They cannot be listed.
    pub fn new(folder: &'a StudioFolder) -> Result<Self, String> {
        let mut kept = folder.photos().map_err(|why| told(&why))?;
        kept.sort_by_key(PhotoName::hash);
        Ok(Self { folder, kept })
    }

    /// Reads a file whole and compares its digest; nothing where it is what it was.
    pub fn look(&self, file: &Named) -> Option<Finding> {
        let found = match file {
            Named::Photo { digest, ext, .. } => {
                let by_digest = |digest| {
                    let at = self.kept.binary_search_by_key(&digest, PhotoName::hash).ok()?;
                    self.kept.get(at).cloned()
                };
                let name = match ext {
                    Some(ext) => PhotoName::new(*digest, ext).ok(),
                    None => by_digest(*digest),
                };
                name.map_or(Ok(None), |name| self.folder.photo(&name))
            }
            Named::Paper { tag, kind, digest } => {
                self.folder.paper(&tag.to_string(), &paper_file_name(*kind, digest), *digest)
            }
        };
        let how = match found {
            Ok(Some(_)) => return None,
            Ok(None) => Lacking::Gone,
            Err(why) => Lacking::Unsound(told(&why)),
        };
        Some(Finding::File { file: file.clone(), how })
    }
}
