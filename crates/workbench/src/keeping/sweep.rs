//! Going through with every forgetting that was ever begun: after a crash, after an older copy of a file came back, and
//! where what is kept for the law has come to its day. Where nothing is left to do, nothing is written.
//!
//! A window gathers it once every order is read and has it done beside; until then `blank` keeps what is left of their
//! words out of what is read.

use std::collections::BTreeSet;

use chrono::NaiveDate;
use craft::id::{ClientId, DocId};
use craft::moment::Moment;
use craft::studio::{Doc, Studio};
use craft::tag::Tag;
use store::folder::{StoreError, StudioFolder};
use store::forgotten::Forgotten;
use store::name::{DocKind, DocPath};
use store::photos::PhotoName;
use store::told;

use super::forget::{Around, Forgetting, Gone, all_of, nobody, remove, without_words, write_down};
use crate::open::path_of;
use crate::present::forget_words;

/// What a sweep at the start came to.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Swept {
    /// How many clients had something left to be removed.
    pub clients: usize,
    /// What could not be done.
    pub troubles: Vec<String>,
}

/// One who was forgotten, with everything that may be left of theirs.
#[derive(Clone, Debug)]
pub struct Sweeping {
    who: Forgetting,
    /// Not all of their orders are written down as theirs.
    is_unknown: bool,
    /// Their orders that cannot be read.
    unread: Vec<Tag>,
}

impl Sweeping {
    /// The same of another who.
    #[must_use]
    pub(crate) fn but(self, who: impl FnOnce(Forgetting) -> Forgetting) -> Self {
        Self { who: who(self.who), ..self }
    }
}

/// What was done for everyone who was forgotten.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct AllSwept {
    /// What came of each of whom something was left.
    pub gone: Vec<Gone>,
    /// What could not be done.
    pub troubles: Vec<String>,
}

/// Takes the words of those who were forgotten out of what was read, here only; gives the documents that still have them on
/// the disk.
pub(crate) fn blank(studio: &mut Studio, forgotten: &Forgotten) -> BTreeSet<DocId> {
    if forgotten.is_empty() {
        return BTreeSet::new();
    }
    let tags = tags_of(forgotten);
    let is_gone = |client: &ClientId| forgotten.get(client.as_str()).is_some();
    let clients = studio.clients().iter().filter(|(id, known)| is_gone(id) && **known != nobody());
    let mut docs: Vec<Doc> = clients.map(|(id, _)| Doc::Client(id.clone(), Box::new(nobody()))).collect();
    let theirs = studio.orders().values().filter(|held| is_gone(held.client()) || tags.contains(&held.tag()));
    let blanks = theirs.map(|held| (&held.order, without_words(&held.order)));
    docs.extend(blanks.filter(|(now, then)| *now != then).map(|(_, then)| Doc::Order(Box::new(then))));
    // Each was let in a moment ago, and holds less now.
    docs.into_iter()
        .map(|doc| (doc.id(), doc))
        .filter_map(|(id, doc)| studio.take(doc).is_ok().then_some(id))
        .collect()
}

/// The orders of everyone who was forgotten.
pub(crate) fn tags_of(forgotten: &Forgotten) -> BTreeSet<Tag> {
    forgotten.all().flat_map(|(_, tombstone)| &tombstone.tags).filter_map(|tag| tag.parse().ok()).collect()
}

/// Everything that may be left of those who were forgotten. What of `unsaved` is blank here still has its words on the disk.
pub fn to_sweep(
    studio: &Studio,
    forgotten: &Forgotten,
    unsaved: &BTreeSet<DocId>,
    day: NaiveDate,
) -> Vec<Sweeping> {
    let around = Around::of(studio, unsaved);
    let one = |(client, tombstone): (&str, &store::forgotten::Tombstone)| {
        let client = client.parse::<ClientId>().ok()?;
        let tags: Vec<Tag> = tombstone.tags.iter().filter_map(|tag| tag.parse().ok()).collect();
        // The earlier versions of a file that cannot be read may be all there is of its record.
        let (unread, read): (Vec<Tag>, Vec<Tag>) =
            tags.iter().partition(|tag| studio.locked().contains_key(&DocId::Order(**tag)));
        let mut who = all_of(&around, &client, &tags, day);
        let is_noted = |tag: &Tag| tombstone.tags.contains(&tag.to_string().to_ascii_lowercase());
        let is_unknown = !who.tags.iter().all(is_noted);
        // Papers and earlier versions may be left of an order that has no file any more.
        let all: BTreeSet<Tag> = who.tags.iter().copied().chain(read).collect();
        who.tags = all.into_iter().collect();
        Some(Sweeping { who, is_unknown, unread })
    };
    forgotten.all().filter_map(one).collect()
}

