//! What does not hold together in a studio: found when it is opened, told with what is safe and one way out, and never
//! mended by itself.

use std::collections::{BTreeMap, BTreeSet};

use craft::id::{ClientId, DocId};
use craft::money::series::{InvoiceNo, Series};
use craft::order::Order;
use craft::studio;
use craft::tag::Tag;

use crate::keeping::files::Named;
use crate::keeping::history::{Spare, SpareOf};
use crate::open::Trouble;
use crate::present::finding_words;

/// How two editions of one order stand to each other.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Parting {
    /// They are the same.
    Same,
    /// The records are the same, and the sheet or the words are not.
    OtherWords,
    /// The copy's record goes on where the one here ends.
    CopyLonger,
    /// The record here goes on where the copy's ends.
    OursLonger,
    /// Each holds something that the other does not.
    Forked {
        /// The first entry that differs, from 1.
        at: u32,
    },
    /// The order's own file cannot be read, and the copy can.
    OursUnreadable,
    /// The order's client was forgotten, and the copy may say who they were.
    Forgotten,
}

/// How `theirs` stands to `ours`. Pure: it reads nothing and mends nothing.
pub fn parting(ours: &Order, theirs: &Order) -> Parting {
    let (here, there) = (&ours.log, &theirs.log);
    if here == there {
        return if ours == theirs { Parting::Same } else { Parting::OtherWords };
    }
    if there.continues(here) {
        return Parting::CopyLonger;
    }
    if here.continues(there) {
        return Parting::OursLonger;
    }
    let least = here.len().min(there.len());
    let at = (1..=least).find(|&number| here.entry(number) != there.entry(number));
    Parting::Forked { at: at.unwrap_or(least) }
}

/// A second edition of an order, in a file beside its own.
#[derive(Clone, Debug, PartialEq)]
pub struct Edition {
    /// The file, as a path below the folder.
    pub file: String,
    /// How many entries the record has in the order's own file; 0 where that cannot be read.
    pub ours: u32,
    /// How it stands to the order's own file, as both lay there at opening.
    pub how: Parting,
    /// What the sheet or the words say differs too.
    pub other_words: bool,
    /// The edition itself.
    pub order: Box<Order>,
}

impl Edition {
    /// Compares an edition with the order's own file.
    pub fn new(file: String, ours: &Order, theirs: Order) -> Self {
        let other_words = (&ours.sheet, &ours.story) != (&theirs.sheet, &theirs.story);
        let how = parting(ours, &theirs);
        Self { file, ours: ours.log.len(), how, other_words, order: Box::new(theirs) }
    }
}

/// What is wrong with a photo or a paper.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Lacking {
    /// It is not there.
    Gone,
    /// It was changed, or cannot be read; in words.
    Unsound(String),
}

/// What could take the place of a file that cannot be used.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Instead {
    /// Nothing was looked for: the file may be quite in order.
    NotSought,
    /// No earlier version that holds is kept here.
    None,
    /// An earlier version.
    Version(Box<Spare>),
    /// Its client was forgotten, so nothing that may say who they were comes back. Whose it is, where that is known.
    Forgotten(Option<ClientId>),
}

/// Something that the maker should look at.
#[derive(Clone, Debug, PartialEq)]
pub enum Finding {
    /// Documents that do not fit each other.
    Across(studio::Finding),
    /// A file that cannot be used; nothing reads or replaces it.
    Unreadable {
        /// The file.
        file: String,
        /// Why, and what to do.
        what: String,
        /// What could take its place.
        instead: Instead,
    },
    /// An earlier version of a document is not what was kept.
    Version {
        /// The file.
        file: String,
        /// What is wrong with it.
        what: String,
    },
    /// A file reads well and is not as this program saved it.
    Changed {
        /// The file.
        file: String,
    },
    /// A file bears one order's name and says that it is another: a number that stands twice.
    TagTwice {
        /// The file.
        file: String,
        /// What it says it is.
        says: Tag,
        /// Whose name it bears.
        lies: Tag,
    },
    /// A second edition of an order.
    Edition(Edition),
    /// An order under a name that is not its own, and no other file of it.
    Misnamed {
        /// The file.
        file: String,
        /// The order.
        tag: Tag,
    },
    /// A copy of a year's invoices in which the same numbers stand for other things.
    NumberTwice {
        /// The file.
        file: String,
        /// The numbers.
        numbers: Vec<InvoiceNo>,
    },
    /// A copy of a year's invoices that holds more of them, fewer, or the same.
    Invoices {
        /// The file.
        file: String,
        /// How many more it holds than the year's own file; less than 0 for fewer.
        more: i64,
    },
    /// A version that was kept beside a document.
    Beside {
        /// The file.
        file: String,
        /// The document's own file, where that is gone.
        gone: Option<String>,
    },
    /// A file that is none of the studio's.
    Stranger {
        /// The file.
        file: String,
    },
    /// A record is shorter than was seen before.
    Shortened {
        /// The order.
        tag: Tag,
        /// How many entries it has.
        entries: u32,
        /// How many were seen.
        witnessed: u64,
    },
    /// A record is another one than was seen before.
    Forked {
        /// The order.
        tag: Tag,
        /// The entry up to which it was seen.
        witnessed: u64,
    },
    /// A record was seen before, and its file is gone.
    Vanished {
        /// The order.
        tag: Tag,
    },
    /// A photo or a paper that a record names is not what it was.
    File {
        /// The file.
        file: Named,
        /// What is wrong with it.
        how: Lacking,
    },
    /// A forgetting that was begun is not gone through with yet.
    NotForgotten(String),
    /// The folder itself was not put in order at opening.
    Folder(String),
}

