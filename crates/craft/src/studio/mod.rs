//! The studio: all documents together, and the one door through which they change.
//!
//! An [`Edit`] names one document, so one edit is one commit by type. [`Studio::apply`] checks every rule, within the
//! document and across documents, and changes nothing where it refuses. [`Studio::take`] lets a stored document in
//! after the same checks; what lies across documents is reported by [`Studio::findings`] and never mended by itself.

mod facts;
mod findings;
mod guard;
#[cfg(test)]
mod laws;
#[cfg(test)]
mod machine;
mod parts;
mod planning;
mod rest;
mod sheets;
mod taught;
#[cfg(test)]
mod tests;
mod trying;
mod warmth;

use std::collections::BTreeMap;

use chrono::NaiveDate;
use serde::{Deserialize, Serialize};

use crate::client::Client;
use crate::compare::{Outcome, Scale};
use crate::cure::Button;
use crate::digest::Digest;
use crate::fact::Fact;
use crate::id::{ClientId, DocId, ShelfId, Year};
use crate::ledger::{self, Ledger};
use crate::log::{Entry, Log};
use crate::moment::Moment;
use crate::money::bill::Bill;
use crate::money::series::{InvoiceDraft, InvoiceNo, Kind, Series, SeriesError, check_credit};
use crate::order::{About, Order, Sheet, Story, Words};
use crate::policies::Policies;
use crate::refusal::Refusal;
use crate::scale::ScaleProfile;
use crate::shelf::{Bottle, Item, Lamp, Mould, Pigment, What};
use crate::tag::Tag;

pub use findings::Finding;
pub use guard::Mixed;
pub use planning::{PlanningError, kept_or};
pub use rest::{Held, Kept, MadeOf, Packed, Summary, Whole};
pub use taught::{Asked, Recorded, Taught};
pub use trying::{TrialError, TrialMeans, TrialWith};

/// A change to one document.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub enum Edit {
    /// New settings in place of the old.
    Policies(Box<Policies>),
    /// To an item on the shelf.
    Shelf(ShelfId, ShelfEdit),
    /// To a client.
    Client(ClientId, ClientEdit),
    /// To an order.
    Order(Tag, OrderEdit),
    /// To a year's invoices.
    Invoices(Year, InvoiceEdit),
}

/// A change to the shelf.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub enum ShelfEdit {
    /// A new item, or new values for an old one.
    Put(Box<Item>),
    /// Out of use, or back in use.
    Retire(bool),
}

/// A change to a client.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub enum ClientEdit {
    /// A new client, or new values for an old one.
    Put(Box<Client>),
}

/// A change to an order.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub enum OrderEdit {
    /// A new order.
    Open {
        /// Whose it is.
        client: ClientId,
        /// What is wanted.
        sheet: Box<Sheet>,
    },
    /// A new sheet in place of the old.
    Sheet(Box<Sheet>),
    /// Words in place of any about the same.
    Story(Words),
    /// Something happened now.
    Fact(Fact),
    /// Something happened before today, and is told of now.
    Told(NaiveDate, Fact),
}

/// A change to a year's invoices.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub enum InvoiceEdit {
    /// Issues the next number.
    Issue(Box<InvoiceDraft>),
}

/// A whole document, as it is stored.
#[derive(Clone, Debug, PartialEq)]
pub enum Doc {
    /// The studio's settings.
    Policies(Box<Policies>),
    /// An item on the shelf.
    Shelf(ShelfId, Box<Item>),
    /// A client.
    Client(ClientId, Box<Client>),
    /// An order.
    Order(Box<Order>),
    /// A year's invoices.
    Invoices(Box<Series>),
}

impl Doc {
    /// Which document it is.
    pub fn id(&self) -> DocId {
        match self {
            Doc::Policies(_) => DocId::Policies,
            Doc::Shelf(id, _) => DocId::Shelf(id.clone()),
            Doc::Client(id, _) => DocId::Client(id.clone()),
            Doc::Order(order) => DocId::Order(order.tag),
            Doc::Invoices(series) => DocId::Invoices(series.year()),
        }
    }
}

