//! Earlier versions of a document: read, and taken back through the studio's own door.

use chrono::DateTime;
use craft::id::{ClientId, DocId};
use craft::ledger::Ledger;
use craft::moment::Moment;
use craft::order::{About, Order, Words};
use craft::policies::Policies;
use craft::refusal::Refusal;
use craft::shelf::Item;
use craft::studio::{Doc, Edit, OrderEdit, Studio};
use craft::tag::Tag;
use serde::de::{DeserializeOwned, IgnoredAny};
use store::folder::StudioFolder;
use store::format::Decoded;
use store::history::Earlier;
use store::name::{DocKind, DocPath};
use store::told;

use crate::finding::Finding;
use crate::open::{doc_of, path_of, read_again};
use crate::present::difference_words;

/// An earlier version of a document.
#[derive(Clone, Debug, PartialEq)]
pub struct Version {
    /// Its file, as a path below the studio's folder.
    pub file: String,
    /// Counts the versions of this document.
    pub number: u32,
    /// When it was written, in milliseconds since 1970 by the disk's clock.
    pub written_ms: i64,
    /// The document as it was, or why it cannot be read.
    pub doc: Result<Doc, String>,
}

/// Reads every earlier version of a document, the newest in front.
///
/// # Errors
/// The disk would not list them.
pub fn read(folder: &StudioFolder, doc: &DocId) -> Result<Vec<Version>, String> {
    let path = path_of(doc).map_err(|why| why.to_string())?;
    let versions = folder.history(&path).map_err(|why| told(&why))?;
    Ok(versions.iter().map(|earlier| version(folder, doc, &path, earlier)).collect())
}

/// An earlier version that could take the place of a document's file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Spare {
    /// Its file, as a path below the studio's folder.
    pub file: String,
    /// Counts the versions of this document.
    pub number: u32,
    /// What it is an earlier version of.
    pub of: SpareOf,
}

/// What is known of an earlier version from itself.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum SpareOf {
    /// An order.
    Order {
        /// How many entries its record has.
        entries: u32,
        /// The name of the one remembered.
        name: String,
        /// Whose order it is, which never changes.
        client: ClientId,
    },
    /// A year's invoices, and how many were issued by then.
    Invoices(usize),
    /// A client or an item on the shelf.
    Other,
}

/// Of the earlier versions of a document the newest that reads, and of those of an order the one with the longest record
/// that holds together; none where no such version is kept.
pub fn spare(folder: &StudioFolder, doc: &DocId) -> Option<Spare> {
    if let DocId::Order(tag) = doc {
        return longest_that_holds(folder, *tag);
    }
    let newest = read(folder, doc).unwrap_or_default().into_iter();
    let mut sound = newest.filter_map(|Version { file, number, doc, .. }| match doc.ok()? {
        Doc::Invoices(series) => Some((file, number, SpareOf::Invoices(series.issued().count()))),
        Doc::Shelf(_, item) if item.check().is_err() => None,
        _ => Some((file, number, SpareOf::Other)),
    });
    sound.next().map(|(file, number, of)| Spare { file, number, of })
}

/// Puts an earlier version in the place of a file that cannot be used, and reads the document again; with the name under
/// which that file is kept beside it.
///
/// # Errors
/// Why not, and what to do.
pub fn put_in_place(
    folder: &StudioFolder,
    doc: &DocId,
    number: u32,
) -> Result<(Doc, Option<String>), String> {
    let path = path_of(doc).map_err(|why| why.to_string())?;
    let versions = folder.history(&path).map_err(|why| told(&why))?;
    let version = versions.iter().find(|version| version.number == number);
    let version = version.ok_or_else(|| difference_words::GONE.to_owned())?;
    let beside = folder.put_in_place(&path, version).map_err(|why| told(&why))?;
    Ok((read_again(folder, &path)?, beside))
}

fn longest_that_holds(folder: &StudioFolder, tag: Tag) -> Option<Spare> {
    let longest = |Version { file, number, doc, .. }: Version| match doc {
        Ok(Doc::Order(order)) => {
            let holds =
                order.log.check(&order.studio, tag).is_ok() && Ledger::replay(tag, &order.log).is_ok();
            let (entries, name) = (order.log.len(), order.sheet.remembered.name.to_string());
            let of = SpareOf::Order { entries, name, client: order.client };
            holds.then_some((entries, Spare { file, number, of }))
        }
        _ => None,
    };
    let versions = read(folder, &DocId::Order(tag)).unwrap_or_default();
    let holding = versions.into_iter().filter_map(longest);
    holding.max_by_key(|(entries, spare)| (*entries, spare.number)).map(|(_, spare)| spare)
}

/// Reads every earlier version of every document, compares it with its name, decodes it and follows its record's chain;
/// gives how many there are, and what is damaged. One that a newer program wrote is looked at by that program.
///
/// # Errors
/// The disk would not list them.
pub fn look_through(folder: &StudioFolder) -> Result<(usize, Vec<Finding>), String> {
    let (mut count, mut damaged) = (0, Vec::new());
    for kind in DocKind::ALL {
        for path in folder.with_history(kind).map_err(|why| told(&why))? {
            let Some(doc) = doc_of(&path) else { continue };
            for earlier in folder.history(&path).map_err(|why| told(&why))? {
                count += 1;
                if let Err(what) = is_sound(folder, &doc, &path, &earlier) {
                    damaged.push(Finding::Version { file: folder.history_file(&path, &earlier), what });
                }
            }
        }
    }
    Ok((count, damaged))
}

