//! Finding an order by anything that is written on it or near it.

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

/// The orders that match, the closest first. Every word of `text` must be found; letters' size and accents do
/// not matter, nor the dash of a tag. An empty text finds nothing.
pub fn find(studio: &Studio, text: &str) -> Vec<Hit> {
    let wanted = folded(text);
    let wanted: Vec<&str> = wanted.split_whitespace().collect();
    if wanted.is_empty() {
        return Vec::new();
    }
    let mut hits: Vec<(u8, Hit)> =
        studio.orders().values().filter_map(|held| hit(studio, held, &wanted)).collect();
    hits.sort_by(|(rank, a), (other, b)| {
        rank.cmp(other).then_with(|| a.name.cmp(&b.name)).then(a.tag.cmp(&b.tag))
    });
    hits.into_iter().map(|(_, hit)| hit).collect()
}

/// A field that can match: how close a match in it is, what it reads, and what to call it.
type Field = (u8, String, String);

fn hit(studio: &Studio, held: &Held, wanted: &[&str]) -> Option<(u8, Hit)> {
    let (name, client) = (words::remembered(held), client_name(studio, held));
    let fields = fields(studio, held, &name, &client);
    let mut found: Option<(u8, &str)> = None;
    for word in wanted {
        let plain: String = word.chars().filter(char::is_ascii_alphanumeric).collect();
        let best = fields.iter().filter_map(|(rank, reads, by)| {
            let tag_like = *rank == TAG && plain.len() >= 3 && reads.contains(plain.as_str());
            let starts = reads.split_whitespace().any(|part| part.starts_with(word));
            match (tag_like || reads.contains(word), starts) {
                (true, true) => Some((*rank, by.as_str())),
                (true, false) => Some((rank + 1, by.as_str())),
                (false, _) => None,
            }
        });
        let best = best.min_by_key(|(rank, _)| *rank)?;
        // The farthest word decides: "Bramble drawer" is found by its drawer.
        found = Some(found.map_or(best, |before| if best.0 > before.0 { best } else { before }));
    }
    let (rank, by) = found?;
    Some((rank, Hit { tag: held.order.tag, name, client, by: by.to_owned() }))
}

const NAME: u8 = 0;
const TAG: u8 = 2;
const CLIENT: u8 = 4;
const MOULD: u8 = 6;
const PLACE: u8 = 8;

fn fields(studio: &Studio, held: &Held, name: &str, client: &str) -> Vec<Field> {
    let tag = held.order.tag;
    let mut fields = vec![
        (NAME, folded(name), String::new()),
        (TAG, folded(&tag.plain()), format!("tag {tag}")),
        (TAG, folded(&tag.to_string()), format!("tag {tag}")),
        (CLIENT, folded(client), format!("client {client}")),
    ];
    for stone in &held.order.sheet.stones {
        let mould = words::item_name(studio, &stone.mould);
        fields.push((MOULD, folded(&mould), format!("mould {mould}")));
    }
    for (thing, kept) in &held.ledger.custody.things {
        if let (Place::Kept(_), false, None) = (&kept.place, kept.lost, kept.part_of) {
            let place = words::place(studio, &kept.place);
            fields.push((PLACE, folded(&place), format!("{} is in {place}", words::thing_plain(*thing))));
        }
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
