//! Reading the documents of a folder: all at once, or what is looked at first and the rest part by part.
//!
//! Until an order, a client or a year's invoices is read it is locked: the door knows that it is there, so that no
//! new one takes its name, and lets nothing change it.

use std::collections::BTreeSet;
use std::fmt::Display;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::Arc;

use craft::id::{ClientId, DocId, ShelfId, Year};
use craft::moment::Moment;
use craft::money::series::Series;
use craft::order::Order;
use craft::policies::Policies;
use craft::refusal::Refusal;
use craft::shelf::Item;
use craft::studio::{Doc, Studio, Summary};
use craft::tag::Tag;
use store::folder::{Access, Listing, Loaded, LoadedOr, StoreError, StudioFolder};
use store::forgotten::Forgotten;
use store::heads::{Heads, Witness};
use store::name::{DocKind, DocPath, kept_beside};

use super::resting::{self, Noted, Resting};
use super::{OpenError, Opened, path_of};
use crate::finding::{Edition, Finding, Instead, Parting, invoices_beside};
use crate::index::Index;
use crate::keeping::history::spare;
use crate::keeping::sweep;
use crate::present::finding_words::LEFT_ALONE;
use crate::present::{finding_words, job_words, reading_words};
use crate::runner::spread;

/// How many of the newest orders are looked at for whether they are open, where not all are read at once.
const PEEKED: usize = 900;

/// How many orders a part holds at most.
const PART: usize = 1_000;

/// How much of an order's end is looked at, in bytes: a few dozen entries.
const TAIL: usize = 8_192;

/// A part of a studio that was read after the rest.
#[derive(Clone, Debug)]
pub struct Part {
    /// What was read, let in by the same checks.
    pub(crate) studio: Studio,
    /// What follows from its orders.
    pub(crate) index: Option<Index>,
    /// What was found on the way.
    pub findings: Vec<Finding>,
    /// How many orders are still to be read.
    pub left: usize,
    /// What of those who were forgotten is blank here and still has its words on the disk.
    pub(crate) blanked: BTreeSet<DocId>,
}

/// What of a studio is still to be read.
#[derive(Debug)]
pub struct Rest {
    reader: Reader,
    /// The shelf and all clients: what the rows of orders are made from.
    shadow: Studio,
    /// Clients and invoices, which come before all orders.
    before: Vec<DocPath>,
    /// The orders, the next at the end.
    orders: Vec<DocPath>,
    /// The orders stand as they are to be read: open ones before others.
    is_sorted: bool,
    /// Files beside documents, compared last.
    beside: Vec<(DocKind, String)>,
    /// What is known of the orders at rest, as far as they are read; none once it is kept.
    noted: Option<Noted>,
    /// What of those who were forgotten was blanked among the first; taken out by whoever began.
    blanked: BTreeSet<DocId>,
    total: usize,
}

/// How a studio is read.
#[derive(Clone, Copy, Debug)]
pub(super) struct Means {
    /// So many orders at first, the others part by part; where there are no more, all at once.
    pub(super) at_first: usize,
    /// Where there are more orders than that, those that are over are put to rest; none where all are held whole.
    pub(super) rest_above: Option<usize>,
}

impl Means {
    /// All at once, every order whole and every byte looked at.
    pub(super) const fn whole() -> Self {
        Self { at_first: usize::MAX, rest_above: None }
    }
}

#[derive(Debug)]
struct Reader {
    folder: Arc<StudioFolder>,
    /// The settings and the shelf.
    base: Studio,
    /// What was seen of every record before any was read, so that what another window saves meanwhile is never missed.
    seen: Heads,
    /// How orders that are over are put to rest; none where they are held whole.
    resting: Option<Resting>,
    /// Who was forgotten: where the reading goes on beside, what is left of their words is never shown.
    forgotten: Forgotten,
}

/// The documents read, what was found with them, and what is known of those at rest.
struct Read {
    studio: Studio,
    found: Vec<Finding>,
    noted: Noted,
}