impl Edit {
    /// Which document it changes.
    pub fn doc(&self) -> DocId {
        match self {
            Edit::Policies(_) => DocId::Policies,
            Edit::Shelf(id, _) => DocId::Shelf(id.clone()),
            Edit::Client(id, _) => DocId::Client(id.clone()),
            Edit::Order(tag, _) => DocId::Order(*tag),
            Edit::Invoices(year, _) => DocId::Invoices(*year),
        }
    }
}

/// What an edit did.
#[derive(Clone, Debug, PartialEq)]
pub struct Done {
    /// The document that changed.
    pub doc: DocId,
    /// The document as it was, where the edit can be undone; a fact cannot.
    pub before: Option<Doc>,
    /// The number of the entry it wrote into the order's record.
    pub entry: Option<u32>,
}

/// All documents together.
#[derive(Clone, Debug, PartialEq)]
pub struct Studio {
    policies: Policies,
    shelf: BTreeMap<ShelfId, Item>,
    clients: BTreeMap<ClientId, Client>,
    orders: BTreeMap<Tag, Held>,
    invoices: BTreeMap<Year, Series>,
    locked: BTreeMap<DocId, String>,
}

impl Studio {
    /// An empty studio.
    pub fn new(policies: Policies) -> Self {
        Self {
            policies,
            shelf: BTreeMap::new(),
            clients: BTreeMap::new(),
            orders: BTreeMap::new(),
            invoices: BTreeMap::new(),
            locked: BTreeMap::new(),
        }
    }

    /// The studio's settings.
    pub fn policies(&self) -> &Policies {
        &self.policies
    }

    /// Everything on the shelf.
    pub fn shelf(&self) -> &BTreeMap<ShelfId, Item> {
        &self.shelf
    }

    /// All clients.
    pub fn clients(&self) -> &BTreeMap<ClientId, Client> {
        &self.clients
    }

    /// All orders.
    pub fn orders(&self) -> &BTreeMap<Tag, Held> {
        &self.orders
    }

    /// All invoices by year.
    pub fn invoices(&self) -> &BTreeMap<Year, Series> {
        &self.invoices
    }

    /// Documents that cannot be changed, and why.
    pub fn locked(&self) -> &BTreeMap<DocId, String> {
        &self.locked
    }

    /// One order.
    ///
    /// # Errors
    /// [`Refusal::NoOrder`], or [`Refusal::Locked`] where its file could not be used.
    pub fn order(&self, tag: Tag) -> Result<&Held, Refusal> {
        self.orders.get(&tag).ok_or_else(|| self.missing(DocId::Order(tag), Refusal::NoOrder(tag)))
    }

    /// One item on the shelf.
    ///
    /// # Errors
    /// [`Refusal::NoItem`], or [`Refusal::Locked`] where its file could not be used.
    pub fn item(&self, id: &ShelfId) -> Result<&Item, Refusal> {
        let missing = || self.missing(DocId::Shelf(id.clone()), Refusal::NoItem(id.clone()));
        self.shelf.get(id).ok_or_else(missing)
    }

