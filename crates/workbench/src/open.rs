//! From a folder to a studio: everything that can be read is, and what cannot is listed and left alone.

use std::fmt::Display;
use std::path::Path;
use std::sync::Arc;

use craft::id::{ClientId, DocId, ShelfId, StudioId, Year};
use craft::money::series::Series;
use craft::order::Order;
use craft::policies::Policies;
use craft::shelf::Item;
use craft::studio::{Doc, Studio};
use craft::tag::Tag;
use serde::de::DeserializeOwned;
use store::folder::{Access, Loaded, StoreError, StudioFolder};
use store::heads::{Heads, Witness};
use store::name::{DocKind, DocPath};
use store::vfs::Vfs;

use crate::saving::{Saves, Standing};

/// Something in the folder that the maker should look at.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Trouble {
    /// The file, as a path below the folder.
    pub file: String,
    /// What is wrong with it, what is safe, and what to do.
    pub what: String,
}

/// An opened studio.
#[derive(Debug)]
pub struct Opened {
    /// The folder.
    pub folder: Arc<StudioFolder>,
    /// The studio.
    pub studio: Studio,
    /// What could not be read or used.
    pub troubles: Vec<Trouble>,
    /// Why nothing can be changed, where that is so.
    pub read_only: Option<String>,
}

/// Why a studio cannot be opened at all.
#[derive(Debug, thiserror::Error)]
pub enum OpenError {
    /// The folder.
    #[error(transparent)]
    Store(#[from] StoreError),
    /// The settings.
    #[error("{file}: {what}")]
    Settings {
        /// The file.
        file: String,
        /// What is wrong with it.
        what: String,
    },
}

/// The file of a document.
///
/// # Errors
/// A year beyond what a name can hold; every other id is a name by its type.
pub fn path_of(doc: &DocId) -> Result<DocPath, store::name::NameError> {
    match doc {
        DocId::Policies => Ok(DocPath::studio()),
        DocId::Shelf(id) => DocPath::shelf(id.as_str()),
        DocId::Client(id) => DocPath::client(id.as_str()),
        DocId::Order(tag) => DocPath::order(&tag.to_string()),
        DocId::Invoices(year) => DocPath::money(year.0),
    }
}

/// Opens the studio in `root`.
///
/// # Errors
/// There is no studio, or its settings cannot be read; any other file that cannot be read is listed instead.
pub fn open(root: &Path, vfs: Arc<dyn Vfs>) -> Result<Opened, OpenError> {
    read(StudioFolder::open(root, vfs)?)
}

/// Looks into the studio in `root`, also while a window has it open; takes no lock and changes nothing.
///
/// # Errors
/// As [`open`].
pub fn look(root: &Path, vfs: Arc<dyn Vfs>) -> Result<Opened, OpenError> {
    read(StudioFolder::look(root, vfs)?)
}

fn read(folder: StudioFolder) -> Result<Opened, OpenError> {
    // Read before the records, so that what another window saves meanwhile is never missed in them.
    let seen = folder.load_heads();
    let settings = |what: String| OpenError::Settings { file: "studio.ron".to_owned(), what };
    let policies = match folder.load::<Policies>(&DocPath::studio())? {
        Loaded::Whole(policies) => policies,
        Loaded::Absent => {
            return Err(settings(
                "the studio's settings are missing; put the file back from a backup".to_owned(),
            ));
        }
        Loaded::Newer { version } => return Err(settings(newer_words(version))),
        Loaded::Broken(broken) => return Err(settings(broken_words(&broken))),
    };
    let mut loading = Loading { studio: Studio::new(policies), folder: &folder, troubles: Vec::new() };
    // Other files beside the settings are the maker's own affair; a second version of the settings is not.
    let beside = folder.list(DocKind::Studio)?;
    loading.conflicts(DocKind::Studio, &beside.documents, beside.conflicts);
    loading.all(DocKind::Shelf, |stem, item: Item| Ok(Doc::Shelf(name::<ShelfId>(stem)?, Box::new(item))))?;
    loading
        .all(DocKind::Client, |stem, client| Ok(Doc::Client(name::<ClientId>(stem)?, Box::new(client))))?;
    loading.all(DocKind::Money, |stem, series: Series| {
        let year = Year(stem.parse().map_err(|why| format!("\"{stem}\" is not a year: {why}"))?);
        if series.year() == year {
            Ok(Doc::Invoices(Box::new(series)))
        } else {
            Err(elsewhere(&series.year().0, &stem))
        }
    })?;
    loading.all(DocKind::Order, |stem, order: Order| {
        let tag = name::<Tag>(stem)?;
        if order.tag == tag { Ok(Doc::Order(Box::new(order))) } else { Err(elsewhere(&order.tag, &tag)) }
    })?;
    loading.compare_heads(&seen);
    loading.tell_of_changes();
    let Loading { studio, troubles, .. } = loading;
    let read_only = match folder.access() {
        Access::Writable => None,
        why => Some(why.to_string()),
    };
    let mut troubles = troubles;
    troubles.extend(
        folder.troubles().iter().map(|trouble| Trouble { file: String::new(), what: trouble.to_string() }),
    );
    Ok(Opened { folder: Arc::new(folder), studio, troubles, read_only })
}

/// What to do about a record that is not what was seen of it.
const GO_ON: &str =
    "put the newest copy back, or take the order's line out of \".heads\" to go on without it";

fn newer_words(version: u32) -> String {
    format!(
        "it was written by a newer version of this program (format {version}); it is left alone, open it with that version"
    )
}

fn broken_words(broken: &store::format::Broken) -> String {
    format!("{broken}; the file is left alone: mend it there, or put an earlier copy back")
}

fn elsewhere(says: &dyn Display, lies: &dyn Display) -> String {
    format!(
        "the file says it is {says} and lies where {lies} belongs; it comes from elsewhere and is left alone"
    )
}

fn name<T: std::str::FromStr>(stem: &str) -> Result<T, String>
where
    T::Err: Display,
{
    stem.parse().map_err(|why: T::Err| why.to_string())
}

/// The document whose file this is.
fn doc_of(path: &DocPath) -> Option<DocId> {
    match path.kind() {
        DocKind::Studio => Some(DocId::Policies),
        DocKind::Shelf => path.stem().parse().ok().map(DocId::Shelf),
        DocKind::Client => path.stem().parse().ok().map(DocId::Client),
        DocKind::Order => path.stem().parse().ok().map(DocId::Order),
        DocKind::Money => path.stem().parse().ok().map(|year| DocId::Invoices(Year(year))),
    }
}

struct Loading<'a> {
    studio: Studio,
    folder: &'a StudioFolder,
    troubles: Vec<Trouble>,
}