/// Reads a studio.
pub(super) fn begin(folder: StudioFolder, means: Means) -> Result<(Opened, Option<Rest>), OpenError> {
    let seen = folder.load_heads();
    let policies = settings(&folder)?;
    let folder = Arc::new(folder);
    let mut studio = Studio::new(policies);
    // Other files beside the settings are the maker's own affair; a second version of the settings is not.
    let own = folder.list(DocKind::Studio)?;
    let mut found = beside(&mut studio, DocKind::Studio, &Listing { strangers: Vec::new(), ..own });
    let shelf = folder.list(DocKind::Shelf)?;
    for path in &shelf.documents {
        let took = load(&folder, path).and_then(|doc| take(&folder, &mut studio, path, doc));
        found.extend(took.err().map(|finding| lock(&mut studio, path, finding)));
    }
    found.extend(beside(&mut studio, DocKind::Shelf, &shelf));
    // A list that cannot be read is told of by whoever keeps it.
    let forgotten = folder.load_forgotten().unwrap_or_default();
    let reader = Reader { folder: folder.clone(), base: studio.for_a_part(), seen, resting: None, forgotten };
    let mut rest = reader.read_documents(&mut studio, &mut found, means)?;
    let blanked = rest.as_mut().map(|rest| std::mem::take(&mut rest.blanked)).unwrap_or_default();
    tell_of_changes(&folder, &mut found, |_| true);
    let read_only = match folder.access() {
        Access::Writable => None,
        why => Some(why.to_string()),
    };
    found.extend(folder.troubles().iter().map(|trouble| Finding::Folder(trouble.to_string())));
    let troubles = found.iter().map(Finding::trouble).collect();
    Ok((Opened { folder, studio, troubles, findings: found, blanked, read_only }, rest))
}

fn settings(folder: &StudioFolder) -> Result<Policies, OpenError> {
    let wrong = |what: String| OpenError::Settings { file: "studio.ron".to_owned(), what };
    match folder.load::<Policies>(&DocPath::studio())? {
        Loaded::Whole(policies) => Ok(policies),
        Loaded::Absent => {
            Err(wrong("the studio's settings are missing; put the file back from a backup".to_owned()))
        }
        Loaded::Newer { version } => Err(wrong(newer_words(version))),
        Loaded::Broken(broken) => Err(wrong(broken_words(&broken))),
    }
}

impl Reader {
    /// Clients, invoices and orders: all of them, or the first orders with what they need.
    fn read_documents(
        mut self,
        studio: &mut Studio,
        found: &mut Vec<Finding>,
        means: Means,
    ) -> Result<Option<Rest>, StoreError> {
        let [clients, money, orders] = [DocKind::Client, DocKind::Money, DocKind::Order]
            .map(|kind| self.folder.list(kind).map(|listing| (kind, listing)));
        let all = [clients?, money?, orders?];
        let [(_, clients), (_, money), (_, orders)] = &all;
        match means.rest_above {
            Some(few) if orders.documents.len() > few => {
                self.resting = Some(Resting::begin(&self.folder, &studio.policies().studio));
            }
            // With so few orders none is at rest, and what lies there from before would only hold names.
            Some(_) => drop(self.folder.remove_summaries()),
            None => {}
        }
        let mut noted = Noted::default();
        if orders.documents.len() <= means.at_first {
            for (kind, listing) in &all {
                self.read_into((studio, found, &mut noted), &listing.documents);
                found.extend(beside(studio, *kind, &without_copies(*kind, listing)));
                for name in copies(*kind, listing) {
                    found.push(self.compare_copy(studio, *kind, name));
                }
            }
            found.extend(self.unlike_the_witness(studio));
            found.extend(self.vanished(studio, &orders.documents));
            self.keep(noted);
            return Ok(None);
        }
        let [mut before, mut later] = [&clients.documents, &orders.documents].map(Clone::clone);
        before.extend(money.documents.iter().cloned());
        before.sort();
        self.folder.await_documents(&before);
        before.iter().chain(&later).for_each(|path| lock_until_read(studio, path));
        let first = self.choose_first(&mut later, means.at_first);
        self.read_into((studio, found, &mut noted), &first);
        let theirs = studio.orders().values().map(|held| held.client().clone());
        let gone = self.forgotten.all().filter_map(|(client, _)| client.parse::<ClientId>().ok());
        let theirs: BTreeSet<ClientId> = theirs.chain(gone).collect();
        let theirs = theirs.into_iter().filter_map(|id| path_of(&DocId::Client(id)).ok());
        let theirs: Vec<DocPath> = theirs.filter(|path| before.binary_search(path).is_ok()).collect();
        self.read_into((studio, found, &mut noted), &theirs);
        let blanked = self.blank(studio);
        found.extend(self.unlike_the_witness(studio));
        found.extend(self.vanished(studio, &orders.documents));
        let mut compared = Vec::new();
        for (kind, listing) in &all {
            found.extend(beside(studio, *kind, &without_copies(*kind, listing)));
            compared.extend(copies(*kind, listing).map(|name| (*kind, name.clone())));
        }
        let mut shadow = self.base.clone();
        let known = studio.clients().iter().map(|(id, client)| (id.clone(), Box::new(client.clone())));
        for (id, client) in known {
            // It was let in a moment ago by the same check.
            drop(shadow.take(Doc::Client(id, client)));
        }
        before.retain(|path| !theirs.contains(path));
        let total = orders.documents.len();
        let (reader, orders) = (self, later);
        let (is_sorted, noted) = (false, Some(noted));
        let beside = compared;
        Ok(Some(Rest { reader, shadow, before, orders, is_sorted, beside, noted, blanked, total }))
    }

