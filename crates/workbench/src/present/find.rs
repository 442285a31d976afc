//! Finding an order by anything that is written on it or near it.

use std::collections::BTreeMap;

use craft::place::Place;
use craft::studio::{Held, Studio};
use craft::tag::Tag;

use super::board::client_name;
use super::words::{self, folded};

/// An order that was found, and by what.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Hit {
    /// Its tag.
    pub tag: Tag,
    /// The one remembered.
    pub name: String,
    /// Whose order it is.
    pub client: String,
    /// What matched: "tag", "client Ida Lund", "in drawer 3"; empty where the name itself did.
    pub by: String,
}

/// The words of every order, made ready to be searched at each key that is pressed.
#[derive(Clone, Debug, PartialEq, Eq, Default)]
pub struct Index {
    orders: BTreeMap<Tag, Entry>,
}

/// What can be found of one order.
#[derive(Clone, Debug, PartialEq, Eq)]
struct Entry {
    name: String,
    client: String,
    fields: Vec<Field>,
    /// All fields in one piece, so that most orders are passed over at one look.
    all: String,
}

impl Index {
    /// The words of every order of a studio.
    pub fn new(studio: &Studio) -> Self {
        let mut index = Self::default();
        studio.orders().values().for_each(|held| index.put(studio, held));
        index
    }

    /// Takes an order's words in, in place of what was known of it.
    pub fn put(&mut self, studio: &Studio, held: &Held) {
        let (name, client) = (words::remembered(held), client_name(studio, held));
        let mut fields = fields(studio, held, &name, &client);
        for (_, reads, _) in &mut fields {
            *reads = reads.split_whitespace().collect::<Vec<_>>().join(" ");
        }
        fields.shrink_to_fit();
        let reads: Vec<&str> = fields.iter().map(|(_, reads, _)| reads.as_str()).collect();
        // No word that is looked for holds a line end, so none is found across two fields.
        let all = reads.join("\n");
        self.orders.insert(held.tag(), Entry { name, client, fields, all });
    }

    /// Takes in the words of other orders.
    pub(crate) fn join(&mut self, mut others: Self) {
        self.orders.append(&mut others.orders);
    }

    /// The orders that match, as [`find`].
    pub fn find(&self, text: &str) -> Vec<Hit> {
        let wanted = folded(text);
        let wanted: Vec<Word<'_>> = wanted.split_whitespace().map(Word::new).collect();
        if wanted.is_empty() {
            return Vec::new();
        }
        let entries = self.orders.iter();
        let found = entries.filter_map(|(tag, entry)| entry.matched(&wanted).map(|by| (by, tag, entry)));
        let mut found: Vec<((u8, &str), &Tag, &Entry)> = found.collect();
        found.sort_by_key(|((rank, _), tag, entry)| (*rank, entry.name.as_str(), **tag));
        let hit = |((_, by), tag, entry): ((u8, &str), &Tag, &Entry)| Hit {
            tag: *tag,
            name: entry.name.clone(),
            client: entry.client.clone(),
            by: by.to_owned(),
        };
        found.into_iter().map(hit).collect()
    }
}

/// The orders that match, the closest first. Every word of `text` must be found; letters' size and accents do
/// not matter, nor the dash of a tag. An empty text finds nothing.
///
/// It reads the whole studio; where it is asked for again and again, an [`Index`] is kept.
pub fn find(studio: &Studio, text: &str) -> Vec<Hit> {
    Index::new(studio).find(text)
}

/// A word that is looked for, and the same as a tag would hold it.
struct Word<'a> {
    text: &'a str,
    plain: String,
    /// The word as it stands after another.
    led: String,
}

impl<'a> Word<'a> {
    fn new(text: &'a str) -> Self {
        let plain = text.chars().filter(char::is_ascii_alphanumeric).collect();
        Self { text, plain, led: format!(" {text}") }
    }

    fn is_in_tag(&self, reads: &str) -> bool {
        self.plain.len() >= 3 && reads.contains(self.plain.as_str())
    }
}

/// A field that can match: how close a match in it is, what it reads, and what to call it.
type Field = (u8, String, String);