impl Loading<'_> {
    /// Loads every document of a kind.
    fn all<T: DeserializeOwned>(
        &mut self,
        kind: DocKind,
        to_doc: impl Fn(&str, T) -> Result<Doc, String>,
    ) -> Result<(), StoreError> {
        let listing = self.folder.list(kind)?;
        for path in &listing.documents {
            let loaded = self.folder.load::<T>(path);
            let doc = match loaded {
                Ok(Loaded::Whole(body)) => to_doc(path.stem(), body),
                Ok(Loaded::Absent) => continue,
                Ok(Loaded::Newer { version }) => Err(newer_words(version)),
                Ok(Loaded::Broken(broken)) => Err(broken_words(&broken)),
                Err(why) => Err(why.to_string()),
            };
            if let Err(what) =
                doc.and_then(|doc| self.studio.take(doc).map_err(|refusal| refusal.to_string()))
            {
                self.turn_away(path, what);
            }
        }
        self.conflicts(kind, &listing.documents, listing.conflicts);
        for stranger in listing.strangers {
            let what = "this is not a file of the studio; nothing reads or changes it";
            self.troubles.push(Trouble { file: in_folder(kind, &stranger), what: what.to_owned() });
        }
        Ok(())
    }

    /// Lists the versions kept beside documents. Where the document itself is gone, its name is not free: a new one
    /// under it would hide what is kept.
    fn conflicts(&mut self, kind: DocKind, documents: &[DocPath], kept_beside: Vec<String>) {
        for kept in kept_beside {
            let file = in_folder(kind, &kept);
            let name = kept.rsplit_once(".conflict-").map(|(stem, _)| format!("{stem}.ron"));
            let of = name.and_then(|name| DocPath::from_file_name(kind, &name).ok());
            let gone = of.filter(|path| !documents.contains(path));
            let what = match gone {
                Some(path) => {
                    let what = format!("{path} is not there any more, only this version of it; rename it back to that");
                    if let Some(doc) = doc_of(&path) {
                        self.studio.lock(doc, format!("{path} is gone, and {file} lies in its place; rename it back"));
                    }
                    what
                }
                None => "another program changed the file while it was open here; both versions are kept, compare \
                         them and delete one"
                    .to_owned(),
            };
            self.troubles.push(Trouble { file, what });
        }
    }

    /// Lists a file that cannot be used, and lets nothing be written in its place.
    fn turn_away(&mut self, path: &DocPath, what: String) {
        if let Some(doc) = doc_of(path) {
            self.studio.lock(doc, format!("{path} could not be used: {what}"));
        }
        self.troubles.push(Trouble { file: path.to_string(), what });
    }

    /// Looks whether a record is gone, shorter than, or different from, what was last seen of it.
    fn compare_heads(&mut self, heads: &Heads) {
        for (tag, held) in self.studio.orders() {
            let (tag_text, log) = (tag.to_string(), &held.order.log);
            let head_at = |count: u64| {
                let entry = u32::try_from(count).ok().and_then(|count| log.entry(count));
                entry.map(|entry| entry.seal)
            };
            let file = || format!("orders/{}.ron", tag_text.to_ascii_lowercase());
            match heads.compare(&tag_text, u64::from(log.len()), head_at) {
                Witness::Agrees | Witness::New => {}
                Witness::Shortened { witnessed } => self.troubles.push(Trouble {
                    file: file(),
                    what: format!(
                        "its record has {} entries and {witnessed} were seen before, so perhaps an older copy was put back; {GO_ON}",
                        log.len()
                    ),
                }),
                Witness::Forked { witnessed } => self.troubles.push(Trouble {
                    file: file(),
                    what: format!("entry {witnessed} of its record is another one than was seen before; {GO_ON}"),
                }),
            }
        }
        self.miss_vanished(heads);
    }

    /// Tells of what was changed outside the program and reads well all the same. Where more is wrong with the file,
    /// that is told instead.
    fn tell_of_changes(&mut self) {
        for path in self.folder.changed_since_saved() {
            let file = path.to_string();
            if self.troubles.iter().all(|trouble| trouble.file != file) {
                let what = "it was changed since this program saved it, by hand or by the disk, and is used as it stands; \
                            look whether all of it is right, or put an earlier copy back; where it was meant, take the \
                            file's last line away";
                self.troubles.push(Trouble { file, what: what.to_owned() });
            }
        }
    }

    /// A record that was seen before and is in no file now must not vanish in silence.
    fn miss_vanished(&mut self, heads: &Heads) {
        for tag in heads.tags().filter_map(|text| text.parse::<Tag>().ok()) {
            let known = self.studio.orders().contains_key(&tag)
                || self.studio.locked().contains_key(&DocId::Order(tag));
            if !known {
                let file = format!("orders/{}.ron", tag.to_string().to_ascii_lowercase());
                let what = format!("its record was seen before and the file is not there any more; {GO_ON}");
                self.troubles.push(Trouble { file, what });
            }
        }
    }
}