    /// Takes the words of those who were forgotten out of what was read, here only.
    fn blank(&self, studio: &mut Studio) -> BTreeSet<DocId> {
        sweep::blank(studio, &self.forgotten)
    }

    fn keep(&self, noted: Noted) {
        if let Some(resting) = &self.resting {
            resting.keep(&self.folder, noted);
        }
    }

    /// The orders that are read first, taken out of `later`, which is left with the newest at its end.
    fn choose_first(&self, later: &mut Vec<DocPath>, most: usize) -> Vec<DocPath> {
        let written = self.folder.await_documents(later);
        let mut by_age: Vec<(i128, DocPath)> = written.into_iter().zip(std::mem::take(later)).collect();
        by_age.sort();
        let newest = by_age.split_off(by_age.len().saturating_sub(PEEKED.max(most)));
        let newest: Vec<DocPath> = newest.into_iter().rev().map(|(_, path)| path).collect();
        let (mut first, mut others) = self.open_and_others(newest);
        first.append(&mut others);
        let mut rest = first.split_off(most.min(first.len()));
        rest.reverse();
        let rest = by_age.into_iter().map(|(_, path)| path).chain(rest);
        // What is left of those who were forgotten is known before anything is shown.
        let gone: BTreeSet<DocPath> = sweep::tags_of(&self.forgotten)
            .into_iter()
            .filter_map(|tag| path_of(&DocId::Order(tag)).ok())
            .collect();
        let (gone, others): (Vec<DocPath>, Vec<DocPath>) = rest.partition(|path| gone.contains(path));
        *later = others;
        first.extend(gone);
        first
    }

    /// Which orders look open, from their bytes; it decides on nothing but what is read first.
    fn open_and_others(&self, paths: Vec<DocPath>) -> (Vec<DocPath>, Vec<DocPath>) {
        let open = spread(&paths, |some| {
            some.iter()
                .map(|path| self.folder.peek(path, TAIL).is_none_or(|bytes| looks_open(&bytes)))
                .collect()
        });
        let open: Vec<bool> = open.into_iter().flat_map(|some: Vec<bool>| some).collect();
        let (mut first, mut others) = (Vec::new(), Vec::new());
        for (path, is_open) in paths.into_iter().zip(open) {
            if is_open { first.push(path) } else { others.push(path) }
        }
        (first, others)
    }

    fn read_into(
        &self,
        (studio, found, noted): (&mut Studio, &mut Vec<Finding>, &mut Noted),
        paths: &[DocPath],
    ) {
        for read in self.read_all(paths) {
            studio.join(read.studio);
            found.extend(read.found);
            noted.join(read.noted);
        }
    }

