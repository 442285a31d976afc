//! Forgetting a client: everything that says who they are and whom they remembered goes, the record of what happened to
//! what they entrusted stays.
//!
//! One file says who is to be forgotten, before anything is removed. The rest is a [`sweep`](super::sweep) that is gone
//! through at each start, so one that was cut short is finished.

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;
use std::sync::Arc;

use chrono::NaiveDate;
use craft::client::Client;
use craft::digest::Digest;
use craft::id::{ClientId, DocId, Year};
use craft::moment::Moment;
use craft::money::series::{Issued, Party, Series};
use craft::order::{Order, Photo, PhotoKind, Quote, Remembered, Sheet, Story};
use craft::place::Place;
use craft::studio::{Doc, Held, Studio};
use craft::tag::Tag;
use craft::text::{Line, Text};
use store::folder::{Loaded, StoreError, StudioFolder};
use store::forgotten::{Forgotten, file_in, must_be_saved};
use store::format::Decoded;
use store::name::{DocKind, DocPath};
use store::photos::PhotoName;
use store::save::SaveOutcome;
use store::told;

use super::history::SpareOf;
use super::loose::{Shown, Staying, loose};
use crate::finding::{self, Edition, Finding, Instead, Owners, Parting};
use crate::open::path_of;
use crate::present::{finding_words, forget_words};
use crate::runner::save_doc;

/// A client who is to be forgotten, with everything of theirs.
#[derive(Clone, Debug, PartialEq)]
pub struct Forgetting {
    /// The client.
    pub client: ClientId,
    /// The day.
    pub day: NaiveDate,
    /// Their orders.
    pub tags: Vec<Tag>,
    /// Their documents as they shall be.
    pub docs: Vec<Doc>,
    /// The digests of photos that nothing else names.
    pub photos: Vec<Digest>,
    /// Words that shall be found nowhere any more; none where nobody asks.
    pub words: Vec<String>,
    /// What was issued to them, and the last day it is kept; no day where the studio's settings name no number of years.
    pub money: Vec<(Year, Option<NaiveDate>)>,
    /// An order that could not be read. It may name any photo, so none is removed until it can be.
    pub unread: Option<Tag>,
    /// What stays, as far as it may name photos: what none of it names goes too.
    pub staying: Staying,
}

impl Forgetting {
    /// Every document of theirs.
    pub(crate) fn ids(&self) -> BTreeSet<DocId> {
        let tags = self.tags.iter().copied().map(DocId::Order);
        self.docs.iter().map(Doc::id).chain(tags).chain([DocId::Client(self.client.clone())]).collect()
    }
}

/// What came of it.
#[derive(Clone, Debug, PartialEq)]
pub struct Gone {
    /// Who was forgotten.
    pub who: Forgetting,
    /// The documents that are on the disk as they shall be. Any other still says which photos there are, and must not be
    /// taken over anywhere: the next try goes by it.
    pub saved: BTreeSet<DocId>,
    /// How many photos were removed.
    pub photos: usize,
    /// How many of these nothing named, so that nobody could say whose they were.
    pub loose: usize,
    /// How many photos are left that nothing seems to name, where not everything that may name them can be read.
    pub loose_left: usize,
    /// How many photos of theirs are left until an order that cannot be read can be: it may show them as well.
    pub waiting: usize,
    /// How many papers were removed.
    pub papers: usize,
    /// How many earlier versions were removed, with those kept beside.
    pub versions: usize,
    /// What could not be done; it is tried again at the next start.
    pub troubles: Vec<String>,
    /// Files in which some of the words still stand, the money record left out.
    pub still: Vec<String>,
}