fn in_folder(kind: DocKind, file: &str) -> String {
    kind.folder().map_or_else(|| file.to_owned(), |folder| format!("{folder}/{file}"))
}

/// The witness of every record's last seal, as the studio stands now.
pub fn witness(studio: &Studio) -> Heads {
    witness_after(Heads::default(), studio, &Saves::default())
}

/// The witness as it was `seen`, brought forward to every record that is on the disk and goes on from there.
///
/// What was seen of a record that is shorter now, another one, or not there at all is kept, so that it is told of
/// at every opening until someone has looked; and what is not on the disk was never seen.
pub fn witness_after(mut seen: Heads, studio: &Studio, saves: &Saves) -> Heads {
    for (&tag, held) in studio.orders() {
        let (text, log) = (tag.to_string(), &held.order.log);
        let on_disk = matches!(saves.standing(&DocId::Order(tag)), Standing::Saved);
        let seal = |count| Some(log.entry(u32::try_from(count).ok()?)?.seal);
        let goes_on = seen.compare(&text, u64::from(log.len()), seal);
        if on_disk && !log.is_empty() && matches!(goes_on, Witness::Agrees | Witness::New) {
            seen.note(&text, u64::from(log.len()), held.record_seal());
        }
    }
    seen
}

/// A studio id nobody else has.
pub fn new_studio_id() -> StudioId {
    let mut text = String::from("studio-");
    for _ in 0..10 {
        text.push(fastrand::char('a'..='z'));
    }
    text.parse().unwrap_or_else(|_| new_studio_id())
}

#[cfg(test)]
mod tests;