    /// Reads documents, on two threads where there are many; every digest and every chain is checked on the way, or was
    /// of the very same bytes.
    fn read_all(&self, paths: &[DocPath]) -> Vec<Read> {
        spread(paths, |some| {
            let mut read =
                Read { studio: self.base.for_a_part(), found: Vec::new(), noted: Noted::default() };
            for path in some {
                // A fault in reading one file costs that file, never the others.
                let took = catch_unwind(AssertUnwindSafe(|| self.read_one(&mut read, path)));
                let took = took.unwrap_or_else(|_| Err(unreadable(path, job_words::FAULT_INSIDE.to_owned())));
                if let Err(finding) = took {
                    let finding = lock(&mut read.studio, path, finding);
                    read.found.push(finding);
                }
            }
            read
        })
    }

    fn read_one(&self, Read { studio, noted, .. }: &mut Read, path: &DocPath) -> Result<(), Finding> {
        let folder = &self.folder;
        let Some(resting) = self.resting.as_ref().filter(|_| path.kind() == DocKind::Order) else {
            return load(folder, path).and_then(|doc| take(folder, studio, path, doc));
        };
        let read = folder.load_unless::<Order, Summary>(path, |file| resting.known(path, file));
        let (loaded, file) = match read.map_err(|why| unreadable(path, why.to_string()))? {
            LoadedOr::Known(summary, file) => {
                resting::take(studio, summary, (path, &file), noted);
                return Ok(());
            }
            LoadedOr::Loaded(loaded, file) => (loaded, file),
        };
        let doc = whole(folder, path, Ok(loaded), |order| order_at(path, order))?;
        take(folder, studio, path, doc)?;
        if let Some(file) = file {
            resting::lay_to_rest(studio, (path, &file), noted);
        }
        Ok(())
    }

    /// Looks whether a record is shorter than, or different from, what was last seen of it.
    fn unlike_the_witness(&self, part: &Studio) -> Vec<Finding> {
        let compare = |(&tag, held): (&Tag, &craft::studio::Held)| {
            let entries = held.entries();
            let head_at = |count: u64| held.seal_after(u32::try_from(count).ok()?);
            match self.seen.compare(&tag.to_string(), u64::from(entries), head_at) {
                Witness::Agrees | Witness::New => None,
                Witness::Shortened { witnessed } => Some(Finding::Shortened { tag, entries, witnessed }),
                Witness::Forked { witnessed } => Some(Finding::Forked { tag, witnessed }),
            }
        };
        part.orders().iter().filter_map(compare).collect()
    }

    /// A record that was seen before and is in no file now must not vanish in silence.
    fn vanished(&self, studio: &Studio, listed: &[DocPath]) -> Vec<Finding> {
        let there: BTreeSet<&str> = listed.iter().map(DocPath::stem).collect();
        let gone = self.seen.tags().filter(|stem| !there.contains(stem));
        let gone = gone.filter_map(|stem| stem.parse::<Tag>().ok());
        let gone = gone.filter(|tag| !studio.locked().contains_key(&DocId::Order(*tag)));
        gone.map(|tag| Finding::Vanished { tag }).collect()
    }

    /// A file that may be a second edition of a document: a version kept beside it, or a copy another program made.
    fn compare_copy(&self, studio: &mut Studio, kind: DocKind, name: &str) -> Finding {
        let compared = match kind {
            DocKind::Order => self.compare_order(studio, name),
            DocKind::Money => self.compare_invoices(name),
            DocKind::Studio | DocKind::Shelf | DocKind::Client => None,
        };
        compared.unwrap_or_else(|| {
            let file = in_folder(kind, name);
            if kept_beside(name).is_some() {
                Finding::Beside { file, gone: None }
            } else {
                Finding::Stranger { file }
            }
        })
    }

    fn compare_order(&self, studio: &mut Studio, name: &str) -> Option<Finding> {
        let Ok(Loaded::Whole(theirs)) = self.folder.read_beside::<Order>(DocKind::Order, name) else {
            return None;
        };
        let (tag, file) = (theirs.tag, in_folder(DocKind::Order, name));
        self.base.for_a_part().take(Doc::Order(Box::new(theirs.clone()))).ok()?;
        let own = path_of(&DocId::Order(tag)).ok()?;
        Some(match self.folder.read_beside::<Order>(DocKind::Order, &own.file_name()) {
            Ok(Loaded::Whole(ours)) if ours.tag == tag => Finding::Edition(Edition::new(file, &ours, theirs)),
            Ok(Loaded::Absent) => {
                studio.lock(
                    DocId::Order(tag),
                    format!("{own} is gone, and {file} lies in its place; rename it back"),
                );
                Finding::Misnamed { file, tag }
            }
            _ => {
                let (ours, how, other_words) = (0, Parting::OursUnreadable, false);
                Finding::Edition(Edition { file, ours, how, other_words, order: Box::new(theirs) })
            }
        })
    }