/// Everything of a client, once nothing of theirs is held any more.
///
/// An order that cannot be read and is known to be another's is in nobody's way, but for the photos, which it may show:
/// these wait. `owners` is whose such orders are.
///
/// # Errors
/// Something of theirs is held still, is on its way, or a file could not be read that is or may be theirs.
pub fn forgetting(
    studio: &Studio,
    client: &ClientId,
    owners: &Owners,
    now: Moment,
) -> Result<Forgetting, String> {
    if !studio.clients().contains_key(client) {
        return Err(forget_words::nobody(client));
    }
    for tag in studio.locked().keys().filter_map(order_of) {
        let known = studio.orders().get(&tag).map(Held::client).or_else(|| owners.get(&tag));
        match known {
            Some(owner) if owner != client => {}
            Some(_) => return Err(forget_words::theirs_unread(tag)),
            None => return Err(forget_words::unread(tag)),
        }
    }
    let orders: Vec<&Held> = orders_of(studio, client).collect();
    for held in &orders {
        if let Some(why) = still_held(held) {
            return Err(why);
        }
    }
    let words = words_of(studio, client, &orders);
    let unsaved = BTreeSet::new();
    Ok(Forgetting { words, ..all_of(&Around::of(studio, &unsaved), client, &[], now.day()) })
}

/// The first order of a client that has to be brought to its end before they can be forgotten.
pub fn in_the_way(studio: &Studio, client: &ClientId) -> Option<Tag> {
    orders_of(studio, client).find(|held| still_held(held).is_some()).map(|held| held.order.tag)
}

/// Why an order cannot be forgotten yet.
fn still_held(held: &Held) -> Option<String> {
    let ledger = &held.ledger;
    let here =
        ledger.custody.things.iter().find(|(thing, state)| state.is_here() && !ledger.is_bare(**thing));
    if let Some((thing, _)) = here {
        return Some(forget_words::still_here(held, *thing));
    }
    // Of a part, or of a second box, the order as a whole says nothing.
    let in_the_post = ledger.custody.things.values().any(|state| state.place == Place::Post && !state.lost);
    let travelling = ledger.home.is_gone() && ledger.home.arrived.is_none();
    (in_the_post || travelling).then(|| forget_words::on_its_way(held))
}

fn orders_of<'a>(studio: &'a Studio, client: &'a ClientId) -> impl Iterator<Item = &'a Held> {
    studio.orders().values().filter(move |held| held.client() == client)
}

/// What of a studio is asked for everyone who is forgotten, gathered once.
pub(super) struct Around<'a> {
    studio: &'a Studio,
    shown: Arc<Shown>,
    orders: BTreeMap<&'a ClientId, Vec<Tag>>,
    /// What is blank here and still has its words on the disk.
    unsaved: &'a BTreeSet<DocId>,
    unread: Option<Tag>,
}

impl<'a> Around<'a> {
    pub(super) fn of(studio: &'a Studio, unsaved: &'a BTreeSet<DocId>) -> Self {
        let mut orders: BTreeMap<&ClientId, Vec<Tag>> = BTreeMap::new();
        for held in studio.orders().values() {
            orders.entry(held.client()).or_default().push(held.tag());
        }
        Self { studio, shown: Arc::new(Shown::of(studio)), orders, unsaved, unread: unread(studio) }
    }
}

/// What is to be done, whatever is held: a forgetting that was begun is gone through with.
pub(super) fn all_of(around: &Around<'_>, client: &ClientId, tags: &[Tag], day: NaiveDate) -> Forgetting {
    let &Around { studio, unsaved, .. } = around;
    let own = around.orders.get(client).into_iter().flatten();
    let theirs: BTreeSet<Tag> =
        own.chain(tags).copied().filter(|tag| studio.orders().contains_key(tag)).collect();
    let orders: Vec<&Held> = theirs.iter().filter_map(|tag| studio.orders().get(tag)).collect();
    let staying = Staying::when_these_go(Arc::clone(&around.shown), &theirs);
    let photos: BTreeSet<Digest> = orders.iter().copied().flat_map(photos_of_held).collect();
    let mut docs = Vec::new();
    let is_unsaved = |id: DocId| unsaved.contains(&id);
    let known = studio.clients().get(client);
    if known.is_some_and(|known| *known != nobody()) || is_unsaved(DocId::Client(client.clone())) {
        docs.push(Doc::Client(client.clone(), Box::new(nobody())));
    }
    let orders_now = orders.iter().map(|held| (&held.order, without_words(&held.order)));
    let orders_then = orders_now.filter(|(now, then)| *now != then || is_unsaved(DocId::Order(now.tag)));
    docs.extend(orders_then.map(|(_, then)| Doc::Order(Box::new(then))));
    let mut money = Vec::new();
    for (year, series) in studio.invoices() {
        if series.issued().any(|(_, issued)| theirs.contains(&issued.draft.order)) {
            let until = kept_until(studio, *year);
            money.push((*year, until));
            if until.is_some_and(|until| until < day)
                && let Some(series) = without_buyers(series, &theirs)
            {
                docs.push(Doc::Invoices(Box::new(series)));
            }
        }
    }
    Forgetting {
        client: client.clone(),
        day,
        tags: theirs.into_iter().collect(),
        docs,
        photos: photos.into_iter().filter(|photo| !staying.is_named(photo)).collect(),
        words: Vec::new(),
        money,
        unread: around.unread,
        staying,
    }
}