impl Entry {
    /// How closely all words match, and by what; `None` where one of them is not found.
    fn matched(&self, wanted: &[Word<'_>]) -> Option<(u8, &str)> {
        let mut found: Option<(u8, &str)> = None;
        for word in wanted {
            if !self.all.contains(word.text) && !word.is_in_tag(&self.all) {
                return None;
            }
            let best = self.closest(word)?;
            // The farthest word decides: "Bramble drawer" is found by its drawer.
            found = Some(found.map_or(best, |before| if best.0 > before.0 { best } else { before }));
        }
        found
    }

    /// The field that a word matches most closely. The fields stand by their rank, so the first match ends the search
    /// but for others of its own rank.
    fn closest(&self, word: &Word<'_>) -> Option<(u8, &str)> {
        let mut best: Option<(u8, &str)> = None;
        for field in &self.fields {
            if best.is_some_and(|(rank, _)| rank <= field.0) {
                break;
            }
            let found = closeness(field, word);
            if found.is_some_and(|(rank, _)| best.is_none_or(|(other, _)| rank < other)) {
                best = found;
            }
        }
        best
    }
}

/// How closely a word matches a field, and what the field is called.
fn closeness<'a>((rank, reads, by): &'a Field, word: &Word<'_>) -> Option<(u8, &'a str)> {
    let says_it = reads.contains(word.text) || (*rank == TAG && word.is_in_tag(reads));
    says_it.then(|| {
        let starts = reads.starts_with(word.text) || reads.contains(&word.led);
        (if starts { *rank } else { rank + 1 }, by.as_str())
    })
}

const NAME: u8 = 0;
const TAG: u8 = 2;
const CLIENT: u8 = 4;
const MOULD: u8 = 6;
const PLACE: u8 = 8;

fn fields(studio: &Studio, held: &Held, name: &str, client: &str) -> Vec<Field> {
    let tag = held.tag();
    let mut fields = vec![
        (NAME, folded(name), String::new()),
        (TAG, folded(&tag.plain()), format!("tag {tag}")),
        (TAG, folded(&tag.to_string()), format!("tag {tag}")),
        (CLIENT, folded(client), format!("client {client}")),
    ];
    for stone in held.stones().iter() {
        let mould = words::item_name(studio, &stone.mould);
        let field = (MOULD, folded(&mould), format!("mould {mould}"));
        // Most stones of an order are made in one tray.
        if fields.last() != Some(&field) {
            fields.push(field);
        }
    }
    for kept in held.kept().iter().filter(|kept| !kept.is_lost_or_set) {
        let place = words::place(studio, &Place::Kept(kept.place));
        fields.push((PLACE, folded(&place), format!("{} is in {place}", words::thing_plain(kept.thing))));
    }
    fields
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::present::sample::{at, line, received, sheet};
    use craft::studio::{Edit, OrderEdit};

    fn two() -> (Studio, Tag) {
        let (mut studio, tag) = received();
        let mut other = sheet();
        (other.remembered.name, other.stones) = (line("Zoë"), Vec::new());
        let edit = OrderEdit::Open { client: "ida-lund".parse().unwrap(), sheet: Box::new(other) };
        studio.apply(Edit::Order(Tag::from_number(77).unwrap(), edit), at(0)).unwrap();
        (studio, tag)
    }

    #[test]
    fn an_order_is_found_by_name_tag_client_mould_and_drawer() {
        let (studio, tag) = two();
        let names =
            |text: &str| find(&studio, text).into_iter().map(|hit| (hit.name, hit.by)).collect::<Vec<_>>();
        assert_eq!(names("bram"), [("Bramble".to_owned(), String::new())]);
        assert_eq!(names("ZOE"), [("Zoë".to_owned(), String::new())]);
        assert_eq!(names(&tag.to_string().to_lowercase()), [("Bramble".to_owned(), format!("tag {tag}"))]);
        assert_eq!(names(&tag.plain()), [("Bramble".to_owned(), format!("tag {tag}"))]);
        assert_eq!(names("lund").len(), 2);
        assert_eq!(names("oval"), [("Bramble".to_owned(), "mould Oval 10 × 8".to_owned())]);
        assert_eq!(names("drawer 3"), [("Bramble".to_owned(), "envelope 1 is in drawer 3".to_owned())]);
        assert_eq!(names("bramble oval").len(), 1, "every word must be found, in any field");
    }

    #[test]
    fn nothing_is_found_by_nothing_or_by_what_is_nowhere() {
        let (studio, _) = two();
        assert!(find(&studio, "  ").is_empty());
        assert!(find(&studio, "bramble quartz").is_empty());
    }
}