    fn compare_invoices(&self, name: &str) -> Option<Finding> {
        let Ok(Loaded::Whole(theirs)) = self.folder.read_beside::<Series>(DocKind::Money, name) else {
            return None;
        };
        let own = path_of(&DocId::Invoices(theirs.year())).ok()?;
        let ours = match self.folder.read_beside::<Series>(DocKind::Money, &own.file_name()) {
            Ok(Loaded::Whole(ours)) => ours,
            Ok(Loaded::Absent) => Series::new(theirs.year()),
            _ => return None,
        };
        Some(invoices_beside(in_folder(DocKind::Money, name), &ours, &theirs))
    }
}

impl Rest {
    /// How many orders are still to be read.
    pub fn left(&self) -> usize {
        self.orders.len()
    }

    /// How many orders there are in all.
    pub fn total(&self) -> usize {
        self.total
    }

    /// How far the reading is, in per cent.
    pub fn percent(&self) -> u8 {
        let read = self.total.saturating_sub(self.orders.len());
        u8::try_from(read * 100 / self.total.max(1)).unwrap_or(100)
    }

    /// Reads the next part; none once everything is read. `now` is for the rows of the board. A part counts as read only
    /// at its end, so that none is passed over where a fault inside ends it before.
    pub fn next_part(&mut self, now: Moment) -> Option<Part> {
        if !self.before.is_empty() {
            let paths = self.before.clone();
            let (studio, mut findings, blanked) = self.read(&paths);
            tell_of_changes(&self.reader.folder, &mut findings, |path| paths.contains(path));
            self.shadow.join(studio.clone());
            self.before.clear();
            return Some(Part { studio, index: None, findings, left: self.left(), blanked });
        }
        if !self.is_sorted {
            let newest = self.orders.iter().rev().cloned().collect();
            let (mut open, mut others) = self.reader.open_and_others(newest);
            open.append(&mut others);
            self.orders = open.into_iter().rev().collect();
            self.is_sorted = true;
        }
        if !self.orders.is_empty() {
            let at = self.orders.len().saturating_sub(PART);
            let paths: Vec<DocPath> = self.orders.iter().skip(at).rev().cloned().collect();
            let (studio, mut findings, blanked) = self.read(&paths);
            findings.extend(self.reader.unlike_the_witness(&studio));
            tell_of_changes(&self.reader.folder, &mut findings, |path| paths.contains(path));
            self.shadow.join(studio);
            let index = Some(Index::new(&self.shadow, now));
            self.orders.truncate(at);
            let (studio, left) = (self.shadow.set_orders_apart(), self.left());
            return Some(Part { studio, index, findings, left, blanked });
        }
        if let Some(noted) = self.noted.take() {
            self.reader.keep(noted);
            // Whoever reads on keeps the folder, and need not keep these.
            self.reader.resting = None;
        }
        let (kind, name) = self.beside.last()?;
        let mut studio = self.reader.base.for_a_part();
        let found = self.reader.compare_copy(&mut studio, *kind, name);
        self.beside.pop();
        Some(Part { studio, index: None, findings: vec![found], left: 0, blanked: BTreeSet::new() })
    }

    fn read(&mut self, paths: &[DocPath]) -> (Studio, Vec<Finding>, BTreeSet<DocId>) {
        let (mut studio, mut found) = (self.reader.base.for_a_part(), Vec::new());
        let noted = self.noted.get_or_insert_default();
        self.reader.read_into((&mut studio, &mut found, noted), paths);
        let blanked = self.reader.blank(&mut studio);
        (studio, found, blanked)
    }
}