/// Goes through with it for everyone.
///
/// # Errors
/// An order of theirs could not be written down as theirs.
pub fn go_through(folder: &StudioFolder, all: &[Sweeping]) -> Result<AllSwept, String> {
    let mut swept = AllSwept::default();
    let mut left = Left::of(folder);
    for Sweeping { who, is_unknown, unread } in all {
        swept.troubles.extend(unread.iter().copied().map(forget_words::forgotten_unread));
        if !left.has_rest(folder, who) && !is_unknown {
            continue;
        }
        if *is_unknown && let Err(why) = write_down(folder, who) {
            // The others are gone through all the same.
            swept.troubles.push(why);
            continue;
        }
        let gone = remove(folder, who, &mut left.photos);
        swept.troubles.extend(gone.troubles.iter().cloned());
        swept.gone.push(gone);
    }
    Ok(swept)
}

/// Gathers it, goes through with it and takes over what is on the disk then.
///
/// # Errors
/// Who is to be forgotten cannot be read.
pub fn sweep(folder: &StudioFolder, studio: &mut Studio, now: Moment) -> Result<Swept, String> {
    let forgotten: Forgotten = folder.load_forgotten().map_err(|why| told(&why))?;
    let all = to_sweep(studio, &forgotten, &BTreeSet::new(), now.day());
    let AllSwept { gone, troubles } = go_through(folder, &all)?;
    let clients = gone.len();
    for Gone { who, saved, .. } in gone {
        for doc in who.docs.into_iter().filter(|doc| saved.contains(&doc.id())) {
            studio.take(doc).map_err(|refusal| refusal.to_string())?;
        }
    }
    Ok(Swept { clients, troubles })
}

/// What lies in the folder, listed once for everyone.
struct Left {
    photos: Result<Vec<PhotoName>, String>,
    /// The versions kept beside documents, as paths below the folder; none where a folder would not be listed.
    beside: Option<Vec<String>>,
}

impl Left {
    fn of(folder: &StudioFolder) -> Self {
        let mut beside = Some(Vec::new());
        for kind in [DocKind::Client, DocKind::Order, DocKind::Money] {
            let within = kind.folder().unwrap_or_default();
            match (folder.list(kind), &mut beside) {
                (Ok(listing), Some(all)) => {
                    all.extend(listing.conflicts.iter().map(|name| format!("{within}/{name}")));
                }
                _ => beside = None,
            }
        }
        Self { photos: folder.photos().map_err(|why| told(&why)), beside }
    }

    /// Whether anything of a forgotten client is left in the folder. A disk that does not say counts as if it were.
    fn has_rest(&self, folder: &StudioFolder, who: &Forgetting) -> bool {
        let some = |listed: Result<bool, StoreError>| listed.unwrap_or(true);
        let paths: Vec<DocPath> = who.ids().iter().filter_map(|id| path_of(id).ok()).collect();
        let is_beside = |path: &DocPath| match &self.beside {
            Some(all) => all.iter().any(|name| path.has_beside(name)),
            None => true,
        };
        let theirs: BTreeSet<_> = who.photos.iter().collect();
        let is_kept = match &self.photos {
            Ok(kept) => !theirs.is_empty() && kept.iter().any(|name| theirs.contains(&name.hash())),
            Err(_unlisted) => true,
        };
        let mut papers = who.tags.iter().map(|tag| folder.papers(&tag.to_string()));
        !who.docs.is_empty()
            || is_kept
            || paths.iter().any(is_beside)
            || papers.any(|papers| some(papers.map(|papers| !papers.is_empty())))
            || paths.iter().any(|path| some(folder.history(path).map(|versions| !versions.is_empty())))
    }
}