/// An order whose file is there and cannot be read.
fn unread(studio: &Studio) -> Option<Tag> {
    studio.locked().keys().filter_map(order_of).find(|tag| !studio.orders().contains_key(tag))
}

fn order_of(doc: &DocId) -> Option<Tag> {
    if let DocId::Order(tag) = doc { Some(*tag) } else { None }
}

/// Whose the orders are that cannot be read: what was found says so, and so does the list of who is forgotten.
pub fn owners(found: &[Finding], forgotten: &Forgotten) -> Owners {
    let mut owners = finding::owners(found);
    for (client, tombstone) in forgotten.all() {
        let Ok(client) = client.parse::<ClientId>() else { continue };
        let tags = tombstone.tags.iter().filter_map(|tag| tag.parse::<Tag>().ok());
        owners.extend(tags.map(|tag| (tag, client.clone())));
    }
    owners
}

/// The last day on which what was issued in a year is kept.
fn kept_until(studio: &Studio, year: Year) -> Option<NaiveDate> {
    let years = studio.policies().money_years?;
    NaiveDate::from_ymd_opt(i32::from(year.0) + i32::from(years), 12, 31)
}

/// What stands in the place of a name.
fn forgotten() -> Line {
    forget_words::FORGOTTEN.parse().unwrap_or_default()
}

pub(super) fn nobody() -> Client {
    Client { name: forgotten(), ..Client::default() }
}

/// An order without a word of a person. What was planned, promised and paid, and what happened, stays.
pub(super) fn without_words(order: &Order) -> Order {
    let Sheet { due, quote, setting, stones, parcels, .. } = order.sheet.clone();
    let mut stones = stones;
    for stone in &mut stones {
        stone.caption = Line::default();
    }
    let mut parcels = parcels;
    for parcel in &mut parcels {
        (parcel.carrier, parcel.tracking) = (Line::default(), Line::default());
    }
    let sheet = Sheet {
        remembered: Remembered { name: forgotten(), ..Remembered::default() },
        wishes: Text::default(),
        due,
        quote: quote.map(|quote| Quote { note: Line::default(), ..quote }),
        setting,
        stones,
        parcels,
        ..Sheet::default()
    };
    Order { sheet, story: Story::default(), ..order.clone() }
}

/// What was issued, without the names of these orders' buyers; nothing where it has none of them.
fn without_buyers(series: &Series, orders: &BTreeSet<Tag>) -> Option<Series> {
    let blank = || Party {
        name: forget_words::FORGOTTEN.to_owned(),
        address: vec![forget_words::FORGOTTEN.to_owned()],
        country: "ZZ".to_owned(),
    };
    let mut again = Series::new(series.year());
    for (_, Issued { draft, .. }) in series.issued() {
        let mut draft = draft.clone();
        if orders.contains(&draft.order) {
            draft.buyer = Party { country: draft.buyer.country.clone(), ..blank() };
            for line in &mut draft.bill.lines {
                forget_words::FORGOTTEN.clone_into(&mut line.words);
            }
        }
        again.issue(draft).ok()?;
    }
    (again != *series).then_some(again)
}

/// The photos that an order of the studio names.
pub(super) fn photos_of_held(held: &Held) -> impl Iterator<Item = Digest> {
    held.photos().into_owned().into_iter().map(|(photo, _)| photo)
}

/// The photos that an order names.
pub(super) fn photos_of(order: &Order) -> impl Iterator<Item = Digest> {
    order.photos().into_keys()
}