/// The files beside documents that may be a second edition of one.
fn copies(kind: DocKind, listing: &Listing) -> impl Iterator<Item = &String> {
    let gone = move |name: &str| own_file(kind, name).is_some_and(|path| !listing.documents.contains(&path));
    let kept = listing.conflicts.iter().filter(move |name| !gone(name));
    let is_ours = matches!(kind, DocKind::Order | DocKind::Money);
    kept.chain(&listing.strangers).filter(move |name| is_ours && has_ending(name))
}

/// The same listing with those files left out.
fn without_copies(kind: DocKind, listing: &Listing) -> Listing {
    let compared: BTreeSet<&String> = copies(kind, listing).collect();
    let others = |names: &[String]| names.iter().filter(|name| !compared.contains(name)).cloned().collect();
    Listing {
        documents: listing.documents.clone(),
        conflicts: others(&listing.conflicts),
        strangers: others(&listing.strangers),
    }
}

fn has_ending(name: &str) -> bool {
    name.len() > 4 && name.get(name.len() - 4..).is_some_and(|end| end.eq_ignore_ascii_case(".ron"))
}

/// The document beside which a version was kept.
fn own_file(kind: DocKind, name: &str) -> Option<DocPath> {
    DocPath::from_file_name(kind, &format!("{}.ron", kept_beside(name)?)).ok()
}

/// Lists the versions kept beside documents, and what is no document. Where the document itself is gone, its name is
/// not free: a new one under it would hide what is kept.
fn beside(studio: &mut Studio, kind: DocKind, listing: &Listing) -> Vec<Finding> {
    let mut found = Vec::new();
    for kept in &listing.conflicts {
        let file = in_folder(kind, kept);
        let gone = own_file(kind, kept).filter(|path| !listing.documents.contains(path));
        if let Some((path, doc)) = gone.as_ref().and_then(|path| Some((path, doc_of(path)?))) {
            studio.lock(doc, format!("{path} is gone, and {file} lies in its place; rename it back"));
        }
        found.push(Finding::Beside { file, gone: gone.map(|path| path.to_string()) });
    }
    let strangers = listing.strangers.iter();
    found.extend(strangers.map(|name| Finding::Stranger { file: in_folder(kind, name) }));
    found
}

/// Guesses from its bytes whether an order is still worked on: nothing but the order of reading rests on it.
fn looks_open(bytes: &[u8]) -> bool {
    // The record stands at the end of the file, so its last entries decide.
    let last = |words: &[u8]| bytes.windows(words.len()).rposition(|found| found == words);
    let over = last(b"Home(Sent").or_else(|| last(b"Client(CalledOff"));
    over.is_none_or(|over| last(b"Home(CameBack").is_some_and(|back| back > over))
}

/// Reads one document; none where its file has gone since it was listed and was never waited for.
fn load(folder: &StudioFolder, path: &DocPath) -> Result<Option<Doc>, Finding> {
    let wrong = |what: String| unreadable(path, what);
    let stem = path.stem();
    match path.kind() {
        DocKind::Studio => Ok(None),
        DocKind::Shelf => whole(folder, path, folder.load(path), |item: Item| {
            Ok(Doc::Shelf(name::<ShelfId>(stem).map_err(wrong)?, Box::new(item)))
        }),
        DocKind::Client => whole(folder, path, folder.load(path), |client| {
            Ok(Doc::Client(name::<ClientId>(stem).map_err(wrong)?, Box::new(client)))
        }),
        DocKind::Money => whole(folder, path, folder.load(path), |series: Series| {
            let year = stem.parse().map(Year);
            let year = year.map_err(|why| wrong(format!("\"{stem}\" is not a year: {why}")))?;
            if series.year() == year {
                Ok(Doc::Invoices(Box::new(series)))
            } else {
                Err(wrong(elsewhere(&series.year().0, &stem)))
            }
        }),
        DocKind::Order => whole(folder, path, folder.load(path), |order| order_at(path, order)),
    }
}

/// An order lies under its own tag.
fn order_at(path: &DocPath, order: Order) -> Result<Doc, Finding> {
    let lies = name::<Tag>(path.stem()).map_err(|what| unreadable(path, what))?;
    if order.tag == lies {
        Ok(Doc::Order(Box::new(order)))
    } else {
        Err(Finding::TagTwice { file: path.to_string(), says: order.tag, lies })
    }
}

