//! Names that could be taken for one another, shown together before a packet is opened.

use chrono::NaiveDate;
use craft::similar::{Names, folded, similar};
use craft::studio::{Held, Studio};
use craft::tag::Tag;

use super::board::client_name;
use super::words;

/// One of several orders whose names are alike.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct AlikeRow {
    /// Its tag.
    pub tag: Tag,
    /// It is the order that was asked about.
    pub own: bool,
    /// The one remembered.
    pub remembered: String,
    /// Whose order it is.
    pub client: String,
    /// When it is promised: "due in 3 days"; empty where nothing was promised.
    pub due: String,
    /// What is alike: "the one remembered", "the client", or both.
    pub by: String,
}

/// The names of all orders that are not over, made ready to be asked about.
#[derive(Clone, Debug, PartialEq, Eq, Default)]
pub struct AlikeIndex {
    remembered: Names<Tag>,
    clients: Names<Tag>,
}

impl AlikeIndex {
    /// The names of every order of a studio that is not over.
    pub fn new(studio: &Studio) -> Self {
        let mut index = Self::default();
        studio.orders().values().for_each(|held| index.put(studio, held));
        index
    }

    /// Takes an order's names in, in place of what was known of it; one that has gone home is taken out.
    pub fn put(&mut self, studio: &Studio, held: &Held) {
        let tag = held.tag();
        if is_over(held) {
            self.remembered.remove(&tag);
            self.clients.remove(&tag);
            return;
        }
        self.remembered.put(tag, held.name().as_str());
        self.clients.put(tag, &client_name(studio, held));
    }

    /// The rows of [`alike`].
    pub fn alike(&self, studio: &Studio, own: Tag, today: NaiveDate) -> Vec<AlikeRow> {
        let Some(held) = studio.orders().get(&own) else { return Vec::new() };
        let mut near = self.remembered.like(held.name().as_str());
        near.extend(self.clients.like(&client_name(studio, held)));
        near.remove(&own);
        let mut rows: Vec<AlikeRow> =
            near.iter().filter_map(|tag| row(studio, held, studio.orders().get(tag)?, today)).collect();
        if rows.is_empty() {
            return rows;
        }
        rows.sort_by_key(|row| row.tag);
        let mut together: Vec<AlikeRow> = vec![row_of(studio, held, today, String::new(), true)];
        together.append(&mut rows);
        together
    }
}

impl AlikeIndex {
    /// The orders whose names could be taken for those of one that is about to be opened, for a client of this name. A
    /// client of the very same name is shown among the known ones, and is not told of here.
    pub fn alike_new(
        &self,
        studio: &Studio,
        (remembered, client): (&str, &str),
        today: NaiveDate,
    ) -> Vec<AlikeRow> {
        let mut near = self.remembered.like(remembered);
        near.extend(self.clients.like(client));
        let row = |tag| {
            let held = studio.orders().get(tag)?;
            let theirs = client_name(studio, held);
            let by_client = folded(&theirs) != folded(client) && similar(&theirs, client);
            let by = by(similar(held.name().as_str(), remembered), by_client)?;
            Some(row_of(studio, held, today, by.to_owned(), false))
        };
        near.iter().filter_map(row).collect()
    }

    /// Takes in what was made ready of orders that are not among these.
    pub(crate) fn join(&mut self, other: Self) {
        self.remembered.join(other.remembered);
        self.clients.join(other.clients);
    }
}

/// What is alike: the one remembered, the client, or both.
const fn by(remembered: bool, client: bool) -> Option<&'static str> {
    match (remembered, client) {
        (true, true) => Some("the one remembered and the client"),
        (true, false) => Some("the one remembered"),
        (false, true) => Some("the client"),
        (false, false) => None,
    }
}

/// The order and all others that are not over and whose client or remembered one could be taken for its own, the order
/// itself first; nothing where no name is like it. Two orders of one client are shown where the names they remember
/// are alike.
///
/// It reads the whole studio; where it is asked for again and again, an [`AlikeIndex`] is kept.
pub fn alike(studio: &Studio, own: Tag, today: NaiveDate) -> Vec<AlikeRow> {
    AlikeIndex::new(studio).alike(studio, own, today)
}

/// Nothing of it is in the studio any more.
fn is_over(held: &Held) -> bool {
    held.is_gone() && !held.is_here()
}

fn row(studio: &Studio, own: &Held, other: &Held, today: NaiveDate) -> Option<AlikeRow> {
    let remembered = similar(own.name().as_str(), other.name().as_str());
    // One client's name is like itself, and says nothing.
    let client =
        own.client() != other.client() && similar(&client_name(studio, own), &client_name(studio, other));
    Some(row_of(studio, other, today, by(remembered, client)?.to_owned(), false))
}

fn row_of(studio: &Studio, held: &Held, today: NaiveDate, by: String, own: bool) -> AlikeRow {
    AlikeRow {
        tag: held.tag(),
        own,
        remembered: words::remembered(held),
        client: client_name(studio, held),
        due: held.due().map(|due| words::due(due, today)).unwrap_or_default(),
        by,
    }
}

/// One of them in a line: "Bramle, for Tom Reed, due in 2 days".
pub fn in_a_line(row: &AlikeRow) -> String {
    let client = format!("for {}", row.client);
    let parts = [row.remembered.as_str(), &client, &row.due];
    parts.into_iter().filter(|part| !part.is_empty()).collect::<Vec<_>>().join(", ")
}

