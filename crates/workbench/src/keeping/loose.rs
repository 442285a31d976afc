//! Photos that nothing names: taken in and undone so long ago that no earlier version names them any more.
//!
//! Nobody can say whose they are, so they go with whoever is forgotten. They are originals, so the least doubt whether
//! something names them keeps them all.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use craft::digest::Digest;
use craft::id::DocId;
use craft::order::Order;
use craft::shelf::{Item, What};
use craft::studio::{Doc, Studio};
use craft::tag::Tag;
use store::folder::{Loaded, StoreError, StudioFolder};
use store::format::Decoded;
use store::name::{DocKind, DocPath};
use store::photos::PhotoName;

use super::forget::{photos_of, photos_of_held};

/// The photos that the orders and the shelf of a studio name, gathered once for everyone who is forgotten.
#[derive(Clone, Debug, PartialEq, Eq, Default)]
pub struct Shown {
    /// The photos of orders, by which of them.
    orders: BTreeMap<Digest, BTreeSet<Tag>>,
    /// Those of swatches on the shelf.
    shelf: BTreeSet<Digest>,
    /// Every order that is known.
    known: BTreeSet<Tag>,
    /// Every document that may name a photo was read.
    is_whole: bool,
}

impl Shown {
    pub(super) fn of(studio: &Studio) -> Self {
        let unread = |doc: &DocId| match doc {
            DocId::Order(tag) => !studio.orders().contains_key(tag),
            DocId::Shelf(id) => !studio.shelf().contains_key(id),
            DocId::Policies | DocId::Client(_) | DocId::Invoices(_) => false,
        };
        let mut orders: BTreeMap<Digest, BTreeSet<Tag>> = BTreeMap::new();
        for held in studio.orders().values() {
            for photo in photos_of_held(held) {
                orders.entry(photo).or_default().insert(held.tag());
            }
        }
        Self {
            orders,
            shelf: studio.shelf().values().flat_map(photos_of_item).collect(),
            known: studio.orders().keys().copied().collect(),
            is_whole: !studio.locked().keys().any(unread),
        }
    }
}

/// What of a studio stays when a client is forgotten, as far as it may name photos.
#[derive(Clone, Debug, PartialEq, Eq, Default)]
pub struct Staying {
    shown: Arc<Shown>,
    /// The client's own orders.
    theirs: BTreeSet<Tag>,
    /// The photos that a step back or forth would bring back.
    pub(crate) back: BTreeSet<Digest>,
}

impl Staying {
    /// What stays when these orders go.
    pub(super) fn when_these_go(shown: Arc<Shown>, theirs: &BTreeSet<Tag>) -> Self {
        Self { shown, theirs: theirs.clone(), back: BTreeSet::new() }
    }

    /// True of a photo that something names which stays.
    pub(super) fn is_named(&self, photo: &Digest) -> bool {
        let is_others = |tags: &BTreeSet<Tag>| !tags.is_subset(&self.theirs);
        self.shown.orders.get(photo).is_some_and(is_others)
            || self.shown.shelf.contains(photo)
            || self.back.contains(photo)
    }
}

/// The photos that a document names.
pub(crate) fn photos_of_doc(doc: &Doc) -> Vec<Digest> {
    match doc {
        Doc::Order(order) => photos_of(order).collect(),
        Doc::Shelf(_, item) => photos_of_item(item).collect(),
        Doc::Policies(_) | Doc::Client(..) | Doc::Invoices(_) => Vec::new(),
    }
}

fn photos_of_item(item: &Item) -> impl Iterator<Item = Digest> {
    let swatches = match &item.what {
        What::Pigment(pigment) => pigment.swatches.as_slice(),
        _ => &[],
    };
    swatches.iter().filter_map(|swatch| swatch.photo)
}

/// The photos among `kept` that nothing names, and whether that is sure.
#[derive(Debug, Default)]
pub(super) struct Loose<'a> {
    pub(super) photos: Vec<&'a PhotoName>,
    pub(super) is_sure: bool,
}

