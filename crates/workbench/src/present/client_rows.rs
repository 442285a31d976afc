//! Clients as a list, found by what is written of them.

use std::collections::BTreeMap;

use craft::id::ClientId;
use craft::studio::{Held, Studio};
use craft::tag::Tag;
use store::forgotten::Forgotten;

use super::words;

/// One client.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ClientRow {
    /// Who.
    pub id: ClientId,
    /// Their name.
    pub name: String,
    /// Their orders.
    pub tags: Vec<Tag>,
    /// "2 orders: 7K2-M4P, for Bramble, and 1 more"; so that two of one name are told apart.
    pub second: String,
}

/// Every client, by name, but for those who are forgotten.
pub fn rows(studio: &Studio, forgotten: &Forgotten) -> Vec<ClientRow> {
    let mut orders: BTreeMap<&ClientId, Vec<&Held>> = BTreeMap::new();
    for held in studio.orders().values() {
        orders.entry(held.client()).or_default().push(held);
    }
    let known = studio.clients().iter().filter(|(id, _)| forgotten.get(id.as_str()).is_none());
    let row = |(id, client): (&ClientId, &craft::client::Client)| {
        let theirs = orders.get(id).map(Vec::as_slice).unwrap_or_default();
        ClientRow {
            id: id.clone(),
            name: client.name.to_string(),
            tags: theirs.iter().map(|held| held.tag()).collect(),
            second: second(theirs),
        }
    };
    let mut rows: Vec<ClientRow> = known.map(row).collect();
    rows.sort_by_cached_key(|row| (words::folded(&row.name), row.id.clone()));
    rows
}

fn second(orders: &[&Held]) -> String {
    let Some(first) = orders.first() else { return "no orders".to_owned() };
    let more = if orders.len() > 1 { format!(", and {} more", orders.len() - 1) } else { String::new() };
    format!(
        "{}: {}, for {}{more}",
        words::count(orders.len(), "order", "orders"),
        first.tag(),
        words::remembered(first)
    )
}

/// The places of those that match a text: by name, by the name of their file, or by a tag.
pub fn found(rows: &[ClientRow], text: &str) -> Vec<usize> {
    let text = text.trim();
    let tag = text.parse::<Tag>().ok();
    let is_one = |row: &ClientRow| {
        words::says(&row.name, text)
            || row.id.as_str().contains(&text.to_lowercase())
            || tag.is_some_and(|tag| row.tags.contains(&tag))
    };
    let all = rows.iter().enumerate();
    all.filter(|(_, row)| text.is_empty() || is_one(row)).map(|(place, _)| place).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::present::forget_words;
    use crate::present::sample::{self, line};
    use craft::client::Client;
    use craft::stage::Stage;
    use craft::studio::{ClientEdit, Edit};

    fn put(studio: &mut Studio, id: &str, name: &str) -> ClientId {
        let id: ClientId = id.parse().unwrap();
        let client = Client { name: line(name), ..Client::default() };
        studio.apply(Edit::Client(id.clone(), ClientEdit::Put(Box::new(client))), sample::at(0)).unwrap();
        id
    }

    #[test]
    fn clients_are_found_by_name_file_and_tag_and_the_forgotten_are_not_among_them() {
        let bench = sample::bench(Stage::Asked);
        let mut studio = bench.studio;
        let zoe = put(&mut studio, "zoe-b", "Zoë Berg");
        let gone = put(&mut studio, "gone", "forgotten");
        let mut forgotten = Forgotten::default();
        forgotten.add(gone.as_str(), "2026-03-02", []);
        let all = rows(&studio, &forgotten);
        assert!(all.iter().all(|row| row.id != gone) && all.len() == 2, "{all:?}");
        let names =
            |text: &str| found(&all, text).into_iter().map(|place| all[place].id.clone()).collect::<Vec<_>>();
        assert_eq!(names("zoe"), std::slice::from_ref(&zoe));
        assert_eq!(names("zoe-b"), [zoe]);
        let owner = studio.order(bench.tag).unwrap().order.client.clone();
        assert_eq!(names(&bench.tag.to_string()), [owner]);
        assert_eq!(names("").len(), 2);
        assert_eq!(names("nobody at all"), []);
    }

    #[test]
    fn a_name_confirms_only_where_nobody_else_bears_it() {
        let mut studio = sample::bench(Stage::Asked).studio;
        let one = put(&mut studio, "one", "Ada Berg");
        let confirms =
            |studio: &Studio, tags: &[Tag], typed: &str| forget_words::confirms(studio, &one, tags, typed);
        assert!(
            confirms(&studio, &[], "ada berg")
                && !confirms(&studio, &[], "Ada")
                && !confirms(&studio, &[], "")
        );
        let tag = Tag::from_number(77).unwrap();
        put(&mut studio, "two", "ADA BERG");
        assert!(!confirms(&studio, &[tag], "Ada Berg"), "there are two");
        assert!(confirms(&studio, &[tag], &tag.to_string().to_lowercase()));
        assert!(confirms(&studio, &[], "one"), "without an order the name of the file tells");
        assert!(forget_words::to_type(&studio, &one, &[tag]).contains(&tag.to_string()));
    }
}