/// Words that say who it is: names, address, contact and the names remembered, but for a line that somebody else has too.
/// A name may be ever so short; a line of an address that is no more than a house number says nothing by itself.
fn words_of(studio: &Studio, client: &ClientId, orders: &[&Held]) -> Vec<String> {
    let lines = |client: &Client| -> Vec<String> {
        let post = client.post.as_str().lines().map(str::to_owned);
        post.chain([client.contact.to_string()]).collect()
    };
    let others = studio.clients().iter().filter(|(id, _)| *id != client).map(|(_, other)| other);
    let mut shared: BTreeSet<String> =
        others.flat_map(|other| lines(other).into_iter().chain([other.name.to_string()])).collect();
    shared.extend(studio.policies().post.as_str().lines().map(str::to_owned));
    shared.insert(forget_words::FORGOTTEN.to_owned());
    let theirs: BTreeSet<Tag> = orders.iter().map(|held| held.tag()).collect();
    let remembered = |held: &Held| held.name().to_string();
    let elsewhere = studio.orders().values().filter(|held| !theirs.contains(&held.tag()));
    shared.extend(elsewhere.map(remembered));
    let known = studio.clients().get(client);
    let names = known.map(|client| client.name.to_string()).into_iter();
    let names = names.chain(orders.iter().map(|held| remembered(held))).filter(|name| !name.is_empty());
    let lines = known.map(lines).unwrap_or_default().into_iter().filter(|line| line.chars().count() > 2);
    let own: BTreeSet<String> = names.chain(lines).filter(|word| !shared.contains(word)).collect();
    own.into_iter().collect()
}

/// Does it: first the file that says so, then everything else.
///
/// # Errors
/// That it shall be done could not be written down; nothing is removed then.
pub fn carry_out(folder: &StudioFolder, who: &Forgetting) -> Result<Gone, String> {
    write_down(folder, who)?;
    let mut gone = remove(folder, who, &mut folder.photos().map_err(|why| told(&why)));
    // Photos and set papers hold no plain text; those of others may hold any bytes by chance. Money is kept on purpose.
    match folder.files_with(&who.words, &["money", ".history/money", "photos", "papers"]) {
        Ok(files) => gone.still = files,
        Err(why) => gone.troubles.push(told(&why)),
    }
    Ok(gone)
}

/// Says who is to be forgotten; from here on it is gone through with.
pub(super) fn write_down(folder: &StudioFolder, who: &Forgetting) -> Result<(), String> {
    let mut list = folder.load_forgotten().map_err(|why| told(&why))?;
    list.add(who.client.as_str(), &who.day.to_string(), who.tags.iter().map(Tag::to_string));
    let said = must_be_saved(folder.save_forgotten(&list), &file_in(folder.root()));
    said.map_err(|why| told(&why))
}

/// Removes what can be removed; what cannot is told and stays for the next time.
///
/// Whatever says which photos there are outlasts the photos: earlier versions and copies beside go after them, and the
/// sheets go last, only once nothing has to be looked for again. Where photos have to wait, the sheets keep their digests
/// and no word, and go first. `kept` is which photos there are; those that go are taken out of it.
pub(super) fn remove(
    folder: &StudioFolder,
    who: &Forgetting,
    kept: &mut Result<Vec<PhotoName>, String>,
) -> Gone {
    let mut gone = Gone {
        who: who.clone(),
        saved: BTreeSet::new(),
        photos: 0,
        loose: 0,
        loose_left: 0,
        waiting: 0,
        papers: 0,
        versions: 0,
        troubles: Vec::new(),
        still: Vec::new(),
    };
    // An earlier version of what is saved now would keep what shall go.
    let paths: Vec<DocPath> = who.ids().iter().filter_map(|id| path_of(id).ok()).collect();
    count(folder.remove_summaries(), &mut gone.troubles);
    for path in &paths {
        folder.keep_no_history_of(path);
    }
    let may_go = if let Some(tag) = who.unread {
        keep_what_waits(folder, kept, &mut gone);
        if gone.troubles.is_empty() {
            save_without_words(folder, &mut gone);
        }
        let is_saved = gone.troubles.is_empty();
        gone.troubles.push(forget_words::photos_wait(tag));
        is_saved
    } else {
        remove_photos(folder, &paths, kept, &mut gone);
        gone.troubles.is_empty()
    };
    for path in &paths {
        if may_go || path.kind() != DocKind::Order {
            gone.versions += count(folder.remove_history(path), &mut gone.troubles);
            gone.versions += count(folder.remove_conflicts(path), &mut gone.troubles);
        }
    }
    for tag in &who.tags {
        gone.papers += count(folder.remove_papers(&tag.to_string()), &mut gone.troubles);
    }
    if gone.troubles.is_empty() {
        save_without_words(folder, &mut gone);
    }
    gone
}

