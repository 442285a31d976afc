//! Bringing orders in quickly: a running order from one row of a form, and a new enquiry from a name.
//!
//! A stage is never set by hand. A row becomes the facts that lead to it, each told on the day the row names, and each
//! an ordinary [`Edit`] through [`Studio::apply`]. The edits are tried on a copy first, so that a row is taken whole or
//! not at all.
//!
//! What nobody wrote down is not made up in silence: one told layer stands for all layers of a stone, the share in
//! each stone is a hundredth where none was given, and the order's words say both.

mod bring;
mod fresh;
mod known;
mod read;
#[cfg(test)]
mod tests;

use craft::client::Client;
use craft::fact::Material;
use craft::id::{ClientId, ShelfId};
use craft::moment::Moment;
use craft::order::{Remembered, Sheet};
use craft::stage::Stage;
use craft::studio::{ClientEdit, Edit, OrderEdit, Studio};
use craft::text::Line;

pub use fresh::{fresh_client_id, fresh_tag};
pub use known::{Known, known_clients, new_order_for};

/// A field of a row.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Field {
    /// The client's name.
    Client,
    /// The one remembered.
    Name,
    /// What was entrusted.
    Material,
    /// How far it has come.
    Stage,
    /// The promised day.
    Due,
    /// The day it came to its stage.
    Since,
    /// The tag.
    Tag,
    /// The share kept back.
    KeepBack,
    /// Where what is here lies.
    Place,
    /// How many stones were made.
    Stones,
    /// Which of them was chosen.
    Chosen,
    /// The mould they were made in.
    Mould,
    /// The pigment behind them.
    Pigment,
    /// How much went into each.
    InEach,
}

/// Whether the keep-back is put away already.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum KeptBack {
    /// It lies in an envelope of its own.
    #[default]
    PutAway,
    /// It still has to be taken from what came.
    NotYet,
}

/// One running order, as it is typed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Row {
    /// The client's name; one that is known already is found by it, whatever the size of letters and accents.
    pub client: String,
    /// The known client that is meant, where two have one name.
    pub known: Option<ClientId>,
    /// Who or what is remembered.
    pub name: String,
    /// What was entrusted; wanted once it is here.
    pub material: Option<Material>,
    /// How far it has come.
    pub stage: Stage,
    /// The promised day, as [`crate::typed::day`] reads it; empty without a promise. One that is past needs its year, or
    /// is written as "5 days late".
    pub due: String,
    /// The day it came to its stage, as [`crate::typed::past_day`] reads it; empty means today.
    pub since: String,
    /// The tag on the packet; empty takes a fresh one.
    pub tag: String,
    /// The share kept back; empty or "as agreed" means the studio's own, "nothing" that none was agreed.
    pub keep_back: String,
    /// Whether it is put away.
    pub kept_back: KeptBack,
    /// Where what is here lies: a place of the studio's list by name or number, or "bench".
    pub place: String,
    /// How many stones were made; wanted once they are.
    pub stones: String,
    /// Which was chosen; wanted once one is, unless there is only one.
    pub chosen: String,
    /// Their mould; none takes the first on the shelf.
    pub mould: Option<ShelfId>,
    /// Their pigment; none takes the first that is clear, else the first.
    pub pigment: Option<ShelfId>,
    /// The share of what came that went into each stone; empty means a hundredth.
    pub in_each: String,
}

impl Default for Row {
    fn default() -> Self {
        Self {
            client: String::new(),
            known: None,
            name: String::new(),
            material: None,
            stage: Stage::Asked,
            due: String::new(),
            since: String::new(),
            tag: String::new(),
            keep_back: String::new(),
            kept_back: KeptBack::PutAway,
            place: String::new(),
            stones: String::new(),
            chosen: String::new(),
            mould: None,
            pigment: None,
            in_each: String::new(),
        }
    }
}

/// What is wrong with each field, in words.
pub type Wrong = Vec<(Field, String)>;

/// What is wrong with a row as far as can be seen without trying it: light enough for every letter typed.
pub fn check(studio: &Studio, row: &Row, now: Moment) -> Wrong {
    read::read(studio, row, now).err().unwrap_or_default()
}

/// The edits that bring a running order in, in their order. Applied one after the other at `now` or later they are all
/// taken, unless the studio changed in between. Two rows are brought in one after the other: the second is asked for
/// when the first is applied, so that a client or a tag is not made twice.
///
/// # Errors
/// What is wrong, field by field; nothing is to be applied then.
pub fn edits(studio: &Studio, row: &Row, now: Moment) -> Result<Vec<Edit>, Wrong> {
    let draft = read::read(studio, row, now)?;
    bring::bring(studio, draft, now)
}

/// A new enquiry: a name is enough, of the one remembered or of the client. The other can be written in later.
///
/// # Errors
/// There is no name at all, or one that cannot be kept; field by field.
pub fn new_order(studio: &Studio, name: &str, client: &str, now: Moment) -> Result<Vec<Edit>, Wrong> {
    let (name, client) = (name.trim(), client.trim());
    if name.is_empty() && client.is_empty() {
        return Err(vec![(Field::Name, "write a name: of the one remembered, or of the client".to_owned())]);
    }
    let line = |field, text: &str| text.parse::<Line>().map_err(|why| vec![(field, why.to_string())]);
    let remembered = match name {
        "" => line(Field::Client, &format!("Someone of {client}"))?,
        name => line(Field::Name, name)?,
    };
    let whose = match client {
        "" => read::Whose::New(line(Field::Name, &format!("Who asked for {name}"))?),
        client => read::whose(studio, client, None).map_err(|why| vec![(Field::Client, why)])?,
    };
    let tag = fresh::tag_for(studio, &[name, client], now).ok_or_else(|| {
        vec![(Field::Tag, "every tag there is has been given; nothing more can be opened".to_owned())]
    })?;
    let (client, mut edits) = whose_edits(studio, whose);
    let remembered = Remembered { name: remembered, ..Remembered::default() };
    let sheet = Box::new(Sheet { remembered, ..Sheet::default() });
    edits.push(Edit::Order(tag, OrderEdit::Open { client, sheet }));
    Ok(edits)
}

/// Whose order it is, and the edit that writes a new client down.
fn whose_edits(studio: &Studio, whose: read::Whose) -> (ClientId, Vec<Edit>) {
    match whose {
        read::Whose::Known(id) => (id, Vec::new()),
        read::Whose::New(name) => {
            let id = fresh_client_id(studio);
            let client = Box::new(Client { name, ..Client::default() });
            (id.clone(), vec![Edit::Client(id, ClientEdit::Put(client))])
        }
    }
}