fn whole<T>(
    folder: &StudioFolder,
    path: &DocPath,
    loaded: Result<Loaded<T>, StoreError>,
    to_doc: impl FnOnce(T) -> Result<Doc, Finding>,
) -> Result<Option<Doc>, Finding> {
    let what = match loaded {
        Ok(Loaded::Whole(body)) => return to_doc(body).map(Some),
        Ok(Loaded::Absent) => return Ok(None),
        Ok(Loaded::Newer { version }) => newer_words(version),
        Ok(Loaded::Broken(broken)) => return Err(damaged(folder, path, broken_words(&broken))),
        Err(why) => why.to_string(),
    };
    Err(unreadable(path, what))
}

fn take(folder: &StudioFolder, studio: &mut Studio, path: &DocPath, doc: Option<Doc>) -> Result<(), Finding> {
    let Some(doc) = doc else { return Ok(()) };
    studio.take(doc).map_err(|refusal| match refusal {
        Refusal::Elsewhere { .. } => unreadable(path, refusal.to_string()),
        _ => damaged(folder, path, refusal.to_string()),
    })
}

fn unreadable(path: &DocPath, what: String) -> Finding {
    Finding::Unreadable { file: path.to_string(), what, instead: Instead::NotSought }
}

/// Reads a document once more, after something else was put in the place of its file.
pub(crate) fn read_again(folder: &StudioFolder, path: &DocPath) -> Result<Doc, String> {
    match load(folder, path) {
        Ok(Some(doc)) => Ok(doc),
        Ok(None) => Err(finding_words::NOT_THERE.to_owned()),
        Err(finding) => Err(finding.trouble().what),
    }
}

/// The same of a file that is no longer what it was, with what could take its place.
fn damaged(folder: &StudioFolder, path: &DocPath, what: String) -> Finding {
    let Some(doc) = doc_of(path) else { return unreadable(path, what) };
    let instead = spare(folder, &doc).map_or(Instead::None, |spare| Instead::Version(Box::new(spare)));
    Finding::Unreadable { file: path.to_string(), what, instead }
}

/// Lets nothing be written in the place of a file that is not read yet.
fn lock_until_read(studio: &mut Studio, path: &DocPath) {
    if let Some(doc) = doc_of(path) {
        studio.lock(doc, format!("{path}: {}", reading_words::AWAITED));
    }
}

/// Lets nothing be written in the place of a file that cannot be used.
fn lock(studio: &mut Studio, path: &DocPath, finding: Finding) -> Finding {
    if let Some(doc) = doc_of(path) {
        studio.lock(doc, format!("{path} could not be used: {}", finding.trouble().what));
    }
    finding
}

/// Tells of what was changed outside the program and reads well all the same. Where more is wrong with the file, that
/// is told instead.
fn tell_of_changes(folder: &StudioFolder, found: &mut Vec<Finding>, was_read: impl Fn(&DocPath) -> bool) {
    for path in folder.changed_since_saved().iter().filter(|path| was_read(path)) {
        let file = path.to_string();
        if found.iter().all(|finding| finding.trouble().file != file) {
            found.push(Finding::Changed { file });
        }
    }
}

/// The document whose file this is.
pub(crate) fn doc_of(path: &DocPath) -> Option<DocId> {
    match path.kind() {
        DocKind::Studio => Some(DocId::Policies),
        DocKind::Shelf => path.stem().parse().ok().map(DocId::Shelf),
        DocKind::Client => path.stem().parse().ok().map(DocId::Client),
        DocKind::Order => path.stem().parse().ok().map(DocId::Order),
        DocKind::Money => path.stem().parse().ok().map(|year| DocId::Invoices(Year(year))),
    }
}

fn newer_words(version: u32) -> String {
    format!(
        "it was written by a newer version of this program (format {version}); it is left alone, open it with that version"
    )
}

fn broken_words(broken: &store::format::Broken) -> String {
    format!("{broken}{LEFT_ALONE}")
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

fn in_folder(kind: DocKind, file: &str) -> String {
    kind.folder().map_or_else(|| file.to_owned(), |folder| format!("{folder}/{file}"))
}

#[cfg(test)]
mod tests;