/// Puts the photos of each order that have to wait, and those that only its earlier versions name, on the sheet as it shall
/// be, so that they are found once they may go.
fn keep_what_waits(folder: &StudioFolder, kept: &Result<Vec<PhotoName>, String>, gone: &mut Gone) {
    let kept = match kept {
        Ok(kept) => kept,
        Err(why) => return gone.troubles.push(why.clone()),
    };
    let mut waiting = BTreeSet::new();
    for path in gone.who.tags.iter().filter_map(|tag| path_of(&DocId::Order(*tag)).ok()) {
        let (named, now) = match (once_named(folder, &path), on_the_disk(folder, &path)) {
            (Ok(named), Ok(now)) => (named, now),
            (Err(why), _) | (_, Err(why)) => return gone.troubles.push(told(&why)),
        };
        // Of an order without a file nothing can be written; what it named is named by nothing from then on.
        let Some(now) = now else { continue };
        let waits =
            |name: &&PhotoName| named.contains(&name.hash()) && !gone.who.staying.is_named(&name.hash());
        let photos: Vec<Photo> = kept.iter().filter(waits).map(unnamed).collect();
        waiting.extend(photos.iter().map(|photo| photo.original));
        let mut then = without_words(&now);
        then.sheet.photos = photos;
        gone.who.docs.retain(|doc| doc.id() != DocId::Order(now.tag));
        if now != then {
            gone.who.docs.push(Doc::Order(Box::new(then)));
        }
    }
    gone.waiting = waiting.len();
}

/// A photo of which nothing is kept but the picture.
fn unnamed(name: &PhotoName) -> Photo {
    let kind = if name.ext() == PhotoKind::Png.extension() { PhotoKind::Png } else { PhotoKind::Jpeg };
    Photo { original: name.hash(), kind, of: None, caption: Line::default() }
}

/// An order as its own file has it; none where that is not there or cannot be read.
fn on_the_disk(folder: &StudioFolder, path: &DocPath) -> Result<Option<Order>, StoreError> {
    Ok(match folder.read_beside::<Order>(DocKind::Order, &path.file_name())? {
        Loaded::Whole(order) => Some(order),
        _ => None,
    })
}

/// How many were removed; what went wrong is noted.
fn count(done: Result<usize, StoreError>, troubles: &mut Vec<String>) -> usize {
    done.unwrap_or_else(|why| {
        troubles.push(told(&why));
        0
    })
}

/// Removes the photos that the sheets, the records, earlier versions or copies beside name, and no other order does; and
/// those that nothing names at all.
fn remove_photos(
    folder: &StudioFolder,
    paths: &[DocPath],
    kept: &mut Result<Vec<PhotoName>, String>,
    gone: &mut Gone,
) {
    let mut wanted: BTreeSet<Digest> = gone.who.photos.iter().copied().collect();
    for path in paths.iter().filter(|path| path.kind() == DocKind::Order) {
        match once_named(folder, path) {
            Ok(photos) => {
                wanted.extend(photos.into_iter().filter(|photo| !gone.who.staying.is_named(photo)));
            }
            Err(why) => gone.troubles.push(told(&why)),
        }
    }
    let kept = match kept {
        Ok(kept) => kept,
        Err(why) => return gone.troubles.push(why.clone()),
    };
    let mut removed = BTreeSet::new();
    for name in kept.iter().filter(|name| wanted.contains(&name.hash())) {
        gone.photos += count(folder.remove_photo(name).map(usize::from), &mut gone.troubles);
        removed.insert(name.hash());
    }
    let loose = loose(folder, kept, &wanted, &gone.who.staying);
    if loose.is_sure {
        for name in loose.photos {
            gone.loose += count(folder.remove_photo(name).map(usize::from), &mut gone.troubles);
            removed.insert(name.hash());
        }
        gone.photos += gone.loose;
    } else {
        gone.loose_left = loose.photos.len();
    }
    kept.retain(|name| !removed.contains(&name.hash()));
}