impl Finding {
    /// The order whose record is not what was seen of it.
    pub fn unlike_the_witness(&self) -> Option<Tag> {
        match self {
            Self::Shortened { tag, .. } | Self::Forked { tag, .. } | Self::Vanished { tag } => Some(*tag),
            _ => None,
        }
    }

    /// True of what was found when photos and papers were looked through.
    pub fn is_of_a_file(&self) -> bool {
        matches!(self, Self::File { .. })
    }

    /// True where it says that the file of this document cannot be used.
    pub fn is_unreadable(&self, doc: &DocId) -> bool {
        match (self, crate::open::path_of(doc)) {
            (Self::Unreadable { file, .. }, Ok(path)) => *file == path.to_string(),
            _ => false,
        }
    }

    /// True where nothing is put in the place of this document's file, since its client was forgotten.
    pub fn is_forgotten(&self, doc: &DocId) -> bool {
        matches!(self, Self::Unreadable { instead: Instead::Forgotten(_), .. }) && self.is_unreadable(doc)
    }

    /// The orders it is about, where it is about any.
    pub fn orders(&self) -> BTreeSet<Tag> {
        self.named().into_iter().collect()
    }

    fn named(&self) -> Vec<Tag> {
        use craft::studio::Finding as Across;
        match self {
            Self::Across(across) => match across {
                Across::OpenTogether(tags) => tags.clone(),
                Across::CavityShared { stones, .. } => stones.iter().map(|(tag, _)| *tag).collect(),
                Across::Mixed(mixed) => vec![mixed.tag, mixed.of],
                Across::NotTakenOver { tag, to, .. } => vec![*tag, *to],
                Across::UnknownClient { tag, .. }
                | Across::UnknownItem { tag, .. }
                | Across::NoKeepBack { tag, .. }
                | Across::UnknownLot { tag, .. }
                | Across::NoInstruction { tag, .. }
                | Across::UnknownPlace { tag, .. } => vec![*tag],
            },
            Self::TagTwice { says, lies, .. } => vec![*says, *lies],
            Self::Edition(edition) => vec![edition.order.tag],
            Self::Misnamed { tag, .. }
            | Self::Shortened { tag, .. }
            | Self::Forked { tag, .. }
            | Self::Vanished { tag } => vec![*tag],
            Self::Unreadable { file, .. } | Self::Changed { file } | Self::Beside { file, .. } => {
                order_of_file(file).into_iter().collect()
            }
            Self::Version { file, .. } => order_of_version(file).into_iter().collect(),
            Self::File { file, .. } => vec![file.tag()],
            Self::NumberTwice { .. }
            | Self::Invoices { .. }
            | Self::Stranger { .. }
            | Self::NotForgotten(_)
            | Self::Folder(_) => Vec::new(),
        }
    }

    /// True where it is about an order.
    pub fn concerns(&self, order: Tag) -> bool {
        self.orders().contains(&order)
    }

    /// The same in two pieces of words: the file, and everything about it.
    pub fn trouble(&self) -> Trouble {
        Trouble { file: finding_words::file(self).unwrap_or_default(), what: finding_words::what(self) }
    }
}

/// Whose the orders are of which only a finding knows: an earlier version of a file that cannot be read, or a copy beside
/// it, says so.
pub type Owners = BTreeMap<Tag, ClientId>;

/// Whose the orders are that cannot be read, as far as anything kept of them says so.
pub fn owners(found: &[Finding]) -> Owners {
    let known = found.iter().filter_map(|finding| match finding {
        Finding::Unreadable { file, instead: Instead::Version(spare), .. } => match &spare.of {
            SpareOf::Order { client, .. } => Some((order_of_file(file)?, client.clone())),
            SpareOf::Invoices(_) | SpareOf::Other => None,
        },
        Finding::Unreadable { file, instead: Instead::Forgotten(client), .. } => {
            Some((order_of_file(file)?, client.clone()?))
        }
        Finding::Edition(Edition { how: Parting::OursUnreadable, order, .. }) => {
            Some((order.tag, order.client.clone()))
        }
        _ => None,
    });
    known.collect()
}

/// What a copy of a year's invoices says beside the year's own file.
pub fn invoices_beside(file: String, ours: &Series, theirs: &Series) -> Finding {
    let numbers = theirs.issued().filter(|(no, issued)| ours.get(*no).is_some_and(|own| own != *issued));
    let numbers: Vec<InvoiceNo> = numbers.map(|(no, _)| no).collect();
    if !numbers.is_empty() {
        return Finding::NumberTwice { file, numbers };
    }
    let count = |series: &Series| i64::try_from(series.issued().count()).unwrap_or(i64::MAX);
    Finding::Invoices { file, more: count(theirs) - count(ours) }
}

/// The order whose file this is, or beside whose file it lies: its name begins with the tag.
fn order_of_file(file: &str) -> Option<Tag> {
    let name = file.strip_prefix("orders/")?;
    let (stem, rest) = name.split_at_checked(TAG_LEN)?;
    stem.parse().ok().filter(|_| rest.starts_with(['.', ' ', '-', '_', '(']))
}

/// The order of which this file is an earlier version.
fn order_of_version(file: &str) -> Option<Tag> {
    let (stem, _) = file.strip_prefix(".history/orders/")?.split_once('/')?;
    stem.parse().ok()
}

/// How many letters a tag takes in a file's name.
const TAG_LEN: usize = 7;

/// The file of an order, as a path below the folder.
pub(crate) fn order_file(tag: Tag) -> String {
    crate::open::path_of(&DocId::Order(tag)).map_or_else(|why| why.to_string(), |path| path.to_string())
}

#[cfg(test)]
mod tests;
