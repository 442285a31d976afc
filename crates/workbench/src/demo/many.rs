//! A studio of many years, made from the demo studio: most of its orders have long gone home, each with a full record.

use std::collections::BTreeSet;

use craft::client::Client;
use craft::digest::Digest;
use craft::id::DocId;
use craft::log::{Entry, Log};
use craft::order::Order;
use craft::studio::{Held, Studio};
use craft::tag::Tag;
use store::format::{Decoded, decode, encode, with_sum};
use store::name::DocKind;

use crate::open::path_of;

/// One file of such a studio: its path below the folder, and its text.
pub type File = (String, Vec<u8>);

/// One order in so many is still open.
const OPEN_ONE_IN: u32 = 50;

/// The first of the numbers that tags are made from.
const FIRST: u32 = 50_000;

/// How long the records of those orders are.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Records {
    /// As the longest of the demo: what a studio of many years has, and what its speed is measured with.
    Longest,
    /// As the shortest of the demo: enough to fill a window with.
    Shortest,
}

/// The files of `count` more orders, and of their clients: four clients for five orders, and one order in fifty is open.
///
/// Every record is sealed for its own tag, as if it had been written there; the text is that of a demo order of the kind.
/// Gives nothing where the demo studio it is handed holds no order that has gone home.
pub fn files(studio: &Studio, count: u32, records: Records) -> impl Iterator<Item = File> {
    let model = |is_gone: bool| {
        let of_kind = studio.orders().values().filter(move |held| held.ledger.home.is_gone() == is_gone);
        // An order at work keeps things in cavities and packets open, which can only be so once.
        let is_asked = |held: &Held| held.order.sheet.stones.is_empty() && !held.ledger.client.called_off;
        let quiet = of_kind.filter(move |held| is_gone || is_asked(held));
        let found = match records {
            Records::Longest => quiet.max_by_key(|held| held.order.log.len()),
            Records::Shortest => quiet.min_by_key(|held| held.order.log.len()),
        };
        found.and_then(template)
    };
    let (gone, open) = (model(true), model(false));
    let taken: BTreeSet<Tag> = studio.orders().keys().copied().collect();
    let tags = (FIRST..Tag::NUMBERS).filter_map(Tag::from_number);
    let tags = tags.filter(move |tag| !taken.contains(tag)).take(count as usize);
    (0_u32..).zip(tags).flat_map(move |(place, tag)| {
        let template = if place % OPEN_ONE_IN == 0 { open.as_ref() } else { gone.as_ref() };
        // The fourth and the fifth of each five orders are for the same client.
        let client = place / 5 * 4 + (place % 5).min(3);
        let order = template.and_then(|template| template.order(place, client, tag));
        let person = (place % 5 != 4).then(|| person(client)).flatten();
        order.into_iter().chain(person)
    })
}

/// An order whose text is used again.
struct Template {
    order: Order,
    text: String,
}

fn template(held: &Held) -> Option<Template> {
    let bytes = encode(DocKind::Order, &held.order).ok()?;
    Some(Template { order: held.order.clone(), text: String::from_utf8(bytes).ok()? })
}

impl Template {
    /// The same order under another tag, for another client and about somebody else.
    fn order(&self, place: u32, client: u32, tag: Tag) -> Option<File> {
        // As the file spells it.
        let name = |text: &str| format!("name: \"{}\"", text.replace('\'', "\\'"));
        let mut text = self.text.replace(&self.order.tag.to_string(), &tag.to_string());
        let owner = format!("client: \"{}\"", self.order.client);
        text = text.replacen(&owner, &format!("client: \"m{client:05}\""), 1);
        text = text.replacen(
            &name(self.order.sheet.remembered.name.as_str()),
            &name(&format!("{} {place}", self.order.sheet.remembered.name)),
            1,
        );
        let Decoded::Whole(order) = decode::<Order>(DocKind::Order, text.as_bytes()) else { return None };
        let mut head: Digest = Log::origin(&order.studio, tag);
        for (number, entry) in order.log.entries() {
            head = head.then(&Entry::line(number, &entry.at, entry.told, &entry.fact));
            text = text.replacen(&entry.seal.to_string(), &head.to_string(), 1);
        }
        Some((path_of(&DocId::Order(tag)).ok()?.to_string(), with_sum(text).into_bytes()))
    }
}

fn person(client: u32) -> Option<File> {
    let id = format!("m{client:05}").parse().ok()?;
    let body = Client { name: format!("Marguerite Many {client}").parse().ok()?, ..Client::default() };
    let path = path_of(&DocId::Client(id)).ok()?;
    Some((path.to_string(), encode(DocKind::Client, &body).ok()?))
}

#[cfg(test)]
mod tests {
    use std::path::Path;
    use std::sync::Arc;

    use craft::moment::Moment;
    use store::sim::SimVfs;

    use super::*;
    use crate::present::sample::at;

    #[test]
    fn many_orders_open_without_a_trouble_and_without_a_finding() {
        let today = Moment { utc_ms: 1_783_512_000_000, ..at(0) };
        let demo = crate::demo::build(today).unwrap().studio;
        let disk = SimVfs::new();
        let root = Path::new("/studio");
        drop(store::folder::StudioFolder::create(root, Arc::new(disk.clone()), demo.policies()).unwrap());
        let shelf = demo.shelf().keys().cloned().map(DocId::Shelf);
        for doc in shelf {
            let craft::studio::Doc::Shelf(_, item) = demo.doc(&doc).unwrap() else { panic!() };
            disk.put(root.join(path_of(&doc).unwrap().to_string()), &encode(DocKind::Shelf, &*item).unwrap());
        }
        for (path, bytes) in files(&demo, 130, Records::Longest) {
            disk.put(root.join(path), &bytes);
        }
        let opened = crate::open::open(root, Arc::new(disk)).unwrap();
        assert_eq!(opened.troubles, []);
        assert_eq!(opened.studio.orders().len(), 130);
        assert_eq!(opened.studio.clients().len(), 104);
        assert_eq!(opened.studio.findings(), []);
        let gone = opened.studio.orders().values().filter(|held| held.ledger.home.is_gone()).count();
        assert_eq!(gone, 127);
        let longest = opened.studio.orders().values().map(|held| held.order.log.len()).max().unwrap();
        assert!(longest > 20, "full records: {longest}");
    }
}