/// The photos that an order's own file, its earlier versions and the copies beside it name. What cannot be read names none.
fn once_named(folder: &StudioFolder, path: &DocPath) -> Result<BTreeSet<Digest>, StoreError> {
    let mut named = BTreeSet::new();
    named.extend(on_the_disk(folder, path)?.iter().flat_map(photos_of));
    for version in folder.history(path)? {
        match folder.earlier::<Order>(path, &version) {
            Ok(Some(Decoded::Whole(order))) => named.extend(photos_of(&order)),
            Ok(_) | Err(StoreError::Damaged { .. }) => {}
            Err(why) => return Err(why),
        }
    }
    for name in folder.conflicts_of(path)? {
        if let Loaded::Whole(order) = folder.read_beside::<Order>(DocKind::Order, &name)? {
            named.extend(photos_of(&order));
        }
    }
    Ok(named)
}

fn save_without_words(folder: &StudioFolder, gone: &mut Gone) {
    for doc in &gone.who.docs {
        match save_doc(folder, doc) {
            SaveOutcome::Saved(_) => drop(gone.saved.insert(doc.id())),
            SaveOutcome::NotSaved(why) | SaveOutcome::InDoubt(why) => gone.troubles.push(told(&why)),
            SaveOutcome::Conflict { kept_beside } => {
                gone.troubles.push(forget_words::changed_meanwhile(&kept_beside));
            }
        }
    }
}

/// Takes out of what was found what is gone with a client who was forgotten, and marks copies of their orders that still
/// lie there. `is_gone` says of a version kept beside a document, as a path below the folder, that it is gone.
pub(crate) fn settle(found: &mut Vec<Finding>, forgotten: &Forgotten, is_gone: &dyn Fn(&str) -> bool) {
    let theirs = |tag: Tag| forgotten.is_order(&tag.to_string());
    found.retain(|finding| match finding {
        Finding::File { file, .. } => !theirs(file.tag()),
        Finding::Edition(Edition { file, .. }) | Finding::Beside { file, .. } => !is_gone(file),
        _ => true,
    });
    for finding in found {
        match finding {
            Finding::Edition(edition)
                if theirs(edition.order.tag) && edition.how != Parting::OursUnreadable =>
            {
                edition.how = Parting::Forgotten;
            }
            Finding::Unreadable { file, instead, .. } => settle_unreadable(file, instead, forgotten),
            _ => {}
        }
    }
}

/// Nothing is offered in the place of a file whose client was forgotten: it may say who they were, and is refused.
fn settle_unreadable(file: &str, instead: &mut Instead, forgotten: &Forgotten) {
    let client = match instead {
        Instead::Version(spare) => match &spare.of {
            SpareOf::Order { client, .. } => Some(client.clone()),
            SpareOf::Invoices(_) | SpareOf::Other => None,
        },
        Instead::Forgotten(client) => client.clone(),
        Instead::NotSought | Instead::None => None,
    };
    let is_gone = |client: &ClientId| forgotten.get(client.as_str()).is_some();
    let theirs = match finding_words::document(file) {
        Some(DocId::Order(tag)) => {
            forgotten.is_order(&tag.to_string()) || client.as_ref().is_some_and(is_gone)
        }
        Some(DocId::Client(id)) => is_gone(&id),
        _ => false,
    };
    if theirs {
        *instead = Instead::Forgotten(client);
    }
}

/// Notes in a list outside the studio who is forgotten there, so that a backup from before is not put back without it.
///
/// # Errors
/// It is not surely on the disk.
pub fn note_outside(list: &Path, folder: &StudioFolder) -> Result<(), String> {
    let forgotten = folder.load_forgotten().map_err(|why| told(&why))?;
    let records = super::same::records_of(folder, &forgotten);
    store::forgotten::note_outside(list, &forgotten, &records, &store::vfs::DiskVfs).map_err(|why| told(&why))
}