/// What stands over the rows where a new order is about to be opened; empty where there are none.
pub const fn heading_new(rows: &[AlikeRow]) -> &'static str {
    match rows.len() {
        0 => "",
        1 => {
            "An order has a name like this. If it is another one, write both out so that they are told apart."
        }
        _ => "Orders have names like this. If it is another one, write it out so that they are told apart.",
    }
}

/// What stands over the rows: "3 orders with names like these: read the tag."; empty where there are none.
pub fn heading(rows: &[AlikeRow]) -> String {
    match rows.len() {
        0 | 1 => String::new(),
        many => {
            format!("{many} orders have names like these. Read the tag on the packet before it is opened.")
        }
    }
}

/// What stands over the rows where a packet that came is written down; empty where there are none.
pub fn heading_coming(rows: &[AlikeRow]) -> String {
    match rows.len() {
        0 | 1 => String::new(),
        many => {
            format!(
                "{many} orders have names like these. Look whose packet it is before it is written down here."
            )
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::present::sample::{at, bench, day, line, sheet};
    use craft::client::Client;
    use craft::stage::Stage;
    use craft::studio::{ClientEdit, Edit, OrderEdit};

    fn with(studio: &mut Studio, number: u32, client: (&str, &str), remembered: &str) -> Tag {
        let (id, name) = client;
        let put = ClientEdit::Put(Box::new(Client { name: line(name), ..Client::default() }));
        studio.apply(Edit::Client(id.parse().unwrap(), put), at(0)).unwrap();
        let mut wanted = sheet();
        (wanted.remembered.name, wanted.stones) = (line(remembered), Vec::new());
        let tag = (number..).find_map(Tag::from_number).unwrap();
        let open = OrderEdit::Open { client: id.parse().unwrap(), sheet: Box::new(wanted) };
        studio.apply(Edit::Order(tag, open), at(0)).unwrap();
        tag
    }

    #[test]
    fn names_one_slip_apart_or_of_letters_that_look_alike_stand_together_with_tag_and_due_day() {
        let mut bench = bench(Stage::Here);
        let (studio, own) = (&mut bench.studio, bench.tag);
        let today = day(2026, 12, 10);
        assert!(alike(studio, own, today).is_empty(), "nobody is like Bramble yet");
        let bramle = with(studio, 1_000, ("tom-reed", "Tom Reed"), "Bramle");
        let lunt = with(studio, 2_000, ("ida-lunt", "Ida Lunt"), "Otto");
        // The first letter is Cyrillic.
        let cyrillic = with(studio, 3_000, ("nora", "Nora"), "\u{412}ramble");
        with(studio, 4_000, ("vera", "Vera"), "Thistle");
        let rows = alike(studio, own, today);
        let said =
            |tag| rows.iter().find(|row| row.tag == tag).map(|row| (row.by.as_str(), row.due.as_str()));
        assert_eq!((rows.len(), rows[0].tag, rows[0].own), (4, own, true));
        assert_eq!(said(bramle), Some(("the one remembered", "due in 2 days")));
        assert_eq!(said(lunt), Some(("the client", "due in 2 days")));
        assert_eq!(said(cyrillic), Some(("the one remembered", "due in 2 days")));
        assert!(heading(&rows).starts_with("4 orders"));
        assert_eq!(heading(&[]), "");
    }

    #[test]
    fn a_new_order_is_held_against_those_that_are_there_before_it_is_opened() {
        let mut bench = bench(Stage::Here);
        let today = day(2026, 12, 10);
        let bramle = with(&mut bench.studio, 1_000, ("tom-reed", "Tom Reed"), "Bramle");
        let index = AlikeIndex::new(&bench.studio);
        let said = |names| {
            let rows = index.alike_new(&bench.studio, names, today);
            rows.into_iter().map(|row| (row.tag, row.by)).collect::<Vec<_>>()
        };
        let mut both =
            [(bench.tag, "the one remembered".to_owned()), (bramle, "the one remembered".to_owned())];
        both.sort();
        assert_eq!(said(("Bramble", "Vera")), both);
        assert_eq!(said(("Otto", "Tom Read")), [(bramle, "the client".to_owned())]);
        assert_eq!(said(("Otto", "Tom Reed")), [], "the same client is among the known ones");
        assert_eq!(said(("Otto", "")), [], "nothing is like nothing");
        assert_eq!(heading_new(&[]), "");
        let rows = index.alike_new(&bench.studio, ("Otto", "Tom Read"), today);
        assert_eq!(in_a_line(&rows[0]), "Bramle, for Tom Reed, due in 2 days");
    }

    #[test]
    fn two_orders_of_one_client_are_shown_only_for_the_ones_they_remember() {
        let mut bench = bench(Stage::Here);
        let today = day(2026, 12, 10);
        with(&mut bench.studio, 1_000, ("ida-lund", "Ida Lund"), "Thistle");
        assert!(alike(&bench.studio, bench.tag, today).is_empty());
        let second = with(&mut bench.studio, 2_000, ("ida-lund", "Ida Lund"), "Brambel");
        let rows = alike(&bench.studio, bench.tag, today);
        assert_eq!(rows.iter().map(|row| row.tag).collect::<Vec<_>>(), [bench.tag, second]);
    }

    #[test]
    fn what_has_gone_home_is_not_mixed_up_any_more() {
        let mut gone = bench(Stage::GoneHome);
        let tag = with(&mut gone.studio, 1_000, ("tom-reed", "Tom Reed"), "Bramle");
        assert!(alike(&gone.studio, tag, day(2026, 12, 10)).is_empty());
    }
}