/// Looks for photos that nothing names. What goes with the client anyhow, `theirs`, is none of these. Earlier versions
/// are read only where no document as it is now names them.
pub(super) fn loose<'a>(
    folder: &StudioFolder,
    kept: &'a [PhotoName],
    theirs: &BTreeSet<Digest>,
    staying: &Staying,
) -> Loose<'a> {
    let named = |name: &PhotoName| theirs.contains(&name.hash()) || staying.is_named(&name.hash());
    let mut photos: Vec<&PhotoName> = kept.iter().filter(|name| !named(name)).collect();
    if photos.is_empty() {
        return Loose { photos, is_sure: true };
    }
    let once = if staying.shown.is_whole && no_order_is_missing(folder, staying) {
        once_named_by_others(folder, staying).ok()
    } else {
        None
    };
    if let Some(once) = &once {
        photos.retain(|name| !once.contains(&name.hash()));
    }
    Loose { photos, is_sure: once.is_some() }
}

/// An order that was seen once and has no file now may only be lost, and its photos would be all there is of it.
fn no_order_is_missing(folder: &StudioFolder, staying: &Staying) -> bool {
    let is_known = |tag: &Tag| staying.shown.known.contains(tag) || staying.theirs.contains(tag);
    let known = |stem: &str| stem.parse().is_ok_and(|tag| is_known(&tag));
    folder.load_heads().tags().all(known)
}

/// The photos that earlier versions and copies of what stays name.
///
/// # Errors
/// One of them cannot be read.
fn once_named_by_others(folder: &StudioFolder, staying: &Staying) -> Result<BTreeSet<Digest>, StoreError> {
    let is_theirs = |path: &DocPath| path.stem().parse().is_ok_and(|tag| staying.theirs.contains(&tag));
    let mut named = BTreeSet::new();
    for path in folder.with_history(DocKind::Order)?.iter().filter(|path| !is_theirs(path)) {
        each_version(folder, path, &mut |order: Order| named.extend(photos_of(&order)))?;
    }
    for path in folder.with_history(DocKind::Shelf)? {
        each_version(folder, &path, &mut |item: Item| named.extend(photos_of_item(&item)))?;
    }
    each_copy(folder, DocKind::Order, &mut |order: Order| named.extend(photos_of(&order)))?;
    each_copy(folder, DocKind::Shelf, &mut |item: Item| named.extend(photos_of_item(&item)))?;
    Ok(named)
}

fn each_version<T: serde::de::DeserializeOwned>(
    folder: &StudioFolder,
    path: &DocPath,
    take: &mut dyn FnMut(T),
) -> Result<(), StoreError> {
    for version in folder.history(path)? {
        match folder.earlier::<T>(path, &version)? {
            Some(Decoded::Whole(body)) => take(body),
            // It was let go since it was listed.
            None => {}
            Some(_) => return Err(unclear(folder, &folder.history_file(path, &version))),
        }
    }
    Ok(())
}

/// Every file beside the documents of a kind that may be one of them: a version that was kept, or another's copy.
fn each_copy<T: serde::de::DeserializeOwned>(
    folder: &StudioFolder,
    kind: DocKind,
    take: &mut dyn FnMut(T),
) -> Result<(), StoreError> {
    let listing = folder.list(kind)?;
    let strangers = listing.strangers.iter().filter(|name| name.to_ascii_lowercase().ends_with(".ron"));
    for name in listing.conflicts.iter().chain(strangers) {
        match folder.read_beside::<T>(kind, name) {
            Ok(Loaded::Whole(body)) => take(body),
            Ok(Loaded::Absent) => {}
            _ => return Err(unclear(folder, name)),
        }
    }
    Ok(())
}

fn unclear(folder: &StudioFolder, file: &str) -> StoreError {
    StoreError::Unclear {
        path: folder.root().join(file),
        what: "it is no document of this studio".to_owned(),
    }
}