fn is_sound(folder: &StudioFolder, doc: &DocId, path: &DocPath, earlier: &Earlier) -> Result<(), String> {
    match whole(folder, doc, path, earlier) {
        Ok(Doc::Order(order)) => {
            order.log.check(&order.studio, order.tag).map_err(|why| why.to_string())?;
            let replayed = Ledger::replay(order.tag, &order.log);
            replayed.map(drop).map_err(|(entry, why)| difference_words::does_not_fit(entry, &why))
        }
        Ok(_) => Ok(()),
        Err(why) => match folder.earlier::<IgnoredAny>(path, earlier) {
            // It was let go since it was listed, or is no older than a program that is newer than this one.
            Ok(None | Some(Decoded::Newer(_))) => Ok(()),
            _ => Err(why),
        },
    }
}

fn version(folder: &StudioFolder, id: &DocId, path: &DocPath, earlier: &Earlier) -> Version {
    let written = DateTime::parse_from_rfc3339(&earlier.written());
    Version {
        file: folder.history_file(path, earlier),
        number: earlier.number,
        written_ms: written.map_or(0, |written| written.timestamp_millis()),
        doc: whole(folder, id, path, earlier),
    }
}

fn whole(folder: &StudioFolder, id: &DocId, path: &DocPath, earlier: &Earlier) -> Result<Doc, String> {
    match id {
        DocId::Policies => body::<Policies>(folder, path, earlier).map(|body| Doc::Policies(Box::new(body))),
        DocId::Shelf(id) => {
            body::<Item>(folder, path, earlier).map(|body| Doc::Shelf(id.clone(), Box::new(body)))
        }
        DocId::Client(id) => body(folder, path, earlier).map(|body| Doc::Client(id.clone(), Box::new(body))),
        DocId::Order(_) => body::<Order>(folder, path, earlier).map(|body| Doc::Order(Box::new(body))),
        DocId::Invoices(_) => body(folder, path, earlier).map(|body| Doc::Invoices(Box::new(body))),
    }
}

fn body<T: DeserializeOwned>(folder: &StudioFolder, path: &DocPath, earlier: &Earlier) -> Result<T, String> {
    match folder.earlier::<T>(path, earlier).map_err(|why| told(&why))? {
        Some(Decoded::Whole(body)) => Ok(body),
        Some(Decoded::Newer(version)) => Err(difference_words::newer(version)),
        Some(Decoded::Broken(broken)) => Err(broken.to_string()),
        None => Err(difference_words::GONE.to_owned()),
    }
}

/// The document as it would be with an earlier version taken back: for an order its sheet and its words, while its
/// record, and what was photographed or written about what was recorded since, stays.
///
/// # Errors
/// It is not an earlier version of what is here.
pub fn taken_back(studio: &Studio, earlier: Doc, now: Moment) -> Result<Doc, Refusal> {
    match earlier {
        Doc::Order(earlier) => order_taken_back(studio, *earlier, now),
        Doc::Invoices(_) => Err(Refusal::Issued),
        other => Ok(other),
    }
}

fn order_taken_back(studio: &Studio, earlier: Order, now: Moment) -> Result<Doc, Refusal> {
    let tag = earlier.tag;
    let current = &studio.order(tag)?.order;
    let other = |why: &str| Refusal::Locked { doc: DocId::Order(tag), why: why.to_owned() };
    if current.studio != earlier.studio || current.client != earlier.client {
        return Err(other(difference_words::NOT_THIS_ORDER));
    }
    // The record only grows, so an earlier version's is the beginning of it.
    if !current.log.continues(&earlier.log) {
        return Err(other(difference_words::OTHER_RECORD));
    }
    let known = earlier.log.len();
    // The words go back one by one through the same door, in a studio that holds this order only.
    let mut scratch = Studio::new(studio.policies().clone());
    scratch.take(Doc::Order(Box::new(current.clone())))?;
    let since = |about: About| matches!(about, About::Entry(number) if number > known);
    let dropped = current.story.all().iter().filter(|words| !since(words.about));
    let dropped = dropped.map(|words| Words { about: words.about, text: craft::text::Text::default() });
    for words in dropped.chain(earlier.story.all().iter().cloned()) {
        scratch.apply(Edit::Order(tag, OrderEdit::Story(words)), now)?;
    }
    let mut order = scratch.order(tag)?.order.clone();
    let mut sheet = earlier.sheet;
    let photos = current.sheet.photos.iter();
    let missed = photos
        .filter(|photo| !sheet.photos.iter().any(|old| old.original == photo.original && old.of == photo.of));
    let missed: Vec<_> = missed.cloned().collect();
    sheet.photos.extend(missed);
    let things = current.sheet.things.iter();
    let missed = things.filter(|note| !sheet.things.iter().any(|old| old.thing == note.thing));
    let missed: Vec<_> = missed.cloned().collect();
    sheet.things.extend(missed);
    order.sheet = sheet;
    Ok(Doc::Order(Box::new(order)))
}