    /// One bottle, mould, lamp or pigment on the shelf.
    fn of_kind<'a, T>(
        &'a self,
        id: &ShelfId,
        wanted: &'static str,
        is: impl Fn(&'a What) -> Option<&'a T>,
    ) -> Result<&'a T, Refusal> {
        is(&self.item(id)?.what).ok_or_else(|| Refusal::NotA { item: id.clone(), wanted })
    }

    fn bottle(&self, id: &ShelfId) -> Result<&Bottle, Refusal> {
        self.of_kind(id, "a bottle of resin", |what| match what {
            What::Resin(bottle) => Some(bottle),
            _ => None,
        })
    }

    pub(crate) fn mould(&self, id: &ShelfId) -> Result<&Mould, Refusal> {
        self.of_kind(id, "a mould", |what| match what {
            What::Mould(mould) => Some(mould),
            _ => None,
        })
    }

    fn lamp(&self, id: &ShelfId) -> Result<&Lamp, Refusal> {
        self.of_kind(id, "a lamp", |what| match what {
            What::Lamp(lamp) => Some(lamp),
            _ => None,
        })
    }

    pub(crate) fn pigment(&self, id: &ShelfId) -> Result<&Pigment, Refusal> {
        self.of_kind(id, "a pigment", |what| match what {
            What::Pigment(pigment) => Some(pigment),
            _ => None,
        })
    }

    /// The first scale of the shelf that is in use and was right when it was tried last.
    pub fn believed_scale(&self) -> Option<(&ShelfId, &ScaleProfile)> {
        let right = |profile: &ScaleProfile| matches!(profile.newest_try(), Some((_, Outcome::Agrees)));
        self.shelf.iter().find_map(|(id, item)| match &item.what {
            What::Scale(profile) if !item.retired && right(profile) => Some((id, profile)),
            _ => None,
        })
    }

    /// The scale on the bench: one of the shelf that is believed, else the studio's own.
    pub fn bench_scale(&self) -> Option<Scale> {
        self.believed_scale().map(|(_, profile)| profile.scale).or(self.policies.scale)
    }

    /// A button of a lamp on the shelf, by its number from 1; none where there is no such lamp or button.
    pub fn button(&self, lamp: &ShelfId, no: u8) -> Option<&Button> {
        self.lamp(lamp).ok()?.buttons.get(usize::from(no).checked_sub(1)?)
    }

    /// A document whose file could not be used is there all the same, and is not called missing.
    fn missing(&self, doc: DocId, none: Refusal) -> Refusal {
        match self.locked.get(&doc) {
            Some(why) => Refusal::Locked { doc, why: why.clone() },
            None => none,
        }
    }

    /// A document as it would be stored now.
    pub fn doc(&self, id: &DocId) -> Option<Doc> {
        Some(match id {
            DocId::Policies => Doc::Policies(Box::new(self.policies.clone())),
            DocId::Shelf(id) => Doc::Shelf(id.clone(), Box::new(self.shelf.get(id)?.clone())),
            DocId::Client(id) => Doc::Client(id.clone(), Box::new(self.clients.get(id)?.clone())),
            DocId::Order(tag) => Doc::Order(Box::new(self.orders.get(tag)?.order.clone())),
            DocId::Invoices(year) => Doc::Invoices(Box::new(self.invoices.get(year)?.clone())),
        })
    }

    /// Lets no more change into a document, such as one that a newer version wrote.
    pub fn lock(&mut self, doc: DocId, why: String) {
        self.locked.insert(doc, why);
    }

    /// Lets a stored document in.
    ///
    /// # Errors
    /// Why it cannot be used as it is: it belongs elsewhere, its record does not hold together, or breaks a rule.
    pub fn take(&mut self, doc: Doc) -> Result<(), Refusal> {
        match doc {
            Doc::Policies(policies) => {
                policies.check().map_err(Refusal::Policies)?;
                self.policies = *policies;
            }
            Doc::Shelf(id, item) => {
                item.check()?;
                self.shelf.insert(id, *item);
            }
            Doc::Client(id, client) => {
                check_client(&client)?;
                self.clients.insert(id, *client);
            }
            Doc::Order(order) => {
                let held = self.let_in(*order)?;
                self.orders.insert(held.tag(), held);
            }
            Doc::Invoices(series) => {
                self.invoices.insert(series.year(), *series);
            }
        }
        Ok(())
    }

    /// Checks a stored order by itself: whose it is, its chain, its facts, its sheet.
    fn let_in(&self, order: Order) -> Result<Held, Refusal> {
        if order.studio != self.policies.studio {
            let (says, lies) = (order.studio.to_string(), self.policies.studio.to_string());
            return Err(Refusal::Elsewhere {
                says: format!("studio {says}"),
                lies: format!("studio {lies}"),
            });
        }
        let tag = order.tag;
        let locked = |why: String| Refusal::Locked { doc: DocId::Order(tag), why };
        order.log.check(&order.studio, tag).map_err(|why| locked(why.to_string()))?;
        let ledger = Ledger::replay(tag, &order.log)
            .map_err(|(entry, why)| locked(format!("entry {entry} of the record does not fit: {why}")))?;
        if !order.story.is_sorted() {
            return Err(locked("the words of the story are out of order or stand twice".to_owned()));
        }
        sheets::check_itself(&order.sheet)?;
        Ok(Held::whole(order, ledger))
    }

    /// The only door: checks every rule, then changes one document.
    ///
    /// # Errors
    /// Why not; nothing has changed then.
    pub fn apply(&mut self, edit: Edit, at: Moment) -> Result<Done, Refusal> {
        let doc = edit.doc();
        if let Some(why) = self.locked.get(&doc) {
            return Err(Refusal::Locked { doc, why: why.clone() });
        }
        let before = self.doc(&doc);
        let entry = match edit {
            Edit::Policies(policies) => self.put_policies(*policies).map(|()| None)?,
            Edit::Shelf(id, ShelfEdit::Put(item)) => self.put_item(id, *item, false).map(|()| None)?,
            Edit::Shelf(id, ShelfEdit::Retire(retired)) => {
                self.shelf.get_mut(&id).ok_or(Refusal::NoItem(id))?.retired = retired;
                None
            }
            Edit::Client(id, ClientEdit::Put(client)) => self.put_client(id, *client).map(|()| None)?,
            Edit::Order(tag, edit) => self.apply_order(tag, edit, at)?,
            Edit::Invoices(year, InvoiceEdit::Issue(draft)) => {
                // An issued invoice is never taken back; it is answered by a credit note.
                let mut series = self.invoices.get(&year).cloned().unwrap_or_else(|| Series::new(year));
                let (kind, bill) = (draft.kind, draft.bill.clone());
                series.issue(*draft)?;
                if let Kind::CreditNote { of } = kind {
                    self.credit_is_left(of, &bill)?;
                }
                self.invoices.insert(year, series);
                return Ok(Done { doc, before: None, entry: None });
            }
        };
        Ok(Done { doc, before: before.filter(|_| entry.is_none()), entry })
    }

    /// A credit note is held against its original and all credit given for it, from whichever years.
    fn credit_is_left(&self, of: InvoiceNo, bill: &Bill) -> Result<(), Refusal> {
        let doc = DocId::Invoices(of.year);
        if let Some(why) = self.locked.get(&doc) {
            return Err(Refusal::Locked { doc, why: why.clone() });
        }
        let original = self.invoices.get(&of.year).and_then(|series| series.get(of));
        let original = original.ok_or(SeriesError::NoOriginal(of))?;
        let given = self.invoices.values().flat_map(|series| series.credits(of));
        let gross = bill.totals().map_err(SeriesError::from)?.gross;
        Ok(check_credit(original, of, given, gross)?)
    }

    fn apply_order(&mut self, tag: Tag, edit: OrderEdit, at: Moment) -> Result<Option<u32>, Refusal> {
        match edit {
            OrderEdit::Open { client, sheet } => self.open_order(tag, client, *sheet).map(|()| None),
            OrderEdit::Sheet(sheet) => self.put_sheet(tag, *sheet).map(|()| None),
            OrderEdit::Story(words) => {
                if let About::Entry(number) = words.about
                    && !(1..=self.order(tag)?.entries()).contains(&number)
                {
                    return Err(Refusal::NoEntry(number));
                }
                self.woken(tag).ok_or(Refusal::NoOrder(tag))?.order.story.put(words);
                Ok(None)
            }
            OrderEdit::Fact(fact) => self.record(tag, fact, None, at).map(Some),
            OrderEdit::Told(day, fact) => self.record(tag, fact, Some(day), at).map(Some),
        }
    }

    /// An order that is about to change.
    fn woken(&mut self, tag: Tag) -> Option<&mut Whole> {
        self.orders.get_mut(&tag)?.wake()
    }

    fn open_order(&mut self, tag: Tag, client: ClientId, sheet: Sheet) -> Result<(), Refusal> {
        if self.orders.contains_key(&tag) || self.locked.contains_key(&DocId::Order(tag)) {
            return Err(Refusal::TagTaken(tag));
        }
        if !self.clients.contains_key(&client) {
            return Err(Refusal::NoClient(client));
        }
        let ledger = Ledger::new(tag);
        self.check_sheet(&sheet, &Sheet::default(), &ledger)?;
        let studio = self.policies.studio.clone();
        let order = Order { tag, studio, client, sheet, story: Story::default(), log: Log::default() };
        self.orders.insert(tag, Held::whole(order, ledger));
        Ok(())
    }

    fn put_sheet(&mut self, tag: Tag, sheet: Sheet) -> Result<(), Refusal> {
        let held = self.order(tag)?;
        self.check_sheet(&sheet, &held.order.sheet, &held.ledger)?;
        if let Some(held) = self.woken(tag) {
            held.order.sheet = sheet;
        }
        Ok(())
    }

    fn record(&mut self, tag: Tag, fact: Fact, told: Option<NaiveDate>, at: Moment) -> Result<u32, Refusal> {
        self.check_fact(tag, &fact, told.is_some(), at)?;
        let refuse = |why| Refusal::Fact { tag, why };
        let entry = Entry { at, told, fact: fact.clone(), seal: Digest::default() };
        ledger::not_ahead(&entry).map_err(refuse)?;
        let held = self.order(tag)?;
        let number = held.entries() + 1;
        let then = if let Fact::Struck { entry, .. } = fact {
            let then = ledger::strike(tag, &held.order.log, entry).map_err(refuse)?;
            self.check_struck(tag, &then, at)?;
            then
        } else {
            held.ledger.after(number, &entry).map_err(refuse)?
        };
        let head = held.record_seal();
        let held = self.woken(tag).ok_or(Refusal::NoOrder(tag))?;
        held.ledger = then;
        held.order.log.push(head, at, told, fact);
        Ok(number)
    }

    fn put_item(&mut self, id: ShelfId, item: Item, undo: bool) -> Result<(), Refusal> {
        item.check()?;
        let same_kind = |old: &Item| std::mem::discriminant(&old.what) == std::mem::discriminant(&item.what);
        if self.shelf.get(&id).is_some_and(|old| !same_kind(old)) {
            return Err(Refusal::OtherKind { item: id, wanted: kind_words(&item.what) });
        }
        self.keeps_what_is_used(&id, &item, undo)?;
        self.shelf.insert(id, item);
        Ok(())
    }

    fn put_client(&mut self, id: ClientId, client: Client) -> Result<(), Refusal> {
        check_client(&client)?;
        self.clients.insert(id, client);
        Ok(())
    }

    /// Puts an earlier state of a document back: undo.
    ///
    /// # Errors
    /// [`Refusal::PastFact`] where a fact was recorded since, or whatever the earlier state would break now.
    pub fn put_back(&mut self, before: Doc) -> Result<Done, Refusal> {
        let doc = before.id();
        if let Some(why) = self.locked.get(&doc) {
            return Err(Refusal::Locked { doc, why: why.clone() });
        }
        let now = self.doc(&doc);
        match before {
            Doc::Policies(policies) => self.put_policies_back(*policies)?,
            Doc::Shelf(id, item) => self.put_item(id, *item, true)?,
            Doc::Client(id, client) => self.put_client(id, *client)?,
            Doc::Order(before) => {
                let held = self.order(before.tag)?;
                if held.order.log != before.log {
                    return Err(Refusal::PastFact);
                }
                self.check_sheet(&before.sheet, &held.order.sheet, &held.ledger)?;
                if let Some(held) = self.woken(before.tag) {
                    (held.order.sheet, held.order.story) = (before.sheet, before.story);
                }
            }
            Doc::Invoices(_) => return Err(Refusal::Issued),
        }
        Ok(Done { doc, before: now, entry: None })
    }
}

/// A client has a name, wherever it comes from.
fn check_client(client: &Client) -> Result<(), Refusal> {
    if client.name.is_empty() { Err(Refusal::NoClientName) } else { Ok(()) }
}

/// What an item is, in words for a refusal.
fn kind_words(what: &What) -> &'static str {
    match what {
        What::Resin(_) => "a bottle of resin",
        What::Pigment(_) => "a pigment",
        What::Lamp(_) => "a lamp",
        What::Mould(_) => "a mould",
        What::Setting(_) => "a setting",
        What::Scale(_) => "a scale",
    }
}
